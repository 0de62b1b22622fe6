//! The shelf: finding, copying, throwing away and taking back, and what comes in from outside.

use serde_json::{Value, json};
use thirtyfour::Key;

use crate::journey;
use crate::page::Page;
use crate::wait::until;

const BATH: &str = "Dye bath";

#[test]
fn run_sheets_are_found_copied_and_begun_anew() {
    journey("shelf", async |page| {
        page.demo().await;
        let original = page.cards().await;
        page.kept().await;
        let title = page.title().await;

        page.shelf().await;
        page.follow(&format!("Duplicate: {title}")).await;
        page.opened().await;
        page.kept().await;
        assert_eq!(page.title().await, format!("{title}, copy"));
        assert_eq!(page.cards().await, original);
        page.retype(BATH, "Volume of the bath", "91 mL").await;
        page.kept().await;

        page.shelf().await;
        page.follow(&format!("Next batch: {title}")).await;
        page.opened().await;
        page.kept().await;
        assert_eq!(page.title().await, format!("{title}, next batch"));
        let next = page.card("Zinc oxide ink").await;
        assert_eq!(next.entry("Mass actually weighed"), "", "a measurement");
        assert_eq!(
            next.entry("Specific surface of the powder"),
            original[0].entry("Specific surface of the powder"),
            "a constant"
        );

        page.shelf().await;
        let newest_first = [
            format!("{title}, next batch"),
            format!("{title}, copy"),
            title.clone(),
        ];
        assert_eq!(page.saved().await, newest_first);
        for (words, found) in [
            ("copy", vec![format!("{title}, copy")]),
            ("BATCH next", vec![format!("{title}, next batch")]),
            ("no such words", Vec::new()),
        ] {
            page.search(words).await;
            assert_eq!(page.saved().await, found, "{words}");
        }
        page.search("").await;
        assert_eq!(page.saved().await, newest_first);

        // The first is as it was.
        page.follow(&title).await;
        page.opened().await;
        page.says("h2", "Zinc oxide ink").await;
        assert_eq!(page.cards().await.len(), original.len());
    });
}

#[test]
fn what_is_deleted_waits_in_the_trash() {
    journey("trash", async |page| {
        page.demo().await;
        let cards = page.cards().await;
        page.kept().await;
        let title = page.title().await;
        page.shelf().await;

        page.click(&format!("Delete: {title}")).await;
        page.says("p", &format!("“{title}” is in the trash.")).await;
        page.stands_on_shelf(&[]).await;
        page.click("Undo").await;
        page.stands_on_shelf(&[&title]).await;

        page.click(&format!("Delete: {title}")).await;
        page.stands_on_shelf(&[]).await;
        page.reload().await;
        page.stands_on_shelf(&[]).await;
        page.open_details("Trash (1)").await;
        page.click(&format!("Put back: {title}")).await;
        page.stands_on_shelf(&[&title]).await;
        page.follow(&title).await;
        page.opened().await;
        assert_eq!(page.cards().await, cards);

        page.shelf().await;
        page.click(&format!("Delete: {title}")).await;
        page.open_details("Trash (1)").await;
        page.click(&format!("Delete for good: {title}")).await;
        until("the trash to be empty", async || {
            let trash: bool = page.ask("return !!document.querySelector('.trash');").await;
            (!trash).then_some(())
        })
        .await;
        page.reload().await;
        page.stands_on_shelf(&[]).await;
    });
}

#[test]
fn the_whole_shelf_moves_to_another_browser() {
    let (shelf, sheets) = journey("shelf-export", async |page| {
        page.demo().await;
        page.retype(BATH, "Note", "≈ 20 °C, “tile 3” µ ✓").await;
        page.kept().await;
        page.shelf().await;
        page.follow("New run sheet").await;
        page.follow("The whole chain").await;
        page.opened().await;
        page.kept().await;
        page.shelf().await;
        assert_eq!(page.saved().await.len(), 2);
        let sheets = page.every_sheet().await;
        (page.export_text("Export all").await, sheets)
    });
    journey("shelf-import", async |page| {
        page.import_text("shelf.json", &shelf).await;
        until("both run sheets", async || {
            (page.saved().await.len() == 2).then_some(())
        })
        .await;
        assert_eq!(page.every_sheet().await, sheets);
        // Once more: nothing is overwritten.
        page.import_text("shelf.json", &shelf).await;
        until("both once more", async || {
            (page.saved().await.len() == 4).then_some(())
        })
        .await;
    });
}

#[test]
fn texts_and_files_come_in_by_paste_and_by_drop() {
    let sheet = journey("shelf-sent", async |page| {
        page.demo().await;
        page.export_text("Export").await
    });
    journey("shelf-incoming", async |page| {
        page.paste_on_shelf(&sheet).await;
        page.opened().await;
        let cards = page.cards().await;
        page.shelf().await;
        assert_eq!(page.saved().await.len(), 1);

        page.drop_files(&[("sent.json", &sheet)]).await;
        page.opened().await;
        assert_eq!(page.cards().await, cards);

        page.shelf().await;
        page.drop_files(&[
            ("one.json", &sheet),
            ("half.json", &sheet[..sheet.len() / 2]),
            ("two.json", &sheet),
        ])
        .await;
        assert_eq!(page.notice().await, "Not everything was imported.");
        until("the two that are whole", async || {
            (page.saved().await.len() == 4).then_some(())
        })
        .await;
        page.close_notice().await;

        page.paste_on_shelf("nothing of ours").await;
        assert_eq!(page.notice().await, "Nothing was imported.");
        assert_eq!(page.saved().await.len(), 4);
    });
}

impl Page {
    /// Waits until these titles stand on the shelf.
    async fn stands_on_shelf(&self, titles: &[&str]) {
        until(&format!("{titles:?} on the shelf"), async || {
            (self.saved().await == titles).then_some(())
        })
        .await;
    }

    /// Replaces what is looked for.
    async fn search(&self, words: &str) {
        self.click_at("//input[@id='search']").await;
        self.chord(Key::Control, 'a').await;
        self.press(Key::Delete).await;
        if !words.is_empty() {
            self.press(words).await;
        }
    }

    /// The exported text of every run sheet on the shelf, in the order of their titles.
    async fn every_sheet(&self) -> Vec<Value> {
        let mut titles = self.saved().await;
        titles.sort();
        let mut sheets = Vec::new();
        for title in titles {
            let text = self.export_text(&format!("Export: {title}")).await;
            sheets.push(serde_json::from_str(&text).unwrap());
        }
        sheets
    }

    /// Lets files fall onto the shelf.
    async fn drop_files(&self, files: &[(&str, &str)]) {
        let script = "
            const transfer = new DataTransfer();
            for (const [name, text] of arguments[0])
                transfer.items.add(new File([text], name, { type: 'application/json' }));
            for (const kind of ['dragenter', 'dragover', 'drop'])
                document.querySelector('main').dispatchEvent(
                    new DragEvent(kind, { dataTransfer: transfer, bubbles: true, cancelable: true }));
            return null;
        ";
        self.ask_with::<Value>(script, vec![json!(files)]).await;
    }
}
