//! Rows of entries. Rows are told apart by identifier, never by place. A row with many entries is folded, with its name
//! and its first words and numbers in sight, and its tick beside them: so folded, an ink's components are the list to weigh out from.

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::sheet::{Input, Row};
use yew::prelude::*;

use super::{Fold, Form, field_input};
use crate::state::Edit;
use crate::view::{numbered, row_name};

/// A row with more entries than this is folded.
const FEW: usize = 5;
/// So many of its words and numbers are shown while it is folded.
const SHOWN: usize = 3;

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
    let folds = columns.len() > FEW;
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
        let name = numbered("Row", columns, row, position);
        let cell = |column: &&'static Field| {
            field_input(form, column, &format!("{table}.{}.{}", row.id, column.id))
        };
        let ticks = columns.iter().filter(|column| folds && column.is_tick());
        let others = columns.iter().filter(|column| !(folds && column.is_tick()));
        let cells = html! { <div class="cells">{ for others.map(cell) }</div> };
        let remove = html! {
            <button type="button" class="quiet" aria-label={format!("Remove {name}")} onclick={remove}>{ "Remove" }</button>
        };
        html! {
            <li key={row.id.clone()}>
              <div class="row" role="group" aria-label={name.clone()}>
                if folds {
                    <div class="row-head">{ for ticks.map(cell) }{ remove }</div>
                    <Fold {name} about={at_a_glance(form, table, columns, row)} open={is_new(columns, row)} needed={asks(form, table, row)}>
                        { cells }
                    </Fold>
                } else {
                    <div class="row-head"><span class="row-name">{ name }</span>{ remove }</div>
                    { cells }
                }
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

/// The first words and numbers of a row after its name.
fn at_a_glance(form: &Form, table: &str, columns: &[&Field], row: &Row) -> String {
    let name = row_name(columns, row);
    let words = |column: &&Field| match row.cells.get(column.id)? {
        Input::Typed(typed) if !typed.text.trim().is_empty() => {
            let kind = column.number_kind()?;
            let unit = glasswick_core::quantity::unit(kind, &typed.unit);
            let after = unit.map_or_else(String::new, |unit| unit.after_number());
            Some(format!("{}{after}", typed.text.trim()))
        }
        Input::Link(_) => {
            let path = format!("{table}.{}.{}", row.id, column.id);
            Some(form.view.links.get(&path)?.shown.clone())
        }
        Input::Text(text) if matches!(column.kind, FieldKind::Text) => {
            let text = text.trim();
            let is_name = name.as_deref().is_some_and(|name| name.trim() == text);
            (!text.is_empty() && !is_name).then(|| text.to_owned())
        }
        _ => None,
    };
    let first: Vec<String> = columns.iter().filter_map(words).take(SHOWN).collect();
    first.join(" · ")
}

/// Whether nothing is typed in a row but what it started with.
fn is_new(columns: &[&Field], row: &Row) -> bool {
    row_name(columns, row).is_none()
        && columns.iter().all(|column| match row.cells.get(column.id) {
            Some(Input::Typed(typed)) => typed.text.is_empty() || typed.text == column.initial,
            Some(Input::Link(_)) => false,
            _ => true,
        })
}

/// Whether something in a row cannot be.
fn asks(form: &Form, table: &str, row: &Row) -> bool {
    let inside = format!("{table}.{}.", row.id);
    let problems = &form.view.problems;
    problems
        .iter()
        .any(|problem| problem.path.starts_with(&inside))
}
