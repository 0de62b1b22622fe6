//! # What it computes
//! The pH of a strong or weak acid or base in water from its concentration, or the concentration that gives a pH; with it
//! the ions, their activity coefficient and the share that is dissociated.
//!
//! # Formulas
//! With x = [H⁺] of an acid or [OH⁻] of a base: x = K_w/(γ²·x) + c (strong) or x = K_w/(γ²·x) + c·K/(K + γ²·x) (weak),
//! K = K_a of an acid and K_w/K_a of a base; log₁₀ γ = −0.509·(√I/(1 + √I) − 0.3·I); I = x + Iₛ; pH = −log₁₀ a,
//! a = γ·[H⁺].
//!
//! # Symbols and units
//! c concentration of the solute, [H⁺], [OH⁻] of the ions, I ionic strength, Iₛ that of other salts (mol/m³, in the
//! formulas over 1 mol/L); K_w, K_a constants of water and of the acid, or of the acid that a base becomes (activities); γ
//! activity coefficient of single charges; a activity of H⁺.
//!
//! # Valid range
//! Water at the temperature of the constants; Davies coefficients at 25 °C, up to about 0.5 mol/L of ions. Without
//! coefficients, ions below about 1 mmol/L.
//!
//! # Assumptions
//! One monoprotic solute; a strong one is dissociated entirely. Uncharged molecules have the activity coefficient 1. No
//! carbon dioxide from the air, no glass, no powder takes part.
//!
//! # Sources
//! Balance of charges and constants of equilibrium. Davies equation: C. W. Davies, Ion Association, 1962, from memory.
//!
//! # Worked example
//! 0.0125 mol/L of potassium hydroxide has a pH of 12.10 (OpenStax Chemistry 2e, Example 14.6).

use super::*;
use crate::chemistry::acids::{
    BALANCE, DAVIES_LIMIT, DAVIES_SOURCE, Ions, STANDARD, Strength, WATER_SOURCE, Water,
};
use crate::problem::{Check, Problem, Source, computed, memory, practice, read};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("ph", "pH"),
        option("concentration", "concentration for a pH"),
    ],
);
static SOLUTE: Field = choice(
    "solute",
    "Solute",
    &[
        option("strong_acid", "strong acid"),
        option("weak_acid", "weak acid"),
        option("strong_base", "strong base"),
        option("weak_base", "weak base"),
    ],
);
static CONCENTRATION: Field = quantity("concentration", "Concentration", Kind::AmountConcentration)
    .symbol("c")
    .units(&["mmol/L", "mol/L", "umol/L"])
    .positive();
static PH: Field = quantity("ph", "pH", Kind::Ph)
    .symbol("pH")
    .within(-2.0, 16.0);
static PKA: Field = quantity("pka", "pKa", Kind::Ph)
    .symbol("pKₐ")
    .help("Of the acid; for a base, of the acid that it becomes.")
    .within(-5.0, 20.0);
static PKW: Field = quantity("pkw", "pKw of water", Kind::Ph)
    .symbol("pK_w")
    .help("14.00 at 25 °C, 14.17 at 20 °C (from memory).")
    .within(10.0, 16.0)
    .initially("14.00");
static ACTIVITY_BY: Field = choice(
    "activity_by",
    "Activity coefficients",
    &[option("davies", "Davies, at 25 °C"), option("none", "none")],
);
static SALTS: Field = quantity(
    "salts",
    "Ionic strength of other salts",
    Kind::AmountConcentration,
)
.symbol("Iₛ")
.units(&["mmol/L", "mol/L"])
.not_negative()
.optional();
static ACTIVITY: Field = quantity("activity", "Activity of H⁺", Kind::Ratio).symbol("a");
static HYDROGEN: Field = quantity("hydrogen", "Concentration of H⁺", Kind::AmountConcentration)
    .symbol("[H⁺]")
    .units(&["mmol/L", "umol/L", "mol/L", "nmol/L"]);
static HYDROXIDE: Field = quantity(
    "hydroxide",
    "Concentration of OH⁻",
    Kind::AmountConcentration,
)
.symbol("[OH⁻]")
.units(&["mmol/L", "umol/L", "mol/L", "nmol/L"]);
static COEFFICIENT: Field =
    quantity("coefficient", "Activity coefficient", Kind::Ratio).symbol("γ");
static IONIC_STRENGTH: Field = quantity(
    "ionic_strength",
    "Ionic strength",
    Kind::AmountConcentration,
)
.symbol("I")
.units(&["mmol/L", "mol/L", "umol/L"]);
static DISSOCIATED: Field = quantity("dissociated", "Share that is ions", Kind::Ratio)
    .symbol("α")
    .units(&["%"]);

const MPMATH: Source = computed("balance of charges, mpmath, 40 digits");
/// Ionic strength over 1 mol/L from which on activity coefficients show in the second decimal of a pH.
const IDEAL_LIMIT: f64 = 1e-3;
/// Concentration of an acid over 1 mol/L below which the air decides the pH: open water is as acid.
const AIR_ON_ACIDS: f64 = 2.5e-6;
/// Concentration of a base over 1 mol/L below which what it takes up from the air soon changes its pH.
const AIR_ON_BASES: f64 = 1e-3;
/// Concentration over 1 mol/L that few solutions reach.
const CROWDED: f64 = 20.0;

/// pH of an acid or base, and the other way round.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "acidity",
    version: 1,
    stage: Stage::Stocks,
    title: "pH",
    purpose: "The pH of an acid or base in water, or the concentration that gives a pH.",
    inputs: &[
        show(&FIND),
        show(&SOLUTE),
        show(&CONCENTRATION).when(&FIND, &["ph"]),
        show(&PH).when(&FIND, &["concentration"]),
        show(&PKA).when(&SOLUTE, &["weak_acid", "weak_base"]),
        show(&PKW),
        show(&ACTIVITY_BY),
        show(&SALTS).when(&ACTIVITY_BY, &["davies"]),
    ],
    outputs: &[
        show(&PH).when(&FIND, &["ph"]),
        show(&CONCENTRATION).when(&FIND, &["concentration"]),
        show(&ACTIVITY),
        show(&HYDROGEN),
        show(&HYDROXIDE),
        show(&COEFFICIENT),
        show(&IONIC_STRENGTH),
        show(&DISSOCIATED),
    ],
    working: &[
        method(
            "The concentration x of the ion that the solute brings (H⁺ or OH⁻) solves the balance of charges: \
             x = K_w/(γ²·x) + c of a strong solute, x = K_w/(γ²·x) + c·K/(K + γ²·x) of a weak one, with K = K_a of an \
             acid and K_w/K_a of a base, concentrations over 1 mol/L. The activity is a = γ·[H⁺], the ionic strength \
             x and that of other salts. Coefficients by Davies: log₁₀ γ = −0.509·(√I/(1 + √I) − 0.3·I); otherwise \
             γ = 1.",
        )
        .gives(&[&HYDROGEN, &HYDROXIDE, &COEFFICIENT, &IONIC_STRENGTH, &DISSOCIATED]),
        method("The same balance, solved for c.")
            .gives(&[&CONCENTRATION])
            .when(&FIND, &["concentration"]),
        method("The activity follows from the balance.").gives(&[&ACTIVITY]).when(&FIND, &["ph"]),
        formula("activity = 10 ^ (-ph)").when(&FIND, &["concentration"]),
        formula("ph = -log10(activity)").when(&FIND, &["ph"]),
    ],
    sources: &[BALANCE, DAVIES_SOURCE, WATER_SOURCE],
    hazards: &[hazards::ACIDS_AND_BASES, hazards::SODIUM_HYDROXIDE, hazards::AMINES],
    formula: both::<Acidity>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "potassium hydroxide",
        inputs: &[
            ("solute", "strong_base"),
            ("concentration", "0.0125 mol/L"),
            ("activity_by", "none"),
        ],
        expected: &[
            expect("ph", "12.10", 0.005),
            expect("ph", "12.096910013008056", 1e-8),
        ],
        source: read("OpenStax Chemistry 2e, Example 14.6; all digits computed"),
    },
    Case {
        title: "2.0 µmol/L of hydrogen ions: 5 nmol/L of them from the water",
        inputs: &[("concentration", "1.995 umol/L"), ("activity_by", "none")],
        expected: &[
            expect("hydrogen", "2.0 umol/L", 1e-9),
            expect("ph", "5.70", 0.005),
            expect("ph", "5.698970004336019", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 14.4, check; all digits computed"),
    },
    Case {
        title: "strong acid, 0.1 mol/L",
        inputs: &[("concentration", "0.1 mol/L")],
        expected: &[
            expect("hydrogen", "0.1000000000001637 mol/L", 1e-10),
            expect("coefficient", "0.7815939439467415", 1e-9),
            expect("ph", "1.1070188143355295", 1e-6),
        ],
        source: MPMATH,
    },
    Case {
        title: "strong acid, 10 nmol/L: not a pH of 8",
        inputs: &[("concentration", "10 nmol/L"), ("activity_by", "none")],
        expected: &[
            expect("hydrogen", "0.10512492197250393 umol/L", 1e-10),
            expect("ph", "6.978294313542888", 1e-6),
        ],
        source: MPMATH,
    },
    Case {
        title: "acetic acid, 0.1 mol/L",
        inputs: &[
            ("solute", "weak_acid"),
            ("concentration", "0.1 mol/L"),
            ("pka", "4.756961951313706"),
            ("activity_by", "none"),
        ],
        expected: &[
            expect("hydrogen", "1.3141545969506513 mmol/L", 1e-9),
            expect("ph", "2.8813535414328384", 1e-6),
        ],
        source: MPMATH,
    },
    Case {
        title: "concentration for a pH, the weak acid turned round",
        inputs: &[
            ("find", "concentration"),
            ("solute", "weak_acid"),
            ("ph", "2.8813535414328384"),
            ("pka", "4.756961951313706"),
            ("activity_by", "none"),
        ],
        expected: &[expect("concentration", "0.1 mol/L", 1e-9)],
        source: MPMATH,
    },
    Case {
        title: "concentration for a pH, the strong acid turned round",
        inputs: &[("find", "concentration"), ("ph", "1.1070188143355295")],
        expected: &[
            expect("concentration", "0.1 mol/L", 1e-9),
            expect("coefficient", "0.7815939439467415", 1e-9),
        ],
        source: MPMATH,
    },
    Case {
        title: "a weak base with the constant of a weak acid: the mirror image",
        inputs: &[
            ("solute", "weak_base"),
            ("concentration", "0.1 mol/L"),
            // K_b is 1.75e-5 where the acid that it becomes has pKa 14 − 4.757.
            ("pka", "9.243038048686294"),
            ("activity_by", "none"),
        ],
        expected: &[
            expect("hydroxide", "1.3141545969506513 mmol/L", 1e-9),
            expect("ph", "11.1186464585671616", 1e-6),
        ],
        source: MPMATH,
    },
];

struct Acidity;

impl Formula for Acidity {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let solute = given.choice(&SOLUTE);
        let acid = solute.ends_with("acid");
        let water = Water {
            product: power_of_ten(-given[&PKW]),
            salts: given.or(&SALTS, 0.0) / STANDARD,
            davies: given.choice(&ACTIVITY_BY) == "davies",
        };
        let strength = match solute {
            "weak_acid" => Strength::Weak(power_of_ten(-given[&PKA])),
            "weak_base" => Strength::Weak(power_of_ten(given[&PKA] - given[&PKW])),
            _ => Strength::Strong,
        };
        let mut found = Found::new();
        let ions = if given.choice(&FIND) == "concentration" {
            let activity = power_of_ten(-given[&PH]);
            let own = if acid {
                activity
            } else {
                water.product / activity
            };
            let ions = water.ions_at(own).map_err(|_| beyond_davies())?;
            let concentration = ions.solute(strength);
            if concentration.value() <= 0.0 {
                return Err(not_reached(given, acid));
            }
            found.set(&CONCENTRATION, concentration * STANDARD);
            found.set(&ACTIVITY, activity);
            ions
        } else {
            let concentration = given[&CONCENTRATION] / STANDARD;
            let ions = water
                .ions_of(concentration, strength)
                .map_err(|_| beyond_davies())?;
            let activity = ions.coefficient * hydrogen(&ions, acid);
            found.set(&PH, -activity.log10());
            found.set(&ACTIVITY, activity);
            ions
        };
        let hydroxide = hydrogen(&ions, !acid);
        found.set(&HYDROGEN, hydrogen(&ions, acid) * STANDARD);
        found.set(&HYDROXIDE, hydroxide * STANDARD);
        found.set(&COEFFICIENT, ions.coefficient);
        found.set(&IONIC_STRENGTH, ions.strength * STANDARD);
        found.set(&DISSOCIATED, ions.dissociated(strength));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            activity_limit(given, found),
            air(given, found),
            crowded(given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

pub(super) fn power_of_ten<S: Scalar>(exponent: S) -> S {
    (exponent * core::f64::consts::LN_10).exp()
}

/// H⁺ is the ion that an acid brings, and the other one of a base.
fn hydrogen<S: Scalar>(ions: &Ions<S>, acid: bool) -> S {
    if acid { ions.own } else { ions.other }
}

fn beyond_davies() -> Problem {
    Problem::at(
        &ACTIVITY_BY,
        "beyond_davies",
        format!(
            "The Davies equation serves up to about {DAVIES_LIMIT} mol/L of ions; these inputs lie beyond it."
        ),
        "Lower the concentration or the salts, or choose no activity coefficients.",
    )
}

fn not_reached<S: Scalar>(given: &Given<'_, S>, acid: bool) -> Problem {
    let (what, side) = if acid {
        ("An acid", "below")
    } else {
        ("A base", "above")
    };
    Problem::at(
        &PH,
        "not_reached",
        format!(
            "{what} gives a pH {side} that of pure water, {}; {} was entered.",
            PH.say(given[&PKW].value() / 2.0),
            PH.say(given[&PH].value()),
        ),
        format!("Enter a pH {side} that of pure water, or choose another solute."),
    )
}

/// Whether the ionic strength is one that the coefficients serve for.
fn activity_limit(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let strength = found.get(&IONIC_STRENGTH)?;
    let said = IONIC_STRENGTH.say(strength);
    let over = strength / STANDARD;
    if given.choice(&ACTIVITY_BY) == "none" {
        return (over > IDEAL_LIMIT).then(|| {
            Check::note(
                "no_activity",
                format!(
                    "At an ionic strength of {said} a pH electrode reads otherwise than −log₁₀ of the concentration: \
                     choose activity coefficients."
                ),
                DAVIES_SOURCE,
            )
        });
    }
    Some(davies_serves(strength))
}

/// Whether the Davies equation serves at an ionic strength.
pub(super) fn davies_serves(strength: f64) -> Check {
    let said = IONIC_STRENGTH.say(strength);
    if strength / STANDARD > DAVIES_LIMIT {
        Check::warning(
            "beyond_davies",
            format!(
                "An ionic strength of {said} is beyond the Davies equation: do not rely on the pH."
            ),
            DAVIES_SOURCE,
        )
    } else {
        Check::in_range(
            "davies",
            format!("The Davies equation serves at an ionic strength of {said}."),
            DAVIES_SOURCE,
        )
    }
}

/// Whether water and air outweigh what was dissolved.
fn air(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let concentration = concentration(given, found)?;
    let acid = given.choice(&SOLUTE).ends_with("acid");
    let limit = if acid { AIR_ON_ACIDS } else { AIR_ON_BASES };
    let said = CONCENTRATION.say(concentration);
    (concentration / STANDARD < limit).then(|| {
        let sentence = if acid {
            format!(
                "At {said} carbon dioxide from the air changes the pH more than the solute does: open water is at about \
                 5.6."
            )
        } else {
            format!(
                "A base of {said} takes up carbon dioxide if it stands open to air, and its pH falls. Use boiled water and \
                 keep it closed."
            )
        };
        Check::note(
            "air_decides",
            sentence,
            memory("pH of water in equilibrium with air, about 5.6"),
        )
    })
}

/// Whether any solution could be so strong.
fn crowded(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let concentration = concentration(given, found)?;
    (concentration / STANDARD > CROWDED).then(|| {
        Check::warning(
            "too_strong",
            format!(
                "{} is more than nearly any solute reaches in water: choose a stronger acid or base.",
                CONCENTRATION.say(concentration)
            ),
            practice("concentrated acids and bases are below about 20 mol/L"),
        )
    })
}

fn concentration(given: &Given<'_, f64>, found: &Found<f64>) -> Option<f64> {
    found.get(&CONCENTRATION).or(given.get(&CONCENTRATION))
}
