//! What an empty run sheet says.

use yew::prelude::*;

use super::{AddCard, Command};

#[derive(PartialEq, Properties)]
pub(crate) struct EmptyProps {
    pub(crate) add: Callback<usize>,
    pub(crate) command: Callback<Command>,
}

#[component]
pub(crate) fn Empty(props: &EmptyProps) -> Html {
    let open = {
        let command = props.command.clone();
        Callback::from(move |_: MouseEvent| command.emit(Command::OpenDemo))
    };
    html! {
        <main class="empty" aria-labelledby="empty-title">
            <h2 id="empty-title">{ "An empty run sheet" }</h2>
            <p>{ "Each step of the work is a card. A card can take results of other cards, and every result \
                  carries its uncertainty along." }</p>
            <p><button type="button" class="primary" onclick={open}>{ "Open the demo" }</button></p>
            <h3>{ "Or begin with a card" }</h3>
            <AddCard add={&props.add} />
        </main>
    }
}
