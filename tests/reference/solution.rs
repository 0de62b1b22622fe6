//! The solution calculator through its public interface: when it stops, what it says, its uncertainty.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{self, alone, card, check};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("solution", inputs))
}

/// 100 mg of solid for 100 mL of 1 g/L, changed as said.
fn planned(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("target_as", "mass_concentration"),
        ("target_mass_concentration", "1 g/L"),
        ("final_volume", "100 mL"),
    ];
    let inputs: Vec<_> = usual.iter().chain(changes).copied().collect();
    evaluated(&inputs)
}

#[track_caller]
fn stops(inputs: &[(&str, &str)], path: &str, code: &str, sentence: &str) {
    support::stops(&evaluated(inputs), path, code, sentence);
}

#[track_caller]
fn level(evaluation: &Evaluation, code: &str) -> Option<Level> {
    check(evaluation, code).map(|(level, _)| level)
}

/// Eurachem/CITAC CG 4, Example A1, Table A1.1 (read): u = 0.9 mg/L; unrounded computed with numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn the_uncertainty_of_a_cadmium_standard() {
    let evaluation = evaluated(&[
        ("target_as", "mass_concentration"),
        ("find", "made"),
        ("purity", "0.9999 ± 0.000058 g/g"),
        ("mass", "100.28 ± 0.05 mg"),
        ("final_volume", "100.0 ± 0.07 mL"),
    ]);
    let budget = evaluation
        .budget("solution", "mass_concentration")
        .expect("it is an output");
    let milligrams_per_litre = 1e3 * budget.uncertainty;
    assert!(
        (milligrams_per_litre - 0.9).abs() <= 0.05,
        "{milligrams_per_litre}"
    );
    assert!((milligrams_per_litre / 0.863_702_590_150_636_6 - 1.0).abs() < 1e-9);
    assert_eq!(budget.rows.len(), 3);
}

/// What follows the actual mass takes its uncertainty from it, not from the plan.
#[wasm_bindgen_test(unsupported = test)]
fn the_uncertainty_follows_the_actual_portion() {
    let evaluation = planned(&[
        ("target_mass_concentration", "1.0 ± 0.5 g/L"),
        ("actual_mass", "101 ± 2 mg"),
    ]);
    let budget = evaluation
        .budget("solution", "mass_concentration")
        .expect("it is an output");
    // 2 mg in 100 mL.
    assert!(
        (budget.uncertainty - 0.02).abs() < 1e-12,
        "{}",
        budget.uncertainty
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_target_above_the_liquid_itself_stops() {
    // 1.19 g/mL · 37.2 % / 36.458 g/mol: 12.14 mol/L (OpenStax Chemistry 2e, Example 3.23, read; computed).
    let inputs = [
        ("solute", "liquid"),
        ("molar_mass", "36.458 g/mol"),
        ("purity", "37.2 %"),
        ("reagent_density", "1.19 g/mL"),
        ("target", "13 mol/L"),
        ("final_volume", "100 mL"),
    ];
    stops(
        &inputs,
        "target",
        "target_above_reagent",
        "The target (13 mol/L) is above the liquid itself (12.14 mol/L): no volume of it is enough.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_target_above_the_purity_stops() {
    let inputs = [
        ("target_as", "mass_fraction"),
        ("purity", "37 %"),
        ("target_fraction", "40 %"),
        ("final_mass", "100 g"),
    ];
    stops(
        &inputs,
        "target_fraction",
        "target_above_purity",
        "The target (40 %) is above the purity of what is used (37 %): the solvent to add would be negative.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn more_liquid_than_the_final_volume_stops() {
    let inputs = [
        ("solute", "liquid"),
        ("find", "made"),
        ("target_as", "mass_concentration"),
        ("reagent_density", "1.1 g/mL"),
        ("reagent_volume", "60 mL"),
        ("final_volume", "50 mL"),
    ];
    stops(
        &inputs,
        "reagent_volume",
        "negative_solvent",
        "The volume of liquid (60 mL) is more than the final volume (50 mL): the solvent to add would be \
         negative.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_undiluted_liquid_is_a_solution_too() {
    for volume in ["37 mL", "0.1 mL", "3 L"] {
        let evaluation = planned(&[
            ("solute", "liquid"),
            ("reagent_density", "0.7893 g/mL"),
            ("target_mass_concentration", "0.7893 g/mL"),
            ("final_volume", volume),
        ]);
        assert_eq!(evaluation.cards[0].state, State::Ready, "{volume}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn more_solute_per_volume_than_its_own_density_stops() {
    let inputs = [
        ("target_as", "mass_concentration"),
        ("target_mass_concentration", "6 g/mL"),
        ("final_volume", "10 mL"),
        ("mixture", "densities"),
        ("solute_density", "5.6 g/cm3"),
        ("solvent_density", "1 g/mL"),
    ];
    stops(
        &inputs,
        "solute_density",
        "denser_than_solute",
        "The mixture would hold more solute per volume (6 g/mL) than the solute itself (5.6 g/cm³).",
    );
}

/// Readability 0.1 mg, 1 %, k = 2: 82 steps of the display, 8.16 mg.
#[wasm_bindgen_test(unsupported = test)]
fn the_balance_sets_a_least_mass() {
    let portion = |target: &'static str| {
        planned(&[
            ("target_mass_concentration", target),
            ("balance", "readability"),
            ("readability", "0.1 mg"),
        ])
    };
    let (warned, sentence) =
        check(&portion("81 mg/L"), "below_least_mass").expect("8.1 mg is too little");
    assert_eq!(warned, Level::Warning);
    assert!(sentence.starts_with("8.1 mg is less than"), "{sentence}");
    assert!(sentence.contains("(8.165 mg)"), "{sentence}");
    assert_eq!(
        level(&portion("82 mg/L"), "above_least_mass"),
        Some(Level::InRange)
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_actual_portion_is_compared_with_the_plan() {
    for (actual, expected) in [
        ("100.5 mg", Level::InRange),
        ("105 mg", Level::Note),
        ("1 g", Level::Warning),
    ] {
        let evaluation = planned(&[("actual_mass", actual)]);
        assert_eq!(
            level(&evaluation, "actual_against_plan"),
            Some(expected),
            "{actual}"
        );
        assert_eq!(
            level(&evaluation, "made_against_target"),
            Some(expected),
            "{actual}"
        );
    }
    let evaluation = planned(&[("actual_mass", "105 mg")]);
    let (_, portion) = check(&evaluation, "actual_against_plan").expect("both are there");
    assert_eq!(
        portion,
        "Mass actually weighed: 105 mg, 5.0 % above the planned 100 mg."
    );
    let (_, made) = check(&evaluation, "made_against_target").expect("both are there");
    assert_eq!(
        made,
        "Mass concentration made: 1.05 g/L, 5.0 % above the wanted 1 g/L. Filled up to 105 mL instead of \
         100 mL, it meets the target."
    );
    let evaluation = planned(&[("actual_mass", "100 mg")]);
    let (_, portion) = check(&evaluation, "actual_against_plan").expect("both are there");
    assert_eq!(
        portion,
        "Mass actually weighed: 100 mg, as planned (100 mg)."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn without_an_actual_nothing_is_compared() {
    assert_eq!(planned(&[]).cards[0].checks, []);
}

/// The solvent of a mixture by mass is weighed last: its plan follows the portion, so the target is still met.
#[wasm_bindgen_test(unsupported = test)]
fn the_planned_solvent_follows_the_portion() {
    let inputs = [
        ("target_as", "mass_fraction"),
        ("target_fraction", "20 %"),
        ("final_mass", "10 g"),
        ("actual_mass", "2.1 g"),
    ];
    let evaluation = evaluated(&inputs);
    let solvent = evaluation.cards[0]
        .output("solvent_mass")
        .expect("it is an output")
        .value;
    assert!((solvent - 8.4e-3).abs() < 1e-15);
    assert_eq!(level(&evaluation, "actual_against_plan"), Some(Level::Note));
    assert_eq!(level(&evaluation, "made_against_target"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn more_than_a_kilogram_a_litre_is_questioned() {
    let evaluation = evaluated(&[
        ("molar_mass", "58.44 g/mol"),
        ("target", "53 mol/L"),
        ("final_volume", "1 L"),
    ]);
    assert_eq!(
        level(&evaluation, "very_concentrated"),
        Some(Level::Warning)
    );
}
