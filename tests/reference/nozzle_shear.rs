//! Shear in the nozzle: the rate, the power law, and what is said about measurements far from it.

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, near, number, stops};

fn nozzle(inputs: &[(&str, &str)]) -> Evaluation {
    let usual = [("velocity", "6 m/s"), ("nozzle", "40 um")];
    alone(card("nozzle_shear", &[&usual, inputs].concat()))
}

fn points(first: &str, second: &str, changes: &[(&str, &str)]) -> Evaluation {
    let points = [
        ("flow", "points"),
        ("points.a.rate", "10 s-1"),
        ("points.a.viscosity", first),
        ("points.b.rate", "1000 s-1"),
        ("points.b.viscosity", second),
    ];
    nozzle(&[&points, changes].concat())
}

#[wasm_bindgen_test(unsupported = test)]
fn a_power_law_is_found_again() {
    let mut numbers = Generator::new(1929);
    for _ in 0..50 {
        let exponent = numbers.between(0.2, 1.5);
        let at_one = numbers.between(1.0, 500.0);
        let at = |rate: f64| at_one * Scalar::powf(rate, exponent - 1.0);
        let [first, second] = [10.0, 1000.0].map(|rate| format!("{} mPa.s", at(rate)));
        let found = points(&first, &second, &[]);
        let card = &found.cards[0];
        near(number(card, "exponent"), exponent, 1e-12, "exponent");
        near(number(card, "at_one"), 1e-3 * at_one, 1e-11, "at 1/s");
        let wall = number(card, "wall_rate");
        near(
            number(card, "viscosity"),
            1e-3 * at(wall),
            1e-11,
            "viscosity",
        );
        let wall_by_hand = 1.2e6 * (0.75 + 0.25 / exponent);
        near(wall, wall_by_hand, 1e-11, "rate at the wall");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn measurements_far_from_the_nozzle_are_noted() {
    let at = |rate| check(&nozzle(&[("measured_at", rate)]), "far").expect("it is said");
    let (level, sentence) = at("1000 s-1");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("The nozzle shears 1200 times as fast as the fastest measurement:"),
        "{sentence}"
    );
    assert_eq!(at("400000 s-1").0, Level::InRange);
}

#[wasm_bindgen_test(unsupported = test)]
fn thinning_and_thickening_are_told() {
    let level = |second| check(&points("20 mPa.s", second, &[]), "thinning").map(|c| c.0);
    assert_eq!(level("19 mPa.s"), Some(Level::InRange));
    assert_eq!(level("10 mPa.s"), Some(Level::Note));
    assert_eq!(level("40 mPa.s"), Some(Level::Warning));
    // 40 mPa·s at 10 s⁻¹ and 20 mPa·s at 1000 s⁻¹: 1253155 s⁻¹ at the wall.
    let thins = points("40 mPa.s", "20 mPa.s", &[]);
    assert_eq!(
        check(&thins, "far").unwrap(),
        (
            Level::Warning,
            "The law is continued 1300-fold beyond the fastest measurement: the true viscosity is probably higher, not \
             below that of the liquid; measure at a higher rate."
                .to_owned()
        )
    );
    let (_, sentence) = check(&thins, "thinning").unwrap();
    assert!(
        sentence.ends_with("the ink thins under shear."),
        "{sentence}"
    );
    let near = points("40 mPa.s", "20 mPa.s", &[("points.b.rate", "200000 s-1")]);
    assert_eq!(check(&near, "far").unwrap().0, Level::InRange);
    let (_, sentence) = check(&near, "thinning").unwrap();
    assert!(
        sentence.ends_with("take its viscosity in the nozzle for Z."),
        "{sentence}"
    );
    let even = check(&points("20 mPa.s", "20 mPa.s", &[]), "far").unwrap();
    assert_eq!(even.0, Level::Warning);
    assert!(
        even.1
            .ends_with("beyond the fastest measurement: measure at a higher rate."),
        "{}",
        even.1
    );
    stops(
        &points("20 mPa.s", "0.1 mPa.s", &[]),
        "points",
        "thins_too_much",
        "The exponent is −0.1505: with such points the stress would fall as the ink flows faster.",
    );
    stops(
        &points("20 mPa.s", "10 mPa.s", &[("points.b.rate", "10 s-1")]),
        "points",
        "no_line",
        "All points lie at one place: they define no slope.",
    );
}

/// Without stated uncertainties, points off the line make the viscosity in the nozzle uncertain.
#[wasm_bindgen_test(unsupported = test)]
fn points_scatter() {
    let third = [
        ("points.c.rate", "100 s-1"),
        ("points.c.viscosity", "29 mPa.s"),
    ];
    let evaluation = points("40 mPa.s", "20 mPa.s", &third);
    let budget = evaluation.budget("nozzle_shear", "viscosity").unwrap();
    assert!(budget.uncertainty > 0.0 && budget.degrees_of_freedom == 1.0);
    assert_eq!(
        check(&evaluation, "residual_deviation").map(|c| c.0),
        Some(Level::Note)
    );
}
