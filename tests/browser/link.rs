//! Links: an opened one is an unsaved copy, overwrites nothing, and says so where it cannot be opened. The states are
//! made here, natively, by the record crate and another deflate than the browser's.

use std::fs;

use glasswick_record::{MOST_LINK, packed, readable, restore, to_pack};
use thirtyfour::Key;

use crate::command::{evaluate, same_results};
use crate::journey;
use crate::page::Page;

const COPY: &str = "A copy from a link, not saved.";

const SMALL: &str = r#"{
    "format": "glasswick-run-sheet",
    "format_version": "1.0",
    "about": { "title": "Dye, 0.3 mM & more" },
    "cards": [{
        "id": "d",
        "calculator": "dilution",
        "title": "Down to 0.3 / from 5?",
        "note": "≈ 20 °C, #3",
        "inputs": {
            "find": { "choice": "target" },
            "stock": { "text": "5.00", "unit": "mmol/L" }
        }
    }]
}"#;

/// The state of a packed link to the demo.
fn demo() -> String {
    let file = xtask::root().join("demo-data/zinc-oxide-tiles.json");
    let document = restore(&fs::read_to_string(file).unwrap())
        .unwrap()
        .document;
    assert_eq!(readable(&document), None, "the demo is no longer packed");
    packed(&miniz_oxide::deflate::compress_to_vec(
        &to_pack(&document),
        9,
    ))
    .unwrap()
}

#[test]
fn a_packed_link_opens_as_a_copy_that_is_kept_on_request_and_overwrites_nothing() {
    let state = demo();
    let file = xtask::root().join("demo-data/zinc-oxide-tiles.json");
    let native = evaluate(&file);
    journey("link", async |page| {
        page.visit(&format!("#/link/{state}")).await;
        page.says("strong", COPY).await;
        same_results(&page.cards().await, &native);
        let title = page.title().await;
        page.says("strong", COPY).await;
        page.shelf().await;
        assert_eq!(page.saved().await, [""; 0], "looking keeps nothing");

        page.visit(&format!("#/link/{state}")).await;
        page.says("strong", COPY).await;
        page.take("Dye bath").await;
        page.click("Keep it").await;
        page.kept().await;
        let place: String = page.ask("return location.hash;").await;
        assert!(place.starts_with("#/sheet/"), "{place}");
        assert_eq!(page.in_hand().await.unwrap().title, "Dye bath");
        page.retype("Dye bath", "Volume of the bath", "81 mL").await;
        page.kept().await;
        page.shelf().await;
        assert_eq!(page.saved().await, std::slice::from_ref(&title));

        // Once more: another copy, which is kept when it is changed.
        page.visit(&format!("#/link/{state}")).await;
        page.says("strong", COPY).await;
        same_results(&page.cards().await, &native);
        page.retype("Dye bath", "Volume of the bath", "82 mL").await;
        page.kept().await;
        let other: String = page.ask("return location.hash;").await;
        page.shelf().await;
        assert_eq!(page.saved().await, [title.clone(), title]);
        for (place, volume) in [(place, "81 mL"), (other, "82 mL")] {
            page.visit(&place).await;
            page.opened().await;
            let bath = page.card("Dye bath").await;
            assert_eq!(bath.entry("Volume of the bath"), volume);
        }
    });
}

#[test]
fn a_readable_link_opens_the_same_way() {
    let document = restore(SMALL).unwrap().document;
    let state = readable(&document).unwrap();
    assert!(state.contains("5.00"), "{state}");
    journey("link-readable", async |page| {
        page.visit(&format!("#/link/{state}")).await;
        page.says("strong", COPY).await;
        assert_eq!(page.title().await, "Dye, 0.3 mM & more");
        let card = page.in_hand().await.unwrap();
        assert_eq!(card.title, "Down to 0.3 / from 5?");
        page.click("Keep it").await;
        page.kept().await;
        let exported = page.export_text("Export").await;
        assert_eq!(restore(&exported).unwrap().document, document);

        // From the clipboard, with whatever address it was copied.
        page.paste_on_shelf(&format!("https://example.org/elsewhere/#/link/{state}\n"))
            .await;
        page.says("strong", COPY).await;
        page.record().await;
        page.sheet().await;
    });
}

#[test]
fn a_link_that_cannot_be_opened_says_why_and_offers_the_shelf() {
    let state = demo();
    // Whole groups of four digits after the version, so that half of the bytes are sound.
    let cut = &state[..2 + state.len() / 8 * 4];
    let readable = readable(&restore(SMALL).unwrap().document).unwrap();
    let incomplete = readable.trim_end_matches("&end");
    let long = format!("1z{}", "A".repeat(MOST_LINK));
    let newer = format!("2{}", &state[1..]);
    journey("link-refused", async |page| {
        for (state, said) in [
            (cut, "damaged"),
            (incomplete, "incomplete"),
            (&long, "longer than 16000 characters"),
            (&newer, "made by a newer version"),
            ("1q?x", "holds no run sheet"),
            ("", "holds no run sheet"),
            ("%E0%A4%A", "holds no run sheet"),
        ] {
            page.visit(&format!("#/link/{state}")).await;
            page.says("h2", "This run sheet cannot be opened").await;
            let notice = page.notice().await;
            assert!(notice.contains(said), "{said}: {notice}");
            page.close_notice().await;
            page.follow("Go to the shelf").await;
            assert_eq!(page.saved().await, [""; 0], "{said}");
        }
    });
}

impl Page {
    /// Puts a text into the shelf's dialog for it.
    pub(crate) async fn paste_on_shelf(&self, text: &str) {
        self.shelf().await;
        self.click("Paste").await;
        self.dialog("Paste a run sheet").await;
        self.click_at("//textarea[@id='pasted']").await;
        self.copy(text).await;
        self.chord(Key::Control, 'v').await;
        self.click("Import").await;
    }
}
