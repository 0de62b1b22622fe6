//! The spacer-gap calculator through its public interface: when it stops, what it says, how its parts add up.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{self, alone, card, number};

/// A window of 0.36 cm² with a gap of 25 µm around a film of 0.25 cm², 12 µm thick and 60 % porous, changed as said.
fn evaluated(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("window", "area"),
        ("area", "0.36 cm2"),
        ("spacer", "25 um"),
        ("film_area", "0.25 cm2"),
        ("film_thickness", "12 um"),
        ("porosity", "60 %"),
    ];
    alone(card("spacer_gap", &[&usual, changes].concat()))
}

#[track_caller]
fn stops(changes: &[(&str, &str)], path: &str, code: &str, sentence: &str) {
    support::stops(&evaluated(changes), path, code, sentence);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_thicker_than_the_gap_stops() {
    // Check value CV-b: geometry, by logic.
    stops(
        &[("spacer", "20 um"), ("film_thickness", "24 um")],
        "film_thickness",
        "film_above_gap",
        "Spacer gap 20 µm is thinner than the film (24 µm): the film would touch the counter electrode.",
    );
    // The pressed thickness is what counts.
    stops(
        &[
            ("spacer", "30 um"),
            ("pressed", "20 um"),
            ("film_thickness", "24 um"),
        ],
        "film_thickness",
        "film_above_gap",
        "Spacer gap 20 µm is thinner than the film (24 µm): the film would touch the counter electrode.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_larger_than_the_window_stops() {
    stops(
        &[
            ("window", "rectangle"),
            ("width", "4 mm"),
            ("length", "5 mm"),
        ],
        "film_area",
        "film_above_window",
        "The film (0.25 cm²) is larger than the window (0.2 cm²): part of it would lie under the spacer.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_parts_add_up_to_the_free_volume() {
    let drilled = [
        ("hole", "drilled"),
        ("hole_diameter", "0.75 mm"),
        ("glass", "2.2 mm"),
    ];
    for thickness in ["0", "3 um", "12 um", "24.999 um", "25 um"] {
        for porosity in ["0", "37 %", "99.9 %"] {
            for holes in ["1", "2"] {
                let mut changes = drilled.to_vec();
                changes.extend([
                    ("film_thickness", thickness),
                    ("porosity", porosity),
                    ("holes", holes),
                ]);
                let evaluation = evaluated(&changes);
                let card = &evaluation.cards[0];
                let parts = ["over_film", "pores", "rim", "hole_volume"];
                let sum: f64 = parts.iter().map(|part| number(card, part)).sum();
                let free = number(card, "free_volume");
                assert!(
                    (sum - free).abs() <= 1e-14 * free,
                    "{changes:?}: {sum} is not {free}"
                );
                assert!(
                    parts.iter().all(|part| number(card, part) >= 0.0),
                    "{changes:?}"
                );
            }
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn solid_film_displaces_its_volume() {
    // Free volume = A·h − A_f·t·(1 − P): the same cell counted the other way round.
    let evaluation = evaluated(&[("film_thickness", "7 um"), ("porosity", "45 %")]);
    let expected = 0.36e-4 * 25e-6 - 0.25e-4 * 7e-6 * 0.55;
    let free = number(&evaluation.cards[0], "free_volume");
    assert!(
        (free - expected).abs() <= 1e-14 * expected,
        "{free} is not {expected}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_volume_to_prepare_counts_cells_and_overage() {
    let evaluation = evaluated(&[("cells", "12"), ("overage", "25 %")]);
    let card = &evaluation.cards[0];
    let expected = 12.0 * 1.25 * 0.78e-9;
    assert!((number(card, "prepare") - expected).abs() <= 1e-14 * expected);
    // A new card starts with a visible 20 %.
    let evaluation = evaluated(&[]);
    let card = &evaluation.cards[0];
    assert!((number(card, "prepare") - 1.2 * 0.78e-9).abs() <= 1e-14 * 1e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_gap_stays_correlated_over_film_and_rim() {
    // ∂V/∂h is the whole window: u(V) = A·u(h), not the root of the sum of squares of the two parts.
    let evaluation = evaluated(&[("pressed", "25 ± 1 um")]);
    let u = |output| {
        evaluation
            .budget("spacer_gap", output)
            .expect("is there")
            .uncertainty
    };
    assert!((u("free_volume") - 0.36e-4 * 1e-6).abs() <= 1e-12 * 0.36e-10);
    assert!((u("over_film") - 0.25e-4 * 1e-6).abs() <= 1e-12 * 0.25e-10);
    assert!((u("rim") - 0.11e-4 * 1e-6).abs() <= 1e-12 * 0.11e-10);
    assert_eq!(u("pores"), 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_thicker_film_between_equal_plates_leaves_less_room() {
    let free = |thickness| {
        number(
            &evaluated(&[("film_thickness", thickness)]).cards[0],
            "free_volume",
        )
    };
    assert!(free("6 um") > free("12 um"));
    assert!(free("12 um") > free("18 um"));
}

fn checks(changes: &[(&str, &str)]) -> Vec<(&'static str, Level)> {
    support::checks(&evaluated(changes))
}

#[wasm_bindgen_test(unsupported = test)]
fn a_colleague_says_what_to_look_at() {
    assert_eq!(
        checks(&[]),
        [
            ("unpressed_spacer", Level::Note),
            ("gap_over_film", Level::InRange)
        ]
    );
    assert_eq!(
        checks(&[("pressed", "24 um")]),
        [("gap_over_film", Level::InRange)]
    );
    assert_eq!(
        checks(&[("pressed", "16 um")]),
        [("narrow_gap", Level::Note)]
    );
    assert_eq!(
        checks(&[("pressed", "26 um")]),
        [
            ("spacer_grew", Level::Warning),
            ("gap_over_film", Level::InRange)
        ]
    );
    assert_eq!(checks(&[("pressed", "25 um"), ("film_area", "0")]), []);
    // A 0.5 mm hole through 2.2 mm of glass holds 0.43 µL beside 0.78 µL.
    let hole = [
        ("pressed", "25 um"),
        ("hole", "drilled"),
        ("hole_diameter", "0.5 mm"),
        ("glass", "2.2 mm"),
    ];
    assert_eq!(
        checks(&hole),
        [
            ("gap_over_film", Level::InRange),
            ("large_fill_hole", Level::Note)
        ]
    );
    let mut small = hole.to_vec();
    small.push(("hole_diameter", "0.2 mm"));
    assert_eq!(checks(&small), [("gap_over_film", Level::InRange)]);
}

#[wasm_bindgen_test(unsupported = test)]
fn an_unfinished_card_waits() {
    let evaluation = alone(card("spacer_gap", &[("spacer", "60 um")]));
    let State::Waiting(awaited) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    let paths: Vec<_> = awaited.iter().map(|a| a.path.as_str()).collect();
    assert_eq!(
        paths,
        ["width", "length", "film_area", "film_thickness", "porosity"]
    );
}
