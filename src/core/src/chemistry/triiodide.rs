//! Iodide, iodine and triiodide in solution: I⁻ + I₂ ⇌ I₃⁻, K = \[I₃⁻\]/(\[I⁻\]·\[I₂\]).
//!
//! K is taken as a ratio of concentrations, as it is tabulated; activity coefficients of the two anions nearly cancel.

use super::constants::GAS;
use crate::problem::{Source, memory, read};
use crate::scalar::Scalar;

/// What is in solution, as amount concentrations, mol/m³.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Species<S> {
    /// Triiodide.
    pub triiodide: S,
    /// Iodide that is not in triiodide.
    pub iodide: S,
    /// Iodine that is not in triiodide.
    pub iodine: S,
}

/// The species from total iodide and total iodine (as I₂), mol/m³, and K, m³/mol.
///
/// With κ = 1/K, each species is the positive root of a quadratic equation, and all three have the same discriminant,
/// D = (a − b)² + κ·(2·(a + b) + κ). Written so, and each root in its form without a difference of close numbers, all
/// are right to the last digits however strong the binding and however small the totals. So are their derivatives,
/// which come from the implicit function theorem.
pub fn species<S: Scalar>(iodide: S, iodine: S, constant: S) -> Species<S> {
    let dissociation = S::constant(1.0) / constant;
    let (a, b, kappa) = (iodide.value(), iodine.value(), dissociation.value());
    let (sum, excess) = (a + b, a - b);
    // Of sums of squares without overflow.
    let root = libm::hypot(excess, kappa.sqrt() * (2.0 * sum + kappa).sqrt());
    let x = 2.0 * a * (b / (sum + kappa + root));
    let y = free(b, kappa + excess, kappa, root);
    let z = free(a, kappa - excess, kappa, root);
    // A value, and its changes with a, b and κ times (y + z + κ).
    let species = |value: f64, [by_a, by_b, by_kappa]: [f64; 3]| {
        let whole = y + z + kappa;
        S::constant(value)
            + iodide.chain(0.0, by_a / whole)
            + iodine.chain(0.0, by_b / whole)
            + dissociation.chain(0.0, by_kappa / whole)
    };
    Species {
        triiodide: species(x, [y, z, -x]),
        iodide: species(z, [z + kappa, -z, x]),
        iodine: species(y, [-y, y + kappa, x]),
    }
}

/// The positive root of t² + p·t − κ·total = 0, with √(p² + 4·κ·total) at hand.
fn free(total: f64, p: f64, kappa: f64, root: f64) -> f64 {
    if p < 0.0 {
        (root - p) / 2.0
    } else {
        2.0 * kappa * (total / (root + p))
    }
}

/// A tabulated constant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tabulated {
    /// K, m³/mol.
    pub value: f64,
    /// How far off, as a factor, other published values or the conditions of a cell may be: our judgement.
    pub within: f64,
    /// Where it comes from.
    pub source: Source,
}

/// Temperature that constants are tabulated at, K (25 °C).
pub const TABULATED_AT: f64 = 298.15;

/// Water at 25 °C; a textbook (OpenStax Chemistry 2e, Example 13.7) has 776 L/mol.
pub const WATER: Tabulated = Tabulated {
    value: 0.698,
    within: 1.2,
    source: read(
        "Palmer et al. 1984: K = 698 L/mol at 25 °C, ΔH = −17.0 kJ/mol, ΔCp = −21 J/(mol·K)",
    ),
};

/// Acetonitrile at 25 °C: only the order of magnitude.
pub const ACETONITRILE: Tabulated = Tabulated {
    value: 1e4,
    within: 10.0,
    source: memory(
        "log K about 7 in acetonitrile, with K in L/mol; published values differ by several times",
    ),
};

/// ΔH of the reaction in water, J/mol.
const WATER_ENTHALPY: f64 = -17.0e3;
/// ΔCp of the reaction in water, J/(mol·K).
const WATER_HEAT_CAPACITY: f64 = -21.0;

/// K in water at a temperature in kelvin, m³/mol.
#[must_use]
pub fn in_water(kelvin: f64) -> f64 {
    carried(WATER.value, WATER_ENTHALPY, WATER_HEAT_CAPACITY, kelvin)
}

/// An equilibrium constant at 25 °C carried to a temperature in kelvin by van 't Hoff's equation, with ΔH in J/mol at
/// 25 °C and a constant ΔCp in J/(mol·K).
#[must_use]
pub fn carried(constant: f64, enthalpy: f64, heat_capacity: f64, kelvin: f64) -> f64 {
    let inverse = 1.0 / kelvin - 1.0 / TABULATED_AT;
    let heat = (enthalpy - heat_capacity * TABULATED_AT) / GAS;
    let capacity = heat_capacity / GAS * Scalar::ln(kelvin / TABULATED_AT);
    constant * Scalar::exp(capacity - heat * inverse)
}
