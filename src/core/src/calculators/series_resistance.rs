//! # What it computes
//! Where the series resistance of a cell comes from: the conductive glass of both electrodes on the way to the contacts,
//! contacts and wires, charge transfer at the counter electrode, diffusion in the electrolyte; their sum beside the value
//! of a fit, with what they leave unexplained; and what a shorter film or contacts at two edges would give.
//!
//! # Formulas
//! Rectangle of length L collected at one edge: R = R□·(L²/3 + L·d); at two opposite edges: R = R□·(L²/12 + L·d/2); circle
//! of diameter D collected round its rim: R = R□·(D²/32 + D²/8·ln(1 + 2·d/D)). Each other part of one cell times its area.
//! Total R = Σ parts; unexplained R_f − R.
//!
//! # Symbols and units
//! R□ sheet resistance (Ω); L length of the film away from the contact, D its diameter, d bare glass between film and
//! contact (m); A area (m²); all resistances times area (Ω·m²); R_f series resistance of a fit (Ω·m²).
//!
//! # Valid range
//! Lengths and sheet resistances above zero, the rest from zero. Parts that are not known stay empty.
//!
//! # Assumptions
//! The film generates current evenly, and the voltage along the glass changes so little that it goes on doing so. Then the
//! heat in the glass, ∫ I² dR with the current I that has gathered, is that of a resistance R through which all of the
//! current flows. Bare glass is as wide as the film. A contact itself has no resistance along it. Resistances of arcs in an
//! impedance measurement belong to the voltage at which they were measured.
//!
//! # Sources
//! Heat in a strip and in a disc of a conductor that gathers an even current: derived here.
//!
//! # Worked example
//! 8 Ω glass under a film of 7 mm: 1.307 Ω·cm² for each electrode collected at one edge (computed).

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory};
use crate::quantity::{Kind, value_text};
use crate::scalar::{Scalar, sum};
use crate::uncertainty::Estimate;

static FILM: Field = choice(
    "film",
    "Film",
    &[
        option("rectangle", "rectangle"),
        option("circle", "circle, collected round its rim"),
    ],
);
static LENGTH: Field = quantity("length", "Film length", Kind::Length)
    .symbol("L")
    .help("Away from the contact, not along it; between the contacts where there are two.")
    .units(&["mm", "cm"])
    .positive();
static DIAMETER: Field = quantity("diameter", "Film diameter", Kind::Length)
    .symbol("D")
    .units(&["mm", "cm"])
    .positive();
static FRONT_SHEET: Field = sheet("front_sheet", "Sheet resistance, film glass").symbol("R□₁");
static FRONT_EDGES: Field = choice("front_edges", "Film glass collected at", &EDGES);
static FRONT_BARE: Field = bare("front_bare", "Film to contact, film glass").symbol("d₁");
static COUNTER_SHEET: Field =
    sheet("counter_sheet", "Sheet resistance, counter glass").symbol("R□₂");
static COUNTER_EDGES: Field = choice("counter_edges", "Counter glass collected at", &EDGES);
static COUNTER_BARE: Field = bare("counter_bare", "Film to contact, counter glass").symbol("d₂");
static GIVEN_AS: Field = choice(
    "given_as",
    "Other parts",
    &[
        option("area", "times area (Ω·cm²)"),
        option("cell", "of this cell (Ω)"),
    ],
);
static AREA: Field = quantity("area", "Area of the cell", Kind::Area)
    .symbol("A")
    .help("The one that the current density belongs to.")
    .units(&["cm2", "mm2"])
    .positive();
static CONTACT: Field = per_area("contact", "Contacts and wires").symbol("R₁");
static TRANSFER: Field = per_area("transfer", "Counter-electrode transfer")
    .symbol("R₂")
    .help("Charge transfer, from the arc at high frequency.");
static DIFFUSION: Field = per_area("diffusion", "Diffusion in the electrolyte")
    .symbol("R₃")
    .help("From the arc at low frequency.");
static CONTACT_CELL: Field = of_cell("contact_cell", "Contacts and wires").symbol("r₁");
static TRANSFER_CELL: Field = of_cell("transfer_cell", "Counter-electrode transfer")
    .symbol("r₂")
    .help("Charge transfer, from the arc at high frequency.");
static DIFFUSION_CELL: Field = of_cell("diffusion_cell", "Diffusion in the electrolyte")
    .symbol("r₃")
    .help("From the arc at low frequency.");
static FITTED: Field = quantity("fitted", "Series resistance of a fit", Kind::AreaResistance)
    .symbol("R_f")
    .help("To compare; take it from the card of the fit.")
    .units(&["Ohm.cm2"])
    .not_negative()
    .optional()
    .measured();
static SHORTER: Field = quantity("shorter", "Film to compare", Kind::Length)
    .symbol("L′")
    .help("Its length, or its diameter where it is a circle: what another one would give.")
    .units(&["mm", "cm"])
    .positive()
    .optional();

static TOTAL: Field = part("total", "Sum of the parts").symbol("R");
static FRONT: Field = part("front", "Film glass").symbol("R_g₁").drawn(Drawn::Bar);
static COUNTER: Field = part("counter", "Counter glass")
    .symbol("R_g₂")
    .drawn(Drawn::Bar);
static CONTACT_PART: Field = part("contact_part", "Contacts and wires")
    .symbol("R_c")
    .drawn(Drawn::Bar);
static TRANSFER_PART: Field = part("transfer_part", "Counter-electrode transfer")
    .symbol("R_ct")
    .drawn(Drawn::Bar);
static DIFFUSION_PART: Field = part("diffusion_part", "Diffusion in the electrolyte")
    .symbol("R_d")
    .drawn(Drawn::Bar);
static UNEXPLAINED: Field = part("unexplained", "Unexplained")
    .symbol("R_u")
    .help("The fit less the sum of the parts; parts that were left empty are in it.")
    .drawn(Drawn::Bar);
static SHORTER_TOTAL: Field = part("shorter_total", "Sum with the film to compare").symbol("R′");
static TWO_EDGES_TOTAL: Field = part("two_edges_total", "Sum with two edges each")
    .symbol("R″")
    .help("Both glasses collected at two opposite edges.");

static EDGES: [Choice; 2] = [
    option("one", "one edge"),
    option("two", "two opposite edges"),
];

const fn sheet(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::SheetResistance)
        .help("After firing, which often raises it.")
        .units(&["Ohm"])
        .positive()
}

const fn bare(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Length)
        .help("Bare conductive glass between the edge of the film and the contact.")
        .units(&["mm", "cm"])
        .not_negative()
        .initially("0")
}

const fn per_area(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::AreaResistance)
        .units(&["Ohm.cm2"])
        .not_negative()
        .optional()
        .measured()
}

const fn of_cell(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Resistance)
        .units(&["Ohm", "mOhm"])
        .not_negative()
        .optional()
        .measured()
}

const fn part(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::AreaResistance).units(&["Ohm.cm2"])
}

/// Parts are the same to rounding.
const SAME: f64 = 1e-9;
/// Less than this share of the fit left over is as good as explained.
const SMALL_REST: f64 = 0.2;

const HEAT: Source = derived("the heat ∫ I² dR in glass that gathers an even current");
const ARCS: Source = memory(
    "impedance of dye cells: the arc at high frequency is charge transfer at the counter electrode, the one at low \
     frequency diffusion in the electrolyte",
);

/// Where a cell's series resistance comes from.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "series_resistance",
    version: 1,
    stage: Stage::Comparing,
    title: "Series resistance",
    purpose: "Where the series resistance comes from, and what a shorter film or more contacts would give.",
    inputs: &[
        show(&FILM),
        show(&LENGTH).when(&FILM, &["rectangle"]),
        show(&DIAMETER).when(&FILM, &["circle"]),
        show(&FRONT_SHEET),
        show(&FRONT_EDGES).when(&FILM, &["rectangle"]),
        show(&FRONT_BARE),
        show(&COUNTER_SHEET),
        show(&COUNTER_EDGES).when(&FILM, &["rectangle"]),
        show(&COUNTER_BARE),
        show(&GIVEN_AS),
        show(&AREA).when(&GIVEN_AS, &["cell"]),
        show(&CONTACT).when(&GIVEN_AS, &["area"]),
        show(&TRANSFER).when(&GIVEN_AS, &["area"]),
        show(&DIFFUSION).when(&GIVEN_AS, &["area"]),
        show(&CONTACT_CELL).when(&GIVEN_AS, &["cell"]),
        show(&TRANSFER_CELL).when(&GIVEN_AS, &["cell"]),
        show(&DIFFUSION_CELL).when(&GIVEN_AS, &["cell"]),
        show(&FITTED),
        show(&SHORTER),
    ],
    outputs: &[
        show(&TOTAL),
        show(&FRONT),
        show(&COUNTER),
        show(&CONTACT_PART),
        show(&TRANSFER_PART),
        show(&DIFFUSION_PART),
        show(&UNEXPLAINED),
        show(&SHORTER_TOTAL),
        show(&TWO_EDGES_TOTAL).when(&FILM, &["rectangle"]),
    ],
    working: &[
        formula("front = front_sheet * (length^2 / 3 + length * front_bare)")
            .when(&FILM, &["rectangle"])
            .when(&FRONT_EDGES, &["one"]),
        formula("front = front_sheet * (length^2 / 12 + length * front_bare / 2)")
            .when(&FILM, &["rectangle"])
            .when(&FRONT_EDGES, &["two"]),
        formula(
            "front = front_sheet * (diameter^2 / 32 + diameter^2 / 8 * ln(1 + 2 * front_bare / diameter))",
        )
        .when(&FILM, &["circle"]),
        formula("counter = counter_sheet * (length^2 / 3 + length * counter_bare)")
            .when(&FILM, &["rectangle"])
            .when(&COUNTER_EDGES, &["one"]),
        formula("counter = counter_sheet * (length^2 / 12 + length * counter_bare / 2)")
            .when(&FILM, &["rectangle"])
            .when(&COUNTER_EDGES, &["two"]),
        formula(
            "counter = counter_sheet * (diameter^2 / 32 + diameter^2 / 8 * ln(1 + 2 * counter_bare / diameter))",
        )
        .when(&FILM, &["circle"]),
        formula("contact_part = contact").when(&GIVEN_AS, &["area"]),
        formula("transfer_part = transfer").when(&GIVEN_AS, &["area"]),
        formula("diffusion_part = diffusion").when(&GIVEN_AS, &["area"]),
        formula("contact_part = contact_cell * area").when(&GIVEN_AS, &["cell"]),
        formula("transfer_part = transfer_cell * area").when(&GIVEN_AS, &["cell"]),
        formula("diffusion_part = diffusion_cell * area").when(&GIVEN_AS, &["cell"]),
        method("The sum is that of the parts that are there.").gives(&[&TOTAL]),
        formula("unexplained = fitted - total"),
        method("With the film to compare, the two glasses are worked out again; the other parts, times area, stay.")
            .gives(&[&SHORTER_TOTAL]),
        formula(
            "two_edges_total = total - front - counter + front_sheet * (length^2 / 12 + length * front_bare / 2) \
             + counter_sheet * (length^2 / 12 + length * counter_bare / 2)",
        )
        .when(&FILM, &["rectangle"]),
    ],
    sources: &[HEAT, ARCS],
    hazards: &[hazards::GLASS, hazards::LEAKING_CELL],
    formula: both::<SeriesResistance>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "a film of 7 mm on glass of 8 Ω, all parts",
        inputs: &[
            ("length", "7 mm"),
            ("front_sheet", "8 Ohm"),
            ("counter_sheet", "8 Ohm"),
            ("contact", "0.4 Ohm.cm2"),
            ("transfer", "0.5 Ohm.cm2"),
            ("diffusion", "0.9 Ohm.cm2"),
            ("fitted", "5.2 Ohm.cm2"),
            ("shorter", "5 mm"),
        ],
        expected: &[
            expect("front", "1.3066666666666669 Ohm.cm2", 1e-12),
            expect("counter", "1.3066666666666669 Ohm.cm2", 1e-12),
            // 2·1.30667 + 0.4 + 0.5 + 0.9
            expect("total", "4.4133333333333333 Ohm.cm2", 1e-12),
            expect("unexplained", "0.7866666666666667 Ohm.cm2", 1e-12),
            // 2·8·0.25/3 + 1.8
            expect("shorter_total", "3.1333333333333333 Ohm.cm2", 1e-12),
            // 2·1.30667/4 + 1.8
            expect("two_edges_total", "2.4533333333333333 Ohm.cm2", 1e-12),
        ],
        source: STRIP,
    },
    Case {
        title: "films of 5 mm and 10 mm on glass of 10 Ω",
        inputs: &[
            ("length", "5 mm"),
            ("front_sheet", "10 Ohm"),
            ("counter_sheet", "10 Ohm"),
            ("counter_edges", "two"),
            ("shorter", "10 mm"),
        ],
        expected: &[
            expect("front", "0.8333333333333333 Ohm.cm2", 1e-12),
            expect("counter", "0.20833333333333333 Ohm.cm2", 1e-12),
            // 3.3333 at one edge and a quarter of it at two
            expect("shorter_total", "4.1666666666666666 Ohm.cm2", 1e-12),
        ],
        source: STRIP,
    },
    Case {
        title: "a film of 10 mm on glass of 10 Ω",
        inputs: &[
            ("length", "10 mm"),
            ("front_sheet", "10 Ohm"),
            ("counter_sheet", "10 Ohm"),
        ],
        expected: &[
            expect("front", "3.333333333333333 Ohm.cm2", 1e-12),
            expect("two_edges_total", "1.6666666666666666 Ohm.cm2", 1e-12),
        ],
        source: STRIP,
    },
    Case {
        title: "a film of 20 mm on glass of 10 Ω",
        inputs: &[
            ("length", "20 mm"),
            ("front_sheet", "10 Ohm"),
            ("counter_sheet", "10 Ohm"),
        ],
        expected: &[expect("front", "13.333333333333332 Ohm.cm2", 1e-12)],
        source: STRIP,
    },
    Case {
        title: "a disc collected round its rim, parts of the cell in Ω",
        inputs: &[
            ("film", "circle"),
            ("diameter", "6 mm"),
            ("front_sheet", "8 Ohm"),
            ("front_bare", "1.5 mm"),
            ("counter_sheet", "15 Ohm"),
            ("given_as", "cell"),
            ("area", "0.2827 cm2"),
            ("contact_cell", "1.2 Ohm"),
            ("transfer_cell", "2 Ohm"),
            ("diffusion_cell", "5 Ohm"),
        ],
        expected: &[
            // 8·(0.36/32 + 0.36/8·ln 1.5), 15·0.36/32, 0.2827 times 1.2, 2 and 5
            expect("front", "0.2359674389189392 Ohm.cm2", 1e-12),
            expect("counter", "0.16875 Ohm.cm2", 1e-12),
            expect("contact_part", "0.33924 Ohm.cm2", 1e-12),
            expect("transfer_part", "0.5654 Ohm.cm2", 1e-12),
            expect("diffusion_part", "1.4135 Ohm.cm2", 1e-12),
            expect("total", "2.7228574389189392 Ohm.cm2", 1e-12),
        ],
        source: HEAT,
    },
];

const STRIP: Source =
    computed("R□·L²/3 with Python 3.11; the formula from memory, and derived here");

struct SeriesResistance;

impl Formula for SeriesResistance {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let circle = given.choice(&FILM) == "circle";
        let size = given[if circle { &DIAMETER } else { &LENGTH }];
        let collected = |edges| match (circle, given.choice(edges)) {
            (true, _) => Collected::Rim,
            (false, "two") => Collected::TwoEdges,
            (false, _) => Collected::OneEdge,
        };
        let (at_front, at_counter) = (collected(&FRONT_EDGES), collected(&COUNTER_EDGES));
        let front = |size, at| glass(given[&FRONT_SHEET], size, given[&FRONT_BARE], at);
        let counter = |size, at| glass(given[&COUNTER_SHEET], size, given[&COUNTER_BARE], at);
        let both = |size, at_front, at_counter| front(size, at_front) + counter(size, at_counter);

        let others = others(given);
        let rest = sum(others.iter().filter_map(|(_, part)| *part));
        let total = both(size, at_front, at_counter) + rest;
        let mut found = Found::new();
        found.set(&TOTAL, total);
        found.set(&FRONT, front(size, at_front));
        found.set(&COUNTER, counter(size, at_counter));
        for (field, part) in others {
            found.set_some(field, part);
        }
        found.set_some(
            &UNEXPLAINED,
            given.get(&FITTED).map(|fitted| fitted - total),
        );
        let shorter = given.get(&SHORTER);
        found.set_some(
            &SHORTER_TOTAL,
            shorter.map(|size| both(size, at_front, at_counter) + rest),
        );
        if !circle {
            let at = Collected::TwoEdges;
            found.set(&TWO_EDGES_TOTAL, both(size, at, at) + rest);
        }
        Ok(found)
    }

    fn checks(_given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let total = found.get(&TOTAL).unwrap_or(f64::NAN);
        let parts = [
            &FRONT,
            &COUNTER,
            &CONTACT_PART,
            &TRANSFER_PART,
            &DIFFUSION_PART,
        ];
        let there = parts
            .iter()
            .filter_map(|field| Some((*field, found.get(field)?)));
        let there: Vec<(&Field, f64)> = there.collect();
        let most = there
            .iter()
            .fold(0.0_f64, |most, (_, part)| most.max(*part));
        // Two like glasses weigh the same.
        let largest: Vec<String> = there
            .iter()
            .filter(|(_, part)| *part >= most * (1.0 - SAME))
            .map(|(field, _)| format!("“{}”", field.title))
            .collect();
        let (is, each) = if largest.len() > 1 {
            ("are", " each")
        } else {
            ("is", "")
        };
        vec![Check::note(
            "largest_part",
            format!(
                "Of the parts entered, the largest {is} {}: {}, {} % of their sum{each}.",
                largest.join(" and "),
                TOTAL.say(most),
                value_text(100.0 * most / total, 2)
            ),
            HEAT,
        )]
    }

    fn judge(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
        let estimates = given
            .get(&FITTED)
            .zip(estimate(&UNEXPLAINED))
            .zip(estimate(&TOTAL));
        let check = |((fitted, rest), total): ((f64, Estimate), Estimate)| {
            beside_the_fit(fitted, rest, total.value)
        };
        estimates.map(check).into_iter().collect()
    }
}

/// Whether the parts account for the resistance of the fit.
fn beside_the_fit(fitted: f64, rest: Estimate, total: f64) -> Check {
    let within = [
        (SMALL_REST * fitted, "a fifth"),
        (
            2.0 * rest.uncertainty,
            "two standard uncertainties of their difference",
        ),
    ];
    let agree = within.iter().find(|(most, _)| rest.value.abs() <= *most);
    let (fitted, total) = (FITTED.say(fitted), TOTAL.say(total));
    if let Some((_, within)) = agree {
        Check::in_range(
            "beside_fit",
            format!("The parts come to {total}, the fit to {fitted}: they agree within {within}."),
            HEAT,
        )
    } else if rest.value > 0.0 {
        Check::note(
            "beside_fit",
            format!(
                "The parts come to {total}, the fit to {fitted}: {} is unexplained. Parts that are empty are in it, and so \
                 is whatever bends the curve like a resistance, such as diffusion near its limit.",
                UNEXPLAINED.say(rest.value)
            ),
            HEAT,
        )
    } else {
        Check::warning(
            "beside_fit",
            format!(
                "The parts come to {total}, more than the {fitted} of the fit. Check sheet resistances, lengths and the \
                 voltage at which the arcs were measured; a fit of few points may also trade series resistance for \
                 ideality.",
            ),
            HEAT,
        )
    }
}

/// Where the current leaves the glass.
#[derive(Clone, Copy)]
enum Collected {
    OneEdge,
    TwoEdges,
    Rim,
}

/// The resistance of conductive glass times the area of the film on it.
fn glass<S: Scalar>(sheet: S, size: S, bare: S, at: Collected) -> S {
    sheet
        * match at {
            Collected::OneEdge => size.squared() / 3.0 + size * bare,
            Collected::TwoEdges => size.squared() / 12.0 + size * bare / 2.0,
            Collected::Rim => {
                size.squared() / 32.0 + size.squared() / 8.0 * (bare * 2.0 / size).ln_1p()
            }
        }
}

/// The parts that are no glass, where they are known.
fn others<S: Scalar>(given: &Given<'_, S>) -> [(&'static Field, Option<S>); 3] {
    let of_cell = given.choice(&GIVEN_AS) == "cell";
    let parts: [(&'static Field, &Field, &Field); 3] = [
        (&CONTACT_PART, &CONTACT, &CONTACT_CELL),
        (&TRANSFER_PART, &TRANSFER, &TRANSFER_CELL),
        (&DIFFUSION_PART, &DIFFUSION, &DIFFUSION_CELL),
    ];
    parts.map(|(part, per_area, cell)| {
        let known = if of_cell {
            given.get(cell).map(|resistance| resistance * given[&AREA])
        } else {
            given.get(per_area)
        };
        (part, known)
    })
}
