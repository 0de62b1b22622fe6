//! What is stated about how well a number is known: the panel behind ±, by keyboard, by touch and with nonsense in it.

use serde_json::json;
use thirtyfour::Key;

use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

const DILUTION: &str = "Dilution";
const BATH: &str = "Dye bath";
const DYE: &str = "Mass of dye actually weighed";

/// Three readings of a volume: s = 0.050 mL, s/√3 = 0.029 mL.
const READINGS: &str = "100.1\n100.2\n100.15";

#[test]
fn a_limit_and_repeat_readings_are_stated_by_keyboard() {
    journey("uncertainty-keys", async |page| {
        page.begin(DILUTION).await;
        page.choose(DILUTION, "Find", "concentration it gives")
            .await;
        page.fill(DILUTION, "Stock concentration", "5.00").await;
        page.push(Way::On, DILUTION, "Uncertainty of Stock concentration")
            .await;
        page.fill(DILUTION, "± of Stock concentration", "0.05")
            .await;
        page.choose(DILUTION, "The ± is", "limit, triangular").await;
        // 0.05/√6 = 0.0204 (JCGM 100:2008, 4.3.9).
        page.comes_to("Stock concentration", &["u = 0.020 mol/L (limit ÷ √6)"])
            .await;
        page.choose(DILUTION, "The ± is", "limit, trapezoidal")
            .await;
        page.go(Way::On, DILUTION, "Top of the trapezoid").await;
        page.chord(Key::Control, 'a').await;
        page.press("0,2").await;
        // 0.05·√(1.04/6) = 0.0208 (same place).
        page.comes_to("Stock concentration", &["u = 0.021 mol/L (limit ÷ 2.40)"])
            .await;
        page.fill(DILUTION, "Source of the number", "certificate 17")
            .await;
        page.fill(DILUTION, "Aliquot of stock", "10").await;

        // A column from a spreadsheet in the box of one number.
        page.fill(DILUTION, "Final volume", "7").await;
        page.chord(Key::Control, 'a').await;
        page.copy(&format!("{}\r\n", READINGS.replace('\n', "\r\n")))
            .await;
        page.chord(Key::Control, 'v').await;
        until("the readings, and the focus in their box", async || {
            let focus = page.focus().await;
            (focus.name.starts_with("Final volume") && focus.value == READINGS).then_some(())
        })
        .await;
        page.comes_to(
            "Final volume",
            &[
                "n = 3 · mean 100.150 mL",
                "s = 0.050 mL · s/√n = 0.029 mL · ν = 2",
            ],
        )
        .await;
        // One goes on typing where the column ends.
        page.press("\n100.15").await;
        page.comes_to(
            "Final volume",
            &[
                "n = 4 · mean 100.150 mL",
                "s = 0.041 mL · s/√n = 0.020 mL · ν = 3",
            ],
        )
        .await;
        page.fill(DILUTION, "± of Final volume", "0.03").await;
        page.comes_to(
            "Final volume",
            &[
                "n = 4 · mean 100.150 mL",
                "s = 0.041 mL · s/√n = 0.020 mL · ν = 3",
                "u = 0.036 mL: s/√n 0.020 mL; shared by all readings 0.030 mL",
            ],
        )
        .await;

        // Both readings of a change of unit.
        page.click_at("//select[@aria-label='Unit of Final volume']/option[@value='uL']")
            .await;
        page.says("p", "Numbers kept: the 4 readings are now in µL.")
            .await;
        page.click("Convert them to µL instead").await;
        let card = page.card(DILUTION).await;
        assert_eq!(card.entry("Final volume"), "100100\n100200\n100150\n100150");
        assert_eq!(card.entry("± of Final volume"), "30");

        page.kept().await;
        page.reload().await;
        assert_eq!(
            page.summaries().await,
            [
                "limit, trapezoidal, top 0.2 of its base: u = 0.021 mol/L · from certificate 17",
                "mean of 4 readings, s = 41 µL, ν = 3: u = 36 µL",
            ]
        );
        page.record().await;
        let record: String = page
            .ask(
                "return tidy(document.querySelector('main').innerText).replaceAll('\\u202f', ' ');",
            )
            .await;
        for words in [
            "(5.00 ± 0.05) mol/L limit, trapezoidal, top 0.2 of its base; u = 0.021 mol/L; from certificate 17",
            "mean of 4 readings: 100100; 100200; 100150; 100150 µL s = 41 µL; ν = 3; shared by all readings: ± 30 µL",
        ] {
            assert!(record.contains(words), "“{words}” is not in {record}");
        }
    });
}

#[test]
fn one_piece_of_ware_in_two_steps_counts_as_one() {
    journey("uncertainty-ware", async |page| {
        page.import_text("two.json", &two_dilutions()).await;
        page.opened().await;
        for card in ["First", "Second"] {
            page.take(card).await;
            for (field, group, size, piece) in [
                (
                    "Aliquot of stock",
                    "ISO 648:2008, class A (bulb pipette)",
                    "10 mL, ± 0.02",
                    "P",
                ),
                (
                    "Final volume",
                    "ISO 1042:1998, class A (one-mark flask)",
                    "100 mL, ± 0.1",
                    "F",
                ),
            ] {
                page.click(&format!("Uncertainty of {field}")).await;
                page.pick(field, "The ± is", "volumetric ware").await;
                page.pick(field, "Kind, standard and class", group).await;
                page.pick(field, "Size", size).await;
                page.write(field, "Name of the piece", piece).await;
                let said = page.panel(field).await;
                assert!(said.contains("from memory, to be verified"), "{said}");
            }
        }
        let offered: Vec<String> = page
            .ask("return [...document.querySelectorAll('.uncertainty datalist option')].map(o => o.value);")
            .await;
        assert_eq!(offered, ["P", "F"], "names used before, each for its ware");
        // c₂ = 10 mmol/L; the pipette's 0.02 mL/√3 is 0.115 % of 10 mL, twice that with one piece in both steps; the
        // flask's 0.1 mL/√3 is 0.058 % of 100 mL.
        let same = page.budget_of("Target concentration").await;
        assert_eq!(
            same,
            [
                "limit of “P”, bulb pipette 10 mL, class A: 0.0023 mmol/L",
                "limit of “F”, one-mark flask 100 mL, class A: 0.0012 mmol/L",
            ]
        );

        page.write("Aliquot of stock", "Name of the piece", "Q")
            .await;
        page.write("Final volume", "Name of the piece", "").await;
        let different = page.budget_of("Target concentration").await;
        assert_eq!(
            different,
            [
                "limit of “P”, bulb pipette 10 mL, class A: 0.0012 mmol/L",
                "limit of “Q”, bulb pipette 10 mL, class A: 0.0012 mmol/L",
                "limit of “F”, one-mark flask 100 mL, class A: 0.000 58 mmol/L",
                "Final volume: limit of the one-mark flask 100 mL, class A: 0.000 58 mmol/L",
            ]
        );
        // Another sort, and back: the piece is still known.
        page.pick("Aliquot of stock", "The ± is", "limit, rectangular")
            .await;
        page.pick("Aliquot of stock", "The ± is", "volumetric ware")
            .await;
        assert_eq!(page.budget_of("Target concentration").await, different);

        page.write("Aliquot of stock", "Temperature of the liquid", "25")
            .await;
        page.pick("Aliquot of stock", "Glass", "soda-lime glass")
            .await;
        let said = page.panel("Aliquot of stock").await;
        assert!(said.contains("Volume at 20 °C: 9.99"), "{said}");

        page.kept().await;
        let before = page.summaries().await;
        page.reload().await;
        page.take("Second").await;
        assert_eq!(page.summaries().await, before);
        assert_eq!(before.len(), 2, "{before:?}");
        assert!(
            before[0].starts_with(
                "bulb pipette 10 mL, class A, ISO 648:2008, piece “Q”, at 25 °C, soda-lime glass: u = 0.012 mL"
            ),
            "{before:?}"
        );
    });
}

#[test]
fn a_balance_with_tare_is_stated_by_touch() {
    journey("uncertainty-touch", async |page| {
        page.begin(BATH).await;
        page.be_a_tablet().await;
        page.touch_entry(BATH, DYE, "7.3").await;
        page.tap(&format!("//button[@aria-label='Uncertainty of {DYE}']"))
            .await;
        // The list that the browser opens over the page is not of the page.
        page.pick(DYE, "The ± is", "a balance").await;
        page.touch_box(&boxed(DYE, "Readability"), "0.1").await;
        page.touch_box(&boxed(DYE, "Linearity"), "0.2 mg").await;
        // Two readings: (0.05² + 0.2²)·4/6, root 0.168.
        page.comes_to(
            DYE,
            &["u = 0.17 mg: rounding of the display (two readings) 0.041 mg; linearity of the balance (two readings) 0.16 mg"],
        )
        .await;
        page.tap(&format!("{}//input[@type='checkbox']", inside(DYE)))
            .await;
        // One reading: (0.05² + 0.2²)/3, root 0.119.
        page.comes_to(
            DYE,
            &["u = 0.12 mg: rounding of the display 0.029 mg; linearity of the balance 0.12 mg"],
        )
        .await;
        page.touch_box(&boxed(DYE, "Density of what was weighed"), "1.2")
            .await;
        // 7.3 mg · (1 − 1.2/8000)/(1 − 1.2/1200) = 7.3062 mg.
        page.comes_to(
            DYE,
            &[
                "Mass, buoyancy of the air taken into account: 7.3062 mg (+0.0062 mg)",
                "u = 0.12 mg: rounding of the display 0.029 mg; linearity of the balance 0.12 mg",
            ],
        )
        .await;
        for (width, height) in [(390, 844), (320, 844), (1440, 900)] {
            page.fits(width, height).await;
        }
        page.kept().await;
        page.reload().await;
        assert_eq!(
            page.summaries().await,
            [
                "balance, readability 0.1 mg, linearity 0.2 mg, one reading, density 1.2 g/cm³: u = 0.12 mg"
            ]
        );
    });
}

#[test]
fn nonsense_in_a_panel_is_explained_and_nothing_is_lost() {
    journey("uncertainty-nonsense", async |page| {
        page.begin(BATH).await;
        page.retype(BATH, DYE, "7.3").await;
        page.click(&format!("Uncertainty of {DYE}")).await;
        page.write_plus_minus(DYE, "0.1").await;
        for (sort, label, text, sentence, right) in [
            (
                "expanded, with k",
                "Coverage factor",
                "two",
                "coverage factor k",
                "2",
            ),
            (
                "expanded, with k",
                "Degrees of freedom",
                "many",
                "degrees of freedom",
                "",
            ),
            (
                "limit, trapezoidal",
                "Top of the trapezoid",
                "broad",
                "between 0 and 1",
                "0.5",
            ),
            ("a balance", "Readability", "fine", "Readability of", "0.1"),
            ("a balance", "Linearity", "-1", "Linearity of", "0.2"),
            (
                "a balance",
                "Repeatability",
                "0.1 ± 0.1",
                "Repeatability of",
                "",
            ),
            (
                "a balance",
                "Density of what was weighed",
                "heavy",
                "Density of what was weighed",
                "0.001",
            ),
            (
                "a balance",
                "Density of what was weighed",
                "0.001",
                "denser than the air",
                "1.2",
            ),
            (
                "a balance",
                "Density of the air",
                "thin",
                "Density of the air",
                "",
            ),
        ] {
            page.pick(DYE, "The ± is", sort).await;
            page.write(DYE, label, text).await;
            let said = page.said_at(BATH, DYE).await;
            assert!(
                said.description.contains(sentence),
                "{label}: {}",
                said.description
            );
            let card = page.card(BATH).await;
            assert_eq!(card.entry(label), text, "the text is kept as typed");
            page.write(DYE, label, right).await;
        }
        // What does not count with a balance comes back with what it counts with.
        let card = page.card(BATH).await;
        assert!(
            !card
                .entries
                .iter()
                .any(|(name, _)| name.starts_with("± of Mass")),
            "{card:?}"
        );
        page.pick(DYE, "The ± is", "standard uncertainty").await;
        assert_eq!(page.card(BATH).await.entry("± of Mass"), "0.1");

        page.pick(DYE, "The ± is", "repeat readings").await;
        let said = page.said_at(BATH, DYE).await;
        assert!(
            said.description.contains("two readings or more"),
            "{}",
            said.description
        );
        page.pick(DYE, "The ± is", "a balance").await;
        page.write(DYE, "Linearity", "0,2 foot").await;
        page.said_at(BATH, DYE).await;
        page.kept().await;
        page.reload().await;
        page.click(&format!("Uncertainty of {DYE}")).await;
        let card = page.card(BATH).await;
        assert_eq!(
            card.entry("Linearity"),
            "0,2 foot",
            "after loading the page again"
        );
        assert_eq!(card.entry("Readability"), "0.1");

        // A box is one step back.
        page.write(DYE, "Linearity", "0.25").await;
        page.click("Undo").await;
        assert_eq!(page.card(BATH).await.entry("Linearity"), "0,2 foot");
    });
}

#[test]
fn no_panel_keeps_anyone_out() {
    journey("uncertainty-access", async |page| {
        page.bring_axe().await;
        page.shelf().await;
        for look in ["light", "low light"] {
            page.shelf().await;
            page.look(look).await;
            page.follow("New run sheet").await;
            page.follow("Empty").await;
            page.says("h2", "An empty run sheet").await;
            page.click_at(&format!(
                "//button[starts-with(normalize-space(), '{DILUTION}')]"
            ))
            .await;
            page.opened().await;
            let volume = "Final volume";
            page.retype(DILUTION, volume, "100").await;
            page.click(&format!("Uncertainty of {volume}")).await;
            for sort in [
                "limit, trapezoidal",
                "expanded, with k",
                "repeat readings",
                "volumetric ware",
            ] {
                page.pick(volume, "The ± is", sort).await;
                page.keeps_nobody_out(&format!("{sort}, {look}")).await;
            }
            page.pick(volume, "Kind, standard and class", "ISO 1042:1998, class A")
                .await;
            page.write(volume, "Temperature of the liquid", "25").await;
            page.keeps_nobody_out(&format!("ware, {look}")).await;

            page.click_at("//select[ancestor::div[label[starts-with(., 'Measured out')]]]/option[contains(., 'mass')]").await;
            let mass = "Final mass";
            page.retype(DILUTION, mass, "5").await;
            page.click(&format!("Uncertainty of {mass}")).await;
            page.pick(mass, "The ± is", "a balance").await;
            page.write(mass, "Density of what was weighed", "0").await;
            page.said_at(DILUTION, mass).await;
            page.keeps_nobody_out(&format!("balance, {look}")).await;
        }
    });
}

/// Two 1 : 10 dilutions, the second fed by the first.
fn two_dilutions() -> String {
    let card = |id: &str, title: &str, stock: serde_json::Value| {
        json!({
            "id": id, "calculator": "dilution", "title": title,
            "inputs": {
                "by": { "choice": "volume" }, "find": { "choice": "target" }, "stock": stock,
                "aliquot": { "text": "10", "unit": "mL" },
                "final": { "text": "100", "unit": "mL" },
            },
        })
    };
    let sheet = json!({
        "format": "glasswick-run-sheet", "format_version": "1.0",
        "cards": [
            card("a", "First", json!({ "text": "100", "unit": "mmol/L" })),
            card("b", "Second", json!({ "from": "a.target" })),
        ],
    });
    sheet.to_string()
}

/// The path of the panel of an entry.
fn inside(field: &str) -> String {
    format!("//div[@aria-label='Uncertainty of {field}']")
}

/// The path of a box in the panel of an entry.
fn boxed(field: &str, label: &str) -> String {
    format!(
        "{}//label[starts-with(normalize-space(), '{label}')]/input",
        inside(field)
    )
}

impl Page {
    /// Begins a run sheet with one card.
    pub(crate) async fn begin(&self, calculator: &str) {
        self.follow("New run sheet").await;
        self.follow("Empty").await;
        self.says("h2", "An empty run sheet").await;
        self.add_card(calculator).await;
    }

    /// Chooses the option that begins with these words in a list of the panel of an entry.
    pub(crate) async fn pick(&self, field: &str, label: &str, option: &str) {
        self.click_at(&format!(
            "{}//label[starts-with(normalize-space(), '{label}')]//option[starts-with(translate(normalize-space(), '\u{202F}', ' '), '{option}')]",
            inside(field)
        ))
        .await;
    }

    /// Replaces what is in a box of the panel of an entry.
    async fn write(&self, field: &str, label: &str, text: &str) {
        self.replace(&boxed(field, label), text).await;
    }

    async fn write_plus_minus(&self, field: &str, text: &str) {
        self.replace(&format!("//input[@aria-label='± of {field}']"), text)
            .await;
    }

    async fn replace(&self, path: &str, text: &str) {
        self.click_at(path).await;
        self.chord(Key::Control, 'a').await;
        self.press(Key::Delete).await;
        if !text.is_empty() {
            self.press(text).await;
        }
    }

    /// What the panel of an entry says.
    async fn panel(&self, field: &str) -> String {
        let script = "
            const panel = document.querySelector(`[aria-label='Uncertainty of ${arguments[0]}'][role=group]`);
            return tidy(panel.innerText).replaceAll('\\u202f', ' ');
        ";
        self.ask_with(script, vec![json!(field)]).await
    }

    /// Waits until the panel of an entry says that this comes of it.
    async fn comes_to(&self, field: &str, expected: &[&str]) {
        let script = "
            const panel = document.querySelector(`[aria-label='Uncertainty of ${arguments[0]}'][role=group]`);
            return [...panel.querySelectorAll('.outcome p')].map(p => p.textContent.replaceAll('\\u202f', ' '));
        ";
        until(&format!("{expected:?}"), async || {
            let said: Vec<String> = self.ask_with(script, vec![json!(field)]).await;
            if said != expected {
                println!("{said:?}");
            }
            (said == expected).then_some(())
        })
        .await;
    }

    /// The quiet lines below entries whose panels are closed.
    async fn summaries(&self) -> Vec<String> {
        self.ask("return [...document.querySelectorAll('.entries .stated')].map(p => p.textContent.replaceAll('\\u202f', ' '));")
            .await
    }

    /// The rows of the budget of a result: what, and how much it contributes.
    async fn budget_of(&self, result: &str) -> Vec<String> {
        let script = "
            const of = [...document.querySelectorAll('.result-list > li')]
                .find(li => tidy(li.children[0].firstChild.textContent) === arguments[0]);
            return [...of.querySelectorAll('.budget tbody tr')].map(row =>
                `${tidy(row.children[0].textContent)}: ${row.children[2].textContent}`.replaceAll('\\u202f', ' '));
        ";
        self.ask_with(script, vec![json!(result)]).await
    }
}
