//! Where the first-order picture of a result is weak.
//!
//! The law of propagation takes the formulas for straight within the uncertainties of the entries (JCGM 100:2008,
//! 5.1.2 and its note), and the expanded uncertainty takes the result for nearly normal (G.2.1). Both are looked at by
//! running the card again with each leaf one standard uncertainty up and down, and all of them together. An entry near
//! a bound that it cannot pass shows when it is moved to the ends of its limit, or of its expanded uncertainty.

use super::evaluate::Evaluation;
use super::plan::{Failure, Plan};
use crate::calculators::Field;
use crate::quantity::value_text;
use crate::uncertainty::{Budget, Density, Origin};

/// Why the first-order uncertainty of a result may mislead.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// The uncertainty is not finite.
    NotFinite,
    /// The result lies within its expanded uncertainty of a bound, in SI, that it cannot pass.
    NearBound(f64),
    /// There is no result where an entry lies at the end of its limit or of its expanded uncertainty (k = 2): the
    /// sentence why.
    NoResult(String),
    /// What is left out by taking the formulas for straight, over the standard uncertainty; infinite where that is zero.
    Curved(f64),
    /// One limit makes up this share of the variance: the result is not nearly normal.
    OneLimit(f64),
}

/// Left out and more than this part of the standard uncertainty: it would show in its two digits.
const CURVED: f64 = 0.1;
/// One limit with more than this share of the variance.
const ONE_LIMIT: f64 = 0.8;
/// How many standard uncertainties an expanded one is made of.
const EXPANDED: f64 = 2.0;
/// What rounding leaves of terms that cancel, over the value.
const ROUNDING: f64 = 1e-9;

impl Doubt {
    /// What it is and what to do, in a sentence.
    #[must_use]
    pub fn sentence(&self, field: &Field) -> String {
        let percent = |part: f64| value_text(100.0 * part, 2);
        let what = match self {
            Doubt::NotFinite => "the first-order uncertainty has no finite value".into(),
            Doubt::NearBound(bound) => format!(
                "it lies within its uncertainty of {}, which it cannot pass",
                field.say_bound(*bound)
            ),
            Doubt::NoResult(why) => {
                format!("within the uncertainty of an entry there is no result ({why})")
            }
            Doubt::Curved(part) if part.is_finite() => format!(
                "the formula is curved within the uncertainties of the entries, by {}\u{202F}% of the standard \
                 uncertainty",
                percent(*part)
            ),
            Doubt::Curved(_) => {
                "the first-order uncertainty is zero, although the entries act on it".into()
            }
            Doubt::OneLimit(share) => format!(
                "one limit makes up {}\u{202F}% of the variance, so that the interval with k is not one of 95\u{202F}%",
                percent(*share)
            ),
        };
        format!("First order is weak here: {what}. Run the Monte Carlo.")
    }
}

impl Evaluation {
    /// Where the first-order picture of the outputs of a card is weak: the path of each such output, with the doubts.
    #[must_use]
    pub fn doubts(&self, card: &str) -> Vec<(String, Vec<Doubt>)> {
        let Some((card, _)) = self
            .find(card)
            .and_then(|found| self.place(card, &found.outputs.first()?.path))
        else {
            return Vec::new();
        };
        let moved = self.moved(card);
        let outputs = &self.cards[card].outputs;
        let of = |(number, output): (usize, &super::Output)| {
            let budget = self.budget_of(card, number);
            let mut doubts = Vec::new();
            if budget.uncertainty.is_finite() {
                doubts.extend(near_bound(output.field, output.value, &budget));
                match &moved {
                    Ok(moved) => doubts.extend(moved.curved(number, output.value, &budget)),
                    Err(why) if budget.uncertainty > 0.0 => {
                        doubts.push(Doubt::NoResult(why.clone()));
                    }
                    Err(_) => {}
                }
                doubts.extend(self.one_limit(&budget));
            } else {
                doubts.push(Doubt::NotFinite);
            }
            (!doubts.is_empty()).then(|| (output.path.clone(), doubts))
        };
        outputs.iter().enumerate().filter_map(of).collect()
    }

    /// The outputs of a card with each leaf that acts on it moved up and down.
    fn moved(&self, card: usize) -> Result<Moved, String> {
        let plan = Plan::of_number(self, (card, 0));
        let first = plan.place((card, 0)).unwrap_or_default();
        let count = self.cards[card].outputs.len();
        let estimates: Vec<f64> = plan
            .leaves
            .iter()
            .map(|leaf| self.leaves[*leaf].value)
            .collect();
        let blocks = plan.scatters.iter().flat_map(|(_, blocks)| blocks);
        let corrections: usize = blocks.map(|block| block.covariance.len()).sum();
        let mut numbers = vec![f64::NAN; plan.size];
        let mut run = |leaves: &[f64]| -> Result<Vec<f64>, String> {
            let mut drawn = leaves.to_vec();
            drawn.resize(leaves.len() + corrections, 0.0);
            let run = plan.run(&drawn, &mut numbers);
            run.map_err(|failure: Failure| failure.into_problem().sentence)?;
            Ok(numbers[first..first + count].to_vec())
        };
        let uncertain = |place: &usize| self.leaves[plan.leaves[*place]].uncertainty > 0.0;
        let uncertain: Vec<usize> = (0..estimates.len()).filter(uncertain).collect();
        let mut moved = Moved::default();
        for &place in &uncertain {
            let leaf = plan.leaves[place];
            let mut at = |by: f64| {
                let mut leaves = estimates.clone();
                leaves[place] += by * self.leaves[leaf].uncertainty;
                run(&leaves)
            };
            let end = match self.leaves[leaf].density {
                // A limit may reach the bound itself.
                Density::Limited(shape) => shape.divisor() * (1.0 - ROUNDING),
                Density::Normal | Density::StudentT => EXPANDED,
            };
            at(end)?;
            at(-end)?;
            moved.each.push((leaf, at(1.0)?, at(-1.0)?));
        }
        let share = 1.0 / (uncertain.len().max(1) as f64).sqrt();
        for by in [share, -share] {
            let mut leaves = estimates.clone();
            for &place in &uncertain {
                leaves[place] += by * self.leaves[plan.leaves[place]].uncertainty;
            }
            moved.together.push(run(&leaves)?);
        }
        Ok(moved)
    }

    /// One limit that makes up nearly all of the variance.
    fn one_limit(&self, budget: &Budget) -> Option<Doubt> {
        let first = budget.rows.first()?;
        let Origin::Leaf(leaf) = first.origin else {
            return None;
        };
        let limited = matches!(self.leaves[leaf].density, Density::Limited(_));
        (limited && first.share > ONE_LIMIT).then_some(Doubt::OneLimit(first.share))
    }
}

fn near_bound(field: &Field, value: f64, budget: &Budget) -> Option<Doubt> {
    let (low, high) = field.number_kind()?.bounds();
    let expanded = EXPANDED * budget.uncertainty;
    if expanded == 0.0 {
        return None;
    }
    [low, high]
        .into_iter()
        .find(|bound| bound.is_finite() && (value - bound).abs() < expanded)
        .map(Doubt::NearBound)
}

/// Outputs of a card with its leaves moved.
#[derive(Default)]
struct Moved {
    /// A leaf, and the outputs with it one standard uncertainty up and down.
    each: Vec<(usize, Vec<f64>, Vec<f64>)>,
    /// The outputs with all leaves moved together, by one standard uncertainty in all, up and down.
    together: Vec<Vec<f64>>,
}

impl Moved {
    /// How far the formula is from straight, for one output.
    fn curved(&self, number: usize, value: f64, budget: &Budget) -> Option<Doubt> {
        let slope = |leaf: usize| {
            let row = budget
                .rows
                .iter()
                .find(|row| row.origin == Origin::Leaf(leaf));
            row.and_then(|row| Some(row.sensitivity? * row.uncertainty?))
                .unwrap_or(0.0)
        };
        let (mut bent, mut steeper) = (0.0_f64, 0.0_f64);
        for (leaf, up, down) in &self.each {
            let (up, down) = (up[number], down[number]);
            bent += 0.5 * (up + down) - value;
            let steep = 0.5 * (up - down) - slope(*leaf);
            steeper += steep * steep;
        }
        let together = self.together.iter().map(|outputs| outputs[number]);
        let together = 0.5 * together.sum::<f64>() - value;
        let left_out = bent.abs().max(steeper.sqrt()).max(together.abs());
        if left_out.is_nan() {
            return Some(Doubt::NotFinite);
        }
        if left_out <= ROUNDING * value.abs() {
            return None;
        }
        let part = left_out / budget.uncertainty;
        (part > CURVED).then_some(Doubt::Curved(part))
    }
}
