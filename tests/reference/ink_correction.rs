//! The ink correction through its public interface: it restores a composition, and nothing comes closer within a limit.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{CardResult, Evaluation};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, stops};

const ROWS: [&str; 5] = ["a", "b", "c", "d", "e"];

/// Planned and so far in g.
fn evaluated(amounts: &[(f64, f64)], others: &[(&str, &str)]) -> Evaluation {
    let mut correction = card("ink_correction", others);
    let calculator = correction.declaration().unwrap();
    for (row, (planned, so_far)) in ROWS.iter().zip(amounts) {
        for (column, mass) in [("planned", planned), ("so_far", so_far)] {
            correction.enter(
                calculator,
                &format!("components.{row}.{column}"),
                &format!("{mass} g"),
            );
        }
    }
    alone(correction)
}

/// What is added to each, in g.
fn additions(card: &CardResult, count: usize) -> Vec<f64> {
    let rows = ROWS.iter().take(count);
    rows.map(|row| 1e3 * number(card, &format!("correction.{row}.to_add")))
        .collect()
}

/// Plans with a batch so far in which every component is off.
fn batches() -> impl Iterator<Item = Vec<(f64, f64)>> {
    let mut numbers = Generator::new(5_003);
    (0..200).map(move |round| {
        let count = 2 + round % 4;
        let component = |_| {
            let planned = numbers.between(1e-2, 100.0);
            (planned, planned * numbers.between(0.5, 2.0))
        };
        (0..count).map(component).collect()
    })
}

fn total(numbers: impl IntoIterator<Item = f64>) -> f64 {
    numbers.into_iter().sum()
}

#[wasm_bindgen_test(unsupported = test)]
fn a_correction_restores_the_composition() {
    for batch in batches() {
        let evaluation = evaluated(&batch, &[]);
        let added = additions(&evaluation.cards[0], batch.len());
        let after: Vec<f64> = batch.iter().zip(&added).map(|((_, m), x)| m + x).collect();
        let (whole, planned) = (
            total(after.iter().copied()),
            total(batch.iter().map(|b| b.0)),
        );
        for ((plan, _), mass) in batch.iter().zip(&after) {
            let (fraction, wanted) = (mass / whole, plan / planned);
            assert!(
                (fraction - wanted).abs() <= 1e-9 * wanted,
                "{fraction}, not {wanted}"
            );
        }
        assert!(added.iter().all(|x| *x >= 0.0), "{added:?}");
        // Nothing smaller does: of the component most over nothing is added; where none is over, the batch is as planned.
        if batch.iter().any(|(plan, mass)| mass > plan) {
            assert!(added.contains(&0.0), "{added:?}");
        } else {
            assert!((whole / planned - 1.0).abs() <= 1e-12);
        }
        assert_eq!(
            check(&evaluation, "composition").map(|c| c.0),
            Some(Level::InRange)
        );
    }
}

/// Sum of squared distances of mass fractions.
fn squares(batch: &[(f64, f64)], added: &[f64]) -> f64 {
    let planned = total(batch.iter().map(|b| b.0));
    let whole = total(batch.iter().map(|b| b.1)) + total(added.iter().copied());
    let distance = |((plan, mass), x): (&(f64, f64), &f64)| (mass + x) / whole - plan / planned;
    batch.iter().zip(added).map(distance).map(|d| d * d).sum()
}

#[wasm_bindgen_test(unsupported = test)]
fn within_a_limit_nothing_comes_closer() {
    let mut numbers = Generator::new(5_004);
    for batch in batches() {
        let exact = number(&evaluated(&batch, &[]).cards[0], "addition") * 1e3;
        let limit = exact * numbers.between(0.05, 0.95);
        let evaluation = evaluated(
            &batch,
            &[("find", "closest"), ("limit", &format!("{limit} g"))],
        );
        let best = additions(&evaluation.cards[0], batch.len());
        assert!((total(best.iter().copied()) - limit).abs() <= 1e-9 * limit);
        assert!(best.iter().all(|x| *x >= 0.0), "{best:?}");
        let least = squares(&batch, &best);
        for _ in 0..50 {
            // Any other way of sharing any addition up to the limit.
            let shares: Vec<f64> = batch.iter().map(|_| numbers.between(1e-6, 1.0)).collect();
            let size = limit * numbers.between(1e-3, 1.0) / total(shares.iter().copied());
            let other: Vec<f64> = shares.iter().map(|share| share * size).collect();
            // And small steps away from what was found.
            let blend = numbers.between(1e-4, 1.0);
            let near: Vec<f64> = best
                .iter()
                .zip(&other)
                .map(|(a, b)| a + blend * (b - a))
                .collect();
            for tried in [other, near] {
                let found = squares(&batch, &tried);
                assert!(
                    found >= least * (1.0 - 1e-9),
                    "{found} below {least}: {tried:?}, {best:?}"
                );
            }
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_wide_limit_restores_exactly() {
    for batch in batches() {
        let exact = evaluated(&batch, &[]);
        let wide = evaluated(&batch, &[("find", "closest"), ("limit", "1000 kg")]);
        let count = batch.len();
        assert_eq!(
            additions(&exact.cards[0], count),
            additions(&wide.cards[0], count)
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_not_planned_cannot_be_taken_out() {
    stops(
        &evaluated(&[(20.0, 20.0), (80.0, 80.0), (0.0, 1.5)], &[]),
        "components.c.planned",
        "not_planned",
        "1.5 g of row 3 is in the ink and none is planned: no addition takes it out again.",
    );
    stops(
        &evaluated(&[(0.0, 20.0)], &[]),
        "components",
        "nothing_planned",
        "No component has a planned mass above zero.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_left_is_said() {
    let closest = [("find", "closest"), ("limit", "10 g")];
    let evaluation = evaluated(&[(40.0, 60.0), (30.0, 30.0), (30.0, 30.0)], &closest);
    let (level, sentence) = check(&evaluation, "composition").expect("it is said");
    assert_eq!(level, Level::Note);
    assert_eq!(
        sentence,
        "130 g of ink; furthest from the plan is row 1, with 46.15 % instead of 40 %."
    );
    let large = evaluated(&[(10.0, 20.0), (90.0, 90.0)], &[]);
    let (_, sentence) = check(&large, "large_correction").expect("it is said");
    assert_eq!(
        sentence,
        "90 g are to be added to 110 g: see whether a fresh batch takes less."
    );
}
