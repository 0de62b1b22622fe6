//! The working, drawn as mathematics, and where the formulas come from.

use std::rc::Rc;

use glasswick_core::problem::Source;
use glasswick_core::working::{Content, Equation, Line, Math};
use yew::platform::spawn_local;
use yew::prelude::*;
use yew::virtual_dom::{VTag, VText};

use crate::dom;
use crate::view::CardView;

#[derive(PartialEq, Properties)]
pub(crate) struct WorkingProps {
    pub(crate) view: Rc<CardView>,
    pub(crate) cited: &'static [Source],
}

/// What was said last about copying, and at which line.
type Said = Option<(usize, &'static str)>;

#[component]
pub(crate) fn Working(props: &WorkingProps) -> Html {
    let said = use_state_eq(|| Said::None);
    let copy = {
        let said = said.setter();
        use_callback((), move |(position, mathml): (usize, String), ()| {
            let said = said.clone();
            spawn_local(async move {
                let sentence = if dom::copy(&mathml).await {
                    "The formula is on the clipboard, as MathML."
                } else {
                    "This browser did not take the formula. Mark it and copy it by hand."
                };
                said.set(Some((position, sentence)));
            });
        })
    };
    let line = |(position, line): (usize, &Line)| {
        let Line::Formula(worked) = line else {
            return drawn_line(line, Html::default());
        };
        let whole = worked.whole();
        let onclick = copy.reform(move |_: MouseEvent| (position, whole.mathml()));
        let label = format!("Copy the formula of {}", worked.field.title);
        let here = said.filter(|(at, _)| *at == position);
        let beside = html! {
            <>
                <button type="button" class="quiet" aria-label={label} {onclick}>{ "Copy" }</button>
                <p class="said" role="status">{ here.map(|(_, sentence)| sentence) }</p>
            </>
        };
        drawn_line(line, beside)
    };
    let lines = &props.view.working;
    html! {
        <details class="working">
            <summary>{ "Working and sources" }</summary>
            if lines.is_empty() {
                <p>{ "The working appears with the results." }</p>
            } else {
                <ol class="working-lines">{ for lines.iter().enumerate().map(line) }</ol>
            }
            { sources(props.cited) }
        </details>
    }
}

/// The formulas, with symbols and with numbers.
pub(crate) fn working_lines(lines: &[Line]) -> Html {
    let line = |line: &Line| drawn_line(line, Html::default());
    html! { <ol class="working-lines">{ for lines.iter().map(line) }</ol> }
}

fn drawn_line(line: &Line, beside: Html) -> Html {
    match line {
        Line::Formula(worked) => html! {
            <li>
                { equations(format!("Formula of {}", worked.field.title), line) }
                { beside }
            </li>
        },
        Line::Method { words, results } => html! {
            <li class="method">
                <p>{ *words }</p>
                if !results.is_empty() {
                    { equations("What this gives".into(), line) }
                }
            </li>
        },
    }
}

/// Equations one below the other. A long one is wider than a phone: they scroll, by keyboard too.
fn equations(label: String, line: &Line) -> Html {
    html! {
        <div class="equations" role="group" tabindex="0" aria-label={label}>
            { for line.equations().map(equation) }
        </div>
    }
}

fn equation(equation: &Equation) -> Html {
    html! { <math display="block" alttext={equation.text.clone()}>{ drawn(&equation.math) }</math> }
}

fn drawn(math: &Math) -> Html {
    let (name, attribute, content) = math.element();
    let mut tag = VTag::new(name);
    if let Some((key, value)) = attribute {
        tag.add_attribute(key, value);
    }
    match content {
        Content::Text(text) => tag.add_child(VText::new(text.to_owned()).into()),
        Content::Parts(parts) => tag.add_children(parts.iter().map(drawn)),
    }
    tag.into()
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
