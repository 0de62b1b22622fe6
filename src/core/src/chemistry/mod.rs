//! Facts of chemistry and physics: each table names its source.

pub mod buoyancy;
pub mod constants;
pub mod volume;
pub mod ware;
