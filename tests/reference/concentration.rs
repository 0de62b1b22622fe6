//! The concentration calculator through its public interface: there and back, what it lacks, when it stops.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Evaluation, State};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, stops};

/// The forms, and the coherent unit that each is typed in.
const FORMS: [(&str, &str); 6] = [
    ("amount_concentration", "mol/m3"),
    ("mass_concentration", "kg/m3"),
    ("mass_fraction", "kg/kg"),
    ("volume_fraction", "m3/m3"),
    ("molality", "mol/kg"),
    ("amount_fraction", "mol/mol"),
];

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("concentration", inputs))
}

/// Every form from every other, with all densities and molar masses.
#[wasm_bindgen_test(unsupported = test)]
fn there_and_back_returns_what_was_entered() {
    let mut numbers = Generator::new(31_337);
    for _ in 0..40 {
        let density = numbers.between(700.0, 2000.0);
        let fraction = numbers.between(1e-9, 0.95);
        // Above what the mixture holds of it, so that no fraction passes 1.
        let solute_density = density * numbers.between(1.0, 3.0);
        let constants = [
            (
                "molar_mass",
                format!("{} kg/mol", numbers.between(0.01, 1.0)),
            ),
            (
                "solvent_molar_mass",
                format!("{} kg/mol", numbers.between(0.01, 0.3)),
            ),
            ("density", format!("{density} kg/m3")),
            ("solute_density", format!("{solute_density} kg/m3")),
        ];
        let with = |form: &str, value: f64, unit: &str| {
            let value = format!("{value:e} {unit}");
            let mut inputs = vec![("known", form), (form, value.as_str())];
            inputs.extend(
                constants
                    .iter()
                    .map(|(field, text)| (*field, text.as_str())),
            );
            evaluated(&inputs)
        };
        let first = with("mass_fraction", fraction, "kg/kg");
        for (form, unit) in FORMS {
            if form == "mass_fraction" {
                continue;
            }
            let value = number(&first.cards[0], form);
            let second = with(form, value, unit);
            for (other, _) in FORMS {
                if other == form {
                    continue;
                }
                let expected = match other {
                    "mass_fraction" => fraction,
                    _ => number(&first.cards[0], other),
                };
                let found = number(&second.cards[0], other);
                assert!(
                    (found / expected - 1.0).abs() < 1e-12,
                    "{other} from {form}: {found}, not {expected}"
                );
            }
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_lacks_a_density_is_left_out_and_named() {
    let acid = evaluated(&[("known", "mass_fraction"), ("mass_fraction", "37 %")]);
    assert!(acid.cards[0].outputs.is_empty());
    let (level, sentence) = check(&acid, "not_given").unwrap();
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "Amount concentration needs the density of the mixture and the molar mass of the solute. Mass concentration needs \
         the density of the mixture. Volume fraction needs the density of the mixture and the density of the pure solute. \
         Molality needs the molar mass of the solute. Amount fraction needs the molar mass of the solute and the molar mass \
         of the solvent."
    );
    let with_density = evaluated(&[
        ("known", "mass_fraction"),
        ("mass_fraction", "37 %"),
        ("density", "1.184 g/mL"),
        ("molar_mass", "36.458 g/mol"),
        ("solvent_molar_mass", "18.015 g/mol"),
        ("solute_density", "1.6 g/mL"),
    ]);
    assert_eq!(with_density.cards[0].outputs.len(), 5);
    assert_eq!(check(&with_density, "not_given"), None);
    // Between molality and amount fraction the molar mass of the solvent is enough.
    let molality = evaluated(&[("known", "molality"), ("molality", "1 mol/kg")]);
    let (_, sentence) = check(&molality, "not_given").unwrap();
    assert!(
        sentence.ends_with("Amount fraction needs the molar mass of the solvent."),
        "{sentence}"
    );
}

/// 45 % is three different things, and none of them where a percentage has no meaning.
#[wasm_bindgen_test(unsupported = test)]
fn a_percentage_is_one_of_three() {
    let grams = |known: &str, text: &str| {
        let inputs = [
            ("known", known),
            (known, text),
            ("density", "1.2 g/mL"),
            ("solute_density", "2 g/mL"),
            ("portion", "1 mL"),
        ];
        1e3 * number(&evaluated(&inputs).cards[0], "portion_mass")
    };
    for (found, expected) in [
        (grams("mass_fraction", "45 %"), 0.54),
        (grams("mass_concentration", "45 % (w/v)"), 0.45),
        (grams("volume_fraction", "45 %"), 0.9),
    ] {
        assert!((found - expected).abs() < 1e-12, "{found}, not {expected}");
    }
    for known in ["amount_concentration", "mass_concentration"] {
        let bare = evaluated(&[("known", known), (known, "45 %")]);
        assert!(matches!(bare.cards[0].state, State::Stopped(_)), "{known}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn more_solute_than_mixture_stops() {
    stops(
        &evaluated(&[
            ("known", "mass_concentration"),
            ("mass_concentration", "1500 g/L"),
            ("density", "1.2 g/mL"),
        ]),
        "density",
        "more_than_pure",
        "The mass concentration (1.5 g/mL) is above the density of the mixture (1.2 g/mL): the mixture would hold more than \
         pure solute.",
    );
}

/// A pure substance has no solvent, and so no molality.
#[wasm_bindgen_test(unsupported = test)]
fn a_pure_substance_has_no_molality() {
    let pure = evaluated(&[
        ("known", "mass_fraction"),
        ("mass_fraction", "100 %"),
        ("molar_mass", "100 g/mol"),
        ("density", "0.8 g/mL"),
    ]);
    assert!((number(&pure.cards[0], "amount_concentration") / 8000.0 - 1.0).abs() < 1e-14);
    assert!(pure.cards[0].output("molality").is_none());
    for known in ["mass_fraction", "amount_fraction"] {
        let pure = evaluated(&[("known", known), (known, "100 %")]);
        let (_, sentence) = check(&pure, "not_given").unwrap();
        assert!(
            sentence.contains("Molality does not exist: there is no solvent."),
            "{sentence}"
        );
    }
}
