//! Uncertainty: what a person states about a number ([`Meaning`]), the independent inputs it belongs to ([`Leaf`]), and
//! the budget of a result ([`Budget`]).
//!
//! First-order propagation after JCGM 100:2008 (GUM) clause 5. Uncertainty is carried from the leaves through
//! the whole run sheet, never handed on as (value, u), so a quantity used twice stays correlated with itself.

mod budget;
mod coverage;
mod meaning;
pub mod monte_carlo;

pub use budget::{Budget, BudgetRow, Origin, effective_degrees_of_freedom};
pub use coverage::coverage_factor;
pub use meaning::{Density, Distribution, EvaluationType, Meaning, WareUse, Weighing};

use crate::quantity::Unit;

/// An independent input of the run sheet: a number somebody typed, or one effect on it, such as the limit of a flask.
/// Leaves are independent of each other; what several entries share is one leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// Position of the card on the run sheet on which it stands first.
    pub card: usize,
    /// The entry on that card as `field` or `table.row.column`.
    pub path: String,
    /// Which effect on the entry it is; empty for the number itself.
    pub part: String,
    /// Whether several entries may share it: it belongs to a named piece of ware.
    pub shared: bool,
    /// The unit it was stated in.
    pub unit: &'static Unit,
    /// Its estimate, in SI.
    pub value: f64,
    /// Its standard uncertainty, in SI; zero where none was stated.
    pub uncertainty: f64,
    /// What it is drawn from.
    pub density: Density,
    /// How its uncertainty was evaluated.
    pub evaluation: EvaluationType,
    /// Degrees of freedom of its standard uncertainty; infinite for stated limits (JCGM 100:2008 G.4.3).
    pub degrees_of_freedom: f64,
}

/// A number with its uncertainty, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its combined standard uncertainty; zero where none is known.
    pub uncertainty: f64,
    /// The effective degrees of freedom of that.
    pub degrees_of_freedom: f64,
}

impl Estimate {
    /// A number without a known uncertainty.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Estimate {
            value,
            uncertainty: 0.0,
            degrees_of_freedom: f64::INFINITY,
        }
    }

    /// The coverage factor for about 95 %.
    #[must_use]
    pub fn coverage_factor(&self) -> f64 {
        coverage_factor(self.degrees_of_freedom)
    }

    /// The expanded uncertainty for about 95 %.
    #[must_use]
    pub fn expanded(&self) -> f64 {
        self.coverage_factor() * self.uncertainty
    }
}
