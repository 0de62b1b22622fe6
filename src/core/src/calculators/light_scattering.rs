//! # What it computes
//! Hydrodynamic diameter of particles from their diffusion coefficient or from the decay of scattered light, and the other
//! way round; the width that a polydispersity index stands for, and the mean by number that goes with it.
//!
//! # Formulas
//! d = k_B·T/(3·π·η·D); q = 4·π·n·sin(θ/2)/λ, Γ = D·q², τ = 1/Γ; σ = d·√PDI; x_n = d/(1 + PDI)⁵.
//!
//! # Symbols and units
//! d hydrodynamic diameter (m), D diffusion coefficient (m²/s); T temperature (K), η viscosity of the liquid (Pa·s), k_B
//! Boltzmann constant; n refractive index of the liquid (1), λ wavelength in vacuum (m), θ scattering angle, Γ decay rate of
//! the field (1/s), τ its decay time (s); PDI polydispersity index (1), σ standard deviation of the diameter by intensity
//! (m), x_n mean by number (m).
//!
//! # Valid range
//! Above zero; angle up to 180°.
//!
//! # Assumptions
//! Single spheres, dilute, small against the wavelength: each scatters as the sixth power of its diameter, so that the
//! mean is one by intensity. The intensity decays with 2·Γ. The mean by number holds for a log-normal distribution.
//!
//! # Sources
//! Stokes–Einstein relation; relations of ISO 22412 (from memory); moments of a log-normal distribution.
//!
//! # Worked example
//! In water of 25 °C a diffusion coefficient of 4.90·10⁻¹² m²/s belongs to 100 nm.

use super::*;
use crate::chemistry::constants::BOLTZMANN;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("diameter", "diameter from diffusion"),
        option("diffusion", "diffusion of a diameter"),
        option("decay", "diameter from a decay rate"),
    ],
);
static TEMPERATURE: Field = quantity("temperature", "Temperature", Kind::Temperature)
    .symbol("T")
    .units(&["Cel", "K"])
    .positive();
static VISCOSITY: Field = quantity(
    "viscosity",
    "Viscosity of the liquid",
    Kind::DynamicViscosity,
)
.symbol("η")
.help("Of the liquid in the cuvette, at this temperature.")
.units(&["mPa.s"])
.positive();
static DIFFUSION: Field = quantity("diffusion", "Diffusion coefficient", Kind::Diffusivity)
    .symbol("D")
    .units(&["um2/s", "m2/s"])
    .positive();
static DIAMETER: Field = quantity("diameter", "Hydrodynamic diameter", Kind::Length)
    .symbol("d")
    .help("Mean by intensity.")
    .units(&["nm", "um"])
    .positive();
static DECAY: Field = quantity("decay", "Decay rate of the field", Kind::Frequency)
    .symbol("Γ")
    .help("Half of that of the intensity.")
    .units(&["Hz", "kHz"])
    .positive();
static OPTICS: Field = choice(
    "optics",
    "Optics",
    &[option("left_out", "left out"), option("known", "known")],
);
static REFRACTIVE_INDEX: Field = quantity(
    "refractive_index",
    "Refractive index of the liquid",
    Kind::Ratio,
)
.symbol("n")
.within(1.0, 3.0);
static WAVELENGTH: Field = quantity("wavelength", "Wavelength in vacuum", Kind::Length)
    .symbol("λ")
    .units(&["nm"])
    .positive();
static ANGLE: Field = quantity("angle", "Scattering angle", Kind::Angle)
    .symbol("θ")
    .units(&["deg"])
    .range(Range {
        from: 0.0,
        to: core::f64::consts::PI,
        above: true,
        below: false,
    });
static POLYDISPERSITY: Field = quantity("polydispersity", "Polydispersity index", Kind::Ratio)
    .symbol("PDI")
    .help("For the width and the mean by number.")
    .not_negative()
    .optional();

static WIDTH: Field = quantity("width", "Standard deviation, by intensity", Kind::Length)
    .symbol("σ")
    .units(&["nm", "um"]);
static NUMBER_MEAN: Field = quantity("number_mean", "Mean by number, if log-normal", Kind::Length)
    .symbol("x_n")
    .help("An estimate: the measurement hardly sees the small ones.")
    .units(&["nm", "um"]);
static DECAY_TIME: Field = quantity("decay_time", "Decay time of the field", Kind::Time)
    .symbol("τ")
    .units(&["us", "ms"]);

pub(super) const STOKES_EINSTEIN: Source =
    derived("Stokes–Einstein relation, for a sphere in a liquid that sticks to it");
const ISO: Source = memory("ISO 22412: q = 4·π·n·sin(θ/2)/λ, Γ = D·q²");
const LOG_NORMAL: Source =
    derived("moments of a log-normal distribution, weighted by the sixth power of the diameter");

/// Size of particles by light scattering.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "light_scattering",
    version: 1,
    stage: Stage::Ink,
    title: "Size by light scattering",
    purpose: "Diameter of particles from their diffusion, and what its mean by intensity means.",
    inputs: &[
        show(&FIND),
        show(&TEMPERATURE),
        show(&VISCOSITY),
        show(&DIFFUSION).when(&FIND, &["diameter"]),
        show(&DIAMETER).when(&FIND, &["diffusion"]),
        show(&DECAY).when(&FIND, &["decay"]),
        show(&OPTICS).unless(&FIND, &["decay"]),
        show(&REFRACTIVE_INDEX).when(&FIND, &["decay"]),
        show(&WAVELENGTH).when(&FIND, &["decay"]),
        show(&ANGLE).when(&FIND, &["decay"]),
        show(&REFRACTIVE_INDEX)
            .unless(&FIND, &["decay"])
            .when(&OPTICS, &["known"]),
        show(&WAVELENGTH)
            .unless(&FIND, &["decay"])
            .when(&OPTICS, &["known"]),
        show(&ANGLE)
            .unless(&FIND, &["decay"])
            .when(&OPTICS, &["known"]),
        show(&POLYDISPERSITY),
    ],
    outputs: &[
        show(&DIAMETER).unless(&FIND, &["diffusion"]),
        show(&DIFFUSION).unless(&FIND, &["diameter"]),
        show(&DECAY)
            .unless(&FIND, &["decay"])
            .when(&OPTICS, &["known"]),
        show(&DECAY_TIME)
            .unless(&FIND, &["decay"])
            .when(&OPTICS, &["known"]),
        show(&WIDTH),
        show(&NUMBER_MEAN),
    ],
    working: &[
        formula(
            "diffusion = decay / (8 * (pi * refractive_index / wavelength)^2 * (1 - cos(angle)))",
        )
        .when(&FIND, &["decay"]),
        formula("diameter = k_B * temperature / (3 * pi * viscosity * diffusion)")
            .when(&FIND, &["diameter", "decay"]),
        formula("diffusion = k_B * temperature / (3 * pi * viscosity * diameter)")
            .when(&FIND, &["diffusion"]),
        formula(
            "decay = diffusion * 8 * (pi * refractive_index / wavelength)^2 * (1 - cos(angle))",
        )
        .when(&FIND, &["diameter", "diffusion"])
        .when(&OPTICS, &["known"]),
        formula("decay_time = 1 / decay")
            .when(&FIND, &["diameter", "diffusion"])
            .when(&OPTICS, &["known"]),
        formula("width = diameter * sqrt(polydispersity)"),
        formula("number_mean = diameter / (1 + polydispersity)^5"),
    ],
    sources: &[STOKES_EINSTEIN, ISO, LOG_NORMAL],
    hazards: &[
        Hazard {
            what: "Laser",
            caution: "A laser inside a closed instrument can hurt eyes when the lid switch is bypassed. Do not open it \
                      while it runs.",
        },
        hazards::NANOPOWDERS,
    ],
    formula: both::<LightScattering>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "diameter from diffusion in water of 25 °C",
        inputs: &[
            ("temperature", "298.15 K"),
            ("viscosity", "0.89002 mPa.s"),
            ("diffusion", "4.90e-12 m2/s"),
        ],
        expected: &[expect("diameter", "100.15 nm", 5e-3)],
        source: PYTHON,
    },
    Case {
        title: "100 nm in water, backward",
        inputs: &[
            ("find", "diffusion"),
            ("temperature", "298.15 K"),
            ("viscosity", "0.89002 mPa.s"),
            ("diameter", "100 nm"),
            ("optics", "known"),
            ("refractive_index", "1.3317"),
            ("wavelength", "633 nm"),
            ("angle", "173 deg"),
        ],
        expected: &[
            expect("diffusion", "4.907352e-12 m2/s", 5e-19),
            expect("decay", "3417.04505 Hz", 5e-6),
            expect("decay_time", "292.6505 us", 5e-5),
        ],
        source: ISO_COMPUTED,
    },
    Case {
        title: "the same from its decay rate",
        inputs: &[
            ("find", "decay"),
            ("temperature", "298.15 K"),
            ("viscosity", "0.89002 mPa.s"),
            ("decay", "3417.04505 Hz"),
            ("refractive_index", "1.3317"),
            ("wavelength", "633 nm"),
            ("angle", "173 deg"),
        ],
        // The rate is printed to nine digits.
        expected: &[
            expect("diffusion", "4.907352e-12 m2/s", 5e-19),
            expect("diameter", "100 nm", 2e-7),
        ],
        source: ISO_COMPUTED,
    },
    Case {
        title: "20 nm anatase in water",
        inputs: &[
            ("find", "diffusion"),
            ("temperature", "298.15 K"),
            ("viscosity", "0.89002 mPa.s"),
            ("diameter", "20 nm"),
        ],
        expected: &[expect("diffusion", "2.453676e-11 m2/s", 5e-18)],
        source: PYTHON,
    },
    Case {
        title: "polydispersity of 0.25",
        inputs: &[
            ("temperature", "298.15 K"),
            ("viscosity", "0.89002 mPa.s"),
            ("diffusion", "4.907352e-12 m2/s"),
            ("polydispersity", "0.25"),
        ],
        expected: &[
            expect("width", "50 nm", 1e-5),
            // 100 nm / 1.25⁵.
            expect("number_mean", "32.768 nm", 1e-5),
        ],
        source: LOG_NORMAL,
    },
];

const PYTHON: Source = computed("Stokes–Einstein relation, Python 3.11 float64");
const ISO_COMPUTED: Source = computed("relations of ISO 22412, from memory, Python 3.11 float64");

struct LightScattering;

impl Formula for LightScattering {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (temperature, viscosity) = (given[&TEMPERATURE], given[&VISCOSITY]);
        let other = |one| stokes_einstein(temperature, viscosity, one);
        let mut found = Found::new();
        let diameter = match given.choice(&FIND) {
            "diffusion" => {
                let diameter = given[&DIAMETER];
                found.set(&DIFFUSION, other(diameter));
                diameter
            }
            "decay" => {
                let diffusion = given[&DECAY] / scattering_vector(given).squared();
                found.set(&DIFFUSION, diffusion);
                other(diffusion)
            }
            _ => other(given[&DIFFUSION]),
        };
        if given.choice(&FIND) != "diffusion" {
            found.set(&DIAMETER, diameter);
        }
        if given.choice(&FIND) != "decay" && given.choice(&OPTICS) == "known" {
            let decay = other(diameter) * scattering_vector(given).squared();
            found.set(&DECAY, decay);
            found.set(&DECAY_TIME, S::constant(1.0) / decay);
        }
        if let Some(index) = given.get(&POLYDISPERSITY) {
            found.set(&WIDTH, diameter * index.sqrt());
            found.set(&NUMBER_MEAN, diameter / (index + 1.0).powi(5));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let weighting = Check::note(
            "by_intensity",
            "The mean is by intensity: a particle twice as large scatters 64 times as much, so that a few clumps raise it, \
             and small particles hardly count.",
            derived("small spheres scatter as the sixth power of their diameter"),
        );
        polydispersity(given, found)
            .into_iter()
            .chain([weighting])
            .collect()
    }
}

/// The diffusion coefficient of a diameter, or the diameter of a diffusion coefficient: their product is
/// k_B·T/(3·π·η).
pub(super) fn stokes_einstein<S: Scalar>(temperature: S, viscosity: S, one: S) -> S {
    temperature * BOLTZMANN / (viscosity * one * (3.0 * core::f64::consts::PI))
}

/// Length of the scattering vector, 1/m.
fn scattering_vector<S: Scalar>(given: &Given<'_, S>) -> S {
    let half = (given[&ANGLE] / 2.0).sin();
    given[&REFRACTIVE_INDEX] * half * (4.0 * core::f64::consts::PI) / given[&WAVELENGTH]
}

fn polydispersity(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let index = given.get(&POLYDISPERSITY)?;
    let rule = practice(
        "below 0.1 narrow, to 0.3 usual for ground or milled powders, above 0.7 not to be evaluated so",
    );
    let said = format!(
        "A polydispersity index of {} is a width of {}",
        brief_text(index, 2),
        WIDTH.say(found.get(&WIDTH)?)
    );
    Some(if index <= 0.3 {
        Check::in_range("polydispersity", format!("{said}."), rule)
    } else if index <= 0.7 {
        Check::note(
            "polydispersity",
            format!(
                "{said}: broad, look for clumps, and look at the distribution rather than at the mean."
            ),
            rule,
        )
    } else {
        Check::warning(
            "polydispersity",
            format!(
                "{said}: the mean says little; disperse again, let large ones settle, and measure again."
            ),
            rule,
        )
    })
}
