//! Comparisons of samples: Welch's tests as the project has them; with one common variance, a difference of two means is
//! the slope of a line over 0 and 1 (pooled).

use glasswick_core::numerics::comparison::{
    SampleMean, analyse, compare, components, holm, readings_needed,
};
use glasswick_core::numerics::line::{fit, statistics};
use glasswick_core::numerics::sample::{mean, standard_deviation};
use glasswick_core::numerics::student::{t_cdf, t_quantile};
use glasswick_core::scalar::Scalar;
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, within};

/// A difference over its standard uncertainty, with the degrees of freedom.
struct Test {
    t: f64,
    degrees_of_freedom: f64,
}

impl Test {
    /// Share of Student's distribution outside −t … t.
    fn two_sided(&self) -> f64 {
        2.0 * t_cdf(-self.t.abs(), self.degrees_of_freedom)
    }
}

/// The first less the second, as the project compares them.
fn welch(a: &[f64], b: &[f64]) -> Test {
    let [a, b] = [a, b].map(|sample| SampleMean::of(sample, &[]).unwrap());
    let compared = compare(&b, &a).unwrap();
    let test = Test {
        t: compared.t,
        degrees_of_freedom: compared.difference.degrees_of_freedom,
    };
    assert_eq!(compared.p, test.two_sided());
    test
}

/// One line through both samples, `b` at 0 and `a` at 1; also the pooled standard deviation.
fn pooled(a: &[f64], b: &[f64]) -> (Test, f64) {
    let x = [vec![1.0; a.len()], vec![0.0; b.len()]].concat();
    let y = [a, b].concat();
    let line = fit(&x, &y, &[]).unwrap();
    let stats = statistics(&x, &y, &[], &line);
    let s = stats.residual_deviation;
    let test = Test {
        t: line.slope / (s * stats.covariance[1][1].sqrt()),
        degrees_of_freedom: stats.degrees_of_freedom as f64,
    };
    (test, s)
}

/// Some sample with this mean and standard deviation, where only these are published.
pub(crate) fn sample(size: usize, mean: f64, deviation: f64) -> Vec<f64> {
    let away = deviation * ((size as f64 - 1.0) / 2.0).sqrt();
    let mut readings = vec![mean; size];
    readings[0] += away;
    readings[1] -= away;
    readings
}

/// OpenStax Introductory Statistics 2e, Example 10.1: read in openstax/osbooks-introductory-statistics-bundle
/// (commit 1f6a3582). The book has s = √0.75 for 0.866 in its degrees of freedom.
#[wasm_bindgen_test(unsupported = test)]
fn welch_from_published_means() {
    let b = sample(16, 3.2, 1.0);
    let test = welch(&sample(9, 2.0, 0.75_f64.sqrt()), &b);
    within("100 t", 100.0 * test.t, -314.0, 0.5);
    within("ν", test.degrees_of_freedom, 18.8462, 5e-5);
    within("p", test.two_sided(), 0.0054, 5e-5);
    // Unrounded, with s = 0.866: computed with numpy/scipy.
    let test = welch(&sample(9, 2.0, 0.866), &b);
    close("t", test.t, -3.142_390_292_286_547_6, 1e-12);
    close("ν", test.degrees_of_freedom, 18.846_591_253_365_77, 1e-12);
    close("p", test.two_sided(), 0.005_401_921_297_382_214, 1e-11);
}

/// OpenStax Introductory Statistics 2e, Examples 10.2 and 10.4: read in the same book; unrounded values computed with
/// numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn welch_to_one_side() {
    let (a, b) = (sample(11, 4.0, 1.5), sample(9, 3.5, 1.0));
    let test = welch(&a, &b);
    within("p", 0.5 * test.two_sided(), 0.1928, 5e-5);
    close("t", test.t, 0.889_943_818_451_479_5, 1e-12);
    close("ν", test.degrees_of_freedom, 17.397_839_884_199_975, 1e-12);
    close("p", 0.5 * test.two_sided(), 0.192_818_543_418_706_8, 1e-12);
    // Cohen's d: the difference over the pooled standard deviation.
    let (_, s) = pooled(&a, &b);
    within("d", 0.5 / s, 0.384, 5e-4);
    close("d", 0.5 / s, 0.384_110_639_798_687_9, 1e-12);
}

/// OpenStax Introductory Statistics 2e, Example 10.3: read in the same book; unrounded values computed with
/// numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn welch_from_readings() {
    let online = [
        67.6, 41.2, 85.3, 55.9, 82.4, 91.2, 73.5, 94.1, 64.7, 64.7, 70.6, 38.2, 61.8, 88.2, 70.6,
        58.8, 91.2, 73.5, 82.4, 35.5, 94.1, 88.2, 64.7, 55.9, 88.2, 97.1, 85.3, 61.8, 79.4, 79.4,
    ];
    let face_to_face = [
        77.9, 95.3, 81.2, 74.1, 98.8, 88.2, 85.9, 92.9, 87.1, 88.2, 69.4, 57.6, 69.4, 67.1, 97.6,
        85.9, 88.2, 91.8, 78.8, 71.8, 98.8, 61.2, 92.9, 90.6, 97.6, 100.0, 95.3, 83.5, 92.9, 89.4,
    ];
    let test = welch(&online, &face_to_face);
    within("p", 0.5 * test.two_sided(), 0.0011, 5e-5);
    close("mean", mean(&online), 72.85, 1e-15);
    close("mean", mean(&face_to_face), 84.98, 1e-15);
    close(
        "s",
        standard_deviation(&online),
        16.918_766_360_831_803,
        1e-14,
    );
    close(
        "s",
        standard_deviation(&face_to_face),
        11.714_164_723_633_255,
        1e-14,
    );
    close("t", test.t, -3.228_583_298_022_728_3, 1e-12);
    close("ν", test.degrees_of_freedom, 51.608_666_079_861_514, 1e-12);
    close(
        "p",
        0.5 * test.two_sided(),
        0.001_082_449_611_903_597_8,
        1e-11,
    );
}

/// Examples 1 and 2 of the encyclopaedia article "Welch's t-test": data and printed values from memory; unrounded
/// values computed with numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn welch_and_pooled_on_the_same_readings() {
    let a = [
        27.5, 21.0, 19.0, 23.6, 17.0, 17.9, 16.9, 20.1, 21.9, 22.6, 23.1, 19.6, 19.0, 21.7, 21.4,
    ];
    let b = [
        27.1, 22.0, 20.8, 23.4, 23.4, 23.5, 25.8, 22.0, 24.8, 20.2, 21.9, 22.1, 22.9, 20.5, 24.4,
    ];
    let test = welch(&a, &b);
    within("t", test.t, -2.46, 5e-3);
    within("ν", test.degrees_of_freedom, 25.0, 0.05);
    within("p", test.two_sided(), 0.021, 5e-4);
    close("t", test.t, -2.455_356_398_286_006, 1e-12);
    close("ν", test.degrees_of_freedom, 24.988_529_290_231_416, 1e-12);
    close("p", test.two_sided(), 0.021_378_001_462_866_992, 1e-11);
    let (test, _) = pooled(&a, &b);
    assert_eq!(test.degrees_of_freedom, 28.0);
    close("p", test.two_sided(), 0.020_544_522_734_125_926, 1e-11);

    // The larger variance in the smaller sample: the two tests disagree at 5 %.
    let a = [17.2, 20.9, 22.6, 18.1, 21.7, 21.4, 23.5, 24.2, 14.7, 21.8];
    let b = [
        21.5, 22.8, 21.0, 23.0, 21.6, 23.6, 22.5, 20.7, 23.4, 21.8, 20.7, 21.7, 21.5, 22.5, 23.6,
        21.5, 22.5, 23.5, 21.5, 21.8,
    ];
    let test = welch(&a, &b);
    within("ν", test.degrees_of_freedom, 9.9, 0.05);
    within("p", test.two_sided(), 0.149, 5e-4);
    close("t", test.t, -1.565_433_523_598_503_7, 1e-12);
    close("ν", test.degrees_of_freedom, 9.904_741_248_650_831, 1e-12);
    close("p", test.two_sided(), 0.148_841_696_605_328_17, 1e-11);
    let (test, _) = pooled(&a, &b);
    close("t", test.t, -2.100_049_637_610_443_4, 1e-12);
    close("p", test.two_sided(), 0.044_858_516_530_886_32, 1e-11);
}

/// NIST/SEMATECH e-Handbook 1.3.5.3 (AUTO83B.DAT): summary and printed values from memory; unrounded values computed
/// with numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn two_fleets_of_cars() {
    let a = sample(249, 20.144_58, 6.414_7);
    let b = sample(79, 30.481_01, 6.107_71);
    let (test, s) = pooled(&a, &b);
    within("pooled s", s, 6.3426, 5e-6);
    within("t", test.t, -12.620_59, 2e-5);
    within(
        "t(0.95, ν)",
        t_quantile(0.95, test.degrees_of_freedom),
        1.9673,
        5e-5,
    );
    close("pooled s", s, 6.342_600_815_210_088, 1e-12);
    close("t", test.t, -12.620_585_000_444_76, 1e-12);
    let test = welch(&a, &b);
    close("t", test.t, -12.946_267_565_658_848, 1e-12);
    close("ν", test.degrees_of_freedom, 136.874_990_093_693_7, 1e-12);
}

/// NIST/SEMATECH e-Handbook 7.3.1.1: data and printed values from memory; unrounded values computed with numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn two_ways_of_assembly() {
    let a = [32, 37, 35, 28, 41, 44, 35, 31, 34].map(f64::from);
    let b = [35, 31, 29, 25, 34, 40, 27, 32, 31].map(f64::from);
    let (test, _) = pooled(&a, &b);
    within("t", test.t, 1.65, 5e-3);
    // To one side at 95 %.
    within(
        "critical t",
        t_quantile(0.9, test.degrees_of_freedom),
        1.746,
        5e-4,
    );
    close("s", standard_deviation(&a), 4.944_132_324_730_441, 1e-14);
    close("s", standard_deviation(&b), 4.475_240_527_365_851, 1e-14);
    close("t", test.t, 1.649_484_616_573_401_6, 1e-12);
    close("p", test.two_sided(), 0.118_539_802_481_169_81, 1e-11);
}

/// Plant weights (Dobson 1983), one-way analysis without a common variance: data and printed values from memory;
/// unrounded values computed with statsmodels 0.15.0, scipy 1.17.1.
#[wasm_bindgen_test(unsupported = test)]
fn three_groups_of_plants() {
    let groups = [
        [4.17, 5.58, 5.18, 6.11, 4.5, 4.61, 5.17, 4.53, 5.33, 5.14],
        [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69],
        [6.31, 5.12, 5.54, 5.5, 5.37, 5.29, 4.92, 6.15, 5.8, 5.26],
    ];
    let means = groups.map(|group| SampleMean::of(&group, &[]).unwrap());
    let found = analyse(&means).unwrap();
    assert_eq!(found.numerator, 2.0);
    within("F", found.f, 5.181, 5e-4);
    within("ν", found.denominator, 17.128, 5e-4);
    within("p", found.p, 0.017_39, 5e-6);
    close("F", found.f, 5.180_972_408_113_194_5, 1e-12);
    close("ν", found.denominator, 17.128_418_616_644_137, 1e-12);
    close("p", found.p, 0.017_392_821_490_169_92, 1e-11);
    // Of two means, it is the square of t.
    let two = analyse(&means[..2]).unwrap();
    let compared = compare(&means[0], &means[1]).unwrap();
    close("F", two.f, compared.t.squared(), 1e-12);
    close(
        "ν",
        two.denominator,
        compared.difference.degrees_of_freedom,
        1e-12,
    );
    close("p", two.p, compared.p, 1e-12);
}

/// What defines no comparison gives none.
#[wasm_bindgen_test(unsupported = test)]
fn without_scatter_nothing_is_compared() {
    assert_eq!(SampleMean::of(&[1.0], &[]), None);
    let still = SampleMean::of(&[1.0, 1.0], &[]).unwrap();
    assert_eq!(compare(&still, &still), None);
    let other = SampleMean::of(&[1.0, 2.0], &[]).unwrap();
    assert!(compare(&still, &other).is_some());
    assert_eq!(analyse(&[still, other]), None);
    assert_eq!(analyse(&[other]), None);
    assert_eq!(analyse(&[]), None);
    assert_eq!(components(&[vec![1.0], vec![2.0]]), None);
    assert_eq!(components(&[]), None);
    let one = components(&[vec![1.0, 3.0]]).unwrap();
    assert_eq!((one.within, one.between), (2.0, None));
}

/// Counted up one by one with t of scipy 1.17.1. The first is Example 8.7 of OpenStax Introductory Statistics 2e, which has
/// 217 with a standard deviation that is known.
#[wasm_bindgen_test(unsupported = test)]
fn readings_for_an_interval() {
    for (variances, half_width, expected) in [
        (&[225.0][..], 2.0, 219),
        (&[0.04, 0.023_333_333_333_33], 0.3, 5),
        (&[0.04, 0.023_333_333_333_33], 0.1, 26),
        (&[0.04], 0.1, 18),
        (&[1e-12], 1.0, 2),
    ] {
        assert_eq!(readings_needed(variances, 0.95, half_width), Some(expected));
    }
    assert_eq!(readings_needed(&[1.0], 0.95, 1e-9), None);
    assert_eq!(readings_needed(&[0.0], 0.95, 1.0), None);
    assert_eq!(readings_needed(&[], 0.95, 1.0), None);
    assert_eq!(readings_needed(&[f64::NAN], 0.95, 1.0), None);
}

/// Corrected by hand: 3·0.01, 2·0.02 and 1·0.03, but never below the one before; statsmodels 0.15.0 `multipletests` gives
/// the same.
#[wasm_bindgen_test(unsupported = test)]
fn holm_corrects_for_the_number_of_comparisons() {
    let corrected = holm(&[0.03, 0.01, 0.02]);
    for (found, expected) in corrected.iter().zip([0.04, 0.03, 0.04]) {
        close("p", *found, expected, 1e-15);
    }
    assert_eq!(holm(&[0.6, 0.5]), [1.0, 1.0]);
    assert_eq!(holm(&[0.2]), [0.2]);
    assert!(holm(&[]).is_empty());
}

/// Documentation of scipy 1.17.1, `scipy.stats.ttest_ind`, trimmed at 20 %: read. Only the probability of the t given
/// there: the project has no trimmed mean.
#[wasm_bindgen_test(unsupported = test)]
fn probability_of_a_trimmed_comparison() {
    let test = Test {
        t: 3.446_388_402_807_351_3,
        degrees_of_freedom: 6.0,
    };
    close("p", test.two_sided(), 0.013_693_387_264_995_47, 1e-12);
}
