//! One result: value and uncertainty as the reader wants to see them, and what the uncertainty comes from.

use std::rc::Rc;

use glasswick_core::quantity::Unit;
use glasswick_core::report::printed;
use glasswick_record::{Display, Document};
use yew::platform::spawn_local;
use yew::prelude::*;

use super::{budget, titled, unit_select};
use crate::bench::Doubts;
use crate::dom;
use crate::state::Action;
use crate::view::ResultView;

/// How the reader has results shown, and how that is changed.
#[derive(Clone, PartialEq)]
pub(crate) struct Reader {
    pub(crate) document: Rc<Document>,
    pub(crate) doubts: Doubts,
    pub(crate) act: Callback<Action>,
}

impl Reader {
    /// Changes how results are shown.
    pub(crate) fn changed(&self, change: impl FnOnce(&mut Display)) {
        let mut display = self.document.display.clone();
        change(&mut display);
        self.act.emit(Action::Display(display));
    }
}

#[derive(PartialEq, Properties)]
pub(crate) struct ResultRowProps {
    /// The card's identifier.
    pub(crate) card: AttrValue,
    pub(crate) result: ResultView,
    pub(crate) headline: bool,
    pub(crate) reader: Reader,
}

#[component]
pub(crate) fn ResultRow(props: &ResultRowProps) -> Html {
    let said = use_state_eq(|| "");
    let ResultView {
        path,
        field,
        title,
        row,
        found,
    } = &props.result;
    // The heading above names the row.
    let short = if row.is_some() { field.title } else { title };
    let name = html! {
        <span class="result-title">{ titled(short, field) }</span>
    };
    let Some(found) = found else {
        return html! {
            <li class="result absent">{ name }<span class="result-value none" aria-label="no value yet">{ "—" }</span></li>
        };
    };
    let reader = &props.reader;
    let address = format!("{}.{path}", props.card);
    let unit = reader.document.display.unit(&address, field);
    let shown = printed(field, &found.estimate, unit, reader.document.display.form);
    let change = {
        let (reader, address) = (reader.clone(), address.clone());
        Callback::from(move |unit: &'static Unit| {
            let (address, code) = (address.clone(), unit.code.into());
            reader.changed(|display| drop(display.units.insert(address, code)));
        })
    };
    let copy = {
        let said = said.setter();
        Callback::from(move |text: String| {
            let said = said.clone();
            spawn_local(async move {
                said.set(if dom::copy(&text).await {
                    "It is on the clipboard."
                } else {
                    "This browser did not take it. Mark the text and copy it by hand."
                });
            });
        })
    };
    // What the Monte Carlo has answered is doubted no more.
    let doubts = reader
        .doubts
        .iter()
        .find(|(of, _)| of == path && !found.trial_is_current);
    let doubts = doubts.map_or(&[][..], |(_, doubts)| doubts);
    html! {
        <li class={classes!("result", props.headline.then_some("headline"), row.is_some().then_some("compact"))}>
            { name }
            <span class="result-value">{ &shown.text }</span>
            { unit_select(format!("Show {title} in"), field, shown.unit, change) }
            if row.is_some() && !doubts.is_empty() {
                <p class="doubt brief">{ "First order is weak here." }</p>
            }
            { for doubts.iter().map(|doubt| html! { <p class="doubt">{ doubt.sentence(field) }</p> }) }
            { budget(&props.result, found, &shown, reader, &copy, *said, &address) }
        </li>
    }
}
