//! The state of a share link: a run sheet as text for the fragment of an address. Its version comes first.
//!
//! Where the run sheet is short the text is readable: `1r?` and pairs, as in
//! `1r?.title=Dye&a=dilution~Dye+bath&a.find=target&a.stock=5.00~mmol/L~0.05~standard&b.target=@a.target&end`.
//!
//! | key | value |
//! | --- | --- |
//! | `.title`, `.date`, `.room.humidity`, … | a text about the run sheet |
//! | `.lot`, `.instrument` | `name~lot~expiry`, `name~identifier~calibration`; once for each |
//! | `card` | `calculator~title~note` |
//! | `card.field` | `number~unit~uncertainty~meaning~k~freedom~source` (k: or the top of a trapezoid), `@card.output`, an option, a text, or `points~unit~unit` |
//! | `card.table.row.column` | the same for a cell; `card.table.row` alone for a row without cells |
//! | `end` | nothing; without it the link was cut off somewhere |
//!
//! Values are percent-encoded with `+` for a space, parts at the end that are empty are left out. Else the text is
//! `1z` and base64url of deflated JSON; browsers deflate and inflate themselves, so that only bytes pass here.

use core::fmt;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD as BASE64;
use glasswick_core::calculators::{self, Field, FieldKind};
use glasswick_core::quantity::shortest;
use glasswick_core::sheet::{Card, Input, Row, Typed};
use glasswick_core::uncertainty::Meaning;
use serde_json::Value;

use crate::document::{Document, Fields};
use crate::error::RestoreError;
use crate::read::{MOST_BYTES, Restored, restore, run_sheet};
use crate::write::{meaning_number, meaning_word, run_sheet_json};
use crate::{FORMAT, FORMAT_VERSION};

/// Version of the form of links.
const VERSION: u32 = 1;

/// Longer texts are packed: beyond this nobody reads them, and deflating pays.
pub const MOST_READABLE: usize = 800;

/// Longer states are neither made nor read. Browsers take far longer addresses, but messengers and mail programs cut
/// at some thousand characters: beyond this, send the file.
pub const MOST_LINK: usize = 16_000;

/// Inflating stops here: the gate would refuse more.
pub const MOST_UNPACKED: usize = MOST_BYTES;

/// The last pair of a readable link: without it something is missing.
const END: &str = "end";

/// What the state of a link holds.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// The run sheet.
    Ready(Box<Restored>),
    /// Deflated bytes (raw deflate, RFC 1951). Inflated up to [`MOST_UNPACKED`], they go to [`restore_unpacked`].
    Deflated(Vec<u8>),
}

/// Why a link cannot be made or read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkError {
    /// Longer than [`MOST_LINK`].
    TooLong,
    /// It is none of ours.
    NotOurs,
    /// Its form is newer.
    Newer,
    /// It was cut off or changed on its way.
    Damaged,
    /// The run sheet in it is refused.
    Refused(RestoreError),
}

impl LinkError {
    /// The way out.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            LinkError::TooLong => "Export the run sheet and send the file instead.",
            LinkError::NotOurs | LinkError::Damaged => {
                "Copy the whole link again, or ask for the run sheet as a file."
            }
            LinkError::Newer => "Open it with a newer version, or ask for the run sheet as a file.",
            LinkError::Refused(error) => error.hint(),
        }
    }
}

impl fmt::Display for LinkError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LinkError::TooLong => {
                write!(out, "The link is longer than {MOST_LINK} characters.")
            }
            LinkError::NotOurs => out.write_str("The link holds no run sheet."),
            LinkError::Newer => out.write_str("The link was made by a newer version."),
            LinkError::Damaged => out.write_str("The link is incomplete or was changed."),
            LinkError::Refused(error) => error.fmt(out),
        }
    }
}

impl core::error::Error for LinkError {}

impl From<RestoreError> for LinkError {
    fn from(error: RestoreError) -> Self {
        LinkError::Refused(error)
    }
}

/// The run sheet as readable state, where it is short and the form can carry all of it.
#[must_use]
pub fn readable(document: &Document) -> Option<String> {
    let text = Writer::default().document(document)?;
    match read_state(&text) {
        Ok(State::Ready(read)) if read.document == *document => Some(text),
        _ => None,
    }
}

/// The run sheet as bytes to deflate (raw deflate, RFC 1951).
#[must_use]
pub fn to_pack(document: &Document) -> Vec<u8> {
    run_sheet_json(document).to_string().into_bytes()
}

/// The state that holds these deflated bytes.
///
/// # Errors
/// [`LinkError::TooLong`] beyond [`MOST_LINK`].
pub fn packed(deflated: &[u8]) -> Result<String, LinkError> {
    if deflated.len() > MOST_LINK {
        return Err(LinkError::TooLong);
    }
    let mut text = format!("{VERSION}z");
    BASE64.encode_string(deflated, &mut text);
    if text.len() > MOST_LINK {
        return Err(LinkError::TooLong);
    }
    Ok(text)
}

/// Reads the state of a link; a whole address is taken from its `#` on.
///
/// # Errors
/// A [`LinkError`], and nothing is decoded of what is too long.
pub fn read_state(text: &str) -> Result<State, LinkError> {
    let text = text.trim();
    let text = text.split_once('#').map_or(text, |(_, fragment)| fragment);
    if text.len() > MOST_LINK {
        return Err(LinkError::TooLong);
    }
    let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let (version, form) = text.split_at(digits);
    if version.is_empty() || form.is_empty() {
        return Err(LinkError::NotOurs);
    }
    match version.parse() {
        Ok(VERSION) => {}
        Ok(0) => return Err(LinkError::NotOurs), // there never was one
        _ => return Err(LinkError::Newer),
    }
    if let Some(pairs) = form.strip_prefix("r?") {
        let root = pairs_json(pairs).ok_or(LinkError::Damaged)?;
        Ok(State::Ready(Box::new(run_sheet(root, &|_| None)?)))
    } else if let Some(coded) = form.strip_prefix('z') {
        let deflated = BASE64.decode(coded).map_err(|_| LinkError::Damaged)?;
        Ok(State::Deflated(deflated))
    } else {
        Err(LinkError::NotOurs)
    }
}

/// Reads what was inflated, through the same gate as a file.
///
/// # Errors
/// A [`LinkError`] as [`restore`] gives it.
pub fn restore_unpacked(bytes: &[u8]) -> Result<Restored, LinkError> {
    let text = core::str::from_utf8(bytes).map_err(|_| LinkError::Damaged)?;
    Ok(restore(text)?)
}

/// The readable state as far as it is written.
#[derive(Default)]
struct Writer {
    text: String,
}

impl Writer {
    /// The whole text; none when it gets too long.
    fn document(mut self, document: &Document) -> Option<String> {
        let about = &document.about;
        let room = &about.room;
        self.text = format!("{VERSION}r?");
        for (key, text) in [
            (".title", &about.title),
            (".operator", &about.operator),
            (".date", &about.date),
            (".run", &about.run),
            (".substrate", &about.substrate),
            (".cells", &about.cells),
            (".room.temperature", &room.temperature),
            (".room.humidity", &room.humidity),
            (".room.note", &room.note),
            (".note", &about.note),
        ] {
            if !text.is_empty() {
                self.pair(&[key], &[text])?;
            }
        }
        for lot in &about.lots {
            self.pair(&[".lot"], &[&lot.name, &lot.lot, &lot.expiry])?;
        }
        for it in &about.instruments {
            self.pair(
                &[".instrument"],
                &[&it.name, &it.identifier, &it.calibration],
            )?;
        }
        for card in &document.sheet.cards {
            self.card(card)?;
        }
        self.text.push_str(END);
        (self.text.len() <= MOST_READABLE).then_some(self.text)
    }

    fn card(&mut self, card: &Card) -> Option<()> {
        self.pair(&[&card.id], &[&card.calculator, &card.title, &card.note])?;
        for (field, input) in &card.inputs {
            match input {
                Input::Rows(rows) if rows.is_empty() => self.pair(&[&card.id, field], &[])?,
                Input::Rows(rows) => {
                    for row in rows {
                        self.row(&card.id, field, row)?;
                    }
                }
                input => self.entry(&[&card.id, field], input)?,
            }
        }
        Some(())
    }

    fn row(&mut self, card: &str, table: &str, row: &Row) -> Option<()> {
        if row.cells.is_empty() {
            self.pair(&[card, table, &row.id], &[])?;
        }
        for (column, input) in &row.cells {
            self.entry(&[card, table, &row.id, column], input)?;
        }
        Some(())
    }

    fn entry(&mut self, key: &[&str], input: &Input) -> Option<()> {
        match input {
            Input::Typed(typed) => self.typed(key, typed),
            Input::Text(text) => self.pair(key, &[text]),
            Input::Points(points) if !points.corrections.is_empty() => None, // too much for this form
            Input::Points(points) => {
                self.pair(key, &[&points.text, &points.x_unit, &points.y_unit])
            }
            Input::Link(address) => {
                self.key(key);
                self.text.push('@');
                self.value(&address.card);
                self.text.push('.');
                self.value(&address.output);
                self.close()
            }
            Input::Rows(_) => None, // a table in a table: no calculator has one
        }
    }

    fn typed(&mut self, key: &[&str], typed: &Typed) -> Option<()> {
        let Typed {
            text,
            unit,
            plus_minus,
            freedom,
            source,
            ..
        } = typed;
        if let Meaning::Ware(_) | Meaning::Weighing(_) = typed.meaning {
            return None; // too much for this form
        }
        let number = meaning_number(&typed.meaning);
        let number = number
            .map(|(_, number)| shortest(number))
            .unwrap_or_default();
        let stated = !plus_minus.is_empty() || typed.meaning != Meaning::Standard;
        let meaning = if stated {
            meaning_word(&typed.meaning)
        } else {
            ""
        };
        self.pair(
            key,
            &[text, unit, plus_minus, meaning, &number, freedom, source],
        )
    }

    /// One pair; none when the text got too long.
    fn pair(&mut self, key: &[&str], parts: &[&str]) -> Option<()> {
        self.key(key);
        let filled = parts.iter().rposition(|part| !part.is_empty());
        for (position, part) in parts
            .iter()
            .take(filled.map_or(0, |last| last + 1))
            .enumerate()
        {
            if position > 0 {
                self.text.push('~');
            }
            self.value(part);
        }
        self.close()
    }

    fn key(&mut self, parts: &[&str]) {
        for (position, part) in parts.iter().enumerate() {
            if position > 0 {
                self.text.push('.');
            }
            self.text.push_str(part);
        }
        self.text.push('=');
    }

    fn close(&mut self) -> Option<()> {
        self.text.push('&');
        (self.text.len() <= MOST_READABLE).then_some(())
    }

    /// Percent-encodes a part; what stands for itself has no other meaning in a link.
    fn value(&mut self, part: &str) {
        // What is beyond the bound is not looked at.
        for byte in part.bytes().take(MOST_READABLE) {
            match byte {
                b' ' => self.text.push('+'),
                b'-' | b'.' | b'_' | b'/' | b':' | b',' | b'(' | b')' => {
                    self.text.push(byte.into())
                }
                _ if byte.is_ascii_alphanumeric() => self.text.push(byte.into()),
                _ => {
                    self.text.push('%');
                    for digit in [byte >> 4, byte & 15] {
                        self.text
                            .push(char::from(b"0123456789ABCDEF"[usize::from(digit)]));
                    }
                }
            }
        }
    }
}

/// A card as it is read.
struct Read {
    id: String,
    card: Fields,
    inputs: Fields,
    calculator: Option<&'static calculators::Calculator>,
}

/// The pairs of a readable link as a run-sheet file. What has no place in one is kept at its root, where the gate finds
/// it unknown and says so. None where something is cut off or cannot be decoded.
fn pairs_json(text: &str) -> Option<Fields> {
    let pairs = text.strip_suffix(END)?;
    let mut split = Vec::new();
    for pair in pairs.split_terminator('&') {
        split.push(pair.split_once('=')?);
    }
    if !(pairs.is_empty() || pairs.ends_with('&')) {
        return None;
    }
    let mut root = Fields::new();
    root.insert("format".into(), FORMAT.into());
    root.insert("format_version".into(), FORMAT_VERSION.into());
    let mut about = Fields::new();
    let mut cards: Vec<Read> = Vec::new();
    for (key, value) in split {
        let key = decoded(key)?;
        let parts = value
            .split('~')
            .map(decoded)
            .collect::<Option<Vec<String>>>()?;
        let linked = value.starts_with('@');
        let mut names = key.splitn(4, '.');
        let names = [(); 4].map(|()| names.next());
        let left = match names {
            [Some(""), Some(name), None, None] => about_text(&mut about, name, parts),
            [Some(""), Some(group), Some(name), None] => {
                let inside = about
                    .entry(group)
                    .or_insert_with(|| Value::Object(Fields::new()));
                match inside {
                    Value::Object(inside) => about_text(inside, name, parts),
                    _ => Some(parts),
                }
            }
            [Some(id), None, ..] if !id.is_empty() => {
                let card = named(&["calculator", "title", "note"], parts);
                let calculator = card.get("calculator").and_then(Value::as_str);
                cards.push(Read {
                    id: id.into(),
                    calculator: calculator.and_then(calculators::find),
                    card,
                    inputs: Fields::new(),
                });
                None
            }
            [Some(id), Some(field), row, column] if !id.is_empty() => {
                match cards.iter_mut().find(|card| card.id == id) {
                    Some(card) => card.enter(field, row, column, parts, linked),
                    None => Some(parts),
                }
            }
            _ => Some(parts),
        };
        if let Some(parts) = left {
            root.insert(key, parts.join("~").into());
        }
    }
    if !about.is_empty() {
        root.insert("about".into(), Value::Object(about));
    }
    let cards = cards.into_iter().map(|read| {
        let mut card = read.card;
        card.insert("id".into(), read.id.into());
        card.insert("inputs".into(), Value::Object(read.inputs));
        Value::Object(card)
    });
    root.insert("cards".into(), cards.collect());
    Some(root)
}

impl Read {
    /// Enters the value of one pair; gives it back where there is no place for it.
    fn enter(
        &mut self,
        id: &str,
        row: Option<&str>,
        column: Option<&str>,
        parts: Vec<String>,
        linked: bool,
    ) -> Option<Vec<String>> {
        let field = self.calculator.and_then(|calculator| calculator.input(id));
        let Some(FieldKind::Table { columns }) = field.map(|field| &field.kind) else {
            return match row {
                None => put(&mut self.inputs, id, field, parts, linked),
                Some(_) => Some(parts),
            };
        };
        let table = self.inputs.entry(id).or_insert_with(|| {
            Value::Object(Fields::from_iter([(
                "rows".into(),
                Value::Array(Vec::new()),
            )]))
        });
        let rows = table.get_mut("rows").and_then(Value::as_array_mut)?;
        let cells = row.and_then(|row| {
            let known = rows.iter().position(|known| known["id"] == row);
            let position = known.unwrap_or_else(|| {
                let new = [
                    ("id".into(), row.into()),
                    ("cells".into(), Value::Object(Fields::new())),
                ];
                rows.push(Value::Object(Fields::from_iter(new)));
                rows.len() - 1
            });
            rows[position].get_mut("cells")?.as_object_mut()
        });
        match (cells, column) {
            (Some(cells), Some(id)) => {
                let column = columns.iter().copied().find(|column| column.id == id);
                put(cells, id, column, parts, linked)
            }
            // A table or a row that is named only to be there.
            _ => parts.iter().any(|part| !part.is_empty()).then_some(parts),
        }
    }
}

/// Puts an entry where there is none; the first one counts.
fn put(
    inputs: &mut Fields,
    id: &str,
    field: Option<&Field>,
    parts: Vec<String>,
    linked: bool,
) -> Option<Vec<String>> {
    if inputs.contains_key(id) {
        return Some(parts);
    }
    let entry = match field.map(|field| &field.kind) {
        Some(FieldKind::Choice { .. }) => named(&["choice"], parts),
        Some(FieldKind::Curve { .. }) => {
            let points = named(&["text", "x_unit", "y_unit"], parts);
            Fields::from_iter([("points".into(), Value::Object(points))])
        }
        Some(FieldKind::Quantity { .. } | FieldKind::Count { .. }) if !linked => number(parts),
        Some(FieldKind::Text) => named(&["text"], parts),
        _ if linked => {
            let mut entry = named(&["from"], parts);
            if let Some(Value::String(address)) = entry.get_mut("from") {
                address.remove(0); // the @
            }
            entry
        }
        _ => named(&["text"], parts),
    };
    inputs.insert(id.into(), Value::Object(entry));
    None
}

fn number(mut parts: Vec<String>) -> Fields {
    let mut stated = parts.split_off(parts.len().min(2));
    let mut entry = named(&["text", "unit"], parts);
    let source = if stated.len() > 4 {
        stated.remove(4)
    } else {
        String::new()
    };
    if stated.iter().any(|part| !part.is_empty()) {
        let trapezoid = stated.get(1).is_some_and(|word| word == "trapezoidal");
        let key = if trapezoid { "top" } else { "k" };
        let mut uncertainty = named(&["text", "meaning", key, "degrees_of_freedom"], stated);
        if let Some(k) = uncertainty.get_mut(key)
            && let Some(Ok(number)) = k.as_str().map(str::parse::<f64>)
        {
            *k = number.into();
        }
        entry.insert("uncertainty".into(), Value::Object(uncertainty));
    }
    if !source.is_empty() {
        entry.insert("source".into(), source.into());
    }
    entry
}

/// Parts under their names. The first is there even when it is empty; further parts than names are kept as `more`.
fn named(names: &[&str], parts: Vec<String>) -> Fields {
    let mut fields = Fields::new();
    let mut more = Vec::new();
    for (position, part) in parts.into_iter().enumerate() {
        match names.get(position) {
            Some(name) if position == 0 || !part.is_empty() => {
                fields.insert((*name).into(), part.into());
            }
            Some(_) => {}
            None => more.push(part),
        }
    }
    if !more.is_empty() {
        fields.insert("more".into(), more.join("~").into());
    }
    fields
}

/// Puts a text about the run sheet where there is none; gives it back otherwise.
fn about_text(about: &mut Fields, name: &str, parts: Vec<String>) -> Option<Vec<String>> {
    let (list, names) = match name {
        "lot" => ("lots", ["name", "lot", "expiry"]),
        "instrument" => ("instruments", ["name", "identifier", "calibration"]),
        _ if about.contains_key(name) => return Some(parts),
        _ => {
            about.insert(name.into(), parts.join("~").into());
            return None;
        }
    };
    let list = about
        .entry(list)
        .or_insert_with(|| Value::Array(Vec::new()));
    match list {
        Value::Array(items) => {
            items.push(Value::Object(named(&names, parts)));
            None
        }
        _ => Some(parts),
    }
}

/// Undoes percent-encoding.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'+' => b' ',
            b'%' => {
                let mut digit = || char::from(rest.next()?).to_digit(16);
                let (high, low) = (digit()?, digit()?);
                u8::try_from(high * 16 + low).ok()?
            }
            other => other,
        });
    }
    String::from_utf8(bytes).ok()
}
