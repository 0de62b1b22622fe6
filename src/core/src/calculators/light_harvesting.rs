//! # What it computes
//! The share of light that a dyed film absorbs at a wavelength, from the areal amount of dye and its absorption
//! coefficient, or from an absorbance; and the other way round the areal amount or absorbance for a wanted share. With
//! the spectrum of the coefficient also the share over the wavelengths.
//!
//! # Formulas
//! A = ε·Γ; LHE = 1 − 10^(−A); turned round A = −log₁₀(1 − LHE), Γ = A/ε. In a spectrum ε lies on the straight line
//! between its two neighbouring points.
//!
//! # Symbols and units
//! LHE light-harvesting efficiency (1); A decadic absorbance of the dye on the film (1); ε molar absorption coefficient,
//! decadic (m²/mol); Γ areal amount (mol/m²) per area of film as seen from above; λ wavelength (m). With ε in L/(mol·cm)
//! and Γ in mol/cm² the first formula reads A = 1000·ε·Γ.
//!
//! # Valid range
//! Areal amount and coefficient above zero, absorbance from 0, a wanted share from 0 to below 1; a wavelength inside the
//! spectrum, of at least two points at different wavelengths.
//!
//! # Assumptions
//! Light passes the film once and straight: neither scattering nor a mirror lengthens its way, nothing but the dye
//! absorbs, nothing is reflected. On the oxide the dye absorbs as in the solution in which its coefficient was measured;
//! bands shift by some ten nanometres in fact.
//!
//! # Sources
//! Beer–Lambert law.
//!
//! # Worked example
//! 130 nmol/cm² of a dye with 14 100 L/(mol·cm) have an absorbance of 1.833 and absorb 98.5 % (computed).

use std::sync::Arc;

use super::absorbance::{BEER_LAMBERT, coefficient, transmitted};
use super::*;
use crate::numerics::curve::{Curve, CurveError};
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("efficiency", "light absorbed"),
        option("needed", "what a wanted share takes"),
    ],
);
static FROM: Field = choice(
    "from",
    "From",
    &[
        option("coefficient", "areal amount and coefficient"),
        option("spectrum", "areal amount and spectrum"),
        option("absorbance", "absorbance of the film"),
    ],
);
static EFFICIENCY: Field = quantity("efficiency", "Light-harvesting efficiency", Kind::Ratio)
    .symbol("LHE")
    .help("Share of the light that the dye absorbs.")
    .units(&["%", "1"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    });
static AREAL_AMOUNT: Field = quantity("areal_amount", "Dye per film area", Kind::ArealAmount)
    .symbol("Γ")
    .units(&["nmol/cm2", "umol/cm2", "mol/cm2"])
    .positive();
static COEFFICIENT: Field = coefficient();
static SPECTRUM: Field = curve(
    "spectrum",
    "Coefficient over wavelength",
    &WAVELENGTH,
    &COEFFICIENT,
)
.help("Two columns: wavelength and molar absorption coefficient.");
static WAVELENGTH: Field = quantity("wavelength", "Wavelength", Kind::Length)
    .symbol("λ")
    .units(&["nm", "um"])
    .positive();
static ABSORBANCE: Field = quantity("absorbance", "Absorbance of the film", Kind::Absorbance)
    .symbol("A")
    .help("Of the dye alone: take off that of the film without dye.")
    .not_negative()
    .measured();
static HARVEST: Field = curve(
    "harvest",
    "Light absorbed over wavelength",
    &WAVELENGTH,
    &EFFICIENCY,
);

/// From this absorbance on nearly all light is absorbed.
const NEARLY_ALL: f64 = 2.0;
const INTERPOLATION: Source = derived("straight line between two points");

/// Light absorbed by a dyed film, and the dye that it takes.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "light_harvesting",
    version: 1,
    stage: Stage::Dyeing,
    title: "Light harvesting",
    purpose: "What share of the light the dye on a film absorbs, and how much dye a wanted share takes.",
    inputs: &[
        show(&FIND),
        show(&FROM),
        show(&EFFICIENCY).when(&FIND, &["needed"]),
        show(&AREAL_AMOUNT).when(&FIND, &["efficiency"]).unless(&FROM, &["absorbance"]),
        show(&COEFFICIENT).when(&FROM, &["coefficient"]),
        show(&WAVELENGTH).when(&FROM, &["spectrum"]),
        show(&SPECTRUM).when(&FROM, &["spectrum"]),
        show(&ABSORBANCE).when(&FIND, &["efficiency"]).when(&FROM, &["absorbance"]),
    ],
    outputs: &[
        show(&EFFICIENCY).when(&FIND, &["efficiency"]),
        show(&AREAL_AMOUNT).when(&FIND, &["needed"]).unless(&FROM, &["absorbance"]),
        show(&ABSORBANCE).when(&FIND, &["needed"]),
        show(&ABSORBANCE).when(&FIND, &["efficiency"]).unless(&FROM, &["absorbance"]),
        show(&COEFFICIENT).when(&FROM, &["spectrum"]),
        show(&HARVEST).when(&FROM, &["spectrum"]),
    ],
    working: &[
        method("The coefficient lies on the straight line between the two points of the spectrum beside the wavelength.")
            .gives(&[&COEFFICIENT])
            .when(&FROM, &["spectrum"]),
        formula("absorbance = coefficient * areal_amount")
            .when(&FIND, &["efficiency"])
            .when(&FROM, &["coefficient", "spectrum"]),
        formula("efficiency = 1 - 10^(-absorbance)").when(&FIND, &["efficiency"]),
        formula("absorbance = -log10(1 - efficiency)").when(&FIND, &["needed"]),
        formula("areal_amount = absorbance / coefficient")
            .when(&FIND, &["needed"])
            .when(&FROM, &["coefficient", "spectrum"]),
        method("The curve repeats this for every point of the spectrum, with the same amount of dye.")
            .gives(&[&HARVEST])
            .when(&FROM, &["spectrum"]),
    ],
    sources: &[BEER_LAMBERT, INTERPOLATION],
    hazards: &[hazards::DYE_POWDERS, hazards::SOLVENTS],
    formula: both::<LightHarvesting>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "N719 at 130 nmol/cm²",
        inputs: &[
            ("areal_amount", "1.3e-7 mol/cm2"),
            ("coefficient", "14100 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "1.833", 5e-6),
            expect("efficiency", "0.9853107", 5e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "N719 at 100 nmol/cm²",
        inputs: &[
            ("areal_amount", "1e-7 mol/cm2"),
            ("coefficient", "14100 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "1.41", 5e-6),
            expect("efficiency", "0.9610955", 5e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "N719 at a published areal amount",
        inputs: &[
            ("areal_amount", "1.312e-7 mol/cm2"),
            ("coefficient", "14100 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "1.84992", 5e-6),
            expect("efficiency", "0.985872", 5e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "a coefficient of 12 200 L/(mol·cm)",
        inputs: &[
            ("areal_amount", "1e-7 mol/cm2"),
            ("coefficient", "12200 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "1.22", 5e-6),
            expect("efficiency", "0.939744", 5e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "a coefficient of 7500 L/(mol·cm)",
        inputs: &[
            ("areal_amount", "1e-7 mol/cm2"),
            ("coefficient", "7500 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "0.75", 5e-6),
            expect("efficiency", "0.8221721", 5e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "a coefficient of 68 700 L/(mol·cm)",
        inputs: &[
            ("areal_amount", "5e-8 mol/cm2"),
            ("coefficient", "68700 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "3.435", 5e-6),
            expect("efficiency", "0.9996327", 5e-8),
        ],
        source: PYTHON,
    },
    Case {
        title: "dye for 90 %",
        inputs: &[
            ("find", "needed"),
            ("efficiency", "90 %"),
            ("coefficient", "10000 L/(mol.cm)"),
        ],
        expected: &[
            expect("absorbance", "1", 1e-12),
            expect("areal_amount", "100 nmol/cm2", 1e-9),
        ],
        source: BEER_LAMBERT,
    },
    Case {
        title: "absorbance for one half",
        inputs: &[
            ("find", "needed"),
            ("from", "absorbance"),
            ("efficiency", "50 %"),
        ],
        expected: &[expect("absorbance", "0.3010299956639812", 1e-12)],
        source: BEER_LAMBERT,
    },
    Case {
        title: "from the absorbance of the film",
        inputs: &[("from", "absorbance"), ("absorbance", "1")],
        expected: &[expect("efficiency", "90 %", 1e-12)],
        source: BEER_LAMBERT,
    },
    Case {
        title: "between two points of a spectrum",
        // A quarter of the way from 8000 to 12 000 L/(mol·cm).
        inputs: &[
            ("from", "spectrum"),
            ("areal_amount", "100 nmol/cm2"),
            ("wavelength", "505 nm"),
            ("spectrum", "480 4000\n500 8000\n520 12000"),
        ],
        expected: &[
            expect("coefficient", "9000 L/(mol.cm)", 1e-9),
            expect("absorbance", "0.9", 1e-12),
        ],
        source: INTERPOLATION,
    },
    Case {
        title: "dye for 90 % between two points of a spectrum",
        inputs: &[
            ("find", "needed"),
            ("from", "spectrum"),
            ("efficiency", "90 %"),
            ("wavelength", "490 nm"),
            ("spectrum", "480 12000\n500 8000"),
        ],
        expected: &[expect("areal_amount", "100 nmol/cm2", 1e-9)],
        source: INTERPOLATION,
    },
];

const PYTHON: Source = computed(
    "1 − 10^(−1000·ε·Γ), ε in L/(mol·cm), Γ in mol/cm², Python 3.11; coefficients from memory, areal amounts from papers",
);

struct LightHarvesting;

impl Formula for LightHarvesting {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let coefficient = if given.choice(&FROM) == "spectrum" {
            let coefficient = between_points(given)?;
            found.set(&COEFFICIENT, coefficient);
            Some(coefficient)
        } else {
            given.get(&COEFFICIENT)
        };
        let amount = if given.choice(&FIND) == "needed" {
            let absorbance = S::constant(0.0) - (-given[&EFFICIENCY] + 1.0).log10();
            found.set(&ABSORBANCE, absorbance);
            let amount = coefficient.map(|coefficient| absorbance / coefficient);
            found.set_some(&AREAL_AMOUNT, amount);
            amount
        } else {
            let amount = given.get(&AREAL_AMOUNT);
            let absorbance = amount
                .zip(coefficient)
                .map(|(amount, of_one)| of_one * amount);
            found.set_some(&ABSORBANCE, absorbance);
            let absorbance = absorbance.unwrap_or(given[&ABSORBANCE]);
            found.set(&EFFICIENCY, harvested(absorbance));
            amount
        };
        if given.wants_curves()
            && given.choice(&FROM) == "spectrum"
            && let Some(amount) = amount
        {
            let spectrum = spectrum(given)?;
            let share = |coefficient: &f64| harvested(coefficient * amount.value());
            found.set_curve(
                &HARVEST,
                Points {
                    x: spectrum.x().to_vec(),
                    y: spectrum.y().iter().map(share).collect(),
                },
            );
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let absorbance = given.get(&ABSORBANCE).or(found.get(&ABSORBANCE));
        let check = absorbance.filter(|absorbance| *absorbance > NEARLY_ALL);
        let check = check.map(|absorbance| {
            Check::note(
                "nearly_all_absorbed",
                format!(
                    "At an absorbance of {} less than a hundredth of the light is left here: more dye or a thicker film \
                     gains only where the dye absorbs less.",
                    ABSORBANCE.say(absorbance)
                ),
                practice("an absorbance of 2 at the maximum is ample"),
            )
        });
        check.into_iter().collect()
    }
}

/// The share of light that does not pass.
fn harvested<S: Scalar>(absorbance: S) -> S {
    -transmitted(absorbance) + 1.0
}

/// The spectrum in ascending order of wavelength.
fn spectrum<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Curve>, Problem> {
    given.once(|| {
        let none = Points::default();
        let points = given.points(&SPECTRUM).unwrap_or(&none);
        Curve::new(&points.x, &points.y).map_err(unfit)
    })
}

fn unfit(error: CurveError) -> Problem {
    Problem::at(
        &SPECTRUM,
        "no_spectrum",
        error.to_string(),
        "Enter two columns, wavelength and coefficient, at two or more different wavelengths.",
    )
}

/// The coefficient at the wavelength in question.
fn between_points<S: Scalar>(given: &Given<'_, S>) -> Result<S, Problem> {
    let (spectrum, wavelength) = (spectrum(given)?, given[&WAVELENGTH]);
    let here = wavelength.value();
    let at = spectrum.linear(here).map_err(unfit)?;
    let x = spectrum.x();
    // There are two points at least, or the line above had none.
    let (first, last) = (x[0], x[x.len() - 1]);
    if !at.inside {
        return Err(Problem::at(
            &WAVELENGTH,
            "outside_spectrum",
            format!(
                "The wavelength ({}) is outside the spectrum ({} to {}).",
                WAVELENGTH.say(here),
                WAVELENGTH.say(first),
                WAVELENGTH.say(last)
            ),
            "Enter a wavelength inside it, or a spectrum that reaches further.",
        ));
    }
    if at.y <= 0.0 {
        return Err(Problem::at(
            &WAVELENGTH,
            "no_absorption",
            format!(
                "At {} the coefficient in the spectrum is {}: the dye does not absorb there.",
                WAVELENGTH.say(here),
                COEFFICIENT.say(at.y)
            ),
            "Enter a wavelength inside the band.",
        ));
    }
    Ok(wavelength.chain(at.y, at.slope))
}
