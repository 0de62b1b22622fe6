//! What can hurt, always in view.

use glasswick_core::calculators::{HAZARDS_DEFER, Hazard};
use yew::prelude::*;

#[derive(PartialEq, Properties)]
pub(crate) struct HazardsProps {
    pub(crate) hazards: &'static [Hazard],
}

#[component]
pub(crate) fn Hazards(props: &HazardsProps) -> Html {
    if props.hazards.is_empty() {
        return Html::default();
    }
    let item = |hazard: &Hazard| html! { <li><strong>{ hazard.what }</strong>{ ": " }{ hazard.caution }</li> };
    html! {
        <div class="hazards">
            <h4>{ "Hazard notes" }</h4>
            <ul>{ for props.hazards.iter().map(item) }</ul>
            <p class="defer">{ HAZARDS_DEFER }</p>
        </div>
    }
}
