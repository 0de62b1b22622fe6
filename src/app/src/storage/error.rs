//! Why something could not be kept or read back.

use core::fmt;

use wasm_bindgen::JsValue;

use super::js;

/// Why something could not be kept or read back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum StorageError {
    /// The browser gives no storage: a setting or a private window blocks it.
    Unavailable,
    /// The database does not open: another tab holds it, or the browser does not answer.
    Blocked,
    /// The browser closed the database, and it did not come back.
    Closed,
    /// The storage is full.
    Full,
    /// Another tab has kept this run sheet since it was read here.
    Conflict,
    /// No run sheet is kept under this identifier.
    NotThere,
    /// It was kept by a newer version of this page.
    Newer,
    /// What was kept cannot be read; it was set aside.
    Damaged,
    /// The database is still writing: the run sheet is too large to be kept in the same instant.
    Underway,
    /// The browser refused, with the name it gives to the reason.
    Refused {
        /// The browser's name for it.
        name: String,
    },
}

impl StorageError {
    /// What a person can do.
    pub(crate) fn hint(&self) -> &'static str {
        match self {
            StorageError::Unavailable => {
                "Allow this page to keep data, or leave the private window. Until then, export your work."
            }
            StorageError::Blocked => "Close the other tabs of this page, then reload.",
            StorageError::Closed => "Export your work, then reload.",
            StorageError::Full => {
                "Export your work, then empty the trash or free space on this device."
            }
            StorageError::Conflict => "Take the other version, or keep yours as a copy.",
            StorageError::NotThere => {
                "It may have been deleted in another tab. Yours can be kept as a new one."
            }
            StorageError::Newer => "Reload to get the newer version of this page.",
            StorageError::Damaged => {
                "It is listed on the shelf under what was set aside. Export it from there."
            }
            StorageError::Underway => {
                "Leave this tab open until it says that the run sheet is saved."
            }
            StorageError::Refused { .. } => "Export your work, then reload.",
        }
    }

    /// What the browser threw, or the error of a request.
    pub(super) fn of(thrown: &JsValue) -> Self {
        let name = js::text_in(thrown, "name").unwrap_or_else(|| "no reason given".to_owned());
        match name.as_str() {
            "QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED" => StorageError::Full,
            "SecurityError" => StorageError::Unavailable,
            "VersionError" => StorageError::Newer,
            // A transaction cannot begin, or ends unasked, when the browser closed the database.
            "InvalidStateError" | "AbortError" => StorageError::Closed,
            _ => StorageError::Refused { name },
        }
    }
}

impl fmt::Display for StorageError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sentence = match self {
            StorageError::Unavailable => "This browser does not let this page use its storage.",
            StorageError::Blocked => "The browser's database for this page does not open.",
            StorageError::Closed => "The browser closed the database of this page.",
            StorageError::Full => "The browser's storage for this page is full.",
            StorageError::Conflict => "Another tab has changed this run sheet.",
            StorageError::NotThere => "This run sheet is no longer kept here.",
            StorageError::Newer => "This was kept by a newer version of this page.",
            StorageError::Damaged => "What was kept of this run sheet could not be read.",
            StorageError::Underway => "This run sheet is still being written.",
            StorageError::Refused { name } => {
                out.write_str("The browser refused to keep or read this run sheet: ")?;
                out.write_str(name)?;
                "."
            }
        };
        out.write_str(sentence)
    }
}

impl core::error::Error for StorageError {}
