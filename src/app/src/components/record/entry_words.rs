//! Entries in words, as the record prints them.

use glasswick_core::calculators::{Choice, Field, FieldKind};
use glasswick_core::figure::extent;
use glasswick_core::points::Taken;
use glasswick_core::sheet::{Input, PointsText, Typed, split_readings, understand};
use glasswick_core::uncertainty::Meaning;

use crate::entry_text;
use crate::known::Known;
use crate::stated_words::{
    corrected, is_plain, is_stated, mean_of, meaning, spread, standard_uncertainty,
};

/// An entry in words.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Words {
    /// What was entered, as it was.
    pub(super) entry: String,
    /// How it was read, and what its uncertainty means.
    pub(super) about: Vec<String>,
}

/// A choice or a text in words; nothing where nothing was entered.
pub(super) fn words(field: &Field, input: &Input) -> Option<Words> {
    let entry = match (&field.kind, input) {
        (FieldKind::Choice { options }, Input::Text(id)) => chosen(options, id),
        (_, Input::Text(text)) => text.trim().to_owned(),
        (FieldKind::Curve { x, y }, Input::Points(points)) => return measured(field, x, y, points),
        _ => String::new(),
    };
    (!entry.is_empty()).then(|| Words {
        entry,
        about: Vec::new(),
    })
}

fn chosen(options: &[Choice], id: &str) -> String {
    let option = options.iter().find(|option| option.id == id);
    option.map_or(id, |option| option.title).to_owned()
}

/// A number as typed, with its unit, and how it was read, where it was.
pub(super) fn typed(field: &Field, typed: &Typed, known: Option<&Known>) -> Option<Words> {
    let text = typed.text.trim();
    let beside = typed.plus_minus.trim();
    if text.is_empty() && beside.is_empty() {
        return None;
    }
    let unit = entry_text::unit_beside(field, typed);
    let own_unit = entry_text::own_unit(field, typed);
    let after = match (own_unit, unit) {
        (Some(_), _) => String::new(),
        (None, Some(unit)) => unit.after_number(),
        (None, None) => format!("\u{202F}{}", typed.unit),
    };
    let entry = if typed.meaning == Meaning::Repeats {
        let readings: Vec<_> = split_readings(text).collect();
        format!("{}: {}{after}", mean_of(typed), readings.join("; "))
    } else if beside.is_empty() {
        if entry_text::own_uncertainty(field, typed) && text.contains(['±', '+']) {
            enclosed(text, &after)
        } else {
            format!("{text}{after}")
        }
    } else if own_unit.is_none() && is_plain(beside) {
        enclosed(&format!("{text} ± {beside}"), &after)
    } else {
        format!("{text}{after} ± {beside}")
    };

    let mut about: Vec<String> = entry_text::read_back(field, typed).into_iter().collect();
    if typed.meaning == Meaning::Repeats {
        about.extend(spread(known));
        if !beside.is_empty() {
            let after = if is_plain(beside) { &*after } else { "" };
            about.push(format!("shared by all readings: ± {beside}{after}"));
        }
    } else if is_stated(field, typed) {
        about.push(meaning(field, typed, known).join(", "));
    }
    about.extend(corrected(field, typed, known));
    about.extend(standard_uncertainty(typed, known));
    let source = typed.source.trim();
    if !source.is_empty() {
        about.push(format!("from {source}"));
    }
    Some(Words { entry, about })
}

/// A value and its uncertainty in parentheses before a unit that belongs to both.
fn enclosed(text: &str, after: &str) -> String {
    if after.is_empty() || text.starts_with('(') {
        format!("{text}{after}")
    } else {
        format!("({text}){after}")
    }
}

/// Measured points: how many, and from where to where.
fn measured(field: &Field, x: &Field, y: &Field, points: &PointsText) -> Option<Words> {
    if points.text.trim().is_empty() {
        return None;
    }
    let Ok(read) = understand(field, points) else {
        return Some(Words {
            entry: "points that cannot be read".into(),
            about: Vec::new(),
        });
    };
    let reach = |field: &Field, taken: Taken, numbers: &mut dyn Iterator<Item = f64>| {
        let [low, high] = extent(numbers)?.map(|si| taken.unit.say(si, 4));
        Some(format!("{} from {low} to {high}", field.title))
    };
    let reaches = [
        reach(x, read.x, &mut read.points.iter().map(|(x, _)| *x)),
        reach(y, read.y, &mut read.points.iter().map(|(_, y)| *y)),
    ];
    Some(Words {
        entry: match read.points.len() {
            1 => "1 point".into(),
            count => format!("{count} points"),
        },
        about: reaches.into_iter().flatten().collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::{curve, option, quantity};
    use glasswick_core::quantity::Kind;
    use glasswick_core::uncertainty::{Distribution, WareUse};

    static MASS: Field = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
    static VOLUME: Field = quantity("V", "Volume", Kind::Volume).units(&["mL"]);
    static PURITY: Field = quantity("w", "Purity", Kind::MassFraction).units(&["%"]);
    static VOLTAGE: Field = quantity("v", "Voltage", Kind::Voltage).units(&["V"]);
    static CURRENT: Field = quantity("i", "Current", Kind::Current).units(&["mA"]);

    /// A number in the field's usual unit that was read with this standard uncertainty in SI.
    fn known(field: &Field, value: f64, u: f64, degrees_of_freedom: f64) -> Known {
        let unit = field.usual_unit().unwrap();
        Known {
            value: unit.to_si(value),
            unit,
            uncertainty: u,
            own: u,
            degrees_of_freedom,
            effects: Vec::new(),
        }
    }

    #[track_caller]
    fn says(field: &Field, entry: &Typed, known: &Known, expected: &str) {
        let words = typed(field, entry, Some(known)).unwrap();
        let all = format!("{} | {}", words.entry, words.about.join("; "));
        assert_eq!(all.replace('\u{202F}', " "), expected);
    }

    #[track_caller]
    fn check(field: &Field, text: &str, beside: &str, meaning: &Meaning, u: f64, expected: &str) {
        let entry = Typed {
            text: text.into(),
            plus_minus: beside.into(),
            meaning: meaning.clone(),
            ..Typed::default()
        };
        let known = known(field, 0.0, u, f64::INFINITY);
        says(field, &entry, &known, expected);
    }

    #[test]
    fn readings_ware_and_sources_are_printed_in_full() {
        // 12.4, 12.5 and 12.6 mg: s = 0.1 mg, s/√3 = 0.0577 mg; with 0.02 mg, 0.0611 mg.
        let readings = Typed {
            text: "12.4\n12.5\n12,6".into(),
            plus_minus: "0.02".into(),
            meaning: Meaning::Repeats,
            source: "notebook 7, page 12".into(),
            ..Typed::default()
        };
        let own = 1e-7 / 3_f64.sqrt();
        let read = Known {
            uncertainty: (own * own + 4e-16).sqrt(),
            ..known(&MASS, 12.5, own, 2.0)
        };
        says(
            &MASS,
            &readings,
            &read,
            "mean of 3 readings: 12.4; 12.5; 12,6 mg | s = 0.10 mg; ν = 2; shared by all readings: ± 0.02 mg; \
             u = 0.061 mg; from notebook 7, page 12",
        );
        let certified = Typed {
            text: "99.5".into(),
            plus_minus: "0.4".into(),
            meaning: Meaning::Expanded {
                coverage_factor: 2.0,
            },
            freedom: "9".into(),
            source: "certificate 17".into(),
            ..Typed::default()
        };
        says(
            &PURITY,
            &certified,
            &known(&PURITY, 99.5, 0.002, 9.0),
            "(99.5 ± 0.4) % | expanded, k = 2, ν = 9; u = 0.20 %; from certificate 17",
        );
        let ware = WareUse {
            item: "iso-1042-a-100-ml".into(),
            piece: "A".into(),
            temperature: "25".into(),
            ..WareUse::default()
        };
        let flask = Typed {
            text: "100".into(),
            meaning: Meaning::Ware(Box::new(ware)),
            ..Typed::default()
        };
        // Water less borosilicate glass: 100 mL · (2.1e-4 − 9.9e-6)/K · 5 K = 0.10 mL.
        says(
            &VOLUME,
            &flask,
            &known(&VOLUME, 99.89995, 5.77e-8, f64::INFINITY),
            "100 mL | one-mark flask 100 mL, class A, ISO 1042:1998, piece “A”, at 25 °C; \
             volume at 20 °C: 99.90 mL (−0.10 mL); u = 0.058 mL",
        );
    }

    #[test]
    fn numbers_stand_as_typed_and_say_what_their_uncertainty_means() {
        let standard = &Meaning::Standard;
        let limit = &Meaning::Limit(Distribution::Rectangular);
        check(&MASS, " 5.20 ", "", standard, 0.0, "5.20 mg | ");
        check(
            &MASS,
            "5.20",
            "0.02",
            standard,
            2e-8,
            "(5.20 ± 0.02) mg | standard uncertainty",
        );
        // 0.3/√3 = 0.17 (JCGM 100:2008, 4.3.7).
        check(
            &PURITY,
            "99.5",
            "0.3",
            limit,
            0.003 / 3_f64.sqrt(),
            "(99.5 ± 0.3) % | limit, rectangular; u = 0.17 %",
        );
        check(
            &MASS,
            "5",
            "1 %",
            standard,
            5e-8,
            "5 mg ± 1 % | standard uncertainty; u = 0.050 mg",
        );
        check(
            &MASS,
            "5,1 ± 0,2",
            "",
            standard,
            2e-7,
            "(5,1 ± 0,2) mg | read as (5.1 ± 0.2) mg; standard uncertainty; u = 0.20 mg",
        );
        check(&MASS, "0.5 g", "", standard, 0.0, "0.5 g | read as 0.5 g");
    }

    #[test]
    fn what_cannot_be_read_is_printed_all_the_same() {
        check(&MASS, "five", "", &Meaning::Standard, 0.0, "five mg | ");
        let empty = Typed::default();
        assert_eq!(typed(&MASS, &empty, None), None);
        let unknown = Typed {
            text: "5".into(),
            unit: "stone".into(),
            ..Typed::default()
        };
        let words = typed(&MASS, &unknown, None).unwrap();
        assert_eq!(words.entry, "5\u{202F}stone");
    }

    #[test]
    fn choices_are_printed_with_their_titles_and_points_with_their_reach() {
        static OPTIONS: [Choice; 1] = [option("a", "by weighing")];
        static HOW: Field = glasswick_core::calculators::choice("how", "How", &OPTIONS);
        let words_of = |field: &Field, input| words(field, &input);
        let entry = |id: &str| words_of(&HOW, Input::Text(id.into())).map(|words| words.entry);
        assert_eq!(entry("a").as_deref(), Some("by weighing"));
        assert_eq!(entry("z").as_deref(), Some("z"), "not known, not lost");
        assert_eq!(entry(""), None);

        static POINTS: Field = curve("points", "Points", &VOLTAGE, &CURRENT);
        let points = |text: &str| {
            words_of(
                &POINTS,
                Input::Points(PointsText {
                    text: text.into(),
                    ..PointsText::default()
                }),
            )
        };
        let found = points("0 15\n0.35 12.5\n0.7 -0.25").unwrap();
        assert_eq!(found.entry, "3 points");
        let about: Vec<_> = found
            .about
            .iter()
            .map(|text| text.replace('\u{202F}', " "))
            .collect();
        assert_eq!(
            about,
            [
                "Voltage from 0 V to 0.7 V",
                "Current from −0.25 mA to 15 mA"
            ]
        );
        assert_eq!(points("  "), None);
        assert_eq!(
            points("0 overload").unwrap().entry,
            "points that cannot be read"
        );
    }
}
