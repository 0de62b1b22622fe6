//! # What it computes
//! The share of light that a dyed film absorbs at a wavelength, from the areal amount of dye and its absorption
//! coefficient, or from an absorbance; and the other way round the areal amount or absorbance for a wanted share. With
//! the spectrum of the coefficient or of the absorbance also the share over the wavelengths, and the current density that
//! one electron for each absorbed photon of AM1.5G light would be.
//!
//! # Formulas
//! A = ε·Γ; LHE = 1 − 10^(−A); turned round A = −log₁₀(1 − LHE), Γ = A/ε; J_abs = e·∫ E·λ/(h·c)·LHE dλ
//! over the spectrum. In a spectrum ε or A lies on the straight line between its two neighbouring points; the integral is
//! the sum of trapezoids between all points of the spectrum and of AM1.5G.
//!
//! # Symbols and units
//! LHE light-harvesting efficiency (1); A decadic absorbance of the dye on the film (1); ε molar absorption coefficient,
//! decadic (m²/mol); Γ areal amount (mol/m²) per area of film as seen from above; λ wavelength (m); E spectral
//! irradiance (W/m³); J_abs current density of the absorbed light (A/m²); h, c, e Planck constant, speed of light,
//! elementary charge. With ε in L/(mol·cm) and Γ in mol/cm² the first formula reads A = 1000·ε·Γ.
//!
//! # Valid range
//! Areal amount and coefficient above zero, absorbance from 0, a wanted share from 0 to below 1; a wavelength inside the
//! spectrum, of at least two points at different wavelengths.
//!
//! # Assumptions
//! Light passes the film once and straight: neither scattering nor a mirror lengthens its way, nothing but the dye
//! absorbs, nothing is reflected. On the oxide the dye absorbs as in the solution in which its coefficient was measured;
//! bands shift by some ten nanometres in fact. Outside the points of the spectrum nothing is absorbed.
//!
//! # Sources
//! Beer–Lambert law; ASTM G173-03.
//!
//! # Worked example
//! 130 nmol/cm² of a dye with 14 100 L/(mol·cm) have an absorbance of 1.833 and absorb 98.5 % (computed).

mod absorbed;

use std::sync::Arc;

use self::absorbed::Absorbed;
use super::absorbance::{BEER_LAMBERT, coefficient, transmitted};
use super::spectra::{WAVELENGTH, ends, negative, zero_outside};
use super::*;
use crate::light::AM15G_SOURCE;
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
        option("absorbance_spectrum", "absorbance over wavelength"),
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
static ABSORBANCE_SPECTRUM: Field = curve(
    "absorbance_spectrum",
    "Absorbance over wavelength",
    &WAVELENGTH,
    &ABSORBANCE,
)
.help("Two columns: wavelength and absorbance of the dye alone.")
.measured();
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
static ABSORBED: Field = quantity(
    "absorbed_density",
    "Current of absorbed light",
    Kind::CurrentDensity,
)
.symbol("J_abs")
.help("One electron for each photon of AM1.5G light that the dye absorbs.")
.units(&["mA/cm2", "A/m2"]);

/// From this absorbance on nearly all light is absorbed.
const NEARLY_ALL: f64 = 2.0;
/// The ways that know an amount of dye.
const BY_AMOUNT: &[&str] = &["coefficient", "spectrum"];
/// The ways that know a spectrum.
const SPECTRA: &[&str] = &["spectrum", "absorbance_spectrum"];
const INTERPOLATION: Source = derived("straight line between two points");

/// Light absorbed by a dyed film, and the dye that it takes.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "light_harvesting",
    version: 2,
    stage: Stage::Dyeing,
    title: "Light harvesting",
    purpose: "What share of the light the dye on a film absorbs, and how much dye a wanted share takes.",
    inputs: &[
        show(&FIND),
        show(&FROM),
        show(&EFFICIENCY).when(&FIND, &["needed"]),
        show(&AREAL_AMOUNT).when(&FIND, &["efficiency"]).when(&FROM, BY_AMOUNT),
        show(&COEFFICIENT).when(&FROM, &["coefficient"]),
        show(&WAVELENGTH).when(&FROM, &["spectrum"]),
        show(&WAVELENGTH).when(&FIND, &["efficiency"]).when(&FROM, &["absorbance_spectrum"]),
        show(&SPECTRUM).when(&FROM, &["spectrum"]),
        show(&ABSORBANCE).when(&FIND, &["efficiency"]).when(&FROM, &["absorbance"]),
        show(&ABSORBANCE_SPECTRUM).when(&FIND, &["efficiency"]).when(&FROM, &["absorbance_spectrum"]),
    ],
    outputs: &[
        show(&EFFICIENCY).when(&FIND, &["efficiency"]),
        show(&AREAL_AMOUNT).when(&FIND, &["needed"]).when(&FROM, BY_AMOUNT),
        show(&ABSORBANCE).when(&FIND, &["needed"]),
        show(&ABSORBANCE).when(&FIND, &["efficiency"]).unless(&FROM, &["absorbance"]),
        show(&COEFFICIENT).when(&FROM, &["spectrum"]),
        show(&ABSORBED).when(&FROM, &["spectrum"]),
        show(&ABSORBED).when(&FIND, &["efficiency"]).when(&FROM, &["absorbance_spectrum"]),
        show(&HARVEST).when(&FROM, &["spectrum"]),
        show(&HARVEST).when(&FIND, &["efficiency"]).when(&FROM, &["absorbance_spectrum"]),
    ],
    working: &[
        method("The coefficient lies on the straight line between the two points of the spectrum beside the wavelength.")
            .gives(&[&COEFFICIENT])
            .when(&FROM, &["spectrum"]),
        formula("absorbance = coefficient * areal_amount")
            .when(&FIND, &["efficiency"])
            .when(&FROM, BY_AMOUNT),
        method("The absorbance lies on the straight line between the two points of the spectrum beside the wavelength.")
            .gives(&[&ABSORBANCE])
            .when(&FIND, &["efficiency"])
            .when(&FROM, &["absorbance_spectrum"]),
        formula("efficiency = 1 - 10^(-absorbance)").when(&FIND, &["efficiency"]),
        formula("absorbance = -log10(1 - efficiency)").when(&FIND, &["needed"]),
        formula("areal_amount = absorbance / coefficient")
            .when(&FIND, &["needed"])
            .when(&FROM, BY_AMOUNT),
        method(
            "The curve repeats this for every point of the spectrum, with the same amount of dye. The current of the \
             absorbed light: the share of each wavelength times its photons in AM1.5G, one elementary charge each, added up \
             by trapezoids between all points of the spectrum and of AM1.5G.",
        )
        .gives(&[&HARVEST, &ABSORBED])
        .when(&FROM, SPECTRA),
    ],
    sources: &[BEER_LAMBERT, INTERPOLATION, AM15G_SOURCE],
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
    Case {
        title: "current of the light that 100 nmol/cm² absorb",
        inputs: &[
            ("from", "spectrum"),
            ("areal_amount", "100 ± 1 nmol/cm2"),
            ("wavelength", "535 nm"),
            ("spectrum", RUTHENIUM_LIKE),
        ],
        expected: &[
            expect("coefficient", "14060 L/(mol.cm)", 1e-8),
            expect("absorbed_density", "16.702375986378076 mA/cm2", 1e-8),
        ],
        source: NUMPY,
    },
    Case {
        title: "the same for 90 % at 625 nm",
        inputs: &[
            ("find", "needed"),
            ("from", "spectrum"),
            ("efficiency", "90 %"),
            ("wavelength", "625 nm"),
            ("spectrum", RUTHENIUM_LIKE),
        ],
        expected: &[
            expect("areal_amount", "166.66666666666666 nmol/cm2", 1e-9),
            expect("absorbed_density", "19.222414633034475 mA/cm2", 1e-8),
        ],
        source: NUMPY,
    },
    Case {
        title: "current of the light that a film absorbs, from its absorbance",
        inputs: &[
            ("from", "absorbance_spectrum"),
            ("wavelength", "527 nm"),
            (
                "absorbance_spectrum",
                "350 0\n400 1.1\n450 0.7\n530 1.4\n600 0.7\n700 0.15\n800 0",
            ),
        ],
        expected: &[
            expect("absorbance", "1.37375", 1e-12),
            expect("absorbed_density", "16.637556023449676 mA/cm2", 1e-8),
        ],
        source: NUMPY,
    },
];

/// An invented spectrum, in nm and L/(mol·cm).
const RUTHENIUM_LIKE: &str = "\
350 0\n390 14000\n420 9500\n460 8000\n500 12300\n530 14100\n540 14020\n570 11800\n600 8000\n650 4000\n700 1400\n\
750 400\n800 0";
const NUMPY: Source = computed(
    "numpy 2.4.6, trapezoids between all points of the spectrum and of AM1.5G (ASTM G173-03); spectra are invented",
);

const PYTHON: Source = computed(
    "1 − 10^(−1000·ε·Γ), ε in L/(mol·cm), Γ in mol/cm², Python 3.11; coefficients from memory, areal amounts from papers",
);

struct LightHarvesting;

impl Formula for LightHarvesting {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let from = given.choice(&FROM);
        let coefficient = if from == "spectrum" {
            let coefficient = between_points(given, &COEFFICIENT)?;
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
            let mut absorbance = amount
                .zip(coefficient)
                .map(|(amount, of_one)| of_one * amount);
            if from == "absorbance_spectrum" {
                absorbance = Some(between_points(given, &ABSORBANCE)?);
            }
            found.set_some(&ABSORBANCE, absorbance);
            let absorbance = absorbance.unwrap_or(given[&ABSORBANCE]);
            found.set(&EFFICIENCY, harvested(absorbance));
            amount
        };
        // An absorbance is that of the film as it is: once.
        let times = match from {
            "spectrum" => amount,
            "absorbance_spectrum" if given.choice(&FIND) == "efficiency" => Some(S::constant(1.0)),
            _ => None,
        };
        if let Some(times) = times {
            let spectrum = Spectrum::of(given)?;
            let absorbed = spectrum.absorbed.as_ref();
            let density = absorbed.map(|absorbed| absorbed.of(times));
            if density.is_some_and(|density| density.value() < 0.0) && times.value() > 0.0 {
                return Err(less_than_none(field(given)));
            }
            found.set_some(&ABSORBED, density);
            if given.wants_curves() {
                let share = |absorption: &f64| harvested(absorption * times.value());
                found.set_curve(
                    &HARVEST,
                    Points {
                        x: spectrum.curve.x().to_vec(),
                        y: spectrum.curve.y().iter().map(share).collect(),
                    },
                );
            }
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let absorbance = given.get(&ABSORBANCE).or(found.get(&ABSORBANCE));
        let nearly = absorbance.filter(|absorbance| *absorbance > NEARLY_ALL);
        let nearly = nearly.map(|absorbance| {
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
        let spectrum = found.get(&ABSORBED).and_then(|_| Spectrum::of(given).ok());
        let of_spectrum = spectrum.map(|spectrum| {
            let what = "absorption of the dye";
            let below = negative(&spectrum.curve, what);
            core::iter::once(zero_outside(&spectrum.curve, what)).chain(below)
        });
        nearly
            .into_iter()
            .chain(of_spectrum.into_iter().flatten())
            .collect()
    }
}

/// The share of light that does not pass.
fn harvested<S: Scalar>(absorbance: S) -> S {
    -transmitted(absorbance) + 1.0
}

/// Coefficient or absorbance over the wavelength, and the sunlight absorbed by it.
struct Spectrum {
    curve: Curve,
    absorbed: Option<Absorbed>,
}

impl Spectrum {
    fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Spectrum>, Problem> {
        given.once(|| {
            let none = Points::default();
            let points = given.points(field(given)).unwrap_or(&none);
            let curve = Curve::new(&points.x, &points.y).map_err(|error| unfit(given, error))?;
            Ok(Spectrum {
                absorbed: Absorbed::new(&curve),
                curve,
            })
        })
    }
}

/// The field of the spectrum.
fn field<S: Scalar>(given: &Given<'_, S>) -> &'static Field {
    match given.choice(&FROM) {
        "absorbance_spectrum" => &ABSORBANCE_SPECTRUM,
        _ => &SPECTRUM,
    }
}

/// Values below zero that outweigh those above.
fn less_than_none(field: &Field) -> Problem {
    Problem::at(
        field,
        "less_than_no_light",
        "With the values below zero in the spectrum, the film absorbs less than no sunlight.",
        "Take off a smaller background, or leave out the points below zero.",
    )
}

fn unfit<S: Scalar>(given: &Given<'_, S>, error: CurveError) -> Problem {
    Problem::at(
        field(given),
        "no_spectrum",
        error.to_string(),
        "Enter two columns with wavelengths first, at two or more different wavelengths.",
    )
}

/// The coefficient or absorbance at the wavelength in question.
fn between_points<S: Scalar>(given: &Given<'_, S>, what: &Field) -> Result<S, Problem> {
    let (spectrum, wavelength) = (Spectrum::of(given)?, given[&WAVELENGTH]);
    let here = wavelength.value();
    let at = spectrum.curve.linear(here);
    let at = at.map_err(|error| unfit(given, error))?;
    let (first, last) = ends(&spectrum.curve);
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
                "At {} the {} in the spectrum is {}: the dye does not absorb there.",
                WAVELENGTH.say(here),
                if what.is(&ABSORBANCE) {
                    "absorbance"
                } else {
                    "coefficient"
                },
                what.say(at.y)
            ),
            "Enter a wavelength inside the band.",
        ));
    }
    Ok(wavelength.chain(at.y, at.slope))
}
