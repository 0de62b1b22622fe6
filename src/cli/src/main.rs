//! The native command: evaluates a run sheet, verifies a record, describes calculators and files. Thin, over the same two
//! crates as the page.

mod time;

use std::fmt::Write as _;
use std::io::{self, Read, Write as _};
use std::process::ExitCode;

use glasswick_core::sheet::{Evaluation, State, evaluate};
use glasswick_record::{
    MOST_BYTES, Origin, describe, record_json, record_schema, restore, run_sheet_schema, text,
    verify,
};

const USAGE: &str = "\
Usage:
  glasswick evaluate SHEET.json       print the record of a run sheet as JSON
  glasswick verify RECORD.json        recompute a record and list what differs
  glasswick describe [CALCULATOR]     print what the calculators declare as JSON
  glasswick schema run-sheet|record   print the JSON Schema of a file format
  glasswick --help | --version

A file named - is standard input. evaluate also takes a record, and evaluates the run sheet in it.
Results go to standard output; what is missing, wrong or repaired goes to standard error, with its place.

Exit codes:
  0  done; for verify: nothing differs
  1  verify: something differs, or the digest does not match
  2  the file cannot be read, or the command is not understood
  3  evaluate: a card is stopped (the record is printed all the same; a card that waits is no error)
";

/// How the command ends; see the usage.
enum End {
    Done,
    Differs,
    Stopped,
}

/// Why the command cannot do it.
enum Failure {
    Usage,
    Said(String),
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Failure::Said(error.to_string())
    }
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args_os()
        .skip(1)
        .map(|word| word.to_string_lossy().into_owned())
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match run(&words) {
        Ok(End::Done) => ExitCode::SUCCESS,
        Ok(End::Differs) => ExitCode::from(1),
        Ok(End::Stopped) => ExitCode::from(3),
        Err(failure) => {
            let text = match failure {
                Failure::Usage => USAGE.to_owned(),
                Failure::Said(sentence) => format!("glasswick: {sentence}\n"),
            };
            // Nobody is left to tell when standard error is closed.
            let _ = io::stderr().write_all(text.as_bytes());
            ExitCode::from(2)
        }
    }
}

fn run(words: &[&str]) -> Result<End, Failure> {
    match words {
        ["evaluate", file] => evaluated(file),
        ["verify", file] => verified(file),
        ["describe"] => described(None),
        ["describe", calculator] => described(Some(calculator)),
        ["schema", "run-sheet"] => {
            print(&text(&run_sheet_schema()))?;
            Ok(End::Done)
        }
        ["schema", "record"] => {
            print(&text(&record_schema()))?;
            Ok(End::Done)
        }
        ["--help" | "-h" | "help"] => {
            print(USAGE)?;
            Ok(End::Done)
        }
        ["--version" | "-V"] => {
            print(concat!("glasswick ", env!("CARGO_PKG_VERSION"), "\n"))?;
            Ok(End::Done)
        }
        _ => Err(Failure::Usage),
    }
}

fn evaluated(file: &str) -> Result<End, Failure> {
    let restored = restore(&read(file)?).map_err(|error| refused(file, &error))?;
    let evaluation = evaluate(&restored.document.sheet);
    let origin = Origin {
        app_version: env!("CARGO_PKG_VERSION"),
        exported: &time::now(),
    };
    print(&text(&record_json(
        &restored.document,
        &evaluation,
        &origin,
    )))?;
    say(&restored.notes)?;
    say(&unfinished(&evaluation))?;
    let stopped = evaluation
        .cards
        .iter()
        .any(|card| matches!(card.state, State::Stopped(_)));
    Ok(if stopped { End::Stopped } else { End::Done })
}

/// What waits and what is stopped, one line each, with its place.
fn unfinished(evaluation: &Evaluation) -> Vec<String> {
    let place = |card: &str, path: &str| {
        if path.is_empty() {
            card.to_owned()
        } else {
            format!("{card}.{path}")
        }
    };
    let mut lines = Vec::new();
    for card in &evaluation.cards {
        match &card.state {
            State::Ready => {}
            State::Waiting(awaited) => lines.extend(
                awaited
                    .iter()
                    .map(|a| format!("{}: waits for {}", place(&card.id, &a.path), a.what)),
            ),
            State::Stopped(problems) => {
                lines.extend(
                    problems
                        .iter()
                        .map(|p| format!("{}: {p}", place(&card.id, &p.path))),
                );
            }
        }
    }
    lines
}

fn verified(file: &str) -> Result<End, Failure> {
    let found = verify(&read(file)?).map_err(|error| refused(file, &error))?;
    say(&found.notes)?;
    let mut report = String::new();
    for difference in &found.differences {
        let stated = |text: &str| {
            if text.is_empty() {
                "nothing".to_owned()
            } else {
                text.to_owned()
            }
        };
        // Writing to a text cannot fail.
        let _ = writeln!(
            report,
            "{}: recorded {}, recomputed {}",
            difference.path,
            stated(&difference.recorded),
            stated(&difference.recomputed)
        );
    }
    report += match found.digest_matches {
        Some(true) => "The digest matches.\n",
        Some(false) => "The digest does not match: the record was changed after it was written.\n",
        None => "The record states no digest.\n",
    };
    let _ = match found.differences.len() {
        0 => writeln!(report, "Every result was recomputed; nothing differs."),
        1 => writeln!(report, "1 statement differs."),
        many => writeln!(report, "{many} statements differ."),
    };
    print(&report)?;
    Ok(if found.agrees() {
        End::Done
    } else {
        End::Differs
    })
}

fn described(calculator: Option<&str>) -> Result<End, Failure> {
    let declared = describe(calculator).ok_or_else(|| {
        let known: Vec<_> = glasswick_core::calculators::ALL
            .iter()
            .map(|c| c.id)
            .collect();
        let name = calculator.unwrap_or_default();
        Failure::Said(format!(
            "There is no calculator “{name}”. There are: {}.",
            known.join(", ")
        ))
    })?;
    print(&text(&declared))?;
    Ok(End::Done)
}

fn refused(file: &str, error: &glasswick_record::RestoreError) -> Failure {
    Failure::Said(format!("{file}: {error} {}", error.hint()))
}

/// Reads a file, or standard input, no further than the gate would.
fn read(file: &str) -> Result<String, Failure> {
    let unreadable = |error: io::Error| Failure::Said(format!("{file}: {error}"));
    let source: Box<dyn Read> = if file == "-" {
        Box::new(io::stdin())
    } else {
        Box::new(std::fs::File::open(file).map_err(unreadable)?)
    };
    let mut text = String::new();
    source
        .take(MOST_BYTES as u64 + 1)
        .read_to_string(&mut text)
        .map_err(unreadable)?;
    Ok(text)
}

fn print(text: &str) -> Result<(), Failure> {
    Ok(io::stdout().write_all(text.as_bytes())?)
}

fn say(lines: &[String]) -> Result<(), Failure> {
    let text: String = lines.iter().map(|line| format!("{line}\n")).collect();
    Ok(io::stderr().write_all(text.as_bytes())?)
}
