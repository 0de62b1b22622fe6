//! The record: a run sheet with its results, such that anyone can recompute it.

use glasswick_core::chemistry::constants::AVOGADRO;
use glasswick_core::problem::{Check, Problem, Source};
use glasswick_core::quantity::Unit;
use glasswick_core::report::{self, Form, printed};
use glasswick_core::sheet::{Awaited, Card, Evaluation, Input, Output, Reading, State};
use glasswick_core::uncertainty::{BudgetRow, Estimate, Origin as Uncertain};
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
    let statement = Statement { evaluation };
    let cards = document.sheet.cards.iter().enumerate();
    let cards: Vec<Value> = cards
        .filter_map(|(n, card)| statement.card(n, card))
        .collect();
    let mut record = json!({
        "format": RECORD_FORMAT,
        "format_version": FORMAT_VERSION,
        "app": { "name": "Glasswick", "version": origin.app_version },
        "exported": origin.exported,
        "statement": report::STATEMENT,
        "constants": [{
            "name": "Avogadro constant",
            "value": AVOGADRO,
            "unit": "mol-1",
            "source": "SI Brochure, 9th edition, table 1",
            "year": 2019,
        }],
        "sheet": run_sheet_json(document),
        "cards": cards,
    });
    let digest = digest(&record);
    if let Value::Object(fields) = &mut record {
        fields.insert("digest".into(), digest.into());
    }
    record
}

/// What the cards' statements are taken from.
struct Statement<'a> {
    evaluation: &'a Evaluation,
}

impl Statement<'_> {
    fn card(&self, position: usize, card: &Card) -> Option<Value> {
        let result = self.evaluation.cards.get(position)?;
        let calculator = match result.calculator {
            Some(known) => {
                json!({ "id": known.id, "version": known.version, "title": known.title })
            }
            None => json!({ "id": card.calculator }),
        };
        let mut fields = Fields::new();
        let mut put = |key: &str, value: Value| {
            fields.insert(key.into(), value);
        };
        put("id", result.id.as_str().into());
        put("title", result.title.as_str().into());
        put("calculator", calculator);
        match &result.state {
            State::Ready => put("state", "ready".into()),
            State::Waiting(awaited) => {
                put("state", "waiting".into());
                put("waiting_for", awaited.iter().map(awaited_json).collect());
            }
            State::Stopped(problems) => {
                put("state", "stopped".into());
                put("problems", problems.iter().map(problem_json).collect());
            }
        }
        let inputs = result
            .readings
            .iter()
            .map(|reading| self.input(card, reading));
        put("inputs", inputs.collect());
        put(
            "results",
            result
                .outputs
                .iter()
                .map(|output| self.result(&result.id, output))
                .collect(),
        );
        put("checks", result.checks.iter().map(check_json).collect());
        put(
            "working",
            working::lines(result).into_iter().map(line_json).collect(),
        );
        if let Some(calculator) = result.calculator {
            put(
                "sources",
                calculator.sources.iter().map(source_json).collect(),
            );
        }
        Some(Value::Object(fields))
    }

    fn input(&self, card: &Card, reading: &Reading) -> Value {
        let mut fields = Fields::new();
        fields.insert("path".into(), reading.path.as_str().into());
        fields.insert("title".into(), reading.field.title.into());
        let uncertainty = match card.at(&reading.path) {
            Some(Input::Link(address)) => {
                fields.insert("from".into(), address.to_string().into());
                let linked = self.evaluation.estimate(&address.card, &address.output);
                linked.map_or(0.0, |linked| linked.uncertainty)
            }
            _ => self.evaluation.typed_uncertainty(reading),
        };
        number_json(&mut fields, reading.unit, reading.value, uncertainty);
        Value::Object(fields)
    }

    fn result(&self, card: &str, output: &Output) -> Value {
        let budget = self.evaluation.budget(card, &output.path);
        let estimate = budget.as_ref().map_or_else(
            || Estimate::exact(output.value),
            |budget| budget.estimate(output.value),
        );
        let printed = printed(output.field, &estimate, None, Form::Expanded);
        let mut fields = Fields::new();
        fields.insert("path".into(), output.path.as_str().into());
        fields.insert("title".into(), output.field.title.into());
        number_json(
            &mut fields,
            printed.unit,
            output.value,
            estimate.uncertainty,
        );
        if estimate.uncertainty > 0.0 {
            let factor = estimate.coverage_factor();
            fields.insert("coverage_factor".into(), factor.into());
            put_freedom(&mut fields, estimate.degrees_of_freedom);
        }
        fields.insert("printed".into(), printed.text.into());
        let rows = budget.map_or_else(Vec::new, |budget| budget.rows);
        let rows: Vec<Value> = rows.iter().map(|row| self.contribution(row)).collect();
        if !rows.is_empty() {
            fields.insert("budget".into(), rows.into());
        }
        Value::Object(fields)
    }

    /// A row of a budget, in SI.
    fn contribution(&self, row: &BudgetRow) -> Value {
        let mut fields = Fields::new();
        match row.origin {
            Uncertain::Leaf(number) => {
                let leaf = &self.evaluation.leaves[number];
                let card = &self.evaluation.cards[leaf.card].id;
                fields.insert("of".into(), format!("{card}.{}", leaf.path).into());
                if !leaf.part.is_empty() {
                    fields.insert("part".into(), leaf.part.as_str().into());
                }
            }
            Uncertain::Scatter(position) => {
                let card = &self.evaluation.cards[position];
                fields.insert("of".into(), card.id.as_str().into());
                let title = card.scatter_title().unwrap_or_default();
                fields.insert("part".into(), title.into());
            }
        }
        for (key, number) in [
            ("si_sensitivity", row.sensitivity),
            ("si_standard_uncertainty", row.uncertainty),
            ("si_contribution", Some(row.contribution)),
            ("share", Some(row.share)),
        ] {
            if let Some(number) = number {
                fields.insert(key.into(), number.into());
            }
        }
        fields.insert("type".into(), row.evaluation.letter().into());
        put_freedom(&mut fields, row.degrees_of_freedom);
        Value::Object(fields)
    }
}

/// Degrees of freedom, where they are finite.
fn put_freedom(fields: &mut Fields, degrees_of_freedom: f64) {
    if degrees_of_freedom.is_finite() {
        fields.insert("degrees_of_freedom".into(), degrees_of_freedom.into());
    }
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

fn line_json(line: working::Line) -> Value {
    let mut fields = Fields::new();
    fields.insert("symbols".into(), line.symbols().into());
    if let Some(numbers) = line.numbers() {
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
