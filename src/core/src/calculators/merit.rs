//! The figures of merit of one sweep: what cards share that read short circuit, open circuit and maximum power from
//! measured points, each by a named method, with what the noise of every reading adds.

use super::sweep::{
    Columns, Sweep, TURN_VOLTAGE, first, last, photocurrent_is_negative, short_circuit,
    within_reach,
};
use super::{Choice, Field, Given, Points, Scatter, choice, option, quantity};
use crate::numerics::curve::{Crossing, Curve, CurveError, Interpolated, Local, Peak, Reading};
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::{Kind, brief_text, value_text};
use crate::scalar::Scalar;
use core::ops::Range;

pub(super) static SECOND_COLUMN: Field = choice(
    "second_column",
    "The second column is",
    &[
        option("current", "current"),
        option("density", "current density"),
    ],
);
pub(super) static VOLTAGE: Field = quantity("voltage", "Voltage", Kind::Voltage)
    .symbol("V")
    .units(&["V", "mV"]);
pub(super) static CURRENT: Field = quantity("current", "Current", Kind::Current)
    .symbol("I")
    .units(&["mA", "A", "uA"]);
pub(super) static DENSITY: Field = quantity("density", "Current density", Kind::CurrentDensity)
    .symbol("J")
    .units(&["mA/cm2", "A/m2", "uA/cm2"]);
pub(super) static DENSITY_AREA: Field = quantity(
    "density_area",
    "Area the current was divided by",
    Kind::Area,
)
.symbol("A₀")
.help(
    "As set in the instrument or file, without ±: current density times this area is the current that was read.",
)
.units(&["cm2", "mm2"])
.positive()
.weighing();
pub(super) static AREA: Field = quantity("area", "Illuminated area", Kind::Area)
    .symbol("A")
    .help("The opening of the mask where there is one.")
    .units(&["cm2", "mm2"])
    .positive();
pub(super) static FILM_AREA: Field = quantity("film_area", "Area of the film", Kind::Area)
    .symbol("A₁")
    .help("The whole film, lit or dark: all of it recombines.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
pub(super) static IRRADIANCE: Field = quantity("irradiance", "Irradiance", Kind::Irradiance)
    .symbol("G")
    .units(&["mW/cm2", "W/m2"])
    .positive()
    .initially("100");
/// A sheet written before there was this choice has none: then the straight lines are meant.
pub(super) static AXES: Field = choice("axes", "Isc and Voc by", AXES_OPTIONS).optional();
const AXES_OPTIONS: &[Choice] = &[
    option("fit", "local fits"),
    option("lines", "straight lines between two points"),
    option("cubic", "monotone cubic"),
];
pub(super) static METHOD: Field = choice("method", "Maximum power by", METHOD_OPTIONS);
const METHOD_OPTIONS: &[Choice] = &[
    option("fit", "fourth-degree fit to the current round the maximum"),
    option(
        "parabola",
        "parabola through three points round the largest product",
    ),
    option("polynomial", "fourth-degree polynomial on seven points"),
    option("cubic", "monotone cubic"),
    option("largest", "largest measured product"),
];
pub(super) static NOISE: Field = quantity("noise", "Scatter of one current reading", Kind::Current)
    .symbol("s")
    .help("Standard deviation of repeated readings at one voltage; left empty, local fits estimate it.")
    .units(&["uA", "mA", "nA"])
    .positive()
    .optional();
pub(super) static CURRENT_FACTOR: Field = quantity(
    "current_factor",
    "Calibration factor of the current",
    Kind::Ratio,
)
.symbol("kᵢ")
.help("True current over reading: 1 ± 0.002 for a meter good to 0.2 %.")
.units(&["1"])
.within(0.5, 2.0)
.initially("1");
pub(super) static VOLTAGE_FACTOR: Field = quantity(
    "voltage_factor",
    "Calibration factor of the voltage",
    Kind::Ratio,
)
.symbol("kᵥ")
.help("True voltage over reading.")
.units(&["1"])
.within(0.5, 2.0)
.initially("1");
pub(super) static SWEEP_RATE: Field = quantity("sweep_rate", "Sweep rate", Kind::SweepRate)
    .units(&["mV/s", "V/s"])
    .positive()
    .optional();
pub(super) static DELAY: Field = quantity("delay", "Delay at each point", Kind::Time)
    .help("From setting the voltage to reading the current.")
    .units(&["ms", "s"])
    .not_negative()
    .optional();

pub(super) const PROPAGATION: Source =
    memory("JCGM 100:2008, 5.1 and 5.2: propagation of uncertainty, with correlation");
pub(super) const LOCAL_FITS: Source = memory(
    "ASTM E948 and common practice: least squares near the axes, fourth degree near the maximum power",
);

/// Within this share of the open-circuit voltage round 0 V the line of the short-circuit current is fitted.
const NEAR_SHORT: f64 = 0.10;
/// Up to this share of the short-circuit current the polynomial of the open-circuit voltage is fitted.
const NEAR_OPEN: f64 = 0.30;
/// Within this share of the voltage and current of the largest product the polynomial of the maximum is fitted.
const NEAR_MAXIMUM: f64 = 0.15;
/// Fewest points of the line near 0 V.
const FEWEST_AT_SHORT: usize = 3;
/// Fewest points of a fit of this degree at the open circuit and round the maximum.
const FEWEST: usize = 7;
const DEGREE: usize = 4;

/// A slope below this share of Isc/Voc is that of rounding.
const LEVEL: f64 = 1e-9;

/// What a sweep gives, in the order of its corrections.
pub(super) const FIGURES: usize = 6;

/// What is read from the points of one sweep alone, in the units they came in: currents may be current densities. Points
/// are named by their place in the curve.
pub(super) struct Figures {
    pub(super) sweep: Sweep,
    /// Photocurrent positive.
    pub(super) curve: Curve,
    /// The photocurrent came in with negative sign.
    negative: bool,
    /// Whether 0 V, and whether zero current, lie among the points.
    inside: [bool; 2],
    /// The points that the open-circuit voltage is read from.
    open_stretch: Range<usize>,
    short: Reading,
    open: Reading,
    /// Its weights are by current.
    power: Peak,
    /// For short circuit, open circuit and maximum power by a local fit: what one more degree would change.
    truncated: [Option<Truncated>; 3],
    /// The points of the fit round the maximum, where fewer than it needs lie near; none where it could not be made.
    wide: Option<Option<Range<usize>>>,
    /// Whether points scatter about the local fits, and how much.
    pub(super) residual: Option<Residual>,
    /// What each method gives that can: short-circuit current, open-circuit voltage, maximum power.
    by_methods: [Vec<f64>; 3],
}

/// Scatter of the readings about the local fits.
#[derive(Clone, Copy)]
pub(super) struct Residual {
    /// Standard deviation of one reading.
    pub(super) deviation: f64,
    pub(super) degrees_of_freedom: f64,
}

impl Residual {
    /// Of several sweeps with one meter: the mean of their variances, by degrees of freedom.
    pub(super) fn pooled(all: impl Iterator<Item = Residual>) -> Option<Residual> {
        let (mut sum, mut degrees_of_freedom) = (0.0, 0.0);
        for one in all {
            sum += one.deviation.squared() * one.degrees_of_freedom;
            degrees_of_freedom += one.degrees_of_freedom;
        }
        (degrees_of_freedom > 0.0).then(|| Residual {
            deviation: (sum / degrees_of_freedom).sqrt(),
            degrees_of_freedom,
        })
    }
}

/// What the scatter of the readings adds: what is stated, or else what the local fits found. `covariance` is that of the
/// corrections, for readings of a standard uncertainty in the unit of the points.
pub(super) fn scatter(
    given: &Given<'_, f64>,
    found: Option<Residual>,
    covariance: impl FnOnce(f64) -> Vec<Vec<f64>>,
) -> Option<Scatter> {
    let stated = given.get(&NOISE).map(|noise| Residual {
        deviation: noise / given.or(&DENSITY_AREA, 1.0),
        degrees_of_freedom: f64::INFINITY,
    });
    stated.or(found).map(|of_reading| Scatter {
        title: "Scatter of the current readings",
        covariance: covariance(of_reading.deviation),
        degrees_of_freedom: of_reading.degrees_of_freedom,
        linearised: true,
    })
}

/// What the second column is multiplied by to be the current.
pub(super) fn of_current<S: Scalar>(given: &Given<'_, S>) -> S {
    given[&CURRENT_FACTOR] * given.or(&DENSITY_AREA, 1.0)
}

/// The figures of a sweep with calibration and corrections, in SI.
pub(super) struct Merit<S> {
    pub(super) short: S,
    pub(super) open: S,
    pub(super) power: S,
    pub(super) at: S,
    /// dI/dV at 0 V and at zero current.
    slopes: [S; 2],
}

impl<S: Scalar> Merit<S> {
    pub(super) fn fill_factor(&self) -> S {
        self.power / (self.open * self.short)
    }

    /// −dV/dI at 0 V and at zero current, where the current falls by more than rounding.
    pub(super) fn slope_resistances(&self) -> [Option<S>; 2] {
        let level = LEVEL * self.short.value() / self.open.value();
        self.slopes
            .map(|slope| (slope.value() < -level).then(|| S::constant(-1.0) / slope))
    }
}

impl Figures {
    /// They follow from the points and the methods alone.
    pub(super) fn read(
        columns: Columns,
        points: Option<&Points>,
        axes: &str,
        method: &str,
    ) -> Result<Figures, Problem> {
        let field = columns.field;
        let empty = Points::default();
        let sweep = Sweep::new(columns, points.unwrap_or(&empty))?;
        let short = short_circuit(&sweep.curve, columns)?;
        let negative = photocurrent_is_negative(&sweep.curve, &short, columns)?;
        let sign = if negative { -1.0 } else { 1.0 };
        let curve = sweep.curve.map(|_, current| sign * current);
        let short = Interpolated {
            y: sign * short.y,
            slope: sign * short.slope,
            ..short
        };
        let open = open_circuit(&curve, columns)?;
        let lines = Lines {
            curve: &curve,
            short,
            open,
        };
        let missing = |error: CurveError| {
            Problem::at(
                field,
                "no_axis",
                format!("The axes cannot be read by this method. {error}"),
                "Read the axes by straight lines.",
            )
        };
        let at_short = lines.at_short_circuit(axes).map_err(missing)?;
        let at_open = lines.at_open_circuit(axes).map_err(missing)?;
        let crossing = lines.open_circuit(axes, &at_open).map_err(missing)?;
        let power = maximum(&curve, method, crossing.value).map_err(|e| no_maximum(e, field))?;
        let round = round_maximum(&curve);
        let at_maximum = round.as_ref().filter(|_| method == "fit");
        let wide = (method == "fit" && round.as_ref().is_none_or(|round| round.wide))
            .then(|| round.as_ref().map(|round| round.local.range()));
        let at_maximum = at_maximum.map(|round| &round.local);
        let fitted = [Some(&at_short), Some(&at_open), at_maximum];
        let residual = match axes {
            "fit" => residual(&sweep, fitted.into_iter().flatten()),
            _ => None,
        };
        let by_fit = axes == "fit";
        let truncated = [
            (by_fit.then_some(&at_short), 0.0, 1.0),
            (
                Some(&at_open).filter(|_| by_fit),
                crossing.value,
                -1.0 / crossing.slope,
            ),
            (at_maximum, power.x, power.x),
        ]
        .map(|(local, at, factor)| Truncated::of(&curve, local?, at, factor));
        let by_axes = AXES_OPTIONS.iter().map(|option| option.id);
        let shorts = by_axes.clone().filter_map(|axes| {
            let local = lines.at_short_circuit(axes).ok()?;
            Some(lines.short_circuit(axes, &local).value)
        });
        let opens = by_axes.filter_map(|axes| {
            let local = lines.at_open_circuit(axes).ok()?;
            Some(lines.open_circuit(axes, &local).ok()?.value)
        });
        // Without a fit of its own, that method has no say of its own.
        let powers = METHOD_OPTIONS
            .iter()
            .filter(|option| option.id != "fit" || round.is_some())
            .filter_map(|option| maximum(&curve, option.id, crossing.value).ok())
            .map(|peak| peak.y);
        let by_methods = [shorts.collect(), opens.collect(), powers.collect()];
        Ok(Figures {
            negative,
            open_stretch: at_open.range(),
            inside: [lines.short.inside, lines.open.inside],
            short: lines.short_circuit(axes, &at_short),
            open: crossing,
            power,
            truncated,
            wide,
            residual,
            by_methods,
            sweep,
            curve,
        })
    }

    /// Short-circuit current, open-circuit voltage, maximum power and its voltage, slopes at 0 V and at zero current: the
    /// order of the corrections.
    fn values(&self) -> [f64; FIGURES] {
        [
            self.short.value,
            self.open.value,
            self.power.y,
            self.power.x,
            self.short.slope,
            self.open.slope,
        ]
    }

    /// The figures with the corrections from number `first` on. Currents times `of_current` are in SI.
    pub(super) fn merit<S: Scalar>(
        &self,
        given: &Given<'_, S>,
        first: usize,
        of_current: S,
        of_voltage: S,
    ) -> Merit<S> {
        let mut number = first;
        let [short, open, power, at, short_slope, open_slope] = self.values().map(|value| {
            number += 1;
            given.scatter(number - 1) + value
        });
        Merit {
            short: short * of_current,
            open: open * of_voltage,
            power: power * of_current * of_voltage,
            at: at * of_voltage,
            slopes: [short_slope, open_slope].map(|slope| slope * of_current / of_voltage),
        }
    }

    /// The points with calibration, for a figure.
    pub(super) fn drawn(&self, of_voltage: f64, of_current: f64) -> Points {
        let scaled = |values: &[f64], by: f64| values.iter().map(|v| v * by).collect();
        Points {
            x: scaled(self.curve.x(), of_voltage),
            y: scaled(self.curve.y(), of_current),
        }
    }

    /// The share of the maximum power by which methods differ.
    pub(super) fn power_spread(&self) -> f64 {
        let [_, _, powers] = &self.by_methods;
        spread(powers, self.power.y)
    }

    /// Covariance of the figures, for readings of this standard uncertainty.
    pub(super) fn covariance(&self, of_reading: f64) -> Vec<Vec<f64>> {
        let mut slopes = vec![[0.0; FIGURES]; self.curve.x().len()];
        for (figure, weights) in self.weights().into_iter().enumerate() {
            for &(point, slope) in weights {
                slopes[point][figure] += slope;
            }
        }
        let mut covariance = vec![vec![0.0; FIGURES]; FIGURES];
        self.sweep
            .add_covariance(&mut covariance, &slopes, of_reading);
        for (figure, variance) in self.truncation(of_reading).into_iter().enumerate() {
            covariance[figure][figure] += variance;
        }
        covariance
    }

    /// What the local fits may be wrong by, squared, for short circuit, open circuit and maximum power: what one more
    /// degree would change, squared, less what readings of this standard uncertainty let expect of it.
    pub(super) fn truncation(&self, of_reading: f64) -> [f64; 3] {
        self.truncated.each_ref().map(|truncated| {
            let Some(truncated) = truncated else {
                return 0.0;
            };
            let mut slopes = vec![[0.0]; self.curve.x().len()];
            for &(point, slope) in &truncated.weights {
                slopes[point][0] += slope;
            }
            let mut expected = vec![vec![0.0]];
            self.sweep
                .add_covariance(&mut expected, &slopes, of_reading);
            (truncated.change.squared() - expected[0][0]).max(0.0)
        })
    }

    /// The derivatives of the figures with respect to the currents of points.
    pub(super) fn weights(&self) -> [&Weights; FIGURES] {
        [
            &self.short.weights,
            &self.open.weights,
            &self.power.weights,
            &self.power.x_weights,
            &self.short.slope_weights,
            &self.open.slope_weights,
        ]
    }

    /// The short-circuit current, with its weights.
    pub(super) fn short_circuit(&self) -> (f64, &Weights) {
        (self.short.value, &self.short.weights)
    }

    /// The open-circuit voltage, with its weights.
    pub(super) fn open_circuit(&self) -> (f64, &Weights) {
        (self.open.value, &self.open.weights)
    }
}

/// Points, named by their place in the curve, and the derivative of a number with respect to the current of each.
pub(super) type Weights = Vec<(usize, f64)>;

/// What one more degree would change in a number that a local fit gives.
struct Truncated {
    change: f64,
    weights: Weights,
}

impl Truncated {
    /// The number moves by `factor` times the current at this place.
    fn of(curve: &Curve, local: &Local<'_>, at: f64, factor: f64) -> Option<Truncated> {
        let points = local.range().len();
        // Points less coefficients, and one coefficient more.
        let degree = points.checked_sub(local.degrees_of_freedom())?;
        let higher = curve.local_fit(local.range(), degree).ok()?.at(at);
        let lower = local.at(at);
        let weights = higher.weights.iter().zip(&lower.weights);
        Some(Truncated {
            change: factor * (higher.value - lower.value),
            weights: weights
                .map(|((point, more), (_, less))| (*point, factor * (more - less)))
                .collect(),
        })
    }
}

/// The axes as straight lines between two points read them: where other methods start. Beyond the points a polynomial of
/// higher degree would lead anywhere.
struct Lines<'a> {
    curve: &'a Curve,
    short: Interpolated,
    open: Crossing,
}

impl<'a> Lines<'a> {
    fn at_short_circuit(&self, axes: &str) -> Result<Local<'a>, CurveError> {
        let [(left, _), (right, _)] = self.short.weights;
        match axes {
            "fit" => {
                let reach = NEAR_SHORT * self.open.x;
                let distance = |k: usize| self.curve.x()[k].abs();
                let range = grown(
                    self.curve,
                    left..right + 1,
                    distance,
                    reach,
                    FEWEST_AT_SHORT,
                );
                self.curve.local_fit(range, 1)
            }
            "cubic" if self.short.inside => self.curve.local_cubic(0.0),
            _ => self.curve.local_fit(left..right + 1, 1),
        }
    }

    fn at_open_circuit(&self, axes: &str) -> Result<Local<'a>, CurveError> {
        let [(left, _), (right, _)] = self.open.weights;
        match axes {
            "fit" if self.open.inside => {
                let reach = NEAR_OPEN * self.short.y;
                let distance = |k: usize| self.curve.y()[k].abs();
                let range = grown(self.curve, left..right + 1, distance, reach, FEWEST);
                // A sweep of few points has some to spare with a lower degree.
                let degree = DEGREE.min(range.len().saturating_sub(2)).max(1);
                self.curve.local_fit(range, degree)
            }
            "cubic" if self.open.inside => self.curve.local_cubic(self.open.x),
            _ => self.curve.local_fit(left..right + 1, 1),
        }
    }

    /// The current of the polynomial at 0 V.
    fn short_circuit(&self, axes: &str, local: &Local<'_>) -> Reading {
        let reading = local.at(0.0);
        match axes {
            "fit" | "cubic" => reading,
            // To the last digit: a point that lies at 0 V is met.
            _ => Reading {
                value: self.short.y,
                ..reading
            },
        }
    }

    /// Where the polynomial at the open circuit crosses zero: close to where the straight line does.
    fn open_circuit(&self, axes: &str, local: &Local<'_>) -> Result<Reading, CurveError> {
        // The stretch, and what it is extrapolated by.
        let [(left, _), (right, _)] = self.open.weights;
        let x = self.curve.x();
        let reach = 2.0 * (x[right] - x[left]);
        let Range { start, end } = local.range();
        let near = (x[start] - reach, x[end - 1] + reach);
        let reading = local
            .zero(near, self.open.x)
            .filter(|reading| reading.value > 0.0)
            .ok_or(CurveError::NoCrossing)?;
        Ok(match axes {
            "fit" | "cubic" => reading,
            _ => Reading {
                value: self.open.x,
                ..reading
            },
        })
    }
}

/// The range with its neighbours on both sides while they are within reach, and with the nearest others where that
/// leaves too few for a fit.
fn grown(
    curve: &Curve,
    range: Range<usize>,
    distance: impl Fn(usize) -> f64,
    reach: f64,
    fewest: usize,
) -> Range<usize> {
    let Range { mut start, mut end } = range;
    let count = curve.x().len();
    // The two points of the straight line bracket the axis; of these too, one may be out of reach.
    loop {
        let before = start.checked_sub(1).map(&distance);
        let after = (end < count).then(|| distance(end));
        let before_is_nearer = match (before, after) {
            (Some(before), Some(after)) => before <= after,
            (before, _) => before.is_some(),
        };
        let Some(nearer) = (if before_is_nearer { before } else { after }) else {
            return start..end;
        };
        if nearer > reach && end - start >= fewest {
            return start..end;
        }
        if before_is_nearer {
            start -= 1;
        } else {
            end += 1;
        }
    }
}

/// Where the photocurrent is used up.
fn open_circuit(curve: &Curve, columns: Columns) -> Result<Crossing, Problem> {
    let missing = || {
        Problem::at(
            columns.field,
            "no_open_circuit",
            format!(
                "The points end at {} before the current reaches zero, too early to read the open-circuit voltage \
                 from them.",
                VOLTAGE.say(last(curve))
            ),
            "Measure on until the current has changed its sign.",
        )
    };
    let open = curve.zero_crossing().map_err(|_| missing())?;
    if !within_reach(curve, open.x, open.weights) {
        Err(missing())
    } else if open.x > 0.0 {
        Ok(open)
    } else {
        Err(Problem::at(
            columns.field,
            "voltage_reversed",
            format!(
                "The current crosses zero at {}: the voltage has the opposite sign of an illuminated cell's.",
                VOLTAGE.say(open.x)
            ),
            TURN_VOLTAGE,
        ))
    }
}

/// Says why there is no maximum power point.
fn no_maximum(error: CurveError, field: &Field) -> Problem {
    let (sentence, hint) = if let CurveError::TooFewPoints { .. } = error {
        (
            error.to_string(),
            "Choose the parabola, or measure in smaller steps.",
        )
    } else {
        (
            format!("The maximum power cannot be read from the points. {error}"),
            "Measure in smaller steps, or choose another method.",
        )
    };
    Problem::at(field, "no_maximum", sentence, hint)
}

/// The maximum power point by one of the methods, with weights by current.
fn maximum(curve: &Curve, method: &str, open: f64) -> Result<Peak, CurveError> {
    let power = curve.map(|voltage, current| voltage * current);
    let (point, x, y) = power.largest();
    if point == 0 || point + 1 == power.x().len() {
        return Err(CurveError::LargestAtEnd);
    }
    // ∂P/∂I of a point is its voltage.
    let by_current = |peak: Peak| {
        let scaled = |weights: Vec<(usize, f64)>| {
            let scale = |(point, weight): (usize, f64)| (point, weight * curve.x()[point]);
            weights.into_iter().map(scale).collect()
        };
        Peak {
            weights: scaled(peak.weights),
            x_weights: scaled(peak.x_weights),
            ..peak
        }
    };
    let largest = Peak {
        x,
        y,
        weights: vec![(point, x)],
        x_weights: Vec::new(),
    };
    let peak = match method {
        "fit" => match round_maximum(curve) {
            Some(round) => round.local.product_peak().ok_or(CurveError::NoMaximum),
            None => power.parabola_peak().map(by_current),
        },
        "polynomial" => power.quartic_peak().map(by_current),
        "cubic" => {
            let beside = [curve.x()[point - 1], x].map(|from| {
                let local = curve.local_cubic(from).ok()?;
                local.product_peak()
            });
            let peaks = beside.into_iter().flatten();
            Ok(peaks.fold(
                largest,
                |best, peak| if peak.y > best.y { peak } else { best },
            ))
        }
        "largest" => Ok(largest),
        _ => power.parabola_peak().map(by_current),
    };
    let between = |peak: &Peak| peak.y > 0.0 && 0.0 < peak.x && peak.x < open;
    peak.and_then(|peak| {
        if between(&peak) {
            Ok(peak)
        } else {
            Err(CurveError::NoMaximum)
        }
    })
}

/// A fit round the maximum.
struct Round<'a> {
    local: Local<'a>,
    /// Too few points lie near: the nearest others were taken too.
    wide: bool,
}

/// The fourth-degree polynomial of the current near the largest product, where there are points enough.
fn round_maximum(curve: &Curve) -> Option<Round<'_>> {
    let (point, at, power) = curve.map(|voltage, current| voltage * current).largest();
    let current = power / at;
    let near = |k: &usize| {
        let (v, i) = (curve.x()[*k], curve.y()[*k]);
        (v - at).abs() <= NEAR_MAXIMUM * at && i >= (1.0 - NEAR_MAXIMUM) * current
    };
    let before = (0..point).rev().take_while(near).count();
    let after = (point..curve.x().len()).take_while(near).count();
    let near = point - before..point + after;
    let wide = near.len() < FEWEST;
    let range = if wide {
        // Near an end of the sweep it moves inwards.
        let last = curve.x().len().checked_sub(FEWEST)?;
        let start = point.saturating_sub(FEWEST / 2).min(last);
        start..start + FEWEST
    } else {
        near
    };
    let local = curve.local_fit(range, DEGREE).ok()?;
    Some(Round { local, wide })
}

/// The scatter about fits that have points to spare.
fn residual<'a>(sweep: &Sweep, fits: impl Iterator<Item = &'a Local<'a>>) -> Option<Residual> {
    let (mut sum, mut freedom) = (0.0, 0);
    let mut counted: Vec<Range<usize>> = Vec::new();
    for fit in fits {
        let range = fit.range();
        let shared = |other: &Range<usize>| range.start < other.end && other.start < range.end;
        // A reading counts once.
        if counted.iter().any(shared) {
            continue;
        }
        counted.push(range);
        freedom += fit.degrees_of_freedom();
        // The mean of two readings scatters half as much, squared.
        let readings = sweep.readings.iter().skip(fit.range().start);
        for (residual, readings) in fit.residuals().zip(readings) {
            sum += residual * residual * f64::from(*readings);
        }
    }
    let degrees_of_freedom = freedom as f64;
    (freedom > 0).then(|| Residual {
        deviation: (sum / degrees_of_freedom).sqrt(),
        degrees_of_freedom,
    })
}

fn spread(values: &[f64], of: f64) -> f64 {
    let [low, high] = ends(values);
    (high - low) / of
}

fn ends(values: &[f64]) -> [f64; 2] {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [low, high]
}

impl Figures {
    /// What the points themselves give reason to say.
    pub(super) fn checks(&self) -> Vec<Check> {
        let mut checks = vec![self.sign(), self.sweep.direction.check()];
        checks.extend(self.extrapolated());
        checks.extend(self.handled());
        checks.extend(self.crossings());
        checks.push(self.spacing());
        checks.extend(self.window());
        checks
    }

    fn sign(&self) -> Check {
        let rule = derived("the current of an illuminated cell near 0 V is photocurrent");
        if self.negative {
            Check::note(
                "photocurrent_sign",
                "The current near 0 V is negative: all currents were taken with the opposite sign.",
                rule,
            )
        } else {
            Check::in_range(
                "photocurrent_sign",
                "The current near 0 V is positive: currents were taken as they are.",
                rule,
            )
        }
    }

    fn extrapolated(&self) -> Vec<Check> {
        let rule = practice("measure beyond both axes instead of extrapolating");
        let [short_inside, open_inside] = self.inside;
        let mut checks = Vec::new();
        if !short_inside {
            checks.push(Check::warning(
                "short_circuit_extrapolated",
                format!(
                    "No point lies on the other side of 0 V: the short-circuit current is extrapolated from {}.",
                    VOLTAGE.say(if first(&self.curve) > 0.0 { first(&self.curve) } else { last(&self.curve) })
                ),
                rule,
            ));
        }
        if !open_inside {
            checks.push(Check::warning(
                "open_circuit_extrapolated",
                format!(
                    "The current does not reach zero: the open-circuit voltage is extrapolated from {}.",
                    VOLTAGE.say(last(&self.curve))
                ),
                rule,
            ));
        }
        checks
    }

    /// What was done to the readings before they became a curve.
    fn handled(&self) -> Vec<Check> {
        let mut checks = Vec::new();
        let averaged = self.sweep.averaged();
        if averaged > 0 {
            checks.push(Check::note(
                "repeated_voltages",
                format!("{averaged} readings share their voltage with others; the means of their currents were used."),
                practice("average readings at the same voltage"),
            ));
        }
        if self.sweep.out_of_order > 0 {
            checks.push(Check::note(
                "out_of_order",
                format!(
                    "{} readings stood slightly out of order of voltage; the points were sorted.",
                    self.sweep.out_of_order
                ),
                practice("measured voltages jitter"),
            ));
        }
        checks
    }

    fn crossings(&self) -> Option<Check> {
        let signs = self.curve.y().windows(2).enumerate();
        let crossings = signs
            .filter(|(_, pair)| (pair[0] < 0.0) != (pair[1] < 0.0))
            .map(|(place, _)| place);
        // Within the stretch of a fit noise may cross several times.
        let stretch = &self.open_stretch;
        let elsewhere = crossings
            .filter(|place| !(stretch.contains(place) && stretch.contains(&(place + 1))))
            .count();
        (elsewhere > 0).then(|| {
            Check::warning(
                "several_crossings",
                format!(
                    "The current crosses zero {} times; the crossing at the lowest voltage was taken.",
                    elsewhere + 1
                ),
                derived("the current of an illuminated cell crosses zero once"),
            )
        })
    }

    fn spacing(&self) -> Check {
        let rule = practice("at least twenty points between 0 V and the open-circuit voltage");
        let (largest, _, _) = self.curve.map(|v, i| v * i).largest();
        // The largest product lies between other points, or there would be no maximum.
        let x = self.curve.x();
        let widest = (x[largest] - x[largest - 1]).max(x[largest + 1] - x[largest]);
        let share = widest / self.open.value;
        let sentence = format!(
            "Round the maximum the points are {} apart, {} % of the open-circuit voltage",
            VOLTAGE.say(widest),
            value_text(100.0 * share, 2)
        );
        if share > 0.05 {
            let sentence = format!("{sentence}: closer points would tell the maximum better.");
            Check::note("coarse_points", sentence, rule)
        } else {
            Check::in_range("coarse_points", format!("{sentence}."), rule)
        }
    }

    /// What the fit round the maximum did with few points.
    fn window(&self) -> Option<Check> {
        let rule = practice("a polynomial of fourth degree needs seven points or more");
        Some(match self.wide.as_ref()? {
            Some(range) => {
                let x = &self.curve.x()[range.clone()];
                let [from, to] = ends(x).map(|voltage| VOLTAGE.say(voltage));
                Check::note(
                    "few_points_at_maximum",
                    format!(
                        "Fewer than seven points lie within 15 % of the largest product: the fit of the maximum power \
                         takes the seven round it, from {from} to {to}."
                    ),
                    rule,
                )
            }
            None => Check::note(
                "few_points_at_maximum",
                "The sweep has too few points for the fit of the maximum power: a parabola through the three round the \
                 largest product was used.",
                rule,
            ),
        })
    }

    /// How far the methods are apart that read one curve. `uncertainty` is that of maximum power, short-circuit current
    /// and open-circuit voltage, relative.
    pub(super) fn agreement(
        &self,
        of_current: f64,
        [uncertainty, of_short, of_open]: [f64; 3],
    ) -> [Check; 2] {
        let rule = practice(
            "methods that read one curve should agree within 1 % and within the uncertainty",
        );
        let [shorts, opens, powers] = &self.by_methods;
        let share = |spread: f64| format!("{} %", brief_text(100.0 * spread, 2));
        let apart = self.power_spread();
        let [low, high] = ends(powers).map(|power| POWER.say(power * of_current));
        let sentence = format!(
            "{} methods give a maximum power from {low} to {high}, {} apart",
            powers.len(),
            share(apart)
        );
        let of_power = if apart > MOST_APART {
            let sentence =
                format!("{sentence}: the points are too coarse or scatter too much for less.");
            Check::warning("methods_differ", sentence, rule)
        } else if uncertainty > 0.0 && apart > uncertainty {
            let sentence = format!(
                "{sentence}, more than the standard uncertainty of {}: the choice of the method matters more than what \
                 was stated.",
                share(uncertainty)
            );
            Check::warning("methods_differ", sentence, rule)
        } else {
            Check::in_range("methods_differ", format!("{sentence}."), rule)
        };
        let of_axes = [
            spread(shorts, self.short.value),
            spread(opens, self.open.value),
        ];
        let sentence = format!(
            "By local fits, straight lines and the monotone cubic the short-circuit current differs by {}, the \
             open-circuit voltage by {}",
            share(of_axes[0]),
            share(of_axes[1])
        );
        let of_axes = if of_axes.iter().any(|apart| *apart > MOST_APART) {
            let sentence =
                format!("{sentence}: closer points near the axes would tell them better.");
            Check::warning("axes_differ", sentence, rule)
        } else if let Some(uncertainty) = of_axes
            .iter()
            .zip([of_short, of_open])
            .find_map(|(apart, u)| (u > 0.0 && *apart > u).then_some(u))
        {
            let sentence = format!(
                "{sentence}, more than the standard uncertainty of {}: straight lines would not tell them as well as that.",
                share(uncertainty)
            );
            Check::note("axes_differ", sentence, rule)
        } else {
            Check::in_range("axes_differ", format!("{sentence}."), rule)
        };
        [of_power, of_axes]
    }
}

/// What the points say about the scatter of the readings, beside what was stated. Deviations times `of_reading` are
/// currents in SI.
pub(super) fn scatter_check(
    found: Option<Residual>,
    stated: Option<f64>,
    of_reading: f64,
) -> Option<Check> {
    let Some(residual) = found else {
        return stated.is_none().then(|| {
            Check::note(
                "scatter_unknown",
                "No scatter of the current readings is entered: the uncertainties leave it out.",
                derived("an uncertainty holds what was entered"),
            )
        });
    };
    let found = residual.deviation * of_reading;
    let freedom = residual.degrees_of_freedom;
    let of_freedom = format!(
        "{} about the local fits ({} degrees of freedom)",
        NOISE.say(found),
        brief_text(freedom, 3)
    );
    let rule = derived("chi-squared has mean ν and variance 2ν");
    Some(match stated {
        None => Check::note(
            "scatter_estimated",
            format!(
                "No scatter is entered: the uncertainties take that of the points, {of_freedom}."
            ),
            memory("JCGM 100:2008, 4.2: evaluation of type A"),
        ),
        Some(stated) if (found / stated).squared() > 1.0 + 2.0 * (2.0 / freedom).sqrt() => {
            Check::warning(
                "scatter",
                format!(
                    "The points scatter by {of_freedom}, more than the {} that is entered: the readings are noisier, \
                         or the curve is bent more than the fits follow.",
                    NOISE.say(stated)
                ),
                rule,
            )
        }
        Some(stated) => Check::in_range(
            "scatter",
            format!(
                "The points scatter by {of_freedom}, no more than the {} that is entered allows.",
                NOISE.say(stated)
            ),
            rule,
        ),
    })
}

/// Methods further apart than this share do not tell one number.
const MOST_APART: f64 = 0.01;

static POWER: Field = quantity("power", "Power", Kind::Power)
    .symbol("P")
    .units(&["mW", "W", "uW"]);

/// Faster than this, in V/s, or read sooner than this, in s, a dye cell may not have settled.
const FAST: f64 = 0.1;
const SOON: f64 = 0.1;

/// Whether a dye cell can follow the sweep.
pub(super) fn slow_response(rate: Option<f64>, delay: Option<f64>) -> Option<Check> {
    let rule = practice("dye cells: 100 mV/s or slower, 100 ms or longer at each point");
    let said = [
        rate.map(|rate| SWEEP_RATE.say(rate)),
        delay.map(|delay| format!("{} at each point", DELAY.say(delay))),
    ];
    let said: Vec<String> = said.into_iter().flatten().collect();
    if said.is_empty() {
        return None;
    }
    let said = said.join(", ");
    let fast = rate.is_some_and(|rate| rate > FAST) || delay.is_some_and(|delay| delay < SOON);
    Some(if fast {
        Check::note(
            "slow_response",
            format!(
                "{said}: a dye cell may not settle that fast, since charge in the film and triiodide in the gap take \
                 tenths of a second and more. Sweep slower and both ways until the curves no longer change."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "slow_response",
            format!("{said}: slow enough for most dye cells."),
            rule,
        )
    })
}

/// Coefficients were hardly measured over more, in K.
const LONGEST_TEMPERATURE_STEP: f64 = 30.0;

/// Whether a translation by temperature coefficients goes far.
pub(super) fn long_temperature_step(step: f64) -> Option<Check> {
    (step.abs() > LONGEST_TEMPERATURE_STEP).then(|| {
        Check::warning(
            "long_temperature_step",
            format!(
                "The temperature changes by {} K, more than 30 K: coefficients seldom hold so far.",
                value_text(step, 3)
            ),
            practice("temperature coefficients are measured over some tens of kelvin"),
        )
    })
}

/// Boltzmann's constant over the elementary charge, in V/K.
const VOLTS_PER_KELVIN: f64 =
    crate::chemistry::constants::BOLTZMANN / crate::chemistry::constants::ELEMENTARY_CHARGE;
/// 25 °C in K, where no temperature is entered.
const ROOM: f64 = 298.15;

/// What the mask lets through, beside the film.
pub(super) fn mask(area: f64, film: Option<f64>, temperature: Option<f64>) -> Option<Check> {
    let film = film?;
    let lit = area / film;
    let sizes = format!(
        "The mask lets light on {}, {} % of the film's {}",
        AREA.say(area),
        value_text(100.0 * lit, 3),
        FILM_AREA.say(film)
    );
    if (lit - 1.0).abs() <= 5e-3 {
        let rule = derived("all of the film that recombines is lit");
        return Some(Check::in_range(
            "mask",
            "The illuminated area is that of the film.",
            rule,
        ));
    }
    Some(if lit < 1.0 {
        let loss = temperature.unwrap_or(ROOM) * VOLTS_PER_KELVIN * -libm::log(lit);
        Check::note(
            "mask",
            format!(
                "{sizes}: the whole film recombines, its dark part too, so that the open-circuit voltage is lower than \
                 with all of it lit, by about {} times the ideality factor. Current densities and efficiency hold for \
                 the lit area.",
                VOLTAGE.say(loss)
            ),
            derived(
                "diode equation: recombination current of the whole film against photocurrent of its lit part",
            ),
        )
    } else {
        Check::warning(
            "mask",
            format!(
                "{sizes}: light that falls beside the film may reach it through the glass and add to the current, and the \
                 area counts a rim that gives none. A mask that covers the rim settles both."
            ),
            practice("a mask smaller than the film defines the illuminated area"),
        )
    })
}
