//! Firing through its public interface: family POR, round trips, plan and actual, what cannot be.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, stops};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("firing", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// Case POR-1, computed with Python: 0.39 mg on 0.25 cm², 10 µm of 3.893 g/cm³ have a porosity of 0.59928.
fn weighed(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("mass_as", "net"),
        ("film_mass", "0.39 mg"),
        ("area", "0.25 cm2"),
        ("thickness", "10 um"),
        ("density", "3.893 g/cm3"),
    ];
    let entries: Vec<_> = usual.iter().chain(changes).copied().collect();
    evaluated(&entries)
}

#[wasm_bindgen_test(unsupported = test)]
fn porosity_comes_from_weighing() {
    let porosity = number(&weighed(&[]), "porosity");
    assert!((porosity - 0.59928).abs() <= 5e-6, "{porosity}");
}

#[wasm_bindgen_test(unsupported = test)]
fn porosity_and_thickness_are_an_inverse_pair() {
    let mut numbers = Generator::new(59_928);
    for _ in 0..200 {
        let solid = numbers.between(1e-7, 1e-5);
        let area = numbers.between(1e-6, 1e-3);
        let density = numbers.between(500.0, 20_000.0);
        let thickness = solid * numbers.between(1.01, 20.0);
        let mass = format!("{} kg", solid * area * density);
        let (area, density) = (format!("{area} m2"), format!("{density} kg/m3"));
        let common = [
            ("mass_as", "net"),
            ("film_mass", mass.as_str()),
            ("area", area.as_str()),
            ("density", density.as_str()),
        ];
        let of = |entries: &[(&str, &str)]| {
            let entries: Vec<_> = common.iter().chain(entries).copied().collect();
            evaluated(&entries)
        };
        let there = of(&[("thickness", &format!("{thickness} m"))]);
        let porosity = number(&there, "porosity");
        near(1.0 - porosity, solid / thickness, 1e-12, "packing");
        let back = of(&[
            ("find", "thickness"),
            ("porosity", &format!("{} %", 100.0 * porosity)),
        ]);
        near(number(&back, "thickness"), thickness, 1e-12, "thickness");
    }
}

/// Derived by hand: u(P) = (1 − P)·u(t)/t, and u(m)/(A·t·ρ).
#[wasm_bindgen_test(unsupported = test)]
fn thickness_and_balance_bring_their_uncertainty() {
    let thickness = weighed(&[("thickness", "10 ± 0.5 um")]);
    let found = thickness.estimate("firing", "porosity").unwrap();
    near(found.uncertainty, 0.39 / 0.97325 * 0.05, 1e-9, "from t");
    let two = weighed(&[
        ("mass_as", "difference"),
        ("empty", "1520.11 ± 0.03 mg"),
        ("with_film", "1520.50 ± 0.04 mg"),
    ]);
    let found = two.estimate("firing", "porosity").unwrap();
    near(found.uncertainty, 0.05 / 0.97325, 1e-9, "from m");
}

#[wasm_bindgen_test(unsupported = test)]
fn it_says_whether_the_porosity_was_expected() {
    let said = |expected| check(&weighed(&[("expected", expected)]), "expected_porosity").unwrap();
    let (level, sentence) = said("60 %");
    assert_eq!(level, Level::InRange);
    assert_eq!(sentence, "The porosity is 59.93 %, 60 % expected.");
    let (level, sentence) = said("50 %");
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("more pores"), "{sentence}");
    assert!(said("70 %").1.contains("less pores"));
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_stops() {
    stops(
        &weighed(&[("thickness", "1 um")]),
        "thickness",
        "more_solid_than_film",
        "0.39 mg of this solid alone would be 4.007 µm thick on this area, more than the film: 1 µm.",
    );
    stops(
        &weighed(&[
            ("mass_as", "difference"),
            ("empty", "20 mg"),
            ("with_film", "19 mg"),
        ]),
        "with_film",
        "no_film",
        "With the film the substrate weighs 19 mg, without it 20 mg (1 mg more): no film was weighed.",
    );
    stops(
        &shrunk(&[("actual_thickness", "4 um")]),
        "actual_thickness",
        "thinner_than_solid",
        "The fired film (4 µm) is thinner than its powder would be without a pore (4.5 µm).",
    );
    stops(
        &evaluated(&[
            ("find", "burn_out"),
            ("green_mass", "1 mg"),
            ("burn_as", "recipe"),
            ("powder_fraction", "20 %"),
            ("solids_fraction", "15 %"),
        ]),
        "solids_fraction",
        "less_than_powder",
        "All that does not evaporate (15 %) is less than the powder in it (20 %).",
    );
}

fn shrunk(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("find", "shrinkage"),
        ("green_thickness", "15 um"),
        ("green_packing", "30 %"),
        ("porosity", "55 %"),
    ];
    let entries: Vec<_> = usual.iter().chain(changes).copied().collect();
    evaluated(&entries)
}

/// The powder keeps its volume: packing times thickness is the same before and after.
#[wasm_bindgen_test(unsupported = test)]
fn shrinkage_keeps_the_powder() {
    for measured in [&[][..], &[("actual_thickness", "12 um")]] {
        let evaluation = shrunk(measured);
        let packing = 1.0 - number(&evaluation, "fired_porosity");
        near(
            packing * number(&evaluation, "thickness"),
            4.5e-6,
            1e-14,
            "f·t",
        );
    }
    let (level, sentence) = check(&shrunk(&[("porosity", "80 %")]), "grows_on_firing").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("The fired film would be 150 %"),
        "{sentence}"
    );
    assert_eq!(check(&shrunk(&[]), "grows_on_firing"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn burn_out_is_compared_with_what_was_weighed() {
    let of = |weighed| {
        evaluated(&[
            ("find", "burn_out"),
            ("green_mass", "1 mg"),
            ("burnt_out", "20 %"),
            ("actual_film_mass", weighed),
        ])
    };
    let (level, sentence) = check(&of("0.81 mg"), "burnt_out").unwrap();
    assert_eq!(level, Level::InRange);
    assert_eq!(sentence, "19 % of the dried film went, 20 % were planned.");
    let (level, sentence) = check(&of("0.7 mg"), "burnt_out").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("10 % apart: solvent"), "{sentence}");
    let (_, sentence) = check(&of("1.1 mg"), "burnt_out").unwrap();
    assert!(
        sentence.ends_with("apart: the fired film weighs more than the dried one."),
        "{sentence}"
    );
    assert!(
        check(&of("0.9 mg"), "burnt_out")
            .unwrap()
            .1
            .contains("organics may be left")
    );
}

/// The share that burns out comes from the weighed residue.
#[wasm_bindgen_test(unsupported = test)]
fn the_residue_says_what_burns_out() {
    let residue = card(
        "solids_residue",
        &[
            ("crucibles.a.empty", "20 g"),
            ("crucibles.a.with_ink", "25 g"),
            ("crucibles.a.dried", "21.25 g"),
            ("crucibles.a.fired", "21 g"),
        ],
    );
    let mut firing = card("firing", &[("find", "burn_out"), ("green_mass", "1 mg")]);
    let share = Address {
        card: "solids_residue".into(),
        output: "burnt_out".into(),
    };
    firing.inputs.insert("burnt_out".into(), Input::Link(share));
    let evaluation = evaluate(&Sheet {
        cards: vec![residue, firing],
    });
    near(
        evaluation.estimate("firing", "film_mass").unwrap().value,
        0.8e-6,
        1e-12,
        "fired mass",
    );
}
