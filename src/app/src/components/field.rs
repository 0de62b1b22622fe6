//! One entry of a form, made from its declaration.

use std::rc::Rc;

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::sheet::{Input, PointsText, Row, Typed};
use yew::prelude::*;

use super::choice::Options;
use super::{ChoiceInput, CurveInput, Label, Linked, QuantityInput, TableInput};
use crate::dom;
use crate::state::{Change, Edit};
use crate::view::CardView;

/// An entry on the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Place {
    /// The card.
    pub(crate) card: String,
    /// The entry as `field` or `table.row.column`.
    pub(crate) path: String,
}

#[derive(PartialEq, Properties)]
pub(crate) struct FieldInputProps {
    pub(crate) view: Rc<CardView>,
    pub(crate) field: &'static Field,
    pub(crate) path: String,
    pub(crate) linkable: bool,
    pub(crate) edit: Callback<Edit>,
    pub(crate) pick: Callback<Place>,
}

#[component]
pub(crate) fn FieldInput(props: &FieldInputProps) -> Html {
    let FieldInputProps {
        view, field, path, ..
    } = props;
    let id = format!("{}.{path}", view.card.id);
    let input = view.card.at(path);
    let change = {
        let (edit, path) = (props.edit.clone(), path.clone());
        Callback::from(move |change: Change| {
            edit.emit(Edit::Entry {
                path: path.clone(),
                change,
            })
        })
    };
    let problem = view.problems.iter().find(|problem| problem.path == *path);
    let needed = view.awaited.iter().any(|awaited| awaited.path == *path);
    let described = format!("{id}-about");
    let measured = matches!(field.kind, FieldKind::Quantity { .. });
    let body = match (&field.kind, input) {
        (FieldKind::Quantity { .. } | FieldKind::Count { .. }, _) => {
            let pick = {
                let (pick, place) = (
                    props.pick.clone(),
                    Place {
                        card: view.card.id.clone(),
                        path: path.clone(),
                    },
                );
                Callback::from(move |()| pick.emit(place.clone()))
            };
            if let (Some(Input::Link(_)), Some(link)) = (input, view.links.get(path)) {
                html! { <Linked {id} {field} link={link.clone()} {change} {pick} /> }
            } else {
                let typed = match input {
                    Some(Input::Typed(typed)) => typed.clone(),
                    _ => Typed::default(),
                };
                html! {
                    <QuantityInput {id} {field} {typed} {needed} invalid={problem.is_some()}
                        described={described.clone()} linkable={props.linkable} {change} {pick} />
                }
            }
        }
        (FieldKind::Choice { options }, _) => {
            html! { <ChoiceInput {id} {field} options={Options(options)} chosen={words(input)} {change} /> }
        }
        (FieldKind::Text, _) => {
            let oninput = Callback::from(move |event: InputEvent| {
                change.emit(Change::Words(dom::value(&event)))
            });
            html! {
                <>
                    <Label {field} target={id.clone()} {needed} />
                    <input {id} type="text" autocomplete="off" value={words(input)} {oninput} />
                </>
            }
        }
        (FieldKind::Table { columns }, input) => {
            let rows: Vec<Row> = match input {
                Some(Input::Rows(rows)) => rows.clone(),
                _ => Vec::new(),
            };
            html! {
                <TableInput view={view} {field} columns={*columns} {rows} linkable={props.linkable}
                    edit={&props.edit} pick={&props.pick} />
            }
        }
        (FieldKind::Curve { x, y }, input) => {
            let points = match input {
                Some(Input::Points(points)) => points.clone(),
                _ => PointsText::default(),
            };
            html! {
                <CurveInput {id} {field} {x} {y} {points} {needed} invalid={problem.is_some()}
                    described={described.clone()} {change} />
            }
        }
    };
    html! {
        <div class={classes!("field", measured.then_some("measured"), problem.map(|_| "invalid"))}>
            { body }
            <div class="about" id={described}>
                if !field.help.is_empty() {
                    <p class="help">{ field.help }</p>
                }
                if let Some(problem) = problem {
                    <p class="problem" key={problem.sentence.clone()}>
                        { &problem.sentence }<span class="hint">{ &problem.hint }</span>
                    </p>
                }
            </div>
        </div>
    }
}

fn words(input: Option<&Input>) -> String {
    match input {
        Some(Input::Text(text)) => text.clone(),
        _ => String::new(),
    }
}
