//! # What it computes
//! How far particles settle in a reservoir over the print time, one alone and hindered by the others, how long until a
//! share of the height is clear, and whether diffusion keeps them up.
//!
//! # Formulas
//! v₀ = (ρ_p − ρ)·g·x²/(18·η); v = v₀·(1 − φ)^4.65; s = v·t; c = s/H; t_s = a·H/v; D = k_B·T/(3·π·η·x); Pe = v₀·H/D.
//!
//! # Symbols and units
//! x diameter of the particles (m), ρ_p their density, ρ density of the liquid (kg/m³), η its viscosity (Pa·s), T
//! temperature (K); φ volume fraction of the particles (1); H height of the ink (m), t print time (s), a share of the height
//! (1); v₀ velocity of one particle alone, v hindered (m/s); s distance (m), c its share of the height (1), t_s time until the share is clear (s); D
//! diffusion coefficient (m²/s), Pe Péclet number over the height (1).
//!
//! # Valid range
//! Particles denser than the liquid; particle Reynolds number below 0.2.
//!
//! # Assumptions
//! Spheres of one size that do not clump: a clump of ten times the size settles a hundred times as fast. Liquid at rest,
//! Newtonian. Viscosity and density are those of the liquid without particles: the exponent counts the particles.
//!
//! # Sources
//! Stokes; Richardson and Zaki 1954 (from memory); Stokes–Einstein relation.
//!
//! # Worked example
//! Anatase of 100 nm in water of 25 °C settles 1.5 mm a day; 10 mm take 6.5 days.

use super::light_scattering::{STOKES_EINSTEIN, stokes_einstein};
use super::*;
use crate::chemistry::constants::GRAVITY;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;

static DIAMETER: Field = quantity("diameter", "Diameter of the particles", Kind::Length)
    .symbol("x")
    .help("Of what settles: with clumps, of the clumps.")
    .units(&["nm", "um"])
    .positive();
static PARTICLE_DENSITY: Field = quantity(
    "particle_density",
    "Density of the particles",
    Kind::Density,
)
.symbol("ρ_p")
.units(&["g/cm3", "kg/m3"])
.positive();
static LIQUID_DENSITY: Field = quantity("liquid_density", "Density of the liquid", Kind::Density)
    .symbol("ρ")
    .help("Without the particles.")
    .units(&["g/mL", "g/cm3", "kg/m3"])
    .positive();
static VISCOSITY: Field = quantity(
    "viscosity",
    "Viscosity of the liquid",
    Kind::DynamicViscosity,
)
.symbol("η")
.help("Without the particles, at this temperature.")
.units(&["mPa.s", "Pa.s"])
.positive();
static TEMPERATURE: Field = quantity("temperature", "Temperature", Kind::Temperature)
    .symbol("T")
    .units(&["Cel", "K"])
    .positive();
static SOLIDS: Field = quantity("solids", "Particles, by volume", Kind::VolumeFraction)
    .symbol("φ")
    .help("0 for one particle alone.")
    .units(&["%"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    })
    .initially("0");
static HEIGHT: Field = quantity("height", "Height of the ink", Kind::Length)
    .symbol("H")
    .help("In the reservoir.")
    .units(&["mm", "cm"])
    .positive();
static TIME: Field = quantity("time", "Print time", Kind::Time)
    .symbol("t")
    .units(&["h", "min", "d"])
    .not_negative();
static SHARE: Field = quantity("share", "Share of height that may clear", Kind::Ratio)
    .symbol("a")
    .units(&["%"])
    .range(Range::FRACTION)
    .initially("5");

static STIR_AFTER: Field = quantity("stir_after", "Stir after", Kind::Time)
    .symbol("t_s")
    .help("The chosen share of the height is clear by then.")
    .units(&["h", "d", "s", "min"]);
static SETTLED: Field = quantity("settled", "Settled in the print time", Kind::Length)
    .symbol("s")
    .units(&["mm", "um", "nm"]);
static CLEARED: Field = quantity("cleared", "Share of height cleared", Kind::Ratio)
    .symbol("c")
    .help("Above 100 %: all has settled.")
    .units(&["%"]);
static HINDERED: Field = quantity("hindered", "Settling velocity", Kind::Velocity)
    .symbol("v")
    .help("Hindered by the other particles.")
    .units(&["um/s", "mm/s", "m/s"]);
static ALONE: Field = quantity("alone", "Velocity of one alone", Kind::Velocity)
    .symbol("v₀")
    .units(&["um/s", "mm/s", "m/s"]);
static DIFFUSION: Field = quantity("diffusion", "Diffusion coefficient", Kind::Diffusivity)
    .symbol("D")
    .units(&["um2/s", "m2/s"]);
static PECLET: Field = quantity("peclet", "Péclet number over the height", Kind::Ratio)
    .symbol("Pe")
    .help("Settling against diffusion: below 1 they stay up for good.");

/// Richardson and Zaki's exponent for slow flow.
const HINDRANCE: f64 = 4.65;
/// Stokes' law holds below this Reynolds number of the particle.
const SLOW: f64 = 0.2;

const STOKES: Source = derived("Stokes drag against weight less buoyancy");
const RICHARDSON_ZAKI: Source =
    memory("Richardson and Zaki 1954: (1 − φ)^4.65 for slow flow of equal spheres");

/// Settling in the reservoir, and when to stir.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "settling",
    version: 1,
    stage: Stage::Ink,
    title: "Settling",
    purpose: "How far particles settle while printing, and when to stir.",
    inputs: &[
        show(&DIAMETER),
        show(&PARTICLE_DENSITY),
        show(&LIQUID_DENSITY),
        show(&VISCOSITY),
        show(&TEMPERATURE),
        show(&SOLIDS),
        show(&HEIGHT),
        show(&TIME),
        show(&SHARE),
    ],
    outputs: &[
        show(&STIR_AFTER),
        show(&SETTLED),
        show(&CLEARED),
        show(&HINDERED),
        show(&ALONE),
        show(&DIFFUSION),
        show(&PECLET),
    ],
    working: &[
        formula(
            "alone = (particle_density - liquid_density) * g_n * diameter^2 / (18 * viscosity)",
        ),
        formula("hindered = alone * (1 - solids)^4.65"),
        formula("settled = hindered * time"),
        formula("cleared = settled / height"),
        formula("stir_after = share * height / hindered"),
        formula("diffusion = k_B * temperature / (3 * pi * viscosity * diameter)"),
        formula("peclet = alone * height / diffusion"),
    ],
    sources: &[STOKES, RICHARDSON_ZAKI, STOKES_EINSTEIN],
    hazards: &[hazards::NANOPOWDERS],
    formula: both::<Settling>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "anatase in water, 20 nm",
        inputs: &[
            ("diameter", "20 nm"),
            ("particle_density", "3893 kg/m3"),
            ("liquid_density", "997.047 kg/m3"),
            ("viscosity", "0.89002 mPa.s"),
            ("temperature", "298.15 K"),
            ("solids", "0"),
            ("height", "10 mm"),
            ("time", "1 d"),
            ("share", "100 %"),
        ],
        expected: &[
            expect("alone", "7.090876e-10 m/s", 5e-17),
            expect("settled", "0.0612652 mm", 5e-08),
            expect("stir_after", "163.22 d", 0.005),
            expect("diffusion", "2.453676e-11 m2/s", 5e-18),
        ],
        source: PYTHON,
    },
    Case {
        title: "anatase in water, 100 nm",
        inputs: &[
            ("diameter", "100 nm"),
            ("particle_density", "3893 kg/m3"),
            ("liquid_density", "997.047 kg/m3"),
            ("viscosity", "0.89002 mPa.s"),
            ("temperature", "298.15 K"),
            ("solids", "0"),
            ("height", "10 mm"),
            ("time", "1 d"),
            ("share", "100 %"),
        ],
        expected: &[
            expect("alone", "1.772719e-08 m/s", 5e-15),
            expect("settled", "1.53163 mm", 5e-06),
            expect("stir_after", "6.529 d", 0.0005),
            expect("diffusion", "4.907352e-12 m2/s", 5e-19),
        ],
        source: PYTHON,
    },
    Case {
        title: "anatase in water, 1000 nm",
        inputs: &[
            ("diameter", "1000 nm"),
            ("particle_density", "3893 kg/m3"),
            ("liquid_density", "997.047 kg/m3"),
            ("viscosity", "0.89002 mPa.s"),
            ("temperature", "298.15 K"),
            ("solids", "0"),
            ("height", "10 mm"),
            ("time", "1 d"),
            ("share", "100 %"),
        ],
        expected: &[
            expect("alone", "1.772719e-06 m/s", 5e-13),
            expect("settled", "153.163 mm", 0.0005),
            expect("stir_after", "0.06529 d", 5e-06),
            expect("diffusion", "4.907352e-13 m2/s", 5e-20),
        ],
        source: PYTHON,
    },
    Case {
        title: "ZnO in ethylene glycol, 200 nm",
        inputs: &[
            ("diameter", "200 nm"),
            ("particle_density", "5675 kg/m3"),
            ("liquid_density", "1110.0 kg/m3"),
            ("viscosity", "16.1 mPa.s"),
            ("temperature", "298.15 K"),
            ("solids", "0"),
            ("height", "10 mm"),
            ("time", "1 d"),
            ("share", "100 %"),
        ],
        expected: &[
            expect("alone", "6.179069e-09 m/s", 5e-16),
            expect("settled", "0.533872 mm", 5e-07),
            expect("stir_after", "18.731 d", 0.0005),
            expect("diffusion", "1.35641e-13 m2/s", 5e-20),
        ],
        source: PYTHON,
    },
    Case {
        title: "hindered by a tenth of particles, with the time to stir",
        inputs: &[
            ("diameter", "100 nm"),
            ("particle_density", "3893 kg/m3"),
            ("liquid_density", "997.047 kg/m3"),
            ("viscosity", "0.89002 mPa.s"),
            ("temperature", "298.15 K"),
            ("solids", "10 %"),
            ("height", "10 mm"),
            ("time", "1 d"),
            ("share", "5 %"),
        ],
        // 0.9^4.65 = 0.612671…; 1.53163 mm of one alone in a day; 5 % of 6.529 d over that.
        expected: &[
            expect("settled", "0.938386 mm", 5e-7),
            expect("cleared", "9.38386 %", 5e-6),
            expect("stir_after", "0.532830 d", 5e-7),
        ],
        source: computed(
            "Stokes with the exponent of Richardson and Zaki (from memory), Python 3.11 float64",
        ),
    },
];

const PYTHON: Source = computed("Stokes and Stokes–Einstein, Python 3.11 float64");

struct Settling;

impl Formula for Settling {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (x, eta, height) = (given[&DIAMETER], given[&VISCOSITY], given[&HEIGHT]);
        let (particle, liquid) = (given[&PARTICLE_DENSITY], given[&LIQUID_DENSITY]);
        if particle.value() <= liquid.value() {
            return Err(Problem::at(
                &PARTICLE_DENSITY,
                "does_not_settle",
                format!(
                    "Particles of {} are no denser than the liquid ({}): they do not settle.",
                    PARTICLE_DENSITY.say(particle.value()),
                    LIQUID_DENSITY.say(liquid.value())
                ),
                "Look at the two densities and their units.",
            ));
        }
        let alone = (particle - liquid) * GRAVITY * x.squared() / (eta * 18.0);
        let hindered = alone * (-given[&SOLIDS] + 1.0).powf(HINDRANCE);
        let settled = hindered * given[&TIME];
        let diffusion = stokes_einstein(given[&TEMPERATURE], eta, x);
        let mut found = Found::new();
        found.set(&STIR_AFTER, given[&SHARE] * height / hindered);
        found.set(&SETTLED, settled);
        found.set(&CLEARED, settled / height);
        found.set(&HINDERED, hindered);
        found.set(&ALONE, alone);
        found.set(&DIFFUSION, diffusion);
        found.set(&PECLET, alone * height / diffusion);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [stir(given, found), suspended(found), slow(given, found)]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// Whether to stir while printing.
fn stir(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (cleared, share) = (found.get(&CLEARED)?, given.get(&SHARE)?);
    let after = STIR_AFTER.say(found.get(&STIR_AFTER)?);
    let time = TIME.say(given.get(&TIME)?);
    let rule = practice("stir before a twentieth of the height is clear");
    Some(if cleared <= share {
        Check::in_range(
            "stir",
            format!(
                "In {time} {} of the height clears: no stirring is needed before {after}.",
                CLEARED.say(cleared)
            ),
            rule,
        )
    } else {
        Check::warning(
            "stir",
            format!(
                "In {time} {} of the height clears: stir at least every {after}, and before each print.",
                CLEARED.say(cleared.min(1.0))
            ),
            rule,
        )
    })
}

/// Whether diffusion alone keeps the particles up.
fn suspended(found: &Found<f64>) -> Option<Check> {
    let peclet = found.get(&PECLET)?;
    (peclet < 1.0).then(|| {
        Check::in_range(
            "suspended",
            format!(
                "The Péclet number is {}: diffusion keeps single particles up; only clumps settle.",
                brief_text(peclet, 2)
            ),
            STOKES_EINSTEIN,
        )
    })
}

/// Whether the flow about a particle is slow enough for Stokes' law.
fn slow(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let reynolds = given.get(&LIQUID_DENSITY)? * found.get(&ALONE)? * given.get(&DIAMETER)?
        / given.get(&VISCOSITY)?;
    (reynolds > SLOW).then(|| {
        Check::warning(
            "too_fast",
            format!(
                "The Reynolds number of a particle is {}: Stokes' law gives too high a velocity above 0.2.",
                brief_text(reynolds, 2)
            ),
            practice("Stokes' law up to a Reynolds number of 0.2"),
        )
    })
}
