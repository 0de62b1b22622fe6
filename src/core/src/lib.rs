//! The heart of Glasswick: quantities, uncertainty, calculators, and the evaluation of a run sheet.
//!
//! Reading order for a newcomer: [`scalar`] (the number formulas are written over), [`quantity`] (units and
//! number text), [`numerics`] (fits and roots), [`chemistry`] and [`light`] (facts with their
//! sources), then the calculators and the run sheet.
//!
//! This crate has no browser, clock, locale, storage, randomness source or file access, and never panics on
//! what a person typed.

pub mod calculators;
pub mod chemistry;
pub mod figure;
pub mod light;
pub mod numerics;
pub mod problem;
pub mod quantity;
pub mod report;
pub mod scalar;
pub mod sheet;
pub mod uncertainty;
pub mod working;
