//! Volumes away from the calibration temperature of the ware.

/// Calibration temperature of volumetric ware, K (20 °C).
pub const CALIBRATION: f64 = 293.15;

/// Cubic expansion coefficient of a liquid at a temperature in kelvin, 1/K; empty for water.
#[must_use]
pub fn liquid_expansion(liquid: &str, _kelvin: f64) -> Option<f64> {
    matches!(liquid, "" | "water").then_some(2.1e-4)
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
pub fn at_calibration(nominal: f64, liquid: f64, glass: f64, kelvin: f64) -> f64 {
    nominal * (1.0 - (liquid - glass) * (kelvin - CALIBRATION))
}
