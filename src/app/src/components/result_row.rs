//! One result: value and uncertainty in a unit of the reader's choice, and what the uncertainty comes from.

use glasswick_core::quantity::Unit;
use glasswick_core::report::printed;
use yew::prelude::*;

use super::{budget, titled, unit_select};
use crate::view::ResultView;

#[derive(PartialEq, Properties)]
pub(crate) struct ResultRowProps {
    pub(crate) result: ResultView,
    pub(crate) headline: bool,
}

#[component]
pub(crate) fn ResultRow(props: &ResultRowProps) -> Html {
    // The reader's choice; none follows the value to the unit in which it reads well.
    let chosen = use_state_eq(|| None::<&'static Unit>);
    let ResultView {
        field,
        title,
        found,
        ..
    } = &props.result;
    let name = html! {
        <span class="result-title">{ titled(title, field) }</span>
    };
    let Some(found) = found else {
        return html! {
            <li class="result absent">{ name }<span class="result-value none" aria-label="no value yet">{ "—" }</span></li>
        };
    };
    let shown = printed(field, found.value, found.uncertainty, *chosen);
    let change = {
        let chosen = chosen.clone();
        Callback::from(move |unit: &'static Unit| chosen.set(Some(unit)))
    };
    html! {
        <li class={classes!("result", props.headline.then_some("headline"))}>
            { name }
            <span class="result-value">{ &shown.text }</span>
            { unit_select(format!("Show {title} in"), field, shown.unit, change) }
            { budget(field, found, shown.unit) }
        </li>
    }
}
