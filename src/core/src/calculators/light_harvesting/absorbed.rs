//! The current density of the AM1.5G light that a dyed film absorbs, as a function of its amount of dye.

use std::sync::OnceLock;

use super::harvested;
use crate::calculators::spectra::running;
use crate::light::{am15g, full_response};
use crate::numerics::curve::Curve;
use crate::scalar::Scalar;

/// One electron for every photon of AM1.5G light that is absorbed.
pub(super) struct Absorbed {
    /// Current density and absorption at each wavelength of the integral.
    parts: Vec<(f64, f64)>,
    /// Where it was asked first: at the numbers as entered.
    entered: OnceLock<Node>,
    /// Round there, for a million trials: each whole integral has a thousand exponentials.
    round: OnceLock<Vec<Node>>,
}

/// Current density and its derivative with respect to the amount.
#[derive(Clone, Copy)]
struct Node {
    amount: f64,
    density: f64,
    slope: f64,
}

/// Nodes lie so far apart in the logarithm of the amount.
const APART: f64 = 0.25;
/// Nodes on each side of the number as entered.
const SIDE: i32 = 8;

impl Absorbed {
    /// For a spectrum of absorption per amount; none where there is no sunlight at its wavelengths.
    pub(super) fn new(spectrum: &Curve) -> Option<Absorbed> {
        let here = spectrum.map(|_, _| 1.0);
        let light = running(&[am15g(), &here], &[], full_response)?;
        let x = light.x();
        let last = x.len() - 1;
        let width = |i: usize| (x[(i + 1).min(last)] - x[i.saturating_sub(1)]) / 2.0;
        let densities = light.product().iter().enumerate();
        let densities = densities.map(|(i, product)| product * width(i));
        Some(Absorbed {
            parts: densities.zip(spectrum.sample(x).ok()?).collect(),
            entered: OnceLock::new(),
            round: OnceLock::new(),
        })
    }

    /// The current density with this amount.
    pub(super) fn of<S: Scalar>(&self, amount: S) -> S {
        let here = amount.value();
        let entered = self.entered.get_or_init(|| self.node(here));
        let node = if here == entered.amount {
            *entered
        } else {
            let round = || {
                (-SIDE..=SIDE)
                    .map(|k| self.node(entered.amount * Scalar::exp(f64::from(k) * APART)))
            };
            let round = self.round.get_or_init(|| round().collect());
            between(round, here).unwrap_or_else(|| self.node(here))
        };
        amount.chain(node.density, node.slope)
    }

    fn node(&self, amount: f64) -> Node {
        let (mut density, mut slope) = (0.0, 0.0);
        for (full, absorption) in &self.parts {
            let share = harvested(absorption * amount);
            density += full * share;
            slope += full * absorption * (1.0 - share);
        }
        Node {
            amount,
            density,
            slope: slope * core::f64::consts::LN_10,
        }
    }
}

/// The cubic with the values and slopes of the two nodes round an amount, over its logarithm: off by a hundred
/// thousandth at most, and by nothing where it was asked first.
fn between(nodes: &[Node], amount: f64) -> Option<Node> {
    let right = nodes.iter().position(|node| amount < node.amount)?;
    let (left, right) = (nodes.get(right.checked_sub(1)?)?, nodes.get(right)?);
    let t = Scalar::ln(amount / left.amount) / APART;
    let (rise, s0, s1) = (
        right.density - left.density,
        left.slope * left.amount * APART,
        right.slope * right.amount * APART,
    );
    let (c2, c3) = (3.0 * rise - 2.0 * s0 - s1, s0 + s1 - 2.0 * rise);
    Some(Node {
        amount,
        density: left.density + (s0 + (c2 + c3 * t) * t) * t,
        slope: (s0 + (2.0 * c2 + 3.0 * c3 * t) * t) / (APART * amount),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scalar::Dual;

    #[test]
    fn what_lies_round_the_entered_amount_is_as_good_as_the_integral() {
        let nanometres = [350.0, 400.0, 530.0, 650.0, 800.0];
        let x: Vec<f64> = nanometres.iter().map(|x| x / 1e9).collect();
        let spectrum = Curve::new(&x, &[900.0, 1400.0, 1450.0, 500.0, 0.0]).unwrap();
        let absorbed = Absorbed::new(&spectrum).unwrap();
        let entered = 1e-3;
        let _ = absorbed.of(entered);
        for step in -300..300 {
            let amount = entered * Scalar::exp(f64::from(step) / 100.0);
            let (found, exact) = (absorbed.of(Dual::seed(amount)), absorbed.node(amount));
            assert!((found.value / exact.density - 1.0).abs() < 2e-5, "{amount}");
            assert!((found.slope / exact.slope - 1.0).abs() < 3e-4, "{amount}");
        }
        assert_eq!(absorbed.of(0.0), 0.0);
    }
}
