//! # What it computes
//! The volume of a drop from its diameter, its diameter from its volume, and whether a volume and a diameter that are
//! both stated can belong to one drop.
//!
//! # Formulas
//! V = π·d³/6, d = (6·V/π)^(1/3); off = V(d)/V − 1, which is also the error in thickness.
//!
//! # Symbols and units
//! V volume of the drop (m³), d diameter (m); V_d volume of the stated diameter, d_V diameter of the stated volume; Δ
//! share by which the two volumes differ (1).
//!
//! # Valid range
//! Above zero.
//!
//! # Assumptions
//! The drop is a sphere in flight: satellites and tails are not in the diameter.
//!
//! # Sources
//! Volume of a sphere.
//!
//! # Worked example
//! 10 pL is a drop of 26.7 µm; a drop of 30 µm is 14.1 pL, and prints 41 % thicker.

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice, read};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;

static FIND: Field = choice(
    "find",
    "Find",
    &[
        option("diameter", "diameter of a volume"),
        option("volume", "volume of a diameter"),
        option("agreement", "whether both agree"),
    ],
);
static VOLUME: Field = quantity("volume", "Drop volume", Kind::Volume)
    .symbol("V")
    .units(&["pL", "nL"])
    .positive();
static DIAMETER: Field = quantity("diameter", "Drop diameter", Kind::Length)
    .symbol("d")
    .units(&["um"])
    .positive();

static OFF: Field = quantity("off", "Volume by diameter against volume", Kind::Ratio)
    .symbol("Δ")
    .help("The thickness of a print is off by as much.")
    .units(&["%"]);
static DIAMETER_OF_VOLUME: Field =
    quantity("diameter_of_volume", "Diameter of the volume", Kind::Length)
        .symbol("d_V")
        .units(&["um"]);
static VOLUME_OF_DIAMETER: Field =
    quantity("volume_of_diameter", "Volume of the diameter", Kind::Volume)
        .symbol("V_d")
        .units(&["pL", "nL"]);

/// A drop seen with a micrometre of doubt in 27 is this far off in volume.
const USUAL_OFF: f64 = 0.1;
const SPHERE: Source = derived("volume of a sphere");

/// Drop volume and diameter.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "drop_size",
    version: 1,
    stage: Stage::Layers,
    title: "Drop size",
    purpose: "How large a drop of so many picolitres is, and whether a volume and a diameter agree.",
    inputs: &[
        show(&FIND),
        show(&VOLUME).unless(&FIND, &["volume"]),
        show(&DIAMETER).unless(&FIND, &["diameter"]),
    ],
    outputs: &[
        show(&DIAMETER).when(&FIND, &["diameter"]),
        show(&VOLUME).when(&FIND, &["volume"]),
        show(&OFF).when(&FIND, &["agreement"]),
        show(&DIAMETER_OF_VOLUME).when(&FIND, &["agreement"]),
        show(&VOLUME_OF_DIAMETER).when(&FIND, &["agreement"]),
    ],
    working: &[
        formula("diameter = (6 * volume / pi)^(1 / 3)").when(&FIND, &["diameter"]),
        formula("volume = pi * diameter^3 / 6").when(&FIND, &["volume"]),
        formula("diameter_of_volume = (6 * volume / pi)^(1 / 3)").when(&FIND, &["agreement"]),
        formula("volume_of_diameter = pi * diameter^3 / 6").when(&FIND, &["agreement"]),
        formula("off = volume_of_diameter / volume - 1").when(&FIND, &["agreement"]),
    ],
    sources: &[SPHERE],
    hazards: &[hazards::MIST_AT_PURGE],
    formula: both::<DropSize>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "diameter of 1 pL",
        inputs: &[("volume", "1 pL")],
        expected: &[expect("diameter", "12.407 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 2.4 pL",
        inputs: &[("volume", "2.4 pL")],
        expected: &[expect("diameter", "16.6113 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 6 pL",
        inputs: &[("volume", "6 pL")],
        expected: &[expect("diameter", "22.545 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 7 pL",
        inputs: &[("volume", "7 pL")],
        expected: &[expect("diameter", "23.7338 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 10 pL",
        inputs: &[("volume", "10 pL")],
        expected: &[expect("diameter", "26.7301 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 12 pL",
        inputs: &[("volume", "12 pL")],
        expected: &[expect("diameter", "28.405 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 14 pL",
        inputs: &[("volume", "14 pL")],
        expected: &[expect("diameter", "29.9027 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 30 pL",
        inputs: &[("volume", "30 pL")],
        expected: &[expect("diameter", "38.5515 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 35 pL",
        inputs: &[("volume", "35 pL")],
        expected: &[expect("diameter", "40.5842 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 42 pL",
        inputs: &[("volume", "42 pL")],
        expected: &[expect("diameter", "43.1271 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 50 pL",
        inputs: &[("volume", "50 pL")],
        expected: &[expect("diameter", "45.7078 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "diameter of 80 pL",
        inputs: &[("volume", "80 pL")],
        expected: &[expect("diameter", "53.4602 um", 5e-5)],
        source: PYTHON,
    },
    Case {
        title: "volume of 20 µm",
        inputs: &[("find", "volume"), ("diameter", "20 um")],
        expected: &[expect("volume", "4.18879 pL", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "volume of 21.5 µm",
        inputs: &[("find", "volume"), ("diameter", "21.5 um")],
        expected: &[expect("volume", "5.20372 pL", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "volume of 25 µm",
        inputs: &[("find", "volume"), ("diameter", "25 um")],
        expected: &[expect("volume", "8.18123 pL", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "volume of 30 µm",
        inputs: &[("find", "volume"), ("diameter", "30 um")],
        expected: &[expect("volume", "14.13717 pL", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "volume of 40 µm",
        inputs: &[("find", "volume"), ("diameter", "40 um")],
        expected: &[expect("volume", "33.51032 pL", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "volume of 50 µm",
        inputs: &[("find", "volume"), ("diameter", "50 um")],
        expected: &[expect("volume", "65.44985 pL", 5e-6)],
        source: PYTHON,
    },
    Case {
        title: "10 pL and 30 µm of one published drop do not agree",
        inputs: &[
            ("find", "agreement"),
            ("volume", "10 pL"),
            ("diameter", "30 um"),
        ],
        expected: &[
            expect("diameter_of_volume", "26.7301 um", 5e-5),
            expect("volume_of_diameter", "14.1372 pL", 5e-5),
            expect("off", "41 %", 0.5),
        ],
        source: read(
            "methods section on a copper oxide ink: 10 pL nominal, drops of about 30 µm; spheres computed",
        ),
    },
];

const PYTHON: Source = computed("sphere, Python 3.11 float64");

struct DropSize;

impl Formula for DropSize {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let diameter = given.get(&VOLUME).map(diameter_of);
        let volume = given.get(&DIAMETER).map(volume_of);
        let mut found = Found::new();
        match given.choice(&FIND) {
            "volume" => found.set_some(&VOLUME, volume),
            "agreement" => {
                found.set_some(&OFF, volume.map(|volume| volume / given[&VOLUME] - 1.0));
                found.set_some(&DIAMETER_OF_VOLUME, diameter);
                found.set_some(&VOLUME_OF_DIAMETER, volume);
            }
            _ => found.set_some(&DIAMETER, diameter),
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        agreement(given, found).into_iter().collect()
    }
}

/// The diameter of a sphere of this volume.
pub(super) fn diameter_of<S: Scalar>(volume: S) -> S {
    (volume * 6.0 / core::f64::consts::PI).powf(1.0 / 3.0)
}

fn volume_of<S: Scalar>(diameter: S) -> S {
    diameter.powi(3) * core::f64::consts::PI / 6.0
}

fn agreement(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let off = found.get(&OFF)?;
    let sentence = format!(
        "{} is {}, you wrote {}, which is {}: {}\u{202F}% in thickness",
        VOLUME.say(given.get(&VOLUME)?),
        brief(&DIAMETER, found.get(&DIAMETER_OF_VOLUME)?),
        DIAMETER.say(given.get(&DIAMETER)?),
        brief(&VOLUME, found.get(&VOLUME_OF_DIAMETER)?),
        brief_text(100.0 * off, 2),
    );
    let rule = practice("a drop seen to 1 µm in 30 µm is known to 10 % in volume");
    Some(if off.abs() <= USUAL_OFF {
        Check::in_range("agreement", format!("{sentence}."), rule)
    } else {
        let way_out = "Weigh drops, or take the volume from the diameter.";
        Check::warning("agreement", format!("{sentence}. {way_out}"), rule)
    })
}

/// A value with its unit, to three digits.
fn brief(field: &Field, si: f64) -> String {
    field
        .unit_for(si)
        .map_or_else(|| brief_text(si, 3), |unit| unit.say(si, 3))
}
