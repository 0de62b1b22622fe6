//! Cleaning and treatment baths through their public interface: there and back, rinses, loadings, and when they stop.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, stops};

fn cleaning(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("cleaning_bath", inputs))
}

fn treatment(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("treatment_bath", inputs))
}

#[track_caller]
fn close(found: f64, expected: f64) {
    assert!(
        (found / expected - 1.0).abs() < 1e-12,
        "{found}, not {expected}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_planned_portions_make_the_target() {
    let mut numbers = Generator::new(99);
    for _ in 0..100 {
        let purity = numbers.between(0.05, 1.0);
        let target = purity * numbers.between(1e-4, 0.99);
        let shared = [
            ("purity", format!("{purity} kg/kg")),
            ("density", format!("{} g/mL", numbers.between(0.8, 1.5))),
        ];
        let with = |inputs: &[(&str, &str)]| {
            let shared: Vec<_> = shared.iter().map(|(f, t)| (*f, t.as_str())).collect();
            cleaning(&[&shared, inputs].concat())
        };
        let planned = with(&[("target", &format!("{target} kg/kg")), ("fill", "730 mL")]);
        let reagent = number(&planned.cards[0], "reagent");
        let water = number(&planned.cards[0], "water");
        let made = with(&[
            ("find", "made"),
            ("reagent", &format!("{reagent} kg")),
            ("water", &format!("{water} kg")),
        ]);
        close(number(&made.cards[0], "made"), target);
        close(number(&made.cards[0], "bath_volume"), 730e-6);
    }
}

/// As many rinses as are said leave no more than is wanted, one fewer leaves more.
#[wasm_bindgen_test(unsupported = test)]
fn rinses_for_a_rest_are_just_enough() {
    let mut numbers = Generator::new(55);
    let mut several = 0;
    for _ in 0..100 {
        let carried = format!("{} mL", numbers.between(0.1, 10.0));
        let rinse = format!("{} mL", numbers.between(10.0, 200.0));
        let wanted = numbers.between(1e-8, 0.5);
        let shared = [
            ("target", "2 %"),
            ("fill", "500 mL"),
            ("carry_over", carried.as_str()),
            ("rinse_volume", rinse.as_str()),
        ];
        let typed = format!("{} %", 100.0 * wanted);
        let rest = [("rinse", "rest"), ("wanted_rest", typed.as_str())];
        let needed = [&shared[..], &rest].concat();
        let needed = number(&cleaning(&needed).cards[0], "rinses");
        let rest = |rinses: f64| {
            let count = format!("{rinses}");
            let of = [&shared[..], &[("rinse", "count"), ("rinses", &count)]].concat();
            number(&cleaning(&of).cards[0], "rest")
        };
        assert!(rest(needed) <= wanted * (1.0 + 1e-8));
        if needed > 1.0 {
            assert!(rest(needed - 1.0) > wanted);
            several += 1;
        }
    }
    assert!(several > 50, "{several}");
}

#[wasm_bindgen_test(unsupported = test)]
fn several_rinses_do_more_than_one_with_the_same_water() {
    let three = cleaning(&[
        ("target", "2 %"),
        ("fill", "500 mL"),
        ("rinse", "count"),
        ("carry_over", "1 mL"),
        ("rinse_volume", "99 mL"),
        ("rinses", "3"),
    ]);
    let (_, sentence) = check(&three, "rinsed_at_once").unwrap();
    assert_eq!(
        sentence,
        "The same 297 mL of water at once would leave 0.3356 % instead of 0.0001 %."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_bath_stronger_than_its_reagent_stops() {
    stops(
        &cleaning(&[("target", "30 %"), ("purity", "20 %"), ("fill", "1 L")]),
        "target",
        "target_above_reagent",
        "The target (30 %) is above what the reagent holds (20 %): the water to add would be negative.",
    );
    stops(
        &treatment(&[
            ("stock", "1 mol/L"),
            ("target", "2 mol/L"),
            ("volume", "100 mL"),
        ]),
        "target",
        "target_above_stock",
        "The target (2 mol/L) is above the stock (1 mol/L): dilution cannot strengthen a solution.",
    );
    stops(
        &treatment(&[
            ("stock", "1 mol/L"),
            ("target", "0.1 mol/L"),
            ("volume", "100 mL"),
            ("actual_stock_volume", "120 mL"),
        ]),
        "volume",
        "negative_solvent",
        "The stock (120 mL) is more than the bath (100 mL): the solvent to add would be negative.",
    );
}

/// The volume for a loading brings that loading, whatever stays of it; and what was really dispensed counts.
#[wasm_bindgen_test(unsupported = test)]
fn the_volume_for_a_loading_gives_that_loading() {
    let mut numbers = Generator::new(2_718);
    for _ in 0..100 {
        let loading = numbers.between(0.1, 100.0);
        let shared = [
            ("find", "made".to_owned()),
            ("stock", "50 mmol/L".into()),
            ("stock_volume", "1 mL".into()),
            ("volume", format!("{} mL", numbers.between(2.0, 50.0))),
            ("area", format!("{} cm2", numbers.between(0.2, 20.0))),
            ("kept", format!("{} %", numbers.between(1.0, 100.0))),
            ("product_molar_mass", "195.084 g/mol".into()),
        ];
        let with = |inputs: &[(&str, &str)]| {
            let shared: Vec<_> = shared.iter().map(|(f, t)| (*f, t.as_str())).collect();
            treatment(&[&shared, inputs].concat())
        };
        let wanted = format!("{loading} ug/cm2");
        let planned = with(&[("loading", "target"), ("target_loading", &wanted)]);
        let volume = number(&planned.cards[0], "dispensed");
        close(number(&planned.cards[0], "areal_mass"), loading * 1e-5);
        let given = with(&[
            ("loading", "dispensed"),
            ("dispensed", &format!("{volume:e} m3")),
        ]);
        close(number(&given.cards[0], "areal_mass"), loading * 1e-5);
        let actual = with(&[
            ("loading", "target"),
            ("target_loading", &wanted),
            ("actual_dispensed", &format!("{:e} m3", 1.5 * volume)),
        ]);
        close(number(&actual.cards[0], "areal_mass"), 1.5 * loading * 1e-5);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn no_more_is_dispensed_than_the_bath_holds() {
    let coated = |dispensed| {
        treatment(&[
            ("stock", "50 mmol/L"),
            ("target", "5 mmol/L"),
            ("volume", "10 mL"),
            ("loading", "dispensed"),
            ("area", "1 cm2"),
            ("dispensed", dispensed),
            ("product_molar_mass", "195.084 g/mol"),
        ])
    };
    assert_eq!(check(&coated("10 uL"), "dispensed_above_bath"), None);
    let (level, sentence) = check(&coated("10.1 mL"), "dispensed_above_bath").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("more than the bath holds (10 mL)"),
        "{sentence}"
    );
}
