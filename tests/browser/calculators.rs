//! Every calculator on the page: its first worked case at every width, against the native command; and the cards of the
//! wet chemistry, entered by keyboard and by touch.

use std::fs;

use glasswick_core::calculators::{self, ALL};
use glasswick_core::sheet::{Card, Sheet};
use glasswick_record::{Document, run_sheet_text};
use serde_json::json;
use thirtyfour::Key;

use crate::command::{evaluate, same_results};
use crate::harness::Folder;
use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

/// A phone in a narrow hand, a phone, a tablet, a desk.
const WIDTHS: [(u32, u32); 4] = [(320, 640), (390, 844), (820, 1180), (1440, 900)];

/// A run sheet with the first worked case of every calculator.
fn examples() -> String {
    let mut seen = Vec::new();
    let first = calculators::cases().filter(|(calculator, _)| {
        let new = !seen.contains(&calculator.id);
        seen.push(calculator.id);
        new
    });
    let cards = first.map(|(calculator, case)| Card {
        title: calculator.title.into(),
        ..Card::example(calculator, case)
    });
    let sheet = Sheet {
        cards: cards.collect(),
    };
    run_sheet_text(&Document {
        sheet,
        ..Document::default()
    })
}

#[test]
fn every_calculator_fits_every_screen_and_agrees_with_the_native_command() {
    let folder = Folder::new("examples");
    let file = folder.0.join("examples.json");
    fs::write(&file, examples()).unwrap();
    journey("calculators", async |page| {
        page.import_text("examples.json", &examples()).await;
        page.opened().await;
        let cards = page.cards().await;
        assert_eq!(cards.len(), ALL.len());
        same_results(&cards, &evaluate(&file));
        page.bring_axe().await;
        for title in page.titles().await {
            page.take(&title).await;
            page.open_all().await;
            for (width, height) in WIDTHS {
                page.fits(width, height).await;
            }
            page.keeps_nobody_out(&title).await;
        }
    });
}

#[test]
fn an_ink_is_written_weighed_and_ticked_off_by_keyboard() {
    const INK: &str = "Ink recipe";
    journey("ink-recipe", async |page| {
        page.begin(INK).await;
        page.fill(INK, "Name", "Tin oxide").await;
        page.fill(INK, "Mass in the recipe", "5.0").await;
        page.fill(INK, "Mass actually weighed", "5.100").await;
        page.fill(INK, "Density", "6.95").await;
        page.go(Way::Back, INK, "Weighed in").await;
        page.press(' ').await;
        page.push(Way::On, INK, "Add a row").await;
        // The new row stands before the button; its first box is its name.
        page.go(Way::Back, INK, "The rest is").await;
        page.go(Way::Back, INK, "Name").await;
        page.press("Dispersant solution").await;
        page.choose(INK, "Role", "dispersant").await;
        page.fill(INK, "Mass in the recipe", "1.5").await;
        page.fill(INK, "Density", "1.1").await;
        page.choose(INK, "Active part", "% by mass (w/w)").await;
        page.fill(INK, "Active fraction", "45").await;

        let rows = page.rows().await;
        let of = |row: &str, name: &str| {
            let found = rows.iter().find(|(r, n, _)| r == row && n == name);
            found.map_or("", |(_, _, text)| text)
        };
        // A dispersant sold at 45 % active brings 0.675 g in 1.5 g (common practice, no source).
        assert_eq!(
            of(
                "What the ink holds · Dispersant solution",
                "Active in the ink"
            ),
            "0.675 g",
            "{rows:?}"
        );
        assert_eq!(
            of("Weigh-out list · Tin oxide", "Actual against plan"),
            "2 %",
            "{rows:?}"
        );
        page.kept().await;
        page.reload().await;
        let ticked: Vec<bool> = page
            .ask("return [...document.querySelectorAll('.rows .tick input')].map(box => box.checked);")
            .await;
        assert_eq!(ticked, [true, false]);
    });
}

#[test]
fn a_dilution_series_is_planned_by_touch_and_another_plan_is_chosen() {
    const SERIES: &str = "Dilution series";
    journey("dilution-series", async |page| {
        page.begin(SERIES).await;
        page.be_a_tablet().await;
        page.touch_entry(SERIES, "Stock concentration", "12.0 mol/L")
            .await;
        page.touch_entry(SERIES, "Target concentration", "0.120 mmol/L")
            .await;
        for (table, volumes) in [
            ("Pipettes", ["1 ± 0.007", "10 ± 0.02"]),
            ("One-mark flasks", ["100 ± 0.1", "1000 ± 0.4"]),
        ] {
            let group = format!("//fieldset[legend='{table}']");
            page.tap(&format!("{group}/button[normalize-space()='Add a row']"))
                .await;
            for (row, volume) in volumes.iter().enumerate() {
                let path = format!(
                    "({group}//input[@type='text'][not(@aria-label)])[{}]",
                    row + 1
                );
                page.touch_box(&path, volume).await;
            }
        }
        // 12.0/0.000120 = 100 000: 1 in 1000 and 1 in 100, or ways through 10 mL.
        page.comes_to_result("Concentration reached", "0.1200")
            .await;
        let rows = page.rows().await;
        let step = |number: usize| {
            let row = format!("Steps · {number}");
            let of = |name: &str| rows.iter().find(|(r, n, _)| *r == row && n == name);
            (of("Pipette").cloned(), of("Flask").cloned())
        };
        assert!(step(1).0.is_some() && step(1).1.is_some(), "{rows:?}");
        let factor: Vec<&String> = rows
            .iter()
            .filter(|(_, name, _)| name == "Dilution factor")
            .map(|(_, _, text)| text)
            .collect();
        assert!(
            !factor.is_empty() && factor.iter().all(|text| text.starts_with("100")),
            "{factor:?}"
        );
        page.retype(SERIES, "Plan to follow", "99").await;
        // The help stands there at once, the sentence when the person rests.
        until("what is said of plan 99", async || {
            let said = page.said_at(SERIES, "Plan to follow").await;
            let plain = "The list has 8 plans. Enter a number from 1 to 8.";
            said.description.contains(plain).then_some(())
        })
        .await;
    });
}

#[test]
fn a_dye_is_picked_for_its_molar_mass_and_its_coefficient() {
    const UPTAKE: &str = "Dye uptake";
    journey("dye-picked", async |page| {
        page.begin(UPTAKE).await;
        for (entry, unit) in [
            ("Molar absorption coefficient", "L/(mol·cm)"),
            ("Molar mass of the dye", "g/mol"),
        ] {
            page.push(Way::Back, UPTAKE, &format!("Pick {entry} from a table"))
                .await;
            page.push(Way::On, "", "N719").await;
            until(&format!("{entry} to be there"), async || {
                let card = page.in_hand().await?;
                let text = card.entry(entry).to_owned();
                (text.parse::<f64>().is_ok_and(|number| number > 100.0)).then_some(())
            })
            .await;
            let shown: String = page
                .ask_with(
                    "return nameOf(document.querySelector(`select[aria-label='Unit of ${arguments[0]}']`).selectedOptions[0]);",
                    vec![json!(entry)],
                )
                .await;
            assert_eq!(shown, unit);
        }
        page.press(Key::Escape).await;
    });
}

impl Page {
    /// Opens whatever is folded on the card in hand.
    async fn open_all(&self) {
        self.ask("document.querySelectorAll('main details').forEach(part => { part.open = true; }); return null;")
            .await
    }

    /// The results of the card in hand that stand in rows: row, name and printed text.
    async fn rows(&self) -> Vec<(String, String, String)> {
        let script = "
            return [...document.querySelectorAll('.results .result-row')].flatMap(heading =>
                [...heading.nextElementSibling.children].map(result => [
                    tidy(heading.textContent),
                    tidy(result.children[0].firstChild.textContent),
                    tidy(result.children[1].textContent.replaceAll('\\u202F', ' ')),
                ]));
        ";
        self.ask(script).await
    }

    /// Waits until a result of the card in hand begins with this text.
    async fn comes_to_result(&self, name: &str, text: &str) {
        until(&format!("{name} {text}"), async || {
            let card = self.in_hand().await?;
            let found = card.results.iter().find(|(title, _)| title == name)?;
            let printed = found.1.trim_start_matches('(');
            printed.starts_with(text).then_some(())
        })
        .await;
    }
}
