//! What a quantity measures.
//!
//! Kinds are finer than dimensions: a mass fraction and a volume fraction are both plain numbers, and 5 % of one
//! must never be taken for 5 % of the other. Links and units are offered within a kind only.

use super::dimension::Dimension;
use super::units::{COHERENT, UNITS, Unit};

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Mass.
    Mass,
    /// Length.
    Length,
    /// Area; also the footprint of one molecule.
    Area,
    /// Volume.
    Volume,
    /// Amount of substance.
    Amount,
    /// Time.
    Time,
    /// Frequency.
    Frequency,
    /// Temperature, with its zero: 20 °C is 293.15 K.
    Temperature,
    /// Temperature difference: 20 °C more is 20 K more.
    TemperatureDifference,
    /// Relative change per kelvin, such as thermal expansion.
    PerKelvin,
    /// Pressure.
    Pressure,
    /// Energy.
    Energy,
    /// Power.
    Power,
    /// Amount of a substance per volume of mixture.
    AmountConcentration,
    /// Mass of a substance per volume of mixture; % (w/v) is a unit of it.
    MassConcentration,
    /// Amount of a substance per mass of solvent.
    Molality,
    /// Equilibrium constant of two dissolved species that join to one, as a ratio of amount concentrations.
    AssociationConstant,
    /// Mass of a substance per mass of mixture (w/w).
    MassFraction,
    /// Volume of a substance per volume of the parts (v/v).
    VolumeFraction,
    /// Amount of a substance per amount of mixture.
    AmountFraction,
    /// A plain number that is none of the fractions: efficiency, porosity, factor.
    Ratio,
    /// Molar mass.
    MolarMass,
    /// Mass of a material per its own volume.
    Density,
    /// Dynamic viscosity.
    DynamicViscosity,
    /// Surface tension.
    SurfaceTension,
    /// Velocity.
    Velocity,
    /// Diffusion coefficient.
    Diffusivity,
    /// Voltage.
    Voltage,
    /// Voltage change per time.
    SweepRate,
    /// Electric current.
    Current,
    /// Electric current per area.
    CurrentDensity,
    /// Radiant power per area.
    Irradiance,
    /// Electric power per area.
    PowerDensity,
    /// Irradiance per wavelength.
    SpectralIrradiance,
    /// Number of photons per area and time.
    PhotonFlux,
    /// Amount of substance per area, such as a dye loading.
    ArealAmount,
    /// Mass per area.
    ArealMass,
    /// Surface area per mass.
    SpecificSurface,
    /// Molar (decadic) absorption coefficient.
    MolarAbsorption,
    /// Decadic absorbance.
    Absorbance,
    /// Electric resistance.
    Resistance,
    /// Resistance times area, such as a cell's series resistance.
    AreaResistance,
    /// Resistance of a square of a thin layer.
    SheetResistance,
    /// Dots per length.
    PrintResolution,
    /// A number of things.
    Count,
    /// Plane angle, such as a contact angle.
    Angle,
    /// Number of things per area, such as molecules per nm².
    PerArea,
    /// Energy per mass.
    EnergyPerMass,
    /// Negative decimal logarithm of a hydrogen-ion activity or of an acid's constant.
    Ph,
    /// Slope of a calibration line: signal per amount concentration.
    SignalPerAmountConcentration,
    /// Slope of a calibration line: signal per mass concentration.
    SignalPerMassConcentration,
    /// Change of velocity across a flow, over the distance across it.
    ShearRate,
    /// Temperature coefficient of a voltage.
    VoltagePerKelvin,
    /// Temperature coefficient of a current.
    CurrentPerKelvin,
    /// Temperature coefficient of a resistance.
    ResistancePerKelvin,
}

impl Kind {
    /// Every kind, in the order of declaration.
    pub const ALL: &[Kind] = &[
        Kind::Mass,
        Kind::Length,
        Kind::Area,
        Kind::Volume,
        Kind::Amount,
        Kind::Time,
        Kind::Frequency,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::PerKelvin,
        Kind::Pressure,
        Kind::Energy,
        Kind::Power,
        Kind::AmountConcentration,
        Kind::MassConcentration,
        Kind::Molality,
        Kind::AssociationConstant,
        Kind::MassFraction,
        Kind::VolumeFraction,
        Kind::AmountFraction,
        Kind::Ratio,
        Kind::MolarMass,
        Kind::Density,
        Kind::DynamicViscosity,
        Kind::SurfaceTension,
        Kind::Velocity,
        Kind::Diffusivity,
        Kind::Voltage,
        Kind::SweepRate,
        Kind::Current,
        Kind::CurrentDensity,
        Kind::Irradiance,
        Kind::PowerDensity,
        Kind::SpectralIrradiance,
        Kind::PhotonFlux,
        Kind::ArealAmount,
        Kind::ArealMass,
        Kind::SpecificSurface,
        Kind::MolarAbsorption,
        Kind::Absorbance,
        Kind::Resistance,
        Kind::AreaResistance,
        Kind::SheetResistance,
        Kind::PrintResolution,
        Kind::Count,
        Kind::Angle,
        Kind::PerArea,
        Kind::EnergyPerMass,
        Kind::Ph,
        Kind::SignalPerAmountConcentration,
        Kind::SignalPerMassConcentration,
        Kind::ShearRate,
        Kind::VoltagePerKelvin,
        Kind::CurrentPerKelvin,
        Kind::ResistancePerKelvin,
    ];

    /// Identifier, name in running text, and exponents of length, mass, time, current, temperature, amount.
    #[rustfmt::skip] // a table reads as one
    const fn row(self) -> (&'static str, &'static str, [i8; 6]) {
        match self {
            Kind::Mass                  => ("mass", "mass", [0, 1, 0, 0, 0, 0]),
            Kind::Length                => ("length", "length", [1, 0, 0, 0, 0, 0]),
            Kind::Area                  => ("area", "area", [2, 0, 0, 0, 0, 0]),
            Kind::Volume                => ("volume", "volume", [3, 0, 0, 0, 0, 0]),
            Kind::Amount                => ("amount", "amount of substance", [0, 0, 0, 0, 0, 1]),
            Kind::Time                  => ("time", "time", [0, 0, 1, 0, 0, 0]),
            Kind::Frequency             => ("frequency", "frequency", [0, 0, -1, 0, 0, 0]),
            Kind::Temperature           => ("temperature", "temperature", [0, 0, 0, 0, 1, 0]),
            Kind::TemperatureDifference => ("temperature_difference", "temperature difference", [0, 0, 0, 0, 1, 0]),
            Kind::PerKelvin             => ("per_kelvin", "change per kelvin", [0, 0, 0, 0, -1, 0]),
            Kind::Pressure              => ("pressure", "pressure", [-1, 1, -2, 0, 0, 0]),
            Kind::Energy                => ("energy", "energy", [2, 1, -2, 0, 0, 0]),
            Kind::Power                 => ("power", "power", [2, 1, -3, 0, 0, 0]),
            Kind::AmountConcentration   => ("amount_concentration", "amount concentration", [-3, 0, 0, 0, 0, 1]),
            Kind::MassConcentration     => ("mass_concentration", "mass concentration", [-3, 1, 0, 0, 0, 0]),
            Kind::Molality              => ("molality", "molality", [0, -1, 0, 0, 0, 1]),
            Kind::AssociationConstant   => ("association_constant", "association constant", [3, 0, 0, 0, 0, -1]),
            Kind::MassFraction          => ("mass_fraction", "mass fraction", [0, 0, 0, 0, 0, 0]),
            Kind::VolumeFraction        => ("volume_fraction", "volume fraction", [0, 0, 0, 0, 0, 0]),
            Kind::AmountFraction        => ("amount_fraction", "amount fraction", [0, 0, 0, 0, 0, 0]),
            Kind::Ratio                 => ("ratio", "ratio", [0, 0, 0, 0, 0, 0]),
            Kind::MolarMass             => ("molar_mass", "molar mass", [0, 1, 0, 0, 0, -1]),
            Kind::Density               => ("density", "density", [-3, 1, 0, 0, 0, 0]),
            Kind::DynamicViscosity      => ("dynamic_viscosity", "dynamic viscosity", [-1, 1, -1, 0, 0, 0]),
            Kind::SurfaceTension        => ("surface_tension", "surface tension", [0, 1, -2, 0, 0, 0]),
            Kind::Velocity              => ("velocity", "velocity", [1, 0, -1, 0, 0, 0]),
            Kind::Diffusivity           => ("diffusivity", "diffusivity", [2, 0, -1, 0, 0, 0]),
            Kind::Voltage               => ("voltage", "voltage", [2, 1, -3, -1, 0, 0]),
            Kind::SweepRate             => ("sweep_rate", "sweep rate", [2, 1, -4, -1, 0, 0]),
            Kind::Current               => ("current", "electric current", [0, 0, 0, 1, 0, 0]),
            Kind::CurrentDensity        => ("current_density", "current density", [-2, 0, 0, 1, 0, 0]),
            Kind::Irradiance            => ("irradiance", "irradiance", [0, 1, -3, 0, 0, 0]),
            Kind::PowerDensity          => ("power_density", "power density", [0, 1, -3, 0, 0, 0]),
            Kind::SpectralIrradiance    => ("spectral_irradiance", "spectral irradiance", [-1, 1, -3, 0, 0, 0]),
            Kind::PhotonFlux            => ("photon_flux", "photon flux", [-2, 0, -1, 0, 0, 0]),
            Kind::ArealAmount           => ("areal_amount", "areal amount", [-2, 0, 0, 0, 0, 1]),
            Kind::ArealMass             => ("areal_mass", "areal mass", [-2, 1, 0, 0, 0, 0]),
            Kind::SpecificSurface       => ("specific_surface", "specific surface area", [2, -1, 0, 0, 0, 0]),
            Kind::MolarAbsorption       => ("molar_absorption", "molar absorption coefficient", [2, 0, 0, 0, 0, -1]),
            Kind::Absorbance            => ("absorbance", "absorbance", [0, 0, 0, 0, 0, 0]),
            Kind::Resistance            => ("resistance", "resistance", [2, 1, -3, -2, 0, 0]),
            Kind::AreaResistance        => ("area_resistance", "area resistance", [4, 1, -3, -2, 0, 0]),
            Kind::SheetResistance       => ("sheet_resistance", "sheet resistance", [2, 1, -3, -2, 0, 0]),
            Kind::PrintResolution       => ("print_resolution", "print resolution", [-1, 0, 0, 0, 0, 0]),
            Kind::Count                 => ("count", "count", [0, 0, 0, 0, 0, 0]),
            Kind::Angle                 => ("angle", "angle", [0, 0, 0, 0, 0, 0]),
            Kind::PerArea               => ("per_area", "number per area", [-2, 0, 0, 0, 0, 0]),
            Kind::EnergyPerMass         => ("energy_per_mass", "energy per mass", [2, 0, -2, 0, 0, 0]),
            Kind::Ph                    => ("ph", "pH or pK", [0, 0, 0, 0, 0, 0]),
            Kind::SignalPerAmountConcentration => ("signal_per_amount_concentration", "signal per amount concentration", [3, 0, 0, 0, 0, -1]),
            Kind::SignalPerMassConcentration => ("signal_per_mass_concentration", "signal per mass concentration", [3, -1, 0, 0, 0, 0]),
            Kind::ShearRate             => ("shear_rate", "shear rate", [0, 0, -1, 0, 0, 0]),
            Kind::VoltagePerKelvin      => ("voltage_per_kelvin", "voltage per kelvin", [2, 1, -3, -1, -1, 0]),
            Kind::CurrentPerKelvin      => ("current_per_kelvin", "current per kelvin", [0, 0, 0, 1, -1, 0]),
            Kind::ResistancePerKelvin   => ("resistance_per_kelvin", "resistance per kelvin", [2, 1, -3, -2, -1, 0]),
        }
    }

    /// Identifier in snake case, stable across versions.
    #[must_use]
    pub const fn id(self) -> &'static str {
        self.row().0
    }

    /// Name in running text: "amount concentration".
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.row().1
    }

    /// The dimension in SI base quantities.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        let [length, mass, time, current, temperature, amount] = self.row().2;
        Dimension::new(length, mass, time, current, temperature, amount)
    }

    /// What a number of this kind cannot be below or above, in SI: a fraction lies between 0 and 1, an amount of
    /// something is not negative.
    #[must_use]
    pub const fn bounds(self) -> (f64, f64) {
        match self {
            Kind::MassFraction | Kind::VolumeFraction | Kind::AmountFraction => (0.0, 1.0),
            Kind::TemperatureDifference
            | Kind::PerKelvin
            | Kind::Ratio
            | Kind::Pressure
            | Kind::Velocity
            | Kind::Voltage
            | Kind::SweepRate
            | Kind::Current
            | Kind::CurrentDensity
            | Kind::PowerDensity
            | Kind::Absorbance
            | Kind::Ph
            | Kind::Angle
            | Kind::SignalPerAmountConcentration
            | Kind::SignalPerMassConcentration
            | Kind::VoltagePerKelvin
            | Kind::CurrentPerKelvin
            | Kind::ResistancePerKelvin => (f64::NEG_INFINITY, f64::INFINITY),
            _ => (0.0, f64::INFINITY),
        }
    }

    /// The units of this kind, in the order they are offered.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |unit| unit.kind == self)
    }

    /// The coherent SI unit: factor one, no offset. Values inside are in it.
    #[must_use]
    pub fn coherent(self) -> &'static Unit {
        COHERENT[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn all_lists_every_kind_in_order() {
        for (position, kind) in Kind::ALL.iter().enumerate() {
            assert_eq!(*kind as usize, position, "{kind:?}");
        }
        // The last variant of the enum; a kind added after it fails here until ALL has it.
        assert_eq!(Kind::ResistancePerKelvin as usize + 1, Kind::ALL.len());
    }

    #[test]
    fn identifiers_and_names_are_unique() {
        let ids: HashSet<_> = Kind::ALL.iter().map(|kind| kind.id()).collect();
        let names: HashSet<_> = Kind::ALL.iter().map(|kind| kind.name()).collect();
        assert_eq!(ids.len(), Kind::ALL.len());
        assert_eq!(names.len(), Kind::ALL.len());
    }
}
