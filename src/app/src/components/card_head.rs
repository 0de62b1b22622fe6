//! The head of a card: its title, how it stands, and where it stands in the list.

use yew::prelude::*;

use super::badge;
use crate::dom;
use crate::state::{Action, Edit};
use crate::view::CardView;

pub(crate) fn card_head(
    view: &CardView,
    edit: &Callback<Edit>,
    act: &Callback<Action>,
    another: Callback<()>,
) -> Html {
    let title = &view.card.title;
    let oninput = {
        let edit = edit.clone();
        Callback::from(move |event: InputEvent| edit.emit(Edit::Title(dom::value(&event))))
    };
    let button = |label: &str, action: Option<Action>| {
        let disabled = action.is_none();
        let act = act.clone();
        let onclick = Callback::from(move |_: MouseEvent| {
            if let Some(action) = action.clone() {
                act.emit(action);
            }
        });
        let name = format!("{label}: {title}");
        html! {
            <button type="button" class="quiet" aria-label={name} {disabled} {onclick}>{ label.to_owned() }</button>
        }
    };
    let to = |to: usize| Action::Move {
        card: view.card.id.clone(),
        to,
    };
    let another = dom::click(&another);
    html! {
        <div class="card-head">
            <input class="title" type="text" aria-label="Card title" autocomplete="off"
                value={title.clone()} {oninput} />
            { badge(view.standing) }
            <div class="actions">
                { button("Move earlier", view.position.checked_sub(1).map(to)) }
                { button("Move later", (!view.last).then(|| to(view.position + 1))) }
                <button type="button" class="quiet" aria-label={format!("Another like it: {title}")} onclick={another}>
                    { "Another like it" }
                </button>
                { button("Remove", Some(Action::Remove(view.card.id.clone()))) }
            </div>
        </div>
    }
}
