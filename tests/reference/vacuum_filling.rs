//! Vacuum filling through its public interface: the gas law both ways, the floor that the vapour sets, cycles.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, checks, near, number};

/// 1 µL pumped to 5 kPa and let in to 100 kPa, changed as said.
fn filling(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("order", "wet"),
        ("volume", "1 uL"),
        ("pumped", "5 kPa"),
        ("vented", "100 kPa"),
        ("vapour", "0"),
    ];
    alone(card("vacuum_filling", &[&usual, changes].concat()))
}

fn found(changes: &[(&str, &str)], output: &str) -> f64 {
    number(&filling(changes).cards[0], output)
}

#[wasm_bindgen_test(unsupported = test)]
fn without_vapour_it_is_the_ratio_of_the_pressures_either_way() {
    for order in ["wet", "dry"] {
        near(found(&[("order", order)], "gas_share"), 0.05, 1e-14, order);
    }
}

/// p·V of the air alone is the same before, after and at another pressure.
#[wasm_bindgen_test(unsupported = test)]
fn no_air_is_lost_or_made() {
    let mut numbers = Generator::new(7);
    for _ in 0..200 {
        let vapour = numbers.between(0.01, 12.0);
        let pumped = vapour * numbers.between(1.0001, 5.0);
        let vented = pumped * numbers.between(1.1, 10.0);
        let another = vapour * numbers.between(1.1, 20.0);
        let texts = [vapour, pumped, vented, another].map(|p| format!("{p} kPa"));
        let [vapour_text, pumped_text, vented_text, another_text] = &texts;
        for (order, air_before) in [("wet", pumped - vapour), ("dry", pumped)] {
            let evaluation = filling(&[
                ("order", order),
                ("vapour", vapour_text),
                ("pumped", pumped_text),
                ("vented", vented_text),
                ("another", another_text),
            ]);
            if air_before > vented - vapour {
                continue;
            }
            let card = &evaluation.cards[0];
            let amount = air_before * 1e-9;
            let after = number(card, "gas_volume") * (vented - vapour);
            let there = number(card, "gas_there") * (another - vapour);
            near(after, amount, 1e-9, "after");
            near(there, amount, 1e-9, "at another pressure");
            near(
                number(card, "drawn_in") + number(card, "gas_volume"),
                1e-9,
                1e-12,
                "volume",
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn below_its_vapour_pressure_the_solvent_boils_and_holds_the_pressure_up() {
    // Acetonitrile at 25 °C: 120 hPa, read in its ECHA registration dossier.
    let boiling = filling(&[("pumped", "1 kPa"), ("vapour", "120 hPa")]);
    near(number(&boiling.cards[0], "before"), 12e3, 1e-14, "floor");
    let (level, sentence) = check(&boiling, "boils").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("At 1 kPa the solvent boils, since its vapour pressure is 12 kPa:"),
        "{sentence}"
    );
    // What its vapour takes along is not known, also where it only just boils.
    for pumped in ["1 kPa", "12 kPa"] {
        let wanted = filling(&[
            ("pumped", pumped),
            ("vapour", "12.0 ± 0.1 kPa"),
            ("wanted", "1 %"),
            ("gap", "60 um"),
            ("another", "75 kPa"),
        ]);
        assert_eq!(checks(&wanted), [("boils", Level::Warning)]);
        let outputs = wanted.cards[0].outputs.iter();
        let given: Vec<&str> = outputs.map(|output| &*output.path).collect();
        assert_eq!(given, ["reached", "before"], "{pumped}");
    }
    let calm = filling(&[("pumped", "13 kPa"), ("vapour", "120 hPa")]);
    assert_eq!(checks(&calm), [("does_not_boil", Level::InRange)]);
    // Put on under vacuum there is no floor, but it boils as well.
    let dry = filling(&[("order", "dry"), ("pumped", "1 kPa"), ("vapour", "120 hPa")]);
    near(number(&dry.cards[0], "gas_share"), 1.0 / 88.0, 1e-14, "dry");
    assert_eq!(check(&dry, "boils").unwrap().0, Level::Warning);
}

/// Within two standard uncertainties, of the pump and of the vapour pressure, nobody knows.
#[wasm_bindgen_test(unsupported = test)]
fn whether_it_boils_is_judged_with_what_is_not_known() {
    let of = |order, pumped, vapour| {
        checks(&filling(&[
            ("order", order),
            ("pumped", pumped),
            ("vapour", vapour),
        ]))
    };
    for order in ["wet", "dry"] {
        // √(0.3² + 0.4²) is 0.5: 1 kPa above is what it takes.
        for (pumped, code, level) in [
            ("13.01 ± 0.3 kPa", "does_not_boil", Level::InRange),
            ("12.99 ± 0.3 kPa", "may_boil", Level::Warning),
        ] {
            assert_eq!(
                of(order, pumped, "12.0 ± 0.4 kPa"),
                [(code, level)],
                "{pumped}"
            );
        }
    }
    let evaluation = filling(&[("pumped", "12.9 ± 0.3 kPa"), ("vapour", "12.0 ± 0.4 kPa")]);
    let (_, sentence) = check(&evaluation, "may_boil").unwrap();
    assert_eq!(
        sentence,
        "At 12.9 kPa the solvent may boil: its vapour pressure is 12 kPa, and the difference of 0.9 kPa is within its \
         expanded uncertainty of 1 kPa (k = 2). Pump to a higher pressure, or chill the electrolyte."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn cycles_are_the_fewest_that_are_enough() {
    let mut numbers = Generator::new(11);
    for _ in 0..200 {
        let pumped = numbers.between(0.1, 60.0);
        let wanted = numbers.between(0.001, 50.0);
        let (pumped_text, wanted_text) = (format!("{pumped} kPa"), format!("{wanted} %"));
        let evaluation = filling(&[("pumped", &pumped_text), ("wanted", &wanted_text)]);
        let card = &evaluation.cards[0];
        let (cycles, share) = (number(card, "cycles"), number(card, "gas_share"));
        let after = number(card, "gas_after");
        assert!(cycles >= 1.0 && after <= wanted / 100.0 * (1.0 + 1e-9));
        assert!(cycles == 1.0 || after / share > wanted / 100.0 * (1.0 - 1e-9));
    }
    // 0.05² is 0.0025 to the last digit: not three times.
    assert_eq!(found(&[("wanted", "0.25 %")], "cycles"), 2.0);
    assert_eq!(found(&[("wanted", "5 %")], "cycles"), 1.0);
    assert_eq!(found(&[("wanted", "100 %")], "cycles"), 1.0);
    let many = filling(&[("pumped", "50 kPa"), ("wanted", "1 %")]);
    let (level, sentence) = check(&many, "many_cycles").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("7 cycles take solvent out"),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_bubble_is_a_flat_cylinder() {
    let bubble = found(&[("gap", "60 um")], "bubble");
    near(
        core::f64::consts::PI * bubble * bubble / 4.0 * 60e-6,
        50e-12,
        1e-14,
        "volume",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_true_together_stops() {
    support::stops(
        &filling(&[("pumped", "101 kPa")]),
        "pumped",
        "no_vacuum",
        "Pumped to 101 kPa and let in to 100 kPa with a vapour pressure of 0, nothing is drawn in.",
    );
    // No vacuum at all: no number of cycles helps.
    support::stops(
        &filling(&[("pumped", "100 kPa"), ("wanted", "1 %")]),
        "pumped",
        "no_vacuum",
        "Pumped to 100 kPa and let in to 100 kPa with a vapour pressure of 0, nothing is drawn in.",
    );
    support::stops(
        &filling(&[("actual_pumped", "200 kPa"), ("vapour", "1 kPa")]),
        "actual_pumped",
        "no_vacuum",
        "Pumped to 200 kPa and let in to 100 kPa with a vapour pressure of 1 kPa, nothing is drawn in.",
    );
    support::stops(
        &filling(&[("vapour", "100 kPa")]),
        "vented",
        "below_vapour_pressure",
        "At 100 kPa the solvent boils, since its vapour pressure is 100 kPa: the gap does not fill.",
    );
    support::stops(
        &filling(&[("vapour", "4 kPa"), ("another", "4 kPa")]),
        "another",
        "below_vapour_pressure",
        "At 4 kPa the solvent boils, since its vapour pressure is 4 kPa: the gap does not fill.",
    );
    support::stops(
        &filling(&[("pumped", "99.9 kPa"), ("wanted", "1 %")]),
        "wanted",
        "too_many_cycles",
        "Each time 99.9 % of the volume stays gas: 1 % is not reached in 1000 times.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_the_pump_reached_counts() {
    near(
        found(&[("actual_pumped", "8 kPa")], "gas_share"),
        0.08,
        1e-14,
        "actual",
    );
    let some = filling(&[("actual_pumped", "8 kPa"), ("wanted", "1 %")]);
    let (level, sentence) = check(&some, "gas_above_wanted").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with(
            "Filled once, 8 % of the volume stays gas, more than 1 %. Pump and fill 2 times"
        ),
        "{sentence}"
    );
    let little = filling(&[("wanted", "5 %")]);
    assert_eq!(checks(&little), [("gas_as_wanted", Level::InRange)]);
}
