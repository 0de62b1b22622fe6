//! One card of the record.

use glasswick_core::problem::Problem;
use glasswick_core::sheet::Evaluation;
use yew::prelude::*;

use super::entries::entries;
use super::found::found;
use crate::components::{CurveFigure, badge, checks, hazards, sources, working_lines};
use crate::view::CardView;

pub(super) fn card_part(view: &CardView, evaluation: &Evaluation) -> Html {
    let calculator = view.card.declaration();
    let by = calculator.map(|calculator| {
        format!(
            "Calculator “{}”, version {}",
            calculator.title, calculator.version
        )
    });
    let problem = |problem: &Problem| {
        html! { <li>{ &problem.sentence }{ " " }{ &problem.hint }</li> }
    };
    html! {
        <section class="record-card" key={view.card.id.clone()}>
            <div class="record-card-head">
                <h3>{ &view.card.title }</h3>
                { badge(view.standing) }
            </div>
            if let Some(by) = by {
                <p class="entry-about">{ by }</p>
            }
            if !view.awaited.is_empty() {
                <div class="part">
                    <p>{ "This card still waits for:" }</p>
                    <ul class="plain">{ for view.awaited.iter().map(|awaited| html! { <li>{ &awaited.what }</li> }) }</ul>
                </div>
            }
            if !view.problems.is_empty() {
                <ul class="part plain">{ for view.problems.iter().map(problem) }</ul>
            }
            { entries(view, evaluation) }
            { found(view) }
            { for view.curves.iter().map(|(field, points)| html! {
                <CurveFigure key={field.id} title={field.title} {field} points={points.clone()} results={view.results.clone()} />
            }) }
            if !view.working.is_empty() {
                <div class="part">
                    <h4>{ "Working" }</h4>
                    { working_lines(&view.working) }
                </div>
            }
            { checks(&view.checks) }
            if let Some(calculator) = calculator {
                { hazards(calculator.hazards) }
                <div class="part">{ sources(calculator.sources) }</div>
            }
            if !view.card.note.trim().is_empty() {
                <div class="part">
                    <h4>{ "Note" }</h4>
                    <p class="free">{ &view.card.note }</p>
                </div>
            }
        </section>
    }
}
