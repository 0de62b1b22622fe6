//! One card: what is entered on one side, what it gives on the other.

use std::rc::Rc;

use glasswick_record::Document;
use yew::prelude::*;

use super::{
    Form, Place, Reader, Working, card_head, checks, field_input, hazards, note, results, takers,
};
use crate::bench::Doubts;
use crate::state::{Action, Edit};
use crate::view::CardView;

#[derive(PartialEq, Properties)]
pub(crate) struct CardSectionProps {
    pub(crate) view: Rc<CardView>,
    /// Whether there are other cards to link to.
    pub(crate) linkable: bool,
    /// The run sheet, for what a result shows beside its numbers.
    pub(crate) document: Rc<Document>,
    /// Where the first-order picture of its results is weak.
    pub(crate) doubts: Doubts,
    pub(crate) act: Callback<Action>,
    pub(crate) pick: Callback<Place>,
    pub(crate) pick_from_table: Callback<Place>,
    pub(crate) go: Callback<String>,
}

#[component]
pub(crate) fn CardSection(props: &CardSectionProps) -> Html {
    let view = &props.view;
    let edit = {
        let act = props.act.clone();
        use_callback(view.card.id.clone(), move |edit: Edit, card| {
            let card = card.clone();
            act.emit(Action::Edit { card, edit });
        })
    };
    let form = Form {
        view: view.clone(),
        linkable: props.linkable,
        edit,
        pick: props.pick.clone(),
        pick_from_table: props.pick_from_table.clone(),
        go: props.go.clone(),
    };
    let another = {
        let (act, go) = (props.act.clone(), props.go.clone());
        let id = view.card.id.clone();
        let new = props.document.sheet.free_id(&view.card.calculator);
        Callback::from(move |()| {
            act.emit(Action::Another(id.clone()));
            go.emit(new.clone());
        })
    };
    let reader = Reader {
        document: props.document.clone(),
        doubts: props.doubts.clone(),
        act: props.act.clone(),
    };
    let calculator = view.card.declaration();
    let inputs = calculator.map_or(&[] as &[_], |calculator| calculator.inputs);
    let fields = inputs
        .iter()
        .filter(|entry| entry.applies(|choice| view.card.chosen(choice)))
        .map(|entry| field_input(&form, entry.field, entry.field.id));
    let general = view.problems.iter().filter(|problem| problem.path.is_empty()).map(|problem| {
        html! { <p class="problem">{ &problem.sentence }<span class="hint">{ &problem.hint }</span></p> }
    });
    let heading = format!("heading-{}", view.card.id);
    html! {
        <section class={classes!("card", view.standing.class())} id={format!("card-{}", view.card.id)}
            tabindex="-1" aria-labelledby={heading.clone()}>
            <h2 class="visually-hidden" id={heading}>{ &view.card.title }</h2>
            { card_head(view, &form.edit, &props.act, another) }
            if let Some(calculator) = calculator {
                <p class="purpose">{ calculator.purpose }</p>
            }
            <div>{ for general }</div>
            <div class="card-body">
                <div class="entries">
                    <h3 key="heading">{ "Entered" }</h3>
                    { for fields }
                </div>
                <div class="found">
                    <h3>{ "Found" }</h3>
                    { results(view, &reader) }
                    { takers(&view.takers, &form.go) }
                    { checks(&view.checks) }
                    if let Some(calculator) = calculator {
                        <Working view={view.clone()} cited={calculator.sources} />
                        { hazards(calculator.hazards) }
                    }
                    { note(&view.card, &form.edit) }
                </div>
            </div>
        </section>
    }
}
