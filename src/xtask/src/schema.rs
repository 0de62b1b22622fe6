//! The JSON Schemas of the file formats: written from the declarations, and looked at by an outside referee.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use anyhow::{Context, Result, ensure};

use crate::command::{cargo, run};
use crate::{root, tools};

/// The formats, as the native command names them.
const FORMATS: [&str; 2] = ["run-sheet", "record"];

/// The committed schema of a format.
fn path(format: &str) -> PathBuf {
    root().join(format!("src/record/schema/{format}-1.schema.json"))
}

/// Writes the schemas from the declarations.
///
/// # Errors
/// When the native command cannot be built or a file cannot be written.
pub fn write() -> Result<()> {
    for format in FORMATS {
        let path = path(format);
        fs::write(&path, glasswick(&["schema", format])?)
            .with_context(|| format!("{} cannot be written", path.display()))?;
        println!("{}", path.display());
    }
    Ok(())
}

/// A validator that is not ours and not the one of the native tests checks the schemas, the demo and its record.
///
/// # Errors
/// When the validator cannot be installed, or finds something.
pub fn check() -> Result<()> {
    let packages = tools::jsonschema()?;
    let demo = "demo-data/zinc-oxide-tiles.json";
    let record = std::env::current_exe()?.with_file_name("demo-record.json");
    fs::write(&record, glasswick(&["evaluate", demo])?)?;
    run(Command::new("python3")
        .current_dir(root())
        .arg("src/xtask/src/schema.py")
        .args([path(FORMATS[0]), demo.into(), path(FORMATS[1]), record])
        .env("PYTHONPATH", packages))
}

/// What the native command prints.
fn glasswick(words: &[&str]) -> Result<Vec<u8>> {
    let ended = cargo()
        .args(["run", "--quiet", "-p", "glasswick", "--"])
        .args(words)
        .stderr(Stdio::inherit())
        .output()
        .context("cargo could not be started")?;
    ensure!(
        ended.status.success(),
        "glasswick {}: ended with {}",
        words.join(" "),
        ended.status
    );
    Ok(ended.stdout)
}
