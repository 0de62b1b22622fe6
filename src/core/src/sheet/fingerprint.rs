//! A digest that tells whether a stored Monte Carlo outcome belongs to the entries as they stand.

use super::evaluate::Evaluation;
use super::plan::{From, Plan, Step};
use crate::calculators::{Entered, Shape};
use crate::uncertainty::monte_carlo::Input;
use crate::uncertainty::{Density, Distribution, Origin};

impl Evaluation {
    /// A digest of everything that a Monte Carlo run of this number depends on, besides seed and draws: a stored outcome
    /// with the same digest belongs to the entries as they stand. None where there is no such number. Titles, notes and
    /// cards that the number does not depend on have no part in it.
    #[must_use]
    pub fn fingerprint(&self, card: &str, output: &str) -> Option<u64> {
        let (position, number) = self.place(card, output)?;
        let plan = Plan::of_number(self, (position, number));
        let mut digest = Digest::new();
        plan.steps.iter().for_each(|step| digest.step(step));
        for input in plan.inputs(self) {
            digest.input(&input);
        }
        // The number itself and its sensitivities: a formula that changed shows here too.
        let (path, _, value) = self.cards[position].offered().nth(number)?;
        digest.text(path);
        digest.number(value);
        let budget = self.budget_of(position, number);
        digest.number(budget.uncertainty);
        digest.number(budget.degrees_of_freedom);
        for leaf in &plan.leaves {
            let mut rows = budget.rows.iter();
            let row = rows.find(|row| row.origin == Origin::Leaf(*leaf));
            digest.number(row.and_then(|row| row.sensitivity).unwrap_or(0.0));
        }
        Some(digest.0)
    }
}

/// A 64-bit FNV-1a digest.
struct Digest(u64);

impl Digest {
    fn new() -> Digest {
        Digest(0xcbf2_9ce4_8422_2325)
    }

    fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }

    fn whole(&mut self, whole: u64) {
        self.bytes(&whole.to_le_bytes());
    }

    fn count(&mut self, count: usize) {
        self.whole(count as u64);
    }

    fn number(&mut self, number: f64) {
        // Which of the many NaN, and which of the two zeros, makes no difference.
        let one = if number.is_nan() {
            f64::NAN
        } else {
            number + 0.0
        };
        self.whole(one.to_bits());
    }

    fn numbers(&mut self, numbers: &[f64]) {
        self.count(numbers.len());
        numbers.iter().for_each(|number| self.number(*number));
    }

    fn text(&mut self, text: &str) {
        self.count(text.len());
        self.bytes(text.as_bytes());
    }

    fn shape(&mut self, shape: &Shape) {
        self.count(shape.fields.len());
        for (field, entered) in &shape.fields {
            self.text(field.id);
            match entered {
                Entered::Number { slot, known } => {
                    self.count(*slot);
                    // Elsewhere the formula does not see it.
                    self.number(if field.weighs { known.uncertainty } else { 0.0 });
                }
                Entered::Choice(option) => self.text(option),
                Entered::Text(text) => self.text(text),
                Entered::Rows(rows) => {
                    self.count(rows.len());
                    for (id, row) in rows {
                        self.text(id);
                        self.shape(row);
                    }
                }
                Entered::Curve(points) => {
                    self.numbers(&points.x);
                    self.numbers(&points.y);
                }
            }
        }
    }

    fn step(&mut self, step: &Step) {
        match step {
            Step::Formula(formula) => {
                self.text(formula.calculator.id);
                self.whole(u64::from(formula.calculator.version));
                self.shape(&formula.shape);
            }
            Step::Entered(slot) => match &slot.from {
                From::Drawn(leaf, shifts) => {
                    self.count(*leaf);
                    self.count(shifts.len());
                    for shift in shifts {
                        self.count(shift.drawn);
                        self.number(shift.sensitivity);
                        self.number(shift.estimate);
                    }
                }
                From::Linked(place) => {
                    self.text("linked");
                    self.count(*place);
                }
                From::Nowhere => self.text("nowhere"),
            },
        }
    }

    fn input(&mut self, input: &Input) {
        match input {
            Input::Exact(value) => {
                self.count(1);
                self.number(*value);
            }
            Input::Number {
                value,
                uncertainty,
                density,
                degrees_of_freedom,
            } => {
                self.count(2);
                self.number(*value);
                self.number(*uncertainty);
                self.density(*density);
                self.number(*degrees_of_freedom);
            }
            Input::Block {
                covariance,
                degrees_of_freedom,
            } => {
                self.count(3);
                covariance.iter().for_each(|row| self.numbers(row));
                self.number(*degrees_of_freedom);
            }
        }
    }

    fn density(&mut self, density: Density) {
        match density {
            Density::Normal => self.text("normal"),
            Density::StudentT => self.text("t"),
            Density::Limited(shape) => {
                self.text(shape.word());
                if let Distribution::Trapezoidal { top } = shape {
                    self.number(top);
                }
            }
        }
    }
}
