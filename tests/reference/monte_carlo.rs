//! Monte Carlo runs of plain models against closed forms and the examples of JCGM 101:2008.
//!
//! Differences are held against the standard errors that a run states: five of them, so that one comparison in two
//! million would fail by chance; seeds are fixed.

use glasswick_core::numerics::student;
use glasswick_core::scalar::Scalar;
use glasswick_core::uncertainty::monte_carlo::{
    Agreement, BLOCK, Draws, FirstOrder, Input, Outcome, Run, Stopped, numerical_tolerance,
};
use glasswick_core::uncertainty::{Density, Distribution, Meaning};
use wasm_bindgen_test::wasm_bindgen_test;

const NORMAL: Density = Density::Normal;
const RECTANGULAR: Density = Density::Limited(Distribution::Rectangular);
const HUNDRED_THOUSAND: Draws = Draws::Fixed(100_000);

fn input(value: f64, uncertainty: f64, density: Density) -> Input {
    Input::Number {
        value,
        uncertainty,
        density,
        degrees_of_freedom: f64::INFINITY,
    }
}

fn first_order(value: f64, uncertainty: f64) -> FirstOrder {
    FirstOrder {
        value,
        uncertainty,
        degrees_of_freedom: f64::INFINITY,
    }
}

/// All blocks of a run.
fn run(
    inputs: &[Input],
    first_order: FirstOrder,
    draws: Draws,
    model: impl Fn(&[f64]) -> f64,
) -> Outcome {
    let mut run = Run::new(inputs, first_order, 101, draws);
    let value = |x: &[f64]| Ok::<_, String>(model(x));
    while !run.step(value, |why| why).unwrap().finished {}
    run.finish().unwrap()
}

fn sum(x: &[f64]) -> f64 {
    x.iter().sum()
}

#[track_caller]
fn within(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{found} instead of {expected} ± {tolerance}"
    );
}

/// Mean and standard uncertainty as expected, to five standard errors.
#[track_caller]
fn has_moments(outcome: &Outcome, mean: f64, uncertainty: f64) {
    within(outcome.mean, mean, 5.0 * outcome.errors.mean);
    within(
        outcome.uncertainty,
        uncertainty,
        5.0 * outcome.errors.uncertainty,
    );
}

/// The symmetric interval as expected, to five standard errors.
#[track_caller]
fn has_interval(outcome: &Outcome, low: f64, high: f64) {
    within(outcome.symmetric.low, low, 5.0 * outcome.errors.low);
    within(outcome.symmetric.high, high, 5.0 * outcome.errors.high);
}

/// For two digits and for one.
fn verdict(outcome: &Outcome) -> (Agreement, Agreement) {
    let verdict = outcome.verdict;
    (verdict.two_digits.agreement, verdict.one_digit.agreement)
}

/// Ends of the central 95 % by closed forms: normal quantile; 0.95 a; a(1 − √0.05); a·sin(0.95 π/2); trapezoidal, with the
/// tail (a − x)²/(2 a²(1 − β²)) = 0.025.
#[wasm_bindgen_test(unsupported = test)]
fn every_distribution_has_the_quantiles_of_its_closed_form() {
    let half = |shape: Distribution| shape.divisor();
    let trapezoidal = Distribution::Trapezoidal { top: 0.5 };
    let arcsine_end = Scalar::sin(0.475 * core::f64::consts::PI);
    let shapes = [
        (Density::Normal, 1.959_963_984_540_054),
        (RECTANGULAR, 0.95 * half(Distribution::Rectangular)),
        (
            Density::Limited(Distribution::Triangular),
            (1.0 - 0.05_f64.sqrt()) * half(Distribution::Triangular),
        ),
        (
            Density::Limited(Distribution::Arcsine),
            arcsine_end * half(Distribution::Arcsine),
        ),
        (
            Density::Limited(trapezoidal),
            (1.0 - (0.05 * 0.75_f64).sqrt()) * half(trapezoidal),
        ),
    ];
    for (density, end) in shapes {
        let inputs = [input(3.0, 0.5, density)];
        let outcome = run(&inputs, first_order(3.0, 0.5), HUNDRED_THOUSAND, sum);
        has_moments(&outcome, 3.0, 0.5);
        has_interval(&outcome, 3.0 - 0.5 * end, 3.0 + 0.5 * end);
        // The standard errors are of the right size: for the mean, u/√M.
        let expected = 0.5 / 100_000_f64.sqrt();
        assert!((0.4..2.0).contains(&(outcome.errors.mean / expected)));
        assert_eq!(outcome.histogram.total(), 100_000);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_tails_of_the_normal_distribution_are_there() {
    // Share beyond 4 u: 6.334e-5, of which the ziggurat makes all in its base layer.
    let beyond = |x: &[f64]| if x[0].abs() > 4.0 { 1.0 } else { 0.0 };
    let inputs = [input(0.0, 1.0, NORMAL)];
    let outcome = run(
        &inputs,
        first_order(0.0, 1.0),
        Draws::Fixed(1_000_000),
        beyond,
    );
    let share = 2.0 * student::normal_cdf(-4.0);
    within(outcome.mean, share, 5.0 * (share / 1e6).sqrt());
    // Of a symmetric distribution the symmetric interval is the shortest.
    let outcome = run(&inputs, first_order(0.0, 1.0), HUNDRED_THOUSAND, sum);
    assert!((outcome.shortest.width() / outcome.symmetric.width() - 1.0).abs() < 0.02);
}

/// JCGM 101:2008, 6.4.9: standard deviation √(ν/(ν − 2)) of the scale; ends from JCGM 100:2008, table G.2.
#[wasm_bindgen_test(unsupported = test)]
fn few_readings_give_a_scaled_and_shifted_t() {
    for (freedom, t95) in [(1.0, 12.71), (4.0, 2.78), (18.0, 2.10)] {
        let inputs = [Input::Number {
            value: 10.0,
            uncertainty: 0.2,
            density: Density::StudentT,
            degrees_of_freedom: freedom,
        }];
        let first_order = FirstOrder {
            value: 10.0,
            uncertainty: 0.2,
            degrees_of_freedom: freedom,
        };
        let outcome = run(&inputs, first_order, HUNDRED_THOUSAND, sum);
        let expanded = 0.2 * student::t_quantile(0.95, freedom);
        within(expanded, 0.2 * t95, 0.2 * 0.005);
        has_interval(&outcome, 10.0 - expanded, 10.0 + expanded);
        assert_eq!(outcome.few_readings_words().is_some(), freedom <= 2.0);
        if freedom > 4.0 {
            has_moments(&outcome, 10.0, 0.2 * (freedom / (freedom - 2.0)).sqrt());
        }
    }
    // 0.5 and 1.5 degrees of freedom: the gamma variable is made in another way below shape one.
    for freedom in [0.5, 1.5] {
        let inputs = [Input::Block {
            covariance: vec![vec![1.0]],
            degrees_of_freedom: freedom,
        }];
        let below = |x: &[f64]| if x[0] < 1.0 { 1.0 } else { 0.0 };
        let outcome = run(&inputs, first_order(0.0, 1.0), HUNDRED_THOUSAND, below);
        let share = student::t_cdf(1.0, freedom);
        within(outcome.mean, share, 5.0 * outcome.errors.mean);
    }
}

/// Var(3x − y) with variances 4 and 9 and correlation ½: 36 + 9 − 18 = 27.
#[wasm_bindgen_test(unsupported = test)]
fn corrections_keep_their_covariance() {
    let covariance = vec![vec![4.0, 3.0], vec![3.0, 9.0]];
    let block = |degrees_of_freedom| Input::Block {
        covariance: covariance.clone(),
        degrees_of_freedom,
    };
    let difference = |x: &[f64]| 3.0 * x[0] - x[1];
    let u = 27_f64.sqrt();
    let normal = run(
        &[block(f64::INFINITY)],
        first_order(0.0, u),
        HUNDRED_THOUSAND,
        difference,
    );
    has_moments(&normal, 0.0, u);
    has_interval(&normal, -1.959_964 * u, 1.959_964 * u);
    // One χ² for both: the combination is t with the same degrees of freedom.
    let t = run(
        &[block(5.0)],
        first_order(0.0, u),
        HUNDRED_THOUSAND,
        difference,
    );
    let expanded = u * student::t_quantile(0.95, 5.0);
    has_interval(&t, -expanded, expanded);
    // Where one correction is twice the other, the combination 2x − y has no scatter at all.
    let singular = Input::Block {
        covariance: vec![vec![4.0, 8.0], vec![8.0, 16.0]],
        degrees_of_freedom: f64::INFINITY,
    };
    let outcome = run(&[singular], first_order(0.0, 0.0), HUNDRED_THOUSAND, |x| {
        2.0 * x[0] - x[1]
    });
    assert!(outcome.uncertainty.abs() < 1e-12 && outcome.mean.abs() < 1e-12);
}

/// JCGM 101:2008, 9.2.2 and 9.2.3: four inputs of u = 1, normal and rectangular. The ends of the sum of rectangular ones are
/// ± 2√3 (2 − 0.6^¼) = ± 3.879 (Irwin–Hall), printed ± 3.88 (from memory).
#[wasm_bindgen_test(unsupported = test)]
fn additive_model_with_alike_inputs() {
    let normal = vec![input(0.0, 1.0, NORMAL); 4];
    let outcome = run(&normal, first_order(0.0, 2.0), HUNDRED_THOUSAND, sum);
    has_moments(&outcome, 0.0, 2.0);
    has_interval(&outcome, -3.919_928, 3.919_928);
    assert_eq!(verdict(&outcome).1, Agreement::Valid);
    assert_ne!(verdict(&outcome).0, Agreement::NotValid);

    let rectangular = vec![input(0.0, 1.0, RECTANGULAR); 4];
    let outcome = run(&rectangular, first_order(0.0, 2.0), HUNDRED_THOUSAND, sum);
    let end = 2.0 * 3_f64.sqrt() * (2.0 - Scalar::powf(0.6_f64, 0.25));
    within(end, 3.88, 0.005);
    has_moments(&outcome, 0.0, 2.0);
    has_interval(&outcome, -end, end);
    assert_eq!(verdict(&outcome).1, Agreement::Valid);
    assert_ne!(verdict(&outcome).0, Agreement::NotValid);
}

/// S1-9.2.4 (JCGM 101:2008, 9.2.4; published from memory, closed forms computed by exact convolution): one dominant
/// rectangular input. u = 10.1; 95 % half-width 19.9 to first order, 17.0 exactly. First order is not valid.
#[wasm_bindgen_test(unsupported = test)]
fn additive_model_with_a_dominant_rectangular_input() {
    let inputs = [1.0, 1.0, 1.0, 10.0].map(|u| input(0.0, u, RECTANGULAR));
    let linear = first_order(0.0, 103_f64.sqrt());
    within(linear.interval().high, 19.891_461_950_583_093, 1e-9);
    let outcome = run(&inputs, linear, HUNDRED_THOUSAND, sum);
    has_moments(&outcome, 0.0, 10.148_891_565_092_22);
    has_interval(&outcome, -17.015_814_099_866_68, 17.015_814_099_866_68);
    within(outcome.verdict.high, 19.9 - 17.0, 0.2);
    assert_eq!(outcome.verdict.two_digits.tolerance, 0.5);
    // One digit of 10 is a ten: half of it is a lot.
    assert_eq!(outcome.verdict.one_digit.tolerance, 5.0);
    assert_eq!(verdict(&outcome), (Agreement::NotValid, Agreement::Valid));
    assert!(
        outcome
            .verdict
            .words()
            .starts_with("First order is not valid to two digits of the standard uncertainty"),
        "{}",
        outcome.verdict.words()
    );
}

/// S1-9.3 (JCGM 101:2008, 9.3, tables 5 and 6; published from memory, variance in closed form): calibration of a mass, in
/// mg. The sensitivity to the density of air is zero at the estimate, so first order misses 29 % of u. Not valid.
#[wasm_bindgen_test(unsupported = test)]
fn mass_calibration() {
    let half_width = |a: f64| a / 3_f64.sqrt();
    let inputs = [
        input(100_000.0, 0.050, NORMAL),
        input(1.234, 0.020, NORMAL),
        input(1.2, half_width(0.1), RECTANGULAR),
        input(8000.0, half_width(1000.0), RECTANGULAR),
        input(8000.0, half_width(50.0), RECTANGULAR),
    ];
    let model = |x: &[f64]| {
        let [reference, added, air, weight, standard] = [x[0], x[1], x[2], x[3], x[4]];
        (reference + added) * (1.0 + (air - 1.2) * (1.0 / weight - 1.0 / standard)) - 100_000.0
    };
    let linear = first_order(1.234, 0.053_851_648_071_345_05);
    let outcome = run(&inputs, linear, HUNDRED_THOUSAND, model);
    has_moments(&outcome, 1.234, 0.075_479_739_955_398_22);
    // The printed values come from runs of a like size.
    within(
        outcome.shortest.low,
        1.0834,
        0.002 + 5.0 * outcome.errors.low,
    );
    within(
        outcome.shortest.high,
        1.3825,
        0.002 + 5.0 * outcome.errors.high,
    );
    assert_eq!(
        verdict(&outcome),
        (Agreement::NotValid, Agreement::NotValid)
    );
}

/// S1-9.4 (JCGM 101:2008, 9.4.2, table 8; published from memory, exact moments and noncentral χ² computed): comparison loss
/// X₁² + X₂², in units of 10⁻⁶. Not valid in any of these.
#[wasm_bindgen_test(unsupported = test)]
fn comparison_loss() {
    // x₁, first-order u, mean, u, shortest interval and what it is held to beside sampling: its ends are flat in the
    // minimisation. For x₁ = 0, χ² with two degrees of freedom is exponential.
    let rows = [
        (
            0.0,
            0.0,
            50.0,
            50.0,
            [0.0, -50.0 * Scalar::ln(0.05_f64)],
            1.0,
        ),
        (
            0.010,
            100.0,
            150.0,
            111.803_398_874_989_48,
            [0.0, 366.005_289_746_775_93],
            1.0,
        ),
        (
            0.050,
            500.0,
            2550.0,
            502.493_781_056_044_5,
            [1_593.569_669_842_915, 3_548.569_814_992_791],
            40.0,
        ),
    ];
    for (x1, linear, mean, uncertainty, [low, high], flat) in rows {
        let inputs = [input(x1, 0.005, NORMAL), input(0.0, 0.005, NORMAL)];
        let outcome = run(
            &inputs,
            first_order(1e6 * x1 * x1, linear),
            HUNDRED_THOUSAND,
            |x| 1e6 * (x[0] * x[0] + x[1] * x[1]),
        );
        has_moments(&outcome, mean, uncertainty);
        within(outcome.shortest.low, low, flat);
        within(
            outcome.shortest.high,
            high,
            flat + 5.0 * outcome.errors.high,
        );
        assert_eq!(
            verdict(&outcome),
            (Agreement::NotValid, Agreement::NotValid)
        );
        assert!(
            outcome
                .verdict
                .words()
                .starts_with("First order is not valid here"),
        );
    }
}

/// What propagation cannot say, the verdict says.
#[wasm_bindgen_test(unsupported = test)]
fn a_first_order_without_finite_ends_is_not_valid() {
    // The square root has an infinite slope at zero.
    let inputs = [input(0.0, 1.0, NORMAL)];
    let linear = first_order(0.0, f64::INFINITY);
    let outcome = run(&inputs, linear, HUNDRED_THOUSAND, |x| x[0].abs().sqrt());
    assert_eq!(
        outcome.verdict.words(),
        "First order is not valid here: take the interval of the Monte Carlo. The first-order interval has no finite \
         ends."
    );
    let outcome = run(&inputs, first_order(3.0, 0.1), HUNDRED_THOUSAND, |_| 3.0);
    assert_eq!(
        outcome.verdict.words(),
        "First order is not valid here: take the interval of the Monte Carlo. All trials give one value."
    );
    let exact = run(&inputs, first_order(3.0, 0.0), HUNDRED_THOUSAND, |_| 3.0);
    assert_eq!(verdict(&exact), (Agreement::Valid, Agreement::Valid));
}

/// DIST: half-width one, or what a certificate states, over the standard uncertainty (JCGM 100:2008, 4.3 and F.2.2.1;
/// formulas from memory, values computed). The 50 % limit of a normal distribution is not among the meanings; its
/// factor is a quantile.
#[wasm_bindgen_test(unsupported = test)]
fn standard_uncertainties_from_limits() {
    let limit = |shape| Meaning::Limit(shape).standard(1.0);
    let coverage_factor = 1.96;
    let cases = [
        (limit(Distribution::Rectangular), 0.577_350_269_189_625_8),
        (limit(Distribution::Triangular), 0.408_248_290_463_863_1),
        (limit(Distribution::Arcsine), 0.707_106_781_186_547_5),
        (
            limit(Distribution::Trapezoidal { top: 0.5 }),
            0.456_435_464_587_638_45,
        ),
        (
            Meaning::Expanded { coverage_factor }.standard(1.0),
            0.510_204_081_632_653_1,
        ),
        (1.0 / student::normal_quantile(0.75), 1.482_602_218_505_602),
        // The step of a display: a limit of half of it.
        (
            Meaning::Limit(Distribution::Rectangular).standard(0.5),
            0.288_675_134_594_812_9,
        ),
    ];
    for (found, expected) in cases {
        within(found, expected, 1e-9 * expected);
    }
}

/// The density that is drawn over the histogram is the derivative of the distribution function, which is tested against
/// tables.
#[wasm_bindgen_test(unsupported = test)]
fn the_first_order_density_is_the_derivative_of_its_distribution() {
    for degrees_of_freedom in [1.0, 4.5, 30.0, 1e6, f64::INFINITY] {
        let first_order = FirstOrder {
            value: 7.0,
            uncertainty: 0.5,
            degrees_of_freedom,
        };
        for x in [5.5, 6.9, 7.0, 8.2] {
            let below = |x: f64| {
                let t = (x - 7.0) / 0.5;
                if degrees_of_freedom.is_finite() {
                    student::t_cdf(t, degrees_of_freedom)
                } else {
                    student::normal_cdf(t)
                }
            };
            let slope = (below(x + 1e-4) - below(x - 1e-4)) / 2e-4;
            within(first_order.density(x), slope, 1e-6);
        }
    }
}

/// JCGM 101:2008, 7.9.2 (examples from memory): u = c·10ˡ, δ = ½·10ˡ.
#[wasm_bindgen_test(unsupported = test)]
fn the_numerical_tolerance_is_half_of_the_last_digit() {
    let cases = [
        // 0.000 35 g = 35·10⁻⁵ g, δ = 0.000 005 g; 2 K = 2·10⁰ K, δ = 0.5 K.
        (0.000_35, 2, 0.000_005),
        (2.0, 1, 0.5),
        (10.149, 2, 0.5),
        (10.149, 1, 5.0),
        (1.0, 2, 0.05),
        (0.0994, 2, 0.0005),
        // These round up to one digit more.
        (0.0996, 2, 0.005),
        (0.96, 1, 0.5),
        (0.0, 2, 0.0),
    ];
    for (uncertainty, digits, expected) in cases {
        let found = numerical_tolerance(uncertainty, digits);
        within(found, expected, 1e-12 * expected);
    }
}

/// JCGM 101:2008, 7.9.4.
#[wasm_bindgen_test(unsupported = test)]
fn adaptive_runs_stop_when_the_tolerance_is_reached() {
    let inputs = vec![input(0.0, 1.0, NORMAL); 4];
    let adaptive = |digits, most| {
        run(
            &inputs,
            first_order(0.0, 2.0),
            Draws::Adaptive { digits, most },
            sum,
        )
    };
    // One digit of u = 2 is coarse: two blocks, the fewest from which a standard deviation can be had.
    let coarse = adaptive(1, 10_000_000);
    assert_eq!((coarse.draws, coarse.complete), (20_000, true));
    let fine = adaptive(2, 10_000_000);
    assert!(fine.complete && fine.errors.tolerance() <= 0.05);
    // The ends have a standard error of about 5.3/√M: at twice that, 0.05 needs about 45 000 draws. What is left to
    // chance is the estimate of the standard error itself from few blocks.
    assert!((20_000..=150_000).contains(&fine.draws), "{}", fine.draws);
    assert_eq!(fine.draws % BLOCK as u64, 0);
    let short = adaptive(2, 15_000);
    assert_eq!((short.draws, short.complete), (20_000, false));
}

#[wasm_bindgen_test(unsupported = test)]
fn draws_come_in_whole_blocks_within_bounds() {
    let inputs = [input(0.0, 1.0, NORMAL)];
    let drawn = |draws| run(&inputs, first_order(0.0, 1.0), Draws::Fixed(draws), sum).draws;
    assert_eq!(drawn(0), 10_000);
    assert_eq!(drawn(10_001), 20_000);
    let most = Run::new(&inputs, first_order(0.0, 1.0), 1, Draws::Fixed(u64::MAX)).progress();
    assert_eq!((most.draws, most.most), (0, 10_000_000));
}

#[wasm_bindgen_test(unsupported = test)]
fn same_seed_same_bits() {
    let inputs = [
        input(1.0, 0.1, NORMAL),
        input(2.0, 0.1, Density::Limited(Distribution::Arcsine)),
    ];
    let with = |seed| {
        let mut run = Run::new(&inputs, first_order(3.0, 0.14), seed, Draws::Fixed(30_000));
        while !run
            .step(|x| Ok::<_, String>(sum(x)), |why| why)
            .unwrap()
            .finished
        {}
        run.finish().unwrap()
    };
    assert_eq!(with(7), with(7));
    assert_ne!(with(7).mean, with(8).mean);
    // Blocks have streams of their own, so they differ.
    assert!(with(7).errors.mean > 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_run_without_possible_values_stops() {
    let inputs = [input(0.0, 1.0, NORMAL)];
    let mut run = Run::new(&inputs, first_order(0.0, 1.0), 1, HUNDRED_THOUSAND);
    // The logarithm of a negative number is none: exactly half would be left; here a little more is not.
    let stopped = run.step(|x| Ok::<_, String>(Scalar::ln(x[0] - 0.2)), |why| why);
    let Err(Stopped::Impossible(left_out)) = stopped else {
        panic!("{stopped:?}");
    };
    assert_eq!(left_out.count, 10_001);
    assert_eq!(
        Stopped::Impossible(left_out).to_string(),
        "More than half of the trials are impossible (the first: the result is not a finite number.); their \
         distribution would say little. Look at the uncertainties of the entries."
    );
    let fresh = Run::new(&inputs, first_order(0.0, 1.0), 1, HUNDRED_THOUSAND);
    assert_eq!(fresh.finish(), Err(Stopped::NoDraws));
}

/// Cases NL: products and an inverse, whose exact moments are closed forms; inputs of the second as in a public example,
/// numbers computed.
#[wasm_bindgen_test(unsupported = test)]
fn curved_models_have_the_moments_of_their_closed_forms() {
    let product = |x: &[f64]| x[0] * x[1];
    let zeros = [input(0.0, 0.1, NORMAL), input(0.0, 0.2, NORMAL)];
    let outcome = run(&zeros, first_order(0.0, 0.0), HUNDRED_THOUSAND, product);
    has_moments(&outcome, 0.0, 0.02);
    let factors = [input(2.3, 0.030, NORMAL), input(1.1, 0.015, NORMAL)];
    let linear = first_order(2.53, 0.047_741_491_388_518_645);
    let outcome = run(&factors, linear, HUNDRED_THOUSAND, product);
    has_moments(&outcome, 2.53, 0.047_743_612_138_169_855);

    let limit = [input(2.0, 1.0 / 3_f64.sqrt(), RECTANGULAR)];
    let linear = first_order(0.5, 0.144_337_567_297_406_46);
    let outcome = run(&limit, linear, HUNDRED_THOUSAND, |x| 1.0 / x[0]);
    has_moments(&outcome, 0.549_306_144_334_054_9, 0.177_752_899_076_745_85);
    assert_eq!(
        verdict(&outcome),
        (Agreement::NotValid, Agreement::NotValid)
    );
}

/// Batches of a million are averaged. Native only: four million draws are slow in an unoptimised wasm build.
#[cfg(not(target_arch = "wasm32"))]
#[test]
fn more_than_a_million_values_agree_with_the_closed_form() {
    let rectangular = vec![input(0.0, 1.0, RECTANGULAR); 4];
    let outcome = run(
        &rectangular,
        first_order(0.0, 2.0),
        Draws::Fixed(4_500_000),
        sum,
    );
    let end = 2.0 * 3_f64.sqrt() * (2.0 - Scalar::powf(0.6_f64, 0.25));
    has_moments(&outcome, 0.0, 2.0);
    has_interval(&outcome, -end, end);
    assert_eq!(outcome.histogram.total(), 4_500_000);
    // d = 0.041 is within δ = 0.05, and the draws are enough to tell.
    assert_eq!(verdict(&outcome), (Agreement::Valid, Agreement::Valid));
    assert_eq!(
        outcome.verdict.words(),
        "First order is valid: both give the same interval to two digits of the standard uncertainty. The ends of the \
         two 95 % intervals differ by up to 2.1\u{202F}% of the standard uncertainty."
    );
}
