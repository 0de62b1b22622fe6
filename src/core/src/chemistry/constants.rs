//! Defining constants of the SI (SI Brochure, 9th edition, 2019): exact.

/// Avogadro constant, 1/mol, exact (SI Brochure, 9th edition, 2019, table 1).
pub const AVOGADRO: f64 = 6.022_140_76e23;
