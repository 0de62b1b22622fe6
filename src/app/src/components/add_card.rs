//! The list of calculators to add a card from.

use glasswick_core::calculators::ALL;
use yew::prelude::*;

#[derive(PartialEq, Properties)]
pub(crate) struct AddCardProps {
    /// Takes the calculator's position in the list.
    pub(crate) add: Callback<usize>,
}

#[component]
pub(crate) fn AddCard(props: &AddCardProps) -> Html {
    let entry = |(position, calculator): (usize, &&glasswick_core::calculators::Calculator)| {
        let onclick = {
            let add = props.add.clone();
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
