//! Mean and spread of repeated readings.

use crate::scalar::Scalar;

/// Arithmetic mean. Not a number for an empty slice.
#[must_use]
pub fn mean<S: Scalar>(values: &[S]) -> S {
    weighted_mean(values, &[])
}

/// Mean with the given weights; an empty `weights` means equal ones. Not a number for an empty slice.
#[must_use]
pub fn weighted_mean<S: Scalar>(values: &[S], weights: &[f64]) -> S {
    Centre::of(values, weights).mean()
}

/// Standard deviation of a sample (divisor n − 1). Not a number for fewer than two readings.
#[must_use]
pub fn standard_deviation<S: Scalar>(values: &[S]) -> S {
    let centre = Centre::of(values, &[]);
    let mut sum = S::constant(0.0);
    for &value in values {
        sum += centre.distance(value).squared();
    }
    (sum / (values.len() as f64 - 1.0)).sqrt()
}

/// The reading in the middle, or the mean of the two there. Not a number for an empty slice.
#[must_use]
pub fn median<S: Scalar>(values: &[S]) -> S {
    let mut sorted = values.to_vec();
    sorted.sort_by(|a, b| a.value().total_cmp(&b.value()));
    let upper = sorted.len() / 2;
    let lower = sorted.len().saturating_sub(1) / 2;
    match (sorted.get(lower), sorted.get(upper)) {
        (Some(&lower), Some(&upper)) => (lower + upper) / 2.0,
        _ => S::constant(f64::NAN),
    }
}

/// A mean in two parts, so that readings that share many leading digits keep their last ones: the mean itself has no
/// more digits than they.
#[derive(Clone, Copy)]
pub(super) struct Centre<S> {
    near: S,
    rest: S,
}

impl<S: Scalar> Centre<S> {
    /// The mean with the given weights; an empty `weights` means equal ones.
    pub(super) fn of(values: &[S], weights: &[f64]) -> Centre<S> {
        let near = mean_distance(values, weights, S::constant(0.0));
        let rest = mean_distance(values, weights, near);
        Centre { near, rest }
    }

    pub(super) fn mean(self) -> S {
        self.near + self.rest
    }

    /// The value less the mean.
    pub(super) fn distance(self, value: S) -> S {
        (value - self.near) - self.rest
    }
}

/// Weighted mean of the distances from a number.
fn mean_distance<S: Scalar>(values: &[S], weights: &[f64], from: S) -> S {
    let mut total_weight = 0.0;
    let mut sum = S::constant(0.0);
    for (i, &value) in values.iter().enumerate() {
        total_weight += weight(weights, i);
        sum += (value - from) * weight(weights, i);
    }
    sum / total_weight
}

/// The weight of point `i`: an empty slice stands for equal weights.
pub(super) fn weight(weights: &[f64], i: usize) -> f64 {
    weights.get(i).copied().unwrap_or(1.0)
}
