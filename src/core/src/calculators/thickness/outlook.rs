//! What is known of a film before it is printed: the line with its uncertainty, and how single films scatter about it.

use super::pairs::Pairs;
use super::*;
use crate::calculators::straight_line::Quality;
use crate::numerics::student::t_cdf;

/// The predictive distribution of a film at any number of passes: Student's t about the line.
pub(super) struct Outlook {
    line: Line<f64>,
    /// Of intercept and slope.
    covariance: [[f64; 2]; 2],
    /// Variance of a single film about the line, by passes, ascending, each once.
    films: Vec<(f64, f64)>,
    degrees_of_freedom: f64,
}

impl Outlook {
    /// From the drops: the uncertainties of what the thickness of one pass is made of, taken as independent, and the
    /// scatter from film to film where it is entered.
    pub(super) fn from_drops<S: Scalar>(given: &Given<'_, S>, line: Line<f64>) -> Option<Outlook> {
        let relative = |field: &Field| {
            let value = given.get(field).map_or(f64::INFINITY, Scalar::value);
            (given.uncertainty(field) / value).squared()
        };
        let pitch = if given.choice(&PITCH_AS) == "resolution" {
            [&RESOLUTION_X, &RESOLUTION_Y]
        } else {
            [&PITCH_X, &PITCH_Y]
        };
        let packing =
            (given.uncertainty(&POROSITY) / one_minus(given[&POROSITY].value())).squared();
        let [x, y] = pitch.map(relative);
        let share = relative(&DROP_VOLUME) + x + y + relative(&SOLIDS) + packing;
        let film = given.get(&FILM_SCATTER).map_or(0.0, Scalar::value);
        Outlook {
            line,
            covariance: [[0.0, 0.0], [0.0, line.slope.squared() * share]],
            films: vec![(0.0, film.squared())],
            degrees_of_freedom: f64::INFINITY,
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
        let mut films = pairs.stated_variances();
        if films.is_empty() {
            films.push((0.0, quality.reduced));
        }
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
            films,
            degrees_of_freedom: quality.freedom(),
        }
        .known()
    }

    /// Nothing, where nothing says how uncertain a film is.
    fn known(self) -> Option<Outlook> {
        let u = self.film(1.0).uncertainty;
        (u.is_finite() && u > 0.0).then_some(self)
    }

    /// The line itself: the mean of many films.
    pub(super) fn mean(&self, passes: f64) -> Estimate {
        self.estimate(passes, self.of_line(passes))
    }

    /// One new film.
    pub(super) fn film(&self, passes: f64) -> Estimate {
        self.estimate(passes, self.of_line(passes) + self.of_film(passes))
    }

    /// Probability that one new film is as thick as this, give or take the tolerance.
    pub(super) fn inside(&self, passes: f64, target: f64, tolerance: f64) -> f64 {
        let film = self.film(passes);
        let below = |t: f64| t_cdf((t - film.value) / film.uncertainty, self.degrees_of_freedom);
        below(target + tolerance) - below(target - tolerance)
    }

    /// How much intercept and slope hang together; none where one of them is fixed.
    pub(super) fn correlation(&self) -> Option<f64> {
        let [[a, both], [_, b]] = self.covariance;
        (a > 0.0 && b > 0.0).then(|| both / (a * b).sqrt())
    }

    fn estimate(&self, passes: f64, variance: f64) -> Estimate {
        Estimate {
            value: self.line.at(passes),
            uncertainty: variance.sqrt(),
            degrees_of_freedom: self.degrees_of_freedom,
        }
    }

    fn of_line(&self, passes: f64) -> f64 {
        let [[a, both], [_, b]] = self.covariance;
        (a + passes * (2.0 * both + passes * b)).max(0.0)
    }

    /// Between measured passes on a straight line, beyond them as at the last.
    fn of_film(&self, passes: f64) -> f64 {
        let after = self
            .films
            .partition_point(|(measured, _)| *measured < passes);
        let before = after.checked_sub(1).and_then(|i| self.films.get(i));
        match (before, self.films.get(after)) {
            (Some((x0, v0)), Some((x1, v1))) => v0 + (v1 - v0) * (passes - x0) / (x1 - x0),
            (Some((_, only)), None) | (None, Some((_, only))) => *only,
            (None, None) => 0.0,
        }
    }
}
