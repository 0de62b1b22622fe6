//! The main job, by keyboard alone: five linked cards from an empty run sheet, kept, exported, evaluated natively.
//! All numbers are invented.

use std::fs;

use crate::exchange::evaluate_to_the_same;
use crate::journey;
use crate::keyboard::Way;
use crate::page::Page;

const INK: &str = "Solution";
const FILM: &str = "Thickness from passes";
const BATH: &str = "Dye bath";
const GAP: &str = "Spacer gap";
const CELL: &str = "Cell efficiency";

/// Current in mA over voltage in V.
const SWEEP: &str = "\
U/V\tI/mA
-0.030\t3.599
0.000\t3.591
0.030\t3.579
0.060\t3.559
0.090\t3.541
0.120\t3.532
0.150\t3.520
0.180\t3.508
0.210\t3.485
0.240\t3.470
0.270\t3.463
0.300\t3.446
0.330\t3.434
0.360\t3.412
0.390\t3.383
0.420\t3.348
0.450\t3.308
0.480\t3.213
0.510\t3.074
0.540\t2.849
0.570\t2.509
0.600\t2.016
0.630\t1.362
0.660\t0.562
0.690\t-0.368
0.720\t-1.405";

#[test]
fn five_linked_cards_are_filled_by_keyboard_kept_and_evaluated_natively() {
    let (sheet, before) = journey("chain", async |page| {
        page.push(Way::On, "", "New run sheet").await;
        page.says("h2", "Begin a run sheet").await;
        page.push(Way::On, "", "Empty").await;
        page.says("h2", "An empty run sheet").await;
        page.fill("", "Title of the run sheet", "Nickel oxide, trial 7")
            .await;
        ink(page).await;
        film(page).await;
        bath(page).await;
        gap(page).await;
        cell(page).await;

        let cards = page.cards().await;
        let titles: Vec<_> = cards.iter().map(|card| card.title.as_str()).collect();
        assert_eq!(titles, [INK, FILM, BATH, GAP, CELL]);
        for card in &cards {
            let standing = card.standing.as_str();
            assert!(
                ["computed", "in range", "note"].contains(&standing),
                "“{}” is {standing}: {card:?}",
                card.title
            );
        }
        for (card, result) in [
            (0, "Volume fraction of solute"),
            (1, "Film thickness"),
            (1, "Mass of the film"),
            (2, "Monolayer as a share of the bath"),
            (3, "Volume to prepare"),
            (4, "Efficiency"),
        ] {
            let text = cards[card].result(result);
            assert!(text.contains('±'), "{result}: {text}");
        }

        page.kept().await;
        page.reload().await;
        assert_eq!(page.title().await, "Nickel oxide, trial 7");
        assert_eq!(page.cards().await, cards, "after loading the page again");

        let sheet = page
            .saved_file(async || page.push(Way::Back, "", "Export").await)
            .await;
        page.push(Way::Back, "", "Record").await;
        page.says("h2", "Print or export").await;
        let record = page
            .saved_file(async || page.push(Way::On, "", "Export the record").await)
            .await;
        evaluate_to_the_same(&cards, &sheet, &record);
        (fs::read_to_string(sheet).unwrap(), cards)
    });

    journey("chain-elsewhere", async |page| {
        page.import_text("sent.json", &sheet).await;
        page.opened().await;
        assert_eq!(page.cards().await, before, "in another browser");
        let again = page.export("Export").await;
        assert_eq!(fs::read_to_string(again).unwrap(), sheet);
    });
}

async fn ink(page: &Page) {
    page.add_card(INK).await;
    page.choose(INK, "Concentration as", "mass fraction").await;
    page.fill(INK, "± of Purity", "0.2").await;
    page.fill(INK, "Target mass fraction", "9.5 %").await;
    page.fill(INK, "Final mass", "25.0").await;
    page.fill(INK, "Mass actually weighed", "2,3915 g").await;
    page.fill(INK, "± of Mass actually weighed", "3 mg").await;
    page.fill(INK, "Mass of solvent actually added", "22.54 ± 0.02")
        .await;
    page.choose(
        INK,
        "Volume fraction and density of the mixture",
        "from the densities",
    )
    .await;
    page.fill(INK, "Density of the solute", "6.67").await;
    page.fill(INK, "± of Density of the solute", "0.06").await;
    page.fill(INK, "Density of the solvent", "0.987 ± 0.003")
        .await;
}

async fn film(page: &Page) {
    page.add_card(FILM).await;
    page.fill(FILM, "Passes", "5").await;
    page.fill(FILM, "Drop volume", "24(1)").await;
    page.fill(FILM, "Pitch along the print direction", "40")
        .await;
    page.fill(FILM, "Pitch across the print direction", "0,035")
        .await;
    page.choose(FILM, "Unit of Pitch across the print direction", "mm")
        .await;
    page.link(
        FILM,
        "Solid in the ink, by volume",
        "Volume fraction of solute",
    )
    .await;
    page.fill(FILM, "Porosity of the fired film", "48").await;
    page.push(Way::On, FILM, "Uncertainty of Porosity of the fired film")
        .await;
    page.fill(FILM, "± of Porosity of the fired film", "2")
        .await;
    page.choose(FILM, "The ± is", "limit, triangular").await;
    page.link(FILM, "Density of the solid", "Density of the solute")
        .await;
    page.fill(FILM, "Film area", "0.49").await;
    page.fill(FILM, "± of Film area", "0.01").await;
}

async fn bath(page: &Page) {
    page.add_card(BATH).await;
    page.choose(BATH, "Find", "concentration it gives").await;
    page.fill(BATH, "Molar mass of the dye", "487.5").await;
    page.fill(BATH, "Volume of the bath", "40 ± 0.2").await;
    page.fill(BATH, "Mass of dye", "7.3 ± 0.1").await;
    page.choose(BATH, "Films to be dyed", "from the mass of oxide")
        .await;
    page.fill(BATH, "Number of films", "4").await;
    page.link(BATH, "Mass of oxide in a film", "Mass of the film")
        .await;
    page.fill(BATH, "Specific surface of the oxide", "40").await;
    page.fill(BATH, "± of Specific surface of the oxide", "3")
        .await;
    page.fill(BATH, "Footprint of a molecule", "1.1 ± 0.1")
        .await;
}

async fn gap(page: &Page) {
    page.add_card(GAP).await;
    page.fill(GAP, "Window width", "9.0").await;
    page.fill(GAP, "± of Window width", "0.1").await;
    page.fill(GAP, "Window length", "11.0").await;
    page.fill(GAP, "± of Window length", "0.1").await;
    page.fill(GAP, "Spacer thickness before pressing", "50")
        .await;
    page.fill(GAP, "Spacer thickness after pressing", "42(2)")
        .await;
    page.link(GAP, "Film area in the window", "Film area").await;
    page.link(GAP, "Film thickness", "Film thickness").await;
    page.link(GAP, "Porosity of the film", "Porosity of the fired film")
        .await;
    page.fill(GAP, "Cells to fill", "3").await;
}

async fn cell(page: &Page) {
    page.add_card(CELL).await;
    page.paste(CELL, "Voltage and current", SWEEP).await;
    page.link(CELL, "Illuminated area", "Film area").await;
    page.fill(CELL, "Irradiance", "96").await;
    page.fill(CELL, "± of Irradiance", "1.5").await;
    page.fill(CELL, "Scatter of one current reading", "5").await;
}
