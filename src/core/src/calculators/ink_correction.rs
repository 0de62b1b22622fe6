//! # What it computes
//! What to add to an ink of which too much of one component went in: so that the planned composition is restored
//! exactly, or as nearly as a limit of additional mass allows.
//!
//! # Formulas
//! f = max(1, max(m_i/p_i)); to add x_i = f·p_i − m_i; X = Σx_i. Within a limit: X = min(L, f·Σp − Σm), and the x_i ≥ 0 with
//! Σx_i = X that make Σ(w_i − w_i*)² smallest: x_i = max(0, w_i*·M − m_i − τ) with one τ for all, M = Σm + X.
//!
//! # Symbols and units
//! p_i planned mass, m_i mass in the ink so far (kg); f size of the restored ink against the plan (1); x_i mass to add
//! (kg); X all of it, L its limit (kg); M mass of the corrected ink (kg); w_i its mass fractions, w_i* the planned ones
//! (1); τ what every addition falls short of its aim (kg).
//!
//! # Valid range
//! Something is planned and something is in. What is in without being planned cannot be taken out again: only the
//! closest composition within a limit exists then.
//!
//! # Assumptions
//! Nothing is taken out, and the ink is mixed before anything is added. It becomes no smaller than planned: where nothing is
//! over, what is missing of the plan is added. Closest means least squares on mass fractions,
//! all alike: a component of which there is little counts little. A larger addition never makes the closest composition
//! worse, so the limit is used up unless less restores the plan. What is not in yet is added as part of the correction.
//!
//! # Sources
//! Conservation of mass; the nearest point of a simplex, by the conditions of Karush, Kuhn and Tucker.
//!
//! # Worked example
//! Planned 20 g of powder in 80 g of water, 22 g went in: the ink grows by a tenth, and takes 8 g more of water.

use super::*;
use crate::problem::{Check, Problem, Source, derived, practice};
use crate::quantity::Kind;
use crate::scalar::{Scalar, sum};

static FIND: Field = choice(
    "find",
    "Restore",
    &[
        option("exact", "the planned composition"),
        option("closest", "the closest within a limit"),
    ],
);
static LIMIT: Field = quantity("limit", "Most that may be added", Kind::Mass)
    .symbol("L")
    .help("What the vessel or the bottles allow.")
    .units(&["g", "mg", "kg"])
    .positive();
static COMPONENTS: Field = table(
    "components",
    "Components",
    &[&NAME, &PLANNED, &SO_FAR, &ADDED],
);
static NAME: Field = text("name", "Name").optional();
static PLANNED: Field = quantity("planned", "Planned mass", Kind::Mass)
    .units(&["g", "mg", "kg"])
    .not_negative();
static SO_FAR: Field = quantity("so_far", "In the ink so far", Kind::Mass)
    .help("Leave it empty while it is not in yet.")
    .units(&["g", "mg", "kg"])
    .not_negative()
    .optional()
    .measured();
static ADDED: Field = quantity("added", "Actually added", Kind::Mass)
    .help("Once the correction is weighed.")
    .units(&["g", "mg", "kg"])
    .not_negative()
    .optional()
    .measured();

static ADDITION: Field = quantity("addition", "To add in total", Kind::Mass)
    .symbol("X")
    .units(&["g", "mg", "kg"]);
static CORRECTION: Field = table(
    "correction",
    "Correction",
    &[&TO_ADD, &FRACTION_AFTER, &FRACTION_PLANNED],
);
static TO_ADD: Field = quantity("to_add", "To add", Kind::Mass).units(&["g", "mg", "kg"]);
static FRACTION_AFTER: Field =
    quantity("fraction_after", "By mass, then", Kind::MassFraction).units(&["%", "mg/g", "mg/kg"]);
static FRACTION_PLANNED: Field =
    quantity("fraction_planned", "By mass, planned", Kind::MassFraction)
        .units(&["%", "mg/g", "mg/kg"]);
static FINAL_MASS: Field = quantity("final_mass", "Mass of the ink, then", Kind::Mass)
    .symbol("M")
    .units(&["g", "mg", "kg"]);
static GROWTH: Field = quantity("growth", "Size against the plan", Kind::Ratio)
    .symbol("f")
    .units(&["1", "%"]);
static FURTHEST: Field = quantity(
    "furthest",
    "Largest distance from the plan",
    Kind::MassFraction,
)
.symbol("Δw")
.help("Of a mass fraction.")
.units(&["%", "mg/g", "mg/kg"]);

const MASS_BALANCE: Source = derived("conservation of mass");
const NEAREST: Source =
    derived("least squares on mass fractions; conditions of Karush, Kuhn and Tucker");
/// Fractions that agree to this are the same.
const SAME: f64 = 1e-9;
/// Share of what is in from which a fresh batch may be cheaper.
const LARGE: f64 = 0.5;

/// Correction of an ink after an overshoot.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "ink_correction",
    version: 1,
    stage: Stage::Ink,
    title: "Ink correction",
    purpose: "What to add after too much of a component went into an ink.",
    inputs: &[
        show(&FIND),
        show(&LIMIT).when(&FIND, &["closest"]),
        show(&COMPONENTS),
    ],
    outputs: &[
        show(&ADDITION),
        show(&CORRECTION),
        show(&FINAL_MASS),
        show(&GROWTH),
        show(&FURTHEST).when(&FIND, &["closest"]),
    ],
    working: &[
        method("The component that went over most, against its plan, sets the size of the restored ink, which is never \
                smaller than planned; of the others, what is missing to that size is added.")
            .gives(&[&CORRECTION, &ADDITION])
            .when(&FIND, &["exact"]),
        method(
            "As much is added as the limit allows, or less where that restores the plan, shared out so that the squares \
             of the differences of mass fractions from the planned ones add up to the least: every component that is \
             added to falls short of its aim by the same mass, and nothing is added of what is over by more.",
        )
        .gives(&[&CORRECTION, &ADDITION])
        .when(&FIND, &["closest"]),
        method("Mass of the ink, then: all that is in, and all that is added, as actually weighed where it is entered.")
            .gives(&[&FINAL_MASS]),
        method("Size against the plan: that mass over the planned one.").gives(&[&GROWTH]),
        method("Largest distance from the plan: of all mass fractions, the one furthest from its planned value.")
            .gives(&[&FURTHEST])
            .when(&FIND, &["closest"]),
    ],
    sources: &[MASS_BALANCE, NEAREST],
    hazards: &[hazards::NANOPOWDERS, hazards::SOLVENTS],
    formula: both::<InkCorrection>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "nothing is over: the rest of the planned batch",
        inputs: &[
            ("components.a.planned", "20 g"),
            ("components.a.so_far", "19 g"),
            ("components.b.planned", "80 g"),
            ("components.b.so_far", "40 g"),
        ],
        expected: &[
            expect("correction.a.to_add", "1 g", 1e-12),
            expect("correction.b.to_add", "40 g", 1e-12),
            expect("final_mass", "100 g", 1e-12),
            expect("growth", "1", 1e-12),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "a tenth too much powder",
        inputs: &[
            ("components.a.name", "powder"),
            ("components.a.planned", "20 g"),
            ("components.a.so_far", "22 g"),
            ("components.b.name", "water"),
            ("components.b.planned", "80 g"),
            ("components.b.so_far", "80 g"),
        ],
        expected: &[
            expect("addition", "8 g", 1e-12),
            expect("correction.a.to_add", "0 g", 0.0),
            expect("correction.b.to_add", "8 g", 1e-12),
            expect("correction.a.fraction_after", "20 %", 1e-12),
            expect("final_mass", "110 g", 1e-12),
            expect("growth", "1.1", 1e-12),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "seen while weighing: the rest is not in yet",
        inputs: &[
            ("components.a.planned", "20 g"),
            ("components.a.so_far", "20.5 g"),
            ("components.b.planned", "1.5 g"),
            ("components.b.so_far", "1.8 g"),
            ("components.c.planned", "78.5 g"),
        ],
        expected: &[
            expect("growth", "1.2", 1e-12),
            expect("correction.a.to_add", "3.5 g", 1e-12),
            expect("correction.b.to_add", "0 g", 0.0),
            expect("correction.c.to_add", "94.2 g", 1e-12),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "the closest within a limit",
        // 40, 30, 30 planned; 60, 30, 30 in; restored exactly by 15 and 15. With 10 g: 5 and 5, then 60/130 against 0.4.
        inputs: &[
            ("find", "closest"),
            ("limit", "10 g"),
            ("components.a.planned", "40 g"),
            ("components.a.so_far", "60 g"),
            ("components.b.planned", "30 g"),
            ("components.b.so_far", "30 g"),
            ("components.c.planned", "30 g"),
            ("components.c.so_far", "30 g"),
        ],
        expected: &[
            expect("addition", "10 g", 1e-12),
            expect("correction.a.to_add", "0 g", 0.0),
            expect("correction.b.to_add", "5 g", 1e-12),
            expect("correction.c.to_add", "5 g", 1e-12),
            expect("furthest", "6.1538461538461538 %", 1e-12),
        ],
        source: NEAREST,
    },
    Case {
        title: "something in the ink that is not in the recipe",
        // 1 g of 101 g; with 99 g more it is 0.5 %, which the others share.
        inputs: &[
            ("find", "closest"),
            ("limit", "99 g"),
            ("components.a.planned", "25 g"),
            ("components.a.so_far", "25 g"),
            ("components.b.planned", "75 g"),
            ("components.b.so_far", "75 g"),
            ("components.c.planned", "0 g"),
            ("components.c.so_far", "1 g"),
        ],
        expected: &[
            expect("correction.a.to_add", "24.5 g", 1e-12),
            expect("correction.b.to_add", "74.5 g", 1e-12),
            expect("correction.c.fraction_after", "0.5 %", 1e-12),
            expect("furthest", "0.5 %", 1e-12),
        ],
        source: NEAREST,
    },
    Case {
        title: "the correction itself as weighed",
        // 8.5 g of water instead of 8 g: 22 g in 110.5 g.
        inputs: &[
            ("components.a.planned", "20 g"),
            ("components.a.so_far", "22 g"),
            ("components.b.planned", "80 g"),
            ("components.b.so_far", "80 g"),
            ("components.b.added", "8.5 g"),
        ],
        expected: &[
            expect("correction.b.to_add", "8 g", 1e-12),
            expect("final_mass", "110.5 g", 1e-12),
            expect("correction.a.fraction_after", "19.909502262443439 %", 1e-12),
        ],
        source: MASS_BALANCE,
    },
];

/// One component, planned and so far.
struct Component<'a, S> {
    id: &'a str,
    name: String,
    planned: S,
    so_far: S,
    added: Option<S>,
}

fn components<'a, S: Scalar>(given: &Given<'a, S>) -> Vec<Component<'a, S>> {
    let component = |(position, (id, row)): (usize, (&'a str, Given<'a, S>))| Component {
        id,
        name: row.called(&NAME, position),
        planned: row[&PLANNED],
        so_far: row.or(&SO_FAR, 0.0),
        added: row.get(&ADDED),
    };
    given.rows(&COMPONENTS).enumerate().map(component).collect()
}

/// The component that went over most, against its plan: its position, and how far.
fn most_over<S: Scalar>(components: &[Component<'_, S>]) -> Option<(usize, S)> {
    let ratios = components
        .iter()
        .enumerate()
        .filter(|(_, component)| component.so_far.value() > 0.0)
        .map(|(position, component)| (position, component.so_far / component.planned));
    ratios.reduce(|most, next| {
        if next.1.value() > most.1.value() {
            next
        } else {
            most
        }
    })
}

/// What to add so that the planned composition is restored.
fn exact<S: Scalar>(components: &[Component<'_, S>]) -> Result<Vec<S>, Problem> {
    let foreign = |c: &&Component<'_, S>| c.planned.value() <= 0.0 && c.so_far.value() > 0.0;
    if let Some(component) = components.iter().find(foreign) {
        return Err(Problem::in_path(
            format!("{}.{}.{}", COMPONENTS.id, component.id, PLANNED.id),
            "not_planned",
            format!(
                "{} of {} is in the ink and none is planned: no addition takes it out again.",
                SO_FAR.say(component.so_far.value()),
                component.name
            ),
            "Enter a planned mass, or choose the closest composition within a limit.",
        ));
    }
    // Where nothing is over, the ink is filled up to the planned size: one that is being weighed in is not made smaller.
    let (largest, factor) = match most_over(components) {
        Some((largest, factor)) if factor.value() > 1.0 => (Some(largest), factor),
        _ => (None, S::constant(1.0)),
    };
    let addition = |(position, component): (usize, &Component<'_, S>)| {
        if Some(position) == largest {
            // It sets the size: nothing of it is missing, to the last digit.
            S::constant(0.0)
        } else {
            (component.planned * factor - component.so_far).max(S::constant(0.0))
        }
    };
    Ok(components.iter().enumerate().map(addition).collect())
}

/// What to add, so much in all, to come closest to the plan. Those that would be below zero are taken out and the rest
/// shares again, until none is.
fn closest<S: Scalar>(components: &[Component<'_, S>], addition: S) -> Vec<S> {
    let planned = sum(components.iter().map(|c| c.planned));
    let whole = sum(components.iter().map(|c| c.so_far)) + addition;
    let missing: Vec<S> = components
        .iter()
        .map(|c| c.planned / planned * whole - c.so_far)
        .collect();
    let mut open: Vec<bool> = vec![true; missing.len()];
    loop {
        let shared = || missing.iter().zip(&open).filter(|(_, open)| **open);
        let count = shared().count();
        let short = (sum(shared().map(|(m, _)| *m)) - addition) / count as f64;
        let over: Vec<bool> = missing
            .iter()
            .zip(&open)
            .map(|(m, open)| *open && m.value() > short.value())
            .collect();
        // The last one open always takes all of a positive addition.
        if over == open || !over.contains(&true) {
            let share = |(m, open): (&S, &bool)| {
                if *open { *m - short } else { S::constant(0.0) }
            };
            return missing.iter().zip(&over).map(share).collect();
        }
        open = over;
    }
}

struct InkCorrection;

impl Formula for InkCorrection {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let components = components(given);
        let planned = sum(components.iter().map(|c| c.planned));
        if planned.value() <= 0.0 {
            return Err(Problem::at(
                &COMPONENTS,
                "nothing_planned",
                "No component has a planned mass above zero.",
                "Enter the planned masses.",
            ));
        }
        let exact = exact(&components);
        let to_add = if given.choice(&FIND) == "closest" {
            let limit = given[&LIMIT];
            match exact {
                Ok(exact) if sum(exact.iter().copied()).value() <= limit.value() => exact,
                _ => closest(&components, limit),
            }
        } else {
            exact?
        };

        let after: Vec<S> = components
            .iter()
            .zip(&to_add)
            .map(|(component, to_add)| component.so_far + component.added.unwrap_or(*to_add))
            .collect();
        let whole = sum(after.iter().copied());
        let mut found = Found::new();
        found.set(&ADDITION, sum(to_add.iter().copied()));
        let row = |((component, to_add), after): ((&Component<'_, S>, &S), &S)| FoundRow {
            id: component.id.into(),
            cells: vec![
                (&TO_ADD, *to_add),
                (&FRACTION_AFTER, *after / whole),
                (&FRACTION_PLANNED, component.planned / planned),
            ],
        };
        let rows = components.iter().zip(&to_add).zip(&after).map(row);
        found.set_rows(&CORRECTION, rows.collect());
        found.set(&FINAL_MASS, whole);
        found.set(&GROWTH, whole / planned);
        if given.choice(&FIND) == "closest" {
            let distances = components
                .iter()
                .zip(&after)
                .map(|(component, after)| (*after / whole - component.planned / planned).abs());
            found.set_some(&FURTHEST, distances.reduce(S::max));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [size(given, found), restored(given, found)]
            .into_iter()
            .flatten()
            .collect()
    }
}

/// Whether a correction of this size is worth its components.
fn size(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let in_it = sum(components(given).iter().map(|c| c.so_far));
    let addition = found
        .get(&ADDITION)
        .filter(|addition| *addition > LARGE * in_it)?;
    (in_it > 0.0).then(|| {
        Check::note(
            "large_correction",
            format!(
                "{} are to be added to {}: see whether a fresh batch takes less.",
                ADDITION.say(addition),
                ADDITION.say(in_it)
            ),
            practice("a correction by more than half of what is there is rarely worth it"),
        )
    })
}

/// How near the composition comes to the plan, with what was actually added.
fn restored(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let components = components(given);
    let planned = sum(components.iter().map(|c| c.planned));
    let whole = found.get(&FINAL_MASS)?;
    let rows = found.rows(&CORRECTION)?;
    let distance = |(component, row): (&Component<'_, f64>, &FoundRow<f64>)| {
        let after = row.get(&FRACTION_AFTER)?;
        Some((component.name.clone(), after, component.planned / planned))
    };
    let (name, after, plan) =
        components
            .iter()
            .zip(rows)
            .filter_map(distance)
            .reduce(|most, next| {
                if (next.1 - next.2).abs() > (most.1 - most.2).abs() {
                    next
                } else {
                    most
                }
            })?;
    let whole = FINAL_MASS.say(whole);
    Some(if (after - plan).abs() <= SAME {
        Check::in_range(
            "composition",
            format!("{whole} of ink with the planned composition."),
            MASS_BALANCE,
        )
    } else {
        Check::note(
            "composition",
            format!(
                "{whole} of ink; furthest from the plan is {name}, with {} instead of {}.",
                FRACTION_AFTER.say(after),
                FRACTION_PLANNED.say(plan)
            ),
            NEAREST,
        )
    })
}
