//! Means of samples beside each other: Welch's t and analysis of variance, Holm's correction for several comparisons,
//! and the parts of a variance within and between groups.
//!
//! Nothing here assumes that the samples scatter alike. Sources: B. L. Welch, Biometrika 34 (1947) 28 and 38 (1951) 330;
//! S. Holm, Scand. J. Stat. 6 (1979) 65; analysis of variance of unequal groups after Searle, Variance Components; weighted
//! means after Hartung and Knapp, Stat. Med. 20 (2001) 3875 and Sidik and Jonkman, Stat. Med. 21 (2002) 3153: all from
//! memory; values are tested against scipy and statsmodels.

use super::sample::{mean, weighted_mean};
use super::student::{f_survival, t_cdf, t_quantile};
use crate::scalar::{Scalar, sum};
use crate::uncertainty::effective_degrees_of_freedom;

/// A mean, and how well the sample shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SampleMean {
    /// The mean.
    pub mean: f64,
    /// Its standard error.
    pub standard_error: f64,
    /// The degrees of freedom of that.
    pub degrees_of_freedom: f64,
}

/// A part of a mean that rounding may bring, with plenty to spare, and that nobody types.
const ROUNDING: f64 = 1e-12;

impl SampleMean {
    /// The mean with the given weights; an empty `weights` means equal ones. Weights count by their ratios alone: how much
    /// the readings scatter is taken from the readings, which with equal weights gives s/√n. None for fewer than two. What
    /// only rounding may have set apart does not scatter: means that are equal in decimals need not be in binary.
    #[must_use]
    pub fn of(readings: &[f64], weights: &[f64]) -> Option<SampleMean> {
        if readings.len() < 2 {
            return None;
        }
        let mean = weighted_mean(readings, weights);
        let weight = |place: usize| weights.get(place).copied().unwrap_or(1.0);
        let square = |(place, reading): (usize, &f64)| weight(place) * (reading - mean).squared();
        let squares = sum(readings.iter().enumerate().map(square));
        let whole = sum((0..readings.len()).map(weight));
        let degrees_of_freedom = readings.len() as f64 - 1.0;
        let standard_error = (squares / whole / degrees_of_freedom).sqrt();
        let rounding = ROUNDING * mean.abs();
        Some(SampleMean {
            mean,
            standard_error: if standard_error < rounding {
                0.0
            } else {
                standard_error
            },
            degrees_of_freedom,
        })
    }

    /// Half the width of the interval about the mean that holds the true one with this probability.
    #[must_use]
    pub fn half_width(&self, level: f64) -> f64 {
        t_quantile(level, self.degrees_of_freedom) * self.standard_error
    }
}

/// Two means, the second less the first, without a common variance (Welch).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// The difference, its standard error, and the effective degrees of freedom of that.
    pub difference: SampleMean,
    /// The difference over its standard error.
    pub t: f64,
    /// The probability of a difference at least as large, to either side, where there is none.
    pub p: f64,
}

/// Compares two means. None where neither sample scatters.
#[must_use]
pub fn compare(first: &SampleMean, second: &SampleMean) -> Option<Comparison> {
    let parts = [first, second].map(|mean| (mean.standard_error, mean.degrees_of_freedom));
    let variance = first.standard_error.squared() + second.standard_error.squared();
    let difference = SampleMean {
        mean: second.mean - first.mean,
        standard_error: variance.sqrt(),
        degrees_of_freedom: effective_degrees_of_freedom(variance.sqrt(), parts.into_iter()),
    };
    if difference.standard_error.is_nan() || difference.standard_error <= 0.0 {
        return None;
    }
    let t = difference.mean / difference.standard_error;
    let p = 2.0 * t_cdf(-t.abs(), difference.degrees_of_freedom);
    Some(Comparison { difference, t, p })
}

/// Several means beside each other, without a common variance (Welch's analysis of variance).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Analysis {
    /// Variance between the means over that within the samples.
    pub f: f64,
    /// Degrees of freedom of the numerator: one less than there are means.
    pub numerator: f64,
    /// Degrees of freedom of the denominator.
    pub denominator: f64,
    /// The probability of means at least as far apart, where they are equal.
    pub p: f64,
}

/// Analyses several means. None for fewer than two, and where one of the samples does not scatter.
#[must_use]
pub fn analyse(means: &[SampleMean]) -> Option<Analysis> {
    let count = means.len() as f64;
    let weights: Vec<f64> = means
        .iter()
        .map(|mean| 1.0 / mean.standard_error.squared())
        .collect();
    let whole = sum(weights.iter().copied());
    let values: Vec<f64> = means.iter().map(|mean| mean.mean).collect();
    let centre = weighted_mean(&values, &weights);
    let weighted = || weights.iter().zip(means);
    let between = sum(weighted().map(|(weight, mean)| weight * (mean.mean - centre).squared()));
    let unequal =
        sum(weighted()
            .map(|(weight, mean)| (1.0 - weight / whole).squared() / mean.degrees_of_freedom));
    let pairs = count * count - 1.0;
    let numerator = count - 1.0;
    let denominator = pairs / (3.0 * unequal);
    let f = between / numerator / (1.0 + 2.0 * (count - 2.0) / pairs * unequal);
    let p = f_survival(f, numerator, denominator);
    p.is_finite().then_some(Analysis {
        f,
        numerator,
        denominator,
        p,
    })
}

/// How many readings of each sample make the interval of this level about the difference of two means, or about one mean,
/// as narrow as this to each side, where samples of these variances are made alike in size. None where a million are too
/// few, and where no sample scatters.
#[must_use]
pub fn readings_needed(variances: &[f64], level: f64, half_width: f64) -> Option<u32> {
    const MOST: u32 = 1_000_000;
    let whole = sum(variances.iter().copied());
    let squares = sum(variances.iter().map(|variance| variance.squared()));
    if whole.is_nan() || whole <= 0.0 {
        return None;
    }
    let enough = |count: u32| {
        let count = f64::from(count);
        // Welch–Satterthwaite, with samples of one size.
        let degrees_of_freedom = (count - 1.0) * (whole / squares * whole);
        t_quantile(level, degrees_of_freedom) * (whole / count).sqrt() <= half_width
    };
    let mut most = 2;
    while !enough(most) {
        if most >= MOST {
            return None;
        }
        most *= 2;
    }
    let mut least = most / 2;
    while most - least > 1 {
        let middle = least.midpoint(most);
        if enough(middle) {
            most = middle;
        } else {
            least = middle;
        }
    }
    Some(most)
}

/// Probabilities of several comparisons, corrected for their number after Holm: each below 0.05 may be believed with an
/// error of 5 % at most for all together.
#[must_use]
pub fn holm(probabilities: &[f64]) -> Vec<f64> {
    let mut order: Vec<(usize, f64)> = probabilities.iter().copied().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| a.total_cmp(b));
    let mut corrected = probabilities.to_vec();
    let mut largest = 0.0_f64;
    for (rank, (place, p)) in order.into_iter().enumerate() {
        largest = largest.max(p * (probabilities.len() - rank) as f64);
        if let Some(own) = corrected.get_mut(place) {
            *own = largest.min(1.0);
        }
    }
    corrected
}

/// The parts of the variance of readings that stand in groups.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Components {
    /// Within groups: the variance of readings of one group.
    pub within: f64,
    /// Between groups: the variance of the true means of groups. Zero where the means lie nearer to each other than the
    /// scatter within explains; none where there is one group.
    pub between: Option<f64>,
}

/// The parts of a variance, from an analysis of variance. None where each group holds one reading.
#[must_use]
pub fn components(groups: &[Vec<f64>]) -> Option<Components> {
    let sizes = || groups.iter().map(|group| group.len() as f64);
    let (all, count) = (sum(sizes()), groups.len() as f64);
    if all <= count {
        return None;
    }
    let means: Vec<f64> = groups.iter().map(|group| mean(group)).collect();
    let squares_of = |(group, mean): (&Vec<f64>, &f64)| {
        sum(group.iter().map(|reading| (reading - mean).squared()))
    };
    let within = sum(groups.iter().zip(&means).map(squares_of)) / (all - count);
    let between = (groups.len() > 1).then(|| {
        let weights: Vec<f64> = sizes().collect();
        let centre = weighted_mean(&means, &weights);
        let apart = sum(sizes()
            .zip(&means)
            .map(|(size, mean)| size * (mean - centre).squared()));
        // How many readings of a group count, where groups differ in size.
        let usual = (all - sum(sizes().map(f64::squared)) / all) / (count - 1.0);
        ((apart / (count - 1.0) - within) / usual).max(0.0)
    });
    Some(Components { within, between })
}
