//! The list of calculators to choose from.

use glasswick_core::calculators::{ALL, Calculator};
use yew::prelude::*;

pub(crate) fn add_card(add: &Callback<&'static Calculator>) -> Html {
    let entry = |calculator: &&'static Calculator| {
        let calculator = *calculator;
        let onclick = add.reform(move |_: MouseEvent| calculator);
        html! {
            <li key={calculator.id}>
                <button type="button" class="offer" {onclick}>
                    <span class="offer-title">{ calculator.title }</span>
                    <span class="offer-text">{ calculator.purpose }</span>
                </button>
            </li>
        }
    };
    html! { <ul class="offers">{ for ALL.iter().map(entry) }</ul> }
}
