//! What a calculator says when it cannot go on ([`Problem`]), and what a careful colleague would say when it
//! can ([`Check`]). Both are data: sentence, stable code and, for checks, the rule and its source. The page and
//! the native command only lay them out.

use crate::calculators::Field;

/// Where a fact comes from, and how we know it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// Author, title, clause or DOI.
    pub citation: &'static str,
    /// How the fact reached us.
    pub evidence: Evidence,
}

/// How a fact reached us.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Evidence {
    /// The text or data file was seen.
    Read,
    /// Follows from a definition, geometry or a conservation law.
    Derived,
    /// Computed with a general-purpose library, named in the citation.
    Computed,
    /// Common practice, no source.
    Practice,
    /// From memory, to be verified.
    Memory,
}

impl Evidence {
    /// The words printed after a citation.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Evidence::Read => "read in the source",
            Evidence::Derived => "follows from definitions",
            Evidence::Computed => "computed",
            Evidence::Practice => "common practice, no source",
            Evidence::Memory => "from memory, to be verified",
        }
    }
}

/// A source that was seen.
#[must_use]
pub const fn read(citation: &'static str) -> Source {
    Source {
        citation,
        evidence: Evidence::Read,
    }
}

/// A relation that follows from definitions, geometry or a conservation law.
#[must_use]
pub const fn derived(citation: &'static str) -> Source {
    Source {
        citation,
        evidence: Evidence::Derived,
    }
}

/// A value computed with a general-purpose library.
#[must_use]
pub const fn computed(citation: &'static str) -> Source {
    Source {
        citation,
        evidence: Evidence::Computed,
    }
}

/// A rule of the trade without a source.
#[must_use]
pub const fn practice(citation: &'static str) -> Source {
    Source {
        citation,
        evidence: Evidence::Practice,
    }
}

/// A fact known but not seen in its source.
#[must_use]
pub const fn memory(citation: &'static str) -> Source {
    Source {
        citation,
        evidence: Evidence::Memory,
    }
}

/// Why a card stops: the field, a stable code, a sentence, and the way out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The field as `field` or `table.row.column`; empty when it concerns the whole card.
    pub path: String,
    /// A stable code that tests and readers of the record can rely on.
    pub code: &'static str,
    /// What is wrong, with the numbers.
    pub sentence: String,
    /// What to enter or do.
    pub hint: String,
}

impl Problem {
    /// A problem with one field.
    pub fn at(
        field: &Field,
        code: &'static str,
        sentence: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self::in_path(field.id, code, sentence, hint)
    }

    /// A problem at a path, for example a cell of a table.
    pub fn in_path(
        path: impl Into<String>,
        code: &'static str,
        sentence: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Problem {
            path: path.into(),
            code,
            sentence: sentence.into(),
            hint: hint.into(),
        }
    }
}

impl core::fmt::Display for Problem {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(out, "{} {}", self.sentence, self.hint)
    }
}

impl core::error::Error for Problem {}

/// How much a check asks of the reader. What must stop is a [`Problem`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// The rule was applied and the value lies inside it.
    InRange,
    /// Worth knowing; nothing to do.
    Note,
    /// Worth a second look before going on.
    Warning,
}

impl Level {
    /// The word that is shown.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Level::InRange => "in range",
            Level::Note => "note",
            Level::Warning => "warning",
        }
    }
}

/// What a careful colleague would say about a result.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// How much it asks.
    pub level: Level,
    /// A stable code.
    pub code: &'static str,
    /// The sentence, with the numbers.
    pub sentence: String,
    /// The rule's source.
    pub source: Source,
}

impl Check {
    /// Says that a rule was applied and holds.
    pub fn in_range(code: &'static str, sentence: impl Into<String>, source: Source) -> Self {
        Self::new(Level::InRange, code, sentence, source)
    }
    /// Says something worth knowing.
    pub fn note(code: &'static str, sentence: impl Into<String>, source: Source) -> Self {
        Self::new(Level::Note, code, sentence, source)
    }
    /// Asks for a second look.
    pub fn warning(code: &'static str, sentence: impl Into<String>, source: Source) -> Self {
        Self::new(Level::Warning, code, sentence, source)
    }
    fn new(level: Level, code: &'static str, sentence: impl Into<String>, source: Source) -> Self {
        Check {
            level,
            code,
            sentence: sentence.into(),
            source,
        }
    }
}
