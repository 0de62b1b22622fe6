//! # What it computes
//! The straight line through standards of known concentration, and the concentration of a sample from one reading or
//! more, with the uncertainty that line and readings give it.
//!
//! # Formulas
//! Least squares y = a + b·c, weights 1/u² where the signals have an uncertainty; y₀ mean of m readings of the sample;
//! c₀ = (y₀ − a)/b. Without stated uncertainties u(c₀) = (s/b)·√(1/m + 1/n + (c₀ − c̄)²/Σ(cᵢ − c̄)²): the scatter s of the
//! standards about the line stands for that of the readings as well.
//!
//! # Symbols and units
//! c concentration of a standard (mol/m³ or kg/m³), y its signal (1); n standards, c̄ their mean; a signal at concentration
//! zero (1); b slope (m³/mol or m³/kg); s residual standard deviation (1) with n − 2 degrees of freedom; y₀ mean of the m
//! readings of the sample; c₀ concentration of the sample.
//!
//! # Valid range
//! Standards at two or more concentrations; repeats of one concentration are rows of their own. A blank is a standard of
//! concentration zero.
//!
//! # Assumptions
//! The signal is a straight line of the concentration. Without stated uncertainties all readings, of standards and of the
//! sample, scatter alike. Stated uncertainties are taken as they are, not scaled to the scatter. Concentrations of the
//! standards count as exact in the choice of the line; their uncertainties are propagated, also where several standards
//! come from one stock on another card.
//!
//! # Sources
//! Least squares (JCGM 100:2008, H.3); inverse prediction: Eurachem/CITAC CG4, example A5, and textbooks of analytical
//! chemistry.
//!
//! # Worked example
//! Fifteen readings of five cadmium standards give b = 0.241 L/mg, a = 0.0087 and s = 0.005486; two readings of a sample
//! with mean 0.0712 give 0.26 mg/L with u = 0.018 mg/L (Eurachem/CITAC CG4, example A5, from memory).

use super::straight_line::{self, Quality, Words};
use super::*;
use crate::numerics::line::{self, Line, LineError};
use crate::numerics::sample::mean;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice, read};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static CONCENTRATION_AS: Field = choice(
    "concentration_as",
    "Concentrations",
    &[
        option("amount", "as amount per volume"),
        option("mass", "as mass per volume"),
    ],
);
static STANDARDS: Field = table("standards", "Standards", &[&LABEL, &STANDARD, &SIGNAL]);
static STANDARDS_BY_MASS: Field = table(
    "standards_by_mass",
    "Standards",
    &[&LABEL, &STANDARD_MASS, &SIGNAL],
);
static LABEL: Field = text("label", "Standard").optional().measured();
static STANDARD: Field = quantity(
    "concentration",
    "Concentration of the standard",
    Kind::AmountConcentration,
)
.units(&["umol/L", "mmol/L", "mol/L"])
.not_negative()
.measured();
static STANDARD_MASS: Field = quantity(
    "mass_concentration",
    "Concentration of the standard",
    Kind::MassConcentration,
)
.units(&["mg/L", "ug/mL", "g/L"])
.not_negative()
.measured();
static SIGNAL: Field = quantity("signal", "Signal", Kind::Absorbance)
    .help("Absorbance, or any other reading that grows with the concentration. Repeats are rows of their own.")
    .weighing()
    .measured();
static READINGS: Field = table("readings", "Readings of the sample", &[&READING]).optional();
static READING: Field = quantity("reading", "Signal of the sample", Kind::Absorbance)
    .weighing()
    .measured();

static CONCENTRATION: Field = quantity(
    "concentration",
    "Concentration of the sample",
    Kind::AmountConcentration,
)
.symbol("c₀")
.units(&["umol/L", "mmol/L", "mol/L"]);
static MASS_CONCENTRATION: Field = quantity(
    "mass_concentration",
    "Mass concentration of the sample",
    Kind::MassConcentration,
)
.symbol("γ₀")
.units(&["mg/L", "ug/mL", "g/L"]);
static MEAN: Field = quantity("mean", "Mean signal of the sample", Kind::Absorbance).symbol("y₀");
static SLOPE: Field = quantity(
    "slope",
    "Slope of the line",
    Kind::SignalPerAmountConcentration,
)
.symbol("b")
.help("Through a path of 1 cm, 1 L/mmol is an absorption coefficient of 1000 L/(mol·cm).")
.units(&["L/mmol", "L/umol", "L/mol"]);
static SLOPE_BY_MASS: Field = quantity(
    "slope_by_mass",
    "Slope of the line",
    Kind::SignalPerMassConcentration,
)
.symbol("b")
.units(&["L/mg", "L/g"]);
static INTERCEPT: Field = quantity("intercept", "Signal at zero", Kind::Absorbance).symbol("a");
static LINE: Field = curve("line", "Signal over concentration", &STANDARD, &SIGNAL);
static LINE_BY_MASS: Field = curve(
    "line_by_mass",
    "Signal over concentration",
    &STANDARD_MASS,
    &SIGNAL,
);

const FIT: &str = "Straight line through the standards by least squares, each signal weighted with 1/u² where its \
                   standard uncertainty u is stated, all alike otherwise.";
const DRAWN: &str = "The line is drawn over the standards and the sample.";
const LEAST_SQUARES: Source =
    derived("Least squares for a straight line, weighted where uncertainties are stated");

/// A line from standards and what a sample reads on it.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "calibration_line",
    version: 1,
    stage: Stage::Dyeing,
    title: "Calibration line",
    purpose: "A straight line through standards, and the concentration of a sample read from it.",
    inputs: &[
        show(&CONCENTRATION_AS),
        show(&STANDARDS).when(&CONCENTRATION_AS, &["amount"]),
        show(&STANDARDS_BY_MASS).when(&CONCENTRATION_AS, &["mass"]),
        show(&READINGS),
    ],
    outputs: &[
        show(&CONCENTRATION).when(&CONCENTRATION_AS, &["amount"]),
        show(&MASS_CONCENTRATION).when(&CONCENTRATION_AS, &["mass"]),
        show(&MEAN),
        show(&SLOPE).when(&CONCENTRATION_AS, &["amount"]),
        show(&SLOPE_BY_MASS).when(&CONCENTRATION_AS, &["mass"]),
        show(&INTERCEPT),
        show(&LINE).when(&CONCENTRATION_AS, &["amount"]),
        show(&LINE_BY_MASS).when(&CONCENTRATION_AS, &["mass"]),
    ],
    working: &[
        method(FIT)
            .gives(&[&SLOPE, &INTERCEPT])
            .when(&CONCENTRATION_AS, &["amount"]),
        method(FIT)
            .gives(&[&SLOPE_BY_MASS, &INTERCEPT])
            .when(&CONCENTRATION_AS, &["mass"]),
        method("The signal of the sample is the mean of its readings.").gives(&[&MEAN]),
        formula("concentration = (mean - intercept) / slope").when(&CONCENTRATION_AS, &["amount"]),
        formula("mass_concentration = (mean - intercept) / slope_by_mass")
            .when(&CONCENTRATION_AS, &["mass"]),
        method(DRAWN)
            .gives(&[&LINE])
            .when(&CONCENTRATION_AS, &["amount"]),
        method(DRAWN)
            .gives(&[&LINE_BY_MASS])
            .when(&CONCENTRATION_AS, &["mass"]),
    ],
    sources: &[
        LEAST_SQUARES,
        memory(
            "Eurachem/CITAC CG4, 3rd edition, example A5: uncertainty of a value read from a calibration line",
        ),
    ],
    hazards: &[
        hazards::SOLVENTS,
        hazards::SODIUM_HYDROXIDE,
        hazards::DYE_POWDERS,
    ],
    formula: both::<CalibrationLine>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "cadmium by atomic absorption, five standards read three times",
        inputs: CADMIUM,
        expected: &[
            expect("slope_by_mass", "0.241 L/mg", 5e-5),
            expect("intercept", "0.0087", 5e-5),
            expect("mass_concentration", "0.26 mg/L", 5e-3),
        ],
        source: memory("Eurachem/CITAC CG4, 3rd edition, example A5, tables A5.2 and A5.3"),
    },
    Case {
        title: "the same, unrounded",
        inputs: CADMIUM,
        expected: &[
            expect("slope_by_mass", "0.241 L/mg", 3e-10),
            expect("intercept", "0.0087", 1e-11),
            expect("mass_concentration", "0.25933609958506226 mg/L", 3e-10),
        ],
        source: computed(
            "numpy and scipy, on the readings of Eurachem/CITAC CG4, example A5 (from memory)",
        ),
    },
    Case {
        title: "weighted, a weak sample",
        inputs: WEIGHTED_WEAK,
        expected: &[
            expect("slope_by_mass", "0.0737599662370502 L/mg", 8e-11),
            expect("intercept", "0.009083907773170434", 1e-11),
            expect("mass_concentration", "1.2325940054614846 ug/mL", 2e-9),
        ],
        source: SCIPY,
    },
    Case {
        title: "weighted, a strong sample",
        inputs: WEIGHTED_STRONG,
        expected: &[expect(
            "mass_concentration",
            "8.011338973878324 ug/mL",
            9e-9,
        )],
        source: SCIPY,
    },
    Case {
        title: "the same standards without their uncertainties",
        inputs: UNWEIGHTED,
        expected: &[
            expect("slope_by_mass", "0.07254285714285713 L/mg", 8e-11),
            expect("intercept", "0.01328571428571429", 2e-11),
        ],
        source: SCIPY,
    },
    Case {
        title: "external standards in arbitrary units, taken as mmol/L",
        inputs: EXTERNAL,
        expected: &[
            expect("slope", "120.706 L/mmol", 5e-4),
            expect("intercept", "0.209", 5e-4),
            expect("concentration", "0.241 mmol/L", 5e-4),
        ],
        source: memory(
            "Harvey, Analytical Chemistry 2.1, section 5.4: standards read there, readings and results from memory",
        ),
    },
    Case {
        title: "exam scores, taken as mmol/L",
        inputs: SCORES,
        expected: &[
            expect("slope", "4.83 L/mmol", 5e-3),
            expect("intercept", "-173.51", 5e-3),
        ],
        source: read("OpenStax Introductory Statistics 2e, Examples 12.6 and 12.11"),
    },
];

const SCIPY: Source = computed(
    "numpy and scipy, on the weighted regression example of Miller and Miller, ch. 5 (readings from memory)",
);

/// Two readings, of which the guide gives the mean.
const CADMIUM: &[(&str, &str)] = &[
    ("concentration_as", "mass"),
    ("standards_by_mass.a.mass_concentration", "0.1 mg/L"),
    ("standards_by_mass.a.signal", "0.028"),
    ("standards_by_mass.b.mass_concentration", "0.1 mg/L"),
    ("standards_by_mass.b.signal", "0.029"),
    ("standards_by_mass.c.mass_concentration", "0.1 mg/L"),
    ("standards_by_mass.c.signal", "0.029"),
    ("standards_by_mass.d.mass_concentration", "0.3 mg/L"),
    ("standards_by_mass.d.signal", "0.084"),
    ("standards_by_mass.e.mass_concentration", "0.3 mg/L"),
    ("standards_by_mass.e.signal", "0.083"),
    ("standards_by_mass.f.mass_concentration", "0.3 mg/L"),
    ("standards_by_mass.f.signal", "0.081"),
    ("standards_by_mass.g.mass_concentration", "0.5 mg/L"),
    ("standards_by_mass.g.signal", "0.135"),
    ("standards_by_mass.h.mass_concentration", "0.5 mg/L"),
    ("standards_by_mass.h.signal", "0.131"),
    ("standards_by_mass.i.mass_concentration", "0.5 mg/L"),
    ("standards_by_mass.i.signal", "0.133"),
    ("standards_by_mass.j.mass_concentration", "0.7 mg/L"),
    ("standards_by_mass.j.signal", "0.180"),
    ("standards_by_mass.k.mass_concentration", "0.7 mg/L"),
    ("standards_by_mass.k.signal", "0.181"),
    ("standards_by_mass.l.mass_concentration", "0.7 mg/L"),
    ("standards_by_mass.l.signal", "0.183"),
    ("standards_by_mass.m.mass_concentration", "0.9 mg/L"),
    ("standards_by_mass.m.signal", "0.215"),
    ("standards_by_mass.n.mass_concentration", "0.9 mg/L"),
    ("standards_by_mass.n.signal", "0.230"),
    ("standards_by_mass.o.mass_concentration", "0.9 mg/L"),
    ("standards_by_mass.o.signal", "0.216"),
    ("readings.a.reading", "0.0712"),
    ("readings.b.reading", "0.0712"),
];

const WEIGHTED_WEAK: &[(&str, &str)] = &[
    ("concentration_as", "mass"),
    ("standards_by_mass.a.mass_concentration", "0 ug/mL"),
    ("standards_by_mass.a.signal", "0.009 ± 0.001"),
    ("standards_by_mass.b.mass_concentration", "2 ug/mL"),
    ("standards_by_mass.b.signal", "0.158 ± 0.004"),
    ("standards_by_mass.c.mass_concentration", "4 ug/mL"),
    ("standards_by_mass.c.signal", "0.301 ± 0.010"),
    ("standards_by_mass.d.mass_concentration", "6 ug/mL"),
    ("standards_by_mass.d.signal", "0.472 ± 0.013"),
    ("standards_by_mass.e.mass_concentration", "8 ug/mL"),
    ("standards_by_mass.e.signal", "0.577 ± 0.017"),
    ("standards_by_mass.f.mass_concentration", "10 ug/mL"),
    ("standards_by_mass.f.signal", "0.739 ± 0.022"),
    ("readings.a.reading", "0.100"),
];

const WEIGHTED_STRONG: &[(&str, &str)] = &[
    ("concentration_as", "mass"),
    ("standards_by_mass.a.mass_concentration", "0 ug/mL"),
    ("standards_by_mass.a.signal", "0.009 ± 0.001"),
    ("standards_by_mass.b.mass_concentration", "2 ug/mL"),
    ("standards_by_mass.b.signal", "0.158 ± 0.004"),
    ("standards_by_mass.c.mass_concentration", "4 ug/mL"),
    ("standards_by_mass.c.signal", "0.301 ± 0.010"),
    ("standards_by_mass.d.mass_concentration", "6 ug/mL"),
    ("standards_by_mass.d.signal", "0.472 ± 0.013"),
    ("standards_by_mass.e.mass_concentration", "8 ug/mL"),
    ("standards_by_mass.e.signal", "0.577 ± 0.017"),
    ("standards_by_mass.f.mass_concentration", "10 ug/mL"),
    ("standards_by_mass.f.signal", "0.739 ± 0.022"),
    ("readings.a.reading", "0.600"),
];

const UNWEIGHTED: &[(&str, &str)] = &[
    ("concentration_as", "mass"),
    ("standards_by_mass.a.mass_concentration", "0 ug/mL"),
    ("standards_by_mass.a.signal", "0.009"),
    ("standards_by_mass.b.mass_concentration", "2 ug/mL"),
    ("standards_by_mass.b.signal", "0.158"),
    ("standards_by_mass.c.mass_concentration", "4 ug/mL"),
    ("standards_by_mass.c.signal", "0.301"),
    ("standards_by_mass.d.mass_concentration", "6 ug/mL"),
    ("standards_by_mass.d.signal", "0.472"),
    ("standards_by_mass.e.mass_concentration", "8 ug/mL"),
    ("standards_by_mass.e.signal", "0.577"),
    ("standards_by_mass.f.mass_concentration", "10 ug/mL"),
    ("standards_by_mass.f.signal", "0.739"),
];

const EXTERNAL: &[(&str, &str)] = &[
    ("standards.a.concentration", "0 mmol/L"),
    ("standards.a.signal", "0.00"),
    ("standards.b.concentration", "0.100 mmol/L"),
    ("standards.b.signal", "12.36"),
    ("standards.c.concentration", "0.200 mmol/L"),
    ("standards.c.signal", "24.83"),
    ("standards.d.concentration", "0.300 mmol/L"),
    ("standards.d.signal", "35.91"),
    ("standards.e.concentration", "0.400 mmol/L"),
    ("standards.e.signal", "48.79"),
    ("standards.f.concentration", "0.500 mmol/L"),
    ("standards.f.signal", "60.42"),
    ("readings.a.reading", "29.32"),
    ("readings.b.reading", "29.16"),
    ("readings.c.reading", "29.51"),
];

const SCORES: &[(&str, &str)] = &[
    ("standards.a.concentration", "65 mmol/L"),
    ("standards.a.signal", "175"),
    ("standards.b.concentration", "67 mmol/L"),
    ("standards.b.signal", "133"),
    ("standards.c.concentration", "71 mmol/L"),
    ("standards.c.signal", "185"),
    ("standards.d.concentration", "71 mmol/L"),
    ("standards.d.signal", "163"),
    ("standards.e.concentration", "66 mmol/L"),
    ("standards.e.signal", "126"),
    ("standards.f.concentration", "75 mmol/L"),
    ("standards.f.signal", "198"),
    ("standards.g.concentration", "67 mmol/L"),
    ("standards.g.signal", "153"),
    ("standards.h.concentration", "70 mmol/L"),
    ("standards.h.signal", "163"),
    ("standards.i.concentration", "71 mmol/L"),
    ("standards.i.signal", "159"),
    ("standards.j.concentration", "69 mmol/L"),
    ("standards.j.signal", "151"),
    ("standards.k.concentration", "69 mmol/L"),
    ("standards.k.signal", "159"),
];

const WORDS: Words = Words {
    points: "standards",
    y: &SIGNAL,
    one: "signal",
    many: "signals",
    bent: "the signal is no straight line of the concentration",
    straighten: "Use a narrower range, where the line is straight.",
};

struct CalibrationLine;

impl Formula for CalibrationLine {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let standards = Standards::read(given)?;
        let fit = standards.line()?;
        standards.has_slope(&fit)?;
        let line = Line {
            intercept: fit.intercept + given.scatter(0),
            slope: fit.slope + given.scatter(1),
        };
        let [sample, slope, drawn] = if standards.by_mass {
            [&MASS_CONCENTRATION, &SLOPE_BY_MASS, &LINE_BY_MASS]
        } else {
            [&CONCENTRATION, &SLOPE, &LINE]
        };
        let mut found = Found::new();
        found.set(slope, line.slope);
        found.set(&INTERCEPT, line.intercept);
        let readings = readings(given);
        let concentration = (!readings.is_empty()).then(|| {
            let signal = mean(&readings) + given.scatter(2);
            found.set(&MEAN, signal);
            line.inverse(signal)
        });
        found.set_some(sample, concentration);
        if given.wants_curves() {
            let all = standards.x.iter().copied().chain(concentration);
            let (from, to) = ends(all.map(Scalar::value));
            found.set_curve(
                drawn,
                Points {
                    x: vec![from, to],
                    y: vec![
                        line.at(S::constant(from)).value(),
                        line.at(S::constant(to)).value(),
                    ],
                },
            );
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let standards = Standards::read(given)?;
        let quality = standards.quality(&standards.line()?);
        let readings = readings(given).len();
        // Readings without an uncertainty of their own scatter as the standards do.
        let alike = readings > 0 && stated_readings(given) == 0;
        Ok(quality.scatter().map(|mut scatter| {
            if alike {
                for row in &mut scatter.covariance {
                    row.push(0.0);
                }
                let of_mean = quality.reduced / readings as f64;
                scatter.covariance.push(vec![0.0, 0.0, of_mean]);
            }
            scatter
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(standards) = Standards::read(given) else {
            return Vec::new();
        };
        let Ok(line) = standards.line() else {
            return Vec::new();
        };
        let quality = standards.quality(&line);
        let mut checks = vec![quality.spread(&WORDS)];
        checks.extend(standards.bend());
        let rows = given.rows(standards.table());
        let freedoms = rows.map(|(_, row)| row.known(&SIGNAL).degrees_of_freedom);
        checks.extend(straight_line::poor_weights(&WORDS, freedoms));
        checks.extend(standards.flat(&quality, &line));
        checks.extend(standards.reach(found));
        checks.extend(standards.bare_readings(given));
        checks
    }
}

/// The standards, column by column.
struct Standards<S> {
    x: Vec<S>,
    y: Vec<S>,
    /// 1/u²; empty where no signal has an uncertainty.
    weights: Vec<f64>,
    by_mass: bool,
}

impl<S: Scalar> Standards<S> {
    fn read(given: &Given<'_, S>) -> Result<Self, Problem> {
        let by_mass = given.choice(&CONCENTRATION_AS) == "mass";
        let (table, concentration) = if by_mass {
            (&STANDARDS_BY_MASS, &STANDARD_MASS)
        } else {
            (&STANDARDS, &STANDARD)
        };
        let rows = || given.rows(table).map(|(_, row)| row);
        let uncertainties: Vec<f64> = rows().map(|row| row.uncertainty(&SIGNAL)).collect();
        Ok(Standards {
            x: rows().map(|row| row[concentration]).collect(),
            y: rows().map(|row| row[&SIGNAL]).collect(),
            weights: straight_line::weights(table, &WORDS, &uncertainties)?,
            by_mass,
        })
    }

    fn line(&self) -> Result<Line<S>, Problem> {
        line::fit(&self.x, &self.y, &self.weights).map_err(|error| {
            let (code, sentence, hint) = match error {
                LineError::TooFewPoints { needed, given } => (
                    "too_few_standards",
                    format!("A line needs at least {needed} standards; {given} entered."),
                    "Enter more standards; a blank counts as one of concentration 0.",
                ),
                LineError::AllSameAbscissa => (
                    "same_concentration",
                    "All standards have the same concentration: they define no slope.".into(),
                    "Enter standards of two or more concentrations.",
                ),
                other => (
                    "no_line",
                    other.to_string(),
                    "Look for a very large or very small number among the standards.",
                ),
            };
            Problem::at(self.table(), code, sentence, hint)
        })
    }

    /// From a line without any slope no concentration can be read.
    fn has_slope(&self, line: &Line<S>) -> Result<(), Problem> {
        if line.slope.value() != 0.0 {
            return Ok(());
        }
        Err(Problem::at(
            self.table(),
            "no_slope",
            "The signal does not change with the concentration: the slope is zero.",
            "Look whether each signal stands beside its own standard.",
        ))
    }

    fn table(&self) -> &'static Field {
        if self.by_mass {
            &STANDARDS_BY_MASS
        } else {
            &STANDARDS
        }
    }
}

impl Standards<f64> {
    fn quality(&self, line: &Line<f64>) -> Quality {
        Quality::of_line(&self.x, &self.y, &self.weights, line)
    }

    /// Whether repeats show that the standards do not lie on a straight line.
    fn bend(&self) -> Option<Check> {
        let test = self
            .weights
            .is_empty()
            .then(|| line::lack_of_fit(&self.x, &self.y));
        test.flatten()
            .map(|test| straight_line::bend(&WORDS, &test))
    }

    /// Whether the signal grows at all.
    fn flat(&self, quality: &Quality, line: &Line<f64>) -> Option<Check> {
        let u = quality.slope_uncertainty();
        let slope = if self.by_mass { &SLOPE_BY_MASS } else { &SLOPE };
        let said = slope.say(line.slope);
        if u.is_finite() && Scalar::abs(line.slope) <= 2.0 * u {
            return Some(Check::warning(
                "no_clear_slope",
                format!(
                    "The slope ({said} ± {}) is not clearly different from zero: no concentration can be read from it.",
                    slope.say(u)
                ),
                practice("two standard uncertainties tell a value from zero"),
            ));
        }
        (line.slope < 0.0).then(|| {
            Check::warning(
                "falling_line",
                format!(
                    "The signal falls as the concentration grows (slope {said}): look whether standards were exchanged, \
                     or transmittance was entered instead of absorbance."
                ),
                practice("signals of calibrations grow with the concentration"),
            )
        })
    }

    /// Whether the sample lies among the standards.
    fn reach(&self, found: &Found<f64>) -> Option<Check> {
        let (sample, standard) = if self.by_mass {
            (&MASS_CONCENTRATION, &STANDARD_MASS)
        } else {
            (&CONCENTRATION, &STANDARD)
        };
        let concentration = found.get(sample)?;
        let (from, to) = ends(self.x.iter().copied());
        let rule = practice("read samples only between the standards");
        let range = format!("({} to {})", standard.say(from), standard.say(to));
        let says = sample.say(concentration);
        Some(if (from..=to).contains(&concentration) {
            Check::in_range(
                "between_standards",
                format!("The sample ({says}) lies between the standards {range}."),
                rule,
            )
        } else {
            let hint = if concentration > to {
                "Dilute it, or measure standards that reach further."
            } else {
                "Take more of it, or measure weaker standards and a blank."
            };
            Check::warning(
                "outside_standards",
                format!("The sample ({says}) lies outside the standards {range}. {hint}"),
                rule,
            )
        })
    }

    /// Whether the readings bring an uncertainty where the scatter of the standards does not stand for it.
    fn bare_readings(&self, given: &Given<'_, f64>) -> Option<Check> {
        let readings = readings(given).len();
        let stated = stated_readings(given);
        let alike = self.weights.is_empty() && stated == 0;
        (!alike && stated < readings).then(|| {
            Check::warning(
                "readings_without_uncertainty",
                "Readings of the sample without ± bring no uncertainty of their own into the result. Enter ± for each.",
                derived("the result's uncertainty is that of line and readings together"),
            )
        })
    }
}

/// The readings of the sample.
fn readings<S: Scalar>(given: &Given<'_, S>) -> Vec<S> {
    given
        .rows(&READINGS)
        .map(|(_, row)| row[&READING])
        .collect()
}

/// How many of them have an uncertainty.
fn stated_readings(given: &Given<'_, f64>) -> usize {
    let stated = |(_, row): &(&str, Given<'_, f64>)| row.uncertainty(&READING) > 0.0;
    given.rows(&READINGS).filter(stated).count()
}

/// The smallest and the largest.
fn ends(all: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    (
        all.clone().fold(f64::INFINITY, f64::min),
        all.fold(f64::NEG_INFINITY, f64::max),
    )
}
