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

mod cases;
mod pairs;
mod target;

use self::pairs::Pairs;
use super::*;
use crate::numerics::line::Line;
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

pub(super) use self::cases::CASES;

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

const VOLUME_BALANCE: Source = derived("Conservation of the volume of the solid");

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
            let exact = target::passes_for_target(given, &growth)?;
            let whole = exact.value().round().max(1.0);
            found.set(&PASSES_TO_PRINT, S::constant(whole));
            found.set(&PASSES_EXACT, exact);
            found.set_rows(&NEIGHBOURS, target::neighbours(&growth, exact.value()));
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
        checks.extend(target::tolerance(given, found));
        if given.choice(&FROM) == "pairs"
            && let Ok(pairs) = Pairs::read(given)
            && let Ok(line) = pairs.line(given)
        {
            let fit = pairs.quality(&line);
            checks.push(fit.spread(&pairs::WORDS));
            checks.extend(pairs::first_pass(&fit, &line));
            checks.extend(pairs::growth(&fit, &line));
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
