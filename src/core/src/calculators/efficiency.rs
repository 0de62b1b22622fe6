//! # What it computes
//! Open-circuit voltage, short-circuit current and current density, maximum power point, fill factor and efficiency
//! of an illuminated cell from measured voltage and current points of one sweep, the illuminated area and the
//! irradiance.
//!
//! # Formulas
//! Voc: zero of the straight line between the two points round I = 0. Isc: value at V = 0 of the straight line between
//! the two points round it. Pmax: maximum of the parabola through the three points round the largest product V·I; or of
//! the least-squares polynomial of fourth degree on the seven points round it; or that product itself.
//! Jsc = Isc/A; Imp = Pmax/Vmp; FF = Pmax/(Voc·Isc); η = Pmax/(G·A) = Jsc·Voc·FF/G.
//!
//! # Symbols and units
//! V voltage (V); I current (A), photocurrent positive; A illuminated area (m²); G irradiance (W/m²); Voc, Vmp (V);
//! Isc, Imp (A); Jsc, Jmp (A/m²); Pmax (W); FF, η (1); kᵥ, kᵢ calibration factors (1): true value over reading;
//! s standard deviation of one current reading (A).
//!
//! # Valid range
//! One sweep, in either direction, with points at four different voltages or more (seven for the polynomial), on
//! both sides of the maximum power point. A crossing of an axis outside the points is extrapolated by at most the
//! distance between the two points it is read from.
//!
//! # Assumptions
//! The current near 0 V is photocurrent, which gives its sign. The cell is in steady state at each point. Current
//! readings scatter independently of each other, all alike; voltages do not scatter. Nothing is corrected for
//! spectrum, temperature or irradiance.
//!
//! # Sources
//! Definitions of the quantities: IEC 60904-1 (from memory). Fourth-degree polynomial near the maximum: ASTM E948
//! (from memory). Propagation of the scatter: JCGM 100:2008, 5.1 and 5.2, with the derivatives of the lines and
//! polynomials with respect to each reading.
//!
//! # Worked example
//! The silicon cell of Easwarakhanthan et al., Int. J. Solar Energy 4 (1986) 1: Voc = 0.5727 V, Isc = 0.7605 A,
//! Pmax = 0.3108 W by the parabola; on the full disc of 57 mm (25.52 cm²) at 1000 W/m², η = 12.2 %.

use std::sync::Arc;

use super::sweep::{
    Columns, Sweep, first, last, photocurrent_is_negative, short_circuit, within_reach,
};
use super::*;
use crate::numerics::curve::{Crossing, Curve, CurveError, Interpolated, Peak};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static SECOND_COLUMN: Field = choice(
    "second_column",
    "The second column is",
    &[
        option("current", "current"),
        option("density", "current density"),
    ],
);
static POINTS: Field = curve("points", "Voltage and current", &VOLTAGE, &CURRENT)
    .help("One sweep, one point a line: voltage, then current of either sign.")
    .measured();
static DENSITY_POINTS: Field = curve(
    "density_points",
    "Voltage and current density",
    &VOLTAGE,
    &DENSITY,
)
.help("One sweep, one point a line: voltage, then current density of either sign.")
.measured();
static VOLTAGE: Field = quantity("voltage", "Voltage", Kind::Voltage)
    .symbol("V")
    .units(&["V", "mV"]);
static CURRENT: Field = quantity("current", "Current", Kind::Current)
    .symbol("I")
    .units(&["mA", "A", "uA"]);
static DENSITY: Field = quantity("density", "Current density", Kind::CurrentDensity)
    .symbol("J")
    .units(&["mA/cm2", "A/m2", "uA/cm2"]);
static DENSITY_AREA: Field = quantity(
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
static AREA: Field = quantity("area", "Illuminated area", Kind::Area)
    .symbol("A")
    .help("The opening of the mask where there is one.")
    .units(&["cm2", "mm2"])
    .positive();
static IRRADIANCE: Field = quantity("irradiance", "Irradiance", Kind::Irradiance)
    .symbol("G")
    .units(&["mW/cm2", "W/m2"])
    .positive()
    .initially("100");
static METHOD: Field = choice(
    "method",
    "Maximum power by",
    &[
        option(
            "parabola",
            "parabola through three points round the largest product",
        ),
        option("polynomial", "fourth-degree polynomial on seven points"),
        option("largest", "largest measured product"),
    ],
);
static NOISE: Field = quantity("noise", "Scatter of one current reading", Kind::Current)
    .symbol("s")
    .help("Standard deviation of repeated readings at one voltage.")
    .units(&["uA", "mA", "nA"])
    .positive()
    .optional();
static CURRENT_FACTOR: Field = quantity(
    "current_factor",
    "Calibration factor of the current",
    Kind::Ratio,
)
.symbol("kᵢ")
.help("True current over reading: 1 ± 0.002 for a meter good to 0.2 %.")
.units(&["1"])
.within(0.5, 2.0)
.initially("1");
static VOLTAGE_FACTOR: Field = quantity(
    "voltage_factor",
    "Calibration factor of the voltage",
    Kind::Ratio,
)
.symbol("kᵥ")
.help("True voltage over reading.")
.units(&["1"])
.within(0.5, 2.0)
.initially("1");

static EFFICIENCY: Field = quantity("efficiency", "Efficiency", Kind::Ratio)
    .symbol("η")
    .units(&["%"]);
static FILL_FACTOR: Field = quantity("fill_factor", "Fill factor", Kind::Ratio)
    .symbol("FF")
    .units(&["1", "%"]);
static OPEN_CIRCUIT_VOLTAGE: Field = quantity(
    "open_circuit_voltage",
    "Open-circuit voltage",
    Kind::Voltage,
)
.symbol("Voc")
.units(&["V", "mV"]);
static SHORT_CIRCUIT_CURRENT: Field = quantity(
    "short_circuit_current",
    "Short-circuit current",
    Kind::Current,
)
.symbol("Isc")
.units(&["mA", "A", "uA"]);
static SHORT_CIRCUIT_DENSITY: Field = quantity(
    "short_circuit_density",
    "Short-circuit current density",
    Kind::CurrentDensity,
)
.symbol("Jsc")
.units(&["mA/cm2", "A/m2", "uA/cm2"]);
static MAXIMUM_POWER: Field = quantity("maximum_power", "Maximum power", Kind::Power)
    .symbol("Pmax")
    .units(&["mW", "W", "uW"]);
static MAXIMUM_POWER_VOLTAGE: Field = quantity(
    "maximum_power_voltage",
    "Voltage at maximum power",
    Kind::Voltage,
)
.symbol("Vmp")
.units(&["V", "mV"]);
static MAXIMUM_POWER_CURRENT: Field = quantity(
    "maximum_power_current",
    "Current at maximum power",
    Kind::Current,
)
.symbol("Imp")
.units(&["mA", "A", "uA"]);
static MAXIMUM_POWER_CURRENT_DENSITY: Field = quantity(
    "maximum_power_current_density",
    "Current density at maximum power",
    Kind::CurrentDensity,
)
.symbol("Jmp")
.units(&["mA/cm2", "A/m2", "uA/cm2"]);
static CURVE: Field = curve(
    "curve",
    "Current density against voltage",
    &VOLTAGE,
    &DENSITY,
);

/// What each way of finding the maximum power gives.
const MAXIMUM: &[&Field] = &[&MAXIMUM_POWER, &MAXIMUM_POWER_VOLTAGE];

/// Efficiency of a cell and what goes with it, from one measured sweep.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "efficiency",
    version: 1,
    stage: Stage::Measuring,
    title: "Cell efficiency",
    purpose: "Efficiency, fill factor and what goes with them, from measured voltage and current points.",
    inputs: &[
        show(&SECOND_COLUMN),
        show(&POINTS).unless(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_POINTS).when(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_AREA).when(&SECOND_COLUMN, &["density"]),
        show(&AREA),
        show(&IRRADIANCE),
        show(&METHOD),
        show(&NOISE),
        show(&CURRENT_FACTOR),
        show(&VOLTAGE_FACTOR),
    ],
    outputs: &[
        show(&EFFICIENCY),
        show(&FILL_FACTOR),
        show(&OPEN_CIRCUIT_VOLTAGE),
        show(&SHORT_CIRCUIT_CURRENT),
        show(&SHORT_CIRCUIT_DENSITY),
        show(&MAXIMUM_POWER),
        show(&MAXIMUM_POWER_VOLTAGE),
        show(&MAXIMUM_POWER_CURRENT),
        show(&MAXIMUM_POWER_CURRENT_DENSITY),
        show(&CURVE),
    ],
    working: &[
        method("Current: current density times the area it was divided by.")
            .when(&SECOND_COLUMN, &["density"]),
        method(
            "Photocurrent counts as positive: the sign is that of the current near 0 V. Voltages and currents are \
             multiplied by their calibration factors.",
        ),
        method(
            "Open-circuit voltage: where the straight line between the two points round zero current crosses zero.",
        )
        .gives(&[&OPEN_CIRCUIT_VOLTAGE]),
        method(
            "Short-circuit current: where the straight line between the two points round 0 V meets 0 V.",
        )
        .gives(&[&SHORT_CIRCUIT_CURRENT]),
        formula("short_circuit_density = short_circuit_current / area"),
        method(
            "Maximum power and its voltage: vertex of the parabola through the largest product of voltage and \
             current and its two neighbours.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["parabola"]),
        method(
            "Maximum power and its voltage: maximum of the fourth-degree polynomial fitted by least squares to the \
             products of voltage and current at the seven points round the largest.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["polynomial"]),
        method(
            "Maximum power and its voltage: the largest product of voltage and current among the points. Between \
             points it may be larger, and its voltage is known to about half their distance only.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["largest"]),
        formula("maximum_power_current = maximum_power / maximum_power_voltage"),
        formula("maximum_power_current_density = maximum_power_current / area"),
        formula("fill_factor = maximum_power / (open_circuit_voltage * short_circuit_current)"),
        formula("efficiency = maximum_power / (irradiance * area)"),
        method("The curve is drawn through the points, currents divided by the illuminated area.").gives(&[&CURVE]),
    ],
    sources: &[
        memory("IEC 60904-1: measurement of current–voltage characteristics"),
        memory("ASTM E948: fourth-degree polynomial for the maximum power"),
        memory("JCGM 100:2008, 5.1 and 5.2: propagation of uncertainty, with correlation"),
    ],
    hazards: &[
        Hazard {
            what: "Lamp",
            caution: "A solar simulator glares, gives off ultraviolet light and gets hot. Do not look into the beam; \
                      cover skin, wear eye protection, let the lamp cool before touching it.",
        },
        Hazard {
            what: "Leaking cell",
            caution: "Electrolyte holds iodine and solvent: it stains, irritates and gives off vapour, more so under \
                      the warm lamp. Gloves and extraction; take a leaking cell out of the light.",
        },
    ],
    formula: both::<Efficiency>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "silicon cell, parabola",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.572693 V", 1e-6),
            expect("short_circuit_current", "0.7605 A", 1e-9),
            expect("maximum_power_voltage", "0.450480 V", 1e-6),
            expect("maximum_power_current", "0.690033 A", 1e-6),
            expect("maximum_power", "0.310846 W", 1e-6),
        ],
        source: computed(
            "straight lines (scipy 1.17.1) and parabola (Python 3.11) on the points of Easwarakhanthan et al., \
                 Int. J. Solar Energy 4 (1986) 1",
        ),
    },
    Case {
        title: "silicon cell, polynomial, on the full disc of 57 mm",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("method", "polynomial"),
        ],
        expected: &[
            expect("maximum_power_voltage", "0.451117 V", 1e-6),
            expect("maximum_power", "0.310596 W", 1e-6),
            // With 0.7603 A and 0.3107 W of a fitted single-diode model instead of the points.
            expect("short_circuit_density", "29.795 mA/cm2", 0.01),
            expect("efficiency", "12.176 %", 0.01),
        ],
        source: computed(
            "polynomial by Python 3.11, area by geometry, on the points of Easwarakhanthan et al., Int. J. Solar \
                 Energy 4 (1986) 1",
        ),
    },
    Case {
        title: "silicon cell, largest product",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("method", "largest"),
        ],
        expected: &[
            expect("maximum_power_voltage", "0.459 V", 1e-12),
            expect("maximum_power_current", "0.6755 A", 1e-12),
            expect("maximum_power", "0.3100545 W", 1e-12),
            expect("fill_factor", "0.711897", 1e-6),
        ],
        source: computed(
            "straight lines (scipy 1.17.1) on the points of Easwarakhanthan et al., Int. J. Solar Energy 4 \
                 (1986) 1",
        ),
    },
    Case {
        title: "computed curve like a dye cell's: what this method gives",
        inputs: &[
            ("second_column", "density"),
            ("density_points", DYE_LIKE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.760286 V", 1e-6),
            expect("short_circuit_density", "17.9712 mA/cm2", 1e-9),
            expect("maximum_power_voltage", "0.576705 V", 1e-6),
            expect("maximum_power", "9.389637 mW", 1e-6),
        ],
        source: computed("numpy 2.4.6 on the sampled curve"),
    },
    Case {
        title: "computed curve like a dye cell's: the exact figures, within the error of the method",
        inputs: &[
            ("second_column", "density"),
            ("density_points", DYE_LIKE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.76029574 V", 2e-5),
            expect("short_circuit_density", "17.97123894 mA/cm2", 1e-4),
            expect("maximum_power_voltage", "0.57760279 V", 1e-3),
            expect("fill_factor", "0.68714339", 1e-4),
            expect("efficiency", "9.388754 %", 1e-3),
        ],
        source: computed("single-diode equation, mpmath 1.4.1, 30 digits"),
    },
    Case {
        title: "computed ideal diode: what this method gives",
        inputs: &[
            ("second_column", "density"),
            ("density_points", IDEAL_DIODE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.622691 V", 1e-6),
            expect("short_circuit_density", "35 mA/cm2", 1e-9),
            expect("maximum_power_voltage", "0.541635 V", 1e-6),
            expect("maximum_power", "18.176803 mW", 1e-6),
            // The exact curve has 18.186716 %; 20 mV steps cost a parabola 0.06 % of it.
            expect("efficiency", "18.186716 %", 0.011),
        ],
        source: computed("numpy 2.4.6 on the sampled curve; exact value by mpmath 1.4.1"),
    },
];

/// Worked-case points, in V and mA.
const SILICON: &str = include_str!("efficiency/silicon.txt");
/// Worked-case points, in V and mA/cm².
const DYE_LIKE: &str = include_str!("efficiency/dye_like.txt");
/// Worked-case points, in V and mA/cm².
const IDEAL_DIODE: &str = include_str!("efficiency/ideal_diode.txt");

struct Efficiency;

impl Formula for Efficiency {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let figures = Figures::of(given)?;
        let (area, irradiance, of_voltage) =
            (given[&AREA], given[&IRRADIANCE], given[&VOLTAGE_FACTOR]);
        let of_current = given[&CURRENT_FACTOR] * given.or(&DENSITY_AREA, 1.0);
        let [short, open, power, at] = figures.values();
        let short = (given.scatter(0) + short) * of_current;
        let open = (given.scatter(1) + open) * of_voltage;
        let power = (given.scatter(2) + power) * of_current * of_voltage;
        let at = (given.scatter(3) + at) * of_voltage;

        let mut found = Found::new();
        found.set(&EFFICIENCY, power / (irradiance * area));
        found.set(&FILL_FACTOR, power / (open * short));
        found.set(&OPEN_CIRCUIT_VOLTAGE, open);
        found.set(&SHORT_CIRCUIT_CURRENT, short);
        found.set(&SHORT_CIRCUIT_DENSITY, short / area);
        found.set(&MAXIMUM_POWER, power);
        found.set(&MAXIMUM_POWER_VOLTAGE, at);
        found.set(&MAXIMUM_POWER_CURRENT, power / at);
        found.set(&MAXIMUM_POWER_CURRENT_DENSITY, power / at / area);
        let scaled = |values: &[f64], by: S| values.iter().map(|v| v * by.value()).collect();
        if given.wants_curves() {
            let drawn = Points {
                x: scaled(figures.curve.x(), of_voltage),
                y: scaled(figures.curve.y(), of_current / area),
            };
            found.set_curve(&CURVE, drawn);
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let Some(noise) = given.get(&NOISE) else {
            return Ok(None);
        };
        let figures = Figures::of(given)?;
        let of_reading = noise / given.or(&DENSITY_AREA, 1.0);
        Ok(Some(Scatter {
            title: "Scatter of the current readings",
            covariance: figures.covariance(of_reading),
            degrees_of_freedom: f64::INFINITY,
            linearised: true,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(figures) = Figures::of(given) else {
            return Vec::new();
        };
        let mut checks = figures.checks();
        checks.extend(of_results(given, found));
        checks
    }
}

/// What is read from the points alone, in the units they came in: currents may be current densities. Points are named by
/// their place in the curve.
struct Figures {
    sweep: Sweep,
    /// Photocurrent positive.
    curve: Curve,
    /// The photocurrent came in with negative sign.
    negative: bool,
    short: Interpolated,
    open: Crossing,
    power: Peak,
}

impl Figures {
    /// They follow from the points and the method alone.
    fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Figures>, Problem> {
        given.once(|| Figures::read(given))
    }

    fn read<S: Scalar>(given: &Given<'_, S>) -> Result<Figures, Problem> {
        let (field, current) = match given.choice(&SECOND_COLUMN) {
            "density" => (&DENSITY_POINTS, &DENSITY),
            _ => (&POINTS, &CURRENT),
        };
        let empty = Points::default();
        let points = given.points(field).unwrap_or(&empty);
        let columns = Columns {
            field,
            voltage: &VOLTAGE,
            current,
        };
        let sweep = Sweep::new(columns, points)?;
        let short = short_circuit(&sweep.curve, columns)?;
        let negative = photocurrent_is_negative(&sweep.curve, &short, columns)?;
        let sign = if negative { -1.0 } else { 1.0 };
        let curve = sweep.curve.map(|_, current| sign * current);
        let short = Interpolated {
            y: sign * short.y,
            slope: sign * short.slope,
            ..short
        };
        let open = open_circuit(&curve, field)?;
        let power = maximum(&curve, given.choice(&METHOD), &open)
            .map_err(|error| no_maximum(error, field))?;
        Ok(Figures {
            sweep,
            curve,
            negative,
            short,
            open,
            power,
        })
    }

    /// Isc, Voc, Pmax, Vmp: the order of the scatter's corrections.
    fn values(&self) -> [f64; 4] {
        [self.short.y, self.open.x, self.power.y, self.power.x]
    }

    /// Covariance of [`Figures::values`]: Σ uₖ²·gₖ·gₖᵀ over the points, gₖ being the derivatives of the values with respect
    /// to the current of point k and uₖ the standard uncertainty of that current, the mean of one reading or more.
    fn covariance(&self, of_reading: f64) -> Vec<Vec<f64>> {
        let mut slopes = vec![[0.0; 4]; self.curve.x().len()];
        for (point, slope) in self.short.weights {
            slopes[point][0] += slope;
        }
        for (point, slope) in self.open.weights {
            slopes[point][1] += slope;
        }
        // The polynomials run through powers: ∂P/∂I of a point is its voltage.
        for (value, weights) in [(2, &self.power.weights), (3, &self.power.x_weights)] {
            for &(point, slope) in weights {
                slopes[point][value] += slope * self.curve.x()[point];
            }
        }
        let mut covariance = vec![vec![0.0; 4]; 4];
        for (slopes, readings) in slopes.iter().zip(&self.sweep.readings) {
            let variance = of_reading * of_reading / f64::from(*readings);
            for (row, a) in covariance.iter_mut().zip(slopes) {
                for (cell, b) in row.iter_mut().zip(slopes) {
                    *cell += variance * a * b;
                }
            }
        }
        covariance
    }
}

/// Where the photocurrent is used up.
fn open_circuit(curve: &Curve, field: &Field) -> Result<Crossing, Problem> {
    let missing = || {
        Problem::at(
            field,
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
            field,
            "voltage_reversed",
            format!(
                "The current crosses zero at {}: the voltage has the opposite sign of an illuminated cell's.",
                VOLTAGE.say(open.x)
            ),
            "Reverse the sign of the voltages, or swap the leads.",
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

/// The maximum power point by one of the methods.
fn maximum(curve: &Curve, method: &str, open: &Crossing) -> Result<Peak, CurveError> {
    let power = curve.map(|voltage, current| voltage * current);
    let (point, x, y) = power.largest();
    if point == 0 || point + 1 == power.x().len() {
        return Err(CurveError::LargestAtEnd);
    }
    let peak = match method {
        "polynomial" => power.quartic_peak(),
        "largest" => Ok(Peak {
            x,
            y,
            weights: vec![(point, 1.0)],
            x_weights: Vec::new(),
        }),
        _ => power.parabola_peak(),
    };
    let between = |peak: &Peak| peak.y > 0.0 && 0.0 < peak.x && peak.x < open.x;
    peak.and_then(|peak| {
        if between(&peak) {
            Ok(peak)
        } else {
            Err(CurveError::NoMaximum)
        }
    })
}

impl Figures {
    /// What the points themselves give reason to say.
    fn checks(&self) -> Vec<Check> {
        let mut checks = vec![self.sign(), self.sweep.direction.check()];
        checks.extend(self.extrapolated());
        checks.extend(self.handled());
        checks.extend(self.crossings());
        checks.push(self.spacing());
        checks.extend(self.agreement());
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
        let mut checks = Vec::new();
        if !self.short.inside {
            checks.push(Check::warning(
                "short_circuit_extrapolated",
                format!(
                    "No point lies on the other side of 0 V: the short-circuit current is extrapolated from {}.",
                    VOLTAGE.say(if first(&self.curve) > 0.0 { first(&self.curve) } else { last(&self.curve) })
                ),
                rule,
            ));
        }
        if !self.open.inside {
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
        let signs = self.curve.y().windows(2);
        let count = signs
            .filter(|pair| (pair[0] < 0.0) != (pair[1] < 0.0))
            .count();
        (count > 1).then(|| {
            Check::warning(
                "several_crossings",
                format!("The current crosses zero {count} times; the crossing at the lowest voltage was taken."),
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
        let share = widest / self.open.x;
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

    /// Maximum power by all methods that give one.
    fn agreement(&self) -> Option<Check> {
        let FieldKind::Choice { options } = METHOD.kind else {
            return None;
        };
        let powers: Vec<f64> = options
            .iter()
            .filter_map(|option| maximum(&self.curve, option.id, &self.open).ok())
            .map(|peak| peak.y)
            .collect();
        let highest = powers.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let lowest = powers.iter().copied().fold(f64::INFINITY, f64::min);
        let spread = (highest - lowest) / self.power.y;
        let sentence = format!(
            "The maximum power by {} methods differs by {} %",
            powers.len(),
            value_text(100.0 * spread, 2)
        );
        let rule = practice("methods that read one curve should agree within 0.5 %");
        Some(if spread > 0.005 {
            let sentence =
                format!("{sentence}: the points are too coarse or scatter too much for less.");
            Check::note("methods_differ", sentence, rule)
        } else {
            Check::in_range("methods_differ", format!("{sentence}."), rule)
        })
    }
}

/// Efficiency above which something is wrong.
const MOST_EFFICIENT: f64 = 0.33;
/// Irradiance of standard test conditions, in W/m².
const STANDARD_IRRADIANCE: f64 = 1000.0;

/// What the results give reason to say.
fn of_results(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
    let result = |field: &Field| found.get(field).unwrap_or(f64::NAN);
    let checks = [
        Some(of_fill_factor(result(&FILL_FACTOR))),
        of_efficiency(result(&EFFICIENCY)),
        Some(of_irradiance(given[&IRRADIANCE])),
        of_areas(given),
        given.get(&NOISE).is_none().then(|| {
            Check::note(
                "scatter_unknown",
                "No scatter of the current readings is entered: the uncertainties leave it out.",
                derived("an uncertainty holds what was entered"),
            )
        }),
    ];
    checks.into_iter().flatten().collect()
}

fn of_fill_factor(fill_factor: f64) -> Check {
    let rule: Source =
        derived("a straight line between the axes has a fill factor of 1/4, a rectangle 1");
    let shown = value_text(fill_factor, 3);
    if fill_factor < 0.25 {
        let sentence = format!(
            "The fill factor {shown} is below that of a straight line, 0.25: the curve is bent inwards. A barrier at \
             a contact or charging of the cell during a fast sweep may do this."
        );
        Check::warning("fill_factor", sentence, rule)
    } else if fill_factor < 1.0 {
        let sentence =
            format!("The fill factor {shown} lies between that of a straight line, 0.25, and 1.");
        Check::in_range("fill_factor", sentence, rule)
    } else {
        let sentence = format!(
            "The fill factor {shown} is not below 1, as a cell's is: look for wrong points."
        );
        Check::warning("fill_factor", sentence, rule)
    }
}

fn of_efficiency(efficiency: f64) -> Option<Check> {
    (efficiency > MOST_EFFICIENT).then(|| {
        Check::warning(
            "implausible_efficiency",
            format!(
                "An efficiency of {} is above what one absorber can reach in sunlight, about 33 %: check the area, \
                 the irradiance and the units.",
                EFFICIENCY.say(efficiency)
            ),
            memory("W. Shockley and H. J. Queisser, J. Appl. Phys. 32 (1961) 510; about 33 % in AM1.5G light"),
        )
    })
}

fn of_irradiance(irradiance: f64) -> Check {
    let rule = memory("IEC 60904-3: standard irradiance 1000 W/m²");
    if (irradiance / STANDARD_IRRADIANCE - 1.0).abs() > 1e-3 {
        let sentence = format!(
            "The efficiency is that at {}, not at {}. It would be the same there only if the current were \
             proportional to the light and voltage and fill factor did not change.",
            IRRADIANCE.say(irradiance),
            IRRADIANCE.say(STANDARD_IRRADIANCE)
        );
        Check::note("irradiance", sentence, rule)
    } else {
        Check::in_range("irradiance", "The irradiance is the standard one.", rule)
    }
}

/// The area a current density was calculated with is a setting, not a measurement.
fn of_areas(given: &Given<'_, f64>) -> Option<Check> {
    let (set, area) = (given.get(&DENSITY_AREA)?, given[&AREA]);
    if given.uncertainty(&DENSITY_AREA) > 0.0 {
        return Some(Check::warning(
            "uncertain_setting",
            "The area the current was divided by carries an uncertainty. It is a setting and exact; linked to the \
             same card as the illuminated area, it would cancel that area's uncertainty. Type it without ±.",
            derived("current is current density times the area that was set"),
        ));
    }
    ((set / area - 1.0).abs() > 1e-3).then(|| {
        Check::note(
            "areas_differ",
            format!(
                "The current was divided by {}, the illuminated area is {}: current densities were calculated anew.",
                DENSITY_AREA.say(set),
                AREA.say(area)
            ),
            derived("current is current density times the area that was set"),
        )
    })
}
