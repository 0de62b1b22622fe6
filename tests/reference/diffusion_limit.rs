//! The diffusion limit through its public interface: margins, both ways, and the profile it stands on.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, checks, near, number};

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

/// Fick's law stepped through slices of a gap at a current, two electrons a triiodide, made at one end and used up at the
/// other: started evenly and run until steady. Slices are as wide as given, hold so much liquid and let diffuse so fast.
/// Gives the concentrations at both electrodes.
fn at_the_electrodes(slices: &[(f64, f64, f64)], mean: f64, current: f64) -> [f64; 2] {
    const FARADAY: f64 = 6.022_140_76e23 * 1.602_176_634e-19;
    let flux = current / (2.0 * FARADAY);
    let resistance = |slice: &(f64, f64, f64)| slice.0 / (2.0 * slice.2);
    let between: Vec<f64> = slices
        .windows(2)
        .map(|two| resistance(&two[0]) + resistance(&two[1]))
        .collect();
    let quickest = between.iter().copied().fold(f64::INFINITY, f64::min);
    let smallest = slices.iter().map(|slice| slice.0 * slice.1);
    let step = 0.4 * quickest * smallest.fold(f64::INFINITY, f64::min);
    let mut profile = vec![mean; slices.len()];
    let mut flows = vec![flux; slices.len() + 1];
    for _ in 0..60_000 {
        for (flow, (two, resistance)) in flows[1..].iter_mut().zip(profile.windows(2).zip(&between))
        {
            *flow = (two[0] - two[1]) / resistance;
        }
        for ((cell, slice), two) in profile.iter_mut().zip(slices).zip(flows.windows(2)) {
            *cell += (two[0] - two[1]) * step / (slice.0 * slice.1);
        }
    }
    // The middle of the outer slices is half a slice away from the electrodes.
    let last = slices.len() - 1;
    [
        profile[0] + flux * resistance(&slices[0]),
        profile[last] - flux * resistance(&slices[last]),
    ]
}

#[wasm_bindgen_test(unsupported = test)]
fn the_limit_is_where_the_profile_touches_zero() {
    let found = number(&limit(&[]).cards[0], "limit");
    let slices = vec![(60e-6 / 40.0, 1.0, 1.5e-9); 40];
    let [made, used] = at_the_electrodes(&slices, 50.0, found);
    assert!(used.abs() < 1e-6 * 50.0, "{used}");
    near(made, 100.0, 1e-6, "at the film");
}

#[wasm_bindgen_test(unsupported = test)]
fn with_a_film_it_touches_zero_as_well() {
    for (thickness, porosity, inside) in [(10.0, 0.57, 0.44e-9), (30.0, 0.4, 0.2e-9)] {
        let texts = [
            format!("{thickness} um"),
            format!("{} %", porosity * 100.0),
            format!("{inside} m2/s"),
        ];
        let found = number(
            &limit(&[
                ("diffusivity", "1.24e-9 m2/s"),
                ("gap", "48 um"),
                ("film", "counted"),
                ("thickness", &texts[0]),
                ("porosity", &texts[1]),
                ("film_diffusivity", &texts[2]),
            ])
            .cards[0],
            "limit",
        );
        let film = (thickness * 1e-6 / 16.0, porosity, inside);
        let room = ((48.0 - thickness) * 1e-6 / 16.0, 1.0, 1.24e-9);
        let slices = [[film; 16], [room; 16]].concat();
        let [_, used] = at_the_electrodes(&slices, 50.0, found);
        assert!(used.abs() < 1e-6 * 50.0, "{used}");
    }
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
fn a_film_takes_part_of_the_margin() {
    fn film(changes: &[(&str, &str)]) -> Evaluation {
        let usual = [
            ("diffusivity", "1.24e-5 cm2/s"),
            ("film", "counted"),
            ("thickness", "10 um"),
            ("porosity", "57 %"),
            ("film_diffusivity", "0.44e-5 cm2/s"),
            ("current", "12 mA/cm2"),
        ];
        limit(&[&usual, changes].concat())
    }
    // At the largest gap the margin is the wanted one.
    let widest = format!("{} m", number(&film(&[]).cards[0], "largest_gap"));
    let at_widest = film(&[("gap", &widest)]);
    near(number(&at_widest.cards[0], "margin"), 2.0, 1e-12, "margin");
    // A film that does not hinder and is all pores is no film.
    let open = film(&[("porosity", "100 %"), ("film_diffusivity", "1.24e-5 cm2/s")]);
    let without = limit(&[("diffusivity", "1.24e-5 cm2/s"), ("current", "12 mA/cm2")]);
    for output in ["limit", "largest_gap", "least_triiodide"] {
        let (one, other) = (
            number(&open.cards[0], output),
            number(&without.cards[0], output),
        );
        near(one, other, 1e-13, output);
    }
    // So slow a film limits by itself.
    let slow = film(&[("film_diffusivity", "2e-8 cm2/s"), ("thickness", "30 um")]);
    assert!(slow.cards[0].output("largest_gap").is_none());
    let (level, sentence) = check(&slow, "limited_by_diffusion").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("The film itself holds triiodide up,"),
        "{sentence}"
    );
    // A wide room would hold triiodide enough, but a narrower one does not help.
    let held_up = film(&[
        ("film_diffusivity", "1e-9 cm2/s"),
        ("current", "0.3 mA/cm2"),
    ]);
    assert!(number(&held_up.cards[0], "largest_gap") > 60e-6);
    let (_, sentence) = check(&held_up, "limited_by_diffusion").unwrap();
    assert!(
        sentence.contains("The film itself holds triiodide up,"),
        "{sentence}"
    );
    let odd = film(&[("film_diffusivity", "2e-5 cm2/s")]);
    assert_eq!(check(&odd, "film_faster").unwrap().0, Level::Warning);
    support::stops(
        &film(&[("thickness", "60 um")]),
        "thickness",
        "film_above_gap",
        "The film (60 µm) fills the gap (60 µm): it would touch the counter electrode.",
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
