//! The budget of one result: where its uncertainty comes from.

use super::{Estimate, EvaluationType};

/// What a row of a budget stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The typed input with this number among the evaluation's leaves.
    Leaf(usize),
    /// The scatter of measured points on the card at this position: one correlated block.
    Scatter(usize),
}

/// One contribution to the uncertainty of a result.
#[derive(Clone, Debug, PartialEq)]
pub struct BudgetRow {
    /// What contributes.
    pub origin: Origin,
    /// ∂result/∂input in SI; none for a correlated block, which has no single one.
    pub sensitivity: Option<f64>,
    /// Standard uncertainty of the input in SI; none for a correlated block.
    pub uncertainty: Option<f64>,
    /// Contribution to the result's standard uncertainty, |sensitivity| · u, in SI.
    pub contribution: f64,
    /// Its share of the result's variance, 0 to 1.
    pub share: f64,
    /// How it was evaluated.
    pub evaluation: EvaluationType,
    /// Degrees of freedom.
    pub degrees_of_freedom: f64,
}

/// Where the uncertainty of one result comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// Combined standard uncertainty, in SI (JCGM 100:2008 5.1.2).
    pub uncertainty: f64,
    /// Effective degrees of freedom (JCGM 100:2008 G.4.1).
    pub degrees_of_freedom: f64,
    /// The contributions, largest first. Exact inputs are left out.
    pub rows: Vec<BudgetRow>,
}

/// Contributions below this part of the whole are what is left of terms that cancel.
const CANCELLED: f64 = 1e-12;
/// So are those below this part of the result: an exact ratio of two linked numbers is not known to sixteen digits.
const ROUNDING: f64 = 1e-14;

impl Budget {
    /// Combines independent contributions to this result: a root of the sum of squares, shares, and degrees of freedom.
    #[must_use]
    pub fn combine(mut rows: Vec<BudgetRow>, result: f64) -> Self {
        let least = ROUNDING * result.abs();
        rows.retain(|row| row.contribution.is_nan() || row.contribution >= least);
        // The sum of nothing is zero, not the −0 of `sum`.
        let variance = rows
            .iter()
            .map(|row| row.contribution * row.contribution)
            .fold(0.0, |sum, square| sum + square);
        let uncertainty = variance.sqrt();
        // What cancels exactly on paper leaves a few bits here; such a row would only puzzle.
        rows.retain(|row| row.contribution.is_nan() || row.contribution >= CANCELLED * uncertainty);
        for row in &mut rows {
            row.share = if variance > 0.0 {
                row.contribution * row.contribution / variance
            } else {
                0.0
            };
        }
        rows.sort_unstable_by(|a, b| b.contribution.total_cmp(&a.contribution));
        let degrees_of_freedom = effective_degrees_of_freedom(
            uncertainty,
            rows.iter()
                .map(|row| (row.contribution, row.degrees_of_freedom)),
        );
        Budget {
            uncertainty,
            degrees_of_freedom,
            rows,
        }
    }
}

impl Budget {
    /// The number that this is the budget of, with its uncertainty.
    #[must_use]
    pub fn estimate(&self, value: f64) -> Estimate {
        Estimate {
            value,
            uncertainty: self.uncertainty,
            degrees_of_freedom: self.degrees_of_freedom,
        }
    }
}

/// Welch–Satterthwaite: ν_eff = u⁴ / Σ(uᵢ⁴/νᵢ), JCGM 100:2008 G.4.1 (G.2b); infinite where no contribution has
/// finite degrees of freedom.
#[must_use]
pub fn effective_degrees_of_freedom(
    combined: f64,
    contributions: impl Iterator<Item = (f64, f64)>,
) -> f64 {
    let square = |x: f64| x * x;
    let sum: f64 = contributions.map(|(u, nu)| square(square(u)) / nu).sum();
    if sum > 0.0 {
        square(square(combined)) / sum
    } else {
        f64::INFINITY
    }
}
