//! # What it computes
//! The figures of merit of one cell swept forward and in reverse, their means, and how far the two sweeps differ: several
//! hysteresis indices, each named by its formula.
//!
//! # Formulas
//! η, FF, Voc, Jsc of each sweep as for one. Indices: (ηr − ηf)/ηr; (ηr − ηf)/((ηr + ηf)/2); (ηr − ηf)/(ηr + ηf); ηf/ηr;
//! (Jr − Jf)/Jr at 0.8 and at 0.5 of the reverse Voc; (∫Jr − ∫Jf)/∫Jr and (∫Jr − ∫Jf)/(∫Jr + ∫Jf), each integral from 0 V to
//! the Voc of its sweep; the product over Voc, Jsc, FF and η of the larger over the smaller, less one.
//!
//! # Symbols and units
//! Index f forward, from short to open circuit, r reverse. η efficiency, FF fill factor (1); Voc open-circuit voltage (V);
//! Jsc short-circuit current density, J current density (A/m²); Pmax (W); A illuminated area (m²); G irradiance (W/m²).
//!
//! # Valid range
//! One sweep in each direction, over the same range, of the same cell under the same light; each as for the card of one
//! sweep.
//!
//! # Assumptions
//! As for one sweep. Both sweeps share area, light, meter and scatter of a reading; nothing else differs than the
//! direction. Neither sweep is the cell at rest.
//!
//! # Sources
//! Formulas of the indices: in use in the literature, from memory; the product index agrees with a column of a public
//! table of cells.
//!
//! # Worked example
//! A computed pair with 9.39 % in reverse and 7.47 % forward: (ηr − ηf)/ηr = 0.205, (Jr − Jf)/Jr at 0.8 Voc = 0.395 and
//! at Voc/2 = 0.037.

use core::ops::Range;
use std::sync::Arc;

use super::merit::{
    AREA, AXES, CURRENT, CURRENT_FACTOR, DELAY, DENSITY, DENSITY_AREA, FIGURES, FILM_AREA, Figures,
    IRRADIANCE, LOCAL_FITS, METHOD, Merit, NOISE, PROPAGATION, Residual, SECOND_COLUMN, SWEEP_RATE,
    VOLTAGE, VOLTAGE_FACTOR, Weights, mask, of_current, scatter, scatter_check, slow_response,
};
use super::sweep::{Columns, Direction};
use super::*;
use crate::chemistry::hysteresis::{Both, product_index};
use crate::problem::{Check, Level, Problem, computed, derived, memory, practice};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;

static FORWARD: Field = curve("forward", "Forward sweep", &VOLTAGE, &CURRENT)
    .help("From short circuit to open circuit: voltage, then current of either sign.")
    .direction(Direction::Forward)
    .measured();
static REVERSE: Field = curve("reverse", "Reverse sweep", &VOLTAGE, &CURRENT)
    .help("From open circuit to short circuit: voltage, then current of either sign.")
    .direction(Direction::Reverse)
    .measured();
static FORWARD_DENSITY: Field = curve("forward_density", "Forward sweep", &VOLTAGE, &DENSITY)
    .help("From short circuit to open circuit: voltage, then current density of either sign.")
    .direction(Direction::Forward)
    .measured();
static REVERSE_DENSITY: Field = curve("reverse_density", "Reverse sweep", &VOLTAGE, &DENSITY)
    .help("From open circuit to short circuit: voltage, then current density of either sign.")
    .direction(Direction::Reverse)
    .measured();

static MEAN_EFFICIENCY: Field = efficiency("mean_efficiency", "Mean efficiency").symbol("η̄");
static REVERSE_EFFICIENCY: Field =
    efficiency("reverse_efficiency", "Reverse: efficiency").symbol("ηr");
static FORWARD_EFFICIENCY: Field =
    efficiency("forward_efficiency", "Forward: efficiency").symbol("ηf");
static REVERSE_FILL_FACTOR: Field =
    ratio("reverse_fill_factor", "Reverse: fill factor").symbol("FFr");
static FORWARD_FILL_FACTOR: Field =
    ratio("forward_fill_factor", "Forward: fill factor").symbol("FFf");
static REVERSE_OPEN: Field = voltage(
    "reverse_open_circuit_voltage",
    "Reverse: open-circuit voltage",
)
.symbol("Voc,r");
static FORWARD_OPEN: Field = voltage(
    "forward_open_circuit_voltage",
    "Forward: open-circuit voltage",
)
.symbol("Voc,f");
static REVERSE_SHORT: Field = density(
    "reverse_short_circuit_density",
    "Reverse: short-circuit current density",
)
.symbol("Jsc,r");
static FORWARD_SHORT: Field = density(
    "forward_short_circuit_density",
    "Forward: short-circuit current density",
)
.symbol("Jsc,f");
static REVERSE_POWER: Field =
    power("reverse_maximum_power", "Reverse: maximum power").symbol("Pmax,r");
static FORWARD_POWER: Field =
    power("forward_maximum_power", "Forward: maximum power").symbol("Pmax,f");
static OVER_REVERSE: Field = ratio("over_reverse", "(ηr − ηf)/ηr");
static OVER_MEAN: Field = ratio("over_mean", "(ηr − ηf)/mean of η");
static OVER_SUM: Field = ratio("over_sum", "(ηr − ηf)/(ηr + ηf)");
static FORWARD_OVER_REVERSE: Field = ratio("forward_over_reverse", "ηf/ηr");
static PRODUCT_INDEX: Field = ratio("product_index", "Product of Voc, Jsc, FF, η ratios − 1");
static AT_08: Field = ratio("at_08", "(Jr − Jf)/Jr at 0.8 Voc");
static AT_05: Field = ratio("at_05", "(Jr − Jf)/Jr at Voc/2");
static AREA_OVER_REVERSE: Field = ratio("area_over_reverse", "(∫Jr − ∫Jf)/∫Jr");
static AREA_OVER_SUM: Field = ratio("area_over_sum", "(∫Jr − ∫Jf)/(∫Jr + ∫Jf)");
static REVERSE_CURVE: Field = curve("reverse_curve", "Reverse", &VOLTAGE, &DENSITY);
static FORWARD_CURVE: Field =
    curve("forward_curve", "Forward", &VOLTAGE, &DENSITY).drawn(Drawn::LineOver);

const fn efficiency(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio).units(&["%"])
}
const fn ratio(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio).units(&["1", "%"])
}
const fn voltage(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Voltage).units(&["V", "mV"])
}
const fn density(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::CurrentDensity).units(&["mA/cm2", "A/m2", "uA/cm2"])
}
const fn power(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Power).units(&["mW", "W", "uW"])
}

/// Two sweeps of one cell and how far they differ.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "sweep_pair",
    version: 1,
    stage: Stage::Measuring,
    title: "Forward and reverse sweep",
    purpose: "Figures of merit of both sweeps of a cell, their mean, and hysteresis indices named by their formulas.",
    inputs: &[
        show(&SECOND_COLUMN),
        show(&FORWARD).unless(&SECOND_COLUMN, &["density"]),
        show(&REVERSE).unless(&SECOND_COLUMN, &["density"]),
        show(&FORWARD_DENSITY).when(&SECOND_COLUMN, &["density"]),
        show(&REVERSE_DENSITY).when(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_AREA).when(&SECOND_COLUMN, &["density"]),
        show(&AREA),
        show(&FILM_AREA),
        show(&IRRADIANCE),
        show(&AXES),
        show(&METHOD),
        show(&NOISE),
        show(&CURRENT_FACTOR),
        show(&VOLTAGE_FACTOR),
        show(&SWEEP_RATE),
        show(&DELAY),
    ],
    outputs: &[
        show(&MEAN_EFFICIENCY),
        show(&REVERSE_EFFICIENCY),
        show(&FORWARD_EFFICIENCY),
        show(&REVERSE_FILL_FACTOR),
        show(&FORWARD_FILL_FACTOR),
        show(&REVERSE_OPEN),
        show(&FORWARD_OPEN),
        show(&REVERSE_SHORT),
        show(&FORWARD_SHORT),
        show(&REVERSE_POWER),
        show(&FORWARD_POWER),
        show(&OVER_REVERSE),
        show(&OVER_MEAN),
        show(&OVER_SUM),
        show(&FORWARD_OVER_REVERSE),
        show(&AT_08),
        show(&AT_05),
        show(&AREA_OVER_REVERSE),
        show(&AREA_OVER_SUM),
        show(&PRODUCT_INDEX),
        show(&REVERSE_CURVE),
        show(&FORWARD_CURVE),
    ],
    working: &[
        method("Current: current density times the area it was divided by.")
            .when(&SECOND_COLUMN, &["density"]),
        method(
            "Each sweep is read as on a card of one sweep, by the methods chosen. Currents are divided by the illuminated \
             area.",
        )
        .gives(&[
            &REVERSE_OPEN,
            &FORWARD_OPEN,
            &REVERSE_SHORT,
            &FORWARD_SHORT,
            &REVERSE_POWER,
            &FORWARD_POWER,
        ]),
        formula(
            "reverse_fill_factor = reverse_maximum_power / (reverse_open_circuit_voltage * reverse_short_circuit_density * area)",
        ),
        formula(
            "forward_fill_factor = forward_maximum_power / (forward_open_circuit_voltage * forward_short_circuit_density * area)",
        ),
        formula("reverse_efficiency = reverse_maximum_power / (irradiance * area)"),
        formula("forward_efficiency = forward_maximum_power / (irradiance * area)"),
        formula("mean_efficiency = (reverse_efficiency + forward_efficiency) / 2"),
        formula("over_reverse = (reverse_efficiency - forward_efficiency) / reverse_efficiency"),
        formula("over_mean = 2 * (reverse_efficiency - forward_efficiency) / (reverse_efficiency + forward_efficiency)"),
        formula("over_sum = (reverse_efficiency - forward_efficiency) / (reverse_efficiency + forward_efficiency)"),
        formula("forward_over_reverse = forward_efficiency / reverse_efficiency"),
        method(
            "At 0.8 and at 0.5 of the reverse open-circuit voltage the currents are those of the monotone cubic through \
             the points of each sweep.",
        )
        .gives(&[&AT_08, &AT_05]),
        method(
            "Integrals: trapezoids from the short-circuit current at 0 V over the points to zero at the open-circuit \
             voltage, of each sweep.",
        )
        .gives(&[&AREA_OVER_REVERSE, &AREA_OVER_SUM]),
        method(
            "Product: for open-circuit voltage, short-circuit current density, fill factor and efficiency the larger over \
             the smaller, all four multiplied, less one. It cannot fall below nothing: where a ratio is that of equals \
             within their scatter, its uncertainty is not told, and at equals it counts as none.",
        )
        .gives(&[&PRODUCT_INDEX]),
        method("The curves are drawn through the points.").gives(&[&REVERSE_CURVE, &FORWARD_CURVE]),
    ],
    sources: &[
        memory("hysteresis indices as in use for perovskite and dye cells"),
        LOCAL_FITS,
        PROPAGATION,
    ],
    hazards: &[hazards::LAMP, hazards::LEAKING_CELL],
    formula: both::<SweepPair>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "computed pair of sweeps, monotone cubic",
        inputs: &[
            ("second_column", "density"),
            ("forward_density", PAIR_FORWARD),
            ("reverse_density", PAIR_REVERSE),
            ("density_area", "0.16 cm2"),
            ("area", "0.16 ± 0.002 cm2"),
            ("film_area", "0.25 cm2"),
            ("irradiance", "100 ± 2 mW/cm2"),
            ("axes", "cubic"),
            ("method", "cubic"),
            ("noise", "0.5 uA"),
            ("current_factor", "1 ± 0.002"),
            ("voltage_factor", "1"),
            ("sweep_rate", "20 mV/s"),
            ("delay", "500 ms"),
        ],
        expected: &[
            expect("mean_efficiency", "8.42717036 %", 1e-7),
            expect("reverse_efficiency", "9.38840939 %", 1e-7),
            expect("forward_efficiency", "7.46593132 %", 1e-7),
            expect("reverse_open_circuit_voltage", "0.760296304 V", 1e-9),
            expect("forward_open_circuit_voltage", "0.726319258 V", 1e-9),
            expect("reverse_short_circuit_density", "17.9712 mA/cm2", 1e-9),
            expect("forward_short_circuit_density", "17.6937 mA/cm2", 1e-9),
            expect("reverse_fill_factor", "0.687119166", 1e-8),
            expect("forward_fill_factor", "0.580948684", 1e-8),
            expect("over_reverse", "0.20477144", 1e-7),
            expect("over_mean", "0.22812854", 1e-7),
            expect("over_sum", "0.11406427", 1e-7),
            expect("forward_over_reverse", "0.79522856", 1e-7),
            expect("at_08", "0.39536988", 1e-7),
            expect("at_05", "0.03678078", 1e-7),
            expect("area_over_reverse", "0.12976874", 1e-7),
            expect("area_over_sum", "0.06938647", 1e-7),
            expect("product_index", "0.5813065", 2e-7),
        ],
        source: computed(
            "monotone cubic (scipy 1.17.1) and trapezoids (numpy 2.4.6) on the sampled curves",
        ),
    },
    Case {
        title: "computed pair of sweeps: the exact figures, within the error of local fits",
        inputs: &[
            ("second_column", "density"),
            ("forward_density", PAIR_FORWARD),
            ("reverse_density", PAIR_REVERSE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "fit"),
            ("method", "fit"),
        ],
        expected: &[
            expect("reverse_efficiency", "9.388754 %", 1e-3),
            expect("forward_efficiency", "7.465772 %", 1e-3),
            expect("reverse_open_circuit_voltage", "0.760296 V", 5e-6),
            expect("forward_open_circuit_voltage", "0.726318 V", 5e-6),
            expect("reverse_short_circuit_density", "17.971239 mA/cm2", 1e-4),
            expect("forward_short_circuit_density", "17.693728 mA/cm2", 1e-4),
            expect("reverse_fill_factor", "0.687143", 1e-4),
            expect("forward_fill_factor", "0.580937", 1e-4),
            expect("over_reverse", "0.204818", 1e-4),
            expect("at_08", "0.395375", 1e-5),
            expect("area_over_reverse", "0.129895", 2e-4),
        ],
        source: computed("single-diode equation, mpmath 1.4.1, 30 digits"),
    },
    Case {
        title: "one curve both ways: no hysteresis",
        inputs: &[
            ("second_column", "density"),
            ("forward_density", PAIR_REVERSE),
            ("reverse_density", PAIR_REVERSE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
        ],
        expected: &[
            expect("over_reverse", "0", 1e-12),
            expect("over_mean", "0", 1e-12),
            expect("forward_over_reverse", "1", 1e-12),
            expect("at_08", "0", 1e-12),
            expect("area_over_sum", "0", 1e-12),
            expect("product_index", "0", 1e-12),
        ],
        source: derived("a curve does not differ from itself"),
    },
    Case {
        title: "largest products of the computed pair",
        inputs: &[
            ("second_column", "density"),
            ("forward_density", PAIR_FORWARD),
            ("reverse_density", PAIR_REVERSE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "lines"),
            ("method", "largest"),
        ],
        expected: &[
            // 16.1859 · 0.58 and 15.5421 · 0.48, by hand from the points.
            expect("reverse_maximum_power", "9.387822 mW", 1e-9),
            expect("forward_maximum_power", "7.460208 mW", 1e-9),
            expect("forward_short_circuit_density", "17.6937 mA/cm2", 1e-9),
        ],
        source: derived("products of the points"),
    },
];

/// Points of the worked cases, in V and mA/cm².
const PAIR_FORWARD: &str = include_str!("sweep_pair/forward.txt");
/// Points of the worked cases, in V and mA/cm².
const PAIR_REVERSE: &str = include_str!("sweep_pair/reverse.txt");

struct SweepPair;

impl Formula for SweepPair {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let pair = pair(given)?;
        let (area, irradiance, of_voltage) =
            (given[&AREA], given[&IRRADIANCE], given[&VOLTAGE_FACTOR]);
        let of_current = of_current(given);
        let [forward, reverse] = [(&pair.forward, 0), (&pair.reverse, FIGURES)]
            .map(|(figures, first)| figures.merit(given, first, of_current, of_voltage));
        let both = |of: fn(&Merit<S>) -> S| Both {
            forward: of(&forward),
            reverse: of(&reverse),
        };
        let by_area = |both: Both<S>| Both {
            forward: both.forward / area,
            reverse: both.reverse / area,
        };
        let efficiency = both(|merit| merit.power);
        let efficiency = Both {
            forward: efficiency.forward / (irradiance * area),
            reverse: efficiency.reverse / (irradiance * area),
        };
        let open = both(|merit| merit.open);
        let short = by_area(both(|merit| merit.short));
        let fill_factor = both(Merit::fill_factor);

        let mut found = Found::new();
        found.set(&MEAN_EFFICIENCY, efficiency.mean());
        found.set(&REVERSE_EFFICIENCY, efficiency.reverse);
        found.set(&FORWARD_EFFICIENCY, efficiency.forward);
        found.set(&REVERSE_FILL_FACTOR, fill_factor.reverse);
        found.set(&FORWARD_FILL_FACTOR, fill_factor.forward);
        found.set(&REVERSE_OPEN, open.reverse);
        found.set(&FORWARD_OPEN, open.forward);
        found.set(&REVERSE_SHORT, short.reverse);
        found.set(&FORWARD_SHORT, short.forward);
        found.set(&REVERSE_POWER, reverse.power);
        found.set(&FORWARD_POWER, forward.power);
        found.set(&OVER_REVERSE, efficiency.over_reverse());
        found.set(&OVER_MEAN, efficiency.over_mean());
        found.set(&OVER_SUM, efficiency.over_sum());
        found.set(&FORWARD_OVER_REVERSE, efficiency.ratio());
        // Readings of both sweeps in one unit: what they are multiplied by cancels.
        let compared = pair.compared(given);
        let [at_08, at_05, area_under] = compared;
        found.set_some(&AT_08, at_08.map(Both::over_reverse));
        found.set_some(&AT_05, at_05.map(Both::over_reverse));
        found.set_some(&AREA_OVER_REVERSE, area_under.map(Both::over_reverse));
        found.set_some(&AREA_OVER_SUM, area_under.map(Both::over_sum));
        let quantities = [open, short, fill_factor, efficiency];
        found.set(&PRODUCT_INDEX, product_index(&quantities));
        if given.wants_curves() {
            let (by, per) = (of_voltage.value(), (of_current / area).value());
            found.set_curve(&REVERSE_CURVE, pair.reverse.drawn(by, per));
            found.set_curve(&FORWARD_CURVE, pair.forward.drawn(by, per));
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let pair = pair(given)?;
        Ok(scatter(given, pair.residual(), |of_reading| {
            pair.covariance(of_reading)
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(pair) = pair(given) else {
            return Vec::new();
        };
        let mut checks = vec![pair.directions()];
        checks.extend(pair.of_sweeps(given));
        checks.extend(found.get(&OVER_REVERSE).map(of_difference));
        checks.extend(of_currents(found));
        checks.extend(mask(given[&AREA], given.get(&FILM_AREA), None));
        checks.extend(slow_response(given.get(&SWEEP_RATE), given.get(&DELAY)));
        let of_reading = given.or(&DENSITY_AREA, 1.0);
        checks.extend(scatter_check(
            pair.residual(),
            given.get(&NOISE),
            of_reading,
        ));
        checks
    }
}

/// Both sweeps, in the units they came in.
struct Pair {
    forward: Figures,
    reverse: Figures,
    /// What is compared besides the figures: currents at 0.8 and at 0.5 of the reverse Voc, and integrals; forward and
    /// reverse in turn. None where a sweep does not reach so far.
    compared: [Option<[Compared; 2]>; 3],
}

/// A number read from one sweep, at a place that the other may decide.
struct Compared {
    value: f64,
    /// ∂(value)/∂(current) of points of the forward and of the reverse sweep.
    weights: [Weights; 2],
}

/// They follow from the points and the methods alone.
fn pair<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Pair>, Problem> {
    given.once(|| {
        let (forward, reverse, current) = match given.choice(&SECOND_COLUMN) {
            "density" => (&FORWARD_DENSITY, &REVERSE_DENSITY, &DENSITY),
            _ => (&FORWARD, &REVERSE, &CURRENT),
        };
        let read = |field: &'static Field| {
            let columns = Columns {
                field,
                voltage: &VOLTAGE,
                current,
            };
            let (axes, method) = (given.choice(&AXES), given.choice(&METHOD));
            Figures::read(columns, given.points(field), axes, method)
        };
        let (forward, reverse) = (read(forward)?, read(reverse)?);
        let compared = [
            at(&forward, &reverse, 0.8),
            at(&forward, &reverse, 0.5),
            Some([integral(&forward, 0), integral(&reverse, 1)]),
        ];
        Ok(Pair {
            forward,
            reverse,
            compared,
        })
    })
}

/// The currents at this share of the reverse open-circuit voltage.
fn at(forward: &Figures, reverse: &Figures, share: f64) -> Option<[Compared; 2]> {
    let (place, moved) = reverse.open_circuit();
    let place = share * place;
    let read = |figures: &Figures, own: usize| {
        let x = figures.curve.x();
        let inside = x.first()? <= &place && &place <= x.last()?;
        let local = figures.curve.local_cubic(place).ok().filter(|_| inside)?;
        let reading = local.at(place);
        let mut weights = [Vec::new(), Vec::new()];
        weights[own] = reading.weights;
        // The place moves with the points of the reverse sweep.
        weights[1].extend(
            moved
                .iter()
                .map(|(point, w)| (*point, share * w * reading.slope)),
        );
        Some(Compared {
            value: reading.value,
            weights,
        })
    };
    Some([read(forward, 0)?, read(reverse, 1)?])
}

/// The integral of the current from 0 V to the open-circuit voltage, by trapezoids.
fn integral(figures: &Figures, own: usize) -> Compared {
    let (open, open_weights) = figures.open_circuit();
    let (short, short_weights) = figures.short_circuit();
    let (x, y) = (figures.curve.x(), figures.curve.y());
    let inner: Range<usize> = x.partition_point(|v| *v <= 0.0)..x.partition_point(|v| *v < open);
    let mut places = vec![(0.0, short)];
    places.extend(
        x[inner.clone()]
            .iter()
            .copied()
            .zip(y[inner.clone()].iter().copied()),
    );
    places.push((open, 0.0));
    let value = places
        .windows(2)
        .map(|pair| 0.5 * (pair[1].0 - pair[0].0) * (pair[0].1 + pair[1].1))
        .sum();
    // Each place weighs by half the way between its neighbours.
    let mut weights: Weights = places
        .windows(3)
        .zip(inner)
        .map(|(three, point)| (point, 0.5 * (three[2].0 - three[0].0)))
        .collect();
    let first_width = 0.5 * places.get(1).map_or(0.0, |place| place.0);
    let last_height = 0.5 * places.iter().rev().nth(1).map_or(0.0, |place| place.1);
    weights.extend(
        short_weights
            .iter()
            .map(|(point, w)| (*point, w * first_width)),
    );
    weights.extend(
        open_weights
            .iter()
            .map(|(point, w)| (*point, w * last_height)),
    );
    let mut of_sweeps = [Vec::new(), Vec::new()];
    of_sweeps[own] = weights;
    Compared {
        value,
        weights: of_sweeps,
    }
}

impl Pair {
    /// What is compared besides the figures, with the corrections that follow those of both sweeps.
    fn compared<S: Scalar>(&self, given: &Given<'_, S>) -> [Option<Both<S>>; 3] {
        let mut number = 2 * FIGURES;
        self.compared.each_ref().map(|both| {
            number += 2;
            let [forward, reverse] = both.as_ref()?;
            Some(Both {
                forward: given.scatter(number - 2) + forward.value,
                reverse: given.scatter(number - 1) + reverse.value,
            })
        })
    }

    /// Covariance of the figures of the forward, then the reverse sweep, then of what is compared.
    fn covariance(&self, of_reading: f64) -> Vec<Vec<f64>> {
        const NUMBERS: usize = 2 * FIGURES + 6;
        let mut covariance = vec![vec![0.0; NUMBERS]; NUMBERS];
        for (own, figures) in [&self.forward, &self.reverse].into_iter().enumerate() {
            let mut slopes = vec![[0.0; NUMBERS]; figures.curve.x().len()];
            for (number, weights) in figures.weights().into_iter().enumerate() {
                for &(point, slope) in weights {
                    slopes[point][own * FIGURES + number] += slope;
                }
            }
            let compared = self.compared.iter().map(Option::as_ref);
            for (number, both) in compared.enumerate() {
                for (which, one) in both.into_iter().flatten().enumerate() {
                    for &(point, slope) in &one.weights[own] {
                        slopes[point][2 * FIGURES + 2 * number + which] += slope;
                    }
                }
            }
            figures
                .sweep
                .add_covariance(&mut covariance, &slopes, of_reading);
            for (number, variance) in figures.truncation(of_reading).into_iter().enumerate() {
                let number = own * FIGURES + number;
                covariance[number][number] += variance;
            }
        }
        covariance
    }

    /// The scatter about the local fits of both sweeps.
    fn residual(&self) -> Option<Residual> {
        Residual::pooled(
            [&self.forward, &self.reverse]
                .into_iter()
                .filter_map(|f| f.residual),
        )
    }

    fn directions(&self) -> Check {
        let rule = derived("order of the points, as far as the file keeps that of the measurement");
        let found = [self.forward.sweep.direction, self.reverse.sweep.direction];
        match found {
            [Direction::Forward, Direction::Reverse] => Check::in_range(
                "direction",
                "The voltage rises in the forward sweep and falls in the reverse one.",
                rule,
            ),
            [Direction::Reverse, Direction::Forward] => Check::warning(
                "direction",
                "The voltage falls in the forward sweep and rises in the reverse one: exchange the two, unless the file \
                 sorts its points.",
                rule,
            ),
            _ => Check::warning(
                "direction",
                "The voltage goes the same way in both: one of them is the wrong sweep, or the file sorts its points.",
                rule,
            ),
        }
    }

    /// What the sweeps give reason to say, the two together.
    fn of_sweeps(&self, given: &Given<'_, f64>) -> Vec<Check> {
        let of_power = of_current(given) * given[&VOLTAGE_FACTOR];
        let said = |figures: &Figures| {
            let mut checks = figures.checks();
            checks.extend(figures.agreement(of_power, [0.0; 3]));
            checks.retain(|check| check.code != "direction" && check.level > Level::InRange);
            checks
        };
        let (forward, mut reverse) = (said(&self.forward), said(&self.reverse));
        let mut checks = Vec::new();
        for one in forward {
            let same = reverse.iter().position(|other| other.code == one.code);
            checks.push(match same.map(|place| reverse.remove(place)) {
                Some(other) if other.sentence == one.sentence => one,
                Some(other) => Check {
                    level: one.level.max(other.level),
                    sentence: format!("Forward: {} Reverse: {}", one.sentence, other.sentence),
                    ..one
                },
                None => Check {
                    sentence: format!("Forward: {}", one.sentence),
                    ..one
                },
            });
        }
        checks.extend(reverse.into_iter().map(|other| Check {
            sentence: format!("Reverse: {}", other.sentence),
            ..other
        }));
        checks
    }
}

/// Short-circuit currents further apart than this are hardly those of one cell.
const MOST_BETWEEN: f64 = 2.0;

fn of_currents(found: &Found<f64>) -> Option<Check> {
    let (forward, reverse) = (found.get(&FORWARD_SHORT)?, found.get(&REVERSE_SHORT)?);
    let ratio = forward.max(reverse) / forward.min(reverse);
    (ratio > MOST_BETWEEN).then(|| {
        Check::warning(
            "currents_differ",
            format!(
                "The short-circuit current densities are {} forward and {} reverse, {} times as much: check that both \
                 sweeps are of one cell, in one unit and for one area.",
                FORWARD_SHORT.say(forward),
                REVERSE_SHORT.say(reverse),
                brief_text(ratio, 2)
            ),
            practice("short-circuit currents of both sweeps of one cell are within a factor of two"),
        )
    })
}

/// From here on the sweeps tell different cells.
const NOTABLE: f64 = 0.02;

fn of_difference(over_reverse: f64) -> Check {
    let rule = practice("report both sweeps; hold at the maximum power where they differ");
    let share = format!("{} %", brief_text(100.0 * over_reverse.abs(), 2));
    let (more, less) = if over_reverse < 0.0 {
        ("forward", "reverse")
    } else {
        ("reverse", "forward")
    };
    if over_reverse.abs() > NOTABLE {
        Check::warning(
            "sweeps_differ",
            format!(
                "By {share} of the reverse efficiency the {more} sweep gives more than the {less} one: neither is that of \
                 the cell at rest, and their mean need not be. Sweep slower until both agree, or hold the cell at its \
                 maximum power."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "sweeps_differ",
            format!("The efficiencies of both sweeps differ by {share} of the reverse one."),
            rule,
        )
    }
}
