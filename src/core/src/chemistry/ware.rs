//! Limits of volumetric ware.

use crate::problem::{Source, memory};

/// What a piece of ware is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WareKind {
    /// One-mark volumetric flask.
    Flask,
    /// Single-volume pipette.
    BulbPipette,
    /// Burette.
    Burette,
    /// Piston pipette.
    PistonPipette,
}

/// A row of the table.
#[derive(Debug)]
pub struct Ware {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// What it is.
    pub kind: WareKind,
    /// Its name.
    pub title: &'static str,
    /// Nominal volume, m³.
    pub nominal: f64,
    /// Limit, m³.
    pub limit: f64,
    /// Standard deviation from filling to filling, m³; zero where none is stated.
    pub random: f64,
    /// Standard, edition and class.
    pub source: Source,
}

/// The table.
pub static WARE: &[Ware] = &[
    Ware {
        id: "iso-1042-a-100-ml",
        kind: WareKind::Flask,
        title: "one-mark flask 100 mL, class A",
        nominal: 1e-4,
        limit: 1e-7,
        random: 0.0,
        source: memory("ISO 1042:1998, class A"),
    },
    Ware {
        id: "iso-648-a-10-ml",
        kind: WareKind::BulbPipette,
        title: "bulb pipette 10 mL, class A",
        nominal: 1e-5,
        limit: 2e-8,
        random: 0.0,
        source: memory("ISO 648:2008, class A"),
    },
];

/// The row with this identifier.
#[must_use]
pub fn ware(id: &str) -> Option<&'static Ware> {
    WARE.iter().find(|ware| ware.id == id)
}
