//! Run sheets in parts: put together again they are what they were, and a lost part is said and not lost for good.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use glasswick_core::calculators;
use glasswick_core::sheet::{Card, Input, PointsText};
use glasswick_record::{Document, Parts, parts, restore, restore_parts, run_sheet_text};
use proptest::prelude::*;

use crate::random::document;

fn with_points(text: &str) -> Document {
    let calculator = calculators::find("efficiency").expect("it is a calculator");
    let mut document = Document::default();
    for id in ["a", "b"] {
        let mut card = Card::new(calculator, id);
        let points = PointsText {
            text: text.into(),
            x_unit: "mV".into(),
            ..PointsText::default()
        };
        card.inputs.insert("points".into(), Input::Points(points));
        document.sheet.cards.push(card);
    }
    document
}

/// The hashes that are asked for while a stored text is read.
fn blobs_wanted(text: &str) -> Vec<String> {
    let wanted = RefCell::new(Vec::new());
    let read = restore_parts(text, |hash| {
        wanted.borrow_mut().push(hash.to_owned());
        None
    });
    drop(read);
    wanted.into_inner()
}

fn points(document: &Document, card: usize) -> &PointsText {
    match document.sheet.cards[card].inputs.get("points") {
        Some(Input::Points(points)) => points,
        other => panic!("{other:?}"),
    }
}

#[test]
fn long_points_are_stored_once_under_their_hash() {
    let text = "0.1\t20.5\n".repeat(200);
    let whole = with_points(&text);
    let Parts { text: sheet, blobs } = parts(&whole);
    // Computed with Python 3.11: hashlib.sha256(("0.1\t20.5\n" * 200).encode()).hexdigest()
    let hash = "801bf80ce593f67c3738b1078b8d8f83c2c134053dce00dfa6442a14b724cd01";
    assert_eq!(blobs, [(hash.to_owned(), Rc::from(text.as_str()))]);
    assert!(!sheet.contains("20.5"), "{sheet}");
    assert_eq!(blobs_wanted(&sheet), [hash, hash]);
    let restored = restore_parts(&sheet, |wanted| (wanted == hash).then(|| text.clone()));
    let restored = restored.expect("it is let in");
    assert_eq!((restored.document, restored.notes), (whole, Vec::new()));
}

#[test]
fn short_points_stay_inside() {
    let whole = with_points(&"1".repeat(1024));
    let Parts { text, blobs } = parts(&whole);
    assert_eq!(blobs, []);
    assert_eq!(restore(&text).map(|read| read.document), Ok(whole));
}

#[test]
fn a_lost_or_damaged_part_is_said_and_its_reference_kept() {
    let long = "0.1\t20.5\n".repeat(200);
    let whole = with_points(&long);
    let Parts { text, blobs } = parts(&whole);
    let hash = &blobs[0].0;
    for (found, word) in [
        (None, "missing"),
        (Some("0.1\t20.6\n".repeat(200)), "damaged"),
    ] {
        let restored = restore_parts(&text, |_| found.clone()).expect("it is let in");
        assert_eq!(restored.notes.len(), 2, "{:#?}", restored.notes);
        assert!(restored.notes[1].starts_with("cards/b/inputs/points/points: "));
        assert!(restored.notes[1].contains(word), "{}", restored.notes[1]);
        assert!(
            restored.notes[1].contains(&hash[..32]),
            "{}",
            restored.notes[1]
        );
        let document = restored.document;
        assert_eq!(
            (
                points(&document, 0).text.as_str(),
                points(&document, 0).x_unit.as_str()
            ),
            ("", "mV")
        );
        // Exported, stored and read again it comes back as soon as the part is found.
        for stored in [run_sheet_text(&document), parts(&document).text] {
            assert_eq!(blobs_wanted(&stored), [hash.as_str(), hash]);
            let found = restore_parts(&stored, |_| Some(long.clone())).expect("it is let in");
            assert_eq!((found.document, found.notes), (whole.clone(), Vec::new()));
        }
        // New points in its place win.
        let mut document = document;
        if let Some(Input::Points(points)) = document.sheet.cards[0].inputs.get_mut("points") {
            points.text = "1 2".into();
        }
        let stored = parts(&document).text;
        let again = restore_parts(&stored, |_| Some(long.clone())).expect("it is let in");
        assert_eq!(points(&again.document, 0).text, "1 2");
        assert_eq!(points(&again.document, 1).text, long);
    }
}

#[test]
fn a_stored_text_is_read_through_the_gate() {
    assert!(restore_parts("{}", |_| None).is_err());
    assert_eq!(blobs_wanted("{"), Vec::<String>::new());
    let odd = r#"{"format":"glasswick-run-sheet","format_version":"1.0","cards":[
        {"id":"a","calculator":"efficiency","inputs":{"points":{"points":{"text_sha256":5}}}}]}"#;
    let restored = restore_parts(odd, |_| Some("1 2".into())).expect("it is let in");
    assert_eq!(restored.document.sheet.cards[0].inputs.len(), 0);
    assert!(
        restored.notes[0].contains("points are needed"),
        "{:?}",
        restored.notes
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn parts_together_are_the_whole(mut document in document(5), lengths in prop::collection::vec(0_usize..300, 20)) {
        let mut lengths = lengths.into_iter();
        for card in &mut document.sheet.cards {
            for input in card.inputs.values_mut() {
                if let Input::Points(points) = input {
                    let length = lengths.next().unwrap_or_default();
                    points.text = points.text.repeat(length);
                }
            }
        }
        let Parts { text, blobs } = parts(&document);
        let blobs: HashMap<_, _> = blobs.into_iter().collect();
        prop_assert!(blobs.values().all(|blob| blob.len() > 1024));
        let restored = restore_parts(&text, |hash| blobs.get(hash).map(|blob| blob.to_string()));
        let restored = restored.map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!(restored.document, document);
    }
}
