//! The native command, and how its record compares with the page.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

use crate::harness::given;
use crate::page::Card;

/// The record that `glasswick evaluate` prints for this file.
pub(crate) fn evaluate(file: &Path) -> Value {
    let answer = Command::new(given("GLASSWICK_CLI"))
        .arg("evaluate")
        .arg(file)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&answer.stderr);
    assert!(answer.status.success(), "evaluate ends badly: {said}");
    serde_json::from_slice(&answer.stdout).unwrap()
}

/// `glasswick verify` finds nothing that differs in this file.
pub(crate) fn verify(file: &Path) {
    let answer = Command::new(given("GLASSWICK_CLI"))
        .arg("verify")
        .arg(file)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&answer.stdout);
    assert!(answer.status.success(), "verify finds {said}");
}

/// Every result that the page prints stands in the record with the same text, and no other does.
pub(crate) fn same_results(cards: &[Card], record: &Value) {
    let recorded = record["cards"].as_array().unwrap();
    assert_eq!(cards.len(), recorded.len(), "number of cards");
    for (card, recorded) in cards.iter().zip(recorded) {
        assert_eq!(recorded["title"], card.title.as_str());
        let mut shown = card.results.clone();
        for result in recorded["results"].as_array().unwrap() {
            let name = result["title"].as_str().unwrap();
            let text = result["printed"].as_str().unwrap();
            let same = |(title, printed): &(String, String)| title == name && printed == text;
            match shown.iter().position(same) {
                Some(position) => drop(shown.remove(position)),
                None => panic!("“{}” does not show {name}: {text}", card.title),
            }
        }
        assert!(shown.is_empty(), "not in the record: {shown:?}");
        assert!(!card.results.is_empty(), "“{}” shows no result", card.title);
    }
}

/// Both records say the same, apart from when they were made.
pub(crate) fn same_records(one: &Value, other: &Value) {
    let timeless = |record: &Value| {
        let mut record = record.clone();
        let when = record.as_object_mut().unwrap().remove("exported");
        assert!(when.is_some(), "a record without the time of its export");
        record
    };
    assert!(one["digest"].is_string(), "a record without a digest");
    assert_eq!(one["digest"], other["digest"]);
    assert_eq!(timeless(one), timeless(other));
}
