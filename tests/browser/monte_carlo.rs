//! The Monte Carlo of a result: run, watched, cancelled, kept, and run again from its seed; by keyboard, by touch and
//! with the server gone.

use serde_json::json;
use thirtyfour::Key;

use crate::harness::{given, journey_at};
use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

const DILUTION: &str = "Dilution";
const TARGET: &str = "Target concentration";

/// What a run gave: each row's name, its number, and the first-order number beside it.
type Rows = Vec<(String, String, String)>;

#[test]
fn a_run_is_started_by_keyboard_without_the_server_and_kept() {
    journey_at(
        "monte-carlo",
        &given("GLASSWICK_DIST"),
        async |page, server| {
            page.works_offline().await;
            page.begin(DILUTION).await;
            server.stop();
            page.choose(DILUTION, "Find", "concentration it gives")
                .await;
            page.fill(DILUTION, "Stock concentration", "5.00 ± 0.05 mol/L")
                .await;
            page.fill(DILUTION, "Aliquot of stock", "0.850 ± 0.001 L")
                .await;
            page.fill(DILUTION, "Final volume", "1.80 L").await;
            page.push(Way::On, DILUTION, "k = 2, mostly from Stock concentration")
                .await;
            page.choose(DILUTION, "Draws", "100 000 draws").await;

            // Nonsense for a seed is explained, and the box keeps it.
            page.fill(DILUTION, "Seed", "seven").await;
            let run = format!("Run the Monte Carlo: {TARGET}");
            let again = format!("Run it again: {TARGET}");
            page.push(Way::Back, DILUTION, &run).await;
            page.says(
                "p",
                "The seed is a whole number from 0 to 4294967295. Empty it for a new one.",
            )
            .await;
            page.go(Way::On, DILUTION, "Seed").await;
            page.chord(Key::Control, 'a').await;
            page.press("7").await;
            page.push(Way::Back, DILUTION, &run).await;
            let seven = page.drawn(TARGET).await;
            assert_eq!(page.focus().await.name, again, "the focus stays");

            // 5.00 · 0.850/1.80 = 2.3611 mol/L; u = 2.3611 · √(0.01² + (0.001/0.850)²) = 0.023774 mol/L. The mean of
            // 100 000 draws is within 4u/√N, their u within 4u/√(2N).
            let number = |row: usize, unit: &str| -> f64 {
                let text = seven[row].1.replace([' ', '\u{202F}'], "");
                text.strip_suffix(unit).unwrap().parse().unwrap()
            };
            assert_eq!(seven[0].0, "Value");
            assert!((number(0, "mol/L") - 2.3611).abs() < 4e-4, "{seven:?}");
            assert_eq!(seven[1].0, "Standard uncertainty");
            assert!((number(1, "mol/L") - 0.023774).abs() < 3e-4, "{seven:?}");
            assert_eq!(seven[1].2.replace('\u{202F}', " "), "0.0238 mol/L");
            page.says_in("First order is valid", TARGET).await;
            page.says_in("100 000 draws, seed 7", TARGET).await;

            // Another seed gives other draws, the same seed the same again.
            page.go(Way::On, DILUTION, "Seed").await;
            page.chord(Key::Control, 'a').await;
            page.press("8").await;
            page.push(Way::Back, DILUTION, &again).await;
            page.says_in("100 000 draws, seed 8", TARGET).await;
            assert_ne!(page.drawn(TARGET).await, seven, "another seed");
            page.go(Way::On, DILUTION, "Seed").await;
            page.chord(Key::Control, 'a').await;
            page.press("7").await;
            page.push(Way::Back, DILUTION, &again).await;
            page.says_in("100 000 draws, seed 7", TARGET).await;
            assert_eq!(page.drawn(TARGET).await, seven, "the same seed");

            page.kept().await;
            page.reload().await;
            page.open_details("k = 2").await;
            assert_eq!(page.drawn(TARGET).await, seven, "after loading again");

            // It belongs to the entries as they were.
            page.retype(DILUTION, "Final volume", "1.90 L").await;
            page.says(
                "p",
                "The entries were changed after this run. Run it again.",
            )
            .await;
            page.click("Undo").await;
            page.gone("The entries were changed after this run.").await;

            page.record().await;
            page.says_somewhere("Monte Carlo, 100 000 draws, seed 7: mean 2.36")
                .await;
        },
    );
}

#[test]
fn a_long_run_leaves_the_page_usable_and_can_be_cancelled() {
    journey("monte-carlo-cancel", async |page| {
        page.demo().await;
        let card = page.opened().await;
        let result = page.card(&card).await.results[0].0.clone();
        page.open_details("k = ").await;
        page.click_at(&format!(
            "{}//option[normalize-space()='10 000 000 draws']",
            section(&result)
        ))
        .await;
        page.click(&format!("Run the Monte Carlo: {result}")).await;
        page.says_in("draws", &result).await;
        until("some draws", async || {
            let script = "return document.querySelector('.monte-carlo progress')?.value ?? 0;";
            (page.ask::<f64>(script).await > 0.0).then_some(())
        })
        .await;
        // While it runs, an entry is changed and what follows is there.
        page.retype(&card, "Measured density of the ink", "1.150")
            .await;
        assert_eq!(
            page.card(&card).await.entry("Measured density of the ink"),
            "1.150"
        );
        page.click(&format!("Cancel the run: {result}")).await;
        until("the run to be gone", async || {
            let script = "return document.querySelector('.monte-carlo progress') === null;";
            page.ask::<bool>(script).await.then_some(())
        })
        .await;
        let kept: bool = page
            .ask("return document.querySelector('.monte-carlo table') !== null;")
            .await;
        assert!(!kept, "a cancelled run gives nothing");
        assert!(page.enabled("Run the Monte Carlo").await);
    });
}

#[test]
fn a_weak_first_order_is_said_and_the_run_agrees_by_touch() {
    journey("monte-carlo-touch", async |page| {
        page.begin(DILUTION).await;
        page.be_a_tablet().await;
        page.touch_entry(DILUTION, "Stock concentration", "2.00 mol/L")
            .await;
        page.touch_entry(DILUTION, TARGET, "0.100 mol/L").await;
        page.touch_entry(DILUTION, "Final volume", "500 ± 10 mL")
            .await;
        page.tap("//button[@aria-label='Uncertainty of Final volume']")
            .await;
        page.pick("Final volume", "The ± is", "limit, rectangular")
            .await;
        // One limit alone: the result is rectangular, which k = 2 does not cover (JCGM 101:2008, 9.2.4).
        page.says_somewhere("First order is weak here: one limit makes up 100 % of the variance")
            .await;
        page.tap("//details[@class='budget']/summary").await;
        let result = "Aliquot of stock";
        let seed = format!(
            "{}//label[starts-with(normalize-space(), 'Seed')]/input",
            section(result)
        );
        page.touch_box(&seed, "7").await;
        page.tap(&format!(
            "//button[@aria-label='Run the Monte Carlo: {result}']"
        ))
        .await;
        page.says_in("First order is not valid", result).await;
        let rows = page.drawn(result).await;
        // 25 mL · 10/500 = 0.5 mL; the interval of a rectangle holds 95 % within ±0.475 mL, k = 2 says ±0.577 mL. Its
        // ends are drawn to 0.0006 mL.
        let ends: Vec<f64> = rows[2]
            .1
            .split_whitespace()
            .filter_map(|word| word.parse().ok())
            .collect();
        assert!(
            (ends[0] - 24.525).abs() < 0.002 && (ends[1] - 25.475).abs() < 0.002,
            "{rows:?}"
        );
        for (width, height) in [(390, 844), (320, 844), (820, 1180), (1440, 900)] {
            page.fits(width, height).await;
        }
        page.bring_axe().await;
        page.keeps_nobody_out("the Monte Carlo").await;
    });
}

fn section(result: &str) -> String {
    format!("//section[@aria-label='Monte Carlo of {result}']")
}

impl Page {
    /// Waits for the outcome of a run, and reads its table.
    async fn drawn(&self, result: &str) -> Rows {
        let script = "
            const section = document.querySelector(`section[aria-label='Monte Carlo of ${arguments[0]}']`);
            if (!section || section.querySelector('progress')) return null;
            const rows = [...section.querySelectorAll('tbody tr')];
            return rows.length ? rows.map(row => [...row.children].map(cell => cell.textContent)) : null;
        ";
        until("the outcome of the run", async || {
            self.ask_with::<Option<Rows>>(script, vec![json!(result)])
                .await
        })
        .await
    }

    /// Waits until the Monte Carlo of this result says this, among other things.
    async fn says_in(&self, words: &str, result: &str) {
        let script = "
            const section = document.querySelector(`section[aria-label='Monte Carlo of ${arguments[1]}']`);
            return section?.textContent.replaceAll('\\u202F', ' ').includes(arguments[0]) ?? false;
        ";
        until(&format!("“{words}”"), async || {
            self.ask_with::<bool>(script, vec![json!(words), json!(result)])
                .await
                .then_some(())
        })
        .await;
    }

    /// Waits until the page says this, among other things.
    async fn says_somewhere(&self, words: &str) {
        until(&format!("“{words}”"), async || {
            self.has_words(words).await.then_some(())
        })
        .await;
    }

    /// Waits until the page does not say this any more.
    async fn gone(&self, words: &str) {
        until(&format!("“{words}” to be gone"), async || {
            (!self.has_words(words).await).then_some(())
        })
        .await;
    }

    async fn has_words(&self, words: &str) -> bool {
        let script = "return tidy(document.body.innerText.replaceAll('\\u202F', ' ')).includes(arguments[0]);";
        self.ask_with(script, vec![json!(words)]).await
    }
}
