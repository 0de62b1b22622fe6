//! The single-diode model: current, derivatives, open circuit and maximum power.

use glasswick_core::numerics::single_diode::{SingleDiode, wright_omega};
use glasswick_core::scalar::{Dual, Scalar};
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, difference, rows, seeded, within};

const CURRENTS: &str = include_str!("../data/single_diode.csv");

/// k·T/q at 298.15 K, V.
const THERMAL: f64 = 1.380_649e-23 * 298.15 / 1.602_176_634e-19;

/// From photocurrent, saturation current, slope voltage, series and shunt resistance.
fn cell<S: Copy>(of: &[S]) -> SingleDiode<S> {
    SingleDiode {
        photo: of[0],
        saturation: of[1],
        slope_voltage: of[2],
        series: of[3],
        shunt: of[4],
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn currents_and_their_derivatives() {
    let table = rows(CURRENTS);
    assert_eq!(table.len(), 99);
    for row in table {
        let (voltage, current, by_voltage) = (row[5], row[6], row[7]);
        let slopes = &row[8..];
        let name = format!("{:?} at {voltage} V", &row[..5]);
        let cell = cell(&row[..5]);
        let at = cell.response(voltage);
        // What one unit in the last place of each parameter and of the voltage changes.
        let ulps = slopes.iter().map(|slope| slope.abs()).sum::<f64>()
            + (voltage * by_voltage).abs()
            + current.abs();
        within(&name, at.current, current, 4.0 * f64::EPSILON * ulps);
        // The table has derivatives with respect to logarithms.
        let found = [
            at.by_photo * cell.photo,
            at.by_saturation * cell.saturation,
            at.by_slope_voltage * cell.slope_voltage,
            at.by_series * cell.series,
            -at.by_leak / cell.shunt,
        ];
        let nothing = 1e-15 * (row[0] + row[1]);
        let allowed = 1e-12 * by_voltage.abs() + nothing / row[2];
        within(&name, at.by_voltage, by_voltage, allowed);
        for (found, expected) in found.iter().zip(slopes) {
            within(&name, *found, *expected, 1e-12 * expected.abs() + nothing);
        }
    }
}

/// Omega against its own equation; at 1 it is 1, at 0 it is W(1), at 1 + e it is e.
#[wasm_bindgen_test(unsupported = test)]
fn wright_omega_solves_its_equation() {
    within("W(e)", wright_omega(1.0), 1.0, 1e-15);
    // Lambert's W of 1, computed with mpmath 1.3.0.
    within("W(1)", wright_omega(0.0), 0.567_143_290_409_784, 1e-15);
    close(
        "1 + e",
        wright_omega(1.0 + core::f64::consts::E),
        core::f64::consts::E,
        1e-15,
    );
    let mut last = 0.0;
    for step in -1600..1600 {
        let of = f64::from(step) / 37.0;
        let z = wright_omega(of);
        within(
            "z + ln z",
            z + Scalar::ln(z),
            of,
            8.0 * f64::EPSILON * of.abs().max(1.0),
        );
        assert!(z > last, "it grows: {z} at {of}");
        last = z;
    }
    for of in [1e3, 1e10, 1e17, 1e18, 2e18, 1e300] {
        let z = wright_omega(of);
        close("z + ln z", z + Scalar::ln(z), of, 1e-15);
    }
    assert_eq!(wright_omega(f64::NEG_INFINITY), 0.0);
    assert!(wright_omega(f64::NAN).is_nan());
}

/// The book's synthetic curves (JV-SYN-A, JV-SYN-D, both branches of HY-SYN), computed with mpmath 1.4.1, 30 digits.
#[wasm_bindgen_test(unsupported = test)]
fn figures_of_the_synthetic_curves() {
    // Parameters in A/cm², V and Ω cm²; Voc, Jsc, Vmp, Jmp, FF.
    for (name, of, figures) in [
        (
            "A, dye-cell-like",
            [0.018, 2e-9, 1.85 * THERMAL, 4.0, 2500.0],
            [
                0.760_295_74,
                0.017_971_238_94,
                0.577_602_79,
                0.016_254_689_07,
                0.687_143_39,
            ],
        ),
        (
            "D, ideal diode",
            [0.035, 1e-12, THERMAL, 1e-9, 1e12],
            [
                0.623_780_21,
                0.035,
                0.544_154_64,
                0.033_421_962_52,
                0.833_018_50,
            ],
        ),
        (
            "forward branch",
            [0.0178, 4e-9, 1.85 * THERMAL, 9.0, 1500.0],
            [
                0.726_317_521_516_789_4,
                0.017_693_727_590_442_465,
                0.487_064_307_079_181_4,
                0.015_328_102_836_917_271,
                0.580_936_752_386_588_6,
            ],
        ),
    ] {
        let cell = cell(&of);
        let most = cell.maximum_power().unwrap();
        let found = [
            cell.open_circuit().unwrap(),
            cell.short_circuit(),
            most.voltage,
            most.current,
            cell.fill_factor().unwrap(),
        ];
        for (found, expected) in found.into_iter().zip(figures) {
            within(name, found, expected, 1e-8);
        }
    }
}

/// Computed with mpmath 1.3.0, 60 digits, by bisection.
#[wasm_bindgen_test(unsupported = test)]
fn open_circuit_and_maximum_power_to_the_last_bits() {
    // Parameters; Voc, Isc, Vmp, Imp, FF.
    for (of, figures) in [
        (
            [0.018, 2e-9, 0.047_531_271_374_008_824, 4.0, 2500.0],
            [
                0.760_295_740_338_980_2,
                0.017_971_238_942_731_3,
                0.577_602_793_390_784,
                0.016_254_689_069_077_278,
                0.687_143_393_707_648_7,
            ],
        ),
        (
            [
                0.760_787_97,
                3.106_845_9e-7,
                0.038_973_269_178_762_614,
                0.036_546_95,
                52.889_79,
            ],
            [
                0.572_780_406_413_571_8,
                0.760_262_304_136_617_8,
                0.450_685_311_416_175_74,
                0.689_382_799_142_989_7,
                0.713_480_710_638_201_5,
            ],
        ),
        (
            [0.035, 1e-12, 0.025_692_579_121_085_846, 0.0, f64::INFINITY],
            [
                0.623_780_208_536_591,
                0.035,
                0.544_154_638_665_813_8,
                0.033_421_962_517_977_71,
                0.833_018_502_743_786_7,
            ],
        ),
        (
            [0.018, 2e-9, 0.047_531_271_374_008_824, 10.0, f64::INFINITY],
            [
                0.761_105_664_437_345_7,
                0.017_999_913_755_657_918,
                0.502_645_795_640_536_5,
                0.015_817_457_265_936_388,
                0.580_341_122_873_687_1,
            ],
        ),
        (
            [0.02, 1e-7, 0.077_077_737_363_257_54, 30.0, 50.0],
            [
                0.811_998_200_455_799_4,
                0.012_491_981_558_222_459,
                0.451_447_942_704_282_57,
                0.006_574_545_754_254_431,
                0.292_608_561_549_233_37,
            ],
        ),
        (
            [1e-12, 1e-15, 0.025_692_579_121_085_846, 1e3, 1e12],
            [
                0.172_639_946_987_765_77,
                9.999_999_989_610_783e-13,
                0.124_733_501_747_922_66,
                7.479_056_377_433_852e-13,
                0.540_366_762_718_460_4,
            ],
        ),
        (
            [8.2, 1e-10, 2.219_838_836_061_817, 0.4, 400.0],
            [
                55.746_464_449_336_88,
                8.191_808_191_470_94,
                45.962_031_124_252_604,
                7.685_181_832_311_359,
                0.773_492_765_789_838_2,
            ],
        ),
        (
            [0.02, 1e-30, 1e-3, 1e-6, 1e9],
            [
                0.065_165_529_781_134_95,
                0.019_999_999_999_999_98,
                0.061_037_767_071_949_07,
                0.019_677_615_572_702_145,
                0.921_559_081_842_727_2,
            ],
        ),
        (
            [1.0, 10.0, 10.0, 1e6, 1e-3],
            [
                9.990_009_491_490_444e-4,
                9.990_009_481_510_417e-10,
                4.995_004_745_745_222e-4,
                4.995_004_740_755_208e-10,
                0.25,
            ],
        ),
    ] {
        let cell = cell(&of);
        let most = cell.maximum_power().unwrap();
        let name = format!("{of:?}");
        for (found, expected) in [
            (cell.open_circuit().unwrap(), figures[0]),
            (cell.short_circuit(), figures[1]),
            (most.voltage, figures[2]),
            (most.current, figures[3]),
            (cell.fill_factor().unwrap(), figures[4]),
        ] {
            close(&name, found, expected, 2e-14);
        }
    }
}

type Figure = (&'static str, fn(&[Dual]) -> Dual, fn(&[f64]) -> f64);

#[wasm_bindgen_test(unsupported = test)]
fn derivatives_of_every_figure_are_central_differences() {
    let figures: [Figure; 7] = [
        (
            "current",
            |of| cell(of).current(of[5]),
            |of| cell(of).current(of[5]),
        ),
        (
            "Isc",
            |of| cell(of).short_circuit(),
            |of| cell(of).short_circuit(),
        ),
        (
            "Voc",
            |of| cell(of).open_circuit().unwrap(),
            |of| cell(of).open_circuit().unwrap(),
        ),
        (
            "Vmp",
            |of| cell(of).maximum_power().unwrap().voltage,
            |of| cell(of).maximum_power().unwrap().voltage,
        ),
        (
            "Imp",
            |of| cell(of).maximum_power().unwrap().current,
            |of| cell(of).maximum_power().unwrap().current,
        ),
        (
            "FF",
            |of| cell(of).fill_factor().unwrap(),
            |of| cell(of).fill_factor().unwrap(),
        ),
        (
            "slope",
            |of| cell(of).slope_resistance(of[5]),
            |of| cell(of).slope_resistance(of[5]),
        ),
    ];
    for of in [
        [0.018, 2e-9, 0.0475, 4.0, 2500.0, 0.55],
        [0.018, 2e-9, 0.0475, 4.0, 2500.0, 0.9],
        [0.76, 3.1e-7, 0.039, 0.036, 53.0, 0.3],
        [0.02, 1e-7, 0.077, 30.0, 50.0, -0.2],
    ] {
        for (name, dual, plain) in figures {
            for which in 0..of.len() {
                let found = dual(&seeded(&of, which));
                assert_eq!(found.value.to_bits(), plain(&of).to_bits(), "{name}");
                let step = 1e-5 * of[which].abs();
                let expected = difference(&of, which, step, plain);
                // Rounding of the two results, over the step.
                let rounding = 1e-14 * found.value.abs() / step;
                let allowed = 2e-8 * expected.abs() + rounding;
                within(
                    &format!("{name} by {which} of {of:?}"),
                    found.slope,
                    expected,
                    allowed,
                );
            }
        }
    }
}

/// Slopes of the silicon cell: at open circuit 2.4 times the series resistance (the book's second trap).
#[wasm_bindgen_test(unsupported = test)]
fn slope_resistances() {
    let silicon = cell(&[
        0.760_775_53,
        3.230_208_1e-7,
        0.039_076_583,
        0.036_377_09,
        53.718_52,
    ]);
    let at_open_circuit = silicon.slope_resistance(silicon.open_circuit().unwrap());
    within("ratio", at_open_circuit / silicon.series, 2.4, 0.05);
    // In the two limits the curve gives what stands there: shunt and series at 0 V, the series resistance far beyond.
    let sum = silicon.series + silicon.shunt;
    close("0 V", silicon.slope_resistance(-1.0), sum, 1e-9);
    close("far", silicon.slope_resistance(100.0), silicon.series, 1e-3);
}

/// With less light, more or nothing at all; in every direction to the ends of what makes sense and past them.
#[wasm_bindgen_test(unsupported = test)]
fn extremes_give_numbers_and_nonsense_gives_none() {
    let dark = cell(&[0.0, 1e-9, 0.04, 1.0, 1e4]);
    assert_eq!(dark.open_circuit(), Ok(0.0));
    assert_eq!(dark.maximum_power().unwrap().current, 0.0);
    within("dark at 0 V", dark.short_circuit(), 0.0, 1e-24);
    assert!(dark.current(0.5) < 0.0 && dark.current(-0.5) > 0.0);

    // Driven backwards it has a voltage below zero.
    let backwards = cell(&[-0.02, 1e-9, 0.04, 10.0, 90.0]);
    close("backwards", backwards.open_circuit().unwrap(), -1.8, 1e-7);

    // Never more current at a higher voltage, and a finite one wherever a series resistance limits it.
    for photo in [0.0, 1e-15, 0.02, 1e6] {
        for saturation in [1e-100, 1e-40, 1e-9, 1.0, 1e6] {
            for slope_voltage in [1e-6, 0.025, 1.0, 1e3] {
                for series in [1e-9, 1.0, 1e9] {
                    for shunt in [1e-9, 1.0, 1e9, f64::INFINITY] {
                        let of = [photo, saturation, slope_voltage, series, shunt];
                        let cell = cell(&of);
                        let mut last = f64::INFINITY;
                        for voltage in [-1e200, -1e9, -1.0, 0.0, 1e-9, 0.5, 1.0, 1e3, 1e9, 1e200] {
                            let current = cell.current(voltage);
                            let rounding = 1e-12 * (current.abs() + photo + saturation);
                            assert!(current.is_finite(), "{of:?} at {voltage} V: {current}");
                            assert!(current <= last + rounding, "{of:?} at {voltage} V");
                            last = current;
                        }
                    }
                }
            }
        }
    }
    for which in 0..5 {
        let mut of = [0.02, 1e-9, 0.04, 1.0, 1e4];
        of[which] = f64::NAN;
        assert!(cell(&of).current(0.5).is_nan() && cell(&of).fill_factor().is_err());
    }
    assert!(dark.current(f64::NAN).is_nan());
    for of in [
        [0.02, -1e-9, 0.04, 1.0, 1e4],
        [0.02, 0.0, 0.04, 1.0, 1e4],
        [0.02, 1e-9, 0.0, 1.0, 1e4],
        [0.02, 1e-9, 0.04, -1.0, 1e4],
        [0.02, 1e-9, 0.04, 1.0, 0.0],
    ] {
        assert!(cell(&of).current(0.5).is_nan(), "{of:?}");
    }
}
