//! The line through measured pairs of passes and thickness, and what is said about it.

use super::*;
use crate::calculators::straight_line::{self, Quality, Words};
use crate::numerics::line::{self, LineError};

pub(super) const WORDS: Words = Words {
    points: "pairs",
    y: &PAIR_THICKNESS,
    one: "thickness",
    many: "thicknesses",
    bent: "the film does not grow along a straight line",
};

/// The measured pairs, column by column.
pub(super) struct Pairs<S> {
    passes: Vec<S>,
    thickness: Vec<S>,
    /// 1/u²; empty where no thickness has an uncertainty.
    weights: Vec<f64>,
    /// Whether the line has an intercept.
    free: bool,
}

impl<S: Scalar> Pairs<S> {
    pub(super) fn read(given: &Given<'_, S>) -> Result<Self, Problem> {
        let rows = || given.rows(&PAIRS).map(|(_, row)| row);
        let uncertainties: Vec<f64> = rows().map(|row| row.uncertainty(&PAIR_THICKNESS)).collect();
        Ok(Pairs {
            passes: rows().map(|row| row[&PAIR_PASSES]).collect(),
            thickness: rows().map(|row| row[&PAIR_THICKNESS]).collect(),
            weights: straight_line::weights(&PAIRS, &WORDS, &uncertainties)?,
            free: given.choice(&LINE) == "intercept",
        })
    }

    /// The fitted line, with the corrections of estimate zero that stand for the scatter of the points.
    pub(super) fn line(&self, given: &Given<'_, S>) -> Result<Line<S>, Problem> {
        let (x, y, w) = (&self.passes, &self.thickness, &self.weights);
        if self.free {
            let line = line::fit(x, y, w).map_err(|error| self.problem(error))?;
            return Ok(Line {
                intercept: line.intercept + given.scatter(0),
                slope: line.slope + given.scatter(1),
            });
        }
        let slope = line::fit_through_origin(x, y, w).map_err(|error| self.problem(error))?;
        Ok(Line {
            intercept: S::constant(0.0),
            slope: slope + given.scatter(0),
        })
    }

    fn problem(&self, error: LineError) -> Problem {
        let passes = self.passes.first().map_or(0.0, |first| first.value());
        let (code, sentence, hint) = match error {
            LineError::TooFewPoints { needed, given } => (
                "too_few_pairs",
                format!("A line with an intercept needs at least {needed} pairs; {given} entered."),
                "Enter more pairs, or use a line through the origin.",
            ),
            LineError::AllSameAbscissa => (
                "same_passes",
                format!(
                    "All pairs have the same number of passes ({passes}): they define no slope."
                ),
                "Enter pairs at two or more numbers of passes, or use a line through the origin.",
            ),
            LineError::AllZeroAbscissa => (
                "no_passes",
                "All pairs have 0 passes: they define no slope.".into(),
                "Enter at least one pair with 1 pass or more.",
            ),
            other => (
                "no_line",
                other.to_string(),
                "Look for a very large or very small number among the pairs.",
            ),
        };
        Problem::at(&PAIRS, code, sentence, hint)
    }
}

impl Pairs<f64> {
    /// How well the line describes the pairs.
    pub(super) fn quality(&self, line: &Line<f64>) -> Quality {
        let (x, y, w) = (&self.passes, &self.thickness, &self.weights);
        let (residual_sum, degrees_of_freedom, covariance) = if self.free {
            let fit = line::statistics(x, y, w, line);
            let covariance = fit.covariance.map(|row| row.to_vec()).to_vec();
            (fit.residual_sum, fit.degrees_of_freedom, covariance)
        } else {
            let fit = line::statistics_through_origin(x, y, w, line.slope);
            (
                fit.residual_sum,
                fit.degrees_of_freedom,
                vec![vec![fit.variance]],
            )
        };
        Quality::new(
            residual_sum,
            degrees_of_freedom,
            covariance,
            !self.weights.is_empty(),
        )
    }

    /// Whether the passes in question lie among the measured ones.
    pub(super) fn reach(&self, given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
        let passes = found.get(&PASSES_TO_PRINT).or(given.get(&PASSES))?;
        let origin = (!self.free).then_some(0.0);
        let anchors = || self.passes.iter().copied().chain(origin);
        let from = anchors().fold(f64::INFINITY, f64::min);
        let to = anchors().fold(f64::NEG_INFINITY, f64::max);
        (passes < from || passes > to).then(|| {
            Check::note(
                "extrapolated",
                format!(
                    "{} outside the measured range ({from} to {to}): the line is continued.",
                    counted(passes, "lies", "lie")
                ),
                practice("trust a fitted line only where it was measured"),
            )
        })
    }
}

/// Whether the intercept is compatible with zero.
pub(super) fn first_pass(fit: &Quality, line: &Line<f64>) -> Option<Check> {
    let [first, _] = fit.covariance.as_slice() else {
        return None;
    };
    let u = first[0].sqrt();
    if !u.is_finite() {
        return None;
    }
    let rule = practice("two standard uncertainties tell a value from zero");
    let intercept = format!("{} ± {}", INTERCEPT.say(line.intercept), INTERCEPT.say(u));
    Some(if Scalar::abs(line.intercept) <= 2.0 * u {
        Check::in_range(
            "intercept",
            format!("The thickness at no passes ({intercept}) is compatible with zero."),
            rule,
        )
    } else {
        Check::note(
            "intercept",
            format!(
                "The thickness at no passes ({intercept}) differs from zero by more than 2 u: the first pass is \
                 not like the others, or the zero of the measurement is off."
            ),
            rule,
        )
    })
}

/// Whether the film grows at all.
pub(super) fn growth(fit: &Quality, line: &Line<f64>) -> Option<Check> {
    let u = fit.slope_uncertainty();
    (u.is_finite() && line.slope <= 2.0 * u).then(|| {
        Check::warning(
            "no_clear_growth",
            format!(
                "The thickness of one pass ({} ± {}) is not clearly above zero.",
                PER_PASS.say(line.slope),
                PER_PASS.say(u)
            ),
            practice("two standard uncertainties tell a value from zero"),
        )
    })
}
