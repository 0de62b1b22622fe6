//! # What it computes
//! What a report of new cells still lacks: of the items that readers and journals ask for, those that are answered, taken
//! from other cards or typed, and those that are not, each with what to enter.
//!
//! # Formulas
//! Missing = asked − answered; share = answered/asked.
//!
//! # Symbols and units
//! Counts of items (1).
//!
//! # Valid range
//! Any state of the list; an item is answered when a number, a text or an option other than “not said yet” stands in it.
//!
//! # Assumptions
//! Every item counts alike. Which items are asked follows from the choices: a rate only where voltage was swept, time and
//! conditions only where cells were followed. The best cell is no item: it may be told beside the mean, never for it.
//!
//! # Sources
//! Reporting checklists of journals for solar cells (from memory, in our own selection and words).
//!
//! # Worked example
//! A new card asks for 18 items, none of them answered.

use super::*;
use crate::problem::{Check, Problem, Source, derived, memory};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static AREA: Field = quantity("area", "Illuminated area", Kind::Area)
    .help("Enter the area that the current was divided by, or link it to the card of the curve.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
static AREA_BY: Field = choice(
    "area_by",
    "Area found by",
    &[
        option(OPEN, "not said yet"),
        option("mask", "measured opening of the mask"),
        option("image", "scaled image of the film"),
        option("drawing", "drawing, not measured"),
    ],
)
.help("Choose how the illuminated area was found.")
.optional();
static FILM_AREA: Field = quantity("film_area", "Area of the film", Kind::Area)
    .help("Enter the dyed area, which works in the dark as well.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
static MASK: Field = choice(
    "mask",
    "Mask",
    &[
        option(OPEN, "not said yet"),
        option("smaller", "opening smaller than the film"),
        option("larger", "opening as large as the film or larger"),
        option("none", "no mask"),
    ],
)
.help("Choose what let light in: without a mask, light from beside the film counts.")
.optional();
static SWEEP: Field = choice(
    "sweep",
    "Sweep",
    &[
        option(OPEN, "not said yet"),
        option("both", "both directions"),
        option("reverse", "from open circuit to short circuit only"),
        option("forward", "from short circuit to open circuit only"),
        option("steady", "power held at its maximum until steady"),
    ],
)
.help("Choose in which direction the curves were swept.")
.optional();
static SWEEP_RATE: Field = quantity("sweep_rate", "Sweep rate", Kind::SweepRate)
    .help("Enter voltage step over time for a step, with its delay.")
    .units(&["mV/s", "V/s"])
    .positive()
    .optional();
static HELD_FOR: Field = quantity("held_for", "Held for", Kind::Time)
    .help("Enter how long the power was followed at its maximum.")
    .units(&["s", "min"])
    .positive()
    .optional();
static PRECONDITIONING: Field = text("preconditioning", "Before the sweep")
    .help("Enter light soaking, bias or rest before the sweep; “none” is an answer.")
    .optional();
static IRRADIANCE: Field = quantity("irradiance", "Irradiance", Kind::Irradiance)
    .help("Enter it, or link it to the card of the curve.")
    .units(&["mW/cm2", "W/m2"])
    .positive()
    .optional();
static LAMP: Field = text("lamp", "Lamp and spectrum")
    .help("Enter the kind of lamp and filter, and the spectrum it stands for.")
    .optional();
static IRRADIANCE_BY: Field = text("irradiance_by", "Irradiance set by")
    .help("Enter the reference cell or meter and the date of its calibration.")
    .optional();
static MISMATCH: Field = quantity("mismatch", "Spectral mismatch factor", Kind::Ratio)
    .help("Enter it, or link it to its card; 1 only where it was found to be 1.")
    .units(&["1"])
    .positive()
    .optional();
static TEMPERATURE: Field = quantity("temperature", "Temperature of the cell", Kind::Temperature)
    .help("Enter that of the cell under the lamp, not of the room.")
    .units(&["Cel"])
    .positive()
    .optional()
    .measured();
static CELL_COUNT: Field = count("cell_count", "Cells measured")
    .help("Enter how many, excluded ones too, or link it to “Cells measured” of the processes compared.")
    .optional()
    .measured();
static SUBSTRATE_COUNT: Field = count("substrate_count", "Substrates")
    .help("Enter on how many pieces of glass the cells are, or link it to “Substrates in all” of the processes compared.")
    .optional()
    .measured();
static MEAN: Field = quantity("mean_efficiency", "Mean efficiency", Kind::Ratio)
    .help("Enter the mean of all cells, or link it to the comparison of processes.")
    .units(&["%"])
    .within(-1.0, 1.0)
    .optional()
    .measured();
static SPREAD: Field = quantity("spread", "Number after ±", Kind::Ratio)
    .help("Enter the number that the report gives with the mean.")
    .units(&["%"])
    .within(0.0, 1.0)
    .optional()
    .measured();
static SPREAD_IS: Field = choice(
    "spread_is",
    "Meaning of ±",
    &[
        option(OPEN, "not said yet"),
        option("deviation", "standard deviation of cells"),
        option("error", "standard error of the mean"),
        option("interval", "half of a 95 % interval"),
    ],
)
.help("Choose what the number after ± means: readers cannot guess it.")
.optional();
static BEST: Field = quantity("best_efficiency", "Best cell", Kind::Ratio)
    .help("Where it is told, it is called best.")
    .units(&["%"])
    .within(-1.0, 1.0)
    .optional()
    .measured();
static STABILITY: Field = choice(
    "stability",
    "Stability",
    &[
        option(OPEN, "not said yet"),
        option("followed", "cells were followed over time"),
        option("not_followed", "not followed, and the report says so"),
    ],
)
.help("Choose whether the cells were measured again later.")
.optional();
static FOLLOWED_FOR: Field = quantity("followed_for", "Followed for", Kind::Time)
    .help("Enter the time from the first to the last measurement.")
    .units(&["h", "d", "min"])
    .positive()
    .optional()
    .measured();
static KEPT: Field = text("kept", "Kept meanwhile")
    .help("Enter light, load, temperature, humidity and seal between the measurements.")
    .optional();

static MISSING: Field = count("missing", "Items missing");
static ANSWERED: Field = count("answered", "Items answered");
static ASKED: Field = count("asked", "Items asked");
static SHARE: Field = quantity("share", "Share answered", Kind::Ratio)
    .units(&["%"])
    .digits(3);

/// The option of a question that is not answered.
const OPEN: &str = "open";
const LISTS: Source = memory(
    "reporting checklists of journals for solar cells: areas, mask, sweep, light, temperature, statistics, stability; \
     selection and words ours",
);

/// What a report of new cells must say.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "reporting_checklist",
    version: 1,
    stage: Stage::Comparing,
    title: "Reporting checklist",
    purpose: "What a report of new cells still lacks: areas, sweep, light, temperature, statistics, stability.",
    inputs: &[
        show(&AREA),
        show(&AREA_BY),
        show(&FILM_AREA),
        show(&MASK),
        show(&SWEEP),
        show(&SWEEP_RATE).unless(&SWEEP, &["steady"]),
        show(&HELD_FOR).when(&SWEEP, &["steady"]),
        show(&PRECONDITIONING),
        show(&IRRADIANCE),
        show(&LAMP),
        show(&IRRADIANCE_BY),
        show(&MISMATCH),
        show(&TEMPERATURE),
        show(&CELL_COUNT),
        show(&SUBSTRATE_COUNT),
        show(&MEAN),
        show(&SPREAD),
        show(&SPREAD_IS),
        show(&BEST),
        show(&STABILITY),
        show(&FOLLOWED_FOR).when(&STABILITY, &["followed"]),
        show(&KEPT).when(&STABILITY, &["followed"]),
    ],
    outputs: &[show(&MISSING), show(&ANSWERED), show(&ASKED), show(&SHARE)],
    working: &[
        method("Items asked: every entry that the choices leave, but the best cell.")
            .gives(&[&ASKED]),
        method("Items answered: those of them with a number, a text or a choice.")
            .gives(&[&ANSWERED]),
        formula("missing = asked - answered"),
        formula("share = answered / asked"),
    ],
    sources: &[LISTS],
    hazards: &[hazards::LAMP, hazards::LEAKING_CELL],
    formula: both::<ReportingChecklist>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a report without its stability",
        inputs: &[
            ("area", "0.160 cm2"),
            ("area_by", "mask"),
            ("film_area", "0.28 cm2"),
            ("mask", "smaller"),
            ("sweep", "both"),
            ("sweep_rate", "50 mV/s"),
            ("preconditioning", "none"),
            ("irradiance", "100 mW/cm2"),
            ("lamp", "xenon with AM1.5G filter"),
            (
                "irradiance_by",
                "filtered silicon cell, calibrated this year",
            ),
            ("mismatch", "1.02"),
            ("temperature", "25 °C"),
            ("cell_count", "12"),
            ("substrate_count", "4"),
            ("mean_efficiency", "7.2 %"),
            ("spread", "0.3 %"),
            ("spread_is", "deviation"),
            ("best_efficiency", "7.8 %"),
        ],
        expected: &[
            expect("missing", "1", 0.0),
            expect("answered", "17", 0.0),
            expect("asked", "18", 0.0),
            expect("share", "94.444444444444444 %", 1e-12),
        ],
        source: COUNTED,
    },
    Case {
        title: "a new list",
        inputs: &[],
        expected: &[
            expect("missing", "18", 0.0),
            expect("answered", "0", 0.0),
            expect("share", "0 %", 0.0),
        ],
        source: COUNTED,
    },
    Case {
        title: "cells followed over time",
        inputs: &[("stability", "followed"), ("followed_for", "500 h")],
        expected: &[
            expect("asked", "20", 0.0),
            expect("answered", "2", 0.0),
            expect("share", "10 %", 1e-12),
        ],
        source: COUNTED,
    },
    Case {
        title: "steady power",
        inputs: &[
            ("sweep", "steady"),
            ("held_for", "5 min"),
            ("sweep_rate", "50 mV/s"),
        ],
        expected: &[
            expect("asked", "18", 0.0),
            expect("answered", "2", 0.0),
            expect("missing", "16", 0.0),
        ],
        source: COUNTED,
    },
];

const COUNTED: Source = derived("items of the list, counted");

struct ReportingChecklist;

impl Formula for ReportingChecklist {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let asked = S::constant(asked(given).count() as f64);
        let missing = S::constant(missing(given).count() as f64);
        let mut found = Found::new();
        found.set(&MISSING, missing);
        found.set(&ANSWERED, asked - missing);
        found.set(&ASKED, asked);
        found.set(&SHARE, (asked - missing) / asked);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = vec![summary(found)];
        checks.extend(areas(given));
        checks.extend(statistics(given));
        checks.extend(one_direction(given));
        checks.extend(missing(given).map(|field| {
            let sentence = format!("“{}” is missing. {}", field.title, field.help);
            Check::note(field.id, sentence, LISTS)
        }));
        checks
    }
}

/// The items that the choices leave.
fn asked<S: Scalar>(given: &Given<'_, S>) -> impl Iterator<Item = &'static Field> {
    CALCULATOR
        .inputs
        .iter()
        .filter(move |entry| entry.applies(|choice| Some(given.choice(choice))))
        .map(|entry| entry.field)
        .filter(|field| !field.is(&BEST))
}

/// Those of them that are not answered.
fn missing<S: Scalar>(given: &Given<'_, S>) -> impl Iterator<Item = &'static Field> {
    asked(given).filter(move |field| match field.kind {
        FieldKind::Choice { .. } => matches!(given.choice(field), "" | OPEN),
        FieldKind::Text => given.text(field).trim().is_empty(),
        _ => given.get(field).is_none(),
    })
}

fn summary(found: &Found<f64>) -> Check {
    let count = |field: &Field| found.get(field).unwrap_or_default();
    let (answered, asked) = (count(&ANSWERED), count(&ASKED));
    if answered < asked {
        Check::warning(
            "incomplete",
            format!("{answered} of {asked} items are answered; what is missing stands below."),
            LISTS,
        )
    } else {
        Check::in_range(
            "complete",
            format!("All {asked} items are answered."),
            LISTS,
        )
    }
}

/// Two areas and a mask that do not go together.
fn areas(given: &Given<'_, f64>) -> Option<Check> {
    let (area, film) = (given.get(&AREA)?, given.get(&FILM_AREA)?);
    let [lit, dyed] = [AREA.say(area), FILM_AREA.say(film)];
    let sentence = match given.choice(&MASK) {
        "smaller" if area >= film => format!(
            "The opening of the mask is smaller than the film, yet the illuminated area ({lit}) is not below that of the \
             film ({dyed}): look at the two areas."
        ),
        "larger" | "none" if area < film => format!(
            "The film ({dyed}) is lit beyond the illuminated area ({lit}): divided by this, current and efficiency come \
             out too high. Enter the area that was lit, or use a mask."
        ),
        _ => return None,
    };
    Some(Check::warning("areas_disagree", sentence, LISTS))
}

/// Numbers of cells and efficiencies that do not go together.
fn statistics(given: &Given<'_, f64>) -> Vec<Check> {
    let mut checks = Vec::new();
    if let (Some(cells), Some(substrates)) = (given.get(&CELL_COUNT), given.get(&SUBSTRATE_COUNT)) {
        if cells < substrates {
            checks.push(Check::warning(
                "fewer_cells_than_substrates",
                format!(
                    "{cells} cells cannot be on {substrates} substrates: look at the two counts."
                ),
                LISTS,
            ));
        } else if substrates < 2.0 {
            checks.push(Check::note(
                "one_substrate",
                "All cells are on one substrate: how well the process repeats is not shown.",
                LISTS,
            ));
        }
    }
    match (given.get(&MEAN), given.get(&BEST)) {
        (Some(mean), Some(best)) if best < mean => checks.push(Check::warning(
            "best_below_mean",
            format!(
                "The best cell ({}) is below the mean ({}): look at both.",
                BEST.say(best),
                MEAN.say(mean)
            ),
            LISTS,
        )),
        (None, Some(best)) => checks.push(Check::warning(
            "best_alone",
            format!(
                "The best cell ({}) does not speak for the process: tell the mean first.",
                BEST.say(best)
            ),
            LISTS,
        )),
        _ => {}
    }
    checks
}

fn one_direction(given: &Given<'_, f64>) -> Option<Check> {
    matches!(given.choice(&SWEEP), "forward" | "reverse").then(|| {
        Check::note(
            "one_direction",
            "One direction alone hides a slow response of the cell: sweep back as well, or hold the power at its maximum.",
            LISTS,
        )
    })
}
