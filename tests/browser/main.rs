//! Journeys of a person through the built page, in a real Chromium. `cargo xtask test --only browser` runs them.
//!
//! Each journey has a server, a browser and a browser profile of its own. When its steps are done, [`journey`] looks
//! at what every journey must leave behind: a silent console, and no request but for our own files.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test may stop where it fails"
)]

mod access;
mod bad_input;
mod calculators;
mod chain;
mod command;
mod comparing;
mod demo;
mod exchange;
mod figures;
mod harness;
mod insecure;
mod keyboard;
mod kill;
mod link;
mod monte_carlo;
mod offline;
mod page;
mod picker;
mod pictures;
mod places;
mod points;
mod print;
mod printing;
mod shelf;
mod storage;
mod tabs;
mod touch;
mod uncertainty;
mod undo;
mod wait;
mod working;

use harness::journey;
