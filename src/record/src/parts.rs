//! A run sheet in parts: measured points are large and never change, so a store keeps them apart, by their hash.

use std::rc::Rc;

use glasswick_core::sheet::Input;
use serde_json::Value;

use crate::canonical::sha256;
use crate::document::Document;
use crate::error::RestoreError;
use crate::read::{APART, Restored, restore_with};
use crate::write::run_sheet_json;

/// Shorter points stay in the run sheet: an entry of its own in a store costs about as much.
const LONGEST_INSIDE: usize = 1024;

/// A run sheet in parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parts {
    /// The run-sheet file, with long points replaced by their hash.
    pub text: String,
    /// Texts of long points by their SHA-256 in hexadecimal digits; each once.
    pub blobs: Vec<(String, Rc<str>)>,
}

/// Takes a run sheet apart.
#[must_use]
pub fn parts(document: &Document) -> Parts {
    let mut sheet = run_sheet_json(document);
    let mut blobs: Vec<(String, Rc<str>)> = Vec::new();
    for (position, card) in document.sheet.cards.iter().enumerate() {
        for (field, input) in &card.inputs {
            let Input::Points(points) = input else {
                continue;
            };
            let place = format!("/cards/{position}/inputs/{field}/points");
            if points.text.len() > LONGEST_INSIDE
                && let Some(Value::Object(written)) = sheet.pointer_mut(&place)
            {
                let hash = sha256(points.text.as_bytes());
                written.shift_remove("text");
                written.insert(APART.into(), hash.as_str().into());
                if blobs.iter().all(|(known, _)| *known != hash) {
                    blobs.push((hash, points.text.as_str().into()));
                }
            }
        }
    }
    Parts {
        text: sheet.to_string(),
        blobs,
    }
}

/// Puts a run sheet together again; `blob` finds a text by its hash. Points that are missing or not what was stored
/// leave their box empty: their reference is kept, so that they come back when they are found, and a note says so.
///
/// # Errors
/// As [`restore`](crate::restore()).
pub fn restore_parts(
    text: &str,
    blob: impl Fn(&str) -> Option<String>,
) -> Result<Restored, RestoreError> {
    restore_with(text, &blob)
}
