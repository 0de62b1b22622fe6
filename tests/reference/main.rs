//! Checks against outside values, one source: natively they are ordinary tests, as wasm they run in the browser.
//!
//! The worked cases of the calculators, with their sources, stand beside each calculator; here they run on both
//! targets, together with checks of the engine that need more than one card or a budget.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test may stop where it fails"
)]

#[cfg(target_arch = "wasm32")]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);

mod absorbance;
mod agreement;
mod calibration_line;
mod cases;
mod chemistry;
mod dilution;
mod doubts;
mod dye_bath;
mod dye_uptake;
mod dyes;
mod efficiency;
mod engine;
mod first_order;
mod light_harvesting;
mod monte_carlo;
mod numerics;
mod platform;
mod properties;
mod robust;
mod soaking_log;
mod solution;
mod spacer_gap;
mod support;
mod thickness;
mod trials;
mod working;
