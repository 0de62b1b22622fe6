//! Damaged, foreign and hostile texts at the gate: one row each, what comes of it beside it.

use glasswick_core::sheet::Input;
use glasswick_record::{
    Document, MOST_BYTES, MOST_CARDS, MOST_NOTES, MOST_ROWS, RestoreError, Restored, restore,
    run_sheet_json,
};
use serde_json::{Value, json};

use crate::with_table;

fn sheet(cards: Value) -> String {
    json!({ "format": "glasswick-run-sheet", "format_version": "1.0", "cards": cards }).to_string()
}

fn card(inputs: Value) -> String {
    sheet(json!([{ "id": "a", "calculator": "dilution", "inputs": inputs }]))
}

/// What is refused: a name, the text, and what must be true of the error.
type Denied = (&'static str, String, fn(&RestoreError) -> bool);

#[test]
fn what_is_refused() {
    let deep = |open: &str, close: &str, levels: usize| open.repeat(levels) + &close.repeat(levels);
    let record =
        |more: &str| format!(r#"{{"format":"glasswick-record","format_version":"1.0"{more}}}"#);
    let many_cards = json!(vec![json!({ "calculator": "dilution" }); MOST_CARDS + 1]);
    let (calculator, table, _) = with_table();
    let many_rows = json!([{
        "calculator": calculator.id,
        "inputs": { table.id: { "rows": vec![json!({}); MOST_ROWS + 1] } },
    }]);
    let half = json!({
        "calculator": calculator.id,
        "inputs": { table.id: { "rows": vec![json!({}); MOST_ROWS / 2 + 1] } },
    });
    let lots = json!({
        "format": "glasswick-run-sheet", "format_version": "1.0",
        "about": { "lots": vec![json!({}); MOST_ROWS + 1] },
    });
    let table: &[Denied] = &[
        ("empty", String::new(), |e| {
            matches!(e, RestoreError::NotJson { line: 1, column: 0 })
        }),
        ("spaces", "  \n ".into(), |e| {
            matches!(e, RestoreError::NotJson { .. })
        }),
        ("prose", "Mix well.".into(), |e| {
            matches!(e, RestoreError::NotJson { line: 1, column: 1 })
        }),
        ("page", "<!doctype html><title>x</title>".into(), |e| {
            matches!(e, RestoreError::NotJson { .. })
        }),
        ("points", "U;I\n0;1,5\n0,1;1,2".into(), |e| {
            matches!(e, RestoreError::NotJson { .. })
        }),
        ("cut off", sheet(json!([]))[..40].into(), |e| {
            matches!(e, RestoreError::NotJson { line: 1, .. })
        }),
        ("more after it", sheet(json!([])) + "}", |e| {
            matches!(e, RestoreError::NotJson { .. })
        }),
        (
            "comma too many",
            "{\"format\": \"glasswick-run-sheet\",\n}".into(),
            |e| matches!(e, RestoreError::NotJson { line: 2, column: 1 }),
        ),
        ("half a surrogate", r#"{"format":"\ud800"}"#.into(), |e| {
            matches!(e, RestoreError::NotJson { .. })
        }),
        (
            "number beyond doubles",
            r#"{"format":"glasswick-run-sheet","x":1e999}"#.into(),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        (
            "not a number",
            r#"{"format":"glasswick-run-sheet","x":NaN}"#.into(),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        ("null", "null".into(), |e| *e == RestoreError::NotOurs),
        ("list", "[]".into(), |e| *e == RestoreError::NotOurs),
        ("text", "\"glasswick-run-sheet\"".into(), |e| {
            *e == RestoreError::NotOurs
        }),
        ("empty object", "{}".into(), |e| *e == RestoreError::NotOurs),
        (
            "another format",
            r#"{"format":"notebook","cards":[]}"#.into(),
            |e| *e == RestoreError::NotOurs,
        ),
        (
            "format is no text",
            r#"{"format":["glasswick-run-sheet"]}"#.into(),
            |e| *e == RestoreError::NotOurs,
        ),
        (
            "newer",
            r#"{"format":"glasswick-run-sheet","format_version":"2.0"}"#.into(),
            |e| {
                *e == RestoreError::NewerMajor {
                    found: "2.0".into(),
                }
            },
        ),
        (
            "newer record",
            r#"{"format":"glasswick-record","format_version":"17.3"}"#.into(),
            |e| {
                *e == RestoreError::NewerMajor {
                    found: "17.3".into(),
                }
            },
        ),
        ("record without sheet", record(""), |e| {
            *e == RestoreError::NoSheet
        }),
        (
            "record with a wrong sheet",
            record(r#","sheet":[1]"#),
            |e| *e == RestoreError::NoSheet,
        ),
        (
            "newer sheet in a record",
            record(r#","sheet":{"format_version":"3.1"}"#),
            |e| matches!(e, RestoreError::NewerMajor { .. }),
        ),
        ("too large", " ".repeat(MOST_BYTES + 1), |e| {
            *e == RestoreError::TooLarge
        }),
        ("deep lists", deep("[", "]", 100_000), |e| {
            *e == RestoreError::TooDeep
        }),
        ("deep lists, open", "[".repeat(1_000_000), |e| {
            *e == RestoreError::TooDeep
        }),
        ("deep objects", deep("{\"a\":", "}", 33), |e| {
            *e == RestoreError::TooDeep
        }),
        ("too many cards", sheet(many_cards), |e| {
            matches!(e, RestoreError::TooMany { .. })
        }),
        ("too many rows", sheet(many_rows), |e| {
            matches!(e, RestoreError::TooMany { .. })
        }),
        ("too many rows in all", sheet(json!([half, half])), |e| {
            matches!(e, RestoreError::TooMany { .. })
        }),
        ("too many lots", lots.to_string(), |e| {
            matches!(e, RestoreError::TooMany { .. })
        }),
    ];
    for (name, text, expected) in table {
        let error = restore(text).expect_err(name);
        assert!(expected(&error), "{name}: {error:?}");
        assert!(
            error.to_string().ends_with('.') && error.hint().ends_with('.'),
            "{name}: {error}"
        );
    }
}

/// What is let in: a name, the text, a word of each note in order, and what must be true of the result.
type Accepted = (
    &'static str,
    String,
    &'static [&'static str],
    fn(&Document) -> bool,
);

#[test]
fn what_is_let_in_and_what_is_said_about_it() {
    let table: &[Accepted] = &[
        (
            "least",
            r#"{"format":"glasswick-run-sheet","format_version":"1.0"}"#.into(),
            &[],
            |d| *d == Document::default(),
        ),
        (
            "byte order mark",
            format!("\u{feff}{}", sheet(json!([]))),
            &[],
            |d| *d == Document::default(),
        ),
        (
            "brackets in a text",
            sheet(
                json!([{ "id": "a", "calculator": "dilution", "note": "[".repeat(99) + "\\\"" }]),
            ),
            &[],
            |d| d.sheet.cards[0].note.len() == 101,
        ),
        (
            "no version",
            r#"{"format":"glasswick-run-sheet"}"#.into(),
            &["no format version"],
            |d| *d == Document::default(),
        ),
        (
            "version is a number",
            r#"{"format":"glasswick-run-sheet","format_version":1}"#.into(),
            &["no format version"],
            |d| *d == Document::default(),
        ),
        (
            "newer minor",
            r#"{"format":"glasswick-run-sheet","format_version":"1.7"}"#.into(),
            &["1.7"],
            |d| *d == Document::default(),
        ),
        (
            "a record",
            json!({ "format": "glasswick-record", "format_version": "1.0", "cards": [1],
            "sheet": { "format_version": "1.0", "about": { "title": "T" } } })
            .to_string(),
            &["computed anew"],
            |d| d.about.title == "T" && d.unknown.is_empty(),
        ),
        (
            "cards are no list",
            r#"{"format":"glasswick-run-sheet","format_version":"1.0","cards":{"a":1}}"#.into(),
            &["cards is not a list"],
            |d| d.sheet.cards.is_empty() && run_sheet_json(d)["cards"]["a"] == 1,
        ),
        (
            "a card is no object",
            sheet(json!([7, { "id": "a", "calculator": "dilution" }])),
            &["“7”, which is left out"],
            |d| d.sheet.cards.len() == 1,
        ),
        (
            "about is no object",
            r#"{"format":"glasswick-run-sheet","format_version":"1.0","about":"me"}"#.into(),
            &["about is not an object"],
            |d| run_sheet_json(d)["about"] == "me",
        ),
        (
            "a title is no text",
            sheet(json!([{ "id": "a", "calculator": "dilution", "title": 5 }])),
            &["cards/a/title is not a text"],
            |d| d.sheet.cards[0].title.is_empty() && run_sheet_json(d)["cards"][0]["title"] == 5,
        ),
        (
            "inputs are no object",
            card(json!([1, 2])),
            &["cards/a/inputs is not an object"],
            |d| run_sheet_json(d)["cards"][0]["inputs"] == json!([1, 2]),
        ),
        (
            "unknown calculator",
            sheet(
                json!([{ "id": "a", "calculator": "teleport", "title": "T", "inputs": { "x": { "rows": [1] } } }]),
            ),
            &["teleport"],
            |d| {
                d.sheet.cards[0].title == "T"
                    && run_sheet_json(d)["cards"][0]["inputs"]["x"]["rows"][0] == 1
            },
        ),
        (
            "no calculator",
            sheet(json!([{ "id": "a" }])),
            &["does not know the calculator “”"],
            |d| d.sheet.cards[0].id == "a",
        ),
        (
            "unknown field",
            card(json!({ "colour": { "text": "red" } })),
            &["cards/a/inputs/colour: this version does not know"],
            |d| {
                d.sheet.cards[0].inputs.is_empty()
                    && run_sheet_json(d)["cards"][0]["inputs"]["colour"]["text"] == "red"
            },
        ),
        (
            "a number as a number",
            card(json!({ "stock": { "text": 12.50 } })),
            &["written as a text"],
            |d| {
                d.sheet.cards[0].inputs.is_empty()
                    && run_sheet_json(d)["cards"][0]["inputs"]["stock"]["text"] == 12.5
            },
        ),
        (
            "an entry without its object",
            card(json!({ "stock": "12.5" })),
            &["an entry is an object"],
            |d| run_sheet_json(d)["cards"][0]["inputs"]["stock"] == "12.5",
        ),
        (
            "null entry",
            card(json!({ "stock": null })),
            &["an entry is an object"],
            |d| run_sheet_json(d)["cards"][0]["inputs"]["stock"].is_null(),
        ),
        (
            "unknown meaning",
            card(
                json!({ "stock": { "text": "1", "uncertainty": { "text": "0.1", "meaning": "log-normal" } } }),
            ),
            &["what its ± means"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "expanded without k",
            card(
                json!({ "stock": { "text": "1", "uncertainty": { "text": "0.1", "meaning": "expanded", "k": "2" } } }),
            ),
            &["coverage factor"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "unit is no text",
            card(json!({ "stock": { "text": "1", "unit": 4 } })),
            &["a unit is written as a text"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "choice as a text",
            card(json!({ "by": { "text": "mass" } })),
            &["a choice is needed"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "link that is none",
            card(json!({ "stock": { "from": "nowhere" } })),
            &["its link cannot be read"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "link and text",
            card(json!({ "stock": { "from": "b.target", "text": "9" } })),
            &["“text”"],
            |d| {
                matches!(&d.sheet.cards[0].inputs["stock"], Input::Link(address) if address.to_string() == "b.target")
                    && run_sheet_json(d)["cards"][0]["inputs"]["stock"]["text"] == "9"
            },
        ),
        (
            "nonsense that a person may have typed",
            card(json!({ "stock": { "text": "12,,5 bananas", "unit": "banana" } })),
            &[],
            |d| matches!(&d.sheet.cards[0].inputs["stock"], Input::Typed(typed) if typed.text == "12,,5 bananas" && typed.unit == "banana"),
        ),
        (
            "no identifiers",
            sheet(
                json!([{ "calculator": "dilution" }, { "calculator": "dilution" }, { "id": 3, "calculator": "" }]),
            ),
            &["“dilution”", "“dilution-2”", "“unnamed”", "calculator “”"],
            |d| ids(d) == ["dilution", "dilution-2", "unnamed"],
        ),
        (
            "one identifier twice",
            sheet(json!([
                { "id": "a", "calculator": "dilution" },
                { "id": "a", "calculator": "dilution", "inputs": { "stock": { "from": "a.target" } } },
                { "id": "a-2", "calculator": "dilution" },
            ])),
            &["became “a-3”"],
            |d| ids(d) == ["a", "a-3", "a-2"] && link(d, 1, "stock") == "a.target",
        ),
        (
            "identifier with other characters",
            sheet(json!([
                { "id": "my stock.1", "calculator": "dilution" },
                { "id": "my-stock-1", "calculator": "dilution", "inputs": { "stock": { "from": "my stock.1.target" } } },
                { "id": "b", "calculator": "later", "inputs": { "x": [{ "from": "my stock.1.target" }] } },
            ])),
            &["became “my-stock-1-2”", "later"],
            |d| {
                ids(d) == ["my-stock-1-2", "my-stock-1", "b"]
                    && link(d, 1, "stock") == "my-stock-1-2.target"
                    && run_sheet_json(d)["cards"][2]["inputs"]["x"][0]["from"]
                        == "my-stock-1-2.target"
            },
        ),
        (
            "identifier as a path or markup",
            sheet(json!([{ "id": "../<b>", "calculator": "dilution" }])),
            &["became “b”"],
            |d| ids(d) == ["b"],
        ),
        (
            "endless identifier",
            sheet(json!([{ "id": "x".repeat(1000), "calculator": "dilution" }])),
            &["became"],
            |d| ids(d)[0] == "x".repeat(64),
        ),
        (
            "a ring of links",
            sheet(json!([
                { "id": "a", "calculator": "dilution", "inputs": { "stock": { "from": "a.target" } } },
            ])),
            &[],
            |d| link(d, 0, "stock") == "a.target",
        ),
    ];
    for (name, text, notes, expected) in table {
        let Restored {
            document,
            notes: said,
        } = restore(text).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(expected(&document), "{name}: {document:#?}");
        assert_eq!(said.len(), notes.len(), "{name}: {said:#?}");
        for (note, said) in notes.iter().zip(&said) {
            assert!(said.contains(note), "{name}: {said}");
        }
    }
}

fn ids(document: &Document) -> Vec<&str> {
    document
        .sheet
        .cards
        .iter()
        .map(|card| card.id.as_str())
        .collect()
}

fn link(document: &Document, card: usize, field: &str) -> String {
    match &document.sheet.cards[card].inputs[field] {
        Input::Link(address) => address.to_string(),
        other => format!("{other:?}"),
    }
}

#[test]
fn rows_get_identifiers_and_links_to_their_cells_follow() {
    let (calculator, table, column) = with_table();
    let cells = json!({ column.id: { "text": "3" }, "colour": 1 });
    let text = sheet(json!([
        { "id": "t", "calculator": calculator.id, "inputs": { table.id: { "rows": [
            { "id": "first one", "cells": cells },
            { "id": "a", "by": "hand" },
            { "id": "a", "cells": [] },
            {},
            "no row",
        ] } } },
        { "id": "d", "calculator": "dilution", "inputs": { "stock": { "from": "t.out.first one.x" } } },
    ]));
    let Restored { document, notes } = restore(&text).expect("the sheet is let in");
    let Some(Input::Rows(rows)) = document.sheet.cards[0].inputs.get(table.id) else {
        panic!("the table is read: {document:#?}");
    };
    let row_ids: Vec<_> = rows.iter().map(|row| row.id.as_str()).collect();
    assert_eq!(row_ids, ["first-one", "a", "a-2", "row"]);
    assert_eq!(rows[0].cells.get(column.id), Some(&Input::typed("3")));
    assert_eq!(link(&document, 1, "stock"), "t.out.first-one.x");
    let written = run_sheet_json(&document);
    let written = &written["cards"][0]["inputs"][table.id]["rows"];
    assert_eq!(written[0]["cells"]["colour"], 1);
    assert_eq!(written[1]["by"], "hand");
    assert_eq!(written[2]["cells"], json!([]));
    assert!(
        notes.iter().any(|note| note.contains("no row")),
        "{notes:#?}"
    );
}

#[test]
fn notes_are_bounded() {
    let inputs: serde_json::Map<String, Value> =
        (0..5000).map(|n| (format!("x{n}"), json!(n))).collect();
    let restored = restore(&card(Value::Object(inputs))).expect("the sheet is let in");
    assert_eq!(restored.notes.len(), MOST_NOTES + 1);
    assert_eq!(
        restored.notes[MOST_NOTES],
        "There are 4900 more notes like these."
    );
    let kept = run_sheet_json(&restored.document);
    assert_eq!(
        kept["cards"][0]["inputs"]
            .as_object()
            .map(serde_json::Map::len),
        Some(5000)
    );
}
