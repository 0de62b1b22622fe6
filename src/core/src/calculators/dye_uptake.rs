//! # What it computes
//! How much dye films have taken up: from a solution into which the dye was desorbed, or from the bath before and
//! after. With the area also the areal amount and the molecules per area of film; with the inner surface the molecules
//! per area of oxide and the area for each; with a footprint the share of a monolayer.
//!
//! # Formulas
//! By desorption c_d = (A − A₀)·F/(ε·l), or c·F; n = c_d·V. By depletion c_b and c_e in the same way; n = (c_b − c_e)·V,
//! or n = c_b·V − c_e·V_e. Γ = n/(N·A_f); m_Γ = Γ·M; N_f = Γ·N_A; RF = S·m_f/A_f; N_s = N_f/RF; σ_m = 1/N_s; θ = σ·N_s.
//!
//! # Symbols and units
//! A absorbance, A₀ that of the blank (1); F dilution factor before the measurement (1); ε molar absorption coefficient
//! (m²/mol); l path length (m); c_d concentration of the desorption solution, c_b and c_e of the bath before and after
//! (mol/m³); V volume (m³), V_e that of the bath after; n amount taken up (mol); N films; A_f area of a film (m²), as
//! seen from above; Γ areal amount (mol/m²); M molar mass (kg/mol); m_Γ areal mass (kg/m²); N_A Avogadro constant
//! (1/mol); N_f molecules per area of film (1/m²); S specific surface (m²/kg); m_f mass of oxide in a film (kg); RF
//! roughness factor, inner surface over area of film (1); N_s molecules per area of inner surface (1/m²); σ_m area for
//! each molecule (m²); σ its footprint (m²); θ share of a monolayer (1).
//!
//! # Valid range
//! The sample absorbs more than the blank; the bath holds less dye after than before; all other quantities above zero.
//!
//! # Assumptions
//! By desorption, all dye leaves the film and is measured in the solvent for which the coefficient holds. By depletion,
//! all dye that the bath lost is on the films: none on the vessel, none decomposed. All films took up the same. The
//! coefficient does not change with the concentration.
//!
//! # Sources
//! Beer–Lambert law; conservation of the amount of dye; geometry. Avogadro constant: SI Brochure, 9th edition, 2019,
//! exact.
//!
//! # Worked example
//! An absorbance of 0.141 in 3 mL, at 14 100 L/(mol·cm) in 1 cm, is 30 nmol; from 0.25 cm² it is 120 nmol/cm² (computed).

use super::absorbance::{BEER_LAMBERT, coefficient, linear_range, path};
use super::dye_bath::{AREAL_MASS, FILM_AREA, FILM_COUNT, FILM_MASS, SPECIFIC_SURFACE};
use super::*;
use crate::chemistry::constants::AVOGADRO;
use crate::problem::{Check, Problem, Source, computed, derived, practice, read};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static BY: Field = choice(
    "by",
    "Measured by",
    &[
        option("desorption", "desorbing the dye"),
        option("depletion", "the bath before and after"),
    ],
);
static MEASURED_AS: Field = choice(
    "measured_as",
    "Measured as",
    &[
        option("absorbance", "absorbance"),
        option("concentration", "concentration"),
    ],
);
static SURFACE: Field = choice(
    "surface",
    "Inner surface of the film",
    &[
        option("none", "not counted"),
        option("roughness", "from a roughness factor"),
        option("mass", "from the mass of oxide"),
    ],
);
static ABSORBANCE: Field = quantity("absorbance", "Absorbance", Kind::Absorbance)
    .symbol("A")
    .help("Of the solution in the cell, after any dilution.")
    .measured();
static BEFORE_ABSORBANCE: Field =
    quantity("before_absorbance", "Absorbance before", Kind::Absorbance)
        .symbol("A_b")
        .measured();
static AFTER_ABSORBANCE: Field = quantity("after_absorbance", "Absorbance after", Kind::Absorbance)
    .symbol("A_e")
    .measured();
static BLANK: Field = quantity("blank", "Absorbance of the blank", Kind::Absorbance)
    .symbol("A₀")
    .help("Or the baseline beside the band. Leave it empty where the instrument was zeroed with the blank.")
    .optional()
    .measured();
static CONCENTRATION: Field = concentration("concentration", "Concentration")
    .symbol("c")
    .help("Of the solution measured, after any dilution, for example from a calibration line.");
static BEFORE: Field = concentration("before", "Concentration before").symbol("c₁");
static AFTER: Field = concentration("after", "Concentration after")
    .symbol("c₂")
    .not_negative();
static DILUTION: Field = quantity("dilution", "Dilution factor", Kind::Ratio)
    .symbol("F")
    .help("Final volume over aliquot of the dilution made for the measurement; 1 for none.")
    .range(Range {
        from: 1.0,
        ..Range::ANY
    })
    .initially("1")
    .measured();
static COEFFICIENT: Field = coefficient();
static PATH: Field = path();
static VOLUME: Field = quantity("volume", "Volume of desorption solution", Kind::Volume)
    .symbol("V")
    .units(&["mL", "uL", "L"])
    .positive()
    .measured();
static BATH_VOLUME: Field = quantity("bath_volume", "Volume of the bath before", Kind::Volume)
    .symbol("V_b")
    .units(&["mL", "L", "uL"])
    .positive()
    .measured();
static VOLUME_AFTER: Field = quantity("volume_after", "Volume of the bath after", Kind::Volume)
    .symbol("V_e")
    .help("Solvent that evaporates makes the bath stronger and hides uptake. Leave it empty where none was lost.")
    .units(&["mL", "L", "uL"])
    .positive()
    .optional()
    .measured();
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass of the dye", Kind::MolarMass)
    .symbol("M")
    .help("For the mass of dye per film area.")
    .units(&["g/mol"])
    .positive()
    .optional();
static ROUGHNESS: Field = quantity("roughness", "Roughness factor", Kind::Ratio)
    .symbol("RF")
    .help("Inner surface over the area of the film.")
    .positive();
static FOOTPRINT: Field = quantity("footprint", "Footprint of a molecule", Kind::Area)
    .symbol("σ")
    .help("For the share of a monolayer: area that one adsorbed molecule covers.")
    .units(&["nm2", "Ao2"])
    .positive()
    .optional();

static AREAL_AMOUNT: Field = quantity("areal_amount", "Dye per film area", Kind::ArealAmount)
    .symbol("Γ")
    .units(&["nmol/cm2", "umol/cm2", "mol/cm2"]);
static AMOUNT: Field = quantity("amount", "Amount of dye on the films", Kind::Amount)
    .symbol("n")
    .units(&["nmol", "umol", "mmol"]);
static NET: Field = quantity("net", "Absorbance of the dye", Kind::Absorbance).symbol("A_d");
static SOLUTION: Field = quantity(
    "solution",
    "Concentration of the desorption solution",
    Kind::AmountConcentration,
)
.symbol("c_d")
.units(&["umol/L", "mmol/L", "mol/L"]);
static BATH_BEFORE: Field = quantity(
    "bath_before",
    "Concentration of the bath before",
    Kind::AmountConcentration,
)
.symbol("c_b")
.units(&["mmol/L", "umol/L", "mol/L"]);
static BATH_AFTER: Field = quantity(
    "bath_after",
    "Concentration of the bath after",
    Kind::AmountConcentration,
)
.symbol("c_e")
.units(&["mmol/L", "umol/L", "mol/L"]);
static SHARE: Field = quantity("share", "Share of the dye taken from the bath", Kind::Ratio)
    .symbol("s")
    .units(&["%"]);
static ON_FILM: Field = quantity("on_film", "Molecules per film area", Kind::PerArea)
    .symbol("N_f")
    .help("As seen from above: the film's pores hide most of the surface.")
    .units(&["nm-2", "cm-2"]);
static ON_SURFACE: Field = quantity("on_surface", "Molecules per inner surface", Kind::PerArea)
    .symbol("N_s")
    .units(&["nm-2", "cm-2"]);
static FOR_EACH: Field = quantity("for_each", "Inner surface for each molecule", Kind::Area)
    .symbol("σ_m")
    .units(&["nm2", "Ao2"]);
static COVERAGE: Field = quantity("coverage", "Share of a monolayer", Kind::Ratio)
    .symbol("θ")
    .units(&["%", "1"]);

const fn concentration(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::AmountConcentration)
        .units(&["umol/L", "mmol/L", "mol/L"])
        .positive()
        .measured()
}

const BALANCE: Source = derived("conservation of the amount of dye, geometry");
/// Under this share the loss of the bath is a small difference of two near values.
const SMALL_LOSS: f64 = 0.1;

/// Dye on films, from desorption or from the bath.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "dye_uptake",
    version: 1,
    stage: Stage::Dyeing,
    title: "Dye uptake",
    purpose: "How much dye films have taken up, by desorbing it or by what the bath lost.",
    inputs: &[
        show(&BY),
        show(&MEASURED_AS),
        show(&ABSORBANCE)
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["absorbance"]),
        show(&BEFORE_ABSORBANCE)
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["absorbance"]),
        show(&AFTER_ABSORBANCE)
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["absorbance"]),
        show(&BLANK).when(&MEASURED_AS, &["absorbance"]),
        show(&COEFFICIENT).when(&MEASURED_AS, &["absorbance"]),
        show(&PATH).when(&MEASURED_AS, &["absorbance"]),
        show(&CONCENTRATION)
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["concentration"]),
        show(&BEFORE)
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["concentration"]),
        show(&AFTER)
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["concentration"]),
        show(&DILUTION),
        show(&VOLUME).when(&BY, &["desorption"]),
        show(&BATH_VOLUME).when(&BY, &["depletion"]),
        show(&VOLUME_AFTER).when(&BY, &["depletion"]),
        show(&FILM_COUNT),
        show(&FILM_AREA),
        show(&MOLAR_MASS),
        show(&SURFACE),
        show(&ROUGHNESS).when(&SURFACE, &["roughness"]),
        show(&SPECIFIC_SURFACE).when(&SURFACE, &["mass"]),
        show(&FILM_MASS).when(&SURFACE, &["mass"]),
        show(&FOOTPRINT).unless(&SURFACE, &["none"]),
    ],
    outputs: &[
        show(&AREAL_AMOUNT),
        show(&AMOUNT),
        show(&NET)
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["absorbance"]),
        show(&SOLUTION).when(&BY, &["desorption"]),
        show(&BATH_BEFORE).when(&BY, &["depletion"]),
        show(&BATH_AFTER).when(&BY, &["depletion"]),
        show(&SHARE).when(&BY, &["depletion"]),
        show(&AREAL_MASS),
        show(&ON_FILM),
        show(&ROUGHNESS).when(&SURFACE, &["mass"]),
        show(&ON_SURFACE).unless(&SURFACE, &["none"]),
        show(&FOR_EACH).unless(&SURFACE, &["none"]),
        show(&COVERAGE).unless(&SURFACE, &["none"]),
    ],
    working: &[
        formula("net = absorbance - blank")
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["absorbance"]),
        formula("net = absorbance")
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["absorbance"])
            .without(&BLANK),
        formula("solution = net * dilution / (coefficient * path)")
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["absorbance"]),
        formula("solution = concentration * dilution")
            .when(&BY, &["desorption"])
            .when(&MEASURED_AS, &["concentration"]),
        formula("amount = solution * volume").when(&BY, &["desorption"]),
        formula("bath_before = (before_absorbance - blank) * dilution / (coefficient * path)")
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["absorbance"]),
        formula("bath_before = before_absorbance * dilution / (coefficient * path)")
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["absorbance"])
            .without(&BLANK),
        formula("bath_before = before * dilution")
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["concentration"]),
        formula("bath_after = (after_absorbance - blank) * dilution / (coefficient * path)")
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["absorbance"]),
        formula("bath_after = after_absorbance * dilution / (coefficient * path)")
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["absorbance"])
            .without(&BLANK),
        formula("bath_after = after * dilution")
            .when(&BY, &["depletion"])
            .when(&MEASURED_AS, &["concentration"]),
        formula("amount = bath_before * bath_volume - bath_after * volume_after")
            .when(&BY, &["depletion"]),
        formula("amount = (bath_before - bath_after) * bath_volume")
            .when(&BY, &["depletion"])
            .without(&VOLUME_AFTER),
        formula("share = amount / (bath_before * bath_volume)").when(&BY, &["depletion"]),
        formula("areal_amount = amount / (film_count * film_area)"),
        formula("areal_mass = areal_amount * molar_mass"),
        formula("on_film = areal_amount * N_A"),
        formula("roughness = specific_surface * film_mass / film_area").when(&SURFACE, &["mass"]),
        formula("on_surface = on_film / roughness").when(&SURFACE, COUNTED),
        formula("for_each = 1 / on_surface").when(&SURFACE, COUNTED),
        formula("coverage = footprint * on_surface").when(&SURFACE, COUNTED),
    ],
    sources: &[
        BEER_LAMBERT,
        BALANCE,
        read(
            "Avogadro constant as in scipy.constants 1.17.1; exact by definition, SI Brochure, 9th edition, 2019",
        ),
    ],
    hazards: &[
        hazards::SODIUM_HYDROXIDE,
        hazards::SOLVENTS,
        hazards::DIMETHYLFORMAMIDE,
        hazards::ACETONITRILE,
        hazards::RUTHENIUM_DYES,
    ],
    formula: both::<DyeUptake>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "desorption from a quarter of a square centimetre",
        inputs: &[
            ("absorbance", "0.141"),
            ("coefficient", "14100 L/(mol.cm)"),
            ("path", "1 cm"),
            ("volume", "3 mL"),
            ("film_area", "0.25 cm2"),
            ("surface", "roughness"),
            ("roughness", "1250"),
            ("footprint", "1.6 nm2"),
        ],
        expected: &[
            expect("amount", "3e-8 mol", 5e-15),
            expect("areal_amount", "1.2e-7 mol/cm2", 5e-14),
            expect("for_each", "1.7297 nm2", 5e-5),
            // 1.6 / 1.7297, to the digits of the printed area.
            expect("coverage", "92.501 %", 3e-3),
        ],
        source: PYTHON,
    },
    Case {
        title: "desorption from one square centimetre",
        inputs: &[
            ("absorbance", "0.45"),
            ("coefficient", "14100 L/(mol.cm)"),
            ("path", "1.00 cm"),
            ("volume", "4.00 mL"),
            ("film_area", "1.00 cm2"),
        ],
        expected: &[expect(
            "areal_amount",
            "1.276595744680851e-7 mol/cm2",
            1.3e-16,
        )],
        source: PYTHON,
    },
    Case {
        title: "two films, a blank and a dilution",
        // A net 0.6 diluted fivefold is 300 µmol/L; 2 mL of it are 600 nmol on 4 cm².
        inputs: &[
            ("absorbance", "0.65"),
            ("blank", "0.05"),
            ("dilution", "5"),
            ("coefficient", "10000 L/(mol.cm)"),
            ("path", "1 cm"),
            ("volume", "2 mL"),
            ("film_count", "2"),
            ("film_area", "2 cm2"),
            ("molar_mass", "1000 g/mol"),
            ("surface", "mass"),
            ("specific_surface", "60 m2/g"),
            ("film_mass", "3 mg"),
        ],
        expected: &[
            expect("net", "0.6", 1e-12),
            expect("solution", "300 umol/L", 1e-9),
            expect("amount", "600 nmol", 1e-9),
            expect("areal_amount", "150 nmol/cm2", 1e-9),
            expect("areal_mass", "150 ug/cm2", 1e-9),
            expect("on_film", "903.321114 nm-2", 1e-9),
            expect("roughness", "900", 1e-9),
            expect("on_surface", "1.00369012666666667 nm-2", 1e-12),
        ],
        source: BALANCE,
    },
    Case {
        title: "a concentration from a calibration line",
        inputs: &[
            ("measured_as", "concentration"),
            ("concentration", "20 umol/L"),
            ("dilution", "10"),
            ("volume", "3 mL"),
            ("film_area", "4 cm2"),
        ],
        expected: &[
            expect("amount", "600 nmol", 1e-9),
            expect("areal_amount", "150 nmol/cm2", 1e-9),
        ],
        source: BALANCE,
    },
    Case {
        title: "a bath before and after, in a thin cell with a blank",
        // 0.3 mmol/L and 0.24 mmol/L of 20 mL: 1.2 µmol on 8 films of 1 cm².
        inputs: &[
            ("by", "depletion"),
            ("before_absorbance", "0.31"),
            ("after_absorbance", "0.25"),
            ("blank", "0.01"),
            ("coefficient", "10000 L/(mol.cm)"),
            ("path", "1 mm"),
            ("bath_volume", "20 mL"),
            ("film_count", "8"),
            ("film_area", "1 cm2"),
        ],
        expected: &[
            expect("bath_before", "0.3 mmol/L", 1e-12),
            expect("bath_after", "0.24 mmol/L", 1e-12),
            expect("amount", "1.2 umol", 1e-9),
            expect("share", "20 %", 1e-9),
            expect("areal_amount", "150 nmol/cm2", 1e-9),
        ],
        source: BALANCE,
    },
    Case {
        title: "a bath that lost solvent as well",
        // 20 mL of 0.3 mmol/L hold 6 µmol, 16 mL of 0.3 mmol/L hold 4.8 µmol.
        inputs: &[
            ("by", "depletion"),
            ("measured_as", "concentration"),
            ("before", "30 umol/L"),
            ("after", "30 umol/L"),
            ("dilution", "10"),
            ("bath_volume", "20 mL"),
            ("volume_after", "16 mL"),
            ("film_count", "8"),
            ("film_area", "1 cm2"),
        ],
        expected: &[
            expect("amount", "1.2 umol", 1e-9),
            expect("areal_amount", "150 nmol/cm2", 1e-9),
        ],
        source: BALANCE,
    },
    Case {
        title: "a bath measured as absorbance without a blank",
        inputs: &[
            ("by", "depletion"),
            ("before_absorbance", "0.9"),
            ("after_absorbance", "0.6"),
            ("coefficient", "10000 L/(mol.cm)"),
            ("path", "1 cm"),
            ("bath_volume", "10 mL"),
            ("film_area", "2 cm2"),
        ],
        expected: &[
            expect("amount", "300 nmol", 1e-9),
            expect("areal_amount", "150 nmol/cm2", 1e-9),
        ],
        source: BALANCE,
    },
];

const PYTHON: Source = computed(
    "A·V/(ε·l·area), Python 3.11; a coefficient of 14 100 L/(mol·cm) for N719 in sodium hydroxide is from memory",
);
/// The ways in which the inner surface is known.
const COUNTED: &[&str] = &["roughness", "mass"];

struct DyeUptake;

impl Formula for DyeUptake {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let amount = if given.choice(&BY) == "depletion" {
            lost_by_bath(given, &mut found)?
        } else {
            desorbed(given, &mut found)?
        };
        let area = given[&FILM_AREA];
        let areal_amount = amount / (given[&FILM_COUNT] * area);
        let on_film = areal_amount * AVOGADRO;
        found.set(&AREAL_AMOUNT, areal_amount);
        found.set(&AMOUNT, amount);
        let molar = given.get(&MOLAR_MASS);
        found.set_some(&AREAL_MASS, molar.map(|molar| areal_amount * molar));
        found.set(&ON_FILM, on_film);
        let roughness = match given.choice(&SURFACE) {
            "mass" => {
                let roughness = given[&SPECIFIC_SURFACE] * given[&FILM_MASS] / area;
                found.set(&ROUGHNESS, roughness);
                roughness
            }
            "roughness" => given[&ROUGHNESS],
            _ => return Ok(found),
        };
        let on_surface = on_film / roughness;
        found.set(&ON_SURFACE, on_surface);
        found.set(&FOR_EACH, S::constant(1.0) / on_surface);
        let footprint = given.get(&FOOTPRINT);
        found.set_some(&COVERAGE, footprint.map(|footprint| footprint * on_surface));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let read = [&ABSORBANCE, &BEFORE_ABSORBANCE, &AFTER_ABSORBANCE];
        // Of two readings, the one that asks for more.
        let range = read
            .into_iter()
            .filter_map(|field| Some(linear_range(field, given.get(field)?)))
            .max_by_key(|check| check.level);
        [range, small_loss(found), monolayer(found)]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// Concentration from an absorbance, as far as the dye's own.
fn from_absorbance<S: Scalar>(given: &Given<'_, S>, net: S) -> S {
    net * given[&DILUTION] / (given[&COEFFICIENT] * given[&PATH])
}

/// The amount in the desorption solution.
fn desorbed<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Result<S, Problem> {
    let solution = if given.choice(&MEASURED_AS) == "concentration" {
        given[&CONCENTRATION] * given[&DILUTION]
    } else {
        let blank = given.or(&BLANK, 0.0);
        let net = given[&ABSORBANCE] - blank;
        if net.value() <= 0.0 {
            return Err(Problem::at(
                &ABSORBANCE,
                "absorbance_not_above_blank",
                format!(
                    "The absorbance ({}) is not above that of the blank ({}): no dye was measured.",
                    ABSORBANCE.say(given[&ABSORBANCE].value()),
                    BLANK.say(blank.value())
                ),
                "Look whether sample and blank were exchanged, or measure a stronger solution.",
            ));
        }
        found.set(&NET, net);
        from_absorbance(given, net)
    };
    found.set(&SOLUTION, solution);
    Ok(solution * given[&VOLUME])
}

/// The amount that the bath lost.
fn lost_by_bath<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Result<S, Problem> {
    let as_concentration = given.choice(&MEASURED_AS) == "concentration";
    let of = |concentration: &Field, absorbance: &Field| {
        if as_concentration {
            given[concentration] * given[&DILUTION]
        } else {
            from_absorbance(given, given[absorbance] - given.or(&BLANK, 0.0))
        }
    };
    let before = of(&BEFORE, &BEFORE_ABSORBANCE);
    let after = of(&AFTER, &AFTER_ABSORBANCE);
    if after.value() < 0.0 {
        return Err(Problem::at(
            &AFTER_ABSORBANCE,
            "absorbance_below_blank",
            format!(
                "The absorbance after dyeing ({}) is below that of the blank ({}).",
                AFTER_ABSORBANCE.say(given[&AFTER_ABSORBANCE].value()),
                BLANK.say(given.or(&BLANK, 0.0).value())
            ),
            "Measure both again. A bath without dye absorbs as much as the blank.",
        ));
    }
    let volume = given[&BATH_VOLUME];
    if let Some(volume_after) = given.get(&VOLUME_AFTER)
        && volume_after.value() > volume.value()
    {
        return Err(Problem::at(
            &VOLUME_AFTER,
            "bath_grew",
            format!(
                "The bath after dyeing ({}) is more than it was before ({}).",
                VOLUME_AFTER.say(volume_after.value()),
                BATH_VOLUME.say(volume.value())
            ),
            "Look at both volumes; solvent evaporates, and films carry some away.",
        ));
    }
    let amount = match given.get(&VOLUME_AFTER) {
        Some(volume_after) => before * volume - after * volume_after,
        None => (before - after) * volume,
    };
    if amount.value() <= 0.0 || before.value() <= 0.0 {
        let (first, last) = if as_concentration {
            (&BEFORE, &AFTER)
        } else {
            (&BEFORE_ABSORBANCE, &AFTER_ABSORBANCE)
        };
        return Err(Problem::at(
            last,
            "bath_lost_nothing",
            format!(
                "After dyeing ({}) the bath holds no less dye than before ({}): nothing would be on the films.",
                last.say(given[last].value()),
                first.say(given[first].value())
            ),
            "Look whether the two were exchanged; enter the volume after where solvent evaporated.",
        ));
    }
    found.set(&BATH_BEFORE, before);
    found.set(&BATH_AFTER, after);
    found.set(&SHARE, amount / (before * volume));
    Ok(amount)
}

/// Whether the bath lost enough to tell.
fn small_loss(found: &Found<f64>) -> Option<Check> {
    let share = found.get(&SHARE)?;
    (share < SMALL_LOSS).then(|| {
        Check::warning(
            "small_loss",
            format!(
                "The bath lost only {} of its dye: small errors of the two measurements are large ones here. Desorb the \
                 dye instead, or dye more films in a smaller bath.",
                SHARE.say(share)
            ),
            practice("measure uptake from a bath that loses a tenth of its dye or more"),
        )
    })
}

/// Whether the dye can lie on the surface in one layer.
fn monolayer(found: &Found<f64>) -> Option<Check> {
    let coverage = found.get(&COVERAGE)?;
    let rule = practice("dyes that work well lie in at most one layer");
    Some(if coverage > 1.0 {
        Check::note(
            "more_than_a_monolayer",
            format!(
                "The dye would cover the inner surface {} times: it lies in more than one layer, it was not rinsed off, or \
                 footprint and surface do not fit.",
                value_text(coverage, 3)
            ),
            rule,
        )
    } else {
        Check::in_range(
            "monolayer",
            format!(
                "The dye covers {} of the inner surface.",
                COVERAGE.say(coverage)
            ),
            rule,
        )
    })
}
