//! Where a link comes from: `card.output`, or a cell of a table output, `card.table.row.column`.

use core::fmt;
use core::str::FromStr;

/// An output of another card.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Address {
    /// The card's identifier.
    pub card: String,
    /// The output as `output` or `table.row.column`.
    pub output: String,
}

impl fmt::Display for Address {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}.{}", self.card, self.output)
    }
}

/// A text that is no address.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAnAddress;

impl fmt::Display for NotAnAddress {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "A link is written as card.output or card.table.row.column."
        )
    }
}

impl core::error::Error for NotAnAddress {}

impl FromStr for Address {
    type Err = NotAnAddress;
    fn from_str(text: &str) -> Result<Self, NotAnAddress> {
        let (card, output) = text.split_once('.').ok_or(NotAnAddress)?;
        let parts = output.split('.').count();
        let named = !card.is_empty() && output.split('.').all(|part| !part.is_empty());
        if named && (parts == 1 || parts == 3) {
            Ok(Address {
                card: card.into(),
                output: output.into(),
            })
        } else {
            Err(NotAnAddress)
        }
    }
}
