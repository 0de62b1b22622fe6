//! Draws from the distributions of JCGM 101:2008, 6.4, the same to the last bit everywhere.
//!
//! Random bits come from xoshiro256++. Everything made of them here uses arithmetic and the `libm` crate alone; the
//! usual crate of distributions would use std's functions wherever any other crate of the build switches them on.

use core::f64::consts::TAU;

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use crate::scalar::Scalar;
use crate::uncertainty::{Density, Distribution, Leaf};

/// A source of independent random numbers.
#[derive(Clone, Debug)]
pub(super) struct Random {
    bits: Xoshiro256PlusPlus,
}

impl Random {
    pub(super) fn new(seed: u64) -> Random {
        Random {
            bits: Xoshiro256PlusPlus::seed_from_u64(seed),
        }
    }

    /// A source for the next block. Sources handed out one after the other overlap after 2¹²⁸ numbers only.
    pub(super) fn split(&mut self) -> Random {
        let block = self.clone();
        self.bits.jump();
        block
    }

    /// Uniform in [0, 1): 53 bits.
    fn unit(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
        (self.bits.next_u64() >> 11) as f64 * STEP
    }

    /// Uniform in (0, 1]: its logarithm is finite.
    fn above_zero(&mut self) -> f64 {
        1.0 - self.unit()
    }
}

/// Where the ziggurat's tail begins, for 256 layers (Marsaglia and Tsang, J. Stat. Softw. 5 (2000), issue 8: from
/// memory; a test shows that the layers close).
const TAIL: f64 = 3.654_152_885_361_009;
const LAYERS: usize = 256;

/// The standard normal distribution by the ziggurat method of Marsaglia and Tsang, layer and place in it from
/// different bits.
#[derive(Clone, Debug)]
struct Normal {
    /// Right ends of the layers, from the widest; the last is zero.
    ends: [f64; LAYERS + 1],
    /// exp(−x²/2) there.
    heights: [f64; LAYERS + 1],
}

/// exp(−x²/2).
fn bell(x: f64) -> f64 {
    Scalar::exp(-0.5 * x * x)
}

impl Normal {
    fn new() -> Normal {
        let beyond = (TAU / 4.0).sqrt() * libm::erfc(TAIL * core::f64::consts::FRAC_1_SQRT_2);
        let area = TAIL * bell(TAIL) + beyond;
        let mut ends = [0.0; LAYERS + 1];
        // The base layer holds the tail: a rectangle of the same area is wider than where the tail begins.
        ends[0] = area / bell(TAIL);
        ends[1] = TAIL;
        for layer in 1..LAYERS - 1 {
            let top = area / ends[layer] + bell(ends[layer]);
            ends[layer + 1] = (-2.0 * Scalar::ln(top)).sqrt();
        }
        let heights = ends.map(bell);
        Normal { ends, heights }
    }

    fn draw(&self, random: &mut Random) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 52) as f64;
        loop {
            let bits = random.bits.next_u64();
            let layer = (bits & 0xff) as usize;
            let place = (bits >> 11) as f64 * STEP - 1.0;
            let x = place * self.ends[layer];
            if x.abs() < self.ends[layer + 1] {
                return x;
            }
            if layer == 0 {
                return tail(random).copysign(place);
            }
            let (low, high) = (self.heights[layer], self.heights[layer + 1]);
            if low + (high - low) * random.unit() < bell(x) {
                return x;
            }
        }
    }
}

/// A normal variable given that it is beyond [`TAIL`] (Marsaglia 1964).
fn tail(random: &mut Random) -> f64 {
    loop {
        let beyond = -Scalar::ln(random.above_zero()) / TAIL;
        let height = -Scalar::ln(random.above_zero());
        if 2.0 * height > beyond * beyond {
            return TAIL + beyond;
        }
    }
}

/// What is drawn in a trial: one number, or several that are correlated.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// A number that stays as it is.
    Exact(f64),
    /// An independent number.
    Number {
        /// Its estimate.
        value: f64,
        /// Its standard uncertainty; the scale, for [`Density::StudentT`].
        uncertainty: f64,
        /// What it is drawn from.
        density: Density,
        /// Its degrees of freedom, which [`Density::StudentT`] needs.
        degrees_of_freedom: f64,
    },
    /// Corrections of estimate zero with this covariance: multivariate normal (JCGM 101:2008, 6.4.8), or multivariate t
    /// where the covariance was estimated with a finite number of degrees of freedom.
    Block {
        /// The covariance, one row each; it may be singular.
        covariance: Vec<Vec<f64>>,
        /// Its degrees of freedom.
        degrees_of_freedom: f64,
    },
}

impl From<&Leaf> for Input {
    fn from(leaf: &Leaf) -> Input {
        if leaf.uncertainty > 0.0 {
            Input::Number {
                value: leaf.value,
                uncertainty: leaf.uncertainty,
                density: leaf.density,
                degrees_of_freedom: leaf.degrees_of_freedom,
            }
        } else {
            Input::Exact(leaf.value)
        }
    }
}

impl Input {
    /// A t distribution with two degrees of freedom or fewer has no variance (JCGM 101:2008, 6.4.9.4).
    pub(super) fn has_unbounded_variance(&self) -> bool {
        match self {
            Input::Exact(_) => false,
            Input::Number {
                density,
                degrees_of_freedom,
                ..
            } => *density == Density::StudentT && *degrees_of_freedom <= 2.0,
            Input::Block {
                degrees_of_freedom, ..
            } => *degrees_of_freedom <= 2.0,
        }
    }
}

/// An [`Input`], prepared for drawing.
#[derive(Clone, Debug)]
enum Prepared {
    Exact(f64),
    Normal {
        value: f64,
        scale: f64,
    },
    StudentT {
        value: f64,
        scale: f64,
        gamma: Gamma,
    },
    /// value + first · r₁ + second · r₂, each r uniform between −1 and 1.
    Sum {
        value: f64,
        first: f64,
        second: f64,
    },
    Rectangular {
        value: f64,
        half: f64,
    },
    Arcsine {
        value: f64,
        half: f64,
    },
    Block {
        factor: Vec<Vec<f64>>,
        gamma: Option<Gamma>,
    },
}

impl Prepared {
    fn new(input: &Input) -> Prepared {
        match *input {
            Input::Exact(value) => Prepared::Exact(value),
            Input::Number {
                value,
                uncertainty,
                density,
                degrees_of_freedom,
            } => match density {
                Density::StudentT if degrees_of_freedom.is_finite() => Prepared::StudentT {
                    value,
                    scale: uncertainty,
                    gamma: Gamma::mean_square(degrees_of_freedom),
                },
                Density::Normal | Density::StudentT => Prepared::Normal {
                    value,
                    scale: uncertainty,
                },
                Density::Limited(shape) => limited(value, uncertainty, shape),
            },
            Input::Block {
                ref covariance,
                degrees_of_freedom,
            } => Prepared::Block {
                factor: cholesky(covariance),
                gamma: degrees_of_freedom
                    .is_finite()
                    .then(|| Gamma::mean_square(degrees_of_freedom)),
            },
        }
    }
}

fn limited(value: f64, uncertainty: f64, shape: Distribution) -> Prepared {
    let half = uncertainty * shape.divisor();
    match shape {
        Distribution::Rectangular => Prepared::Rectangular { value, half },
        Distribution::Arcsine => Prepared::Arcsine { value, half },
        Distribution::Triangular => Prepared::Sum {
            value,
            first: 0.5 * half,
            second: 0.5 * half,
        },
        Distribution::Trapezoidal { top } => Prepared::Sum {
            value,
            first: 0.5 * half * (1.0 + top),
            second: 0.5 * half * (1.0 - top),
        },
    }
}

/// L with L·Lᵀ = covariance. What a row has nothing left of, to the last digits, stays zero: corrections that follow
/// from others make a covariance singular.
fn cholesky(covariance: &[Vec<f64>]) -> Vec<Vec<f64>> {
    /// What rounding leaves of a variance that cancels.
    const NOTHING: f64 = 1e-13;
    let size = covariance.len();
    let mut factor = vec![vec![0.0; size]; size];
    for column in 0..size {
        let dot = |factor: &[Vec<f64>], a: usize, b: usize| -> f64 {
            (0..column).map(|k| factor[a][k] * factor[b][k]).sum()
        };
        let variance = covariance[column][column];
        let left = variance - dot(&factor, column, column);
        if left <= NOTHING * variance {
            continue;
        }
        let pivot = left.sqrt();
        factor[column][column] = pivot;
        for row in column + 1..size {
            factor[row][column] = (covariance[row][column] - dot(&factor, row, column)) / pivot;
        }
    }
    factor
}

/// χ²/ν by the method of Marsaglia and Tsang for gamma variables, ACM Trans. Math. Softw. 26 (2000) 363 (from memory; a
/// test compares quantiles).
#[derive(Clone, Copy, Debug)]
struct Gamma {
    /// Exponent of the uniform variable that makes up for a shape raised by one; none where it was not raised.
    raised: Option<f64>,
    d: f64,
    c: f64,
    /// Brings the mean to one.
    scale: f64,
}

impl Gamma {
    /// The mean of ν squares of standard normal variables.
    fn mean_square(degrees_of_freedom: f64) -> Gamma {
        let shape = 0.5 * degrees_of_freedom;
        // The method needs a shape of one or more.
        let raised = (shape < 1.0).then(|| 1.0 / shape);
        let d = (if raised.is_some() { shape + 1.0 } else { shape }) - 1.0 / 3.0;
        Gamma {
            raised,
            d,
            c: 1.0 / (9.0 * d).sqrt(),
            scale: 1.0 / shape,
        }
    }

    fn draw(&self, normal: &Normal, random: &mut Random) -> f64 {
        let gamma = loop {
            let x = normal.draw(random);
            let t = 1.0 + self.c * x;
            if t <= 0.0 {
                continue;
            }
            let v = t * t * t;
            let left = Scalar::ln(random.above_zero());
            if left < 0.5 * x * x + self.d * (1.0 - v + Scalar::ln(v)) {
                break self.d * v;
            }
        };
        let raised = self
            .raised
            .map_or(1.0, |exponent| Scalar::powf(random.above_zero(), exponent));
        gamma * raised * self.scale
    }
}

/// Draws all inputs of a trial.
#[derive(Clone, Debug)]
pub(super) struct Sampler {
    normal: Normal,
    inputs: Vec<Prepared>,
    /// How many numbers a trial is made of.
    size: usize,
}

impl Sampler {
    pub(super) fn new(inputs: &[Input]) -> Sampler {
        let size = |input: &Input| match input {
            Input::Block { covariance, .. } => covariance.len(),
            Input::Exact(_) | Input::Number { .. } => 1,
        };
        Sampler {
            normal: Normal::new(),
            inputs: inputs.iter().map(Prepared::new).collect(),
            size: inputs.iter().map(size).sum(),
        }
    }

    pub(super) fn size(&self) -> usize {
        self.size
    }

    /// Fills in the numbers of one trial, in the order of the inputs.
    pub(super) fn draw(&self, random: &mut Random, into: &mut [f64]) {
        let mut rest = into;
        for input in &self.inputs {
            if let Prepared::Block { factor, gamma } = input {
                let (block, after) = rest.split_at_mut(factor.len());
                self.block(factor, *gamma, random, block);
                rest = after;
            } else if let Some((number, after)) = rest.split_first_mut() {
                *number = self.number(input, random);
                rest = after;
            } else {
                return;
            }
        }
    }

    fn number(&self, input: &Prepared, random: &mut Random) -> f64 {
        let between = |random: &mut Random| 2.0 * random.unit() - 1.0;
        match *input {
            Prepared::Exact(value) => value,
            Prepared::Normal { value, scale } => value + scale * self.normal.draw(random),
            Prepared::StudentT {
                value,
                scale,
                gamma,
            } => {
                let z = self.normal.draw(random);
                value + scale * z / gamma.draw(&self.normal, random).sqrt()
            }
            Prepared::Rectangular { value, half } => value + half * between(random),
            Prepared::Sum {
                value,
                first,
                second,
            } => {
                let shift = first * between(random);
                value + shift + second * between(random)
            }
            Prepared::Arcsine { value, half } => value + half * Scalar::sin(TAU * random.unit()),
            Prepared::Block { .. } => f64::NAN,
        }
    }

    /// L·z, over the root of χ²/ν where the covariance was estimated. Rows are made from the last on, so that each may
    /// stand in the place of its z.
    fn block(
        &self,
        factor: &[Vec<f64>],
        gamma: Option<Gamma>,
        random: &mut Random,
        block: &mut [f64],
    ) {
        for z in block.iter_mut() {
            *z = self.normal.draw(random);
        }
        let spread = gamma.map_or(1.0, |gamma| 1.0 / gamma.draw(&self.normal, random).sqrt());
        for (row, coefficients) in factor.iter().enumerate().rev() {
            let terms = coefficients[..=row].iter().zip(block.iter());
            let sum: f64 = terms.map(|(l, z)| l * z).sum();
            block[row] = sum * spread;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_layers_of_the_ziggurat_close_at_the_top() {
        let normal = Normal::new();
        let area = normal.ends[0] * normal.heights[1];
        let top = area / normal.ends[LAYERS - 1] + normal.heights[LAYERS - 1];
        assert!((top - 1.0).abs() < 1e-9, "{top}");
    }

    #[test]
    fn a_singular_covariance_has_a_factor_without_holes() {
        // The second correction is twice the first; the third has no scatter.
        let covariance = [[1.0, 2.0, 0.0], [2.0, 4.0, 0.0], [0.0, 0.0, 0.0]].map(Vec::from);
        let factor = cholesky(&covariance);
        assert_eq!(
            factor,
            [[1.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.0, 0.0, 0.0]].map(Vec::from)
        );
    }
}
