//! A place to paste a run sheet, a record or a link.

use yew::prelude::*;

use crate::components::Dialog;
use crate::dom;

#[derive(PartialEq, Properties)]
pub(crate) struct PasteDialogProps {
    /// What was pasted; none where the dialog was closed.
    pub(crate) pasted: Callback<Option<String>>,
}

#[component]
pub(crate) fn PasteDialog(props: &PasteDialogProps) -> Html {
    let text = use_state_eq(String::new);
    let oninput = {
        let text = text.setter();
        Callback::from(move |event: InputEvent| text.set(dom::value(&event)))
    };
    let disabled = text.trim().is_empty();
    let onclick = {
        let text = text.clone();
        props
            .pasted
            .reform(move |_: MouseEvent| Some((*text).clone()))
    };
    let close = props.pasted.reform(|()| None);
    html! {
        <Dialog title="Paste a run sheet" on_close={close}>
            <label for="pasted">{ "A run sheet, a record or a link, as you got it" }</label>
            <textarea id="pasted" rows="8" spellcheck="false" autocomplete="off" value={(*text).clone()} {oninput} />
            <div class="actions">
                <button type="button" class="primary" {disabled} {onclick}>{ "Import" }</button>
            </div>
        </Dialog>
    }
}
