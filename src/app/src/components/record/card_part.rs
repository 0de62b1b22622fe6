//! One card of the record.

use glasswick_record::Document;
use yew::prelude::*;

use super::blocks::{aside, free, list, part, words};
use super::entries::entries;
use super::found::found;
use crate::components::{badge, card_figures, checks, hazards, sources, working_lines};
use crate::view::CardView;

pub(super) fn card_part(view: &CardView, document: &Document) -> Html {
    let calculator = view.card.declaration();
    let by = calculator.map_or_else(String::new, |calculator| {
        format!(
            "Calculator “{}”, version {}",
            calculator.title, calculator.version
        )
    });
    let note = view.card.note.trim();
    html! {
        <section class="record-card" key={view.card.id.clone()}>
            <div class="record-card-head"><h3>{ &view.card.title }</h3>{ badge(view.standing) }</div>
            { aside(by) }
            { stands_in_the_way(view) }
            { entries(view) }
            { found(&view.card.id, &view.results, document) }
            { card_figures(view) }
            if !view.working.is_empty() {
                { part("Working", working_lines(&view.working)) }
            }
            { checks(&view.checks) }
            if let Some(calculator) = calculator {
                { hazards(calculator.hazards) }
                <div class="part">{ sources(calculator.sources) }</div>
            }
            if !note.is_empty() {
                { part("Note", free(note)) }
            }
        </section>
    }
}

/// What the card still waits for, or what cannot be so.
fn stands_in_the_way(view: &CardView) -> Html {
    let awaited = view
        .awaited
        .iter()
        .map(|awaited| words(awaited.what.clone()));
    let problems = view
        .problems
        .iter()
        .map(|problem| words(problem.to_string()));
    if !view.awaited.is_empty() {
        part("Still waits for", list(awaited.collect()))
    } else if !view.problems.is_empty() {
        part("Stopped", list(problems.collect()))
    } else {
        Html::default()
    }
}
