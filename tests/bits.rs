//! A digest over the bits of elementary functions on a grid, of every worked case of every calculator and of a Monte Carlo
//! run, and the digest of the demo's record.
//!
//! The build script computes it natively; the checks compute it again where they run, so that equality of the bits
//! between native and wasm is tested without a number written down by hand.

use glasswick_core::calculators;
use glasswick_core::scalar::{Dual, Scalar};
use glasswick_core::sheet::{Card, Sheet, evaluate};
use glasswick_core::uncertainty::monte_carlo::{Draws, FirstOrder, Input, Run};
use glasswick_core::uncertainty::{Density, Distribution};
use glasswick_record::{Origin, record_json, restore};

/// A 64-bit FNV-1a hash over the bits of numbers.
struct Bits(u64);

impl Bits {
    fn add(&mut self, number: f64) {
        // Which of the many NaN is no result.
        let bits = if number.is_nan() {
            u64::MAX
        } else {
            number.to_bits()
        };
        for byte in bits.to_le_bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}

/// The digest over elementary functions on a grid of several thousand arguments.
#[must_use]
pub fn of_functions() -> u64 {
    let mut bits = Bits(0xcbf2_9ce4_8422_2325);
    for step in 0..4000_i32 {
        let x = Dual::seed(f64::from(step - 1000) * 0.013_7 + 1e-3);
        let results = [
            x.exp(),
            x.exp_m1(),
            x.ln(),
            x.ln_1p(),
            x.log10(),
            x.sqrt(),
            x.powi(7),
            x.powi(-3),
            x.powf(0.37),
            x.sin(),
            x.cos(),
        ];
        for result in results {
            bits.add(result.value);
            bits.add(result.slope);
        }
    }
    bits.0
}

/// The digest over the results and standard uncertainties of every worked case.
#[must_use]
pub fn of_cases() -> u64 {
    let mut bits = Bits(0xcbf2_9ce4_8422_2325);
    for (calculator, case) in calculators::cases() {
        let sheet = Sheet {
            cards: vec![Card::example(calculator, case)],
        };
        let evaluation = evaluate(&sheet);
        for output in &evaluation.cards[0].outputs {
            bits.add(output.value);
            let budget = evaluation.budget(calculator.id, &output.path);
            bits.add(budget.map_or(f64::NAN, |b| b.uncertainty));
        }
    }
    bits.0
}

/// The digest over a Monte Carlo run that draws from every distribution.
#[must_use]
pub fn of_draws() -> u64 {
    let limited = |shape| Density::Limited(shape);
    let densities = [
        Density::Normal,
        Density::StudentT,
        limited(Distribution::Rectangular),
        limited(Distribution::Triangular),
        limited(Distribution::Arcsine),
        limited(Distribution::Trapezoidal { top: 0.3 }),
    ];
    let number = |density| Input::Number {
        value: 1.0,
        uncertainty: 0.2,
        density,
        degrees_of_freedom: 5.0,
    };
    let mut inputs: Vec<Input> = densities.into_iter().map(number).collect();
    inputs.push(Input::Block {
        covariance: vec![vec![0.04, 0.01], vec![0.01, 0.09]],
        degrees_of_freedom: 3.0,
    });
    let first_order = FirstOrder {
        value: 1.0,
        uncertainty: 0.5,
        degrees_of_freedom: 20.0,
    };
    let mut run = Run::new(&inputs, first_order, 101, Draws::Fixed(20_000));
    let mut bits = Bits(0xcbf2_9ce4_8422_2325);
    let mut model = |x: &[f64]| -> Result<f64, String> {
        x.iter().for_each(|number| bits.add(*number));
        Ok(x.iter().product())
    };
    while run
        .step(&mut model, |why| why)
        .is_ok_and(|progress| !progress.finished)
    {}
    if let Ok(outcome) = run.finish() {
        let found = [outcome.mean, outcome.uncertainty, outcome.errors.low];
        found.into_iter().for_each(|number| bits.add(number));
        for interval in [outcome.symmetric, outcome.shortest] {
            bits.add(interval.low);
            bits.add(interval.high);
        }
    }
    bits.0
}

/// The digest that the demo's record states, or why there is none.
#[must_use]
pub fn of_demo_record() -> String {
    let demo = match restore(include_str!("../demo-data/zinc-oxide-tiles.json")) {
        Ok(restored) => restored.document,
        Err(error) => return error.to_string(),
    };
    let origin = Origin {
        app_version: "0.1.0",
        exported: "2026-05-12T09:30:00+02:00",
    };
    let record = record_json(&demo, &evaluate(&demo.sheet), &origin);
    record["digest"].as_str().unwrap_or_default().to_owned()
}
