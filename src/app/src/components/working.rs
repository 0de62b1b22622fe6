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

#[component]
pub(crate) fn Working(props: &WorkingProps) -> Html {
    let said = use_state_eq(|| "");
    let copy = {
        let said = said.setter();
        use_callback((), move |mathml: String, ()| {
            let said = said.clone();
            spawn_local(async move {
                said.set(if dom::copy(&mathml).await {
                    "The formula is on the clipboard, as MathML."
                } else {
                    "This browser did not take the formula. Mark it and copy it by hand."
                });
            });
        })
    };
    let lines = &props.view.working;
    html! {
        <details class="working">
            <summary>{ "Working and sources" }</summary>
            if lines.is_empty() {
                <p>{ "The working appears with the results." }</p>
            } else {
                { list(lines, Some(&copy)) }
            }
            <p class="said" role="status">{ *said }</p>
            { sources(props.cited) }
        </details>
    }
}

/// The formulas, with symbols and with numbers.
pub(crate) fn working_lines(lines: &[Line]) -> Html {
    list(lines, None)
}

fn list(lines: &[Line], copy: Option<&Callback<String>>) -> Html {
    let line = |line: &Line| match line {
        Line::Formula(worked) => {
            let button = copy.map(|copy| {
                let whole = worked.whole();
                let onclick = copy.reform(move |_: MouseEvent| whole.mathml());
                let label = format!("Copy the formula of {}", worked.field.title);
                html! { <button type="button" class="quiet" aria-label={label} {onclick}>{ "Copy" }</button> }
            });
            html! {
                <li>
                    { equations(format!("Formula of {}", worked.field.title), line) }
                    { button }
                </li>
            }
        }
        Line::Method { words, results } => html! {
            <li class="method">
                <p>{ *words }</p>
                if !results.is_empty() {
                    { equations("What this gives".into(), line) }
                }
            </li>
        },
    };
    html! { <ol class="working-lines">{ for lines.iter().map(line) }</ol> }
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
