//! Acid and powder through its public interface: there and back, and what it says about the isoelectric point.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number};

/// 1 g of 60 m²/g with 5 sites per nm²: 498.2 µmol of sites; changed as said.
fn evaluated(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("acid", "0.1 mmol/L"),
        ("acid_volume", "1 mL"),
        ("powder", "1 g"),
        ("specific_surface", "60 m2/g"),
        ("sites", "5 nm-2"),
        ("liquid", "10 mL"),
    ];
    alone(card("powder_acid", &[&usual, changes].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn the_acid_for_a_share_gives_that_share() {
    let mut numbers = Generator::new(7_007);
    for _ in 0..100 {
        let share = numbers.between(1e-4, 2.0);
        let powder = format!("{} g", numbers.between(0.1, 10.0));
        let acid = format!("{} mol/L", numbers.between(0.1, 10.0));
        let shared = [("powder", powder.as_str()), ("acid", acid.as_str())];
        let wanted = format!("{} %", 100.0 * share);
        let there = [
            &shared[..],
            &[("find", "acid"), ("wanted", wanted.as_str())],
        ]
        .concat();
        let volume = number(&evaluated(&there).cards[0], "acid_volume");
        let volume = format!("{volume:e} m3");
        let back = [&shared[..], &[("acid_volume", volume.as_str())]].concat();
        let found = number(&evaluated(&back).cards[0], "share");
        assert!((found / share - 1.0).abs() < 1e-14, "{found}, not {share}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_weak_stock_is_nothing_against_the_surface() {
    let unmeasured = evaluated(&[]);
    let (level, sentence) = check(&unmeasured, "acid_is_little").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "100 nmol of acid meet 498.2 µmol of surface sites: enough for 0.020 07 % of them at the most. The powder decides the pH; measure it in the \
         dispersion."
    );
    assert!(check(&unmeasured, "measure_ph").is_some());
    assert!(unmeasured.cards[0].output("distance").is_none());

    // Measured at pH 6: 10 nmol of the 100 nmol are left, but for the activity coefficient.
    let measured = evaluated(&[("measured_ph", "6")]);
    let taken = number(&measured.cards[0], "taken_up");
    assert!((taken - 0.9).abs() < 2e-4, "{taken}");
    let (_, sentence) = check(&measured, "ph_compared").unwrap();
    assert_eq!(
        sentence,
        "Measured pH 6.00; without powder the liquid would be at 5.00."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_dispersion_near_the_isoelectric_point_gets_a_warning() {
    let at = |ph: &str| {
        let found = evaluated(&[
            ("measured_ph", ph),
            ("point_from", "own"),
            ("own_point", "6.2"),
        ]);
        let codes = [
            "near_isoelectric",
            "close_to_isoelectric",
            "far_from_isoelectric",
        ];
        let made: Vec<_> = codes.iter().filter_map(|c| check(&found, c)).collect();
        assert_eq!(made.len(), 1);
        (made[0].0, made[0].1.clone())
    };
    let (level, sentence) = at("5.7");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("pH 5.70 is 0.50 below the isoelectric point 6.20: "),
        "{sentence}"
    );
    assert_eq!(at("6.9").0, Level::Warning);
    assert_eq!(at("4.7").0, Level::Note);
    assert_eq!(at("3.0").0, Level::InRange);
}

/// A value from memory says so, and how far such values reach.
#[wasm_bindgen_test(unsupported = test)]
fn a_usual_isoelectric_point_is_marked() {
    let titania = evaluated(&[("point_from", "titania"), ("measured_ph", "3")]);
    let (_, sentence) = check(&titania, "usual_point").unwrap();
    assert!(sentence.contains("from about 4 to 7"), "{sentence}");
    let check = |evaluation: &Evaluation| {
        let made = evaluation.cards[0].checks.iter();
        made.clone()
            .find(|c| c.code == "usual_point")
            .map(|c| c.source.evidence)
    };
    assert_eq!(
        check(&titania),
        Some(glasswick_core::problem::Evidence::Memory)
    );
    assert_eq!(check(&evaluated(&[("own_point", "6")])), None);
}
