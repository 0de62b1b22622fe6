//! Constants of physics: exact by the SI (SI Brochure, 9th edition, 2019), otherwise CODATA 2022.

use crate::problem::{Source, derived, memory, read};

/// Avogadro constant, 1/mol, exact (SI Brochure, 9th edition, 2019, table 1).
pub const AVOGADRO: f64 = 6.022_140_76e23;
/// Boltzmann constant, J/K, exact (SI Brochure, 9th edition, 2019, table 1).
pub const BOLTZMANN: f64 = 1.380_649e-23;
/// Standard acceleration of gravity, m/s², exact (3rd CGPM, 1901: from memory).
pub const GRAVITY: f64 = 9.806_65;
/// Molar gas constant, J/(mol·K): a product of defining constants.
pub const GAS: f64 = AVOGADRO * BOLTZMANN;
/// Elementary charge, C, exact (SI Brochure, 9th edition, 2019, table 1).
pub const ELEMENTARY_CHARGE: f64 = 1.602_176_634e-19;
const SI: Source = read("SI Brochure, 9th edition, 2019; CODATA 2022, in scipy.constants 1.17.1");
const PRODUCT: Source = derived("Product of defining constants, SI Brochure, 9th edition, 2019");

/// A constant of physics.
#[derive(Debug)]
pub struct Constant {
    /// Stable identifier.
    pub id: &'static str,
    /// Name.
    pub name: &'static str,
    /// Symbol.
    pub symbol: &'static str,
    /// Value in the unit.
    pub value: f64,
    /// Standard uncertainty; zero where it is exact.
    pub uncertainty: f64,
    /// Unit, as its UCUM code.
    pub unit: &'static str,
    /// Year of the adjustment or definition.
    pub year: u16,
    /// Where it comes from.
    pub source: Source,
}

/// The constants.
pub static CONSTANTS: &[Constant] = &[
    exact(
        "avogadro",
        "Avogadro constant",
        "N_A",
        AVOGADRO,
        "mol-1",
        SI,
    ),
    exact(
        "elementary-charge",
        "elementary charge",
        "e",
        ELEMENTARY_CHARGE,
        "C",
        SI,
    ),
    exact(
        "planck",
        "Planck constant",
        "h",
        6.626_070_15e-34,
        "J.s",
        SI,
    ),
    exact(
        "speed-of-light",
        "speed of light in vacuum",
        "c",
        299_792_458.0,
        "m.s-1",
        SI,
    ),
    exact(
        "boltzmann",
        "Boltzmann constant",
        "k_B",
        BOLTZMANN,
        "J.K-1",
        SI,
    ),
    exact(
        "faraday",
        "Faraday constant",
        "F",
        AVOGADRO * ELEMENTARY_CHARGE,
        "C.mol-1",
        PRODUCT,
    ),
    exact(
        "gas",
        "molar gas constant",
        "R",
        GAS,
        "J.K-1.mol-1",
        PRODUCT,
    ),
    Constant {
        year: 1901,
        ..exact(
            "gravity",
            "standard acceleration of gravity",
            "g_n",
            GRAVITY,
            "m.s-2",
            memory("3rd CGPM, 1901"),
        )
    },
    Constant {
        uncertainty: 9.7e-14,
        year: 2022,
        ..exact(
            "electron-mass",
            "mass of the electron",
            "m_e",
            super::atomic_weights::ELECTRON,
            "u",
            super::atomic_weights::ELECTRON_SOURCE,
        )
    },
];

/// The constant with this identifier.
#[must_use]
pub fn constant(id: &str) -> Option<&'static Constant> {
    CONSTANTS.iter().find(|constant| constant.id == id)
}

const fn exact(
    id: &'static str,
    name: &'static str,
    symbol: &'static str,
    value: f64,
    unit: &'static str,
    source: Source,
) -> Constant {
    Constant {
        id,
        name,
        symbol,
        value,
        uncertainty: 0.0,
        unit,
        year: 2019,
        source,
    }
}
