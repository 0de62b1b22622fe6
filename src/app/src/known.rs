//! How the typed numbers of a card were read, and which pieces of ware have a name: what the boxes about uncertainty
//! show beside what was typed.

use std::collections::{BTreeMap, BTreeSet};

use glasswick_core::quantity::Unit;
use glasswick_core::sheet::{CardResult, Evaluation, Input, Reading, Sheet, Taken};
use glasswick_core::uncertainty::Meaning;

use crate::view::entries;

/// A typed number as it was read, in SI.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Known {
    /// The value that counts: the mean of readings, what was corrected.
    pub(crate) value: f64,
    /// The unit it was typed in.
    pub(crate) unit: &'static Unit,
    /// Its standard uncertainty.
    pub(crate) uncertainty: f64,
    /// The part of it that is the number's own.
    pub(crate) own: f64,
    /// The degrees of freedom of that part.
    pub(crate) degrees_of_freedom: f64,
    /// What else acts on it, with the standard uncertainty that this gives it.
    pub(crate) effects: Vec<(String, f64)>,
}

/// The typed numbers of a card, by path.
pub(crate) fn known(evaluation: &Evaluation, card: &CardResult) -> BTreeMap<String, Known> {
    let read = |reading: &Reading| {
        let Taken::Typed { leaf, effects } = &reading.origin else {
            return None;
        };
        let own = &evaluation.leaves[*leaf];
        let effects = effects.iter().map(|effect| {
            let leaf = &evaluation.leaves[effect.leaf];
            let contribution = (effect.sensitivity * leaf.uncertainty).abs();
            (leaf.part.clone(), contribution)
        });
        let known = Known {
            value: reading.value,
            unit: reading.unit,
            uncertainty: evaluation.typed_uncertainty(reading),
            own: own.uncertainty,
            degrees_of_freedom: own.degrees_of_freedom,
            effects: effects.collect(),
        };
        Some((reading.path.clone(), known))
    };
    card.readings.iter().filter_map(read).collect()
}

/// A row of the table of ware, and what someone calls a piece of it.
pub(crate) type Piece = (String, String);

/// The pieces of ware on a run sheet that have a name.
pub(crate) fn pieces(sheet: &Sheet) -> BTreeSet<Piece> {
    let named = |input: &Input| match input {
        Input::Typed(typed) => match &typed.meaning {
            Meaning::Ware(ware) if !ware.piece.trim().is_empty() => {
                Some((ware.item.clone(), ware.piece.trim().to_owned()))
            }
            _ => None,
        },
        _ => None,
    };
    let cards = sheet.cards.iter();
    cards
        .flat_map(|card| entries(card).filter_map(|(_, input)| named(input)))
        .collect()
}
