//! # What it computes
//! The numbers that tell whether an ink jets into clean drops: Reynolds, Weber, Ohnesorge and capillary number and Z, with
//! the nozzle diameter as their length; the lowest and highest velocity of the drops; and further inks beside it.
//!
//! # Formulas
//! Re = ρ·v·d/η, We = ρ·v²·d/γ, Oh = η/√(ρ·γ·d) = √We/Re, Z = 1/Oh, Ca = η·v/γ; ejection We = 4 at
//! v = √(4·γ/(ρ·d)); splash √We·⁴√Re = 50 at v = (50/(√(ρ·d/γ)·⁴√(ρ·d/η)))^(4/5).
//!
//! # Symbols and units
//! ρ density of the ink (kg/m³), η its viscosity (Pa·s), γ its surface tension (N/m); d nozzle diameter (m); v velocity
//! of the drops (m/s). Re, We, Oh, Z, Ca are plain numbers; Z_r is Z by the nozzle radius.
//!
//! # Valid range
//! All properties above zero, at the temperature of the head and, where the viscosity depends on it, at the shear rate
//! of the nozzle.
//!
//! # Assumptions
//! The ink is Newtonian; the drop is about as large as the nozzle, so that one length serves for ejection and splash.
//! Others use the nozzle radius: Oh is then √2 times as large and Z smaller by √2.
//!
//! # Sources
//! Definitions of the numbers; windows of Z, ejection and splash as `chemistry::jetting` lists them.
//!
//! # Worked example
//! An ink of 1150 kg/m³, 10 mPa·s and 32 mN/m at a nozzle of 21 µm and 6 m/s: Re 14.5, We 27.2, Oh 0.36, Z 2.78.

use super::nozzle::{DENSITY, NOZZLE, TENSION, density, tension, viscosity};
use super::*;
use crate::chemistry::jetting::{self, EJECTION, SPLASH, Window};
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static VISCOSITY: Field = viscosity().help("At the temperature of the head.");
static VELOCITY: Field = quantity("velocity", "Drop velocity", Kind::Velocity)
    .symbol("v")
    .units(&["m/s"])
    .positive()
    .measured();
static WINDOW: Field = choice(
    "window",
    "Window of Z",
    &[
        option("reis_derby", "1 to 10 (Reis and Derby)"),
        option("jang", "4 to 14 (Jang et al.)"),
        option("lee", "2.5 to 26 (Lee et al.)"),
    ],
);
static LOWEST_VISCOSITY: Field = limit(
    "lowest_viscosity",
    "Head: lowest viscosity",
    Kind::DynamicViscosity,
)
.units(&["mPa.s", "Pa.s"]);
static HIGHEST_VISCOSITY: Field = limit(
    "highest_viscosity",
    "Head: highest viscosity",
    Kind::DynamicViscosity,
)
.units(&["mPa.s", "Pa.s"]);
static LOWEST_TENSION: Field = limit(
    "lowest_tension",
    "Head: lowest tension",
    Kind::SurfaceTension,
)
.units(&["mN/m", "N/m"]);
static HIGHEST_TENSION: Field = limit(
    "highest_tension",
    "Head: highest tension",
    Kind::SurfaceTension,
)
.units(&["mN/m", "N/m"]);
static OTHERS: Field = table(
    "others",
    "Further inks",
    &[
        &OTHER,
        &OTHER_DENSITY,
        &OTHER_VISCOSITY,
        &OTHER_TENSION,
        &OTHER_REYNOLDS,
        &OTHER_OHNESORGE,
    ],
)
.optional();
static OTHER: Field = text("name", "Ink").optional();
static OTHER_DENSITY: Field = density()
    .help("Density, viscosity and tension, for the same nozzle and velocity; or Re and Oh.")
    .optional();
static OTHER_VISCOSITY: Field = viscosity().optional();
static OTHER_TENSION: Field = tension().optional();
static OTHER_REYNOLDS: Field = quantity("reynolds", "Reynolds number", Kind::Ratio)
    .positive()
    .optional();
static OTHER_OHNESORGE: Field = quantity("ohnesorge", "Ohnesorge number", Kind::Ratio)
    .positive()
    .optional();

static Z: Field = quantity("z", "Z = 1/Oh", Kind::Ratio)
    .symbol("Z")
    .help("By the nozzle diameter.");
static REYNOLDS: Field = quantity("reynolds", "Reynolds number", Kind::Ratio).symbol("Re");
static WEBER: Field = quantity("weber", "Weber number", Kind::Ratio).symbol("We");
static OHNESORGE: Field = quantity("ohnesorge", "Ohnesorge number", Kind::Ratio).symbol("Oh");
static CAPILLARY: Field = quantity("capillary", "Capillary number", Kind::Ratio).symbol("Ca");
static LOWEST_VELOCITY: Field = quantity("lowest_velocity", "Lowest drop velocity", Kind::Velocity)
    .symbol("v_min")
    .help("Drops come off: We = 4.")
    .units(&["m/s"]);
static HIGHEST_VELOCITY: Field =
    quantity("highest_velocity", "Highest drop velocity", Kind::Velocity)
        .symbol("v_max")
        .help("Drops do not yet splash: We^(1/2)·Re^(1/4) = 50.")
        .units(&["m/s"]);
static IMPACT: Field = quantity("impact", "Splash number", Kind::Ratio)
    .symbol("K")
    .help("We^(1/2)·Re^(1/4).");
static Z_BY_RADIUS: Field = quantity("z_by_radius", "Z by the nozzle radius", Kind::Ratio)
    .symbol("Z_r")
    .help("To compare with those who take the radius as the length.");
static BESIDE: Field = table(
    "beside",
    "Inks beside it",
    &[&BESIDE_REYNOLDS, &BESIDE_OHNESORGE, &BESIDE_Z],
);
static BESIDE_REYNOLDS: Field = quantity("reynolds", "Reynolds number", Kind::Ratio);
static BESIDE_OHNESORGE: Field = quantity("ohnesorge", "Ohnesorge number", Kind::Ratio);
static BESIDE_Z: Field = quantity("z", "Z = 1/Oh", Kind::Ratio);

const fn limit(id: &'static str, title: &'static str, kind: Kind) -> Field {
    quantity(id, title, kind).positive().optional()
}

const DEFINITIONS: Source = derived("definitions of Re, We, Oh, Z and Ca");
const HEAD: Source = practice("the limits that the maker of the head states");

/// Whether an ink jets into clean drops.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "jetting",
    version: 1,
    stage: Stage::Ink,
    title: "Jetting",
    purpose: "Whether an ink jets into clean drops, and how fast they may fly.",
    inputs: &[
        show(&DENSITY),
        show(&VISCOSITY),
        show(&TENSION),
        show(&NOZZLE),
        show(&VELOCITY),
        show(&WINDOW),
        show(&LOWEST_VISCOSITY),
        show(&HIGHEST_VISCOSITY),
        show(&LOWEST_TENSION),
        show(&HIGHEST_TENSION),
        show(&OTHERS),
    ],
    outputs: &[
        show(&Z),
        show(&REYNOLDS),
        show(&WEBER),
        show(&OHNESORGE),
        show(&CAPILLARY),
        show(&LOWEST_VELOCITY),
        show(&HIGHEST_VELOCITY),
        show(&IMPACT),
        show(&Z_BY_RADIUS),
        show(&BESIDE),
    ],
    working: &[
        formula("reynolds = density * velocity * nozzle / viscosity"),
        formula("weber = density * velocity^2 * nozzle / tension"),
        formula("ohnesorge = viscosity / sqrt(density * tension * nozzle)"),
        formula("z = 1 / ohnesorge"),
        formula("capillary = viscosity * velocity / tension"),
        formula("lowest_velocity = sqrt(4 * tension / (density * nozzle))"),
        formula("impact = sqrt(weber) * reynolds^0.25"),
        formula(
            "highest_velocity = (50 / (sqrt(density * nozzle / tension) * (density * nozzle / viscosity)^0.25))^0.8",
        ),
        formula("z_by_radius = z / sqrt(2)"),
        method("Further inks: the same formulas at the same nozzle and velocity, or the numbers as entered.")
            .gives(&[&BESIDE]),
    ],
    sources: &[
        DEFINITIONS,
        jetting::EJECTION_SOURCE,
        jetting::SPLASH_SOURCE,
        jetting::REIS_DERBY,
        jetting::JANG,
        jetting::LEE,
    ],
    hazards: &[hazards::MIST_AT_PURGE, hazards::HEAD_VAPOUR],
    formula: both::<Jetting>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "water at 20 °C",
        inputs: &[
            ("density", "998.207 kg/m3"),
            ("viscosity", "1.0016 mPa.s"),
            ("tension", "72.736 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "125.5732", 5e-05),
            expect("weber", "10.3751", 5e-05),
            expect("ohnesorge", "0.025651", 5e-07),
            expect("z", "38.9853", 5e-05),
            expect("capillary", "0.08262", 5e-06),
        ],
        source: LIBRARY,
    },
    Case {
        title: "toluene at 25 °C",
        inputs: &[
            ("density", "862.238 kg/m3"),
            ("viscosity", "0.5522 mPa.s"),
            ("tension", "27.906 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "196.7439", 5e-05),
            expect("weber", "23.3588", 5e-05),
            expect("ohnesorge", "0.024565", 5e-07),
            expect("z", "40.7076", 5e-05),
            expect("capillary", "0.11873", 5e-06),
        ],
        source: LIBRARY,
    },
    Case {
        title: "2-propanol at 25 °C",
        inputs: &[
            ("density", "781.871 kg/m3"),
            ("viscosity", "2.05 mPa.s"),
            ("tension", "20.851 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "48.0565", 5e-05),
            expect("weber", "28.3485", 5e-05),
            expect("ohnesorge", "0.110793", 5e-07),
            expect("z", "9.0258", 5e-05),
            expect("capillary", "0.5899", 5e-06),
            expect("lowest_velocity", "2.2538 m/s", 5e-05),
            expect("highest_velocity", "16.595 m/s", 0.0005),
        ],
        source: LIBRARY,
    },
    Case {
        title: "ethylene glycol at 25 °C, handbook",
        inputs: &[
            ("density", "1110.0 kg/m3"),
            ("viscosity", "16.1 mPa.s"),
            ("tension", "48.0 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "8.687", 5e-05),
            expect("weber", "17.4825", 5e-05),
            expect("ohnesorge", "0.48132", 5e-07),
            expect("z", "2.0776", 5e-05),
            expect("capillary", "2.0125", 5e-06),
        ],
        source: HANDBOOK,
    },
    Case {
        title: "ethylene glycol at 25 °C, fitted properties",
        inputs: &[
            ("density", "1109.88 kg/m3"),
            ("viscosity", "16.836 mPa.s"),
            ("tension", "48.225 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "8.3063", 5e-05),
            expect("weber", "17.3991", 5e-05),
            expect("ohnesorge", "0.502175", 5e-07),
            expect("z", "1.9913", 5e-05),
            expect("capillary", "2.09468", 5e-06),
            expect("lowest_velocity", "2.8769 m/s", 5e-05),
            expect("highest_velocity", "28.657 m/s", 0.0005),
        ],
        source: LIBRARY,
    },
    Case {
        title: "glycerol at 25 °C",
        inputs: &[
            ("density", "1258.0 kg/m3"),
            ("viscosity", "934.0 mPa.s"),
            ("tension", "62.5 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "0.1697", 5e-05),
            expect("weber", "15.2168", 5e-05),
            expect("ohnesorge", "22.985656", 5e-07),
            expect("z", "0.0435", 5e-05),
            expect("capillary", "89.664", 5e-06),
        ],
        source: HANDBOOK,
    },
    Case {
        title: "an invented oxide ink",
        inputs: &[
            ("density", "1150.0 kg/m3"),
            ("viscosity", "10.0 mPa.s"),
            ("tension", "32.0 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "14.49", 5e-05),
            expect("weber", "27.1687", 5e-05),
            expect("ohnesorge", "0.359722", 5e-07),
            expect("z", "2.7799", 5e-05),
            expect("capillary", "1.875", 5e-06),
            expect("lowest_velocity", "2.3022 m/s", 5e-05),
            expect("highest_velocity", "21.453 m/s", 0.0005),
        ],
        source: PYTHON,
    },
    Case {
        title: "an invented mixture",
        inputs: &[
            ("density", "1050.0 kg/m3"),
            ("viscosity", "4.0 mPa.s"),
            ("tension", "40.0 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("reynolds", "33.075", 5e-05),
            expect("weber", "19.845", 5e-05),
            expect("ohnesorge", "0.134687", 5e-07),
            expect("z", "7.4246", 5e-05),
            expect("capillary", "0.6", 5e-06),
        ],
        source: PYTHON,
    },
    Case {
        title: "ethanol at 25 °C",
        inputs: &[
            ("density", "785.133 kg/m3"),
            ("viscosity", "1.0824 mPa.s"),
            ("tension", "21.948 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
        ],
        expected: &[
            expect("lowest_velocity", "2.3075 m/s", 5e-05),
            expect("highest_velocity", "14.87 m/s", 0.0005),
        ],
        source: LIBRARY,
    },
    Case {
        title: "further inks, by their properties and by their numbers",
        inputs: &[
            ("density", "1150 kg/m3"),
            ("viscosity", "10 mPa.s"),
            ("tension", "32 mN/m"),
            ("nozzle", "21 um"),
            ("velocity", "6 m/s"),
            ("others.a.name", "mixture"),
            ("others.a.density", "1050 kg/m3"),
            ("others.a.viscosity", "4 mPa.s"),
            ("others.a.tension", "40 mN/m"),
            ("others.b.reynolds", "8.687"),
            ("others.b.ohnesorge", "0.5"),
        ],
        expected: &[
            expect("beside.a.reynolds", "33.075", 5e-05),
            expect("beside.a.ohnesorge", "0.134687", 5e-07),
            expect("beside.a.z", "7.4246", 5e-05),
            expect("beside.b.reynolds", "8.687", 0.0),
            expect("beside.b.z", "2", 1e-12),
        ],
        source: PYTHON,
    },
];

const PYTHON: Source = computed("definitions, Python 3.11 float64; properties invented");
const LIBRARY: Source = computed(
    "definitions, Python 3.11 float64; properties by iapws 1.5.5, CoolProp 8.0.0 and thermo 0.6.1",
);
const HANDBOOK: Source =
    computed("definitions, Python 3.11 float64; properties of handbooks, from memory");

struct Jetting;

impl Formula for Jetting {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        ordered(given, &LOWEST_VISCOSITY, &HIGHEST_VISCOSITY)?;
        ordered(given, &LOWEST_TENSION, &HIGHEST_TENSION)?;
        let (rho, eta, gamma) = (given[&DENSITY], given[&VISCOSITY], given[&TENSION]);
        let (d, v) = (given[&NOZZLE], given[&VELOCITY]);
        let [reynolds, ohnesorge] = numbers(rho, eta, gamma, d, v);
        let weber = rho * v.squared() * d / gamma;
        let z = S::constant(1.0) / ohnesorge;
        let slowest_splash =
            S::constant(SPLASH) / ((rho * d / gamma).sqrt() * (rho * d / eta).powf(0.25));
        let mut found = Found::new();
        found.set(&Z, z);
        found.set(&REYNOLDS, reynolds);
        found.set(&WEBER, weber);
        found.set(&OHNESORGE, ohnesorge);
        found.set(&CAPILLARY, eta * v / gamma);
        found.set(&LOWEST_VELOCITY, (gamma * EJECTION / (rho * d)).sqrt());
        found.set(&HIGHEST_VELOCITY, slowest_splash.powf(0.8));
        found.set(&IMPACT, weber.sqrt() * reynolds.powf(0.25));
        found.set(&Z_BY_RADIUS, z / core::f64::consts::SQRT_2);
        let beside = given
            .rows(&OTHERS)
            .filter_map(|(id, row)| beside(id, &row, d, v));
        found.set_rows(&BESIDE, beside.collect());
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let mut checks = Vec::new();
        checks.extend(window(given, found));
        checks.extend(velocity(given, found));
        checks.extend(head(
            given,
            &VISCOSITY,
            &LOWEST_VISCOSITY,
            &HIGHEST_VISCOSITY,
        ));
        checks.extend(head(given, &TENSION, &LOWEST_TENSION, &HIGHEST_TENSION));
        checks.extend(incomplete(given, found));
        checks
    }
}

/// Reynolds and Ohnesorge number.
fn numbers<S: Scalar>(rho: S, eta: S, gamma: S, d: S, v: S) -> [S; 2] {
    [rho * v * d / eta, eta / (rho * gamma * d).sqrt()]
}

/// A further ink, where enough of it is entered.
fn beside<S: Scalar>(id: &str, ink: &Given<'_, S>, d: S, v: S) -> Option<FoundRow<S>> {
    let by_properties = || {
        let (rho, eta) = (ink.get(&OTHER_DENSITY)?, ink.get(&OTHER_VISCOSITY)?);
        Some(numbers(rho, eta, ink.get(&OTHER_TENSION)?, d, v))
    };
    let by_numbers = || Some([ink.get(&OTHER_REYNOLDS)?, ink.get(&OTHER_OHNESORGE)?]);
    let [reynolds, ohnesorge] = by_numbers().or_else(by_properties)?;
    Some(FoundRow {
        id: id.into(),
        cells: vec![
            (&BESIDE_REYNOLDS, reynolds),
            (&BESIDE_OHNESORGE, ohnesorge),
            (&BESIDE_Z, S::constant(1.0) / ohnesorge),
        ],
    })
}

/// The lower limit of the head is not above the upper one.
fn ordered<S: Scalar>(
    given: &Given<'_, S>,
    lowest: &'static Field,
    highest: &'static Field,
) -> Result<(), Problem> {
    let (Some(low), Some(high)) = (given.get(lowest), given.get(highest)) else {
        return Ok(());
    };
    if low.value() <= high.value() {
        return Ok(());
    }
    Err(Problem::at(
        highest,
        "limits_crossed",
        format!(
            "The highest value ({}) is below the lowest ({}).",
            highest.say(high.value()),
            lowest.say(low.value())
        ),
        "Enter the limits of the head the other way round.",
    ))
}

/// Z against the chosen window.
fn window(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let Window {
        by,
        from,
        to,
        source,
        ..
    } = jetting::window(given.choice(&WINDOW))?;
    let z = found.get(&Z)?;
    let shown = Z.say(z);
    let about = "The window is about clean drops, not about whether anything comes out: water is far outside and jets.";
    let of = format!("{from} to {to} ({by})");
    Some(if z < *from {
        Check::note(
            "window",
            format!(
                "Z = {shown} is below {of}: viscosity damps the pulse, and drops may stay slow or not come off. {about}"
            ),
            *source,
        )
    } else if z > *to {
        Check::note(
            "window",
            format!("Z = {shown} is above {of}: expect small drops beside the large one. {about}"),
            *source,
        )
    } else {
        Check::in_range(
            "window",
            format!("Z = {shown} lies within {of}. {about}"),
            *source,
        )
    })
}

/// The drop velocity against ejection and splash.
fn velocity(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let v = given.get(&VELOCITY)?;
    let (lowest, highest) = (found.get(&LOWEST_VELOCITY)?, found.get(&HIGHEST_VELOCITY)?);
    let shown = VELOCITY.say(v);
    Some(if v <= lowest {
        Check::warning(
            "velocity",
            format!(
                "At {shown} drops do not come off by themselves: We = {} is not above 4. They need more than {}.",
                WEBER.say(found.get(&WEBER)?),
                LOWEST_VELOCITY.say(lowest)
            ),
            jetting::EJECTION_SOURCE,
        )
    } else if v > highest {
        Check::warning(
            "velocity",
            format!(
                "At {shown} drops splash on a smooth surface: they may fly at up to {}.",
                HIGHEST_VELOCITY.say(highest)
            ),
            jetting::SPLASH_SOURCE,
        )
    } else {
        Check::in_range(
            "velocity",
            format!(
                "The drop velocity of {shown} lies between ejection ({}) and splash ({}).",
                LOWEST_VELOCITY.say(lowest),
                HIGHEST_VELOCITY.say(highest)
            ),
            jetting::EJECTION_SOURCE,
        )
    })
}

/// A property against the limits of the head, as far as they are entered.
fn head(
    given: &Given<'_, f64>,
    property: &'static Field,
    lowest: &'static Field,
    highest: &'static Field,
) -> Option<Check> {
    let value = given.get(property)?;
    let (low, high) = (given.get(lowest), given.get(highest));
    let code = if property.is(&VISCOSITY) {
        "head_viscosity"
    } else {
        "head_tension"
    };
    let said = |word: &str, limit: f64| {
        format!(
            "{} of {} is {word} what the head takes ({}).",
            property.title,
            property.say(value),
            property.say(limit)
        )
    };
    if let Some(low) = low.filter(|low| value < *low) {
        return Some(Check::warning(code, said("below", low), HEAD));
    }
    if let Some(high) = high.filter(|high| value > *high) {
        return Some(Check::warning(code, said("above", high), HEAD));
    }
    low.or(high)?;
    Some(Check::in_range(
        code,
        format!(
            "{} of {} is within what the head takes.",
            property.title,
            property.say(value)
        ),
        HEAD,
    ))
}

/// Further inks of which too little is entered to show them.
fn incomplete(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let shown = found.rows(&BESIDE)?;
    let missing = given
        .rows(&OTHERS)
        .enumerate()
        .filter(|(_, (id, _))| shown.iter().all(|row| row.id != *id));
    let names: Vec<String> = missing
        .map(|(position, (_, row))| row.called(&OTHER, position))
        .collect();
    (!names.is_empty()).then(|| {
        Check::note(
            "not_shown",
            format!(
                "Not shown: {}. Enter density, viscosity and tension, or Re and Oh.",
                names.join(", ")
            ),
            DEFINITIONS,
        )
    })
}
