//! Straight lines, their statistics and intervals.

use glasswick_core::numerics::line::{
    Line, LineError, fit, fit_through_origin, lack_of_fit, lack_of_fit_through_origin, statistics,
    statistics_through_origin,
};
use glasswick_core::numerics::student::t_quantile;
use glasswick_core::scalar::{Dual, Scalar};
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, columns, difference, seeded, within};
use crate::properties::Generator;

const NORRIS: &str = include_str!("../data/strd_norris.csv");
const NOINT2: &str = include_str!("../data/strd_noint2.csv");

fn constants(values: &[f64]) -> Vec<Dual> {
    values.iter().map(|&v| Dual::constant(v)).collect()
}

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
    let regression_sum = line.slope.squared() * stats.x_spread;
    close(
        "regression sum",
        regression_sum,
        4_255_954.132_323_69,
        1e-14,
    );
    close(
        "F",
        regression_sum / s.squared(),
        5_436_385.540_797_85,
        1e-12,
    );
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
    let regression_sum = slope.squared() / stats.variance;
    close(
        "regression sum",
        regression_sum,
        40.727_272_727_272_7,
        1e-14,
    );
    let f = regression_sum / stats.residual_deviation.squared();
    close("F", f, 298.666_666_666_666_7, 1e-13);
    assert_eq!(stats.degrees_of_freedom, 2);
}

/// Certified values: NIST Statistical Reference Datasets, NoInt1.dat, read in mathnet/mathnet-numerics data/NIST
/// (commit 4deb9e90).
#[wasm_bindgen_test(unsupported = test)]
fn strd_noint1_through_the_origin() {
    let x: Vec<f64> = (60..=70).map(f64::from).collect();
    let y: Vec<f64> = (130..=140).map(f64::from).collect();
    let slope = fit_through_origin(&x, &y, &[]).unwrap();
    let stats = statistics_through_origin(&x, &y, &[], slope);
    close("B1", slope, 2.074_380_165_289_26, 2e-15);
    let deviation = stats.residual_deviation * stats.variance.sqrt();
    close("sd(B1)", deviation, 0.016_528_925_619_834_7, 1e-13);
    close(
        "residual sd",
        stats.residual_deviation,
        3.567_530_340_063_38,
        1e-13,
    );
    close(
        "residual sum",
        stats.residual_sum,
        127.272_727_272_727,
        1e-13,
    );
    close("R²", stats.r_squared, 0.999_365_492_298_663, 1e-14);
    let regression_sum = slope.squared() / stats.variance;
    close("regression sum", regression_sum, 200_457.727_272_727, 1e-14);
    let f = regression_sum / stats.residual_deviation.squared();
    close("F", f, 15_750.25, 1e-12);
    assert_eq!(stats.degrees_of_freedom, 10);
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
    // Example 12.11 of the book predicts from the rounded line.
    let rounded = Line {
        intercept: -173.51,
        slope: 4.83,
    };
    within("y(66), rounded line", rounded.at(66.0), 145.27, 5e-3);
    within("y(90), rounded line", rounded.at(90.0), 261.19, 5e-3);
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
    within("SSE", residual_sum, 14_742.0, 0.5);
    close("SSE", residual_sum, 14_741.570_680_628_276, 1e-12);
    // F is the ratio of the mean squares of the two parts of the residual sum.
    let pure_error = residual_sum / (1.0 + test.f * 4.0 / 5.0);
    close("SS pure error", pure_error, 1148.0, 1e-12);
    // The order of the points does not matter.
    let (x, y): (Vec<f64>, Vec<f64>) = x.iter().copied().zip(y).rev().unzip();
    close("F", lack_of_fit(&x, &y).unwrap().f, test.f, 1e-13);
}

/// Invented readings; F and p computed with numpy 2.4.6, scipy 1.17.1.
#[wasm_bindgen_test(unsupported = test)]
fn lack_of_fit_through_the_origin() {
    let x = [2.0, 2.0, 4.0, 4.0, 6.0, 6.0, 8.0, 8.0];
    let y = [1.85, 1.78, 3.55, 3.68, 5.30, 5.42, 7.12, 6.98];
    let test = lack_of_fit_through_origin(&x, &y).unwrap();
    close("F", test.f, 0.894_862_604_540_018_8, 1e-10);
    close("p", test.p, 0.517_045_520_239_663_9, 1e-10);
    assert_eq!((test.numerator_dof, test.denominator_dof), (3, 4));
    let free = lack_of_fit(&x, &y).unwrap();
    close("F", free.f, 0.433_691_756_272_399_7, 1e-10);
    close("p", free.p, 0.675_349_914_649_674_4, 1e-10);
    // Two different x leave nothing for a line with an intercept to miss.
    let (x, y) = (&x[2..6], &y[2..6]);
    assert!(lack_of_fit(x, y).is_none() && lack_of_fit_through_origin(x, y).is_some());
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

/// A second way to the same line: the normal equations in whole numbers of 128 bits, which lose no digit.
#[wasm_bindgen_test(unsupported = test)]
fn weighted_lines_agree_with_exact_arithmetic() {
    let mut numbers = Generator::new(1_805);
    let mut whole = |to: f64| numbers.between(1.0, to).round() as i64;
    for round in 0..400 {
        // Near zero, and so far away that twelve digits of x are the same.
        let (far, tolerance) = if round % 2 == 0 {
            (0, 1e-13)
        } else {
            (1_i64 << 38, 1e-12)
        };
        let points: Vec<[i64; 3]> = (0..2 + whole(40.0))
            .map(|i| [far + 7 * i + whole(1e3), whole(1e4) - 300, whole(1e3)])
            .collect();
        let column = |k: usize| -> Vec<f64> { points.iter().map(|p| p[k] as f64).collect() };
        let (x, y, weights) = (column(0), column(1), column(2));
        let sum = |term: fn(i128, i128) -> i128| -> i128 {
            let each = |&[x, y, w]: &[i64; 3]| i128::from(w) * term(x.into(), y.into());
            points.iter().map(each).sum()
        };
        let (one, sx, sy) = (sum(|_, _| 1), sum(|x, _| x), sum(|_, y| y));
        let (sxx, sxy, syy) = (sum(|x, _| x * x), sum(|x, y| x * y), sum(|_, y| y * y));
        let xx = one * sxx - sx * sx;
        let xy = one * sxy - sx * sy;
        let yy = one * syy - sy * sy;
        let ratio = |numerator: i128, denominator: i128| numerator as f64 / denominator as f64;

        let line = fit(&x, &y, &weights).unwrap();
        let stats = statistics(&x, &y, &weights, &line);
        // The steepest line that such a scatter of y could have sets the scale of what is small.
        let steepest = ratio(yy, xx).sqrt();
        within("slope", line.slope, ratio(xy, xx), tolerance * steepest);
        let intercept = ratio(sxx * sy - sx * sxy, xx);
        let scale = steepest * (stats.x_mean.abs() + y[0].abs());
        within("intercept", line.intercept, intercept, tolerance * scale);
        close("mean of x", stats.x_mean, ratio(sx, one), 1e-15);
        close("spread of x", stats.x_spread, ratio(xx, one), tolerance);
        let [[both_intercept, both], [same, slope]] = stats.covariance;
        assert_eq!(both, same);
        close("var(slope)", slope, ratio(one, xx), tolerance);
        close("covariance", both, ratio(-sx, xx), tolerance);
        close("var(intercept)", both_intercept, ratio(sxx, xx), tolerance);
        let residual_sum = ratio(yy * xx - xy * xy, xx) / one as f64;
        let all = ratio(yy, one);
        within(
            "residual sum",
            stats.residual_sum,
            residual_sum,
            tolerance * all,
        );
        within(
            "R²",
            stats.r_squared,
            ratio(xy * xy, xx) / yy as f64,
            tolerance,
        );
    }
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
