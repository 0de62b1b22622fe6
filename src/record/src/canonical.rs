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
    write_canonical(value, &mut out);
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
        if let Some(Value::Object(sheet)) = fields.get_mut("sheet") {
            sheet.remove("display");
        }
    }
    sha256(canonical(&body).as_bytes())
}

/// SHA-256 in lowercase hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    let mut hexadecimal = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        // Writing to a text cannot fail.
        let _ = write!(hexadecimal, "{byte:02x}");
    }
    hexadecimal
}

fn write_canonical(value: &Value, out: &mut String) {
    match value {
        Value::Object(fields) => {
            let mut sorted: Vec<_> = fields.iter().collect();
            sorted.sort_unstable_by(|(a, _), (b, _)| a.encode_utf16().cmp(b.encode_utf16()));
            out.push('{');
            for (position, (key, value)) in sorted.into_iter().enumerate() {
                if position > 0 {
                    out.push(',');
                }
                // The display of a JSON text escapes exactly what RFC 8785, 3.2.2.2 asks for.
                let _ = write!(out, "{}:", Value::from(key.as_str()));
                write_canonical(value, out);
            }
            out.push('}');
        }
        Value::Array(items) => {
            out.push('[');
            for (position, item) in items.iter().enumerate() {
                if position > 0 {
                    out.push(',');
                }
                write_canonical(item, out);
            }
            out.push(']');
        }
        Value::Number(number) => out.push_str(&number_text(number.as_f64().unwrap_or(f64::NAN))),
        Value::String(_) | Value::Bool(_) | Value::Null => {
            let _ = write!(out, "{value}");
        }
    }
}

/// A number as ECMAScript writes it (ECMA-262, Number::toString).
fn number_text(number: f64) -> String {
    if number == 0.0 {
        return "0".into(); // the sign of −0 is dropped
    }
    let (digits, exponent) = digits(number.abs());
    let text = match exponent {
        0..21 => {
            let whole = usize::try_from(exponent + 1).unwrap_or_default();
            match digits.split_at_checked(whole) {
                None | Some((_, "")) => format!("{digits:0<whole$}"),
                Some((whole, decimals)) => format!("{whole}.{decimals}"),
            }
        }
        -6..0 => {
            let zeros = usize::try_from(-exponent - 1).unwrap_or_default();
            format!("0.{}{digits}", "0".repeat(zeros))
        }
        _ => match digits.split_at(1) {
            (first, "") => format!("{first}e{exponent:+}"),
            (first, decimals) => format!("{first}.{decimals}e{exponent:+}"),
        },
    };
    if number < 0.0 {
        format!("-{text}")
    } else {
        text
    }
}

/// The shortest digits that read back as this number, and the power of ten of the first. Of two that are equally
/// near, the standard demands the even one: JSON's writer gives it, the formatting of `std` does not.
fn digits(number: f64) -> (String, i32) {
    let text = Value::from(number).to_string();
    let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let (whole, decimals) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let all = format!("{whole}{decimals}");
    let digits = all.trim_start_matches('0');
    let first = i32::try_from(whole.len() + digits.len()).unwrap_or_default()
        - i32::try_from(all.len()).unwrap_or_default()
        - 1;
    let exponent = exponent.parse::<i32>().unwrap_or_default() + first;
    (digits.trim_end_matches('0').to_owned(), exponent)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers of RFC 8785, appendix B, by their bits; read in the draft of that document
    /// (cyberphone/json-canonicalization, draft-rundgren-json-canonicalization-scheme.xml) and in test sources of
    /// later implementations.
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
            (0x444b_1ae4_d6e2_ef51, "1.0000000000000001e+21"),
            (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
            (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
            (0x41b3_de43_5555_5553, "333333333.3333332"),
            (0x41b3_de43_5555_5554, "333333333.33333325"),
            (0x41b3_de43_5555_5555, "333333333.3333333"),
            (0x41b3_de43_5555_5556, "333333333.3333334"),
            (0x41b3_de43_5555_5557, "333333333.33333343"),
            (0xbecb_f647_612f_3696, "-0.0000033333333333333333"),
            (0x4314_3ff3_c1cb_0959, "1424953923781206.2"),
        ] {
            assert_eq!(number_text(f64::from_bits(bits)), expected, "{bits:016x}");
        }
    }

    /// Computed with Node.js 20, String(number).
    #[test]
    fn numbers_at_the_turning_points() {
        for (number, expected) in [
            (1e20, "100000000000000000000"),
            (123e18, "123000000000000000000"),
            (1e-7, "1e-7"),
            (1.5e-7, "1.5e-7"),
            (12.5, "12.5"),
            (-0.002, "-0.002"),
            (10.0, "10"),
            (1.5e300, "1.5e+300"),
        ] {
            assert_eq!(number_text(number), expected);
        }
    }

    /// The examples for FIPS 180-4: one block, no text, two blocks, many blocks (from memory; computed again with
    /// Python 3.11, hashlib).
    #[test]
    fn hash_of_known_texts() {
        let many = "a".repeat(1_000_000);
        for (text, expected) in [
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            (
                &many,
                "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
            ),
            (
                "abc",
                "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            ),
            (
                "",
                "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
            ),
        ] {
            assert_eq!(sha256(text.as_bytes()), expected);
        }
    }
}
