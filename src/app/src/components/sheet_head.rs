//! The head of a run sheet: its title, whether it is kept, and what can be done with it.

use yew::prelude::*;

use crate::autosave::Kept;
use crate::dom;
use crate::state::State;

/// What a person can ask for around a run sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Command {
    /// Choose a calculator to add.
    AddCard,
    /// Go a step back.
    Undo,
    /// Take the last step back again.
    Redo,
    /// Hand the run sheet to someone.
    Share,
    /// Hand out the run sheet as a file.
    ExportSheet,
    /// Hand out the record as a file.
    ExportRecord,
    /// Keep a copy that came by a link.
    Keep,
    /// Go on with what another tab wrote.
    TakeTheirs,
    /// Go on with what is here, as a run sheet of its own.
    KeepMine,
}

pub(crate) fn sheet_head(
    title: &str,
    retitle: Callback<String>,
    kept: Html,
    state: &State,
    command: &Callback<Command>,
) -> Html {
    let oninput = Callback::from(move |event: InputEvent| retitle.emit(dom::value(&event)));
    html! {
        <div class="sheet-head">
            <label class="visually-hidden" for="sheet-title">{ "Title of the run sheet" }</label>
            <input id="sheet-title" class="title" type="text" autocomplete="off"
                placeholder="Title of the run sheet" value={title.to_owned()} {oninput} />
            <div class="actions">
                { button(command, "Undo", Command::Undo, !state.can_undo()) }
                { button(command, "Redo", Command::Redo, !state.can_redo()) }
                { button(command, "Share", Command::Share, false) }
                { button(command, "Export", Command::ExportSheet, false) }
            </div>
            { kept }
        </div>
    }
}

/// Whether the run sheet is kept, in a word; where it is not, in a sentence that cannot be overlooked, with the way
/// out beside it.
pub(crate) fn kept_word(kept: &Kept, command: &Callback<Command>) -> Html {
    let said = |class: &'static str, words: &'static str| html! { <p {class}>{ words }</p> };
    match kept {
        Kept::Saved => said("kept", "Saved on this device"),
        Kept::Pending => said("kept", "Saving…"),
        Kept::NotYet => html! {
            <div class="kept asked" role="status">
                <p><strong>{ "A copy from a link, not saved." }</strong>
                    { " It goes onto your shelf when you change it, or now:" }</p>
                <div class="actions">{ button(command, "Keep it", Command::Keep, false) }</div>
            </div>
        },
        Kept::Elsewhere => html! {
            <div class="kept failed" role="alert">
                <p><strong>{ "Changed in another tab or window." }</strong>
                    { " Nothing was written over it. Choose what to go on with:" }</p>
                <div class="actions">
                    { button(command, "Take theirs", Command::TakeTheirs, false) }
                    { button(command, "Keep mine as a copy", Command::KeepMine, false) }
                </div>
            </div>
        },
        Kept::Failed(error) => html! {
            <div class="kept failed" role="alert">
                <p><strong>{ "Not saved." }</strong>{ format!(" {error} {} You can go on working; export the run sheet before you leave.", error.hint()) }</p>
                <div class="actions">{ button(command, "Export the run sheet", Command::ExportSheet, false) }</div>
            </div>
        },
    }
}

/// A button that asks for something.
pub(crate) fn button(
    command: &Callback<Command>,
    label: &'static str,
    asked: Command,
    disabled: bool,
) -> Html {
    let onclick = command.reform(move |_: MouseEvent| asked);
    html! { <button type="button" {disabled} {onclick}>{ label }</button> }
}
