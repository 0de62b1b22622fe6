//! The head of a card: its title, how it stands, and where it stands in the list.

use yew::prelude::*;

use super::badge;
use crate::dom;
use crate::state::{Action, Edit};
use crate::view::CardView;

pub(crate) fn card_head(view: &CardView, edit: &Callback<Edit>, act: &Callback<Action>) -> Html {
    let title = &view.card.title;
    let oninput = {
        let edit = edit.clone();
        Callback::from(move |event: InputEvent| edit.emit(Edit::Title(dom::value(&event))))
    };
    let button = |label: &str, action: fn(String) -> Action, disabled: bool| {
        let (act, id) = (act.clone(), view.card.id.clone());
        let onclick = Callback::from(move |_: MouseEvent| act.emit(action(id.clone())));
        let name = format!("{label}: {title}");
        html! {
            <button type="button" class="quiet" aria-label={name} {disabled} {onclick}>{ label.to_owned() }</button>
        }
    };
    html! {
        <div class="card-head">
            <input class="title" type="text" aria-label="Card title" autocomplete="off"
                value={title.clone()} {oninput} />
            { badge(view.standing) }
            <div class="actions">
                { button("Move up", Action::MoveUp, view.position == 0) }
                { button("Move down", Action::MoveDown, view.last) }
                { button("Remove", Action::Remove, false) }
            </div>
        </div>
    }
}
