//! Every check there is, in the order in which they fail soonest. What CI runs is this and nothing else.

use std::process::Command;
use std::str::FromStr;
use std::time::Duration;

use anyhow::{Context, Error, Result, bail};

use crate::build;
use crate::chromium::{self, CHROMEDRIVER};
use crate::command::{cargo, run, run_within};
use crate::schema;
use crate::tools::{self, Tools};

const WASM: &str = "wasm32-unknown-unknown";
/// The driver now and then stalls, and the runner of the wasm tests would wait for ever.
const WASM_LIMIT: Duration = Duration::from_secs(5 * 60);
const BROWSER_LIMIT: Duration = Duration::from_secs(15 * 60);

/// A part of the checks that can be asked for alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suite {
    /// Format, lints, and the tests that need no browser.
    Native,
    /// The tests compiled to wasm, run in a browser.
    Wasm,
    /// The journeys through the built page.
    Browser,
}

impl FromStr for Suite {
    type Err = Error;

    fn from_str(word: &str) -> Result<Self> {
        match word {
            "native" => Ok(Self::Native),
            "wasm" => Ok(Self::Wasm),
            "browser" => Ok(Self::Browser),
            _ => bail!("--only takes native, wasm or browser, not \"{word}\""),
        }
    }
}

/// Installs what is missing and runs all suites, or only one. The first that fails ends it.
///
/// # Errors
/// When something cannot be installed or a check fails.
pub fn test(only: Option<Suite>) -> Result<()> {
    let wanted = |suite| only.is_none_or(|only| only == suite);
    let browser = wanted(Suite::Wasm) || wanted(Suite::Browser);
    // What only root may install is asked for before anything that takes long.
    if browser {
        chromium::ready()?;
    }

    let mut passed = Vec::new();
    let mut step = |name: &'static str, check: &dyn Fn() -> Result<()>| {
        println!("\n== {name}");
        check().with_context(|| format!("{name} failed"))?;
        passed.push(name);
        Ok::<_, Error>(())
    };
    if wanted(Suite::Native) {
        step("format", &|| run(cargo().args(["fmt", "--all", "--check"])))?;
        step("lints", &lints)?;
        step("native tests", &|| {
            run(cargo().args(["test", "--workspace"]))
        })?;
        step("JSON Schemas, outside referee", &schema::check)?;
    }
    if browser {
        let tools = Tools::ready()?;
        if wanted(Suite::Wasm) {
            step("wasm tests in the browser", &|| wasm(&tools))?;
        }
        if wanted(Suite::Browser) {
            step("browser journeys", &|| journeys(&tools))?;
        }
    }

    println!("\nAll passed: {}.", passed.join(", "));
    Ok(())
}

/// Times the evaluation of run sheets.
///
/// # Errors
/// When the bench cannot be built or fails.
pub fn bench() -> Result<()> {
    let words = [
        "bench",
        "-p",
        "glasswick-core",
        "--profile",
        "native",
        "--bench",
        "diode_fit",
        "--bench",
        "evaluate",
        "--bench",
        "monte_carlo",
    ];
    run(cargo().args(words))
}

/// The journeys are left out of `--all-targets`, as of the native tests (`test = false`), and so named here.
fn lints() -> Result<()> {
    tools::wasm_target()?;
    for words in [
        ["--workspace", "--all-targets"].as_slice(),
        &["-p", "glasswick-tests", "--test", "browser"],
        &["-p", "glasswick-app", "--target", WASM, "--all-targets"],
    ] {
        run(cargo()
            .arg("clippy")
            .args(words)
            .args(["--", "-D", "warnings"]))?;
    }
    Ok(())
}

fn wasm(tools: &Tools) -> Result<()> {
    let test = |last: &[&str]| -> Result<Command> {
        let mut command = cargo();
        command
            .args(["test", "-p", "glasswick-tests", "-p", "glasswick-app"])
            .args(["--tests", "--target", WASM])
            .args(last)
            .env("PATH", tools.path()?)
            .env(
                "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER",
                "wasm-bindgen-test-runner",
            )
            .env("CHROMEDRIVER", CHROMEDRIVER)
            // For the whole run, in seconds; the usual 20 are few on a busy machine.
            .env("WASM_BINDGEN_TEST_TIMEOUT", "120");
        Ok(command)
    };
    // Compiled apart, so that the limit is for the tests alone.
    run(&mut test(&["--no-run"])?)?;
    if run_within(WASM_LIMIT, &mut test(&[])?)? {
        return Ok(());
    }
    println!("The browser's driver stalled; once more.");
    if run_within(WASM_LIMIT, &mut test(&[])?)? {
        return Ok(());
    }
    bail!("the browser's driver stalled twice")
}

fn journeys(tools: &Tools) -> Result<()> {
    build::page_if_older(tools, None)?;
    run(cargo().args(["build", "-p", "glasswick"]))?;
    let test = |last: &[&str]| {
        let mut command = cargo();
        command
            .args(["test", "-p", "glasswick-tests", "--test", "browser"])
            .args(last);
        command
    };
    run(&mut test(&["--no-run"]))?;
    let own = std::env::current_exe()?;
    // Both are made by the same profile into the same folder.
    let cli = own
        .with_file_name("glasswick")
        .with_extension(own.extension().unwrap_or_default());
    if run_within(
        BROWSER_LIMIT,
        test(&[])
            .env("GLASSWICK_DIST", build::dist())
            .env("GLASSWICK_CLI", cli)
            .env("GLASSWICK_AXE", tools::axe()?)
            .env("GLASSWICK_JSQR", tools::jsqr()?),
    )? {
        return Ok(());
    }
    bail!(
        "the journeys did not end within {} minutes",
        BROWSER_LIMIT.as_secs() / 60
    )
}
