//! The working as text, and where the formulas come from.

use glasswick_core::problem::Source;
use glasswick_core::working::Line;
use yew::prelude::*;

use super::symbol;

pub(crate) fn working(lines: &[Line], cited: &'static [Source]) -> Html {
    html! {
        <details class="working">
            <summary>{ "Working and sources" }</summary>
            if lines.is_empty() {
                <p>{ "The working appears with the results." }</p>
            } else {
                { working_lines(lines) }
            }
            { sources(cited) }
        </details>
    }
}

/// The formulas, with symbols and with numbers.
pub(crate) fn working_lines(lines: &[Line]) -> Html {
    let line = |line: &Line| {
        html! {
            <li class={line.numbers.is_none().then_some("method")}>
                <span class="symbols">{ symbol(&line.symbols) }</span>
                if let Some(numbers) = &line.numbers {
                    <span class="numbers">{ numbers }</span>
                }
            </li>
        }
    };
    html! { <ol class="working-lines">{ for lines.iter().map(line) }</ol> }
}

/// Where the formulas come from.
pub(crate) fn sources(sources: &'static [Source]) -> Html {
    let source = |source: &Source| html! { <li>{ format!("{} ({})", source.citation, source.evidence.words()) }</li> };
    html! {
        <>
            <h4>{ "Sources" }</h4>
            <ul class="sources">{ for sources.iter().map(source) }</ul>
        </>
    }
}
