//! The diffusion limit through its public interface: margins, both ways, and the profile it stands on.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, checks, near, number};

/// 50 mmol/L across 60 µm, changed as said.
fn limit(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("diffusivity", "1.5e-9 m2/s"),
        ("triiodide", "50 mmol/L"),
        ("gap", "60 um"),
        ("wanted", "2"),
    ];
    alone(card("diffusion_limit", &[&usual, changes].concat()))
}

/// Fick's law stepped through the gap, two electrons a triiodide, both electrodes in one thin layer: started evenly and run
/// until steady at a given current, the concentration at the counter electrode falls to nothing at 4·F·D·c/h.
#[wasm_bindgen_test(unsupported = test)]
fn the_limit_is_where_the_profile_touches_zero() {
    const FARADAY: f64 = 6.022_140_76e23 * 1.602_176_634e-19;
    let (diffusivity, mean, gap) = (1.5e-9, 50.0, 60e-6);
    let found = number(&limit(&[]).cards[0], "limit");
    let flux = found / (2.0 * FARADAY);
    let cells = 40;
    let width = gap / f64::from(cells);
    let step = 0.4 * width * width / diffusivity;
    let mut profile = vec![mean; cells as usize];
    for _ in 0..20_000 {
        let flows: Vec<f64> = profile
            .windows(2)
            .map(|two| diffusivity * (two[0] - two[1]) / width)
            .collect();
        let inward = core::iter::once(flux).chain(flows.iter().copied());
        let outward = flows.iter().copied().chain([flux]);
        let changes: Vec<f64> = inward.zip(outward).map(|(from, to)| from - to).collect();
        for (cell, change) in profile.iter_mut().zip(changes) {
            *cell += change * step / width;
        }
    }
    // The middle of the last cell is half a cell away from the electrode.
    let slope = 2.0 * mean / gap;
    let at_electrode = profile[profile.len() - 1] - slope * width / 2.0;
    assert!(at_electrode.abs() < 1e-6 * mean, "{at_electrode}");
    near(
        profile[0] + slope * width / 2.0,
        2.0 * mean,
        1e-6,
        "at the film",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn largest_gap_and_least_triiodide_leave_the_wanted_margin() {
    let mut numbers = Generator::new(96_485);
    for _ in 0..200 {
        let texts = [
            format!("{} m2/s", numbers.between(1e-12, 5e-9)),
            format!("{} mmol/L", numbers.between(1.0, 1000.0)),
            format!("{} um", numbers.between(5.0, 500.0)),
            format!("{} mA/cm2", numbers.between(0.1, 40.0)),
            format!("{}", numbers.between(1.0, 10.0)),
        ];
        let [diffusivity, triiodide, gap, current, wanted] = texts.each_ref().map(String::as_str);
        let usual = [
            ("diffusivity", diffusivity),
            ("triiodide", triiodide),
            ("gap", gap),
            ("current", current),
            ("wanted", wanted),
        ];
        let first = limit(&usual);
        let card = &first.cards[0];
        let margin = wanted.parse().unwrap();
        for (field, output, unit, factor) in [
            ("gap", "largest_gap", "um", 1e6),
            ("triiodide", "least_triiodide", "mmol/L", 1.0),
        ] {
            let text = format!("{} {unit}", number(card, output) * factor);
            let again = limit(&[&usual[..], &[(field, &text)]].concat());
            near(number(&again.cards[0], "margin"), margin, 1e-13, output);
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_margin_is_said_with_what_would_leave_it() {
    assert_eq!(checks(&limit(&[])), []);
    let (level, sentence) = check(&limit(&[("current", "12 mA/cm2")]), "margin_as_wanted").unwrap();
    assert_eq!(level, Level::InRange);
    assert!(
        sentence.starts_with("Diffusion carries at most 48.24 mA/cm², 4.02 times the 12 mA/cm² of the cell; a margin of 2"),
        "{sentence}"
    );
    let (level, sentence) =
        check(&limit(&[("current", "30 mA/cm2")]), "margin_below_wanted").unwrap();
    assert_eq!(level, Level::Warning);
    // 60 µm·1.608/2 and 50 mmol/L·2/1.608.
    assert!(
        sentence.contains("the gap may be 48.24 µm at most; with this gap it takes 62.19 mmol/L of triiodide or more."),
        "{sentence}"
    );
    let (level, sentence) =
        check(&limit(&[("current", "60 mA/cm2")]), "limited_by_diffusion").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("such a current cannot last."),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_coefficient_in_the_wrong_unit_is_seen() {
    for (diffusivity, unusual) in [
        ("1.5e-5 cm2/s", false),
        ("2e-11 m2/s", false),
        ("1.5e-5 m2/s", true),
        ("1.5e-13 cm2/s", true),
    ] {
        let codes = checks(&limit(&[("diffusivity", diffusivity)]));
        let expected: &[_] = if unusual {
            &[("diffusivity_unusual", Level::Warning)]
        } else {
            &[]
        };
        assert_eq!(codes, expected, "{diffusivity}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_curve_passes_through_the_result() {
    let evaluation = limit(&[]);
    let (field, points) = &evaluation.cards[0].curves[0];
    assert_eq!(field.id, "over_gap");
    near(points.x[0], 20e-6, 1e-12, "from");
    near(*points.x.last().unwrap(), 180e-6, 1e-12, "to");
    let found = number(&evaluation.cards[0], "limit");
    for (gap, limit) in points.x.iter().zip(&points.y) {
        near(gap * limit, 60e-6 * found, 1e-12, "limit");
    }
}
