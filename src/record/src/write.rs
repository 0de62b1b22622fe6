//! From the live document to the run-sheet file. Empty texts are left out; what is known comes first, in reading
//! order, then what was kept of unknown fields.

use glasswick_core::calculators::{Calculator, Field, FieldKind};
use glasswick_core::points::Corrections;
use glasswick_core::sheet::{Card, Input, PointsText, Row, Typed};
use glasswick_core::uncertainty::{Distribution, Meaning, WareUse, Weighing};
use serde_json::Value;

use crate::document::{About, Document, Fields, Instrument, Lot, Room, Unknown, within};
use crate::trials::all_json;
use crate::{FORMAT, FORMAT_VERSION};

/// The run-sheet file as a JSON value.
#[must_use]
pub fn run_sheet_json(document: &Document) -> Value {
    let mut root = Fields::new();
    root.insert("format".into(), FORMAT.into());
    root.insert("format_version".into(), FORMAT_VERSION.into());
    put_object(&mut root, "about", about(&document.about));
    let cards = &document.sheet.cards;
    put_list(
        &mut root,
        "cards",
        cards.iter().map(|c| card(c, &document.unknown)),
    );
    let mut display = document.display.json();
    merge(&mut display, document.unknown.at("display"));
    put_object(&mut root, "display", display);
    let mut trials = all_json(&document.trials);
    merge(&mut trials, document.unknown.at("monte_carlo"));
    put_object(&mut root, "monte_carlo", trials);
    merge(&mut root, document.unknown.at(""));
    root.entry("cards")
        .or_insert_with(|| Value::Array(Vec::new()));
    Value::Object(root)
}

/// The run-sheet file: indented JSON with a line end at its end.
#[must_use]
pub fn run_sheet_text(document: &Document) -> String {
    text(&run_sheet_json(document))
}

/// A JSON value as files hold it: indented, with a line end at its end.
#[must_use]
pub fn text(value: &Value) -> String {
    format!("{value:#}\n")
}

fn about(about: &About) -> Fields {
    let mut fields = texts(&[
        ("title", &about.title),
        ("operator", &about.operator),
        ("date", &about.date),
        ("run", &about.run),
        ("substrate", &about.substrate),
        ("cells", &about.cells),
    ]);
    put_list(&mut fields, "lots", about.lots.iter().map(lot));
    put_list(
        &mut fields,
        "instruments",
        about.instruments.iter().map(instrument),
    );
    put_object(&mut fields, "room", room(&about.room));
    put_text(&mut fields, "note", &about.note);
    merge(&mut fields, Some(&about.unknown));
    fields
}

fn lot(lot: &Lot) -> Fields {
    let mut fields = texts(&[
        ("name", &lot.name),
        ("lot", &lot.lot),
        ("expiry", &lot.expiry),
    ]);
    merge(&mut fields, Some(&lot.unknown));
    fields
}

fn instrument(instrument: &Instrument) -> Fields {
    let mut fields = texts(&[
        ("name", &instrument.name),
        ("identifier", &instrument.identifier),
        ("calibration", &instrument.calibration),
    ]);
    merge(&mut fields, Some(&instrument.unknown));
    fields
}

fn room(room: &Room) -> Fields {
    let mut fields = texts(&[
        ("temperature", &room.temperature),
        ("humidity", &room.humidity),
        ("note", &room.note),
    ]);
    merge(&mut fields, Some(&room.unknown));
    fields
}

fn card(card: &Card, unknown: &Unknown) -> Fields {
    let place = within("cards", &card.id);
    let calculator = card.declaration();
    let mut fields = Fields::new();
    fields.insert("id".into(), card.id.as_str().into());
    put_text(&mut fields, "calculator", &card.calculator);
    put_text(&mut fields, "title", &card.title);
    put_object(
        &mut fields,
        "inputs",
        inputs(card, calculator, unknown, &within(&place, "inputs")),
    );
    put_text(&mut fields, "note", &card.note);
    merge(&mut fields, unknown.at(&place));
    fields
        .entry("inputs")
        .or_insert_with(|| Value::Object(Fields::new()));
    fields
}

fn inputs(
    card: &Card,
    calculator: Option<&'static Calculator>,
    unknown: &Unknown,
    place: &str,
) -> Fields {
    let mut fields = Fields::new();
    for (id, entered) in &card.inputs {
        let field = calculator.and_then(|calculator| calculator.input(id));
        let written = input(field, entered, unknown, &within(place, id));
        fields.insert(id.clone(), Value::Object(written));
    }
    merge(&mut fields, unknown.at(place));
    fields
}

fn input(field: Option<&Field>, input: &Input, unknown: &Unknown, place: &str) -> Fields {
    let mut fields = Fields::new();
    match input {
        Input::Typed(typed) => fields = typed_json(typed, unknown, place),
        Input::Text(text) => {
            let chosen = field.is_some_and(|f| matches!(f.kind, FieldKind::Choice { .. }));
            let key = if chosen { "choice" } else { "text" };
            fields.insert(key.into(), text.as_str().into());
        }
        Input::Link(address) => {
            fields.insert("from".into(), address.to_string().into());
        }
        Input::Rows(rows) => {
            let columns = match field.map(|f| &f.kind) {
                Some(FieldKind::Table { columns }) => columns,
                _ => &[][..],
            };
            let rows = rows
                .iter()
                .map(|r| Value::Object(row(columns, r, unknown, place)));
            fields.insert("rows".into(), rows.collect());
        }
        Input::Points(points) => {
            let written = points_json(points, unknown, &within(place, "points"));
            fields.insert("points".into(), Value::Object(written));
        }
    }
    merge(&mut fields, unknown.at(place));
    fields
}

fn typed_json(typed: &Typed, unknown: &Unknown, place: &str) -> Fields {
    let mut fields = Fields::new();
    fields.insert("text".into(), typed.text.as_str().into());
    put_text(&mut fields, "unit", &typed.unit);
    let mut uncertainty = Fields::new();
    if *typed != plain(typed) {
        uncertainty.insert("text".into(), typed.plus_minus.as_str().into());
        put_meaning(&mut uncertainty, &typed.meaning, unknown, place);
        put_text(&mut uncertainty, "degrees_of_freedom", &typed.freedom);
    }
    merge(&mut uncertainty, unknown.at(&within(place, "uncertainty")));
    put_object(&mut fields, "uncertainty", uncertainty);
    put_text(&mut fields, "source", &typed.source);
    fields
}

/// The same number without anything about how well it is known.
fn plain(typed: &Typed) -> Typed {
    Typed {
        text: typed.text.clone(),
        unit: typed.unit.clone(),
        source: typed.source.clone(),
        ..Typed::default()
    }
}

/// The word of the file for what a `±` means.
pub(crate) fn meaning_word(meaning: &Meaning) -> &'static str {
    match meaning {
        Meaning::Standard => "standard",
        Meaning::Limit(shape) => shape.word(),
        Meaning::Expanded { .. } => "expanded",
        Meaning::Repeats => "repeats",
        Meaning::Ware(_) => "ware",
        Meaning::Weighing(_) => "weighing",
    }
}

/// The number that goes with the word, and its key.
pub(crate) fn meaning_number(meaning: &Meaning) -> Option<(&'static str, f64)> {
    match meaning {
        Meaning::Expanded { coverage_factor } => Some(("k", *coverage_factor)),
        Meaning::Limit(Distribution::Trapezoidal { top }) => Some(("top", *top)),
        _ => None,
    }
}

fn put_meaning(fields: &mut Fields, meaning: &Meaning, unknown: &Unknown, place: &str) {
    let word = meaning_word(meaning);
    fields.insert("meaning".into(), word.into());
    if let Some((key, number)) = meaning_number(meaning) {
        fields.insert(key.into(), number.into());
    }
    let mut stated = match meaning {
        Meaning::Ware(ware) => ware_json(ware),
        Meaning::Weighing(weighing) => weighing_json(weighing),
        _ => return,
    };
    merge(&mut stated, unknown.at(&stated_place(place, word)));
    fields.insert(word.into(), Value::Object(stated));
}

/// The place of what is stated about a piece of ware or a balance.
pub(crate) fn stated_place(place: &str, word: &str) -> String {
    within(&within(place, "uncertainty"), word)
}

fn ware_json(ware: &WareUse) -> Fields {
    let mut fields = texts(&[("item", &ware.item), ("piece", &ware.piece)]);
    fields.insert("shape".into(), ware.shape.word().into());
    for (key, text) in [
        ("repeatability", &ware.repeatability),
        ("temperature", &ware.temperature),
        ("liquid", &ware.liquid),
        ("glass", &ware.glass),
    ] {
        put_text(&mut fields, key, text);
    }
    fields
}

fn weighing_json(weighing: &Weighing) -> Fields {
    let mut fields = texts(&[
        ("readability", &weighing.readability),
        ("linearity", &weighing.linearity),
        ("repeatability", &weighing.repeatability),
    ]);
    fields.insert("tare".into(), weighing.tare.into());
    put_text(&mut fields, "density", &weighing.density);
    put_text(&mut fields, "air", &weighing.air);
    fields
}

fn row(columns: &[&'static Field], row: &Row, unknown: &Unknown, table: &str) -> Fields {
    let place = within(table, &row.id);
    let inside = within(&place, "cells");
    let mut cells = Fields::new();
    for (id, entered) in &row.cells {
        let column = columns.iter().copied().find(|column| column.id == id);
        let written = input(column, entered, unknown, &within(&inside, id));
        cells.insert(id.clone(), Value::Object(written));
    }
    merge(&mut cells, unknown.at(&inside));
    let mut fields = Fields::new();
    fields.insert("id".into(), row.id.as_str().into());
    put_object(&mut fields, "cells", cells);
    merge(&mut fields, unknown.at(&place));
    fields
        .entry("cells")
        .or_insert_with(|| Value::Object(Fields::new()));
    fields
}

fn points_json(points: &PointsText, unknown: &Unknown, place: &str) -> Fields {
    let mut fields = Fields::new();
    fields.insert("text".into(), points.text.as_str().into());
    put_text(&mut fields, "x_unit", &points.x_unit);
    put_text(&mut fields, "y_unit", &points.y_unit);
    let mut corrections = corrections_json(&points.corrections);
    merge(&mut corrections, unknown.at(&within(place, "corrections")));
    put_object(&mut fields, "corrections", corrections);
    merge(&mut fields, unknown.at(place));
    fields
}

fn corrections_json(corrections: &Corrections) -> Fields {
    let Corrections {
        delimiter,
        decimal,
        x_column,
        y_column,
        x_unit,
        y_unit,
        x_sign,
        y_sign,
        sweep,
        illumination,
        first_line,
        last_line,
    } = *corrections;
    let mut fields = Fields::new();
    let mut put = |key: &str, value: Option<Value>| {
        if let Some(value) = value {
            fields.insert(key.into(), value);
        }
    };
    put("delimiter", delimiter.map(|one| one.word().into()));
    put("decimal", decimal.map(|one| one.word().into()));
    put("x_column", x_column.map(Value::from));
    put("y_column", y_column.map(Value::from));
    put("x_unit", x_unit.map(|one| one.word().into()));
    put("y_unit", y_unit.map(|one| one.word().into()));
    put("x_sign", x_sign.map(|one| one.word().into()));
    put("y_sign", y_sign.map(|one| one.word().into()));
    put("sweep", sweep.map(Value::from));
    put("illumination", illumination.map(|one| one.word().into()));
    put("first_line", first_line.map(Value::from));
    put("last_line", last_line.map(Value::from));
    fields
}

fn texts(pairs: &[(&str, &str)]) -> Fields {
    let mut fields = Fields::new();
    for (key, text) in pairs {
        put_text(&mut fields, key, text);
    }
    fields
}

fn put_text(fields: &mut Fields, key: &str, text: &str) {
    if !text.is_empty() {
        fields.insert(key.into(), text.into());
    }
}

fn put_object(fields: &mut Fields, key: &str, object: Fields) {
    if !object.is_empty() {
        fields.insert(key.into(), Value::Object(object));
    }
}

fn put_list(fields: &mut Fields, key: &str, items: impl Iterator<Item = Fields>) {
    let items: Vec<Value> = items.map(Value::Object).collect();
    if !items.is_empty() {
        fields.insert(key.into(), Value::Array(items));
    }
}

/// Adds what was kept; what is known now wins.
fn merge(fields: &mut Fields, kept: Option<&Fields>) {
    for (key, value) in kept.into_iter().flatten() {
        if !fields.contains_key(key) {
            fields.insert(key.clone(), value.clone());
        }
    }
}
