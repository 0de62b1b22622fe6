//! How a card stands, and so a run sheet.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{CardResult, State};

/// How a card stands; the later, the more it asks for a look.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Standing {
    /// It has results; no rule was there to check them.
    Computed,
    /// Every rule that was applied holds.
    InRange,
    /// Something is worth knowing.
    Note,
    /// Something is still missing.
    Waiting,
    /// Something is worth a second look.
    Warning,
    /// Something that was entered cannot be so.
    Stopped,
}

const ALL: [Standing; 6] = [
    Standing::Computed,
    Standing::InRange,
    Standing::Note,
    Standing::Waiting,
    Standing::Warning,
    Standing::Stopped,
];

impl Standing {
    /// How a card stands.
    pub(crate) fn of(card: &CardResult) -> Self {
        match (&card.state, card.level()) {
            (State::Waiting(_), _) => Standing::Waiting,
            (State::Stopped(_), _) => Standing::Stopped,
            (State::Ready, None) => Standing::Computed,
            (State::Ready, Some(level)) => Standing::from(level),
        }
    }

    /// The word that is shown.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Standing::Waiting => "waiting",
            Standing::Computed => "computed",
            Standing::InRange => Level::InRange.word(),
            Standing::Note => Level::Note.word(),
            Standing::Warning => Level::Warning.word(),
            Standing::Stopped => "stopped",
        }
    }

    /// The standing with this word.
    pub(crate) fn read(word: &str) -> Option<Self> {
        ALL.into_iter().find(|standing| standing.word() == word)
    }

    /// The class that goes with it.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Standing::Waiting => "waiting",
            Standing::Computed => "computed",
            Standing::InRange => "in-range",
            Standing::Note => "note",
            Standing::Warning => "warning",
            Standing::Stopped => "stopped",
        }
    }
}

impl From<Level> for Standing {
    fn from(level: Level) -> Self {
        match level {
            Level::InRange => Standing::InRange,
            Level::Note => Standing::Note,
            Level::Warning => Standing::Warning,
        }
    }
}
