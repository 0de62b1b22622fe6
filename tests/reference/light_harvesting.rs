//! The light-harvesting calculator through its public interface: round trips, spectra, uncertainty.

use core::f64::consts::LN_10;

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::properties::Generator;
use crate::support::{self, alone, card, check, checks, stops};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("light_harvesting", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

#[wasm_bindgen_test(unsupported = test)]
fn the_dye_for_a_share_absorbs_that_share() {
    let mut numbers = Generator::new(3_125);
    for _ in 0..200 {
        let wanted = 1.0 - numbers.between(1e-4, 0.999);
        let coefficient = format!("{} m2/mol", numbers.between(100.0, 2e4));
        let needed = evaluated(&[
            ("find", "needed"),
            ("efficiency", &format!("{} %", 100.0 * wanted)),
            ("coefficient", &coefficient),
        ]);
        let amount = format!("{} mol/m2", number(&needed, "areal_amount"));
        let back = evaluated(&[("areal_amount", &amount), ("coefficient", &coefficient)]);
        close("LHE", number(&back, "efficiency"), wanted, 1e-12);
        let absorbance = number(&back, "absorbance");
        close("A", absorbance, number(&needed, "absorbance"), 1e-13);
    }
}

/// Derived by hand: ∂LHE/∂A = ln 10·10^(−A).
#[wasm_bindgen_test(unsupported = test)]
fn its_uncertainty_shrinks_where_little_light_is_left() {
    for (absorbance, u) in [
        ("0.3010299956639812 ± 0.01", 0.011_512_925_464_970_23),
        ("2 ± 0.01", 0.000_230_258_509_299_404_6),
    ] {
        let evaluation = evaluated(&[("from", "absorbance"), ("absorbance", absorbance)]);
        let found = evaluation.estimate("light_harvesting", "efficiency");
        close("u(LHE)", found.unwrap().uncertainty, u, 1e-12);
    }
}

/// A triangular band, rows in no order.
const BAND: &str = "520 12000\n480 4000\n500 8000\n540 0";

fn of_band(wavelength: &str) -> Evaluation {
    evaluated(&[
        ("from", "spectrum"),
        ("areal_amount", "100 nmol/cm2"),
        ("wavelength", wavelength),
        ("spectrum", BAND),
    ])
}

#[wasm_bindgen_test(unsupported = test)]
fn a_spectrum_gives_the_share_at_each_of_its_points() {
    let evaluation = of_band("520 nm");
    close("ε", number(&evaluation, "coefficient"), 1200.0, 1e-12);
    let (field, points) = &evaluation.cards[0].curves[0];
    assert_eq!(field.id, "harvest");
    let nanometres: Vec<f64> = points.x.iter().map(|x| (x * 1e9).round()).collect();
    assert_eq!(nanometres, [480.0, 500.0, 520.0, 540.0]);
    // A of 0.4, 0.8, 1.2 and 0: computed with Python.
    for (found, expected) in points.y.iter().zip([
        0.601_892_829_446_502_8,
        0.841_510_680_753_888_7,
        0.936_904_265_551_980_6,
    ]) {
        close("LHE", *found, expected, 1e-14);
    }
    assert_eq!(points.y[3], 0.0);
    close("LHE", number(&evaluation, "efficiency"), points.y[2], 1e-14);
}

/// Ten nanometres raise the coefficient by 200 m²/mol here: u(ε) = 20 m²/(mol·nm) times u(λ).
#[wasm_bindgen_test(unsupported = test)]
fn the_wavelength_brings_its_uncertainty() {
    let evaluation = of_band("505 ± 1 nm");
    let found = evaluation.estimate("light_harvesting", "coefficient");
    close("u(ε)", found.unwrap().uncertainty, 20.0, 1e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_wavelength_outside_the_band_stops() {
    stops(
        &of_band("550 nm"),
        "wavelength",
        "outside_spectrum",
        "The wavelength (550 nm) is outside the spectrum (480 nm to 540 nm).",
    );
    stops(
        &of_band("540 nm"),
        "wavelength",
        "no_absorption",
        "At 540 nm the coefficient in the spectrum is 0 L/(mol·cm): the dye does not absorb there.",
    );
    let one_point = evaluated(&[
        ("from", "spectrum"),
        ("areal_amount", "100 nmol/cm2"),
        ("wavelength", "500 nm"),
        ("spectrum", "500 8000"),
    ]);
    stops(
        &one_point,
        "spectrum",
        "no_spectrum",
        "This method needs at least 2 points; 1 given.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn that_more_dye_gains_little_is_said() {
    let of = |absorbance| evaluated(&[("from", "absorbance"), ("absorbance", absorbance)]);
    let (level, _) = check(&of("2.1"), "nearly_all_absorbed").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(checks(&of("2")), []);
}

/// The share at each wavelength of a fine grid, pasted into the card of the photocurrent, gives the same current but for
/// the straight lines between its points.
#[wasm_bindgen_test(unsupported = test)]
fn the_absorbed_current_is_that_through_the_share_of_light() {
    let evaluation = of_band("520 nm");
    let share: Vec<String> = (480..=540)
        .map(|nanometres| {
            let x = f64::from(nanometres);
            let coefficient = match nanometres {
                ..=500 => 4000.0 + (x - 480.0) * 200.0,
                501..=520 => 8000.0 + (x - 500.0) * 200.0,
                _ => (540.0 - x) * 600.0,
            };
            format!(
                "{x} {}",
                100.0 * (1.0 - Scalar::exp(-coefficient * 1e-4 * LN_10))
            )
        })
        .collect();
    let cell = alone(card(
        "photocurrent",
        &[("quantum_efficiency", &share.join("\n"))],
    ));
    let through = support::number(&cell.cards[0], "density");
    close("J", number(&evaluation, "absorbed_density"), through, 1e-12);
}

/// So much dye that all light between the ends of the spectrum is absorbed: the limit of the photocurrent, from which the
/// ends, where nothing is absorbed, take half a step each.
#[wasm_bindgen_test(unsupported = test)]
fn with_dye_enough_all_light_is_absorbed() {
    let of = |amount: &str| {
        number(
            &evaluated(&[
                ("from", "spectrum"),
                ("areal_amount", amount),
                ("wavelength", "500 nm"),
                ("spectrum", "400 10000\n800 10000"),
            ]),
            "absorbed_density",
        )
    };
    let limit = alone(card(
        "photocurrent",
        &[
            ("through", "limit"),
            ("from_wavelength", "400 nm"),
            ("to_wavelength", "800 nm"),
        ],
    ));
    let limit = support::number(&limit.cards[0], "density");
    close("all", of("10 umol/cm2"), limit, 1e-13);
    close("90 %", of("100 nmol/cm2"), 0.9 * limit, 1e-13);
}

/// An absorbance is a coefficient times an amount, at every wavelength.
#[wasm_bindgen_test(unsupported = test)]
fn an_absorbance_over_the_wavelength_does_the_same() {
    let by_amount = of_band("505 nm");
    let by_absorbance = evaluated(&[
        ("from", "absorbance_spectrum"),
        ("wavelength", "505 nm"),
        ("absorbance_spectrum", "520 1.2\n480 0.4\n500 0.8\n540 0"),
    ]);
    for output in ["efficiency", "absorbance", "absorbed_density"] {
        close(
            output,
            number(&by_absorbance, output),
            number(&by_amount, output),
            1e-13,
        );
    }
    let (level, _) = check(&by_amount, "cut_off").unwrap();
    assert_eq!(level, Level::Warning);
}

/// A background taken off that is too large: said where it still leaves light, and nothing is given where it does not.
#[wasm_bindgen_test(unsupported = test)]
fn absorption_below_zero_is_said() {
    let of = |least: &str, amount: &str| {
        evaluated(&[
            ("from", "spectrum"),
            ("areal_amount", amount),
            ("wavelength", "530 nm"),
            ("spectrum", &format!("350 0\n530 14100\n600 {least}\n800 0")),
        ])
    };
    for noise in ["0", "-141"] {
        assert_eq!(
            check(&of(noise, "10 nmol/cm2"), "below_zero"),
            None,
            "{noise}"
        );
    }
    let (level, sentence) = check(&of("-1410", "10 nmol/cm2"), "below_zero").unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "The absorption of the dye falls to -10 % of its largest value: a background was taken off that is too large. What \
         lies below zero is taken off the integrals."
            .replace('-', "−")
    );
    stops(
        &of("-14000", "100 nmol/cm2"),
        "spectrum",
        "less_than_no_light",
        "With the values below zero in the spectrum, the film absorbs less than no sunlight.",
    );
}
