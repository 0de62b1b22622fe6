//! # What it computes
//! Detergent, acid or base and water for a cleaning bath that fills a vessel at a wanted mass fraction, and the mass
//! fraction that the portions actually used give; how much of it stays on what was cleaned after rinsing, or how many
//! rinses a wanted rest takes.
//!
//! # Formulas
//! m = V·ρ; m_r = w·m/P; m_w = m − m_r; w′ = m_r·P/(m_r + m_w); f = v/(v + V_r); F = fⁿ; n = ⌈ln F*/ln f⌉;
//! V_t = n·V_r; w_f = F·w′.
//!
//! # Symbols and units
//! V volume that fills the vessel (m³); ρ density of the bath, ρ_w of water (kg/m³); m mass of the bath, m_r of the
//! reagent, m_w of water, m_ru and m_wu as used (kg); P mass fraction of the active in the reagent, w, w′ of it in the bath, wanted and made (1); v
//! volume of liquid carried over (m³); V_r volume of one rinse, V_t of all (m³); n number of rinses; f share left by one
//! rinse, F by all, F* wanted (1); w_f mass fraction in the liquid that clings at the end (1).
//!
//! # Valid range
//! All quantities above zero; fractions up to 1; a wanted rest below 1.
//!
//! # Assumptions
//! What clings mixes evenly with each rinse, of fresh water each time, and the same volume clings after each. What is
//! adsorbed on a surface is not rinsed off like that. Rinse water and bath have nearly the same density.
//!
//! # Sources
//! Mass balance.
//!
//! # Worked example
//! 500 mL at 1.00 g/mL and 2 % of a detergent used as sold: 10 g and 490 g of water (computed).

use super::solution::against_plan;
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("portions", "what to weigh"),
        option("made", "what was made"),
    ],
);
static TARGET: Field = quantity("target", "Wanted mass fraction", Kind::MassFraction)
    .symbol("w")
    .help("Of the active substance; of a detergent dosed as sold, of the detergent.")
    .units(&["%", "g/kg"])
    .range(Range::FRACTION);
static PURITY: Field = quantity("purity", "Active in the reagent", Kind::MassFraction)
    .symbol("P")
    .help("By mass; 100 % where the detergent is dosed as sold.")
    .units(&["%"])
    .range(Range::FRACTION)
    .initially("100");
static FILL: Field = quantity("fill", "Volume that fills the vessel", Kind::Volume)
    .symbol("V")
    .help("With the substrates and their holder in it.")
    .units(&["mL", "L"])
    .positive();
static DENSITY: Field = quantity("density", "Density of the bath", Kind::Density)
    .symbol("ρ")
    .units(&["g/mL", "g/cm3"])
    .positive()
    .initially("1.00");
static REAGENT: Field = quantity("reagent", "Mass of reagent", Kind::Mass)
    .symbol("m_r")
    .units(&["g", "mg", "kg"])
    .positive()
    .measured();
static WATER: Field = quantity("water", "Mass of water", Kind::Mass)
    .symbol("m_w")
    .units(&["g", "kg"])
    .not_negative()
    .measured();
static ACTUAL_REAGENT: Field = quantity("actual_reagent", "Reagent actually weighed", Kind::Mass)
    .symbol("m_r′")
    .units(&["g", "mg", "kg"])
    .positive()
    .optional()
    .measured();
static ACTUAL_WATER: Field = quantity("actual_water", "Water actually weighed", Kind::Mass)
    .symbol("m_w′")
    .units(&["g", "kg"])
    .not_negative()
    .optional()
    .measured();
static WATER_DENSITY: Field = quantity("water_density", "Density of the water", Kind::Density)
    .symbol("ρ_w")
    .help("To measure the water by volume.")
    .units(&["g/mL", "kg/m3"])
    .positive()
    .optional();
static RINSE: Field = choice(
    "rinse",
    "Rinsing",
    &[
        option("none", "not computed"),
        option("count", "what a number of rinses leaves"),
        option("rest", "rinses for a wanted rest"),
    ],
);
static CARRY_OVER: Field = quantity("carry_over", "Liquid carried over", Kind::Volume)
    .symbol("v")
    .help("What clings to substrates and holder; weigh them wet and dry.")
    .units(&["mL", "uL"])
    .positive();
static RINSE_VOLUME: Field = quantity("rinse_volume", "Volume of one rinse", Kind::Volume)
    .symbol("V_r")
    .units(&["mL", "L"])
    .positive();
static RINSES: Field = count("rinses", "Rinses").symbol("n");
static WANTED_REST: Field = quantity("wanted_rest", "Wanted rest", Kind::Ratio)
    .symbol("F*")
    .help("Share of what clung before the first rinse.")
    .units(&["%", "1"])
    .range(Range {
        from: 0.0,
        to: 1.0,
        above: true,
        below: true,
    });

static WATER_VOLUME: Field = quantity("water_volume", "Volume of water", Kind::Volume)
    .symbol("V_w")
    .units(&["mL", "L"]);
static REAGENT_USED: Field = quantity("reagent_used", "Reagent used", Kind::Mass)
    .symbol("m_ru")
    .units(&["g", "mg", "kg"]);
static WATER_USED: Field = quantity("water_used", "Water used", Kind::Mass)
    .symbol("m_wu")
    .units(&["g", "kg"]);
static MADE: Field = quantity("made", "Mass fraction made", Kind::MassFraction)
    .symbol("w′")
    .units(&["%", "g/kg", "mg/kg"]);
static BATH: Field = quantity("bath", "Mass of bath made", Kind::Mass)
    .symbol("m")
    .units(&["g", "kg"]);
static BATH_VOLUME: Field = quantity("bath_volume", "Volume of bath made", Kind::Volume)
    .symbol("V′")
    .units(&["mL", "L"]);
static LEFT_BY_ONE: Field = quantity("left_by_one", "Share left by one rinse", Kind::Ratio)
    .symbol("f")
    .units(&["%"]);
static REST: Field = quantity("rest", "Share left by all rinses", Kind::Ratio)
    .symbol("F")
    .units(&["%", "1"]);
static RINSE_TOTAL: Field = quantity("rinse_total", "Rinse water in all", Kind::Volume)
    .symbol("V_t")
    .units(&["mL", "L"]);
static CLINGING: Field = quantity(
    "clinging",
    "Mass fraction in what clings",
    Kind::MassFraction,
)
.symbol("w_f")
.units(&["%", "mg/kg", "ug/kg"]);

const BALANCE: Source = derived("mass balance; what clings mixes evenly with each rinse");
const PYTHON: Source = computed("mass balance, Python 3.11; the scenario is invented");
const RINSED: &[&str] = &["count", "rest"];
/// A bath off its target by more than this is worth a note.
const OFF: f64 = 0.05;
/// A whole number of rinses that meets the rest to the last digits counts.
const SAME: f64 = 1e-9;

/// A cleaning bath and its rinses.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "cleaning_bath",
    version: 1,
    stage: Stage::Stocks,
    title: "Cleaning bath",
    purpose: "What to weigh for a cleaning bath that fills a vessel, and what rinsing leaves of it.",
    inputs: &[
        show(&FIND),
        show(&TARGET).when(&FIND, &["portions"]),
        show(&PURITY),
        show(&FILL).when(&FIND, &["portions"]),
        show(&DENSITY),
        show(&REAGENT).when(&FIND, &["made"]),
        show(&WATER).when(&FIND, &["made"]),
        show(&ACTUAL_REAGENT).when(&FIND, &["portions"]),
        show(&ACTUAL_WATER).when(&FIND, &["portions"]),
        show(&WATER_DENSITY),
        show(&RINSE),
        show(&CARRY_OVER).when(&RINSE, RINSED),
        show(&RINSE_VOLUME).when(&RINSE, RINSED),
        show(&RINSES).when(&RINSE, &["count"]),
        show(&WANTED_REST).when(&RINSE, &["rest"]),
    ],
    outputs: &[
        show(&REAGENT).when(&FIND, &["portions"]),
        show(&WATER).when(&FIND, &["portions"]),
        show(&WATER_VOLUME),
        show(&MADE),
        show(&BATH),
        show(&BATH_VOLUME),
        show(&REAGENT_USED),
        show(&WATER_USED),
        show(&RINSES).when(&RINSE, &["rest"]),
        show(&REST).when(&RINSE, RINSED),
        show(&LEFT_BY_ONE).when(&RINSE, RINSED),
        show(&RINSE_TOTAL).when(&RINSE, RINSED),
        show(&CLINGING).when(&RINSE, RINSED),
    ],
    working: &[
        formula("reagent = target * fill * density / purity").when(&FIND, &["portions"]),
        formula("water = fill * density - reagent").when(&FIND, &["portions"]),
        method("What was weighed counts where it is entered, otherwise the plan.")
            .when(&FIND, &["portions"]),
        formula("reagent_used = actual_reagent").when(&FIND, &["portions"]),
        formula("reagent_used = reagent").without(&ACTUAL_REAGENT),
        formula("water_used = actual_water").when(&FIND, &["portions"]),
        formula("water_used = water").without(&ACTUAL_WATER),
        formula("bath = reagent_used + water_used"),
        formula("made = reagent_used * purity / bath"),
        formula("bath_volume = bath / density"),
        formula("water_volume = water / water_density"),
        formula("left_by_one = carry_over / (carry_over + rinse_volume)").when(&RINSE, RINSED),
        method(
            "The rinses are the smallest whole number that leaves no more than the wanted rest.",
        )
        .gives(&[&RINSES])
        .when(&RINSE, &["rest"]),
        formula("rest = left_by_one ^ rinses").when(&RINSE, RINSED),
        formula("rinse_total = rinses * rinse_volume").when(&RINSE, RINSED),
        formula("clinging = rest * made").when(&RINSE, RINSED),
    ],
    sources: &[BALANCE],
    hazards: &[
        hazards::ACIDS_AND_BASES,
        hazards::SODIUM_HYDROXIDE,
        hazards::ULTRASOUND,
        Hazard {
            what: "Hot baths",
            caution: "They scald, steam and attack faster than cold ones. Cover the bath, and put glass in and take it \
                      out with a holder.",
        },
    ],
    formula: both::<CleaningBath>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "2 % of a detergent used as sold",
        inputs: &[("target", "2 %"), ("fill", "500 mL")],
        expected: &[
            expect("reagent", "10 g", 1e-9),
            expect("water", "490 g", 1e-9),
            expect("made", "2 %", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "5 % sodium hydroxide from a 50 % solution, as it was weighed",
        // 400 mL · 1.05 g/mL = 420 g; 21 g active are 42 g; made: 43·0.5/(43 + 380).
        inputs: &[
            ("target", "5 %"),
            ("purity", "50 %"),
            ("fill", "400 mL"),
            ("density", "1.05 g/mL"),
            ("water_density", "0.998 g/mL"),
            ("actual_reagent", "43 g"),
            ("actual_water", "380 g"),
        ],
        expected: &[
            expect("reagent", "42 g", 1e-9),
            expect("water", "378 g", 1e-9),
            expect("water_volume", "378.75751503006012 mL", 1e-9),
            expect("made", "5.0827423167848699 %", 1e-9),
            expect("bath_volume", "402.85714285714286 mL", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "a 0.5 g dose of a 20 % solution",
        inputs: &[
            ("find", "made"),
            ("purity", "20 %"),
            ("reagent", "0.5 g"),
            ("water", "9.5 g"),
        ],
        // 0.1 g active in 10 g.
        expected: &[expect("made", "1 %", 1e-12), expect("bath", "10 g", 1e-12)],
        source: practice("a 0.5 g dose of 20 % solution brings 0.1 g active"),
    },
    Case {
        title: "three rinses of 99 mL where 1 mL clings",
        inputs: &[
            ("target", "2 %"),
            ("fill", "500 mL"),
            ("rinse", "count"),
            ("carry_over", "1 mL"),
            ("rinse_volume", "99 mL"),
            ("rinses", "3"),
        ],
        expected: &[
            expect("left_by_one", "1 %", 1e-12),
            expect("rest", "0.0001 %", 1e-12),
            expect("rinse_total", "297 mL", 1e-9),
            expect("clinging", "0.02 mg/kg", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "rinses for a wanted rest",
        // 2/52 = 0.0385: two rinses leave 0.148 %, three 0.0057 %.
        inputs: &[
            ("target", "2 %"),
            ("fill", "500 mL"),
            ("rinse", "rest"),
            ("carry_over", "2 mL"),
            ("rinse_volume", "50 mL"),
            ("wanted_rest", "0.1 %"),
        ],
        expected: &[
            expect("rinses", "3", 0.0),
            expect("rest", "0.0056895766954938 %", 1e-12),
        ],
        source: PYTHON,
    },
];

struct CleaningBath;

impl Formula for CleaningBath {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let purity = given[&PURITY];
        let mut found = Found::new();
        let (reagent, water) = if given.choice(&FIND) == "portions" {
            let bath = given[&FILL] * given[&DENSITY];
            let reagent = given[&TARGET] * bath / purity;
            let water = bath - reagent;
            if water.value() < 0.0 {
                return Err(too_weak(given));
            }
            found.set(&REAGENT, reagent);
            found.set(&WATER, water);
            (reagent, water)
        } else {
            (given[&REAGENT], given[&WATER])
        };
        let volume = given.get(&WATER_DENSITY).map(|density| water / density);
        found.set_some(&WATER_VOLUME, volume);
        let reagent = given.get(&ACTUAL_REAGENT).unwrap_or(reagent);
        let water = given.get(&ACTUAL_WATER).unwrap_or(water);
        let bath = reagent + water;
        let made = reagent * purity / bath;
        found.set(&MADE, made);
        found.set(&BATH, bath);
        found.set(&BATH_VOLUME, bath / given[&DENSITY]);
        found.set(&REAGENT_USED, reagent);
        found.set(&WATER_USED, water);
        if given.choice(&RINSE) == "none" {
            return Ok(found);
        }

        let (carried, rinse) = (given[&CARRY_OVER], given[&RINSE_VOLUME]);
        let left = carried / (carried + rinse);
        let rinses = given.get(&RINSES).unwrap_or_else(|| {
            let needed = given[&WANTED_REST].ln().value() / left.ln().value();
            let needed = S::constant((needed - SAME).ceil().max(1.0));
            found.set(&RINSES, needed);
            needed
        });
        let rest = (left.ln() * rinses).exp();
        found.set(&REST, rest);
        found.set(&LEFT_BY_ONE, left);
        found.set(&RINSE_TOTAL, rinse * rinses);
        found.set(&CLINGING, rest * made);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [
            against_plan(&REAGENT, &ACTUAL_REAGENT, given, found),
            off_target(given, found),
            one_large_rinse(given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

fn too_weak<S: Scalar>(given: &Given<'_, S>) -> Problem {
    Problem::at(
        &TARGET,
        "target_above_reagent",
        format!(
            "The target ({}) is above what the reagent holds ({}): the water to add would be negative.",
            TARGET.say(given[&TARGET].value()),
            PURITY.say(given[&PURITY].value())
        ),
        "Enter a lower target, or use a stronger reagent.",
    )
}

/// What was made against what was wanted.
fn off_target(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (target, made) = (given.get(&TARGET)?, found.get(&MADE)?);
    ((made / target - 1.0).abs() > OFF).then(|| {
        Check::note(
            "off_target",
            format!(
                "The portions make {}; {} was wanted.",
                MADE.say(made),
                TARGET.say(target)
            ),
            practice("a cleaning bath within 5 % of its target does the same"),
        )
    })
}

/// What the same water would leave at once: several small rinses do more.
fn one_large_rinse(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (carried, total, rest) = (
        given.get(&CARRY_OVER)?,
        found.get(&RINSE_TOTAL)?,
        found.get(&REST)?,
    );
    let at_once = carried / (carried + total);
    (at_once > rest).then(|| {
        Check::note(
            "rinsed_at_once",
            format!(
                "The same {} of water at once would leave {} instead of {}.",
                RINSE_TOTAL.say(total),
                REST.say(at_once),
                REST.say(rest)
            ),
            BALANCE,
        )
    })
}
