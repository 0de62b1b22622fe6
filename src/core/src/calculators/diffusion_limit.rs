//! # What it computes
//! The current density at which triiodide reaches the counter electrode no faster, beside the short-circuit current density
//! of the cell; the largest gap and the least triiodide that leave a wanted margin.
//!
//! # Formulas
//! J_lim = 4·F·D·c/h; r = J_lim/J; h_max = 4·F·D·c/(w·J), c_min = w·J·h/(4·F·D).
//!
//! # Symbols and units
//! D diffusion coefficient (m²/s) and c mean concentration (mol/m³) of triiodide; h distance between the electrodes (m); F
//! Faraday constant (C/mol); J_lim limiting, J short-circuit current density (A/m²); r margin, w wanted margin (1); h_max
//! largest gap (m), c_min least concentration (mol/m³).
//!
//! # Valid range
//! Steady current through a gap that holds its triiodide.
//!
//! # Assumptions
//! Triiodide is made at one electrode and used up at the other, two electrons each, and crosses between them by diffusion
//! alone: no film in the gap, no convection, and so much more iodide that neither iodide nor the electric field sets the
//! pace. The amount in the gap stays the same, so its concentration falls on a straight line round the mean c. At the limit
//! the line goes from 2·c to 0, and the flux D·2·c/h carries 2·F of charge a mole: hence the 4. In the pores of a film
//! diffusion is slower; how much is for a measurement to say and is not counted.
//!
//! # Sources
//! Fick's first law and conservation of triiodide between two electrodes. Diffusion coefficients: for the user to state.
//!
//! # Worked example
//! 50 mmol/L of triiodide of 1.5·10⁻⁹ m²/s carry 48.2 mA/cm² over 60 µm and 115.8 mA/cm² over 25 µm.

use super::*;
use crate::chemistry::constants::FARADAY;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;

static DIFFUSIVITY: Field = quantity(
    "diffusivity",
    "Diffusion coefficient of triiodide",
    Kind::Diffusivity,
)
.symbol("D")
.help("In this electrolyte at this temperature, measured or published.")
.units(&["cm2/s", "m2/s"])
.positive();
static TRIIODIDE: Field = quantity("triiodide", "Triiodide", Kind::AmountConcentration)
    .symbol("c")
    .units(&["mmol/L", "mol/L"])
    .positive();
static GAP: Field = quantity("gap", "Between the electrodes", Kind::Length)
    .symbol("h")
    .help("The spacer gap; from the conducting side of one glass to that of the other.")
    .units(&["um", "mm"])
    .positive();
static CURRENT: Field = quantity(
    "current",
    "Short-circuit current density",
    Kind::CurrentDensity,
)
.symbol("J")
.help("Measured or expected.")
.units(&["mA/cm2", "A/m2"])
.positive()
.optional();
static WANTED: Field = quantity("wanted", "Margin wanted", Kind::Ratio)
    .symbol("w")
    .help("Limit over short-circuit current density.")
    .units(&["1"])
    .range(Range {
        from: 1.0,
        ..Range::ANY
    })
    .initially("2");

static LIMIT: Field = quantity("limit", "Limiting current density", Kind::CurrentDensity)
    .symbol("J_lim")
    .units(&["mA/cm2", "A/m2"]);
static MARGIN: Field = quantity("margin", "Margin", Kind::Ratio)
    .symbol("r")
    .units(&["1"]);
static LARGEST_GAP: Field = quantity("largest_gap", "Largest gap", Kind::Length)
    .symbol("h_max")
    .help("That leaves the wanted margin.")
    .units(&["um", "mm"]);
static LEAST_TRIIODIDE: Field = quantity(
    "least_triiodide",
    "Least triiodide",
    Kind::AmountConcentration,
)
.symbol("c_min")
.help("That leaves the wanted margin.")
.units(&["mmol/L", "mol/L"]);
static OVER_GAP: Field = curve("over_gap", "Limit over the gap", &GAP, &LIMIT);

const FICK: Source = derived(
    "Fick's first law and conservation of triiodide between two electrodes, excess of iodide",
);

/// The limit that diffusion of triiodide sets to the current.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "diffusion_limit",
    version: 1,
    stage: Stage::Cell,
    title: "Diffusion limit",
    purpose: "Whether triiodide crosses the gap fast enough for the current of the cell.",
    inputs: &[
        show(&DIFFUSIVITY),
        show(&TRIIODIDE),
        show(&GAP),
        show(&CURRENT),
        show(&WANTED),
    ],
    outputs: &[
        show(&LIMIT),
        show(&MARGIN),
        show(&LARGEST_GAP),
        show(&LEAST_TRIIODIDE),
        show(&OVER_GAP),
    ],
    working: &[
        formula("limit = 4 * F * diffusivity * triiodide / gap"),
        formula("margin = limit / current"),
        formula("largest_gap = 4 * F * diffusivity * triiodide / (wanted * current)"),
        formula("least_triiodide = wanted * current * gap / (4 * F * diffusivity)"),
        method("The curve is the limit for gaps from a third to three times this one.")
            .gives(&[&OVER_GAP]),
    ],
    sources: &[FICK, USUAL],
    hazards: &[hazards::IODINE, hazards::ACETONITRILE],
    formula: both::<DiffusionLimit>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "50 mmol/L across 60 µm, beside 12 mA/cm²",
        inputs: &[
            ("diffusivity", "1.5e-9 m2/s"),
            ("triiodide", "50 mmol/L"),
            ("gap", "60 um"),
            ("current", "12 mA/cm2"),
            ("wanted", "2"),
        ],
        expected: &[
            expect("limit", "48.24266606 mA/cm2", 5e-9),
            expect("margin", "4.020222171804583", 1e-12),
            // 60 µm·4.02/2
            expect("largest_gap", "120.60666515413752 um", 1e-10),
            // 50 mmol/L·2/4.02
            expect("least_triiodide", "24.874247175029222 mmol/L", 1e-11),
        ],
        source: BOOK,
    },
    Case {
        title: "the same across 25 µm",
        inputs: &[
            ("diffusivity", "1.5e-5 cm2/s"),
            ("triiodide", "50 mmol/L"),
            ("gap", "25 um"),
        ],
        expected: &[expect("limit", "115.78239854400002 mA/cm2", 5e-9)],
        source: BOOK,
    },
    Case {
        title: "an ionic liquid across 25 µm does not carry 12 mA/cm²",
        inputs: &[
            ("diffusivity", "2e-11 m2/s"),
            ("triiodide", "0.2 mol/L"),
            ("gap", "25 um"),
            ("current", "12 mA/cm2"),
            ("wanted", "1"),
        ],
        expected: &[
            expect("limit", "6.175061255679999 mA/cm2", 5e-10),
            expect("margin", "0.5145884379909867", 1e-13),
            expect("largest_gap", "12.864710949774667 um", 1e-11),
        ],
        source: BOOK,
    },
    Case {
        title: "at the largest gap the margin is the wanted one",
        inputs: &[
            ("diffusivity", "1.5e-9 m2/s"),
            ("triiodide", "50 mmol/L"),
            ("gap", "120.60666515413752 um"),
            ("current", "12 mA/cm2"),
            ("wanted", "2"),
        ],
        expected: &[expect("margin", "2", 1e-12)],
        source: FICK,
    },
];

const BOOK: Source =
    computed("4·F·D·c/h, Python 3.11 float64; form and diffusion coefficients from memory");

/// From an ionic liquid in the cold to a thin solvent when hot, with room, m²/s.
const SLOWEST: f64 = 1e-13;
const FASTEST: f64 = 1e-8;

const USUAL: Source =
    memory("triiodide: about 1.5e-9 m²/s in acetonitrile, about 2e-11 m²/s in ionic liquids");

/// Points of the curve, and how far from the gap it goes either way.
const POINTS: u32 = 61;
const REACH: f64 = 3.0;

struct DiffusionLimit;

impl Formula for DiffusionLimit {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (diffusivity, triiodide, gap) = (given[&DIFFUSIVITY], given[&TRIIODIDE], given[&GAP]);
        let per_gap = diffusivity * triiodide * (4.0 * FARADAY);
        let limit = per_gap / gap;
        let mut found = Found::new();
        found.set(&LIMIT, limit);
        if let Some(current) = given.get(&CURRENT) {
            let wanted = given[&WANTED] * current;
            found.set(&MARGIN, limit / current);
            found.set(&LARGEST_GAP, per_gap / wanted);
            found.set(
                &LEAST_TRIIODIDE,
                wanted * gap / (diffusivity * (4.0 * FARADAY)),
            );
        }
        if given.wants_curves() {
            found.set_curve(&OVER_GAP, over_gap(per_gap.value(), gap.value()));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [plausible(given), margin(given, found)]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// The limit for gaps round this one.
fn over_gap(per_gap: f64, gap: f64) -> Points {
    let (from, to) = (gap / REACH, gap * REACH);
    let step = (to - from) / f64::from(POINTS - 1);
    let gaps = (0..POINTS).map(|point| from + step * f64::from(point));
    let (x, y) = gaps.map(|gap| (gap, per_gap / gap)).unzip();
    Points { x, y }
}

/// Whether the coefficient can be one of a dissolved ion.
fn plausible(given: &Given<'_, f64>) -> Option<Check> {
    let diffusivity = given[&DIFFUSIVITY];
    (!(SLOWEST..=FASTEST).contains(&diffusivity)).then(|| {
        Check::warning(
            "diffusivity_unusual",
            format!(
                "A diffusion coefficient of {} is none of triiodide in a liquid: look at the unit and the power of ten again.",
                DIFFUSIVITY.say(diffusivity)
            ),
            USUAL,
        )
    })
}

/// Whether diffusion leaves the wanted margin.
fn margin(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (limit, margin) = (found.get(&LIMIT)?, found.get(&MARGIN)?);
    let said = format!(
        "Diffusion carries at most {}, {} times the {} of the cell",
        LIMIT.say(limit),
        brief_text(margin, 3),
        CURRENT.say(given[&CURRENT])
    );
    let wanted = brief_text(given[&WANTED], 3);
    let advice = format!(
        "With this triiodide the gap may be {} at most; with this gap it takes {} of triiodide or more.",
        LARGEST_GAP.say(found.get(&LARGEST_GAP)?),
        LEAST_TRIIODIDE.say(found.get(&LEAST_TRIIODIDE)?)
    );
    Some(if margin < 1.0 {
        Check::warning(
            "limited_by_diffusion",
            format!(
                "{said}: such a current cannot last. {advice} If it was measured, gap, triiodide or coefficient is off."
            ),
            FICK,
        )
    } else if margin < given[&WANTED] {
        Check::warning(
            "margin_below_wanted",
            format!("{said}, less than the margin of {wanted} wanted. {advice}"),
            MARGINS,
        )
    } else {
        Check::in_range(
            "margin_as_wanted",
            format!(
                "{said}; a margin of {wanted} is wanted. The pores of the film take part of it."
            ),
            MARGINS,
        )
    })
}

const MARGINS: Source = practice(
    "a margin of two or more covers slow diffusion in the pores of the film and colder days",
);
