//! What an empty run sheet says.

use glasswick_core::calculators::Calculator;
use yew::prelude::*;

use super::add_card;

pub(crate) fn empty(add: &Callback<&'static Calculator>) -> Html {
    html! {
        <main class="empty" aria-labelledby="empty-title">
            <h2 id="empty-title">{ "An empty run sheet" }</h2>
            <p>{ "Each step of the work is a card. A card can take results of other cards, and every result \
                  carries its uncertainty along. Begin with the step that is in front of you." }</p>
            { add_card(add) }
        </main>
    }
}
