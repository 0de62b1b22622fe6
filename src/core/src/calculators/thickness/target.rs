//! Which whole numbers of passes come nearest to a target thickness, how likely a film of so many falls inside the
//! tolerance, and how the passes are split where the film is dried in between.

use std::sync::Arc;

use super::outlook::Outlook;
use super::*;
use crate::problem::Level;

/// A bound of the passes inside a tolerance that is met to the last digits counts as met.
const SAME: f64 = 1e-9;

/// What is settled at the numbers as entered, and stays so in derivatives and trials: how many passes are printed, and
/// what is to be expected of the film. It already holds the uncertainties, so it has none of its own.
pub(super) struct Plan {
    /// The passes to print, or those asked about.
    pub(super) passes: f64,
    pub(super) chosen: Forecast,
    /// The whole passes below and above the target; none where passes are given.
    neighbours: Vec<(&'static str, Forecast)>,
    /// None where nothing says how uncertain a film is.
    pub(super) outlook: Option<Outlook>,
    /// What is said of the line through measured pairs.
    pub(super) said: Vec<Check>,
    /// Why the line says nothing about how likely a film is.
    doubt: Option<&'static str>,
    /// Residual standard deviation of pairs without stated uncertainties.
    pub(super) deviation: Option<f64>,
}

/// What is to be expected of one film.
pub(super) struct Forecast {
    passes: f64,
    /// Half the width of the interval that holds about 95 % of single films.
    pub(super) within: Option<f64>,
    /// Probability to fall inside the tolerance.
    pub(super) inside: Option<f64>,
}

impl Plan {
    pub(super) fn of<S: Scalar>(
        given: &Given<'_, S>,
        growth: &Line<S>,
    ) -> Result<Arc<Plan>, Problem> {
        given.once(|| {
            let line = Line {
                intercept: growth.intercept.value(),
                slope: growth.slope.value(),
            };
            let (passes, rows) = if given.choice(&FIND) == "passes" {
                let exact = passes_for_target(given, growth)?.value();
                let below = (exact + SAME).floor();
                let rows = vec![("below", below), ("above", below + 1.0)];
                (exact.round().max(1.0), rows)
            } else {
                (given[&PASSES].value(), Vec::new())
            };
            let (outlook, deviation, said) = if given.choice(&FROM) == "pairs" {
                let pairs = Pairs::read(given)?.values();
                let quality = pairs.quality(&line);
                let outlook = Outlook::from_pairs(&pairs, line, &quality);
                let said = pairs.said(&quality, &line, passes);
                (outlook, quality.deviation(), said)
            } else {
                (Outlook::from_drops(given, line), None, Vec::new())
            };
            let doubt = doubt(&said);
            let forecast = |passes| Forecast::of(given, outlook.as_ref(), passes, doubt.is_none());
            let neighbours = rows.into_iter();
            Ok(Plan {
                passes,
                chosen: forecast(passes),
                neighbours: neighbours.map(|(id, n)| (id, forecast(n))).collect(),
                outlook,
                said,
                doubt,
                deviation,
            })
        })
    }

    /// The whole passes on either side, with what they give: always two rows.
    pub(super) fn rows<S: Scalar>(&self, growth: &Line<S>) -> Vec<FoundRow<S>> {
        let row = |(id, forecast): &(&'static str, Forecast)| {
            let passes = S::constant(forecast.passes);
            let mut cells = vec![(&PASSES, passes), (&THICKNESS, growth.at(passes))];
            let more = [(&WITHIN, forecast.within), (&INSIDE, forecast.inside)];
            cells.extend(more.into_iter().filter_map(|(field, number)| {
                let number = number?;
                Some((field, S::constant(number)))
            }));
            FoundRow {
                id: (*id).into(),
                cells,
            }
        };
        self.neighbours.iter().map(row).collect()
    }
}

impl Forecast {
    fn of<S: Scalar>(
        given: &Given<'_, S>,
        outlook: Option<&Outlook>,
        passes: f64,
        trusted: bool,
    ) -> Forecast {
        // No film is printed with no passes.
        let outlook = outlook.filter(|_| passes > 0.0);
        let wanted = given.get(&TARGET).zip(given.get(&TOLERANCE));
        let wanted = wanted.filter(|_| trusted);
        Forecast {
            passes,
            within: outlook.map(|outlook| outlook.film(passes).expanded()),
            inside: outlook.zip(wanted).map(|(outlook, (target, tolerance))| {
                outlook.inside(passes, target.value(), tolerance.value())
            }),
        }
    }
}

/// Why nothing follows from the line about how likely a film is, as what is said of it shows.
fn doubt(said: &[Check]) -> Option<&'static str> {
    let broken = ["chi_squared", "not_straight", "origin"];
    let broken = |check: &Check| check.level == Level::Warning && broken.contains(&check.code);
    if said.iter().any(broken) {
        Some("the line does not hold")
    } else {
        let continued = said.iter().any(|check| check.code == "extrapolated");
        continued.then_some("the line is continued beyond what was measured")
    }
}

/// The passes, not rounded, that reach the target.
pub(super) fn passes_for_target<S: Scalar>(
    given: &Given<'_, S>,
    growth: &Line<S>,
) -> Result<S, Problem> {
    let (target, start) = (given[&TARGET], growth.intercept.value());
    if growth.slope.value() <= 0.0 {
        return Err(Problem::at(
            &PAIRS,
            "no_growth",
            format!(
                "The target is not reachable: the line does not rise ({} a pass).",
                PER_PASS.say(growth.slope.value())
            ),
            "Look at the pairs again: more passes should be thicker.",
        ));
    }
    if target.value() <= start {
        return Err(Problem::at(
            &TARGET,
            "target_below_intercept",
            format!(
                "The target ({}) is not reachable: it is not above the thickness at no passes ({}).",
                TARGET.say(target.value()),
                INTERCEPT.say(start)
            ),
            "Enter a thicker target, or use a line through the origin.",
        ));
    }
    Ok(growth.inverse(target))
}

/// Passes in groups of at most so many before the film is dried, as even as they can be: how often, and how many.
/// Larger groups come first.
pub(super) fn groups(passes: f64, most: f64) -> Vec<(f64, f64)> {
    let count = (passes / most).ceil();
    let least = (passes / count).floor();
    let larger = passes - count * least;
    let all = [(larger, least + 1.0), (count - larger, least)];
    all.into_iter().filter(|(times, _)| *times > 0.0).collect()
}

/// Which whole numbers of passes fall inside the tolerance.
pub(super) fn tolerance(given: &Given<'_, f64>, growth: &Line<f64>, plan: &Plan) -> Option<Check> {
    let (target, tolerance) = (given.get(&TARGET)?, given.get(&TOLERANCE)?);
    let least = (growth.inverse(target - tolerance) - SAME).ceil().max(1.0);
    let most = (growth.inverse(target + tolerance) + SAME).floor();
    let wanted = wanted(target, tolerance);
    let fine = if plan.doubt.is_some() {
        Check::note
    } else {
        Check::in_range
    };
    let rule = derived("the line at whole numbers of passes");
    Some(if most < least {
        let step = PER_PASS.say(growth.slope);
        let why = if growth.slope > 2.0 * tolerance {
            format!(
                "one pass adds {step}, more than the {} between the limits",
                TOLERANCE.say(2.0 * tolerance)
            )
        } else {
            format!("one pass adds {step} and steps over it")
        };
        Check::warning(
            "no_whole_passes",
            format!(
                "Not reachable with whole passes: none falls inside {wanted}, since {why}; {} {}. Print thinner \
                 passes (a wider pitch, less solid), or allow more.",
                counted_with(plan.passes, "gives", "give"),
                THICKNESS.say(growth.at(plan.passes))
            ),
            rule,
        )
    } else if most == least {
        let sentence = format!(
            "Only {} inside {wanted}.",
            counted_with(least, "falls", "fall")
        );
        fine("whole_passes", sentence, rule)
    } else {
        let sentence = format!("{least} to {most} passes fall inside {wanted}.");
        fine("whole_passes", sentence, rule)
    })
}

/// What to print and what to expect, in one sentence.
pub(super) fn instruction(
    given: &Given<'_, f64>,
    growth: &Line<f64>,
    plan: &Plan,
) -> Option<Check> {
    let target = given.get(&TARGET)?;
    let mut print = format!("Print {}", counted(plan.passes));
    if let Some(most) = given.get(&MOST_IN_GROUP) {
        let groups = groups(plan.passes, most);
        let groups: Vec<_> = groups
            .iter()
            .map(|(times, passes)| {
                if *times == 1.0 {
                    passes.to_string()
                } else {
                    format!("{times} × {passes}")
                }
            })
            .collect();
        print += &format!(" ({}, dried after each group)", groups.join(", then "));
    }
    if let Some(doubt) = plan.doubt {
        return Some(Check::warning(
            "print",
            format!(
                "{print}, expect {}: {doubt} (see below), so no probability is given.",
                THICKNESS.say(growth.at(plan.passes))
            ),
            derived("the line at whole numbers of passes"),
        ));
    }
    let Some(outlook) = &plan.outlook else {
        return Some(Check::note(
            "print",
            format!(
                "{print}, expect {}. Nothing entered says how far a film may be off, so no probability is given.",
                THICKNESS.say(growth.at(plan.passes))
            ),
            derived("the line at whole numbers of passes"),
        ));
    };
    let film = outlook.film(plan.passes);
    let expected = format!("{print}, expect {}", with_factor(&THICKNESS, &film));
    let rule = derived("Student's t about the line, with the scatter of single films");
    let from_drops = given.choice(&FROM) == "drops";
    let alike = from_drops && given.get(&FILM_SCATTER).is_none();
    let assumed = if alike {
        " The scatter from film to film is not entered and counts as 0."
    } else {
        ""
    };
    Some(match plan.chosen.inside.zip(given.get(&TOLERANCE)) {
        None => Check::note("print", format!("{expected}.{assumed}"), rule),
        Some((inside, tolerance)) => {
            let sentence = format!(
                "{expected}, {} inside {}.{assumed}",
                percent(inside),
                wanted(target, tolerance)
            );
            if inside >= USUAL && !alike {
                Check::in_range("print", sentence, rule)
            } else {
                Check::note("print", sentence, rule)
            }
        }
    })
}

/// A film that falls inside the tolerance this often needs no note.
const USUAL: f64 = 0.95;

fn percent(probability: f64) -> String {
    if probability > 0.995 {
        "more than 99\u{202F}%".into()
    } else if probability < 0.005 {
        "less than 1\u{202F}%".into()
    } else {
        INSIDE.say((100.0 * probability).round() / 100.0)
    }
}

fn wanted(target: f64, tolerance: f64) -> String {
    format!("{} ± {}", TARGET.say(target), TOLERANCE.say(tolerance))
}
