//! Functions of measured points: values between them, zero crossings and maxima.
//!
//! The points are data without a derivative; their noise is propagated through the weights that come with each
//! result: weight = ∂(result) / ∂(y of that point).
//!
//! The monotone cubic is that of F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238, with the
//! weighted harmonic mean of F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300, and the
//! one-sided three-point slope at the ends (from memory; tested against an independent library).

use core::fmt;
use core::ops::Range;

use super::polynomial::{Design, Polynomial, fit_polynomial};
use crate::scalar::{Dual, Scalar};

/// Why a curve or one of its features is missing. Indices count from zero in the slices given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CurveError {
    /// x and y differ in number.
    UnequalLengths,
    /// Fewer points than the method needs.
    TooFewPoints {
        /// Points that the method needs.
        needed: usize,
        /// Points that were given.
        given: usize,
    },
    /// x or y of a point is not a finite number.
    NotFinite {
        /// Which point.
        index: usize,
    },
    /// Two points have the same x.
    RepeatedAbscissa {
        /// The one point.
        first: usize,
        /// The other.
        second: usize,
    },
    /// The largest point is the first or the last, so the maximum may lie outside.
    LargestAtEnd,
    /// The fitted curve has no maximum among the points.
    NoMaximum,
    /// The points neither cross zero nor lead towards it.
    NoCrossing,
}

impl fmt::Display for CurveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            CurveError::UnequalLengths => f.write_str("Enter as many y values as x values."),
            CurveError::TooFewPoints { needed, given } => {
                write!(
                    f,
                    "This method needs at least {needed} points; {given} given."
                )
            }
            CurveError::NotFinite { index } => {
                write!(f, "Point {} needs a number for x and for y.", index + 1)
            }
            CurveError::RepeatedAbscissa { first, second } => write!(
                f,
                "Points {} and {} have the same x. Keep one of them, or enter their mean.",
                first + 1,
                second + 1
            ),
            CurveError::LargestAtEnd => {
                f.write_str("The largest point is at the end of the curve. Add points beyond it.")
            }
            CurveError::NoMaximum => f.write_str("The points show no clear maximum."),
            CurveError::NoCrossing => {
                f.write_str("The points do not lead to zero. Add points on both sides of it.")
            }
        }
    }
}

impl std::error::Error for CurveError {}

/// Measured points in ascending order of x. Results name points by their place in the slices given to
/// [`Curve::new`].
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    x: Vec<f64>,
    y: Vec<f64>,
    /// For each point in ascending order, its place as given.
    order: Vec<usize>,
}

/// A value read from the straight line between two neighbouring points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interpolated {
    /// The value.
    pub y: f64,
    /// The slope of that line.
    pub slope: f64,
    /// Whether x lies among the points; if not, the value is extrapolated.
    pub inside: bool,
    /// The two points used and ∂(value)/∂y of each.
    pub weights: [(usize, f64); 2],
}

/// Where the straight line between two neighbouring points crosses zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The place.
    pub x: f64,
    /// Whether it lies among the points; if not, it is extrapolated.
    pub inside: bool,
    /// The two points used and ∂x/∂y of each.
    pub weights: [(usize, f64); 2],
}

/// A value of the curve, or the place where it has one, with the slope of the curve there.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The value or the place.
    pub value: f64,
    /// The points used and ∂(value)/∂y of each.
    pub weights: Vec<(usize, f64)>,
    /// The slope there.
    pub slope: f64,
    /// The points used and ∂(slope)/∂y of each.
    pub slope_weights: Vec<(usize, f64)>,
}

/// The maximum of a polynomial through, or close to, the points round the largest.
#[derive(Clone, Debug, PartialEq)]
pub struct Peak {
    /// Place of the maximum.
    pub x: f64,
    /// Value of the maximum.
    pub y: f64,
    /// The points used and ∂y/∂yᵢ of each.
    pub weights: Vec<(usize, f64)>,
    /// The points used and ∂x/∂yᵢ of each.
    pub x_weights: Vec<(usize, f64)>,
}

impl Curve {
    /// Sorts and checks the points.
    ///
    /// # Errors
    /// For unequal lengths, numbers that are not finite, no points, or repeated x.
    pub fn new(x: &[f64], y: &[f64]) -> Result<Curve, CurveError> {
        if x.len() != y.len() {
            return Err(CurveError::UnequalLengths);
        }
        if x.is_empty() {
            return Err(CurveError::TooFewPoints {
                needed: 1,
                given: 0,
            });
        }
        if let Some(index) = (0..x.len()).find(|&i| !(x[i].is_finite() && y[i].is_finite())) {
            return Err(CurveError::NotFinite { index });
        }
        let mut order: Vec<usize> = (0..x.len()).collect();
        order.sort_unstable_by(|&a, &b| x[a].total_cmp(&x[b]));
        if let Some(pair) = order.windows(2).find(|pair| x[pair[0]] == x[pair[1]]) {
            let (first, second) = (pair[0].min(pair[1]), pair[0].max(pair[1]));
            return Err(CurveError::RepeatedAbscissa { first, second });
        }
        Ok(Curve {
            x: order.iter().map(|&i| x[i]).collect(),
            y: order.iter().map(|&i| y[i]).collect(),
            order,
        })
    }

    /// x in ascending order.
    #[must_use]
    pub fn x(&self) -> &[f64] {
        &self.x
    }

    /// y in the order of [`Curve::x`].
    #[must_use]
    pub fn y(&self) -> &[f64] {
        &self.y
    }

    /// The same x with another y, such as power from voltage and current.
    #[must_use]
    pub fn map(&self, y: impl Fn(f64, f64) -> f64) -> Curve {
        Curve {
            x: self.x.clone(),
            y: self.x.iter().zip(&self.y).map(|(&a, &b)| y(a, b)).collect(),
            order: self.order.clone(),
        }
    }

    /// The largest point as measured (the first of equals): place as given, x and y.
    #[must_use]
    pub fn largest(&self) -> (usize, f64, f64) {
        let i = self.largest_at();
        (self.order[i], self.x[i], self.y[i])
    }

    fn largest_at(&self) -> usize {
        let mut largest = 0;
        for i in 1..self.y.len() {
            if self.y[i] > self.y[largest] {
                largest = i;
            }
        }
        largest
    }

    /// The value at `x0` on the straight line between its neighbours, or through the two outermost points.
    ///
    /// # Errors
    /// For fewer than two points.
    pub fn linear(&self, x0: f64) -> Result<Interpolated, CurveError> {
        self.needs(2)?;
        let i = segment(&self.x, x0);
        let width = self.x[i + 1] - self.x[i];
        let right = (x0 - self.x[i]) / width;
        let left = (self.x[i + 1] - x0) / width;
        Ok(Interpolated {
            y: self.y[i] * left + self.y[i + 1] * right,
            slope: (self.y[i + 1] - self.y[i]) / width,
            inside: self.holds(x0),
            weights: [(self.order[i], left), (self.order[i + 1], right)],
        })
    }

    /// The first zero crossing by straight lines between points. Without one, the nearer end that leads to
    /// zero is extended.
    ///
    /// # Errors
    /// For fewer than two points, or when neither end leads to zero.
    pub fn zero_crossing(&self) -> Result<Crossing, CurveError> {
        self.needs(2)?;
        let last = self.x.len() - 2;
        let sign_changes = |i: usize| {
            let (a, b) = (self.y[i], self.y[i + 1]);
            a != b && ((a <= 0.0 && b >= 0.0) || (a >= 0.0 && b <= 0.0))
        };
        if let Some(i) = (0..=last).find(|&i| sign_changes(i)) {
            return Ok(self.crossing_of(i));
        }
        let outward = |i: usize| Some(self.crossing_of(i)).filter(|c| c.x.is_finite());
        let left = outward(0).filter(|c| c.x < self.x[0]);
        let right = outward(last).filter(|c| c.x > self.x[last + 1]);
        match (left, right) {
            (Some(left), Some(right)) => {
                let (to_left, to_right) = (self.x[0] - left.x, right.x - self.x[last + 1]);
                Ok(if to_left < to_right { left } else { right })
            }
            (one, other) => one.or(other).ok_or(CurveError::NoCrossing),
        }
    }

    /// Where the straight line through points `i` and `i + 1` is zero.
    fn crossing_of(&self, i: usize) -> Crossing {
        let (y0, y1) = (self.y[i], self.y[i + 1]);
        // As shares of the rise, so that no square can overflow.
        let (from_left, from_right) = (y0 / (y0 - y1), y1 / (y1 - y0));
        let width = self.x[i + 1] - self.x[i];
        let per_rise = width / (y1 - y0);
        // From the nearer point, so that a point at zero is hit exactly.
        let x = if y0.abs() < y1.abs() {
            self.x[i] + from_left * width
        } else {
            self.x[i + 1] - from_right * width
        };
        Crossing {
            x,
            inside: self.holds(x),
            weights: [
                (self.order[i], -from_right * per_rise),
                (self.order[i + 1], -from_left * per_rise),
            ],
        }
    }

    /// The vertex of the parabola through the largest point and its two neighbours.
    ///
    /// # Errors
    /// For fewer than three points, or when the largest is at an end.
    pub fn parabola_peak(&self) -> Result<Peak, CurveError> {
        self.polynomial_peak(3, 2)
    }

    /// The maximum of a fourth-degree least-squares polynomial on the seven points round the largest.
    ///
    /// # Errors
    /// For fewer than seven points, when the largest is at an end, or when the polynomial has no maximum there.
    pub fn quartic_peak(&self) -> Result<Peak, CurveError> {
        self.polynomial_peak(7, 4)
    }

    fn polynomial_peak(&self, points: usize, degree: usize) -> Result<Peak, CurveError> {
        self.needs(points)?;
        let largest = self.largest_at();
        let last = self.x.len() - 1;
        if largest == 0 || largest == last {
            return Err(CurveError::LargestAtEnd);
        }
        // Near an end the window moves inwards instead of shrinking.
        let from = largest.saturating_sub(points / 2).min(last + 1 - points);
        let window = from..from + points;
        let (x, y) = (&self.x[window.clone()], &self.y[window.clone()]);
        let design = Design::new(x, degree).map_err(|_| CurveError::NoMaximum)?;
        let polynomial = design.fit(y).map_err(|_| CurveError::NoMaximum)?;
        let place = polynomial
            .interior_maximum(x[0], x[points - 1])
            .ok_or(CurveError::NoMaximum)?;
        let curvature = polynomial.differentiate().derivative(place);
        let named = |weights: Vec<f64>| self.order[window.clone()].iter().copied().zip(weights);
        Ok(Peak {
            x: place,
            y: polynomial.evaluate(place),
            // At the maximum a shift of its place changes nothing, so the value's weights are those at fixed x.
            weights: named(design.value_weights(place)).collect(),
            x_weights: named(design.slope_weights(place))
                .map(|(point, weight)| (point, -weight / curvature))
                .collect(),
        })
    }

    /// The monotone cubic through the points.
    ///
    /// # Errors
    /// For fewer than two points.
    pub fn monotone_cubic(&self) -> Result<MonotoneCubic<'_, f64>, CurveError> {
        MonotoneCubic::new(&self.x, &self.y)
    }

    /// The least-squares polynomial of this degree on the points of a range, counted in ascending order of x. Two points
    /// and the first degree are the straight line between them.
    ///
    /// # Errors
    /// For fewer points than coefficients.
    pub fn local_fit(&self, range: Range<usize>, degree: usize) -> Result<Local<'_>, CurveError> {
        let x = self.x.get(range.clone()).unwrap_or_default();
        let y = self.y.get(range.clone()).unwrap_or_default();
        let too_few = |_| CurveError::TooFewPoints {
            needed: degree + 1,
            given: x.len(),
        };
        let design = Design::new(x, degree).map_err(too_few)?;
        let polynomial = design.fit(y).map_err(too_few)?;
        Ok(Local {
            curve: self,
            range,
            polynomial,
            origin: Origin::Fit(design),
        })
    }

    /// The monotone cubic on the segment that holds x, or on the outermost one.
    ///
    /// # Errors
    /// For fewer than two points.
    pub fn local_cubic(&self, x0: f64) -> Result<Local<'_>, CurveError> {
        self.needs(2)?;
        let i = segment(&self.x, x0);
        // Beyond its neighbours no point has a part in a segment.
        let near = i.saturating_sub(1)..(i + 3).min(self.x.len());
        let x = &self.x[near.clone()];
        let (low, high) = (self.x[i], self.x[i + 1]);
        let places = [0.0, 1.0 / 3.0, 2.0 / 3.0, 1.0].map(|share| low + share * (high - low));
        let through = |y: &[f64; 4]| {
            fit_polynomial(&places, y, 3).map_err(|_| CurveError::NotFinite { index: i })
        };
        let mut values = [0.0; 4];
        let mut slopes = Vec::with_capacity(near.len());
        for seeded in near.clone() {
            let y: Vec<Dual> = near
                .clone()
                .map(|k| Dual {
                    value: self.y[k],
                    slope: f64::from(u8::from(k == seeded)),
                })
                .collect();
            let cubic = MonotoneCubic::new(x, &y)?;
            let at = places.map(|place| cubic.evaluate(place));
            values = at.map(|y| y.value);
            slopes.push(through(&at.map(|y| y.slope))?);
        }
        Ok(Local {
            curve: self,
            range: i..i + 2,
            polynomial: through(&values)?,
            origin: Origin::Cubic {
                from: near.start,
                slopes,
            },
        })
    }

    fn needs(&self, needed: usize) -> Result<(), CurveError> {
        let given = self.x.len();
        if given < needed {
            Err(CurveError::TooFewPoints { needed, given })
        } else {
            Ok(())
        }
    }

    fn holds(&self, x: f64) -> bool {
        self.x[0] <= x && x <= self.x[self.x.len() - 1]
    }
}

/// The left end of the segment that holds x, or of the outermost one. There are at least two points.
fn segment(x: &[f64], x0: f64) -> usize {
    x.partition_point(|&x| x <= x0).clamp(1, x.len() - 1) - 1
}

/// A polynomial that stands for a stretch of a curve.
#[derive(Clone, Debug)]
pub struct Local<'a> {
    curve: &'a Curve,
    /// The points of the stretch.
    range: Range<usize>,
    polynomial: Polynomial<f64>,
    origin: Origin,
}

/// Where a [`Local`] polynomial comes from: what its derivatives with respect to the points follow from.
#[derive(Clone, Debug)]
enum Origin {
    /// Least squares on the points of the stretch.
    Fit(Design),
    /// The monotone cubic: its derivatives with respect to the points from this one on.
    Cubic {
        from: usize,
        slopes: Vec<Polynomial<f64>>,
    },
}

impl Local<'_> {
    /// The value at `x0`.
    #[must_use]
    pub fn at(&self, x0: f64) -> Reading {
        Reading {
            value: self.polynomial.evaluate(x0),
            weights: self.value_weights(x0),
            slope: self.polynomial.derivative(x0),
            slope_weights: self.slope_weights(x0),
        }
    }

    /// Where the polynomial crosses zero between `low` and `high`: the place nearest to `near`.
    #[must_use]
    pub fn zero(&self, (low, high): (f64, f64), near: f64) -> Option<Reading> {
        let x = self
            .polynomial
            .roots(low, high)
            .into_iter()
            .min_by(|a, b| (a - near).abs().total_cmp(&(b - near).abs()))?;
        let slope = self.polynomial.derivative(x);
        let bend = self.polynomial.differentiate().derivative(x);
        let weights: Vec<_> = self
            .value_weights(x)
            .into_iter()
            .map(|(point, weight)| (point, -weight / slope))
            .collect();
        // The slope is read where the crossing lies, which moves with the points.
        let slope_weights = self
            .slope_weights(x)
            .into_iter()
            .zip(&weights)
            .map(|((point, weight), (_, moved))| (point, weight + bend * moved))
            .collect();
        Some(Reading {
            value: x,
            weights,
            slope,
            slope_weights,
        })
    }

    /// The maximum of x·y inside the stretch, such as power from voltage and current. Its weights are by y.
    #[must_use]
    pub fn product_peak(&self) -> Option<Peak> {
        let product = self.polynomial.times_x();
        let last = self.range.end.checked_sub(1)?;
        let (low, high) = (self.curve.x[self.range.start], self.curve.x[last]);
        let x = product.interior_maximum(low, high)?;
        let bend = product.differentiate().derivative(x);
        let (values, slopes) = (self.value_weights(x), self.slope_weights(x));
        let moved = values.iter().zip(&slopes);
        Some(Peak {
            x,
            y: product.evaluate(x),
            x_weights: moved
                .map(|(&(point, value), &(_, slope))| (point, -(value + x * slope) / bend))
                .collect(),
            weights: values.iter().map(|&(point, w)| (point, w * x)).collect(),
        })
    }

    /// The points of the stretch, in ascending order of x.
    #[must_use]
    pub fn range(&self) -> Range<usize> {
        self.range.clone()
    }

    /// Points of the stretch less coefficients; none for a cubic, which goes through its points.
    #[must_use]
    pub fn degrees_of_freedom(&self) -> usize {
        match &self.origin {
            Origin::Fit(design) => design.degrees_of_freedom(),
            Origin::Cubic { .. } => 0,
        }
    }

    /// y less the polynomial, for each point of the stretch.
    pub fn residuals(&self) -> impl Iterator<Item = f64> + '_ {
        self.range
            .clone()
            .map(|k| self.curve.y[k] - self.polynomial.evaluate(self.curve.x[k]))
    }

    fn value_weights(&self, x0: f64) -> Vec<(usize, f64)> {
        match &self.origin {
            Origin::Fit(design) => self.named(self.range.start, design.value_weights(x0)),
            Origin::Cubic { from, slopes } => {
                self.named(*from, slopes.iter().map(|slope| slope.evaluate(x0)))
            }
        }
    }

    fn slope_weights(&self, x0: f64) -> Vec<(usize, f64)> {
        match &self.origin {
            Origin::Fit(design) => self.named(self.range.start, design.slope_weights(x0)),
            Origin::Cubic { from, slopes } => {
                self.named(*from, slopes.iter().map(|slope| slope.derivative(x0)))
            }
        }
    }

    /// Weights with the places of their points as given.
    fn named(&self, from: usize, weights: impl IntoIterator<Item = f64>) -> Vec<(usize, f64)> {
        let names = self.curve.order.iter().skip(from).copied();
        names.zip(weights).collect()
    }
}

/// A cubic through every point with continuous slope that rises and falls only where the points do. Generic in
/// y, since it is not linear in the points.
#[derive(Clone, Debug, PartialEq)]
pub struct MonotoneCubic<'a, S> {
    x: &'a [f64],
    y: &'a [S],
    slopes: Vec<S>,
}

impl<'a, S: Scalar> MonotoneCubic<'a, S> {
    /// The cubic through these points.
    ///
    /// # Errors
    /// For unequal lengths, fewer than two points, numbers that are not finite, or x not strictly ascending.
    pub fn new(x: &'a [f64], y: &'a [S]) -> Result<Self, CurveError> {
        if x.len() != y.len() {
            return Err(CurveError::UnequalLengths);
        }
        let n = x.len();
        if n < 2 {
            return Err(CurveError::TooFewPoints {
                needed: 2,
                given: n,
            });
        }
        if let Some(index) = (0..n).find(|&i| !(x[i].is_finite() && y[i].value().is_finite())) {
            return Err(CurveError::NotFinite { index });
        }
        if let Some(first) = (1..n).find(|&i| x[i] <= x[i - 1]) {
            return Err(CurveError::RepeatedAbscissa {
                first: first - 1,
                second: first,
            });
        }
        let width = |i: usize| x[i + 1] - x[i];
        let rise = |i: usize| (y[i + 1] - y[i]) / width(i);
        if n == 2 {
            let slopes = vec![rise(0), rise(0)];
            return Ok(MonotoneCubic { x, y, slopes });
        }
        let mut slopes = Vec::with_capacity(n);
        slopes.push(end_slope(width(0), width(1), rise(0), rise(1)));
        for i in 1..n - 1 {
            slopes.push(inner_slope(width(i - 1), width(i), rise(i - 1), rise(i)));
        }
        slopes.push(end_slope(
            width(n - 2),
            width(n - 3),
            rise(n - 2),
            rise(n - 3),
        ));
        Ok(MonotoneCubic { x, y, slopes })
    }

    /// The value at `x0`; beyond the ends the outermost cubic goes on.
    #[must_use]
    pub fn evaluate(&self, x0: f64) -> S {
        let (i, h, t) = self.place(x0);
        let (a, b) = (self.y[i], self.y[i + 1]);
        let (c2, c3) = self.bend(i, h);
        // From the nearer end, so that the points are met exactly.
        if t <= 0.5 {
            a + (self.slopes[i] + (c2 + c3 * t) * t) * (t * h)
        } else {
            let back = 1.0 - t;
            let end = self.slopes[i + 1];
            b - (end - (c2 + c3 * 3.0 - c3 * back) * back) * (back * h)
        }
    }

    /// The slope at `x0`.
    #[must_use]
    pub fn derivative(&self, x0: f64) -> S {
        let (i, h, t) = self.place(x0);
        let (c2, c3) = self.bend(i, h);
        self.slopes[i] + (c2 * 2.0 + c3 * (3.0 * t)) * t
    }

    /// Segment, its width, and the share of it that lies left of `x0`.
    fn place(&self, x0: f64) -> (usize, f64, f64) {
        let i = segment(self.x, x0);
        let h = self.x[i + 1] - self.x[i];
        (i, h, (x0 - self.x[i]) / h)
    }

    /// Second and third coefficient of the cubic y = y₀ + h t (s₀ + c₂ t + c₃ t²) of segment i.
    fn bend(&self, i: usize, h: f64) -> (S, S) {
        let rise = (self.y[i + 1] - self.y[i]) / h;
        let (s0, s1) = (self.slopes[i], self.slopes[i + 1]);
        (rise * 3.0 - s0 * 2.0 - s1, s0 + s1 - rise * 2.0)
    }
}

/// Slope at a point between two segments: zero at a turn, else their weighted harmonic mean.
fn inner_slope<S: Scalar>(h0: f64, h1: f64, d0: S, d1: S) -> S {
    if d0.value() * d1.value() <= 0.0 {
        return S::constant(0.0);
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    S::constant(w0 + w1) / (S::constant(w0) / d0 + S::constant(w1) / d1)
}

/// Slope at an end from its segment (first) and the next, limited so that the cubic stays monotone.
fn end_slope<S: Scalar>(h0: f64, h1: f64, d0: S, d1: S) -> S {
    let slope = (d0 * (2.0 * h0 + h1) - d1 * h0) / (h0 + h1);
    if slope.value() * d0.value() <= 0.0 {
        S::constant(0.0)
    } else if d0.value() * d1.value() <= 0.0 && slope.value().abs() > 3.0 * d0.value().abs() {
        d0 * 3.0
    } else {
        slope
    }
}
