//! Rows of entries. Rows are told apart by identifier, never by place.

use std::rc::Rc;

use glasswick_core::calculators::Field;
use glasswick_core::sheet::Row;
use yew::prelude::*;

use super::{FieldInput, Place};
use crate::state::Edit;
use crate::view::CardView;

#[derive(PartialEq, Properties)]
pub(crate) struct TableInputProps {
    pub(crate) view: Rc<CardView>,
    pub(crate) field: &'static Field,
    pub(crate) columns: &'static [&'static Field],
    pub(crate) rows: Vec<Row>,
    pub(crate) linkable: bool,
    pub(crate) edit: Callback<Edit>,
    pub(crate) pick: Callback<Place>,
}

#[component]
pub(crate) fn TableInput(props: &TableInputProps) -> Html {
    let table = props.field.id;
    let add = {
        let edit = props.edit.clone();
        Callback::from(move |_: MouseEvent| {
            edit.emit(Edit::AddRow {
                table: table.into(),
            })
        })
    };
    let row = |(position, row): (usize, &Row)| {
        let remove = {
            let (edit, id) = (props.edit.clone(), row.id.clone());
            Callback::from(move |_: MouseEvent| {
                edit.emit(Edit::RemoveRow {
                    table: table.into(),
                    row: id.clone(),
                });
            })
        };
        let cells = props.columns.iter().map(|column| {
            html! {
                <FieldInput key={column.id} view={&props.view} field={*column}
                    path={format!("{table}.{}.{}", row.id, column.id)} linkable={props.linkable}
                    edit={&props.edit} pick={&props.pick} />
            }
        });
        let name = format!("Row {}", position + 1);
        html! {
            <li key={row.id.clone()}>
              <div class="row" role="group" aria-label={name.clone()}>
                <div class="row-head">
                    <span class="row-name">{ &name }</span>
                    <button type="button" class="quiet" aria-label={format!("Remove {name}")} onclick={remove}>{ "Remove" }</button>
                </div>
                <div class="cells">{ for cells }</div>
              </div>
            </li>
        }
    };
    html! {
        <fieldset class="table">
            <legend>{ props.field.title }</legend>
            <ol class="rows">{ for props.rows.iter().enumerate().map(row) }</ol>
            <button type="button" onclick={add}>{ "Add a row" }</button>
        </fieldset>
    }
}
