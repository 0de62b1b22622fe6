//! # What it computes
//! Any one of absorbance, concentration, molar absorption coefficient and path length of a solution from the other
//! three, and the transmittance; with a molar mass or a volume also mass concentration, amount and mass.
//!
//! # Formulas
//! A = ε·c·l; A = −log₁₀ T; γ = c·M; n = c·V; m = γ·V.
//!
//! # Symbols and units
//! A decadic absorbance (1); T transmittance (1); ε molar absorption coefficient, decadic (m²/mol); c amount
//! concentration (mol/m³); l path length (m); M molar mass (kg/mol); γ mass concentration (kg/m³); V volume (m³); n
//! amount (mol); m mass (kg).
//!
//! # Valid range
//! Absorbance from 0, transmittance above 0 up to 1, all other quantities above zero.
//!
//! # Assumptions
//! Light of one wavelength, a clear solution that is so dilute that molecules do not act on each other, blank and
//! cell already taken off. Stray light is not computed: it makes a high absorbance read too low.
//!
//! # Sources
//! Beer–Lambert law and the definition of absorbance.
//!
//! # Worked example
//! A solution of β-carotene (138 000 L/(mol·cm)) with an absorbance of 0.37 in 1.0 cm holds 2.7 µmol/L (OpenStax Organic
//! Chemistry, section 14.7).

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("concentration", "concentration"),
        option("absorbance", "absorbance"),
        option("coefficient", "absorption coefficient"),
        option("path", "path length"),
    ],
);
static READ_AS: Field = choice(
    "read_as",
    "Read as",
    &[
        option("absorbance", "absorbance"),
        option("transmittance", "transmittance"),
    ],
);
static ABSORBANCE: Field = quantity("absorbance", "Absorbance", Kind::Absorbance)
    .symbol("A")
    .help("Decadic, with the blank taken off.")
    .not_negative()
    .measured();
static TRANSMITTANCE: Field = quantity("transmittance", "Transmittance", Kind::Ratio)
    .symbol("T")
    .units(&["%", "1"])
    .range(Range::FRACTION)
    .measured();
static CONCENTRATION: Field = quantity("concentration", "Concentration", Kind::AmountConcentration)
    .symbol("c")
    .units(&["umol/L", "mmol/L", "mol/L"])
    .positive();
static COEFFICIENT: Field = coefficient();
static PATH: Field = path();
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass", Kind::MolarMass)
    .symbol("M")
    .help("For the mass concentration.")
    .units(&["g/mol"])
    .positive()
    .optional();
static VOLUME: Field = quantity("volume", "Volume of solution", Kind::Volume)
    .symbol("V")
    .help("For the amount in it.")
    .units(&["mL", "uL", "L"])
    .positive()
    .optional();
static MASS_CONCENTRATION: Field = quantity(
    "mass_concentration",
    "Mass concentration",
    Kind::MassConcentration,
)
.symbol("γ")
.units(&["mg/L", "ug/mL", "g/L"]);
static AMOUNT: Field = quantity("amount", "Amount in the solution", Kind::Amount)
    .symbol("n")
    .units(&["nmol", "umol", "mmol"]);
static MASS: Field = quantity("mass", "Mass in the solution", Kind::Mass)
    .symbol("m")
    .units(&["mg", "ug", "ng"]);

/// The molar absorption coefficient, wherever it is asked.
pub(super) const fn coefficient() -> Field {
    quantity(
        "coefficient",
        "Molar absorption coefficient",
        Kind::MolarAbsorption,
    )
    .symbol("ε")
    .help("Decadic, at the wavelength and in the solvent of the measurement.")
    .units(&["L/(mol.cm)", "m2/mol"])
    .positive()
}

/// The path length, wherever it is asked.
pub(super) const fn path() -> Field {
    quantity("path", "Path length", Kind::Length)
        .symbol("l")
        .help("Inner width of the cell.")
        .units(&["cm", "mm"])
        .positive()
        .initially("1")
}

pub(super) const BEER_LAMBERT: Source =
    derived("Beer–Lambert law and the definition of absorbance");
/// Where most instruments read absorbance well.
const LINEAR: (f64, f64) = (0.1, 1.0);
/// Above this only a hundredth of the light arrives, and stray light weighs heavily.
const STRAY: f64 = 2.0;

/// Beer–Lambert with any one quantity unknown.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "absorbance",
    version: 1,
    stage: Stage::Dyeing,
    title: "Absorbance",
    purpose: "What an absorbance says about a solution, or how strongly a solution absorbs.",
    inputs: &[
        show(&FIND),
        show(&READ_AS).unless(&FIND, &["absorbance"]),
        show(&ABSORBANCE)
            .unless(&FIND, &["absorbance"])
            .when(&READ_AS, &["absorbance"]),
        show(&TRANSMITTANCE)
            .unless(&FIND, &["absorbance"])
            .when(&READ_AS, &["transmittance"]),
        show(&CONCENTRATION).unless(&FIND, &["concentration"]),
        show(&COEFFICIENT).unless(&FIND, &["coefficient"]),
        show(&PATH).unless(&FIND, &["path"]),
        show(&MOLAR_MASS),
        show(&VOLUME),
    ],
    outputs: &[
        show(&CONCENTRATION).when(&FIND, &["concentration"]),
        show(&COEFFICIENT).when(&FIND, &["coefficient"]),
        show(&PATH).when(&FIND, &["path"]),
        show(&ABSORBANCE).when(&FIND, &["absorbance"]),
        show(&ABSORBANCE)
            .unless(&FIND, &["absorbance"])
            .when(&READ_AS, &["transmittance"]),
        show(&TRANSMITTANCE).when(&FIND, &["absorbance"]),
        show(&TRANSMITTANCE)
            .unless(&FIND, &["absorbance"])
            .when(&READ_AS, &["absorbance"]),
        show(&MASS_CONCENTRATION),
        show(&AMOUNT),
        show(&MASS),
    ],
    working: &[
        formula("absorbance = coefficient * concentration * path").when(&FIND, &["absorbance"]),
        formula("absorbance = -log10(transmittance)")
            .when(&FIND, READ)
            .when(&READ_AS, &["transmittance"]),
        formula("transmittance = 10^(-absorbance)").when(&FIND, &["absorbance"]),
        formula("transmittance = 10^(-absorbance)")
            .when(&FIND, READ)
            .when(&READ_AS, &["absorbance"]),
        formula("concentration = absorbance / (coefficient * path)")
            .when(&FIND, &["concentration"]),
        formula("coefficient = absorbance / (concentration * path)").when(&FIND, &["coefficient"]),
        formula("path = absorbance / (coefficient * concentration)").when(&FIND, &["path"]),
        formula("mass_concentration = concentration * molar_mass"),
        formula("amount = concentration * volume"),
        formula("mass = mass_concentration * volume"),
    ],
    sources: &[BEER_LAMBERT],
    hazards: &[
        hazards::SOLVENTS,
        hazards::DIMETHYLFORMAMIDE,
        hazards::ACETONITRILE,
    ],
    formula: both::<Absorbance>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "β-carotene",
        inputs: CAROTENE,
        expected: &[expect("concentration", "2.681159420289855 umol/L", 3e-9)],
        source: computed(
            "OpenStax Organic Chemistry, section 14.7, inputs read; computed with Python",
        ),
    },
    Case {
        title: "β-carotene, as printed",
        inputs: CAROTENE,
        expected: &[expect("concentration", "2.7 umol/L", 0.05)],
        source: memory("OpenStax Organic Chemistry, section 14.7, printed result"),
    },
    Case {
        title: "a coefficient",
        inputs: &[
            ("find", "coefficient"),
            ("absorbance", "0.338"),
            ("concentration", "5.00e-4 mol/L"),
            ("path", "1.00 cm"),
        ],
        expected: &[expect("coefficient", "676 L/(mol.cm)", 1e-6)],
        source: memory("Harvey, Analytical Chemistry 2.1, chapter 10; reproduced"),
    },
    // The molar mass of 100 g/mol cancels: it turns the mass absorptivity of 20 L/(g·cm) into 2000 L/(mol·cm).
    Case {
        title: "a short cell",
        inputs: &[
            ("absorbance", "0.57"),
            ("coefficient", "2000 L/(mol.cm)"),
            ("path", "5 mm"),
            ("molar_mass", "100 g/mol"),
        ],
        expected: &[expect("mass_concentration", "57 ug/mL", 6e-8)],
        source: computed(
            "Practical Skills in Chemistry, 3rd edition, chapter 29, problem (a), inputs read; computed with Python",
        ),
    },
    Case {
        title: "the mass in a small volume",
        inputs: &[
            ("absorbance", "0.31"),
            ("coefficient", "2000 L/(mol.cm)"),
            ("path", "1 cm"),
            ("molar_mass", "100 g/mol"),
            ("volume", "50 uL"),
        ],
        expected: &[
            expect("mass_concentration", "15.5 ug/mL", 2e-8),
            expect("mass", "775 ng", 8e-7),
            expect("amount", "7.75 nmol", 8e-9),
        ],
        source: computed(
            "Practical Skills in Chemistry, 3rd edition, chapter 29, problem (b), inputs read; computed with Python",
        ),
    },
    Case {
        title: "the absorbance to expect",
        inputs: &[
            ("find", "absorbance"),
            ("concentration", "0.3 mmol/L"),
            ("coefficient", "14100 L/(mol.cm)"),
            ("path", "1 mm"),
        ],
        expected: &[expect("absorbance", "0.423", 1e-12)],
        source: BEER_LAMBERT,
    },
    Case {
        title: "transmittance of one half, and the path that gives it",
        inputs: &[
            ("find", "path"),
            ("read_as", "transmittance"),
            ("transmittance", "50 %"),
            ("concentration", "1 mmol/L"),
            ("coefficient", "3010.299956639812 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "0.3010299956639812", 1e-9),
            expect("path", "1 mm", 1e-12),
        ],
        source: computed("A = −log₁₀ T, Python 3"),
    },
];

const CAROTENE: &[(&str, &str)] = &[
    ("absorbance", "0.37"),
    ("coefficient", "138000 L/(mol.cm)"),
    ("path", "1.0 cm"),
];

/// What is found where light was measured.
const READ: &[&str] = &["concentration", "coefficient", "path"];

struct Absorbance;

impl Formula for Absorbance {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (c, coefficient, path) = (given[&CONCENTRATION], given[&COEFFICIENT], given[&PATH]);
        let find = given.choice(&FIND);
        let mut found = Found::new();
        let absorbance = if find == "absorbance" {
            coefficient * c * path
        } else if given.choice(&READ_AS) == "transmittance" {
            S::constant(0.0) - given[&TRANSMITTANCE].log10()
        } else {
            given[&ABSORBANCE]
        };
        if given.get(&ABSORBANCE).is_none() {
            found.set(&ABSORBANCE, absorbance);
        }
        if given.get(&TRANSMITTANCE).is_none() {
            found.set(&TRANSMITTANCE, transmitted(absorbance));
        }
        let c = match find {
            "concentration" => {
                let c = absorbance / (coefficient * path);
                found.set(&CONCENTRATION, c);
                c
            }
            "coefficient" => {
                found.set(&COEFFICIENT, absorbance / (c * path));
                c
            }
            "path" => {
                found.set(&PATH, absorbance / (coefficient * c));
                c
            }
            _ => c,
        };
        let volume = given.get(&VOLUME);
        let mass_concentration = given.get(&MOLAR_MASS).map(|molar| c * molar);
        found.set_some(&MASS_CONCENTRATION, mass_concentration);
        found.set_some(&AMOUNT, volume.map(|volume| c * volume));
        let mass = mass_concentration.zip(volume);
        found.set_some(
            &MASS,
            mass.map(|(concentration, volume)| concentration * volume),
        );
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let absorbance = given.get(&ABSORBANCE).or(found.get(&ABSORBANCE));
        let check = absorbance.map(|absorbance| linear_range(&ABSORBANCE, absorbance));
        check.into_iter().collect()
    }
}

/// The share of light that passes: 10^(−A).
pub(super) fn transmitted<S: Scalar>(absorbance: S) -> S {
    (-absorbance * core::f64::consts::LN_10).exp()
}

/// Whether an absorbance lies where instruments read it well.
pub(super) fn linear_range(field: &Field, absorbance: f64) -> Check {
    let rule = practice("absorbances from 0.1 to 1.0 are read best");
    let says = format!("{} {}", field.title, field.say(absorbance));
    let (low, high) = LINEAR;
    if absorbance < low {
        Check::note(
            "absorbance_low",
            format!(
                "{says} is below 0.1: noise and baseline weigh heavily. A longer cell or a stronger solution reads better."
            ),
            rule,
        )
    } else if absorbance > STRAY {
        Check::warning(
            "absorbance_too_high",
            format!(
                "{says} is above 2: stray light makes it read too low. Dilute the solution, or use a shorter cell."
            ),
            rule,
        )
    } else if absorbance > high {
        Check::note(
            "absorbance_high",
            format!(
                "{says} is above 1.0, where instruments begin to read too low. A weaker solution or a shorter cell \
                 reads better."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "absorbance_in_range",
            format!("{says} is between 0.1 and 1.0, where instruments read best."),
            rule,
        )
    }
}
