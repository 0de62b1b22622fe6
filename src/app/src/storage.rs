//! The only module that touches web storage. It keeps one text, the open run sheet, and never loses one: what
//! cannot be read is set aside under another key.

use core::fmt;

use web_sys::Storage;

/// Heads our keys: all pages of an origin share its storage.
const OPEN: &str = "glasswick/open";
const SET_ASIDE: &str = "glasswick/set-aside/";

/// Why nothing could be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum StorageError {
    /// The browser gives no storage: a setting or a private window blocks it.
    Unavailable,
    /// The storage is full, or the browser refused to write.
    Full,
}

impl fmt::Display for StorageError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            StorageError::Unavailable => "This browser keeps nothing for this page.",
            StorageError::Full => "The browser's storage for this page is full.",
        })
    }
}

impl core::error::Error for StorageError {}

fn storage() -> Result<Storage, StorageError> {
    let window = web_sys::window().ok_or(StorageError::Unavailable)?;
    window
        .local_storage()
        .ok()
        .flatten()
        .ok_or(StorageError::Unavailable)
}

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
