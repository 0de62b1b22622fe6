//! From pasted points to one current–voltage curve: one sweep, in ascending order of voltage, each voltage once; which way
//! it was swept, and the sign of its photocurrent.

use super::{Field, Points};
use crate::numerics::curve::{Curve, Interpolated};
pub(super) use crate::points::Direction;
use crate::points::{MORE_THAN_ONE_SWEEP, stretches};
use crate::problem::{Check, Problem, derived};

/// Fewest different voltages a curve is read from: two for each axis crossing.
const FEWEST: usize = 4;

/// What to do where the voltage has the opposite sign of an illuminated cell's.
pub(super) const TURN_VOLTAGE: &str =
    "Turn the sign of the voltage under “Correct how it is read”, or swap the leads.";

/// The field that holds the points, and what stands in its columns: the current may be a current density.
#[derive(Clone, Copy)]
pub(super) struct Columns {
    pub(super) field: &'static Field,
    pub(super) voltage: &'static Field,
    pub(super) current: &'static Field,
}

impl Direction {
    /// What the order of the points says.
    pub(super) fn check(self) -> Check {
        let sentence = match self {
            Direction::Forward => {
                "The voltage rises from point to point: a forward sweep, from short circuit to open circuit."
            }
            Direction::Reverse => {
                "The voltage falls from point to point: a reverse sweep, from open circuit to short circuit."
            }
        };
        let rule = derived("order of the points, as far as the file keeps that of the measurement");
        Check::in_range("direction", sentence, rule)
    }
}

/// One sweep of a current–voltage curve, in the units and with the sign it came in.
#[derive(Clone, Debug)]
pub(super) struct Sweep {
    /// Voltages and currents.
    pub(super) curve: Curve,
    /// How many readings each point is the mean of, in the order of the curve.
    pub(super) readings: Vec<u32>,
    /// Readings that stood out of order of voltage.
    pub(super) out_of_order: usize,
    /// Which way the voltage went, by the order of the points.
    pub(super) direction: Direction,
}

impl Sweep {
    /// Sorts the points; readings at the same voltage become their mean.
    pub(super) fn new(columns: Columns, points: &Points) -> Result<Sweep, Problem> {
        let field = columns.field;
        let (direction, out_of_order) = order(columns, &points.x)?;
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
            direction,
        })
    }

    /// Adds Σ uₖ²·gₖ·gₖᵀ over the points: gₖ are the derivatives of some numbers with respect to the current of point k,
    /// uₖ is the standard uncertainty of that current, the mean of one reading or more.
    pub(super) fn add_covariance<const N: usize>(
        &self,
        covariance: &mut [Vec<f64>],
        slopes: &[[f64; N]],
        of_reading: f64,
    ) {
        for (slopes, readings) in slopes.iter().zip(&self.readings) {
            let variance = of_reading * of_reading / f64::from(*readings);
            for (row, a) in covariance.iter_mut().zip(slopes) {
                for (cell, b) in row.iter_mut().zip(slopes) {
                    *cell += variance * a * b;
                }
            }
        }
    }

    /// Readings that were averaged with others at the same voltage.
    pub(super) fn averaged(&self) -> u32 {
        self.readings.iter().filter(|count| **count > 1).sum()
    }
}

/// Which way the voltage went, and how many readings stand slightly out of order. Voltages that turn back further are
/// more than one sweep.
fn order(columns: Columns, volts: &[f64]) -> Result<(Direction, usize), Problem> {
    if let [first, _, ..] = stretches(volts).as_slice() {
        let furthest = volts[first.clone()].last().copied().unwrap_or_default();
        return Err(Problem::at(
            columns.field,
            MORE_THAN_ONE_SWEEP,
            format!(
                "The voltage turns back at {} (point {}): the points hold more than one sweep.",
                columns.voltage.say(furthest),
                first.end
            ),
            "Paste one sweep here; duplicate the card for the other.",
        ));
    }
    let [first, last] = [volts.first(), volts.last()].map(|v| v.copied().unwrap_or_default());
    let direction = Direction::between(first, last);
    let mut furthest = first;
    let mut count = 0;
    for &v in volts {
        let back = match direction {
            Direction::Forward => v < furthest,
            Direction::Reverse => v > furthest,
        };
        if back {
            count += 1;
        } else {
            furthest = v;
        }
    }
    Ok((direction, count))
}

/// The current at 0 V on the straight line between the points round it, with the sign it came in.
pub(super) fn short_circuit(curve: &Curve, columns: Columns) -> Result<Interpolated, Problem> {
    let too_far = || {
        Problem::at(
            columns.field,
            "no_short_circuit",
            format!(
                "The points ({} to {}) are too far from 0 V to read the short-circuit current from them.",
                columns.voltage.say(first(curve)),
                columns.voltage.say(last(curve)),
            ),
            "Measure from 0 V or slightly below it.",
        )
    };
    let short = curve.linear(0.0).map_err(|_| too_far())?;
    if within_reach(curve, 0.0, short.weights) {
        Ok(short)
    } else {
        Err(too_far())
    }
}

/// The sign is that of the current near 0 V: both points used and the value between them must agree.
pub(super) fn photocurrent_is_negative(
    curve: &Curve,
    short: &Interpolated,
    columns: Columns,
) -> Result<bool, Problem> {
    let Columns {
        field,
        voltage,
        current,
    } = columns;
    let [(left, _), (right, _)] = short.weights;
    let seen = [curve.y()[left], short.y, curve.y()[right]];
    if seen.iter().all(|i| *i > 0.0) {
        Ok(false)
    } else if seen.iter().all(|i| *i < 0.0) {
        Ok(true)
    } else {
        Err(Problem::at(
            field,
            "sign_unclear",
            format!(
                "Near 0 V the current changes from {} at {} to {} at {}: it does not show the sign of the \
                 photocurrent.",
                current.say(seen[0]),
                voltage.say(curve.x()[left]),
                current.say(seen[2]),
                voltage.say(curve.x()[right]),
            ),
            "Paste the sweep of the illuminated cell, with points below 0 V or closer together.",
        ))
    }
}

/// Whether a place lies among the points, or beyond them by no more than the distance of the two points used.
pub(super) fn within_reach(curve: &Curve, place: f64, used: [(usize, f64); 2]) -> bool {
    let [(left, _), (right, _)] = used;
    let spacing = curve.x()[right] - curve.x()[left];
    first(curve) - spacing <= place && place <= last(curve) + spacing
}

/// The lowest voltage.
pub(super) fn first(curve: &Curve) -> f64 {
    curve.x().first().copied().unwrap_or(f64::NAN)
}

/// The highest voltage.
pub(super) fn last(curve: &Curve) -> f64 {
    curve.x().last().copied().unwrap_or(f64::NAN)
}
