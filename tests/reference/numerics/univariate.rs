//! Mean and standard deviation of repeated readings, and the interval of a mean.

use glasswick_core::numerics::sample::{mean, standard_deviation};
use glasswick_core::numerics::student::{normal_quantile, t_quantile};
use glasswick_core::scalar::Scalar;
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, rows, within};

/// Two readings in turn after a first one, 1001 in all.
fn alternating(first: f64, low: f64, high: f64) -> Vec<f64> {
    core::iter::once(first)
        .chain([low, high].into_iter().cycle().take(1000))
        .collect()
}

fn readings(text: &str) -> Vec<f64> {
    rows(text).concat()
}

/// Certified values: NIST Statistical Reference Datasets, univariate, read in mathnet/mathnet-numerics data/NIST.
#[wasm_bindgen_test(unsupported = test)]
fn strd_univariate_means_and_deviations() {
    for (name, data, certified_mean, certified_deviation, tolerance) in [
        (
            "Lottery",
            readings(include_str!("../data/strd_lottery.csv")),
            518.958_715_596_33,
            291.699_727_470_969,
            1e-14,
        ),
        (
            "Lew",
            readings(include_str!("../data/strd_lew.csv")),
            -177.435,
            277.332_168_044_316,
            1e-14,
        ),
        (
            "Mavro",
            readings(include_str!("../data/strd_mavro.csv")),
            2.001_856,
            4.291_234_540_030_53e-4,
            1e-12,
        ),
        (
            "Michelso",
            readings(include_str!("../data/strd_michelso.csv")),
            299.8524,
            0.079_010_547_819_051_8,
            1e-12,
        ),
        (
            "NumAcc1",
            vec![10_000_001.0, 10_000_003.0, 10_000_002.0],
            10_000_002.0,
            1.0,
            1e-15,
        ),
        ("NumAcc2", alternating(1.2, 1.1, 1.3), 1.2, 0.1, 1e-14),
        (
            "NumAcc3",
            alternating(1_000_000.2, 1_000_000.1, 1_000_000.3),
            1_000_000.2,
            0.1,
            1e-9,
        ),
        // The nearest doubles differ by 0.1 only to eight digits: the next test has all of them.
        (
            "NumAcc4",
            alternating(10_000_000.2, 10_000_000.1, 10_000_000.3),
            10_000_000.2,
            0.1,
            1e-8,
        ),
    ] {
        close(name, mean(&data), certified_mean, 1e-15);
        let deviation = standard_deviation(&data);
        close(name, deviation, certified_deviation, tolerance);
    }
}

/// What is lost above is lost in writing tenths as doubles, not in computing with them. Computed with exact fractions
/// of the doubles (Python 3.11).
#[wasm_bindgen_test(unsupported = test)]
fn deviations_of_the_doubles_themselves() {
    for (base, expected) in [
        (1_000_000.0, 0.100_000_000_034_924_6),
        (10_000_000.0, 0.100_000_000_558_793_55),
    ] {
        let data = alternating(base + 0.2, base + 0.1, base + 0.3);
        close("s", standard_deviation(&data), expected, 1e-14);
    }
}

/// OpenStax Introductory Statistics 2e, Example 8.8: read in openstax/osbooks-introductory-statistics-bundle.
#[wasm_bindgen_test(unsupported = test)]
fn t_interval_of_fifteen_readings() {
    let data = [
        8.6, 9.4, 7.9, 6.8, 8.3, 7.3, 9.2, 9.6, 8.7, 11.4, 10.3, 5.4, 8.1, 5.5, 6.9,
    ];
    let half = t_quantile(0.95, 14.0) * standard_deviation(&data) / 15.0_f64.sqrt();
    let (lower, upper) = (mean(&data) - half, mean(&data) + half);
    within("mean", mean(&data), 8.2267, 5e-5);
    within("s", standard_deviation(&data), 1.6722, 5e-5);
    within("lower", lower, 7.3006, 5e-5);
    within("upper", upper, 9.1527, 5e-5);
    // Unrounded: computed with numpy/scipy.
    close("mean", mean(&data), 8.226_666_666_666_667, 1e-15);
    close(
        "s",
        standard_deviation(&data),
        1.672_238_306_097_833_9,
        1e-14,
    );
    close("lower", lower, 7.300_611_959_651_984_5, 1e-12);
    close("upper", upper, 9.152_721_373_681_349, 1e-12);
}

/// OpenStax Introductory Statistics 2e, Example 8.9: read in openstax/osbooks-introductory-statistics-bundle. The book
/// rounds t to 1.729 first.
#[wasm_bindgen_test(unsupported = test)]
fn t_interval_of_twenty_readings() {
    let data = [
        79, 145, 147, 160, 116, 100, 159, 151, 156, 126, 137, 83, 156, 94, 121, 144, 123, 114, 139,
        99,
    ]
    .map(f64::from);
    let half = t_quantile(0.9, 19.0) * standard_deviation(&data) / 20.0_f64.sqrt();
    let (lower, upper) = (mean(&data) - half, mean(&data) + half);
    within("mean", mean(&data), 127.45, 5e-3);
    within("s", standard_deviation(&data), 25.965, 1e-3);
    within("half-width", half, 10.038, 2e-3);
    within("lower", lower, 117.412, 2e-3);
    within("upper", upper, 137.488, 2e-3);
    // Unrounded: computed with numpy/scipy.
    close("half-width", half, 10.039_066_216_531_852, 1e-12);
    close("lower", lower, 117.410_933_783_468_15, 1e-12);
    close("upper", upper, 137.489_066_216_531_85, 1e-12);
}

/// OpenStax Introductory Statistics 2e, Example 8.7: read in openstax/osbooks-introductory-statistics-bundle. How many
/// readings of σ = 15 bring the half-width of the 95 % interval down to 2.
#[wasm_bindgen_test(unsupported = test)]
fn readings_needed_for_a_half_width() {
    let needed = (normal_quantile(0.975) * 15.0 / 2.0).squared();
    assert_eq!(needed.ceil(), 217.0);
    // Unrounded: computed with scipy.
    close("n", needed, 216.082_058_664_044_55, 1e-13);
}
