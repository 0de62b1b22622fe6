//! # What it computes
//! The stock to take for a treatment bath or precursor solution, or what was made from the portions used; and what a
//! volume of it brings onto an area (blocking layer, catalyst of a counter electrode), or the volume for a wanted loading.
//!
//! # Formulas
//! cₛ = wₛ·ρₛ/M; Vₛ = c*·V/cₛ; V_a = V − Vₛ; c = cₛ·V_s/V; n = c·V; Γ = c·V_d·k/A; m_A = Γ·M_p;
//! V_d = m_A*·A/(c·k·M_p); t = m_A/ρ_p.
//!
//! # Symbols and units
//! cₛ, wₛ, ρₛ concentration, mass fraction and density of the stock (mol/m³, 1, kg/m³); M, M_p molar mass of the precursor,
//! and of what it leaves for each amount of precursor (kg/mol); c*, c concentration wanted and made (mol/m³); V, Vₛ, V_a
//! volume of bath, stock and solvent (m³); n amount of precursor (mol); V_d volume dispensed (m³) on the area A (m²); k
//! share of it that stays there (1); Γ, m_A areal amount and mass (mol/m², kg/m²); t thickness without pores (m); ρ_p density
//! of what is left (kg/m³).
//!
//! # Valid range
//! All quantities above zero; fractions up to 1; the target is not above the stock.
//!
//! # Assumptions
//! The bath is filled up to its volume; the solvent to add is the difference only as far as volumes are additive. Nothing
//! is lost to hydrolysis or to the vessel before it is used. Firing leaves only what M_p names.
//!
//! # Sources
//! Conservation of the precursor, geometry.
//!
//! # Worked example
//! 250 mL of 40 mmol/L from a stock of 2 mol/L takes 5 mL (computed).

use super::solution::against_plan;
use super::stock::{
    CONCENTRATION as BY_CONCENTRATION, LABEL, MOLAR_MASS, STOCK, STOCK_AS, STOCK_CONCENTRATION,
    STOCK_DENSITY, STOCK_FRACTION,
};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("stock", "stock to take"),
        option("made", "what was made"),
    ],
);
static TARGET: Field = quantity("target", "Target concentration", Kind::AmountConcentration)
    .symbol("c*")
    .units(&["mmol/L", "mol/L"])
    .positive();
static VOLUME: Field = quantity("volume", "Volume of the bath", Kind::Volume)
    .symbol("V")
    .units(&["mL", "L", "uL"])
    .positive();
static STOCK_VOLUME: Field = quantity("stock_volume", "Volume of stock", Kind::Volume)
    .symbol("Vₛ")
    .units(&["mL", "uL", "L"])
    .positive()
    .measured();
static ACTUAL_STOCK_VOLUME: Field = quantity(
    "actual_stock_volume",
    "Stock actually measured",
    Kind::Volume,
)
.symbol("Vₛ′")
.units(&["mL", "uL", "L"])
.positive()
.optional()
.measured();
static SUBSTRATES: Field = count("substrates", "Substrates in the bath")
    .symbol("N")
    .optional()
    .measured();
static LOADING: Field = choice(
    "loading",
    "Loading of an area",
    &[
        option("none", "not needed"),
        option("dispensed", "of a volume dispensed"),
        option("target", "volume for a wanted loading"),
    ],
);
static AREA: Field = quantity("area", "Area", Kind::Area)
    .symbol("A")
    .units(&["cm2", "mm2"])
    .positive();
static DISPENSED: Field = quantity("dispensed", "Volume dispensed", Kind::Volume)
    .symbol("V_d")
    .units(&["uL", "mL"])
    .positive()
    .measured();
static TARGET_LOADING: Field = quantity("target_loading", "Wanted loading", Kind::ArealMass)
    .symbol("m_A*")
    .help("Of what is left after firing.")
    .units(&["ug/cm2", "mg/cm2"])
    .positive();
static ACTUAL_DISPENSED: Field = quantity(
    "actual_dispensed",
    "Volume actually dispensed",
    Kind::Volume,
)
.symbol("V_d′")
.units(&["uL", "mL"])
.positive()
.optional()
.measured();
static KEPT: Field = quantity("kept", "Share that stays on the area", Kind::Ratio)
    .symbol("k")
    .help("All of a drop left to dry; spin coating throws off most.")
    .units(&["%", "1"])
    .range(Range::FRACTION)
    .initially("100");
static PRODUCT_MOLAR_MASS: Field = quantity(
    "product_molar_mass",
    "Molar mass of what is left",
    Kind::MolarMass,
)
.symbol("M_p")
.help("Metal or oxide for each amount of precursor; twice that of the unit where a precursor leaves two.")
.units(&["g/mol"])
.positive();
static PRODUCT_DENSITY: Field =
    quantity("product_density", "Density of what is left", Kind::Density)
        .symbol("ρ_p")
        .help("For the thickness of a layer without pores.")
        .units(&["g/cm3"])
        .positive()
        .optional();

static STOCK_USED: Field = quantity("stock_used", "Volume of stock used", Kind::Volume)
    .symbol("V_su")
    .units(&["mL", "uL", "L"]);
static SOLVENT: Field = quantity("solvent", "Water or solvent to put in", Kind::Volume)
    .symbol("V_a")
    .help("First, before the stock; then fill up to the volume.")
    .units(&["mL", "L", "uL"]);
static CONCENTRATION: Field = quantity(
    "concentration",
    "Concentration made",
    Kind::AmountConcentration,
)
.symbol("c")
.units(&["mmol/L", "mol/L"]);
static AMOUNT: Field = quantity("amount", "Amount of precursor", Kind::Amount)
    .symbol("n")
    .units(&["mmol", "umol", "mol"]);
static PER_SUBSTRATE: Field = quantity("per_substrate", "Bath for each substrate", Kind::Volume)
    .symbol("V_N")
    .units(&["mL", "uL"]);
static DISPENSED_USED: Field = quantity("dispensed_used", "Volume on the area", Kind::Volume)
    .symbol("V_du")
    .units(&["uL", "mL"]);
static AREAL_AMOUNT: Field = quantity("areal_amount", "Areal amount", Kind::ArealAmount)
    .symbol("Γ")
    .units(&["nmol/cm2", "umol/cm2", "mol/cm2"]);
static AREAL_MASS: Field = quantity("areal_mass", "Loading", Kind::ArealMass)
    .symbol("m_A")
    .units(&["ug/cm2", "mg/cm2"]);
static LAYER: Field = quantity("layer", "Thickness without pores", Kind::Length)
    .symbol("t")
    .units(&["nm", "um"]);

const BALANCE: Source = derived("conservation of the precursor, geometry");
const PYTHON: Source =
    computed("conservation of the precursor, Python 3.11; the scenario is invented");
const LOADED: &[&str] = &["dispensed", "target"];

/// A treatment bath or precursor solution, and what it brings onto an area.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "treatment_bath",
    version: 1,
    stage: Stage::Stocks,
    title: "Treatment bath",
    purpose: "Stock for a treatment bath or a precursor solution, and what it leaves on an area.",
    inputs: &[
        show(&FIND),
        show(&STOCK_AS),
        show(&STOCK).when(&STOCK_AS, BY_CONCENTRATION),
        show(&STOCK_FRACTION).when(&STOCK_AS, LABEL),
        show(&STOCK_DENSITY).when(&STOCK_AS, LABEL),
        show(&MOLAR_MASS).when(&STOCK_AS, LABEL),
        show(&TARGET).when(&FIND, &["stock"]),
        show(&VOLUME),
        show(&STOCK_VOLUME).when(&FIND, &["made"]),
        show(&ACTUAL_STOCK_VOLUME).when(&FIND, &["stock"]),
        show(&SUBSTRATES),
        show(&LOADING),
        show(&AREA).when(&LOADING, LOADED),
        show(&DISPENSED).when(&LOADING, &["dispensed"]),
        show(&TARGET_LOADING).when(&LOADING, &["target"]),
        show(&ACTUAL_DISPENSED).when(&LOADING, &["target"]),
        show(&KEPT).when(&LOADING, LOADED),
        show(&PRODUCT_MOLAR_MASS).when(&LOADING, LOADED),
        show(&PRODUCT_DENSITY).when(&LOADING, LOADED),
    ],
    outputs: &[
        show(&STOCK_VOLUME).when(&FIND, &["stock"]),
        show(&CONCENTRATION),
        show(&SOLVENT),
        show(&STOCK_USED),
        show(&STOCK_CONCENTRATION).when(&STOCK_AS, LABEL),
        show(&AMOUNT),
        show(&PER_SUBSTRATE),
        show(&DISPENSED).when(&LOADING, &["target"]),
        show(&AREAL_MASS).when(&LOADING, LOADED),
        show(&AREAL_AMOUNT).when(&LOADING, LOADED),
        show(&LAYER).when(&LOADING, LOADED),
        show(&DISPENSED_USED).when(&LOADING, LOADED),
    ],
    working: &[
        formula("stock_concentration = stock_fraction * stock_density / molar_mass")
            .when(&STOCK_AS, LABEL),
        formula("stock_volume = target * volume / stock")
            .when(&FIND, &["stock"])
            .when(&STOCK_AS, BY_CONCENTRATION),
        formula("stock_volume = target * volume / stock_concentration")
            .when(&FIND, &["stock"])
            .when(&STOCK_AS, LABEL),
        method("What was measured counts where it is entered, otherwise the plan.")
            .when(&FIND, &["stock"]),
        formula("stock_used = actual_stock_volume").when(&FIND, &["stock"]),
        formula("stock_used = stock_volume").without(&ACTUAL_STOCK_VOLUME),
        formula("solvent = volume - stock_used"),
        formula("concentration = stock * stock_used / volume").when(&STOCK_AS, BY_CONCENTRATION),
        formula("concentration = stock_concentration * stock_used / volume").when(&STOCK_AS, LABEL),
        formula("amount = concentration * volume"),
        formula("per_substrate = volume / substrates"),
        formula("dispensed = target_loading * area / (concentration * kept * product_molar_mass)")
            .when(&LOADING, &["target"]),
        formula("dispensed_used = actual_dispensed").when(&LOADING, &["target"]),
        formula("dispensed_used = dispensed")
            .when(&LOADING, LOADED)
            .without(&ACTUAL_DISPENSED),
        formula("areal_amount = concentration * dispensed_used * kept / area")
            .when(&LOADING, LOADED),
        formula("areal_mass = areal_amount * product_molar_mass").when(&LOADING, LOADED),
        formula("layer = areal_mass / product_density").when(&LOADING, LOADED),
    ],
    sources: &[BALANCE],
    hazards: &[
        hazards::TITANIUM_TETRACHLORIDE,
        hazards::CHLOROPLATINIC_ACID,
        hazards::ACIDS_AND_BASES,
        hazards::SOLVENTS,
    ],
    formula: both::<TreatmentBath>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "40 mmol/L from a stock of 2 mol/L",
        inputs: &[
            ("stock", "2 mol/L"),
            ("target", "40 mmol/L"),
            ("volume", "250 mL"),
            ("substrates", "10"),
        ],
        expected: &[
            expect("stock_volume", "5 mL", 1e-9),
            expect("solvent", "245 mL", 1e-9),
            expect("amount", "10 mmol", 1e-9),
            expect("per_substrate", "25 mL", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "titanium tetrachloride as sold, 99 % of 1.73 g/mL, as it was measured",
        // 0.99 · 1.73 g/mL / 189.67 g/mol is 9.03 mol/L.
        inputs: &[
            ("stock_as", "label"),
            ("stock_fraction", "99 %"),
            ("stock_density", "1.73 g/mL"),
            ("molar_mass", "189.67 g/mol"),
            ("target", "40 mmol/L"),
            ("volume", "500 mL"),
            ("actual_stock_volume", "2.5 mL"),
        ],
        expected: &[
            expect("stock_concentration", "9.029894026467021 mol/L", 1e-9),
            expect("stock_volume", "2.214865417177556 mL", 1e-9),
            expect("concentration", "45.149470132335104 mmol/L", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "platinum from 10 µL of 5 mmol/L on a square centimetre",
        // 50 nmol/cm²; times 195.084 g/mol 9.7542 µg/cm²; over 21.45 g/cm³ 4.547 nm.
        inputs: &[
            ("stock", "50 mmol/L"),
            ("target", "5 mmol/L"),
            ("volume", "10 mL"),
            ("loading", "dispensed"),
            ("area", "1 cm2"),
            ("dispensed", "10 uL"),
            ("product_molar_mass", "195.084 g/mol"),
            ("product_density", "21.45 g/cm3"),
        ],
        expected: &[
            expect("stock_volume", "1 mL", 1e-9),
            expect("areal_amount", "50 nmol/cm2", 1e-9),
            expect("areal_mass", "9.7542 ug/cm2", 1e-9),
            expect("layer", "4.5474125874125874 nm", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "volume for a loading, the same turned round",
        inputs: &[
            ("find", "made"),
            ("stock", "50 mmol/L"),
            ("stock_volume", "1 mL"),
            ("volume", "10 mL"),
            ("loading", "target"),
            ("area", "1 cm2"),
            ("target_loading", "9.7542 ug/cm2"),
            ("kept", "50 %"),
            ("product_molar_mass", "195.084 g/mol"),
        ],
        expected: &[
            expect("concentration", "5 mmol/L", 1e-9),
            expect("dispensed", "20 uL", 1e-9),
            expect("areal_mass", "9.7542 ug/cm2", 1e-9),
        ],
        source: PYTHON,
    },
];

struct TreatmentBath;

impl Formula for TreatmentBath {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let stock = stock::concentration(given);
        found.set_some(&STOCK_CONCENTRATION, stock::by_label(given));
        let volume = given[&VOLUME];
        let planned = if given.choice(&FIND) == "stock" {
            let planned = given[&TARGET] * volume / stock;
            found.set(&STOCK_VOLUME, planned);
            planned
        } else {
            given[&STOCK_VOLUME]
        };
        let used = given.get(&ACTUAL_STOCK_VOLUME).unwrap_or(planned);
        if used.value() > volume.value() {
            return Err(too_strong(given, stock.value(), used.value()));
        }
        let concentration = stock * used / volume;
        found.set(&CONCENTRATION, concentration);
        found.set(&SOLVENT, volume - used);
        found.set(&STOCK_USED, used);
        found.set(&AMOUNT, concentration * volume);
        let substrates = given.get(&SUBSTRATES);
        found.set_some(&PER_SUBSTRATE, substrates.map(|number| volume / number));
        if given.choice(&LOADING) == "none" {
            return Ok(found);
        }

        let (area, kept, product) = (given[&AREA], given[&KEPT], given[&PRODUCT_MOLAR_MASS]);
        let planned = given.get(&DISPENSED).unwrap_or_else(|| {
            let planned = given[&TARGET_LOADING] * area / (concentration * kept * product);
            found.set(&DISPENSED, planned);
            planned
        });
        let dispensed = given.get(&ACTUAL_DISPENSED).unwrap_or(planned);
        let areal_amount = concentration * dispensed * kept / area;
        let areal_mass = areal_amount * product;
        found.set(&AREAL_MASS, areal_mass);
        found.set(&AREAL_AMOUNT, areal_amount);
        let density = given.get(&PRODUCT_DENSITY);
        found.set_some(&LAYER, density.map(|density| areal_mass / density));
        found.set(&DISPENSED_USED, dispensed);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            Some(stock_into_water()),
            against_plan(&STOCK_VOLUME, &ACTUAL_STOCK_VOLUME, given, found),
            against_plan(&DISPENSED, &ACTUAL_DISPENSED, given, found),
            more_than_bath(given, found),
            all_stays(given),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// Whether the bath holds what is to be dispensed on one substrate.
fn more_than_bath(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (dispensed, bath) = (found.get(&DISPENSED_USED)?, given[&VOLUME]);
    (dispensed > bath).then(|| {
        Check::warning(
            "dispensed_above_bath",
            format!(
                "{} are to be dispensed, more than the bath holds ({}). Prepare a larger or a stronger bath.",
                DISPENSED_USED.say(dispensed),
                VOLUME.say(bath)
            ),
            derived("conservation of the volume"),
        )
    })
}

/// The stock would be more than the bath: says it in the terms of what was entered.
fn too_strong<S: Scalar>(given: &Given<'_, S>, stock: f64, used: f64) -> Problem {
    let measured = given.get(&ACTUAL_STOCK_VOLUME).is_some();
    match given.get(&TARGET) {
        Some(target) if !measured => Problem::at(
            &TARGET,
            "target_above_stock",
            format!(
                "The target ({}) is above the stock ({}): dilution cannot strengthen a solution.",
                TARGET.say(target.value()),
                STOCK.say(stock)
            ),
            "Enter a lower target, or use a stronger stock.",
        ),
        _ => Problem::at(
            &VOLUME,
            "negative_solvent",
            format!(
                "The stock ({}) is more than the bath ({}): the solvent to add would be negative.",
                STOCK_VOLUME.say(used),
                VOLUME.say(given[&VOLUME].value())
            ),
            "Enter a larger bath, or less stock.",
        ),
    }
}

fn stock_into_water() -> Check {
    Check::note(
        "stock_into_water",
        "Put most of the water or solvent in first, chilled where the stock reacts with it, add the stock slowly, then \
         fill up. Use the bath fresh: precursors go on reacting.",
        practice("acid into water; precursor baths are made when they are needed"),
    )
}

/// Whether everything dispensed really stays.
fn all_stays(given: &Given<'_, f64>) -> Option<Check> {
    (given.get(&KEPT)? >= 1.0).then(|| {
        Check::note(
            "all_stays",
            "All that is dispensed is taken to stay on the area: so it is with a drop left to dry, not with spin coating \
             or a drop that runs over.",
            practice("spin coating throws off most of the solution"),
        )
    })
}
