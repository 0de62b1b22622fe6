//! Roots of equations without a closed form.
//!
//! The root is found in `f64` by Brent's method inside a bracket. Its derivative with respect to every linked
//! input then follows from the implicit function theorem: dx/dp = −(∂f/∂p) / (∂f/∂x).
//!
//! A formula's author writes the residual once, generically:
//!
//! ```
//! use glasswick_core::numerics::root::{Equation, solve};
//! use glasswick_core::scalar::{Dual, Scalar};
//!
//! struct Kepler; // E − e sin E = M, with parameters [e, M]
//! impl Equation<2> for Kepler {
//!     fn residual<S: Scalar>(&self, x: S, &[e, m]: &[S; 2]) -> S {
//!         x - e * x.sin() - m
//!     }
//! }
//! let e = Dual::constant(0.2);
//! let m = Dual::seed(0.5);
//! let x = solve(&Kepler, &[e, m], (0.0, 3.0), 0.0)?;
//! assert!((x.slope - 1.0 / (1.0 - 0.2 * x.value.cos())).abs() < 1e-14);
//! # Ok::<(), glasswick_core::numerics::root::RootError>(())
//! ```

use core::fmt;

use crate::scalar::{Dual, Scalar};

/// An equation f(x; parameters) = 0 for x. Everything that may carry a derivative is a parameter; what `self`
/// holds is constant.
pub trait Equation<const N: usize> {
    /// The function whose root is wanted.
    fn residual<S: Scalar>(&self, x: S, parameters: &[S; N]) -> S;
}

/// Why no root was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RootError {
    /// The residual has the same sign at both ends of the bracket.
    NotBracketed {
        /// Residual at the lower end.
        at_low: f64,
        /// Residual at the upper end.
        at_high: f64,
    },
    /// The residual is not a number here.
    NotFinite {
        /// Where.
        x: f64,
    },
    /// The limit of iterations was reached.
    NotConverged {
        /// The best x so far.
        x: f64,
    },
    /// The residual touches zero without slope, so the root has no derivative.
    Tangent {
        /// The root.
        x: f64,
    },
}

impl fmt::Display for RootError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            RootError::NotBracketed { .. } => {
                "No solution lies in the possible range of these inputs."
            }
            RootError::NotFinite { .. } => "The equation cannot be evaluated for these inputs.",
            RootError::NotConverged { .. } => "The solution could not be found to full precision.",
            RootError::Tangent { .. } => {
                "The solution is at a turning point; its uncertainty is not defined."
            }
        })
    }
}

impl std::error::Error for RootError {}

/// Solves an equation for x inside `bracket`, with the derivative with respect to every parameter.
///
/// The value is the same to the last bit whatever the scalar. `tolerance` is as in [`bracketed_root`].
///
/// # Errors
/// See [`RootError`].
pub fn solve<S: Scalar, const N: usize>(
    equation: &impl Equation<N>,
    parameters: &[S; N],
    bracket: (f64, f64),
    tolerance: f64,
) -> Result<S, RootError> {
    let values = parameters.map(Scalar::value);
    let root = bracketed_root(bracket, tolerance, |x| equation.residual(x, &values))?;
    let slope = equation
        .residual(Dual::seed(root), &values.map(Dual::constant))
        .slope;
    if slope == 0.0 || !slope.is_finite() {
        return Err(RootError::Tangent { x: root });
    }
    let residual = equation.residual(S::constant(root), parameters);
    Ok(with_slope_at_root(root, residual, slope))
}

/// The root as a scalar: `residual` is the residual at the root with x held constant, `slope` its derivative
/// with respect to x. A Newton step of which only the derivative is kept, since the value is as good as it gets.
pub fn with_slope_at_root<S: Scalar>(root: f64, residual: S, slope: f64) -> S {
    S::constant(root) - (residual - residual.value()) / slope
}

/// Most iterations of [`bracketed_root`]: halving alone narrows any bracket to the last bit in fewer than
/// these unless the root is many orders of magnitude smaller than the bracket.
const MOST_ITERATIONS: usize = 200;

/// Finds the root of a continuous function between two ends where its sign differs, by Brent's method
/// (R. P. Brent, Algorithms for Minimization without Derivatives, 1973, ch. 4: from memory).
///
/// It stops when the root is known within `tolerance` (absolute; 0 for the last bits of the root).
///
/// # Errors
/// See [`RootError`].
pub fn bracketed_root(
    bracket: (f64, f64),
    tolerance: f64,
    mut f: impl FnMut(f64) -> f64,
) -> Result<f64, RootError> {
    let mut at = |x: f64| {
        let y = f(x);
        if y.is_nan() {
            Err(RootError::NotFinite { x })
        } else {
            Ok(y)
        }
    };
    // `best` is the best estimate, `other` the end of the bracket on the far side of the root, `last` the
    // estimate before.
    let (mut last, mut best) = bracket;
    let mut f_last = at(last)?;
    let mut f_best = at(best)?;
    let differ = f_last == 0.0 || f_best == 0.0 || (f_last < 0.0) != (f_best < 0.0);
    if !differ {
        return Err(RootError::NotBracketed {
            at_low: f_last,
            at_high: f_best,
        });
    }
    let (mut other, mut f_other) = (last, f_last);
    let mut step = best - last;
    let mut step_before = step;
    for _ in 0..MOST_ITERATIONS {
        if f_other.abs() < f_best.abs() {
            (last, best, other) = (best, other, best);
            (f_last, f_best, f_other) = (f_best, f_other, f_best);
        }
        let close = 2.0 * f64::EPSILON * best.abs() + 0.5 * tolerance;
        let half = 0.5 * (other - best);
        if f_best == 0.0 || half.abs() <= close {
            return Ok(best);
        }
        let halving = (half, half);
        (step, step_before) = if step_before.abs() < close || f_last.abs() <= f_best.abs() {
            halving
        } else {
            let (p, q) = if last == other {
                let s = f_best / f_last;
                (2.0 * half * s, 1.0 - s)
            } else {
                let q = f_last / f_other;
                let r = f_best / f_other;
                let s = f_best / f_last;
                (
                    s * (2.0 * half * q * (q - r) - (best - last) * (r - 1.0)),
                    (q - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            let (p, q) = if p > 0.0 { (p, -q) } else { (-p, q) };
            // Interpolation is taken only where it stays well inside and shrinks faster than halving would.
            let shrinks =
                2.0 * p < (3.0 * half * q - (close * q).abs()).min((step_before * q).abs());
            if shrinks { (p / q, step) } else { halving }
        };
        (last, f_last) = (best, f_best);
        best += if step.abs() > close {
            step
        } else {
            close.copysign(half)
        };
        f_best = at(best)?;
        if (f_best < 0.0) == (f_other < 0.0) {
            (other, f_other) = (last, f_last);
            step = best - last;
            step_before = step;
        }
    }
    Err(RootError::NotConverged { x: best })
}
