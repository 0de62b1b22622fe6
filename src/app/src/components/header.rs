//! The head of the page: name, title of the run sheet, whether it is kept, and what can be done with it.

use web_sys::File;
use yew::prelude::*;

use super::file_button;
use crate::dom;

/// What a person can ask for in the head of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Command {
    /// Choose a calculator to add.
    AddCard,
    /// Open the demo run sheet.
    OpenDemo,
    /// Begin an empty run sheet.
    New,
    /// Hand out the run sheet as a file.
    ExportSheet,
    /// Hand out the record as a file.
    ExportRecord,
}

pub(crate) fn header(
    title: String,
    kept: Html,
    rename: Callback<String>,
    command: &Callback<Command>,
    import: Callback<File>,
) -> Html {
    let oninput = Callback::from(move |event: InputEvent| rename.emit(dom::value(&event)));
    let button = |label: &'static str, class: &'static str, asked: Command| {
        let send = command.clone();
        let onclick = Callback::from(move |_: MouseEvent| send.emit(asked));
        html! { <button type="button" {class} {onclick}>{ label }</button> }
    };
    html! {
        <header class="page-head">
            <div class="page-name">
                <h1>{ "Glasswick" }</h1>
                <label class="visually-hidden" for="sheet-title">{ "Title of the run sheet" }</label>
                <input id="sheet-title" class="title" type="text" autocomplete="off"
                    placeholder="Title of the run sheet" value={title} {oninput} />
                { kept }
            </div>
            <div class="actions">
                { button("Add a card", "primary", Command::AddCard) }
                { button("Open demo", "", Command::OpenDemo) }
                { button("New run sheet", "", Command::New) }
                { file_button("Import", ".json,application/json", import) }
                { button("Export run sheet", "", Command::ExportSheet) }
                { button("Export record", "", Command::ExportRecord) }
            </div>
        </header>
    }
}
