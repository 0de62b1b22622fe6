//! # What it computes
//! The dye to weigh for a bath of a wanted concentration, or the concentration that a weighed dye gives; and how
//! much of the dye a monolayer on the films would take, beside what the bath holds, and how many films the bath serves.
//!
//! # Formulas
//! m = c·V·M/P; n = m·P/M; γ = m·P/V; m_f = A·t·(1 − p)·ρ; S_f = S·m_f; RF = S_f/A = S·ρ·(1 − p)·t;
//! Γ = RF/(N_A·σ); n₁ = S_f/(N_A·σ); n_f = N·n₁; s = n_f/n; c_r = (n − n_t)/V; N_max the largest whole number with
//! n − N_max·n₁ ≥ q·n.
//!
//! # Symbols and units
//! m mass of dye (kg); P purity (1); M molar mass (kg/mol); V volume of the bath (m³); n amount of dye (mol); c, γ
//! amount and mass concentration (mol/m³, kg/m³); A area of a film (m²); t its thickness (m); p porosity (1); ρ
//! density of the oxide (kg/m³); m_f mass of oxide in a film (kg); S specific surface of the oxide (m²/kg); S_f
//! surface in a film (m²); RF roughness factor (1); σ footprint of a molecule (m²); N_A Avogadro constant (1/mol);
//! Γ areal amount (mol/m²); n₁ amount for a monolayer on one film (mol); N number of films; n_f amount for a monolayer on all films (mol); s that amount as a
//! share of the bath (1); n_t amount taken up (mol); c_r concentration left (mol/m³);
//! q least share of the dye to be left (1); N_max films that the bath serves.
//!
//! # Valid range
//! All quantities above zero, purity up to 1, porosity from 0 to below 1.
//!
//! # Assumptions
//! The dye covers the whole inner surface of the oxide with one layer of molecules side by side, and nothing else:
//! an upper limit where pores are too narrow for the dye or necks between particles cost surface. Adsorption goes
//! on until the layer is complete or the bath is empty; no equilibrium is left behind. The volume of the bath does
//! not change.
//!
//! # Sources
//! Definitions and geometry. Avogadro constant: SI Brochure, 9th edition, 2019, exact.
//!
//! # Worked example
//! 50 mL of 0.3 mmol/L of a dye of 1188.564 g/mol takes 17.8285 mg (computed).

use super::solution::against_plan;
use super::*;
use crate::chemistry::constants::AVOGADRO;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice, read};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("mass", "dye to weigh"),
        option("concentration", "concentration it gives"),
    ],
);
static FILMS: Field = choice(
    "films",
    "Films to be dyed",
    &[
        option("none", "not counted"),
        option("dimensions", "from area, thickness and porosity"),
        option("mass", "from the mass of oxide"),
    ],
);
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass of the dye", Kind::MolarMass)
    .symbol("M")
    .help("Of the form in the bottle, with its counter-ions: salts of one dye differ.")
    .units(&["g/mol"])
    .positive();
static PURITY: Field = quantity("purity", "Purity of the dye", Kind::MassFraction)
    .symbol("P")
    .units(&["%"])
    .range(Range::FRACTION)
    .initially("100");
static TARGET: Field = quantity("target", "Target concentration", Kind::AmountConcentration)
    .symbol("c*")
    .units(&["mmol/L", "umol/L", "mol/L"])
    .positive();
static VOLUME: Field = quantity("volume", "Volume of the bath", Kind::Volume)
    .symbol("V")
    .units(&["mL", "L", "uL"])
    .positive();
static MASS: Field = quantity("mass", "Mass of dye", Kind::Mass)
    .symbol("m")
    .units(&["mg", "g", "ug"])
    .positive()
    .measured();
static ACTUAL_MASS: Field = quantity("actual_mass", "Mass of dye actually weighed", Kind::Mass)
    .symbol("m′")
    .units(&["mg", "g", "ug"])
    .positive()
    .optional()
    .measured();
pub(super) static FILM_COUNT: Field = count("film_count", "Number of films")
    .symbol("N")
    .initially("1")
    .measured();
pub(super) static FILM_AREA: Field = quantity("film_area", "Area of a film", Kind::Area)
    .symbol("A")
    .help("As seen from above.")
    .units(&["cm2", "mm2"])
    .positive();
static THICKNESS: Field = quantity("thickness", "Film thickness", Kind::Length)
    .symbol("t")
    .units(&["um", "nm"])
    .positive()
    .measured();
static POROSITY: Field = quantity("porosity", "Porosity", Kind::Ratio)
    .symbol("p")
    .units(&["%", "1"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    });
static OXIDE_DENSITY: Field = quantity("oxide_density", "Density of the oxide", Kind::Density)
    .symbol("ρ")
    .help("Of the solid itself, without pores.")
    .units(&["g/cm3", "kg/m3"])
    .positive();
pub(super) static FILM_MASS: Field = quantity("film_mass", "Mass of oxide in a film", Kind::Mass)
    .symbol("m_f")
    .units(&["mg", "ug", "g"])
    .positive()
    .measured();
pub(super) static SPECIFIC_SURFACE: Field = quantity(
    "specific_surface",
    "Specific surface of the oxide",
    Kind::SpecificSurface,
)
.symbol("S")
.help("From gas adsorption on the fired powder; dense spheres of diameter d have 6/(ρ d).")
.units(&["m2/g"])
.positive();
static FOOTPRINT: Field = quantity("footprint", "Footprint of a molecule", Kind::Area)
    .symbol("σ")
    .help("Area that one adsorbed molecule covers; for usual dyes 1 nm² to 2 nm².")
    .units(&["nm2", "Ao2"])
    .positive();
static LEAST_SHARE: Field = quantity("least_share", "Least share left in the bath", Kind::Ratio)
    .symbol("q")
    .help("For the films that the bath serves: they are counted while at least this share of the dye is left, for example 90 %.")
    .units(&["%", "1"])
    .within(0.0, 1.0)
    .optional();
static CONCENTRATION: Field = quantity(
    "concentration",
    "Concentration of the bath",
    Kind::AmountConcentration,
)
.symbol("c")
.units(&["mmol/L", "umol/L", "mol/L"]);
static MASS_CONCENTRATION: Field = quantity(
    "mass_concentration",
    "Mass concentration of the bath",
    Kind::MassConcentration,
)
.symbol("γ")
.units(&["g/L", "mg/L"]);
static AMOUNT: Field = quantity("amount", "Amount of dye in the bath", Kind::Amount)
    .symbol("n")
    .units(&["umol", "nmol", "mmol"]);
static MASS_USED: Field = quantity("mass_used", "Mass of dye used", Kind::Mass)
    .symbol("m_u")
    .units(&["mg", "g", "ug"]);
static SHARE: Field = quantity("share", "Monolayer as a share of the bath", Kind::Ratio)
    .symbol("s")
    .units(&["%"]);
static DEMAND: Field = quantity(
    "demand",
    "Amount for a monolayer on all films",
    Kind::Amount,
)
.symbol("n_f")
.units(&["umol", "nmol", "mmol"]);
static OF_A_FILM: Field = quantity(
    "of_a_film",
    "Amount for a monolayer on a film",
    Kind::Amount,
)
.symbol("n₁")
.units(&["nmol", "umol"]);
static FILMS_SERVED: Field = count("films_served", "Films that the bath serves").symbol("N_max");
static TAKEN_UP: Field = quantity("taken_up", "Amount taken up", Kind::Amount)
    .symbol("n_t")
    .units(&["umol", "nmol", "mmol"]);
static REMAINING: Field = quantity(
    "remaining",
    "Concentration left in the bath",
    Kind::AmountConcentration,
)
.symbol("c_r")
.units(&["mmol/L", "umol/L", "mol/L"]);
static FILM_SURFACE: Field = quantity("film_surface", "Inner surface of a film", Kind::Area)
    .symbol("S_f")
    .units(&["cm2", "m2"]);
static ROUGHNESS: Field = quantity("roughness", "Roughness factor", Kind::Ratio).symbol("RF");
static AREAL_AMOUNT: Field = quantity(
    "areal_amount",
    "Dye per film area, monolayer",
    Kind::ArealAmount,
)
.symbol("Γ")
.units(&["nmol/cm2", "umol/cm2", "mol/cm2"]);
pub(super) static AREAL_MASS: Field =
    quantity("areal_mass", "Mass of dye per film area", Kind::ArealMass)
        .symbol("m_Γ")
        .units(&["ug/cm2", "mg/cm2"]);

const GEOMETRY: Source = derived("definitions and geometry");
const LOADING: Source = computed(
    "S·ρ·(1 − p)·t and RF/(N_A·σ), Python 3.11; a footprint of about 1.6 nm² per ruthenium dye is from memory",
);
/// From this share of the bath on, the bath weakens noticeably while it works.
const NOTICED: f64 = 0.1;
/// From this share on, the last films see a much weaker bath than the first.
const LARGE: f64 = 0.5;

/// Weighing for a dye bath, and what the films take from it.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "dye_bath",
    version: 1,
    stage: Stage::Dyeing,
    title: "Dye bath",
    purpose: "How much dye to weigh for a bath, and whether it holds enough for the films.",
    inputs: &[
        show(&FIND),
        show(&MOLAR_MASS),
        show(&PURITY),
        show(&TARGET).when(&FIND, &["mass"]),
        show(&MASS).when(&FIND, &["concentration"]),
        show(&VOLUME),
        show(&ACTUAL_MASS).when(&FIND, &["mass"]),
        show(&FILMS),
        show(&FILM_COUNT).unless(&FILMS, &["none"]),
        show(&FILM_AREA).when(&FILMS, &["dimensions"]),
        show(&THICKNESS).when(&FILMS, &["dimensions"]),
        show(&POROSITY).when(&FILMS, &["dimensions"]),
        show(&OXIDE_DENSITY).when(&FILMS, &["dimensions"]),
        show(&FILM_MASS).when(&FILMS, &["mass"]),
        show(&SPECIFIC_SURFACE).unless(&FILMS, &["none"]),
        show(&FOOTPRINT).unless(&FILMS, &["none"]),
        show(&LEAST_SHARE).unless(&FILMS, &["none"]),
    ],
    outputs: &[
        show(&MASS).when(&FIND, &["mass"]),
        show(&CONCENTRATION),
        show(&MASS_CONCENTRATION),
        show(&AMOUNT),
        show(&MASS_USED),
        show(&DEMAND).unless(&FILMS, &["none"]),
        show(&SHARE).unless(&FILMS, &["none"]),
        show(&TAKEN_UP).unless(&FILMS, &["none"]),
        show(&REMAINING).unless(&FILMS, &["none"]),
        show(&FILMS_SERVED).unless(&FILMS, &["none"]),
        show(&OF_A_FILM).unless(&FILMS, &["none"]),
        show(&FILM_MASS).when(&FILMS, &["dimensions"]),
        show(&FILM_SURFACE).unless(&FILMS, &["none"]),
        show(&ROUGHNESS).when(&FILMS, &["dimensions"]),
        show(&AREAL_AMOUNT).when(&FILMS, &["dimensions"]),
        show(&AREAL_MASS).when(&FILMS, &["dimensions"]),
    ],
    working: &[
        formula("mass = target * volume * molar_mass / purity").when(&FIND, &["mass"]),
        method("The mass used is the one actually weighed where it is entered, otherwise the planned one.")
            .when(&FIND, &["mass"]),
        formula("mass_used = actual_mass").when(&FIND, &["mass"]),
        formula("mass_used = mass").without(&ACTUAL_MASS),
        formula("amount = mass_used * purity / molar_mass"),
        formula("concentration = amount / volume"),
        formula("mass_concentration = mass_used * purity / volume"),
        formula("film_mass = film_area * thickness * (1 - porosity) * oxide_density")
            .when(&FILMS, &["dimensions"]),
        formula("film_surface = specific_surface * film_mass").when(&FILMS, COUNTED),
        formula("roughness = film_surface / film_area").when(&FILMS, &["dimensions"]),
        formula("areal_amount = roughness / (N_A * footprint)").when(&FILMS, &["dimensions"]),
        formula("areal_mass = areal_amount * molar_mass").when(&FILMS, &["dimensions"]),
        formula("of_a_film = film_surface / (N_A * footprint)").when(&FILMS, COUNTED),
        formula("demand = film_count * of_a_film").when(&FILMS, COUNTED),
        formula("share = demand / amount").when(&FILMS, COUNTED),
        method("The films take up a monolayer, or all the bath holds where that is less.")
            .when(&FILMS, COUNTED),
        formula("taken_up = min(demand, amount)").when(&FILMS, COUNTED),
        formula("remaining = (amount - taken_up) / volume").when(&FILMS, COUNTED),
        method("The bath serves the largest whole number of films that leaves at least the wanted share of its dye.")
            .gives(&[&FILMS_SERVED])
            .when(&FILMS, COUNTED),
    ],
    sources: &[
        GEOMETRY,
        read("Avogadro constant as in scipy.constants 1.17.1; exact by definition, SI Brochure, 9th edition, 2019"),
        memory("usual footprints of 1 nm² to 2 nm² for a dye molecule"),
    ],
    hazards: &[
        hazards::DYE_POWDERS,
        hazards::RUTHENIUM_DYES,
        Hazard {
            what: "Bath solvents",
            caution: "Alcohols and acetonitrile burn easily; acetonitrile is toxic by every route. Cover the bath, \
                      keep it from hot plates that fired films come from, fume hood, suitable gloves.",
        },
    ],
    formula: both::<DyeBath>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "N719, 0.3 mmol/L in 50 mL",
        inputs: &[
            ("molar_mass", "1188.564 g/mol"),
            ("target", "0.3 mmol/L"),
            ("volume", "50 mL"),
        ],
        expected: &[
            expect("mass", "17.8285 mg", 5e-5),
            expect("amount", "15 umol", 1e-9),
        ],
        source: computed("c·V·M, Python 3.11; molar mass with periodictable 2.1.0"),
    },
    Case {
        title: "2 mg of dye in 20 mL",
        inputs: &[
            ("find", "concentration"),
            ("molar_mass", "340.382 g/mol"),
            ("mass", "2 mg"),
            ("volume", "20 mL"),
        ],
        expected: &[
            expect("mass_concentration", "0.1 g/L", 1e-12),
            expect("concentration", "0.29378756808527012 mmol/L", 1e-9),
        ],
        source: practice("2 mg in 20 mL is 0.1 g/L"),
    },
    Case {
        title: "an impure dye as it was weighed",
        // 7.41939 mg pure, 7.80988 mg at 95 %; 8 mg weighed hold 7.6 mg.
        inputs: &[
            ("molar_mass", "741.939 g/mol"),
            ("purity", "95 %"),
            ("target", "0.5 mmol/L"),
            ("volume", "20 mL"),
            ("actual_mass", "8.0 mg"),
        ],
        expected: &[
            expect("mass", "7.80988421052631579 mg", 1e-9),
            expect("mass_concentration", "0.38 g/L", 1e-12),
            expect("concentration", "0.51217148579600210 mmol/L", 1e-9),
        ],
        source: GEOMETRY,
    },
    Case {
        title: "loading of a 10 µm film, 50 m²/g",
        inputs: &[
            ("molar_mass", "1188.564 g/mol"),
            ("target", "0.3 mmol/L"),
            ("volume", "50 mL"),
            ("films", "dimensions"),
            ("film_area", "1 cm2"),
            ("thickness", "10 um"),
            ("porosity", "60 %"),
            ("oxide_density", "3.893 g/cm3"),
            ("specific_surface", "50 m2/g"),
            ("footprint", "1.6 nm2"),
        ],
        expected: &[
            expect("film_mass", "1.5572 mg", 5e-7),
            expect("roughness", "778.6", 5e-5),
            expect("areal_amount", "8.080598e-8 mol/cm2", 5e-15),
            expect("areal_mass", "96.0431 ug/cm2", 5e-4),
            expect("demand", "80.80598 nmol", 5e-6),
            expect("share", "0.53870653 %", 5e-8),
        ],
        source: LOADING,
    },
    Case {
        title: "loading of a 6 µm film, 80 m²/g",
        inputs: &[
            ("molar_mass", "1188.564 g/mol"),
            ("target", "0.3 mmol/L"),
            ("volume", "50 mL"),
            ("films", "dimensions"),
            ("film_area", "1 cm2"),
            ("thickness", "6 um"),
            ("porosity", "55 %"),
            ("oxide_density", "3.893 g/cm3"),
            ("specific_surface", "80 m2/g"),
            ("footprint", "1.6 nm2"),
        ],
        expected: &[
            expect("film_mass", "1.05111 mg", 5e-7),
            expect("roughness", "840.888", 5e-5),
            expect("areal_amount", "8.727046e-8 mol/cm2", 5e-15),
            expect("areal_mass", "103.7265 ug/cm2", 5e-4),
        ],
        source: LOADING,
    },
    Case {
        title: "loading of a 12 µm film, 90 m²/g",
        inputs: &[
            ("molar_mass", "1188.564 g/mol"),
            ("target", "0.3 mmol/L"),
            ("volume", "50 mL"),
            ("films", "dimensions"),
            ("film_area", "1 cm2"),
            ("thickness", "12 um"),
            ("porosity", "62 %"),
            ("oxide_density", "3.893 g/cm3"),
            ("specific_surface", "90 m2/g"),
            ("footprint", "1.0 nm2"),
        ],
        expected: &[
            expect("film_mass", "1.775208 mg", 5e-7),
            expect("roughness", "1597.6872", 5e-5),
            expect("areal_amount", "2.653022e-7 mol/cm2", 5e-14),
            expect("areal_mass", "315.3286 ug/cm2", 5e-4),
        ],
        source: LOADING,
    },
    Case {
        title: "loading found by desorption, turned round",
        // 30 nmol from 0.25 cm² at a roughness factor of 1250 are 1.7297 nm² per molecule.
        inputs: &[
            ("molar_mass", "705.638 g/mol"),
            ("target", "0.3 mmol/L"),
            ("volume", "20 mL"),
            ("films", "dimensions"),
            ("film_area", "0.25 cm2"),
            ("thickness", "6.25 um"),
            ("porosity", "50 %"),
            ("oxide_density", "4 g/cm3"),
            ("specific_surface", "100 m2/g"),
            ("footprint", "1.7297 nm2"),
        ],
        expected: &[
            expect("roughness", "1250", 1e-9),
            expect("areal_amount", "1.2e-7 mol/cm2", 5e-12),
            expect("demand", "30 nmol", 1e-3),
        ],
        source: computed(
            "Beer–Lambert desorption of 0.141 in 3 mL at 14 100 L/(mol·cm), Python 3.11",
        ),
    },
    Case {
        title: "oxide mass of a weighed film, turned round",
        // 0.39 mg on 0.25 cm² and 10 µm are a porosity of 0.59928.
        inputs: &[
            ("molar_mass", "741.939 g/mol"),
            ("target", "0.5 mmol/L"),
            ("volume", "20 mL"),
            ("films", "dimensions"),
            ("film_area", "0.25 cm2"),
            ("thickness", "10 um"),
            ("porosity", "59.928 %"),
            ("oxide_density", "3.893 g/cm3"),
            ("specific_surface", "77.0614 m2/g"),
            ("footprint", "1.6 nm2"),
        ],
        expected: &[expect("film_mass", "0.39 mg", 1e-5)],
        source: computed("porosity 1 − m/(A·t·ρ) and surface of spheres 6/(ρ·d), Python 3.11"),
    },
    Case {
        title: "many films from the mass of oxide",
        // 20 films of 2 mg and 60.2214076 m²/g at 1 nm² take 4 µmol of the 10 µmol in the bath.
        inputs: &[
            ("molar_mass", "500 g/mol"),
            ("target", "0.2 mmol/L"),
            ("volume", "50 mL"),
            ("films", "mass"),
            ("film_count", "20"),
            ("film_mass", "2 mg"),
            ("specific_surface", "60.2214076 m2/g"),
            ("footprint", "1 nm2"),
            ("least_share", "49 %"),
        ],
        expected: &[
            expect("of_a_film", "200 nmol", 1e-9),
            // 5.1 µmol may go, 0.2 µmol a film.
            expect("films_served", "25", 0.0),
            expect("film_surface", "0.1204428152 m2", 1e-12),
            expect("demand", "4 umol", 1e-9),
            expect("share", "40 %", 1e-9),
            expect("taken_up", "4 umol", 1e-9),
            expect("remaining", "0.12 mmol/L", 1e-9),
        ],
        source: GEOMETRY,
    },
];

/// The ways of counting films.
const COUNTED: &[&str] = &["dimensions", "mass"];

/// A share that is left to the last digits counts as left.
const SAME: f64 = 1e-9;

struct DyeBath;

impl Formula for DyeBath {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (molar, purity, volume) = (given[&MOLAR_MASS], given[&PURITY], given[&VOLUME]);
        let mut found = Found::new();
        let planned =
            (given.choice(&FIND) == "mass").then(|| given[&TARGET] * volume * molar / purity);
        found.set_some(&MASS, planned);
        let used = given.get(&ACTUAL_MASS).or(planned).unwrap_or(given[&MASS]);
        let amount = used * purity / molar;
        found.set(&CONCENTRATION, amount / volume);
        found.set(&MASS_CONCENTRATION, used * purity / volume);
        found.set(&AMOUNT, amount);
        found.set(&MASS_USED, used);
        if given.choice(&FILMS) == "none" {
            return Ok(found);
        }

        let coverage = S::constant(1.0) / (given[&FOOTPRINT] * AVOGADRO);
        let film_mass = if given.choice(&FILMS) == "dimensions" {
            let solid = -given[&POROSITY] + 1.0;
            let mass = given[&FILM_AREA] * given[&THICKNESS] * solid * given[&OXIDE_DENSITY];
            found.set(&FILM_MASS, mass);
            mass
        } else {
            given[&FILM_MASS]
        };
        let surface = given[&SPECIFIC_SURFACE] * film_mass;
        found.set(&FILM_SURFACE, surface);
        if let Some(area) = given.get(&FILM_AREA) {
            let roughness = surface / area;
            found.set(&ROUGHNESS, roughness);
            found.set(&AREAL_AMOUNT, roughness * coverage);
            found.set(&AREAL_MASS, roughness * coverage * molar);
        }
        let of_a_film = surface * coverage;
        found.set(&OF_A_FILM, of_a_film);
        if let Some(least) = given.get(&LEAST_SHARE) {
            let spare = (-least + 1.0) * amount / of_a_film;
            found.set(&FILMS_SERVED, S::constant((spare.value() + SAME).floor()));
        }
        let demand = given[&FILM_COUNT] * of_a_film;
        let taken_up = demand.min(amount);
        found.set(&DEMAND, demand);
        found.set(&SHARE, demand / amount);
        found.set(&TAKEN_UP, taken_up);
        found.set(&REMAINING, (amount - taken_up) / volume);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            against_plan(&MASS, &ACTUAL_MASS, given, found),
            enough(found),
            too_many_films(given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// Whether the films leave the wanted share of the dye in the bath.
fn too_many_films(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (films, served) = (given.get(&FILM_COUNT)?, found.get(&FILMS_SERVED)?);
    (films > served).then(|| {
        Check::warning(
            "more_films_than_served",
            format!(
                "{} films are to be dyed; {} leave at least {} of the dye in the bath. Dye fewer films in it, or take more \
                 dye.",
                FILM_COUNT.say(films),
                FILMS_SERVED.say(served),
                LEAST_SHARE.say(given.or(&LEAST_SHARE, 0.0))
            ),
            derived("conservation of the amount of dye"),
        )
    })
}

/// Whether the bath holds enough for the films.
fn enough(found: &Found<f64>) -> Option<Check> {
    let (share, demand, amount) = (found.get(&SHARE)?, found.get(&DEMAND)?, found.get(&AMOUNT)?);
    let (demand, amount) = (DEMAND.say(demand), AMOUNT.say(amount));
    let rule = practice("a dye bath holds several times what the films take up");
    Some(if share > 1.0 {
        let needed = MASS.say(found.get(&MASS_USED)? * share);
        Check::warning(
            "demand_above_bath",
            format!(
                "A monolayer on all films takes {demand}; the bath holds {amount}. The films cannot be covered: it \
                 would take at least {needed} of dye. Weigh more dye, take a larger bath, or dye fewer films in it."
            ),
            derived("conservation of the amount of dye"),
        )
    } else if share > LARGE {
        Check::warning(
            "bath_nearly_used",
            format!(
                "The films take up {} of the dye ({demand} of {amount}): the bath ends much weaker than it began. Take \
                 a larger bath, or dye fewer films in it.",
                percent(share)
            ),
            rule,
        )
    } else if share > NOTICED {
        Check::note(
            "bath_weakens",
            format!(
                "The films take up {} of the dye ({demand} of {amount}). Before the bath is used again, measure its \
                 concentration.",
                percent(share)
            ),
            rule,
        )
    } else {
        Check::in_range(
            "bath_ample",
            format!(
                "The bath holds {amount}, {} times what the films take up ({demand}).",
                value_text(1.0 / share, 2)
            ),
            rule,
        )
    })
}

fn percent(share: f64) -> String {
    format!("{}\u{202F}%", value_text(100.0 * share, 2))
}
