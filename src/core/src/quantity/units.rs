//! The table of units, and the look-up of a unit in typed text.
//!
//! Codes are those of the Unified Code for Units of Measure, version 2.2, case sensitive; symbols follow the SI
//! Brochure (9th edition). Factors are exact by definition: SI prefixes; 1 in = 25.4 mm; 1 min, 1 h, 1 d;
//! 1 atm = 101 325 Pa; 1 lbf = 4.448 221 615 260 5 N; 1 eV from the exact elementary charge (SI, 2019).

use super::decimal::superscript_digit;
use super::kind::Kind::{self, *};
use super::print::brief_text;

/// The size of a unit in the coherent SI unit, as `times / over`.
///
/// Two whole numbers instead of one rounded quotient: 1e-6 is not a binary fraction but 1e6 is exact, so `2 / 1e6`
/// is the double nearest to 2e-6, while `2 * 1e-6` may be one off in the last place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// Multiplier.
    pub times: f64,
    /// Divisor.
    pub over: f64,
}

/// A unit of one kind of quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// UCUM code, case sensitive; unique within a kind. Files hold this.
    pub code: &'static str,
    /// Printed symbol. Of the unit one it is "1", which [`Unit::after_number`] leaves out.
    pub symbol: &'static str,
    /// What it measures.
    pub kind: Kind,
    /// Its size in the coherent SI unit.
    pub factor: Factor,
    /// Its zero in the coherent SI unit: 273.15 for the degree Celsius, otherwise 0.
    pub offset: f64,
    /// Other ways people write it. Micro signs, superscripts and raised dots need none: see [`unit`].
    pub aliases: &'static [&'static str],
}

impl Unit {
    /// The value in the coherent SI unit of a value in this unit.
    #[must_use]
    pub fn to_si(&self, value: f64) -> f64 {
        self.difference_to_si(value) + self.offset
    }

    /// The value in this unit of a value in the coherent SI unit.
    #[must_use]
    pub fn from_si(&self, si: f64) -> f64 {
        self.difference_from_si(si - self.offset)
    }

    /// As [`Unit::to_si`] for a difference or an uncertainty, which has no zero to shift.
    #[must_use]
    pub fn difference_to_si(&self, difference: f64) -> f64 {
        difference * self.factor.times / self.factor.over
    }

    /// As [`Unit::from_si`] for a difference or an uncertainty, which has no zero to shift.
    #[must_use]
    pub fn difference_from_si(&self, si: f64) -> f64 {
        si * self.factor.over / self.factor.times
    }

    /// What follows a number: a narrow no-break space and the symbol; no space before °; nothing for the unit one.
    #[must_use]
    pub fn after_number(&self) -> String {
        match self.symbol {
            "1" => String::new(),
            "°" => "°".to_owned(),
            symbol => format!("\u{202F}{symbol}"),
        }
    }

    /// A coherent SI value in this unit, to at most so many significant digits, with the unit: for sentences.
    #[must_use]
    pub fn say(&self, si: f64, significant: u8) -> String {
        brief_text(self.from_si(si), significant) + &self.after_number()
    }

    /// Whether it is a percentage, with which "± 1 %" can mean two things.
    #[must_use]
    pub fn is_percent(&self) -> bool {
        self.symbol.starts_with('%')
    }

    const fn is_coherent(&self) -> bool {
        self.factor.times == 1.0 && self.factor.over == 1.0 && self.offset == 0.0
    }

    fn is_written(&self, folded: &str) -> bool {
        fold(self.code) == folded
            || fold(self.symbol) == folded
            || self.aliases.iter().any(|alias| fold(alias) == folded)
    }
}

/// Finds a unit of a kind by UCUM code, symbol or alias.
///
/// Micro and ohm signs, superscripts, raised dots and spaces may be written in any of their usual ways. Capitals
/// matter: mM is not mm.
#[must_use]
pub fn unit(kind: Kind, text: &str) -> Option<&'static Unit> {
    // Most look-ups are by code or symbol: no need to fold for those.
    let exact = kind
        .units()
        .find(|unit| unit.code == text || unit.symbol == text);
    exact.or_else(|| {
        let folded = fold(text);
        kind.units().find(|unit| unit.is_written(&folded))
    })
}

/// The kinds that know a unit of this name, in the order of [`Kind::ALL`].
pub(super) fn kinds_with(text: &str) -> Vec<Kind> {
    let folded = fold(text);
    let knows = |kind: &Kind| kind.units().any(|unit| unit.is_written(&folded));
    Kind::ALL.iter().copied().filter(knows).collect()
}

/// One spelling for the characters that the same unit is commonly written with.
fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    let mut gap = false;
    for character in text.trim().chars() {
        if character.is_whitespace() {
            gap = true;
            continue;
        }
        // A space between two symbols multiplies ("V s"); beside a sign it means nothing ("% (w/v)").
        if gap && character.is_alphanumeric() && folded.ends_with(char::is_alphanumeric) {
            folded.push('.');
        }
        gap = false;
        match character {
            'µ' | 'μ' => folded.push('u'),
            'Ω' | '\u{2126}' => folded.push_str("Ohm"),
            'Å' | '\u{212B}' => folded.push_str("Ao"),
            '·' | '⋅' | '∙' | '×' | '*' => folded.push('.'),
            '−' | '⁻' | '–' => folded.push('-'),
            '℃' => folded.push_str("°C"),
            '^' => {}
            other => folded.push(superscript_digit(other).unwrap_or(other)),
        }
    }
    folded
}

const fn row(
    kind: Kind,
    code: &'static str,
    symbol: &'static str,
    times: f64,
    over: f64,
    aliases: &'static [&'static str],
) -> Unit {
    let factor = Factor { times, over };
    Unit {
        code,
        symbol,
        kind,
        factor,
        offset: 0.0,
        aliases,
    }
}

const DEGREE_CELSIUS: Unit = Unit {
    offset: 273.15,
    ..row(Temperature, "Cel", "°C", 1.0, 1.0, &["C", "degC", "deg C"])
};

/// Every unit: kind, UCUM code, symbol, factor as multiplier and divisor, aliases. Units of a kind stand together,
/// in the order they are offered.
#[rustfmt::skip] // a table reads as one
pub static UNITS: &[Unit] = &[
    row(Mass, "kg", "kg", 1.0, 1.0, &[]),
    row(Mass, "g", "g", 1.0, 1e3, &[]),
    row(Mass, "mg", "mg", 1.0, 1e6, &[]),
    row(Mass, "ug", "µg", 1.0, 1e9, &["mcg"]),
    row(Mass, "ng", "ng", 1.0, 1e12, &[]),

    row(Length, "m", "m", 1.0, 1.0, &[]),
    row(Length, "cm", "cm", 1.0, 1e2, &[]),
    row(Length, "mm", "mm", 1.0, 1e3, &[]),
    row(Length, "um", "µm", 1.0, 1e6, &["micron"]),
    row(Length, "nm", "nm", 1.0, 1e9, &[]),
    row(Length, "Ao", "Å", 1.0, 1e10, &[]),
    row(Length, "[in_i]", "in", 254.0, 1e4, &["inch"]),
    row(Length, "[mil_i]", "mil", 254.0, 1e7, &["thou"]),

    row(Area, "m2", "m²", 1.0, 1.0, &[]),
    row(Area, "cm2", "cm²", 1.0, 1e4, &[]),
    row(Area, "mm2", "mm²", 1.0, 1e6, &[]),
    row(Area, "um2", "µm²", 1.0, 1e12, &[]),
    row(Area, "nm2", "nm²", 1.0, 1e18, &[]),
    row(Area, "Ao2", "Å²", 1.0, 1e20, &[]),

    row(Volume, "m3", "m³", 1.0, 1.0, &[]),
    row(Volume, "L", "L", 1.0, 1e3, &["l", "litre", "liter"]),
    row(Volume, "mL", "mL", 1.0, 1e6, &["ml"]),
    row(Volume, "uL", "µL", 1.0, 1e9, &["ul"]),
    row(Volume, "nL", "nL", 1.0, 1e12, &["nl"]),
    row(Volume, "pL", "pL", 1.0, 1e15, &["pl"]),
    row(Volume, "fL", "fL", 1.0, 1e18, &["fl"]),
    row(Volume, "dm3", "dm³", 1.0, 1e3, &[]),
    row(Volume, "cm3", "cm³", 1.0, 1e6, &["cc", "ccm"]),
    row(Volume, "mm3", "mm³", 1.0, 1e9, &[]),
    row(Volume, "um3", "µm³", 1.0, 1e18, &[]),
    row(Volume, "nm3", "nm³", 1.0, 1e27, &[]),

    row(Amount, "mol", "mol", 1.0, 1.0, &[]),
    row(Amount, "mmol", "mmol", 1.0, 1e3, &[]),
    row(Amount, "umol", "µmol", 1.0, 1e6, &[]),
    row(Amount, "nmol", "nmol", 1.0, 1e9, &[]),
    row(Amount, "pmol", "pmol", 1.0, 1e12, &[]),

    row(Time, "s", "s", 1.0, 1.0, &["sec"]),
    row(Time, "ms", "ms", 1.0, 1e3, &[]),
    row(Time, "us", "µs", 1.0, 1e6, &[]),
    row(Time, "ns", "ns", 1.0, 1e9, &[]),
    row(Time, "min", "min", 60.0, 1.0, &[]),
    row(Time, "h", "h", 3600.0, 1.0, &["hr"]),
    row(Time, "d", "d", 86400.0, 1.0, &["day", "days"]),
    row(Time, "wk", "wk", 604800.0, 1.0, &["week", "weeks"]),

    row(Frequency, "Hz", "Hz", 1.0, 1.0, &["1/s", "s-1"]),
    row(Frequency, "mHz", "mHz", 1.0, 1e3, &[]),
    row(Frequency, "kHz", "kHz", 1e3, 1.0, &[]),
    row(Frequency, "MHz", "MHz", 1e6, 1.0, &[]),
    row(Frequency, "min-1", "min⁻¹", 1.0, 60.0, &["1/min", "/min", "rpm"]),

    row(Temperature, "K", "K", 1.0, 1.0, &[]),
    DEGREE_CELSIUS,

    // A difference of one degree Celsius is one kelvin.
    row(TemperatureDifference, "K", "K", 1.0, 1.0, &["°C", "C", "degC", "Cel"]),
    row(TemperatureDifference, "mK", "mK", 1.0, 1e3, &[]),

    row(PerKelvin, "K-1", "K⁻¹", 1.0, 1.0, &["1/K", "/K", "1/°C", "/°C"]),
    row(PerKelvin, "%/K", "%/K", 1.0, 1e2, &["%/°C"]),
    row(PerKelvin, "um/(m.K)", "µm/(m·K)", 1.0, 1e6, &["ppm/K", "ppm/°C", "10^-6/K", "10*-6/K", "1e-6/K"]),

    row(Pressure, "Pa", "Pa", 1.0, 1.0, &["N/m2"]),
    row(Pressure, "hPa", "hPa", 1e2, 1.0, &[]),
    row(Pressure, "kPa", "kPa", 1e3, 1.0, &[]),
    row(Pressure, "MPa", "MPa", 1e6, 1.0, &["N/mm2"]),
    row(Pressure, "mbar", "mbar", 1e2, 1.0, &[]),
    row(Pressure, "bar", "bar", 1e5, 1.0, &[]),
    row(Pressure, "atm", "atm", 101_325.0, 1.0, &[]),
    row(Pressure, "[psi]", "psi", 4.448_221_615_260_5, 0.000_645_16, &[]),

    row(Energy, "J", "J", 1.0, 1.0, &["W.s"]),
    row(Energy, "uJ", "µJ", 1.0, 1e6, &[]),
    row(Energy, "mJ", "mJ", 1.0, 1e3, &[]),
    row(Energy, "kJ", "kJ", 1e3, 1.0, &[]),
    row(Energy, "MJ", "MJ", 1e6, 1.0, &[]),
    row(Energy, "W.h", "W·h", 3600.0, 1.0, &["Wh"]),
    row(Energy, "kW.h", "kW·h", 3.6e6, 1.0, &["kWh"]),
    row(Energy, "eV", "eV", 1.602_176_634e-19, 1.0, &[]),

    row(Power, "W", "W", 1.0, 1.0, &["J/s"]),
    row(Power, "uW", "µW", 1.0, 1e6, &[]),
    row(Power, "mW", "mW", 1.0, 1e3, &[]),
    row(Power, "kW", "kW", 1e3, 1.0, &[]),

    row(AmountConcentration, "mol/m3", "mol/m³", 1.0, 1.0, &["mol m-3"]),
    row(AmountConcentration, "mol/L", "mol/L", 1e3, 1.0, &["M", "mol/l", "mol L-1", "mol/dm3"]),
    row(AmountConcentration, "mmol/L", "mmol/L", 1.0, 1.0, &["mM", "mmol/l", "mmol L-1"]),
    row(AmountConcentration, "umol/L", "µmol/L", 1.0, 1e3, &["uM", "umol/l", "umol L-1"]),
    row(AmountConcentration, "nmol/L", "nmol/L", 1.0, 1e6, &["nM", "nmol/l", "nmol L-1"]),

    row(MassConcentration, "kg/m3", "kg/m³", 1.0, 1.0, &["kg m-3"]),
    row(MassConcentration, "g/L", "g/L", 1.0, 1.0, &["g/l", "g L-1"]),
    row(MassConcentration, "mg/L", "mg/L", 1.0, 1e3, &["mg/l", "mg L-1"]),
    row(MassConcentration, "ug/L", "µg/L", 1.0, 1e6, &["ug/l"]),
    row(MassConcentration, "g/mL", "g/mL", 1e3, 1.0, &["g/ml", "g/cm3"]),
    row(MassConcentration, "mg/mL", "mg/mL", 1.0, 1.0, &["mg/ml", "mg/cm3"]),
    row(MassConcentration, "ug/mL", "µg/mL", 1.0, 1e3, &["ug/ml"]),
    row(MassConcentration, "g/dL", "% (w/v)", 10.0, 1.0, &["% w/v", "g/dl", "g/100 mL", "g/100 ml"]),

    row(Molality, "mol/kg", "mol/kg", 1.0, 1.0, &["mol kg-1"]),
    row(Molality, "mmol/kg", "mmol/kg", 1.0, 1e3, &[]),
    row(Molality, "umol/kg", "µmol/kg", 1.0, 1e6, &[]),
    row(Molality, "mmol/g", "mmol/g", 1.0, 1.0, &[]),
    row(Molality, "umol/g", "µmol/g", 1.0, 1e3, &[]),

    row(AssociationConstant, "m3/mol", "m³/mol", 1.0, 1.0, &["m3 mol-1"]),
    row(AssociationConstant, "L/mol", "L/mol", 1.0, 1e3, &["M-1", "1/M", "l/mol", "L mol-1", "dm3/mol"]),
    row(AssociationConstant, "L/mmol", "L/mmol", 1.0, 1.0, &["mM-1", "1/mM", "l/mmol", "L mmol-1"]),

    row(MassFraction, "1", "1", 1.0, 1.0, &["g/g", "kg/kg"]),
    row(MassFraction, "%", "%", 1.0, 1e2, &["% (w/w)", "% w/w", "wt%", "% wt", "w%"]),
    row(MassFraction, "g/kg", "g/kg", 1.0, 1e3, &[]),
    row(MassFraction, "mg/g", "mg/g", 1.0, 1e3, &[]),
    row(MassFraction, "mg/kg", "mg/kg", 1.0, 1e6, &["ppm", "ug/g"]),
    row(MassFraction, "ug/kg", "µg/kg", 1.0, 1e9, &["ppb"]),

    row(VolumeFraction, "1", "1", 1.0, 1.0, &["L/L", "mL/mL", "m3/m3"]),
    row(VolumeFraction, "%", "%", 1.0, 1e2, &["% (v/v)", "% v/v", "vol%", "% vol"]),
    row(VolumeFraction, "mL/L", "mL/L", 1.0, 1e3, &["ml/l"]),
    row(VolumeFraction, "uL/mL", "µL/mL", 1.0, 1e3, &["ul/ml"]),
    row(VolumeFraction, "uL/L", "µL/L", 1.0, 1e6, &["ul/l", "ppm"]),

    row(AmountFraction, "1", "1", 1.0, 1.0, &["mol/mol"]),
    row(AmountFraction, "%", "%", 1.0, 1e2, &["mol%", "% mol", "at%"]),
    row(AmountFraction, "mmol/mol", "mmol/mol", 1.0, 1e3, &[]),
    row(AmountFraction, "umol/mol", "µmol/mol", 1.0, 1e6, &["ppm"]),

    row(Ratio, "1", "1", 1.0, 1.0, &[]),
    row(Ratio, "%", "%", 1.0, 1e2, &["percent"]),

    row(MolarMass, "kg/mol", "kg/mol", 1.0, 1.0, &["kg mol-1"]),
    row(MolarMass, "g/mol", "g/mol", 1.0, 1e3, &["g mol-1", "mg/mmol", "kg/kmol", "Da"]),

    row(Density, "kg/m3", "kg/m³", 1.0, 1.0, &["kg m-3"]),
    row(Density, "g/cm3", "g/cm³", 1e3, 1.0, &["g cm-3", "g/cc"]),
    row(Density, "g/mL", "g/mL", 1e3, 1.0, &["g/ml"]),
    row(Density, "kg/L", "kg/L", 1e3, 1.0, &["kg/l", "kg/dm3"]),
    row(Density, "g/L", "g/L", 1.0, 1.0, &["g/l"]),

    row(DynamicViscosity, "Pa.s", "Pa·s", 1.0, 1.0, &["Pas"]),
    row(DynamicViscosity, "mPa.s", "mPa·s", 1.0, 1e3, &["mPas"]),
    row(DynamicViscosity, "uPa.s", "µPa·s", 1.0, 1e6, &["uPas"]),
    row(DynamicViscosity, "cP", "cP", 1.0, 1e3, &["cps"]),

    row(SurfaceTension, "N/m", "N/m", 1.0, 1.0, &["N m-1", "J/m2"]),
    row(SurfaceTension, "mN/m", "mN/m", 1.0, 1e3, &["mN m-1", "mJ/m2"]),
    row(SurfaceTension, "dyn/cm", "dyn/cm", 1.0, 1e3, &["dyne/cm"]),

    row(Velocity, "m/s", "m/s", 1.0, 1.0, &["m s-1"]),
    row(Velocity, "cm/s", "cm/s", 1.0, 1e2, &["cm s-1"]),
    row(Velocity, "mm/s", "mm/s", 1.0, 1e3, &["mm s-1"]),
    row(Velocity, "um/s", "µm/s", 1.0, 1e6, &["um s-1"]),
    row(Velocity, "m/min", "m/min", 1.0, 60.0, &[]),
    row(Velocity, "mm/min", "mm/min", 1.0, 6e4, &[]),

    row(Diffusivity, "m2/s", "m²/s", 1.0, 1.0, &["m2 s-1"]),
    row(Diffusivity, "cm2/s", "cm²/s", 1.0, 1e4, &["cm2 s-1"]),
    row(Diffusivity, "mm2/s", "mm²/s", 1.0, 1e6, &["mm2 s-1"]),
    row(Diffusivity, "um2/s", "µm²/s", 1.0, 1e12, &["um2 s-1"]),

    row(Voltage, "V", "V", 1.0, 1.0, &[]),
    row(Voltage, "mV", "mV", 1.0, 1e3, &[]),
    row(Voltage, "uV", "µV", 1.0, 1e6, &[]),
    row(Voltage, "kV", "kV", 1e3, 1.0, &[]),

    row(SweepRate, "V/s", "V/s", 1.0, 1.0, &["V s-1"]),
    row(SweepRate, "mV/s", "mV/s", 1.0, 1e3, &["mV s-1"]),
    row(SweepRate, "mV/min", "mV/min", 1.0, 6e4, &[]),

    row(Current, "A", "A", 1.0, 1.0, &[]),
    row(Current, "mA", "mA", 1.0, 1e3, &[]),
    row(Current, "uA", "µA", 1.0, 1e6, &[]),
    row(Current, "nA", "nA", 1.0, 1e9, &[]),
    row(Current, "pA", "pA", 1.0, 1e12, &[]),

    row(CurrentDensity, "A/m2", "A/m²", 1.0, 1.0, &["A m-2"]),
    row(CurrentDensity, "A/cm2", "A/cm²", 1e4, 1.0, &["A cm-2"]),
    row(CurrentDensity, "mA/cm2", "mA/cm²", 10.0, 1.0, &["mA cm-2"]),
    row(CurrentDensity, "uA/cm2", "µA/cm²", 1.0, 1e2, &["uA cm-2"]),
    row(CurrentDensity, "nA/cm2", "nA/cm²", 1.0, 1e5, &["nA cm-2"]),

    row(Irradiance, "W/m2", "W/m²", 1.0, 1.0, &["W m-2"]),
    row(Irradiance, "kW/m2", "kW/m²", 1e3, 1.0, &["kW m-2"]),
    row(Irradiance, "W/cm2", "W/cm²", 1e4, 1.0, &["W cm-2"]),
    row(Irradiance, "mW/cm2", "mW/cm²", 10.0, 1.0, &["mW cm-2"]),
    row(Irradiance, "uW/cm2", "µW/cm²", 1.0, 1e2, &["uW cm-2"]),

    row(PowerDensity, "W/m2", "W/m²", 1.0, 1.0, &["W m-2"]),
    row(PowerDensity, "mW/cm2", "mW/cm²", 10.0, 1.0, &["mW cm-2"]),
    row(PowerDensity, "uW/cm2", "µW/cm²", 1.0, 1e2, &["uW cm-2"]),

    row(SpectralIrradiance, "W/m3", "W/m³", 1.0, 1.0, &["W m-3"]),
    row(SpectralIrradiance, "W/(m2.nm)", "W/(m²·nm)", 1e9, 1.0, &["W/m2/nm", "W m-2 nm-1"]),
    row(SpectralIrradiance, "mW/(m2.nm)", "mW/(m²·nm)", 1e6, 1.0, &["mW/m2/nm", "mW m-2 nm-1"]),
    row(SpectralIrradiance, "uW/(cm2.nm)", "µW/(cm²·nm)", 1e7, 1.0, &["uW/cm2/nm", "uW cm-2 nm-1"]),
    row(SpectralIrradiance, "W/(m2.um)", "W/(m²·µm)", 1e6, 1.0, &["W/m2/um", "W m-2 um-1"]),

    row(PhotonFlux, "m-2.s-1", "m⁻²·s⁻¹", 1.0, 1.0, &["1/(m2 s)", "1/m2/s"]),
    row(PhotonFlux, "cm-2.s-1", "cm⁻²·s⁻¹", 1e4, 1.0, &["1/(cm2 s)", "1/cm2/s"]),

    row(ArealAmount, "mol/m2", "mol/m²", 1.0, 1.0, &["mol m-2"]),
    row(ArealAmount, "umol/m2", "µmol/m²", 1.0, 1e6, &["umol m-2"]),
    row(ArealAmount, "mol/cm2", "mol/cm²", 1e4, 1.0, &["mol cm-2"]),
    row(ArealAmount, "umol/cm2", "µmol/cm²", 1.0, 1e2, &["umol cm-2"]),
    row(ArealAmount, "nmol/cm2", "nmol/cm²", 1.0, 1e5, &["nmol cm-2"]),

    row(ArealMass, "kg/m2", "kg/m²", 1.0, 1.0, &["kg m-2"]),
    row(ArealMass, "g/m2", "g/m²", 1.0, 1e3, &["g m-2", "gsm"]),
    row(ArealMass, "mg/m2", "mg/m²", 1.0, 1e6, &["mg m-2"]),
    row(ArealMass, "mg/cm2", "mg/cm²", 1.0, 1e2, &["mg cm-2"]),
    row(ArealMass, "ug/cm2", "µg/cm²", 1.0, 1e5, &["ug cm-2"]),

    row(SpecificSurface, "m2/kg", "m²/kg", 1.0, 1.0, &["m2 kg-1"]),
    row(SpecificSurface, "m2/g", "m²/g", 1e3, 1.0, &["m2 g-1"]),
    row(SpecificSurface, "cm2/g", "cm²/g", 1.0, 10.0, &["cm2 g-1"]),

    row(MolarAbsorption, "m2/mol", "m²/mol", 1.0, 1.0, &["m2 mol-1"]),
    row(MolarAbsorption, "L/(mol.cm)", "L/(mol·cm)", 1.0, 10.0, &["l/(mol.cm)", "L mol-1 cm-1", "M-1 cm-1", "1/(M.cm)"]),
    row(MolarAbsorption, "L/(mmol.cm)", "L/(mmol·cm)", 100.0, 1.0, &["l/(mmol.cm)", "L mmol-1 cm-1", "mM-1 cm-1"]),
    row(MolarAbsorption, "cm2/mol", "cm²/mol", 1.0, 1e4, &["cm2 mol-1"]),

    row(Absorbance, "1", "1", 1.0, 1.0, &["AU"]),

    row(Resistance, "Ohm", "Ω", 1.0, 1.0, &["ohm"]),
    row(Resistance, "mOhm", "mΩ", 1.0, 1e3, &["mohm"]),
    row(Resistance, "kOhm", "kΩ", 1e3, 1.0, &["kohm"]),
    row(Resistance, "MOhm", "MΩ", 1e6, 1.0, &["Mohm"]),

    row(AreaResistance, "Ohm.m2", "Ω·m²", 1.0, 1.0, &["ohm m2"]),
    row(AreaResistance, "Ohm.cm2", "Ω·cm²", 1.0, 1e4, &["ohm cm2"]),

    row(SheetResistance, "Ohm", "Ω", 1.0, 1.0, &["ohm", "Ω/□", "Ω/sq", "ohm/sq"]),
    row(SheetResistance, "kOhm", "kΩ", 1e3, 1.0, &["kohm", "kΩ/□", "kΩ/sq", "kohm/sq"]),
    row(SheetResistance, "MOhm", "MΩ", 1e6, 1.0, &["Mohm", "MΩ/□", "MΩ/sq", "Mohm/sq"]),

    row(PrintResolution, "m-1", "m⁻¹", 1.0, 1.0, &["1/m", "/m"]),
    row(PrintResolution, "/[in_i]", "dpi", 1e4, 254.0, &["DPI", "1/in", "1/inch"]),
    row(PrintResolution, "cm-1", "cm⁻¹", 1e2, 1.0, &["1/cm", "/cm", "dpcm"]),
    row(PrintResolution, "mm-1", "mm⁻¹", 1e3, 1.0, &["1/mm", "/mm"]),

    row(Count, "1", "1", 1.0, 1.0, &["pcs"]),

    row(Angle, "rad", "rad", 1.0, 1.0, &[]),
    row(Angle, "mrad", "mrad", 1.0, 1e3, &[]),
    row(Angle, "deg", "°", core::f64::consts::PI, 180.0, &["degree", "degrees"]),

    row(PerArea, "m-2", "m⁻²", 1.0, 1.0, &["1/m2", "/m2"]),
    row(PerArea, "cm-2", "cm⁻²", 1e4, 1.0, &["1/cm2", "/cm2"]),
    row(PerArea, "um-2", "µm⁻²", 1e12, 1.0, &["1/um2", "/um2"]),
    row(PerArea, "nm-2", "nm⁻²", 1e18, 1.0, &["1/nm2", "/nm2"]),

    row(EnergyPerMass, "J/kg", "J/kg", 1.0, 1.0, &["J kg-1"]),
    row(EnergyPerMass, "kJ/kg", "kJ/kg", 1e3, 1.0, &["kJ kg-1"]),
    row(EnergyPerMass, "J/g", "J/g", 1e3, 1.0, &["J g-1"]),
    row(EnergyPerMass, "kJ/g", "kJ/g", 1e6, 1.0, &["kJ g-1"]),

    row(Ph, "1", "1", 1.0, 1.0, &[]),
    row(SignalPerAmountConcentration, "m3/mol", "m³/mol", 1.0, 1.0, &["m3 mol-1"]),
    row(SignalPerAmountConcentration, "L/mol", "L/mol", 1.0, 1e3, &["l/mol", "L mol-1"]),
    row(SignalPerAmountConcentration, "L/mmol", "L/mmol", 1.0, 1.0, &["l/mmol", "L mmol-1"]),
    row(SignalPerAmountConcentration, "L/umol", "L/µmol", 1e3, 1.0, &["l/umol", "L umol-1"]),

    row(SignalPerMassConcentration, "m3/kg", "m³/kg", 1.0, 1.0, &["m3 kg-1"]),
    row(SignalPerMassConcentration, "L/g", "L/g", 1.0, 1.0, &["l/g", "L g-1"]),
    row(SignalPerMassConcentration, "L/mg", "L/mg", 1e3, 1.0, &["l/mg", "L mg-1", "mL/ug"]),

    row(ShearRate, "s-1", "s⁻¹", 1.0, 1.0, &["1/s", "/s"]),

    row(VoltagePerKelvin, "V/K", "V/K", 1.0, 1.0, &["V/°C", "V K-1"]),
    row(VoltagePerKelvin, "mV/K", "mV/K", 1.0, 1e3, &["mV/°C", "mV K-1"]),

    row(CurrentPerKelvin, "A/K", "A/K", 1.0, 1.0, &["A/°C", "A K-1"]),
    row(CurrentPerKelvin, "mA/K", "mA/K", 1.0, 1e3, &["mA/°C", "mA K-1"]),
    row(CurrentPerKelvin, "uA/K", "µA/K", 1.0, 1e6, &["uA/°C", "uA K-1"]),

    row(ResistancePerKelvin, "Ohm/K", "Ω/K", 1.0, 1.0, &["ohm/K", "ohm/°C"]),
    row(ResistancePerKelvin, "mOhm/K", "mΩ/K", 1.0, 1e3, &["mohm/K", "mohm/°C"]),
];

/// The first coherent unit of each kind, by position in [`Kind::ALL`]. A kind without one does not compile.
pub(super) static COHERENT: [&Unit; Kind::ALL.len()] = {
    let mut coherent = [&UNITS[0]; Kind::ALL.len()];
    let mut kind = 0;
    while kind < Kind::ALL.len() {
        let mut position = 0;
        while UNITS[position].kind as usize != kind || !UNITS[position].is_coherent() {
            position += 1;
        }
        coherent[kind] = &UNITS[position];
        kind += 1;
    }
    coherent
};
