//! Steps and roughness of measured profiles: heights over positions.
//!
//! A step is fitted as two parallel lines (or parabolas), z = a + b·t + c·t² + h·δ, with δ = 1 on the upper part and 0
//! on the base, all at once by least squares: tilt and offset of the profile leave h as it is. Columns are made
//! orthogonal one after the other; δ comes last, so its coefficient is h and the square of what is left of it gives the
//! variance.
//!
//! Film and substrate differ in roughness, and neighbouring readings of a profile go together. So each part has its own
//! standard deviation and its own correlation ρ of neighbours, a first-order autoregression in which N readings count as
//! N·(1 − ρ)/(1 + ρ); degrees of freedom are joined by the formula of Welch and Satterthwaite.
//!
//! Readings come in steps of the instrument. Where a part scatters by less than half a step, rounding does not average
//! out: it adds the variance of an even distribution one step wide.
//!
//! Sources: least squares; ISO 5436-1, type A1, for the parts of the profile that are fitted; ISO 16610-21 for the
//! Gaussian filter (both from memory, to be verified).

use core::fmt;

use crate::scalar::Scalar;

/// Why a profile gives no step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProfileError {
    /// Positions and heights differ in number, or one is no finite number.
    NotFinite,
    /// Fewer points than are needed to look for a step.
    TooFewPoints {
        /// Points that are needed.
        needed: usize,
    },
    /// A part that is fitted holds fewer than two points.
    EmptyPart {
        /// Whether it is the upper part.
        upper: bool,
    },
    /// The parts lie so that height and level cannot be told apart.
    Undetermined,
}

impl fmt::Display for ProfileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            ProfileError::NotFinite => {
                f.write_str("Every point of the profile needs a position and a height.")
            }
            ProfileError::TooFewPoints { needed } => {
                write!(f, "A step is looked for among at least {needed} points.")
            }
            ProfileError::EmptyPart { upper } => {
                let part = if upper { "upper part" } else { "base" };
                write!(
                    f,
                    "Fewer than two readings of the profile lie in the {part}."
                )
            }
            ProfileError::Undetermined => {
                f.write_str("Height and level of the profile cannot be told apart in these parts.")
            }
        }
    }
}

impl std::error::Error for ProfileError {}

/// Readings in ascending order of position.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    x: Vec<f64>,
    z: Vec<f64>,
    turns: Option<f64>,
}

/// The parts of a profile that are fitted, as intervals of position.
#[derive(Clone, Debug, PartialEq)]
pub struct Parts {
    /// The lower level of a positive step.
    pub base: Vec<[f64; 2]>,
    /// The upper level of a positive step.
    pub upper: Vec<[f64; 2]>,
}

impl Parts {
    /// Those of a groove or ridge of width W between two edges: its middle third, and on either side what lies from a
    /// third of W to a whole W off the edge.
    #[must_use]
    pub fn of_feature(left: f64, right: f64) -> Parts {
        let width = right - left;
        let third = width / 3.0;
        Parts {
            base: vec![[left - width, left - third], [right + third, right + width]],
            upper: vec![[left + third, right - third]],
        }
    }

    /// Whether a position lies in the upper part, the base, or neither.
    fn upper(&self, x: f64) -> Option<bool> {
        let inside = |parts: &[[f64; 2]]| parts.iter().any(|[from, to]| (*from..=*to).contains(&x));
        if inside(&self.upper) {
            Some(true)
        } else {
            inside(&self.base).then_some(false)
        }
    }
}

/// A fitted step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Upper part less base.
    pub height: f64,
    /// Its variance from the scatter of the readings.
    pub variance: f64,
    /// Of the variance.
    pub degrees_of_freedom: f64,
    /// The readings of the base about the fit.
    pub base: Scattered,
    /// Those of the upper part.
    pub upper: Scattered,
    /// How many readings were fitted.
    pub fitted: usize,
    /// Positions of readings in the fitted parts that lie far off, whether they were fitted or not.
    pub spikes: Vec<f64>,
    /// Sum of squares of the residuals.
    pub residual_sum: f64,
    /// The step of the instrument, where most readings share their height with another; otherwise zero.
    pub resolution: f64,
    level: Level,
    residuals: Vec<Residual>,
}

/// How the readings of one part scatter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scattered {
    /// Standard deviation about the fit.
    pub deviation: f64,
    /// Correlation of neighbouring readings; zero where it is negative.
    pub correlation: f64,
    /// Readings, counted as if they were independent, less their share of the fitted parameters.
    pub degrees_of_freedom: f64,
    /// Whether they scatter by less than half a step of the instrument.
    pub rounded: bool,
    /// What their scatter adds to the variance of the height.
    variance: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Residual {
    x: f64,
    upper: bool,
    residual: f64,
}

/// Further off than so many standard deviations (from the median of the absolute deviations) a reading is a spike: among
/// normal readings one in half a billion is.
const SPIKE: f64 = 6.0;
/// Standard deviation of a normal variable over the median of its absolute deviations.
const NORMAL_MEDIAN: f64 = 1.482_602_218_505_602;
/// Nearer than so many steps of the instrument nothing is a spike.
const STEPS: f64 = 3.0;
/// Readings that go together more than this are taken for so many.
const MOST_CORRELATED: f64 = 0.999;
/// Rounds in which spikes are looked for; each leaves the fit closer to the rest.
const ROUNDS: usize = 20;
/// Groups of readings among which edges are looked for.
const GROUPS: usize = 200;

impl Profile {
    /// From positions in any order.
    ///
    /// # Errors
    /// [`ProfileError::NotFinite`].
    pub fn new(x: &[f64], z: &[f64]) -> Result<Profile, ProfileError> {
        let finite = |values: &[f64]| values.iter().all(|value| value.is_finite());
        if x.len() != z.len() || !finite(x) || !finite(z) {
            return Err(ProfileError::NotFinite);
        }
        let along = x.last().zip(x.first()).map(|(last, first)| last - first);
        let forward = along.is_none_or(|along| along >= 0.0);
        let mut pairs = x.windows(2);
        let turns = pairs.find(|pair| {
            if forward {
                pair[1] <= pair[0]
            } else {
                pair[1] >= pair[0]
            }
        });
        let turns = turns.map(|pair| pair[1]);
        let mut points: Vec<(f64, f64)> = x.iter().copied().zip(z.iter().copied()).collect();
        points.sort_by(|one, other| one.0.total_cmp(&other.0));
        let (x, z) = points.into_iter().unzip();
        Ok(Profile { x, z, turns })
    }

    /// Positions, ascending.
    #[must_use]
    pub fn x(&self) -> &[f64] {
        &self.x
    }

    /// Heights.
    #[must_use]
    pub fn z(&self) -> &[f64] {
        &self.z
    }

    /// The first position, as given, that goes back or repeats the one before.
    #[must_use]
    pub fn turns(&self) -> Option<f64> {
        self.turns
    }

    /// The usual distance of neighbouring readings, their median; not a number for a single reading.
    #[must_use]
    pub fn usual_step(&self) -> f64 {
        median(self.x.windows(2).map(|pair| pair[1] - pair[0]).collect())
    }

    /// Gaps in the positions: where each begins, and how many readings at the usual distance are missing in it.
    #[must_use]
    pub fn gaps(&self) -> Vec<(f64, f64)> {
        let usual = self.usual_step();
        let pairs = self.x.windows(2).filter_map(|pair| {
            let missing = ((pair[1] - pair[0]) / usual).round() - 1.0;
            (usual > 0.0 && missing >= 1.0).then_some((pair[0], missing))
        });
        pairs.collect()
    }

    /// The two edges of the one ridge or groove that explains most of the profile beside its level. They lie between two
    /// of at most 200 groups of neighbouring readings. Spikes do not count: each reading is the median of the five about
    /// it, which keeps edges, and each group its median.
    ///
    /// # Errors
    /// [`ProfileError::TooFewPoints`], [`ProfileError::Undetermined`] for a profile without any relief.
    pub fn edges(&self, bent: bool) -> Result<[f64; 2], ProfileError> {
        const NEEDED: usize = 15;
        if self.x.len() < NEEDED {
            return Err(ProfileError::TooFewPoints { needed: NEEDED });
        }
        let size = self.x.len().div_ceil(GROUPS);
        let centre = |values: &[f64]| median(values.to_vec());
        let x: Vec<f64> = self.x.chunks(size).map(centre).collect();
        let z: Vec<f64> = self.smooth().chunks(size).map(centre).collect();
        let level = Level::fit(
            x.iter().zip(&z).map(|(x, z)| (*x, false, *z)),
            if bent { 3 } else { 2 },
        );
        // Sums up to each group of the residuals and of the columns that the level is made of.
        let mut sums = vec![[0.0; 4]];
        let mut last = [0.0; 4];
        for (x, z) in x.iter().zip(&z) {
            let columns = level.columns(*x, false);
            for (sum, column) in last.iter_mut().zip(columns).take(level.size) {
                *sum += column;
            }
            last[3] += z - level.at(*x, false);
            sums.push(last);
        }
        let mut best = (0.0, None);
        for (start, before) in sums.iter().enumerate().skip(2) {
            for (end, after) in sums.iter().enumerate().skip(start + 2) {
                if end + 2 >= sums.len() {
                    break;
                }
                let mut left = (end - start) as f64;
                for (column, norm) in level.norms.iter().enumerate().take(level.size) {
                    left -= (after[column] - before[column]).squared() / norm;
                }
                let gain = (after[3] - before[3]).squared() / left;
                if gain > best.0 {
                    best = (gain, Some([start, end]));
                }
            }
        }
        let edge = |group: usize| {
            let point = group * size;
            let before = self.x.get(point.wrapping_sub(1))?;
            Some(0.5 * (before + self.x.get(point)?))
        };
        let edges = best
            .1
            .and_then(|[start, end]| Some([edge(start)?, edge(end)?]));
        edges.ok_or(ProfileError::Undetermined)
    }

    /// Each height as the median of the five about it.
    fn smooth(&self) -> Vec<f64> {
        let about = |i: usize| {
            let five = self.z.get(i.saturating_sub(2)..(i + 3).min(self.z.len()));
            median(five.unwrap_or_default().to_vec())
        };
        (0..self.z.len()).map(about).collect()
    }

    /// Fits a step. Spikes are always looked for; they are left out of the fit where it is asked for.
    ///
    /// # Errors
    /// [`ProfileError::EmptyPart`], [`ProfileError::Undetermined`].
    pub fn step(&self, parts: &Parts, bent: bool, leave_out: bool) -> Result<Step, ProfileError> {
        let points: Vec<(f64, bool, f64)> = self
            .x
            .iter()
            .zip(&self.z)
            .filter_map(|(x, z)| Some((*x, parts.upper(*x)?, *z)))
            .collect();
        for upper in [false, true] {
            if points.iter().filter(|point| point.1 == upper).count() < 2 {
                return Err(ProfileError::EmptyPart { upper });
            }
        }
        let size = if bent { 4 } else { 3 };
        let [resolution, least] = resolution(&points);
        let near = least.max(STEPS * resolution);
        let mut far = vec![false; points.len()];
        for _ in 0..ROUNDS {
            let level = Level::fit(kept(&points, &far), size);
            let now = spikes(&residuals(&points, &level), near);
            if now == far {
                break;
            }
            far = now;
        }
        let spikes = points.iter().zip(&far).filter(|(_, far)| **far);
        let spikes = spikes.map(|(point, _)| point.0).collect();
        if !leave_out {
            far.fill(false);
        }
        let level = Level::fit(kept(&points, &far), size);
        let fitted: Vec<(f64, bool, f64)> = kept(&points, &far).collect();
        Step::new(&fitted, level, spikes, resolution)
    }
}

/// The points that are no spikes.
fn kept<'a>(
    points: &'a [(f64, bool, f64)],
    far: &'a [bool],
) -> impl Iterator<Item = (f64, bool, f64)> + Clone + 'a {
    let pairs = points.iter().zip(far);
    pairs.filter(|(_, far)| !**far).map(|(point, _)| *point)
}

fn residuals(points: &[(f64, bool, f64)], level: &Level) -> Vec<Residual> {
    let off = |(x, upper, z): &(f64, bool, f64)| Residual {
        x: *x,
        upper: *upper,
        residual: z - level.at(*x, *upper),
    };
    points.iter().map(off).collect()
}

/// The step of the instrument, where most readings share their height with another, otherwise zero; and what is too little
/// to be more than rounding in the arithmetic.
fn resolution(points: &[(f64, bool, f64)]) -> [f64; 2] {
    let mut heights: Vec<f64> = points.iter().map(|point| point.2).collect();
    heights.sort_unstable_by(f64::total_cmp);
    let range = heights
        .last()
        .zip(heights.first())
        .map(|(high, low)| high - low);
    let least = 1e-9 * range.unwrap_or_default();
    let steps = heights.windows(2).map(|pair| pair[1] - pair[0]);
    let steps: Vec<f64> = steps.filter(|step| *step > least).collect();
    let shared = 2 * (steps.len() + 1) <= heights.len();
    let smallest = steps.into_iter().fold(f64::INFINITY, f64::min);
    let seen = shared && smallest.is_finite();
    [if seen { smallest } else { 0.0 }, least]
}

/// Which residuals lie far off from the others of their part, and further than anything near.
fn spikes(residuals: &[Residual], near: f64) -> Vec<bool> {
    let [base, upper] = [false, true].map(|upper| {
        let of_part = residuals.iter().filter(|r| r.upper == upper);
        let of_part: Vec<f64> = of_part.map(|r| r.residual).collect();
        let centre = median(of_part.clone());
        let off = of_part.iter().map(|r| (r - centre).abs());
        let most = SPIKE * NORMAL_MEDIAN * median(off.collect());
        (centre, most.max(near))
    });
    let far = |r: &Residual| {
        let (centre, most) = if r.upper { upper } else { base };
        (r.residual - centre).abs() > most
    };
    residuals.iter().map(far).collect()
}

/// The upper of the two middle values for an even number; not a number for none.
fn median(mut values: Vec<f64>) -> f64 {
    let middle = values.len() / 2;
    if values.is_empty() {
        return f64::NAN;
    }
    let (_, middle, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    *middle
}

impl Step {
    fn new(
        fitted: &[(f64, bool, f64)],
        level: Level,
        spikes: Vec<f64>,
        resolution: f64,
    ) -> Result<Step, ProfileError> {
        let residuals = residuals(fitted, &level);
        let (height, norm) = level.last();
        let count = fitted.len() as f64;
        // What is left of δ beside the other columns, as a share of all of it that the mean leaves.
        let upper = fitted.iter().filter(|point| point.1).count() as f64;
        let share = norm / (upper * (1.0 - upper / count));
        if !(share > 1e-6 && fitted.len() > level.size) {
            return Err(ProfileError::Undetermined);
        }
        let parts = [false, true].map(|part| Scattered::of(&residuals, part, &level, resolution));
        let rounding = |part: &Scattered| {
            if part.rounded {
                resolution.squared() / 12.0
            } else {
                0.0
            }
        };
        let variance: f64 = parts
            .iter()
            .map(|part| part.variance + rounding(part))
            .sum();
        let joined = parts.map(|part| part.variance.squared() / part.degrees_of_freedom);
        let degrees_of_freedom = variance.squared() / (joined[0] + joined[1]);
        let [base, upper] = parts;
        Ok(Step {
            height,
            variance,
            degrees_of_freedom: if degrees_of_freedom.is_finite() {
                degrees_of_freedom
            } else {
                // Readings without any scatter.
                f64::INFINITY
            },
            base,
            upper,
            fitted: fitted.len(),
            spikes,
            resolution,
            residual_sum: residuals.iter().map(|r| r.residual.squared()).sum(),
            level,
            residuals,
        })
    }

    /// The level of the base at a position.
    #[must_use]
    pub fn base_at(&self, x: f64) -> f64 {
        self.level.at(x, false)
    }

    /// How much better another fit of the same readings with one more parameter is: its F.
    #[must_use]
    pub fn gain(&self, better: &Step) -> f64 {
        let freedom = better.base.degrees_of_freedom + better.upper.degrees_of_freedom;
        (self.residual_sum - better.residual_sum) * freedom / better.residual_sum
    }

    /// Root mean square and mean of the deviations of one part from its mean line, without the waves that a Gaussian
    /// filter of this cut-off lets through where one is given. `None` where nothing is left.
    ///
    /// The waves are found at positions 32 to a cut-off apart and run straight between them; half a cut-off at each end
    /// of an interval is left out, since the filter reaches beyond it there.
    #[must_use]
    pub fn roughness(&self, upper: bool, parts: &Parts, cut_off: Option<f64>) -> Option<[f64; 2]> {
        let intervals = if upper { &parts.upper } else { &parts.base };
        let mut left = Vec::new();
        for [from, to] in intervals {
            let inside: Vec<Residual> = self
                .residuals
                .iter()
                .filter(|r| r.upper == upper && (*from..=*to).contains(&r.x))
                .copied()
                .collect();
            match cut_off {
                None => left.extend(inside.iter().map(|r| r.residual)),
                Some(cut_off) => left.extend(without_waves(&inside, cut_off)),
            }
        }
        if left.len() < 2 {
            return None;
        }
        let count = left.len() as f64;
        let mean = left.iter().sum::<f64>() / count;
        let squares: f64 = left.iter().map(|r| (r - mean).squared()).sum();
        let sizes: f64 = left.iter().map(|r| (r - mean).abs()).sum();
        Some([(squares / count).sqrt(), sizes / count])
    }
}

impl Scattered {
    fn of(residuals: &[Residual], upper: bool, level: &Level, resolution: f64) -> Scattered {
        let (_, norm) = level.last();
        let (mut count, mut squares, mut products, mut pairs) = (0.0, 0.0, 0.0, 0.0);
        // Share of the parameters that these readings decide, and of the height's sensitivity.
        let (mut leverage, mut weight) = (0.0, 0.0);
        let mut before = None;
        for reading in residuals {
            let of_part = reading.upper == upper;
            let one = before.replace(reading);
            if !of_part {
                continue;
            }
            count += 1.0;
            squares += reading.residual.squared();
            if let Some(one) = one.filter(|one| one.upper == upper) {
                products += one.residual * reading.residual;
                pairs += 1.0;
            }
            let columns = level.columns(reading.x, upper);
            let shares = columns.iter().zip(level.norms).take(level.size);
            let shares = shares.map(|(column, norm)| column.squared() / norm);
            let mut last = 0.0;
            for share in shares {
                leverage += share;
                last = share;
            }
            weight += last / norm;
        }
        let correlation = products * count / (pairs * squares);
        // A mean that is taken off hides that much of it (Marriott and Pope 1954, from memory).
        let correlation = correlation + (1.0 + 3.0 * correlation) / count;
        let correlation = if correlation.is_finite() {
            correlation.clamp(0.0, MOST_CORRELATED)
        } else {
            0.0
        };
        let counted = (1.0 + correlation) / (1.0 - correlation);
        let degrees_of_freedom = (count / counted - leverage).max(1.0);
        let of_one = squares / (counted * degrees_of_freedom);
        Scattered {
            deviation: of_one.sqrt(),
            rounded: of_one.sqrt() < 0.5 * resolution,
            correlation,
            degrees_of_freedom,
            variance: weight * of_one * counted,
        }
    }
}

/// What a Gaussian filter takes away, half a cut-off off the ends.
fn without_waves(readings: &[Residual], cut_off: f64) -> Vec<f64> {
    const NODES: f64 = 32.0;
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return Vec::new();
    };
    let (from, to) = (first.x + 0.5 * cut_off, last.x - 0.5 * cut_off);
    if from >= to {
        return Vec::new();
    }
    let spacing = cut_off / NODES;
    // No more than the readings, so that a tiny cut-off makes no endless work.
    let nodes = (((to - from) / spacing).ceil() + 1.0).min(4.0 * readings.len() as f64) as usize;
    let spacing = (to - from) / nodes as f64;
    let mut start = 0;
    let waves: Vec<f64> = (0..=nodes)
        .map(|node| {
            let x = from + spacing * node as f64;
            while readings.get(start).is_some_and(|r| r.x < x - cut_off) {
                start += 1;
            }
            let near = readings.iter().skip(start);
            smoothed(near.take_while(|r| r.x <= x + cut_off), x, cut_off)
        })
        .collect();
    let inside = readings.iter().filter(|r| (from..=to).contains(&r.x));
    let rough = inside.filter_map(|r| {
        let place = (r.x - from) / spacing;
        let node = (place.floor() as usize).min(nodes - 1);
        let along = place - node as f64;
        let wave = waves.get(node)? * (1.0 - along) + waves.get(node + 1)? * along;
        Some(r.residual - wave)
    });
    rough.filter(|r| r.is_finite()).collect()
}

/// Mean with Gaussian weights that pass half of a wave as long as the cut-off.
fn smoothed<'a>(near: impl Iterator<Item = &'a Residual>, x: f64, cut_off: f64) -> f64 {
    // α² = ln 2/π.
    let factor = core::f64::consts::PI.squared() / core::f64::consts::LN_2;
    let (mut sum, mut total) = (0.0, 0.0);
    for reading in near {
        let weight = Scalar::exp(-factor * ((reading.x - x) / cut_off).squared());
        sum += weight * reading.residual;
        total += weight;
    }
    sum / total
}

/// Level and step as a sum of columns that are orthogonal over the fitted points.
#[derive(Clone, Debug, PartialEq)]
struct Level {
    centre: f64,
    scale: f64,
    /// How many columns: 1, t, where there are more than three t², and last, from three on, δ.
    size: usize,
    stepped: bool,
    /// What is taken off each column of each one before it.
    mix: [[f64; 4]; 4],
    norms: [f64; 4],
    coefficients: [f64; 4],
}

impl Level {
    /// Two columns are a line, three a line and a step where there is an upper part, otherwise a parabola, four both.
    fn fit(points: impl Iterator<Item = (f64, bool, f64)> + Clone, size: usize) -> Level {
        let ends = points
            .clone()
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], point| {
                [low.min(point.0), high.max(point.0)]
            });
        let mut level = Level {
            centre: 0.5 * (ends[0] + ends[1]),
            scale: 0.5 * (ends[1] - ends[0]),
            size,
            stepped: points.clone().any(|point| point.1),
            mix: [[0.0; 4]; 4],
            norms: [0.0; 4],
            coefficients: [0.0; 4],
        };
        for column in 0..size {
            for before in 0..column {
                let mut product = 0.0;
                for (x, upper, _) in points.clone() {
                    let columns = level.columns(x, upper);
                    product += level.raw(x, upper)[column] * columns[before];
                }
                level.mix[column][before] = product / level.norms[before];
            }
            let (mut norm, mut product) = (0.0, 0.0);
            for (x, upper, z) in points.clone() {
                let value = level.columns(x, upper)[column];
                norm += value.squared();
                // What the columns before leave.
                product += value * (z - level.at(x, upper));
            }
            level.norms[column] = norm;
            level.coefficients[column] = product / norm;
        }
        level
    }

    fn raw(&self, x: f64, upper: bool) -> [f64; 4] {
        let t = (x - self.centre) / self.scale;
        let step = if upper { 1.0 } else { 0.0 };
        if self.size == 3 && self.stepped {
            [1.0, t, step, 0.0]
        } else {
            [1.0, t, t * t, step]
        }
    }

    fn columns(&self, x: f64, upper: bool) -> [f64; 4] {
        let mut columns = self.raw(x, upper);
        for column in 1..4 {
            for before in 0..column {
                columns[column] -= self.mix[column][before] * columns[before];
            }
        }
        columns
    }

    fn at(&self, x: f64, upper: bool) -> f64 {
        let columns = self.columns(x, upper);
        let terms = columns.iter().zip(self.coefficients);
        terms
            .map(|(column, coefficient)| column * coefficient)
            .sum()
    }

    /// Coefficient and norm of the last column.
    fn last(&self) -> (f64, f64) {
        let last = self.size - 1;
        (self.coefficients[last], self.norms[last])
    }
}
