//! Propagation through the links: from an output back to all leaves by one reverse sweep.

use super::entry::Taken;
use super::evaluate::Evaluation;
use crate::calculators::Scatter;
use crate::uncertainty::{Budget, BudgetRow, EvaluationType, Origin, effective_degrees_of_freedom};

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
            // What the result does not depend on stays out: its slope may be infinite, and nothing times that is no number.
            let rows = adjoint.iter().zip(&current.jacobian);
            let rows: Vec<_> = rows.filter(|(a, _)| **a != 0.0).collect();
            let pulled =
                |column: usize| -> f64 { rows.iter().map(|(a, row)| *a * row[column]).sum() };
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
            if !current.scatters.is_empty() {
                let first = current.readings.len();
                let columns = current.jacobian.first().map_or(first, Vec::len);
                of_scatter.push((position, (first..columns).map(pulled).collect()));
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
        let scatter_rows = influence.scatter.iter().map(|(position, slopes)| {
            scatter_row(*position, &self.cards[*position].scatters, slopes)
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
            let scatters = &self.cards[*position].scatters;
            Some(shared(scatters, slopes, others).iter().sum::<f64>())
        });
        of_leaves + of_scatter.sum::<f64>()
    }
}

/// Covariance of two numbers that depend on the same corrections with these slopes, block by block.
fn shared(scatters: &[Scatter], one: &[f64], other: &[f64]) -> Vec<f64> {
    let (mut one, mut other) = (one.iter(), other.iter());
    let of_block = |scatter: &Scatter| {
        let size = scatter.covariance.len();
        let one: Vec<&f64> = one.by_ref().take(size).collect();
        let other: Vec<&f64> = other.by_ref().take(size).collect();
        let rows = scatter.covariance.iter().zip(one);
        let products =
            rows.flat_map(|(row, a)| row.iter().zip(&other).map(move |(c, b)| a * c * *b));
        products.sum()
    };
    scatters.iter().map(of_block).collect()
}

fn scatter_row(position: usize, scatters: &[Scatter], slopes: &[f64]) -> BudgetRow {
    let variances = shared(scatters, slopes, slopes);
    let contributions = variances.iter().map(|variance| variance.max(0.0).sqrt());
    let contribution = variances.iter().sum::<f64>().max(0.0).sqrt();
    let freedoms = scatters.iter().map(|scatter| scatter.degrees_of_freedom);
    let degrees_of_freedom = match scatters {
        [only] => only.degrees_of_freedom,
        _ => effective_degrees_of_freedom(contribution, contributions.zip(freedoms)),
    };
    BudgetRow {
        origin: Origin::Scatter(position),
        sensitivity: None,
        uncertainty: None,
        contribution,
        share: 0.0,
        // Noise that was stated was not estimated from these points.
        evaluation: if degrees_of_freedom.is_finite() {
            EvaluationType::A
        } else {
            EvaluationType::B
        },
        degrees_of_freedom,
    }
}

#[cfg(test)]
mod tests {
    use crate::calculators;
    use crate::sheet::{Card, Sheet, evaluate};

    /// A root at zero has an infinite slope. What stands beside it on the card does not depend on it.
    #[test]
    fn an_infinite_slope_leaves_the_other_results_alone() {
        let calculator = calculators::find("spacer_gap").unwrap();
        let mut card = Card::new(calculator, "a");
        for (path, text) in [
            ("window", "area"),
            ("area", "0.36 cm2"),
            ("spacer", "25 ± 1 um"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
        ] {
            card.enter(calculator, path, text);
        }
        let mut evaluation = evaluate(&Sheet { cards: vec![card] });
        let uncertainties = |evaluation: &super::Evaluation| -> Vec<f64> {
            let outputs = 0..evaluation.cards[0].outputs.len();
            outputs
                .map(|output| evaluation.budget_of(0, output).uncertainty)
                .collect()
        };
        let before = uncertainties(&evaluation);
        assert!(before[1] > 0.0);
        evaluation.cards[0].jacobian[0].fill(f64::INFINITY);
        let after = uncertainties(&evaluation);
        assert_eq!(after[0], f64::INFINITY);
        assert_eq!(after[1..], before[1..]);
    }
}
