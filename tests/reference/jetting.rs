//! Jetting through its public interface: windows of Z, limits of the head, further inks, and what scales how.

use glasswick_core::chemistry::jetting::{self, ejection_border, splash_border};
use glasswick_core::problem::{Evidence, Level};
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, near, number, stops};

/// The invented oxide ink of the worked cases, changed as said.
fn ink(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("density", "1150 kg/m3"),
        ("viscosity", "10 mPa.s"),
        ("tension", "32 mN/m"),
        ("nozzle", "21 um"),
        ("velocity", "6 m/s"),
    ];
    alone(card("jetting", &[&usual, changes].concat()))
}

/// Water at 20 °C; properties by IAPWS.
fn water(window: &str) -> Evaluation {
    ink(&[
        ("density", "998.207 kg/m3"),
        ("viscosity", "1.0016 mPa.s"),
        ("tension", "72.736 mN/m"),
        ("window", window),
    ])
}

/// The windows as their abstracts state them, read; ejection and splash from memory.
#[wasm_bindgen_test(unsupported = test)]
fn published_limits_are_as_stated() {
    let windows: Vec<_> = jetting::WINDOWS
        .iter()
        .map(|window| (window.from, window.to, window.source.evidence))
        .collect();
    let read = Evidence::Read;
    assert_eq!(
        windows,
        [(1.0, 10.0, read), (4.0, 14.0, read), (2.5, 26.0, read)]
    );
    assert_eq!((jetting::EJECTION, jetting::SPLASH), (4.0, 50.0));
    assert_eq!(jetting::EJECTION_SOURCE.evidence, Evidence::Memory);
    assert_eq!(jetting::SPLASH_SOURCE.evidence, Evidence::Memory);
}

#[wasm_bindgen_test(unsupported = test)]
fn every_window_is_chosen_by_its_name() {
    for window in jetting::WINDOWS {
        let (level, sentence) = check(&water(window.id), "window").expect("it is said");
        assert_eq!(level, Level::Note);
        let of = format!(
            "Z = 38.99 is above {} to {} ({})",
            window.from, window.to, window.by
        );
        assert!(sentence.starts_with(&of), "{sentence}");
        assert!(
            sentence.ends_with("water is far outside and jets."),
            "{sentence}"
        );
    }
    let at = |window| check(&ink(&[("window", window)]), "window").expect("it is said");
    assert_eq!(at("reis_derby").0, Level::InRange);
    assert_eq!(at("lee").0, Level::InRange);
    let (level, sentence) = at("jang");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("Z = 2.78 is below 4 to 14"),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn drops_have_a_window_of_velocity() {
    let at = |velocity| check(&ink(&[("velocity", velocity)]), "velocity").expect("it is said");
    let (level, sentence) = at("2 m/s");
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "At 2 m/s drops do not come off by themselves: We = 3.019 is not above 4. They need more than 2.302 m/s."
    );
    assert_eq!(at("6 m/s").0, Level::InRange);
    let (level, sentence) = at("25 m/s");
    assert_eq!(level, Level::Warning);
    assert!(sentence.ends_with("up to 21.45 m/s."), "{sentence}");
}

#[wasm_bindgen_test(unsupported = test)]
fn the_head_has_limits_of_its_own() {
    let viscosity = [
        ("lowest_viscosity", "8 mPa.s"),
        ("highest_viscosity", "14 mPa.s"),
    ];
    assert!(check(&ink(&[]), "head_viscosity").is_none());
    assert_eq!(
        check(&ink(&viscosity), "head_viscosity").map(|c| c.0),
        Some(Level::InRange)
    );
    let thick = ink(&[viscosity.as_slice(), &[("viscosity", "20 mPa.s")]].concat());
    assert_eq!(
        check(&thick, "head_viscosity"),
        Some((
            Level::Warning,
            "Viscosity of 20 mPa·s is above what the head takes (14 mPa·s).".into()
        ))
    );
    let flat = ink(&[("lowest_tension", "33 mN/m")]);
    assert_eq!(
        check(&flat, "head_tension").map(|c| c.0),
        Some(Level::Warning)
    );
    stops(
        &ink(&[
            ("lowest_tension", "35 mN/m"),
            ("highest_tension", "28 mN/m"),
        ]),
        "highest_tension",
        "limits_crossed",
        "The highest value (28 mN/m) is below the lowest (35 mN/m).",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn further_inks_stand_beside() {
    let half = ink(&[("others.a.name", "old"), ("others.a.density", "1 g/mL")]);
    let (level, sentence) = check(&half, "not_shown").expect("it is said");
    assert_eq!(level, Level::Note);
    assert!(sentence.starts_with("Not shown: old."), "{sentence}");

    // Another card's numbers, taken by links.
    let mut other = card(
        "jetting",
        &[
            ("density", "1 g/mL"),
            ("viscosity", "4 ± 0.4 mPa.s"),
            ("tension", "40 mN/m"),
            ("nozzle", "30 um"),
            ("velocity", "5 m/s"),
        ],
    );
    other.id = "other".into();
    let mut here = card(
        "jetting",
        &[
            ("density", "1150 kg/m3"),
            ("viscosity", "10 mPa.s"),
            ("tension", "32 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
            ("others.a.name", "other"),
        ],
    );
    for output in ["reynolds", "ohnesorge"] {
        let link = Input::Link(Address {
            card: "other".into(),
            output: output.into(),
        });
        let Some(Input::Rows(rows)) = here.inputs.get_mut("others") else {
            panic!("{:?}", here.inputs);
        };
        rows[0].cells.insert(output.into(), link);
    }
    let evaluation = evaluate(&Sheet {
        cards: vec![other, here],
    });
    let (there, here) = (&evaluation.cards[0], &evaluation.cards[1]);
    for output in ["reynolds", "ohnesorge", "z"] {
        let beside = format!("beside.a.{output}");
        assert_eq!(number(here, &beside), number(there, output));
        let uncertainty = evaluation.budget("jetting", &beside).unwrap().uncertainty;
        // All three go with the viscosity or its inverse: 10 %.
        near(
            uncertainty,
            0.1 * number(there, output),
            1e-12,
            "uncertainty",
        );
    }
}

/// For its ellipse on the map: Re and Oh of an ink whose viscosity alone is uncertain are wholly anticorrelated, of one whose
/// velocity alone is uncertain not at all, and with the scatter of a fit they still belong together.
#[wasm_bindgen_test(unsupported = test)]
fn reynolds_and_ohnesorge_belong_together() {
    let correlation = |evaluation: &Evaluation| {
        let covariance = |one, other| evaluation.covariance("jetting", one, other).unwrap();
        let (re, oh) = ("reynolds", "ohnesorge");
        let u = evaluation.budget("jetting", re).unwrap().uncertainty;
        near(covariance(re, re), u * u, 1e-12, "variance");
        near(covariance(re, oh), covariance(oh, re), 1e-12, "either way");
        covariance(re, oh) / (covariance(re, re) * covariance(oh, oh)).sqrt()
    };
    let viscous = ink(&[("viscosity", "10 ± 1 mPa.s")]);
    near(correlation(&viscous), -1.0, 1e-12, "by viscosity");
    assert_eq!(
        ink(&[("velocity", "6 ± 1 m/s")]).covariance("jetting", "reynolds", "ohnesorge"),
        Some(0.0)
    );
    // Both: Re takes 10 % of each, Oh 10 % of the viscosity.
    let both = ink(&[("viscosity", "10 ± 1 mPa.s"), ("velocity", "6 ± 0.6 m/s")]);
    near(
        correlation(&both),
        -core::f64::consts::FRAC_1_SQRT_2,
        1e-12,
        "by both",
    );
    assert_eq!(both.covariance("jetting", "reynolds", "nothing"), None);

    let points = [
        ("points.a.temperature", "20 °C"),
        ("points.a.viscosity", "20 mPa.s"),
        ("points.b.temperature", "30 °C"),
        ("points.b.viscosity", "15 mPa.s"),
        ("points.c.temperature", "45 °C"),
        ("points.c.viscosity", "10 mPa.s"),
        ("temperature", "40 °C"),
    ];
    let mut here = card(
        "jetting",
        &[
            ("density", "1150 kg/m3"),
            ("tension", "32 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
    );
    let link = Input::Link(Address {
        card: "viscosity".into(),
        output: "viscosity".into(),
    });
    here.inputs.insert("viscosity".into(), link);
    let fitted = evaluate(&Sheet {
        cards: vec![card("viscosity", &points), here],
    });
    near(correlation(&fitted), -1.0, 1e-12, "by the scatter of a fit");
}

/// On the map, an ink at its lowest velocity lies on the border of ejection, at its highest on that of splashing; Z by
/// radius is smaller by √2; twice the velocity doubles Re and Ca, quadruples We and leaves Oh.
#[wasm_bindgen_test(unsupported = test)]
fn numbers_scale() {
    let mut numbers = Generator::new(20_000_117);
    for _ in 0..100 {
        let texts = [
            ("density", numbers.between(700.0, 2000.0), "kg/m3"),
            ("viscosity", numbers.between(0.3, 300.0), "mPa.s"),
            ("tension", numbers.between(15.0, 75.0), "mN/m"),
            ("nozzle", numbers.between(10.0, 100.0), "um"),
        ]
        .map(|(field, value, unit)| (field, format!("{value} {unit}")));
        let at = |velocity: f64| {
            let velocity = format!("{velocity} m/s");
            let mut inputs: Vec<(&str, &str)> =
                texts.iter().map(|(f, text)| (*f, text.as_str())).collect();
            inputs.push(("velocity", &velocity));
            ink(&inputs)
        };
        let get = |evaluation: &Evaluation, output| number(&evaluation.cards[0], output);
        let (slow, fast) = (at(3.0), at(6.0));
        for (output, times) in [
            ("reynolds", 2.0),
            ("capillary", 2.0),
            ("weber", 4.0),
            ("z", 1.0),
            ("lowest_velocity", 1.0),
            ("highest_velocity", 1.0),
        ] {
            near(
                get(&fast, output),
                times * get(&slow, output),
                1e-14,
                output,
            );
        }
        let oh_re = get(&slow, "ohnesorge") * get(&slow, "reynolds");
        near(oh_re * oh_re, get(&slow, "weber"), 1e-13, "We = (Oh·Re)²");
        let by_radius = get(&slow, "z_by_radius") * core::f64::consts::SQRT_2;
        near(by_radius, get(&slow, "z"), 1e-14, "Z by radius");

        let lowest = at(get(&slow, "lowest_velocity"));
        near(get(&lowest, "weber"), 4.0, 1e-12, "ejection");
        let border = ejection_border(get(&lowest, "reynolds"));
        near(get(&lowest, "ohnesorge"), border, 1e-12, "ejection border");
        let highest = at(get(&slow, "highest_velocity"));
        near(get(&highest, "impact"), 50.0, 1e-12, "splash");
        let border = splash_border(get(&highest, "reynolds"));
        near(get(&highest, "ohnesorge"), border, 1e-12, "splash border");
    }
}
