//! Fits, roots, curves and distributions against certified and independently computed values.
//!
//! The source of each outside value stands beside it or in the head of the data file.

use glasswick_core::numerics::curve::{Curve, CurveError, MonotoneCubic};
use glasswick_core::numerics::line::{
    Line, LineError, fit, fit_through_origin, lack_of_fit, statistics, statistics_through_origin,
};
use glasswick_core::numerics::polynomial::{Design, PolynomialError, fit_polynomial};
use glasswick_core::numerics::root::{Equation, RootError, bracketed_root, solve};
use glasswick_core::numerics::sample::{mean, standard_deviation};
use glasswick_core::numerics::student::{
    f_cdf, f_survival, normal_cdf, normal_quantile, t_cdf, t_quantile,
};
use glasswick_core::scalar::{Dual, Scalar};
use wasm_bindgen_test::wasm_bindgen_test;

#[track_caller]
fn close(name: &str, found: f64, expected: f64, relative: f64) {
    let off = (found - expected).abs() / expected.abs();
    assert!(
        off <= relative,
        "{name}: found {found:e}, expected {expected:e}, off by {off:.1e}"
    );
}

#[track_caller]
fn within(name: &str, found: f64, expected: f64, absolute: f64) {
    let off = (found - expected).abs();
    assert!(
        off <= absolute,
        "{name}: found {found}, expected {expected}, off by {off:.1e}"
    );
}

/// Rows of a data file; lines with # say where it is from.
fn rows(text: &str) -> Vec<Vec<f64>> {
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect()
}

fn columns(text: &str) -> (Vec<f64>, Vec<f64>) {
    rows(text).into_iter().map(|row| (row[0], row[1])).unzip()
}

const NORRIS: &str = include_str!("data/strd_norris.csv");
const PONTIUS: &str = include_str!("data/strd_pontius.csv");
const NOINT2: &str = include_str!("data/strd_noint2.csv");
const WAMPLER5: &str = include_str!("data/strd_wampler5.csv");
const RTC: &str = include_str!("data/rtc_france.csv");
const T_QUANTILES: &str = include_str!("data/t_quantiles.csv");

/// The same numbers as duals, with the derivative taken with respect to one of them.
fn seeded(values: &[f64], which: usize) -> Vec<Dual> {
    let mut duals: Vec<Dual> = values.iter().map(|&v| Dual::constant(v)).collect();
    duals[which] = Dual::seed(values[which]);
    duals
}

fn constants(values: &[f64]) -> Vec<Dual> {
    values.iter().map(|&v| Dual::constant(v)).collect()
}

/// Central difference of a result with respect to one of several numbers.
fn difference(values: &[f64], which: usize, step: f64, result: impl Fn(&[f64]) -> f64) -> f64 {
    let mut shifted = values.to_vec();
    shifted[which] = values[which] + step;
    let above = result(&shifted);
    shifted[which] = values[which] - step;
    (above - result(&shifted)) / (2.0 * step)
}

// ---- mean and spread ----

/// NIST Statistical Reference Datasets, univariate: read in mathnet/mathnet-numerics data/NIST.
#[wasm_bindgen_test(unsupported = test)]
fn strd_univariate_means_and_deviations() {
    let alternating = |first: f64, low: f64, high: f64| -> Vec<f64> {
        core::iter::once(first)
            .chain([low, high].into_iter().cycle().take(1000))
            .collect()
    };
    let sets = [
        (
            "NumAcc1",
            vec![10_000_001.0, 10_000_003.0, 10_000_002.0],
            10_000_002.0,
            1.0,
            1e-15,
        ),
        (
            "NumAcc3",
            alternating(1_000_000.2, 1_000_000.1, 1_000_000.3),
            1_000_000.2,
            0.1,
            1e-9,
        ),
        // The decimal fractions themselves are rounded to 1 part in 10¹⁶ of 10⁷: eight digits are left.
        (
            "NumAcc4",
            alternating(10_000_000.2, 10_000_000.1, 10_000_000.3),
            10_000_000.2,
            0.1,
            1e-8,
        ),
    ];
    for (name, data, expected_mean, expected_deviation, tolerance) in sets {
        close(name, mean(&data), expected_mean, 1e-15);
        close(
            name,
            standard_deviation(&data),
            expected_deviation,
            tolerance,
        );
    }
}

/// OpenStax Introductory Statistics 2e, Example 8.8: read in openstax/osbooks-introductory-statistics-bundle.
#[wasm_bindgen_test(unsupported = test)]
fn t_interval_of_a_mean() {
    let data = [
        8.6, 9.4, 7.9, 6.8, 8.3, 7.3, 9.2, 9.6, 8.7, 11.4, 10.3, 5.4, 8.1, 5.5, 6.9,
    ];
    let half = t_quantile(0.95, 14.0) * standard_deviation(&data) / 15.0_f64.sqrt();
    within("mean", mean(&data), 8.2267, 5e-5);
    within("s", standard_deviation(&data), 1.6722, 5e-5);
    within("lower", mean(&data) - half, 7.3006, 5e-5);
    within("upper", mean(&data) + half, 9.1527, 5e-5);
    // Unrounded: computed with numpy/scipy.
    close("upper", mean(&data) + half, 9.152_721_373_681_349, 1e-12);
}

// ---- straight line ----

/// Certified values: NIST Statistical Reference Datasets, Norris.dat.
#[wasm_bindgen_test(unsupported = test)]
fn strd_norris() {
    let (x, y) = columns(NORRIS);
    let line = fit(&x, &y, &[]).unwrap();
    let stats = statistics(&x, &y, &[], &line);
    close("B0", line.intercept, -0.262_323_073_774_029, 1e-12);
    close("B1", line.slope, 1.002_116_818_020_45, 1e-14);
    let s = stats.residual_deviation;
    close(
        "sd(B0)",
        s * stats.covariance[0][0].sqrt(),
        0.232_818_234_301_152,
        1e-12,
    );
    close(
        "sd(B1)",
        s * stats.covariance[1][1].sqrt(),
        4.297_968_481_999_37e-4,
        1e-12,
    );
    close("residual sd", s, 0.884_796_396_144_373, 1e-12);
    close(
        "residual sum",
        stats.residual_sum,
        26.617_398_529_422_4,
        1e-12,
    );
    close("R²", stats.r_squared, 0.999_993_745_883_712, 1e-14);
    assert_eq!(stats.degrees_of_freedom, 34);
    assert_eq!(stats.residuals.len(), 36);
}

/// Confidence and prediction interval on the same data: computed with statsmodels 0.15.0, scipy 1.17.1.
#[wasm_bindgen_test(unsupported = test)]
fn intervals_of_norris_at_500() {
    let (x, y) = columns(NORRIS);
    let line = fit(&x, &y, &[]).unwrap();
    let stats = statistics(&x, &y, &[], &line);
    let centre = line.at(500.0);
    let confidence = stats.confidence_half_width(500.0, 0.95);
    let prediction = stats.prediction_half_width(500.0, 0.95, 1.0);
    close("mean", centre, 500.796_085_936_453, 1e-13);
    close(
        "confidence",
        centre - confidence,
        500.488_196_471_533_34,
        1e-12,
    );
    close(
        "confidence",
        centre + confidence,
        501.103_975_401_372_6,
        1e-12,
    );
    close(
        "prediction",
        centre - prediction,
        498.971_794_054_183_4,
        1e-12,
    );
    close(
        "prediction",
        centre + prediction,
        502.620_377_818_722_55,
        1e-12,
    );
    let standard_error = confidence / t_quantile(0.95, 34.0);
    close(
        "standard error",
        standard_error,
        0.151_502_175_800_192_6,
        1e-11,
    );
}

/// Certified values: NIST Statistical Reference Datasets, NoInt2.dat.
#[wasm_bindgen_test(unsupported = test)]
fn strd_noint2_through_the_origin() {
    let (x, y) = columns(NOINT2);
    let slope = fit_through_origin(&x, &y, &[]).unwrap();
    let stats = statistics_through_origin(&x, &y, &[], slope);
    close("B1", slope, 0.727_272_727_272_727, 1e-14);
    let deviation = stats.residual_deviation * stats.variance.sqrt();
    close("sd(B1)", deviation, 4.208_273_180_784_32e-2, 1e-13);
    close(
        "residual sd",
        stats.residual_deviation,
        0.369_274_472_937_998,
        1e-13,
    );
    close(
        "residual sum",
        stats.residual_sum,
        0.272_727_272_727_273,
        1e-13,
    );
    close("R²", stats.r_squared, 0.993_348_115_299_335, 1e-13);
    assert_eq!(stats.degrees_of_freedom, 2);
}

/// NIST NoInt1: data from memory; values computed with exact fractions (Python 3.11).
#[wasm_bindgen_test(unsupported = test)]
fn noint1_through_the_origin() {
    let x: Vec<f64> = (60..=70).map(f64::from).collect();
    let y: Vec<f64> = (130..=140).map(f64::from).collect();
    let slope = fit_through_origin(&x, &y, &[]).unwrap();
    let stats = statistics_through_origin(&x, &y, &[], slope);
    close("B1", slope, 2.074_380_165_289_256, 1e-15);
    let deviation = stats.residual_deviation * stats.variance.sqrt();
    close("sd(B1)", deviation, 1.652_892_561_983_471e-2, 1e-13);
    close(
        "residual sd",
        stats.residual_deviation,
        3.567_530_340_063_379,
        1e-13,
    );
    close("R²", stats.r_squared, 0.999_365_492_298_662_8, 1e-14);
}

/// Miller and Miller, ch. 5: data and printed values from memory; unrounded values computed with numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn weighted_and_unweighted_line() {
    let x = [0.0, 2.0, 4.0, 6.0, 8.0, 10.0];
    let y = [0.009, 0.158, 0.301, 0.472, 0.577, 0.739];
    let weights = [0.001, 0.004, 0.01, 0.013, 0.017, 0.022].map(|u: f64| 1.0 / (u * u));
    let line = fit(&x, &y, &weights).unwrap();
    let stats = statistics(&x, &y, &weights, &line);
    within("weighted slope", line.slope, 0.0738, 5e-5);
    within("weighted intercept", line.intercept, 0.0091, 5e-5);
    close("weighted slope", line.slope, 0.073_759_966_237_050_2, 1e-12);
    close(
        "weighted intercept",
        line.intercept,
        0.009_083_907_773_170_434,
        1e-12,
    );
    let [[intercept, both], [_, slope]] = stats.covariance;
    close("σ(slope)", slope.sqrt(), 0.001_003_036_794_515_162_8, 1e-12);
    close(
        "σ(intercept)",
        intercept.sqrt(),
        0.000_987_715_730_488_148_6,
        1e-12,
    );
    close("covariance", both, -2.309_709_521_548_166_5e-7, 1e-12);
    close("χ²", stats.residual_sum, 4.500_118_771_868_131, 1e-11);
    let scaled = stats.residual_deviation * slope.sqrt();
    close(
        "σ(slope) from scatter",
        scaled,
        0.001_063_895_218_585_412_8,
        1e-11,
    );
    let scaled = stats.residual_deviation * intercept.sqrt();
    close(
        "σ(intercept) from scatter",
        scaled,
        0.001_047_644_561_729_040_6,
        1e-11,
    );
    close(
        "x(0.100)",
        line.inverse(0.100),
        1.232_594_005_461_484_6,
        1e-12,
    );
    close(
        "x(0.600)",
        line.inverse(0.600),
        8.011_338_973_878_324,
        1e-12,
    );

    let unweighted = fit(&x, &y, &[]).unwrap();
    within("unweighted slope", unweighted.slope, 0.0725, 5e-5);
    within("unweighted intercept", unweighted.intercept, 0.0133, 5e-5);
    close(
        "unweighted slope",
        unweighted.slope,
        0.072_542_857_142_857_13,
        1e-13,
    );
    close(
        "unweighted intercept",
        unweighted.intercept,
        0.013_285_714_285_714_29,
        1e-12,
    );
}

/// OpenStax Introductory Statistics 2e, Example 12.6: read in openstax/osbooks-introductory-statistics-bundle.
#[wasm_bindgen_test(unsupported = test)]
fn textbook_line_of_exam_scores() {
    let x = [65, 67, 71, 71, 66, 75, 67, 70, 71, 69, 69].map(f64::from);
    let y = [175, 133, 185, 163, 126, 198, 153, 163, 159, 151, 159].map(f64::from);
    let line = fit(&x, &y, &[]).unwrap();
    within("slope", line.slope, 4.83, 5e-3);
    within("intercept", line.intercept, -173.51, 5e-3);
    let r = statistics(&x, &y, &[], &line).r_squared.sqrt();
    within("r", r, 0.6631, 5e-5); // from memory
    // Unrounded: computed with numpy/scipy.
    close("slope", line.slope, 4.827_394_209_354_119, 1e-13);
    close("intercept", line.intercept, -173.513_363_028_953_14, 1e-13);
    close("r", r, 0.663_093_590_999_517_6, 1e-12);
    close("y(66)", line.at(66.0), 145.094_654_788_418_7, 1e-13);
    close("y(90)", line.at(90.0), 260.952_115_812_917_55, 1e-13);
}

/// Eurachem/CITAC guide CG4, 3rd edition, example A5, tables A5.2 and A5.3: data and printed values from memory;
/// unrounded values computed with numpy/scipy, which reproduce every printed one.
#[wasm_bindgen_test(unsupported = test)]
fn inverse_prediction_from_a_calibration_line() {
    let x = [
        0.1, 0.1, 0.1, 0.3, 0.3, 0.3, 0.5, 0.5, 0.5, 0.7, 0.7, 0.7, 0.9, 0.9, 0.9,
    ];
    let y = [
        0.028, 0.029, 0.029, 0.084, 0.083, 0.081, 0.135, 0.131, 0.133, 0.18, 0.181, 0.183, 0.215,
        0.23, 0.216,
    ];
    let line = fit(&x, &y, &[]).unwrap();
    let stats = statistics(&x, &y, &[], &line);
    let s = stats.residual_deviation;
    let u_slope = s * stats.covariance[1][1].sqrt();
    let u_intercept = s * stats.covariance[0][0].sqrt();
    // Two readings with the mean 0.0712.
    let u_found = stats.inverse_uncertainty(&line, 0.0712, 2.0);
    within("slope", line.slope, 0.241, 5e-5);
    within("u(slope)", u_slope, 0.0050, 5e-5);
    within("intercept", line.intercept, 0.0087, 5e-5);
    within("u(intercept)", u_intercept, 0.0029, 5e-5);
    within("r", stats.r_squared.sqrt(), 0.997, 5e-4);
    within("S", s, 0.005_486, 5e-7);
    within("c₀", line.inverse(0.0712), 0.26, 5e-3);
    within("u(c₀)", u_found, 0.018, 5e-4);
    close("slope", line.slope, 0.241, 1e-13);
    close("u(slope)", u_slope, 0.005_007_686_399_618_438, 1e-11);
    close("intercept", line.intercept, 0.0087, 1e-12);
    close(
        "u(intercept)",
        u_intercept,
        0.002_876_696_823_682_459_2,
        1e-11,
    );
    close("r", stats.r_squared.sqrt(), 0.997_205_333_538_342_7, 1e-12);
    close("S", s, 0.005_485_645_603_965_666_5, 1e-11);
    close("Sxx", stats.x_spread, 1.2, 1e-13);
    close("c₀", line.inverse(0.0712), 0.259_336_099_585_062_26, 1e-12);
    close("u(c₀)", u_found, 0.017_849_434_476_485_994, 1e-11);
}

/// Bank accounts in Neter, Kutner et al., Applied Linear Statistical Models: data and printed result from memory;
/// unrounded values computed with statsmodels 0.15.0, scipy 1.17.1.
#[wasm_bindgen_test(unsupported = test)]
fn lack_of_fit_of_a_line_with_repeats() {
    let x = [
        75.0, 75.0, 100.0, 100.0, 125.0, 125.0, 150.0, 175.0, 175.0, 200.0, 200.0,
    ];
    let y = [
        28.0, 42.0, 112.0, 136.0, 160.0, 150.0, 152.0, 156.0, 124.0, 124.0, 104.0,
    ];
    let test = lack_of_fit(&x, &y).unwrap();
    within("F", test.f, 14.80, 5e-3);
    within("p", test.p, 0.006, 5e-4);
    close("F", test.f, 14.801_361_803_819_987, 1e-12);
    close("p", test.p, 0.005_593_811_718_691_092, 1e-10);
    assert_eq!((test.numerator_dof, test.denominator_dof), (4, 5));
    let line = fit(&x, &y, &[]).unwrap();
    let residual_sum = statistics(&x, &y, &[], &line).residual_sum;
    close("SSE", residual_sum, 14_741.570_680_628_276, 1e-12);
    // The order of the points does not matter.
    let (x, y): (Vec<f64>, Vec<f64>) = x.iter().copied().zip(y).rev().unzip();
    close("F", lack_of_fit(&x, &y).unwrap().f, test.f, 1e-13);
}

#[wasm_bindgen_test(unsupported = test)]
fn lack_of_fit_needs_repeats_that_scatter() {
    assert_eq!(lack_of_fit(&[1.0, 2.0, 3.0], &[1.0, 2.0, 4.0]), None);
    assert_eq!(
        lack_of_fit(&[1.0, 1.0, 2.0, 2.0], &[1.0, 1.1, 2.0, 2.1]),
        None
    );
    assert_eq!(
        lack_of_fit(&[1.0, 1.0, 2.0, 3.0], &[1.0, 1.0, 2.0, 4.0]),
        None
    );
    assert!(lack_of_fit(&[1.0, 1.0, 2.0, 3.0], &[1.0, 1.1, 2.0, 4.0]).is_some());
}

#[wasm_bindgen_test(unsupported = test)]
fn a_shift_of_x_or_y_changes_nothing_but_the_intercept() {
    let (x, y) = columns(NORRIS);
    let line = fit(&x, &y, &[]).unwrap();
    let stats = statistics(&x, &y, &[], &line);
    // A power of two, so that the shifted data are exact but for 20 lost bits.
    let shift = f64::from(1_u32 << 20);
    let moved_x: Vec<f64> = x.iter().map(|x| x + shift).collect();
    let moved = fit(&moved_x, &y, &[]).unwrap();
    let moved_stats = statistics(&moved_x, &y, &[], &moved);
    close("slope", moved.slope, line.slope, 1e-12);
    close("value", moved.at(500.0 + shift), line.at(500.0), 1e-10);
    let half = stats.confidence_half_width(500.0, 0.95);
    let moved_half = moved_stats.confidence_half_width(500.0 + shift, 0.95);
    close("confidence", moved_half, half, 1e-8);
    let raised: Vec<f64> = y.iter().map(|y| y + shift).collect();
    let raised = fit(&x, &raised, &[]).unwrap();
    close("slope", raised.slope, line.slope, 1e-12);
    within("intercept", raised.intercept - shift, line.intercept, 1e-8);
}

/// Worked by hand: slopes and sums that whole numbers far from zero must not blur.
#[wasm_bindgen_test(unsupported = test)]
fn a_line_far_from_zero_keeps_its_digits() {
    let far = 2.0_f64 * f64::from(1_u32 << 31) * 256.0;
    let y = [0.0, 1.0, 5.0, 3.0];
    let x = [0.0, 1.0, 2.0, 3.0];
    let far_x = x.map(|x| x + far);
    let far_y = y.map(|y| y + far);
    let line = fit(&far_x, &far_y, &[]).unwrap();
    close("slope", line.slope, 1.3, 1e-15);
    let stats = statistics(&far_x, &far_y, &[], &line);
    close("residual sum", stats.residual_sum, 6.3, 1e-13);
    // x in tenths, so that the deviations of x do not sum to zero exactly.
    let line = fit(&[0.1, 0.2, 0.3, 0.4], &far_y, &[]).unwrap();
    close("slope", line.slope, 13.0, 1e-14);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_mean_of_several_readings_is_predicted_more_closely_than_one() {
    let (x, y) = ([0.0, 1.0, 2.0, 3.0], [0.0, 1.0, 5.0, 3.0]);
    let stats = statistics(&x, &y, &[], &fit(&x, &y, &[]).unwrap());
    let confidence = stats.confidence_half_width(2.5, 0.9);
    let scatter = t_quantile(0.9, 2.0) * (6.3_f64 / 2.0).sqrt();
    for readings in [1.0, 4.0] {
        let prediction = stats.prediction_half_width(2.5, 0.9, readings);
        let expected = (confidence.squared() + scatter.squared() / readings).sqrt();
        close("prediction", prediction, expected, 1e-13);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_slope_carries_the_derivative_of_every_point() {
    let x = [0.1, 0.9, 2.2, 3.1, 4.05];
    let y = [1.0, 2.9, 5.2, 7.3, 8.8];
    let weights = [1.0, 4.0, 0.5, 2.0, 1.0];
    for i in 0..x.len() {
        let dual = fit(&constants(&x), &seeded(&y, i), &weights).unwrap();
        let slope = difference(&y, i, 1e-3, |y| fit(&x, y, &weights).unwrap().slope);
        let intercept = difference(&y, i, 1e-3, |y| fit(&x, y, &weights).unwrap().intercept);
        within("∂slope/∂y", dual.slope.slope, slope, 1e-11);
        within("∂intercept/∂y", dual.intercept.slope, intercept, 1e-11);

        let dual = fit(&seeded(&x, i), &constants(&y), &weights).unwrap();
        let slope = difference(&x, i, 1e-5, |x| fit(x, &y, &weights).unwrap().slope);
        let intercept = difference(&x, i, 1e-5, |x| fit(x, &y, &weights).unwrap().intercept);
        within("∂slope/∂x", dual.slope.slope, slope, 1e-8);
        within("∂intercept/∂x", dual.intercept.slope, intercept, 1e-8);

        let dual = fit_through_origin(&seeded(&x, i), &constants(&y), &weights).unwrap();
        let slope = difference(&x, i, 1e-5, |x| {
            fit_through_origin(x, &y, &weights).unwrap()
        });
        within("∂(slope through origin)/∂x", dual.slope, slope, 1e-8);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_line_says_what_it_misses() {
    let few = LineError::TooFewPoints {
        needed: 2,
        given: 1,
    };
    assert_eq!(fit(&[1.0], &[1.0], &[]), Err(few));
    assert_eq!(
        fit(&[1.0, 2.0], &[1.0], &[]),
        Err(LineError::UnequalLengths)
    );
    assert_eq!(
        fit(&[1.0, 2.0], &[1.0, 2.0], &[1.0]),
        Err(LineError::UnequalLengths)
    );
    assert_eq!(
        fit(&[0.1; 3], &[1.0, 2.0, 4.0], &[]),
        Err(LineError::AllSameAbscissa)
    );
    assert_eq!(
        fit(&[1.0, f64::NAN], &[1.0, 2.0], &[]),
        Err(LineError::NotFinite { index: 1 })
    );
    for bad in [0.0, -1.0, f64::INFINITY, f64::NAN] {
        let weights = [bad, 1.0];
        let expected = Err(LineError::BadWeight { index: 0 });
        assert_eq!(fit(&[1.0, 2.0], &[1.0, 2.0], &weights), expected);
    }
    assert_eq!(
        fit(&[1e200, -1e200], &[1.0, 2.0], &[]),
        Err(LineError::OutOfRange)
    );
    assert_eq!(
        fit_through_origin(&[0.0, 0.0], &[1.0, 2.0], &[]),
        Err(LineError::AllZeroAbscissa)
    );
    assert_eq!(few.to_string(), "A line needs at least 2 points; 1 given.");
    // Two points: the line is exact and nothing is left to judge the scatter.
    let (x, y) = ([1.0, 3.0], [1.0, 2.0]);
    let line = fit(&x, &y, &[]).unwrap();
    assert_eq!(
        line,
        Line {
            intercept: 0.5,
            slope: 0.5
        }
    );
    assert!(statistics(&x, &y, &[], &line).residual_deviation.is_nan());
}

// ---- polynomial ----

/// Certified values: NIST Statistical Reference Datasets, Pontius.dat.
#[wasm_bindgen_test(unsupported = test)]
fn strd_pontius_quadratic() {
    let (x, y) = columns(PONTIUS);
    let design = Design::new(&x, 2).unwrap();
    let polynomial = design.fit(&y).unwrap();
    let b = polynomial.coefficients();
    close("B0", b[0], 6.735_657_894_736_84e-4, 1e-11);
    close("B1", b[1], 7.320_591_604_010_03e-7, 1e-13);
    close("B2", b[2], -3.160_818_713_450_29e-15, 1e-11);
    let residual_sum: f64 = x
        .iter()
        .zip(&y)
        .map(|(&x, y)| (y - polynomial.evaluate(x)).squared())
        .sum();
    close("residual sum", residual_sum, 1.557_617_687_969_92e-6, 1e-10);
    let s = (residual_sum / 37.0).sqrt();
    close("residual sd", s, 2.051_774_240_761_85e-4, 1e-10);
    close(
        "sd(B0)",
        s * norm(&design.value_weights(0.0)),
        1.079_386_120_330_77e-4,
        1e-10,
    );
    close(
        "sd(B1)",
        s * norm(&design.slope_weights(0.0)),
        1.578_173_999_816_59e-10,
        1e-10,
    );
}

/// Certified values: NIST Statistical Reference Datasets, Wampler5.dat. The coefficients are 1 under a scatter of
/// 2.4e7, so the last bits of y alone move B0 by some 1e-8.
#[wasm_bindgen_test(unsupported = test)]
fn strd_wampler5_fifth_degree() {
    let (x, y) = columns(WAMPLER5);
    let design = Design::new(&x, 5).unwrap();
    let polynomial = design.fit(&y).unwrap();
    let tolerances = [2e-8, 2e-8, 1e-8, 1e-9, 1e-10, 1e-12];
    for (k, (b, tolerance)) in polynomial
        .coefficients()
        .into_iter()
        .zip(tolerances)
        .enumerate()
    {
        close(&format!("B{k}"), b, 1.0, tolerance);
    }
    let residual_sum: f64 = x
        .iter()
        .zip(&y)
        .map(|(&x, y)| (y - polynomial.evaluate(x)).squared())
        .sum();
    close("residual sum", residual_sum, 8.355_426_8e15, 1e-13);
    let s = (residual_sum / 15.0).sqrt();
    close("residual sd", s, 23_601_450.237_926_8, 1e-13);
    close(
        "sd(B0)",
        s * norm(&design.value_weights(0.0)),
        21_523_262.467_817,
        1e-11,
    );
    close(
        "sd(B1)",
        s * norm(&design.slope_weights(0.0)),
        23_635_517.346_968_1,
        1e-11,
    );
}

fn norm(v: &[f64]) -> f64 {
    v.iter().map(|v| v * v).sum::<f64>().sqrt()
}

#[wasm_bindgen_test(unsupported = test)]
fn a_polynomial_through_as_many_points_reproduces_it() {
    // 2 − 3 x + x³, by hand.
    let x = [10.0, 11.0, 12.5, 14.0];
    let y = x.map(|x: f64| 2.0 - 3.0 * x + x * x * x);
    let polynomial = fit_polynomial(&x, &y, 3).unwrap();
    for (found, expected) in polynomial
        .coefficients()
        .into_iter()
        .zip([2.0, -3.0, 0.0, 1.0])
    {
        within("coefficient", found, expected, 1e-8);
    }
    close("value", polynomial.evaluate(13.0), 2160.0, 1e-13);
    close("slope", polynomial.derivative(13.0), 504.0, 1e-12);
    // The local maximum of 2 − 3 x + x³ is 4 at x = −1; the minimum at 1 is not taken for one.
    within(
        "maximum",
        polynomial.interior_maximum(-5.0, 5.0).unwrap(),
        -1.0,
        1e-9,
    );
    assert_eq!(polynomial.interior_maximum(-0.5, 20.0), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_order_of_the_points_does_not_matter() {
    for (x, y) in [([0.0, 2.0], [1.0, 5.0]), ([2.0, 0.0], [5.0, 1.0])] {
        let polynomial = fit_polynomial(&x, &y, 1).unwrap();
        within("value", polynomial.evaluate(3.0), 7.0, 1e-14);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_highest_of_two_maxima_is_found() {
    // Slope −(x + 2)(x − 1)(x − 3): maxima at −2 (the higher) and 3, minimum at 1.
    let value = |x: f64| -x * (x * x * x / 4.0 - 2.0 * x * x / 3.0 - 2.5 * x + 6.0);
    let x: Vec<f64> = (-4..=5).map(f64::from).collect();
    let y: Vec<f64> = x.iter().map(|&x| value(x)).collect();
    let polynomial = fit_polynomial(&x, &y, 4).unwrap();
    within(
        "both",
        polynomial.interior_maximum(-4.0, 5.0).unwrap(),
        -2.0,
        1e-12,
    );
    within(
        "right",
        polynomial.interior_maximum(0.0, 5.0).unwrap(),
        3.0,
        1e-12,
    );
    assert_eq!(polynomial.interior_maximum(-1.0, 2.0), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_polynomial_carries_the_derivative_of_every_y() {
    let x = [0.0, 0.7, 1.3, 2.1, 2.8, 3.6, 4.4];
    let y = [0.2, 1.1, 1.9, 2.2, 2.0, 1.2, 0.1];
    let design = Design::new(&x, 4).unwrap();
    for i in 0..x.len() {
        let polynomial = fit_polynomial(&x, &seeded(&y, i), 4).unwrap();
        let at = polynomial.evaluate(Dual::constant(2.4)).slope;
        let expected = difference(&y, i, 1e-3, |y| {
            fit_polynomial(&x, y, 4).unwrap().evaluate(2.4)
        });
        within("∂value/∂y", at, expected, 1e-11);
        within("weight", design.value_weights(2.4)[i], expected, 1e-11);
        let slope = difference(&y, i, 1e-3, |y| {
            fit_polynomial(&x, y, 4).unwrap().derivative(2.4)
        });
        within("slope weight", design.slope_weights(2.4)[i], slope, 1e-11);
        let top = polynomial.interior_maximum(0.0, 4.4).unwrap().slope;
        let expected = difference(&y, i, 1e-5, |y| {
            fit_polynomial(&x, y, 4)
                .unwrap()
                .interior_maximum(0.0, 4.4)
                .unwrap()
        });
        within("∂maximum/∂y", top, expected, 1e-8);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_polynomial_says_what_it_misses() {
    let too_few = PolynomialError::TooFewAbscissae { needed: 3 };
    assert_eq!(fit_polynomial(&[1.0, 2.0], &[1.0, 2.0], 2), Err(too_few));
    assert_eq!(
        fit_polynomial(&[1.0, 2.0, 2.0], &[1.0, 2.0, 2.1], 2),
        Err(too_few)
    );
    let not_finite = PolynomialError::NotFinite { index: 1 };
    assert_eq!(
        fit_polynomial(&[1.0, f64::NAN], &[1.0, 2.0], 1),
        Err(not_finite)
    );
    assert_eq!(
        fit_polynomial(&[1.0, 2.0], &[1.0, f64::NAN], 1),
        Err(not_finite)
    );
    assert_eq!(
        fit_polynomial(&[1.0, 2.0], &[1.0], 1),
        Err(PolynomialError::UnequalLengths)
    );
    let constant = fit_polynomial(&[3.0, 3.0], &[1.0, 2.0], 0).unwrap();
    within("mean", constant.evaluate(100.0), 1.5, 1e-15);
}

// ---- roots ----

/// x eˣ = a − b x², whose parameters enter in different ways.
struct Example;
impl Equation<2> for Example {
    fn residual<S: Scalar>(&self, x: S, &[a, b]: &[S; 2]) -> S {
        x * x.exp() - a + b * x * x
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_solved_root_carries_the_derivative_of_every_parameter() {
    let given = [2.0, 0.7];
    let plain = |given: &[f64]| solve(&Example, &[given[0], given[1]], (0.0, 5.0), 0.0).unwrap();
    for i in 0..2 {
        let duals = seeded(&given, i);
        let root = solve(&Example, &[duals[0], duals[1]], (0.0, 5.0), 0.0).unwrap();
        assert_eq!(
            root.value,
            plain(&given),
            "the value does not depend on the scalar"
        );
        close(
            "∂x/∂p",
            root.slope,
            difference(&given, i, 1e-5, plain),
            1e-9,
        );
    }
    // A parameter that both sides share: the chain a = p², b = p.
    let p = Dual::seed(1.3);
    let root = solve(&Example, &[p * p, p], (0.0, 5.0), 0.0).unwrap();
    let expected = difference(&[1.3], 0, 1e-5, |p| plain(&[p[0] * p[0], p[0]]));
    close("∂x/∂p", root.slope, expected, 1e-9);
}

/// The omega constant, x eˣ = 1: DLMF 4.13, value from memory, confirmed with mpmath 1.4.1.
#[wasm_bindgen_test(unsupported = test)]
fn known_roots() {
    let omega = solve(&Example, &[1.0, 0.0], (0.0, 1.0), 0.0).unwrap();
    close("Ω", omega, 0.567_143_290_409_783_8, 2e-16);
    let root = bracketed_root((0.0, 2.0), 0.0, |x| x * x - 2.0).unwrap();
    close("√2", root, core::f64::consts::SQRT_2, 4e-16);
    // Ends in either order, a root at an end, a flat root, a step, and scales far apart.
    let root = bracketed_root((2.0, 0.0), 0.0, |x| x * x - 2.0).unwrap();
    close("√2", root, core::f64::consts::SQRT_2, 4e-16);
    assert_eq!(bracketed_root((1.0, 2.0), 0.0, |x| x - 1.0), Ok(1.0));
    assert_eq!(bracketed_root((1.0, 2.0), 0.0, |x| x - 2.0), Ok(2.0));
    let flat = bracketed_root((-1.0, 4.0), 1e-9, |x: f64| {
        (x - 1.0) * (x - 1.0) * (x - 1.0)
    })
    .unwrap();
    within("flat", flat, 1.0, 1e-5);
    let step = bracketed_root((0.0, 1.0), 0.0, |x| if x < 0.3 { -1.0 } else { 1e9 }).unwrap();
    close("step", step, 0.3, 1e-15);
    let steep = bracketed_root((1e-12, 1e3), 0.0, |x| 1e-9 - 1.0 / (x * 1e12)).unwrap();
    close("steep", steep, 1e-3, 1e-15);
}

#[wasm_bindgen_test(unsupported = test)]
fn few_evaluations_find_a_root() {
    let mut calls = 0;
    bracketed_root((0.0, 5.0), 0.0, |x| {
        calls += 1;
        Scalar::exp(x) - 10.0
    })
    .unwrap();
    assert!(calls <= 15, "{calls} evaluations");
}

/// x³ = p: level at the root where p = 0.
struct Cube;
impl Equation<1> for Cube {
    fn residual<S: Scalar>(&self, x: S, &[p]: &[S; 1]) -> S {
        x * x * x - p
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_root_says_what_it_misses() {
    let outside = solve(&Cube, &[8.0], (3.0, 4.0), 0.0);
    let expected = RootError::NotBracketed {
        at_low: 19.0,
        at_high: 56.0,
    };
    assert_eq!(outside, Err(expected));
    assert_eq!(
        solve(&Cube, &[0.0], (0.0, 1.0), 0.0),
        Err(RootError::Tangent { x: 0.0 })
    );
    assert_eq!(
        bracketed_root((-1.0, 1.0), 0.0, |x| if x == 0.0 { f64::NAN } else { x }),
        Err(RootError::NotFinite { x: 0.0 })
    );
    assert_eq!(
        bracketed_root((f64::NAN, 1.0), 0.0, |x| x).map_err(|e| e.to_string()),
        Err("The equation cannot be evaluated for these inputs.".to_string())
    );
}

// ---- measured curves ----

/// Current over voltage, and power over voltage, of the published silicon cell.
fn rtc() -> (Curve, Curve) {
    let (voltage, current) = columns(RTC);
    let curve = Curve::new(&voltage, &current).unwrap();
    let power = curve.map(|v, i| v * i);
    (curve, power)
}

/// Computed with scipy 1.17.1, numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_by_straight_lines() {
    let (curve, power) = rtc();
    let voc = curve.zero_crossing().unwrap();
    let isc = curve.linear(0.0).unwrap();
    let (_, vmp, pmax) = power.largest();
    close("Voc", voc.x, 0.572_692_511_013_211_1, 1e-14);
    assert!(voc.inside && isc.inside);
    close("Isc", isc.y, 0.7605, 1e-15);
    // The largest of V times the straight line is at a point: the library's search ends 1.3e-9 beside it.
    within("Vmp", vmp, 0.459, 1e-15);
    within("Imp", pmax / vmp, 0.6755, 1e-15);
    close("Pmax", pmax, 0.310_054_5, 1e-15);
    within("FF", pmax / (voc.x * isc.y), 0.711_897, 5e-7);
}

/// Computed with scipy 1.17.1, numpy 2.4.6: open circuit by root search, maximum by bounded search.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_by_monotone_cubic() {
    let (curve, _) = rtc();
    let cubic = curve.monotone_cubic().unwrap();
    let voc = bracketed_root((0.5, 0.59), 0.0, |v| cubic.evaluate(v)).unwrap();
    let slope_of_power = |v: f64| cubic.evaluate(v) + v * cubic.derivative(v);
    let vmp = bracketed_root((0.3, 0.57), 0.0, slope_of_power).unwrap();
    let (isc, pmax) = (cubic.evaluate(0.0), vmp * cubic.evaluate(vmp));
    close("Voc", voc, 0.572_717_612_725_452_9, 1e-12);
    close("Isc", isc, 0.7605, 1e-14);
    within("Vmp", vmp, 0.451_460, 5e-7);
    within("Imp", cubic.evaluate(vmp), 0.687_846, 5e-7);
    close("Pmax", pmax, 0.310_534_828_402_313_86, 1e-12);
    close("FF", pmax / (voc * isc), 0.712_968_854_652_833, 1e-12);
}

/// Computed with Python 3.11 float64.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_peak_by_parabola_and_by_quartic() {
    let (_, power) = rtc();
    let parabola = power.parabola_peak().unwrap();
    close("Vmp", parabola.x, 0.450_479_636_846_899_46, 1e-12);
    close("Pmax", parabola.y, 0.310_845_797_062_981_43, 1e-12);
    close("Imp", parabola.y / parabola.x, 0.690_032_959_622_159, 1e-12);
    let quartic = power.quartic_peak().unwrap();
    close("Vmp", quartic.x, 0.451_117_042_878_712_24, 1e-9);
    close("Pmax", quartic.y, 0.310_595_772_322_321_1, 1e-11);
}

/// First five points, and points below 0.3 of the largest voltage: computed with scipy 1.17.1, numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_slope_at_short_circuit_by_line() {
    let (v, i) = columns(RTC);
    let five = fit(&v[..5], &i[..5], &[]).unwrap();
    close("−dV/dI", -1.0 / five.slope, 69.836_183_988_674_24, 1e-8);
    close("Isc", five.intercept, 0.760_474_118_941_238_2, 1e-12);
    let seven = fit(&v[..7], &i[..7], &[]).unwrap();
    close("−dV/dI", -1.0 / seven.slope, 63.402_405_138_741_73, 1e-10);
    close("Isc", seven.intercept, 0.760_345_203_703_417_2, 1e-12);
}

/// Computed with scipy 1.17.1, PchipInterpolator, on points with a turn, a level stretch and uneven steps.
#[wasm_bindgen_test(unsupported = test)]
fn monotone_cubic_values_and_slopes() {
    let x = [0.0, 1.0, 2.5, 3.0, 4.2, 5.0, 7.0];
    let y = [0.0, 0.5, 0.4, 2.0, 2.0, 5.0, 4.5];
    let cubic = MonotoneCubic::new(&x, &y).unwrap();
    let expected = [
        (0.0, 0.0, 0.726_666_666_666_666_7),
        (0.3, 0.21482, 0.680_866_666_666_666_7),
        (1.7, 0.454_992_592_592_592_6, -0.099_555_555_555_555_55),
        (2.6, 0.5664, 3.072),
        (3.5, 2.0, 0.0),
        (4.6, 3.5, 5.625),
        (6.2, 4.892, -0.27),
        (6.9, 4.571_312_5, -0.676_875),
        (7.0, 4.5, -0.75),
    ];
    for (at, value, slope) in expected {
        within("value", cubic.evaluate(at), value, 1e-14);
        within("slope", cubic.derivative(at), slope, 2e-13);
    }
    for (&x, &y) in x.iter().zip(&y) {
        assert_eq!(cubic.evaluate(x), y, "the points are met exactly");
    }
    // It never leaves the range of the two points round it.
    for step in 0..=700 {
        let at = f64::from(step) / 100.0;
        let i = x.partition_point(|&x| x <= at).clamp(1, 6);
        let (low, high) = (y[i - 1].min(y[i]), y[i - 1].max(y[i]));
        let value = cubic.evaluate(at);
        assert!(
            low - 1e-14 <= value && value <= high + 1e-14,
            "{value} at {at}"
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn weights_of_a_crossing_and_of_peaks_are_derivatives() {
    let (v, i) = columns(RTC);
    // Given in falling order: results name points as given.
    let (v, i): (Vec<f64>, Vec<f64>) = v.into_iter().zip(i).rev().unzip();
    let curve = Curve::new(&v, &i).unwrap();

    let crossing = curve.zero_crossing().unwrap();
    assert_eq!(crossing.weights.map(|w| w.0), [3, 2]);
    for (point, weight) in crossing.weights {
        let expected = difference(&i, point, 1e-5, |i| {
            Curve::new(&v, i).unwrap().zero_crossing().unwrap().x
        });
        close("∂Voc/∂I", weight, expected, 1e-7);
    }
    let value = curve.linear(0.1).unwrap();
    for (point, weight) in value.weights {
        let expected = difference(&i, point, 1e-3, |i| {
            Curve::new(&v, i).unwrap().linear(0.1).unwrap().y
        });
        within("∂I/∂I", weight, expected, 1e-12);
    }

    let power: Vec<f64> = v.iter().zip(&i).map(|(v, i)| v * i).collect();
    type Method = fn(&Curve) -> Result<glasswick_core::numerics::curve::Peak, CurveError>;
    let methods: [(Method, usize); 2] = [(Curve::parabola_peak, 3), (Curve::quartic_peak, 7)];
    for (method, points) in methods {
        let at = |y: &[f64]| method(&Curve::new(&v, y).unwrap()).unwrap();
        let peak = at(&power);
        assert_eq!((peak.weights.len(), peak.x_weights.len()), (points, points));
        for ((point, weight), (same, x_weight)) in peak.weights.iter().zip(&peak.x_weights) {
            assert_eq!(point, same);
            let height = difference(&power, *point, 1e-6, |y| at(y).y);
            within("∂y/∂y", *weight, height, 1e-8);
            let place = difference(&power, *point, 1e-6, |y| at(y).x);
            close("∂x/∂y", *x_weight, place, 1e-4);
        }
        // A common offset lifts the peak by itself and does not move it.
        let lifted: f64 = peak.weights.iter().map(|w| w.1).sum();
        within("sum of weights", lifted, 1.0, 1e-12);
        let moved: f64 = peak.x_weights.iter().map(|w| w.1).sum();
        within("sum of place weights", moved, 0.0, 1e-10);
    }
}

/// Worked by hand: a parabola is its own fourth-degree fit, wherever the window lies.
#[wasm_bindgen_test(unsupported = test)]
fn a_peak_beside_an_end_takes_the_seven_outermost_points() {
    let x: Vec<f64> = (0..10).map(f64::from).collect();
    for top in [1.2, 8.1] {
        let y: Vec<f64> = x.iter().map(|x| 4.0 - (x - top).squared()).collect();
        let peak = Curve::new(&x, &y).unwrap().quartic_peak().unwrap();
        within("place", peak.x, top, 1e-12);
        within("height", peak.y, 4.0, 1e-13);
        assert_eq!(peak.weights[0].0, if top < 5.0 { 0 } else { 3 });
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_monotone_cubic_carries_the_derivative_of_every_y() {
    let x = [0.0, 0.4, 1.1, 1.5, 2.3];
    let y = [3.0, 2.8, 2.1, 1.2, 0.1];
    for i in 0..x.len() {
        let duals = seeded(&y, i);
        let cubic = MonotoneCubic::new(&x, &duals).unwrap();
        for at in [0.1, 0.35, 0.9, 1.3, 2.2] {
            let value = difference(&y, i, 1e-5, |y| {
                MonotoneCubic::new(&x, y).unwrap().evaluate(at)
            });
            within("∂value/∂y", cubic.evaluate(at).slope, value, 1e-8);
            let slope = difference(&y, i, 1e-5, |y| {
                MonotoneCubic::new(&x, y).unwrap().derivative(at)
            });
            within("∂slope/∂y", cubic.derivative(at).slope, slope, 1e-8);
        }
    }
}

/// Worked by hand.
#[wasm_bindgen_test(unsupported = test)]
fn crossings_inside_beyond_and_at_a_point() {
    let crossing = |x: &[f64], y: &[f64]| Curve::new(x, y).unwrap().zero_crossing();
    let found = crossing(&[0.0, 1.0, 2.0], &[3.0, 1.0, -1.0]).unwrap();
    assert_eq!((found.x, found.inside), (1.5, true));
    assert_eq!(found.weights, [(1, 0.25), (2, 0.25)]);
    let beyond = crossing(&[0.0, 1.0, 2.0], &[5.0, 3.0, 1.0]).unwrap();
    assert_eq!((beyond.x, beyond.inside), (2.5, false));
    let before = crossing(&[1.0, 2.0, 3.0], &[1.0, 3.0, 5.0]).unwrap();
    assert_eq!((before.x, before.inside), (0.5, false));
    for y in [[2.0, 0.0, -1.0], [-2.0, 0.0, 1.0]] {
        let at_point = crossing(&[0.0, 1.0, 2.0], &y).unwrap();
        assert_eq!((at_point.x, at_point.inside), (1.0, true));
    }
    let at_end = crossing(&[0.0, 1.0, 2.0], &[2.0, 1.0, 0.0]).unwrap();
    assert_eq!((at_end.x, at_end.inside), (2.0, true));
    // Both ends lead to zero: the nearer one is extended.
    let left = crossing(&[0.0, 1.0, 2.0], &[1.0, 2.0, 1.5]).unwrap();
    assert_eq!((left.x, left.inside), (-1.0, false));
    let right = crossing(&[0.0, 1.0, 2.0], &[1.5, 2.0, 1.0]).unwrap();
    assert_eq!((right.x, right.inside), (3.0, false));
    for y in [[1.0, 0.0, 0.0], [1.0, 0.0, 1.0], [0.0, 0.0, 1.0]] {
        let touching = crossing(&[0.0, 1.0, 2.0], &y).unwrap();
        assert_eq!((touching.x, touching.inside), (1.0, true));
    }
    let no = Err(CurveError::NoCrossing);
    assert_eq!(crossing(&[0.0, 1.0, 2.0], &[1.0, 1.0, 1.0]), no);
    assert_eq!(crossing(&[0.0, 1.0, 2.0], &[1.0, 0.5, 1.0]), no);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_curve_says_what_it_misses() {
    assert_eq!(Curve::new(&[1.0], &[]), Err(CurveError::UnequalLengths));
    let empty = CurveError::TooFewPoints {
        needed: 1,
        given: 0,
    };
    assert_eq!(Curve::new(&[], &[]), Err(empty));
    let infinite = CurveError::NotFinite { index: 1 };
    assert_eq!(
        Curve::new(&[1.0, 2.0], &[1.0, f64::INFINITY]),
        Err(infinite)
    );
    let repeated = CurveError::RepeatedAbscissa {
        first: 0,
        second: 2,
    };
    assert_eq!(Curve::new(&[0.0, 1.0, -0.0], &[1.0; 3]), Err(repeated));
    let rising = Curve::new(&[0.0, 1.0, 2.0], &[1.0, 2.0, 3.0]).unwrap();
    assert_eq!(rising.parabola_peak(), Err(CurveError::LargestAtEnd));
    let few = CurveError::TooFewPoints {
        needed: 7,
        given: 3,
    };
    assert_eq!(rising.quartic_peak(), Err(few));
    assert_eq!(
        few.to_string(),
        "This method needs at least 7 points; 3 given."
    );
    let single = Curve::new(&[1.0], &[1.0]).unwrap();
    assert!(single.linear(1.0).is_err() && single.zero_crossing().is_err());
    assert!(single.monotone_cubic().is_err());
}

// ---- distributions ----

/// The table of JCGM 100 (GUM) table G.2 and more: computed with scipy 1.17.1.
#[wasm_bindgen_test(unsupported = test)]
fn t_quantiles_of_the_table() {
    let table = rows(T_QUANTILES);
    assert_eq!(table.len(), 182);
    for row in table {
        let (nu, level, expected) = (row[0], row[1], row[2]);
        let found = t_quantile(level, nu);
        close(&format!("t({level}, {nu})"), found, expected, 2e-13);
        let back = 2.0 * t_cdf(found, nu) - 1.0;
        within("level", back, level, 1e-14);
    }
}

/// Computed with mpmath 1.4.1, 40 digits.
#[wasm_bindgen_test(unsupported = test)]
fn t_quantiles_between_and_beyond_whole_degrees_of_freedom() {
    for (nu, level, expected) in [
        (0.3, 0.95, 6_582.035_699_400_758),
        (0.5, 0.5, 1.553_773_974_030_037_3),
        (2.5, 0.95, 3.574_654_842_003_681_8),
        (7.3, 0.6827, 1.073_370_516_046_514_7),
        (16.7, 0.9545, 2.161_322_954_929_571_8),
        (1e4, 0.95, 1.960_201_239_890_626),
        (1e6, 0.95, 1.959_966_356_814_106_7),
        (3.0, 1e-3, 0.001_360_350_082_597_361_4),
        (5.0, 0.999_999_999, 113.655_051_719_502_7),
        (f64::INFINITY, 0.95, 1.959_963_984_540_053_9),
    ] {
        close(
            &format!("t({level}, {nu})"),
            t_quantile(level, nu),
            expected,
            1e-13,
        );
    }
    // Far out it goes over into the normal distribution without a jump or a failure.
    for nu in [1e9, 1e12, 1e15, 1e18, 1e300] {
        for level in [0.1, 0.6827, 0.95, 0.999] {
            let normal = t_quantile(level, f64::INFINITY);
            close(
                &format!("t({level}, {nu})"),
                t_quantile(level, nu),
                normal,
                1e-8,
            );
        }
    }
    assert!(t_quantile(0.95, 0.0).is_nan() && t_quantile(0.95, f64::NAN).is_nan());
    assert!(t_quantile(1.5, 3.0).is_nan() && t_quantile(f64::NAN, 3.0).is_nan());
    assert_eq!(
        (t_quantile(0.0, 3.0), t_quantile(1.0, 3.0)),
        (0.0, f64::INFINITY)
    );
    assert_eq!(t_quantile(0.95, 1e-5), f64::INFINITY);
}

/// Computed with mpmath 1.4.1, 40 digits.
#[wasm_bindgen_test(unsupported = test)]
fn t_probabilities() {
    for (t, nu, expected) in [
        (-2.1, 18.0, 0.025_045_202_854_784_176),
        (1.5, 0.7, 0.779_817_451_490_379_8),
        (-40.0, 3.0, 1.719_034_039_457_926_4e-5),
        (-1e-9, 4.0, 0.499_999_999_625),
        (-1.3, 1e12, 0.096_800_484_585_760_14),
        (0.0, 5.0, 0.5),
    ] {
        close(&format!("P({t}, {nu})"), t_cdf(t, nu), expected, 1e-13);
    }
    assert_eq!(
        (t_cdf(f64::INFINITY, 3.0), t_cdf(f64::NEG_INFINITY, 3.0)),
        (1.0, 0.0)
    );
    assert!(t_cdf(1.0, -1.0).is_nan() && t_cdf(f64::NAN, 1.0).is_nan());
}

/// Computed with mpmath 1.4.1, 40 digits; the lower share with scipy 1.17.1.
#[wasm_bindgen_test(unsupported = test)]
fn f_probabilities() {
    for (f, a, b, above) in [
        (14.801_361_803_819_987, 3.0, 6.0, 0.003_520_975_259_153_228),
        (3.2, 4.5, 17.25, 0.035_098_803_719_657_42),
        (1.02, 1000.0, 2000.0, 0.356_450_345_293_455_1),
        (250.0, 2.0, 9.0, 1.299_754_327_143_107_3e-8),
        (0.01, 5.0, 5.0, 0.999_947_570_866_421_5),
    ] {
        close(
            &format!("Q({f}, {a}, {b})"),
            f_survival(f, a, b),
            above,
            1e-12,
        );
        within("sum", f_cdf(f, a, b) + f_survival(f, a, b), 1.0, 1e-15);
    }
    close(
        "P",
        f_cdf(0.01, 5.0, 5.0),
        5.242_913_357_854_935_4e-5,
        1e-12,
    );
    // By symmetry.
    close("median", f_cdf(1.0, 1e6, 1e6), 0.5, 1e-9);
    assert_eq!(
        (
            f_survival(0.0, 2.0, 3.0),
            f_survival(f64::INFINITY, 2.0, 3.0)
        ),
        (1.0, 0.0)
    );
    assert!(f_survival(1.0, 0.0, 3.0).is_nan() && f_survival(f64::NAN, 2.0, 3.0).is_nan());
}

/// Computed with mpmath 1.4.1, 40 digits.
#[wasm_bindgen_test(unsupported = test)]
fn normal_quantiles() {
    for (p, expected) in [
        (0.975, 1.959_963_984_540_053_9),
        (0.51, 0.025_068_908_258_711_058),
        (0.3, -0.524_400_512_708_040_8),
        (1e-10, -6.361_340_902_404_057),
        (1e-300, -37.047_096_299_361_2),
    ] {
        close(&format!("z({p})"), normal_quantile(p), expected, 1e-14);
        close("back", normal_cdf(normal_quantile(p)), p, 1e-12);
    }
    assert_eq!(normal_quantile(0.5), 0.0);
    assert_eq!(
        (normal_quantile(0.0), normal_quantile(1.0)),
        (f64::NEG_INFINITY, f64::INFINITY)
    );
    assert!(normal_quantile(-0.1).is_nan() && normal_quantile(f64::NAN).is_nan());
}
