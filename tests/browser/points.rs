//! Measured points as people have them: pasted, loaded and dropped; what was understood, what is asked, what is left out.

use std::fs;
use std::path::Path;

use glasswick_core::scalar::Scalar;
use serde_json::json;
use thirtyfour::{By, Key};

use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

const CARD: &str = "Cell efficiency";
const POINTS: &str = "Voltage and current";

/// Forward and reverse in one file, as a German-speaking instrument writes it: U and I with decimal commas, semicolons,
/// current of the cell counted negative, and one reading over range.
fn both_ways() -> String {
    let row = |step: i32, excess: f64| {
        let volts = f64::from(step) * 0.05;
        let milliamps = -(8.0 - 0.02 * f64::from(step) - excess * Scalar::exp_m1(volts / 0.055));
        format!("{volts:.3};{milliamps:.4}").replace('.', ",")
    };
    let mut lines = vec![
        "Zelle 7".to_owned(),
        String::new(),
        "U (V);I (mA)".to_owned(),
    ];
    lines.extend((-2..=16).map(|step| row(step, 1e-5)));
    lines.push("0,850;overload".into());
    lines.extend((-2..=16).rev().map(|step| row(step, 1.2e-5)));
    lines.join("\r\n") + "\r\n"
}

impl Page {
    /// What is said of the reading of the points.
    async fn understood(&self, words: &str) {
        let script = "return tidy(document.querySelector('.understood')?.textContent ?? '').replaceAll('\\u202F', ' ');";
        until(&format!("“{words}”"), async || {
            self.ask::<String>(script)
                .await
                .contains(words)
                .then_some(())
        })
        .await;
    }

    /// Waits until a question about the points contains these words.
    async fn asked(&self, words: &str) {
        until(&format!("“{words}”"), async || {
            let said = self.said_at(CARD, POINTS).await;
            said.description.contains(words).then_some(())
        })
        .await;
    }

    /// Chooses a file at the button beside the points.
    async fn load(&self, file: &Path) {
        let path = "//label[normalize-space()='Load a file']/input[@type='file']";
        let button = self.browser.find(By::XPath(path)).await.unwrap();
        button.send_keys(file.to_str().unwrap()).await.unwrap();
    }
}

#[test]
fn two_sweeps_in_one_text_are_asked_about_and_a_bad_line_is_listed() {
    journey("points-asked", async |page| {
        page.begin(CARD).await;
        // The clipboard gives lines as the box keeps them.
        let text = both_ways().replace("\r\n", "\n");
        page.paste(CARD, POINTS, &text).await;
        page.asked("2 sweeps").await;
        page.bring_axe().await;
        page.keeps_nobody_out("a question about points").await;
        page.go(Way::On, CARD, "Sweep 2, falling from 0.8\u{202F}V")
            .await;
        page.press(" ").await;
        page.understood("19 points from 42 lines, separated by semicolons; decimal mark: comma.")
            .await;
        page.understood("Voltage: column 1, “U (V)”, in V as its head says.")
            .await;
        page.understood("Falling, from 0.8 V to −0.1 V. At 0 V the current is −8 mA.")
            .await;
        page.understood("Line 23, “0,850;overload”").await;

        // Corrected by hand, and found out again.
        page.open_details("Correct how it is read").await;
        page.go(Way::On, CARD, "Part that is used").await;
        page.press(Key::Up).await;
        page.understood("Rising, from −0.1 V to 0.8 V.").await;
        page.push(Way::On, CARD, "Find everything out again").await;
        page.asked("2 sweeps").await;
        page.push(Way::Back, CARD, "Sweep 1, rising").await;
        page.understood("Rising").await;

        // It is kept, and stands in the record.
        page.fill(CARD, "Illuminated area", "0.50").await;
        page.kept().await;
        page.reload().await;
        page.understood("Rising, from −0.1 V to 0.8 V.").await;
        page.record().await;
        let record: String = page
            .ask("return tidy(document.querySelector('main').textContent).replaceAll('\\u202F', ' ');")
            .await;
        for words in [
            "19 points from 42 lines",
            "1 line is left out of “Voltage and current”: line 23, “0,850;overload”",
            "Rising, from −0.1 V to 0.8 V.",
        ] {
            assert!(
                record.contains(words),
                "“{words}” is not in the record: {record}"
            );
        }
    });
}

#[test]
fn files_are_loaded_and_dropped_in_the_encodings_that_people_have() {
    journey("points-files", async |page| {
        page.begin(CARD).await;
        let one_way = both_ways();
        let one_way: String = one_way
            .lines()
            .take(22)
            .map(|line| line.replace("(mA)", "/ µA") + "\r\n")
            .collect();
        let wide: Vec<u8> = [0xff, 0xfe]
            .into_iter()
            .chain(one_way.encode_utf16().flat_map(u16::to_le_bytes))
            .collect();
        let latin: Vec<u8> = one_way.chars().map(|c| u8::try_from(c).unwrap()).collect();
        for (name, bytes) in [("wide.csv", wide), ("latin.txt", latin)] {
            let file = page.downloads.with_file_name(name);
            fs::write(&file, bytes).unwrap();
            page.load(&file).await;
            page.understood("Current: column 2, “I / µA”, in µA as its head says.")
                .await;
            page.understood("19 points from 22 lines").await;
        }
        // Another text takes the place of the first, dropped onto the box.
        let script = "
            const data = new DataTransfer();
            data.items.add(new File([arguments[0]], 'dropped.dat'));
            const box = document.querySelector('textarea.points');
            for (const type of ['dragover', 'drop'])
                box.dispatchEvent(new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }));
        ";
        let dropped = "V\tmA\n0\t3\n0.2\t2.9\n0.4\t2.5\n0.5\t1.5\n0.6\t-1\n";
        page.ask_with::<()>(script, vec![json!(dropped)]).await;
        page.understood("5 points from 6 lines, separated by tabs")
            .await;
        page.bring_axe().await;
        page.keeps_nobody_out("points that were dropped").await;
    });
}

#[test]
fn nonsense_in_the_place_of_points_is_explained_and_kept() {
    journey("points-nonsense", async |page| {
        page.begin(CARD).await;
        for (nonsense, words) in [
            ("{\"format\": 3}", "numbers"),
            ("<script>alert(1)</script>", "numbers"),
            ("1\n2\n3", "column"),
            ("NaN NaN\nInfinity 1", "numbers"),
        ] {
            page.paste_over(CARD, POINTS, nonsense).await;
            page.asked(words).await;
        }
        // 100 001 points: refused with a way out, and the page goes on.
        let many: String = (0..=100_000).map(|row| format!("{row} 1\n")).collect();
        let script = "
            const box = document.querySelector('textarea.points');
            box.value = arguments[0];
            box.dispatchEvent(new InputEvent('input', { bubbles: true }));
        ";
        page.ask_with::<()>(script, vec![json!(many)]).await;
        page.asked("100").await;
    });
}
