//! Particles and filters: the rule is about the mean, filters stand in order, and what they keep.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, checks, stops};

fn nozzle(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card(
        "particles",
        &[&[("nozzle", "40 um")], inputs].concat(),
    ))
}

/// Common practice, no source: a mean size of 80 nm at a 40 µm nozzle passes the hundredfold rule (limit 400 nm).
#[wasm_bindgen_test(unsupported = test)]
fn the_rule_is_about_the_mean() {
    let at = |mean, rule| check(&nozzle(&[("mean", mean), ("rule", rule)]), "rule");
    let (level, sentence) = at("80 nm", "hundredth").expect("it is said");
    assert_eq!(level, Level::InRange);
    assert_eq!(
        sentence,
        "A mean of 80 nm by intensity passes the rule of 1/100 (limit 400 nm)."
    );
    assert_eq!(at("600 nm", "hundredth").map(|c| c.0), Some(Level::Warning));
    assert_eq!(at("600 nm", "fiftieth").map(|c| c.0), Some(Level::InRange));
    assert_eq!(at("1.9 um", "twentieth").map(|c| c.0), Some(Level::InRange));
    let by_number = nozzle(&[("number_mean", "50 nm")]);
    assert!(
        check(&by_number, "rule")
            .expect("it is said")
            .1
            .starts_with("A mean of 50 nm by number")
    );
    assert_eq!(checks(&nozzle(&[])), []);
    let large = nozzle(&[("largest", "8 um")]);
    let (level, sentence) = check(&large, "largest").expect("it is said");
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("1/5 of the nozzle"), "{sentence}");
    let blocking = nozzle(&[("largest", "80 um")]);
    let (level, sentence) = check(&blocking, "largest").expect("it is said");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.contains("as large as the nozzle (40 µm) or larger: it blocks it."),
        "{sentence}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn filters_go_from_coarse_to_fine() {
    let train = |first, second, mean| {
        nozzle(&[
            ("filters.a.pore", first),
            ("filters.b.pore", second),
            ("mean", mean),
        ])
    };
    let usual = train("5 um", "1.2 um", "80 nm");
    assert_eq!(check(&usual, "order").map(|c| c.0), Some(Level::InRange));
    let (level, sentence) = check(&usual, "last_filter").expect("it is said");
    assert_eq!(level, Level::InRange);
    assert!(
        sentence.starts_with(
            "The last filter (1.2 µm) is coarser than the limit for the mean (400 nm), which is normal"
        ),
        "{sentence}"
    );
    let (level, sentence) = check(&train("1.2 um", "5 um", "80 nm"), "order").expect("it is said");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("Filter 2 (5 µm) is not finer than filter 1 (1.2 µm)"),
        "{sentence}"
    );
    let wide = check(&train("20 um", "5 um", "80 nm"), "last_filter");
    assert_eq!(wide.map(|c| c.0), Some(Level::Warning));
    let tight = check(&train("1 um", "200 nm", "80 nm"), "last_filter");
    assert_eq!(tight.map(|c| c.0), Some(Level::Note));
}

#[wasm_bindgen_test(unsupported = test)]
fn filters_keep_no_more_than_there_is() {
    let filter = [("filters.a.pore", "5 um"), ("filters.a.hold_up", "2 mL")];
    stops(
        &nozzle(&[filter[0], filter[1], ("ink", "1 mL")]),
        "ink",
        "all_held_up",
        "The filters hold up 2 mL, more than there is (1 mL).",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn hold_up_that_is_not_entered_is_not_zero() {
    let filters = [
        ("ink", "10 mL"),
        ("filters.a.pore", "5 um"),
        ("filters.b.pore", "1 um"),
    ];
    let unknown = nozzle(&filters);
    for output in ["held_up", "filtered"] {
        assert!(unknown.cards[0].output(output).is_none(), "{output}");
    }
    assert_eq!(check(&unknown, "without_hold_up"), None);
    let some = nozzle(&[&filters[..], &[("filters.a.hold_up", "1 mL")]].concat());
    assert!(some.cards[0].output("filtered").is_some());
    assert_eq!(
        check(&some, "without_hold_up").unwrap(),
        (
            Level::Note,
            "No hold-up is entered for filter 2: it keeps ink too, which is not counted."
                .to_owned()
        )
    );
}
