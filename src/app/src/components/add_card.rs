//! The list of calculators to add a card from; the chosen one is named by its place in the list.

use glasswick_core::calculators::ALL;
use yew::prelude::*;

pub(crate) fn add_card(add: &Callback<usize>) -> Html {
    let entry = |(position, calculator): (usize, &&glasswick_core::calculators::Calculator)| {
        let onclick = {
            let add = add.clone();
            Callback::from(move |_: MouseEvent| add.emit(position))
        };
        html! {
            <li key={calculator.id}>
                <button type="button" class="offer" {onclick}>
                    <span class="offer-title">{ calculator.title }</span>
                    <span class="offer-text">{ calculator.purpose }</span>
                </button>
            </li>
        }
    };
    html! { <ul class="offers">{ for ALL.iter().enumerate().map(entry) }</ul> }
}
