//! The number a formula is written over: `f64`, or a dual number that carries one derivative.
//!
//! A formula is one generic function. Run over `f64` it gives the value; run over [`Dual`] with one input
//! seeded it gives the value and the exact derivative with respect to that input (forward accumulation).
//!
//! Elementary functions come from the `libm` crate, never from std: std calls the platform's, whose last bits
//! differ between native and wasm. Addition, multiplication, division and square root are exact to the last bit
//! everywhere (IEEE 754) and need no such care.

use core::fmt::Debug;
use core::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A real number that formulas can be written over: `f64` or [`Dual`].
pub trait Scalar:
    Copy
    + Debug
    + PartialEq
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
{
    /// A number that does not depend on any input.
    fn constant(value: f64) -> Self;
    /// The value without its derivative, for decisions (comparisons, ranges), never for further arithmetic.
    fn value(self) -> f64;
    /// Applies a function of one variable, given its value and its derivative at this point.
    fn chain(self, value: f64, derivative: f64) -> Self;

    /// e to this power.
    fn exp(self) -> Self {
        let e = libm::exp(self.value());
        self.chain(e, e)
    }
    /// e to this power, minus one, exact also near zero.
    fn exp_m1(self) -> Self {
        self.chain(libm::expm1(self.value()), libm::exp(self.value()))
    }
    /// Natural logarithm.
    fn ln(self) -> Self {
        self.chain(libm::log(self.value()), 1.0 / self.value())
    }
    /// Natural logarithm of one plus this number, exact also near zero.
    fn ln_1p(self) -> Self {
        self.chain(libm::log1p(self.value()), 1.0 / (1.0 + self.value()))
    }
    /// Decimal logarithm.
    fn log10(self) -> Self {
        self.chain(
            libm::log10(self.value()),
            1.0 / (self.value() * core::f64::consts::LN_10),
        )
    }
    /// Square root. Its slope at zero is infinite; the caller reports that as "linear propagation not valid".
    fn sqrt(self) -> Self {
        let root = self.value().sqrt();
        self.chain(root, 0.5 / root)
    }
    /// Square.
    fn squared(self) -> Self {
        self * self
    }
    /// Whole-number power.
    fn powi(self, exponent: i32) -> Self {
        let n = f64::from(exponent);
        let lower = libm::pow(self.value(), n - 1.0);
        let slope = if exponent == 0 { 0.0 } else { n * lower };
        self.chain(libm::pow(self.value(), n), slope)
    }
    /// Real power with a constant exponent.
    fn powf(self, exponent: f64) -> Self {
        let slope = if exponent == 0.0 {
            0.0
        } else {
            exponent * libm::pow(self.value(), exponent - 1.0)
        };
        self.chain(libm::pow(self.value(), exponent), slope)
    }
    /// Sine of an angle in radians.
    fn sin(self) -> Self {
        self.chain(libm::sin(self.value()), libm::cos(self.value()))
    }
    /// Cosine of an angle in radians.
    fn cos(self) -> Self {
        self.chain(libm::cos(self.value()), -libm::sin(self.value()))
    }
    /// Absolute value; at zero the derivative from above is taken.
    fn abs(self) -> Self {
        if self.value() < 0.0 { -self } else { self }
    }
    /// The larger of two numbers, with the derivative of the one chosen.
    fn max(self, other: Self) -> Self {
        if self.value() < other.value() {
            other
        } else {
            self
        }
    }
    /// The smaller of two numbers, with the derivative of the one chosen.
    fn min(self, other: Self) -> Self {
        if other.value() < self.value() {
            other
        } else {
            self
        }
    }
}

/// All of them added up, in the order given.
pub fn sum<S: Scalar>(numbers: impl IntoIterator<Item = S>) -> S {
    let zero = S::constant(0.0);
    numbers.into_iter().fold(zero, |sum, number| sum + number)
}

impl Scalar for f64 {
    fn constant(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn chain(self, value: f64, _derivative: f64) -> Self {
        value
    }
}

/// A first-order dual number: a value and its derivative with respect to the one seeded input.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual {
    /// The value.
    pub value: f64,
    /// The derivative of the value with respect to the seeded input.
    pub slope: f64,
}

impl Dual {
    /// The input that derivatives are taken with respect to.
    #[must_use]
    pub fn seed(value: f64) -> Self {
        Dual { value, slope: 1.0 }
    }
}

impl Scalar for Dual {
    fn constant(value: f64) -> Self {
        Dual { value, slope: 0.0 }
    }
    fn value(self) -> f64 {
        self.value
    }
    fn chain(self, value: f64, derivative: f64) -> Self {
        // An input that does not vary contributes nothing, even where the derivative is infinite.
        let slope = if self.slope == 0.0 {
            0.0
        } else {
            derivative * self.slope
        };
        Dual { value, slope }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Dual {
            value: self.value + other.value,
            slope: self.slope + other.slope,
        }
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Dual {
            value: self.value - other.value,
            slope: self.slope - other.slope,
        }
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Dual {
            value: self.value * other.value,
            slope: self.slope * other.value + self.value * other.slope,
        }
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        Dual {
            value,
            slope: (self.slope - value * other.slope) / other.value,
        }
    }
}

impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        Dual {
            value: -self.value,
            slope: -self.slope,
        }
    }
}

impl Add<f64> for Dual {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Dual {
            value: self.value + other,
            ..self
        }
    }
}

impl Sub<f64> for Dual {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        Dual {
            value: self.value - other,
            ..self
        }
    }
}

impl Mul<f64> for Dual {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        Dual {
            value: self.value * other,
            slope: self.slope * other,
        }
    }
}

impl Div<f64> for Dual {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        Dual {
            value: self.value / other,
            slope: self.slope / other,
        }
    }
}

impl AddAssign for Dual {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Dual {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}
