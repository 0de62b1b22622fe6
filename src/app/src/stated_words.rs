//! What is stated about how well a number is known, in words: for the line below a closed box, the panel and the
//! record.

use glasswick_core::calculators::Field;
use glasswick_core::chemistry::{volume, ware};
use glasswick_core::quantity::{
    Kind, Rounded, Rounding, Unit, parse, shortest, unit, value_text, with_uncertainty,
};
use glasswick_core::sheet::{Typed, split_readings};
use glasswick_core::uncertainty::{Distribution, Meaning, WareUse, Weighing};

use crate::entry_text;
use crate::known::Known;
use crate::stated::{material, takes_freedom};

/// The line below a number while its panel is closed; none where nothing is stated.
pub(crate) fn summary(field: &Field, typed: &Typed, known: Option<&Known>) -> Option<String> {
    let source = typed.source.trim();
    let mut summary = String::new();
    if is_stated(field, typed) {
        summary = meaning(field, typed, known).join(", ");
        if let Some(u) = standard_uncertainty(typed, known) {
            summary.push_str(": ");
            summary.push_str(&u);
        }
    }
    if !source.is_empty() {
        let between = if summary.is_empty() { "" } else { " · " };
        summary = format!("{summary}{between}from {source}");
    }
    (!summary.is_empty()).then_some(summary)
}

/// Whether anything is stated about how well the number is known.
pub(crate) fn is_stated(field: &Field, typed: &Typed) -> bool {
    typed.meaning != Meaning::Standard
        || !typed.plus_minus.trim().is_empty()
        || entry_text::own_uncertainty(field, typed)
}

/// What the uncertainty means, part by part.
pub(crate) fn meaning(field: &Field, typed: &Typed, known: Option<&Known>) -> Vec<String> {
    let mut parts = match &typed.meaning {
        Meaning::Repeats => readings(typed, known),
        Meaning::Ware(ware) => ware_words(field, typed, ware),
        Meaning::Weighing(weighing) => weighing_words(field, typed, weighing),
        other => vec![other.words()],
    };
    let freedom = typed.freedom.trim();
    if !freedom.is_empty() && takes_freedom(&typed.meaning) {
        parts.push(format!("ν = {freedom}"));
    }
    parts
}

/// "u = 0.17 mg", where the number after ± does not say it by itself.
pub(crate) fn standard_uncertainty(typed: &Typed, known: Option<&Known>) -> Option<String> {
    let known = known.filter(|known| known.uncertainty > 0.0)?;
    let plain = typed.meaning == Meaning::Standard && is_plain(&typed.plus_minus);
    (!plain).then(|| format!("u = {}", amount(known.unit, known.uncertainty)))
}

/// An uncertainty in SI to two digits, in a unit.
pub(crate) fn amount(unit: &Unit, u_si: f64) -> String {
    let u = value_text(unit.difference_from_si(u_si), 2);
    format!("{u}{}", unit.after_number())
}

/// Whether what stands behind ± is a number alone, and so in the unit of the value.
pub(crate) fn is_plain(text: &str) -> bool {
    let text = text.trim();
    text.contains(|c: char| c.is_ascii_digit())
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || ".,' ".contains(c))
}

/// How many readings, and their spread.
fn readings(typed: &Typed, known: Option<&Known>) -> Vec<String> {
    let mut parts = vec![mean_of(typed)];
    parts.extend(spread(known));
    parts
}

/// Standard deviation and degrees of freedom of readings.
pub(crate) fn spread(known: Option<&Known>) -> Vec<String> {
    let Some(known) = known else {
        return Vec::new();
    };
    let n = known.degrees_of_freedom + 1.0;
    vec![
        format!("s = {}", amount(known.unit, known.own * n.sqrt())),
        format!("ν = {}", known.degrees_of_freedom),
    ]
}

/// "mean of 5 readings"
pub(crate) fn mean_of(typed: &Typed) -> String {
    match split_readings(&typed.text).count() {
        1 => "mean of 1 reading".into(),
        n => format!("mean of {n} readings"),
    }
}

/// Which ware, by which standard, which piece of it, and how it was used.
fn ware_words(field: &Field, typed: &Typed, used: &WareUse) -> Vec<String> {
    let Some(item) = ware::ware(&used.item) else {
        return vec!["ware that is not chosen yet".into()];
    };
    let mut parts = vec![item.title.to_owned()];
    // The title says the class already.
    let standard = item.source.citation.split(", ");
    parts.extend(
        standard
            .filter(|part| !item.title.contains(part))
            .map(str::to_owned),
    );
    if !used.piece.trim().is_empty() {
        parts.push(format!("piece “{}”", used.piece.trim()));
    }
    if used.shape != Distribution::Rectangular {
        parts.push(used.shape.word().into());
    }
    let beside = entry_text::unit_in_effect(field, typed);
    push(
        &mut parts,
        "repeatability",
        &used.repeatability,
        field.number_kind(),
        beside,
    );
    if !used.temperature.trim().is_empty() {
        let celsius = unit(Kind::Temperature, "Cel");
        push(
            &mut parts,
            "at",
            &used.temperature,
            Some(Kind::Temperature),
            celsius,
        );
        for id in [&used.liquid, &used.glass] {
            if !id.is_empty() {
                parts.push(material(id).to_owned());
            }
        }
    }
    parts
}

/// What is known of the balance, and how the mass was read.
fn weighing_words(field: &Field, typed: &Typed, weighing: &Weighing) -> Vec<String> {
    let mut parts = vec!["balance".to_owned()];
    let beside = entry_text::unit_in_effect(field, typed);
    for (what, text) in [
        ("readability", &weighing.readability),
        ("linearity", &weighing.linearity),
        ("repeatability", &weighing.repeatability),
    ] {
        push(&mut parts, what, text, field.number_kind(), beside);
    }
    let readings = if weighing.tare {
        "difference of two readings"
    } else {
        "one reading"
    };
    parts.push(readings.into());
    for (what, text, usual) in [
        ("density", &weighing.density, "g/cm3"),
        ("density of the air", &weighing.air, "kg/m3"),
    ] {
        let usual = unit(Kind::Density, usual);
        push(&mut parts, what, text, Some(Kind::Density), usual);
    }
    parts
}

/// A text of a box with the unit that it is in, unless it says its own; nothing where the box is empty.
fn push(
    parts: &mut Vec<String>,
    what: &str,
    text: &str,
    kind: Option<Kind>,
    usual: Option<&'static Unit>,
) {
    let text = text.trim();
    if text.is_empty() {
        return;
    }
    let own = kind.and_then(|kind| parse(text, kind, usual).ok()?.unit);
    let after = match (own, usual) {
        (None, Some(usual)) => usual.after_number(),
        _ => String::new(),
    };
    parts.push(format!("{what} {text}{after}"));
}

/// What a correction makes of the number that was typed; none where there is none.
pub(crate) fn corrected(field: &Field, typed: &Typed, known: Option<&Known>) -> Option<String> {
    let known = known?;
    let unit = known.unit;
    let read = parse(&typed.text, field.number_kind()?, Some(unit)).ok()?;
    let difference = unit.from_si(known.value) - read.value;
    let what = match &typed.meaning {
        Meaning::Ware(used) if !used.temperature.trim().is_empty() => {
            let celsius = volume::CALIBRATION - 273.15;
            format!("volume at {celsius}\u{202F}°C")
        }
        Meaning::Weighing(weighing) if !weighing.density.trim().is_empty() => {
            "mass, buoyancy of the air taken into account".into()
        }
        _ => return None,
    };
    let by = if difference == 0.0 {
        "as read".to_owned()
    } else {
        let sign = if difference < 0.0 { '−' } else { '+' };
        let amount = value_text(difference.abs(), 2);
        format!("{sign}{amount}{}", unit.after_number())
    };
    let value = to_its_place(unit, known.value, unit.difference_to_si(difference.abs()));
    Some(format!("{what}: {value} ({by})"))
}

/// A value in SI to the place of the second digit of an uncertainty or a correction in SI, in a unit.
pub(crate) fn to_its_place(unit: &Unit, si: f64, u_si: f64) -> String {
    let (value, u) = (unit.from_si(si), unit.difference_from_si(u_si));
    let rounded = with_uncertainty(value, u, Rounding::TwoDigits);
    let alone = rounded.map(|rounded| Rounded {
        uncertainty: String::new(),
        ..rounded
    });
    let value = alone.map_or_else(|| shortest(value), |alone| alone.plus_minus());
    format!("{value}{}", unit.after_number())
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::quantity;

    static VOLUME: Field = quantity("v", "Volume", Kind::Volume).units(&["mL", "uL"]);
    static MASS: Field = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);

    /// A number that was read, in the field's usual unit.
    fn known(field: &Field, value: f64, u: f64, degrees_of_freedom: f64) -> Known {
        let unit = field.usual_unit().unwrap();
        Known {
            value: unit.to_si(value),
            unit,
            uncertainty: unit.difference_to_si(u),
            own: unit.difference_to_si(u),
            degrees_of_freedom,
            effects: Vec::new(),
        }
    }

    fn typed(text: &str, plus_minus: &str, meaning: Meaning) -> Typed {
        Typed {
            text: text.into(),
            plus_minus: plus_minus.into(),
            meaning,
            ..Typed::default()
        }
    }

    #[track_caller]
    fn check(field: &Field, typed: &Typed, known: &Known, expected: &str) {
        let summary = summary(field, typed, Some(known)).unwrap();
        assert_eq!(summary.replace('\u{202F}', " "), expected);
    }

    #[test]
    fn nothing_is_said_of_a_number_alone() {
        let plain = typed("100", "", Meaning::Standard);
        assert_eq!(
            summary(
                &VOLUME,
                &plain,
                Some(&known(&VOLUME, 100.0, 0.0, f64::INFINITY))
            ),
            None
        );
    }

    #[test]
    fn one_line_says_what_is_stated() {
        let infinite = f64::INFINITY;
        let standard = typed("100", "0.1", Meaning::Standard);
        check(
            &VOLUME,
            &standard,
            &known(&VOLUME, 100.0, 0.1, infinite),
            "standard uncertainty",
        );
        let percent = typed("100", "1 %", Meaning::Standard);
        check(
            &VOLUME,
            &percent,
            &known(&VOLUME, 100.0, 1.0, infinite),
            "standard uncertainty: u = 1.0 mL",
        );
        // 0.1/√3 = 0.0577 (JCGM 100:2008, 4.3.7).
        let limit = typed("100", "0.1", Meaning::Limit(Distribution::Rectangular));
        let mut certified = limit.clone();
        let read = known(&VOLUME, 100.0, 0.1 / 3_f64.sqrt(), infinite);
        check(&VOLUME, &limit, &read, "limit, rectangular: u = 0.058 mL");
        certified.source = "certificate 17".into();
        check(
            &VOLUME,
            &certified,
            &read,
            "limit, rectangular: u = 0.058 mL · from certificate 17",
        );
        let mut expanded = typed(
            "100",
            "0.2",
            Meaning::Expanded {
                coverage_factor: 2.0,
            },
        );
        expanded.freedom = "8".into();
        check(
            &VOLUME,
            &expanded,
            &known(&VOLUME, 100.0, 0.1, 8.0),
            "expanded, k = 2, ν = 8: u = 0.10 mL",
        );
        // 12.4, 12.5 and 12.6: s = 0.1, s/√3 = 0.0577.
        let repeats = typed("12.4\n12.5\n12.6", "", Meaning::Repeats);
        check(
            &MASS,
            &repeats,
            &known(&MASS, 12.5, 0.1 / 3_f64.sqrt(), 2.0),
            "mean of 3 readings, s = 0.10 mg, ν = 2: u = 0.058 mg",
        );
    }

    #[test]
    fn ware_and_balance_are_named_with_how_they_were_used() {
        let mut used = WareUse {
            item: "iso-1042-a-100-ml".into(),
            piece: " A ".into(),
            ..WareUse::default()
        };
        let flask = typed("100", "", Meaning::Ware(Box::new(used.clone())));
        let read = known(&VOLUME, 100.0, 0.1 / 3_f64.sqrt(), f64::INFINITY);
        check(
            &VOLUME,
            &flask,
            &read,
            "one-mark flask 100 mL, class A, ISO 1042:1998, piece “A”: u = 0.058 mL",
        );
        used.shape = Distribution::Triangular;
        used.temperature = "24 ± 2".into();
        used.glass = "soda-lime".into();
        used.repeatability = "20 uL".into();
        let warm = typed("100", "", Meaning::Ware(Box::new(used)));
        check(
            &VOLUME,
            &warm,
            &read,
            "one-mark flask 100 mL, class A, ISO 1042:1998, piece “A”, triangular, repeatability 20 uL, \
             at 24 ± 2 °C, soda-lime glass: u = 0.058 mL",
        );
        let none = typed("100", "", Meaning::Ware(Box::default()));
        assert_eq!(
            summary(&VOLUME, &none, None).as_deref(),
            Some("ware that is not chosen yet")
        );
        let weighing = Weighing {
            readability: "0.1".into(),
            linearity: "0.2 mg".into(),
            density: "4.2".into(),
            ..Weighing::default()
        };
        let weighed = typed("5", "", Meaning::Weighing(Box::new(weighing)));
        check(
            &MASS,
            &weighed,
            &known(&MASS, 5.0, 0.12, f64::INFINITY),
            "balance, readability 0.1 mg, linearity 0.2 mg, difference of two readings, density 4.2 g/cm³: \
             u = 0.12 mg",
        );
    }

    #[test]
    fn a_correction_says_what_it_makes_of_the_number() {
        let used = WareUse {
            item: "iso-1042-a-100-ml".into(),
            temperature: "25".into(),
            ..WareUse::default()
        };
        let warm = typed("100", "", Meaning::Ware(Box::new(used)));
        // Water less borosilicate glass: 100 mL · (2.1e-4 − 9.9e-6)/K · 5 K = 0.10 mL.
        let read = known(&VOLUME, 99.89995, 0.1, f64::INFINITY);
        let said = |known: &Known| {
            let said = corrected(&VOLUME, &warm, Some(known)).unwrap();
            said.replace('\u{202F}', " ")
        };
        assert_eq!(said(&read), "volume at 20 °C: 99.90 mL (−0.10 mL)");
        let same = known(&VOLUME, 100.0, 0.1, f64::INFINITY);
        assert_eq!(said(&same), "volume at 20 °C: 100 mL (as read)");
        let limit = typed("100", "0.1", Meaning::Limit(Distribution::Rectangular));
        assert_eq!(corrected(&VOLUME, &limit, Some(&read)), None);
    }
}
