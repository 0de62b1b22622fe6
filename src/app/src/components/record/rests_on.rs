//! The end of the record: what the uncertainties mean, constants, versions and the digest.

use glasswick_core::calculators::HAZARDS_DEFER;
use glasswick_core::quantity::{Rounding, with_uncertainty};
use glasswick_core::sheet::Evaluation;
use glasswick_record::{Document, Origin, record_json};
use serde_json::Value;
use yew::prelude::*;

use crate::dom;

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
    html! {
        <section class="record-card">
            <h3>{ "What these numbers rest on" }</h3>
            <p>{ text("/statement") }
                { " Uncertainties are carried from the entries through all links, to first order (JCGM 100:2008, \
                    clause 5), so that a number used twice stays correlated with itself." }</p>
            <table class="columns">
                <thead><tr>
                    <th scope="col">{ "Constant" }</th>
                    <th scope="col">{ "Value" }</th>
                    <th scope="col">{ "Year" }</th>
                    <th scope="col">{ "Source" }</th>
                </tr></thead>
                <tbody>{ for constants.map(constant) }</tbody>
            </table>
            <table class="facts"><tbody>
                <tr><th scope="row">{ "Written by" }</th>
                    <td>{ format!("{} {}, format {} {}", text("/app/name"), text("/app/version"), text("/format"), text("/format_version")) }</td></tr>
                <tr><th scope="row">{ "Written at" }</th><td>{ text("/exported") }</td></tr>
                <tr><th scope="row">{ "Digest (SHA-256)" }</th><td><code class="digest">{ text("/digest") }</code></td></tr>
            </tbody></table>
            <p>{ "The exported record has this digest as long as nothing in it is changed; it shows that something \
                  changed, not who changed it. The exported record holds every number before rounding, and anyone \
                  can recompute it." }</p>
            <p><strong>{ HAZARDS_DEFER }</strong></p>
        </section>
    }
}

fn constant(constant: &Value) -> Html {
    let value = constant["value"].as_f64().unwrap_or(f64::NAN);
    let value = with_uncertainty(value, 0.0, Rounding::TwoDigits).map(|value| value.plus_minus());
    html! {
        <tr>
            <th scope="row">{ text(constant.get("name")) }</th>
            <td class="value">{ value }{ "\u{202F}" }{ text(constant.get("unit")) }</td>
            <td>{ constant["year"].to_string() }</td>
            <td>{ text(constant.get("source")) }</td>
        </tr>
    }
}

fn text(value: Option<&Value>) -> String {
    value.and_then(Value::as_str).unwrap_or_default().to_owned()
}
