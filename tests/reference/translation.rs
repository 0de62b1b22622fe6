//! Translation to other light and temperature: there and back, and steps that are too long.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{self, alone, card, check, near, stops};

fn translated(entries: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("short_circuit_current", "17 mA"),
        ("open_circuit_voltage", "0.72 V"),
        ("open_slope", "8 Ohm"),
        ("maximum_power_voltage", "0.6 V"),
        ("maximum_power_current", "15 mA"),
        ("irradiance", "95 mW/cm2"),
        ("target_irradiance", "100 mW/cm2"),
        ("temperature", "30 Cel"),
        ("target_temperature", "25 Cel"),
        ("alpha", "0 mA/K"),
        ("beta", "-2 mV/K"),
        ("series", "5 Ohm"),
        ("kappa", "0 mOhm/K"),
    ];
    let entries: Vec<_> = usual.iter().chain(entries).copied().collect();
    alone(card("translation", &entries))
}

/// Without coefficients of current and series resistance each formula is its own inverse with the conditions exchanged.
#[wasm_bindgen_test(unsupported = test)]
fn there_and_back_again_is_where_it_began() {
    let there = translated(&[]);
    let number = |output: &str| support::number(&there.cards[0], output);
    let texts = [
        (
            "short_circuit_current",
            "translated_short_circuit_current",
            "A",
        ),
        (
            "open_circuit_voltage",
            "translated_open_circuit_voltage",
            "V",
        ),
        (
            "maximum_power_voltage",
            "translated_maximum_power_voltage",
            "V",
        ),
        (
            "maximum_power_current",
            "translated_maximum_power_current",
            "A",
        ),
    ]
    .map(|(input, output, unit)| (input, format!("{:?} {unit}", number(output))));
    let mut entries: Vec<(&str, &str)> = texts
        .iter()
        .map(|(id, text)| (*id, text.as_str()))
        .collect();
    entries.extend([
        ("irradiance", "100 mW/cm2"),
        ("target_irradiance", "95 mW/cm2"),
        ("temperature", "25 Cel"),
        ("target_temperature", "30 Cel"),
    ]);
    let back = translated(&entries);
    let number = |output: &str| support::number(&back.cards[0], output);
    near(
        number("translated_short_circuit_current"),
        0.017,
        1e-12,
        "Isc",
    );
    near(
        number("translated_open_circuit_voltage"),
        0.72,
        1e-12,
        "Voc",
    );
    near(number("translated_maximum_power"), 0.009, 1e-12, "Pmax");
}

#[wasm_bindgen_test(unsupported = test)]
fn steps_that_are_too_long_are_said_or_refused() {
    assert_eq!(
        check(&translated(&[]), "long_step").unwrap().0,
        Level::InRange
    );
    let (level, sentence) =
        check(&translated(&[("irradiance", "50 mW/cm2")]), "long_step").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("The irradiance changes by 100 %"),
        "{sentence}"
    );
    let rising = translated(&[("beta", "2 mV/K")]);
    assert_eq!(check(&rising, "voltage_rises").unwrap().0, Level::Warning);
    stops(
        &translated(&[("beta", "2 V/K")]),
        "open_circuit_voltage",
        "nothing_left",
        "“Open-circuit voltage” would be −9.277 V: the step is too long for these coefficients.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn entries_that_no_cell_has_are_refused() {
    stops(
        &translated(&[("maximum_power_voltage", "0.72 V")]),
        "maximum_power_voltage",
        "beyond_axis",
        "“Voltage at maximum power” is 0.72 V, not below the 0.72 V of “Open-circuit voltage”.",
    );
    stops(
        &translated(&[("maximum_power_current", "18 mA")]),
        "maximum_power_current",
        "beyond_axis",
        "“Current at maximum power” is 18 mA, not below the 17 mA of “Short-circuit current”.",
    );
    // 25 K for 25 °C.
    let mistyped = translated(&[("target_temperature", "25 K")]);
    assert!(mistyped.cards[0].outputs.is_empty());
    let warm = translated(&[("temperature", "60 Cel")]);
    assert_eq!(
        check(&warm, "long_temperature_step").unwrap().0,
        Level::Warning
    );
    assert!(check(&translated(&[]), "long_temperature_step").is_none());
}
