//! Facts of chemistry and physics: each table names its source.

pub mod constants;
