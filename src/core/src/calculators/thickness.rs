//! # What it computes
//! How thick a printed film is after so many passes, or how many passes a target thickness takes: from the volume
//! of a drop and the pitch of the drops, or from measured pairs of passes and thickness. With the density of the
//! solid and the area, also the mass of the film and the ink it takes.
//!
//! # Formulas
//! From drops: wet thickness of one pass w = V_d/(p_x·p_y), thickness of one pass b = w·φ/(1 − P), pitch 25.4 mm over
//! the dots per inch. From pairs: straight line t = a + b·n by least squares, weights 1/u² where the thicknesses have
//! an uncertainty. Then t = a + b·n, n = (t − a)/b, areal mass t·(1 − P)·ρ, ink V = A·t·(1 − P)/φ.
//!
//! # Symbols and units
//! V_d drop volume (m³); p_x, p_y pitch (m) along and across the print direction, r_x, r_y the same as drops per
//! length (1/m); φ volume fraction of solid in the ink (1); P porosity of the fired film (1); n passes (1); a
//! thickness at no passes (m), b thickness of one pass (m); t thickness (m); ρ density of the solid (kg/m³); A film
//! area (m²).
//!
//! # Valid range
//! Whole passes; solids above 0; porosity below 1; at least two pairs at different passes for a line with an
//! intercept, one for a line through the origin; a line that rises where passes are asked for.
//!
//! # Assumptions
//! Every drop lands in the film, all solid stays, all liquid goes, every pass adds the same. Passes are exact; the
//! uncertainties of the thicknesses are independent and are taken as stated, not scaled to the scatter. Without
//! stated uncertainties the scatter about the line takes their place. When passes are found, the number to print is
//! rounded to a whole one, which carries no uncertainty of its own.
//!
//! # Sources
//! Conservation of the volume of the solid; 1 in = 25.4 mm by definition; weighted least squares; the distribution of
//! chi-squared has mean ν and variance 2ν.
//!
//! # Worked example
//! Drops of 10 pL at a pitch of 20 µm lie 25 µm thick when wet; with 1 % of solid by volume and no pores one pass
//! leaves 0.25 µm.

use super::straight_line::{self, Quality, Words};
use super::*;
use crate::numerics::line::{self, Line, LineError};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice, read};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FROM: Field = choice(
    "from",
    "Thickness",
    &[
        option("drops", "from drops"),
        option("pairs", "from measured pairs"),
    ],
);
static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("thickness", "thickness of given passes"),
        option("passes", "passes for a target thickness"),
    ],
);
static PASSES: Field = count("passes", "Passes").symbol("n");
static TARGET: Field = quantity("target", "Target thickness", Kind::Length)
    .symbol("t₀")
    .units(&["um", "nm"])
    .positive();
static TOLERANCE: Field = quantity("tolerance", "Tolerance of the target", Kind::Length)
    .symbol("Δt")
    .help("How far the thickness may lie above or below the target.")
    .units(&["um", "nm"])
    .not_negative()
    .optional();
static DROP_VOLUME: Field = quantity("drop_volume", "Drop volume", Kind::Volume)
    .symbol("V_d")
    .units(&["pL", "nL"])
    .positive();
static PITCH_AS: Field = choice(
    "pitch_as",
    "Pitch",
    &[
        option("length", "as a length"),
        option("resolution", "as dots per inch"),
    ],
);
static PITCH_X: Field = quantity("pitch_x", "Pitch along the print direction", Kind::Length)
    .symbol("pₓ")
    .units(&["um", "mm"])
    .positive();
static PITCH_Y: Field = quantity("pitch_y", "Pitch across the print direction", Kind::Length)
    .symbol("p_y")
    .units(&["um", "mm"])
    .positive();
static RESOLUTION_X: Field = quantity(
    "resolution_x",
    "Resolution along the print direction",
    Kind::PrintResolution,
)
.symbol("rₓ")
.units(&["/[in_i]", "mm-1"])
.positive();
static RESOLUTION_Y: Field = quantity(
    "resolution_y",
    "Resolution across the print direction",
    Kind::PrintResolution,
)
.symbol("r_y")
.units(&["/[in_i]", "mm-1"])
.positive();
static SOLIDS: Field = quantity(
    "solids",
    "Solid in the ink, by volume",
    Kind::VolumeFraction,
)
.symbol("φ")
.help("Volume of solid per volume of ink.")
.units(&["%", "1"])
.range(Range {
    from: 0.0,
    to: 1.0,
    above: true,
    below: false,
});
static POROSITY: Field = porosity();
/// From measured pairs the thickness is known without it; only the mass needs it.
static POROSITY_FOR_MASS: Field = porosity().optional();
static DENSITY: Field = quantity("density", "Density of the solid", Kind::Density)
    .symbol("ρ")
    .help("For the mass of the film: the density of the solid itself, without pores.")
    .units(&["g/cm3", "kg/m3"])
    .positive()
    .optional();
static AREA: Field = quantity("area", "Film area", Kind::Area)
    .symbol("A")
    .help("For the mass of the film and the ink it takes.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
static LINE: Field = choice(
    "line",
    "Straight line",
    &[
        option("origin", "through the origin"),
        option("intercept", "with an intercept"),
    ],
);
static PAIRS: Field = table(
    "pairs",
    "Measured pairs",
    &[&PAIR_LABEL, &PAIR_PASSES, &PAIR_THICKNESS],
);
static PAIR_LABEL: Field = text("label", "Sample").optional().measured();
static PAIR_PASSES: Field = count("passes", "Passes")
    .range(Range {
        from: 0.0,
        to: 1e6,
        above: false,
        below: false,
    })
    .measured();
static PAIR_THICKNESS: Field = quantity("thickness", "Measured thickness", Kind::Length)
    .units(&["um", "nm"])
    .weighing()
    .measured();

static THICKNESS: Field = quantity("thickness", "Film thickness", Kind::Length)
    .symbol("t")
    .units(&["um", "nm"]);
static PASSES_TO_PRINT: Field = count("passes_to_print", "Passes to print").symbol("N");
static PASSES_EXACT: Field = quantity(
    "passes_exact",
    "Passes for the target, unrounded",
    Kind::Ratio,
)
.symbol("n₀");
static NEIGHBOURS: Field = table(
    "neighbours",
    "Whole passes below and above",
    &[&PASSES, &THICKNESS],
);
static PER_PASS: Field = quantity("per_pass", "Thickness of one pass", Kind::Length)
    .symbol("b")
    .units(&["um", "nm"]);
static INTERCEPT: Field = quantity("intercept", "Thickness at no passes", Kind::Length)
    .symbol("a")
    .help("Zero for a line through the origin.")
    .units(&["um", "nm"]);
static WET_PER_PASS: Field = quantity("wet_per_pass", "Wet thickness of one pass", Kind::Length)
    .symbol("w")
    .units(&["um", "nm"]);
static DROPS_PER_AREA: Field = quantity("drops_per_area", "Drops per area", Kind::PerArea)
    .symbol("N_d")
    .units(&["cm-2"]);
static AREAL_MASS: Field = quantity("areal_mass", "Solid per area", Kind::ArealMass)
    .symbol("m_A")
    .units(&["mg/cm2", "ug/cm2"]);
static FILM_MASS: Field = quantity("film_mass", "Mass of the film", Kind::Mass)
    .symbol("m")
    .units(&["mg", "ug"]);
static INK: Field = quantity("ink_volume", "Ink for the film", Kind::Volume)
    .symbol("V")
    .units(&["uL", "nL", "mL"]);
static PASSES_LINE: Field = curve(
    "passes_line",
    "Thickness against passes",
    &PASSES,
    &THICKNESS,
);

const fn porosity() -> Field {
    quantity("porosity", "Porosity of the fired film", Kind::Ratio)
        .symbol("P")
        .help("Share of the film that is pores.")
        .units(&["%", "1"])
        .range(Range {
            from: 0.0,
            to: 1.0,
            above: false,
            below: true,
        })
}

/// Thickness of a printed film from its passes, and the other way round.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "thickness",
    version: 1,
    stage: Stage::Layers,
    title: "Thickness from passes",
    purpose: "How thick so many passes print, or how many passes a target thickness takes.",
    inputs: &[
        show(&FROM),
        show(&FIND),
        show(&PASSES).when(&FIND, &["thickness"]),
        show(&TARGET).when(&FIND, &["passes"]),
        show(&TOLERANCE).when(&FIND, &["passes"]),
        show(&DROP_VOLUME).when(&FROM, &["drops"]),
        show(&PITCH_AS).when(&FROM, &["drops"]),
        show(&PITCH_X).when(&FROM, &["drops"]).when(&PITCH_AS, &["length"]),
        show(&PITCH_Y).when(&FROM, &["drops"]).when(&PITCH_AS, &["length"]),
        show(&RESOLUTION_X).when(&FROM, &["drops"]).when(&PITCH_AS, &["resolution"]),
        show(&RESOLUTION_Y).when(&FROM, &["drops"]).when(&PITCH_AS, &["resolution"]),
        show(&SOLIDS).when(&FROM, &["drops"]),
        show(&LINE).when(&FROM, &["pairs"]),
        show(&PAIRS).when(&FROM, &["pairs"]),
        show(&POROSITY).when(&FROM, &["drops"]),
        show(&POROSITY_FOR_MASS).when(&FROM, &["pairs"]),
        show(&DENSITY),
        show(&AREA),
    ],
    outputs: &[
        show(&PASSES_TO_PRINT).when(&FIND, &["passes"]),
        show(&THICKNESS),
        show(&PASSES_EXACT).when(&FIND, &["passes"]),
        show(&NEIGHBOURS).when(&FIND, &["passes"]),
        show(&PER_PASS),
        show(&INTERCEPT).when(&FROM, &["pairs"]),
        show(&WET_PER_PASS).when(&FROM, &["drops"]),
        show(&PITCH_X).when(&FROM, &["drops"]).when(&PITCH_AS, &["resolution"]),
        show(&PITCH_Y).when(&FROM, &["drops"]).when(&PITCH_AS, &["resolution"]),
        show(&DROPS_PER_AREA).when(&FROM, &["drops"]),
        show(&AREAL_MASS),
        show(&FILM_MASS),
        show(&INK).when(&FROM, &["drops"]),
        show(&PASSES_LINE),
    ],
    working: &[
        formula("pitch_x = 1 / resolution_x")
            .when(&FROM, &["drops"])
            .when(&PITCH_AS, &["resolution"]),
        formula("pitch_y = 1 / resolution_y")
            .when(&FROM, &["drops"])
            .when(&PITCH_AS, &["resolution"]),
        formula("drops_per_area = 1 / (pitch_x * pitch_y)").when(&FROM, &["drops"]),
        formula("wet_per_pass = drop_volume / (pitch_x * pitch_y)").when(&FROM, &["drops"]),
        formula("per_pass = wet_per_pass * solids / (1 - porosity)").when(&FROM, &["drops"]),
        method(
            "Straight line through the measured pairs by least squares, each thickness weighted with 1/u² where its \
             standard uncertainty u is stated, all alike otherwise.",
        )
        .gives(&[&PER_PASS, &INTERCEPT])
        .when(&FROM, &["pairs"]),
        formula("passes_exact = target / per_pass")
            .when(&FROM, &["drops"])
            .when(&FIND, &["passes"]),
        formula("passes_exact = (target - intercept) / per_pass")
            .when(&FROM, &["pairs"])
            .when(&FIND, &["passes"]),
        method("The passes to print are the nearest whole number, at least one.")
            .when(&FIND, &["passes"]),
        formula("passes_to_print = max(1, round(passes_exact))").when(&FIND, &["passes"]),
        formula("thickness = passes * per_pass")
            .when(&FROM, &["drops"])
            .when(&FIND, &["thickness"]),
        formula("thickness = passes_to_print * per_pass")
            .when(&FROM, &["drops"])
            .when(&FIND, &["passes"]),
        formula("thickness = intercept + passes * per_pass")
            .when(&FROM, &["pairs"])
            .when(&FIND, &["thickness"]),
        formula("thickness = intercept + passes_to_print * per_pass")
            .when(&FROM, &["pairs"])
            .when(&FIND, &["passes"]),
        method("The whole passes below and above the unrounded number have the thickness that the formula above gives them.")
            .gives(&[&NEIGHBOURS])
            .when(&FIND, &["passes"]),
        method("The line is drawn from no passes to the passes above, or to the most that were measured.")
            .gives(&[&PASSES_LINE]),
        formula("areal_mass = thickness * (1 - porosity) * density"),
        formula("film_mass = areal_mass * area"),
        formula("ink_volume = area * thickness * (1 - porosity) / solids").when(&FROM, &["drops"]),
    ],
    sources: &[
        VOLUME_BALANCE,
        derived("1 in = 25.4 mm by definition"),
        derived("Weighted least squares for a straight line; chi-squared has mean ν and variance 2ν"),
    ],
    hazards: &[
        Hazard {
            what: "Hot plate and furnace",
            caution: "Firing burns skin and drives off fumes of solvent and binder. Extract them, use tongs and \
                      heat-proof gloves, and let substrates cool.",
        },
        Hazard {
            what: "Nanopowder and mist",
            caution: "Fine oxide must not be breathed in: keep powders and dry residues from becoming airborne, wipe \
                      wet, and do not brush or blow.",
        },
        Hazard {
            what: "Solvent vapour at the print head",
            caution: "Ink solvents may burn or harm when breathed in. Ventilate, and keep sparks and flames away.",
        },
    ],
    formula: both::<Thickness>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "one pass of a dense film",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("solids", "1 %"),
            ("porosity", "0"),
        ],
        expected: &[
            expect("wet_per_pass", "25 um", 5e-6),
            expect("thickness", "0.25 um", 5e-7),
        ],
        source: PYTHON,
    },
    Case {
        title: "10 % of titanium dioxide in water, by mass, with the mass of the film and the ink for it",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("solids", "2.76891 %"),
            ("porosity", "60 %"),
            ("density", "3.89 g/cm3"),
            ("area", "0.25 cm2"),
        ],
        // The solids are printed to six digits: 2e-6 of everything that follows.
        expected: &[
            expect("wet_per_pass", "25 um", 5e-6),
            expect("thickness", "1.730566 um", 4e-6),
            expect("areal_mass", "0.269276 mg/cm2", 1e-6),
            expect("film_mass", "0.067319 mg", 5e-7),
            expect("ink_volume", "0.625 uL", 5e-6),
        ],
        source: PYTHON,
    },
    Case {
        title: "six passes at 600 dots per inch",
        inputs: &[
            ("passes", "6"),
            ("drop_volume", "30 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "600 dpi"),
            ("resolution_y", "600 dpi"),
            ("solids", "4.54677 %"),
            ("porosity", "60 %"),
        ],
        // The thicknesses were computed from the rounded pitch and solids: 3e-6 of their value.
        expected: &[
            expect("pitch_x", "42.3333 um", 5e-5),
            expect("drops_per_area", "55800.1 cm-2", 0.05),
            expect("wet_per_pass", "16.74006 um", 5e-5),
            expect("thickness", "11.416972 um", 4e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "three passes at 360 dots per inch",
        inputs: &[
            ("passes", "3"),
            ("drop_volume", "80 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "360 dpi"),
            ("resolution_y", "360 dpi"),
            ("solids", "2.19304 %"),
            ("porosity", "50 %"),
        ],
        // As above, 4e-6 of their value.
        expected: &[
            expect("pitch_y", "70.5556 um", 5e-5),
            expect("drops_per_area", "20088.0 cm-2", 0.5),
            expect("wet_per_pass", "16.07041 um", 5e-5),
            expect("thickness", "2.114587 um", 1e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "copper oxide ink, 16 % by mass",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("solids", "3.06984 %"),
            ("porosity", "0"),
        ],
        expected: &[expect("thickness", "0.76746 um", 2e-6)],
        source: computed(
            "volume balance, Python 3.11 float64; solids and drop of a published copper oxide ink, density of the \
                 liquid assumed",
        ),
    },
    Case {
        title: "unequal dots per inch along and across",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "1270 dpi"),
            ("resolution_y", "720 dpi"),
            ("solids", "5 %"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("pitch_x", "20.0 um", 5e-5),
            expect("pitch_y", "35.2778 um", 5e-5),
        ],
        source: INCH,
    },
    Case {
        title: "2540 and 300 dots per inch",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "2540 dpi"),
            ("resolution_y", "300 dpi"),
            ("solids", "5 %"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("pitch_x", "10.0 um", 5e-5),
            expect("pitch_y", "84.6667 um", 5e-5),
        ],
        source: INCH,
    },
    Case {
        title: "passes for a target thickness, the six passes turned round",
        inputs: &[
            ("find", "passes"),
            ("target", "11.416972 um"),
            ("tolerance", "1 um"),
            ("drop_volume", "30 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "600 dpi"),
            ("resolution_y", "600 dpi"),
            ("solids", "4.54677 %"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("passes_exact", "6", 1e-5),
            expect("passes_to_print", "6", 0.0),
            expect("thickness", "11.416972 um", 4e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "porosity from weighing, turned round: the mass of a film of known porosity",
        inputs: &[
            ("from", "pairs"),
            ("passes", "1"),
            ("pairs.a.passes", "1"),
            ("pairs.a.thickness", "10 um"),
            ("porosity", "59.928 %"),
            ("density", "3.893 g/cm3"),
            ("area", "0.25 cm2"),
        ],
        expected: &[expect("film_mass", "0.39 mg", 5e-6)],
        source: computed("geometry, Python 3.11 float64"),
    },
    Case {
        title: "weighted line with an intercept; the published readings taken as micrometres",
        inputs: CALIBRATION_WEIGHTED,
        expected: &[
            expect("per_pass", "0.0738 um", 5e-5),
            expect("intercept", "0.0091 um", 5e-5),
        ],
        source: memory(
            "Miller and Miller, Statistics and Chemometrics for Analytical Chemistry, ch. 5, weighted regression; \
                 reproduced with numpy and scipy",
        ),
    },
    Case {
        title: "the same weighted line, to all digits",
        inputs: CALIBRATION_WEIGHTED,
        expected: &[
            expect("per_pass", "0.0737599662370502 um", 1e-10),
            expect("intercept", "0.009083907773170434 um", 1e-11),
        ],
        source: SCIPY,
    },
    Case {
        title: "passes for a target on the same weighted line",
        inputs: &[
            ("from", "pairs"),
            ("find", "passes"),
            ("target", "0.600 um"),
            ("line", "intercept"),
            ("pairs.a.passes", "0"),
            ("pairs.a.thickness", "0.009 ± 0.001 um"),
            ("pairs.b.passes", "2"),
            ("pairs.b.thickness", "0.158 ± 0.004 um"),
            ("pairs.c.passes", "4"),
            ("pairs.c.thickness", "0.301 ± 0.010 um"),
            ("pairs.d.passes", "6"),
            ("pairs.d.thickness", "0.472 ± 0.013 um"),
            ("pairs.e.passes", "8"),
            ("pairs.e.thickness", "0.577 ± 0.017 um"),
            ("pairs.f.passes", "10"),
            ("pairs.f.thickness", "0.739 ± 0.022 um"),
        ],
        expected: &[
            expect("passes_exact", "8.011338973878324", 1e-8),
            expect("passes_to_print", "8", 0.0),
        ],
        source: SCIPY,
    },
    Case {
        title: "the same readings without uncertainties: unweighted",
        inputs: &[
            ("from", "pairs"),
            ("passes", "10"),
            ("line", "intercept"),
            ("pairs.a.passes", "0"),
            ("pairs.a.thickness", "0.009 um"),
            ("pairs.b.passes", "2"),
            ("pairs.b.thickness", "0.158 um"),
            ("pairs.c.passes", "4"),
            ("pairs.c.thickness", "0.301 um"),
            ("pairs.d.passes", "6"),
            ("pairs.d.thickness", "0.472 um"),
            ("pairs.e.passes", "8"),
            ("pairs.e.thickness", "0.577 um"),
            ("pairs.f.passes", "10"),
            ("pairs.f.thickness", "0.739 um"),
        ],
        expected: &[
            expect("per_pass", "0.07254285714285713 um", 1e-10),
            expect("intercept", "0.01328571428571429 um", 1e-11),
        ],
        source: SCIPY,
    },
    Case {
        title: "line with an intercept through eleven points; exam scores taken as micrometres",
        inputs: &[
            ("from", "pairs"),
            ("passes", "66"),
            ("line", "intercept"),
            ("pairs.a.passes", "65"),
            ("pairs.a.thickness", "175 um"),
            ("pairs.b.passes", "67"),
            ("pairs.b.thickness", "133 um"),
            ("pairs.c.passes", "71"),
            ("pairs.c.thickness", "185 um"),
            ("pairs.d.passes", "71"),
            ("pairs.d.thickness", "163 um"),
            ("pairs.e.passes", "66"),
            ("pairs.e.thickness", "126 um"),
            ("pairs.f.passes", "75"),
            ("pairs.f.thickness", "198 um"),
            ("pairs.g.passes", "67"),
            ("pairs.g.thickness", "153 um"),
            ("pairs.h.passes", "70"),
            ("pairs.h.thickness", "163 um"),
            ("pairs.i.passes", "71"),
            ("pairs.i.thickness", "159 um"),
            ("pairs.j.passes", "69"),
            ("pairs.j.thickness", "151 um"),
            ("pairs.k.passes", "69"),
            ("pairs.k.thickness", "159 um"),
        ],
        expected: &[
            expect("per_pass", "4.83 um", 0.005),
            expect("intercept", "-173.51 um", 0.005),
            // With unrounded coefficients; the book rounds them first and prints 145.27.
            expect("thickness", "145.0946547884187 um", 1e-7),
        ],
        source: read(
            "OpenStax Introductory Statistics 2e, Examples 12.6 and 12.11; thickness computed with numpy",
        ),
    },
    Case {
        title: "line through the origin; certified data set NoInt2 taken as micrometres",
        inputs: &[
            ("from", "pairs"),
            ("passes", "5"),
            ("line", "origin"),
            ("pairs.a.passes", "4"),
            ("pairs.a.thickness", "3 um"),
            ("pairs.b.passes", "5"),
            ("pairs.b.thickness", "4 um"),
            ("pairs.c.passes", "6"),
            ("pairs.c.thickness", "4 um"),
        ],
        expected: &[
            expect("per_pass", "0.727272727272727 um", 1e-9),
            expect("intercept", "0 um", 0.0),
        ],
        source: read("NIST Statistical Reference Datasets, linear least squares, NoInt2"),
    },
];

const VOLUME_BALANCE: Source = derived("Conservation of the volume of the solid");
const PYTHON: Source = computed("volume balance, Python 3.11 float64");
const INCH: Source = computed("25.4 mm over the dots per inch, Python 3.11 float64");
const SCIPY: Source = computed(
    "numpy and scipy, on the weighted regression example of Miller and Miller, ch. 5 (readings from memory)",
);

const CALIBRATION_WEIGHTED: &[(&str, &str)] = &[
    ("from", "pairs"),
    ("passes", "10"),
    ("line", "intercept"),
    ("pairs.a.passes", "0"),
    ("pairs.a.thickness", "0.009 ± 0.001 um"),
    ("pairs.b.passes", "2"),
    ("pairs.b.thickness", "0.158 ± 0.004 um"),
    ("pairs.c.passes", "4"),
    ("pairs.c.thickness", "0.301 ± 0.010 um"),
    ("pairs.d.passes", "6"),
    ("pairs.d.thickness", "0.472 ± 0.013 um"),
    ("pairs.e.passes", "8"),
    ("pairs.e.thickness", "0.577 ± 0.017 um"),
    ("pairs.f.passes", "10"),
    ("pairs.f.thickness", "0.739 ± 0.022 um"),
];

const WORDS: Words = Words {
    points: "pairs",
    y: &PAIR_THICKNESS,
    one: "thickness",
    many: "thicknesses",
    bent: "the film does not grow along a straight line",
};

/// A bound of the passes inside a tolerance that is met to the last digits counts as met.
const SAME: f64 = 1e-9;

struct Thickness;

impl Formula for Thickness {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let growth = if given.choice(&FROM) == "pairs" {
            let growth = Pairs::read(given)?.line(given)?;
            found.set(&INTERCEPT, growth.intercept);
            growth
        } else {
            from_drops(given, &mut found)
        };
        found.set(&PER_PASS, growth.slope);

        let passes = if given.choice(&FIND) == "passes" {
            let exact = passes_for_target(given, &growth)?;
            let whole = exact.value().round().max(1.0);
            found.set(&PASSES_TO_PRINT, S::constant(whole));
            found.set(&PASSES_EXACT, exact);
            found.set_rows(&NEIGHBOURS, neighbours(&growth, exact.value()));
            S::constant(whole)
        } else {
            given[&PASSES]
        };
        let thickness = growth.at(passes);
        found.set(&THICKNESS, thickness);
        found.set_curve(&PASSES_LINE, drawn(&growth, given, passes.value()));

        let area = given.get(&AREA);
        // The share of the film that is solid; both outputs below need it.
        let solid = given
            .get(&POROSITY)
            .map(|porosity| thickness * one_minus(porosity));
        let areal_mass = solid
            .zip(given.get(&DENSITY))
            .map(|(solid, density)| solid * density);
        found.set_some(&AREAL_MASS, areal_mass);
        found.set_some(
            &FILM_MASS,
            areal_mass.zip(area).map(|(mass, area)| mass * area),
        );
        let ink = solid.zip(given.get(&SOLIDS)).zip(area);
        found.set_some(
            &INK,
            ink.map(|((solid, solids), area)| area * solid / solids),
        );
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        if given.choice(&FROM) != "pairs" {
            return Ok(None);
        }
        let pairs = Pairs::read(given)?;
        Ok(pairs.quality(&pairs.line(given)?).scatter())
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        checks.extend(tolerance(given, found));
        if given.choice(&FROM) == "pairs"
            && let Ok(pairs) = Pairs::read(given)
            && let Ok(line) = pairs.line(given)
        {
            let fit = pairs.quality(&line);
            checks.push(fit.spread(&WORDS));
            checks.extend(first_pass(&fit, &line));
            checks.extend(growth(&fit, &line));
            checks.extend(pairs.reach(given, found));
        }
        checks.extend(usual_porosity(given));
        checks
    }
}

fn one_minus<S: Scalar>(x: S) -> S {
    -x + 1.0
}

/// The growth of the film with the passes, from the drops.
fn from_drops<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Line<S> {
    let [x, y] = if given.choice(&PITCH_AS) == "resolution" {
        let [x, y] = [&RESOLUTION_X, &RESOLUTION_Y].map(|r| S::constant(1.0) / given[r]);
        found.set(&PITCH_X, x);
        found.set(&PITCH_Y, y);
        [x, y]
    } else {
        [given[&PITCH_X], given[&PITCH_Y]]
    };
    let wet = given[&DROP_VOLUME] / (x * y);
    found.set(&WET_PER_PASS, wet);
    found.set(&DROPS_PER_AREA, S::constant(1.0) / (x * y));
    Line {
        intercept: S::constant(0.0),
        slope: wet * given[&SOLIDS] / one_minus(given[&POROSITY]),
    }
}

/// The passes, not rounded, that reach the target.
fn passes_for_target<S: Scalar>(given: &Given<'_, S>, growth: &Line<S>) -> Result<S, Problem> {
    let (target, start) = (given[&TARGET], growth.intercept.value());
    if growth.slope.value() <= 0.0 {
        return Err(Problem::at(
            &PAIRS,
            "no_growth",
            format!(
                "The line does not rise ({} a pass): no number of passes reaches a thickness.",
                PER_PASS.say(growth.slope.value())
            ),
            "Look at the pairs again: more passes should be thicker.",
        ));
    }
    if target.value() <= start {
        return Err(Problem::at(
            &TARGET,
            "target_below_intercept",
            format!(
                "The target ({}) is not above the thickness at no passes ({}).",
                TARGET.say(target.value()),
                INTERCEPT.say(start)
            ),
            "Enter a thicker target, or use a line through the origin.",
        ));
    }
    Ok(growth.inverse(target))
}

/// The whole passes on either side, with their thicknesses: always two rows.
fn neighbours<S: Scalar>(growth: &Line<S>, exact: f64) -> Vec<FoundRow<S>> {
    let below = (exact + SAME).floor();
    let row = |(id, passes): (&str, f64)| {
        let passes = S::constant(passes);
        FoundRow {
            id: id.into(),
            cells: vec![(&PASSES, passes), (&THICKNESS, growth.at(passes))],
        }
    };
    [("below", below), ("above", below + 1.0)].map(row).into()
}

/// The line from no passes to the last that matters.
fn drawn<S: Scalar>(growth: &Line<S>, given: &Given<'_, S>, passes: f64) -> Points {
    let measured = given.rows(&PAIRS).map(|(_, row)| row[&PAIR_PASSES].value());
    let end = measured.fold(passes, f64::max);
    let x = vec![0.0, end];
    let y = x
        .iter()
        .map(|&x| growth.at(S::constant(x)).value())
        .collect();
    Points { x, y }
}

/// The measured pairs, column by column.
struct Pairs<S> {
    passes: Vec<S>,
    thickness: Vec<S>,
    /// 1/u²; empty where no thickness has an uncertainty.
    weights: Vec<f64>,
    /// Whether the line has an intercept.
    free: bool,
}

impl<S: Scalar> Pairs<S> {
    fn read(given: &Given<'_, S>) -> Result<Self, Problem> {
        let rows = || given.rows(&PAIRS).map(|(_, row)| row);
        let uncertainties: Vec<f64> = rows().map(|row| row.uncertainty(&PAIR_THICKNESS)).collect();
        Ok(Pairs {
            passes: rows().map(|row| row[&PAIR_PASSES]).collect(),
            thickness: rows().map(|row| row[&PAIR_THICKNESS]).collect(),
            weights: straight_line::weights(&PAIRS, &WORDS, &uncertainties)?,
            free: given.choice(&LINE) == "intercept",
        })
    }

    /// The fitted line, with the corrections of estimate zero that stand for the scatter of the points.
    fn line(&self, given: &Given<'_, S>) -> Result<Line<S>, Problem> {
        let (x, y, w) = (&self.passes, &self.thickness, &self.weights);
        if self.free {
            let line = line::fit(x, y, w).map_err(|error| self.problem(error))?;
            return Ok(Line {
                intercept: line.intercept + given.scatter(0),
                slope: line.slope + given.scatter(1),
            });
        }
        let slope = line::fit_through_origin(x, y, w).map_err(|error| self.problem(error))?;
        Ok(Line {
            intercept: S::constant(0.0),
            slope: slope + given.scatter(0),
        })
    }

    fn problem(&self, error: LineError) -> Problem {
        let passes = self.passes.first().map_or(0.0, |first| first.value());
        let (code, sentence, hint) = match error {
            LineError::TooFewPoints { needed, given } => (
                "too_few_pairs",
                format!("A line with an intercept needs at least {needed} pairs; {given} entered."),
                "Enter more pairs, or use a line through the origin.",
            ),
            LineError::AllSameAbscissa => (
                "same_passes",
                format!(
                    "All pairs have the same number of passes ({passes}): they define no slope."
                ),
                "Enter pairs at two or more numbers of passes, or use a line through the origin.",
            ),
            LineError::AllZeroAbscissa => (
                "no_passes",
                "All pairs have 0 passes: they define no slope.".into(),
                "Enter at least one pair with 1 pass or more.",
            ),
            other => (
                "no_line",
                other.to_string(),
                "Look for a very large or very small number among the pairs.",
            ),
        };
        Problem::at(&PAIRS, code, sentence, hint)
    }
}

impl Pairs<f64> {
    /// How well the line describes the pairs.
    fn quality(&self, line: &Line<f64>) -> Quality {
        let (x, y, w) = (&self.passes, &self.thickness, &self.weights);
        let (residual_sum, degrees_of_freedom, covariance) = if self.free {
            let fit = line::statistics(x, y, w, line);
            let covariance = fit.covariance.map(|row| row.to_vec()).to_vec();
            (fit.residual_sum, fit.degrees_of_freedom, covariance)
        } else {
            let fit = line::statistics_through_origin(x, y, w, line.slope);
            (
                fit.residual_sum,
                fit.degrees_of_freedom,
                vec![vec![fit.variance]],
            )
        };
        Quality::new(
            residual_sum,
            degrees_of_freedom,
            covariance,
            !self.weights.is_empty(),
        )
    }

    /// Whether the passes in question lie among the measured ones.
    fn reach(&self, given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
        let passes = found.get(&PASSES_TO_PRINT).or(given.get(&PASSES))?;
        let origin = (!self.free).then_some(0.0);
        let anchors = || self.passes.iter().copied().chain(origin);
        let from = anchors().fold(f64::INFINITY, f64::min);
        let to = anchors().fold(f64::NEG_INFINITY, f64::max);
        (passes < from || passes > to).then(|| {
            Check::note(
                "extrapolated",
                format!(
                    "{} outside the measured range ({from} to {to}): the line is continued.",
                    counted(passes, "lies", "lie")
                ),
                practice("trust a fitted line only where it was measured"),
            )
        })
    }
}

/// Whether the intercept is compatible with zero.
fn first_pass(fit: &Quality, line: &Line<f64>) -> Option<Check> {
    let [first, _] = fit.covariance.as_slice() else {
        return None;
    };
    let u = first[0].sqrt();
    if !u.is_finite() {
        return None;
    }
    let rule = practice("two standard uncertainties tell a value from zero");
    let intercept = format!("{} ± {}", INTERCEPT.say(line.intercept), INTERCEPT.say(u));
    Some(if Scalar::abs(line.intercept) <= 2.0 * u {
        Check::in_range(
            "intercept",
            format!("The thickness at no passes ({intercept}) is compatible with zero."),
            rule,
        )
    } else {
        Check::note(
            "intercept",
            format!(
                "The thickness at no passes ({intercept}) differs from zero by more than 2 u: the first pass is \
                 not like the others, or the zero of the measurement is off."
            ),
            rule,
        )
    })
}

/// Whether the film grows at all.
fn growth(fit: &Quality, line: &Line<f64>) -> Option<Check> {
    let u = fit.slope_uncertainty();
    (u.is_finite() && line.slope <= 2.0 * u).then(|| {
        Check::warning(
            "no_clear_growth",
            format!(
                "The thickness of one pass ({} ± {}) is not clearly above zero.",
                PER_PASS.say(line.slope),
                PER_PASS.say(u)
            ),
            practice("two standard uncertainties tell a value from zero"),
        )
    })
}
/// Which whole numbers of passes fall inside the tolerance.
fn tolerance(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (target, tolerance) = (given.get(&TARGET)?, given.get(&TOLERANCE)?);
    let growth = Line {
        intercept: found.get(&INTERCEPT).unwrap_or(0.0),
        slope: found.get(&PER_PASS)?,
    };
    let least = (growth.inverse(target - tolerance) - SAME).ceil().max(1.0);
    let most = (growth.inverse(target + tolerance) + SAME).floor();
    let wanted = format!("{} ± {}", TARGET.say(target), TARGET.say(tolerance));
    let rule = derived("the line at whole numbers of passes");
    Some(if most < least {
        let nearest = found.get(&PASSES_TO_PRINT)?;
        Check::warning(
            "no_whole_passes",
            format!(
                "No whole number of passes falls inside {wanted}; {} {}.",
                counted(nearest, "gives", "give"),
                THICKNESS.say(growth.at(nearest))
            ),
            rule,
        )
    } else if most == least {
        let sentence = format!("Only {} inside {wanted}.", counted(least, "falls", "fall"));
        Check::in_range("whole_passes", sentence, rule)
    } else {
        let sentence = format!("{least} to {most} passes fall inside {wanted}.");
        Check::in_range("whole_passes", sentence, rule)
    })
}

/// "1 pass lies", "6 passes lie".
fn counted(passes: f64, one: &str, many: &str) -> String {
    if passes == 1.0 {
        format!("1 pass {one}")
    } else {
        format!("{passes} passes {many}")
    }
}

/// Whether the porosity is one that films of dye cells usually have.
fn usual_porosity(given: &Given<'_, f64>) -> Option<Check> {
    let porosity = given.get(&POROSITY)?;
    let usual = (0.50..=0.65).contains(&porosity);
    (!usual).then(|| {
        Check::note(
            "unusual_porosity",
            format!(
                "A porosity of {} is outside the 50 % to 65 % of most dye-cell films; dense layers have less.",
                POROSITY.say(porosity)
            ),
            memory("reviews of dye-sensitised cells: porosity 0.50 to 0.65"),
        )
    })
}
