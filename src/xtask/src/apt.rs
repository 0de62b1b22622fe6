//! Debian's packages, for what only the system can bring.

use std::process::{Command, Stdio};

use anyhow::{Result, bail};

use crate::command::{output, run};

/// Installs packages where that is permitted.
///
/// # Errors
/// When this system or this person cannot; the sentence says what is needed, why, and what to do.
pub(crate) fn install(packages: &[&str], why: &str) -> Result<()> {
    let by_hand = by_hand(packages);
    if output(Command::new("apt-get").arg("--version")).is_none() {
        bail!("{why}, and this system has no apt-get to install it");
    }
    let root = output(Command::new("id").arg("-u")).is_some_and(|id| id.trim() == "0");
    if !root && output(Command::new("sudo").args(["-n", "true"])).is_none() {
        bail!("{why}, which only root may install: {by_hand}");
    }
    let apt = |words: &[&str]| {
        let mut command = if root {
            Command::new("apt-get")
        } else {
            let mut command = Command::new("sudo");
            command.args(["-n", "apt-get"]);
            command
        };
        run(command
            .args(words)
            .env("DEBIAN_FRONTEND", "noninteractive")
            .stdin(Stdio::null()))
    };
    let install = [&["install", "-y"], packages].concat();
    // The lists may be missing or name packages that are gone; fresh ones are the cure for both.
    if apt(&install).is_err() {
        apt(&["update"])?;
        apt(&install)?;
    }
    Ok(())
}

/// What to do where it cannot be done for somebody.
pub(crate) fn by_hand(packages: &[&str]) -> String {
    format!(
        "run `apt-get install {}` as root, then this again",
        packages.join(" ")
    )
}
