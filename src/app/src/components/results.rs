//! What a card gives, or what it still waits for.

use glasswick_core::sheet::Awaited;
use yew::prelude::*;

use super::{CurveFigure, Reader, ResultRow};
use crate::view::CardView;

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
            <ul class="result-list">
                { for view.results.iter().enumerate().map(|(position, result)| html! {
                    <ResultRow key={result.path.clone()} result={result.clone()} headline={position == 0} reader={reader.clone()}
                        card={view.card.id.clone()} />
                }) }
            </ul>
            { for view.curves.iter().map(|(field, points)| html! {
                <CurveFigure key={field.id} title={field.title} {field} points={points.clone()} results={view.results.clone()} />
            }) }
        </div>
    }
}
