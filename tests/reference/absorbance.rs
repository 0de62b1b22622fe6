//! The absorbance calculator through its public interface: transmittances, uncertainty, round trips, ranges.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};
use crate::properties::Generator;
use crate::support::{self, alone, card, checks};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("absorbance", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// A = −log₁₀ T, computed with Python.
#[wasm_bindgen_test(unsupported = test)]
fn absorbance_and_transmittance() {
    for (transmittance, absorbance) in [
        ("100 %", 0.0),
        ("50 %", core::f64::consts::LOG10_2),
        ("10 %", 1.0),
        ("1 %", 2.0),
        ("0.1 %", 3.0),
    ] {
        let others = [("coefficient", "100 m2/mol"), ("path", "1 cm")];
        let read = [
            ("read_as", "transmittance"),
            ("transmittance", transmittance),
        ];
        let found = number(&evaluated(&[others, read].concat()), "absorbance");
        within(transmittance, found, absorbance, 1e-9);
        let typed = found.to_string();
        let back = evaluated(&[&others[..], &[("absorbance", typed.as_str())]].concat());
        let percent = format!("{} %", 100.0 * number(&back, "transmittance"));
        let again = [("read_as", "transmittance"), ("transmittance", &percent)];
        let again = number(&evaluated(&[others, again].concat()), "absorbance");
        within(transmittance, again, absorbance, 1e-12);
    }
}

/// JCGM 100:2008, 5.1.2; computed with Python.
#[wasm_bindgen_test(unsupported = test)]
fn the_uncertainty_of_a_concentration() {
    let evaluation = evaluated(&[
        ("absorbance", "0.572 ± 0.003"),
        ("coefficient", "1.21e4 ± 1.0e2 L/(mol.cm)"),
        ("path", "1.000 ± 0.002 cm"),
    ]);
    let found = evaluation.estimate("absorbance", "concentration").unwrap();
    // mol/L
    close("c", found.value / 1e3, 4.727_272_727_272_727e-5, 1e-9);
    close(
        "u",
        found.uncertainty / 1e3,
        4.722_751_365_937_067_6e-7,
        1e-9,
    );
    close(
        "u/c",
        found.uncertainty / found.value,
        0.009_990_435_581_789_952,
        1e-9,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn any_one_quantity_is_found_from_the_others() {
    let mut numbers = Generator::new(20_261_127);
    for _ in 0..200 {
        let c = format!("{} mol/m3", numbers.between(1e-3, 10.0));
        let coefficient = format!("{} m2/mol", numbers.between(10.0, 2e4));
        let path = format!("{} m", numbers.between(1e-4, 0.1));
        let quantities = [
            ("concentration", c.as_str()),
            ("coefficient", coefficient.as_str()),
            ("path", path.as_str()),
        ];
        let forward = evaluated(&[&quantities[..], &[("find", "absorbance")]].concat());
        let absorbance = number(&forward, "absorbance").to_string();
        for (find, typed) in quantities {
            let mut entries: Vec<(&str, &str)> = vec![("find", find), ("absorbance", &absorbance)];
            entries.extend(quantities.iter().filter(|(field, _)| *field != find));
            let expected: f64 = typed.split(' ').next().unwrap().parse().unwrap();
            close(find, number(&evaluated(&entries), find), expected, 1e-14);
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn where_instruments_read_well_is_said() {
    let of = |absorbance| {
        let entries = [("coefficient", "1000 m2/mol"), ("absorbance", absorbance)];
        checks(&evaluated(&entries))
    };
    assert_eq!(of("0.099"), [("absorbance_low", Level::Note)]);
    assert_eq!(of("0.1"), [("absorbance_in_range", Level::InRange)]);
    assert_eq!(of("1.0"), [("absorbance_in_range", Level::InRange)]);
    assert_eq!(of("1.01"), [("absorbance_high", Level::Note)]);
    assert_eq!(of("2.1"), [("absorbance_too_high", Level::Warning)]);
}
