//! Forward and reverse sweeps: published rows and an exact pair by every index, what cancels in them, their scatter, and
//! what is said about the sweeps.

use glasswick_core::chemistry::hysteresis::{Both, product_index};
use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::efficiency::{DYE_LIKE_CELL, Normal, SingleDiode, text};
use crate::support::{self, alone, card, check, checks, near, stops};

/// The forward sweep of the book's pair; the reverse one is [`DYE_LIKE_CELL`].
const FORWARD_CELL: SingleDiode = SingleDiode {
    photocurrent: 17.8,
    saturation: 4e-6,
    ideality: 1.85,
    series: 9.0,
    shunt: 1500.0,
};

const CUBIC: [(&str, &str); 2] = [("axes", "cubic"), ("method", "cubic")];

type Curve = Vec<(f64, f64)>;

/// Points in V and mA/cm², from −10 mV to 0.78 V.
fn points(cell: &SingleDiode, step: f64) -> Curve {
    let first = -(0.01 / step).round();
    let count = (0.79 / step).round() as u32;
    (0..=count)
        .map(|k| (first + f64::from(k)) * step)
        .map(|volts| (volts, cell.density(volts)))
        .collect()
}

/// Currents in mA on 1 cm² at 100 mW/cm², forward as given, reverse turned round.
fn pair(forward: &[(f64, f64)], reverse: &[(f64, f64)], more: &[(&str, &str)]) -> Evaluation {
    let turned: Curve = reverse.iter().rev().copied().collect();
    let (forward, reverse) = (text(forward), text(&turned));
    let mut entries = vec![
        ("forward", forward.as_str()),
        ("reverse", reverse.as_str()),
        ("area", "1 cm2"),
    ];
    entries.extend(more);
    alone(card("sweep_pair", &entries))
}

fn number(evaluation: &Evaluation, output: &str) -> f64 {
    support::number(&evaluation.cards[0], output)
}

/// Forward and reverse rows of a public table of cells (read in its file), indices computed with Python 3.11 from the rounded
/// entries; the product index is a column of that table.
#[wasm_bindgen_test(unsupported = test)]
fn published_rows_by_every_formula() {
    // Reverse Voc, Jsc, FF, η; forward the same; (r − f)/r, over mean, over sum, f/r, product; η = Voc·Jsc·FF of both.
    type Row = ([f64; 4], [f64; 4], [f64; 5], [f64; 2]);
    let rows: [Row; 7] = [
        (
            [0.744, 21.498, 0.65, 10.41],
            [0.73, 21.294, 0.63, 9.79],
            [0.05956, 0.06139, 0.03069, 0.94044, 0.128_838],
            [10.3964, 9.7931],
        ),
        (
            [0.895, 15.997, 0.748, 10.72],
            [0.892, 15.914, 0.685, 9.73],
            [0.09235, 0.09682, 0.04841, 0.90765, 0.213_418],
            [10.7094, 9.7238],
        ),
        (
            [1.063, 18.811, 0.766, 15.3],
            [1.063, 18.809, 0.766, 15.31],
            [-0.00065, -0.00065, -0.00033, 1.00065, 0.000_760],
            [15.3170, 15.3154],
        ),
        (
            [1.099, 20.009, 0.72, 15.82],
            [1.09, 20.174, 0.68, 14.94],
            [0.05563, 0.05722, 0.02861, 0.94437, 0.139_770],
            [15.8327, 14.9530],
        ),
        (
            [1.219, 19.99, 0.8, 19.46],
            [1.209, 19.9, 0.78, 18.84],
            [0.03186, 0.03238, 0.01619, 0.96814, 0.072_987],
            [19.4942, 18.7661],
        ),
        (
            [1.15, 18.47, 0.71, 15.07],
            [1.13, 18.45, 0.7, 14.69],
            [0.02522, 0.02554, 0.01277, 0.97478, 0.060_087],
            [15.0808, 14.5939],
        ),
        (
            [1.14, 17.19, 0.723, 14.17],
            [1.13, 17.18, 0.722, 14.01],
            [0.01129, 0.01136, 0.00568, 0.98871, 0.022_379],
            [14.1683, 14.0165],
        ),
    ];
    for (reverse, forward, expected, products) in rows {
        let both = [0, 1, 2, 3].map(|k| Both {
            forward: forward[k],
            reverse: reverse[k],
        });
        let efficiency = both[3];
        let found = [
            efficiency.over_reverse(),
            efficiency.over_mean(),
            efficiency.over_sum(),
            efficiency.ratio(),
            product_index(&both),
        ];
        let half_units = [5e-6, 5e-6, 5e-6, 5e-6, 5e-7];
        for ((found, expected), within) in found.into_iter().zip(expected).zip(half_units) {
            assert!(
                (found - expected).abs() <= within,
                "{found}, not {expected}"
            );
        }
        // The rows themselves: η from the other three, to the digits of the book.
        for (row, product) in [reverse, forward].into_iter().zip(products) {
            assert!((row[0] * row[1] * row[2] - product).abs() <= 5.1e-5);
        }
    }
}

/// HY-SYN: exact curves, indices by mpmath 1.4.1 and scipy 1.17.1. Every half millivolt the cubic differs from them by less
/// than the digits given.
#[wasm_bindgen_test(unsupported = test)]
fn an_exact_pair_by_every_formula() {
    let found = pair(
        &points(&FORWARD_CELL, 5e-4),
        &points(&DYE_LIKE_CELL, 5e-4),
        &CUBIC,
    );
    for (output, expected, within) in [
        ("reverse_open_circuit_voltage", 0.760_296, 5e-7),
        ("forward_open_circuit_voltage", 0.726_318, 5e-7),
        ("reverse_short_circuit_density", 179.712_39, 5e-6),
        ("forward_short_circuit_density", 176.937_28, 5e-6),
        ("reverse_fill_factor", 0.687_143, 5e-7),
        ("forward_fill_factor", 0.580_937, 5e-7),
        ("reverse_efficiency", 0.093_887_54, 5e-9),
        ("forward_efficiency", 0.074_657_72, 5e-9),
        ("at_08", 0.395_375, 5e-7),
        ("at_05", 0.036_785, 5e-7),
        ("over_reverse", 0.204_818, 5e-7),
        ("over_mean", 0.228_186, 5e-7),
        ("area_over_reverse", 0.129_895, 5e-7),
        ("area_over_sum", 0.069_459, 5e-7),
        ("product_index", 0.581_49, 5e-7),
    ] {
        let found = number(&found, output);
        assert!(
            (found - expected).abs() <= within,
            "{output}: {found}, not {expected}"
        );
    }
}

const INDICES: [&str; 9] = [
    "over_reverse",
    "over_mean",
    "over_sum",
    "forward_over_reverse",
    "at_08",
    "at_05",
    "area_over_reverse",
    "area_over_sum",
    "product_index",
];

/// Area, light and calibration are those of both sweeps: no index depends on them, nor on the sign of the current.
#[wasm_bindgen_test(unsupported = test)]
fn what_both_sweeps_share_cancels_in_every_index() {
    let (forward, reverse) = (points(&FORWARD_CELL, 0.02), points(&DYE_LIKE_CELL, 0.02));
    // What local fits allow for their degree is not shared.
    let plain = pair(&forward, &reverse, &CUBIC);
    let shared = [
        CUBIC[0],
        CUBIC[1],
        ("area", "0.5 ± 0.01 cm2"),
        ("irradiance", "80 ± 2 mW/cm2"),
        ("current_factor", "1.01 ± 0.01"),
        ("voltage_factor", "0.99 ± 0.01"),
        ("noise", "1e-6 uA"),
    ];
    let negative =
        |curve: &[(f64, f64)]| -> Curve { curve.iter().map(|(v, i)| (*v, -i)).collect() };
    let other = pair(&negative(&forward), &negative(&reverse), &shared);
    for index in INDICES {
        near(number(&other, index), number(&plain, index), 1e-10, index);
        let found = other.estimate("sweep_pair", index).unwrap();
        assert!(found.uncertainty < 1e-9, "{index}: {found:?}");
    }
    near(
        number(&other, "mean_efficiency"),
        number(&plain, "mean_efficiency") * 1.01 * 0.99 / (0.5 * 0.8),
        1e-10,
        "η",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn scatter_of_the_indices_equals_a_simulation() {
    const DRAWS: usize = 800;
    let (forward, reverse) = (points(&FORWARD_CELL, 0.02), points(&DYE_LIKE_CELL, 0.02));
    let noise = 0.005; // mA
    let mut normal = Normal(31);
    let mut noisy = |curve: &[(f64, f64)]| -> Curve {
        curve
            .iter()
            .map(|(v, i)| (*v, i + noise * normal.draw()))
            .collect()
    };
    let predicted = pair(&forward, &reverse, &[("noise", "5 uA")]);
    let mut sums = [(0.0, 0.0); INDICES.len()];
    for _ in 0..DRAWS {
        let drawn = pair(&noisy(&forward), &noisy(&reverse), &[("noise", "5 uA")]);
        for (sum, index) in sums.iter_mut().zip(INDICES) {
            let difference = number(&drawn, index) - number(&predicted, index);
            sum.0 += difference;
            sum.1 += difference * difference;
        }
    }
    for ((sum, squares), index) in sums.into_iter().zip(INDICES) {
        let n = DRAWS as f64;
        let simulated = ((squares - sum * sum / n) / (n - 1.0)).sqrt();
        let stated = predicted.estimate("sweep_pair", index).unwrap().uncertainty;
        // The simulation itself scatters by 1/√(2·800), about 2.5 %.
        let ratio = stated / simulated;
        assert!(
            (0.9..1.1).contains(&ratio),
            "{index}: {stated} against {simulated}"
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn directions_and_differences_are_said() {
    let (forward, reverse) = (points(&FORWARD_CELL, 0.02), points(&DYE_LIKE_CELL, 0.02));
    let usual = pair(&forward, &reverse, &[("noise", "0.5 uA")]);
    assert_eq!(check(&usual, "direction").unwrap().0, Level::InRange);
    let (level, sentence) = check(&usual, "sweeps_differ").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("By 20 % of the reverse efficiency the reverse sweep gives more"),
        "{sentence}"
    );
    // Every code once, since the page tells checks apart by them.
    let mut codes: Vec<_> = checks(&usual).into_iter().map(|(code, _)| code).collect();
    let all = codes.len();
    codes.sort_unstable();
    codes.dedup();
    assert_eq!(codes.len(), all);

    let turned = |curve: &[(f64, f64)]| -> Curve { curve.iter().rev().copied().collect() };
    let exchanged = pair(&turned(&reverse), &turned(&forward), &[]);
    let (level, sentence) = check(&exchanged, "direction").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("exchange the two"), "{sentence}");
    let same = pair(&forward, &turned(&reverse), &[]);
    let (level, sentence) = check(&same, "direction").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("same way"), "{sentence}");

    let none = pair(&reverse, &reverse, &[]);
    assert_eq!(check(&none, "sweeps_differ").unwrap().0, Level::InRange);
    let coarse: Curve = forward.iter().step_by(4).copied().collect();
    let (level, sentence) = check(&pair(&coarse, &reverse, &[]), "coarse_points").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("Forward: Round the maximum"),
        "{sentence}"
    );
    // What both give reason to say stands once.
    let both: Curve = reverse.iter().step_by(4).copied().collect();
    let (_, sentence) = check(&pair(&coarse, &both, &[]), "coarse_points").unwrap();
    assert!(sentence.starts_with("Round the maximum"), "{sentence}");
}

#[wasm_bindgen_test(unsupported = test)]
fn a_sweep_that_does_not_show_it_is_named() {
    let (forward, reverse) = (points(&FORWARD_CELL, 0.02), points(&DYE_LIKE_CELL, 0.02));
    let late: Curve = reverse.iter().filter(|(v, _)| *v > 0.1).copied().collect();
    stops(
        &pair(&forward, &late, &[]),
        "reverse",
        "no_short_circuit",
        "The points (0.12 V to 0.78 V) are too far from 0 V to read the short-circuit current from them.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn sweeps_of_two_units_are_said() {
    let curve = points(&DYE_LIKE_CELL, 0.01);
    let third: Curve = curve.iter().map(|(v, i)| (*v, i / 3.0)).collect();
    let found = pair(&third, &curve, &CUBIC);
    let (level, sentence) = check(&found, "currents_differ").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains(", 3 times as much"), "{sentence}");
    assert!(check(&pair(&curve, &curve, &CUBIC), "currents_differ").is_none());
}
