//! Solids by residue through its public interface: the scatter of crucibles, what cannot be, and the way to a thickness.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Sheet, evaluate};
use glasswick_core::uncertainty::Origin;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, number, one_pass, stops};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("solids_residue", inputs))
}

/// One crucible: 5 g of ink, 1.1 g dried, 1 g fired; changed as said.
fn one(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("crucibles.a.empty", "20 g"),
        ("crucibles.a.with_ink", "25 g"),
        ("crucibles.a.dried", "21.1 g"),
        ("crucibles.a.fired", "21 g"),
    ];
    evaluated(&[&usual, changes].concat())
}

/// 20 % and 22 % after firing; 22 % and 25 % after drying.
const TWO: [(&str, &str); 8] = [
    ("crucibles.a.empty", "20 g"),
    ("crucibles.a.with_ink", "30 g"),
    ("crucibles.a.dried", "22.2 g"),
    ("crucibles.a.fired", "22 g"),
    ("crucibles.b.empty", "20 g"),
    ("crucibles.b.with_ink", "30 g"),
    ("crucibles.b.dried", "22.5 g"),
    ("crucibles.b.fired", "22.2 g"),
];

/// JCGM 100:2008, 4.2.3, from memory: the standard uncertainty of a mean is s/√n, with n − 1 degrees of freedom.
#[wasm_bindgen_test(unsupported = test)]
fn crucibles_scatter() {
    let evaluation = evaluated(&TWO);
    let uncertainty = |output| {
        evaluation
            .budget("solids_residue", output)
            .unwrap()
            .uncertainty
    };
    // Of two readings half their difference.
    assert!((uncertainty("solids_fraction") - 0.01).abs() < 1e-12);
    assert!((uncertainty("dry_fraction") - 0.015).abs() < 1e-12);
    // 1 − w/w_d: both rise together, 0.01/0.235 less 0.21·0.015/0.235².
    let together: f64 = 0.01 / 0.235 - 0.21 * 0.015 / (0.235 * 0.235);
    assert!((uncertainty("burnt_out") - together.abs()).abs() < 1e-12);
    let budget = evaluation
        .budget("solids_residue", "solids_fraction")
        .unwrap();
    let scatter = budget
        .rows
        .iter()
        .find(|row| matches!(row.origin, Origin::Scatter(_)));
    assert_eq!(scatter.map(|row| row.degrees_of_freedom), Some(1.0));
    let (level, sentence) = check(&evaluation, "crucibles_differ").expect("it is said");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("The 2 crucibles differ by 1.414 %"),
        "{sentence}"
    );
    assert!(check(&one(&[]), "one_crucible").is_some());
}

#[wasm_bindgen_test(unsupported = test)]
fn the_residue_goes_on_to_the_thickness() {
    let densities = [("ink_density", "1.2 g/mL"), ("powder_density", "4 g/cm3")];
    let residue = card("solids_residue", &[TWO.as_slice(), &densities].concat());
    let address = Address {
        card: "solids_residue".into(),
        output: "solids".into(),
    };
    let thickness = one_pass("50 %", address);
    let evaluation = evaluate(&Sheet {
        cards: vec![residue, thickness],
    });
    // 21 % by mass are 6.3 % by volume; 25 µm wet, half of the film pores.
    let found = number(&evaluation.cards[1], "thickness");
    assert!((found - 3.15e-6).abs() < 1e-16, "{found}");
    let budget = evaluation.budget("thickness", "thickness").unwrap();
    assert!((budget.uncertainty - 3.15e-6 / 21.0).abs() < 1e-16);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_recipe_is_compared() {
    let against =
        |recipe| check(&one(&[("recipe", recipe)]), "against_recipe").expect("it is said");
    assert_eq!(against("20.2 %").0, Level::InRange);
    let (level, sentence) = against("25 %");
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("The residue of 20 % is 20 % below the recipe, 25 %. Filters"),
        "{sentence}"
    );
    assert!(against("16 %").1.contains("Evaporated carrier"));
}

#[wasm_bindgen_test(unsupported = test)]
fn filters_that_keep_much_are_noted() {
    let filtered = |after| {
        let filter = [
            ("filtered", "weighed"),
            ("filters.a.before", "1 g"),
            ("filters.a.after", after),
            ("filtrate", "50 g"),
        ];
        one(&filter)
    };
    assert_eq!(
        check(&filtered("1.1 g"), "filter_loss").map(|c| c.0),
        Some(Level::InRange)
    );
    assert_eq!(
        check(&filtered("2 g"), "filter_loss").map(|c| c.0),
        Some(Level::Note)
    );
    stops(
        &filtered("0.8 g"),
        "filters",
        "filters_lighter",
        "The filters lost 200 mg: they cannot hold less than nothing.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn weighings_that_cannot_be_stop() {
    stops(
        &one(&[("crucibles.a.with_ink", "20 g")]),
        "crucibles.a.with_ink",
        "no_ink",
        "With ink the crucible weighs 20 g, empty 20 g: there is no ink in it.",
    );
    stops(
        &one(&[("crucibles.a.fired", "19.9 g")]),
        "crucibles.a.fired",
        "residue_impossible",
        "After firing the crucible weighs 19.9 g: that is not between empty (20 g) and with ink (25 g).",
    );
    let second = [
        ("crucibles.b.empty", "20 g"),
        ("crucibles.b.with_ink", "25 g"),
        ("crucibles.b.fired", "21 g"),
    ];
    stops(
        &one(&second),
        "crucibles",
        "drying_incomplete",
        "1 of 2 crucibles were weighed after drying: their means would be of different crucibles.",
    );
    stops(
        &one(&[("ink_density", "1200 g/mL"), ("powder_density", "4 g/cm3")]),
        "ink_density",
        "denser_than_powder",
        "With an ink of 1200 g/mL the powder of 4 g/cm³ would fill more than all of it.",
    );
    let gained = one(&[("crucibles.a.fired", "21.2 g")]);
    assert_eq!(
        check(&gained, "gained_on_firing").map(|c| c.0),
        Some(Level::Warning)
    );
}

/// Nothing is left after drying: no share of nothing burns out.
#[wasm_bindgen_test(unsupported = test)]
fn without_a_dry_residue_nothing_burns_out() {
    let bare = one(&[("crucibles.a.dried", "20 g"), ("crucibles.a.fired", "20 g")]);
    assert_eq!(number(&bare.cards[0], "dry_fraction"), 0.0);
    assert!(bare.cards[0].output("burnt_out").is_none());
}
