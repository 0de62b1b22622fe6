//! The cell efficiency calculator: what must not change its results, its derivatives and scatter, published rows, and
//! the sentences for curves that do not show what is asked.

use glasswick_core::calculators::cases;
use glasswick_core::problem::{Check, Problem};
use glasswick_core::sheet::{CardResult, Evaluation, State};
use glasswick_core::uncertainty::Origin;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card};

const METHODS: [&str; 3] = ["parabola", "polynomial", "largest"];

/// A worked case's text of points, as numbers in the units of the text.
fn points_of(title: &str) -> Vec<(f64, f64)> {
    let (_, case) = cases()
        .find(|(of, case)| of.id == "efficiency" && case.title.starts_with(title))
        .expect("there is such a case");
    let text = case
        .inputs
        .iter()
        .find(|(path, _)| path.ends_with("points"))
        .expect("it has points")
        .1;
    glasswick_core::sheet::read_points(text).expect("they can be read")
}

fn silicon() -> Vec<(f64, f64)> {
    points_of("silicon cell")
}

fn dye_like() -> Vec<(f64, f64)> {
    points_of("computed curve like a dye cell's")
}

fn text(points: &[(f64, f64)]) -> String {
    points
        .iter()
        .map(|(v, i)| format!("{v:?}\t{i:?}\n"))
        .collect()
}

fn with(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("efficiency", inputs))
}

/// Points in V and mA on 1 cm² at 100 mW/cm², unless said otherwise.
fn cell(points: &[(f64, f64)], more: &[(&str, &str)]) -> Evaluation {
    let points = text(points);
    let mut inputs = vec![("points", points.as_str()), ("area", "1 cm2")];
    inputs.extend(more);
    with(&inputs)
}

#[track_caller]
fn ready(evaluation: &Evaluation) -> &CardResult {
    let card = &evaluation.cards[0];
    assert_eq!(card.state, State::Ready);
    card
}

#[track_caller]
fn number(evaluation: &Evaluation, output: &str) -> f64 {
    ready(evaluation)
        .output(output)
        .expect("it is an output")
        .value
}

#[track_caller]
fn problem(evaluation: &Evaluation) -> &Problem {
    match &evaluation.cards[0].state {
        State::Stopped(problems) => &problems[0],
        other => panic!("not stopped: {other:?}"),
    }
}

#[track_caller]
fn check<'a>(evaluation: &'a Evaluation, code: &str) -> &'a Check {
    let found = ready(evaluation)
        .checks
        .iter()
        .find(|check| check.code == code);
    found.unwrap_or_else(|| panic!("no check {code}"))
}

#[track_caller]
fn assert_close(a: f64, b: f64, relative: f64) {
    assert!(
        (a - b).abs() <= relative * a.abs().max(b.abs()),
        "{a} differs from {b}"
    );
}

/// All outputs of both agree, the first's times the factors of those named.
#[track_caller]
fn assert_same(a: &Evaluation, b: &Evaluation, factors: &[(&str, f64)]) {
    let (a, b) = (ready(a), ready(b));
    assert_eq!(a.outputs.len(), 9);
    for (a, b) in a.outputs.iter().zip(&b.outputs) {
        let factor = factors
            .iter()
            .find(|(path, _)| *path == a.path)
            .map_or(1.0, |(_, f)| *f);
        assert_close(a.value * factor, b.value, 1e-11);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn sign_of_the_current_and_order_of_the_sweep_change_nothing() {
    for points in [silicon(), dye_like()] {
        for method in METHODS {
            let chosen = [("method", method)];
            let plain = cell(&points, &chosen);
            let negative: Vec<_> = points.iter().map(|(v, i)| (*v, -i)).collect();
            let flipped = cell(&negative, &chosen);
            assert_same(&plain, &flipped, &[]);
            assert_eq!(plain.cards[0].curves[0].1, flipped.cards[0].curves[0].1);
            let reverse: Vec<_> = points.iter().rev().copied().collect();
            let reverse = cell(&reverse, &chosen);
            assert_same(&plain, &reverse, &[]);
            for (swept, word) in [(&plain, "forward"), (&reverse, "reverse")] {
                assert!(check(swept, "direction").sentence.contains(word));
            }
        }
    }
    let negative: Vec<_> = silicon().iter().map(|(v, i)| (*v, -i)).collect();
    assert!(
        check(&cell(&negative, &[]), "photocurrent_sign")
            .sentence
            .contains("opposite sign")
    );
    assert!(
        check(&cell(&silicon(), &[]), "photocurrent_sign")
            .sentence
            .contains("as they are")
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn area_and_irradiance_divide() {
    let plain = cell(&silicon(), &[]);
    let doubled = cell(&silicon(), &[("area", "2 cm2")]);
    let densities = [
        "efficiency",
        "short_circuit_density",
        "maximum_power_current_density",
    ];
    assert_same(&plain, &doubled, &densities.map(|path| (path, 0.5)));
    let brighter = cell(&silicon(), &[("irradiance", "1250 W/m2")]);
    assert_same(&plain, &brighter, &[("efficiency", 0.8)]);
}

#[wasm_bindgen_test(unsupported = test)]
fn units_of_the_points_and_current_density_come_to_the_same() {
    let plain = cell(&dye_like(), &[("area", "0.5 cm2")]);
    let density: Vec<_> = dye_like().iter().map(|(v, i)| (*v, i * 4.0)).collect();
    let density_text = text(&density);
    let same = with(&[
        ("second_column", "density"),
        ("density_points", &density_text),
        ("density_area", "0.25 cm2"),
        ("area", "0.5 cm2"),
    ]);
    assert_same(&plain, &same, &[]);
    assert!(
        check(&same, "areas_differ")
            .sentence
            .contains("calculated anew")
    );
    let linked = with(&[
        ("second_column", "density"),
        ("density_points", &density_text),
        ("density_area", "0.25 ± 0.01 cm2"),
        ("area", "0.25 cm2"),
    ]);
    check(&linked, "uncertain_setting");
}

#[wasm_bindgen_test(unsupported = test)]
fn calibration_factors_scale() {
    let plain = cell(&dye_like(), &[]);
    let (current, voltage) = (1.01, 0.98);
    let scaled = cell(
        &dye_like(),
        &[("current_factor", "1.01"), ("voltage_factor", "0.98")],
    );
    let factors = [
        ("efficiency", current * voltage),
        ("open_circuit_voltage", voltage),
        ("short_circuit_current", current),
        ("short_circuit_density", current),
        ("maximum_power", current * voltage),
        ("maximum_power_voltage", voltage),
        ("maximum_power_current", current),
        ("maximum_power_current_density", current),
    ];
    assert_same(&plain, &scaled, &factors);
    // The same numbers from points that were scaled before they were pasted.
    let points: Vec<_> = dye_like()
        .iter()
        .map(|(v, i)| (v * voltage, i * current))
        .collect();
    assert_same(&scaled, &cell(&points, &[]), &[]);
}

#[wasm_bindgen_test(unsupported = test)]
fn derivatives_equal_central_differences() {
    for method in METHODS {
        let evaluation = cell(
            &dye_like(),
            &[
                ("method", method),
                ("area", "0.98 ± 0.01 cm2"),
                ("irradiance", "97 ± 2 mW/cm2"),
                ("current_factor", "1.001 ± 0.002"),
                ("voltage_factor", "0.999 ± 0.001"),
                ("noise", "5 uA"),
            ],
        );
        let card = ready(&evaluation);
        let centre: Vec<f64> = evaluation.leaves.iter().map(|leaf| leaf.value).collect();
        let mut compared = 0;
        for (index, output) in card.outputs.iter().enumerate() {
            let budget = evaluation
                .budget("efficiency", &output.path)
                .expect("it is an output");
            for row in &budget.rows {
                let (Origin::Leaf(leaf), Some(slope)) = (row.origin, row.sensitivity) else {
                    continue;
                };
                let step = 1e-5 * centre[leaf];
                let at = |by: f64| {
                    let mut leaves = centre.clone();
                    leaves[leaf] += by;
                    evaluation
                        .replay(&leaves, &|_, _| 0.0)
                        .expect("it computes")[0][index]
                };
                // The difference has a relative error of step², about 1e-10, and rounding of 1e-11.
                assert_close(slope, (at(step) - at(-step)) / (2.0 * step), 1e-8);
                compared += 1;
            }
        }
        // efficiency 4, fill factor 0, Voc 1, Isc 1, Jsc 2, Pmax 2, Vmp 1, Imp 1, Jmp 2
        assert_eq!(compared, 14, "{method}");
    }
}

/// Standard normal numbers: twelve uniform ones of a linear congruential generator (Knuth's MMIX constants) added up.
struct Normal(u64);

impl Normal {
    fn uniform(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn draw(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn scatter_of_the_readings_equals_a_simulation() {
    const DRAWS: usize = 1500;
    // Every second voltage read twice, so that means of readings are covered too.
    let mut points = Vec::new();
    for (index, point) in dye_like().into_iter().enumerate() {
        points.extend(std::iter::repeat_n(point, 1 + index % 2));
    }
    let noise = 0.005; // mA
    let mut normal = Normal(2024);
    for method in METHODS {
        let predicted = cell(&points, &[("method", method), ("noise", "5 uA")]);
        // The place of a largest product jumps from point to point; its scatter is not that of noise.
        let outputs: &[&str] = match method {
            "largest" => &[
                "efficiency",
                "open_circuit_voltage",
                "short_circuit_current",
                "fill_factor",
            ],
            _ => &[
                "efficiency",
                "fill_factor",
                "open_circuit_voltage",
                "short_circuit_current",
                "maximum_power",
                "maximum_power_voltage",
                "maximum_power_current",
            ],
        };
        let mut sums = vec![(0.0, 0.0); outputs.len()];
        for _ in 0..DRAWS {
            let noisy: Vec<_> = points
                .iter()
                .map(|(v, i)| (*v, i + noise * normal.draw()))
                .collect();
            let drawn = cell(&noisy, &[("method", method)]);
            for (sum, output) in sums.iter_mut().zip(outputs) {
                let difference = number(&drawn, output) - number(&predicted, output);
                sum.0 += difference;
                sum.1 += difference * difference;
            }
        }
        for ((sum, squares), output) in sums.into_iter().zip(outputs) {
            let n = DRAWS as f64;
            let simulated = ((squares - sum * sum / n) / (n - 1.0)).sqrt();
            let stated = predicted
                .budget("efficiency", output)
                .expect("it is an output")
                .uncertainty;
            let ratio = stated / simulated;
            // The simulation itself scatters by 1/√(2·1500), about 2 %.
            assert!(
                (0.9..1.1).contains(&ratio),
                "{method}, {output}: {stated} against {simulated}"
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn reported_cells_are_consistent() {
    // Jsc, Voc, FF, irradiance; efficiency as reported and the interval that the rounding of the inputs leaves. Reported
    // figures from memory, intervals computed with Python 3.11. A curve of five points with just these figures stands
    // for the cell.
    let rows = [
        // Nazeeruddin et al., J. Am. Chem. Soc. 127 (2005) 16835
        (17.73, 0.846, 0.75, "100", 11.18, (11.165, 11.335)),
        // Nazeeruddin et al., J. Am. Chem. Soc. 115 (1993) 6382
        (18.2, 0.72, 0.73, "96", 10.0, (9.801, 10.130)),
        // Yella et al., Science 334 (2011) 629
        (17.66, 0.935, 0.74, "99.5", 12.3, (12.187, 12.373)),
        // Kakiage et al., Chem. Commun. 51 (2015) 15894
        (18.27, 1.014, 0.771, "100", 14.3, (14.263, 14.304)),
        // Solar cell efficiency tables, certified dye cell
        (22.47, 0.744, 0.712, "100", 11.9, (11.884, 11.922)),
        // Kim et al., Sci. Rep. 2 (2012) 591
        (17.6, 0.888, 0.62, "100", 9.7, (9.579, 9.801)),
    ];
    for (short, open, fill_factor, irradiance, reported, (low, high)) in rows {
        let at = 0.78 * open;
        let current = fill_factor * open * short / at;
        let points = [
            (0.0, short),
            (0.6 * open, 0.99 * short),
            (at, current),
            (0.95 * open, 0.3 * current),
            (open, 0.0),
        ];
        let cell = cell(
            &points,
            &[("method", "largest"), ("irradiance", irradiance)],
        );
        let efficiency = 100.0 * number(&cell, "efficiency");
        assert!(
            (low..=high).contains(&efficiency),
            "{efficiency} outside {low} to {high}"
        );
        assert!(
            (low..=high).contains(&reported),
            "{reported} outside {low} to {high}"
        );
        assert_close(number(&cell, "fill_factor"), fill_factor, 1e-12);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn figures_lie_in_the_band_of_sensible_methods() {
    // Over six ways of interpolation and two fits, computed with scipy 1.17.1.
    for method in ["parabola", "polynomial"] {
        let cell = cell(&silicon(), &[("method", method)]);
        let within = |output: &str, low: f64, high: f64| {
            let value = number(&cell, output);
            assert!((low..=high).contains(&value), "{method}: {output} {value}");
        };
        within("open_circuit_voltage", 0.57269, 0.57279);
        within("short_circuit_current", 0.7602, 0.7606);
        within("maximum_power_voltage", 0.4504, 0.4519);
        within("maximum_power_current", 0.6873, 0.6901);
        within("maximum_power", 0.3104, 0.3109);
        within("fill_factor", 0.7127, 0.7138);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn repeated_and_jittering_voltages_are_kept_and_said() {
    let plain = cell(&dye_like(), &[]);
    let mut twice: Vec<_> = dye_like()
        .iter()
        .flat_map(|(v, i)| [(*v, i - 0.5), (*v, i + 0.5)])
        .collect();
    let doubled = cell(&twice, &[]);
    assert_same(&plain, &doubled, &[]);
    assert!(
        check(&doubled, "repeated_voltages")
            .sentence
            .starts_with("88 readings")
    );
    twice.clear();

    let mut jittering = dye_like();
    jittering.swap(10, 11);
    jittering.swap(30, 31);
    let sorted = cell(&jittering, &[]);
    assert_same(&plain, &sorted, &[]);
    assert!(
        check(&sorted, "out_of_order")
            .sentence
            .starts_with("2 readings")
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn axes_just_outside_the_points_are_extrapolated_and_said() {
    // The points next to the axes only, on one side of each.
    let points: Vec<_> = dye_like()
        .into_iter()
        .filter(|(v, _)| (0.005..0.77).contains(v))
        .collect();
    let cell = cell(&points, &[]);
    check(&cell, "short_circuit_extrapolated");
    check(&cell, "open_circuit_extrapolated");
    // 2 × 17.9632 − 17.9553 and 0.76 + 0.02 · 0.0442/(2.9276 − 0.0442), by hand.
    assert_close(number(&cell, "short_circuit_current"), 17.9711e-3, 1e-12);
    assert_close(number(&cell, "open_circuit_voltage"), 0.760_306_582_5, 1e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn curves_that_do_not_show_it_are_refused() {
    let cut = |low: f64, high: f64| -> Vec<_> {
        dye_like()
            .into_iter()
            .filter(|(v, _)| (low..high).contains(v))
            .collect()
    };
    let dark: Vec<_> = dye_like()
        .into_iter()
        .map(|(v, i)| (v, 17.9712 - i))
        .collect();
    let mirrored: Vec<_> = dye_like().into_iter().map(|(v, i)| (-v, i)).collect();
    let both: Vec<_> = dye_like()
        .into_iter()
        .chain(dye_like().into_iter().rev())
        .collect();
    let back_first: Vec<_> = dye_like().into_iter().rev().chain(dye_like()).collect();
    let early = [(0.0, 5.0), (0.1, 5.0), (0.2, 4.9), (0.5, 2.4)];
    let flat = [(0.0, 1.0), (0.1, 1.0), (0.2, 1.0), (0.3, 1.0)];
    let refused: [(&[(f64, f64)], &str); 10] = [
        (&dye_like()[..3], "too_few_points"),
        (&[(0.1, 1.0); 9], "too_few_points"),
        (&both, "more_than_one_sweep"),
        (&back_first, "more_than_one_sweep"),
        (&cut(0.1, 1.0), "no_short_circuit"),
        (&cut(-0.1, 0.7), "no_open_circuit"),
        (&dark, "sign_unclear"),
        (&mirrored, "voltage_reversed"),
        (&early, "no_maximum"),
        (&flat, "no_open_circuit"),
    ];
    for (points, code) in refused {
        for method in METHODS {
            let evaluation = cell(points, &[("method", method)]);
            let problem = problem(&evaluation);
            assert_eq!(problem.code, code, "{problem}");
            assert_eq!(problem.path, "points");
        }
    }
    let six: Vec<_> = dye_like().into_iter().step_by(8).collect();
    let few = cell(&six, &[("method", "polynomial")]);
    assert_eq!(problem(&few).code, "no_maximum");
    assert!(problem(&few).sentence.contains("at least 7 points"));
    assert!(problem(&cell(&both, &[])).sentence.contains("point 44"));
    assert!(
        problem(&cell(&back_first, &[]))
            .sentence
            .contains("point 44")
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_colleague_would_say() {
    let level = |evaluation: &Evaluation, code: &str| check(evaluation, code).level.word();
    let silicon = silicon();
    let usual = cell(&silicon, &[("area", "25.5 cm2"), ("noise", "1 mA")]);
    for code in [
        "photocurrent_sign",
        "direction",
        "coarse_points",
        "methods_differ",
        "fill_factor",
        "irradiance",
    ] {
        assert_eq!(level(&usual, code), "in range");
    }
    assert_eq!(ready(&usual).checks.len(), 6);
    let small = cell(&silicon, &[("irradiance", "500 W/m2")]);
    assert_eq!(level(&small, "implausible_efficiency"), "warning");
    assert_eq!(level(&small, "irradiance"), "note");
    assert_eq!(level(&small, "scatter_unknown"), "note");
    let coarse: Vec<_> = dye_like().into_iter().step_by(4).collect();
    assert_eq!(level(&cell(&coarse, &[]), "coarse_points"), "note");
    assert_eq!(level(&cell(&coarse, &[]), "methods_differ"), "note");
    let bent: Vec<_> = (0..=40)
        .map(|k| f64::from(k) / 40.0)
        .map(|v| (v, (1.0 - v) * (1.0 - v)))
        .collect();
    let bent = cell(&bent, &[]);
    // (1 − v)² v is largest at v = 1/3: 4/27.
    assert_close(number(&bent, "fill_factor"), 4.0 / 27.0, 1e-3);
    assert_eq!(level(&bent, "fill_factor"), "warning");
    let bump = [
        (0.0, 1.0),
        (0.3, 2.0),
        (0.6, 3.0),
        (0.8, 2.0),
        (0.9, 0.0),
        (1.0, -1.0),
    ];
    assert_eq!(level(&cell(&bump, &[]), "fill_factor"), "warning");
    let ringing = [
        (0.0, 3.0),
        (0.2, 3.0),
        (0.4, 2.8),
        (0.5, -0.1),
        (0.6, 0.1),
        (0.7, -3.0),
    ];
    assert_eq!(level(&cell(&ringing, &[]), "several_crossings"), "warning");
}
