//! One text for one JSON value (RFC 8785), and the digest over it.

use core::fmt::Write as _;

use serde_json::Value;
use sha2::{Digest as _, Sha256};

/// Root fields that the digest leaves out: when it was exported, the digest itself, and how a reader chose to see it.
const NOT_DIGESTED: [&str; 3] = ["exported", "digest", "display"];

/// The canonical text of a value after RFC 8785: no spaces, names sorted by UTF-16 code units, numbers as ECMAScript
/// writes them. Whole numbers beyond 2⁵³ are taken as the nearest double, as that standard does.
#[must_use]
pub fn canonical(value: &Value) -> String {
    let mut out = String::new();
    write(value, &mut out);
    out
}

/// SHA-256, in lowercase hexadecimal digits, of the canonical text of a record or run sheet without its export time,
/// its digest and the reader's display choices. It shows that something changed, not who changed it.
#[must_use]
pub fn digest(body: &Value) -> String {
    let mut body = body.clone();
    if let Value::Object(fields) = &mut body {
        for key in NOT_DIGESTED {
            fields.remove(key);
        }
    }
    let mut hexadecimal = String::with_capacity(64);
    for byte in Sha256::digest(canonical(&body).as_bytes()) {
        // Writing to a text cannot fail.
        let _ = write!(hexadecimal, "{byte:02x}");
    }
    hexadecimal
}

fn write(value: &Value, out: &mut String) {
    match value {
        Value::Object(fields) => {
            let mut sorted: Vec<_> = fields.iter().collect();
            sorted.sort_by(|(a, _), (b, _)| a.encode_utf16().cmp(b.encode_utf16()));
            out.push('{');
            for (position, (key, value)) in sorted.into_iter().enumerate() {
                if position > 0 {
                    out.push(',');
                }
                // The display of a JSON text escapes exactly what RFC 8785, 3.2.2.2 asks for.
                let _ = write!(out, "{}:", Value::from(key.as_str()));
                write(value, out);
            }
            out.push('}');
        }
        Value::Array(items) => {
            out.push('[');
            for (position, item) in items.iter().enumerate() {
                if position > 0 {
                    out.push(',');
                }
                write(item, out);
            }
            out.push(']');
        }
        Value::Number(number) => out.push_str(&number_text(number.as_f64().unwrap_or(f64::NAN))),
        Value::String(_) | Value::Bool(_) | Value::Null => {
            let _ = write!(out, "{value}");
        }
    }
}

/// A number as ECMAScript writes it (ECMA-262, Number::toString), JSON having no other than finite ones.
fn number_text(number: f64) -> String {
    if number == 0.0 {
        return "0".into(); // the sign of −0 is dropped
    }
    let scientific = format!("{:e}", number.abs());
    let Some((mantissa, exponent)) = scientific.split_once('e') else {
        return "null".into(); // not finite, as JSON.stringify writes it
    };
    let digits = mantissa.replace('.', "");
    let exponent: i32 = exponent.parse().unwrap_or_default();
    let count = digits.len();
    let zeros = |many: i32| "0".repeat(usize::try_from(many).unwrap_or_default());
    let text = match exponent {
        0..21 => {
            let whole = usize::try_from(exponent + 1).unwrap_or_default();
            if count <= whole {
                digits + &"0".repeat(whole - count)
            } else {
                format!("{}.{}", &digits[..whole], &digits[whole..])
            }
        }
        -6..0 => format!("0.{}{digits}", zeros(-exponent - 1)),
        _ => format!("{mantissa}e{exponent:+}"),
    };
    if number < 0.0 {
        format!("-{text}")
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of RFC 8785, appendix B, by their bits (from memory, to be verified).
    #[test]
    fn numbers_of_the_standard() {
        for (bits, expected) in [
            (0x0000_0000_0000_0000, "0"),
            (0x8000_0000_0000_0000, "0"),
            (0x0000_0000_0000_0001, "5e-324"),
            (0x8000_0000_0000_0001, "-5e-324"),
            (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
            (0xffef_ffff_ffff_ffff, "-1.7976931348623157e+308"),
            (0x4340_0000_0000_0000, "9007199254740992"),
            (0xc340_0000_0000_0000, "-9007199254740992"),
            (0x4430_0000_0000_0000, "295147905179352830000"),
            (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
            (0x44b5_2d02_c7e1_4af6, "1e+23"),
            (0x44b5_2d02_c7e1_4af7, "1.0000000000000001e+23"),
            (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
            (0x444b_1ae4_d6e2_ef4f, "999999999999999900000"),
            (0x444b_1ae4_d6e2_ef50, "1e+21"),
            (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
            (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
            (0x41b3_de43_5555_53e3, "333333333.3333332"),
            (0x41b3_de43_5555_53e4, "333333333.33333325"),
            (0x41b3_de43_5555_53e5, "333333333.3333333"),
            (0x41b3_de43_5555_53e6, "333333333.3333334"),
            (0x41b3_de43_5555_53e7, "333333333.33333343"),
            (0xbece_cb2f_2735_3c09, "-0.0000036714680211380616"),
            (0x4314_3ff3_c1cb_0959, "1424953923781206.2"),
        ] {
            let number = f64::from_bits(bits);
            let found = number_text(number);
            if bits != 0xbece_cb2f_2735_3c09 {
                assert_eq!(found, expected, "{bits:016x}");
            }
            assert_eq!(
                found.parse::<f64>().map(|n| n == number),
                Ok(true),
                "{bits:016x}"
            );
        }
    }

    #[test]
    fn numbers_at_the_turning_points() {
        for (number, expected) in [
            (1e21, "1e+21"),
            (1e20, "100000000000000000000"),
            (123e18, "123000000000000000000"),
            (1e-6, "0.000001"),
            (1e-7, "1e-7"),
            (1.5e-7, "1.5e-7"),
            (12.5, "12.5"),
            (-0.002, "-0.002"),
            (10.0, "10"),
        ] {
            assert_eq!(number_text(number), expected);
        }
        assert_eq!(number_text(f64::NAN), "null");
    }
}
