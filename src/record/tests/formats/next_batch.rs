//! The next batch: constants stay, measurements clear.

use glasswick_core::calculators::FieldKind;
use glasswick_core::sheet::{Input, Row, State, Typed, evaluate};
use glasswick_core::uncertainty::Meaning;
use glasswick_record::{Document, restore, run_sheet_text};
use proptest::prelude::*;

use crate::DEMO;
use crate::random::document;

#[test]
fn the_demo_for_the_next_batch() {
    let demo = restore(DEMO).expect("the demo is let in").document;
    let next = demo.next_batch();
    let about = &next.about;
    assert_eq!(about.title, "Zinc oxide tiles (demo, invented), next batch");
    for cleared in [
        &about.date,
        &about.run,
        &about.substrate,
        &about.cells,
        &about.room.temperature,
    ] {
        assert_eq!(cleared, "");
    }
    assert_eq!(about.operator, demo.about.operator);
    assert_eq!(about.lots, demo.about.lots);
    assert_eq!(about.instruments, demo.about.instruments);
    assert_eq!(about.note, demo.about.note);

    let at = |path: &str| {
        let (card, path) = path.split_once('.').expect("it names a card");
        let position = next.sheet.position(card).expect("the card is there");
        next.sheet.cards[position].at(path)
    };
    let number = |path: &str| match at(path) {
        Some(Input::Typed(typed)) => (
            typed.text.as_str(),
            typed.unit.as_str(),
            typed.plus_minus.as_str(),
        ),
        other => panic!("{path}: {other:?}"),
    };
    for measured in ["ink.components.r1.actual_mass", "uptake.volume"] {
        assert_eq!(number(measured).0, "", "{measured}");
    }
    for (constant, entered) in [
        ("ink.components.r1.density", ("5.61", "g/cm3", "0.05")),
        ("ink.components.r1.planned_mass", ("6.0", "g", "")),
        ("ink.specific_surface", ("24", "m2/g", "1.5")),
    ] {
        assert_eq!(number(constant), entered, "{constant}");
    }
    // Every entry that differs is a measured one, no link is gone, and nothing else changed.
    for (before, after) in demo.sheet.cards.iter().zip(&next.sheet.cards) {
        let calculator = before
            .declaration()
            .expect("the demo's calculators are known");
        assert_eq!(
            (&before.id, &before.title, &before.note),
            (&after.id, &after.title, &after.note)
        );
        for (field, entered) in &before.inputs {
            let declared = calculator.input(field).expect("the field is declared");
            let now = after.inputs.get(field);
            let linked = matches!(entered, Input::Link(_));
            if let FieldKind::Table { columns } = declared.kind
                && columns.iter().any(|column| column.measured)
            {
                continue;
            }
            assert_eq!(
                now == Some(entered),
                !declared.measured || linked,
                "{}.{field}",
                before.id
            );
        }
    }
    let state = |document: &Document, card| {
        let position = document.sheet.position(card).expect("the card is there");
        evaluate(&document.sheet).cards[position].state.clone()
    };
    assert_eq!(state(&demo, "ink"), State::Ready);
    assert_eq!(
        next.next_batch().about.title,
        "Zinc oxide tiles (demo, invented), next batch 2"
    );
}

#[test]
fn meaning_and_links_stay_and_a_table_keeps_one_empty_row() {
    let sheet = r#"{"format":"glasswick-run-sheet","format_version":"1.0","cards":[
        {"id":"a","calculator":"dye_bath","inputs":{
            "actual_mass":{"text":"5.2","unit":"mg","uncertainty":{"text":"0.2","meaning":"expanded","k":2}},
            "thickness":{"from":"t.thickness"},
            "film_count":{"text":"6"}}},
        {"id":"t","calculator":"thickness","inputs":{"pairs":{"rows":[
            {"id":"r1","cells":{"label":{"text":"A"},"passes":{"text":"2"},"thickness":{"text":"3","unit":"nm"}}},
            {"id":"r2","cells":{"passes":{"text":"4"}}}]}}},
        {"id":"u","calculator":"thickness","inputs":{"pairs":{"rows":[
            {"id":"r1","cells":{"passes":{"text":"2"},"thickness":{"text":"3"}}},
            {"id":"r2","cells":{"passes":{"text":"4"},"thickness":{"from":"t.thickness"}}}]}}},
        {"id":"x","calculator":"teleport","inputs":{"mass":{"text":"5"}}}]}"#;
    let document = restore(sheet).expect("the sheet is let in").document;
    let next = document.next_batch();
    let cards = &next.sheet.cards;
    assert_eq!(
        cards[0].inputs.get("actual_mass"),
        Some(&Input::Typed(Typed {
            unit: "mg".into(),
            meaning: Meaning::Expanded {
                coverage_factor: 2.0
            },
            ..Typed::default()
        }))
    );
    assert_eq!(
        cards[0].inputs.get("thickness"),
        document.sheet.cards[0].inputs.get("thickness")
    );
    assert_eq!(cards[0].inputs.get("film_count"), Some(&Input::typed("")));
    let rows = |card: usize| match cards[card].inputs.get("pairs") {
        Some(Input::Rows(rows)) => rows.as_slice(),
        other => panic!("{other:?}"),
    };
    let nanometres = Typed {
        unit: "nm".into(),
        ..Typed::default()
    };
    let cells = [
        ("label".to_owned(), Input::Text(String::new())),
        ("passes".to_owned(), Input::typed("")),
        ("thickness".to_owned(), Input::Typed(nanometres)),
    ];
    let empty = Row {
        id: "r1".into(),
        cells: cells.into_iter().collect(),
    };
    assert_eq!(rows(1), [empty]);
    assert_eq!(rows(2).len(), 1);
    assert_eq!(rows(2)[0].id, "r2");
    assert_eq!(rows(2)[0].cells.get("passes"), Some(&Input::typed("")));
    // A calculator this version does not know is left as it is.
    assert!(run_sheet_text(&next).contains("teleport"));
    assert!(run_sheet_text(&next).contains(r#""text": "5""#));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// A second time it changes nothing but the title, and it is a run sheet like any other.
    #[test]
    fn the_next_batch_is_settled(document in document(5)) {
        let next = document.next_batch();
        prop_assert_eq!(&next.next_batch().sheet, &next.sheet);
        let again = restore(&run_sheet_text(&next)).expect("what is written is let in");
        prop_assert_eq!(again.document, next);
    }
}
