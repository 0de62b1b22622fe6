//! Propagation through the links: from an output back to all leaves by one reverse sweep.

use super::entry::Taken;
use super::evaluate::Evaluation;
use crate::calculators::Scatter;
use crate::uncertainty::{Budget, BudgetRow, EvaluationType, Origin};

/// What an output depends on.
struct Influence {
    /// ∂output/∂leaf, of every leaf.
    leaves: Vec<f64>,
    /// The cards whose scatter counts, with ∂output/∂correction of each of their corrections.
    scatter: Vec<(usize, Vec<f64>)>,
}

impl Evaluation {
    /// One reverse sweep: ∂output/∂(every output of every card before it), down to the leaves.
    fn influence(&self, card: usize, output: usize) -> Influence {
        let mut adjoints: Vec<Vec<f64>> = vec![Vec::new(); self.cards.len()];
        let mut of_leaves = vec![0.0; self.leaves.len()];
        let mut of_scatter = Vec::new();
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
                    (Taken::Typed { leaf, effects }, _) => {
                        of_leaves[*leaf] += sensitivity;
                        for effect in effects {
                            of_leaves[effect.leaf] += sensitivity * effect.sensitivity;
                        }
                    }
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
                of_scatter.push((position, slopes));
            }
        }
        Influence {
            leaves: of_leaves,
            scatter: of_scatter,
        }
    }

    /// The leaves' and the scatter's shares of one output.
    pub(super) fn budget_of(&self, card: usize, output: usize) -> Budget {
        let influence = self.influence(card, output);
        let leaf_row = |(number, sensitivity): (usize, f64)| {
            let leaf = &self.leaves[number];
            (leaf.uncertainty > 0.0 && sensitivity != 0.0).then(|| BudgetRow {
                origin: Origin::Leaf(number),
                sensitivity: Some(sensitivity),
                uncertainty: Some(leaf.uncertainty),
                contribution: (sensitivity * leaf.uncertainty).abs(),
                share: 0.0,
                evaluation: leaf.evaluation,
                degrees_of_freedom: leaf.degrees_of_freedom,
            })
        };
        let mut rows: Vec<_> = influence
            .leaves
            .into_iter()
            .enumerate()
            .filter_map(leaf_row)
            .collect();
        let scatter_rows = influence.scatter.iter().filter_map(|(position, slopes)| {
            let scatter = self.cards[*position].scatter.as_ref()?;
            Some(scatter_row(*position, scatter, slopes))
        });
        rows.extend(scatter_rows);
        let result = self.cards[card].offered().nth(output);
        Budget::combine(rows, result.map_or(0.0, |(_, _, value)| value))
    }

    /// Covariance of two outputs, in SI: what they share of the same leaves and the same scatter.
    pub(super) fn covariance_of(&self, one: (usize, usize), other: (usize, usize)) -> f64 {
        let [one, other] = [one, other].map(|(card, output)| self.influence(card, output));
        let both = one.leaves.iter().zip(&other.leaves).zip(&self.leaves);
        let of_leaves: f64 = both
            .map(|((a, b), leaf)| a * b * leaf.uncertainty * leaf.uncertainty)
            .sum();
        let of_scatter = one.scatter.iter().filter_map(|(position, slopes)| {
            let (_, others) = other.scatter.iter().find(|(p, _)| p == position)?;
            let scatter = self.cards[*position].scatter.as_ref()?;
            Some(shared(scatter, slopes, others))
        });
        of_leaves + of_scatter.sum::<f64>()
    }
}

/// Covariance of two numbers that depend on the same corrections with these slopes.
fn shared(scatter: &Scatter, one: &[f64], other: &[f64]) -> f64 {
    let rows = scatter.covariance.iter().zip(one);
    rows.flat_map(|(row, a)| row.iter().zip(other).map(move |(c, b)| a * c * b))
        .sum()
}

fn scatter_row(position: usize, scatter: &Scatter, slopes: &[f64]) -> BudgetRow {
    let variance = shared(scatter, slopes, slopes);
    BudgetRow {
        origin: Origin::Scatter(position),
        sensitivity: None,
        uncertainty: None,
        contribution: variance.max(0.0).sqrt(),
        share: 0.0,
        // Noise that was stated was not estimated from these points.
        evaluation: if scatter.degrees_of_freedom.is_finite() {
            EvaluationType::A
        } else {
            EvaluationType::B
        },
        degrees_of_freedom: scatter.degrees_of_freedom,
    }
}
