//! Concentrated reagents: mass fraction, density and formula; the concentration follows.
//!
//! Labels state a nominal mass fraction: its limit is taken as 0.5 % absolute, that of the density as 0.005 g/mL,
//! both rectangular and as judged here. Nor do they state a temperature: densities are taken as those of a room at 15 to
//! 25 °C, beyond which that limit would not cover the change.

use super::formula::Formula;
use super::substances::Datum;
use crate::problem::{Source, memory, read};
use crate::scalar::Scalar;

const OPENSTAX: Source = read("OpenStax, Chemistry 2e, Appendix F");
const EXAMPLE: Source = read("OpenStax, Chemistry 2e, Example 3.23");
const LABEL: Source = memory("Handbook and label values");
const FRACTION_LIMIT: f64 = 0.005;
const DENSITY_LIMIT: f64 = 5.0;
/// Where densities count, K.
const ROOM: (f64, f64) = (288.15, 298.15);

/// A concentrated reagent.
#[derive(Debug)]
pub struct Reagent {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// Name.
    pub name: &'static str,
    /// Formula of the solute.
    pub formula: &'static str,
    /// Mass fraction of the solute.
    pub fraction: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Where mass fraction and density come from.
    pub source: Source,
}

/// The table.
pub static REAGENTS: &[Reagent] = &[
    reagent(
        "acetic-acid-99_5",
        "acetic acid, glacial 99.5 %",
        "C2H4O2",
        0.995,
        1050.0,
        OPENSTAX,
    ),
    reagent(
        "ammonia-28",
        "aqueous ammonia 28 %",
        "NH3",
        0.28,
        900.0,
        OPENSTAX,
    ),
    reagent(
        "ammonia-25",
        "aqueous ammonia 25 %",
        "NH3",
        0.25,
        910.0,
        LABEL,
    ),
    reagent(
        "hydrochloric-acid-36",
        "hydrochloric acid 36 %",
        "HCl",
        0.36,
        1180.0,
        OPENSTAX,
    ),
    reagent(
        "hydrochloric-acid-37",
        "hydrochloric acid 37 %",
        "HCl",
        0.37,
        1184.0,
        LABEL,
    ),
    reagent(
        "hydrochloric-acid-37_2",
        "hydrochloric acid 37.2 %",
        "HCl",
        0.372,
        1190.0,
        EXAMPLE,
    ),
    reagent(
        "hydrogen-peroxide-30",
        "hydrogen peroxide 30 %",
        "H2O2",
        0.3,
        1110.0,
        LABEL,
    ),
    reagent(
        "nitric-acid-71",
        "nitric acid 71 %",
        "HNO3",
        0.71,
        1420.0,
        OPENSTAX,
    ),
    reagent(
        "perchloric-acid-70",
        "perchloric acid 70 %",
        "HClO4",
        0.7,
        1670.0,
        OPENSTAX,
    ),
    reagent(
        "phosphoric-acid-85",
        "phosphoric acid 85 %",
        "H3PO4",
        0.85,
        1700.0,
        OPENSTAX,
    ),
    reagent(
        "sodium-hydroxide-50",
        "sodium hydroxide solution 50 %",
        "NaOH",
        0.5,
        1530.0,
        OPENSTAX,
    ),
    reagent(
        "sulfuric-acid-96",
        "sulfuric acid 96 %",
        "H2SO4",
        0.96,
        1840.0,
        OPENSTAX,
    ),
];

/// The reagent with this identifier.
#[must_use]
pub fn reagent_of(id: &str) -> Option<&'static Reagent> {
    REAGENTS.iter().find(|reagent| reagent.id == id)
}

impl Reagent {
    /// Density at a temperature in kelvin, if it is that of a room.
    #[must_use]
    pub fn density_at(&self, kelvin: f64) -> Option<Datum> {
        (ROOM.0..=ROOM.1).contains(&kelvin).then(|| Datum {
            value: self.density,
            uncertainty: DENSITY_LIMIT / 3f64.sqrt(),
            source: self.source,
        })
    }

    /// Amount concentration c = ρ·w/M, mol/m³, with its standard uncertainty to first order.
    #[must_use]
    pub fn concentration(&self) -> Option<Datum> {
        let mass = Formula::parse(self.formula).ok()?.molar_mass();
        let value = self.density * self.fraction / mass.value;
        let limits = Scalar::squared(DENSITY_LIMIT / self.density)
            + Scalar::squared(FRACTION_LIMIT / self.fraction);
        let relative = (limits / 3.0 + Scalar::squared(mass.uncertainty / mass.value)).sqrt();
        Some(Datum {
            value,
            uncertainty: value * relative,
            source: self.source,
        })
    }
}

const fn reagent(
    id: &'static str,
    name: &'static str,
    formula: &'static str,
    fraction: f64,
    density: f64,
    source: Source,
) -> Reagent {
    Reagent {
        id,
        name,
        formula,
        fraction,
        density,
        source,
    }
}
