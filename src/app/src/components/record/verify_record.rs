//! The check of a record that was exported: it is recomputed, and what differs is listed.

use glasswick_record::{Difference, Verification, verify};
use web_sys::{File, HtmlTextAreaElement};
use yew::platform::spawn_local;
use yew::prelude::*;

use super::blocks::{columns, heads, list, words};
use crate::components::file_button;
use crate::files;

/// Differences beyond this are counted, not listed.
const MOST_LISTED: usize = 100;

/// What a check found, or a sentence on why it could not be made.
type Outcome = Result<Verification, String>;

#[component]
pub(super) fn VerifyRecord() -> Html {
    let outcome = use_state(|| None::<Outcome>);
    let pasted = use_node_ref();
    let check = {
        let outcome = outcome.setter();
        move |text: &str| {
            let found = verify(text).map_err(|error| format!("{error} {}", error.hint()));
            outcome.set(Some(found));
        }
    };
    let load = {
        let (check, outcome) = (check.clone(), outcome.setter());
        Callback::from(move |file: File| {
            let (check, outcome) = (check.clone(), outcome.clone());
            spawn_local(async move {
                match files::read(file).await {
                    Ok(text) => check(&text),
                    Err(sentence) => outcome.set(Some(Err(sentence))),
                }
            });
        })
    };
    let onclick = {
        let pasted = pasted.clone();
        Callback::from(move |_: MouseEvent| {
            if let Some(area) = pasted.cast::<HtmlTextAreaElement>() {
                check(&area.value());
            }
        })
    };
    html! {
        <section class="verify" aria-labelledby="verify-title">
            <h2 id="verify-title">{ "Check a record" }</h2>
            <p class="help" id="verify-about">{ "The run sheet in an exported record is evaluated again, and every number \
                that the record states is compared. Nothing on this run sheet is changed." }</p>
            { file_button("Choose a record", ".json,application/json", load) }
            <div class="field">
                <label for="verify-text">{ "Or paste its text" }</label>
                <textarea id="verify-text" class="points" rows="3" spellcheck="false" autocomplete="off"
                    ref={pasted} aria-describedby="verify-about" />
            </div>
            <button type="button" {onclick}>{ "Check the pasted text" }</button>
            <div role="status">{ outcome.as_ref().map(said) }</div>
        </section>
    }
}

fn said(outcome: &Outcome) -> Html {
    let found = match outcome {
        Ok(found) => found,
        Err(sentence) => return html! { <p class="problem">{ sentence }</p> },
    };
    let (class, verdict) = if found.agrees() {
        ("verdict", "This record agrees with what it recomputes to.")
    } else {
        (
            "verdict differs",
            "This record differs from what it recomputes to.",
        )
    };
    let mut lines = vec![
        words(digest_words(found.digest_matches)),
        words(counted(found.differences.len())),
    ];
    lines.extend(found.notes.iter().map(|note| words(note.clone())));
    html! {
        <div {class}>
            <p><strong>{ verdict }</strong></p>
            { list(lines) }
            { differences(found) }
            <p class="help">{ written(found) }{ " A digest shows that something changed, not who changed it." }</p>
        </div>
    }
}

fn digest_words(matches: Option<bool>) -> &'static str {
    match matches {
        Some(true) => "Its digest matches.",
        Some(false) => {
            "Its digest does not match: something in it was changed after it was exported."
        }
        None => "It states no digest, so that a change of its words alone cannot be seen.",
    }
}

fn counted(differences: usize) -> String {
    match differences {
        0 => "Every number it states is found again.".into(),
        1 => "1 statement differs.".into(),
        many if many > MOST_LISTED => {
            format!("{many} statements differ; the first {MOST_LISTED} are listed.")
        }
        many => format!("{many} statements differ."),
    }
}

/// Who wrote it and when, as far as it says so.
fn written(found: &Verification) -> String {
    let said = |text: &str| if text.is_empty() { "not stated" } else { text }.to_owned();
    format!(
        "Written by version {}, at {}.",
        said(&found.app_version),
        said(&found.exported)
    )
}

fn differences(found: &Verification) -> Html {
    let row = |difference: &Difference| {
        vec![
            words(place(found, &difference.path)),
            words(or_nothing(&difference.recorded)),
            words(or_nothing(&difference.recomputed)),
        ]
    };
    let listed = found.differences.iter().take(MOST_LISTED).map(row);
    columns(
        "",
        "Differences",
        heads(["Where", "Recorded", "Recomputed"]),
        listed.collect(),
    )
}

/// "Printed film · results · thickness · value", from "cards/film/results/thickness/value".
fn place(found: &Verification, path: &str) -> String {
    let mut parts = path.split('/').skip(1);
    let id = parts.next().unwrap_or_default();
    let sheet = &found.document.sheet;
    let title = sheet
        .position(id)
        .map(|position| sheet.cards[position].title.as_str());
    let mut words = title.unwrap_or(id).to_owned();
    for part in parts {
        words.push_str(" · ");
        words.push_str(&part.replace('_', " "));
    }
    words
}

fn or_nothing(text: &str) -> String {
    if text.is_empty() { "nothing" } else { text }.to_owned()
}
