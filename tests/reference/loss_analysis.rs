//! What series resistance and shunt cost: the exact figures, Green's beside them, and what adds up.

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};
use crate::properties::Generator;
use crate::support::{alone, card, check, number};

fn analysed(entries: &[(&str, &str)]) -> Evaluation {
    let mut all = vec![
        ("photocurrent", "18 mA/cm2"),
        ("saturation", "2e-9 A/cm2"),
        ("ideality", "1.85"),
        ("temperature", "298.15 K"),
        ("series", "4 Ohm.cm2"),
        ("shunt", "2500 Ohm.cm2"),
    ];
    all.extend_from_slice(entries);
    alone(card("loss_analysis", &all))
}

/// The book's dye-cell-like curve with each resistance taken away: computed with mpmath 1.3.0, 60 digits.
#[wasm_bindgen_test(unsupported = test)]
fn losses_of_the_dye_cell_like_curve() {
    let evaluation = analysed(&[]);
    for (output, expected) in [
        ("fill_factor", 0.687_143_393_707_648_6),
        ("without_series", 0.764_636_804_868_697_5),
        ("without_shunt", 0.694_938_519_313_992_8),
        ("without_both", 0.775_554_183_401_900_7),
        ("series_loss", 0.079_054_537_624_478),
        ("shunt_loss", 0.009_356_252_069_773_6),
        ("interaction", 0.003_122_252_926_859),
        // In W/m².
        ("series_power", 10.899_892_689_153),
        ("shunt_power", 1.462_731_962_618),
    ] {
        within(
            output,
            number(&evaluation.cards[0], output),
            expected,
            1e-12,
        );
    }
    let (level, sentence) = check(&evaluation, "larger_loss").unwrap();
    assert_eq!(level, Level::Note);
    let parts = "0.0791 of fill factor is lost to the series resistance, 0.009 36 to the shunt and 0.224 to the bend";
    assert!(sentence.contains(parts), "{sentence}");
    assert!(
        sentence.contains("the series resistance costs more"),
        "{sentence}"
    );
    let (_, sentence) = check(&analysed(&[("shunt", "100 Ohm.cm2")]), "larger_loss").unwrap();
    assert!(sentence.contains("the shunt costs more"), "{sentence}");
}

/// The book's ideal fill factors (FF0), computed with scipy 1.17.1; Green's expression from memory.
#[wasm_bindgen_test(unsupported = test)]
fn ideal_fill_factors() {
    for (v, exact, green, at_maximum, current) in [
        (5.0, 0.547_499_3, 0.542_671_9, 3.496_664, 0.782_888),
        (12.0, 0.727_487_7, 0.727_448, 9.635_777, 0.905_983_3),
        (15.0, 0.765_268_1, 0.765_316_6, 12.404_416, 0.925_398),
        (35.0, 0.872_827_2, 0.872_896_9, 31.518_2, 0.969_248),
    ] {
        let saturation = format!("{:e} A/m2", 1.0 / Scalar::exp_m1(v));
        let evaluation = analysed(&[
            ("photocurrent", "1 A/m2"),
            ("saturation", &saturation),
            ("series", "0"),
            ("shunt", ""),
        ]);
        let card = &evaluation.cards[0];
        within("v", number(card, "normal_voltage"), v, 1e-13 * v);
        for (output, expected) in [
            ("ideal", exact),
            ("without_both", exact),
            ("fill_factor", exact),
            ("green_ideal", green),
            ("green", green),
        ] {
            within(output, number(card, output), expected, 1e-7);
        }
        let vm = number(card, "maximum_power_voltage") / number(card, "slope_voltage");
        within("vm", vm, at_maximum, 1e-6);
        within("im", number(card, "maximum_power_density"), current, 1e-6);
        // The book's trap: 5e-3 off at 5, below 1e-4 from 12 on.
        let (level, _) = check(&evaluation, "green_range").unwrap();
        let expected = if v > 10.0 {
            Level::InRange
        } else {
            Level::Note
        };
        assert_eq!(level, expected, "{v}");
    }
}

/// Cells in which one resistance is next to nothing: the book's ideal diode (JV-SYN-D), exact with mpmath 1.4.1, and FFR-7,
/// exact with scipy 1.17.1 beside Green's expressions from memory.
#[wasm_bindgen_test(unsupported = test)]
fn cells_with_hardly_any_resistance() {
    let ideal = analysed(&[
        ("photocurrent", "35 mA/cm2"),
        ("saturation", "1e-12 A/cm2"),
        ("ideality", "1"),
        ("series", "1e-9 Ohm.cm2"),
        ("shunt", "1e12 Ohm.cm2"),
    ]);
    for (output, expected, allowed) in [
        ("open_circuit_voltage", 0.623_780_21, 1e-8),
        ("short_circuit_density", 350.0, 1e-7),
        ("maximum_power_voltage", 0.544_154_64, 1e-8),
        ("maximum_power_density", 334.219_625_2, 1e-7),
        ("power", 181.867_159_4, 1e-7),
        ("fill_factor", 0.833_018_5, 1e-8),
        ("efficiency", 0.181_867_16, 1e-8),
        ("series_loss", 0.0, 1e-9),
        ("shunt_loss", 0.0, 1e-9),
    ] {
        within(output, number(&ideal.cards[0], output), expected, allowed);
    }
    let leaky = analysed(&[
        ("saturation", "1.2976967e-12 A/cm2"),
        ("ideality", "1"),
        ("series", "3.3333e-11 Ohm.cm2"),
        ("shunt", "166.667 Ohm.cm2"),
    ]);
    for (output, expected, allowed) in [
        ("open_circuit_voltage", 0.594_328, 5e-7),
        ("short_circuit_density", 180.0, 5e-3),
        ("fill_factor", 0.686_43, 5e-6),
        ("normal_voltage", 23.132_3, 5e-5),
        ("normal_series", 0.0, 5e-6),
        ("normal_shunt", 5.047_7, 5e-5),
        ("green_ideal", 0.827_12, 5e-6),
        ("green_series", 0.827_12, 5e-6),
        ("green", 0.687_49, 5e-6),
    ] {
        within(output, number(&leaky.cards[0], output), expected, allowed);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn fill_factor_and_losses_add_up_for_any_cell() {
    let mut numbers = Generator::new(7_112_026);
    for _ in 0..60 {
        let entries = [
            (
                "photocurrent",
                format!("{} mA/cm2", numbers.between(0.01, 40.0)),
            ),
            (
                "saturation",
                format!("{} A/cm2", numbers.between(1e-15, 1e-6)),
            ),
            ("ideality", format!("{}", numbers.between(1.0, 3.0))),
            ("series", format!("{} Ohm.cm2", numbers.between(0.1, 30.0))),
            ("shunt", format!("{} Ohm.cm2", numbers.between(50.0, 1e6))),
        ];
        let entries: Vec<(&str, &str)> = entries
            .iter()
            .map(|(id, text)| (*id, text.as_str()))
            .collect();
        let evaluation = analysed(&entries);
        let card = &evaluation.cards[0];
        let of = |output| number(card, output);
        let sum = of("fill_factor") + of("series_loss") + of("shunt_loss") + of("diode_loss");
        within("sum", sum, 1.0, 1e-13);
        assert!(of("series_loss") > 0.0 && of("shunt_loss") > 0.0 && of("series_power") > 0.0);
        // Taking one away and then the other gains the same as the other way round.
        let alone = |of_one: f64, of_other: f64| {
            (of_one - of("fill_factor")) + (of("without_both") - of_other)
        };
        within(
            "series",
            2.0 * of("series_loss"),
            alone(of("without_series"), of("without_shunt")),
            1e-13,
        );
        within(
            "shunt",
            2.0 * of("shunt_loss"),
            alone(of("without_shunt"), of("without_series")),
            1e-13,
        );
        // All the power there is to win back.
        let lost = of("series_power") + of("shunt_power") + of("power");
        let mut perfect = entries.clone();
        perfect.extend([("series", "0"), ("shunt", "")]);
        let perfect = analysed(&perfect);
        close("power", lost, number(&perfect.cards[0], "power"), 1e-12);
    }
}

/// With only one resistance there is nothing to interact with, and all of the loss is its own.
#[wasm_bindgen_test(unsupported = test)]
fn a_resistance_that_is_not_there_costs_nothing() {
    let without_shunt = analysed(&[("shunt", "")]);
    let card = &without_shunt.cards[0];
    within("shunt", number(card, "shunt_loss"), 0.0, 1e-15);
    within("interaction", number(card, "interaction"), 0.0, 1e-15);
    close(
        "series",
        number(card, "series_loss"),
        number(card, "without_series") - number(card, "fill_factor"),
        1e-13,
    );
    assert!(card.output("normal_shunt").is_none());
    let without_series = analysed(&[("series", "0")]);
    within(
        "series",
        number(&without_series.cards[0], "series_loss"),
        0.0,
        1e-15,
    );
    // Without either the fill factor is the ideal one of its voltage.
    let perfect = analysed(&[("series", "0"), ("shunt", "")]);
    let (_, sentence) = check(&perfect, "larger_loss").unwrap();
    assert!(
        sentence.ends_with(": neither series resistance nor shunt costs anything."),
        "{sentence}"
    );
    let card = &perfect.cards[0];
    close(
        "ideal",
        number(card, "ideal"),
        number(card, "fill_factor"),
        1e-13,
    );
}

/// Beyond their range Green's expressions may even turn negative; the exact values stand, and the card says so.
#[wasm_bindgen_test(unsupported = test)]
fn greens_expressions_outside_their_range_are_said_to_be() {
    let evaluation = analysed(&[("shunt", "20 Ohm.cm2")]);
    let (level, sentence) = check(&evaluation, "green_range").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("Use the exact values."), "{sentence}");
    let card = &evaluation.cards[0];
    assert!(number(card, "normal_shunt") < 2.5 && number(card, "fill_factor") > 0.2);
}

#[wasm_bindgen_test(unsupported = test)]
fn both_curves_are_drawn_from_zero_to_past_open_circuit() {
    let evaluation = analysed(&[]);
    let card = &evaluation.cards[0];
    let [(_, as_is), (_, ideal)] = card.curves.as_slice() else {
        panic!("{:?}", card.curves.len());
    };
    for curve in [as_is, ideal] {
        assert!(curve.y.windows(2).all(|pair| pair[1] < pair[0]));
        assert!(*curve.y.last().unwrap() < 0.0);
    }
    close(
        "Jsc",
        as_is.y[0],
        number(card, "short_circuit_density"),
        1e-15,
    );
    assert_eq!(as_is.x, ideal.x);
}
