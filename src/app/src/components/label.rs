//! The label of an entry: title, symbol, and whether it is still needed.

use glasswick_core::calculators::Field;
use yew::prelude::*;

use super::Symbol;

#[derive(PartialEq, Properties)]
pub(crate) struct LabelProps {
    pub(crate) field: &'static Field,
    /// The box it belongs to.
    pub(crate) target: AttrValue,
    pub(crate) needed: bool,
}

#[component]
pub(crate) fn Label(props: &LabelProps) -> Html {
    let field = props.field;
    html! {
        <label for={&props.target}>
            { field.title }
            if !field.symbol.is_empty() {
                <span class="symbol"><Symbol text={field.symbol} /></span>
            }
            if field.optional {
                <span class="marker">{ "optional" }</span>
            } else if props.needed {
                <span class="marker needed">{ "needed" }</span>
            }
        </label>
    }
}
