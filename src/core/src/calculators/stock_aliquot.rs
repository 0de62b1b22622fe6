//! # What it computes
//! For a mass too small to weigh: how much to weigh into a stock, how far to dilute it, and what aliquot of it brings
//! the mass that is needed; what the aliquot actually taken brought, and what is left over.
//!
//! # Formulas
//! m_min = k·√2·(d/2)/√3/r; m_s = max(m_min, m); V₀ = v·m_u/m; V_a = m·V/m_u; γ = m_u/V; m_a = γ·V_a′;
//! V_r = V − V_a′; m_r = m_u − m_a; n = V/V_a.
//!
//! # Symbols and units
//! m mass needed (kg); d readability (kg); k coverage factor (1); r wanted relative expanded uncertainty (1); m_min
//! least mass (kg); v least volume to pipette (m³); m_s mass to weigh, m_u mass used, the actual one as soon as it is
//! there (kg); V₀ smallest stock (m³); V stock volume, the chosen one where it is entered, otherwise the smallest
//! (m³); V_a aliquot, V_a′ the one taken (m³); γ mass concentration of the stock (kg/m³); m_a mass that the aliquot
//! brings (kg); V_r, m_r volume (m³) and mass (kg) left over; n portions that the stock serves (1).
//!
//! # Valid range
//! All quantities above zero; the stock holds at least the mass needed; the aliquot fits into what it is for.
//!
//! # Assumptions
//! The stock is filled up to its volume and is the same everywhere; all of the mass dissolves. The smallest stock is
//! the one that just reaches both least mass and least aliquot. The least mass counts the rounding of two readings
//! only, as in the solution calculator.
//!
//! # Sources
//! Conservation of mass; JCGM 100:2008, F.2.2.1 (rounding of a display).
//!
//! # Worked example
//! 1.269 mg of iodine, a balance that reads 0.1 mg, 1 % wanted, at least 20 µL: 8.165 mg made up to 128.7 µL; 20 µL of
//! that are taken.

use super::solution::{
    COVERAGE, LEAST_MASS, LEAST_MASS_FORMULA, READABILITY, ROUNDING, TOLERANCE, against_plan,
    least_mass,
};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static NEEDED: Field = quantity("needed", "Mass needed", Kind::Mass)
    .symbol("m")
    .help("As it would be weighed, for example from the recipe of an electrolyte.")
    .units(&["mg", "ug", "g"])
    .positive();
static LEAST_ALIQUOT: Field = quantity("least_aliquot", "Least volume to pipette", Kind::Volume)
    .symbol("v")
    .help("What your pipette still measures well enough.")
    .units(&["uL", "mL"])
    .positive();
static CHOSEN_VOLUME: Field = quantity("chosen_volume", "Stock volume chosen", Kind::Volume)
    .symbol("V_c")
    .help("A flask or vial at hand; left empty, the smallest stock is planned.")
    .units(&["mL", "uL", "L"])
    .positive()
    .optional();
static FINAL_VOLUME: Field = quantity(
    "final_volume",
    "Volume that the aliquot is for",
    Kind::Volume,
)
.symbol("V_f")
.help("For example the volume of the electrolyte, into which all aliquots must fit.")
.units(&["mL", "uL", "L"])
.positive()
.optional();
static ACTUAL_STOCK_MASS: Field =
    quantity("actual_stock_mass", "Mass actually weighed", Kind::Mass)
        .symbol("mₛ′")
        .units(&["mg", "g", "ug"])
        .positive()
        .optional()
        .measured();
static ACTUAL_ALIQUOT: Field = quantity("actual_aliquot", "Aliquot actually taken", Kind::Volume)
    .symbol("V_a′")
    .units(&["uL", "mL"])
    .positive()
    .optional()
    .measured();

static ALIQUOT: Field = quantity("aliquot", "Aliquot to take", Kind::Volume)
    .symbol("V_a")
    .units(&["uL", "mL"]);
static STOCK_MASS: Field = quantity("stock_mass", "Mass to weigh", Kind::Mass)
    .symbol("mₛ")
    .units(&["mg", "g", "ug"]);
static STOCK_VOLUME: Field = quantity("stock_volume", "Stock volume", Kind::Volume)
    .symbol("V")
    .units(&["mL", "uL", "L"]);
static SMALLEST_VOLUME: Field = quantity("smallest_volume", "Smallest stock", Kind::Volume)
    .symbol("V₀")
    .units(&["mL", "uL", "L"]);
static MASS_USED: Field = quantity("mass_used", "Mass in the stock", Kind::Mass)
    .symbol("m_u")
    .units(&["mg", "g", "ug"]);
static STOCK_CONCENTRATION: Field = quantity(
    "stock_concentration",
    "Mass concentration of the stock",
    Kind::MassConcentration,
)
.symbol("γ")
.units(&["g/L", "mg/L"]);
static ALIQUOT_USED: Field = quantity("aliquot_used", "Aliquot used", Kind::Volume)
    .symbol("V_u")
    .units(&["uL", "mL"]);
static DELIVERED: Field = quantity("delivered", "Mass that the aliquot brings", Kind::Mass)
    .symbol("m_a")
    .units(&["mg", "ug", "g"]);
static LEFT_VOLUME: Field = quantity("left_volume", "Stock left over", Kind::Volume)
    .symbol("V_r")
    .units(&["mL", "uL", "L"]);
static LEFT_MASS: Field = quantity("left_mass", "Mass left over in it", Kind::Mass)
    .symbol("m_r")
    .units(&["mg", "g", "ug"]);
static PORTIONS: Field =
    quantity("portions", "Portions that the stock serves", Kind::Ratio).symbol("n");

const CONSERVATION: Source = derived("conservation of mass");

/// A stock for a mass too small to weigh, and the aliquot of it.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "stock_aliquot",
    version: 1,
    stage: Stage::Cell,
    title: "Stock and aliquot",
    purpose: "For a mass too small to weigh: a stock to weigh, and the aliquot of it that brings the mass.",
    inputs: &[
        show(&NEEDED),
        show(&READABILITY),
        show(&TOLERANCE),
        show(&COVERAGE),
        show(&LEAST_ALIQUOT),
        show(&CHOSEN_VOLUME),
        show(&FINAL_VOLUME),
        show(&ACTUAL_STOCK_MASS),
        show(&ACTUAL_ALIQUOT),
    ],
    outputs: &[
        show(&ALIQUOT),
        show(&STOCK_MASS),
        show(&STOCK_VOLUME),
        show(&DELIVERED),
        show(&LEFT_VOLUME),
        show(&LEFT_MASS),
        show(&PORTIONS),
        show(&STOCK_CONCENTRATION),
        show(&SMALLEST_VOLUME),
        show(&LEAST_MASS),
        show(&MASS_USED),
        show(&ALIQUOT_USED),
    ],
    working: &[
        formula(LEAST_MASS_FORMULA),
        formula("stock_mass = max(least_mass, needed)"),
        method(
            "Mass and aliquot used are the actual ones where they are entered, otherwise the planned ones.",
        ),
        formula("mass_used = actual_stock_mass"),
        formula("mass_used = stock_mass").without(&ACTUAL_STOCK_MASS),
        formula("smallest_volume = least_aliquot * mass_used / needed"),
        method("The stock volume is the chosen one where it is entered, otherwise the smallest."),
        formula("stock_volume = chosen_volume"),
        formula("stock_volume = smallest_volume").without(&CHOSEN_VOLUME),
        formula("stock_concentration = mass_used / stock_volume"),
        formula("aliquot = needed * stock_volume / mass_used"),
        formula("aliquot_used = actual_aliquot"),
        formula("aliquot_used = aliquot").without(&ACTUAL_ALIQUOT),
        formula("delivered = stock_concentration * aliquot_used"),
        formula("left_volume = stock_volume - aliquot_used"),
        formula("left_mass = mass_used - delivered"),
        formula("portions = stock_volume / aliquot"),
    ],
    sources: &[CONSERVATION, ROUNDING],
    hazards: &[
        hazards::SOLVENTS,
        hazards::IODINE,
        hazards::PERCHLORATES,
        Hazard {
            what: "Stock left over",
            caution: "Label it with content, solvent, concentration, date and hazards, and keep it closed, or collect it \
                      as waste.",
        },
    ],
    formula: both::<StockAliquot>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "the smallest stock of iodine",
        inputs: &[
            ("needed", "1.2690447 mg"),
            ("readability", "0.1 mg"),
            ("least_aliquot", "20 uL"),
        ],
        expected: &[
            expect("least_mass", "8.16496580928 mg", 1e-10),
            expect("stock_mass", "8.16496580928 mg", 1e-10),
            expect("stock_volume", "128.678931629 uL", 1e-8),
            expect("aliquot", "20 uL", 1e-11),
            expect("delivered", "1.2690447 mg", 1e-12),
            expect("left_volume", "108.678931629 uL", 1e-8),
            expect("left_mass", "6.89592110928 mg", 1e-10),
            expect("portions", "6.43394658145", 1e-10),
        ],
        source: PYTHON,
    },
    Case {
        title: "the same in a flask of 1 mL",
        inputs: &[
            ("needed", "1.2690447 mg"),
            ("readability", "0.1 mg"),
            ("least_aliquot", "20 uL"),
            ("chosen_volume", "1 mL"),
            ("final_volume", "10 mL"),
        ],
        expected: &[
            expect("smallest_volume", "128.678931629 uL", 1e-8),
            expect("aliquot", "155.425598789 uL", 1e-8),
            expect("left_volume", "844.574401211 uL", 1e-8),
            expect("delivered", "1.2690447 mg", 1e-12),
        ],
        source: PYTHON,
    },
    Case {
        title: "what follows the mass and the aliquot actually used",
        // 10 mg in 1 mL is 10 g/L; 127 µL of it bring 1.27 mg.
        inputs: &[
            ("needed", "1.2690447 mg"),
            ("readability", "0.1 mg"),
            ("least_aliquot", "20 uL"),
            ("chosen_volume", "1 mL"),
            ("actual_stock_mass", "10.0 mg"),
            ("actual_aliquot", "127 uL"),
        ],
        expected: &[
            expect("stock_mass", "8.16496580928 mg", 1e-10),
            expect("smallest_volume", "157.598861569 uL", 1e-8),
            expect("aliquot", "126.90447 uL", 1e-9),
            expect("stock_concentration", "10 g/L", 1e-12),
            expect("delivered", "1.27 mg", 1e-12),
            expect("left_volume", "873 uL", 1e-9),
            expect("left_mass", "8.73 mg", 1e-11),
        ],
        source: CONSERVATION,
    },
    Case {
        title: "a finer balance and pipette",
        // 2·(5 µg/√3)·√2/0.005 = 1.63299316186 mg
        inputs: &[
            ("needed", "0.5 mg"),
            ("readability", "10 ug"),
            ("tolerance", "0.5 %"),
            ("least_aliquot", "10 uL"),
        ],
        expected: &[
            expect("stock_mass", "1.63299316186 mg", 1e-10),
            expect("stock_volume", "32.6598632371 uL", 1e-9),
            expect("left_mass", "1.13299316186 mg", 1e-10),
        ],
        source: PYTHON,
    },
];

const PYTHON: Source = computed("conservation of mass, Python 3.11 float64");

struct StockAliquot;

impl Formula for StockAliquot {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let needed = given[&NEEDED];
        let mut found = Found::new();
        let least = least_mass(given).unwrap_or(needed);
        let planned = least.max(needed);
        let mass = given.get(&ACTUAL_STOCK_MASS).unwrap_or(planned);
        if mass.value() < needed.value() {
            return Err(Problem::at(
                &ACTUAL_STOCK_MASS,
                "stock_below_need",
                format!(
                    "The stock holds {}, less than the {} that are needed.",
                    MASS_USED.say(mass.value()),
                    NEEDED.say(needed.value())
                ),
                "Weigh more into the stock, or enter a smaller mass needed.",
            ));
        }
        let smallest = given[&LEAST_ALIQUOT] * mass / needed;
        let volume = given.get(&CHOSEN_VOLUME).unwrap_or(smallest);
        let aliquot = needed * volume / mass;
        let used = given.get(&ACTUAL_ALIQUOT).unwrap_or(aliquot);
        fits(given, used.value(), volume.value())?;
        let concentration = mass / volume;
        let delivered = concentration * used;

        found.set(&ALIQUOT, aliquot);
        found.set(&STOCK_MASS, planned);
        found.set(&STOCK_VOLUME, volume);
        found.set(&DELIVERED, delivered);
        found.set(&LEFT_VOLUME, volume - used);
        found.set(&LEFT_MASS, mass - delivered);
        found.set(&PORTIONS, volume / aliquot);
        found.set(&STOCK_CONCENTRATION, concentration);
        found.set(&SMALLEST_VOLUME, smallest);
        found.set(&LEAST_MASS, least);
        found.set(&MASS_USED, mass);
        found.set(&ALIQUOT_USED, used);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            weighable(given, found),
            pipettable(given, found),
            small_stock(given, found).or_else(|| round_size(given, found)),
            against_plan(&ALIQUOT, &ACTUAL_ALIQUOT, given, found),
            strength(given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// The aliquot is a part of the stock, and of what it is for.
fn fits<S: Scalar>(given: &Given<'_, S>, aliquot: f64, stock: f64) -> Result<(), Problem> {
    let wholes = [
        (Some(stock), "aliquot_above_stock", "the stock"),
        (
            given.get(&FINAL_VOLUME).map(Scalar::value),
            "aliquot_above_final",
            "what it is for",
        ),
    ];
    for (whole, code, name) in wholes {
        let Some(whole) = whole else {
            continue;
        };
        // Rounding must not make what just fits overflow.
        if aliquot > whole * (1.0 + 1e-9) {
            let entered = [&ACTUAL_ALIQUOT, &CHOSEN_VOLUME]
                .into_iter()
                .find(|field| given.get(field).is_some());
            return Err(Problem::at(
                entered.unwrap_or(&LEAST_ALIQUOT),
                code,
                format!(
                    "The aliquot ({}) is larger than {name} ({}).",
                    ALIQUOT.say(aliquot),
                    STOCK_VOLUME.say(whole)
                ),
                "Look again at the volumes; a smaller stock volume makes a stronger stock and a smaller aliquot.",
            ));
        }
    }
    Ok(())
}

/// Whether a stock is needed, and what was weighed into it is enough for the balance.
fn weighable(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (least, mass) = (found.get(&LEAST_MASS)?, found.get(&MASS_USED)?);
    let (needed, least_text) = (given[&NEEDED], LEAST_MASS.say(least));
    Some(if needed >= least {
        Check::note(
            "no_stock_needed",
            format!(
                "{} is above the least mass for the wanted uncertainty ({least_text}): it can be weighed without a stock.",
                NEEDED.say(needed)
            ),
            ROUNDING,
        )
    } else if mass < least {
        Check::warning(
            "below_least_mass",
            format!(
                "{} was weighed, less than this balance weighs with the wanted uncertainty ({least_text}). Weigh more \
                 into the stock.",
                MASS_USED.say(mass)
            ),
            ROUNDING,
        )
    } else {
        Check::in_range(
            "above_least_mass",
            format!(
                "{} reaches the least mass for the wanted uncertainty ({least_text}).",
                MASS_USED.say(mass)
            ),
            ROUNDING,
        )
    })
}

/// Whether the pipette measures the aliquot well enough.
fn pipettable(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (aliquot, least) = (found.get(&ALIQUOT)?, given[&LEAST_ALIQUOT]);
    let (aliquot_text, least_text) = (ALIQUOT.say(aliquot), LEAST_ALIQUOT.say(least));
    Some(if aliquot < least * (1.0 - 1e-9) {
        Check::warning(
            "aliquot_below_least",
            format!(
                "The aliquot ({aliquot_text}) is below the least volume to pipette ({least_text}). Choose a stock volume \
                 of at least {}.",
                SMALLEST_VOLUME.say(found.get(&SMALLEST_VOLUME)?)
            ),
            CONSERVATION,
        )
    } else {
        Check::in_range(
            "aliquot_pipettable",
            format!(
                "The aliquot ({aliquot_text}) reaches the least volume to pipette ({least_text})."
            ),
            CONSERVATION,
        )
    })
}

/// Stocks below this are hard to fill and to take an aliquot of, m³.
const SMALL_STOCK: f64 = 0.5e-6;

/// A stock too small to handle: a larger batch of electrolyte helps, no flask does.
fn small_stock(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let planned = rounded_up(found.get(&SMALLEST_VOLUME)?);
    let stock = given.get(&CHOSEN_VOLUME).unwrap_or(planned);
    (stock < SMALL_STOCK * (1.0 - 1e-9)).then(|| {
        Check::warning(
            "small_stock",
            format!(
                "A stock of {} is hard to fill to a mark and to take an aliquot of. Prepare a larger batch of electrolyte \
                 instead, or a larger stock with more weighed in.",
                STOCK_VOLUME.say(stock)
            ),
            practice("stocks are made in 0.5 mL or more"),
        )
    })
}

/// Proposes a flask of a round size, as long as none is chosen.
fn round_size(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    if given.get(&CHOSEN_VOLUME).is_some() {
        return None;
    }
    let (smallest, mass) = (found.get(&SMALLEST_VOLUME)?, found.get(&MASS_USED)?);
    let round = rounded_up(smallest);
    Some(Check::note(
        "round_size",
        format!(
            "The smallest stock is {}. In {}, a round size, the same {} take an aliquot of {}: enter the volume that you \
             choose.",
            SMALLEST_VOLUME.say(smallest),
            STOCK_VOLUME.say(round),
            MASS_USED.say(mass),
            ALIQUOT.say(given[&NEEDED] * round / mass)
        ),
        practice("vials and flasks come in sizes of 1, 2 and 5 times a power of ten"),
    ))
}

/// The next 1, 2 or 5 times a power of ten that is not below a volume.
fn rounded_up(volume: f64) -> f64 {
    let decade = Scalar::powf(10.0, Scalar::log10(volume).floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * decade)
        .find(|size| *size >= volume * (1.0 - 1e-9))
        .unwrap_or(volume)
}

/// How strong the stock is beside what it is for.
fn strength(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (whole, aliquot) = (given.get(&FINAL_VOLUME)?, found.get(&ALIQUOT_USED)?);
    Some(Check::note(
        "stock_strength",
        format!(
            "The stock is {} times as strong as what it is for: see that all of it dissolves. Its solvent stays in, so \
             take the same solvent.",
            value_text(whole / aliquot, 2)
        ),
        CONSERVATION,
    ))
}
