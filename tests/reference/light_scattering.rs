//! Size by light scattering: round trips, the scattering vector, and what a mean by intensity means.

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, near, number};

fn water(inputs: &[(&str, &str)]) -> Evaluation {
    let usual = [("temperature", "298.15 K"), ("viscosity", "0.89002 mPa.s")];
    alone(card("light_scattering", &[&usual, inputs].concat()))
}

const OPTICS: [(&str, &str); 4] = [
    ("optics", "known"),
    ("refractive_index", "1.3317"),
    ("wavelength", "633 nm"),
    ("angle", "173 deg"),
];

/// q = 26 387 710 /m: relations of ISO 22412 (from memory), computed with Python 3.11.
#[wasm_bindgen_test(unsupported = test)]
fn the_scattering_vector_is_as_computed() {
    let evaluation = water(
        &[
            [("find", "diffusion"), ("diameter", "100 nm")].as_slice(),
            &OPTICS,
        ]
        .concat(),
    );
    let card = &evaluation.cards[0];
    let q = (number(card, "decay") / number(card, "diffusion")).sqrt();
    assert!((q - 26_387_710.0).abs() <= 5.0, "{q}");
}

#[wasm_bindgen_test(unsupported = test)]
fn diffusion_decay_and_diameter_are_inverse() {
    let mut numbers = Generator::new(1905);
    for _ in 0..50 {
        let diameter = numbers.between(1.0, 2000.0);
        let size = format!("{diameter} nm");
        let there = water(
            &[
                [("find", "diffusion"), ("diameter", size.as_str())].as_slice(),
                &OPTICS,
            ]
            .concat(),
        );
        let there = &there.cards[0];
        let diffusion = format!("{} m2/s", number(there, "diffusion"));
        let back = water(&[("diffusion", &diffusion)]);
        near(
            number(&back.cards[0], "diameter"),
            diameter * 1e-9,
            1e-14,
            "from D",
        );
        let decay = format!("{} Hz", number(there, "decay"));
        let back = water(
            &[
                [("find", "decay"), ("decay", decay.as_str())].as_slice(),
                &OPTICS[1..],
            ]
            .concat(),
        );
        near(
            number(&back.cards[0], "diameter"),
            diameter * 1e-9,
            1e-13,
            "from Γ",
        );
        near(
            number(there, "decay_time") * number(there, "decay"),
            1.0,
            1e-14,
            "τ",
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn polydispersity_is_judged() {
    let at = |index| {
        let inputs = [("diffusion", "4.9 um2/s"), ("polydispersity", index)];
        water(&inputs)
    };
    let level = |index| check(&at(index), "polydispersity").map(|c| c.0);
    assert_eq!(level("0.08"), Some(Level::InRange));
    assert_eq!(level("0.5"), Some(Level::Note));
    assert_eq!(level("0.8"), Some(Level::Warning));
    assert!(check(&at("0.1"), "by_intensity").is_some());
    // Particles of one size are alike by intensity and by number.
    let same = at("0");
    let card = &same.cards[0];
    assert_eq!(number(card, "number_mean"), number(card, "diameter"));
    assert_eq!(number(card, "width"), 0.0);
}

/// The closed form against sums over a log-normal distribution: mean D by intensity, its spread, and the mean by number.
#[wasm_bindgen_test(unsupported = test)]
fn the_mean_by_number_is_that_of_a_log_normal_distribution() {
    let (median, s) = (80.0, 0.35);
    let mut moments = [0.0; 7];
    for step in -4000..=4000 {
        let t = f64::from(step) * 0.0025;
        let size = median * Scalar::exp(s * t);
        let weight = Scalar::exp(-0.5 * t * t);
        for (power, moment) in (0..).zip(&mut moments) {
            *moment += weight * Scalar::powi(size, power);
        }
    }
    let [m0, m1, _, _, m4, m5, m6] = moments;
    let (by_intensity, index) = (m6 / m5, m4 * m6 / (m5 * m5) - 1.0);
    let diameter = format!("{by_intensity} nm");
    let index = format!("{index}");
    let found = water(&[
        ("find", "diffusion"),
        ("diameter", &diameter),
        ("polydispersity", &index),
    ]);
    near(
        number(&found.cards[0], "number_mean"),
        1e-9 * m1 / m0,
        1e-9,
        "mean by number",
    );
}
