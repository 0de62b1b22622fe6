//! The run sheet: cards linked to each other, evaluated as one function.

mod address;
mod card_result;
mod doubts;
mod entry;
mod evaluate;
mod fingerprint;
mod leaves;
mod next_batch;
mod order;
mod plan;
mod points;
mod propagate;
mod stated;
mod trials;

pub use address::Address;
pub use card_result::{CardResult, Output, State};
pub use doubts::Doubt;
pub use entry::{Awaited, Effect, Reading, Taken};
pub use evaluate::{Evaluation, Offer, evaluate};
pub use points::understand;
pub use stated::split_readings;
pub use trials::Trials;

use std::collections::BTreeMap;

use crate::calculators::{self, Calculator, Case, Field, FieldKind};
use crate::points::Corrections;
use crate::uncertainty::Meaning;

/// A run sheet as a person filled it in: texts as typed, links, choices. Nothing in it need be valid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// The cards, in the order of the page.
    pub cards: Vec<Card>,
}

/// One card of a run sheet: a calculator with what was entered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Card {
    /// Stable identifier on this run sheet: letters, digits, `-` and `_`.
    pub id: String,
    /// Identifier of the calculator. It may be one this version does not know.
    pub calculator: String,
    /// What the person calls it.
    pub title: String,
    /// What was entered, by field identifier.
    pub inputs: BTreeMap<String, Input>,
    /// Free text.
    pub note: String,
}

/// What was entered into a field.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// A number as typed.
    Typed(Typed),
    /// A chosen option's identifier, or free text.
    Text(String),
    /// The result of another card.
    Link(Address),
    /// Rows of a table.
    Rows(Vec<Row>),
    /// Measured points as pasted.
    Points(PointsText),
}

/// A number as typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Typed {
    /// The text in the value box; it may hold `±` and a unit as well.
    pub text: String,
    /// UCUM code of the unit beside the box; empty for the field's usual unit.
    pub unit: String,
    /// The text in the `±` box.
    pub plus_minus: String,
    /// What the number after `±` means.
    pub meaning: Meaning,
    /// Degrees of freedom of that uncertainty as typed; empty where it is taken as known exactly.
    pub freedom: String,
    /// Where the number comes from, in words: a certificate, or the table it was picked from.
    pub source: String,
}

/// One row of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Stable identifier within the table: letters, digits, `-` and `_`.
    pub id: String,
    /// What was entered, by column identifier.
    pub cells: BTreeMap<String, Input>,
}

/// Measured points as pasted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PointsText {
    /// Delimited text, as it was pasted or loaded.
    pub text: String,
    /// UCUM code of the first quantity's unit; empty for the one in the text, or else the usual one.
    pub x_unit: String,
    /// UCUM code of the second quantity's unit; empty for the one in the text, or else the usual one.
    pub y_unit: String,
    /// How the text is to be read, where the person said so.
    pub corrections: Corrections,
}

impl Input {
    /// A number as typed, in the field's usual unit.
    #[must_use]
    pub fn typed(text: &str) -> Self {
        Input::Typed(Typed {
            text: text.into(),
            ..Typed::default()
        })
    }
}

impl Row {
    /// A new row, filled with what its columns declare as initial.
    #[must_use]
    pub fn new(id: impl Into<String>, columns: &[&'static Field]) -> Self {
        let cells = columns
            .iter()
            .filter_map(|column| Some((column.id.to_owned(), initial(column)?)));
        Row {
            id: id.into(),
            cells: cells.collect(),
        }
    }
}

impl Card {
    /// A new card, filled with what its calculator declares as initial.
    #[must_use]
    pub fn new(calculator: &Calculator, id: impl Into<String>) -> Self {
        let inputs = calculator.inputs.iter().filter_map(|entry| {
            let input = initial(entry.field)?;
            Some((entry.field.id.to_owned(), input))
        });
        Card {
            id: id.into(),
            calculator: calculator.id.into(),
            title: calculator.title.into(),
            inputs: inputs.collect(),
            note: String::new(),
        }
    }

    /// A card filled with a worked case.
    #[must_use]
    pub fn example(calculator: &Calculator, case: &Case) -> Self {
        let mut card = Card::new(calculator, calculator.id);
        card.title = case.title.into();
        for (path, text) in case.inputs {
            card.enter(calculator, path, text);
        }
        card
    }

    /// Enters a text at `field` or `table.row.column` as a person would; what is there is replaced, new rows are
    /// added as they come. A path that the calculator does not declare is left alone.
    pub fn enter(&mut self, calculator: &Calculator, path: &str, text: &str) {
        let mut parts = path.splitn(3, '.');
        let Some(field) = parts.next().and_then(|id| calculator.input(id)) else {
            return;
        };
        match (&field.kind, parts.next(), parts.next()) {
            (FieldKind::Table { columns }, Some(row), Some(column)) => {
                let Some(column) = columns.iter().find(|c| c.id == column) else {
                    return;
                };
                let table = self
                    .inputs
                    .entry(field.id.into())
                    .or_insert(Input::Rows(Vec::new()));
                let Input::Rows(rows) = table else {
                    return;
                };
                let index = rows.iter().position(|r| r.id == row).unwrap_or_else(|| {
                    rows.push(Row::new(row, columns));
                    rows.len() - 1
                });
                rows[index]
                    .cells
                    .insert(column.id.into(), column.entered(text));
            }
            (_, None, _) => {
                self.inputs.insert(field.id.into(), field.entered(text));
            }
            _ => {}
        }
    }

    /// Its calculator, where this version knows it.
    #[must_use]
    pub fn declaration(&self) -> Option<&'static Calculator> {
        calculators::find(&self.calculator)
    }

    /// The option chosen in a choice field.
    #[must_use]
    pub fn chosen(&self, field: &Field) -> Option<&str> {
        match self.inputs.get(field.id) {
            Some(Input::Text(option)) => Some(option),
            _ => None,
        }
    }

    /// What was entered at `field` or `table.row.column`.
    #[must_use]
    pub fn at(&self, path: &str) -> Option<&Input> {
        let mut parts = path.splitn(3, '.');
        let input = self.inputs.get(parts.next()?)?;
        match (parts.next(), parts.next(), input) {
            (None, _, _) => Some(input),
            (Some(row), Some(column), Input::Rows(rows)) => {
                rows.iter().find(|r| r.id == row)?.cells.get(column)
            }
            _ => None,
        }
    }
}

/// What a new card is filled with in this field.
#[must_use]
pub fn initial(field: &Field) -> Option<Input> {
    match field.kind {
        FieldKind::Quantity { .. } | FieldKind::Count { .. } => {
            (!field.initial.is_empty()).then(|| Input::typed(field.initial))
        }
        FieldKind::Choice { .. } => Some(Input::Text(field.initial.into())),
        FieldKind::Text | FieldKind::Table { .. } | FieldKind::Curve { .. } => None,
    }
}

impl Field {
    /// A text as entered into this field.
    fn entered(&self, text: &str) -> Input {
        match self.kind {
            FieldKind::Quantity { .. } | FieldKind::Count { .. } => Input::typed(text),
            FieldKind::Choice { .. } | FieldKind::Text => Input::Text(text.into()),
            FieldKind::Table { .. } => Input::Rows(Vec::new()),
            FieldKind::Curve { .. } => Input::Points(PointsText {
                text: text.into(),
                ..PointsText::default()
            }),
        }
    }
}

impl Sheet {
    /// The position of the card with this identifier.
    #[must_use]
    pub fn position(&self, card: &str) -> Option<usize> {
        self.cards.iter().position(|c| c.id == card)
    }

    /// An identifier for a new card that no card has yet: `dilution`, `dilution-2`, …
    #[must_use]
    pub fn free_id(&self, wanted: &str) -> String {
        let numbered = (2_u32..).map(|n| format!("{wanted}-{n}"));
        core::iter::once(wanted.to_owned())
            .chain(numbered)
            .find(|id| self.position(id).is_none())
            .unwrap_or_default()
    }
}
