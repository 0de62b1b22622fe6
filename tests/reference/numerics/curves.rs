//! Points of measured curves: crossings, peaks, monotone interpolation.

use glasswick_core::numerics::curve::{Curve, CurveError, Local, MonotoneCubic};
use glasswick_core::numerics::line::fit;
use glasswick_core::numerics::root::bracketed_root;
use glasswick_core::scalar::Scalar;
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, columns, difference, seeded, within};

const RTC: &str = include_str!("../data/rtc_france.csv");

/// Current over voltage, and power over voltage, of the published silicon cell.
fn rtc() -> (Curve, Curve) {
    let (voltage, current) = columns(RTC);
    let curve = Curve::new(&voltage, &current).unwrap();
    let power = curve.map(|v, i| v * i);
    (curve, power)
}

/// Computed with scipy 1.17.1, numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_by_straight_lines() {
    let (curve, power) = rtc();
    let voc = curve.zero_crossing().unwrap();
    let isc = curve.linear(0.0).unwrap();
    let (_, vmp, pmax) = power.largest();
    close("Voc", voc.x, 0.572_692_511_013_211_1, 1e-14);
    assert!(voc.inside && isc.inside);
    close("Isc", isc.y, 0.7605, 1e-15);
    // The largest of V times the straight line is at a point: the library's search ends 1.3e-9 beside it.
    within("Vmp", vmp, 0.459, 1e-15);
    within("Imp", pmax / vmp, 0.6755, 1e-15);
    close("Pmax", pmax, 0.310_054_5, 1e-15);
    within("FF", pmax / (voc.x * isc.y), 0.711_897, 5e-7);
}

/// Computed with scipy 1.17.1, numpy 2.4.6: open circuit by root search, maximum by bounded search.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_by_monotone_cubic() {
    let (curve, _) = rtc();
    let cubic = curve.monotone_cubic().unwrap();
    let voc = bracketed_root((0.5, 0.59), 0.0, |v| cubic.evaluate(v)).unwrap();
    let slope_of_power = |v: f64| cubic.evaluate(v) + v * cubic.derivative(v);
    let vmp = bracketed_root((0.3, 0.57), 0.0, slope_of_power).unwrap();
    let (isc, pmax) = (cubic.evaluate(0.0), vmp * cubic.evaluate(vmp));
    close("Voc", voc, 0.572_717_612_725_452_9, 1e-12);
    close("Isc", isc, 0.7605, 1e-14);
    within("Vmp", vmp, 0.451_460, 5e-7);
    within("Imp", cubic.evaluate(vmp), 0.687_846, 5e-7);
    close("Pmax", pmax, 0.310_534_828_402_313_86, 1e-12);
    close("FF", pmax / (voc * isc), 0.712_968_854_652_833, 1e-12);
}

/// Computed with Python 3.11 float64.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_peak_by_parabola_and_by_quartic() {
    let (_, power) = rtc();
    let parabola = power.parabola_peak().unwrap();
    close("Vmp", parabola.x, 0.450_479_636_846_899_46, 1e-12);
    close("Pmax", parabola.y, 0.310_845_797_062_981_43, 1e-12);
    close("Imp", parabola.y / parabola.x, 0.690_032_959_622_159, 1e-12);
    let quartic = power.quartic_peak().unwrap();
    close("Vmp", quartic.x, 0.451_117_042_878_712_24, 1e-9);
    close("Pmax", quartic.y, 0.310_595_772_322_321_1, 1e-11);
}

/// First five points, and points below 0.3 of the largest voltage: computed with scipy 1.17.1, numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn rtc_slope_at_short_circuit_by_line() {
    let (v, i) = columns(RTC);
    let five = fit(&v[..5], &i[..5], &[]).unwrap();
    close("−dV/dI", -1.0 / five.slope, 69.836_183_988_674_24, 1e-8);
    close("Isc", five.intercept, 0.760_474_118_941_238_2, 1e-12);
    let seven = fit(&v[..7], &i[..7], &[]).unwrap();
    close("−dV/dI", -1.0 / seven.slope, 63.402_405_138_741_73, 1e-10);
    close("Isc", seven.intercept, 0.760_345_203_703_417_2, 1e-12);
}

/// Computed with scipy 1.17.1, PchipInterpolator, on points with a turn, a level stretch and uneven steps.
#[wasm_bindgen_test(unsupported = test)]
fn monotone_cubic_values_and_slopes() {
    let x = [0.0, 1.0, 2.5, 3.0, 4.2, 5.0, 7.0];
    let y = [0.0, 0.5, 0.4, 2.0, 2.0, 5.0, 4.5];
    let cubic = MonotoneCubic::new(&x, &y).unwrap();
    let expected = [
        (0.0, 0.0, 0.726_666_666_666_666_7),
        (0.3, 0.21482, 0.680_866_666_666_666_7),
        (1.7, 0.454_992_592_592_592_6, -0.099_555_555_555_555_55),
        (2.6, 0.5664, 3.072),
        (3.5, 2.0, 0.0),
        (4.6, 3.5, 5.625),
        (6.2, 4.892, -0.27),
        (6.9, 4.571_312_5, -0.676_875),
        (7.0, 4.5, -0.75),
    ];
    for (at, value, slope) in expected {
        within("value", cubic.evaluate(at), value, 1e-14);
        within("slope", cubic.derivative(at), slope, 2e-13);
    }
    for (&x, &y) in x.iter().zip(&y) {
        assert_eq!(cubic.evaluate(x), y, "the points are met exactly");
    }
    // It never leaves the range of the two points round it.
    for step in 0..=700 {
        let at = f64::from(step) / 100.0;
        let i = x.partition_point(|&x| x <= at).clamp(1, 6);
        let (low, high) = (y[i - 1].min(y[i]), y[i - 1].max(y[i]));
        let value = cubic.evaluate(at);
        assert!(
            low - 1e-14 <= value && value <= high + 1e-14,
            "{value} at {at}"
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn weights_of_a_crossing_and_of_peaks_are_derivatives() {
    let (v, i) = columns(RTC);
    // Given in falling order: results name points as given.
    let (v, i): (Vec<f64>, Vec<f64>) = v.into_iter().zip(i).rev().unzip();
    let curve = Curve::new(&v, &i).unwrap();

    let crossing = curve.zero_crossing().unwrap();
    assert_eq!(crossing.weights.map(|w| w.0), [3, 2]);
    for (point, weight) in crossing.weights {
        let expected = difference(&i, point, 1e-5, |i| {
            Curve::new(&v, i).unwrap().zero_crossing().unwrap().x
        });
        close("∂Voc/∂I", weight, expected, 1e-7);
    }
    let value = curve.linear(0.1).unwrap();
    for (point, weight) in value.weights {
        let expected = difference(&i, point, 1e-3, |i| {
            Curve::new(&v, i).unwrap().linear(0.1).unwrap().y
        });
        within("∂I/∂I", weight, expected, 1e-12);
    }

    let power: Vec<f64> = v.iter().zip(&i).map(|(v, i)| v * i).collect();
    type Method = fn(&Curve) -> Result<glasswick_core::numerics::curve::Peak, CurveError>;
    let methods: [(Method, usize); 2] = [(Curve::parabola_peak, 3), (Curve::quartic_peak, 7)];
    for (method, points) in methods {
        let at = |y: &[f64]| method(&Curve::new(&v, y).unwrap()).unwrap();
        let peak = at(&power);
        assert_eq!((peak.weights.len(), peak.x_weights.len()), (points, points));
        for ((point, weight), (same, x_weight)) in peak.weights.iter().zip(&peak.x_weights) {
            assert_eq!(point, same);
            let height = difference(&power, *point, 1e-6, |y| at(y).y);
            within("∂y/∂y", *weight, height, 1e-8);
            let place = difference(&power, *point, 1e-6, |y| at(y).x);
            close("∂x/∂y", *x_weight, place, 1e-4);
        }
        // A common offset lifts the peak by itself and does not move it.
        let lifted: f64 = peak.weights.iter().map(|w| w.1).sum();
        within("sum of weights", lifted, 1.0, 1e-12);
        let moved: f64 = peak.x_weights.iter().map(|w| w.1).sum();
        within("sum of place weights", moved, 0.0, 1e-10);
    }
}

/// What is read from a local polynomial: value, slope at it, place of zero, slope there, height and place of the largest
/// product.
#[wasm_bindgen_test(unsupported = test)]
fn weights_of_local_polynomials_are_derivatives() {
    let (v, i) = columns(RTC);
    let (v, i): (Vec<f64>, Vec<f64>) = v.into_iter().zip(i).rev().unzip();
    type Part = for<'a> fn(&'a Curve) -> Local<'a>;
    let parts: [(Part, f64); 5] = [
        (|curve| curve.local_fit(21..25, 2).unwrap(), 0.57),
        (|curve| curve.local_fit(22..24, 1).unwrap(), 0.57),
        (|curve| curve.local_cubic(0.57).unwrap(), 0.57),
        (|curve| curve.local_fit(11..18, 4).unwrap(), 0.45),
        (|curve| curve.local_cubic(0.45).unwrap(), 0.45),
    ];
    for (part, at) in parts {
        let read = |i: &[f64]| -> [Option<f64>; 6] {
            let curve = Curve::new(&v, i).unwrap();
            let local = part(&curve);
            let (value, zero, peak) = (
                local.at(at),
                local.zero((at - 0.02, at + 0.02), at),
                local.product_peak(),
            );
            [
                Some(value.value),
                Some(value.slope),
                zero.as_ref().map(|zero| zero.value),
                zero.as_ref().map(|zero| zero.slope),
                peak.as_ref().map(|peak| peak.y),
                peak.as_ref().map(|peak| peak.x),
            ]
        };
        let curve = Curve::new(&v, &i).unwrap();
        let local = part(&curve);
        let (value, zero, peak) = (
            local.at(at),
            local.zero((at - 0.02, at + 0.02), at),
            local.product_peak(),
        );
        let weights = [
            Some(&value.weights),
            Some(&value.slope_weights),
            zero.as_ref().map(|zero| &zero.weights),
            zero.as_ref().map(|zero| &zero.slope_weights),
            peak.as_ref().map(|peak| &peak.weights),
            peak.as_ref().map(|peak| &peak.x_weights),
        ];
        let found = read(&i);
        // At the axis there is a zero and no largest product, and the other way round.
        let there: Vec<bool> = found.iter().map(Option::is_some).collect();
        let expected = if at > 0.5 {
            [true, true, true, true, false, false]
        } else {
            [true, true, false, false, true, true]
        };
        assert_eq!(there, expected, "{at}");
        for (number, weights) in weights.into_iter().enumerate() {
            let Some(weights) = weights else { continue };
            for point in 0..i.len() {
                let weight: f64 = weights.iter().filter(|w| w.0 == point).map(|w| w.1).sum();
                let by_difference = difference(&i, point, 1e-5, |i| read(i)[number].unwrap());
                let size = weights.iter().map(|w| w.1.abs()).fold(0.0, f64::max);
                within("∂/∂I", weight / size, by_difference / size, 1e-5);
            }
        }
    }
    let curve = Curve::new(&v, &i).unwrap();
    let (fit, cubic) = (
        curve.local_fit(11..18, 4).unwrap(),
        curve.local_cubic(0.45).unwrap(),
    );
    assert_eq!(
        (fit.degrees_of_freedom(), cubic.degrees_of_freedom()),
        (2, 0)
    );
    assert_eq!(fit.range(), 11..18);
    // Least squares: residuals add up to nothing.
    within("Σ r", fit.residuals().sum(), 0.0, 1e-13);
    assert!(curve.local_fit(3..5, 2).is_err() && curve.local_fit(20..40, 1).is_err());
    // The cubic goes through its points.
    within(
        "r",
        cubic.residuals().fold(0.0, |a, r| a + r.abs()),
        0.0,
        1e-14,
    );
}

/// Worked by hand: a parabola is its own fourth-degree fit, wherever the window lies.
#[wasm_bindgen_test(unsupported = test)]
fn a_peak_beside_an_end_takes_the_seven_outermost_points() {
    let x: Vec<f64> = (0..10).map(f64::from).collect();
    for top in [1.2, 8.1] {
        let y: Vec<f64> = x.iter().map(|x| 4.0 - (x - top).squared()).collect();
        let peak = Curve::new(&x, &y).unwrap().quartic_peak().unwrap();
        within("place", peak.x, top, 1e-12);
        within("height", peak.y, 4.0, 1e-13);
        assert_eq!(peak.weights[0].0, if top < 5.0 { 0 } else { 3 });
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn the_monotone_cubic_carries_the_derivative_of_every_y() {
    let x = [0.0, 0.4, 1.1, 1.5, 2.3];
    let y = [3.0, 2.8, 2.1, 1.2, 0.1];
    for i in 0..x.len() {
        let duals = seeded(&y, i);
        let cubic = MonotoneCubic::new(&x, &duals).unwrap();
        for at in [0.1, 0.35, 0.9, 1.3, 2.2] {
            let value = difference(&y, i, 1e-5, |y| {
                MonotoneCubic::new(&x, y).unwrap().evaluate(at)
            });
            within("∂value/∂y", cubic.evaluate(at).slope, value, 1e-8);
            let slope = difference(&y, i, 1e-5, |y| {
                MonotoneCubic::new(&x, y).unwrap().derivative(at)
            });
            within("∂slope/∂y", cubic.derivative(at).slope, slope, 1e-8);
        }
    }
}

/// Worked by hand.
#[wasm_bindgen_test(unsupported = test)]
fn crossings_inside_beyond_and_at_a_point() {
    let crossing = |x: &[f64], y: &[f64]| Curve::new(x, y).unwrap().zero_crossing();
    let found = crossing(&[0.0, 1.0, 2.0], &[3.0, 1.0, -1.0]).unwrap();
    assert_eq!((found.x, found.inside), (1.5, true));
    assert_eq!(found.weights, [(1, 0.25), (2, 0.25)]);
    let beyond = crossing(&[0.0, 1.0, 2.0], &[5.0, 3.0, 1.0]).unwrap();
    assert_eq!((beyond.x, beyond.inside), (2.5, false));
    let before = crossing(&[1.0, 2.0, 3.0], &[1.0, 3.0, 5.0]).unwrap();
    assert_eq!((before.x, before.inside), (0.5, false));
    for y in [[2.0, 0.0, -1.0], [-2.0, 0.0, 1.0]] {
        let at_point = crossing(&[0.0, 1.0, 2.0], &y).unwrap();
        assert_eq!((at_point.x, at_point.inside), (1.0, true));
    }
    let at_end = crossing(&[0.0, 1.0, 2.0], &[2.0, 1.0, 0.0]).unwrap();
    assert_eq!((at_end.x, at_end.inside), (2.0, true));
    // Both ends lead to zero: the nearer one is extended.
    let left = crossing(&[0.0, 1.0, 2.0], &[1.0, 2.0, 1.5]).unwrap();
    assert_eq!((left.x, left.inside), (-1.0, false));
    let right = crossing(&[0.0, 1.0, 2.0], &[1.5, 2.0, 1.0]).unwrap();
    assert_eq!((right.x, right.inside), (3.0, false));
    for y in [[1.0, 0.0, 0.0], [1.0, 0.0, 1.0], [0.0, 0.0, 1.0]] {
        let touching = crossing(&[0.0, 1.0, 2.0], &y).unwrap();
        assert_eq!((touching.x, touching.inside), (1.0, true));
    }
    let no = Err(CurveError::NoCrossing);
    assert_eq!(crossing(&[0.0, 1.0, 2.0], &[1.0, 1.0, 1.0]), no);
    assert_eq!(crossing(&[0.0, 1.0, 2.0], &[1.0, 0.5, 1.0]), no);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_curve_says_what_it_misses() {
    assert_eq!(Curve::new(&[1.0], &[]), Err(CurveError::UnequalLengths));
    let empty = CurveError::TooFewPoints {
        needed: 1,
        given: 0,
    };
    assert_eq!(Curve::new(&[], &[]), Err(empty));
    let infinite = CurveError::NotFinite { index: 1 };
    assert_eq!(
        Curve::new(&[1.0, 2.0], &[1.0, f64::INFINITY]),
        Err(infinite)
    );
    let repeated = CurveError::RepeatedAbscissa {
        first: 0,
        second: 2,
    };
    assert_eq!(Curve::new(&[0.0, 1.0, -0.0], &[1.0; 3]), Err(repeated));
    let rising = Curve::new(&[0.0, 1.0, 2.0], &[1.0, 2.0, 3.0]).unwrap();
    assert_eq!(rising.parabola_peak(), Err(CurveError::LargestAtEnd));
    let few = CurveError::TooFewPoints {
        needed: 7,
        given: 3,
    };
    assert_eq!(rising.quartic_peak(), Err(few));
    assert_eq!(
        few.to_string(),
        "This method needs at least 7 points; 3 given."
    );
    let single = Curve::new(&[1.0], &[1.0]).unwrap();
    assert!(single.linear(1.0).is_err() && single.zero_crossing().is_err());
    assert!(single.monotone_cubic().is_err());
}
