//! The spacer-gap calculator through its public interface: when it stops, what it says, how its parts add up.

use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{Evaluation, State};
use glasswick_core::working;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, number};

/// A window of 0.36 cm² with a gap of 25 µm around a film of 0.25 cm², 12 µm thick and 60 % porous, changed as said.
fn evaluated(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("window", "area"),
        ("area", "0.36 cm2"),
        ("spacer", "25 um"),
        ("film_area", "0.25 cm2"),
        ("film_thickness", "12 um"),
        ("porosity", "60 %"),
    ];
    alone(card("spacer_gap", &[&usual, changes].concat()))
}

#[track_caller]
fn stops(changes: &[(&str, &str)], path: &str, code: &str, sentence: &str) {
    support::stops(&evaluated(changes), path, code, sentence);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_thicker_than_the_gap_stops() {
    // Check value CV-b: geometry, by logic.
    stops(
        &[("spacer", "20 um"), ("film_thickness", "24 um")],
        "film_thickness",
        "film_above_gap",
        "Spacer gap 20 µm is thinner than the film (24 µm): the film would touch the counter electrode.",
    );
    // The pressed thickness is what counts.
    stops(
        &[
            ("spacer", "30 um"),
            ("pressed", "20 um"),
            ("film_thickness", "24 um"),
        ],
        "film_thickness",
        "film_above_gap",
        "Spacer gap 20 µm is thinner than the film (24 µm): the film would touch the counter electrode.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_larger_than_the_window_stops() {
    stops(
        &[
            ("window", "rectangle"),
            ("width", "4 mm"),
            ("length", "5 mm"),
        ],
        "film_area",
        "film_above_window",
        "The film (0.25 cm²) is larger than the window (0.2 cm²): part of it would lie under the spacer.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_parts_add_up_to_the_free_volume() {
    let drilled = [
        ("hole", "drilled"),
        ("hole_diameter", "0.75 mm"),
        ("glass", "2.2 mm"),
    ];
    for thickness in ["0", "3 um", "12 um", "24.999 um", "25 um"] {
        for porosity in ["0", "37 %", "99.9 %"] {
            for holes in ["1", "2"] {
                let mut changes = drilled.to_vec();
                changes.extend([
                    ("film_thickness", thickness),
                    ("porosity", porosity),
                    ("holes", holes),
                ]);
                let evaluation = evaluated(&changes);
                let card = &evaluation.cards[0];
                let parts = ["over_film", "pores", "rim", "hole_volume"];
                let sum: f64 = parts.iter().map(|part| number(card, part)).sum();
                let free = number(card, "free_volume");
                assert!(
                    (sum - free).abs() <= 1e-14 * free,
                    "{changes:?}: {sum} is not {free}"
                );
                assert!(
                    parts.iter().all(|part| number(card, part) >= 0.0),
                    "{changes:?}"
                );
            }
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn solid_film_displaces_its_volume() {
    // Free volume = A·h − A_f·t·(1 − P): the same cell counted the other way round.
    let evaluation = evaluated(&[("film_thickness", "7 um"), ("porosity", "45 %")]);
    let expected = 0.36e-4 * 25e-6 - 0.25e-4 * 7e-6 * 0.55;
    let free = number(&evaluation.cards[0], "free_volume");
    assert!(
        (free - expected).abs() <= 1e-14 * expected,
        "{free} is not {expected}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_volume_to_prepare_counts_cells_and_overage() {
    let evaluation = evaluated(&[("cells", "12"), ("overage", "25 %")]);
    let card = &evaluation.cards[0];
    let expected = 12.0 * 1.25 * 0.78e-9;
    assert!((number(card, "prepare") - expected).abs() <= 1e-14 * expected);
    // A new card starts with a visible 20 %.
    let evaluation = evaluated(&[]);
    let card = &evaluation.cards[0];
    assert!((number(card, "prepare") - 1.2 * 0.78e-9).abs() <= 1e-14 * 1e-9);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_gap_stays_correlated_over_film_and_rim() {
    // ∂V/∂h is the whole window: u(V) = A·u(h), not the root of the sum of squares of the two parts.
    let evaluation = evaluated(&[("pressed", "25 ± 1 um")]);
    let u = |output| {
        evaluation
            .budget("spacer_gap", output)
            .expect("is there")
            .uncertainty
    };
    assert!((u("free_volume") - 0.36e-4 * 1e-6).abs() <= 1e-12 * 0.36e-10);
    assert!((u("over_film") - 0.25e-4 * 1e-6).abs() <= 1e-12 * 0.25e-10);
    assert!((u("rim") - 0.11e-4 * 1e-6).abs() <= 1e-12 * 0.11e-10);
    assert_eq!(u("pores"), 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_thicker_film_between_equal_plates_leaves_less_room() {
    let free = |thickness| {
        number(
            &evaluated(&[("film_thickness", thickness)]).cards[0],
            "free_volume",
        )
    };
    assert!(free("6 um") > free("12 um"));
    assert!(free("12 um") > free("18 um"));
}

fn checks(changes: &[(&str, &str)]) -> Vec<(&'static str, Level)> {
    support::checks(&evaluated(changes))
}

#[wasm_bindgen_test(unsupported = test)]
fn a_colleague_says_what_to_look_at() {
    assert_eq!(
        checks(&[]),
        [
            ("unpressed_spacer", Level::Note),
            ("gap_over_film", Level::InRange)
        ]
    );
    assert_eq!(
        checks(&[("pressed", "24 um")]),
        [("gap_over_film", Level::InRange)]
    );
    assert_eq!(
        checks(&[("pressed", "16.6 um")]),
        [("narrow_gap", Level::Note)]
    );
    assert_eq!(
        checks(&[("pressed", "26 um")]),
        [
            ("spacer_grew", Level::Warning),
            ("gap_over_film", Level::InRange)
        ]
    );
    assert_eq!(checks(&[("pressed", "25 um"), ("film_area", "0")]), []);
    // A 0.5 mm hole through 2.2 mm of glass holds 0.43 µL beside 0.78 µL.
    let hole = [
        ("pressed", "25 um"),
        ("hole", "drilled"),
        ("hole_diameter", "0.5 mm"),
        ("glass", "2.2 mm"),
    ];
    assert_eq!(
        checks(&hole),
        [
            ("gap_over_film", Level::InRange),
            ("large_fill_hole", Level::Note)
        ]
    );
    let mut small = hole.to_vec();
    small.push(("hole_diameter", "0.2 mm"));
    assert_eq!(checks(&small), [("gap_over_film", Level::InRange)]);
}

#[wasm_bindgen_test(unsupported = test)]
fn an_unfinished_card_waits() {
    let evaluation = alone(card("spacer_gap", &[("spacer", "60 um")]));
    let State::Waiting(awaited) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    let paths: Vec<_> = awaited.iter().map(|a| a.path.as_str()).collect();
    assert_eq!(
        paths,
        ["width", "length", "film_area", "film_thickness", "porosity"]
    );
}

/// A sheet of version 1 has none of the later choices; its numbers and its working are those it had.
#[wasm_bindgen_test(unsupported = test)]
fn a_sheet_of_the_first_version_gives_what_it_gave() {
    let entries = [
        ("window", "circle"),
        ("diameter", "8 mm"),
        ("spacer", "60 um"),
        ("pressed", "48 um"),
        ("film_area", "0.25 cm2"),
        ("film_thickness", "12 um"),
        ("porosity", "60 %"),
        ("hole", "drilled"),
        ("hole_diameter", "0.8 mm"),
        ("glass", "2.2 mm"),
        ("cells", "6"),
    ];
    let mut old = card("spacer_gap", &entries);
    for later in ["edges", "frame", "dosing"] {
        assert!(old.inputs.remove(later).is_some(), "{later}");
    }
    let evaluation = alone(old);
    let card = &evaluation.cards[0];
    // Computed by hand from the formulas of version 1, Python 3.11.
    for (output, expected) in [
        ("window_area", 5.026_548_245_743_669e-5),
        ("over_film", 9e-10),
        ("pores", 1.8e-10),
        ("rim", 1.212_743_157_956_961_4e-9),
        ("hole_volume", 1.105_840_614_063_607_2e-9),
        ("free_volume", 3.398_583_772_020_568_5e-9),
        ("prepare", 2.446_980_315_854_809e-8),
    ] {
        near(number(card, output), expected, 1e-14, output);
    }
    for result in ["gap", "window_area", "prepare", "rim"] {
        let lines = working::lines(card);
        let ways = lines.iter().filter(
            |line| matches!(line, working::Line::Formula(worked) if worked.field.id == result),
        );
        assert_eq!(ways.count(), 1, "{result}");
    }
}

/// Check value SP-1, from memory but for 30 µm: spacer films are sold as 25, 30, 45, 50, 60 and 100 µm.
#[wasm_bindgen_test(unsupported = test)]
fn a_gap_too_narrow_names_the_next_spacer_film_sold() {
    // Nothing is pressed off: the film is followed by 5 µm of room at least.
    let says = |film: &str| {
        let evaluation = evaluated(&[("spacer", "10 um"), ("film_thickness", film)]);
        let State::Stopped(problems) = &evaluation.cards[0].state else {
            panic!("{:?}", evaluation.cards[0].state);
        };
        support::plain(&problems[0].hint)
    };
    for (film, spacer) in [
        ("20 um", "25 µm"),
        ("21 um", "30 µm"),
        ("26 um", "45 µm"),
        ("45 um", "50 µm"),
        ("46 um", "60 µm"),
        ("56 um", "100 µm"),
    ] {
        assert_eq!(
            says(film),
            format!("Use a thicker spacer, for example of {spacer}, or fewer passes."),
            "{film}"
        );
    }
    assert_eq!(says("96 um"), "Use a thicker spacer or fewer passes.");
    // Pressed to 80 %, 30 µm leave 24 µm over a film of 18 µm.
    let narrow = evaluated(&[("pressed", "20 um"), ("film_thickness", "18 um")]);
    let (level, sentence) = check(&narrow, "narrow_gap").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.ends_with("A spacer film of 30 µm leaves more, pressed as much."),
        "{sentence}"
    );
}

/// Check value SP-2, lab practice from memory with low confidence: 25 µm, 60 µm and 100 µm are 18 to 25, 40 to 60 and 70 to
/// 100 µm after pressing at 100 °C to 120 °C.
#[wasm_bindgen_test(unsupported = test)]
fn pressed_as_usual_nothing_is_said_and_further_is_warned_of() {
    let codes = |before: &str, after: &str| {
        checks(&[("spacer", before), ("pressed", after), ("film_area", "0")])
    };
    for (before, from, to) in [
        ("25 um", "18 um", "25 um"),
        ("60 um", "40 um", "60 um"),
        ("100 um", "70 um", "100 um"),
    ] {
        assert_eq!(codes(before, from), [], "{before}");
        assert_eq!(codes(before, to), [], "{before}");
    }
    assert_eq!(codes("60 um", "30 um"), [("pressed_far", Level::Warning)]);
    // The same as estimates, before anything is pressed.
    for (before, share, gap) in [
        ("25 um", "72 %", 18e-6),
        ("60 um", "66.666666666666667 %", 40e-6),
        ("100 um", "70 %", 70e-6),
    ] {
        let changes = [("spacer", before), ("pressed_share", share)];
        near(
            number(&evaluated(&changes).cards[0], "gap"),
            gap,
            1e-14,
            before,
        );
        assert!(checks(&changes).contains(&("estimated_gap", Level::Note)));
    }
    // What is measured counts as soon as it is there.
    let measured = evaluated(&[("pressed_share", "80 %"), ("pressed", "24 um")]);
    near(number(&measured.cards[0], "gap"), 24e-6, 1e-14, "measured");
    near(
        number(&measured.cards[0], "planned_gap"),
        20e-6,
        1e-14,
        "planned",
    );
}

/// The least gap of a plane over the window, sought at its corners or all round its rim.
#[wasm_bindgen_test(unsupported = test)]
fn a_wedge_has_its_mean_in_the_middle_and_its_least_at_a_corner() {
    let mut numbers = Generator::new(55);
    for _ in 0..60 {
        let middle = numbers.between(30.0, 60.0);
        let [across, along] = [(); 2].map(|()| numbers.between(0.05, 9.0));
        let texts = [
            middle + across,
            middle - across,
            middle - along,
            middle + along,
        ]
        .map(|height| format!("{height} um"));
        let [one, two, three, four] = texts.each_ref().map(String::as_str);
        for (window, round) in [("area", false), ("circle", true)] {
            let evaluation = evaluated(&[
                ("window", window),
                ("diameter", "7 mm"),
                ("spacer", "100 um"),
                ("edges", "four"),
                ("edge_1", one),
                ("edge_2", two),
                ("edge_3", three),
                ("edge_4", four),
            ]);
            let card = &evaluation.cards[0];
            let height = |x: f64, y: f64| middle + across * x + along * y;
            let corners = [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)];
            let rim: Vec<(f64, f64)> = if round {
                let turn = |step: i32| f64::from(step) * core::f64::consts::PI / 5000.0;
                (0..10_000)
                    .map(|step| (Scalar::cos(turn(step)), Scalar::sin(turn(step))))
                    .collect()
            } else {
                corners.to_vec()
            };
            let heights = rim.iter().map(|(x, y)| height(*x, *y));
            let least = heights.reduce(f64::min).unwrap();
            near(number(card, "gap"), middle * 1e-6, 1e-12, "mean");
            let within = if round { 1e-7 } else { 1e-12 };
            near(number(card, "least_gap"), least * 1e-6, within, "least");
            near(
                number(card, "rim"),
                (number(card, "window_area") - 0.25e-4) * number(card, "gap"),
                1e-12,
                "rim",
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_wedge_says_where_it_is_too_low_and_where_plates_are_bent() {
    let wedge = |one: &str, two: &str| {
        evaluated(&[
            ("spacer", "60 um"),
            ("edges", "two"),
            ("edge_1", one),
            ("edge_2", two),
            ("film_thickness", "30 um"),
        ])
    };
    let low = wedge("60 um", "28 um");
    near(number(&low.cards[0], "gap"), 44e-6, 1e-14, "mean");
    near(number(&low.cards[0], "tilt"), 32e-6, 1e-14, "tilt");
    let (level, sentence) = check(&low, "film_above_low_edge").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with(
            "At the low side of the window the gap is 28 µm, less than the film (30 µm):"
        ),
        "{sentence}"
    );
    assert!(check(&wedge("60 um", "33 um"), "narrow_gap").is_some());
    assert!(check(&wedge("60 um", "36 um"), "gap_over_film").is_some());
    // A film thicker than the mean touches whatever its place.
    support::stops(
        &wedge("40 um", "18 um"),
        "film_thickness",
        "film_above_gap",
        "Spacer gap 29 µm is thinner than the film (30 µm): the film would touch the counter electrode.",
    );
    let four = |last: &str| {
        checks(&[
            ("spacer", "60 um"),
            ("edges", "four"),
            ("edge_1", "50 um"),
            ("edge_2", "44 um"),
            ("edge_3", "48 um"),
            ("edge_4", last),
        ])
    };
    assert_eq!(four("46 um"), [("gap_over_film", Level::InRange)]);
    assert_eq!(
        four("60 um"),
        [
            ("plates_bent", Level::Note),
            ("gap_over_film", Level::InRange)
        ]
    );
}

/// The frame keeps its volume, whatever its size: inner and outer edge move by the same.
#[wasm_bindgen_test(unsupported = test)]
fn a_pressed_frame_keeps_its_volume() {
    let mut numbers = Generator::new(1_234);
    for _ in 0..100 {
        let [width, length] = [(); 2].map(|()| numbers.between(5.0, 60.0));
        let frame = numbers.between(0.5, 4.0);
        let after = numbers.between(45.0, 60.0);
        let texts = [
            format!("{width} mm"),
            format!("{length} mm"),
            format!("{frame} mm"),
            format!("{after} um"),
        ];
        let [width_text, length_text, frame_text, after_text] =
            texts.each_ref().map(String::as_str);
        for (window, outer) in [
            ("rectangle", (width + 2.0 * frame) * (length + 2.0 * frame)),
            (
                "circle",
                core::f64::consts::FRAC_PI_4 * (width + 2.0 * frame) * (width + 2.0 * frame),
            ),
        ] {
            let evaluation = evaluated(&[
                ("window", window),
                ("width", width_text),
                ("length", length_text),
                ("diameter", width_text),
                ("spacer", "60 um"),
                ("pressed", after_text),
                ("film_area", "0"),
                ("frame", "counted"),
                ("frame_width", frame_text),
            ]);
            let card = &evaluation.cards[0];
            let creep = number(card, "creep") * 1e3;
            let (inner, grown) = if window == "circle" {
                let quarter = core::f64::consts::FRAC_PI_4;
                let across = width + 2.0 * frame + 2.0 * creep;
                (quarter * width * width, quarter * across * across)
            } else {
                (
                    width * length,
                    (width + 2.0 * frame + 2.0 * creep) * (length + 2.0 * frame + 2.0 * creep),
                )
            };
            let before = (outer - inner) * 60.0;
            let pressed = (grown - number(card, "window_area") * 1e6) * after;
            near(pressed, before, 1e-10, window);
            near(
                number(card, "bead") * 1e3,
                frame + 2.0 * creep,
                1e-12,
                "bead",
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_frame_that_reaches_too_far_is_said() {
    let frame = |changes: &[(&'static str, &'static str)]| {
        let usual = [
            ("window", "rectangle"),
            ("width", "6 mm"),
            ("length", "6 mm"),
            ("spacer", "60 um"),
            ("pressed", "48 um"),
            ("frame", "counted"),
            ("frame_width", "2 mm"),
        ];
        evaluated(&[&usual, changes].concat())
    };
    // 2 mm·60/48 = 2.5 mm: 0.25 mm each way.
    let narrow = frame(&[("clearance", "0.2 mm"), ("glass_margin", "0.4 mm")]);
    near(number(&narrow.cards[0], "bead"), 2.5e-3, 1e-14, "bead");
    near(
        number(&narrow.cards[0], "film_left"),
        -0.05e-3,
        1e-12,
        "film",
    );
    near(
        number(&narrow.cards[0], "glass_left"),
        0.15e-3,
        1e-12,
        "glass",
    );
    near(
        number(&narrow.cards[0], "window_area"),
        5.5e-3 * 5.5e-3,
        1e-14,
        "window",
    );
    let (level, sentence) = check(&narrow, "bead_at_film").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with(
            "Pressed, each edge of the frame moves by 250 µm, 50 µm further than the film is away."
        ),
        "{sentence}"
    );
    assert!(check(&narrow, "bead_at_edge").is_none());
    assert!(check(&frame(&[("glass_margin", "0.1 mm")]), "bead_at_edge").is_some());
    support::stops(
        &frame(&[("length", "0.4 mm")]),
        "length",
        "window_closed",
        "Pressed, each edge of the frame moves inwards by 250 µm: a window of 0.4 mm closes.",
    );
    support::stops(
        &frame(&[("film_area", "32 mm2")]),
        "film_area",
        "film_above_window",
        "The film (0.32 cm²) is larger than the window (0.3025 cm²) that the pressed frame leaves: part of it would lie under \
         the spacer.",
    );
    // A frame is not worked out for a typed area, whatever was chosen before.
    let typed = evaluated(&[("frame", "counted"), ("frame_width", "2 mm")]);
    assert!(typed.cards[0].output("bead").is_none());
}

#[wasm_bindgen_test(unsupported = test)]
fn several_windows_count_as_so_many_cells() {
    let prepare = |changes: &[(&str, &str)]| number(&evaluated(changes).cards[0], "prepare");
    near(
        prepare(&[("windows", "4"), ("cells", "3")]),
        prepare(&[("cells", "12")]),
        1e-15,
        "windows",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_dose_is_rounded_up_to_whole_steps() {
    let dose = |changes: &[(&'static str, &'static str)]| {
        let usual = [("dosing", "ware"), ("pressed", "25 um")];
        evaluated(&[&usual, changes].concat())
    };
    // The free volume is 0.78 µL.
    for (step, steps, taken) in [
        ("0.1 uL", 8.0, 0.8e-9),
        ("0.5 uL", 2.0, 1e-9),
        ("2 uL", 1.0, 2e-9),
        // Whole steps already: rounding asks for none more.
        ("0.01 uL", 78.0, 0.78e-9),
        ("0.13 uL", 6.0, 0.78e-9),
    ] {
        let evaluation = dose(&[("step", step)]);
        let card = &evaluation.cards[0];
        assert_eq!(number(card, "steps"), steps, "{step}");
        near(number(card, "dose"), taken, 1e-14, step);
    }
    let said = |changes: &[(&'static str, &'static str)], code: &str| {
        let (level, sentence) = check(&dose(changes), code).unwrap();
        (level, sentence)
    };
    let (level, sentence) = said(
        &[
            ("step", "0.1 uL"),
            ("nominal", "5 uL"),
            ("permissible", "0.05 uL"),
        ],
        "dose_suits",
    );
    assert_eq!(level, Level::InRange);
    assert_eq!(
        sentence,
        "The dose (0.8 µL) is 2.6 % more than the free volume."
    );
    let (level, sentence) = said(
        &[("step", "0.1 uL"), ("permissible", "0.1 uL")],
        "dose_rough",
    );
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "A dose may be off by 0.1 µL, 12.82 % of the free volume (0.78 µL). Take finer ware."
    );
    let (level, sentence) = said(
        &[("step", "0.1 uL"), ("nominal", "0.5 uL")],
        "dose_above_ware",
    );
    assert_eq!(level, Level::Warning);
    assert!(sentence.ends_with("or fill in 2 goes."), "{sentence}");
    let (level, _) = said(
        &[("step", "0.1 uL"), ("nominal", "10 uL")],
        "dose_at_low_end",
    );
    assert_eq!(level, Level::Warning);
    let (level, sentence) = said(&[("step", "2 uL")], "step_coarse");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with(
            "The dose (2 µL) is 160 % more than the free volume, since the least step is 2 µL."
        ),
        "{sentence}"
    );
    // 1 µL for each window is more than 0.78 µL and a fifth.
    let (level, sentence) = said(
        &[("step", "0.5 uL"), ("windows", "2")],
        "doses_above_prepared",
    );
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "All doses take 2 µL, more than is prepared (1.872 µL). Raise the overage."
    );
    // ISO 8655-2, from memory: a pipette of 1 µL may be off by 0.05 µL, one of 2 µL by 0.08 µL.
    let (level, sentence) = said(&[("step", "0.1 uL")], "pipette_limit");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.ends_with(
            "A piston pipette 1 µL may be off by 50 nL at any setting: 6.41 % of the free volume."
        ),
        "{sentence}"
    );
    let (_, sentence) = said(&[("step", "2 uL")], "pipette_limit");
    assert!(
        sentence.contains("piston pipette 2 µL may be off by 80 nL"),
        "{sentence}"
    );
}

/// Heights of the four edges of a round window of 8 mm without a film.
fn round(heights: [&str; 4]) -> Evaluation {
    let mut changes = vec![
        ("window", "circle"),
        ("diameter", "8 mm"),
        ("spacer", "60 um"),
        ("edges", "four"),
        ("film_area", "0"),
    ];
    let edges = ["edge_1", "edge_2", "edge_3", "edge_4"];
    changes.extend(edges.into_iter().zip(heights));
    evaluated(&changes)
}

/// Where no tilt was measured its uncertainty is not zero: √(across² + along²) with u(across)² = u(along)² = 2·u² is
/// 2·u in the root mean square.
#[wasm_bindgen_test(unsupported = test)]
fn equal_edges_may_still_be_tilted() {
    let evaluation = round(["50 ± 1 um"; 4]);
    let tilt = evaluation.estimate("spacer_gap", "tilt").unwrap();
    assert_eq!(tilt.value, 0.0);
    near(tilt.uncertainty, 2e-6, 1e-12, "u(tilt)");
    assert_eq!(number(&evaluation.cards[0], "least_gap"), 50e-6);
}

#[wasm_bindgen_test(unsupported = test)]
fn plates_do_not_cross() {
    // √(90² + 90²) is 127.28; half of it is more than the mean of 55.
    support::stops(
        &round(["100 um", "10 um", "100 um", "10 um"]),
        "edge_2",
        "plates_cross",
        "With a mean gap of 55 µm and a difference of 127.3 µm over the window, flat plates would cross.",
    );
    assert!(
        number(
            &round(["90 um", "20 um", "90 um", "20 um"]).cards[0],
            "least_gap"
        ) > 0.0
    );
}
