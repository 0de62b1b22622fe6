//! The live document: what the page edits.

use std::collections::BTreeMap;

use glasswick_core::sheet::Sheet;
use serde_json::{Map, Value};

use crate::display::Display;
use crate::trials::Trial;

/// Fields of a JSON object, in their order.
pub type Fields = Map<String, Value>;

/// A run sheet with everything around it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Document {
    /// Whose work it is, on what and with what.
    pub about: About,
    /// The cards.
    pub sheet: Sheet,
    /// How its results are shown.
    pub display: Display,
    /// Outcomes of Monte Carlo runs, by `card.output`.
    pub trials: BTreeMap<String, Trial>,
    /// What this version does not know, kept for the way back.
    pub unknown: Unknown,
}

/// Whose work it is, on what and with what. All of it is text as typed and may be empty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct About {
    /// What the person calls the run sheet.
    pub title: String,
    /// Who did the work.
    pub operator: String,
    /// Date of the work, as typed; the page offers RFC 3339.
    pub date: String,
    /// Identifier of the run.
    pub run: String,
    /// Identifier of the substrate.
    pub substrate: String,
    /// Identifiers of the cells.
    pub cells: String,
    /// Materials used.
    pub lots: Vec<Lot>,
    /// Instruments used.
    pub instruments: Vec<Instrument>,
    /// Conditions in the room.
    pub room: Room,
    /// Free text.
    pub note: String,
    /// Fields this version does not know.
    pub unknown: Fields,
}

/// A material with its lot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lot {
    /// The material.
    pub name: String,
    /// Its lot number.
    pub lot: String,
    /// Its expiry date, as typed.
    pub expiry: String,
    /// Fields this version does not know.
    pub unknown: Fields,
}

/// An instrument with its calibration.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Instrument {
    /// What it is.
    pub name: String,
    /// Its inventory or serial number.
    pub identifier: String,
    /// Its calibration: certificate or date.
    pub calibration: String,
    /// Fields this version does not know.
    pub unknown: Fields,
}

/// Conditions in the room.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Room {
    /// Temperature with its unit, as typed.
    pub temperature: String,
    /// Relative humidity with its unit, as typed.
    pub humidity: String,
    /// Free text.
    pub note: String,
    /// Fields this version does not know.
    pub unknown: Fields,
}

/// Fields that this version does not know, or could not read, by the place they came from. The core's cards know
/// nothing of files, so what belongs to a card is kept here under its identifier; it is written back as long as the
/// card is there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unknown {
    places: BTreeMap<String, Fields>,
}

impl Unknown {
    /// Whether everything was known.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// Keeps one field.
    pub(crate) fn keep(&mut self, place: &str, key: String, value: Value) {
        self.places
            .entry(place.into())
            .or_default()
            .insert(key, value);
    }

    /// Keeps all fields.
    pub(crate) fn keep_all(&mut self, place: &str, fields: Fields) {
        if !fields.is_empty() {
            self.places.entry(place.into()).or_default().extend(fields);
        }
    }

    /// What is kept at a place.
    pub(crate) fn at(&self, place: &str) -> Option<&Fields> {
        self.places.get(place)
    }
}

/// The place of a part of another: `cards/dilution/inputs`. Only names without `/` are descended into.
pub(crate) fn within(place: &str, part: &str) -> String {
    if place.is_empty() {
        part.to_owned()
    } else {
        format!("{place}/{part}")
    }
}
