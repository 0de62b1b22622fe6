//! Propagation through the links: from an output back to all leaves by one reverse sweep.

use super::entry::Taken;
use super::evaluate::Evaluation;
use crate::calculators::Scatter;
use crate::uncertainty::{Budget, BudgetRow, EvaluationType, Origin};

impl Evaluation {
    /// One reverse sweep: ∂output/∂(every output of every card before it), then the leaves' shares.
    pub(super) fn budget_of(&self, card: usize, output: usize) -> Budget {
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
                evaluation: leaf.evaluation,
                degrees_of_freedom: leaf.degrees_of_freedom,
            })
        };
        let mut rows: Vec<_> = of_leaves
            .into_iter()
            .enumerate()
            .filter_map(leaf_row)
            .collect();
        rows.extend(scatter_rows);
        let result = self.cards[card].offered().nth(output);
        Budget::combine(rows, result.map_or(0.0, |(_, _, value)| value))
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
        // Noise that was stated was not estimated from these points.
        evaluation: if scatter.degrees_of_freedom.is_finite() {
            EvaluationType::A
        } else {
            EvaluationType::B
        },
        degrees_of_freedom: scatter.degrees_of_freedom,
    }
}
