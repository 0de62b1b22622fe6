//! The sealing log through its public interface: limits name their steps, pressures, the second time.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, checks, near, number, stops};

const LIMITS: [(&str, &str); 4] = [
    ("coldest", "95 °C"),
    ("hottest", "120 °C"),
    ("shortest", "10 s"),
    ("longest", "60 s"),
];

/// Cell, what was sealed, when, temperature in °C, time in s, each done; and what else is entered.
fn log(steps: &[(&str, &str, &str, &str, &str)], others: &[(&str, &str)]) -> Evaluation {
    let mut entries = Vec::new();
    for (row, (cell, seal, at, temperature, time)) in steps.iter().enumerate() {
        let columns = [
            ("cell", cell),
            ("seal", seal),
            ("at", at),
            ("temperature", temperature),
            ("time", time),
            ("done", &"yes"),
        ];
        for (column, text) in columns {
            if !text.is_empty() {
                entries.push((format!("steps.r{row}.{column}"), *text));
            }
        }
    }
    let mut entries: Vec<(&str, &str)> = entries
        .iter()
        .map(|(path, text)| (path.as_str(), *text))
        .collect();
    entries.extend(others);
    alone(card("sealing_log", &entries))
}

fn whole() -> [(
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
); 3] {
    [
        ("A1", "frame", "10:05", "110", "20 s"),
        ("A1", "hole", "11:40", "100", "10 s"),
        ("A1", "again", "11:45", "100", "10 s"),
    ]
}

#[wasm_bindgen_test(unsupported = test)]
fn a_log_within_its_limits_says_so() {
    assert_eq!(
        checks(&log(&whole(), &LIMITS)),
        [
            ("temperatures_within", Level::InRange),
            ("times_within", Level::InRange),
            ("holes_sealed_twice", Level::InRange)
        ]
    );
    let (_, sentence) = check(&log(&whole(), &LIMITS), "temperatures_within").unwrap();
    assert_eq!(
        sentence,
        "Every temperature that is noted is not below 95 °C and not above 120 °C."
    );
    let one = log(&whole(), &[("longest", "60 s")]);
    let (_, sentence) = check(&one, "times_within").unwrap();
    assert_eq!(sentence, "Every time that is noted is not above 60 s.");
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_outside_is_named() {
    let steps = [
        ("A1", "frame", "", "90", "20 s"),
        ("A2", "frame", "", "125", "5 s"),
        ("A2", "hole", "", "94.9", "61 s"),
        ("A2", "again", "", "95", "60 s"),
    ];
    let evaluation = log(&steps, &LIMITS);
    let said = |code| check(&evaluation, code).unwrap();
    assert_eq!(
        said("too_cold"),
        (
            Level::Warning,
            "Below 95 °C: A1 frame (90 °C), A2 hole (94.9 °C); the film may not melt: the seal leaks. Seal again, warmer."
                .into()
        )
    );
    for (code, start) in [
        ("too_hot", "Above 120 °C: A2 frame (125 °C);"),
        ("too_short", "Below 10 s: A2 frame (5 s);"),
        ("too_long", "Above 60 s: A2 hole (61 s);"),
    ] {
        let (level, sentence) = said(code);
        assert_eq!(level, Level::Warning);
        assert!(sentence.starts_with(start), "{sentence}");
    }
    assert!(check(&evaluation, "temperatures_within").is_none());
}

#[wasm_bindgen_test(unsupported = test)]
fn pressure_is_read_or_force_over_area() {
    let forced = log(
        &whole(),
        &[
            ("steps.r0.force", "50 N"),
            ("steps.r0.face", "64 mm2"),
            ("steps.r1.pressure", "2 bar"),
            ("steps.r2.force", "10 N"),
            ("lightest", "100 kPa"),
            ("heaviest", "500 kPa"),
        ],
    );
    let card = &forced.cards[0];
    near(
        number(card, "pressed.r0.pressed_with"),
        50.0 / 64e-6,
        1e-15,
        "force over area",
    );
    near(number(card, "pressed.r1.pressed_with"), 2e5, 1e-15, "read");
    assert!(card.output("pressed.r2.pressed_with").is_none());
    let (_, sentence) = check(&forced, "too_heavy").unwrap();
    assert!(
        sentence.starts_with("Above 500 kPa: A1 frame (781.2 kPa);"),
        "{sentence}"
    );
    let (level, sentence) = check(&forced, "force_without_area").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.ends_with("A1 hole, second time."), "{sentence}");
    // An area alone is part of the plan until the step is done.
    let area = |done| {
        let others = [("steps.r0.face", "64 mm2"), ("steps.r0.done", done)];
        check(&log(&whole(), &others), "force_without_area")
    };
    assert!(area("yes").unwrap().1.ends_with("A1 frame."));
    assert_eq!(area("no"), None);
    // A press often shows the pressure of its oil.
    let both = log(
        &whole(),
        &[
            ("steps.r0.force", "50 N"),
            ("steps.r0.face", "64 mm2"),
            ("steps.r0.pressure", "3 bar"),
        ],
    );
    near(
        number(&both.cards[0], "pressed.r0.pressed_with"),
        3e5,
        1e-15,
        "read",
    );
    let (level, sentence) = check(&both, "pressures_differ").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("A1 frame (300 kPa beside 781.2 kPa)."),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn holes_are_sealed_twice_and_after_the_frame() {
    let once = [
        ("A1", "hole", "11:40", "100", "10 s"),
        ("A2", "hole", "11:40", "100", "10 s"),
        ("A2", "again", "11:50", "100", "10 s"),
    ];
    let (level, sentence) = check(&log(&once, &LIMITS), "hole_sealed_once").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.starts_with("Holes sealed once: A1."), "{sentence}");
    // A hole that is only planned is not asked after.
    let planned = log(&once[..1], &[("steps.r0.done", "no")]);
    assert_eq!(checks(&planned), [("no_limits", Level::Note)]);

    let early = |frame: &str, hole: &str| {
        let steps = [
            ("A1", "frame", frame, "110", "20 s"),
            ("A1", "hole", hole, "100", "10 s"),
        ];
        check(&log(&steps, &LIMITS), "out_of_order").is_some()
    };
    assert!(early("11:40", "10:05") && !early("10:05", "11:40") && !early("", "10:05"));
    assert!(early("2026-11-27 10:05", "2026-11-26 11:40"));
    assert!(!early("2026-11-27 17:05", "2026-11-28 09:00"));
    // Without its date a time may be of any day.
    assert!(!early("2026-11-27 17:05", "09:00"));
    let again = [
        ("A1", "again", "10:00", "100", "10 s"),
        ("a1 ", "hole", "10:10", "100", "10 s"),
        ("A2", "frame", "12:00", "110", "20 s"),
    ];
    let (level, sentence) = check(&log(&again, &LIMITS), "out_of_order").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with(
            "By their times, sealed the wrong way round: A1 hole, second time before hole."
        ),
        "{sentence}"
    );
    // The name of a cell may be written in either case.
    assert!(check(&log(&again, &LIMITS), "holes_sealed_twice").is_some());
}

#[wasm_bindgen_test(unsupported = test)]
fn a_plate_above_the_boiling_point_is_warned_of_at_holes_only() {
    let (level, sentence) = check(
        &log(&whole(), &[("boiling", "82 °C")]),
        "hole_above_boiling",
    )
    .unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with(
            "Above the boiling point of the solvent, 82 °C: A1 hole (100 °C), A1 hole, second time (100 °C). It boils"
        ),
        "{sentence}"
    );
    let frame = log(&whole()[..1], &[("boiling", "82 °C")]);
    assert!(check(&frame, "hole_above_boiling").is_none());
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_read_or_is_crossed_names_its_place() {
    let steps = [("A1", "frame", "10.05", "110", "20 s")];
    stops(
        &log(&steps, &[]),
        "steps.r0.at",
        "not_a_time",
        "“10.05” cannot be read as a time.",
    );
    stops(
        &log(&whole(), &[("coldest", "120 °C"), ("hottest", "95 °C")]),
        "hottest",
        "limits_crossed",
        "Highest temperature (95 °C) is below lowest temperature (120 °C).",
    );
    let State::Waiting(awaited) = &log(&[("A1", "frame", "", "110", "")], &[]).cards[0].state
    else {
        panic!("it does not wait");
    };
    assert_eq!(awaited[0].path, "steps.r0.time");
}
