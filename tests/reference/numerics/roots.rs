//! Equations without a closed form.

use glasswick_core::numerics::root::{Equation, RootError, bracketed_root, solve};
use glasswick_core::scalar::{Dual, Scalar};
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, difference, seeded, within};

/// x eˣ = a − b x², whose parameters enter in different ways.
struct Example;
impl Equation<2> for Example {
    fn residual<S: Scalar>(&self, x: S, &[a, b]: &[S; 2]) -> S {
        x * x.exp() - a + b * x * x
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_solved_root_carries_the_derivative_of_every_parameter() {
    let given = [2.0, 0.7];
    let plain = |given: &[f64]| solve(&Example, &[given[0], given[1]], (0.0, 5.0), 0.0).unwrap();
    for i in 0..2 {
        let duals = seeded(&given, i);
        let root = solve(&Example, &[duals[0], duals[1]], (0.0, 5.0), 0.0).unwrap();
        assert_eq!(
            root.value,
            plain(&given),
            "the value does not depend on the scalar"
        );
        close(
            "∂x/∂p",
            root.slope,
            difference(&given, i, 1e-5, plain),
            1e-9,
        );
    }
    // A parameter that both sides share: the chain a = p², b = p.
    let p = Dual::seed(1.3);
    let root = solve(&Example, &[p * p, p], (0.0, 5.0), 0.0).unwrap();
    let expected = difference(&[1.3], 0, 1e-5, |p| plain(&[p[0] * p[0], p[0]]));
    close("∂x/∂p", root.slope, expected, 1e-9);
}

/// The omega constant, x eˣ = 1: DLMF 4.13, value from memory, confirmed with mpmath 1.4.1.
#[wasm_bindgen_test(unsupported = test)]
fn known_roots() {
    let omega = solve(&Example, &[1.0, 0.0], (0.0, 1.0), 0.0).unwrap();
    close("Ω", omega, 0.567_143_290_409_783_8, 2e-16);
    let root = bracketed_root((0.0, 2.0), 0.0, |x| x * x - 2.0).unwrap();
    close("√2", root, core::f64::consts::SQRT_2, 4e-16);
    // Ends in either order, a root at an end, a flat root, a step, and scales far apart.
    let root = bracketed_root((2.0, 0.0), 0.0, |x| x * x - 2.0).unwrap();
    close("√2", root, core::f64::consts::SQRT_2, 4e-16);
    assert_eq!(bracketed_root((1.0, 2.0), 0.0, |x| x - 1.0), Ok(1.0));
    assert_eq!(bracketed_root((1.0, 2.0), 0.0, |x| x - 2.0), Ok(2.0));
    let flat = bracketed_root((-1.0, 4.0), 1e-9, |x: f64| {
        (x - 1.0) * (x - 1.0) * (x - 1.0)
    })
    .unwrap();
    within("flat", flat, 1.0, 1e-5);
    let step = bracketed_root((0.0, 1.0), 0.0, |x| if x < 0.3 { -1.0 } else { 1e9 }).unwrap();
    close("step", step, 0.3, 1e-15);
    let steep = bracketed_root((1e-12, 1e3), 0.0, |x| 1e-9 - 1.0 / (x * 1e12)).unwrap();
    close("steep", steep, 1e-3, 1e-15);
}

#[wasm_bindgen_test(unsupported = test)]
fn few_evaluations_find_a_root() {
    let mut calls = 0;
    bracketed_root((0.0, 5.0), 0.0, |x| {
        calls += 1;
        Scalar::exp(x) - 10.0
    })
    .unwrap();
    assert!(calls <= 15, "{calls} evaluations");
}

/// x³ = p: level at the root where p = 0.
struct Cube;
impl Equation<1> for Cube {
    fn residual<S: Scalar>(&self, x: S, &[p]: &[S; 1]) -> S {
        x * x * x - p
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_root_says_what_it_misses() {
    let outside = solve(&Cube, &[8.0], (3.0, 4.0), 0.0);
    let expected = RootError::NotBracketed {
        at_low: 19.0,
        at_high: 56.0,
    };
    assert_eq!(outside, Err(expected));
    assert_eq!(
        solve(&Cube, &[0.0], (0.0, 1.0), 0.0),
        Err(RootError::Tangent { x: 0.0 })
    );
    assert_eq!(
        bracketed_root((-1.0, 1.0), 0.0, |x| if x == 0.0 { f64::NAN } else { x }),
        Err(RootError::NotFinite { x: 0.0 })
    );
    assert_eq!(
        bracketed_root((f64::NAN, 1.0), 0.0, |x| x).map_err(|e| e.to_string()),
        Err("The equation cannot be evaluated for these inputs.".to_string())
    );
}
