//! The whole chain by touch alone, on a tablet held upright: taps, a drag, and text from the keyboard on the screen.

use serde_json::json;
use thirtyfour::prelude::*;

use crate::journey;
use crate::page::Page;
use crate::wait::until;

#[test]
fn a_tablet_is_enough_for_the_whole_chain() {
    journey("touch", async |page| {
        page.be_a_tablet().await;
        page.tap("//a[normalize-space()='New run sheet']").await;
        page.says("h2", "Begin a run sheet").await;
        page.tap("//a[starts-with(normalize-space(), 'The whole chain')]")
            .await;
        let first = page.opened().await;
        let titles = page.titles().await;
        assert_eq!(titles[0], first);
        page.touch_box("//input[@id='sheet-title']", "Nickel oxide, trial 8")
            .await;

        for (entry, text) in [
            ("Target mass fraction", "9.5 %"),
            ("Final mass", "25.0"),
            ("Mass actually weighed", "2,3915 g"),
            ("Mass of solvent actually added", "22.54 ± 0.02"),
            ("Density of the solute", "6.67"),
            ("Density of the solvent", "0.987 ± 0.003"),
        ] {
            page.touch_entry("Solution", entry, text).await;
        }
        page.walk_to("Thickness from passes").await;
        for (entry, text) in [
            ("Passes", "5"),
            ("Drop volume", "24(1)"),
            ("Pitch along the print direction", "40"),
            ("Pitch across the print direction", "35"),
            ("Porosity of the fired film", "48"),
            ("Film area", "0.49 ± 0.01"),
        ] {
            page.touch_entry("Thickness from passes", entry, text).await;
        }
        page.walk_to("Spacer gap").await;
        for (entry, text) in [
            ("Window width", "9.0"),
            ("Window length", "11.0"),
            ("Spacer thickness before pressing", "50"),
            ("Spacer thickness after pressing", "42(2)"),
        ] {
            page.touch_entry("Spacer gap", entry, text).await;
        }
        // The last card, and back through the strip.
        let last = titles.last().unwrap();
        page.walk_to(last).await;
        page.tap_step("Thickness from passes").await;
        for (card, result) in [
            ("Solution", "Volume fraction of solute"),
            ("Thickness from passes", "Film thickness"),
            ("Spacer gap", "Volume to prepare"),
        ] {
            page.tap_step(card).await;
            let card = page.in_hand().await.unwrap();
            assert!(card.result(result).contains('±'), "{card:?}");
        }

        // The grip of the first card, held over the third.
        page.drag(0, 2).await;
        let mut expected = titles.clone();
        let moved = expected.remove(0);
        expected.insert(2, moved);
        page.order(&expected).await;
        // And back by the buttons on the card. Of the first tap after a drag Chromium at times makes no click, here and
        // on its own, with whatever pause between them; why is not known. So something else is tapped first.
        page.tap("//p[normalize-space()='Saved on this device']")
            .await;
        page.tap_step(&first).await;
        for _ in 0..2 {
            page.tap(&format!("//button[@aria-label='Move earlier: {first}']"))
                .await;
        }
        page.order(&titles).await;

        page.kept().await;
        page.tap("//a[normalize-space()='Record']").await;
        page.says("h2", "Print or export").await;
        let paper: String = page
            .ask("return document.querySelector('main').innerText;")
            .await;
        for words in ["Nickel oxide, trial 8", "2,3915", "24(1)", "42(2)"] {
            assert!(paper.contains(words), "the record misses {words}");
        }
    });
}

impl Page {
    /// A tablet of 820 × 1180 that is held upright and touched.
    pub(crate) async fn be_a_tablet(&self) {
        let screen = json!({
            "width": 820, "height": 1180, "deviceScaleFactor": 1, "mobile": true,
            "screenOrientation": { "type": "portraitPrimary", "angle": 0 },
        });
        self.command("Emulation.setDeviceMetricsOverride", screen)
            .await;
        let touch = json!({ "enabled": true, "maxTouchPoints": 5 });
        self.command("Emulation.setTouchEmulationEnabled", touch)
            .await;
    }

    /// The middle of what stands at this path first, which is brought into view, once it rests there.
    async fn middle(&self, path: &str) -> [f64; 2] {
        self.browser.query(By::XPath(path)).first().await.unwrap();
        let script = "
            const path = arguments[0];
            const element = document.evaluate(path, document, null, XPathResult.FIRST_ORDERED_NODE_TYPE).singleNodeValue;
            element.scrollIntoView({ block: 'center', inline: 'center', behavior: 'instant' });
            const { left, top, width, height } = element.getBoundingClientRect();
            const middle = [left + width / 2, top + height / 2];
            return element.contains(document.elementFromPoint(...middle)) ? middle : null;
        ";
        let mut before = None;
        until(&format!("{path} to rest in sight"), async || {
            let now: Option<[f64; 2]> = self.ask_with(script, vec![json!(path)]).await;
            let rests = now.is_some() && before == now;
            before = now;
            now.filter(|_| rests)
        })
        .await
    }

    async fn touch(&self, kind: &str, points: &[[f64; 2]]) {
        let points: Vec<_> = points
            .iter()
            .map(|[x, y]| json!({ "x": x, "y": y, "id": 1 }))
            .collect();
        let touch = json!({ "type": kind, "touchPoints": points });
        self.command("Input.dispatchTouchEvent", touch).await;
    }

    /// Taps what stands at this path first.
    pub(crate) async fn tap(&self, path: &str) {
        let middle = self.middle(path).await;
        self.touch("touchStart", &[middle]).await;
        self.touch("touchEnd", &[]).await;
    }

    /// Taps a card in the strip, and waits until it is in hand.
    async fn tap_step(&self, title: &str) {
        self.tap(&format!(
            "//nav//button[span/span[normalize-space()='{title}']]"
        ))
        .await;
        self.has_in_hand(title).await;
    }

    /// Goes on by the foot of the cards until the card with this title is in hand.
    async fn walk_to(&self, title: &str) {
        loop {
            let next: Option<String> = self
                .ask("return document.querySelector('.card-foot .way:last-of-type > :last-child')?.textContent ?? null;")
                .await;
            let next = next.unwrap();
            self.tap("//button[span='Next']").await;
            self.has_in_hand(&next).await;
            if next == title {
                return;
            }
        }
    }

    async fn has_in_hand(&self, title: &str) {
        until(&format!("“{title}” in hand"), async || {
            let card = self.in_hand().await;
            card.is_some_and(|card| card.title == title).then_some(())
        })
        .await;
    }

    /// Taps a box and writes into it with the keyboard on the screen.
    pub(crate) async fn touch_box(&self, path: &str, text: &str) {
        self.tap(path).await;
        let script = "
            const path = arguments[0];
            const element = document.evaluate(path, document, null, XPathResult.FIRST_ORDERED_NODE_TYPE).singleNodeValue;
            return document.activeElement === element ? element.value : null;
        ";
        let read = async || -> Option<String> { self.ask_with(script, vec![json!(path)]).await };
        until(&format!("the focus on {path}"), read).await;
        self.command("Input.insertText", json!({ "text": text }))
            .await;
        let written = async || read().await.filter(|value| value == text);
        until(&format!("“{text}” in {path}"), written).await;
    }

    /// Writes into an entry of the card in hand.
    pub(crate) async fn touch_entry(&self, card: &str, entry: &str, text: &str) {
        self.has_in_hand(card).await;
        let script = "
            const boxes = [...document.querySelectorAll('main.hand .entries input[type=text]')];
            return boxes.find(box => nameOf(box).startsWith(arguments[0]))?.id ?? null;
        ";
        let id: Option<String> = self.ask_with(script, vec![json!(entry)]).await;
        let Some(id) = id else {
            panic!("“{card}” has no box {entry}");
        };
        self.touch_box(&format!("//input[@id='{id}']"), text).await;
    }

    /// Drags a card of the strip by its grip to where another one is.
    async fn drag(&self, from: usize, to: usize) {
        // Both are in sight: the strip shows some cards at once.
        let [x, y] = self
            .middle(&format!("//nav//li[@data-position='{from}']/span"))
            .await;
        let target: [f64; 2] = self
            .ask_with(
                "
                const item = document.querySelector(`.strip li[data-position='${arguments[0]}']`);
                const { left, top, width, height } = item.getBoundingClientRect();
                return [Math.min(left + width / 2, innerWidth - 8), top + height / 2];
                ",
                vec![json!(to)],
            )
            .await;
        self.touch("touchStart", &[[x, y]]).await;
        for step in 1..=8 {
            let part = f64::from(step) / 8.0;
            let point = [x + (target[0] - x) * part, y + (target[1] - y) * part];
            self.touch("touchMove", &[point]).await;
        }
        self.touch("touchEnd", &[]).await;
    }

    /// Waits until the cards stand in this order.
    async fn order(&self, titles: &[String]) {
        until(&format!("the order {titles:?}"), async || {
            (self.titles().await == titles).then_some(())
        })
        .await;
    }
}
