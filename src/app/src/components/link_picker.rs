//! The numbers of other cards that an entry could take.

use glasswick_core::sheet::Address;
use yew::prelude::*;

use super::Dialog;
use crate::view::Candidate;

pub(crate) fn link_picker(
    entry: &str,
    kind: &str,
    candidates: &[Candidate],
    choose: &Callback<Address>,
    close: &Callback<()>,
) -> Html {
    let offer = |candidate: &Candidate| {
        let onclick = {
            let (choose, address) = (choose.clone(), candidate.address.clone());
            Callback::from(move |_: MouseEvent| choose.emit(address.clone()))
        };
        let how = if candidate.entered {
            "entered"
        } else {
            "found"
        };
        html! {
            <li key={candidate.address.to_string()}>
                <button type="button" class="offer" {onclick}>
                    <span class="offer-title">{ &candidate.title }</span>
                    <span class="offer-text">{ format!("{} on “{}”", how, candidate.card) }</span>
                    <span class="offer-value">{ &candidate.shown }</span>
                </button>
            </li>
        }
    };
    html! {
        <Dialog title={format!("Link {}", entry)} on_close={close}>
            if candidates.is_empty() {
                <p>{ format!("No other card holds a number of this kind ({}) that could stand here. \
                              Add a card that does, or type the value.", kind) }</p>
            } else {
                <p>{ format!("Numbers of this kind ({}) on other cards:", kind) }</p>
                <ul class="offers">{ for candidates.iter().map(offer) }</ul>
            }
        </Dialog>
    }
}
