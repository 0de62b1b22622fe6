//! The gate from a file, link, storage or clipboard to a live document. It bounds what it reads before reading on,
//! repairs what has one meaning only, keeps what it does not know, and says all of it in sentences. It never
//! guesses: an entry that cannot be read as this version would write it is kept aside, and its box stays empty.

use std::collections::{BTreeMap, HashMap, HashSet};

use glasswick_core::calculators::{self, Field, FieldKind};
use glasswick_core::points::{Corrections, DecimalMark, Delimiter, Illumination, Sign, UnitFrom};
use glasswick_core::sheet::{Address, Card, Input, PointsText, Row, Sheet, Typed};
use glasswick_core::uncertainty::{Distribution, Meaning, WareUse, Weighing};
use serde_json::Value;

use crate::canonical::sha256;
use crate::display::Display;
use crate::document::{About, Document, Fields, Instrument, Lot, Room, Unknown, within};
use crate::error::RestoreError;
use crate::ids::{Ids, Renamed, cleaned, is_id};
use crate::trials::take_all;
use crate::write::{meaning_number, meaning_word, stated_place};
use crate::{FORMAT, FORMAT_VERSION, RECORD_FORMAT};

/// Longer texts are refused unread.
pub const MOST_BYTES: usize = 8 * 1024 * 1024;
/// Deeper nesting is refused unread; what this version writes is half as deep.
pub const MOST_LEVELS: usize = 32;
/// More cards are refused.
pub const MOST_CARDS: usize = 1000;
/// More rows, lots and instruments in one file are refused.
pub const MOST_ROWS: usize = 5000;
/// Where points are stored apart, the key of their SHA-256.
pub(crate) const APART: &str = "text_sha256";
/// Further notes are only counted.
pub const MOST_NOTES: usize = 100;

/// A document that came through the gate.
#[derive(Clone, Debug, PartialEq)]
pub struct Restored {
    /// The live document.
    pub document: Document,
    /// What was repaired, renamed or kept aside, in sentences.
    pub notes: Vec<String>,
}

/// Reads a run sheet, or the run sheet in a record.
///
/// # Errors
/// A [`RestoreError`] when the text is not ours, too new, or beyond a bound. Anything else is repaired or kept
/// aside, and noted.
pub fn restore(text: &str) -> Result<Restored, RestoreError> {
    restore_with(text, &|_| None)
}

/// Finds texts that are stored apart, by their SHA-256 in hexadecimal digits.
pub(crate) type Find<'a> = &'a dyn Fn(&str) -> Option<String>;

/// [`restore`], with texts that are stored apart.
pub(crate) fn restore_with(text: &str, find: Find<'_>) -> Result<Restored, RestoreError> {
    let root = parse(text)?;
    match root.get("format").and_then(Value::as_str) {
        Some(FORMAT) => run_sheet(root, find),
        Some(RECORD_FORMAT) => {
            let mut restored = sheet_of_record(root)?;
            let sentence =
                "This is a record: its run sheet was taken, its results are computed anew.";
            restored.notes.insert(0, sentence.into());
            Ok(restored)
        }
        _ => Err(RestoreError::NotOurs),
    }
}

/// Reads bounded text as a JSON object.
pub(crate) fn parse(text: &str) -> Result<Fields, RestoreError> {
    parse_within(text, MOST_BYTES, MOST_LEVELS)
}

/// Reads text as a JSON object, up to a length and a depth.
pub(crate) fn parse_within(
    text: &str,
    most_bytes: usize,
    most_levels: usize,
) -> Result<Fields, RestoreError> {
    if text.len() > most_bytes {
        return Err(RestoreError::TooLarge);
    }
    let (before, text) = bare(text);
    if levels(text) > most_levels {
        return Err(RestoreError::TooDeep);
    }
    match serde_json::from_str(text) {
        Ok(Value::Object(fields)) => Ok(fields),
        Ok(_) => Err(RestoreError::NotOurs),
        Err(error) => Err(RestoreError::NotJson {
            line: before + error.line(),
            column: error.column(),
        }),
    }
}

/// The text without what pasting leaves around it (blank lines, byte order marks, the fence that chats and wikis put
/// around a file), and how many lines were before it.
fn bare(text: &str) -> (usize, &str) {
    let around = |c: char| c.is_whitespace() || c == '\u{feff}';
    let begun = text.trim_start_matches(around);
    let before = text[..text.len() - begun.len()].matches('\n').count();
    let text = begun.trim_end_matches(around);
    let fenced = text
        .strip_prefix("```")
        .and_then(|inside| inside.strip_suffix("```"))
        .and_then(|inside| inside.split_once('\n'));
    match fenced {
        Some((_, inside)) => (before + 1, inside),
        None => (before, text),
    }
}

/// How deep brackets nest, outside texts. Right for JSON; of other texts it bounds the depth a parser could reach.
fn levels(text: &str) -> usize {
    let (mut level, mut deepest) = (0_usize, 0);
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        match byte {
            b'{' | b'[' => {
                level += 1;
                deepest = deepest.max(level);
            }
            b'}' | b']' => level = level.saturating_sub(1),
            b'"' => {
                while let Some(inside) = bytes.next() {
                    match inside {
                        b'"' => break,
                        b'\\' => {
                            bytes.next();
                        }
                        _ => {}
                    }
                }
            }
            _ => {}
        }
    }
    deepest
}

/// The run sheet inside a record.
pub(crate) fn sheet_of_record(mut root: Fields) -> Result<Restored, RestoreError> {
    version(&root)?; // the sheet in it states its own and is the one to speak of
    match root.shift_remove("sheet") {
        Some(Value::Object(sheet)) => run_sheet(sheet, &|_| None),
        _ => Err(RestoreError::NoSheet),
    }
}

/// The run sheet in a JSON object: what every way in comes to.
pub(crate) fn run_sheet(mut root: Fields, find: Find<'_>) -> Result<Restored, RestoreError> {
    let mut reader = Reader {
        find,
        unknown: Unknown::default(),
        notes: Notes::default(),
        wrong: HashSet::new(),
        rows: 0,
    };
    if let Some(sentence) = version(&root)? {
        reader.notes.add(|| sentence);
    }
    root.shift_remove("format");
    root.shift_remove("format_version");
    let about = match reader.object(&mut root, "about", "") {
        Some(fields) => reader.about(fields)?,
        None => About::default(),
    };
    let cards = reader.list(&mut root, "cards", "", MOST_CARDS)?;
    let cards = reader.cards(cards)?;
    let mut display = Display::default();
    if let Some(mut fields) = reader.object(&mut root, "display", "") {
        display = Display::take(&mut fields);
        reader.keep_rest("display", fields);
    }
    let mut trials = BTreeMap::new();
    if let Some(mut fields) = reader.object(&mut root, "monte_carlo", "") {
        trials = take_all(&mut fields);
        reader.keep_rest("monte_carlo", fields);
    }
    reader.keep_rest("", root);
    Ok(Restored {
        document: Document {
            about,
            sheet: Sheet { cards },
            display,
            trials,
            unknown: reader.unknown,
        },
        notes: reader.notes.sentences(),
    })
}

/// Refuses a newer major version; says it where the version is another than ours.
pub(crate) fn version(root: &Fields) -> Result<Option<String>, RestoreError> {
    let found = root.get("format_version").and_then(Value::as_str);
    let Some((found, found_major)) = found.and_then(|text| Some((text, major(text)?))) else {
        let sentence =
            format!("The file states no format version; it was read as {FORMAT_VERSION}.");
        return Ok(Some(sentence));
    };
    let shown = excerpt(found);
    if found_major > major(FORMAT_VERSION).unwrap_or_default() {
        return Err(RestoreError::NewerMajor { found: shown });
    }
    Ok((found != FORMAT_VERSION).then(|| {
        format!("The file has format version {shown}; this version writes {FORMAT_VERSION}.")
    }))
}

pub(crate) fn major(version: &str) -> Option<u32> {
    let (major, minor) = version.split_once('.')?;
    minor.parse::<u32>().ok()?;
    // A number beyond all numbers is a newer version all the same.
    let number = !major.is_empty() && major.bytes().all(|digit| digit.is_ascii_digit());
    number.then(|| major.parse().unwrap_or(u32::MAX))
}

/// Sentences, up to a bound.
#[derive(Default)]
struct Notes {
    kept: Vec<String>,
    more: usize,
}

impl Notes {
    fn add(&mut self, sentence: impl FnOnce() -> String) {
        if self.kept.len() < MOST_NOTES {
            self.kept.push(sentence());
        } else {
            self.more += 1;
        }
    }

    fn sentences(self) -> Vec<String> {
        let mut sentences = self.kept;
        if self.more > 0 {
            sentences.push(format!("There are {} more notes like these.", self.more));
        }
        sentences
    }
}

struct Reader<'a> {
    find: Find<'a>,
    unknown: Unknown,
    notes: Notes,
    /// Places that hold something of the wrong sort, which was said.
    wrong: HashSet<String>,
    /// Rows so far.
    rows: usize,
}

impl Reader<'_> {
    /// Takes a text out of an object; anything else under this key stays there.
    fn text(&mut self, fields: &mut Fields, key: &str, place: &str) -> String {
        match fields.shift_remove(key) {
            Some(Value::String(text)) => text,
            Some(other) => {
                self.keeps_wrong(&within(place, key), "a text");
                fields.insert(key.into(), other);
                String::new()
            }
            None => String::new(),
        }
    }

    /// Takes an object out of an object; anything else under this key stays there.
    fn object(&mut self, fields: &mut Fields, key: &str, place: &str) -> Option<Fields> {
        match fields.shift_remove(key)? {
            Value::Object(object) => Some(object),
            other => {
                self.keeps_wrong(&within(place, key), "an object");
                fields.insert(key.into(), other);
                None
            }
        }
    }

    /// Takes a list of objects out of an object; anything else under this key stays there.
    fn list(
        &mut self,
        fields: &mut Fields,
        key: &str,
        place: &str,
        most: usize,
    ) -> Result<Vec<Fields>, RestoreError> {
        let place = within(place, key);
        let items = match fields.shift_remove(key) {
            Some(Value::Array(items)) => items,
            Some(other) => {
                self.keeps_wrong(&place, "a list");
                fields.insert(key.into(), other);
                return Ok(Vec::new());
            }
            None => return Ok(Vec::new()),
        };
        if items.len() > most {
            return Err(RestoreError::TooMany { what: place, most });
        }
        let mut objects = Vec::with_capacity(items.len());
        for item in items {
            match item {
                Value::Object(object) => objects.push(object),
                other => self.notes.add(|| {
                    format!(
                        "{place} held “{}”, which is left out.",
                        excerpt(&other.to_string())
                    )
                }),
            }
        }
        Ok(objects)
    }

    /// Takes rows, of which a file may hold so many in all.
    fn rows(
        &mut self,
        fields: &mut Fields,
        key: &str,
        place: &str,
    ) -> Result<Vec<Fields>, RestoreError> {
        let rows = self.list(fields, key, place, MOST_ROWS)?;
        self.rows += rows.len();
        if self.rows > MOST_ROWS {
            return Err(RestoreError::TooMany {
                what: "rows, lots and instruments".into(),
                most: MOST_ROWS,
            });
        }
        Ok(rows)
    }

    fn keeps_wrong(&mut self, place: &str, expected: &str) {
        if self.wrong.insert(place.into()) {
            self.notes
                .add(|| format!("{place} is not {expected}; it is kept in the file, unread."));
        }
    }

    /// Says which fields of a place are unknown.
    fn says_unknown(&mut self, place: &str, rest: &Fields) {
        let unknown: Vec<&String> = rest
            .keys()
            .filter(|key| !self.wrong.contains(&within(place, key)))
            .collect();
        if unknown.is_empty() {
            return;
        }
        self.notes.add(|| {
            let mut names: Vec<_> = unknown
                .iter()
                .take(5)
                .map(|key| format!("“{}”", excerpt(key)))
                .collect();
            if unknown.len() > names.len() {
                names.push(format!("{} more", unknown.len() - names.len()));
            }
            let place = if place.is_empty() { "The file" } else { place };
            let names = names.join(", ");
            format!("{place} holds what this version does not read: {names}. It is kept.")
        });
    }

    fn keep_rest(&mut self, place: &str, rest: Fields) {
        self.says_unknown(place, &rest);
        self.unknown.keep_all(place, rest);
    }

    fn about(&mut self, mut fields: Fields) -> Result<About, RestoreError> {
        let place = "about";
        let lots = self.rows(&mut fields, "lots", place)?;
        let instruments = self.rows(&mut fields, "instruments", place)?;
        let room = self.object(&mut fields, "room", place);
        let about = About {
            title: self.text(&mut fields, "title", place),
            operator: self.text(&mut fields, "operator", place),
            date: self.text(&mut fields, "date", place),
            run: self.text(&mut fields, "run", place),
            substrate: self.text(&mut fields, "substrate", place),
            cells: self.text(&mut fields, "cells", place),
            lots: lots.into_iter().map(|fields| self.lot(fields)).collect(),
            instruments: instruments
                .into_iter()
                .map(|fields| self.instrument(fields))
                .collect(),
            room: room.map(|fields| self.room(fields)).unwrap_or_default(),
            note: self.text(&mut fields, "note", place),
            unknown: Fields::new(),
        };
        self.says_unknown(place, &fields);
        Ok(About {
            unknown: fields,
            ..about
        })
    }

    fn lot(&mut self, mut fields: Fields) -> Lot {
        let place = "about/lots";
        let (name, lot, expiry) = (
            self.text(&mut fields, "name", place),
            self.text(&mut fields, "lot", place),
            self.text(&mut fields, "expiry", place),
        );
        self.says_unknown(place, &fields);
        Lot {
            name,
            lot,
            expiry,
            unknown: fields,
        }
    }

    fn instrument(&mut self, mut fields: Fields) -> Instrument {
        let place = "about/instruments";
        let (name, identifier, calibration) = (
            self.text(&mut fields, "name", place),
            self.text(&mut fields, "identifier", place),
            self.text(&mut fields, "calibration", place),
        );
        self.says_unknown(place, &fields);
        Instrument {
            name,
            identifier,
            calibration,
            unknown: fields,
        }
    }

    fn room(&mut self, mut fields: Fields) -> Room {
        let place = "about/room";
        let (temperature, humidity, note) = (
            self.text(&mut fields, "temperature", place),
            self.text(&mut fields, "humidity", place),
            self.text(&mut fields, "note", place),
        );
        self.says_unknown(place, &fields);
        Room {
            temperature,
            humidity,
            note,
            unknown: fields,
        }
    }

    fn cards(&mut self, mut cards: Vec<Fields>) -> Result<Vec<Card>, RestoreError> {
        let renamed = self.repair_ids(&mut cards)?;
        if !renamed.is_empty() {
            for inputs in cards.iter_mut().filter_map(|card| card.get_mut("inputs")) {
                renamed.rewrite_links(inputs);
            }
        }
        Ok(cards.into_iter().map(|fields| self.card(fields)).collect())
    }

    /// Gives every card and every row of a table an identifier that links can name.
    fn repair_ids(&mut self, cards: &mut [Fields]) -> Result<Renamed, RestoreError> {
        let calculator_of = |card: &Fields| {
            card.get("calculator")
                .and_then(Value::as_str)
                .unwrap_or("card")
                .to_owned()
        };
        let mut renamed = Renamed {
            cards: self.identify(cards, "cards", calculator_of),
            ..Renamed::default()
        };
        for card in cards {
            let id = card
                .get("id")
                .and_then(Value::as_str)
                .unwrap_or_default()
                .to_owned();
            let calculator = calculators::find(&calculator_of(card));
            let (Some(calculator), Some(Value::Object(inputs))) =
                (calculator, card.get_mut("inputs"))
            else {
                continue;
            };
            for (key, input) in inputs {
                let declared = calculator.input(key).map(|field| &field.kind);
                let (Some(FieldKind::Table { .. }), Value::Object(input)) = (declared, input)
                else {
                    continue;
                };
                if !input.get("rows").is_some_and(Value::is_array) {
                    continue;
                }
                let place = within(&within("cards", &id), key);
                let mut rows = self.rows(input, "rows", &place)?;
                let changed = self.identify(&mut rows, &place, |_| "row".into());
                if !changed.is_empty() {
                    renamed.rows.entry(id.clone()).or_default().extend(changed);
                }
                input.insert("rows".into(), rows.into_iter().map(Value::Object).collect());
            }
        }
        Ok(renamed)
    }

    /// Writes a valid and unique `id` into each object; returns the new of each old one that links have to follow.
    /// Of two objects with one identifier the first keeps it, as links mean the first.
    fn identify(
        &mut self,
        objects: &mut [Fields],
        place: &str,
        fallback: impl Fn(&Fields) -> String,
    ) -> HashMap<String, String> {
        let id_of = |object: &Fields| object.get("id").and_then(Value::as_str).map(str::to_owned);
        let mut ids = Ids::default();
        // Good identifiers first: a repaired one must not take their place.
        let keeps: Vec<bool> = objects
            .iter()
            .map(|object| id_of(object).is_some_and(|id| is_id(&id) && ids.taken.insert(id)))
            .collect();
        let mut renamed = HashMap::new();
        for (object, keeps) in objects.iter_mut().zip(keeps) {
            if keeps {
                continue;
            }
            let old = id_of(object).filter(|id| !id.is_empty());
            let new = ids.free(&cleaned(&old.clone().unwrap_or_else(|| fallback(object))));
            let was = object.insert("id".into(), new.as_str().into());
            self.notes.add(|| match was {
                Some(was) => {
                    let was = excerpt(&was.to_string());
                    format!("{place}: the identifier {was} became “{new}”.")
                }
                None => format!("{place}: one without identifier is now “{new}”."),
            });
            if let Some(old) = old
                && !is_id(&old)
            {
                renamed.entry(old).or_insert(new);
            }
        }
        renamed
    }

    fn card(&mut self, mut fields: Fields) -> Card {
        let id = match fields.shift_remove("id") {
            Some(Value::String(id)) => id,
            _ => String::new(), // every card was given one
        };
        let place = within("cards", &id);
        let mut card = Card {
            calculator: self.text(&mut fields, "calculator", &place),
            title: self.text(&mut fields, "title", &place),
            note: self.text(&mut fields, "note", &place),
            id,
            ..Card::default()
        };
        if let Some(entered) = self.object(&mut fields, "inputs", &place) {
            let inside = within(&place, "inputs");
            match calculators::find(&card.calculator) {
                Some(calculator) => {
                    for (key, value) in entered {
                        let field = calculator.input(&key);
                        if let Some(input) = self.entry(field, &key, value, &inside) {
                            card.inputs.insert(key, input);
                        }
                    }
                }
                None => self.unknown.keep_all(&inside, entered),
            }
        }
        if card.declaration().is_none() {
            self.notes.add(|| {
                format!(
                    "{place}: this version does not know the calculator “{}”; the card is kept as it is.",
                    excerpt(&card.calculator)
                )
            });
        }
        self.keep_rest(&place, fields);
        card
    }

    /// One entry of a card or row; one that cannot be read is kept aside.
    fn entry(
        &mut self,
        field: Option<&'static Field>,
        key: &str,
        value: Value,
        place: &str,
    ) -> Option<Input> {
        let refused = match field {
            None => Refused {
                value,
                why: "this version does not know this field",
            },
            Some(field) => match self.input(field, value, &within(place, key)) {
                Ok(input) => return Some(input),
                Err(refused) => refused,
            },
        };
        self.notes.add(|| {
            format!(
                "{}: {}; the entry {} is kept in the file, unread.",
                within(place, &excerpt(key)),
                refused.why,
                excerpt(&refused.value.to_string())
            )
        });
        self.unknown.keep(place, key.into(), refused.value);
        None
    }

    fn input(
        &mut self,
        field: &'static Field,
        value: Value,
        place: &str,
    ) -> Result<Input, Refused> {
        let Value::Object(mut fields) = value else {
            return refuse(value, "an entry is an object");
        };
        let input = match &field.kind {
            FieldKind::Quantity { .. } | FieldKind::Count { .. } => {
                if let Some(from) = fields.get("from") {
                    let Some(address) = from.as_str().and_then(|text| text.parse::<Address>().ok())
                    else {
                        return refuse(fields, "its link cannot be read");
                    };
                    fields.shift_remove("from");
                    Input::Link(address)
                } else {
                    match self.typed(&mut fields, place) {
                        Ok(typed) => Input::Typed(typed),
                        Err(why) => return refuse(fields, why),
                    }
                }
            }
            FieldKind::Choice { .. } => match take_text(&mut fields, "choice") {
                Some(option) => Input::Text(option),
                None => return refuse(fields, "a choice is needed"),
            },
            FieldKind::Text => match take_text(&mut fields, "text") {
                Some(text) => Input::Text(text),
                None => return refuse(fields, "a text is needed"),
            },
            FieldKind::Table { columns } => match fields.shift_remove("rows") {
                Some(Value::Array(rows)) => Input::Rows(
                    rows.into_iter()
                        .map(|row| self.row(columns, row, place))
                        .collect(),
                ),
                Some(other) => {
                    fields.insert("rows".into(), other);
                    return refuse(fields, "rows are needed");
                }
                None => return refuse(fields, "rows are needed"),
            },
            FieldKind::Curve { .. } => match self.points(&mut fields, place) {
                Some(points) => Input::Points(points),
                None => return refuse(fields, "points are needed"),
            },
        };
        self.keep_rest(place, fields);
        Ok(input)
    }

    /// Takes a number as typed out of its object; on refusal the object is as it was.
    fn typed(&mut self, fields: &mut Fields, place: &str) -> Result<Typed, &'static str> {
        if !fields.get("text").is_some_and(Value::is_string) {
            return Err("a number is written as a text");
        }
        if !fields.get("unit").is_none_or(Value::is_string) {
            return Err("a unit is written as a text");
        }
        if !fields.get("source").is_none_or(Value::is_string) {
            return Err("a source is written as a text");
        }
        let meaning = match fields.get("uncertainty") {
            None => Meaning::Standard,
            Some(Value::Object(uncertainty)) => meaning(uncertainty)?,
            Some(_) => return Err("its uncertainty cannot be read"),
        };
        let mut typed = Typed {
            text: take_text(fields, "text").unwrap_or_default(),
            unit: take_text(fields, "unit").unwrap_or_default(),
            meaning,
            source: take_text(fields, "source").unwrap_or_default(),
            ..Typed::default()
        };
        if let Some(Value::Object(mut uncertainty)) = fields.shift_remove("uncertainty") {
            typed.plus_minus = take_text(&mut uncertainty, "text").unwrap_or_default();
            typed.freedom = take_text(&mut uncertainty, "degrees_of_freedom").unwrap_or_default();
            uncertainty.shift_remove("meaning");
            if let Some((key, _)) = meaning_number(&typed.meaning) {
                uncertainty.shift_remove(key);
            }
            if let Meaning::Ware(_) | Meaning::Weighing(_) = typed.meaning {
                let word = meaning_word(&typed.meaning);
                if let Some(Value::Object(mut stated)) = uncertainty.shift_remove(word) {
                    for key in WARE.iter().chain(&WEIGHING).chain(&["shape", "tare"]) {
                        stated.shift_remove(*key);
                    }
                    self.keep_rest(&stated_place(place, word), stated);
                }
            }
            self.keep_rest(&within(place, "uncertainty"), uncertainty);
        }
        Ok(typed)
    }

    fn row(&mut self, columns: &'static [&'static Field], row: Value, table: &str) -> Row {
        let Value::Object(mut fields) = row else {
            return Row::default(); // others were left out when identifiers were repaired
        };
        let id = take_text(&mut fields, "id").unwrap_or_default();
        let place = within(table, &id);
        let mut row = Row {
            id,
            ..Row::default()
        };
        let cells = self
            .object(&mut fields, "cells", &place)
            .unwrap_or_default();
        for (key, value) in cells {
            let column = columns.iter().copied().find(|column| column.id == key);
            if let Some(input) = self.entry(column, &key, value, &within(&place, "cells")) {
                row.cells.insert(key, input);
            }
        }
        self.keep_rest(&place, fields);
        row
    }

    /// Takes points out of their object; on refusal the object is as it was.
    fn points(&mut self, fields: &mut Fields, place: &str) -> Option<PointsText> {
        let apart = |points: &Fields| points.get(APART).is_some_and(Value::is_string);
        let readable = |points: &Fields| {
            points.get("text").map_or(apart(points), Value::is_string)
                && points.get("x_unit").is_none_or(Value::is_string)
                && points.get("y_unit").is_none_or(Value::is_string)
        };
        if !fields
            .get("points")
            .and_then(Value::as_object)
            .is_some_and(readable)
        {
            return None;
        }
        let Some(Value::Object(mut points)) = fields.shift_remove("points") else {
            return None;
        };
        let place = within(place, "points");
        let mut read = PointsText {
            text: take_text(&mut points, "text").unwrap_or_default(),
            x_unit: take_text(&mut points, "x_unit").unwrap_or_default(),
            y_unit: take_text(&mut points, "y_unit").unwrap_or_default(),
            corrections: self.corrections(&mut points, &place),
        };
        if read.text.is_empty() && apart(&points) {
            match self.stored_apart(&points, &place) {
                Some(text) => {
                    points.shift_remove(APART);
                    read.text = text;
                }
                None => {
                    self.wrong.insert(within(&place, APART)); // it was said
                }
            }
        }
        self.keep_rest(&place, points);
        Some(read)
    }

    /// How a text of points is to be read. What this version does not know stays in the file.
    fn corrections(&mut self, points: &mut Fields, place: &str) -> Corrections {
        let Some(mut fields) = self.object(points, "corrections", place) else {
            return Corrections::default();
        };
        let mut number = |key| {
            let number = fields.get(key)?.as_u64().filter(|number| *number > 0)?;
            let number = usize::try_from(number).ok()?;
            fields.shift_remove(key);
            Some(number)
        };
        let counted = Corrections {
            x_column: number("x_column"),
            y_column: number("y_column"),
            sweep: number("sweep"),
            first_line: number("first_line"),
            last_line: number("last_line"),
            ..Corrections::default()
        };
        let read = Corrections {
            delimiter: take_word(&mut fields, "delimiter", Delimiter::from_word),
            decimal: take_word(&mut fields, "decimal", DecimalMark::from_word),
            x_unit: take_word(&mut fields, "x_unit", UnitFrom::from_word),
            y_unit: take_word(&mut fields, "y_unit", UnitFrom::from_word),
            x_sign: take_word(&mut fields, "x_sign", Sign::from_word),
            y_sign: take_word(&mut fields, "y_sign", Sign::from_word),
            illumination: take_word(&mut fields, "illumination", Illumination::from_word),
            ..counted
        };
        self.keep_rest(&within(place, "corrections"), fields);
        read
    }

    /// The text that is stored apart, where it is there and is the one that was stored.
    fn stored_apart(&mut self, points: &Fields, place: &str) -> Option<String> {
        let hash = points.get(APART)?.as_str()?;
        let why = match (self.find)(hash) {
            Some(text) if sha256(text.as_bytes()) == hash => return Some(text),
            Some(_) => "are damaged",
            None => "are missing",
        };
        self.notes.add(|| {
            format!(
                "{place}: the points stored under {} {why}; the box is empty, the reference is kept.",
                excerpt(hash)
            )
        });
        None
    }
}

/// An entry that cannot be read, whole.
struct Refused {
    value: Value,
    why: &'static str,
}

fn refuse<T>(value: impl Into<Value>, why: &'static str) -> Result<T, Refused> {
    Err(Refused {
        value: value.into(),
        why,
    })
}

fn take_text(fields: &mut Fields, key: &str) -> Option<String> {
    match fields.get_mut(key) {
        Some(Value::String(text)) => {
            let text = core::mem::take(text);
            fields.shift_remove(key);
            Some(text)
        }
        _ => None,
    }
}

/// Takes one of the words that are known out of an object; another one stays there.
fn take_word<T>(fields: &mut Fields, key: &str, known: fn(&str) -> Option<T>) -> Option<T> {
    let found = known(fields.get(key)?.as_str()?)?;
    fields.shift_remove(key);
    Some(found)
}

fn meaning(uncertainty: &Fields) -> Result<Meaning, &'static str> {
    let text = |key| uncertainty.get(key).is_none_or(Value::is_string);
    if !text("text") || !text("degrees_of_freedom") {
        return Err("an uncertainty is written as a text");
    }
    let number = |key| uncertainty.get(key).and_then(Value::as_f64);
    let word = match uncertainty.get("meaning") {
        None => "standard",
        Some(word) => word.as_str().unwrap_or_default(),
    };
    Ok(match word {
        "standard" => Meaning::Standard,
        "rectangular" => Meaning::Limit(Distribution::Rectangular),
        "triangular" => Meaning::Limit(Distribution::Triangular),
        "arcsine" => Meaning::Limit(Distribution::Arcsine),
        "trapezoidal" => Meaning::Limit(Distribution::Trapezoidal {
            top: number("top").ok_or("a trapezoidal limit needs its top")?,
        }),
        "expanded" => Meaning::Expanded {
            coverage_factor: number("k")
                .ok_or("an expanded uncertainty needs its coverage factor k")?,
        },
        "repeats" => Meaning::Repeats,
        "ware" => ware(uncertainty)?,
        "weighing" => weighing(uncertainty)?,
        _ => return Err("this version does not know what its ± means"),
    })
}

/// Texts about a piece of ware.
const WARE: [&str; 6] = [
    "item",
    "piece",
    "repeatability",
    "temperature",
    "liquid",
    "glass",
];
/// Texts about a balance.
const WEIGHING: [&str; 5] = [
    "readability",
    "linearity",
    "repeatability",
    "density",
    "air",
];

fn ware(uncertainty: &Fields) -> Result<Meaning, &'static str> {
    let stated = stated(uncertainty, "ware", &WARE)?;
    let [item, piece, repeatability, temperature, liquid, glass] =
        WARE.map(|key| text_of(stated, key));
    let shape = match stated
        .get("shape")
        .map_or(Some("rectangular"), Value::as_str)
    {
        Some("rectangular") => Distribution::Rectangular,
        Some("triangular") => Distribution::Triangular,
        _ => return Err("the shape of the limit of its ware cannot be read"),
    };
    Ok(Meaning::Ware(Box::new(WareUse {
        item,
        piece,
        shape,
        repeatability,
        temperature,
        liquid,
        glass,
    })))
}

fn weighing(uncertainty: &Fields) -> Result<Meaning, &'static str> {
    let stated = stated(uncertainty, "weighing", &WEIGHING)?;
    let [readability, linearity, repeatability, density, air] =
        WEIGHING.map(|key| text_of(stated, key));
    let tare = match stated.get("tare") {
        None => true,
        Some(tare) => tare
            .as_bool()
            .ok_or("whether its tare counts cannot be read")?,
    };
    Ok(Meaning::Weighing(Box::new(Weighing {
        readability,
        linearity,
        repeatability,
        tare,
        density,
        air,
    })))
}

/// What is stated about a piece of ware or a balance; its texts are texts.
fn stated<'a>(
    uncertainty: &'a Fields,
    word: &str,
    texts: &[&str],
) -> Result<&'a Fields, &'static str> {
    let stated = uncertainty.get(word).and_then(Value::as_object);
    let stated = stated.ok_or("what is stated about its ware or balance is missing")?;
    if texts
        .iter()
        .all(|key| stated.get(*key).is_none_or(Value::is_string))
    {
        Ok(stated)
    } else {
        Err("what is stated about its ware or balance cannot be read")
    }
}

fn text_of(fields: &Fields, key: &str) -> String {
    fields
        .get(key)
        .and_then(Value::as_str)
        .unwrap_or_default()
        .to_owned()
}

/// The beginning of a text that came from outside, for a sentence.
fn excerpt(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut excerpt: String = text
        .chars()
        .filter(|c| !c.is_control())
        .take(LONGEST)
        .collect();
    if text.chars().count() > LONGEST {
        excerpt.push('…');
    }
    excerpt
}
