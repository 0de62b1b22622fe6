//! The buoyancy of air in weighing.
//!
//! m/m_read = (1 − ρ_a/ρ_ref)/(1 − ρ_a/ρ): conventional mass relation of OIML D 28 (from memory).

use crate::scalar::Scalar;

/// Density of air by convention, kg/m³ (OIML D 28, from memory).
pub const CONVENTIONAL_AIR: f64 = 1.2;
/// Density of the weights that balances are adjusted with, by convention, kg/m³ (OIML D 28, from memory).
pub const REFERENCE_WEIGHTS: f64 = 8000.0;

/// Mass over balance reading for a sample of density `sample` in air of density `air`, both in kg/m³.
#[must_use]
pub fn factor<S: Scalar>(sample: S, air: S) -> S {
    (-air / REFERENCE_WEIGHTS + 1.0) / (-air / sample + 1.0)
}

/// Density of air, kg/m³, from temperature in kelvin, pressure in pascals and relative humidity as a fraction:
/// (0.34844·p − h·(0.00252·t − 0.020582))/(t + 273.15) with p in hPa, h in % and t in °C (ISO 8655-6, from memory).
#[must_use]
pub fn air_density<S: Scalar>(kelvin: S, pressure: S, humidity: S) -> S {
    let celsius = kelvin - 273.15;
    let vapour = humidity * 100.0 * (celsius * 0.002_52 - 0.020_582);
    (pressure / 100.0 * 0.348_44 - vapour) / kelvin
}

/// Volume of water over the balance reading, m³/kg (its thousandfold is Z in µL/mg of ISO 8655-6).
#[must_use]
pub fn water_volume_per_reading<S: Scalar>(kelvin: S, air: S) -> S {
    let water = super::substances::water_density(kelvin);
    factor(water, air) / water
}
