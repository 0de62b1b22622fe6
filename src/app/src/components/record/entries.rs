//! What was entered on a card, as typed.

use glasswick_core::calculators::{Calculator, Field, FieldKind};
use glasswick_core::sheet::{Card, CardResult, Evaluation, Input, Row, Taken};
use yew::prelude::*;

use super::entry_words::{self, Words};
use crate::components::symbol;
use crate::view::CardView;

/// A card with how its entries were read.
#[derive(Clone, Copy)]
struct Entered<'a> {
    view: &'a CardView,
    result: Option<&'a CardResult>,
    evaluation: &'a Evaluation,
}

pub(super) fn entries(view: &CardView, evaluation: &Evaluation) -> Html {
    let entered = Entered {
        view,
        result: evaluation.cards.get(view.position),
        evaluation,
    };
    let Some(calculator) = view.card.declaration() else {
        return unknown(&view.card);
    };
    let single = fields(calculator, &view.card)
        .filter_map(|field| Some(row(field, entered.words(field, field.id)?)))
        .collect::<Vec<_>>();
    let tables = fields(calculator, &view.card).filter_map(|field| match field.kind {
        FieldKind::Table { columns } => table(entered, field, columns),
        _ => None,
    });
    html! {
        <div class="part">
            <h4>{ "Entered" }</h4>
            if !single.is_empty() {
                <table class="facts"><tbody>{ for single }</tbody></table>
            }
            { for tables }
        </div>
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

fn row(field: &'static Field, words: Words) -> Html {
    html! { <tr><th scope="row">{ name(field) }</th><td>{ cell(words) }</td></tr> }
}

/// A field's title with its symbol.
pub(super) fn name(field: &'static Field) -> Html {
    html! {
        <>
            { field.title }
            if !field.symbol.is_empty() {
                <span class="symbol">{ symbol(field.symbol) }</span>
            }
        </>
    }
}

fn cell(words: Words) -> Html {
    html! {
        <>
            <span class="entry">{ words.entry }</span>
            if !words.about.is_empty() {
                <span class="entry-about">{ words.about.join("; ") }</span>
            }
        </>
    }
}

fn table(
    entered: Entered<'_>,
    field: &'static Field,
    columns: &'static [&'static Field],
) -> Option<Html> {
    let Some(Input::Rows(rows)) = entered.view.card.at(field.id) else {
        return None;
    };
    let row = |(position, row): (usize, &Row)| {
        let cells = columns.iter().map(|column| {
            let words = entered.words(column, &format!("{}.{}.{}", field.id, row.id, column.id));
            html! { <td>{ cell(words.unwrap_or_default()) }</td> }
        });
        html! { <tr><th scope="row">{ position + 1 }</th>{ for cells }</tr> }
    };
    let heads = columns
        .iter()
        .map(|column| html! { <th scope="col">{ name(column) }</th> });
    Some(html! {
        <div class="scroll" role="group" tabindex="0" aria-label={field.title}>
            <table class="columns">
                <caption>{ field.title }</caption>
                <thead><tr><th scope="col">{ "Row" }</th>{ for heads }</tr></thead>
                <tbody>{ for rows.iter().enumerate().map(row) }</tbody>
            </table>
        </div>
    })
}

impl Entered<'_> {
    /// The entry at a path; nothing where there is none.
    fn words(self, field: &Field, path: &str) -> Option<Words> {
        match self.view.card.at(path)? {
            Input::Typed(typed) => entry_words::typed(field, typed, self.uncertainty(path)),
            Input::Link(address) => {
                let link = self.view.links.get(path);
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

    /// The standard uncertainty of a typed number, in SI.
    fn uncertainty(self, path: &str) -> Option<f64> {
        let reading = self.result?.readings.iter().find(|r| r.path == path)?;
        match reading.origin {
            Taken::Typed(leaf) => Some(self.evaluation.leaves.get(leaf)?.uncertainty),
            Taken::Linked(_) => None,
        }
    }
}

/// The entries of a card whose calculator this version does not know, under their identifiers.
fn unknown(card: &Card) -> Html {
    let entry = |(id, input): (&String, &Input)| {
        let words = match input {
            Input::Typed(typed) => [&typed.text, &typed.unit, &typed.plus_minus]
                .map(String::as_str)
                .join(" "),
            Input::Text(text) => text.clone(),
            Input::Link(address) => format!("from {address}"),
            Input::Rows(rows) => format!("{} rows", rows.len()),
            Input::Points(points) => format!("{} lines of points", points.text.lines().count()),
        };
        html! { <tr><th scope="row">{ id }</th><td>{ words }</td></tr> }
    };
    html! {
        <div class="part">
            <h4>{ "Entered" }</h4>
            <p>{ format!("This version does not know the calculator “{}”; the exported record holds its entries in full.", card.calculator) }</p>
            <table class="facts"><tbody>{ for card.inputs.iter().map(entry) }</tbody></table>
        </div>
    }
}
