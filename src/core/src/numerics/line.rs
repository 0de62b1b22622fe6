//! Straight line by weighted least squares.
//!
//! Model: y = a + b x, or y = b x through the origin, minimising Σ w (y − a − b x)². Sums are taken about the
//! weighted means, so a common offset of x or y costs no digits.
//!
//! Weights are 1/u² of each y, or an empty slice for equal weights. x is taken as free of error for the
//! *choice* of the line; a derivative that x carries still propagates.
//!
//! Sources: JCGM 100:2008 clause H.3 (line by least squares, covariance); the interval formulas are those of
//! any textbook of linear regression.

use core::fmt;

use super::sample::{Centre, mean, weight};
use super::student::{f_survival, t_quantile};
use crate::scalar::Scalar;

/// A straight line y = intercept + slope · x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line<S> {
    /// y at x = 0.
    pub intercept: S,
    /// Change of y per change of x.
    pub slope: S,
}

impl<S: Scalar> Line<S> {
    /// The line's y at this x.
    #[must_use]
    pub fn at(&self, x: S) -> S {
        self.intercept + self.slope * x
    }

    /// The x at which the line reaches this y. Not finite for a level line.
    #[must_use]
    pub fn inverse(&self, y: S) -> S {
        (y - self.intercept) / self.slope
    }
}

/// Why no line could be fitted. Indices count from zero in the slices given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineError {
    /// Fewer points than the line has parameters.
    TooFewPoints {
        /// Points that the line needs.
        needed: usize,
        /// Points that were given.
        given: usize,
    },
    /// x, y and weights differ in number.
    UnequalLengths,
    /// Every x is the same, so no slope is defined.
    AllSameAbscissa,
    /// Every x is zero, so a line through the origin has no slope.
    AllZeroAbscissa,
    /// A weight is zero, negative or not finite.
    BadWeight {
        /// Which point.
        index: usize,
    },
    /// x or y of a point is not a finite number.
    NotFinite {
        /// Which point.
        index: usize,
    },
    /// The squares of the numbers leave the range of floating point.
    OutOfRange,
}

impl fmt::Display for LineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            LineError::TooFewPoints { needed, given } => {
                write!(f, "A line needs at least {needed} points; {given} given.")
            }
            LineError::UnequalLengths => {
                f.write_str("Enter as many y values and weights as x values.")
            }
            LineError::AllSameAbscissa => {
                f.write_str("All points have the same x. Enter points at two or more different x.")
            }
            LineError::AllZeroAbscissa => {
                f.write_str("All points have x = 0. Enter at least one point at another x.")
            }
            LineError::BadWeight { index } => write!(
                f,
                "The weight of point {} must be a number above zero.",
                index + 1
            ),
            LineError::NotFinite { index } => {
                write!(f, "Point {} needs a number for x and for y.", index + 1)
            }
            LineError::OutOfRange => {
                f.write_str("The numbers are too large or too close together for a fit.")
            }
        }
    }
}

impl std::error::Error for LineError {}

/// Fits y = a + b x. An empty `weights` means equal weights.
///
/// # Errors
/// When no line is defined by the points: see [`LineError`].
pub fn fit<S: Scalar>(x: &[S], y: &[S], weights: &[f64]) -> Result<Line<S>, LineError> {
    check(x, y, weights, 2)?;
    if x.iter().all(|v| v.value() == x[0].value()) {
        return Err(LineError::AllSameAbscissa);
    }
    let x_centre = Centre::of(x, weights);
    let y_centre = Centre::of(y, weights);
    let mut xx = S::constant(0.0);
    let mut xy = S::constant(0.0);
    for (i, (&x, &y)) in x.iter().zip(y).enumerate() {
        let dx = x_centre.distance(x);
        xx += dx * dx * weight(weights, i);
        xy += dx * y_centre.distance(y) * weight(weights, i);
    }
    let slope = ratio(xy, xx)?;
    let intercept = in_range(y_centre.mean() - slope * x_centre.mean())?;
    Ok(Line { intercept, slope })
}

/// Fits y = b x and returns b. An empty `weights` means equal weights.
///
/// # Errors
/// When no line is defined by the points: see [`LineError`].
pub fn fit_through_origin<S: Scalar>(x: &[S], y: &[S], weights: &[f64]) -> Result<S, LineError> {
    check(x, y, weights, 1)?;
    if x.iter().all(|v| v.value() == 0.0) {
        return Err(LineError::AllZeroAbscissa);
    }
    let mut xx = S::constant(0.0);
    let mut xy = S::constant(0.0);
    for (i, (&x, &y)) in x.iter().zip(y).enumerate() {
        xx += x * x * weight(weights, i);
        xy += x * y * weight(weights, i);
    }
    ratio(xy, xx)
}

fn check<S: Scalar>(x: &[S], y: &[S], weights: &[f64], needed: usize) -> Result<(), LineError> {
    if y.len() != x.len() || !(weights.is_empty() || weights.len() == x.len()) {
        return Err(LineError::UnequalLengths);
    }
    if x.len() < needed {
        let given = x.len();
        return Err(LineError::TooFewPoints { needed, given });
    }
    for (index, (x, y)) in x.iter().zip(y).enumerate() {
        if !x.value().is_finite() || !y.value().is_finite() {
            return Err(LineError::NotFinite { index });
        }
    }
    match weights.iter().position(|w| !(w.is_finite() && *w > 0.0)) {
        Some(index) => Err(LineError::BadWeight { index }),
        None => Ok(()),
    }
}

/// A slope from its sums, unless one of them has left the range of floating point on the way.
fn ratio<S: Scalar>(xy: S, xx: S) -> Result<S, LineError> {
    if xx.value().is_normal() {
        in_range(xy / xx)
    } else {
        Err(LineError::OutOfRange)
    }
}

fn in_range<S: Scalar>(result: S) -> Result<S, LineError> {
    if result.value().is_finite() {
        Ok(result)
    } else {
        Err(LineError::OutOfRange)
    }
}

/// How well a fitted line describes its points.
#[derive(Clone, Debug, PartialEq)]
pub struct LineStatistics {
    /// y minus the line, point by point.
    pub residuals: Vec<f64>,
    /// Σ w r². With weights 1/u² this is the observed chi-squared.
    pub residual_sum: f64,
    /// Points less two.
    pub degrees_of_freedom: usize,
    /// √(Σ w r² / ν): the scatter of a point of weight one. Not a number when ν = 0.
    pub residual_deviation: f64,
    /// (XᵀWX)⁻¹ in the order intercept, slope. With weights 1/u² it is the covariance of the parameters; with
    /// equal weights multiply it by the square of `residual_deviation`.
    pub covariance: [[f64; 2]; 2],
    /// Share of the weighted sum of squares about the mean that the line explains. Not a number when all y are
    /// the same.
    pub r_squared: f64,
    /// Sum of the weights.
    pub total_weight: f64,
    /// Weighted mean of x.
    pub x_mean: f64,
    /// Σ w (x − x̄)².
    pub x_spread: f64,
}

/// Statistics of a line fitted by [`fit`] to the same points and weights.
#[must_use]
pub fn statistics(x: &[f64], y: &[f64], weights: &[f64], line: &Line<f64>) -> LineStatistics {
    let x_centre = Centre::of(x, weights);
    let y_centre = Centre::of(y, weights);
    let mut total_weight = 0.0;
    let mut x_spread = 0.0;
    let mut y_spread = 0.0;
    let mut residual_sum = 0.0;
    let mut residuals = Vec::with_capacity(x.len());
    for (i, (&x, &y)) in x.iter().zip(y).enumerate() {
        let w = weight(weights, i);
        // y − line(x) about the means: no digits are lost where x is far from zero.
        let (dx, dy) = (x_centre.distance(x), y_centre.distance(y));
        let residual = dy - line.slope * dx;
        total_weight += w;
        x_spread += w * dx.squared();
        y_spread += w * dy.squared();
        residual_sum += w * residual.squared();
        residuals.push(residual);
    }
    let degrees_of_freedom = residuals.len().saturating_sub(2);
    let x_mean = x_centre.mean();
    let off_diagonal = -x_mean / x_spread;
    LineStatistics {
        residual_sum,
        degrees_of_freedom,
        residual_deviation: residual_deviation(residual_sum, degrees_of_freedom),
        covariance: [
            [
                1.0 / total_weight + x_mean.squared() / x_spread,
                off_diagonal,
            ],
            [off_diagonal, 1.0 / x_spread],
        ],
        r_squared: 1.0 - residual_sum / y_spread,
        total_weight,
        x_mean,
        x_spread,
        residuals,
    }
}

fn residual_deviation(residual_sum: f64, degrees_of_freedom: usize) -> f64 {
    if degrees_of_freedom == 0 {
        f64::NAN
    } else {
        (residual_sum / degrees_of_freedom as f64).sqrt()
    }
}

impl LineStatistics {
    /// Half the width of the confidence interval of the line itself at `x0`, from the scatter of the points,
    /// at a two-sided level such as 0.95. Not a number when no degree of freedom is left.
    #[must_use]
    pub fn confidence_half_width(&self, x0: f64, level: f64) -> f64 {
        self.coverage(level) * self.line_variance(x0).sqrt()
    }

    /// Half the width of the interval in which one new reading of this weight is expected at `x0`: weight 1
    /// for an unweighted line, p for the mean of p readings, 1/u² for a weighted line.
    #[must_use]
    pub fn prediction_half_width(&self, x0: f64, level: f64, weight: f64) -> f64 {
        self.coverage(level) * (1.0 / weight + self.line_variance(x0)).sqrt()
    }

    /// Standard uncertainty of the x read from the line for a measured y of this weight (as in
    /// [`LineStatistics::prediction_half_width`]), from the scatter of the points.
    #[must_use]
    pub fn inverse_uncertainty(&self, line: &Line<f64>, y0: f64, weight: f64) -> f64 {
        let variance = 1.0 / weight + self.line_variance(line.inverse(y0));
        self.residual_deviation * variance.sqrt() / line.slope.abs()
    }

    /// Variance of the line at `x0` for points of unit variance per weight. About the mean of x, because the
    /// same sum over `covariance` loses digits when x is far from zero.
    fn line_variance(&self, x0: f64) -> f64 {
        1.0 / self.total_weight + (x0 - self.x_mean).squared() / self.x_spread
    }

    fn coverage(&self, level: f64) -> f64 {
        t_quantile(level, self.degrees_of_freedom as f64) * self.residual_deviation
    }
}

/// How well a fitted line through the origin describes its points.
#[derive(Clone, Debug, PartialEq)]
pub struct OriginStatistics {
    /// y minus the line, point by point.
    pub residuals: Vec<f64>,
    /// Σ w r².
    pub residual_sum: f64,
    /// Points less one.
    pub degrees_of_freedom: usize,
    /// √(Σ w r² / ν). Not a number when ν = 0.
    pub residual_deviation: f64,
    /// 1 / Σ w x²: the variance of the slope for weights 1/u²; with equal weights multiply it by the square of
    /// `residual_deviation`.
    pub variance: f64,
    /// Share of the weighted sum of squares about *zero* that the line explains: not comparable with that of a
    /// line with an intercept.
    pub r_squared: f64,
}

/// Statistics of a line fitted by [`fit_through_origin`] to the same points and weights.
#[must_use]
pub fn statistics_through_origin(
    x: &[f64],
    y: &[f64],
    weights: &[f64],
    slope: f64,
) -> OriginStatistics {
    let mut xx = 0.0;
    let mut yy = 0.0;
    let mut residual_sum = 0.0;
    let mut residuals = Vec::with_capacity(x.len());
    for (i, (&x, &y)) in x.iter().zip(y).enumerate() {
        let w = weight(weights, i);
        let residual = y - slope * x;
        xx += w * x.squared();
        yy += w * y.squared();
        residual_sum += w * residual.squared();
        residuals.push(residual);
    }
    let degrees_of_freedom = residuals.len().saturating_sub(1);
    OriginStatistics {
        residual_sum,
        degrees_of_freedom,
        residual_deviation: residual_deviation(residual_sum, degrees_of_freedom),
        variance: 1.0 / xx,
        r_squared: 1.0 - residual_sum / yy,
        residuals,
    }
}

/// F test of a straight line against the scatter of repeated points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LackOfFit {
    /// Mean square of the group means about the line over the mean square within the groups.
    pub f: f64,
    /// Number of different x less the parameters of the line.
    pub numerator_dof: usize,
    /// Number of points less the number of different x.
    pub denominator_dof: usize,
    /// Probability of an F at least this large if the line is right.
    pub p: f64,
}

/// Tests an unweighted straight line for lack of fit. Points at exactly equal x are repeats.
///
/// `None` when there is nothing to test: fewer than three different x, no repeats, repeats that agree to the
/// last digit, or points that define no line.
#[must_use]
pub fn lack_of_fit(x: &[f64], y: &[f64]) -> Option<LackOfFit> {
    against_repeats(x, y, &fit(x, y, &[]).ok()?, 2)
}

/// [`lack_of_fit`] of a line through the origin, which has one parameter: two different x are enough.
#[must_use]
pub fn lack_of_fit_through_origin(x: &[f64], y: &[f64]) -> Option<LackOfFit> {
    let line = Line {
        intercept: 0.0,
        slope: fit_through_origin(x, y, &[]).ok()?,
    };
    against_repeats(x, y, &line, 1)
}

fn against_repeats(x: &[f64], y: &[f64], line: &Line<f64>, parameters: usize) -> Option<LackOfFit> {
    let mut points: Vec<(f64, f64)> = x.iter().copied().zip(y.iter().copied()).collect();
    points.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));

    let mut groups = 0_usize;
    let mut within = 0.0;
    let mut between = 0.0;
    let mut readings = Vec::with_capacity(points.len());
    for group in points.chunk_by(|a, b| a.0 == b.0) {
        readings.clear();
        readings.extend(group.iter().map(|point| point.1));
        let centre = mean(&readings);
        groups += 1;
        between += readings.len() as f64 * (centre - line.at(group[0].0)).squared();
        within += readings.iter().map(|y| (y - centre).squared()).sum::<f64>();
    }

    let numerator_dof = groups.checked_sub(parameters).filter(|&dof| dof > 0)?;
    let denominator_dof = points.len() - groups;
    if within <= 0.0 {
        return None;
    }
    let f = (between / numerator_dof as f64) / (within / denominator_dof as f64);
    Some(LackOfFit {
        f,
        numerator_dof,
        denominator_dof,
        p: f_survival(f, numerator_dof as f64, denominator_dof as f64),
    })
}
