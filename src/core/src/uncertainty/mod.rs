//! Uncertainty: what a typed `±` means ([`Meaning`]), the independent inputs it belongs to ([`Leaf`]), and the
//! budget of a result ([`Budget`]).
//!
//! First-order propagation after JCGM 100:2008 (GUM) clause 5. Uncertainty is carried from the leaves through
//! the whole run sheet, never handed on as (value, u), so a quantity used twice stays correlated with itself.

mod budget;

pub use budget::{Budget, BudgetRow, Origin, effective_degrees_of_freedom};

/// What the number after `±` means.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Meaning {
    /// A standard uncertainty.
    #[default]
    Standard,
    /// A limit that the value certainly lies within, with the shape of the distribution between its ends.
    Limit(Distribution),
    /// An expanded uncertainty with its coverage factor k.
    Expanded {
        /// The coverage factor k.
        coverage_factor: f64,
    },
}

/// The shape of a distribution between two limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Distribution {
    /// Anywhere between the limits alike.
    Rectangular,
    /// The middle is likelier than the ends.
    Triangular,
    /// The ends are likelier than the middle, as with cycling temperature.
    Arcsine,
}

impl Meaning {
    /// The words for it.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Meaning::Standard => "standard uncertainty".into(),
            Meaning::Limit(Distribution::Rectangular) => "limit, rectangular".into(),
            Meaning::Limit(Distribution::Triangular) => "limit, triangular".into(),
            Meaning::Limit(Distribution::Arcsine) => "limit, arcsine".into(),
            Meaning::Expanded { coverage_factor } => {
                format!(
                    "expanded, k = {}",
                    crate::quantity::shortest(coverage_factor)
                )
            }
        }
    }

    /// The standard uncertainty, from the number after `±`.
    ///
    /// Divisors √3, √6, √2 of JCGM 100:2008 4.3.7, 4.3.9 and of the arcsine (U-shaped) distribution of
    /// JCGM 101:2008 6.4.6; k for an expanded uncertainty (JCGM 100:2008 4.3.3).
    #[must_use]
    pub fn standard(self, magnitude: f64) -> f64 {
        match self {
            Meaning::Standard => magnitude,
            Meaning::Limit(Distribution::Rectangular) => magnitude / 3.0_f64.sqrt(),
            Meaning::Limit(Distribution::Triangular) => magnitude / 6.0_f64.sqrt(),
            Meaning::Limit(Distribution::Arcsine) => magnitude / 2.0_f64.sqrt(),
            Meaning::Expanded { coverage_factor } => magnitude / coverage_factor,
        }
    }
}

/// An independent input of the run sheet: a number somebody typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// Position of its card on the run sheet.
    pub card: usize,
    /// Its field as `field` or `table.row.column`.
    pub path: String,
    /// Its estimate, in SI.
    pub value: f64,
    /// Its standard uncertainty, in SI; zero where none was stated.
    pub uncertainty: f64,
    /// What the typed `±` means.
    pub meaning: Meaning,
    /// Degrees of freedom of its standard uncertainty; infinite for stated limits (JCGM 100:2008 G.4.3).
    pub degrees_of_freedom: f64,
}
