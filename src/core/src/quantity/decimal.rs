//! A decimal number as digits and a power of ten, for reading and rounding without binary surprises.

use std::cmp::Ordering;

/// ± digits × 10^exponent. Never has leading zeros; zero has no digits and no sign.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Decimal {
    pub(super) negative: bool,
    /// Digits 0 to 9 as numbers, most significant first.
    digits: Vec<u8>,
    /// Power of ten of the last digit.
    pub(super) exponent: i32,
}

impl Decimal {
    /// From the digits of a text, leading zeros allowed.
    pub(super) fn new(negative: bool, digits: &str, exponent: i32) -> Self {
        let digits: Vec<u8> = digits
            .bytes()
            .filter(u8::is_ascii_digit)
            .map(|byte| byte - b'0')
            .skip_while(|digit| *digit == 0)
            .collect();
        Decimal {
            negative: negative && !digits.is_empty(),
            digits,
            exponent,
        }
    }

    /// The shortest decimal that reads back as this double. `None` when it is not finite.
    pub(super) fn from_f64(value: f64) -> Option<Self> {
        if !value.is_finite() {
            return None;
        }
        let text = format!("{:e}", value.abs());
        let (mantissa, exponent) = text.split_once('e')?;
        let decimals = mantissa.len().saturating_sub(2); // after "d."
        let exponent = exponent.parse::<i32>().ok()? - i32::try_from(decimals).ok()?;
        Some(Decimal::new(value.is_sign_negative(), mantissa, exponent))
    }

    /// The nearest double; infinite when it is too large.
    pub(super) fn to_f64(&self) -> f64 {
        let sign = if self.negative { "-" } else { "" };
        // This text is always a number, so the fallback is never taken.
        format!("{sign}{}e{}", self.digit_text(), self.exponent)
            .parse()
            .unwrap_or(f64::NAN)
    }

    pub(super) fn is_zero(&self) -> bool {
        self.digits.is_empty()
    }

    /// Power of ten of the first digit: 1 for 12.5. That of the last one for zero.
    pub(super) fn magnitude(&self) -> i32 {
        let count = i32::try_from(self.digits.len()).unwrap_or(i32::MAX);
        self.exponent.saturating_add(count.saturating_sub(1).max(0))
    }

    /// Rounded to a multiple of 10^place, half to even; a finer place changes nothing but the trailing zeros.
    pub(super) fn round_to(&self, place: i32) -> Self {
        let mut digits = self.digits.clone();
        if place <= self.exponent {
            if !digits.is_empty() {
                let zeros = usize::try_from(i64::from(self.exponent) - i64::from(place));
                digits.resize(digits.len() + zeros.unwrap_or(0), 0);
            }
        } else {
            let dropped = usize::try_from(i64::from(place) - i64::from(self.exponent)).unwrap_or(0);
            if dropped > digits.len() {
                // Below a tenth of the place: nothing is left.
                digits.clear();
            } else {
                let rest = digits.split_off(digits.len() - dropped);
                let half = rest[0].cmp(&5).then(if rest[1..].iter().any(|d| *d != 0) {
                    Ordering::Greater
                } else {
                    Ordering::Equal
                });
                let odd = digits.last().is_some_and(|digit| digit % 2 == 1);
                if half == Ordering::Greater || (half == Ordering::Equal && odd) {
                    add_one(&mut digits);
                }
            }
        }
        Decimal {
            negative: self.negative && !digits.is_empty(),
            digits,
            exponent: place,
        }
    }

    /// Rounded to so many significant digits, half to even.
    pub(super) fn round_significant(&self, significant: u8) -> Self {
        let width = i32::from(significant.max(1)) - 1;
        let rounded = self.round_to(self.magnitude().saturating_sub(width));
        // 9.96 to two digits carries to 10.0: one digit too many, a zero.
        if rounded.magnitude() - rounded.exponent > width && !rounded.is_zero() {
            rounded.round_to(rounded.exponent + 1)
        } else {
            rounded
        }
    }

    /// Without the zeros after the last other digit.
    pub(super) fn without_trailing_zeros(mut self) -> Self {
        if self.is_zero() {
            self.exponent = 0;
        }
        while self.digits.last() == Some(&0) {
            self.digits.pop();
            self.exponent = self.exponent.saturating_add(1);
        }
        self
    }

    /// The first three significant digits as a number from 100 to 999; 0 for zero.
    pub(super) fn leading_three(&self) -> u16 {
        let digits = self.digits.iter().copied().chain([0, 0]);
        digits
            .take(3)
            .fold(0, |sum, digit| sum * 10 + u16::from(digit))
    }

    /// Multiplied by 10^power.
    pub(super) fn shifted(mut self, power: i32) -> Self {
        self.exponent = self.exponent.saturating_add(power);
        self
    }

    /// The digits alone; "0" for zero.
    pub(super) fn digit_text(&self) -> String {
        if self.is_zero() {
            return "0".to_owned();
        }
        self.digits
            .iter()
            .map(|digit| char::from(b'0' + digit))
            .collect()
    }

    /// Whole part and decimals without sign, in full: "1230" and "", "0" and "0042".
    pub(super) fn parts(&self) -> (String, String) {
        let mut digits = self.digit_text();
        if self.exponent >= 0 {
            if !self.is_zero() {
                digits.extend(std::iter::repeat_n(
                    '0',
                    usize::try_from(self.exponent).unwrap_or(0),
                ));
            }
            return (digits, String::new());
        }
        let decimals = usize::try_from(self.exponent.unsigned_abs()).unwrap_or(0);
        if digits.len() <= decimals {
            digits.insert_str(0, &"0".repeat(decimals + 1 - digits.len()));
        }
        let fraction = digits.split_off(digits.len() - decimals);
        (digits, fraction)
    }
}

fn add_one(digits: &mut Vec<u8>) {
    for digit in digits.iter_mut().rev() {
        if *digit < 9 {
            *digit += 1;
            return;
        }
        *digit = 0;
    }
    digits.insert(0, 1);
}

/// The plain digit of a superscript one.
pub(super) fn superscript_digit(character: char) -> Option<char> {
    let digit = SUPERSCRIPTS
        .iter()
        .position(|superscript| *superscript == character)?;
    char::from_digit(u32::try_from(digit).ok()?, 10)
}

/// A whole number in superscripts: "⁻⁵".
pub(super) fn superscript(number: i32) -> String {
    let raise = |character: char| match character.to_digit(10) {
        Some(digit) => SUPERSCRIPTS[digit as usize],
        None => '⁻',
    };
    number.to_string().chars().map(raise).collect()
}

const SUPERSCRIPTS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
