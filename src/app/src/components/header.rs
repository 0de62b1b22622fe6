//! The head of the page: name, title of the run sheet, whether it is kept, and what can be done with it.

use web_sys::File;
use yew::prelude::*;

use super::{FileButton, KeptWord};
use crate::autosave::Kept;
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

#[derive(PartialEq, Properties)]
pub(crate) struct HeaderProps {
    pub(crate) title: AttrValue,
    pub(crate) kept: Kept,
    pub(crate) rename: Callback<String>,
    pub(crate) command: Callback<Command>,
    pub(crate) import: Callback<File>,
}

#[component]
pub(crate) fn Header(props: &HeaderProps) -> Html {
    let oninput = {
        let rename = props.rename.clone();
        Callback::from(move |event: InputEvent| rename.emit(dom::value(&event)))
    };
    let button = |label: &'static str, class: &'static str, command: Command| {
        let send = props.command.clone();
        let onclick = Callback::from(move |_: MouseEvent| send.emit(command));
        html! { <button type="button" {class} {onclick}>{ label }</button> }
    };
    html! {
        <header class="page-head">
            <div class="page-name">
                <h1>{ "Glasswick" }</h1>
                <label class="visually-hidden" for="sheet-title">{ "Title of the run sheet" }</label>
                <input id="sheet-title" class="title" type="text" autocomplete="off"
                    placeholder="Title of the run sheet" value={&props.title} {oninput} />
                <KeptWord kept={props.kept.clone()} />
            </div>
            <div class="actions">
                { button("Add a card", "primary", Command::AddCard) }
                { button("Open demo", "", Command::OpenDemo) }
                { button("New run sheet", "", Command::New) }
                <FileButton label="Import" accept=".json,application/json" chosen={&props.import} />
                { button("Export run sheet", "", Command::ExportSheet) }
                { button("Export record", "", Command::ExportRecord) }
            </div>
        </header>
    }
}
