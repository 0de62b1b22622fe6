//! What the tables of chemistry offer for a number, and the number that a pick makes of it. No browser here: it is
//! tested natively.

use glasswick_core::chemistry::dyes::{Coefficient, DYES, Dye};
use glasswick_core::chemistry::formula::{Formula, FormulaError};
use glasswick_core::chemistry::reagents::REAGENTS;
use glasswick_core::chemistry::substances::{Datum, SUBSTANCES};
use glasswick_core::problem::{Evidence, Source};
use glasswick_core::quantity::{Kind, Rounding, Unit, brief_text, shortest, with_uncertainty};
use glasswick_core::sheet::Typed;

use crate::entry_text::twelve_digits;

/// A value of a table, in SI with its standard uncertainty.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Offer {
    /// What it is the value of.
    pub(crate) name: String,
    /// Where it comes from, with how that is known.
    pub(crate) origin: String,
    /// What it holds for, in front of where it comes from.
    holds_for: String,
    value: f64,
    uncertainty: f64,
}

/// Whether a table has values of this kind.
pub(crate) fn has_table(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::MolarMass
            | Kind::MolarAbsorption
            | Kind::Density
            | Kind::DynamicViscosity
            | Kind::SurfaceTension
    )
}

/// The values of a kind that depends on temperature, at one in kelvin.
pub(crate) fn at_temperature(kind: Kind, kelvin: f64) -> Vec<Offer> {
    let celsius = brief_text(kelvin - ZERO_CELSIUS, 6);
    let offer = |name: &str, holds_at: &str, datum: Datum| Offer {
        name: name.to_owned(),
        origin: cited(&datum.source),
        holds_for: format!("{name}, {holds_at}"),
        value: datum.value,
        uncertainty: datum.uncertainty,
    };
    let substances = SUBSTANCES.iter().filter_map(|substance| {
        let datum = match kind {
            Kind::Density => substance.density_at(kelvin),
            Kind::DynamicViscosity => substance.viscosity_at(kelvin),
            Kind::SurfaceTension => substance.surface_tension_at(kelvin),
            _ => None,
        };
        Some(offer(substance.name, &format!("{celsius} °C"), datum?))
    });
    let reagents = REAGENTS.iter().filter_map(|reagent| {
        let datum = reagent
            .density_at(kelvin)
            .filter(|_| kind == Kind::Density)?;
        Some(offer(reagent.name, "room temperature", datum))
    });
    substances.chain(reagents).collect()
}

const ZERO_CELSIUS: f64 = 273.15;

/// The molar masses of the substances, of what concentrated reagents are made with, and of the dyes.
pub(crate) fn molar_masses() -> Vec<Offer> {
    let substances = SUBSTANCES.iter().map(|s| (s.name, s.formula));
    let mut known: Vec<(&str, &str)> = substances.collect();
    for reagent in REAGENTS {
        if known.iter().all(|(_, formula)| *formula != reagent.formula) {
            known.push((reagent.formula, reagent.formula));
        }
    }
    let offers = known.into_iter().filter_map(|(name, formula)| {
        let offer = molar_mass(formula).ok()?;
        Some(Offer {
            name: name.to_owned(),
            ..offer
        })
    });
    offers.chain(DYES.iter().filter_map(of_dye)).collect()
}

/// The molar mass of a dye, with where its formula comes from.
fn of_dye(dye: &Dye) -> Option<Offer> {
    let (formula, source) = dye.formula?;
    let offer = molar_mass(formula).ok()?;
    Some(Offer {
        name: dye.name.to_owned(),
        origin: format!("{}; {}", offer.origin, cited(&source)),
        holds_for: format!("{}, {formula}", dye.name),
        ..offer
    })
}

/// The molar absorption coefficients of the dyes, at the wavelengths at which they are known.
pub(crate) fn absorption_coefficients() -> Vec<Offer> {
    let all = DYES
        .iter()
        .flat_map(|dye| dye.coefficients.iter().map(move |of| coefficient(dye, of)));
    all.collect()
}

fn coefficient(dye: &Dye, of: &Coefficient) -> Offer {
    let (from, to) = of.wavelength;
    let nanometres = |metres: f64| brief_text(metres * 1e9, 6);
    let wavelength = if from < to {
        format!("{} nm to {} nm", nanometres(from), nanometres(to))
    } else {
        format!("{} nm", nanometres(from))
    };
    let solvent = of.solvent.unwrap_or("solvent not noted");
    let name = format!("{}, {wavelength}, {solvent}", dye.name);
    Offer {
        origin: cited(&of.datum.source),
        holds_for: name.clone(),
        name,
        value: of.datum.value,
        uncertainty: of.datum.uncertainty,
    }
}

/// The molar mass of a formula.
pub(crate) fn molar_mass(text: &str) -> Result<Offer, FormulaError> {
    let formula = Formula::parse(text)?;
    let mass = formula.molar_mass();
    let sources: Vec<_> = formula.sources().iter().map(cited).collect();
    Ok(Offer {
        name: text.trim().to_owned(),
        origin: sources.join("; "),
        holds_for: text.trim().to_owned(),
        value: mass.value,
        uncertainty: mass.uncertainty,
    })
}

impl Offer {
    /// The value with its uncertainty and unit.
    pub(crate) fn shown(&self, unit: &Unit) -> String {
        let (value, u) = self.within(unit);
        let after = unit.after_number();
        match with_uncertainty(value, u, Rounding::TwoDigits) {
            Some(both) if both.exponent == 0 && !both.uncertainty.is_empty() => {
                format!("({}){after}", both.plus_minus())
            }
            Some(both) => format!("{}{after}", both.plus_minus()),
            None => format!("{}{after}", shortest(value)),
        }
    }

    /// The entry that picking it makes.
    pub(crate) fn typed(&self, unit: &Unit) -> Typed {
        let (value, u) = self.within(unit);
        let (text, plus_minus) = digits(value, u);
        Typed {
            text,
            unit: unit.code.into(),
            plus_minus,
            source: format!("{}: {}", self.holds_for, self.origin),
            ..Typed::default()
        }
    }

    fn within(&self, unit: &Unit) -> (f64, f64) {
        (
            unit.from_si(self.value),
            unit.difference_from_si(self.uncertainty),
        )
    }
}

/// An uncertainty to three digits, and the value to the same place.
fn digits(value: f64, u: f64) -> (String, String) {
    let three = format!("{u:.2e}");
    let place = three.split_once('e').map(|(_, power)| power.parse::<i32>());
    let (Some(Ok(power)), true) = (place, u > 0.0) else {
        return (twelve_digits(value), String::new());
    };
    let decimals = usize::try_from(2 - power).unwrap_or(0);
    let rounded = format!("{value:.decimals$}");
    (
        shortest(rounded.parse().unwrap_or(value)),
        shortest(three.parse().unwrap_or(u)),
    )
}

fn cited(source: &Source) -> String {
    format!("{}{}", source.citation, known_by(source.evidence))
}

fn known_by(evidence: Evidence) -> String {
    format!(" ({})", evidence.words())
}

/// The number without its source where that is of a pick, told by the words about the evidence at its end: for a
/// number that the table does not say. A source that someone typed stays.
pub(crate) fn without_pick(typed: Typed) -> Typed {
    let picked = [
        Evidence::Read,
        Evidence::Derived,
        Evidence::Computed,
        Evidence::Practice,
        Evidence::Memory,
    ]
    .into_iter()
    .any(|evidence| typed.source.ends_with(&known_by(evidence)));
    if picked {
        Typed {
            source: String::new(),
            ..typed
        }
    } else {
        typed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::quantity::{parse, parse_uncertainty, unit};
    use glasswick_core::uncertainty::Meaning;

    const ROOM: f64 = 293.15;

    fn named<'a>(offers: &'a [Offer], name: &str) -> &'a Offer {
        let found = offers.iter().find(|offer| offer.name == name);
        found.unwrap_or_else(|| panic!("{name} is not offered: {offers:?}"))
    }

    #[test]
    fn water_comes_with_temperature_uncertainty_and_source() {
        let offers = at_temperature(Kind::Density, ROOM);
        let water = named(&offers, "water");
        let unit = unit(Kind::Density, "g/mL").unwrap();
        // 998.20675 kg/m³ at 20 °C: CIPM formula worked by hand, from memory; the limit of 0.01 kg/m³ over √3 is 5.77e-6 g/mL.
        assert_eq!(
            water.typed(unit),
            Typed {
                text: "0.99820675".into(),
                unit: "g/mL".into(),
                plus_minus: "5.77e-6".into(),
                meaning: Meaning::Standard,
                freedom: String::new(),
                source: "water, 20 °C: CIPM formula, Tanaka et al., Metrologia 38 (2001) 301 (from memory, to be verified)".into(),
            }
        );
        assert_eq!(
            water.shown(unit).replace('\u{202F}', " "),
            "(0.998 206 7 ± 0.000 005 8) g/mL"
        );
    }

    #[test]
    fn a_formula_gives_its_molar_mass_with_the_sources_of_its_masses() {
        let unit = unit(Kind::MolarMass, "g/mol").unwrap();
        // Ti 47.867(1), O 15.999(1), CIAAW 2021: u = √(1² + 2²) mg/mol.
        let typed = molar_mass(" TiO2 ").unwrap().typed(unit);
        assert_eq!(
            (typed.text.as_str(), typed.plus_minus.as_str()),
            ("79.865", "0.00224")
        );
        assert!(
            typed
                .source
                .starts_with("TiO2: CIAAW, Standard atomic weights 2021, "),
            "{}",
            typed.source
        );
        let heavy = molar_mass("D2O").unwrap().origin;
        assert!(heavy.contains("CIAAW") && heavy.contains("Atomic Mass Evaluation"));
        assert!(molar_mass("I3-").unwrap().origin.contains("electron"));
        // The dalton's definition: exact.
        let carbon = molar_mass("[12C]").unwrap();
        let typed = carbon.typed(unit);
        assert_eq!((&*typed.text, &*typed.plus_minus), ("12", ""));
        assert_eq!(carbon.shown(unit).replace('\u{202F}', " "), "12 g/mol");
        assert_eq!(
            molar_mass("TiXx2").unwrap_err().to_string(),
            "At character 3, “Xx” is no element."
        );
    }

    #[test]
    fn a_dye_is_offered_by_formula_and_by_coefficient() {
        let masses = molar_masses();
        let per_mole = unit(Kind::MolarMass, "g/mol").unwrap();
        // C58H86N8O8RuS2: 1188.564(126) g/mol, computed with periodictable 2.1.0.
        let typed = named(&masses, "N719").typed(per_mole);
        assert_eq!((&*typed.text, &*typed.plus_minus), ("1188.564", "0.126"));
        assert!(
            typed.source.starts_with("N719, C58H86N8O8RuS2: CIAAW"),
            "{}",
            typed.source
        );
        assert!(
            typed.source.contains("dye table"),
            "where the formula comes from"
        );
        let black = masses.iter().filter(|o| o.name.starts_with("N749"));
        assert_eq!(black.count(), 2, "two formulas are sold under one name");

        let coefficients = absorption_coefficients();
        let usual = unit(Kind::MolarAbsorption, "L/(mol.cm)").unwrap();
        let desorbed = named(&coefficients, "N719, 515 nm, 0.1 mol/L sodium hydroxide");
        let typed = desorbed.typed(usual);
        // 5 % of 14 100 L/(mol·cm) over √3.
        assert_eq!((&*typed.text, &*typed.plus_minus), ("14100", "407"));
        assert!(
            typed.source.ends_with("(from memory, to be verified)"),
            "{}",
            typed.source
        );
        named(&coefficients, "D35, 445 nm to 463 nm, solvent not noted");
        let mut names: Vec<&str> = coefficients.iter().map(|o| o.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), coefficients.len());
    }

    #[test]
    fn what_is_not_known_at_a_temperature_is_not_offered() {
        let names = |kind, kelvin| -> Vec<String> {
            let offers = at_temperature(kind, kelvin);
            offers.into_iter().map(|offer| offer.name).collect()
        };
        let has = |names: &[String], name: &str| names.iter().any(|known| known == name);
        let room = names(Kind::Density, ROOM);
        for name in ["ethanol", "zinc oxide", "hydrochloric acid 37 %"] {
            assert!(has(&room, name), "{name}");
        }
        assert!(!has(&room, "4-tert-butylpyridine"), "known at 25 °C only");
        let warm = names(Kind::Density, ROOM + 9.0);
        assert!(has(&warm, "ethanol") && !has(&warm, "hydrochloric acid 37 %"));
        assert_eq!(names(Kind::Density, ROOM + 15.0), ["water"]);
        assert_eq!(names(Kind::Density, ROOM + 60.0), [""; 0]);
        let viscous = names(Kind::DynamicViscosity, ROOM);
        assert!(has(&viscous, "water") && !has(&viscous, "hydrochloric acid 37 %"));
        assert!(has(&names(Kind::SurfaceTension, ROOM), "toluene"));
        let masses = molar_masses();
        assert_eq!(named(&masses, "ethanol").holds_for, "C2H6O");
        let acids = masses.iter().filter(|offer| offer.holds_for == "HCl");
        assert_eq!(acids.count(), 1, "one solute of three reagents");
    }

    #[test]
    fn every_pick_reads_back_as_what_the_table_says() {
        for kind in [
            Kind::Density,
            Kind::DynamicViscosity,
            Kind::SurfaceTension,
            Kind::MolarMass,
            Kind::MolarAbsorption,
        ] {
            assert!(has_table(kind));
            let offers = match kind {
                Kind::MolarMass => molar_masses(),
                Kind::MolarAbsorption => absorption_coefficients(),
                _ => at_temperature(kind, ROOM),
            };
            assert!(!offers.is_empty());
            for (offer, unit) in offers
                .iter()
                .flat_map(|offer| kind.units().map(move |unit| (offer, unit)))
            {
                let typed = offer.typed(unit);
                let value = parse(&typed.text, kind, Some(unit)).unwrap().value;
                let u = parse_uncertainty(&typed.plus_minus, value, kind, Some(unit)).unwrap();
                let (value, u) = (unit.to_si(value), unit.difference_to_si(u.magnitude));
                assert!((u / offer.uncertainty - 1.0).abs() < 0.006, "{typed:?}");
                assert!(
                    (value - offer.value).abs() < 0.006 * offer.uncertainty,
                    "{typed:?}"
                );
                assert_eq!(without_pick(typed).source, "");
            }
        }
        assert!(!has_table(Kind::Volume));
    }

    #[test]
    fn a_source_that_someone_typed_stays() {
        for source in ["", "certificate 17", "label (lot 5)"] {
            let typed = Typed {
                source: source.into(),
                ..Typed::default()
            };
            assert_eq!(without_pick(typed.clone()), typed);
        }
    }
}
