//! What is kept of the values: enough for mean, standard uncertainty, intervals, their sampling errors and a histogram,
//! in bounded memory.

use super::BLOCK;
use super::outcome::{Histogram, Interval, StandardErrors};

/// Values that are sorted at once, 8 MB. Of more, the ends of the intervals of each such batch are averaged.
const BATCH: usize = 1_000_000;

/// The coverage probability of the intervals.
pub(super) const PROBABILITY: f64 = 0.95;

/// Mean and sum of squared deviations, one number at a time.
#[derive(Clone, Copy, Debug, Default)]
struct Moments {
    count: f64,
    mean: f64,
    squares: f64,
}

impl Moments {
    fn of(values: &[f64]) -> Moments {
        let count = values.len() as f64;
        let first = values.iter().sum::<f64>() / count;
        let rest = values.iter().map(|v| v - first).sum::<f64>() / count;
        let mean = first + rest;
        let squares = values.iter().map(|v| (v - mean) * (v - mean)).sum();
        Moments {
            count,
            mean,
            squares,
        }
    }

    /// Adds those of other values.
    fn add(&mut self, other: &Moments) {
        let count = self.count + other.count;
        let apart = other.mean - self.mean;
        self.squares += other.squares + apart * apart * self.count * other.count / count;
        self.mean += apart * other.count / count;
        self.count = count;
    }

    fn push(&mut self, value: f64) {
        self.add(&Moments {
            count: 1.0,
            mean: value,
            squares: 0.0,
        });
    }

    fn standard_deviation(&self) -> f64 {
        (self.squares / (self.count - 1.0)).sqrt()
    }

    fn error_of_mean(&self) -> f64 {
        self.standard_deviation() / self.count.sqrt()
    }
}

/// The two kinds of coverage interval.
#[derive(Clone, Copy, Debug)]
pub(super) struct Intervals {
    pub(super) symmetric: Interval,
    pub(super) shortest: Interval,
}

impl Intervals {
    /// JCGM 101:2008, 7.7.2 and 7.7.3: of M sorted values y₍₁₎ … y₍M₎, q = pM, rounded; from y₍r₎ to y₍r₊q₎ with
    /// r = (M − q)/2, rounded up, or with the r for which the interval is shortest.
    pub(super) fn of(sorted: &[f64]) -> Intervals {
        let count = sorted.len();
        let covered = (PROBABILITY * count as f64).round() as usize;
        let interval = |r: usize| Interval {
            low: sorted[r],
            high: sorted[r + covered],
        };
        // One less than in the text, where the first value has the number one.
        let middle = (count - covered).div_ceil(2) - 1;
        let mut shortest = interval(middle);
        for r in 0..count - covered {
            let other = interval(r);
            if other.width() < shortest.width() {
                shortest = other;
            }
        }
        Intervals {
            symmetric: interval(middle),
            shortest,
        }
    }
}

/// Sums of interval ends, weighted with the number of values behind them.
#[derive(Clone, Copy, Debug, Default)]
struct Averaged {
    count: f64,
    ends: [f64; 4],
}

impl Averaged {
    fn add(&mut self, intervals: &Intervals, count: usize) {
        let Intervals {
            symmetric,
            shortest,
        } = intervals;
        let ends = [symmetric.low, symmetric.high, shortest.low, shortest.high];
        let part = count as f64 / (self.count + count as f64);
        for (mean, end) in self.ends.iter_mut().zip(ends) {
            *mean += (end - *mean) * part;
        }
        self.count += count as f64;
    }

    fn intervals(&self) -> Intervals {
        let [a, b, c, d] = self.ends;
        Intervals {
            symmetric: Interval { low: a, high: b },
            shortest: Interval { low: c, high: d },
        }
    }
}

/// All values so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    all: Moments,
    /// Mean, standard uncertainty, low and high end of each block.
    blocks: [Moments; 4],
    /// Values that are not in `averaged` yet.
    batch: Vec<f64>,
    averaged: Averaged,
    histogram: Option<Histogram>,
}

impl Tally {
    pub(super) fn count(&self) -> u64 {
        self.all.count as u64
    }

    pub(super) fn mean(&self) -> f64 {
        self.all.mean
    }

    pub(super) fn uncertainty(&self) -> f64 {
        self.all.standard_deviation()
    }

    /// Takes in one block, which is sorted.
    pub(super) fn add(&mut self, block: &mut [f64]) {
        let moments = Moments::of(block);
        block.sort_unstable_by(f64::total_cmp);
        let ends = Intervals::of(block).symmetric;
        let seen = [
            moments.mean,
            moments.standard_deviation(),
            ends.low,
            ends.high,
        ];
        for (all, one) in self.blocks.iter_mut().zip(seen) {
            all.push(one);
        }
        self.all.add(&moments);
        self.histogram
            .get_or_insert_with(|| Histogram::for_values_like(block, ends))
            .add(block);
        if self.batch.len() >= BATCH {
            self.close_batch();
        }
        self.batch.extend_from_slice(block);
    }

    fn close_batch(&mut self) {
        self.batch.sort_unstable_by(f64::total_cmp);
        self.averaged
            .add(&Intervals::of(&self.batch), self.batch.len());
        self.batch.clear();
    }

    /// Standard deviations of the averages over the blocks (JCGM 101:2008, 7.9.4); infinite before there are two.
    pub(super) fn errors(&self) -> StandardErrors {
        let [mean, uncertainty, low, high] = self.blocks.map(|moments| {
            if moments.count < 2.0 {
                f64::INFINITY
            } else {
                moments.error_of_mean()
            }
        });
        StandardErrors {
            mean,
            uncertainty,
            low,
            high,
        }
    }

    /// The intervals of all values, and their histogram; none before there is a block.
    pub(super) fn finish(mut self) -> Option<(Intervals, Histogram)> {
        if self.batch.len() < BLOCK {
            return None;
        }
        self.close_batch();
        Some((self.averaged.intervals(), self.histogram?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_take_the_values_that_the_text_names() {
        // M = 1000: q = 950, r = 25: from the 25th to the 975th value.
        let values: Vec<f64> = (1..=1000).map(f64::from).collect();
        let Intervals { symmetric, .. } = Intervals::of(&values);
        assert_eq!((symmetric.low, symmetric.high), (25.0, 975.0));
        // Squares are closest at the low end: from the first value to the 951st.
        let squares: Vec<f64> = values.iter().map(|v| v * v).collect();
        let Intervals { shortest, .. } = Intervals::of(&squares);
        assert_eq!((shortest.low, shortest.high), (1.0, 951.0 * 951.0));
    }

    #[test]
    fn moments_in_parts_are_those_of_the_whole() {
        let values: Vec<f64> = (0..100).map(|n| 1e6 + f64::from(n * n % 17)).collect();
        let mut parts = Moments::of(&values[..30]);
        parts.add(&Moments::of(&values[30..]));
        let whole = Moments::of(&values);
        assert!((parts.mean - whole.mean).abs() < 1e-9);
        assert!((parts.squares - whole.squares).abs() < 1e-6);
        let mut pushed = Moments::default();
        values.iter().for_each(|v| pushed.push(*v));
        assert!((pushed.squares - whole.squares).abs() < 1e-6);
    }
}
