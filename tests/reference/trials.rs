//! Monte Carlo runs of numbers on a run sheet.

use glasswick_core::calculators::{self, Calculator, Case, FieldKind};
use glasswick_core::numerics::student;
use glasswick_core::sheet::{Address, Card, Evaluation, Input, Sheet, Trials, evaluate};
use glasswick_core::uncertainty::monte_carlo::{Draws, Outcome, Stopped};
use glasswick_core::uncertainty::{BudgetRow, Distribution, Meaning, Origin};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, plain};

const DRAWS: Draws = Draws::Fixed(50_000);

#[track_caller]
fn outcome(evaluation: &Evaluation, card: &str, output: &str, draws: Draws) -> Outcome {
    let trials = Trials::new(evaluation, card, output, 4, draws);
    let trials = trials.unwrap_or_else(|| panic!("{card}.{output} cannot vary"));
    trials.complete().unwrap()
}

/// A worked case with a standard uncertainty of a thousandth on every quantity that is typed without one. What stands close
/// to an end of its range, such as a purity of 99.99 %, has none: it could hardly vary to one side.
fn uncertain(calculator: &Calculator, case: &Case) -> Evaluation {
    let mut card = Card::example(calculator, case);
    let exact = alone(card.clone());
    for reading in &exact.cards[0].readings {
        let range = reading.field.number_range();
        let at_end = [0.99, 1.01].map(|f| !range.contains(f * reading.value)) != [false; 2];
        if let FieldKind::Quantity { .. } = reading.field.kind
            && !at_end
        {
            let mut parts = reading.path.splitn(3, '.');
            let input = card.inputs.get_mut(parts.next().unwrap());
            let input = match (input, parts.next(), parts.next()) {
                (Some(Input::Rows(rows)), Some(row), Some(column)) => {
                    let row = rows.iter_mut().find(|r| r.id == row);
                    row.and_then(|r| r.cells.get_mut(column))
                }
                (input, ..) => input,
            };
            if let Some(Input::Typed(typed)) = input
                && !typed.text.contains('±')
            {
                let shown = reading.unit.from_si(reading.value);
                typed.plus_minus = format!("{}", (1e-3 * shown).abs());
            }
        }
    }
    alone(card)
}

/// Where a model is nearly linear over the uncertainties, both ways give the same mean and standard uncertainty. Two kinds
/// of numbers are not: the cases that fill a vessel with the undiluted liquid lie at the edge of what is possible, so that half of what surrounds them is left out; and the scatter of a few
/// readings is drawn from Student's t, whose standard deviation is larger and, up to two degrees of freedom, infinite.
#[wasm_bindgen_test(unsupported = test)]
fn first_order_and_monte_carlo_agree_for_every_worked_case() {
    const DRAWS: u64 = 10_000;
    let (mut compared, mut at_the_edge, mut few) = (0, 0, 0);
    for (calculator, case) in calculators::cases() {
        let evaluation = uncertain(calculator, case);
        for output in &evaluation.cards[0].outputs {
            let name = format!("{}, {}: {}", calculator.id, case.title, output.path);
            let budget = evaluation.budget(calculator.id, &output.path).unwrap();
            if budget.rows.iter().any(of_few_readings) {
                few += 1;
                continue;
            }
            let draws = Draws::Fixed(DRAWS);
            let trials = Trials::new(&evaluation, calculator.id, &output.path, 1, draws);
            let Some(trials) = trials else {
                continue;
            };
            let outcome = trials.complete().unwrap_or_else(|e| panic!("{name}: {e}"));
            if case.title.starts_with("the liquid itself") {
                let share = outcome.left_out.count as f64 / outcome.left_out.attempts as f64;
                assert!((0.45..0.55).contains(&share), "{name}: {share}");
                at_the_edge += 1;
                continue;
            }
            assert_eq!(outcome.left_out.count, 0, "{name}");
            let u = outcome.first_order.uncertainty;
            // Five standard errors of a mean and of a standard deviation, and what rounding leaves where u is zero.
            let rounding = 1e-14 * output.value.abs();
            let of_mean = 5.0 * u / (DRAWS as f64).sqrt() + rounding;
            let of_uncertainty = 5.0 * u / (2.0 * DRAWS as f64).sqrt() + rounding;
            let (mean, found) = (outcome.mean, outcome.uncertainty);
            assert!(
                (mean - output.value).abs() <= of_mean,
                "{name}: {mean} instead of {} ± {of_mean}",
                output.value
            );
            assert!(
                (found - u).abs() <= of_uncertainty,
                "{name}: u = {found} instead of {u} ± {of_uncertainty}"
            );
            compared += 1;
        }
    }
    assert!(
        compared >= 450 && at_the_edge >= 48 && few >= 1,
        "{compared}, {at_the_edge}, {few}"
    );
}

fn of_few_readings(row: &BudgetRow) -> bool {
    matches!(row.origin, Origin::Scatter(_)) && row.degrees_of_freedom.is_finite()
}

/// Three dilutions, each from the one before: c·(V/W)³ with the same relative uncertainties.
fn chain() -> Sheet {
    let step = |number: usize| {
        let stock = if number == 0 {
            "2.00 ± 0.01 mol/L"
        } else {
            ""
        };
        let entries = [
            ("find", "target"),
            ("stock", stock),
            ("aliquot", "10.00 ± 0.05 mL"),
            ("final", "100.0 ± 0.5 mL"),
        ];
        let mut card = card("dilution", &entries);
        card.id = format!("step-{number}");
        card.title = format!("Step {number}");
        if let Some(before) = number.checked_sub(1) {
            card.inputs
                .insert("stock".into(), link(&format!("step-{before}"), "target"));
        }
        card
    };
    Sheet {
        cards: (0..3).map(step).collect(),
    }
}

fn link(card: &str, output: &str) -> Input {
    Input::Link(Address {
        card: card.into(),
        output: output.into(),
    })
}

fn typed<'a>(
    sheet: &'a mut Sheet,
    card: usize,
    field: &str,
) -> &'a mut glasswick_core::sheet::Typed {
    match sheet.cards[card].inputs.get_mut(field) {
        Some(Input::Typed(typed)) => typed,
        other => panic!("{other:?}"),
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn steps_taken_one_by_one_are_the_whole_run() {
    let evaluation = evaluate(&chain());
    let whole = outcome(&evaluation, "step-2", "target", Draws::Fixed(30_000));
    let mut trials = Trials::new(&evaluation, "step-2", "target", 4, Draws::Fixed(30_000)).unwrap();
    let mut seen = Vec::new();
    loop {
        let progress = trials.step().unwrap();
        seen.push((progress.draws, progress.most, progress.finished));
        if progress.finished {
            break;
        }
    }
    assert_eq!(
        seen,
        [
            (10_000, 30_000, false),
            (20_000, 30_000, false),
            (30_000, 30_000, true)
        ]
    );
    // Nothing is left to do.
    assert_eq!(trials.step().unwrap().draws, 30_000);
    assert_eq!(trials.finish().unwrap(), whole);
    // 2 mol/L a thousandfold diluted; relative u² = 0.005² (1 + 3·2).
    let u = 2.0 * 0.005 * 7_f64.sqrt();
    assert!((whole.first_order.uncertainty - u).abs() < 1e-9);
    assert!((whole.uncertainty - u).abs() < 5.0 * whole.errors.uncertainty);
}

#[wasm_bindgen_test(unsupported = test)]
fn other_cards_and_titles_have_no_part_in_a_run() {
    let sheet = chain();
    let evaluation = evaluate(&sheet);
    let run = outcome(&evaluation, "step-1", "target", DRAWS);
    let print = evaluation.fingerprint("step-1", "target").unwrap();

    let mut other = sheet.clone();
    other.cards.reverse();
    let mut unrelated = card("dilution", &[("stock", "9 ± 1 mol/L")]);
    unrelated.id = "unrelated".into();
    other.cards.insert(0, unrelated);
    for card in &mut other.cards {
        card.title.push('!');
        card.note = "cold day".into();
    }
    let evaluation = evaluate(&other);
    assert_eq!(outcome(&evaluation, "step-1", "target", DRAWS), run);
    assert_eq!(evaluation.fingerprint("step-1", "target"), Some(print));
    // What follows from it is another number.
    assert_ne!(evaluation.fingerprint("step-2", "target"), Some(print));
    assert_ne!(evaluation.fingerprint("step-1", "factor"), Some(print));
    assert_eq!(evaluation.fingerprint("step-1", "nothing"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_fingerprint_tells_what_a_run_depends_on() {
    let print = |change: &dyn Fn(&mut Sheet)| {
        let mut sheet = chain();
        change(&mut sheet);
        evaluate(&sheet).fingerprint("step-2", "target").unwrap()
    };
    let changes: [&dyn Fn(&mut Sheet); 9] = [
        &|_| {},
        &|sheet| typed(sheet, 0, "stock").text = "2.01 ± 0.01 mol/L".into(),
        &|sheet| typed(sheet, 0, "stock").text = "2.00 ± 0.02 mol/L".into(),
        &|sheet| typed(sheet, 0, "stock").freedom = "4".into(),
        &|sheet| typed(sheet, 0, "stock").meaning = Meaning::Limit(Distribution::Arcsine),
        &|sheet| {
            // Of the same standard uncertainty, but of another shape.
            let stock = typed(sheet, 0, "stock");
            stock.text = format!("2.00 ± {} mol/L", 0.01 * 2_f64.sqrt());
            stock.meaning = Meaning::Limit(Distribution::Arcsine);
        },
        &|sheet| typed(sheet, 1, "aliquot").text = "10.0 ± 0.05 mL; ".replace("; ", ""),
        &|sheet| {
            let step = &mut sheet.cards[2].inputs;
            step.insert("stock".into(), link("step-0", "target"));
        },
        &|sheet| {
            let step = &mut sheet.cards[2].inputs;
            step.insert("stock".into(), Input::typed("0.02 mol/L"));
        },
    ];
    let prints = changes.map(print);
    for (index, one) in prints.iter().enumerate() {
        for (other_index, other) in prints.iter().enumerate().skip(index + 1) {
            // The same number, typed with fewer zeros, is the same number.
            let same = (index, other_index) == (0, 6);
            assert_eq!(one == other, same, "{index} and {other_index}");
        }
    }
    let method = |option: &str| {
        let entries = [
            ("find", option),
            ("stock", "2 ± 0.1 mol/L"),
            ("target", "1 mol/L"),
            ("final", "10 mL"),
            ("aliquot", "5 mL"),
        ];
        alone(card("dilution", &entries))
    };
    assert_ne!(
        method("aliquot").fingerprint("dilution", "factor"),
        method("final").fingerprint("dilution", "factor")
    );
}

/// A purity of 99.9 % ± 0.2 % would be above 100 % in a share Φ(−½) = 30.9 % of the trials.
#[wasm_bindgen_test(unsupported = test)]
fn impossible_values_are_left_out_and_counted() {
    let entries = [
        ("by", "mass"),
        ("find", "target"),
        ("stock_fraction", "(99.9 ± 0.2) %"),
        ("aliquot_mass", "10 g"),
        ("final_mass", "100 g"),
    ];
    let evaluation = alone(card("dilution", &entries));
    let run = outcome(&evaluation, "dilution", "target_fraction", DRAWS);
    assert_eq!(run.draws, 50_000);
    let share = run.left_out.count as f64 / run.left_out.attempts as f64;
    let expected = student::normal_cdf(-0.5);
    let error = (expected * (1.0 - expected) / run.left_out.attempts as f64).sqrt();
    assert!((share - expected).abs() < 5.0 * error, "{share}");
    assert!(run.symmetric.high < 0.1 && run.histogram.above == 0);
    // The mean of a normal distribution cut at 0.5 u above its middle lies φ(½)/Φ(½) u = 0.5092 u below.
    let mean = 0.0999 - 0.509_2 * 0.0002;
    assert!(
        (run.mean - mean).abs() < 5.0 * run.errors.mean,
        "{}",
        run.mean
    );
    let words = plain(&run.left_out.words().unwrap());
    assert!(
        words.starts_with("In 31 % of the trials the numbers drawn are impossible (the first: Stock mass fraction cannot be 100."),
        "{words}"
    );
    assert!(
        words.ends_with(
            "); these were drawn again, so that what is shown is the distribution of possible values only."
        ),
        "{words}"
    );
    let possible = outcome(&evaluate(&chain()), "step-2", "target", DRAWS);
    assert_eq!(possible.left_out.words(), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_on_an_earlier_card_names_that_card() {
    let mut sheet = chain();
    typed(&mut sheet, 0, "aliquot").text = "99.9 ± 0.5 mL".into();
    let evaluation = evaluate(&sheet);
    let run = outcome(&evaluation, "step-2", "target", Draws::Fixed(10_000));
    let first = plain(run.left_out.first.as_deref().unwrap());
    assert!(
        first.starts_with("“Step 0”: The aliquot (")
            && first.contains("more than the final amount"),
        "{first}"
    );
    // What was entered there does not depend on what the card makes of it.
    let entered = outcome(&evaluation, "step-0", "aliquot", Draws::Fixed(10_000));
    assert_eq!(entered.left_out.count, 0);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_run_stops_where_most_trials_are_impossible() {
    let entries = [
        ("by", "mass"),
        ("find", "target"),
        ("stock_fraction", "(100 ± 1) %"),
        ("aliquot_mass", "10 ± 1 g"),
        ("final_mass", "10 ± 1 g"),
    ];
    let evaluation = alone(card("dilution", &entries));
    let trials = Trials::new(&evaluation, "dilution", "target_fraction", 1, DRAWS).unwrap();
    let stopped = trials.complete().unwrap_err();
    let Stopped::Impossible(left_out) = &stopped else {
        panic!("{stopped:?}");
    };
    assert_eq!(left_out.count, 10_001);
    assert!(
        stopped
            .to_string()
            .starts_with("More than half of the trials are impossible (the first: "),
        "{stopped}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn numbers_that_cannot_vary_have_no_run() {
    let evaluation = alone(card(
        "dilution",
        &[
            ("find", "target"),
            ("stock", "2 mol/L"),
            ("aliquot", "10 mL"),
            ("final", "100 ± 1 mL"),
        ],
    ));
    let run = |output: &str| Trials::new(&evaluation, "dilution", output, 1, DRAWS);
    assert!(run("stock").is_none() && run("nothing").is_none());
    assert!(Trials::new(&evaluation, "elsewhere", "target", 1, DRAWS).is_none());
    assert!(run("target").is_some());
    // A typed number is drawn from what was typed.
    let typed = run("final").unwrap().complete().unwrap();
    assert!((typed.mean - 1e-4).abs() < 5.0 * typed.errors.mean);
    assert!((typed.uncertainty - 1e-6).abs() < 5.0 * typed.errors.uncertainty);
    // Half a card gives no results, but what is on it can be drawn.
    let half = alone(card("dilution", &[("stock", "2.0 ± 0.1 mol/L")]));
    assert!(Trials::new(&half, "dilution", "stock", 1, DRAWS).is_some());
    assert!(Trials::new(&half, "dilution", "aliquot", 1, DRAWS).is_none());
}

/// Six readings without stated uncertainties leave four degrees of freedom: the corrections of the line are multivariate t,
/// and the interval of the intercept is ± 2.78 standard errors (JCGM 100:2008, table G.2).
#[wasm_bindgen_test(unsupported = test)]
fn the_scatter_of_a_line_is_drawn_from_a_t_distribution() {
    let (calculator, case) = calculators::cases()
        .find(|(_, case)| case.title == "the same readings without uncertainties: unweighted")
        .unwrap();
    let evaluation = alone(Card::example(calculator, case));
    let run = outcome(&evaluation, "thickness", "intercept", DRAWS);
    assert_eq!(run.first_order.degrees_of_freedom, 4.0);
    let expanded = 2.776_445 * run.first_order.uncertainty;
    let (value, errors) = (run.first_order.value, run.errors);
    assert!((run.symmetric.low - (value - expanded)).abs() < 5.0 * errors.low);
    assert!((run.symmetric.high - (value + expanded)).abs() < 5.0 * errors.high);
    // Corrections of a straight line are linear in the readings.
    assert_eq!((run.fit_linearised, run.fit_words()), (false, None));
}

/// What is read from a measured curve is not read again in each trial.
#[wasm_bindgen_test(unsupported = test)]
fn scatter_of_a_measured_curve_is_linearised_and_says_so() {
    let (calculator, case) = calculators::cases()
        .find(|(_, case)| case.title == "silicon cell, parabola")
        .unwrap();
    let mut card = Card::example(calculator, case);
    let noiseless = alone(card.clone());
    assert!(Trials::new(&noiseless, "efficiency", "efficiency", 1, DRAWS).is_none());
    card.enter(calculator, "noise", "2 mA");
    let evaluation = alone(card);
    let run = outcome(&evaluation, "efficiency", "fill_factor", DRAWS);
    let linear = run.first_order.uncertainty;
    assert!((run.uncertainty / linear - 1.0).abs() < 0.02);
    assert!(run.fit_linearised);
    assert!(run.fit_words().unwrap().starts_with("Fit linearised: "));
}

/// Ten readings: t with nine degrees of freedom; JCGM 100:2008, table G.2 has t = 2.26.
#[wasm_bindgen_test(unsupported = test)]
fn repeated_readings_are_drawn_from_a_t_distribution() {
    let mut readings = card(
        "dilution",
        &[
            ("find", "target"),
            ("stock", ""),
            ("aliquot", "1 mL"),
            ("final", "1 mL"),
        ],
    );
    let typed = glasswick_core::sheet::Typed {
        text: "1.01; 1.02; 0.99; 1.00; 1.01; 0.98; 1.00; 1.01; 0.99; 1.02".into(),
        unit: "mol/L".into(),
        meaning: Meaning::Repeats,
        ..Default::default()
    };
    readings.inputs.insert("stock".into(), Input::Typed(typed));
    let evaluation = alone(readings);
    let run = outcome(&evaluation, "dilution", "stock", DRAWS);
    assert_eq!(run.first_order.degrees_of_freedom, 9.0);
    let expanded = 2.262_157 * run.first_order.uncertainty;
    let half = 0.5 * run.symmetric.width();
    assert!(
        (half - expanded).abs() < 5.0 * run.errors.high,
        "{half} {expanded}"
    );
}
