//! # What it does
//! Propagates distributions instead of uncertainties: draws all inputs at random, computes the result from each set of
//! draws, and reads mean, standard uncertainty and coverage intervals from the results. It is a second opinion on the
//! law of propagation and says whether that is valid.
//!
//! # Formulas
//! Clauses are those of JCGM 101:2008. Draws: rectangular 6.4.2, trapezoidal 6.4.4, triangular 6.4.5, arcsine 6.4.6,
//! normal 6.4.7, multivariate normal by a Cholesky factor 6.4.8, scaled and shifted t 6.4.9. Mean and standard
//! uncertainty: 7.6. Of M sorted values, the probabilistically symmetric 95 % interval runs from number r to number
//! r + q with q = ⌊0.95 M + ½⌋ and r = ⌈(M − q)/2⌉; the shortest, with the r for which it is shortest: 7.7.2, 7.7.3,
//! terms in 5.3.4.
//!
//! Adaptive number of draws, 7.9: blocks of M = max(⌈100/(1 − p)⌉, 10⁴) = 10⁴; it stops when twice the standard
//! deviations of the averages, over the blocks, of mean, standard uncertainty and both ends of the symmetric interval
//! are all within the numerical tolerance δ = ½·10ˡ, where u = c·10ˡ and c has one or two digits. Results come from all
//! values.
//!
//! Verdict, clause 8: first order is valid for these digits where d_low = |y − U − y_low| and d_high = |y + U − y_high|
//! are within δ. U is that of 95 %, 1.96·u or t·u, since both intervals must have one probability. Where twice the
//! standard error of the ends leaves it open on which side of δ a difference lies, the verdict is that these draws are
//! too few.
//!
//! # Assumptions
//! Leaves are independent of each other; what is shared is one leaf. Corrections of a fit whose covariance was
//! estimated from ν degrees of freedom are multivariate t: the normal ones over √(χ²/ν). Root solves and straight lines
//! are done again in each trial, because the formula itself is. What cannot be – a number outside the range of its field, a
//! formula that refuses, a result that is not finite – is left out and drawn again, so that the distribution is that of
//! possible values; it is counted, and when more than half of the first block's trials are impossible, the run stops.
//!
//! Up to 10⁶ values are sorted at once (8 MB). Of more, the interval ends of batches of 10⁶ are averaged, as 7.9.4 does
//! with its blocks; mean and standard uncertainty are those of all values.
//!
//! Same seed, same bits, natively and as wasm: block b has its own stream of random numbers (the generator's state after b
//! jumps of 2¹²⁸ from the seed), and elementary functions are those of the `libm` crate.
//!
//! # Sources
//! JCGM 101:2008 (clause numbers and procedures from memory; its examples are tested). Generator: xoshiro256++, Blackman
//! and Vigna, ACM Trans. Math. Softw. 47 (2021) 36, by the crate `rand_xoshiro`. Normal variables: ziggurat, Marsaglia and
//! Tsang, J. Stat. Softw. 5 (2000), issue 8. Gamma variables: Marsaglia and Tsang, ACM Trans. Math. Softw. 26 (2000) 363.

mod draw;
mod outcome;
mod tally;

pub use draw::Input;
pub use outcome::{
    Agreement, Comparison, FirstOrder, Histogram, Interval, LeftOut, Outcome, StandardErrors,
    Verdict, numerical_tolerance,
};

use core::fmt;

use self::draw::{Random, Sampler};
use self::tally::Tally;

/// Draws in a block (JCGM 101:2008, 7.9.4 a).
pub const BLOCK: usize = 10_000;

/// The most draws of a run.
pub const MOST: u64 = 10_000_000;

/// How many draws are wanted. Draws come in whole blocks of [`BLOCK`], at least one, at most [`MOST`] draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Draws {
    /// So many.
    Fixed(u64),
    /// As many as the numerical tolerance needs.
    Adaptive {
        /// Significant digits of the standard uncertainty that shall hold: 1 or 2.
        digits: u8,
        /// But no more than this.
        most: u64,
    },
}

impl Draws {
    /// A million.
    pub const DEFAULT: Draws = Draws::Fixed(1_000_000);

    fn blocks(self) -> u64 {
        let (Draws::Fixed(draws) | Draws::Adaptive { most: draws, .. }) = self;
        draws.clamp(1, MOST).div_ceil(BLOCK as u64)
    }
}

/// How far a run is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Draws made.
    pub draws: u64,
    /// Draws that there will be at most.
    pub most: u64,
    /// Whether nothing is left to do.
    pub finished: bool,
}

/// Why a run has no outcome.
#[derive(Clone, Debug, PartialEq)]
pub enum Stopped {
    /// More than half of the trials of the first block are impossible.
    Impossible(LeftOut),
    /// It was asked for before the first block.
    NoDraws,
}

impl fmt::Display for Stopped {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stopped::Impossible(left_out) => write!(
                out,
                "More than half of the trials are impossible (the first: {}); their distribution would say little. \
                 Look at the uncertainties of the entries.",
                left_out.first.as_deref().unwrap_or_default()
            ),
            Stopped::NoDraws => out.write_str("There are no draws yet."),
        }
    }
}

impl core::error::Error for Stopped {}

/// A run in progress, of any model: a function from the numbers drawn, in the order of the inputs, to a result, or to a
/// reason why these numbers are impossible.
#[derive(Clone, Debug)]
pub struct Run {
    seed: u64,
    wanted: Draws,
    first_order: FirstOrder,
    unbounded_variance: bool,
    sampler: Sampler,
    random: Random,
    tally: Tally,
    left_out: LeftOut,
    drawn: Vec<f64>,
    block: Vec<f64>,
}

impl Run {
    /// A run that begins.
    #[must_use]
    pub fn new(inputs: &[Input], first_order: FirstOrder, seed: u64, wanted: Draws) -> Run {
        let sampler = Sampler::new(inputs);
        Run {
            seed,
            wanted,
            first_order,
            unbounded_variance: inputs.iter().any(Input::has_unbounded_variance),
            drawn: vec![0.0; sampler.size()],
            sampler,
            random: Random::new(seed),
            tally: Tally::default(),
            left_out: LeftOut::default(),
            block: Vec::with_capacity(BLOCK),
        }
    }

    /// Runs one block, unless nothing is left to do; `say` makes a sentence of a reason why a trial is impossible.
    ///
    /// # Errors
    /// [`Stopped::Impossible`].
    pub fn step<E>(
        &mut self,
        model: impl FnMut(&[f64]) -> Result<f64, E>,
        say: impl Fn(E) -> String,
    ) -> Result<Progress, Stopped> {
        if !self.progress().finished {
            self.run_block(model, say)?;
        }
        Ok(self.progress())
    }

    fn run_block<E>(
        &mut self,
        mut model: impl FnMut(&[f64]) -> Result<f64, E>,
        say: impl Fn(E) -> String,
    ) -> Result<(), Stopped> {
        let mut random = self.random.split();
        let first_block = self.tally.count() == 0;
        self.block.clear();
        while self.block.len() < BLOCK {
            self.sampler.draw(&mut random, &mut self.drawn);
            self.left_out.attempts += 1;
            let refused = match model(&self.drawn) {
                Ok(value) if value.is_finite() => {
                    self.block.push(value);
                    continue;
                }
                Ok(_) => None,
                Err(reason) => Some(reason),
            };
            self.left_out.count += 1;
            if self.left_out.first.is_none() {
                let infinite = || String::from("the result is not a finite number.");
                self.left_out.first = Some(refused.map_or_else(infinite, &say));
            }
            if first_block && self.left_out.count > BLOCK as u64 {
                return Err(Stopped::Impossible(self.left_out.clone()));
            }
        }
        self.tally.add(&mut self.block);
        Ok(())
    }

    /// How far it is.
    #[must_use]
    pub fn progress(&self) -> Progress {
        let most = self.wanted.blocks() * BLOCK as u64;
        let draws = self.tally.count();
        Progress {
            draws,
            most,
            finished: draws >= most || self.tolerance_reached(),
        }
    }

    fn tolerance_reached(&self) -> bool {
        match self.wanted {
            Draws::Fixed(_) => false,
            Draws::Adaptive { digits, .. } => {
                let wanted = numerical_tolerance(self.tally.uncertainty(), digits);
                self.tally.errors().tolerance() <= wanted
            }
        }
    }

    /// What the draws so far give.
    ///
    /// # Errors
    /// [`Stopped::NoDraws`] before the first block.
    pub fn finish(self) -> Result<Outcome, Stopped> {
        let complete = match self.wanted {
            Draws::Fixed(_) => self.progress().finished,
            Draws::Adaptive { .. } => self.tolerance_reached(),
        };
        let (draws, mean, uncertainty) = (
            self.tally.count(),
            self.tally.mean(),
            self.tally.uncertainty(),
        );
        let errors = self.tally.errors();
        let (intervals, histogram) = self.tally.finish().ok_or(Stopped::NoDraws)?;
        let symmetric = intervals.symmetric;
        Ok(Outcome {
            seed: self.seed,
            wanted: self.wanted,
            draws,
            complete,
            mean,
            uncertainty,
            symmetric,
            shortest: intervals.shortest,
            errors,
            histogram,
            first_order: self.first_order,
            verdict: Verdict::new(&self.first_order, symmetric, uncertainty, &errors),
            left_out: self.left_out,
            fit_linearised: false,
            unbounded_variance: self.unbounded_variance,
        })
    }
}
