//! Free text on a card.

use glasswick_core::sheet::Card;
use yew::prelude::*;

use crate::dom;
use crate::state::Edit;

pub(crate) fn note(card: &Card, edit: &Callback<Edit>) -> Html {
    let id = format!("note-{}", card.id);
    let oninput = {
        let edit = edit.clone();
        Callback::from(move |event: InputEvent| edit.emit(Edit::Note(dom::value(&event))))
    };
    html! {
        <div class="card-note">
            <label for={id.clone()}>{ "Note" }</label>
            <textarea {id} rows="2" value={card.note.clone()} {oninput} />
        </div>
    }
}
