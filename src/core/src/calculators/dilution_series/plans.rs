//! The search for plans: every series of steps that the ware allows, exhaustively, the best first.
//!
//! A step takes a pipette of one solution and fills it up in a flask. Neither the factor of a series nor its uncertainty
//! depends on the order of its steps, so that a plan is a selection of steps, and its order is the one that wastes least.

use core::cmp::Ordering;

/// Most steps of a series.
pub(super) const MOST_STEPS: usize = 4;

/// A piece of ware: nominal volume and relative standard uncertainty.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) volume: f64,
    pub(super) relative: f64,
}

/// A pipette into a flask: their places in the list of ware.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Step {
    pub(super) pipette: usize,
    pub(super) flask: usize,
}

/// What plans are ranked by first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rank {
    Uncertainty,
    Waste,
    Steps,
}

/// What is wanted of a series.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    /// Dilution factor, least and most.
    pub(super) factor: (f64, f64),
    pub(super) most_steps: usize,
    /// Least volume of the last solution; zero where any will do.
    pub(super) needed: f64,
    /// Most solution made in all steps together.
    pub(super) most_total: f64,
    pub(super) rank: Rank,
    /// Whether ware that comes up again is the same piece, off by the same amount.
    pub(super) same_piece: bool,
}

/// A series of steps.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pub(super) steps: Vec<Step>,
    /// Relative standard uncertainty from the ware.
    pub(super) relative: f64,
    /// Solution made and not used.
    pub(super) waste: f64,
    /// Solution made in all.
    pub(super) total: f64,
    /// What it is ranked by, in order.
    key: [f64; 4],
}

/// The best plans, and how many there are.
#[derive(Debug, Default)]
pub(super) struct Plans {
    pub(super) best: Vec<Plan>,
    pub(super) count: usize,
}

/// A bound met to the last digits counts as met.
const SLACK: f64 = 1e-12;
/// Plans that differ by less than this in what they are ranked by are alike in it: relative uncertainty, and volume in m³.
const ALIKE: (f64, f64) = (1e-12, 1e-15);

/// The `most` best plans with this ware, in which steps of `steps` are possible.
pub(super) fn search(ware: &[Piece], steps: &[Step], wanted: &Wanted, most: usize) -> Plans {
    let measured = |step: &Step| {
        Some(Measured {
            step: *step,
            pipette: *ware.get(step.pipette)?,
            flask: *ware.get(step.flask)?,
        })
    };
    let mut steps: Vec<Measured> = steps.iter().filter_map(measured).collect();
    steps.sort_by(|a, b| a.factor().total_cmp(&b.factor()));
    let mut search = Search {
        wanted,
        most,
        chosen: Vec::with_capacity(MOST_STEPS),
        plans: Plans::default(),
    };
    let (low, high) = wanted.factor;
    let bounds = (low * (1.0 - SLACK), high * (1.0 + SLACK));
    for count in 1..=wanted.most_steps.min(MOST_STEPS) {
        search.choose(&steps, count, bounds);
    }
    search.plans
}

/// A step with its ware.
#[derive(Clone, Copy, Debug)]
struct Measured {
    step: Step,
    pipette: Piece,
    flask: Piece,
}

impl Measured {
    fn factor(&self) -> f64 {
        self.flask.volume / self.pipette.volume
    }
}

struct Search<'a> {
    wanted: &'a Wanted,
    most: usize,
    chosen: Vec<Measured>,
    plans: Plans,
}

impl Search<'_> {
    /// Every way of choosing `count` more steps from those listed, which rise in factor, so that together they dilute by a
    /// factor between `low` and `high`. A step may be chosen again, none before the one chosen last.
    fn choose(&mut self, steps: &[Measured], count: usize, (low, high): (f64, f64)) {
        let Some(largest) = steps.last().map(Measured::factor) else {
            return;
        };
        if count == 1 {
            let from = steps.partition_point(|step| step.factor() < low);
            let fitting = steps.get(from..).unwrap_or_default();
            for step in fitting.iter().take_while(|step| step.factor() <= high) {
                self.chosen.push(*step);
                self.weigh();
                self.chosen.pop();
            }
            return;
        }
        let rest = power(largest, count - 1);
        for (place, step) in steps.iter().enumerate() {
            let factor = step.factor();
            // The others are at least as large as this one, and at most as the largest.
            if power(factor, count) > high {
                break;
            }
            if factor * rest < low {
                continue;
            }
            self.chosen.push(*step);
            let others = steps.get(place..).unwrap_or_default();
            self.choose(others, count - 1, (low / factor, high / factor));
            self.chosen.pop();
        }
    }

    /// Takes up the steps chosen as a plan, if they can be done and are good enough.
    fn weigh(&mut self) {
        let total: f64 = self.chosen.iter().map(|step| step.flask.volume).sum();
        if total > self.wanted.most_total * (1.0 + SLACK) {
            return;
        }
        let relative = self.relative();
        // Trying every order takes long: most plans are already no match for those found if they waste least.
        let worst = self.plans.best.get(self.most - 1).map(|plan| plan.key);
        let hopeless = worst.is_some_and(|worst| {
            let key = self.key(relative, self.least_waste(total), total);
            compare(&key, &worst) != Ordering::Less
        });
        if hopeless && self.can_surely_be_done() {
            self.plans.count += 1;
            return;
        }
        let Some((waste, order)) = self.best_order() else {
            return;
        };
        self.plans.count += 1;
        let key = self.key(relative, waste, total);
        let best = &mut self.plans.best;
        let place = best.partition_point(|plan| compare(&plan.key, &key) != Ordering::Greater);
        if place < self.most {
            best.truncate(self.most - 1);
            let plan = Plan {
                steps: order.iter().map(|step| step.step).collect(),
                relative,
                waste,
                total,
                key,
            };
            best.insert(place, plan);
        }
    }

    /// What plans are ranked by, in order; then the smaller amount of solution.
    fn key(&self, relative: f64, waste: f64, total: f64) -> [f64; 4] {
        let uncertainty = (relative / ALIKE.0).round();
        let waste = (waste / ALIKE.1).round();
        let steps = self.chosen.len() as f64;
        match self.wanted.rank {
            Rank::Uncertainty => [uncertainty, steps, waste, total],
            Rank::Waste => [waste, steps, uncertainty, total],
            Rank::Steps => [steps, uncertainty, waste, total],
        }
    }

    /// No order of the chosen steps wastes less than this.
    fn least_waste(&self, total: f64) -> f64 {
        let taken: f64 = self.chosen.iter().map(|step| step.pipette.volume).sum();
        let volumes = |of: fn(&Measured) -> f64| self.chosen.iter().map(of);
        let first = volumes(|step| step.pipette.volume).fold(f64::INFINITY, f64::min);
        let last = match self.wanted.needed {
            0.0 => volumes(|step| step.flask.volume).fold(0.0, f64::max),
            needed => needed,
        };
        total - (taken - first) - last
    }

    /// Whether some order can be done, where that is plain without trying: by falling flasks, since each holds more than
    /// the pipette of any smaller one; or, where the last must hold enough, if every flask holds enough for every pipette.
    fn can_surely_be_done(&self) -> bool {
        let flasks = || self.chosen.iter().map(|step| step.flask.volume);
        let pipettes = self.chosen.iter().map(|step| step.pipette.volume);
        let any_order = pipettes.fold(0.0, f64::max) <= flasks().fold(f64::INFINITY, f64::min);
        self.wanted.needed == 0.0
            || (any_order && flasks().fold(0.0, f64::max) >= self.wanted.needed)
    }

    /// The order of the chosen steps that wastes least, and what it wastes; none where no order can be done.
    fn best_order(&self) -> Option<(f64, Vec<Measured>)> {
        let mut best = None;
        let mut order = Vec::with_capacity(MOST_STEPS);
        self.extend(&mut order, [false; MOST_STEPS], &mut best);
        best
    }

    /// Goes through every order that begins like this one.
    fn extend(
        &self,
        order: &mut Vec<Measured>,
        taken: [bool; MOST_STEPS],
        best: &mut Option<(f64, Vec<Measured>)>,
    ) {
        if order.len() == self.chosen.len() {
            if let Some(waste) = self.waste(order)
                && best.as_ref().is_none_or(|(least, _)| waste < *least)
            {
                *best = Some((waste, order.clone()));
            }
            return;
        }
        for (place, step) in self.chosen.iter().enumerate() {
            let enough = order
                .last()
                .is_none_or(|before| step.pipette.volume <= before.flask.volume);
            let mut now_taken = taken;
            if let Some(free) = now_taken.get_mut(place)
                && enough
                && !core::mem::replace(free, true)
            {
                order.push(*step);
                self.extend(order, now_taken, best);
                order.pop();
            }
        }
    }

    /// Solution made and not used; none where the last flask is too small.
    fn waste(&self, order: &[Measured]) -> Option<f64> {
        let last = order.last()?.flask.volume;
        if last < self.wanted.needed * (1.0 - SLACK) {
            return None;
        }
        let pairs = order.iter().zip(order.iter().skip(1));
        let left_over = pairs.map(|(made, next)| made.flask.volume - next.pipette.volume);
        let unneeded = match self.wanted.needed {
            0.0 => 0.0,
            needed => last - needed,
        };
        Some(left_over.sum::<f64>() + unneeded)
    }

    /// Relative standard uncertainty from the ware: what is the same piece adds up, what is not adds up in squares.
    fn relative(&self) -> f64 {
        let mut squares = 0.0;
        for (number, one) in self.chosen.iter().enumerate() {
            let [pipette, flask] =
                [one.pipette, one.flask].map(|piece| piece.relative * piece.relative);
            squares += pipette + flask;
            let before = self.chosen.iter().take(number);
            for other in before.filter(|_| self.wanted.same_piece) {
                // Twice their product, which is a square.
                if one.step.pipette == other.step.pipette {
                    squares += 2.0 * pipette;
                }
                if one.step.flask == other.step.flask {
                    squares += 2.0 * flask;
                }
            }
        }
        squares.sqrt()
    }
}

fn power(factor: f64, exponent: usize) -> f64 {
    core::iter::repeat_n(factor, exponent).product()
}

fn compare(one: &[f64; 4], other: &[f64; 4]) -> Ordering {
    let pairs = one.iter().zip(other);
    pairs.fold(Ordering::Equal, |found, (a, b)| found.then(a.total_cmp(b)))
}
