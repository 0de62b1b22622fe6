//! Several run sheets in one file: what is handed out when a whole shelf is exported.

use serde_json::{Value, json};

use crate::document::Document;
use crate::read::{MOST_LEVELS, Restored, parse_within, restore, run_sheet, version};
use crate::{FORMAT_VERSION, RestoreError, run_sheet_json, text};

/// Heads a file of several run sheets.
pub const SHELF_FORMAT: &str = "glasswick-shelf";

/// Longer files of several run sheets are refused, in MiB.
pub const MOST_SHELF_MIB: usize = 64;

/// The file of these run sheets.
#[must_use]
pub fn shelf_text(documents: &[Document]) -> String {
    text(&json!({
        "format": SHELF_FORMAT,
        "format_version": FORMAT_VERSION,
        "sheets": documents.iter().map(run_sheet_json).collect::<Vec<_>>(),
    }))
}

/// Reads every run sheet in a text: of a file of several, or the one of a run sheet or record.
///
/// # Errors
/// As [`restore`]; one run sheet that is refused refuses the file.
pub fn restore_all(text: &str) -> Result<Vec<Restored>, RestoreError> {
    let head: String = text
        .chars()
        .filter(|c| !c.is_whitespace())
        .take(40)
        .collect();
    if !head.contains(SHELF_FORMAT) {
        return Ok(vec![restore(text)?]);
    }
    if text.len() > MOST_SHELF_MIB << 20 {
        return Err(RestoreError::TooMany {
            what: "MiB in this file".into(),
            most: MOST_SHELF_MIB,
        });
    }
    // The list and the object around it are two levels more.
    let mut root = parse_within(text, text.len(), MOST_LEVELS + 2)?;
    version(&root)?;
    match root.shift_remove("sheets") {
        Some(Value::Array(sheets)) => sheets
            .into_iter()
            .map(|sheet| match sheet {
                Value::Object(sheet) => run_sheet(sheet, &|_| None),
                _ => Err(RestoreError::NotOurs),
            })
            .collect(),
        _ => Err(RestoreError::NoSheet),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(title: &str) -> Document {
        let mut document = Document::default();
        document.about.title = title.into();
        document
    }

    #[test]
    fn a_shelf_comes_back_in_its_order() {
        let documents = [named("a"), named("b, copy"), Document::default()];
        let restored = restore_all(&shelf_text(&documents)).unwrap();
        let back: Vec<_> = restored.into_iter().map(|sheet| sheet.document).collect();
        assert_eq!(back, documents);
        assert_eq!(restore_all(&shelf_text(&[])).unwrap().len(), 0);
    }

    #[test]
    fn a_single_run_sheet_is_read_as_well() {
        let alone = run_sheet_json(&named("c")).to_string();
        assert_eq!(restore_all(&alone).unwrap()[0].document, named("c"));
    }

    #[test]
    fn what_is_no_shelf_is_refused_with_a_way_out() {
        for (text, expected) in [
            ("", "The text is not JSON from line 1, column 0 on."),
            (
                r#"{"format":"glasswick-shelf"}"#,
                "The record holds no run sheet.",
            ),
            (
                r#"{"format":"glasswick-shelf","sheets":[1]}"#,
                "The text is neither a run sheet nor a record.",
            ),
            (
                r#"{"format":"glasswick-shelf","format_version":"9.0","sheets":[]}"#,
                "The file has format version 9.0; this version reads up to 1.x.",
            ),
        ] {
            let error = restore_all(text).unwrap_err();
            assert_eq!(error.to_string(), expected);
            assert!(!error.hint().is_empty());
        }
    }
}
