//! Times the single-diode fit: `cargo xtask bench`.
//!
//! Reports the median of many fits of a curve of 200 points like a dye cell's, which shall take a millisecond.

#![expect(clippy::disallowed_methods, reason = "a bench measures time")]
#![expect(clippy::expect_used, reason = "a bench may stop")]

use std::hint::black_box;
use std::time::Instant;

use glasswick_core::numerics::diode_fit::{Light, Objective, fit_diode};
use glasswick_core::numerics::single_diode::SingleDiode;

const POINTS: u32 = 200;

/// Voltages, and currents that scatter by up to this share of the photocurrent.
fn curve(scatter: f64) -> (Vec<f64>, Vec<f64>) {
    let diode = SingleDiode {
        photo: 0.018,
        saturation: 2e-9,
        slope_voltage: 0.0475,
        series: 4.0,
        shunt: 2500.0,
    };
    let mut state = 1_u64;
    let mut even = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / 2.0_f64.powi(30) - 1.0
    };
    (0..POINTS)
        .map(|k| -0.04 + 0.86 * f64::from(k) / f64::from(POINTS - 1))
        .map(|v| {
            let current = diode.response(v).current + scatter * diode.photo * even();
            (v, current)
        })
        .unzip()
}

fn main() {
    println!("single-diode fit of {POINTS} points, median of 201 runs");
    for (objective, scatter) in [
        (Objective::Solved, 0.0),
        (Objective::Solved, 1e-3),
        (Objective::Solved, 1e-2),
        (Objective::Implicit, 1e-3),
    ] {
        let (voltage, current) = curve(scatter);
        let mut evaluations = 0;
        let mut times: Vec<f64> = (0..201)
            .map(|_| {
                let start = Instant::now();
                let fit = fit_diode(black_box(&voltage), &current, Light::On, objective, 0);
                let time = start.elapsed().as_secs_f64() * 1e3;
                evaluations = fit.expect("it can be fitted").evaluations;
                time
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!(
            "{objective:?}, scatter {scatter:<6} {:>7.3} ms, {evaluations} evaluations at all points",
            times[times.len() / 2]
        );
    }
}
