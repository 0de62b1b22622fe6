//! The programs that building and testing need: found on PATH where the version fits, else in a folder of this
//! person's cache that is named after the version (so that a second clone finds them), else installed there.

use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, bail, ensure};

use crate::apt;
use crate::command::{cargo, output, run};

/// The newest Trunk that this workspace's oldest compiler can build.
const TRUNK: &str = "0.21.14";
/// `wasm-opt` comes from here: Debian's cannot read what today's compiler writes.
const BINARYEN: &str = "132.0.0";
/// What looks at the page for what keeps people out.
const AXE: &str = "4.14.1";
/// The outside referee of the JSON Schemas.
const JSONSCHEMA: &str = "4.26.0";
/// What reads QR codes back: a decoder that shares nothing with what draws them.
const JSQR: &str = "1.4.0";
pub(crate) const WASM: &str = "wasm32-unknown-unknown";

/// The tools, ready to use.
#[derive(Debug)]
pub struct Tools {
    folders: Vec<PathBuf>,
}

impl Tools {
    /// Finds each tool or installs it, and fetches the crates that the page is made from.
    ///
    /// # Errors
    /// When something is missing and cannot be installed; the sentence says what.
    pub fn ready() -> Result<Self> {
        wasm_target()?;
        let bindgen = locked_version("wasm-bindgen")?;
        let tools = [
            Tool {
                package: Package {
                    name: "trunk",
                    version: TRUNK,
                    source: Source::Crates { locked: true },
                    usually: "about 5 to 10 minutes on two cores",
                },
                program: "trunk",
                reported: format!("trunk {TRUNK}"),
                folder: "bin",
            },
            Tool {
                package: Package {
                    name: "wasm-bindgen-cli",
                    version: &bindgen,
                    // Its own lock file has named crates that were not to be had.
                    source: Source::Crates { locked: false },
                    usually: "about 2 to 5 minutes on two cores",
                },
                program: "wasm-bindgen",
                reported: format!("wasm-bindgen {bindgen}"),
                folder: "bin",
            },
            Tool {
                package: Package {
                    name: "binaryen",
                    version: BINARYEN,
                    source: Source::Npm,
                    usually: "some seconds and 100 MB",
                },
                program: "wasm-opt",
                reported: format!(
                    "wasm-opt version {}",
                    BINARYEN.split('.').next().unwrap_or_default()
                ),
                folder: "node_modules/.bin",
            },
        ];
        let mut folders = Vec::new();
        for tool in &tools {
            folders.extend(tool.ready()?);
        }
        // Trunk builds offline, and asks cargo about every crate of the workspace, those of other systems included.
        run(cargo().args(["fetch", "--quiet"]))
            .context("the crates could not be fetched; is the network there?")?;
        Ok(Self { folders })
    }

    /// `PATH` with the tools first.
    ///
    /// # Errors
    /// When a folder's name cannot be part of `PATH`.
    pub fn path(&self) -> Result<OsString> {
        let inherited = std::env::var_os("PATH").unwrap_or_default();
        let folders = self
            .folders
            .iter()
            .cloned()
            .chain(std::env::split_paths(&inherited));
        std::env::join_paths(folders).context("a tool's folder cannot be part of PATH")
    }
}

/// The script of axe-core, which the journeys put into the page.
///
/// # Errors
/// When it cannot be installed.
pub fn axe() -> Result<PathBuf> {
    script("axe-core", AXE, "axe.min.js")
}

/// The script of jsQR, which the journeys put into the page.
///
/// # Errors
/// When it cannot be installed.
pub fn jsqr() -> Result<PathBuf> {
    script("jsqr", JSQR, "dist/jsQR.js")
}

/// The folder of Python packages with jsonschema.
///
/// # Errors
/// When it cannot be installed.
pub fn jsonschema() -> Result<PathBuf> {
    let package = Package {
        name: "jsonschema",
        version: JSONSCHEMA,
        source: Source::Pip,
        usually: "some seconds",
    };
    let home = package.home()?;
    // A part of it is compiled for one version of Python, which may have been replaced since.
    let runs = || {
        let mut python = Command::new("python3");
        python.args(["-c", "import jsonschema"]);
        output(python.env("PYTHONPATH", &home)).is_some()
    };
    if !home.is_dir() || !runs() {
        package.install()?;
        ensure!(
            runs(),
            "jsonschema was installed in {} but does not run",
            home.display()
        );
    }
    Ok(home)
}

/// A script of a package of npm.
fn script(name: &str, version: &str, file: &str) -> Result<PathBuf> {
    let package = Package {
        name,
        version,
        source: Source::Npm,
        usually: "some seconds",
    };
    let script = package.home()?.join("node_modules").join(name).join(file);
    if !script.is_file() {
        package.install()?;
    }
    Ok(script)
}

/// What is kept in a folder of the cache that is named after its version.
struct Package<'a> {
    name: &'a str,
    version: &'a str,
    source: Source,
    usually: &'a str,
}

struct Tool<'a> {
    package: Package<'a>,
    /// The program that tells by its `--version` whether the tool is the right one.
    program: &'a str,
    /// How that line begins.
    reported: String,
    /// Where the programs are, under the tool's own folder.
    folder: &'a str,
}

enum Source {
    Crates { locked: bool },
    Npm,
    Pip,
}

impl Tool<'_> {
    /// The folder to put on `PATH`, or `None` where the right version is there already.
    fn ready(&self) -> Result<Option<PathBuf>> {
        let folder = self.package.home()?.join(self.folder);
        if self.fits(&folder.join(self.program)) {
            return Ok(Some(folder));
        }
        if self.fits(Path::new(self.program)) {
            return Ok(None);
        }
        self.package.install()?;
        ensure!(
            self.fits(&folder.join(self.program)),
            "{} was installed in {} but does not run as \"{}\"",
            self.package.name,
            folder.display(),
            self.reported
        );
        Ok(Some(folder))
    }

    fn fits(&self, program: &Path) -> bool {
        output(Command::new(program).arg("--version")).is_some_and(|found| {
            found
                .strip_prefix(&self.reported)
                .is_some_and(|rest| !rest.starts_with(|next: char| next.is_ascii_digit()))
        })
    }
}

impl Package<'_> {
    fn home(&self) -> Result<PathBuf> {
        Ok(cache()?.join(format!("{}-{}", self.name, self.version)))
    }

    /// Installs beside the final place and moves there at the end: what was interrupted never looks complete.
    fn install(&self) -> Result<()> {
        let home = self.home()?;
        println!(
            "Installing {} {} into {}: this usually takes {}, once.",
            self.name,
            self.version,
            home.display(),
            self.usually
        );
        let unfinished = home.with_file_name(format!(".{}-{}", self.name, std::process::id()));
        remove(&unfinished)?;
        fs::create_dir_all(&unfinished)
            .with_context(|| format!("{} cannot be made", unfinished.display()))?;
        match self.source {
            Source::Crates { locked } => {
                let mut install = cargo();
                install
                    .args(["install", self.name, "--version", self.version, "--root"])
                    .arg(&unfinished);
                if locked {
                    install.arg("--locked");
                }
                run(&mut install)?;
            }
            Source::Npm => {
                ensure!(
                    output(Command::new("npm").arg("--version")).is_some(),
                    "npm is needed to install {}. Install Node.js with npm, then run this again.",
                    self.name
                );
                run(Command::new("npm")
                    .args(["install", "--no-audit", "--no-fund", "--prefix"])
                    .arg(&unfinished)
                    .arg(format!("{}@{}", self.name, self.version)))?;
            }
            Source::Pip => {
                let pip = || {
                    let mut pip = Command::new("python3");
                    pip.args(["-m", "pip", "--disable-pip-version-check"]);
                    pip
                };
                if output(pip().arg("--version")).is_none() {
                    let why = format!("Python 3 with pip is needed to install {}", self.name);
                    apt::install(&["python3", "python3-pip"], &why)?;
                }
                run(pip()
                    .args(["install", "--quiet", "--target"])
                    .arg(&unfinished)
                    .arg(format!("{}=={}", self.name, self.version)))?;
            }
        }
        remove(&home)?;
        fs::rename(&unfinished, &home)
            .with_context(|| format!("{} cannot be moved into place", unfinished.display()))
    }
}

fn remove(folder: &Path) -> Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder)
            .with_context(|| format!("{} cannot be removed", folder.display()))?;
    }
    Ok(())
}

/// The folder for the tools of every clone.
fn cache() -> Result<PathBuf> {
    let cache = std::env::var_os("XDG_CACHE_HOME")
        .map(PathBuf::from)
        .filter(|folder| folder.is_absolute())
        .or_else(|| Some(std::env::home_dir()?.join(".cache")))
        .context("neither XDG_CACHE_HOME nor HOME says where tools can be kept; set one of them")?;
    Ok(cache.join("glasswick-tools"))
}

/// Adds the compiler's wasm target where it is missing. Asks the compiler whether it is, not rustup: a compiler that
/// did not come by rustup may bring the target along.
///
/// # Errors
/// When the target cannot be added.
pub fn wasm_target() -> Result<()> {
    let library = output(Command::new("rustc").current_dir(crate::root()).args([
        "--print",
        "target-libdir",
        "--target",
        WASM,
    ]));
    if library.is_some_and(|folder| Path::new(folder.trim()).is_dir()) {
        return Ok(());
    }
    println!("Adding the compiler's {WASM} target: this usually takes some seconds, once.");
    run(Command::new("rustup")
        .current_dir(crate::root())
        .args(["target", "add", WASM]))
    .with_context(|| format!("the compiler's {WASM} target is missing and could not be added"))
}

/// A crate's version in the workspace's lock file: the tool that belongs to it must be exactly as old.
fn locked_version(package: &str) -> Result<String> {
    let path = crate::root().join("Cargo.lock");
    let lock =
        fs::read_to_string(&path).with_context(|| format!("{} cannot be read", path.display()))?;
    match version_in(&lock, package) {
        Some(version) => Ok(version.to_owned()),
        None => bail!("Cargo.lock has no {package}: the page cannot be built without it"),
    }
}

fn version_in<'a>(lock: &'a str, package: &str) -> Option<&'a str> {
    let name = format!("name = \"{package}\"");
    let mut lines = lock.lines().skip_while(|line| *line != name);
    lines
        .nth(1)?
        .strip_prefix("version = \"")?
        .strip_suffix('"')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lock_file_names_the_version_of_exactly_this_crate() {
        let lock = "version = 4\n\n[[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"0.1.0\"\n\n\
                    [[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.130\"\nsource = \"x\"\n";
        assert_eq!(version_in(lock, "wasm-bindgen"), Some("0.2.130"));
        assert_eq!(version_in(lock, "wasm"), None);
    }

    #[test]
    fn a_longer_version_number_does_not_fit() {
        let tool = |reported: &str| Tool {
            package: Package {
                name: "cargo",
                version: "",
                source: Source::Npm,
                usually: "",
            },
            program: "cargo",
            reported: reported.to_owned(),
            folder: "",
        };
        let cargo = Path::new("cargo");
        let version = output(Command::new(cargo).arg("--version")).unwrap();
        let number = version.split(' ').nth(1).unwrap();
        assert!(tool(&format!("cargo {number}")).fits(cargo));
        let cut = number
            .strip_suffix(|last: char| last.is_ascii_digit())
            .unwrap();
        assert!(!tool(&format!("cargo {cut}")).fits(cargo));
        assert!(!tool("cargo 0.0.1").fits(cargo));
        assert!(!tool("x").fits(Path::new("no-such-program")));
    }
}
