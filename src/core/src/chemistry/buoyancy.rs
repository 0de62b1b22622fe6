//! The buoyancy of air in weighing.
//!
//! m/m_read = (1 − ρ_a/ρ_ref)/(1 − ρ_a/ρ): conventional mass relation of OIML D 28 (from memory).

use crate::scalar::Scalar;

/// Density of air by convention, kg/m³ (OIML D 28, from memory).
pub const CONVENTIONAL_AIR: f64 = 1.2;
/// Density of the weights that balances are adjusted with, by convention, kg/m³ (OIML D 28, from memory).
pub const REFERENCE_WEIGHTS: f64 = 8000.0;

/// Mass over balance reading for a sample of density `sample` in air of density `air`, both in kg/m³.
#[must_use]
pub fn factor<S: Scalar>(sample: S, air: S) -> S {
    (-air / REFERENCE_WEIGHTS + 1.0) / (-air / sample + 1.0)
}
