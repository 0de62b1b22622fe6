//! The head of the page: its name, and the three places.

use yew::prelude::*;

use crate::route::Route;

/// The three places; the two of a run sheet lead to the one that was open last.
pub(crate) fn masthead(route: &Route, open: Option<String>) -> Html {
    let place = |title: &'static str, to: Option<Route>, here: bool| {
        let current = here.then_some("page");
        match to {
            Some(to) => {
                html! { <a class="place-link" href={to.to_string()} aria-current={current}>{ title }</a> }
            }
            None => {
                html! { <span class="place-link absent" aria-current={current}>{ title }</span> }
            }
        }
    };
    let sheet = open.clone().map(|id| Route::Sheet { id, card: None });
    let record = open.map(|id| Route::Record { id });
    html! {
        <header class="masthead">
            <h1><a href={Route::Shelf.to_string()}>{ "Glasswick" }</a></h1>
            <nav class="places" aria-label="Places">
                { place("Shelf", Some(Route::Shelf), *route == Route::Shelf) }
                { place("Run sheet", sheet, matches!(route, Route::Sheet { .. } | Route::Link { .. })) }
                { place("Record", record, matches!(route, Route::Record { .. })) }
            </nav>
        </header>
    }
}
