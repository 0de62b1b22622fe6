//! The record as it is printed.

use std::rc::Rc;

use glasswick_core::sheet::Evaluation;
use glasswick_record::Document;
use yew::prelude::*;

use super::blocks::aside;
use super::card_part::card_part;
use super::facts::about_facts;
use super::rests_on::rests_on;
use crate::view::CardView;

pub(super) fn paper(document: &Document, views: &[Rc<CardView>], evaluation: &Evaluation) -> Html {
    let title = match document.about.title.trim() {
        "" => "Run sheet without a title",
        title => title,
    };
    html! {
        <article class="paper" aria-labelledby="record-title">
            <header>
                { aside("Record".into()) }
                <h2 id="record-title">{ title.to_owned() }</h2>
                { about_facts(&document.about) }
            </header>
            if views.is_empty() {
                <p>{ "This run sheet has no cards yet." }</p>
            }
            { for views.iter().map(|view| card_part(view, document)) }
            { rests_on(document, evaluation) }
        </article>
    }
}
