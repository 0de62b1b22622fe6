//! Facts of chemistry and physics: each table names its source.

pub mod acids;
pub mod atomic_weights;
pub mod buoyancy;
pub mod constants;
pub mod dyes;
pub mod formula;
pub mod hysteresis;
pub mod isoelectric;
pub mod jetting;
pub mod reagents;
pub mod substances;
pub mod triiodide;
pub mod volume;
pub mod ware;
