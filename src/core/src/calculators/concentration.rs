//! # What it computes
//! One statement of a concentration as all the others: amount concentration, mass concentration (% w/v), mass fraction
//! (% w/w, mg/kg), volume fraction (% v/v), molality and amount fraction, as far as the densities and molar masses
//! entered allow; what a portion of it holds, and the volume that holds a wanted mass.
//!
//! # Formulas
//! γ = c·M = φ·ρ_B = w·ρ; w = b·M/(1 + b·M) = m_B/(m_B + mₛ); b = w/(M·(1 − w)) = x/(Mₛ·(1 − x));
//! x = b·Mₛ/(1 + b·Mₛ); m = γ·V; n = c·V.
//!
//! # Symbols and units
//! c amount concentration (mol/m³); γ mass concentration (kg/m³); w mass fraction (1); φ volume fraction (1); b molality
//! (mol/kg); x amount fraction (1); M, Mₛ molar mass of solute and solvent (kg/mol); ρ density of the mixture, ρ_B of the
//! pure solute (kg/m³); m_B, mₛ masses mixed (kg); V, m, n volume of a portion, mass and amount of solute in it (m³, kg,
//! mol).
//!
//! # Valid range
//! All quantities above zero; fractions up to 1.
//!
//! # Assumptions
//! One solute in one solvent. The volume fraction is the volume that the pure solute had before mixing over the volume of
//! the mixture, as on a bottle of spirit: where volumes are not additive the fractions of the parts do not add up to 1.
//! Densities and concentrations are those of one temperature.
//!
//! # Sources
//! Definitions of the quantities; OpenStax Chemistry 2e, sections 3.4 and 11.4.
//!
//! # Worked example
//! 33.7 mol/kg nitric acid (63.01 g/mol) of 1.35 g/mL is 14.6 mol/L (OpenStax Chemistry 2e, Example 11.5, check).

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice, read};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static KNOWN: Field = choice(
    "known",
    "Known as",
    &[
        option("amount_concentration", "amount concentration, mol/L"),
        option("mass_concentration", "mass concentration, g/L or % (w/v)"),
        option("mass_fraction", "mass fraction, % (w/w) or mg/kg"),
        option("volume_fraction", "volume fraction, % (v/v)"),
        option("molality", "molality, mol/kg"),
        option("amount_fraction", "amount fraction, mol/mol"),
        option("masses", "masses mixed"),
    ],
)
.help("A label that says only “45 %” leaves three open: look up whether w/w, w/v or v/v is meant.");
static AMOUNT_CONCENTRATION: Field = quantity(
    "amount_concentration",
    "Amount concentration",
    Kind::AmountConcentration,
)
.symbol("c")
.units(&["mol/L", "mmol/L", "umol/L"])
.positive();
static MASS_CONCENTRATION: Field = quantity(
    "mass_concentration",
    "Mass concentration",
    Kind::MassConcentration,
)
.symbol("γ")
.units(&["g/L", "mg/L", "g/mL", "g/dL"])
.positive();
static MASS_FRACTION: Field = quantity("mass_fraction", "Mass fraction", Kind::MassFraction)
    .symbol("w")
    .units(&["%", "mg/kg", "ug/kg"])
    .range(Range::FRACTION);
static VOLUME_FRACTION: Field =
    quantity("volume_fraction", "Volume fraction", Kind::VolumeFraction)
        .symbol("φ")
        .units(&["%", "uL/L"])
        .range(Range::FRACTION);
static MOLALITY: Field = quantity("molality", "Molality", Kind::Molality)
    .symbol("b")
    .units(&["mol/kg", "mmol/kg", "umol/kg"])
    .positive();
static AMOUNT_FRACTION: Field =
    quantity("amount_fraction", "Amount fraction", Kind::AmountFraction)
        .symbol("x")
        .units(&["1", "%", "umol/mol"])
        .range(Range::FRACTION);
static SOLUTE_MASS: Field = quantity("solute_mass", "Mass of solute", Kind::Mass)
    .symbol("m_B")
    .units(&["g", "mg", "kg"])
    .positive()
    .measured();
static SOLVENT_MASS: Field = quantity("solvent_mass", "Mass of solvent", Kind::Mass)
    .symbol("mₛ")
    .units(&["g", "mg", "kg"])
    .not_negative()
    .measured();
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass of the solute", Kind::MolarMass)
    .symbol("M")
    .units(&["g/mol"])
    .positive()
    .optional();
static SOLVENT_MOLAR_MASS: Field = quantity(
    "solvent_molar_mass",
    "Molar mass of the solvent",
    Kind::MolarMass,
)
.symbol("Mₛ")
.units(&["g/mol"])
.positive()
.optional();
static DENSITY: Field = quantity("density", "Density of the mixture", Kind::Density)
    .symbol("ρ")
    .units(&["g/mL", "g/cm3"])
    .positive()
    .optional();
static SOLUTE_DENSITY: Field = quantity(
    "solute_density",
    "Density of the pure solute",
    Kind::Density,
)
.symbol("ρ_B")
.units(&["g/mL", "g/cm3"])
.positive()
.optional();
static PORTION: Field = quantity("portion", "Volume of a portion", Kind::Volume)
    .symbol("V")
    .help("To see how much solute it holds.")
    .units(&["mL", "uL", "L"])
    .positive()
    .optional();
static WANTED: Field = quantity("wanted", "Mass of solute wanted", Kind::Mass)
    .symbol("m*")
    .help("To see the volume that holds it.")
    .units(&["g", "mg", "ug"])
    .positive()
    .optional();
static PORTION_MASS: Field = quantity("portion_mass", "Solute in the portion", Kind::Mass)
    .symbol("m")
    .units(&["g", "mg", "ug"]);
static PORTION_AMOUNT: Field = quantity("portion_amount", "Amount in the portion", Kind::Amount)
    .symbol("n")
    .units(&["mol", "mmol", "umol"]);
static VOLUME_HOLDING: Field = quantity("volume_holding", "Volume that holds it", Kind::Volume)
    .symbol("V*")
    .units(&["mL", "uL", "L"]);

const DEFINITIONS: Source = derived("definitions of the quantities");

/// What is known on which side of the mixture's density.
const BY_VOLUME: &[&str] = &[
    "amount_concentration",
    "mass_concentration",
    "volume_fraction",
];
const BY_MASS: &[&str] = &["mass_fraction", "molality", "amount_fraction", "masses"];
const NOT_AMOUNT_CONCENTRATION: &[&str] = &[
    "mass_concentration",
    "volume_fraction",
    "mass_fraction",
    "molality",
    "amount_fraction",
    "masses",
];
const NOT_VOLUME_FRACTION: &[&str] = &[
    "amount_concentration",
    "mass_concentration",
    "mass_fraction",
    "molality",
    "amount_fraction",
    "masses",
];
const NOT_AMOUNT_FRACTION: &[&str] = &[
    "amount_concentration",
    "mass_concentration",
    "volume_fraction",
    "mass_fraction",
    "molality",
    "masses",
];
/// Where the molality follows from the mass fraction.
const TOWARDS_MOLALITY: &[&str] = &[
    "amount_concentration",
    "mass_concentration",
    "volume_fraction",
    "mass_fraction",
    "masses",
];

/// One concentration in all its forms.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "concentration",
    version: 1,
    stage: Stage::Stocks,
    title: "Concentration",
    purpose: "One statement of a concentration as all the others, and what a portion holds.",
    inputs: &[
        show(&KNOWN),
        show(&AMOUNT_CONCENTRATION).when(&KNOWN, &["amount_concentration"]),
        show(&MASS_CONCENTRATION).when(&KNOWN, &["mass_concentration"]),
        show(&MASS_FRACTION).when(&KNOWN, &["mass_fraction"]),
        show(&VOLUME_FRACTION).when(&KNOWN, &["volume_fraction"]),
        show(&MOLALITY).when(&KNOWN, &["molality"]),
        show(&AMOUNT_FRACTION).when(&KNOWN, &["amount_fraction"]),
        show(&SOLUTE_MASS).when(&KNOWN, &["masses"]),
        show(&SOLVENT_MASS).when(&KNOWN, &["masses"]),
        show(&MOLAR_MASS),
        show(&DENSITY),
        show(&SOLUTE_DENSITY),
        show(&SOLVENT_MOLAR_MASS),
        show(&PORTION),
        show(&WANTED),
    ],
    outputs: &[
        show(&AMOUNT_CONCENTRATION).unless(&KNOWN, &["amount_concentration"]),
        show(&MASS_CONCENTRATION).unless(&KNOWN, &["mass_concentration"]),
        show(&MASS_FRACTION).unless(&KNOWN, &["mass_fraction"]),
        show(&VOLUME_FRACTION).unless(&KNOWN, &["volume_fraction"]),
        show(&MOLALITY).unless(&KNOWN, &["molality"]),
        show(&AMOUNT_FRACTION).unless(&KNOWN, &["amount_fraction"]),
        show(&PORTION_MASS),
        show(&PORTION_AMOUNT),
        show(&VOLUME_HOLDING),
    ],
    working: &[
        formula("mass_fraction = solute_mass / (solute_mass + solvent_mass)")
            .when(&KNOWN, &["masses"]),
        formula("molality = amount_fraction / (solvent_molar_mass * (1 - amount_fraction))")
            .when(&KNOWN, &["amount_fraction"]),
        formula("mass_fraction = molality * molar_mass / (1 + molality * molar_mass)")
            .when(&KNOWN, &["molality", "amount_fraction"]),
        formula("mass_concentration = amount_concentration * molar_mass")
            .when(&KNOWN, &["amount_concentration"]),
        formula("mass_concentration = volume_fraction * solute_density")
            .when(&KNOWN, &["volume_fraction"]),
        formula("mass_concentration = mass_fraction * density").when(&KNOWN, BY_MASS),
        formula("amount_concentration = mass_concentration / molar_mass")
            .when(&KNOWN, NOT_AMOUNT_CONCENTRATION),
        formula("volume_fraction = mass_concentration / solute_density")
            .when(&KNOWN, NOT_VOLUME_FRACTION),
        formula("mass_fraction = mass_concentration / density").when(&KNOWN, BY_VOLUME),
        formula("molality = mass_fraction / (molar_mass * (1 - mass_fraction))")
            .when(&KNOWN, TOWARDS_MOLALITY),
        formula(
            "amount_fraction = molality * solvent_molar_mass / (1 + molality * solvent_molar_mass)",
        )
        .when(&KNOWN, NOT_AMOUNT_FRACTION),
        formula("portion_mass = mass_concentration * portion"),
        formula("portion_amount = amount_concentration * portion"),
        formula("volume_holding = wanted / mass_concentration"),
    ],
    sources: &[
        DEFINITIONS,
        read("OpenStax Chemistry 2e, sections 3.4 and 11.4"),
    ],
    hazards: &[hazards::ACIDS_AND_BASES, hazards::SOLVENTS],
    formula: both::<Concentration>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "nitric acid, from its molality",
        inputs: &[
            ("known", "molality"),
            ("molality", "33.7 mol/kg"),
            ("molar_mass", "63.01 g/mol"),
            ("density", "1.35 g/mL"),
        ],
        expected: &[
            expect("amount_concentration", "14.6 mol/L", 0.05),
            expect("amount_concentration", "14.565685173096178 mol/L", 1e-8),
        ],
        source: read("OpenStax Chemistry 2e, Example 11.5, check; all digits computed"),
    },
    Case {
        title: "glucose, to molality",
        inputs: &[
            ("amount_concentration", "0.556 mol/L"),
            ("molar_mass", "180.2 g/mol"),
            ("density", "1.04 g/mL"),
        ],
        // The book rounds the mass of the solvent first.
        expected: &[
            expect("molality", "0.59 mol/kg", 0.005),
            expect("molality", "0.5916096976321141 mol/kg", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 11.5; all digits computed"),
    },
    Case {
        title: "ethylene glycol in water, from the masses",
        inputs: &[
            ("known", "masses"),
            ("solute_mass", "2.22e3 g"),
            ("solvent_mass", "2.00e3 g"),
            ("molar_mass", "62.07 g/mol"),
            ("solvent_molar_mass", "18.02 g/mol"),
        ],
        expected: &[
            expect("amount_fraction", "0.244", 0.0005),
            expect("amount_fraction", "0.24371468048864292", 1e-10),
            expect("molality", "17.9 mol/kg", 0.05),
            expect("molality", "17.883035282745286 mol/kg", 1e-8),
        ],
        source: read("OpenStax Chemistry 2e, Example 11.3; all digits computed"),
    },
    Case {
        title: "ammonia in water, from the masses",
        inputs: &[
            ("known", "masses"),
            ("solute_mass", "0.850 g"),
            ("solvent_mass", "125 g"),
            ("molar_mass", "17.03 g/mol"),
            ("solvent_molar_mass", "18.02 g/mol"),
        ],
        expected: &[
            expect("amount_fraction", "0.00714", 5e-5),
            expect("amount_fraction", "0.007143899887456874", 1e-11),
            expect("molality", "0.399 mol/kg", 0.0005),
            expect("molality", "0.39929536112742214 mol/kg", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 11.3, check; all digits computed"),
    },
    Case {
        title: "iodine in dichloromethane: the solvent's molar mass is enough",
        inputs: &[
            ("known", "amount_fraction"),
            ("amount_fraction", "0.115"),
            ("solvent_molar_mass", "84.93 g/mol"),
        ],
        expected: &[
            expect("molality", "1.53 mol/kg", 0.005),
            expect("molality", "1.5300070979024931 mol/kg", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 11.4, check; all digits computed"),
    },
    Case {
        title: "volume of hydrochloric acid that holds 125 g",
        inputs: &[
            ("known", "mass_fraction"),
            ("mass_fraction", "37.2 %"),
            ("density", "1.19 g/mL"),
            ("wanted", "125 g"),
        ],
        expected: &[
            expect("volume_holding", "282 mL", 0.5),
            expect("volume_holding", "282.37101292129756 mL", 1e-7),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.23, check; all digits computed"),
    },
    Case {
        title: "15 µg/kg in 300 mL of drinking water",
        inputs: &[
            ("known", "mass_fraction"),
            ("mass_fraction", "15 ppb"),
            ("density", "1.00 g/mL"),
            ("portion", "300 mL"),
        ],
        expected: &[
            expect("portion_mass", "4.5 ug", 0.05),
            expect("portion_mass", "4.5 ug", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.25; all digits computed"),
    },
    Case {
        title: "mercury in a sample",
        inputs: &[
            ("known", "masses"),
            ("solute_mass", "0.48 mg"),
            ("solvent_mass", "49.99952 g"),
        ],
        expected: &[
            expect("mass_fraction", "9.6 ppm", 0.05),
            expect("mass_fraction", "9.6 ppm", 1e-9),
        ],
        source: read(
            "OpenStax Chemistry 2e, Example 3.25, check, the sample less the mercury; all digits computed",
        ),
    },
    Case {
        title: "3.75 mg in 5.0 g of spinal fluid",
        inputs: &[
            ("known", "masses"),
            ("solute_mass", "3.75 mg"),
            ("solvent_mass", "4996.25 mg"),
        ],
        expected: &[
            expect("mass_fraction", "0.075 %", 0.0005),
            expect("mass_fraction", "0.075 %", 1e-10),
        ],
        source: read(
            "OpenStax Chemistry 2e, Example 3.22, the sample less the solute; all digits computed",
        ),
    },
    Case {
        title: "amount in a portion",
        inputs: &[
            ("amount_concentration", "0.375 mol/L"),
            ("portion", "10 mL"),
        ],
        expected: &[
            expect("portion_amount", "0.004 mol", 0.0005),
            expect("portion_amount", "0.00375 mol", 1e-11),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.15; all digits computed"),
    },
    Case {
        title: "volume that holds a mass of potassium bromide",
        inputs: &[
            ("amount_concentration", "1.50 mol/L"),
            ("molar_mass", "119.00 g/mol"),
            ("wanted", "66.0 g"),
        ],
        expected: &[
            expect("volume_holding", "0.370 L", 0.0005),
            expect("volume_holding", "0.3697478991596639 L", 1e-9),
        ],
        source: read("OpenStax Chemistry 2e, Example 3.18, check; all digits computed"),
    },
    Case {
        title: "spirit: 40 % (v/v) of a liquid of 0.789 g/mL",
        // 0.4 · 0.789 = 0.3156 g/mL; 0.3156 / 0.948 = 0.33291139…
        inputs: &[
            ("known", "volume_fraction"),
            ("volume_fraction", "40 %"),
            ("solute_density", "0.789 g/mL"),
            ("density", "0.948 g/mL"),
        ],
        expected: &[
            expect("mass_concentration", "31.56 g/100 mL", 1e-9),
            expect("mass_fraction", "33.291139240506329 %", 1e-9),
        ],
        source: computed("φ·ρ_B/ρ, Python 3.11; the densities are invented"),
    },
    Case {
        title: "1.5 g of a dispersant sold at 45 % (w/w)",
        // A portion of 1 mL at 1.5 g/mL weighs 1.5 g.
        inputs: &[
            ("known", "mass_fraction"),
            ("mass_fraction", "45 %"),
            ("density", "1.5 g/mL"),
            ("portion", "1 mL"),
        ],
        expected: &[expect("portion_mass", "0.675 g", 1e-12)],
        source: practice(
            "dispersant sold at 45 % active brings 0.675 g in 1.5 g; the density is invented",
        ),
    },
];

struct Concentration;

/// The six forms, as far as they are known.
#[derive(Clone, Copy)]
struct Forms<S> {
    amount_concentration: Option<S>,
    mass_concentration: Option<S>,
    volume_fraction: Option<S>,
    mass_fraction: Option<S>,
    molality: Option<S>,
    amount_fraction: Option<S>,
}

impl Formula for Concentration {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let known = given.choice(&KNOWN);
        let forms = Forms::of(given);
        if let Some(gamma) = forms.mass_concentration {
            possible(given, gamma.value(), forms.mass_fraction, &DENSITY)?;
            possible(given, gamma.value(), forms.volume_fraction, &SOLUTE_DENSITY)?;
        }
        let mut found = Found::new();
        for (field, value) in forms.listed() {
            if field.id != known {
                found.set_some(field, value);
            }
        }
        let (portion, wanted) = (given.get(&PORTION), given.get(&WANTED));
        let times = |a: Option<S>, b: Option<S>| Some(a? * b?);
        found.set_some(&PORTION_MASS, times(forms.mass_concentration, portion));
        found.set_some(&PORTION_AMOUNT, times(forms.amount_concentration, portion));
        let holding = wanted.zip(forms.mass_concentration);
        found.set_some(&VOLUME_HOLDING, holding.map(|(mass, gamma)| mass / gamma));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let missing: Vec<String> = FORMS
            .iter()
            .filter(|form| form.id != given.choice(&KNOWN) && found.get(form).is_none())
            .filter_map(|form| needs(form, given))
            .collect();
        let note = Check::note("not_given", missing.join(" "), DEFINITIONS);
        (!missing.is_empty()).then_some(note).into_iter().collect()
    }
}

static FORMS: [&Field; 6] = [
    &AMOUNT_CONCENTRATION,
    &MASS_CONCENTRATION,
    &MASS_FRACTION,
    &VOLUME_FRACTION,
    &MOLALITY,
    &AMOUNT_FRACTION,
];

impl<S: Scalar> Forms<S> {
    /// Each form from its neighbour on the way from what is known: c – γ – w – b – x, and φ beside γ.
    fn of(given: &Given<'_, S>) -> Self {
        let (molar, solvent_molar) = (given.get(&MOLAR_MASS), given.get(&SOLVENT_MOLAR_MASS));
        let (density, solute_density) = (given.get(&DENSITY), given.get(&SOLUTE_DENSITY));
        let times = |a: Option<S>, b: Option<S>| Some(a? * b?);
        let over = |a: Option<S>, b: Option<S>| Some(a? / b?);
        let one_minus = |part: S| -part + 1.0;

        let solute_mass = given.get(&SOLUTE_MASS);
        let mixed = solute_mass.map(|solute| solute / (solute + given[&SOLVENT_MASS]));
        let known_fraction = mixed.or(given.get(&MASS_FRACTION));
        let known_molality = given.get(&MOLALITY).or_else(|| {
            let part = given.get(&AMOUNT_FRACTION)?;
            ratio(part, solvent_molar? * one_minus(part))
        });
        // Mass of solute per mass of solvent, and from it per mass of mixture.
        let to_whole = |per_solvent: S| per_solvent / (per_solvent + 1.0);
        let by_mass = known_fraction.or(times(known_molality, molar).map(to_whole));

        let mass_concentration = given
            .get(&MASS_CONCENTRATION)
            .or(times(given.get(&AMOUNT_CONCENTRATION), molar))
            .or(times(given.get(&VOLUME_FRACTION), solute_density))
            .or(times(by_mass, density));
        let mass_fraction = by_mass.or(over(mass_concentration, density));
        let molality = known_molality.or_else(|| {
            let part = mass_fraction?;
            ratio(part, molar? * one_minus(part))
        });
        Forms {
            amount_concentration: given
                .get(&AMOUNT_CONCENTRATION)
                .or(over(mass_concentration, molar)),
            mass_concentration,
            volume_fraction: given
                .get(&VOLUME_FRACTION)
                .or(over(mass_concentration, solute_density)),
            mass_fraction,
            molality,
            amount_fraction: given
                .get(&AMOUNT_FRACTION)
                .or(times(molality, solvent_molar).map(to_whole)),
        }
    }

    fn listed(&self) -> [(&'static Field, Option<S>); 6] {
        [
            (&AMOUNT_CONCENTRATION, self.amount_concentration),
            (&MASS_CONCENTRATION, self.mass_concentration),
            (&MASS_FRACTION, self.mass_fraction),
            (&VOLUME_FRACTION, self.volume_fraction),
            (&MOLALITY, self.molality),
            (&AMOUNT_FRACTION, self.amount_fraction),
        ]
    }
}

/// A quotient; none where there is no solvent to divide by.
fn ratio<S: Scalar>(part: S, by: S) -> Option<S> {
    (by.value() > 0.0).then(|| part / by)
}

/// A volume cannot hold more solute than the density allows.
fn possible<S: Scalar>(
    given: &Given<'_, S>,
    mass_concentration: f64,
    part: Option<S>,
    density: &'static Field,
) -> Result<(), Problem> {
    let (Some(part), Some(most)) = (part, given.get(density)) else {
        return Ok(());
    };
    if part.value() <= 1.0 {
        return Ok(());
    }
    Err(Problem::at(
        density,
        "more_than_pure",
        format!(
            "The mass concentration ({}) is above the {} ({}): the mixture would hold more than pure solute.",
            MASS_CONCENTRATION.say(mass_concentration),
            density.title.to_lowercase(),
            density.say(most.value()),
        ),
        "Look again at the concentration, the densities and the molar mass.",
    ))
}

/// Which entries a form still lacks, in a sentence; none where nothing is lacking.
fn needs(form: &Field, given: &Given<'_, f64>) -> Option<String> {
    let known = given.choice(&KNOWN);
    let pure = [&MASS_FRACTION, &AMOUNT_FRACTION]
        .into_iter()
        .any(|fraction| known == fraction.id && given.get(fraction).is_some_and(|x| x >= 1.0));
    if pure && form.id == MOLALITY.id {
        return Some(format!(
            "{} does not exist: there is no solvent.",
            form.title
        ));
    }
    let (from, to) = (Side::of(known), Side::of(form.id));
    let across: Option<&Field> = (from.by_volume != to.by_volume).then_some(&DENSITY);
    let way = match (known, form.id) {
        // These two follow from each other without the mass fraction.
        ("molality", "amount_fraction") | ("amount_fraction", "molality") => {
            vec![&SOLVENT_MOLAR_MASS as &Field]
        }
        _ => from.way.into_iter().chain(across).chain(to.way).collect(),
    };
    let mut lacking: Vec<String> = Vec::new();
    for field in way {
        let words = format!("the {}", field.title.to_lowercase());
        if given.get(field).is_none() && !lacking.contains(&words) {
            lacking.push(words);
        }
    }
    let last = lacking.pop()?;
    let list = if lacking.is_empty() {
        last
    } else {
        format!("{} and {last}", lacking.join(", "))
    };
    Some(format!("{} needs {list}.", form.title))
}

/// On which side of the mixture's density a form stands, and what lies between it and the mass concentration or the mass
/// fraction there.
struct Side {
    by_volume: bool,
    way: Vec<&'static Field>,
}

impl Side {
    fn of(form: &str) -> Side {
        let (by_volume, way): (bool, Vec<&'static Field>) = match form {
            "amount_concentration" => (true, vec![&MOLAR_MASS]),
            "mass_concentration" => (true, vec![]),
            "volume_fraction" => (true, vec![&SOLUTE_DENSITY]),
            "molality" => (false, vec![&MOLAR_MASS]),
            "amount_fraction" => (false, vec![&MOLAR_MASS, &SOLVENT_MOLAR_MASS]),
            _ => (false, vec![]),
        };
        Side { by_volume, way }
    }
}
