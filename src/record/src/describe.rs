//! The declarations of the calculators as JSON.

use glasswick_core::calculators::{
    self, Calculator, Condition, Entry, Field, FieldKind, Range, StepText,
};
use glasswick_core::quantity::Kind;
use serde_json::{Value, json};

use crate::document::Fields;
use crate::record::source_json;

/// What a calculator declares; without a name, a list of all. None where no calculator has this name.
#[must_use]
pub fn describe(calculator: Option<&str>) -> Option<Value> {
    match calculator {
        Some(id) => calculators::find(id).map(calculator_json),
        None => Some(
            calculators::ALL
                .iter()
                .copied()
                .map(calculator_json)
                .collect(),
        ),
    }
}

fn calculator_json(calculator: &'static Calculator) -> Value {
    let working = calculator.working.iter().map(|step| {
        let (key, text) = match step.text {
            StepText::Formula(text) => ("formula", text),
            StepText::Method(text) => ("method", text),
        };
        let mut fields = Fields::from_iter([(key.into(), text.into())]);
        if !step.gives.is_empty() {
            fields.insert(
                "gives".into(),
                step.gives.iter().map(|field| field.id).collect(),
            );
        }
        if let Some(field) = step.without {
            fields.insert("applies_while_empty".into(), field.id.into());
        }
        with_conditions(fields, &step.conditions)
    });
    let hazards = calculator
        .hazards
        .iter()
        .map(|h| json!({ "what": h.what, "caution": h.caution }));
    json!({
        "id": calculator.id,
        "version": calculator.version,
        "title": calculator.title,
        "purpose": calculator.purpose,
        "inputs": calculator.inputs.iter().map(entry_json).collect::<Value>(),
        "outputs": calculator.outputs.iter().map(entry_json).collect::<Value>(),
        "working": working.collect::<Value>(),
        "sources": calculator.sources.iter().map(source_json).collect::<Value>(),
        "hazards": hazards.collect::<Value>(),
    })
}

fn entry_json(entry: &Entry) -> Value {
    with_conditions(field_json(entry.field), &entry.conditions)
}

fn with_conditions(mut fields: Fields, conditions: &[Option<Condition>]) -> Value {
    let conditions: Vec<Value> = conditions
        .iter()
        .flatten()
        .map(|condition| {
            json!({
                "choice": condition.choice.id,
                (if condition.chosen { "is" } else { "is_not" }): condition.options,
            })
        })
        .collect();
    if !conditions.is_empty() {
        fields.insert("applies_when".into(), conditions.into());
    }
    Value::Object(fields)
}

fn field_json(field: &Field) -> Fields {
    let mut fields = Fields::new();
    let mut put = |key: &str, value: Value| {
        fields.insert(key.into(), value);
    };
    put("id", field.id.into());
    put("title", field.title.into());
    for (key, text) in [
        ("symbol", field.symbol),
        ("help", field.help),
        ("initial", field.initial),
    ] {
        if !text.is_empty() {
            put(key, text.into());
        }
    }
    put("optional", field.optional.into());
    put("measured", field.measured.into());
    match &field.kind {
        FieldKind::Quantity { kind, range, .. } => {
            put("sort", "quantity".into());
            put("kind", kind.id().into());
            put("units", units_json(field));
            put("range", range_json(*range, *kind));
        }
        FieldKind::Count { range } => {
            put("sort", "count".into());
            put("range", range_json(*range, Kind::Count));
        }
        FieldKind::Choice { options } => {
            put("sort", "choice".into());
            let options = options
                .iter()
                .map(|o| json!({ "id": o.id, "title": o.title }));
            put("options", options.collect());
        }
        FieldKind::Text => put("sort", "text".into()),
        FieldKind::Table { columns } => {
            put("sort", "table".into());
            put(
                "columns",
                columns
                    .iter()
                    .map(|c| Value::Object(field_json(c)))
                    .collect(),
            );
        }
        FieldKind::Curve { x, y } => {
            put("sort", "curve".into());
            put("x", Value::Object(field_json(x)));
            put("y", Value::Object(field_json(y)));
            if let Some(direction) = field.direction {
                put("direction", direction.word().into());
            }
            if let Some(illumination) = field.illumination {
                put("illumination", illumination.word().into());
            }
        }
    }
    fields
}

fn units_json(field: &Field) -> Value {
    let units = field.offered_units().into_iter();
    units
        .map(|unit| json!({ "code": unit.code, "symbol": unit.symbol }))
        .collect()
}

/// Valid values in SI; an open end is left out.
fn range_json(range: Range, kind: Kind) -> Value {
    let mut fields = Fields::new();
    if range.from.is_finite() {
        let key = if range.above { "above" } else { "from" };
        fields.insert(key.into(), range.from.into());
    }
    if range.to.is_finite() {
        let key = if range.below { "below" } else { "to" };
        fields.insert(key.into(), range.to.into());
    }
    fields.insert("unit".into(), kind.coherent().code.into());
    Value::Object(fields)
}
