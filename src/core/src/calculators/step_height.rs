//! # What it computes
//! The height of a step, a film thickness for example, from the trace of a surface profiler, with its uncertainty from
//! the scatter of the readings; the roughness of the film; spikes and missing readings.
//!
//! # Formulas
//! Two parallel lines are fitted at once by least squares, z = a + b·x + h·δ, with δ = 1 on the film and 0 on the
//! substrate; a parabola in x where the profile is bowed. t = K·h. Rq = K·√(mean of e²), Ra = K·mean of |e| with e the
//! deviations of the film from its mean line, without the waves that a Gaussian filter of cut-off λc lets through where
//! one is chosen.
//!
//! # Symbols and units
//! x position, z height read (m); a, b level and tilt of the substrate; h height of the film above the substrate (m);
//! K calibration factor of the height (1); t step height (m); s standard deviation of the readings about the fit (m); ρ
//! correlation of neighbouring readings (1); x₁, x₂ edges (m), W = x₂ − x₁ width (m); Rq, Ra roughness (m); λc cut-off (m).
//!
//! # Valid range
//! With edges: one ridge or groove of width W, and on both sides of it substrate (ridge) or film (groove). With four
//! positions: two intervals that do not overlap. Two readings at least in each part. A cut-off of five steps at least.
//!
//! # Assumptions
//! With edges, the parts fitted are those of ISO 5436-1 for a type A1 standard: the middle third of the feature, from
//! x₁ + W/3 to x₂ − W/3, and on either side what lies from W/3 to W off the edge; what is nearer to an edge is ignored.
//! Found edges are those of the one feature that explains most of the profile; they, typed edges and positions only
//! choose readings and bring no uncertainty. Rounding to the steps of the instrument counts where the readings scatter by
//! less than half a step. Readings scatter by their own amount on film and substrate, and neighbours
//! go together (first-order autoregression): longer waves than the parts are not seen in the uncertainty. The
//! calibration of the instrument is in K alone.
//!
//! # Sources
//! Least squares. ISO 5436-1 (type A1) and ISO 16610-21 (Gaussian filter), both from memory.
//!
//! # Worked example
//! Film and substrate with exact levels 100 nm apart, on a tilt of 1 nm/µm: 100 nm (derived).

use std::sync::Arc;

use super::*;
use crate::numerics::profile::{Parts, Profile, ProfileError, Step};
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static TRACE: Field = curve("trace", "Profile", &POSITION, &READING)
    .help("Two columns: position and height.")
    .measured();
static POSITION: Field = quantity("position", "Position", Kind::Length).units(&["um", "mm", "nm"]);
static READING: Field = quantity("reading", "Height", Kind::Length).units(&["nm", "um", "mm"]);
static PARTS: Field = choice(
    "parts",
    "Film and substrate",
    &[
        option("found", "edges found"),
        option("edges", "edges typed"),
        option("positions", "four positions typed"),
    ],
);
static FEATURE: Field = choice(
    "feature",
    "Between the edges",
    &[
        option("ridge", "film, on bare substrate"),
        option("groove", "substrate, in the film"),
    ],
);
static LEFT_EDGE: Field = place("left_edge", "Left edge", "x₁").measured();
static RIGHT_EDGE: Field = place("right_edge", "Right edge", "x₂").measured();
static SUBSTRATE_FROM: Field = place("substrate_from", "Substrate from", "").measured();
static SUBSTRATE_TO: Field = place("substrate_to", "Substrate to", "").measured();
static FILM_FROM: Field = place("film_from", "Film from", "").measured();
static FILM_TO: Field = place("film_to", "Film to", "").measured();
static LEVEL: Field = choice(
    "level",
    "Level of the profile",
    &[
        option("line", "straight"),
        option("parabola", "bowed: parabola"),
    ],
);
static SPIKES: Field = choice(
    "spikes",
    "Spikes",
    &[
        option("kept", "kept"),
        option("left_out", "left out of the fit"),
    ],
);
static FACTOR: Field = quantity("factor", "Calibration factor of the height", Kind::Ratio)
    .symbol("K")
    .help("From a step height standard: certified over measured, with its ±.")
    .units(&["1"])
    .positive()
    .initially("1");
static ROUGH_AS: Field = choice(
    "rough_as",
    "Roughness",
    &[
        option("all", "no cut-off"),
        option("gaussian", "Gaussian filter"),
    ],
);
static CUT_OFF: Field = quantity("cut_off", "Cut-off", Kind::Length)
    .symbol("λc")
    .units(&["um", "mm"])
    .positive();

static HEIGHT: Field = quantity("height", "Step height", Kind::Length)
    .symbol("t")
    .help("Film above substrate.")
    .units(&["um", "nm"]);
static NOISE: Field = quantity("noise", "Scatter on the substrate", Kind::Length)
    .symbol("s")
    .help("Standard deviation of the readings about the fit.")
    .units(&["nm", "um"]);
static RQ: Field = quantity("rq", "Roughness Rq of the film", Kind::Length)
    .symbol("Rq")
    .units(&["nm", "um"]);
static RA: Field = quantity("ra", "Roughness Ra of the film", Kind::Length)
    .symbol("Ra")
    .units(&["nm", "um"]);
static WIDTH: Field = quantity("width", "Width between the edges", Kind::Length)
    .symbol("W")
    .units(&["um", "mm"]);
static FITTED: Field = count("fitted", "Readings fitted");
static SPIKES_SEEN: Field = count("spikes_seen", "Spikes seen");
static MISSING: Field = count("missing", "Readings missing");
static LEVELLED: Field = curve(
    "levelled",
    "Profile above the substrate",
    &POSITION,
    &READING,
);

const fn place(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Length)
        .symbol(symbol)
        .units(&["um", "mm"])
}

const A1: Source =
    memory("ISO 5436-1, type A1: middle third, and outer parts a third of the width off the edges");
const LEAST_SQUARES: Source = derived("least squares, two parallel lines");
const GAUSSIAN: Source =
    memory("ISO 16610-21: Gaussian profile filter, half of a wave of the cut-off passes");
/// A parabola that is better than a line by this F is worth a word.
const BOWED: f64 = 16.0;
/// Less of a part than this within the profile is worth a word.
const LEAST_PART: f64 = 0.9;
/// A Gaussian filter sees waves only where its cut-off spans as many usual steps of the profile.
const FINEST: f64 = 5.0;
/// So many spikes and gaps are named by their positions.
const NAMED: usize = 5;
/// The drawing has twice as many points at most.
const DRAWN: usize = 1000;

/// A film's thickness from the step in a profile.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "step_height",
    version: 1,
    stage: Stage::Layers,
    title: "Step height",
    purpose: "Film thickness from the step in a surface-profiler trace, with roughness.",
    inputs: &[
        show(&TRACE),
        show(&PARTS),
        show(&FEATURE).unless(&PARTS, &["positions"]),
        show(&LEFT_EDGE).when(&PARTS, &["edges"]),
        show(&RIGHT_EDGE).when(&PARTS, &["edges"]),
        show(&SUBSTRATE_FROM).when(&PARTS, &["positions"]),
        show(&SUBSTRATE_TO).when(&PARTS, &["positions"]),
        show(&FILM_FROM).when(&PARTS, &["positions"]),
        show(&FILM_TO).when(&PARTS, &["positions"]),
        show(&LEVEL),
        show(&SPIKES),
        show(&FACTOR),
        show(&ROUGH_AS),
        show(&CUT_OFF).when(&ROUGH_AS, &["gaussian"]),
    ],
    outputs: &[
        show(&HEIGHT),
        show(&NOISE),
        show(&RQ),
        show(&RA),
        show(&LEFT_EDGE).when(&PARTS, &["found"]),
        show(&RIGHT_EDGE).when(&PARTS, &["found"]),
        show(&WIDTH).unless(&PARTS, &["positions"]),
        show(&FITTED),
        show(&SPIKES_SEEN),
        show(&MISSING),
        show(&LEVELLED),
    ],
    working: &[
        method(
            "Edges: those of the one ridge or groove that takes most of the squares away that a level leaves, between two of \
             at most 200 groups of neighbouring readings, each group by its median.",
        )
        .gives(&[&LEFT_EDGE, &RIGHT_EDGE])
        .when(&PARTS, &["found"]),
        formula("width = right_edge - left_edge").when(&PARTS, &["found", "edges"]),
        method(
            "Fitted are the middle third between the edges and, on either side, what lies from a third of the width to a \
             whole width off the edge.",
        )
        .when(&PARTS, &["found", "edges"]),
        method(
            "Step height: the distance of two parallel lines, or parabolas where that is chosen, fitted to film and \
             substrate at once by least squares, times the calibration factor.",
        )
        .gives(&[&HEIGHT]),
        method("Scatter: standard deviation of the readings on the substrate about the fit, times the calibration factor.")
            .gives(&[&NOISE]),
        method("Roughness: root mean square and mean of the deviations of the film from its mean line, times the calibration factor.")
            .gives(&[&RQ, &RA])
            .when(&ROUGH_AS, &["all"]),
        method(
            "Roughness: the same, after the waves that the Gaussian filter lets through are taken off; half a cut-off at \
             either end of the film is left out.",
        )
        .gives(&[&RQ, &RA])
        .when(&ROUGH_AS, &["gaussian"]),
        method(
            "Spikes lie more than six standard deviations from the fit, as the median of the deviations gives them for film \
             and for substrate; they are looked for again until no more are found.",
        )
        .gives(&[&SPIKES_SEEN, &FITTED]),
        method("Readings are missing where the position jumps by more than one and a half of its usual step.")
            .gives(&[&MISSING]),
        method("The profile is drawn above the fitted substrate.").gives(&[&LEVELLED]),
    ],
    sources: &[LEAST_SQUARES, A1, GAUSSIAN],
    hazards: &[hazards::GLASS, hazards::DRY_FILMS],
    formula: both::<StepHeight>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "100 nm on a tilt of 1 nm a step, edges typed",
        inputs: &[
            ("trace", RIDGE),
            ("parts", "edges"),
            ("left_edge", "8.5 um"),
            ("right_edge", "17.5 um"),
        ],
        expected: &[
            expect("height", "100 nm", 1e-9),
            expect("width", "9 um", 1e-9),
            // 0 to 5 and 21 to 26 µm, and 12 to 14 µm.
            expect("fitted", "15", 0.0),
            expect("spikes_seen", "0", 0.0),
            expect("missing", "0", 0.0),
        ],
        source: LEAST_SQUARES,
    },
    Case {
        title: "edges found, and a calibration factor",
        inputs: &[("trace", RIDGE), ("factor", "1.02")],
        expected: &[
            expect("left_edge", "8.5 um", 1e-9),
            expect("right_edge", "17.5 um", 1e-9),
            expect("height", "102 nm", 1e-9),
        ],
        source: LEAST_SQUARES,
    },
    Case {
        title: "film minus substrate, one edge, with roughness",
        // Film 50 nm ± 1 nm alternating: Rq = Ra = 1 nm.
        inputs: &[
            (
                "trace",
                "0 0\n1 0\n2 0\n3 0\n4 20\n5 51\n6 49\n7 51\n8 49\n9 49\n10 51\n11 49\n12 51",
            ),
            ("parts", "positions"),
            ("substrate_from", "0 um"),
            ("substrate_to", "3 um"),
            ("film_from", "5 um"),
            ("film_to", "12 um"),
        ],
        expected: &[
            expect("height", "50 nm", 1e-9),
            expect("rq", "1 nm", 1e-9),
            expect("ra", "1 nm", 1e-9),
            expect("fitted", "12", 0.0),
        ],
        source: LEAST_SQUARES,
    },
    Case {
        title: "a groove, with a Gaussian filter that finds nothing rough",
        inputs: &[
            ("trace", GROOVE),
            ("feature", "groove"),
            ("rough_as", "gaussian"),
            ("cut_off", "6 um"),
        ],
        expected: &[expect("height", "100 nm", 1e-9), expect("rq", "0 nm", 1e-9)],
        source: LEAST_SQUARES,
    },
];

/// Levels 100 nm apart with an edge between 8 µm and 9 µm and one between 17 µm and 18 µm, on a tilt of 1 nm/µm.
const RIDGE: &str = "0 0\n1 1\n2 2\n3 3\n4 4\n5 5\n6 6\n7 7\n8 8\n9 109\n10 110\n11 111\n12 112\n13 113\n14 114\n15 115\n\
                     16 116\n17 117\n18 18\n19 19\n20 20\n21 21\n22 22\n23 23\n24 24\n25 25\n26 26";
/// A groove 100 nm deep between 14.5 µm and 29.5 µm, level.
const GROOVE: &str = "0 100\n1 100\n2 100\n3 100\n4 100\n5 100\n6 100\n7 100\n8 100\n9 100\n10 100\n11 100\n\
                      12 100\n13 100\n14 100\n15 0\n16 0\n17 0\n18 0\n19 0\n20 0\n21 0\n22 0\n23 0\n\
                      24 0\n25 0\n26 0\n27 0\n28 0\n29 0\n30 100\n31 100\n32 100\n33 100\n34 100\n35 100\n\
                      36 100\n37 100\n38 100\n39 100\n40 100\n41 100\n42 100\n43 100\n44 100";

/// What is read from the profile, once.
struct Reading {
    profile: Profile,
    parts: Parts,
    /// Where film or substrate lies between edges.
    edges: Option<[f64; 2]>,
    step: Step,
    /// The film is what lies outside the edges.
    groove: bool,
    /// Rq and Ra of the film.
    roughness: Option<[f64; 2]>,
}

impl Reading {
    fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Reading>, Problem> {
        given.once(|| Reading::new(given))
    }

    fn new<S: Scalar>(given: &Given<'_, S>) -> Result<Reading, Problem> {
        let none = Points::default();
        let points = given.points(&TRACE).unwrap_or(&none);
        let profile = Profile::new(&points.x, &points.y).map_err(unfit)?;
        let bent = given.choice(&LEVEL) == "parabola";
        let edges = match given.choice(&PARTS) {
            "positions" => None,
            "edges" => Some(typed_edges(given)?),
            _ => Some(profile.edges(bent).map_err(unfit)?),
        };
        let parts = match edges {
            Some([left, right]) => Parts::of_feature(left, right),
            None => typed_parts(given)?,
        };
        let groove = edges.is_some() && given.choice(&FEATURE) == "groove";
        let leave_out = given.choice(&SPIKES) == "left_out";
        let fitted = profile.step(&parts, bent, leave_out);
        let step = fitted.map_err(|error| match error {
            ProfileError::EmptyPart { upper } => empty(upper != groove),
            other => unfit(other),
        })?;
        let cut_off = given.get(&CUT_OFF).map(|cut_off| cut_off.value());
        let seen = cut_off.is_none_or(|cut_off| cut_off >= FINEST * profile.usual_step());
        let roughness = seen.then(|| step.roughness(!groove, &parts, cut_off));
        Ok(Reading {
            profile,
            parts,
            edges,
            step,
            groove,
            roughness: roughness.flatten(),
        })
    }

    /// Film above substrate, as the instrument reads it.
    fn height(&self) -> f64 {
        if self.groove {
            // No −0.
            -self.step.height + 0.0
        } else {
            self.step.height
        }
    }

    /// Scatter on the substrate.
    fn noise(&self) -> f64 {
        if self.groove {
            self.step.upper.deviation
        } else {
            self.step.base.deviation
        }
    }

    /// The profile above the substrate, thinned to the lowest and highest of each group, so that spikes stay.
    fn drawn(&self, factor: f64) -> Points {
        let raised = if self.groove { self.step.height } else { 0.0 };
        let mut points = Points::default();
        let (x, z) = (self.profile.x(), self.profile.z());
        let readings: Vec<(f64, f64)> = x
            .iter()
            .zip(z)
            .map(|(x, z)| (*x, factor * (z - self.step.base_at(*x) - raised)))
            .collect();
        for group in readings.chunks(readings.len().div_ceil(DRAWN).max(1)) {
            let by_height = |one: &&(f64, f64), other: &&(f64, f64)| one.1.total_cmp(&other.1);
            let (low, high) = (
                group.iter().min_by(by_height),
                group.iter().max_by(by_height),
            );
            let mut ends: Vec<&(f64, f64)> = low.into_iter().chain(high).collect();
            ends.sort_by(|one, other| one.0.total_cmp(&other.0));
            ends.dedup();
            for (x, z) in ends {
                points.x.push(*x);
                points.y.push(*z);
            }
        }
        points
    }
}

fn unfit(error: ProfileError) -> Problem {
    let (field, code, hint) = match error {
        ProfileError::NotFinite | ProfileError::TooFewPoints { .. } => (
            &TRACE,
            "no_profile",
            "Enter two columns, position and height, for the whole profile.",
        ),
        ProfileError::EmptyPart { .. } | ProfileError::Undetermined => (
            &PARTS,
            "no_step",
            "Enter edges or positions of film and substrate with more readings in them.",
        ),
    };
    Problem::at(field, code, error.to_string(), hint)
}

fn empty(film: bool) -> Problem {
    let part = if film { "film" } else { "substrate" };
    Problem::at(
        &PARTS,
        "empty_part",
        format!("Fewer than two readings of the profile lie on the {part}."),
        "Enter edges or positions that lie inside the profile, in its unit of position.",
    )
}

fn typed_edges<S: Scalar>(given: &Given<'_, S>) -> Result<[f64; 2], Problem> {
    let [left, right] = [&LEFT_EDGE, &RIGHT_EDGE].map(|edge| given[edge].value());
    if left < right {
        return Ok([left, right]);
    }
    Err(Problem::at(
        &RIGHT_EDGE,
        "edges_exchanged",
        format!(
            "The right edge ({}) is not to the right of the left one ({}).",
            RIGHT_EDGE.say(right),
            LEFT_EDGE.say(left)
        ),
        "Enter the smaller position as the left edge.",
    ))
}

fn typed_parts<S: Scalar>(given: &Given<'_, S>) -> Result<Parts, Problem> {
    let interval = |from: &'static Field, to: &'static Field| {
        let (one, other) = (given[from].value(), given[to].value());
        [one.min(other), one.max(other)]
    };
    let base = interval(&SUBSTRATE_FROM, &SUBSTRATE_TO);
    let upper = interval(&FILM_FROM, &FILM_TO);
    if base[0] <= upper[1] && upper[0] <= base[1] {
        return Err(Problem::at(
            &FILM_FROM,
            "parts_overlap",
            format!(
                "Substrate ({} to {}) and film ({} to {}) overlap.",
                SUBSTRATE_FROM.say(base[0]),
                SUBSTRATE_TO.say(base[1]),
                FILM_FROM.say(upper[0]),
                FILM_TO.say(upper[1])
            ),
            "Enter positions on either side of the edge, some distance off it.",
        ));
    }
    Ok(Parts {
        base: vec![base],
        upper: vec![upper],
    })
}

struct StepHeight;

impl Formula for StepHeight {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let reading = Reading::of(given)?;
        let factor = given[&FACTOR];
        let mut found = Found::new();
        found.set(&HEIGHT, factor * (given.scatter(0) + reading.height()));
        found.set(&NOISE, factor * reading.noise());
        let roughness = reading.roughness;
        found.set_some(&RQ, roughness.map(|[rq, _]| factor * rq));
        found.set_some(&RA, roughness.map(|[_, ra]| factor * ra));
        if let Some([left, right]) = reading.edges {
            if given.choice(&PARTS) == "found" {
                found.set(&LEFT_EDGE, S::constant(left));
                found.set(&RIGHT_EDGE, S::constant(right));
                found.set(&WIDTH, S::constant(right - left));
            } else {
                found.set(&WIDTH, given[&RIGHT_EDGE] - given[&LEFT_EDGE]);
            }
        }
        let step = &reading.step;
        let missing: f64 = reading.profile.gaps().iter().map(|gap| gap.1).sum();
        found.set(&FITTED, S::constant(step.fitted as f64));
        found.set(&SPIKES_SEEN, S::constant(step.spikes.len() as f64));
        found.set(&MISSING, S::constant(missing));
        if given.wants_curves() {
            found.set_curve(&LEVELLED, reading.drawn(factor.value()));
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let step = &Reading::of(given)?.step;
        Ok(Some(Scatter {
            title: "Scatter of the readings about the profile",
            covariance: vec![vec![step.variance]],
            degrees_of_freedom: step.degrees_of_freedom,
            linearised: false,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(reading) = Reading::of(given) else {
            return Vec::new();
        };
        [
            Some(reading.parts_fitted()),
            reading.sign(found),
            Some(reading.spikes(given)),
            reading.order(),
            reading.gaps(),
            reading.bow(given),
            reading.correlated(),
            reading.rounded(),
            reading.cut_off(given),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

impl Reading {
    /// Which parts of the profile were fitted.
    fn parts_fitted(&self) -> Check {
        let x = self.profile.x();
        let first = x.first().copied().unwrap_or(f64::NEG_INFINITY);
        let last = x.last().copied().unwrap_or(f64::INFINITY);
        let there = |[from, to]: &[f64; 2]| [from.max(first), to.min(last)];
        let beyond = |[from, to]: &[f64; 2]| *from > last || *to < first;
        let say = |part: &[f64; 2]| {
            let [from, to] = there(part);
            format!("{} to {}", POSITION.say(from), POSITION.say(to))
        };
        let all = |parts: &[[f64; 2]]| {
            let parts = parts.iter().filter(|part| !beyond(part));
            parts.map(say).collect::<Vec<_>>().join(" and ")
        };
        let (substrate, film) = if self.groove {
            (&self.parts.upper, &self.parts.base)
        } else {
            (&self.parts.base, &self.parts.upper)
        };
        let said = format!(
            "Fitted: substrate from {}, film from {}.",
            all(substrate),
            all(film)
        );
        let length = |[from, to]: [f64; 2]| to - from;
        let short = substrate
            .iter()
            .chain(film)
            .any(|part| length(there(part)) < LEAST_PART * length(*part));
        let rule = if self.edges.is_some() {
            A1
        } else {
            LEAST_SQUARES
        };
        if substrate.iter().chain(film).any(beyond) {
            Check::warning(
                "parts_fitted",
                format!(
                    "{said} One side lies wholly beyond the profile: with only one edge, choose four positions."
                ),
                rule,
            )
        } else if short {
            Check::note(
                "parts_fitted",
                format!("{said} More of the parts lies beyond the ends of the profile."),
                rule,
            )
        } else {
            Check::in_range("parts_fitted", said, rule)
        }
    }

    /// A film below its substrate, or a step that is not there.
    fn sign(&self, found: &Found<f64>) -> Option<Check> {
        let (height, u) = (found.get(&HEIGHT)?, self.step.variance.sqrt());
        let said = HEIGHT.say(height);
        if self.height().abs() <= 2.0 * u {
            return Some(Check::warning(
                "no_clear_step",
                format!("The step ({said}) is not clearly different from zero."),
                practice("two standard uncertainties tell a value from zero"),
            ));
        }
        (height < 0.0).then(|| {
            Check::warning(
                "film_below",
                format!(
                    "The film lies {} below the substrate: the two are exchanged.",
                    HEIGHT.say(-height)
                ),
                LEAST_SQUARES,
            )
        })
    }

    fn spikes(&self, given: &Given<'_, f64>) -> Check {
        let spikes = &self.step.spikes;
        let rule = practice("readings more than six standard deviations off are looked at");
        if spikes.is_empty() {
            let sentence =
                "No reading in the fitted parts lies more than six standard deviations off.";
            return Check::in_range("spikes", sentence, rule);
        }
        let places = spikes.iter().take(NAMED).map(|x| POSITION.say(*x));
        let seen = format!(
            "{} lie more than six standard deviations off, at {}",
            counted(spikes.len() as f64),
            listed(places.collect(), spikes.len())
        );
        if given.choice(&SPIKES) == "left_out" {
            Check::note(
                "spikes",
                format!("{seen}; they were left out of the fit."),
                rule,
            )
        } else {
            let sentence = format!(
                "{seen}; they were fitted like the others. Look at them, and leave them out if they are dust or a jump."
            );
            Check::warning("spikes", sentence, rule)
        }
    }

    /// Positions in one direction.
    fn order(&self) -> Option<Check> {
        self.profile.turns().map(|place| {
            Check::warning(
                "positions_turn",
                format!(
                    "The positions go back or repeat, first at {}: two traces in one block?",
                    POSITION.say(place)
                ),
                practice("a trace runs in one direction"),
            )
        })
    }

    fn gaps(&self) -> Option<Check> {
        let gaps = self.profile.gaps();
        let missing: f64 = gaps.iter().map(|gap| gap.1).sum();
        let places = gaps.iter().take(NAMED).map(|gap| POSITION.say(gap.0));
        (!gaps.is_empty()).then(|| {
            Check::note(
                "missing",
                format!(
                    "{} are missing, after {}.",
                    counted(missing),
                    listed(places.collect(), gaps.len())
                ),
                derived("the position jumps by more than one and a half of its usual step"),
            )
        })
    }

    /// Whether a straight level is enough.
    fn bow(&self, given: &Given<'_, f64>) -> Option<Check> {
        if given.choice(&LEVEL) == "parabola" {
            return None;
        }
        let leave_out = given.choice(&SPIKES) == "left_out";
        let bent = self.profile.step(&self.parts, true, leave_out).ok()?;
        (self.step.gain(&bent) > BOWED && bent.fitted == self.step.fitted).then(|| {
            let height = if self.groove { -bent.height } else { bent.height };
            Check::warning(
                "bowed",
                format!(
                    "The profile is bowed: with a parabola the step is {} instead of {}, before calibration.",
                    HEIGHT.say(height),
                    HEIGHT.say(self.height())
                ),
                LEAST_SQUARES,
            )
        })
    }

    /// How much neighbouring readings go together.
    fn correlated(&self) -> Option<Check> {
        let Step { base, upper, .. } = &self.step;
        let most = base.correlation.max(upper.correlation);
        let freedom = self.step.degrees_of_freedom;
        (freedom < 10.0 || most > 0.5).then(|| {
            let said = format!(
                "Neighbouring readings go together (correlation up to {}): the {} readings leave {} degrees of freedom.",
                value_text(most, 2),
                self.step.fitted,
                value_text(freedom, 2)
            );
            let rule = derived("first-order autoregression of the residuals");
            if freedom < 10.0 {
                let sentence = format!("{said} Fit longer parts, or take more traces.");
                Check::warning("correlated", sentence, rule)
            } else {
                Check::note("correlated", said, rule)
            }
        })
    }

    /// Readings that hardly scatter within a step of the instrument.
    fn rounded(&self) -> Option<Check> {
        let Step { base, upper, .. } = &self.step;
        (base.rounded || upper.rounded).then(|| {
            Check::note(
                "rounded",
                format!(
                    "The readings come in steps of {}, wider than they scatter: that rounding is in the uncertainty. More \
                     digits in the trace would tell more.",
                    READING.say(self.step.resolution)
                ),
                derived("even distribution one step wide"),
            )
        })
    }

    /// Whether the film is long enough for the cut-off.
    fn cut_off(&self, given: &Given<'_, f64>) -> Option<Check> {
        let cut_off = given.get(&CUT_OFF)?;
        let usual = self.profile.usual_step();
        if cut_off < FINEST * usual {
            return Some(Check::warning(
                "cut_off",
                format!(
                    "The cut-off ({}) spans fewer than {FINEST} steps of the profile ({}): such waves are not in the \
                     readings, and no roughness is given. Enter a larger cut-off.",
                    CUT_OFF.say(cut_off),
                    POSITION.say(usual)
                ),
                derived("a wave needs several readings"),
            ));
        }
        let film = if self.groove {
            &self.parts.base
        } else {
            &self.parts.upper
        };
        let longest = film.iter().map(|[from, to]| to - from).fold(0.0, f64::max);
        let cut_offs = longest / cut_off;
        let said = format!(
            "The film that was fitted is {} long, {} cut-offs of {}",
            POSITION.say(longest),
            value_text(cut_offs, 2),
            CUT_OFF.say(cut_off)
        );
        let rule = memory("ISO 4288: an evaluation length is five cut-offs");
        Some(if cut_offs < 5.0 {
            let sentence =
                format!("{said}: five are usual. Use a smaller cut-off or a longer part.");
            Check::note("cut_off", sentence, rule)
        } else {
            Check::in_range("cut_off", format!("{said}."), rule)
        })
    }
}

fn counted(number: f64) -> String {
    if number == 1.0 {
        "1 reading".into()
    } else {
        format!("{number} readings")
    }
}

fn listed(places: Vec<String>, of: usize) -> String {
    let more = of - places.len();
    let places = places.join(", ");
    if more == 0 {
        places
    } else {
        format!("{places} and {more} more places")
    }
}
