//! The working as text, and where the formulas come from.

use glasswick_core::problem::Source;
use glasswick_core::working::Line;
use yew::prelude::*;

use super::Symbol;

#[derive(PartialEq, Properties)]
pub(crate) struct WorkingProps {
    pub(crate) lines: Vec<Line>,
    pub(crate) sources: &'static [Source],
}

#[component]
pub(crate) fn Working(props: &WorkingProps) -> Html {
    let line = |line: &Line| {
        html! {
            <li class={line.numbers.is_none().then_some("method")}>
                <span class="symbols"><Symbol text={line.symbols.clone()} /></span>
                if let Some(numbers) = &line.numbers {
                    <span class="numbers">{ numbers }</span>
                }
            </li>
        }
    };
    let source = |source: &Source| html! { <li>{ format!("{} ({})", source.citation, source.evidence.words()) }</li> };
    html! {
        <details class="working">
            <summary>{ "Working and sources" }</summary>
            if props.lines.is_empty() {
                <p>{ "The working appears with the results." }</p>
            } else {
                <ol class="lines">{ for props.lines.iter().map(line) }</ol>
            }
            <h4>{ "Sources" }</h4>
            <ul class="sources">{ for props.sources.iter().map(source) }</ul>
        </details>
    }
}
