//! An entry that takes the result of another card.

use glasswick_core::calculators::Field;
use yew::prelude::*;

use super::titled;
use crate::entry_text;
use crate::state::Change;
use crate::view::LinkView;

pub(crate) fn linked(
    id: String,
    field: &'static Field,
    link: &LinkView,
    change: Callback<Change>,
    pick: Callback<MouseEvent>,
    go: &Callback<String>,
) -> Html {
    let go = {
        let card = link.card.clone();
        go.reform(move |_: MouseEvent| card.clone())
    };
    let unlink = {
        let estimate = link.estimate;
        Callback::from(move |_: MouseEvent| {
            let typed = estimate
                .map(|found| entry_text::typed_from(field, &found))
                .unwrap_or_default();
            change.emit(Change::Typed(typed));
        })
    };
    html! {
        <div class="linked" role="group" aria-labelledby={format!("{id}-label")}>
            <p class="label" id={format!("{id}-label")}>{ titled(field.title, field) }</p>
            <p class="linked-from" {id} tabindex="-1">
                { format!("from “{}” · {}: ", link.card_title, link.output) }<strong>{ &link.shown }</strong>
            </p>
            <div class="actions">
                <button type="button" class="quiet" onclick={go}>{ "Go to card" }</button>
                <button type="button" class="quiet" onclick={pick}>{ "Change link" }</button>
                <button type="button" class="quiet" onclick={unlink}>
                    { if link.estimate.is_some() { "Unlink, keep the value" } else { "Unlink" } }
                </button>
            </div>
        </div>
    }
}
