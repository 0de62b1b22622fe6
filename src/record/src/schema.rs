//! JSON Schemas (draft 2020-12) of run sheet and record, read from the declarations. They describe what this version
//! writes: precise about what it knows, open to fields it does not know, as the gate is.

use glasswick_core::calculators::{self, Calculator, Entry, Field, FieldKind};
use glasswick_core::points::{DecimalMark, Delimiter, Illumination, Sign, UnitFrom};
use glasswick_core::problem::{Evidence, Level};
use glasswick_core::quantity::Kind;
use serde_json::{Value, json};

use crate::display::Display;
use crate::document::Fields;
use crate::ids::LONGEST_ID;
use crate::read::{MOST_CARDS, MOST_ROWS, major};
use crate::{FORMAT, FORMAT_VERSION, RECORD_FORMAT};

/// The schema of a run-sheet file.
#[must_use]
pub fn run_sheet_schema() -> Value {
    schema(
        "Glasswick run sheet",
        "What a person entered: linked calculators with numbers as typed.",
        "run_sheet",
        sheet_definitions(),
    )
}

/// The schema of a record.
#[must_use]
pub fn record_schema() -> Value {
    let mut definitions = sheet_definitions();
    definitions.extend(record_definitions());
    schema(
        "Glasswick record",
        "A run sheet with its results, such that anyone can recompute it.",
        "record",
        definitions,
    )
}

fn schema(title: &str, description: &str, root: &str, definitions: Fields) -> Value {
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        "description": description,
        "$ref": format!("#/$defs/{root}"),
        "$defs": definitions,
    })
}

fn reference(definition: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{definition}") })
}

/// An object with these properties, of which some must be there.
fn object(required: &[&str], properties: Value) -> Value {
    json!({ "type": "object", "required": required, "properties": properties })
}

/// An object whose texts may all be missing.
fn texts(names: &[&str]) -> Fields {
    names
        .iter()
        .map(|name| ((*name).into(), json!({ "type": "string" })))
        .collect()
}

fn identifier() -> Value {
    json!({ "type": "string", "pattern": format!("^[A-Za-z0-9_-]{{1,{LONGEST_ID}}}$") })
}

fn version() -> Value {
    let major = major(FORMAT_VERSION).unwrap_or_default();
    json!({ "type": "string", "pattern": format!("^{major}\\.[0-9]+$") })
}

fn sheet_definitions() -> Fields {
    let mut about = texts(&[
        "title",
        "operator",
        "date",
        "run",
        "substrate",
        "cells",
        "note",
    ]);
    let some =
        |item: &str| json!({ "type": "array", "maxItems": MOST_ROWS, "items": reference(item) });
    about.insert("lots".into(), some("lot"));
    about.insert("instruments".into(), some("instrument"));
    about.insert("room".into(), reference("room"));

    let mut definitions = Fields::new();
    let mut define = |name: String, definition: Value| {
        definitions.insert(name, definition);
    };
    define(
        "run_sheet".into(),
        object(
            &["format", "format_version", "cards"],
            json!({
                "format": { "const": FORMAT },
                "format_version": version(),
                "about": reference("about"),
                "cards": { "type": "array", "maxItems": MOST_CARDS, "items": reference("card") },
                "display": reference("display"),
                "monte_carlo": {
                    "description": "outcomes of Monte Carlo runs by card.output; seed and draws give them again",
                    "type": "object",
                    "additionalProperties": reference("trial"),
                },
            }),
        ),
    );
    let display = json!({
        "description": "how the reader shows results; no part of a digest",
        "type": "object",
        "properties": {
            "form": { "enum": Display::forms() },
            "units": { "type": "object", "additionalProperties": { "type": "string" } },
        },
    });
    define("display".into(), display);
    let trial = object(
        &[
            "fingerprint",
            "seed",
            "wanted",
            "draws",
            "mean",
            "standard_uncertainty",
            "symmetric",
            "shortest",
        ],
        json!({
            "fingerprint": { "type": "string", "pattern": "^[0-9a-f]{16}$" },
            "seed": { "type": "integer", "minimum": 0 },
            "wanted": { "type": "object" },
            "draws": { "type": "integer", "minimum": 0 },
            "mean": { "type": "number" },
            "standard_uncertainty": { "type": "number" },
            "symmetric": { "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 },
            "shortest": { "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2 },
        }),
    );
    define("trial".into(), trial);
    for (name, properties) in [
        ("about", about),
        ("lot", texts(&["name", "lot", "expiry"])),
        ("instrument", texts(&["name", "identifier", "calibration"])),
        ("room", texts(&["temperature", "humidity", "note"])),
    ] {
        define(
            name.into(),
            json!({ "type": "object", "properties": properties }),
        );
    }
    define("card".into(), card());
    define(
        "address".into(),
        json!({
            "description": "card.output, or card.table.row.column",
            "type": "string",
            "pattern": "^[^.]+\\.[^.]+(\\.[^.]+\\.[^.]+)?$",
        }),
    );
    define("uncertainty".into(), uncertainty());
    define("corrections".into(), corrections());
    for kind in Kind::ALL {
        let codes: Vec<&str> = kind.units().map(|unit| unit.code).collect();
        define(
            unit_of(*kind),
            json!({ "description": "unit code (UCUM)", "enum": codes }),
        );
        define(number_of(*kind), number(*kind));
    }
    for calculator in calculators::ALL {
        define(inputs_of(calculator), inputs(calculator));
    }
    definitions
}

fn unit_of(kind: Kind) -> String {
    format!("unit.{}", kind.id())
}

fn number_of(kind: Kind) -> String {
    format!("number.{}", kind.id())
}

fn inputs_of(calculator: &Calculator) -> String {
    format!("inputs.{}", calculator.id)
}

/// A card; what its inputs are depends on its calculator.
fn card() -> Value {
    let cases: Vec<Value> = calculators::ALL
        .iter()
        .map(|calculator| {
            json!({
                "if": object(&["calculator"], json!({ "calculator": { "const": calculator.id } })),
                "then": { "properties": { "inputs": reference(&inputs_of(calculator)) } },
            })
        })
        .collect();
    let mut properties = texts(&["calculator", "title", "note"]);
    properties.insert("id".into(), identifier());
    properties.insert("inputs".into(), json!({ "type": "object" }));
    let mut card = object(&["id", "inputs"], Value::Object(properties));
    card["allOf"] = cases.into();
    card
}

fn inputs(calculator: &Calculator) -> Value {
    let fields = calculator.inputs.iter().map(|entry| entry.field);
    json!({
        "title": calculator.title,
        "description": calculator.purpose,
        "type": "object",
        "properties": fields.map(|field| (field.id.to_owned(), entry(field))).collect::<Fields>(),
    })
}

/// The entry of a field.
fn entry(field: &Field) -> Value {
    let unit = |field: &Field| match field.number_kind() {
        Some(kind) => reference(&unit_of(kind)),
        None => json!({ "type": "string" }),
    };
    let mut entry = match &field.kind {
        FieldKind::Quantity { kind, .. } => reference(&number_of(*kind)),
        FieldKind::Count { .. } => reference(&number_of(Kind::Count)),
        FieldKind::Choice { options } => {
            let options: Vec<&str> = options.iter().map(|option| option.id).collect();
            object(&["choice"], json!({ "choice": { "enum": options } }))
        }
        FieldKind::Text => object(&["text"], json!({ "text": { "type": "string" } })),
        FieldKind::Table { columns } => {
            let columns: Fields = columns
                .iter()
                .map(|column| (column.id.to_owned(), self::entry(column)))
                .collect();
            let cells = json!({ "type": "object", "properties": columns });
            let row = object(
                &["id", "cells"],
                json!({ "id": identifier(), "cells": cells }),
            );
            let rows = json!({ "type": "array", "maxItems": MOST_ROWS, "items": row });
            object(&["rows"], json!({ "rows": rows }))
        }
        FieldKind::Curve { x, y } => {
            let points = object(
                &["text"],
                json!({
                    "text": { "type": "string" },
                    "x_unit": unit(x),
                    "y_unit": unit(y),
                    "corrections": reference("corrections"),
                }),
            );
            object(&["points"], json!({ "points": points }))
        }
    };
    entry["title"] = field.title.into();
    entry
}

/// A number as typed, or a link.
fn number(kind: Kind) -> Value {
    json!({
        "type": "object",
        "if": { "required": ["from"] },
        "then": { "properties": { "from": reference("address") } },
        "else": object(&["text"], json!({
            "text": { "type": "string" },
            "unit": reference(&unit_of(kind)),
            "uncertainty": reference("uncertainty"),
            "source": { "type": "string" },
        })),
    })
}

/// How a text of points is to be read.
fn corrections() -> Value {
    fn words<T: Copy>(all: &[T], word: fn(T) -> &'static str) -> Value {
        let words: Vec<&str> = all.iter().map(|one| word(*one)).collect();
        json!({ "enum": words })
    }
    let counted = json!({ "type": "integer", "minimum": 1 });
    let unit = words(UnitFrom::ALL, UnitFrom::word);
    let sign = words(Sign::ALL, Sign::word);
    json!({
        "description": "how the text is to be read, where the person said so; columns, sweeps and lines count from 1",
        "type": "object",
        "properties": {
            "delimiter": words(Delimiter::ALL, Delimiter::word),
            "decimal": words(DecimalMark::ALL, DecimalMark::word),
            "x_column": counted,
            "y_column": counted,
            "x_unit": unit,
            "y_unit": unit,
            "x_sign": sign,
            "y_sign": sign,
            "sweep": counted,
            "illumination": words(Illumination::ALL, Illumination::word),
            "first_line": counted,
            "last_line": counted,
        },
    })
}

fn uncertainty() -> Value {
    let mut ware = texts(&[
        "item",
        "piece",
        "repeatability",
        "temperature",
        "liquid",
        "glass",
    ]);
    ware.insert(
        "shape".into(),
        json!({ "enum": ["rectangular", "triangular"] }),
    );
    let ware = object(&[], Value::Object(ware));
    let mut weighing = texts(&[
        "readability",
        "linearity",
        "repeatability",
        "density",
        "air",
    ]);
    weighing.insert("tare".into(), json!({ "type": "boolean" }));
    let weighing = object(&[], Value::Object(weighing));
    let mut uncertainty = object(
        &[],
        json!({
            "text": { "type": "string" },
            "meaning": { "enum": MEANINGS },
            "degrees_of_freedom": { "type": "string" },
            "ware": ware,
            "weighing": weighing,
        }),
    );
    // The numbers that two of the meanings need.
    let needs = |meaning: &str, key: &str| {
        json!({
            "if": object(&["meaning"], json!({ "meaning": { "const": meaning } })),
            "then": object(&[key], json!({ key: { "type": "number" } })),
        })
    };
    let stated = |meaning: &str| {
        json!({
            "if": object(&["meaning"], json!({ "meaning": { "const": meaning } })),
            "then": { "required": [meaning] },
        })
    };
    uncertainty["allOf"] = json!([
        needs("expanded", "k"),
        needs("trapezoidal", "top"),
        stated("ware"),
        stated("weighing"),
    ]);
    uncertainty
}

/// What a `±` may mean, in the words of the file.
const MEANINGS: [&str; 9] = [
    "standard",
    "rectangular",
    "triangular",
    "arcsine",
    "trapezoidal",
    "expanded",
    "repeats",
    "ware",
    "weighing",
];

fn record_definitions() -> Fields {
    let text = || json!({ "type": "string" });
    let list = |item: &str| json!({ "type": "array", "items": reference(item) });
    let number = json!({ "type": ["number", "null"] });
    let all_texts = |names: &[&str]| object(names, Value::Object(texts(names)));
    let codes = |coherent: bool| {
        let units = Kind::ALL.iter().flat_map(|kind| {
            kind.units()
                .filter(move |unit| !coherent || unit.code == kind.coherent().code)
        });
        let codes: std::collections::BTreeSet<&str> = units.map(|unit| unit.code).collect();
        json!({ "enum": codes })
    };
    let evidence = [
        Evidence::Read,
        Evidence::Derived,
        Evidence::Computed,
        Evidence::Practice,
        Evidence::Memory,
    ];
    let levels = [Level::InRange, Level::Note, Level::Warning];
    let stated = json!({
        "path": text(),
        "title": text(),
        "value": number,
        "standard_uncertainty": number,
        "unit": codes(false),
        "si_value": number,
        "si_standard_uncertainty": number,
        "si_unit": codes(true),
        "from": reference("address"),
        "coverage_factor": { "type": "number" },
        "degrees_of_freedom": { "type": "number" },
        "printed": text(),
        "budget": list("contribution"),
    });
    let stated_always = [
        "path",
        "title",
        "value",
        "standard_uncertainty",
        "unit",
        "si_value",
        "si_standard_uncertainty",
        "si_unit",
    ];
    let definitions = [
        (
            "record",
            object(
                &[
                    "format",
                    "format_version",
                    "app",
                    "exported",
                    "statement",
                    "constants",
                    "sheet",
                    "cards",
                    "digest",
                ],
                json!({
                    "format": { "const": RECORD_FORMAT },
                    "format_version": version(),
                    "app": all_texts(&["name", "version"]),
                    "exported": { "type": "string", "format": "date-time" },
                    "statement": text(),
                    "constants": list("constant"),
                    "sheet": reference("run_sheet"),
                    "cards": { "type": "array", "maxItems": MOST_CARDS, "items": reference("card_result") },
                    "digest": {
                        "description": "SHA-256 of the canonical JSON (RFC 8785) without exported, digest and display",
                        "type": "string",
                        "pattern": "^[0-9a-f]{64}$",
                    },
                }),
            ),
        ),
        (
            "constant",
            object(
                &["name", "value", "unit", "source", "year"],
                json!({
                    "name": text(),
                    "value": { "type": "number" },
                    "unit": text(),
                    "source": text(),
                    "year": { "type": "integer" },
                }),
            ),
        ),
        ("card_result", card_result()),
        ("number", object(&stated_always, stated)),
        (
            "contribution",
            object(
                &["of", "si_contribution", "share", "type"],
                json!({
                    "of": { "description": "card.input, or the card whose points scatter", "type": "string" },
                    "part": text(),
                    "si_sensitivity": number,
                    "si_standard_uncertainty": number,
                    "si_contribution": number,
                    "share": number,
                    "type": { "enum": ["A", "B"] },
                    "degrees_of_freedom": { "type": "number" },
                }),
            ),
        ),
        ("awaited", all_texts(&["path", "what"])),
        ("problem", all_texts(&["path", "code", "sentence", "hint"])),
        (
            "check",
            object(
                &["level", "code", "sentence", "source"],
                json!({
                    "level": { "enum": levels.map(Level::word) },
                    "code": text(),
                    "sentence": text(),
                    "source": reference("source"),
                }),
            ),
        ),
        (
            "line",
            object(
                &["symbols"],
                json!({ "symbols": text(), "numbers": text() }),
            ),
        ),
        (
            "source",
            object(
                &["citation", "evidence"],
                json!({ "citation": text(), "evidence": { "enum": evidence.map(Evidence::words) } }),
            ),
        ),
    ];
    definitions
        .into_iter()
        .map(|(name, definition)| (name.to_owned(), definition))
        .collect()
}

fn card_result() -> Value {
    let list = |item: &str| json!({ "type": "array", "items": reference(item) });
    let mut result = object(
        &[
            "id",
            "title",
            "calculator",
            "state",
            "inputs",
            "results",
            "checks",
            "working",
        ],
        json!({
            "id": identifier(),
            "title": { "type": "string" },
            "calculator": object(&["id"], json!({
                "id": { "type": "string" },
                "version": { "type": "integer", "minimum": 1 },
                "title": { "type": "string" },
            })),
            "state": { "enum": ["ready", "waiting", "stopped"] },
            "waiting_for": list("awaited"),
            "problems": list("problem"),
            "inputs": list("number"),
            "results": list("number"),
            "checks": list("check"),
            "working": list("line"),
            "sources": list("source"),
        }),
    );
    let state = |word: &str, list: &str| {
        json!({
            "if": { "properties": { "state": { "const": word } } },
            "then": { "required": [list] },
        })
    };
    let mut cases = vec![
        state("waiting", "waiting_for"),
        state("stopped", "problems"),
    ];
    for calculator in calculators::ALL {
        let one = object(&["id"], json!({ "id": { "const": calculator.id } }));
        cases.push(json!({
            "if": { "properties": { "calculator": one } },
            "then": {
                "required": ["sources"],
                "properties": {
                    "inputs": { "items": { "properties": { "path": paths(calculator.inputs) } } },
                    "results": { "items": { "properties": { "path": paths(calculator.outputs) } } },
                },
            },
        }));
    }
    result["allOf"] = cases.into();
    result
}

/// The paths of the numbers among these fields: `field`, or `table.row.column`.
fn paths(entries: &[Entry]) -> Value {
    let mut alternatives = Vec::new();
    for entry in entries {
        let field = entry.field;
        if field.number_kind().is_some() {
            alternatives.push(field.id.to_owned());
        } else if let FieldKind::Table { columns } = field.kind {
            let numbers = columns
                .iter()
                .filter(|column| column.number_kind().is_some());
            let columns: Vec<&str> = numbers.map(|column| column.id).collect();
            alternatives.push(format!("{}\\.[^.]+\\.({})", field.id, columns.join("|")));
        }
    }
    json!({ "pattern": format!("^({})$", alternatives.join("|")) })
}
