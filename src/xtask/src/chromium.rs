//! Debian's Chromium and its driver, for the tests that need a real browser.

use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;

use anyhow::{Result, bail};

use crate::apt;
use crate::command::output;

/// Where Debian's package puts the browser.
pub const CHROMIUM: &str = "/usr/bin/chromium";
/// Where Debian's package puts the driver.
pub const CHROMEDRIVER: &str = "/usr/bin/chromedriver";

/// Finds the browser and its driver, or installs them where that is permitted.
///
/// # Errors
/// When they are missing and cannot be installed; the sentence says what to do.
pub fn ready() -> Result<()> {
    if present() {
        return Ok(());
    }
    println!("Installing Chromium and its driver: this usually takes one or two minutes, once.");
    let packages = ["chromium", "chromium-driver"];
    apt::install(
        &packages,
        &format!(
            "the tests in the browser need Debian's Chromium and its driver at {CHROMIUM} and {CHROMEDRIVER} \
             (`cargo xtask test --only native` runs those that need no browser)"
        ),
    )?;
    if !present() {
        bail!(
            "Chromium was installed but does not start from {CHROMIUM} and {CHROMEDRIVER}: {}",
            apt::by_hand(&packages)
        );
    }
    Ok(())
}

fn present() -> bool {
    [CHROMIUM, CHROMEDRIVER]
        .iter()
        .all(|program| output(Command::new(program).arg("--version")).is_some())
}

/// The browser's arguments: no window, a profile of its own, and no request that the page did not make.
#[must_use]
pub fn arguments(user_data_dir: &Path) -> Vec<String> {
    [
        "--headless=new",
        // Chromium's sandbox refuses to run as root, as CI does.
        "--no-sandbox",
        "--disable-gpu",
        "--disable-dev-shm-usage",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
    ]
    .into_iter()
    .map(str::to_owned)
    .chain([format!("--user-data-dir={}", user_data_dir.display())])
    .collect()
}

/// How often the driver is started until its port is free.
const MOST_STARTS: u32 = 5;

/// A running driver. Dropping it ends it and the browsers that it started.
#[derive(Debug)]
pub struct Driver {
    child: Child,
    port: u16,
    /// Held open: the driver would be ended by writing to a closed pipe.
    _output: BufReader<ChildStdout>,
}

impl Driver {
    /// Starts the driver on a free port. Its log goes into this folder, which is made where missing.
    ///
    /// # Errors
    /// When the driver is missing or does not say that it started.
    pub fn start(user_data_dir: &Path) -> io::Result<Self> {
        std::fs::create_dir_all(user_data_dir)?;
        let mut tries = MOST_STARTS;
        loop {
            tries -= 1;
            match Self::start_once(user_data_dir) {
                // It looks for a port that is free for one version of IP, and ends where it is taken for the other.
                Err(error) if tries > 0 && error.to_string().contains("port not available") => {}
                started => return started,
            }
        }
    }

    fn start_once(user_data_dir: &Path) -> io::Result<Self> {
        let log = user_data_dir.join("chromedriver.log");
        let mut child = Command::new(CHROMEDRIVER)
            .arg("--port=0")
            .arg(format!("--log-path={}", log.display()))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()?;
        let mut output = BufReader::new(child.stdout.take().ok_or(io::ErrorKind::BrokenPipe)?);
        let mut said = String::new();
        // It prints some lines, the last of which is "ChromeDriver was started successfully on port 12345."
        while output.read_line(&mut said)? > 0 {
            if let Some(port) = port_in(&said) {
                return Ok(Self {
                    child,
                    port,
                    _output: output,
                });
            }
        }
        child.wait()?;
        Err(io::Error::other(format!(
            "{CHROMEDRIVER} did not start: {said}"
        )))
    }

    /// The port it listens on.
    #[must_use]
    pub fn port(&self) -> u16 {
        self.port
    }

    /// Its address, for a WebDriver client.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Asks it to end its browsers and itself; killing it would leave the browsers running.
    fn shut_down(&self) -> io::Result<()> {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port))?;
        stream.set_read_timeout(Some(Duration::from_secs(10)))?;
        write!(
            stream,
            "GET /shutdown HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
            self.port
        )?;
        stream.read_to_end(&mut Vec::new())?;
        Ok(())
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        if self.shut_down().is_err() {
            let _ = self.child.kill();
        }
        let _ = self.child.wait();
    }
}

fn port_in(said: &str) -> Option<u16> {
    let (_, rest) = said.split_once("started successfully on port ")?;
    rest.split_once('.')?.0.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_port_is_read_from_what_the_driver_says() {
        let said = "Starting ChromeDriver 156.0 on port 0\nOnly local connections are allowed.\n\
                    ChromeDriver was started successfully on port 41234.\n";
        assert_eq!(port_in(said), Some(41234));
        assert_eq!(port_in("Starting ChromeDriver 156.0 on port 0\n"), None);
    }
}
