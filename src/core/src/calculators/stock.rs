//! A stock solution, by its amount concentration or as its label says: what calculators that start from one ask.

use super::{Choice, Field, Given, Range, choice, option, quantity};
use crate::quantity::Kind;
use crate::scalar::Scalar;

pub(super) static STOCK_AS: Field = choice("stock_as", "Stock", &[BY_CONCENTRATION, BY_LABEL]);
const BY_CONCENTRATION: Choice = option("amount_concentration", "by its concentration");
const BY_LABEL: Choice = option("label", "by mass fraction and density");
/// Of [`STOCK_AS`].
pub(super) const LABEL: &[&str] = &["label"];
/// Of [`STOCK_AS`].
pub(super) const CONCENTRATION: &[&str] = &["amount_concentration"];

pub(super) static STOCK: Field =
    quantity("stock", "Stock concentration", Kind::AmountConcentration)
        .symbol("cₛ")
        .units(&["mol/L", "mmol/L"])
        .positive();
pub(super) static STOCK_FRACTION: Field =
    quantity("stock_fraction", "Stock mass fraction", Kind::MassFraction)
        .symbol("wₛ")
        .units(&["%"])
        .range(Range::FRACTION);
pub(super) static STOCK_DENSITY: Field =
    quantity("stock_density", "Density of the stock", Kind::Density)
        .symbol("ρₛ")
        .units(&["g/mL", "g/cm3"])
        .positive();
pub(super) static MOLAR_MASS: Field =
    quantity("molar_mass", "Molar mass of the solute", Kind::MolarMass)
        .symbol("M")
        .units(&["g/mol"])
        .positive();
/// What the label comes to: a result.
pub(super) static STOCK_CONCENTRATION: Field = quantity(
    "stock_concentration",
    "Concentration of the stock",
    Kind::AmountConcentration,
)
.symbol("cₛ")
.units(&["mol/L", "mmol/L"]);

/// The concentration that the label comes to, where the stock is entered by it.
pub(super) fn by_label<S: Scalar>(given: &Given<'_, S>) -> Option<S> {
    let solute = given.get(&STOCK_FRACTION)? * given.get(&STOCK_DENSITY)?;
    Some(solute / given.get(&MOLAR_MASS)?)
}

/// The concentration of the stock.
pub(super) fn concentration<S: Scalar>(given: &Given<'_, S>) -> S {
    by_label(given).unwrap_or(given[&STOCK])
}
