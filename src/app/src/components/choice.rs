//! One of several options; and one that is a tick.

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

/// A box to tick, for a field of [`tick`](glasswick_core::calculators::tick): its first option is "not yet".
pub(crate) fn tick_input(
    id: String,
    field: &'static Field,
    options: &'static [Choice],
    chosen: &str,
    change: Callback<Change>,
) -> Html {
    let onchange = Callback::from(move |event: Event| {
        let place = usize::from(dom::checked(&event));
        if let Some(option) = options.get(place) {
            change.emit(Change::Words(option.id.into()));
        }
    });
    let done = options.last().is_some_and(|option| option.id == chosen);
    html! {
        <label class="tick" for={id.clone()}>
            <input {id} type="checkbox" checked={done} {onchange} />
            { field.title }
        </label>
    }
}
