//! The JSON Schemas: as committed they are what the declarations say, what is exported fits them, what is damaged not.

use glasswick_core::calculators::{self, Field, FieldKind};
use glasswick_core::sheet::{Card, Input, Sheet, evaluate};
use glasswick_record::{
    Document, Origin, record_json, record_schema, restore, run_sheet_json, run_sheet_schema,
};
use jsonschema::Validator;
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::DEMO;
use crate::random::document;

fn validator(schema: &Value) -> Validator {
    jsonschema::draft202012::new(schema).expect("the schema is one")
}

#[track_caller]
fn fits(validator: &Validator, value: &Value, name: &str) {
    if let Err(error) = validator.validate(value) {
        panic!("{name}: {}: {error}", error.instance_path());
    }
}

fn record(document: &Document) -> Value {
    let origin = Origin {
        app_version: "0.1.0",
        exported: "2026-05-12T09:30:00+02:00",
    };
    record_json(document, &evaluate(&document.sheet), &origin)
}

#[test]
fn the_committed_schemas_are_what_the_declarations_say() {
    for (committed, generated) in [
        (
            include_str!("../../schema/run-sheet-1.schema.json"),
            run_sheet_schema(),
        ),
        (
            include_str!("../../schema/record-1.schema.json"),
            record_schema(),
        ),
    ] {
        let committed: Value = serde_json::from_str(committed).expect("it is JSON");
        assert!(
            committed == generated,
            "the committed schema is old: run `cargo xtask schema`"
        );
        let valid = jsonschema::draft202012::meta::validate(&generated);
        assert!(valid.is_ok(), "{valid:?}");
    }
}

#[test]
fn the_demo_and_every_worked_case_fit() {
    let sheets = validator(&run_sheet_schema());
    let records = validator(&record_schema());
    let mut documents = vec![restore(DEMO).expect("the demo is let in").document];
    for (calculator, case) in calculators::cases() {
        let cards = vec![
            Card::example(calculator, case),
            Card::new(calculator, "empty"),
            Card::default(),
        ];
        documents.push(Document {
            sheet: Sheet { cards },
            ..Document::default()
        });
    }
    for document in &mut documents {
        if let Some(last) = document.sheet.cards.last_mut()
            && last.id.is_empty()
        {
            last.id = "unknown".into();
            last.calculator = "teleport".into();
        }
        let name = document.sheet.cards[0].title.clone();
        fits(&sheets, &run_sheet_json(document), &name);
        fits(&records, &record(document), &name);
    }
    assert!(documents.len() > 20, "{}", documents.len());
}

#[test]
fn unknown_fields_fit_and_damaged_files_do_not() {
    let sheets = validator(&run_sheet_schema());
    let records = validator(&record_schema());
    let demo = restore(DEMO).expect("the demo is let in").document;
    let (sheet, record) = (run_sheet_json(&demo), record(&demo));
    let changed = |value: &Value, place: &str, key: &str, new: Value| {
        let mut value = value.clone();
        match value.pointer_mut(place) {
            Some(Value::Array(items)) => items[key.parse::<usize>().expect("a position")] = new,
            Some(object) => object[key] = new,
            None => panic!("{place} is not there"),
        }
        value
    };
    for place in [
        "",
        "/about",
        "/cards/0",
        "/cards/0/inputs",
        "/cards/0/inputs/measured_density",
    ] {
        fits(&sheets, &changed(&sheet, place, "future", json!(1)), place);
    }
    for place in ["", "/sheet", "/cards/0", "/cards/0/results/0", "/app"] {
        fits(
            &records,
            &changed(&record, place, "future", json!(1)),
            place,
        );
    }
    for (place, key, wrong) in [
        ("", "format", json!("glasswick-record")),
        ("", "format_version", json!("2.0")),
        ("", "format_version", json!(1)),
        ("", "cards", json!({})),
        ("", "about", json!([])),
        ("/about", "title", json!(5)),
        ("/about", "lots", json!({})),
        ("/about/lots/0", "expiry", json!(2027)),
        ("/about/room", "humidity", json!(38)),
        ("/cards", "0", json!("ink")),
        ("/cards/0", "id", json!("a b")),
        ("/cards/0", "note", json!(null)),
        ("/cards/0", "inputs", json!([])),
        ("/cards/0/inputs", "measured_density", json!("99.5")),
        ("/cards/0/inputs/measured_density", "text", json!(99.5)),
        ("/cards/0/inputs/measured_density", "unit", json!("mL")),
        ("/cards/0/inputs/measured_density", "from", json!("nowhere")),
        (
            "/cards/0/inputs/measured_density/uncertainty",
            "meaning",
            json!("log-normal"),
        ),
        (
            "/cards/0/inputs/measured_density/uncertainty",
            "meaning",
            json!("expanded"),
        ),
        ("/cards/0/inputs/scale", "choice", json!("luck")),
        ("/cards/0/inputs", "scale", json!({ "text": "mass" })),
    ] {
        let sheet = changed(&sheet, place, key, wrong.clone());
        assert!(!sheets.is_valid(&sheet), "{place}/{key}: {wrong}");
        let record = changed(&record, "", "sheet", sheet);
        assert!(!records.is_valid(&record), "sheet{place}/{key}: {wrong}");
    }
    for (place, key, wrong) in [
        ("", "format", json!("glasswick-run-sheet")),
        ("", "digest", json!("ABC")),
        ("", "exported", json!(null)),
        ("/app", "version", json!(1)),
        ("/constants/0", "value", json!("6.022e23")),
        ("/cards/0", "state", json!("done")),
        ("/cards/0", "state", json!("waiting")),
        ("/cards/0", "state", json!("stopped")),
        ("/cards/0", "results", json!({})),
        ("/cards/0/calculator", "version", json!(0)),
        ("/cards/0/results/0", "path", json!("purity")),
        ("/cards/0/results/0", "value", json!("5.2")),
        ("/cards/0/results/0", "unit", json!("stone")),
        ("/cards/0/results/0", "si_unit", json!("mg")),
        ("/cards/0/inputs/0", "path", json!("nothing")),
        ("/cards/0/checks/0", "level", json!("fine")),
        ("/cards/0/sources/0", "evidence", json!("hearsay")),
    ] {
        let record = changed(&record, place, key, wrong.clone());
        assert!(!records.is_valid(&record), "{place}/{key}: {wrong}");
    }
    assert!(!records.is_valid(&sheet) && !sheets.is_valid(&record));
}

/// Choices and units as a page offers them: a run sheet may hold others, and says so when it is evaluated.
fn offered(field: &Field, input: &mut Input) {
    let unit = |field: &Field, code: &mut String| {
        let units = field.offered_units();
        *code = units[code.len() % units.len()].code.into();
    };
    match (&field.kind, input) {
        (FieldKind::Choice { options }, Input::Text(option)) => {
            *option = options[option.len() % options.len()].id.into();
        }
        (FieldKind::Table { columns }, Input::Rows(rows)) => {
            for row in rows {
                for (id, cell) in &mut row.cells {
                    let column = columns.iter().find(|column| column.id == id);
                    offered(column.expect("the column is declared"), cell);
                }
            }
        }
        (FieldKind::Curve { x, y }, Input::Points(points)) => {
            unit(x, &mut points.x_unit);
            unit(y, &mut points.y_unit);
        }
        (_, Input::Typed(typed)) => unit(field, &mut typed.unit),
        _ => {}
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_run_sheets_fit(mut document in document(5)) {
        for card in &mut document.sheet.cards {
            let Some(calculator) = card.declaration() else {
                continue;
            };
            for (id, input) in &mut card.inputs {
                offered(calculator.input(id).expect("the field is declared"), input);
            }
        }
        thread_local! {
            static VALIDATORS: (Validator, Validator) =
                (validator(&run_sheet_schema()), validator(&record_schema()));
        }
        VALIDATORS.with(|(sheets, records)| {
            fits(sheets, &run_sheet_json(&document), "run sheet");
            fits(records, &record(&document), "record");
        });
    }
}
