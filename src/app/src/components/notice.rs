//! Something to say above the cards, until it is put away.

use yew::prelude::*;

use crate::start::Notice;

#[derive(PartialEq, Properties)]
pub(crate) struct NoticeBarProps {
    pub(crate) notice: Notice,
    pub(crate) export: Callback<String>,
    pub(crate) close: Callback<()>,
}

#[component]
pub(crate) fn NoticeBar(props: &NoticeBarProps) -> Html {
    let notice = &props.notice;
    let close = {
        let close = props.close.clone();
        Callback::from(move |_: MouseEvent| close.emit(()))
    };
    let export = notice.text.clone().map(|text| {
        let export = props.export.clone();
        let onclick = Callback::from(move |_: MouseEvent| export.emit(text.clone()));
        html! { <button type="button" {onclick}>{ "Export it as it is" }</button> }
    });
    html! {
        <section class="notice" role="alert">
            <p><strong>{ &notice.sentence }</strong></p>
            if !notice.lines.is_empty() {
                <ul>{ for notice.lines.iter().map(|line| html! { <li>{ line }</li> }) }</ul>
            }
            <div class="actions">
                { export }
                <button type="button" onclick={close}>{ "Close" }</button>
            </div>
        </section>
    }
}
