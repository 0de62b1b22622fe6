//! Properties that hold for any input: inverse pairs, and exact derivatives against differences.

use glasswick_core::calculators::{self, Calculator, Case};
use glasswick_core::quantity::Kind;
use glasswick_core::scalar::{Dual, Scalar};
use glasswick_core::sheet::{Card, Evaluation, Sheet, State, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

fn evaluated(cards: Vec<Card>) -> Evaluation {
    evaluate(&Sheet { cards })
}

/// The linear congruential generator of Knuth's MMIX: the same numbers everywhere.
pub(crate) struct Generator(u64);

impl Generator {
    pub(crate) fn new(seed: u64) -> Self {
        Generator(seed)
    }

    /// A number between `from` and `to`, evenly spread over its logarithm.
    pub(crate) fn between(&mut self, from: f64, to: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let unit = f64::from(u32::try_from(self.0 >> 32).unwrap()) / f64::from(u32::MAX);
        from * Scalar::exp(unit * Scalar::ln(to / from))
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn dilutions_come_in_inverse_pairs() {
    let dilution = calculators::find("dilution").unwrap();
    let mut numbers = Generator::new(20_261_125);
    for _ in 0..200 {
        let stock = numbers.between(1e-3, 20.0);
        let aliquot = numbers.between(1e-2, 50.0);
        let whole = aliquot * numbers.between(1.0, 1e5);
        let card = |find: &str, inputs: &[(&str, f64, &str)]| {
            let mut card = Card::new(dilution, "a");
            card.enter(dilution, "find", find);
            for (field, value, unit) in inputs {
                card.enter(dilution, field, &format!("{value} {unit}"));
            }
            evaluated(vec![card])
        };
        let result = |evaluation: &Evaluation, output: &str| {
            evaluation.cards[0].output(output).unwrap().value
        };
        let target = result(
            &card(
                "target",
                &[
                    ("stock", stock, "mol/L"),
                    ("aliquot", aliquot, "mL"),
                    ("final", whole, "mL"),
                ],
            ),
            "target",
        ) / 1e3;
        let pairs = [
            (
                "stock",
                stock * 1e3,
                [
                    ("target", target, "mol/L"),
                    ("aliquot", aliquot, "mL"),
                    ("final", whole, "mL"),
                ],
            ),
            (
                "aliquot",
                aliquot / 1e6,
                [
                    ("stock", stock, "mol/L"),
                    ("target", target, "mol/L"),
                    ("final", whole, "mL"),
                ],
            ),
            (
                "final",
                whole / 1e6,
                [
                    ("stock", stock, "mol/L"),
                    ("target", target, "mol/L"),
                    ("aliquot", aliquot, "mL"),
                ],
            ),
        ];
        for (find, expected, inputs) in pairs {
            let found = result(&card(find, &inputs), find);
            assert!(
                (found - expected).abs() <= 1e-14 * expected,
                "{find}: {found}, not {expected}"
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn derivatives_of_every_calculator_equal_central_differences() {
    for (calculator, case) in calculators::cases() {
        check_derivatives(calculator, case);
    }
}

/// Every output of a worked case against every number entered.
fn check_derivatives(calculator: &Calculator, case: &Case) {
    let evaluation = evaluated(vec![Card::example(calculator, case)]);
    assert_eq!(evaluation.cards[0].state, State::Ready);
    let values: Vec<f64> = evaluation.leaves.iter().map(|leaf| leaf.value).collect();
    let plain = evaluation.replay(&values, &|_, _| 0.0).unwrap();
    for (leaf, value) in values.iter().enumerate() {
        let mut duals: Vec<Dual> = values.iter().map(|v| Dual::constant(*v)).collect();
        duals[leaf] = Dual::seed(*value);
        let exact = evaluation
            .replay(&duals, &|_, _| Dual::constant(0.0))
            .unwrap();
        // Inside the valid range on both sides, and small against the value.
        let step = if *value == 0.0 {
            1e-9
        } else {
            1e-5 * value.abs()
        };
        let shifted = |by: f64| {
            let mut shifted = values.clone();
            shifted[leaf] += by;
            evaluation.replay(&shifted, &|_, _| 0.0)
        };
        // A count cannot be shifted by a fraction, nor a value at the edge of what is possible.
        let (Ok(up), Ok(down)) = (shifted(step), shifted(-step)) else {
            continue;
        };
        let outputs = &evaluation.cards[0].outputs;
        // Where a whole number is rounded there is a jump and no derivative.
        let whole = |number: &usize| outputs[*number].field.number_kind() == Some(Kind::Count);
        if (0..outputs.len())
            .filter(whole)
            .any(|n| up[0][n] != down[0][n])
        {
            continue;
        }
        for (number, output) in outputs.iter().enumerate() {
            let difference = (up[0][number] - down[0][number]) / (2.0 * step);
            let slope = exact[0][number].slope;
            let size = slope
                .abs()
                .max(plain[0][number].abs() / value.abs().max(step));
            assert!(
                (slope - difference).abs() <= 1e-6 * size,
                "{} ({}): ∂{}/∂{} is {slope}, the difference {difference}",
                calculator.id,
                case.title,
                output.path,
                evaluation.leaves[leaf].path
            );
        }
    }
}
