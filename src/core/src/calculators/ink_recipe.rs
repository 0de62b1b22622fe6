//! # What it computes
//! What an ink is made of: from its components, by mass or by volume, what to weigh for a batch of a wanted size, and
//! the ink that was made from what was really weighed: its mass, volume and density, the share of every component and
//! of what is active in it, the powder by mass and by volume, the carrier in total, and the dispersant per powder.
//!
//! # Formulas
//! m_i = ρ_i·V_i where a component is planned by volume; f = m*/Σm, V*/ΣV or m_p*/Σm_p; to weigh f·m_i;
//! a_i = x_i (w/w), x_i·γ₁₀₀/ρ_i (w/v), x_i·ρ_a/ρ_i (v/v), 1 (pure); w_i = m_i/m; w_a = a_i·m_i/m; V = m/ρ with
//! ρ measured or m/Σ(m_i/ρ_i); φ = (m_p/ρ_p)/V.
//!
//! # Symbols and units
//! m_i mass (kg), V_i volume (m³), ρ_i density (kg/m³) of a component as it stands in its bottle; x_i its active
//! fraction as printed on the label (1); ρ_a density of what is active (kg/m³); γ₁₀₀ 1 g/mL, what 100 % (w/v) means;
//! a_i active mass per mass of component (1); m* wanted mass (kg), V* volume (m³), m_p* powder at hand (kg); f scale
//! factor (1); m mass (kg), V volume (m³), ρ density (kg/m³) of the ink; w_i, w_a mass fractions (1); m_p mass of
//! powder (kg), ρ_p its density (kg/m³), φ its volume fraction (1).
//!
//! # Valid range
//! Amounts above zero; active fractions of which no more is active than there is.
//!
//! # Assumptions
//! Volumes are additive unless the density of the ink is measured; ethanol and water lose 3.5 % of theirs. The plan
//! always goes by additive volumes, so that measuring the ink does not change what is to be weighed. What is not active
//! in a solution is carrier or another solvent and is counted as such. What stays after drying is powder, dispersant
//! and binder: humectant, defoamer, acid or base are taken to leave, which non-volatile ones do not. A component that is
//! not weighed yet counts as planned.
//!
//! # Sources
//! Conservation of mass; definitions of w/w, w/v and v/v.
//!
//! # Worked example
//! 1.5 g of a dispersant sold at 45 % (w/w) bring 0.675 g of what is active, and 0.825 g of water.

use super::solution::{DEVIATION, with_plan};
use super::*;
use crate::problem::{Check, Level, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::{Scalar, sum};

static COMPONENTS: Field = table(
    "components",
    "Components",
    &[
        &NAME,
        &ROLE,
        &PLANNED_MASS,
        &PLANNED_VOLUME,
        &ACTUAL_MASS,
        &WEIGHED,
        &DENSITY,
        &ACTIVE_AS,
        &ACTIVE,
        &ACTIVE_DENSITY,
        &REST,
    ],
);
static NAME: Field = text("name", "Name").optional();
static ROLE: Field = choice(
    "role",
    "Role",
    &[
        option("powder", "powder"),
        option("carrier", "carrier"),
        option("dispersant", "dispersant"),
        option("humectant", "humectant"),
        option("binder", "binder"),
        option("defoamer", "defoamer"),
        option("acid_base", "acid or base"),
        option("other", "other"),
    ],
);
static PLANNED_MASS: Field = quantity("planned_mass", "Mass in the recipe", Kind::Mass)
    .help("Mass or volume, one of the two.")
    .units(&["g", "mg", "kg"])
    .positive()
    .optional();
static PLANNED_VOLUME: Field = quantity("planned_volume", "Volume in the recipe", Kind::Volume)
    .units(&["mL", "uL", "L"])
    .positive()
    .optional();
static ACTUAL_MASS: Field = quantity("actual_mass", "Mass actually weighed", Kind::Mass)
    .units(&["g", "mg", "kg"])
    .not_negative()
    .optional()
    .measured();
static WEIGHED: Field = tick("weighed", "Weighed in").measured();
static DENSITY: Field = quantity("density", "Density", Kind::Density)
    .help("As it stands in the bottle; of a powder, of the solid itself.")
    .units(&["g/mL", "g/cm3", "kg/m3"])
    .positive()
    .optional();
static ACTIVE_AS: Field = choice(
    "active_as",
    "Active part",
    &[
        option("pure", "all of it"),
        option("w_w", "% by mass (w/w)"),
        option("w_v", "% mass in volume (w/v)"),
        option("v_v", "% by volume (v/v)"),
    ],
);
static ACTIVE: Field = quantity("active", "Active fraction", Kind::Ratio)
    .help("As the supplier states it; ask which of the three is meant.")
    .units(&["%"])
    .positive()
    .optional();
static ACTIVE_DENSITY: Field = quantity(
    "active_density",
    "Density of the active part",
    Kind::Density,
)
.help("Of what is active itself: for v/v, and for a powder that comes as a dispersion.")
.units(&["g/cm3", "g/mL", "kg/m3"])
.positive()
.optional();
static REST: Field = choice(
    "rest",
    "The rest is",
    &[
        option("carrier", "carrier (water)"),
        option("solvent", "another solvent"),
    ],
);
static SCALE: Field = choice(
    "scale",
    "Make",
    &[
        option("written", "as written"),
        option("mass", "a batch mass"),
        option("volume", "a batch volume"),
        option("powder", "from the powder at hand"),
    ],
);
static BATCH_MASS: Field = quantity("batch_mass", "Mass of the batch", Kind::Mass)
    .symbol("m*")
    .units(&["g", "kg"])
    .positive();
static BATCH_VOLUME: Field = quantity("batch_volume", "Volume of the batch", Kind::Volume)
    .symbol("V*")
    .units(&["mL", "L"])
    .positive();
static POWDER_AT_HAND: Field = quantity("powder_at_hand", "Powder at hand", Kind::Mass)
    .symbol("m_p*")
    .help("As it stands in its bottle.")
    .units(&["g", "mg", "kg"])
    .positive()
    .measured();
static MEASURED_DENSITY: Field = quantity(
    "measured_density",
    "Measured density of the ink",
    Kind::Density,
)
.symbol("ρ′")
.help("It replaces the density by additive volumes.")
.units(&["g/mL", "g/cm3", "kg/m3"])
.positive()
.optional()
.measured();
static SPECIFIC_SURFACE: Field = quantity(
    "specific_surface",
    "Specific surface of the powder",
    Kind::SpecificSurface,
)
.symbol("S")
.units(&["m2/g"])
.positive()
.optional();

static POWDER_FRACTION: Field = quantity("powder_fraction", "Powder, by mass", Kind::MassFraction)
    .symbol("w_p")
    .units(&["%", "mg/g"]);
static POWDER_VOLUME_FRACTION: Field = quantity(
    "powder_volume_fraction",
    "Powder, by volume",
    Kind::VolumeFraction,
)
.symbol("φ")
.units(&["%"]);
static TOTAL_MASS: Field = quantity("total_mass", "Mass of the ink", Kind::Mass)
    .symbol("m")
    .units(&["g", "kg", "mg"]);
static TOTAL_VOLUME: Field = quantity("total_volume", "Volume of the ink", Kind::Volume)
    .symbol("V")
    .units(&["mL", "L", "uL"]);
static INK_DENSITY: Field = quantity("ink_density", "Density of the ink", Kind::Density)
    .symbol("ρ")
    .units(&["g/mL", "g/cm3", "kg/m3"]);
static ADDITIVE_VOLUME: Field =
    quantity("additive_volume", "Volumes of the components", Kind::Volume)
        .symbol("V_Σ")
        .units(&["mL", "L", "uL"]);
static SOLIDS_FRACTION: Field = quantity(
    "solids_fraction",
    "Left after drying, by mass",
    Kind::MassFraction,
)
.symbol("w_s")
.help("Powder, dispersant and binder.")
.units(&["%", "mg/g"]);
static POWDER_MASS: Field = quantity("powder_mass", "Powder in the ink", Kind::Mass)
    .symbol("m_p")
    .units(&["g", "mg", "kg"]);
static POWDER_DENSITY: Field = quantity("powder_density", "Density of the powder", Kind::Density)
    .symbol("ρ_p")
    .units(&["g/cm3", "kg/m3"]);
static CARRIER_MASS: Field = quantity("carrier_mass", "Carrier in total", Kind::Mass)
    .symbol("m_c")
    .help("With the water that active solutions bring.")
    .units(&["g", "mg", "kg"]);
static CARRIER_BROUGHT: Field =
    quantity("carrier_brought", "Of it brought by solutions", Kind::Mass)
        .symbol("m_b")
        .units(&["g", "mg", "kg"]);
static DISPERSANT_MASS: Field = quantity("dispersant_mass", "Dispersant, active", Kind::Mass)
    .symbol("m_d")
    .units(&["g", "mg", "kg"]);
static DISPERSANT_PER_POWDER: Field = quantity(
    "dispersant_per_powder",
    "Dispersant per mass of powder",
    Kind::Ratio,
)
.symbol("r_d")
.units(&["%"]);
static DISPERSANT_PER_SURFACE: Field = quantity(
    "dispersant_per_surface",
    "Dispersant per surface of powder",
    Kind::ArealMass,
)
.symbol("Γ_d")
.units(&["mg/m2"]);
static SCALE_FACTOR: Field = quantity("scale_factor", "Scale factor", Kind::Ratio)
    .symbol("f")
    .units(&["1"]);
static WEIGH_OUT: Field = table(
    "weigh_out",
    "Weigh-out list",
    &[&TO_WEIGH, &TO_MEASURE, &OFF_PLAN],
);
static TO_WEIGH: Field = quantity("mass", "To weigh", Kind::Mass).units(&["g", "mg", "kg"]);
static TO_MEASURE: Field =
    quantity("volume", "To measure out", Kind::Volume).units(&["mL", "uL", "L"]);
static OFF_PLAN: Field = quantity("deviation", "Actual against plan", Kind::Ratio).units(&["%"]);
static MADE: Field = table(
    "made",
    "What the ink holds",
    &[&MASS, &MASS_FRACTION, &ACTIVE_MASS, &ACTIVE_FRACTION],
);
static MASS: Field = quantity("mass", "In the ink", Kind::Mass).units(&["g", "mg", "kg"]);
static MASS_FRACTION: Field =
    quantity("mass_fraction", "By mass", Kind::MassFraction).units(&["%", "mg/g", "mg/kg"]);
static ACTIVE_MASS: Field =
    quantity("active_mass", "Active in the ink", Kind::Mass).units(&["g", "mg", "kg"]);
static ACTIVE_FRACTION: Field = quantity("active_fraction", "Active, by mass", Kind::MassFraction)
    .units(&["%", "mg/g", "mg/kg"]);

/// 100 % (w/v), kg/m³: % (w/v) is grams in 100 mL.
const WHOLE_W_V: f64 = 1000.0;
/// How much more than all of a component may be active before it is a contradiction rather than rounding.
const ROUNDING: f64 = 1e-9;
/// Coverages of dispersant that are usual, kg/m².
const USUAL_COVERAGE: (f64, f64) = (0.2e-6, 3e-6);
/// How far measured and additive density usually differ.
const USUAL_EXCESS: f64 = 0.02;
/// By more than this alcohol and water do not shrink when they mix.
const MIXING: f64 = 0.04;

const MASS_BALANCE: Source = derived("conservation of mass");

/// What an ink is made of: planned, weighed and made.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "ink_recipe",
    version: 1,
    stage: Stage::Ink,
    title: "Ink recipe",
    purpose: "What to weigh for an ink, and what the ink holds that was made from it.",
    inputs: &[
        show(&COMPONENTS),
        show(&SCALE),
        show(&BATCH_MASS).when(&SCALE, &["mass"]),
        show(&BATCH_VOLUME).when(&SCALE, &["volume"]),
        show(&POWDER_AT_HAND).when(&SCALE, &["powder"]),
        show(&MEASURED_DENSITY),
        show(&SPECIFIC_SURFACE),
    ],
    outputs: &[
        show(&POWDER_FRACTION),
        show(&POWDER_VOLUME_FRACTION),
        show(&TOTAL_MASS),
        show(&TOTAL_VOLUME),
        show(&INK_DENSITY),
        show(&SCALE_FACTOR).unless(&SCALE, &["written"]),
        show(&WEIGH_OUT),
        show(&MADE),
        show(&SOLIDS_FRACTION),
        show(&CARRIER_MASS),
        show(&CARRIER_BROUGHT),
        show(&DISPERSANT_PER_POWDER),
        show(&DISPERSANT_PER_SURFACE),
        show(&DISPERSANT_MASS),
        show(&POWDER_MASS),
        show(&POWDER_DENSITY),
        show(&ADDITIVE_VOLUME),
    ],
    working: &[
        method("What is planned by volume weighs its volume times its density."),
        method("Scale factor: wanted mass over the mass as written.")
            .gives(&[&SCALE_FACTOR])
            .when(&SCALE, &["mass"]),
        method("Scale factor: wanted volume over the volumes as written, added up.")
            .gives(&[&SCALE_FACTOR])
            .when(&SCALE, &["volume"]),
        method("Scale factor: powder at hand over the powder as written.")
            .gives(&[&SCALE_FACTOR])
            .when(&SCALE, &["powder"]),
        method("To weigh: the amount as written times the scale factor.").gives(&[&WEIGH_OUT]),
        method("Each component counts with the mass actually weighed where it is entered, otherwise as planned."),
        method("Mass of the ink: all components added up.").gives(&[&TOTAL_MASS]),
        method("Volumes of the components: mass over density, added up.").gives(&[&ADDITIVE_VOLUME]),
        formula("ink_density = measured_density"),
        formula("ink_density = total_mass / additive_volume").without(&MEASURED_DENSITY),
        formula("total_volume = total_mass / ink_density"),
        method(
            "Active in a component: by w/w the fraction of its mass; by w/v the fraction of 1 g for each millilitre; \
             by v/v the fraction of its volume, times the density of the active part.",
        )
        .gives(&[&MADE]),
        method("Powder in the ink: what is active in the components of this role.").gives(&[&POWDER_MASS]),
        formula("powder_fraction = powder_mass / total_mass"),
        method("Density of the powder: its mass over the volumes of its components' active parts, added up.")
            .gives(&[&POWDER_DENSITY]),
        formula("powder_volume_fraction = powder_mass / powder_density / total_volume"),
        method("Left after drying: what is active in powder, dispersant and binder.")
            .gives(&[&SOLIDS_FRACTION]),
        method("Carrier: the components of this role, and the rest of solutions where that is carrier.")
            .gives(&[&CARRIER_MASS, &CARRIER_BROUGHT]),
        method("Dispersant: what is active in the components of this role.").gives(&[&DISPERSANT_MASS]),
        formula("dispersant_per_powder = dispersant_mass / powder_mass"),
        formula("dispersant_per_surface = dispersant_mass / (powder_mass * specific_surface)"),
    ],
    sources: &[MASS_BALANCE, derived("definitions of w/w, w/v (grams in 100 mL) and v/v")],
    hazards: &[
        hazards::NANOPOWDERS,
        hazards::ACIDS_AND_BASES,
        hazards::SOLVENTS,
    ],
    formula: both::<InkRecipe>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a water-based ink, invented, as written",
        // 20 g + 1.5 g + 8 g + 70.5 g; water 70.5 + 0.825 g.
        inputs: INK_AS_WRITTEN,
        expected: &[
            expect("total_mass", "100 g", 1e-9),
            expect("powder_fraction", "20 %", 1e-9),
            expect("made.b.active_mass", "0.675 g", 1e-12),
            expect("made.b.active_fraction", "0.675 %", 1e-12),
            expect("made.b.mass_fraction", "1.5 %", 1e-12),
            expect("carrier_brought", "0.825 g", 1e-12),
            expect("carrier_mass", "71.325 g", 1e-9),
            expect("dispersant_per_powder", "3.375 %", 1e-12),
            expect("dispersant_per_surface", "0.675 mg/m2", 1e-12),
            expect("solids_fraction", "20.675 %", 1e-9),
            // 20/4 + 1.5/1.2 + 8/1.25 + 70.5 mL.
            expect("total_volume", "83.15 mL", 1e-9),
            expect("powder_volume_fraction", "6.0132291040288633 %", 1e-9),
            expect("ink_density", "1.2026458208057727 g/mL", 1e-12),
            expect("powder_density", "4 g/cm3", 1e-12),
        ],
        source: practice("dispersant sold at 45 % active brings 0.675 g in 1.5 g"),
    },
    Case {
        title: "50 mL of ethanol and 50 mL of water, density measured",
        inputs: &[
            ("components.a.name", "ethanol"),
            ("components.a.role", "other"),
            ("components.a.planned_volume", "50.0 mL"),
            ("components.a.density", "789.2391232999144 kg/m3"),
            ("components.a.active_as", "pure"),
            ("components.a.rest", "carrier"),
            ("components.b.name", "water"),
            ("components.b.role", "carrier"),
            ("components.b.planned_volume", "50.0 mL"),
            ("components.b.density", "998.20123 kg/m3"),
            ("components.b.active_as", "pure"),
            ("components.b.rest", "carrier"),
            ("measured_density", "926.4930540821549 kg/m3"),
        ],
        expected: &[
            expect("total_mass", "89.37201766499572 g", 1e-9),
            expect("made.a.mass_fraction", "0.44154711056111423", 1e-9),
            expect("additive_volume", "100 mL", 1e-9),
            expect("total_volume", "96.46269583049765 mL", 1e-9),
        ],
        source: computed(
            "OIML R 22 (1975) formula at 20 °C, coefficients from memory, evaluated with Python 3",
        ),
    },
    Case {
        title: "scaled to a batch mass, and weighed",
        // Twice as written, but 42 g of powder; then 202 g of ink.
        inputs: &[
            ("components.a.name", "powder"),
            ("components.a.role", "powder"),
            ("components.a.planned_mass", "20 g"),
            ("components.a.actual_mass", "42 g"),
            ("components.a.weighed", "yes"),
            ("components.a.density", "4 g/cm3"),
            ("components.a.active_as", "pure"),
            ("components.a.rest", "carrier"),
            ("components.b.name", "water"),
            ("components.b.role", "carrier"),
            ("components.b.planned_volume", "80 mL"),
            ("components.b.density", "1 g/mL"),
            ("components.b.active_as", "pure"),
            ("components.b.rest", "carrier"),
            ("scale", "mass"),
            ("batch_mass", "200 g"),
        ],
        expected: &[
            expect("scale_factor", "2", 1e-12),
            expect("weigh_out.a.mass", "40 g", 1e-12),
            expect("weigh_out.a.deviation", "5 %", 1e-12),
            expect("weigh_out.b.volume", "160 mL", 1e-9),
            expect("total_mass", "202 g", 1e-9),
            expect("powder_fraction", "20.792079207920793 %", 1e-12),
            expect("total_volume", "170.5 mL", 1e-9),
        ],
        source: MASS_BALANCE,
    },
    Case {
        title: "scaled to a volume; label in w/v and v/v",
        // 100 mL as written: 10 mL at 30 % (w/v) are 3 g, 10 mL at 50 % (v/v) of 0.8 g/mL are 4 g.
        inputs: &[
            ("components.a.role", "binder"),
            ("components.a.planned_volume", "10 mL"),
            ("components.a.density", "1.1 g/mL"),
            ("components.a.active_as", "w_v"),
            ("components.a.active", "30 %"),
            ("components.a.rest", "carrier"),
            ("components.b.role", "humectant"),
            ("components.b.planned_volume", "10 mL"),
            ("components.b.density", "0.95 g/mL"),
            ("components.b.active_as", "v_v"),
            ("components.b.active", "50 %"),
            ("components.b.active_density", "0.8 g/mL"),
            ("components.b.rest", "solvent"),
            ("components.c.role", "carrier"),
            ("components.c.planned_mass", "80 g"),
            ("components.c.density", "1 g/mL"),
            ("components.c.active_as", "pure"),
            ("components.c.rest", "carrier"),
            ("scale", "volume"),
            ("batch_volume", "25 mL"),
        ],
        expected: &[
            expect("scale_factor", "0.25", 1e-12),
            expect("made.a.active_mass", "0.75 g", 1e-12),
            expect("made.b.active_mass", "1 g", 1e-12),
            expect("carrier_brought", "2 g", 1e-12),
            expect("carrier_mass", "22 g", 1e-9),
            expect("total_volume", "25 mL", 1e-9),
        ],
        source: derived("definitions of w/v and v/v"),
    },
    Case {
        title: "from the powder at hand, as a dispersion",
        // 30 g of dispersion hold 6 g of powder in 24 g of water.
        inputs: &[
            ("components.a.role", "powder"),
            ("components.a.planned_mass", "10 g"),
            ("components.a.density", "1.2 g/mL"),
            ("components.a.active_as", "w_w"),
            ("components.a.active", "20 %"),
            ("components.a.active_density", "4 g/cm3"),
            ("components.a.rest", "carrier"),
            ("components.b.role", "carrier"),
            ("components.b.planned_mass", "5 g"),
            ("components.b.density", "1 g/mL"),
            ("components.b.active_as", "pure"),
            ("components.b.rest", "carrier"),
            ("scale", "powder"),
            ("powder_at_hand", "30 g"),
        ],
        expected: &[
            expect("scale_factor", "3", 1e-12),
            expect("weigh_out.b.mass", "15 g", 1e-12),
            expect("powder_mass", "6 g", 1e-12),
            expect("carrier_mass", "39 g", 1e-12),
            expect("powder_volume_fraction", "3.75 %", 1e-12),
        ],
        source: MASS_BALANCE,
    },
];

const INK_AS_WRITTEN: &[(&str, &str)] = &[
    ("components.a.name", "powder"),
    ("components.a.role", "powder"),
    ("components.a.planned_mass", "20 g"),
    ("components.a.density", "4 g/cm3"),
    ("components.a.active_as", "pure"),
    ("components.a.rest", "carrier"),
    ("components.b.name", "dispersant"),
    ("components.b.role", "dispersant"),
    ("components.b.planned_mass", "1.5 g"),
    ("components.b.density", "1.2 g/mL"),
    ("components.b.active_as", "w_w"),
    ("components.b.active", "45 %"),
    ("components.b.rest", "carrier"),
    ("components.c.name", "humectant"),
    ("components.c.role", "humectant"),
    ("components.c.planned_mass", "8 g"),
    ("components.c.density", "1.25 g/mL"),
    ("components.c.active_as", "pure"),
    ("components.c.rest", "carrier"),
    ("components.d.name", "water"),
    ("components.d.role", "carrier"),
    ("components.d.planned_mass", "70.5 g"),
    ("components.d.density", "1 g/mL"),
    ("components.d.active_as", "pure"),
    ("components.d.rest", "carrier"),
    ("specific_surface", "50 m2/g"),
];

/// One component of the ink.
struct Component<'a, S> {
    id: &'a str,
    given: Given<'a, S>,
    /// What a person calls it: its name, or its row.
    name: String,
    /// Mass as the recipe has it; zero where it is not in the recipe.
    written: S,
}

impl<'a, S: Scalar> Component<'a, S> {
    fn read(position: usize, (id, given): (&'a str, Given<'a, S>)) -> Result<Self, Problem> {
        let mut component = Component {
            id,
            given,
            name: given.called(&NAME, position),
            written: S::constant(0.0),
        };
        component.written = component.as_written()?;
        Ok(component)
    }

    /// A problem in one of its cells.
    fn problem(&self, cell: &Field, code: &'static str, sentence: String, hint: &str) -> Problem {
        let path = format!("{}.{}.{}", COMPONENTS.id, self.id, cell.id);
        Problem::in_path(path, code, sentence, hint)
    }

    fn as_written(&self) -> Result<S, Problem> {
        match (
            self.given.get(&PLANNED_MASS),
            self.given.get(&PLANNED_VOLUME),
        ) {
            (Some(_), Some(_)) => Err(self.problem(
                &PLANNED_VOLUME,
                "amount_twice",
                format!("The recipe has both a mass and a volume of {}.", self.name),
                "Clear one of the two.",
            )),
            (Some(mass), None) => Ok(mass),
            (None, Some(volume)) => Ok(volume * self.density("it is in the recipe by volume")?),
            // What came into the ink without being planned.
            (None, None) if self.given.get(&ACTUAL_MASS).is_some() => Ok(S::constant(0.0)),
            (None, None) => Err(self.problem(
                &PLANNED_MASS,
                "no_amount",
                format!("There is no amount of {} yet.", self.name),
                "Enter its mass or its volume, or remove the row.",
            )),
        }
    }

    /// The density, where it cannot be done without.
    fn density(&self, why: &str) -> Result<S, Problem> {
        self.given.get(&DENSITY).ok_or_else(|| {
            self.problem(
                &DENSITY,
                "density_needed",
                format!("The density of {} is needed: {why}.", self.name),
                "Enter it, or pick it from the tables.",
            )
        })
    }

    /// Mass of what is active per mass of the component.
    fn active(&self) -> Result<S, Problem> {
        let stated_as = self.given.choice(&ACTIVE_AS);
        if stated_as == "pure" {
            return Ok(S::constant(1.0));
        }
        let fraction = self.given.get(&ACTIVE).ok_or_else(|| {
            self.problem(
                &ACTIVE,
                "no_active",
                format!("There is no active fraction of {} yet.", self.name),
                "Enter it as the label states it, or choose that all of it is active.",
            )
        })?;
        let share = match stated_as {
            "w_v" => {
                fraction * WHOLE_W_V / self.density("its active fraction is stated per volume")?
            }
            "v_v" => {
                let density = self.density("its active fraction is stated by volume")?;
                let active = self.given.get(&ACTIVE_DENSITY).ok_or_else(|| {
                    self.problem(
                        &ACTIVE_DENSITY,
                        "density_needed",
                        format!(
                            "The density of what is active in {} is needed: its fraction is stated by volume.",
                            self.name
                        ),
                        "Enter it, or ask the supplier for a fraction by mass.",
                    )
                })?;
                fraction * active / density
            }
            _ => fraction,
        };
        if share.value() > 1.0 + ROUNDING {
            return Err(self.problem(
                &ACTIVE,
                "more_than_all",
                format!(
                    "{} of {} would be active.",
                    ACTIVE.say(share.value()),
                    self.name
                ),
                "Look at the active fraction, at how it is stated, and at the densities.",
            ));
        }
        Ok(share)
    }

    /// The density of what is active; none where it is not known.
    fn active_density(&self) -> Option<S> {
        let of_all = self
            .given
            .get(&DENSITY)
            .filter(|_| self.given.choice(&ACTIVE_AS) == "pure");
        self.given.get(&ACTIVE_DENSITY).or(of_all)
    }

    fn is(&self, role: &str) -> bool {
        self.given.choice(&ROLE) == role
    }
}

fn components<'a, S: Scalar>(given: &Given<'a, S>) -> Result<Vec<Component<'a, S>>, Problem> {
    let rows = given.rows(&COMPONENTS).enumerate();
    rows.map(|(position, row)| Component::read(position, row))
        .collect()
}

/// A component with what goes into the ink of it.
struct Part<'a, S> {
    component: Component<'a, S>,
    planned: S,
    /// Actually weighed, or planned.
    used: S,
    /// What is active in it.
    active: S,
}

fn parts<'a, S: Scalar>(
    components: Vec<Component<'a, S>>,
    factor: S,
) -> Result<Vec<Part<'a, S>>, Problem> {
    let part = |component: Component<'a, S>| {
        let planned = component.written * factor;
        let used = component.given.get(&ACTUAL_MASS).unwrap_or(planned);
        Ok(Part {
            planned,
            used,
            active: component.active()? * used,
            component,
        })
    };
    components.into_iter().map(part).collect()
}

/// What is active in the components of these roles.
fn active_in<S: Scalar>(parts: &[Part<'_, S>], roles: &[&str]) -> S {
    let of_role = |part: &&Part<'_, S>| roles.iter().any(|role| part.component.is(role));
    sum(parts.iter().filter(of_role).map(|part| part.active))
}

/// Masses over densities, added up; none where a density is missing.
fn volumes<S: Scalar>(parts: impl Iterator<Item = (S, Option<S>)>) -> Option<S> {
    let volumes: Option<Vec<S>> = parts.map(|(mass, density)| Some(mass / density?)).collect();
    Some(sum(volumes?))
}

/// How many times the recipe as written is made.
fn scale_factor<S: Scalar>(
    given: &Given<'_, S>,
    components: &[Component<'_, S>],
) -> Result<S, Problem> {
    let (wanted, written) = match given.choice(&SCALE) {
        "mass" => (&BATCH_MASS, sum(components.iter().map(|c| c.written))),
        "volume" => {
            let planned = components.iter().filter(|c| c.written.value() > 0.0);
            let volumes: Result<Vec<S>, Problem> = planned
                .map(|c| Ok(c.written / c.density("the batch is wanted by volume")?))
                .collect();
            (&BATCH_VOLUME, sum(volumes?))
        }
        "powder" => {
            let powder = components.iter().filter(|c| c.is("powder"));
            (&POWDER_AT_HAND, sum(powder.map(|c| c.written)))
        }
        _ => return Ok(S::constant(1.0)),
    };
    if written.value() <= 0.0 {
        return Err(Problem::at(
            wanted,
            "nothing_to_scale",
            "The recipe as written holds none of what it is to be scaled by.",
            "Enter masses or volumes in the recipe, with the role powder where it is scaled by powder.",
        ));
    }
    Ok(given[wanted] / written)
}

struct InkRecipe;

impl Formula for InkRecipe {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let components = components(given)?;
        let factor = scale_factor(given, &components)?;
        let parts = parts(components, factor)?;
        let mass = sum(parts.iter().map(|part| part.used));
        if mass.value() <= 0.0 {
            return Err(Problem::at(
                &COMPONENTS,
                "empty_ink",
                "Nothing went into the ink.",
                "Enter what was weighed, or clear the actual masses.",
            ));
        }

        let mut found = Found::new();
        found.set(&TOTAL_MASS, mass);
        if given.choice(&SCALE) != "written" {
            found.set(&SCALE_FACTOR, factor);
        }
        let row = |part: &Part<'_, S>, cells| FoundRow {
            id: part.component.id.into(),
            cells,
        };
        let to_weigh = parts.iter().map(|part| row(part, part.to_weigh(factor)));
        found.set_rows(&WEIGH_OUT, to_weigh.collect());
        let made = parts.iter().map(|part| row(part, part.made(mass)));
        found.set_rows(&MADE, made.collect());

        let additive = volumes(
            parts
                .iter()
                .map(|part| (part.used, part.component.given.get(&DENSITY))),
        );
        found.set_some(&ADDITIVE_VOLUME, additive);
        let density = given
            .get(&MEASURED_DENSITY)
            .or(additive.map(|volume| mass / volume));
        let volume = density.map(|density| mass / density);
        found.set_some(&INK_DENSITY, density);
        found.set_some(&TOTAL_VOLUME, volume);

        let rest = |part: &&Part<'_, S>| part.component.given.choice(&REST) == "carrier";
        let brought = sum(parts
            .iter()
            .filter(rest)
            .map(|part| part.used - part.active));
        found.set(&CARRIER_BROUGHT, brought);
        found.set(&CARRIER_MASS, active_in(&parts, &["carrier"]) + brought);
        let solids = active_in(&parts, &["powder", "dispersant", "binder"]);
        found.set(&SOLIDS_FRACTION, solids / mass);
        let dispersant = active_in(&parts, &["dispersant"]);
        found.set(&DISPERSANT_MASS, dispersant);
        let powder = active_in(&parts, &["powder"]);
        found.set(&POWDER_MASS, powder);
        found.set(&POWDER_FRACTION, powder / mass);
        if powder.value() > 0.0 {
            let powders = parts.iter().filter(|part| part.component.is("powder"));
            let powder_volume =
                volumes(powders.map(|part| (part.active, part.component.active_density())));
            let share = powder_volume.zip(volume).map(|(powder, ink)| powder / ink);
            if let (Some(powder), Some(ink)) = (powder_volume, volume) {
                has_room(given, powder.value(), ink.value())?;
            }
            found.set_some(&POWDER_DENSITY, powder_volume.map(|volume| powder / volume));
            found.set_some(&POWDER_VOLUME_FRACTION, share);
            found.set(&DISPERSANT_PER_POWDER, dispersant / powder);
            let surface = given.get(&SPECIFIC_SURFACE).map(|surface| powder * surface);
            found.set_some(
                &DISPERSANT_PER_SURFACE,
                surface.map(|surface| dispersant / surface),
            );
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let (Ok(components), factor) = (components(given), found.get(&SCALE_FACTOR).unwrap_or(1.0))
        else {
            return Vec::new();
        };
        let mut checks = weighed_out(&components);
        checks.extend(weighings(&components, factor));
        checks.extend(unknown_densities(given, &components, found));
        checks.extend(against_additive(given, found));
        checks.extend(coverage(found));
        checks
    }
}

/// Powder cannot fill more than the ink that it is in.
fn has_room<S: Scalar>(given: &Given<'_, S>, powder: f64, ink: f64) -> Result<(), Problem> {
    // Rounding must not make what is nothing but powder overflow.
    if powder <= ink * (1.0 + 1e-9) {
        return Ok(());
    }
    let (at, hint) = if given.get(&MEASURED_DENSITY).is_some() {
        (
            &MEASURED_DENSITY,
            "Look at the measured density and its unit, and at the density of the powder.",
        )
    } else {
        (
            &COMPONENTS,
            "Look at the densities of the components and of their active parts.",
        )
    };
    Err(Problem::at(
        at,
        "powder_above_ink",
        format!(
            "The powder alone would fill {}, more than the ink ({}).",
            TOTAL_VOLUME.say(powder),
            TOTAL_VOLUME.say(ink)
        ),
        hint,
    ))
}

impl<S: Scalar> Part<'_, S> {
    fn to_weigh(&self, factor: S) -> Vec<(&'static Field, S)> {
        let given = self.component.given;
        let actual = given
            .get(&ACTUAL_MASS)
            .filter(|_| self.planned.value() > 0.0);
        let volume = given.get(&PLANNED_VOLUME);
        let cells: [Option<(&'static Field, S)>; 3] = [
            Some((&TO_WEIGH, self.planned)),
            volume.map(|volume| (&TO_MEASURE, volume * factor)),
            actual.map(|actual| (&OFF_PLAN, actual / self.planned - 1.0)),
        ];
        cells.into_iter().flatten().collect()
    }

    fn made(&self, ink: S) -> Vec<(&'static Field, S)> {
        vec![
            (&MASS, self.used),
            (&MASS_FRACTION, self.used / ink),
            (&ACTIVE_MASS, self.active),
            (&ACTIVE_FRACTION, self.active / ink),
        ]
    }
}

fn names<'a>(components: impl Iterator<Item = &'a Component<'a, f64>>) -> Option<String> {
    let names: Vec<&str> = components
        .map(|component| component.name.as_str())
        .collect();
    (!names.is_empty()).then(|| names.join(", "))
}

/// What is still to be weighed once weighing has begun.
fn weighed_out(components: &[Component<'_, f64>]) -> Vec<Check> {
    let weighed = |c: &Component<'_, f64>| c.given.get(&ACTUAL_MASS).is_some();
    let done = |c: &Component<'_, f64>| weighed(c) || c.given.choice(&WEIGHED) == "yes";
    if !components.iter().any(done) {
        return Vec::new();
    }
    let rule = practice("tick off what is in the pot before the next bottle is opened");
    let mut checks = vec![match names(components.iter().filter(|c| !done(c))) {
        Some(open) => Check::note("still_to_weigh", format!("Still to weigh: {open}."), rule),
        None => Check::in_range("still_to_weigh", "Everything is weighed in.", rule),
    }];
    if let Some(planned) = names(components.iter().filter(|c| !weighed(c))) {
        checks.push(Check::note(
            "counted_as_planned",
            format!("No actual mass is entered for {planned}: the ink counts it as planned."),
            MASS_BALANCE,
        ));
    }
    checks
}

/// Weighings that are off their plan; one line where none is.
fn weighings(components: &[Component<'_, f64>], factor: f64) -> Vec<Check> {
    let compare = |component: &Component<'_, f64>| {
        let (actual, planned) = (
            component.given.get(&ACTUAL_MASS)?,
            component.written * factor,
        );
        if planned <= 0.0 {
            return Some(Check::note(
                "not_in_recipe",
                format!(
                    "{} of {} went in, which is not in the recipe.",
                    ACTUAL_MASS.say(actual),
                    component.name
                ),
                MASS_BALANCE,
            ));
        }
        Some(with_plan(
            &format!("{}: {}", component.name, ACTUAL_MASS.say(actual)),
            actual / planned - 1.0,
            &TO_WEIGH.say(planned),
        ))
    };
    let compared: Vec<Check> = components.iter().filter_map(compare).collect();
    let off: Vec<Check> = compared
        .iter()
        .filter(|check| check.level > Level::InRange)
        .cloned()
        .collect();
    if off.is_empty() && !compared.is_empty() {
        return vec![Check::in_range(
            "actual_against_plan",
            "Every weighing lies within 1 % of its plan.",
            DEVIATION,
        )];
    }
    off
}

/// Says which densities are missing for a volume that is not given.
fn unknown_densities(
    given: &Given<'_, f64>,
    components: &[Component<'_, f64>],
    found: &Found<f64>,
) -> Vec<Check> {
    let mut checks = Vec::new();
    let additive = found.get(&ADDITIVE_VOLUME).or(given.get(&MEASURED_DENSITY));
    let missing = components
        .iter()
        .filter(|c| c.given.get(&DENSITY).is_none());
    if let (None, Some(missing)) = (additive, names(missing)) {
        checks.push(Check::note(
            "volume_unknown",
            format!(
                "The volume of the ink needs the density of {missing}, or a measured density of the ink."
            ),
            MASS_BALANCE,
        ));
    }
    let mut powders = components.iter().filter(|c| c.is("powder")).peekable();
    if powders.peek().is_none() {
        checks.push(Check::note(
            "no_powder",
            "No component has the role powder.",
            MASS_BALANCE,
        ));
    }
    if let Some(missing) = names(powders.filter(|c| c.active_density().is_none())) {
        checks.push(Check::note(
            "powder_density_unknown",
            format!(
                "The powder by volume needs the density of {missing}; of a dispersion, that of the powder itself as \
                 density of the active part."
            ),
            MASS_BALANCE,
        ));
    }
    checks
}

/// The measured density against that by additive volumes.
fn against_additive(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let measured = given.get(&MEASURED_DENSITY)?;
    let additive = found.get(&TOTAL_MASS)? / found.get(&ADDITIVE_VOLUME)?;
    let off = measured / additive - 1.0;
    let (said, expected) = (INK_DENSITY.say(measured), INK_DENSITY.say(additive));
    let rule = practice("water-based inks follow additive volumes within about 2 %");
    Some(if off.abs() <= USUAL_EXCESS {
        Check::in_range(
            "additive_density",
            format!(
                "The measured density {said} agrees with that by additive volumes, {expected}."
            ),
            rule,
        )
    } else {
        let far = off.abs() > MIXING;
        let cause = match (off > 0.0, far) {
            (true, false) => {
                "Alcohol and water shrink when they mix; otherwise look at the densities of the components."
            }
            (true, true) => {
                "Look at the measured density and its unit, and at the densities of the components."
            }
            (false, _) => {
                "Look for air in the ink, at the unit, and at the densities of the components."
            }
        };
        let sentence = format!(
            "The measured density {said} differs from that by additive volumes, {expected}, by {}\u{202F}%. {cause}",
            value_text(100.0 * off.abs(), 2)
        );
        if far {
            Check::warning("additive_density", sentence, rule)
        } else {
            Check::note("additive_density", sentence, rule)
        }
    })
}

/// Whether the dispersant covers the powder about as it usually does.
fn coverage(found: &Found<f64>) -> Option<Check> {
    let coverage = found.get(&DISPERSANT_PER_SURFACE).filter(|c| *c > 0.0)?;
    let said = DISPERSANT_PER_SURFACE.say(coverage);
    let rule = practice("dispersants cover oxides with about 0.2 mg/m² to 3 mg/m²");
    Some(if coverage < USUAL_COVERAGE.0 {
        Check::note(
            "coverage",
            format!(
                "The dispersant covers the powder with {said}, less than usual: it may flocculate."
            ),
            rule,
        )
    } else if coverage > USUAL_COVERAGE.1 {
        Check::note(
            "coverage",
            format!(
                "There is {said} of dispersant, more than usual: the excess stays dissolved and foams."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "coverage",
            format!("The dispersant covers the powder with {said}, as is usual."),
            rule,
        )
    })
}
