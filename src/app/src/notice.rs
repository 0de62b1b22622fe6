//! Something to say above what is shown, until it is put away.

use yew::prelude::*;

/// Something to say above what is shown.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Notice {
    /// The sentence.
    pub(crate) sentence: String,
    /// More, one line each.
    pub(crate) lines: Vec<String>,
    /// A text to export, where there is one.
    pub(crate) text: Option<String>,
}

/// Where notices go.
pub(crate) type Notices = UseStateSetter<Option<Notice>>;

impl Notice {
    /// A sentence alone.
    pub(crate) fn new(sentence: impl Into<String>) -> Self {
        Notice {
            sentence: sentence.into(),
            lines: Vec::new(),
            text: None,
        }
    }

    /// A sentence and the way out.
    pub(crate) fn with(sentence: impl Into<String>, hint: impl Into<String>) -> Self {
        Notice {
            lines: vec![hint.into()],
            ..Notice::new(sentence)
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
