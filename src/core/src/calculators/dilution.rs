//! # What it computes
//! Any one of stock concentration, aliquot, target concentration and final amount of a dilution from the other
//! three, by volume or by mass; the solvent to add and the dilution factor.
//!
//! # Formulas
//! c₁·V₁ = c₂·V₂ by volume; w₁·m₁ = w₂·m₂ by mass; F = V₂/V₁ or m₂/m₁.
//!
//! # Symbols and units
//! c₁, c₂ amount concentration (mol/m³) of stock and target; w₁, w₂ mass fraction (1); V₁, V₂ volume (m³) of the
//! aliquot and of the final solution; m₁, m₂ their masses (kg); F dilution factor (1).
//!
//! # Valid range
//! All quantities above zero, mass fractions up to 1; the target is not above the stock.
//!
//! # Assumptions
//! The amount of solute is conserved. By volume, the solution is filled up to the final volume; the solvent to add
//! is then the difference only as far as volumes are additive.
//!
//! # Sources
//! Conservation of the amount of solute; OpenStax Chemistry 2e, section 3.4.
//!
//! # Worked example
//! 0.850 L of 5.00 mol/L diluted to 1.80 L gives 2.36 mol/L (OpenStax Chemistry 2e, Example 3.19).

use super::*;
use crate::problem::{Check, Problem, derived, practice, read};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static BY: Field = choice(
    "by",
    "Measured out",
    &[option("volume", "by volume"), option("mass", "by mass")],
);
static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("aliquot", "aliquot to take"),
        option("final", "final amount it makes"),
        option("target", "concentration it gives"),
        option("stock", "stock concentration needed"),
    ],
);
static STOCK: Field = quantity("stock", "Stock concentration", Kind::AmountConcentration)
    .symbol("c₁")
    .units(&["mol/L", "mmol/L"])
    .positive();
static TARGET: Field = quantity("target", "Target concentration", Kind::AmountConcentration)
    .symbol("c₂")
    .units(&["mmol/L", "mol/L", "umol/L"])
    .positive();
static ALIQUOT: Field = quantity("aliquot", "Aliquot of stock", Kind::Volume)
    .symbol("V₁")
    .units(&["mL", "uL", "L"])
    .positive();
static FINAL: Field = quantity("final", "Final volume", Kind::Volume)
    .symbol("V₂")
    .units(&["mL", "uL", "L"])
    .positive();
static STOCK_FRACTION: Field =
    quantity("stock_fraction", "Stock mass fraction", Kind::MassFraction)
        .symbol("w₁")
        .units(&["%", "mg/g"])
        .range(Range::FRACTION);
static TARGET_FRACTION: Field = quantity(
    "target_fraction",
    "Target mass fraction",
    Kind::MassFraction,
)
.symbol("w₂")
.units(&["%", "mg/g"])
.range(Range::FRACTION);
static ALIQUOT_MASS: Field = quantity("aliquot_mass", "Mass of stock", Kind::Mass)
    .symbol("m₁")
    .units(&["g", "mg", "kg"])
    .positive()
    .measured();
static FINAL_MASS: Field = quantity("final_mass", "Final mass", Kind::Mass)
    .symbol("m₂")
    .units(&["g", "mg", "kg"])
    .positive();
static SOLVENT: Field = quantity("solvent", "Solvent to add", Kind::Volume)
    .symbol("Vₛ")
    .help("The difference of the volumes; filling up to the mark is better where volumes are not additive.")
    .units(&["mL", "uL", "L"]);
static SOLVENT_MASS: Field = quantity("solvent_mass", "Mass of solvent to add", Kind::Mass)
    .symbol("mₛ")
    .units(&["g", "mg", "kg"]);
static FACTOR: Field = quantity("factor", "Dilution factor", Kind::Ratio).symbol("F");

/// Dilution of a stock, by volume or by mass, with any one quantity unknown.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "dilution",
    version: 1,
    stage: Stage::Stocks,
    title: "Dilution",
    purpose: "How much stock to take for a weaker solution, or what a dilution gives.",
    inputs: &[
        show(&BY),
        show(&FIND),
        show(&STOCK)
            .when(&BY, &["volume"])
            .unless(&FIND, &["stock"]),
        show(&TARGET)
            .when(&BY, &["volume"])
            .unless(&FIND, &["target"]),
        show(&ALIQUOT)
            .when(&BY, &["volume"])
            .unless(&FIND, &["aliquot"]),
        show(&FINAL)
            .when(&BY, &["volume"])
            .unless(&FIND, &["final"]),
        show(&STOCK_FRACTION)
            .when(&BY, &["mass"])
            .unless(&FIND, &["stock"]),
        show(&TARGET_FRACTION)
            .when(&BY, &["mass"])
            .unless(&FIND, &["target"]),
        show(&ALIQUOT_MASS)
            .when(&BY, &["mass"])
            .unless(&FIND, &["aliquot"]),
        show(&FINAL_MASS)
            .when(&BY, &["mass"])
            .unless(&FIND, &["final"]),
    ],
    outputs: &[
        show(&ALIQUOT)
            .when(&BY, &["volume"])
            .when(&FIND, &["aliquot"]),
        show(&FINAL).when(&BY, &["volume"]).when(&FIND, &["final"]),
        show(&TARGET)
            .when(&BY, &["volume"])
            .when(&FIND, &["target"]),
        show(&STOCK).when(&BY, &["volume"]).when(&FIND, &["stock"]),
        show(&ALIQUOT_MASS)
            .when(&BY, &["mass"])
            .when(&FIND, &["aliquot"]),
        show(&FINAL_MASS)
            .when(&BY, &["mass"])
            .when(&FIND, &["final"]),
        show(&TARGET_FRACTION)
            .when(&BY, &["mass"])
            .when(&FIND, &["target"]),
        show(&STOCK_FRACTION)
            .when(&BY, &["mass"])
            .when(&FIND, &["stock"]),
        show(&SOLVENT).when(&BY, &["volume"]),
        show(&SOLVENT_MASS).when(&BY, &["mass"]),
        show(&FACTOR),
    ],
    working: &[
        formula("aliquot = target * final / stock")
            .when(&BY, &["volume"])
            .when(&FIND, &["aliquot"]),
        formula("final = stock * aliquot / target")
            .when(&BY, &["volume"])
            .when(&FIND, &["final"]),
        formula("target = stock * aliquot / final")
            .when(&BY, &["volume"])
            .when(&FIND, &["target"]),
        formula("stock = target * final / aliquot")
            .when(&BY, &["volume"])
            .when(&FIND, &["stock"]),
        formula("solvent = final - aliquot").when(&BY, &["volume"]),
        formula("factor = final / aliquot").when(&BY, &["volume"]),
        formula("aliquot_mass = target_fraction * final_mass / stock_fraction")
            .when(&BY, &["mass"])
            .when(&FIND, &["aliquot"]),
        formula("final_mass = stock_fraction * aliquot_mass / target_fraction")
            .when(&BY, &["mass"])
            .when(&FIND, &["final"]),
        formula("target_fraction = stock_fraction * aliquot_mass / final_mass")
            .when(&BY, &["mass"])
            .when(&FIND, &["target"]),
        formula("stock_fraction = target_fraction * final_mass / aliquot_mass")
            .when(&BY, &["mass"])
            .when(&FIND, &["stock"]),
        formula("solvent_mass = final_mass - aliquot_mass").when(&BY, &["mass"]),
        formula("factor = final_mass / aliquot_mass").when(&BY, &["mass"]),
    ],
    sources: &[CONSERVATION, read("OpenStax Chemistry 2e, section 3.4")],
    hazards: &[hazards::ACIDS_AND_BASES],
    formula: both::<Dilution>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "concentration it gives",
        inputs: &[
            ("by", "volume"),
            ("find", "target"),
            ("stock", "5.00 mol/L"),
            ("aliquot", "0.850 L"),
            ("final", "1.80 L"),
        ],
        expected: &[expect("target", "2.36 mol/L", 0.005)],
        source: read("OpenStax Chemistry 2e, Example 3.19"),
    },
    Case {
        title: "aliquot to take, the same example turned round",
        inputs: &[
            ("by", "volume"),
            ("find", "aliquot"),
            ("stock", "2.04 mol/L"),
            ("target", "0.102 mol/L"),
            ("final", "500.0 mL"),
        ],
        expected: &[
            expect("aliquot", "25.0 mL", 0.05),
            expect("factor", "20", 0.05),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.19, check, solved for the aliquot"),
    },
    Case {
        title: "final amount it makes",
        inputs: &[
            ("by", "volume"),
            ("find", "final"),
            ("stock", "0.45 mol/L"),
            ("target", "0.12 mol/L"),
            ("aliquot", "11 mL"),
        ],
        expected: &[expect("final", "0.041 L", 0.0005)],
        source: read("OpenStax Chemistry 2e, Example 3.20"),
    },
    Case {
        title: "final amount it makes, the same example with other numbers",
        inputs: &[
            ("by", "volume"),
            ("find", "final"),
            ("stock", "1.88 mol/L"),
            ("target", "0.125 mol/L"),
            ("aliquot", "0.250 L"),
        ],
        expected: &[
            expect("final", "3.76 L", 0.005),
            expect("final", "3.76 L", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.20, check; all digits computed"),
    },
    Case {
        title: "by mass",
        inputs: &[
            ("by", "mass"),
            ("find", "target"),
            ("stock_fraction", "37.2 %"),
            ("aliquot_mass", "10.00 g"),
            ("final_mass", "100.00 g"),
        ],
        expected: &[
            expect("target_fraction", "3.72 %", 1e-9),
            expect("solvent_mass", "90.00 g", 1e-9),
        ],
        source: CONSERVATION,
    },
];

const CONSERVATION: crate::problem::Source = derived("conservation of the amount of solute");

struct Dilution;

impl Formula for Dilution {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let by_mass = given.choice(&BY) == "mass";
        let [stock, target, aliquot, whole, solvent] = if by_mass {
            [
                &STOCK_FRACTION,
                &TARGET_FRACTION,
                &ALIQUOT_MASS,
                &FINAL_MASS,
                &SOLVENT_MASS,
            ]
        } else {
            [&STOCK, &TARGET, &ALIQUOT, &FINAL, &SOLVENT]
        };
        let (c1, c2, v1, v2) = (given[stock], given[target], given[aliquot], given[whole]);
        let (unknown, found_value, v1, v2) = match given.choice(&FIND) {
            "final" => (whole, c1 * v1 / c2, v1, c1 * v1 / c2),
            "target" => (target, c1 * v1 / v2, v1, v2),
            "stock" => (stock, c2 * v2 / v1, v1, v2),
            _ => (aliquot, c2 * v2 / c1, c2 * v2 / c1, v2),
        };
        if v2.value() < v1.value() {
            return Err(too_strong(given, stock, target, aliquot, whole));
        }
        let fraction_above_one = by_mass && unknown.is(stock) && found_value.value() > 1.0;
        if fraction_above_one {
            return Err(Problem::at(
                target,
                "stock_above_pure",
                "No stock is strong enough: it would have to be more than pure.",
                "Take more stock, make less, or lower the target.",
            ));
        }
        let mut found = Found::new();
        found.set(unknown, found_value);
        found.set(solvent, v2 - v1);
        found.set(&FACTOR, v2 / v1);
        Ok(found)
    }

    fn checks(_given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let factor = found.get(&FACTOR).unwrap_or(1.0);
        let wide = factor > 100.0;
        let check = wide.then(|| {
            Check::note(
                "wide_step",
                format!(
                    "One step of 1 : {} asks for a very small aliquot or a very large flask; \
                     two steps are usually more accurate.",
                    crate::quantity::value_text(factor, 3)
                ),
                practice("dilute by at most about a hundredfold in one step"),
            )
        });
        check.into_iter().collect()
    }
}

/// The aliquot would be larger than the whole: says it in the terms of what was entered.
fn too_strong<S: Scalar>(
    given: &Given<'_, S>,
    stock: &'static Field,
    target: &'static Field,
    aliquot: &'static Field,
    whole: &'static Field,
) -> Problem {
    let both = |a: &Field, b: &Field| Some((given.get(a)?.value(), given.get(b)?.value()));
    if let Some((c1, c2)) = both(stock, target) {
        // In one unit, so that the two can be compared at a glance.
        let unit = target.unit_for(c2);
        let say = |si| unit.map_or_else(|| target.say(si), |unit| unit.say(si, 4));
        Problem::at(
            target,
            "target_above_stock",
            format!(
                "The target ({}) is above the stock ({}): dilution cannot strengthen a solution.",
                say(c2),
                say(c1)
            ),
            "Enter a lower target, or use a stronger stock.",
        )
    } else {
        let (v1, v2) = both(aliquot, whole).unwrap_or_default();
        Problem::at(
            whole,
            "negative_solvent",
            format!(
                "The aliquot ({}) is more than the final amount ({}): the solvent to add would be negative.",
                aliquot.say(v1),
                whole.say(v2)
            ),
            "Enter a larger final amount, or a smaller aliquot.",
        )
    }
}
