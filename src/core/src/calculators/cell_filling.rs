//! # What it computes
//! How long an electrolyte takes to be drawn a length into the gap between two plates, or how far it comes in a time; the
//! pressure that draws it in.
//!
//! # Formulas
//! Δp = 2·γ·cos θ/h; t = 3·η·L²/(h·γ·cos θ) = 6·η·L²/(h²·Δp); L = √(t·h·γ·cos θ/(3·η)); v = L/(2·t).
//!
//! # Symbols and units
//! h gap between the plates (m); η viscosity (Pa·s), γ surface tension (N/m) and θ contact angle (rad) of the electrolyte;
//! L length (m), t time (s); Δp pressure that draws it in (Pa); v velocity at the front at the end (m/s).
//!
//! # Valid range
//! Contact angle below 90°; a gap much narrower than it is wide and long.
//!
//! # Assumptions
//! Parallel plates of one contact angle, open at the far end, fed at the near end without resistance; no film in the gap, no
//! gravity, no inertia, no solvent lost. A fill hole, pores to be filled and trapped gas make it slower.
//!
//! # Sources
//! Washburn, Phys. Rev. 17 (1921) 273, in the form for plates (from memory): flow between plates driven by the pressure
//! across the meniscus.
//!
//! # Worked example
//! A thin electrolyte of 0.34 mPa·s and 28.7 mN/m is drawn 8 mm into a gap of 40 µm in 0.058 s.

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("time", "time for a length"),
        option("length", "length in a time"),
    ],
);
static GAP: Field = gap().help("Between film and counter electrode where a film fills the window.");
static VISCOSITY: Field = quantity("viscosity", "Viscosity", Kind::DynamicViscosity)
    .symbol("η")
    .help("Of the electrolyte, at the temperature of filling.")
    .units(&["mPa.s", "Pa.s"])
    .positive();
static TENSION: Field = quantity("tension", "Surface tension", Kind::SurfaceTension)
    .symbol("γ")
    .units(&["mN/m", "N/m"])
    .positive();
static CONTACT_ANGLE: Field = quantity("contact_angle", "Contact angle", Kind::Angle)
    .symbol("θ")
    .help("Of the electrolyte on the plates, advancing.")
    .units(&["deg"])
    .within(0.0, core::f64::consts::PI);
static LENGTH: Field = quantity("length", "Length to fill", Kind::Length)
    .symbol("L")
    .help("From the fill hole to the farthest corner.")
    .units(&["mm", "cm"])
    .positive();
static TIME: Field = quantity("time", "Time to fill", Kind::Time)
    .symbol("t")
    .units(&["s", "ms", "min", "h"])
    .positive();

static PULL: Field = quantity("pull", "Pressure that draws it in", Kind::Pressure)
    .symbol("Δp")
    .units(&["Pa", "mbar", "kPa"]);
static FRONT: Field = quantity("front", "Velocity at the end", Kind::Velocity)
    .symbol("v")
    .units(&["mm/s", "um/s", "m/s"]);
static ADVANCE: Field = curve("advance", "Length filled over time", &TIME, &LENGTH);

pub(super) const fn gap() -> Field {
    quantity("gap", "Gap", Kind::Length)
        .symbol("h")
        .units(&["um", "mm"])
        .positive()
}

const WASHBURN: Source =
    memory("Washburn, Phys. Rev. 17 (1921) 273; the form for plates: t = 3·η·L²/(h·γ·cos θ)");

/// Capillary filling of the gap, both ways.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "cell_filling",
    version: 1,
    stage: Stage::Cell,
    title: "Capillary filling",
    purpose: "How long an electrolyte takes to creep into the gap, or how far it comes in a time.",
    inputs: &[
        show(&FIND),
        show(&GAP),
        show(&VISCOSITY),
        show(&TENSION),
        show(&CONTACT_ANGLE),
        show(&LENGTH).when(&FIND, &["time"]),
        show(&TIME).when(&FIND, &["length"]),
    ],
    outputs: &[
        show(&TIME).when(&FIND, &["time"]),
        show(&LENGTH).when(&FIND, &["length"]),
        show(&PULL),
        show(&FRONT),
        show(&ADVANCE),
    ],
    working: &[
        formula("pull = 2 * tension * cos(contact_angle) / gap"),
        formula("time = 3 * viscosity * length^2 / (gap * tension * cos(contact_angle))")
            .when(&FIND, &["time"]),
        formula("length = sqrt(time * gap * tension * cos(contact_angle) / (3 * viscosity))")
            .when(&FIND, &["length"]),
        formula("front = length / (2 * time)"),
        method("The length filled grows as the square root of the time.").gives(&[&ADVANCE]),
    ],
    sources: &[WASHBURN, hazards::FLASH_POINT],
    hazards: &[
        hazards::ACETONITRILE_AT_PLATE,
        hazards::IODINE_VAPOUR,
        hazards::GLASS,
    ],
    formula: both::<CellFilling>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a thin electrolyte, 8 mm at 40 µm",
        inputs: &[
            ("gap", "40 um"),
            ("viscosity", "0.34 mPa.s"),
            ("tension", "28.7 mN/m"),
            ("contact_angle", "10 deg"),
            ("length", "8 mm"),
        ],
        expected: &[
            expect("time", "0.0577413320765692 s", 1e-15),
            // 2·0.0287·cos 10°/40e-6
            expect("pull", "1413.1991255725184 Pa", 1e-9),
            // 8 mm/(2·t)
            expect("front", "69.27446693982933 mm/s", 1e-10),
        ],
        source: BOOK,
    },
    Case {
        title: "5 mm at 25 µm and 30°",
        inputs: &[
            ("gap", "25 um"),
            ("viscosity", "0.34 mPa.s"),
            ("tension", "28.7 mN/m"),
            ("contact_angle", "30 deg"),
            ("length", "5 mm"),
        ],
        expected: &[expect("time", "0.041038137600935075 s", 1e-15)],
        source: BOOK,
    },
    Case {
        title: "an ionic liquid, 10 mm at 60 µm",
        inputs: &[
            ("gap", "60 um"),
            ("viscosity", "20 mPa.s"),
            ("tension", "45 mN/m"),
            ("contact_angle", "20 deg"),
            ("length", "10 mm"),
        ],
        expected: &[expect("time", "2.3648394943909157 s", 1e-13)],
        source: BOOK,
    },
    Case {
        title: "the ionic liquid turned round",
        inputs: &[
            ("find", "length"),
            ("gap", "60 um"),
            ("viscosity", "20 mPa.s"),
            ("tension", "45 mN/m"),
            ("contact_angle", "20 deg"),
            ("time", "2.3648394943909157 s"),
        ],
        expected: &[expect("length", "10 mm", 1e-12)],
        source: BOOK,
    },
];

const BOOK: Source = computed(
    "3·η·L²/(h·γ·cos θ), Python 3.11 float64; form from memory (Washburn, Phys. Rev. 17 (1921) 273)",
);

/// Filling that takes longer than this asks for help, s.
const LONG: f64 = 600.0;

/// Points of the curve.
const POINTS: u32 = 41;

struct CellFilling;

impl Formula for CellFilling {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (gap, viscosity, angle) = (given[&GAP], given[&VISCOSITY], given[&CONTACT_ANGLE]);
        // The cosine of 90° comes out above zero by rounding.
        if angle.value() >= core::f64::consts::FRAC_PI_2 * (1.0 - 1e-12) {
            return Err(Problem::at(
                &CONTACT_ANGLE,
                "not_drawn_in",
                format!(
                    "At a contact angle of {} the plates are not wetted: the gap does not draw the electrolyte in.",
                    CONTACT_ANGLE.say(angle.value())
                ),
                "Enter an angle below 90°, or fill under vacuum.",
            ));
        }
        let wetting = given[&TENSION] * angle.cos();
        let mut found = Found::new();
        let (length, time) = if given.choice(&FIND) == "length" {
            let time = given[&TIME];
            let length = (time * gap * wetting / (viscosity * 3.0)).sqrt();
            found.set(&LENGTH, length);
            (length, time)
        } else {
            let length = given[&LENGTH];
            let time = viscosity * length.squared() * 3.0 / (gap * wetting);
            found.set(&TIME, time);
            (length, time)
        };
        found.set(&PULL, wetting * 2.0 / gap);
        found.set(&FRONT, length / (time * 2.0));
        if given.wants_curves() {
            found.set_curve(&ADVANCE, advance(length.value(), time.value()));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [slow(given, found), slender(given, found)]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// Length over time up to the end, in even steps of length.
fn advance(length: f64, time: f64) -> Points {
    let shares = (0..POINTS).map(|point| f64::from(point) / f64::from(POINTS - 1));
    let (x, y) = shares
        .map(|share| (time * share * share, length * share))
        .unzip();
    Points { x, y }
}

/// Whether capillarity is quick enough.
fn slow(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let time = found.get(&TIME).or(given.get(&TIME))?;
    let said = TIME.say(time);
    Some(if time > LONG {
        Check::warning(
            "slow_filling",
            format!(
                "Drawn in by the gap alone it takes {said}: the solvent evaporates at the hole meanwhile. Fill under vacuum, or \
                 warm cell and electrolyte where the solvent allows it."
            ),
            QUICK,
        )
    } else {
        Check::in_range(
            "quick_filling",
            format!(
                "{said} for the open gap. Fill hole, pores and trapped gas make it longer: give it time and look for bubbles."
            ),
            QUICK,
        )
    })
}

/// Whether the gap is a gap: the flow is worked out for plates much wider than their distance.
fn slender(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let length = found.get(&LENGTH).or(given.get(&LENGTH))?;
    let gap = given[&GAP];
    (length < 10.0 * gap).then(|| {
        Check::warning(
            "short_way",
            format!(
                "A length of {} is less than ten gaps ({}): the formula is for thin gaps. Look at both values again.",
                LENGTH.say(length),
                GAP.say(gap)
            ),
            derived("slow flow in a thin gap"),
        )
    })
}

const QUICK: Source =
    practice("what takes longer than about 10 min is filled under vacuum or warm");
