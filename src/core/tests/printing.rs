//! Numbers with their uncertainty as text, and text as numbers: what is printed, and what people type.
//!
//! The tables are text. Columns are set off by ` | `, spaces in numbers stand for narrow no-break ones, and a line
//! with # says where the rows below it are from; "own rule" where this project decides.

#![expect(clippy::panic, reason = "a test may stop where it fails")]

use glasswick_core::quantity::{Kind, Rounding, UNITS, parse, plain, unit, with_uncertainty};

/// Rows of a table, each of so many columns.
fn rows<const COLUMNS: usize>(table: &'static str) -> Vec<[&'static str; COLUMNS]> {
    table
        .lines()
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            cells.try_into().unwrap_or_else(|_| panic!("{line}"))
        })
        .collect()
}

fn kind(name: &str) -> Kind {
    let found = Kind::ALL.iter().find(|kind| format!("{kind:?}") == name);
    *found.unwrap_or_else(|| panic!("{name}"))
}

/// value | u | with ± | in parentheses
const TWO_DIGITS: &str = "
# JCGM 100:2008, 7.2.2: a mass standard of 100 g, u = 0.35 mg (read in excerpt)
100.02147 | 0.00035 | 100.021 47 ± 0.000 35 | 100.021 47(35)
# JCGM 100:2008, 7.2.4: the same with U = 0.79 mg, k = 2.26 (from memory)
100.02147 | 0.00079 | 100.021 47 ± 0.000 79 | 100.021 47(79)
# JCGM 100:2008, 7.2.6 (read in quotation); 10.47 is rounded to nearest here, though the clause would allow 11
10.05762 | 0.027 | 10.058 ± 0.027 | 10.058(27)
7 | 28.05 | 7 ± 28 | 7(28)
500 | 10.47 | 500 ± 10 | 500(10)
# JCGM 100:2008, H.1.7: an end gauge in mm, u = 32 nm, U = 93 nm (from memory)
50.000838 | 0.000032 | 50.000 838 ± 0.000 032 | 50.000 838(32)
50.000838 | 0.000093 | 50.000 838 ± 0.000 093 | 50.000 838(93)
# JCGM 100:2008, table H.3: resistance, reactance and impedance in Ω (from memory)
127.732 | 0.071 | 127.732 ± 0.071 | 127.732(71)
219.847 | 0.295 | 219.85 ± 0.30 | 219.85(30)
254.260 | 0.236 | 254.26 ± 0.24 | 254.26(24)
# Eurachem/CITAC CG4, example A1, not rounded on the way (u computed with numpy)
1002.6997 | 0.835 | 1002.70 ± 0.84 | 1002.70(84)
# CODATA 2022: constant of gravitation, mass of the electron, mass of the proton (from memory)
6.67430e-11 | 0.00015e-11 | (6.674 30 ± 0.000 15)×10⁻¹¹ | 6.674 30(15)×10⁻¹¹
9.1093837139e-31 | 0.0000000028e-31 | (9.109 383 713 9 ± 0.000 000 002 8)×10⁻³¹ | 9.109 383 713 9(28)×10⁻³¹
1.67262192595e-27 | 0.00000000052e-27 | (1.672 621 925 95 ± 0.000 000 000 52)×10⁻²⁷ | 1.672 621 925 95(52)×10⁻²⁷

# Own rule from here on: two digits of u, the value to the same place, half to even, a power of ten outside
# 0.0001 … 999 999
12.4567 | 0.1623 | 12.46 ± 0.16 | 12.46(16)
1.246e-5 | 1.6e-7 | (1.246 ± 0.016)×10⁻⁵ | 1.246(16)×10⁻⁵
# Carries of u, of the value, of both, and across the ends of the power of ten.
9.96 | 0.098 | 9.960 ± 0.098 | 9.960(98)
9.96 | 0.0994 | 9.960 ± 0.099 | 9.960(99)
9.96 | 0.0996 | 9.96 ± 0.10 | 9.96(10)
9.996 | 0.0996 | 10.00 ± 0.10 | 10.00(10)
9.96 | 0.996 | 10.0 ± 1.0 | 10.0 ± 1.0
99.96 | 0.996 | 100.0 ± 1.0 | 100.0 ± 1.0
99.999 | 0.01 | 99.999 ± 0.010 | 99.999(10)
999.6 | 9.96 | 1000 ± 10 | 1000(10)
9999.6 | 9.96 | 10 000 ± 10 | 10 000(10)
0.0996 | 0.0996 | 0.10 ± 0.10 | 0.10(10)
999999.6 | 1.2 | 999 999.6 ± 1.2 | 999 999.6 ± 1.2
999999.96 | 1.2 | (1.000 000 0 ± 0.000 001 2)×10⁶ | 1.000 000 0(12)×10⁶
0.00009996 | 0.0000012 | 0.000 100 0 ± 0.000 001 2 | 0.000 100 0(12)
0.00009994 | 0.0000012 | (9.99 ± 0.12)×10⁻⁵ | 9.99(12)×10⁻⁵
0.3 | 999999.6 | (0.0 ± 1.0)×10⁶ | (0.0 ± 1.0)×10⁶
# Ties to even, on the digits as written and not on the binary value.
2.5 | 10 | 2 ± 10 | 2(10)
3.5 | 10 | 4 ± 10 | 4(10)
0.125 | 0.10 | 0.12 ± 0.10 | 0.12(10)
0.135 | 0.10 | 0.14 ± 0.10 | 0.14(10)
-0.125 | 0.10 | −0.12 ± 0.10 | −0.12(10)
2.675 | 0.10 | 2.68 ± 0.10 | 2.68(10)
1.005 | 0.10 | 1.00 ± 0.10 | 1.00(10)
1.0050001 | 0.10 | 1.01 ± 0.10 | 1.01(10)
1 | 0.125 | 1.00 ± 0.12 | 1.00(12)
1 | 0.135 | 1.00 ± 0.14 | 1.00(14)
1 | 0.1250001 | 1.00 ± 0.13 | 1.00(13)
1 | 0.985 | 1.00 ± 0.98 | 1.00(98)
1 | 0.995 | 1.0 ± 1.0 | 1.0 ± 1.0
12345 | 123 | 12 340 ± 120 | 12 340(120)
12355 | 123 | 12 360 ± 120 | 12 360(120)
# u of one or more: left of the point in whole places, beside decimals with ±.
1234 | 123 | 1230 ± 120 | 1230(120)
12345 | 1230 | 12 300 ± 1200 | 12 300(1200)
123456 | 12345 | 123 000 ± 12 000 | 123 000(12000)
1234567 | 1234 | (1.2346 ± 0.0012)×10⁶ | 1.2346(12)×10⁶
1234567 | 12345 | (1.235 ± 0.012)×10⁶ | 1.235(12)×10⁶
56.7 | 1.23 | 56.7 ± 1.2 | 56.7 ± 1.2
567 | 1.23 | 567.0 ± 1.2 | 567.0 ± 1.2
56.7 | 12.3 | 57 ± 12 | 57(12)
12.3 | 1.6 | 12.3 ± 1.6 | 12.3 ± 1.6
# u larger than the value.
0.3 | 12 | 0 ± 12 | 0(12)
6.3 | 12 | 6 ± 12 | 6(12)
0.004 | 56 | 0 ± 56 | 0(56)
0.3 | 1.2e7 | (0.0 ± 1.2)×10⁷ | (0.0 ± 1.2)×10⁷
0.02 | 0.3 | 0.02 ± 0.30 | 0.02(30)
3e-7 | 0.00012 | 0.000 00 ± 0.000 12 | 0.000 00(12)
# Negative values; what rounds to zero loses its sign.
-12.4567 | 0.1623 | −12.46 ± 0.16 | −12.46(16)
-273.15 | 0.01 | −273.150 ± 0.010 | −273.150(10)
-1234567 | 1234 | (−1.2346 ± 0.0012)×10⁶ | −1.2346(12)×10⁶
-1.246e-5 | 1.6e-7 | (−1.246 ± 0.016)×10⁻⁵ | −1.246(16)×10⁻⁵
-56.7 | 1.23 | −56.7 ± 1.2 | −56.7 ± 1.2
-0.004 | 0.12 | 0.00 ± 0.12 | 0.00(12)
# Zero.
0 | 0.12 | 0.00 ± 0.12 | 0.00(12)
-0.0 | 0.12 | 0.00 ± 0.12 | 0.00(12)
0 | 12 | 0 ± 12 | 0(12)
0 | 0.00012 | 0.000 00 ± 0.000 12 | 0.000 00(12)
0 | 1.2e-7 | (0.0 ± 1.2)×10⁻⁷ | (0.0 ± 1.2)×10⁻⁷
# Very small and very large.
1e-30 | 1e-32 | (1.000 ± 0.010)×10⁻³⁰ | 1.000(10)×10⁻³⁰
5e-300 | 1e-301 | (5.00 ± 0.10)×10⁻³⁰⁰ | 5.00(10)×10⁻³⁰⁰
6.02e23 | 1e20 | (6.0200 ± 0.0010)×10²³ | 6.0200(10)×10²³
1.7e308 | 1e307 | (1.70 ± 0.10)×10³⁰⁸ | 1.70(10)×10³⁰⁸
1 | 1e-15 | 1.000 000 000 000 000 0 ± 0.000 000 000 000 001 0 | 1.000 000 000 000 000 0(10)
# Trailing zeros are kept: they say how well the number is known.
12 | 0.5 | 12.00 ± 0.50 | 12.00(50)
20 | 0.1 | 20.00 ± 0.10 | 20.00(10)
100 | 1 | 100.0 ± 1.0 | 100.0 ± 1.0
120 | 20 | 120 ± 20 | 120(20)
1000 | 100 | 1000 ± 100 | 1000(100)
12000 | 1000 | 12 000 ± 1000 | 12 000(1000)
# Groups of three from the point, both ways, where more than four digits stand together (SI Brochure, 9th edition,
# 5.4.4, from memory).
12345.678 | 0.012 | 12 345.678 ± 0.012 | 12 345.678(12)
1234.5678 | 0.0012 | 1234.5678 ± 0.0012 | 1234.5678(12)
12345.67891 | 0.00012 | 12 345.678 91 ± 0.000 12 | 12 345.678 91(12)
123456.7 | 0.12 | 123 456.70 ± 0.12 | 123 456.70(12)
# Without an uncertainty, up to six digits.
12.5 | 0 | 12.5 | 12.5
0 | 0 | 0 | 0
0.30000000000000004 | 0 | 0.3 | 0.3
0.1234567 | 0 | 0.123 457 | 0.123 457
2e-7 | 0 | 2×10⁻⁷ | 2×10⁻⁷
299792458 | 0 | 2.997 92×10⁸ | 2.997 92×10⁸
-12345.678 | 0 | −12 345.7 | −12 345.7
";

/// value | u | with ± | in parentheses
const PARTICLE_DATA_GROUP: &str = "
# Review of Particle Physics, Introduction, 5.3: its two examples (from memory)
0.827 | 0.119 | 0.83 ± 0.12 | 0.83(12)
0.827 | 0.367 | 0.8 ± 0.4 | 0.8(4)
# Ends of its three ranges (rule read in quotation): 100 to 354 two digits, 355 to 949 one, from 950 on two of 1000
12.4567 | 0.100 | 12.46 ± 0.10 | 12.46(10)
12.4567 | 0.354 | 12.46 ± 0.35 | 12.46(35)
12.4567 | 0.355 | 12.5 ± 0.4 | 12.5(4)
12.4567 | 0.949 | 12.5 ± 0.9 | 12.5(9)
12.4567 | 0.950 | 12.5 ± 1.0 | 12.5 ± 1.0
12.4567 | 0.999 | 12.5 ± 1.0 | 12.5 ± 1.0
12.4567 | 0.0962 | 12.46 ± 0.10 | 12.46(10)
# Own rule: the three digits are cut, not rounded
12.4567 | 0.35499 | 12.46 ± 0.35 | 12.46(35)
12.4567 | 0.94999 | 12.5 ± 0.9 | 12.5(9)
12.4567 | 0.25 | 12.46 ± 0.25 | 12.46(25)
1234567 | 35600 | (1.23 ± 0.04)×10⁶ | 1.23(4)×10⁶
1234 | 45.6 | 1230 ± 50 | 1230(50)
100 | 9.5 | 100 ± 10 | 100(10)
-1.246e-5 | 4.6e-7 | (−1.25 ± 0.05)×10⁻⁵ | −1.25(5)×10⁻⁵
0 | 0.0046 | 0.000 ± 0.005 | 0.000(5)
1e-30 | 5e-32 | (1.00 ± 0.05)×10⁻³⁰ | 1.00(5)×10⁻³⁰
";

#[test]
fn numbers_are_printed_and_what_is_printed_reads_back() {
    for (rounding, table) in [
        (Rounding::TwoDigits, TWO_DIGITS),
        (Rounding::ParticleDataGroup, PARTICLE_DATA_GROUP),
    ] {
        for [value, u, plus_minus, parentheses] in rows(table) {
            let name = format!("{value} | {u}");
            let printed =
                with_uncertainty(value.parse().unwrap(), u.parse().unwrap(), rounding).unwrap();
            let shown = printed.plus_minus();
            assert_eq!(shown.replace('\u{202F}', " "), plus_minus, "{name}");
            assert_eq!(
                printed.parentheses().replace('\u{202F}', " "),
                parentheses,
                "{name}"
            );

            let read = |text: &str| {
                parse(text, Kind::Voltage, None).unwrap_or_else(|e| panic!("{text}: {e}"))
            };
            let typed = read(&shown);
            // All forms, with any spaces and in plain letters, are one number to the last bit.
            for text in [
                &printed.parentheses(),
                plus_minus,
                parentheses,
                &plain(&shown),
                &plain(&printed.parentheses()),
            ] {
                assert_eq!(read(text), typed, "{text}");
            }
            // It is printed as it was: no digit is gained or lost.
            let magnitude = typed.uncertainty.map_or(0.0, |u| u.magnitude);
            let again = with_uncertainty(typed.value, magnitude, rounding).unwrap();
            if rounding == Rounding::TwoDigits {
                assert_eq!(again.plus_minus(), shown, "{name}");
            }
        }
    }
}

#[test]
fn every_unit_after_every_form_reads_back() {
    for unit in UNITS.iter().filter(|unit| unit.symbol != "1") {
        for (value, u) in [
            (12.4567, 0.1623),
            (-1.246e-5, 1.6e-7),
            (56.7, 1.23),
            (3e7, 1e5),
        ] {
            let printed = with_uncertainty(value, u, Rounding::TwoDigits).unwrap();
            let bare = parse(&printed.plus_minus(), unit.kind, Some(unit)).unwrap();
            let in_brackets = if printed.exponent == 0 {
                format!("({})", printed.plus_minus())
            } else {
                printed.plus_minus()
            };
            let mut forms = vec![in_brackets];
            if !printed.parentheses().contains('±') {
                forms.push(printed.parentheses());
            }
            for form in forms {
                let text = format!("{form}\u{202F}{}", unit.symbol);
                for text in [plain(&text), text] {
                    let typed = parse(&text, unit.kind, None)
                        .unwrap_or_else(|e| panic!("{text} as {:?}: {e}", unit.kind));
                    assert_eq!(typed.unit, Some(unit), "{text}");
                    assert_eq!(
                        (typed.value, typed.uncertainty),
                        (bare.value, bare.uncertainty)
                    );
                }
            }
        }
    }
}

#[test]
fn what_has_no_uncertainty_to_print_is_said_so() {
    for (value, u) in [
        (f64::NAN, 1.0),
        (f64::INFINITY, 1.0),
        (1.0, f64::NAN),
        (1.0, f64::INFINITY),
        (1.0, -0.1),
    ] {
        assert_eq!(with_uncertainty(value, u, Rounding::TwoDigits), None);
    }
}

/// text | kind | unit in effect | value | u | unit typed
const TYPED: &str = "
# CIAAW 2021, standard atomic weights of Ti, Zn, Sn, I, Au (read in periodictable 2.1.0), in the usual short form
47.867(1) | MolarMass | g/mol | 47.867 | 0.001 |
65.38(2) | MolarMass | g/mol | 65.38 | 0.02 |
118.710(7) | MolarMass | g/mol | 118.71 | 0.007 |
126.904 47(3) | MolarMass | g/mol | 126.90447 | 0.00003 |
196.966 570(4) g/mol | MolarMass | kg/mol | 196.96657 | 0.000004 | g/mol
# CODATA 2022 as its tables print them, with four digits together at the end (from memory)
9.109 383 7139 e-31 kg | Mass | g | 9.1093837139e-31 | | kg
9.109 383 7139(28)×10⁻³¹ kg | Mass | g | 9.1093837139e-31 | 2.8e-40 | kg
1.672 621 925 95(52) × 10^-27 kg | Mass | g | 1.67262192595e-27 | 5.2e-37 | kg
# Own rule from here on. Powers of ten.
1.2e-3 | Mass | g | 1.2e-3 | |
1.2E-03 | Mass | g | 1.2e-3 | |
3.5e+2 | Mass | g | 350 | |
3,5e2 | Mass | g | 350 | |
1,2 · 10⁻³ | Mass | g | 1.2e-3 | |
1.2×10^-3 | Mass | g | 1.2e-3 | |
1.2×10**-3 | Mass | g | 1.2e-3 | |
1.2 x 10^{-3} g | Mass | mg | 1.2e-3 | | g
-1.2e-3 | Voltage | V | -1.2e-3 | |
−1.2×10⁻³ V | Voltage | mV | -1.2e-3 | | V
10^3 | Mass | mg | 1000 | |
# Signs and spaces.
− 5 | Voltage | V | -5 | |
–5 | Voltage | V | -5 | |
+5 ± 1 | Voltage | V | 5 | 1 |
1 000 000 | Mass | mg | 1000000 | |
1 000 000,5 | Mass | mg | 1000000.5 | |
0,000 05 | Mass | g | 0.00005 | |
12 345.678 9 | Mass | mg | 12345.6789 | |
5µL | Volume | mL | 5 | | uL
5μL | Volume | mL | 5 | | uL
25°C | Temperature | K | 25 | | Cel
-196 °C | Temperature | K | -196 | | Cel
# Uncertainties.
12.46(8) | Mass | mg | 12.46 | 0.08 |
12.46 (8) mg | Mass | g | 12.46 | 0.08 | mg
12,46(8) | Mass | mg | 12.46 | 0.08 |
12.46(16)mg | Mass | g | 12.46 | 0.16 | mg
12.46(1.6) | Mass | mg | 12.46 | 1.6 |
12.46(0,16) | Mass | mg | 12.46 | 0.16 |
0.1(1) | Mass | mg | 0.1 | 0.1 |
-12.46(8) | Voltage | V | -12.46 | 0.08 |
1.246(16)e-5 | Mass | g | 1.246e-5 | 1.6e-7 |
1.246(16)×10⁻⁵ g | Mass | mg | 1.246e-5 | 1.6e-7 | g
12 300(1200) | Mass | mg | 12300 | 1200 |
12 300(1 200) | Mass | mg | 12300 | 1200 |
12.46 +/- 0.16 | Mass | mg | 12.46 | 0.16 |
12.46 +- 0.16 | Mass | mg | 12.46 | 0.16 |
12.46+/-0.16mg | Mass | g | 12.46 | 0.16 | mg
12,46 ± 0,16 mg | Mass | g | 12.46 | 0.16 | mg
12.46±.16 | Mass | mg | 12.46 | 0.16 |
(12.46 ± 0.16) mg | Mass | g | 12.46 | 0.16 | mg
(12.46±0.16)mg | Mass | g | 12.46 | 0.16 | mg
12.46 mg ± 0.16 mg | Mass | g | 12.46 | 0.16 | mg
12.46 mg ± 160 µg | Mass | g | 12.46 | 0.16 | mg
1.2e-3 ± 4e-5 | Mass | g | 1.2e-3 | 4e-5 |
1.2×10⁻³ ± 4×10⁻⁵ | Mass | g | 1.2e-3 | 4e-5 |
(1.2 ± 0.04)e-3 g | Mass | mg | 1.2e-3 | 4e-5 | g
20 ± 0.5 °C | Temperature | K | 20 | 0.5 | Cel
(20.0 ± 0.5) °C | Temperature | K | 20 | 0.5 | Cel
100 mg ± 5% | Mass | g | 100 | 5 | mg
(45 ± 1) % | Ratio | 1 | 45 | 1 | %
45 ± 1 % rel. | Ratio | % | 45 | 0.45 |
45 ± 1 % absolute | Ratio | % | 45 | 1 |
";

#[test]
fn what_people_type_is_read() {
    for [text, name, in_effect, value, u, code] in rows(TYPED) {
        let kind = kind(name);
        let in_effect = unit(kind, in_effect);
        assert!(in_effect.is_some(), "{text}");
        let typed = parse(text, kind, in_effect).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(typed.value, value.parse::<f64>().unwrap(), "{text}");
        assert_eq!(typed.unit.map_or("", |unit| unit.code), code, "{text}");
        let read = typed.uncertainty.map_or(0.0, |u| u.magnitude);
        let u = if u.is_empty() {
            0.0
        } else {
            u.parse().unwrap()
        };
        // One product or conversion: a few units in the last place.
        assert!((read - u).abs() <= 4.0 * f64::EPSILON * u, "{text}: {read}");
    }
}

/// text | kind | unit in effect | code of the explanation
const ASKED: &str = "
# Own rule: what has two readings, or none, is asked about.
1,000 | Mass | mg | ambiguous_comma
12,345 | Mass | mg | ambiguous_comma
1,234 ± 0,005 | Mass | mg | ambiguous_comma
1,234,567 | Mass | mg | mixed_marks
1.234.567,8 | Mass | mg | mixed_marks
1..5 | Mass | mg | mixed_marks
1 23 | Mass | mg | digit_groups
1.23 456 | Mass | mg | digit_groups
1.234 56789 | Mass | mg | digit_groups
--5 | Voltage | V | not_a_number
１２ | Mass | mg | not_a_number
5 ± ± 1 | Mass | mg | bad_uncertainty
5(1 | Mass | mg | bad_uncertainty
5 ± 0.1 ± 0.2 | Mass | mg | unknown_unit
5 - 3 | Voltage | V | unknown_unit
5(-1) | Mass | mg | unknown_unit
1e | Mass | mg | unknown_unit
1e5.5 | Mass | mg | unknown_unit
0x10 | Mass | mg | unknown_unit
12.5 mg. | Mass | mg | unknown_unit
45 ± 1 % | Ratio | % | percent_meaning
45±1% | Ratio | 1 | percent_meaning
";

#[test]
fn what_can_be_read_in_two_ways_is_asked() {
    for [text, name, in_effect, code] in rows(ASKED) {
        let kind = kind(name);
        let error = parse(text, kind, unit(kind, in_effect)).expect_err(text);
        assert_eq!(error.code(), code, "{text}: {error}");
    }
}
