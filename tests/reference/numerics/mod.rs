//! Fits, roots, curves and distributions against certified and independently computed values.
//!
//! The source of each outside value stands beside it or in the head of the data file.

pub(crate) mod comparisons;
mod curves;
mod distributions;
mod least_squares;
mod lines;
mod polynomials;
mod profiles;
mod roots;
mod single_diode;
mod univariate;

use glasswick_core::scalar::{Dual, Scalar};

use crate::agreement::{close, within};

/// Rows of a data file; lines with # say where it is from.
fn rows(text: &str) -> Vec<Vec<f64>> {
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect()
}

fn columns(text: &str) -> (Vec<f64>, Vec<f64>) {
    rows(text).into_iter().map(|row| (row[0], row[1])).unzip()
}

/// The same numbers as duals, with the derivative taken with respect to one of them.
fn seeded(values: &[f64], which: usize) -> Vec<Dual> {
    let mut duals: Vec<Dual> = values.iter().map(|&v| Dual::constant(v)).collect();
    duals[which] = Dual::seed(values[which]);
    duals
}

/// Central difference of a result with respect to one of several numbers.
fn difference(values: &[f64], which: usize, step: f64, result: impl Fn(&[f64]) -> f64) -> f64 {
    let mut shifted = values.to_vec();
    shifted[which] = values[which] + step;
    let above = result(&shifted);
    shifted[which] = values[which] - step;
    (above - result(&shifted)) / (2.0 * step)
}
