//! The calculators: a declaration each, in one file each, and the list of all.

mod absorbance;
mod acidity;
mod calibration_line;
mod cleaning_bath;
mod concentration;
mod declaration;
mod defoamer;
mod dilution;
mod dilution_series;
mod diode_fit;
mod drop_mass;
mod drop_size;
mod drop_spread;
mod drops;
mod dye_bath;
mod dye_uptake;
mod efficiency;
mod electrolyte;
mod firing;
mod formula;
mod hazards;
mod ink_correction;
mod ink_recipe;
mod jetting;
mod layer;
mod light_harvesting;
mod light_scattering;
mod loss_analysis;
mod meniscus;
mod merit;
mod nozzle;
mod nozzle_shear;
mod particles;
mod powder;
mod powder_acid;
mod reference_coating;
mod reported_rows;
mod series_resistance;
mod settling;
mod shortfall;
mod soaking_log;
mod solids_residue;
mod solution;
mod spacer_gap;
mod step_height;
mod step_mean;
mod stock;
mod stock_aliquot;
mod straight_line;
mod sweep;
mod sweep_pair;
mod thickness;
mod translation;
mod treatment_bath;
mod triiodide;
mod ultrasound;
mod viscosity;

pub use declaration::*;
pub use formula::*;

/// All calculators, in the order of the work at the bench.
pub static ALL: &[&Calculator] = &[
    &cleaning_bath::CALCULATOR,
    &concentration::CALCULATOR,
    &solution::CALCULATOR,
    &dilution::CALCULATOR,
    &dilution_series::CALCULATOR,
    &acidity::CALCULATOR,
    &powder_acid::CALCULATOR,
    &treatment_bath::CALCULATOR,
    &powder::CALCULATOR,
    &ink_recipe::CALCULATOR,
    &ink_correction::CALCULATOR,
    &ultrasound::CALCULATOR,
    &defoamer::CALCULATOR,
    &solids_residue::CALCULATOR,
    &viscosity::CALCULATOR,
    &nozzle_shear::CALCULATOR,
    &light_scattering::CALCULATOR,
    &particles::CALCULATOR,
    &settling::CALCULATOR,
    &jetting::CALCULATOR,
    &meniscus::CALCULATOR,
    &drop_size::CALCULATOR,
    &drop_mass::CALCULATOR,
    &drop_spread::CALCULATOR,
    &layer::CALCULATOR,
    &thickness::CALCULATOR,
    &firing::CALCULATOR,
    &step_height::CALCULATOR,
    &step_mean::CALCULATOR,
    &reference_coating::CALCULATOR,
    &dye_bath::CALCULATOR,
    &soaking_log::CALCULATOR,
    &absorbance::CALCULATOR,
    &calibration_line::CALCULATOR,
    &dye_uptake::CALCULATOR,
    &light_harvesting::CALCULATOR,
    &spacer_gap::CALCULATOR,
    &electrolyte::CALCULATOR,
    &stock_aliquot::CALCULATOR,
    &triiodide::CALCULATOR,
    &efficiency::CALCULATOR,
    &sweep_pair::CALCULATOR,
    &translation::CALCULATOR,
    &diode_fit::CALCULATOR,
    &loss_analysis::CALCULATOR,
    &series_resistance::CALCULATOR,
    &reported_rows::CALCULATOR,
    &shortfall::CALCULATOR,
];

/// The worked cases of every calculator, in the order of [`ALL`]. They stand apart from the declarations so that the
/// page, which does not show them, is not made to carry them.
pub static CASES: &[&[Case]] = &[
    cleaning_bath::CASES,
    concentration::CASES,
    solution::CASES,
    dilution::CASES,
    dilution_series::CASES,
    acidity::CASES,
    powder_acid::CASES,
    treatment_bath::CASES,
    powder::CASES,
    ink_recipe::CASES,
    ink_correction::CASES,
    ultrasound::CASES,
    defoamer::CASES,
    solids_residue::CASES,
    viscosity::CASES,
    nozzle_shear::CASES,
    light_scattering::CASES,
    particles::CASES,
    settling::CASES,
    jetting::CASES,
    meniscus::CASES,
    drop_size::CASES,
    drop_mass::CASES,
    drop_spread::CASES,
    layer::CASES,
    thickness::CASES,
    firing::CASES,
    step_height::CASES,
    step_mean::CASES,
    reference_coating::CASES,
    dye_bath::CASES,
    soaking_log::CASES,
    absorbance::CASES,
    calibration_line::CASES,
    dye_uptake::CASES,
    light_harvesting::CASES,
    spacer_gap::CASES,
    electrolyte::CASES,
    stock_aliquot::CASES,
    triiodide::CASES,
    efficiency::CASES,
    sweep_pair::CASES,
    translation::CASES,
    diode_fit::CASES,
    loss_analysis::CASES,
    series_resistance::CASES,
    reported_rows::CASES,
    shortfall::CASES,
];

/// Every worked case with its calculator.
pub fn cases() -> impl Iterator<Item = (&'static Calculator, &'static Case)> {
    let of = |(calculator, cases): (&&'static Calculator, &&'static [Case])| {
        let calculator = *calculator;
        cases.iter().map(move |case| (calculator, case))
    };
    ALL.iter().zip(CASES).flat_map(of)
}

/// The calculator with this identifier.
#[must_use]
pub fn find(id: &str) -> Option<&'static Calculator> {
    ALL.iter().copied().find(|calculator| calculator.id == id)
}
