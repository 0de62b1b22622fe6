//! Evaluation of a run sheet: values card by card with each card's local derivatives, then, for any output, its
//! sensitivities to all leaves by one reverse sweep over the links.

use std::collections::HashMap;

use super::entry::{self, Awaited, CardEntry, Reading, Taken, check_range};
use super::order::order;
use super::{Address, Card, Sheet};
use crate::calculators::{
    Calculator, Entered, Evaluable, Field, Found, Given, Points, Scatter, Shape, Value,
};
use crate::problem::{Check, Level, Problem};
use crate::scalar::{Dual, Scalar};
use crate::uncertainty::{Budget, BudgetRow, Leaf, Origin};

/// Whether a card has results.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// Everything needed is there.
    Ready,
    /// Something is still missing; that is no error.
    Waiting(Vec<Awaited>),
    /// Something that was entered cannot be so.
    Stopped(Vec<Problem>),
}

/// One number that a card gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// Its place as `output` or `table.row.column`.
    pub path: String,
    /// Its field.
    pub field: &'static Field,
    /// The value in SI.
    pub value: f64,
}

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

/// A number on the sheet: the position of its card, and its number among what that card offers.
type Place = (usize, usize);

/// One card, evaluated.
#[derive(Clone, Debug)]
pub struct CardResult {
    /// The card's identifier.
    pub id: String,
    /// What the person calls it.
    pub title: String,
    /// Its calculator, where this version knows it.
    pub calculator: Option<&'static Calculator>,
    /// Whether it has results.
    pub state: State,
    /// How each number on it was read.
    pub readings: Vec<Reading>,
    /// The numbers it gives.
    pub outputs: Vec<Output>,
    /// The curves it draws.
    pub curves: Vec<(&'static Field, Points)>,
    /// What a careful colleague would say.
    pub checks: Vec<Check>,
    shape: Shape,
    scatter: Option<Scatter>,
    /// ∂output/∂(reading or scatter correction): one row an output.
    jacobian: Vec<Vec<f64>>,
    /// Links resolved: for each reading, the source card's position and the number of what is taken from it.
    sources: Vec<Option<Place>>,
    /// Whether any of its numbers has an uncertainty.
    uncertain: bool,
}

impl CardResult {
    /// The output at this path.
    #[must_use]
    pub fn output(&self, path: &str) -> Option<&Output> {
        self.outputs.iter().find(|output| output.path == path)
    }

    /// What other cards may take from it, in a fixed order: its outputs, then the numbers entered on it.
    fn offered(&self) -> impl Iterator<Item = (&str, &'static Field, f64)> {
        let outputs = self
            .outputs
            .iter()
            .map(|o| (o.path.as_str(), o.field, o.value));
        outputs.chain(
            self.readings
                .iter()
                .map(|r| (r.path.as_str(), r.field, r.value)),
        )
    }

    fn offered_count(&self) -> usize {
        self.outputs.len() + self.readings.len()
    }

    /// The most a check asks; none where there are no checks.
    #[must_use]
    pub fn level(&self) -> Option<Level> {
        self.checks.iter().map(|check| check.level).max()
    }

    /// The option chosen in a choice field that applies.
    #[must_use]
    pub fn chosen(&self, field: &Field) -> Option<&'static str> {
        self.shape.chosen(field)
    }

    /// Everything entered and found, by field: what the working puts into its formulas.
    #[must_use]
    pub fn number(&self, field: &str) -> Option<(&'static Field, f64)> {
        let read = self
            .readings
            .iter()
            .find(|r| r.path == field)
            .map(|r| (r.field, r.value));
        read.or_else(|| self.output(field).map(|o| (o.field, o.value)))
    }
}

/// A run sheet, evaluated.
#[derive(Clone, Debug)]
pub struct Evaluation {
    /// The cards, in the order of the page.
    pub cards: Vec<CardResult>,
    /// The numbers typed on all cards.
    pub leaves: Vec<Leaf>,
    /// Positions of the cards in the order of evaluation.
    sequence: Vec<usize>,
    /// Positions of the cards by identifier; of two cards with one identifier, the first.
    positions: HashMap<String, usize>,
}

/// Evaluates a run sheet. An unfinished or stopped card never hides the others.
#[must_use]
pub fn evaluate(sheet: &Sheet) -> Evaluation {
    let mut leaves = Vec::new();
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
        cards.push(unevaluated(card, calculator));
    }
    let mut positions = HashMap::with_capacity(sheet.cards.len());
    for (position, card) in sheet.cards.iter().enumerate() {
        positions.entry(card.id.clone()).or_insert(position);
    }
    let order = order(&sources_of(&positions, &entries));
    let mut evaluation = Evaluation {
        cards,
        leaves,
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

fn unevaluated(card: &Card, calculator: Option<&'static Calculator>) -> CardResult {
    CardResult {
        id: card.id.clone(),
        title: card.title.clone(),
        calculator,
        state: State::Waiting(Vec::new()),
        readings: Vec::new(),
        outputs: Vec::new(),
        curves: Vec::new(),
        checks: Vec::new(),
        shape: Shape::default(),
        scatter: None,
        jacobian: Vec::new(),
        sources: Vec::new(),
        uncertain: false,
    }
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
                Taken::Typed(_) => None,
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
        if card.state == State::Ready
            && let Some(calculator) = card.calculator
            && let Err(problem) = card.compute(calculator, &uncertain_slots)
        {
            card.outputs.clear();
            card.curves.clear();
            card.state = State::Stopped(vec![problem]);
        }
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
                (Taken::Typed(leaf), _) => self.leaves[*leaf].uncertainty > 0.0,
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
                Entered::Number { slot, uncertainty } if field.weighs => {
                    if let Some((card, output)) = sources[*slot] {
                        *uncertainty = self.budget_of(card, output).uncertainty;
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
        let position = *self.positions.get(card)?;
        let number = self.cards[position]
            .offered()
            .position(|(path, ..)| path == output)?;
        Some(self.budget_of(position, number))
    }

    /// One reverse sweep: ∂output/∂(every output of every card before it), then the leaves' shares.
    fn budget_of(&self, card: usize, output: usize) -> Budget {
        let mut adjoints: Vec<Vec<f64>> = vec![Vec::new(); self.cards.len()];
        let mut of_leaves = vec![0.0; self.leaves.len()];
        let mut scatter_rows = Vec::new();
        adjoints[card] = vec![0.0; self.cards[card].offered_count()];
        adjoints[card][output] = 1.0;
        for &position in self.sequence.iter().rev() {
            let adjoint = core::mem::take(&mut adjoints[position]);
            if adjoint.is_empty() {
                continue;
            }
            let current = &self.cards[position];
            let pulled = |column: usize| -> f64 {
                let rows = adjoint.iter().zip(&current.jacobian);
                rows.map(|(a, row)| a * row[column]).sum()
            };
            for (slot, reading) in current.readings.iter().enumerate() {
                // Through the card's formula, and as it stands where another card takes it from here.
                let sensitivity = pulled(slot) + adjoint[current.outputs.len() + slot];
                if sensitivity == 0.0 {
                    continue;
                }
                match (&reading.origin, current.sources[slot]) {
                    (Taken::Typed(leaf), _) => of_leaves[*leaf] += sensitivity,
                    (Taken::Linked(_), Some((source, number))) => {
                        if adjoints[source].is_empty() {
                            adjoints[source] = vec![0.0; self.cards[source].offered_count()];
                        }
                        adjoints[source][number] += sensitivity;
                    }
                    (Taken::Linked(_), None) => {}
                }
            }
            if let Some(scatter) = &current.scatter {
                let first = current.readings.len();
                let slopes: Vec<f64> = (0..scatter.covariance.len())
                    .map(|k| pulled(first + k))
                    .collect();
                scatter_rows.push(scatter_row(position, scatter, &slopes));
            }
        }
        let leaf_row = |(number, sensitivity): (usize, f64)| {
            let leaf = &self.leaves[number];
            (leaf.uncertainty > 0.0 && sensitivity != 0.0).then(|| BudgetRow {
                origin: Origin::Leaf(number),
                sensitivity: Some(sensitivity),
                uncertainty: Some(leaf.uncertainty),
                contribution: (sensitivity * leaf.uncertainty).abs(),
                share: 0.0,
                degrees_of_freedom: leaf.degrees_of_freedom,
            })
        };
        let mut rows: Vec<_> = of_leaves
            .into_iter()
            .enumerate()
            .filter_map(leaf_row)
            .collect();
        rows.extend(scatter_rows);
        Budget::combine(rows)
    }

    /// Runs the whole sheet again from other numbers for its leaves and scatter corrections: with dual numbers it
    /// gives derivatives through the whole sheet, with draws a Monte Carlo trial. The result holds, for each card,
    /// the numbers of its outputs and then those entered on it; cards that are not ready have no outputs.
    ///
    /// # Errors
    /// The [`Problem`] of the first card that cannot be computed from these numbers.
    pub fn replay<S: Evaluable>(
        &self,
        leaves: &[S],
        scatter: &dyn Fn(usize, usize) -> S,
    ) -> Result<Vec<Vec<S>>, Problem> {
        let mut offered: Vec<Vec<S>> = vec![Vec::new(); self.cards.len()];
        for &position in &self.sequence {
            let card = &self.cards[position];
            let number = |(reading, source): (&Reading, &Option<Place>)| {
                match (&reading.origin, source) {
                    (Taken::Typed(leaf), _) => leaves.get(*leaf).copied(),
                    (Taken::Linked(_), Some((card, number))) => {
                        offered[*card].get(*number).copied()
                    }
                    (Taken::Linked(_), None) => None,
                }
                .unwrap_or(S::constant(f64::NAN))
            };
            let numbers: Vec<S> = card
                .readings
                .iter()
                .zip(&card.sources)
                .map(number)
                .collect();
            if let (State::Ready, Some(calculator)) = (&card.state, card.calculator) {
                let corrections = card.scatter.as_ref().map_or(0, |s| s.covariance.len());
                let corrections: Vec<S> = (0..corrections).map(|k| scatter(position, k)).collect();
                let given = Given::new(&card.shape, &numbers, &corrections);
                let found = calculator.run(&given)?;
                found.collect_numbers(&mut offered[position]);
            }
            offered[position].extend(numbers);
        }
        Ok(offered)
    }
}

fn scatter_row(position: usize, scatter: &Scatter, slopes: &[f64]) -> BudgetRow {
    let variance: f64 = scatter
        .covariance
        .iter()
        .zip(slopes)
        .flat_map(|(row, a)| row.iter().zip(slopes).map(move |(c, b)| a * c * b))
        .sum();
    BudgetRow {
        origin: Origin::Scatter(position),
        sensitivity: None,
        uncertainty: None,
        contribution: variance.max(0.0).sqrt(),
        share: 0.0,
        degrees_of_freedom: scatter.degrees_of_freedom,
    }
}

impl CardResult {
    /// The name of its scatter row in budgets.
    #[must_use]
    pub fn scatter_title(&self) -> Option<&'static str> {
        self.scatter.as_ref().map(|scatter| scatter.title)
    }

    /// Values over `f64`, then one run over dual numbers for each uncertain slot and scatter correction.
    fn compute(
        &mut self,
        calculator: &'static Calculator,
        uncertain_slots: &[usize],
    ) -> Result<(), Problem> {
        let plain: Vec<f64> = self.readings.iter().map(|reading| reading.value).collect();
        let given = Given::new(&self.shape, &plain, &[]);
        let found = calculator.run(&given)?;
        let scatter = (calculator.formula.scatter)(&given)?;
        let checks = (calculator.formula.checks)(&given, &found);

        let mut outputs = Vec::new();
        let mut curves = Vec::new();
        list(&found, &mut outputs, &mut curves);
        if let Some(output) = outputs.iter().find(|output| !output.value.is_finite()) {
            return Err(Problem::in_path(
                "",
                "not_finite",
                format!(
                    "{} has no finite value with these inputs.",
                    output.field.title
                ),
                "Look for a zero, or a very large or small number, among the inputs.",
            ));
        }

        let corrections = scatter.as_ref().map_or(0, |s| s.covariance.len());
        let columns = plain.len() + corrections;
        let mut jacobian = vec![vec![0.0; columns]; outputs.len()];
        let mut duals: Vec<Dual> = plain.iter().map(|value| Dual::constant(*value)).collect();
        let mut deltas = vec![Dual::constant(0.0); corrections];
        let mut numbers = Vec::with_capacity(outputs.len());
        let seeds = uncertain_slots.iter().copied().chain(plain.len()..columns);
        for column in seeds {
            let seeded = match column.checked_sub(plain.len()) {
                None => &mut duals[column],
                Some(correction) => &mut deltas[correction],
            };
            let unseeded = core::mem::replace(seeded, Dual::seed(seeded.value));
            let given = Given::new(&self.shape, &duals, &deltas);
            numbers.clear();
            calculator.run(&given)?.collect_numbers(&mut numbers);
            for (row, number) in jacobian.iter_mut().zip(&numbers) {
                row[column] = number.slope;
            }
            match column.checked_sub(plain.len()) {
                None => duals[column] = unseeded,
                Some(correction) => deltas[correction] = unseeded,
            }
        }

        self.uncertain |= scatter.is_some();
        self.outputs = outputs;
        self.curves = curves;
        self.checks = checks;
        self.scatter = scatter;
        self.jacobian = jacobian;
        Ok(())
    }
}

/// Lists what was found: numbers in the order of [`Found::collect_numbers`], and curves.
fn list(found: &Found<f64>, outputs: &mut Vec<Output>, curves: &mut Vec<(&'static Field, Points)>) {
    for (field, value) in found.iter() {
        match value {
            Value::Number(number) => outputs.push(Output {
                path: field.id.into(),
                field,
                value: *number,
            }),
            Value::Rows(rows) => {
                for row in rows {
                    outputs.extend(row.cells.iter().map(|(column, number)| Output {
                        path: format!("{}.{}.{}", field.id, row.id, column.id),
                        field: column,
                        value: *number,
                    }));
                }
            }
            Value::Curve(points) => curves.push((field, points.clone())),
        }
    }
}
