//! The stock-and-aliquot card: the smallest stock, what follows the actual, and what cannot be.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, stops};

/// 1.25 mg needed; least mass 8.165 mg, least aliquot 20 µL; changed as said.
fn evaluated(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("needed", "1.25 mg"),
        ("readability", "0.1 mg"),
        ("least_aliquot", "20 uL"),
    ];
    alone(card("stock_aliquot", &[&usual, changes].concat()))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

#[wasm_bindgen_test(unsupported = test)]
fn the_smallest_stock_reaches_both_limits_and_brings_the_mass() {
    let mut numbers = Generator::new(20);
    for _ in 0..200 {
        let needed = numbers.between(1e-3, 8.0);
        let least = numbers.between(1.0, 500.0);
        let texts = [format!("{needed} mg"), format!("{least} uL")];
        let changes = [("needed", texts[0].as_str()), ("least_aliquot", &texts[1])];
        let smallest = evaluated(&changes);
        near(
            number(&smallest, "delivered"),
            needed * 1e-6,
            1e-14,
            "brings",
        );
        near(number(&smallest, "aliquot"), least * 1e-9, 1e-14, "aliquot");
        near(
            number(&smallest, "stock_mass"),
            number(&smallest, "least_mass"),
            0.0,
            "mass",
        );
        // A larger flask takes a larger aliquot of the same mass, and nothing is lost.
        let flask = format!(
            "{} m3",
            number(&smallest, "stock_volume") * numbers.between(1.0, 50.0)
        );
        let larger = evaluated(&[changes[0], changes[1], ("chosen_volume", &flask)]);
        near(number(&larger, "delivered"), needed * 1e-6, 1e-14, "brings");
        assert!(number(&larger, "aliquot") >= least * 1e-9 * (1.0 - 1e-14));
        near(
            number(&larger, "left_mass"),
            number(&larger, "mass_used") - needed * 1e-6,
            1e-12,
            "left over",
        );
        assert_eq!(check(&larger, "aliquot_below_least"), None);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_round_size_is_proposed_in_words() {
    // 20 µL · 8.165 mg / 0.25 mg = 653.2 µL.
    let (level, sentence) = check(&evaluated(&[("needed", "0.25 mg")]), "round_size").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "The smallest stock is 0.6532 mL. In 1 mL, a round size, the same 8.165 mg take an aliquot of 30.62 µL: enter \
         the volume that you choose."
    );
    for change in [("needed", "1.25 mg"), ("chosen_volume", "1 mL")] {
        assert_eq!(check(&evaluated(&[change]), "round_size"), None);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_was_weighed_and_taken_is_judged() {
    let codes = |changes: &[(&str, &str)]| support::checks(&evaluated(changes));
    assert_eq!(
        codes(&[("chosen_volume", "1 mL"), ("actual_stock_mass", "9 mg")]),
        [
            ("above_least_mass", Level::InRange),
            ("aliquot_pipettable", Level::InRange),
        ]
    );
    assert_eq!(
        codes(&[("chosen_volume", "100 uL"), ("actual_stock_mass", "5 mg")]),
        [
            ("below_least_mass", Level::Warning),
            ("aliquot_pipettable", Level::InRange),
            ("small_stock", Level::Warning),
        ]
    );
    assert_eq!(
        codes(&[
            ("chosen_volume", "50 uL"),
            ("actual_aliquot", "7.7 uL"),
            ("final_volume", "1 mL")
        ]),
        [
            ("above_least_mass", Level::InRange),
            ("aliquot_below_least", Level::Warning),
            ("small_stock", Level::Warning),
            ("actual_against_plan", Level::InRange),
            ("stock_strength", Level::Note),
        ]
    );
    let heavy = evaluated(&[("needed", "20 mg"), ("chosen_volume", "1 mL")]);
    let (level, _) = check(&heavy, "no_stock_needed").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(number(&heavy, "left_mass"), 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_stops() {
    stops(
        &evaluated(&[("actual_stock_mass", "1 mg")]),
        "actual_stock_mass",
        "stock_below_need",
        "The stock holds 1 mg, less than the 1.25 mg that are needed.",
    );
    stops(
        &evaluated(&[("chosen_volume", "1 mL"), ("actual_aliquot", "2 mL")]),
        "actual_aliquot",
        "aliquot_above_stock",
        "The aliquot (2 mL) is larger than the stock (1 mL).",
    );
    stops(
        &evaluated(&[("chosen_volume", "1 mL"), ("final_volume", "0.1 mL")]),
        "chosen_volume",
        "aliquot_above_final",
        "The aliquot (153.1 µL) is larger than what it is for (0.1 mL).",
    );
}

/// 20 µL · 8.165 mg / 1.25 mg = 130.6 µL.
#[wasm_bindgen_test(unsupported = test)]
fn a_stock_too_small_to_handle_is_warned_of() {
    let (level, sentence) = check(&evaluated(&[]), "small_stock").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("A stock of 0.2 mL is hard to fill"),
        "{sentence}"
    );
    assert!(
        sentence.contains("larger batch of electrolyte"),
        "{sentence}"
    );
    assert!(check(&evaluated(&[("chosen_volume", "0.4 mL")]), "small_stock").is_some());
    for volume in ["0.5 mL", "1 mL"] {
        let chosen = evaluated(&[("chosen_volume", volume)]);
        assert_eq!(check(&chosen, "small_stock"), None);
    }
}
