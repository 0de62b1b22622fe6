//! Figures: read by keyboard, mouse and finger, saved as pictures, with their numbers behind them.

use std::fs;

use serde_json::json;
use thirtyfour::Key;

use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;
use crate::wait::until;

/// A card of the demo that draws a curve.
const CELL: &str = "Tile 4, forward sweep";
const FIGURE: &str = "Current density against voltage";

impl Page {
    /// What is said of the place that is read.
    async fn read_at(&self) -> String {
        self.ask(
            "return tidy(document.querySelector('figure.curve .reading p').textContent).replaceAll('\\u202F', ' ');",
        )
        .await
    }
}

#[test]
fn a_curve_is_read_by_keyboard_and_by_pointer() {
    journey("figure-read", async |page| {
        page.demo().await;
        page.take(CELL).await;
        page.says("p", "Touch the figure or move the slider to read it.")
            .await;
        page.go(Way::On, CELL, &format!("Place to read on {FIGURE}"))
            .await;
        page.press(Key::Home + "").await;
        let first = until("the first point", async || {
            Some(page.read_at().await).filter(|said| said.starts_with("At voltage"))
        })
        .await;
        page.press(Key::Right + "").await;
        let second = until("the second point", async || {
            Some(page.read_at().await).filter(|said| *said != first)
        })
        .await;
        // What is read stands in the table of the same curve.
        page.open_details(&format!("Numbers of “{FIGURE}”")).await;
        let rows: Vec<[f64; 2]> = page
            .ask(
                "return [...document.querySelectorAll('figure.curve tbody tr')].map(row =>
                    [...row.cells].map(cell => Number(cell.textContent.replace('\\u2212', '-').replace(/[^-0-9.e]/g, ''))));",
            )
            .await;
        let numbers = |said: &str| -> Vec<f64> {
            said.replace('\u{2212}', "-")
                .split([' ', ';', ':'])
                .filter_map(|word| word.parse().ok())
                .collect()
        };
        for (said, row) in [(&first, rows[0]), (&second, rows[1])] {
            let read = numbers(said);
            assert!(
                (read[0] - row[0]).abs() < 1e-4 && (read[1] - row[1]).abs() < 2e-3,
                "{said}: {row:?}"
            );
        }
        // A finger on the middle of the figure reads there.
        page.ask_with::<()>(
            "const svg = document.querySelector('figure.curve svg[role=img]'), place = svg.getBoundingClientRect();
             svg.dispatchEvent(new PointerEvent('pointerdown', { bubbles: true, pointerType: 'touch',
                clientX: place.left + arguments[0] * place.width, clientY: place.top + 20 }));",
            vec![json!(0.6)],
        )
        .await;
        until("another place", async || {
            let said = page.read_at().await;
            (said != first && said != second).then_some(())
        })
        .await;
        page.bring_axe().await;
        page.keeps_nobody_out("a figure that is read").await;
    });
}

#[test]
fn a_figure_is_saved_as_a_drawing_and_as_picture_elements() {
    journey("figure-saved", async |page| {
        page.demo().await;
        page.take(CELL).await;
        // In low light too, a picture is dark on white.
        page.ask::<()>("document.documentElement.dataset.look = 'low';")
            .await;
        let save = async |format: &str| {
            page.saved_file(async || {
                let name = format!("Save as {format}: {FIGURE}");
                page.click_at(&format!("//button[@aria-label='{name}']"))
                    .await;
            })
            .await
        };
        let svg = save("SVG").await;
        assert_eq!(
            svg.file_name().unwrap(),
            "tile-4-forward-sweep-current-density-against-voltage.svg"
        );
        let drawing = fs::read_to_string(svg).unwrap();
        assert!(
            drawing.starts_with(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"480\" height=\"418\""
            ),
            "{drawing}"
        );
        assert!(
            drawing.contains("class=\"curve-line\"") && drawing.contains("d=\"M"),
            "the curve"
        );
        assert!(
            drawing.contains(">Current density against voltage</text>"),
            "its title"
        );
        assert!(drawing.contains("stroke: #15171a"), "dark lines");
        assert!(
            !drawing.contains("var("),
            "no name that only the page knows"
        );
        let png = fs::read(save("PNG").await).unwrap();
        assert_eq!(png[..8], *b"\x89PNG\r\n\x1a\n");
        // Width and height stand at the head of a PNG.
        assert_eq!(png[16..24], [0, 0, 5, 160, 0, 0, 4, 230], "1440 by 1254");
        assert!(
            png.len() > 10_000,
            "{} bytes: something is drawn",
            png.len()
        );
        page.says("p", "The picture is among the downloads.").await;
    });
}
