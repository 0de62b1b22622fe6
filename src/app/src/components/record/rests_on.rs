//! The end of the record: what the uncertainties mean, constants, versions and the digest.

use glasswick_core::calculators::HAZARDS_DEFER;
use glasswick_core::quantity::brief_text;
use glasswick_core::sheet::Evaluation;
use glasswick_record::{Document, Origin, record_json};
use serde_json::Value;
use yew::prelude::*;

use super::blocks::{columns, facts, heads, words};
use crate::dom;

const CARRIED: &str = " Uncertainties are carried from the entries through all links, to first order \
    (JCGM 100:2008, clause 5), so that a number used twice stays correlated with itself.";

const DIGEST: &str = "The exported record has this digest as long as nothing in it is changed. A digest shows that \
    something changed, not who changed it. The exported record holds every number before rounding, and anyone can \
    recompute it.";

/// More significant digits than any defined constant has.
const ALL_DIGITS: u8 = 15;

pub(super) fn rests_on(document: &Document, evaluation: &Evaluation) -> Html {
    let now = dom::now();
    let origin = Origin {
        app_version: env!("CARGO_PKG_VERSION"),
        exported: &now,
    };
    // What is printed here is read from the record that would be exported now, so that the two cannot differ.
    let record = record_json(document, evaluation, &origin);
    let text = |pointer: &str| text(record.pointer(pointer));
    let constants = record["constants"].as_array().into_iter().flatten();
    let written_by = [
        text("/app/name"),
        text("/app/version"),
        text("/format"),
        text("/format_version"),
    ];
    let ends = [
        [words("Written by"), words(written_by.join(" "))],
        [words("Written at"), words(text("/exported"))],
        [
            words("Digest (SHA-256)"),
            html! { <code class="digest">{ text("/digest") }</code> },
        ],
    ];
    html! {
        <section class="record-card">
            <h3>{ "What these numbers rest on" }</h3>
            <p>{ text("/statement") }{ CARRIED }</p>
            { columns("", "Constants", heads(["Name", "Value", "Year", "Source"]), constants.map(constant).collect()) }
            { facts(ends.into()) }
            <p>{ DIGEST }</p>
            <p><strong>{ HAZARDS_DEFER }</strong></p>
        </section>
    }
}

fn constant(constant: &Value) -> Vec<Html> {
    let value = constant["value"].as_f64().unwrap_or(f64::NAN);
    let unit = raised(constant["unit"].as_str().unwrap_or_default());
    let value = format!("{}\u{202F}{unit}", brief_text(value, ALL_DIGITS));
    vec![
        words(text(constant.get("name"))),
        words(value),
        words(constant["year"].to_string()),
        words(text(constant.get("source"))),
    ]
}

/// A unit code with its exponents raised: "mol⁻¹" from "mol-1".
fn raised(code: &str) -> String {
    let raise = |c: char| match c {
        '-' => '⁻',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        other => other,
    };
    code.chars().map(raise).collect()
}

fn text(value: Option<&Value>) -> String {
    value.and_then(Value::as_str).unwrap_or_default().to_owned()
}
