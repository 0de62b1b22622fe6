//! One of several options.

use glasswick_core::calculators::{Choice, Field};
use yew::prelude::*;

use super::Label;
use crate::dom;
use crate::state::Change;

#[derive(PartialEq, Properties)]
pub(crate) struct ChoiceInputProps {
    pub(crate) id: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) options: Options,
    pub(crate) chosen: String,
    pub(crate) change: Callback<Change>,
}

/// The options of a choice: statics, told apart by their place in memory.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Options(pub(crate) &'static [Choice]);

impl PartialEq for Options {
    fn eq(&self, other: &Self) -> bool {
        core::ptr::eq(self.0, other.0)
    }
}

#[component]
pub(crate) fn ChoiceInput(props: &ChoiceInputProps) -> Html {
    let onchange = {
        let change = props.change.clone();
        Callback::from(move |event: Event| change.emit(Change::Words(dom::value(&event))))
    };
    let known = props
        .options
        .0
        .iter()
        .any(|option| option.id == props.chosen);
    let option = |option: &Choice| {
        html! { <option key={option.id} value={option.id} selected={option.id == props.chosen}>{ option.title }</option> }
    };
    html! {
        <>
            <Label field={props.field} target={&props.id} needed={false} />
            <select id={&props.id} {onchange}>
                if !known {
                    <option value={props.chosen.clone()} selected=true>{ "choose" }</option>
                }
                { for props.options.0.iter().map(option) }
            </select>
        </>
    }
}
