//! # What it computes
//! The spectral mismatch factor of a lamp, a reference device and a cell: how much more of the lamp's light the cell turns
//! into current than the reference device says, where both agree under the reference spectrum. Beside it, the lamp's share
//! of light in the six bands of solar simulators.
//!
//! # Formulas
//! M = κ · ∫E₀·S_r dλ · ∫E·S dλ / (∫E·S_r dλ · ∫E₀·S dλ); S = EQE·λ·e/(h·c), of which only the shape counts.
//! The irradiance that the cell is under is M times what the reference device reads. Band share: ∫E dλ over the band by that
//! from 400 nm to 1100 nm. Integrals are sums of trapezoids between all points of all curves and of AM1.5G.
//!
//! # Symbols and units
//! M mismatch factor (1); E spectral irradiance of the lamp, E₀ of the reference spectrum, in any unit; S spectral response
//! of the cell, S_r of the reference device, in any unit; EQE quantum efficiency (1); λ wavelength (m); κ allowance for the
//! curves, 1 with their standard uncertainty (1).
//!
//! # Valid range
//! Curves of two points or more, positive where they count; both spectra known wherever a device responds.
//!
//! # Assumptions
//! Both devices have one junction and respond in proportion to the light. Between points curves are straight lines, outside
//! them they are zero. A flat response stands for a thermopile.
//!
//! # Sources
//! IEC 60904-7:2019, definition of the factor and range of the integrals as quoted on public pages; ASTM E973-16, 5.2.2:
//! the current of the reference cell is multiplied by it. Bands: IEC 60904-9:2007, from memory.
//!
//! # Worked example
//! Two devices with the same spectral response have a factor of exactly 1, whatever the lamp.

use std::borrow::Cow;
use std::sync::Arc;

use super::spectra::{
    WAVELENGTH, ends, largest, near_one, negative, pasted, running, zero_outside,
};
use super::*;
use crate::light::{AM15G_SOURCE, am15g};
use crate::numerics::curve::Curve;
use crate::numerics::integral::Running;
use crate::problem::{Check, Problem, Source, computed, derived, memory, read};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static REFERENCE: Field = choice(
    "reference",
    "Reference spectrum",
    &[option("am15g", "AM1.5G"), option("pasted", "pasted")],
);
static REFERENCE_SPECTRUM: Field = curve(
    "reference_spectrum",
    "Reference spectrum, points",
    &WAVELENGTH,
    &LIGHT,
)
.help("Two columns: wavelength and spectral irradiance, in any unit.");
static LAMP: Field = curve("lamp", "Spectrum of the lamp", &WAVELENGTH, &LIGHT)
    .help("Two columns: wavelength and spectral irradiance, in any unit.")
    .measured();
static LIGHT: Field = quantity(
    "spectral_irradiance",
    "Spectral irradiance, any unit",
    Kind::Ratio,
)
.symbol("E")
.units(&["1"]);
static DEVICE: Field = choice(
    "device",
    "Reference device given by",
    &[
        option("response", "spectral response"),
        option("quantum_efficiency", "quantum efficiency"),
        option("flat", "flat response (thermopile)"),
    ],
);
static DEVICE_CURVE: Field = curve("device_curve", "Reference device", &WAVELENGTH, &ANSWER)
    .help("Two columns: wavelength and spectral response or quantum efficiency, in any unit.");
static CELL: Field = choice(
    "cell",
    "Cell given by",
    &[
        option("quantum_efficiency", "quantum efficiency"),
        option("response", "spectral response"),
    ],
);
static CELL_CURVE: Field = curve("cell_curve", "Cell", &WAVELENGTH, &ANSWER)
    .help("Two columns: wavelength and quantum efficiency or spectral response, in any unit.")
    .measured();
static ANSWER: Field = quantity("response", "Response, any unit", Kind::Ratio)
    .symbol("S")
    .units(&["1"]);
static ALLOWANCE: Field = near_one("allowance", "Allowance for the curves")
    .symbol("κ")
    .help("1 ± the standard uncertainty of the factor that comes from the four curves.")
    .weighing();

static MISMATCH: Field = quantity("mismatch", "Spectral mismatch factor", Kind::Ratio)
    .symbol("M")
    .units(&["1"]);
static BANDS: Field = table(
    "bands",
    "Light in bands",
    &[
        &BAND_FROM,
        &BAND_TO,
        &LAMP_SHARE,
        &REFERENCE_SHARE,
        &BAND_RATIO,
    ],
);
static BAND_FROM: Field = quantity("band_from", "From", Kind::Length)
    .symbol("λ₁")
    .units(&["nm"]);
static BAND_TO: Field = quantity("band_to", "To", Kind::Length)
    .symbol("λ₂")
    .units(&["nm"]);
static LAMP_SHARE: Field = quantity("lamp_share", "Lamp", Kind::Ratio).units(&["%"]);
static REFERENCE_SHARE: Field = quantity("reference_share", "Reference", Kind::Ratio).units(&["%"]);
static BAND_RATIO: Field = quantity("band_ratio", "Lamp over reference", Kind::Ratio).units(&["1"]);
static DRAWN_LIGHT: Field = quantity("drawn_light", "Irradiance over its mean", Kind::Ratio);
static DRAWN_RESPONSE: Field = quantity("drawn_response", "Response over its largest", Kind::Ratio);
static REFERENCE_DRAWN: Field = curve(
    "reference_drawn",
    "Reference spectrum, drawn",
    &WAVELENGTH,
    &DRAWN_LIGHT,
);
static LAMP_DRAWN: Field =
    curve("lamp_drawn", "Lamp, drawn", &WAVELENGTH, &DRAWN_LIGHT).drawn(Drawn::LineOver);
static DEVICE_DRAWN: Field = curve(
    "device_drawn",
    "Reference device, drawn",
    &WAVELENGTH,
    &DRAWN_RESPONSE,
)
.drawn(Drawn::LineOver);
static CELL_DRAWN: Field = curve("cell_drawn", "Cell, drawn", &WAVELENGTH, &DRAWN_RESPONSE);

const FACTOR: Source = read(
    "IEC 60904-7:2019, definition of the spectral mismatch factor and range of its integrals, as quoted on public pages",
);
const APPLIED: Source =
    read("ASTM E973-16(2020), 5.2.2, in the public abstract: the reference cell's current times M");
const SIMULATOR_BANDS: Source = memory(
    "IEC 60904-9:2007: six bands from 400 nm to 1100 nm; class A within 0.75 to 1.25, B 0.6 to 1.4, C 0.4 to 2.0",
);

/// Spectral mismatch of a lamp, a reference device and a cell.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "spectral_mismatch",
    version: 1,
    stage: Stage::Measuring,
    title: "Spectral mismatch",
    purpose: "By what factor a cell sees the lamp brighter than the reference device says, and the lamp's light in bands.",
    inputs: &[
        show(&LAMP),
        show(&REFERENCE),
        show(&REFERENCE_SPECTRUM).when(&REFERENCE, &["pasted"]),
        show(&DEVICE),
        show(&DEVICE_CURVE).unless(&DEVICE, &["flat"]),
        show(&CELL),
        show(&CELL_CURVE),
        show(&ALLOWANCE),
    ],
    outputs: &[
        show(&MISMATCH),
        show(&BANDS),
        show(&REFERENCE_DRAWN),
        show(&LAMP_DRAWN),
        show(&CELL_DRAWN),
        show(&DEVICE_DRAWN).unless(&DEVICE, &["flat"]),
    ],
    working: &[
        method("A quantum efficiency becomes a spectral response, of which the shape counts, times the wavelength.")
            .when(&DEVICE, &["quantum_efficiency"]),
        method(
            "A quantum efficiency of the cell becomes a spectral response, of which the shape counts, times the \
             wavelength.",
        )
        .when(&CELL, &["quantum_efficiency"]),
        method(
            "Mismatch factor: ∫E₀·S_r dλ · ∫E·S dλ by ∫E·S_r dλ · ∫E₀·S dλ, times κ. The irradiance for the cell is what \
             the reference device reads times this factor.",
        )
        .gives(&[&MISMATCH]),
        method(
            "Bands: what lamp and reference spectrum have in each band, by what they have from 400 nm to 1100 nm; where \
             both are known that far.",
        )
        .gives(&[&BANDS]),
        method("Spectra are drawn by their mean over the wavelengths that both cover, responses by their largest value.")
            .gives(&[&REFERENCE_DRAWN, &LAMP_DRAWN, &CELL_DRAWN]),
        method("So is the response of the reference device.")
            .gives(&[&DEVICE_DRAWN])
            .when(&DEVICE, &["response", "quantum_efficiency"]),
    ],
    sources: &[FACTOR, APPLIED, AM15G_SOURCE, SIMULATOR_BANDS],
    hazards: &[hazards::LAMP],
    formula: both::<SpectralMismatch>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a dye cell and a silicon reference cell under a xenon-like lamp",
        inputs: &[
            ("lamp", XENON_LIKE),
            ("device_curve", SILICON_LIKE),
            ("cell_curve", DYE_LIKE),
            ("allowance", "1 ± 0.01"),
        ],
        expected: &[
            expect("mismatch", "0.8743146097369663", 1e-9),
            expect("bands.400_500.lamp_share", "17.79513888888889 %", 1e-8),
            expect("bands.400_500.reference_share", "18.4 %", 5e-3),
            expect("bands.800_900.reference_share", "12.46 %", 5e-3),
            expect("bands.800_900.band_ratio", "1.2257861981432778", 1e-9),
        ],
        source: computed(
            "numpy 2.4.6, trapezoids on the union of the points of all curves; lamp and devices are invented",
        ),
    },
    Case {
        title: "the same against a thermopile, the lamp known to 2500 nm",
        inputs: &[
            ("lamp", WIDE_LAMP),
            ("device", "flat"),
            ("cell_curve", DYE_LIKE),
        ],
        expected: &[expect("mismatch", "0.8028648493572644", 1e-9)],
        source: computed(
            "numpy 2.4.6, trapezoids on the union of the points of all curves; lamp and cell are invented",
        ),
    },
    Case {
        title: "two devices alike",
        inputs: &[
            ("lamp", XENON_LIKE),
            ("device", "quantum_efficiency"),
            ("device_curve", DYE_LIKE),
            ("cell_curve", DYE_LIKE),
        ],
        expected: &[expect("mismatch", "1", 0.0)],
        source: derived("all four integrals come in equal pairs"),
    },
    Case {
        title: "a lamp like the reference spectrum",
        inputs: &[
            ("lamp", "400 1\n600 3\n800 2"),
            ("reference", "pasted"),
            ("reference_spectrum", "400 1\n600 3\n800 2"),
            ("device_curve", SILICON_LIKE),
            ("cell_curve", DYE_LIKE),
        ],
        expected: &[expect("mismatch", "1", 0.0)],
        source: derived("all four integrals come in equal pairs"),
    },
    Case {
        title: "straight lines",
        // Over t from 0 to 1: ∫(1 + 2t)·(1 − t) is 5/6, ∫(1 + 2t) is 2, ∫(1 − t) is 1/2. M = 1 · 5/6 / (2 · 1/2).
        inputs: &[
            ("lamp", "400 1\n800 3"),
            ("reference", "pasted"),
            ("reference_spectrum", "400 1\n800 1"),
            ("device", "flat"),
            ("cell", "response"),
            ("cell_curve", "400 1\n800 0"),
        ],
        expected: &[expect("mismatch", "0.8333333333333334", 3e-6)],
        source: derived("integrals of straight lines; trapezoids of 1 nm are off by 2·10⁻⁶"),
    },
];

/// An invented lamp with lines in the near infrared, in nm and any unit.
const XENON_LIKE: &str = "\
300 0.1\n320 0.35\n340 0.6\n360 0.85\n380 1.05\n400 1.25\n420 1.4\n440 1.5\n460 1.65\n470 1.9\n480 1.6\n500 1.55\n\
550 1.5\n600 1.45\n650 1.4\n700 1.3\n750 1.2\n800 1.15\n820 1.6\n830 2.0\n840 1.2\n870 0.9\n880 1.8\n890 0.95\n\
900 1.4\n920 1.1\n940 0.7\n980 1.3\n1000 0.85\n1050 0.6\n1100 0.5\n1150 0.45\n1200 0.4";
/// An invented lamp known far into the infrared, in nm and any unit.
const WIDE_LAMP: &str = "\
300 0.2\n400 1.2\n500 1.6\n600 1.5\n700 1.3\n800 1.2\n900 1.6\n1000 1.0\n1200 0.5\n1600 0.2\n2500 0.0";
/// An invented spectral response, in nm and A/W.
const SILICON_LIKE: &str = "\
300 0\n350 0.08\n400 0.17\n450 0.25\n500 0.31\n600 0.4\n700 0.48\n800 0.55\n900 0.6\n950 0.6\n1000 0.5\n1050 0.3\n\
1100 0.12\n1150 0.03\n1200 0";
/// An invented quantum efficiency, in nm and any unit.
const DYE_LIKE: &str = "\
350 0\n375 36\n400 48\n450 63\n500 76\n525 79\n550 78\n575 73\n600 64\n625 53\n650 42\n675 31\n700 20\n725 11\n\
750 5\n775 1.5\n800 0";

struct SpectralMismatch;

impl Formula for SpectralMismatch {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let curves = Curves::of(given)?;
        let mut found = Found::new();
        found.set(&MISMATCH, given[&ALLOWANCE] * curves.factor);
        if let Some(bands) = &curves.bands {
            found.set_rows(&BANDS, bands.iter().map(Band::row).collect());
        }
        if given.wants_curves() {
            curves.draw(&mut found);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, _found: &Found<f64>) -> Vec<Check> {
        let Ok(curves) = Curves::of(given) else {
            return Vec::new();
        };
        let responses = [
            (&curves.cell, "response of the cell"),
            (&curves.device, "response of the reference device"),
        ];
        let mut checks: Vec<Check> = responses
            .iter()
            .filter_map(|(device, what)| Some(zero_outside(device.curve.as_ref()?, what)))
            .collect();
        checks.extend(curves.below_zero());
        checks.extend(curves.uncovered.iter().cloned());
        checks.extend(curves.class());
        if given.uncertainty(&ALLOWANCE) == 0.0 {
            checks.push(Check::note(
                "uncertainty_unknown",
                "The factor has no uncertainty yet: enter that of the curves as ± of the allowance, even where the factor \
                 is 1.",
                FACTOR,
            ));
        }
        checks
    }
}

/// How a device answers light of each wavelength.
struct Device {
    /// None where it answers all light alike.
    curve: Option<Curve>,
    /// The curve counts electrons per photon, not per energy.
    by_photon: bool,
}

impl Device {
    fn read<S: Scalar>(given: &Given<'_, S>, by: &Field, curve: &Field) -> Result<Device, Problem> {
        let by = given.choice(by);
        Ok(Device {
            curve: match by {
                "flat" => None,
                _ => Some(pasted(given, curve)?),
            },
            by_photon: by == "quantum_efficiency",
        })
    }

    /// The running integral of a spectrum times the response.
    fn under(&self, spectrum: &Curve, all: &[&Curve]) -> Option<Running> {
        let curves: Vec<&Curve> = core::iter::once(spectrum).chain(&self.curve).collect();
        running(
            &curves,
            all,
            |wavelength| {
                if self.by_photon { wavelength } else { 1.0 }
            },
        )
    }
}

/// What the four curves give, worked out once.
struct Curves {
    reference: Cow<'static, Curve>,
    lamp: Curve,
    device: Device,
    cell: Device,
    factor: f64,
    /// Parts of the light that are not known where a device answers.
    uncovered: Vec<Check>,
    /// None where a spectrum is not known from 400 nm to 1100 nm.
    bands: Option<Vec<Band>>,
}

impl Curves {
    fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Curves>, Problem> {
        given.once(|| Curves::read(given))
    }

    fn read<S: Scalar>(given: &Given<'_, S>) -> Result<Curves, Problem> {
        let reference = if given.choice(&REFERENCE) == "pasted" {
            Cow::Owned(pasted(given, &REFERENCE_SPECTRUM)?)
        } else {
            Cow::Borrowed(am15g())
        };
        let lamp = pasted(given, &LAMP)?;
        let device = Device::read(given, &DEVICE, &DEVICE_CURVE)?;
        let cell = Device::read(given, &CELL, &CELL_CURVE)?;
        let spectra = [&*reference, &lamp].into_iter();
        let all: Vec<&Curve> = spectra.chain(&device.curve).chain(&cell.curve).collect();
        let under = |(spectrum, whose, pasted), (device, name, curve)| {
            let device: &Device = device;
            // Where it answers all light alike, the light itself is amiss.
            let at = if device.curve.is_some() {
                curve
            } else {
                pasted
            };
            let answer = device.under(spectrum, &all);
            let answer = answer.ok_or_else(|| no_common_range(at, whose))?;
            if answer.total() > 0.0 {
                Ok(answer)
            } else {
                Err(no_answer(at, whose, name))
            }
        };
        let of_reference = (&*reference, "reference spectrum", &REFERENCE_SPECTRUM);
        let of_lamp = (&lamp, "lamp", &LAMP);
        let of_device = (&device, "reference device", &DEVICE_CURVE);
        let of_cell = (&cell, "cell", &CELL_CURVE);
        let device_reference = under(of_reference, of_device)?;
        let device_lamp = under(of_lamp, of_device)?;
        let cell_reference = under(of_reference, of_cell)?;
        let cell_lamp = under(of_lamp, of_cell)?;
        let factor = device_reference.total() * cell_lamp.total()
            / (device_lamp.total() * cell_reference.total());
        let lamp_known = ("lamp", ends(&lamp));
        let reference_known = ("reference spectrum", ends(&reference));
        let uncovered = [
            not_known(lamp_known, "cell", &cell_reference),
            not_known(lamp_known, "reference device", &device_reference),
            not_known(reference_known, "cell", &cell_lamp),
            not_known(reference_known, "reference device", &device_lamp),
        ];
        let bands = Band::all(&lamp, &reference);
        Ok(Curves {
            uncovered: uncovered.into_iter().flatten().collect(),
            reference,
            lamp,
            device,
            cell,
            factor,
            bands,
        })
    }

    /// How close the lamp's bands are to those of the reference spectrum.
    fn class(&self) -> Option<Check> {
        let bands = self.bands.as_ref()?;
        let class = CLASSES.iter().find(|(_, least, most)| {
            let mut ratios = bands.iter().map(Band::ratio);
            ratios.all(|ratio| (*least..=*most).contains(&ratio))
        });
        let worst = bands
            .iter()
            .max_by(|a, b| a.distance().total_cmp(&b.distance()))?;
        let sentence = format!(
            "From {} to {} the lamp has {} times the share of the reference spectrum",
            WAVELENGTH.say(worst.from),
            WAVELENGTH.say(worst.to),
            value_text(worst.ratio(), 3)
        );
        Some(match class {
            Some((class, least, most)) => Check::in_range(
                "bands",
                format!(
                    "{sentence}, the farthest of the six bands: {least} to {most} is class {class} of spectral match."
                ),
                SIMULATOR_BANDS,
            ),
            None => Check::warning(
                "bands",
                format!("{sentence}, outside the widest class of spectral match, 0.4 to 2."),
                SIMULATOR_BANDS,
            ),
        })
    }

    /// Says which pasted curves are below zero by more than noise.
    fn below_zero(&self) -> impl Iterator<Item = Check> {
        let spectra = [
            (Some(&self.lamp), "spectrum of the lamp"),
            (Some(&*self.reference), "reference spectrum"),
            (self.cell.curve.as_ref(), "curve of the cell"),
            (self.device.curve.as_ref(), "curve of the reference device"),
        ];
        let said = |(curve, what): (Option<&Curve>, &str)| negative(curve?, what);
        spectra.into_iter().filter_map(said)
    }

    fn draw<S: Scalar>(&self, found: &mut Found<S>) {
        let (first, last) = ends(&self.lamp);
        let (start, stop) = ends(&self.reference);
        let (from, to) = (first.max(start), last.min(stop));
        for (field, spectrum) in [
            (&REFERENCE_DRAWN, &*self.reference),
            (&LAMP_DRAWN, &self.lamp),
        ] {
            let Some(whole) = running(&[spectrum], &[], |_| 1.0) else {
                continue;
            };
            let mean = whole.between(from, to) / (to - from);
            let points = spectrum.x().iter().zip(spectrum.y());
            let (x, y) = points
                .filter(|(x, _)| from <= **x && **x <= to)
                .map(|(x, y)| (*x, y / mean))
                .unzip();
            found.set_curve(field, Points { x, y });
        }
        for (field, device) in [(&CELL_DRAWN, &self.cell), (&DEVICE_DRAWN, &self.device)] {
            let Some(curve) = &device.curve else {
                continue;
            };
            let curve = curve.map(|x, y| if device.by_photon { x * y } else { y });
            let most = largest(&curve);
            found.set_curve(
                field,
                Points {
                    x: curve.x().to_vec(),
                    y: curve.y().iter().map(|y| y / most).collect(),
                },
            );
        }
    }
}

/// An integral that is not above zero although both curves reach over the same wavelengths.
fn no_answer(field: &Field, whose: &str, device: &str) -> Problem {
    Problem::at(
        field,
        "no_answer",
        format!("Under the {whose} the {device} answers, over all wavelengths, nothing or less."),
        "Look for values below zero, and for points that are zero where the other curve is not.",
    )
}

fn no_common_range(field: &Field, whose: &str) -> Problem {
    Problem::at(
        field,
        "no_common_range",
        format!("{} and the {whose} have no light in common.", field.title),
        "Choose the unit of the wavelengths in which the points are written, or paste points that overlap.",
    )
}

/// From this share of what a device answers on, light that is not known matters.
const MISSED: f64 = 1e-3;

/// Says how much of what a device gives under one spectrum lies where the other is not known.
fn not_known(
    (spectrum, (first, last)): (&str, (f64, f64)),
    device: &str,
    under_other: &Running,
) -> Option<Check> {
    let missed = 1.0 - under_other.between(first, last) / under_other.total();
    (missed > MISSED).then(|| {
        Check::warning(
            "light_not_known",
            format!(
                "The {spectrum} is known from {} to {} only: {} % of what the {device} answers lies outside and is left \
                 out on one side.",
                WAVELENGTH.say(first),
                WAVELENGTH.say(last),
                value_text(100.0 * missed, 2)
            ),
            FACTOR,
        )
    })
}

/// One band of a solar simulator.
struct Band {
    id: &'static str,
    from: f64,
    to: f64,
    lamp: f64,
    reference: f64,
}

/// Identifier and ends in nm.
const BANDS_OF_SIMULATORS: [(&str, f64, f64); 6] = [
    ("400_500", 400.0, 500.0),
    ("500_600", 500.0, 600.0),
    ("600_700", 600.0, 700.0),
    ("700_800", 700.0, 800.0),
    ("800_900", 800.0, 900.0),
    ("900_1100", 900.0, 1100.0),
];
/// Name, least and largest ratio of shares.
const CLASSES: [(&str, f64, f64); 3] = [("A", 0.75, 1.25), ("B", 0.6, 1.4), ("C", 0.4, 2.0)];

impl Band {
    fn all(lamp: &Curve, reference: &Curve) -> Option<Vec<Band>> {
        let whole = (400.0 / 1e9, 1100.0 / 1e9);
        let known = |curve: &Curve| {
            let (first, last) = ends(curve);
            first <= whole.0 && whole.1 <= last
        };
        if !(known(lamp) && known(reference)) {
            return None;
        }
        let (lamp, reference) = (
            running(&[lamp], &[reference], |_| 1.0)?,
            running(&[reference], &[lamp], |_| 1.0)?,
        );
        let share =
            |light: &Running, from, to| light.between(from, to) / light.between(whole.0, whole.1);
        let band = |(id, from, to): &(&'static str, f64, f64)| {
            let (from, to) = (from / 1e9, to / 1e9);
            Band {
                id,
                from,
                to,
                lamp: share(&lamp, from, to),
                reference: share(&reference, from, to),
            }
        };
        let bands: Vec<Band> = BANDS_OF_SIMULATORS.iter().map(band).collect();
        bands.iter().all(|band| band.ratio() > 0.0).then_some(bands)
    }

    fn ratio(&self) -> f64 {
        self.lamp / self.reference
    }

    /// How far from one, up or down.
    fn distance(&self) -> f64 {
        self.ratio().max(1.0 / self.ratio())
    }

    fn row<S: Scalar>(&self) -> FoundRow<S> {
        let cells = [
            (&BAND_FROM, self.from),
            (&BAND_TO, self.to),
            (&LAMP_SHARE, self.lamp),
            (&REFERENCE_SHARE, self.reference),
            (&BAND_RATIO, self.ratio()),
        ];
        FoundRow {
            id: self.id.into(),
            cells: cells
                .map(|(field, value)| (field, S::constant(value)))
                .to_vec(),
        }
    }
}
