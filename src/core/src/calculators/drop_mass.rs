//! # What it computes
//! Mass and volume of a drop by weighing: so many drops into a pan, less what an empty pan gains, plus what evaporated,
//! repeated; the mean of one waveform with its scatter.
//!
//! # Formulas
//! m = (m₂ − m₁ − m_b + (L/t_L)·t)/N for each run, mean over the runs; V = m/ρ; d = (6·V/π)^(1/3).
//!
//! # Symbols and units
//! m₁, m₂ mass of the pan before and after (kg); N drops (1); m_b what the pan gains without drops (kg); L loss of the
//! pan with ink in it over the time t_L; t time for which the ink of a run stands open (s); ρ density of the ink (kg/m³);
//! m mass, V volume (m³), d diameter (m) of a drop; s standard deviation of the runs (kg).
//!
//! # Valid range
//! At least one run of the waveform; every run gains mass.
//!
//! # Assumptions
//! Every drop counted lands in the pan. Ink arrives evenly, so that it stands open from the middle of the jetting to the
//! weighing, and evaporates as fast as from the pan whose loss was weighed. Buoyancy of air (0.1 %) is left out. From two
//! runs on, the scatter between them adds the standard uncertainty of the mean to that of the weighings.
//!
//! # Sources
//! Conservation of mass; standard uncertainty of a mean: JCGM 100:2008, 4.2.3.
//!
//! # Worked example
//! A million drops that add 11.5 mg to the pan weigh 11.5 ng each; of an ink of 1.15 g/mL that is 10 pL.

use super::drop_size::diameter_of;
use super::*;
use crate::numerics::sample::{mean, standard_deviation};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static RUNS: Field = table("runs", "Runs", &[&WAVEFORM, &DROPS, &BEFORE, &AFTER]);
static WAVEFORM: Field = text("waveform", "Waveform").optional().measured();
static DROPS: Field = count("drops", "Drops")
    .range(Range {
        from: 1.0,
        to: 1e12,
        above: false,
        below: false,
    })
    .measured();
static BEFORE: Field = weighing("before", "Pan before");
static AFTER: Field = weighing("after", "Pan after");
static ONLY: Field = text("only", "Waveform to use")
    .help("As it stands in the runs; empty for all runs.")
    .optional();
static DENSITY: Field = quantity("density", "Density of the ink", Kind::Density)
    .symbol("ρ")
    .help("For the volume.")
    .units(&["g/mL", "g/cm3", "kg/m3"])
    .positive()
    .optional();
static BLANK: Field = quantity("blank", "Gain of a pan without drops", Kind::Mass)
    .symbol("m_b")
    .help("Handled as in a run; negative where it loses.")
    .units(&["mg", "ug", "g"])
    .optional()
    .measured();
static EVAPORATION: Field = choice(
    "evaporation",
    "Evaporation",
    &[
        option("none", "not corrected"),
        option("weighed", "by a weighed loss"),
    ],
);
static LOSS: Field = quantity("loss", "Loss of a pan with ink", Kind::Mass)
    .symbol("L")
    .help("Of as much ink as in a run, standing open.")
    .units(&["mg", "ug", "g"])
    .not_negative()
    .measured();
static LOSS_TIME: Field = quantity("loss_time", "Time for that loss", Kind::Time)
    .symbol("t_L")
    .units(&["min", "s"])
    .positive()
    .measured();
static OPEN_TIME: Field = quantity("open_time", "Time open in a run", Kind::Time)
    .symbol("t")
    .help("From the middle of the jetting to the weighing.")
    .units(&["min", "s"])
    .not_negative()
    .measured();

static DROP_MASS: Field = quantity("drop_mass", "Mass of a drop", Kind::Mass)
    .symbol("m")
    .units(&["ng", "ug"]);
static DROP_VOLUME: Field = quantity("drop_volume", "Volume of a drop", Kind::Volume)
    .symbol("V")
    .units(&["pL", "nL"]);
static DROP_DIAMETER: Field = quantity("drop_diameter", "Diameter of a drop", Kind::Length)
    .symbol("d")
    .units(&["um"]);
static SPREAD: Field = quantity("spread", "Standard deviation of the runs", Kind::Mass)
    .symbol("s")
    .units(&["ng", "ug"]);
static EVAPORATED: Field = quantity("evaporated", "Evaporated in a run", Kind::Mass)
    .symbol("E")
    .units(&["mg", "ug"]);
static EACH: Field = table("each", "Each run", &[&EACH_MASS, &EACH_VOLUME]);
static EACH_MASS: Field = quantity("drop_mass", "Mass of a drop", Kind::Mass).units(&["ng", "ug"]);
static EACH_VOLUME: Field =
    quantity("drop_volume", "Volume of a drop", Kind::Volume).units(&["pL", "nL"]);

const fn weighing(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Mass)
        .units(&["mg", "g"])
        .not_negative()
        .measured()
}

const MASS_BALANCE: Source = derived("conservation of mass");
/// Runs that agree to this share of their mean agree well.
const USUAL_SPREAD: f64 = 0.02;
/// Corrections of this share of the gain are worth a word.
const LARGE_CORRECTION: f64 = 0.05;

/// Mass and volume of a drop, weighed.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "drop_mass",
    version: 1,
    stage: Stage::Layers,
    title: "Drop mass by weighing",
    purpose: "Mass and volume of a drop, from many drops weighed in a pan.",
    inputs: &[
        show(&RUNS),
        show(&ONLY),
        show(&DENSITY),
        show(&BLANK),
        show(&EVAPORATION),
        show(&LOSS).when(&EVAPORATION, &["weighed"]),
        show(&LOSS_TIME).when(&EVAPORATION, &["weighed"]),
        show(&OPEN_TIME).when(&EVAPORATION, &["weighed"]),
    ],
    outputs: &[
        show(&DROP_MASS),
        show(&DROP_VOLUME),
        show(&DROP_DIAMETER),
        show(&SPREAD),
        show(&EVAPORATED).when(&EVAPORATION, &["weighed"]),
        show(&EACH),
    ],
    working: &[
        formula("evaporated = loss / loss_time * open_time").when(&EVAPORATION, &["weighed"]),
        method(
            "Each run: what the pan gained, less what it gains without drops, plus what evaporated, over the drops; volume: \
             that mass over the density.",
        )
        .gives(&[&EACH]),
        method("Mass of a drop: mean of the runs of the waveform, all alike.").gives(&[&DROP_MASS]),
        method("Standard deviation of the runs about their mean, divisor n − 1.").gives(&[&SPREAD]),
        formula("drop_volume = drop_mass / density"),
        formula("drop_diameter = (6 * drop_volume / pi)^(1 / 3)"),
    ],
    sources: &[
        MASS_BALANCE,
        memory("JCGM 100:2008, 4.2.3: standard uncertainty of a mean"),
    ],
    hazards: &[hazards::MIST_AT_PURGE, hazards::HEAD_VAPOUR],
    formula: both::<DropMass>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a million drops of 11.5 ng",
        inputs: &[
            ("runs.a.drops", "1000000"),
            ("runs.a.before", "1000 mg"),
            ("runs.a.after", "1011.5 mg"),
            ("density", "1.15 g/mL"),
        ],
        expected: &[
            expect("drop_mass", "11.5 ng", 1e-11),
            expect("drop_volume", "10 pL", 1e-11),
            expect("drop_diameter", "26.7301 um", 5e-5),
        ],
        source: computed("mass balance; diameter by a sphere, Python 3.11 float64"),
    },
    Case {
        title: "with a blank and evaporation",
        // 10 mg gained, of it 0.2 mg without drops; 0.3 mg in 3 min, 2 min open.
        inputs: &[
            ("runs.a.drops", "1000000"),
            ("runs.a.before", "1000 mg"),
            ("runs.a.after", "1010 mg"),
            ("blank", "0.2 mg"),
            ("evaporation", "weighed"),
            ("loss", "0.3 mg"),
            ("loss_time", "3 min"),
            ("open_time", "2 min"),
        ],
        expected: &[
            expect("evaporated", "0.2 mg", 1e-12),
            expect("drop_mass", "10 ng", 1e-11),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "three runs",
        // 9 ng, 10 ng, 11 ng.
        inputs: &[
            ("runs.a.drops", "1000000"),
            ("runs.a.before", "100 mg"),
            ("runs.a.after", "109 mg"),
            ("runs.b.drops", "2000000"),
            ("runs.b.before", "100 mg"),
            ("runs.b.after", "120 mg"),
            ("runs.c.drops", "500000"),
            ("runs.c.before", "100 mg"),
            ("runs.c.after", "105.5 mg"),
            ("density", "1 g/mL"),
        ],
        expected: &[
            expect("each.c.drop_mass", "11 ng", 1e-11),
            expect("each.c.drop_volume", "11 pL", 1e-11),
            expect("drop_mass", "10 ng", 1e-11),
            expect("spread", "1 ng", 1e-11),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "one waveform of two",
        inputs: &[
            ("runs.a.waveform", "20 V"),
            ("runs.a.drops", "1000000"),
            ("runs.a.before", "100 mg"),
            ("runs.a.after", "109 mg"),
            ("runs.b.waveform", "24 V"),
            ("runs.b.drops", "1000000"),
            ("runs.b.before", "100 mg"),
            ("runs.b.after", "112 mg"),
            ("only", "24 V"),
        ],
        expected: &[
            expect("each.a.drop_mass", "9 ng", 1e-11),
            expect("drop_mass", "12 ng", 1e-11),
        ],
        source: MASS_BALANCE,
    },
];

struct DropMass;

impl Formula for DropMass {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let runs = runs(given)?;
        let used = used(given, &runs)?;
        let mass = mean(&used) + given.scatter(0);
        let density = given.get(&DENSITY);
        let volume = density.map(|density| mass / density);
        let mut found = Found::new();
        found.set(&DROP_MASS, mass);
        found.set_some(&DROP_VOLUME, volume);
        found.set_some(&DROP_DIAMETER, volume.map(diameter_of));
        found.set_some(&SPREAD, (used.len() > 1).then(|| standard_deviation(&used)));
        found.set_some(&EVAPORATED, evaporated(given));
        let rows = runs.iter().map(|run| {
            let mut cells: Vec<(&'static Field, S)> = vec![(&EACH_MASS, run.mass)];
            if let Some(density) = density {
                cells.push((&EACH_VOLUME, run.mass / density));
            }
            FoundRow {
                id: run.id.into(),
                cells,
            }
        });
        found.set_rows(&EACH, rows.collect());
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let used = used(given, &runs(given)?)?;
        let count = used.len() as f64;
        Ok((used.len() > 1).then(|| Scatter {
            title: "Scatter of the runs about their mean",
            covariance: vec![vec![standard_deviation(&used).squared() / count]],
            degrees_of_freedom: count - 1.0,
            linearised: false,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(runs) = runs(given) else {
            return Vec::new();
        };
        [
            mixed(given, &runs),
            Some(agreement(found)),
            corrections(given, found, &runs),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// One run.
struct Run<'a, S> {
    id: &'a str,
    waveform: &'a str,
    drops: f64,
    /// Of one drop, corrected.
    mass: S,
}

/// What evaporates while the ink of a run stands open.
fn evaporated<S: Scalar>(given: &Given<'_, S>) -> Option<S> {
    Some(given.get(&LOSS)? / given.get(&LOSS_TIME)? * given.get(&OPEN_TIME)?)
}

fn runs<'a, S: Scalar>(given: &Given<'a, S>) -> Result<Vec<Run<'a, S>>, Problem> {
    let evaporated = evaporated(given).unwrap_or(S::constant(0.0));
    let correction = evaporated - given.or(&BLANK, 0.0);
    let read = |(id, row): (&'a str, Given<'a, S>)| {
        let gain = row[&AFTER] - row[&BEFORE];
        let ink = gain + correction;
        if ink.value() <= 0.0 {
            return Err(Problem::in_path(
                format!("{}.{id}.{}", RUNS.id, AFTER.id),
                "no_ink",
                format!(
                    "The pan gained {}, with the corrections {}: no ink came into it.",
                    AFTER.say(gain.value()),
                    AFTER.say(ink.value())
                ),
                "Look at the weighings of this run, the gain without drops, and their units.",
            ));
        }
        Ok(Run {
            id,
            waveform: row.text(&WAVEFORM).trim(),
            drops: row[&DROPS].value(),
            mass: ink / row[&DROPS],
        })
    };
    given.rows(&RUNS).map(read).collect()
}

/// Masses of a drop in the runs of the waveform in question.
fn used<S: Scalar>(given: &Given<'_, S>, runs: &[Run<'_, S>]) -> Result<Vec<S>, Problem> {
    let only = given.text(&ONLY).trim();
    let chosen = runs
        .iter()
        .filter(|run| only.is_empty() || run.waveform == only);
    let used: Vec<S> = chosen.map(|run| run.mass).collect();
    if !used.is_empty() {
        return Ok(used);
    }
    Err(Problem::at(
        &ONLY,
        "no_such_waveform",
        format!("No run is of the waveform “{only}”."),
        "Enter a waveform as it stands in the runs, or leave it empty for all runs.",
    ))
}

/// Runs of several waveforms in one mean.
fn mixed(given: &Given<'_, f64>, runs: &[Run<'_, f64>]) -> Option<Check> {
    let first = runs.first()?.waveform;
    let several = runs.iter().any(|run| run.waveform != first);
    (several && given.text(&ONLY).trim().is_empty()).then(|| {
        Check::warning(
            "waveforms_mixed",
            "The mean is over runs of several waveforms: enter the waveform to use.",
            practice("each waveform has its own drop"),
        )
    })
}

fn agreement(found: &Found<f64>) -> Check {
    let rule = practice("three runs that agree within 2 %");
    let (Some(spread), Some(mass)) = (found.get(&SPREAD), found.get(&DROP_MASS)) else {
        return Check::note(
            "one_run",
            "A single run does not show how well drops repeat: weigh two or three.",
            rule,
        );
    };
    let share = value_text(100.0 * spread / mass, 2);
    let said = format!("The runs differ by {share}\u{202F}% (standard deviation)");
    if spread <= USUAL_SPREAD * mass {
        Check::in_range("runs_differ", format!("{said}."), rule)
    } else {
        Check::note(
            "runs_differ",
            format!("{said}: look for missing nozzles, drift of the balance and uneven times."),
            rule,
        )
    }
}

/// The largest share of what was jetted that the corrections make up.
fn corrections(given: &Given<'_, f64>, found: &Found<f64>, runs: &[Run<'_, f64>]) -> Option<Check> {
    let corrected = found.get(&EVAPORATED).unwrap_or(0.0).abs() + given.or(&BLANK, 0.0).abs();
    let share = runs
        .iter()
        .map(|run| corrected / (run.mass * run.drops))
        .fold(0.0, f64::max);
    (share > LARGE_CORRECTION).then(|| {
        Check::note(
            "large_correction",
            format!(
                "Blank and evaporation are {}\u{202F}% of the ink in a run: jet more drops, or cover the pan.",
                value_text(100.0 * share, 2)
            ),
            practice("corrections stay below 5 % of what is weighed"),
        )
    })
}
