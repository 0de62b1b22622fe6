//! What the page starts with: what was kept last, or an empty run sheet.

use glasswick_record::{Document, restore};

use crate::{dom, storage};

/// What the page starts with.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Start {
    /// The run sheet.
    pub(crate) document: Document,
    /// What there is to say about it.
    pub(crate) notice: Option<Notice>,
    /// Why nothing will be kept, where that is known from the start.
    pub(crate) unkept: Option<String>,
    /// Whether it was read from what was kept.
    pub(crate) restored: bool,
}

/// Something to say above the cards.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Notice {
    /// The sentence.
    pub(crate) sentence: String,
    /// More, one line each.
    pub(crate) lines: Vec<String>,
    /// A text to export, where there is one.
    pub(crate) text: Option<String>,
}

impl Notice {
    /// A sentence alone.
    pub(crate) fn new(sentence: impl Into<String>) -> Self {
        Notice {
            sentence: sentence.into(),
            lines: Vec::new(),
            text: None,
        }
    }

    /// What was repaired while reading; none where nothing was.
    pub(crate) fn repaired(lines: Vec<String>) -> Option<Self> {
        (!lines.is_empty()).then(|| Notice {
            lines,
            ..Notice::new("Some of this run sheet was repaired while it was read.")
        })
    }
}

/// Reads what was kept last.
pub(crate) fn start() -> Start {
    let kept = match storage::load() {
        Ok(kept) => kept,
        Err(error) => {
            return Start {
                unkept: Some(error.to_string()),
                ..Start::default()
            };
        }
    };
    let Some(text) = kept else {
        return Start::default();
    };
    match restore(&text) {
        Ok(restored) => Start {
            document: restored.document,
            notice: Notice::repaired(restored.notes),
            unkept: None,
            restored: true,
        },
        Err(error) => {
            let aside = storage::set_aside(&text, &dom::now());
            // Without a copy, the next save would overwrite the only one.
            let unkept = aside.err().map(|error| error.to_string());
            Start {
                notice: Some(Notice {
                    lines: vec![format!("{error} {}", error.hint())],
                    text: Some(text),
                    ..Notice::new(
                        "What was kept here last could not be read. It is set aside, not deleted.",
                    )
                }),
                unkept,
                ..Start::default()
            }
        }
    }
}
