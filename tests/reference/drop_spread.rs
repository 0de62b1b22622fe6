//! Spread of drops through its public interface: family LN, both ways, what merges and what covers.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, checks, near};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("drop_spread", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// Family LN, computed with Python from volumes of caps; the form is that of Smith et al. 2006 and of Stringer and Derby
/// 2010 as remembered. Drops of 26.7301 µm every 20 µm: contact angle in degrees, β, spot in µm, f, width and largest
/// pitch in µm, that pitch over the spot.
const LN: &[(f64, f64, f64, f64, f64, f64, f64)] = &[
    (
        5.0,
        3.937_313,
        105.2448,
        0.058_236_8,
        185.3175,
        62.01,
        0.5892,
    ),
    (
        10.0,
        3.121_069,
        83.4265,
        0.116_829_9,
        130.8393,
        49.1924,
        0.589_65,
    ),
    (
        20.0,
        2.464_473,
        65.8756,
        0.236_558_1,
        91.9488,
        38.9649,
        0.591_49,
    ),
    (
        30.0,
        2.134_101,
        57.0447,
        0.362_344_3,
        74.2941,
        33.9241,
        0.594_69,
    ),
    (
        45.0,
        1.826_124,
        48.8125,
        0.570_796_3,
        59.1936,
        29.4115,
        0.602_54,
    ),
];

/// The volume of a sphere of 26.7301 µm.
const DROP: &str = "10.000008584215767 pL";

fn line(angle: &str, pitch: &str) -> Evaluation {
    evaluated(&[
        ("drop_volume", DROP),
        ("angle", angle),
        ("print", "line"),
        ("pitch_x", pitch),
    ])
}

#[track_caller]
fn printed(found: f64, expected: f64, digit: f64) {
    assert!((found - expected).abs() <= digit, "{found}, not {expected}");
}

#[wasm_bindgen_test(unsupported = test)]
fn drops_spread_and_merge_as_caps_of_their_volume() {
    for (angle, factor, spot, shape, width, largest, share) in LN {
        let evaluation = line(&format!("{angle} deg"), "20 um");
        printed(number(&evaluation, "spread_factor"), *factor, 5e-7);
        printed(1e6 * number(&evaluation, "spot"), *spot, 5e-5);
        printed(number(&evaluation, "shape_factor"), *shape, 5e-8);
        printed(1e6 * number(&evaluation, "line_width"), *width, 5e-5);
        let pitch = number(&evaluation, "largest_pitch");
        printed(1e6 * pitch, *largest, 5e-5);
        printed(pitch / number(&evaluation, "spot"), *share, 5e-6);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn contact_angle_and_spot_are_an_inverse_pair() {
    let mut numbers = Generator::new(26_730);
    for _ in 0..200 {
        let angle = numbers.between(1.0, 170.0);
        let volume = format!("{} pL", numbers.between(0.5, 200.0));
        let pitches = [("pitch_x", "20 um"), ("pitch_y", "20 um")];
        let of = |from: &str, entered: &str| {
            let first = [
                ("drop_volume", volume.as_str()),
                ("from", from),
                (from, entered),
            ];
            let entries: Vec<_> = first.into_iter().chain(pitches).collect();
            evaluated(&entries)
        };
        let there = of("angle", &format!("{angle} deg"));
        let back = of("spot", &format!("{} m", number(&there, "spot")));
        near(number(&back, "angle").to_degrees(), angle, 1e-11, "angle");
        near(
            number(&back, "spread_factor"),
            number(&there, "spread_factor"),
            1e-14,
            "spread factor",
        );
    }
}

/// A line at its largest pitch is just as wide as a spot.
#[wasm_bindgen_test(unsupported = test)]
fn at_the_largest_pitch_a_line_is_as_wide_as_a_spot() {
    for (angle, ..) in LN {
        let angle = format!("{angle} deg");
        let pitch = number(&line(&angle, "20 um"), "largest_pitch");
        let there = line(&angle, &format!("{pitch} m"));
        near(
            number(&there, "line_width"),
            number(&there, "spot"),
            1e-12,
            "width",
        );
    }
}

/// Half a sphere: the spot is ∛2 drops wide, and its line a half cylinder with f = π/2.
#[wasm_bindgen_test(unsupported = test)]
fn half_a_sphere_is_its_own_cap() {
    let evaluation = line("90 deg", "20 um");
    let factor = number(&evaluation, "spread_factor");
    near(factor * factor * factor, 2.0, 1e-14, "β³");
    let shape = number(&evaluation, "shape_factor");
    near(shape, core::f64::consts::FRAC_PI_2, 1e-14, "f");
}

/// Case LN-reg, from memory: isolated drops, scalloped line, uniform line with falling spacing.
#[wasm_bindgen_test(unsupported = test)]
fn a_line_is_isolated_scalloped_or_uniform() {
    for (pitch, code, level) in [
        ("70 um", "isolated", Level::Warning),
        ("50 um", "scalloped", Level::Warning),
        ("38 um", "uniform", Level::InRange),
    ] {
        assert_eq!(checks(&line("20 deg", pitch)), [(code, level)], "{pitch}");
    }
    // At 120° the largest pitch is 19.78 µm.
    let evaluation = line("120 deg", "15 um");
    assert_eq!(checks(&evaluation), [("beads", Level::Warning)]);
    assert_eq!(
        check(&evaluation, "beads").unwrap().1,
        "A contact angle of 120° is above 90°: spot, volume or angle is off; such an ink does not make a line."
    );
    let apart = line("150 deg", "40 um");
    assert_eq!(
        checks(&apart),
        [("beads", Level::Warning), ("isolated", Level::Warning)]
    );
    let spot = number(&apart, "spot");
    assert!(number(&apart, "largest_pitch") > spot);
    let said = format!("A line takes {:.2} µm or less.", 1e6 * spot);
    let (_, sentence) = check(&apart, "isolated").unwrap();
    assert!(sentence.ends_with(&said), "{sentence}");
    let (_, sentence) = check(&line("20 deg", "50 um"), "scalloped").unwrap();
    assert_eq!(
        sentence,
        "At a pitch of 50 µm spots of 65.88 µm touch, but the line keeps wavy edges: straight ones take 38.96 µm or less."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_is_apart_has_holes_or_is_covered() {
    let of = |x, y| {
        evaluated(&[
            ("drop_volume", "10 pL"),
            ("from", "spot"),
            ("spot", "50 um"),
            ("pitch_x", x),
            ("pitch_y", y),
        ])
    };
    for (x, y, code, level) in [
        ("30 um", "60 um", "isolated", Level::Warning),
        ("40 um", "40 um", "holes", Level::Warning),
        ("35 um", "35 um", "covered", Level::InRange),
    ] {
        assert_eq!(checks(&of(x, y)), [(code, level)], "{x} {y}");
    }
    let (_, sentence) = check(&of("30 um", "39 um"), "covered").unwrap();
    assert_eq!(
        sentence,
        "Spots of 50 µm are as wide as the diagonal of the pitch, 49.2 µm, or wider: they leave no hole and lie 1.68 deep on \
         average."
    );
    near(
        number(&of("30 um", "60 um"), "overlap_y"),
        -0.2,
        1e-12,
        "overlap",
    );
}
