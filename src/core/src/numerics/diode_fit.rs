//! The single-diode model that comes closest to measured voltages and currents, without a start from the person.
//!
//! Voltages are divided by the largest forward one, currents by their largest size. For a given steepness of the diode
//! and series resistance the implicit equation at the measured currents is linear in photocurrent, saturation current and
//! leakage: a linear fit for each pair of a grid, with residuals divided by what turns them into residuals of the current,
//! tells where to start. The best few are improved on a part of the points, and the best of these on all by
//! [`least_squares`](super::least_squares); the others only where it fails. Of a great many points all are used only once
//! a part of them has told where the best fit lies.
//!
//! Inside, the parameters are photocurrent, ln I0, 1/a, Rs and 1/Rsh: in the second and third the valley of nearly equal
//! fits is straight, and the last two have a limit, zero, at which the model is still one. At the optimum the covariance
//! of the logarithms follows exactly from theirs.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use super::least_squares::{Fit, FitError, Model, Options, fit};
use super::single_diode::SingleDiode;
use crate::scalar::Scalar;

/// What is made least.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Objective {
    /// Squares of the model's current at the measured voltage, less the measured current.
    #[default]
    Solved,
    /// Squares of what the implicit equation leaves at the measured voltage and current.
    Implicit,
}

/// What is known about the photocurrent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Light {
    /// It is fitted.
    #[default]
    On,
    /// It is zero.
    Off,
}

/// The five parameters, in the order of the covariance.
pub const PARAMETERS: usize = 5;

/// The fitted model. Units are those of the points: volts and amperes, or volts and current densities.
#[derive(Clone, Debug, PartialEq)]
pub struct DiodeFit {
    /// The parameters; a series resistance of zero or an infinite shunt where the points show none.
    pub diode: SingleDiode<f64>,
    /// Covariance of the logarithms of photocurrent, saturation current, slope voltage, series and shunt resistance,
    /// from the scatter of the points. Zero for what was not fitted. None where the points do not determine it.
    pub covariance: Option<[[f64; PARAMETERS]; PARAMETERS]>,
    /// Which parameters were fitted and are not at a limit.
    pub fitted: [bool; PARAMETERS],
    /// The series resistance below which it lies with about 97.5 % confidence, and the shunt resistance above which.
    /// Not a number where the points do not tell.
    pub series_below: f64,
    /// See [`DiodeFit::series_below`].
    pub shunt_above: f64,
    /// What the objective leaves at each point, model less measured.
    pub residuals: Vec<f64>,
    /// Points less parameters fitted and not at a limit.
    pub degrees_of_freedom: usize,
    /// As in [`Fit::condition`].
    pub condition: f64,
    /// As in [`Fit::offset`].
    pub offset: f64,
    /// Whether it converged.
    pub converged: bool,
    /// Whether the diode became a straight line or a step between two points: the points show no bend of a diode.
    pub no_bend: bool,
    /// How often the model was evaluated at all points.
    pub evaluations: usize,
    /// Standard deviations of the logarithms over refits to resampled residuals, where these were asked for. Not a number
    /// for what was not fitted or ended at its limit too often.
    pub bootstrap: Option<[f64; PARAMETERS]>,
}

impl DiodeFit {
    /// √(Σ r² / N) over all points.
    #[must_use]
    pub fn root_mean_square(&self) -> f64 {
        let sum: f64 = self.residuals.iter().map(|r| r.squared()).sum();
        (sum / self.residuals.len() as f64).sqrt()
    }
}

/// Fits the model. Photocurrent is positive; where it is fixed to zero, the forward current is negative. A second opinion
/// on the covariance comes from this many refits, to the fitted current with residuals drawn from those of the fit; see
/// [`REFITTED_POINTS`].
///
/// # Errors
/// When the points are fewer than the parameters or not finite; see [`DiodeFit::converged`] for the rest.
pub fn fit_diode(
    voltage: &[f64],
    current: &[f64],
    light: Light,
    objective: Objective,
    refits: usize,
) -> Result<DiodeFit, FitError> {
    let curve = Curve::new(voltage, current, light, objective)?;
    let best = curve.fit()?;
    let mut outcome = curve.outcome(&best);
    if refits > 0 && outcome.converged && outcome.degrees_of_freedom > 0 {
        outcome.bootstrap = Some(curve.bootstrap(&best, refits));
    }
    Ok(outcome)
}

/// Most points of a refit. Of more, so many are taken evenly, and the standard deviations are divided by the root of how
/// many times more there are.
pub const REFITTED_POINTS: usize = 500;

/// Points of which the starts are judged.
const FEW: usize = 32;
/// Most points of which the best fit is sought: from there, a few steps on all of more points end it.
const MANY: usize = 2000;
/// Candidates that are improved on a part of the points.
const CANDIDATES: usize = 3;
/// How many times the largest forward voltage holds the voltage over which the diode's current grows e-fold.
const STEEPNESS: [f64; 11] = [1.0, 2.0, 3.5, 5.5, 8.0, 11.0, 15.0, 20.0, 27.0, 38.0, 60.0];
/// Series resistance, as a share of the slope at the end of the points.
const SERIES: [f64; 6] = [0.0, 0.25, 0.5, 0.75, 0.9, 1.0];
/// Limits of photocurrent, logarithm of the saturation current, steepness, series resistance and leakage, all in
/// terms of the largest current and forward voltage. No diode has a saturation current of less than 1e-34 of the largest
/// current, and none that is above it, or grows e-fold over twice the voltage, bends.
const LIMITS: [(f64, f64); PARAMETERS] = [
    (0.0, 1e6),
    (-80.0, 0.0),
    (0.5, 700.0),
    (0.0, 1e6),
    (0.0, 1e6),
];
/// Residuals this small, as a share of the currents, are those of exact points.
const ROUNDING: f64 = 1e-13;

/// How far a fit goes: most evaluations, and see [`Options::offset`].
#[derive(Clone, Copy)]
struct Effort(usize, f64);

/// On a part of the points: enough to rank the candidates.
const RANKING: Effort = Effort(12, 1e-3);
/// On all points: parameters are then off by a billionth of their standard uncertainty or so. Nearly all fits take ten
/// evaluations; where parameters stand for each other it may take a thousand.
const FULL: Effort = Effort(2000, 1e-9);
/// On all points, from the best fit to a part.
const LAST: Effort = Effort(50, 1e-9);
/// Of the bootstrap: its standard deviations are uncertain by some percent.
const REFIT: Effort = Effort(50, 1e-4);

/// Largest reverse voltage over largest forward voltage that counts.
const REVERSE: f64 = 100.0;

/// The same points give the same refits.
const SEED: u64 = 1;

/// Photocurrent, ln I0, 1/a, Rs, 1/Rsh.
type Point = [f64; PARAMETERS];

/// Measured points over their largest forward voltage and their largest current.
#[derive(Clone)]
struct Curve {
    voltage: Vec<f64>,
    current: Vec<f64>,
    volts: f64,
    amperes: f64,
    light: Light,
    objective: Objective,
}

impl Curve {
    fn new(
        voltage: &[f64],
        current: &[f64],
        light: Light,
        objective: Objective,
    ) -> Result<Curve, FitError> {
        if voltage.len() != current.len() {
            return Err(FitError::UnequalLengths);
        }
        let finite = |(v, i): (&f64, &f64)| v.is_finite() && i.is_finite();
        if let Some(index) = voltage.iter().zip(current).position(|point| !finite(point)) {
            return Err(FitError::NotFinite { index });
        }
        let largest = |values: &[f64]| values.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
        let (volts, amperes) = (largest(voltage), largest(current));
        // A long reverse branch does not make the diode steeper.
        let forward = voltage.iter().copied().fold(0.0, f64::max);
        let volts = forward.max(volts / REVERSE);
        let over = |values: &[f64], largest: f64| values.iter().map(|x| x / largest).collect();
        if !(volts.is_normal() && amperes.is_normal()) {
            return Err(FitError::NoStart);
        }
        Ok(Curve {
            voltage: over(voltage, volts),
            current: over(current, amperes),
            volts,
            amperes,
            light,
            objective,
        })
    }

    /// The first parameter that is fitted.
    fn first(&self) -> usize {
        match self.light {
            Light::On => 0,
            Light::Off => 1,
        }
    }

    /// The best fit, as the parameters inside.
    fn fit(&self) -> Result<Fit, FitError> {
        if self.voltage.len() <= MANY {
            return self.best();
        }
        let start = self.part(&self.bend(MANY)).best()?;
        self.improve(&(start.residual_sum, self.point(&start.parameters)), LAST)
    }

    /// The best fit from all starts.
    fn best(&self) -> Result<Fit, FitError> {
        let part = self.part(&self.bend(FEW));
        let mut starts = part.starts();
        for start in &mut starts {
            if let Ok(fit) = part.improve(start, RANKING) {
                *start = (fit.residual_sum, self.point(&fit.parameters));
            }
        }
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut best: Option<Fit> = None;
        let mut refused = FitError::NoStart;
        for start in &starts {
            match self.improve(start, FULL) {
                Ok(fit) => {
                    let better = |best: &Fit| fit.residual_sum < best.residual_sum;
                    let good = fit.converged() && !self.at_edge(&fit);
                    if best.as_ref().is_none_or(better) {
                        best = Some(fit);
                    }
                    if good {
                        break;
                    }
                }
                Err(error) => refused = error,
            }
        }
        best.ok_or(refused)
    }

    fn improve(
        &self,
        (_, start): &(f64, Point),
        Effort(evaluations, offset): Effort,
    ) -> Result<Fit, FitError> {
        let first = self.first();
        let options = Options {
            limits: &LIMITS[first..],
            evaluations,
            offset,
            rounding: ROUNDING,
        };
        fit(self, &self.current, &start[first..], options)
    }

    /// All five parameters from those fitted.
    fn point(&self, parameters: &[f64]) -> Point {
        let mut point = [0.0; PARAMETERS];
        for (place, x) in point[self.first()..].iter_mut().zip(parameters) {
            *place = *x;
        }
        point
    }

    /// These of the points.
    fn part(&self, places: &[usize]) -> Curve {
        let some = |values: &[f64]| places.iter().map(|k| values[*k]).collect();
        Curve {
            voltage: some(&self.voltage),
            current: some(&self.current),
            ..*self
        }
    }

    /// Places of so many points that show the bend: evenly, from a reverse branch of no more points than the forward one.
    fn bend(&self, most: usize) -> Vec<usize> {
        let all = 0..self.voltage.len();
        let (back, forward): (Vec<usize>, Vec<usize>) = all.partition(|k| self.voltage[*k] < 0.0);
        let mut places = evenly(&back, forward.len().max(most / 2));
        places.extend(forward);
        evenly(&places, most)
    }

    /// −dV/dI at the end where the voltage is highest, from a straight line through the last points.
    fn end_slope(&self) -> f64 {
        let mut order: Vec<usize> = (0..self.voltage.len()).collect();
        order.sort_unstable_by(|a, b| self.voltage[*b].total_cmp(&self.voltage[*a]));
        order.truncate((order.len() / 8).max(3));
        let of = |values: &[f64]| order.iter().map(|k| values[*k]).collect::<Vec<f64>>();
        let (v, i) = (of(&self.voltage), of(&self.current));
        match super::line::fit(&v, &i, &[]) {
            Ok(line) if line.slope < -0.1 => -1.0 / line.slope,
            _ => 1.0,
        }
    }

    /// Places to start from, the most promising first, with how well each does.
    fn starts(&self) -> Vec<(f64, Point)> {
        let end = self.end_slope();
        let mut grid: Vec<Vec<(f64, Point)>> = Vec::with_capacity(STEEPNESS.len());
        for steepness in STEEPNESS {
            let of_series = |share: f64| self.linear(steepness, share * end);
            let mut row: Vec<_> = SERIES.into_iter().filter_map(of_series).collect();
            row.sort_by(|a, b| a.0.total_cmp(&b.0));
            row.truncate(2);
            grid.push(row);
        }
        let mut starts: Vec<_> = grid.into_iter().flatten().collect();
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        starts.truncate(CANDIDATES);
        starts
    }

    /// Photocurrent, saturation current and leakage for this steepness and series resistance, from the implicit
    /// equation, and the sum of squares that they leave.
    fn linear(&self, steepness: f64, series: f64) -> Option<(f64, Point)> {
        // The voltage across the diode, and its exponential over the largest of them.
        let across: Vec<f64> = self
            .voltage
            .iter()
            .zip(&self.current)
            .map(|(v, i)| v + i * series)
            .collect();
        let most = across.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let one = libm::exp(-steepness * most);
        let grown: Vec<f64> = across
            .iter()
            .map(|u| libm::exp(steepness * (u - most)))
            .collect();
        let mut weights = vec![1.0; across.len()];
        let mut found = None;
        // The second time with weights that turn what the equation leaves into what the current is off.
        for _ in 0..2 {
            let mut normal = [[0.0; 3]; 3];
            let mut right = [0.0; 3];
            for (k, u) in across.iter().enumerate() {
                let photo = if self.light == Light::On { 1.0 } else { 0.0 };
                let row = [photo, one - grown[k], -u];
                for a in 0..3 {
                    for b in 0..3 {
                        normal[a][b] += weights[k] * row[a] * row[b];
                    }
                    right[a] += weights[k] * row[a] * self.current[k];
                }
            }
            let [photo, top, leak] = not_negative(&normal, &right)?;
            let mut sum = 0.0;
            for (k, u) in across.iter().enumerate() {
                let left = photo - top * (grown[k] - one) - leak * u - self.current[k];
                let fed_back = 1.0 + series * (top * grown[k] * steepness + leak);
                weights[k] = 1.0 / fed_back.squared();
                sum += left.squared() * weights[k];
            }
            let logarithm = libm::log(top) - steepness * most;
            found = Some((sum, [photo, logarithm, steepness, series, leak]));
        }
        found.filter(|(sum, point)| sum.is_finite() && point.iter().all(|x| x.is_finite()))
    }

    /// Whether the diode has become a straight line or a step.
    fn at_edge(&self, fit: &Fit) -> bool {
        let first = self.first();
        let held = |parameter: usize| fit.at_limit.get(parameter - first) == Some(&true);
        held(1) || held(2) || (first == 0 && fit.at_limit.first() == Some(&true))
    }

    fn diode(&self, &[photo, logarithm, steepness, series, leak]: &Point) -> SingleDiode<f64> {
        SingleDiode {
            photo: photo * self.amperes,
            saturation: libm::exp(logarithm) * self.amperes,
            slope_voltage: self.volts / steepness,
            series: series * self.volts / self.amperes,
            shunt: self.volts / self.amperes / leak,
        }
    }

    fn outcome(&self, fit: &Fit) -> DiodeFit {
        let first = self.first();
        let point = self.point(&fit.parameters);
        let mut fitted = [false; PARAMETERS];
        for (place, held) in fitted[first..].iter_mut().zip(&fit.at_limit) {
            *place = !held;
        }
        // What one more of each logarithm is worth.
        let [photo, _, steepness, series, leak] = point;
        let per = [
            1.0 / photo,
            1.0,
            -1.0 / steepness,
            1.0 / series,
            -1.0 / leak,
        ];
        let covariance = fit.covariance.as_ref().map(|inside| {
            let mut outside = [[0.0; PARAMETERS]; PARAMETERS];
            for a in first..PARAMETERS {
                for b in first..PARAMETERS {
                    if fitted[a] && fitted[b] {
                        outside[a][b] = inside[a - first][b - first] * per[a] * per[b];
                    }
                }
            }
            outside
        });
        // The same with no parameter held, to tell how large one at its limit could be.
        let unheld = self.unheld(&fit.parameters);
        let could_be = |parameter: usize| {
            let variance = unheld
                .as_ref()
                .map_or(f64::NAN, |all| all[parameter - first][parameter - first]);
            point[parameter] + 2.0 * variance.sqrt()
        };
        DiodeFit {
            diode: self.diode(&point),
            covariance,
            fitted,
            series_below: could_be(3) * self.volts / self.amperes,
            shunt_above: self.volts / self.amperes / could_be(4),
            residuals: fit.residuals.iter().map(|r| r * self.amperes).collect(),
            degrees_of_freedom: fit.degrees_of_freedom,
            condition: fit.condition,
            offset: fit.offset,
            converged: fit.converged(),
            no_bend: self.at_edge(fit),
            evaluations: fit.evaluations,
            bootstrap: None,
        }
    }

    /// Standard deviations of the logarithms over refits.
    fn bootstrap(&self, best: &Fit, refits: usize) -> [f64; PARAMETERS] {
        let points = self.current.len();
        let all: Vec<usize> = (0..points).collect();
        let places = evenly(&all, REFITTED_POINTS);
        let solved = Curve {
            objective: Objective::Solved,
            ..self.clone()
        };
        let mut fitted = vec![0.0; points];
        let mut slopes = vec![0.0; points * self.parameters()];
        solved.evaluate(&best.parameters, &mut fitted, &mut slopes);
        // The fit has taken some of the scatter.
        let scale = (points as f64 / best.degrees_of_freedom as f64).sqrt();
        let off = |(model, measured): (&f64, &f64)| scale * (measured - model);
        let scatter: Vec<f64> = fitted.iter().zip(&self.current).map(off).collect();
        let mut bits = Xoshiro256PlusPlus::seed_from_u64(SEED);
        let mut draw = || {
            let place = (u128::from(bits.next_u64()) * points as u128) >> 64;
            usize::try_from(place)
                .ok()
                .and_then(|k| scatter.get(k).copied())
                .unwrap_or(0.0)
        };
        let mut again = self.part(&places);
        let start = (0.0, self.point(&best.parameters));
        let mut logarithms: [Vec<f64>; PARAMETERS] = Default::default();
        for _ in 0..refits {
            for (current, place) in again.current.iter_mut().zip(&places) {
                *current = fitted[*place] + draw();
            }
            let Ok(refit) = again.improve(&start, REFIT) else {
                continue;
            };
            let [photo, logarithm, steepness, series, leak] = self.point(&refit.parameters);
            let found = [
                libm::log(photo),
                logarithm,
                libm::log(steepness),
                libm::log(series),
                libm::log(leak),
            ];
            for (all, one) in logarithms.iter_mut().zip(found) {
                if one.is_finite() {
                    all.push(one);
                }
            }
        }
        let enough = refits - refits / 20;
        let of_all = places.len() as f64 / points as f64;
        logarithms.map(|all| {
            let count = all.len() as f64;
            let mean = all.iter().sum::<f64>() / count;
            let squares: f64 = all.iter().map(|x| (x - mean).squared()).sum();
            if all.len() < enough {
                f64::NAN
            } else {
                (of_all * squares / (count - 1.0)).sqrt()
            }
        })
    }

    fn unheld(&self, parameters: &[f64]) -> Option<Vec<Vec<f64>>> {
        let options = Options {
            evaluations: 1,
            ..Options::default()
        };
        fit(self, &self.current, parameters, options)
            .ok()?
            .covariance
    }
}

impl Model for Curve {
    fn parameters(&self) -> usize {
        PARAMETERS - self.first()
    }

    fn evaluate(&self, parameters: &[f64], values: &mut [f64], slopes: &mut [f64]) {
        let first = self.first();
        let [photo, logarithm, steepness, series, leak] = self.point(parameters);
        let diode = SingleDiode {
            photo,
            saturation: libm::exp(logarithm),
            slope_voltage: 1.0 / steepness,
            series,
            shunt: 1.0 / leak,
        };
        let points = self.voltage.len();
        for (k, (v, i)) in self.voltage.iter().zip(&self.current).enumerate() {
            let (value, by) = match self.objective {
                Objective::Solved => {
                    let at = diode.response(*v);
                    let by_steepness = -at.by_slope_voltage / steepness.squared();
                    let by_logarithm = at.by_saturation * diode.saturation;
                    (
                        at.current,
                        [
                            at.by_photo,
                            by_logarithm,
                            by_steepness,
                            at.by_series,
                            at.by_leak,
                        ],
                    )
                }
                Objective::Implicit => {
                    let u = v + i * series;
                    let forward = libm::exp(logarithm + steepness * u);
                    let through = forward - diode.saturation;
                    (
                        photo - through - u * leak,
                        [
                            1.0,
                            -through,
                            -forward * u,
                            -(forward * steepness + leak) * i,
                            -u,
                        ],
                    )
                }
            };
            values[k] = value;
            for (column, slope) in by[first..].iter().enumerate() {
                slopes[column * points + k] = *slope;
            }
        }
    }
}

/// So many of the places at most, the first and the last among them.
fn evenly(places: &[usize], most: usize) -> Vec<usize> {
    if places.len() <= most {
        return places.to_vec();
    }
    let place = |k: usize| places[k * (places.len() - 1) / (most - 1)];
    (0..most).map(place).collect()
}

/// Solves the normal equations of photocurrent, current of the diode at the highest voltage, and leakage, none below
/// zero and the second above. An equation of zeros leaves its unknown zero.
fn not_negative(normal: &[[f64; 3]; 3], right: &[f64; 3]) -> Option<[f64; 3]> {
    let all = [normal[0][0] > 0.0, true, true];
    let tries = [
        all,
        [all[0], true, false],
        [false, true, true],
        [false, true, false],
    ];
    tries
        .into_iter()
        .map(|used| solve(normal, right, used))
        .find(|[photo, top, leak]| *photo >= 0.0 && *top > 0.0 && *leak >= 0.0)
}

/// Solves for the unknowns used, by elimination; the others are zero.
fn solve(normal: &[[f64; 3]; 3], right: &[f64; 3], used: [bool; 3]) -> [f64; 3] {
    let (mut a, mut x) = (*normal, *right);
    for (k, used) in used.into_iter().enumerate() {
        if !used {
            a[k] = [0.0; 3];
            a.iter_mut().for_each(|row| row[k] = 0.0);
            (a[k][k], x[k]) = (1.0, 0.0);
        }
    }
    for k in 0..3 {
        let pivot = a[k];
        for row in k + 1..3 {
            let share = a[row][k] / pivot[k];
            for (cell, above) in a[row].iter_mut().zip(pivot) {
                *cell -= share * above;
            }
            x[row] -= share * x[k];
        }
    }
    for k in (0..3).rev() {
        for column in k + 1..3 {
            x[k] -= a[k][column] * x[column];
        }
        x[k] /= a[k][k];
    }
    x
}
