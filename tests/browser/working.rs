//! The working of a card: drawn as mathematics with the numbers in it, and copied as MathML.

use serde::Deserialize;
use serde_json::json;
use thirtyfour::prelude::*;

use crate::harness::{Setting, journey_in};
use crate::journey;
use crate::page::Page;
use crate::wait::until;

/// A formula as it is drawn.
#[derive(Debug, Deserialize)]
struct Drawn {
    /// Whether all of it are elements of MathML.
    mathml: bool,
    /// The text in its steps, formula, numbers and result, without the spaces that cannot be told apart by eye.
    steps: Vec<String>,
    /// Width and height of its first fraction.
    fraction: (f64, f64),
    /// Width and height of its copy button.
    button: (f64, f64),
}

impl Page {
    /// The formula of this result on the card in hand.
    async fn formula(&self, result: &str) -> Drawn {
        let script = "
            const [result] = arguments;
            const group = document.querySelector(`.working [role=group][aria-label='Formula of ${result}']`);
            const size = element => { const { width, height } = element.getBoundingClientRect(); return [width, height]; };
            const all = [...group.querySelectorAll('*')];
            return {
                mathml: all.every(element => element.namespaceURI === 'http://www.w3.org/1998/Math/MathML'),
                steps: [...group.children].map(step => step.textContent.replace(/[\\u202F\\u2061]/g, ' ')),
                fraction: size(group.querySelector('mfrac')),
                button: size(group.parentElement.querySelector('button')),
            };
        ";
        self.ask_with(script, vec![json!(result)]).await
    }

    /// Copies the formula of this result and gives what is said beside it.
    async fn copy_formula(&self, result: &str) -> String {
        let label = format!("Copy the formula of {result}");
        let button = By::XPath(format!("//button[@aria-label='{label}']"));
        let button = self.browser.query(button).first().await.unwrap();
        button.click().await.unwrap();
        let script = "
            const [label] = arguments;
            const button = document.querySelector(`button[aria-label='${label}']`);
            return tidy(button.parentElement.querySelector('[role=status]').textContent);
        ";
        until("what is said of copying", async || {
            let said: String = self.ask_with(script, vec![json!(label)]).await;
            (!said.is_empty()).then_some(said)
        })
        .await
    }

    async fn dilution(&self) {
        self.follow("New run sheet").await;
        self.follow("Dilution").await;
        self.opened().await;
        for (entry, text) in [
            ("Stock concentration", "2.04 mol/L"),
            ("Target concentration", "0.102 mol/L"),
            ("Final volume", "500.0 mL"),
        ] {
            self.retype("Dilution", entry, text).await;
        }
        self.open_details("Working and sources").await;
        let there = "return document.querySelector('.working math') !== null;";
        until("the working", async || {
            self.ask::<bool>(there).await.then_some(())
        })
        .await;
    }
}

#[test]
fn the_working_is_drawn_with_its_numbers_and_copied_as_mathml() {
    journey("working", async |page| {
        page.dilution().await;
        let formula = page.formula("Aliquot of stock").await;
        assert!(formula.mathml, "{formula:?}");
        assert_eq!(
            formula.steps,
            ["V1=c2·V2c1", "=0.102 mol/L·500 mL2.04 mol/L", "=25 mL"]
        );
        // Laid out as a fraction: one over the other, and wider than a number.
        assert!(
            formula.fraction.0 > 10.0 && formula.fraction.1 > 25.0,
            "{formula:?}"
        );
        assert!(
            formula.button.0 >= 48.0 && formula.button.1 >= 48.0,
            "{formula:?}"
        );

        // The numbers follow what is typed.
        page.retype("Dilution", "Final volume", "250 mL").await;
        until("the new numbers", async || {
            let formula = page.formula("Aliquot of stock").await;
            (formula.steps[2] == "=12.5 mL").then_some(())
        })
        .await;

        // Permission to look at the clipboard.
        page.copy("").await;
        let said = page.copy_formula("Aliquot of stock").await;
        assert_eq!(said, "The formula is on the clipboard, as MathML.");
        let script = "
            const done = arguments[arguments.length - 1];
            navigator.clipboard.readText().then(text => {
                const read = new DOMParser().parseFromString(text, 'application/xml').documentElement;
                done([read.namespaceURI, read.localName, read.getAttribute('alttext')]);
            }, error => done([String(error)]));
        ";
        let copied = page
            .browser
            .execute_async(script, Vec::new())
            .await
            .unwrap();
        let whole = "V₁ = c₂ · V₂ / c₁ = 0.102\u{202F}mol/L · 250\u{202F}mL / 2.04\u{202F}mol/L = 12.5\u{202F}mL";
        assert_eq!(
            *copied.json(),
            json!(["http://www.w3.org/1998/Math/MathML", "math", whole])
        );
    });
}

#[test]
fn a_formula_wider_than_a_phone_scrolls_by_keyboard() {
    journey("working-phone", async |page| {
        page.dilution().await;
        let size = json!({ "width": 320, "height": 640, "deviceScaleFactor": 1, "mobile": true });
        page.command("Emulation.setDeviceMetricsOverride", size)
            .await;
        page.retype("Dilution", "Stock concentration", "2040.123 mmol/L")
            .await;
        page.retype("Dilution", "Target concentration", "102.0345 mmol/L")
            .await;
        page.retype("Dilution", "Final volume", "500123.4 µL").await;
        let script = "
            const group = document.querySelector(`.working [role=group][aria-label='Formula of Aliquot of stock']`);
            group.focus();
            return [document.activeElement === group, group.scrollWidth > group.clientWidth, group.scrollLeft,
                document.documentElement.scrollWidth <= innerWidth];
        ";
        let before: (bool, bool, f64, bool) = page.ask(script).await;
        assert_eq!(before, (true, true, 0.0, true));
        page.press(Key::Right).await;
        until("the end of the formula", async || {
            let now: (bool, bool, f64, bool) = page.ask(script).await;
            (now.2 > 0.0).then_some(())
        })
        .await;
    });
}

#[test]
fn a_browser_without_a_clipboard_says_so_beside_the_formula() {
    let setting = Setting {
        arguments: &["--host-resolver-rules=MAP glasswick.test 127.0.0.1"],
        host: Some("glasswick.test"),
        ..Setting::default()
    };
    journey_in("working-insecure", &setting, async |page, _| {
        page.dilution().await;
        let said = page.copy_formula("Aliquot of stock").await;
        assert_eq!(
            said,
            "This browser did not take the formula. Mark it and copy it by hand."
        );
    });
}
