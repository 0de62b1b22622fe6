//! Step heights through their public interface: what is fitted, spikes, missing readings, several traces.

use core::fmt::Write as _;

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Input, Row, Sheet, evaluate};
use glasswick_core::uncertainty::Origin;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, stops};

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// A ridge of 200 nm from 100 µm to 200 µm in 300 µm, tilted, with a saw of 1 nm, changed reading by reading.
fn trace(change: impl Fn(usize, f64) -> Option<f64>) -> String {
    let mut text = String::from("position/um\theight/nm\n");
    for i in 0..300 {
        let x = i as f64 + 0.5;
        let step = if (100.0..200.0).contains(&x) {
            200.0
        } else {
            0.0
        };
        let saw = [0.0, 1.0, 0.0, -1.0][i % 4];
        if let Some(z) = change(i, 40.0 + 0.3 * x + step + saw) {
            writeln!(text, "{x}\t{z}").unwrap();
        }
    }
    text
}

fn evaluated(trace: &str, entries: &[(&str, &str)]) -> Evaluation {
    let entries: Vec<_> = [("trace", trace)].iter().chain(entries).copied().collect();
    alone(card("step_height", &entries))
}

#[wasm_bindgen_test(unsupported = test)]
fn edges_are_found_and_the_fitted_parts_are_named() {
    let evaluation = evaluated(&trace(|_, z| Some(z)), &[]);
    near(number(&evaluation, "height"), 200e-9, 2e-3, "height");
    near(number(&evaluation, "left_edge"), 100e-6, 1e-9, "left edge");
    near(number(&evaluation, "width"), 100e-6, 1e-9, "width");
    let (level, sentence) = check(&evaluation, "parts_fitted").unwrap();
    assert_eq!(level, Level::InRange);
    assert_eq!(
        sentence,
        "Fitted: substrate from 0.5 µm to 66.67 µm and 233.3 µm to 299.5 µm, film from 133.3 µm to 166.7 µm."
    );
    let cut = trace(|i, z| (i < 260).then_some(z));
    let (level, sentence) = check(&evaluated(&cut, &[]), "parts_fitted").unwrap();
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("233.3 µm to 259.5 µm"), "{sentence}");
    let (level, _) = check(&evaluation, "spikes").unwrap();
    assert_eq!(level, Level::InRange);
    assert_eq!(check(&evaluation, "missing"), None);
    let (field, points) = &evaluation.cards[0].curves[0];
    assert_eq!(field.id, "levelled");
    assert_eq!(points.x.len(), 300);
    assert!(points.y[20].abs() < 2e-9 && (points.y[150] - 200e-9).abs() < 2e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn typed_edges_and_positions_agree_with_found_ones() {
    let trace = trace(|_, z| Some(z));
    let found = number(&evaluated(&trace, &[]), "height");
    let typed = evaluated(
        &trace,
        &[
            ("parts", "edges"),
            ("left_edge", "100 um"),
            ("right_edge", "200 um"),
        ],
    );
    near(number(&typed, "height"), found, 1e-12, "edges");
    let positions = evaluated(
        &trace,
        &[
            ("parts", "positions"),
            ("substrate_from", "10 um"),
            ("substrate_to", "90 um"),
            ("film_from", "110 um"),
            ("film_to", "190 um"),
        ],
    );
    near(number(&positions, "height"), found, 1e-2, "positions");
    // The same film, seen as the surroundings of a groove that it is not.
    let groove = evaluated(&trace, &[("feature", "groove")]);
    near(number(&groove, "height"), -found, 1e-12, "groove");
    let (level, sentence) = check(&groove, "film_below").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.starts_with("The film lies"), "{sentence}");
}

#[wasm_bindgen_test(unsupported = test)]
fn spikes_and_missing_readings_are_shown() {
    let spoilt = trace(|i, z| match i {
        40 => Some(z + 90.0),
        150 => Some(z - 60.0),
        60..=62 | 250 => None,
        _ => Some(z),
    });
    let kept = evaluated(&spoilt, &[]);
    let (level, sentence) = check(&kept, "spikes").unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "2 readings lie more than six standard deviations off, at 40.5 µm, 150.5 µm; they were fitted like the others. Look \
         at them, and leave them out if they are dust or a jump."
    );
    let (_, sentence) = check(&kept, "missing").unwrap();
    assert_eq!(sentence, "4 readings are missing, after 59.5 µm, 249.5 µm.");
    assert_eq!(number(&kept, "missing"), 4.0);
    let left_out = evaluated(&spoilt, &[("spikes", "left_out")]);
    assert_eq!(check(&left_out, "spikes").unwrap().0, Level::Note);
    for evaluation in [&kept, &left_out] {
        assert_eq!(number(evaluation, "spikes_seen"), 2.0);
    }
    assert_eq!(number(&kept, "fitted"), number(&left_out, "fitted") + 2.0);
    near(number(&left_out, "height"), 200e-9, 2e-3, "height");
}

/// The scatter of the readings is one row of the budget with its degrees of freedom, the calibration another.
#[wasm_bindgen_test(unsupported = test)]
fn scatter_and_calibration_make_the_uncertainty() {
    let exact = evaluated(&trace(|_, z| Some(z)), &[]);
    let scatter = exact.estimate("step_height", "height").unwrap();
    assert!(scatter.uncertainty > 0.0 && scatter.uncertainty < 1e-9);
    let evaluation = evaluated(&trace(|_, z| Some(z)), &[("factor", "1 ± 0.01")]);
    let found = evaluation.estimate("step_height", "height").unwrap();
    let calibration = 0.01 * found.value;
    let expected = (calibration * calibration + scatter.uncertainty * scatter.uncertainty).sqrt();
    near(found.uncertainty, expected, 1e-9, "u(t)");
    let budget = evaluation.budget("step_height", "height").unwrap();
    let row = budget
        .rows
        .iter()
        .find(|row| matches!(row.origin, Origin::Scatter(_)));
    assert!(row.unwrap().degrees_of_freedom > 20.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_bow_is_said_and_taken_away() {
    let bowed = trace(|i, z| Some(z + 0.002 * (i as f64 - 150.0) * (i as f64 - 150.0)));
    let straight = evaluated(&bowed, &[]);
    let (level, sentence) = check(&straight, "bowed").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("with a parabola the step is"),
        "{sentence}"
    );
    let bent = evaluated(&bowed, &[("level", "parabola")]);
    assert_eq!(check(&bent, "bowed"), None);
    near(number(&bent, "height"), 200e-9, 3e-3, "height");
    assert!((number(&straight, "height") - 200e-9).abs() > 5e-9);
    assert_eq!(
        check(&evaluated(&trace(|_, z| Some(z)), &[]), "bowed"),
        None
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_fitted_stops() {
    let trace = trace(|_, z| Some(z));
    stops(
        &evaluated(
            &trace,
            &[
                ("parts", "edges"),
                ("left_edge", "200 um"),
                ("right_edge", "100 um"),
            ],
        ),
        "right_edge",
        "edges_exchanged",
        "The right edge (100 µm) is not to the right of the left one (200 µm).",
    );
    let positions = |film_from| {
        evaluated(
            &trace,
            &[
                ("parts", "positions"),
                ("substrate_from", "10 um"),
                ("substrate_to", "90 um"),
                ("film_from", film_from),
                ("film_to", "1 mm"),
            ],
        )
    };
    stops(
        &positions("80 um"),
        "film_from",
        "parts_overlap",
        "Substrate (10 µm to 90 µm) and film (80 µm to 1 mm) overlap.",
    );
    stops(
        &positions("0.5 mm"),
        "parts",
        "empty_part",
        "Fewer than two readings of the profile lie on the film.",
    );
    stops(
        &evaluated("0 1\n1 1\n2 1", &[]),
        "trace",
        "no_profile",
        "A step is looked for among at least 15 points.",
    );
}

/// With one reading each micrometre: 5 µm are five steps.
#[wasm_bindgen_test(unsupported = test)]
fn a_cut_off_too_fine_for_the_readings_gives_no_roughness() {
    let trace = trace(|_, z| Some(z));
    let of = |cut_off| evaluated(&trace, &[("rough_as", "gaussian"), ("cut_off", cut_off)]);
    let fine = of("4 um");
    assert!(fine.cards[0].output("rq").is_none() && fine.cards[0].output("ra").is_none());
    assert_eq!(
        check(&fine, "cut_off").unwrap(),
        (
            Level::Warning,
            "The cut-off (4 µm) spans fewer than 5 steps of the profile (1 µm): such waves are not in the readings, and no \
             roughness is given. Enter a larger cut-off."
                .to_owned()
        )
    );
    let enough = of("6 um");
    assert!(enough.cards[0].output("rq").is_some());
    assert_eq!(check(&enough, "cut_off").unwrap().0, Level::InRange);
}

#[wasm_bindgen_test(unsupported = test)]
fn two_traces_in_one_block_are_noticed() {
    let one = trace(|_, z| Some(z));
    let (_, readings) = one.split_once('\n').unwrap();
    let (level, sentence) = check(
        &evaluated(&format!("{one}{readings}"), &[]),
        "positions_turn",
    )
    .unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "The positions go back or repeat, first at 0.5 µm: two traces in one block?"
    );
    // A trace may run backwards.
    let back: Vec<&str> = readings.lines().rev().collect();
    assert_eq!(
        check(&evaluated(&back.join("\n"), &[]), "positions_turn"),
        None
    );
    assert_eq!(check(&evaluated(&one, &[]), "positions_turn"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_side_beyond_the_profile_is_no_part() {
    let one_edge = trace(|i, z| (i < 200).then_some(z));
    let edges = [
        ("parts", "edges"),
        ("left_edge", "100 um"),
        ("right_edge", "200 um"),
    ];
    assert_eq!(
        check(&evaluated(&one_edge, &edges), "parts_fitted").unwrap(),
        (
            Level::Warning,
            "Fitted: substrate from 0.5 µm to 66.67 µm, film from 133.3 µm to 166.7 µm. One side lies wholly beyond the \
             profile: with only one edge, choose four positions."
                .to_owned()
        )
    );
}

/// As many readings as an instrument gives, in one block.
#[wasm_bindgen_test(unsupported = test)]
fn a_long_trace_is_one_block() {
    let mut numbers = Generator::new(20_000);
    let mut text = String::new();
    for i in 0..20_000 {
        let x = f64::from(i) * 0.1;
        let step = if (700.0..1300.0).contains(&x) {
            1500.0
        } else {
            0.0
        };
        writeln!(text, "{x};{}", step + numbers.between(1.0, 30.0)).unwrap();
    }
    let evaluation = evaluated(&text, &[("rough_as", "gaussian"), ("cut_off", "25 um")]);
    near(number(&evaluation, "height"), 1500e-9, 2e-3, "height");
    assert!(evaluation.leaves.len() < 10);
    let (_, points) = &evaluation.cards[0].curves[0];
    assert!((1000..=2000).contains(&points.x.len()));
    let (level, _) = check(&evaluation, "cut_off").unwrap();
    assert_eq!(level, Level::InRange);
}

/// Two traces with one calibration factor: what they share stays, whatever their number.
#[wasm_bindgen_test(unsupported = test)]
fn heights_are_linked_into_a_mean() {
    let one = trace(|_, z| Some(z));
    let other = trace(|i, z| Some(if (100..200).contains(&i) { z + 4.0 } else { z }));
    let mut cards: Vec<_> = [("one", &one), ("other", &other)]
        .map(|(id, trace)| {
            let mut card = card("step_height", &[("trace", trace)]);
            card.id = id.into();
            card
        })
        .into();
    let mut mean = card("step_mean", &[]);
    let rows = ["one", "other"].map(|id| Row {
        id: id.into(),
        cells: [(
            "height".to_owned(),
            Input::Link(Address {
                card: id.into(),
                output: "height".into(),
            }),
        )]
        .into(),
    });
    mean.inputs
        .insert("heights".into(), Input::Rows(rows.into()));
    cards.push(mean);
    let evaluation = evaluate(&Sheet { cards });
    let found = evaluation.estimate("step_mean", "mean").unwrap();
    near(found.value, 202e-9, 2e-3, "mean");
    // s = 4 nm/√2, of the mean 2 nm; what single traces add is far smaller.
    near(found.uncertainty, 2e-9, 2e-2, "u");
    near(
        evaluation.estimate("step_mean", "spread").unwrap().value,
        4e-9 / 2.0_f64.sqrt(),
        1e-3,
        "spread",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_mean_says_how_even_the_film_is() {
    let of = |heights: &[&str]| {
        let paths: Vec<String> = (0..heights.len())
            .map(|i| format!("heights.{i}.height"))
            .collect();
        let paths = paths.iter().map(String::as_str);
        let entries: Vec<_> = paths.zip(heights.iter().copied()).collect();
        alone(card("step_mean", &entries))
    };
    let level = |heights: &[&str], code| check(&of(heights), code).map(|(level, _)| level);
    assert_eq!(level(&["1 um"], "one_height"), Some(Level::Note));
    assert_eq!(
        level(&["1 um", "1.01 um"], "heights_differ"),
        Some(Level::InRange)
    );
    assert_eq!(
        level(&["1 um", "1.2 um"], "heights_differ"),
        Some(Level::Note)
    );
    let same = of(&["1 um", "1 um"]);
    assert_eq!(number(&same, "spread"), 0.0);
}
