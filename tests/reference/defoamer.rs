//! The defoamer calculator through its public interface: doses found come back as targets, limits, and what it says.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, stops};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("defoamer", inputs))
}

/// Three doses of 0.5 g at 20 % in 100 g; changed as said.
fn three_doses(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("ink_mass", "100 g"),
        ("doses.a.dose", "0.5 g"),
        ("doses.a.active", "20 %"),
        ("doses.b.dose", "0.5 g"),
        ("doses.b.active", "20 %"),
        ("doses.c.dose", "0.5 g"),
        ("doses.c.active", "20 %"),
    ];
    evaluated(&[&usual, changes].concat())
}

#[wasm_bindgen_test(unsupported = test)]
fn doses_add_up() {
    let evaluation = three_doses(&[]);
    let ink = &evaluation.cards[0];
    // Common practice, no source: a dose of 0.5 g at 20 % brings 0.1 g active.
    for (row, count) in [("a", 1.0), ("b", 2.0), ("c", 3.0)] {
        let cell = |column| number(ink, &format!("after.{row}.{column}"));
        assert!((cell("brought") - 1e-4).abs() < 1e-16);
        assert!((cell("active_mass") - 1e-4 * count).abs() < 1e-16);
        let fraction = 0.1 * count / (100.0 + 0.5 * count);
        assert!((cell("active_fraction") - fraction).abs() < 1e-15);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_dose_found_meets_its_target() {
    let mut numbers = Generator::new(5_005);
    for _ in 0..200 {
        let ink = format!("{} g", numbers.between(1.0, 1000.0));
        let already = numbers.between(1e-6, 1e-3);
        let target = already * numbers.between(1.0, 100.0);
        let solution = format!("{} %", 100.0 * numbers.between(0.11, 1.0));
        let (held, wanted) = (
            format!("{} %", 100.0 * already),
            format!("{} %", 100.0 * target),
        );
        let found = evaluated(&[
            ("find", "dose"),
            ("ink_mass", &ink),
            ("already", &held),
            ("target", &wanted),
            ("next_active", &solution),
        ]);
        let dose = format!("{} kg", number(&found.cards[0], "next_dose"));
        let made = evaluated(&[
            ("ink_mass", &ink),
            ("already", &held),
            ("doses.a.dose", &dose),
            ("doses.a.active", &solution),
        ]);
        let fraction = number(&made.cards[0], "active_fraction");
        assert!(
            (fraction - target).abs() <= 1e-12 * target,
            "{fraction}, not {target}"
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_limit_is_watched() {
    let inside = check(&three_doses(&[("limit", "0.3 %")]), "limit").expect("there is a limit");
    assert_eq!(inside.0, Level::InRange);
    let above = check(&three_doses(&[("limit", "0.15 %")]), "limit").expect("there is a limit");
    assert_eq!(
        above,
        (
            Level::Warning,
            "The ink holds 0.2956 % of active defoamer, above the limit of 0.15 %, since dose 2."
                .into()
        )
    );
    let already = [
        ("ink_mass", "100 g"),
        ("already", "1 %"),
        ("limit", "0.5 %"),
    ];
    let (_, sentence) = check(&evaluated(&already), "limit").expect("there is a limit");
    assert_eq!(
        sentence,
        "The ink holds 1 % of active defoamer, above the limit of 0.5 %."
    );
    let aim = [
        ("find", "dose"),
        ("target", "0.5 %"),
        ("next_active", "20 %"),
        ("limit", "0.4 %"),
    ];
    let (level, _) = check(&three_doses(&aim), "target_above_limit").expect("it is said");
    assert_eq!(level, Level::Warning);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_dose_that_does_not_help_is_noted() {
    let times = |b, c| {
        let evaluation = three_doses(&[("doses.b.collapse_time", b), ("doses.c.collapse_time", c)]);
        check(&evaluation, "no_faster")
    };
    assert_eq!(times("20 s", "10 s"), None);
    assert_eq!(times("0 s", "0 s"), None);
    let (level, sentence) = times("10 s", "12 s").expect("it is slower");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("Foam took 12 s to collapse, 10 s the time before"),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn targets_that_no_dose_meets_stop() {
    let next = |target, active| {
        three_doses(&[
            ("find", "dose"),
            ("target", target),
            ("next_active", active),
        ])
    };
    stops(
        &next("0.1 %", "20 %"),
        "target",
        "target_passed",
        "The ink already holds 0.2956 % of active defoamer, more than the target of 0.1 %.",
    );
    stops(
        &next("20 %", "20 %"),
        "next_active",
        "solution_too_weak",
        "The solution holds 20 % of active defoamer: no dose of it brings the ink to 20 %.",
    );
}
