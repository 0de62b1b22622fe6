//! What a card gives, or what it still waits for.

use glasswick_core::sheet::Awaited;
use yew::prelude::*;

use super::{Reader, ResultRow, card_figures};
use crate::view::{CardView, ResultView};

pub(crate) fn results(view: &CardView, reader: &Reader) -> Html {
    let awaited =
        |awaited: &Awaited| html! { <li key={awaited.path.clone()}>{ &awaited.what }</li> };
    html! {
        <div class="results">
            if !view.awaited.is_empty() {
                <div class="awaited">
                    <p>{ "This card still waits for:" }</p>
                    <ul>{ for view.awaited.iter().map(awaited) }</ul>
                </div>
            }
            { for view.results.chunk_by(|a, b| a.row == b.row).map(|results| list(view, results, reader)) }
            { card_figures(view) }
        </div>
    }
}

/// Results that stand together: in one row of a table, or in none.
fn list(view: &CardView, results: &[ResultView], reader: &Reader) -> Html {
    let first = view.results.first().map(|first| &first.path);
    let row = |result: &ResultView| {
        html! {
            <ResultRow key={result.path.clone()} result={result.clone()} headline={Some(&result.path) == first}
                reader={reader.clone()} card={view.card.id.clone()} />
        }
    };
    let key = results.first().map(|result| result.path.clone());
    html! {
        <div key={key.unwrap_or_default()}>
            if let Some(row) = results.first().and_then(|result| result.row.as_ref()) {
                <h4 class="result-row">{ row }</h4>
            }
            <ul class="result-list">{ for results.iter().map(row) }</ul>
        </div>
    }
}
