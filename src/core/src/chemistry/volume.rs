//! Volumes away from the calibration temperature of the ware.
//!
//! What ware of nominal volume V measures at a temperature t takes up V·[1 − (β − γ)(t − 20 °C)] at 20 °C, β of the
//! liquid and γ of the glass: the ware grows with t, the liquid shrinks back. Glasses: ISO 4787, from memory. Water:
//! 2.1e-4/K, QUAM A1.4 (read). Other liquids: slope of their density in [`super::substances`].

use super::substances;
use crate::scalar::Scalar;

/// Calibration temperature of volumetric ware, K (20 °C).
pub const CALIBRATION: f64 = 293.15;

/// Cubic expansion coefficient of a liquid at a temperature in kelvin, 1/K; empty for water.
#[must_use]
pub fn liquid_expansion(liquid: &str, kelvin: f64) -> Option<f64> {
    match liquid {
        "" | "water" => Some(2.1e-4),
        other => substances::substance(other)?.expansion_at(kelvin),
    }
}

/// Cubic expansion coefficient of a glass, 1/K; empty for borosilicate glass.
#[must_use]
pub fn glass_expansion(glass: &str) -> Option<f64> {
    match glass {
        "" | "borosilicate" => Some(9.9e-6),
        "soda-lime" => Some(27e-6),
        _ => None,
    }
}

/// The volume at 20 °C of what ware of this nominal volume measures at a temperature in kelvin.
#[must_use]
pub fn at_calibration<S: Scalar>(nominal: S, liquid: f64, glass: f64, kelvin: S) -> S {
    nominal * (-((kelvin - CALIBRATION) * (liquid - glass)) + 1.0)
}
