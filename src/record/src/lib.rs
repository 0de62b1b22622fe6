//! What leaves the page and comes back: the run sheet and the record as JSON.
//!
//! [`restore`] is the only gate from a file, link, storage or clipboard to a live [`Document`]; it accepts what it
//! can, keeps what it does not know and says what it repaired. [`run_sheet_text`] writes a document back.
//! [`record_json`] states a document with its results and a [`digest`]; [`verify`] recomputes such a record.
//! [`describe`] states what the calculators declare, [`run_sheet_schema`] and [`record_schema`] what the files hold.
//! [`readable`] and [`packed`] make the state of a share link, [`read_state`] reads it; [`parts`] takes a document apart
//! for storage, [`restore_parts`] puts it together.
//!
//! The live types of the core know nothing of files, and no type here derives a file format from them: every field
//! of a file may be missing or wrong.

mod canonical;
mod describe;
mod display;
mod document;
mod error;
mod ids;
mod link;
mod next_batch;
mod parts;
mod read;
mod record;
mod schema;
mod shelf;
mod trials;
mod verify;
mod write;

pub use canonical::{canonical, digest};
pub use describe::describe;
pub use display::Display;
pub use document::{About, Document, Fields, Instrument, Lot, Room, Unknown};
pub use error::RestoreError;
pub use link::{
    LinkError, MOST_LINK, MOST_READABLE, MOST_UNPACKED, State, packed, read_state, readable,
    restore_unpacked, to_pack,
};
pub use parts::{Parts, parts, restore_parts};
pub use read::{MOST_BYTES, MOST_CARDS, MOST_LEVELS, MOST_NOTES, MOST_ROWS, Restored, restore};
pub use record::{Origin, record_json};
pub use schema::{record_schema, run_sheet_schema};
pub use shelf::{MOST_SHELF_MIB, SHELF_FORMAT, restore_all, shelf_text};
pub use trials::Trial;
pub use verify::{Difference, Verification, verify};
pub use write::{run_sheet_json, run_sheet_text, text};

/// Heads every run-sheet file.
pub const FORMAT: &str = "glasswick-run-sheet";

/// Heads every record.
pub const RECORD_FORMAT: &str = "glasswick-record";

/// Version of both formats as `major.minor`. A newer minor version is read, a newer major one refused.
pub const FORMAT_VERSION: &str = "1.0";
