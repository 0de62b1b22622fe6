//! Viscosity with temperature: both ways round, scatter and weights, and the way to Z.

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, State, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, near, number, plain, stops};

const TWO: [(&str, &str); 4] = [
    ("points.a.temperature", "20 °C"),
    ("points.a.viscosity", "20 mPa.s"),
    ("points.b.temperature", "45 °C"),
    ("points.b.viscosity", "10 mPa.s"),
];

fn ink(changes: &[(&str, &str)]) -> Evaluation {
    alone(card("viscosity", &[&TWO, changes].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn temperature_and_viscosity_are_inverse() {
    let mut numbers = Generator::new(1889);
    for _ in 0..50 {
        let temperature = numbers.between(260.0, 400.0);
        let shown = format!("{temperature} K");
        let vogel = format!("{} K", numbers.between(50.0, 200.0));
        for law in [
            [("law", "arrhenius"), ("law", "arrhenius")],
            [("law", "vft"), ("vogel", vogel.as_str())],
        ] {
            let there = ink(&[law.as_slice(), &[("temperature", &shown)]].concat());
            let viscosity = format!("{} Pa.s", number(&there.cards[0], "viscosity"));
            let wanted = [("find", "temperature"), ("viscosity", viscosity.as_str())];
            let back = ink(&[law.as_slice(), &wanted].concat());
            near(
                number(&back.cards[0], "temperature"),
                temperature,
                1e-12,
                "temperature",
            );
            // The change per kelvin against the viscosity a thousandth of a kelvin away.
            let warmer = format!("{} K", temperature + 1e-3);
            let warmer = ink(&[law.as_slice(), &[("temperature", &warmer)]].concat());
            let change =
                number(&warmer.cards[0], "viscosity") / number(&there.cards[0], "viscosity");
            let per_kelvin = number(&there.cards[0], "per_kelvin");
            near(Scalar::ln(change), 1e-3 * per_kelvin, 1e-4, "per kelvin");
        }
    }
}

/// The viscosity found for a Z gives that Z on the card of jetting, and with it the uncertainty of the points.
#[wasm_bindgen_test(unsupported = test)]
fn the_viscosity_goes_on_to_z() {
    let drop = [
        ("density", "1150 kg/m3"),
        ("tension", "32 mN/m"),
        ("nozzle", "21 um"),
    ];
    let warm = |find: &[(&str, &str)]| card("viscosity", &[&TWO, find].concat());
    let wanted = warm(&[&[("find", "head"), ("z", "4")], drop.as_slice()].concat());
    let found = alone(wanted);
    let temperature = format!("{} K", number(&found.cards[0], "temperature"));
    let at = warm(&[("temperature", &temperature)]);
    let mut jetting = card(
        "jetting",
        &[drop.as_slice(), &[("velocity", "6 m/s")]].concat(),
    );
    let link = Input::Link(Address {
        card: "viscosity".into(),
        output: "viscosity".into(),
    });
    jetting.inputs.insert("viscosity".into(), link);
    let evaluation = evaluate(&Sheet {
        cards: vec![at, jetting],
    });
    near(number(&evaluation.cards[1], "z"), 4.0, 1e-12, "Z");
}

/// Two points of 1 % each: at one of them the line is as uncertain as the point, half way between both 1/√2 of that.
#[wasm_bindgen_test(unsupported = test)]
fn stated_uncertainties_go_through() {
    let stated = [
        ("points.a.viscosity", "20 ± 0.2 mPa.s"),
        ("points.b.viscosity", "10 ± 0.1 mPa.s"),
    ];
    let middle = format!("{} K", 2.0 / (1.0 / 293.15 + 1.0 / 318.15));
    for (temperature, part) in [
        ("20 °C", 1.0),
        (middle.as_str(), core::f64::consts::FRAC_1_SQRT_2),
    ] {
        let evaluation = ink(&[stated.as_slice(), &[("temperature", temperature)]].concat());
        let budget = evaluation.budget("viscosity", "viscosity").unwrap();
        let viscosity = number(&evaluation.cards[0], "viscosity");
        near(
            budget.uncertainty,
            0.01 * part * viscosity,
            1e-9,
            temperature,
        );
    }
    stops(
        &ink(&[stated[0], ("temperature", "30 °C")]),
        "points",
        "uncertainty_in_some_pairs",
        "1 of 2 viscosities have an uncertainty: the others have no weight in the line.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_the_points_say_is_told() {
    let here = ink(&[("temperature", "30 °C")]);
    assert_eq!(
        check(&here, "no_spare_pair").map(|c| c.0),
        Some(Level::Warning)
    );
    assert!(check(&here, "extrapolated").is_none());
    let hot = ink(&[("temperature", "60 °C")]);
    let (level, sentence) = check(&hot, "extrapolated").expect("it is said");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("60 °C is outside the measured temperatures (20 °C to 45 °C)"),
        "{sentence}"
    );
    let (level, sentence) = check(&ink(&[("temperature", "80 °C")]), "extrapolated").unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "80 °C lies further outside the measured temperatures (20 °C to 45 °C) than they span: look whether the head \
         reaches it and the ink still is a liquid there."
    );
    let third = ink(&[
        ("points.c.temperature", "30 °C"),
        ("points.c.viscosity", "15 mPa.s"),
        ("temperature", "40 °C"),
    ]);
    assert_eq!(
        check(&third, "residual_deviation").map(|c| c.0),
        Some(Level::Note)
    );
    let budget = third.budget("viscosity", "viscosity").unwrap();
    assert!(budget.uncertainty > 0.0 && budget.degrees_of_freedom == 1.0);
}

/// The bound of a temperature is said in the unit of the sentence.
#[wasm_bindgen_test(unsupported = test)]
fn colder_than_absolute_zero_stops() {
    let State::Stopped(problems) = &ink(&[("temperature", "-300 °C")]).cards[0].state else {
        panic!("it stops");
    };
    let hints: Vec<String> = problems
        .iter()
        .map(|problem| plain(&problem.hint))
        .collect();
    assert_eq!(hints, ["Enter a value that is above −273.15 °C."]);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_stops() {
    stops(
        &ink(&[("law", "vft"), ("vogel", "300 K"), ("temperature", "40 °C")]),
        "points.a.temperature",
        "below_vogel",
        "20 °C is not above the Vogel temperature (26.85 °C), where the viscosity grows without end.",
    );
    stops(
        &ink(&[("law", "vft"), ("vogel", "200 K"), ("temperature", "150 K")]),
        "temperature",
        "below_vogel",
        "-123.1 °C is not above the Vogel temperature (-73.15 °C), where the viscosity grows without end."
            .replace('-', "−")
            .as_str(),
    );
    stops(
        &ink(&[
            ("points.b.viscosity", "20 mPa.s"),
            ("find", "temperature"),
            ("viscosity", "10 mPa.s"),
        ]),
        "points",
        "does_not_thin",
        "The viscosity does not fall with temperature: no temperature brings it where it is wanted.",
    );
    stops(
        &ink(&[("find", "temperature"), ("viscosity", "0.0001 mPa.s")]),
        "points",
        "never_so_thin",
        "On this line the ink never gets as thin as 0.0001 mPa·s, however hot.",
    );
    stops(
        &ink(&[("points.b.temperature", "20 °C"), ("temperature", "30 °C")]),
        "points",
        "no_line",
        "All points lie at one place: they define no slope.",
    );
}
