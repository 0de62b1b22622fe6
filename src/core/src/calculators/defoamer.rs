//! # What it computes
//! How much active defoamer an ink holds after each dose of a shake test, and the next dose for a target.
//!
//! # Formulas
//! a_k = a_(k−1) + x_k·d_k; m_k = m_(k−1) + d_k; w_k = a_k/m_k; d = (w*·m − a)/(x − w*).
//!
//! # Symbols and units
//! d_k mass of a dose of defoamer solution (kg), x_k its active mass fraction (1); m_k mass of the ink (kg), a_k active
//! defoamer in it (kg) and w_k its mass fraction (1) after the dose; m, a and w after the last one; d next dose (kg),
//! x its active mass fraction, w* target (1).
//!
//! # Valid range
//! Masses above zero, fractions from 0 to 1; a target above what the ink holds and below the defoamer solution.
//!
//! # Assumptions
//! What is shaken goes back into the ink; the active fraction is by mass (w/w).
//!
//! # Sources
//! Conservation of mass.
//!
//! # Worked example
//! A dose of 0.5 g of a 20 % solution brings 0.1 g of active defoamer: 0.0995 % of 100 g of ink and the dose.

use super::*;
use crate::problem::{Check, Problem, Source, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("composition", "what the doses made"),
        option("dose", "next dose for a target"),
    ],
);
static INK_MASS: Field = quantity("ink_mass", "Ink before the first dose", Kind::Mass)
    .symbol("m₀")
    .units(&["g", "kg", "mg"])
    .positive()
    .measured();
static ALREADY: Field = quantity(
    "already",
    "Active defoamer already in it",
    Kind::MassFraction,
)
.symbol("w₀")
.help("By mass of the ink; empty if its recipe has none.")
.units(&["%", "mg/g", "mg/kg"])
.within(0.0, 1.0)
.optional();
static DOSES: Field = table(
    "doses",
    "Doses and shake tests",
    &[
        &AT,
        &DOSE,
        &DOSE_ACTIVE,
        &COLLAPSE_TIME,
        &FOAM_HEIGHT,
        &REMARK,
    ],
)
.optional();
static AT: Field = text("at", "Time").optional().measured();
static DOSE: Field = quantity("dose", "Defoamer solution", Kind::Mass)
    .units(&["g", "mg"])
    .not_negative()
    .measured();
static DOSE_ACTIVE: Field = active("active").measured();
static COLLAPSE_TIME: Field = quantity("collapse_time", "Time until collapse", Kind::Time)
    .units(&["s", "min"])
    .not_negative()
    .optional()
    .measured();
static FOAM_HEIGHT: Field = quantity("foam_height", "Foam height", Kind::Length)
    .units(&["mm", "cm"])
    .not_negative()
    .optional()
    .measured();
static REMARK: Field = text("remark", "Remark").optional().measured();
static TARGET: Field = quantity("target", "Target, active", Kind::MassFraction)
    .symbol("w*")
    .help("By mass of the ink.")
    .units(&["%", "mg/g", "mg/kg"])
    .within(0.0, 1.0);
static NEXT_ACTIVE: Field = active("next_active").symbol("x");
static LIMIT: Field = quantity("limit", "Limit, active", Kind::MassFraction)
    .symbol("w_max")
    .help("The most active defoamer that this ink shall hold.")
    .units(&["%", "mg/g", "mg/kg"])
    .within(0.0, 1.0)
    .optional();

static NEXT_DOSE: Field = quantity("next_dose", "Next dose of solution", Kind::Mass)
    .symbol("d")
    .units(&["g", "mg"]);
static ACTIVE_FRACTION: Field = quantity(
    "active_fraction",
    "Active defoamer, by mass",
    Kind::MassFraction,
)
.symbol("w")
.units(&["%", "mg/g", "mg/kg"]);
static ACTIVE_MASS: Field = quantity("active_mass", "Active defoamer", Kind::Mass)
    .symbol("a")
    .units(&["g", "mg"]);
static INK_AFTER: Field = quantity("ink_after", "Ink with all doses", Kind::Mass)
    .symbol("m")
    .units(&["g", "kg", "mg"]);
static AFTER: Field = table(
    "after",
    "After each dose",
    &[&BROUGHT, &ACTIVE_SO_FAR, &FRACTION_SO_FAR],
);
static BROUGHT: Field = quantity("brought", "Active in the dose", Kind::Mass).units(&["g", "mg"]);
static ACTIVE_SO_FAR: Field =
    quantity("active_mass", "Active so far", Kind::Mass).units(&["g", "mg"]);
static FRACTION_SO_FAR: Field = quantity("active_fraction", "Active, by mass", Kind::MassFraction)
    .units(&["%", "mg/g", "mg/kg"]);

const fn active(id: &'static str) -> Field {
    quantity(id, "Active in the solution", Kind::MassFraction)
        .help("By mass (w/w).")
        .units(&["%", "mg/g"])
        .within(0.0, 1.0)
}

const MASS_BALANCE: Source = derived("conservation of mass");
const LIMIT_RULE: Source = practice(
    "too much defoamer leaves craters in the film and spoils wetting: choose a limit and keep it",
);

/// Doses of defoamer and what the ink then holds.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "defoamer",
    version: 1,
    stage: Stage::Ink,
    title: "Defoamer",
    purpose: "Active defoamer in an ink after each dose of a shake test, and the next dose.",
    inputs: &[
        show(&FIND),
        show(&INK_MASS),
        show(&ALREADY),
        show(&DOSES),
        show(&TARGET).when(&FIND, &["dose"]),
        show(&NEXT_ACTIVE).when(&FIND, &["dose"]),
        show(&LIMIT),
    ],
    outputs: &[
        show(&NEXT_DOSE).when(&FIND, &["dose"]),
        show(&ACTIVE_FRACTION),
        show(&ACTIVE_MASS),
        show(&INK_AFTER),
        show(&AFTER),
    ],
    working: &[
        method(
            "Each dose brings its mass times its active fraction; the ink grows by the whole dose.",
        )
        .gives(&[&AFTER, &ACTIVE_MASS, &INK_AFTER]),
        formula("active_fraction = active_mass / ink_after"),
        formula("next_dose = (target * ink_after - active_mass) / (next_active - target)")
            .when(&FIND, &["dose"]),
    ],
    sources: &[MASS_BALANCE],
    hazards: &[
        Hazard {
            what: "Shaking",
            caution: "A closed vial of ink with volatile solvent builds up pressure when it is warm or shaken. Leave \
                      headspace, hold the cap, open it slowly and away from the face.",
        },
        hazards::SOLVENTS,
    ],
    formula: both::<Defoamer>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "one dose of a 20 % solution",
        inputs: &[
            ("ink_mass", "99.5 g"),
            ("doses.a.dose", "0.5 g"),
            ("doses.a.active", "20 %"),
        ],
        expected: &[
            expect("after.a.brought", "0.1 g", 1e-12),
            expect("active_mass", "0.1 g", 1e-12),
            expect("active_fraction", "0.1 %", 1e-12),
            expect("ink_after", "100 g", 1e-12),
        ],
        source: practice("a 0.5 g dose of 20 % defoamer solution brings 0.1 g active"),
    },
    Case {
        title: "an ink that holds some, and two doses of different solutions",
        // 0.1 g + 0.1 g + 0.15 g in 100 g + 0.5 g + 0.5 g.
        inputs: &[
            ("ink_mass", "100 g"),
            ("already", "0.1 %"),
            ("doses.a.at", "10:20"),
            ("doses.a.dose", "0.5 g"),
            ("doses.a.active", "20 %"),
            ("doses.a.collapse_time", "40 s"),
            ("doses.b.at", "10:35"),
            ("doses.b.dose", "0.5 g"),
            ("doses.b.active", "30 %"),
            ("doses.b.collapse_time", "8 s"),
        ],
        expected: &[
            expect("after.a.active_mass", "0.2 g", 1e-12),
            expect("after.a.active_fraction", "0.19900497512437811 %", 1e-12),
            expect("active_mass", "0.35 g", 1e-12),
            expect("active_fraction", "0.34653465346534653 %", 1e-12),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "next dose for a target",
        // From 0.1 g in 100 g to 0.2 %: (0.2 − 0.1)/(0.2 − 0.002) g.
        inputs: &[
            ("find", "dose"),
            ("ink_mass", "99.5 g"),
            ("doses.a.dose", "0.5 g"),
            ("doses.a.active", "20 %"),
            ("target", "0.2 %"),
            ("next_active", "20 %"),
        ],
        expected: &[expect("next_dose", "0.50505050505050505 g", 1e-12)],
        source: MASS_BALANCE,
    },
    Case {
        title: "first dose, turned round",
        inputs: &[
            ("find", "dose"),
            ("ink_mass", "99.5 g"),
            ("target", "0.1 %"),
            ("next_active", "20 %"),
        ],
        expected: &[
            expect("next_dose", "0.5 g", 1e-12),
            expect("active_fraction", "0 %", 0.0),
        ],
        source: practice("a 0.5 g dose of 20 % defoamer solution brings 0.1 g active"),
    },
];

struct Defoamer;

impl Formula for Defoamer {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut ink = given[&INK_MASS];
        let mut active = given.or(&ALREADY, 0.0) * ink;
        let mut rows = Vec::new();
        for (id, dose) in given.rows(&DOSES) {
            let brought = dose[&DOSE] * dose[&DOSE_ACTIVE];
            ink += dose[&DOSE];
            active += brought;
            rows.push(FoundRow {
                id: id.into(),
                cells: vec![
                    (&BROUGHT, brought),
                    (&ACTIVE_SO_FAR, active),
                    (&FRACTION_SO_FAR, active / ink),
                ],
            });
        }
        let mut found = Found::new();
        found.set(&ACTIVE_FRACTION, active / ink);
        found.set(&ACTIVE_MASS, active);
        found.set(&INK_AFTER, ink);
        found.set_rows(&AFTER, rows);
        if given.choice(&FIND) == "dose" {
            found.set(&NEXT_DOSE, next_dose(given, ink, active)?);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            against_limit(given, found),
            target_above_limit(given),
            no_faster(given),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn next_dose<S: Scalar>(given: &Given<'_, S>, ink: S, active: S) -> Result<S, Problem> {
    let (target, solution) = (given[&TARGET], given[&NEXT_ACTIVE]);
    let missing = target * ink - active;
    if missing.value() < 0.0 {
        return Err(Problem::at(
            &TARGET,
            "target_passed",
            format!(
                "The ink already holds {} of active defoamer, more than the target of {}.",
                TARGET.say(active.value() / ink.value()),
                TARGET.say(target.value())
            ),
            "Enter a higher target, or thin the ink with ink that holds less.",
        ));
    }
    if solution.value() <= target.value() {
        return Err(Problem::at(
            &NEXT_ACTIVE,
            "solution_too_weak",
            format!(
                "The solution holds {} of active defoamer: no dose of it brings the ink to {}.",
                NEXT_ACTIVE.say(solution.value()),
                TARGET.say(target.value())
            ),
            "Enter a stronger solution, or a lower target.",
        ));
    }
    Ok(missing / (solution - target))
}

/// The ink against its limit, with the dose that went past it.
fn against_limit(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (limit, now) = (given.get(&LIMIT)?, found.get(&ACTIVE_FRACTION)?);
    let (said, most) = (ACTIVE_FRACTION.say(now), LIMIT.say(limit));
    if now <= limit {
        return Some(Check::in_range(
            "limit",
            format!("The ink holds {said} of active defoamer; the limit is {most}."),
            LIMIT_RULE,
        ));
    }
    let above = |row: &FoundRow<f64>| {
        row.get(&FRACTION_SO_FAR)
            .is_some_and(|so_far| so_far > limit)
    };
    let since = found
        .rows(&AFTER)
        .and_then(|rows| rows.iter().position(above))
        .map_or_else(String::new, |position| {
            format!(", since dose {}", position + 1)
        });
    Some(Check::warning(
        "limit",
        format!("The ink holds {said} of active defoamer, above the limit of {most}{since}."),
        LIMIT_RULE,
    ))
}

fn target_above_limit(given: &Given<'_, f64>) -> Option<Check> {
    let (limit, target) = (given.get(&LIMIT)?, given.get(&TARGET)?);
    (target > limit).then(|| {
        Check::warning(
            "target_above_limit",
            format!(
                "The target of {} is above the limit of {}.",
                TARGET.say(target),
                LIMIT.say(limit)
            ),
            LIMIT_RULE,
        )
    })
}

/// Whether the last dose still made foam collapse faster.
fn no_faster(given: &Given<'_, f64>) -> Option<Check> {
    let times: Vec<f64> = given
        .rows(&DOSES)
        .filter_map(|(_, row)| row.get(&COLLAPSE_TIME))
        .collect();
    let [.., before, last] = times.as_slice() else {
        return None;
    };
    // Where no foam is left, there is nothing to make faster.
    (*last > 0.0 && last >= before).then(|| {
        Check::note(
            "no_faster",
            format!(
                "Foam took {} to collapse, {} the time before: the last dose did not help. Let the ink rest, or try \
                 another defoamer.",
                COLLAPSE_TIME.say(*last),
                COLLAPSE_TIME.say(*before)
            ),
            practice("a defoamer that stops helping does not help by more of it"),
        )
    })
}
