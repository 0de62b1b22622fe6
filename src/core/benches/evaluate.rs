//! Times the evaluation of long chains of cards: `cargo xtask bench`.
//!
//! Reports the median of many runs and the ratio between lengths, which shows whether the cost is linear in cards.

#![expect(clippy::disallowed_methods, reason = "a bench measures time")]
#![expect(clippy::expect_used, reason = "a bench may stop")]

use std::hint::black_box;
use std::time::Instant;

use glasswick_core::calculators;
use glasswick_core::sheet::{Address, Card, Input, Sheet, evaluate};

/// A chain of dilutions, each taking its stock from the one before.
fn chain(cards: usize) -> Sheet {
    let dilution = calculators::find("dilution").expect("it is in the list");
    let card = |number: usize| {
        let mut card = Card::new(dilution, format!("step-{number}"));
        card.enter(dilution, "find", "target");
        card.enter(dilution, "stock", "2.00 ± 0.01 mol/L");
        card.enter(dilution, "aliquot", "99.90 ± 0.05 mL");
        card.enter(dilution, "final", "100.00 ± 0.08 mL");
        if let Some(before) = number.checked_sub(1) {
            let address = Address {
                card: format!("step-{before}"),
                output: "target".into(),
            };
            card.inputs.insert("stock".into(), Input::Link(address));
        }
        card
    };
    Sheet {
        cards: (0..cards).map(card).collect(),
    }
}

fn median_milliseconds(cards: usize) -> f64 {
    let sheet = chain(cards);
    let last = format!("step-{}", cards - 1);
    let mut times: Vec<f64> = (0..41)
        .map(|_| {
            let start = Instant::now();
            let evaluation = evaluate(black_box(&sheet));
            black_box(evaluation.budget(&last, "target"));
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn main() {
    println!("evaluation with the budget of the last output, median of 41 runs");
    let mut before = None;
    for cards in [10, 100, 1000, 2000] {
        let time = median_milliseconds(cards);
        let ratio = before.map_or(String::new(), |(fewer, shorter): (usize, f64)| {
            format!("   {:.1} times the time of {fewer} cards", time / shorter)
        });
        println!("{cards:>6} cards {time:>9.3} ms{ratio}");
        before = Some((cards, time));
    }
}
