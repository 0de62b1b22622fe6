//! Two processes: their curves pasted, which is better, by how much, how sure, and why; and all of it in the record.
//! The points are computed here from a diode equation; they are no measurement.

use glasswick_core::scalar::Scalar;
use thirtyfour::Key;

use crate::command::{evaluate, same_results};
use crate::exchange::evaluate_to_the_same;
use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

const CELL: &str = "Cell efficiency";
const COMPARED: &str = "Processes compared";
const SHARES: &str = "Shares of the shortfall";

/// Points of a cell in V and mA, with a photocurrent and a series resistance.
fn points(photocurrent: f64, series: f64) -> String {
    let current = |volts: f64| {
        // I = Iph − I0·(exp((V + I·Rs)/a) − 1), by halving.
        let (mut low, mut high) = (-20.0, photocurrent);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            let inside: f64 = (volts + middle * 1e-3 * series) / 0.048;
            if photocurrent - 1e-5 * Scalar::exp_m1(inside) > middle {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    };
    let row = |step: i32| {
        let volts = f64::from(step) * 0.02;
        format!("{volts:.2}\t{:.4}", current(volts))
    };
    let rows: Vec<String> = (-2..=33).map(row).collect();
    format!("U/V\tI/mA\n{}", rows.join("\n"))
}

impl Page {
    /// What the checks of the card in hand say.
    async fn checks(&self) -> String {
        self.ask("return tidy(document.querySelector('.checks')?.textContent ?? '').replaceAll('\\u202F', ' ');")
            .await
    }

    /// Links an entry to a number of one of several cards.
    async fn link_to(&self, card: &str, entry: &str, output: &str, from: &str) {
        let button = format!("Link {entry} to another card");
        self.push(Way::On, card, &button).await;
        self.dialog(&format!("Link {entry}")).await;
        self.click_at(&format!(
            "//dialog//button[span[.='{output}'] and span[contains(., 'found on “{from}”')]]"
        ))
        .await;
        let on_it = async || (self.focus().await.card == card).then_some(());
        until(&format!("the focus back on {card}"), on_it).await;
    }

    /// Names the card in hand.
    async fn name_card(&self, from: &str, title: &str) {
        self.take(from).await;
        self.click_at("//main//input[@aria-label='Card title']")
            .await;
        self.chord(Key::Control, 'a').await;
        self.press(title).await;
    }
}

#[test]
fn two_processes_are_pasted_compared_and_explained_in_the_record() {
    journey("two-processes", async |page| {
        page.begin(CELL).await;
        let cells = [
            ("Dried slowly, tile 1", 3.00, 20.0),
            ("Dried slowly, tile 2", 3.10, 22.0),
            ("Dried quickly, tile 3", 2.50, 30.0),
            ("Dried quickly, tile 4", 2.56, 31.0),
        ];
        for (position, (title, photocurrent, series)) in cells.into_iter().enumerate() {
            let now = if position == 0 {
                page.name_card(CELL, title).await;
                page.retype(title, "Illuminated area", "0.25").await;
                title.to_owned()
            } else {
                // Another card like the one before: area and lamp stay, the points are asked for anew.
                let before = cells[position - 1].0;
                page.click(&format!("Another like it: {before}")).await;
                let new = until("the new card", async || {
                    let card = page.in_hand().await?;
                    (card.title != before).then_some(card.title)
                })
                .await;
                page.name_card(&new, title).await;
                title.to_owned()
            };
            page.paste_over(&now, "Voltage and current", &points(photocurrent, series))
                .await;
            until("an efficiency", async || {
                let card = page.in_hand().await?;
                card.results.first()?.1.contains('%').then_some(())
            })
            .await;
        }

        page.add_card(COMPARED).await;
        for (position, (title, ..)) in cells.into_iter().enumerate() {
            let way = if position > 0 {
                page.push(Way::On, COMPARED, "Add a row").await;
                Way::Back
            } else {
                Way::On
            };
            let (process, tile) = title.split_once(", ").unwrap();
            page.go(way, COMPARED, "Process").await;
            page.press(process).await;
            page.fill(COMPARED, "Substrate", tile).await;
            page.link_to(COMPARED, "Efficiency", "Efficiency", title)
                .await;
        }
        let verdict = until("which is better", async || {
            let said = page.checks().await;
            said.contains("Efficiency is higher with “Dried slowly”")
                .then_some(said)
        })
        .await;
        assert!(verdict.contains("95 % interval"), "{verdict}");

        page.add_card(SHARES).await;
        for (side, cell) in [("First", 0), ("Second", 2)] {
            for (entry, output) in [
                ("Jsc", "Short-circuit current density"),
                ("Voc", "Open-circuit voltage"),
                ("fill factor", "Fill factor"),
            ] {
                let entry = format!("{side}: {entry}");
                page.link_to(SHARES, &entry, output, cells[cell].0).await;
            }
        }
        let why = until("why", async || {
            let said = page.checks().await;
            said.contains("What weighs most").then_some(said)
        })
        .await;
        assert!(why.contains("the current"), "{why}");

        let cards = page.cards().await;
        page.kept().await;
        let sheet = page.export("Export").await;
        page.record().await;
        let record: String = page
            .ask("return tidy(document.querySelector('main').textContent).replaceAll('\\u202F', ' ');")
            .await;
        for words in [
            "Efficiency is higher with “Dried slowly”",
            "What weighs most",
        ] {
            assert!(record.contains(words), "“{words}” is not in the record");
        }
        let figures: usize = page
            .ask("return document.querySelectorAll('main figure.curve svg[role=img]').length;")
            .await;
        assert!(figures >= 7, "{figures} figures in the record");
        let file = page.export("Export the record").await;
        evaluate_to_the_same(&cards, &sheet, &file);
    });
}

#[test]
fn the_invented_cells_of_two_processes_are_ready() {
    journey("two-processes-demo", async |page| {
        page.follow("New run sheet").await;
        page.follow("Two processes compared").await;
        page.opened().await;
        let cards = page.cards().await;
        for card in &cards {
            assert!(
                !["waiting", "stopped"].contains(&card.standing.as_str()),
                "“{}” is {}",
                card.title,
                card.standing
            );
        }
        let file = xtask::root().join("demo-data/two-firings.json");
        same_results(&cards, &evaluate(&file));
        page.take("Which firing is better").await;
        let marks: [usize; 3] = page
            .ask(
                "const count = what => document.querySelectorAll(`figure.curve svg[role=img] ${what}:not(.key *)`).length;
                 return [count('.cell'), count('.cell.left-out'), count('.curve-line')];",
            )
            .await;
        assert_eq!(
            marks,
            [12, 1, 12],
            "every cell, the one left out, every curve"
        );
        page.bring_axe().await;
        page.keeps_nobody_out("cells of two processes").await;
        page.take("Where the difference comes from").await;
        page.keeps_nobody_out("shares of the shortfall").await;
        page.take("Fit: fired once").await;
        page.keeps_nobody_out("a fitted curve").await;
    });
}
