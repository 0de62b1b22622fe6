//! # What it computes
//! A log of what was sealed, at which temperature, for how long and under which pressure, beside the limits that the data
//! sheet of the sealing film states.
//!
//! # Formulas
//! p = F/A.
//!
//! # Symbols and units
//! F force of the press (N) on an area A (m²); p pressure on the spacer or patch (Pa).
//!
//! # Valid range
//! Times as 09:15 or 2026-11-27 09:15, temperatures up to 300 °C.
//!
//! # Assumptions
//! The force rests on the area entered alone, evenly. The temperature is that of the plate; the sealing film is as warm only
//! after a while. The times of day carry no uncertainty.
//!
//! # Sources
//! Definition of pressure. Limits: the data sheet of the sealing film, for the user to enter.
//!
//! # Worked example
//! 50 N on a frame of 64 mm² press with 781 kPa.

use super::soaking_log::{listed, moment};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, Moment, seconds_between};
use crate::scalar::Scalar;

static STEPS: Field = table(
    "steps",
    "Sealing steps",
    &[
        &CELL,
        &SEAL,
        &AT,
        &TEMPERATURE,
        &TIME,
        &PRESSURE,
        &FORCE,
        &FACE,
        &DONE,
    ],
);
static CELL: Field = text("cell", "Cell").measured();
static SEAL: Field = choice(
    "seal",
    "Sealed",
    &[
        option("frame", "frame"),
        option("hole", "hole"),
        option("again", "hole, second time"),
    ],
);
static AT: Field = text("at", "Begun at")
    .help("As 09:15 or, over more than a day, as 2026-11-27 09:15.")
    .optional()
    .measured();
static TEMPERATURE: Field = temperature("temperature", "Temperature")
    .help("Of the plate or tip.")
    .measured();
static TIME: Field = duration("time", "Time").measured();
static PRESSURE: Field = pressure("pressure", "Pressure")
    .help("Or force and area.")
    .optional()
    .measured();
static FORCE: Field = quantity("force", "Force", Kind::Force)
    .symbol("F")
    .units(&["N", "kgf", "kN"])
    .positive()
    .optional()
    .measured();
static FACE: Field = quantity("face", "On an area of", Kind::Area)
    .symbol("A")
    .help("Of the frame or patch that is pressed, not of the glass.")
    .units(&["mm2", "cm2"])
    .positive()
    .optional();
static DONE: Field = tick("done", "Done").measured();

static COLDEST: Field = temperature("coldest", "Lowest temperature").optional();
static HOTTEST: Field = temperature("hottest", "Highest temperature").optional();
static SHORTEST: Field = duration("shortest", "Shortest time").optional();
static LONGEST: Field = duration("longest", "Longest time").optional();
static LIGHTEST: Field = pressure("lightest", "Lowest pressure").optional();
static HEAVIEST: Field = pressure("heaviest", "Highest pressure").optional();
static BOILING: Field = temperature("boiling", "Solvent boils at")
    .help("Of the electrolyte's solvent, for the hole.")
    .optional();

static STEPS_DONE: Field = count("steps_done", "Steps done");
static STEPS_LEFT: Field = count("steps_left", "Steps left");
static PRESSED: Field = table("pressed", "Each step", &[&PRESSED_WITH]);
static PRESSED_WITH: Field = pressure("pressed_with", "Pressure").symbol("p");

const fn temperature(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Temperature)
        .units(&["Cel"])
        .within(223.15, 573.15)
}

const fn duration(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Time)
        .units(&["s", "min"])
        .positive()
}

const fn pressure(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Pressure)
        .units(&["kPa", "bar", "MPa", "Pa"])
        .positive()
}

const DEFINITION: Source = derived("definition of pressure");
const DATA_SHEET: Source =
    practice("the limits are those that the data sheet of the sealing film states");
const TWICE: Source =
    practice("a hole is sealed a second time, over the first seal, once its rim is wiped dry");

/// Sealing steps beside the limits of the sealing film.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "sealing_log",
    version: 1,
    stage: Stage::Cell,
    title: "Sealing log",
    purpose: "How frames and fill holes were sealed, and whether within the limits of the sealing film.",
    inputs: &[
        show(&STEPS),
        show(&COLDEST),
        show(&HOTTEST),
        show(&SHORTEST),
        show(&LONGEST),
        show(&LIGHTEST),
        show(&HEAVIEST),
        show(&BOILING),
    ],
    outputs: &[show(&STEPS_DONE), show(&STEPS_LEFT), show(&PRESSED)],
    working: &[
        method("Steps that are ticked are done, the others are left.")
            .gives(&[&STEPS_DONE, &STEPS_LEFT]),
        method(
            "The pressure of a step is the one entered; where none is, the force divided by the area it rests on.",
        )
        .gives(&[&PRESSED]),
    ],
    sources: &[DEFINITION, DATA_SHEET, hazards::FLASH_POINT],
    hazards: &[
        hazards::SEALING_PLATE,
        hazards::ACETONITRILE_AT_PLATE,
        hazards::IODINE_VAPOUR,
        hazards::GLASS,
    ],
    formula: both::<SealingLog>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a frame, its hole, and the hole again",
        // 50 N/64 mm²
        inputs: &[
            ("steps.a.cell", "A1"),
            ("steps.a.seal", "frame"),
            ("steps.a.at", "10:05"),
            ("steps.a.temperature", "110 °C"),
            ("steps.a.time", "20 s"),
            ("steps.a.force", "50 N"),
            ("steps.a.face", "64 mm2"),
            ("steps.a.done", "yes"),
            ("steps.b.cell", "A1"),
            ("steps.b.seal", "hole"),
            ("steps.b.at", "11:40"),
            ("steps.b.temperature", "100 °C"),
            ("steps.b.time", "10 s"),
            ("steps.b.pressure", "2 bar"),
            ("steps.b.done", "yes"),
            ("steps.c.cell", "A1"),
            ("steps.c.seal", "again"),
            ("steps.c.temperature", "100 °C"),
            ("steps.c.time", "10 s"),
            ("coldest", "95 °C"),
            ("hottest", "120 °C"),
            ("shortest", "10 s"),
            ("longest", "60 s"),
        ],
        expected: &[
            expect("steps_done", "2", 0.0),
            expect("steps_left", "1", 0.0),
            expect("pressed.a.pressed_with", "781.25 kPa", 1e-9),
            expect("pressed.b.pressed_with", "200 kPa", 1e-9),
        ],
        source: DEFINITION,
    },
    Case {
        title: "a weight laid on a frame",
        // 2 kg weigh 19.6133 N; on 100 mm².
        inputs: &[
            ("steps.a.cell", "B2"),
            ("steps.a.seal", "frame"),
            ("steps.a.temperature", "105 °C"),
            ("steps.a.time", "30 s"),
            ("steps.a.force", "2 kgf"),
            ("steps.a.face", "1 cm2"),
        ],
        expected: &[
            expect("steps_done", "0", 0.0),
            expect("pressed.a.pressed_with", "196.133 kPa", 1e-9),
        ],
        source: computed("2·9.80665 N/1 cm², Python 3.11 float64"),
    },
    Case {
        title: "a pressure that was read stands before force and area",
        inputs: &[
            ("steps.a.cell", "C1"),
            ("steps.a.seal", "hole"),
            ("steps.a.temperature", "100 °C"),
            ("steps.a.time", "8 s"),
            ("steps.a.pressure", "0.3 MPa"),
            ("steps.a.force", "6 N"),
            ("steps.a.face", "19 mm2"),
            ("steps.a.done", "yes"),
        ],
        expected: &[expect("pressed.a.pressed_with", "0.3 MPa", 1e-12)],
        source: DEFINITION,
    },
    Case {
        title: "no pressure noted",
        inputs: &[
            ("steps.a.cell", "C1"),
            ("steps.a.seal", "frame"),
            ("steps.a.temperature", "100 °C"),
            ("steps.a.time", "1 min"),
        ],
        expected: &[expect("steps_left", "1", 0.0)],
        source: DEFINITION,
    },
];

/// Pressures that differ by more than this are not one.
const ALIKE: f64 = 1.1;

struct SealingLog;

impl Formula for SealingLog {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        for [low, high] in [
            [&COLDEST, &HOTTEST],
            [&SHORTEST, &LONGEST],
            [&LIGHTEST, &HEAVIEST],
        ] {
            in_order(given, low, high)?;
        }
        let (mut rows, mut done, mut left) = (Vec::new(), 0.0, 0.0);
        for (id, step) in given.rows(&STEPS) {
            begun(id, &step)?;
            if step.choice(&DONE) == "yes" {
                done += 1.0;
            } else {
                left += 1.0;
            }
            rows.extend(pressed(&step).map(|pressure| FoundRow {
                id: id.into(),
                cells: vec![(&PRESSED_WITH, pressure)],
            }));
        }
        let mut found = Found::new();
        found.set(&STEPS_DONE, S::constant(done));
        found.set(&STEPS_LEFT, S::constant(left));
        if !rows.is_empty() {
            found.set_rows(&PRESSED, rows);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, _found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        for limits in LIMITS {
            checks.extend(limits.check(given));
        }
        checks.extend(no_limits(given));
        checks.extend(two_pressures(given));
        checks.extend(half_a_pressure(given));
        checks.extend(out_of_order(given));
        checks.extend(second_time(given));
        checks.extend(boils(given));
        checks
    }
}

/// The lower limit is not above the upper one.
fn in_order<S: Scalar>(
    given: &Given<'_, S>,
    low: &'static Field,
    high: &'static Field,
) -> Result<(), Problem> {
    match (given.get(low), given.get(high)) {
        (Some(from), Some(to)) if from.value() > to.value() => Err(Problem::at(
            high,
            "limits_crossed",
            format!(
                "{} ({}) is below {} ({}).",
                high.title,
                high.say(to.value()),
                low.title.to_lowercase(),
                low.say(from.value())
            ),
            "Enter both limits as the data sheet states them.",
        )),
        _ => Ok(()),
    }
}

/// When a step was begun, where that is noted.
fn begun<S: Scalar>(id: &str, step: &Given<'_, S>) -> Result<Option<Moment>, Problem> {
    match step.text(&AT).trim() {
        "" => Ok(None),
        text => moment(format!("{}.{id}.{}", STEPS.id, AT.id), text).map(Some),
    }
}

/// The pressure of a step: read, or force over area.
fn pressed<S: Scalar>(step: &Given<'_, S>) -> Option<S> {
    step.get(&PRESSURE).or_else(|| by_force(step))
}

fn by_force<S: Scalar>(step: &Given<'_, S>) -> Option<S> {
    Some(step.get(&FORCE)? / step.get(&FACE)?)
}

/// One limit of the data sheet or both, and what they are for.
struct Limits {
    low: &'static Field,
    high: &'static Field,
    of: fn(&Given<'_, f64>) -> Option<f64>,
    /// What is said of steps below, above and within.
    codes: [&'static str; 3],
    below: &'static str,
    above: &'static str,
    name: &'static str,
}

const LIMITS: [Limits; 3] = [
    Limits {
        low: &COLDEST,
        high: &HOTTEST,
        of: |step| step.get(&TEMPERATURE),
        codes: ["too_cold", "too_hot", "temperatures_within"],
        below: "the film may not melt: the seal leaks. Seal again, warmer.",
        above: "the film may run out or decompose. Look at the seal, and seal cooler.",
        name: "temperature",
    },
    Limits {
        low: &SHORTEST,
        high: &LONGEST,
        of: |step| step.get(&TIME),
        codes: ["too_short", "too_long", "times_within"],
        below: "the film may not have wetted both glasses. Seal again, longer.",
        above: "the film may run out, and dye and electrolyte suffer. Look at the seal, and seal for less.",
        name: "time",
    },
    Limits {
        low: &LIGHTEST,
        high: &HEAVIEST,
        of: pressed,
        codes: ["too_light", "too_heavy", "pressures_within"],
        below: "the film may not touch everywhere. Press harder.",
        above: "the film is squeezed out and the glass may crack. Press less.",
        name: "pressure",
    },
];

impl Limits {
    fn check(&self, given: &Given<'_, f64>) -> Vec<Check> {
        let (low, high) = (given.get(self.low), given.get(self.high));
        let [below, above, within] = self.codes;
        let beyond =
            |code, limit: Option<f64>, field: &Field, says: &str, is: fn(f64, f64) -> bool| {
                let limit = limit?;
                let steps = named(given, |step| {
                    let value = (self.of)(step)?;
                    is(value, limit).then(|| field.say(value))
                })?;
                let side = if code == below { "Below" } else { "Above" };
                let sentence = format!("{side} {}: {steps}; {says}", field.say(limit));
                Some(Check::warning(code, sentence, DATA_SHEET))
            };
        let mut checks: Vec<Check> = [
            beyond(below, low, self.low, self.below, |value, limit| {
                value < limit
            }),
            beyond(above, high, self.high, self.above, |value, limit| {
                value > limit
            }),
        ]
        .into_iter()
        .flatten()
        .collect();
        let any = given
            .rows(&STEPS)
            .any(|(_, step)| (self.of)(&step).is_some());
        if checks.is_empty() && any && (low.is_some() || high.is_some()) {
            let from = low.map(|low| format!("not below {}", self.low.say(low)));
            let to = high.map(|high| format!("not above {}", self.high.say(high)));
            let both: Vec<String> = [from, to].into_iter().flatten().collect();
            checks.push(Check::in_range(
                within,
                format!(
                    "Every {} that is noted is {}.",
                    self.name,
                    both.join(" and ")
                ),
                DATA_SHEET,
            ));
        }
        checks
    }
}

/// Reminds of the data sheet.
fn no_limits(given: &Given<'_, f64>) -> Option<Check> {
    let any = LIMITS
        .iter()
        .flat_map(|limits| [limits.low, limits.high])
        .any(|limit| given.get(limit).is_some());
    (!any).then(|| {
        Check::note(
            "no_limits",
            "No limits are entered. Take lowest and highest temperature and time from the data sheet of the sealing film.",
            DATA_SHEET,
        )
    })
}

/// A pressure that was read beside one worked out.
fn two_pressures(given: &Given<'_, f64>) -> Option<Check> {
    let steps = named(given, |step| {
        let (read, forced) = (step.get(&PRESSURE)?, by_force(step)?);
        (read.max(forced) > ALIKE * read.min(forced))
            .then(|| format!("{} beside {}", PRESSURE.say(read), PRESSED_WITH.say(forced)))
    })?;
    Some(Check::warning(
        "pressures_differ",
        format!(
            "The pressure entered is not force over area: {steps}. A press often shows the pressure of its oil or air."
        ),
        DEFINITION,
    ))
}

/// A force without its area, or an area without its force once the step is done: until then it is part of the plan.
fn half_a_pressure(given: &Given<'_, f64>) -> Option<Check> {
    let steps = named(given, |step| {
        let forgotten = step.get(&FACE).is_some() && step.choice(&DONE) == "yes";
        let half = pressed(step).is_none() && (step.get(&FORCE).is_some() || forgotten);
        half.then(String::new)
    })?;
    Some(Check::note(
        "force_without_area",
        format!("No pressure without both the force and the area that it rests on: {steps}."),
        DEFINITION,
    ))
}

/// Steps of one cell that were begun before what comes before them: frame, hole, hole a second time.
fn out_of_order(given: &Given<'_, f64>) -> Option<Check> {
    let timed: Vec<_> = given
        .rows(&STEPS)
        .filter_map(|(id, step)| Some((step, begun(id, &step).ok()??)))
        .collect();
    let mut early = Vec::new();
    for (step, at) in &timed {
        let later = timed.iter().find(|(other, begun)| {
            same_cell(step, other) && place(other) < place(step) && is_before(*at, *begun)
        });
        early
            .extend(later.map(|(other, _)| format!("{} before {}", name(step), seal_words(other))));
    }
    Some(Check::warning(
        "out_of_order",
        format!(
            "By their times, sealed the wrong way round: {}. Look at the times again.",
            listed(early)?
        ),
        derived("a cell is filled between frame and hole"),
    ))
}

/// Where in the work on a cell a step stands.
fn place(step: &Given<'_, f64>) -> usize {
    let order = ["frame", "hole", "again"];
    let seal = step.choice(&SEAL);
    order
        .iter()
        .position(|one| *one == seal)
        .unwrap_or_default()
}

/// On one clock, as far as dates tell.
fn is_before(one: Moment, other: Moment) -> bool {
    match (one.has_date(), other.has_date()) {
        (true, true) => seconds_between(one, other) > 0.0,
        (false, false) => one.is_earlier_in_the_day(other),
        _ => false,
    }
}

/// Holes that are sealed, but not a second time.
fn second_time(given: &Given<'_, f64>) -> Option<Check> {
    let done = |what: &'static str| {
        let steps = given.rows(&STEPS).map(|(_, step)| step);
        steps.filter(move |step| step.choice(&SEAL) == what && step.choice(&DONE) == "yes")
    };
    let once = done("hole").filter(|hole| !done("again").any(|again| same_cell(hole, &again)));
    match listed(once.map(|hole| cell(&hole).to_owned()).collect()) {
        Some(cells) => Some(Check::note(
            "hole_sealed_once",
            format!("Holes sealed once: {cells}. Wipe the rim dry and seal them a second time."),
            TWICE,
        )),
        None => done("hole").next().map(|_| {
            Check::in_range(
                "holes_sealed_twice",
                "Every hole is sealed a second time.",
                TWICE,
            )
        }),
    }
}

/// Holes sealed at a plate on which the electrolyte boils.
fn boils(given: &Given<'_, f64>) -> Option<Check> {
    let boiling = given.get(&BOILING)?;
    let steps = named(given, |step| {
        let plate = step.get(&TEMPERATURE)?;
        (step.choice(&SEAL) != "frame" && plate > boiling).then(|| TEMPERATURE.say(plate))
    })?;
    Some(Check::warning(
        "hole_above_boiling",
        format!(
            "Above the boiling point of the solvent, {}: {steps}. It boils under the patch and lifts it, and its vapour may \
             catch fire. Heat the patch alone, briefly, and cool the cell.",
            BOILING.say(boiling)
        ),
        practice("a hole is sealed with a small hot tip while the cell lies on something cold"),
    ))
}

fn cell<'a>(step: &Given<'a, f64>) -> &'a str {
    step.text(&CELL).trim()
}

/// Whether two steps are of one cell, however its name is written.
fn same_cell(one: &Given<'_, f64>, other: &Given<'_, f64>) -> bool {
    cell(one).to_lowercase() == cell(other).to_lowercase()
}

fn seal_words(step: &Given<'_, f64>) -> &'static str {
    match step.choice(&SEAL) {
        "frame" => "frame",
        "hole" => "hole",
        _ => "hole, second time",
    }
}

fn name(step: &Given<'_, f64>) -> String {
    format!("{} {}", cell(step), seal_words(step))
}

/// The steps of which something is said: "A1 frame (90 °C), A2 hole (95 °C)"; none where there are none.
fn named(
    given: &Given<'_, f64>,
    say: impl Fn(&Given<'_, f64>) -> Option<String>,
) -> Option<String> {
    let said = given.rows(&STEPS).filter_map(|(_, step)| {
        let name = name(&step);
        Some(match say(&step)?.as_str() {
            "" => name,
            what => format!("{name} ({what})"),
        })
    });
    listed(said.collect())
}
