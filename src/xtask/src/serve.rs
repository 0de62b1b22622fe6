//! Serves the page on this machine, at an address that stays the same.

use std::process::{Command, Stdio};
use std::thread;

use anyhow::{Context, Result};

use crate::build;
use crate::server::Server;
use crate::tools::Tools;

/// Below the ports that systems hand out to programs that ask for any, so that it is free whenever it is wanted.
const PORT: u16 = 27815;

/// What the command line asks for.
#[derive(Debug, Clone)]
pub struct Options {
    /// Also open the page in the system's browser.
    pub open: bool,
    /// The port on the loopback address.
    pub port: u16,
    /// Where the page will be published.
    pub public_address: Option<String>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            open: false,
            port: PORT,
            public_address: None,
        }
    }
}

/// Installs what is missing, builds the page and serves it until this program is ended.
///
/// # Errors
/// When a tool cannot be installed, the build fails, or the port is taken.
pub fn serve(options: &Options) -> Result<()> {
    let tools = Tools::ready()?;
    build::page_if_older(&tools, options.public_address.as_deref())?;
    let server = Server::start(&build::dist(), options.port).with_context(|| {
        format!(
            "port {} cannot be used. It may serve the page already: look at http://127.0.0.1:{0}/. \
             Otherwise end the program that holds it, or choose another with --port; \
             what was saved stays with the old address",
            options.port
        )
    })?;
    println!(
        "Glasswick is at {}\n\
         This address, port included, owns the saved data: at another address the page starts empty.\n\
         Press Ctrl+C to end.",
        server.url()
    );
    if options.open && !open(&server.url()) {
        println!("No browser could be opened from here: open the address by hand.");
    }
    loop {
        thread::park();
    }
}

fn open(url: &str) -> bool {
    let (program, arguments): (_, &[&str]) = if cfg!(windows) {
        ("cmd", &["/C", "start", ""])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    Command::new(program)
        .args(arguments)
        .arg(url)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}
