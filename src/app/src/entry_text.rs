//! What a number box says back about the text in it, and the two readings of a change of unit.

use glasswick_core::calculators::Field;
use glasswick_core::numerics::sample;
use glasswick_core::quantity::{
    self, Kind, Rounding, Unit, parse, parse_uncertainty, shortest, with_uncertainty,
};
use glasswick_core::sheet::{Typed, split_readings};
use glasswick_core::uncertainty::{Estimate, Meaning};

/// The unit beside the box.
pub(crate) fn unit_beside(field: &Field, typed: &Typed) -> Option<&'static Unit> {
    match typed.unit.as_str() {
        "" => field.usual_unit(),
        code => quantity::unit(field.number_kind()?, code),
    }
}

fn read(field: &Field, typed: &Typed) -> Option<quantity::Typed> {
    parse(&typed.text, field.number_kind()?, unit_beside(field, typed)).ok()
}

/// Whether the text holds a unit of its own, which then counts instead of the one beside the box.
pub(crate) fn own_unit(field: &Field, typed: &Typed) -> Option<&'static Unit> {
    read(field, typed)?.unit
}

/// The unit that counts for the number, and for sizes stated with it that say none.
pub(crate) fn unit_in_effect(field: &Field, typed: &Typed) -> Option<&'static Unit> {
    own_unit(field, typed).or_else(|| unit_beside(field, typed))
}

/// Whether the text itself holds an uncertainty.
pub(crate) fn own_uncertainty(field: &Field, typed: &Typed) -> bool {
    read(field, typed).is_some_and(|number| number.uncertainty.is_some())
}

/// How the text was read, where that is not plain from the box itself.
pub(crate) fn read_back(field: &Field, typed: &Typed) -> Option<String> {
    if typed.meaning == Meaning::Repeats {
        return None;
    }
    let number = read(field, typed)?;
    let plain = number.unit.is_none() && number.uncertainty.is_none();
    if plain && !typed.text.contains([',', '\'', 'e', 'E', '^', '×', '*']) {
        return None;
    }
    let unit = number.unit.or(unit_beside(field, typed))?;
    let value = text(number.value);
    let read = match number.uncertainty {
        Some(u) if unit.symbol == "1" => format!("{value} ± {}", text(u.magnitude)),
        Some(u) => format!("({value} ± {}){}", text(u.magnitude), unit.after_number()),
        None => format!("{value}{}", unit.after_number()),
    };
    Some(format!("read as {read}"))
}

/// What is pasted into the box of one number, where it is several: one a line, between what stands before and after
/// it. None where it is one number, or none.
pub(crate) fn several(field: &Field, typed: &Typed, parts: [&str; 3]) -> Option<String> {
    let (kind, unit) = (field.number_kind()?, unit_beside(field, typed));
    let is_number = |text: &str| parse(text, kind, unit).is_ok();
    let pasted = parts[1].trim();
    // Groups of digits may be set apart by spaces.
    if is_number(pasted) {
        return None;
    }
    let readings: Vec<_> = split_readings(pasted).collect();
    let numbers = readings.iter().filter(|reading| is_number(reading));
    (numbers.count() > 1).then(|| {
        let around = |text| Some(text).filter(|text: &&str| !text.is_empty());
        let before = around(parts[0].trim()).into_iter();
        let after = around(parts[2].trim());
        let lines: Vec<_> = before.chain(readings).chain(after).collect();
        lines.join("\n")
    })
}

/// The same quantity in another unit, for someone who meant to convert. None where a text cannot be read, or where the
/// only number says its own unit.
pub(crate) fn converted(
    field: &Field,
    typed: &Typed,
    from: &'static Unit,
    to: &'static Unit,
) -> Option<Typed> {
    let convert = Conversion {
        kind: field.number_kind()?,
        from,
        to,
    };
    let (text, value, inside) = if typed.meaning == Meaning::Repeats {
        let (text, mean) = convert.readings(&typed.text)?;
        (text, mean, None)
    } else {
        let number = parse(&typed.text, convert.kind, Some(from)).ok()?;
        if number.unit.is_some() {
            return None;
        }
        (
            convert.value(number.value),
            number.value,
            number.uncertainty,
        )
    };
    let plus_minus = match (inside, typed.plus_minus.trim()) {
        (None, "") => String::new(),
        (Some(inside), _) => convert.difference(inside.magnitude),
        (None, beside) => {
            let beside = parse_uncertainty(beside, value, convert.kind, Some(from)).ok()?;
            convert.difference(beside.magnitude)
        }
    };
    let mut other = Typed {
        text,
        unit: to.code.into(),
        plus_minus,
        ..typed.clone()
    };
    match &mut other.meaning {
        Meaning::Ware(ware) => convert.size(&mut ware.repeatability),
        Meaning::Weighing(weighing) => {
            convert.size(&mut weighing.readability);
            convert.size(&mut weighing.linearity);
            convert.size(&mut weighing.repeatability);
        }
        _ => {}
    }
    Some(other)
}

/// From one unit to another.
struct Conversion {
    kind: Kind,
    from: &'static Unit,
    to: &'static Unit,
}

impl Conversion {
    fn value(&self, value: f64) -> String {
        twelve_digits(self.to.from_si(self.from.to_si(value)))
    }

    fn difference(&self, difference: f64) -> String {
        twelve_digits(
            self.to
                .difference_from_si(self.from.difference_to_si(difference)),
        )
    }

    /// Readings, one a line, and their mean in the unit before. What says its own unit stays as it is.
    fn readings(&self, text: &str) -> Option<(String, f64)> {
        let mut values = Vec::new();
        let mut lines = Vec::new();
        for reading in split_readings(text) {
            let number = parse(reading, self.kind, Some(self.from)).ok()?;
            let own = number.unit;
            let si = own.unwrap_or(self.from).to_si(number.value);
            values.push(self.from.from_si(si));
            lines.push(match own {
                Some(_) => reading.to_owned(),
                None => self.value(number.value),
            });
        }
        (!lines.is_empty()).then(|| (lines.join("\n"), sample::mean(&values)))
    }

    /// A size that is stated with the number, such as a readability. What says its own unit, or cannot be read, stays
    /// as it is.
    fn size(&self, text: &mut String) {
        if let Ok(number) = parse(text, self.kind, Some(self.from))
            && number.unit.is_none()
            && number.uncertainty.is_none()
        {
            *text = self.difference(number.value);
        }
    }
}

/// A number and its standard uncertainty as someone would type them, in a unit in which they read well.
pub(crate) fn typed_from(field: &Field, estimate: &Estimate) -> Typed {
    let Some(unit) = field.unit_for(estimate.value) else {
        return Typed::default();
    };
    let u = unit.difference_from_si(estimate.uncertainty);
    let freedom = estimate.degrees_of_freedom;
    Typed {
        text: twelve_digits(unit.from_si(estimate.value)),
        unit: unit.code.into(),
        plus_minus: if u > 0.0 {
            three_digits(u)
        } else {
            String::new()
        },
        freedom: if u > 0.0 && freedom.is_finite() {
            three_digits(freedom.max(1.0))
        } else {
            String::new()
        },
        ..Typed::default()
    }
}

/// An uncertainty as typed: one digit more than is printed.
fn three_digits(value: f64) -> String {
    shortest(format!("{value:.2e}").parse().unwrap_or(value))
}

/// Digits as typed, without the noise that a conversion leaves in the last places of a double.
pub(crate) fn twelve_digits(value: f64) -> String {
    shortest(format!("{value:.11e}").parse().unwrap_or(value))
}

/// A number in the style of the page, to at most ten digits.
fn text(value: f64) -> String {
    with_uncertainty(value, 0.0, Rounding::TwoDigits)
        .map_or_else(|| shortest(value), |rounded| rounded.plus_minus())
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::quantity;
    use glasswick_core::quantity::unit;
    use glasswick_core::uncertainty::{WareUse, Weighing};

    static MASS: Field = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
    static VOLUME: Field = quantity("v", "Volume", Kind::Volume).units(&["mL", "uL"]);
    static TEMPERATURE: Field =
        quantity("t", "Temperature", Kind::Temperature).units(&["Cel", "K"]);

    fn typed(text: &str, plus_minus: &str) -> Typed {
        Typed {
            text: text.into(),
            plus_minus: plus_minus.into(),
            ..Typed::default()
        }
    }

    #[test]
    fn only_what_is_not_plain_is_read_back() {
        let back =
            |text: &str| read_back(&VOLUME, &typed(text, "")).map(|t| t.replace('\u{202F}', " "));
        assert_eq!(back("2"), None);
        assert_eq!(back("two"), None);
        assert_eq!(back("2 uL").as_deref(), Some("read as 2 µL"));
        assert_eq!(back("0,5").as_deref(), Some("read as 0.5 mL"));
        assert_eq!(back("12.5(1)").as_deref(), Some("read as (12.5 ± 0.1) mL"));
    }

    #[test]
    fn conversion_keeps_the_quantity() {
        let convert = |field: &Field, typed: &Typed, from: &str, to: &str| {
            let kind = field.number_kind().unwrap();
            let after = converted(
                field,
                typed,
                unit(kind, from).unwrap(),
                unit(kind, to).unwrap(),
            )?;
            Some((after.text, after.plus_minus, after.unit))
        };
        let some = |a: &str, b: &str, c: &str| Some((a.to_owned(), b.to_owned(), c.to_owned()));
        assert_eq!(
            convert(&VOLUME, &typed("10", "0.1"), "mL", "uL"),
            some("10000", "100", "uL")
        );
        assert_eq!(
            convert(&VOLUME, &typed("0,3", ""), "mL", "uL"),
            some("300", "", "uL")
        );
        assert_eq!(convert(&VOLUME, &typed("10 uL", ""), "mL", "uL"), None);
        assert_eq!(convert(&VOLUME, &typed("ten", ""), "mL", "uL"), None);
        // A temperature shifts with its zero, its uncertainty does not.
        assert_eq!(
            convert(&TEMPERATURE, &typed("20", "0.5"), "Cel", "K"),
            some("293.15", "0.5", "K")
        );
    }

    #[test]
    fn readings_and_sizes_are_converted_with_the_number() {
        let (ml, ul) = (
            unit(Kind::Volume, "mL").unwrap(),
            unit(Kind::Volume, "uL").unwrap(),
        );
        let mut readings = typed("0.100\n101 uL\n0,102", "1 %");
        readings.meaning = Meaning::Repeats;
        let after = converted(&VOLUME, &readings, ml, ul).unwrap();
        assert_eq!(after.text, "100\n101 uL\n102");
        // A hundredth of the mean, 101 µL.
        assert_eq!(after.plus_minus, "1.01");
        readings.text.push_str("\nmuch");
        assert_eq!(converted(&VOLUME, &readings, ml, ul), None);

        let ware = WareUse {
            repeatability: "0.02".into(),
            temperature: "24".into(),
            ..WareUse::default()
        };
        let mut flask = typed("100", "");
        flask.meaning = Meaning::Ware(Box::new(ware.clone()));
        let after = converted(&VOLUME, &flask, ml, ul).unwrap();
        assert_eq!(
            after.meaning,
            Meaning::Ware(Box::new(WareUse {
                repeatability: "20".into(),
                ..ware
            }))
        );

        let (mg, g) = (
            unit(Kind::Mass, "mg").unwrap(),
            unit(Kind::Mass, "g").unwrap(),
        );
        let weighing = Weighing {
            readability: "0.1".into(),
            linearity: "0.2 mg".into(),
            repeatability: "little".into(),
            ..Weighing::default()
        };
        let mut weighed = typed("5200", "");
        weighed.meaning = Meaning::Weighing(Box::new(weighing.clone()));
        let after = converted(&MASS, &weighed, mg, g).unwrap();
        assert_eq!(after.text, "5.2");
        assert_eq!(
            after.meaning,
            Meaning::Weighing(Box::new(Weighing {
                readability: "0.0001".into(),
                ..weighing
            }))
        );
    }

    #[test]
    fn several_numbers_that_are_pasted_are_told_from_one() {
        let several = |before: &str, pasted: &str, after: &str| {
            several(&VOLUME, &Typed::default(), [before, pasted, after])
        };
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(several("", "12.4\r\n12.5\r\n", ""), some("12.4\n12.5"));
        assert_eq!(several("", "12,4\t12,5", ""), some("12,4\n12,5"));
        assert_eq!(several("", "12.4, 12.5 12.6", ""), some("12.4\n12.5\n12.6"));
        assert_eq!(several("12.3", "12.4;12.5", ""), some("12.3\n12.4\n12.5"));
        // A head of the column is no number, and not lost.
        assert_eq!(several("", "V\n12.4\n12.5", ""), some("V\n12.4\n12.5"));
        for one in [
            "12.5",
            "12.5\n",
            "12 345",
            "12.5 mL",
            "12.5 ± 0.1",
            "(12.5 ± 0.1) mL",
            "two of them",
        ] {
            assert_eq!(several("", one, ""), None, "{one}");
        }
    }

    #[test]
    fn a_linked_value_is_kept_as_typed_text() {
        let estimate = Estimate {
            uncertainty: 1.23456e-10,
            degrees_of_freedom: 4.567,
            ..Estimate::exact(2.5e-8)
        };
        let kept = typed_from(&VOLUME, &estimate);
        assert_eq!(kept.freedom, "4.57");
        assert_eq!(kept.plus_minus, "0.123");
        assert_eq!((kept.text.as_str(), kept.unit.as_str()), ("25", "uL"));
    }
}
