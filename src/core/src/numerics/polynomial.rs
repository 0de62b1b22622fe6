//! Least-squares polynomial of one variable.
//!
//! Householder QR of the powers of t = (x − centre) / scale, with t in −1 … 1: the powers of x itself would cost
//! about as many digits as the fit has. x is free of error and carries no derivative; y may carry one.

use core::fmt;

use super::root::bracketed_root;
use crate::scalar::Scalar;

/// Why no polynomial could be fitted. Indices count from zero in the slices given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PolynomialError {
    /// x and y differ in number.
    UnequalLengths,
    /// x or y of a point is not a finite number.
    NotFinite {
        /// Which point.
        index: usize,
    },
    /// There are fewer clearly different x than coefficients.
    TooFewAbscissae {
        /// Number of coefficients.
        needed: usize,
    },
}

impl fmt::Display for PolynomialError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            PolynomialError::UnequalLengths => f.write_str("Enter as many y values as x values."),
            PolynomialError::NotFinite { index } => {
                write!(f, "Point {} needs a number for x and for y.", index + 1)
            }
            PolynomialError::TooFewAbscissae { needed } => {
                write!(f, "This fit needs points at {needed} or more different x.")
            }
        }
    }
}

impl std::error::Error for PolynomialError {}

/// Fits a polynomial of this degree to the points, all with equal weight.
///
/// # Errors
/// See [`PolynomialError`].
pub fn fit_polynomial<S: Scalar>(
    x: &[f64],
    y: &[S],
    degree: usize,
) -> Result<Polynomial<S>, PolynomialError> {
    Design::new(x, degree)?.fit(y)
}

/// A polynomial in t = (x − centre) / scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Polynomial<S> {
    centre: f64,
    scale: f64,
    /// Ascending powers of t.
    coefficients: Vec<S>,
}

impl<S: Scalar> Polynomial<S> {
    /// The value at x.
    #[must_use]
    pub fn evaluate(&self, x: S) -> S {
        let t = (x - self.centre) / self.scale;
        horner(&self.coefficients, t)
    }

    /// The derivative, a polynomial one degree lower.
    #[must_use]
    pub fn differentiate(&self) -> Polynomial<S> {
        let coefficients = self.coefficients.iter().enumerate().skip(1);
        Polynomial {
            centre: self.centre,
            scale: self.scale,
            coefficients: coefficients
                .map(|(k, &c)| c * (k as f64 / self.scale))
                .collect(),
        }
    }

    /// The slope at x.
    #[must_use]
    pub fn derivative(&self, x: S) -> S {
        self.differentiate().evaluate(x)
    }

    /// This polynomial times x, one degree higher: power over voltage from current over voltage.
    #[must_use]
    pub fn times_x(&self) -> Polynomial<S> {
        let lower = self.coefficients.iter().map(|c| *c * self.centre);
        let higher = self.coefficients.iter().map(|c| *c * self.scale);
        let nothing = S::constant(0.0);
        Polynomial {
            coefficients: lower
                .chain([nothing])
                .zip([nothing].into_iter().chain(higher))
                .map(|(a, b)| a + b)
                .collect(),
            ..*self
        }
    }

    /// Coefficients of ascending powers of x itself. Fewer digits survive in them than in
    /// [`Polynomial::evaluate`].
    #[must_use]
    pub fn coefficients(&self) -> Vec<S> {
        // Horner's scheme on polynomials: multiply by t = (x − centre) / scale, add the next coefficient.
        let mut powers: Vec<S> = Vec::with_capacity(self.coefficients.len());
        for &next in self.coefficients.iter().rev() {
            let mut carry = S::constant(0.0);
            for power in &mut powers {
                let scaled = *power / self.scale;
                *power = carry - scaled * self.centre;
                carry = scaled;
            }
            if powers.len() < self.coefficients.len() {
                powers.push(carry);
            }
            powers[0] += next;
        }
        powers
    }

    /// The x of the highest maximum strictly between `low` and `high`, with its derivative with respect to what
    /// the coefficients carry. `None` when there is none, or only a level stretch.
    #[must_use]
    pub fn interior_maximum(&self, low: f64, high: f64) -> Option<S> {
        let slope = self.differentiate();
        let curvature = slope.differentiate();
        let value = |x: f64| self.evaluate(S::constant(x)).value();
        let x = slope
            .values()
            .roots(low, high)
            .into_iter()
            .filter(|&x| low < x && x < high && curvature.evaluate(S::constant(x)).value() < 0.0)
            .max_by(|&a, &b| value(a).total_cmp(&value(b)))?;
        let x = S::constant(x);
        let residual = slope.evaluate(x);
        Some(x - (residual - residual.value()) / curvature.evaluate(x).value())
    }

    fn values(&self) -> Polynomial<f64> {
        Polynomial {
            centre: self.centre,
            scale: self.scale,
            coefficients: self.coefficients.iter().map(|c| c.value()).collect(),
        }
    }
}

impl Polynomial<f64> {
    /// All x between `low` and `high` where the polynomial changes sign, ascending. Between two neighbouring
    /// turning points it is monotone, so each piece holds one root at most.
    pub(super) fn roots(&self, low: f64, high: f64) -> Vec<f64> {
        if self.coefficients.len() < 2 {
            return Vec::new();
        }
        let tolerance = f64::EPSILON * self.scale;
        let mut ends = vec![low];
        ends.extend(self.differentiate().roots(low, high));
        ends.push(high);
        ends.windows(2)
            .filter_map(|piece| {
                bracketed_root((piece[0], piece[1]), tolerance, |x| self.evaluate(x)).ok()
            })
            .collect()
    }
}

fn horner<S: Scalar>(coefficients: &[S], t: S) -> S {
    coefficients
        .iter()
        .rev()
        .fold(S::constant(0.0), |sum, &c| sum * t + c)
}

/// The x values of a polynomial fit, factored once: fits any y over them, and tells how much each y counts.
#[derive(Clone, Debug)]
pub struct Design {
    centre: f64,
    scale: f64,
    points: usize,
    terms: usize,
    /// Column by column: R on and above the diagonal of the first rows.
    r: Vec<f64>,
    /// Column by column: the Householder vectors, of squared length two.
    reflectors: Vec<f64>,
}

impl Design {
    /// Factors the powers of x up to `degree`.
    ///
    /// # Errors
    /// See [`PolynomialError`].
    pub fn new(x: &[f64], degree: usize) -> Result<Design, PolynomialError> {
        if let Some(index) = x.iter().position(|x| !x.is_finite()) {
            return Err(PolynomialError::NotFinite { index });
        }
        let (points, terms) = (x.len(), degree + 1);
        let too_few = PolynomialError::TooFewAbscissae { needed: terms };
        if points < terms {
            return Err(too_few);
        }
        let low = x.iter().copied().fold(f64::INFINITY, f64::min);
        let high = x.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let centre = 0.5 * low + 0.5 * high;
        // A single point, or none apart, still has a constant.
        let scale = if high > low {
            0.5 * high - 0.5 * low
        } else {
            1.0
        };

        let mut r = Vec::with_capacity(points * terms);
        r.resize(points, 1.0);
        for k in 1..terms {
            for i in 0..points {
                r.push(r[(k - 1) * points + i] * ((x[i] - centre) / scale));
            }
        }
        let mut reflectors = vec![0.0; points * terms];
        for k in 0..terms {
            let column = &r[k * points..(k + 1) * points];
            let whole = dot(column, column).sqrt();
            let below = &column[k..];
            let length = dot(below, below).sqrt();
            // What is left of the column after the earlier ones is rounding only: it depends on them.
            if length <= points as f64 * f64::EPSILON * whole {
                return Err(too_few);
            }
            let reflector = &mut reflectors[k * points..(k + 1) * points];
            reflector[k..].copy_from_slice(below);
            reflector[k] += length.copysign(below[0]);
            let norm = (0.5 * dot(reflector, reflector)).sqrt();
            for v in reflector.iter_mut() {
                *v /= norm;
            }
            for column in r.chunks_exact_mut(points).skip(k) {
                reflect(reflector, k, column);
            }
        }
        Ok(Design {
            centre,
            scale,
            points,
            terms,
            r,
            reflectors,
        })
    }

    /// Fits the polynomial to these y, one per x.
    ///
    /// # Errors
    /// When y differ in number from x, or one is not finite.
    pub fn fit<S: Scalar>(&self, y: &[S]) -> Result<Polynomial<S>, PolynomialError> {
        if y.len() != self.points {
            return Err(PolynomialError::UnequalLengths);
        }
        if let Some(index) = y.iter().position(|y| !y.value().is_finite()) {
            return Err(PolynomialError::NotFinite { index });
        }
        let mut rotated = y.to_vec();
        for (k, reflector) in self.reflectors.chunks_exact(self.points).enumerate() {
            reflect(reflector, k, &mut rotated);
        }
        let mut coefficients = rotated;
        coefficients.truncate(self.terms);
        for k in (0..self.terms).rev() {
            let solved = coefficients[k] / self.r(k, k);
            coefficients[k] = solved;
            for (row, c) in coefficients[..k].iter_mut().enumerate() {
                *c -= solved * self.r(row, k);
            }
        }
        Ok(Polynomial {
            centre: self.centre,
            scale: self.scale,
            coefficients,
        })
    }

    /// Points less coefficients.
    pub(super) fn degrees_of_freedom(&self) -> usize {
        self.points - self.terms
    }

    /// How much each y counts in the fitted value at x: the value is the sum of weight times y.
    #[must_use]
    pub fn value_weights(&self, x: f64) -> Vec<f64> {
        let t = (x - self.centre) / self.scale;
        let mut power = 1.0;
        self.weights((0..self.terms).map(|_| {
            let this = power;
            power *= t;
            this
        }))
    }

    /// How much each y counts in the fitted slope at x.
    #[must_use]
    pub fn slope_weights(&self, x: f64) -> Vec<f64> {
        let t = (x - self.centre) / self.scale;
        let mut power = 1.0 / self.scale;
        self.weights((0..self.terms).map(|k| {
            if k == 0 {
                return 0.0;
            }
            let this = k as f64 * power;
            power *= t;
            this
        }))
    }

    /// Weights of the y in a combination of the coefficients: Q R⁻ᵀ times the combination.
    fn weights(&self, combination: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut weights: Vec<f64> = Vec::with_capacity(self.points);
        for (k, wanted) in combination.enumerate() {
            let known: f64 = (0..k).map(|row| self.r(row, k) * weights[row]).sum();
            weights.push((wanted - known) / self.r(k, k));
        }
        weights.resize(self.points, 0.0);
        for (k, reflector) in self.reflectors.chunks_exact(self.points).enumerate().rev() {
            reflect(reflector, k, &mut weights);
        }
        weights
    }

    fn r(&self, row: usize, column: usize) -> f64 {
        self.r[column * self.points + row]
    }
}

/// v − u (uᵀv) for a reflector u of squared length two that is zero before `from`.
pub(super) fn reflect<S: Scalar>(reflector: &[f64], from: usize, vector: &mut [S]) {
    let mut along = S::constant(0.0);
    for (&u, &v) in reflector.iter().zip(vector.iter()).skip(from) {
        along += v * u;
    }
    for (&u, v) in reflector.iter().zip(vector).skip(from) {
        *v -= along * u;
    }
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
