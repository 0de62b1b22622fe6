//! The next batch: constants stay, measurements clear.

use super::{Card, Input, PointsText, Row, Typed, initial};
use crate::calculators::{Field, FieldKind};

impl Card {
    /// Empties what was measured on one batch, as the calculator declares it. Units, what a `±` means and links stay.
    pub fn clear_measured(&mut self) {
        let Some(calculator) = self.declaration() else {
            return;
        };
        for entry in calculator.inputs {
            let field = entry.field;
            if let Some(input) = self.inputs.get_mut(field.id) {
                clear(field, input);
            }
        }
    }
}

fn clear(field: &Field, input: &mut Input) {
    match (&field.kind, input) {
        (FieldKind::Table { columns }, Input::Rows(rows)) => clear_rows(columns, rows),
        (_, input) if field.measured => match input {
            Input::Typed(typed) => empty_number(typed),
            // A choice goes back to what a new row starts with; words go.
            Input::Text(text) if matches!(field.kind, FieldKind::Choice { .. }) => {
                field.initial.clone_into(text);
            }
            Input::Text(text) => text.clear(),
            // The next text is likely to be laid out alike; what was chosen in this one goes with it,
            // and so do leads that were swapped.
            Input::Points(PointsText {
                text, corrections, ..
            }) => {
                text.clear();
                corrections.x_sign = None;
                corrections.y_sign = None;
                corrections.sweep = None;
                corrections.first_line = None;
                corrections.last_line = None;
            }
            Input::Link(_) | Input::Rows(_) => {}
        },
        _ => {}
    }
}

fn empty_number(typed: &mut Typed) {
    typed.text.clear();
    typed.plus_minus.clear();
    typed.source.clear();
}

/// A row of measurements only goes with its batch, unless a link is in it; of all rows that go, one is left to be
/// filled in.
fn clear_rows(columns: &[&'static Field], rows: &mut Vec<Row>) {
    for row in rows.iter_mut() {
        for column in columns {
            if let Some(cell) = row.cells.get_mut(column.id) {
                clear(column, cell);
            }
        }
    }
    if columns.iter().all(|column| column.measured) {
        let linked = |row: &Row| {
            row.cells
                .values()
                .any(|cell| matches!(cell, Input::Link(_)))
        };
        let first = rows.first().cloned();
        rows.retain(linked);
        if let Some(mut row) = first.filter(|_| rows.is_empty()) {
            for column in columns {
                if let Some(usual) = initial(column) {
                    row.cells.insert(column.id.into(), usual);
                }
            }
            rows.push(row);
        }
    }
}
