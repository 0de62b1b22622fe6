//! Dyes of the trade: formula and molar absorption coefficients.
//!
//! A name is not a dye. "Black dye" is sold under two formulas and used for a third substance, and one complex is sold
//! with none, two or four counter-ions: what counts is the formula, and where a name has several, the formula is part of
//! the name here. A dye whose formula is not known well enough has none.
//!
//! Coefficients are decadic and from memory: no paper was at hand. Limits are ours, rectangular: 5 % for ruthenium
//! complexes, 10 % for organic dyes, in which values that differ between papers agree. They hold in solution at the
//! maximum of the band; solvent, acid and the oxide shift it.

use super::formula::Formula;
use super::substances::Datum;
use crate::problem::{Source, computed, derived, memory};

/// From structures (SMILES) in the MIT-licensed dye table of edbeard/dsc_db.
const STRUCTURE: Source = computed(
    "Formula from the structure in the dye table of edbeard/dsc_db (MIT licence), with rdkit 2026.9.1",
);
const NAME: Source = computed(
    "Formula from the systematic name in the dye table of edbeard/dsc_db (MIT licence), with rdkit 2026.9.1",
);
const INNER_SALT: Source = computed(
    "Formula from the structure in the dye table of edbeard/dsc_db (MIT licence), a cation there, less one proton as an \
     inner salt, with rdkit 2026.9.1",
);
const BY_NAME: Source = memory("Systematic name, from which the formula was counted");
const COUNTER_IONS: Source = derived("N3 with so many protons replaced by tetrabutylammonium");
const FORMULA: Source = memory("Formula");
const LABELS: Source =
    memory("Formula on labels, which counts one hydrogen less than the salt needs");
const PAPERS: Source = memory("Papers on each dye");

/// A dye.
#[derive(Debug)]
pub struct Dye {
    /// Stable identifier.
    pub id: &'static str,
    /// Name; it has the formula where the name alone is ambiguous.
    pub name: &'static str,
    /// Other names people use.
    pub other_names: &'static [&'static str],
    /// Formula of what is in the bottle, with counter-ions, and where it comes from; none where it is not known.
    pub formula: Option<(&'static str, Source)>,
    /// Molar absorption coefficients.
    pub coefficients: &'static [Coefficient],
}

/// A molar absorption coefficient at the maximum of a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficient {
    /// Wavelength, m: the range in which it is reported.
    pub wavelength: (f64, f64),
    /// Solvent; none where it was not noted.
    pub solvent: Option<&'static str>,
    /// Value in m²/mol, with its standard uncertainty and source.
    pub datum: Datum,
}

impl Dye {
    /// Molar mass, kg/mol, from the formula.
    #[must_use]
    pub fn molar_mass(&self) -> Option<Datum> {
        let (formula, source) = self.formula?;
        let mass = Formula::parse(formula).ok()?.molar_mass();
        Some(Datum {
            value: mass.value,
            uncertainty: mass.uncertainty,
            source,
        })
    }
}

/// √3, by which a rectangular limit becomes a standard uncertainty.
const ROOT_OF_3: f64 = 1.732_050_807_568_877_2;

/// A coefficient in L/(mol·cm) at so many nanometres.
const fn at(
    nanometres: (f64, f64),
    solvent: Option<&'static str>,
    per_mole: f64,
    limit: f64,
) -> Coefficient {
    Coefficient {
        wavelength: (nanometres.0 / 1e9, nanometres.1 / 1e9),
        solvent,
        datum: Datum {
            value: per_mole / 10.0,
            uncertainty: per_mole / 10.0 * limit / ROOT_OF_3,
            source: PAPERS,
        },
    }
}

const fn ruthenium(nanometres: f64, per_mole: f64) -> Coefficient {
    at((nanometres, nanometres), None, per_mole, 0.05)
}

const fn organic(nanometres: f64, per_mole: f64) -> Coefficient {
    at((nanometres, nanometres), None, per_mole, 0.1)
}

/// What N749 absorbs, whatever the label counts.
const BLACK: &[Coefficient] = &[at((605.0, 610.0), None, 7250.0, 0.05)];

const fn dye(
    id: &'static str,
    name: &'static str,
    other_names: &'static [&'static str],
    formula: Option<(&'static str, Source)>,
    coefficients: &'static [Coefficient],
) -> Dye {
    Dye {
        id,
        name,
        other_names,
        formula,
        coefficients,
    }
}

/// The table: ruthenium complexes, organic dyes, porphyrins.
pub static DYES: &[Dye] = &[
    dye(
        "n3",
        "N3",
        &["Ru 535"],
        Some(("C26H16N6O8RuS2", NAME)),
        &[ruthenium(534.0, 14200.0), ruthenium(396.0, 14300.0)],
    ),
    dye(
        "n719",
        "N719",
        &["Ru 535 bis-TBA"],
        Some(("C58H86N8O8RuS2", STRUCTURE)),
        &[
            at((535.0, 535.0), None, 14150.0, 0.05),
            at(
                (515.0, 515.0),
                Some("0.1 mol/L sodium hydroxide"),
                14100.0,
                0.05,
            ),
        ],
    ),
    dye(
        "n712",
        "N712",
        &["Ru 535 tetra-TBA"],
        Some(("C90H156N10O8RuS2", COUNTER_IONS)),
        &[],
    ),
    dye(
        "n749-h117",
        "N749 black dye, C69H117N9O6RuS3",
        &["Ru 620"],
        Some(("C69H117N9O6RuS3", NAME)),
        BLACK,
    ),
    dye(
        "n749-h116",
        "N749 black dye, C69H116N9O6RuS3",
        &["Ru 620"],
        Some(("C69H116N9O6RuS3", LABELS)),
        BLACK,
    ),
    dye(
        "z907",
        "Z907",
        &["Ru 520-DN"],
        Some(("C42H52N6O4RuS2", STRUCTURE)),
        &[ruthenium(526.0, 12200.0)],
    ),
    dye(
        "c101",
        "C101",
        &[],
        Some(("C44H44N6O4RuS4", NAME)),
        &[ruthenium(547.0, 17500.0)],
    ),
    dye(
        "c106",
        "C106",
        &[],
        Some(("C44H44N6O4RuS6", STRUCTURE)),
        &[ruthenium(550.0, 18700.0)],
    ),
    dye(
        "k19",
        "K19",
        &[],
        Some(("C52H52N6O6RuS2", STRUCTURE)),
        &[ruthenium(543.0, 18200.0)],
    ),
    dye("d102", "D102", &[], Some(("C37H30N2O3S2", STRUCTURE)), &[]),
    dye(
        "d131",
        "D131",
        &[],
        Some(("C35H28N2O2", STRUCTURE)),
        &[organic(425.0, 48600.0)],
    ),
    dye(
        "d149",
        "D149",
        &["indoline dye D149"],
        Some(("C42H35N3O4S3", STRUCTURE)),
        &[at((526.0, 531.0), None, 68700.0, 0.1)],
    ),
    dye(
        "d205",
        "D205",
        &["indoline dye D205"],
        Some(("C48H47N3O4S3", STRUCTURE)),
        &[organic(532.0, 53000.0)],
    ),
    dye("l0", "L0", &[], Some(("C22H16N2O2", STRUCTURE)), &[]),
    dye("d5", "D5", &["L2"], Some(("C28H20N2O2S", STRUCTURE)), &[]),
    dye(
        "d35",
        "D35",
        &[],
        Some(("C54H58N2O6S", STRUCTURE)),
        &[at((445.0, 463.0), None, 31000.0, 0.1)],
    ),
    dye(
        "leg4",
        "LEG4",
        &["D35CPDT"],
        Some(("C71H84N2O6S2", NAME)),
        &[],
    ),
    dye(
        "y123",
        "Y123",
        &[],
        Some(("C79H100N2O6S2", STRUCTURE)),
        &[organic(532.0, 48000.0)],
    ),
    dye("xy1b", "XY1b", &[], Some(("C87H98N4O6S3", STRUCTURE)), &[]),
    dye(
        "mk-2",
        "MK-2",
        &["MK2"],
        Some(("C58H70N2O2S4", BY_NAME)),
        &[organic(480.0, 38700.0)],
    ),
    dye(
        "sq2",
        "SQ2 squaraine",
        &[],
        Some(("C41H46N2O4", INNER_SALT)),
        &[],
    ),
    dye(
        "yd2-o-c8",
        "YD2-o-C8",
        &[],
        None,
        &[organic(448.0, 212_000.0), organic(645.0, 31000.0)],
    ),
    dye(
        "sm315",
        "SM315",
        &[],
        None,
        &[organic(440.0, 117_000.0), organic(668.0, 53000.0)],
    ),
    dye(
        "eosin-y",
        "eosin Y, disodium salt",
        &[],
        Some(("C20H6Br4Na2O5", FORMULA)),
        &[],
    ),
];

/// The dye with this identifier.
#[must_use]
pub fn dye_of(id: &str) -> Option<&'static Dye> {
    DYES.iter().find(|dye| dye.id == id)
}
