//! From pasted points to one curve: one sweep, in ascending order of voltage, each voltage once.

use crate::calculators::{Field, Points};
use crate::numerics::curve::Curve;
use crate::problem::Problem;

/// How far the voltage may step back, as a share of its span, before it counts as a second sweep. Voltages that
/// are themselves measured jitter; a second sweep goes back over most of the span.
const JITTER: f64 = 0.05;

/// Fewest different voltages a curve is read from: two for each axis crossing.
const FEWEST: usize = 4;

/// One sweep of a current–voltage curve, in the units and with the sign it came in.
#[derive(Clone, Debug)]
pub(super) struct Sweep {
    /// Voltages and currents.
    pub(super) curve: Curve,
    /// How many readings each point is the mean of, in the order of the curve.
    pub(super) readings: Vec<u32>,
    /// Readings that stood out of order of voltage.
    pub(super) out_of_order: usize,
}

impl Sweep {
    /// Sorts the points; readings at the same voltage become their mean.
    pub(super) fn new(field: &Field, voltage: &Field, points: &Points) -> Result<Sweep, Problem> {
        let out_of_order = out_of_order(field, voltage, &points.x)?;
        let mut sorted: Vec<(f64, f64)> = points
            .x
            .iter()
            .copied()
            .zip(points.y.iter().copied())
            .collect();
        sorted.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let (mut x, mut y, mut readings) = (Vec::new(), Vec::new(), Vec::new());
        for same in sorted.chunk_by(|a, b| a.0 == b.0) {
            let sum: f64 = same.iter().map(|(_, current)| current).sum();
            x.push(same[0].0);
            y.push(sum / same.len() as f64);
            readings.push(u32::try_from(same.len()).unwrap_or(u32::MAX));
        }
        if x.len() < FEWEST {
            return Err(Problem::at(
                field,
                "too_few_points",
                format!(
                    "There are points at {} different voltages; at least {FEWEST} are needed.",
                    x.len()
                ),
                "Paste the whole sweep, from 0 V or below to beyond the open-circuit voltage.",
            ));
        }
        let curve = Curve::new(&x, &y).map_err(|error| {
            Problem::at(
                field,
                "no_curve",
                error.to_string(),
                "Correct the points and paste them again.",
            )
        })?;
        Ok(Sweep {
            curve,
            readings,
            out_of_order,
        })
    }

    /// Readings that were averaged with others at the same voltage.
    pub(super) fn averaged(&self) -> u32 {
        self.readings.iter().filter(|count| **count > 1).sum()
    }
}

/// How many readings stand slightly out of order. Voltages that turn back further are more than one sweep.
fn out_of_order(field: &Field, voltage: &Field, volts: &[f64]) -> Result<usize, Problem> {
    let lowest = volts.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = volts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let tolerated = JITTER * (highest - lowest);
    let first = volts.first().copied().unwrap_or_default();
    let falls = volts
        .iter()
        .find(|v| (**v - first).abs() > tolerated)
        .is_some_and(|v| *v < first);
    let (mut furthest, mut turn, mut count) = (first, 0, 0);
    for (index, &v) in volts.iter().enumerate() {
        let back = if falls { v - furthest } else { furthest - v };
        if back > tolerated {
            return Err(Problem::at(
                field,
                "more_than_one_sweep",
                format!(
                    "The voltage turns back at {} (point {}): the points hold more than one sweep.",
                    voltage.say(furthest),
                    turn + 1
                ),
                "Paste one sweep here; duplicate the card for the other.",
            ));
        }
        if back > 0.0 {
            count += 1;
        } else if v != furthest {
            (furthest, turn) = (v, index);
        }
    }
    Ok(count)
}
