//! The spectral mismatch through its public interface: where it is exactly one, scales, bands, what is left out.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::light;
use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, stops};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("spectral_mismatch", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// An invented curve from 300 nm to 1200 nm, times a factor.
fn curve(seed: u64, step: usize, factor: f64) -> String {
    let mut numbers = Generator::new(seed);
    let lines: Vec<String> = (300..=1200)
        .step_by(step)
        .map(|wavelength| format!("{wavelength} {}", factor * numbers.between(0.1, 2.0)))
        .collect();
    lines.join("\n")
}

fn factor(lamp: &str, reference: Option<&str>, device: &str, cell: &str) -> f64 {
    let mut entries = vec![
        ("lamp", lamp),
        ("device_curve", device),
        ("cell_curve", cell),
    ];
    entries.extend([("cell", "response")]);
    if let Some(reference) = reference {
        entries.extend([("reference", "pasted"), ("reference_spectrum", reference)]);
    }
    number(&evaluated(&entries), "mismatch")
}

#[wasm_bindgen_test(unsupported = test)]
fn devices_or_spectra_alike_give_exactly_one() {
    for seed in 0..20 {
        let (lamp, device, cell) = (
            curve(seed, 10, 1.0),
            curve(seed + 100, 25, 1.0),
            curve(seed + 200, 50, 1.0),
        );
        assert_eq!(factor(&lamp, None, &device, &device), 1.0);
        assert_eq!(factor(&lamp, Some(&lamp), &device, &cell), 1.0);
        assert_ne!(factor(&lamp, None, &device, &cell), 1.0);
    }
    let sun: Vec<String> = light::rows().map(|(x, y)| format!("{x} {y}")).collect();
    let (device, cell) = (curve(1, 25, 1.0), curve(2, 50, 1.0));
    // The same but for the factor between the units.
    near(
        factor(&sun.join("\n"), None, &device, &cell),
        1.0,
        1e-14,
        "sunlight",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn only_shapes_count() {
    for seed in 0..20 {
        let of = |scales: [f64; 4]| {
            let [lamp, reference, device, cell] = scales;
            factor(
                &curve(seed, 10, lamp),
                Some(&curve(seed + 1, 5, reference)),
                &curve(seed + 100, 25, device),
                &curve(seed + 200, 50, cell),
            )
        };
        let plain = of([1.0; 4]);
        near(of([7.3, 1.0, 1.0, 1.0]), plain, 1e-13, "lamp");
        near(of([1.0, 0.011, 1.0, 1.0]), plain, 1e-13, "reference");
        near(of([1.0, 1.0, 310.0, 1.0]), plain, 1e-13, "device");
        near(of([1.0, 1.0, 1.0, 0.2]), plain, 1e-13, "cell");
    }
}

/// Both spectra changed with each other, or both devices: M turns round.
#[wasm_bindgen_test(unsupported = test)]
fn it_turns_round_with_the_devices() {
    for seed in 0..20 {
        let (lamp, sun) = (curve(seed, 10, 1.0), curve(seed + 50, 5, 1.0));
        let (device, cell) = (curve(seed + 100, 25, 1.0), curve(seed + 200, 50, 1.0));
        let plain = factor(&lamp, Some(&sun), &device, &cell);
        near(
            factor(&lamp, Some(&sun), &cell, &device),
            1.0 / plain,
            1e-13,
            "devices",
        );
        near(
            factor(&sun, Some(&lamp), &device, &cell),
            1.0 / plain,
            1e-13,
            "spectra",
        );
    }
}

/// A cell that answers only where the lamp has more than the sun, and a reference device that answers only where both are
/// alike: the cell is under more light than the device says. Two boxes by hand: the lamp has twice the light from 400 nm
/// to 500 nm.
#[wasm_bindgen_test(unsupported = test)]
fn a_lamp_that_the_cell_likes_gives_more_than_one() {
    let found = factor(
        "400 2\n500 2\n500.001 1\n800 1",
        Some("400 1\n800 1"),
        "600 1\n700 1",
        "420 1\n480 1",
    );
    near(found, 2.0, 1e-12, "M");
}

/// A quantum efficiency is the same device as its response, which is proportional to EQE·λ: a flat quantum efficiency
/// is a response that rises with the wavelength.
#[wasm_bindgen_test(unsupported = test)]
fn quantum_efficiency_times_wavelength_is_response() {
    let lamp = curve(5, 10, 1.0);
    let of = |by, device| {
        number(
            &evaluated(&[
                ("lamp", &lamp),
                ("device", by),
                ("device_curve", device),
                ("cell", "response"),
                ("cell_curve", "400 1\n600 3\n800 0"),
            ]),
            "mismatch",
        )
    };
    near(
        of("quantum_efficiency", "400 50\n1000 50"),
        of("response", "400 4\n1000 10"),
        1e-13,
        "M",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_allowance_brings_the_uncertainty() {
    let entries = [
        ("lamp", "300 1\n1200 2"),
        ("device_curve", "300 1\n1200 1"),
        ("cell_curve", "350 0\n500 1\n800 0"),
        ("allowance", "1 ± 0.015"),
    ];
    let evaluation = evaluated(&entries);
    let found = evaluation
        .estimate("spectral_mismatch", "mismatch")
        .unwrap();
    close("u(M)/M", found.uncertainty / found.value, 0.015, 1e-12);
    assert_eq!(check(&evaluation, "uncertainty_unknown"), None);
    let without = evaluated(&entries[..3]);
    assert!(check(&without, "uncertainty_unknown").is_some());
}

/// Shares of AM1.5G: computed with numpy 2.4.6, rounded; the standard's table from memory, to 0.1 of a percentage point.
#[wasm_bindgen_test(unsupported = test)]
fn bands_of_sunlight() {
    let sun: Vec<String> = light::rows().map(|(x, y)| format!("{x} {y}")).collect();
    let evaluation = evaluated(&[
        ("lamp", &sun.join("\n")),
        ("device", "flat"),
        ("cell_curve", "350 0\n500 1\n800 0"),
    ]);
    for (band, computed, standard) in [
        ("400_500", 18.40, 18.4),
        ("500_600", 19.91, 19.9),
        ("600_700", 18.36, 18.4),
        ("700_800", 14.92, 14.9),
        ("800_900", 12.46, 12.5),
        ("900_1100", 15.94, 15.9),
    ] {
        let share = 100.0 * number(&evaluation, &format!("bands.{band}.reference_share"));
        assert!((share - computed).abs() <= 5e-3, "{band}: {share}");
        assert!((share - standard).abs() <= 0.1, "{band}: {share}");
        let ratio = number(&evaluation, &format!("bands.{band}.band_ratio"));
        near(ratio, 1.0, 1e-13, band);
    }
    let (level, sentence) = check(&evaluation, "bands").unwrap();
    assert_eq!(level, Level::InRange);
    assert!(
        sentence.ends_with("0.75 to 1.25 is class A of spectral match."),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn classes_go_by_the_farthest_band() {
    let of = |blue: f64| {
        let lamp: Vec<String> = light::rows()
            .map(|(x, y)| {
                let factor = if x.parse::<f64>().unwrap() <= 500.0 {
                    blue
                } else {
                    1.0
                };
                format!("{x} {}", factor * y.parse::<f64>().unwrap())
            })
            .collect();
        let entries = [
            ("lamp", lamp.join("\n")),
            ("device", "flat".into()),
            ("cell_curve", "350 0\n500 1\n800 0".into()),
        ];
        let entries: Vec<(&str, &str)> = entries.iter().map(|(id, text)| (*id, &**text)).collect();
        check(&evaluated(&entries), "bands").unwrap()
    };
    for (blue, class) in [(1.2, "class A"), (1.4, "class B"), (2.0, "class C")] {
        let (level, sentence) = of(blue);
        assert_eq!(level, Level::InRange);
        assert!(sentence.contains(class), "{blue}: {sentence}");
    }
    assert_eq!(of(4.0).0, Level::Warning);
}

#[wasm_bindgen_test(unsupported = test)]
fn light_that_is_not_known_is_said() {
    let short = evaluated(&[
        ("lamp", "400 1\n700 1"),
        ("device_curve", "300 0\n700 1\n1200 0"),
        ("cell_curve", "350 0\n500 1\n690 0"),
    ]);
    let (level, sentence) = check(&short, "light_not_known").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("The lamp is known from 400 nm to 700 nm only: "),
        "{sentence}"
    );
    // Neither spectrum reaches the infrared, so there are no bands.
    assert!(short.cards[0].output("bands.400_500.lamp_share").is_none());
    let wide = evaluated(&[
        ("lamp", "280 1\n1300 1"),
        ("device_curve", "300 0\n700 1\n1200 0"),
        ("cell_curve", "350 0\n500 1\n690 0"),
    ]);
    assert_eq!(check(&wide, "light_not_known"), None);
    // A thermopile answers what lies beyond: computed with numpy, 12.12 % of AM1.5G lies outside.
    let thermopile = evaluated(&[
        ("lamp", "280 1\n1300 1"),
        ("device", "flat"),
        ("cell_curve", "350 0\n500 1\n690 0"),
    ]);
    let (_, sentence) = check(&thermopile, "light_not_known").unwrap();
    assert!(
        sentence.contains(": 12 % of what the reference device"),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn devices_in_the_dark_are_refused() {
    stops(
        &evaluated(&[
            ("lamp", "400 1\n700 1"),
            ("device_curve", "400 1\n700 1"),
            ("cell_curve", "750 1\n900 1"),
        ]),
        "cell_curve",
        "no_common_range",
        "Cell and the lamp have no light in common.",
    );
    let evaluation = evaluated(&[
        ("lamp", "400 0\n700 0"),
        ("device_curve", "400 1\n700 1"),
        ("cell_curve", "400 1\n700 1"),
    ]);
    let State::Stopped(problems) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    assert_eq!(
        (&*problems[0].path, problems[0].code),
        ("lamp", "no_spectrum")
    );
}

/// Lamp, reference device by its curve or flat, and cell.
fn with(lamp: &str, device: Option<&str>, cell: &str) -> Evaluation {
    let mut entries = vec![("lamp", lamp), ("cell_curve", cell)];
    match device {
        Some(curve) => entries.push(("device_curve", curve)),
        None => entries.push(("device", "flat")),
    }
    evaluated(&entries)
}

#[wasm_bindgen_test(unsupported = test)]
fn values_below_zero_are_said_of_every_curve() {
    let good = "350 1\n600 1\n1000 1";
    let bad = "350 1\n600 1\n999 1\n1000 -0.02";
    assert_eq!(check(&with(good, Some(good), good), "below_zero"), None);
    for (evaluation, what) in [
        (with(bad, Some(good), good), "spectrum of the lamp"),
        (with(good, Some(bad), good), "curve of the reference device"),
        (with(good, Some(good), bad), "curve of the cell"),
    ] {
        let (level, sentence) = check(&evaluation, "below_zero").unwrap();
        assert_eq!(level, Level::Warning);
        assert!(
            sentence.starts_with(&format!(
                "The {what} falls to −2.0 % of its largest value: "
            )),
            "{sentence}"
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn answers_that_are_not_above_zero_have_a_sentence_of_their_own() {
    let good = "350 1\n1000 1";
    let dark = "350 1\n400 -2\n1000 -2";
    stops(
        &with(dark, None, good),
        "lamp",
        "no_answer",
        "Under the lamp the reference device answers, over all wavelengths, nothing or less.",
    );
    stops(
        &with(good, Some(good), dark),
        "cell_curve",
        "no_answer",
        "Under the reference spectrum the cell answers, over all wavelengths, nothing or less.",
    );
    // Both reach over the same wavelengths, but one is zero where the other is not.
    stops(
        &with(
            "350 0\n699 0\n700 1\n1000 1",
            Some(good),
            "350 0\n500 1\n690 0\n1000 0",
        ),
        "cell_curve",
        "no_answer",
        "Under the lamp the cell answers, over all wavelengths, nothing or less.",
    );
}
