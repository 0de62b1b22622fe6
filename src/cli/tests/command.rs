//! The command from outside: what it prints where, and how it ends.

#![expect(clippy::expect_used, reason = "a test that cannot go on fails")]

use std::io::Write as _;
use std::process::{Command, Output, Stdio};

use serde_json::{Value, json};

/// Runs the command with this on its standard input.
fn run(words: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_glasswick"))
        .args(words)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    // A command that does not read its input closes it.
    let _ = child
        .stdin
        .take()
        .expect("it was piped")
        .write_all(input.as_bytes());
    child.wait_with_output().expect("the command ends")
}

fn out(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).expect("UTF-8")
}

fn err(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).expect("UTF-8")
}

fn json_of(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).expect("JSON on standard output")
}

fn sheet(stock: &str) -> String {
    json!({
        "format": "glasswick-run-sheet",
        "format_version": "1.0",
        "cards": [{ "id": "dilute", "calculator": "dilution", "inputs": {
            "by": { "choice": "volume" },
            "find": { "choice": "aliquot" },
            "stock": { "text": stock },
            "target": { "text": "0.102 mol/L" },
            "final": { "text": "500.0", "unit": "mL" },
        } }],
    })
    .to_string()
}

#[test]
fn evaluate_prints_a_record_that_verify_confirms() {
    let evaluated = run(&["evaluate", "-"], &sheet("2.04 mol/L"));
    assert_eq!((evaluated.status.code(), err(&evaluated)), (Some(0), ""));
    let record = json_of(&evaluated);
    assert_eq!(record["cards"][0]["results"][0]["printed"], "25\u{202f}mL");
    let exported = record["exported"].as_str().expect("a time");
    assert!(
        exported.len() == 25 && exported.ends_with("+00:00"),
        "{exported}"
    );

    let verified = run(&["verify", "-"], out(&evaluated));
    assert_eq!((verified.status.code(), err(&verified)), (Some(0), ""));
    assert!(
        out(&verified).contains("nothing differs"),
        "{}",
        out(&verified)
    );
    assert!(
        out(&verified).contains("The digest matches."),
        "{}",
        out(&verified)
    );
}

#[test]
fn evaluate_takes_a_record_too() {
    let first = run(&["evaluate", "-"], &sheet("2.04 mol/L"));
    let second = run(&["evaluate", "-"], out(&first));
    assert_eq!(second.status.code(), Some(0));
    assert_eq!(json_of(&second)["digest"], json_of(&first)["digest"]);
    assert!(err(&second).contains("computed anew"), "{}", err(&second));
}

#[test]
fn verify_ends_with_1_where_something_differs() {
    let mut record = json_of(&run(&["evaluate", "-"], &sheet("2.04 mol/L")));
    record["cards"][0]["results"][0]["value"] = json!(26);
    let verified = run(&["verify", "-"], &record.to_string());
    assert_eq!(verified.status.code(), Some(1));
    let expected = "cards/dilute/results/aliquot/value: recorded 26, recomputed 25\n\
                    The digest does not match: the record was changed after it was written.\n\
                    1 statement differs.\n";
    assert_eq!(out(&verified), expected);
}

#[test]
fn a_card_that_waits_is_no_error_and_one_that_stops_ends_with_3() {
    let waits = run(&["evaluate", "-"], &sheet(""));
    assert_eq!(
        (waits.status.code(), err(&waits)),
        (Some(0), "dilute.stock: waits for Stock concentration\n")
    );
    assert_eq!(json_of(&waits)["cards"][0]["state"], "waiting");

    let stops = run(&["evaluate", "-"], &sheet("0.1 mol/L"));
    assert_eq!(stops.status.code(), Some(3));
    assert!(
        err(&stops).starts_with("dilute.target: The target"),
        "{}",
        err(&stops)
    );
    assert_eq!(json_of(&stops)["cards"][0]["state"], "stopped");
}

#[test]
fn what_was_kept_aside_is_said() {
    let text = sheet("2.04 mol/L").replace("\"find\"", "\"colour\":{\"text\":\"red\"},\"find\"");
    let evaluated = run(&["evaluate", "-"], &text);
    assert_eq!(evaluated.status.code(), Some(0));
    assert!(
        err(&evaluated).starts_with("cards/dilute/inputs/colour: "),
        "{}",
        err(&evaluated)
    );
    assert_eq!(
        json_of(&evaluated)["sheet"]["cards"][0]["inputs"]["colour"]["text"],
        "red"
    );
}

#[test]
fn what_cannot_be_read_ends_with_2() {
    for (words, input, sentence) in [
        (&["evaluate", "-"][..], "", "-: The text is not JSON"),
        (
            &["evaluate", "-"],
            "{}",
            "-: The text is neither a run sheet nor a record.",
        ),
        (&["verify", "-"], &sheet("1"), "-: This is a run sheet"),
        (&["verify", "no/such/file.json"], "", "no/such/file.json: "),
        (
            &["describe", "teleport"],
            "",
            "There is no calculator “teleport”. There are: ",
        ),
    ] {
        let output = run(words, input);
        assert_eq!(
            (output.status.code(), out(&output)),
            (Some(2), ""),
            "{words:?}"
        );
        let said = err(&output);
        assert!(
            said.starts_with(&format!("glasswick: {sentence}")),
            "{words:?}: {said}"
        );
    }
    for words in [
        &[][..],
        &["evaluate"],
        &["verify", "a", "b"],
        &["schema"],
        &["dance"],
    ] {
        let output = run(words, "");
        assert_eq!(
            (output.status.code(), out(&output)),
            (Some(2), ""),
            "{words:?}"
        );
        assert!(err(&output).starts_with("Usage:"), "{words:?}");
    }
}

#[test]
fn describe_and_help() {
    let all = run(&["describe"], "");
    assert_eq!(all.status.code(), Some(0));
    assert!(
        json_of(&all)
            .as_array()
            .is_some_and(|list| list.iter().any(|c| c["id"] == "dilution"))
    );
    let one = run(&["describe", "dilution"], "");
    assert_eq!(json_of(&one)["title"], "Dilution");
    let schema = json_of(&run(&["schema", "run-sheet"], ""));
    assert_eq!(schema["title"], "Glasswick run sheet");
    let schema = json_of(&run(&["schema", "record"], ""));
    assert_eq!(schema["title"], "Glasswick record");
    let help = run(&["--help"], "");
    assert_eq!(help.status.code(), Some(0));
    assert!(out(&help).contains("Exit codes:"));
}
