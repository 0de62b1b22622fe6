//! A Monte Carlo run of one number on a run sheet: only what it depends on is computed.

use super::evaluate::Evaluation;
use super::plan::{Failure, Plan};
use crate::calculators::Scatter;
use crate::uncertainty::monte_carlo::{Draws, FirstOrder, Input, Outcome, Progress, Run, Stopped};

/// A Monte Carlo run of one number on a run sheet, in progress. See [`crate::uncertainty::monte_carlo`].
#[derive(Clone, Debug)]
pub struct Trials {
    plan: Plan,
    run: Run,
    /// The titles of the cards, for sentences.
    titles: Vec<String>,
    /// The card that is asked for, and the place of the number in the plan.
    card: usize,
    place: usize,
    numbers: Vec<f64>,
}

impl Trials {
    /// A run that begins, for a number found or entered on a card. None where there is no such number, or nothing that
    /// acts on it is uncertain.
    #[must_use]
    pub fn new(
        evaluation: &Evaluation,
        card: &str,
        output: &str,
        seed: u64,
        draws: Draws,
    ) -> Option<Trials> {
        let (card, number) = evaluation.place(card, output)?;
        let (_, _, value) = evaluation.cards[card].offered().nth(number)?;
        let plan = Plan::of_number(evaluation, (card, number));
        let inputs = plan.inputs(evaluation);
        let exact = inputs.iter().all(|i| matches!(i, Input::Exact(_)));
        if exact || !value.is_finite() {
            return None;
        }
        let budget = evaluation.budget_of(card, number);
        let first_order = FirstOrder {
            value,
            uncertainty: budget.uncertainty,
            degrees_of_freedom: budget.degrees_of_freedom,
        };
        let titles = evaluation.cards.iter().map(|card| card.title.clone());
        Some(Trials {
            run: Run::new(&inputs, first_order, seed, draws),
            titles: titles.collect(),
            card,
            place: plan.place((card, number))?,
            numbers: vec![f64::NAN; plan.size],
            plan,
        })
    }

    /// Runs one block of trials, unless nothing is left to do.
    ///
    /// # Errors
    /// [`Stopped::Impossible`].
    pub fn step(&mut self) -> Result<Progress, Stopped> {
        let Trials {
            plan,
            run,
            titles,
            card,
            place,
            numbers,
        } = self;
        run.step(
            |drawn| plan.run(drawn, numbers).map(|()| numbers[*place]),
            |failure| sentence(titles, *card, failure),
        )
    }

    /// How far it is.
    #[must_use]
    pub fn progress(&self) -> Progress {
        self.run.progress()
    }

    /// What the draws so far give.
    ///
    /// # Errors
    /// [`Stopped::NoDraws`] before the first block.
    pub fn finish(self) -> Result<Outcome, Stopped> {
        let mut scatters = self.plan.scatters.iter().flat_map(|(_, blocks)| blocks);
        let fit_linearised = scatters.any(|scatter| scatter.linearised);
        Ok(Outcome {
            fit_linearised,
            ..self.run.finish()?
        })
    }

    /// Runs all blocks.
    ///
    /// # Errors
    /// [`Stopped::Impossible`].
    pub fn complete(mut self) -> Result<Outcome, Stopped> {
        while !self.step()?.finished {}
        self.finish()
    }
}

impl Plan {
    /// What is drawn for it, in its order.
    pub(super) fn inputs(&self, evaluation: &Evaluation) -> Vec<Input> {
        let leaf = |leaf: &usize| Input::from(&evaluation.leaves[*leaf]);
        let block = |scatter: &Scatter| Input::Block {
            covariance: scatter.covariance.clone(),
            degrees_of_freedom: scatter.degrees_of_freedom,
        };
        let leaves = self.leaves.iter().map(leaf);
        let scatters = self.scatters.iter().flat_map(|(_, blocks)| blocks);
        leaves.chain(scatters.map(block)).collect()
    }
}

/// Why a trial is impossible, with the card where it is not the one asked for.
fn sentence(titles: &[String], asked: usize, failure: Failure) -> String {
    let card = failure.card;
    let sentence = failure.into_problem().sentence;
    if card == asked {
        sentence
    } else {
        format!("“{}”: {sentence}", titles[card])
    }
}
