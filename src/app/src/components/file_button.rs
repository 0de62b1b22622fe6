//! A button that lets a person choose a file, some types offered first.

use web_sys::File;
use yew::prelude::*;

use crate::files;

pub(crate) fn file_button(
    label: &'static str,
    accept: &'static str,
    chosen: Callback<File>,
) -> Html {
    let onchange = Callback::from(move |event: Event| {
        if let Some(file) = files::chosen(&event) {
            chosen.emit(file);
        }
    });
    html! {
        <label class="button file">
            <input type="file" class="visually-hidden" {accept} {onchange} />
            { label }
        </label>
    }
}
