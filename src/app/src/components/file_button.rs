//! A button that lets a person choose a file.

use web_sys::File;
use yew::prelude::*;

use crate::files;

#[derive(PartialEq, Properties)]
pub(crate) struct FileButtonProps {
    pub(crate) label: AttrValue,
    /// File types offered first.
    pub(crate) accept: AttrValue,
    pub(crate) chosen: Callback<File>,
}

#[component]
pub(crate) fn FileButton(props: &FileButtonProps) -> Html {
    let onchange = {
        let chosen = props.chosen.clone();
        Callback::from(move |event: Event| {
            if let Some(file) = files::chosen(&event) {
                chosen.emit(file);
            }
        })
    };
    html! {
        <label class="button file">
            <input type="file" class="visually-hidden" accept={&props.accept} {onchange} />
            { &props.label }
        </label>
    }
}
