//! What a Monte Carlo run gives: plain data, and the sentences that say it.

use super::Draws;
use super::tally::PROBABILITY;
use crate::numerics::student;
use crate::scalar::Scalar;

/// From one number to another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

impl Interval {
    /// Upper less lower end.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.high - self.low
    }
}

/// Standard deviations of what came out, over repetitions of the run with other seeds, as estimated from its blocks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandardErrors {
    /// Of the mean.
    pub mean: f64,
    /// Of the standard uncertainty.
    pub uncertainty: f64,
    /// Of the lower end of the symmetric interval.
    pub low: f64,
    /// Of its upper end.
    pub high: f64,
}

impl StandardErrors {
    /// The numerical tolerance that was reached: twice the largest of them (JCGM 101:2008, 7.9.4).
    #[must_use]
    pub fn tolerance(&self) -> f64 {
        let all = [self.mean, self.uncertainty, self.low, self.high];
        2.0 * all.into_iter().fold(0.0, f64::max)
    }
}

/// How many values fell where.
#[derive(Clone, Debug, PartialEq)]
pub struct Histogram {
    /// Where the first bin begins.
    pub from: f64,
    /// Where the last bin ends.
    pub to: f64,
    /// Values in each bin, all of one width.
    pub counts: Vec<u64>,
    /// Values before the first bin.
    pub below: u64,
    /// Values beyond the last bin.
    pub above: u64,
}

/// Bins of a histogram.
const BINS: usize = 60;

impl Histogram {
    /// Bins over twice the width of the 95 % interval, but not where there is nothing: long tails are counted, limits
    /// stay visible.
    pub(super) fn for_values_like(sorted: &[f64], ends: Interval) -> Histogram {
        let (Some(&least), Some(&most)) = (sorted.first(), sorted.last()) else {
            return Histogram::between(0.0, 1.0);
        };
        let margin = 0.02 * (most - least);
        let half = 0.5 * ends.width();
        let from = (ends.low - half).max(least - margin);
        let to = (ends.high + half).min(most + margin);
        if from < to {
            return Histogram::between(from, to);
        }
        // Nearly all values are alike.
        let around = (1e-6 * ends.low.abs()).max(f64::MIN_POSITIVE);
        Histogram::between(ends.low - around, ends.low + around)
    }

    fn between(from: f64, to: f64) -> Histogram {
        Histogram {
            from,
            to,
            counts: vec![0; BINS],
            below: 0,
            above: 0,
        }
    }

    pub(super) fn add(&mut self, values: &[f64]) {
        let scale = BINS as f64 / (self.to - self.from);
        for value in values {
            let bin = (value - self.from) * scale;
            if bin < 0.0 {
                self.below += 1;
            } else if let Some(count) = self.counts.get_mut(bin as usize) {
                *count += 1;
            } else {
                self.above += 1;
            }
        }
    }

    /// Width of a bin.
    #[must_use]
    pub fn bin_width(&self) -> f64 {
        (self.to - self.from) / self.counts.len() as f64
    }

    /// All values, in the bins and beyond.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.counts.iter().sum::<u64>() + self.below + self.above
    }
}

/// What the law of propagation gave for the same number (JCGM 100:2008).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FirstOrder {
    /// Its value at the estimates.
    pub value: f64,
    /// Its combined standard uncertainty.
    pub uncertainty: f64,
    /// Its effective degrees of freedom.
    pub degrees_of_freedom: f64,
}

impl FirstOrder {
    /// The coverage factor for 95 %, as clause 8 of JCGM 101:2008 compares intervals of one probability: 1.96, or t for
    /// the degrees of freedom, truncated as in [`crate::uncertainty::coverage_factor`]. The factor 2 shown with results
    /// is that of 95.45 %; with it no interval would agree in two digits.
    #[must_use]
    pub fn coverage_factor(&self) -> f64 {
        let freedom = self.degrees_of_freedom;
        let freedom = if freedom.is_nan() {
            f64::INFINITY
        } else {
            freedom.floor().max(1.0)
        };
        student::t_quantile(PROBABILITY, freedom)
    }

    /// y ± k·u for 95 %.
    #[must_use]
    pub fn interval(&self) -> Interval {
        let expanded = self.coverage_factor() * self.uncertainty;
        Interval {
            low: self.value - expanded,
            high: self.value + expanded,
        }
    }

    /// The probability density that it stands for, to be drawn over the histogram: normal, or t. Not finite where the
    /// uncertainty is zero or is not.
    #[must_use]
    pub fn density(&self, at: f64) -> f64 {
        student::t_density(
            (at - self.value) / self.uncertainty,
            self.degrees_of_freedom,
        ) / self.uncertainty
    }
}

/// Half of the last of so many significant digits of a standard uncertainty: δ = ½·10ˡ where u = c·10ˡ and c has that
/// many digits (JCGM 101:2008, 7.9.2).
#[must_use]
pub fn numerical_tolerance(uncertainty: f64, digits: u8) -> f64 {
    if uncertainty <= 0.0 || !uncertainty.is_finite() {
        return 0.0;
    }
    let tens = |exponent: f64| -> f64 { Scalar::powf(10.0_f64, exponent) };
    let digits = f64::from(digits.max(1));
    let last = Scalar::log10(uncertainty).floor() - (digits - 1.0);
    // Rounding may carry into one more digit.
    let carried = (uncertainty / tens(last)).round() >= tens(digits);
    0.5 * tens(if carried { last + 1.0 } else { last })
}

/// Whether the first-order interval agrees with that of the Monte Carlo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Agreement {
    /// The ends differ by no more than the tolerance.
    Valid,
    /// They differ by more.
    NotValid,
    /// The sampling error of this run is too large to tell.
    Undecided,
}

/// The comparison of JCGM 101:2008, clause 8, for one number of digits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// The numerical tolerance δ for these digits of the standard uncertainty.
    pub tolerance: f64,
    /// What it comes to.
    pub agreement: Agreement,
}

/// The verdict of JCGM 101:2008, clause 8: d_low = |y − U − y_low| and d_high = |y + U − y_high|, each against δ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    /// Difference of the lower ends.
    pub low: f64,
    /// Difference of the upper ends.
    pub high: f64,
    /// The larger of both over the standard uncertainty from the trials.
    pub relative: f64,
    /// For two significant digits of the standard uncertainty.
    pub two_digits: Comparison,
    /// For one.
    pub one_digit: Comparison,
}

impl Verdict {
    pub(super) fn new(
        first_order: &FirstOrder,
        symmetric: Interval,
        uncertainty: f64,
        errors: &StandardErrors,
    ) -> Verdict {
        let expanded = first_order.interval();
        let low = (expanded.low - symmetric.low).abs();
        let high = (expanded.high - symmetric.high).abs();
        // What rounding leaves of a result that does not vary is no difference.
        let rounding = 1e-13 * first_order.value.abs();
        let difference = low.max(high);
        let margin = 2.0 * errors.low.max(errors.high);
        let comparison = |digits| {
            let tolerance = numerical_tolerance(uncertainty, digits);
            let agreement = if difference <= rounding || difference + margin <= tolerance {
                Agreement::Valid
            } else if !difference.is_finite() || difference - margin > tolerance {
                Agreement::NotValid
            } else {
                Agreement::Undecided
            };
            Comparison {
                tolerance,
                agreement,
            }
        };
        Verdict {
            low,
            high,
            relative: if difference <= rounding {
                0.0
            } else {
                difference / uncertainty
            },
            two_digits: comparison(2),
            one_digit: comparison(1),
        }
    }

    /// The verdict in words.
    #[must_use]
    pub fn words(&self) -> String {
        let apart = if !self.low.is_finite() || !self.high.is_finite() {
            "The first-order interval has no finite ends.".into()
        } else if self.relative.is_finite() {
            format!(
                "The ends of the two 95 % intervals differ by up to {} of the standard uncertainty.",
                percent(self.relative)
            )
        } else {
            "All trials give one value.".into()
        };
        let verdict = match (self.two_digits.agreement, self.one_digit.agreement) {
            (Agreement::Valid, _) => {
                "First order is valid: both give the same interval to two digits of the standard uncertainty."
            }
            (Agreement::Undecided, Agreement::Valid) => {
                "First order is valid to one digit of the standard uncertainty; these draws are too few to tell for \
                 two."
            }
            (Agreement::NotValid, Agreement::Valid) => {
                "First order is not valid to two digits of the standard uncertainty, only to one: take the interval of \
                 the Monte Carlo, or state one digit."
            }
            (_, Agreement::Undecided) => {
                "These draws are too few to tell whether first order is valid: take more."
            }
            (_, Agreement::NotValid) => {
                "First order is not valid here: take the interval of the Monte Carlo."
            }
        };
        format!("{verdict} {apart}")
    }
}

/// Trials that were left out and drawn again.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LeftOut {
    /// Trials in all, with those that were left out.
    pub attempts: u64,
    /// Trials that were left out.
    pub count: u64,
    /// Why the first of them was, as a sentence.
    pub first: Option<String>,
}

impl LeftOut {
    /// What was done with impossible trials, in words; none where there were none.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        let first = self.first.as_ref()?;
        let share = self.count as f64 / self.attempts as f64;
        Some(format!(
            "In {} of the trials the numbers drawn are impossible (the first: {first}); these were drawn again, so \
             that what is shown is the distribution of possible values only.",
            percent(share)
        ))
    }
}

/// A share in per cent to two digits: "1.2 %"; very small ones as "less than 0.01 %".
fn percent(share: f64) -> String {
    if share > 0.0 && share < 1e-4 {
        "less than 0.01\u{202F}%".into()
    } else {
        format!("{}\u{202F}%", crate::quantity::value_text(100.0 * share, 2))
    }
}

/// What a run gives. All numbers are in SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The seed: with it and the same entries, a run gives the same bits.
    pub seed: u64,
    /// The draws that were asked for.
    pub wanted: Draws,
    /// The draws that were used, without those left out.
    pub draws: u64,
    /// Whether all wanted draws were made, or the tolerance asked for was reached.
    pub complete: bool,
    /// Mean of the values (JCGM 101:2008, 7.6).
    pub mean: f64,
    /// Their standard deviation: the standard uncertainty (7.6).
    pub uncertainty: f64,
    /// The probabilistically symmetric 95 % coverage interval (5.3.4, 7.7.2).
    pub symmetric: Interval,
    /// The shortest 95 % coverage interval (5.3.4, 7.7.3).
    pub shortest: Interval,
    /// Their sampling errors; infinite after one block.
    pub errors: StandardErrors,
    /// For drawing.
    pub histogram: Histogram,
    /// What it is compared with.
    pub first_order: FirstOrder,
    /// How they compare.
    pub verdict: Verdict,
    /// Impossible trials.
    pub left_out: LeftOut,
    /// The scatter of points came in as corrections that hold to first order in the readings, on some card.
    pub fit_linearised: bool,
    /// An input has two degrees of freedom or fewer: its t distribution has no standard deviation (6.4.9.4), so that of
    /// the trials would be another with another seed. Intervals are not touched.
    pub unbounded_variance: bool,
}

impl Outcome {
    /// What holds of an input known from very few readings, in words; none where there is no such input.
    #[must_use]
    pub fn few_readings_words(&self) -> Option<&'static str> {
        self.unbounded_variance.then_some(
            "An input has two degrees of freedom or fewer. Its t distribution has no standard deviation, so the standard \
             uncertainty from the trials means nothing here: take the interval.",
        )
    }

    /// What holds of a fit whose corrections are first order, in words; none where there is no such fit.
    #[must_use]
    pub fn fit_words(&self) -> Option<&'static str> {
        self.fit_linearised.then_some(
            "Fit linearised: what was read from the measured points was not read again in each trial; their scatter \
             comes in as corrections that are exact to first order.",
        )
    }
}
