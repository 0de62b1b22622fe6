//! First-order propagation of published examples: derivatives by dual numbers, and the budget of the result.
//!
//! Not a card each: these are formulas of other trades, written here over duals as a calculator writes its own.

use glasswick_core::numerics::student::{normal_quantile, t_quantile};
use glasswick_core::scalar::{Dual, Scalar};
use glasswick_core::uncertainty::{
    Budget, BudgetRow, Distribution, EvaluationType, Meaning, Origin,
};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};

/// An input: estimate, standard uncertainty, degrees of freedom.
type Given = (f64, f64, f64);

const NO_LIMIT: f64 = f64::INFINITY;

/// The result of a formula of independent inputs.
struct FirstOrder {
    value: f64,
    /// ∂result/∂input · u, in the order of the inputs.
    contributions: Vec<f64>,
    budget: Budget,
}

fn first_order<const N: usize>(
    given: [Given; N],
    formula: impl Fn([Dual; N]) -> Dual,
) -> FirstOrder {
    let estimates = given.map(|(value, ..)| Dual::constant(value));
    let slope = |i: usize| {
        let mut seeded = estimates;
        seeded[i] = Dual::seed(given[i].0);
        formula(seeded).slope
    };
    let slopes: Vec<f64> = (0..N).map(slope).collect();
    let rows = (0..N).map(|i| BudgetRow {
        origin: Origin::Leaf(i),
        sensitivity: Some(slopes[i]),
        uncertainty: Some(given[i].1),
        contribution: slopes[i].abs() * given[i].1,
        share: 0.0,
        evaluation: EvaluationType::B,
        degrees_of_freedom: given[i].2,
    });
    let value = formula(estimates).value;
    FirstOrder {
        value,
        contributions: slopes
            .iter()
            .zip(given)
            .map(|(slope, (_, u, _))| slope * u)
            .collect(),
        budget: Budget::combine(rows.collect(), value),
    }
}

// ---- shapes of limits ----

/// Divisors of a half-width of one: JCGM 100:2008, 4.3.4 to 4.3.9 and F.2.2.1, from memory; values computed with
/// scipy.
#[wasm_bindgen_test(unsupported = test)]
fn standard_uncertainty_of_every_shape() {
    let limit = |shape| Meaning::Limit(shape).standard(1.0);
    let expanded = |coverage_factor| Meaning::Expanded { coverage_factor }.standard(1.0);
    for (name, found, expected) in [
        (
            "rectangular",
            limit(Distribution::Rectangular),
            0.577_350_269_189_625_8,
        ),
        (
            "triangular",
            limit(Distribution::Triangular),
            0.408_248_290_463_863_1,
        ),
        (
            "arcsine",
            limit(Distribution::Arcsine),
            core::f64::consts::FRAC_1_SQRT_2,
        ),
        (
            "trapezoidal, β = 0.5",
            limit(Distribution::Trapezoidal { top: 0.5 }),
            0.456_435_464_587_638_45,
        ),
        (
            "95 % of a normal, k = 1.96",
            expanded(1.96),
            0.510_204_081_632_653_1,
        ),
        // Even odds to lie within ± 1.
        (
            "50 % of a normal",
            expanded(normal_quantile(0.75)),
            1.482_602_218_505_602,
        ),
        // A last digit of 1 is rounded to within half of it.
        (
            "resolution",
            Meaning::Limit(Distribution::Rectangular).standard(0.5),
            0.288_675_134_594_812_9,
        ),
    ] {
        close(name, found, expected, 1e-15);
    }
    // The trapezoid goes over into its two neighbours.
    let trapezoidal = |top| limit(Distribution::Trapezoidal { top });
    close(
        "β = 0",
        trapezoidal(0.0),
        limit(Distribution::Triangular),
        1e-15,
    );
    close(
        "β = 1",
        trapezoidal(1.0),
        limit(Distribution::Rectangular),
        1e-15,
    );
}

// ---- correlation through shared inputs ----

/// Closed form; inputs as in the help of R metRology's GUM (read in cran/metRology). Correlation is what inputs share:
/// each quantity is the sum of a common part and one of its own.
#[wasm_bindgen_test(unsupported = test)]
fn a_difference_of_correlated_quantities() {
    const U: f64 = 0.26;
    let none = first_order([(45.3, U, NO_LIMIT), (46.0, U, NO_LIMIT)], |[a, b]| a - b);
    close(
        "r = 0",
        none.budget.uncertainty,
        0.367_695_526_217_004_74,
        1e-15,
    );
    let half = U / 2.0_f64.sqrt();
    let parts = [
        (0.0, half, NO_LIMIT),
        (45.3, half, NO_LIMIT),
        (46.0, half, NO_LIMIT),
    ];
    let shared = first_order(parts, |[common, a, b]| (a + common) - (b + common));
    close("r = 0.5", shared.budget.uncertainty, 0.26, 1e-15);
    let whole = first_order([(0.0, U, NO_LIMIT)], |[common]| {
        (common + 45.3) - (common + 46.0)
    });
    assert_eq!(whole.budget.uncertainty, 0.0);
    let opposite = first_order([(0.0, U, NO_LIMIT)], |[common]| {
        (common + 45.3) - (-common + 46.0)
    });
    close("r = −1", opposite.budget.uncertainty, 0.52, 1e-15);
}

/// Principle: a quantity used twice is fully correlated with itself.
#[wasm_bindgen_test(unsupported = test)]
fn a_quantity_used_twice() {
    let x = [(5.0, 0.1, NO_LIMIT)];
    assert_eq!(first_order(x, |[x]| x - x).budget.uncertainty, 0.0);
    assert_eq!(first_order(x, |[x]| x / x).budget.uncertainty, 0.0);
    close(
        "x x",
        first_order(x, |[x]| x * x).budget.uncertainty,
        1.0,
        1e-15,
    );
}

/// Closed form. What first order misses here is left to the Monte Carlo.
#[wasm_bindgen_test(unsupported = test)]
fn formulas_that_first_order_sees_only_in_part() {
    let product = |[a, b]: [Dual; 2]| a * b;
    let zero = first_order([(0.0, 0.1, NO_LIMIT), (0.0, 0.2, NO_LIMIT)], product);
    assert_eq!(zero.budget.uncertainty, 0.0);
    let found = first_order([(2.3, 0.030, NO_LIMIT), (1.1, 0.015, NO_LIMIT)], product);
    close("x₁ x₂", found.value, 2.53, 1e-15);
    close(
        "u(x₁ x₂)",
        found.budget.uncertainty,
        0.047_741_491_388_518_645,
        1e-15,
    );
    let u = Meaning::Limit(Distribution::Rectangular).standard(1.0);
    let found = first_order([(2.0, u, NO_LIMIT)], |[x]| Dual::constant(1.0) / x);
    close("1/x", found.value, 0.5, 1e-15);
    close(
        "u(1/x)",
        found.budget.uncertainty,
        0.144_337_567_297_406_46,
        1e-15,
    );
}

// ---- JCGM 101 ----

/// JCGM 101:2008, 9.2.4, published values from memory: the normal interval, which is 17 % too wide.
#[wasm_bindgen_test(unsupported = test)]
fn one_dominant_rectangular_input() {
    let given = [1.0, 1.0, 1.0, 10.0].map(|u| (0.0, u, NO_LIMIT));
    let found = first_order(given, |[a, b, c, d]| a + b + c + d);
    within("u", found.budget.uncertainty, 10.1, 0.05);
    close("u", found.budget.uncertainty, 10.148_891_565_092_22, 1e-15);
    let half = t_quantile(0.95, NO_LIMIT) * found.budget.uncertainty;
    within("half-width", half, 19.9, 0.05);
    close("half-width", half, 19.891_461_950_583_093, 1e-14);
}

/// JCGM 101:2008, 9.3, mass calibration: inputs read in cran/propagate, published values from memory. The density of
/// the air has no sensitivity at its estimate.
#[wasm_bindgen_test(unsupported = test)]
fn mass_calibration() {
    let rectangular = |low: f64, high: f64| {
        let u = Meaning::Limit(Distribution::Rectangular).standard(0.5 * (high - low));
        (0.5 * (low + high), u, NO_LIMIT)
    };
    let given = [
        (100_000.0, 0.050, NO_LIMIT),
        (1.234, 0.020, NO_LIMIT),
        rectangular(1.1, 1.3),
        rectangular(7000.0, 9000.0),
        rectangular(7950.0, 8050.0),
    ];
    let found = first_order(given, |[reference, small, air, weight, standard]| {
        let one = Dual::constant(1.0);
        let buoyancy = (air - 1.2) * (one / weight - one / standard);
        (reference + small) * (buoyancy + 1.0) - 100_000.0
    });
    within("estimate", found.value, 1.234, 1e-9);
    within("u", found.budget.uncertainty, 0.0539, 5e-5);
    close(
        "u",
        found.budget.uncertainty,
        0.053_851_648_071_345_05,
        1e-10,
    );
}

/// JCGM 101:2008, 9.4.2, comparison loss: inputs read in cran/propagate, published values from memory. In 10⁻⁶.
#[wasm_bindgen_test(unsupported = test)]
fn comparison_loss() {
    for (x, expected, u) in [(0.01, 100.0, 100.0), (0.05, 2500.0, 500.0)] {
        let given = [(x, 0.005, NO_LIMIT), (0.0, 0.005, NO_LIMIT)];
        let found = first_order(given, |[a, b]| (a * a + b * b) * 1e6);
        close("estimate", found.value, expected, 1e-14);
        close("u", found.budget.uncertainty, u, 1e-14);
    }
}

// ---- JCGM 100, Eurachem ----

/// Eurachem/CITAC CG4, example A1: inputs and published values read; contributions computed with numpy.
#[wasm_bindgen_test(unsupported = test)]
fn cadmium_calibration_standard() {
    let concentration = |[purity, mass, volume]: [Dual; 3]| mass * purity * 1000.0 / volume;
    let check = |given: [Given; 3], contributions: [f64; 3], u: f64| {
        let found = first_order(given, concentration);
        within("c", found.value, 1002.7, 0.05);
        close("c", found.value, 1_002.699_72, 1e-14);
        for (found, expected) in found.contributions.iter().zip(contributions) {
            close("contribution", *found, expected, 1e-13);
        }
        close("u", found.budget.uncertainty, u, 1e-13);
        found.budget.uncertainty
    };
    // With the uncertainties as table A1.1 prints them.
    let given = [
        (0.9999, 0.000_058, NO_LIMIT),
        (100.28, 0.05, NO_LIMIT),
        (100.0, 0.07, NO_LIMIT),
    ];
    let contributions = [0.058_162_4, 0.499_95, -0.701_889_804];
    let u = check(given, contributions, 0.863_702_590_150_636_6);
    within("u", u, 0.9, 0.05);
    within("u/c", u / 1002.7, 0.0009, 5e-5);
    close("U", 2.0 * u, 1.727_405_180_301_273, 1e-13);

    // From the components, without rounding on the way: 0.8 where the guide prints 0.9.
    let limit = |shape, half_width| Meaning::Limit(shape).standard(half_width);
    let calibration = limit(Distribution::Triangular, 0.1);
    let temperature = limit(Distribution::Rectangular, 100.0 * 4.0 * 2.1e-4);
    close("u(V_cal)", calibration, 0.040_824_829_046_386_304, 1e-15);
    close("u(V_T)", temperature, 0.048_497_422_611_928_57, 1e-15);
    let volume = (calibration.squared() + 0.02_f64.squared() + temperature.squared()).sqrt();
    within("u(V)", volume, 0.07, 5e-3);
    close("u(V)", volume, 0.066_473_052_184_074_32, 1e-14);
    let given = [
        (0.9999, limit(Distribution::Rectangular, 0.0001), NO_LIMIT),
        (100.28, 0.05, NO_LIMIT),
        (100.0, volume, NO_LIMIT),
    ];
    let contributions = [0.057_896_684_994_335_68, 0.499_95, -0.666_525_108_125_167];
    let u = check(given, contributions, 0.835_199_226_768_439_2);
    within("u", u, 0.9, 0.07);
}

/// Eurachem/CITAC CG4, example A2: inputs and published values read; contributions computed with numpy.
#[wasm_bindgen_test(unsupported = test)]
fn standardisation_of_sodium_hydroxide() {
    let given = [
        (1.0, 0.0005, NO_LIMIT),
        (0.3888, 0.000_13, NO_LIMIT),
        (1.0, 0.000_29, NO_LIMIT),
        (204.2212, 0.0038, NO_LIMIT),
        (18.64, 0.013, NO_LIMIT),
    ];
    let found = first_order(given, |[repeatability, mass, purity, molar, volume]| {
        repeatability * mass * purity * 1000.0 / (molar * volume)
    });
    within("c", found.value, 0.102_14, 5e-6);
    within("u", found.budget.uncertainty, 0.0001, 5e-6);
    within(
        "u/c",
        found.budget.uncertainty / found.value,
        0.000_97,
        5e-6,
    );
    close("c", found.value, 0.102_136_159_706_790_69, 1e-14);
    close(
        "u",
        found.budget.uncertainty,
        9.863_655_207_996_282e-5,
        1e-9,
    );
    let expected = [
        5.106_807_984_822_659e-5,
        3.415_046_491_908_156e-5,
        2.961_948_631_398_37e-5,
        -1.900_475_595_597_162_3e-6,
        -7.123_230_022_716_214e-5,
    ];
    for (found, expected) in found.contributions.iter().zip(expected) {
        close("contribution", *found, expected, 1e-9);
    }
    // Largest first: the volume, the repeatability, the mass, the purity, the molar mass.
    let order: Vec<Origin> = found.budget.rows.iter().map(|row| row.origin).collect();
    assert_eq!(order, [4, 0, 1, 2, 3].map(Origin::Leaf));
}

/// The same, its components: from memory, computed with numpy. The guide rounds on the way (0.13 mg, 0.013 mL).
#[wasm_bindgen_test(unsupported = test)]
fn components_of_the_standardisation() {
    let limit = |shape, half_width| Meaning::Limit(shape).standard(half_width);
    let purity = limit(Distribution::Rectangular, 0.0005);
    within("u(P)", purity, 0.000_29, 5e-6);
    close("u(P)", purity, 0.000_288_675_134_594_812_9, 1e-14);
    // Linearity counts twice: with the load and without.
    let reading = limit(Distribution::Rectangular, 0.15);
    close("linearity", reading, 0.086_602_540_378_443_87, 1e-15);
    let given = [(388.8, reading, NO_LIMIT), (0.0, reading, NO_LIMIT)];
    let mass = first_order(given, |[gross, tare]| gross - tare)
        .budget
        .uncertainty;
    within("u(m)", mass, 0.13, 0.01);
    close("u(m)", mass, 0.122_474_487_139_158_91, 1e-14);
    let calibration = limit(Distribution::Triangular, 0.03);
    let temperature = limit(Distribution::Rectangular, 18.64 * 2.1e-4 * 3.0);
    close("u(V), limit", calibration, 0.012_247_448_713_915_891, 1e-14);
    close(
        "u(V), temperature",
        temperature,
        0.006_779_939_681_147_614,
        1e-14,
    );
    let given = [(18.64, calibration, NO_LIMIT), (0.0, temperature, NO_LIMIT)];
    let volume = first_order(given, |[read, expansion]| read + expansion)
        .budget
        .uncertainty;
    within("u(V)", volume, 0.013, 1e-3);
    close("u(V)", volume, 0.013_998_842_169_265_287, 1e-14);
    // C₈H₅O₄K: one leaf for each element, so that its atoms are fully correlated.
    let element = |weight: f64, last_digits: f64| {
        (
            weight,
            limit(Distribution::Rectangular, last_digits),
            NO_LIMIT,
        )
    };
    let elements = [
        element(12.0107, 0.0008),
        element(1.007_94, 0.000_07),
        element(15.9994, 0.0003),
        element(39.0983, 0.0001),
    ];
    let molar = first_order(elements, |[c, h, o, k]| c * 8.0 + h * 5.0 + o * 4.0 + k);
    within("M", molar.value, 204.2212, 5e-5);
    within("u(M)", molar.budget.uncertainty, 0.0038, 5e-5);
    close(
        "u(M)",
        molar.budget.uncertainty,
        0.003_765_302_112_712_87,
        1e-12,
    );
}

/// JCGM 100:2008, H.1, end gauge, in nm: inputs and 32, 93 nm read in cran/metRology and cran/propagate; l, degrees of
/// freedom and t from memory; contributions computed with numpy. The second-order 34 nm is for the Monte Carlo.
#[wasm_bindgen_test(unsupported = test)]
fn end_gauge() {
    let given = [
        (50_000_623.0, 25.0, 18.0),
        (215.0, 9.7, 25.6),
        (0.0, 0.58e-6, 50.0),
        (-0.1, 0.41, NO_LIMIT),
        (11.5e-6, 1.2e-6, NO_LIMIT),
        (0.0, 0.029, 2.0),
    ];
    let found = first_order(given, |[standard, d, da, theta, alpha, dt]| {
        standard + d - standard * (da * theta + alpha * dt)
    });
    close("l", found.value, 50_000_838.0, 1e-15);
    let u = found.budget.uncertainty;
    within("u", u, 32.0, 0.5);
    close("u", u, 31.710_609_640_431_85, 1e-14);
    let expected = [25.0, 9.7, 2.900_036_134, 0.0, 0.0, -16.675_207_770_500_002];
    for (found, expected) in found.contributions.iter().zip(expected) {
        within("contribution", *found, expected, 1e-12);
    }
    // Temperature and expansion have no sensitivity at their estimates, and no row.
    let order: Vec<Origin> = found.budget.rows.iter().map(|row| row.origin).collect();
    assert_eq!(order, [0, 5, 1, 2].map(Origin::Leaf));
    let freedom = found.budget.degrees_of_freedom;
    close("ν", freedom, 16.656_062_703_003_922, 1e-13);
    assert_eq!(freedom.floor(), 16.0);
    let t = t_quantile(0.99, freedom.floor());
    within("t", t, 2.92, 5e-3);
    close("t", t, 2.920_781_622_425_1, 1e-12);
    within("U", t * u, 93.0, 0.5);
    close("U", t * u, 92.619_765_873_669_56, 1e-12);
}

/// JCGM 100:2008, H.1.3, the difference of the two gauges: inputs read in cran/metRology; values computed with numpy.
/// The clause prints 25.6 degrees of freedom, from u rounded to 9.7.
#[wasm_bindgen_test(unsupported = test)]
fn difference_of_two_gauges() {
    let repeated = 13.0 / 5.0_f64.sqrt();
    close("13/√5", repeated, 5.813_776_741_499_453, 1e-15);
    // The clause goes on with 5.8.
    let given = [(215.0, 5.8, 24.0), (0.0, 3.9, 5.0), (0.0, 6.7, 8.0)];
    let found = first_order(given, |[mean, random, systematic]| {
        mean + random + systematic
    });
    let u = found.budget.uncertainty;
    within("u", u, 9.7, 0.05);
    close("u", u, 9.681_941_953_967_707, 1e-14);
    let freedom = found.budget.degrees_of_freedom;
    close("ν", freedom, 25.447_250_777_362_72, 1e-13);
    within(
        "ν, u rounded",
        freedom * Scalar::powi(9.7 / u, 4),
        25.6,
        0.05,
    );
    let swing = Meaning::Limit(Distribution::Arcsine).standard(0.5);
    close("arcsine", swing, 0.353_553_390_593_273_73, 1e-15);
    let given = [(-0.1, 0.2, NO_LIMIT), (0.0, swing, NO_LIMIT)];
    let temperature = first_order(given, |[mean, swing]| mean + swing)
        .budget
        .uncertainty;
    within("u(θ)", temperature, 0.41, 0.01);
    close("u(θ)", temperature, 0.406_201_920_231_798, 1e-14);
}
