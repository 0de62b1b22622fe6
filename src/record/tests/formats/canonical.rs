//! The canonical text and the digest against outside values.

use glasswick_record::{canonical, digest};
use serde_json::{Value, json};

#[track_caller]
fn check(text: &str, expected: &str) {
    let value: Value = serde_json::from_str(text).expect("the sample is JSON");
    assert_eq!(canonical(&value), expected);
}

/// The sample of RFC 8785, 3.2.2 to 3.2.4 (read in the README of cyberphone/json-canonicalization).
#[test]
fn sample_of_the_standard() {
    check(
        r#"{
            "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
            "literals": [null, true, false]
        }"#,
        "{\"literals\":[null,true,false],\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],\
         \"string\":\"€$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}",
    );
}

/// The names of RFC 8785, 3.2.3, and two more, in the order of `testdata/output/weird.json` of
/// cyberphone/json-canonicalization (read).
#[test]
fn names_are_sorted_by_utf16_code_units() {
    check(
        r#"{"\u20ac": 7, "\r": 2, "\ufb33": 9, "1": 3, "\ud83d\ude02": 8, "\u0080": 5, "\u00f6": 6,
            "</script>": 4, "\n": 1}"#,
        "{\"\\n\":1,\"\\r\":2,\"1\":3,\"</script>\":4,\"\u{80}\":5,\"ö\":6,\"€\":7,\"😂\":8,\"\u{fb33}\":9}",
    );
}

/// Texts as ECMAScript writes them, which RFC 8785, 3.2.2.2 demands; computed with Node.js 20, JSON.stringify.
#[test]
fn texts_are_escaped_only_where_they_must() {
    check(
        r#"["\u0008\u0009\u000a\u000c\u000d\u0000\u001f\u007f\u00e9\u2028/<>"]"#,
        "[\"\\b\\t\\n\\f\\r\\u0000\\u001f\u{7f}é\u{2028}/<>\"]",
    );
}

/// Whole numbers beyond 2⁵³ become doubles; computed with Node.js 20, JSON.stringify(JSON.parse(text)).
#[test]
fn large_whole_numbers_are_doubles() {
    check(
        "[18446744073709551615, 9007199254740993, -9007199254740993]",
        "[18446744073709552000,9007199254740992,-9007199254740992]",
    );
    check(
        "[1e2, -0.0, 123456789012345680000]",
        "[100,0,123456789012345680000]",
    );
}

/// Computed with Python 3.11, hashlib, over the canonical text written by hand.
#[test]
fn digest_of_a_body() {
    let expected = "07a7aab2850bf0d507fc256afd037f9c20955103fc5327db30de36a7a9ba2173";
    assert_eq!(
        digest(&json!({ "b": { "y": true, "x": null }, "a": [1, 2.5, "é"] })),
        expected
    );
}

#[test]
fn the_digest_leaves_out_time_itself_and_display() {
    let body = json!({ "cards": [1], "exported": "2026-05-12T09:30:00+02:00" });
    let later = json!({
        "exported": "2027-01-01T00:00:00Z", "digest": "00", "display": { "language": "de" }, "cards": [1],
    });
    assert_eq!(digest(&body), digest(&later));
    assert_ne!(digest(&body), digest(&json!({ "cards": [2] })));
    // Only at the root: a card may have a field of that name.
    assert_ne!(
        digest(&json!({ "a": { "display": 1 } })),
        digest(&json!({ "a": { "display": 2 } }))
    );
}
