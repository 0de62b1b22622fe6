//! Capillary filling through its public interface: both ways, how it scales, and when it stops.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, number};

/// A thin electrolyte in a gap of 40 µm, changed as said.
fn filling(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("gap", "40 um"),
        ("viscosity", "0.34 mPa.s"),
        ("tension", "28.7 mN/m"),
        ("contact_angle", "10 deg"),
        ("length", "8 mm"),
    ];
    alone(card("cell_filling", &[&usual, changes].concat()))
}

fn time(changes: &[(&str, &str)]) -> f64 {
    number(&filling(changes).cards[0], "time")
}

#[wasm_bindgen_test(unsupported = test)]
fn a_gap_that_is_not_wetted_draws_nothing_in() {
    for (angle, said) in [("90 deg", "90°"), ("95 deg", "95°"), ("180 deg", "180°")] {
        support::stops(
            &filling(&[("contact_angle", angle)]),
            "contact_angle",
            "not_drawn_in",
            &format!(
                "At a contact angle of {said} the plates are not wetted: the gap does not draw the electrolyte in."
            ),
        );
    }
    assert!(time(&[("contact_angle", "89.9 deg")]) > 30.0);
}

/// Length from time is the inverse of time from length, for any electrolyte and gap.
#[wasm_bindgen_test(unsupported = test)]
fn length_and_time_are_inverse() {
    let mut numbers = Generator::new(20_261_127);
    for _ in 0..200 {
        let length = numbers.between(1.0, 200.0);
        let entries = [
            ("gap", format!("{} um", numbers.between(5.0, 500.0))),
            (
                "viscosity",
                format!("{} mPa.s", numbers.between(0.2, 500.0)),
            ),
            ("tension", format!("{} mN/m", numbers.between(15.0, 75.0))),
            (
                "contact_angle",
                format!("{} deg", numbers.between(0.1, 89.0)),
            ),
        ];
        let entries: Vec<(&str, &str)> = entries.iter().map(|(f, t)| (*f, t.as_str())).collect();
        let length_text = format!("{length} mm");
        let forward = filling(&[&entries[..], &[("length", &length_text)]].concat());
        let taken = number(&forward.cards[0], "time");
        let time_text = format!("{taken} s");
        let back = filling(&[&entries[..], &[("find", "length"), ("time", &time_text)]].concat());
        near(
            number(&back.cards[0], "length"),
            length / 1e3,
            1e-13,
            "length",
        );
        // The mean pressure gradient drives a flow of h²·Δp/(12·η·L) = v, and dL/dt = v: L² = h²·Δp·t/(6·η).
        let card = &forward.cards[0];
        let [gap, viscosity] = ["gap", "viscosity"].map(|name| card.number(name).unwrap().1);
        let front = gap * gap * number(card, "pull") / (12.0 * viscosity * length / 1e3);
        near(number(card, "front"), front, 1e-12, "front");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn time_grows_with_the_square_of_the_length() {
    let usual = time(&[]);
    near(
        time(&[("length", "16 mm")]),
        4.0 * usual,
        1e-14,
        "twice as long",
    );
    near(
        time(&[("gap", "20 um")]),
        2.0 * usual,
        1e-14,
        "half the gap",
    );
    near(
        time(&[("viscosity", "3.4 mPa.s")]),
        10.0 * usual,
        1e-13,
        "viscosity",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_curve_ends_at_the_result_and_is_a_parabola() {
    let evaluation = filling(&[]);
    let (field, points) = &evaluation.cards[0].curves[0];
    assert_eq!(field.id, "advance");
    let (end, length) = (time(&[]), 8e-3);
    near(*points.x.last().unwrap(), end, 1e-14, "end");
    near(*points.y.last().unwrap(), length, 1e-14, "length");
    assert_eq!((points.x[0], points.y[0]), (0.0, 0.0));
    for (x, y) in points.x.iter().zip(&points.y) {
        near(*x, end * (y / length) * (y / length), 1e-13, "time");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_colleague_says_when_it_takes_long() {
    let quick = check(&filling(&[]), "quick_filling").unwrap();
    assert_eq!(quick.0, Level::InRange);
    assert!(
        quick.1.starts_with("57.74 ms for the open gap."),
        "{}",
        quick.1
    );
    let slow = filling(&[
        ("viscosity", "1000 mPa.s"),
        ("length", "20 mm"),
        ("gap", "10 um"),
    ]);
    let (level, sentence) = check(&slow, "slow_filling").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("Drawn in by the gap alone it takes 70.76 min:"),
        "{sentence}"
    );
    let short = filling(&[("length", "0.3 mm")]);
    assert_eq!(check(&short, "short_way").unwrap().0, Level::Warning);
}
