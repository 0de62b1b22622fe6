//! Why a text is refused at the gate.

use core::fmt;

use crate::FORMAT_VERSION;
use crate::read::{MOST_BYTES, MOST_LEVELS, major};

/// Why a text was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RestoreError {
    /// Longer than [`MOST_BYTES`].
    TooLarge,
    /// Nested deeper than [`MOST_LEVELS`].
    TooDeep,
    /// Not JSON from this place on.
    NotJson {
        /// Line, counted from 1.
        line: usize,
        /// Column, counted from 1.
        column: usize,
    },
    /// JSON, but neither run sheet nor record.
    NotOurs,
    /// A record without its run sheet.
    NoSheet,
    /// A run sheet where a record is needed.
    NotARecord,
    /// Written by a version whose files this one cannot read.
    NewerMajor {
        /// The format version found.
        found: String,
    },
    /// More of something than [`MOST_CARDS`] or [`MOST_ROWS`].
    TooMany {
        /// Of what, with its place.
        what: String,
        /// How many there may be.
        most: usize,
    },
}

impl RestoreError {
    /// The way out.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            RestoreError::TooLarge | RestoreError::TooDeep | RestoreError::NotOurs => {
                "Choose a run sheet or a record that was exported here."
            }
            RestoreError::NotJson { .. } => {
                "Choose the file as it was exported; if it was edited by hand, correct that place."
            }
            RestoreError::NoSheet | RestoreError::NotARecord => {
                "Choose the record as it was exported."
            }
            RestoreError::NewerMajor { .. } => "Open it with a newer version.",
            RestoreError::TooMany { .. } => "Divide it into several run sheets.",
        }
    }
}

impl fmt::Display for RestoreError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RestoreError::TooLarge => {
                write!(
                    out,
                    "The text is longer than {} MiB.",
                    MOST_BYTES / (1024 * 1024)
                )
            }
            RestoreError::TooDeep => {
                write!(out, "The text is nested deeper than {MOST_LEVELS} levels.")
            }
            RestoreError::NotJson { line, column } => {
                write!(
                    out,
                    "The text is not JSON from line {line}, column {column} on."
                )
            }
            RestoreError::NotOurs => write!(out, "The text is neither a run sheet nor a record."),
            RestoreError::NoSheet => write!(out, "The record holds no run sheet."),
            RestoreError::NotARecord => {
                write!(
                    out,
                    "This is a run sheet: it holds no results to compare with."
                )
            }
            RestoreError::NewerMajor { found } => write!(
                out,
                "The file has format version {found}; this version reads up to {}.x.",
                major(FORMAT_VERSION).unwrap_or_default()
            ),
            RestoreError::TooMany { what, most } => {
                write!(out, "There are more than {most} {what}.")
            }
        }
    }
}

impl core::error::Error for RestoreError {}
