//! What can hurt, always in view.

use glasswick_core::calculators::{HAZARDS_DEFER, Hazard};
use yew::prelude::*;

pub(crate) fn hazards(hazards: &'static [Hazard]) -> Html {
    if hazards.is_empty() {
        return Html::default();
    }
    let item = |hazard: &Hazard| html! { <li><strong>{ hazard.what }</strong>{ ": " }{ hazard.caution }</li> };
    html! {
        <div class="hazards">
            <h4>{ "Hazard notes" }</h4>
            <ul>{ for hazards.iter().map(item) }</ul>
            <p class="defer">{ HAZARDS_DEFER }</p>
        </div>
    }
}
