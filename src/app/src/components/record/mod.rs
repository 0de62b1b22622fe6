//! The record: whose work it is, what will be printed, and the check of a record that came back.

mod about_form;
mod blocks;
mod card_part;
mod entries;
mod entry_words;
mod expiry;
mod facts;
mod found;
mod paper;
mod rests_on;
mod verify_record;

use std::rc::Rc;

use glasswick_core::sheet::Evaluation;
use glasswick_record::{About, Document};
use yew::prelude::*;

use self::about_form::about_form;
use self::paper::paper;
use self::verify_record::VerifyRecord;
use crate::dom;
use crate::view::CardView;

/// The record of a run sheet. The page gives the buttons that export it.
pub(crate) fn record_place(
    document: &Document,
    views: &[Rc<CardView>],
    evaluation: &Evaluation,
    about: &Callback<About>,
    export: Html,
) -> Html {
    let print = Callback::from(|_: MouseEvent| dom::print());
    html! {
        <main class="record">
            <section class="take" aria-labelledby="take-title">
                <h2 id="take-title">{ "Print or export" }</h2>
                <div class="actions">
                    <button type="button" class="primary" onclick={print}>{ "Print" }</button>
                    { export }
                </div>
                <p class="help">{ "Where Print does nothing, as on some tablets, use the browser’s share menu and \
                                   choose Print there." }</p>
            </section>
            { about_form(&document.about, about) }
            { paper(document, views, evaluation) }
            <VerifyRecord />
        </main>
    }
}
