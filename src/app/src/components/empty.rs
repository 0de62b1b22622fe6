//! What an empty run sheet says.

use yew::prelude::*;

use super::{Command, add_card};

pub(crate) fn empty(add: &Callback<usize>, command: &Callback<Command>) -> Html {
    let open = {
        let command = command.clone();
        Callback::from(move |_: MouseEvent| command.emit(Command::OpenDemo))
    };
    html! {
        <main class="empty" aria-labelledby="empty-title">
            <h2 id="empty-title">{ "An empty run sheet" }</h2>
            <p>{ "Each step of the work is a card. A card can take results of other cards, and every result \
                  carries its uncertainty along." }</p>
            <p><button type="button" class="primary" onclick={open}>{ "Open the demo" }</button></p>
            <h3>{ "Or begin with a card" }</h3>
            { add_card(add) }
        </main>
    }
}
