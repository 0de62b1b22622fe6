//! A coating against a reference: uncertainty of the ratio, and what is said about it.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::support::{alone, card, check, number};
use crate::thickness::DROPS;

fn compared(coating: &str, reference: &str) -> Evaluation {
    let entries = [
        ("coating_thickness", coating),
        ("reference_thickness", reference),
    ];
    alone(card("reference_coating", &entries))
}

#[wasm_bindgen_test(unsupported = test)]
fn the_ratio_tells_whether_coatings_differ() {
    // 3 % and 4 % make 5 % of the ratio; k = 2.
    let u = |coating: &str| {
        let evaluation = compared(coating, "10 ± 0.4 um");
        let budget = evaluation.budget("reference_coating", "ratio").unwrap();
        (evaluation, budget.uncertainty)
    };
    let (same, of_same) = u("10 ± 0.3 um");
    close("u", of_same, 0.05, 1e-12);
    let (level, sentence) = check(&same, "no_difference").unwrap();
    assert_eq!(level, Level::InRange);
    assert_eq!(
        sentence,
        "No difference from the reference can be told: the ratio is 1.00 ± 0.10."
    );
    let (thicker, of_thicker) = u("12 ± 0.36 um");
    close("u", of_thicker, 0.06, 1e-12);
    let (level, sentence) = check(&thicker, "differs").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "The coating is thicker than the reference beyond the uncertainty: the ratio is 1.20 ± 0.12."
    );
    let (thinner, _) = u("8 ± 0.24 um");
    assert!(
        check(&thinner, "differs")
            .unwrap()
            .1
            .starts_with("The coating is thinner")
    );
    // With nothing uncertain nothing is decided.
    assert!(check(&compared("12 um", "10 um"), "no_uncertainty").is_some());
    let by_mass = [
        ("by", "mass"),
        ("coating_areal_mass", "0.9 ± 0.02 mg/cm2"),
        ("reference_areal_mass", "1.2 ± 0.02 mg/cm2"),
    ];
    let lighter = alone(card("reference_coating", &by_mass));
    let (_, sentence) = check(&lighter, "differs").unwrap();
    assert!(sentence.starts_with("The coating is lighter"), "{sentence}");
    // Both ways round.
    let there = number(&compared("12 um", "10 um").cards[0], "ratio");
    let back = number(&compared("10 um", "12 um").cards[0], "ratio");
    close("inverse", there * back, 1.0, 1e-15);
}

/// Few readings: t takes the place of 2 (JCGM 100:2008, table G.2: 2.87 for 4 degrees of freedom).
#[wasm_bindgen_test(unsupported = test)]
fn few_degrees_of_freedom_widen_the_ratio() {
    let mut card = card(
        "reference_coating",
        &[
            ("coating_thickness", "11.2 ± 0.5 um"),
            ("reference_thickness", "10 um"),
        ],
    );
    let differs =
        |card: &glasswick_core::sheet::Card| check(&alone(card.clone()), "differs").is_some();
    assert!(differs(&card));
    let Some(Input::Typed(typed)) = card.inputs.get_mut("coating_thickness") else {
        panic!("typed above");
    };
    typed.freedom = "4".into();
    assert!(!differs(&card));
}

/// Two films from one print head: the uncertainty of its drop volume moves both alike and says nothing about their ratio.
#[wasm_bindgen_test(unsupported = test)]
fn what_both_share_cancels() {
    let film = |id: &str, passes: &str| {
        let entries = [
            ("passes", passes),
            ("drop_volume", "10 ± 1 pL"),
            ("pitch_y", "25.0 ± 0.1 um"),
        ];
        let mut film = card("thickness", &[DROPS, &entries].concat());
        film.id = id.into();
        film
    };
    let link = |card: &str, output: &str| {
        let (card, output) = (card.into(), output.into());
        Input::Link(Address { card, output })
    };
    let mut seven = film("seven", "7");
    seven
        .inputs
        .insert("drop_volume".into(), link("six", "drop_volume"));
    let mut ratio = card("reference_coating", &[]);
    ratio
        .inputs
        .insert("coating_thickness".into(), link("seven", "thickness"));
    ratio
        .inputs
        .insert("reference_thickness".into(), link("six", "thickness"));
    let cards = vec![ratio, seven, film("six", "6")];
    let evaluation = evaluate(&Sheet { cards });
    let u = evaluation
        .budget("reference_coating", "ratio")
        .unwrap()
        .uncertainty;
    // Two pitches of 0.4 % each, not twice the 10 % of the drop.
    close("u", u, 7.0 / 6.0 * 0.004 * 2_f64.sqrt(), 1e-9);
    assert!(check(&evaluation, "differs").is_some());
}
