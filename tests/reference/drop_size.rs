//! Drop size: volume and diameter are inverse, and what is said where both are stated.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, layer_of, near, number};

fn drop(find: &str, inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("drop_size", &[&[("find", find)], inputs].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn volume_and_diameter_are_inverse() {
    let mut numbers = Generator::new(31_415);
    for _ in 0..100 {
        let volume = numbers.between(0.5, 500.0);
        let there = drop("diameter", &[("volume", &format!("{volume} pL"))]);
        let diameter = number(&there.cards[0], "diameter");
        let back = drop("volume", &[("diameter", &format!("{diameter} m"))]);
        near(
            number(&back.cards[0], "volume"),
            volume * 1e-15,
            1e-14,
            "volume",
        );
        // Twice the diameter is eight times the volume.
        let double = drop("volume", &[("diameter", &format!("{} m", 2.0 * diameter))]);
        near(
            number(&double.cards[0], "volume"),
            8e-15 * volume,
            1e-14,
            "eightfold",
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_volume_and_a_diameter_that_disagree_are_told() {
    let at = |diameter| {
        let both = [("volume", "10 pL"), ("diameter", diameter)];
        check(&drop("agreement", &both), "agreement").expect("it is said")
    };
    let (level, sentence) = at("30 um");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence
            .starts_with("10 pL is 26.7 µm, you wrote 30 µm, which is 14.1 pL: 41 % in thickness."),
        "{sentence}"
    );
    assert_eq!(at("27 um").0, Level::InRange);
    assert_eq!(at("25 um").0, Level::Warning);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_volume_goes_on_to_the_thickness() {
    let drop = card(
        "drop_size",
        &[("find", "volume"), ("diameter", "20 ± 1 um")],
    );
    let layer = layer_of(Address {
        card: "drop_size".into(),
        output: "volume".into(),
    });
    let evaluation = evaluate(&Sheet {
        cards: vec![drop, layer],
    });
    let thickness = number(&evaluation.cards[1], "thickness");
    // A sphere of 20 µm on 20 µm by 20 µm: π/6 · 20 µm, a tenth of it solid with its pores.
    near(
        thickness,
        2e-6 * core::f64::consts::PI / 6.0,
        1e-14,
        "thickness",
    );
    // 5 % of the diameter are 15 % of the thickness.
    let uncertainty = evaluation
        .budget("thickness", "thickness")
        .unwrap()
        .uncertainty;
    near(uncertainty, 0.15 * thickness, 1e-12, "uncertainty");
}
