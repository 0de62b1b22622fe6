//! The only module that touches the browser's storage. It knows texts, not what they mean, and it never loses one.
//!
//! Run sheets are kept in the browser's database, and are kept when its strict transaction has completed. Local
//! storage mirrors small ones, takes what must be written in the instant in which the page is left, and stands in
//! where there is no database. Each write carries a [`Stamp`], and none replaces what its caller has not read: two
//! tabs on one run sheet are noticed, and nothing is overwritten. What cannot be read is set aside and listed.
//!
//! Reading order: [`row`] (what is kept), [`connection`] (the database and its transactions), [`database`] and
//! [`local`] (the two stores), [`tabs`], then [`store`], which puts them together.

mod connection;
mod database;
mod error;
mod js;
mod local;
mod row;
pub(crate) mod settings;
mod store;
mod tabs;
#[cfg(test)]
#[cfg(target_arch = "wasm32")]
mod tests;

use wasm_bindgen::JsValue;

use row::Row;

use crate::dom::random_id;

pub(crate) use error::StorageError;
pub(crate) use row::{Kept, Saving, Stamp, Summary};
pub(crate) use store::Store;

/// Where run sheets are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Keeper {
    /// In the browser's database.
    Database,
    /// In local storage, which may lose the last seconds when the browser is killed.
    LocalStorage,
    /// Nowhere.
    Nothing,
}

/// A run sheet as the shelf lists it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Entry {
    /// Its identifier.
    pub(crate) id: String,
    /// What the shelf shows.
    pub(crate) summary: Summary,
    /// When it was changed.
    pub(crate) changed: String,
    /// When it was thrown away, where it was.
    pub(crate) thrown_away: Option<String>,
    /// Whether a newer version of this page kept it: then it can be neither opened nor changed here.
    pub(crate) newer: bool,
}

impl Entry {
    fn of(id: String, row: Row) -> Self {
        Entry {
            id,
            summary: row.summary,
            changed: row.changed,
            thrown_away: row.thrown_away,
            newer: false,
        }
    }
}

/// A text that was set aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Aside {
    /// Where it is.
    pub(crate) key: String,
    /// What it is.
    pub(crate) what: String,
    /// When it was set aside.
    pub(crate) when: String,
    /// Its length.
    pub(crate) bytes: usize,
}

impl Aside {
    fn of(key: String, value: &JsValue) -> Self {
        let part = |name| js::text_in(value, name).unwrap_or_default();
        Aside {
            key,
            what: part("what"),
            when: part("when"),
            bytes: part("text").len(),
        }
    }
}

/// All that is kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Shelf {
    /// Run sheets, those in the trash too; what was changed last comes first.
    pub(crate) entries: Vec<Entry>,
    /// What was set aside.
    pub(crate) aside: Vec<Aside>,
}

/// Space in bytes, as the browser estimates it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Space {
    /// What this page uses.
    pub(crate) used: f64,
    /// What it may use.
    pub(crate) quota: f64,
}

/// A key for what is set aside now.
fn new_key(when: &str) -> String {
    [when, " ", &random_id()].concat()
}
