//! What is written comes back as it was: documents as a page makes them, and any JSON whatever.

use glasswick_core::calculators;
use glasswick_core::points::{Corrections, DecimalMark, Delimiter, Illumination, Sign, UnitFrom};
use glasswick_core::sheet::{Card, Input, evaluate};
use glasswick_record::{
    Document, FORMAT, FORMAT_VERSION, Origin, readable, record_json, restore, restore_unpacked,
    run_sheet_json, run_sheet_text, text, to_pack, verify,
};
use proptest::collection::vec;
use proptest::prelude::*;
use serde_json::{Map, Value, json};

use crate::random::{any_text, document};

/// Any JSON, with the names of our files among its keys so that it gets past the door.
fn any_json() -> impl Strategy<Value = Value> {
    const KEYS: &[&str] = &[
        "id",
        "title",
        "note",
        "calculator",
        "inputs",
        "text",
        "unit",
        "uncertainty",
        "meaning",
        "k",
        "from",
        "choice",
        "rows",
        "cells",
        "points",
        "x_unit",
        "stock",
        "target",
        "by",
        "find",
        "about",
        "cards",
        "lots",
        "room",
        "format",
        "format_version",
        "sheet",
        "other",
    ];
    const TEXTS: &[&str] = &[
        "",
        "a",
        "a b",
        "dilution",
        "expanded",
        "standard",
        "1.5",
        "a.target",
        "a b.t.r s.c",
        "volume",
    ];
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        proptest::sample::select(TEXTS).prop_map(Value::from),
        any_text().prop_map(Value::from),
    ];
    leaf.prop_recursive(6, 60, 6, |inner| {
        let keys = proptest::sample::select(KEYS).prop_map(str::to_owned);
        prop_oneof![
            vec(inner.clone(), 0..4).prop_map(Value::from),
            vec((keys, inner), 0..8).prop_map(|fields| Value::Object(fields.into_iter().collect())),
        ]
    })
}

fn any_cards() -> impl Strategy<Value = Value> {
    let known: Vec<&str> = calculators::ALL
        .iter()
        .map(|c| c.id)
        .chain(["unknown"])
        .collect();
    let ids = proptest::sample::select(vec![
        json!("a"),
        json!("a b"),
        json!(""),
        json!(1),
        json!("b"),
    ]);
    let inputs = (
        proptest::sample::select(known),
        any::<prop::sample::Index>(),
        any_json(),
    );
    let card = (ids, inputs, any_json()).prop_map(|(id, (calculator, field, value), other)| {
        let field = match calculators::find(calculator) {
            Some(known) => known.inputs[field.index(known.inputs.len())].field.id,
            None => "x",
        };
        json!({
            "id": id, "calculator": calculator, "inputs": { field: value, "other": other }, "more": other,
        })
    });
    vec(card, 0..5).prop_map(Value::from)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_document_comes_back_as_it_was(document in document(5)) {
        let text = run_sheet_text(&document);
        let restored = restore(&text).expect("what is written is let in");
        prop_assert_eq!(&restored.document, &document);
        prop_assert_eq!(run_sheet_text(&restored.document), text);
    }

    #[test]
    fn unknown_fields_come_back(document in document(5), extra in any_json()) {
        let mut file = run_sheet_json(&document);
        let strange = |object: &mut Value| {
            object["future"] = extra.clone();
        };
        strange(&mut file);
        for card in file["cards"].as_array_mut().into_iter().flatten() {
            strange(card);
            strange(&mut card["inputs"]);
            for (key, input) in card["inputs"].as_object_mut().into_iter().flatten() {
                if key == "future" {
                    continue;
                }
                strange(input);
                if let Some(points) = input.get_mut("points") {
                    strange(points);
                    points.get_mut("corrections").into_iter().for_each(strange);
                }
                for row in input.get_mut("rows").and_then(Value::as_array_mut).into_iter().flatten() {
                    strange(row);
                    strange(&mut row["cells"]);
                }
            }
        }
        if let Some(about) = file.get_mut("about") {
            strange(about);
            for list in ["lots", "instruments"] {
                about.get_mut(list).and_then(Value::as_array_mut).into_iter().flatten().for_each(strange);
            }
        }
        let restored = restore(&file.to_string()).expect("unknown fields are let in");
        prop_assert_eq!(&restored.document.sheet, &document.sheet);
        prop_assert_eq!(run_sheet_json(&restored.document), file);
    }

    /// No panic, and what was let in once is let in again unchanged.
    #[test]
    fn any_json_is_taken_calmly(cards in any_cards(), about in any_json(), other in any_json()) {
        let file = json!({
            "format": "glasswick-run-sheet", "format_version": "1.0",
            "cards": cards, "about": about, "other": other,
        });
        let restored = restore(&file.to_string()).expect("the format is ours");
        let again = restore(&run_sheet_text(&restored.document)).expect("what is written is let in");
        prop_assert_eq!(&again.document, &restored.document);
        let evaluation = evaluate(&restored.document.sheet);
        prop_assert_eq!(evaluation.cards.len(), restored.document.sheet.cards.len());
    }

    #[test]
    fn any_text_is_taken_calmly(text in ".{0,200}", json in any_json()) {
        let _ = restore(&text);
        let _ = restore(&json.to_string());
        let _ = verify(&json.to_string());
    }

    #[test]
    fn a_record_agrees_with_itself(document in document(5)) {
        let origin = Origin { app_version: "0.1.0", exported: "2026-05-12T09:30:00+02:00" };
        let record = record_json(&document, &evaluate(&document.sheet), &origin);
        let verification = verify(&text(&record)).expect("a record is let in");
        prop_assert_eq!(verification.digest_matches, Some(true));
        prop_assert_eq!(&verification.differences, &[]);
        prop_assert_eq!(&verification.document, &document);
    }
}

#[test]
fn bytes_of_typed_numbers_survive() {
    for text in [
        "12.50",
        " 1,0e3 ",
        "0.1000000000000000055511151231257827",
        "1\u{202f}000",
        "12.5(1)",
    ] {
        let mut document = Document::default();
        let mut card = Card::new(calculators::ALL[0], "a");
        let number = calculators::ALL[0]
            .inputs
            .iter()
            .find(|entry| entry.field.number_kind().is_some())
            .expect("it takes a number");
        card.inputs
            .insert(number.field.id.into(), Input::typed(text));
        document.sheet.cards.push(card);
        let restored = restore(&run_sheet_text(&document)).expect("what is written is let in");
        assert_eq!(restored.document, document);
    }
}

#[test]
fn format_and_version_head_the_file() {
    let text = run_sheet_text(&Document::default());
    let expected = "{\n  \"format\": \"glasswick-run-sheet\",\n  \"format_version\": \"1.0\",\n  \"cards\": []\n}\n";
    assert_eq!(text, expected);
}

#[test]
fn a_text_typed_over_a_wrong_field_wins() {
    let file = json!({
        "format": "glasswick-run-sheet", "format_version": "1.0", "about": { "title": 5 },
    });
    let mut document = restore(&file.to_string()).expect("it is let in").document;
    assert_eq!(run_sheet_json(&document)["about"], json!({ "title": 5 }));
    document.about.title = "Tiles".into();
    assert_eq!(
        run_sheet_json(&document)["about"],
        json!({ "title": "Tiles" })
    );
}

#[test]
fn what_belongs_to_a_card_goes_with_it() {
    let file = json!({
        "format": "glasswick-run-sheet", "format_version": "1.0",
        "cards": [
            { "id": "a", "calculator": "dilution", "inputs": {}, "future": 1 },
            { "id": "b", "calculator": "dilution", "inputs": {}, "future": 2 },
        ],
    });
    let mut document = restore(&file.to_string()).expect("it is let in").document;
    document.sheet.cards.remove(0);
    let cards: Vec<Map<String, Value>> =
        serde_json::from_value(run_sheet_json(&document)["cards"].clone())
            .expect("cards are objects");
    assert_eq!(cards.len(), 1);
    assert_eq!(cards[0]["future"], 2);
}

/// A run sheet with one card with this entry of points, as a file.
fn with_points(points: &Value) -> Value {
    json!({
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "cards": [{ "id": "a", "calculator": "efficiency", "inputs": { "points": { "points": points } } }],
    })
}

fn corrections_of(document: &Document) -> Corrections {
    match document.sheet.cards[0].inputs.get("points") {
        Some(Input::Points(points)) => points.corrections,
        other => panic!("{other:?}"),
    }
}

#[test]
fn how_points_are_to_be_read_is_kept_and_what_is_unknown_of_it_too() {
    let all = json!({
        "delimiter": "space", "decimal": "either", "x_column": 2, "y_column": 3, "x_unit": "box", "y_unit": "header",
        "x_sign": "turned", "y_sign": "as_is", "sweep": 4, "illumination": "dark", "first_line": 5, "last_line": 60,
    });
    let file = with_points(&json!({ "text": "0 1", "corrections": all }));
    let restored = restore(&file.to_string()).expect("it is let in");
    assert_eq!(restored.notes, Vec::<String>::new());
    let known = Corrections {
        delimiter: Some(Delimiter::Space),
        decimal: Some(DecimalMark::Either),
        x_column: Some(2),
        y_column: Some(3),
        x_unit: Some(UnitFrom::Box),
        y_unit: Some(UnitFrom::Header),
        x_sign: Some(Sign::Turned),
        y_sign: Some(Sign::AsIs),
        sweep: Some(4),
        illumination: Some(Illumination::Dark),
        first_line: Some(5),
        last_line: Some(60),
    };
    assert_eq!(corrections_of(&restored.document), known);
    assert_eq!(run_sheet_json(&restored.document), file);
    // A link carries them too, in its packed form.
    assert_eq!(readable(&restored.document), None);
    let unpacked = restore_unpacked(&to_pack(&restored.document)).expect("it is let in");
    assert_eq!(corrections_of(&unpacked.document), known);

    let newer = json!({ "decimal": "comma", "delimiter": "colon", "sweep": 0, "smoothing": true });
    let file = with_points(&json!({ "text": "0 1", "corrections": newer }));
    let restored = restore(&file.to_string()).expect("it is let in");
    let decimal = Some(DecimalMark::Comma);
    let read = Corrections {
        decimal,
        ..Corrections::default()
    };
    assert_eq!(corrections_of(&restored.document), read);
    assert_eq!(restored.notes.len(), 1, "{:?}", restored.notes);
    assert_eq!(run_sheet_json(&restored.document), file);

    let wrong = with_points(&json!({ "text": "0 1", "corrections": "none" }));
    let restored = restore(&wrong.to_string()).expect("it is let in");
    assert_eq!(corrections_of(&restored.document), Corrections::default());
    assert_eq!(restored.notes.len(), 1, "{:?}", restored.notes);
    assert_eq!(run_sheet_json(&restored.document), wrong);
}
