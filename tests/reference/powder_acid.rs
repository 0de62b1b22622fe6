//! Acid and powder through its public interface: there and back, and what it says about the isoelectric point.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, stops};

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
        let shared = [
            ("powder", powder.as_str()),
            ("acid", acid.as_str()),
            ("liquid", "1 L"),
        ];
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
        "Measured pH 6.00; without powder the liquid would be at 5.00, with a strong acid."
    );
}

/// The same stock as a weak acid leaves the liquid less acid, as the card “pH” finds it.
#[wasm_bindgen_test(unsupported = test)]
fn a_weak_acid_is_reckoned_as_on_the_card_ph() {
    let weak = evaluated(&[
        ("acid_kind", "weak"),
        ("pka", "4.76"),
        ("acid", "0.1 mol/L"),
    ]);
    let alone = alone(card(
        "acidity",
        &[
            ("solute", "weak_acid"),
            ("pka", "4.76"),
            ("concentration", "10 mmol/L"),
        ],
    ));
    let (here, there) = (
        number(&weak.cards[0], "untouched_ph"),
        number(&alone.cards[0], "ph"),
    );
    assert!((here - there).abs() < 1e-9, "{here}, not {there}");
    let (_, sentence) = check(&weak, "measure_ph").unwrap();
    assert!(
        sentence.starts_with("Without powder the liquid would be at pH 3.39, with a weak acid;"),
        "{sentence}"
    );
    // Measured where the card finds the pH, nothing was taken up.
    let ph = here.to_string();
    let measured = evaluated(&[
        ("acid_kind", "weak"),
        ("pka", "4.76"),
        ("acid", "0.1 mol/L"),
        ("measured_ph", ph.as_str()),
    ]);
    let taken = number(&measured.cards[0], "taken_up");
    assert!(taken.abs() < 1e-7, "{taken}");
}

#[wasm_bindgen_test(unsupported = test)]
fn the_stock_is_part_of_the_liquid() {
    stops(
        &evaluated(&[("acid_volume", "11 mL")]),
        "liquid",
        "stock_above_liquid",
        "The acid stock (11 mL) is more than the liquid that it is part of (10 mL).",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_the_numbers_do_not_serve_for_is_said() {
    let (level, _) = check(&evaluated(&[]), "davies").unwrap();
    assert_eq!(level, Level::InRange);
    let strong = evaluated(&[("acid", "6 mol/L")]);
    let (level, sentence) = check(&strong, "beyond_davies").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("600 mmol/L"), "{sentence}");
    assert!(check(&evaluated(&[("measured_ph", "0")]), "beyond_davies").is_some());

    // 10 µmol/L brought, 100 µmol/L found.
    let (level, sentence) =
        check(&evaluated(&[("measured_ph", "4")]), "more_than_brought").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("brought (100 nmol)"), "{sentence}");
    assert_eq!(
        check(&evaluated(&[("measured_ph", "5")]), "more_than_brought"),
        None
    );

    let (_, sentence) = check(&evaluated(&[("acid", "1 mol/L")]), "acid_is_more").unwrap();
    assert!(
        sentence.contains("more than enough for all of them."),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn an_oxide_that_dissolves_is_not_called_far_from_its_point() {
    let at = |oxide, ph| evaluated(&[("point_from", oxide), ("measured_ph", ph)]);
    for (oxide, ph) in [
        ("zinc_oxide", "3"),
        ("zinc_oxide", "12.5"),
        ("alumina", "3"),
        ("alumina", "11"),
    ] {
        let (level, _) = check(&at(oxide, ph), "oxide_dissolves").unwrap();
        assert_eq!(level, Level::Warning);
        assert_eq!(check(&at(oxide, ph), "far_from_isoelectric"), None);
    }
    for (oxide, ph) in [("zinc_oxide", "7"), ("alumina", "5"), ("titania", "2")] {
        assert_eq!(check(&at(oxide, ph), "oxide_dissolves"), None);
        assert!(check(&at(oxide, ph), "far_from_isoelectric").is_some());
    }
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
