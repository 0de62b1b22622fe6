//! One of several options.

use glasswick_core::calculators::{Choice, Field};
use yew::prelude::*;

use super::label;
use crate::dom;
use crate::state::Change;

pub(crate) fn choice_input(
    id: String,
    field: &'static Field,
    options: &'static [Choice],
    chosen: &str,
    change: Callback<Change>,
) -> Html {
    let onchange =
        Callback::from(move |event: Event| change.emit(Change::Words(dom::value(&event))));
    let known = options.iter().any(|option| option.id == chosen);
    let option = |option: &Choice| {
        html! { <option key={option.id} value={option.id} selected={option.id == chosen}>{ option.title }</option> }
    };
    html! {
        <>
            { label(field, id.clone(), false) }
            <select {id} {onchange}>
                if !known {
                    <option value={chosen.to_owned()} selected=true>{ "choose" }</option>
                }
                { for options.iter().map(option) }
            </select>
        </>
    }
}
