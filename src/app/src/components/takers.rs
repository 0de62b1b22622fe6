//! Where a card's numbers go: the links that leave it.

use yew::prelude::*;

use crate::view::Taker;

/// More links than this are folded away.
const FEW: usize = 4;

pub(crate) fn takers(takers: &[Taker], go: &Callback<String>) -> Html {
    if takers.is_empty() {
        return Html::default();
    }
    let item = |taker: &Taker| {
        let (go, card) = (go.clone(), taker.card.clone());
        let onclick = Callback::from(move |_: MouseEvent| go.emit(card.clone()));
        html! {
            <li>
                <span>{ format!("{} → {}", taker.title, taker.entry) }</span>
                <button type="button" class="quiet" {onclick}>{ format!("Go to {}", taker.card_title) }</button>
            </li>
        }
    };
    let list = html! { <ul>{ for takers.iter().map(item) }</ul> };
    html! {
        <div class="takers">
            <h4>{ "Taken by other cards" }</h4>
            if takers.len() > FEW {
                <details><summary>{ format!("{} links", takers.len()) }</summary>{ list }</details>
            } else {
                { list }
            }
        </div>
    }
}
