//! Run sheets and records on their way in and out, with what there is to say about it.

use std::rc::Rc;

use glasswick_core::sheet::Evaluation;
use glasswick_record::{Document, Origin, record_json, restore, run_sheet_text, text};
use web_sys::File;
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::start::Notice;
use crate::state::Action;
use crate::{dom, files};

/// The demo run sheet.
pub(crate) const DEMO: &str = include_str!("../../../demo-data/zinc-oxide-tiles.json");

/// Where notices go.
pub(crate) type Notices = UseStateSetter<Option<Notice>>;

/// Opens a text through the one gate; what it refuses is said, what it repaired too.
pub(crate) fn opener(act: &Callback<Action>, notice: &Notices) -> Callback<String> {
    let (act, notice) = (act.clone(), notice.clone());
    Callback::from(move |text: String| match restore(&text) {
        Ok(restored) => {
            notice.set(Notice::repaired(restored.notes));
            act.emit(Action::Open(Rc::new(restored.document)));
        }
        Err(error) => notice.set(Some(Notice {
            lines: vec![error.hint().to_owned()],
            ..Notice::new(error.to_string())
        })),
    })
}

pub(crate) fn export(notice: &Notices, name: &str, text: &str) {
    if files::download(name, text).is_err() {
        notice.set(Some(Notice {
            text: Some(text.to_owned()),
            ..Notice::new("This browser did not take the file. Allow downloads for this page, then export again.")
        }));
    }
}

/// Hands out the run sheet as a file.
pub(crate) fn export_sheet(document: &Document, notice: &Notices) {
    let name = files::name(&document.about.title, "run-sheet");
    export(notice, &name, &run_sheet_text(document));
}

/// Hands out the record as a file.
pub(crate) fn export_record(document: &Document, evaluation: &Evaluation, notice: &Notices) {
    let exported = dom::now();
    let origin = Origin {
        app_version: env!("CARGO_PKG_VERSION"),
        exported: &exported,
    };
    let name = files::name(&document.about.title, "record");
    export(
        notice,
        &name,
        &text(&record_json(document, evaluation, &origin)),
    );
}

/// Opens the file a person chose.
pub(crate) fn importer(open: &Callback<String>, notice: &Notices) -> Callback<File> {
    let (open, notice) = (open.clone(), notice.clone());
    Callback::from(move |file: File| {
        let (open, notice) = (open.clone(), notice.clone());
        spawn_local(async move {
            match files::read(file).await {
                Ok(text) => open.emit(text),
                Err(sentence) => notice.set(Some(Notice::new(sentence))),
            }
        });
    })
}
