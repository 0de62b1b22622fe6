//! The soaking log through its public interface: what it refuses, and what it says about times and temperatures.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, checks, number, stops};

/// Films with the times at which they went in and came out, and the temperatures of film and bath in °C, where noted.
fn log(films: &[(&str, &str, &str, &str, &str)]) -> Evaluation {
    let mut entries = Vec::new();
    for (row, (film, put_in, taken_out, warm, bath)) in films.iter().enumerate() {
        let columns = [
            ("film", film),
            ("put_in", put_in),
            ("taken_out", taken_out),
            ("film_temperature", warm),
            ("bath_temperature", bath),
        ];
        for (column, text) in columns {
            entries.push((format!("films.r{row}.{column}"), *text));
        }
    }
    let entries: Vec<(&str, &str)> = entries
        .iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(path, text)| (path.as_str(), *text))
        .collect();
    alone(card("soaking_log", &entries))
}

fn times(put_in: &str, taken_out: &str) -> Evaluation {
    log(&[("A1", put_in, taken_out, "", "")])
}

#[wasm_bindgen_test(unsupported = test)]
fn a_time_that_cannot_be_read_names_its_cell() {
    stops(
        &times("9.15", "10:00"),
        "films.r0.put_in",
        "not_a_time",
        "“9.15” cannot be read as a time.",
    );
    stops(
        &log(&[
            ("A1", "09:15", "17:00", "", ""),
            ("A2", "09:20", "2026-02-29 17:00", "", ""),
        ]),
        "films.r1.taken_out",
        "not_a_time",
        "“2026-02-29 17:00” cannot be read as a time.",
    );
}

/// Three days would otherwise be counted as 16 h.
#[wasm_bindgen_test(unsupported = test)]
fn a_date_at_one_time_only_names_the_other_cell() {
    let sentence = "A1 has a date at one time only: nothing tells how many days it soaked.";
    stops(
        &times("2026-11-27 17:00", "09:00"),
        "films.r0.taken_out",
        "date_on_one_time",
        sentence,
    );
    stops(
        &times("17:00", "2026-11-30 09:00"),
        "films.r0.put_in",
        "date_on_one_time",
        sentence,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_comes_out_after_it_went_in() {
    stops(
        &times("2026-11-27 09:15", "2026-11-27 09:00"),
        "films.r0.taken_out",
        "no_soaking_time",
        "A1 came out (2026-11-27 09:00) no later than it went in (2026-11-27 09:15).",
    );
    stops(
        &times("09:15", "9:15"),
        "films.r0.taken_out",
        "no_soaking_time",
        "A1 went in and came out at the same time of day (9:15): without dates that is no time or a day.",
    );
    let day = times("2026-11-27 09:15", "2026-11-28 09:15");
    assert_eq!(number(&day.cards[0], "soaked.r0.soaking_time"), 86_400.0);
    assert_eq!(checks(&day), []);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_read_across_midnight_is_said() {
    let evaluation = log(&[
        ("A1", "17:00", "09:00", "", ""),
        ("A2", "08:00", "23:30", "", ""),
        ("A3", "2026-11-27 17:00", "2026-11-28 09:00", "", ""),
    ]);
    assert_eq!(number(&evaluation.cards[0], "longest"), 16.0 * 3600.0);
    assert_eq!(number(&evaluation.cards[0], "shortest"), 15.5 * 3600.0);
    let (level, sentence) = check(&evaluation, "next_day").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "Taken out the next day, as no dates are written: A1. For a longer time write the dates."
    );
    assert_eq!(checks(&times("08:00", "23:30")), []);
}

#[wasm_bindgen_test(unsupported = test)]
fn films_that_soaked_unequally_are_named_so() {
    let two = |second| {
        log(&[
            ("A1", "09:00", "19:00", "", ""),
            ("A2", "09:00", second, "", ""),
        ])
    };
    assert_eq!(checks(&two("20:00")), []);
    let (level, sentence) = check(&two("20:01"), "times_differ").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("10 h to 11.02 h"), "{sentence}");
}

#[wasm_bindgen_test(unsupported = test)]
fn films_go_in_warm() {
    let of = |warm, bath| {
        log(&[
            ("A1", "09:00", "10:00", warm, bath),
            ("A2", "09:00", "10:00", "60 °C", "20 °C"),
        ])
    };
    assert_eq!(
        checks(&of("40 °C", "20 °C")),
        [("film_warm", Level::InRange)]
    );
    let (_, sentence) = check(&of("70 °C", ""), "film_warm").unwrap();
    assert!(
        sentence.contains("40 °C to 70 °C: below the boiling point of the bath's solvent"),
        "{sentence}"
    );
    // Kelvin entered as degrees Celsius.
    assert_ne!(of("338 °C", "").cards[0].state, State::Ready);
    let (level, sentence) = check(&of("25 °C", ""), "film_cold").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("Put in below 40 °C: A1 (25 °C)."),
        "{sentence}"
    );
    let (level, sentence) = check(&of("95 °C", ""), "film_hot").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("Put in above 70 °C: A1 (95 °C)."),
        "{sentence}"
    );
    let (level, sentence) = check(&of("70 °C", "-5 °C"), "much_hotter_than_bath").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("more than 60 K: A1 (75 K)."),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn many_films_are_counted_instead_of_named() {
    let films: Vec<_> = ["A1", "A2", "A3", "A4", "A5", "A6", "A7", "A8"]
        .map(|name| (name, "09:00", "10:00", "20 °C", ""))
        .into();
    let (_, sentence) = check(&log(&films), "film_cold").unwrap();
    assert!(
        sentence.contains("A6 (20 °C), 2 more. A film"),
        "{sentence}"
    );
}

/// A film that is still in the bath keeps the card waiting, and says for what.
#[wasm_bindgen_test(unsupported = test)]
fn a_film_in_the_bath_is_awaited() {
    let State::Waiting(awaited) = &times("09:15", "").cards[0].state else {
        panic!("it waits");
    };
    assert_eq!(awaited[0].path, "films.r0.taken_out");
}
