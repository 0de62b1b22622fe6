//! The head of a column: what it measures, and in which unit.

use super::{Axis, Illumination, Wanted};
use crate::quantity::{Kind, Unit, unit, units_written};

/// What the head of a column says.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Meaning {
    pub(super) kind: Option<Kind>,
    pub(super) unit: Option<&'static Unit>,
}

/// Reads the heads of all columns, each with what stands in the row of units below it, if there is one.
pub(super) fn meanings(heads: &[(String, String)], wanted: &Wanted) -> Vec<Meaning> {
    let read: Vec<(Meaning, Option<&str>)> = heads
        .iter()
        .map(|(title, unit)| meaning(title, unit, wanted))
        .collect();
    // "Current A" beside "Current B" names cells, no unit.
    let names_cells = |name: &str| {
        let siblings = heads.iter().filter_map(|(title, _)| {
            let rest = title.trim().strip_prefix(name)?;
            let rest = rest.trim_start_matches([' ', '_', '-']);
            (!rest.is_empty()).then_some(rest)
        });
        let mut single = siblings.clone().filter(|rest| rest.chars().count() == 1);
        single.any(|rest| find_unit(rest, wanted).is_none())
    };
    read.into_iter()
        .map(|(meaning, loose)| match loose {
            Some(name) if names_cells(name) => Meaning {
                kind: named(name, wanted),
                unit: None,
            },
            _ => meaning,
        })
        .collect()
}

/// Reads one head. Where its unit is a single letter that only a space or an underscore sets apart, its name comes along.
fn meaning<'a>(title: &'a str, unit_below: &str, wanted: &Wanted) -> (Meaning, Option<&'a str>) {
    let title = title.trim();
    let below = bare(unit_below);
    if let Some(unit) = find_unit(below, wanted) {
        return (of_unit(title, unit, wanted), None);
    }
    // Before anything else the single letters that are both: V is a voltage in either way, J is no energy here.
    let name = named(title, wanted);
    if name.is_some() && title.chars().count() == 1 && title != "V" && title != "A" {
        let meaning = Meaning {
            kind: name,
            unit: None,
        };
        return (meaning, None);
    }
    for (name, inside) in bracketed(title) {
        if let Some(unit) = find_unit(inside, wanted) {
            return (of_unit(name, unit, wanted), None);
        }
    }
    if let Some(unit) = find_unit(title, wanted) {
        // The letter V may be the name of the quantity: it says nothing about the unit.
        let certain = title != "V";
        let meaning = Meaning {
            kind: Some(unit.kind),
            unit: certain.then_some(unit),
        };
        return (meaning, None);
    }
    for (place, separator) in separators(title) {
        let (name, rest) = (title[..place].trim(), &title[place + separator.len()..]);
        let firm = matches!(separator, "/" | " in " | "," | ":");
        if !firm && named(name, wanted).is_none() {
            continue;
        }
        if let Some(unit) = find_unit(bare(rest), wanted) {
            let loose = !firm && rest.trim().chars().count() == 1;
            return (of_unit(name, unit, wanted), loose.then_some(name));
        }
    }
    let meaning = Meaning {
        kind: name,
        unit: None,
    };
    (meaning, None)
}

/// The unit says what is measured, unless the name says it more finely: °C of a difference, 1 of a fraction.
fn of_unit(name: &str, found: &'static Unit, wanted: &Wanted) -> Meaning {
    let kind = named(name, wanted).filter(|kind| unit(*kind, found.code).is_some());
    let unit = kind.and_then(|kind| unit(kind, found.code));
    Meaning {
        kind: kind.or(Some(found.kind)),
        unit: unit.or(Some(found)),
    }
}

/// A text without brackets round it.
fn bare(text: &str) -> &str {
    text.trim()
        .trim_start_matches(['[', '(', '{', '<'])
        .trim_end_matches([']', ')', '}', '>'])
        .trim()
}

/// What stands in brackets, with what stands before it.
fn bracketed(title: &str) -> impl Iterator<Item = (&str, &str)> {
    let opening = title.rmatch_indices(['[', '(', '{', '<']);
    opening.filter_map(|(place, open)| {
        let close = match open {
            "[" => ']',
            "(" => ')',
            "{" => '}',
            _ => '>',
        };
        let inside = &title[place + 1..];
        let end = inside.rfind(close)?;
        let inside = inside[..end].trim();
        Some((
            &title[..place],
            inside.strip_prefix("in ").unwrap_or(inside),
        ))
    })
}

/// Where a unit may begin, from the left.
fn separators(title: &str) -> Vec<(usize, &'static str)> {
    let mut found: Vec<(usize, &'static str)> = ["/", " in ", ",", ":", "_", " ", "-"]
        .into_iter()
        .flat_map(|separator| {
            title
                .match_indices(separator)
                .map(move |(place, _)| (place, separator))
        })
        .collect();
    found.sort_unstable_by_key(|(place, separator)| (*place, separator.len() == 1));
    found
}

/// Whether a cell holds a unit and nothing else.
pub(super) fn is_unit(cell: &str, wanted: &Wanted) -> bool {
    find_unit(bare(cell), wanted).is_some()
}

/// A unit in any usual writing, of a kind that is wanted rather than of another.
fn find_unit(text: &str, wanted: &Wanted) -> Option<&'static Unit> {
    let text = text.trim();
    if !text.contains(|c: char| c.is_alphabetic() || matches!(c, '%' | '°' | 'Ω' | 'µ')) {
        return None;
    }
    let kinds = [
        wanted.x.kind,
        wanted.y.kind,
        Kind::Voltage,
        Kind::Current,
        Kind::CurrentDensity,
        Kind::Power,
        Kind::Time,
    ];
    let known = |text: &str| {
        let written = units_written(text);
        let usual = kinds
            .iter()
            .find_map(|kind| written.iter().find(|unit| unit.kind == *kind));
        usual.or(written.first()).copied()
    };
    known(text)
        .or_else(|| known(&respelled(text)?))
        .or_else(|| lower_case(text, &kinds))
}

/// Other spellings of the units of measured curves.
fn respelled(text: &str) -> Option<String> {
    const WORDS: [(&str, &str); 13] = [
        ("volts", "V"),
        ("volt", "V"),
        ("millivolts", "mV"),
        ("millivolt", "mV"),
        ("amperes", "A"),
        ("ampere", "A"),
        ("amps", "A"),
        ("amp", "A"),
        ("milliamps", "mA"),
        ("milliamperes", "mA"),
        ("milliampere", "mA"),
        ("microamps", "uA"),
        ("microamperes", "uA"),
    ];
    let lower = text.to_lowercase();
    if let Some((_, symbol)) = WORDS.iter().find(|(word, _)| *word == lower) {
        return Some((*symbol).to_owned());
    }
    let mut respelled = text.replace("**", "^").replace(" per ", "/");
    for area in ["sq.cm", "sq cm", "sqcm"] {
        respelled = respelled.replace(area, "cm2");
    }
    // "mAcm-2", where the space was lost; "mA/(cm^2)" and "mA cm^(-2)".
    if let Some(place) = respelled.find("cm").or(respelled.find("m-"))
        && respelled[..place].ends_with(['A', 'W'])
    {
        respelled.insert(place, ' ');
    }
    respelled.retain(|c| !matches!(c, '(' | ')' | '{' | '}'));
    Some(respelled)
}

/// "ma", "mv": all in small letters, so that no capital is taken for another prefix.
fn lower_case(text: &str, kinds: &[Kind]) -> Option<&'static Unit> {
    if text.chars().any(char::is_uppercase) {
        return None;
    }
    let electric = kinds.iter().filter(|kind| {
        matches!(
            kind,
            Kind::Voltage | Kind::Current | Kind::CurrentDensity | Kind::Power
        )
    });
    electric
        .flat_map(|kind| kind.units())
        .find(|unit| unit.code.to_lowercase() == text || unit.symbol.to_lowercase() == text)
}

/// The words of a text, small.
fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .map(|word| {
            word.trim_end_matches(|c: char| c.is_ascii_digit())
                .to_lowercase()
        })
        .filter(|word| !word.is_empty())
        .collect()
}

/// The kind that a name stands for: what the field calls its columns, then what people call them.
fn named(name: &str, wanted: &Wanted) -> Option<Kind> {
    let words = words(name);
    let has = |any: &[&str]| words.iter().any(|word| any.contains(&word.as_str()));
    let density = has(&["density", "dichte"]);
    if has(&["j", "jd", "jph", "stromdichte"]) || (density && has(&["current", "photocurrent"])) {
        return Some(Kind::CurrentDensity);
    }
    if has(&["power", "p", "leistung"]) {
        return Some(Kind::Power);
    }
    if has(&["time", "t", "zeit", "elapsed"]) {
        return Some(Kind::Time);
    }
    if name.trim() == "#" || has(&["index", "no", "nr", "n", "number", "point"]) {
        return Some(Kind::Count);
    }
    if has(&[
        "i",
        "id",
        "iph",
        "current",
        "photocurrent",
        "strom",
        "courant",
    ]) {
        return Some(Kind::Current);
    }
    if has(&[
        "v",
        "u",
        "voltage",
        "bias",
        "potential",
        "spannung",
        "tension",
        "volt",
        "volts",
        "vbias",
    ]) {
        return Some(Kind::Voltage);
    }
    let called = |axis: &Axis| {
        self::words(axis.title)
            .iter()
            .any(|word| word.len() > 2 && words.contains(word))
    };
    match (called(&wanted.x), called(&wanted.y)) {
        (true, false) => Some(wanted.x.kind),
        (false, true) => Some(wanted.y.kind),
        _ => None,
    }
}

/// Whether the head of a column is the name that the field gives one of its columns rather than the other.
pub(super) fn called(title: &str, axis: &Axis, other: &Axis) -> bool {
    let found = words(title);
    let shares = |axis: &Axis| words(axis.title).iter().any(|word| found.contains(word));
    shares(axis) && !shares(other)
}

/// Dark or light, where exactly one of them is in the words.
pub(super) fn illumination(text: &str) -> Option<Illumination> {
    let words = words(text);
    let has = |any: &[&str]| words.iter().any(|word| any.contains(&word.as_str()));
    let dark = has(&["dark", "dunkel"]);
    let light = has(&[
        "light",
        "lit",
        "illuminated",
        "illumination",
        "sun",
        "suns",
        "hell",
    ]);
    match (dark, light) {
        (true, false) => Some(Illumination::Dark),
        (false, true) => Some(Illumination::Light),
        _ => None,
    }
}
