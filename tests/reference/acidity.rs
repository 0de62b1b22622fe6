//! pH: the families PH, DAV and WA of the reference book, there and back over twelve decades, and what the card says.
//!
//! The values are computed with mpmath to 40 digits, from the balance of charges and the Davies equation (constants from
//! memory), pK_w = 14.

use glasswick_core::chemistry::acids::davies;
use glasswick_core::problem::Level;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, checks, number, stops};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("acidity", inputs))
}

#[track_caller]
fn close(found: f64, expected: f64, relative: f64) {
    assert!(
        (found / expected - 1.0).abs() <= relative,
        "{found}, not {expected}"
    );
}

/// Cases DAV-*: ionic strength, and the coefficients of one, two and three charges.
#[wasm_bindgen_test(unsupported = test)]
fn davies_coefficients() {
    const CASES: [(f64, [f64; 3]); 4] = [
        (
            1e-4,
            [
                0.988_497_706_575_935_9,
                0.954_778_573_191_452_1,
                0.901_116_608_711_264,
            ],
        ),
        (
            1e-3,
            [
                0.965_050_642_297_132_2,
                0.867_362_050_135_402_5,
                0.726_023_932_661_865_2,
            ],
        ),
        (
            0.01,
            [
                0.902_099_148_170_993_7,
                0.662_242_564_601_072_6,
                0.395_629_306_300_070_2,
            ],
        ),
        (
            0.1,
            [
                0.781_593_943_946_833_5,
                0.373_185_484_208_270_14,
                0.108_850_560_824_718_79,
            ],
        ),
    ];
    for (strength, coefficients) in CASES {
        for (charge, expected) in (1..).zip(coefficients) {
            close(davies(charge, strength), expected, 1e-9);
            close(davies(-charge, strength), expected, 1e-9);
        }
    }
}

/// Cases PH-*: concentration, then [H⁺] and pH without coefficients, then [H⁺], γ and pH with them.
#[wasm_bindgen_test(unsupported = test)]
fn strong_acids() {
    const CASES: [(&str, [f64; 5]); 5] = [
        (
            "1e-1 mol/L",
            [
                0.100_000_000_000_1,
                0.999_999_999_999_565_7,
                0.100_000_000_000_163_7,
                0.781_593_943_946_741_5,
                1.107_018_814_335_529_5,
            ],
        ),
        (
            "1e-2 mol/L",
            [
                0.010_000_000_001,
                1.999_999_999_956_570_5,
                0.010_000_000_001_228_83,
                0.902_099_148_166_014_9,
                2.044_745_727_221_757,
            ],
        ),
        (
            "1e-6 mol/L",
            [
                1.009_901_951_359_278_4e-6,
                5.995_720_788_643_735,
                1.009_925_046_742_639_4e-6,
                0.998_824_411_492_488_6,
                5.996_221_708_840_973,
            ],
        ),
        (
            "1e-7 mol/L",
            [
                1.618_033_988_749_894_8e-7,
                6.791_012_359_750_021,
                1.618_455_611_987_578_2e-7,
                0.999_528_855_182_195_4,
                6.791_103_870_936_784,
            ],
        ),
        (
            "1e-8 mol/L",
            [
                1.051_249_219_725_039_3e-7,
                6.978_294_313_542_888,
                1.051_628_728_765_305_8e-7,
                0.999_620_161_381_718_9,
                6.978_302_551_346_763,
            ],
        ),
    ];
    for (concentration, [ideal_hydrogen, ideal_ph, hydrogen, coefficient, ph]) in CASES {
        let ideal = evaluated(&[("concentration", concentration), ("activity_by", "none")]);
        close(
            number(&ideal.cards[0], "hydrogen") / 1e3,
            ideal_hydrogen,
            1e-9,
        );
        assert!((number(&ideal.cards[0], "ph") - ideal_ph).abs() < 1e-6);
        let real = evaluated(&[("concentration", concentration)]);
        close(number(&real.cards[0], "hydrogen") / 1e3, hydrogen, 1e-9);
        close(number(&real.cards[0], "coefficient"), coefficient, 1e-9);
        assert!((number(&real.cards[0], "ph") - ph).abs() < 1e-6);
    }
}

/// Cases WA-*: concentration in mol/L, K_a, then [H⁺] in mol/L and pH.
#[wasm_bindgen_test(unsupported = test)]
fn weak_acids() {
    const CASES: [(f64, f64, f64, f64); 3] = [
        (
            0.1,
            1.75e-5,
            0.001_314_154_596_950_651_3,
            2.881_353_541_432_838_4,
        ),
        (
            1e-6,
            1.75e-5,
            9.585_053_394_473_486e-7,
            6.018_405_463_499_469_5,
        ),
        (
            0.15,
            4.9e-10,
            8.573_552_328_579_097e-6,
            5.066_839_197_091_260_5,
        ),
    ];
    for (concentration, constant, hydrogen, ph) in CASES {
        let found = evaluated(&[
            ("solute", "weak_acid"),
            ("concentration", &format!("{concentration} mol/L")),
            ("pka", &format!("{}", -Scalar::log10(constant))),
            ("activity_by", "none"),
        ]);
        close(number(&found.cards[0], "hydrogen") / 1e3, hydrogen, 1e-9);
        assert!((number(&found.cards[0], "ph") - ph).abs() < 1e-6);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn there_and_back_returns_the_concentration() {
    let mut numbers = Generator::new(1909);
    for solute in ["strong_acid", "weak_acid", "strong_base", "weak_base"] {
        for activity_by in ["davies", "none"] {
            for _ in 0..60 {
                let concentration = numbers.between(1e-9, 0.5);
                let pka = format!("{}", numbers.between(1.0, 13.0));
                let shared = [
                    ("solute", solute),
                    ("pka", pka.as_str()),
                    ("activity_by", activity_by),
                    ("salts", "20 mmol/L"),
                ];
                let typed = format!("{concentration:e} mol/L");
                let there = [&shared[..], &[("concentration", &typed)]].concat();
                let ph = number(&evaluated(&there).cards[0], "ph");
                let (own, other) = {
                    let found = &evaluated(&there).cards[0];
                    let (h, oh) = (number(found, "hydrogen"), number(found, "hydroxide"));
                    if solute.ends_with("acid") {
                        (h, oh)
                    } else {
                        (oh, h)
                    }
                };
                // Where water brings nearly all ions, what the solute adds is a small difference.
                let lost = own / (own - other);
                if lost > 1e3 {
                    continue;
                }
                let ph = format!("{ph}");
                let wanted = [("find", "concentration"), ("ph", ph.as_str())];
                let back = [&shared[..], &wanted].concat();
                let found = number(&evaluated(&back).cards[0], "concentration") / 1e3;
                close(found, concentration, 1e-13 * (10.0 + 100.0 * lost));
            }
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_ph_on_the_other_side_of_water_stops() {
    stops(
        &evaluated(&[("find", "concentration"), ("ph", "8.2")]),
        "ph",
        "not_reached",
        "An acid gives a pH below that of pure water, 7; 8.2 was entered.",
    );
    stops(
        &evaluated(&[
            ("find", "concentration"),
            ("solute", "strong_base"),
            ("ph", "6.5"),
        ]),
        "ph",
        "not_reached",
        "A base gives a pH above that of pure water, 7; 6.5 was entered.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_limits_are_stated() {
    let of = |inputs: &[(&str, &str)]| checks(&evaluated(inputs));
    assert_eq!(
        of(&[("concentration", "10 mmol/L")]),
        [("davies", Level::InRange)]
    );
    assert_eq!(
        of(&[("concentration", "2 mol/L")]),
        [("beyond_davies", Level::Warning)]
    );
    assert_eq!(
        of(&[("concentration", "10 mmol/L"), ("activity_by", "none")]),
        [("no_activity", Level::Note)]
    );
    let dilute = evaluated(&[("concentration", "0.1 umol/L")]);
    let (_, sentence) = check(&dilute, "air_decides").unwrap();
    assert!(
        sentence.starts_with("At 0.1 µmol/L carbon dioxide "),
        "{sentence}"
    );
    let base =
        |concentration| evaluated(&[("solute", "strong_base"), ("concentration", concentration)]);
    let (_, sentence) = check(&base("0.1 mmol/L"), "air_decides").unwrap();
    assert!(
        sentence.starts_with("A base of 0.1 mmol/L")
            && sentence.contains("if it stands open to air"),
        "{sentence}"
    );
    assert_eq!(check(&base("2 mmol/L"), "air_decides"), None);
    assert!(check(&evaluated(&[("concentration", "2 umol/L")]), "air_decides").is_some());
    assert_eq!(
        check(&evaluated(&[("concentration", "3 umol/L")]), "air_decides"),
        None
    );
    // A weak acid has no concentration that gives pH 1.
    let strong = evaluated(&[
        ("find", "concentration"),
        ("solute", "weak_acid"),
        ("pka", "9"),
        ("ph", "1"),
    ]);
    assert!(check(&strong, "too_strong").is_some());
    stops(
        &evaluated(&[
            ("solute", "weak_acid"),
            ("pka", "5"),
            ("concentration", "1 mol/L"),
            ("salts", "1e6 mol/L"),
        ]),
        "activity_by",
        "beyond_davies",
        "The Davies equation serves up to about 0.5 mol/L of ions; these inputs lie beyond it.",
    );
}
