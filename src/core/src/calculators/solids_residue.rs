//! # What it computes
//! The solids that an ink really holds, from what stays in weighed crucibles after drying and firing: by mass, and by
//! volume as it decides the thickness of a print; the organic share that burns out; what filters kept; and how that
//! compares with the recipe.
//!
//! # Formulas
//! w = (m_f − m₀)/(m₁ − m₀), w_d = (m_d − m₀)/(m₁ − m₀), means over the crucibles; φ = w·ρ/ρ_p; b = 1 − w/w_d;
//! L = Σ(m_after − m_before); l = L/(L + w_d·M), with w where nothing was dried.
//!
//! # Symbols and units
//! m₀ mass of a crucible (kg), m₁ with ink, m_d after drying, m_f after firing; w mass fraction of solids after firing,
//! w_d after drying (1); ρ density of the ink, ρ_p of the powder (kg/m³); φ volume fraction of powder (1); b share of
//! the dried solids that burns out (1); L solids on the filters (kg), M mass of ink that passed (kg), l share of the
//! solids lost (1); r fraction in the recipe (1); s standard deviation of the crucibles (1).
//!
//! # Valid range
//! At least one crucible, with ink in it and no less than itself after firing; drying weighed in all or in none.
//!
//! # Assumptions
//! Firing leaves the powder and nothing else, and does not change its mass: hydroxide, carbonate and salts do change.
//! Crucibles are dry, cool and at constant mass. From two crucibles on, the scatter between them adds the standard
//! uncertainty of the mean to that of the weighings.
//!
//! # Sources
//! Conservation of mass; standard uncertainty of a mean: JCGM 100:2008, 4.2.3.
//!
//! # Worked example
//! A crucible of 20.000 g with 5.000 g of ink weighs 21.100 g dried and 21.000 g fired: 20 % of solids, of the dried
//! ones 9.1 % organic.

use super::*;
use crate::numerics::sample::{mean, standard_deviation};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static CRUCIBLES: Field = table(
    "crucibles",
    "Crucibles",
    &[&LABEL, &EMPTY, &WITH_INK, &DRIED, &FIRED],
);
static LABEL: Field = text("label", "Name").optional().measured();
static EMPTY: Field = weighing("empty", "Empty");
static WITH_INK: Field = weighing("with_ink", "With ink");
static DRIED: Field = weighing("dried", "After drying")
    .help("In every crucible, or in none.")
    .optional();
static FIRED: Field = weighing("fired", "After firing");
static INK_DENSITY: Field = quantity("ink_density", "Density of the ink", Kind::Density)
    .symbol("ρ")
    .help("For the solids by volume.")
    .units(&["g/mL", "g/cm3", "kg/m3"])
    .positive()
    .optional();
static POWDER_DENSITY: Field = quantity("powder_density", "Density of the powder", Kind::Density)
    .symbol("ρ_p")
    .help("For the solids by volume: of the solid itself.")
    .units(&["g/cm3", "kg/m3"])
    .positive()
    .optional();
static RECIPE: Field = quantity("recipe", "Powder in the recipe", Kind::MassFraction)
    .symbol("r")
    .help("By mass of the ink, to compare.")
    .units(&["%", "mg/g"])
    .range(Range::FRACTION)
    .optional();
static FILTERED: Field = choice(
    "filtered",
    "Filters",
    &[
        option("none", "not weighed"),
        option("weighed", "weighed before and after"),
    ],
);
static FILTERS: Field = table("filters", "Filters", &[&FILTER, &BEFORE, &AFTER]);
static FILTER: Field = text("label", "Filter").optional().measured();
static BEFORE: Field = weighing("before", "Before, dry");
static AFTER: Field = weighing("after", "After, dried");
static FILTRATE: Field = quantity("filtrate", "Ink that passed", Kind::Mass)
    .symbol("M")
    .help("For the share that the filters kept.")
    .units(&["g", "mg", "kg"])
    .positive()
    .optional()
    .measured();

static SOLIDS: Field = quantity("solids", "Solids, by volume", Kind::VolumeFraction)
    .symbol("φ")
    .help("What the thickness of a print takes.")
    .units(&["%"]);
static SOLIDS_FRACTION: Field = quantity(
    "solids_fraction",
    "Solids after firing, by mass",
    Kind::MassFraction,
)
.symbol("w")
.units(&["%", "mg/g"]);
static DRY_FRACTION: Field = quantity(
    "dry_fraction",
    "Solids after drying, by mass",
    Kind::MassFraction,
)
.symbol("w_d")
.units(&["%", "mg/g"]);
static BURNT_OUT: Field = quantity("burnt_out", "Share of dried solids burnt out", Kind::Ratio)
    .symbol("b")
    .units(&["%"]);
static SPREAD: Field = quantity(
    "spread",
    "Standard deviation of crucibles",
    Kind::MassFraction,
)
.symbol("s")
.help("Of the solids after firing.")
.units(&["%", "mg/g"]);
static AGAINST_RECIPE: Field = quantity("against_recipe", "Against the recipe", Kind::Ratio)
    .symbol("Δ")
    .units(&["%"]);
static FILTER_LOSS: Field = quantity("filter_loss", "Solids on the filters", Kind::Mass)
    .symbol("L")
    .units(&["mg", "g"]);
static LOST_SHARE: Field = quantity("lost_share", "Share of solids lost", Kind::Ratio)
    .symbol("l")
    .units(&["%"]);
static RESIDUES: Field = table(
    "residues",
    "Each crucible",
    &[&RESIDUE_FIRED, &RESIDUE_DRIED],
);
static RESIDUE_FIRED: Field =
    quantity("fired", "After firing, by mass", Kind::MassFraction).units(&["%", "mg/g"]);
static RESIDUE_DRIED: Field =
    quantity("dried", "After drying, by mass", Kind::MassFraction).units(&["%", "mg/g"]);

const fn weighing(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Mass)
        .units(&["g", "mg"])
        .not_negative()
        .measured()
}

const MASS_BALANCE: Source = derived("conservation of mass");
/// Crucibles that agree to this share of their mean agree well.
const USUAL_SPREAD: f64 = 0.01;
/// A recipe is met when the residue is within this share of it.
const USUAL_OFF: f64 = 0.02;

/// The solids of an ink, weighed.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "solids_residue",
    version: 1,
    stage: Stage::Ink,
    title: "Solids by residue",
    purpose: "Solids that an ink really holds, from what stays after drying and firing.",
    inputs: &[
        show(&CRUCIBLES),
        show(&INK_DENSITY),
        show(&POWDER_DENSITY),
        show(&RECIPE),
        show(&FILTERED),
        show(&FILTERS).when(&FILTERED, &["weighed"]),
        show(&FILTRATE).when(&FILTERED, &["weighed"]),
    ],
    outputs: &[
        show(&SOLIDS_FRACTION),
        show(&SOLIDS),
        show(&DRY_FRACTION),
        show(&BURNT_OUT),
        show(&SPREAD),
        show(&AGAINST_RECIPE),
        show(&FILTER_LOSS).when(&FILTERED, &["weighed"]),
        show(&LOST_SHARE).when(&FILTERED, &["weighed"]),
        show(&RESIDUES),
    ],
    working: &[
        method("Each crucible: what is left in it over the ink that was in it.").gives(&[&RESIDUES]),
        method("Solids: mean of the crucibles, all alike.").gives(&[&SOLIDS_FRACTION, &DRY_FRACTION]),
        method("Standard deviation of the crucibles about their mean, divisor n − 1.").gives(&[&SPREAD]),
        formula("solids = solids_fraction * ink_density / powder_density"),
        formula("burnt_out = 1 - solids_fraction / dry_fraction"),
        formula("against_recipe = solids_fraction / recipe - 1"),
        method("Solids on the filters: what they gained, added up.")
            .gives(&[&FILTER_LOSS])
            .when(&FILTERED, &["weighed"]),
        method(
            "Share of solids lost: those on the filters over all, with the dried solids of the ink that passed, or the \
             fired ones where nothing was dried.",
        )
        .gives(&[&LOST_SHARE])
        .when(&FILTERED, &["weighed"]),
    ],
    sources: &[
        MASS_BALANCE,
        memory("JCGM 100:2008, 4.2.3: standard uncertainty of a mean"),
    ],
    hazards: &[
        Hazard {
            what: "Furnace and crucibles",
            caution: "Solvent and organics burn off: dry under extraction before firing, and never put wet ink into a \
                      hot furnace. Tongs, heat-proof gloves; let crucibles cool in a desiccator.",
        },
        hazards::NANOPOWDERS,
    ],
    formula: both::<SolidsResidue>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "one crucible",
        inputs: &[
            ("crucibles.a.empty", "20.000 g"),
            ("crucibles.a.with_ink", "25.000 g"),
            ("crucibles.a.dried", "21.100 g"),
            ("crucibles.a.fired", "21.000 g"),
            ("ink_density", "1.2 g/mL"),
            ("powder_density", "4 g/cm3"),
            ("recipe", "20.5 %"),
        ],
        expected: &[
            expect("solids_fraction", "20 %", 1e-12),
            expect("dry_fraction", "22 %", 1e-12),
            expect("burnt_out", "9.0909090909090909 %", 1e-12),
            expect("solids", "6 %", 1e-12),
            expect("against_recipe", "-2.4390243902439024 %", 1e-12),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "three small crucibles, fired only",
        // 19 %, 20 %, 21 %.
        inputs: &[
            ("crucibles.a.empty", "1 g"),
            ("crucibles.a.with_ink", "11 g"),
            ("crucibles.a.fired", "2.9 g"),
            ("crucibles.b.empty", "1.2 g"),
            ("crucibles.b.with_ink", "11.2 g"),
            ("crucibles.b.fired", "3.2 g"),
            ("crucibles.c.empty", "1.1 g"),
            ("crucibles.c.with_ink", "6.1 g"),
            ("crucibles.c.fired", "2.15 g"),
        ],
        expected: &[
            expect("residues.c.fired", "21 %", 1e-12),
            expect("solids_fraction", "20 %", 1e-12),
            expect("spread", "1 %", 1e-12),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "anatase in ethanol, by volume",
        inputs: &[
            ("crucibles.a.empty", "20 g"),
            ("crucibles.a.with_ink", "30 g"),
            ("crucibles.a.fired", "22 g"),
            ("ink_density", "0.9387699066447006 g/cm3"),
            ("powder_density", "3.9 g/cm3"),
        ],
        expected: &[expect("solids", "0.048142046494600035", 5e-11)],
        source: computed("mass balance with additive volumes, Python 3"),
    },
    Case {
        title: "two filters",
        // 0.5 g kept, 22 % of 97.5 g passed: 0.5 of 21.95 g.
        inputs: &[
            ("crucibles.a.empty", "20.000 g"),
            ("crucibles.a.with_ink", "25.000 g"),
            ("crucibles.a.dried", "21.100 g"),
            ("crucibles.a.fired", "21.000 g"),
            ("filtered", "weighed"),
            ("filters.a.label", "5 µm"),
            ("filters.a.before", "1.0 g"),
            ("filters.a.after", "1.4 g"),
            ("filters.b.label", "1 µm"),
            ("filters.b.before", "1.0 g"),
            ("filters.b.after", "1.1 g"),
            ("filtrate", "97.5 g"),
        ],
        expected: &[
            expect("filter_loss", "500 mg", 1e-9),
            expect("lost_share", "2.2779043280182232 %", 1e-12),
        ],
        source: MASS_BALANCE,
    },
];

/// Residues of the crucibles.
struct Residues<'a, S> {
    ids: Vec<&'a str>,
    fired: Vec<S>,
    /// Empty where nothing was dried.
    dried: Vec<S>,
}

impl<'a, S: Scalar> Residues<'a, S> {
    fn read(given: &Given<'a, S>) -> Result<Self, Problem> {
        let mut residues = Residues {
            ids: Vec::new(),
            fired: Vec::new(),
            dried: Vec::new(),
        };
        for (id, row) in given.rows(&CRUCIBLES) {
            let ink = row[&WITH_INK] - row[&EMPTY];
            if ink.value() <= 0.0 {
                return Err(problem(
                    id,
                    &WITH_INK,
                    "no_ink",
                    format!(
                        "With ink the crucible weighs {}, empty {}: there is no ink in it.",
                        WITH_INK.say(row[&WITH_INK].value()),
                        EMPTY.say(row[&EMPTY].value())
                    ),
                ));
            }
            let left = |after: &'static Field, weighed: S| {
                let residue = (weighed - row[&EMPTY]) / ink;
                if (0.0..=1.0).contains(&residue.value()) {
                    return Ok(residue);
                }
                let sentence = format!(
                    "{} the crucible weighs {}: that is not between empty ({}) and with ink ({}).",
                    after.title,
                    after.say(weighed.value()),
                    EMPTY.say(row[&EMPTY].value()),
                    WITH_INK.say(row[&WITH_INK].value())
                );
                Err(problem(id, after, "residue_impossible", sentence))
            };
            residues.ids.push(id);
            residues.fired.push(left(&FIRED, row[&FIRED])?);
            if let Some(weighed) = row.get(&DRIED) {
                residues.dried.push(left(&DRIED, weighed)?);
            }
        }
        if !residues.dried.is_empty() && residues.dried.len() != residues.fired.len() {
            return Err(Problem::at(
                &CRUCIBLES,
                "drying_incomplete",
                format!(
                    "{} of {} crucibles were weighed after drying: their means would be of different crucibles.",
                    residues.dried.len(),
                    residues.fired.len()
                ),
                "Weigh every crucible after drying, or clear that mass in all.",
            ));
        }
        Ok(residues)
    }

    fn rows(&self) -> Vec<FoundRow<S>> {
        let row = |(position, (id, fired)): (usize, (&&str, &S))| {
            let dried = self.dried.get(position);
            let cells: [Option<(&'static Field, S)>; 2] = [
                Some((&RESIDUE_FIRED, *fired)),
                dried.map(|dried| (&RESIDUE_DRIED, *dried)),
            ];
            FoundRow {
                id: (*id).into(),
                cells: cells.into_iter().flatten().collect(),
            }
        };
        self.ids
            .iter()
            .zip(&self.fired)
            .enumerate()
            .map(row)
            .collect()
    }
}

fn problem(row: &str, cell: &Field, code: &'static str, sentence: String) -> Problem {
    Problem::in_path(
        format!("{}.{row}.{}", CRUCIBLES.id, cell.id),
        code,
        sentence,
        "Look at the weighings of this crucible and their units.",
    )
}

struct SolidsResidue;

impl Formula for SolidsResidue {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let residues = Residues::read(given)?;
        let fired = mean(&residues.fired) + given.scatter(0);
        let dried = (!residues.dried.is_empty()).then(|| mean(&residues.dried) + given.scatter(1));
        let mut found = Found::new();
        found.set(&SOLIDS_FRACTION, fired);
        found.set_some(&DRY_FRACTION, dried);
        let residue = dried.filter(|dried| dried.value() > 0.0);
        found.set_some(&BURNT_OUT, residue.map(|dried| -(fired / dried) + 1.0));
        found.set_rows(&RESIDUES, residues.rows());
        if let (Some(ink), Some(powder)) = (given.get(&INK_DENSITY), given.get(&POWDER_DENSITY)) {
            found.set(&SOLIDS, solids_by_volume(fired, ink, powder)?);
        }
        let spread = (residues.fired.len() > 1).then(|| standard_deviation(&residues.fired));
        found.set_some(&SPREAD, spread);
        let recipe = given.get(&RECIPE);
        found.set_some(&AGAINST_RECIPE, recipe.map(|recipe| fired / recipe - 1.0));
        if given.choice(&FILTERED) == "weighed" {
            let loss = filter_loss(given)?;
            found.set(&FILTER_LOSS, loss);
            let passed = given
                .get(&FILTRATE)
                .map(|filtrate| filtrate * dried.unwrap_or(fired));
            found.set_some(&LOST_SHARE, passed.map(|passed| loss / (loss + passed)));
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let residues = Residues::read(given)?;
        let count = residues.fired.len();
        if count < 2 {
            return Ok(None);
        }
        let stages = [&residues.fired, &residues.dried];
        let weighed = stages.iter().filter(|stage| !stage.is_empty());
        let covariance = weighed.clone().map(|one| {
            let of_one = weighed.clone().map(|other| covariance_of_means(one, other));
            of_one.collect()
        });
        Ok(Some(Scatter {
            title: "Scatter of the crucibles about their mean",
            covariance: covariance.collect(),
            degrees_of_freedom: count as f64 - 1.0,
            linearised: false,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let crucibles = given.rows(&CRUCIBLES).count();
        [
            Some(agreement(found, crucibles)),
            gained(found),
            against_recipe(given, found),
            filters(found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn solids_by_volume<S: Scalar>(by_mass: S, ink: S, powder: S) -> Result<S, Problem> {
    let solids = by_mass * ink / powder;
    if solids.value() <= 1.0 {
        return Ok(solids);
    }
    Err(Problem::at(
        &INK_DENSITY,
        "denser_than_powder",
        format!(
            "With an ink of {} the powder of {} would fill more than all of it.",
            INK_DENSITY.say(ink.value()),
            POWDER_DENSITY.say(powder.value())
        ),
        "Look at the two densities and their units.",
    ))
}

/// Covariance of two means over the same crucibles.
fn covariance_of_means(one: &[f64], other: &[f64]) -> f64 {
    let count = one.len() as f64;
    let (first, second) = (mean(one), mean(other));
    let products = one
        .iter()
        .zip(other)
        .map(|(a, b)| (a - first) * (b - second));
    products.sum::<f64>() / (count - 1.0) / count
}

fn filter_loss<S: Scalar>(given: &Given<'_, S>) -> Result<S, Problem> {
    let mut loss = S::constant(0.0);
    for (_, filter) in given.rows(&FILTERS) {
        loss += filter[&AFTER] - filter[&BEFORE];
    }
    if loss.value() >= 0.0 {
        return Ok(loss);
    }
    Err(Problem::at(
        &FILTERS,
        "filters_lighter",
        format!(
            "The filters lost {}: they cannot hold less than nothing.",
            FILTER_LOSS.say(-loss.value())
        ),
        "Dry them before and after in the same way, and look at the weighings.",
    ))
}

fn agreement(found: &Found<f64>, crucibles: usize) -> Check {
    let rule = practice("three crucibles that agree within 1 %");
    let (Some(spread), Some(mean)) = (found.get(&SPREAD), found.get(&SOLIDS_FRACTION)) else {
        return Check::note(
            "one_crucible",
            "A single crucible does not show how well the residue repeats: weigh two or three.",
            rule,
        );
    };
    let said = format!(
        "The {crucibles} crucibles differ by {} (standard deviation)",
        SPREAD.say(spread)
    );
    if spread <= USUAL_SPREAD * mean {
        Check::in_range("crucibles_differ", format!("{said}."), rule)
    } else {
        Check::note(
            "crucibles_differ",
            format!("{said}: stir the ink before each sample, and dry to constant mass."),
            rule,
        )
    }
}

/// Firing that adds mass.
fn gained(found: &Found<f64>) -> Option<Check> {
    let burnt_out = found.get(&BURNT_OUT).filter(|share| *share < 0.0)?;
    Some(Check::warning(
        "gained_on_firing",
        format!(
            "The solids gained {}\u{202F}% on firing: they took up water or oxygen, or two weighings were exchanged.",
            value_text(-100.0 * burnt_out, 2)
        ),
        MASS_BALANCE,
    ))
}

fn against_recipe(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (off, recipe) = (found.get(&AGAINST_RECIPE)?, given.get(&RECIPE)?);
    let solids = SOLIDS_FRACTION.say(found.get(&SOLIDS_FRACTION)?);
    let recipe = RECIPE.say(recipe);
    let rule = practice("residue and recipe agree within 2 % where nothing was lost");
    if off.abs() <= USUAL_OFF {
        return Some(Check::in_range(
            "against_recipe",
            format!("The residue of {solids} agrees with the recipe, {recipe}."),
            rule,
        ));
    }
    let (side, causes) = if off < 0.0 {
        (
            "below",
            "Filters, settled powder, water in the powder and moist salts lower it",
        )
    } else {
        (
            "above",
            "Evaporated carrier, organics that did not burn and salts raise it",
        )
    };
    Some(Check::warning(
        "against_recipe",
        format!(
            "The residue of {solids} is {}\u{202F}% {side} the recipe, {recipe}. {causes}; thickness follows the residue.",
            value_text(100.0 * off.abs(), 2)
        ),
        rule,
    ))
}

fn filters(found: &Found<f64>) -> Option<Check> {
    let (loss, share) = (found.get(&FILTER_LOSS)?, found.get(&LOST_SHARE)?);
    let sentence = format!(
        "The filters kept {}, {}\u{202F}% of the solids",
        FILTER_LOSS.say(loss),
        value_text(100.0 * share, 2)
    );
    let rule =
        practice("a dispersion that is ready leaves less than 5 % of its solids on the filter");
    Some(if share > 0.05 {
        Check::note(
            "filter_loss",
            format!(
                "{sentence}: disperse it longer before filtering, and measure the residue afterwards."
            ),
            rule,
        )
    } else {
        Check::in_range("filter_loss", format!("{sentence}."), rule)
    })
}
