//! Solvents, additives and powders of the trade: formula, density, viscosity and surface tension.
//!
//! Densities of liquids come from reference equations and fits to measured data (evaluated with CoolProp 8.0.0, thermo
//! 0.6.1 and chemicals 1.5.2) or, where there is none, from handbooks by memory. Nothing is estimated from a structure;
//! what has no measured source has no value.
//!
//! Uncertainties are ours, a rectangular limit divided by √3, since the sources state none: 2 kg/m³ for liquids (within
//! which handbook and fits agree at 25 °C, apart from single fits that stand alone), 10 kg/m³ for solids (their last
//! digit), 10 % for viscosity and 0.5 mN/m for surface tension. Water: see [`water_density`].

use super::formula::Formula;
use crate::problem::{Source, computed, memory, read};
use crate::scalar::{Dual, Scalar};

const COOLPROP: Source = computed("Reference equation of state, CoolProp 8.0.0");
const VDI: Source = computed("VDI Heat Atlas, saturated liquid density, fit in thermo 0.6.1");
const VDI_TABLE: Source =
    computed("VDI Heat Atlas, saturated liquid density, fit in chemicals 1.5.2");
const PERRY: Source = computed("Perry, 8th edition, DIPPR density fit, in thermo 0.6.1");
const HANDBOOK: Source = memory("CRC Handbook; Riddick and Bunger; label values");
const VISCOSITY: Source =
    computed("VDI Heat Atlas, viscosity fit (PPDS 9), table of chemicals 1.5.2");
const JASPER: Source =
    computed("Jasper 1972 in Lange's Handbook, surface tension line, table of chemicals 1.5.2");
const SOLIDS: Source =
    read("CRC Handbook, physical constants of inorganic compounds, in chemicals 1.5.2");
const IAPWS: Source = computed("IAPWS formulations, iapws 1.5.5 and CoolProp 8.0.0");
const TANAKA: Source = memory("CIPM formula, Tanaka et al., Metrologia 38 (2001) 301");

/// Temperatures that values at 20 and 25 °C are carried to, K.
const NEAR: (f64, f64) = (288.15, 303.15);
/// How far from its temperature a single value counts, K.
const AROUND: f64 = 0.5;

/// A value in SI with its standard uncertainty and source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Datum {
    /// Value in SI.
    pub value: f64,
    /// Standard uncertainty in SI.
    pub uncertainty: f64,
    /// Where it comes from.
    pub source: Source,
}

/// A property with temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Property {
    /// Temperature of the value, K.
    kelvin: f64,
    value: f64,
    /// Change per kelvin; none where it is unknown.
    slope: Option<f64>,
    /// Rectangular limit.
    limit: f64,
    source: Source,
}

/// Solid or liquid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// A liquid; its density depends on temperature.
    Liquid,
    /// A solid; its density is taken as constant near room temperature.
    Solid,
}

/// A substance.
#[derive(Debug)]
pub struct Substance {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// Name.
    pub name: &'static str,
    /// Other names people use.
    pub other_names: &'static [&'static str],
    /// Formula.
    pub formula: &'static str,
    /// Solid or liquid.
    pub state: State,
    /// Density, kg/m³; none for water, which has a formula of its own, and where no source was seen.
    pub density: Option<Property>,
    /// Viscosity, Pa·s.
    pub viscosity: Option<Property>,
    /// Surface tension, N/m.
    pub surface_tension: Option<Property>,
}

const fn line(at_20: f64, at_25: f64, limit: f64, source: Source) -> Property {
    Property {
        kelvin: 293.15,
        value: at_20,
        slope: Some((at_25 - at_20) / 5.0),
        limit,
        source,
    }
}

const fn point(kelvin: f64, value: f64, limit: f64, source: Source) -> Property {
    Property {
        kelvin,
        value,
        slope: None,
        limit,
        source,
    }
}

impl Property {
    /// The value at a temperature in kelvin: a straight line through 20 and 25 °C, from 15 to 30 °C; a single value
    /// only at its own temperature.
    #[must_use]
    pub fn at(&self, kelvin: f64) -> Option<Datum> {
        let distance = kelvin - self.kelvin;
        let value = match self.slope {
            Some(slope) if (NEAR.0..=NEAR.1).contains(&kelvin) => self.value + slope * distance,
            None if distance.abs() <= AROUND => self.value,
            _ => return None,
        };
        Some(Datum {
            value,
            uncertainty: self.limit / 3f64.sqrt(),
            source: self.source,
        })
    }
}

impl Substance {
    /// Density at a temperature in kelvin, if it is known there.
    #[must_use]
    pub fn density_at(&self, kelvin: f64) -> Option<Datum> {
        if self.id == "water" {
            return (273.15..=313.15).contains(&kelvin).then(|| Datum {
                value: water_density(kelvin),
                uncertainty: 0.01 / 3f64.sqrt(),
                source: TANAKA,
            });
        }
        let density = self.density.as_ref()?;
        match self.state {
            State::Liquid => density.at(kelvin),
            State::Solid if (NEAR.0..=NEAR.1).contains(&kelvin) => density.at(density.kelvin),
            State::Solid => None,
        }
    }

    /// Viscosity at a temperature in kelvin, if it is known there.
    #[must_use]
    pub fn viscosity_at(&self, kelvin: f64) -> Option<Datum> {
        self.viscosity.as_ref()?.at(kelvin)
    }

    /// Surface tension at a temperature in kelvin, if it is known there.
    #[must_use]
    pub fn surface_tension_at(&self, kelvin: f64) -> Option<Datum> {
        self.surface_tension.as_ref()?.at(kelvin)
    }

    /// Cubic expansion coefficient of the liquid at a temperature in kelvin, 1/K: −(dρ/dT)/ρ.
    #[must_use]
    pub fn expansion_at(&self, kelvin: f64) -> Option<f64> {
        let here = self.density_at(kelvin)?.value;
        if self.id == "water" {
            let slope = water_density(Dual::seed(kelvin)).slope;
            return Some(-slope / here);
        }
        match self.state {
            State::Liquid => Some(-self.density.as_ref()?.slope? / here),
            State::Solid => None,
        }
    }

    /// Molar mass, kg/mol.
    #[must_use]
    pub fn molar_mass(&self) -> Option<Datum> {
        let mass = Formula::parse(self.formula).ok()?.molar_mass();
        Some(Datum {
            value: mass.value,
            uncertainty: mass.uncertainty,
            source: super::atomic_weights::SOURCE,
        })
    }
}

/// Density of air-free water at 101.325 kPa, kg/m³: CIPM formula, Tanaka et al., Metrologia 38 (2001) 301, from 0 to
/// 40 °C, coefficients from memory. A limit of 0.01 kg/m³ allows for dissolved air and isotopes.
#[must_use]
pub fn water_density<S: Scalar>(kelvin: S) -> S {
    let t = kelvin - 273.15;
    let a = t - 3.983_035;
    let ratio = a * a * (t + 301.797) / ((t + 69.348_81) * 522_528.9);
    (-ratio + 1.0) * 999.974_95
}

/// Density of ethanol and water at 20 °C, kg/m³, by mass fraction of ethanol: OIML R 22 (1975), general formula, the
/// twelve terms for 20 °C, coefficients from memory.
#[must_use]
pub fn ethanol_water_density<S: Scalar>(fraction: S) -> S {
    const TERMS: [f64; 12] = [
        9.982_012_3e2,
        -1.929_769_495e2,
        3.891_238_958e2,
        -1.668_103_923e3,
        1.352_215_441e4,
        -8.829_278_388e4,
        3.062_874_042e5,
        -6.138_381_234e5,
        7.470_172_998e5,
        -5.478_461_354e5,
        2.234_460_334e5,
        -3.903_285_426e4,
    ];
    TERMS
        .iter()
        .rev()
        .fold(S::constant(0.0), |sum, &term| sum * fraction + term)
}

/// The substance with this identifier.
#[must_use]
pub fn substance(id: &str) -> Option<&'static Substance> {
    SUBSTANCES.iter().find(|substance| substance.id == id)
}

/// The table: liquids, then solids.
pub static SUBSTANCES: &[Substance] = &[
    Substance {
        id: "water",
        name: "water",
        other_names: &["H2O"],
        formula: "H2O",
        state: State::Liquid,
        density: None,
        viscosity: Some(point(293.15, 1.001_6e-3, 1e-6, IAPWS)),
        surface_tension: Some(point(293.15, 0.072_736, 5e-5, IAPWS)),
    },
    Substance {
        id: "ethanol",
        name: "ethanol",
        other_names: &["EtOH"],
        formula: "C2H6O",
        state: State::Liquid,
        density: Some(line(789.421, 785.133, 2.0, COOLPROP)),
        viscosity: Some(line(1.168e-3, 1.062e-3, 0.116_8e-3, VISCOSITY)),
        surface_tension: Some(line(0.022_386, 0.021_97, 5e-4, JASPER)),
    },
    Substance {
        id: "methanol",
        name: "methanol",
        other_names: &["MeOH"],
        formula: "CH4O",
        state: State::Liquid,
        density: Some(line(791.005, 786.319, 2.0, COOLPROP)),
        viscosity: Some(line(0.584_7e-3, 0.543_8e-3, 0.058_5e-3, VISCOSITY)),
        surface_tension: Some(line(0.022_454, 0.0220675, 5e-4, JASPER)),
    },
    Substance {
        id: "1-propanol",
        name: "1-propanol",
        other_names: &["n-propanol"],
        formula: "C3H8O",
        state: State::Liquid,
        density: Some(line(804.118, 799.809, 2.0, VDI_TABLE)),
        viscosity: Some(line(2.199e-3, 1.951e-3, 0.219_9e-3, VISCOSITY)),
        surface_tension: Some(line(0.023_706, 0.0233175, 5e-4, JASPER)),
    },
    Substance {
        id: "2-propanol",
        name: "2-propanol",
        other_names: &["isopropanol"],
        formula: "C3H8O",
        state: State::Liquid,
        density: Some(line(786.286, 781.696, 2.0, VDI)),
        viscosity: Some(line(2.334e-3, 2.011e-3, 0.233_4e-3, VISCOSITY)),
        surface_tension: Some(line(0.021_322, 0.0209275, 5e-4, JASPER)),
    },
    Substance {
        id: "1-butanol",
        name: "1-butanol",
        other_names: &["n-butanol"],
        formula: "C4H10O",
        state: State::Liquid,
        density: Some(line(809.819, 805.747, 2.0, VDI)),
        viscosity: Some(line(2.913e-3, 2.557e-3, 0.291_3e-3, VISCOSITY)),
        surface_tension: Some(line(0.025_384, 0.024_935, 5e-4, JASPER)),
    },
    Substance {
        id: "tert-butanol",
        name: "tert-butanol",
        other_names: &["2-methyl-2-propanol"],
        formula: "C4H10O",
        state: State::Liquid,
        density: None,
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "acetonitrile",
        name: "acetonitrile",
        other_names: &["MeCN"],
        formula: "C2H3N",
        state: State::Liquid,
        density: Some(line(781.511, 776.183, 2.0, VDI)),
        viscosity: Some(line(0.365_5e-3, 0.348_8e-3, 0.036_6e-3, VISCOSITY)),
        surface_tension: Some(line(0.027_224, 0.026_635, 5e-4, JASPER)),
    },
    Substance {
        id: "3-methoxypropionitrile",
        name: "3-methoxypropionitrile",
        other_names: &["MPN"],
        formula: "C4H7NO",
        state: State::Liquid,
        density: Some(point(293.15, 937.9, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "valeronitrile",
        name: "valeronitrile",
        other_names: &["pentanenitrile"],
        formula: "C5H9N",
        state: State::Liquid,
        density: Some(line(800.8, 796.0, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "dimethylformamide",
        name: "N,N-dimethylformamide",
        other_names: &["DMF"],
        formula: "C3H7NO",
        state: State::Liquid,
        density: Some(line(949.072, 944.482, 2.0, PERRY)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "dimethyl-sulfoxide",
        name: "dimethyl sulfoxide",
        other_names: &["DMSO"],
        formula: "C2H6OS",
        state: State::Liquid,
        density: Some(line(1101.066, 1096.195, 2.0, PERRY)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "ethylene-glycol",
        name: "ethylene glycol",
        other_names: &["1,2-ethanediol"],
        formula: "C2H6O2",
        state: State::Liquid,
        density: Some(line(1113.487, 1110.014, 2.0, VDI)),
        viscosity: Some(line(0.021_23, 0.017_21, 2.123e-3, VISCOSITY)),
        surface_tension: Some(line(0.048_43, 0.047_985, 5e-4, JASPER)),
    },
    Substance {
        id: "propylene-glycol",
        name: "propylene glycol",
        other_names: &["1,2-propanediol"],
        formula: "C3H8O2",
        state: State::Liquid,
        density: Some(line(1036.364, 1032.574, 2.0, COOLPROP)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "diethylene-glycol",
        name: "diethylene glycol",
        other_names: &["2,2′-oxydiethanol"],
        formula: "C4H10O3",
        state: State::Liquid,
        density: None,
        viscosity: None,
        surface_tension: Some(line(0.045_21, 0.044_77, 5e-4, JASPER)),
    },
    Substance {
        id: "glycerol",
        name: "glycerol",
        other_names: &["1,2,3-propanetriol"],
        formula: "C3H8O3",
        state: State::Liquid,
        density: Some(line(1261.255, 1258.071, 2.0, VDI)),
        viscosity: Some(line(1.433, 0.927_6, 0.143_3, VISCOSITY)),
        surface_tension: None,
    },
    Substance {
        id: "alpha-terpineol",
        name: "alpha-terpineol",
        other_names: &["terpineol"],
        formula: "C10H18O",
        state: State::Liquid,
        density: Some(point(293.15, 933.7, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "acetone",
        name: "acetone",
        other_names: &["propanone"],
        formula: "C3H6O",
        state: State::Liquid,
        density: Some(line(790.27, 784.701, 2.0, COOLPROP)),
        viscosity: Some(line(0.319_7e-3, 0.304_6e-3, 0.032e-3, VISCOSITY)),
        surface_tension: Some(line(0.024_02, 0.023_46, 5e-4, JASPER)),
    },
    Substance {
        id: "toluene",
        name: "toluene",
        other_names: &["methylbenzene"],
        formula: "C7H8",
        state: State::Liquid,
        density: Some(line(866.892, 862.238, 2.0, COOLPROP)),
        viscosity: Some(line(0.588_1e-3, 0.552_1e-3, 0.058_8e-3, VISCOSITY)),
        surface_tension: Some(line(0.028_522, 0.0279275, 5e-4, JASPER)),
    },
    Substance {
        id: "ethyl-acetate",
        name: "ethyl acetate",
        other_names: &["EtOAc"],
        formula: "C4H8O2",
        state: State::Liquid,
        density: Some(line(900.045, 894.181, 2.0, VDI_TABLE)),
        viscosity: Some(line(0.454_7e-3, 0.430_3e-3, 0.045_5e-3, VISCOSITY)),
        surface_tension: Some(line(0.023_968, 0.0233875, 5e-4, JASPER)),
    },
    Substance {
        id: "gamma-butyrolactone",
        name: "gamma-butyrolactone",
        other_names: &["GBL"],
        formula: "C4H6O2",
        state: State::Liquid,
        density: Some(line(1128.4, 1124.0, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "propylene-carbonate",
        name: "propylene carbonate",
        other_names: &["4-methyl-1,3-dioxolan-2-one"],
        formula: "C4H6O3",
        state: State::Liquid,
        density: Some(line(1204.7, 1200.0, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "n-methylpyrrolidone",
        name: "N-methyl-2-pyrrolidone",
        other_names: &["NMP"],
        formula: "C5H9NO",
        state: State::Liquid,
        density: None,
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "chloroform",
        name: "chloroform",
        other_names: &["trichloromethane"],
        formula: "CHCl3",
        state: State::Liquid,
        density: Some(line(1492.571, 1483.364, 2.0, VDI)),
        viscosity: Some(line(0.566_8e-3, 0.538_7e-3, 0.056_7e-3, VISCOSITY)),
        surface_tension: Some(line(0.027_32, 0.0266725, 5e-4, JASPER)),
    },
    Substance {
        id: "4-tert-butylpyridine",
        name: "4-tert-butylpyridine",
        other_names: &["TBP"],
        formula: "C9H13N",
        state: State::Liquid,
        density: Some(point(298.15, 915.0, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "acetylacetone",
        name: "acetylacetone",
        other_names: &["2,4-pentanedione"],
        formula: "C5H8O2",
        state: State::Liquid,
        density: Some(point(293.15, 972.1, 2.0, HANDBOOK)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "acetic-acid",
        name: "acetic acid",
        other_names: &["ethanoic acid"],
        formula: "C2H4O2",
        state: State::Liquid,
        density: Some(line(1047.795, 1042.585, 2.0, VDI)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "titania-anatase",
        name: "titanium dioxide (anatase)",
        other_names: &["titania"],
        formula: "TiO2",
        state: State::Solid,
        density: Some(point(298.15, 3900.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "titania-rutile",
        name: "titanium dioxide (rutile)",
        other_names: &["titania"],
        formula: "TiO2",
        state: State::Solid,
        density: Some(point(298.15, 4170.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "zinc-oxide",
        name: "zinc oxide",
        other_names: &["zincite"],
        formula: "ZnO",
        state: State::Solid,
        density: Some(point(298.15, 5598.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "tin-dioxide",
        name: "tin dioxide",
        other_names: &["cassiterite"],
        formula: "SnO2",
        state: State::Solid,
        density: Some(point(298.15, 6850.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "zirconia",
        name: "zirconium dioxide",
        other_names: &["zirconia"],
        formula: "ZrO2",
        state: State::Solid,
        density: Some(point(298.15, 5680.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "strontium-titanate",
        name: "strontium titanate",
        other_names: &["STO"],
        formula: "SrTiO3",
        state: State::Solid,
        density: Some(point(298.15, 5100.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "lithium-iodide",
        name: "lithium iodide",
        other_names: &["LiI"],
        formula: "LiI",
        state: State::Solid,
        density: Some(point(298.15, 4060.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "sodium-iodide",
        name: "sodium iodide",
        other_names: &["NaI"],
        formula: "NaI",
        state: State::Solid,
        density: Some(point(298.15, 3670.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "potassium-iodide",
        name: "potassium iodide",
        other_names: &["KI"],
        formula: "KI",
        state: State::Solid,
        density: Some(point(298.15, 3120.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "iodine",
        name: "iodine",
        other_names: &["I2"],
        formula: "I2",
        state: State::Solid,
        density: Some(point(298.15, 4933.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "niobium-pentoxide",
        name: "niobium pentoxide",
        other_names: &["niobia"],
        formula: "Nb2O5",
        state: State::Solid,
        density: Some(point(298.15, 4470.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
    Substance {
        id: "quartz",
        name: "silicon dioxide (quartz)",
        other_names: &["silica"],
        formula: "SiO2",
        state: State::Solid,
        density: Some(point(298.15, 2648.0, 10.0, SOLIDS)),
        viscosity: None,
        surface_tension: None,
    },
];
