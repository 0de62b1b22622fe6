//! # What it computes
//! Why one cell or process is less efficient than another: the shares of current, voltage, fill factor and irradiance in
//! the ratio of the two efficiencies. With fitted parameters of both, the share of the fill factor split by series
//! resistance and shunt; with the currents expected from light harvesting, the share of the current split by it and the
//! rest.
//!
//! # Formulas
//! η = Jsc·Voc·FF/G; ln(η₁/η₂) = ln(Jsc₁/Jsc₂) + ln(Voc₁/Voc₂) + ln(FF₁/FF₂) + ln(G₂/G₁); share of the whole Δ/ln(η₁/η₂).
//! Of the fill factor: the gain of ln FF when the series resistance, the shunt or the rest of the model passes from the
//! second cell to the first, averaged over all six orders; what is left of the measured Δ_FF goes to diode and remainder.
//! Of the current: ln(J₁/J₂) of the expected currents, and what is left of Δ_J for injection and collection.
//!
//! # Symbols and units
//! Jsc, J short-circuit current density, measured and expected (A/m²); Voc (V); FF, η (1); G irradiance (W/m²); Δ natural
//! logarithms of ratios (1): positive where the second falls short. 0.10 is about 10 %.
//!
//! # Valid range
//! All above zero. Percentages of the whole are given where the whole is 0.05 or more.
//!
//! # Assumptions
//! Logarithms make the shares add up without a remainder, whatever the order. What both cells share (a reference cell, an
//! area) belongs on one card that both take it from: then it cancels.
//!
//! # Sources
//! The logarithm of a product. The average over orders: L. S. Shapley (1953), from memory.
//!
//! # Worked example
//! 17.73 mA/cm², 0.846 V, 0.75 at 100 mW/cm² beside 18.2 mA/cm², 0.72 V, 0.73 at 96 mW/cm²: ln(η₁/η₂) = 0.1213, of which
//! −0.0262 by current, 0.1613 by voltage, 0.0270 by fill factor and −0.0408 by light.

use super::loss_analysis::{
    Parameters, ideality, photocurrent, saturation, series, shunt, temperature,
};
use super::*;
use crate::numerics::single_diode::SingleDiode;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;
use crate::uncertainty::Estimate;

static FIRST_NAME: Field = text("first_name", "First, the one to reach")
    .optional()
    .measured();
static SECOND_NAME: Field = text("second_name", "Second, the one that falls short")
    .optional()
    .measured();
static FIRST_CURRENT: Field = current("first_jsc", "First: Jsc").symbol("Jsc₁").measured();
static FIRST_VOLTAGE: Field = voltage("first_voc", "First: Voc").symbol("Voc₁");
static FIRST_FILL: Field = fill("first_ff", "First: fill factor").symbol("FF₁");
static FIRST_LIGHT: Field = light("first_irradiance", "First: irradiance").symbol("G₁");
static SECOND_CURRENT: Field = current("second_jsc", "Second: Jsc")
    .symbol("Jsc₂")
    .measured();
static SECOND_VOLTAGE: Field = voltage("second_voc", "Second: Voc").symbol("Voc₂");
static SECOND_FILL: Field = fill("second_ff", "Second: fill factor").symbol("FF₂");
static SECOND_LIGHT: Field = light("second_irradiance", "Second: irradiance").symbol("G₂");
static CURRENT_BY: Field = choice(
    "current_by",
    "Share of the current",
    &[
        option("whole", "as a whole"),
        option("harvest", "split by light harvesting"),
    ],
);
static FIRST_EXPECTED: Field = current("first_expected", "First: expected Jsc")
    .symbol("J₁")
    .help(EXPECTED);
static SECOND_EXPECTED: Field = current("second_expected", "Second: expected Jsc")
    .symbol("J₂")
    .help(EXPECTED);
static FILL_BY: Field = choice(
    "fill_by",
    "Share of the fill factor",
    &[
        option("whole", "as a whole"),
        option("fits", "split by fitted resistances"),
    ],
);
static FIRST: Parameters = Parameters {
    photocurrent: &FIRST_PHOTOCURRENT,
    saturation: &FIRST_SATURATION,
    ideality: &FIRST_IDEALITY,
    temperature: &FIRST_TEMPERATURE,
    series: &FIRST_SERIES,
    shunt: &FIRST_SHUNT,
};
static FIRST_PHOTOCURRENT: Field =
    photocurrent("first_photocurrent", "First: photocurrent density").symbol("J_ph₁");
static FIRST_SATURATION: Field =
    saturation("first_saturation", "First: saturation current density").symbol("J₀₁");
static FIRST_IDEALITY: Field = ideality("first_ideality", "First: ideality factor").symbol("n₁");
static FIRST_TEMPERATURE: Field =
    temperature("first_temperature", "First: temperature").symbol("T₁");
static FIRST_SERIES: Field = series("first_series", "First: series resistance").symbol("Rs₁");
static FIRST_SHUNT: Field = shunt("first_shunt", "First: shunt resistance").symbol("Rsh₁");
static SECOND: Parameters = Parameters {
    photocurrent: &SECOND_PHOTOCURRENT,
    saturation: &SECOND_SATURATION,
    ideality: &SECOND_IDEALITY,
    temperature: &SECOND_TEMPERATURE,
    series: &SECOND_SERIES,
    shunt: &SECOND_SHUNT,
};
static SECOND_PHOTOCURRENT: Field =
    photocurrent("second_photocurrent", "Second: photocurrent density").symbol("J_ph₂");
static SECOND_SATURATION: Field =
    saturation("second_saturation", "Second: saturation current density").symbol("J₀₂");
static SECOND_IDEALITY: Field = ideality("second_ideality", "Second: ideality factor").symbol("n₂");
static SECOND_TEMPERATURE: Field =
    temperature("second_temperature", "Second: temperature").symbol("T₂");
static SECOND_SERIES: Field = series("second_series", "Second: series resistance").symbol("Rs₂");
static SECOND_SHUNT: Field = shunt("second_shunt", "Second: shunt resistance").symbol("Rsh₂");

static TOTAL: Field = logarithm("total", "Shortfall, ln(η₁/η₂)")
    .symbol("Δ")
    .help("0.10 is about 10 %; negative where the second is ahead.");
static FALLS_SHORT: Field = percent("falls_short", "Second falls short by").symbol("s");
static CURRENT: Field = logarithm("current", "By current")
    .symbol("Δ_J")
    .drawn(Drawn::Bar);
static VOLTAGE: Field = logarithm("voltage", "By voltage")
    .symbol("Δ_V")
    .drawn(Drawn::Bar);
static FILL: Field = logarithm("fill", "By fill factor")
    .symbol("Δ_FF")
    .drawn(Drawn::Bar);
static LIGHT: Field = logarithm("light", "By irradiance")
    .symbol("Δ_G")
    .help("More light on the second lowers its efficiency at the same power.")
    .drawn(Drawn::Bar);
static CURRENT_SHARE: Field = percent("current_share", "Current, of the whole").symbol("p_J");
static VOLTAGE_SHARE: Field = percent("voltage_share", "Voltage, of the whole").symbol("p_V");
static FILL_SHARE: Field = percent("fill_share", "Fill factor, of the whole").symbol("p_FF");
static LIGHT_SHARE: Field = percent("light_share", "Irradiance, of the whole").symbol("p_G");
static HARVEST: Field = logarithm("harvest", "Current: light harvesting")
    .symbol("Δ_LH")
    .drawn(Drawn::Bar);
static COLLECTION: Field = logarithm("collection", "Current: injection, collection")
    .symbol("Δ_IC")
    .help("What light harvesting leaves of the current.")
    .drawn(Drawn::Bar);
static FILL_SERIES: Field = logarithm("fill_series", "Fill factor: series resistance")
    .symbol("Δ_s")
    .drawn(Drawn::Bar);
static FILL_SHUNT: Field = logarithm("fill_shunt", "Fill factor: shunt")
    .symbol("Δ_p")
    .drawn(Drawn::Bar);
static FILL_REST: Field = logarithm("fill_rest", "Fill factor: diode and remainder")
    .symbol("Δ_d")
    .help("Ideality and voltage, and what the fits do not reproduce.")
    .drawn(Drawn::Bar);
static FIRST_EFFICIENCY: Field = percent("first_efficiency", "First: efficiency").symbol("η₁");
static SECOND_EFFICIENCY: Field = percent("second_efficiency", "Second: efficiency").symbol("η₂");

/// Percentages of a whole nearer to zero than this would say nothing.
const LEAST_WHOLE: f64 = 0.05;

const EXPECTED: &str = "From thickness and dye uptake; only the ratio of the two counts.";

const fn current(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::CurrentDensity)
        .units(&["mA/cm2", "A/m2"])
        .positive()
}

const fn voltage(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Voltage)
        .units(&["V", "mV"])
        .positive()
        .measured()
}

const fn fill(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio)
        .units(&["1", "%"])
        .range(Range::FRACTION)
        .measured()
}

const fn light(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Irradiance)
        .units(&["mW/cm2", "W/m2"])
        .positive()
        .initially("100")
}

const fn logarithm(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio).units(&["1"])
}

const fn percent(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio).units(&["%"])
}

const PRODUCT: Source = derived("the logarithm of a product is the sum of the logarithms");

/// Shares of the shortfall of one cell against another.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "shortfall",
    version: 1,
    stage: Stage::Comparing,
    title: "Shares of the shortfall",
    purpose: "How much current, voltage and fill factor have to do with one cell being less efficient than another.",
    inputs: &[
        show(&FIRST_NAME),
        show(&FIRST_CURRENT),
        show(&FIRST_VOLTAGE),
        show(&FIRST_FILL),
        show(&FIRST_LIGHT),
        show(&SECOND_NAME),
        show(&SECOND_CURRENT),
        show(&SECOND_VOLTAGE),
        show(&SECOND_FILL),
        show(&SECOND_LIGHT),
        show(&CURRENT_BY),
        show(&FIRST_EXPECTED).when(&CURRENT_BY, &["harvest"]),
        show(&SECOND_EXPECTED).when(&CURRENT_BY, &["harvest"]),
        show(&FILL_BY),
        show(&FIRST_PHOTOCURRENT).when(&FILL_BY, &["fits"]),
        show(&FIRST_SATURATION).when(&FILL_BY, &["fits"]),
        show(&FIRST_IDEALITY).when(&FILL_BY, &["fits"]),
        show(&FIRST_TEMPERATURE).when(&FILL_BY, &["fits"]),
        show(&FIRST_SERIES).when(&FILL_BY, &["fits"]),
        show(&FIRST_SHUNT).when(&FILL_BY, &["fits"]),
        show(&SECOND_PHOTOCURRENT).when(&FILL_BY, &["fits"]),
        show(&SECOND_SATURATION).when(&FILL_BY, &["fits"]),
        show(&SECOND_IDEALITY).when(&FILL_BY, &["fits"]),
        show(&SECOND_TEMPERATURE).when(&FILL_BY, &["fits"]),
        show(&SECOND_SERIES).when(&FILL_BY, &["fits"]),
        show(&SECOND_SHUNT).when(&FILL_BY, &["fits"]),
    ],
    outputs: &[
        show(&TOTAL),
        show(&FALLS_SHORT),
        show(&CURRENT),
        show(&HARVEST).when(&CURRENT_BY, &["harvest"]),
        show(&COLLECTION).when(&CURRENT_BY, &["harvest"]),
        show(&VOLTAGE),
        show(&FILL),
        show(&FILL_SERIES).when(&FILL_BY, &["fits"]),
        show(&FILL_SHUNT).when(&FILL_BY, &["fits"]),
        show(&FILL_REST).when(&FILL_BY, &["fits"]),
        show(&LIGHT),
        show(&CURRENT_SHARE),
        show(&VOLTAGE_SHARE),
        show(&FILL_SHARE),
        show(&LIGHT_SHARE),
        show(&FIRST_EFFICIENCY),
        show(&SECOND_EFFICIENCY),
    ],
    working: &[
        formula("first_efficiency = first_jsc * first_voc * first_ff / first_irradiance"),
        formula("second_efficiency = second_jsc * second_voc * second_ff / second_irradiance"),
        formula("current = ln(first_jsc / second_jsc)"),
        formula("voltage = ln(first_voc / second_voc)"),
        formula("fill = ln(first_ff / second_ff)"),
        formula("light = ln(second_irradiance / first_irradiance)"),
        formula("total = current + voltage + fill + light"),
        formula("falls_short = 1 - second_efficiency / first_efficiency"),
        formula("current_share = current / total"),
        formula("voltage_share = voltage / total"),
        formula("fill_share = fill / total"),
        formula("light_share = light / total"),
        formula("harvest = ln(first_expected / second_expected)").when(&CURRENT_BY, &["harvest"]),
        formula("collection = current - harvest").when(&CURRENT_BY, &["harvest"]),
        method(
            "Fill factors of the single-diode model with series resistance, shunt and the rest (photocurrent, saturation \
             current, ideality, temperature) each from the first or the second cell, eight in all. The share of a part is \
             what ln FF gains when the part passes from the second cell to the first, averaged over all orders in which \
             the three may do so.",
        )
        .gives(&[&FILL_SERIES, &FILL_SHUNT])
        .when(&FILL_BY, &["fits"]),
        formula("fill_rest = fill - fill_series - fill_shunt").when(&FILL_BY, &["fits"]),
    ],
    sources: &[
        PRODUCT,
        memory("L. S. Shapley, A value for n-person games (1953): the average over all orders"),
    ],
    hazards: &[hazards::LAMP, hazards::LEAKING_CELL],
    formula: both::<Shortfall>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "two published ruthenium dyes",
        inputs: &[
            ("first_name", "N719"),
            ("first_jsc", "17.73 mA/cm2"),
            ("first_voc", "0.846 V"),
            ("first_ff", "0.75"),
            ("second_name", "N3"),
            ("second_jsc", "18.2 mA/cm2"),
            ("second_voc", "0.72 V"),
            ("second_ff", "0.73"),
            ("second_irradiance", "96 mW/cm2"),
        ],
        expected: &[
            expect("first_efficiency", "11.2497 %", 5e-5),
            expect("second_efficiency", "9.9645 %", 5e-5),
            expect("current", "-0.02616347399663305", 1e-14),
            expect("voltage", "0.16126814759612232", 1e-14),
            expect("fill", "0.02702867238791942", 1e-14),
            expect("light", "-0.040821994520255166", 1e-14),
            expect("total", "0.12131135146715344", 1e-14),
            expect("voltage_share", "132.9374 %", 1e-3),
        ],
        source: computed(
            "logarithms with Python 3.11; rows of J. Am. Chem. Soc. 127 (2005) 16835 and 115 (1993) 6382 from memory",
        ),
    },
    Case {
        title: "an organic dye beside a ruthenium dye",
        inputs: &[
            ("first_jsc", "18.27 mA/cm2"),
            ("first_voc", "1.014 V"),
            ("first_ff", "0.771"),
            ("second_jsc", "17.73 mA/cm2"),
            ("second_voc", "0.846 V"),
            ("second_ff", "0.75"),
        ],
        expected: &[
            expect("current", "0.0300022503037987", 1e-14),
            expect("voltage", "0.18113882454490524", 1e-14),
            expect("fill", "0.02761516703297339", 1e-14),
            expect("light", "0", 0.0),
        ],
        source: computed(
            "logarithms with Python 3.11; rows of Chem. Commun. 51 (2015) 15894 and J. Am. Chem. Soc. 127 (2005) 16835 from \
             memory",
        ),
    },
    Case {
        title: "both branches of a slow cell, everything split",
        inputs: &[
            ("first_jsc", "17.971239 mA/cm2"),
            ("first_voc", "0.760296 V"),
            ("first_ff", "0.687143"),
            ("second_jsc", "17.693728 mA/cm2"),
            ("second_voc", "0.726318 V"),
            ("second_ff", "0.580937"),
            ("current_by", "harvest"),
            ("first_expected", "20 mA/cm2"),
            ("second_expected", "19.8 mA/cm2"),
            ("fill_by", "fits"),
            ("first_photocurrent", "18 mA/cm2"),
            ("first_saturation", "2e-9 A/cm2"),
            ("first_ideality", "1.85"),
            ("first_series", "4 Ohm.cm2"),
            ("first_shunt", "2500 Ohm.cm2"),
            ("second_photocurrent", "17.8 mA/cm2"),
            ("second_saturation", "4e-9 A/cm2"),
            ("second_ideality", "1.85"),
            ("second_series", "9 Ohm.cm2"),
            ("second_shunt", "1500 Ohm.cm2"),
        ],
        expected: &[
            expect("first_efficiency", "9.388754 %", 2e-5),
            expect("second_efficiency", "7.465772 %", 2e-5),
            expect("fill_series", "0.14649615644055638", 1e-13),
            expect("fill_shunt", "0.0061230559004397484", 1e-13),
            // The fits reproduce the fill factors, so that the rest is the diode's share in the model.
            expect("fill_rest", "0.015281891560287357", 2e-6),
            // ln(20/19.8)
            expect("harvest", "0.010050335853501441", 1e-14),
        ],
        source: computed(
            "single-diode model with mpmath 1.3.0, 60 digits, on an exact synthetic pair; expected currents invented",
        ),
    },
    Case {
        title: "an e-th of the current, all else alike",
        inputs: &[
            ("first_jsc", "2.718281828459045 mA/cm2"),
            ("first_voc", "0.7 V"),
            ("first_ff", "70 %"),
            ("second_jsc", "1 mA/cm2"),
            ("second_voc", "0.7 V"),
            ("second_ff", "70 %"),
        ],
        expected: &[
            expect("total", "1", 1e-14),
            expect("current_share", "100 %", 1e-12),
            expect("fill_share", "0 %", 0.0),
            // 1 − 1/e
            expect("falls_short", "63.21205588285577 %", 1e-12),
        ],
        source: PRODUCT,
    },
];

struct Shortfall;

impl Formula for Shortfall {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let ratio = |first, second| (given[first] / given[second]).ln();
        let current = ratio(&FIRST_CURRENT, &SECOND_CURRENT);
        let voltage = ratio(&FIRST_VOLTAGE, &SECOND_VOLTAGE);
        let fill = ratio(&FIRST_FILL, &SECOND_FILL);
        let light = ratio(&SECOND_LIGHT, &FIRST_LIGHT);
        let total = current + voltage + fill + light;
        let first = given[&FIRST_CURRENT] * given[&FIRST_VOLTAGE] * given[&FIRST_FILL]
            / given[&FIRST_LIGHT];
        let second = given[&SECOND_CURRENT] * given[&SECOND_VOLTAGE] * given[&SECOND_FILL]
            / given[&SECOND_LIGHT];

        let mut found = Found::new();
        found.set(&TOTAL, total);
        found.set(&FALLS_SHORT, -(second / first) + 1.0);
        found.set(&CURRENT, current);
        found.set(&VOLTAGE, voltage);
        found.set(&FILL, fill);
        found.set(&LIGHT, light);
        found.set(&FIRST_EFFICIENCY, first);
        found.set(&SECOND_EFFICIENCY, second);
        if *given.once(|| Ok(total.value().abs() >= LEAST_WHOLE))? {
            found.set(&CURRENT_SHARE, current / total);
            found.set(&VOLTAGE_SHARE, voltage / total);
            found.set(&FILL_SHARE, fill / total);
            found.set(&LIGHT_SHARE, light / total);
        }
        if given.choice(&CURRENT_BY) == "harvest" {
            let harvest = ratio(&FIRST_EXPECTED, &SECOND_EXPECTED);
            found.set(&HARVEST, harvest);
            found.set(&COLLECTION, current - harvest);
        }
        if given.choice(&FILL_BY) == "fits" {
            let [series, shunt] = of_resistances(given)?;
            found.set(&FILL_SERIES, series);
            found.set(&FILL_SHUNT, shunt);
            found.set(&FILL_REST, fill - series - shunt);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        if found.get(&TOTAL).is_some_and(|total| total.abs() < NOTHING) {
            checks.push(Check::note(
                "no_shortfall",
                "Both have the same efficiency: there is no shortfall to share out.",
                PRODUCT,
            ));
        }
        if given.choice(&FILL_BY) == "fits" {
            checks.extend(other_curve(given, "first", &FIRST, &FIRST_FILL));
            checks.extend(other_curve(given, "second", &SECOND, &SECOND_FILL));
        }
        checks
    }

    fn judge(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
        let Some(total) = estimate(&TOTAL) else {
            return Vec::new();
        };
        if total.value.abs() < total.expanded() {
            return vec![Check::note(
                "within_uncertainty",
                format!(
                    "The shortfall ({}) is less than its expanded uncertainty ({}, {} standard uncertainties): these numbers do \
                     not tell the two apart, and neither do its shares.",
                    value_text(total.value, 3),
                    value_text(total.expanded(), 2),
                    value_text(total.coverage_factor(), 3)
                ),
                practice("a difference counts from its expanded uncertainty for about 95 % on"),
            )];
        }
        if total.value.abs() < NOTHING {
            return Vec::new();
        }
        let value = |field: &Field| estimate(field).map(|estimate| estimate.value);
        let weighs = largest_term(given, total.value, &value);
        weighs.into_iter().collect()
    }
}

/// A shortfall below this is what rounding leaves of none.
const NOTHING: f64 = 1e-12;

/// What weighs most in a shortfall.
fn largest_term(
    given: &Given<'_, f64>,
    total: f64,
    value: &dyn Fn(&Field) -> Option<f64>,
) -> Option<Check> {
    let number = |field| value(field).unwrap_or(f64::NAN);
    let terms = [
        (&CURRENT, "current"),
        (&VOLTAGE, "voltage"),
        (&FILL, "fill factor"),
        (&LIGHT, "irradiance"),
    ];
    let terms = terms.map(|(field, word)| (number(field), word));
    // The whole lies in the direction of at least one term.
    let along = |term: f64| if total < 0.0 { -term } else { term };
    let (most, word) = terms
        .into_iter()
        .max_by(|(one, _), (other, _)| along(*one).total_cmp(&along(*other)))?;
    let against: Vec<&str> = terms
        .into_iter()
        .filter(|(term, _)| along(*term) < -0.1 * total.abs())
        .map(|(_, word)| word)
        .collect();
    let named = |field, otherwise: &str| match given.text(field).trim() {
        "" => otherwise.to_owned(),
        name => name.to_owned(),
    };
    let second = named(&SECOND_NAME, "The second");
    let first = named(&FIRST_NAME, "the first");
    let size = value_text(number(&FALLS_SHORT).abs() * 100.0, 3);
    let way = if total < 0.0 { "ahead of" } else { "behind" };
    let opposed = if against.is_empty() {
        String::new()
    } else {
        format!(" Against it: {}.", against.join(", "))
    };
    Some(Check::note(
        "largest_term",
        format!(
            "{second} is {size} % {way} {first}. What weighs most in it is the {word}: {} of {}.{opposed}",
            value_text(most, 3),
            value_text(total, 3)
        ),
        PRODUCT,
    ))
}

/// Says where a fit does not give the fill factor that was entered for its cell.
fn other_curve(
    given: &Given<'_, f64>,
    which: &str,
    fit: &Parameters,
    entered: &Field,
) -> Option<Check> {
    /// About 3 %, more than a good fit and a rounded fill factor differ by.
    const APART: f64 = 0.03;
    let entered = given.get(entered)?;
    let fitted = fit.cell(given).fill_factor().ok()?;
    (Scalar::ln(fitted / entered).abs() > APART).then(|| {
        Check::warning(
            "fit_of_another_curve",
            format!(
                "The fit of the {which} cell gives a fill factor of {}, entered is {}: the split by resistances is not that of \
                 this cell. Take fill factor and fit from the same sweep, and look at how well the fit follows it.",
                value_text(fitted, 3),
                value_text(entered, 3)
            ),
            practice("a fit reproduces the fill factor of its own curve to about 3 %"),
        )
    })
}

/// What ln FF of the model gains when the series resistance, and when the shunt, passes from the second cell to the first,
/// averaged over all orders in which both and the rest may do so.
fn of_resistances<S: Scalar>(given: &Given<'_, S>) -> Result<[S; 2], Problem> {
    const SERIES: usize = 1;
    const SHUNT: usize = 2;
    const REST: usize = 4;
    let (first, second) = (FIRST.cell(given), SECOND.cell(given));
    let mut logarithms = [S::constant(0.0); 8];
    for (set, logarithm) in logarithms.iter_mut().enumerate() {
        let from = |part| if set & part == 0 { &second } else { &first };
        let cell = SingleDiode {
            series: from(SERIES).series,
            shunt: from(SHUNT).shunt,
            ..*from(REST)
        };
        *logarithm = cell
            .fill_factor()
            .map_err(|error| SECOND.unfit(error))?
            .ln();
    }
    let gain = |part: usize| {
        let without = (0..8).filter(|set| set & part == 0);
        without.fold(S::constant(0.0), |sum, set| {
            // Of the six orders, two have neither of the others before the part, two both, and one each of them.
            let orders = if set.count_ones() == 1 { 1.0 } else { 2.0 };
            match (logarithms.get(set | part), logarithms.get(set)) {
                (Some(with), Some(without)) => sum + (*with - *without) * (orders / 6.0),
                _ => sum,
            }
        })
    };
    Ok([gain(SERIES), gain(SHUNT)])
}
