//! The process at a glance: the cards in order, each with its first result and how it stands.

use std::rc::Rc;

use yew::prelude::*;

use super::badge;
use crate::dom;
use crate::view::CardView;

pub(crate) fn strip(views: &[Rc<CardView>]) -> Html {
    html! {
        <nav class="strip" aria-label="Process">
            <ol>{ for views.iter().map(|view| item(view)) }</ol>
        </nav>
    }
}

fn item(view: &CardView) -> Html {
    let target = format!("card-{}", view.card.id);
    let onclick = Callback::from(move |_: MouseEvent| dom::go_to(&target));
    html! {
        <li key={view.card.id.clone()}>
            <button type="button" class={classes!("step", view.standing.class())} {onclick}>
                <span class="step-head">
                    <span class="step-title">{ &view.card.title }</span>
                    { badge(view.standing) }
                </span>
                <span class="step-text">{ &view.headline }</span>
                if let Some(value) = &view.headline_value {
                    <span class="step-value">{ value }</span>
                }
                if !view.takes_from.is_empty() {
                    <span class="step-from">{ format!("from {}", view.takes_from.join(", ")) }</span>
                }
            </button>
        </li>
    }
}
