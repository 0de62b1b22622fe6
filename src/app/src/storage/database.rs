//! What is done in the database, one transaction each.

use wasm_bindgen::JsValue;

use super::connection::{ASIDE, BLOBS, Connection, SHEETS, TEXTS, Transaction};
use super::error::StorageError;
use super::js;
use super::row::{Kept, Record, Row, Stamp, Unreadable, title};
use super::{Aside, Entry};

/// What the database holds under an identifier.
pub(super) enum Stored {
    Nothing,
    Damaged,
    Newer,
    Sheet(Kept),
}

/// What the database holds, and what of it has to be put in order.
pub(super) struct Listing {
    pub(super) entries: Vec<Entry>,
    pub(super) stamps: Vec<(String, Stamp)>,
    pub(super) aside: Vec<Aside>,
    pub(super) damaged: Vec<JsValue>,
}

/// Lists everything; reads no text.
pub(super) async fn list(connection: &Connection) -> Result<Listing, StorageError> {
    let reading = connection.read()?;
    let (keys, values) = (reading.keys(SHEETS).await?, reading.values(SHEETS).await?);
    let texts = reading.keys(TEXTS).await?;
    let mut listing = Listing {
        entries: Vec::new(),
        stamps: Vec::new(),
        aside: aside_entries(&reading).await?,
        damaged: texts.iter().filter(|key| !keys.includes(key, 0)).collect(),
    };
    for (key, value) in keys.iter().zip(values.iter()) {
        let has_text = texts.includes(&key, 0);
        match (key.as_string(), Row::read(&value)) {
            (Some(id), Ok(row)) if has_text => {
                listing.stamps.push((id.clone(), row.stamp.clone()));
                listing.entries.push(Entry::of(id, row));
            }
            (Some(id), Err(Unreadable::Newer)) => listing.entries.push(newer(id, &value)),
            (None, Err(Unreadable::Newer)) => {}
            _ => listing.damaged.push(key),
        }
    }
    Ok(listing)
}

/// What can be said of a row of a newer version.
pub(super) fn newer(id: String, value: &JsValue) -> Entry {
    Entry {
        id,
        summary: super::Summary {
            title: title(value),
            ..Default::default()
        },
        changed: js::text_in(value, "changed").unwrap_or_default(),
        thrown_away: js::text_in(value, "thrown_away"),
        newer: true,
    }
}

/// Reads a run sheet.
pub(super) async fn read(connection: &Connection, id: &str) -> Result<Stored, StorageError> {
    let reading = connection.read()?;
    let value = reading.get(SHEETS, &id.into()).await?;
    if value.is_undefined() {
        return Ok(if reading.has(TEXTS, &id.into()).await? {
            Stored::Damaged
        } else {
            Stored::Nothing
        });
    }
    let row = match Row::read(&value) {
        Ok(row) => row,
        Err(Unreadable::Newer) => return Ok(Stored::Newer),
        Err(Unreadable::Damaged) => return Ok(Stored::Damaged),
    };
    let Some(text) = reading.get(TEXTS, &id.into()).await?.as_string() else {
        return Ok(Stored::Damaged);
    };
    let mut blobs = Vec::new();
    for hash in &row.blobs {
        if let Some(blob) = reading.get(BLOBS, &hash.into()).await?.as_string() {
            blobs.push((hash.clone(), blob.into()));
        }
    }
    Ok(Stored::Sheet(Record { row, text, blobs }.kept()))
}

/// Writes a run sheet where what is there is what it was made from, or an earlier one of the same tab.
///
/// `purged` says, where nothing is there, that a person wanted it so.
pub(super) async fn write(
    connection: &Connection,
    id: &str,
    base: Option<&Stamp>,
    purged: bool,
    record: &Record,
) -> Result<(), StorageError> {
    let writing = connection.write()?;
    let key = JsValue::from(id);
    let old = writing.get(SHEETS, &key).await?;
    let mut row = record.row.clone();
    if old.is_undefined() {
        if base.is_some() && purged {
            writing.abort();
            return Err(StorageError::NotThere);
        }
    } else {
        match Row::read(&old) {
            // A later write of the same tab has overtaken this one.
            Ok(old) if old.stamp == row.stamp || row.stamp.precedes(&old.stamp) => {
                return Ok(());
            }
            Ok(old) if Some(&old.stamp) == base || old.stamp.precedes(&row.stamp) => {
                row.thrown_away = old.thrown_away;
            }
            Ok(_) => {
                writing.abort();
                return Err(StorageError::Conflict);
            }
            Err(Unreadable::Newer) => {
                writing.abort();
                return Err(StorageError::Newer);
            }
            Err(Unreadable::Damaged) => {
                keep_damaged(&writing, &key, &old).await?;
            }
        }
    }
    for (hash, blob) in &record.blobs {
        if !writing.has(BLOBS, &hash.into()).await? {
            writing.put(BLOBS, &hash.into(), &(&**blob).into())?;
        }
    }
    writing.put(TEXTS, &key, &record.text.as_str().into())?;
    writing.put(SHEETS, &key, &row.value())?;
    writing.complete().await
}

/// Sets when a run sheet was thrown away, or that it is not.
pub(super) async fn set_thrown_away(
    connection: &Connection,
    id: &str,
    when: Option<&str>,
) -> Result<(), StorageError> {
    let writing = connection.write()?;
    let value = writing.get(SHEETS, &id.into()).await?;
    if value.is_undefined() {
        return Err(StorageError::NotThere);
    }
    let mut row = readable(Row::read(&value))?;
    row.thrown_away = when.map(str::to_owned);
    writing.put(SHEETS, &id.into(), &row.value())?;
    writing.complete().await
}

fn readable(row: Result<Row, Unreadable>) -> Result<Row, StorageError> {
    row.map_err(|unreadable| match unreadable {
        Unreadable::Newer => StorageError::Newer,
        Unreadable::Damaged => StorageError::Damaged,
    })
}

/// Deletes a run sheet, and the blobs that no run sheet refers to any more.
pub(super) async fn purge(connection: &Connection, id: &str) -> Result<(), StorageError> {
    let writing = connection.write()?;
    let key = JsValue::from(id);
    let value = writing.get(SHEETS, &key).await?;
    if !value.is_undefined() {
        readable(Row::read(&value))?;
    }
    writing.delete(SHEETS, &key)?;
    writing.delete(TEXTS, &key)?;
    // Where a row cannot be read, nobody knows which blobs it needs: a later purge will see.
    let rows: Option<Vec<Row>> = writing
        .values(SHEETS)
        .await?
        .iter()
        .map(|value| Row::read(&value).ok())
        .collect();
    if let Some(rows) = rows {
        for hash in writing.keys(BLOBS).await?.iter() {
            let name = hash.as_string();
            let needed = |row: &Row| row.blobs.iter().any(|other| Some(other) == name.as_ref());
            if !rows.iter().any(needed) {
                writing.delete(BLOBS, &hash)?;
            }
        }
    }
    writing.complete().await
}

/// Moves what cannot be read out of the way, with its text and blobs.
pub(super) async fn move_aside(connection: &Connection, key: &JsValue) -> Result<(), StorageError> {
    let writing = connection.write()?;
    let value = writing.get(SHEETS, key).await?;
    // Another tab may have been here first.
    let row = Row::read(&value);
    let has_text = writing.get(TEXTS, key).await?.is_string();
    let sound = row.is_ok() && has_text && key.is_string();
    let newer = matches!(row, Err(Unreadable::Newer));
    let nothing = value.is_undefined() && !has_text;
    if sound || newer || nothing {
        return Ok(());
    }
    keep_damaged(&writing, key, &value).await?;
    writing.delete(SHEETS, key)?;
    writing.delete(TEXTS, key)?;
    writing.complete().await
}

/// Puts a damaged row among what was set aside.
async fn keep_damaged(
    writing: &Transaction,
    key: &JsValue,
    value: &JsValue,
) -> Result<(), StorageError> {
    let blobs = js::object(&[]);
    for hash in js::array(&js::get(value, "blobs")).iter() {
        let Some(hash) = hash.as_string() else {
            continue;
        };
        let blob = writing.get(BLOBS, &hash.as_str().into()).await?;
        if blob.is_string() {
            js::set(&blobs, &hash, &blob);
        }
    }
    let whole = js::object(&[
        ("id", key.clone()),
        ("row", value.clone()),
        ("text", writing.get(TEXTS, key).await?),
        ("texts", blobs),
    ]);
    let title = title(value);
    let what = match title.as_str() {
        "" => super::local::UNREADABLE.to_owned(),
        title => format!("“{title}”, which could not be read"),
    };
    // What has no JSON is kept as it is, beside words for it.
    let (text, raw) = match js::json(&whole) {
        Some(text) => (text, JsValue::UNDEFINED),
        None => (format!("{value:?}"), whole),
    };
    put_aside(writing, &what, &text, &crate::dom::now(), raw)
}

/// Sets a text aside.
pub(super) async fn set_aside(
    connection: &Connection,
    what: &str,
    text: &str,
    when: &str,
) -> Result<(), StorageError> {
    let writing = connection.write()?;
    put_aside(&writing, what, text, when, JsValue::UNDEFINED)?;
    writing.complete().await
}

fn put_aside(
    writing: &Transaction,
    what: &str,
    text: &str,
    when: &str,
    raw: JsValue,
) -> Result<(), StorageError> {
    let value = js::object(&[
        ("what", what.into()),
        ("when", when.into()),
        ("text", text.into()),
    ]);
    if !raw.is_undefined() {
        js::set(&value, "raw", &raw);
    }
    writing.put(ASIDE, &super::new_key(when).into(), &value)
}

async fn aside_entries(reading: &Transaction) -> Result<Vec<Aside>, StorageError> {
    let keys = reading.keys(ASIDE).await?;
    let values = reading.values(ASIDE).await?;
    Ok(keys
        .iter()
        .zip(values.iter())
        .filter_map(|(key, value)| Some(Aside::of(key.as_string()?, &value)))
        .collect())
}

/// A text that was set aside.
pub(super) async fn aside(connection: &Connection, key: &str) -> Result<String, StorageError> {
    let value = connection.read()?.get(ASIDE, &key.into()).await?;
    if value.is_undefined() {
        return Err(StorageError::NotThere);
    }
    Ok(js::text_in(&value, "text")
        .or_else(|| js::json(&value))
        .unwrap_or_default())
}

/// Deletes a text that was set aside.
pub(super) async fn forget_aside(connection: &Connection, key: &str) -> Result<(), StorageError> {
    let writing = connection.write()?;
    writing.delete(ASIDE, &key.into())?;
    writing.complete().await
}
