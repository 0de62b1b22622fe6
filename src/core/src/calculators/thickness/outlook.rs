//! What is known of a film before it is printed: the line with its uncertainty, and how single films scatter about it.

use super::pairs::Pairs;
use super::*;
use crate::calculators::straight_line::Quality;
use crate::numerics::student::t_cdf;
use crate::uncertainty::effective_degrees_of_freedom;

/// A scatter below this share of the thickness counts as none.
const NONE: f64 = 1e-12;

/// The predictive distribution of a film at any number of passes: Student's t about the line.
pub(super) struct Outlook {
    line: Line<f64>,
    /// Of intercept and slope.
    covariance: [[f64; 2]; 2],
    /// Degrees of freedom behind the covariance.
    freedom: f64,
    /// How single films scatter.
    films: Films,
}

/// How single films scatter about the line.
pub(super) enum Films {
    /// With the variance that the scatter about the line has, and the degrees of freedom behind both.
    AsTheLine(f64),
    /// As was stated, by passes, ascending, each once.
    Stated(Vec<(f64, Known)>),
}

impl Outlook {
    /// From the drops: the uncertainties of what the thickness of one pass is made of, taken as independent, and the
    /// scatter from film to film where it is entered.
    pub(super) fn from_drops<S: Scalar>(given: &Given<'_, S>, line: Line<f64>) -> Option<Outlook> {
        let pitch = if given.choice(&PITCH_AS) == "resolution" {
            [&RESOLUTION_X, &RESOLUTION_Y]
        } else {
            [&PITCH_X, &PITCH_Y]
        };
        let part = |field: &Field, of: f64| {
            let known = given.known(field);
            (
                line.slope * known.uncertainty / of,
                known.degrees_of_freedom,
            )
        };
        let factors = [&DROP_VOLUME, &SOLIDS].into_iter().chain(pitch);
        let mut parts: Vec<_> = factors
            .map(|field| part(field, given[field].value()))
            .collect();
        parts.push(part(&POROSITY, one_minus(given[&POROSITY].value())));
        let variance: f64 = parts.iter().map(|(u, _)| u.squared()).sum();
        let film = Known {
            uncertainty: given.get(&FILM_SCATTER).map_or(0.0, Scalar::value),
            ..Known::EXACTLY
        };
        Outlook {
            line,
            covariance: [[0.0, 0.0], [0.0, variance]],
            freedom: effective_degrees_of_freedom(variance.sqrt(), parts.into_iter()),
            films: Films::Stated(vec![(0.0, film)]),
        }
        .known()
    }

    /// From measured pairs: a new film scatters as they do about the line; where their uncertainties are stated, it is
    /// measured as well as the pairs on either side.
    pub(super) fn from_pairs(
        pairs: &Pairs<f64>,
        line: Line<f64>,
        quality: &Quality,
    ) -> Option<Outlook> {
        let (films, freedom) = if pairs.known.is_empty() {
            (Films::AsTheLine(quality.reduced), quality.freedom())
        } else {
            // Of as many parts, all alike, the degrees of freedom add.
            let freedom = pairs
                .known
                .iter()
                .map(|known| known.degrees_of_freedom)
                .sum();
            (Films::Stated(pairs.stated()), freedom)
        };
        let covariance = match quality.covariance.as_slice() {
            [first, second] => [
                [*first.first()?, *first.get(1)?],
                [*second.first()?, *second.get(1)?],
            ],
            [only] => [[0.0, 0.0], [0.0, *only.first()?]],
            _ => return None,
        };
        Outlook {
            line,
            covariance,
            freedom,
            films,
        }
        .known()
    }

    /// Nothing, where nothing says how uncertain a film is.
    fn known(self) -> Option<Outlook> {
        let Estimate {
            value, uncertainty, ..
        } = self.film(1.0);
        // What is no more than rounding of the arithmetic is no scatter.
        let least = NONE * Scalar::abs(value);
        (uncertainty.is_finite() && uncertainty > least).then_some(self)
    }

    /// The line itself: the mean of many films.
    pub(super) fn mean(&self, passes: f64) -> Estimate {
        let [[a, both], [_, b]] = self.covariance;
        let variance = a + passes * (2.0 * both + passes * b);
        Estimate {
            value: self.line.at(passes),
            // Where all but nothing is left of terms that cancel, not the root of less.
            uncertainty: if variance < 0.0 { 0.0 } else { variance.sqrt() },
            degrees_of_freedom: self.freedom,
        }
    }

    /// One new film.
    pub(super) fn film(&self, passes: f64) -> Estimate {
        let mean = self.mean(passes);
        let (variance, freedom) = match &self.films {
            Films::AsTheLine(variance) => (*variance, None),
            Films::Stated(stated) => {
                let (variance, freedom) = between(stated, passes);
                (variance, Some(freedom))
            }
        };
        let uncertainty = (mean.uncertainty.squared() + variance).sqrt();
        let separate = |freedom| {
            let parts = [(mean.uncertainty, self.freedom), (variance.sqrt(), freedom)];
            effective_degrees_of_freedom(uncertainty, parts.into_iter())
        };
        Estimate {
            uncertainty,
            degrees_of_freedom: freedom.map_or(self.freedom, separate),
            ..mean
        }
    }

    /// Probability that one new film is as thick as this, give or take the tolerance.
    pub(super) fn inside(&self, passes: f64, target: f64, tolerance: f64) -> f64 {
        let film = self.film(passes);
        let below = |t: f64| t_cdf((t - film.value) / film.uncertainty, film.degrees_of_freedom);
        below(target + tolerance) - below(target - tolerance)
    }

    /// How much intercept and slope hang together; none where one of them is fixed.
    pub(super) fn correlation(&self) -> Option<f64> {
        let [[a, both], [_, b]] = self.covariance;
        (a > 0.0 && b > 0.0).then(|| both / (a * b).sqrt())
    }
}

/// Variance of a film, and the degrees of freedom behind it: between measured passes the variance on a straight line and
/// the fewer degrees of freedom of both, beyond them as at the last.
fn between(stated: &[(f64, Known)], passes: f64) -> (f64, f64) {
    let after = stated.partition_point(|(measured, _)| *measured < passes);
    let before = after.checked_sub(1).and_then(|i| stated.get(i));
    let plain = |known: &Known| (known.uncertainty.squared(), known.degrees_of_freedom);
    match (before, stated.get(after)) {
        (Some((x0, one)), Some((x1, other))) => {
            let ((v0, f0), (v1, f1)) = (plain(one), plain(other));
            (v0 + (v1 - v0) * (passes - x0) / (x1 - x0), f0.min(f1))
        }
        (Some((_, only)), None) | (None, Some((_, only))) => plain(only),
        (None, None) => (0.0, f64::INFINITY),
    }
}
