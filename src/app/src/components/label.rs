//! The label of an entry: title, symbol, and whether it is still needed.

use glasswick_core::calculators::Field;
use yew::prelude::*;

use super::titled;

pub(crate) fn label(field: &'static Field, target: String, needed: bool) -> Html {
    html! {
        <label for={target}>
            { titled(field.title, field) }
            if field.optional {
                <span class="marker">{ "optional" }</span>
            } else if needed {
                <span class="marker needed">{ "needed" }</span>
            }
        </label>
    }
}
