//! The reporting checklist: what is linked answers, what is missing is asked, and what cannot be true together is said.

use glasswick_core::calculators;
use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, State, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, checks, number};

fn list(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("reporting_checklist", entries))
}

/// The worked case that is nearly complete, completed.
fn complete(more: &[(&str, &str)]) -> Vec<(&'static str, String)> {
    let (_, case) = calculators::cases()
        .find(|(calculator, _)| calculator.id == "reporting_checklist")
        .unwrap();
    let mut entries: Vec<(&str, String)> = case
        .inputs
        .iter()
        .map(|(path, text)| (*path, (*text).to_owned()))
        .collect();
    entries.push(("stability", "not_followed".into()));
    for (path, text) in more {
        let known = entries.iter_mut().find(|(known, _)| known == path);
        known.unwrap().1 = (*text).to_owned();
    }
    entries
}

fn completed(more: &[(&str, &str)]) -> Evaluation {
    let entries = complete(more);
    let entries: Vec<(&str, &str)> = entries.iter().map(|(p, t)| (*p, t.as_str())).collect();
    list(&entries)
}

#[wasm_bindgen_test(unsupported = test)]
fn a_complete_list_asks_nothing() {
    let found = completed(&[]);
    assert_eq!(number(&found.cards[0], "missing"), 0.0);
    assert_eq!(checks(&found), [("complete", Level::InRange)]);
}

/// Every entry taken away is asked for, with a sentence that says what to enter; the best cell is not.
#[wasm_bindgen_test(unsupported = test)]
fn each_missing_item_is_asked_for() {
    let entries = complete(&[]);
    for (left_out, _) in &entries {
        let rest: Vec<(&str, &str)> = entries
            .iter()
            .filter(|(path, _)| path != left_out)
            .map(|(path, text)| (*path, text.as_str()))
            .collect();
        let found = list(&rest);
        let missing = number(&found.cards[0], "missing");
        if *left_out == "best_efficiency" {
            assert_eq!(missing, 0.0);
            continue;
        }
        assert_eq!(missing, 1.0, "{left_out}");
        let (level, sentence) = check(&found, left_out).expect(left_out);
        assert_eq!(level, Level::Note);
        assert!(sentence.contains("” is missing. "), "{sentence}");
        assert!(
            ["Enter ", "Choose "]
                .iter()
                .any(|verb| sentence.contains(verb)),
            "{sentence}"
        );
        assert_eq!(
            check(&found, "incomplete").unwrap(),
            (
                Level::Warning,
                "17 of 18 items are answered; what is missing stands below.".into()
            )
        );
    }
    let blank = completed(&[("preconditioning", "   ")]);
    assert_eq!(number(&blank.cards[0], "missing"), 1.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_does_not_go_together_is_said() {
    for (change, code, level) in [
        (
            &[("area", "0.28 cm2")][..],
            "areas_disagree",
            Level::Warning,
        ),
        (&[("mask", "none")], "areas_disagree", Level::Warning),
        (&[("mask", "larger")], "areas_disagree", Level::Warning),
        (
            &[("cell_count", "3")],
            "fewer_cells_than_substrates",
            Level::Warning,
        ),
        (&[("substrate_count", "1")], "one_substrate", Level::Note),
        (
            &[("best_efficiency", "7.1 %")],
            "best_below_mean",
            Level::Warning,
        ),
        (&[("mean_efficiency", "")], "best_alone", Level::Warning),
        (&[("sweep", "forward")], "one_direction", Level::Note),
        (&[("sweep", "reverse")], "one_direction", Level::Note),
    ] {
        let found = completed(change);
        assert_eq!(
            check(&found, code).map(|(level, _)| level),
            Some(level),
            "{code}"
        );
    }
    let found = completed(&[("mask", "larger"), ("area", "0.30 cm2")]);
    assert_eq!(check(&found, "areas_disagree"), None);
}

/// What the run sheet holds answers by links: counts and means of the comparison, areas and light of a curve.
#[wasm_bindgen_test(unsupported = test)]
fn links_answer() {
    let (calculator, case) = calculators::cases()
        .find(|(calculator, _)| calculator.id == "process_comparison")
        .unwrap();
    let comparison = card(calculator.id, case.inputs);
    let curve: String = (0..=16)
        .map(|step| f64::from(step) * 0.05)
        .map(|v| format!("{v} {}\n", 10.0 - 1e-4 * v * v))
        .collect();
    let curve = card("efficiency", &[("points", &curve), ("area", "0.16 cm2")]);
    let mut list = card("reporting_checklist", &[]);
    for (entry, from, output) in [
        ("area", "efficiency", "area"),
        ("irradiance", "efficiency", "irradiance"),
        ("cell_count", "process_comparison", "cells_measured"),
        (
            "substrate_count",
            "process_comparison",
            "substrates_measured",
        ),
        (
            "mean_efficiency",
            "process_comparison",
            "efficiency_by_process.a1.mean",
        ),
        (
            "spread",
            "process_comparison",
            "efficiency_by_process.a1.deviation",
        ),
        (
            "best_efficiency",
            "process_comparison",
            "efficiency_by_process.a1.best",
        ),
    ] {
        let address = Address {
            card: from.into(),
            output: output.into(),
        };
        list.inputs.insert(entry.into(), Input::Link(address));
    }
    let found = evaluate(&Sheet {
        cards: vec![list, comparison, curve],
    });
    assert_eq!(found.cards[0].state, State::Ready);
    assert_eq!(number(&found.cards[0], "answered"), 6.0);
    // Of all processes, not of one.
    let linked = |entry| found.cards[0].number(entry).unwrap().1;
    let of_process = |column: &str| {
        let rows = found.cards[1].outputs.iter();
        let column = rows.filter(|output| {
            output.path.starts_with("efficiency_by_process.") && output.path.ends_with(column)
        });
        column.map(|output| output.value).sum::<f64>()
    };
    assert_eq!(linked("substrate_count"), of_process(".substrate_count"));
    assert_eq!(
        linked("cell_count"),
        of_process(".cell_count") + of_process(".excluded")
    );
    assert!(linked("cell_count") > number(&found.cards[1], "efficiency_by_process.a1.cell_count"));
}
