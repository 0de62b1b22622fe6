//! Quantities: what a number on the page measures, the units it may be written in, and the text people type.
//!
//! Values inside are coherent SI. The conversion to and from the unit a person uses happens once, at the edge:
//! [`parse`] reads the text of a quantity box, [`Unit::to_si`] and [`Unit::from_si`] convert, and the functions
//! of [`print`] write numbers the way the page and the record show them.

mod decimal;
pub mod dimension;
pub mod kind;
mod moment;
pub mod number;
mod number_error;
pub mod print;
pub mod units;

pub use dimension::Dimension;
pub use kind::Kind;
pub use moment::{Moment, seconds_between};
pub use number::{Typed, TypedUncertainty, parse, parse_uncertainty};
pub use number_error::NumberError;
pub use print::{Rounded, Rounding, brief_text, plain, shortest, value_text, with_uncertainty};
pub(crate) use units::units_written;
pub use units::{Factor, UNITS, Unit, unit};
