//! Mean and spread of repeated readings.

use crate::scalar::Scalar;

/// Arithmetic mean. Not a number for an empty slice.
///
/// A second pass adds the mean of what is left over, so that readings that share many leading digits keep
/// their last ones.
#[must_use]
pub fn mean<S: Scalar>(values: &[S]) -> S {
    weighted_mean(values, &[])
}

/// Mean with the given weights; an empty `weights` means equal ones. Not a number for an empty slice.
#[must_use]
pub fn weighted_mean<S: Scalar>(values: &[S], weights: &[f64]) -> S {
    let mut total_weight = 0.0;
    let mut sum = S::constant(0.0);
    for (i, &value) in values.iter().enumerate() {
        total_weight += weight(weights, i);
        sum += value * weight(weights, i);
    }
    let first = sum / total_weight;
    let mut rest = S::constant(0.0);
    for (i, &value) in values.iter().enumerate() {
        rest += (value - first) * weight(weights, i);
    }
    first + rest / total_weight
}

/// Standard deviation of a sample (divisor n − 1). Not a number for fewer than two readings.
#[must_use]
pub fn standard_deviation<S: Scalar>(values: &[S]) -> S {
    let centre = mean(values);
    let mut sum = S::constant(0.0);
    for &value in values {
        sum += (value - centre).squared();
    }
    (sum / (values.len() as f64 - 1.0)).sqrt()
}

/// The weight of point `i`: an empty slice stands for equal weights.
pub(super) fn weight(weights: &[f64], i: usize) -> f64 {
    weights.get(i).copied().unwrap_or(1.0)
}
