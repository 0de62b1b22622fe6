//! The numbers of other cards that an entry could take.

use glasswick_core::sheet::Address;
use yew::prelude::*;

use super::Dialog;
use crate::view::Candidate;

#[derive(PartialEq, Properties)]
pub(crate) struct LinkPickerProps {
    /// The entry that is to take a result.
    pub(crate) entry: AttrValue,
    /// What it measures, in words.
    pub(crate) kind: AttrValue,
    pub(crate) candidates: Vec<Candidate>,
    pub(crate) choose: Callback<Address>,
    pub(crate) close: Callback<()>,
}

#[component]
pub(crate) fn LinkPicker(props: &LinkPickerProps) -> Html {
    let offer = |candidate: &Candidate| {
        let onclick = {
            let (choose, address) = (props.choose.clone(), candidate.address.clone());
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
        <Dialog title={format!("Link {}", props.entry)} on_close={&props.close}>
            if props.candidates.is_empty() {
                <p>{ format!("No other card holds a number of this kind ({}) that could stand here. \
                              Add a card that does, or type the value.", props.kind) }</p>
            } else {
                <p>{ format!("Numbers of this kind ({}) on other cards:", props.kind) }</p>
                <ul class="offers">{ for props.candidates.iter().map(offer) }</ul>
            }
        </Dialog>
    }
}
