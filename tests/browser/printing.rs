//! Printing on the page: the map of an ink, passes with their band, and a step height from a pasted profile.

use serde::Deserialize;

use crate::journey;
use crate::page::Page;
use crate::wait::until;

/// How many of each sort of mark a card's figures have.
#[derive(Debug, Deserialize, PartialEq)]
struct Marks {
    lines: usize,
    limits: usize,
    marks: usize,
    ellipses: usize,
}

impl Page {
    async fn marks(&self) -> Marks {
        let script = "
            const count = what => document.querySelectorAll(`.results .curve svg[role=img] ${what}:not(.key *)`).length;
            return { lines: count('.curve-line'), limits: count('.curve-limit'), marks: count('.curve-mark'),
                ellipses: count('.map-ellipse[d]:not([d=\"\"])') };
        ";
        self.ask(script).await
    }
}

#[test]
fn an_ink_stands_on_its_map_with_its_ellipse() {
    const JETTING: &str = "Jetting";
    journey("jetting", async |page| {
        page.begin(JETTING).await;
        for (entry, text) in [
            ("Density of the ink", "1.05(1)"),
            ("Viscosity", "10.0 ± 0.5"),
            ("Surface tension", "35 ± 1"),
            ("Nozzle diameter", "30"),
            ("Drop velocity", "6.0 ± 0.3"),
        ] {
            page.fill(JETTING, entry, text).await;
        }
        // Z = √(ρ·γ·d)/η = √(1050·0.035·30e-6)/0.010 = 3.32; Re = ρ·v·d/η = 18.9.
        until("Z and Re", async || {
            let card = page.in_hand().await?;
            let starts = |name: &str, text: &str| {
                card.results
                    .iter()
                    .any(|(title, printed)| title == name && printed.starts_with(text))
            };
            (starts("Z = 1/Oh", "3.32") && starts("Reynolds number", "18.9")).then_some(())
        })
        .await;
        let marks = page.marks().await;
        assert_eq!(
            marks,
            Marks {
                lines: 0,
                limits: 2,
                marks: 1,
                ellipses: 1
            },
            "two borders, this ink, its ellipse"
        );
        page.bring_axe().await;
        page.keeps_nobody_out("the map of an ink").await;
    });
}

#[test]
fn passes_are_drawn_with_pairs_line_and_bands_in_one_figure() {
    journey("passes-figure", async |page| {
        page.demo().await;
        let gauge = "Thickness measured on test strips";
        page.take(gauge).await;
        let marks = page.marks().await;
        // Five pairs on the line and five residuals; two limits of the line and two of one film.
        assert_eq!(
            marks,
            Marks {
                lines: 1,
                limits: 4,
                marks: 10,
                ellipses: 0
            }
        );
        let said: String = page
            .ask("return tidy(document.querySelector('.checks').textContent).replaceAll('\\u202F', ' ');")
            .await;
        assert!(
            said.contains(
                "Print 8 passes, expect (8.27 ± 0.34) µm (k = 2), 92 % inside 8 µm ± 0.5 µm."
            ),
            "{said}"
        );
    });
}

#[test]
fn a_step_height_comes_from_a_pasted_profile() {
    const STEP: &str = "Step height";
    journey("step-height", async |page| {
        page.begin(STEP).await;
        // A step of 500 nm between 30 µm and 60 µm, on a tilt of 2 nm/µm, with ±1 nm in turn.
        let reading = |position: u32| {
            let step = if (30..=60).contains(&position) {
                500
            } else {
                0
            };
            let noise = if position.is_multiple_of(2) { 1 } else { -1 };
            format!("{position}\t{}", step + 2 * i64::from(position) + noise)
        };
        let profile: Vec<String> = (0..=90).map(reading).collect();
        page.paste(STEP, "Profile", &profile.join("\n")).await;
        until("the height", async || {
            let card = page.in_hand().await?;
            let (_, height) = card.results.first()?;
            let number = height.strip_suffix("µm")?.split('±').next()?;
            let number: String = number
                .chars()
                .filter(|c| c.is_ascii_digit() || *c == '.')
                .collect();
            ((number.parse::<f64>().ok()? - 0.5).abs() < 0.001).then_some(())
        })
        .await;
        assert_eq!(page.marks().await.lines, 1, "the profile is drawn");
    });
}
