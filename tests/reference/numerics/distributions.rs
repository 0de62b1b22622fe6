//! Student's t, Fisher's F and the normal distribution.

use glasswick_core::numerics::student::{
    f_cdf, f_survival, normal_cdf, normal_quantile, t_cdf, t_quantile,
};
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, rows, within};

const T_QUANTILES: &str = include_str!("../data/t_quantiles.csv");

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
