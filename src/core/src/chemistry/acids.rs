//! Monoprotic acids and bases in water: the balance of charges, with water's own ions and activity coefficients.
//!
//! An acid and a base are one equation with the roles of H⁺ and OH⁻ exchanged. With x the concentration of the ion that
//! the solute brings (H⁺ of an acid, OH⁻ of a base) over 1 mol/L, γ the activity coefficient of single charges, K_w and K
//! the constants of water and of the acid or base: x = K_w/(γ²·x) + c for a strong one,
//! x = K_w/(γ²·x) + c·K/(K + γ²·x) for a weak one. The ionic strength is x and that of other salts.

use crate::numerics::root::{Equation, RootError, solve};
use crate::problem::{Source, derived, memory};
use crate::scalar::Scalar;

/// 1 mol/L, in mol/m³: what concentrations are counted in for activities and constants.
pub const STANDARD: f64 = 1e3;
/// pK_w at 25 °C, rounded to two decimals.
pub const WATER_PK: f64 = 14.0;
/// Where [`WATER_PK`] comes from.
pub const WATER_SOURCE: Source = memory("pKw of water: 14.00 at 25 °C, 14.17 at 20 °C");
/// The constant A of the Davies equation for water at 25 °C, (L/mol)^½.
const DAVIES_A: f64 = 0.509;
const DAVIES_B: f64 = 0.3;
/// Up to which ionic strength the Davies equation serves, over 1 mol/L.
pub const DAVIES_LIMIT: f64 = 0.5;
/// Where the Davies equation comes from.
pub const DAVIES_SOURCE: Source = memory(
    "C. W. Davies, Ion Association, 1962: A = 0.509 in water at 25 °C, up to about 0.5 mol/L",
);
/// Where the balance comes from.
pub const BALANCE: Source =
    derived("balance of charges, conservation of the solute and the constants of equilibrium");

/// Activity coefficient of an ion by the Davies equation, from its charge and the ionic strength over 1 mol/L.
#[must_use]
pub fn davies<S: Scalar>(charge: i32, ionic_strength: S) -> S {
    let root = ionic_strength.sqrt();
    let term = root / (root + 1.0) - ionic_strength * DAVIES_B;
    let z = f64::from(charge);
    (term * (-DAVIES_A * z * z * core::f64::consts::LN_10)).exp()
}

/// What dissolves: how much of it becomes ions.
#[derive(Clone, Copy, Debug)]
pub enum Strength<S> {
    /// All of it.
    Strong,
    /// As far as the constant of equilibrium says: of an acid K_a, of a base K_b.
    Weak(S),
}

/// The water that an acid or base is in.
#[derive(Clone, Copy, Debug)]
pub struct Water<S> {
    /// K_w, the product of the activities of H⁺ and OH⁻.
    pub product: S,
    /// Ionic strength of other salts, over 1 mol/L.
    pub salts: S,
    /// Whether activity coefficients differ from 1.
    pub davies: bool,
}

/// Ions in an acid or a base, over 1 mol/L.
#[derive(Clone, Copy, Debug)]
pub struct Ions<S> {
    /// The ion that the solute brings: H⁺ of an acid, OH⁻ of a base.
    pub own: S,
    /// The other ion of water.
    pub other: S,
    /// Activity coefficient of single charges.
    pub coefficient: S,
    /// Ionic strength.
    pub strength: S,
}

impl<S: Scalar> Water<S> {
    fn coefficient(&self, own: S) -> S {
        if self.davies {
            davies(1, own + self.salts)
        } else {
            S::constant(1.0)
        }
    }

    fn ions(&self, own: S) -> Ions<S> {
        let coefficient = self.coefficient(own);
        Ions {
            own,
            other: self.product / (coefficient.squared() * own),
            coefficient,
            strength: own + self.salts,
        }
    }

    /// The ions that so much of a solute gives, its concentration over 1 mol/L.
    ///
    /// # Errors
    /// [`RootError`] far outside the validity of the Davies equation.
    pub fn ions_of(&self, solute: S, strength: Strength<S>) -> Result<Ions<S>, RootError> {
        let pure = self.product.value().sqrt();
        // Without activity coefficients the root is at least that of water; they move it by much less than this.
        let low = libm::log(pure) - SLACK;
        let high = libm::log(solute.value() + pure) + SLACK;
        let (weak, constant) = match strength {
            Strength::Strong => (false, S::constant(1.0)),
            Strength::Weak(constant) => (true, constant),
        };
        let balance = Balance {
            weak,
            davies: self.davies,
        };
        let parameters = [self.product, self.salts, solute, constant];
        let own = solve(&balance, &parameters, (low, high), 0.0)?.exp();
        Ok(self.ions(own))
    }

    /// The ions at an activity of the solute's own ion, over 1 mol/L.
    ///
    /// # Errors
    /// [`RootError`] far outside the validity of the Davies equation.
    pub fn ions_at(&self, activity: S) -> Result<Ions<S>, RootError> {
        if !self.davies {
            return Ok(self.ions(activity));
        }
        let middle = libm::log(activity.value());
        let bracket = (middle - SLACK, middle + SLACK);
        let own = solve(&Activity, &[activity, self.salts], bracket, 0.0)?.exp();
        Ok(self.ions(own))
    }
}

impl<S: Scalar> Ions<S> {
    /// How much solute gives these ions, its concentration over 1 mol/L; negative where none could.
    pub fn solute(&self, strength: Strength<S>) -> S {
        (self.own - self.other) / self.dissociated(strength)
    }

    /// The share of the solute that is ions.
    pub fn dissociated(&self, strength: Strength<S>) -> S {
        match strength {
            Strength::Strong => S::constant(1.0),
            Strength::Weak(constant) => {
                constant / (constant + self.coefficient.squared() * self.own)
            }
        }
    }
}

/// How far, as a natural logarithm, activity coefficients may move a root.
const SLACK: f64 = 3.0;

/// The balance of charges over x, for the logarithm of x: roots from 1e-8 to 10 are found alike.
struct Balance {
    weak: bool,
    davies: bool,
}

impl Equation<4> for Balance {
    fn residual<S: Scalar>(&self, ln_own: S, &[product, salts, solute, constant]: &[S; 4]) -> S {
        let own = ln_own.exp();
        let water = Water {
            product,
            salts,
            davies: self.davies,
        };
        let squared = water.coefficient(own).squared();
        let brought = if self.weak {
            solute * constant / (constant + squared * own)
        } else {
            solute
        };
        -(product / (squared * own) + brought) / own + 1.0
    }
}

/// The activity of an ion, for the logarithm of its concentration.
struct Activity;

impl Equation<2> for Activity {
    fn residual<S: Scalar>(&self, ln_own: S, &[activity, salts]: &[S; 2]) -> S {
        let own = ln_own.exp();
        davies(1, own + salts) * own / activity - 1.0
    }
}
