//! Evaluation of a run sheet: entries read, links resolved, cards computed in order.

use std::collections::HashMap;

use super::card_result::{CardResult, Place, State};
use super::entry::{self, Awaited, CardEntry, Reading, Taken, check_range};
use super::leaves::Leaves;
use super::order::order;
use super::{Address, Card, Sheet};
use crate::calculators::{Calculator, Entered, Field, Given, Known, Shape};
use crate::problem::{Check, Problem};
use crate::uncertainty::{Budget, Estimate, Leaf};

/// A number that a field may take from another card.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// What a link to it is called.
    pub address: Address,
    /// The other card's title.
    pub card_title: String,
    /// The field that holds the number there.
    pub field: &'static Field,
    /// The number in SI.
    pub value: f64,
}

/// A run sheet, evaluated.
#[derive(Clone, Debug)]
pub struct Evaluation {
    /// The cards, in the order of the page.
    pub cards: Vec<CardResult>,
    /// The numbers typed on all cards.
    pub leaves: Vec<Leaf>,
    /// Positions of the cards in the order of evaluation.
    pub(super) sequence: Vec<usize>,
    /// Positions of the cards by identifier; of two cards with one identifier, the first.
    positions: HashMap<String, usize>,
}

/// Evaluates a run sheet. An unfinished or stopped card never hides the others.
#[must_use]
pub fn evaluate(sheet: &Sheet) -> Evaluation {
    let mut leaves = Leaves::default();
    let mut entries: Vec<CardEntry> = Vec::with_capacity(sheet.cards.len());
    let mut cards: Vec<CardResult> = Vec::with_capacity(sheet.cards.len());
    for (position, card) in sheet.cards.iter().enumerate() {
        let calculator = card.declaration();
        entries.push(match calculator {
            Some(calculator) => entry::read(card, position, calculator, &mut leaves),
            None => CardEntry {
                problems: vec![unknown_calculator(card)],
                ..CardEntry::default()
            },
        });
        cards.push(CardResult::unevaluated(card, calculator));
    }
    let mut positions = HashMap::with_capacity(sheet.cards.len());
    for (position, card) in sheet.cards.iter().enumerate() {
        positions.entry(card.id.clone()).or_insert(position);
    }
    let order = order(&sources_of(&positions, &entries));
    let mut evaluation = Evaluation {
        cards,
        leaves: leaves.all,
        sequence: order.sequence.clone(),
        positions,
    };
    for ring in &order.rings {
        for position in ring {
            let problem = ring_problem(sheet, ring);
            evaluation.cards[*position].state = State::Stopped(vec![problem]);
        }
    }
    for position in order.sequence {
        let entry = core::mem::take(&mut entries[position]);
        evaluation.card(position, entry);
    }
    // Cards in a ring keep what was typed on them.
    for ring in order.rings {
        for position in ring {
            let entry = core::mem::take(&mut entries[position]);
            evaluation.cards[position].readings.extend(entry.readings);
        }
    }
    evaluation
}

fn unknown_calculator(card: &Card) -> Problem {
    Problem::in_path(
        "",
        "unknown_calculator",
        format!(
            "This version does not know the calculator “{}”.",
            card.calculator
        ),
        "Open the run sheet with a newer version; the card is kept as it is.",
    )
}

/// The positions that each card takes from.
fn sources_of(positions: &HashMap<String, usize>, entries: &[CardEntry]) -> Vec<Vec<usize>> {
    let of = |entry: &CardEntry| {
        let linked = entry
            .readings
            .iter()
            .filter_map(|reading| match &reading.origin {
                Taken::Linked(address) => positions.get(&address.card).copied(),
                Taken::Typed { .. } => None,
            });
        linked.collect()
    };
    entries.iter().map(of).collect()
}

/// More cards than this are counted instead of named.
const NAMED_IN_RING: usize = 6;

fn ring_problem(sheet: &Sheet, ring: &[usize]) -> Problem {
    let title = |position: &usize| format!("“{}”", sheet.cards[*position].title);
    let mut names: Vec<_> = ring.iter().take(NAMED_IN_RING).map(title).collect();
    if let Some(more) = ring.len().checked_sub(NAMED_IN_RING + 1) {
        names.push(format!("{} more", more + 1));
    }
    names.extend(ring.first().map(title));
    Problem::in_path(
        "",
        "ring",
        format!(
            "These cards take from each other in a ring: {}.",
            names.join(" ← ")
        ),
        "Unlink one of them and type its value.",
    )
}

impl Evaluation {
    /// The card with this identifier.
    #[must_use]
    pub fn find(&self, card: &str) -> Option<&CardResult> {
        self.positions
            .get(card)
            .map(|position| &self.cards[*position])
    }

    /// The standard uncertainty of a typed number, in SI: of the number itself and of what else acts on it. Zero for a
    /// linked one.
    #[must_use]
    pub fn typed_uncertainty(&self, reading: &Reading) -> f64 {
        let Taken::Typed { leaf, effects } = &reading.origin else {
            return 0.0;
        };
        let own = self.leaves[*leaf].uncertainty;
        let of_effects = effects
            .iter()
            .map(|effect| effect.sensitivity * self.leaves[effect.leaf].uncertainty);
        if effects.is_empty() {
            own
        } else {
            of_effects
                .map(|u| u * u)
                .fold(own * own, |a, b| a + b)
                .sqrt()
        }
    }

    fn card(&mut self, position: usize, mut entry: CardEntry) {
        let sources = self.resolve(&mut entry);
        let state = if !entry.problems.is_empty() {
            State::Stopped(entry.problems)
        } else if !entry.awaited.is_empty() {
            State::Waiting(entry.awaited)
        } else {
            State::Ready
        };
        let uncertain_slots = self.uncertain_slots(&entry.readings, &sources);
        self.weigh(&mut entry.shape, &sources);
        let card = &mut self.cards[position];
        card.readings = entry.readings;
        card.shape = entry.shape;
        card.sources = sources;
        card.state = state;
        card.uncertain = !uncertain_slots.is_empty();
        let calculator = card.calculator.filter(|_| card.state == State::Ready);
        let of_entries = entry.checks;
        let Some(calculator) = calculator else {
            return;
        };
        match card.compute(calculator, &uncertain_slots) {
            Ok(()) => {
                let judged = self.judged(position, calculator);
                self.cards[position].checks.extend(judged);
                self.cards[position].checks.extend(of_entries);
            }
            Err(problem) => {
                card.outputs.clear();
                card.curves.clear();
                card.state = State::Stopped(vec![problem]);
            }
        }
    }

    /// What a computed card says about its results and their uncertainties.
    fn judged(&self, position: usize, calculator: &Calculator) -> Vec<Check> {
        let card = &self.cards[position];
        let plain: Vec<f64> = card.readings.iter().map(|reading| reading.value).collect();
        let estimate = |field: &Field| {
            let mut outputs = card.outputs.iter().enumerate();
            let (number, output) = outputs.find(|(_, output)| output.path == field.id)?;
            Some(self.budget_of(position, number).estimate(output.value))
        };
        (calculator.formula.judge)(&Given::new(&card.shape, &plain, &[]), &estimate)
    }

    /// Puts the values of linked outputs into their slots.
    fn resolve(&self, entry: &mut CardEntry) -> Vec<Option<Place>> {
        let mut sources = vec![None; entry.readings.len()];
        for (reading, source) in entry.readings.iter_mut().zip(&mut sources) {
            let Taken::Linked(address) = &reading.origin else {
                continue;
            };
            match self.linked(address, reading) {
                Ok(Some((card, output, value))) => {
                    reading.value = value;
                    *source = Some((card, output));
                }
                _ if reading.spared => {}
                Ok(None) => entry.awaited.push(Awaited {
                    path: reading.path.clone(),
                    what: self.awaited_words(address, reading.field),
                }),
                Err(problem) => entry.problems.push(problem),
            }
        }
        sources
    }

    fn awaited_words(&self, address: &Address, field: &Field) -> String {
        let title = self
            .find(&address.card)
            .map_or(address.card.as_str(), |c| c.title.as_str());
        format!("{} from “{title}”, which is not ready", field.title)
    }

    /// What a link takes; nothing while its card waits or is stopped.
    fn linked(
        &self,
        address: &Address,
        reading: &Reading,
    ) -> Result<Option<(usize, usize, f64)>, Problem> {
        let broken = |sentence: String| {
            let hint = "Choose another link, or type the value.";
            Problem::in_path(&reading.path, "broken_link", sentence, hint)
        };
        let field = reading.field;
        let position = self.positions.get(&address.card).copied().ok_or_else(|| {
            broken(format!(
                "{} takes from “{}”, which is not here.",
                field.title, address.card
            ))
        })?;
        let source = &self.cards[position];
        let found = source
            .offered()
            .enumerate()
            .find(|(_, (path, ..))| *path == address.output);
        let Some((number, (_, found, value))) = found else {
            if source.state != State::Ready {
                return Ok(None);
            }
            let declared = source.calculator.and_then(|c| c.output(&address.output));
            let what = declared.map_or(address.output.as_str(), |f| f.title);
            return Err(broken(format!(
                "“{}” gives no “{what}” with what is entered there.",
                source.title
            )));
        };
        if found.number_kind() != field.number_kind() {
            return Err(broken(format!(
                "“{}” of “{}” cannot stand for {}: it is another kind of quantity.",
                found.title, source.title, field.title
            )));
        }
        if !value.is_finite() {
            return Ok(None);
        }
        check_range(field, value, &reading.path)?;
        Ok(Some((position, number, value)))
    }

    /// The slots whose uncertainty is not zero: only these need a derivative.
    fn uncertain_slots(&self, readings: &[Reading], sources: &[Option<Place>]) -> Vec<usize> {
        let uncertain = |(slot, (reading, source)): (usize, (&Reading, &Option<Place>))| {
            let has = match (&reading.origin, source) {
                (Taken::Typed { .. }, _) => self.typed_uncertainty(reading) > 0.0,
                (Taken::Linked(_), Some((card, _))) => self.cards[*card].uncertain,
                (Taken::Linked(_), None) => false,
            };
            has.then_some(slot)
        };
        readings
            .iter()
            .zip(sources)
            .enumerate()
            .filter_map(uncertain)
            .collect()
    }

    /// Fills in the standard uncertainties of linked numbers that a formula uses as weights.
    fn weigh(&self, shape: &mut Shape, sources: &[Option<Place>]) {
        for (field, entered) in &mut shape.fields {
            match entered {
                Entered::Number { slot, known } if field.weighs => {
                    if let Some((card, output)) = sources[*slot] {
                        let budget = self.budget_of(card, output);
                        *known = Known {
                            uncertainty: budget.uncertainty,
                            degrees_of_freedom: budget.degrees_of_freedom,
                            ..Known::EXACTLY
                        };
                    }
                }
                Entered::Rows(rows) => rows
                    .iter_mut()
                    .for_each(|(_, row)| self.weigh(row, sources)),
                _ => {}
            }
        }
    }

    /// The numbers that a field of a card may take from other cards: equal in kind, from cards that do not
    /// themselves take from this one.
    #[must_use]
    pub fn offers(&self, card: &str, field: &Field) -> Vec<Offer> {
        let Some(&taker) = self.positions.get(card) else {
            return Vec::new();
        };
        let dependent = self.dependents(taker);
        let from = |(position, source): (usize, &CardResult)| {
            let fitting = source
                .offered()
                .filter(|(_, offered, value)| {
                    offered.number_kind() == field.number_kind() && value.is_finite()
                })
                .map(|(path, offered, value)| Offer {
                    address: Address {
                        card: source.id.clone(),
                        output: path.into(),
                    },
                    card_title: source.title.clone(),
                    field: offered,
                    value,
                });
            if dependent[position] {
                Vec::new()
            } else {
                fitting.collect()
            }
        };
        self.cards.iter().enumerate().flat_map(from).collect()
    }

    /// Which cards take from this one, directly or through others, itself included.
    fn dependents(&self, of: usize) -> Vec<bool> {
        let mut dependent = vec![false; self.cards.len()];
        let mut open = vec![of];
        while let Some(position) = open.pop() {
            if core::mem::replace(&mut dependent[position], true) {
                continue;
            }
            let id = &self.cards[position].id;
            let takes = |card: &CardResult| {
                card.readings
                    .iter()
                    .any(|r| matches!(&r.origin, Taken::Linked(address) if address.card == *id))
            };
            open.extend((0..self.cards.len()).filter(|other| takes(&self.cards[*other])));
        }
        dependent
    }

    /// Where the uncertainty of a number comes from, found or entered. None where the card holds no such number.
    #[must_use]
    pub fn budget(&self, card: &str, output: &str) -> Option<Budget> {
        let (position, number) = self.place(card, output)?;
        Some(self.budget_of(position, number))
    }

    /// Covariance of two results of a card, in SI, by everything that they share. None where the card holds no such
    /// numbers.
    #[must_use]
    pub fn covariance(&self, card: &str, one: &str, other: &str) -> Option<f64> {
        Some(self.covariance_of(self.place(card, one)?, self.place(card, other)?))
    }

    /// Where a number stands.
    pub(super) fn place(&self, card: &str, output: &str) -> Option<Place> {
        let position = *self.positions.get(card)?;
        let number = self.cards[position]
            .offered()
            .position(|(path, ..)| path == output)?;
        Some((position, number))
    }

    /// A number, found or entered, with its uncertainty. None where the card holds no such number.
    #[must_use]
    pub fn estimate(&self, card: &str, output: &str) -> Option<Estimate> {
        let position = *self.positions.get(card)?;
        let (number, (_, _, value)) = self.cards[position]
            .offered()
            .enumerate()
            .find(|(_, (path, ..))| *path == output)?;
        let budget = self.budget_of(position, number);
        Some(budget.estimate(value))
    }
}
