//! # What it computes
//! The energy that ultrasound puts into each gram of an ink, from power, duty cycle and time; or the time for a wanted
//! energy. Minutes alone do not transfer from one device or batch to another; energy per mass does, roughly.
//!
//! # Formulas
//! E = P·D·t; e = E/m; t = e*·m/(P·D); t_on = D·t.
//!
//! # Symbols and units
//! P power in the liquid while it is on (W); D duty cycle, the share of time it is on (1); t time by the clock, pauses
//! included, t_on time that it is on (s); m mass treated (kg); E energy (J), e per mass, e* wanted (J/kg).
//!
//! # Valid range
//! All above zero, duty cycle up to 1.
//!
//! # Assumptions
//! The power does not change with time, and all of the liquid passes the sound field. The power set or displayed is what
//! the device draws or its generator gives; what the liquid takes up is less and is found by calorimetry: the rise of
//! temperature in the first minute or so, times mass and specific heat capacity. Say which of the two was meant when
//! energies are compared.
//!
//! # Sources
//! Definition of energy; calorimetric power as common practice.
//!
//! # Worked example
//! 50 W, half of the time on, for 10 min in 100 g put in 150 J/g.

use super::solution::against_plan;
use super::*;
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("energy", "energy of a treatment"),
        option("time", "time for a wanted energy"),
    ],
);
static POWER_BY: Field = choice(
    "power_by",
    "Power known by",
    &[
        option("displayed", "setting or display"),
        option("calorimetry", "calorimetry"),
    ],
);
static POWER: Field = quantity("power", "Power while on", Kind::Power)
    .symbol("P")
    .help("In the liquid; by calorimetry where you can.")
    .units(&["W", "kW"])
    .positive();
static DUTY: Field = quantity("duty", "Duty cycle", Kind::Ratio)
    .symbol("D")
    .help("Share of the time that it is on: 1 s on and 1 s off are 50 %.")
    .units(&["%"])
    .range(Range::FRACTION)
    .initially("100");
static MASS: Field = quantity("mass", "Mass treated", Kind::Mass)
    .symbol("m")
    .units(&["g", "kg"])
    .positive()
    .measured();
static TIME: Field = quantity("time", "Time with pauses", Kind::Time)
    .symbol("t")
    .units(&["min", "s", "h"])
    .positive()
    .measured();
static TARGET: Field = quantity("target", "Wanted energy per mass", Kind::EnergyPerMass)
    .symbol("e*")
    .units(&["J/g", "kJ/g"])
    .positive();
static ACTUAL_TIME: Field = quantity("actual_time", "Time actually run", Kind::Time)
    .symbol("t′")
    .help("With pauses.")
    .units(&["min", "s", "h"])
    .positive()
    .optional()
    .measured();

static ENERGY_PER_MASS: Field = quantity("energy_per_mass", "Energy per mass", Kind::EnergyPerMass)
    .symbol("e")
    .units(&["J/g", "kJ/g"]);
static ENERGY: Field = quantity("energy", "Energy", Kind::Energy)
    .symbol("E")
    .units(&["kJ", "J", "MJ"]);
static TIME_USED: Field = quantity("time_used", "Time that counts", Kind::Time)
    .symbol("t_u")
    .units(&["min", "s", "h"]);
static TIME_ON: Field = quantity("time_on", "Time that it is on", Kind::Time)
    .symbol("t_on")
    .units(&["min", "s", "h"]);

const DEFINITION: Source = derived("energy is power times time");
/// Specific heat capacity of water at room temperature, J/(kg·K), from memory: for a check only.
const WATER: f64 = 4.18e3;
/// Warming without cooling, K, from which an ink needs cooling.
const WARM: f64 = 15.0;
/// Rise from room temperature by which water boils, K.
const BOILS: f64 = 80.0;

/// Ultrasound as energy per mass, and the time it takes.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "ultrasound",
    version: 1,
    stage: Stage::Ink,
    title: "Ultrasound",
    purpose: "Energy that ultrasound puts into each gram, or the time for a wanted energy.",
    inputs: &[
        show(&FIND),
        show(&POWER_BY),
        show(&POWER),
        show(&DUTY),
        show(&MASS),
        show(&TIME).when(&FIND, &["energy"]),
        show(&TARGET).when(&FIND, &["time"]),
        show(&ACTUAL_TIME).when(&FIND, &["time"]),
    ],
    outputs: &[
        show(&TIME).when(&FIND, &["time"]),
        show(&ENERGY_PER_MASS),
        show(&ENERGY),
        show(&TIME_ON),
        show(&TIME_USED),
    ],
    working: &[
        formula("time = target * mass / (power * duty)").when(&FIND, &["time"]),
        method("The time that counts is the one actually run where it is entered, otherwise the planned one.")
            .when(&FIND, &["time"]),
        formula("time_used = actual_time").when(&FIND, &["time"]),
        formula("time_used = time").without(&ACTUAL_TIME),
        formula("time_on = duty * time_used"),
        formula("energy = power * time_on"),
        formula("energy_per_mass = energy / mass"),
    ],
    sources: &[
        DEFINITION,
        practice("calorimetric power: rise of temperature with time, times mass and specific heat capacity"),
    ],
    hazards: &[hazards::ULTRASOUND, hazards::SOLVENTS],
    formula: both::<Ultrasound>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "half of the time on",
        inputs: &[
            ("power", "50 W"),
            ("duty", "50 %"),
            ("mass", "100 g"),
            ("time", "10 min"),
        ],
        expected: &[
            expect("energy_per_mass", "150 J/g", 1e-9),
            expect("energy", "15 kJ", 1e-9),
            expect("time_on", "5 min", 1e-9),
        ],
        source: DEFINITION,
    },
    Case {
        title: "the same, turned round",
        inputs: &[
            ("find", "time"),
            ("power", "50 W"),
            ("duty", "50 %"),
            ("mass", "100 g"),
            ("target", "150 J/g"),
        ],
        expected: &[
            expect("time", "10 min", 1e-9),
            expect("energy_per_mass", "150 J/g", 1e-9),
        ],
        source: DEFINITION,
    },
    Case {
        title: "a larger batch takes longer",
        // Five times the mass at the same power.
        inputs: &[
            ("find", "time"),
            ("power_by", "calorimetry"),
            ("power", "50 W"),
            ("duty", "50 %"),
            ("mass", "500 g"),
            ("target", "150 J/g"),
        ],
        expected: &[expect("time", "50 min", 1e-9)],
        source: DEFINITION,
    },
    Case {
        title: "stopped early",
        inputs: &[
            ("find", "time"),
            ("power", "50 W"),
            ("duty", "50 %"),
            ("mass", "100 g"),
            ("target", "150 J/g"),
            ("actual_time", "8 min"),
        ],
        expected: &[
            expect("time", "10 min", 1e-9),
            expect("energy_per_mass", "120 J/g", 1e-9),
        ],
        source: DEFINITION,
    },
];

struct Ultrasound;

impl Formula for Ultrasound {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (power, duty, mass) = (given[&POWER], given[&DUTY], given[&MASS]);
        let planned =
            (given.choice(&FIND) == "time").then(|| given[&TARGET] * mass / (power * duty));
        let used = given.get(&ACTUAL_TIME).or(planned).unwrap_or(given[&TIME]);
        let on = duty * used;
        let mut found = Found::new();
        found.set_some(&TIME, planned);
        found.set(&ENERGY_PER_MASS, power * on / mass);
        found.set(&ENERGY, power * on);
        found.set(&TIME_ON, on);
        found.set(&TIME_USED, used);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let displayed = (given.choice(&POWER_BY) == "displayed").then(|| {
            Check::note(
                "displayed_power",
                "The power is that set or displayed; what the liquid takes up is less, by a share that depends on tip, \
                 vessel and filling. Compare with energies found in the same way only, or measure it by calorimetry.",
                practice("calorimetric power is commonly well below the displayed one"),
            )
        });
        [
            displayed,
            found.get(&ENERGY_PER_MASS).map(warming),
            against_plan(&TIME, &ACTUAL_TIME, given, found),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// How far it would warm without cooling, if it were water.
fn warming(energy_per_mass: f64) -> Check {
    static RISE: Field =
        quantity("rise", "Rise of temperature", Kind::TemperatureDifference).units(&["K"]);
    let rise = energy_per_mass / WATER;
    let rule = memory("specific heat capacity of water, 4.18 J/(g·K)");
    let said = RISE.say(rise);
    if rise > BOILS {
        Check::note(
            "warming",
            format!(
                "Without cooling this would boil it, were it water: as much energy as warms it by {said}. Cool the vessel, \
                 pulse, and watch the temperature."
            ),
            rule,
        )
    } else if rise > WARM {
        Check::note(
            "warming",
            format!(
                "Without cooling this would warm water by {said}: cool the vessel, pulse, and watch the temperature."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "warming",
            format!("Without cooling this would warm water by {said} at most."),
            rule,
        )
    }
}
