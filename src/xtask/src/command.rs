//! Running other programs: said aloud, checked, and ended when they hang.

use std::ffi::OsStr;
use std::io;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use anyhow::{Context, Result, bail};

/// A command for `cargo`, the one that runs this program where there is one.
#[must_use]
pub fn cargo() -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(crate::root());
    command
}

/// Prints the command, runs it, and fails when it does.
///
/// # Errors
/// When the program cannot be started or does not end well.
pub fn run(command: &mut Command) -> Result<()> {
    let line = announce(command);
    let status = command
        .status()
        .with_context(|| format!("could not start {line}"))?;
    check(&line, status)
}

/// As [`run`], with a limit of time. `Ok(false)` says that the limit passed and the program, with all that it had
/// started, was ended.
///
/// # Errors
/// When the program cannot be started or does not end well within the limit.
pub fn run_within(limit: Duration, command: &mut Command) -> Result<bool> {
    let line = announce(command);
    own_group(command);
    let child = command
        .spawn()
        .with_context(|| format!("could not start {line}"))?;
    match wait_within(limit, child)? {
        Some(status) => check(&line, status).map(|()| true),
        None => Ok(false),
    }
}

/// What a program prints, or `None` where it is missing or does not end well.
#[must_use]
pub fn output(command: &mut Command) -> Option<String> {
    let output = command.stdin(Stdio::null()).output().ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).into_owned())
}

fn announce(command: &Command) -> String {
    let words: Vec<_> = std::iter::once(command.get_program())
        .chain(command.get_args())
        .map(OsStr::to_string_lossy)
        .collect();
    // The full path of cargo says nothing to the reader.
    let line = words.join(" ");
    let line = match line.split_once("/bin/cargo ") {
        Some((_, rest)) => format!("cargo {rest}"),
        None => line,
    };
    println!("$ {line}");
    line
}

fn check(line: &str, status: ExitStatus) -> Result<()> {
    if !status.success() {
        bail!("{line}: ended with {status}");
    }
    Ok(())
}

fn wait_within(limit: Duration, mut child: Child) -> io::Result<Option<ExitStatus>> {
    let id = child.id();
    let (done, ended) = mpsc::channel();
    thread::spawn(move || done.send(child.wait()));
    match ended.recv_timeout(limit) {
        Ok(status) => status.map(Some),
        Err(_) => {
            end_group(id);
            Ok(None)
        }
    }
}

/// Gives the program a process group of its own, so that what it starts can be ended with it.
fn own_group(command: &mut Command) {
    #[cfg(unix)]
    std::os::unix::process::CommandExt::process_group(command, 0);
    #[cfg(not(unix))]
    let _ = command;
}

fn end_group(id: u32) {
    let ended = if cfg!(windows) {
        Command::new("taskkill")
            .args(["/T", "/F", "/PID", &id.to_string()])
            .status()
    } else {
        Command::new("kill")
            .args(["-KILL", "--", &format!("-{id}")])
            .status()
    };
    if let Err(error) = ended {
        eprintln!("Process {id} could not be ended: {error}");
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    fn shell(script: &str) -> Command {
        let mut command = Command::new("sh");
        command.args(["-c", script]);
        command
    }

    #[test]
    fn a_program_that_ends_in_time_is_judged_by_its_status() {
        let limit = Duration::from_secs(60);
        assert!(run_within(limit, &mut shell("exit 0")).unwrap());
        let error = run_within(limit, &mut shell("exit 3")).unwrap_err();
        assert!(error.to_string().contains("exit status: 3"), "{error}");
    }

    /// The pipe's far end is held by the grandchild alone: reading to the end returns only when that is gone too.
    #[test]
    fn a_program_that_hangs_is_ended_with_what_it_started() {
        let (mut end, held) = io::pipe().unwrap();
        let mut command = shell("sleep 600 & wait");
        command.stdout(held);
        assert!(!run_within(Duration::from_millis(200), &mut command).unwrap());
        drop(command);
        let mut rest = Vec::new();
        io::Read::read_to_end(&mut end, &mut rest).unwrap();
        assert!(rest.is_empty());
    }
}
