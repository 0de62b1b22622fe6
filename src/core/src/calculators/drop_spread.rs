//! # What it computes
//! How wide a drop spreads on the substrate from its contact angle, or the contact angle from a measured spot; and
//! whether drops at a pitch stay apart, merge into a line, or cover a film without holes.
//!
//! # Formulas
//! d₀ = ∛(6·V_d/π); β = d/d₀ = ∛(8/(x·(3 + x²))) with x = tan(θ/2); overlap o = 1 − p/d. Line: f = θ/sin²θ − cot θ,
//! w = √(2·π·d₀³/(3·p·f)), p_max = 2·π·d₀³/(3·d²·f). Film: D = √(pₓ² + p_y²), covered n = π·d²/(4·pₓ·p_y) times.
//!
//! # Symbols and units
//! V_d drop volume (m³), d₀ its diameter in flight (m); θ contact angle (rad); d spot diameter (m); β spread factor (1);
//! pₓ, p_y pitch along and across the print direction (m); o overlap (1); f shape factor of the line (1); w width of the
//! line (m); p_max largest pitch at which its edges are straight (m); D diagonal of the pitch (m); n spots over a point on
//! average (1).
//!
//! # Valid range
//! Contact angle above 0° and below 180°; drops so small that gravity does not flatten them.
//!
//! # Assumptions
//! A spot is a cap of a sphere, a line a cap of a cylinder, both of the volume that was jetted and of the contact angle
//! entered; nothing dries or soaks in meanwhile. Once wetted the edge stays: a line is no narrower than a spot. A film is
//! without holes when circles as wide as a spot cover the plane.
//!
//! # Sources
//! Conservation of volume; merging into a line: Smith et al. 2006, and Stringer and Derby, Langmuir 26 (2010) 10365 (two
//! bounds read in the abstract); what lines look like: Soltman and Subramanian, Langmuir 24 (2008) 2224 (from memory).
//!
//! # Worked example
//! 10 pL at 20°: a spot of 65.9 µm; lines are straight up to a pitch of 39 µm (computed).

use super::drops::{self, DROP_VOLUME, PITCH_AS, PITCH_X, PITCH_Y, RESOLUTION_X, RESOLUTION_Y};
use super::*;
use crate::problem::{Check, Level, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static FROM: Field = choice(
    "from",
    "Spread",
    &[
        option("angle", "from the contact angle"),
        option("spot", "from a measured spot"),
    ],
);
static ANGLE: Field = quantity("angle", "Contact angle", Kind::Angle)
    .symbol("θ")
    .help("Of the ink on this substrate, advancing.")
    .units(&["deg"])
    .range(Range {
        from: 0.0,
        to: core::f64::consts::PI,
        above: true,
        below: true,
    })
    .measured();
static SPOT: Field = quantity("spot", "Spot diameter", Kind::Length)
    .symbol("d")
    .help("Of a single drop on the substrate.")
    .units(&["um"])
    .positive()
    .measured();
static PRINT: Field = choice(
    "print",
    "Print",
    &[option("film", "film"), option("line", "line")],
);

static DROP_DIAMETER: Field = quantity("drop_diameter", "Drop diameter in flight", Kind::Length)
    .symbol("d₀")
    .units(&["um"]);
static SPREAD_FACTOR: Field = quantity("spread_factor", "Spread factor", Kind::Ratio).symbol("β");
static OVERLAP_X: Field = overlap("overlap_x", "Overlap along the print direction", "oₓ");
static OVERLAP_Y: Field = overlap("overlap_y", "Overlap across the print direction", "o_y");
static DIAGONAL: Field = quantity("diagonal", "Diagonal of the pitch", Kind::Length)
    .symbol("D")
    .units(&["um"]);
static COVERED: Field = quantity("covered", "Spots over a point, mean", Kind::Ratio)
    .symbol("n")
    .units(&["1"]);
static SHAPE_FACTOR: Field =
    quantity("shape_factor", "Shape factor of the line", Kind::Ratio).symbol("f");
static LARGEST_PITCH: Field = quantity(
    "largest_pitch",
    "Largest pitch for straight edges",
    Kind::Length,
)
.symbol("p_max")
.units(&["um"]);
static LINE_WIDTH: Field = quantity("line_width", "Line width", Kind::Length)
    .symbol("w")
    .help("Where the drops merge into a line with straight edges.")
    .units(&["um"]);

const fn overlap(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Ratio)
        .symbol(symbol)
        .help("Share of a spot; below zero the spots lie apart.")
        .units(&["%"])
}

const CAP: Source = derived("volume of a cap of a sphere and of a cylinder");
const MERGING: Source = memory(
    "Smith et al. 2006; J. Stringer and B. Derby, Langmuir 26 (2010) 10365: a line has straight edges when it is no narrower \
     than a spot (its two bounds read in the abstract)",
);
const COVERING: Source =
    derived("circles on a rectangular grid cover it when their diameter reaches its diagonal");

/// How drops spread and merge.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "drop_spread",
    version: 1,
    stage: Stage::Layers,
    title: "Spread of drops",
    purpose: "Whether drops at a pitch stay apart, merge into a line, or cover a film without holes.",
    inputs: &[
        show(&DROP_VOLUME),
        show(&FROM),
        show(&ANGLE).when(&FROM, &["angle"]),
        show(&SPOT).when(&FROM, &["spot"]),
        show(&PRINT),
        show(&PITCH_AS),
        show(&PITCH_X).when(&PITCH_AS, drops::LENGTH),
        show(&PITCH_Y).when(&PITCH_AS, drops::LENGTH).when(&PRINT, &["film"]),
        show(&RESOLUTION_X).when(&PITCH_AS, drops::RESOLUTION),
        show(&RESOLUTION_Y).when(&PITCH_AS, drops::RESOLUTION).when(&PRINT, &["film"]),
    ],
    outputs: &[
        show(&SPOT).when(&FROM, &["angle"]),
        show(&ANGLE).when(&FROM, &["spot"]),
        show(&SPREAD_FACTOR),
        show(&DROP_DIAMETER),
        show(&PITCH_X).when(&PITCH_AS, drops::RESOLUTION),
        show(&PITCH_Y).when(&PITCH_AS, drops::RESOLUTION).when(&PRINT, &["film"]),
        show(&OVERLAP_X),
        show(&OVERLAP_Y).when(&PRINT, &["film"]),
        show(&DIAGONAL).when(&PRINT, &["film"]),
        show(&COVERED).when(&PRINT, &["film"]),
        show(&LINE_WIDTH).when(&PRINT, &["line"]),
        show(&LARGEST_PITCH).when(&PRINT, &["line"]),
        show(&SHAPE_FACTOR).when(&PRINT, &["line"]),
    ],
    working: &[
        formula("drop_diameter = (6 * drop_volume / pi)^(1 / 3)"),
        method("Spread factor: ∛(8/(x·(3 + x²))) with x = tan(θ/2), from the volume of a cap of a sphere.")
            .gives(&[&SPREAD_FACTOR])
            .when(&FROM, &["angle"]),
        formula("spot = spread_factor * drop_diameter").when(&FROM, &["angle"]),
        formula("spread_factor = spot / drop_diameter").when(&FROM, &["spot"]),
        method("Contact angle: x³ + 3·x = 8/β³ solved for x = tan(θ/2).")
            .gives(&[&ANGLE])
            .when(&FROM, &["spot"]),
        formula("pitch_x = 1 / resolution_x").when(&PITCH_AS, drops::RESOLUTION),
        formula("pitch_y = 1 / resolution_y")
            .when(&PITCH_AS, drops::RESOLUTION)
            .when(&PRINT, &["film"]),
        formula("overlap_x = 1 - pitch_x / spot"),
        formula("overlap_y = 1 - pitch_y / spot").when(&PRINT, &["film"]),
        formula("diagonal = sqrt(pitch_x^2 + pitch_y^2)").when(&PRINT, &["film"]),
        formula("covered = pi * spot^2 / (4 * pitch_x * pitch_y)").when(&PRINT, &["film"]),
        method("Shape factor: θ/sin²θ − cot θ, from the volume of a cap of a cylinder.")
            .gives(&[&SHAPE_FACTOR])
            .when(&PRINT, &["line"]),
        formula("line_width = sqrt(2 * pi * drop_diameter^3 / (3 * pitch_x * shape_factor))")
            .when(&PRINT, &["line"]),
        formula("largest_pitch = 2 * pi * drop_diameter^3 / (3 * spot^2 * shape_factor)")
            .when(&PRINT, &["line"]),
    ],
    sources: &[CAP, MERGING, COVERING, MORPHOLOGY],
    hazards: &[hazards::HEAD_VAPOUR, hazards::GLASS],
    formula: both::<DropSpread>(),
};

const MORPHOLOGY: Source = memory(
    "D. Soltman and V. Subramanian, Langmuir 24 (2008) 2224: with smaller spacing isolated drops, scalloped line, uniform \
     line, bulging line, stacked coins",
);

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a line of drops of 26.7301 µm at a contact angle of 20°",
        inputs: &[
            ("drop_volume", "10.000008584215767 pL"),
            ("angle", "20 deg"),
            ("print", "line"),
            ("pitch_x", "20 um"),
        ],
        expected: &[
            expect("drop_diameter", "26.7301 um", 1e-9),
            expect("spread_factor", "2.464473", 5e-7),
            expect("spot", "65.8756 um", 5e-5),
            expect("shape_factor", "0.2365581", 5e-8),
            expect("line_width", "91.9488 um", 5e-5),
            expect("largest_pitch", "38.9649 um", 5e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "a line of the same drops at 45°",
        inputs: &[
            ("drop_volume", "10.000008584215767 pL"),
            ("angle", "45 deg"),
            ("print", "line"),
            ("pitch_x", "20 um"),
        ],
        expected: &[
            expect("spread_factor", "1.826124", 5e-7),
            expect("spot", "48.8125 um", 5e-5),
            expect("shape_factor", "0.5707963", 5e-8),
            expect("line_width", "59.1936 um", 5e-5),
            expect("largest_pitch", "29.4115 um", 5e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "the contact angle of a spot, the same turned round",
        inputs: &[
            ("drop_volume", "10.000008584215767 pL"),
            ("from", "spot"),
            ("spot", "65.8756 um"),
            ("pitch_as", "resolution"),
            ("resolution_x", "1270 dpi"),
            ("resolution_y", "1016 dpi"),
        ],
        // The spot is printed to six digits; near 20° the angle changes three times as much.
        expected: &[
            expect("angle", "20 deg", 5e-5),
            expect("spread_factor", "2.464473", 2e-6),
            expect("pitch_x", "20 um", 1e-9),
            expect("pitch_y", "25 um", 1e-9),
        ],
        source: PYTHON,
    },
    Case {
        title: "a film of spots of 50 µm at 30 µm and 40 µm",
        inputs: &[
            ("drop_volume", "10 pL"),
            ("from", "spot"),
            ("spot", "50 um"),
            ("pitch_x", "30 um"),
            ("pitch_y", "40 um"),
        ],
        expected: &[
            expect("overlap_x", "40 %", 1e-10),
            expect("overlap_y", "20 %", 1e-10),
            expect("diagonal", "50 um", 1e-10),
            expect("covered", "1.6362461737446838", 1e-12),
        ],
        source: COVERING,
    },
];

const PYTHON: Source = computed(
    "volumes of caps, Python 3.11 float64; the form of Smith et al. 2006 and of Stringer and Derby 2010 as remembered",
);

struct DropSpread;

impl Formula for DropSpread {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let volume = given[&DROP_VOLUME];
        let diameter = (volume * (6.0 / core::f64::consts::PI)).powf(1.0 / 3.0);
        found.set(&DROP_DIAMETER, diameter);
        let (angle, spot) = if given.choice(&FROM) == "spot" {
            let spot = given[&SPOT];
            let factor = spot / diameter;
            let angle = angle_of(factor);
            found.set(&SPREAD_FACTOR, factor);
            found.set(&ANGLE, angle);
            (angle, spot)
        } else {
            let angle = given[&ANGLE];
            let factor = spread(angle);
            let spot = factor * diameter;
            found.set(&SPREAD_FACTOR, factor);
            found.set(&SPOT, spot);
            (angle, spot)
        };
        let one = S::constant(1.0);
        if given.choice(&PRINT) == "line" {
            let pitch = drops::pitch_along(given, &mut found);
            let shape = shape(angle);
            let area = diameter.powi(3) * (core::f64::consts::TAU / 3.0) / shape;
            found.set(&OVERLAP_X, one - pitch / spot);
            found.set(&SHAPE_FACTOR, shape);
            found.set(&LINE_WIDTH, (area / pitch).sqrt());
            found.set(&LARGEST_PITCH, area / spot.squared());
        } else {
            let [x, y] = drops::pitch(given, &mut found);
            found.set(&OVERLAP_X, one - x / spot);
            found.set(&OVERLAP_Y, one - y / spot);
            found.set(&DIAGONAL, (x.squared() + y.squared()).sqrt());
            found.set(
                &COVERED,
                spot.squared() * core::f64::consts::FRAC_PI_4 / (x * y),
            );
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let spot = found.get(&SPOT).or(given.get(&SPOT));
        let merged = spot.and_then(|spot| {
            if given.choice(&PRINT) == "line" {
                line(given, found, spot)
            } else {
                film(found, spot)
            }
        });
        let angle = found.get(&ANGLE).or(given.get(&ANGLE));
        match angle.and_then(beads) {
            // What merges by the formulas does not with such an ink.
            Some(beads) => {
                let bad = merged.filter(|check| check.level == Level::Warning);
                [beads].into_iter().chain(bad).collect()
            }
            None => merged.into_iter().collect(),
        }
    }
}

/// Spot over drop diameter: the cap of a sphere.
fn spread<S: Scalar>(angle: S) -> S {
    let half = angle * 0.5;
    let x = half.sin() / half.cos();
    let volume = x * (x.squared() + 3.0) / 8.0;
    S::constant(1.0) / volume.powf(1.0 / 3.0)
}

/// The contact angle of a cap, given spot over drop diameter: x³ + 3·x = c by x = u − 1/u, u³ = (c + √(c² + 4))/2.
fn angle_of<S: Scalar>(factor: S) -> S {
    let c = S::constant(8.0) / factor.powi(3);
    let cubed = (c + (c.squared() + 4.0).sqrt()) * 0.5;
    let u = cubed.powf(1.0 / 3.0);
    let x = u - S::constant(1.0) / u;
    x.chain(libm::atan(x.value()), 1.0 / (1.0 + x.value().squared())) * 2.0
}

/// Of the cross-section of a line: four times its area over the square of its width.
fn shape<S: Scalar>(angle: S) -> S {
    let (sine, cosine) = (angle.sin(), angle.cos());
    angle / sine.squared() - cosine / sine
}

/// Drops that stand up instead of spreading.
fn beads(angle: f64) -> Option<Check> {
    (angle > core::f64::consts::FRAC_PI_2 * (1.0 + 1e-9)).then(|| {
        Check::warning(
            "beads",
            format!(
                "A contact angle of {} is above 90°: spot, volume or angle is off; such an ink does not make a line.",
                ANGLE.say(angle)
            ),
            practice("an ink that makes lines and films has a contact angle well below 90°"),
        )
    })
}

/// Whether drops merge into a line.
fn line(given: &Given<'_, f64>, found: &Found<f64>, spot: f64) -> Option<Check> {
    let pitch = found.get(&PITCH_X).or(given.get(&PITCH_X))?;
    let largest = found.get(&LARGEST_PITCH)?;
    let said = format!("At a pitch of {}", PITCH_X.say(pitch));
    let most = LARGEST_PITCH.say(largest.min(spot));
    Some(if pitch > spot {
        Check::warning(
            "isolated",
            format!(
                "{said} spots of {} lie apart: a row of dots. A line takes {most} or less.",
                SPOT.say(spot)
            ),
            CAP,
        )
    } else if pitch > largest {
        Check::warning(
            "scalloped",
            format!(
                "{said} spots of {} touch, but the line keeps wavy edges: straight ones take {most} or less.",
                SPOT.say(spot)
            ),
            MERGING,
        )
    } else {
        Check::in_range(
            "uniform",
            format!(
                "{said}, not above {most}, drops merge into a line with straight edges. A much smaller pitch, or slow \
                 printing, can make it bulge."
            ),
            MORPHOLOGY,
        )
    })
}

/// Whether drops cover a film.
fn film(found: &Found<f64>, spot: f64) -> Option<Check> {
    let overlaps = [&OVERLAP_X, &OVERLAP_Y].map(|overlap| found.get(overlap));
    let diagonal = found.get(&DIAGONAL)?;
    let said = format!("Spots of {}", SPOT.say(spot));
    Some(
        if overlaps.into_iter().flatten().any(|overlap| overlap < 0.0) {
            Check::warning(
                "isolated",
                format!(
                    "{said} lie apart in one direction at least: there is no film. Use a smaller pitch."
                ),
                COVERING,
            )
        } else if spot < diagonal {
            Check::warning(
                "holes",
                format!(
                    "{said} touch but are narrower than the diagonal of the pitch, {}: holes are left unless the drops run \
                 together while wet.",
                    DIAGONAL.say(diagonal)
                ),
                COVERING,
            )
        } else {
            let times = value_text(found.get(&COVERED)?, 3);
            Check::in_range(
                "covered",
                format!(
                    "{said} are as wide as the diagonal of the pitch, {}, or wider: they leave no hole and lie {times} deep on \
                 average.",
                    DIAGONAL.say(diagonal)
                ),
                COVERING,
            )
        },
    )
}
