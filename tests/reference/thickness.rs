//! The thickness calculator through its public interface: uncertainties against certified and published lines, when
//! it stops, what it says.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, State, evaluate};
use glasswick_core::uncertainty::Budget;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, checks, number};

const PAIRS: &[(&str, &str)] = &[("from", "pairs"), ("passes", "1")];
pub(crate) const DROPS: &[(&str, &str)] = &[
    ("passes", "6"),
    ("drop_volume", "10 pL"),
    ("pitch_x", "20 um"),
    ("pitch_y", "25 um"),
    ("solids", "5 %"),
    ("porosity", "60 %"),
];

pub(crate) fn evaluated(base: &[(&str, &str)], changes: &[(&str, &str)]) -> Evaluation {
    alone(card("thickness", &[base, changes].concat()))
}

/// A card with these measured pairs of passes and thickness as typed.
pub(crate) fn fitted(pairs: &[(u32, String)], changes: &[(&str, &str)]) -> Evaluation {
    let mut card = card("thickness", &[PAIRS, changes].concat());
    let calculator = card.declaration().expect("it is in the list");
    for (row, (passes, thickness)) in pairs.iter().enumerate() {
        card.enter(
            calculator,
            &format!("pairs.r{row}.passes"),
            &passes.to_string(),
        );
        card.enter(calculator, &format!("pairs.r{row}.thickness"), thickness);
    }
    alone(card)
}

pub(crate) fn micrometres(pairs: &[(u32, f64)]) -> Vec<(u32, String)> {
    pairs.iter().map(|(n, t)| (*n, format!("{t} um"))).collect()
}

pub(crate) fn value(evaluation: &Evaluation, output: &str) -> f64 {
    number(&evaluation.cards[0], output)
}

pub(crate) fn budget(evaluation: &Evaluation, output: &str) -> Budget {
    evaluation
        .budget("thickness", output)
        .unwrap_or_else(|| panic!("no {output}"))
}

#[track_caller]
fn close(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} is not {expected}"
    );
}

pub(crate) const UM: f64 = 1e-6;

// Uncertainty of a fitted line.

/// Weighted regression example, Miller and Miller, ch. 5: readings from memory, every published value reproduced;
/// values to all digits computed with numpy and scipy. Its readings are taken as micrometres.
pub(crate) fn weighted() -> Vec<(u32, String)> {
    [
        (0, "0.009 ± 0.001 um"),
        (2, "0.158 ± 0.004 um"),
        (4, "0.301 ± 0.010 um"),
        (6, "0.472 ± 0.013 um"),
        (8, "0.577 ± 0.017 um"),
        (10, "0.739 ± 0.022 um"),
    ]
    .map(|(n, t)| (n, t.to_owned()))
    .into()
}

#[wasm_bindgen_test(unsupported = test)]
fn stated_uncertainties_propagate_to_the_weighted_line_unscaled() {
    let evaluation = fitted(&weighted(), &[("line", "intercept"), ("passes", "10")]);
    close(
        value(&evaluation, "per_pass"),
        0.0737599662370502 * UM,
        1e-9,
    );
    close(
        value(&evaluation, "intercept"),
        0.009083907773170434 * UM,
        1e-9,
    );
    let (a, b) = (0.0009877157304881486 * UM, 0.0010030367945151628 * UM);
    close(budget(&evaluation, "per_pass").uncertainty, b, 1e-9);
    close(budget(&evaluation, "intercept").uncertainty, a, 1e-9);
    // At 10 passes the correlation of intercept and slope counts.
    let covariance = -2.3097095215481665e-7 * UM * UM;
    let at_ten = (a * a + 20.0 * covariance + 100.0 * b * b).sqrt();
    close(budget(&evaluation, "thickness").uncertainty, at_ten, 1e-9);
    // Stated uncertainties: no scatter row, and as many leaves as points.
    assert_eq!(evaluation.cards[0].scatter_title(), None);
    assert_eq!(budget(&evaluation, "per_pass").rows.len(), 6);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_weighted_line_is_read_backwards() {
    // Computed with numpy and scipy on the same example.
    let changes = [
        ("line", "intercept"),
        ("find", "passes"),
        ("target", "0.100 um"),
    ];
    let evaluation = fitted(&weighted(), &changes);
    close(value(&evaluation, "passes_exact"), 1.2325940054614846, 1e-9);
    assert_eq!(value(&evaluation, "passes_to_print"), 1.0);
    let line = |n: f64| (0.009083907773170434 + 0.0737599662370502 * n) * UM;
    close(
        value(&evaluation, "neighbours.below.thickness"),
        line(1.0),
        1e-9,
    );
    close(
        value(&evaluation, "neighbours.above.thickness"),
        line(2.0),
        1e-9,
    );
    assert_eq!(value(&evaluation, "neighbours.below.passes"), 1.0);
    assert_eq!(value(&evaluation, "neighbours.above.passes"), 2.0);
    close(value(&evaluation, "thickness"), line(1.0), 1e-9);
}

/// Calibration of cadmium by atomic absorption, Eurachem/CITAC CG4 3rd ed., Example A5: readings from memory, seven
/// published figures reproduced with numpy and scipy. Concentrations of 0.1 mg/L are taken as passes, absorbances as
/// micrometres.
fn cadmium() -> Vec<(u32, String)> {
    let absorbance = [
        0.028, 0.029, 0.029, 0.084, 0.083, 0.081, 0.135, 0.131, 0.133, 0.18, 0.181, 0.183, 0.215,
        0.23, 0.216,
    ];
    let passes = [1, 3, 5, 7, 9].into_iter().flat_map(|n| [n; 3]);
    micrometres(&passes.zip(absorbance).collect::<Vec<_>>())
}

#[wasm_bindgen_test(unsupported = test)]
fn without_stated_uncertainties_the_scatter_takes_their_place() {
    let evaluation = fitted(&cadmium(), &[("line", "intercept")]);
    // Per 0.1 mg/L.
    close(value(&evaluation, "per_pass"), 0.0241 * UM, 1e-9);
    close(value(&evaluation, "intercept"), 0.0087 * UM, 1e-9);
    let slope = budget(&evaluation, "per_pass");
    close(slope.uncertainty, 0.0005007686399618438 * UM, 1e-9);
    close(
        budget(&evaluation, "intercept").uncertainty,
        0.0028766968236824592 * UM,
        1e-9,
    );
    close(slope.degrees_of_freedom, 13.0, 1e-12);
    let title = evaluation.cards[0].scatter_title();
    assert_eq!(title, Some("Scatter of the points about the line"));
}

#[wasm_bindgen_test(unsupported = test)]
fn inverse_prediction_has_the_published_uncertainty() {
    // The mean of two readings, 0.0712, has the uncertainty S/√2 with S = 0.0054856456039656665.
    let changes = [
        ("line", "intercept"),
        ("find", "passes"),
        ("target", "0.0712 ± 0.0038789372057502964 um"),
    ];
    let evaluation = fitted(&cadmium(), &changes);
    // Published: 0.26 mg/L with u = 0.018 mg/L; to all digits computed with numpy and scipy.
    close(value(&evaluation, "passes_exact"), 2.5933609958506226, 1e-9);
    close(
        budget(&evaluation, "passes_exact").uncertainty,
        0.17849434476485994,
        1e-9,
    );
}

/// NIST Statistical Reference Datasets, linear least squares, Norris: read. Tenths of x are taken as passes, y as
/// micrometres.
pub(crate) fn norris() -> Vec<(u32, String)> {
    let data = include_str!("data/strd_norris.csv");
    let rows = data.lines().filter_map(|line| {
        let (x, y) = line.split_once(',')?;
        let x: f64 = x.trim().parse().ok()?;
        Some(((x * 10.0).round() as u32, format!("{} um", y.trim())))
    });
    rows.collect()
}

#[wasm_bindgen_test(unsupported = test)]
fn a_certified_line_with_an_intercept() {
    let pairs = norris();
    assert_eq!(pairs.len(), 36);
    let evaluation = fitted(&pairs, &[("line", "intercept"), ("passes", "5000")]);
    close(
        value(&evaluation, "intercept"),
        -0.262323073774029 * UM,
        1e-9,
    );
    close(value(&evaluation, "per_pass"), 0.100211681802045 * UM, 1e-9);
    let intercept = budget(&evaluation, "intercept");
    close(intercept.uncertainty, 0.232818234301152 * UM, 1e-9);
    close(intercept.degrees_of_freedom, 34.0, 1e-12);
    close(
        budget(&evaluation, "per_pass").uncertainty,
        0.0000429796848199937 * UM,
        1e-9,
    );
    // The line at x = 500 and its standard error: computed with statsmodels 0.15.0, scipy 1.17.1.
    close(value(&evaluation, "thickness"), 500.796085936453 * UM, 1e-9);
    close(
        budget(&evaluation, "thickness").uncertainty,
        0.1515021758001926 * UM,
        1e-9,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_certified_line_through_the_origin() {
    // NIST Statistical Reference Datasets, linear least squares, NoInt2: read. Taken as micrometres.
    let pairs = micrometres(&[(4, 3.0), (5, 4.0), (6, 4.0)]);
    let evaluation = fitted(&pairs, &[("passes", "10")]);
    close(value(&evaluation, "per_pass"), 0.727272727272727 * UM, 1e-9);
    let slope = budget(&evaluation, "per_pass");
    close(slope.uncertainty, 0.0420827318078432 * UM, 1e-9);
    close(slope.degrees_of_freedom, 2.0, 1e-12);
    close(
        budget(&evaluation, "thickness").uncertainty,
        0.420827318078432 * UM,
        1e-9,
    );
    assert_eq!(budget(&evaluation, "intercept").uncertainty, 0.0);
    let sentence = said(&evaluation, "residual_deviation");
    assert!(
        sentence.contains("0.3693 µm"),
        "certified 0.369274472937998: {sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_order_and_names_of_the_rows_do_not_matter() {
    let mut pairs = norris();
    let forth = value(&fitted(&pairs, &[("line", "intercept")]), "per_pass");
    pairs.reverse();
    close(
        value(&fitted(&pairs, &[("line", "intercept")]), "per_pass"),
        forth,
        1e-13,
    );
}

// From drops.

#[wasm_bindgen_test(unsupported = test)]
fn relative_uncertainties_of_drops_add_in_squares() {
    let changes = [
        ("drop_volume", "10.0 ± 0.3 pL"),
        ("pitch_x", "20 ± 0.4 um"),
        ("pitch_y", "25 ± 1 um"),
        ("solids", "(5.00 ± 0.05) %"),
        ("porosity", "(60 ± 2) %"),
    ];
    let evaluation = evaluated(DROPS, &changes);
    // 1 − P = 0.40 ± 0.02.
    let relative = [0.03_f64, 0.02, 0.04, 0.01, 0.05]
        .iter()
        .map(|r| r * r)
        .sum::<f64>()
        .sqrt();
    let thickness = 6.0 * 10e-15 * 0.05 / (20e-6 * 25e-6 * 0.4);
    close(value(&evaluation, "thickness"), thickness, 1e-12);
    close(
        budget(&evaluation, "thickness").uncertainty,
        relative * thickness,
        1e-9,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_mass_of_the_film_does_not_depend_on_its_porosity() {
    // The solid printed is n·V_d·φ for each drop: a denser film is thinner, not heavier.
    let changes = [
        ("density", "5.6 g/cm3"),
        ("area", "0.25 cm2"),
        ("porosity", "(60 ± 5) %"),
    ];
    let evaluation = evaluated(DROPS, &changes);
    let mass = 6.0 * 10e-15 * 0.05 / (20e-6 * 25e-6) * 5600.0 * 0.25e-4;
    close(value(&evaluation, "film_mass"), mass, 1e-12);
    close(value(&evaluation, "areal_mass"), mass / 0.25e-4, 1e-12);
    assert!(budget(&evaluation, "film_mass").uncertainty <= 1e-12 * mass);
    // The ink is the drops on the area.
    close(
        value(&evaluation, "ink_volume"),
        6.0 * 0.25e-4 / (20e-6 * 25e-6) * 10e-15,
        1e-12,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn porosity_cancels_from_the_free_volume_of_a_linked_cell() {
    // Free volume = A·h − A_f·t·(1 − P), and t·(1 − P) is fixed by the drops.
    let changes = [("porosity", "(60 ± 5) %"), ("area", "0.25 cm2")];
    let film = card("thickness", &[DROPS, &changes].concat());
    let window = [
        ("window", "area"),
        ("area", "0.36 cm2"),
        ("spacer", "40 um"),
    ];
    let mut gap = card("spacer_gap", &window);
    for (input, output) in [
        ("film_thickness", "thickness"),
        ("porosity", "porosity"),
        ("film_area", "area"),
    ] {
        let address = Address {
            card: "thickness".into(),
            output: output.into(),
        };
        gap.inputs.insert(input.into(), Input::Link(address));
    }
    let evaluation = evaluate(&Sheet {
        cards: vec![gap, film],
    });
    let free = number(
        evaluation.find("spacer_gap").expect("is there"),
        "free_volume",
    );
    close(
        free,
        0.36e-4 * 40e-6 - 0.25e-4 * 6.0 * 10e-15 * 0.05 / (20e-6 * 25e-6),
        1e-12,
    );
    let u = |output| {
        evaluation
            .budget("spacer_gap", output)
            .expect("is there")
            .uncertainty
    };
    assert!(u("free_volume") <= 1e-12 * free, "{}", u("free_volume"));
    assert!(u("over_film") > 1e-3 * free && u("pores") > 1e-3 * free);
}

#[wasm_bindgen_test(unsupported = test)]
fn dots_per_inch_and_pitch_are_the_same_thing() {
    let resolution = [
        ("pitch_as", "resolution"),
        ("resolution_x", "1270 dpi"),
        ("resolution_y", "1016 dpi"),
    ];
    let by_resolution = evaluated(DROPS, &resolution);
    // 1270 dpi is 20 µm and 1016 dpi is 25 µm by the definition of the inch.
    for output in ["thickness", "wet_per_pass", "drops_per_area"] {
        close(
            value(&by_resolution, output),
            value(&evaluated(DROPS, &[]), output),
            1e-12,
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn passes_and_thickness_invert_each_other() {
    for passes in ["1", "3", "17"] {
        let there = value(&evaluated(DROPS, &[("passes", passes)]), "thickness");
        let target = format!("{} um", there / UM);
        let back = evaluated(DROPS, &[("find", "passes"), ("target", &target)]);
        let expected: f64 = passes.parse().unwrap();
        close(value(&back, "passes_exact"), expected, 1e-12);
        assert_eq!(value(&back, "passes_to_print"), expected);
        assert_eq!(value(&back, "neighbours.below.passes"), expected);
        close(value(&back, "neighbours.below.thickness"), there, 1e-12);
    }
    // Less than one pass is still one to print.
    let thin = evaluated(DROPS, &[("find", "passes"), ("target", "0.1 um")]);
    assert_eq!(value(&thin, "passes_to_print"), 1.0);
    assert_eq!(value(&thin, "neighbours.below.passes"), 0.0);
}

// What it says.

#[track_caller]
pub(crate) fn said(evaluation: &Evaluation, code: &str) -> String {
    let (_, sentence) = check(evaluation, code).unwrap_or_else(|| panic!("no {code}"));
    sentence
}

#[wasm_bindgen_test(unsupported = test)]
fn it_says_which_whole_passes_fall_inside_the_tolerance() {
    // 2.5 µm a pass.
    let within = |target, tolerance| {
        let changes = [
            ("find", "passes"),
            ("target", target),
            ("tolerance", tolerance),
        ];
        evaluated(DROPS, &changes)
    };
    let several = within("12.5 um", "2.5 um");
    assert!(said(&several, "whole_passes").starts_with("4 to 6 passes fall inside"));
    let one = within("7.6 um", "0.5 um");
    assert!(said(&one, "whole_passes").starts_with("Only 3 passes fall inside"));
    assert!(said(&within("2.4 um", "0.2 um"), "whole_passes").starts_with("Only 1 pass falls"));
    assert_eq!(
        checks(&one),
        [("print", Level::Note), ("whole_passes", Level::InRange)]
    );
    let none = within("6.2 um", "0.5 um");
    assert!(said(&none, "no_whole_passes").contains("2 passes give 5 µm"));
    assert_eq!(
        checks(&none),
        [("print", Level::Note), ("no_whole_passes", Level::Warning)]
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn it_says_how_well_the_line_fits() {
    let good = fitted(&weighted(), &[("line", "intercept"), ("passes", "10")]);
    assert_eq!(
        checks(&good),
        [("chi_squared", Level::InRange), ("origin", Level::Note)]
    );
    // Chi-squared 4.500118771868131 for 4 degrees of freedom, computed with numpy.
    assert!(said(&good, "chi_squared").contains("1.13 for each of 4 degrees of freedom"));
    // The uncertainty as stated, not scaled to the scatter: u = 0.9877 nm.
    let origin = said(&good, "origin");
    assert!(origin.contains("(9.1 ± 2.0) nm (k = 2)"), "{origin}");
    // The same thicknesses with uncertainties ten times smaller.
    let narrow: Vec<_> = weighted()
        .into_iter()
        .map(|(n, t)| (n, t.replace("± 0.0", "± 0.00")))
        .collect();
    let poor = fitted(&narrow, &[("line", "intercept"), ("passes", "10")]);
    assert_eq!(checks(&poor)[0], ("chi_squared", Level::Warning));
    // 12 passes lie outside what was measured.
    let pairs = micrometres(&[(2, 1.9), (4, 4.1), (6, 6.0)]);
    let origin = fitted(&pairs, &[("passes", "12")]);
    assert_eq!(
        checks(&origin),
        [
            ("residual_deviation", Level::Note),
            ("origin", Level::InRange),
            ("extrapolated", Level::Note)
        ]
    );
    assert_eq!(
        said(&origin, "extrapolated"),
        "12 passes lie outside the measured range (0 to 6): the line is continued."
    );
    // The intercept of nearly proportional pairs is compatible with zero.
    let with = fitted(&pairs, &[("line", "intercept"), ("passes", "4")]);
    assert_eq!(
        checks(&with),
        [
            ("residual_deviation", Level::Note),
            ("origin", Level::InRange)
        ]
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_that_hardly_grows_is_noticed() {
    let pairs = micrometres(&[(1, 2.0), (2, 1.4), (3, 2.1), (4, 1.7)]);
    let evaluation = fitted(&pairs, &[("line", "intercept")]);
    assert!(checks(&evaluation).contains(&("no_clear_growth", Level::Warning)));
}

#[wasm_bindgen_test(unsupported = test)]
fn two_pairs_define_a_line_but_show_no_scatter() {
    let evaluation = fitted(
        &micrometres(&[(2, 1.0), (4, 2.2)]),
        &[("line", "intercept"), ("passes", "3")],
    );
    close(value(&evaluation, "thickness"), 1.6 * UM, 1e-12);
    assert_eq!(checks(&evaluation), [("no_spare_pair", Level::Warning)]);
    assert_eq!(budget(&evaluation, "thickness").uncertainty, 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn an_unusual_porosity_is_noted() {
    assert_eq!(checks(&evaluated(DROPS, &[])), []);
    let dense = evaluated(DROPS, &[("porosity", "5 %")]);
    assert_eq!(checks(&dense), [("unusual_porosity", Level::Note)]);
}

// When it stops.

#[track_caller]
fn stops(evaluation: &Evaluation, path: &str, code: &str) {
    let State::Stopped(problems) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    let [problem] = problems.as_slice() else {
        panic!("{problems:?}");
    };
    assert_eq!((problem.path.as_str(), problem.code), (path, code));
    assert!(
        problem.sentence.ends_with('.') && problem.hint.ends_with('.'),
        "{problem}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn pairs_that_define_no_line_stop() {
    let with = [("line", "intercept")];
    stops(
        &fitted(&micrometres(&[(4, 2.0)]), &with),
        "pairs",
        "too_few_pairs",
    );
    stops(
        &fitted(&micrometres(&[(4, 2.0), (4, 2.1)]), &with),
        "pairs",
        "same_passes",
    );
    stops(
        &fitted(&micrometres(&[(0, 0.0), (0, 0.1)]), &[]),
        "pairs",
        "no_passes",
    );
    // One pair is enough through the origin.
    let one = fitted(&micrometres(&[(4, 2.0)]), &[("passes", "6")]);
    close(value(&one, "thickness"), 3.0 * UM, 1e-12);
}

#[wasm_bindgen_test(unsupported = test)]
fn uncertainties_are_stated_for_all_thicknesses_or_for_none() {
    let pairs = [
        (1, "1 ± 0.1 um".to_owned()),
        (2, "2 um".to_owned()),
        (3, "3 ± 0.1 um".to_owned()),
    ];
    let evaluation = fitted(&pairs, &[]);
    stops(&evaluation, "pairs", "uncertainty_in_some_pairs");
}

#[wasm_bindgen_test(unsupported = test)]
fn passes_for_a_target_need_a_line_that_rises_to_it() {
    let find = |target| {
        [
            ("line", "intercept"),
            ("find", "passes"),
            ("target", target),
        ]
    };
    let falling = micrometres(&[(1, 3.0), (2, 2.0), (3, 1.1)]);
    stops(&fitted(&falling, &find("2 um")), "pairs", "no_growth");
    let offset = micrometres(&[(1, 3.0), (2, 4.0), (3, 5.1)]);
    stops(
        &fitted(&offset, &find("1 um")),
        "target",
        "target_below_intercept",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn an_unfinished_card_waits() {
    let waiting = |evaluation: &Evaluation| match &evaluation.cards[0].state {
        State::Waiting(awaited) => awaited.iter().map(|a| a.path.clone()).collect::<Vec<_>>(),
        state => panic!("{state:?}"),
    };
    assert_eq!(
        waiting(&evaluated(&[], &[])),
        [
            "passes",
            "drop_volume",
            "pitch_x",
            "pitch_y",
            "solids",
            "porosity"
        ]
    );
    // From pairs, porosity, density and area are for the mass only.
    assert_eq!(waiting(&evaluated(PAIRS, &[])), ["pairs"]);
}
