//! The text of a quantity box: a number, perhaps its uncertainty, perhaps a unit.
//!
//! Read: point or comma as decimal marker; spaces of any width or apostrophes between groups of three digits;
//! `1e-3`, `1.2×10⁻³`, `1,2·10^-3`; `12.5 ± 0.1`, `12.5 +/- 0.1`, `12.5(1)`, `12.5(0.1)`, `12.5 ± 1 %`,
//! `12.5 ± 1 % rel`; a unit after any of them, also `(12.5 ± 0.1) mg` and `12.5 mg ± 50 µg`.
//!
//! What can be read in two ways is explained, never guessed. The caller keeps the text as typed.

use super::decimal::{Decimal, superscript_digit};
use super::kind::Kind;
use super::number_error::NumberError;
use super::units::{Unit, kinds_with, unit};

/// What a person typed into a quantity box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed {
    /// The number, in the unit typed or else in the unit in effect.
    pub value: f64,
    /// Power of ten of the last digit typed: −2 for "12.50", −4 for "1.25e-2".
    pub last_place: i32,
    /// The uncertainty, when one was typed in the same box.
    pub uncertainty: Option<TypedUncertainty>,
    /// The unit, when one was typed in the same box.
    pub unit: Option<&'static Unit>,
}

/// An uncertainty as typed. What it means (standard, limit, expanded) is stated beside the box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TypedUncertainty {
    /// In the unit of the value; already absolute.
    pub magnitude: f64,
    /// Whether it was typed as a percentage of the value.
    pub relative: bool,
}

/// Reads the text of a quantity box. Without a unit in the text, the number is in the unit in effect, or in the
/// coherent SI unit where there is none.
///
/// # Errors
/// [`NumberError`] says what is not clear and what to enter instead.
pub fn parse(
    text: &str,
    kind: Kind,
    unit_in_effect: Option<&'static Unit>,
) -> Result<Typed, NumberError> {
    let text = trim(text);
    if text.is_empty() {
        return Err(NumberError::Empty);
    }
    let Pieces {
        number,
        unit_before,
        spread,
        unit_after,
    } = pieces(text)?;
    let find = |name: &str| find_unit(name, kind, text);
    let spread_unit = match &spread {
        Some(Spread {
            suffix: Suffix::Unit(name),
            ..
        }) => Some(*name),
        _ => None,
    };
    if let (Some(first), Some(second)) = (unit_before.or(spread_unit), unit_after) {
        return Err(NumberError::TwoUnits {
            first: first.to_owned(),
            second: second.to_owned(),
        });
    }
    let unit_typed = unit_before
        .or(unit_after)
        .or(spread_unit)
        .map(find)
        .transpose()?;
    let unit = unit_typed.or(unit_in_effect).unwrap_or(kind.coherent());
    let value = in_range(&number.decimal, number.text, unit)?;
    let uncertainty = match (spread, &number.in_parentheses) {
        (Some(spread), None) => {
            let stated = unit_before.is_some();
            Some(spread.resolve(value, Some(number.text), kind, unit, stated)?)
        }
        (Some(spread), Some(_)) => {
            return Err(NumberError::BadUncertainty {
                text: spread.number.text.to_owned(),
            });
        }
        (None, Some(places)) => Some(TypedUncertainty {
            magnitude: in_range(places, text, unit)?,
            relative: false,
        }),
        (None, None) => None,
    };
    Ok(Typed {
        value,
        last_place: number.decimal.exponent,
        uncertainty,
        unit: unit_typed,
    })
}

/// Reads the text of the separate ± box, beside a value in the unit in effect (the coherent SI unit where there is
/// none). A unit in the text is converted to that one.
///
/// # Errors
/// [`NumberError`] says what is not clear and what to enter instead.
pub fn parse_uncertainty(
    text: &str,
    value: f64,
    kind: Kind,
    unit_in_effect: Option<&Unit>,
) -> Result<TypedUncertainty, NumberError> {
    let text = trim(text);
    let text = plus_minus(text).map_or(
        text,
        |(before, after)| if before.is_empty() { after } else { text },
    );
    if text.is_empty() {
        return Err(NumberError::Empty);
    }
    let unit = unit_in_effect.unwrap_or(kind.coherent());
    spread(text)?.resolve(value, None, kind, unit, true)
}

/// The text of a box taken apart; nothing is known of units yet.
struct Pieces<'a> {
    number: Number<'a>,
    /// Between number and ±, or after the number where there is no ±.
    unit_before: Option<&'a str>,
    spread: Option<Spread<'a>>,
    /// After "(number ± uncertainty)".
    unit_after: Option<&'a str>,
}

/// What follows ±.
struct Spread<'a> {
    number: Number<'a>,
    suffix: Suffix<'a>,
}

enum Suffix<'a> {
    None,
    Percent(Option<Percent>),
    Unit(&'a str),
}

#[derive(Clone, Copy, PartialEq)]
enum Percent {
    OfTheValue,
    Points,
}

/// A number at the start of a text.
struct Number<'a> {
    decimal: Decimal,
    /// The uncertainty of "12.5(1)".
    in_parentheses: Option<Decimal>,
    /// As typed.
    text: &'a str,
    /// What follows it.
    rest: &'a str,
}

fn pieces(text: &str) -> Result<Pieces<'_>, NumberError> {
    let Some(opened) = text.strip_prefix('(') else {
        return open_pieces(text);
    };
    let not_a_number = || NumberError::NotANumber {
        text: text.to_owned(),
    };
    let (inner, outer) = opened.split_once(')').ok_or_else(not_a_number)?;
    let mut pieces = open_pieces(trim(inner))?;
    let (power, outer) = power_of_ten(outer).unwrap_or((0, outer));
    pieces.number.shift(power);
    if let Some(spread) = &mut pieces.spread
        && !matches!(spread.suffix, Suffix::Percent(_))
    {
        spread.number.shift(power);
    }
    pieces.unit_after = Some(trim(outer)).filter(|unit| !unit.is_empty());
    Ok(pieces)
}

fn open_pieces(text: &str) -> Result<Pieces<'_>, NumberError> {
    let number = number(text)?;
    let (unit, spread) = match plus_minus(number.rest) {
        Some((unit, after)) => (unit, Some(spread(after)?)),
        None => (trim(number.rest), None),
    };
    let unit_before = Some(unit).filter(|unit| !unit.is_empty());
    Ok(Pieces {
        number,
        unit_before,
        spread,
        unit_after: None,
    })
}

/// The text before and after the first sign of an uncertainty.
fn plus_minus(text: &str) -> Option<(&str, &str)> {
    let (position, sign) = ["±", "+/-", "+/−", "+-"]
        .iter()
        .filter_map(|sign| text.find(sign).map(|position| (position, sign)))
        .min()?;
    Some((
        trim(&text[..position]),
        trim(&text[position + sign.len()..]),
    ))
}

fn spread(text: &str) -> Result<Spread<'_>, NumberError> {
    let bad = || NumberError::BadUncertainty {
        text: text.to_owned(),
    };
    let number = match number(text) {
        Err(NumberError::NotANumber { .. }) => return Err(bad()),
        other => other?,
    };
    if number.in_parentheses.is_some() {
        return Err(bad());
    }
    if number.decimal.negative {
        return Err(NumberError::NegativeUncertainty);
    }
    let rest = trim(number.rest);
    let suffix = match rest
        .strip_prefix('%')
        .map(|meaning| trim(meaning).to_lowercase())
    {
        _ if rest.is_empty() => Suffix::None,
        Some(meaning) => match meaning.as_str() {
            "" => Suffix::Percent(None),
            "rel" | "rel." | "relative" => Suffix::Percent(Some(Percent::OfTheValue)),
            "abs" | "abs." | "absolute" => Suffix::Percent(Some(Percent::Points)),
            _ => Suffix::Unit(rest),
        },
        None => Suffix::Unit(rest),
    };
    Ok(Spread { number, suffix })
}

impl Spread<'_> {
    /// The absolute uncertainty of a value in a unit. `stated`: whether the unit is known apart from what follows
    /// the uncertainty, so that a percent sign cannot be meant as the unit of both.
    fn resolve(
        &self,
        value: f64,
        value_text: Option<&str>,
        kind: Kind,
        unit: &Unit,
        stated: bool,
    ) -> Result<TypedUncertainty, NumberError> {
        let number = &self.number;
        let absolute = |magnitude| {
            Ok(TypedUncertainty {
                magnitude,
                relative: false,
            })
        };
        let percent_unit = || {
            if unit.is_percent() {
                Some(unit)
            } else {
                super::units::unit(kind, "%")
            }
        };
        match self.suffix {
            Suffix::None => absolute(in_range(&number.decimal, number.text, unit)?),
            Suffix::Unit(name) => {
                let own = find_unit(name, kind, name)?;
                absolute(convert(
                    in_range(&number.decimal, number.text, own)?,
                    own,
                    unit,
                ))
            }
            Suffix::Percent(Some(Percent::Points)) => {
                let own = percent_unit().ok_or(NumberError::NoPercentagePoints { kind })?;
                absolute(convert(
                    in_range(&number.decimal, number.text, own)?,
                    own,
                    unit,
                ))
            }
            Suffix::Percent(None)
                if percent_unit().is_some()
                    && (unit.is_percent() || unit.symbol == "1" || !stated) =>
            {
                Err(NumberError::PercentMeaning {
                    value: value_text.map(str::to_owned),
                    percent: number.text.to_owned(),
                })
            }
            Suffix::Percent(_) if value == 0.0 => {
                Err(NumberError::RelativeToNothing { unit: None })
            }
            Suffix::Percent(_) if unit.offset != 0.0 => Err(NumberError::RelativeToNothing {
                unit: Some(unit.symbol),
            }),
            Suffix::Percent(_) => {
                let magnitude = value.abs() * number.decimal.to_f64() / 100.0;
                if !unit.difference_to_si(magnitude).is_finite() {
                    return Err(NumberError::OutOfRange {
                        text: number.text.to_owned(),
                    });
                }
                Ok(TypedUncertainty {
                    magnitude,
                    relative: true,
                })
            }
        }
    }
}

/// A difference from one unit in another of the same kind.
fn convert(difference: f64, from: &Unit, to: &Unit) -> f64 {
    if from.code == to.code {
        difference
    } else {
        to.difference_from_si(from.difference_to_si(difference))
    }
}

/// The double of a number, when it and its SI value can be computed with.
fn in_range(decimal: &Decimal, text: &str, unit: &Unit) -> Result<f64, NumberError> {
    let value = decimal.to_f64();
    let usable = |number: f64| number.is_normal() || decimal.is_zero();
    if usable(value) && usable(unit.difference_to_si(value)) {
        Ok(value)
    } else {
        Err(NumberError::OutOfRange {
            text: text.to_owned(),
        })
    }
}

fn find_unit(name: &str, kind: Kind, whole: &str) -> Result<&'static Unit, NumberError> {
    // Digits alone are the rest of a number, not the unit one.
    let digits = name.bytes().all(|byte| byte.is_ascii_digit());
    if let Some(unit) = unit(kind, name).filter(|_| !digits) {
        return Ok(unit);
    }
    let found = kinds_with(name);
    if !found.is_empty() && !digits {
        return Err(NumberError::WrongKind {
            text: name.to_owned(),
            kind,
            found,
        });
    }
    if name.starts_with(|first: char| first.is_ascii_digit()) {
        return Err(NumberError::Groups {
            text: whole.to_owned(),
        });
    }
    Err(NumberError::UnknownUnit {
        text: name.to_owned(),
        kind,
    })
}

impl Number<'_> {
    fn shift(&mut self, power: i32) {
        for decimal in [Some(&mut self.decimal), self.in_parentheses.as_mut()]
            .into_iter()
            .flatten()
        {
            decimal.exponent = decimal.exponent.saturating_add(power);
        }
    }
}

/// Reads sign, digits, uncertainty in parentheses and power of ten.
fn number(text: &str) -> Result<Number<'_>, NumberError> {
    let Mantissa {
        decimal,
        marked: _,
        rest,
    } = mantissa(text)?;
    let place = decimal.exponent;
    let mut number = Number {
        decimal,
        in_parentheses: None,
        text,
        rest,
    };
    if let Some((uncertainty, rest)) = parenthesis(rest, place)? {
        number.in_parentheses = Some(uncertainty);
        number.rest = rest;
    }
    if let Some((power, rest)) = power_of_ten(number.rest) {
        number.shift(power);
        number.rest = rest;
    } else if number.decimal == Decimal::new(false, "10", 0)
        && let Some((power, rest)) = raised(number.rest)
    {
        // "10⁻³" alone: the mantissa is one.
        number.decimal = Decimal::new(false, "1", power);
        number.rest = rest;
    }
    number.text = text[..text.len() - number.rest.len()].trim_end();
    Ok(number)
}

struct Mantissa<'a> {
    decimal: Decimal,
    /// Whether it has a decimal marker.
    marked: bool,
    rest: &'a str,
}

fn mantissa(text: &str) -> Result<Mantissa<'_>, NumberError> {
    let (negative, body) = sign(text);
    let mut digits = String::new();
    let mut marks: Vec<(char, usize)> = Vec::new();
    // Digits since the last mark or separator.
    let mut group = 0;
    let mut grouped = false;
    let mut rest = body;
    while let Some(character) = rest.chars().next() {
        let after = &rest[character.len_utf8()..];
        if character.is_ascii_digit() {
            digits.push(character);
            group += 1;
        } else if matches!(character, '.' | ',') {
            marks.push((character, digits.len()));
            group = 0;
        } else if separates_groups(character, group, after, !marks.is_empty()) {
            grouped = true;
            group = 0;
        } else {
            break;
        }
        rest = after;
    }
    if digits.is_empty() {
        return Err(NumberError::NotANumber {
            text: text.to_owned(),
        });
    }
    let written = || text[..text.len() - rest.len()].to_owned();
    let with_sign = |digits: &str| format!("{}{digits}", if negative { "−" } else { "" });
    let with_point = |position: usize| {
        let (whole, decimals) = digits.split_at(position);
        with_sign(&format!("{whole}.{decimals}"))
    };
    let decimals = match marks.as_slice() {
        [] => 0,
        [(mark, position)] => {
            let decimals = digits.len() - position;
            let thousands = (1..=3).contains(position) && decimals == 3 && !digits.starts_with('0');
            if *mark == ',' && thousands && !grouped {
                return Err(NumberError::Ambiguous {
                    text: written(),
                    as_decimal: with_point(*position),
                    as_thousands: with_sign(&digits),
                });
            }
            decimals
        }
        [others @ .., (last, position)] => {
            let decimal = others.iter().all(|(mark, _)| mark != last);
            let likely = if decimal {
                with_point(*position)
            } else {
                with_sign(&digits)
            };
            return Err(NumberError::Marks {
                text: written(),
                likely,
            });
        }
    };
    let exponent = i32::try_from(decimals).map_or(i32::MIN, |decimals| -decimals);
    let decimal = Decimal::new(negative, &digits, exponent);
    Ok(Mantissa {
        decimal,
        marked: !marks.is_empty(),
        rest,
    })
}

/// Whether a space or apostrophe stands between two groups of digits: three on both sides, fewer only at the two
/// ends of the number. Four may end the decimals, as in tables of constants: a single digit is not set apart there.
fn separates_groups(character: char, group: usize, after: &str, in_decimals: bool) -> bool {
    let separator = matches!(character, '\'' | '’' | 'ʼ')
        || (character.is_whitespace() && !character.is_control());
    let next = after.bytes().take_while(u8::is_ascii_digit).count();
    let fits = if in_decimals {
        group == 3 && (1..=4).contains(&next)
    } else {
        (1..=3).contains(&group) && next == 3
    };
    // "5 1/K" and "5 10⁻⁶/K": these digits belong to the unit.
    let beyond = &after[next..];
    let in_unit = beyond.starts_with('/')
        || (after.starts_with("10")
            && next == 2
            && raised(beyond.trim_start_matches('*')).is_some());
    separator && fits && !in_unit
}

/// The uncertainty of "12.5(1)", in units of the place, or of "12.5(0.1)", as it stands.
fn parenthesis(text: &str, place: i32) -> Result<Option<(Decimal, &str)>, NumberError> {
    let Some(opened) = trim(text).strip_prefix('(') else {
        return Ok(None);
    };
    if !opened.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '.' | ',')) {
        return Ok(None);
    }
    let bad = || NumberError::BadUncertainty {
        text: text.to_owned(),
    };
    let (inner, rest) = opened.split_once(')').ok_or_else(bad)?;
    let uncertainty = mantissa(inner)?;
    if !uncertainty.rest.is_empty() {
        return Err(bad());
    }
    let decimal = if uncertainty.marked {
        uncertainty.decimal
    } else {
        uncertainty.decimal.shifted(place)
    };
    Ok(Some((decimal, rest)))
}

/// The power in "e-3", "×10⁻³", "·10^-3" at the start of a text, and what follows it.
fn power_of_ten(text: &str) -> Option<(i32, &str)> {
    let text = trim(text);
    if let Some(after) = text.strip_prefix(['e', 'E']) {
        return whole_number(after);
    }
    let after = text.strip_prefix(['×', 'x', 'X', '*', '·', '⋅', '∙', '✕'])?;
    let after = trim(after).strip_prefix("10")?;
    // "×10-3", where copying has lost the superscript; without a sign it would be another number.
    raised(after).or_else(|| {
        let signed = after.starts_with(['-', '−', '+']);
        if signed { whole_number(after) } else { None }
    })
}

/// The exponent in "^-3", "^(-3)", "^{-3}", "**-3" or "⁻³".
fn raised(text: &str) -> Option<(i32, &str)> {
    if let Some(after) = text.strip_prefix('^').or_else(|| text.strip_prefix("**")) {
        let (close, inner) = if let Some(inner) = after.strip_prefix('(') {
            (")", inner)
        } else if let Some(inner) = after.strip_prefix('{') {
            ("}", inner)
        } else {
            ("", after)
        };
        let (power, rest) = whole_number(inner)?;
        return Some((power, rest.strip_prefix(close)?));
    }
    let (negative, digits) = match text.strip_prefix('⁻') {
        Some(digits) => (true, digits),
        None => (false, text.strip_prefix('⁺').unwrap_or(text)),
    };
    let end = digits
        .find(|c| superscript_digit(c).is_none())
        .unwrap_or(digits.len());
    let plain: String = digits[..end]
        .chars()
        .filter_map(superscript_digit)
        .collect();
    Some((bounded(negative, &plain)?, &digits[end..]))
}

/// A signed whole number at the start of a text.
fn whole_number(text: &str) -> Option<(i32, &str)> {
    let (negative, digits) = sign(text);
    let end = digits
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(digits.len());
    Some((bounded(negative, &digits[..end])?, &digits[end..]))
}

/// A power of ten; one far beyond any double stands for all larger ones.
fn bounded(negative: bool, digits: &str) -> Option<i32> {
    const BEYOND: i32 = 1_000_000;
    if digits.is_empty() {
        return None;
    }
    let power = digits.parse::<i32>().unwrap_or(BEYOND).min(BEYOND);
    Some(if negative { -power } else { power })
}

fn sign(text: &str) -> (bool, &str) {
    match text.strip_prefix(['-', '−', '–', '‑']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    }
}

/// Without spaces of any width, and without the invisible marks that come with copied text.
fn trim(text: &str) -> &str {
    text.trim_matches(|c: char| {
        c.is_whitespace() || matches!(c, '\u{200B}' | '\u{2060}' | '\u{FEFF}')
    })
}
