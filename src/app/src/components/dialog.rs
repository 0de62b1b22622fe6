//! A native dialog over the page. Closing it puts the focus back where it was.

use wasm_bindgen::JsCast;
use web_sys::{HtmlDialogElement, HtmlElement};
use yew::prelude::*;

use crate::dom;

#[derive(PartialEq, Properties)]
pub(crate) struct DialogProps {
    pub(crate) title: AttrValue,
    pub(crate) on_close: Callback<()>,
    pub(crate) children: Html,
}

#[component]
pub(crate) fn Dialog(props: &DialogProps) -> Html {
    let node = use_node_ref();
    {
        let node = node.clone();
        use_effect_with((), move |()| {
            let before = dom::document().and_then(|document| document.active_element());
            if let Some(dialog) = node.cast::<HtmlDialogElement>() {
                // Where the browser cannot show it as modal, it stands in the page as it is.
                let _ = dialog.show_modal();
            }
            move || {
                if let Some(element) =
                    before.and_then(|element| element.dyn_into::<HtmlElement>().ok())
                {
                    let _ = element.focus();
                }
            }
        });
    }
    let close = dom::click(&props.on_close);
    let escaped = {
        let on_close = props.on_close.clone();
        Callback::from(move |_: Event| on_close.emit(()))
    };
    html! {
        <dialog ref={node} class="dialog" aria-labelledby="dialog-title" onclose={escaped}>
            <div class="dialog-head">
                <h2 id="dialog-title">{ &props.title }</h2>
                <button type="button" class="quiet" onclick={close}>{ "Close" }</button>
            </div>
            { props.children.clone() }
        </dialog>
    }
}
