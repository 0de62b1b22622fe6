//! # What it computes
//! A coating against a reference coating: the ratio and the difference of their thicknesses, or of their areal masses,
//! and whether they differ beyond their uncertainty.
//!
//! # Formulas
//! q = t/t_r, d = t − t_r, or the same with areal masses. The coatings differ where 1 lies outside q ± k·u(q).
//!
//! # Symbols and units
//! t, t_r thickness (m) of the coating and of the reference; m_A, m_A,r their areal masses (kg/m²); q ratio (1); d, d_A
//! differences (m, kg/m²); k coverage factor: 2, or Student's t where few degrees of freedom stand behind u.
//!
//! # Valid range
//! Both above zero.
//!
//! # Assumptions
//! Both were measured in the same way. What both share, such as one calibration on a linked card, cancels as far as it is
//! shared: the uncertainty is propagated from all entries, not from two separate ±.
//!
//! # Sources
//! JCGM 100:2008, 5.1.2 (combined uncertainty) and G.6.4 (coverage factor).
//!
//! # Worked example
//! A film of 10.4 µm against a reference of 8.0 µm is 1.3 times as thick, 2.4 µm more.

use super::*;
use crate::problem::{Check, Problem, computed, derived, practice};
use crate::quantity::Kind;
use crate::report::{Form, printed};
use crate::scalar::Scalar;
use crate::uncertainty::Estimate;

static BY: Field = choice(
    "by",
    "Compare",
    &[
        option("thickness", "thickness"),
        option("mass", "areal mass"),
    ],
);
static THICKNESS: Field = length("coating_thickness", "Thickness of the coating")
    .symbol("t")
    .positive()
    .measured();
static REFERENCE: Field = length("reference_thickness", "Thickness of the reference")
    .symbol("t_r")
    .positive();
static MASS: Field = areal_mass("coating_areal_mass", "Areal mass of the coating")
    .symbol("m_A")
    .positive()
    .measured();
static REFERENCE_MASS: Field = areal_mass("reference_areal_mass", "Areal mass of the reference")
    .symbol("m_A,r")
    .positive();

static RATIO: Field = quantity("ratio", "Coating over reference", Kind::Ratio)
    .symbol("q")
    .units(&["1", "%"]);
static DIFFERENCE: Field = length("difference", "Coating less reference").symbol("d");
static MASS_DIFFERENCE: Field = areal_mass(
    "areal_mass_difference",
    "Coating less reference, areal mass",
)
.symbol("d_A");

const fn length(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Length).units(&["um", "nm"])
}

const fn areal_mass(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::ArealMass).units(&["mg/cm2", "ug/cm2"])
}

/// A coating against a reference coating.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "reference_coating",
    version: 1,
    stage: Stage::Layers,
    title: "Against a reference coating",
    purpose: "How a coating compares with a reference, and whether they differ beyond their uncertainty.",
    inputs: &[
        show(&BY),
        show(&THICKNESS).when(&BY, &["thickness"]),
        show(&REFERENCE).when(&BY, &["thickness"]),
        show(&MASS).when(&BY, &["mass"]),
        show(&REFERENCE_MASS).when(&BY, &["mass"]),
    ],
    outputs: &[
        show(&RATIO),
        show(&DIFFERENCE).when(&BY, &["thickness"]),
        show(&MASS_DIFFERENCE).when(&BY, &["mass"]),
    ],
    working: &[
        formula("ratio = coating_thickness / reference_thickness").when(&BY, &["thickness"]),
        formula("difference = coating_thickness - reference_thickness").when(&BY, &["thickness"]),
        formula("ratio = coating_areal_mass / reference_areal_mass").when(&BY, &["mass"]),
        formula("areal_mass_difference = coating_areal_mass - reference_areal_mass")
            .when(&BY, &["mass"]),
    ],
    sources: &[derived(
        "A ratio of two results, with the uncertainty of both",
    )],
    hazards: &[Hazard {
        what: "Scratched and scraped films",
        caution: "Baring a step or scraping a film for weighing frees fine powder and splinters of glass. Work wet, \
                  goggles, wipe up; do not blow.",
    }],
    formula: both::<ReferenceCoating>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a thicker coating",
        inputs: &[
            ("coating_thickness", "10.4 um"),
            ("reference_thickness", "8.0 um"),
        ],
        expected: &[
            expect("ratio", "1.3", 1e-12),
            expect("difference", "2.4 um", 1e-12),
        ],
        source: derived("10.4/8 = 1.3, by hand"),
    },
    Case {
        title: "a lighter coating",
        inputs: &[
            ("by", "mass"),
            ("coating_areal_mass", "0.9 mg/cm2"),
            ("reference_areal_mass", "1.2 mg/cm2"),
        ],
        expected: &[
            expect("ratio", "0.75", 1e-12),
            expect("areal_mass_difference", "-0.3 mg/cm2", 1e-12),
        ],
        source: derived("0.9/1.2 = 0.75, by hand"),
    },
    Case {
        title: "six passes at 600 dots per inch against three at 360",
        inputs: &[
            ("coating_thickness", "11.416972 um"),
            ("reference_thickness", "2.114587 um"),
        ],
        expected: &[
            expect("ratio", "5.3991498103", 1e-9),
            expect("difference", "9.302385 um", 1e-9),
        ],
        source: computed("ratio of two volume balances, Python 3.11 float64"),
    },
    Case {
        title: "a coating like its reference",
        inputs: &[
            ("by", "mass"),
            ("coating_areal_mass", "0.269276 mg/cm2"),
            ("reference_areal_mass", "269.276 ug/cm2"),
        ],
        expected: &[
            expect("ratio", "1", 1e-12),
            expect("areal_mass_difference", "0 mg/cm2", 1e-12),
        ],
        source: derived("the same areal mass in two units"),
    },
];

struct ReferenceCoating;

impl Formula for ReferenceCoating {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let by_mass = given.choice(&BY) == "mass";
        let (coating, reference, difference) = if by_mass {
            (given[&MASS], given[&REFERENCE_MASS], &MASS_DIFFERENCE)
        } else {
            (given[&THICKNESS], given[&REFERENCE], &DIFFERENCE)
        };
        let mut found = Found::new();
        found.set(&RATIO, coating / reference);
        found.set(difference, coating - reference);
        Ok(found)
    }

    fn judge(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
        let words = if given.choice(&BY) == "mass" {
            ["heavier", "lighter"]
        } else {
            ["thicker", "thinner"]
        };
        let check = estimate(&RATIO).map(|ratio| verdict(&ratio, words));
        check.into_iter().collect()
    }
}

/// Whether coating and reference differ.
fn verdict(ratio: &Estimate, [above, below]: [&str; 2]) -> Check {
    let shown = printed(&RATIO, ratio, None, Form::Expanded).text;
    let rule = derived("one outside the ratio and its expanded uncertainty");
    if ratio.uncertainty == 0.0 {
        Check::note(
            "no_uncertainty",
            format!(
                "The ratio is {shown}. Whether the coatings differ cannot be said without their uncertainties: enter ±."
            ),
            practice("a difference counts against its uncertainty"),
        )
    } else if Scalar::abs(ratio.value - 1.0) > ratio.expanded() {
        let how = if ratio.value > 1.0 { above } else { below };
        Check::note(
            "differs",
            format!(
                "The coating is {how} than the reference beyond the uncertainty: the ratio is {shown}."
            ),
            rule,
        )
    } else {
        Check::in_range(
            "no_difference",
            format!("No difference from the reference can be told: the ratio is {shown}."),
            rule,
        )
    }
}
