//! Free text on a card.

use yew::prelude::*;

use crate::dom;
use crate::state::Edit;

#[derive(PartialEq, Properties)]
pub(crate) struct NoteProps {
    pub(crate) card: String,
    pub(crate) note: String,
    pub(crate) edit: Callback<Edit>,
}

#[component]
pub(crate) fn Note(props: &NoteProps) -> Html {
    let id = format!("note-{}", props.card);
    let oninput = {
        let edit = props.edit.clone();
        Callback::from(move |event: InputEvent| edit.emit(Edit::Note(dom::value(&event))))
    };
    html! {
        <div class="card-note">
            <label for={id.clone()}>{ "Note" }</label>
            <textarea {id} rows="2" value={props.note.clone()} {oninput} />
        </div>
    }
}
