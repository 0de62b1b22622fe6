//! # What it computes
//! The free volume of a sealed cell between film and counter electrode, split into the space over the film, the
//! pores of the film, the rim around it and the fill holes; and the electrolyte to prepare for all cells.
//!
//! # Formulas
//! A = a·b for a rectangle, A = π·D²/4 for a circle; over the film A_f·(h − t), pores A_f·t·P, rim (A − A_f)·h,
//! holes n·π·d²/4·g; V is their sum, V_p = N·V·(1 + s).
//!
//! # Symbols and units
//! A window area (m²) from its sides a, b or its diameter D (m); h spacer gap (m), after pressing h_p where it is
//! known and before pressing h₀ where it is not; A_f, t, P area (m²), thickness (m) and porosity (1) of the film;
//! n, d, g number (1), diameter (m) and length (m) of the fill holes; N number of cells (1); s overage (1); V free
//! volume of one cell (m³); V_p volume to prepare (m³).
//!
//! # Valid range
//! The film is not thicker than the gap and not larger than the window; porosity below 1. A window without a film
//! has film area 0.
//!
//! # Assumptions
//! Plates parallel, walls of window and holes straight, gap the same everywhere, all pores open and filled.
//!
//! # Sources
//! Geometry. How much a spacer gives way when it is pressed is for the user to measure.
//!
//! # Worked example
//! A window of 0.36 cm² with a gap of 25 µm, and in it 0.25 cm² of film, 12 µm thick, 60 % porous: 0.325 µL over the
//! film, 0.18 µL in its pores and 0.275 µL in the rim are 0.78 µL.

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static WINDOW: Field = choice(
    "window",
    "Window in the spacer",
    &[
        option("rectangle", "rectangle"),
        option("circle", "circle"),
        option("area", "typed area"),
    ],
);
static WIDTH: Field = quantity("width", "Window width", Kind::Length)
    .symbol("a")
    .units(&["mm", "cm"])
    .positive();
static LENGTH: Field = quantity("length", "Window length", Kind::Length)
    .symbol("b")
    .units(&["mm", "cm"])
    .positive();
static DIAMETER: Field = quantity("diameter", "Window diameter", Kind::Length)
    .symbol("D")
    .units(&["mm", "cm"])
    .positive();
static AREA: Field = quantity("area", "Area of the window", Kind::Area)
    .symbol("A₀")
    .units(&["cm2", "mm2"])
    .positive();
static SPACER: Field = quantity("spacer", "Spacer thickness before pressing", Kind::Length)
    .symbol("h₀")
    .units(&["um", "mm"])
    .positive();
static PRESSED: Field = quantity("pressed", "Spacer thickness after pressing", Kind::Length)
    .symbol("hₚ")
    .help("Leave it empty before pressing; the thickness before pressing is then used.")
    .units(&["um", "mm"])
    .positive()
    .optional()
    .measured();
static FILM_AREA: Field = quantity("film_area", "Film area in the window", Kind::Area)
    .symbol("A_f")
    .help("0 for a window without a film.")
    .units(&["cm2", "mm2"])
    .not_negative();
static FILM_THICKNESS: Field = quantity("film_thickness", "Film thickness", Kind::Length)
    .symbol("t")
    .units(&["um", "nm"])
    .not_negative()
    .measured();
static POROSITY: Field = quantity("porosity", "Porosity of the film", Kind::Ratio)
    .symbol("P")
    .units(&["%", "1"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    });
static HOLE: Field = choice(
    "hole",
    "Fill holes",
    &[
        option("none", "none"),
        option("drilled", "drilled through the glass"),
    ],
);
static HOLES: Field = count("holes", "Fill holes in each cell")
    .symbol("n")
    .initially("1");
static HOLE_DIAMETER: Field = quantity("hole_diameter", "Diameter of a fill hole", Kind::Length)
    .symbol("d")
    .units(&["mm", "um"])
    .positive();
static GLASS: Field = quantity("glass", "Glass thickness", Kind::Length)
    .symbol("g")
    .units(&["mm"])
    .positive();
static CELLS: Field = count("cells", "Cells to fill")
    .symbol("N")
    .initially("1")
    .measured();
static OVERAGE: Field = quantity("overage", "Overage", Kind::Ratio)
    .symbol("s")
    .help("Extra for what stays in tips and vials or is wiped off.")
    .units(&["%", "1"])
    .not_negative()
    .initially("20");

static PREPARE: Field = quantity("prepare", "Volume to prepare", Kind::Volume)
    .symbol("Vₚ")
    .units(&["uL", "mL"]);
static FREE_VOLUME: Field = quantity("free_volume", "Free volume of one cell", Kind::Volume)
    .symbol("V")
    .units(&["uL", "nL", "mL"]);
static OVER_FILM: Field = quantity("over_film", "Over the film", Kind::Volume)
    .symbol("V₁")
    .units(&["uL", "nL", "mL"]);
static PORES: Field = quantity("pores", "In the pores of the film", Kind::Volume)
    .symbol("V₂")
    .units(&["uL", "nL", "mL"]);
static RIM: Field = quantity("rim", "In the rim around the film", Kind::Volume)
    .symbol("V₃")
    .units(&["uL", "nL", "mL"]);
static HOLE_VOLUME: Field = quantity("hole_volume", "In the fill holes", Kind::Volume)
    .symbol("V₄")
    .units(&["uL", "nL", "mL"]);
static GAP: Field = quantity("gap", "Spacer gap", Kind::Length)
    .symbol("h")
    .units(&["um", "mm"]);
static WINDOW_AREA: Field = quantity("window_area", "Window area", Kind::Area)
    .symbol("A")
    .units(&["cm2", "mm2"]);

/// Film and counter electrode closer than this: thickness and gap usually vary by as much.
const NARROW: f64 = 5e-6;

/// From this share of the rest of the cell on, the fill holes are worth a word.
const NOTABLE_HOLE: f64 = 0.2;

/// Free volume of a sealed cell, and the electrolyte to prepare.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "spacer_gap",
    version: 1,
    stage: Stage::Cell,
    title: "Spacer gap",
    purpose: "How much electrolyte a sealed cell holds, where it sits, and how much to prepare.",
    inputs: &[
        show(&WINDOW),
        show(&WIDTH).when(&WINDOW, &["rectangle"]),
        show(&LENGTH).when(&WINDOW, &["rectangle"]),
        show(&DIAMETER).when(&WINDOW, &["circle"]),
        show(&AREA).when(&WINDOW, &["area"]),
        show(&SPACER),
        show(&PRESSED),
        show(&FILM_AREA),
        show(&FILM_THICKNESS),
        show(&POROSITY),
        show(&HOLE),
        show(&HOLES).when(&HOLE, &["drilled"]),
        show(&HOLE_DIAMETER).when(&HOLE, &["drilled"]),
        show(&GLASS).when(&HOLE, &["drilled"]),
        show(&CELLS),
        show(&OVERAGE),
    ],
    outputs: &[
        show(&PREPARE),
        show(&FREE_VOLUME),
        show(&OVER_FILM),
        show(&PORES),
        show(&RIM),
        show(&HOLE_VOLUME).when(&HOLE, &["drilled"]),
        show(&GAP),
        show(&WINDOW_AREA),
    ],
    working: &[
        formula("window_area = width * length").when(&WINDOW, &["rectangle"]),
        formula("window_area = pi * diameter^2 / 4").when(&WINDOW, &["circle"]),
        formula("window_area = area").when(&WINDOW, &["area"]),
        method(
            "The spacer gap is the spacer thickness after pressing; until that is entered, the thickness before \
             pressing.",
        ),
        formula("gap = pressed"),
        formula("gap = spacer").without(&PRESSED),
        formula("over_film = film_area * (gap - film_thickness)"),
        formula("pores = film_area * film_thickness * porosity"),
        formula("rim = (window_area - film_area) * gap"),
        formula("hole_volume = holes * pi * hole_diameter^2 / 4 * glass").when(&HOLE, &["drilled"]),
        formula("free_volume = over_film + pores + rim").when(&HOLE, &["none"]),
        formula("free_volume = over_film + pores + rim + hole_volume").when(&HOLE, &["drilled"]),
        formula("prepare = cells * free_volume * (1 + overage)"),
    ],
    sources: &[GEOMETRY],
    hazards: &[
        Hazard {
            what: "Electrolyte solvents",
            caution: "Nitriles such as acetonitrile burn easily and are harmful when breathed in or on the skin. \
                      Keep them away from the hot sealing plate; let the cell cool before filling; fume hood, \
                      suitable gloves.",
        },
        hazards::IODINE,
        hazards::GLASS,
        Hazard {
            what: "Sealing plate",
            caution: "It is hot enough to burn, and so is the glass that leaves it. Use tweezers and let it cool.",
        },
    ],
    formula: both::<SpacerGap>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "20 µm over 1 cm²",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "20 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[expect("free_volume", "2 uL", 1e-9)],
        source: PYTHON,
    },
    Case {
        title: "25 µm over 1 cm²",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "25 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[expect("free_volume", "2.5 uL", 1e-9)],
        source: PYTHON,
    },
    Case {
        title: "30 µm over 1 cm²",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "30 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[expect("free_volume", "3 uL", 1e-9)],
        source: PYTHON,
    },
    Case {
        title: "50 µm over 1 cm²",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "50 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[expect("free_volume", "5 uL", 1e-9)],
        source: PYTHON,
    },
    Case {
        title: "a 60 µm spacer over 1 cm² holds 6 µL",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "60 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
            ("cells", "10"),
            ("overage", "20 %"),
        ],
        expected: &[
            expect("free_volume", "6 uL", 1e-9),
            expect("over_film", "0 uL", 1e-12),
            expect("pores", "0 uL", 1e-12),
            expect("rim", "6 uL", 1e-9),
            expect("prepare", "72 uL", 1e-8),
        ],
        source: practice("the usual figure at the bench"),
    },
    Case {
        title: "100 µm over 1 cm²",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "100 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[expect("free_volume", "10 uL", 1e-9)],
        source: PYTHON,
    },
    Case {
        title: "porous film inside; the parts add up",
        inputs: &[
            ("window", "area"),
            ("area", "0.36 cm2"),
            ("spacer", "25 um"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("over_film", "0.325 uL", 1e-9),
            expect("pores", "0.18 uL", 1e-9),
            expect("rim", "0.275 uL", 1e-9),
            expect("free_volume", "0.78 uL", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "fill hole of 0.5 mm through 2.2 mm of glass",
        inputs: &[
            ("window", "area"),
            ("area", "0.36 cm2"),
            ("spacer", "25 um"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
            ("hole", "drilled"),
            ("hole_diameter", "0.5 mm"),
            ("glass", "2.2 mm"),
        ],
        expected: &[
            expect("hole_volume", "0.4320 uL", 5e-5),
            expect("free_volume", "1.2120 uL", 5e-5),
        ],
        source: HOLE_SOURCE,
    },
    Case {
        title: "fill hole of 0.75 mm through 2.2 mm of glass",
        inputs: &[
            ("window", "area"),
            ("area", "0.36 cm2"),
            ("spacer", "25 um"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
            ("hole", "drilled"),
            ("hole_diameter", "0.75 mm"),
            ("glass", "2.2 mm"),
        ],
        expected: &[expect("hole_volume", "0.9719 uL", 5e-5)],
        source: HOLE_SOURCE,
    },
    Case {
        title: "fill hole of 1 mm through 2.2 mm of glass",
        inputs: &[
            ("window", "area"),
            ("area", "0.36 cm2"),
            ("spacer", "25 um"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
            ("hole", "drilled"),
            ("hole_diameter", "1.0 mm"),
            ("glass", "2.2 mm"),
        ],
        expected: &[expect("hole_volume", "1.7279 uL", 5e-5)],
        source: HOLE_SOURCE,
    },
    Case {
        title: "square window, square film",
        inputs: &[
            ("window", "rectangle"),
            ("width", "6.0 mm"),
            ("length", "6.0 mm"),
            ("spacer", "60 um"),
            ("film_area", "25 mm2"),
            ("film_thickness", "10 um"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("window_area", "0.36 cm2", 1e-9),
            expect("free_volume", "2.06 uL", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "round window under a 30 µm spacer film",
        inputs: &[
            ("window", "circle"),
            ("diameter", "8 mm"),
            ("spacer", "30 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[
            expect("window_area", "0.5026548245743669 cm2", 1e-12),
            expect("free_volume", "1.5079644737231006 uL", 1e-12),
        ],
        source: computed(
            "geometry; Python 3.11, π·(8 mm)²/4·30 µm; a spacer film of 30 µm was read in a methods section",
        ),
    },
    Case {
        title: "what follows uses the pressed spacer",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "60 um"),
            ("pressed", "50 um"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        expected: &[
            expect("gap", "50 um", 1e-9),
            expect("free_volume", "5 uL", 1e-9),
        ],
        source: memory(
            "lab practice: a 60 µm spacer film is 40 µm to 60 µm thick after pressing at 100 °C to 120 °C",
        ),
    },
];

const GEOMETRY: Source = derived("Geometry of plates, window and holes");

const PYTHON: Source = computed("geometry; Python 3.11 float64");

const HOLE_SOURCE: Source = computed(
    "geometry; Python 3.11 float64; a fill hole of about 0.5 mm was read in a methods section, 2.2 mm is a usual glass",
);

struct SpacerGap;

impl Formula for SpacerGap {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let window = match given.choice(&WINDOW) {
            "circle" => circle(given[&DIAMETER]),
            "area" => given[&AREA],
            _ => given[&WIDTH] * given[&LENGTH],
        };
        let gap = given.get(&PRESSED).unwrap_or(given[&SPACER]);
        let (film, thickness) = (given[&FILM_AREA], given[&FILM_THICKNESS]);
        if film.value() > window.value() {
            return Err(Problem::at(
                &FILM_AREA,
                "film_above_window",
                format!(
                    "The film ({}) is larger than the window ({}): part of it would lie under the spacer.",
                    FILM_AREA.say(film.value()),
                    WINDOW_AREA.say(window.value())
                ),
                "Enter a larger window or a smaller film area.",
            ));
        }
        if film.value() > 0.0 && thickness.value() > gap.value() {
            return Err(Problem::at(
                &FILM_THICKNESS,
                "film_above_gap",
                format!(
                    "Spacer gap {} is thinner than the film ({}): the film would touch the counter electrode.",
                    GAP.say(gap.value()),
                    FILM_THICKNESS.say(thickness.value())
                ),
                "Use a thicker spacer or fewer passes.",
            ));
        }
        let over_film = film * (gap - thickness);
        let pores = film * thickness * given[&POROSITY];
        let rim = (window - film) * gap;
        let closed = over_film + pores + rim;
        let holes = (given.choice(&HOLE) == "drilled")
            .then(|| given[&HOLES] * circle(given[&HOLE_DIAMETER]) * given[&GLASS]);
        let free = holes.map_or(closed, |holes| closed + holes);

        let mut found = Found::new();
        found.set(&PREPARE, given[&CELLS] * free * (given[&OVERAGE] + 1.0));
        found.set(&FREE_VOLUME, free);
        found.set(&OVER_FILM, over_film);
        found.set(&PORES, pores);
        found.set(&RIM, rim);
        found.set_some(&HOLE_VOLUME, holes);
        found.set(&GAP, gap);
        found.set(&WINDOW_AREA, window);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let checks = [pressing(given), margin(given), fill_holes(found)];
        checks.into_iter().flatten().collect()
    }
}

fn circle<S: Scalar>(diameter: S) -> S {
    diameter.squared() * core::f64::consts::PI / 4.0
}

/// Whether the gap is the one that counts.
fn pressing(given: &Given<'_, f64>) -> Option<Check> {
    let rule = practice(
        "pressing thins a hot-melt spacer; by how much depends on temperature, pressure and time",
    );
    let before = given[&SPACER];
    match given.get(&PRESSED) {
        None => Some(Check::note(
            "unpressed_spacer",
            "The gap is the spacer thickness before pressing. Pressing thins it: measure it afterwards and enter it.",
            rule,
        )),
        Some(after) if after > before => Some(Check::warning(
            "spacer_grew",
            format!(
                "The spacer is thicker after pressing ({}) than before ({}): look at both values again.",
                PRESSED.say(after),
                SPACER.say(before)
            ),
            rule,
        )),
        Some(_) => None,
    }
}

/// How far the film is from the counter electrode.
fn margin(given: &Given<'_, f64>) -> Option<Check> {
    let gap = given.get(&PRESSED).unwrap_or(given[&SPACER]);
    let margin = gap - given[&FILM_THICKNESS];
    let rule = practice("leave at least 5 µm between film and counter electrode");
    if given[&FILM_AREA] == 0.0 {
        return None;
    }
    let between = GAP.say(margin);
    Some(if margin < NARROW {
        Check::note(
            "narrow_gap",
            format!(
                "Only {between} lie between film and counter electrode; gap and film thickness may vary by as much."
            ),
            rule,
        )
    } else {
        let sentence = format!("Between film and counter electrode lie {between}.");
        Check::in_range("gap_over_film", sentence, rule)
    })
}

/// Whether the fill holes hold an amount that matters.
fn fill_holes(found: &Found<f64>) -> Option<Check> {
    let holes = found.get(&HOLE_VOLUME)?;
    let rest = found.get(&FREE_VOLUME)? - holes;
    let share = holes / rest;
    (share >= NOTABLE_HOLE).then(|| {
        Check::note(
            "large_fill_hole",
            format!(
                "The fill holes hold {}, which is {} % of what the rest of the cell holds ({}).",
                HOLE_VOLUME.say(holes),
                value_text(share * 100.0, 2),
                FREE_VOLUME.say(rest)
            ),
            derived("volume of the fill holes beside that of the gap"),
        )
    })
}
