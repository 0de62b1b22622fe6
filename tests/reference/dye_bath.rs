//! The dye-bath calculator through its public interface: what it says, and what follows the actual mass.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{self, alone, card};

/// 10 µmol of dye (5 mg of 500 g/mol) in 50 mL; a film takes up 0.2 µmol; changed as said.
fn evaluated(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("molar_mass", "500 g/mol"),
        ("target", "0.2 mmol/L"),
        ("volume", "50 mL"),
        ("films", "mass"),
        ("film_mass", "2 mg"),
        ("specific_surface", "60.2214076 m2/g"),
        ("footprint", "1 nm2"),
    ];
    alone(card("dye_bath", &[&usual, changes].concat()))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

#[track_caller]
fn check(evaluation: &Evaluation, code: &str) -> (Level, String) {
    support::check(evaluation, code).unwrap_or_else(|| panic!("no {code}"))
}

#[wasm_bindgen_test(unsupported = test)]
fn the_demand_of_the_films_is_judged() {
    let films = |films| evaluated(&[("film_count", films)]);
    let ample = check(&films("5"), "bath_ample");
    let expected = "The bath holds 10 µmol, 10 times what the films take up (1 µmol).";
    assert_eq!(ample, (Level::InRange, expected.into()));
    assert_eq!(check(&films("6"), "bath_weakens").0, Level::Note);
    assert_eq!(check(&films("26"), "bath_nearly_used").0, Level::Warning);
    let (level, sentence) = check(&films("100"), "demand_above_bath");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("takes 20 µmol; the bath holds 10 µmol"),
        "{sentence}"
    );
    assert!(sentence.contains("at least 10 mg of dye"), "{sentence}");
}

#[wasm_bindgen_test(unsupported = test)]
fn no_more_is_taken_up_than_the_bath_holds() {
    let evaluation = evaluated(&[("film_count", "100")]);
    assert!((number(&evaluation, "share") - 2.0).abs() < 1e-12);
    assert!((number(&evaluation, "taken_up") - 10e-6).abs() < 1e-18);
    assert_eq!(number(&evaluation, "remaining"), 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_bath_follows_the_mass_actually_weighed() {
    let evaluation = evaluated(&[("film_count", "5"), ("actual_mass", "10 mg")]);
    assert!(
        (number(&evaluation, "mass") - 5e-6).abs() < 1e-18,
        "the plan stays"
    );
    assert!((number(&evaluation, "concentration") - 0.4).abs() < 1e-12);
    assert!((number(&evaluation, "share") - 0.05).abs() < 1e-12);
    let (level, sentence) = check(&evaluation, "actual_against_plan");
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "Mass of dye actually weighed: 10 mg, 100 % above the planned 5 mg. Look again at the reading and \
         its unit."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn films_need_not_be_counted() {
    let evaluation = evaluated(&[("films", "none")]);
    assert_eq!(evaluation.cards[0].state, State::Ready);
    assert!((number(&evaluation, "mass") - 5e-6).abs() < 1e-18);
    assert!(evaluation.cards[0].output("share").is_none());
    assert_eq!(evaluation.cards[0].checks, []);
}

#[wasm_bindgen_test(unsupported = test)]
fn films_are_counted_down_to_the_wanted_share() {
    let served = |least| {
        let evaluation = evaluated(&[("least_share", least)]);
        (
            number(&evaluation, "films_served"),
            number(&evaluation, "amount"),
            number(&evaluation, "of_a_film"),
        )
    };
    for (least, films) in [
        ("0 %", 50.0),
        ("50 %", 25.0),
        ("89.9 %", 5.0),
        ("90 %", 5.0),
        ("91 %", 4.0),
        ("99 %", 0.0),
        ("100 %", 0.0),
    ] {
        let (found, amount, of_a_film) = served(least);
        assert_eq!(found, films, "{least}");
        let least: f64 = least.trim_end_matches(" %").parse().unwrap();
        let left = |films: f64| 1.0 - films * of_a_film / amount;
        assert!(left(found) >= least / 100.0 - 1e-9, "enough is left");
        assert!(left(found + 1.0) < least / 100.0, "one more is too many");
    }
    assert!(
        evaluated(&[]).cards[0].output("films_served").is_none(),
        "not asked, not answered"
    );
}

/// 5.1 µmol may go, 0.2 µmol a film.
#[wasm_bindgen_test(unsupported = test)]
fn more_films_than_the_share_allows_are_warned_of() {
    let films = |films| evaluated(&[("least_share", "49 %"), ("film_count", films)]);
    assert_eq!(support::check(&films("25"), "more_films_than_served"), None);
    let (level, sentence) = check(&films("26"), "more_films_than_served");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("26 films are to be dyed; 25 leave at least 49 % of the dye"),
        "{sentence}"
    );
}
