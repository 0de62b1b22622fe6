//! The head of a card: its title, how it stands, and where it stands in the list.

use std::rc::Rc;

use yew::prelude::*;

use super::Badge;
use crate::dom;
use crate::state::{Action, Edit};
use crate::view::CardView;

#[derive(PartialEq, Properties)]
pub(crate) struct CardHeadProps {
    pub(crate) view: Rc<CardView>,
    pub(crate) edit: Callback<Edit>,
    pub(crate) act: Callback<Action>,
}

#[component]
pub(crate) fn CardHead(props: &CardHeadProps) -> Html {
    let view = &props.view;
    let title = &view.card.title;
    let oninput = {
        let edit = props.edit.clone();
        Callback::from(move |event: InputEvent| edit.emit(Edit::Title(dom::value(&event))))
    };
    let button = |label: &str, action: fn(String) -> Action, disabled: bool| {
        let (act, id) = (props.act.clone(), view.card.id.clone());
        let onclick = Callback::from(move |_: MouseEvent| act.emit(action(id.clone())));
        let name = format!("{label}: {title}");
        html! {
            <button type="button" class="quiet" aria-label={name} {disabled} {onclick}>{ label.to_owned() }</button>
        }
    };
    html! {
        <div class="card-head">
            <input class="title" type="text" aria-label="Card title" autocomplete="off"
                value={title.clone()} {oninput} />
            <Badge standing={view.standing} />
            <div class="actions">
                { button("Move up", Action::MoveUp, view.position == 0) }
                { button("Move down", Action::MoveDown, view.last) }
                { button("Remove", Action::Remove, false) }
            </div>
        </div>
    }
}
