//! # What it computes
//! The current density at which triiodide reaches the counter electrode no faster, beside the short-circuit current density
//! of the cell, with or without the film in the gap; the largest gap and the least triiodide that leave a wanted margin.
//!
//! # Formulas
//! J_lim = 4·F·D·c/h; with a film, b = h − t and
//! J_lim = 2·F·c·(b + P·t)/(b²/(2·D) + P·t·b/D + P·t²/(2·D_f)). r = J_lim/J; c_min = w·J·c/J_lim;
//! h₀ = 4·F·D·c/(w·J), which is h_max without a film; with one, h_max = t + h₀/2 − P·t + √(h₀²/4 + P²·t² − P·t²·D/D_f).
//!
//! # Symbols and units
//! D diffusion coefficient (m²/s) and c mean concentration (mol/m³) of triiodide; h distance between the electrodes (m); t
//! thickness (m) and P porosity (1) of the film, D_f diffusion coefficient in it over its whole area (m²/s), b room over it
//! (m); F Faraday constant (C/mol); J_lim limiting, J short-circuit current density (A/m²); r margin, w wanted margin (1);
//! h_max largest gap, h₀ the same without a film (m), c_min least concentration (mol/m³).
//!
//! # Valid range
//! Steady current through a gap that holds its triiodide; a film thinner than the gap.
//!
//! # Assumptions
//! Triiodide is made at one electrode and used up at the other, two electrons each, and crosses between them by diffusion
//! alone: no convection, and so much more iodide that neither iodide nor the electric field sets the pace. The amount in the
//! gap stays the same, so without a film its concentration falls on a straight line round the mean c. At the limit the line
//! goes from 2·c to 0, and the flux D·2·c/h carries 2·F of charge a mole: hence the 4. With a film two straight lines meet at
//! its surface, and triiodide is taken as made behind all of it, at the glass, which is the cautious end: made evenly in the
//! film, it has less far to go.
//!
//! # Sources
//! Fick's first law and conservation of triiodide between two electrodes. In a film: Kron et al., 3rd World Conference on
//! Photovoltaic Energy Conversion, Osaka 2003, p. 133 (abstract read). Diffusion coefficients: for the user to state.
//!
//! # Worked example
//! 50 mmol/L of triiodide of 1.5·10⁻⁹ m²/s carry 48.2 mA/cm² over 60 µm and 115.8 mA/cm² over 25 µm.

use super::*;
use crate::chemistry::constants::FARADAY;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice, read};
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
static FILM: Field = choice(
    "film",
    "Film in the gap",
    &[option("none", "not counted"), option("counted", "counted")],
);
static THICKNESS: Field = quantity("thickness", "Film thickness", Kind::Length)
    .symbol("t")
    .units(&["um"])
    .positive()
    .measured();
static POROSITY: Field = quantity("porosity", "Porosity of the film", Kind::Ratio)
    .symbol("P")
    .units(&["%", "1"])
    .range(Range::FRACTION);
static FILM_DIFFUSIVITY: Field = quantity(
    "film_diffusivity",
    "Diffusion coefficient in the film",
    Kind::Diffusivity,
)
.symbol("D_f")
.help("Of triiodide, over the whole area of the film, pores and grains. One study found about a third of that outside.")
.units(&["cm2/s", "m2/s"])
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
.optional()
.measured();
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

static BARE_GAP: Field = quantity("bare_gap", "Largest gap without a film", Kind::Length)
    .symbol("h₀")
    .units(&["um", "mm"]);

const KRON: Source = read(
    "Kron et al., 3rd World Conference on Photovoltaic Energy Conversion, Osaka 2003, p. 133, abstract: 1.24e-5 cm²/s in the \
     electrolyte, 0.44e-5 cm²/s in a film of titanium dioxide",
);

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
        show(&FILM),
        show(&THICKNESS).when(&FILM, &["counted"]),
        show(&POROSITY).when(&FILM, &["counted"]),
        show(&FILM_DIFFUSIVITY).when(&FILM, &["counted"]),
        show(&CURRENT),
        show(&WANTED),
    ],
    outputs: &[
        show(&LIMIT),
        show(&MARGIN),
        show(&LARGEST_GAP),
        show(&LEAST_TRIIODIDE),
        show(&BARE_GAP).when(&FILM, &["counted"]),
        show(&OVER_GAP),
    ],
    working: &[
        formula("limit = 4 * F * diffusivity * triiodide / gap").when(&FILM, &["none"]),
        formula(
            "limit = 2 * F * triiodide * (gap - thickness + porosity * thickness) / ((gap - thickness)^2 / (2 * diffusivity) \
             + porosity * thickness * (gap - thickness) / diffusivity + porosity * thickness^2 / (2 * film_diffusivity))",
        )
        .when(&FILM, &["counted"]),
        formula("margin = limit / current"),
        formula("largest_gap = 4 * F * diffusivity * triiodide / (wanted * current)")
            .when(&FILM, &["none"]),
        formula("bare_gap = 4 * F * diffusivity * triiodide / (wanted * current)")
            .when(&FILM, &["counted"]),
        formula(
            "largest_gap = thickness + bare_gap / 2 - porosity * thickness + sqrt(bare_gap^2 / 4 + (porosity * thickness)^2 \
             - porosity * thickness^2 * diffusivity / film_diffusivity)",
        )
        .when(&FILM, &["counted"]),
        formula("least_triiodide = wanted * current * triiodide / limit"),
        method("The curve is the limit for other gaps, from a third to three times the room that the film leaves.")
            .gives(&[&OVER_GAP]),
    ],
    sources: &[FICK, KRON, USUAL],
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
        title: "a film in the gap, with coefficients of a published study",
        inputs: &[
            ("diffusivity", "1.24e-5 cm2/s"),
            ("triiodide", "50 mmol/L"),
            ("gap", "48 um"),
            ("film", "counted"),
            ("thickness", "10 um"),
            ("porosity", "57 %"),
            ("film_diffusivity", "0.44e-5 cm2/s"),
            ("current", "12 mA/cm2"),
            ("wanted", "2"),
        ],
        expected: &[
            expect("limit", "51.31272824838925 mA/cm2", 1e-11),
            expect("margin", "4.276060687365771", 1e-12),
            expect("bare_gap", "99.70150986075369 um", 1e-10),
            expect("largest_gap", "102.69919881369948 um", 1e-10),
            expect("least_triiodide", "23.386010468809346 mmol/L", 1e-11),
        ],
        source: computed(
            "two straight profiles, Python 3.11 float64; coefficients of Kron et al. 2003, abstract read; other numbers invented",
        ),
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

/// Points of the curve, and how far from the room it goes either way.
const POINTS: u32 = 61;
const AROUND: f64 = 3.0;

struct DiffusionLimit;

impl Formula for DiffusionLimit {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let layers = Layers::of(given)?;
        let triiodide = given[&TRIIODIDE];
        let limit = layers.limit(triiodide);
        let mut found = Found::new();
        found.set(&LIMIT, limit);
        if let Some(current) = given.get(&CURRENT) {
            let wanted = given[&WANTED] * current;
            let bare = layers.diffusivity * triiodide * (4.0 * FARADAY) / wanted;
            found.set(&MARGIN, limit / current);
            found.set_some(&LARGEST_GAP, layers.largest_gap(bare));
            found.set(&LEAST_TRIIODIDE, wanted * triiodide / limit);
            if layers.film.is_some() {
                found.set(&BARE_GAP, bare);
            }
        }
        if given.wants_curves() {
            found.set_curve(&OVER_GAP, over_gap(&layers, triiodide));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [plausible(given), in_film(given), margin(given, found)]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// What triiodide crosses: the room up to the counter electrode, and the film where it is counted.
struct Layers<S> {
    room: S,
    diffusivity: S,
    film: Option<Film<S>>,
}

#[derive(Clone, Copy)]
struct Film<S> {
    thickness: S,
    porosity: S,
    diffusivity: S,
}

impl<S: Scalar> Layers<S> {
    fn of(given: &Given<'_, S>) -> Result<Self, Problem> {
        let (gap, diffusivity) = (given[&GAP], given[&DIFFUSIVITY]);
        let Some(thickness) = given.get(&THICKNESS) else {
            return Ok(Layers {
                room: gap,
                diffusivity,
                film: None,
            });
        };
        if thickness.value() >= gap.value() {
            return Err(Problem::at(
                &THICKNESS,
                "film_above_gap",
                format!(
                    "The film ({}) fills the gap ({}): it would touch the counter electrode.",
                    THICKNESS.say(thickness.value()),
                    GAP.say(gap.value())
                ),
                "Enter a larger gap or a thinner film.",
            ));
        }
        Ok(Layers {
            room: gap - thickness,
            diffusivity,
            film: Some(Film {
                thickness,
                porosity: given[&POROSITY],
                diffusivity: given[&FILM_DIFFUSIVITY],
            }),
        })
    }

    /// The current that takes all triiodide from the counter electrode, of so much triiodide on average.
    fn limit(&self, triiodide: S) -> S {
        let (room, diffusivity) = (self.room, self.diffusivity);
        let Some(film) = self.film else {
            return diffusivity * triiodide * (4.0 * FARADAY) / room;
        };
        let pores = film.porosity * film.thickness;
        // Triiodide per area that a unit of flux piles up: in the room, under it in the pores, and within the film.
        let piled = room.squared() / (diffusivity * 2.0)
            + pores * room / diffusivity
            + pores * film.thickness / (film.diffusivity * 2.0);
        triiodide * (room + pores) * (2.0 * FARADAY) / piled
    }

    /// The largest gap that leaves the wanted margin, from that without a film; none where the film alone takes it.
    fn largest_gap(&self, bare: S) -> Option<S> {
        let Some(film) = self.film else {
            return Some(bare);
        };
        let half = bare / 2.0;
        let pores = film.porosity * film.thickness;
        let slower = self.diffusivity / film.diffusivity;
        let square = half.squared() + pores.squared() - pores * film.thickness * slower;
        if square.value() < 0.0 {
            return None;
        }
        let room = half - pores + square.sqrt();
        (room.value() > 0.0).then(|| film.thickness + room)
    }
}

/// The limit for gaps round this one.
fn over_gap<S: Scalar>(layers: &Layers<S>, triiodide: S) -> Points {
    let film = layers.film.map_or(0.0, |film| film.thickness.value());
    let room = layers.room.value();
    let (from, to) = (room / AROUND, room * AROUND);
    let step = (to - from) / f64::from(POINTS - 1);
    let rooms = (0..POINTS).map(|point| from + step * f64::from(point));
    let points = rooms.map(|room| {
        let other = Layers {
            room: S::constant(room),
            ..*layers
        };
        (film + room, other.limit(triiodide).value())
    });
    let (x, y) = points.unzip();
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

/// Whether the film hinders diffusion, as it must.
fn in_film(given: &Given<'_, f64>) -> Option<Check> {
    let (inside, outside) = (given.get(&FILM_DIFFUSIVITY)?, given[&DIFFUSIVITY]);
    (inside > outside).then(|| {
        Check::warning(
            "film_faster",
            format!(
                "In the film triiodide would diffuse faster ({}) than outside ({}): look at both again.",
                FILM_DIFFUSIVITY.say(inside),
                DIFFUSIVITY.say(outside)
            ),
            KRON,
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
    let pores = match given.get(&THICKNESS) {
        Some(_) => "",
        None => " The pores of the film take part of it.",
    };
    let least = LEAST_TRIIODIDE.say(found.get(&LEAST_TRIIODIDE)?);
    // A gap below the largest that still falls short lacks triiodide, not speed: the film holds it up.
    let largest = found
        .get(&LARGEST_GAP)
        .filter(|gap| *gap < given[&GAP] || margin >= given[&WANTED]);
    let advice = match largest {
        Some(gap) => format!(
            "With this triiodide the gap may be {} at most; with this gap it takes {least} of triiodide or more.",
            LARGEST_GAP.say(gap)
        ),
        None => format!(
            "The film itself holds triiodide up, and no narrower gap helps: it takes a thinner film, or {least} of triiodide or more."
        ),
    };
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
            format!("{said}; a margin of {wanted} is wanted.{pores}"),
            MARGINS,
        )
    })
}

const MARGINS: Source = practice(
    "a margin of two or more covers slow diffusion in the pores of the film and colder days",
);
