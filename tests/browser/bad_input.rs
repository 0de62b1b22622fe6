//! What cannot be so gets a sentence where it stands; nothing else suffers, and nothing is lost.

use crate::journey;
use crate::page::Card;

#[test]
fn nonsense_is_explained_at_its_box_and_harms_nothing_else() {
    journey("bad-input", async |page| {
        page.demo().await;
        let before = page.cards().await;

        for (card, entry, text, about) in [
            ("Tile 4, forward sweep", "Irradiance", "sunny", "sunny"),
            ("Gap and filling", "Window width", "-3 mm", "above 0"),
            ("Dye bath", "Volume of the bath", "50 V", "V"),
        ] {
            page.retype(card, entry, text).await;
            let said = page.said_at(card, entry).await;
            assert!(said.invalid, "{entry} is not marked as invalid");
            assert!(
                said.description.contains(about),
                "{entry}: {}",
                said.description
            );
            let after = page.card(card).await;
            assert_eq!(after.standing, "stopped", "“{card}”");
            assert_eq!(after.entry(entry), text, "the text is kept as typed");
        }

        // The three, and those that take from them.
        let broken = [
            "Tile 4, forward sweep",
            "Gap and filling",
            "Electrolyte",
            "Dye bath",
            "Dye uptake of tile 2",
        ];
        let sound = |cards: &[Card]| -> Vec<Card> {
            let sound = cards.iter().filter(|c| !broken.contains(&c.title.as_str()));
            sound.cloned().collect()
        };
        let after = page.cards().await;
        assert_eq!(sound(&after), sound(&before), "cards that nobody touched");

        page.kept().await;
        page.reload().await;
        assert_eq!(page.cards().await, after, "after loading the page again");
    });
}

#[test]
fn what_waits_for_a_stopped_card_says_so() {
    journey("waits", async |page| {
        page.demo().await;
        page.retype("Zinc oxide ink", "Measured density of the ink", "water")
            .await;
        assert_eq!(page.card("Zinc oxide ink").await.standing, "stopped");
        for (card, entry, from) in [
            ("Solids by residue", "Density of the ink", "Zinc oxide ink"),
            (
                "Printed film",
                "Solid in the ink, by volume",
                "Solids by residue",
            ),
        ] {
            let waits = page.card(card).await;
            assert_eq!(waits.standing, "waiting", "{card}");
            assert!(waits.entry(entry).contains(from), "{waits:?}");
        }
        let log = page.card("Soaking log").await;
        assert_ne!(log.standing, "waiting", "it takes nothing from the ink");

        page.retype("Zinc oxide ink", "Measured density of the ink", "1.143")
            .await;
        assert_ne!(page.card("Printed film").await.standing, "waiting");
    });
}

#[test]
fn a_file_that_is_no_run_sheet_is_refused_with_a_sentence() {
    journey("hostile", async |page| {
        page.demo().await;
        page.kept().await;
        let before = page.cards().await;
        page.shelf().await;
        let shelf = page.saved().await;
        assert_eq!(shelf.len(), 1);
        let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
        let script = "<img src=x onerror=\"console.error('ran')\">";
        for (name, text) in [
            ("empty.json", ""),
            (
                "half.json",
                "{\"format\": \"glasswick-run-sheet\", \"cards\": [",
            ),
            ("markup.json", script),
            ("deep.json", &deep),
            ("other.json", "{\"name\": \"some other program\"}"),
            (
                "newer.json",
                "{\"format\": \"glasswick-run-sheet\", \"format_version\": \"99.0\", \"cards\": []}",
            ),
        ] {
            page.import_text(name, text).await;
            let notice = page.notice().await;
            assert!(
                notice.ends_with('.') && notice.len() > 20,
                "{name}: {notice}"
            );
            assert_eq!(page.saved().await, shelf, "after {name}");
            page.close_notice().await;
        }
        page.sheet().await;
        assert_eq!(page.cards().await, before);

        // Markup in a run sheet is text like any other.
        let sheet = serde_json::json!({
            "format": "glasswick-run-sheet",
            "format_version": "1.0",
            "cards": [{ "id": "a\"><b>", "calculator": "solution", "title": script, "note": script, "inputs": {} }],
        });
        page.import_text("script.json", &sheet.to_string()).await;
        let card = crate::wait::until("the imported card", async || {
            let one = page.titles().await.len() == 1;
            page.in_hand().await.filter(|_| one)
        })
        .await;
        assert_eq!(card.title, script);
    });
}
