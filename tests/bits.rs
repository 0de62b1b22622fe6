//! A digest over the bits of elementary functions on a grid and of every worked case of every calculator, and
//! the digest of the demo's record.
//!
//! The build script computes it natively; the checks compute it again where they run, so that equality of the bits
//! between native and wasm is tested without a number written down by hand.

use glasswick_core::calculators;
use glasswick_core::scalar::{Dual, Scalar};
use glasswick_core::sheet::{Card, Sheet, evaluate};
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
