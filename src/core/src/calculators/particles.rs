//! # What it computes
//! Whether particles are small enough for a nozzle by a rule of practice, whether a train of filters stands in order, and
//! how much ink the filters keep.
//!
//! # Formulas
//! d_max = d/100, d/50 or d/20; r = d/x; V_h = ΣV_i; V_out = V − V_h.
//!
//! # Symbols and units
//! d nozzle diameter (m); x mean size by intensity, x_n by number, x_l largest particle (m); d_max limit of the rule (m); r
//! nozzle over mean size (1); V_i hold-up volume of a filter (m³), V_h of all; V ink before, V_out after filtering (m³).
//!
//! # Valid range
//! Above zero; no more is held up than there is.
//!
//! # Assumptions
//! The rule speaks of the mean size, not of the filter: the last filter may pass what is ten times the mean, since it is
//! there for clumps, dust and skin. Particles neither clump nor dry between filter and nozzle.
//!
//! # Sources
//! Rules of practice without a source; examples in methods sections lie at a hundredth and finer.
//!
//! # Worked example
//! A mean of 80 nm at a nozzle of 40 µm passes the hundredfold rule, whose limit is 400 nm; a 1.2 µm filter before it is
//! normal.

use super::nozzle::NOZZLE;
use super::*;
use crate::problem::{Check, Problem, Source, derived, memory, practice, read};
use crate::quantity::{Kind, brief_text};
use crate::scalar::{Scalar, sum};

static RULE: Field = choice(
    "rule",
    "Rule of practice",
    &[
        option("hundredth", "mean below 1/100 (cautious)"),
        option("fiftieth", "mean below 1/50"),
        option("twentieth", "mean below 1/20 (lenient)"),
    ],
);
static MEAN: Field = size("mean", "Mean size, by intensity")
    .symbol("x")
    .help("From light scattering: the usual one to judge by.")
    .optional();
static NUMBER_MEAN: Field = size("number_mean", "Mean size, by number")
    .symbol("x_n")
    .help("From micrographs, or worked out from light scattering.")
    .optional();
static LARGEST: Field = size("largest", "Largest particle").symbol("x_l").optional();
static FILTERS: Field =
    table("filters", "Filters, in order", &[&FILTER, &PORE, &HOLD_UP]).optional();
static FILTER: Field = text("filter", "Filter").optional();
static PORE: Field = size("pore", "Pore size");
static HOLD_UP: Field = quantity("hold_up", "Hold-up volume", Kind::Volume)
    .help("What stays in the filter and its holder.")
    .units(&["mL", "uL"])
    .not_negative()
    .optional();
static INK: Field = quantity("ink", "Ink before filtering", Kind::Volume)
    .symbol("V")
    .units(&["mL", "L"])
    .positive()
    .optional()
    .measured();

static LIMIT: Field = quantity("limit", "Largest mean size by the rule", Kind::Length)
    .symbol("d_max")
    .units(&["nm", "um"]);
static RATIO: Field = quantity("ratio", "Nozzle over mean size", Kind::Ratio)
    .symbol("r")
    .help("By intensity.")
    .units(&["1"]);
static NUMBER_RATIO: Field = quantity("number_ratio", "Nozzle over mean by number", Kind::Ratio)
    .symbol("r_n")
    .units(&["1"]);
static LARGEST_RATIO: Field =
    quantity("largest_ratio", "Nozzle over largest particle", Kind::Ratio)
        .symbol("r_l")
        .units(&["1"]);
static HELD_UP: Field = quantity("held_up", "Held up by the filters", Kind::Volume)
    .symbol("V_h")
    .units(&["mL", "uL"]);
static FILTERED: Field = quantity("filtered", "Ink after filtering", Kind::Volume)
    .symbol("V_out")
    .units(&["mL", "L", "uL"]);

const fn size(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Length)
        .units(&["nm", "um"])
        .positive()
}

/// A pore or a particle from this share of the nozzle on can bridge it with few like it.
const BRIDGING: f64 = 0.1;
/// A pore of less than so many mean sizes keeps the particles themselves.
const TIGHT_PORE: f64 = 3.0;

/// Particles and filters before a nozzle.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "particles",
    version: 1,
    stage: Stage::Ink,
    title: "Particles and filters",
    purpose: "Whether particles suit a nozzle, and what a train of filters keeps.",
    inputs: &[
        show(&NOZZLE),
        show(&RULE),
        show(&MEAN),
        show(&NUMBER_MEAN),
        show(&LARGEST),
        show(&FILTERS),
        show(&INK),
    ],
    outputs: &[
        show(&LIMIT),
        show(&RATIO),
        show(&NUMBER_RATIO),
        show(&LARGEST_RATIO),
        show(&HELD_UP),
        show(&FILTERED),
    ],
    working: &[
        formula("limit = nozzle / 100").when(&RULE, &["hundredth"]),
        formula("limit = nozzle / 50").when(&RULE, &["fiftieth"]),
        formula("limit = nozzle / 20").when(&RULE, &["twentieth"]),
        formula("ratio = nozzle / mean"),
        formula("number_ratio = nozzle / number_mean"),
        formula("largest_ratio = nozzle / largest"),
        method("Held up by the filters: their hold-up volumes, added up.").gives(&[&HELD_UP]),
        formula("filtered = ink - held_up"),
    ],
    sources: &[
        RULE_SOURCE,
        read(
            "methods section on a copper oxide ink: mean 126 nm at a 10 pL cartridge (nozzle of 21 µm from memory)",
        ),
    ],
    hazards: &[
        hazards::NANOPOWDERS,
        Hazard {
            what: "Filters under pressure",
            caution: "A clogged syringe filter bursts or slips off and sprays. Press gently, screw it on, point it away, \
                      goggles; change it instead of pressing harder.",
        },
    ],
    formula: both::<Particles>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "1/100 of 21 µm",
        inputs: &[("nozzle", "21 um"), ("rule", "hundredth")],
        expected: &[expect("limit", "210 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/100 of 30 µm",
        inputs: &[("nozzle", "30 um"), ("rule", "hundredth")],
        expected: &[expect("limit", "300 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/100 of 50 µm",
        inputs: &[("nozzle", "50 um"), ("rule", "hundredth")],
        expected: &[expect("limit", "500 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/50 of 21 µm",
        inputs: &[("nozzle", "21 um"), ("rule", "fiftieth")],
        expected: &[expect("limit", "420 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/50 of 30 µm",
        inputs: &[("nozzle", "30 um"), ("rule", "fiftieth")],
        expected: &[expect("limit", "600 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/50 of 50 µm",
        inputs: &[("nozzle", "50 um"), ("rule", "fiftieth")],
        expected: &[expect("limit", "1000 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/20 of 21 µm",
        inputs: &[("nozzle", "21 um"), ("rule", "twentieth")],
        expected: &[expect("limit", "1050 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/20 of 30 µm",
        inputs: &[("nozzle", "30 um"), ("rule", "twentieth")],
        expected: &[expect("limit", "1500 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "1/20 of 50 µm",
        inputs: &[("nozzle", "50 um"), ("rule", "twentieth")],
        expected: &[expect("limit", "2500 nm", 1e-9)],
        source: RULE_COMPUTED,
    },
    Case {
        title: "80 nm at a nozzle of 40 µm",
        inputs: &[("nozzle", "40 um"), ("mean", "80 nm")],
        expected: &[
            expect("limit", "400 nm", 1e-9),
            expect("ratio", "500", 1e-9),
        ],
        source: practice(
            "a mean size of 80 nm at a 40 µm nozzle passes the hundredfold rule (limit 400 nm)",
        ),
    },
    Case {
        title: "copper oxide of 126 nm at a nozzle of 21 µm",
        inputs: &[("nozzle", "21 um"), ("mean", "126 nm")],
        expected: &[expect("ratio", "167", 0.5)],
        source: read(
            "methods section on a copper oxide ink: 126 nm mean, 10 pL cartridge; nozzle of 21 µm from memory",
        ),
    },
    Case {
        title: "silver powder below 1 µm at a nozzle of 100 µm",
        inputs: &[("nozzle", "100 um"), ("largest", "1 um")],
        expected: &[expect("largest_ratio", "100", 1e-9)],
        source: read("Cibis and Krüger, printing of conductive silver tracks; ratio computed"),
    },
    Case {
        title: "three filters and what they keep",
        inputs: &[
            ("nozzle", "40 um"),
            ("filters.a.pore", "5 um"),
            ("filters.a.hold_up", "0.5 mL"),
            ("filters.b.pore", "2.7 um"),
            ("filters.c.pore", "1.2 um"),
            ("filters.c.hold_up", "200 uL"),
            ("ink", "10 mL"),
        ],
        expected: &[
            expect("held_up", "0.7 mL", 1e-12),
            expect("filtered", "9.3 mL", 1e-12),
        ],
        source: RULE_SOURCE,
    },
];

const RULE_SOURCE: Source =
    practice("mean size below a hundredth, a fiftieth or a twentieth of the nozzle");
const RULE_COMPUTED: Source = memory("rules of practice, from memory; arithmetic");

struct Particles;

impl Formula for Particles {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let nozzle = given[&NOZZLE];
        let over = |size: &'static Field| given.get(size).map(|size| nozzle / size);
        let mut found = Found::new();
        found.set(&LIMIT, nozzle / parts(given.choice(&RULE)));
        found.set_some(&RATIO, over(&MEAN));
        found.set_some(&NUMBER_RATIO, over(&NUMBER_MEAN));
        found.set_some(&LARGEST_RATIO, over(&LARGEST));
        let filters = given.rows(&FILTERS);
        let volumes: Vec<S> = filters
            .filter_map(|(_, filter)| filter.get(&HOLD_UP))
            .collect();
        let held_up = (!volumes.is_empty()).then(|| sum(volumes));
        found.set_some(&HELD_UP, held_up);
        if let Some((ink, held_up)) = given.get(&INK).zip(held_up) {
            let filtered = ink - held_up;
            if filtered.value() < 0.0 {
                return Err(Problem::at(
                    &INK,
                    "all_held_up",
                    format!(
                        "The filters hold up {}, more than there is ({}).",
                        HELD_UP.say(held_up.value()),
                        INK.say(ink.value())
                    ),
                    "Filter more ink, or use smaller filters.",
                ));
            }
            found.set(&FILTERED, filtered);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        checks.extend(rule(given, found));
        checks.extend(largest(given));
        checks.extend(order(given));
        checks.extend(last_filter(given, found));
        checks.extend(without_hold_up(given));
        checks
    }
}

/// How many times the mean goes into the nozzle by the rule.
fn parts(rule: &str) -> f64 {
    match rule {
        "fiftieth" => 50.0,
        "twentieth" => 20.0,
        _ => 100.0,
    }
}

/// The mean, by intensity where it is known, against the rule.
fn rule(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let limit = found.get(&LIMIT)?;
    let (mean, by) = given
        .get(&MEAN)
        .map(|mean| (mean, "intensity"))
        .or_else(|| Some((given.get(&NUMBER_MEAN)?, "number")))?;
    let said = format!("A mean of {} by {by}", MEAN.say(mean));
    let name = format!(
        "the rule of 1/{} (limit {})",
        parts(given.choice(&RULE)),
        LIMIT.say(limit)
    );
    Some(if mean <= limit {
        Check::in_range("rule", format!("{said} passes {name}."), RULE_SOURCE)
    } else {
        Check::warning(
            "rule",
            format!("{said} is above {name}: disperse it further, or take a wider nozzle."),
            RULE_SOURCE,
        )
    })
}

fn largest(given: &Given<'_, f64>) -> Option<Check> {
    let (largest, nozzle) = (given.get(&LARGEST)?, given.get(&NOZZLE)?);
    (largest > BRIDGING * nozzle).then(|| {
        Check::warning(
            "largest",
            if largest >= nozzle {
                format!(
                    "The largest particle ({}) is as large as the nozzle ({}) or larger: it blocks it. Filter it out.",
                    LARGEST.say(largest),
                    NOZZLE.say(nozzle)
                )
            } else {
                format!(
                    "The largest particle ({}) is 1/{} of the nozzle: a few of them bridge it. Filter it out.",
                    LARGEST.say(largest),
                    brief_text(nozzle / largest, 2)
                )
            },
            practice("nothing larger than a tenth of the nozzle"),
        )
    })
}

/// Filters of which nothing says how much ink they keep, beside others.
fn without_hold_up(given: &Given<'_, f64>) -> Option<Check> {
    let filters = given.rows(&FILTERS).enumerate();
    let (known, lacking): (Vec<_>, Vec<_>) =
        filters.partition(|(_, (_, filter))| filter.get(&HOLD_UP).is_some());
    let lacking: Vec<String> = lacking
        .iter()
        .map(|(place, _)| format!("filter {}", place + 1))
        .collect();
    (!known.is_empty() && !lacking.is_empty()).then(|| {
        Check::note(
            "without_hold_up",
            format!(
                "No hold-up is entered for {}: it keeps ink too, which is not counted.",
                lacking.join(" and ")
            ),
            derived("the hold-up volumes of all filters add up"),
        )
    })
}

/// Filters go from coarse to fine.
fn order(given: &Given<'_, f64>) -> Option<Check> {
    let pores: Vec<f64> = given
        .rows(&FILTERS)
        .map(|(_, filter)| filter[&PORE])
        .collect();
    let rule = practice("filters go from coarse to fine");
    let wrong = pores
        .windows(2)
        .position(|pair| matches!(pair, [first, second] if second >= first));
    match wrong.and_then(|place| Some((place, pores.get(place)?, pores.get(place + 1)?))) {
        Some((place, first, second)) => Some(Check::warning(
            "order",
            format!(
                "Filter {} ({}) is not finer than filter {} ({}): the earlier one clogs for both. Turn them round.",
                place + 2,
                PORE.say(*second),
                place + 1,
                PORE.say(*first)
            ),
            rule,
        )),
        None if pores.len() > 1 => Some(Check::in_range(
            "order",
            "The filters go from coarse to fine.",
            rule,
        )),
        None => None,
    }
}

/// The last filter against the nozzle and the mean.
fn last_filter(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (_, filter) = given.rows(&FILTERS).last()?;
    let (pore, nozzle) = (filter[&PORE], given.get(&NOZZLE)?);
    let shown = PORE.say(pore);
    let mean = given.get(&MEAN).or(given.get(&NUMBER_MEAN));
    if pore > BRIDGING * nozzle {
        return Some(Check::warning(
            "last_filter",
            format!(
                "The last filter ({shown}) passes more than a tenth of the nozzle ({}): add a finer one.",
                NOZZLE.say(nozzle)
            ),
            practice("nothing larger than a tenth of the nozzle"),
        ));
    }
    if let Some(mean) = mean.filter(|mean| pore < TIGHT_PORE * mean) {
        return Some(Check::note(
            "last_filter",
            format!(
                "The last filter ({shown}) is less than {TIGHT_PORE} mean sizes ({}): it keeps solids; weigh the residue.",
                MEAN.say(mean)
            ),
            practice("pores of several mean sizes let the particles through"),
        ));
    }
    let limit = found.get(&LIMIT)?;
    (pore > limit).then(|| {
        Check::in_range(
            "last_filter",
            format!(
                "The last filter ({shown}) is coarser than the limit for the mean ({}), which is normal: the rule is about \
                 the mean, the filter is for clumps and dust.",
                LIMIT.say(limit)
            ),
            RULE_SOURCE,
        )
    })
}
