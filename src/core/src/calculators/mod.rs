//! The calculators: a declaration each, in one file each, and the list of all.

mod acidity;
mod cleaning_bath;
mod concentration;
mod declaration;
mod dilution;
mod dilution_series;
mod dye_bath;
mod efficiency;
mod formula;
mod hazards;
mod powder_acid;
mod solution;
mod spacer_gap;
mod stock;
mod thickness;
mod treatment_bath;

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
    &thickness::CALCULATOR,
    &dye_bath::CALCULATOR,
    &spacer_gap::CALCULATOR,
    &efficiency::CALCULATOR,
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
    thickness::CASES,
    dye_bath::CASES,
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
