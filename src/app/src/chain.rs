//! What a new run sheet begins with: one card, or a card for every step of the work, linked where one feeds the next.

use glasswick_core::calculators::{Calculator, FieldKind, find};
use glasswick_core::sheet::{Address, Card, Input, Row, Sheet};
use glasswick_record::Document;

/// A run sheet of these cards.
pub(crate) fn with_cards(cards: Vec<Card>) -> Document {
    Document {
        sheet: Sheet { cards },
        ..Document::default()
    }
}

/// A new card, each of its tables with one row.
pub(crate) fn started(calculator: &'static Calculator, id: impl Into<String>) -> Card {
    let mut card = Card::new(calculator, id);
    for field in calculator.inputs.iter().map(|entry| entry.field) {
        if let FieldKind::Table { columns } = field.kind {
            let rows = vec![Row::new("r1", columns)];
            card.inputs.insert(field.id.into(), Input::Rows(rows));
        }
    }
    card
}

/// The card that gathers what others hold.
const GATHERS: &str = "reporting_checklist";
/// What it takes: its entry, and the calculator with the number that fills it, the best source first.
const GATHERED: &[(&str, &str)] = &[
    ("area", "efficiency.area"),
    ("film_area", "efficiency.film_area"),
    ("irradiance", "irradiance.irradiance"),
    ("irradiance", "efficiency.irradiance"),
    ("mismatch", "spectral_mismatch.mismatch"),
    ("mismatch", "irradiance.mismatch"),
    ("temperature", "diode_fit.temperature"),
    ("temperature", "efficiency.temperature"),
    ("sweep_rate", "efficiency.sweep_rate"),
    ("cell_count", "process_comparison.cells_measured"),
    ("substrate_count", "process_comparison.substrates_measured"),
];

/// Links the empty entries of a new card to what the run sheet already holds.
pub(crate) fn gather(card: &mut Card, sheet: &Sheet) {
    if card.calculator != GATHERS {
        return;
    }
    for (entry, source) in GATHERED {
        let Some((source, number)) = source.split_once('.') else {
            continue;
        };
        let empty = match card.inputs.get(*entry) {
            Some(Input::Typed(typed)) => typed.text.trim().is_empty(),
            Some(Input::Link(_)) => false,
            _ => true,
        };
        if !empty {
            continue;
        }
        // What a new card starts with was not said by the person; what it does not find is none of its results.
        let holds = |card: &&Card| {
            let Some(known) = card.declaration() else {
                return false;
            };
            let is_result = known.outputs.iter().any(|entry| {
                entry.field.id == number && entry.applies(|choice| card.chosen(choice))
            });
            let entered = match card.inputs.get(number) {
                Some(Input::Typed(typed)) => {
                    let text = typed.text.trim();
                    let usual = known.input(number).map_or("", |field| field.initial);
                    !text.is_empty() && text != usual
                }
                Some(Input::Link(_)) => true,
                _ => false,
            };
            card.calculator == source && (is_result || entered)
        };
        if let Some(found) = sheet.cards.iter().find(holds) {
            let address = Address {
                card: found.id.clone(),
                output: number.into(),
            };
            card.inputs.insert((*entry).into(), Input::Link(address));
        }
    }
}

/// The steps of the work, by calculator.
const STEPS: &[&str] = &[
    "solution",
    "dilution",
    "thickness",
    "dye_bath",
    "spacer_gap",
    "electrolyte",
    "efficiency",
];

/// What is chosen so that one step can feed the next: card, choice, option.
const CHOICES: &[(&str, &str, &str)] = &[
    ("solution", "target_as", "mass_fraction"),
    ("solution", "mixture", "densities"),
    ("dye_bath", "films", "mass"),
    ("electrolyte", "couple", "equilibrium"),
];

/// Which entry takes which number: card, entry, where the number is.
const LINKS: &[(&str, &str, &str)] = &[
    ("thickness", "solids", "solution.volume_fraction"),
    ("thickness", "density", "solution.solute_density"),
    ("dye_bath", "film_mass", "thickness.film_mass"),
    ("spacer_gap", "film_area", "thickness.area"),
    ("spacer_gap", "film_thickness", "thickness.thickness"),
    ("spacer_gap", "porosity", "thickness.porosity"),
    ("electrolyte", "volume", "spacer_gap.prepare"),
    ("efficiency", "area", "thickness.area"),
];

/// A card for every step of the work, linked where one feeds the next.
pub(crate) fn chain() -> Document {
    let steps = STEPS.iter().filter_map(|id| find(id));
    let cards = steps.map(|calculator| started(calculator, calculator.id));
    let mut document = with_cards(cards.collect());
    let cards = &mut document.sheet.cards;
    let mut enter = |card: &str, entry: &str, input: Input| {
        if let Some(card) = cards.iter_mut().find(|c| c.id == card) {
            card.inputs.insert(entry.into(), input);
        }
    };
    for (card, choice, option) in CHOICES {
        enter(card, choice, Input::Text((*option).into()));
    }
    for (card, entry, from) in LINKS {
        if let Ok(address) = from.parse::<Address>() {
            enter(card, entry, Input::Link(address));
        }
    }
    document
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::sheet::{State, evaluate};

    use crate::view::field_at;

    #[test]
    fn every_choice_is_offered_and_every_link_leads_to_a_number_of_its_kind() {
        let sheet = chain().sheet;
        assert_eq!(sheet.cards.len(), STEPS.len());
        let card = |id: &str| &sheet.cards[sheet.position(id).unwrap()];
        for (id, choice, option) in CHOICES {
            let field = card(id).declaration().unwrap().input(choice).unwrap();
            let FieldKind::Choice { options } = field.kind else {
                panic!("{choice} is no choice");
            };
            assert!(options.iter().any(|known| known.id == *option), "{option}");
        }
        for (id, entry, from) in LINKS {
            let address: Address = from.parse().unwrap();
            let given = field_at(card(&address.card), &address.output).unwrap();
            let taken = field_at(card(id), entry).unwrap();
            assert_eq!(taken.number_kind(), given.number_kind(), "{from}");
            let inputs = card(id).declaration().unwrap().inputs;
            let shown = inputs.iter().any(|input| {
                input.field.id == *entry && input.applies(|choice| card(id).chosen(choice))
            });
            assert!(shown, "{entry} is not asked for on {id}");
        }
    }

    #[test]
    fn the_chain_waits_for_entries_and_nothing_in_it_is_wrong() {
        let sheet = chain().sheet;
        for card in &evaluate(&sheet).cards {
            assert!(matches!(card.state, State::Waiting(_)), "{}", card.title);
        }
    }
}
