//! The dilution calculator through its public interface: when it stops, and what it says.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, checks, number, stops};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("dilution", inputs))
}

#[wasm_bindgen_test(unsupported = test)]
fn a_target_above_the_stock_stops() {
    let by_volume = [
        ("stock", "0.10 mol/L"),
        ("target", "0.25 mol/L"),
        ("final", "50 mL"),
    ];
    stops(
        &evaluated(&by_volume),
        "target",
        "target_above_stock",
        "The target (250 mmol/L) is above the stock (100 mmol/L): dilution cannot strengthen a solution.",
    );
    let by_mass = [
        ("by", "mass"),
        ("stock_fraction", "5 %"),
        ("target_fraction", "8 %"),
        ("final_mass", "20 g"),
    ];
    stops(
        &evaluated(&by_mass),
        "target_fraction",
        "target_above_stock",
        "The target (8 %) is above the stock (5 %): dilution cannot strengthen a solution.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn an_aliquot_above_the_final_volume_stops() {
    let inputs = [
        ("find", "target"),
        ("stock", "1 mol/L"),
        ("aliquot", "30 mL"),
        ("final", "25 mL"),
    ];
    stops(
        &evaluated(&inputs),
        "final",
        "negative_solvent",
        "The aliquot (30 mL) is more than the final amount (25 mL): the solvent to add would be negative.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_stock_that_would_be_more_than_pure_stops() {
    let inputs = [
        ("by", "mass"),
        ("find", "stock"),
        ("target_fraction", "40 %"),
        ("aliquot_mass", "10 g"),
        ("final_mass", "50 g"),
    ];
    stops(
        &evaluated(&inputs),
        "target_fraction",
        "stock_above_pure",
        "No stock is strong enough: it would have to be more than pure.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_very_wide_step_is_noted() {
    let step = |target| evaluated(&[("stock", "1 mol/L"), ("target", target), ("final", "1 L")]);
    assert_eq!(checks(&step("10 mmol/L")), []);
    let wide = step("1 mmol/L");
    let (level, sentence) = check(&wide, "wide_step").expect("a step of 1 : 1000 is wide");
    assert_eq!(level, Level::Note);
    assert!(sentence.starts_with("One step of 1 : 1000 "), "{sentence}");
    assert!((number(&wide.cards[0], "factor") - 1000.0).abs() < 1e-9);
}
