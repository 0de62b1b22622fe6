//! # What it computes
//! What firing leaves of a film: its porosity from its mass, area and thickness, or its thickness from mass and porosity;
//! how much thinner it becomes from the packing before and after; the mass that stays when organics burn out.
//!
//! # Formulas
//! P = 1 − m/(A·t·ρ); V_P = A·t·P; m_A = m/A; t = m/(A·(1 − P)·ρ). Shrinkage: t₀ = t_g·f_g/(1 − P), with what was
//! measured where it was, r = t/t_g, P_f = 1 − f_g·t_g/t. Burn-out: b = 1 − w_p/w_s, m₀ = m_g·(1 − b), weighed
//! b₁ = 1 − m₁/m_g.
//!
//! # Symbols and units
//! m mass of the fired film (kg), from m_a without it and m_e with it, or m₀ planned and m₁ weighed; A area (m²); t
//! fired thickness (m), t₀ planned, t₁ measured; ρ density of the solid (kg/m³); P porosity (1), P_f after firing; V_P
//! pore volume (m³); m_A mass per area (kg/m²); t_g thickness before firing (m), f_g share of it that is powder (1); r
//! thickness ratio (1); m_g mass of the dried film (kg); b share of it that burns out (1), b₁ as weighed; w_p mass
//! fraction of powder and w_s of all that does not evaporate in the ink (1).
//!
//! # Valid range
//! Masses, area, thickness and density above zero; the solid fits into the film.
//!
//! # Assumptions
//! The film holds on to the substrate and shrinks in thickness alone. Its mass is that of the solid whose density is
//! entered, which neither gains nor loses on firing. A mean over the whole film: rims and cracks count in.
//!
//! # Sources
//! Geometry, conservation of mass and of the volume of the solid.
//!
//! # Worked example
//! 0.39 mg on 0.25 cm², 10 µm thick, of a solid of 3.893 g/cm³: 59.9 % of the film are pores (computed).

use super::drops::{AREAL_MASS, POROSITY, usual_porosity};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("porosity", "porosity of a weighed film"),
        option("thickness", "thickness of a weighed film"),
        option("shrinkage", "shrinkage in thickness"),
        option("burn_out", "mass after burn-out"),
    ],
);
static MASS_AS: Field = choice(
    "mass_as",
    "Mass of the film",
    &[
        option("difference", "weighed without and with it"),
        option("net", "known"),
    ],
);
static EMPTY: Field = mass("empty", "Substrate without the film", "m_a").measured();
static WITH_FILM: Field = mass("with_film", "Substrate with the fired film", "m_e").measured();
static FILM_MASS: Field = mass("film_mass", "Mass of the fired film", "m").measured();
static AREA: Field = quantity("area", "Printed area", Kind::Area)
    .symbol("A")
    .help("As measured: all that was weighed.")
    .units(&["cm2", "mm2"])
    .positive();
static THICKNESS: Field = quantity("thickness", "Fired thickness", Kind::Length)
    .symbol("t")
    .units(&["um", "nm"])
    .positive()
    .measured();
static DENSITY: Field = quantity("density", "Density of the solid", Kind::Density)
    .symbol("ρ")
    .help("Of the solid itself, without pores.")
    .units(&["g/cm3", "kg/m3"])
    .positive();
static EXPECTED: Field = quantity("expected", "Porosity expected", Kind::Ratio)
    .symbol("P*")
    .help("From the plan, to compare.")
    .units(&["%", "1"])
    .within(0.0, 1.0)
    .optional();
static GREEN_THICKNESS: Field =
    quantity("green_thickness", "Thickness before firing", Kind::Length)
        .symbol("t_g")
        .units(&["um", "nm"])
        .positive()
        .measured();
static GREEN_PACKING: Field = quantity(
    "green_packing",
    "Powder in it, by volume",
    Kind::VolumeFraction,
)
.symbol("f_g")
.help("Share of the dried film that is powder; the rest is organics and pores.")
.units(&["%", "1"])
.range(Range::FRACTION);
static ACTUAL_THICKNESS: Field = quantity(
    "actual_thickness",
    "Fired thickness, measured",
    Kind::Length,
)
.symbol("t₁")
.help("As soon as it is known.")
.units(&["um", "nm"])
.positive()
.optional()
.measured();
static GREEN_MASS: Field = mass("green_mass", "Mass of the dried film", "m_g").measured();
static BURN_AS: Field = choice(
    "burn_as",
    "Organics",
    &[
        option("share", "share of the dried film"),
        option("recipe", "from the ink recipe"),
    ],
);
static BURNT_OUT: Field = quantity("burnt_out", "Share that burns out", Kind::Ratio)
    .symbol("b")
    .help("Of the dried film; a card of solids by residue gives it.")
    .units(&["%", "1"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    });
static POWDER_FRACTION: Field = quantity("powder_fraction", "Powder, by mass", Kind::MassFraction)
    .symbol("w_p")
    .help("In the ink.")
    .units(&["%", "mg/g"])
    .range(Range::FRACTION);
static SOLIDS_FRACTION: Field = quantity(
    "solids_fraction",
    "Solids before firing, by mass",
    Kind::MassFraction,
)
.symbol("w_s")
.help("In the ink: powder and all else that does not evaporate.")
.units(&["%", "mg/g"])
.range(Range::FRACTION);
static ACTUAL_MASS: Field = mass("actual_film_mass", "Mass of the fired film, weighed", "m₁")
    .help("As soon as it is known.")
    .optional()
    .measured();

static PORE_VOLUME: Field = quantity("pore_volume", "Volume of the pores", Kind::Volume)
    .symbol("V_P")
    .units(&["uL", "nL"]);
static PLANNED_THICKNESS: Field = quantity(
    "planned_thickness",
    "Fired thickness, planned",
    Kind::Length,
)
.symbol("t₀")
.units(&["um", "nm"]);
static SHRINK_RATIO: Field = quantity("shrink_ratio", "Fired over dried thickness", Kind::Ratio)
    .symbol("r")
    .units(&["%", "1"]);
static FIRED_POROSITY: Field = quantity("fired_porosity", "Porosity that this means", Kind::Ratio)
    .symbol("P_f")
    .units(&["%", "1"]);
static PLANNED_MASS: Field = quantity(
    "planned_mass",
    "Mass of the fired film, planned",
    Kind::Mass,
)
.symbol("m₀")
.units(&["mg", "ug"]);
static ACTUAL_BURNT_OUT: Field = quantity("weighed_out", "Share burnt out, weighed", Kind::Ratio)
    .symbol("b₁")
    .units(&["%", "1"]);

const fn mass(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Mass)
        .symbol(symbol)
        .units(&["mg", "g", "ug"])
        .positive()
}

const GEOMETRY: Source = derived("geometry and conservation of mass");
/// Porosities that agree within this agree.
const NEAR: f64 = 0.03;
/// Shares burnt out that agree within this agree.
const NEAR_SHARE: f64 = 0.02;

/// What firing leaves of a film.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "firing",
    version: 1,
    stage: Stage::Layers,
    title: "Firing",
    purpose: "Porosity from weighing, shrinkage in thickness, and the mass that stays when organics burn out.",
    inputs: &[
        show(&FIND),
        show(&MASS_AS).when(&FIND, WEIGHED),
        show(&EMPTY).when(&FIND, WEIGHED).when(&MASS_AS, &["difference"]),
        show(&WITH_FILM).when(&FIND, WEIGHED).when(&MASS_AS, &["difference"]),
        show(&FILM_MASS).when(&FIND, WEIGHED).when(&MASS_AS, &["net"]),
        show(&AREA).when(&FIND, WEIGHED),
        show(&THICKNESS).when(&FIND, &["porosity"]),
        show(&DENSITY).when(&FIND, WEIGHED),
        show(&EXPECTED).when(&FIND, &["porosity"]),
        show(&GREEN_THICKNESS).when(&FIND, &["shrinkage"]),
        show(&GREEN_PACKING).when(&FIND, &["shrinkage"]),
        show(&POROSITY).when(&FIND, &["thickness", "shrinkage"]),
        show(&ACTUAL_THICKNESS).when(&FIND, &["shrinkage"]),
        show(&GREEN_MASS).when(&FIND, &["burn_out"]),
        show(&BURN_AS).when(&FIND, &["burn_out"]),
        show(&BURNT_OUT).when(&FIND, &["burn_out"]).when(&BURN_AS, &["share"]),
        show(&POWDER_FRACTION).when(&FIND, &["burn_out"]).when(&BURN_AS, &["recipe"]),
        show(&SOLIDS_FRACTION).when(&FIND, &["burn_out"]).when(&BURN_AS, &["recipe"]),
        show(&ACTUAL_MASS).when(&FIND, &["burn_out"]),
    ],
    outputs: &[
        show(&POROSITY).when(&FIND, &["porosity"]),
        show(&THICKNESS).when(&FIND, &["thickness", "shrinkage"]),
        show(&FILM_MASS).when(&FIND, &["burn_out"]),
        show(&FILM_MASS).when(&FIND, WEIGHED).when(&MASS_AS, &["difference"]),
        show(&AREAL_MASS).when(&FIND, WEIGHED),
        show(&PORE_VOLUME).when(&FIND, WEIGHED),
        show(&PLANNED_THICKNESS).when(&FIND, &["shrinkage"]),
        show(&SHRINK_RATIO).when(&FIND, &["shrinkage"]),
        show(&FIRED_POROSITY).when(&FIND, &["shrinkage"]),
        show(&PLANNED_MASS).when(&FIND, &["burn_out"]),
        show(&BURNT_OUT).when(&FIND, &["burn_out"]).when(&BURN_AS, &["recipe"]),
        show(&ACTUAL_BURNT_OUT).when(&FIND, &["burn_out"]),
    ],
    working: &[
        formula("film_mass = with_film - empty")
            .when(&FIND, WEIGHED)
            .when(&MASS_AS, &["difference"]),
        formula("porosity = 1 - film_mass / (area * thickness * density)").when(&FIND, &["porosity"]),
        formula("thickness = film_mass / (area * (1 - porosity) * density)").when(&FIND, &["thickness"]),
        formula("areal_mass = film_mass / area").when(&FIND, WEIGHED),
        formula("pore_volume = area * thickness * porosity").when(&FIND, WEIGHED),
        formula("planned_thickness = green_thickness * green_packing / (1 - porosity)")
            .when(&FIND, &["shrinkage"]),
        method("The fired thickness is the measured one; until that is entered, the planned one.")
            .when(&FIND, &["shrinkage"]),
        formula("thickness = actual_thickness").when(&FIND, &["shrinkage"]),
        formula("thickness = planned_thickness")
            .without(&ACTUAL_THICKNESS)
            .when(&FIND, &["shrinkage"]),
        formula("shrink_ratio = thickness / green_thickness").when(&FIND, &["shrinkage"]),
        formula("fired_porosity = 1 - green_packing * green_thickness / thickness")
            .when(&FIND, &["shrinkage"]),
        formula("burnt_out = 1 - powder_fraction / solids_fraction")
            .when(&FIND, &["burn_out"])
            .when(&BURN_AS, &["recipe"]),
        formula("planned_mass = green_mass * (1 - burnt_out)").when(&FIND, &["burn_out"]),
        method("The mass of the fired film is the weighed one; until that is entered, the planned one.")
            .when(&FIND, &["burn_out"]),
        formula("film_mass = actual_film_mass").when(&FIND, &["burn_out"]),
        formula("film_mass = planned_mass")
            .without(&ACTUAL_MASS)
            .when(&FIND, &["burn_out"]),
        formula("weighed_out = 1 - actual_film_mass / green_mass").when(&FIND, &["burn_out"]),
    ],
    sources: &[GEOMETRY, derived("conservation of the volume of the solid")],
    hazards: &[hazards::HOT_PLATE, hazards::DRY_FILMS, hazards::GLASS],
    formula: both::<Firing>(),
};

/// Of [`FIND`]: a film whose mass is known.
const WEIGHED: &[&str] = &["porosity", "thickness"];

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "porosity from weighing",
        inputs: &[
            ("mass_as", "net"),
            ("film_mass", "0.39 mg"),
            ("area", "0.25 cm2"),
            ("thickness", "10 um"),
            ("density", "3.893 g/cm3"),
            ("expected", "60 %"),
        ],
        expected: &[expect("porosity", "0.59928", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "porosity from two weighings",
        inputs: &[
            ("empty", "1.11 mg"),
            ("with_film", "1.50 mg"),
            ("area", "0.25 cm2"),
            ("thickness", "10 um"),
            ("density", "3.893 g/cm3"),
        ],
        expected: &[
            expect("film_mass", "0.39 mg", 1e-9),
            expect("porosity", "0.59928", 5e-6),
            expect("areal_mass", "1.56 mg/cm2", 1e-9),
            expect("pore_volume", "0.14982 uL", 5e-6),
        ],
        source: PYTHON,
    },
    Case {
        title: "thickness from weighing, the same film turned round",
        inputs: &[
            ("find", "thickness"),
            ("mass_as", "net"),
            ("film_mass", "0.39 mg"),
            ("area", "0.25 cm2"),
            ("porosity", "59.928 %"),
            ("density", "3.893 g/cm3"),
        ],
        // The porosity is printed to five digits.
        expected: &[expect("thickness", "10 um", 2e-4)],
        source: PYTHON,
    },
    Case {
        title: "shrinkage, planned",
        inputs: &[
            ("find", "shrinkage"),
            ("green_thickness", "15 um"),
            ("green_packing", "30 %"),
            ("porosity", "55 %"),
        ],
        expected: &[
            expect("planned_thickness", "10 um", 1e-12),
            expect("thickness", "10 um", 1e-12),
            expect("shrink_ratio", "66.666666666666667 %", 1e-12),
            expect("fired_porosity", "55 %", 1e-12),
        ],
        source: GEOMETRY,
    },
    Case {
        title: "shrinkage, measured",
        inputs: &[
            ("find", "shrinkage"),
            ("green_thickness", "15 um"),
            ("green_packing", "30 %"),
            ("porosity", "55 %"),
            ("actual_thickness", "11.25 um"),
        ],
        expected: &[
            expect("planned_thickness", "10 um", 1e-12),
            expect("thickness", "11.25 um", 1e-12),
            expect("shrink_ratio", "75 %", 1e-12),
            expect("fired_porosity", "60 %", 1e-12),
        ],
        source: GEOMETRY,
    },
    Case {
        title: "burn-out from the share",
        inputs: &[
            ("find", "burn_out"),
            ("green_mass", "0.5 mg"),
            ("burnt_out", "20 %"),
        ],
        expected: &[
            expect("planned_mass", "0.4 mg", 1e-12),
            expect("film_mass", "0.4 mg", 1e-12),
        ],
        source: GEOMETRY,
    },
    Case {
        title: "burn-out from the recipe, with the film weighed afterwards",
        inputs: &[
            ("find", "burn_out"),
            ("green_mass", "0.5 mg"),
            ("burn_as", "recipe"),
            ("powder_fraction", "20 %"),
            ("solids_fraction", "25 %"),
            ("actual_film_mass", "0.39 mg"),
        ],
        expected: &[
            expect("burnt_out", "20 %", 1e-12),
            expect("planned_mass", "0.4 mg", 1e-12),
            expect("film_mass", "0.39 mg", 1e-12),
            expect("weighed_out", "22 %", 1e-12),
        ],
        source: GEOMETRY,
    },
];

const PYTHON: Source = computed("geometry, Python 3.11 float64");

struct Firing;

impl Formula for Firing {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        match given.choice(&FIND) {
            "shrinkage" => shrinkage(given, &mut found)?,
            "burn_out" => burn_out(given, &mut found)?,
            _ => weighed(given, &mut found)?,
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            usual_porosity(found.get(&POROSITY).or(found.get(&FIRED_POROSITY))),
            against_expected(given, found),
            growth(found),
            against_plan(given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn one_minus<S: Scalar>(x: S) -> S {
    -x + 1.0
}

/// Porosity or thickness of a film whose mass is known.
fn weighed<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Result<(), Problem> {
    let mass = if given.choice(&MASS_AS) == "net" {
        given[&FILM_MASS]
    } else {
        let (empty, with_film) = (given[&EMPTY], given[&WITH_FILM]);
        let mass = with_film - empty;
        if mass.value() <= 0.0 {
            return Err(Problem::at(
                &WITH_FILM,
                "no_film",
                format!(
                    "With the film the substrate weighs {}, without it {} ({} more): no film was weighed.",
                    WITH_FILM.say(with_film.value()),
                    EMPTY.say(empty.value()),
                    FILM_MASS.say(-mass.value() + 0.0)
                ),
                "Look at the two weighings, their order and their units.",
            ));
        }
        found.set(&FILM_MASS, mass);
        mass
    };
    let (area, density) = (given[&AREA], given[&DENSITY]);
    let (porosity, thickness) = if given.choice(&FIND) == "thickness" {
        let porosity = given[&POROSITY];
        let thickness = mass / (area * one_minus(porosity) * density);
        found.set(&THICKNESS, thickness);
        (porosity, thickness)
    } else {
        let thickness = given[&THICKNESS];
        let porosity = one_minus(mass / (area * thickness * density));
        if porosity.value() < 0.0 {
            return Err(Problem::at(
                &THICKNESS,
                "more_solid_than_film",
                format!(
                    "{} of this solid alone would be {} thick on this area, more than the film: {}.",
                    FILM_MASS.say(mass.value()),
                    THICKNESS.say((mass / (area * density)).value()),
                    THICKNESS.say(thickness.value())
                ),
                "Look at mass, area, thickness and density and their units; the area is all that was weighed.",
            ));
        }
        found.set(&POROSITY, porosity);
        (porosity, thickness)
    };
    found.set(&AREAL_MASS, mass / area);
    found.set(&PORE_VOLUME, area * thickness * porosity);
    Ok(())
}

fn shrinkage<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Result<(), Problem> {
    let green = given[&GREEN_THICKNESS];
    let solid = given[&GREEN_PACKING] * green;
    let planned = green * given[&GREEN_PACKING] / one_minus(given[&POROSITY]);
    let measured = given.get(&ACTUAL_THICKNESS);
    let thickness = measured.unwrap_or(planned);
    if measured.is_some() && thickness.value() < solid.value() {
        return Err(Problem::at(
            &ACTUAL_THICKNESS,
            "thinner_than_solid",
            format!(
                "The fired film ({}) is thinner than its powder would be without a pore ({}).",
                ACTUAL_THICKNESS.say(thickness.value()),
                THICKNESS.say(solid.value())
            ),
            "Look at both thicknesses, their units, and the powder in the dried film.",
        ));
    }
    found.set(&PLANNED_THICKNESS, planned);
    found.set(&THICKNESS, thickness);
    found.set(&SHRINK_RATIO, thickness / green);
    found.set(&FIRED_POROSITY, one_minus(solid / thickness));
    Ok(())
}

fn burn_out<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Result<(), Problem> {
    let green = given[&GREEN_MASS];
    let share = if given.choice(&BURN_AS) == "recipe" {
        let (powder, solids) = (given[&POWDER_FRACTION], given[&SOLIDS_FRACTION]);
        if powder.value() > solids.value() {
            return Err(Problem::at(
                &SOLIDS_FRACTION,
                "less_than_powder",
                format!(
                    "All that does not evaporate ({}) is less than the powder in it ({}).",
                    SOLIDS_FRACTION.say(solids.value()),
                    POWDER_FRACTION.say(powder.value())
                ),
                "Enter both as fractions of the same ink.",
            ));
        }
        let share = one_minus(powder / solids);
        found.set(&BURNT_OUT, share);
        share
    } else {
        given[&BURNT_OUT]
    };
    let planned = green * one_minus(share);
    let weighed = given.get(&ACTUAL_MASS);
    found.set(&PLANNED_MASS, planned);
    found.set(&FILM_MASS, weighed.unwrap_or(planned));
    found.set_some(
        &ACTUAL_BURNT_OUT,
        weighed.map(|weighed| one_minus(weighed / green)),
    );
    Ok(())
}

/// Whether the film has the pores that the plan expects.
fn against_expected(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (expected, porosity) = (given.get(&EXPECTED)?, found.get(&POROSITY)?);
    let rule = practice("porosities from weighing agree within 3 %");
    let said = format!(
        "{}, {} expected",
        POROSITY.say(porosity),
        EXPECTED.say(expected)
    );
    Some(if (porosity - expected).abs() <= NEAR {
        Check::in_range(
            "expected_porosity",
            format!("The porosity is {said}."),
            rule,
        )
    } else {
        let more = if porosity > expected { "more" } else { "less" };
        Check::note(
            "expected_porosity",
            format!(
                "The porosity is {said}: the film has {more} pores, or mass, area or thickness is off."
            ),
            rule,
        )
    })
}

/// A film that would become thicker.
fn growth(found: &Found<f64>) -> Option<Check> {
    let ratio = found.get(&SHRINK_RATIO).filter(|ratio| *ratio > 1.0)?;
    Some(Check::warning(
        "grows_on_firing",
        format!(
            "The fired film would be {} of the dried one: films do not grow on firing. Look at packing, porosity and \
             thicknesses.",
            SHRINK_RATIO.say(ratio)
        ),
        practice("films become thinner or stay as they are"),
    ))
}

/// What burnt out against what should have.
fn against_plan(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let weighed = found.get(&ACTUAL_BURNT_OUT)?;
    let planned = found.get(&BURNT_OUT).or(given.get(&BURNT_OUT))?;
    let rule = practice("what burns out agrees within 2 % of the dried film");
    let off = weighed - planned;
    let said = format!(
        "{} of the dried film went, {} were planned",
        ACTUAL_BURNT_OUT.say(weighed),
        BURNT_OUT.say(planned)
    );
    Some(if off.abs() <= NEAR_SHARE {
        Check::in_range("burnt_out", format!("{said}."), rule)
    } else {
        let why = if weighed < 0.0 {
            "the fired film weighs more than the dried one"
        } else if off > 0.0 {
            "solvent or water was left in the dried film, or some of it came off"
        } else {
            "organics may be left, or the film took up water before it was weighed"
        };
        let off = value_text(100.0 * off.abs(), 2);
        Check::warning(
            "burnt_out",
            format!("{said}, {off}\u{202F}% apart: {why}."),
            rule,
        )
    })
}
