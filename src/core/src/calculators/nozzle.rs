//! An ink at a nozzle: what the cards about jetting ask alike.

use super::{Field, quantity};
use crate::quantity::Kind;

pub(super) static DENSITY: Field = density();
pub(super) static TENSION: Field = tension();
pub(super) static NOZZLE: Field = quantity("nozzle", "Nozzle diameter", Kind::Length)
    .symbol("d")
    .units(&["um"])
    .positive();

pub(super) const fn density() -> Field {
    quantity("density", "Density of the ink", Kind::Density)
        .symbol("ρ")
        .units(&["g/mL", "g/cm3", "kg/m3"])
        .positive()
}

pub(super) const fn viscosity() -> Field {
    quantity("viscosity", "Viscosity", Kind::DynamicViscosity)
        .symbol("η")
        .units(&["mPa.s", "Pa.s"])
        .positive()
}

pub(super) const fn tension() -> Field {
    quantity("tension", "Surface tension", Kind::SurfaceTension)
        .symbol("γ")
        .help("At the temperature of the head.")
        .units(&["mN/m", "N/m"])
        .positive()
}
