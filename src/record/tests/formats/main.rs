//! The file formats from outside: canonical text, gate, round trip, record.

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod canonical;
mod gate;
mod link;
mod next_batch;
mod parts;
mod random;
mod record;
mod round_trip;
mod schema;

use glasswick_core::calculators::{self, Calculator, Field, FieldKind};

/// The demo run sheet.
const DEMO: &str = include_str!("../../../../demo-data/zinc-oxide-tiles.json");

/// A calculator with a table among its inputs, the table, and a number column of it.
fn with_table() -> (&'static Calculator, &'static Field, &'static Field) {
    let tables = calculators::ALL.iter().flat_map(|calculator| {
        calculator
            .inputs
            .iter()
            .filter_map(move |entry| match entry.field.kind {
                FieldKind::Table { columns } => {
                    let number = columns
                        .iter()
                        .find(|column| column.number_kind().is_some())?;
                    Some((*calculator, entry.field, *number))
                }
                _ => None,
            })
    });
    tables
        .into_iter()
        .next()
        .expect("some calculator takes a table")
}
