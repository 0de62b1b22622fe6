//! Shares of a shortfall: they add up, and two published cells give what is worked out beside them.

use glasswick_core::calculators;
use glasswick_core::numerics::single_diode::SingleDiode;
use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{Address, Card, Evaluation, Input, Sheet, Typed, evaluate};
use glasswick_core::uncertainty::Meaning;
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
        // What light harvesting leaves is the current over the expected one, beside that of the other cell.
        let read = |path: &str| evaluation.cards[0].number(path).unwrap().1;
        let collected =
            |which: &str| read(&format!("{which}_jsc")) / read(&format!("{which}_expected"));
        let collection = Scalar::ln(collected("first") / collected("second"));
        within("collection", of("collection"), collection, 1e-12);
        // Each part of the fill factor by its own average over the six orders, written out; what the fits do not reproduce
        // stays with the rest.
        let cell = |which: &str| {
            let read = |id: &str| read(&format!("{which}_{id}"));
            let thermal = 1.380_649e-23 * read("temperature") / 1.602_176_634e-19;
            SingleDiode {
                photo: read("photocurrent"),
                saturation: read("saturation"),
                slope_voltage: read("ideality") * thermal,
                series: read("series"),
                shunt: read("shunt"),
            }
        };
        let (first, second) = (cell("first"), cell("second"));
        let fill = |passed: &[usize]| {
            let from = |part| {
                if passed.contains(&part) {
                    &first
                } else {
                    &second
                }
            };
            let cell = SingleDiode {
                series: from(0).series,
                shunt: from(1).shunt,
                ..*from(2)
            };
            Scalar::ln(cell.fill_factor().unwrap())
        };
        let mut parts = [0.0; 3];
        for order in [
            [0, 1, 2],
            [0, 2, 1],
            [1, 0, 2],
            [1, 2, 0],
            [2, 0, 1],
            [2, 1, 0],
        ] {
            for place in 0..3 {
                let gain = fill(&order[..=place]) - fill(&order[..place]);
                parts[order[place]] += gain / 6.0;
            }
        }
        let entered = Scalar::ln(read("first_ff") / read("second_ff"));
        let not_reproduced = entered - (fill(&[0, 1, 2]) - fill(&[]));
        within("series", of("fill_series"), parts[0], 1e-9);
        within("shunt", of("fill_shunt"), parts[1], 1e-9);
        within("rest", of("fill_rest"), parts[2] + not_reproduced, 1e-9);
    }
}

/// Without a shortfall, or within its uncertainty, nothing weighs most in it. How many standard uncertainties count follows
/// from the readings behind them.
#[wasm_bindgen_test(unsupported = test)]
fn nothing_weighs_most_in_no_shortfall() {
    let alike = shares(N719, N719, &[]);
    assert_eq!(checks(&alike), [("no_shortfall", Level::Note)]);
    // ln 1.04 = 0.0392 with u = 0.015 is 2.6 standard uncertainties.
    let with = |meaning: &str| {
        let calculator = calculators::find("shortfall").unwrap();
        let mut card = card("shortfall", &[]);
        for (path, text) in [
            ("first_jsc", meaning),
            ("first_voc", "0.8 V"),
            ("first_ff", "0.7"),
            ("second_jsc", "10 mA/cm2"),
            ("second_voc", "0.8 V"),
            ("second_ff", "0.7"),
        ] {
            card.enter(calculator, path, text);
        }
        card
    };
    let many = alone(with("10.4 ± 0.15 mA/cm2"));
    assert_eq!(checks(&many), [("largest_term", Level::Note)]);
    let mut few = with("");
    few.inputs.insert(
        "first_jsc".into(),
        Input::Typed(Typed {
            text: "10.25\n10.55".into(),
            unit: "mA/cm2".into(),
            meaning: Meaning::Repeats,
            ..Typed::default()
        }),
    );
    let few = alone(few);
    close(
        "u",
        few.estimate("shortfall", "total").unwrap().uncertainty,
        0.15 / 10.4,
        1e-9,
    );
    assert_eq!(checks(&few), [("within_uncertainty", Level::Note)]);
    let (_, sentence) = check(&few, "within_uncertainty").unwrap();
    assert!(
        sentence.starts_with(
            "The shortfall (0.0392) is less than its expanded uncertainty (0.20, 14.0 standard uncertainties)"
        ),
        "{sentence}"
    );
}

/// A fit that does not give the fill factor of its cell belongs to another curve.
#[wasm_bindgen_test(unsupported = test)]
fn a_fit_of_another_curve_is_noticed() {
    let (_, case) = calculators::cases()
        .find(|(calculator, case)| {
            calculator.id == "shortfall" && case.title.starts_with("both branches")
        })
        .unwrap();
    let with = |path: &str, text: &str| {
        let mut entries = case.inputs.to_vec();
        for entry in &mut entries {
            if entry.0 == path {
                entry.1 = text;
            }
        }
        let found = alone(card("shortfall", &entries));
        check(&found, "fit_of_another_curve")
    };
    assert_eq!(with("", ""), None);
    // 0.687143 and 3 % of it, up or down.
    assert_eq!(with("first_ff", "0.7075"), None);
    let (level, sentence) = with("first_ff", "0.709").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with(
            "The fit of the first cell gives a fill factor of 0.687, entered is 0.709: "
        ),
        "{sentence}"
    );
    let (_, sentence) = with("second_ff", "0.55").unwrap();
    assert!(
        sentence.starts_with("The fit of the second cell"),
        "{sentence}"
    );
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
    assert_eq!(checks(&apart), [("within_uncertainty", Level::Note)]);

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
