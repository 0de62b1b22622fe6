//! Least-squares polynomials.

use glasswick_core::numerics::polynomial::{Design, PolynomialError, fit_polynomial};
use glasswick_core::numerics::sample::mean;
use glasswick_core::scalar::{Dual, Scalar};
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, columns, difference, rows, seeded, within};

const PONTIUS: &str = include_str!("../data/strd_pontius.csv");
const WAMPLER: &str = include_str!("../data/strd_wampler.csv");
const FILIP: &str = include_str!("../data/strd_filip.csv");

/// Certified values of a set: coefficients with their standard deviations, and the analysis of variance.
struct Certified {
    coefficients: Vec<f64>,
    deviations: Vec<f64>,
    residual_deviation: f64,
    residual_sum: f64,
    regression_sum: f64,
    r_squared: f64,
    f: f64,
}

/// How far from the certified values a fit may be, relative.
struct Allowed {
    coefficients: f64,
    deviations: f64,
    sums: f64,
}

#[track_caller]
fn agrees(x: &[f64], y: &[f64], certified: &Certified, allowed: &Allowed) {
    let degree = certified.coefficients.len() - 1;
    let freedom = (x.len() - degree - 1) as f64;
    let design = Design::new(x, degree).unwrap();
    let polynomial = design.fit(y).unwrap();
    let off = |(&x, y): (&f64, &f64)| (y - polynomial.evaluate(x)).squared();
    let residual_sum: f64 = x.iter().zip(y).map(off).sum();
    let centre = mean(y);
    let whole_sum: f64 = y.iter().map(|y| (y - centre).squared()).sum();
    let regression_sum = whole_sum - residual_sum;
    let f = regression_sum / degree as f64 / (residual_sum / freedom);
    let s = (residual_sum / freedom).sqrt();
    for (name, found, expected) in [
        ("residual sum", residual_sum, certified.residual_sum),
        ("residual sd", s, certified.residual_deviation),
        ("regression sum", regression_sum, certified.regression_sum),
        ("R²", regression_sum / whole_sum, certified.r_squared),
        ("F", f, certified.f),
    ] {
        close(name, found, expected, allowed.sums);
    }

    // How much each y counts in each coefficient: the fit of a one among zeros.
    let mut variances = vec![0.0; degree + 1];
    for i in 0..y.len() {
        let mut single = vec![0.0; y.len()];
        single[i] = 1.0;
        let weights = design.fit(&single).unwrap().coefficients();
        for (variance, weight) in variances.iter_mut().zip(weights) {
            *variance += weight.squared();
        }
    }
    for (k, b) in polynomial.coefficients().into_iter().enumerate() {
        let expected = certified.coefficients[k];
        close(&format!("B{k}"), b, expected, allowed.coefficients);
        let found = s * variances[k].sqrt();
        let expected = certified.deviations[k];
        close(&format!("sd(B{k})"), found, expected, allowed.deviations);
    }
    // The same from the weights that formulas use.
    for (k, weights) in [design.value_weights(0.0), design.slope_weights(0.0)]
        .iter()
        .enumerate()
    {
        let found = s * weights.iter().map(|w| w * w).sum::<f64>().sqrt();
        let expected = certified.deviations[k];
        close(&format!("sd(B{k})"), found, expected, allowed.deviations);
    }
}

/// Certified values: NIST Statistical Reference Datasets, Pontius.dat.
#[wasm_bindgen_test(unsupported = test)]
fn strd_pontius_quadratic() {
    let (x, y) = columns(PONTIUS);
    let certified = Certified {
        coefficients: vec![
            6.735_657_894_736_84e-4,
            7.320_591_604_010_03e-7,
            -3.160_818_713_450_29e-15,
        ],
        deviations: vec![
            1.079_386_120_330_77e-4,
            1.578_173_999_816_59e-10,
            4.866_528_499_920_36e-17,
        ],
        residual_deviation: 2.051_774_240_761_85e-4,
        residual_sum: 1.557_617_687_969_92e-6,
        regression_sum: 15.604_034_324_419_8,
        r_squared: 0.999_999_900_178_537,
        f: 185_330_865.995_752,
    };
    let allowed = Allowed {
        coefficients: 1e-11,
        deviations: 1e-10,
        sums: 1e-10,
    };
    agrees(&x, &y, &certified, &allowed);
}

/// x and y of one of the five sets.
fn wampler(set: usize) -> (Vec<f64>, Vec<f64>) {
    rows(WAMPLER).iter().map(|row| (row[0], row[set])).unzip()
}

/// Certified values: NIST Statistical Reference Datasets, Wampler1.dat and Wampler2.dat: no scatter.
#[wasm_bindgen_test(unsupported = test)]
fn strd_wampler_without_scatter() {
    for (set, base) in [(1, 1.0), (2, 0.1)] {
        let (x, y) = wampler(set);
        let polynomial = fit_polynomial(&x, &y, 5).unwrap();
        for (k, b) in (0..).zip(polynomial.coefficients()) {
            close(&format!("B{k}"), b, Scalar::powi(base, k), 1e-9);
        }
        let largest = y[y.len() - 1];
        for (&x, &y) in x.iter().zip(&y) {
            within("value", polynomial.evaluate(x), y, 1e-14 * largest);
        }
    }
}

/// Certified values: NIST Statistical Reference Datasets, Wampler3.dat to Wampler5.dat. Every coefficient is 1, under
/// a scatter of 2.4e3, 2.4e5 and 2.4e7. At the last, one unit in the last place of y is 4e-9, which leaves a fit in
/// double precision eight digits.
#[wasm_bindgen_test(unsupported = test)]
fn strd_wampler_with_more_and_more_scatter() {
    for (set, scatter, r_squared, coefficients) in [
        (3, 1.0, 0.999_995_559_025_82, 1e-9),
        (4, 1e2, 0.957_478_440_825_662, 1e-9),
        (5, 1e4, 0.002_246_689_215_749_4, 2e-8),
    ] {
        let (x, y) = wampler(set);
        let deviations = [
            2_152.326_246_781_7,
            2_363.551_734_696_81,
            779.343_524_331_583,
            101.475_507_550_35,
            5.645_665_121_707_52,
            0.112_324_854_679_312,
        ];
        let certified = Certified {
            coefficients: vec![1.0; 6],
            deviations: deviations.map(|sd| sd * scatter).to_vec(),
            residual_deviation: 2_360.145_023_792_68 * scatter,
            residual_sum: 83_554_268.0 * scatter.squared(),
            regression_sum: 18_814_317_208_116.7,
            r_squared,
            f: 675_524.458_240_122 / scatter.squared(),
        };
        let allowed = Allowed {
            coefficients,
            deviations: 1e-11,
            sums: 1e-10,
        };
        agrees(&x, &y, &certified, &allowed);
    }
}

/// Certified values: NIST Statistical Reference Datasets, Filip.dat.
#[wasm_bindgen_test(unsupported = test)]
fn strd_filip_tenth_degree() {
    let (x, y) = columns(FILIP);
    let certified = Certified {
        coefficients: vec![
            -1_467.489_614_229_8,
            -2_772.179_591_933_42,
            -2_316.371_081_608_93,
            -1_127.973_940_983_72,
            -354.478_233_703_349,
            -75.124_201_739_375_7,
            -10.875_318_035_534_3,
            -1.062_214_985_889_47,
            -0.067_019_115_459_340_8,
            -0.002_467_810_782_754_79,
            -4.029_625_250_804_04e-5,
        ],
        deviations: vec![
            298.084_530_995_537,
            559.779_865_474_95,
            466.477_572_127_796,
            227.204_274_477_751,
            71.647_866_087_592_7,
            15.289_717_874_74,
            2.236_911_598_160_33,
            0.221_624_321_934_227,
            0.014_236_376_315_472_4,
            5.356_174_088_898_21e-4,
            8.966_328_373_738_68e-6,
        ],
        residual_deviation: 0.003_348_010_513_245_44,
        residual_sum: 7.958_513_821_729_41e-4,
        regression_sum: 0.242_391_619_837_339,
        r_squared: 0.996_727_416_185_62,
        f: 2_162.439_545_114_89,
    };
    let allowed = Allowed {
        coefficients: 1e-9,
        deviations: 1e-9,
        sums: 1e-10,
    };
    agrees(&x, &y, &certified, &allowed);
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
