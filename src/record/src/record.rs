//! The record: a run sheet with its results, such that anyone can recompute it.

use glasswick_core::problem::{Check, Problem, Source};
use glasswick_core::quantity::Unit;
use glasswick_core::report::{self, printed};
use glasswick_core::sheet::{Awaited, Card, CardResult, Evaluation, Input, Output, Reading, State};
use glasswick_core::working;
use serde_json::{Value, json};

use crate::document::{Document, Fields};
use crate::{FORMAT_VERSION, RECORD_FORMAT, digest, run_sheet_json};

/// Who exports a record, and when. This crate has no clock.
#[derive(Clone, Copy, Debug)]
pub struct Origin<'a> {
    /// Version of the page or command.
    pub app_version: &'a str,
    /// Export time after RFC 3339 with its offset.
    pub exported: &'a str,
}

/// The record of a document and its evaluation.
#[must_use]
pub fn record_json(document: &Document, evaluation: &Evaluation, origin: &Origin<'_>) -> Value {
    let cards = document
        .sheet
        .cards
        .iter()
        .zip(&evaluation.cards)
        .enumerate();
    let cards: Vec<Value> = cards
        .map(|(position, (card, result))| card_json(position, card, result, evaluation))
        .collect();
    let mut record = json!({
        "format": RECORD_FORMAT,
        "format_version": FORMAT_VERSION,
        "app": { "name": "Glasswick", "version": origin.app_version },
        "exported": origin.exported,
        "statement": report::STATEMENT,
        "sheet": run_sheet_json(document),
        "cards": cards,
    });
    let digest = digest(&record);
    if let Value::Object(fields) = &mut record {
        fields.insert("digest".into(), digest.into());
    }
    record
}

fn card_json(position: usize, card: &Card, result: &CardResult, evaluation: &Evaluation) -> Value {
    let mut fields = Fields::new();
    fields.insert("id".into(), result.id.as_str().into());
    fields.insert("title".into(), result.title.as_str().into());
    fields.insert(
        "calculator".into(),
        match result.calculator {
            Some(known) => {
                json!({ "id": known.id, "version": known.version, "title": known.title })
            }
            None => json!({ "id": card.calculator }),
        },
    );
    let inputs = result.readings.iter();
    let inputs = inputs.map(|reading| input_json(position, card, reading, evaluation));
    let results = result
        .outputs
        .iter()
        .map(|output| result_json(&result.id, output, evaluation));
    match &result.state {
        State::Ready => {
            fields.insert("state".into(), "ready".into());
        }
        State::Waiting(awaited) => {
            fields.insert("state".into(), "waiting".into());
            fields.insert(
                "waiting_for".into(),
                awaited.iter().map(awaited_json).collect(),
            );
        }
        State::Stopped(problems) => {
            fields.insert("state".into(), "stopped".into());
            fields.insert(
                "problems".into(),
                problems.iter().map(problem_json).collect(),
            );
        }
    }
    fields.insert("inputs".into(), inputs.collect());
    fields.insert("results".into(), results.collect());
    fields.insert(
        "checks".into(),
        result.checks.iter().map(check_json).collect(),
    );
    fields.insert(
        "working".into(),
        working::lines(result).into_iter().map(line_json).collect(),
    );
    if let Some(calculator) = result.calculator {
        fields.insert(
            "sources".into(),
            calculator.sources.iter().map(source_json).collect(),
        );
    }
    Value::Object(fields)
}

/// A number in the unit it is shown in, and in SI. A number that waits for its link is null.
fn number_json(fields: &mut Fields, unit: &'static Unit, si: f64, u_si: f64) {
    fields.insert("value".into(), unit.from_si(si).into());
    fields.insert(
        "standard_uncertainty".into(),
        unit.difference_from_si(u_si).into(),
    );
    fields.insert("unit".into(), unit.code.into());
    fields.insert("si_value".into(), si.into());
    fields.insert("si_standard_uncertainty".into(), u_si.into());
    fields.insert("si_unit".into(), unit.kind.coherent().code.into());
}

fn input_json(position: usize, card: &Card, reading: &Reading, evaluation: &Evaluation) -> Value {
    let mut fields = Fields::new();
    fields.insert("path".into(), reading.path.as_str().into());
    fields.insert("title".into(), reading.field.title.into());
    let uncertainty = match card.at(&reading.path) {
        Some(Input::Link(address)) => {
            fields.insert("from".into(), address.to_string().into());
            evaluation
                .budget(&address.card, &address.output)
                .map_or(0.0, |b| b.uncertainty)
        }
        _ => {
            let mut leaves = evaluation.leaves.iter();
            let leaf = leaves.find(|leaf| leaf.card == position && leaf.path == reading.path);
            leaf.map_or(0.0, |leaf| leaf.uncertainty)
        }
    };
    number_json(&mut fields, reading.unit, reading.value, uncertainty);
    Value::Object(fields)
}

fn result_json(card: &str, output: &Output, evaluation: &Evaluation) -> Value {
    let uncertainty = evaluation
        .budget(card, &output.path)
        .map_or(0.0, |b| b.uncertainty);
    let printed = printed(output.field, output.value, uncertainty, None);
    let mut fields = Fields::new();
    fields.insert("path".into(), output.path.as_str().into());
    fields.insert("title".into(), output.field.title.into());
    number_json(&mut fields, printed.unit, output.value, uncertainty);
    fields.insert("printed".into(), printed.text.into());
    Value::Object(fields)
}

fn line_json(line: working::Line) -> Value {
    let mut fields = Fields::new();
    fields.insert("symbols".into(), line.symbols.into());
    if let Some(numbers) = line.numbers {
        fields.insert("numbers".into(), numbers.into());
    }
    Value::Object(fields)
}

fn check_json(check: &Check) -> Value {
    json!({
        "level": check.level.word(),
        "code": check.code,
        "sentence": check.sentence,
        "source": source_json(&check.source),
    })
}

fn problem_json(problem: &Problem) -> Value {
    json!({
        "path": problem.path,
        "code": problem.code,
        "sentence": problem.sentence,
        "hint": problem.hint,
    })
}

fn awaited_json(awaited: &Awaited) -> Value {
    json!({ "path": awaited.path, "what": awaited.what })
}

/// A source and how it reached us.
pub(crate) fn source_json(source: &Source) -> Value {
    json!({ "citation": source.citation, "evidence": source.evidence.words() })
}
