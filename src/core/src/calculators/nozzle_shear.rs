//! # What it computes
//! Shear rate in the nozzle against that at which the viscosity was measured; and, for an ink that thins under shear, its
//! power law from measured points and the viscosity in the nozzle.
//!
//! # Formulas
//! γ̇ = 8·v/d at the wall of a tube for a Newtonian ink; r = γ̇/γ̇_m. Power law η = K₁·(γ̇/(1 s⁻¹))^(n−1): straight line of
//! ln η against ln γ̇ by least squares; then the rate at the wall is γ̇_w = γ̇·(3·n + 1)/(4·n).
//!
//! # Symbols and units
//! v mean velocity in the nozzle (m/s), about that of the drops; d nozzle diameter (m); γ̇ shear rate (1/s), γ̇_m that of the
//! measurement; η viscosity (Pa·s), K₁ viscosity at 1 s⁻¹ (Pa·s), n exponent (1): 1 is Newtonian, below 1 the ink thins.
//!
//! # Valid range
//! At least two different shear rates; exponent above 0.
//!
//! # Assumptions
//! Steady flow in a round tube, which a pulse of microseconds is not: the rate is one of order. The power law goes on where
//! nothing was measured, though every ink becomes Newtonian at last. Shear rates are exact; weights and scatter of the
//! viscosities as on the card of viscosity with temperature.
//!
//! # Sources
//! Hagen and Poiseuille; Rabinowitsch for a power law; weighted least squares.
//!
//! # Worked example
//! At 6 m/s in a nozzle of 40 µm the wall shears at 1.2·10⁶ s⁻¹, 1200 times a measurement at 1000 s⁻¹.

use super::nozzle::{NOZZLE, viscosity};
use super::straight_line::{self, Samples, Words};
use super::*;
use crate::numerics::line::Line;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;

static VELOCITY: Field = quantity("velocity", "Velocity in the nozzle", Kind::Velocity)
    .symbol("v")
    .help("About that of the drops.")
    .units(&["m/s"])
    .positive();
static FLOW: Field = choice(
    "flow",
    "Viscosity measured",
    &[
        option("one", "at one shear rate"),
        option("points", "at several: power law"),
    ],
);
static MEASURED_AT: Field = shear_rate("measured_at", "Shear rate of the measurement")
    .symbol("γ̇_m")
    .positive();
static POINTS: Field = table(
    "points",
    "Measured viscosities",
    &[&POINT_RATE, &POINT_VISCOSITY],
);
static POINT_RATE: Field = shear_rate("rate", "Shear rate").positive().measured();
static POINT_VISCOSITY: Field = viscosity().weighing().measured();

static RATE: Field = shear_rate("shear_rate", "Shear rate in the nozzle")
    .symbol("γ̇")
    .help("At the wall, for a Newtonian ink: 8·v/d.");
static TIMES: Field = quantity("times", "Times that of the measurement", Kind::Ratio)
    .symbol("r")
    .units(&["1"]);
static WALL_RATE: Field = shear_rate("wall_rate", "Shear rate at the wall")
    .symbol("γ̇_w")
    .help("For this power law.");
static VISCOSITY: Field = quantity(
    "viscosity",
    "Viscosity in the nozzle",
    Kind::DynamicViscosity,
)
.symbol("η")
.help("At the wall, by the power law.")
.units(&["mPa.s", "Pa.s"]);
static EXPONENT: Field = quantity("exponent", "Exponent of the power law", Kind::Ratio)
    .symbol("n")
    .help("1 is Newtonian; below 1 the ink thins under shear.")
    .units(&["1"]);
static AT_ONE: Field = quantity("at_one", "Viscosity at 1 s⁻¹", Kind::DynamicViscosity)
    .symbol("K₁")
    .help("By the power law.")
    .units(&["mPa.s", "Pa.s"]);
/// What the points scatter by: a difference of logarithms is a relative one.
static RELATIVE: Field = quantity("relative", "Relative deviation", Kind::Ratio).units(&["%"]);

const fn shear_rate(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::ShearRate).units(&["s-1"])
}

const WORDS: Words = Words {
    points: "points",
    y: &RELATIVE,
    one: "viscosity",
    many: "viscosities",
    bent: "no power law holds over these shear rates",
    straighten: "Use the shear rates near that of the nozzle only.",
};
const POISEUILLE: Source = derived("laminar flow in a round tube (Hagen and Poiseuille)");
const RABINOWITSCH: Source =
    derived("flow of a power-law liquid in a round tube: rate at the wall times (3·n + 1)/(4·n)");
/// A nozzle that shears this much faster than the measurement may meet another viscosity.
const FAR: f64 = 10.0;
/// An exponent as near to 1 as this is Newtonian.
const NEWTONIAN: f64 = 0.05;

/// Shear in the nozzle.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "nozzle_shear",
    version: 1,
    stage: Stage::Ink,
    title: "Shear in the nozzle",
    purpose: "Whether the viscosity was measured at a shear rate that counts in the nozzle.",
    inputs: &[
        show(&VELOCITY),
        show(&NOZZLE),
        show(&FLOW),
        show(&MEASURED_AT).when(&FLOW, &["one"]),
        show(&POINTS).when(&FLOW, &["points"]),
    ],
    outputs: &[
        show(&VISCOSITY).when(&FLOW, &["points"]),
        show(&RATE),
        show(&TIMES).when(&FLOW, &["one"]),
        show(&WALL_RATE).when(&FLOW, &["points"]),
        show(&EXPONENT).when(&FLOW, &["points"]),
        show(&AT_ONE).when(&FLOW, &["points"]),
    ],
    working: &[
        formula("shear_rate = 8 * velocity / nozzle"),
        formula("times = shear_rate / measured_at").when(&FLOW, &["one"]),
        method(
            "Straight line of the logarithm of the viscosity against that of the shear rate in s⁻¹ by least squares, each point \
             weighted with (η/u)² where its standard uncertainty u is stated, all alike otherwise; its slope is n − 1.",
        )
        .gives(&[&EXPONENT, &AT_ONE])
        .when(&FLOW, &["points"]),
        formula("wall_rate = shear_rate * (3 * exponent + 1) / (4 * exponent)").when(&FLOW, &["points"]),
        formula("viscosity = at_one * wall_rate^(exponent - 1)").when(&FLOW, &["points"]),
    ],
    sources: &[POISEUILLE, RABINOWITSCH, derived("weighted least squares for a straight line")],
    hazards: &[hazards::HEAD_VAPOUR, hazards::SOLVENTS],
    formula: both::<NozzleShear>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "6 m/s in a nozzle of 40 µm",
        inputs: &[
            ("velocity", "6 m/s"),
            ("nozzle", "40 um"),
            ("measured_at", "1000 s-1"),
        ],
        expected: &[
            expect("shear_rate", "1200000 s-1", 1e-6),
            expect("times", "1200", 1e-9),
        ],
        source: POISEUILLE,
    },
    Case {
        title: "a power law through two points",
        // A tenth power for each decade: 40 mPa·s at 10 s⁻¹, 20 mPa·s at 1000 s⁻¹ are n − 1 = −lg 2 / 2.
        inputs: &[
            ("velocity", "6 m/s"),
            ("nozzle", "40 um"),
            ("flow", "points"),
            ("points.a.rate", "10 s-1"),
            ("points.a.viscosity", "40 mPa.s"),
            ("points.b.rate", "1000 s-1"),
            ("points.b.viscosity", "20 mPa.s"),
        ],
        expected: &[
            expect("exponent", "0.8494850021680094", 1e-12),
            expect("at_one", "56.568542494923804 mPa.s", 1e-9),
            expect("wall_rate", "1253155.1460406673 s-1", 1e-4),
            expect("viscosity", "6.834925790272006 mPa.s", 1e-10),
        ],
        source: PYTHON,
    },
    Case {
        title: "a Newtonian ink",
        inputs: &[
            ("velocity", "8 m/s"),
            ("nozzle", "64 um"),
            ("flow", "points"),
            ("points.a.rate", "10 s-1"),
            ("points.a.viscosity", "12 mPa.s"),
            ("points.b.rate", "100 s-1"),
            ("points.b.viscosity", "12 mPa.s"),
            ("points.c.rate", "1000 s-1"),
            ("points.c.viscosity", "12 mPa.s"),
        ],
        expected: &[
            expect("exponent", "1", 1e-12),
            expect("wall_rate", "1000000 s-1", 1e-5),
            expect("viscosity", "12 mPa.s", 1e-11),
        ],
        source: RABINOWITSCH,
    },
    Case {
        title: "a weighted line through three points",
        inputs: &[
            ("velocity", "6 m/s"),
            ("nozzle", "40 um"),
            ("flow", "points"),
            ("points.a.rate", "10 s-1"),
            ("points.a.viscosity", "40 ± 0.2 mPa.s"),
            ("points.b.rate", "100 s-1"),
            ("points.b.viscosity", "29 ± 0.1 mPa.s"),
            ("points.c.rate", "1000 s-1"),
            ("points.c.viscosity", "20 ± 0.04 mPa.s"),
        ],
        expected: &[
            expect("exponent", "0.8465081752136988", 1e-11),
            expect("at_one", "57.89479218255372 mPa.s", 1e-8),
        ],
        source: FRACTIONS,
    },
];

const PYTHON: Source = computed("the same law, Python 3.11 float64; points invented");
const FRACTIONS: Source =
    computed("weighted least squares in exact fractions, Python 3.11; points invented");

struct NozzleShear;

impl Formula for NozzleShear {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let rate = given[&VELOCITY] * 8.0 / given[&NOZZLE];
        let mut found = Found::new();
        found.set(&RATE, rate);
        if given.choice(&FLOW) == "points" {
            let line = line(given, &measured(given)?)?;
            let exponent = line.slope + 1.0;
            if exponent.value() <= 0.0 {
                return Err(Problem::at(
                    &POINTS,
                    "thins_too_much",
                    format!(
                        "The exponent is {}: with such points the stress would fall as the ink flows faster.",
                        EXPONENT.say(exponent.value())
                    ),
                    "Look at the points and their units.",
                ));
            }
            let wall = rate * (exponent * 3.0 + 1.0) / (exponent * 4.0);
            found.set(&VISCOSITY, line.at(wall.ln()).exp());
            found.set(&WALL_RATE, wall);
            found.set(&EXPONENT, exponent);
            found.set(&AT_ONE, line.intercept.exp());
        } else {
            found.set(&TIMES, rate / given[&MEASURED_AT]);
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        if given.choice(&FLOW) != "points" {
            return Ok(None);
        }
        let points = measured(given)?;
        Ok(points.quality(&line(given, &points)?).scatter())
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks: Vec<Check> = far(found.get(&TIMES)).into_iter().collect();
        if given.choice(&FLOW) == "points"
            && let Ok(points) = measured(given)
            && let Ok(line) = line(given, &points)
        {
            checks.push(points.quality(&line).spread(&WORDS));
            let fastest = points.x.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let fastest = Scalar::exp(fastest);
            let times = found.get(&WALL_RATE).map(|rate| rate / fastest);
            let continued = times.filter(|times| *times > FAR);
            checks.extend(thinning(found, continued.is_some()));
            checks.extend(continued.map_or_else(|| far(times), |times| too_far(found, times)));
        }
        checks
    }
}

/// Whether the nozzle shears much faster than the measurement did.
fn far(times: Option<f64>) -> Option<Check> {
    let times = times?;
    let shown = brief_text(times, 2);
    let rule = practice("a measurement counts to about ten times its shear rate");
    Some(if times > FAR {
        Check::note(
            "far",
            format!(
                "The nozzle shears {shown} times as fast as the fastest measurement: an ink that thins under shear is thinner \
                 there, and Z is higher. Measure at a high shear rate."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "far",
            format!("The nozzle shears {shown} times as fast as the fastest measurement."),
            rule,
        )
    })
}

/// A power law that is continued far beyond its points.
fn too_far(found: &Found<f64>, times: f64) -> Option<Check> {
    let shown = brief_text(times, 2);
    let what = if found.get(&EXPONENT)? < 1.0 - NEWTONIAN {
        "the true viscosity is probably higher, not below that of the liquid; measure"
    } else {
        "measure"
    };
    Some(Check::warning(
        "far",
        format!(
            "The law is continued {shown}-fold beyond the fastest measurement: {what} at a higher rate."
        ),
        practice("a measurement counts to about ten times its shear rate"),
    ))
}

/// What the exponent says; where the law is continued too far, its viscosity is no advice.
fn thinning(found: &Found<f64>, continued: bool) -> Option<Check> {
    let exponent = found.get(&EXPONENT)?;
    let shown = brief_text(exponent, 3);
    let rule = practice("an exponent within 0.05 of 1 is Newtonian");
    Some(if (exponent - 1.0).abs() <= NEWTONIAN {
        Check::in_range(
            "thinning",
            format!("With an exponent of {shown} the ink is Newtonian over the measured rates."),
            rule,
        )
    } else if exponent < 1.0 {
        let advice = if continued {
            ""
        } else {
            ": take its viscosity in the nozzle for Z"
        };
        let sentence = format!("With an exponent of {shown} the ink thins under shear{advice}.");
        Check::note("thinning", sentence, rule)
    } else {
        Check::warning(
            "thinning",
            format!(
                "With an exponent of {shown} the ink thickens under shear and may block the nozzle: lower the solids."
            ),
            rule,
        )
    })
}

/// The measured points: ln η against ln γ̇.
fn measured<S: Scalar>(given: &Given<'_, S>) -> Result<Samples<S>, Problem> {
    let points = || given.rows(&POINTS).map(|(_, point)| point);
    let relative: Vec<f64> = points()
        .map(|point| point.uncertainty(&POINT_VISCOSITY) / point[&POINT_VISCOSITY].value())
        .collect();
    // The weights stay as they are for the numbers as entered: they choose the line, they are no part of it.
    let weights = given.once(|| straight_line::weights(&POINTS, &WORDS, &relative))?;
    Ok(Samples {
        x: points().map(|point| point[&POINT_RATE].ln()).collect(),
        y: points().map(|point| point[&POINT_VISCOSITY].ln()).collect(),
        weights: weights.to_vec(),
    })
}

fn line<S: Scalar>(given: &Given<'_, S>, points: &Samples<S>) -> Result<Line<S>, Problem> {
    points.line(given, &POINTS, "shear rates")
}
