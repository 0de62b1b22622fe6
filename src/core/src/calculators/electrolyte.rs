//! # What it computes
//! What to weigh and measure for an electrolyte of a wanted volume: salts, additives and the solvent they are filled up
//! with; and what was made from what was actually weighed and measured. On request the triiodide equilibrium, and the
//! least mass that the balance weighs well enough.
//!
//! # Formulas
//! m = c·V·M/(P·(1 − w)); V_l = m/ρ; c′ = m_u·P·(1 − w)/(M·V_u); V_s = V_u − Σ m_u/ρ; V_i = V_s·p_i/Σp;
//! φ_i = V_i′/ΣV′; m_t = Σ m_u + V_s·Σ φ_i·ρ_i; w_t = Σ m_u·w/m_t; V_min = V·max(m_min/m).
//!
//! # Symbols and units
//! Of each component: c target, c′ made amount concentration (mol/m³); M molar mass (kg/mol); w water content, the mass
//! fraction of water in what is weighed (1); P purity of the rest (1); ρ density (kg/m³); m planned mass, m_u mass used,
//! the actual one as soon as it is there (kg); V_l volume of a liquid (m³). V volume to prepare, V_u volume reached
//! (m³); V_s solvent (m³); of each solvent p parts by volume (1), V_i volume (m³), φ share of the volume (1); m_t total
//! mass (kg); w_t water in it (1); m_min least mass (kg); V_min smallest volume whose solids weigh well enough (m³).
//!
//! # Valid range
//! All quantities above zero, purity up to 1, water content below 1; the components fit into the volume.
//!
//! # Assumptions
//! The solution is filled up to its volume, so the concentrations do not depend on how volumes add. Only the solvent
//! to have ready does: components with a density take up their own volume, those without one none, which makes the
//! solvent and the total mass upper limits. A row marked iodide gives one iodide, a row marked iodine one I₂ per
//! formula unit.
//!
//! # Sources
//! Definitions and conservation of mass; equilibrium and constants as in the triiodide calculator; least mass as in the
//! solution calculator.
//!
//! # Worked example
//! 10 mL with 0.6 mol/L of 1,2-dimethyl-3-propylimidazolium iodide (266.126 g/mol) takes 1.5968 g of it (computed;
//! recipe read in Adv. OptoElectronics 2011, 376369).

use super::solution::{
    BALANCE, COVERAGE, LEAST_MASS, LEAST_MASS_FORMULA, READABILITY, ROUNDING, TOLERANCE,
    actual_against, least_mass,
};
use super::triiodide::{
    CONSTANT, EQUILIBRIUM, FREE_IODIDE_WORDS, FREE_IODINE_FORMULA, IODIDE_FREE, IODIDE_TOTAL,
    IODINE_FREE, IODINE_TOTAL, SOLVENT, TEMPERATURE, TRIIODIDE, TRIIODIDE_FORMULA, against_table,
    excess, set_species, undissolved,
};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static VOLUME: Field = quantity("volume", "Volume to prepare", Kind::Volume)
    .symbol("V")
    .help("May be taken from the spacer gap, which counts all cells and an overage.")
    .units(&["mL", "uL", "L"])
    .positive();
static ACTUAL_FINAL_VOLUME: Field = quantity(
    "actual_final_volume",
    "Volume actually reached",
    Kind::Volume,
)
.symbol("V′")
.units(&["mL", "uL", "L"])
.positive()
.optional()
.measured();
static COMPONENTS: Field = table(
    "components",
    "Components",
    &[
        &NAME,
        &ROLE,
        &FORM,
        &TARGET,
        &MOLAR_MASS,
        &PURITY,
        &WATER,
        &DENSITY,
        &ACTUAL_MASS,
        &ACTUAL_VOLUME,
    ],
);
static NAME: Field = text("name", "Name").optional();
static ROLE: Field = choice(
    "role",
    "Counts as",
    &[
        option("other", "neither iodide nor iodine"),
        option("iodide", "iodide"),
        option("iodine", "iodine, I₂"),
    ],
);
static FORM: Field = choice(
    "form",
    "Form",
    &[
        option("solid", "solid, by mass"),
        option("liquid", "liquid, by volume"),
    ],
);
static TARGET: Field = quantity("target", "Target concentration", Kind::AmountConcentration)
    .symbol("c")
    .units(&["mol/L", "mmol/L"])
    .positive();
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass", Kind::MolarMass)
    .symbol("M")
    .help("Of the formula as sold, without water that is entered below.")
    .units(&["g/mol"])
    .positive();
static PURITY: Field = quantity("purity", "Purity", Kind::MassFraction)
    .symbol("P")
    .help("Of what is left when the water below is taken off.")
    .units(&["%"])
    .range(Range::FRACTION)
    .initially("100");
static WATER: Field = quantity("water", "Water content", Kind::MassFraction)
    .symbol("w")
    .help("Mass fraction of water in the bottle; hygroscopic salts hold several per cent.")
    .units(&["%"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    })
    .initially("0");
static DENSITY: Field = quantity("density", "Density", Kind::Density)
    .symbol("ρ")
    .help("For the volume of a liquid, and for the room that a component takes up.")
    .units(&["g/mL", "g/cm3"])
    .positive()
    .optional();
static ACTUAL_MASS: Field = quantity("actual_mass", "Mass actually used", Kind::Mass)
    .symbol("m′")
    .help("Weighed, or what an aliquot of a stock brought.")
    .units(&["mg", "g", "ug"])
    .positive()
    .optional()
    .measured();
static ACTUAL_VOLUME: Field = quantity("actual_volume", "Volume actually used", Kind::Volume)
    .symbol("V_l′")
    .units(&["uL", "mL"])
    .positive()
    .optional()
    .measured();
static SOLVENTS: Field = table(
    "solvents",
    "Solvent to fill up with",
    &[&NAME, &PARTS, &DENSITY, &SOLVENT_ACTUAL_VOLUME],
)
.optional();
static PARTS: Field = quantity("parts", "Parts by volume", Kind::Ratio)
    .symbol("p")
    .units(&["1", "%"])
    .positive()
    .initially("1");
static SOLVENT_ACTUAL_VOLUME: Field =
    quantity("actual_volume", "Volume actually used", Kind::Volume)
        .symbol("V_i′")
        .units(&["mL", "uL"])
        .positive()
        .optional()
        .measured();
static COUPLE: Field = choice(
    "couple",
    "Triiodide",
    &[
        option("none", "not needed"),
        option("equilibrium", "from its association constant"),
    ],
);

static MADE_VOLUME: Field = quantity("made_volume", "Volume of electrolyte", Kind::Volume)
    .symbol("V_u")
    .units(&["mL", "uL", "L"]);
static RECIPE: Field = table("recipe", "Recipe", &[&MASS, &LIQUID_VOLUME, &MADE]);
static MASS: Field = quantity("mass", "Mass to use", Kind::Mass)
    .symbol("m")
    .units(&["mg", "g", "ug"]);
static LIQUID_VOLUME: Field = quantity("volume", "Volume to use", Kind::Volume)
    .symbol("V_l")
    .units(&["uL", "mL"]);
static MADE: Field = quantity("made", "Concentration made", Kind::AmountConcentration)
    .symbol("c′")
    .units(&["mol/L", "mmol/L", "umol/L"]);
static SOLVENT_VOLUME: Field = quantity("solvent_volume", "Solvent to have ready", Kind::Volume)
    .symbol("Vₛ")
    .units(&["mL", "uL", "L"]);
static SOLVENT_RECIPE: Field = table(
    "solvent_recipe",
    "Solvents",
    &[&SOLVENT_PART, &SHARE, &SOLVENT_MASS],
);
static SOLVENT_PART: Field = quantity("volume", "Volume to use", Kind::Volume)
    .symbol("V_i")
    .units(&["mL", "uL"]);
static SHARE: Field = quantity("share", "Share of the solvent", Kind::VolumeFraction)
    .symbol("φ")
    .units(&["%"]);
static SOLVENT_MASS: Field = quantity("mass", "Mass to use", Kind::Mass)
    .symbol("m_i")
    .units(&["g", "mg"]);
static TOTAL_MASS: Field = quantity("total_mass", "Total mass", Kind::Mass)
    .symbol("m_t")
    .units(&["g", "mg", "kg"]);
static WATER_SHARE: Field = quantity(
    "water_share",
    "Water from the components",
    Kind::MassFraction,
)
.symbol("w_t")
.units(&["%", "mg/kg"]);
static LEAST_VOLUME: Field = quantity(
    "least_volume",
    "Smallest volume whose solids weigh well",
    Kind::Volume,
)
.symbol("V_min")
.units(&["mL", "uL", "L"]);

const DEFINITIONS: Source = derived("definitions of the quantities and conservation of mass");
const HYGROSCOPIC: Source = practice(
    "lithium salts and ionic liquids take up water from air; cells last longer without it",
);
/// From this share on, water from the salts is worth a word.
const WET: f64 = 1e-3;

/// An electrolyte from salts, additives and solvents.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "electrolyte",
    version: 1,
    stage: Stage::Cell,
    title: "Electrolyte",
    purpose: "What to weigh and measure for an electrolyte, and what the portions actually used made.",
    inputs: &[
        show(&VOLUME),
        show(&COMPONENTS),
        show(&SOLVENTS),
        show(&ACTUAL_FINAL_VOLUME),
        show(&COUPLE),
        show(&SOLVENT).when(&COUPLE, &["equilibrium"]),
        show(&TEMPERATURE).when(&COUPLE, &["equilibrium"]).when(&SOLVENT, &["water"]),
        show(&CONSTANT).when(&COUPLE, &["equilibrium"]),
        show(&BALANCE),
        show(&READABILITY).when(&BALANCE, &["readability"]),
        show(&TOLERANCE).when(&BALANCE, &["readability"]),
        show(&COVERAGE).when(&BALANCE, &["readability"]),
    ],
    outputs: &[
        show(&MADE_VOLUME),
        show(&RECIPE),
        show(&SOLVENT_VOLUME),
        show(&SOLVENT_RECIPE),
        show(&TOTAL_MASS),
        show(&WATER_SHARE),
        show(&IODIDE_TOTAL),
        show(&IODINE_TOTAL),
        show(&TRIIODIDE).when(&COUPLE, &["equilibrium"]),
        show(&IODIDE_FREE).when(&COUPLE, &["equilibrium"]),
        show(&IODINE_FREE).when(&COUPLE, &["equilibrium"]),
        show(&LEAST_MASS).when(&BALANCE, &["readability"]),
        show(&LEAST_VOLUME).when(&BALANCE, &["readability"]),
    ],
    working: &[
        method("The volume is the one actually reached where it is entered, otherwise the one to prepare."),
        formula("made_volume = actual_final_volume"),
        formula("made_volume = volume").without(&ACTUAL_FINAL_VOLUME),
        method(
            "Each component: mass = target concentration × volume to prepare × molar mass ÷ (purity × (1 − water \
             content)), and its volume = mass ÷ density. The concentration made comes the other way round from the mass \
             or volume actually used, otherwise the planned one, and the volume of electrolyte.",
        )
        .gives(&[&RECIPE]),
        method(
            "Solvent to have ready is the volume of electrolyte less the volumes of the components that have a \
             density; it is shared by the parts.",
        )
        .gives(&[&SOLVENT_VOLUME, &SOLVENT_RECIPE]),
        method("Total mass adds the components and, with the shares actually mixed, the solvent.")
            .gives(&[&TOTAL_MASS]),
        method("Water is the sum of mass used × water content, per total mass.").gives(&[&WATER_SHARE]),
        method("Totals of iodide and iodine add the concentrations made of the rows that count as such.")
            .gives(&[&IODIDE_TOTAL, &IODINE_TOTAL]),
        formula(TRIIODIDE_FORMULA).when(&COUPLE, &["equilibrium"]),
        method(FREE_IODIDE_WORDS).gives(&[&IODIDE_FREE]).when(&COUPLE, &["equilibrium"]),
        formula(FREE_IODINE_FORMULA).when(&COUPLE, &["equilibrium"]),
        formula(LEAST_MASS_FORMULA).when(&BALANCE, &["readability"]),
        method(
            "The smallest volume is that at which the planned mass of every solid reaches the least mass.",
        )
        .gives(&[&LEAST_VOLUME])
        .when(&BALANCE, &["readability"]),
    ],
    sources: &[DEFINITIONS, EQUILIBRIUM, ROUNDING],
    hazards: &[
        hazards::IODINE,
        hazards::ACETONITRILE,
        hazards::AMINES,
        hazards::PERCHLORATES,
        hazards::SOLVENTS,
    ],
    formula: both::<Electrolyte>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "iodide and iodine in acetonitrile, a published recipe",
        inputs: &[
            ("volume", "10 mL"),
            ("couple", "equilibrium"),
            ("constant", "1e7 L/mol"),
            (
                "components.a.name",
                "1,2-dimethyl-3-propylimidazolium iodide",
            ),
            ("components.a.role", "iodide"),
            ("components.a.target", "0.6 mol/L"),
            ("components.a.molar_mass", "266.12647 g/mol"),
            ("components.b.name", "lithium iodide"),
            ("components.b.role", "iodide"),
            ("components.b.target", "0.1 mol/L"),
            ("components.b.molar_mass", "133.84447 g/mol"),
            ("components.c.name", "iodine"),
            ("components.c.role", "iodine"),
            ("components.c.target", "0.05 mol/L"),
            ("components.c.molar_mass", "253.80894 g/mol"),
            ("components.d.name", "4-tert-butylpyridine"),
            ("components.d.target", "0.5 mol/L"),
            ("components.d.molar_mass", "135.21 g/mol"),
            ("components.d.form", "liquid"),
            ("components.d.density", "0.915 g/mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "1"),
            ("solvents.s.density", "0.776 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "1596.75882 mg", 1.5967588e-05),
            expect("recipe.a.made", "0.6 mol/L", 1e-12),
            expect("recipe.b.mass", "133.84447 mg", 1.3384447e-06),
            expect("recipe.b.made", "0.1 mol/L", 1e-12),
            expect("recipe.c.mass", "126.90447 mg", 1.2690447e-06),
            expect("recipe.c.made", "0.05 mol/L", 1e-12),
            expect("recipe.d.mass", "676.05 mg", 6.7605e-06),
            expect("recipe.d.made", "0.5 mol/L", 1e-12),
            expect("recipe.a.mass", "1.5968 g", 5e-05),
            expect("recipe.b.mass", "0.1338 g", 5e-05),
            expect("recipe.c.mass", "0.1269 g", 5e-05),
            expect("recipe.d.mass", "0.6760 g", 5.0001e-05),
            expect("recipe.d.volume", "0.738852459 mL", 1e-08),
            expect("iodide_total", "0.7 mol/L", 1e-12),
            expect("iodine_total", "0.05 mol/L", 1e-13),
            expect("triiodide", "0.049999992307694 mol/L", 1e-12),
            expect("iodide_free", "0.65000000769231 mol/L", 1e-12),
            expect("iodine_free", "7.6923064178427 nmol/L", 1e-09),
            expect("solvent_volume", "9.261147541 mL", 1e-08),
            expect("total_mass", "9.720208252 g", 1e-08),
        ],
        source: computed(
            "formula weights from IUPAC abridged atomic weights, Python 3.11; recipe read in Adv. OptoElectronics 2011, 376369, \
                  Table 1; densities from the handbook, from memory",
        ),
    },
    Case {
        title: "six iodides at once, a published recipe",
        inputs: &[
            ("volume", "50 mL"),
            ("components.a.name", "tetraethylammonium iodide"),
            ("components.a.role", "iodide"),
            ("components.a.target", "0.1 mol/L"),
            ("components.a.molar_mass", "257.15947 g/mol"),
            ("components.b.name", "tetramethylammonium iodide"),
            ("components.b.role", "iodide"),
            ("components.b.target", "0.1 mol/L"),
            ("components.b.molar_mass", "201.05147 g/mol"),
            ("components.c.name", "tetrabutylammonium iodide"),
            ("components.c.role", "iodide"),
            ("components.c.target", "0.1 mol/L"),
            ("components.c.molar_mass", "369.37547 g/mol"),
            ("components.d.name", "sodium iodide"),
            ("components.d.role", "iodide"),
            ("components.d.target", "0.1 mol/L"),
            ("components.d.molar_mass", "149.894239 g/mol"),
            ("components.e.name", "potassium iodide"),
            ("components.e.role", "iodide"),
            ("components.e.target", "0.1 mol/L"),
            ("components.e.molar_mass", "166.00277 g/mol"),
            ("components.f.name", "lithium iodide"),
            ("components.f.role", "iodide"),
            ("components.f.target", "0.1 mol/L"),
            ("components.f.molar_mass", "133.84447 g/mol"),
            ("components.g.name", "iodine"),
            ("components.g.role", "iodine"),
            ("components.g.target", "0.05 mol/L"),
            ("components.g.molar_mass", "253.80894 g/mol"),
            ("components.h.name", "4-tert-butylpyridine"),
            ("components.h.target", "0.5 mol/L"),
            ("components.h.molar_mass", "135.21 g/mol"),
            ("components.h.form", "liquid"),
            ("components.h.density", "0.915 g/mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "1"),
            ("solvents.s.density", "0.776 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "1285.79735 mg", 1.2857974e-05),
            expect("recipe.a.made", "0.1 mol/L", 1e-12),
            expect("recipe.b.mass", "1005.25735 mg", 1.0052574e-05),
            expect("recipe.b.made", "0.1 mol/L", 1e-12),
            expect("recipe.c.mass", "1846.87735 mg", 1.8468774e-05),
            expect("recipe.c.made", "0.1 mol/L", 1e-12),
            expect("recipe.d.mass", "749.4711964 mg", 7.494712e-06),
            expect("recipe.d.made", "0.1 mol/L", 1e-12),
            expect("recipe.e.mass", "830.01385 mg", 8.3001385e-06),
            expect("recipe.e.made", "0.1 mol/L", 1e-12),
            expect("recipe.f.mass", "669.22235 mg", 6.6922235e-06),
            expect("recipe.f.made", "0.1 mol/L", 1e-12),
            expect("recipe.g.mass", "634.52235 mg", 6.3452235e-06),
            expect("recipe.g.made", "0.05 mol/L", 1e-12),
            expect("recipe.h.mass", "3380.25 mg", 3.38025e-05),
            expect("recipe.h.made", "0.5 mol/L", 1e-12),
            expect("iodide_total", "0.6 mol/L", 1e-12),
            expect("iodine_total", "0.05 mol/L", 1e-13),
        ],
        source: computed(
            "formula weights from IUPAC abridged atomic weights, Python 3.11; recipe read in a test of edbeard/dsc_db",
        ),
    },
    Case {
        title: "two nitriles as solvent",
        inputs: &[
            ("volume", "5 mL"),
            ("components.a.name", "1,3-dimethylimidazolium iodide"),
            ("components.a.role", "iodide"),
            ("components.a.target", "1.0 mol/L"),
            ("components.a.molar_mass", "224.04547 g/mol"),
            ("components.b.name", "iodine"),
            ("components.b.role", "iodine"),
            ("components.b.target", "0.03 mol/L"),
            ("components.b.molar_mass", "253.80894 g/mol"),
            ("components.c.name", "lithium iodide"),
            ("components.c.role", "iodide"),
            ("components.c.target", "0.05 mol/L"),
            ("components.c.molar_mass", "133.84447 g/mol"),
            ("components.d.name", "guanidinium thiocyanate"),
            ("components.d.target", "0.1 mol/L"),
            ("components.d.molar_mass", "118.158 g/mol"),
            ("components.e.name", "4-tert-butylpyridine"),
            ("components.e.target", "0.5 mol/L"),
            ("components.e.molar_mass", "135.21 g/mol"),
            ("components.e.form", "liquid"),
            ("components.e.density", "0.915 g/mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "85"),
            ("solvents.s.density", "0.776 g/mL"),
            ("solvents.t.name", "valeronitrile"),
            ("solvents.t.parts", "15"),
            ("solvents.t.density", "0.796 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "1120.22735 mg", 1.1202274e-05),
            expect("recipe.a.made", "1.0 mol/L", 1e-12),
            expect("recipe.b.mass", "38.071341 mg", 3.8071341e-07),
            expect("recipe.b.made", "0.03 mol/L", 1e-12),
            expect("recipe.c.mass", "33.4611175 mg", 3.3461118e-07),
            expect("recipe.c.made", "0.05 mol/L", 1e-12),
            expect("recipe.d.mass", "59.079 mg", 5.9079e-07),
            expect("recipe.d.made", "0.1 mol/L", 1e-12),
            expect("recipe.e.mass", "338.025 mg", 3.38025e-06),
            expect("recipe.e.made", "0.5 mol/L", 1e-12),
            expect("iodide_total", "1.05 mol/L", 1e-12),
            expect("solvent_recipe.s.volume", "3.935987705 mL", 1e-08),
            expect("solvent_recipe.t.volume", "0.6945860656 mL", 1e-08),
            expect("solvent_recipe.s.share", "85 %", 1e-10),
        ],
        source: memory(
            "recipe of the type Z960, 1.0 mol/L of iodide in nitriles; masses from formula weights, Python 3.11",
        ),
    },
    Case {
        title: "butylmethylimidazolium iodide in nitriles",
        inputs: &[
            ("volume", "5 mL"),
            ("components.a.name", "1-butyl-3-methylimidazolium iodide"),
            ("components.a.role", "iodide"),
            ("components.a.target", "0.6 mol/L"),
            ("components.a.molar_mass", "266.12647 g/mol"),
            ("components.b.name", "iodine"),
            ("components.b.role", "iodine"),
            ("components.b.target", "0.03 mol/L"),
            ("components.b.molar_mass", "253.80894 g/mol"),
            ("components.c.name", "guanidinium thiocyanate"),
            ("components.c.target", "0.1 mol/L"),
            ("components.c.molar_mass", "118.158 g/mol"),
            ("components.d.name", "4-tert-butylpyridine"),
            ("components.d.target", "0.5 mol/L"),
            ("components.d.molar_mass", "135.21 g/mol"),
            ("components.d.form", "liquid"),
            ("components.d.density", "0.915 g/mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "85"),
            ("solvents.s.density", "0.776 g/mL"),
            ("solvents.t.name", "valeronitrile"),
            ("solvents.t.parts", "15"),
            ("solvents.t.density", "0.796 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "798.37941 mg", 7.9837941e-06),
            expect("recipe.a.made", "0.6 mol/L", 1e-12),
            expect("recipe.b.mass", "38.071341 mg", 3.8071341e-07),
            expect("recipe.b.made", "0.03 mol/L", 1e-12),
            expect("recipe.c.mass", "59.079 mg", 5.9079e-07),
            expect("recipe.c.made", "0.1 mol/L", 1e-12),
            expect("recipe.d.mass", "338.025 mg", 3.38025e-06),
            expect("recipe.d.made", "0.5 mol/L", 1e-12),
            expect("iodide_total", "0.6 mol/L", 1e-12),
        ],
        source: memory("recipe of the type A6141; masses from formula weights, Python 3.11"),
    },
    Case {
        title: "the first of its kind, in ethylene carbonate and acetonitrile",
        inputs: &[
            ("volume", "10 mL"),
            ("components.a.name", "tetrapropylammonium iodide"),
            ("components.a.role", "iodide"),
            ("components.a.target", "0.5 mol/L"),
            ("components.a.molar_mass", "313.26747 g/mol"),
            ("components.b.name", "potassium iodide"),
            ("components.b.role", "iodide"),
            ("components.b.target", "0.02 mol/L"),
            ("components.b.molar_mass", "166.00277 g/mol"),
            ("components.c.name", "iodine"),
            ("components.c.role", "iodine"),
            ("components.c.target", "0.04 mol/L"),
            ("components.c.molar_mass", "253.80894 g/mol"),
            ("solvents.s.name", "ethylene carbonate"),
            ("solvents.s.parts", "80"),
            ("solvents.t.name", "acetonitrile"),
            ("solvents.t.parts", "20"),
            ("solvents.t.density", "0.776 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "1566.33735 mg", 1.5663374e-05),
            expect("recipe.a.made", "0.5 mol/L", 1e-12),
            expect("recipe.b.mass", "33.200554 mg", 3.3200554e-07),
            expect("recipe.b.made", "0.02 mol/L", 1e-12),
            expect("recipe.c.mass", "101.523576 mg", 1.0152358e-06),
            expect("recipe.c.made", "0.04 mol/L", 1e-12),
            expect("iodide_total", "0.52 mol/L", 1e-12),
            expect("solvent_recipe.s.volume", "8 mL", 1e-12),
            expect("solvent_recipe.t.volume", "2 mL", 1e-12),
            expect("solvent_recipe.t.mass", "1.552 g", 1e-09),
        ],
        source: memory(
            "recipe of O'Regan and Grätzel 1991; masses from formula weights, Python 3.11",
        ),
    },
    Case {
        title: "cobalt(II) and cobalt(III)",
        inputs: &[
            ("volume", "2 mL"),
            ("components.a.name", "Co(bpy)₃(PF₆)₂"),
            ("components.a.target", "0.22 mol/L"),
            ("components.a.molar_mass", "817.425556 g/mol"),
            ("components.b.name", "Co(bpy)₃(PF₆)₃"),
            ("components.b.target", "0.05 mol/L"),
            ("components.b.molar_mass", "962.389737 g/mol"),
            ("components.c.name", "lithium perchlorate"),
            ("components.c.target", "0.1 mol/L"),
            ("components.c.molar_mass", "106.386 g/mol"),
            ("components.d.name", "4-tert-butylpyridine"),
            ("components.d.target", "0.2 mol/L"),
            ("components.d.molar_mass", "135.21 g/mol"),
            ("components.d.form", "liquid"),
            ("components.d.density", "0.915 g/mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "1"),
            ("solvents.s.density", "0.776 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "359.6672446 mg", 3.5966724e-06),
            expect("recipe.a.made", "0.22 mol/L", 1e-12),
            expect("recipe.b.mass", "96.23897369 mg", 9.6238974e-07),
            expect("recipe.b.made", "0.05 mol/L", 1e-12),
            expect("recipe.c.mass", "21.2772 mg", 2.12772e-07),
            expect("recipe.c.made", "0.1 mol/L", 1e-12),
            expect("recipe.d.mass", "54.084 mg", 5.4084e-07),
            expect("recipe.d.made", "0.2 mol/L", 1e-12),
            expect("recipe.d.volume", "59.10819672 uL", 1e-06),
        ],
        source: memory(
            "recipe of cobalt cells, 2010 to 2014; hexafluorophosphates assumed; masses from formula weights, Python 3.11",
        ),
    },
    Case {
        title: "copper(I) and copper(II)",
        inputs: &[
            ("volume", "1 mL"),
            ("components.a.name", "Cu(tmby)₂TFSI"),
            ("components.a.target", "0.2 mol/L"),
            ("components.a.molar_mass", "768.273419 g/mol"),
            ("components.b.name", "Cu(tmby)₂(TFSI)₂"),
            ("components.b.target", "0.04 mol/L"),
            ("components.b.molar_mass", "1048.40884 g/mol"),
            (
                "components.c.name",
                "lithium bis(trifluoromethylsulfonyl)imide",
            ),
            ("components.c.target", "0.1 mol/L"),
            ("components.c.molar_mass", "287.075419 g/mol"),
            ("components.d.name", "4-tert-butylpyridine"),
            ("components.d.target", "0.6 mol/L"),
            ("components.d.molar_mass", "135.21 g/mol"),
            ("components.d.form", "liquid"),
            ("components.d.density", "0.915 g/mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "1"),
            ("solvents.s.density", "0.776 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "153.6546838 mg", 1.5365468e-06),
            expect("recipe.a.made", "0.2 mol/L", 1e-12),
            expect("recipe.b.mass", "41.93635352 mg", 4.1936354e-07),
            expect("recipe.b.made", "0.04 mol/L", 1e-12),
            expect("recipe.c.mass", "28.7075419 mg", 2.8707542e-07),
            expect("recipe.c.made", "0.1 mol/L", 1e-12),
            expect("recipe.d.mass", "81.126 mg", 8.1126e-07),
            expect("recipe.d.made", "0.6 mol/L", 1e-12),
            expect("recipe.d.volume", "88.66229508 uL", 1e-06),
        ],
        source: memory(
            "recipe of copper cells, 2016 to 2020; masses from formula weights, Python 3.11",
        ),
    },
    Case {
        title: "a moist, impure salt as it was weighed",
        // 0.1 mol/L in 10 mL is 1 mmol, 133.844 mg; in the bottle 98 % of 95 % of it: 143.763694951 mg. 150 mg hold
        // 139.65 mg, 1.04337885897 mmol; in 10.1 mL.
        inputs: &[
            ("volume", "10 mL"),
            ("actual_final_volume", "10.1 mL"),
            ("components.a.name", "lithium iodide"),
            ("components.a.role", "iodide"),
            ("components.a.target", "0.1 mol/L"),
            ("components.a.molar_mass", "133.844 g/mol"),
            ("components.a.purity", "98 %"),
            ("components.a.water", "5 %"),
            ("components.a.actual_mass", "150 mg"),
            ("solvents.s.density", "0.776 g/mL"),
        ],
        expected: &[
            expect("recipe.a.mass", "143.763694951 mg", 1e-9),
            expect("recipe.a.made", "103.304837522 mmol/L", 1e-8),
            expect("iodide_total", "103.304837522 mmol/L", 1e-8),
            // 7.8376 g of solvent and 0.15 g of salt, 7.5 mg of it water.
            expect("total_mass", "7.9876 g", 1e-12),
            expect("water_share", "0.0938955381 %", 1e-10),
        ],
        source: DEFINITIONS,
    },
    Case {
        title: "what an additive measured by volume made",
        inputs: &[
            ("volume", "10 mL"),
            ("components.a.name", "4-tert-butylpyridine"),
            ("components.a.form", "liquid"),
            ("components.a.target", "0.5 mol/L"),
            ("components.a.molar_mass", "135.21 g/mol"),
            ("components.a.density", "0.915 g/mL"),
            ("components.a.actual_volume", "0.75 mL"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "85"),
            ("solvents.s.actual_volume", "8 mL"),
            ("solvents.t.name", "valeronitrile"),
            ("solvents.t.parts", "15"),
            ("solvents.t.actual_volume", "2 mL"),
        ],
        expected: &[
            // 0.68625 g in 10 mL
            expect("recipe.a.made", "0.507543820723 mol/L", 1e-11),
            expect("solvent_volume", "9.25 mL", 1e-12),
            expect("solvent_recipe.s.volume", "7.8625 mL", 1e-12),
            expect("solvent_recipe.s.share", "80 %", 1e-12),
        ],
        source: DEFINITIONS,
    },
    Case {
        title: "too little iodine to weigh",
        // Least mass 2·(0.05 mg/√3)·√2/0.01 = 8.16496580928 mg; 1.2690447 mg of iodine are wanted.
        inputs: &[
            ("volume", "100 uL"),
            ("components.a.name", "iodine"),
            ("components.a.role", "iodine"),
            ("components.a.target", "0.05 mol/L"),
            ("components.a.molar_mass", "253.80894 g/mol"),
            ("balance", "readability"),
            ("readability", "0.1 mg"),
        ],
        expected: &[
            expect("least_mass", "8.16496580928 mg", 1e-10),
            expect("least_volume", "643.394658145 uL", 1e-8),
        ],
        source: ROUNDING,
    },
];

struct Electrolyte;

/// One component, planned and used.
struct Portion<'a, S> {
    /// The row's stable id.
    id: &'a str,
    row: Given<'a, S>,
    /// Planned mass.
    planned: S,
    /// The mass actually used, otherwise the planned one.
    used: S,
    /// The share of it that is the component itself.
    content: S,
}

impl<'a, S: Scalar> Portion<'a, S> {
    fn new(id: &'a str, row: Given<'a, S>, volume: S) -> Result<Self, Problem> {
        let content = row[&PURITY] * (-row[&WATER] + 1.0);
        let planned = row[&TARGET] * volume * row[&MOLAR_MASS] / content;
        let measured = row.get(&ACTUAL_VOLUME);
        let poured = measured
            .zip(row.get(&DENSITY))
            .map(|(volume, density)| volume * density);
        if measured.is_some() && poured.is_none() {
            return Err(Problem::in_path(
                cell(id, &DENSITY),
                "density_missing",
                "A volume was used, and its mass is not known without the density.",
                "Enter the density, or the mass instead of the volume.",
            ));
        }
        let weighed = row.get(&ACTUAL_MASS);
        if weighed.is_some() && poured.is_some() {
            return Err(Problem::in_path(
                cell(id, &ACTUAL_VOLUME),
                "mass_and_volume",
                "Both a mass and a volume are entered as actually used.",
                "Keep the one that was measured and clear the other.",
            ));
        }
        Ok(Portion {
            id,
            row,
            planned,
            used: weighed.or(poured).unwrap_or(planned),
            content,
        })
    }

    /// The concentration that it made in this volume.
    fn made(&self, volume: S) -> S {
        self.used * self.content / (self.row[&MOLAR_MASS] * volume)
    }

    /// The volume that a mass of it takes up; none where its density is not known.
    fn room(&self, mass: S) -> Option<S> {
        self.row.get(&DENSITY).map(|density| mass / density)
    }

    /// A liquid whose density is known is measured by volume.
    fn is_poured(&self) -> bool {
        self.row.choice(&FORM) == "liquid" && self.row.get(&DENSITY).is_some()
    }
}

/// The path of a component's cell.
fn cell(row: &str, column: &Field) -> String {
    format!("{}.{row}.{}", COMPONENTS.id, column.id)
}

/// The components, in the order of the table.
fn portions<'a, S: Scalar>(given: &Given<'a, S>) -> Result<Vec<Portion<'a, S>>, Problem> {
    let volume = given[&VOLUME];
    given
        .rows(&COMPONENTS)
        .map(|(id, row)| Portion::new(id, row, volume))
        .collect()
}

fn sum<S: Scalar>(numbers: impl Iterator<Item = S>) -> S {
    numbers.fold(S::constant(0.0), |sum, number| sum + number)
}

impl Formula for Electrolyte {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let volume = given.get(&ACTUAL_FINAL_VOLUME).unwrap_or(given[&VOLUME]);
        let portions = portions(given)?;
        let mut found = Found::new();
        found.set(&MADE_VOLUME, volume);
        let recipe = portions.iter().map(|portion| {
            let mut cells = vec![(&MASS as &'static Field, portion.planned)];
            if portion.is_poured()
                && let Some(room) = portion.room(portion.planned)
            {
                cells.push((&LIQUID_VOLUME, room));
            }
            cells.push((&MADE, portion.made(volume)));
            FoundRow {
                id: portion.id.into(),
                cells,
            }
        });
        found.set_rows(&RECIPE, recipe.collect());

        let solvent = volume - sum(portions.iter().filter_map(|p| p.room(p.used)));
        fits(solvent.value(), volume.value())?;
        let components = sum(portions.iter().map(|portion| portion.used));
        if let Some(density) = set_solvents(given, &mut found, solvent) {
            let total = components + solvent * density;
            let water = sum(portions.iter().map(|p| p.used * p.row[&WATER]));
            found.set(&TOTAL_MASS, total);
            found.set(&WATER_SHARE, water / total);
        }

        let total = |role| {
            let mut made = portions
                .iter()
                .filter(|portion| portion.row.choice(&ROLE) == role)
                .map(|portion| portion.made(volume));
            let first = made.next()?;
            Some(made.fold(first, |sum, made| sum + made))
        };
        let (iodide, iodine) = (total("iodide"), total("iodine"));
        found.set_some(&IODIDE_TOTAL, iodide);
        found.set_some(&IODINE_TOTAL, iodine);
        if let (Some(iodide), Some(iodine), Some(constant)) = (iodide, iodine, given.get(&CONSTANT))
        {
            set_species(&mut found, iodide, iodine, constant);
        }
        if let Some(least) = least_mass(given) {
            found.set(&LEAST_MASS, least);
            let lightest = portions
                .iter()
                .filter(|portion| !portion.is_poured())
                .map(|portion| portion.planned)
                .reduce(Scalar::min);
            found.set_some(
                &LEAST_VOLUME,
                lightest.map(|mass| given[&VOLUME] * least / mass),
            );
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(portions) = portions(given) else {
            return Vec::new();
        };
        let mut checks = Vec::new();
        for (number, portion) in portions.iter().enumerate() {
            let name = name(portion, number);
            checks.extend(against_recipe(portion, &name));
            checks.extend(weighable(portion, &name, found));
        }
        checks.extend(solvents_against_recipe(given, found));
        checks.extend(reached(given));
        checks.extend(upper_limits(&portions, found));
        checks.extend(wet(found));
        if given.choice(&COUPLE) == "equilibrium" {
            checks.push(against_table(given));
            checks.extend(no_couple(found));
            checks.extend(undissolved(given, found));
        }
        checks.extend(excess(found.get(&IODIDE_TOTAL), found.get(&IODINE_TOTAL)));
        checks
    }
}

/// The components must leave room for some solvent, or just fill the volume.
fn fits(solvent: f64, volume: f64) -> Result<(), Problem> {
    // Rounding must not make what just fits overflow.
    if solvent >= -1e-9 * volume {
        return Ok(());
    }
    Err(Problem::at(
        &COMPONENTS,
        "components_above_volume",
        format!(
            "The components alone take up {}, more than the volume of electrolyte ({}).",
            SOLVENT_VOLUME.say(volume - solvent),
            MADE_VOLUME.say(volume)
        ),
        "Enter lower concentrations or a larger volume, and look again at densities and volumes.",
    ))
}

/// Sets what is needed of each solvent; gives the density of the mixture where every density is known.
fn set_solvents<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>, whole: S) -> Option<S> {
    let rows: Vec<_> = given.rows(&SOLVENTS).collect();
    if rows.is_empty() {
        return None;
    }
    found.set(&SOLVENT_VOLUME, whole);
    let parts = sum(rows.iter().map(|(_, row)| row[&PARTS]));
    let planned: Vec<S> = rows
        .iter()
        .map(|(_, row)| whole * row[&PARTS] / parts)
        .collect();
    let used = rows
        .iter()
        .zip(&planned)
        .map(|((_, row), planned)| row.get(&SOLVENT_ACTUAL_VOLUME).unwrap_or(*planned));
    let used: Vec<S> = used.collect();
    let mixed = sum(used.iter().copied());
    let mut density = Some(S::constant(0.0));
    let mut recipe = Vec::new();
    for (((id, row), planned), used) in rows.iter().zip(planned).zip(used) {
        let share = used / mixed;
        let mut cells = vec![(&SOLVENT_PART as &'static Field, planned), (&SHARE, share)];
        let own = row.get(&DENSITY);
        cells.extend(own.map(|own| (&SOLVENT_MASS as &'static Field, planned * own)));
        density = density.zip(own).map(|(sum, own)| sum + share * own);
        recipe.push(FoundRow {
            id: (*id).into(),
            cells,
        });
    }
    found.set_rows(&SOLVENT_RECIPE, recipe);
    density
}

/// What a component is called in sentences.
fn name(portion: &Portion<'_, f64>, position: usize) -> String {
    match portion.row.text(&NAME).trim() {
        "" => format!("Row {}", position + 1),
        name => name.into(),
    }
}

/// Compares what was used of a component with the recipe.
fn against_recipe(portion: &Portion<'_, f64>, name: &str) -> Option<Check> {
    if let Some(weighed) = portion.row.get(&ACTUAL_MASS) {
        return Some(actual_against(name, &ACTUAL_MASS, weighed, portion.planned));
    }
    let poured = portion.row.get(&ACTUAL_VOLUME)?;
    let planned = portion.room(portion.planned)?;
    Some(actual_against(name, &ACTUAL_VOLUME, poured, planned))
}

/// Compares what was used of each solvent with the recipe, and all of it with the volume made.
fn solvents_against_recipe(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
    let (Some(recipe), Some(made)) = (found.rows(&SOLVENT_RECIPE), found.get(&MADE_VOLUME)) else {
        return Vec::new();
    };
    let mut checks = Vec::new();
    let mut used = 0.0;
    for (position, ((_, row), planned)) in given.rows(&SOLVENTS).zip(recipe).enumerate() {
        let Some(actual) = row.get(&SOLVENT_ACTUAL_VOLUME) else {
            continue;
        };
        used += actual;
        // Where components fill the volume, no solvent is planned.
        let planned = planned
            .get(&SOLVENT_PART)
            .filter(|volume| *volume > 1e-9 * made);
        checks.extend(planned.map(|planned| {
            let name = row.called(&NAME, position);
            actual_against(&name, &SOLVENT_ACTUAL_VOLUME, actual, planned)
        }));
    }
    if used > made * (1.0 + 1e-9) {
        checks.push(Check::warning(
            "solvents_above_volume",
            format!(
                "The solvents as used ({}) are more than the volume made ({}): enter the volume actually reached.",
                SOLVENT_VOLUME.say(used),
                MADE_VOLUME.say(made)
            ),
            derived("additive volumes"),
        ));
    }
    checks
}

/// Whether the balance weighs a solid well enough.
fn weighable(portion: &Portion<'_, f64>, name: &str, found: &Found<f64>) -> Option<Check> {
    let (least, batch) = (found.get(&LEAST_MASS)?, found.get(&LEAST_VOLUME)?);
    if portion.is_poured() {
        return None;
    }
    let (mass, least_text) = (MASS.say(portion.planned), LEAST_MASS.say(least));
    Some(if portion.planned < least {
        Check::warning(
            "below_least_mass",
            format!(
                "{name}: {mass} is less than this balance weighs with the wanted uncertainty ({least_text}). Weigh more \
                 into a stock and take an aliquot, with the card “Stock and aliquot”, or prepare {} of electrolyte.",
                LEAST_VOLUME.say(batch)
            ),
            ROUNDING,
        )
    } else {
        Check::in_range(
            "above_least_mass",
            format!(
                "{name}: {mass} is above the least mass for the wanted uncertainty ({least_text})."
            ),
            ROUNDING,
        )
    })
}

/// Compares the volume reached with the one that was planned.
fn reached(given: &Given<'_, f64>) -> Option<Check> {
    let actual = given.get(&ACTUAL_FINAL_VOLUME)?;
    let title = ACTUAL_FINAL_VOLUME.title;
    Some(actual_against(
        title,
        &ACTUAL_FINAL_VOLUME,
        actual,
        given[&VOLUME],
    ))
}

/// Says where components without a density make the solvent an upper limit.
fn upper_limits(portions: &[Portion<'_, f64>], found: &Found<f64>) -> Option<Check> {
    let solvent = found.get(&SOLVENT_VOLUME)?;
    let without = portions
        .iter()
        .filter(|p| p.row.get(&DENSITY).is_none())
        .count();
    (without > 0).then(|| {
        Check::note(
            "solvent_upper_limit",
            format!(
                "Components without a density ({without}) count as taking up no room: {} of solvent is enough, and \
                 total mass is an upper limit. Fill up to the mark instead of adding the solvent by volume.",
                SOLVENT_VOLUME.say(solvent)
            ),
            derived("additive volumes"),
        )
    })
}

/// Water that the components bring.
fn wet(found: &Found<f64>) -> Option<Check> {
    let share = found.get(&WATER_SHARE)?;
    (share >= WET).then(|| {
        Check::note(
            "water_from_components",
            format!(
                "The components bring {}\u{202F}% of water into the electrolyte. Where that matters, dry them first.",
                value_text(share * 100.0, 2)
            ),
            HYGROSCOPIC,
        )
    })
}

/// Triiodide needs both partners.
fn no_couple(found: &Found<f64>) -> Option<Check> {
    found.get(&TRIIODIDE).is_none().then(|| {
        Check::note(
            "no_couple",
            "Triiodide is not computed: mark at least one component as iodide and one as iodine.",
            DEFINITIONS,
        )
    })
}
