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
mod acidity;
mod agreement;
mod baths;
mod calibration_line;
mod cases;
mod chemistry;
mod concentration;
mod defoamer;
mod dilution;
mod dilution_series;
mod diode_fit;
mod doubts;
mod drop_mass;
mod drop_size;
mod drop_spread;
mod dye_bath;
mod dye_uptake;
mod dyes;
mod efficiency;
mod electrolyte;
mod engine;
mod firing;
mod first_order;
mod ink_correction;
mod ink_recipe;
mod jetting;
mod layer;
mod light_harvesting;
mod light_scattering;
mod loss_analysis;
mod meniscus;
mod monte_carlo;
mod nozzle_shear;
mod numerics;
mod particles;
mod passes;
mod platform;
mod powder;
mod powder_acid;
mod properties;
mod reference_coating;
mod reported_rows;
mod robust;
mod series_resistance;
mod settling;
mod shortfall;
mod soaking_log;
mod solids_residue;
mod solution;
mod spacer_gap;
mod step_height;
mod stock_aliquot;
mod support;
mod sweep_pair;
mod thickness;
mod translation;
mod trials;
mod triiodide;
mod ultrasound;
mod viscosity;
mod working;
