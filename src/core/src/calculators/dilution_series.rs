//! # What it computes
//! From a stock to a much weaker solution with the flasks and pipettes at hand: every plan of up to four steps, the best
//! by uncertainty, waste or number of steps first, and the chosen plan as steps to follow.
//!
//! # Formulas
//! cₛ = wₛ·ρₛ/M; c = cₛ·∏(V_p/V_f); F = cₛ/c; u_w² = Σ(u/V)² over all uses of ware, where it is another piece each time,
//! or Σ(k·u/V)² over the pieces, each used k times; W = Σ(V_f − V_p′) − what is needed of the last.
//!
//! # Symbols and units
//! cₛ, wₛ, ρₛ concentration, mass fraction and density of the stock (mol/m³, 1, kg/m³); M molar mass (kg/mol); c
//! concentration reached (mol/m³); F factor (1); V_p, V_f volumes of pipette and flask of a step, V_p′ of the next pipette
//! (m³); u standard uncertainty of a piece of ware (m³); u_w relative standard uncertainty from the ware (1); W solution
//! made and not used (m³).
//!
//! # Valid range
//! All quantities above zero; the target below the stock; up to 200 combinations of a pipette and a larger flask.
//!
//! # Assumptions
//! One filling of one pipette in each step, then the flask is filled up to its mark. A plan is a selection of steps, in the
//! order that wastes least. Waste and solution made are those of nominal volumes; without a volume needed, all of the last
//! flask counts as used. The plan is chosen at the values as entered and stays while their uncertainty is worked out. Other
//! pieces of one size have the nominal volume with an error of their own, taken as normal.
//!
//! # Sources
//! Conservation of the solute; JCGM 100:2008, 5.1 and 5.2 (uncertainty of products, inputs used again).
//!
//! # Worked example
//! 0.1 mol/L by three times 10 mL into 100 mL is 0.1 mmol/L. With limits of 0.02 mL and 0.1 mL the relative standard
//! uncertainty is 0.22 % with other ware each time and 0.39 % with the same (computed).

mod plans;

use self::plans::{MOST_STEPS, Piece, Plan, Rank, Step as PlanStep, Wanted, search};
use super::stock::{
    CONCENTRATION as BY_CONCENTRATION, LABEL, MOLAR_MASS, STOCK, STOCK_AS, STOCK_CONCENTRATION,
    STOCK_DENSITY, STOCK_FRACTION,
};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static TARGET: Field = quantity("target", "Target concentration", Kind::AmountConcentration)
    .symbol("c*")
    .units(&["mmol/L", "umol/L", "mol/L"])
    .positive();
static TOLERANCE: Field = quantity("tolerance", "Tolerance of the target", Kind::Ratio)
    .symbol("r")
    .help("How far the concentration reached may lie above or below the target.")
    .units(&["%"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: false,
        below: true,
    })
    .initially("1");
static PIPETTES: Field = table("pipettes", "Pipettes", &[&NOMINAL]);
static FLASKS: Field = table("flasks", "One-mark flasks", &[&NOMINAL]);
static NOMINAL: Field = quantity("volume", "Volume", Kind::Volume)
    .symbol("V")
    .help("Nominal, with ± as the limit of its class.")
    .units(&["mL", "uL", "L"])
    .positive()
    .weighing();
static PIECES: Field = choice(
    "pieces",
    "Ware that comes up again",
    &[
        option("same", "is the same piece, rinsed"),
        option("other", "is another piece of its size"),
    ],
);
static RANK: Field = choice(
    "rank",
    "Best by",
    &[
        option("uncertainty", "least uncertainty"),
        option("waste", "least waste"),
        option("steps", "fewest steps"),
    ],
);
static STEP_LIMIT: Field = count("step_limit", "Most steps")
    .range(Range {
        from: 1.0,
        to: MOST_STEPS as f64,
        above: false,
        below: false,
    })
    .initially("4");
static LEAST_VOLUME: Field = quantity("least_volume", "Least volume to pipette", Kind::Volume)
    .units(&["mL", "uL"])
    .positive()
    .optional();
static LARGEST_VOLUME: Field = quantity("largest_volume", "Largest flask to use", Kind::Volume)
    .units(&["mL", "L"])
    .positive()
    .optional();
static MOST_TOTAL: Field = quantity("most_total", "Most solution made in all", Kind::Volume)
    .units(&["mL", "L"])
    .positive()
    .optional();
static NEEDED: Field = quantity("needed", "Volume needed at the end", Kind::Volume)
    .units(&["mL", "L", "uL"])
    .positive()
    .optional();
static PLAN: Field = count("plan", "Plan to follow")
    .help("A number of the list of plans.")
    .initially("1");

static REACHED: Field = quantity(
    "reached",
    "Concentration reached",
    Kind::AmountConcentration,
)
.symbol("c")
.units(&["mmol/L", "umol/L", "mol/L", "nmol/L"]);
static FACTOR: Field = quantity("factor", "Dilution factor", Kind::Ratio).symbol("F");
static RELATIVE: Field = quantity(
    "relative",
    "Relative uncertainty from the ware",
    Kind::Ratio,
)
.symbol("u_w")
.help("Standard, without that of the stock.")
.units(&["%"]);
static WASTE: Field = quantity("waste", "Waste", Kind::Volume)
    .symbol("W")
    .help("Solution made and not used.")
    .units(&["mL", "L", "uL"]);
static TOTAL: Field = quantity("total", "Solution made in all", Kind::Volume).units(&["mL", "L"]);
static STEPS: Field = table("steps", "Steps", &[&STEP, &PIPETTE, &FLASK, &AFTER]);
static STEP: Field = count("step", "Step");
static PIPETTE: Field = quantity("pipette", "Pipette", Kind::Volume)
    .symbol("V_p")
    .help("Of the stock, then of the solution of the step before.")
    .units(&["mL", "uL"]);
static FLASK: Field = quantity("flask", "Flask", Kind::Volume)
    .symbol("V_f")
    .help("Filled up to its mark.")
    .units(&["mL", "L"]);
static AFTER: Field = quantity("after", "Concentration then", Kind::AmountConcentration)
    .units(&["mmol/L", "umol/L", "mol/L", "nmol/L"]);
static POSSIBLE: Field = count("possible", "Plans possible");
static PLANS: Field = table(
    "plans",
    "Best plans",
    &[&PLAN, &STEP_COUNT, &FACTOR, &REACHED, &RELATIVE, &WASTE],
);
static STEP_COUNT: Field = count("step_count", "Steps");

const CONSERVATION: Source = derived("conservation of the solute");
const PROPAGATION: Source = derived(
    "JCGM 100:2008, 5.1 and 5.2: relative uncertainties of a product, used again or independent",
);
const PYTHON: Source = computed("products of V_p/V_f, Python 3.11; the ware is invented");
/// Tolerances that are tried where that entered allows no plan.
const WIDER: [f64; 5] = [0.02, 0.05, 0.1, 0.2, 0.5];
/// Plans listed.
const LISTED: usize = 8;
/// Most combinations of a pipette and a larger flask: the search is exhaustive.
const MOST_COMBINATIONS: usize = 200;

/// A series of dilutions with the ware at hand.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "dilution_series",
    version: 1,
    stage: Stage::Stocks,
    title: "Dilution series",
    purpose: "The best ways to a much weaker solution in up to four steps, with the pipettes and flasks at hand.",
    inputs: &[
        show(&STOCK_AS),
        show(&STOCK).when(&STOCK_AS, BY_CONCENTRATION),
        show(&STOCK_FRACTION).when(&STOCK_AS, LABEL),
        show(&STOCK_DENSITY).when(&STOCK_AS, LABEL),
        show(&MOLAR_MASS).when(&STOCK_AS, LABEL),
        show(&TARGET),
        show(&TOLERANCE),
        show(&PIPETTES),
        show(&FLASKS),
        show(&PIECES),
        show(&RANK),
        show(&STEP_LIMIT),
        show(&LEAST_VOLUME),
        show(&LARGEST_VOLUME),
        show(&MOST_TOTAL),
        show(&NEEDED),
        show(&PLAN),
    ],
    outputs: &[
        show(&REACHED),
        show(&STEPS),
        show(&RELATIVE),
        show(&FACTOR),
        show(&WASTE),
        show(&TOTAL),
        show(&STOCK_CONCENTRATION).when(&STOCK_AS, LABEL),
        show(&PLANS),
        show(&POSSIBLE),
    ],
    working: &[
        formula("stock_concentration = stock_fraction * stock_density / molar_mass")
            .when(&STOCK_AS, LABEL),
        method(
            "Every selection of up to so many steps, each a pipette into a larger flask, that reaches the target within \
             its tolerance and the volumes allowed, in the order that wastes least; ranked as chosen, then by the other \
             two. Waste is what each flask holds beyond the next pipette, and the last beyond what is needed.",
        )
        .gives(&[&PLANS, &POSSIBLE, &WASTE, &TOTAL]),
        method("The concentration after each step is that before it times the pipette over the flask.")
            .gives(&[&STEPS, &REACHED]),
        method(
            "u_w² is the sum of (u/V)² over all pipettes and flasks of the plan; where a piece is used k times, of \
             (k·u/V)².",
        )
        .gives(&[&RELATIVE]),
        formula("factor = stock / reached").when(&STOCK_AS, BY_CONCENTRATION),
        formula("factor = stock_concentration / reached").when(&STOCK_AS, LABEL),
    ],
    sources: &[CONSERVATION, PROPAGATION],
    hazards: &[hazards::ACIDS_AND_BASES, hazards::SOLVENTS],
    formula: both::<DilutionSeries>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "three times 10 mL into 100 mL, other ware each time",
        inputs: THREE_TENTHS_OTHER,
        expected: &[
            expect("reached", "0.1 mmol/L", 1e-12),
            expect("factor", "1000", 1e-9),
            expect("relative", "0.22360679774997894 %", 1e-10),
            expect("possible", "1", 0.0),
            expect("steps.2.after", "1 mmol/L", 1e-12),
        ],
        source: computed("JCGM 100:2008, 5.2, limits of ISO 648 and ISO 1042, Python 3.11"),
    },
    Case {
        title: "three times 10 mL into 100 mL, the same pipette and flask",
        inputs: THREE_TENTHS_SAME,
        expected: &[
            expect("reached", "0.1 mmol/L", 1e-12),
            expect("relative", "0.38729833462074173 %", 1e-10),
        ],
        source: computed("JCGM 100:2008, 5.2, limits of ISO 648 and ISO 1042, Python 3.11"),
    },
    Case {
        title: "hydrochloric acid of 37 % to 0.1 mmol/L",
        // 0.37 · 1.184 / 36.458 is 12.016 mol/L. Without ±, fewest steps come first: of three steps to 120 160, the
        // nearest, 1/120 000, is 1 into 100, 5 into 100, 1 into 60.
        inputs: &[
            ("stock_as", "label"),
            ("stock_fraction", "37 %"),
            ("stock_density", "1.184 g/mL"),
            ("molar_mass", "36.458 g/mol"),
            ("target", "0.1 mmol/L"),
            ("tolerance", "0.5 %"),
            ("rank", "steps"),
            ("pipettes.a.volume", "1 mL"),
            ("pipettes.b.volume", "5 mL"),
            ("flasks.a.volume", "60 mL"),
            ("flasks.b.volume", "100 mL"),
        ],
        expected: &[
            expect("stock_concentration", "12.016018432168523 mol/L", 1e-9),
            expect("factor", "120000", 1e-6),
            expect("reached", "0.10013348693473769 mmol/L", 1e-10),
        ],
        source: PYTHON,
    },
    Case {
        title: "the least waste: a second plan of two steps",
        // A hundredfold by 1 into 100, or by 1 into 10 twice: 9 mL are left over of the first 10 mL.
        inputs: &[
            ("stock", "1 mol/L"),
            ("target", "10 mmol/L"),
            ("tolerance", "0"),
            ("rank", "waste"),
            ("pipettes.a.volume", "1 mL"),
            ("flasks.a.volume", "10 mL"),
            ("flasks.b.volume", "100 mL"),
            ("plan", "2"),
        ],
        expected: &[
            expect("possible", "2", 0.0),
            expect("plans.1.waste", "0 mL", 0.0),
            expect("plans.2.step_count", "2", 0.0),
            expect("waste", "9 mL", 1e-9),
            expect("total", "20 mL", 1e-9),
            expect("steps.1.pipette", "1 mL", 1e-12),
            expect("steps.1.after", "100 mmol/L", 1e-9),
            expect("reached", "10 mmol/L", 1e-9),
        ],
        source: PYTHON,
    },
];

const THREE_TENTHS_OTHER: &[(&str, &str)] = &[
    ("stock", "0.1 mol/L"),
    ("target", "0.1 mmol/L"),
    ("pieces", "other"),
    ("pipettes.a.volume", "10 ± 0.011547005383792516 mL"),
    ("flasks.a.volume", "100 ± 0.057735026918962574 mL"),
];
const THREE_TENTHS_SAME: &[(&str, &str)] = &[
    ("stock", "0.1 mol/L"),
    ("target", "0.1 mmol/L"),
    ("pieces", "same"),
    ("pipettes.a.volume", "10 ± 0.011547005383792516 mL"),
    ("flasks.a.volume", "100 ± 0.057735026918962574 mL"),
];

struct DilutionSeries;

impl Formula for DilutionSeries {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let series = given.once(|| Series::chosen(given))?;
        let mut found = Found::new();
        let stock = stock::concentration(given);
        found.set_some(&STOCK_CONCENTRATION, stock::by_label(given));
        let ware: Vec<S> = rows(given).map(|row| row[&NOMINAL]).collect();
        let mut listed = Vec::with_capacity(series.plans.len());
        for (number, plan) in series.plans.iter().enumerate() {
            let mut concentration = stock;
            let mut steps = Vec::new();
            for (step, (pipette, flask)) in series.volumes(given, &ware, plan).enumerate() {
                concentration = concentration * pipette / flask;
                if number == series.chosen {
                    steps.push(step_row(step, pipette, flask, concentration));
                }
            }
            let cells = vec![
                (&PLAN, S::constant((number + 1) as f64)),
                (&STEP_COUNT, S::constant(plan.steps.len() as f64)),
                (&FACTOR, stock / concentration),
                (&REACHED, concentration),
                (&RELATIVE, S::constant(plan.relative)),
                (&WASTE, S::constant(plan.waste)),
            ];
            listed.push(row(number, cells));
            if number == series.chosen {
                found.set(&REACHED, concentration);
                found.set_rows(&STEPS, steps);
                found.set(&RELATIVE, S::constant(plan.relative));
                found.set(&FACTOR, stock / concentration);
                found.set(&WASTE, S::constant(plan.waste));
                found.set(&TOTAL, S::constant(plan.total));
            }
        }
        found.set_rows(&PLANS, listed);
        found.set(&POSSIBLE, S::constant(series.possible as f64));
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let series = given.once(|| Series::chosen(given))?;
        let variance = |(place, _): &(usize, usize)| {
            let piece = series.ware.get(*place);
            piece.map_or(0.0, |piece| (piece.relative * piece.volume).squared())
        };
        let variances: Vec<f64> = series.others.iter().map(variance).collect();
        let count = variances.len();
        let row = |(place, variance): (usize, &f64)| {
            let mut row = vec![0.0; count];
            if let Some(own) = row.get_mut(place) {
                *own = *variance;
            }
            row
        };
        Ok((count > 0).then(|| Scatter {
            title: "Other pieces of the same size",
            covariance: variances.iter().enumerate().map(row).collect(),
            degrees_of_freedom: f64::INFINITY,
            linearised: false,
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = vec![water_first()];
        checks.extend(within_tolerance(given, found));
        if let Ok(series) = given.once(|| Series::chosen(given)) {
            checks.extend(series.used_again(given));
            checks.extend(series.without_uncertainty());
        }
        checks
    }
}

/// The plans found at the values as entered, which is the first run, and what they need.
#[derive(Debug)]
struct Series {
    /// Pipettes, then flasks.
    ware: Vec<Piece>,
    plans: Vec<Plan>,
    possible: usize,
    /// The plan to follow, from zero.
    chosen: usize,
    /// Ware that is used again and is another piece then: its place and which use it is, from zero. Their order is that of
    /// the scatter corrections.
    others: Vec<(usize, usize)>,
}

impl Series {
    fn chosen<S: Scalar>(given: &Given<'_, S>) -> Result<Series, Problem> {
        let target = given[&TARGET].value();
        let stock = stock::concentration(given).value();
        if target >= stock {
            return Err(target_above_stock(target, stock));
        }
        let ware: Vec<Piece> = rows(given)
            .map(|row| {
                let volume = row[&NOMINAL].value();
                Piece {
                    volume,
                    relative: row.uncertainty(&NOMINAL) / volume,
                }
            })
            .collect();
        let steps = combinations(given, &ware)?;
        let limit = |field: &Field, otherwise: f64| given.get(field).map_or(otherwise, S::value);
        let tolerance = given[&TOLERANCE].value();
        let factor_within = |tolerance: f64| {
            let strongest = target * (1.0 + tolerance);
            (stock / strongest, stock / (target * (1.0 - tolerance)))
        };
        let wanted = Wanted {
            factor: factor_within(tolerance),
            most_steps: given[&STEP_LIMIT].value().round() as usize,
            needed: limit(&NEEDED, 0.0),
            most_total: limit(&MOST_TOTAL, f64::INFINITY),
            rank: match given.choice(&RANK) {
                "waste" => Rank::Waste,
                "steps" => Rank::Steps,
                _ => Rank::Uncertainty,
            },
            same_piece: given.choice(&PIECES) == "same",
        };
        let plans = search(&ware, &steps, &wanted, LISTED);
        let chosen = given[&PLAN].value().round() as usize;
        if plans.best.is_empty() {
            let reached_within = |wider: &f64| {
                let factor = factor_within(*wider);
                let wanted = Wanted { factor, ..wanted };
                *wider > tolerance && !search(&ware, &steps, &wanted, 1).best.is_empty()
            };
            let enough = WIDER.into_iter().find(reached_within);
            return Err(no_plan(given, wanted.most_steps, enough));
        }
        let others = if wanted.same_piece {
            Vec::new()
        } else {
            used_again(&ware, &plans.best)
        };
        let chosen = chosen
            .checked_sub(1)
            .filter(|chosen| *chosen < plans.best.len())
            .ok_or_else(|| no_such_plan(plans.best.len()))?;
        Ok(Series {
            ware,
            plans: plans.best,
            possible: plans.count,
            chosen,
            others,
        })
    }

    /// Pipette and flask of each step. Ware used again is the same piece, or another one, whose volume is the nominal one
    /// with an error of its own.
    fn volumes<S: Scalar>(
        &self,
        given: &Given<'_, S>,
        ware: &[S],
        plan: &Plan,
    ) -> impl Iterator<Item = (S, S)> {
        let other_pieces = given.choice(&PIECES) == "other";
        let volume = move |step: usize, place: usize, of: fn(&PlanStep) -> usize| {
            let before = plan.steps.iter().take(step).filter(|s| of(s) == place);
            let uses = before.count();
            let nominal = self.ware.get(place).map_or(f64::NAN, |piece| piece.volume);
            if uses == 0 || !other_pieces {
                let entered = ware.get(place).copied();
                return entered.unwrap_or(S::constant(f64::NAN));
            }
            let own = self.others.iter().position(|other| *other == (place, uses));
            let error = own.map_or(S::constant(0.0), |number| given.scatter(number));
            error + nominal
        };
        plan.steps.iter().enumerate().map(move |(number, step)| {
            (
                volume(number, step.pipette, |step| step.pipette),
                volume(number, step.flask, |step| step.flask),
            )
        })
    }

    /// Ware that the chosen plan uses more than once.
    fn used_again(&self, given: &Given<'_, f64>) -> Option<Check> {
        let plan = self.plans.get(self.chosen)?;
        let again = used_again(&self.ware, core::slice::from_ref(plan));
        if again.is_empty() {
            return None;
        }
        let mut sizes: Vec<String> = Vec::new();
        for (place, _) in again {
            let size = self
                .ware
                .get(place)
                .map(|piece| NOMINAL.say(piece.volume))?;
            if !sizes.contains(&size) {
                sizes.push(size);
            }
        }
        let sizes = sizes.join(", ");
        let sentence = if given.choice(&PIECES) == "same" {
            format!(
                "Ware of {sizes} is used again and is off by the same amount each time: its share grows with the number of \
                 uses n, not with √n. Rinse it with the next solution."
            )
        } else {
            format!(
                "Ware of {sizes} is used again: take another piece each time, or its errors add up."
            )
        };
        Some(Check::note("used_again", sentence, PROPAGATION))
    }

    /// Ware without ± makes plans look alike.
    fn without_uncertainty(&self) -> Option<Check> {
        let bare = self.ware.iter().filter(|piece| piece.relative == 0.0);
        let count = bare.count();
        (count > 0).then(|| {
            Check::note(
                "ware_without_uncertainty",
                format!(
                    "{count} of {} pieces of ware are entered without ±: they count as exact when plans are ranked.",
                    self.ware.len()
                ),
                PROPAGATION,
            )
        })
    }
}

/// Uses of ware in these plans beyond the first: place and number of the use, each once. Exact ware needs none.
fn used_again(ware: &[Piece], plans: &[Plan]) -> Vec<(usize, usize)> {
    let mut again = Vec::new();
    for plan in plans {
        for (number, step) in plan.steps.iter().enumerate() {
            let before = plan.steps.get(..number).unwrap_or_default();
            let pipettes = before.iter().filter(|s| s.pipette == step.pipette);
            let flasks = before.iter().filter(|s| s.flask == step.flask);
            for use_of in [
                (step.pipette, pipettes.count()),
                (step.flask, flasks.count()),
            ] {
                let uncertain = ware.get(use_of.0).is_some_and(|piece| piece.relative > 0.0);
                if use_of.1 > 0 && uncertain && !again.contains(&use_of) {
                    again.push(use_of);
                }
            }
        }
    }
    again
}

/// The rows of ware: pipettes, then flasks.
fn rows<'a, S: Scalar>(given: &Given<'a, S>) -> impl Iterator<Item = Given<'a, S>> {
    let pipettes = given.rows(&PIPETTES);
    pipettes.chain(given.rows(&FLASKS)).map(|(_, row)| row)
}

/// The steps that the ware allows: each pipette into each larger flask, within the least and largest volume.
fn combinations<S: Scalar>(given: &Given<'_, S>, ware: &[Piece]) -> Result<Vec<PlanStep>, Problem> {
    let pipettes = given.rows(&PIPETTES).count();
    let least = given.get(&LEAST_VOLUME).map_or(0.0, S::value);
    let largest = given.get(&LARGEST_VOLUME).map_or(f64::INFINITY, S::value);
    let mut steps = Vec::new();
    let places = ware.iter().enumerate();
    for (pipette, from) in places.clone().take(pipettes) {
        for (flask, into) in places.clone().skip(pipettes) {
            let allowed = least <= from.volume && into.volume <= largest;
            if allowed && from.volume < into.volume {
                steps.push(PlanStep { pipette, flask });
            }
        }
    }
    if steps.is_empty() {
        return Err(Problem::at(
            &PIPETTES,
            "no_step",
            "No pipette is smaller than a flask within the least and largest volume.",
            "Enter smaller pipettes or larger flasks, or allow other volumes.",
        ));
    }
    if steps.len() > MOST_COMBINATIONS {
        return Err(Problem::at(
            &PIPETTES,
            "too_much_ware",
            format!(
                "The ware allows {} combinations of a pipette and a flask; all plans are tried for up to \
                 {MOST_COMBINATIONS}.",
                steps.len()
            ),
            "Leave out ware that is not to be used, or narrow the least and largest volume.",
        ));
    }
    Ok(steps)
}

fn row<S: Scalar>(number: usize, cells: Vec<(&'static Field, S)>) -> FoundRow<S> {
    FoundRow {
        id: (number + 1).to_string(),
        cells,
    }
}

fn step_row<S: Scalar>(number: usize, pipette: S, flask: S, after: S) -> FoundRow<S> {
    let cells = vec![
        (&STEP, S::constant((number + 1) as f64)),
        (&PIPETTE, pipette),
        (&FLASK, flask),
        (&AFTER, after),
    ];
    row(number, cells)
}

fn target_above_stock(target: f64, stock: f64) -> Problem {
    Problem::at(
        &TARGET,
        "target_above_stock",
        format!(
            "The target ({}) is not below the stock ({}): dilution cannot strengthen a solution.",
            TARGET.say(target),
            STOCK.say(stock)
        ),
        "Enter a lower target, or use a stronger stock.",
    )
}

fn no_plan<S: Scalar>(given: &Given<'_, S>, most_steps: usize, enough: Option<f64>) -> Problem {
    let allowed = given.get(&LARGEST_VOLUME).map_or(f64::INFINITY, S::value);
    let flasks = given.rows(&FLASKS).map(|(_, row)| row[&NOMINAL].value());
    let largest = flasks.filter(|flask| *flask <= allowed).reduce(f64::max);
    let needed = given.get(&NEEDED).map(S::value);
    let too_much = needed.filter(|needed| largest.is_none_or(|largest| largest < *needed));
    let hint = match (too_much, enough) {
        (Some(needed), _) => format!(
            "No flask holds {}, the volume needed at the end: enter or allow a larger one, or need less.",
            NEEDED.say(needed)
        ),
        (None, Some(wider)) => format!(
            "A tolerance of {} is enough; or allow more steps or more solution, or enter more ware.",
            TOLERANCE.say(wider)
        ),
        (None, None) => "Allow more steps or more solution, or enter more ware.".into(),
    };
    Problem::at(
        &TARGET,
        "no_plan",
        format!(
            "No series of up to {most_steps} steps with this ware comes within {} of {} in the volumes allowed.",
            TOLERANCE.say(given[&TOLERANCE].value()),
            TARGET.say(given[&TARGET].value())
        ),
        hint,
    )
}

fn no_such_plan(listed: usize) -> Problem {
    Problem::at(
        &PLAN,
        "no_such_plan",
        format!(
            "The list has {listed} plan{}.",
            if listed == 1 { "" } else { "s" }
        ),
        format!("Enter a number from 1 to {listed}."),
    )
}

fn water_first() -> Check {
    Check::note(
        "water_first",
        "Put some water or solvent into each flask first, then the portion (acid into water), let it cool, fill up to the \
         mark and mix before the next portion is taken. Make weak solutions shortly before they are used.",
        practice("acid into water; very weak solutions do not keep"),
    )
}

/// How far the chosen plan is from the target.
fn within_tolerance(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (reached, target) = (found.get(&REACHED)?, given.get(&TARGET)?);
    let unit = TARGET.unit_for(target)?;
    // In per cent, to four decimals.
    let deviation = (1e6 * (reached / target - 1.0).abs()).round() / 1e4;
    Some(Check::in_range(
        "within_tolerance",
        format!(
            "The plan reaches {}, {}\u{202F}% from the target of {}.",
            unit.say(reached, 5),
            value_text(deviation, 2),
            unit.say(target, 5)
        ),
        CONSERVATION,
    ))
}
