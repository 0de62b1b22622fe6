//! # What it computes
//! Viscosity of an ink at the temperature of the head, from points measured at other temperatures; and the temperature that
//! brings a wanted viscosity, or a wanted Z.
//!
//! # Formulas
//! Straight line ln(η/(1 Pa·s)) = a + b/(T − T₀) by least squares, T₀ = 0 for Arrhenius, typed for
//! Vogel–Fulcher–Tammann; weights (η/u)² where the viscosities have an uncertainty u. η = exp(a + b/(T − T₀)) Pa·s,
//! T = T₀ + b/(ln(η/(1 Pa·s)) − a), slope β = −b/(T − T₀)²; η for Z: √(ρ·γ·d)/Z.
//!
//! # Symbols and units
//! η viscosity (Pa·s), T temperature (K), T₀ Vogel temperature (K); a (1), b (K) intercept and slope of the line; β relative
//! change per kelvin (1/K); ρ density (kg/m³), γ surface tension (N/m), d nozzle diameter (m), Z = 1/Oh.
//!
//! # Valid range
//! At least two temperatures, all above T₀; a viscosity that falls with temperature where a temperature is found.
//!
//! # Assumptions
//! Temperatures are exact; uncertainties of the viscosities are independent and are taken as stated. Without them the
//! scatter about the line takes their place. Density and surface tension are those at the temperature found, of which they
//! depend far less than the viscosity. The viscosity is that of the shear rate of the measurement.
//!
//! # Sources
//! Arrhenius and Vogel–Fulcher–Tammann, as they are commonly written; weighted least squares.
//!
//! # Worked example
//! An ink of 20 mPa·s at 20 °C and 10 mPa·s at 45 °C has 14.5 mPa·s at 31 °C.

use super::nozzle::{DENSITY, NOZZLE, TENSION, viscosity};
use super::straight_line::{self, Samples, Words};
use super::*;
use crate::numerics::line::Line;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("viscosity", "viscosity at a temperature"),
        option("temperature", "temperature for a viscosity"),
        option("head", "temperature for a Z"),
    ],
);
static POINTS: Field = table(
    "points",
    "Measured viscosities",
    &[&POINT_TEMPERATURE, &POINT_VISCOSITY],
);
static POINT_TEMPERATURE: Field = quantity("temperature", "Temperature", Kind::Temperature)
    .units(&["Cel", "K"])
    .positive()
    .measured();
static POINT_VISCOSITY: Field = viscosity().weighing().measured();
static LAW: Field = choice(
    "law",
    "Law",
    &[
        option("arrhenius", "Arrhenius"),
        option("vft", "Vogel–Fulcher–Tammann"),
    ],
);
static VOGEL: Field = quantity("vogel", "Vogel temperature", Kind::Temperature)
    .symbol("T₀")
    .help("Typed, not fitted: often 50 K to 150 K below the coldest point.")
    .units(&["K", "Cel"])
    .positive();
static TEMPERATURE: Field = quantity("temperature", "Temperature of the head", Kind::Temperature)
    .symbol("T")
    .units(&["Cel", "K"])
    .positive();
static VISCOSITY: Field = viscosity();
static Z: Field = quantity("z", "Wanted Z", Kind::Ratio)
    .symbol("Z")
    .help("By the nozzle diameter, as on the card of jetting.")
    .positive();

static PER_KELVIN: Field = quantity(
    "per_kelvin",
    "Change of viscosity per kelvin",
    Kind::PerKelvin,
)
.symbol("β")
.help("Relative, at this temperature.")
.units(&["%/K"]);
static INTERCEPT: Field = quantity("intercept", "Intercept of the line", Kind::Ratio)
    .symbol("a")
    .help("Of the natural logarithm of the viscosity in Pa·s.");
static SLOPE: Field = quantity("slope", "Slope of the line", Kind::TemperatureDifference)
    .symbol("b")
    .units(&["K"]);
static CURVE: Field = curve(
    "curve",
    "Viscosity against temperature",
    &TEMPERATURE,
    &VISCOSITY,
);
/// What the points scatter by: a difference of logarithms is a relative one.
static RELATIVE: Field = quantity("relative", "Relative deviation", Kind::Ratio).units(&["%"]);

const WORDS: Words = Words {
    points: "points",
    y: &RELATIVE,
    one: "viscosity",
    many: "viscosities",
    bent: "the law does not hold over these temperatures: try another Vogel temperature",
    straighten: "Use a narrower range of temperatures.",
};
const LAWS: Source =
    memory("laws of Arrhenius and of Vogel, Fulcher and Tammann, as commonly written");
const OHNESORGE: Source = derived("Z = √(ρ·γ·d)/η");
/// Steps in which the curve is drawn.
const STEPS: u32 = 40;

/// Viscosity with temperature.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "viscosity",
    version: 1,
    stage: Stage::Ink,
    title: "Viscosity with temperature",
    purpose: "Viscosity at the temperature of the head, or the temperature for a viscosity or a Z.",
    inputs: &[
        show(&FIND),
        show(&POINTS),
        show(&LAW),
        show(&VOGEL).when(&LAW, &["vft"]),
        show(&TEMPERATURE).when(&FIND, &["viscosity"]),
        show(&VISCOSITY).when(&FIND, &["temperature"]),
        show(&Z).when(&FIND, &["head"]),
        show(&DENSITY).when(&FIND, &["head"]),
        show(&TENSION).when(&FIND, &["head"]),
        show(&NOZZLE).when(&FIND, &["head"]),
    ],
    outputs: &[
        show(&TEMPERATURE).when(&FIND, &["temperature", "head"]),
        show(&VISCOSITY).when(&FIND, &["viscosity", "head"]),
        show(&PER_KELVIN),
        show(&INTERCEPT),
        show(&SLOPE),
        show(&CURVE),
    ],
    working: &[
        method(
            "Straight line of the logarithm of the viscosity in Pa·s against the inverse of the temperature by least \
             squares, each point weighted with (η/u)² where its standard uncertainty u is stated, all alike otherwise.",
        )
        .gives(&[&INTERCEPT, &SLOPE])
        .when(&LAW, &["arrhenius"]),
        method(
            "Straight line of the logarithm of the viscosity in Pa·s against the inverse of the temperature above the Vogel \
             temperature, weighted in the same way.",
        )
        .gives(&[&INTERCEPT, &SLOPE])
        .when(&LAW, &["vft"]),
        formula("viscosity = sqrt(density * tension * nozzle) / z").when(&FIND, &["head"]),
        formula("viscosity = exp(intercept + slope / temperature)")
            .when(&FIND, &["viscosity"])
            .when(&LAW, &["arrhenius"]),
        formula("viscosity = exp(intercept + slope / (temperature - vogel))")
            .when(&FIND, &["viscosity"])
            .when(&LAW, &["vft"]),
        formula("temperature = slope / (ln(viscosity) - intercept)")
            .when(&FIND, &["temperature", "head"])
            .when(&LAW, &["arrhenius"]),
        formula("temperature = vogel + slope / (ln(viscosity) - intercept)")
            .when(&FIND, &["temperature", "head"])
            .when(&LAW, &["vft"]),
        formula("per_kelvin = -slope / temperature^2").when(&LAW, &["arrhenius"]),
        formula("per_kelvin = -slope / (temperature - vogel)^2").when(&LAW, &["vft"]),
        method("The curve is drawn over the measured temperatures and the one in question.").gives(&[&CURVE]),
    ],
    sources: &[LAWS, OHNESORGE, derived("weighted least squares for a straight line")],
    hazards: &[hazards::HEAD_VAPOUR, hazards::SOLVENTS],
    formula: both::<Viscosity>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "between two points",
        inputs: &[
            ("points.a.temperature", "20 °C"),
            ("points.a.viscosity", "20 mPa.s"),
            ("points.b.temperature", "45 °C"),
            ("points.b.viscosity", "10 mPa.s"),
            ("temperature", "31 °C"),
        ],
        expected: &[
            expect("viscosity", "14.537173961734371 mPa.s", 1e-9),
            expect("slope", "2585.8735174560866 K", 1e-8),
            expect("per_kelvin", "-2.795320676130004 %/K", 1e-10),
        ],
        source: PYTHON,
    },
    Case {
        title: "temperature for a viscosity on the same line",
        inputs: &[
            ("find", "temperature"),
            ("points.a.temperature", "20 °C"),
            ("points.a.viscosity", "20 mPa.s"),
            ("points.b.temperature", "45 °C"),
            ("points.b.viscosity", "10 mPa.s"),
            ("viscosity", "10 mPa.s"),
        ],
        expected: &[expect("temperature", "45 °C", 1e-9)],
        source: LAWS,
    },
    Case {
        title: "temperature that brings Z to 4",
        inputs: &[
            ("find", "head"),
            ("points.a.temperature", "20 °C"),
            ("points.a.viscosity", "20 mPa.s"),
            ("points.b.temperature", "45 °C"),
            ("points.b.viscosity", "10 mPa.s"),
            ("z", "4"),
            ("density", "1150 kg/m3"),
            ("tension", "32 mN/m"),
            ("nozzle", "21 um"),
        ],
        expected: &[
            expect("viscosity", "6.949820141557622 mPa.s", 1e-9),
            expect("temperature", "333.06053601837067 K", 1e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "four points on a law of Vogel, Fulcher and Tammann",
        // exp(−9 + 900 K/(T − 150 K)) Pa·s, to ten digits.
        inputs: &[
            ("law", "vft"),
            ("vogel", "150 K"),
            ("points.a.temperature", "293.15 K"),
            ("points.a.viscosity", "66.34488725 mPa.s"),
            ("points.b.temperature", "303.15 K"),
            ("points.b.viscosity", "44.00691831 mPa.s"),
            ("points.c.temperature", "313.15 K"),
            ("points.c.viscosity", "30.69657957 mPa.s"),
            ("points.d.temperature", "333.15 K"),
            ("points.d.viscosity", "16.80640717 mPa.s"),
            ("temperature", "323.15 K"),
        ],
        expected: &[
            expect("intercept", "-9", 1e-7),
            expect("slope", "900 K", 1e-5),
            expect("viscosity", "22.3217301468 mPa.s", 1e-7),
        ],
        source: PYTHON,
    },
    Case {
        title: "a weighted line through three points",
        inputs: &[
            ("points.a.temperature", "293.15 K"),
            ("points.a.viscosity", "20.0 ± 0.2 mPa.s"),
            ("points.b.temperature", "308.15 K"),
            ("points.b.viscosity", "13.0 ± 0.3 mPa.s"),
            ("points.c.temperature", "323.15 K"),
            ("points.c.viscosity", "9.0 ± 0.1 mPa.s"),
            ("temperature", "313.15 K"),
        ],
        expected: &[
            expect("intercept", "-12.51805459153142", 1e-9),
            expect("slope", "2522.5718916856126 K", 1e-6),
            expect("viscosity", "11.532571698806091 mPa.s", 1e-9),
        ],
        source: FRACTIONS,
    },
];

const PYTHON: Source = computed("the same law, Python 3.11 float64; points invented");
const FRACTIONS: Source =
    computed("weighted least squares in exact fractions, Python 3.11; points invented");

struct Viscosity;

impl Formula for Viscosity {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let points = Measured::read(given)?;
        let line = points.line(given)?;
        let vogel = given.or(&VOGEL, 0.0);
        let mut found = Found::new();
        let temperature = if given.choice(&FIND) == "viscosity" {
            let temperature = given[&TEMPERATURE];
            above_vogel(temperature, vogel, TEMPERATURE.id.into())?;
            found.set(&VISCOSITY, line.at(inverse(temperature, vogel)).exp());
            temperature
        } else {
            let viscosity = if given.choice(&FIND) == "head" {
                let viscosity =
                    (given[&DENSITY] * given[&TENSION] * given[&NOZZLE]).sqrt() / given[&Z];
                found.set(&VISCOSITY, viscosity);
                viscosity
            } else {
                given[&VISCOSITY]
            };
            let temperature = temperature_for(&line, viscosity, vogel)?;
            found.set(&TEMPERATURE, temperature);
            temperature
        };
        found.set(&PER_KELVIN, -(line.slope / (temperature - vogel).squared()));
        found.set(&INTERCEPT, line.intercept);
        found.set(&SLOPE, line.slope);
        if given.wants_curves() {
            found.set_curve(
                &CURVE,
                points.drawn(&line, temperature.value(), vogel.value()),
            );
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let points = Measured::read(given)?;
        Ok(points.samples.quality(&points.line(given)?).scatter())
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        if let Ok(points) = Measured::read(given)
            && let Ok(line) = points.line(given)
        {
            checks.push(points.samples.quality(&line).spread(&WORDS));
            checks.extend(points.reach(given, found));
        }
        checks
    }
}

/// 1/(T − T₀).
fn inverse<S: Scalar>(temperature: S, vogel: S) -> S {
    S::constant(1.0) / (temperature - vogel)
}

fn above_vogel<S: Scalar>(temperature: S, vogel: S, path: String) -> Result<(), Problem> {
    if temperature.value() > vogel.value() {
        return Ok(());
    }
    Err(Problem::in_path(
        path,
        "below_vogel",
        format!(
            "{} is not above the Vogel temperature ({}), where the viscosity grows without end.",
            TEMPERATURE.say(temperature.value()),
            TEMPERATURE.say(vogel.value())
        ),
        "Enter a higher temperature, or a lower Vogel temperature.",
    ))
}

/// The temperature at which the line reaches a viscosity.
fn temperature_for<S: Scalar>(line: &Line<S>, viscosity: S, vogel: S) -> Result<S, Problem> {
    if line.slope.value() <= 0.0 {
        return Err(Problem::at(
            &POINTS,
            "does_not_thin",
            "The viscosity does not fall with temperature: no temperature brings it where it is wanted.",
            "Look at the points again: an ink is thinner when it is warm.",
        ));
    }
    let inverse = line.inverse(viscosity.ln());
    if inverse.value() > 0.0 {
        return Ok(vogel + S::constant(1.0) / inverse);
    }
    Err(Problem::at(
        &POINTS,
        "never_so_thin",
        format!(
            "On this line the ink never gets as thin as {}, however hot.",
            VISCOSITY.say(viscosity.value())
        ),
        "Enter a higher viscosity or a lower Z, or dilute the ink.",
    ))
}

/// The measured points: ln η against 1/(T − T₀).
struct Measured<S> {
    temperatures: Vec<f64>,
    samples: Samples<S>,
}

impl<S: Scalar> Measured<S> {
    fn read(given: &Given<'_, S>) -> Result<Self, Problem> {
        let vogel = given.or(&VOGEL, 0.0);
        let (mut temperatures, mut x, mut y) = (Vec::new(), Vec::new(), Vec::new());
        let mut relative = Vec::new();
        for (id, point) in given.rows(&POINTS) {
            let (temperature, viscosity) = (point[&POINT_TEMPERATURE], point[&POINT_VISCOSITY]);
            let path = format!("{}.{id}.{}", POINTS.id, POINT_TEMPERATURE.id);
            above_vogel(temperature, vogel, path)?;
            temperatures.push(temperature.value());
            x.push(inverse(temperature, vogel));
            y.push(viscosity.ln());
            relative.push(point.uncertainty(&POINT_VISCOSITY) / viscosity.value());
        }
        // The weights stay as they are for the numbers as entered: they choose the line, they are no part of it.
        let weights = given.once(|| straight_line::weights(&POINTS, &WORDS, &relative))?;
        let weights = weights.to_vec();
        Ok(Measured {
            temperatures,
            samples: Samples { x, y, weights },
        })
    }

    fn line(&self, given: &Given<'_, S>) -> Result<Line<S>, Problem> {
        self.samples.line(given, &POINTS, "temperatures")
    }

    /// The curve over the measured temperatures and the one in question.
    fn drawn(&self, line: &Line<S>, temperature: f64, vogel: f64) -> Points {
        let all = || self.temperatures.iter().copied().chain([temperature]);
        let from = all().fold(f64::INFINITY, f64::min);
        let to = all().fold(f64::NEG_INFINITY, f64::max);
        let at = |step: u32| from + (to - from) * f64::from(step) / f64::from(STEPS);
        let x: Vec<f64> = (0..=STEPS).map(at).collect();
        let viscosity = |&x: &f64| {
            let inverse = inverse(S::constant(x), S::constant(vogel));
            line.at(inverse).exp().value()
        };
        Points {
            y: x.iter().map(viscosity).collect(),
            x,
        }
    }
}

impl Measured<f64> {
    /// Whether the temperature in question lies among the measured ones.
    fn reach(&self, given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
        let temperature = found.get(&TEMPERATURE).or(given.get(&TEMPERATURE))?;
        let from = self
            .temperatures
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min);
        let to = self
            .temperatures
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let outside = (from - temperature).max(temperature - to);
        if outside > to - from {
            return Some(Check::warning(
                "extrapolated",
                format!(
                    "{} lies further outside the measured temperatures ({} to {}) than they span: look whether the head \
                     reaches it and the ink still is a liquid there.",
                    TEMPERATURE.say(temperature),
                    TEMPERATURE.say(from),
                    TEMPERATURE.say(to)
                ),
                practice("trust a fitted line only where it was measured"),
            ));
        }
        (outside > 0.0).then(|| {
            Check::note(
                "extrapolated",
                format!(
                    "{} is outside the measured temperatures ({} to {}): the line is continued.",
                    TEMPERATURE.say(temperature),
                    TEMPERATURE.say(from),
                    TEMPERATURE.say(to)
                ),
                practice("trust a fitted line only where it was measured"),
            )
        })
    }
}
