//! Something to say above the cards, until it is put away.

use yew::prelude::*;

use crate::dom;
use crate::notice::Notice;

pub(crate) fn notice_bar(notice: &Notice, export: Callback<String>, close: Callback<()>) -> Html {
    let close = dom::click(&close);
    let export = notice.text.clone().map(|text| {
        let export = export.clone();
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
