//! Settling: what scales how, when to stir, and when diffusion keeps particles up.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, checks, near, number, stops};

/// Anatase in water of 25 °C, changed as said.
fn anatase(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("diameter", "100 nm"),
        ("particle_density", "3893 kg/m3"),
        ("liquid_density", "997.047 kg/m3"),
        ("viscosity", "0.89002 mPa.s"),
        ("temperature", "298.15 K"),
        ("height", "30 mm"),
        ("time", "2 h"),
    ];
    alone(card("settling", &[&usual, changes].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn velocities_scale() {
    let mut numbers = Generator::new(1851);
    for _ in 0..50 {
        let size = numbers.between(5.0, 900.0);
        let at = |factor: f64| {
            let size = format!("{} nm", factor * size);
            anatase(&[("diameter", &size), ("solids", "7 %")])
        };
        let (one, double) = (at(1.0), at(2.0));
        let (one, double) = (&one.cards[0], &double.cards[0]);
        for (output, times) in [
            ("alone", 4.0),
            ("hindered", 4.0),
            ("stir_after", 0.25),
            ("diffusion", 0.5),
            // Weight over heat: the cube.
            ("peclet", 8.0),
        ] {
            near(
                number(double, output),
                times * number(one, output),
                1e-13,
                output,
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn when_to_stir_is_said() {
    let (level, sentence) = check(&anatase(&[]), "stir").expect("it is said");
    assert_eq!(level, Level::InRange);
    // 5 % of 30 mm at 1.53163 mm a day.
    assert_eq!(
        sentence,
        "In 2 h 0.4255 % of the height clears: no stirring is needed before 23.5 h."
    );
    let clumps = anatase(&[("diameter", "1 um")]);
    let (level, sentence) = check(&clumps, "stir").expect("it is said");
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "In 2 h 42.55 % of the height clears: stir at least every 0.235 h, and before each print."
    );
    let all = anatase(&[("diameter", "10 um"), ("time", "1 d")]);
    let (_, sentence) = check(&all, "stir").expect("it is said");
    assert!(
        sentence.starts_with("In 24 h 100 % of the height"),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn fine_particles_stay_up_and_coarse_ones_leave_the_law() {
    let fine = anatase(&[("diameter", "5 nm"), ("height", "1 mm")]);
    assert_eq!(
        checks(&fine),
        [("stir", Level::InRange), ("suspended", Level::InRange)]
    );
    let coarse = anatase(&[("diameter", "100 um"), ("time", "0.1 min")]);
    assert_eq!(
        check(&coarse, "too_fast").map(|c| c.0),
        Some(Level::Warning)
    );
    assert!(check(&anatase(&[]), "too_fast").is_none());
    stops(
        &anatase(&[("particle_density", "0.9 g/cm3")]),
        "particle_density",
        "does_not_settle",
        "Particles of 0.9 g/cm³ are no denser than the liquid (0.997 g/mL): they do not settle.",
    );
}
