//! # What it computes
//! Whether the ink stays in the nozzle: the pressure at the meniscus from the height of the reservoir and the vacuum of the
//! pump, the suction at which air is drawn in, the overpressure at which ink weeps; and from these the window of vacuum for
//! a height, or of heights for a vacuum.
//!
//! # Formulas
//! p_h = ρ·g·h, p = p_h − p_v; air is drawn at p < −p_a, p_a = 4·γ·cos θ/d; ink weeps at p > p_w, p_w = 4·γ/d on a plate
//! that the ink does not wet, 0 on one that it wets; p_v from p_h − p_w to p_h + p_a; h from (p_v − p_a)/(ρ·g) to
//! (p_v + p_w)/(ρ·g).
//!
//! # Symbols and units
//! ρ density of the ink (kg/m³), γ surface tension (N/m), θ contact angle of the ink in the nozzle; d nozzle diameter (m);
//! h height of the ink level over the nozzle (m), negative below it; p_v vacuum of the pump below ambient (Pa); p_h, p, p_a,
//! p_w pressures (Pa).
//!
//! # Valid range
//! Contact angle from 0° to below 90°: an ink that does not wet the nozzle does not fill it.
//!
//! # Assumptions
//! At rest, between pulses: no flow, no acoustic pressure, no drop of pressure in filter and tube. The meniscus hangs on
//! the rim of a round nozzle and can bulge to half a sphere before it spreads.
//!
//! # Sources
//! Hydrostatics; pressure across a curved surface (Young and Laplace).
//!
//! # Worked example
//! An ink of 1030 kg/m³ and 30 mN/m, 0.1 m over a nozzle of 40 µm, presses with 1010 Pa; the nozzle holds 3000 Pa: with a
//! wetted plate the vacuum may be 1010 Pa to 4010 Pa.

use super::nozzle::{DENSITY, NOZZLE, TENSION};
use super::*;
use crate::chemistry::constants::GRAVITY;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("vacuum", "vacuum for a height"),
        option("height", "height for a vacuum"),
    ],
);
static CONTACT_ANGLE: Field = quantity("contact_angle", "Contact angle in the nozzle", Kind::Angle)
    .symbol("θ")
    .help("0° for an ink that wets it wholly.")
    .units(&["deg"])
    .range(Range {
        from: 0.0,
        to: core::f64::consts::FRAC_PI_2,
        above: false,
        below: true,
    })
    .initially("0");
static PLATE: Field = choice(
    "plate",
    "Nozzle plate",
    &[
        option("wetted", "ink wets it"),
        option("repels", "ink does not wet it"),
    ],
);
static HEIGHT: Field = height();
static HEIGHT_NOW: Field = height().optional();
static VACUUM: Field = vacuum();
static VACUUM_NOW: Field = vacuum().optional();

static LOWEST_VACUUM: Field = pressure("lowest_vacuum", "Lowest vacuum")
    .symbol("p_min")
    .help("Below it ink weeps out; negative for an overpressure.");
static HIGHEST_VACUUM: Field = pressure("highest_vacuum", "Highest vacuum")
    .symbol("p_max")
    .help("Above it air is drawn in.");
static LOWEST_HEIGHT: Field = quantity("lowest_height", "Lowest ink level", Kind::Length)
    .symbol("h_min")
    .help("Below it air is drawn in.")
    .units(&["mm", "cm"]);
static HIGHEST_HEIGHT: Field = quantity("highest_height", "Highest ink level", Kind::Length)
    .symbol("h_max")
    .help("Above it ink weeps out.")
    .units(&["mm", "cm"]);
static MENISCUS: Field = pressure("meniscus", "Pressure at the meniscus")
    .symbol("p")
    .help("Against ambient: negative holds the ink back.");
static HEAD: Field = pressure("head", "Pressure of the height").symbol("p_h");
static AIR_LIMIT: Field = pressure("air_limit", "Suction at which air is drawn").symbol("p_a");
static WEEP_LIMIT: Field = pressure("weep_limit", "Overpressure at which ink weeps").symbol("p_w");

const fn height() -> Field {
    quantity("height", "Ink level over the nozzle", Kind::Length)
        .symbol("h")
        .help("Negative where the level is below the nozzle.")
        .units(&["mm", "cm", "m"])
}

const fn vacuum() -> Field {
    quantity("vacuum", "Vacuum of the pump", Kind::Pressure)
        .symbol("p_v")
        .help("Below ambient pressure, as a positive number.")
        .units(&["mbar", "hPa", "Pa", "kPa"])
}

const fn pressure(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Pressure).units(&["mbar", "Pa", "kPa"])
}

const BALANCE: Source =
    derived("hydrostatics and the pressure across a curved surface (Young and Laplace)");

/// Vacuum and height that hold the ink in the nozzle.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "meniscus",
    version: 1,
    stage: Stage::Layers,
    title: "Meniscus",
    purpose: "Vacuum or reservoir height at which the nozzle neither weeps nor draws air.",
    inputs: &[
        show(&FIND),
        show(&DENSITY),
        show(&TENSION),
        show(&NOZZLE),
        show(&CONTACT_ANGLE),
        show(&PLATE),
        show(&HEIGHT).when(&FIND, &["vacuum"]),
        show(&VACUUM_NOW).when(&FIND, &["vacuum"]),
        show(&VACUUM).when(&FIND, &["height"]),
        show(&HEIGHT_NOW).when(&FIND, &["height"]),
    ],
    outputs: &[
        show(&LOWEST_VACUUM).when(&FIND, &["vacuum"]),
        show(&HIGHEST_VACUUM).when(&FIND, &["vacuum"]),
        show(&LOWEST_HEIGHT).when(&FIND, &["height"]),
        show(&HIGHEST_HEIGHT).when(&FIND, &["height"]),
        show(&MENISCUS),
        show(&HEAD),
        show(&AIR_LIMIT),
        show(&WEEP_LIMIT),
    ],
    working: &[
        formula("head = density * g_n * height"),
        formula("air_limit = 4 * tension * cos(contact_angle) / nozzle"),
        formula("weep_limit = 0").when(&PLATE, &["wetted"]),
        formula("weep_limit = 4 * tension / nozzle").when(&PLATE, &["repels"]),
        formula("lowest_vacuum = head - weep_limit").when(&FIND, &["vacuum"]),
        formula("highest_vacuum = head + air_limit").when(&FIND, &["vacuum"]),
        formula("lowest_height = (vacuum - air_limit) / (density * g_n)").when(&FIND, &["height"]),
        formula("highest_height = (vacuum + weep_limit) / (density * g_n)")
            .when(&FIND, &["height"]),
        formula("meniscus = head - vacuum"),
    ],
    sources: &[BALANCE],
    hazards: &[hazards::HEAD_VAPOUR, hazards::MIST_AT_PURGE],
    formula: both::<Meniscus>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "0.1 m over a nozzle of 40 µm",
        inputs: &[
            ("density", "1030 kg/m3"),
            ("tension", "30 mN/m"),
            ("nozzle", "40 um"),
            ("height", "0.1 m"),
        ],
        expected: &[
            expect("head", "1010.08495 Pa", 1e-9),
            expect("air_limit", "3000 Pa", 1e-9),
            expect("lowest_vacuum", "1010.08495 Pa", 1e-9),
            expect("highest_vacuum", "4010.08495 Pa", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "30 mm over a nozzle of 21 µm that the ink does not wet outside",
        inputs: &[
            ("density", "1100 kg/m3"),
            ("tension", "35 mN/m"),
            ("nozzle", "21 um"),
            ("plate", "repels"),
            ("height", "30 mm"),
            ("vacuum", "5 mbar"),
        ],
        expected: &[
            expect("head", "323.61945 Pa", 1e-9),
            expect("air_limit", "6666.666666666668 Pa", 1e-9),
            expect("weep_limit", "6666.666666666668 Pa", 1e-9),
            expect("meniscus", "-176.38055 Pa", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "the first turned round: heights for a vacuum of 1010 Pa",
        inputs: &[
            ("find", "height"),
            ("density", "1030 kg/m3"),
            ("tension", "30 mN/m"),
            ("nozzle", "40 um"),
            ("vacuum", "1010.08495 Pa"),
        ],
        expected: &[
            expect("highest_height", "0.1 m", 1e-12),
            // 3000 Pa are 0.297 m of this ink.
            expect("lowest_height", "-0.1970047 m", 5e-8),
        ],
        source: BALANCE,
    },
    Case {
        title: "a contact angle of 60° halves what the nozzle holds",
        inputs: &[
            ("density", "1030 kg/m3"),
            ("tension", "30 mN/m"),
            ("nozzle", "40 um"),
            ("contact_angle", "60 deg"),
            ("height", "0 mm"),
        ],
        expected: &[
            expect("air_limit", "1500 Pa", 1e-9),
            expect("highest_vacuum", "1500 Pa", 1e-9),
        ],
        source: BALANCE,
    },
];

const PYTHON: Source = computed("hydrostatics and Laplace pressure, Python 3.11 float64");

struct Meniscus;

impl Formula for Meniscus {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let capillary = given[&TENSION] * 4.0 / given[&NOZZLE];
        let air = capillary * given[&CONTACT_ANGLE].cos();
        let weep = match given.choice(&PLATE) {
            "repels" => capillary,
            _ => S::constant(0.0),
        };
        let per_height = given[&DENSITY] * GRAVITY;
        let head = given.get(&HEIGHT).map(|height| per_height * height);
        let vacuum = given.get(&VACUUM);
        let mut found = Found::new();
        if given.choice(&FIND) == "height" {
            found.set(&LOWEST_HEIGHT, (given[&VACUUM] - air) / per_height);
            found.set(&HIGHEST_HEIGHT, (given[&VACUUM] + weep) / per_height);
        } else {
            found.set_some(&LOWEST_VACUUM, head.map(|head| head - weep));
            found.set_some(&HIGHEST_VACUUM, head.map(|head| head + air));
        }
        found.set_some(
            &MENISCUS,
            head.zip(vacuum).map(|(head, vacuum)| head - vacuum),
        );
        found.set_some(&HEAD, head);
        found.set(&AIR_LIMIT, air);
        found.set(&WEEP_LIMIT, weep);
        Ok(found)
    }

    fn checks(_given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        holds(found).into_iter().collect()
    }
}

/// Whether the ink stays in the nozzle, where height and vacuum are both known.
fn holds(found: &Found<f64>) -> Option<Check> {
    let pressure = found.get(&MENISCUS)?;
    let (air, weep) = (found.get(&AIR_LIMIT)?, found.get(&WEEP_LIMIT)?);
    let shown = MENISCUS.say(pressure);
    // In the unit of the pressure itself, to compare them.
    let beside = |limit: f64| match MENISCUS.unit_for(pressure) {
        Some(unit) => unit.say(limit, 4),
        None => AIR_LIMIT.say(limit),
    };
    Some(if pressure > weep {
        Check::warning(
            "weeps",
            format!(
                "The meniscus is pushed out by {shown}, more than {}: the nozzle weeps. Raise the vacuum or lower the \
                 reservoir.",
                WEEP_LIMIT.say_bound(weep)
            ),
            BALANCE,
        )
    } else if pressure < -air {
        Check::warning(
            "draws_air",
            format!(
                "The meniscus is sucked in by {}, more than {}: the nozzle draws air. Lower the vacuum or raise the \
                 reservoir.",
                MENISCUS.say(-pressure),
                beside(air)
            ),
            BALANCE,
        )
    } else if pressure == 0.0 {
        Check::note(
            "flat",
            "The meniscus is flat, neither drawn in nor pushed out: raise the vacuum a little.",
            practice("run with the meniscus drawn in a little"),
        )
    } else if pressure > 0.0 {
        Check::note(
            "bulges",
            format!(
                "The meniscus bulges out under {shown}: one drop left on the plate wets it, and the nozzle weeps."
            ),
            practice("run with the meniscus drawn in a little"),
        )
    } else {
        Check::in_range(
            "holds",
            format!(
                "The meniscus holds at {shown}: air is drawn below {}, ink weeps above {}.",
                beside(-air),
                WEEP_LIMIT.say_bound(weep)
            ),
            BALANCE,
        )
    })
}
