//! Reading what was entered on a card: texts to numbers, links to addresses, and what is still missing.

use std::collections::BTreeMap;

use super::leaves::Leaves;
use super::points;
use super::stated::{self, Stated};
use super::{Address, Card, Input, Row, Typed};
use crate::calculators::{Calculator, Entered, Field, FieldKind, Known, Shape};
use crate::problem::{Check, Problem};
use crate::quantity::{Kind, Unit};
use crate::uncertainty::effective_degrees_of_freedom;

/// How one number on a card was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Its place as `field` or `table.row.column`.
    pub path: String,
    /// Its field.
    pub field: &'static Field,
    /// The unit it was typed in; for a link, the field's usual one.
    pub unit: &'static Unit,
    /// Where the number comes from.
    pub origin: Taken,
    /// The number in SI; not a number while its link waits.
    pub value: f64,
    /// Its row does not count, so that nothing waits for it.
    pub spared: bool,
}

/// Where a number on a card comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Taken {
    /// Typed.
    Typed {
        /// The leaf that is the number itself.
        leaf: usize,
        /// What else acts on it.
        effects: Vec<Effect>,
    },
    /// Taken from another card.
    Linked(Address),
}

/// A leaf that acts on a typed number besides the number itself, such as the limit of a flask.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// The leaf.
    pub leaf: usize,
    /// ∂number/∂leaf.
    pub sensitivity: f64,
}

/// Something a card still waits for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Awaited {
    /// Its place as `field` or `table.row.column`.
    pub path: String,
    /// What it is, in words.
    pub what: String,
}

/// A card as read: numbers in slots, and what stands in the way.
#[derive(Debug, Default)]
pub(super) struct CardEntry {
    pub(super) readings: Vec<Reading>,
    pub(super) shape: Shape,
    pub(super) problems: Vec<Problem>,
    pub(super) awaited: Vec<Awaited>,
    /// What is said about how entries were read.
    pub(super) checks: Vec<Check>,
}

/// Reads a card; typed numbers are appended to `leaves`.
pub(super) fn read(
    card: &Card,
    position: usize,
    calculator: &Calculator,
    leaves: &mut Leaves,
) -> CardEntry {
    let mut reader = Reader {
        position,
        calculator,
        leaves,
        entry: CardEntry::default(),
    };
    let applying = calculator
        .inputs
        .iter()
        .filter(|entry| entry.applies(|choice| card.chosen(choice)))
        .map(|entry| entry.field);
    let shape = reader.fields(applying, &card.inputs, &Place::Card);
    let mut entry = reader.entry;
    entry.shape = shape;
    entry
}

/// Where on the card the reader stands.
enum Place<'a> {
    Card,
    Row {
        table: &'static Field,
        id: &'a str,
        number: usize,
    },
}

impl Place<'_> {
    fn path(&self, field: &Field) -> String {
        match self {
            Place::Card => field.id.into(),
            Place::Row { table, id, .. } => format!("{}.{id}.{}", table.id, field.id),
        }
    }
    fn words(&self, field: &Field) -> String {
        match self {
            Place::Card => field.title.into(),
            Place::Row { table, number, .. } => {
                format!("{}, row {number}: {}", table.title, field.title)
            }
        }
    }
}

struct Reader<'a> {
    position: usize,
    calculator: &'a Calculator,
    leaves: &'a mut Leaves,
    entry: CardEntry,
}

impl Reader<'_> {
    fn fields(
        &mut self,
        fields: impl Iterator<Item = &'static Field>,
        inputs: &BTreeMap<String, Input>,
        place: &Place<'_>,
    ) -> Shape {
        let mut shape = Shape::default();
        for field in fields {
            if let Some(entered) = self.field(field, inputs.get(field.id), place) {
                shape.fields.push((field, entered));
            }
        }
        shape
    }

    /// What was entered into a field; nothing where it is empty or cannot be read, which is noted.
    fn field(
        &mut self,
        field: &'static Field,
        input: Option<&Input>,
        place: &Place<'_>,
    ) -> Option<Entered> {
        let input = input.filter(|input| !is_empty(input));
        let Some(input) = input else {
            if !field.optional {
                self.entry.awaited.push(Awaited {
                    path: place.path(field),
                    what: place.words(field),
                });
            }
            return None;
        };
        match self.entered(field, input, place) {
            Ok(entered) => entered,
            Err(problem) => {
                self.entry.problems.push(problem);
                None
            }
        }
    }

    fn entered(
        &mut self,
        field: &'static Field,
        input: &Input,
        place: &Place<'_>,
    ) -> Result<Option<Entered>, Problem> {
        let mismatch = || {
            Problem::in_path(
                place.path(field),
                "wrong_entry",
                format!("“{}” holds an entry of another sort.", place.words(field)),
                "Clear it and enter it again.",
            )
        };
        match (&field.kind, input) {
            (FieldKind::Quantity { .. } | FieldKind::Count { .. }, Input::Typed(typed)) => {
                self.typed(field, typed, place).map(Some)
            }
            (FieldKind::Quantity { .. } | FieldKind::Count { .. }, Input::Link(address)) => {
                let unit = field.usual_unit().ok_or_else(mismatch)?;
                let origin = Taken::Linked(address.clone());
                Ok(Some(self.slot(
                    field,
                    place,
                    unit,
                    origin,
                    f64::NAN,
                    Known::EXACTLY,
                )))
            }
            (FieldKind::Choice { options }, Input::Text(chosen)) => options
                .iter()
                .find(|option| option.id == chosen)
                .map(|option| Some(Entered::Choice(option.id)))
                .ok_or_else(|| {
                    let known: Vec<_> = options.iter().map(|o| o.title).collect();
                    Problem::in_path(
                        place.path(field),
                        "unknown_choice",
                        format!("“{chosen}” is not an option of “{}”.", field.title),
                        format!("Choose one of: {}.", known.join(", ")),
                    )
                }),
            (FieldKind::Text, Input::Text(text)) => Ok(Some(Entered::Text(text.clone()))),
            (FieldKind::Table { columns }, Input::Rows(rows)) => {
                Ok(Some(self.rows(field, columns, rows)))
            }
            (FieldKind::Curve { .. }, Input::Points(entry)) => {
                let path = place.path(field);
                let (points, checks) = points::entered(field, entry, &path, self.calculator)?;
                // Every code once on a card, also where two curves give reason to say it.
                for check in checks {
                    let mut said = self.entry.checks.iter_mut();
                    match said.find(|said| said.code == check.code) {
                        Some(said) if said.sentence.contains(&check.sentence) => {}
                        Some(said) => {
                            said.sentence.push(' ');
                            said.sentence.push_str(&check.sentence);
                        }
                        None => self.entry.checks.push(check),
                    }
                }
                Ok(Some(Entered::Curve(points)))
            }
            _ => Err(mismatch()),
        }
    }

    fn rows(
        &mut self,
        table: &'static Field,
        columns: &'static [&'static Field],
        rows: &[Row],
    ) -> Entered {
        let filled = rows
            .iter()
            .enumerate()
            .filter(|(_, row)| !row.cells.values().all(is_empty));
        let shapes = filled.map(|(index, row)| {
            let place = Place::Row {
                table,
                id: &row.id,
                number: index + 1,
            };
            let first = self.entry.readings.len();
            let shape = self.fields(columns.iter().copied(), &row.cells, &place);
            if shape.is_left_out_of(table) {
                let readings = self.entry.readings.iter_mut().skip(first);
                readings.for_each(|reading| reading.spared = reading.field.optional);
            }
            (row.id.clone(), shape)
        });
        Entered::Rows(shapes.collect())
    }

    fn typed(
        &mut self,
        field: &'static Field,
        typed: &Typed,
        place: &Place<'_>,
    ) -> Result<Entered, Problem> {
        let path = place.path(field);
        let at_path = |problem: Problem| Problem {
            path: path.clone(),
            ..problem
        };
        let stated = stated::read(field, typed).map_err(at_path)?;
        check_range(field, stated.number.value, &path)?;
        let Stated {
            unit,
            number,
            effects,
            last_digit,
        } = stated;
        let value = number.value;
        let mut contributions = vec![(number.uncertainty, number.degrees_of_freedom)];
        let leaf = self.leaves.add(self.position, &path, number);
        let effects = effects.into_iter().map(|(sensitivity, part)| {
            contributions.push((sensitivity * part.uncertainty, part.degrees_of_freedom));
            let leaf = self.leaves.add(self.position, &path, part);
            Effect { leaf, sensitivity }
        });
        let effects = effects.collect();
        let origin = Taken::Typed { leaf, effects };
        let variance: f64 = contributions.iter().map(|(u, _)| u * u).sum();
        let known = Known {
            uncertainty: variance.sqrt(),
            degrees_of_freedom: effective_degrees_of_freedom(
                variance.sqrt(),
                contributions.into_iter(),
            ),
            last_digit,
        };
        Ok(self.slot(field, place, unit, origin, value, known))
    }

    fn slot(
        &mut self,
        field: &'static Field,
        place: &Place<'_>,
        unit: &'static Unit,
        origin: Taken,
        value: f64,
        known: Known,
    ) -> Entered {
        let slot = self.entry.readings.len();
        self.entry.readings.push(Reading {
            path: place.path(field),
            field,
            unit,
            origin,
            value,
            spared: false,
        });
        Entered::Number { slot, known }
    }
}

fn is_empty(input: &Input) -> bool {
    let blank = |text: &str| text.trim().is_empty();
    match input {
        Input::Typed(typed) => blank(&typed.text) && blank(&typed.plus_minus),
        Input::Text(text) => blank(text),
        Input::Link(_) => false,
        Input::Rows(rows) => rows.iter().all(|row| row.cells.values().all(is_empty)),
        Input::Points(points) => blank(&points.text),
    }
}

/// Whether a number may stand in a field.
pub(super) fn check_range(field: &Field, value: f64, path: &str) -> Result<(), Problem> {
    let range = field.number_range();
    if range.contains(value) {
        Ok(())
    } else {
        Err(out_of_range(field, value, path))
    }
}

/// Says what may stand in a field instead of this.
pub(super) fn out_of_range(field: &Field, value: f64, path: &str) -> Problem {
    let range = field.number_range();
    // The zero of a temperature depends on its unit.
    let bound = |si| match field.number_kind().zip(field.unit_for(value)) {
        Some((Kind::Temperature, unit)) => unit.say(si, 5),
        _ => field.say_bound(si),
    };
    let low = match (range.from.is_finite(), range.above) {
        (false, _) => None,
        (true, true) => Some(format!("above {}", bound(range.from))),
        (true, false) => Some(format!("{} or more", bound(range.from))),
    };
    let high = match (range.to.is_finite(), range.below) {
        (false, _) => None,
        (true, true) => Some(format!("below {}", bound(range.to))),
        (true, false) => Some(format!("{} or less", bound(range.to))),
    };
    let bounds: Vec<_> = [low, high].into_iter().flatten().collect();
    Problem::in_path(
        path,
        "out_of_range",
        format!("{} cannot be {}.", field.title, field.say(value)),
        format!("Enter a value that is {}.", bounds.join(" and ")),
    )
}
