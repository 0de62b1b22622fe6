//! Share links: both forms give back what was put in, and what is damaged, foreign or hostile is refused calmly.

use std::cell::Cell;

use glasswick_core::calculators;
use glasswick_core::sheet::{Address, Card, Input, Typed};
use glasswick_core::uncertainty::{Distribution, Meaning};
use glasswick_record::{
    Document, LinkError, MOST_LINK, MOST_READABLE, MOST_UNPACKED, RestoreError, Restored, State,
    packed, read_state, readable, restore, restore_unpacked, run_sheet_json, to_pack,
};
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec_with_limit;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_json::json;

use crate::random::document;

fn dilution() -> Document {
    let calculator = calculators::find("dilution").expect("it is a calculator");
    let mut first = Card::new(calculator, "a");
    first.title = "Dye & co: 50 % – première".into();
    let typed = Typed {
        text: "5.00".into(),
        unit: "mol/L".into(),
        plus_minus: "0.05".into(),
        meaning: Meaning::Limit(Distribution::Rectangular),
        ..Typed::default()
    };
    first.inputs.insert("stock".into(), Input::Typed(typed));
    let mut second = Card::new(calculator, "b");
    let address = Address {
        card: "a".into(),
        output: "target".into(),
    };
    second.inputs.insert("stock".into(), Input::Link(address));
    let mut document = Document::default();
    document.about.title = "Bath 3".into();
    document.about.room.humidity = "38 %".into();
    document.sheet.cards = vec![first, second];
    document
}

/// From a document through the packed form.
fn through_pack(document: &Document) -> Result<Restored, LinkError> {
    let state = packed(&compress_to_vec(&to_pack(document), 6))?;
    assert!(state.len() <= MOST_LINK);
    match read_state(&state)? {
        State::Deflated(bytes) => {
            let bytes = decompress_to_vec_with_limit(&bytes, MOST_UNPACKED);
            restore_unpacked(&bytes.expect("it was deflated"))
        }
        State::Ready(_) => panic!("a packed state reads as a readable one"),
    }
}

fn ready(state: &str) -> Restored {
    match read_state(state) {
        Ok(State::Ready(restored)) => *restored,
        other => panic!("{state}: {other:?}"),
    }
}

#[test]
fn the_readable_form_reads_well() {
    let state = readable(&dilution()).expect("it is short");
    let expected = "1r?.title=Bath+3&.room.humidity=38+%25\
        &a=dilution~Dye+%26+co:+50+%25+%E2%80%93+premi%C3%A8re&a.by=volume&a.find=aliquot\
        &a.stock=5.00~mol/L~0.05~rectangular\
        &b=dilution~Dilution&b.by=volume&b.find=aliquot&b.stock=@a.target&end";
    assert_eq!(state, expected);
    assert_eq!(ready(&state).document, dilution());
    let address = format!(" https://lab.example/glasswick/#{state}\n");
    assert_eq!(ready(&address).document, dilution());
}

#[test]
fn both_forms_give_back_ten_thousand_run_sheets() {
    let config = ProptestConfig {
        cases: 11_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let (readables, packs) = (Cell::new(0_u32), Cell::new(0_u32));
    let mut runner = TestRunner::new_with_rng(
        config,
        proptest::test_runner::TestRng::deterministic_rng(
            proptest::test_runner::RngAlgorithm::ChaCha,
        ),
    );
    let sheets = prop_oneof![1 => document(5), 2 => document(1)];
    let result = runner.run(&sheets, |mut document| {
        let back = through_pack(&document);
        let back = back.map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert_eq!(&back.document, &document);
        packs.set(packs.get() + 1);
        document.display = Default::default(); // this form has no place for it
        // Short in this form: without the texts that stand about the cards.
        for about in [document.about.clone(), Default::default()] {
            document.about = about;
            if let Some(state) = readable(&document) {
                prop_assert!(state.len() <= MOST_READABLE);
                prop_assert_eq!(&ready(&state).document, &document);
                readables.set(readables.get() + 1);
            } else {
                // Only length, and what is stated of ware or a balance, keep a run sheet of the page from being readable.
                let json = run_sheet_json(&document).to_string();
                let beyond = ["ware", "weighing"]
                    .iter()
                    .any(|key| json.contains(&format!("\"{key}\":{{")));
                prop_assert!(beyond || json.len() > 260);
            }
        }
        Ok(())
    });
    assert_eq!(result, Ok(()));
    assert_eq!(packs.get(), 11_000);
    assert!(readables.get() >= 10_000, "{}", readables.get());
}

#[test]
fn what_the_form_cannot_carry_is_packed() {
    let mut unknown = run_sheet_json(&dilution());
    unknown["cards"][0]["future"] = json!(1);
    let unknown = restore(&unknown.to_string())
        .expect("it is let in")
        .document;
    assert_eq!(readable(&unknown), None);
    let mut long = dilution();
    long.about.note = "x".repeat(MOST_READABLE);
    assert_eq!(readable(&long), None);
    for document in [unknown, long] {
        assert_eq!(
            through_pack(&document).map(|read| read.document),
            Ok(document)
        );
    }
}

#[test]
fn what_a_link_does_not_know_is_kept_and_said() {
    let state = "1r?.title=T&.colour=red&.title=U&x=teleport~X&x.to=5~m&a=dilution~D~n~more\
        &a.stock=5~mol/L~1~standard~~~~x&a.stock=6&a.shade=@b.c&a.a.b.c=1&q.stock=1&=9&.a.b.c=2&end";
    let Restored { document, notes } = ready(state);
    assert_eq!(document.about.title, "T");
    assert_eq!(
        document.sheet.cards[1].inputs.get("stock"),
        Some(&Input::Typed(Typed {
            text: "5".into(),
            unit: "mol/L".into(),
            plus_minus: "1".into(),
            meaning: Meaning::Standard,
            ..Typed::default()
        }))
    );
    let kept = run_sheet_json(&document);
    for (place, expected) in [
        ("/about/colour", json!("red")),
        ("/cards/0/calculator", json!("teleport")),
        ("/cards/0/inputs/to/text", json!("5")),
        ("/cards/0/inputs/to/more", json!("m")),
        ("/cards/1/more", json!("more")),
        ("/cards/1/inputs/stock/uncertainty/more", json!("x")),
        ("/cards/1/inputs/shade/from", json!("b.c")),
        ("/.title", json!("U")),
        ("/a.stock", json!("6")),
        ("/a.a.b.c", json!("1")),
        ("/q.stock", json!("1")),
        ("/", json!("9")),
        ("/.a.b.c", json!("2")),
    ] {
        assert_eq!(kept.pointer(place), Some(&expected), "{place}: {kept:#}");
    }
    let said = notes.join("\n");
    for name in ["colour", "teleport", "more", "shade", "a.stock", "q.stock"] {
        assert!(said.contains(name), "{name}: {said}");
    }
}

#[test]
fn a_cut_or_changed_link_is_refused() {
    let state = readable(&dilution()).expect("it is short");
    for end in 3..state.len() {
        assert_eq!(read_state(&state[..end]), Err(LinkError::Damaged), "{end}");
    }
    let nothing = Err(LinkError::NotOurs);
    let damaged = Err(LinkError::Damaged);
    let newer = Err(LinkError::Newer);
    for (text, expected) in [
        ("", &nothing),
        ("1", &nothing),
        ("z", &nothing),
        ("r?end", &nothing),
        ("/shelf", &nothing),
        ("1q", &nothing),
        ("0r?end", &nothing),
        ("https://lab.example/", &nothing),
        ("2r?end", &newer),
        ("2z", &newer),
        ("99999999999999999999z", &newer),
        ("1r?", &damaged),
        ("1r?a", &damaged),
        ("1r?a=dilution", &damaged),
        ("1r?aend", &damaged),
        ("1r?a=%&end", &damaged),
        ("1r?a=%4&end", &damaged),
        ("1r?a=%zz&end", &damaged),
        ("1r?a=%FF&end", &damaged),
        ("1r?%+=1&end", &damaged),
        ("1z*", &damaged),
        ("1zA", &damaged),
        ("1zAB==", &damaged),
        ("1zAB", &damaged), // bits that stand for nothing
    ] {
        assert_eq!(&read_state(text), expected, "{text}");
        let error = read_state(text).expect_err("it is refused");
        assert!(error.to_string().ends_with('.') && error.hint().ends_with('.'));
    }
    assert_eq!(ready("1r?end").document, Document::default());
    assert_eq!(restore_unpacked(&[0xff]), Err(LinkError::Damaged));
    let not_ours = Err(LinkError::Refused(RestoreError::NotOurs));
    assert_eq!(restore_unpacked(b"{}"), not_ours);
}

#[test]
fn length_is_bounded_before_decoding() {
    let most = 3 * (MOST_LINK - 2) / 4;
    let state = packed(&vec![0; most]).expect("it fits");
    assert!((MOST_LINK - 2..=MOST_LINK).contains(&state.len()));
    assert_eq!(read_state(&state), Ok(State::Deflated(vec![0; most])));
    assert_eq!(packed(&vec![0; most + 2]), Err(LinkError::TooLong));
    assert_eq!(packed(&vec![0; 1 << 20]), Err(LinkError::TooLong));
    let long = format!("1z{}", "*".repeat(MOST_LINK));
    assert_eq!(read_state(&long), Err(LinkError::TooLong));
    let long = format!("1r?{}end", "&=".repeat(MOST_LINK));
    assert_eq!(read_state(&long), Err(LinkError::TooLong));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_taken_calmly(
        text in ".{0,80}",
        pairs in "[ab.~&=@%+0-9]{0,80}",
        known in "(a=solution&|a\\.(find|mass|purity)=[~@a.%0-9]{0,6}&|a\\.pairs\\.r1(\\.passes)?=3?&|\\.(lot|room\\.note|lots)=[~x]{0,4}&|a=thickness&){0,12}",
    ) {
        let _ = read_state(&text);
        let _ = read_state(&format!("1{text}"));
        let _ = read_state(&format!("1r?{pairs}&end"));
        if let Ok(State::Ready(read)) = read_state(&format!("1r?{known}end")) {
            let again = restore(&run_sheet_json(&read.document).to_string());
            prop_assert_eq!(again.map(|again| again.document), Ok(read.document));
        }
        if let Ok(State::Deflated(bytes)) = read_state(&format!("1z{pairs}")) {
            prop_assert!(bytes.len() <= pairs.len());
            let _ = restore_unpacked(&bytes);
        }
        let _ = restore_unpacked(text.as_bytes());
    }
}
