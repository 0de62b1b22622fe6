//! # What it computes
//! The current density that light can give: at most, with one electron for every photon up to a wavelength; through a
//! measured quantum efficiency; or through a dyed film, from the light that it absorbs. Beside it, the measured
//! short-circuit current density as ratio and difference.
//!
//! # Formulas
//! Φ = ∫ E·λ/(h·c) dλ; G = ∫ E dλ; J = e·∫ E·λ/(h·c)·Q dλ, with Q = 1 from λ₁ to λ₂, or Q = k·EQE; film J = J_abs·T·φ;
//! photon energy at the limit h·c/λ₂; r = Jsc/J; difference Jsc − J. Integrals are sums of trapezoids between all points
//! of the curves and of AM1.5G.
//!
//! # Symbols and units
//! E spectral irradiance (W/m³); λ wavelength (m); λ₁, λ₂ ends of the range (m); G irradiance (W/m²) and Φ photon flux
//! (1/(m²·s)) in the range; EQE external quantum efficiency (1); k its factor (1); J current density (A/m²); J_abs that of
//! the absorbed light (A/m²); T transmittance of the glass (1); φ electrons per absorbed photon (1); Jsc measured
//! short-circuit current density (A/m²); r its ratio to J (1); h, c, e Planck constant, speed of light, elementary charge.
//!
//! # Valid range
//! AM1.5G is known from 280 nm to 4000 nm. A pasted curve has two points or more; outside its points it is zero.
//!
//! # Assumptions
//! Between points curves are straight lines. Current grows in proportion to the light, and no photon gives more than one
//! electron. The measured current density belongs to the same light: AM1.5G as tabulated has 1000.37 W/m².
//!
//! # Sources
//! ASTM G173-03; definition of the external quantum efficiency; constants of the SI.
//!
//! # Worked example
//! A quantum efficiency of 80 % from 400 nm to 800 nm and zero elsewhere gives 20.7341 mA/cm² (computed).

use std::borrow::Cow;
use std::sync::Arc;

use super::spectra::{
    WAVELENGTH, below_zero, ends, largest, near_one, negative, pasted, running, widest_step,
    zero_outside,
};
use super::*;
use crate::chemistry::constants::ELEMENTARY_CHARGE;
use crate::light::{AM15G_SOURCE, am15g, full_response, photon_energy};
use crate::numerics::curve::Curve;
use crate::numerics::integral::Running;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static THROUGH: Field = choice(
    "through",
    "Through",
    &[
        option("quantum_efficiency", "measured quantum efficiency"),
        option("limit", "every photon, up to a wavelength"),
        option("film", "dyed film"),
    ],
);
static LIGHT: Field = choice(
    "light",
    "Light",
    &[
        option("am15g", "AM1.5G"),
        option("pasted", "pasted spectrum"),
    ],
);
static LIGHT_SPECTRUM: Field = curve(
    "light_spectrum",
    "Spectrum of the light",
    &WAVELENGTH,
    &SPECTRAL_IRRADIANCE,
)
.help("Two columns: wavelength and spectral irradiance.");
static SPECTRAL_IRRADIANCE: Field = quantity(
    "spectral_irradiance",
    "Spectral irradiance",
    Kind::SpectralIrradiance,
)
.symbol("E")
.units(&["W/(m2.nm)", "mW/(m2.nm)", "uW/(cm2.nm)"]);
static FROM: Field = quantity("from_wavelength", "From wavelength", Kind::Length)
    .symbol("λ₁")
    .help("Left empty, the range begins where the spectrum does.")
    .units(&["nm"])
    .positive()
    .optional();
static TO: Field = quantity("to_wavelength", "Up to wavelength", Kind::Length)
    .symbol("λ₂")
    .units(&["nm"])
    .positive();
static EQE: Field = curve(
    "quantum_efficiency",
    "Quantum efficiency",
    &WAVELENGTH,
    &EFFICIENCY,
)
.help("Two columns: wavelength and external quantum efficiency.")
.measured();
static EFFICIENCY: Field = quantity("efficiency", "Quantum efficiency", Kind::Ratio)
    .symbol("EQE")
    .units(&["%", "1"]);
static SCALE: Field = near_one("scale", "Calibration factor")
    .symbol("k")
    .help("True over measured quantum efficiency: 1 ± 0.03 for a set-up good to 3 %.");
static ABSORBED: Field = quantity(
    "absorbed_density",
    "Current of absorbed light",
    Kind::CurrentDensity,
)
.symbol("J_abs")
.help("From the card of light harvesting.")
.units(&["mA/cm2", "A/m2"])
.positive();
static TRANSMITTANCE: Field = quantity("transmittance", "Glass transmittance", Kind::Ratio)
    .symbol("T")
    .help("Share of the light that passes the conductive glass in front of the film.")
    .units(&["%", "1"])
    .range(Range::FRACTION);
static COLLECTED: Field = quantity("collected", "Electrons per absorbed photon", Kind::Ratio)
    .symbol("φ")
    .help("Injection times collection; 100 % gives the most that the film's light allows.")
    .units(&["%", "1"])
    .range(Range::FRACTION);
static MEASURED: Field = quantity(
    "short_circuit_density",
    "Measured current density",
    Kind::CurrentDensity,
)
.symbol("Jsc")
.help("At short circuit, under the irradiance of the spectrum; to compare with.")
.units(&["mA/cm2", "A/m2"])
.positive()
.optional()
.measured();

static DENSITY: Field = quantity("density", "Photocurrent density", Kind::CurrentDensity)
    .symbol("J")
    .units(&["mA/cm2", "A/m2"]);
static RATIO: Field = quantity("ratio", "Measured over computed", Kind::Ratio)
    .symbol("r")
    .units(&["%", "1"]);
static DIFFERENCE: Field = quantity("difference", "Measured less computed", Kind::CurrentDensity)
    .symbol("ΔJ")
    .units(&["mA/cm2", "A/m2"]);
static FLUX: Field = quantity("photon_flux", "Photon flux in the range", Kind::PhotonFlux)
    .symbol("Φ")
    .units(&["cm-2.s-1", "m-2.s-1"]);
static IRRADIANCE: Field = quantity("irradiance", "Irradiance in the range", Kind::Irradiance)
    .symbol("G")
    .units(&["W/m2", "mW/cm2"]);
static ENERGY: Field = quantity("energy", "Photon energy at the limit", Kind::Energy)
    .symbol("E₂")
    .units(&["eV"]);
static SPECTRUM: Field = curve("spectrum", "Light", &WAVELENGTH, &SPECTRAL_IRRADIANCE);
static RESPONSE: Field = curve(
    "response",
    "Quantum efficiency, with factor",
    &WAVELENGTH,
    &EFFICIENCY,
)
.drawn(Drawn::RightLine);
static RUNNING: Field = curve("running", "Current up to a wavelength", &TO, &DENSITY);

/// The ways that need a spectrum.
const BY_SPECTRUM: &[&str] = &["quantum_efficiency", "limit"];
const DEFINITION: Source =
    derived("definition of the external quantum efficiency: electrons per photon");
const NUMPY: Source = computed(
    "ASTM G173-03 global tilt, trapezoids on its own grid; numpy 2.4.6, constants of the SI",
);

/// What current density light gives.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "photocurrent",
    version: 1,
    stage: Stage::Measuring,
    title: "Photocurrent",
    purpose: "What current density the light gives at most, through a quantum efficiency or through a dyed film, beside \
              the measured one.",
    inputs: &[
        show(&THROUGH),
        show(&LIGHT).when(&THROUGH, BY_SPECTRUM),
        show(&LIGHT_SPECTRUM)
            .when(&THROUGH, BY_SPECTRUM)
            .when(&LIGHT, &["pasted"]),
        show(&EQE).when(&THROUGH, &["quantum_efficiency"]),
        show(&SCALE).when(&THROUGH, &["quantum_efficiency"]),
        show(&FROM).when(&THROUGH, &["limit"]),
        show(&TO).when(&THROUGH, &["limit"]),
        show(&ABSORBED).when(&THROUGH, &["film"]),
        show(&TRANSMITTANCE).when(&THROUGH, &["film"]),
        show(&COLLECTED).when(&THROUGH, &["film"]),
        show(&MEASURED),
    ],
    outputs: &[
        show(&DENSITY),
        show(&RATIO),
        show(&DIFFERENCE),
        show(&FLUX).when(&THROUGH, BY_SPECTRUM),
        show(&IRRADIANCE).when(&THROUGH, BY_SPECTRUM),
        show(&ENERGY).when(&THROUGH, &["limit"]),
        show(&SPECTRUM).when(&THROUGH, BY_SPECTRUM),
        show(&RESPONSE).when(&THROUGH, &["quantum_efficiency"]),
        show(&RUNNING).when(&THROUGH, BY_SPECTRUM),
    ],
    working: &[
        method(
            "Irradiance: the spectral irradiance integrated over the range. Photon flux: the same, each part over the \
             energy of its photons, h·c/λ.",
        )
        .gives(&[&FLUX, &IRRADIANCE])
        .when(&THROUGH, BY_SPECTRUM),
        method("Photocurrent density: one elementary charge for every photon from λ₁ to λ₂.")
            .gives(&[&DENSITY])
            .when(&THROUGH, &["limit"]),
        method(
            "Photocurrent density: the photons of each wavelength times the quantum efficiency there, its factor and the \
             elementary charge, integrated over the range of its points.",
        )
        .gives(&[&DENSITY])
        .when(&THROUGH, &["quantum_efficiency"]),
        method(
            "Integrals are sums of trapezoids between all points of the curves and of AM1.5G; between its points a curve is \
             a straight line.",
        )
        .gives(&[&RUNNING])
        .when(&THROUGH, BY_SPECTRUM),
        method("Photon energy: h·c/λ₂.")
            .gives(&[&ENERGY])
            .when(&THROUGH, &["limit"]),
        formula("density = absorbed_density * transmittance * collected").when(&THROUGH, &["film"]),
        formula("ratio = short_circuit_density / density"),
        formula("difference = short_circuit_density - density"),
        method("The light is drawn in the range.")
            .gives(&[&SPECTRUM])
            .when(&THROUGH, BY_SPECTRUM),
        method("The quantum efficiency is drawn with its factor.")
            .gives(&[&RESPONSE])
            .when(&THROUGH, &["quantum_efficiency"]),
    ],
    sources: &[AM15G_SOURCE, DEFINITION],
    hazards: &[hazards::LAMP],
    formula: both::<Photocurrent>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a band like a ruthenium dye's, against a measured current",
        inputs: &[
            ("quantum_efficiency", DYE_LIKE),
            ("scale", "1 ± 0.03"),
            ("short_circuit_density", "11.8 ± 0.3 mA/cm2"),
        ],
        expected: &[
            expect("density", "12.23828342562326 mA/cm2", 1e-8),
            expect("ratio", "96.41875081348724 %", 1e-7),
            expect("difference", "-0.4382834256232595 mA/cm2", 1e-8),
            expect("photon_flux", "1.6977064270784016e17 cm-2.s-1", 1e8),
            expect("irradiance", "586.380175 W/m2", 1e-7),
        ],
        source: computed(
            "numpy 2.4.6, trapezoids between all points of both curves; the quantum efficiency is invented",
        ),
    },
    Case {
        title: "80 % from 400 nm to 700 nm",
        inputs: &[("quantum_efficiency", "400 80\n700 80")],
        expected: &[expect("density", "15.2668 mA/cm2", 5e-5)],
        source: NUMPY,
    },
    Case {
        title: "80 % from 400 nm to 800 nm",
        inputs: &[("quantum_efficiency", "400 80\n800 80")],
        expected: &[expect("density", "20.7341 mA/cm2", 5e-5)],
        source: NUMPY,
    },
    Case {
        title: "85 % from 350 nm to 750 nm",
        inputs: &[("quantum_efficiency", "350 85\n750 85")],
        expected: &[expect("density", "20.0392 mA/cm2", 5e-5)],
        source: NUMPY,
    },
    Case {
        title: "every photon up to a wavelength",
        inputs: &[
            ("through", "limit"),
            ("from_wavelength", "350.25 nm"),
            ("to_wavelength", "780.5 ± 5 nm"),
        ],
        expected: &[
            expect("density", "25.50408214842427 mA/cm2", 1e-8),
            expect("irradiance", "553.3753631249999 W/m2", 1e-6),
            expect("energy", "1.588522721757851 eV", 1e-9),
        ],
        source: computed(
            "numpy 2.4.6, trapezoids, the ends on the straight line between two points",
        ),
    },
    Case {
        title: "a flat spectrum of 1 W/(m²·nm), photons of 500 nm on average",
        // ∫λ dλ over 400 nm to 600 nm is 500 nm · 200 nm: 200 W/m² of mean photon energy h·c/500 nm.
        inputs: &[
            ("through", "limit"),
            ("light", "pasted"),
            ("light_spectrum", "400 1\n600 1"),
            ("to_wavelength", "700 nm"),
        ],
        expected: &[
            expect("irradiance", "200 W/m2", 1e-9),
            expect("photon_flux", "5.034116567542709e20 m-2.s-1", 1e9),
            expect("density", "8.06554393734921 mA/cm2", 1e-9),
        ],
        source: derived("200 W/m² · 500 nm/(h·c), times e"),
    },
    Case {
        title: "through a dyed film",
        inputs: &[
            ("through", "film"),
            ("absorbed_density", "20 mA/cm2"),
            ("transmittance", "85 %"),
            ("collected", "90 %"),
            ("short_circuit_density", "14.535 mA/cm2"),
        ],
        expected: &[
            expect("density", "15.3 mA/cm2", 1e-12),
            expect("ratio", "95 %", 1e-10),
            expect("difference", "-0.765 mA/cm2", 1e-12),
        ],
        source: derived("20 · 0.85 · 0.9; 14.535/15.3"),
    },
];

/// An invented quantum efficiency, in nm and %.
const DYE_LIKE: &str = "\
325 0\n350 28\n375 36\n400 48\n425 56\n450 63\n475 70\n500 76\n525 79\n550 78\n575 73\n600 64\n625 53\n650 42\n675 31\n700 20\n\
725 11\n750 5\n775 1.5\n800 0";

struct Photocurrent;

impl Formula for Photocurrent {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let density = match given.choice(&THROUGH) {
            "film" => given[&ABSORBED] * given[&TRANSMITTANCE] * given[&COLLECTED],
            "limit" => {
                let light = Light::of(given)?;
                let (from, to) = (given.or(&FROM, 0.0), given[&TO]);
                light.lit(from.value(), to.value())?;
                let density = light.full.between(from, to);
                found.set(&FLUX, density / ELEMENTARY_CHARGE);
                found.set(&IRRADIANCE, light.irradiance.between(from, to));
                let energy = photon_energy(to.value());
                found.set(&ENERGY, to.chain(energy, -energy / to.value()));
                density
            }
            _ => {
                let light = Light::of(given)?;
                found.set(&FLUX, S::constant(light.full.total() / ELEMENTARY_CHARGE));
                found.set(&IRRADIANCE, S::constant(light.irradiance.total()));
                given[&SCALE] * light.current.total()
            }
        };
        found.set(&DENSITY, density);
        if let Some(measured) = given.get(&MEASURED) {
            found.set(&RATIO, measured / density);
            found.set(&DIFFERENCE, measured - density);
        }
        if given.wants_curves() && given.choice(&THROUGH) != "film" {
            draw(given, &*Light::of(given)?, &mut found);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        if given.choice(&THROUGH) != "film"
            && let Ok(light) = Light::of(given)
        {
            checks.extend(light.checks(given));
        }
        checks.extend(against_measured(given, found));
        checks
    }
}

/// The integrals of the light, which follow from choices and points alone.
struct Light {
    spectrum: Cow<'static, Curve>,
    efficiency: Option<Curve>,
    irradiance: Running,
    /// Current density with one electron for every photon.
    full: Running,
    /// Current density through the quantum efficiency.
    current: Running,
}

impl Light {
    fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Light>, Problem> {
        given.once(|| Light::read(given))
    }

    fn read<S: Scalar>(given: &Given<'_, S>) -> Result<Light, Problem> {
        let spectrum = if given.choice(&LIGHT) == "pasted" {
            Cow::Owned(pasted(given, &LIGHT_SPECTRUM)?)
        } else {
            Cow::Borrowed(am15g())
        };
        let efficiency = match given.choice(&THROUGH) {
            "quantum_efficiency" => Some(possible(pasted(given, &EQE)?)?),
            _ => None,
        };
        let one = efficiency.as_ref().map(|curve| curve.map(|_, _| 1.0));
        let product = |response: Option<&Curve>, weight: &dyn Fn(f64) -> f64| {
            let curves: Vec<&Curve> = core::iter::once(&*spectrum).chain(response).collect();
            running(&curves, &[], weight)
        };
        let integrals = (
            product(one.as_ref(), &|_| 1.0),
            product(one.as_ref(), &full_response),
            product(efficiency.as_ref(), &full_response),
        );
        let (Some(irradiance), Some(full), Some(current)) = integrals else {
            let (first, last) = ends(&spectrum);
            return Err(Problem::at(
                &EQE,
                "no_common_range",
                format!(
                    "The light reaches from {} to {}; the points of the quantum efficiency lie elsewhere.",
                    WAVELENGTH.say(first),
                    WAVELENGTH.say(last)
                ),
                "Choose the unit of the wavelengths in which the points are written.",
            ));
        };
        Ok(Light {
            spectrum,
            efficiency,
            irradiance,
            full,
            current,
        })
    }

    /// Whether there is light between two wavelengths.
    fn lit(&self, from: f64, to: f64) -> Result<(), Problem> {
        let (first, last) = ends(&self.spectrum);
        if from >= to {
            return Err(Problem::at(
                &FROM,
                "empty_range",
                format!(
                    "The range from {} to {} is empty.",
                    WAVELENGTH.say(from),
                    WAVELENGTH.say(to)
                ),
                "Enter a longer wavelength to end with than to begin with.",
            ));
        }
        if to <= first || from >= last {
            return Err(Problem::at(
                &TO,
                "no_light",
                format!(
                    "There is no light in the range: the spectrum reaches from {} to {}.",
                    WAVELENGTH.say(first),
                    WAVELENGTH.say(last)
                ),
                "Enter wavelengths inside the spectrum.",
            ));
        }
        Ok(())
    }

    fn checks(&self, given: &Given<'_, f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        let range = match &self.efficiency {
            Some(curve) => {
                checks.push(zero_outside(curve, "quantum efficiency"));
                checks.extend(of_efficiency(curve));
                ends(curve)
            }
            None => (given.or(&FROM, 0.0), given[&TO]),
        };
        checks.extend(negative(&self.spectrum, "spectrum of the light"));
        checks.extend(self.uncovered(range));
        checks.extend(self.coarse(range));
        checks
    }

    /// Light that is not known in part of the range.
    fn uncovered(&self, (from, to): (f64, f64)) -> Option<Check> {
        let (first, last) = ends(&self.spectrum);
        let begins = if from == 0.0 { first } else { from };
        (begins < first || to > last).then(|| {
            Check::warning(
                "light_not_known",
                format!(
                    "The spectrum of the light is known from {} to {} only: the rest of the range counts as dark.",
                    WAVELENGTH.say(first),
                    WAVELENGTH.say(last)
                ),
                derived("what was not measured adds nothing to an integral"),
            )
        })
    }

    /// Points so far apart that lines of the light or bends of the curve are lost.
    fn coarse(&self, range: (f64, f64)) -> Option<Check> {
        let pasted = matches!(self.spectrum, Cow::Owned(_)).then_some(&*self.spectrum);
        let of = |curve: Option<&Curve>| curve.map_or(0.0, |curve| widest_step(curve, range));
        let (light, curve) = (of(pasted), of(self.efficiency.as_ref()));
        let flat = self
            .efficiency
            .as_ref()
            .is_none_or(|curve| curve.x().len() == 2);
        let (what, step) = if light > FINE_LIGHT {
            ("spectrum of the light", light)
        } else if curve > FINE_CURVE && !flat {
            ("quantum efficiency", curve)
        } else {
            return None;
        };
        Some(Check::note(
            "coarse_points",
            format!(
                "Points of the {what} lie up to {} apart: what happens between them is taken as a straight line.",
                WAVELENGTH.say(step)
            ),
            practice(
                "spectra of lamps every 5 nm or closer, quantum efficiencies every 25 nm or closer",
            ),
        ))
    }
}

/// Steps of a lamp's spectrum above which its lines are lost.
const FINE_LIGHT: f64 = 5.5e-9;
/// Steps of a quantum efficiency above which its bends are lost.
const FINE_CURVE: f64 = 25.5e-9;
/// A quantum efficiency above this is no noise.
const MOST_EFFICIENT: f64 = 1.5;

/// A quantum efficiency far above one was written in another unit.
fn possible(curve: Curve) -> Result<Curve, Problem> {
    let most = largest(&curve);
    if most <= MOST_EFFICIENT {
        return Ok(curve);
    }
    Err(Problem::at(
        &EQE,
        "efficiency_above_one",
        format!(
            "The quantum efficiency reaches {}: a photon gives one electron at most.",
            EFFICIENCY.say(most)
        ),
        "Choose the unit in which the second column is written: % or 1.",
    ))
}

/// What values of a quantum efficiency give reason to say.
fn of_efficiency(curve: &Curve) -> Option<Check> {
    let most = largest(curve);
    let rule = derived("between no electron and one for each photon");
    if most > 1.0 {
        Some(Check::warning(
            "efficiency_above_one",
            format!(
                "The quantum efficiency reaches {}, more than one electron for a photon: the calibration or the light \
                 of the set-up is off.",
                EFFICIENCY.say(most)
            ),
            rule,
        ))
    } else if most <= 0.01 {
        Some(Check::warning(
            "efficiency_small",
            format!(
                "The quantum efficiency reaches {} only: if the second column is a fraction, choose the unit 1.",
                EFFICIENCY.say(most)
            ),
            practice("cells worth measuring reach more than 1 %"),
        ))
    } else {
        let least = below_zero(curve)?;
        Some(Check::warning(
            "efficiency_negative",
            format!(
                "The quantum efficiency falls to {}: a background was taken off that is too large.",
                EFFICIENCY.say(least)
            ),
            rule,
        ))
    }
}

/// How far measured and integrated currents agree where both are done well.
const AGREEMENT: f64 = 0.1;

fn against_measured(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let ratio = found.get(&RATIO)?;
    let percent = RATIO.say(ratio);
    Some(match given.choice(&THROUGH) {
        "quantum_efficiency" => {
            let rule = practice("integrated and measured current density agree within 10 %");
            let sentence = format!(
                "The measured current density is {percent} of that through the quantum efficiency"
            );
            if (ratio - 1.0).abs() <= AGREEMENT {
                Check::in_range("agreement", format!("{sentence}."), rule)
            } else if ratio > 1.0 {
                Check::warning(
                    "agreement",
                    format!(
                        "{sentence}: look at the illuminated area, the irradiance and the mismatch of the lamp's \
                         spectrum, and whether the quantum efficiency was measured with bias light."
                    ),
                    rule,
                )
            } else {
                Check::warning(
                    "agreement",
                    format!(
                        "{sentence}: look at the irradiance, and whether the current still grows in proportion to the \
                         light, which diffusion in the electrolyte may limit."
                    ),
                    rule,
                )
            }
        }
        way => {
            // Through a film less may be expected than the light allows.
            let allowed = given.get(&ABSORBED).unwrap_or(found.get(&DENSITY)?);
            let sentence = if way == "limit" {
                format!(
                    "The measured current density is {percent} of what every photon of the range gives"
                )
            } else {
                format!("The measured current density is {percent} of that expected from the film")
            };
            let rule = derived("no photon gives more than one electron");
            if given[&MEASURED] > allowed {
                Check::warning(
                    "above_the_light",
                    format!(
                        "{sentence} and more than the light allows: look at the area, the irradiance and the range of \
                             the light."
                    ),
                    rule,
                )
            } else if ratio > 1.0 {
                Check::note(
                    "more_than_expected",
                    format!(
                        "{sentence}: more light reaches the dye or more electrons are collected than entered, or \
                         scattering lengthens the way of the light."
                    ),
                    rule,
                )
            } else {
                Check::in_range("below_the_light", format!("{sentence}."), rule)
            }
        }
    })
}

/// What is drawn: the light in the range, the quantum efficiency over it, and the current up to each wavelength.
fn draw<S: Scalar>(given: &Given<'_, S>, light: &Light, found: &mut Found<S>) {
    let (from, to) = match &light.efficiency {
        Some(curve) => ends(curve),
        None => (given.or(&FROM, 0.0).value(), given[&TO].value()),
    };
    let inside = |x: &f64| from <= *x && *x <= to;
    let lit = light.spectrum.x().iter().zip(light.spectrum.y());
    let (x, y) = lit.filter(|(x, _)| inside(x)).unzip();
    found.set_curve(&SPECTRUM, Points { x, y });
    let mut scale = 1.0;
    if let Some(curve) = &light.efficiency {
        scale = given[&SCALE].value();
        found.set_curve(
            &RESPONSE,
            Points {
                x: curve.x().to_vec(),
                y: curve.y().iter().map(|y| scale * y).collect(),
            },
        );
    }
    let before = light.current.up_to(from);
    let sums = light.current.x().iter().zip(light.current.sums());
    let (x, y) = sums
        .filter(|(x, _)| inside(x))
        .map(|(x, sum)| (*x, scale * (sum - before)))
        .unzip();
    found.set_curve(&RUNNING, Points { x, y });
}
