//! One entry of a form, made from its declaration.

use std::rc::Rc;

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::sheet::{Input, PointsText, Row, Typed};
use yew::prelude::*;

use super::{CurveInput, QuantityInput, choice_input, label, linked, table_input, tick_input};
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

/// The form an entry stands in.
pub(crate) struct Form {
    pub(crate) view: Rc<CardView>,
    /// Whether there are other cards to link to.
    pub(crate) linkable: bool,
    pub(crate) edit: Callback<Edit>,
    pub(crate) pick: Callback<Place>,
    pub(crate) pick_from_table: Callback<Place>,
    /// Goes to another card.
    pub(crate) go: Callback<String>,
}

impl Form {
    /// Changes the entry at a path.
    fn change(&self, path: &str) -> Callback<Change> {
        change(&self.edit, path)
    }

    /// Asks for a number of another card to stand here.
    fn pick(&self, place: Place) -> Callback<MouseEvent> {
        self.pick.reform(move |_| place.clone())
    }
}

/// Changes the entry at a path.
pub(super) fn change(edit: &Callback<Edit>, path: &str) -> Callback<Change> {
    let path = path.to_owned();
    edit.reform(move |change| Edit::Entry {
        path: path.clone(),
        change,
    })
}

pub(crate) fn field_input(form: &Form, field: &'static Field, path: &str) -> Html {
    let view = &form.view;
    let id = format!("{}.{path}", view.card.id);
    let input = view.card.at(path);
    let place = Place {
        card: view.card.id.clone(),
        path: path.to_owned(),
    };
    let problem = view.problems.iter().find(|problem| problem.path == path);
    let needed = view.awaited.iter().any(|awaited| awaited.path == path);
    let described = format!("{id}-about");
    let measured = matches!(field.kind, FieldKind::Quantity { .. });
    let body = match (&field.kind, input) {
        (FieldKind::Quantity { .. } | FieldKind::Count { .. }, _) => {
            if let (Some(Input::Link(_)), Some(link)) = (input, view.links.get(path)) {
                linked(
                    id,
                    field,
                    link,
                    form.change(path),
                    form.pick(place),
                    &form.go,
                )
            } else {
                let typed = match input {
                    Some(Input::Typed(typed)) => typed.clone(),
                    _ => Typed::default(),
                };
                html! {
                    <QuantityInput {id} {field} {place} {typed} {needed} invalid={problem.is_some()}
                        known={view.known.get(path).cloned()} pieces={view.pieces.clone()}
                        described={described.clone()} linkable={form.linkable} edit={&form.edit}
                        pick={&form.pick} pick_from_table={&form.pick_from_table} />
                }
            }
        }
        (FieldKind::Choice { options }, _) if field.is_tick() => {
            tick_input(id, field, options, &words(input), form.change(path))
        }
        (FieldKind::Choice { options }, _) => {
            choice_input(id, field, options, &words(input), form.change(path))
        }
        (FieldKind::Text, _) => {
            let change = form.change(path);
            let oninput = Callback::from(move |event: InputEvent| {
                change.emit(Change::Words(dom::value(&event)))
            });
            html! {
                <>
                    { label(field, id.clone(), needed) }
                    <input {id} type="text" autocomplete="off" value={words(input)} {oninput} />
                </>
            }
        }
        (FieldKind::Table { columns }, input) => {
            let rows: &[Row] = match input {
                Some(Input::Rows(rows)) => rows,
                _ => &[],
            };
            table_input(form, field, columns, rows)
        }
        (FieldKind::Curve { x, y }, input) => {
            let points = match input {
                Some(Input::Points(points)) => points.clone(),
                _ => PointsText::default(),
            };
            html! {
                <CurveInput {id} {field} {x} {y} {points} {needed} invalid={problem.is_some()}
                    described={described.clone()} {place} edit={&form.edit} />
            }
        }
    };
    html! {
        <div key={path.to_owned()} class={classes!("field", measured.then_some("measured"), problem.map(|_| "invalid"))}>
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
