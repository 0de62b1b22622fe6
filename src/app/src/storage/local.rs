//! Local storage: a mirror of small run sheets beside the database, and their store where there is no database.
//!
//! It is written in the same instant, so it is what can still be written when the page is left. Run sheet, and stamp
//! of its last write, stand under two keys: the stamp alone is what other tabs listen to.

use web_sys::Storage;

use super::error::StorageError;
use super::row::{Kept, Local, Record, Stamp, Unreadable};
use super::{Aside, Entry, Shelf, js};

/// Heads our keys: all pages of an origin share its storage.
pub(super) const STAMP: &str = "glasswick/stamp/";
const SHEET: &str = "glasswick/sheet/";
const ASIDE: &str = "glasswick/aside/";
/// Keys of the first version of this page: its one run sheet, and texts it could not read, by time.
const FIRST_SHEET: &str = "glasswick/open";
const FIRST_ASIDE: &str = "glasswick/set-aside/";

/// What is said of a text that could not be read.
pub(super) const UNREADABLE: &str = "A run sheet that could not be read";

/// Larger run sheets would take too much of the few megabytes there are.
const MIRROR_BYTES: usize = 64 * 1024;

/// What local storage holds under an identifier.
pub(super) enum Found {
    Nothing,
    Damaged,
    Newer,
    Sheet(Box<Local>),
}

/// The browser's local storage.
pub(super) fn storage() -> Result<Storage, StorageError> {
    web_sys::window()
        .and_then(|window| window.local_storage().ok().flatten())
        .ok_or(StorageError::Unavailable)
}

/// Whether anything can be written.
pub(super) fn works() -> bool {
    const PROBE: &str = "glasswick/probe";
    put(PROBE, "1").is_ok() && remove(PROBE).is_ok()
}

pub(super) fn get(key: &str) -> Option<String> {
    storage().ok()?.get_item(key).ok().flatten()
}

pub(super) fn put(key: &str, value: &str) -> Result<(), StorageError> {
    storage()?
        .set_item(key, value)
        .map_err(|thrown| StorageError::of(&thrown))
}

pub(super) fn remove(key: &str) -> Result<(), StorageError> {
    storage()?
        .remove_item(key)
        .map_err(|thrown| StorageError::of(&thrown))
}

/// What follows a prefix in the keys that have it.
fn keys(prefix: &str) -> Vec<String> {
    let Ok(storage) = storage() else {
        return Vec::new();
    };
    (0..storage.length().unwrap_or_default())
        .filter_map(|position| storage.key(position).ok().flatten())
        .filter_map(|key| Some(key.strip_prefix(prefix)?.to_owned()))
        .collect()
}

fn key(prefix: &str, id: &str) -> String {
    [prefix, id].concat()
}

/// Identifiers of all run sheets here.
pub(super) fn ids() -> Vec<String> {
    keys(SHEET)
}

/// The stamp of the last write of a run sheet, by any tab.
pub(super) fn stamp(id: &str) -> Option<Stamp> {
    Stamp::read(&get(&key(STAMP, id))?)
}

/// The run sheet here.
pub(super) fn find(id: &str) -> Found {
    let Some(text) = get(&key(SHEET, id)) else {
        return Found::Nothing;
    };
    match Local::read(&text) {
        Ok(local) => Found::Sheet(Box::new(local)),
        Err(Unreadable::Newer) => Found::Newer,
        Err(Unreadable::Damaged) => Found::Damaged,
    }
}

/// Mirrors a run sheet; a foreign mirror that the database never held is set aside first.
pub(super) fn mirror(
    id: &str,
    record: &Record,
    base: Option<&Stamp>,
    kept: bool,
) -> Result<(), StorageError> {
    let ours = &record.row.stamp;
    match stamp(id) {
        // A later write of this tab is here already.
        Some(last) if ours.precedes(&last) => return Ok(()),
        Some(last) if last.tab == ours.tab || Some(&last) == base => {}
        _ => spare(id)?,
    }
    if record.bytes() > MIRROR_BYTES {
        if !kept {
            return Err(StorageError::Underway);
        }
        // What stands here is older than what the database holds.
        remove(&key(SHEET, id))?;
    } else {
        write(id, record, base, kept)?;
    }
    put(&key(STAMP, id), &ours.to_string())
}

fn write(id: &str, record: &Record, base: Option<&Stamp>, kept: bool) -> Result<(), StorageError> {
    // A run sheet always has JSON.
    let json = record.json(base, kept).ok_or(StorageError::Damaged)?;
    put(&key(SHEET, id), &json)
}

/// Sets aside what is here of a run sheet, unless the database held it.
pub(super) fn spare(id: &str) -> Result<(), StorageError> {
    let what = match find(id) {
        Found::Nothing => return Ok(()),
        Found::Newer => return Err(StorageError::Newer),
        Found::Sheet(local) if local.kept => return Ok(()),
        Found::Sheet(local) => {
            let title = &local.record.row.summary.title;
            ["“", title, "”, changed while another tab changed it"].concat()
        }
        Found::Damaged => UNREADABLE.to_owned(),
    };
    let key = key(SHEET, id);
    set_aside(&what, &get(&key).unwrap_or_default(), &crate::dom::now())?;
    remove(&key)
}

/// Takes note that the database holds this one, and nothing here is later.
pub(super) fn outgrown(id: &str, stored: &Stamp) -> Result<(), StorageError> {
    spare(id)?;
    remove(&key(SHEET, id))?;
    put(&key(STAMP, id), &stored.to_string())
}

/// Removes all there is of a run sheet.
pub(super) fn purge(id: &str) -> Result<(), StorageError> {
    remove(&key(SHEET, id))?;
    remove(&key(STAMP, id))
}

/// Sets when a run sheet was thrown away, or that it is not.
pub(super) fn set_thrown_away(id: &str, when: Option<&str>) -> Result<(), StorageError> {
    let mut local = sheet(id)?;
    local.record.row.thrown_away = when.map(str::to_owned);
    write(id, &local.record, local.base.as_ref(), local.kept)
}

fn sheet(id: &str) -> Result<Box<Local>, StorageError> {
    match find(id) {
        Found::Nothing => Err(StorageError::NotThere),
        Found::Newer => Err(StorageError::Newer),
        Found::Damaged => {
            spare(id)?;
            Err(StorageError::Damaged)
        }
        Found::Sheet(local) => Ok(local),
    }
}

/// Reads a run sheet, where local storage is the store.
pub(super) fn load(id: &str) -> Result<Kept, StorageError> {
    Ok(sheet(id)?.record.kept())
}

/// Writes a run sheet, where local storage is the store.
pub(super) fn save(id: &str, base: Option<&Stamp>, mut record: Record) -> Result<(), StorageError> {
    let stamp = record.row.stamp.clone();
    let in_database = match sheet(id) {
        Ok(old) => {
            let last = &old.record.row.stamp;
            if stamp.precedes(last) {
                return Ok(());
            }
            if Some(last) != base && !last.precedes(&stamp) {
                return Err(StorageError::Conflict);
            }
            record
                .row
                .thrown_away
                .clone_from(&old.record.row.thrown_away);
            if old.kept {
                Some(last.clone())
            } else {
                old.base
            }
        }
        Err(StorageError::NotThere) if base.is_some() => return Err(StorageError::NotThere),
        Err(StorageError::NotThere | StorageError::Damaged) => None,
        Err(error) => return Err(error),
    };
    write(id, &record, in_database.as_ref(), false)?;
    put(&key(STAMP, id), &stamp.to_string())
}

/// Lists everything, where local storage is the store.
pub(super) fn shelf() -> Result<Shelf, StorageError> {
    storage()?;
    let mut entries = Vec::new();
    for id in ids() {
        match find(&id) {
            Found::Sheet(local) => entries.push(Entry::of(id, local.record.row)),
            Found::Newer => entries.push(super::database::newer(
                id.clone(),
                &get(&key(SHEET, &id))
                    .and_then(|text| js::parse(&text))
                    .unwrap_or_default(),
            )),
            // Where it cannot be set aside it stays where it is.
            Found::Damaged => drop(spare(&id)),
            Found::Nothing => {}
        }
    }
    Ok(Shelf {
        entries,
        aside: asides(),
    })
}

/// Sets a text aside.
pub(super) fn set_aside(what: &str, text: &str, when: &str) -> Result<(), StorageError> {
    let value = js::object(&[
        ("what", what.into()),
        ("when", when.into()),
        ("text", text.into()),
    ]);
    let json = js::json(&value).ok_or(StorageError::Damaged)?;
    put(&key(ASIDE, &super::new_key(when)), &json)
}

/// What was set aside here, by this version of the page or the first.
pub(super) fn asides() -> Vec<Aside> {
    let ours = keys(ASIDE).into_iter().map(|name| {
        let key = key(ASIDE, &name);
        let value = get(&key).and_then(|text| js::parse(&text));
        Aside::of(key, &value.unwrap_or_default())
    });
    let first = keys(FIRST_ASIDE).into_iter().map(|when| {
        let key = key(FIRST_ASIDE, &when);
        Aside {
            bytes: get(&key).unwrap_or_default().len(),
            key,
            what: UNREADABLE.to_owned(),
            when,
        }
    });
    ours.chain(first).collect()
}

/// Whether the key of something set aside is one of local storage.
pub(super) fn holds(key: &str) -> bool {
    key.starts_with(ASIDE) || key.starts_with(FIRST_ASIDE)
}

/// A text that was set aside here.
pub(super) fn aside(key: &str) -> Result<String, StorageError> {
    let text = get(key).ok_or(StorageError::NotThere)?;
    if key.starts_with(FIRST_ASIDE) {
        return Ok(text);
    }
    Ok(js::parse(&text)
        .and_then(|value| js::text_in(&value, "text"))
        .unwrap_or(text))
}

/// The run sheet that the first version of this page kept.
pub(super) fn first_sheet() -> Option<String> {
    get(FIRST_SHEET)
}

/// Removes it.
pub(super) fn forget_first_sheet() {
    // Where it cannot be removed it is offered again, which loses nothing.
    let _ = remove(FIRST_SHEET);
}
