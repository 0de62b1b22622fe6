//! What a number box says back about the text in it, and the two readings of a change of unit.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::{
    self, Rounding, Unit, parse, parse_uncertainty, shortest, with_uncertainty,
};
use glasswick_core::sheet::Typed;
use glasswick_core::uncertainty::Estimate;

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

/// Whether the text itself holds an uncertainty.
pub(crate) fn own_uncertainty(field: &Field, typed: &Typed) -> bool {
    read(field, typed).is_some_and(|number| number.uncertainty.is_some())
}

/// How the text was read, where that is not plain from the box itself.
pub(crate) fn read_back(field: &Field, typed: &Typed) -> Option<String> {
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

/// The same quantity in another unit, for someone who meant to convert. None where the text cannot be read, or says
/// its own unit.
pub(crate) fn converted(
    field: &Field,
    typed: &Typed,
    from: &'static Unit,
    to: &Unit,
) -> Option<Typed> {
    let kind = field.number_kind()?;
    let number = parse(&typed.text, kind, Some(from)).ok()?;
    if number.unit.is_some() {
        return None;
    }
    let other = |magnitude: f64| to.difference_from_si(from.difference_to_si(magnitude));
    let plus_minus = match (number.uncertainty, typed.plus_minus.trim()) {
        (None, "") => String::new(),
        (Some(inside), _) => twelve_digits(other(inside.magnitude)),
        (None, beside) => {
            let beside = parse_uncertainty(beside, number.value, kind, Some(from)).ok()?;
            twelve_digits(other(beside.magnitude))
        }
    };
    Some(Typed {
        text: twelve_digits(to.from_si(from.to_si(number.value))),
        unit: to.code.into(),
        plus_minus,
        meaning: typed.meaning.clone(),
        freedom: typed.freedom.clone(),
        source: typed.source.clone(),
    })
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
    use glasswick_core::quantity::{Kind, unit};

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
