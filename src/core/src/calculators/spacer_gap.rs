//! # What it computes
//! The free volume of a sealed cell between film and counter electrode, split into the space over the film, the
//! pores of the film, the rim around it and the fill holes; the electrolyte to prepare for all cells and the dose for
//! one; what a gap that is not the same everywhere leaves over the film; how far the spacer flows when it is pressed.
//!
//! # Formulas
//! A = a·b for a rectangle, A = π·D²/4 for a circle; with the frame (a − 2·e)·(b − 2·e) and π·(D − 2·e)²/4; over the film
//! A_f·(h − t), pores A_f·t·P, rim (A − A_f)·h, holes n·π·d²/4·g; V is their sum, V_p = N·k·V·(1 + s). Before pressing
//! h_e = h₀·q. Wedge: h = (h₁ + h₂)/2 or (h₁ + h₂ + h₃ + h₄)/4, T = |h₁ − h₂| + |h₃ − h₄|, of a circle
//! T = √((h₁ − h₂)² + (h₃ − h₄)²), h_min = h − T/2. Frame: f′ = f·h₀/h, e = (f′ − f)/2. Dose: j = ⌈V/v⌉, V_d = j·v, u = δ/V.
//!
//! # Symbols and units
//! A window area (m²) from its sides a, b or its diameter D (m); h spacer gap (m), after pressing h_p where it is
//! known, before that h₀ thickness before pressing times q share expected to be left (1); h₁ to h₄ at the edges of the
//! window, h₁ opposite h₂, h₃ opposite h₄; T difference over the window, h_min least gap (m); f, f′ width of the frame before
//! and after pressing, e by how far each of its edges moves (m); A_f, t, P area (m²), thickness (m) and porosity (1) of
//! the film; n, d, g number (1), diameter (m) and length (m) of the fill holes; N number of cells, k windows in each (1); s
//! overage (1); V free volume of one window (m³); V_p volume to prepare (m³); v least step of the ware, V_d dose, δ
//! permissible error of a dose (m³), j steps, u permissible error over the free volume (1).
//!
//! # Valid range
//! The film is not thicker than the gap and not larger than the window; porosity below 1. A window without a film
//! has film area 0.
//!
//! # Assumptions
//! Plates flat, walls of window and holes straight, all pores open and filled. The film lies in the middle of the window, so
//! that the gap over it is the mean one. The spacer keeps its volume when it is pressed, and its frame widens as much
//! inwards as outwards, the same everywhere.
//!
//! # Sources
//! Geometry. How much a spacer gives way when it is pressed is for the user to measure; until then it is estimated.
//!
//! # Worked example
//! A window of 0.36 cm² with a gap of 25 µm, and in it 0.25 cm² of film, 12 µm thick, 60 % porous: 0.325 µL over the
//! film, 0.18 µL in its pores and 0.275 µL in the rim are 0.78 µL.

use super::*;
use crate::chemistry::ware::{WARE, Ware, WareKind};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, brief_text, value_text};
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
static PRESSED_SHARE: Field = quantity(
    "pressed_share",
    "Share expected after pressing",
    Kind::Ratio,
)
.symbol("q")
.help("Of the thickness before pressing, as on earlier cells; left empty, all of it.")
.units(&["%", "1"])
.range(Range::FRACTION)
.optional();
static EDGES: Field = choice(
    "edges",
    "Height of the gap",
    &[
        option("even", "same everywhere"),
        option("two", "at two opposite edges"),
        option("four", "at all four edges"),
    ],
)
.optional();
static PRESSED: Field = quantity("pressed", "Spacer thickness after pressing", Kind::Length)
    .symbol("hₚ")
    .help("Leave it empty before pressing; the thickness expected is then used.")
    .units(&["um", "mm"])
    .positive()
    .optional()
    .measured();
static EDGE_1: Field = edge("edge_1", "Gap at one edge", "h₁");
static EDGE_2: Field = edge("edge_2", "Gap at the opposite edge", "h₂");
static EDGE_3: Field = edge("edge_3", "Gap at a third edge", "h₃");
static EDGE_4: Field = edge("edge_4", "Gap opposite the third", "h₄");
static FRAME: Field = choice(
    "frame",
    "Frame of the spacer",
    &[
        option("ignored", "keeps its width"),
        option("counted", "widens when pressed"),
    ],
)
.optional();
static FRAME_WIDTH: Field = quantity("frame_width", "Frame width before pressing", Kind::Length)
    .symbol("f")
    .help("From the window to the outer edge of the spacer. The window is entered as it is before pressing.")
    .units(&["mm", "um"])
    .positive();
static CLEARANCE: Field = quantity("clearance", "Film to window edge", Kind::Length)
    .symbol("x₁")
    .help("The least distance, before pressing.")
    .units(&["mm", "um"])
    .not_negative()
    .optional();
static GLASS_MARGIN: Field = quantity("glass_margin", "Frame to glass edge", Kind::Length)
    .symbol("x₂")
    .help("The least distance, before pressing.")
    .units(&["mm", "um"])
    .not_negative()
    .optional();
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
static WINDOWS: Field = count("windows", "Windows on each substrate")
    .symbol("k")
    .help("Empty for one. With several, cells to fill are substrates.")
    .optional();
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
static DOSING: Field = choice(
    "dosing",
    "Dose for one window",
    &[
        option("none", "not worked out"),
        option("ware", "by syringe or pipette"),
    ],
)
.optional();
static STEP: Field = quantity("step", "Least step of the ware", Kind::Volume)
    .symbol("v")
    .help("One division of the syringe, or one digit of the pipette.")
    .units(&["uL", "nL"])
    .positive();
static NOMINAL: Field = quantity("nominal", "Most that the ware holds", Kind::Volume)
    .symbol("V₀")
    .units(&["uL", "mL"])
    .positive()
    .optional();
static PERMISSIBLE: Field = quantity("permissible", "Permissible error of a dose", Kind::Volume)
    .symbol("δ")
    .help("As the certificate states it; of a piston pipette, that of its nominal volume.")
    .units(&["uL", "nL"])
    .not_negative()
    .optional();

const fn edge(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Length)
        .symbol(symbol)
        .help("Between the plates at the edge of the window, after pressing.")
        .units(&["um", "mm"])
        .positive()
        .measured()
}

static PREPARE: Field = quantity("prepare", "Volume to prepare", Kind::Volume)
    .symbol("Vₚ")
    .units(&["uL", "mL"]);
static FREE_VOLUME: Field = quantity("free_volume", "Free volume of one window", Kind::Volume)
    .symbol("V")
    .units(&["uL", "nL", "mL"]);
static OVER_FILM: Field = quantity("over_film", "Over the film", Kind::Volume)
    .symbol("V₁")
    .units(&["uL", "nL", "mL"])
    .drawn(Drawn::Bar);
static PORES: Field = quantity("pores", "In the pores of the film", Kind::Volume)
    .symbol("V₂")
    .units(&["uL", "nL", "mL"])
    .drawn(Drawn::Bar);
static RIM: Field = quantity("rim", "In the rim around the film", Kind::Volume)
    .symbol("V₃")
    .units(&["uL", "nL", "mL"])
    .drawn(Drawn::Bar);
static HOLE_VOLUME: Field = quantity("hole_volume", "In the fill holes", Kind::Volume)
    .symbol("V₄")
    .units(&["uL", "nL", "mL"])
    .drawn(Drawn::Bar);
static GAP: Field = quantity("gap", "Spacer gap", Kind::Length)
    .symbol("h")
    .units(&["um", "mm"]);
static WINDOW_AREA: Field = quantity("window_area", "Window area", Kind::Area)
    .symbol("A")
    .units(&["cm2", "mm2"]);
static PLANNED_GAP: Field = quantity("planned_gap", "Gap expected", Kind::Length)
    .symbol("h_e")
    .units(&["um", "mm"]);
static TILT: Field = quantity("tilt", "Difference over the window", Kind::Length)
    .symbol("T")
    .units(&["um", "mm"]);
static LEAST_GAP: Field = quantity("least_gap", "Least gap", Kind::Length)
    .symbol("h_min")
    .units(&["um", "mm"]);
static BEAD: Field = quantity("bead", "Frame width after pressing", Kind::Length)
    .symbol("f′")
    .units(&["mm", "um"]);
static CREEP: Field = quantity("creep", "Frame edges move by", Kind::Length)
    .symbol("e")
    .help("Inwards at the window, outwards at the glass edge.")
    .units(&["um", "mm"]);
static FILM_LEFT: Field = quantity("film_left", "Film to frame, pressed", Kind::Length)
    .symbol("y₁")
    .units(&["mm", "um"]);
static GLASS_LEFT: Field = quantity("glass_left", "Frame to glass edge, pressed", Kind::Length)
    .symbol("y₂")
    .units(&["mm", "um"]);
static DOSE: Field = quantity("dose", "Dose for one window", Kind::Volume)
    .symbol("V_d")
    .units(&["uL", "nL", "mL"]);
static STEPS: Field = count("steps", "Steps of the ware").symbol("j");
static DOSE_ERROR: Field = quantity("dose_error", "Permissible error, relative", Kind::Ratio)
    .symbol("u")
    .help("Of the free volume.")
    .units(&["%"]);

/// Film and counter electrode closer than this: thickness and gap usually vary by as much.
const NARROW: f64 = 5e-6;

/// From this share of the rest of the cell on, the fill holes are worth a word.
const NOTABLE_HOLE: f64 = 0.2;

/// A spacer of which less than this share is left was pressed more than is usual.
const LEAST_LEFT: f64 = 0.66;

/// Spacer films as they are sold, m.
const SOLD: [f64; 6] = [25e-6, 30e-6, 45e-6, 50e-6, 60e-6, 100e-6];

/// A dose that may be off by more than this share of the free volume leaves gas or makes a mess.
const ROUGH_DOSE: f64 = 0.1;

/// A dose of more than so many free volumes is set by the step of the ware.
const COARSE: f64 = 1.5;

/// Below this share of what it holds, ware measures poorly.
const LOW_END: f64 = 0.1;

/// Heights of opposite pairs of edges whose means differ by more than this do not belong to flat plates.
const BENT: f64 = 5e-6;

/// A window that is no rectangle and no circle has no frame to be worked out.
const TYPED: &[&str] = &["area"];

/// Heights at several edges.
const WEDGE: &[&str] = &["two", "four"];

/// Free volume of a sealed cell, and the electrolyte to prepare.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "spacer_gap",
    version: 2,
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
        show(&PRESSED_SHARE).unless(&EDGES, WEDGE),
        show(&EDGES),
        show(&PRESSED).unless(&EDGES, WEDGE),
        show(&EDGE_1).when(&EDGES, WEDGE),
        show(&EDGE_2).when(&EDGES, WEDGE),
        show(&EDGE_3).when(&EDGES, &["four"]),
        show(&EDGE_4).when(&EDGES, &["four"]),
        show(&FRAME).unless(&WINDOW, TYPED),
        show(&FRAME_WIDTH)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&CLEARANCE)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&GLASS_MARGIN)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&FILM_AREA),
        show(&FILM_THICKNESS),
        show(&POROSITY),
        show(&HOLE),
        show(&HOLES).when(&HOLE, &["drilled"]),
        show(&HOLE_DIAMETER).when(&HOLE, &["drilled"]),
        show(&GLASS).when(&HOLE, &["drilled"]),
        show(&CELLS),
        show(&WINDOWS),
        show(&OVERAGE),
        show(&DOSING),
        show(&STEP).when(&DOSING, &["ware"]),
        show(&NOMINAL).when(&DOSING, &["ware"]),
        show(&PERMISSIBLE).when(&DOSING, &["ware"]),
    ],
    outputs: &[
        show(&PREPARE),
        show(&FREE_VOLUME),
        show(&OVER_FILM),
        show(&PORES),
        show(&RIM),
        show(&HOLE_VOLUME).when(&HOLE, &["drilled"]),
        show(&DOSE).when(&DOSING, &["ware"]),
        show(&STEPS).when(&DOSING, &["ware"]),
        show(&DOSE_ERROR).when(&DOSING, &["ware"]),
        show(&GAP),
        show(&PLANNED_GAP).unless(&EDGES, WEDGE),
        show(&LEAST_GAP).when(&EDGES, WEDGE),
        show(&TILT).when(&EDGES, WEDGE),
        show(&BEAD)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&CREEP)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&FILM_LEFT)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&GLASS_LEFT)
            .when(&FRAME, &["counted"])
            .unless(&WINDOW, TYPED),
        show(&WINDOW_AREA),
    ],
    working: &[
        method(
            "The spacer gap is the spacer thickness after pressing, of a wedge the mean over the window; until it is \
             measured, the thickness expected.",
        ),
        formula("planned_gap = spacer * pressed_share"),
        formula("planned_gap = spacer").without(&PRESSED_SHARE),
        formula("gap = pressed"),
        formula("gap = planned_gap").without(&PRESSED),
        formula("gap = (edge_1 + edge_2) / 2").when(&EDGES, &["two"]),
        formula("gap = (edge_1 + edge_2 + edge_3 + edge_4) / 4").when(&EDGES, &["four"]),
        formula("tilt = max(edge_1, edge_2) - min(edge_1, edge_2)").when(&EDGES, &["two"]),
        formula("tilt = max(edge_1, edge_2) - min(edge_1, edge_2) + max(edge_3, edge_4) - min(edge_3, edge_4)")
            .when(&EDGES, &["four"])
            .when(&WINDOW, &["rectangle", "area"]),
        formula("tilt = sqrt((edge_1 - edge_2)^2 + (edge_3 - edge_4)^2)")
            .when(&EDGES, &["four"])
            .when(&WINDOW, &["circle"]),
        formula("least_gap = gap - tilt / 2").when(&EDGES, WEDGE),
        formula("bead = frame_width * spacer / gap").when(&FRAME, &["counted"]),
        formula("creep = (bead - frame_width) / 2").when(&FRAME, &["counted"]),
        formula("film_left = clearance - creep").when(&FRAME, &["counted"]),
        formula("glass_left = glass_margin - creep").when(&FRAME, &["counted"]),
        formula("window_area = (width - 2 * creep) * (length - 2 * creep)")
            .when(&WINDOW, &["rectangle"]),
        formula("window_area = pi * (diameter - 2 * creep)^2 / 4").when(&WINDOW, &["circle"]),
        formula("window_area = width * length")
            .when(&WINDOW, &["rectangle"])
            .without(&FRAME_WIDTH),
        formula("window_area = pi * diameter^2 / 4")
            .when(&WINDOW, &["circle"])
            .without(&FRAME_WIDTH),
        formula("window_area = area").when(&WINDOW, TYPED),
        formula("over_film = film_area * (gap - film_thickness)"),
        formula("pores = film_area * film_thickness * porosity"),
        formula("rim = (window_area - film_area) * gap"),
        formula("hole_volume = holes * pi * hole_diameter^2 / 4 * glass").when(&HOLE, &["drilled"]),
        formula("free_volume = over_film + pores + rim").when(&HOLE, &["none"]),
        formula("free_volume = over_film + pores + rim + hole_volume").when(&HOLE, &["drilled"]),
        formula("prepare = cells * windows * free_volume * (1 + overage)"),
        formula("prepare = cells * free_volume * (1 + overage)").without(&WINDOWS),
        method("The dose is the free volume rounded up to whole steps of the ware.")
            .gives(&[&STEPS])
            .when(&DOSING, &["ware"]),
        formula("dose = steps * step").when(&DOSING, &["ware"]),
        formula("dose_error = permissible / free_volume").when(&DOSING, &["ware"]),
    ],
    sources: &[GEOMETRY, PRESSES_TO, hazards::FLASH_POINT],
    hazards: &[
        hazards::ACETONITRILE_AT_PLATE,
        hazards::IODINE,
        hazards::GLASS,
        hazards::SEALING_PLATE,
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
    Case {
        title: "a wedge: two edges of 50 µm and 40 µm",
        inputs: &[
            ("window", "area"),
            ("area", "1 cm2"),
            ("spacer", "60 um"),
            ("edges", "two"),
            ("edge_1", "50 um"),
            ("edge_2", "40 um"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
        ],
        // 0.25·(45 − 12), 0.25·12·0.6 and 0.75·45, all times 0.1 µL.
        expected: &[
            expect("gap", "45 um", 1e-9),
            expect("tilt", "10 um", 1e-9),
            expect("least_gap", "40 um", 1e-9),
            expect("over_film", "0.825 uL", 1e-9),
            expect("pores", "0.18 uL", 1e-9),
            expect("rim", "3.375 uL", 1e-9),
        ],
        source: GEOMETRY,
    },
    Case {
        title: "a wedge of four edges, and the frame pressed under it",
        inputs: &[
            ("window", "rectangle"),
            ("width", "10 mm"),
            ("length", "8 mm"),
            ("spacer", "60 um"),
            ("edges", "four"),
            ("edge_1", "52 um"),
            ("edge_2", "44 um"),
            ("edge_3", "50 um"),
            ("edge_4", "46 um"),
            ("frame", "counted"),
            ("frame_width", "2 mm"),
            ("clearance", "1 mm"),
            ("glass_margin", "0.5 mm"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
        ],
        // 2 mm·60/48 = 2.5 mm; 9.5 mm·7.5 mm.
        expected: &[
            expect("gap", "48 um", 1e-9),
            expect("tilt", "12 um", 1e-9),
            expect("least_gap", "42 um", 1e-9),
            expect("bead", "2.5 mm", 1e-12),
            expect("creep", "0.25 mm", 1e-12),
            expect("film_left", "0.75 mm", 1e-12),
            expect("glass_left", "0.25 mm", 1e-12),
            expect("window_area", "71.25 mm2", 1e-9),
            // 0.1·(0.7125·48 − 0.25·12·0.4) µL
            expect("free_volume", "3.3 uL", 1e-9),
        ],
        source: GEOMETRY,
    },
    Case {
        title: "a round wedge of four edges: highest to lowest across",
        inputs: &[
            ("window", "circle"),
            ("diameter", "8 mm"),
            ("spacer", "60 um"),
            ("edges", "four"),
            ("edge_1", "53 um"),
            ("edge_2", "47 um"),
            ("edge_3", "46 um"),
            ("edge_4", "54 um"),
            ("frame", "counted"),
            ("frame_width", "2 mm"),
            ("film_area", "0"),
            ("film_thickness", "0"),
            ("porosity", "0"),
        ],
        // √(6² + 8²); 2 mm·60/50 = 2.4 mm, a window of 7.6 mm.
        expected: &[
            expect("tilt", "10 um", 1e-9),
            expect("least_gap", "45 um", 1e-9),
            expect("window_area", "45.364597917836605 mm2", 1e-10),
        ],
        source: PYTHON,
    },
    Case {
        title: "four windows on each of three substrates, dosed by syringe",
        inputs: &[
            ("window", "area"),
            ("area", "0.36 cm2"),
            ("spacer", "31.25 um"),
            ("pressed_share", "80 %"),
            ("film_area", "0.25 cm2"),
            ("film_thickness", "12 um"),
            ("porosity", "60 %"),
            ("cells", "3"),
            ("windows", "4"),
            ("overage", "50 %"),
            ("dosing", "ware"),
            ("step", "0.5 uL"),
            ("nominal", "5 uL"),
            ("permissible", "0.05 uL"),
        ],
        // 0.05/0.78
        expected: &[
            expect("planned_gap", "25 um", 1e-9),
            expect("free_volume", "0.78 uL", 1e-9),
            expect("prepare", "14.04 uL", 1e-9),
            expect("steps", "2", 0.0),
            expect("dose", "1 uL", 1e-12),
            expect("dose_error", "6.41025641025641 %", 1e-10),
        ],
        source: GEOMETRY,
    },
];

const GEOMETRY: Source = derived("Geometry of plates, window, frame and holes");

const PYTHON: Source = computed("geometry; Python 3.11 float64");

const HOLE_SOURCE: Source = computed(
    "geometry; Python 3.11 float64; a fill hole of about 0.5 mm was read in a methods section, 2.2 mm is a usual glass",
);

const PRESSES_TO: Source = memory(
    "lab practice: pressed at 100 °C to 120 °C, spacer films of 25 µm, 60 µm and 100 µm are 18 µm to 25 µm, 40 µm to 60 µm and \
     70 µm to 100 µm thick",
);

const PRESSING: Source = practice(
    "pressing thins a hot-melt spacer; by how much depends on temperature, pressure and time",
);

struct SpacerGap;

impl Formula for SpacerGap {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let gap = mean_gap(given);
        let creep = match given.get(&FRAME_WIDTH) {
            Some(width) => width * (given[&SPACER] / gap - 1.0) * 0.5,
            None => S::constant(0.0),
        };
        let window = window(given, creep)?;
        let (film, thickness) = (given[&FILM_AREA], given[&FILM_THICKNESS]);
        if film.value() > window.value() {
            let (left, narrower) = match given.get(&FRAME_WIDTH) {
                Some(_) => (" that the pressed frame leaves", ", a narrower frame"),
                None => ("", ""),
            };
            return Err(Problem::at(
                &FILM_AREA,
                "film_above_window",
                format!(
                    "The film ({}) is larger than the window ({}){left}: part of it would lie under the spacer.",
                    FILM_AREA.say(film.value()),
                    WINDOW_AREA.say(window.value())
                ),
                format!("Enter a larger window{narrower} or a smaller film area."),
            ));
        }
        if film.value() > 0.0 && thickness.value() > gap.value() {
            let thicker = sold(thickness.value(), gap.value() / given[&SPACER].value());
            return Err(Problem::at(
                &FILM_THICKNESS,
                "film_above_gap",
                format!(
                    "Spacer gap {} is thinner than the film ({}): the film would touch the counter electrode.",
                    GAP.say(gap.value()),
                    FILM_THICKNESS.say(thickness.value())
                ),
                match thicker {
                    Some(spacer) => format!(
                        "Use a thicker spacer, for example of {}, or fewer passes.",
                        SPACER.say(spacer)
                    ),
                    None => "Use a thicker spacer or fewer passes.".into(),
                },
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
        let fillings = given[&CELLS] * given.or(&WINDOWS, 1.0);
        found.set(&PREPARE, fillings * free * (given[&OVERAGE] + 1.0));
        found.set(&FREE_VOLUME, free);
        found.set(&OVER_FILM, over_film);
        found.set(&PORES, pores);
        found.set(&RIM, rim);
        found.set_some(&HOLE_VOLUME, holes);
        found.set(&GAP, gap);
        found.set(&WINDOW_AREA, window);
        match tilt(given) {
            Some(tilt) => {
                let least = gap - tilt * 0.5;
                if least.value() <= 0.0 {
                    return Err(crossed(given, gap.value(), tilt.value()));
                }
                found.set(&TILT, tilt);
                found.set(&LEAST_GAP, least);
            }
            None => found.set(&PLANNED_GAP, planned_gap(given)),
        }
        if let Some(width) = given.get(&FRAME_WIDTH) {
            let left = |distance| given.get(distance).map(|distance| distance - creep);
            found.set(&BEAD, width + creep * 2.0);
            found.set(&CREEP, creep);
            found.set_some(&FILM_LEFT, left(&CLEARANCE));
            found.set_some(&GLASS_LEFT, left(&GLASS_MARGIN));
        }
        if let Some(step) = given.get(&STEP) {
            let steps = given.once(|| Ok(steps(free.value(), step.value())))?;
            found.set(&DOSE, step * *steps);
            found.set(&STEPS, S::constant(*steps));
            let error = given.get(&PERMISSIBLE);
            found.set_some(&DOSE_ERROR, error.map(|error| error / free));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let checks = [
            pressing(given, found),
            bent(given),
            margin(given, found),
            fill_holes(found),
            beside(
                found,
                &FILM_LEFT,
                "bead_at_film",
                "film",
                "A wider window, a narrower frame",
            ),
            beside(
                found,
                &GLASS_LEFT,
                "bead_at_edge",
                "glass edge",
                "Larger glass, a narrower frame",
            ),
            dose(given, found),
            prepared(given, found),
            pipette(given, found),
        ];
        checks.into_iter().flatten().collect()
    }
}

fn circle<S: Scalar>(diameter: S) -> S {
    diameter.squared() * core::f64::consts::PI / 4.0
}

/// The window that is left when each of its edges has moved inwards.
fn window<S: Scalar>(given: &Given<'_, S>, creep: S) -> Result<S, Problem> {
    let open = |side: &'static Field| {
        let left = given[side] - creep * 2.0;
        if left.value() <= 0.0 {
            return Err(Problem::at(
                side,
                "window_closed",
                format!(
                    "Pressed, each edge of the frame moves inwards by {}: a window of {} closes.",
                    CREEP.say(creep.value()),
                    side.say(given[side].value())
                ),
                "Enter a larger window, a narrower frame or a spacer that is pressed less.",
            ));
        }
        Ok(left)
    };
    Ok(match given.choice(&WINDOW) {
        "circle" => circle(open(&DIAMETER)?),
        "area" => given[&AREA],
        _ => open(&WIDTH)? * open(&LENGTH)?,
    })
}

/// The gap as long as nothing is measured.
fn planned_gap<S: Scalar>(given: &Given<'_, S>) -> S {
    given[&SPACER] * given.or(&PRESSED_SHARE, 1.0)
}

/// The mean over the window, from the edges where they are measured one by one.
fn mean_gap<S: Scalar>(given: &Given<'_, S>) -> S {
    match given.choice(&EDGES) {
        "two" => (given[&EDGE_1] + given[&EDGE_2]) / 2.0,
        "four" => (given[&EDGE_1] + given[&EDGE_2] + given[&EDGE_3] + given[&EDGE_4]) / 4.0,
        _ => given.get(&PRESSED).unwrap_or(planned_gap(given)),
    }
}

/// Highest less lowest gap over the window, where the edges are measured one by one.
fn tilt<S: Scalar>(given: &Given<'_, S>) -> Option<S> {
    let across = given.get(&EDGE_1)? - given[&EDGE_2];
    let Some(third) = given.get(&EDGE_3) else {
        return Some(across.abs());
    };
    let along = third - given[&EDGE_4];
    // The root has no slope where all edges are alike. The sum has the same value there, and the uncertainty that it gives
    // is the root mean square of what the root may be.
    let alike = across.value() == 0.0 && along.value() == 0.0;
    Some(if given.choice(&WINDOW) == "circle" && !alike {
        (across.squared() + along.squared()).sqrt()
    } else {
        across.abs() + along.abs()
    })
}

/// Heights that plates cannot have which do not go through each other.
fn crossed<S: Scalar>(given: &Given<'_, S>, gap: f64, tilt: f64) -> Problem {
    let edges = [&EDGE_1, &EDGE_2, &EDGE_3, &EDGE_4];
    let height = |edge: &Field| {
        given
            .get(edge)
            .map_or(f64::INFINITY, |height| height.value())
    };
    let lowest = edges
        .into_iter()
        .min_by(|one, other| height(one).total_cmp(&height(other)));
    Problem::at(
        lowest.unwrap_or(&EDGE_1),
        "plates_cross",
        format!(
            "With a mean gap of {} and a difference of {} over the window, flat plates would cross.",
            GAP.say(gap),
            TILT.say(tilt)
        ),
        "Look at the heights of the edges again.",
    )
}

/// The thinnest spacer film sold that leaves room over a film, when such a share of it is left after pressing.
fn sold(film: f64, share: f64) -> Option<f64> {
    let room = |spacer: &f64| spacer * share - film >= NARROW * (1.0 - 1e-9);
    SOLD.into_iter().find(room)
}

/// Whole steps that hold a volume.
fn steps(volume: f64, step: f64) -> f64 {
    // Rounding must not ask for one step more.
    (volume / step * (1.0 - 1e-9)).ceil().max(1.0)
}

/// Whether the gap is the one that counts.
fn pressing(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (before, gap) = (given[&SPACER], found.get(&GAP)?);
    let measured = given.get(&PRESSED).or(given.get(&EDGE_1)).is_some();
    if !measured && given.get(&PRESSED_SHARE).is_some() {
        return Some(Check::note(
            "estimated_gap",
            format!(
                "The gap ({}) is an estimate. Measure the spacer after pressing and enter it.",
                GAP.say(gap)
            ),
            PRESSING,
        ));
    }
    if !measured {
        return Some(Check::note(
            "unpressed_spacer",
            "The gap is the spacer thickness before pressing. Pressing thins it: measure it afterwards and enter it.",
            PRESSING,
        ));
    }
    if gap > before {
        return Some(Check::warning(
            "spacer_grew",
            format!(
                "The spacer is thicker after pressing ({}) than before ({}): look at both values again.",
                GAP.say(gap),
                SPACER.say(before)
            ),
            PRESSING,
        ));
    }
    (gap < LEAST_LEFT * before).then(|| {
        Check::warning(
            "pressed_far",
            format!(
                "Of {} only {} are left after pressing; two thirds or more are usual. Look at both values again, or press \
                 less.",
                SPACER.say(before),
                GAP.say(gap)
            ),
            PRESSES_TO,
        )
    })
}

/// Whether the edges can be those of flat plates: the mean of either pair is the gap in the middle.
fn bent(given: &Given<'_, f64>) -> Option<Check> {
    let pair = |one, other| Some((given.get(one)? + given.get(other)?) / 2.0);
    let (first, second) = (pair(&EDGE_1, &EDGE_2)?, pair(&EDGE_3, &EDGE_4)?);
    ((first - second).abs() > BENT).then(|| {
        Check::note(
            "plates_bent",
            format!(
                "In the middle the gap is {} by one pair of edges and {} by the other: a plate is bent, or a height is off.",
                GAP.say(first),
                GAP.say(second)
            ),
            derived("flat plates: both pairs of opposite edges have one mean"),
        )
    })
}

/// How far the film is from the counter electrode.
fn margin(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let mean = found.get(&GAP)?;
    let gap = found.get(&LEAST_GAP).unwrap_or(mean);
    let thickness = given[&FILM_THICKNESS];
    let margin = gap - thickness;
    let rule = practice("leave at least 5 µm between film and counter electrode");
    if given[&FILM_AREA] == 0.0 {
        return None;
    }
    let between = GAP.say(margin);
    let advice = || match sold(thickness, mean / given[&SPACER]) {
        Some(spacer) if spacer > given[&SPACER] => {
            format!(
                " A spacer film of {} leaves more, pressed as much.",
                SPACER.say(spacer)
            )
        }
        _ => String::new(),
    };
    Some(if margin < 0.0 {
        Check::warning(
            "film_above_low_edge",
            format!(
                "At the low side of the window the gap is {}, less than the film ({}): where the film reaches that far, it \
                 touches the counter electrode. Press the cell again, evenly.",
                LEAST_GAP.say(gap),
                FILM_THICKNESS.say(thickness)
            ),
            GEOMETRY,
        )
    } else if margin < NARROW {
        Check::note(
            "narrow_gap",
            format!(
                "Only {between} lie between film and counter electrode; gap and film thickness may vary by as much.{}",
                advice()
            ),
            rule,
        )
    } else {
        let sentence = match given.get(&EDGE_1) {
            Some(_) => format!("Between film and counter electrode lie at least {between}."),
            None => format!("Between film and counter electrode lie {between}."),
        };
        Check::in_range("gap_over_film", sentence, rule)
    })
}

/// Whether the frame stays clear of what lies beside it.
fn beside(
    found: &Found<f64>,
    field: &'static Field,
    code: &'static str,
    what: &str,
    way_out: &str,
) -> Option<Check> {
    let (left, creep) = (found.get(field)?, found.get(&CREEP)?);
    (left < 0.0).then(|| {
        Check::warning(
            code,
            format!(
                "Pressed, each edge of the frame moves by {}, {} further than the {what} is away. {way_out} or less pressing \
                 helps.",
                CREEP.say(creep),
                field.say(-left)
            ),
            derived("constant volume of the spacer"),
        )
    })
}

/// Whether the ware suits the dose.
fn dose(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (dose, free) = (found.get(&DOSE)?, found.get(&FREE_VOLUME)?);
    let said = format!("The dose ({})", DOSE.say(dose));
    let holds = given.get(&NOMINAL);
    if let Some(holds) = holds.filter(|holds| dose > holds * (1.0 + 1e-9)) {
        return Some(Check::warning(
            "dose_above_ware",
            format!(
                "{said} is more than the ware holds ({}). Take a larger one, or fill in {} goes.",
                NOMINAL.say(holds),
                brief_text((dose / holds).ceil(), 6)
            ),
            DOSES,
        ));
    }
    if let Some(error) = found.get(&DOSE_ERROR).filter(|error| *error > ROUGH_DOSE) {
        return Some(Check::warning(
            "dose_rough",
            format!(
                "A dose may be off by {}, {} of the free volume ({}). Take finer ware.",
                PERMISSIBLE.say(given.or(&PERMISSIBLE, 0.0)),
                DOSE_ERROR.say(error),
                FREE_VOLUME.say(free)
            ),
            DOSES,
        ));
    }
    if let Some(holds) = holds.filter(|holds| dose < LOW_END * holds) {
        return Some(Check::warning(
            "dose_at_low_end",
            format!(
                "{said} is less than a tenth of what the ware holds ({}): it measures so little poorly. Take smaller ware.",
                NOMINAL.say(holds)
            ),
            DOSES,
        ));
    }
    let over = format!(
        "{said} is {}\u{202F}% more than the free volume",
        brief_text((100.0 * (dose / free - 1.0)).max(0.0), 2)
    );
    Some(if dose > COARSE * free {
        Check::warning(
            "step_coarse",
            format!(
                "{over}, since the least step is {}. Take finer ware, or fill in part of a step by eye.",
                STEP.say(given[&STEP])
            ),
            DOSES,
        )
    } else {
        Check::in_range("dose_suits", format!("{over}."), DOSES)
    })
}

/// Whether what is prepared lasts for the doses.
fn prepared(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (dose, prepared) = (found.get(&DOSE)?, found.get(&PREPARE)?);
    let needed = dose * given[&CELLS] * given.or(&WINDOWS, 1.0);
    (needed > prepared * (1.0 + 1e-9)).then(|| {
        Check::warning(
            "doses_above_prepared",
            format!(
                "All doses take {}, more than is prepared ({}). Raise the overage.",
                PREPARE.say(needed),
                PREPARE.say(prepared)
            ),
            GEOMETRY,
        )
    })
}

/// What a piston pipette of the table is off by, where the ware has no permissible error yet.
fn pipette(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (dose, free) = (found.get(&DOSE)?, found.get(&FREE_VOLUME)?);
    if given.get(&PERMISSIBLE).is_some() {
        return None;
    }
    let fits = |ware: &&Ware| ware.kind == WareKind::PistonPipette && ware.nominal >= dose;
    let smallest = WARE
        .iter()
        .filter(fits)
        .min_by(|one, other| one.nominal.total_cmp(&other.nominal))?;
    Some(Check::note(
        "pipette_limit",
        format!(
            "No permissible error is entered. A {} may be off by {} at any setting: {} of the free volume.",
            smallest.title,
            PERMISSIBLE.say(smallest.limit),
            DOSE_ERROR.say(smallest.limit / free)
        ),
        smallest.source,
    ))
}

const DOSES: Source = practice(
    "a dose is good to a tenth of the free volume, and not below a tenth of what the ware holds",
);

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
