//! What the first page kept: one text, the open run sheet. To be removed once the page keeps its run sheets in
//! [`super::Store`].

use super::error::StorageError;
use super::local::storage;

/// Heads our keys: all pages of an origin share its storage.
const OPEN: &str = "glasswick/open";
const SET_ASIDE: &str = "glasswick/set-aside/";

/// The text that was kept last; none before the first.
pub(crate) fn load() -> Result<Option<String>, StorageError> {
    storage()?
        .get_item(OPEN)
        .map_err(|_| StorageError::Unavailable)
}

/// Keeps a text. It is kept when this returns.
pub(crate) fn save(text: &str) -> Result<(), StorageError> {
    storage()?
        .set_item(OPEN, text)
        .map_err(|_| StorageError::Full)
}

/// Keeps a text that could not be read, under a key that says when, beside whatever else was set aside.
pub(crate) fn set_aside(text: &str, when: &str) -> Result<(), StorageError> {
    storage()?
        .set_item(&format!("{SET_ASIDE}{when}"), text)
        .map_err(|_| StorageError::Full)
}
