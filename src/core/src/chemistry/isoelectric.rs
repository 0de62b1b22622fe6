//! Isoelectric points of oxides in water: where a particle carries no net charge. Powders differ with their making and
//! with what sits on them, so that a value of one's own powder goes before these.

use crate::problem::{Source, memory};

/// An isoelectric point.
#[derive(Debug)]
pub struct IsoelectricPoint {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// A usual value.
    pub ph: f64,
    /// How far usual values reach.
    pub usual: (f64, f64),
    /// Between which pH the oxide lasts in water; none where it lasts at any that a bench meets.
    pub lasts: Option<(f64, f64)>,
}

/// Where the table comes from.
pub const SOURCE: Source = memory("handbook compilations of isoelectric points of oxides");

/// Where [`IsoelectricPoint::lasts`] comes from.
pub const LASTS_SOURCE: Source = memory(
    "amphoteric oxides: zinc oxide dissolves below about pH 6 and above about 12, alumina below about 4 and above about 10",
);

/// The table.
pub static ISOELECTRIC_POINTS: &[IsoelectricPoint] = &[
    row("titania", 6.0, (4.0, 7.0), None),
    row("zinc_oxide", 9.3, (8.7, 10.3), Some((6.0, 12.0))),
    row("tin_dioxide", 4.2, (3.0, 5.5), None),
    row("alumina", 9.0, (8.0, 9.5), Some((4.0, 10.0))),
];

/// The isoelectric point of the oxide with this identifier.
#[must_use]
pub fn isoelectric_point(id: &str) -> Option<&'static IsoelectricPoint> {
    ISOELECTRIC_POINTS.iter().find(|row| row.id == id)
}

const fn row(
    id: &'static str,
    ph: f64,
    usual: (f64, f64),
    lasts: Option<(f64, f64)>,
) -> IsoelectricPoint {
    IsoelectricPoint {
        id,
        ph,
        usual,
        lasts,
    }
}
