//! Times Monte Carlo runs: `cargo xtask bench`.
//!
//! Reports the time of a million draws of a chain of ten cards, which the page shall do in two seconds, and of draws alone.

#![expect(clippy::disallowed_methods, reason = "a bench measures time")]
#![expect(clippy::expect_used, reason = "a bench may stop")]

use std::hint::black_box;
use std::time::Instant;

use glasswick_core::calculators;
use glasswick_core::sheet::{Address, Card, Input, Sheet, Trials, evaluate};
use glasswick_core::uncertainty::Density;
use glasswick_core::uncertainty::monte_carlo::{self, Draws, FirstOrder, Run};

const MILLION: Draws = Draws::Fixed(1_000_000);

/// A chain of dilutions, each taking its stock from the one before.
fn chain(cards: usize) -> Sheet {
    let dilution = calculators::find("dilution").expect("it is in the list");
    let card = |number: usize| {
        let mut card = Card::new(dilution, format!("step-{number}"));
        card.enter(dilution, "find", "target");
        card.enter(dilution, "stock", "2.00 ± 0.01 mol/L");
        card.enter(dilution, "aliquot", "95.00 ± 0.05 mL");
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

fn report(what: &str, run: impl Fn()) {
    let mut times: Vec<f64> = (0..5)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{what:<44} {:>8.3} s", times[times.len() / 2]);
}

fn main() {
    println!("a million draws, median of 5 runs");
    let evaluation = evaluate(&chain(10));
    report("ten cards, 21 normal inputs", || {
        let trials = Trials::new(&evaluation, "step-9", "target", 1, MILLION);
        let outcome = trials.expect("it is uncertain").complete();
        black_box(outcome.expect("it is possible"));
    });
    let normal = monte_carlo::Input::Number {
        value: 0.0,
        uncertainty: 1.0,
        density: Density::Normal,
        degrees_of_freedom: f64::INFINITY,
    };
    let inputs = vec![normal; 21];
    let first_order = FirstOrder {
        value: 0.0,
        uncertainty: 1.0,
        degrees_of_freedom: f64::INFINITY,
    };
    report("21 normal inputs, no cards", || {
        let mut run = Run::new(&inputs, first_order, 1, MILLION);
        let first = |x: &[f64]| Ok::<_, String>(x[0]);
        while run
            .step(first, |why| why)
            .is_ok_and(|progress| !progress.finished)
        {}
        black_box(run.finish().expect("there are draws"));
    });
}
