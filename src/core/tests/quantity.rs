//! Units against an independent implementation of UCUM, and number text both ways. What is printed with an uncertainty
//! stands in the tables of `printing.rs`.

use glasswick_core::quantity::{
    Dimension, Kind, NumberError, Rounding, UNITS, Unit, parse, parse_uncertainty, plain, shortest,
    unit, value_text, with_uncertainty,
};
use glasswick_core::scalar::Scalar;
use proptest::prelude::*;

// ---- units ------------------------------------------------------------------------------------------------------

/// The dimension as UCUM counts: it has charge in place of current, no amount (the mole is a number), and the
/// radian as a base unit. Order: length, time, mass, angle, temperature, charge, luminous intensity.
fn ucum_dimension(kind: Kind) -> [i8; 7] {
    let Dimension {
        length,
        mass,
        time,
        current,
        temperature,
        ..
    } = kind.dimension();
    let angle = i8::from(kind == Kind::Angle);
    [length, time - current, mass, angle, temperature, current, 0]
}

/// Every code against octofhir-ucum 0.9.2: known, of the dimension its kind says, of the size the table says.
#[test]
fn codes_agree_with_ucum() {
    const AVOGADRO: f64 = 6.022_140_76e23; // exact, SI 2019; UCUM takes the mole as this number
    for unit in UNITS {
        let ucum =
            octofhir_ucum::analyse(unit.code).unwrap_or_else(|e| panic!("{}: {e:?}", unit.code));
        assert_eq!(
            ucum.dimension.0,
            ucum_dimension(unit.kind),
            "{} as {:?}",
            unit.code,
            unit.kind
        );
        let Dimension { mass, amount, .. } = unit.kind.dimension();
        // UCUM's base unit of mass is the gram.
        let in_base = unit.factor.times / unit.factor.over
            * Scalar::powi(1000.0, mass.into())
            * Scalar::powi(AVOGADRO, amount.into());
        let expected = ucum.factor.to_f64() * ucum.scale.to_f64();
        assert!(
            (in_base / expected - 1.0).abs() < 1e-12,
            "{} as {:?}: {in_base} against {expected}",
            unit.code,
            unit.kind
        );
        assert_eq!(unit.offset, ucum.offset.to_f64(), "{}", unit.code);
    }
}

#[test]
fn every_name_of_a_unit_finds_it_and_no_other() {
    for one in UNITS {
        for name in [one.code, one.symbol].iter().chain(one.aliases) {
            // The first that answers to the name: were there two, the second would fail here.
            assert_eq!(unit(one.kind, name), Some(one), "{name} in {:?}", one.kind);
        }
    }
}

#[test]
fn symbols_do_not_start_with_a_digit() {
    // `plain` and the number parser rely on it.
    for unit in UNITS {
        assert!(
            unit.symbol == "1" || !unit.symbol.starts_with(|c: char| c.is_ascii_digit()),
            "{}",
            unit.symbol
        );
    }
}

#[test]
fn every_kind_has_a_coherent_unit_of_its_own() {
    for &kind in Kind::ALL {
        let coherent = kind.coherent();
        assert_eq!(coherent.kind, kind);
        assert_eq!(coherent.to_si(1.25), 1.25);
        assert!(kind.units().any(|unit| unit.code == coherent.code));
    }
}

#[test]
fn usual_ways_to_write_a_unit() {
    for (kind, text, code) in [
        (Kind::Volume, "µL", "uL"), // micro sign
        (Kind::Volume, "μl", "uL"), // Greek mu
        (Kind::Volume, " ul ", "uL"),
        (Kind::AmountConcentration, "mM", "mmol/L"),
        (Kind::AmountConcentration, "mmol L⁻¹", "mmol/L"),
        (Kind::CurrentDensity, "mA cm^-2", "mA/cm2"),
        (Kind::CurrentDensity, "mA/cm²", "mA/cm2"),
        (Kind::CurrentDensity, "mA·cm⁻²", "mA/cm2"),
        (Kind::DynamicViscosity, "mPa s", "mPa.s"),
        (Kind::DynamicViscosity, "mPa⋅s", "mPa.s"),
        (Kind::Resistance, "k\u{2126}", "kOhm"), // ohm sign
        (Kind::AreaResistance, "Ω cm²", "Ohm.cm2"),
        (Kind::SheetResistance, "Ω/sq", "Ohm"),
        (Kind::MolarAbsorption, "M⁻¹ cm⁻¹", "L/(mol.cm)"),
        (Kind::MolarAbsorption, "L mol⁻¹ cm⁻¹", "L/(mol.cm)"),
        (Kind::MassConcentration, "%(w/v)", "g/dL"),
        (Kind::MassConcentration, "% w/v", "g/dL"),
        (Kind::MassFraction, "wt %", "%"),
        (Kind::MassFraction, "wt.%", ""), // a full stop is no multiplication of words
        (Kind::PrintResolution, "dpi", "/[in_i]"),
        (Kind::Temperature, "°C", "Cel"),
        (Kind::Temperature, "℃", "Cel"),
        (Kind::TemperatureDifference, "°C", "K"),
        (Kind::PerArea, "nm⁻²", "nm-2"),
        (Kind::PerArea, "1/nm²", "nm-2"),
        (Kind::Length, "mM", ""),
        (Kind::Mass, "MG", ""),
        (Kind::Mass, "", ""),
    ] {
        assert_eq!(
            unit(kind, text).map_or("", |unit| unit.code),
            code,
            "{text:?}"
        );
    }
}

#[test]
fn conversions() {
    // Definitions, exact: the right-hand sides are the doubles nearest to the true values.
    for (kind, code, value, si) in [
        (Kind::Mass, "mg", 2.0, 2e-6),
        (Kind::Volume, "uL", 10.0, 1e-8),
        (Kind::AmountConcentration, "mmol/L", 0.3, 0.3),
        (Kind::MassConcentration, "g/dL", 37.0, 370.0),
        (Kind::MolarAbsorption, "L/(mol.cm)", 13_900.0, 1390.0),
        (Kind::PrintResolution, "/[in_i]", 254.0, 1e4),
        (Kind::CurrentDensity, "mA/cm2", 12.0, 120.0),
        (Kind::Irradiance, "mW/cm2", 100.0, 1000.0),
        (Kind::SpecificSurface, "m2/g", 50.0, 5e4),
        (Kind::AreaResistance, "Ohm.cm2", 7.0, 7e-4),
        (Kind::Temperature, "Cel", 25.0, 298.15),
        (Kind::Time, "h", 1.5, 5400.0),
    ] {
        let unit = unit(kind, code).unwrap();
        assert_eq!(unit.to_si(value), si, "{code}");
        assert_eq!(unit.from_si(si), value, "{code}");
    }
    assert_eq!(
        unit(Kind::Temperature, "Cel")
            .unwrap()
            .difference_to_si(0.5),
        0.5
    );
}

#[test]
fn a_unit_after_its_number() {
    let say = |kind, code, si, digits| unit(kind, code).unwrap().say(si, digits);
    assert_eq!(say(Kind::Volume, "uL", 6e-9, 2), "6\u{202F}µL");
    assert_eq!(say(Kind::Ratio, "1", 0.45, 2), "0.45");
    assert_eq!(say(Kind::Ratio, "%", 0.45, 2), "45\u{202F}%");
    assert_eq!(
        say(Kind::Angle, "deg", core::f64::consts::PI / 6.0, 2),
        "30°"
    );
    assert_eq!(say(Kind::Temperature, "Cel", 293.15, 3), "20\u{202F}°C");
}

/// A failure is printed with its smallest input; make it a row of a table here.
fn without_files() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn any_unit() -> impl Strategy<Value = &'static Unit> {
    (0..UNITS.len()).prop_map(|position| &UNITS[position])
}

/// The exponent of the largest power of ten that is a double.
const LARGEST_EXACT: i32 = 22;

proptest! {
    #![proptest_config(without_files())]

    #[test]
    fn units_convert_there_and_back(unit in any_unit(), value in -1e9..1e9f64) {
        let back = unit.from_si(unit.to_si(value));
        // Adding 273.15 costs digits of a small value.
        let tolerance = 4.0 * f64::EPSILON * (value.abs() + unit.offset);
        prop_assert!((back - value).abs() <= tolerance, "{value} {} came back as {back}", unit.code);
    }

    /// What `Factor` is made of two numbers for: a typed whole number comes out as the double nearest to the
    /// decimal result.
    #[test]
    fn whole_numbers_of_decimal_units_convert_exactly(unit in any_unit(), whole in 1u32..1_000_000) {
        let power = |factor: f64| {
            let text = format!("{factor:e}");
            text.strip_prefix("1e").and_then(|power| power.parse::<i32>().ok())
        };
        if let (Some(times), Some(over)) = (power(unit.factor.times), power(unit.factor.over))
            && unit.offset == 0.0
        {
            let expected: f64 = format!("{whole}e{}", times - over).parse().unwrap();
            let found = unit.to_si(whole.into());
            if times.max(over) <= LARGEST_EXACT {
                prop_assert_eq!(found, expected, "{}", unit.code);
            } else {
                prop_assert!((found - expected).abs() <= 4e-16 * expected, "{}", unit.code);
            }
        }
    }
}

// ---- reading ----------------------------------------------------------------------------------------------------

/// Text, kind, unit in effect → value, uncertainty, unit typed.
type Read = (
    &'static str,
    Kind,
    &'static str,
    f64,
    Option<f64>,
    &'static str,
);

const MASS: Kind = Kind::Mass;

#[rustfmt::skip] // a table reads as one
const READ: &[Read] = &[
    // Decimal markers and signs.
    ("12.5", MASS, "mg", 12.5, None, ""),
    ("12,5", MASS, "mg", 12.5, None, ""),
    ("  12.5\u{A0}", MASS, "mg", 12.5, None, ""),
    ("1.234", MASS, "mg", 1.234, None, ""), // SI: the point is a decimal marker
    ("0,123", MASS, "mg", 0.123, None, ""), // no group starts with zero
    ("1234,567", MASS, "mg", 1234.567, None, ""), // four digits are no group
    ("1,2345", MASS, "mg", 1.2345, None, ""),
    (".5", MASS, "mg", 0.5, None, ""),
    (",5", MASS, "mg", 0.5, None, ""),
    ("5.", MASS, "mg", 5.0, None, ""),
    ("-3", Kind::Voltage, "V", -3.0, None, ""),
    ("\u{2212}3.25", Kind::Voltage, "V", -3.25, None, ""),
    ("+3", Kind::Voltage, "V", 3.0, None, ""),
    ("0", MASS, "mg", 0.0, None, ""),
    // Groups.
    ("12 500", MASS, "mg", 12500.0, None, ""),
    ("12\u{202F}500", MASS, "mg", 12500.0, None, ""),
    ("12\u{2009}500,5", MASS, "mg", 12500.5, None, ""),
    ("1'234'567.5", MASS, "mg", 1_234_567.5, None, ""),
    ("1’234", MASS, "mg", 1234.0, None, ""),
    ("1 234,567", MASS, "mg", 1234.567, None, ""), // the space groups, so the comma does not
    ("100.021 47", MASS, "g", 100.021_47, None, ""),
    ("0.003 87", MASS, "g", 0.003_87, None, ""),
    // Powers of ten.
    ("1e-3", MASS, "g", 1e-3, None, ""),
    ("1E3", MASS, "g", 1e3, None, ""),
    ("1,2·10^-3", MASS, "g", 1.2e-3, None, ""),
    ("1.2×10⁻³", MASS, "g", 1.2e-3, None, ""),
    ("1.2 × 10⁻³", MASS, "g", 1.2e-3, None, ""),
    ("1.2x10^-3", MASS, "g", 1.2e-3, None, ""),
    ("1.2*10^(-3)", MASS, "g", 1.2e-3, None, ""),
    ("1.2 × 10-3", MASS, "g", 1.2e-3, None, ""), // superscript lost in copying
    ("10⁻³", MASS, "g", 1e-3, None, ""),
    ("\u{2212}1.2×10²¹", Kind::Voltage, "V", -1.2e21, None, ""),
    // Units.
    ("2 mg", MASS, "g", 2.0, None, "mg"),
    ("2mg", MASS, "g", 2.0, None, "mg"),
    ("0,1 mmol/L", Kind::AmountConcentration, "mol/L", 0.1, None, "mmol/L"),
    ("0.5 mM", Kind::AmountConcentration, "mol/L", 0.5, None, "mmol/L"),
    ("37 % (w/v)", Kind::MassConcentration, "g/L", 37.0, None, "g/dL"),
    ("37 %", Kind::MassFraction, "1", 37.0, None, "%"),
    ("1e-3 mol", Kind::Amount, "mmol", 1e-3, None, "mol"),
    ("1.5 eV", Kind::Energy, "J", 1.5, None, "eV"),
    ("2eV", Kind::Energy, "J", 2.0, None, "eV"),
    ("5 1/K", Kind::PerKelvin, "K-1", 5.0, None, "K-1"),
    ("0.125 1/nm²", Kind::PerArea, "m-2", 0.125, None, "nm-2"),
    ("0.125 10^-6/K", Kind::PerKelvin, "K-1", 0.125, None, "um/(m.K)"),
    ("25 °C", Kind::Temperature, "K", 25.0, None, "Cel"),
    ("360 dpi", Kind::PrintResolution, "m-1", 360.0, None, "/[in_i]"),
    ("30°", Kind::Angle, "rad", 30.0, None, "deg"),
    // Uncertainty.
    ("12.5 ± 0.1", MASS, "mg", 12.5, Some(0.1), ""),
    ("12,5±0,1", MASS, "mg", 12.5, Some(0.1), ""),
    ("12.5 +/- 0.1", MASS, "mg", 12.5, Some(0.1), ""),
    ("12.5 ± 0", MASS, "mg", 12.5, Some(0.0), ""),
    ("12.5(1)", MASS, "mg", 12.5, Some(0.1), ""),
    ("12.46(8)", MASS, "mg", 12.46, Some(0.08), ""),
    // JCGM 100:2008, 7.2.2: ways to state u of a mass standard (first and third read in excerpt, second from memory).
    ("100.021 47(35) g", MASS, "mg", 100.021_47, Some(0.000_35), "g"),
    ("100.021 47(0.000 35) g", MASS, "mg", 100.021_47, Some(0.000_35), "g"),
    ("(100.021 47 ± 0.000 35) g", MASS, "mg", 100.021_47, Some(0.000_35), "g"),
    ("1.5(2)e-3", MASS, "g", 1.5e-3, Some(0.2e-3), ""),
    ("1230(120)", MASS, "g", 1230.0, Some(120.0), ""),
    ("12.5 ± 1 %", MASS, "mg", 12.5, Some(0.125), ""),
    ("12.5 mg ± 1 %", MASS, "g", 12.5, Some(0.125), "mg"),
    ("-12.5 ± 1 % rel", Kind::Voltage, "V", -12.5, Some(0.125), ""),
    ("(12.5 ± 0.1) mg", MASS, "g", 12.5, Some(0.1), "mg"),
    ("12.5 ± 0.1 mg", MASS, "g", 12.5, Some(0.1), "mg"),
    ("5 mL ± 0.02", Kind::Volume, "L", 5.0, Some(0.02), "mL"),
    ("12.5 mg ± 50 µg", MASS, "g", 12.5, Some(0.05), "mg"),
    ("25 °C ± 0.5 K", Kind::Temperature, "K", 25.0, Some(0.5), "Cel"),
    ("(1.246 ± 0.016)×10⁻⁵ mol/L", Kind::AmountConcentration, "mmol/L", 1.246e-5, Some(1.6e-7), "mol/L"),
    ("(1.246 +/- 0.016)e-5", MASS, "g", 1.246e-5, Some(1.6e-7), ""),
    ("(45 ± 1) %", Kind::Ratio, "1", 45.0, Some(1.0), "%"),
    ("45(1) %", Kind::Ratio, "1", 45.0, Some(1.0), "%"),
    ("45 ± 1 % rel", Kind::Ratio, "%", 45.0, Some(0.45), ""),
    ("45 ± 1 % abs", Kind::Ratio, "%", 45.0, Some(1.0), ""),
    ("45 % ± 1 % abs", Kind::Ratio, "1", 45.0, Some(1.0), "%"),
    ("0.5 ± 1 % abs", Kind::Ratio, "1", 0.5, Some(0.01), ""),
    ("370 g/kg ± 1 %", Kind::MassFraction, "%", 370.0, Some(3.7), "g/kg"),
    ("37 ± 1 % (w/v)", Kind::MassConcentration, "g/L", 37.0, Some(1.0), "g/dL"),
    ("5 ± 2 %", Kind::MassConcentration, "g/L", 5.0, Some(0.1), ""),
    ("0.5 ± 2 %", Kind::Absorbance, "1", 0.5, Some(0.01), ""),
];

#[test]
fn reads_number_text() {
    for &(text, kind, in_effect, value, u, code) in READ {
        let in_effect = Some(unit(kind, in_effect).unwrap());
        let typed = parse(text, kind, in_effect).unwrap_or_else(|e| panic!("{text:?}: {e}"));
        assert_eq!(typed.value, value, "{text:?}");
        assert_eq!(typed.unit.map_or("", |unit| unit.code), code, "{text:?}");
        match (typed.uncertainty.map(|u| u.magnitude), u) {
            (None, None) => {}
            // One product or conversion: a few units in the last place.
            (Some(read), Some(u)) => assert!(
                (read - u).abs() <= 4.0 * f64::EPSILON * u,
                "{text:?}: {read}"
            ),
            other => panic!("{text:?}: {other:?}"),
        }
    }
}

#[test]
fn explains_what_it_cannot_read() {
    for (text, kind, in_effect, code) in [
        ("", MASS, "mg", "empty"),
        (" \u{202F}", MASS, "mg", "empty"),
        ("abc", MASS, "mg", "not_a_number"),
        ("NaN", MASS, "mg", "not_a_number"),
        ("inf", MASS, "mg", "not_a_number"),
        ("-", MASS, "mg", "not_a_number"),
        ("± 0.1", MASS, "mg", "not_a_number"),
        ("(12.5 ± 0.1", MASS, "mg", "not_a_number"),
        ("1,234", MASS, "mg", "ambiguous_comma"),
        ("-1,234 mg", MASS, "mg", "ambiguous_comma"),
        ("12 ± 1,234", MASS, "mg", "ambiguous_comma"),
        ("1.234,5", MASS, "mg", "mixed_marks"),
        ("1,234.5", MASS, "mg", "mixed_marks"),
        ("1.234.567", MASS, "mg", "mixed_marks"),
        ("12 5", MASS, "mg", "digit_groups"),
        ("12 1", Kind::Count, "1", "digit_groups"), // not twelve times the unit one
        ("1234 567", MASS, "mg", "digit_groups"),
        ("12.5 100", MASS, "mg", "digit_groups"),
        ("1e999", MASS, "mg", "number_out_of_range"),
        ("1e-999", MASS, "mg", "number_out_of_range"),
        ("1e99999999999", MASS, "mg", "number_out_of_range"),
        ("1e308", Kind::Frequency, "MHz", "number_out_of_range"),
        ("1e-310", MASS, "kg", "number_out_of_range"),
        ("1 ± 1e999", MASS, "mg", "number_out_of_range"),
        ("45 ± 1 %", Kind::Ratio, "%", "percent_meaning"),
        ("45 % ± 1 %", Kind::Ratio, "%", "percent_meaning"),
        ("0.45 ± 1 %", Kind::Ratio, "1", "percent_meaning"),
        ("370 ± 1 %", Kind::MassFraction, "g/kg", "percent_meaning"),
        (
            "5 ± 1 %",
            Kind::MassConcentration,
            "g/dL",
            "percent_meaning",
        ),
        ("12 ± 1 % abs", MASS, "mg", "no_percentage_points"),
        ("0 ± 1 %", MASS, "mg", "relative_to_nothing"),
        ("25 °C ± 1 %", Kind::Temperature, "K", "relative_to_nothing"),
        ("12.5 ±", MASS, "mg", "bad_uncertainty"),
        ("12.5 ± x", MASS, "mg", "bad_uncertainty"),
        ("12.5(1) ± 0.1", MASS, "mg", "bad_uncertainty"),
        ("12.5(1x)", MASS, "mg", "bad_uncertainty"),
        ("12.5 ± -0.1", MASS, "mg", "negative_uncertainty"),
        ("(12.5 mg ± 0.1) mg", MASS, "mg", "two_units"),
        ("2 mgg", MASS, "mg", "unknown_unit"),
        ("2 mL", MASS, "mg", "unit_of_other_kind"),
        ("12.5 mg ± 1 mL", MASS, "mg", "unit_of_other_kind"),
        ("5 mg/kg", Kind::VolumeFraction, "%", "unit_of_other_kind"),
    ] {
        let error = parse(text, kind, unit(kind, in_effect)).expect_err(text);
        assert_eq!(error.code(), code, "{text:?}: {error}");
        assert!(
            error.sentence().ends_with('.') && error.hint().ends_with('.'),
            "{error}"
        );
    }
}

#[test]
fn explanations_say_what_to_enter() {
    let say = |text, kind| parse(text, kind, None).unwrap_err().to_string();
    assert_eq!(
        say("1,234", MASS),
        "“1,234” can be read as 1.234 or as 1234. Enter 1.234 with a point, or 1234 without a mark."
    );
    assert_eq!(
        say("45 ± 1 %", Kind::Ratio),
        "“45 ± 1 %” can mean percentage points or a percentage of the value. Enter (45 ± 1) % for percentage \
         points, or 45 ± 1 % rel for 1 % of the value."
    );
    assert_eq!(
        say("2 mL", MASS),
        "“mL” is a unit of volume; this is a mass. Units that fit: kg, g, mg, µg, ng."
    );
    assert_eq!(
        say("3 mg", Kind::Count),
        "“mg” is a unit of mass; this is a count. Enter the number without a unit."
    );
    let long = say(&"x".repeat(10_000), MASS);
    assert!(long.chars().count() < 200, "{long}");
}

#[test]
fn reads_the_separate_uncertainty_box() {
    for (text, value, kind, in_effect, magnitude, relative) in [
        ("0.1", 12.5, MASS, "mg", 0.1, false),
        ("± 0,1", 12.5, MASS, "mg", 0.1, false),
        ("1 %", 12.5, MASS, "mg", 0.125, true),
        ("1 % rel", 45.0, Kind::Ratio, "%", 0.45, true),
        ("1 % abs", 45.0, Kind::Ratio, "%", 1.0, false),
        ("50 µg", 12.5, MASS, "mg", 0.05, false),
        ("0.5 K", 25.0, Kind::Temperature, "Cel", 0.5, false),
        ("1 %", 370.0, Kind::MassFraction, "g/kg", 3.7, true),
        ("2e-3", 1.0, MASS, "g", 2e-3, false),
    ] {
        let read = parse_uncertainty(text, value, kind, unit(kind, in_effect))
            .unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(
            (read.magnitude - magnitude).abs() <= 4.0 * f64::EPSILON * magnitude,
            "{text}: {read:?}"
        );
        assert_eq!(read.relative, relative, "{text}");
    }
    for (text, kind, in_effect, code) in [
        ("", MASS, "mg", "empty"),
        ("±", MASS, "mg", "empty"),
        ("x", MASS, "mg", "bad_uncertainty"),
        ("-1", MASS, "mg", "negative_uncertainty"),
        ("1 %", Kind::Ratio, "%", "percent_meaning"),
        ("1 mL", MASS, "mg", "unit_of_other_kind"),
        ("0.1 ± 0.1", MASS, "mg", "unknown_unit"),
    ] {
        let error = parse_uncertainty(text, 45.0, kind, unit(kind, in_effect)).expect_err(text);
        assert_eq!(error.code(), code, "{text}: {error}");
    }
}

#[test]
fn remembers_the_last_place_typed() {
    for (text, place) in [
        ("12.50", -2),
        ("12", 0),
        ("1.25e-2", -4),
        ("1.2×10³", 2),
        ("12 500", 0),
    ] {
        assert_eq!(parse(text, MASS, None).unwrap().last_place, place, "{text}");
    }
}

// ---- writing ----------------------------------------------------------------------------------------------------

#[test]
fn writes_values() {
    for (value, digits, text) in [
        // OpenStax Chemistry 2e, Example 1.3 (read; cases OS-1.3-* of the reference set)
        (31.57, 2, "32"),
        (8.1649, 3, "8.16"),
        (0.424, 2, "0.42"),
        (0.003_866_1, 3, "0.003 87"),
        (421.25, 4, "421.2"),
        // Ties to even and carries, by arithmetic.
        (421.35, 4, "421.4"),
        (0.051_065, 4, "0.051 06"),
        (9.96, 2, "10"),
        (9.96, 3, "9.96"),
        (99.95, 3, "100"),
        (2.5, 1, "2"),
        (3.5, 1, "4"),
        (0.0, 3, "0"),
        (-0.0, 3, "0"),
        (2.0, 3, "2.00"),
        (1234.0, 2, "1200"),
        (12_345.0, 6, "12 345.0"),
        (1234.5, 5, "1234.5"),
        (-1234.5, 5, "−1234.5"),
        (999_999.0, 2, "1.0×10⁶"),
        (123_456.0, 6, "123 456"),
        (1_234_567.0, 3, "1.23×10⁶"),
        (0.000_1, 2, "0.000 10"),
        (0.000_012_46, 3, "1.25×10⁻⁵"),
        (6.022_140_76e23, 9, "6.022 140 76×10²³"),
        (5.0, 0, "5"),
        (f64::NAN, 3, "undefined"),
        (f64::INFINITY, 3, "undefined"),
    ] {
        // Narrow no-break spaces are plain ones in this table.
        assert_eq!(
            value_text(value, digits).replace('\u{202F}', " "),
            text,
            "{value} to {digits}"
        );
    }
}

#[test]
fn plain_copies() {
    for (text, copy) in [
        ("−12\u{202F}345.5", "-12345.5"),
        ("0.003\u{202F}87", "0.00387"),
        ("(1.246 ± 0.016)×10⁻⁵", "(1.246 +/- 0.016)e-5"),
        ("6\u{202F}µL", "6 uL"),
        ("12.3\u{202F}mA/cm²", "12.3 mA/cm2"),
        ("5\u{202F}mol·m⁻³", "5 mol.m-3"),
        ("25\u{202F}°C", "25 degC"),
    ] {
        assert_eq!(plain(text), copy);
    }
    for unit in UNITS {
        let copy = plain(unit.symbol);
        assert!(copy.is_ascii(), "{copy}");
        assert_eq!(
            glasswick_core::quantity::unit(unit.kind, &copy),
            Some(unit),
            "{copy}"
        );
    }
}

#[test]
fn shortest_text() {
    for (value, text) in [
        (0.1, "0.1"),
        (0.1 + 0.2, "0.30000000000000004"),
        (1e-9, "1e-9"),
        (1e22, "1e22"),
        (0.0, "0"),
    ] {
        assert_eq!(shortest(value), text);
    }
}

// ---- both ways --------------------------------------------------------------------------------------------------

/// A number the page can compute with, of any size.
fn usable() -> impl Strategy<Value = f64> {
    let parts = (any::<bool>(), 1.0..10.0f64, -290..290i32);
    parts.prop_filter_map("not a number", |(negative, mantissa, power)| {
        let sign = if negative { "-" } else { "" };
        format!("{sign}{mantissa}e{power}").parse().ok()
    })
}

fn any_kind() -> impl Strategy<Value = Kind> {
    (0..Kind::ALL.len()).prop_map(|position| Kind::ALL[position])
}

proptest! {
    #![proptest_config(without_files())]

    #[test]
    fn no_text_makes_it_panic(text in ".*", kind in any_kind()) {
        let _ = parse(&text, kind, None);
        let _ = parse_uncertainty(&text, 1.0, kind, None);
    }

    /// Pieces that mean something to the parser, in any order.
    #[test]
    fn no_arrangement_makes_it_panic(
        pieces in prop::collection::vec(
            prop::sample::select(vec![
                "1", "0", "234", "10", ".", ",", " ", "\u{202F}", "'", "-", "−", "+", "e", "×10", "·", "^", "⁻³", "⁵",
                "(", ")", "±", "+/-", "%", "rel", "abs", "mg", "mL", "µ", "/", "K", "{", "}", "*", "99999999999",
            ]),
            0..14,
        ),
        kind in any_kind(),
    ) {
        let text = pieces.concat();
        if let Ok(typed) = parse(&text, kind, None) {
            let unit = typed.unit.unwrap_or(kind.coherent());
            prop_assert!(unit.to_si(typed.value).is_finite(), "{text}");
            if let Some(u) = typed.uncertainty {
                prop_assert!(u.magnitude >= 0.0 && unit.difference_to_si(u.magnitude).is_finite(), "{text}");
            }
        }
        if let Err(error) = parse_uncertainty(&text, 1.0, kind, None) {
            prop_assert!(error != NumberError::Empty || text.trim_matches(['±', '+', '/', '-', '−', ' ', '\u{202F}']).is_empty(), "{text}");
        }
    }

    #[test]
    fn all_digits_read_back(value in usable()) {
        for text in [shortest(value), value_text(value, 17), plain(&value_text(value, 17))] {
            prop_assert_eq!(parse(&text, Kind::Voltage, None).unwrap().value, value, "{}", text);
        }
    }

    /// What is shown reads back as what is shown: the value within half a step of its last place, the uncertainty
    /// within that of its own digits, and printing again gives the same text.
    #[test]
    fn values_with_uncertainty_read_back(value in usable(), share in -6..3i32, first in 1.0..10.0f64, pdg: bool) {
        let rounding = if pdg { Rounding::ParticleDataGroup } else { Rounding::TwoDigits };
        let u: f64 = format!("{}e{share}", first * value.abs()).parse().unwrap();
        let shown = with_uncertainty(value, u, rounding).unwrap();
        for text in [shown.plus_minus(), shown.parentheses(), plain(&shown.plus_minus())] {
            let typed = parse(&text, Kind::Voltage, None).unwrap();
            let read = typed.uncertainty.unwrap().magnitude;
            prop_assert!((read - u).abs() <= 0.15 * u, "{text}: {read} for {u}");
            prop_assert!((typed.value - value).abs() <= 0.5001 * u, "{text}: {} for {value}", typed.value);
            let again = with_uncertainty(typed.value, read, Rounding::TwoDigits).unwrap();
            if !pdg {
                prop_assert_eq!(&again, &shown, "{}", text);
            }
        }
    }

    /// A typed number reads the same with every decimal marker, group mark and way to write a power.
    #[test]
    fn ways_to_write_a_number_agree(whole in 1000u32..999_999, decimals in "[0-9]{4}", power in -20..20i32) {
        let plain = format!("{whole}.{decimals}e{power}");
        let expected: f64 = plain.parse().unwrap();
        let (thousands, rest) = (whole / 1000, whole % 1000);
        let raised: String = power.to_string().chars().map(|c| match c {
            '-' => '⁻', '0' => '⁰', '1' => '¹', '2' => '²', '3' => '³', '4' => '⁴',
            '5' => '⁵', '6' => '⁶', '7' => '⁷', '8' => '⁸', _ => '⁹',
        }).collect();
        for text in [
            plain.clone(),
            format!("{whole},{decimals}e{power}"),
            format!("{thousands} {rest:03},{decimals}×10{raised}"),
            format!("{thousands}'{rest:03}.{decimals}·10^{power}"),
            format!("{thousands}\u{202F}{rest:03}.{decimals} x 10^{power} V"),
        ] {
            prop_assert_eq!(parse(&text, Kind::Voltage, None).unwrap().value, expected, "{}", text);
        }
    }
}
