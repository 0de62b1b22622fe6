//! Shares of a shortfall: they add up, and two published cells give what is worked out beside them.

use glasswick_core::calculators;
use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{Address, Card, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};
use crate::properties::Generator;
use crate::support::{alone, card, check, checks, number};

fn shares(first: [&str; 4], second: [&str; 4], more: &[(&str, &str)]) -> Evaluation {
    let ids = ["jsc", "voc", "ff", "irradiance"];
    let mut entries = more.to_vec();
    let named = |which: &str| ids.map(|id| format!("{which}_{id}"));
    let (first_ids, second_ids) = (named("first"), named("second"));
    entries.extend(first_ids.iter().map(String::as_str).zip(first));
    entries.extend(second_ids.iter().map(String::as_str).zip(second));
    alone(card("shortfall", &entries))
}

/// Rows of J. Am. Chem. Soc. 127 (2005) 16835 and 115 (1993) 6382, from memory (DEV-10, DEV-13).
const N719: [&str; 4] = ["17.73 mA/cm2", "0.846 V", "0.75", "100 mW/cm2"];
const N3: [&str; 4] = ["18.2 mA/cm2", "0.72 V", "0.73", "96 mW/cm2"];

#[wasm_bindgen_test(unsupported = test)]
fn two_published_cells() {
    let evaluation = shares(N719, N3, &[("first_name", "N719"), ("second_name", "N3")]);
    let card = &evaluation.cards[0];
    let ln = |ratio: f64| Scalar::ln(ratio);
    let current = ln(17.73 / 18.2);
    let voltage = ln(0.846 / 0.72);
    let fill = ln(0.75 / 0.73);
    let light = ln(96.0 / 100.0);
    let whole = current + voltage + fill + light;
    for (output, share, expected) in [
        ("current", "current_share", current),
        ("voltage", "voltage_share", voltage),
        ("fill", "fill_share", fill),
        ("light", "light_share", light),
    ] {
        within(output, number(card, output), expected, 1e-14);
        within(share, number(card, share), expected / whole, 1e-12);
    }
    // 17.73 · 0.846 · 0.75 / 100 over 18.2 · 0.72 · 0.73 / 96 is 1.12898.
    within(
        "whole",
        number(card, "total"),
        ln(11.249_685 / 9.9645),
        1e-12,
    );
    within(
        "short",
        number(card, "falls_short"),
        1.0 - 9.9645 / 11.249_685,
        1e-12,
    );
    assert_eq!(
        check(&evaluation, "largest_term").unwrap().1,
        "N3 is 11.4 % behind N719. What weighs most in it is the voltage: 0.161 of 0.121. Against it: current, irradiance."
    );
    // Turned round, every term changes its sign and every share stays.
    let turned = shares(N3, N719, &[]);
    let back = &turned.cards[0];
    for output in ["total", "current", "voltage", "fill", "light"] {
        within(output, number(back, output), -number(card, output), 1e-15);
    }
    close(
        "share",
        number(back, "fill_share"),
        number(card, "fill_share"),
        1e-12,
    );
    let (_, sentence) = check(&turned, "largest_term").unwrap();
    assert_eq!(
        sentence,
        "The second is 12.9 % ahead of the first. What weighs most in it is the voltage: -0.161 of -0.121. Against it: \
         current, irradiance."
            .replace('-', "−")
    );
}

fn random(numbers: &mut Generator, fitted: &str) -> [Vec<(String, String)>; 2] {
    let mut entry = |id: &str, from: f64, to: f64, unit: &str| {
        (
            format!("{fitted}_{id}"),
            format!("{} {unit}", numbers.between(from, to))
                .trim_end()
                .into(),
        )
    };
    let cell = vec![
        entry("jsc", 0.1, 30.0, "mA/cm2"),
        entry("voc", 0.2, 1.2, "V"),
        entry("ff", 0.2, 0.85, ""),
        entry("irradiance", 10.0, 120.0, "mW/cm2"),
        entry("expected", 1.0, 30.0, "mA/cm2"),
    ];
    let fit = vec![
        entry("photocurrent", 1.0, 30.0, "mA/cm2"),
        entry("saturation", 1e-12, 1e-7, "A/cm2"),
        entry("ideality", 1.0, 3.0, ""),
        entry("series", 0.1, 30.0, "Ohm.cm2"),
        entry("shunt", 50.0, 1e6, "Ohm.cm2"),
    ];
    [cell, fit]
}

/// ln(η₁/η₂) = Δ_J + Δ_V + Δ_FF + Δ_G to 1e-12, and each split adds up to what it splits.
#[wasm_bindgen_test(unsupported = test)]
fn the_shares_add_up_for_any_pair() {
    let mut numbers = Generator::new(20_261_128);
    for _ in 0..50 {
        let [cell_one, fit_one] = random(&mut numbers, "first");
        let [cell_two, fit_two] = random(&mut numbers, "second");
        let mut entries = vec![("current_by", "harvest"), ("fill_by", "fits")];
        let all = [cell_one, fit_one, cell_two, fit_two].concat();
        entries.extend(all.iter().map(|(id, text)| (id.as_str(), text.as_str())));
        let evaluation = alone(card("shortfall", &entries));
        let of = |output| number(&evaluation.cards[0], output);
        let ratio = Scalar::ln(of("first_efficiency") / of("second_efficiency"));
        within("whole", of("total"), ratio, 1e-12);
        let sum = of("current") + of("voltage") + of("fill") + of("light");
        within("terms", sum, ratio, 1e-12);
        within(
            "current",
            of("harvest") + of("collection"),
            of("current"),
            1e-12,
        );
        let fill = of("fill_series") + of("fill_shunt") + of("fill_rest");
        within("fill factor", fill, of("fill"), 1e-12);
    }
}

/// The parts of the model: a resistance that both cells share has no share, one that differs alone has all of it.
#[wasm_bindgen_test(unsupported = test)]
fn the_fill_factor_goes_to_the_resistance_that_differs() {
    let fits = |first: [&str; 2], second: [&str; 2]| {
        let mut entries = vec![("fill_by", "fits")];
        for which in [
            [
                ("first_photocurrent", "18 mA/cm2"),
                ("first_saturation", "2e-9 A/cm2"),
                ("first_ideality", "1.85"),
            ],
            [
                ("second_photocurrent", "18 mA/cm2"),
                ("second_saturation", "2e-9 A/cm2"),
                ("second_ideality", "1.85"),
            ],
        ] {
            entries.extend(which);
        }
        entries.extend([
            ("first_series", first[0]),
            ("first_shunt", first[1]),
            ("second_series", second[0]),
            ("second_shunt", second[1]),
        ]);
        shares(N719, N3, &entries)
    };
    // Fill factors of the same cells on the card of the losses.
    let fill = |series, shunt| {
        let entries = [
            ("photocurrent", "18 mA/cm2"),
            ("saturation", "2e-9 A/cm2"),
            ("ideality", "1.85"),
            ("series", series),
            ("shunt", shunt),
        ];
        Scalar::ln(number(
            &alone(card("loss_analysis", &entries)).cards[0],
            "fill_factor",
        ))
    };
    let series = fits(["2 Ohm.cm2", ""], ["9 Ohm.cm2", ""]);
    let expected = fill("2 Ohm.cm2", "") - fill("9 Ohm.cm2", "");
    within(
        "series",
        number(&series.cards[0], "fill_series"),
        expected,
        1e-13,
    );
    within("shunt", number(&series.cards[0], "fill_shunt"), 0.0, 1e-15);
    let shunt = fits(["4 Ohm.cm2", "5000 Ohm.cm2"], ["4 Ohm.cm2", "300 Ohm.cm2"]);
    let expected = fill("4 Ohm.cm2", "5000 Ohm.cm2") - fill("4 Ohm.cm2", "300 Ohm.cm2");
    within(
        "shunt",
        number(&shunt.cards[0], "fill_shunt"),
        expected,
        1e-13,
    );
    within("series", number(&shunt.cards[0], "fill_series"), 0.0, 1e-15);
}

/// Near zero a percentage of the whole says nothing and is left out; the logarithms stay.
#[wasm_bindgen_test(unsupported = test)]
fn percentages_of_next_to_nothing_are_left_out() {
    let second = ["18.0 mA/cm2", "0.846 V", "0.74", "100 mW/cm2"];
    let evaluation = shares(N719, second, &[]);
    let card = &evaluation.cards[0];
    assert!(number(card, "total").abs() < 0.05);
    assert!(card.output("current_share").is_none());
    within(
        "current",
        number(card, "current"),
        Scalar::ln(17.73 / 18.0),
        1e-14,
    );
}

/// What the two do not share decides how sure the difference is: a common irradiance cancels.
#[wasm_bindgen_test(unsupported = test)]
fn a_shared_irradiance_cancels() {
    let first = ["17.73 ± 0.2 mA/cm2", "0.846 V", "0.75", "100 ± 5 mW/cm2"];
    let second = ["17.0 ± 0.2 mA/cm2", "0.846 V", "0.75", "100 ± 5 mW/cm2"];
    let uncertainty =
        |evaluation: &Evaluation, card| evaluation.estimate(card, "total").unwrap().uncertainty;
    let quadratic = |a: f64, b: f64| (a * a + b * b).sqrt();
    let apart = shares(first, second, &[]);
    let current = quadratic(0.2 / 17.73, 0.2 / 17.0);
    let lamps = 0.05 * core::f64::consts::SQRT_2;
    close(
        "apart",
        uncertainty(&apart, "shortfall"),
        quadratic(current, lamps),
        1e-9,
    );
    assert_eq!(checks(&apart)[1], ("within_uncertainty", Level::Note));

    // The same, with the irradiance of both taken from one card.
    let calculator = calculators::find("shortfall").unwrap();
    let lamp = card("shortfall", &[("first_irradiance", "100 ± 5 mW/cm2")]);
    let mut pair = Card::new(calculator, "pair");
    for (which, cell) in [("first", first), ("second", second)] {
        for (id, text) in ["jsc", "voc", "ff"].iter().zip(cell) {
            pair.enter(calculator, &format!("{which}_{id}"), text);
        }
        let shared = Address {
            card: "shortfall".into(),
            output: "first_irradiance".into(),
        };
        pair.inputs
            .insert(format!("{which}_irradiance"), Input::Link(shared));
    }
    let together = evaluate(&Sheet {
        cards: vec![lamp, pair],
    });
    close("together", uncertainty(&together, "pair"), current, 1e-9);
}
