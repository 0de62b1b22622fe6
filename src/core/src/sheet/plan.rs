//! The part of a run sheet that a number depends on, laid out flat so that it can be computed again and again from other
//! numbers for its leaves: with dual numbers it gives derivatives through the whole sheet, with draws a Monte Carlo trial.

use core::ops;

use super::card_result::{Place, State};
use super::entry::{Effect, Taken, out_of_range};
use super::evaluate::Evaluation;
use crate::calculators::{Calculator, Evaluable, Field, Given, Layout, Range, Scatter, Shape};
use crate::problem::Problem;

/// What to compute, in an order in which each number comes after those it is made of.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) steps: Vec<Step>,
    /// How many numbers there are on the cards it touches.
    pub(super) size: usize,
    /// The leaves it uses, each once: what is drawn first for a trial.
    pub(super) leaves: Vec<usize>,
    /// The scatter of the formulas it runs, by card: what is drawn after the leaves.
    pub(super) scatters: Vec<(usize, Vec<Scatter>)>,
    /// Where the numbers of each card begin: its outputs, then those entered on it. None for cards it does not touch.
    firsts: Vec<Option<usize>>,
}

/// A part of a plan.
#[derive(Clone, Debug)]
pub(super) enum Step {
    /// A number entered on a card.
    Entered(Slot),
    /// The formula of a card that has results.
    Formula(Box<Formula>),
}

/// A number entered on a card.
#[derive(Clone, Debug)]
pub(super) struct Slot {
    /// Its card.
    card: usize,
    field: &'static Field,
    /// What it may be; none where it may be anything.
    range: Option<Range>,
    /// Where it comes from.
    pub(super) from: From,
    /// Where it goes.
    into: usize,
}

/// Where a number comes from.
#[derive(Clone, Debug)]
pub(super) enum From {
    /// One number among those drawn, and what acts on it besides.
    Drawn(usize, Vec<Shift>),
    /// Another number of the plan.
    Linked(usize),
    /// Nothing yet.
    Nowhere,
}

/// What acts on a typed number besides its own leaf.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shift {
    /// The number among those drawn.
    pub(super) drawn: usize,
    pub(super) sensitivity: f64,
    pub(super) estimate: f64,
}

/// The formula of a card that has results.
#[derive(Clone, Debug)]
pub(super) struct Formula {
    card: usize,
    pub(super) calculator: &'static Calculator,
    pub(super) shape: Shape,
    layout: Layout,
    /// Where its outputs go.
    outputs: usize,
    /// Where the numbers entered on the card are.
    entered: ops::Range<usize>,
    /// Which scatter corrections are its own.
    corrections: ops::Range<usize>,
}

/// Why a plan gives nothing with these numbers. It becomes a sentence only when it is asked for.
#[derive(Clone, Debug)]
pub(super) struct Failure {
    pub(super) card: usize,
    reason: Reason,
}

#[derive(Clone, Debug)]
enum Reason {
    OutOfRange(&'static Field, f64),
    Refused(Problem),
}

impl Failure {
    /// What stands in the way.
    pub(super) fn into_problem(self) -> Problem {
        match self.reason {
            Reason::OutOfRange(field, value) => out_of_range(field, value, field.id),
            Reason::Refused(problem) => problem,
        }
    }
}

/// What a plan can be asked for.
#[derive(Clone, Copy)]
enum Wanted {
    /// All outputs of a card.
    Outputs(usize),
    /// A number entered on a card.
    Entered(Place),
}

impl Plan {
    /// What this number depends on, in an order in which other cards have no part. A number outside the range of its
    /// field is then a failure, as it is when a person enters it.
    pub(super) fn of_number(evaluation: &Evaluation, (card, number): Place) -> Plan {
        let mut planner = Planner::new(evaluation, true);
        planner.add(evaluation.wanted((card, number)));
        planner.plan
    }

    /// The whole sheet, whatever the numbers.
    fn of_sheet(evaluation: &Evaluation) -> Plan {
        let mut planner = Planner::new(evaluation, false);
        for &card in &evaluation.sequence {
            planner.add(Wanted::Outputs(card));
        }
        planner.plan
    }

    /// Where a number of a card is.
    pub(super) fn place(&self, (card, number): Place) -> Option<usize> {
        let first = self.firsts.get(card).copied().flatten()?;
        Some(first + number)
    }

    /// Computes all numbers of the plan from those drawn: leaves, then scatter corrections.
    ///
    /// # Errors
    /// The first card that cannot be computed.
    pub(super) fn run<S: Evaluable>(&self, drawn: &[S], numbers: &mut [S]) -> Result<(), Failure> {
        let (leaves, corrections) = drawn.split_at(self.leaves.len());
        for step in &self.steps {
            match step {
                Step::Entered(slot) => slot.run(leaves, numbers)?,
                Step::Formula(formula) => formula.run(corrections, numbers)?,
            }
        }
        Ok(())
    }
}

impl Slot {
    fn run<S: Evaluable>(&self, leaves: &[S], numbers: &mut [S]) -> Result<(), Failure> {
        let number = match &self.from {
            From::Drawn(leaf, shifts) => {
                let mut number = leaves[*leaf];
                for shift in shifts {
                    number += (leaves[shift.drawn] - shift.estimate) * shift.sensitivity;
                }
                number
            }
            From::Linked(place) => numbers[*place],
            From::Nowhere => S::constant(f64::NAN),
        };
        if self
            .range
            .is_some_and(|range| !range.contains(number.value()))
        {
            return Err(Failure {
                card: self.card,
                reason: Reason::OutOfRange(self.field, number.value()),
            });
        }
        numbers[self.into] = number;
        Ok(())
    }
}

impl Formula {
    fn run<S: Evaluable>(&self, corrections: &[S], numbers: &mut [S]) -> Result<(), Failure> {
        let entered = &numbers[self.entered.clone()];
        let corrections = &corrections[self.corrections.clone()];
        let given = Given::new(&self.shape, entered, corrections);
        let refused = |problem| Failure {
            card: self.card,
            reason: Reason::Refused(problem),
        };
        let found = self.calculator.run(&given).map_err(refused)?;
        let outputs = self.outputs..self.outputs + self.layout.size();
        self.layout.place(&found, &mut numbers[outputs]);
        Ok(())
    }
}

/// A plan that is being made.
struct Planner<'a> {
    evaluation: &'a Evaluation,
    checked: bool,
    plan: Plan,
    /// Where each leaf is among those drawn.
    drawn: Vec<Option<usize>>,
    /// What is in the plan already: for each card, its outputs and then its slots.
    seen: Vec<Vec<bool>>,
    corrections: usize,
}

impl Planner<'_> {
    fn new(evaluation: &Evaluation, checked: bool) -> Planner<'_> {
        Planner {
            evaluation,
            checked,
            plan: Plan {
                steps: Vec::new(),
                size: 0,
                leaves: Vec::new(),
                scatters: Vec::new(),
                firsts: vec![None; evaluation.cards.len()],
            },
            drawn: vec![None; evaluation.leaves.len()],
            seen: vec![Vec::new(); evaluation.cards.len()],
            corrections: 0,
        }
    }

    /// Adds what is wanted, after all that it is made of: depth first, with an own stack, since a long chain must not
    /// exhaust the program's.
    fn add(&mut self, wanted: Wanted) {
        enum Task {
            Look(Wanted),
            Add(Wanted),
        }
        let mut open = vec![Task::Look(wanted)];
        while let Some(task) = open.pop() {
            let wanted = match task {
                Task::Look(wanted) => wanted,
                Task::Add(wanted) => {
                    self.add_step(wanted);
                    continue;
                }
            };
            if self.is_seen(wanted) {
                continue;
            }
            open.push(Task::Add(wanted));
            match wanted {
                Wanted::Outputs(card) => {
                    let slots = 0..self.evaluation.cards[card].readings.len();
                    let slots = slots.rev().map(|slot| Wanted::Entered((card, slot)));
                    open.extend(slots.map(Task::Look));
                }
                Wanted::Entered((card, slot)) => {
                    let sources = &self.evaluation.cards[card].sources;
                    let source = sources.get(slot).copied().flatten();
                    open.extend(source.map(|place| Task::Look(self.evaluation.wanted(place))));
                }
            }
        }
    }

    fn is_seen(&mut self, wanted: Wanted) -> bool {
        let (card, place) = match wanted {
            Wanted::Outputs(card) => (card, 0),
            Wanted::Entered((card, slot)) => (card, slot + 1),
        };
        let seen = &mut self.seen[card];
        seen.resize(self.evaluation.cards[card].readings.len() + 1, false);
        core::mem::replace(&mut seen[place], true)
    }

    fn add_step(&mut self, wanted: Wanted) {
        let (Wanted::Outputs(position) | Wanted::Entered((position, _))) = wanted;
        let card = &self.evaluation.cards[position];
        let first = *self.plan.firsts[position].get_or_insert_with(|| {
            let first = self.plan.size;
            self.plan.size += card.offered_count();
            first
        });
        let entered = first + card.outputs.len();
        match (wanted, card.calculator, &card.state) {
            (Wanted::Entered((_, slot)), ..) => {
                let step = self.slot(position, slot, entered + slot);
                self.plan.steps.push(Step::Entered(step));
            }
            (Wanted::Outputs(_), Some(calculator), State::Ready) => {
                let corrections = self.corrections;
                if !card.scatters.is_empty() {
                    self.corrections += corrections_of(&card.scatters);
                    self.plan.scatters.push((position, card.scatters.clone()));
                }
                self.plan.steps.push(Step::Formula(Box::new(Formula {
                    card: position,
                    calculator,
                    shape: card.shape.clone(),
                    layout: card.layout.clone(),
                    outputs: first,
                    entered: entered..entered + card.readings.len(),
                    corrections: corrections..self.corrections,
                })));
            }
            (Wanted::Outputs(_), ..) => {}
        }
    }

    fn slot(&mut self, position: usize, slot: usize, into: usize) -> Slot {
        let card = &self.evaluation.cards[position];
        let reading = &card.readings[slot];
        let from = match (&reading.origin, card.sources.get(slot).copied().flatten()) {
            (Taken::Typed { leaf, effects }, _) => {
                let drawn = self.drawn(*leaf);
                From::Drawn(drawn, effects.iter().map(|e| self.shift(e)).collect())
            }
            (Taken::Linked(_), Some(source)) => {
                self.plan.place(source).map_or(From::Nowhere, From::Linked)
            }
            (Taken::Linked(_), None) => From::Nowhere,
        };
        let range = reading.field.number_range();
        // What comes from nowhere is in a row that does not count.
        let checked = self.checked && !matches!(from, From::Nowhere);
        Slot {
            card: position,
            field: reading.field,
            range: (checked && range != Range::ANY).then_some(range),
            from,
            into,
        }
    }

    fn shift(&mut self, effect: &Effect) -> Shift {
        Shift {
            drawn: self.drawn(effect.leaf),
            sensitivity: effect.sensitivity,
            estimate: self.evaluation.leaves[effect.leaf].value,
        }
    }

    fn drawn(&mut self, leaf: usize) -> usize {
        let leaves = &mut self.plan.leaves;
        *self.drawn[leaf].get_or_insert_with(|| {
            leaves.push(leaf);
            leaves.len() - 1
        })
    }
}

/// How many corrections there are in all blocks.
fn corrections_of(blocks: &[Scatter]) -> usize {
    blocks.iter().map(|block| block.covariance.len()).sum()
}

impl Evaluation {
    /// What must be computed for a number.
    fn wanted(&self, (card, number): Place) -> Wanted {
        match number.checked_sub(self.cards[card].outputs.len()) {
            None => Wanted::Outputs(card),
            Some(slot) => Wanted::Entered((card, slot)),
        }
    }

    /// Runs the whole sheet again from other numbers for its leaves and scatter corrections. The result holds, for each
    /// card, the numbers of its outputs and then those entered on it; cards that are not ready have no outputs.
    ///
    /// # Errors
    /// The [`Problem`] of the first card that cannot be computed from these numbers.
    pub fn replay<S: Evaluable>(
        &self,
        leaves: &[S],
        scatter: &dyn Fn(usize, usize) -> S,
    ) -> Result<Vec<Vec<S>>, Problem> {
        let plan = Plan::of_sheet(self);
        let missing = S::constant(f64::NAN);
        let leaf = |leaf: &usize| leaves.get(*leaf).copied().unwrap_or(missing);
        let mut drawn: Vec<S> = plan.leaves.iter().map(leaf).collect();
        for (card, blocks) in &plan.scatters {
            drawn.extend((0..corrections_of(blocks)).map(|number| scatter(*card, number)));
        }
        let mut numbers = vec![missing; plan.size];
        let result = plan.run(&drawn, &mut numbers);
        result.map_err(Failure::into_problem)?;
        let of_card = |(position, first): (usize, &Option<usize>)| {
            let count = self.cards[position].offered_count();
            first.map_or(Vec::new(), |first| numbers[first..first + count].to_vec())
        };
        Ok(plan.firsts.iter().enumerate().map(of_card).collect())
    }
}
