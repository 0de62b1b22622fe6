//! # What it computes
//! The irradiance on a cell from what a reference cell or a thermopile reads before and after the sweep, with calibration,
//! temperature, spectral mismatch and the beam's evenness; and the other way round the reading to which the lamp is set.
//!
//! # Formulas
//! Reference cell: G = G₁·I/(I_cal·f_T)·M·p, f_T = 1 + α·(T − T_cal). Thermopile: G = k·G_r·M·p. I and G_r are the mean of
//! the readings before and after; instability |after − before|/(after + before); suns C = G/G₁. Turned round:
//! I = G·I_cal·f_T/(G₁·M·p), G_r = G/(k·M·p).
//!
//! # Symbols and units
//! G irradiance (W/m²); G₁ that of one sun (W/m²); C suns (1); I short-circuit current of the reference cell (A), I_cal at one sun
//! (A); f_T temperature factor (1); α relative change of the current per kelvin (1/K); T temperature of the reference cell,
//! T_cal that of its calibration (K); M spectral mismatch factor (1); p irradiance over the cell by that at the place of
//! the reference device (1); G_r reading of the thermopile (W/m²); k its calibration factor (1).
//!
//! # Valid range
//! Readings and calibration values above zero; factors from 0.5 to 2.
//!
//! # Assumptions
//! The reference cell's current is proportional to the irradiance. During the sweep the irradiance lies between the two
//! readings, anywhere with equal right: half their difference is a limit about their mean, and over √3 the standard
//! uncertainty. Trials draw drift from a normal distribution with that.
//!
//! # Sources
//! Definition of the calibration value; use of the mismatch factor as in IEC 60904-7:2019; classes of instability:
//! IEC 60904-9, from memory.
//!
//! # Worked example
//! A reference cell of 40.00 mA at one sun reads 39.60 mA before and 40.00 mA after, with M = 0.98: 975.1 W/m².

use super::spectra::near_one;
use super::*;
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::{Kind, brief_text, value_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("irradiance", "irradiance"),
        option("setting", "reading to set the lamp to"),
    ],
);
static BY: Field = choice(
    "by",
    "Measured with",
    &[
        option("reference_cell", "reference cell"),
        option("thermopile", "thermopile or power meter"),
    ],
);
static WANTED: Field = quantity("irradiance", "Irradiance", Kind::Irradiance)
    .symbol("G")
    .units(&["W/m2", "mW/cm2"])
    .positive();
static ONE_SUN: Field = quantity("one_sun", "One sun", Kind::Irradiance)
    .symbol("G₁")
    .help("The irradiance that the calibration value belongs to.")
    .units(&["W/m2", "mW/cm2"])
    .positive()
    .initially("1000");
static CALIBRATION: Field = quantity("calibration", "Current at one sun", Kind::Current)
    .symbol("I_cal")
    .help("Short-circuit current of the reference cell, from its certificate, with ±.")
    .units(&["mA", "A", "uA"])
    .positive()
    .weighing();
static CURRENT_BEFORE: Field = quantity("current_before", "Current before", Kind::Current)
    .symbol("I₁")
    .help("Short-circuit current of the reference cell before the sweep.")
    .units(&["mA", "A", "uA"])
    .positive()
    .measured();
static CURRENT_AFTER: Field = quantity("current_after", "Current after", Kind::Current)
    .symbol("I₂")
    .help("The same after the sweep.")
    .units(&["mA", "A", "uA"])
    .positive()
    .optional()
    .measured();
static TEMPERATURE_IS: Field = choice(
    "temperature_is",
    "Its temperature is",
    &[
        option("calibrated", "that of the calibration"),
        option("another", "another: correct for it"),
    ],
);
static COEFFICIENT: Field = quantity("coefficient", "Temperature coefficient", Kind::PerKelvin)
    .symbol("α")
    .help("Relative change of the short-circuit current, from the certificate.")
    .units(&["%/K", "K-1"]);
static TEMPERATURE: Field = quantity("temperature", "Temperature", Kind::Temperature)
    .symbol("T")
    .help("Of the reference cell under the lamp.")
    .units(&["Cel", "K"])
    .positive()
    .measured();
static CALIBRATED_AT: Field = quantity("calibrated_at", "Calibrated at", Kind::Temperature)
    .symbol("T_cal")
    .units(&["Cel", "K"])
    .positive()
    .initially("25");
static READ_BEFORE: Field = quantity("irradiance_before", "Reading before", Kind::Irradiance)
    .symbol("G_r1")
    .units(&["W/m2", "mW/cm2"])
    .positive()
    .measured();
static READ_AFTER: Field = quantity("irradiance_after", "Reading after", Kind::Irradiance)
    .symbol("G_r2")
    .units(&["W/m2", "mW/cm2"])
    .positive()
    .optional()
    .measured();
static FACTOR: Field = near_one("factor", "Calibration factor")
    .symbol("k")
    .help("True irradiance over reading: 1 ± 0.03 for a meter good to 3 %.")
    .weighing();
static MISMATCH: Field = near_one("mismatch", "Spectral mismatch factor")
    .symbol("M")
    .help("From the card of spectral mismatch, or 1 ± what is not known of it.")
    .weighing();
static PLACE: Field = near_one("place", "Evenness of the beam")
    .symbol("p")
    .help("Irradiance over the cell by that at the reference device: 1 with the non-uniformity as limit ±.")
    .weighing();

static SUNS: Field = quantity("suns", "Suns", Kind::Ratio)
    .symbol("C")
    .units(&["1", "%"]);
static CURRENT: Field = quantity("current", "Current used", Kind::Current)
    .symbol("I")
    .units(&["mA", "A", "uA"]);
static READING: Field = quantity("reading", "Reading used", Kind::Irradiance)
    .symbol("G_r")
    .units(&["W/m2", "mW/cm2"]);
static TEMPERATURE_FACTOR: Field =
    quantity("temperature_factor", "Temperature factor", Kind::Ratio)
        .symbol("f_T")
        .units(&["1"]);
static INSTABILITY: Field = quantity("instability", "Instability", Kind::Ratio)
    .symbol("δ")
    .units(&["%"])
    .digits(2);
static SET_CURRENT: Field = quantity("set_current", "Current to set", Kind::Current)
    .symbol("I")
    .units(&["mA", "A", "uA"]);
static SET_READING: Field = quantity("set_reading", "Reading to set", Kind::Irradiance)
    .symbol("G_r")
    .units(&["W/m2", "mW/cm2"]);

const CALIBRATED: Source = derived("definition of the calibration value: current at one sun");
const EFFECTIVE: Source = derived(
    "the factor of IEC 60904-7: light that the cell answers by light that the reference device answers",
);
const STABILITY: Source = memory(
    "IEC 60904-9: instability (largest − least)/(largest + least); class A to 2 %, B to 5 %, C to 10 % over a sweep",
);

/// Irradiance on a cell, from a reference cell or a thermopile.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "irradiance",
    version: 1,
    stage: Stage::Measuring,
    title: "Irradiance",
    purpose: "The irradiance on a cell from a reference cell or thermopile, for all cells measured with it, or what the \
              lamp is set to.",
    inputs: &[
        show(&FIND),
        show(&BY),
        show(&WANTED).when(&FIND, &["setting"]),
        show(&CALIBRATION).when(&BY, &["reference_cell"]),
        show(&CURRENT_BEFORE)
            .when(&BY, &["reference_cell"])
            .when(&FIND, &["irradiance"]),
        show(&CURRENT_AFTER)
            .when(&BY, &["reference_cell"])
            .when(&FIND, &["irradiance"]),
        show(&TEMPERATURE_IS).when(&BY, &["reference_cell"]),
        show(&COEFFICIENT)
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
        show(&TEMPERATURE)
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
        show(&CALIBRATED_AT)
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
        show(&READ_BEFORE)
            .when(&BY, &["thermopile"])
            .when(&FIND, &["irradiance"]),
        show(&READ_AFTER)
            .when(&BY, &["thermopile"])
            .when(&FIND, &["irradiance"]),
        show(&FACTOR).when(&BY, &["thermopile"]),
        show(&MISMATCH),
        show(&PLACE),
        show(&ONE_SUN),
    ],
    outputs: &[
        show(&WANTED).when(&FIND, &["irradiance"]),
        show(&SET_CURRENT)
            .when(&FIND, &["setting"])
            .when(&BY, &["reference_cell"]),
        show(&SET_READING)
            .when(&FIND, &["setting"])
            .when(&BY, &["thermopile"]),
        show(&SUNS),
        show(&CURRENT)
            .when(&FIND, &["irradiance"])
            .when(&BY, &["reference_cell"]),
        show(&READING)
            .when(&FIND, &["irradiance"])
            .when(&BY, &["thermopile"]),
        show(&INSTABILITY).when(&FIND, &["irradiance"]),
        show(&TEMPERATURE_FACTOR)
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
    ],
    working: &[
        formula("temperature_factor = 1 + coefficient * (temperature - calibrated_at)")
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
        formula("current = (current_before + current_after) / 2")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["reference_cell"]),
        formula("current = current_before")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["reference_cell"])
            .without(&CURRENT_AFTER),
        formula("reading = (irradiance_before + irradiance_after) / 2")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["thermopile"]),
        formula("reading = irradiance_before")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["thermopile"])
            .without(&READ_AFTER),
        formula(
            "instability = max(current_after - current_before, current_before - current_after) \
             / (current_after + current_before)",
        )
        .when(&FIND, &["irradiance"])
        .when(&BY, &["reference_cell"]),
        formula(
            "instability = max(irradiance_after - irradiance_before, irradiance_before - irradiance_after) \
             / (irradiance_after + irradiance_before)",
        )
        .when(&FIND, &["irradiance"])
        .when(&BY, &["thermopile"]),
        formula("irradiance = one_sun * current / calibration * mismatch * place")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["calibrated"]),
        formula("irradiance = one_sun * current / (calibration * temperature_factor) * mismatch * place")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
        formula("irradiance = factor * reading * mismatch * place")
            .when(&FIND, &["irradiance"])
            .when(&BY, &["thermopile"]),
        formula("set_current = irradiance * calibration / (one_sun * mismatch * place)")
            .when(&FIND, &["setting"])
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["calibrated"]),
        formula("set_current = irradiance * calibration * temperature_factor / (one_sun * mismatch * place)")
            .when(&FIND, &["setting"])
            .when(&BY, &["reference_cell"])
            .when(&TEMPERATURE_IS, &["another"]),
        formula("set_reading = irradiance / (factor * mismatch * place)")
            .when(&FIND, &["setting"])
            .when(&BY, &["thermopile"]),
        formula("suns = irradiance / one_sun"),
    ],
    sources: &[CALIBRATED, EFFECTIVE, STABILITY],
    hazards: &[hazards::LAMP],
    formula: both::<Irradiance>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a reference cell before and after a sweep",
        inputs: &[
            ("calibration", "40.00 ± 0.40 mA"),
            ("current_before", "39.60 mA"),
            ("current_after", "40.00 mA"),
            ("mismatch", "0.98 ± 0.01"),
            ("place", "1 ± 0.02"),
        ],
        expected: &[
            expect("irradiance", "975.1 W/m2", 1e-9),
            expect("suns", "0.9751", 1e-12),
            expect("current", "39.8 mA", 1e-12),
            expect("instability", "0.5025125628140704 %", 1e-12),
        ],
        source: derived("1000 · 39.8/40 · 0.98; 0.4/79.6"),
    },
    Case {
        title: "a warm reference cell",
        // 1 + 0.0005 · 10 is 1.005.
        inputs: &[
            ("calibration", "40 mA"),
            ("current_before", "40.2 mA"),
            ("temperature_is", "another"),
            ("coefficient", "0.05 %/K"),
            ("temperature", "35 Cel"),
        ],
        expected: &[
            expect("temperature_factor", "1.005", 1e-14),
            expect("irradiance", "1000 W/m2", 1e-9),
        ],
        source: derived("1000 · 40.2/(40 · 1.005)"),
    },
    Case {
        title: "the current to set for one sun",
        inputs: &[
            ("find", "setting"),
            ("irradiance", "1000 W/m2"),
            ("calibration", "40 mA"),
            ("mismatch", "0.98"),
        ],
        expected: &[
            expect("set_current", "40.816326530612244 mA", 1e-9),
            expect("suns", "1", 1e-14),
        ],
        source: derived("40/0.98"),
    },
    Case {
        title: "the current to set on a warm reference cell",
        inputs: &[
            ("find", "setting"),
            ("irradiance", "500 W/m2"),
            ("calibration", "40 mA"),
            ("temperature_is", "another"),
            ("coefficient", "0.05 %/K"),
            ("temperature", "35 Cel"),
        ],
        expected: &[expect("set_current", "20.1 mA", 1e-11)],
        source: derived("0.5 · 40 · 1.005"),
    },
    Case {
        title: "a thermopile",
        inputs: &[
            ("by", "thermopile"),
            ("irradiance_before", "98 mW/cm2"),
            ("irradiance_after", "102 mW/cm2"),
            ("factor", "1.02 ± 0.03"),
            ("mismatch", "0.95 ± 0.02"),
        ],
        expected: &[
            expect("irradiance", "969 W/m2", 1e-9),
            expect("instability", "2 %", 1e-12),
        ],
        source: derived("1000 · 1.02 · 0.95; 4/200"),
    },
    Case {
        title: "the reading of a thermopile to set",
        inputs: &[
            ("find", "setting"),
            ("by", "thermopile"),
            ("irradiance", "969 W/m2"),
            ("factor", "1.02"),
            ("mismatch", "0.95"),
        ],
        expected: &[expect("set_reading", "1000 W/m2", 1e-9)],
        source: derived("969/(1.02 · 0.95)"),
    },
];

struct Irradiance;

impl Formula for Irradiance {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let seen = given[&MISMATCH] * given[&PLACE];
        let with_cell = given.choice(&BY) == "reference_cell";
        let per_reading = if with_cell {
            let mut calibration = given[&CALIBRATION];
            if given.choice(&TEMPERATURE_IS) == "another" {
                let factor = temperature_factor(given)?;
                found.set(&TEMPERATURE_FACTOR, factor);
                calibration = calibration * factor;
            }
            given[&ONE_SUN] / calibration
        } else {
            given[&FACTOR]
        };
        let irradiance = if given.choice(&FIND) == "setting" {
            let set = given[&WANTED] / (per_reading * seen);
            found.set(
                if with_cell {
                    &SET_CURRENT
                } else {
                    &SET_READING
                },
                set,
            );
            given[&WANTED]
        } else {
            let readings = Readings::of(given);
            let mean = readings.mean() * (given.scatter(0) + 1.0);
            found.set(if with_cell { &CURRENT } else { &READING }, mean);
            found.set_some(&INSTABILITY, readings.instability());
            let irradiance = per_reading * mean * seen;
            found.set(&WANTED, irradiance);
            irradiance
        };
        found.set(&SUNS, irradiance / given[&ONE_SUN]);
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let drift = Readings::of(given).instability();
        Ok(drift.filter(|drift| *drift > 0.0).map(|drift| Scatter {
            title: "Drift between the readings",
            // Half the difference over √3, as of a rectangular limit; a scatter is drawn as normal.
            covariance: vec![vec![drift * drift / 3.0]],
            degrees_of_freedom: f64::INFINITY,
            linearised: false,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let checks = [
            of_instability(given, found),
            of_suns(given, found),
            of_coefficient(given),
            of_mismatch(given),
            of_doubts(given),
        ];
        checks.into_iter().flatten().collect()
    }
}

/// The factor by which temperature changes the current at one sun.
fn temperature_factor<S: Scalar>(given: &Given<'_, S>) -> Result<S, Problem> {
    let warmer = given[&TEMPERATURE] - given[&CALIBRATED_AT];
    let factor = given[&COEFFICIENT] * warmer + 1.0;
    if factor.value() > 0.5 && factor.value() < 2.0 {
        return Ok(factor);
    }
    Err(Problem::at(
        &COEFFICIENT,
        "coefficient_too_large",
        format!(
            "A coefficient of {} would change the current by the factor {}: that of silicon is near 0.05 %/K.",
            COEFFICIENT.say(given[&COEFFICIENT].value()),
            value_text(factor.value(), 3)
        ),
        "Enter the relative change per kelvin, with its unit.",
    ))
}

/// Coefficients of reference cells are far below this, per kelvin.
const STEEP: f64 = 0.005;

/// A coefficient that is a hundred times too large still gives a credible factor near the temperature of the calibration.
fn of_coefficient(given: &Given<'_, f64>) -> Option<Check> {
    let coefficient = given.get(&COEFFICIENT)?;
    (coefficient.abs() > STEEP).then(|| {
        Check::warning(
            "coefficient_large",
            format!(
                "A coefficient of {} is far from that of reference cells; silicon has near 0.05 %/K. Look at its unit again: %/K \
                 or 1/K.",
                COEFFICIENT.say(coefficient)
            ),
            memory("short-circuit currents of reference cells change by 0.02 %/K to 0.1 %/K"),
        )
    })
}

/// What the reference device read before and after.
struct Readings<S> {
    before: S,
    after: Option<S>,
}

impl<S: Scalar> Readings<S> {
    fn of(given: &Given<'_, S>) -> Readings<S> {
        let (before, after) = match given.choice(&BY) {
            "thermopile" => (&READ_BEFORE, &READ_AFTER),
            _ => (&CURRENT_BEFORE, &CURRENT_AFTER),
        };
        Readings {
            before: given[before],
            after: given.get(after),
        }
    }

    fn mean(&self) -> S {
        match self.after {
            Some(after) => (self.before + after) / 2.0,
            None => self.before,
        }
    }

    fn instability(&self) -> Option<S> {
        let after = self.after?;
        Some((after - self.before).abs() / (after + self.before))
    }
}

/// Largest instability of each class.
const CLASSES: [(&str, f64); 3] = [("A", 0.02), ("B", 0.05), ("C", 0.1)];

fn of_instability(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let Some(instability) = found.get(&INSTABILITY) else {
        return (given.choice(&FIND) == "irradiance").then(|| {
            Check::note(
                "drift_unknown",
                "Without a reading after the sweep, drift of the lamp is not in the uncertainty.",
                practice("read the reference device before and after"),
            )
        });
    };
    let sentence = format!(
        "Before and after differ by {} of their sum",
        INSTABILITY.say(instability)
    );
    Some(
        match CLASSES.iter().find(|(_, most)| instability <= *most) {
            Some((class, most)) => Check::in_range(
                "instability",
                format!(
                    "{sentence}: up to {} is class {class}.",
                    INSTABILITY.say(*most)
                ),
                STABILITY,
            ),
            None => Check::warning(
                "instability",
                format!("{sentence}: the lamp has not settled. Let it warm up and measure again."),
                STABILITY,
            ),
        },
    )
}

/// How far from one sun results are not translated but measured again.
const NEAR_ONE: f64 = 0.02;

/// Readings that give fewer or more suns than these are in another unit than the calibration.
const LAMPS: (f64, f64) = (0.1, 10.0);

fn of_suns(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let suns = found.get(&SUNS)?;
    let credible = LAMPS.0..=LAMPS.1;
    if given.choice(&FIND) == "irradiance" && !credible.contains(&suns) {
        return Some(Check::warning(
            "suns",
            format!(
                "The readings give {} suns, and lamps for cells {} to {}: look at the units of readings and calibration again.",
                brief_text(suns, 4),
                brief_text(LAMPS.0, 2),
                brief_text(LAMPS.1, 2)
            ),
            practice("cells are measured under a tenth of a sun to ten suns"),
        ));
    }
    let rule = practice("set the lamp within 2 % of one sun rather than translate");
    let sentence = format!("The irradiance is {} suns", value_text(suns, 4));
    Some(if (suns - 1.0).abs() > NEAR_ONE {
        Check::note(
            "suns",
            format!(
                "{sentence}: compare with results at one sun only after setting the lamp or translating."
            ),
            rule,
        )
    } else {
        Check::in_range("suns", format!("{sentence}."), rule)
    })
}

fn of_mismatch(given: &Given<'_, f64>) -> Option<Check> {
    if given[&MISMATCH] != 1.0 || given.uncertainty(&MISMATCH) > 0.0 {
        return None;
    }
    let rule =
        practice("without correction the spectral mismatch is a contribution to the uncertainty");
    Some(match given.choice(&BY) {
        "thermopile" => Check::warning(
            "mismatch_left_out",
            "A thermopile counts light that the cell does not answer, and no spectral mismatch is entered: take it from \
             its card with a flat response, or enter 1 with ± what may be.",
            rule,
        ),
        _ => Check::note(
            "mismatch_left_out",
            "No spectral mismatch is entered, as if the reference cell answered light like the cell: take it from its \
             card, or enter 1 with ± what may be.",
            rule,
        ),
    })
}

/// What is taken for exact and never is.
fn of_doubts(given: &Given<'_, f64>) -> Option<Check> {
    let calibration = match given.choice(&BY) {
        "thermopile" => &FACTOR,
        _ => &CALIBRATION,
    };
    let left_out: Vec<String> = [calibration, &PLACE]
        .into_iter()
        .filter(|field| given.uncertainty(field) == 0.0)
        .map(|field| format!("“{}”", field.title))
        .collect();
    (!left_out.is_empty()).then(|| {
        Check::note(
            "taken_as_exact",
            format!("Without ± and so taken as exact: {}.", left_out.join(", ")),
            derived("an uncertainty holds what was entered"),
        )
    })
}
