//! How a run sheet gets onto the page: from the store, from a link, or as a new one.

use std::rc::Rc;

use glasswick_core::calculators;
use glasswick_record::{Document, Restored, restore, restore_parts};

use crate::chain::{chain, started, with_cards};
use crate::notice::Notice;
use crate::route::{New, Route};
use crate::storage::{Kept, Stamp, Store};
use crate::{dom, link};

/// The demo run sheet.
const DEMO: &str = include_str!("../../../demo-data/zinc-oxide-tiles.json");
/// Cells of two processes, compared.
const TWO_PROCESSES: &str = include_str!("../../../demo-data/two-firings.json");

/// A run sheet that is open.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Opened {
    /// Its identifier in the store.
    pub(crate) id: String,
    /// The run sheet.
    pub(crate) document: Rc<Document>,
    /// The store's stamp when it was read; none while it is not there.
    pub(crate) stamp: Option<Stamp>,
    /// Whether it came by a link, and is kept only once it is changed or someone asks for it.
    pub(crate) copy: bool,
}

/// Opens what an address names; the notice says what was repaired, or why it cannot be opened.
pub(crate) async fn open(store: &Store, route: &Route) -> Result<(Opened, Option<Notice>), Notice> {
    let fresh = |document: Document| Opened {
        id: dom::random_id(),
        document: Rc::new(document),
        stamp: None,
        copy: false,
    };
    match route {
        Route::Sheet { id, .. } | Route::Record { id } => stored(store, id).await,
        Route::Link { state, .. } => {
            let restored = link::open(state).await?;
            let opened = Opened {
                copy: true,
                ..fresh(restored.document)
            };
            Ok((opened, Notice::repaired(restored.notes)))
        }
        Route::New(New::CopyOf(id)) => {
            let (from, notice) = stored(store, id).await?;
            Ok((fresh(copy_of(&from.document)), notice))
        }
        Route::New(New::NextBatchOf(id)) => {
            let (from, notice) = stored(store, id).await?;
            Ok((fresh(from.document.next_batch()), notice))
        }
        Route::New(New::Chain) => Ok((fresh(chain()), None)),
        Route::New(New::Demo) => Ok((fresh(invented(DEMO)?), None)),
        Route::New(New::TwoProcesses) => Ok((fresh(invented(TWO_PROCESSES)?), None)),
        Route::New(New::Calculator(id)) => Ok((fresh(one(id)?), None)),
        Route::New(New::Empty) | Route::Shelf | Route::Begin | Route::Unknown => {
            Ok((fresh(Document::default()), None))
        }
    }
}

/// An invented run sheet that comes with the page.
fn invented(text: &str) -> Result<Document, Notice> {
    match restore(text) {
        Ok(restored) => Ok(restored.document),
        Err(error) => Err(Notice::with(error.to_string(), error.hint())),
    }
}

/// The same run sheet once more, under a title that says so.
pub(crate) fn copy_of(document: &Document) -> Document {
    let mut copy = document.clone();
    let title = &mut copy.about.title;
    title.push_str(if title.is_empty() { "Copy" } else { ", copy" });
    copy
}

/// A run sheet as it is in the store.
pub(crate) async fn stored(store: &Store, id: &str) -> Result<(Opened, Option<Notice>), Notice> {
    let kept = match store.load(id).await {
        Ok(kept) => kept,
        Err(error) => return Err(Notice::with(error.to_string(), error.hint())),
    };
    match read(&kept) {
        Ok(restored) => {
            let opened = Opened {
                id: id.to_owned(),
                document: Rc::new(restored.document),
                stamp: Some(kept.stamp),
                copy: false,
            };
            Ok((opened, Notice::repaired(restored.notes)))
        }
        Err(mut notice) => {
            // It leaves the shelf only when its text is safe elsewhere.
            if store.set_aside(id, &kept.text, &dom::now()).await.is_ok() {
                // Where this fails it stays on the shelf as well: nothing is lost.
                let _ = store.purge(id).await;
                notice
                    .lines
                    .push("It is set aside on the shelf, not deleted.".into());
            }
            Err(notice)
        }
    }
}

/// What the store kept, as a run sheet again.
pub(crate) fn read(kept: &Kept) -> Result<Restored, Notice> {
    restore_parts(&kept.text, |hash| kept.blobs.get(hash).cloned()).map_err(|error| Notice {
        text: Some(kept.text.clone()),
        ..Notice::with(
            format!("What was kept of this run sheet cannot be read. {error}"),
            error.hint(),
        )
    })
}

/// A run sheet with one card.
fn one(calculator: &str) -> Result<Document, Notice> {
    let Some(known) = calculators::find(calculator) else {
        return Err(Notice::with(
            format!("This version does not know the calculator “{calculator}”."),
            "Choose one from the list.",
        ));
    };
    Ok(with_cards(vec![started(known, known.id)]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn invented_run_sheets_are_read_without_repair() {
        for text in [DEMO, TWO_PROCESSES] {
            let restored = restore(text).unwrap();
            assert_eq!(restored.notes, [""; 0]);
        }
    }
}
