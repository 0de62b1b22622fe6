//! What was entered on a card, as typed.

use glasswick_core::calculators::{Calculator, Field, FieldKind};
use glasswick_core::sheet::{Card, Input, Row};
use yew::prelude::*;

use super::blocks::{aside, columns, facts, part, words};
use super::entry_words::{self, Words};
use crate::components::titled;
use crate::view::{CardView, numbered};

pub(super) fn entries(view: &CardView) -> Html {
    let Some(calculator) = view.card.declaration() else {
        return unknown(&view.card);
    };
    let single = fields(calculator, &view.card)
        .filter_map(|field| Some([name(field), cell(entry(view, field, field.id)?)]));
    let tables = fields(calculator, &view.card).filter_map(|field| match field.kind {
        FieldKind::Table { columns } => table(view, field, columns),
        _ => None,
    });
    html! {
        <>
            { part("Entered", facts(single.collect())) }
            { for tables }
        </>
    }
}

/// The fields that apply under what was chosen, in the order of the form.
fn fields<'a>(
    calculator: &'static Calculator,
    card: &'a Card,
) -> impl Iterator<Item = &'static Field> + 'a {
    calculator
        .inputs
        .iter()
        .filter(|entry| entry.applies(|choice| card.chosen(choice)))
        .map(|entry| entry.field)
}

/// A field's title with its symbol.
pub(super) fn name(field: &'static Field) -> Html {
    titled(field.title, field)
}

fn cell(words: Words) -> Html {
    html! { <><span class="typed">{ words.entry }</span>{ " " }{ aside(words.about.join("; ")) }</> }
}

/// A table with more columns than this would be letters above each other on paper.
const COLUMNS: usize = 6;

fn table(view: &CardView, field: &'static Field, shown: &'static [&'static Field]) -> Option<Html> {
    let Some(Input::Rows(rows)) = view.card.at(field.id) else {
        return None;
    };
    if shown.len() > COLUMNS {
        let row = |(position, row): (usize, &Row)| row_by_row(view, field, shown, position, row);
        return Some(rows.iter().enumerate().map(row).collect());
    }
    let row = |(position, row): (usize, &Row)| {
        let cells = shown.iter().map(|column| {
            let path = format!("{}.{}.{}", field.id, row.id, column.id);
            cell(entry(view, column, &path).unwrap_or_default())
        });
        let number = words((position + 1).to_string());
        core::iter::once(number).chain(cells).collect()
    };
    let heads = core::iter::once(words("Row")).chain(shown.iter().copied().map(name));
    let rows = rows.iter().enumerate().map(row).collect();
    Some(columns("", field.title, heads.collect(), rows))
}

/// A row of a table as names and entries, without what is empty.
fn row_by_row(
    view: &CardView,
    field: &'static Field,
    shown: &'static [&'static Field],
    position: usize,
    row: &Row,
) -> Html {
    let entered = shown.iter().copied().filter_map(|column| {
        let path = format!("{}.{}.{}", field.id, row.id, column.id);
        let entry = entry(view, column, &path)?;
        (!entry.entry.is_empty()).then(|| [name(column), cell(entry)])
    });
    let facts = facts(entered.collect());
    let title = numbered(field.title, shown, row, position);
    html! { <div class="part"><h4>{ title }</h4>{ facts }</div> }
}

/// The entry at a path; nothing where there is none.
fn entry(view: &CardView, field: &Field, path: &str) -> Option<Words> {
    match view.card.at(path)? {
        Input::Typed(typed) => entry_words::typed(field, typed, view.known.get(path)),
        Input::Link(address) => {
            let link = view.links.get(path);
            let (entry, from) = link.map_or_else(
                || ("not there yet".into(), address.to_string()),
                |link| {
                    let from = format!("“{}” · {}", link.card_title, link.output);
                    (link.shown.clone(), from)
                },
            );
            Some(Words {
                entry,
                about: vec![format!("from {from}")],
            })
        }
        input => entry_words::words(field, input),
    }
}

/// The entries of a card whose calculator this version does not know, under their identifiers.
fn unknown(card: &Card) -> Html {
    let entry = |(id, input): (&String, &Input)| {
        let said = match input {
            Input::Typed(typed) => [&*typed.text, &*typed.unit, "±", &*typed.plus_minus].join(" "),
            Input::Text(text) => text.clone(),
            Input::Link(address) => format!("from {address}"),
            Input::Rows(rows) => format!("{} rows", rows.len()),
            Input::Points(points) => format!("{} lines of points", points.text.lines().count()),
        };
        [words(id.clone()), words(said)]
    };
    let sentence = format!(
        "This version does not know the calculator “{}”. The exported record holds its entries in full.",
        card.calculator
    );
    html! {
        <>
            <p>{ sentence }</p>
            { part("Entered", facts(card.inputs.iter().map(entry).collect())) }
        </>
    }
}
