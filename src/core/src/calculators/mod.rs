//! The calculators: a declaration each, in one file each, and the list of all.

mod declaration;
mod dilution;
mod dye_bath;
mod efficiency;
mod formula;
mod solution;
mod spacer_gap;
mod thickness;

pub use declaration::*;
pub use formula::*;

/// All calculators, in the order of the work at the bench.
pub static ALL: &[&Calculator] = &[
    &solution::CALCULATOR,
    &dilution::CALCULATOR,
    &thickness::CALCULATOR,
    &dye_bath::CALCULATOR,
    &spacer_gap::CALCULATOR,
    &efficiency::CALCULATOR,
];

/// The calculator with this identifier.
#[must_use]
pub fn find(id: &str) -> Option<&'static Calculator> {
    ALL.iter().copied().find(|calculator| calculator.id == id)
}
