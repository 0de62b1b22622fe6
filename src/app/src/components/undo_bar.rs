//! What was taken away last, and the way back.

use yew::prelude::*;

use crate::dom;

/// The button's identifier: the focus goes there when what had it was taken away.
pub(crate) const UNDO: &str = "undo";

pub(crate) fn undo_bar(sentence: String, undo: &Callback<()>, forget: &Callback<()>) -> Html {
    html! {
        <div class="undo-bar" role="status">
            <p>{ sentence }</p>
            <button type="button" id={UNDO} onclick={dom::click(undo)}>{ "Undo" }</button>
            <button type="button" onclick={dom::click(forget)}>{ "Close" }</button>
        </div>
    }
}
