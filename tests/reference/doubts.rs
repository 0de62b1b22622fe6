//! Where the first-order picture is weak is said; where it is good, nothing is.

use glasswick_core::calculators;
use glasswick_core::quantity::Kind;
use glasswick_core::sheet::{Card, Doubt, Sheet, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

/// The doubts about one output of a dilution.
fn doubts(find: &str, inputs: &[(&str, &str)]) -> Vec<Doubt> {
    let calculator = calculators::find("dilution").unwrap();
    let mut card = Card::new(calculator, "a");
    card.enter(calculator, "find", find);
    for (path, text) in inputs {
        card.enter(calculator, path, text);
    }
    let evaluation = evaluate(&Sheet { cards: vec![card] });
    let all = evaluation.doubts("a");
    let of = all.into_iter().find(|(path, _)| path == find);
    of.map_or_else(Vec::new, |(_, doubts)| doubts)
}

#[wasm_bindgen_test(unsupported = test)]
fn small_uncertainties_leave_no_doubt() {
    let inputs = [
        ("stock", "5.00 ± 0.05 mol/L"),
        ("aliquot", "0.850 ± 0.001 L"),
        ("final", "1.80 ± 0.01 L"),
    ];
    assert_eq!(doubts("target", &inputs), []);
    let exact = [("stock", "5 mol/L"), ("aliquot", "1 L"), ("final", "2 L")];
    assert_eq!(doubts("target", &exact), []);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_large_uncertainty_below_a_line_is_curved() {
    // c = a/b with u(b) = 0.3 b: ½·(1/1.3 + 1/0.7) − 1 = 0.0989 of the value, over u = 0.3 of it: 0.33.
    let inputs = [
        ("stock", "1 mol/L"),
        ("aliquot", "1 L"),
        ("final", "10 ± 3 L"),
    ];
    let found = doubts("target", &inputs);
    let [Doubt::Curved(part)] = found[..] else {
        panic!("{found:?}");
    };
    assert!((part - 0.0989 / 0.3).abs() < 0.001, "{part}");
}

#[wasm_bindgen_test(unsupported = test)]
fn a_result_near_zero_is_near_its_bound() {
    let inputs = [
        ("stock", "1.0 ± 0.6 mol/L"),
        ("aliquot", "1 L"),
        ("final", "10 L"),
    ];
    let found = doubts("target", &inputs);
    assert!(found.contains(&Doubt::NearBound(0.0)), "{found:?}");
}

#[wasm_bindgen_test(unsupported = test)]
fn an_entry_that_may_be_impossible_is_said() {
    let inputs = [
        ("stock", "1.0 ± 1.5 mol/L"),
        ("aliquot", "1 L"),
        ("final", "10 L"),
    ];
    let found = doubts("target", &inputs);
    let impossible = |doubt: &Doubt| matches!(doubt, Doubt::NoResult(why) if why.starts_with("Stock concentration cannot be"));
    assert!(found.iter().any(impossible), "{found:?}");
}

#[wasm_bindgen_test(unsupported = test)]
fn an_entry_near_a_bound_is_said() {
    // A mass fraction of 99.5 % ± 0.3 % may be above one within k = 2, although not within one u.
    let near = |stock: &str| {
        let inputs = [
            ("by", "mass"),
            ("stock_fraction", stock),
            ("aliquot_mass", "1 g"),
            ("final_mass", "10 g"),
        ];
        let calculator = calculators::find("dilution").unwrap();
        let mut card = Card::new(calculator, "a");
        card.enter(calculator, "find", "target");
        for (path, text) in inputs {
            card.enter(calculator, path, text);
        }
        let all = evaluate(&Sheet { cards: vec![card] }).doubts("a");
        let impossible = |doubt: &Doubt| matches!(doubt, Doubt::NoResult(why) if why.starts_with("Stock mass fraction cannot be"));
        all.iter()
            .any(|(path, doubts)| path == "target_fraction" && doubts.iter().any(impossible))
    };
    assert!(near("99.5(3) %"));
    assert!(!near("99.5(2) %"));
}

#[wasm_bindgen_test(unsupported = test)]
fn every_doubt_of_every_worked_case_says_what_to_do() {
    for (calculator, case) in calculators::cases() {
        let sheet = Sheet {
            cards: vec![Card::example(calculator, case)],
        };
        let evaluation = evaluate(&sheet);
        for (path, doubts) in evaluation.doubts(calculator.id) {
            let field = evaluation.cards[0].output(&path).unwrap().field;
            for doubt in doubts {
                let sentence = doubt.sentence(field);
                assert!(sentence.ends_with("Run the Monte Carlo."), "{sentence}");
                assert!(!sentence.contains("NaN"), "{}: {sentence}", case.title);
            }
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn fractions_have_two_bounds_and_differences_none() {
    assert_eq!(Kind::MassFraction.bounds(), (0.0, 1.0));
    assert_eq!(Kind::Mass.bounds(), (0.0, f64::INFINITY));
    let (low, high) = Kind::Voltage.bounds();
    assert!(low.is_infinite() && high.is_infinite());
}
