//! Values from the tables of chemistry, picked into entries by keyboard.

use serde_json::json;
use thirtyfour::Key;

use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

const CARD: &str = "Solution";

#[test]
fn a_formula_and_a_density_are_picked_by_keyboard() {
    journey("picker", async |page| {
        page.follow("New run sheet").await;
        page.follow("Empty").await;
        page.says("h2", "An empty run sheet").await;
        page.add_card(CARD).await;

        // A malformed formula: the sentence says where, and what to do.
        page.pick_from_table("Molar mass").await;
        page.fill("", "Chemical formula", "TiXx2").await;
        page.about("At character 3, “Xx” is no element.Check upper and lower case")
            .await;
        page.chord(Key::Control, 'a').await;
        page.press("TiO2").await;
        // Ti 47.867(1), O 15.999(1): CIAAW, Standard atomic weights 2021.
        page.about("M = (79.8650 ± 0.0022) g/mol").await;
        page.bring_axe().await;
        page.keeps_nobody_out("molar masses").await;
        page.push(Way::On, "", "Use it").await;
        page.picked("Molar mass", "79.865").await;
        let card = page.card(CARD).await;
        assert_eq!(card.entry("± of Molar mass"), "0.00224");
        let source = "from TiO2: CIAAW, Standard atomic weights 2021";
        page.stated(source, true).await;

        // The same digits in another unit are not what the table says; the converted number is.
        page.click_at("//select[@aria-label='Unit of Molar mass']/option[@value='kg/mol']")
            .await;
        page.stated(source, false).await;
        page.click("Convert to 0.079865\u{202F}kg/mol instead")
            .await;
        page.stated(source, true).await;
        page.click("Undo").await;
        page.click("Undo").await;
        page.click_label(CARD, "Molar mass").await;

        // Nor is another number; a step back brings number and source back.
        page.chord(Key::Control, 'a').await;
        page.press("80").await;
        page.stated(source, false).await;
        page.click("Undo").await;
        page.stated(source, true).await;

        page.retype(CARD, "Molar mass", "79.865").await;
        page.choose(CARD, "Volume fraction and density", "from the densities")
            .await;
        page.pick_from_table("Density of the solvent").await;
        page.go(Way::On, "", "Temperature").await;
        page.chord(Key::Control, 'a').await;
        page.press("warm").await;
        page.about("“warm”").await;
        page.chord(Key::Control, 'a').await;
        page.press("20 °C").await;
        page.about("The ± is at exactly this temperature").await;
        page.keeps_nobody_out("densities").await;
        page.push(Way::On, "", "water").await;
        // 998.20675 kg/m³ at 20 °C: CIPM formula, from memory.
        page.picked("Density of the solvent", "0.99820675").await;
        page.stated(
            "from water, 20 °C: CIPM formula, Tanaka et al., Metrologia 38 (2001) 301 (from memory, to be verified)",
            true,
        )
        .await;
    });
}

impl Page {
    /// Opens the tables for an entry, whose button is large enough for a finger.
    async fn pick_from_table(&self, entry: &str) {
        let button = format!("Pick {entry} from a table");
        let size: (f64, f64) = self
            .ask_with(
                "const { width, height } = document.querySelector(`button[aria-label='${arguments[0]}']`)
                    .getBoundingClientRect();
                return [width, height];",
                vec![json!(button)],
            )
            .await;
        assert!(size.0 >= 48.0 && size.1 >= 48.0, "{size:?}");
        self.push(Way::On, CARD, &button).await;
        self.dialog(&format!("{entry} from a table")).await;
    }

    /// Waits until this is said about the box of the dialog.
    async fn about(&self, words: &str) {
        let script = "
            const about = tidy(document.getElementById('picking-about').textContent);
            return about.replaceAll('\\u202f', ' ');
        ";
        until(words, async || {
            let said: String = self.ask(script).await;
            said.contains(words).then_some(())
        })
        .await;
    }

    /// Waits until the dialog is closed and the focus is on the entry that holds this.
    async fn picked(&self, entry: &str, text: &str) {
        until(&format!("{text} in {entry}"), async || {
            let focus = self.focus().await;
            let there = focus.card == CARD && focus.name.starts_with(entry) && focus.value == text;
            let open: bool = self
                .ask("return document.querySelector('dialog') !== null;")
                .await;
            (there && !open).then_some(())
        })
        .await;
    }

    /// Waits until this is said, or not said any more, below some entry.
    async fn stated(&self, words: &str, expected: bool) {
        let script =
            "return [...document.querySelectorAll('.stated')].map(line => line.textContent);";
        until(&format!("{words}: {expected}"), async || {
            let lines: Vec<String> = self.ask(script).await;
            let said = lines.iter().any(|line| line.contains(words));
            (said == expected).then_some(())
        })
        .await;
    }
}
