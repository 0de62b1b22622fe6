//! # What it computes
//! The mean of several step heights, of one film or of films that should be alike, with its uncertainty and the spread
//! between them.
//!
//! # Formulas
//! t = Σ t_i/N; s = √(Σ (t_i − t)²/(N − 1)); the scatter between the heights adds s²/N to the variance of the mean.
//!
//! # Symbols and units
//! t_i heights (m), N their number; t mean (m); s standard deviation (m); v = s/t (1).
//!
//! # Valid range
//! At least one height; spread and scatter from two on.
//!
//! # Assumptions
//! All heights count alike. What the heights have in common, such as a calibration factor, stays common and does not
//! become smaller with their number. From two heights on, their scatter holds what differs from trace to trace; the
//! uncertainties of the single heights come on top and are counted partly twice, which errs on the side of too much.
//!
//! # Sources
//! Mean and its standard uncertainty: JCGM 100:2008, 4.2.
//!
//! # Worked example
//! 9.8 µm, 10.0 µm and 10.2 µm: mean 10 µm, standard deviation 0.2 µm, scatter of the mean 0.115 µm.

use super::*;
use crate::numerics::sample::{mean, standard_deviation};
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static HEIGHTS: Field = table("heights", "Heights", &[&LABEL, &HEIGHT]);
static LABEL: Field = text("label", "Trace").optional().measured();
static HEIGHT: Field = quantity("height", "Step height", Kind::Length)
    .help("Typed, or taken from a card of one profile.")
    .units(&["um", "nm"])
    .measured();

static MEAN: Field = quantity("mean", "Mean step height", Kind::Length)
    .symbol("t")
    .units(&["um", "nm"]);
static SPREAD: Field = quantity("spread", "Standard deviation of heights", Kind::Length)
    .symbol("s")
    .units(&["nm", "um"]);
static VARIATION: Field = quantity("variation", "Standard deviation over mean", Kind::Ratio)
    .symbol("v")
    .units(&["%"]);

/// Heights of one printed film differ by less than this share.
const USUAL_SPREAD: f64 = 0.05;
const GUM: Source =
    memory("JCGM 100:2008, 4.2: mean of repeated readings and its standard uncertainty");

/// Several step heights.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "step_mean",
    version: 1,
    stage: Stage::Layers,
    title: "Mean of step heights",
    purpose: "Thickness of a film from several traces, with the spread between them.",
    inputs: &[show(&HEIGHTS)],
    outputs: &[show(&MEAN), show(&SPREAD), show(&VARIATION)],
    working: &[
        method("Mean of the heights, all alike.").gives(&[&MEAN]),
        method("Standard deviation of the heights about their mean, divisor n − 1.")
            .gives(&[&SPREAD]),
        formula("variation = spread / mean"),
    ],
    sources: &[GUM],
    hazards: &[hazards::GLASS],
    formula: both::<StepMean>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "three traces",
        inputs: &[
            ("heights.a.height", "9.8 um"),
            ("heights.b.height", "10.0 um"),
            ("heights.c.height", "10.2 um"),
        ],
        expected: &[
            expect("mean", "10 um", 1e-12),
            expect("spread", "0.2 um", 1e-12),
            expect("variation", "2 %", 1e-11),
        ],
        source: derived("mean and standard deviation"),
    },
    Case {
        title: "two traces",
        // 40 nm apart: s = 40 nm/√2.
        inputs: &[
            ("heights.a.height", "480 nm"),
            ("heights.b.height", "520 nm"),
        ],
        expected: &[
            expect("mean", "500 nm", 1e-10),
            expect("spread", "28.284271247461902 nm", 1e-10),
        ],
        source: derived("mean and standard deviation"),
    },
    Case {
        title: "four traces of different films",
        // s² = 5/3 µm².
        inputs: &[
            ("heights.a.height", "1 um"),
            ("heights.b.height", "2 um"),
            ("heights.c.height", "3 um"),
            ("heights.d.height", "4 um"),
        ],
        expected: &[
            expect("mean", "2.5 um", 1e-12),
            expect("spread", "1.2909944487358056 um", 1e-12),
        ],
        source: derived("mean and standard deviation"),
    },
    Case {
        title: "one trace",
        inputs: &[("heights.a.height", "450 nm")],
        expected: &[expect("mean", "450 nm", 1e-12)],
        source: derived("mean and standard deviation"),
    },
];

struct StepMean;

fn heights<S: Scalar>(given: &Given<'_, S>) -> Vec<S> {
    given.rows(&HEIGHTS).map(|(_, row)| row[&HEIGHT]).collect()
}

impl Formula for StepMean {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let heights = heights(given);
        let mean = mean(&heights) + given.scatter(0);
        let mut found = Found::new();
        found.set(&MEAN, mean);
        if heights.len() > 1 {
            let spread = standard_deviation(&heights);
            found.set(&SPREAD, spread);
            found.set_some(&VARIATION, (mean.value() > 0.0).then(|| spread / mean));
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let heights = heights(given);
        let count = heights.len() as f64;
        Ok((heights.len() > 1).then(|| Scatter {
            title: "Scatter of the heights about their mean",
            covariance: vec![vec![standard_deviation(&heights).squared() / count]],
            degrees_of_freedom: count - 1.0,
            linearised: false,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let rule = practice("three traces of one film within 5 %");
        let check = match found.get(&VARIATION) {
            None if given.rows(&HEIGHTS).count() < 2 => Check::note(
                "one_height",
                "A single trace does not show how even the film is: take two or three more, apart from each other.",
                rule,
            ),
            None => return Vec::new(),
            Some(variation) => {
                let said = format!(
                    "The heights differ by {} of their mean (standard deviation)",
                    VARIATION.say(variation)
                );
                if variation <= USUAL_SPREAD {
                    Check::in_range("heights_differ", format!("{said}."), rule)
                } else {
                    Check::note(
                        "heights_differ",
                        format!("{said}: the film is uneven, or a trace lies on a rim."),
                        rule,
                    )
                }
            }
        };
        vec![check]
    }
}
