//! Numbers as the page and the record show them.
//!
//! Style of the SI Brochure (9th edition, 5.4): a real minus sign, groups of three digits set off by a narrow
//! no-break space where more than four stand together, powers of ten as ×10ⁿ, the point as decimal marker.
//! Everything is rounded half to even on the decimal digits of the double's shortest text, never on the binary
//! value: 421.25 is a tie although most such numbers are not exactly representable.

use super::decimal::{Decimal, superscript, superscript_digit};

/// How many digits of an uncertainty are kept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rounding {
    /// Two significant digits (JCGM 100:2008, 7.2.6: at most two).
    #[default]
    TwoDigits,
    /// The rule of the Particle Data Group on its three leading digits: 100 to 354 keep two digits, 355 to 949 one,
    /// 950 and above round up to 1000 and keep two (Review of Particle Physics, Introduction, 5.3; from memory).
    ParticleDataGroup,
}

/// Digits shown of a number without uncertainty: enough for any reading of the trade; the full digits are always
/// at hand.
const EXACT_DIGITS: u8 = 6;

/// A value and its uncertainty, rounded to the same place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rounded {
    /// The value over the common power of ten, in the style of the page.
    pub value: String,
    /// The uncertainty to the same place; empty when it is zero.
    pub uncertainty: String,
    /// The common power of ten; 0 when there is none.
    pub exponent: i32,
}

impl Rounded {
    /// "12.46 ± 0.16" or "(1.246 ± 0.016)×10⁻⁵".
    #[must_use]
    pub fn plus_minus(&self) -> String {
        let Rounded {
            value,
            uncertainty,
            exponent,
        } = self;
        match (uncertainty.is_empty(), exponent) {
            (true, _) => format!("{value}{}", power_text(*exponent)),
            (false, 0) => format!("{value} ± {uncertainty}"),
            (false, _) => format!("({value} ± {uncertainty}){}", power_text(*exponent)),
        }
    }

    /// "12.46(16)" or "1.246(16)×10⁻⁵": the uncertainty counts the value's last places (JCGM 100:2008, 7.2.2).
    ///
    /// An uncertainty of one or more beside a value with decimals would read as something else; it is written
    /// with ± instead.
    #[must_use]
    pub fn parentheses(&self) -> String {
        let digits = match self.uncertainty.split_once('.') {
            None => self.uncertainty.as_str(),
            Some(("0", decimals)) => decimals,
            Some(_) => return self.plus_minus(),
        };
        if digits.is_empty() {
            return self.plus_minus();
        }
        let digits: String = digits.chars().filter(char::is_ascii_digit).collect();
        let digits = digits.trim_start_matches('0');
        format!("{}({digits}){}", self.value, power_text(self.exponent))
    }
}

/// A number to so many significant digits (at least one), in the style of the page.
#[must_use]
pub fn value_text(value: f64, significant: u8) -> String {
    match Decimal::from_f64(value) {
        None => "undefined".to_owned(),
        Some(decimal) if decimal.is_zero() => "0".to_owned(),
        Some(decimal) => {
            let rounded = decimal.round_significant(significant);
            let exponent = common_power(rounded.magnitude());
            page_style(&rounded.shifted(-exponent)) + &power_text(exponent)
        }
    }
}

/// A number to at most so many significant digits, without trailing zeros, in the style of the page: for numbers
/// whose last digits say nothing about how well they are known.
#[must_use]
pub fn brief_text(value: f64, significant: u8) -> String {
    Decimal::from_f64(value).map_or_else(
        || "undefined".to_owned(),
        |decimal| brief(&decimal, significant).plus_minus(),
    )
}

fn brief(decimal: &Decimal, significant: u8) -> Rounded {
    let decimal = decimal
        .round_significant(significant)
        .without_trailing_zeros();
    let exponent = common_power(decimal.magnitude());
    Rounded {
        value: page_style(&decimal.shifted(-exponent)),
        uncertainty: String::new(),
        exponent,
    }
}

/// A value and its uncertainty: the uncertainty to the digits the rule keeps, the value to the same place.
///
/// An uncertainty of zero leaves the value alone, to at most six digits. `None` when either is not finite or the
/// uncertainty is negative.
#[must_use]
pub fn with_uncertainty(value: f64, u: f64, rounding: Rounding) -> Option<Rounded> {
    let value = Decimal::from_f64(value)?;
    let u = Decimal::from_f64(u)?;
    if u.is_zero() {
        return Some(brief(&value, EXACT_DIGITS));
    }
    if u.negative {
        return None;
    }
    let u = match rounding {
        Rounding::TwoDigits => u.round_significant(2),
        Rounding::ParticleDataGroup => match u.leading_three() {
            355..950 => u.round_significant(1),
            950.. => u.round_significant(1).round_significant(2),
            _ => u.round_significant(2),
        },
    };
    let value = value.round_to(u.exponent);
    let magnitude = if value.is_zero() {
        u.magnitude()
    } else {
        value.magnitude().max(u.magnitude())
    };
    let exponent = common_power(magnitude);
    Some(Rounded {
        value: page_style(&value.shifted(-exponent)),
        uncertainty: page_style(&u.shifted(-exponent)),
        exponent,
    })
}

/// The plain ASCII copy of text in the style of the page: "-1234.5", "1.2e-5", "12.46 +/- 0.16", "uL", "cm2".
#[must_use]
pub fn plain(text: &str) -> String {
    let text = text.replace("×10", "e");
    let characters: Vec<char> = text.chars().collect();
    let mut plain = String::with_capacity(text.len());
    for (position, &character) in characters.iter().enumerate() {
        let after = characters.get(position + 1);
        match character {
            // No symbol of a unit starts with a digit, so a narrow space before one separates groups.
            '\u{202F}' if after.is_some_and(char::is_ascii_digit) => {}
            '\u{202F}' | '\u{2009}' | '\u{00A0}' => plain.push(' '),
            '−' | '⁻' => plain.push('-'),
            '±' => plain.push_str("+/-"),
            '·' => plain.push('.'),
            'µ' => plain.push('u'),
            'Ω' => plain.push_str("Ohm"),
            'Å' => plain.push_str("Ao"),
            '°' => plain.push_str("deg"),
            other => plain.push(superscript_digit(other).unwrap_or(other)),
        }
    }
    plain
}

/// All digits: the shortest plain text that reads back as the same double.
#[must_use]
pub fn shortest(value: f64) -> String {
    let magnitude = value.abs();
    if value == 0.0 || (1e-4..1e15).contains(&magnitude) {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// The power of ten to set apart: none from 0.0001 up to a million.
fn common_power(magnitude: i32) -> i32 {
    if (-4..6).contains(&magnitude) {
        0
    } else {
        magnitude
    }
}

fn power_text(exponent: i32) -> String {
    if exponent == 0 {
        String::new()
    } else {
        format!("×10{}", superscript(exponent))
    }
}

/// Sign and digits with groups, without power of ten.
fn page_style(decimal: &Decimal) -> String {
    let (whole, decimals) = decimal.parts();
    let mut text = String::new();
    if decimal.negative {
        text.push('−');
    }
    // Groups count from the decimal point, both ways.
    let first = if whole.len() > 4 { whole.len() % 3 } else { 0 };
    push_groups(&mut text, &whole, first);
    if !decimals.is_empty() {
        text.push('.');
        push_groups(&mut text, &decimals, 0);
    }
    text
}

fn push_groups(text: &mut String, digits: &str, first: usize) {
    for (position, digit) in digits.chars().enumerate() {
        if digits.len() > 4 && position > 0 && position % 3 == first {
            text.push('\u{202F}');
        }
        text.push(digit);
    }
}
