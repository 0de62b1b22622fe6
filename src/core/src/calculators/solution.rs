//! # What it computes
//! The mass of a solid or the volume of a liquid for a wanted amount concentration, mass concentration or mass
//! fraction; the final volume or mass that a given portion makes; and what was made from the portions actually
//! weighed or measured. On request the volume fraction and the density of the mixture, and the least mass that a
//! balance weighs well enough.
//!
//! # Formulas
//! m_B = c·V·M, γ·V or w·m_f; m = m_B/P; V_r = m/ρ_r; c = m·P/(M·V); γ = m·P/V; w = m·P/(m + m_s);
//! m_s = m·P/w − m; φ = (m_B/ρ_B)/(m_B/ρ_B + (m_f − m_B)/ρ_s) or γ/ρ_B;
//! m_min = k·√2·(d/2)/√3/r.
//!
//! # Symbols and units
//! c amount concentration (mol/m³); γ mass concentration (kg/m³); w mass fraction (1); V final volume (m³); m_f
//! final mass (kg); M molar mass (kg/mol); m_B mass of solute (kg); m mass weighed (kg); P purity, the mass fraction
//! of the solute in what is weighed or measured (1); V_r volume measured (m³); ρ_r its density (kg/m³); m_s mass of
//! solvent (kg); φ volume fraction (1); ρ_B, ρ_s density of solute and solvent (kg/m³); d readability (kg); k
//! coverage factor (1); r wanted relative expanded uncertainty (1).
//!
//! # Valid range
//! All quantities above zero, purity and mass fractions up to 1; a target is not above the reagent itself.
//!
//! # Assumptions
//! What is weighed but is not solute counts with the solvent. By volume, the solution is filled up to the mark.
//! Volume fraction and density of the mixture take the volumes of solute and solvent as additive: good for a powder
//! that does not dissolve, poor for many solutions. The least mass counts the rounding of two readings (tare and
//! load) only, each rectangular with half-width d/2.
//!
//! # Sources
//! Definitions of the quantities; OpenStax Chemistry 2e, sections 3.3 and 3.4; JCGM 100:2008, F.2.2.1 (rounding of
//! a display).
//!
//! # Worked example
//! 0.250 L of 5.30 mol/L sodium chloride (58.44 g/mol) takes 77.4 g (OpenStax Chemistry 2e, Example 3.17).

use super::*;
use crate::problem::{Check, Level, Problem, Source, computed, derived, memory, practice, read};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static SOLUTE: Field = choice(
    "solute",
    "Solute",
    &[
        option("solid", "solid, by mass"),
        option("liquid", "liquid, by volume"),
    ],
);
static TARGET_AS: Field = choice(
    "target_as",
    "Concentration as",
    &[
        option("amount_concentration", "amount concentration"),
        option("mass_concentration", "mass concentration"),
        option("mass_fraction", "mass fraction"),
    ],
);
static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("portion", "what to weigh or measure"),
        option("final", "how much it makes"),
        option("made", "what was made"),
    ],
);
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass", Kind::MolarMass)
    .symbol("M")
    .units(&["g/mol"])
    .positive();
static PURITY: Field = quantity("purity", "Purity", Kind::MassFraction)
    .symbol("P")
    .help("Mass fraction of the solute in what is weighed or measured; of a concentrated reagent, its mass fraction.")
    .units(&["%"])
    .range(Range::FRACTION)
    .initially("100");
static REAGENT_DENSITY: Field = quantity("reagent_density", "Density of the liquid", Kind::Density)
    .symbol("ρᵣ")
    .units(&["g/mL", "g/cm3"])
    .positive();
static TARGET: Field = quantity("target", "Target concentration", Kind::AmountConcentration)
    .symbol("c*")
    .units(&["mmol/L", "mol/L", "umol/L"])
    .positive();
static TARGET_MASS_CONCENTRATION: Field = quantity(
    "target_mass_concentration",
    "Target mass concentration",
    Kind::MassConcentration,
)
.symbol("γ*")
.units(&["g/L", "mg/mL", "mg/L"])
.positive();
static TARGET_FRACTION: Field = quantity(
    "target_fraction",
    "Target mass fraction",
    Kind::MassFraction,
)
.symbol("w*")
.units(&["%", "mg/g", "mg/kg"])
.range(Range::FRACTION);
static MASS: Field = quantity("mass", "Mass of solid", Kind::Mass)
    .symbol("m")
    .help("As it stands on the balance, with whatever it holds besides the solute.")
    .units(&["mg", "g", "ug"])
    .positive()
    .measured();
static REAGENT_VOLUME: Field = quantity("reagent_volume", "Volume of liquid", Kind::Volume)
    .symbol("Vᵣ")
    .units(&["mL", "uL", "L"])
    .positive()
    .measured();
static FINAL_VOLUME: Field = quantity("final_volume", "Final volume", Kind::Volume)
    .symbol("V")
    .help("The mark that the solution is filled up to.")
    .units(&["mL", "L", "uL"])
    .positive();
static FINAL_MASS: Field = quantity("final_mass", "Final mass", Kind::Mass)
    .symbol("m_f")
    .help("Solute and solvent together.")
    .units(&["g", "mg", "kg"])
    .positive();
static SOLVENT_MASS: Field = quantity("solvent_mass", "Mass of solvent", Kind::Mass)
    .symbol("mₛ")
    .help("What is added besides the portion of solute.")
    .units(&["g", "mg", "kg"])
    .not_negative()
    .measured();
static ACTUAL_MASS: Field = quantity("actual_mass", "Mass actually weighed", Kind::Mass)
    .symbol("m′")
    .units(&["mg", "g", "ug"])
    .positive()
    .optional()
    .measured();
static ACTUAL_REAGENT_VOLUME: Field = quantity(
    "actual_reagent_volume",
    "Volume actually measured",
    Kind::Volume,
)
.symbol("Vᵣ′")
.units(&["mL", "uL", "L"])
.positive()
.optional()
.measured();
static ACTUAL_FINAL_VOLUME: Field = quantity(
    "actual_final_volume",
    "Final volume actually reached",
    Kind::Volume,
)
.symbol("V′")
.units(&["mL", "L", "uL"])
.positive()
.optional()
.measured();
static ACTUAL_SOLVENT_MASS: Field = quantity(
    "actual_solvent_mass",
    "Mass of solvent actually added",
    Kind::Mass,
)
.symbol("mₛ′")
.units(&["g", "mg", "kg"])
.not_negative()
.optional()
.measured();
static MIXTURE: Field = choice(
    "mixture",
    "Volume fraction and density of the mixture",
    &[
        option("none", "not needed"),
        option("densities", "from the densities"),
    ],
);
static SOLUTE_DENSITY: Field = quantity("solute_density", "Density of the solute", Kind::Density)
    .symbol("ρ_B")
    .help("Of the solid itself, not of the loose powder.")
    .units(&["g/cm3", "g/mL"])
    .positive();
static SOLVENT_DENSITY: Field =
    quantity("solvent_density", "Density of the solvent", Kind::Density)
        .symbol("ρₛ")
        .units(&["g/mL", "g/cm3"])
        .positive();
pub(super) static BALANCE: Field = choice(
    "balance",
    "Least mass to weigh",
    &[
        option("none", "not needed"),
        option("readability", "from the balance's readability"),
    ],
);
pub(super) static READABILITY: Field =
    quantity("readability", "Readability of the balance", Kind::Mass)
        .symbol("d")
        .help("The smallest step of the display.")
        .units(&["mg", "ug", "g"])
        .positive();
pub(super) static TOLERANCE: Field =
    quantity("tolerance", "Wanted relative uncertainty", Kind::Ratio)
        .symbol("r")
        .help("Expanded, with the coverage factor below.")
        .units(&["%"])
        .positive()
        .initially("1");
pub(super) static COVERAGE: Field = quantity("coverage", "Coverage factor", Kind::Ratio)
    .symbol("k")
    .units(&["1"])
    .positive()
    .initially("2");
static CONCENTRATION: Field = quantity(
    "concentration",
    "Concentration made",
    Kind::AmountConcentration,
)
.symbol("c")
.units(&["mmol/L", "mol/L", "umol/L"]);
static MASS_CONCENTRATION: Field = quantity(
    "mass_concentration",
    "Mass concentration made",
    Kind::MassConcentration,
)
.symbol("γ")
.units(&["g/L", "mg/L", "g/mL"]);
static MASS_FRACTION: Field = quantity("mass_fraction", "Mass fraction made", Kind::MassFraction)
    .symbol("w")
    .units(&["%", "mg/kg"]);
static VOLUME_FRACTION: Field = quantity(
    "volume_fraction",
    "Volume fraction of solute",
    Kind::VolumeFraction,
)
.symbol("φ")
.units(&["%"]);
static MIXTURE_DENSITY: Field =
    quantity("mixture_density", "Density of the mixture", Kind::Density)
        .symbol("ρ")
        .units(&["g/mL", "g/cm3"]);
static MIXTURE_VOLUME: Field = quantity("mixture_volume", "Volume of the mixture", Kind::Volume)
    .symbol("V_m")
    .units(&["mL", "L", "uL"]);
pub(super) static LEAST_MASS: Field = quantity("least_mass", "Least mass to weigh", Kind::Mass)
    .symbol("m_min")
    .units(&["mg", "g", "ug"]);
static SOLUTE_NEEDED: Field = quantity("solute_needed", "Mass of solute needed", Kind::Mass)
    .symbol("m_B*")
    .units(&["mg", "g", "ug"]);
static MASS_USED: Field = quantity("mass_used", "Mass of the portion used", Kind::Mass)
    .symbol("m_u")
    .units(&["mg", "g", "ug"]);
static SOLUTE_MASS: Field = quantity("solute_mass", "Mass of solute in it", Kind::Mass)
    .symbol("m_B")
    .units(&["mg", "g", "ug"]);
static AMOUNT: Field = quantity("amount", "Amount of solute", Kind::Amount)
    .symbol("n")
    .units(&["mmol", "umol", "mol"]);
static MADE_VOLUME: Field = quantity("made_volume", "Volume of solution made", Kind::Volume)
    .symbol("V_u")
    .units(&["mL", "L", "uL"]);
static MADE_MASS: Field = quantity("made_mass", "Mass of mixture made", Kind::Mass)
    .symbol("m_t")
    .units(&["g", "mg", "kg"]);
static REAGENT_CONCENTRATION: Field = quantity(
    "reagent_concentration",
    "Concentration of the liquid itself",
    Kind::AmountConcentration,
)
.symbol("cᵣ")
.units(&["mol/L", "mmol/L"]);

/// The two ways that a target is met by filling up to a volume.
const BY_VOLUME: &[&str] = &["amount_concentration", "mass_concentration"];

/// The least mass that a balance weighs well enough.
pub(super) const LEAST_MASS_FORMULA: &str =
    "least_mass = coverage * sqrt(2) * readability / (2 * sqrt(3) * tolerance)";

const DEFINITIONS: Source = derived("definitions of the quantities and conservation of the solute");
pub(super) const ROUNDING: Source = derived(
    "two readings, each rounded to d: rectangular with half-width d/2 (JCGM 100:2008, F.2.2.1)",
);
const REAGENTS: Source = read(
    "OpenStax Chemistry 2e, Appendix F (density, mass fraction, concentration); molar masses computed with \
     periodictable 2.1.0",
);
const RECIPE: Source = computed("formula weights from IUPAC abridged atomic weights, Python 3.11");
const INK: Source = computed("mass balance with additive volumes, Python 3");

/// Weighing or measuring for a concentration, and what was made.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "solution",
    version: 1,
    stage: Stage::Stocks,
    title: "Solution",
    purpose: "What to weigh or measure for a solution or an ink, and what the portions actually used made.",
    inputs: &[
        show(&SOLUTE),
        show(&TARGET_AS),
        show(&FIND),
        show(&MOLAR_MASS).when(&TARGET_AS, &["amount_concentration"]),
        show(&PURITY),
        show(&REAGENT_DENSITY).when(&SOLUTE, &["liquid"]),
        show(&TARGET).when(&TARGET_AS, &["amount_concentration"]).unless(&FIND, &["made"]),
        show(&TARGET_MASS_CONCENTRATION)
            .when(&TARGET_AS, &["mass_concentration"])
            .unless(&FIND, &["made"]),
        show(&TARGET_FRACTION).when(&TARGET_AS, &["mass_fraction"]).unless(&FIND, &["made"]),
        show(&MASS).when(&SOLUTE, &["solid"]).unless(&FIND, &["portion"]),
        show(&REAGENT_VOLUME).when(&SOLUTE, &["liquid"]).unless(&FIND, &["portion"]),
        show(&FINAL_VOLUME).when(&TARGET_AS, BY_VOLUME).unless(&FIND, &["final"]),
        show(&FINAL_MASS).when(&TARGET_AS, &["mass_fraction"]).when(&FIND, &["portion"]),
        show(&SOLVENT_MASS).when(&TARGET_AS, &["mass_fraction"]).when(&FIND, &["made"]),
        show(&ACTUAL_MASS).when(&SOLUTE, &["solid"]).when(&FIND, &["portion"]),
        show(&ACTUAL_REAGENT_VOLUME).when(&SOLUTE, &["liquid"]).when(&FIND, &["portion"]),
        show(&ACTUAL_FINAL_VOLUME).when(&TARGET_AS, BY_VOLUME).unless(&FIND, &["made"]),
        show(&ACTUAL_SOLVENT_MASS).when(&TARGET_AS, &["mass_fraction"]).unless(&FIND, &["made"]),
        show(&MIXTURE),
        show(&SOLUTE_DENSITY).when(&MIXTURE, &["densities"]),
        show(&SOLVENT_DENSITY).when(&MIXTURE, &["densities"]),
        show(&BALANCE).when(&SOLUTE, &["solid"]),
        show(&READABILITY).when(&SOLUTE, &["solid"]).when(&BALANCE, &["readability"]),
        show(&TOLERANCE).when(&SOLUTE, &["solid"]).when(&BALANCE, &["readability"]),
        show(&COVERAGE).when(&SOLUTE, &["solid"]).when(&BALANCE, &["readability"]),
    ],
    outputs: &[
        show(&MASS).when(&SOLUTE, &["solid"]).when(&FIND, &["portion"]),
        show(&REAGENT_VOLUME).when(&SOLUTE, &["liquid"]).when(&FIND, &["portion"]),
        show(&FINAL_VOLUME).when(&TARGET_AS, BY_VOLUME).when(&FIND, &["final"]),
        show(&FINAL_MASS).when(&TARGET_AS, &["mass_fraction"]).when(&FIND, &["final"]),
        show(&SOLVENT_MASS).when(&TARGET_AS, &["mass_fraction"]).unless(&FIND, &["made"]),
        show(&CONCENTRATION).when(&TARGET_AS, &["amount_concentration"]),
        show(&MASS_CONCENTRATION).when(&TARGET_AS, BY_VOLUME),
        show(&MASS_FRACTION).when(&TARGET_AS, &["mass_fraction"]),
        show(&VOLUME_FRACTION).when(&MIXTURE, &["densities"]),
        show(&MIXTURE_DENSITY).when(&MIXTURE, &["densities"]),
        show(&LEAST_MASS).when(&SOLUTE, &["solid"]).when(&BALANCE, &["readability"]),
        show(&SOLUTE_NEEDED).when(&FIND, &["portion"]),
        show(&MASS_USED),
        show(&SOLUTE_MASS),
        show(&AMOUNT).when(&TARGET_AS, &["amount_concentration"]),
        show(&MADE_VOLUME).when(&TARGET_AS, BY_VOLUME),
        show(&MADE_MASS).when(&TARGET_AS, &["mass_fraction"]),
        show(&MIXTURE_VOLUME).when(&TARGET_AS, &["mass_fraction"]).when(&MIXTURE, &["densities"]),
        show(&REAGENT_CONCENTRATION)
            .when(&SOLUTE, &["liquid"])
            .when(&TARGET_AS, &["amount_concentration"]),
    ],
    working: &[
        formula("solute_needed = target * final_volume * molar_mass")
            .when(&TARGET_AS, &["amount_concentration"])
            .when(&FIND, &["portion"]),
        formula("solute_needed = target_mass_concentration * final_volume")
            .when(&TARGET_AS, &["mass_concentration"])
            .when(&FIND, &["portion"]),
        formula("solute_needed = target_fraction * final_mass")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&FIND, &["portion"]),
        formula("mass = solute_needed / purity")
            .when(&SOLUTE, &["solid"])
            .when(&FIND, &["portion"]),
        formula("reagent_volume = solute_needed / (purity * reagent_density)")
            .when(&SOLUTE, &["liquid"])
            .when(&FIND, &["portion"]),
        method(
            "The portion used is the one actually weighed or measured where it is entered, otherwise the planned \
             one.",
        )
        .when(&FIND, &["portion"]),
        formula("mass_used = actual_mass").when(&SOLUTE, &["solid"]).when(&FIND, &["portion"]),
        formula("mass_used = mass").when(&SOLUTE, &["solid"]).without(&ACTUAL_MASS),
        formula("mass_used = actual_reagent_volume * reagent_density")
            .when(&SOLUTE, &["liquid"])
            .when(&FIND, &["portion"]),
        formula("mass_used = reagent_volume * reagent_density")
            .when(&SOLUTE, &["liquid"])
            .without(&ACTUAL_REAGENT_VOLUME),
        formula("solute_mass = mass_used * purity"),
        formula("amount = solute_mass / molar_mass").when(&TARGET_AS, &["amount_concentration"]),
        formula("final_volume = solute_mass / (target * molar_mass)")
            .when(&TARGET_AS, &["amount_concentration"])
            .when(&FIND, &["final"]),
        formula("final_volume = solute_mass / target_mass_concentration")
            .when(&TARGET_AS, &["mass_concentration"])
            .when(&FIND, &["final"]),
        formula("final_mass = solute_mass / target_fraction")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&FIND, &["final"]),
        formula("solvent_mass = solute_mass / target_fraction - mass_used")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&FIND, &["portion", "final"]),
        method("The volume made is the one actually reached where it is entered, otherwise the planned one.")
            .when(&TARGET_AS, BY_VOLUME)
            .when(&FIND, &["portion", "final"]),
        method("The mass made counts the solvent actually added where it is entered, otherwise the planned one.")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&FIND, &["portion", "final"]),
        formula("made_volume = actual_final_volume")
            .when(&TARGET_AS, BY_VOLUME)
            .when(&FIND, &["portion", "final"]),
        formula("made_volume = final_volume").when(&TARGET_AS, BY_VOLUME).without(&ACTUAL_FINAL_VOLUME),
        formula("made_mass = mass_used + actual_solvent_mass")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&FIND, &["portion", "final"]),
        formula("made_mass = mass_used + solvent_mass")
            .when(&TARGET_AS, &["mass_fraction"])
            .without(&ACTUAL_SOLVENT_MASS),
        formula("concentration = amount / made_volume")
            .when(&TARGET_AS, &["amount_concentration"]),
        formula("mass_concentration = solute_mass / made_volume").when(&TARGET_AS, BY_VOLUME),
        formula("mass_fraction = solute_mass / made_mass").when(&TARGET_AS, &["mass_fraction"]),
        formula(
            "mixture_volume = solute_mass / solute_density + (made_mass - solute_mass) / solvent_density",
        )
        .when(&TARGET_AS, &["mass_fraction"])
        .when(&MIXTURE, &["densities"]),
        formula("volume_fraction = solute_mass / (solute_density * mixture_volume)")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&MIXTURE, &["densities"]),
        formula("mixture_density = made_mass / mixture_volume")
            .when(&TARGET_AS, &["mass_fraction"])
            .when(&MIXTURE, &["densities"]),
        formula("volume_fraction = mass_concentration / solute_density")
            .when(&TARGET_AS, BY_VOLUME)
            .when(&MIXTURE, &["densities"]),
        formula("mixture_density = mass_concentration + (1 - volume_fraction) * solvent_density")
            .when(&TARGET_AS, BY_VOLUME)
            .when(&MIXTURE, &["densities"]),
        formula("reagent_concentration = reagent_density * purity / molar_mass")
            .when(&SOLUTE, &["liquid"])
            .when(&TARGET_AS, &["amount_concentration"]),
        formula(LEAST_MASS_FORMULA)
            .when(&SOLUTE, &["solid"])
            .when(&BALANCE, &["readability"]),
    ],
    sources: &[
        DEFINITIONS,
        read("OpenStax Chemistry 2e, sections 3.3 and 3.4"),
        ROUNDING,
    ],
    hazards: &[
        hazards::SOLVENTS,
        Hazard {
            what: "Concentrated reagents",
            caution: "Acids, bases and peroxides corrode skin and eyes, and some fume. Add them to the solvent, \
                      not the solvent to them; goggles, gloves, fume hood.",
        },
        hazards::NANOPOWDERS,
    ],
    formula: both::<Solution>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "mass for an amount concentration: sodium chloride",
        inputs: &[
            ("molar_mass", "58.44 g/mol"),
            ("target", "5.30 mol/L"),
            ("final_volume", "0.250 L"),
        ],
        expected: &[
            expect("mass", "77.4 g", 0.05),
            expect("concentration", "5.30 mol/L", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.17"),
    },
    Case {
        title: "mass for an amount concentration: calcium chloride",
        inputs: &[
            ("molar_mass", "110.98 g/mol"),
            ("target", "0.200 mol/L"),
            ("final_volume", "250.0 mL"),
        ],
        expected: &[expect("mass", "5.55 g", 0.005)],
        source: read("OpenStax Chemistry 2e, Example 3.17, check"),
    },
    Case {
        title: "what was made: acetic acid by mass",
        inputs: &[
            ("find", "made"),
            ("molar_mass", "60.052 g/mol"),
            ("mass", "25.2 g"),
            ("final_volume", "0.500 L"),
        ],
        expected: &[expect("concentration", "0.839 mol/L", 0.0005)],
        source: read("OpenStax Chemistry 2e, Example 3.16"),
    },
    Case {
        title: "amount in a solution: sucrose",
        // The amount does not depend on the molar mass.
        inputs: &[
            ("molar_mass", "342.3 g/mol"),
            ("target", "0.375 mol/L"),
            ("final_volume", "10 mL"),
        ],
        expected: &[
            expect("amount", "0.004 mol", 0.0005),
            expect("amount", "3.75 mmol", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.15"),
    },
    Case {
        title: "how much it makes: potassium bromide",
        inputs: &[
            ("find", "final"),
            ("molar_mass", "119.00 g/mol"),
            ("target", "1.50 mol/L"),
            ("mass", "66.0 g"),
        ],
        expected: &[expect("final_volume", "0.370 L", 0.0005)],
        source: read("OpenStax Chemistry 2e, Example 3.18, check"),
    },
    Case {
        title: "mass fraction: glucose in a sample",
        inputs: &[
            ("target_as", "mass_fraction"),
            ("find", "final"),
            ("target_fraction", "0.075 %"),
            ("mass", "3.75 mg"),
        ],
        expected: &[
            expect("final_mass", "5.0 g", 0.05),
            expect("solvent_mass", "4.99625 g", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.22, solved for the mass of the sample"),
    },
    Case {
        title: "volume of a concentrated reagent: hydrochloric acid",
        inputs: &[
            ("solute", "liquid"),
            ("target_as", "mass_concentration"),
            ("purity", "37.2 %"),
            ("reagent_density", "1.19 g/mL"),
            ("target_mass_concentration", "125 g/L"),
            ("final_volume", "1 L"),
        ],
        expected: &[
            expect("reagent_volume", "282 mL", 0.5),
            expect("solute_mass", "125 g", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.23, check, made up to one litre"),
    },
    Case {
        title: "a trace: 15 µg/kg in 300 g",
        inputs: &[
            ("target_as", "mass_fraction"),
            ("target_fraction", "15 ug/kg"),
            ("final_mass", "300 g"),
        ],
        expected: &[expect("mass", "4.5 ug", 0.05)],
        source: read("OpenStax Chemistry 2e, Example 3.25"),
    },
    Case {
        title: "what was made: mercury in a sample",
        inputs: &[
            ("target_as", "mass_fraction"),
            ("find", "made"),
            ("mass", "0.48 mg"),
            ("solvent_mass", "49.99952 g"),
        ],
        expected: &[
            expect("mass_fraction", "9.6 mg/kg", 0.05),
            expect("mass_fraction", "9600 ug/kg", 50.0),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.25, check"),
    },
    Case {
        title: "what was made: a cadmium standard",
        inputs: &[
            ("target_as", "mass_concentration"),
            ("find", "made"),
            ("purity", "0.9999 g/g"),
            ("mass", "100.28 mg"),
            ("final_volume", "100.0 mL"),
        ],
        expected: &[
            expect("mass_concentration", "1002.7 mg/L", 0.05),
            expect("mass_concentration", "1002.69972 mg/L", 1e-6),
        ],
        source: read("Eurachem/CITAC CG 4, Example A1, Table A1.1 (web edition)"),
    },
    Case {
        title: "the liquid itself: acetic acid, glacial",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "60.052 g/mol"),
            ("purity", "99.5 %"),
            ("reagent_density", "1.05 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[
            expect("concentration", "17.4 mol/L", 0.05),
            expect("reagent_concentration", "17.39742223406381 mol/L", 2e-5),
        ],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: aqueous ammonia",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "17.031 g/mol"),
            ("purity", "28 %"),
            ("reagent_density", "0.90 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "14.8 mol/L", 0.05)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: hydrochloric acid",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "36.458 g/mol"),
            ("purity", "36 %"),
            ("reagent_density", "1.18 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        // The book prints 11.6; its own density and mass fraction give 11.65.
        expected: &[expect("concentration", "11.6 mol/L", 0.06)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: nitric acid",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "63.012 g/mol"),
            ("purity", "71 %"),
            ("reagent_density", "1.42 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "16.0 mol/L", 0.05)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: perchloric acid",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "100.454 g/mol"),
            ("purity", "70 %"),
            ("reagent_density", "1.67 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "11.65 mol/L", 0.015)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: phosphoric acid",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "97.9938 g/mol"),
            ("purity", "85 %"),
            ("reagent_density", "1.70 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "14.7 mol/L", 0.05)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: sodium hydroxide",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "39.9968 g/mol"),
            ("purity", "50 %"),
            ("reagent_density", "1.53 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "19.1 mol/L", 0.05)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: sulfuric acid",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "98.072 g/mol"),
            ("purity", "96 %"),
            ("reagent_density", "1.84 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "18.0 mol/L", 0.05)],
        source: REAGENTS,
    },
    Case {
        title: "the liquid itself: hydrogen peroxide",
        inputs: &[
            ("solute", "liquid"),
            ("find", "made"),
            ("molar_mass", "34.014 g/mol"),
            ("purity", "30 %"),
            ("reagent_density", "1.11 g/mL"),
            ("reagent_volume", "1 L"),
            ("final_volume", "1 L"),
        ],
        expected: &[expect("concentration", "9.8 mol/L", 0.05)],
        source: memory("label values of a 30 % reagent"),
    },
    Case {
        title: "by mass: hydrochloric acid in water",
        inputs: &[
            ("target_as", "mass_fraction"),
            ("find", "made"),
            ("purity", "37.2 %"),
            ("mass", "10.00 g"),
            ("solvent_mass", "90.00 g"),
        ],
        expected: &[expect("mass_fraction", "3.72 %", 1e-9)],
        source: computed("mass balance, Python 3"),
    },
    Case {
        title: "an ink: anatase in ethanol",
        inputs: &[
            ("target_as", "mass_fraction"),
            ("target_fraction", "20 %"),
            ("final_mass", "10 g"),
            ("mixture", "densities"),
            ("solute_density", "3.9 g/cm3"),
            ("solvent_density", "0.789 g/cm3"),
        ],
        expected: &[
            expect("mass", "2 g", 1e-9),
            expect("solvent_mass", "8 g", 1e-9),
            expect("volume_fraction", "4.8142046494600035 %", 1e-9),
            expect("mixture_density", "0.9387699066447006 g/cm3", 1e-9),
        ],
        source: INK,
    },
    Case {
        title: "an ink: tin dioxide in water",
        inputs: &[
            ("target_as", "mass_fraction"),
            ("find", "made"),
            ("mass", "1.5 g"),
            ("solvent_mass", "8.5 g"),
            ("mixture", "densities"),
            ("solute_density", "6.85 g/cm3"),
            ("solvent_density", "0.998 g/cm3"),
        ],
        expected: &[
            expect("volume_fraction", "2.5066139780985236 %", 1e-9),
            expect("mixture_density", "1.1446870499983257 g/cm3", 1e-9),
        ],
        source: INK,
    },
    Case {
        title: "the same ink by mass concentration",
        inputs: &[
            ("target_as", "mass_concentration"),
            ("target_mass_concentration", "171.70305749974884 g/L"),
            ("final_volume", "10 mL"),
            ("mixture", "densities"),
            ("solute_density", "6.85 g/cm3"),
            ("solvent_density", "0.998 g/cm3"),
        ],
        expected: &[
            expect("volume_fraction", "2.5066139780985236 %", 1e-9),
            expect("mixture_density", "1.1446870499983257 g/cm3", 1e-9),
        ],
        source: INK,
    },
    Case {
        title: "an ink as it was weighed",
        // Planned 2 g in 10 g; 2.1 g in 8.3 g of solvent were used: 2.1/10.4.
        inputs: &[
            ("target_as", "mass_fraction"),
            ("target_fraction", "20 %"),
            ("final_mass", "10 g"),
            ("actual_mass", "2.1 g"),
            ("actual_solvent_mass", "8.3 g"),
            ("mixture", "densities"),
            ("solute_density", "5 g/cm3"),
            ("solvent_density", "1 g/cm3"),
        ],
        expected: &[
            expect("mass", "2 g", 1e-9),
            expect("solvent_mass", "8.4 g", 1e-9),
            expect("mass_fraction", "20.192307692307693 %", 1e-9),
            expect("volume_fraction", "4.8165137614678897 %", 1e-9),
        ],
        source: DEFINITIONS,
    },
    Case {
        title: "a solution as it was weighed and filled",
        inputs: &[
            ("molar_mass", "200 g/mol"),
            ("target", "0.1 mol/L"),
            ("final_volume", "50 mL"),
            ("purity", "98 %"),
            ("actual_mass", "1.05 g"),
            ("actual_final_volume", "49 mL"),
        ],
        expected: &[
            expect("mass", "1.0204081632653061 g", 1e-9),
            expect("concentration", "0.105 mol/L", 1e-9),
            expect("mass_concentration", "21 g/L", 1e-9),
        ],
        source: DEFINITIONS,
    },
    Case {
        title: "a liquid as it was measured",
        inputs: &[
            ("solute", "liquid"),
            ("molar_mass", "100 g/mol"),
            ("reagent_density", "1.2 g/mL"),
            ("purity", "50 %"),
            ("target", "0.6 mol/L"),
            ("final_volume", "100 mL"),
            ("actual_reagent_volume", "11 mL"),
        ],
        expected: &[
            expect("reagent_volume", "10 mL", 1e-9),
            expect("concentration", "0.66 mol/L", 1e-9),
            expect("reagent_concentration", "6 mol/L", 1e-9),
        ],
        source: DEFINITIONS,
    },
    Case {
        title: "electrolyte: lithium iodide",
        inputs: &[
            ("molar_mass", "133.844 g/mol"),
            ("target", "0.1 mol/L"),
            ("final_volume", "10 mL"),
        ],
        expected: &[expect("mass", "0.1338 g", 1e-4)],
        source: RECIPE,
    },
    Case {
        title: "electrolyte: iodine",
        inputs: &[
            ("molar_mass", "253.809 g/mol"),
            ("target", "0.05 mol/L"),
            ("final_volume", "10 mL"),
        ],
        expected: &[expect("mass", "0.1269 g", 1e-4)],
        source: RECIPE,
    },
    Case {
        title: "least mass on a balance that reads 0.1 mg",
        inputs: &[
            ("molar_mass", "741.939 g/mol"),
            ("target", "0.5 mmol/L"),
            ("final_volume", "50 mL"),
            ("balance", "readability"),
            ("readability", "0.1 mg"),
        ],
        // 2 · 0.040824829 mg / 0.01, about 82 steps of the display.
        expected: &[expect("least_mass", "8.164965809277260 mg", 1e-9)],
        source: computed("standard uncertainty of a difference of two readings, scipy 1.17.1"),
    },
];

struct Solution;

impl Formula for Solution {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let find = given.choice(&FIND);
        let by_mass = given.choice(&TARGET_AS) == "mass_fraction";
        let purity = given[&PURITY];
        let target = given[target_field(given)];
        // Mass of solute per target and per final volume or mass.
        let scale = given.get(&MOLAR_MASS).unwrap_or(S::constant(1.0));
        if find != "made" {
            strong_enough(given, target * scale)?;
        }

        let mut found = Found::new();
        let planned = (find == "portion").then(|| {
            let whole = if by_mass {
                given[&FINAL_MASS]
            } else {
                given[&FINAL_VOLUME]
            };
            target * whole * scale / purity
        });
        if let Some(planned) = planned {
            found.set(&SOLUTE_NEEDED, planned * purity);
        }
        let used = if given.choice(&SOLUTE) == "liquid" {
            let density = given[&REAGENT_DENSITY];
            let planned = planned.map(|mass| mass / density);
            found.set_some(&REAGENT_VOLUME, planned);
            let actual = given.get(&ACTUAL_REAGENT_VOLUME).or(planned);
            actual.unwrap_or(given[&REAGENT_VOLUME]) * density
        } else {
            found.set_some(&MASS, planned);
            given.get(&ACTUAL_MASS).or(planned).unwrap_or(given[&MASS])
        };
        let solute = used * purity;
        found.set(&MASS_USED, used);
        found.set(&SOLUTE_MASS, solute);
        found.set_some(&AMOUNT, given.get(&MOLAR_MASS).map(|molar| solute / molar));

        if by_mass {
            let planned = (find != "made").then(|| solute / target - used);
            found.set_some(&SOLVENT_MASS, planned);
            if find == "final" {
                found.set(&FINAL_MASS, solute / target);
            }
            let solvent = given.get(&ACTUAL_SOLVENT_MASS).or(planned);
            let whole = used + solvent.unwrap_or(given[&SOLVENT_MASS]);
            found.set(&MADE_MASS, whole);
            found.set(&MASS_FRACTION, solute / whole);
            mixture_by_mass(given, &mut found, solute, whole);
        } else {
            let planned = if find == "final" {
                let volume = solute / (target * scale);
                found.set(&FINAL_VOLUME, volume);
                volume
            } else {
                given[&FINAL_VOLUME]
            };
            let whole = given.get(&ACTUAL_FINAL_VOLUME).unwrap_or(planned);
            fits(given, used, whole)?;
            found.set(&MADE_VOLUME, whole);
            found.set_some(
                &CONCENTRATION,
                given.get(&MOLAR_MASS).map(|molar| solute / molar / whole),
            );
            found.set(&MASS_CONCENTRATION, solute / whole);
            mixture_by_volume(given, &mut found, solute / whole)?;
        }
        if let (Some(density), Some(molar)) = (given.get(&REAGENT_DENSITY), given.get(&MOLAR_MASS))
        {
            found.set(&REAGENT_CONCENTRATION, density * purity / molar);
        }
        found.set_some(&LEAST_MASS, least_mass(given));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let portion = if given.choice(&SOLUTE) == "liquid" {
            against_plan(&REAGENT_VOLUME, &ACTUAL_REAGENT_VOLUME, given, found)
        } else {
            against_plan(&MASS, &ACTUAL_MASS, given, found)
        };
        [
            portion,
            made_against_target(given, found),
            weighable(found),
            crowded(given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// The least mass that the balance weighs with the wanted uncertainty; none where no balance is named.
pub(super) fn least_mass<S: Scalar>(given: &Given<'_, S>) -> Option<S> {
    let reading = given.get(&READABILITY)? / 2.0 / 3.0_f64.sqrt();
    Some(given[&COVERAGE] * reading * 2.0_f64.sqrt() / given[&TOLERANCE])
}

/// The field that holds the target.
fn target_field<S: Scalar>(given: &Given<'_, S>) -> &'static Field {
    match given.choice(&TARGET_AS) {
        "mass_fraction" => &TARGET_FRACTION,
        "mass_concentration" => &TARGET_MASS_CONCENTRATION,
        _ => &TARGET,
    }
}

/// A target above what is weighed or measured undiluted cannot be reached.
fn strong_enough<S: Scalar>(given: &Given<'_, S>, wanted: S) -> Result<(), Problem> {
    let field = target_field(given);
    let purity = given[&PURITY].value();
    let target = given[field].value();
    if field.is(&TARGET_FRACTION) {
        if target > purity {
            return Err(Problem::at(
                field,
                "target_above_purity",
                format!(
                    "The target ({}) is above the purity of what is used ({}): the solvent to add would be negative.",
                    field.say(target),
                    PURITY.say(purity)
                ),
                "Enter a lower target, or use a purer or more concentrated reagent.",
            ));
        }
    } else if let Some(density) = given.get(&REAGENT_DENSITY) {
        let strongest = density.value() * purity;
        if wanted.value() > strongest {
            // In the terms of the target: the same ratio.
            let strongest = target * strongest / wanted.value();
            return Err(Problem::at(
                field,
                "target_above_reagent",
                format!(
                    "The target ({}) is above the liquid itself ({}): no volume of it is enough.",
                    field.say(target),
                    field.say(strongest)
                ),
                "Enter a lower target, or use a more concentrated liquid. Check purity and density.",
            ));
        }
    }
    Ok(())
}

/// The liquid measured must fit into the final volume.
fn fits<S: Scalar>(given: &Given<'_, S>, used: S, whole: S) -> Result<(), Problem> {
    let Some(density) = given.get(&REAGENT_DENSITY) else {
        return Ok(());
    };
    let (volume, whole) = (used.value() / density.value(), whole.value());
    // The undiluted liquid fits exactly; rounding must not make it overflow.
    if volume <= whole * (1.0 + 1e-9) {
        return Ok(());
    }
    let measured = [&ACTUAL_REAGENT_VOLUME, &REAGENT_VOLUME];
    let filled = [&ACTUAL_FINAL_VOLUME, &FINAL_VOLUME];
    let entered = measured
        .into_iter()
        .chain(filled)
        .find(|field| given.get(field).is_some());
    Err(Problem::at(
        entered.unwrap_or(&FINAL_VOLUME),
        "negative_solvent",
        format!(
            "The volume of liquid ({}) is more than the final volume ({}): the solvent to add would be negative.",
            REAGENT_VOLUME.say(volume),
            FINAL_VOLUME.say(whole)
        ),
        "Enter a larger final volume, or a smaller volume of liquid.",
    ))
}

/// Volume fraction and density from masses.
fn mixture_by_mass<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>, solute: S, whole: S) {
    let (Some(solid), Some(liquid)) = (given.get(&SOLUTE_DENSITY), given.get(&SOLVENT_DENSITY))
    else {
        return;
    };
    let volume = solute / solid + (whole - solute) / liquid;
    found.set(&MIXTURE_VOLUME, volume);
    found.set(&VOLUME_FRACTION, solute / solid / volume);
    found.set(&MIXTURE_DENSITY, whole / volume);
}

/// Volume fraction and density from the mass of solute per volume.
fn mixture_by_volume<S: Scalar>(
    given: &Given<'_, S>,
    found: &mut Found<S>,
    concentration: S,
) -> Result<(), Problem> {
    let (Some(solid), Some(liquid)) = (given.get(&SOLUTE_DENSITY), given.get(&SOLVENT_DENSITY))
    else {
        return Ok(());
    };
    if concentration.value() > solid.value() {
        return Err(Problem::at(
            &SOLUTE_DENSITY,
            "denser_than_solute",
            format!(
                "The mixture would hold more solute per volume ({}) than the solute itself ({}).",
                MASS_CONCENTRATION.say(concentration.value()),
                SOLUTE_DENSITY.say(solid.value())
            ),
            "Check the density of the solute and its unit, or enter a lower concentration.",
        ));
    }
    let fraction = concentration / solid;
    found.set(&VOLUME_FRACTION, fraction);
    found.set(&MIXTURE_DENSITY, concentration + (-fraction + 1.0) * liquid);
    Ok(())
}

/// Compares what was weighed or measured with the plan, where both are there.
pub(super) fn against_plan(
    plan: &'static Field,
    actual: &'static Field,
    given: &Given<'_, f64>,
    found: &Found<f64>,
) -> Option<Check> {
    let (planned, used) = (found.get(plan)?, given.get(actual)?);
    Some(actual_against(actual.title, actual, used, planned))
}

/// Compares an actual value, called `title`, with the planned one.
pub(super) fn actual_against(title: &str, actual: &Field, used: f64, planned: f64) -> Check {
    with_plan(
        &format!("{title}: {}", actual.say(used)),
        used / planned - 1.0,
        &actual.say(planned),
    )
}

/// Says how far off the plan something actual is, given the deviation as a share of the plan.
pub(super) fn with_plan(actual: &str, deviation: f64, plan: &str) -> Check {
    Check {
        level: deviation_level(deviation),
        code: "actual_against_plan",
        sentence: format!(
            "{actual}, {}.{}",
            compared(deviation, "planned", plan),
            slip_words(deviation)
        ),
        source: DEVIATION,
    }
}

/// Compares what was made with the target, where something actual is there.
fn made_against_target(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let portion = given
        .get(&ACTUAL_MASS)
        .or(given.get(&ACTUAL_REAGENT_VOLUME));
    let filled = given.get(&ACTUAL_FINAL_VOLUME);
    let weighed = given.get(&ACTUAL_SOLVENT_MASS);
    let field = target_field(given);
    let (made, made_field) = match field.id {
        // Until the solvent is weighed, its plan follows the portion and meets the target.
        "target_fraction" => (weighed.and(found.get(&MASS_FRACTION)), &MASS_FRACTION),
        "target" => (
            portion.or(filled).and(found.get(&CONCENTRATION)),
            &CONCENTRATION,
        ),
        _ => (
            portion.or(filled).and(found.get(&MASS_CONCENTRATION)),
            &MASS_CONCENTRATION,
        ),
    };
    let (made, target) = (made?, given.get(field)?);
    let deviation = made / target - 1.0;
    let way_out = match (given.get(&FINAL_VOLUME), filled) {
        (Some(volume), None) if deviation > 0.0 => format!(
            " Filled up to {} instead of {}, it meets the target.",
            FINAL_VOLUME.say(volume * made / target),
            FINAL_VOLUME.say(volume)
        ),
        _ => String::new(),
    };
    Some(Check {
        level: deviation_level(deviation),
        code: "made_against_target",
        sentence: format!(
            "{}: {}, {}.{way_out}",
            made_field.title,
            made_field.say(made),
            compared(deviation, "wanted", &field.say(target))
        ),
        source: DEVIATION,
    })
}

pub(super) const DEVIATION: Source =
    practice("within 1 % of the plan needs no second look; more than 10 % off is often a slip");

fn deviation_level(deviation: f64) -> Level {
    match deviation.abs() {
        small if small <= 0.01 => Level::InRange,
        some if some <= 0.1 => Level::Note,
        _ => Level::Warning,
    }
}

/// "1.2 % above the planned 100.0 mg", or "as planned (100.0 mg)".
fn compared(deviation: f64, word: &str, plan: &str) -> String {
    let percent = 100.0 * deviation.abs();
    if percent < 0.005 {
        return format!("as {word} ({plan})");
    }
    let side = if deviation > 0.0 { "above" } else { "below" };
    format!(
        "{}\u{202F}% {side} the {word} {plan}",
        value_text(percent, 2)
    )
}

fn slip_words(deviation: f64) -> &'static str {
    match deviation_level(deviation) {
        Level::Warning => " Look again at the reading and its unit.",
        _ => "",
    }
}

/// Whether the balance weighs the portion well enough.
fn weighable(found: &Found<f64>) -> Option<Check> {
    let (least, used) = (found.get(&LEAST_MASS)?, found.get(&MASS_USED)?);
    let (used_text, least_text) = (MASS.say(used), LEAST_MASS.say(least));
    Some(if used < least {
        Check::warning(
            "below_least_mass",
            format!(
                "{used_text} is less than this balance weighs with the wanted uncertainty ({least_text}). Weigh more \
                 and make more solution, or make a stronger stock and dilute it, or use a finer balance."
            ),
            ROUNDING,
        )
    } else {
        Check::in_range(
            "above_least_mass",
            format!(
                "{used_text} is above the least mass for the wanted uncertainty ({least_text})."
            ),
            ROUNDING,
        )
    })
}

/// A kilogram of solid in a litre is rarely meant.
fn crowded(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let concentration = found.get(&MASS_CONCENTRATION)?;
    (given.choice(&SOLUTE) == "solid" && concentration > 1e3).then(|| {
        Check::warning(
            "very_concentrated",
            format!(
                "{} of solute is more than most solids dissolve to. Check the units, and the solubility.",
                MASS_CONCENTRATION.say(concentration)
            ),
            practice("few solids dissolve to more than a kilogram per litre"),
        )
    })
}
