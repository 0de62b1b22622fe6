//! The unit beside a number; plain text where there is only one.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::Unit;
use yew::prelude::*;

use crate::dom;

pub(crate) fn unit_select(
    label: String,
    field: &'static Field,
    unit: &'static Unit,
    change: Callback<&'static Unit>,
) -> Html {
    let offered = field.offered_units();
    if offered.len() < 2 {
        return match unit.symbol {
            "1" => Html::default(),
            symbol => html! { <span class="unit">{ symbol }</span> },
        };
    }
    let option = |offered: &&'static Unit| {
        let symbol = if offered.symbol == "1" {
            "(no unit)"
        } else {
            offered.symbol
        };
        html! { <option key={offered.code} value={offered.code} selected={offered.code == unit.code}>{ symbol }</option> }
    };
    let options: Html = offered.iter().map(option).collect();
    let onchange = Callback::from(move |event: Event| {
        let code = dom::value(&event);
        if let Some(unit) = offered.iter().find(|unit| unit.code == code) {
            change.emit(*unit);
        }
    });
    html! { <select class="unit" aria-label={label} {onchange}>{ options }</select> }
}
