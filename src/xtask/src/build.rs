//! The release page: built by Trunk into `dist/`, with the sizes of its files.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::SystemTime;

use anyhow::{Context, Result};
use flate2::Compression;
use flate2::write::GzEncoder;

use crate::command::run;
use crate::offline;
use crate::program;
use crate::tools::Tools;

/// What the page is made from, and how; a folder stands for everything in it.
const SOURCES: [&str; 12] = [
    ".cargo",
    "Cargo.lock",
    "Cargo.toml",
    "Trunk.toml",
    "demo-data",
    "index.html",
    "rust-toolchain.toml",
    "src/app",
    "src/core",
    "src/record",
    "src/xtask",
    "styles",
];

/// The variable by which the page learns, while it is compiled, where it will be published.
const PUBLIC_ADDRESS: &str = "GLASSWICK_PUBLIC_ADDRESS";

/// The built page's folder.
#[must_use]
pub fn dist() -> PathBuf {
    crate::root().join("dist")
}

/// Installs what is missing, builds the page and prints the sizes of its files.
///
/// # Errors
/// When a tool cannot be installed or the build fails.
pub fn page(public_address: Option<&str>) -> Result<()> {
    page_with(&Tools::ready()?, public_address)
}

/// As [`page`] with the tools at hand; does nothing where `dist/` is newer than everything it is made from.
///
/// # Errors
/// When the build fails.
pub fn page_if_older(tools: &Tools, public_address: Option<&str>) -> Result<()> {
    let stamp = stamp()?;
    if fs::read_to_string(&stamp).is_ok_and(|built| built == fingerprint(public_address))
        && modified(&stamp) > newest(&SOURCES.map(|name| crate::root().join(name)))
    {
        println!("The page in dist/ is up to date.");
        return Ok(());
    }
    page_with(tools, public_address)
}

fn page_with(tools: &Tools, public_address: Option<&str>) -> Result<()> {
    let stamp = stamp()?;
    // Made before the build, so that a file changed during the build is newer than the stamp.
    fs::write(&stamp, "").with_context(|| format!("{} cannot be written", stamp.display()))?;
    let began = modified(&stamp);

    println!("Building the page: this usually takes one or two minutes the first time.");
    let program = program::build(tools, &[(PUBLIC_ADDRESS, public_address)])?;
    run(Command::new("trunk")
        .current_dir(crate::root())
        .args(["build", "--release", "--offline"])
        .args(["--public-url", "./", "--dist", "dist"])
        .env("PATH", tools.path()?)
        // Trunk reads this one as true or false and refuses the usual 1.
        .env_remove("NO_COLOR"))?;
    program::install(&program, &dist())?;
    let build = offline::finish(&dist())?;
    print!("{}", sizes(&dist())?);
    println!("Build {build} is in dist/.");

    fs::write(&stamp, fingerprint(public_address))?;
    if let Some(began) = began {
        fs::File::options()
            .append(true)
            .open(&stamp)?
            .set_modified(began)?;
    }
    Ok(())
}

/// The file that remembers the last build: beside this program, so that it goes when the target folder goes.
fn stamp() -> Result<PathBuf> {
    Ok(std::env::current_exe()?.with_file_name("page.stamp"))
}

/// The build that lies in `dist/`, and the address it was made for.
fn fingerprint(public_address: Option<&str>) -> String {
    format!(
        "{}\n{:?}\n",
        public_address.unwrap_or_default(),
        modified(&dist().join("index.html"))
    )
}

fn modified(path: &Path) -> Option<SystemTime> {
    fs::metadata(path).ok()?.modified().ok()
}

/// When the newest of these files and folders, and of everything in them, was changed. A folder changes when a file
/// in it goes.
fn newest(paths: &[PathBuf]) -> Option<SystemTime> {
    let changed = |path: &PathBuf| {
        let inside: Vec<_> = fs::read_dir(path)
            .into_iter()
            .flatten()
            .flatten()
            .map(|entry| entry.path())
            .collect();
        modified(path).max(newest(&inside))
    };
    paths.iter().filter_map(changed).max()
}

/// A table of every file's size, as it is and compressed as static hosts send it, with the sum of what the page
/// needs before it first shows anything: itself and the program files that it names. It names icons and the manifest
/// too, but shows without them.
///
/// # Errors
/// When a file cannot be read.
pub fn sizes(dist: &Path) -> Result<String> {
    let index = fs::read_to_string(dist.join("index.html")).context("dist/ has no index.html")?;
    let mut table = format!(
        "\n{:>10} {:>10}  file\n{:>10} {:>10}\n",
        "size", "gzip", "B", "B"
    );
    let (mut first_size, mut first_gzip) = (0, 0);
    for path in files(dist)? {
        let bytes = fs::read(&path)?;
        let (size, gzip) = (bytes.len(), gzip(&bytes)?);
        let name = path
            .strip_prefix(dist)
            .unwrap_or(&path)
            .to_string_lossy()
            .replace('\\', "/");
        let first = name == "index.html"
            || offline::is_program(&name) && index.contains(&format!("\"./{name}\""));
        if first {
            first_size += size;
            first_gzip += gzip;
        }
        let mark = if first { "" } else { "  (after first paint)" };
        table += &format!("{size:>10} {gzip:>10}  {name}{mark}\n");
    }
    table += &format!("{first_size:>10} {first_gzip:>10}  needed for first paint\n\n");
    Ok(table)
}

/// Every file under a folder, in order of name.
pub(crate) fn files(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            found.extend(files(&path)?);
        } else {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

fn gzip(bytes: &[u8]) -> Result<usize> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    Ok(encoder.finish()?.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sizes_name_every_file_and_sum_what_the_page_names() {
        let dist = std::env::temp_dir().join(format!("glasswick-sizes-{}", std::process::id()));
        fs::create_dir_all(dist.join("later")).unwrap();
        let index = "<script src=\"./a.js\"><link href=\"./a.png\">";
        fs::write(dist.join("index.html"), index).unwrap();
        fs::write(dist.join("a.js"), [b'a'; 1000]).unwrap();
        fs::write(dist.join("a.png"), "icon").unwrap();
        fs::write(dist.join("later/b.js"), "bb").unwrap();
        let table = sizes(&dist).unwrap();
        fs::remove_dir_all(&dist).unwrap();

        let sizes: Vec<(&str, &str)> = table
            .lines()
            .filter_map(|line| {
                let (size, rest) = line.trim_start().split_once(' ')?;
                Some((size, rest.trim_start().split_once("  ")?.1))
            })
            .collect();
        assert_eq!(
            sizes[1..],
            [
                ("1000", "a.js"),
                ("4", "a.png  (after first paint)"),
                ("42", "index.html"),
                ("2", "later/b.js  (after first paint)"),
                ("1042", "needed for first paint"),
            ],
            "{table}"
        );
    }

    #[test]
    fn a_change_deep_in_a_folder_is_seen() {
        let top = std::env::temp_dir().join(format!("glasswick-newest-{}", std::process::id()));
        let deep = top.join("a/b/file");
        fs::create_dir_all(top.join("a/b")).unwrap();
        fs::write(&deep, "").unwrap();
        let later = SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(4_000_000_000);
        fs::File::options()
            .append(true)
            .open(&deep)
            .unwrap()
            .set_modified(later)
            .unwrap();
        let found = newest(std::slice::from_ref(&top));
        fs::remove_dir_all(&top).unwrap();
        assert_eq!(found, Some(later));
        assert_eq!(newest(&[top]), None);
    }
}
