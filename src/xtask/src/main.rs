//! `cargo xtask`: reads the words of the command line and calls the library.

use std::process::ExitCode;

use anyhow::{Context, Result, bail};
use xtask::{build, schema, serve, suites};

const USAGE: &str = "\
cargo xtask serve [--open] [--port N] [--public-address URL]
    Installs what is missing, builds the page and serves it on this machine.
    --open            also opens it in the browser
    --port N          another port (saved data belongs to the address, port included)
    --public-address  where the page will be published, for the links it makes

cargo xtask build [--public-address URL]
    Builds the page into dist/ and prints the sizes of its files.

cargo xtask test [--only native|wasm|browser]
    Installs what is missing, then runs format, lints and all tests.

cargo xtask schema [--check]
    Writes the JSON Schemas of run sheet and record from the declarations.
    --check         has those that are there looked at by a validator of others

cargo xtask bench
    Times the evaluation of run sheets natively: medians and ratios.
";

fn main() -> ExitCode {
    match run(std::env::args().skip(1)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("\nxtask: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(mut words: impl Iterator<Item = String>) -> Result<()> {
    match words.next().as_deref() {
        Some("serve") => {
            let mut options = serve::Options::default();
            while let Some(word) = words.next() {
                match word.as_str() {
                    "--open" => options.open = true,
                    "--port" => {
                        options.port = value(&mut words, &word)?
                            .parse()
                            .context("--port takes a number from 1 to 65535")?;
                    }
                    "--public-address" => options.public_address = Some(value(&mut words, &word)?),
                    _ => return unknown(&word),
                }
            }
            serve::serve(&options)
        }
        Some("build") => {
            let mut public_address = None;
            while let Some(word) = words.next() {
                match word.as_str() {
                    "--public-address" => public_address = Some(value(&mut words, &word)?),
                    _ => return unknown(&word),
                }
            }
            build::page(public_address.as_deref())
        }
        Some("test") => {
            let mut only = None;
            while let Some(word) = words.next() {
                match word.as_str() {
                    "--only" => only = Some(value(&mut words, &word)?.parse()?),
                    _ => return unknown(&word),
                }
            }
            suites::test(only)
        }
        Some("schema") => match words.next().as_deref() {
            None => schema::write(),
            Some("--check") => schema::check(),
            Some(word) => unknown(word),
        },
        Some("bench") => suites::bench(),
        None | Some("help" | "--help" | "-h") => {
            print!("{USAGE}");
            Ok(())
        }
        Some(other) => unknown(other),
    }
}

fn value(words: &mut impl Iterator<Item = String>, option: &str) -> Result<String> {
    words
        .next()
        .with_context(|| format!("{option} needs a value after it"))
}

fn unknown(word: &str) -> Result<()> {
    bail!("\"{word}\" is not known here.\n\n{USAGE}")
}
