//! Standard atomic weights 2021 of all elements that have one, and a few isotopes.
//!
//! CIAAW/IUPAC, "Standard atomic weights 2021", Prohaska et al., Pure Appl. Chem. 94 (2022) 573: abridged value and
//! its printed ±, and the interval where the standard gives one; values read in the table text of periodictable 2.1.0.
//! Isotope masses: read in the same library; that they are those of AME2020 is not verified.
//!
//! The printed ± is taken as the standard uncertainty. For interval elements it covers the whole interval, so that this
//! is on the safe side: whoever reads it as a rectangular limit (QUAM A2) divides by √3.

use crate::problem::{Source, memory, read};

/// Where the weights come from.
pub const SOURCE: Source = read(
    "CIAAW, Standard atomic weights 2021, Prohaska et al., Pure Appl. Chem. 94 (2022) 573, in periodictable 2.1.0",
);

/// Where the masses of isotopes come from.
pub const ISOTOPE_SOURCE: Source = memory("Atomic Mass Evaluation 2020, in periodictable 2.1.0");

/// Where the mass of the electron comes from.
pub const ELECTRON_SOURCE: Source = memory("Mass of the electron, CODATA 2022");

/// Mass of the electron in daltons (CODATA 2022, from memory).
pub const ELECTRON: f64 = 5.485_799_090_441e-4;

/// An element with a standard atomic weight.
#[derive(Debug, PartialEq)]
pub struct Element {
    /// Symbol.
    pub symbol: &'static str,
    /// Name.
    pub name: &'static str,
    /// Atomic number.
    pub number: u8,
    /// Abridged standard atomic weight (the value for use where the standard gives an interval).
    pub weight: f64,
    /// The ± printed beside it.
    pub uncertainty: f64,
    /// The interval, where the standard gives one.
    pub interval: Option<(f64, f64)>,
}

/// An isotope that formulas may name.
#[derive(Debug, PartialEq)]
pub struct Isotope {
    /// Symbol of its element.
    pub symbol: &'static str,
    /// Mass number.
    pub number: u16,
    /// Mass in daltons.
    pub mass: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
}

/// The elements by atomic number.
pub static ELEMENTS: &[Element] = &[
    element(
        "H",
        "hydrogen",
        1,
        1.008,
        0.0002,
        Some((1.007_84, 1.008_11)),
    ),
    element("He", "helium", 2, 4.002_602, 2e-6, None),
    element("Li", "lithium", 3, 6.94, 0.06, Some((6.938, 6.997))),
    element("Be", "beryllium", 4, 9.012_183_1, 5e-7, None),
    element("B", "boron", 5, 10.81, 0.02, Some((10.806, 10.821))),
    element("C", "carbon", 6, 12.011, 0.002, Some((12.0096, 12.0116))),
    element(
        "N",
        "nitrogen",
        7,
        14.007,
        0.001,
        Some((14.006_43, 14.007_28)),
    ),
    element(
        "O",
        "oxygen",
        8,
        15.999,
        0.001,
        Some((15.999_03, 15.999_77)),
    ),
    element("F", "fluorine", 9, 18.998_403_162, 5e-9, None),
    element("Ne", "neon", 10, 20.1797, 0.0006, None),
    element("Na", "sodium", 11, 22.989_769_28, 2e-8, None),
    element("Mg", "magnesium", 12, 24.305, 0.002, Some((24.304, 24.307))),
    element("Al", "aluminium", 13, 26.981_538_4, 3e-7, None),
    element("Si", "silicon", 14, 28.085, 0.001, Some((28.084, 28.086))),
    element("P", "phosphorus", 15, 30.973_761_998, 5e-9, None),
    element("S", "sulfur", 16, 32.06, 0.02, Some((32.059, 32.076))),
    element("Cl", "chlorine", 17, 35.45, 0.01, Some((35.446, 35.457))),
    element("Ar", "argon", 18, 39.95, 0.16, Some((39.792, 39.963))),
    element("K", "potassium", 19, 39.0983, 0.0001, None),
    element("Ca", "calcium", 20, 40.078, 0.004, None),
    element("Sc", "scandium", 21, 44.955_907, 4e-6, None),
    element("Ti", "titanium", 22, 47.867, 0.001, None),
    element("V", "vanadium", 23, 50.9415, 0.0001, None),
    element("Cr", "chromium", 24, 51.9961, 0.0006, None),
    element("Mn", "manganese", 25, 54.938_043, 2e-6, None),
    element("Fe", "iron", 26, 55.845, 0.002, None),
    element("Co", "cobalt", 27, 58.933_194, 3e-6, None),
    element("Ni", "nickel", 28, 58.6934, 0.0004, None),
    element("Cu", "copper", 29, 63.546, 0.003, None),
    element("Zn", "zinc", 30, 65.38, 0.02, None),
    element("Ga", "gallium", 31, 69.723, 0.001, None),
    element("Ge", "germanium", 32, 72.63, 0.008, None),
    element("As", "arsenic", 33, 74.921_595, 6e-6, None),
    element("Se", "selenium", 34, 78.971, 0.008, None),
    element("Br", "bromine", 35, 79.904, 0.003, Some((79.901, 79.907))),
    element("Kr", "krypton", 36, 83.798, 0.002, None),
    element("Rb", "rubidium", 37, 85.4678, 0.0003, None),
    element("Sr", "strontium", 38, 87.62, 0.01, None),
    element("Y", "yttrium", 39, 88.905_838, 2e-6, None),
    element("Zr", "zirconium", 40, 91.224, 0.002, None),
    element("Nb", "niobium", 41, 92.906_37, 1e-5, None),
    element("Mo", "molybdenum", 42, 95.95, 0.01, None),
    element("Ru", "ruthenium", 44, 101.07, 0.02, None),
    element("Rh", "rhodium", 45, 102.905_49, 2e-5, None),
    element("Pd", "palladium", 46, 106.42, 0.01, None),
    element("Ag", "silver", 47, 107.8682, 0.0002, None),
    element("Cd", "cadmium", 48, 112.414, 0.004, None),
    element("In", "indium", 49, 114.818, 0.001, None),
    element("Sn", "tin", 50, 118.71, 0.007, None),
    element("Sb", "antimony", 51, 121.76, 0.001, None),
    element("Te", "tellurium", 52, 127.6, 0.03, None),
    element("I", "iodine", 53, 126.904_47, 3e-5, None),
    element("Xe", "xenon", 54, 131.293, 0.006, None),
    element("Cs", "caesium", 55, 132.905_451_96, 6e-8, None),
    element("Ba", "barium", 56, 137.327, 0.007, None),
    element("La", "lanthanum", 57, 138.905_47, 7e-5, None),
    element("Ce", "cerium", 58, 140.116, 0.001, None),
    element("Pr", "praseodymium", 59, 140.907_66, 1e-5, None),
    element("Nd", "neodymium", 60, 144.242, 0.003, None),
    element("Sm", "samarium", 62, 150.36, 0.02, None),
    element("Eu", "europium", 63, 151.964, 0.001, None),
    element("Gd", "gadolinium", 64, 157.25, 0.03, None),
    element("Tb", "terbium", 65, 158.925_354, 7e-6, None),
    element("Dy", "dysprosium", 66, 162.5, 0.001, None),
    element("Ho", "holmium", 67, 164.930_329, 5e-6, None),
    element("Er", "erbium", 68, 167.259, 0.003, None),
    element("Tm", "thulium", 69, 168.934_219, 5e-6, None),
    element("Yb", "ytterbium", 70, 173.045, 0.01, None),
    element("Lu", "lutetium", 71, 174.9668, 0.0001, None),
    element("Hf", "hafnium", 72, 178.486, 0.006, None),
    element("Ta", "tantalum", 73, 180.947_88, 2e-5, None),
    element("W", "tungsten", 74, 183.84, 0.01, None),
    element("Re", "rhenium", 75, 186.207, 0.001, None),
    element("Os", "osmium", 76, 190.23, 0.03, None),
    element("Ir", "iridium", 77, 192.217, 0.002, None),
    element("Pt", "platinum", 78, 195.084, 0.009, None),
    element("Au", "gold", 79, 196.966_57, 4e-6, None),
    element("Hg", "mercury", 80, 200.592, 0.003, None),
    element("Tl", "thallium", 81, 204.38, 0.01, Some((204.382, 204.385))),
    element("Pb", "lead", 82, 207.2, 1.1, Some((206.14, 207.94))),
    element("Bi", "bismuth", 83, 208.9804, 1e-5, None),
    element("Th", "thorium", 90, 232.0377, 0.0004, None),
    element("Pa", "protactinium", 91, 231.035_88, 1e-5, None),
    element("U", "uranium", 92, 238.028_91, 3e-5, None),
];

/// The isotopes that formulas may name as `[13C]`, or as `D` and `T`.
pub static ISOTOPES: &[Isotope] = &[
    isotope("H", 1, 1.007_825_031_9, 1e-11),
    isotope("H", 2, 2.014_101_777_84, 2e-11),
    isotope("H", 3, 3.016_049_281_32, 8e-11),
    isotope("C", 12, 12.0, 0.0),
    isotope("C", 13, 13.003_354_835_34, 2.5e-10),
    isotope("C", 14, 14.003_241_989, 4e-9),
    isotope("N", 15, 15.000_108_898_3, 6e-10),
    isotope("O", 17, 16.999_131_756, 7e-10),
    isotope("O", 18, 17.999_159_612_1, 7e-10),
];

/// The element with this symbol.
#[must_use]
pub fn find(symbol: &str) -> Option<&'static Element> {
    ELEMENTS.iter().find(|element| element.symbol == symbol)
}

/// The isotope of this element with this mass number.
#[must_use]
pub fn isotope_of(symbol: &str, number: u16) -> Option<&'static Isotope> {
    ISOTOPES
        .iter()
        .find(|isotope| isotope.symbol == symbol && isotope.number == number)
}

const fn element(
    symbol: &'static str,
    name: &'static str,
    number: u8,
    weight: f64,
    uncertainty: f64,
    interval: Option<(f64, f64)>,
) -> Element {
    Element {
        symbol,
        name,
        number,
        weight,
        uncertainty,
        interval,
    }
}

const fn isotope(symbol: &'static str, number: u16, mass: f64, uncertainty: f64) -> Isotope {
    Isotope {
        symbol,
        number,
        mass,
        uncertainty,
    }
}
