//! The unit beside a number; plain text where there is only one.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::Unit;
use yew::prelude::*;

use crate::dom;

#[derive(PartialEq, Properties)]
pub(crate) struct UnitSelectProps {
    pub(crate) label: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) unit: &'static Unit,
    pub(crate) change: Callback<&'static Unit>,
}

#[component]
pub(crate) fn UnitSelect(props: &UnitSelectProps) -> Html {
    let offered = props.field.offered_units();
    if offered.len() < 2 {
        return match props.unit.symbol {
            "1" => Html::default(),
            symbol => html! { <span class="unit">{ symbol }</span> },
        };
    }
    let option = |unit: &&'static Unit| {
        let symbol = if unit.symbol == "1" {
            "(no unit)"
        } else {
            unit.symbol
        };
        html! { <option key={unit.code} value={unit.code} selected={unit.code == props.unit.code}>{ symbol }</option> }
    };
    let options: Html = offered.iter().map(option).collect();
    let onchange = {
        let change = props.change.clone();
        Callback::from(move |event: Event| {
            let code = dom::value(&event);
            if let Some(unit) = offered.iter().find(|unit| unit.code == code) {
                change.emit(*unit);
            }
        })
    };
    html! { <select class="unit" aria-label={&props.label} {onchange}>{ options }</select> }
}
