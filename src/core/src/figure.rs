//! The arithmetic behind figures: scales, ticks and paths. The page only turns them into SVG.

use crate::scalar::Scalar;

/// A linear scale from numbers to places on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// The numbers at the two ends.
    pub numbers: [f64; 2],
    /// The places of the two ends; they may run backwards, as an upright axis does in SVG.
    pub places: [f64; 2],
}

impl Scale {
    /// The place of a number.
    #[must_use]
    pub fn place(&self, number: f64) -> f64 {
        let ([from, to], [start, end]) = (self.numbers, self.places);
        let along = if to == from {
            0.5
        } else {
            (number - from) / (to - from)
        };
        start + (end - start) * along
    }
}

/// A logarithmic scale from numbers above zero to places on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LogScale {
    /// The numbers at the two ends, above zero.
    pub numbers: [f64; 2],
    /// The places of the two ends.
    pub places: [f64; 2],
}

impl LogScale {
    /// The place of a number; none is a place for zero or less.
    #[must_use]
    pub fn place(&self, number: f64) -> f64 {
        self.place_of_log(Scalar::ln(number))
    }

    /// The place of a number whose natural logarithm is given.
    #[must_use]
    pub fn place_of_log(&self, logarithm: f64) -> f64 {
        let linear = Scale {
            numbers: self.numbers.map(Scalar::ln),
            places: self.places,
        };
        linear.place(logarithm)
    }

    /// The powers of ten on it, ascending.
    pub fn decades(&self) -> impl Iterator<Item = f64> {
        let [from, to] = self.numbers.map(Scalar::log10);
        (whole(from.ceil())..=whole(to.floor())).map(|power| Scalar::powi(10.0, power))
    }
}

/// The marks of an axis: whole multiples of 1, 2 or 5 times a power of ten.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ticks {
    /// The numbers at the marks, ascending.
    pub numbers: Vec<f64>,
    /// How many decimals tell neighbours apart.
    pub decimals: usize,
}

impl Ticks {
    /// Marks over `from..=to`, at about `wanted` steps; the first and last enclose the range, so that an axis made
    /// of them shows all of it. Nothing for a range that is not finite.
    #[must_use]
    pub fn around(from: f64, to: f64, wanted: u32) -> Ticks {
        if from.is_nan() || to.is_nan() {
            return Ticks::default();
        }
        let (from, to) = (from.min(to), from.max(to));
        let (from, to) = if from == to {
            widened(from)
        } else {
            (from, to)
        };
        let raw = (to - from) / f64::from(wanted.max(1));
        if !raw.is_finite() || raw <= 0.0 {
            return Ticks::default();
        }
        let power = whole(Scalar::log10(raw).floor());
        let leading = raw / Scalar::powi(10.0, power);
        let factor = [1.0, 2.0, 5.0]
            .into_iter()
            .find(|f| leading <= f * (1.0 + 1e-9));
        let (factor, power) = factor.map_or((1.0, power + 1), |factor| (factor, power));
        // A quotient of whole numbers, so that the mark at three tenths is 0.3 and not 0.30000000000000004.
        let number = |multiple: f64| match power {
            0.. => multiple * factor * Scalar::powi(10.0, power),
            _ => multiple * factor / Scalar::powi(10.0, -power),
        };
        let step = number(1.0);
        let slack = 1e-9;
        let first = (from / step + slack).floor();
        let last = (to / step - slack).ceil();
        let count = whole(last - first).clamp(0, 1000);
        Ticks {
            numbers: (0..=count)
                .map(|k| number(first + f64::from(k)) + 0.0)
                .collect(),
            decimals: usize::try_from(-power).unwrap_or(0),
        }
    }

    /// The numbers at the two ends.
    #[must_use]
    pub fn ends(&self) -> [f64; 2] {
        let first = self.numbers.first().copied().unwrap_or(0.0);
        [first, self.numbers.last().copied().unwrap_or(first)]
    }

    /// The text beside a mark, with a real minus sign.
    #[must_use]
    pub fn text(&self, number: f64) -> String {
        format!("{number:.*}", self.decimals).replace('-', "\u{2212}")
    }
}

/// A range about a single number, so that it can be drawn.
fn widened(number: f64) -> (f64, f64) {
    let margin = if number == 0.0 {
        1.0
    } else {
        number.abs() / 2.0
    };
    (number - margin, number + margin)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "exponents and counts of marks are small; `as` saturates"
)]
fn whole(number: f64) -> i32 {
    number as i32
}

/// The smallest and largest of the finite numbers; none where there are none.
#[must_use]
pub fn extent(numbers: impl IntoIterator<Item = f64>) -> Option<[f64; 2]> {
    numbers
        .into_iter()
        .filter(|number| number.is_finite())
        .fold(None, |ends, number| {
            let [low, high] = ends.unwrap_or([number, number]);
            Some([low.min(number), high.max(number)])
        })
}

/// The `d` attribute of a line through places on the page, to a hundredth; places that are not finite break it.
#[must_use]
pub fn path(places: impl IntoIterator<Item = (f64, f64)>) -> String {
    let mut path = String::new();
    let mut command = 'M';
    for (x, y) in places {
        if x.is_finite() && y.is_finite() {
            path.push_str(&format!("{command}{x:.2} {y:.2}"));
            command = 'L';
        } else {
            command = 'M';
        }
    }
    path
}

/// Places along a line, so many at most: of each stretch the lowest and the highest, so that no peak is lost.
#[must_use]
pub fn thinned(places: &[(f64, f64)], most: usize) -> Vec<(f64, f64)> {
    if places.len() <= most {
        return places.to_vec();
    }
    let stretch = (2 * places.len()).div_ceil(most.max(2));
    let mut kept = Vec::with_capacity(most);
    for stretch in places.chunks(stretch) {
        let higher = |a: &usize, b: &usize| stretch[*a].1.total_cmp(&stretch[*b].1);
        let (low, high) = (
            (0..stretch.len()).min_by(higher),
            (0..stretch.len()).max_by(higher),
        );
        let ends = [low.min(high), low.max(high)];
        kept.extend(ends.into_iter().flatten().map(|index| stretch[index]));
    }
    kept
}

/// Steps in which an ellipse is drawn.
const ELLIPSE: u32 = 72;

/// The ellipse about a pair of numbers with this covariance, so many standard uncertainties wide: closed, from places on a
/// circle by the lower triangular root of the covariance. For logarithmic axes, give logarithms and their covariance.
#[must_use]
pub fn ellipse(centre: [f64; 2], covariance: [[f64; 2]; 2], wide: f64) -> Vec<(f64, f64)> {
    let [[xx, xy], [_, yy]] = covariance;
    let a = xx.max(0.0).sqrt();
    let b = if a > 0.0 { xy / a } else { 0.0 };
    let c = (yy - b * b).max(0.0).sqrt();
    let place = |step: u32| {
        let turn = 2.0 * core::f64::consts::PI * f64::from(step) / f64::from(ELLIPSE);
        let (u, v) = (wide * Scalar::cos(turn), wide * Scalar::sin(turn));
        (centre[0] + a * u, centre[1] + b * u + c * v)
    };
    (0..=ELLIPSE).map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each place is as many standard uncertainties away as it should be: dᵀ·C⁻¹·d = k².
    #[test]
    fn an_ellipse_lies_at_its_distance() {
        let (centre, covariance) = ([3.0, -1.0], [[4.0, -1.5], [-1.5, 1.0]]);
        let [[xx, xy], [_, yy]] = covariance;
        let places = ellipse(centre, covariance, 2.0);
        for (x, y) in &places {
            let (dx, dy) = (x - centre[0], y - centre[1]);
            let distance = (yy * dx * dx - 2.0 * xy * dx * dy + xx * dy * dy) / (xx * yy - xy * xy);
            assert!((distance - 4.0).abs() < 1e-12, "{distance}");
        }
        let reach = extent(places.iter().map(|(x, _)| *x));
        assert_eq!(reach, Some([-1.0, 7.0]));
        let point = ellipse([1.0, 2.0], [[0.0, 0.0], [0.0, 0.0]], 2.0);
        assert!(point.iter().all(|place| *place == (1.0, 2.0)));
    }

    #[test]
    fn a_thinned_line_keeps_its_peaks() {
        let peak = 777;
        let places: Vec<(f64, f64)> = (0..10_000)
            .map(|k| {
                (
                    f64::from(k),
                    if k == peak {
                        5.0
                    } else {
                        f64::from(k % 7) / 7.0
                    },
                )
            })
            .collect();
        let thin = thinned(&places, 1000);
        assert!(thin.len() <= 1000 && thin.len() > 900, "{}", thin.len());
        assert!(thin.contains(&(f64::from(peak), 5.0)));
        assert!(thin.windows(2).all(|two| two[0].0 <= two[1].0));
        assert_eq!(thinned(&places[..10], 1000), places[..10]);
    }

    #[track_caller]
    fn check(from: f64, to: f64, wanted: u32, expected: &[&str]) {
        let ticks = Ticks::around(from, to, wanted);
        let texts: Vec<_> = ticks
            .numbers
            .iter()
            .map(|number| ticks.text(*number))
            .collect();
        assert_eq!(texts, expected);
    }

    #[test]
    fn ticks_are_round_and_enclose() {
        check(0.0, 0.73, 5, &["0.0", "0.2", "0.4", "0.6", "0.8"]);
        check(-3.0, 12.0, 5, &["\u{2212}5", "0", "5", "10", "15"]);
        check(0.0, 1.0, 5, &["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]);
        check(0.0011, 0.0039, 3, &["0.001", "0.002", "0.003", "0.004"]);
        check(
            12_000.0,
            48_000.0,
            4,
            &["10000", "20000", "30000", "40000", "50000"],
        );
        check(-0.1, 0.1, 2, &["\u{2212}0.1", "0.0", "0.1"]);
    }

    #[test]
    fn tick_numbers_are_the_nearest_doubles() {
        assert_eq!(
            Ticks::around(0.0, 0.4, 4).numbers,
            [0.0, 0.1, 0.2, 0.3, 0.4]
        );
    }

    #[test]
    fn a_single_number_gets_a_range() {
        check(7.0, 7.0, 2, &["0", "5", "10", "15"]);
        check(0.0, 0.0, 2, &["\u{2212}1", "0", "1"]);
    }

    #[test]
    fn what_is_not_finite_has_no_ticks() {
        check(f64::NAN, 1.0, 5, &[]);
        check(0.0, f64::INFINITY, 5, &[]);
    }

    #[test]
    fn scales_run_both_ways() {
        let upright = Scale {
            numbers: [0.0, 10.0],
            places: [200.0, 0.0],
        };
        assert_eq!(upright.place(2.5), 150.0);
        let single = Scale {
            numbers: [3.0, 3.0],
            places: [0.0, 10.0],
        };
        assert_eq!(single.place(3.0), 5.0);
    }

    #[test]
    fn paths_break_where_a_place_is_missing() {
        let places = [(0.0, 1.0), (2.5, 3.256), (f64::NAN, 0.0), (4.0, 5.0)];
        assert_eq!(path(places), "M0.00 1.00L2.50 3.26M4.00 5.00");
        assert_eq!(extent([2.0, f64::NAN, -1.0]), Some([-1.0, 2.0]));
        assert_eq!(extent([f64::NAN]), None);
    }
}
