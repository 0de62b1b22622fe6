//! The photocurrent through its public interface: the AM families of the book, pasted spectra, uncertainty, refusals.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, Input, Sheet, State, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::light;
use crate::support::{self, alone, card, check, near, stops};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("photocurrent", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// ASTM G173-03 global tilt, trapezoids on its own grid: computed with scipy 1.17.1 and numpy 2.4.6; each value holds to
/// half a unit of its last digit.
#[wasm_bindgen_test(unsupported = test)]
fn limiting_currents_of_sunlight() {
    // Cut-off in nm, its energy in eV; mA/cm² from 280 nm, 300 nm and 400 nm; W/m²; photons in 1/(m²·s) and half a unit.
    let limits = [
        (
            500,
            2.4797,
            [6.456, 6.456, 5.1031],
            185.682,
            4.02953e20,
            5e14,
        ),
        (
            800,
            1.5498,
            [27.2706, 27.2705, 25.9177],
            589.12,
            1.7021e21,
            5e15,
        ),
        (
            850,
            1.4586,
            [30.5128, 30.5128, 29.1599],
            637.861,
            1.90446e21,
            5e15,
        ),
        (
            900,
            1.3776,
            [33.7412, 33.7411, 32.3882],
            683.651,
            2.10596e21,
            5e15,
        ),
        (
            940,
            1.319,
            [35.4642, 35.4642, 34.1113],
            706.943,
            2.2135e21,
            5e15,
        ),
        (
            1000,
            1.2398,
            [38.0607, 38.0607, 36.7078],
            739.963,
            2.37556e21,
            5e15,
        ),
        (
            1100,
            1.1271,
            [43.5181, 43.518, 42.1651],
            804.56,
            2.71618e21,
            5e15,
        ),
        (
            1200,
            1.0332,
            [46.4563, 46.4562, 45.1033],
            836.092,
            2.89957e21,
            5e15,
        ),
    ];
    for (cut_off, energy, currents, irradiance, flux, half) in limits {
        let to = format!("{cut_off} nm");
        for (from, current) in ["", "300 nm", "400 nm"].into_iter().zip(currents) {
            let limit = evaluated(&[
                ("through", "limit"),
                ("from_wavelength", from),
                ("to_wavelength", &to),
            ]);
            within(number(&limit, "density") / 10.0, current, 5e-5);
            if from.is_empty() {
                within(number(&limit, "irradiance"), irradiance, 5e-4);
                within(number(&limit, "photon_flux"), flux, half);
                within(number(&limit, "energy") / 1.602_176_634e-19, energy, 5e-5);
            }
        }
    }
}

#[track_caller]
fn within(found: f64, expected: f64, half_a_unit: f64) {
    assert!(
        (found - expected).abs() <= half_a_unit,
        "{found}, not {expected}"
    );
}

/// The whole of the table: 1000.37 W/m² (published), 69 mA/cm².
#[wasm_bindgen_test(unsupported = test)]
fn the_whole_spectrum_pasted_is_the_built_in_one() {
    let pasted: Vec<String> = light::rows().map(|(x, y)| format!("{x}\t{y}")).collect();
    let pasted = pasted.join("\n");
    for through in ["limit", "quantum_efficiency"] {
        let of = |light: &[(&str, &str)]| {
            let mut entries = vec![
                ("through", through),
                ("to_wavelength", "4000 nm"),
                ("quantum_efficiency", "350 20\n500 80\n700 40\n800 0"),
            ];
            entries.extend(light);
            evaluated(&entries)
        };
        let (own, other) = (
            of(&[]),
            of(&[("light", "pasted"), ("light_spectrum", &pasted)]),
        );
        for output in ["density", "irradiance", "photon_flux"] {
            assert_eq!(number(&own, output), number(&other, output), "{output}");
        }
        if through == "limit" {
            within(number(&own, "irradiance"), 1000.37, 5e-3);
        }
    }
}

/// Points every 10 nm lose the lines of sunlight; that is said, and how much it is was computed with numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn a_coarse_spectrum_is_said() {
    let every_ten: Vec<String> = light::rows()
        .filter(|(x, _)| x.ends_with('0'))
        .map(|(x, y)| format!("{x} {y}"))
        .collect();
    let coarse = evaluated(&[
        ("through", "limit"),
        ("light", "pasted"),
        ("light_spectrum", &every_ten.join("\n")),
        ("to_wavelength", "800 nm"),
    ]);
    close("J", number(&coarse, "density"), COARSE, 1e-9);
    let (level, sentence) = check(&coarse, "coarse_points").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("up to 10 nm apart"), "{sentence}");
}

/// A/m², where the whole table gives 272.706.
const COARSE: f64 = 268.892_850_958_397_3;

/// Half the electrons, half the current; fractions and percent are the same; and a curve of full efficiency is the limit.
#[wasm_bindgen_test(unsupported = test)]
fn current_is_proportional_to_quantum_efficiency() {
    let of = |curve: &str, scale: &str| {
        number(
            &evaluated(&[("quantum_efficiency", curve), ("scale", scale)]),
            "density",
        )
    };
    let whole = of("350 20\n500 80\n700 40\n800 0", "1");
    near(
        of("350 10\n500 40\n700 20\n800 0", "1"),
        whole / 2.0,
        1e-14,
        "half",
    );
    near(
        of("350 20\n500 80\n700 40\n800 0", "0.9"),
        0.9 * whole,
        1e-14,
        "0.9",
    );
    let limit = evaluated(&[
        ("through", "limit"),
        ("from_wavelength", "400 nm"),
        ("to_wavelength", "800 nm"),
    ]);
    near(
        of("400 100\n800 100", "1"),
        number(&limit, "density"),
        1e-13,
        "limit",
    );
    let mut fractions = card(
        "photocurrent",
        &[("quantum_efficiency", "350 0.2\n500 0.8\n700 0.4\n800 0")],
    );
    let Some(Input::Points(points)) = fractions.inputs.get_mut("quantum_efficiency") else {
        panic!("it holds points");
    };
    points.y_unit = "1".into();
    near(
        number(&alone(fractions), "density"),
        whole,
        1e-14,
        "fractions",
    );
}

/// The slope at the limit is the current of the photons there: e·E·λ/(h·c), with E of 780.5 nm between its neighbours.
/// Computed with numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn the_limit_brings_its_uncertainty() {
    let limit = evaluated(&[("through", "limit"), ("to_wavelength", "780.5 ± 5 nm")]);
    let found = limit.estimate("photocurrent", "density").unwrap();
    close("u(J)", found.uncertainty, SLOPE * 5.0, 1e-9);
    let scaled = evaluated(&[
        ("quantum_efficiency", "400 80\n700 80"),
        ("scale", "1 ± 0.03"),
    ]);
    let found = scaled.estimate("photocurrent", "density").unwrap();
    close("u(J)", found.uncertainty, 0.03 * found.value, 1e-12);
}

/// A/(m²·nm)
const SLOPE: f64 = 0.731_591_091_012_054_2;

#[wasm_bindgen_test(unsupported = test)]
fn curves_are_drawn_in_the_range() {
    let cell = evaluated(&[
        ("quantum_efficiency", "350 20\n500 80\n700 40\n800 0"),
        ("scale", "0.9"),
    ]);
    let drawn = |id: &str| {
        let curve = cell.cards[0]
            .curves
            .iter()
            .find(|(field, _)| field.id == id);
        &curve.unwrap().1
    };
    let ends = |points: &[f64]| (points[0], points[points.len() - 1]);
    assert_eq!(ends(&drawn("spectrum").x), (350.0 / 1e9, 800.0 / 1e9));
    assert_eq!(ends(&drawn("response").y), (0.9 * 0.2, 0.0));
    assert_eq!(ends(&drawn("running").y), (0.0, number(&cell, "density")));
}

/// The measured current comes from a card of efficiency, with which the ratio shares its area.
#[wasm_bindgen_test(unsupported = test)]
fn the_measured_current_may_be_linked() {
    let points = "-0.05 10.01\n0 10\n0.3 9.8\n0.5 8\n0.6 5\n0.7 0.1\n0.71 -1";
    let cell = card(
        "efficiency",
        &[
            ("points", points),
            ("area", "0.5 ± 0.01 cm2"),
            ("irradiance", "1000 W/m2"),
            ("axes", "lines"),
        ],
    );
    let mut light = card(
        "photocurrent",
        &[("through", "limit"), ("to_wavelength", "800 nm")],
    );
    let link = Input::Link("efficiency.short_circuit_density".parse().unwrap());
    light.inputs.insert("short_circuit_density".into(), link);
    let evaluation = evaluate(&Sheet {
        cards: vec![cell, light],
    });
    let ratio = evaluation.estimate("photocurrent", "ratio").unwrap();
    close("Jsc/J", ratio.value, 20.0 / 27.2706, 2e-6);
    close("u", ratio.uncertainty / ratio.value, 0.02, 1e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_is_refused() {
    stops(
        &evaluated(&[("quantum_efficiency", "4000 80\n8000 80")]),
        "quantum_efficiency",
        "no_common_range",
        "The light reaches from 280 nm to 4000 nm; the points of the quantum efficiency lie elsewhere.",
    );
    let mut percent = card("photocurrent", &[("quantum_efficiency", "400 80\n700 80")]);
    let Some(Input::Points(points)) = percent.inputs.get_mut("quantum_efficiency") else {
        panic!("it holds points");
    };
    points.y_unit = "1".into();
    stops(
        &alone(percent),
        "quantum_efficiency",
        "efficiency_above_one",
        "The quantum efficiency reaches 80: a photon gives one electron at most.",
    );
    stops(
        &evaluated(&[
            ("through", "limit"),
            ("from_wavelength", "800 nm"),
            ("to_wavelength", "700 nm"),
        ]),
        "from_wavelength",
        "empty_range",
        "The range from 800 nm to 700 nm is empty.",
    );
    stops(
        &evaluated(&[("through", "limit"), ("to_wavelength", "200 nm")]),
        "to_wavelength",
        "no_light",
        "There is no light in the range: the spectrum reaches from 280 nm to 4000 nm.",
    );
    for curve in [
        "500 80",
        "500 0\n600 0",
        "500 80\n500 70",
        "-500 80\n500 80",
    ] {
        let evaluation = evaluated(&[("quantum_efficiency", curve)]);
        let problem = refusal(&evaluation);
        assert_eq!(
            problem,
            ("quantum_efficiency".to_owned(), "no_spectrum"),
            "{curve}"
        );
    }
}

fn refusal(evaluation: &Evaluation) -> (String, &'static str) {
    let State::Stopped(problems) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    (problems[0].path.clone(), problems[0].code)
}

#[wasm_bindgen_test(unsupported = test)]
fn a_colleague_would_say() {
    let level = |entries: &[(&str, &str)], code: &str| {
        check(&evaluated(entries), code).map(|(level, _)| level)
    };
    let eqe = |curve| [("quantum_efficiency", curve)];
    let zero = "350 0\n500 80\n800 0";
    assert_eq!(level(&eqe(zero), "zero_outside"), Some(Level::Note));
    assert_eq!(
        level(&eqe("350 20\n500 80\n800 0"), "cut_off"),
        Some(Level::Warning)
    );
    assert_eq!(
        level(&eqe("350 0\n500 103\n800 0"), "efficiency_above_one"),
        Some(Level::Warning)
    );
    assert_eq!(
        level(&eqe("350 0\n500 0.8\n800 0"), "efficiency_small"),
        Some(Level::Warning)
    );
    assert_eq!(
        level(&eqe("350 0\n500 80\n800 -2"), "efficiency_negative"),
        Some(Level::Warning)
    );
    let light = |least| {
        let spectrum = format!("300 1\n599 1\n600 {least}\n800 1");
        let pasted = [("light", "pasted"), ("light_spectrum", &*spectrum)];
        level(&[&eqe(zero)[..], &pasted].concat(), "below_zero")
    };
    assert_eq!(light("-0.02"), Some(Level::Warning));
    assert_eq!(light("-0.01"), None);
    assert_eq!(
        level(&eqe("250 0\n500 80\n800 0"), "light_not_known"),
        Some(Level::Warning)
    );
    assert_eq!(level(&eqe(zero), "light_not_known"), None);
    let against = |measured| {
        [
            ("quantum_efficiency", zero),
            ("short_circuit_density", measured),
        ]
    };
    // 350 nm to 800 nm, 80 % at the top: near 10.9 mA/cm².
    assert_eq!(
        level(&against("11 mA/cm2"), "agreement"),
        Some(Level::InRange)
    );
    assert_eq!(
        level(&against("14 mA/cm2"), "agreement"),
        Some(Level::Warning)
    );
    assert_eq!(
        level(&against("8 mA/cm2"), "agreement"),
        Some(Level::Warning)
    );
    let limit = |measured| {
        [
            ("through", "limit"),
            ("to_wavelength", "800 nm"),
            ("short_circuit_density", measured),
        ]
    };
    assert_eq!(
        level(&limit("20 mA/cm2"), "below_the_light"),
        Some(Level::InRange)
    );
    assert_eq!(
        level(&limit("28 mA/cm2"), "above_the_light"),
        Some(Level::Warning)
    );
    let film = |measured| {
        [
            ("through", "film"),
            ("absorbed_density", "15 mA/cm2"),
            ("transmittance", "90 %"),
            ("collected", "80 %"),
            ("short_circuit_density", measured),
        ]
    };
    // 10.8 mA/cm² are expected.
    assert_eq!(
        level(&film("10 mA/cm2"), "below_the_light"),
        Some(Level::InRange)
    );
    assert_eq!(
        level(&film("12 mA/cm2"), "more_than_expected"),
        Some(Level::Note)
    );
    assert_eq!(
        level(&film("16 mA/cm2"), "above_the_light"),
        Some(Level::Warning)
    );
}
