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
    let factor = |step: &Step| Some(ware.get(step.flask)?.volume / ware.get(step.pipette)?.volume);
    let mut factors: Vec<(f64, Step)> = steps
        .iter()
        .filter_map(|step| Some((factor(step)?, *step)))
        .collect();
    factors.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut search = Search {
        ware,
        wanted,
        most,
        chosen: Vec::with_capacity(MOST_STEPS),
        plans: Plans::default(),
    };
    let (low, high) = wanted.factor;
    for count in 1..=wanted.most_steps.min(MOST_STEPS) {
        search.choose(&factors, count, (low * (1.0 - SLACK), high * (1.0 + SLACK)));
    }
    search.plans
}

struct Search<'a> {
    ware: &'a [Piece],
    wanted: &'a Wanted,
    most: usize,
    chosen: Vec<Step>,
    plans: Plans,
}

impl Search<'_> {
    /// Every way of choosing `count` more steps from those listed, which rise in factor, so that together they dilute by a
    /// factor between `low` and `high`. A step may be chosen again, none before the one chosen last.
    fn choose(&mut self, steps: &[(f64, Step)], count: usize, (low, high): (f64, f64)) {
        let Some((largest, _)) = steps.last() else {
            return;
        };
        if count == 1 {
            let from = steps.partition_point(|(factor, _)| *factor < low);
            let fitting = steps.get(from..).unwrap_or_default();
            for (_, step) in fitting.iter().take_while(|(factor, _)| *factor <= high) {
                self.chosen.push(*step);
                self.weigh();
                self.chosen.pop();
            }
            return;
        }
        let rest = power(*largest, count - 1);
        for (place, (factor, step)) in steps.iter().enumerate() {
            // The others are at least as large as this one, and at most as the largest.
            if power(*factor, count) > high {
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
        let total: f64 = self.chosen.iter().map(|step| self.volume(step.flask)).sum();
        if total > self.wanted.most_total * (1.0 + SLACK) {
            return;
        }
        let Some((waste, steps)) = self.best_order() else {
            return;
        };
        self.plans.count += 1;
        let relative = self.relative();
        let by_uncertainty = (relative / ALIKE.0).round();
        let by_waste = (waste / ALIKE.1).round();
        let by_steps = steps.len() as f64;
        // Then the smaller amount of solution, which is also the smaller flask.
        let key = match self.wanted.rank {
            Rank::Uncertainty => [by_uncertainty, by_steps, by_waste, total],
            Rank::Waste => [by_waste, by_steps, by_uncertainty, total],
            Rank::Steps => [by_steps, by_uncertainty, by_waste, total],
        };
        let best = &mut self.plans.best;
        let place = best.partition_point(|plan| compare(&plan.key, &key) != Ordering::Greater);
        if place < self.most {
            best.truncate(self.most - 1);
            let plan = Plan {
                steps: steps.into(),
                relative,
                waste,
                total,
                key,
            };
            best.insert(place, plan);
        }
    }

    fn volume(&self, place: usize) -> f64 {
        self.ware.get(place).map_or(f64::NAN, |piece| piece.volume)
    }

    /// The order of the chosen steps that wastes least, and what it wastes; none where no order can be done.
    fn best_order(&self) -> Option<(f64, Order)> {
        let mut order = Order::default();
        let mut best = None;
        self.extend(&mut order, &mut best);
        best
    }

    /// Goes through every order that begins like this one.
    fn extend(&self, order: &mut Order, best: &mut Option<(f64, Order)>) {
        if order.len() == self.chosen.len() {
            if let Some(waste) = self.waste(order)
                && best.as_ref().is_none_or(|(least, _)| waste < *least)
            {
                *best = Some((waste, order.clone()));
            }
            return;
        }
        for (place, step) in self.chosen.iter().enumerate() {
            // Of equal steps, which stand beside each other, the first not yet taken stands for all.
            let equal_before =
                place > 0 && self.chosen.get(place - 1) == Some(step) && !order.takes(place - 1);
            let enough = order
                .last()
                .is_none_or(|before| self.volume(step.pipette) <= self.volume(before.flask));
            if !order.takes(place) && !equal_before && enough {
                order.push(place, *step);
                self.extend(order, best);
                order.pop();
            }
        }
    }

    /// Solution made and not used; none where the last flask is too small.
    fn waste(&self, order: &Order) -> Option<f64> {
        let last = self.volume(order.last()?.flask);
        if last < self.wanted.needed * (1.0 - SLACK) {
            return None;
        }
        let left_over = order
            .steps()
            .zip(order.steps().skip(1))
            .map(|(made, next)| self.volume(made.flask) - self.volume(next.pipette));
        let unneeded = if self.wanted.needed > 0.0 {
            last - self.wanted.needed
        } else {
            0.0
        };
        Some(left_over.sum::<f64>() + unneeded)
    }

    /// Relative standard uncertainty from the ware: what is the same piece adds up, what is not adds up in squares.
    fn relative(&self) -> f64 {
        let uses = self
            .chosen
            .iter()
            .flat_map(|step| [step.pipette, step.flask]);
        let of = |place: usize| self.ware.get(place).map_or(0.0, |piece| piece.relative);
        let mut squares = 0.0;
        for (number, one) in uses.clone().enumerate() {
            for (other_number, other) in uses.clone().enumerate() {
                let same_use = number == other_number;
                if same_use || (self.wanted.same_piece && one == other) {
                    squares += of(one) * of(other);
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

/// Steps in an order, with their places among those chosen; on the stack, since there are very many.
#[derive(Clone, Debug, Default)]
struct Order {
    taken: [Option<(usize, Step)>; MOST_STEPS],
}

impl Order {
    fn len(&self) -> usize {
        self.taken.iter().flatten().count()
    }
    fn steps(&self) -> impl Iterator<Item = &Step> {
        self.taken.iter().flatten().map(|(_, step)| step)
    }
    fn last(&self) -> Option<&Step> {
        self.steps().last()
    }
    fn takes(&self, place: usize) -> bool {
        self.taken
            .iter()
            .flatten()
            .any(|(taken, _)| *taken == place)
    }
    fn push(&mut self, place: usize, step: Step) {
        if let Some(free) = self.taken.iter_mut().find(|entry| entry.is_none()) {
            *free = Some((place, step));
        }
    }
    fn pop(&mut self) {
        if let Some(last) = self.taken.iter_mut().rev().find(|entry| entry.is_some()) {
            *last = None;
        }
    }
}

impl From<Order> for Vec<Step> {
    fn from(order: Order) -> Self {
        order.steps().copied().collect()
    }
}
