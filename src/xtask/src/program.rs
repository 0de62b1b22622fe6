//! The page's program: compiled, cut at the places that the app marks, bound to JavaScript, made small.
//!
//! Trunk cannot cut between the compiler and wasm-bindgen, so this is done here and Trunk does the rest of the page.
//! The files refer to each other by name and fit only each other.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, Result, anyhow, ensure};

use crate::build::files;
use crate::command::{cargo, run};
use crate::tools::{Tools, WASM};

const PACKAGE: &str = "glasswick-app";
/// What is compiled is called so in the page.
const NAME: &str = "glasswick";
/// The folder in the page, as `index.html` calls it.
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

/// Puts the program into the built page.
///
/// # Errors
/// When a file cannot be read or written.
pub(crate) fn install(finished: &Path, dist: &Path) -> Result<()> {
    let folder = empty(&dist.join(FOLDER))?;
    for file in files(finished)? {
        let name = file.file_name().context("a file has no name")?;
        fs::copy(&file, folder.join(name))?;
    }
    // Trunk was told that it has nothing to compile, and leaves the word standing.
    let index = dist.join("index.html");
    let page = fs::read_to_string(&index)?;
    fs::write(&index, without_skip(&page))?;
    Ok(())
}

fn without_skip(page: &str) -> String {
    page.split_inclusive('\n')
        .filter(|line| !line.contains("data-trunk-skip"))
        .collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_word_to_trunk_is_taken_out() {
        let page = "<link data-trunk rel=\"rust\" data-trunk-skip data-trunk-id=\"6\">\n<p>\n";
        assert_eq!(without_skip(page), "<p>\n");
    }

    #[test]
    fn a_loader_that_is_not_known_is_refused() {
        let strict = "return async (imports) => (WebAssembly.instantiateStreaming(src, imports));";
        let lenient = whatever_the_type(strict).unwrap();
        assert!(lenient.contains("arrayBuffer()"), "{lenient}");
        assert!(whatever_the_type("export const load = 1;").is_err());
    }
}
