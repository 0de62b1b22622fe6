//! The leaves of a run sheet as they are read.

use std::collections::HashMap;

use super::stated::Part;
use crate::uncertainty::Leaf;

/// The leaves read so far.
#[derive(Debug, Default)]
pub(super) struct Leaves {
    pub(super) all: Vec<Leaf>,
    /// Leaves of named pieces of ware, by what tells them apart.
    pieces: HashMap<String, usize>,
}

impl Leaves {
    /// Adds a leaf, unless it is one of a named piece that is there already. Gives its number.
    pub(super) fn add(&mut self, card: usize, path: &str, part: Part) -> usize {
        let next = self.all.len();
        if let Some(piece) = &part.piece {
            if let Some(&known) = self.pieces.get(piece) {
                return known;
            }
            self.pieces.insert(piece.clone(), next);
        }
        self.all.push(Leaf {
            card,
            path: path.into(),
            part: part.name,
            shared: part.piece.is_some(),
            unit: part.unit,
            value: part.value,
            uncertainty: part.uncertainty,
            density: part.density,
            evaluation: part.evaluation,
            degrees_of_freedom: part.degrees_of_freedom,
        });
        next
    }
}
