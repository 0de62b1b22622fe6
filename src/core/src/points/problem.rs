//! Why points cannot be read as they are, and the answers to choose from.

use core::fmt;

use super::{Corrections, Layout};

/// Why points cannot be read as they are: there are none, or what is there could be meant in more than one way.
#[derive(Clone, Debug, PartialEq)]
pub struct PointsProblem {
    /// A stable code.
    pub code: &'static str,
    /// What it is, with the numbers.
    pub sentence: String,
    /// What to enter or do.
    pub hint: String,
    /// The answers to choose from; empty where the text itself must be changed.
    pub candidates: Vec<Candidate>,
    /// The layout, as far as it is known.
    pub layout: Option<Box<Layout>>,
}

/// One answer: what the button says, and what is then to be kept with the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What the button says.
    pub title: String,
    /// All corrections, this answer among them: they replace those kept with the text.
    pub corrections: Corrections,
}

impl PointsProblem {
    /// A problem without answers to choose from.
    pub(crate) fn new(
        code: &'static str,
        sentence: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        PointsProblem {
            code,
            sentence: sentence.into(),
            hint: hint.into(),
            candidates: Vec::new(),
            layout: None,
        }
    }

    pub(super) fn seen(self, layout: Option<&Layout>) -> Self {
        PointsProblem {
            layout: layout.cloned().map(Box::new),
            ..self
        }
    }

    pub(super) fn with(self, candidates: impl IntoIterator<Item = Candidate>) -> Self {
        PointsProblem {
            candidates: candidates.into_iter().collect(),
            ..self
        }
    }
}

impl fmt::Display for PointsProblem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} {}", self.sentence, self.hint)
    }
}

impl core::error::Error for PointsProblem {}
