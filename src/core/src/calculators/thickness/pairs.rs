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
    straighten: "Look for a pair that is off, or use only the passes that you print.",
};

/// The measured pairs, column by column.
#[derive(Clone)]
pub(super) struct Pairs<S> {
    passes: Vec<S>,
    thickness: Vec<S>,
    /// How well each thickness is known; empty where none has an uncertainty.
    pub(super) known: Vec<Known>,
    /// 1/u²; empty as well.
    weights: Vec<f64>,
    /// Whether the line has an intercept.
    free: bool,
}

impl<S: Scalar> Pairs<S> {
    pub(super) fn read(given: &Given<'_, S>) -> Result<Self, Problem> {
        let rows = || given.rows(&PAIRS).map(|(_, row)| row);
        let uncertainties: Vec<f64> = rows().map(|row| row.uncertainty(&PAIR_THICKNESS)).collect();
        let weights = straight_line::weights(&PAIRS, &WORDS, &uncertainties)?;
        let known = rows().map(|row| row.known(&PAIR_THICKNESS));
        Ok(Pairs {
            known: known.filter(|known| known.uncertainty > 0.0).collect(),
            passes: rows().map(|row| row[&PAIR_PASSES]).collect(),
            thickness: rows().map(|row| row[&PAIR_THICKNESS]).collect(),
            weights,
            free: given.choice(&LINE) == "intercept",
        })
    }

    /// The fitted line, with the corrections of estimate zero that stand for the scatter of the points.
    pub(super) fn line(&self, given: &Given<'_, S>) -> Result<Line<S>, Problem> {
        let mut line = self.fit().map_err(|error| self.problem(error))?;
        if self.free {
            line.intercept += given.scatter(0);
            line.slope += given.scatter(1);
        } else {
            line.slope += given.scatter(0);
        }
        Ok(line)
    }

    fn fit(&self) -> Result<Line<S>, LineError> {
        let (x, y, w) = (&self.passes, &self.thickness, &self.weights);
        if self.free {
            line::fit(x, y, w)
        } else {
            let slope = line::fit_through_origin(x, y, w)?;
            let intercept = S::constant(0.0);
            Ok(Line { intercept, slope })
        }
    }

    /// The pairs as plain numbers.
    pub(super) fn values(self) -> Pairs<f64> {
        let plain = |column: Vec<S>| column.into_iter().map(Scalar::value).collect();
        Pairs {
            passes: plain(self.passes),
            thickness: plain(self.thickness),
            known: self.known,
            weights: self.weights,
            free: self.free,
        }
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

    /// How well the thicknesses are known by passes, ascending; of pairs with the same passes the least. Empty where
    /// nothing is stated.
    pub(super) fn stated(&self) -> Vec<(f64, Known)> {
        let known = self.known.iter().copied();
        let mut stated: Vec<_> = self.passes.iter().copied().zip(known).collect();
        // Larger uncertainties first, so that they are the ones kept.
        stated.sort_unstable_by(|(n0, one), (n1, other)| {
            let larger = other.uncertainty.total_cmp(&one.uncertainty);
            n0.total_cmp(n1).then(larger)
        });
        stated.dedup_by_key(|(passes, _)| *passes);
        stated
    }

    /// The pairs themselves, as points.
    pub(super) fn points(&self) -> Points {
        Points {
            x: self.passes.clone(),
            y: self.thickness.clone(),
        }
    }

    /// How far each thickness lies above the line.
    pub(super) fn residuals(&self, line: &Line<f64>) -> Points {
        let off = |(n, t): (&f64, &f64)| t - line.at(*n);
        Points {
            x: self.passes.clone(),
            y: self.passes.iter().zip(&self.thickness).map(off).collect(),
        }
    }

    /// What is said of the line, and of printing so many passes by it.
    pub(super) fn said(&self, quality: &Quality, line: &Line<f64>, passes: f64) -> Vec<Check> {
        let mut checks = vec![quality.spread(&WORDS)];
        checks.extend(self.bend());
        checks.extend(self.poor_weights());
        if !self.free {
            let intercept = self.free_intercept();
            checks.extend(intercept.and_then(|a| origin(&a, false)));
        }
        checks.extend(growth(quality, line));
        checks.extend(self.reach(passes));
        checks
    }

    /// Whether repeats show that the film does not grow along the line.
    fn bend(&self) -> Option<Check> {
        let (x, y) = (&self.passes, &self.thickness);
        let test = if !self.weights.is_empty() {
            None
        } else if self.free {
            line::lack_of_fit(x, y)
        } else {
            line::lack_of_fit_through_origin(x, y)
        };
        test.map(|test| straight_line::bend(&WORDS, &test))
    }

    /// Whether the stated uncertainties come from too few readings to weigh the pairs by.
    fn poor_weights(&self) -> Option<Check> {
        let freedoms = self.known.iter().map(|known| known.degrees_of_freedom);
        straight_line::poor_weights(&WORDS, freedoms)
    }

    /// The thickness at no passes of the line that has an intercept, whether or not the card's line has one.
    fn free_intercept(&self) -> Option<Estimate> {
        let free = Pairs {
            free: true,
            ..self.clone()
        };
        let line = free.fit().ok()?;
        let quality = free.quality(&line);
        Some(Estimate {
            value: line.intercept,
            uncertainty: quality.covariance.first()?.first()?.sqrt(),
            degrees_of_freedom: quality.freedom(),
        })
    }

    /// The last number of passes that was measured.
    pub(super) fn last(&self) -> f64 {
        self.passes.iter().copied().fold(0.0, f64::max)
    }

    /// Whether the passes in question lie among the measured ones.
    fn reach(&self, passes: f64) -> Option<Check> {
        let origin = (!self.free).then_some(0.0);
        let anchors = || self.passes.iter().copied().chain(origin);
        let from = anchors().fold(f64::INFINITY, f64::min);
        let to = anchors().fold(f64::NEG_INFINITY, f64::max);
        (passes < from || passes > to).then(|| {
            Check::note(
                "extrapolated",
                format!(
                    "{} outside the measured range ({from} to {to}): the line is continued.",
                    counted_with(passes, "lies", "lie")
                ),
                practice("trust a fitted line only where it was measured"),
            )
        })
    }
}

/// Whether a line through the origin holds: whether the thickness at no passes is compatible with zero. Where the card's
/// line has no intercept, what does not hold is a warning.
pub(super) fn origin(intercept: &Estimate, free: bool) -> Option<Check> {
    if !(intercept.uncertainty.is_finite() && intercept.uncertainty > 0.0) {
        return None;
    }
    let rule = derived("the intercept of the fitted line and its expanded uncertainty");
    let shown = with_factor(&INTERCEPT, intercept);
    Some(if Scalar::abs(intercept.value) <= intercept.expanded() {
        let sentence = format!(
            "A line through the origin holds: the thickness at no passes, fitted, is {shown}, compatible with zero."
        );
        Check::in_range("origin", sentence, rule)
    } else {
        let sentence = format!(
            "A line through the origin does not hold: the thickness at no passes, fitted, is {shown}. The first pass is \
             not like the others, or the zero of the measurement is off."
        );
        if free {
            Check::note("origin", sentence, rule)
        } else {
            Check::warning("origin", sentence, rule)
        }
    })
}

/// Whether the film grows at all.
fn growth(fit: &Quality, line: &Line<f64>) -> Option<Check> {
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
