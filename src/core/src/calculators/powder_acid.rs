//! # What it computes
//! The acid that a stock brings into an ink against the surface sites of its powder; the pH that the acid would give
//! without powder beside the one measured; and how far that pH is from the powder's isoelectric point.
//!
//! # Formulas
//! n_a = c_a·V_a; n_s = m·S·Nₛ/N_A; s = n_a/n_s; c₀ = n_a/V; n_f = V·([H⁺] + c₀·(1 − α)); t = (n_a − n_f)/n_a; Δ = pH − pI.
//!
//! # Symbols and units
//! c_a, V_a concentration and volume of the acid stock (mol/m³, m³); n_a amount of acid (mol); m mass of powder (kg); S
//! specific surface (m²/kg); Nₛ surface sites per area (1/m²); N_A Avogadro constant (1/mol); n_s amount of sites (mol); s
//! acid per site (1); V volume of the liquid (m³); c₀ concentration of the acid without powder (mol/m³); [H⁺] from the
//! measured pH (mol/m³); α share of the acid that is ions at that pH, 1 of a strong one; n_f acid left in the liquid (mol); t share of the acid that the powder took up (1); pI isoelectric
//! point; Δ distance from it.
//!
//! # Valid range
//! All quantities above zero. The pH without powder is that of a monoprotic acid in water at 25 °C, with Davies
//! coefficients: up to about 0.5 mol/L.
//!
//! # Assumptions
//! A site takes up one proton at most, and how many do depends on the pH: the acid per site is an upper limit of the share
//! that is protonated. What the measured pH does not account for was taken up by the powder; a powder that brings acid of
//! its own lowers that share, below 0 where it brings enough, and one that brings base raises it, to 1 at most. The anion of
//! a weak acid stays in the liquid. The liquid is mostly water: in other solvents a pH is a number of
//! the electrode only.
//!
//! # Sources
//! Conservation of the acid, geometry. Isoelectric points and site densities of several per nm²: from memory.
//!
//! # Worked example
//! 1 mL of 0.1 mmol/L brings 0.1 µmol; 1 g of 50 m²/g with 5 sites per nm² has 415 µmol: 0.024 % (computed).

use super::acidity::power_of_ten;
use super::*;
use crate::chemistry::acids::{
    BALANCE, DAVIES_LIMIT, DAVIES_SOURCE, Ions, STANDARD, Strength, WATER_PK, WATER_SOURCE, Water,
};
use crate::chemistry::constants::AVOGADRO;
use crate::chemistry::isoelectric::{self, isoelectric_point};
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("share", "acid per surface site"),
        option("acid", "acid stock for a share of the sites"),
    ],
);
static ACID_KIND: Field = choice(
    "acid_kind",
    "Kind of acid",
    &[
        option("strong", "strong, as nitric or hydrochloric acid"),
        option("weak", "weak, as acetic or citric acid"),
    ],
);
static PKA: Field = quantity("pka", "pKa of the acid", Kind::Ph)
    .symbol("pKₐ")
    .help("Of the first proton. Acetic acid: 4.76 at 25 °C (from memory).")
    .within(-5.0, 20.0);
static ACID: Field = quantity(
    "acid",
    "Concentration of the acid stock",
    Kind::AmountConcentration,
)
.symbol("c_a")
.units(&["mmol/L", "mol/L", "umol/L"])
.positive();
static ACID_VOLUME: Field = quantity("acid_volume", "Volume of acid stock", Kind::Volume)
    .symbol("V_a")
    .units(&["mL", "uL"])
    .positive()
    .measured();
static ACTUAL_ACID_VOLUME: Field = quantity(
    "actual_acid_volume",
    "Acid stock actually added",
    Kind::Volume,
)
.symbol("V_a′")
.units(&["mL", "uL"])
.positive()
.optional()
.measured();
static WANTED: Field = quantity("wanted", "Wanted acid per site", Kind::Ratio)
    .symbol("s*")
    .units(&["%", "1"])
    .positive();
static POWDER: Field = quantity("powder", "Mass of powder", Kind::Mass)
    .symbol("m")
    .units(&["g", "mg"])
    .positive()
    .measured();
static SPECIFIC_SURFACE: Field = quantity(
    "specific_surface",
    "Specific surface",
    Kind::SpecificSurface,
)
.symbol("S")
.units(&["m2/g"])
.positive();
static SITES: Field = quantity("sites", "Surface sites per area", Kind::PerArea)
    .symbol("Nₛ")
    .help("Of hydroxyl groups that can take up a proton; oxides have a few per nm² (from memory).")
    .units(&["nm-2"])
    .positive();
static LIQUID: Field = quantity("liquid", "Volume of the liquid", Kind::Volume)
    .symbol("V")
    .help("Of the ink without its powder, the acid stock included.")
    .units(&["mL", "L"])
    .positive();
static MEASURED_PH: Field = quantity("measured_ph", "Measured pH", Kind::Ph)
    .symbol("pH")
    .help("Of the finished dispersion: the powder decides it, not the stock.")
    .within(-2.0, 16.0)
    .optional()
    .measured();
static POINT_FROM: Field = choice(
    "point_from",
    "Isoelectric point",
    &[
        option("own", "of the powder itself"),
        option("titania", "titanium dioxide, usual value"),
        option("zinc_oxide", "zinc oxide, usual value"),
        option("tin_dioxide", "tin dioxide, usual value"),
        option("alumina", "aluminium oxide, usual value"),
    ],
);
static OWN_POINT: Field = quantity("own_point", "Isoelectric point of the powder", Kind::Ph)
    .symbol("pI′")
    .help("From its data sheet or a zeta potential titration.")
    .within(-2.0, 16.0)
    .optional();

static SHARE: Field = quantity("share", "Acid per surface site", Kind::Ratio)
    .symbol("s")
    .help("The share of the sites that could be protonated, at the most.")
    .units(&["%"]);
static SITE_AMOUNT: Field = quantity("site_amount", "Surface sites of the powder", Kind::Amount)
    .symbol("n_s")
    .units(&["umol", "mmol"]);
static ACID_AMOUNT: Field = quantity("acid_amount", "Acid brought", Kind::Amount)
    .symbol("n_a")
    .units(&["umol", "mmol", "nmol"]);
static UNTOUCHED: Field = quantity(
    "untouched",
    "Acid in the liquid without powder",
    Kind::AmountConcentration,
)
.symbol("c₀")
.units(&["mmol/L", "umol/L", "mol/L"]);
static UNTOUCHED_PH: Field = quantity("untouched_ph", "pH without powder", Kind::Ph).symbol("pH₀");
static FREE: Field = quantity("free", "Acid left in the liquid", Kind::Amount)
    .symbol("n_f")
    .help("As H⁺ and, of a weak acid, as what keeps its proton.")
    .units(&["umol", "nmol", "mmol"]);
static TAKEN_UP: Field = quantity("taken_up", "Share of the acid taken up", Kind::Ratio)
    .symbol("t")
    .units(&["%"]);
static POINT: Field = quantity("point", "Isoelectric point used", Kind::Ph).symbol("pI");
static DISTANCE: Field = quantity("distance", "pH above the isoelectric point", Kind::Ph)
    .symbol("Δ")
    .help("Below it, negative. From the measured pH only.");

const GEOMETRY: Source = derived("conservation of the acid, geometry");
const PYTHON: Source = computed("n = c·V and m·S·N/N_A, Python 3.11; the scenario is invented");
/// Nearer than this to the isoelectric point a dispersion is at risk.
const NEAR: f64 = 1.0;
/// Further than this, charge helps to keep particles apart.
const FAR: f64 = 2.0;
/// 0.02 of a pH, as far as electrodes agree, is this share of [H⁺].
const NOTICED: f64 = 0.05;

/// Acid against the surface sites of a powder.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "powder_acid",
    version: 1,
    stage: Stage::Stocks,
    title: "Acid and powder",
    purpose: "Whether the acid in an ink can protonate the powder's surface, and how far its pH is from the isoelectric \
              point.",
    inputs: &[
        show(&FIND),
        show(&ACID_KIND),
        show(&PKA).when(&ACID_KIND, &["weak"]),
        show(&ACID),
        show(&ACID_VOLUME).when(&FIND, &["share"]),
        show(&WANTED).when(&FIND, &["acid"]),
        show(&ACTUAL_ACID_VOLUME).when(&FIND, &["acid"]),
        show(&POWDER),
        show(&SPECIFIC_SURFACE),
        show(&SITES),
        show(&LIQUID),
        show(&MEASURED_PH),
        show(&POINT_FROM),
        show(&OWN_POINT).when(&POINT_FROM, &["own"]),
    ],
    outputs: &[
        show(&ACID_VOLUME).when(&FIND, &["acid"]),
        show(&SHARE),
        show(&SITE_AMOUNT),
        show(&ACID_AMOUNT),
        show(&UNTOUCHED),
        show(&UNTOUCHED_PH),
        show(&FREE),
        show(&TAKEN_UP),
        show(&POINT),
        show(&DISTANCE),
    ],
    working: &[
        formula("site_amount = powder * specific_surface * sites / N_A"),
        formula("acid_volume = wanted * site_amount / acid").when(&FIND, &["acid"]),
        formula("acid_amount = acid * actual_acid_volume").when(&FIND, &["acid"]),
        formula("acid_amount = acid * acid_volume").without(&ACTUAL_ACID_VOLUME),
        formula("share = acid_amount / site_amount"),
        formula("untouched = acid_amount / liquid"),
        method(
            "The pH without powder is that of a strong acid of this concentration in water at 25 °C (pK_w = 14.00), \
             with Davies coefficients.",
        )
        .gives(&[&UNTOUCHED_PH])
        .when(&ACID_KIND, &["strong"]),
        method(
            "The pH without powder is that of a weak acid of this concentration and pKₐ in water at 25 °C \
             (pK_w = 14.00), with Davies coefficients: the same balance as on the card “pH”.",
        )
        .gives(&[&UNTOUCHED_PH])
        .when(&ACID_KIND, &["weak"]),
        method("The acid left is the volume of the liquid times [H⁺], the activity 10^(−pH) over its Davies coefficient.")
            .gives(&[&FREE])
            .when(&ACID_KIND, &["strong"]),
        method(
            "The acid left is the volume of the liquid times the sum of [H⁺], the activity 10^(−pH) over its Davies \
             coefficient, and of the acid that keeps its proton at that pH.",
        )
        .gives(&[&FREE])
        .when(&ACID_KIND, &["weak"]),
        formula("taken_up = (acid_amount - free) / acid_amount"),
        formula("point = own_point").when(&POINT_FROM, &["own"]),
        method("The isoelectric point is the usual value of the oxide, from memory.")
            .gives(&[&POINT])
            .when(&POINT_FROM, FROM_TABLE),
        formula("distance = measured_ph - point"),
    ],
    sources: &[GEOMETRY, BALANCE, DAVIES_SOURCE, WATER_SOURCE, isoelectric::SOURCE, isoelectric::LASTS_SOURCE],
    hazards: &[hazards::ACIDS_AND_BASES, hazards::NANOPOWDERS],
    formula: both::<PowderAcid>(),
};

const FROM_TABLE: &[&str] = &["titania", "zinc_oxide", "tin_dioxide", "alumina"];

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "1 mL of 0.1 mmol/L against 1 g of powder",
        // 0.1 µmol; 50 m² · 5e18/m² / 6.02214076e23/mol = 415.1 µmol.
        inputs: &[
            ("acid", "0.1 mmol/L"),
            ("acid_volume", "1 mL"),
            ("powder", "1 g"),
            ("specific_surface", "50 m2/g"),
            ("sites", "5 nm-2"),
            ("liquid", "10 mL"),
            ("measured_ph", "4.5"),
            ("point_from", "titania"),
        ],
        expected: &[
            expect("acid_amount", "0.1 umol", 1e-12),
            expect("site_amount", "415.13476679346167 umol", 1e-9),
            expect("share", "0.024088563039999997 %", 1e-12),
            expect("untouched", "10 umol/L", 1e-9),
            expect("distance", "-1.5", 1e-12),
        ],
        source: PYTHON,
    },
    Case {
        title: "acid for a tenth of the sites",
        inputs: &[
            ("find", "acid"),
            ("acid", "1 mol/L"),
            ("wanted", "10 %"),
            ("powder", "2 g"),
            ("specific_surface", "60.2214076 m2/g"),
            ("sites", "5 nm-2"),
            ("liquid", "20 mL"),
            ("point_from", "own"),
            ("own_point", "6.2"),
        ],
        expected: &[
            expect("site_amount", "1000 umol", 1e-9),
            expect("acid_volume", "0.1 mL", 1e-12),
            expect("untouched", "5 mmol/L", 1e-9),
            expect("point", "6.2", 1e-12),
        ],
        source: PYTHON,
    },
    Case {
        title: "the acid actually added counts",
        inputs: &[
            ("find", "acid"),
            ("acid", "1 mol/L"),
            ("wanted", "10 %"),
            ("actual_acid_volume", "0.12 mL"),
            ("powder", "2 g"),
            ("specific_surface", "60.2214076 m2/g"),
            ("sites", "5 nm-2"),
            ("liquid", "20 mL"),
        ],
        expected: &[
            expect("acid_amount", "120 umol", 1e-9),
            expect("share", "12 %", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "a strong acid of 10 mmol/L without powder, and all of it still free",
        inputs: &[
            ("acid", "0.1 mol/L"),
            ("acid_volume", "1 mL"),
            ("powder", "1 g"),
            ("specific_surface", "50 m2/g"),
            ("sites", "5 nm-2"),
            ("liquid", "10 mL"),
            ("measured_ph", "2.044745727221757"),
            ("point_from", "zinc_oxide"),
        ],
        expected: &[
            expect("untouched_ph", "2.044745727221757", 1e-6),
            expect("free", "100.0000000122883 umol", 1e-6),
            expect("taken_up", "0 %", 1e-6),
        ],
        source: computed("balance of charges with Davies coefficients, mpmath, 40 digits"),
    },
    Case {
        title: "acetic acid of 10 mmol/L without powder, and most of it taken up",
        inputs: &[
            ("acid_kind", "weak"),
            ("pka", "4.76"),
            ("acid", "0.1 mol/L"),
            ("acid_volume", "1 mL"),
            ("powder", "1 g"),
            ("specific_surface", "50 m2/g"),
            ("sites", "5 nm-2"),
            ("liquid", "10 mL"),
            ("measured_ph", "5.5"),
            ("point_from", "titania"),
        ],
        expected: &[
            expect("untouched_ph", "3.389265127949857", 1e-9),
            expect("free", "15.400085767984292 umol", 1e-9),
            expect("taken_up", "84.59991423201572 %", 1e-9),
        ],
        source: computed("balance of charges with Davies coefficients, bisection, Python 3.11"),
    },
];

struct PowderAcid;

impl Formula for PowderAcid {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let acid = given[&ACID];
        let sites = given[&POWDER] * given[&SPECIFIC_SURFACE] * given[&SITES] / AVOGADRO;
        let mut found = Found::new();
        let planned = (given.choice(&FIND) == "acid").then(|| given[&WANTED] * sites / acid);
        found.set_some(&ACID_VOLUME, planned);
        let volume = given
            .get(&ACTUAL_ACID_VOLUME)
            .or(planned)
            .unwrap_or(given[&ACID_VOLUME]);
        let brought = acid * volume;
        let liquid = given[&LIQUID];
        part_of_liquid(volume.value(), liquid.value())?;
        found.set(&SHARE, brought / sites);
        found.set(&SITE_AMOUNT, sites);
        found.set(&ACID_AMOUNT, brought);
        found.set(&UNTOUCHED, brought / liquid);

        let ions = untouched(given, brought / liquid)?;
        found.set(&UNTOUCHED_PH, -(ions.coefficient * ions.own).log10());

        let measured = given.get(&MEASURED_PH);
        if let Some(ph) = measured {
            let ions = water()
                .ions_at(power_of_ten(-ph))
                .map_err(|error| too_much_acid(&error))?;
            let whole = -ions.dissociated(strength(given)) + 1.0;
            let free = liquid * ions.own * STANDARD + brought * whole;
            found.set(&FREE, free);
            found.set(&TAKEN_UP, (brought - free) / brought);
        }
        let point = match isoelectric_point(given.choice(&POINT_FROM)) {
            Some(usual) => Some(S::constant(usual.ph)),
            None => given.get(&OWN_POINT),
        };
        found.set_some(&POINT, point);
        found.set_some(&DISTANCE, measured.zip(point).map(|(ph, point)| ph - point));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            solution::against_plan(&ACID_VOLUME, &ACTUAL_ACID_VOLUME, given, found),
            enough(found),
            ph_beside(given, found),
            davies(given, found),
            more_than_brought(found),
            isoelectric_distance(given, found),
            usual_point(given),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn water<S: Scalar>() -> Water<S> {
    Water {
        product: S::constant(libm::exp(-WATER_PK * core::f64::consts::LN_10)),
        salts: S::constant(0.0),
        davies: true,
    }
}

fn strength<S: Scalar>(given: &Given<'_, S>) -> Strength<S> {
    match given.choice(&ACID_KIND) {
        "weak" => Strength::Weak(power_of_ten(-given[&PKA])),
        _ => Strength::Strong,
    }
}

/// The ions in the liquid without powder.
fn untouched<S: Scalar>(given: &Given<'_, S>, acid: S) -> Result<Ions<S>, Problem> {
    water()
        .ions_of(acid / STANDARD, strength(given))
        .map_err(|error| too_much_acid(&error))
}

/// The stock is part of the liquid.
fn part_of_liquid(stock: f64, liquid: f64) -> Result<(), Problem> {
    if stock <= liquid * (1.0 + 1e-9) {
        return Ok(());
    }
    Err(Problem::at(
        &LIQUID,
        "stock_above_liquid",
        format!(
            "The acid stock ({}) is more than the liquid that it is part of ({}).",
            ACID_VOLUME.say(stock),
            LIQUID.say(liquid)
        ),
        "Enter the volume of the whole liquid, the acid stock included, or take a stronger stock.",
    ))
}

fn too_much_acid(error: &crate::numerics::root::RootError) -> Problem {
    Problem::at(
        &ACID,
        "beyond_davies",
        format!(
            "{error} Activity coefficients are known here up to about {DAVIES_LIMIT} mol/L of acid in the liquid."
        ),
        "Look again at the concentration of the stock, the volumes and the pH.",
    )
}

/// Whether the acid could protonate the surface at all.
fn enough(found: &Found<f64>) -> Option<Check> {
    let share = found.get(&SHARE)?;
    let (acid, sites) = (found.get(&ACID_AMOUNT)?, found.get(&SITE_AMOUNT)?);
    let enough = if share > 1.0 {
        "more than enough for all of them".into()
    } else {
        format!("enough for {} of them at the most", SHARE.say(share))
    };
    let words = format!(
        "{} of acid meet {} of surface sites: {enough}.",
        ACID_AMOUNT.say(acid),
        SITE_AMOUNT.say(sites),
    );
    Some(if share < 0.01 {
        let sentence = format!("{words} The powder decides the pH; measure it in the dispersion.");
        Check::note("acid_is_little", sentence, GEOMETRY)
    } else if share > 1.0 {
        let sentence = format!("{words} What is left over stays in the liquid.");
        Check::note("acid_is_more", sentence, GEOMETRY)
    } else {
        Check::in_range("acid_against_sites", words, GEOMETRY)
    })
}

/// The measured pH beside the one without powder.
fn ph_beside(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let untouched = found.get(&UNTOUCHED_PH)?;
    let alone = value_text(untouched, 3);
    let kind = given.choice(&ACID_KIND);
    Some(match given.get(&MEASURED_PH) {
        None => Check::note(
            "measure_ph",
            format!(
                "Without powder the liquid would be at pH {alone}, with a {kind} acid; the powder takes up acid. Enter the measured pH of \
                 the dispersion."
            ),
            practice("the pH of a dispersion is measured, not computed from the stock"),
        ),
        Some(measured) => Check::note(
            "ph_compared",
            format!(
                "Measured pH {}; without powder the liquid would be at {alone}, with a {kind} acid.",
                value_text(measured, 3)
            ),
            GEOMETRY,
        ),
    })
}

/// Whether the coefficients serve, without powder and at the measured pH.
fn davies(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let alone = untouched(given, found.get(&UNTOUCHED)?).ok()?.strength;
    let measured = given.get(&MEASURED_PH);
    let measured = measured.and_then(|ph| water().ions_at(power_of_ten(-ph)).ok());
    let strength = measured.map_or(alone, |ions| alone.max(ions.strength));
    Some(acidity::davies_serves(strength * STANDARD))
}

/// A pH that tells of more acid than the stock brought.
fn more_than_brought(found: &Found<f64>) -> Option<Check> {
    let (taken, free) = (found.get(&TAKEN_UP)?, found.get(&FREE)?);
    (taken < -NOTICED).then(|| {
        Check::note(
            "more_than_brought",
            format!(
                "The measured pH tells of {} of acid in the liquid, more than the stock brought ({}). Calibrate the \
                 electrode again, and look whether powder or another component brings acid.",
                FREE.say(free),
                ACID_AMOUNT.say(found.get(&ACID_AMOUNT).unwrap_or(0.0))
            ),
            GEOMETRY,
        )
    })
}

/// Whether the particles carry enough charge to keep apart.
fn isoelectric_distance(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (distance, point) = (found.get(&DISTANCE)?, found.get(&POINT)?);
    let dissolving = dissolves(given);
    if dissolving.is_some() {
        return dissolving;
    }
    let away = distance.abs();
    let place = format!(
        "pH {} is {} {} the isoelectric point {}",
        value_text(given.get(&MEASURED_PH)?, 3),
        value_text(away, 2),
        if distance < 0.0 { "below" } else { "above" },
        value_text(point, 3),
    );
    let rule = practice(
        "keep a dispersion held by charge about two units of pH from the isoelectric point",
    );
    Some(if away < NEAR {
        Check::warning(
            "near_isoelectric",
            format!(
                "{place}: the particles carry little charge and may clump. Move the pH away, or rely on a dispersant \
                 that holds by its chains."
            ),
            rule,
        )
    } else if away < FAR {
        let sentence = format!("{place}: the charge may be weak. Watch for settling.");
        Check::note("close_to_isoelectric", sentence, rule)
    } else {
        Check::in_range("far_from_isoelectric", format!("{place}."), rule)
    })
}

/// Whether the oxide dissolves at the measured pH: then its charge does not matter.
fn dissolves(given: &Given<'_, f64>) -> Option<Check> {
    let ph = given.get(&MEASURED_PH)?;
    let (from, to) = isoelectric_point(given.choice(&POINT_FROM))?.lasts?;
    (ph < from || ph > to).then(|| {
        Check::warning(
            "oxide_dissolves",
            format!(
                "This oxide dissolves below about pH {from} and above about pH {to}: at pH {} powder is lost, whatever \
                 its charge. Keep the pH in between.",
                value_text(ph, 3)
            ),
            isoelectric::LASTS_SOURCE,
        )
    })
}

/// What a usual value is worth.
fn usual_point(given: &Given<'_, f64>) -> Option<Check> {
    let usual = isoelectric_point(given.choice(&POINT_FROM))?;
    let (from, to) = usual.usual;
    Some(Check::note(
        "usual_point",
        format!(
            "Isoelectric points of this oxide are found from about {from} to {to}, and a dispersant moves them: enter that \
             of your powder where you have it."
        ),
        isoelectric::SOURCE,
    ))
}
