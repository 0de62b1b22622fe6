//! What the number after ± means.

use glasswick_core::quantity::shortest;
use glasswick_core::uncertainty::{Distribution, Meaning};
use yew::prelude::*;

use crate::dom;
use crate::state::Change;

const MEANINGS: [(&str, Meaning); 5] = [
    ("standard uncertainty", Meaning::Standard),
    (
        "limit, rectangular",
        Meaning::Limit(Distribution::Rectangular),
    ),
    (
        "limit, triangular",
        Meaning::Limit(Distribution::Triangular),
    ),
    ("limit, arcsine", Meaning::Limit(Distribution::Arcsine)),
    (
        "expanded, with k",
        Meaning::Expanded {
            coverage_factor: 2.0,
        },
    ),
];

#[derive(PartialEq, Properties)]
pub(crate) struct MeaningInputProps {
    pub(crate) title: AttrValue,
    pub(crate) meaning: Meaning,
    pub(crate) change: Callback<Change>,
}

#[component]
pub(crate) fn MeaningInput(props: &MeaningInputProps) -> Html {
    let factor_text = use_state(String::new);
    let same = |a: &Meaning, b: &Meaning| match (a, b) {
        (Meaning::Expanded { .. }, Meaning::Expanded { .. }) => true,
        (a, b) => a == b,
    };
    let option = |(words, meaning): &(&'static str, Meaning)| {
        html! { <option key={*words} value={*words} selected={same(meaning, &props.meaning)}>{ *words }</option> }
    };
    let onchange = {
        let change = props.change.clone();
        Callback::from(move |event: Event| {
            let chosen = dom::value(&event);
            if let Some((_, meaning)) = MEANINGS.iter().find(|(words, _)| *words == chosen) {
                change.emit(Change::Meaning(meaning.clone()));
            }
        })
    };
    let factor = match props.meaning {
        Meaning::Expanded { coverage_factor } => Some(coverage_factor),
        _ => None,
    };
    let oninput = {
        let (change, factor_text) = (props.change.clone(), factor_text.clone());
        Callback::from(move |event: InputEvent| {
            let text = dom::value(&event);
            change.emit(Change::Meaning(Meaning::Expanded {
                coverage_factor: read(&text),
            }));
            factor_text.set(text);
        })
    };
    html! {
        <div class="meaning">
            <select aria-label={format!("What the ± of {} means", props.title)} {onchange}>
                { for MEANINGS.iter().map(option) }
            </select>
            if let Some(factor) = factor {
                <label class="factor">{ "k" }
                    <input type="text" inputmode="decimal" autocomplete="off" {oninput}
                        value={if read(&factor_text) == factor { (*factor_text).clone() } else { shortest(factor) }} />
                </label>
            }
        </div>
    }
}

/// The factor typed; zero, which the card explains, where it cannot be read.
fn read(text: &str) -> f64 {
    text.trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|factor: &f64| factor.is_finite())
        .unwrap_or(0.0)
}
