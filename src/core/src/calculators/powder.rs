//! # What it computes
//! The density of a powder from its formula and lattice; the diameter of equal spheres that have its specific surface,
//! or the specific surface of spheres of a given diameter; and how much of a suspension is powder, by volume from
//! by mass or the other way round.
//!
//! # Formulas
//! ρ = Z·M/(N_A·V_c) with V_c = a³ (cubic), a²·c (tetragonal), √3/2·a²·c (hexagonal), a·b·c (orthorhombic),
//! a·b·c·√(1 − cos²α − cos²β − cos²γ + 2·cos α·cos β·cos γ) (any); S = 6/(ρ·d);
//! φ = (w/ρ)/(w/ρ + (1 − w)/ρ_c); ρ_m = 1/(w/ρ + (1 − w)/ρ_c); γ_B = w·ρ_m.
//!
//! # Symbols and units
//! ρ density of the powder (kg/m³); Z formula units per cell; M molar mass (kg/mol); N_A Avogadro constant (1/mol); V_c
//! volume of the cell (m³); a, b, c its edges (m); α angle between b and c, β between a and c, γ between a and b (rad);
//! S specific surface (m²/kg); d diameter (m); w mass fraction (1), φ volume fraction (1) and γ_B mass concentration
//! (kg/m³) of powder; ρ_c density of the carrier, ρ_m of the suspension (kg/m³).
//!
//! # Valid range
//! All quantities above zero, fractions from 0 to 1, angles that close a cell.
//!
//! # Assumptions
//! The density from the lattice is that of a perfect crystal without pores; real powders lie a little below it. Spheres
//! are equal, smooth and do not touch: the diameter is a mean weighted by surface, and particles in an ink, which are
//! clusters of grains, are larger. Volumes of powder and carrier are additive.
//!
//! # Sources
//! Definitions and geometry. Avogadro constant: SI Brochure, 9th edition, 2019, exact.
//!
//! # Worked example
//! Spheres of 20 nm and 3.893 g/cm³ have 77.06 m²/g (geometry).

use super::*;
use crate::chemistry::constants::AVOGADRO;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice, read};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static DENSITY_FROM: Field = choice(
    "density_from",
    "Density of the powder",
    &[
        option("typed", "typed or picked"),
        option("lattice", "from its lattice"),
    ],
);
static DENSITY: Field = quantity("density", "Density of the powder", Kind::Density)
    .symbol("ρ")
    .help("Of the solid itself, not of the loose powder.")
    .units(&["g/cm3", "kg/m3"])
    .positive();
static MOLAR_MASS: Field = quantity("molar_mass", "Molar mass", Kind::MolarMass)
    .symbol("M")
    .help("Of one formula unit.")
    .units(&["g/mol"])
    .positive();
static FORMULA_UNITS: Field = count("formula_units", "Formula units per cell").symbol("Z");
static LATTICE: Field = choice(
    "lattice",
    "Lattice",
    &[
        option("tetragonal", "tetragonal"),
        option("hexagonal", "hexagonal"),
        option("cubic", "cubic"),
        option("orthorhombic", "orthorhombic"),
        option("any", "any, with its angles"),
    ],
);
static EDGE_A: Field = edge("edge_a", "Edge a").symbol("a");
static EDGE_B: Field = edge("edge_b", "Edge b").symbol("b");
static EDGE_C: Field = edge("edge_c", "Edge c").symbol("c");
static ANGLE_ALPHA: Field = angle("alpha", "Angle between b and c").symbol("α");
static ANGLE_BETA: Field = angle("beta", "Angle between a and c").symbol("β");
static ANGLE_GAMMA: Field = angle("gamma", "Angle between a and b").symbol("γ");
static SURFACE: Field = choice(
    "surface",
    "Surface and size",
    &[
        option("diameter", "diameter from surface"),
        option("surface", "surface from diameter"),
        option("none", "not needed"),
    ],
);
static SPECIFIC_SURFACE: Field = quantity(
    "specific_surface",
    "Specific surface",
    Kind::SpecificSurface,
)
.symbol("S")
.units(&["m2/g"])
.positive();
static DIAMETER: Field = quantity("diameter", "Diameter of equal spheres", Kind::Length)
    .symbol("d")
    .help("A mean weighted by surface, of grains; clusters in an ink are larger.")
    .units(&["nm", "um"])
    .positive();
static SUSPENSION: Field = choice(
    "suspension",
    "Powder in a carrier",
    &[
        option("none", "not needed"),
        option("volume", "volume from mass fraction"),
        option("mass", "mass from volume fraction"),
    ],
);
static CARRIER_DENSITY: Field =
    quantity("carrier_density", "Density of the carrier", Kind::Density)
        .symbol("ρ_c")
        .units(&["g/mL", "g/cm3"])
        .positive();
static MASS_FRACTION: Field = quantity("mass_fraction", "Powder, by mass", Kind::MassFraction)
    .symbol("w")
    .units(&["%", "mg/g"])
    .within(0.0, 1.0);
static VOLUME_FRACTION: Field =
    quantity("volume_fraction", "Powder, by volume", Kind::VolumeFraction)
        .symbol("φ")
        .units(&["%"])
        .within(0.0, 1.0);
static CELL_VOLUME: Field = quantity("cell_volume", "Volume of the cell", Kind::Volume)
    .symbol("V_c")
    .units(&["nm3"]);
static SUSPENSION_DENSITY: Field = quantity(
    "suspension_density",
    "Density of the suspension",
    Kind::Density,
)
.symbol("ρ_m")
.units(&["g/mL", "g/cm3"]);
static CONCENTRATION: Field = quantity(
    "concentration",
    "Powder per volume",
    Kind::MassConcentration,
)
.symbol("γ_B")
.units(&["g/L", "mg/mL"]);

const fn edge(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Length)
        .units(&["Ao", "nm"])
        .positive()
}

const fn angle(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Angle)
        .units(&["deg"])
        .range(Range {
            from: 0.0,
            to: core::f64::consts::PI,
            above: true,
            below: true,
        })
}

const GEOMETRY: Source = derived("definitions and geometry");
/// The lattices with an edge c of its own.
const WITH_C: &[&str] = &["tetragonal", "hexagonal", "orthorhombic", "any"];
/// The lattices with three edges.
const WITH_B: &[&str] = &["orthorhombic", "any"];
const CONVERTED: &[&str] = &["volume", "mass"];
/// The grains of powders for inks.
const USUAL: (f64, f64) = (1e-9, 1e-6);

/// Density, surface and share of a powder.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "powder",
    version: 1,
    stage: Stage::Ink,
    title: "Powder",
    purpose: "Density of a powder from its lattice, size from surface, and its share by mass or by volume.",
    inputs: &[
        show(&DENSITY_FROM),
        show(&DENSITY).when(&DENSITY_FROM, &["typed"]),
        show(&MOLAR_MASS).when(&DENSITY_FROM, &["lattice"]),
        show(&FORMULA_UNITS).when(&DENSITY_FROM, &["lattice"]),
        show(&LATTICE).when(&DENSITY_FROM, &["lattice"]),
        show(&EDGE_A).when(&DENSITY_FROM, &["lattice"]),
        show(&EDGE_B).when(&DENSITY_FROM, &["lattice"]).when(&LATTICE, WITH_B),
        show(&EDGE_C).when(&DENSITY_FROM, &["lattice"]).when(&LATTICE, WITH_C),
        show(&ANGLE_ALPHA).when(&DENSITY_FROM, &["lattice"]).when(&LATTICE, &["any"]),
        show(&ANGLE_BETA).when(&DENSITY_FROM, &["lattice"]).when(&LATTICE, &["any"]),
        show(&ANGLE_GAMMA).when(&DENSITY_FROM, &["lattice"]).when(&LATTICE, &["any"]),
        show(&SURFACE),
        show(&SPECIFIC_SURFACE).when(&SURFACE, &["diameter"]),
        show(&DIAMETER).when(&SURFACE, &["surface"]),
        show(&SUSPENSION),
        show(&CARRIER_DENSITY).when(&SUSPENSION, CONVERTED),
        show(&MASS_FRACTION).when(&SUSPENSION, &["volume"]),
        show(&VOLUME_FRACTION).when(&SUSPENSION, &["mass"]),
    ],
    outputs: &[
        show(&DENSITY).when(&DENSITY_FROM, &["lattice"]),
        show(&DIAMETER).when(&SURFACE, &["diameter"]),
        show(&SPECIFIC_SURFACE).when(&SURFACE, &["surface"]),
        show(&VOLUME_FRACTION).when(&SUSPENSION, &["volume"]),
        show(&MASS_FRACTION).when(&SUSPENSION, &["mass"]),
        show(&SUSPENSION_DENSITY).when(&SUSPENSION, CONVERTED),
        show(&CONCENTRATION).when(&SUSPENSION, CONVERTED),
        show(&CELL_VOLUME).when(&DENSITY_FROM, &["lattice"]),
    ],
    working: &[
        formula("cell_volume = edge_a ^ 3")
            .when(&DENSITY_FROM, &["lattice"])
            .when(&LATTICE, &["cubic"]),
        formula("cell_volume = edge_a ^ 2 * edge_c")
            .when(&DENSITY_FROM, &["lattice"])
            .when(&LATTICE, &["tetragonal"]),
        formula("cell_volume = sqrt(3) / 2 * edge_a ^ 2 * edge_c")
            .when(&DENSITY_FROM, &["lattice"])
            .when(&LATTICE, &["hexagonal"]),
        formula("cell_volume = edge_a * edge_b * edge_c")
            .when(&DENSITY_FROM, &["lattice"])
            .when(&LATTICE, &["orthorhombic"]),
        method("Volume of the cell: a·b·c·√(1 − cos²α − cos²β − cos²γ + 2·cos α·cos β·cos γ).")
            .gives(&[&CELL_VOLUME])
            .when(&DENSITY_FROM, &["lattice"])
            .when(&LATTICE, &["any"]),
        formula("density = formula_units * molar_mass / (N_A * cell_volume)")
            .when(&DENSITY_FROM, &["lattice"]),
        formula("diameter = 6 / (density * specific_surface)").when(&SURFACE, &["diameter"]),
        formula("specific_surface = 6 / (density * diameter)").when(&SURFACE, &["surface"]),
        formula(
            "volume_fraction = mass_fraction / density / (mass_fraction / density + (1 - mass_fraction) / \
             carrier_density)",
        )
        .when(&SUSPENSION, &["volume"]),
        formula(
            "mass_fraction = volume_fraction * density / (volume_fraction * density + (1 - volume_fraction) * \
             carrier_density)",
        )
        .when(&SUSPENSION, &["mass"]),
        formula("suspension_density = volume_fraction * density + (1 - volume_fraction) * carrier_density")
            .when(&SUSPENSION, CONVERTED),
        formula("concentration = volume_fraction * density").when(&SUSPENSION, CONVERTED),
    ],
    sources: &[
        GEOMETRY,
        read("Avogadro constant as in scipy.constants 1.17.1; exact by definition, SI Brochure, 9th edition, 2019"),
        memory("geometry of the unit cell: International Tables for Crystallography, volume A"),
    ],
    hazards: &[hazards::NANOPOWDERS],
    formula: both::<Powder>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "anatase",
        inputs: &[
            ("density_from", "lattice"),
            ("molar_mass", "79.866 g/mol"),
            ("formula_units", "4"),
            ("lattice", "tetragonal"),
            ("edge_a", "3.7845 Å"),
            ("edge_c", "9.5143 Å"),
            ("surface", "surface"),
            ("diameter", "20 nm"),
        ],
        expected: &[
            expect("density", "3.8929 g/cm3", 5e-5),
            expect("cell_volume", "0.136268 nm3", 5e-7),
            // Printed for 3.893 g/cm³: 3e-5 of its value.
            expect("specific_surface", "77.0614 m2/g", 3e-3),
        ],
        source: LATTICES,
    },
    Case {
        title: "brookite",
        inputs: &[
            ("density_from", "lattice"),
            ("molar_mass", "79.866 g/mol"),
            ("formula_units", "8"),
            ("lattice", "orthorhombic"),
            ("edge_a", "9.184 Å"),
            ("edge_b", "5.447 Å"),
            ("edge_c", "5.145 Å"),
            ("surface", "none"),
        ],
        expected: &[expect("density", "4.1222 g/cm3", 5e-5)],
        source: LATTICES,
    },
    Case {
        title: "zinc oxide",
        inputs: &[
            ("density_from", "lattice"),
            ("molar_mass", "81.38 g/mol"),
            ("formula_units", "2"),
            ("lattice", "hexagonal"),
            ("edge_a", "3.2498 Å"),
            ("edge_c", "5.2066 Å"),
            ("surface", "none"),
        ],
        expected: &[expect("density", "5.6754 g/cm3", 5e-5)],
        source: LATTICES,
    },
    Case {
        title: "the same cell by its angles",
        inputs: &[
            ("density_from", "lattice"),
            ("molar_mass", "81.38 g/mol"),
            ("formula_units", "2"),
            ("lattice", "any"),
            ("edge_a", "3.2498 Å"),
            ("edge_b", "3.2498 Å"),
            ("edge_c", "5.2066 Å"),
            ("alpha", "90°"),
            ("beta", "90°"),
            ("gamma", "120°"),
            ("surface", "none"),
        ],
        expected: &[expect("density", "5.6754 g/cm3", 5e-5)],
        source: LATTICES,
    },
    Case {
        title: "a cubic cell of 1 nm³",
        // 60.2214076 g/mol, ten to the cell: 1e-21 g in 1e-21 cm³.
        inputs: &[
            ("density_from", "lattice"),
            ("molar_mass", "60.2214076 g/mol"),
            ("formula_units", "10"),
            ("lattice", "cubic"),
            ("edge_a", "1 nm"),
            ("surface", "none"),
        ],
        expected: &[expect("density", "1 g/cm3", 1e-12)],
        source: GEOMETRY,
    },
    Case {
        title: "diameter from surface",
        inputs: &[
            ("density", "4.249 g/cm3"),
            ("specific_surface", "70.6048 m2/g"),
        ],
        expected: &[expect("diameter", "20 nm", 2e-5)],
        source: computed("surface of spheres 6/(ρ·d), Python 3.11, turned round"),
    },
    Case {
        title: "20 % of anatase in ethanol",
        inputs: &[
            ("density", "3.9 g/cm3"),
            ("surface", "none"),
            ("suspension", "volume"),
            ("carrier_density", "0.789 g/cm3"),
            ("mass_fraction", "20 %"),
        ],
        expected: &[
            expect("volume_fraction", "0.048142046494600035", 5e-11),
            expect("suspension_density", "0.9387699066447006 g/cm3", 1e-9),
            expect("concentration", "187.7539813289401 g/L", 2e-7),
        ],
        source: BALANCE,
    },
    Case {
        title: "15 % of tin dioxide in water, turned round",
        inputs: &[
            ("density", "6.85 g/cm3"),
            ("surface", "none"),
            ("suspension", "mass"),
            ("carrier_density", "0.998 g/cm3"),
            ("volume_fraction", "2.5066139780985236 %"),
        ],
        expected: &[
            expect("mass_fraction", "15 %", 1.5e-8),
            expect("suspension_density", "1.1446870499983257 g/cm3", 1e-9),
            expect("concentration", "171.70305749974884 g/L", 2e-7),
        ],
        source: BALANCE,
    },
];

const LATTICES: Source =
    computed("Z·M/(N_A·V), Python 3.11; lattice constants of mineral tables, from memory");
const BALANCE: Source = computed("mass balance with additive volumes, Python 3");

struct Powder;

impl Formula for Powder {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut found = Found::new();
        let density = if given.choice(&DENSITY_FROM) == "lattice" {
            let volume = cell_volume(given)?;
            let density = given[&FORMULA_UNITS] * given[&MOLAR_MASS] / (volume * AVOGADRO);
            found.set(&CELL_VOLUME, volume);
            found.set(&DENSITY, density);
            density
        } else {
            given[&DENSITY]
        };
        let six = S::constant(6.0);
        match given.choice(&SURFACE) {
            "diameter" => found.set(&DIAMETER, six / (density * given[&SPECIFIC_SURFACE])),
            "surface" => found.set(&SPECIFIC_SURFACE, six / (density * given[&DIAMETER])),
            _ => {}
        }
        let carrier = given[&CARRIER_DENSITY];
        let powder_by_volume = match given.choice(&SUSPENSION) {
            "volume" => {
                let by_mass = given[&MASS_FRACTION];
                let powder = by_mass / density;
                let fraction = powder / (powder + (-by_mass + 1.0) / carrier);
                found.set(&VOLUME_FRACTION, fraction);
                fraction
            }
            "mass" => {
                let fraction = given[&VOLUME_FRACTION];
                let powder = fraction * density;
                found.set(
                    &MASS_FRACTION,
                    powder / (powder + (-fraction + 1.0) * carrier),
                );
                fraction
            }
            _ => return Ok(found),
        };
        let concentration = powder_by_volume * density;
        found.set(
            &SUSPENSION_DENSITY,
            concentration + (-powder_by_volume + 1.0) * carrier,
        );
        found.set(&CONCENTRATION, concentration);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let diameter = found.get(&DIAMETER).or(given.get(&DIAMETER));
        diameter.map(usual_size).into_iter().collect()
    }
}

/// The volume of the cell.
fn cell_volume<S: Scalar>(given: &Given<'_, S>) -> Result<S, Problem> {
    let [a, b, c] = [&EDGE_A, &EDGE_B, &EDGE_C].map(|edge| given[edge]);
    Ok(match given.choice(&LATTICE) {
        "cubic" => a * a * a,
        "tetragonal" => a * a * c,
        "hexagonal" => a * a * c * (3f64.sqrt() / 2.0),
        "orthorhombic" => a * b * c,
        _ => {
            let [alpha, beta, gamma] =
                [&ANGLE_ALPHA, &ANGLE_BETA, &ANGLE_GAMMA].map(|angle| given[angle].cos());
            let squares = alpha * alpha + beta * beta + gamma * gamma;
            let closed = alpha * beta * gamma * 2.0 - squares + 1.0;
            if closed.value() <= 0.0 {
                return Err(no_cell(given));
            }
            a * b * c * closed.sqrt()
        }
    })
}

fn no_cell<S: Scalar>(given: &Given<'_, S>) -> Problem {
    let [alpha, beta, gamma] =
        [&ANGLE_ALPHA, &ANGLE_BETA, &ANGLE_GAMMA].map(|angle| angle.say(given[angle].value()));
    Problem::at(
        &ANGLE_GAMMA,
        "no_cell",
        format!(
            "Three edges cannot meet at {alpha}, {beta} and {gamma}: no cell has these angles."
        ),
        "Look at the angles again: each is smaller than the sum of the other two, and all three together stay below \
         360°.",
    )
}

fn usual_size(diameter: f64) -> Check {
    let said = DIAMETER.say(diameter);
    let rule = practice("grains of powders for inks measure 1 nm to 1 µm");
    if (USUAL.0..=USUAL.1).contains(&diameter) {
        Check::in_range(
            "grain_size",
            format!("Grains of {said} are usual in inks."),
            rule,
        )
    } else {
        Check::warning(
            "grain_size",
            format!(
                "Grains of {said} are not usual in inks. Look again at surface, diameter and density, and their units."
            ),
            rule,
        )
    }
}
