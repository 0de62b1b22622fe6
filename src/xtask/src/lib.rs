//! What sets up, builds, serves and tests Glasswick. The binary `cargo xtask` is a thin front over this library;
//! the browser journeys use [`server`] and [`chromium`] from here too.

use std::path::{Path, PathBuf};

mod apt;
pub mod build;
pub mod chromium;
pub mod command;
pub mod offline;
mod program;
pub mod schema;
pub mod serve;
pub mod server;
pub mod suites;
pub mod tools;

/// The repository's top folder.
#[must_use]
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_owned()
}
