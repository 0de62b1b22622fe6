//! The calibration line through its public interface: the uncertainty of what is read from it, and what it says.

use glasswick_core::calculators;
use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{Address, Card, Evaluation, Input, Row, Sheet, State, evaluate};
use glasswick_core::uncertainty::Budget;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};
use crate::support::{alone, card, check, checks, number, stops};

/// Standards and readings by mass, as typed.
fn read(standards: &[(&str, &str)], readings: &[&str]) -> Evaluation {
    let mut entries = vec![("concentration_as".to_owned(), "mass".to_owned())];
    for (row, (concentration, signal)) in standards.iter().enumerate() {
        let cell = |column| format!("standards_by_mass.r{row}.{column}");
        entries.push((cell("mass_concentration"), format!("{concentration} mg/L")));
        entries.push((cell("signal"), (*signal).to_owned()));
    }
    for (row, reading) in readings.iter().enumerate() {
        entries.push((format!("readings.r{row}.reading"), (*reading).to_owned()));
    }
    let entries: Vec<(&str, &str)> = entries
        .iter()
        .map(|(path, text)| (path.as_str(), text.as_str()))
        .collect();
    alone(card("calibration_line", &entries))
}

fn budget(evaluation: &Evaluation, output: &str) -> Budget {
    let budget = evaluation.budget("calibration_line", output);
    budget.unwrap_or_else(|| panic!("{output}: {:?}", evaluation.cards[0].state))
}

const CADMIUM: &[(&str, &str)] = &[
    ("0.1", "0.028"),
    ("0.1", "0.029"),
    ("0.1", "0.029"),
    ("0.3", "0.084"),
    ("0.3", "0.083"),
    ("0.3", "0.081"),
    ("0.5", "0.135"),
    ("0.5", "0.131"),
    ("0.5", "0.133"),
    ("0.7", "0.180"),
    ("0.7", "0.181"),
    ("0.7", "0.183"),
    ("0.9", "0.215"),
    ("0.9", "0.230"),
    ("0.9", "0.216"),
];

/// Eurachem/CITAC guide CG4, 3rd edition, example A5, tables A5.2 and A5.3: data and printed values from memory;
/// unrounded values computed with numpy/scipy, which reproduce every printed one.
#[wasm_bindgen_test(unsupported = test)]
fn a_sample_has_the_uncertainty_of_line_and_readings() {
    let evaluation = read(CADMIUM, &["0.0712", "0.0712"]);
    let found = budget(&evaluation, "mass_concentration");
    // 1 mg/L is 1e-3 kg/m³; 1 L/mg is 1e3 m³/kg.
    within("u(c₀)", found.uncertainty * 1e3, 0.018, 5e-4);
    close(
        "u(c₀)",
        found.uncertainty,
        0.017_849_434_476_485_994e-3,
        1e-10,
    );
    let slope = budget(&evaluation, "slope_by_mass").uncertainty / 1e3;
    within("u(b)", slope, 0.0050, 5e-5);
    close("u(b)", slope, 0.005_007_686_399_618_438, 1e-10);
    let intercept = budget(&evaluation, "intercept").uncertainty;
    within("u(a)", intercept, 0.0029, 5e-5);
    close("u(a)", intercept, 0.002_876_696_823_682_459_2, 1e-10);
    // One row: the scatter of line and readings, with the freedom of the line.
    assert_eq!(found.rows.len(), 1);
    assert_eq!(found.degrees_of_freedom, 13.0);
    // The mean of two readings: s/√2.
    let mean = budget(&evaluation, "mean").uncertainty;
    close(
        "u(y₀)",
        mean,
        0.005_485_645_603_965_666_5 / 2f64.sqrt(),
        1e-10,
    );
    // S residual is printed as 0.005486.
    let (level, sentence) = check(&evaluation, "residual_deviation").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.contains("by 0.005 486 (residual standard deviation, 13 degrees of freedom)"),
        "{sentence}"
    );
}

/// Harvey, Analytical Chemistry 2.1, section 5.4: the standards were read there; the readings of the sample, the slope
/// of 120.706, the intercept of 0.209 and 0.241 with 0.0024 are from memory. Unrounded values computed with Python's
/// fractions; the residual deviation of 0.4035 that is printed there comes from rounded residuals.
#[wasm_bindgen_test(unsupported = test)]
fn a_second_published_sample() {
    let standards = [
        ("0.000", "0.00"),
        ("0.100", "12.36"),
        ("0.200", "24.83"),
        ("0.300", "35.91"),
        ("0.400", "48.79"),
        ("0.500", "60.42"),
    ];
    let evaluation = read(&standards, &["29.32", "29.16", "29.51"]);
    let found = number(&evaluation.cards[0], "mass_concentration") * 1e3;
    within("c", found, 0.241, 5e-4);
    let u = budget(&evaluation, "mass_concentration");
    within("u(c)", u.uncertainty * 1e3, 0.0024, 5e-5);
    let s = budget(&evaluation, "mean").uncertainty * 3f64.sqrt();
    close("s", s, 0.403_297_125_490_092_5, 1e-9);
    close("c", found, 0.241_259_734_419_012, 1e-12);
    close(
        "u(c)",
        u.uncertainty * 1e3,
        0.002_363_588_112_072_766_2,
        1e-9,
    );
}

/// Miller & Miller, chapter 5, weighted regression: readings from memory; variances and covariance of the line for
/// absolute weights computed with numpy/scipy.
#[wasm_bindgen_test(unsupported = test)]
fn stated_uncertainties_are_weights_and_propagate() {
    let standards = [
        ("0", "0.009 ± 0.001"),
        ("2", "0.158 ± 0.004"),
        ("4", "0.301 ± 0.010"),
        ("6", "0.472 ± 0.013"),
        ("8", "0.577 ± 0.017"),
        ("10", "0.739 ± 0.022"),
    ];
    let evaluation = read(&standards, &["0.100 ± 0.003"]);
    let (slope, intercept) = (0.001_003_036_794_515_162_8, 0.000_987_715_730_488_148_6);
    let covariance = -2.309_709_521_548_166_5e-7;
    close(
        "u(b)",
        budget(&evaluation, "slope_by_mass").uncertainty / 1e3,
        slope,
        1e-9,
    );
    close(
        "u(a)",
        budget(&evaluation, "intercept").uncertainty,
        intercept,
        1e-9,
    );
    let c = 1.232_594_005_461_484_6;
    let variance = Scalar::squared(0.003)
        + Scalar::squared(intercept)
        + Scalar::squared(c * slope)
        + 2.0 * c * covariance;
    let expected = variance.sqrt() / 0.073_759_966_237_050_2;
    let found = budget(&evaluation, "mass_concentration");
    close("u(c₀)", found.uncertainty * 1e3, expected, 1e-9);
    assert_eq!(found.rows.len(), 7, "six standards and one reading");
    assert_eq!(check(&evaluation, "readings_without_uncertainty"), None);
    let bare = read(&standards, &["0.100"]);
    let (level, _) = check(&bare, "readings_without_uncertainty").unwrap();
    assert_eq!(level, Level::Warning);
}

/// An uncertainty of 1 % that all standards have from one stock is one of 1 % of the sample.
#[wasm_bindgen_test(unsupported = test)]
fn standards_of_one_stock_are_off_together() {
    let dilution = |id: &str, entries: &[(&str, &str)]| Card {
        id: id.into(),
        ..card("dilution", &[&[("find", "target")], entries].concat())
    };
    let stock = dilution(
        "stock",
        &[
            ("stock", "10 ± 0.1 mmol/L"),
            ("aliquot", "1 mL"),
            ("final", "10 mL"),
        ],
    );
    let link = |card: &str| {
        Input::Link(Address {
            card: card.into(),
            output: "target".into(),
        })
    };
    let mut cards = vec![stock];
    let mut standards = Vec::new();
    for (id, aliquot, signal) in [
        ("s1", "1 mL", "0.1"),
        ("s2", "4 mL", "0.4"),
        ("s3", "9 mL", "0.9"),
    ] {
        let mut of = dilution(id, &[("aliquot", aliquot), ("final", "10 mL")]);
        of.inputs.insert("stock".into(), link("stock"));
        cards.push(of);
        let mut row = Row {
            id: id.into(),
            ..Row::default()
        };
        row.cells.insert("concentration".into(), link(id));
        row.cells.insert("signal".into(), Input::typed(signal));
        standards.push(row);
    }
    let calculator = calculators::find("calibration_line").unwrap();
    let mut line = Card::new(calculator, "calibration_line");
    line.enter(calculator, "readings.r.reading", "0.55");
    line.inputs
        .insert("standards".into(), Input::Rows(standards));
    cards.push(line);
    let evaluation = evaluate(&Sheet { cards });
    let last = &evaluation.cards[4];
    assert_eq!(last.state, State::Ready);
    close("c₀", number(last, "concentration"), 0.55, 1e-12);
    let u = budget(&evaluation, "concentration").uncertainty;
    close("u(c₀)", u, 0.0055, 1e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_the_line_is_worth_is_said() {
    let codes = |standards: &[(&str, &str)], readings: &[&str]| checks(&read(standards, readings));
    let has = |found: &[(&str, Level)], code, level| found.contains(&(code, level));
    let straight = [
        ("0", "0.01"),
        ("0", "-0.01"),
        ("1", "0.11"),
        ("2", "0.19"),
        ("2", "0.21"),
    ];
    let found = codes(&straight, &["0.15"]);
    assert!(has(&found, "straight", Level::InRange), "{found:?}");
    assert!(has(&found, "between_standards", Level::InRange));
    assert!(has(
        &codes(&straight, &["0.25"]),
        "outside_standards",
        Level::Warning
    ));
    let bent = [
        ("0", "0.000"),
        ("0", "0.001"),
        ("1", "0.200"),
        ("1", "0.201"),
        ("2", "0.300"),
        ("2", "0.301"),
    ];
    let found = codes(&bent, &[]);
    assert!(has(&found, "not_straight", Level::Warning), "{found:?}");
    let level = [("0", "0.10"), ("1", "0.11"), ("2", "0.09"), ("3", "0.105")];
    assert!(has(&codes(&level, &[]), "no_clear_slope", Level::Warning));
    let two = [("0", "0.10"), ("1", "0.20")];
    assert!(has(
        &codes(&two, &["0.15"]),
        "no_spare_pair",
        Level::Warning
    ));
}

#[wasm_bindgen_test(unsupported = test)]
fn what_defines_no_line_stops() {
    stops(
        &read(&[("1", "0.1")], &[]),
        "standards_by_mass",
        "too_few_standards",
        "A line needs at least 2 standards; 1 entered.",
    );
    stops(
        &read(&[("1", "0.1"), ("1", "0.2")], &[]),
        "standards_by_mass",
        "same_concentration",
        "All standards have the same concentration: they define no slope.",
    );
    stops(
        &read(&[("1", "0.1 ± 0.01"), ("2", "0.2")], &[]),
        "standards_by_mass",
        "uncertainty_in_some_pairs",
        "1 of 2 signals have an uncertainty: the others have no weight in the line.",
    );
}

/// The line may be made before there is a sample.
#[wasm_bindgen_test(unsupported = test)]
fn a_line_needs_no_sample() {
    let evaluation = read(CADMIUM, &[]);
    let line = &evaluation.cards[0];
    assert_eq!(line.state, State::Ready);
    assert!(line.output("mass_concentration").is_none());
    close("b", number(line, "slope_by_mass") / 1e3, 0.241, 1e-9);
    let (_, points) = &line.curves[0];
    close("to", points.x[1], 0.9e-3, 1e-12);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_line_that_does_not_rise_is_not_read_from() {
    stops(
        &read(&[("1", "0.5"), ("2", "0.5"), ("3", "0.5")], &["0.5"]),
        "standards_by_mass",
        "no_slope",
        "The signal does not change with the concentration: the slope is zero.",
    );
    let falling = read(&[("1", "0.9"), ("2", "0.5"), ("3", "0.11")], &["0.5"]);
    let (level, sentence) = check(&falling, "falling_line").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("falls as the concentration grows"),
        "{sentence}"
    );
    let rising = &[("1", "0.11"), ("2", "0.5"), ("3", "0.9")];
    assert_eq!(check(&read(rising, &["0.5"]), "falling_line"), None);
    let (_, sentence) = check(&read(rising, &["0.05"]), "outside_standards").unwrap();
    assert!(sentence.contains("Take more of it"), "{sentence}");
    let (_, sentence) = check(&read(rising, &["1.2"]), "outside_standards").unwrap();
    assert!(sentence.contains("Dilute it"), "{sentence}");
}
