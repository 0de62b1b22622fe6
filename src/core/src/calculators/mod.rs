//! The calculators: a declaration each, in one file each, and the list of all.

mod absorbance;
mod calibration_line;
mod declaration;
mod dilution;
mod dye_bath;
mod dye_uptake;
mod efficiency;
mod formula;
mod hazards;
mod light_harvesting;
mod soaking_log;
mod solution;
mod spacer_gap;
mod straight_line;
mod thickness;

pub use declaration::*;
pub use formula::*;

/// All calculators, in the order of the work at the bench.
pub static ALL: &[&Calculator] = &[
    &solution::CALCULATOR,
    &dilution::CALCULATOR,
    &thickness::CALCULATOR,
    &dye_bath::CALCULATOR,
    &soaking_log::CALCULATOR,
    &absorbance::CALCULATOR,
    &calibration_line::CALCULATOR,
    &dye_uptake::CALCULATOR,
    &light_harvesting::CALCULATOR,
    &spacer_gap::CALCULATOR,
    &efficiency::CALCULATOR,
];

/// The worked cases of every calculator, in the order of [`ALL`]. They stand apart from the declarations so that the
/// page, which does not show them, is not made to carry them.
pub static CASES: &[&[Case]] = &[
    solution::CASES,
    dilution::CASES,
    thickness::CASES,
    dye_bath::CASES,
    soaking_log::CASES,
    absorbance::CASES,
    calibration_line::CASES,
    dye_uptake::CASES,
    light_harvesting::CASES,
    spacer_gap::CASES,
    efficiency::CASES,
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
