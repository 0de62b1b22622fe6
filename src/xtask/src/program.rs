//! The page's program: compiled, cut at the places that the app marks, bound to JavaScript, made small.
//!
//! Trunk cannot cut between the compiler and wasm-bindgen, so this is done here and Trunk does the rest of the page.
//! The files refer to each other by name and fit only each other. They stand in a folder whose name is a hash of what
//! is in it, so that no cache can ever mix two builds.

use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, anyhow, ensure};

use crate::command::{cargo, run};
use crate::tools::{Tools, WASM};

const PACKAGE: &str = "glasswick-app";
/// What is compiled is called so in the page.
const NAME: &str = "glasswick";
/// How `index.html` in the repository calls the folder, and how its name begins in `dist/`.
const FOLDER: &str = "program";
/// Loads the parts that come later; the splitter and wasm-bindgen call it so.
const LOADER: &str = "__wasm_split.js";

/// Compiles the program and gives the folder with its finished files.
///
/// # Errors
/// When a step fails.
pub(crate) fn build(tools: &Tools, environment: &[(&str, Option<&str>)]) -> Result<PathBuf> {
    // This program lies in the folder for its profile, in the target folder.
    let target = std::env::current_exe()?;
    let target = target.ancestors().nth(2).context("no target folder")?;
    let compiled = compile(target, environment)?;

    let cut = empty(&target.join("program/cut"))?;
    let finished = empty(&target.join("program/finished"))?;
    let main = cut.join(format!("{NAME}.wasm"));
    let mut options = wasm_split_cli_support::Options::new(&compiled);
    let script = format!("./{NAME}.js");
    options.output_dir = &cut;
    options.main_out_path = &main;
    options.main_module = &script;
    let parts = wasm_split_cli_support::transform(options)
        .map_err(|error| anyhow!("{error:#}"))
        .context("the program could not be cut")?;

    // The parts find the program's memory and functions by what the linker exports.
    run(tool(tools, "wasm-bindgen")?
        .arg(&main)
        .arg("--out-dir")
        .arg(&finished)
        .args(["--target", "web", "--keep-lld-exports", "--no-typescript"]))?;
    for made in [finished.join(format!("{NAME}_bg.wasm"))]
        .iter()
        .chain(&parts.split_modules)
    {
        let name = made.file_name().context("a part has no name")?;
        run(tool(tools, "wasm-opt")?
            .arg("-O1")
            .arg(made)
            .arg("-o")
            .arg(finished.join(name)))?;
    }
    let loader = fs::read_to_string(cut.join(LOADER))?;
    fs::write(finished.join(LOADER), whatever_the_type(&loader)?)?;
    Ok(finished)
}

/// Puts the program into the built page and names its folder there.
///
/// # Errors
/// When a file cannot be read or written, or the page names no program.
pub(crate) fn install(finished: &Path, dist: &Path) -> Result<()> {
    let folder = format!("{FOLDER}-{:016x}", hash(finished)?);
    let index = dist.join("index.html");
    let page = fs::read_to_string(&index)?;
    let named = named(&page, &folder)?;
    fs::create_dir(dist.join(&folder))?;
    for file in files(finished)? {
        let name = file.file_name().context("a file has no name")?;
        fs::copy(&file, dist.join(&folder).join(name))?;
    }
    fs::write(&index, named)?;
    Ok(())
}

/// The page with the program's folder by its name, and without the word to Trunk that it has nothing to compile.
fn named(page: &str, folder: &str) -> Result<String> {
    let placeholder = format!("\"./{FOLDER}/");
    ensure!(
        page.contains(&placeholder),
        "index.html names no file of ./{FOLDER}/"
    );
    let page: String = page
        .split_inclusive('\n')
        .filter(|line| !line.contains("data-trunk-skip"))
        .collect();
    Ok(page.replace(&placeholder, &format!("\"./{folder}/")))
}

/// The compiled program, with the linker's notes about what refers to what: by these it is cut.
fn compile(target: &Path, environment: &[(&str, Option<&str>)]) -> Result<Vec<u8>> {
    let mut compile = cargo();
    compile
        .args(["rustc", "--package", PACKAGE, "--release", "--offline"])
        .args(["--target", WASM, "--target-dir"])
        .arg(target)
        .args(["--", "-C", "link-arg=--emit-relocs"]);
    for (name, value) in environment {
        match value {
            Some(value) => compile.env(name, value),
            None => compile.env_remove(name),
        };
    }
    run(&mut compile)?;
    let compiled = target.join(format!("{WASM}/release/{PACKAGE}.wasm"));
    fs::read(&compiled).with_context(|| format!("{} cannot be read", compiled.display()))
}

/// Lets the loader take a part whatever type the host gives it: many static hosts know no type for wasm.
fn whatever_the_type(loader: &str) -> Result<String> {
    let (strict, lenient) = (
        "WebAssembly.instantiateStreaming(src, imports)",
        "WebAssembly.instantiate(await (await src).arrayBuffer(), imports)",
    );
    ensure!(
        loader.contains(strict),
        "{LOADER} loads parts in a way that is not known here"
    );
    Ok(loader.replace(strict, lenient))
}

fn tool(tools: &Tools, name: &str) -> Result<Command> {
    let mut command = Command::new(name);
    command.env("PATH", tools.path()?);
    Ok(command)
}

fn empty(folder: &Path) -> Result<PathBuf> {
    if folder.exists() {
        fs::remove_dir_all(folder)?;
    }
    fs::create_dir_all(folder).with_context(|| format!("{} cannot be made", folder.display()))?;
    Ok(folder.to_owned())
}

/// The files of a folder, in order of name.
fn files(folder: &Path) -> Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        files.push(entry?.path());
    }
    files.sort();
    Ok(files)
}

fn hash(folder: &Path) -> Result<u64> {
    let mut hasher = DefaultHasher::new();
    for file in files(folder)? {
        hasher.write(file.file_name().unwrap_or_default().as_encoded_bytes());
        hasher.write(&fs::read(&file)?);
    }
    Ok(hasher.finish())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_names_the_folder_of_this_build() {
        let page = "<link data-trunk rel=\"rust\" data-trunk-skip data-trunk-id=\"6\">\n\
                    <script src=\"./boot.js\" data-js=\"./program/a.js\" data-wasm=\"./program/a.wasm\">\n";
        assert_eq!(
            named(page, "program-1").unwrap(),
            "<script src=\"./boot.js\" data-js=\"./program-1/a.js\" data-wasm=\"./program-1/a.wasm\">\n"
        );
        assert!(named("<p>./program</p>", "program-1").is_err());
    }

    #[test]
    fn the_hash_is_of_names_and_bytes() {
        let folder = std::env::temp_dir().join(format!("glasswick-hash-{}", std::process::id()));
        let hashed = |name: &str, bytes: &str| {
            empty(&folder).unwrap();
            fs::write(folder.join(name), bytes).unwrap();
            hash(&folder).unwrap()
        };
        let (first, again) = (hashed("a", "1"), hashed("a", "1"));
        let (other_bytes, other_name) = (hashed("a", "2"), hashed("b", "1"));
        fs::remove_dir_all(&folder).unwrap();
        assert_eq!(first, again);
        assert_ne!(first, other_bytes);
        assert_ne!(first, other_name);
    }

    #[test]
    fn a_loader_that_is_not_known_is_refused() {
        let strict = "return async (imports) => (WebAssembly.instantiateStreaming(src, imports));";
        let lenient = whatever_the_type(strict).unwrap();
        assert!(lenient.contains("arrayBuffer()"), "{lenient}");
        assert!(whatever_the_type("export const load = 1;").is_err());
    }
}
