//! Monte Carlo runs against closed forms and the examples of JCGM 101:2008.

use glasswick_core::uncertainty::monte_carlo::{Agreement, Draws, FirstOrder, Input, Outcome, Run};
use glasswick_core::uncertainty::{Density, Distribution};
use wasm_bindgen_test::wasm_bindgen_test;

const NORMAL: Density = Density::Normal;
const RECTANGULAR: Density = Density::Limited(Distribution::Rectangular);

fn input(value: f64, uncertainty: f64, density: Density) -> Input {
    Input::Number {
        value,
        uncertainty,
        density,
        degrees_of_freedom: f64::INFINITY,
    }
}

/// A run of a model with a first-order result that is stated.
fn run(
    inputs: &[Input],
    (value, uncertainty): (f64, f64),
    draws: Draws,
    model: impl Fn(&[f64]) -> f64,
) -> Outcome {
    let first_order = FirstOrder {
        value,
        uncertainty,
        degrees_of_freedom: f64::INFINITY,
    };
    let mut run = Run::new(inputs, first_order, 20_251_125, draws);
    while !run.step(|x| Ok(model(x))).unwrap().finished {}
    run.finish().unwrap()
}

#[wasm_bindgen_test(unsupported = test)]
fn sum_of_normals_is_valid() {
    let inputs = vec![input(0.0, 1.0, NORMAL); 4];
    let outcome = run(&inputs, (0.0, 2.0), Draws::Fixed(100_000), |x| {
        x.iter().sum()
    });
    println!("{outcome:?} {}", outcome.verdict.words());
    assert!((outcome.uncertainty - 2.0).abs() < 5.0 * outcome.errors.uncertainty);
    assert_eq!(outcome.verdict.one_digit.agreement, Agreement::Valid);
    let inputs = [
        input(0.0, 1.0, RECTANGULAR),
        input(0.0, 1.0, RECTANGULAR),
        input(0.0, 1.0, RECTANGULAR),
        input(0.0, 10.0, RECTANGULAR),
    ];
    let outcome = run(
        &inputs,
        (0.0, 103.0_f64.sqrt()),
        Draws::Fixed(100_000),
        |x| x.iter().sum(),
    );
    println!("{outcome:?} {}", outcome.verdict.words());
}
