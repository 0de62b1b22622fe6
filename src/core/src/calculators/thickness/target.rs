//! Which whole numbers of passes come nearest to a target thickness.

use super::*;

/// A bound of the passes inside a tolerance that is met to the last digits counts as met.
const SAME: f64 = 1e-9;

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
                "The line does not rise ({} a pass): no number of passes reaches a thickness.",
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
                "The target ({}) is not above the thickness at no passes ({}).",
                TARGET.say(target.value()),
                INTERCEPT.say(start)
            ),
            "Enter a thicker target, or use a line through the origin.",
        ));
    }
    Ok(growth.inverse(target))
}

/// The whole passes on either side, with their thicknesses: always two rows.
pub(super) fn neighbours<S: Scalar>(growth: &Line<S>, exact: f64) -> Vec<FoundRow<S>> {
    let below = (exact + SAME).floor();
    let row = |(id, passes): (&str, f64)| {
        let passes = S::constant(passes);
        FoundRow {
            id: id.into(),
            cells: vec![(&PASSES, passes), (&THICKNESS, growth.at(passes))],
        }
    };
    [("below", below), ("above", below + 1.0)].map(row).into()
}

/// Which whole numbers of passes fall inside the tolerance.
pub(super) fn tolerance(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (target, tolerance) = (given.get(&TARGET)?, given.get(&TOLERANCE)?);
    let growth = Line {
        intercept: found.get(&INTERCEPT).unwrap_or(0.0),
        slope: found.get(&PER_PASS)?,
    };
    let least = (growth.inverse(target - tolerance) - SAME).ceil().max(1.0);
    let most = (growth.inverse(target + tolerance) + SAME).floor();
    let wanted = format!("{} ± {}", TARGET.say(target), TARGET.say(tolerance));
    let rule = derived("the line at whole numbers of passes");
    Some(if most < least {
        let nearest = found.get(&PASSES_TO_PRINT)?;
        Check::warning(
            "no_whole_passes",
            format!(
                "No whole number of passes falls inside {wanted}; {} {}.",
                counted(nearest, "gives", "give"),
                THICKNESS.say(growth.at(nearest))
            ),
            rule,
        )
    } else if most == least {
        let sentence = format!("Only {} inside {wanted}.", counted(least, "falls", "fall"));
        Check::in_range("whole_passes", sentence, rule)
    } else {
        let sentence = format!("{least} to {most} passes fall inside {wanted}.");
        Check::in_range("whole_passes", sentence, rule)
    })
}
