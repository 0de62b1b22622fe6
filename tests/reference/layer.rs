//! The printed layer through its public interface: families DPI and TK, pitch and dots per inch, films, ink, drying.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near};

/// One pass of 10 pL every 20 µm on a square of 1 cm², changed as said.
fn entries<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let usual = [
        ("drop_volume", "10 pL"),
        ("pitch_x", "20 um"),
        ("pitch_y", "20 um"),
        ("passes", "1"),
        ("solids", "4 %"),
        ("porosity", "60 %"),
        ("films.a.name", "cell"),
        ("films.a.shape", "rectangle"),
        ("films.a.width", "10 mm"),
        ("films.a.length", "10 mm"),
        ("films.a.count", "1"),
    ];
    usual.iter().chain(changes).copied().collect()
}

fn evaluated(changes: &[(&str, &str)]) -> Evaluation {
    alone(card("layer", &entries(changes)))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// Family DPI, computed with Python from 1 in = 25.4 mm: dots per inch, pitch in µm, drops per cm² and half a unit of
/// its last digit.
const DPI: &[(f64, f64, f64, f64)] = &[
    (100.0, 254.0, 1550.0, 0.5),
    (150.0, 169.3333, 3487.51, 0.005),
    (180.0, 141.1111, 5022.01, 0.005),
    (300.0, 84.6667, 13950.0, 0.5),
    (360.0, 70.5556, 20088.0, 0.5),
    (400.0, 63.5, 24800.0, 0.5),
    (600.0, 42.3333, 55800.1, 0.05),
    (720.0, 35.2778, 80352.2, 0.05),
    (900.0, 28.2222, 125_550.0, 0.5),
    (1016.0, 25.0, 160_000.0, 0.5),
    (1200.0, 21.1667, 223_200.0, 0.5),
    (1270.0, 20.0, 250_000.0, 0.5),
    (1440.0, 17.6389, 321_409.0, 0.5),
    (2400.0, 10.5833, 892_802.0, 0.5),
    (2540.0, 10.0, 1_000_000.0, 0.5),
    (5080.0, 5.0, 4_000_000.0, 0.5),
];

#[wasm_bindgen_test(unsupported = test)]
fn dots_per_inch_give_the_pitch_and_the_drops_per_area() {
    for (dpi, pitch, drops, digit) in DPI {
        let dpi = format!("{dpi} dpi");
        let evaluation = evaluated(&[
            ("pitch_as", "resolution"),
            ("resolution_x", &dpi),
            ("resolution_y", &dpi),
        ]);
        for output in ["pitch_x", "pitch_y"] {
            let found = 1e6 * number(&evaluation, output);
            assert!((found - pitch).abs() <= 5e-5, "{dpi}: {found}");
        }
        let found = 1e-4 * number(&evaluation, "drops_per_area");
        assert!((found - drops).abs() <= *digit, "{dpi}: {found}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn pitch_and_dots_per_inch_are_an_inverse_pair() {
    let mut numbers = Generator::new(2540);
    for _ in 0..200 {
        let [x, y] = [0; 2].map(|_| numbers.between(1e-6, 1e-3));
        let [x_text, y_text] = [x, y].map(|pitch| format!("{pitch} m"));
        let there = evaluated(&[("pitch_x", &x_text), ("pitch_y", &y_text)]);
        let resolution = |output| format!("{} m-1", number(&there, output));
        let back = evaluated(&[
            ("pitch_as", "resolution"),
            ("resolution_x", &resolution("resolution_x")),
            ("resolution_y", &resolution("resolution_y")),
        ]);
        near(number(&back, "pitch_x"), x, 1e-15, "pitch along");
        near(number(&back, "pitch_y"), y, 1e-15, "pitch across");
        let [one, other] = [&there, &back].map(|e| number(e, "drops_per_area"));
        near(one, other, 1e-14, "drops per area");
    }
}

/// Family TK, computed with Python: pitch in µm, drop in pL, passes, solids and porosity in %, wet thickness of a pass
/// and thickness in µm. The solids are printed to six digits, and the thickness holds to as many.
const TK: &[(&str, &str, &str, &str, &str, f64, f64)] = &[
    ("20", "10", "1", "1", "0", 25.0, 0.25),
    ("20", "10", "1", "2.76891", "60", 25.0, 1.730_566),
    ("42.3333", "30", "6", "4.54677", "60", 16.740_06, 11.416_972),
    ("70.5556", "80", "3", "2.19304", "50", 16.070_41, 2.114_587),
    ("20", "10", "1", "3.06984", "0", 25.0, 0.767_46),
];

#[wasm_bindgen_test(unsupported = test)]
fn drops_give_the_thickness() {
    for (pitch, drop, passes, solids, porosity, wet, thickness) in TK {
        let pitch = format!("{pitch} um");
        let evaluation = evaluated(&[
            ("pitch_x", &pitch),
            ("pitch_y", &pitch),
            ("drop_volume", &format!("{drop} pL")),
            ("passes", passes),
            ("solids", &format!("{solids} %")),
            ("porosity", &format!("{porosity} %")),
        ]);
        let found = 1e6 * number(&evaluation, "wet_per_pass");
        assert!((found - wet).abs() <= 5e-6, "{found}");
        let found = 1e6 * number(&evaluation, "thickness");
        let within = 5e-7 + 3e-6 * thickness;
        assert!((found - thickness).abs() <= within, "{found}");
    }
}

/// The solids come from a card of powder, and their uncertainty reaches the thickness whole.
#[wasm_bindgen_test(unsupported = test)]
fn thickness_takes_the_solids_of_the_ink() {
    let ink = card(
        "solids_residue",
        &[
            ("crucibles.a.empty", "20 g"),
            ("crucibles.a.with_ink", "25 g"),
            ("crucibles.a.fired", "21 ± 0.01 g"),
            ("ink_density", "1.2 g/mL"),
            ("powder_density", "4 g/cm3"),
        ],
    );
    let mut layer = card("layer", &entries(&[]));
    let solids = Address {
        card: "solids_residue".into(),
        output: "solids".into(),
    };
    layer.inputs.insert("solids".into(), Input::Link(solids));
    let evaluation = evaluate(&Sheet {
        cards: vec![ink, layer],
    });
    let thickness = evaluation.estimate("layer", "thickness").unwrap();
    near(thickness.value, 3.75e-6, 1e-12, "t");
    near(thickness.uncertainty, 0.0375e-6, 1e-9, "u(t)");
}

#[wasm_bindgen_test(unsupported = test)]
fn drying_follows_the_wet_thickness() {
    let said = |passes, limit| {
        let evaluation = evaluated(&[("passes", passes), ("wet_limit", limit)]);
        let code = if limit == "20 um" {
            "too_wet"
        } else {
            "drying"
        };
        check(&evaluation, code).unwrap()
    };
    let (level, sentence) = said("7", "50 um");
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "Dry after every 2 passes, 3 times between passes: one pass is 25 µm thick when wet, and 50 µm stay in shape."
    );
    let (level, sentence) = said("2", "50 um");
    assert_eq!(level, Level::InRange);
    assert!(
        sentence.starts_with("All passes together are 50 µm"),
        "{sentence}"
    );
    let (level, sentence) = said("1", "20 um");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("A single pass is 25 µm thick"),
        "{sentence}"
    );
    assert_eq!(check(&evaluated(&[]), "drying"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_that_spread_is_as_much_thinner() {
    let evaluation = evaluated(&[("films.a.footprint", "1.25 cm2")]);
    let there = number(&evaluation, "printed.a.film_thickness");
    near(1.25 * there, number(&evaluation, "thickness"), 1e-14, "t");
    let (level, sentence) = check(&evaluation, "footprint").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "The printed area of cell is 25 % larger than the digital one: it spread and is thinner."
    );
    let smaller = evaluated(&[("films.a.footprint", "0.9 cm2")]);
    let (_, sentence) = check(&smaller, "footprint").unwrap();
    assert_eq!(
        sentence,
        "The printed area of cell is 10 % smaller than the digital one: it drew back and is thicker."
    );
    let same = evaluated(&[("films.a.footprint", "1.02 cm2")]);
    assert_eq!(check(&same, "footprint"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn ink_at_hand_serves_whole_substrates() {
    // 2.5 µL each, 0.5 mL that are not printed.
    let of = |at_hand, substrates| {
        evaluated(&[
            ("purge", "0.2 mL"),
            ("hold_up", "0.2 mL"),
            ("dead", "0.1 mL"),
            ("ink_at_hand", at_hand),
            ("substrates", substrates),
        ])
    };
    let enough = of("0.525 mL", "10");
    assert_eq!(number(&enough, "served"), 10.0);
    let (level, sentence) = check(&enough, "too_little_ink").unwrap();
    assert_eq!(level, Level::InRange, "{sentence}");
    let short = of("0.52 mL", "10");
    assert_eq!(number(&short, "served"), 8.0);
    let (level, sentence) = check(&short, "too_little_ink").unwrap();
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "The ink at hand, 0.52 mL, serves 8 of 10 substrates; all take 0.525 mL."
    );
    assert_eq!(number(&of("0.1 mL", "1"), "served"), 0.0);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_film_without_its_size_is_left_out() {
    let evaluation = evaluated(&[("films.b.shape", "circle"), ("films.b.count", "1")]);
    near(number(&evaluation, "pattern_area"), 1e-4, 1e-12, "area");
    assert_eq!(
        check(&evaluation, "size_missing").unwrap(),
        (
            Level::Note,
            "row 2 is left out: enter its diameter, or choose another shape.".to_owned()
        )
    );
    let none = evaluated(&[("films.a.width", "")]);
    assert!(none.cards[0].output("ink_needed").is_none());
    near(number(&none, "thickness"), 2.5e-6, 1e-12, "thickness");
}

/// Without a wet limit every pass is dried, with one only as often as it asks for; never after the last.
#[wasm_bindgen_test(unsupported = test)]
fn print_time_and_the_advice_to_dry_agree() {
    let timed = |limit| {
        number(
            &evaluated(&[
                ("passes", "7"),
                ("wet_limit", limit),
                ("timing", "head"),
                ("frequency", "1 kHz"),
                ("nozzles", "128"),
                ("along", "20 mm"),
                ("across", "10 mm"),
                ("turn", "0 s"),
                ("drying", "60 s"),
            ]),
            "print_time",
        )
    };
    // 20 mm/s and 4 swaths of 2.56 mm: 4 s a pass.
    near(timed(""), 28.0 + 6.0 * 60.0, 1e-12, "every pass");
    near(timed("50 um"), 28.0 + 3.0 * 60.0, 1e-12, "every other pass");
    near(timed("200 um"), 28.0, 1e-12, "not at all");
}

/// Twice the drops for each dot at half the passes print the same film of the same ink, at half the head's speed.
#[wasm_bindgen_test(unsupported = test)]
fn drops_for_each_dot_stand_for_passes() {
    let of = |drops, passes| {
        evaluated(&[
            ("drops_per_dot", drops),
            ("passes", passes),
            ("timing", "head"),
            ("frequency", "2 kHz"),
            ("nozzles", "100"),
            ("along", "10 mm"),
            ("across", "10 mm"),
        ])
    };
    let (one, two) = (of("1", "6"), of("2", "3"));
    for output in ["thickness", "ink_needed", "print_time"] {
        near(number(&two, output), number(&one, output), 1e-14, output);
    }
    near(number(&one, "head_speed"), 0.04, 1e-14, "speed");
    near(number(&two, "head_speed"), 0.02, 1e-14, "speed");
    assert_eq!(number(&one, "swaths"), 5.0);
}

/// The card of passes reckons alike.
#[wasm_bindgen_test(unsupported = test)]
fn thickness_from_passes_agrees() {
    let drops = [
        ("drop_volume", "12 pL"),
        ("pitch_as", "resolution"),
        ("resolution_x", "1270 dpi"),
        ("resolution_y", "720 dpi"),
        ("passes", "7"),
        ("solids", "4.2 %"),
        ("porosity", "58 %"),
        ("density", "3.9 g/cm3"),
    ];
    let layer = evaluated(&drops);
    let passes = alone(card("thickness", &drops));
    for output in [
        "thickness",
        "per_pass",
        "wet_per_pass",
        "areal_mass",
        "pitch_y",
    ] {
        near(
            number(&layer, output),
            number(&passes, output),
            1e-14,
            output,
        );
    }
}
