//! What was taken away last, and the way back.

use yew::prelude::*;

#[derive(PartialEq, Properties)]
pub(crate) struct UndoBarProps {
    pub(crate) sentence: AttrValue,
    pub(crate) undo: Callback<()>,
    pub(crate) forget: Callback<()>,
}

#[component]
pub(crate) fn UndoBar(props: &UndoBarProps) -> Html {
    let click = |callback: &Callback<()>| {
        let callback = callback.clone();
        Callback::from(move |_: MouseEvent| callback.emit(()))
    };
    html! {
        <div class="undo-bar" role="status">
            <p>{ &props.sentence }</p>
            <button type="button" onclick={click(&props.undo)}>{ "Undo" }</button>
            <button type="button" onclick={click(&props.forget)}>{ "Close" }</button>
        </div>
    }
}
