//! # What it computes
//! Triiodide, free iodine and free iodide in a solution of an iodide and iodine; or how much iodide and iodine to
//! prepare for a wanted triiodide concentration.
//!
//! # Formulas
//! I⁻ + I₂ ⇌ I₃⁻ with K = x/(z·y); a = x + z; b = x + y; so
//! x = 2·a·b/(a + b + 1/K + √((a − b)² + (2·(a + b) + 1/K)/K)), and y = x/(K·z).
//!
//! # Symbols and units
//! a, b total iodide and total iodine, as I₂, that are put in (mol/m³); x triiodide, y free iodine, z free iodide
//! (mol/m³); K association constant (m³/mol); s share of the iodine that is bound (1).
//!
//! # Valid range
//! All concentrations and K above zero; triiodide below the total iodide.
//!
//! # Assumptions
//! Only I⁻, I₂ and I₃⁻: no larger polyiodides, which matter where iodine outweighs iodide or there is little solvent;
//! no reaction with water, bases or additives, although pyridines bind some iodine. K holds for the solution as it is,
//! salts and additives included, as a ratio of concentrations. What is tabulated holds for the pure solvent.
//!
//! # Sources
//! Mass balances and the law of mass action. Constants: Palmer et al. 1984 and OpenStax Chemistry 2e (water);
//! acetonitrile from memory.
//!
//! # Worked example
//! 1 mmol/L of iodide and 1 mmol/L of iodine in water, K = 776 L/mol, leave 0.661 mmol/L of free iodine
//! (OpenStax Chemistry 2e, Example 13.7, run forwards).

use super::*;
use crate::chemistry::triiodide::{
    ACETONITRILE, TABULATED_AT, Tabulated, WATER, in_water, species,
};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice, read};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("species", "what is in solution"),
        option("totals", "what to prepare for a triiodide concentration"),
    ],
);
static BESIDE: Field = choice(
    "beside",
    "Iodide stated as",
    &[
        option("free", "free iodide, beside triiodide"),
        option("total", "total iodide, triiodide included"),
    ],
);
pub(super) static SOLVENT: Field = choice(
    "solvent",
    "Solvent",
    &[
        option("acetonitrile", "acetonitrile"),
        option("water", "water"),
        option("other", "another, or a mixture"),
    ],
);
pub(super) static TEMPERATURE: Field = quantity("temperature", "Temperature", Kind::Temperature)
    .symbol("T")
    .help("For the constant in the table, which is carried from 25 °C; the one entered is taken as it is.")
    .units(&["Cel", "K"])
    .within(273.15, 373.15)
    .initially("25");
pub(super) static CONSTANT: Field = quantity(
    "constant",
    "Association constant of triiodide",
    Kind::AssociationConstant,
)
.symbol("K")
.help("Water at 25 °C: 698 L/mol (read). Acetonitrile: about 1e7 L/mol (from memory). Where log K is given, it is 10 to that power.")
.units(&["L/mol", "m3/mol"])
.positive();
pub(super) static IODIDE_TOTAL: Field = concentration("iodide_total", "Total iodide")
    .symbol("a")
    .positive();
pub(super) static IODINE_TOTAL: Field = concentration("iodine_total", "Total iodine, as I₂")
    .symbol("b")
    .positive();
pub(super) static TRIIODIDE: Field = concentration("triiodide", "Triiodide")
    .symbol("x")
    .positive();
pub(super) static IODIDE_FREE: Field = concentration("iodide_free", "Free iodide")
    .symbol("z")
    .positive();
pub(super) static IODINE_FREE: Field = concentration("iodine_free", "Free iodine").symbol("y");
static BOUND: Field = quantity("bound", "Share of the iodine in triiodide", Kind::Ratio)
    .symbol("s")
    .units(&["%"]);

const fn concentration(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::AmountConcentration).units(&["mol/L", "mmol/L", "umol/L", "nmol/L"])
}

/// Triiodide from the totals, in the form that keeps all digits.
pub(super) const TRIIODIDE_FORMULA: &str = "triiodide = 2 * iodide_total * iodine_total / (iodide_total \
    + iodine_total + 1 / constant + sqrt((iodide_total - iodine_total)^2 + (2 * (iodide_total + iodine_total) \
    + 1 / constant) / constant))";
pub(super) const FREE_IODIDE_WORDS: &str = "Free iodide is what of the total is not in triiodide; it comes from the same quadratic equation in a form without \
     a difference of close numbers.";
pub(super) const FREE_IODINE_FORMULA: &str = "iodine_free = triiodide / (constant * iodide_free)";

pub(super) const EQUILIBRIUM: Source =
    derived("mass balances of iodide and iodine and the law of mass action");
const BOOK: Source = computed("mass balance, mpmath at 40 digits; scipy brentq agrees");
pub(super) const ORDER: Source = read(
    "Bentley et al., Voltammetric determination of the iodide/iodine formal potential and triiodide stability \
     constant, abstract: K rises from water over ethanol to acetonitrile and propylene carbonate",
);

/// Iodide, iodine and triiodide, both ways round.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "triiodide",
    version: 1,
    stage: Stage::Cell,
    title: "Triiodide",
    purpose: "How much triiodide, free iodine and free iodide a solution holds, or what to prepare for them.",
    inputs: &[
        show(&FIND),
        show(&IODIDE_TOTAL).when(&FIND, &["species"]),
        show(&IODINE_TOTAL).when(&FIND, &["species"]),
        show(&TRIIODIDE).when(&FIND, &["totals"]),
        show(&BESIDE).when(&FIND, &["totals"]),
        show(&IODIDE_FREE)
            .when(&FIND, &["totals"])
            .when(&BESIDE, &["free"]),
        show(&IODIDE_TOTAL)
            .when(&FIND, &["totals"])
            .when(&BESIDE, &["total"]),
        show(&SOLVENT),
        show(&TEMPERATURE).when(&SOLVENT, &["water"]),
        show(&CONSTANT),
    ],
    outputs: &[
        show(&TRIIODIDE).when(&FIND, &["species"]),
        show(&IODINE_TOTAL).when(&FIND, &["totals"]),
        show(&IODIDE_TOTAL)
            .when(&FIND, &["totals"])
            .when(&BESIDE, &["free"]),
        show(&IODIDE_FREE).when(&FIND, &["species"]),
        show(&IODIDE_FREE)
            .when(&FIND, &["totals"])
            .when(&BESIDE, &["total"]),
        show(&IODINE_FREE),
        show(&BOUND),
    ],
    working: &[
        formula(TRIIODIDE_FORMULA).when(&FIND, &["species"]),
        method(FREE_IODIDE_WORDS)
            .gives(&[&IODIDE_FREE])
            .when(&FIND, &["species"]),
        formula("iodide_total = iodide_free + triiodide")
            .when(&FIND, &["totals"])
            .when(&BESIDE, &["free"]),
        formula("iodide_free = iodide_total - triiodide")
            .when(&FIND, &["totals"])
            .when(&BESIDE, &["total"]),
        formula(FREE_IODINE_FORMULA),
        formula("iodine_total = iodine_free + triiodide").when(&FIND, &["totals"]),
        formula("bound = triiodide / iodine_total"),
    ],
    sources: &[EQUILIBRIUM, WATER.source, ACETONITRILE.source, ORDER],
    hazards: &[hazards::IODINE, hazards::ACETONITRILE, hazards::SOLVENTS],
    formula: both::<Triiodide>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "1 mmol/L of each in water, textbook constant",
        inputs: &[
            ("solvent", "water"),
            ("constant", "776 L/mol"),
            ("iodide_total", "1e-3 mol/L"),
            ("iodine_total", "1e-3 mol/L"),
        ],
        expected: &[
            expect("iodine_free", "0.000661 mol/L", 5e-7),
            expect("triiodide", "0.000339 mol/L", 5e-7),
        ],
        source: read("OpenStax Chemistry 2e, Example 13.7, run forwards"),
    },
    Case {
        title: "1 mmol/L of each in water",
        inputs: &[
            ("solvent", "water"),
            ("constant", "698 L/mol"),
            ("iodide_total", "1e-3 mol/L"),
            ("iodine_total", "1e-3 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.00032141416107299886 mol/L", 1e-17),
            expect("iodine_free", "0.0006785858389270011 mol/L", 1e-17),
            expect("iodide_free", "0.0006785858389270011 mol/L", 1e-17),
        ],
        source: BOOK,
    },
    Case {
        title: "1 mmol/L of iodine in 0.1 mol/L of iodide in water",
        inputs: &[
            ("solvent", "water"),
            ("constant", "698 L/mol"),
            ("iodide_total", "0.1 mol/L"),
            ("iodine_total", "1e-3 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.0009857370972927272 mol/L", 1e-17),
            expect("iodine_free", "1.4262902707272849e-5 mol/L", 1e-19),
            expect("iodide_free", "0.09901426290270728 mol/L", 1e-15),
        ],
        source: BOOK,
    },
    Case {
        title: "50 mmol/L of iodine in 0.5 mol/L of iodide in water",
        inputs: &[
            ("solvent", "water"),
            ("constant", "698 L/mol"),
            ("iodide_total", "0.5 mol/L"),
            ("iodine_total", "0.05 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.04984137595299468 mol/L", 1e-15),
            expect("iodine_free", "0.00015862404700531493 mol/L", 1e-17),
            expect("iodide_free", "0.4501586240470053 mol/L", 1e-14),
        ],
        source: BOOK,
    },
    Case {
        title: "acetonitrile: nearly all iodine is bound",
        inputs: &[
            ("constant", "1e7 L/mol"),
            ("iodide_total", "0.6 mol/L"),
            ("iodine_total", "0.05 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.04999999090909271 mol/L", 1e-15),
            expect("iodine_free", "9.090907287753957e-9 mol/L", 1e-22),
            expect("iodide_free", "0.5500000090909073 mol/L", 1e-14),
        ],
        source: computed(
            "mass balance, mpmath at 40 digits; scipy brentq agrees; K of acetonitrile from memory",
        ),
    },
    Case {
        title: "a constant of 1e12 loses no digit",
        inputs: &[
            ("solvent", "other"),
            ("constant", "1e12 L/mol"),
            ("iodide_total", "0.6 mol/L"),
            ("iodine_total", "0.05 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.04999999999990909 mol/L", 1e-15),
            expect("iodine_free", "9.090909090891059e-14 mol/L", 1e-27),
            expect("iodide_free", "0.5500000000000909 mol/L", 1e-14),
        ],
        source: BOOK,
    },
    Case {
        title: "complete association in acetonitrile",
        inputs: &[
            ("constant", "1e7 L/mol"),
            ("iodide_total", "0.7 mol/L"),
            ("iodine_total", "0.05 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.05 mol/L", 5e-5),
            expect("iodide_free", "0.65 mol/L", 5e-5),
        ],
        source: derived("stoichiometry: with K about 1e7 L/mol all iodine is in triiodide"),
    },
    Case {
        title: "more iodine than iodide",
        inputs: &[
            ("constant", "1e7 L/mol"),
            ("iodide_total", "0.01 mol/L"),
            ("iodine_total", "0.03 mol/L"),
        ],
        expected: &[
            expect("triiodide", "0.01 mol/L", 1e-7),
            expect("iodine_free", "0.02 mol/L", 1e-7),
            // 0.01/(1e7·0.02)
            expect("iodide_free", "50 nmol/L", 1e-3),
        ],
        source: EQUILIBRIUM,
    },
    Case {
        title: "what to prepare for 50 mmol/L beside 0.55 mol/L of iodide",
        // 0.05/(1e7·0.55) of iodine stays free.
        inputs: &[
            ("find", "totals"),
            ("triiodide", "0.05 mol/L"),
            ("iodide_free", "0.55 mol/L"),
            ("constant", "1e7 L/mol"),
        ],
        expected: &[
            expect("iodide_total", "0.6 mol/L", 1e-15),
            expect("iodine_total", "0.0500000090909090909 mol/L", 1e-16),
            expect("iodine_free", "9.09090909090909e-9 mol/L", 1e-22),
        ],
        source: EQUILIBRIUM,
    },
    Case {
        title: "what to prepare in water, of 0.1 mol/L of iodide",
        // 0.02/(698·0.08) = 3.5816618911174785e-4 of iodine stays free.
        inputs: &[
            ("find", "totals"),
            ("beside", "total"),
            ("solvent", "water"),
            ("triiodide", "20 mmol/L"),
            ("iodide_total", "0.1 mol/L"),
            ("constant", "698 L/mol"),
        ],
        expected: &[
            expect("iodide_free", "80 mmol/L", 1e-12),
            expect("iodine_total", "0.020358166189111748 mol/L", 1e-16),
        ],
        source: EQUILIBRIUM,
    },
];

struct Triiodide;

impl Formula for Triiodide {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let constant = given[&CONSTANT];
        let mut found = Found::new();
        if given.choice(&FIND) != "totals" {
            let (iodide, iodine) = (given[&IODIDE_TOTAL], given[&IODINE_TOTAL]);
            let triiodide = set_species(&mut found, iodide, iodine, constant);
            found.set(&BOUND, triiodide / iodine);
            return Ok(found);
        }
        let triiodide = given[&TRIIODIDE];
        let free = if given.choice(&BESIDE) == "total" {
            let free = given[&IODIDE_TOTAL] - triiodide;
            enough_iodide(triiodide.value(), free.value())?;
            found.set(&IODIDE_FREE, free);
            free
        } else {
            found.set(&IODIDE_TOTAL, given[&IODIDE_FREE] + triiodide);
            given[&IODIDE_FREE]
        };
        let iodine = triiodide / (constant * free);
        found.set(&IODINE_TOTAL, iodine + triiodide);
        found.set(&IODINE_FREE, iodine);
        found.set(&BOUND, triiodide / (iodine + triiodide));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let either = |field| given.get(field).or(found.get(field));
        let mut checks = vec![against_table(given)];
        checks.extend(excess(either(&IODIDE_TOTAL), either(&IODINE_TOTAL)));
        checks.extend(undissolved(given, found));
        checks
    }
}

/// Sets the three species that the totals give; triiodide is also handed back.
pub(super) fn set_species<S: Scalar>(found: &mut Found<S>, iodide: S, iodine: S, constant: S) -> S {
    let species = species(iodide, iodine, constant);
    found.set(&TRIIODIDE, species.triiodide);
    found.set(&IODIDE_FREE, species.iodide);
    found.set(&IODINE_FREE, species.iodine);
    species.triiodide
}

/// Triiodide takes up one iodide each.
fn enough_iodide(triiodide: f64, free: f64) -> Result<(), Problem> {
    if free > 0.0 {
        return Ok(());
    }
    Err(Problem::at(
        &TRIIODIDE,
        "triiodide_above_iodide",
        format!(
            "Triiodide ({}) would take up all the iodide ({}): no amount of iodine is enough.",
            TRIIODIDE.say(triiodide),
            IODIDE_TOTAL.say(triiodide + free)
        ),
        "Enter a larger total iodide, or less triiodide.",
    ))
}

/// The constant beside the one in the table for this solvent.
pub(super) fn against_table(given: &Given<'_, f64>) -> Check {
    let constant = given[&CONSTANT];
    let (table, name, place) = match given.choice(&SOLVENT) {
        "water" => {
            let kelvin = given.or(&TEMPERATURE, TABULATED_AT);
            let table = Tabulated {
                value: in_water(kelvin),
                ..WATER
            };
            (table, "water", format!(" at {}", TEMPERATURE.say(kelvin)))
        }
        "acetonitrile" => (ACETONITRILE, "acetonitrile", String::new()),
        _ => {
            return Check::note(
                "constant_not_in_table",
                "The table has no constant for this solvent: write down where yours comes from. It rises from water \
                 over ethanol to acetonitrile and propylene carbonate.",
                ORDER,
            );
        }
    };
    let ratio = constant / table.value;
    let beside = format!(
        "The table has {} for {name}{place}; {} is used.",
        CONSTANT.say(table.value),
        CONSTANT.say(constant)
    );
    if (1.0 / table.within..=table.within).contains(&ratio) {
        Check::in_range("constant_as_in_table", beside, table.source)
    } else {
        Check::warning(
            "constant_off_table",
            format!(
                "{beside} That is {} times as much: look again at the solvent, the unit and log K.",
                value_text(ratio, 2)
            ),
            table.source,
        )
    }
}

/// Free iodine in water, mol/m³, above which it does not dissolve at 25 °C.
const SOLUBLE_IN_WATER: f64 = 1.3;

/// Whether water dissolves the free iodine.
pub(super) fn undissolved(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let free = found.get(&IODINE_FREE)?;
    (given.choice(&SOLVENT) == "water" && free > SOLUBLE_IN_WATER).then(|| {
        Check::warning(
            "iodine_undissolved",
            format!(
                "Free iodine ({}) is more than water dissolves, about {} at 25 °C: some of it stays solid. Use more iodide \
                 or less iodine.",
                IODINE_FREE.say(free),
                IODINE_FREE.say(SOLUBLE_IN_WATER)
            ),
            memory("solubility of iodine in water at 25 °C, about 1.3 mmol/L"),
        )
    })
}

/// Whether there is iodide to bind the iodine.
pub(super) fn excess(iodide: Option<f64>, iodine: Option<f64>) -> Option<Check> {
    let (iodide, iodine) = (iodide?, iodine?);
    (iodine > iodide).then(|| {
        Check::warning(
            "iodine_above_iodide",
            format!(
                "There is more iodine ({}) than iodide ({}): what is not bound evaporates and attacks metals, and larger \
                 polyiodides, which are not counted here, form. Use more iodide or less iodine.",
                IODINE_TOTAL.say(iodine),
                IODIDE_TOTAL.say(iodide)
            ),
            practice("electrolytes hold several times as much iodide as iodine"),
        )
    })
}
