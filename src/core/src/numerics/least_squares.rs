//! Nonlinear least squares: the parameters for which a model comes closest to observed values.
//!
//! Levenberg–Marquardt with analytic derivatives: at each step the derivatives are factored by Householder QR, a damped
//! step is solved in parameters scaled by the lengths of their columns, and the damping follows from how much of the
//! promised reduction was kept. Parameters may have limits: a step ends at them, and a parameter that is pushed against
//! its limit stands still until it is not.
//!
//! It is our own, not a library's, so that the same points give the same bits natively and as wasm, and because R, which
//! holds the condition number and the covariance, is wanted afterwards.
//!
//! Sources: K. Levenberg, Quart. Appl. Math. 2 (1944) 164; D. W. Marquardt, J. SIAM 11 (1963) 431; scaling by J. J. Moré,
//! Lect. Notes Math. 630 (1978) 105; damping by H. B. Nielsen, IMM-REP-1999-05; end by the relative offset of D. M.
//! Bates and D. G. Watts, Technometrics 23 (1981) 179: all from memory; tested against certified values.

use core::fmt;

use super::polynomial::{dot, reflect};

/// What is fitted: values that follow from parameters, point by point.
pub trait Model {
    /// How many parameters it has.
    fn parameters(&self) -> usize;

    /// Writes the value at each point and the derivatives of the values: all of the first parameter, then all of the
    /// next. Where there is no value it writes not a number, and the fit stays away.
    fn evaluate(&self, parameters: &[f64], values: &mut [f64], slopes: &mut [f64]);
}

/// Why nothing was fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FitError {
    /// Start or limits are not as many as the parameters, or there are none.
    UnequalLengths,
    /// Fewer points than parameters.
    TooFewPoints {
        /// Points that the fit needs.
        needed: usize,
        /// Points that were given.
        given: usize,
    },
    /// An observed value is not a finite number.
    NotFinite {
        /// Which point.
        index: usize,
    },
    /// The model has no value at the parameters to start from.
    NoStart,
}

impl fmt::Display for FitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            FitError::UnequalLengths => f.write_str("Give a start and limits for each parameter."),
            FitError::TooFewPoints { needed, given } => {
                write!(f, "This fit needs at least {needed} points; {given} given.")
            }
            FitError::NotFinite { index } => write!(f, "Point {} needs a number.", index + 1),
            FitError::NoStart => {
                f.write_str("The model has no value where the fit was to start from.")
            }
        }
    }
}

impl std::error::Error for FitError {}

/// Why a fit ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// No change of the parameters can make the sum of squares noticeably smaller.
    Stationary,
    /// What a step could still gain is lost in the rounding of the values.
    Rounding,
    /// No step, however short, kept what it promised: the derivatives are wrong or the values not smooth.
    Stuck,
    /// The limit of steps was reached.
    Exhausted,
}

/// The outcome of a fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The parameters with the least sum of squares that was found.
    pub parameters: Vec<f64>,
    /// Value of the model less observed value, point by point.
    pub residuals: Vec<f64>,
    /// Sum of the squared residuals.
    pub residual_sum: f64,
    /// Points less parameters that are not at a limit.
    pub degrees_of_freedom: usize,
    /// Which parameters are held by a limit.
    pub at_limit: Vec<bool>,
    /// Covariance of the parameters, from the scatter of the points; zero for those at a limit. None where the points
    /// do not determine the parameters or leave no degree of freedom.
    pub covariance: Option<Vec<Vec<f64>>>,
    /// Largest over smallest singular value of the derivatives, each column scaled to length one. Infinite where
    /// the points do not tell the parameters apart.
    pub condition: f64,
    /// The part of the residuals that the parameters could still take away, as a share of the residuals: about how far
    /// the parameters are from the least sum of squares, in terms of their standard uncertainties.
    pub offset: f64,
    /// Why it ended.
    pub ending: Ending,
    /// How often the model was evaluated.
    pub evaluations: usize,
}

impl Fit {
    /// Whether the parameters are those of a least sum of squares, at least of a local one.
    #[must_use]
    pub fn converged(&self) -> bool {
        matches!(self.ending, Ending::Stationary | Ending::Rounding)
    }
}

/// How a fit is run.
#[derive(Clone, Copy, Debug)]
pub struct Options<'a> {
    /// Lowest and highest value of each parameter; empty for none.
    pub limits: &'a [(f64, f64)],
    /// Most evaluations of the model.
    pub evaluations: usize,
    /// It ends when the part of the residuals that the parameters could still take away is shorter than this, as a
    /// share of the residuals.
    pub offset: f64,
    /// How exact the values of the model are, as a share of the observed values.
    pub rounding: f64,
}

impl Default for Options<'_> {
    fn default() -> Self {
        Options {
            limits: &[],
            evaluations: 1000,
            offset: 1e-11,
            rounding: 4.0 * f64::EPSILON,
        }
    }
}

/// Damping at the start, as a share of the squared lengths of the columns.
const FIRST_DAMPING: f64 = 1e-3;
/// A step that keeps less than this of the reduction that it promised is not taken.
const KEPT: f64 = 1e-4;
/// Damping above which a step no longer changes the parameters.
const MOST_DAMPING: f64 = 1e40;

/// Fits the model to the observed values, from this start.
///
/// # Errors
/// See [`FitError`]. A fit that did not converge is none: see [`Fit::ending`].
pub fn fit(
    model: &impl Model,
    observed: &[f64],
    start: &[f64],
    options: Options<'_>,
) -> Result<Fit, FitError> {
    let count = model.parameters();
    let limits = options.limits;
    if count == 0 || start.len() != count || !(limits.is_empty() || limits.len() == count) {
        return Err(FitError::UnequalLengths);
    }
    if observed.len() < count {
        return Err(FitError::TooFewPoints {
            needed: count,
            given: observed.len(),
        });
    }
    if let Some(index) = observed.iter().position(|y| !y.is_finite()) {
        return Err(FitError::NotFinite { index });
    }
    let mut here = State::new(count, observed.len());
    here.parameters.copy_from_slice(start);
    clamp(&mut here.parameters, limits);
    if !here.evaluate(model, observed) {
        return Err(FitError::NoStart);
    }
    let mut there = here.clone();
    let mut tangent = Tangent::new(count, observed.len());
    let mut evaluations = 1;
    let mut damping = FIRST_DAMPING;
    let mut harder = 2.0;
    let rounding = options.rounding * dot(observed, observed).sqrt();

    tangent.factor(&here, limits);
    let ending = loop {
        if tangent.gain().sqrt() <= options.offset * here.sum.sqrt() {
            break Ending::Stationary;
        }
        if here.sum.sqrt() <= rounding {
            break Ending::Rounding;
        }
        if evaluations >= options.evaluations {
            break Ending::Exhausted;
        }
        tangent.step(damping);
        for (place, (x, h)) in there
            .parameters
            .iter_mut()
            .zip(here.parameters.iter().zip(&tangent.step))
        {
            *place = x + h;
        }
        clamp(&mut there.parameters, limits);
        let promised = tangent.promised(&here.parameters, &there.parameters);
        evaluations += 1;
        let better = there.evaluate(model, observed);
        let kept = (here.sum - there.sum) / promised;
        if better && promised > 0.0 && kept > KEPT {
            core::mem::swap(&mut here, &mut there);
            let off = 2.0 * kept - 1.0;
            damping *= (1.0 - off * off * off).max(1.0 / 3.0);
            harder = 2.0;
            tangent.factor(&here, limits);
        } else {
            // Where the whole gain in reach is below what rounding does to the sum, the sum tells nothing more. The gain
            // itself still does.
            let gain = tangent.gain();
            if gain <= 2.0 * rounding * here.sum.sqrt() {
                if better {
                    tangent.factor(&there, limits);
                    if tangent.gain() < 0.5 * gain {
                        core::mem::swap(&mut here, &mut there);
                        damping = 0.0;
                        continue;
                    }
                    tangent.factor(&here, limits);
                }
                break Ending::Rounding;
            }
            damping = damping.max(f64::EPSILON) * harder;
            harder *= 2.0;
            if damping > MOST_DAMPING {
                break Ending::Stuck;
            }
        }
    };
    Ok(tangent.outcome(here, ending, evaluations))
}

fn clamp(parameters: &mut [f64], limits: &[(f64, f64)]) {
    for (x, (low, high)) in parameters.iter_mut().zip(limits) {
        *x = x.max(*low).min(*high);
    }
}

/// Whether a parameter is at a limit and this direction leads out of it, or nowhere.
fn leads_out(parameter: f64, limits: Option<&(f64, f64)>, direction: f64) -> bool {
    limits.is_some_and(|(low, high)| {
        (parameter <= *low && direction <= 0.0) || (parameter >= *high && direction >= 0.0)
    })
}

/// Parameters and what the model makes of them.
#[derive(Clone)]
struct State {
    parameters: Vec<f64>,
    residuals: Vec<f64>,
    slopes: Vec<f64>,
    sum: f64,
}

impl State {
    fn new(count: usize, points: usize) -> State {
        State {
            parameters: vec![0.0; count],
            residuals: vec![0.0; points],
            slopes: vec![0.0; count * points],
            sum: f64::INFINITY,
        }
    }

    /// Whether the model has values here.
    fn evaluate(&mut self, model: &impl Model, observed: &[f64]) -> bool {
        model.evaluate(&self.parameters, &mut self.residuals, &mut self.slopes);
        for (residual, observed) in self.residuals.iter_mut().zip(observed) {
            *residual -= observed;
        }
        self.sum = dot(&self.residuals, &self.residuals);
        self.sum.is_finite() && self.slopes.iter().all(|slope| slope.is_finite())
    }
}

/// The linear problem that stands for the model near the parameters: R and Qᵀr of the free parameters.
struct Tangent {
    points: usize,
    /// Which parameters are free, ascending.
    free: Vec<usize>,
    at_limit: Vec<bool>,
    /// Greatest length so far of each parameter's column.
    scale: Vec<f64>,
    /// Column by column, `points` each: on and above the diagonal of the first rows, R.
    r: Vec<f64>,
    /// Qᵀr.
    rotated: Vec<f64>,
    reflector: Vec<f64>,
    /// The damped step, one entry a parameter.
    step: Vec<f64>,
}

impl Tangent {
    fn new(count: usize, points: usize) -> Tangent {
        Tangent {
            points,
            free: Vec::with_capacity(count),
            at_limit: vec![false; count],
            scale: vec![0.0; count],
            r: Vec::with_capacity(count * points),
            rotated: Vec::with_capacity(points),
            reflector: vec![0.0; points],
            step: vec![0.0; count],
        }
    }

    /// Factors the derivatives of the free parameters. One is held at its limit where the sum grows off it, and where the
    /// step to the least of the linear problem would lead out.
    fn factor(&mut self, state: &State, limits: &[(f64, f64)]) {
        let columns = state.slopes.chunks_exact(self.points);
        for (index, column) in columns.enumerate() {
            self.scale[index] = self.scale[index].max(dot(column, column).sqrt());
            let downhill = -dot(column, &state.residuals);
            self.at_limit[index] = leads_out(state.parameters[index], limits.get(index), downhill);
        }
        loop {
            self.free.clear();
            self.r.clear();
            for (index, column) in state.slopes.chunks_exact(self.points).enumerate() {
                if !self.at_limit[index] {
                    self.free.push(index);
                    self.r.extend_from_slice(column);
                }
            }
            self.rotated.clear();
            self.rotated.extend_from_slice(&state.residuals);
            triangularise(
                &mut self.r,
                self.points,
                &mut self.rotated,
                &mut self.reflector,
            );
            self.step(f64::EPSILON);
            let mut held = false;
            for &index in &self.free {
                let out = leads_out(state.parameters[index], limits.get(index), self.step[index]);
                self.at_limit[index] = out;
                held |= out;
            }
            if !held {
                return;
            }
        }
    }

    fn r(&self, row: usize, column: usize) -> f64 {
        self.r[column * self.points + row]
    }

    /// By how much the sum would fall at the least of the linear problem.
    fn gain(&self) -> f64 {
        let taken = &self.rotated[..self.free.len()];
        dot(taken, taken)
    }

    /// Solves R h = −Qᵀr, damped by √damping times the scale of each parameter.
    fn step(&mut self, damping: f64) {
        let count = self.free.len();
        let rows = 2 * count;
        let mut matrix = vec![0.0; rows * count];
        let mut right = vec![0.0; rows];
        let root = damping.sqrt();
        for (k, &index) in self.free.iter().enumerate() {
            for row in 0..=k {
                matrix[k * rows + row] = self.r(row, k);
            }
            let scale = self.scale[index];
            matrix[k * rows + count + k] = root * if scale > 0.0 { scale } else { 1.0 };
            right[k] = -self.rotated[k];
        }
        let mut reflector = vec![0.0; rows];
        triangularise(&mut matrix, rows, &mut right, &mut reflector);
        self.step.fill(0.0);
        for k in (0..count).rev() {
            let known: f64 = (k + 1..count)
                .map(|column| matrix[column * rows + k] * self.step[self.free[column]])
                .sum();
            self.step[self.free[k]] = (right[k] - known) / matrix[k * rows + k];
        }
    }

    /// By how much the sum would fall on the way from here to there if the model were linear.
    fn promised(&self, here: &[f64], there: &[f64]) -> f64 {
        let mut left = 0.0;
        for row in 0..self.free.len() {
            let moved: f64 = (row..self.free.len())
                .map(|k| self.r(row, k) * (there[self.free[k]] - here[self.free[k]]))
                .sum();
            left += (self.rotated[row] + moved) * (self.rotated[row] + moved);
        }
        self.gain() - left
    }

    fn outcome(self, state: State, ending: Ending, evaluations: usize) -> Fit {
        let degrees_of_freedom = self.points - self.free.len();
        let mut fit = Fit {
            parameters: state.parameters,
            residuals: state.residuals,
            residual_sum: state.sum,
            degrees_of_freedom,
            covariance: None,
            condition: self.condition(),
            offset: (self.gain() / state.sum).sqrt(),
            at_limit: self.at_limit.clone(),
            ending,
            evaluations,
        };
        if degrees_of_freedom > 0 && fit.condition.is_finite() {
            let variance = fit.residual_sum / degrees_of_freedom as f64;
            fit.covariance = Some(self.covariance(variance, fit.parameters.len()));
        }
        fit
    }

    /// variance · (RᵀR)⁻¹ = variance · R⁻¹ R⁻ᵀ.
    fn covariance(&self, variance: f64, parameters: usize) -> Vec<Vec<f64>> {
        let count = self.free.len();
        // Column by column.
        let mut inverse: Vec<Vec<f64>> = Vec::with_capacity(count);
        for column in 0..count {
            let mut x = vec![0.0; count];
            x[column] = 1.0 / self.r(column, column);
            for row in (0..column).rev() {
                let known: f64 = (row + 1..=column).map(|k| self.r(row, k) * x[k]).sum();
                x[row] = -known / self.r(row, row);
            }
            inverse.push(x);
        }
        let mut covariance = vec![vec![0.0; parameters]; parameters];
        for (a, &row) in self.free.iter().enumerate() {
            for (b, &column) in self.free.iter().enumerate() {
                let product: f64 = inverse.iter().map(|x| x[a] * x[b]).sum();
                covariance[row][column] = variance * product;
            }
        }
        covariance
    }

    /// Condition number of R with columns of length one, by one-sided Jacobi rotations.
    fn condition(&self) -> f64 {
        let count = self.free.len();
        let mut columns: Vec<Vec<f64>> = Vec::with_capacity(count);
        for k in 0..count {
            let column: Vec<f64> = (0..count)
                .map(|row| if row <= k { self.r(row, k) } else { 0.0 })
                .collect();
            let length = dot(&column, &column).sqrt();
            columns.push(column.iter().map(|entry| entry / length).collect());
        }
        for _ in 0..MOST_SWEEPS {
            let mut turned = false;
            for a in 0..count {
                for b in a + 1..count {
                    turned |= rotate(&mut columns, a, b);
                }
            }
            if !turned {
                break;
            }
        }
        let values = || columns.iter().map(|column| dot(column, column).sqrt());
        let largest = values().fold(1.0, f64::max);
        let smallest = values().fold(largest, f64::min);
        // A column of zeros has made its length not a number.
        if values().all(f64::is_finite) && smallest > self.points as f64 * f64::EPSILON * largest {
            largest / smallest
        } else {
            f64::INFINITY
        }
    }
}

/// More than Jacobi's method needs for any number of parameters that makes sense.
const MOST_SWEEPS: usize = 60;

/// Turns two columns until they are at right angles; whether they were not.
fn rotate(columns: &mut [Vec<f64>], a: usize, b: usize) -> bool {
    let (first, second) = columns.split_at_mut(b);
    let (Some(left), Some(right)) = (first.get_mut(a), second.first_mut()) else {
        return false;
    };
    let along = dot(left, right);
    let (aa, bb) = (dot(left, left), dot(right, right));
    // Not a number is no reason to turn.
    let turned = along.abs() > f64::EPSILON * (aa * bb).sqrt();
    if turned {
        let zeta = (bb - aa) / (2.0 * along);
        let tangent = 1.0_f64.copysign(zeta) / (zeta.abs() + (1.0 + zeta * zeta).sqrt());
        let cosine = 1.0 / (1.0 + tangent * tangent).sqrt();
        let sine = cosine * tangent;
        for (x, y) in left.iter_mut().zip(right.iter_mut()) {
            (*x, *y) = (cosine * *x - sine * *y, sine * *x + cosine * *y);
        }
    }
    turned
}

/// Turns the columns of a matrix into R, and the right-hand side along with them. `reflector` is room for one column.
fn triangularise(matrix: &mut [f64], rows: usize, right: &mut [f64], reflector: &mut [f64]) {
    for k in 0..matrix.len() / rows {
        let below = &matrix[k * rows + k..(k + 1) * rows];
        let length = dot(below, below).sqrt();
        if length == 0.0 {
            continue;
        }
        reflector[..k].fill(0.0);
        for (v, x) in reflector[k..].iter_mut().zip(below) {
            *v = x / length;
        }
        reflector[k] += 1.0_f64.copysign(reflector[k]);
        // Its squared length is twice its first entry.
        let norm = reflector[k].abs().sqrt();
        for v in &mut reflector[k..] {
            *v /= norm;
        }
        for column in matrix.chunks_exact_mut(rows).skip(k) {
            reflect(reflector, k, column);
        }
        reflect(reflector, k, right);
    }
}
