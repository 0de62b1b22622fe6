//! Run sheets and records on their way in and out, with what there is to say about it.

use glasswick_core::sheet::{Evaluation, evaluate};
use glasswick_record::{
    Document, Origin, RestoreError, Restored, parts, record_json, restore_all, restore_parts,
    run_sheet_text, shelf_text, text,
};
use serde_json::Value;

use crate::dom;
use crate::files::{self, hand_out};
use crate::notice::{Notice, Notices};
use crate::opening::read;
use crate::storage::{Saving, Store, Summary};
use crate::view::{overview, summary};

/// Hands out the run sheet as a file.
pub(crate) fn export_sheet(document: &Document, notices: &Notices) {
    let name = files::name(&document.about.title, "run-sheet");
    hand_out(notices, &name, &run_sheet_text(document));
}

/// Hands out the record as a file.
pub(crate) fn export_record(document: &Document, evaluation: &Evaluation, notices: &Notices) {
    let exported = dom::now();
    let origin = Origin {
        app_version: env!("CARGO_PKG_VERSION"),
        exported: &exported,
    };
    let name = files::name(&document.about.title, "record");
    let record = record_json(document, evaluation, &origin);
    hand_out(notices, &name, &text(&record));
}

/// Hands out run sheets from the shelf: one as its own file, several as one.
pub(crate) async fn export_kept(store: &Store, ids: &[String], notices: &Notices) {
    let mut documents = Vec::with_capacity(ids.len());
    let mut unread = Vec::new();
    for id in ids {
        match store.load(id).await {
            Ok(kept) => match read(&kept) {
                Ok(restored) => documents.push(restored.document),
                Err(notice) => unread.push(notice.sentence),
            },
            Err(error) => unread.push(error.to_string()),
        }
    }
    match documents.as_slice() {
        [] => {}
        [document] if ids.len() == 1 => export_sheet(document, notices),
        all => hand_out(notices, "glasswick-shelf.json", &shelf_text(all)),
    }
    if !unread.is_empty() {
        notices.set(Some(Notice {
            lines: unread,
            ..Notice::new("Not every run sheet could be read.")
        }));
    }
}

/// What came of an import.
pub(crate) struct Imported {
    /// Identifiers of the new run sheets.
    pub(crate) ids: Vec<String>,
    /// What there is to say.
    pub(crate) notice: Option<Notice>,
}

/// Puts the run sheets in these texts onto the shelf, each as a new one.
pub(crate) async fn import(store: &Store, texts: Vec<String>) -> Imported {
    let (mut ids, mut lines, mut refused) = (Vec::new(), Vec::new(), 0_usize);
    for text in texts {
        let restored = match set_aside(&text).unwrap_or_else(|| restore_all(&text)) {
            Ok(restored) => restored,
            Err(error) => {
                refused += 1;
                lines.push(format!("{error} {}", error.hint()));
                continue;
            }
        };
        for restored in restored {
            lines.extend(restored.notes);
            let id = dom::random_id();
            let evaluation = evaluate(&restored.document.sheet);
            let steps = overview(&restored.document, &evaluation);
            let summary = summary(&restored.document, &steps);
            let saving = saving(&restored.document, summary);
            match store.save(&id, None, &saving).await {
                Ok(_) => ids.push(id),
                Err(error) => {
                    refused += 1;
                    lines.push(format!("{error} {}", error.hint()));
                }
            }
        }
    }
    let notice = match (refused, lines.is_empty()) {
        (0, true) => None,
        (0, false) => Notice::repaired(lines),
        _ => Some(Notice {
            lines,
            ..Notice::new(if ids.is_empty() {
                "Nothing was imported."
            } else {
                "Not everything was imported."
            })
        }),
    };
    Imported { ids, notice }
}

/// The run sheet in a text that the store set aside, with its points beside it; none where it is no such text.
fn set_aside(text: &str) -> Option<Result<Vec<Restored>, RestoreError>> {
    let aside: Value = serde_json::from_str(text).ok()?;
    if aside.get("format").is_some() {
        return None;
    }
    let sheet = aside.get("text")?.as_str()?;
    let points = |hash: &str| Some(aside.get("texts")?.get(hash)?.as_str()?.to_owned());
    Some(restore_parts(sheet, points).map(|restored| vec![restored]))
}

/// A run sheet as the store takes it, with what the shelf says of it.
pub(crate) fn saving(document: &Document, summary: Summary) -> Saving {
    let parts = parts(document);
    Saving {
        text: parts.text,
        blobs: parts.blobs,
        summary,
        changed: dom::now(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_store_set_aside_is_a_run_sheet_again() {
        let mut document = Document::default();
        document.about.title = "Tiles".into();
        let aside = serde_json::json!({ "text": run_sheet_text(&document), "texts": {} });
        let restored = set_aside(&aside.to_string()).unwrap().unwrap();
        assert_eq!(restored[0].document, document);
        for other in [&*run_sheet_text(&document), "", "[1]", r#"{"text":1}"#] {
            assert!(set_aside(other).is_none(), "{other}");
        }
        assert!(set_aside(r#"{"text":"no run sheet"}"#).unwrap().is_err());
    }
}
