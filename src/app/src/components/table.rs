//! Rows of entries. Rows are told apart by identifier, never by place.

use glasswick_core::calculators::Field;
use glasswick_core::sheet::Row;
use yew::prelude::*;

use super::{Form, field_input};
use crate::state::Edit;
use crate::view::row_name;

pub(crate) fn table_input(
    form: &Form,
    field: &'static Field,
    columns: &'static [&'static Field],
    rows: &[Row],
) -> Html {
    let table = field.id;
    let add = {
        let edit = form.edit.clone();
        Callback::from(move |_: MouseEvent| {
            edit.emit(Edit::AddRow {
                table: table.into(),
            })
        })
    };
    let row = |(position, row): (usize, &Row)| {
        let remove = {
            let (edit, id) = (form.edit.clone(), row.id.clone());
            Callback::from(move |_: MouseEvent| {
                edit.emit(Edit::RemoveRow {
                    table: table.into(),
                    row: id.clone(),
                });
            })
        };
        let cells = columns
            .iter()
            .map(|column| field_input(form, column, &format!("{table}.{}.{}", row.id, column.id)));
        let called = row_name(columns, rows, position);
        let number = format!("row {}", position + 1);
        let name = if called == number {
            format!("Row {}", position + 1)
        } else {
            format!("Row {}: {called}", position + 1)
        };
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
            <legend>{ field.title }</legend>
            <ol class="rows">{ for rows.iter().enumerate().map(row) }</ol>
            <button type="button" onclick={add}>{ "Add a row" }</button>
        </fieldset>
    }
}
