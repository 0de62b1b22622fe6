//! The dye-uptake calculator through its public interface: round trips, what it refuses, what it says.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::properties::Generator;
use crate::support::{self, alone, card, check, checks, stops};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("dye_uptake", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// 0.5 in 2 mL at 10 000 L/(mol·cm) and 1 cm: 100 nmol from 1 cm²; changed as said.
fn desorbed(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("absorbance", "0.5"),
        ("coefficient", "10000 L/(mol.cm)"),
        ("volume", "2 mL"),
        ("film_area", "1 cm2"),
    ];
    evaluated(&[&usual, changes].concat())
}

/// 0.3 mmol/L of 20 mL before, as said after; films of 4 cm² in all.
fn depleted(after: &str, changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("by", "depletion"),
        ("measured_as", "concentration"),
        ("before", "0.3 mmol/L"),
        ("after", after),
        ("bath_volume", "20 mL"),
        ("film_area", "4 cm2"),
    ];
    evaluated(&[&usual, changes].concat())
}

/// An areal amount, turned into the absorbance that it would give, is found again.
#[wasm_bindgen_test(unsupported = test)]
fn an_areal_amount_comes_back_through_its_absorbance() {
    let mut numbers = Generator::new(5_040);
    for _ in 0..200 {
        let areal_amount = numbers.between(1e-5, 1e-2);
        let area = numbers.between(1e-5, 1e-2);
        let volume = numbers.between(1e-6, 1e-4);
        let dilution = numbers.between(1.0, 100.0);
        let coefficient = numbers.between(100.0, 1e4);
        let path = numbers.between(1e-3, 0.05);
        let absorbance = areal_amount * area / volume / dilution * coefficient * path;
        let evaluation = evaluated(&[
            ("absorbance", &absorbance.to_string()),
            ("dilution", &dilution.to_string()),
            ("coefficient", &format!("{coefficient} m2/mol")),
            ("path", &format!("{path} m")),
            ("volume", &format!("{volume} m3")),
            ("film_area", &format!("{area} m2")),
        ]);
        close(
            "Γ",
            number(&evaluation, "areal_amount"),
            areal_amount,
            1e-13,
        );
    }
}

/// What the films took up by desorption is what the bath lost.
#[wasm_bindgen_test(unsupported = test)]
fn both_ways_give_the_same_amount() {
    let evaluation = depleted("0.28 mmol/L", &[]);
    close("n", number(&evaluation, "amount"), 4e-7, 1e-12);
    let desorbed = desorbed(&[
        ("measured_as", "concentration"),
        ("concentration", "200 umol/L"),
        ("film_area", "4 cm2"),
    ]);
    close("n", number(&desorbed, "amount"), 4e-7, 1e-12);
    close(
        "Γ",
        number(&desorbed, "areal_amount"),
        number(&evaluation, "areal_amount"),
        1e-12,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_share_of_a_monolayer_is_judged() {
    let covered = |footprint| {
        desorbed(&[
            ("surface", "roughness"),
            ("roughness", "602.214076"),
            ("footprint", footprint),
        ])
    };
    // 100 nmol/cm² on a surface of 602.214076 cm²/cm² is one molecule a square nanometre.
    let evaluation = covered("0.8 nm2");
    close("N_s", number(&evaluation, "on_surface"), 1e18, 1e-12);
    close("σ_m", number(&evaluation, "for_each"), 1e-18, 1e-12);
    close("θ", number(&evaluation, "coverage"), 0.8, 1e-12);
    let (level, sentence) = check(&evaluation, "monolayer").unwrap();
    assert_eq!(level, Level::InRange);
    assert_eq!(sentence, "The dye covers 80 % of the inner surface.");
    let (level, sentence) = check(&covered("1.6 nm2"), "more_than_a_monolayer").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("1.60 times"), "{sentence}");
    assert!(desorbed(&[]).cards[0].output("coverage").is_none());
}

#[wasm_bindgen_test(unsupported = test)]
fn a_small_loss_is_a_weak_measurement() {
    let (level, sentence) = check(&depleted("0.28 mmol/L", &[]), "small_loss").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("only 6.667 %"), "{sentence}");
    assert_eq!(checks(&depleted("0.2 mmol/L", &[])), []);
}

/// Of the two readings of a bath, the one that asks for more is spoken of.
#[wasm_bindgen_test(unsupported = test)]
fn absorbances_that_are_read_badly_are_named() {
    let in_range = [("absorbance_in_range", Level::InRange)];
    assert_eq!(checks(&desorbed(&[])), in_range);
    let bath = evaluated(&[
        ("by", "depletion"),
        ("before_absorbance", "1.5"),
        ("after_absorbance", "0.9"),
        ("coefficient", "10000 L/(mol.cm)"),
        ("bath_volume", "20 mL"),
        ("film_area", "4 cm2"),
    ]);
    assert_eq!(checks(&bath), [("absorbance_high", Level::Note)]);
    let (_, sentence) = check(&bath, "absorbance_high").unwrap();
    assert!(
        sentence.starts_with("Absorbance before 1.5 is above 1.0"),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_stops() {
    stops(
        &desorbed(&[("blank", "0.5")]),
        "absorbance",
        "absorbance_not_above_blank",
        "The absorbance (0.5) is not above that of the blank (0.5): no dye was measured.",
    );
    stops(
        &depleted("0.3 mmol/L", &[]),
        "after",
        "bath_lost_nothing",
        "After dyeing (300 µmol/L) the bath holds no less dye than before (300 µmol/L): nothing would be on the films.",
    );
    // The same concentration in less bath is less dye.
    let grown = depleted("0.3 mmol/L", &[("volume_after", "30 mL")]);
    stops(
        &grown,
        "volume_after",
        "bath_grew",
        "The bath after dyeing (30 mL) is more than it was before (20 mL).",
    );
    let evaporated = depleted("0.3 mmol/L", &[("volume_after", "18 mL")]);
    close("n", number(&evaporated, "amount"), 6e-7, 1e-12);
    stops(
        &evaluated(&[
            ("by", "depletion"),
            ("before_absorbance", "0.5"),
            ("after_absorbance", "0.01"),
            ("blank", "0.02"),
            ("coefficient", "10000 L/(mol.cm)"),
            ("bath_volume", "20 mL"),
            ("film_area", "4 cm2"),
        ]),
        "after_absorbance",
        "absorbance_below_blank",
        "The absorbance after dyeing (0.01) is below that of the blank (0.02).",
    );
}
