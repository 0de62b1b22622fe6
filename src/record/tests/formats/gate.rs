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

fn denied() -> Vec<Denied> {
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
    vec![
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
        (
            "a link",
            "https://lab.example/glasswick/#1r?a=dilution&end".into(),
            |e| matches!(e, RestoreError::NotJson { line: 1, column: 1 }),
        ),
        ("rich text", "<p>{&quot;format&quot;:1}</p>".into(), |e| {
            matches!(e, RestoreError::NotJson { line: 1, column: 1 })
        }),
        (
            "comma-separated",
            "mass/mg,volume/mL\n5.2,100\n".into(),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        ("prose in a fence", "```\nMix well.\n```".into(), |e| {
            matches!(e, RestoreError::NotJson { line: 2, column: 1 })
        }),
        (
            "an open fence",
            format!("```json\n{}", sheet(json!([]))),
            |e| matches!(e, RestoreError::NotJson { line: 1, column: 1 }),
        ),
        (
            "typographic quotes",
            "{“format”:“glasswick-run-sheet”}".into(),
            |e| matches!(e, RestoreError::NotJson { line: 1, column: 2 }),
        ),
        (
            "single quotes",
            "{'format':'glasswick-run-sheet'}".into(),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        (
            "a remark",
            "// mine\n{\"format\":\"glasswick-run-sheet\"}".into(),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        (
            "two files",
            sheet(json!([])) + "\n" + &sheet(json!([])),
            |e| matches!(e, RestoreError::NotJson { line: 2, .. }),
        ),
        (
            "UTF-16 read as bytes",
            "{\0\"\0f\0o\0r\0m\0a\0t\0".into(),
            |e| matches!(e, RestoreError::NotJson { line: 1, column: 2 }),
        ),
        ("NUL", format!("{}\0", sheet(json!([]))), |e| {
            matches!(e, RestoreError::NotJson { .. })
        }),
        (
            "line end in a text",
            sheet(json!([])).replace("1.0", "1.\n0"),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        (
            "half a surrogate, low",
            r#"{"format":"\udc00"}"#.into(),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        (
            "endless number",
            format!(
                r#"{{"format":"glasswick-run-sheet","x":1{}}}"#,
                "0".repeat(400)
            ),
            |e| matches!(e, RestoreError::NotJson { .. }),
        ),
        (
            "other things' JSON",
            json!({ "type": "FeatureCollection", "features": [] }).to_string(),
            |e| *e == RestoreError::NotOurs,
        ),
        (
            "a schema of ours",
            glasswick_record::run_sheet_schema().to_string(),
            |e| *e == RestoreError::NotOurs,
        ),
        (
            "format in other letters",
            r#"{"format":"Glasswick-Run-Sheet"}"#.into(),
            |e| *e == RestoreError::NotOurs,
        ),
        (
            "version beyond numbers",
            r#"{"format":"glasswick-run-sheet","format_version":"99999999999999999999.0"}"#.into(),
            |e| matches!(e, RestoreError::NewerMajor { .. }),
        ),
        (
            "a record in a record",
            record(r#","sheet":{"format":"glasswick-record","format_version":"2.0"}"#),
            |e| matches!(e, RestoreError::NewerMajor { .. }),
        ),
        (
            "cards without end",
            sheet(json!(vec![json!(1); 100_000])),
            |e| matches!(e, RestoreError::TooMany { .. }),
        ),
    ]
}

#[test]
fn what_is_refused() {
    for (name, text, expected) in denied() {
        let error = restore(&text).expect_err(name);
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

fn accepted() -> Vec<Accepted> {
    vec![
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
        (
            "pasted with blank lines",
            format!("\n \u{a0}\r\n{}\n\n\t", sheet(json!([]))),
            &[],
            |d| *d == Document::default(),
        ),
        (
            "byte order mark behind blank lines",
            format!("\n\u{feff}\u{feff}{}\u{feff}", sheet(json!([]))),
            &[],
            |d| *d == Document::default(),
        ),
        (
            "in a fence",
            format!("```json\r\n{}\r\n```\n", sheet(json!([]))),
            &[],
            |d| *d == Document::default(),
        ),
        (
            "older",
            r#"{"format":"glasswick-run-sheet","format_version":"0.9","sheet":{}}"#.into(),
            &["0.9", "“sheet”"],
            |d| run_sheet_json(d)["format_version"] == "1.0",
        ),
        (
            "version with a third number",
            r#"{"format":"glasswick-run-sheet","format_version":"1.0.0"}"#.into(),
            &["no format version"],
            |d| *d == Document::default(),
        ),
        (
            "version below zero",
            r#"{"format":"glasswick-run-sheet","format_version":"-2.0"}"#.into(),
            &["no format version"],
            |d| *d == Document::default(),
        ),
        (
            "a key twice",
            r#"{"format":"glasswick-run-sheet","format_version":"1.0","about":{"title":"A","title":"B"}}"#
                .into(),
            &[],
            |d| d.about.title == "B",
        ),
        (
            "a newer minor version's field",
            r#"{"format":"glasswick-run-sheet","format_version":"1.3","projects":["x"]}"#.into(),
            &["1.3", "“projects”"],
            |d| run_sheet_json(d)["projects"] == json!(["x"]),
        ),
        (
            "large and small numbers",
            card(json!({ "stock": { "text": "1e400", "uncertainty": { "text": "1e-400",
                "meaning": "expanded", "k": 1.797e308 } } })),
            &[],
            |d| matches!(&d.sheet.cards[0].inputs["stock"], Input::Typed(typed) if typed.text == "1e400"),
        ),
        (
            "control characters and directions in texts",
            sheet(json!([{ "id": "a", "calculator": "dilution", "title": "\0\u{202e}x\u{7}" }])),
            &[],
            |d| d.sheet.cards[0].title == "\0\u{202e}x\u{7}",
        ),
        (
            "markup in texts",
            sheet(json!([{ "id": "a", "calculator": "dilution", "note": "<img src=x onerror=alert(1)>" }])),
            &[],
            |d| d.sheet.cards[0].note == "<img src=x onerror=alert(1)>",
        ),
        (
            "markup in a key",
            card(json!({ "<b>\n</b>": {} })),
            &["cards/a/inputs/<b></b>: "],
            |d| run_sheet_json(d)["cards"][0]["inputs"]["<b>\n</b>"] == json!({}),
        ),
        (
            "keys as other languages' innards",
            card(json!({ "__proto__": { "text": "1" }, "constructor": 1, "": 2 })),
            &["__proto__", "constructor", "inputs/: "],
            |d| run_sheet_json(d)["cards"][0]["inputs"]["__proto__"]["text"] == "1",
        ),
        (
            "keys that look like places",
            card(json!({ "stock": { "text": "1", "a/b": 1 }, "stock/uncertainty": { "text": "2" } })),
            &["“a/b”", "stock/uncertainty"],
            |d| {
                let inputs = &run_sheet_json(d)["cards"][0]["inputs"];
                inputs["stock"]["a/b"] == 1 && inputs["stock/uncertainty"]["text"] == "2"
            },
        ),
        (
            "points without text",
            sheet(json!([{ "id": "a", "calculator": "efficiency", "inputs": {
                "points": { "points": { "x_unit": "V" } } } }])),
            &["points are needed"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "points stored elsewhere",
            sheet(json!([{ "id": "a", "calculator": "efficiency", "inputs": {
                "points": { "points": { "text_sha256": "00ff", "x_unit": "mV" } } } }])),
            &["the points stored under 00ff are missing"],
            |d| {
                matches!(&d.sheet.cards[0].inputs["points"], Input::Points(p) if p.text.is_empty() && p.x_unit == "mV")
                    && run_sheet_json(d)["cards"][0]["inputs"]["points"]["points"]["text_sha256"] == "00ff"
            },
        ),
        (
            "links to what is not there and to oneself",
            card(json!({ "stock": { "from": "nobody.target" }, "target": { "from": "a.stock.r1.x" } })),
            &[],
            |d| link(d, 0, "stock") == "nobody.target" && link(d, 0, "target") == "a.stock.r1.x",
        ),
        (
            "a link of one part too many",
            card(json!({ "stock": { "from": "b.target.r1" } })),
            &["its link cannot be read"],
            |d| d.sheet.cards[0].inputs.is_empty(),
        ),
        (
            "a record of a newer calculator",
            json!({ "format": "glasswick-record", "format_version": "1.0", "sheet": {
                "format_version": "1.0", "cards": [{ "id": "a", "calculator": "dilution" }] },
                "cards": [{ "id": "a", "calculator": { "id": "dilution", "version": 99 } }] })
            .to_string(),
            &["computed anew"],
            |d| ids(d) == ["a"],
        ),
    ]
}

#[test]
fn there_are_samples_enough() {
    let (denied, accepted) = (denied(), accepted());
    let names: std::collections::HashSet<_> = denied
        .iter()
        .map(|(name, ..)| *name)
        .chain(accepted.iter().map(|(name, ..)| *name))
        .collect();
    assert_eq!(names.len(), denied.len() + accepted.len());
    assert!(names.len() >= 100, "{}", names.len());
}

#[test]
fn what_is_let_in_and_what_is_said_about_it() {
    for (name, text, notes, expected) in accepted() {
        let Restored {
            document,
            notes: said,
        } = restore(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
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

/// A file that was cut off is no file, wherever it was cut.
#[test]
fn what_was_cut_off_is_refused() {
    let demo = crate::DEMO.trim_end();
    let cuts = (0..demo.len())
        .step_by(10)
        .filter(|cut| demo.is_char_boundary(*cut));
    let mut tried = 0;
    for cut in cuts {
        let error = restore(&demo[..cut]).expect_err("it is cut off");
        assert!(
            matches!(error, RestoreError::NotJson { .. }),
            "{cut}: {error:?}"
        );
        tried += 1;
    }
    assert!(tried > 500, "{tried}");
}

/// Something of the wrong sort in every place this version knows: the file is let in, the wrong thing is said and, but
/// for identifiers and items of lists, comes back where it was.
#[test]
fn wrong_sorts_in_every_known_place() {
    let (calculator, table, column) = with_table();
    let whole = json!({
        "format": "glasswick-run-sheet",
        "format_version": "1.0",
        "about": {
            "title": "t", "operator": "o", "date": "d", "run": "r", "substrate": "s", "cells": "c", "note": "n",
            "lots": [{ "name": "n", "lot": "l", "expiry": "e" }],
            "instruments": [{ "name": "n", "identifier": "i", "calibration": "c" }],
            "room": { "temperature": "t", "humidity": "h", "note": "n" },
        },
        "cards": [
            { "id": "a", "calculator": "dilution", "title": "t", "note": "n", "inputs": {
                "by": { "choice": "volume" },
                "stock": { "text": "1", "unit": "mol/L", "uncertainty": { "text": "1", "meaning": "expanded", "k": 2.5 } },
                "target": { "from": "b.x" } } },
            { "id": "b", "calculator": calculator.id, "inputs": { table.id: { "rows": [
                { "id": "r", "cells": { column.id: { "text": "1" } } }] } } },
            { "id": "c", "calculator": "efficiency", "inputs": {
                "points": { "points": { "text": "1 2", "x_unit": "V", "y_unit": "A" } } } },
        ],
    });
    let clean = restore(&whole.to_string()).expect("it is let in");
    assert_eq!(clean.notes, Vec::<String>::new());
    assert_eq!(run_sheet_json(&clean.document), whole);
    let mut places = Vec::new();
    collect(&whole, "", &mut places);
    let mut tried = 0;
    for place in places.iter().filter(|place| *place != "/format") {
        let wrongs = [
            json!(null),
            json!(true),
            json!(-1.5),
            json!("x"),
            json!([[1]]),
            json!({ "x": 1 }),
        ];
        for wrong in wrongs {
            let mut file = whole.clone();
            let spot = file.pointer_mut(place).expect("the place is there");
            // Any text is right where a text is, and any object where one is.
            let right = spot.is_string() && wrong.is_string()
                || spot.is_object() && wrong.is_object()
                || spot.is_number() && wrong.is_number();
            if right {
                continue;
            }
            let list = spot.is_array() && wrong.is_array(); // its items are left out
            *spot = wrong.clone();
            let read = restore(&file.to_string());
            let read = read.unwrap_or_else(|e| panic!("{place}: {wrong}: {e}"));
            assert!(!read.notes.is_empty(), "{place}: {wrong}");
            let written = run_sheet_json(&read.document);
            let last = place.rsplit('/').next().unwrap_or_default();
            let replaced = last == "id" || last == "format_version";
            if !list && !replaced && last.parse::<usize>().is_err() {
                assert_eq!(written.pointer(place), Some(&wrong), "{place}: {written:#}");
            }
            let again = restore(&written.to_string()).expect("what is written is let in");
            assert_eq!(again.document, read.document, "{place}: {wrong}");
            tried += 1;
        }
    }
    assert!(tried > 200, "{tried}");
}

/// The pointers of all parts of a value.
fn collect(value: &Value, place: &str, places: &mut Vec<String>) {
    let mut inside = |key: &str, value: &Value| {
        let place = format!("{place}/{key}");
        collect(value, &place, places);
        places.push(place);
    };
    match value {
        Value::Object(fields) => fields.iter().for_each(|(key, value)| inside(key, value)),
        Value::Array(items) => {
            for (position, item) in items.iter().enumerate() {
                inside(&position.to_string(), item);
            }
        }
        _ => {}
    }
}

#[test]
fn a_hundred_thousand_keys_are_taken_calmly() {
    let many: serde_json::Map<String, Value> =
        (0..100_000).map(|n| (format!("k{n}"), json!(n))).collect();
    let many = Value::Object(many);
    for (file, place) in [
        (
            json!({ "format": "glasswick-run-sheet", "format_version": "1.0", "about": many }),
            "/about/k99999",
        ),
        (
            json!({ "format": "glasswick-run-sheet", "format_version": "1.0", "cards": [
                { "id": "a", "calculator": "dilution", "inputs": { "stock": many.clone() } }] }),
            "/cards/0/inputs/stock/k99999",
        ),
    ] {
        let read = restore(&file.to_string()).expect("it is let in");
        assert!(read.notes.len() <= MOST_NOTES + 1);
        let longest = read.notes.iter().map(String::len).max();
        assert!(longest.is_some_and(|longest| longest < 400), "{longest:?}");
        assert_eq!(
            run_sheet_json(&read.document).pointer(place),
            Some(&json!(99_999))
        );
    }
}
