//! Indices of how far a cell's reverse sweep differs from its forward sweep. Several are in use, and one pair of sweeps has
//! an index of a few hundredths or of a half, by the formula: always say which.

use crate::scalar::Scalar;

/// A quantity read from both sweeps of a cell.
#[derive(Clone, Copy, Debug)]
pub struct Both<S> {
    /// From low to high voltage.
    pub forward: S,
    /// From high to low voltage.
    pub reverse: S,
}

impl<S: Scalar> Both<S> {
    /// (r − f)/r.
    #[must_use]
    pub fn over_reverse(self) -> S {
        (self.reverse - self.forward) / self.reverse
    }

    /// (r − f)/((r + f)/2).
    #[must_use]
    pub fn over_mean(self) -> S {
        self.over_sum() * 2.0
    }

    /// (r − f)/(r + f).
    #[must_use]
    pub fn over_sum(self) -> S {
        (self.reverse - self.forward) / (self.reverse + self.forward)
    }

    /// f/r.
    #[must_use]
    pub fn ratio(self) -> S {
        self.forward / self.reverse
    }

    /// (r + f)/2.
    #[must_use]
    pub fn mean(self) -> S {
        (self.reverse + self.forward) * 0.5
    }

    /// The larger over the smaller.
    fn apart(self) -> S {
        self.reverse.max(self.forward) / self.reverse.min(self.forward)
    }
}

/// The product, over these quantities, of the larger over the smaller, less one. Where two are equal it has a kink, and the
/// derivative there, zero, says nothing of its uncertainty.
#[must_use]
pub fn product_index<S: Scalar>(quantities: &[Both<S>]) -> S {
    let product = quantities.iter().map(|both| both.apart());
    product.fold(S::constant(1.0), |product, apart| product * apart) - 1.0
}
