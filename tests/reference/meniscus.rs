//! The meniscus in the nozzle: both ways round, and what is said where height and vacuum are known.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, checks, near, number};

/// A nozzle of 40 µm that holds 3000 Pa, under 0.1 m of ink that press with 1010 Pa.
fn nozzle(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("density", "1030 kg/m3"),
        ("tension", "30 mN/m"),
        ("nozzle", "40 um"),
        ("height", "0.1 m"),
    ];
    alone(card("meniscus", &[&usual, changes].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn it_neither_weeps_nor_draws_air() {
    let at = |vacuum, plate| nozzle(&[("vacuum", vacuum), ("plate", plate)]);
    let (level, sentence) = check(&at("20 mbar", "wetted"), "holds").expect("it is said");
    assert_eq!(level, Level::InRange);
    assert_eq!(
        sentence,
        "The meniscus holds at −9.899 mbar: air is drawn below −30 mbar, ink weeps above 0."
    );
    assert_eq!(
        checks(&at("41 mbar", "wetted")),
        [("draws_air", Level::Warning)]
    );
    assert_eq!(
        checks(&at("10 mbar", "wetted")),
        [("weeps", Level::Warning)]
    );
    // A plate that is not wetted holds a drop that hangs.
    assert_eq!(checks(&at("10 mbar", "repels")), [("bulges", Level::Note)]);
    assert_eq!(
        checks(&at("-20 mbar", "repels")),
        [("weeps", Level::Warning)]
    );
    // A limit of 0.5236 Pa is said in the unit of the pressure.
    let (_, sentence) = check(
        &nozzle(&[("vacuum", "41 mbar"), ("contact_angle", "89.99 deg")]),
        "draws_air",
    )
    .unwrap();
    assert!(sentence.contains("more than 0.005 236 mbar:"), "{sentence}");
    let flat = nozzle(&[("height", "0 mm"), ("vacuum", "0 mbar")]);
    assert_eq!(checks(&flat), [("flat", Level::Note)]);
    assert_eq!(checks(&nozzle(&[])), []);
}

/// At the heights found for a vacuum, that vacuum is the end of the window; half the nozzle holds twice as much.
#[wasm_bindgen_test(unsupported = test)]
fn height_and_vacuum_are_inverse() {
    let mut numbers = Generator::new(1805);
    for _ in 0..50 {
        let vacuum = numbers.between(50.0, 5000.0);
        let angle = format!("{} deg", numbers.between(1.0, 80.0));
        let vacuum_text = format!("{vacuum} Pa");
        let common = [("contact_angle", angle.as_str()), ("plate", "repels")];
        let heights = [("find", "height"), ("vacuum", vacuum_text.as_str())];
        let found = nozzle(&[common.as_slice(), &heights].concat());
        for (height, end) in [
            ("lowest_height", "highest_vacuum"),
            ("highest_height", "lowest_vacuum"),
        ] {
            let height = format!("{} m", number(&found.cards[0], height));
            let back = nozzle(&[common.as_slice(), &[("height", &height)]].concat());
            near(number(&back.cards[0], end), vacuum, 1e-11, end);
        }
        let half = nozzle(&[("nozzle", "20 um")]);
        let limit = |evaluation: &Evaluation| number(&evaluation.cards[0], "air_limit");
        near(
            limit(&half),
            2.0 * limit(&nozzle(&[])),
            1e-14,
            "half the nozzle",
        );
    }
}
