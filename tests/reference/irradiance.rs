//! The irradiance through its public interface: both directions, drift, what several cells share.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Card, Evaluation, Input, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;
use crate::properties::Generator;
use crate::support::{self, alone, card, check, stops};

fn evaluated(entries: &[(&str, &str)]) -> Evaluation {
    alone(card("irradiance", entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

#[wasm_bindgen_test(unsupported = test)]
fn the_lamp_set_to_it_gives_it() {
    let mut numbers = Generator::new(904);
    for _ in 0..200 {
        let wanted = numbers.between(50.0, 2000.0);
        let of = |name: &str, low, high, unit: &str, numbers: &mut Generator| {
            (
                name.to_owned(),
                format!("{} {unit}", numbers.between(low, high)),
            )
        };
        let common = [
            of("calibration", 0.1, 200.0, "mA", &mut numbers),
            of("mismatch", 0.8, 1.25, "", &mut numbers),
            of("place", 0.9, 1.1, "", &mut numbers),
            of("coefficient", 1e-5, 2e-3, "K-1", &mut numbers),
            of("temperature", 290.0, 330.0, "K", &mut numbers),
            of("factor", 0.9, 1.1, "", &mut numbers),
            of("one_sun", 900.0, 1100.0, "W/m2", &mut numbers),
        ];
        for (by, temperature) in [
            ("reference_cell", "calibrated"),
            ("reference_cell", "another"),
            ("thermopile", "calibrated"),
        ] {
            let with = |more: &[(&str, &str)]| {
                let mut entries = vec![("by", by), ("temperature_is", temperature)];
                entries.extend(common.iter().map(|(id, text)| (&**id, &**text)));
                entries.extend(more);
                evaluated(&entries)
            };
            let set = with(&[
                ("find", "setting"),
                ("irradiance", &format!("{wanted} W/m2")),
            ]);
            let back = if by == "thermopile" {
                let reading = format!("{} W/m2", number(&set, "set_reading"));
                with(&[("irradiance_before", &reading)])
            } else {
                let current = format!("{} A", number(&set, "set_current"));
                with(&[("current_before", &current)])
            };
            close("G", number(&back, "irradiance"), wanted, 1e-13);
            close("suns", number(&back, "suns"), number(&set, "suns"), 1e-13);
        }
    }
}

/// Half the difference is a rectangular limit: u/G = δ/√3.
#[wasm_bindgen_test(unsupported = test)]
fn drift_is_in_the_uncertainty() {
    let drifting = evaluated(&[
        ("calibration", "40 mA"),
        ("current_before", "39 mA"),
        ("current_after", "41 mA"),
    ]);
    let found = drifting.estimate("irradiance", "irradiance").unwrap();
    close(
        "u/G",
        found.uncertainty / found.value,
        0.025 / 3_f64.sqrt(),
        1e-12,
    );
    let (level, sentence) = check(&drifting, "instability").unwrap();
    assert_eq!(level, Level::InRange);
    assert_eq!(
        sentence,
        "Before and after differ by 2.5 % of their sum: up to 5 % is class B."
    );
    let steady = evaluated(&[
        ("calibration", "40 mA"),
        ("current_before", "40 mA"),
        ("current_after", "40 mA"),
    ]);
    let found = steady.estimate("irradiance", "irradiance").unwrap();
    assert_eq!((found.value, found.uncertainty), (1000.0, 0.0));
}

/// Two cells measured under one lamp: the calibration of the reference cell is one leaf, so both efficiencies follow it
/// together.
#[wasm_bindgen_test(unsupported = test)]
fn the_error_of_the_reference_cell_is_shared() {
    let points = "-0.05 10.01\n0 10\n0.3 9.8\n0.5 8\n0.6 5\n0.7 0.1\n0.71 -1";
    let light = card(
        "irradiance",
        &[
            ("calibration", "40.0 ± 0.8 mA"),
            ("current_before", "40 mA"),
        ],
    );
    let cell = |id: &str| -> Card {
        let mut cell = card(
            "efficiency",
            &[
                ("points", points),
                ("area", "0.5 cm2"),
                ("axes", "lines"),
                ("method", "parabola"),
            ],
        );
        cell.id = id.into();
        let link = Input::Link("irradiance.irradiance".parse().unwrap());
        cell.inputs.insert("irradiance".into(), link);
        cell
    };
    let evaluation = evaluate(&Sheet {
        cards: vec![light, cell("one"), cell("other")],
    });
    for id in ["one", "other"] {
        let found = evaluation.estimate(id, "efficiency").unwrap();
        close("u/η", found.uncertainty / found.value, 0.02, 1e-12);
        let budget = evaluation.budget(id, "efficiency").unwrap();
        assert_eq!(budget.rows.len(), 1, "{:?}", budget.rows);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_colleague_would_say() {
    let level = |entries: &[(&str, &str)], code: &str| {
        check(&evaluated(entries), code).map(|(level, _)| level)
    };
    let plain = [("calibration", "40 mA"), ("current_before", "40 mA")];
    assert_eq!(level(&plain, "drift_unknown"), Some(Level::Note));
    assert_eq!(level(&plain, "mismatch_left_out"), Some(Level::Note));
    assert_eq!(level(&plain, "taken_as_exact"), Some(Level::Note));
    assert_eq!(level(&plain, "suns"), Some(Level::InRange));
    let known = [
        ("calibration", "40 ± 0.4 mA"),
        ("current_before", "38 mA"),
        ("current_after", "30 mA"),
        ("mismatch", "1 ± 0.02"),
        ("place", "1 ± 0.02"),
    ];
    assert_eq!(level(&known, "taken_as_exact"), None);
    assert_eq!(level(&known, "mismatch_left_out"), None);
    assert_eq!(level(&known, "suns"), Some(Level::Note));
    assert_eq!(level(&known, "instability"), Some(Level::Warning));
    let thermopile = [("by", "thermopile"), ("irradiance_before", "100 mW/cm2")];
    assert_eq!(
        level(&thermopile, "mismatch_left_out"),
        Some(Level::Warning)
    );
}

/// Readings in another unit than the calibration; a lamp that is set to something is set to it.
#[wasm_bindgen_test(unsupported = test)]
fn suns_that_no_lamp_gives_are_warned_of() {
    let of = |current: &str| {
        check(
            &evaluated(&[("calibration", "40 mA"), ("current_before", current)]),
            "suns",
        )
        .unwrap()
    };
    for (current, level) in [
        ("4 mA", Level::Note),
        ("3.99 mA", Level::Warning),
        ("400 mA", Level::Note),
        ("401 mA", Level::Warning),
    ] {
        assert_eq!(of(current).0, level, "{current}");
    }
    assert_eq!(
        of("40 uA").1,
        "The readings give 0.001 suns, and lamps for cells 0.1 to 10: look at the units of readings and calibration again."
    );
    let set = evaluated(&[
        ("find", "setting"),
        ("irradiance", "20 W/m2"),
        ("calibration", "40 mA"),
    ]);
    assert_eq!(check(&set, "suns").unwrap().0, Level::Note);
}

/// Three kelvins from the calibration a coefficient that is a hundred times too large gives a credible factor of 1.15.
#[wasm_bindgen_test(unsupported = test)]
fn a_steep_coefficient_is_warned_of_near_the_calibration() {
    let of = |coefficient| {
        check(
            &evaluated(&[
                ("calibration", "40 mA"),
                ("current_before", "40 mA"),
                ("temperature_is", "another"),
                ("coefficient", coefficient),
                ("temperature", "28 Cel"),
            ]),
            "coefficient_large",
        )
    };
    for credible in ["0.05 %/K", "0.5 %/K", "-0.5 %/K", "0.0005 K-1"] {
        assert_eq!(of(credible), None, "{credible}");
    }
    for steep in ["0.05 K-1", "-0.51 %/K"] {
        assert_eq!(of(steep).unwrap().0, Level::Warning, "{steep}");
    }
    assert_eq!(
        of("0.05 K-1").unwrap().1,
        "A coefficient of 5 %/K is far from that of reference cells; silicon has near 0.05 %/K. Look at its unit again: \
         %/K or 1/K."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_coefficient_in_percent_is_not_one_in_kelvin() {
    stops(
        &evaluated(&[
            ("calibration", "40 mA"),
            ("current_before", "40 mA"),
            ("temperature_is", "another"),
            ("coefficient", "0.05 K-1"),
            ("temperature", "50 Cel"),
        ]),
        "coefficient",
        "coefficient_too_large",
        "A coefficient of 5 %/K would change the current by the factor 2.25: that of silicon is near 0.05 %/K.",
    );
}
