//! What stands under the card in hand: the ways to the card before and the card after, and to a new one.

use yew::prelude::*;

use super::{Command, button};
use crate::view::Step;

pub(crate) fn card_foot(
    steps: &[Step],
    in_hand: usize,
    go: &Callback<String>,
    command: &Callback<Command>,
) -> Html {
    let way = |label: &'static str, to: Option<&Step>| {
        to.map(|step| {
            let (go, id) = (go.clone(), step.id.clone());
            let onclick = Callback::from(move |_: MouseEvent| go.emit(id.clone()));
            html! {
                <button type="button" class="way" {onclick}>
                    <span class="way-label">{ label }</span><span>{ &step.title }</span>
                </button>
            }
        })
    };
    let before = in_hand.checked_sub(1).and_then(|before| steps.get(before));
    let after = steps.get(in_hand + 1);
    html! {
        <div class="card-foot">
            { way("Before", before) }
            { way("Next", after) }
            if after.is_none() {
                { button(command, "Add a card", Command::AddCard, false) }
            }
        </div>
    }
}
