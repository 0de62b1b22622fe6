//! Reported rows: the digits typed say how far each number was rounded.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Card, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};
use crate::properties::Generator;
use crate::support::{alone, card, check, checks, number};

/// One row: Jsc, Voc, FF, efficiency as printed.
fn row(printed: [&str; 4], irradiance: &str) -> Card {
    let [jsc, voc, ff, efficiency] = printed;
    card(
        "reported_rows",
        &[
            ("irradiance", irradiance),
            ("rows.a.name", "printed"),
            ("rows.a.jsc", jsc),
            ("rows.a.voc", voc),
            ("rows.a.ff", ff),
            ("rows.a.efficiency", efficiency),
        ],
    )
}

fn inconsistent(evaluation: &Evaluation) -> bool {
    number(&evaluation.cards[0], "inconsistent") > 0.0
}

/// The same efficiency with more or fewer digits: what was rounded less must fit better.
#[wasm_bindgen_test(unsupported = test)]
fn the_last_digit_says_how_far_a_number_was_rounded() {
    for (efficiency, off) in [
        // The product of DEV-10 reaches from 11.1648 % to 11.3345 %.
        ("11 %", false),
        ("11.1 %", true),
        ("11.2 %", false),
        ("1.12e1 %", false),
        ("11.16 %", false),
        ("11.15 %", true),
        ("11.164 %", true),
        ("11.335 %", false),
        ("11.336 %", true),
        ("11.34 %", true),
        ("11.40 %", true),
    ] {
        let evaluation = alone(row(
            ["17.73 mA/cm2", "0.846 V", "0.75", efficiency],
            "100 mW/cm2",
        ));
        assert_eq!(inconsistent(&evaluation), off, "{efficiency}");
    }
    // The unit is no part of the rounding; a trailing zero is.
    let lowest = |printed| {
        number(
            &alone(row(printed, "100 mW/cm2")).cards[0],
            "checked.a.lowest",
        )
    };
    let volts = lowest(["20.19 mA/cm2", "0.754 V", "0.699", "10.7 %"]);
    close(
        "mV",
        lowest(["20.19 mA/cm2", "754 mV", "69.9 %", "10.7 %"]),
        volts,
        1e-14,
    );
    close(
        "A/m2",
        lowest(["201.9 A/m2", "0.754 V", "0.699", "10.7 %"]),
        volts,
        1e-14,
    );
    assert!(lowest(["20.190 mA/cm2", "0.754 V", "0.699", "10.7 %"]) > volts);
}

#[wasm_bindgen_test(unsupported = test)]
fn at_the_irradiance_needed_a_row_is_consistent_and_past_its_ends_it_is_not() {
    let mut numbers = Generator::new(20_261_127);
    for _ in 0..40 {
        let jsc = format!("{:.1} mA/cm2", numbers.between(2.0, 25.0));
        let voc = format!("{:.2} V", numbers.between(0.4, 1.1));
        let ff = format!("{:.2}", numbers.between(0.3, 0.8));
        let efficiency = format!("{:.1} %", numbers.between(1.0, 15.0));
        let at = |irradiance: f64| {
            let light = format!("{irradiance} W/m2");
            alone(row([&jsc, &voc, &ff, &efficiency], &light))
        };
        let first = at(1000.0);
        let needed = |output| number(&first.cards[0], output);
        let (low, high) = (
            needed("checked.a.needed_lowest"),
            needed("checked.a.needed_highest"),
        );
        assert!(low < needed("checked.a.needed") && needed("checked.a.needed") < high);
        assert!(!inconsistent(&at(needed("checked.a.needed"))));
        assert!(!inconsistent(&at(low * 1.0001)) && !inconsistent(&at(high * 0.9999)));
        assert!(inconsistent(&at(low * 0.9999)) && inconsistent(&at(high * 1.0001)));
        // At the irradiance needed the product is the reported efficiency.
        let there = at(needed("checked.a.needed"));
        let reported: f64 = efficiency.trim_end_matches(" %").parse().unwrap();
        close(
            "η",
            number(&there.cards[0], "checked.a.product"),
            reported / 100.0,
            1e-13,
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_said_of_rows() {
    let fits = alone(row(
        ["17.73 mA/cm2", "0.846 V", "0.75", "11.18 %"],
        "100 mW/cm2",
    ));
    assert_eq!(checks(&fits), [("rows_consistent", Level::InRange)]);
    let off = alone(row(
        ["12.6 mA/cm2", "0.83 V", "0.65", "5.28 %"],
        "100 mW/cm2",
    ));
    let (level, sentence) = check(&off, "row_inconsistent").unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "printed: 5.28 % is reported, and the product is 6.678 % to 6.919 % within rounding. It would fit at \
         128.7 mW/cm² (126.4 mW/cm² to 131.2 mW/cm²), or the numbers are not of one curve."
    );
    let slip = alone(row(
        ["0.16 mA/cm2", "0.045 V", "0.5", "0.43 %"],
        "100 mW/cm2",
    ));
    let (_, sentence) = check(&slip, "row_inconsistent").unwrap();
    assert!(
        sentence
            .ends_with("is 119 times the product: look for a slip of a unit or a decimal point."),
        "{sentence}"
    );
    // Less is reported than the product: negative, more: positive, each from the nearer ends.
    within(
        "below",
        number(&off.cards[0], "checked.a.beyond"),
        0.052_85 - 0.066_781_687_5,
        1e-9,
    );
    assert!(number(&slip.cards[0], "checked.a.beyond") > 0.0);
}

/// What comes from another card was not rounded for print.
#[wasm_bindgen_test(unsupported = test)]
fn a_link_has_no_rounding() {
    let source = card(
        "loss_analysis",
        &[
            ("photocurrent", "18 mA/cm2"),
            ("saturation", "2e-9 A/cm2"),
            ("ideality", "1.85"),
            ("temperature", "298.15 K"),
            ("series", "4 Ohm.cm2"),
            ("shunt", "2500 Ohm.cm2"),
        ],
    );
    let mut linked = row(["1 mA/cm2", "1 V", "1", "9.39 %"], "100 mW/cm2");
    let Some(Input::Rows(rows)) = linked.inputs.get_mut("rows") else {
        panic!("it has a row");
    };
    for (column, output) in [
        ("jsc", "short_circuit_density"),
        ("voc", "open_circuit_voltage"),
        ("ff", "fill_factor"),
    ] {
        let link = Input::Link(Address {
            card: "loss_analysis".into(),
            output: output.into(),
        });
        rows[0].cells.insert(column.into(), link);
    }
    let evaluation = evaluate(&Sheet {
        cards: vec![source, linked],
    });
    let of = |output| number(&evaluation.cards[1], output);
    assert_eq!(
        of("checked.a.lowest").to_bits(),
        of("checked.a.highest").to_bits()
    );
    close("η", of("checked.a.product"), 0.093_887_538_12, 1e-9);
    within("consistent", of("inconsistent"), 0.0, 0.0);
}
