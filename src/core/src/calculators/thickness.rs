//! # What it computes
//! How thick a printed film is after so many passes, or how many passes a target thickness takes: from the volume
//! of a drop and the pitch of the drops, or from measured pairs of passes and thickness. How far a single film may be
//! off, and how likely it falls inside a tolerance. With the density of the solid and the area, also the mass of the film
//! and the ink it takes; with what the drops predict, the share of the solid that arrives.
//!
//! # Formulas
//! From drops: wet thickness of one pass w = V_d/(p_x·p_y), thickness of one pass b = w·φ/(1 − P), pitch 25.4 mm over
//! the dots per inch. From pairs: straight line t = a + b·n by least squares, weights 1/u² where the thicknesses have
//! an uncertainty. Then t = a + b·n, n = (t − a)/b, areal mass t·(1 − P)·ρ, ink V = A·t·(1 − P)/φ. A single film has
//! u² = u²(a + b·n) + s²; it lies within ± k·u, and inside t₀ ± Δt with the probability of Student's t about a + b·n (of the
//! normal distribution where its degrees of freedom are not limited); no probability where the line does not hold or is
//! continued beyond the pairs. Against the drops: η = b/b_p, and
//! P′ = 1 − (1 − P)·b_p/b if all solid arrives.
//!
//! # Symbols and units
//! V_d drop volume (m³); p_x, p_y pitch (m) along and across the print direction, r_x, r_y the same as drops per
//! length (1/m); φ volume fraction of solid in the ink (1); P porosity of the fired film (1); n passes (1); a
//! thickness at no passes (m), b thickness of one pass (m), b_p the same as predicted; t thickness (m); s scatter of
//! single films (m); k coverage factor (1); ρ density of the solid (kg/m³); A film area (m²).
//!
//! # Valid range
//! Whole passes; solids above 0; porosity below 1; at least two pairs at different passes for a line with an
//! intercept, one for a line through the origin; a line that rises where passes are asked for.
//!
//! # Assumptions
//! Every drop lands in the film, all solid stays, all liquid goes, every pass adds the same. Passes are exact; the
//! uncertainties of the thicknesses are independent and are taken as stated, not scaled to the scatter. Without
//! stated uncertainties the scatter about the line takes their place. The k of a single film is that of every ±: 2, or
//! Student's t for 95.45 % and the effective degrees of freedom. A new film scatters as the pairs do; where their
//! uncertainties are stated, as the pairs on either side of it. Uncertainties from a few readings make poor weights: such
//! readings belong into rows of their own. What is to be expected of a single film takes the entries
//! as independent of each other, also where links make them hang together; the ± of the thickness does not. Passes to
//! print are settled at the numbers as entered and carry no uncertainty of their own.
//!
//! # Sources
//! Conservation of the volume of the solid; 1 in = 25.4 mm by definition; weighted least squares and the interval of a
//! new point about its line; the distribution of chi-squared has mean ν and variance 2ν.
//!
//! # Worked example
//! Drops of 10 pL at a pitch of 20 µm lie 25 µm thick when wet; with 1 % of solid by volume and no pores one pass
//! leaves 0.25 µm.

mod cases;
mod outlook;
mod pairs;
mod target;

use self::outlook::Outlook;
use self::pairs::Pairs;
use self::target::Plan;
use super::drops::{self, AREAL_MASS, DROPS_PER_AREA, PITCH_AS, WET_PER_PASS};
use super::*;
use crate::numerics::line::Line;
use crate::problem::{Check, Problem, Source, derived, practice};
use crate::quantity::{Kind, brief_text};
use crate::report::{Form, printed};
use crate::scalar::Scalar;
use crate::uncertainty::Estimate;

pub(super) use self::cases::CASES;

static FROM: Field = choice(
    "from",
    "Thickness",
    &[
        option("drops", "from drops"),
        option("pairs", "from measured pairs"),
    ],
);
static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("thickness", "thickness of given passes"),
        option("passes", "passes for a target thickness"),
    ],
);
static PASSES: Field = count("passes", "Passes").symbol("n");
static TARGET: Field = quantity("target", "Target thickness", Kind::Length)
    .symbol("t₀")
    .units(&["um", "nm"])
    .positive();
static TOLERANCE: Field = quantity("tolerance", "Tolerance of the target", Kind::Length)
    .symbol("Δt")
    .help("How far the thickness may lie above or below the target.")
    .units(&["um", "nm"])
    .not_negative()
    .optional();
// How sure a film is depends on their uncertainties.
static DROP_VOLUME: Field = drops::drop_volume().weighing();
static PITCH_X: Field = drops::pitch_x().weighing();
static PITCH_Y: Field = drops::pitch_y().weighing();
static RESOLUTION_X: Field = drops::resolution_x().weighing();
static RESOLUTION_Y: Field = drops::resolution_y().weighing();
static SOLIDS: Field = drops::solids().weighing();
static POROSITY: Field = drops::porosity().weighing();
static FILM_SCATTER: Field = quantity("film_scatter", "Scatter from film to film", Kind::Length)
    .symbol("s")
    .help("Standard deviation of films printed alike: for what one film may have.")
    .units(&["um", "nm"])
    .not_negative()
    .optional();
static PREDICTED: Field = quantity(
    "predicted_per_pass",
    "Predicted thickness of one pass",
    Kind::Length,
)
.symbol("b_p")
.help("From the drops, on another card, for the porosity entered below.")
.units(&["um", "nm"])
.positive()
.optional();
static MOST_IN_GROUP: Field = count("most_in_group", "Passes before drying, at most")
    .symbol("m")
    .help("To split the passes into groups that are dried in between.")
    .optional();
/// From measured pairs the thickness is known without it; only the mass needs it.
static POROSITY_FOR_MASS: Field = drops::porosity().optional();
static DENSITY: Field = quantity("density", "Density of the solid", Kind::Density)
    .symbol("ρ")
    .help("For the mass of the film: the density of the solid itself, without pores.")
    .units(&["g/cm3", "kg/m3"])
    .positive()
    .optional();
static AREA: Field = quantity("area", "Film area", Kind::Area)
    .symbol("A")
    .help("For the mass of the film and the ink it takes.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
static LINE: Field = choice(
    "line",
    "Straight line",
    &[
        option("origin", "through the origin"),
        option("intercept", "with an intercept"),
    ],
);
static PAIRS: Field = table(
    "pairs",
    "Measured pairs",
    &[&PAIR_LABEL, &PAIR_PASSES, &PAIR_THICKNESS],
);
static PAIR_LABEL: Field = text("label", "Sample").optional().measured();
static PAIR_PASSES: Field = count("passes", "Passes")
    .range(Range {
        from: 0.0,
        to: 1e6,
        above: false,
        below: false,
    })
    .measured();
static PAIR_THICKNESS: Field = quantity("thickness", "Measured thickness", Kind::Length)
    .units(&["um", "nm"])
    .weighing()
    .measured();

static THICKNESS: Field = quantity("thickness", "Film thickness", Kind::Length)
    .symbol("t")
    .units(&["um", "nm"]);
static PASSES_TO_PRINT: Field = count("passes_to_print", "Passes to print").symbol("N");
static PASSES_EXACT: Field = quantity(
    "passes_exact",
    "Passes for the target, unrounded",
    Kind::Ratio,
)
.symbol("n₀");
static NEIGHBOURS: Field = table(
    "neighbours",
    "Whole passes below and above",
    &[&PASSES, &THICKNESS, &WITHIN, &INSIDE],
);
static WITHIN: Field = quantity("within", "One film lies within ±", Kind::Length)
    .symbol("U_f")
    .help("About 95 % of films measured alike.")
    .units(&["um", "nm"]);
static INSIDE: Field = quantity("inside", "Probability inside the tolerance", Kind::Ratio)
    .symbol("p")
    .help("That one film falls between the limits.")
    .units(&["%"]);
static DRYINGS: Field = count("dryings", "Times to dry").symbol("N_g");
static GROUPS: Field = table("groups", "Groups of passes", &[&GROUP_TIMES, &GROUP_PASSES]);
static GROUP_TIMES: Field = count("times", "Groups");
static GROUP_PASSES: Field = count("group_passes", "Passes in each");
static TRANSFER: Field = quantity("transfer", "Against the prediction", Kind::Ratio)
    .symbol("η")
    .help("Share of the jetted solid that arrived, if the porosity is as entered.")
    .units(&["%"]);
static IMPLIED_POROSITY: Field = quantity("implied_porosity", "Implied porosity", Kind::Ratio)
    .symbol("P′")
    .help("If all the jetted solid arrived.")
    .units(&["%"]);
static DEVIATION: Field = quantity("deviation", "Scatter about the line", Kind::Length)
    .symbol("s")
    .help("Residual standard deviation.")
    .units(&["um", "nm"]);
static CORRELATION: Field = quantity(
    "correlation",
    "Correlation of intercept and one pass",
    Kind::Ratio,
)
.symbol("r")
.help("Times both standard uncertainties it is their covariance.");
static PER_PASS: Field = quantity("per_pass", "Thickness of one pass", Kind::Length)
    .symbol("b")
    .units(&["um", "nm"]);
static INTERCEPT: Field = quantity("intercept", "Thickness at no passes", Kind::Length)
    .symbol("a")
    .help("Zero for a line through the origin.")
    .units(&["um", "nm"]);
static FILM_MASS: Field = quantity("film_mass", "Mass of the film", Kind::Mass)
    .symbol("m")
    .units(&["mg", "ug"]);
static INK: Field = quantity("ink_volume", "Ink for the film", Kind::Volume)
    .symbol("V")
    .units(&["uL", "nL", "mL"]);
static MEASURED: Field =
    curve("measured", "Measured pairs", &PASSES, &THICKNESS).drawn(Drawn::MarksOver);
static RESIDUALS: Field =
    curve("residuals", "Pairs less the line", &PASSES, &RESIDUAL).drawn(Drawn::Marks);
static RESIDUAL: Field =
    quantity("residual", "Pair less the line", Kind::Length).units(&["um", "nm"]);
static LINE_LOW: Field = band("line_low", "Line, lower limit");
static LINE_HIGH: Field = band("line_high", "Line, upper limit");
static FILM_LOW: Field = band("film_low", "One film, lower limit").drawn(Drawn::OuterLimit);
static FILM_HIGH: Field = band("film_high", "One film, upper limit").drawn(Drawn::OuterLimit);
static PASSES_LINE: Field = curve(
    "passes_line",
    "Thickness against passes",
    &PASSES,
    &THICKNESS,
);

const fn band(id: &'static str, title: &'static str) -> Field {
    curve(id, title, &PASSES, &THICKNESS).drawn(Drawn::Limit)
}

const VOLUME_BALANCE: Source = derived("Conservation of the volume of the solid");

/// Thickness of a printed film from its passes, and the other way round.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "thickness",
    version: 2,
    stage: Stage::Layers,
    title: "Thickness from passes",
    purpose: "How thick so many passes print, or how many passes a target thickness takes.",
    inputs: &[
        show(&FROM),
        show(&FIND),
        show(&PASSES).when(&FIND, &["thickness"]),
        show(&TARGET).when(&FIND, &["passes"]),
        show(&TOLERANCE).when(&FIND, &["passes"]),
        show(&DROP_VOLUME).when(&FROM, &["drops"]),
        show(&PITCH_AS).when(&FROM, &["drops"]),
        show(&PITCH_X).when(&FROM, &["drops"]).when(&PITCH_AS, drops::LENGTH),
        show(&PITCH_Y).when(&FROM, &["drops"]).when(&PITCH_AS, drops::LENGTH),
        show(&RESOLUTION_X).when(&FROM, &["drops"]).when(&PITCH_AS, drops::RESOLUTION),
        show(&RESOLUTION_Y).when(&FROM, &["drops"]).when(&PITCH_AS, drops::RESOLUTION),
        show(&SOLIDS).when(&FROM, &["drops"]),
        show(&LINE).when(&FROM, &["pairs"]),
        show(&PAIRS).when(&FROM, &["pairs"]),
        show(&PREDICTED).when(&FROM, &["pairs"]),
        show(&POROSITY).when(&FROM, &["drops"]),
        show(&POROSITY_FOR_MASS).when(&FROM, &["pairs"]),
        show(&FILM_SCATTER).when(&FROM, &["drops"]),
        show(&MOST_IN_GROUP),
        show(&DENSITY),
        show(&AREA),
    ],
    outputs: &[
        show(&PASSES_TO_PRINT).when(&FIND, &["passes"]),
        show(&THICKNESS),
        show(&WITHIN),
        show(&INSIDE).when(&FIND, &["passes"]),
        show(&PASSES_EXACT).when(&FIND, &["passes"]),
        show(&NEIGHBOURS).when(&FIND, &["passes"]),
        show(&DRYINGS),
        show(&GROUPS),
        show(&PER_PASS),
        show(&INTERCEPT).when(&FROM, &["pairs"]),
        show(&CORRELATION).when(&FROM, &["pairs"]).when(&LINE, &["intercept"]),
        show(&DEVIATION).when(&FROM, &["pairs"]),
        show(&TRANSFER).when(&FROM, &["pairs"]),
        show(&IMPLIED_POROSITY).when(&FROM, &["pairs"]),
        show(&WET_PER_PASS).when(&FROM, &["drops"]),
        show(&PITCH_X).when(&FROM, &["drops"]).when(&PITCH_AS, drops::RESOLUTION),
        show(&PITCH_Y).when(&FROM, &["drops"]).when(&PITCH_AS, drops::RESOLUTION),
        show(&DROPS_PER_AREA).when(&FROM, &["drops"]),
        show(&AREAL_MASS),
        show(&FILM_MASS),
        show(&INK).when(&FROM, &["drops"]),
        show(&PASSES_LINE),
        show(&MEASURED).when(&FROM, &["pairs"]),
        show(&LINE_LOW),
        show(&LINE_HIGH),
        show(&FILM_LOW),
        show(&FILM_HIGH),
        show(&RESIDUALS).when(&FROM, &["pairs"]),
    ],
    working: &[
        formula("pitch_x = 1 / resolution_x")
            .when(&FROM, &["drops"])
            .when(&PITCH_AS, drops::RESOLUTION),
        formula("pitch_y = 1 / resolution_y")
            .when(&FROM, &["drops"])
            .when(&PITCH_AS, drops::RESOLUTION),
        formula("drops_per_area = 1 / (pitch_x * pitch_y)").when(&FROM, &["drops"]),
        formula("wet_per_pass = drop_volume / (pitch_x * pitch_y)").when(&FROM, &["drops"]),
        formula("per_pass = wet_per_pass * solids / (1 - porosity)").when(&FROM, &["drops"]),
        method(
            "Straight line through the measured pairs by least squares, each thickness weighted with 1/u² where its \
             standard uncertainty u is stated, all alike otherwise.",
        )
        .gives(&[&PER_PASS, &INTERCEPT, &CORRELATION, &MEASURED, &RESIDUALS])
        .when(&FROM, &["pairs"]),
        method("The scatter is the root of the squared residuals over the pairs less the parameters of the line.")
            .gives(&[&DEVIATION])
            .when(&FROM, &["pairs"]),
        formula("transfer = per_pass / predicted_per_pass").when(&FROM, &["pairs"]),
        formula("implied_porosity = 1 - (1 - porosity) * predicted_per_pass / per_pass")
            .when(&FROM, &["pairs"]),
        formula("passes_exact = target / per_pass")
            .when(&FROM, &["drops"])
            .when(&FIND, &["passes"]),
        formula("passes_exact = (target - intercept) / per_pass")
            .when(&FROM, &["pairs"])
            .when(&FIND, &["passes"]),
        method("The passes to print are the nearest whole number, at least one.")
            .when(&FIND, &["passes"]),
        formula("passes_to_print = max(1, round(passes_exact))").when(&FIND, &["passes"]),
        formula("thickness = passes * per_pass")
            .when(&FROM, &["drops"])
            .when(&FIND, &["thickness"]),
        formula("thickness = passes_to_print * per_pass")
            .when(&FROM, &["drops"])
            .when(&FIND, &["passes"]),
        formula("thickness = intercept + passes * per_pass")
            .when(&FROM, &["pairs"])
            .when(&FIND, &["thickness"]),
        formula("thickness = intercept + passes_to_print * per_pass")
            .when(&FROM, &["pairs"])
            .when(&FIND, &["passes"]),
        method("The whole passes below and above the unrounded number have the thickness that the formula above gives them.")
            .gives(&[&NEIGHBOURS])
            .when(&FIND, &["passes"]),
        method(
            "One film scatters about the line as the pairs do (or by their stated u): u² = u²(line) + s², and it lies \
             within ± k·u, with the k of every ±.",
        )
        .gives(&[&WITHIN, &LINE_LOW, &LINE_HIGH, &FILM_LOW, &FILM_HIGH])
        .when(&FROM, &["pairs"]),
        method(
            "One film has the relative uncertainties of drop volume, pitch, solids and packing 1 − P in squares, and \
             the scatter from film to film: it lies within ± k·u, with the k of every ±.",
        )
        .gives(&[&WITHIN, &LINE_LOW, &LINE_HIGH, &FILM_LOW, &FILM_HIGH])
        .when(&FROM, &["drops"]),
        method(
            "The probability inside the tolerance is that of Student's t about the expected thickness, with u of one \
             film and its effective degrees of freedom.",
        )
        .gives(&[&INSIDE])
        .when(&FIND, &["passes"]),
        method("The passes are split into as few groups as the most before drying allows, as even as they can be.")
            .gives(&[&DRYINGS, &GROUPS]),
        method("The line is drawn from no passes to the passes above, or to the most that were measured.")
            .gives(&[&PASSES_LINE]),
        formula("areal_mass = thickness * (1 - porosity) * density"),
        formula("film_mass = areal_mass * area"),
        formula("ink_volume = area * thickness * (1 - porosity) / solids").when(&FROM, &["drops"]),
    ],
    sources: &[
        VOLUME_BALANCE,
        derived("1 in = 25.4 mm by definition"),
        derived("Weighted least squares for a straight line; chi-squared has mean ν and variance 2ν"),
        derived("Interval of a new point about a fitted line: Student's t with the degrees of freedom of the scatter"),
    ],
    hazards: &[
        hazards::HOT_PLATE,
        hazards::DRY_FILMS,
        hazards::MIST_AT_PURGE,
        hazards::HEAD_VAPOUR,
    ],
    formula: both::<Thickness>(),
};

struct Thickness;

impl Formula for Thickness {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let growth = if given.choice(&FROM) == "pairs" {
            let growth = Pairs::read(given)?.line(given)?;
            found.set(&INTERCEPT, growth.intercept);
            growth
        } else {
            from_drops(given, &mut found)
        };
        found.set(&PER_PASS, growth.slope);

        let plan = Plan::of(given, &growth)?;
        let passes = if given.choice(&FIND) == "passes" {
            let whole = S::constant(plan.passes);
            found.set(&PASSES_TO_PRINT, whole);
            found.set(&PASSES_EXACT, target::passes_for_target(given, &growth)?);
            found.set_rows(&NEIGHBOURS, plan.rows(&growth));
            whole
        } else {
            given[&PASSES]
        };
        let thickness = growth.at(passes);
        found.set(&THICKNESS, thickness);
        foresee(&mut found, given, &plan);
        compare(&mut found, given, growth.slope);
        if given.wants_curves() {
            draw(&mut found, given, &growth, &plan)?;
        }

        let area = given.get(&AREA);
        // The share of the film that is solid; both outputs below need it.
        let solid = given
            .get(&POROSITY)
            .map(|porosity| thickness * one_minus(porosity));
        let areal_mass = solid
            .zip(given.get(&DENSITY))
            .map(|(solid, density)| solid * density);
        found.set_some(&AREAL_MASS, areal_mass);
        found.set_some(
            &FILM_MASS,
            areal_mass.zip(area).map(|(mass, area)| mass * area),
        );
        let ink = solid.zip(given.get(&SOLIDS)).zip(area);
        found.set_some(
            &INK,
            ink.map(|((solid, solids), area)| area * solid / solids),
        );
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        if given.choice(&FROM) != "pairs" {
            return Ok(None);
        }
        let pairs = Pairs::read(given)?;
        Ok(pairs.quality(&pairs.line(given)?).scatter())
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Some(slope) = found.get(&PER_PASS) else {
            return Vec::new();
        };
        let growth = Line {
            intercept: found.get(&INTERCEPT).unwrap_or(0.0),
            slope,
        };
        let Ok(plan) = Plan::of(given, &growth) else {
            return Vec::new();
        };
        let mut checks = Vec::new();
        checks.extend(target::instruction(given, &growth, &plan));
        checks.extend(target::tolerance(given, &growth, &plan));
        checks.extend(plan.said.iter().cloned());
        checks.extend(drops::usual_porosity(given.get(&POROSITY)));
        checks
    }

    fn judge(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
        let fitted = given.choice(&FROM) == "pairs" && given.choice(&LINE) == "intercept";
        let intercept = fitted.then(|| estimate(&INTERCEPT)).flatten();
        let origin = intercept.and_then(|a| pairs::origin(&a, true));
        let compared = estimate(&TRANSFER).and_then(|transfer| {
            let implied = estimate(&IMPLIED_POROSITY).map(|implied| implied.value);
            against_drops(given, &transfer, implied)
        });
        origin.into_iter().chain(compared).collect()
    }
}

fn one_minus<S: Scalar>(x: S) -> S {
    -x + 1.0
}

/// The growth of the film with the passes, from the drops.
fn from_drops<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> Line<S> {
    let [x, y] = drops::pitch(given, found);
    let wet = given[&DROP_VOLUME] / (x * y);
    found.set(&WET_PER_PASS, wet);
    found.set(&DROPS_PER_AREA, S::constant(1.0) / (x * y));
    Line {
        intercept: S::constant(0.0),
        slope: drops::fired(given, wet),
    }
}

/// What is to be expected of one film, and the groups of its passes.
fn foresee<S: Scalar>(found: &mut Found<S>, given: &Given<'_, S>, plan: &Plan) {
    let mut set = |field, number: Option<f64>| found.set_some(field, number.map(S::constant));
    set(&WITHIN, plan.chosen.within);
    set(&INSIDE, plan.chosen.inside);
    set(&DEVIATION, plan.deviation);
    set(
        &CORRELATION,
        plan.outlook.as_ref().and_then(Outlook::correlation),
    );
    if let Some(most) = given.get(&MOST_IN_GROUP) {
        let groups = target::groups(plan.passes, most.value());
        let dryings = groups.iter().map(|(times, _)| *times).sum();
        found.set(&DRYINGS, S::constant(dryings));
        let row = |((times, passes), id): (&(f64, f64), &str)| FoundRow {
            id: id.into(),
            cells: vec![
                (&GROUP_TIMES, S::constant(*times)),
                (&GROUP_PASSES, S::constant(*passes)),
            ],
        };
        let rows = groups.iter().zip(["first", "then"]).map(row).collect();
        found.set_rows(&GROUPS, rows);
    }
}

/// The measured growth against what the drops predict.
fn compare<S: Scalar>(found: &mut Found<S>, given: &Given<'_, S>, per_pass: S) {
    let Some(predicted) = given.get(&PREDICTED) else {
        return;
    };
    found.set(&TRANSFER, per_pass / predicted);
    let implied = given
        .get(&POROSITY)
        .map(|porosity| one_minus(one_minus(porosity) * predicted / per_pass))
        // A film thinner than its solid holds no pores: solid was lost.
        .filter(|implied| (0.0..1.0).contains(&implied.value()));
    found.set_some(&IMPLIED_POROSITY, implied);
}

/// Lines of the figure are drawn through so many points.
const DRAWN: u32 = 61;

/// The line from no passes to the last that matters, its limits and those of single films, and the pairs.
fn draw<S: Scalar>(
    found: &mut Found<S>,
    given: &Given<'_, S>,
    growth: &Line<S>,
    plan: &Plan,
) -> Result<(), Problem> {
    let line = Line {
        intercept: growth.intercept.value(),
        slope: growth.slope.value(),
    };
    let mut end = plan.passes;
    if given.choice(&FROM) == "pairs" {
        let pairs = Pairs::read(given)?.values();
        end = end.max(pairs.last());
        found.set_curve(&RESIDUALS, pairs.residuals(&line));
        found.set_curve(&MEASURED, pairs.points());
    }
    let along = |x: Vec<f64>, y: &dyn Fn(f64) -> f64| Points {
        y: x.iter().map(|n| y(*n)).collect(),
        x,
    };
    found.set_curve(&PASSES_LINE, along(vec![0.0, end], &|n| line.at(n)));
    if let Some(outlook) = &plan.outlook {
        let last = f64::from(DRAWN - 1);
        let x: Vec<f64> = (0..DRAWN).map(|i| end * f64::from(i) / last).collect();
        for (low, high, film) in [
            (&LINE_LOW, &LINE_HIGH, false),
            (&FILM_LOW, &FILM_HIGH, true),
        ] {
            let at = |n| {
                if film {
                    outlook.film(n)
                } else {
                    outlook.mean(n)
                }
            };
            let limit = |sign: f64| along(x.clone(), &|n| at(n).value + sign * at(n).expanded());
            found.set_curve(low, limit(-1.0));
            found.set_curve(high, limit(1.0));
        }
    }
    Ok(())
}

/// What the measured growth says about the solid that was jetted.
fn against_drops(
    given: &Given<'_, f64>,
    transfer: &Estimate,
    implied: Option<f64>,
) -> Option<Check> {
    let predicted = PREDICTED.say(given.get(&PREDICTED)?);
    let share = TRANSFER.say((1e3 * transfer.value).round() / 1e3);
    let mut sentence = format!("One pass is {share} of the {predicted} that the drops predict");
    let rule = derived("conservation of the volume of the solid");
    // What still shows as 100.0 % is no more than was jetted.
    if transfer.value - 1.0 > transfer.expanded().max(5e-4) {
        sentence += ": more than was jetted. Porosity, drop volume, pitch or solids is off.";
        return Some(Check::warning("against_drops", sentence, rule));
    }
    if let Some(porosity) = given.get(&POROSITY) {
        let assumed = POROSITY.say(porosity);
        sentence += &match implied {
            Some(implied) => format!(
                ": that share of the solid arrived if the porosity is {assumed}, or all of it with a porosity of {}",
                IMPLIED_POROSITY.say((1e3 * implied).round() / 1e3)
            ),
            None => format!(
                ": that share of the solid arrived if the porosity is {assumed}, and some was lost whatever the \
                 porosity"
            ),
        };
    }
    sentence.push('.');
    Some(Check::note("against_drops", sentence, rule))
}

/// "(6.1 ± 0.4) µm (k = 2)": with its expanded uncertainty.
fn with_factor(field: &Field, estimate: &Estimate) -> String {
    format!(
        "{} (k = {})",
        printed(field, estimate, None, Form::Expanded).text,
        brief_text(estimate.coverage_factor(), 3)
    )
}

/// "1 pass", "6 passes".
fn counted(passes: f64) -> String {
    if passes == 1.0 {
        "1 pass".into()
    } else {
        format!("{passes} passes")
    }
}

/// "1 pass lies", "6 passes lie".
fn counted_with(passes: f64, one: &str, many: &str) -> String {
    let verb = if passes == 1.0 { one } else { many };
    format!("{} {verb}", counted(passes))
}
