//! The record: filled in, printed to PDF on both sizes of paper, and checked when it comes back. The PDFs are kept to
//! be looked at.

use std::fs;

use serde_json::{Value, json};
use thirtyfour::common::print::{PrintPage, PrintParameters};
use thirtyfour::prelude::*;

use crate::harness::target;
use crate::journey;
use crate::page::Page;
use crate::wait::until;

/// A4 (ISO 216) and Letter (ANSI/ASME Y14.1), in centimetres.
const PAPERS: [(&str, f64, f64); 2] = [("a4", 21.0, 29.7), ("letter", 21.59, 27.94)];

#[test]
fn the_record_fits_either_paper() {
    journey("print", async |page| {
        page.open_record().await;
        for (name, width, height) in PAPERS {
            let pages = page.print(&format!("record-{name}"), width, height).await;
            assert!(
                (10..=40).contains(&pages.len()),
                "{} pages of {name}",
                pages.len()
            );
            for size in pages {
                assert_size(size, width, height);
            }
        }
    });
}

#[test]
fn on_paper_the_record_is_black_on_white_and_nothing_else_is_there() {
    journey("paper", async |page| {
        page.open_record().await;
        let record = page.export("Export the record").await;
        let record: Value = serde_json::from_str(&fs::read_to_string(record).unwrap()).unwrap();

        page.on_paper(794).await;
        let said: String = page.ask("return document.body.innerText;").await;
        for words in [
            "Zinc oxide tiles (demo, invented)",
            "A. Example",
            "Calculator “Ink recipe”, version 1",
            "(45 ± 1)\u{202F}%",
            "limit, rectangular; u = 0.58\u{202F}%",
            "from “Printed film” · Film thickness",
            "mostly from",
            "35 points",
            "Hazard notes",
            "The number after ± is the expanded uncertainty for about 95 %",
            "6.022\u{202F}140\u{202F}76×10²³\u{202F}mol⁻¹",
            "Safety data sheets, local rules and trained supervision decide.",
            record["digest"].as_str().unwrap(),
        ] {
            assert!(said.contains(words), "“{words}” is not printed in {said}");
        }
        // Every result of the exported record stands on paper with the same words.
        for card in record["cards"].as_array().unwrap() {
            for result in card["results"].as_array().unwrap() {
                let printed = result["printed"].as_str().unwrap();
                assert!(said.contains(printed), "“{printed}” is not printed");
            }
        }
        for words in [
            "Print or export",
            "About this work",
            "Check a record",
            "Shelf",
        ] {
            assert!(!said.contains(words), "“{words}” is printed");
        }
        let colours: Vec<String> = page
            .ask(
                "return [...new Set([...document.querySelectorAll('.paper, .paper *')]
                    .filter(element => element.checkVisibility())
                    .flatMap(element => [getComputedStyle(element).color, getComputedStyle(element).backgroundColor]))];",
            )
            .await;
        let paper = [
            "rgb(0, 0, 0)",
            "rgb(51, 51, 51)",
            "rgb(255, 255, 255)",
            "rgba(0, 0, 0, 0)",
        ];
        let odd: Vec<_> = colours
            .iter()
            .filter(|colour| !paper.contains(&colour.as_str()))
            .collect();
        assert!(odd.is_empty(), "colours on paper: {odd:?}");
    });
}

#[test]
fn a_card_of_the_run_sheet_prints_without_its_boxes() {
    journey("print-card", async |page| {
        page.open_demo().await;
        let pages = page.print("card-a4", 21.0, 29.7).await;
        assert!((1..=3).contains(&pages.len()), "{} pages", pages.len());
        page.on_paper(794).await;
        // The working is folded on the screen; on paper it cannot be unfolded.
        let unfolded: bool = page
            .ask("return document.querySelector('details.working .working-lines').getBoundingClientRect().height > 0;")
            .await;
        assert!(unfolded, "the working is printed");
    });
}

#[test]
fn what_is_written_about_the_work_stands_in_the_record() {
    journey("about", async |page| {
        page.open_record().await;
        page.type_into("about-operator-0", " and B. Example").await;
        page.type_into("about-room-note-0", "draught ≈ 0,1 m/s")
            .await;
        page.click("Add a lot").await;
        page.type_into("about-lot-name-1", "acetonitrile").await;
        page.type_into("about-lot-expiry-1", "2026-03-11").await;
        page.in_record("Operator A. Example and B. Example").await;
        page.in_record("Note on the room draught ≈ 0,1 m/s").await;
        page.in_record("acetonitrile 2026-03-11 expired before the date of the work")
            .await;
        assert_eq!(
            page.said_of_lot(2).await,
            "warning This lot had expired before the date of the work."
        );

        // On the day itself it had not yet expired.
        page.type_into("about-lot-expiry-1", "\u{E003}2").await;
        page.in_record("acetonitrile 2026-03-12").await;
        assert_eq!(page.said_of_lot(2).await, "");

        let today: String = page
            .ask("return new Date(Date.now() - new Date().getTimezoneOffset() * 60e3).toISOString().slice(0, 10);")
            .await;
        page.click(&format!("Today, {today}")).await;
        page.in_record(&format!("Date of the work {today}")).await;
        page.in_record("acetonitrile 2026-03-12 expired before the date of the work")
            .await;

        let remove = By::XPath("//button[@aria-label='Remove Lot 2']");
        page.browser
            .find(remove)
            .await
            .unwrap()
            .click()
            .await
            .unwrap();
        until("the focus on “Add a lot”", async || {
            let focused: String = page.ask("return document.activeElement.textContent;").await;
            (focused == "Add a lot").then_some(())
        })
        .await;

        page.ask::<()>("window.print = () => { window.printed = true; };")
            .await;
        page.click("Print").await;
        assert!(page.ask::<bool>("return window.printed === true;").await);
    });
}

#[test]
fn a_record_that_was_changed_is_found_out() {
    journey("check", async |page| {
        page.open_record().await;
        let file = page.export("Export the record").await;
        let choose = By::XPath("//label[normalize-space()='Choose a record']/input");
        let choose = page.browser.find(choose).await.unwrap();
        choose.send_keys(file.to_str().unwrap()).await.unwrap();
        page.says("strong", "This record agrees with what it recomputes to.")
            .await;
        page.says("li", "Its digest matches.").await;
        page.says("li", "Every number it states is found again.")
            .await;

        let text = fs::read_to_string(&file).unwrap();
        let mut record: Value = serde_json::from_str(&text).unwrap();
        let cards = record["cards"].as_array().unwrap();
        let film = cards
            .iter()
            .position(|card| card["title"] == "Printed film");
        record["cards"][film.unwrap()]["results"][0]["si_value"] = json!(9e-6);
        page.check_text(&record.to_string()).await;
        page.says("strong", "This record differs from what it recomputes to.")
            .await;
        page.says(
            "li",
            "Its digest does not match: something in it was changed after it was exported.",
        )
        .await;
        let rows: Vec<String> = page
            .ask("return [...document.querySelectorAll('.verify tbody tr')].map(row => tidy(row.innerText));")
            .await;
        assert!(
            rows.iter().any(
                |row| row.starts_with("Printed film · results · thickness · si value")
                    && row.contains("9e-6")
            ),
            "{rows:?}"
        );

        page.check_text("{\"format\": \"glasswick-run-sheet\"}")
            .await;
        let refused = "This is a run sheet: it holds no results to compare with. Choose the record as it was exported.";
        page.says("p", refused).await;
    });
}

/// A page's size in a PDF, in points of 1/72 inch.
type Size = [f64; 2];

fn assert_size([width, height]: Size, wide: f64, high: f64) {
    let centimetres = |points: f64| points / 72.0 * 2.54;
    // A point either way: sizes are rounded to pixels on their way.
    let near = |points: f64, wanted: f64| (centimetres(points) - wanted).abs() < 0.05;
    assert!(
        near(width, wide) && near(height, high),
        "{width} pt × {height} pt instead of {wide} cm × {high} cm"
    );
}

/// The sizes of the pages of a PDF. Chromium writes page objects uncompressed (ISO 32000-1, 7.7.3.3).
fn pages(pdf: &[u8]) -> Vec<Size> {
    let text = String::from_utf8_lossy(pdf);
    let page = |after: &str| {
        let (_, numbers) = after.split_once("/MediaBox [")?;
        let (numbers, _) = numbers.split_once(']')?;
        let mut numbers = numbers.split_whitespace().skip(2).map(str::parse);
        Some([numbers.next()?.ok()?, numbers.next()?.ok()?])
    };
    text.split("/Type /Page\n")
        .skip(1)
        .filter_map(page)
        .collect()
}

impl Page {
    async fn open_demo(&self) {
        self.ask::<()>("location.hash = '#/new/demo';").await;
        self.says("h2", "Zinc oxide ink").await;
    }

    async fn open_record(&self) {
        self.open_demo().await;
        let link = By::XPath("//nav//a[normalize-space()='Record']");
        self.browser
            .find(link)
            .await
            .unwrap()
            .click()
            .await
            .unwrap();
        self.says("h2", "About this work").await;
    }

    /// Prints to a PDF that is kept, and gives the sizes of its pages.
    async fn print(&self, name: &str, width: f64, height: f64) -> Vec<Size> {
        let parameters = PrintParameters {
            page: PrintPage { width, height },
            ..PrintParameters::default()
        };
        let pdf = self.browser.print_page(parameters).await.unwrap();
        let folder = target().join("screenshots");
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join(format!("{name}.pdf")), &pdf).unwrap();
        pages(&pdf)
    }

    /// Shows the page as it is printed from a dark screen on paper so many pixels wide; no control is left on it, and
    /// nothing reaches over its edge.
    async fn on_paper(&self, width: u32) {
        let media = json!({
            "media": "print",
            "features": [{ "name": "prefers-color-scheme", "value": "dark" }],
        });
        self.command("Emulation.setEmulatedMedia", media).await;
        let screen =
            json!({ "width": width, "height": 1123, "deviceScaleFactor": 1, "mobile": false });
        self.command("Emulation.setDeviceMetricsOverride", screen)
            .await;
        let controls: Vec<String> = self
            .ask(
                "return [...document.querySelectorAll('button, .button, a, .record :is(input, select, textarea), .points')]
                    .filter(element => element.checkVisibility()).map(element => element.outerHTML);",
            )
            .await;
        assert!(controls.is_empty(), "on paper: {controls:?}");
        let wide: u32 = self
            .ask("return document.scrollingElement.scrollWidth;")
            .await;
        assert!(wide <= width, "{wide} px wide on {width} px");
    }

    async fn type_into(&self, id: &str, text: &str) {
        let input = self.browser.query(By::Id(id)).first().await.unwrap();
        input.send_keys(text).await.unwrap();
    }

    /// What is said below the boxes of a lot.
    async fn said_of_lot(&self, number: usize) -> String {
        let script = "return tidy(document.querySelector(`[aria-label='Lot ${arguments[0]}'] [role=status]`).innerText);";
        self.ask_with(script, vec![json!(number)]).await
    }

    /// Waits until a row of the record says this.
    async fn in_record(&self, words: &str) {
        until(words, async || {
            let rows: Vec<String> = self
                .ask("return [...document.querySelectorAll('.paper tr')].map(row => tidy(row.innerText));")
                .await;
            rows.iter().any(|row| row == words).then_some(())
        })
        .await;
    }

    /// Pastes a text where records are checked, and has it checked.
    async fn check_text(&self, text: &str) {
        let script =
            "const area = document.getElementById('verify-text'); area.value = arguments[0];";
        self.ask_with::<()>(script, vec![json!(text)]).await;
        self.click("Check the pasted text").await;
    }
}
