//! Where the series resistance comes from: the glass against its heat added up, and what the parts leave of a fit.

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::support::{alone, card, check, checks, number};

fn of(entries: &[(&str, &str)]) -> Evaluation {
    let mut all = vec![
        ("length", "7 mm"),
        ("front_sheet", "8 Ohm"),
        ("counter_sheet", "8 Ohm"),
    ];
    all.extend_from_slice(entries);
    alone(card("series_resistance", &all))
}

/// Heat in the glass for one unit of current density, over the area of the film: summed in thin strips or rings from
/// where no current has gathered yet to the contact. `gathered` is the film's area behind a place, `across` the width of
/// the glass there; the film ends at `film`, the glass at `contact`.
fn heat(
    film: f64,
    contact: f64,
    gathered: impl Fn(f64) -> f64,
    across: impl Fn(f64) -> f64,
) -> f64 {
    let strips = 200_000;
    let step = contact / f64::from(strips);
    let at = |strip: i32| (f64::from(strip) + 0.5) * step;
    let sum: f64 = (0..strips)
        .map(|strip| Scalar::squared(gathered(at(strip).min(film))) * step / across(at(strip)))
        .sum();
    sum / gathered(film)
}

#[wasm_bindgen_test(unsupported = test)]
fn the_glass_heats_as_its_resistance_says() {
    let pi = core::f64::consts::PI;
    // Lengths in m, one square of the glass has 8 Ω.
    for bare in [0.0, 0.0015, 0.01] {
        let bare_text = format!("{bare} m");
        let strip = |film: f64| heat(film, film + bare, |x| x, |_| 1.0);
        let one = of(&[("front_bare", &bare_text)]);
        close(
            "one edge",
            number(&one.cards[0], "front"),
            8.0 * strip(0.007),
            1e-5,
        );
        // Each half of the film goes to its own edge.
        let two = of(&[("front_bare", &bare_text), ("front_edges", "two")]);
        close(
            "two edges",
            number(&two.cards[0], "front"),
            8.0 * strip(0.0035),
            1e-5,
        );
        let disc = heat(0.003, 0.003 + bare, |r| pi * r * r, |r| 2.0 * pi * r);
        let round = of(&[
            ("film", "circle"),
            ("diameter", "6 mm"),
            ("front_bare", &bare_text),
        ]);
        close("disc", number(&round.cards[0], "front"), 8.0 * disc, 1e-5);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn two_edges_are_a_quarter_and_the_same_film_compares_equal() {
    let evaluation = of(&[("shorter", "7 mm"), ("transfer", "0.5 Ohm.cm2")]);
    let card = &evaluation.cards[0];
    assert_eq!(
        number(card, "shorter_total").to_bits(),
        number(card, "total").to_bits()
    );
    let glass = number(card, "front") + number(card, "counter");
    close(
        "two",
        number(card, "two_edges_total"),
        glass / 4.0 + 5e-5,
        1e-13,
    );
    // With both at two edges already, that changes nothing.
    let evaluation = of(&[
        ("front_edges", "two"),
        ("counter_edges", "two"),
        ("front_bare", "2 mm"),
    ]);
    let card = &evaluation.cards[0];
    close(
        "two",
        number(card, "two_edges_total"),
        number(card, "total"),
        1e-13,
    );
    // A film of half the length has a quarter of the glass resistance; a disc no second edge.
    let evaluation = of(&[("shorter", "3.5 mm")]);
    let card = &evaluation.cards[0];
    close(
        "half",
        number(card, "shorter_total"),
        number(card, "total") / 4.0,
        1e-13,
    );
    let round = of(&[("film", "circle"), ("diameter", "7 mm")]);
    assert!(round.cards[0].output("two_edges_total").is_none());
}

/// Ω of a cell times its area is the same as Ω·cm².
#[wasm_bindgen_test(unsupported = test)]
fn parts_of_the_cell_are_parts_times_area() {
    let cell = of(&[
        ("given_as", "cell"),
        ("area", "0.25 cm2"),
        ("contact_cell", "1.6 Ohm"),
        ("diffusion_cell", "3.2 Ohm"),
    ]);
    let area = of(&[("contact", "0.4 Ohm.cm2"), ("diffusion", "0.8 Ohm.cm2")]);
    for output in ["contact_part", "diffusion_part", "total"] {
        close(
            output,
            number(&cell.cards[0], output),
            number(&area.cards[0], output),
            1e-14,
        );
    }
    assert!(cell.cards[0].output("transfer_part").is_none());
}

#[wasm_bindgen_test(unsupported = test)]
fn like_glasses_are_both_the_largest() {
    let (_, sentence) = check(&of(&[]), "largest_part").unwrap();
    assert_eq!(
        sentence,
        "Of the parts entered, the largest are “Film glass” and “Counter glass”: 1.307 Ω·cm², 50 % of their sum each."
    );
}

/// What lies within twice its uncertainty is no finding.
#[wasm_bindgen_test(unsupported = test)]
fn an_uncertain_fit_agrees_within_its_uncertainty() {
    // The parts come to 2.613 Ω·cm².
    for (fitted, level) in [
        ("4 ± 0.6 Ohm.cm2", Level::Note),
        ("4 ± 0.8 Ohm.cm2", Level::InRange),
        ("2 ± 0.3 Ohm.cm2", Level::Warning),
        ("2 ± 0.4 Ohm.cm2", Level::InRange),
    ] {
        let found = check(&of(&[("fitted", fitted)]), "beside_fit").unwrap();
        assert_eq!(found.0, level, "{fitted}");
        let by_uncertainty = found.1.contains("within two standard uncertainties");
        assert_eq!(by_uncertainty, level == Level::InRange, "{}", found.1);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_fit_is_explained_or_not() {
    let (_, sentence) = check(&of(&[("transfer", "3 Ohm.cm2")]), "largest_part").unwrap();
    assert_eq!(
        sentence,
        "Of the parts entered, the largest is “Counter-electrode transfer”: 3 Ω·cm², 53 % of their sum."
    );
    // The glass alone makes 2.613 Ω·cm².
    for (fitted, level) in [
        ("2.6 Ohm.cm2", Level::InRange),
        ("3.2 Ohm.cm2", Level::InRange),
        ("5 Ohm.cm2", Level::Note),
        ("2 Ohm.cm2", Level::Warning),
    ] {
        let found = checks(&of(&[("fitted", fitted)]));
        assert_eq!(
            found,
            [("largest_part", Level::Note), ("beside_fit", level)],
            "{fitted}"
        );
    }
    let (_, sentence) = check(&of(&[("fitted", "5 Ohm.cm2")]), "beside_fit").unwrap();
    assert!(
        sentence.contains("the fit to 5 Ω·cm²: 2.387 Ω·cm² is unexplained."),
        "{sentence}"
    );
}
