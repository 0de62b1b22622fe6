//! The record states what was computed, and `verify` finds what was changed in it.

use glasswick_core::calculators;
use glasswick_core::sheet::{Card, Input, Sheet, Typed, evaluate};
use glasswick_core::uncertainty::{Distribution, Meaning};
use glasswick_record::{Document, Origin, RestoreError, describe, digest, record_json, verify};
use serde_json::{Value, json};

const ORIGIN: Origin<'static> = Origin {
    app_version: "0.1.0",
    exported: "2026-05-12T09:30:00+02:00",
};

/// 25.0 mL of 2.04 mol/L to 500 mL, and a second step from the first.
fn document() -> Document {
    let calculator = calculators::find("dilution").expect("dilution is there");
    let mut first = Card::new(calculator, "first");
    for (field, text) in [
        ("find", "target"),
        ("stock", "2.04 mol/L"),
        ("final", "500 mL"),
    ] {
        first.enter(calculator, field, text);
    }
    first.inputs.insert(
        "aliquot".into(),
        Input::Typed(Typed {
            text: "25.0".into(),
            unit: "mL".into(),
            plus_minus: "0.3".into(),
            meaning: Meaning::Limit(Distribution::Rectangular),
            ..Typed::default()
        }),
    );
    let mut second = Card::new(calculator, "second");
    for (field, text) in [
        ("find", "aliquot"),
        ("target", "1 mmol/L"),
        ("final", "10 mL"),
    ] {
        second.enter(calculator, field, text);
    }
    second.inputs.insert(
        "stock".into(),
        Input::Link("first.target".parse().expect("a link is written so")),
    );
    let mut third = Card::new(calculator, "third");
    third.enter(calculator, "stock", "a lot");
    Document {
        sheet: Sheet {
            cards: vec![first, second, third],
        },
        ..Document::default()
    }
}

fn record() -> Value {
    let document = document();
    record_json(&document, &evaluate(&document.sheet), &ORIGIN)
}

fn close(value: &Value, expected: f64, within: f64) {
    let value = value.as_f64().expect("a number");
    assert!(
        (value - expected).abs() <= within,
        "{value} is not {expected} ± {within}"
    );
}

#[test]
fn the_record_states_inputs_results_and_where_they_come_from() {
    let record = record();
    assert_eq!(record["format"], "glasswick-record");
    assert_eq!(record["exported"], ORIGIN.exported);
    assert_eq!(
        record["sheet"]["cards"][0]["inputs"]["aliquot"],
        json!({
            "text": "25.0", "unit": "mL", "uncertainty": { "text": "0.3", "meaning": "rectangular" },
        })
    );
    let first = &record["cards"][0];
    assert_eq!(first["state"], "ready");
    assert_eq!(first["calculator"]["id"], "dilution");
    let aliquot = &first["inputs"].as_array().expect("inputs")[1];
    assert_eq!(aliquot["path"], "aliquot");
    // 0.3 mL / √3 by hand.
    close(&aliquot["si_value"], 25e-6, 1e-18);
    close(
        &aliquot["si_standard_uncertainty"],
        0.173_205_080_8e-6,
        1e-16,
    );
    assert_eq!(
        (&aliquot["unit"], &aliquot["si_unit"]),
        (&json!("mL"), &json!("m3"))
    );
    let target = &first["results"][0];
    // 2.04 mol/L · 25/500, and its relative uncertainty that of the aliquot, by hand.
    assert_eq!(target["path"], "target");
    close(&target["value"], 102.0, 1e-9);
    close(
        &target["standard_uncertainty"],
        102.0 * 0.173_205_080_8 / 25.0,
        1e-8,
    );
    close(&target["si_value"], 102.0, 1e-9);
    assert_eq!(
        (&target["unit"], &target["si_unit"]),
        (&json!("mmol/L"), &json!("mol/m3"))
    );
    assert_eq!(target["printed"], "(102.0 ± 1.4)\u{202f}mmol/L");
    assert!(
        first["working"]
            .as_array()
            .is_some_and(|lines| !lines.is_empty())
    );
    assert_eq!(first["sources"][1]["evidence"], "read in the source");
    let second = &record["cards"][1];
    let stock = &second["inputs"][0];
    assert_eq!(stock["from"], "first.target");
    close(
        &stock["si_standard_uncertainty"],
        102.0 * 0.173_205_080_8 / 25.0,
        1e-8,
    );
    let third = &record["cards"][2];
    assert_eq!(third["state"], "stopped");
    assert_eq!(third["problems"][0]["path"], "stock");
}

#[test]
fn a_record_that_was_left_alone_agrees() {
    let verification = verify(&record().to_string()).expect("a record is let in");
    assert!(verification.agrees(), "{verification:#?}");
    assert_eq!(verification.digest_matches, Some(true));
    assert_eq!(verification.exported, ORIGIN.exported);
    assert_eq!(verification.document, document());
}

#[test]
fn the_digest_does_not_depend_on_when_it_was_exported() {
    let document = document();
    let later = Origin {
        exported: "2027-01-01T00:00:00Z",
        ..ORIGIN
    };
    let later = record_json(&document, &evaluate(&document.sheet), &later);
    assert_eq!(later["digest"], record()["digest"]);
}

/// Changes one place and expects these differences; the digest must not match, and once it is made to match again
/// the differences must still be found.
#[track_caller]
fn check(pointer: &str, value: Value, expected: &[&str]) {
    let mut record = record();
    let place = record
        .pointer_mut(pointer)
        .unwrap_or_else(|| panic!("{pointer} is there"));
    *place = value;
    let verification = verify(&record.to_string()).expect("a record is let in");
    assert_eq!(verification.digest_matches, Some(false), "{pointer}");
    assert!(!verification.agrees());
    record["digest"] = digest(&record).into();
    let verification = verify(&record.to_string()).expect("a record is let in");
    assert_eq!(verification.digest_matches, Some(true), "{pointer}");
    let paths: Vec<_> = verification
        .differences
        .iter()
        .map(|d| d.path.as_str())
        .collect();
    assert_eq!(paths, expected, "{pointer}");
}

#[test]
fn a_changed_result_is_found() {
    let target = "cards/first/results/target";
    check(
        "/cards/0/results/0/value",
        json!(103.0),
        &[&format!("{target}/value")],
    );
    check(
        "/cards/0/results/0/si_value",
        json!(103.0),
        &[&format!("{target}/si_value"), &format!("{target}/printed")],
    );
    check(
        "/cards/0/results/0/standard_uncertainty",
        json!(0.2),
        &[&format!("{target}/standard_uncertainty")],
    );
    check(
        "/cards/0/results/0/standard_uncertainty",
        json!(null),
        &[&format!("{target}/standard_uncertainty")],
    );
    check(
        "/cards/0/results/0/si_unit",
        json!("kg"),
        &[&format!("{target}/si_unit")],
    );
    check(
        "/cards/0/results/0/printed",
        json!("(103.00 ± 0.71) mmol/L"),
        &[&format!("{target}/printed")],
    );
    check(
        "/cards/0/results/0/path",
        json!("goal"),
        &[target, "cards/first/results/goal"],
    );
    check(
        "/cards/1/results",
        json!([]),
        &[
            "cards/second/results/aliquot",
            "cards/second/results/solvent",
            "cards/second/results/factor",
        ],
    );
}

#[test]
fn a_changed_input_state_or_check_is_found() {
    check(
        "/cards/0/inputs/1/si_value",
        json!(26e-6),
        &["cards/first/inputs/aliquot/si_value"],
    );
    check(
        "/cards/1/inputs/0/from",
        json!("third.target"),
        &["cards/second/inputs/stock/from"],
    );
    check("/cards/0/state", json!("waiting"), &["cards/first/state"]);
    check("/cards/2/problems", json!([]), &["cards/third/problems"]);
    check(
        "/cards/1/checks",
        json!([{ "code": "made_up" }]),
        &["cards/second/checks"],
    );
    check(
        "/cards/2/calculator/id",
        json!("solution"),
        &["cards/third/calculator"],
    );
    check(
        "/cards/2/id",
        json!("fourth"),
        &["cards/third", "cards/fourth"],
    );
}

#[test]
fn a_changed_sheet_changes_what_is_recomputed() {
    let mut record = record();
    record["sheet"]["cards"][0]["inputs"]["aliquot"]["text"] = json!("26.0");
    let verification = verify(&record.to_string()).expect("a record is let in");
    let find = |path: &str| verification.differences.iter().find(|d| d.path == path);
    let aliquot = find("cards/first/inputs/aliquot/value").expect("the input differs");
    assert_eq!(
        (aliquot.recorded.as_str(), aliquot.recomputed.as_str()),
        ("25", "26")
    );
    assert!(find("cards/first/results/target/si_value").is_some());
    assert!(
        find("cards/second/results/aliquot/si_value").is_some(),
        "it follows the link"
    );
}

#[test]
fn what_is_within_the_printed_digits_agrees() {
    let mut record = record();
    // u = 0.71 mmol/L: half a unit of its second digit is 0.005.
    for (value, agrees) in [
        (102.004, true),
        (101.996, true),
        (102.006, false),
        (101.994, false),
    ] {
        record["cards"][0]["results"][0]["value"] = json!(value);
        let verification = verify(&record.to_string()).expect("a record is let in");
        assert_eq!(verification.differences.is_empty(), agrees, "{value}");
    }
}

#[test]
fn a_record_without_digest_is_compared_all_the_same() {
    let mut record = record();
    if let Value::Object(fields) = &mut record {
        fields.remove("digest");
    }
    let verification = verify(&record.to_string()).expect("a record is let in");
    assert_eq!(verification.digest_matches, None);
    assert!(verification.agrees());
}

#[test]
fn another_version_of_a_calculator_is_noted() {
    let mut record = record();
    record["cards"][0]["calculator"]["version"] = json!(99);
    let verification = verify(&record.to_string()).expect("a record is let in");
    assert_eq!(verification.differences, []);
    assert!(
        verification.notes[0].contains("version 99"),
        "{:?}",
        verification.notes
    );
}

#[test]
fn a_run_sheet_is_no_record() {
    let sheet = glasswick_record::run_sheet_text(&document());
    assert_eq!(verify(&sheet), Err(RestoreError::NotARecord));
    assert_eq!(verify("{}"), Err(RestoreError::NotOurs));
}

#[test]
fn every_calculator_describes_itself() {
    assert_eq!(describe(Some("no such calculator")), None);
    let all = describe(None).expect("there are calculators");
    assert_eq!(all.as_array().map(Vec::len), Some(calculators::ALL.len()));
    for calculator in calculators::ALL {
        let described = describe(Some(calculator.id)).expect("it is there");
        assert_eq!(described["id"], calculator.id);
        assert_eq!(
            described["inputs"].as_array().map(Vec::len),
            Some(calculator.inputs.len())
        );
    }
    let dilution = describe(Some("dilution")).expect("it is there");
    let stock = &dilution["inputs"][2];
    assert_eq!(stock["sort"], "quantity");
    assert_eq!(stock["kind"], "amount_concentration");
    assert_eq!(stock["units"][0]["code"], "mol/L");
    assert_eq!(stock["range"], json!({ "above": 0.0, "unit": "mol/m3" }));
    assert_eq!(
        stock["applies_when"],
        json!([
            { "choice": "by", "is": ["volume"] },
            { "choice": "find", "is_not": ["stock"] },
        ])
    );
}
