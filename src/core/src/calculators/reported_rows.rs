//! # What it computes
//! Whether reported rows of a cell are true to themselves: the efficiency against the product of short-circuit current
//! density, open-circuit voltage and fill factor over the irradiance, within the rounding of the printed digits; and the
//! irradiance that would make a row consistent.
//!
//! # Formulas
//! η = Jsc·Voc·FF/G. A printed number x stands for all from x − h to x + h with h half a step of its last digit. Lowest
//! product (Jsc − h)(Voc − h)(FF − h)/G, highest with plus. A row is consistent when the interval of the product and that
//! of the reported efficiency η_r ± h have a number in common. Needed irradiance G_n = Jsc·Voc·FF/η_r; its ends from the
//! lowest product over the highest efficiency and the other way round.
//!
//! # Symbols and units
//! Jsc (A/m²), Voc (V), FF (1), G (W/m²), η (1).
//!
//! # Valid range
//! All above zero; enter the digits as printed, with trailing zeros. A number that is linked has no rounding. A ± has no
//! part in the intervals.
//!
//! # Assumptions
//! Every number of a row belongs to the same cell and curve, not to means over different cells. The irradiance is taken as
//! exact.
//!
//! # Sources
//! Definition of the efficiency; intervals of rounded numbers.
//!
//! # Worked example
//! 12.6 mA/cm², 0.83 V and 0.65 at 100 mW/cm² make 6.68 % to 6.92 %, not the 5.28 % reported beside them.

use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static IRRADIANCE: Field = quantity("irradiance", "Irradiance", Kind::Irradiance)
    .symbol("G")
    .help("For every row that says no other.")
    .units(&["mW/cm2", "W/m2"])
    .positive()
    .initially("100");
static ROWS: Field = table(
    "rows",
    "Reported rows",
    &[
        &NAME,
        &DENSITY,
        &VOLTAGE,
        &FILL_FACTOR,
        &EFFICIENCY,
        &ROW_IRRADIANCE,
    ],
)
.help("As printed, trailing zeros too: the last digit says how far each number was rounded.");
static NAME: Field = text("name", "Name").optional();
static DENSITY: Field = quantity("jsc", "Jsc", Kind::CurrentDensity)
    .symbol("Jsc")
    .units(&["mA/cm2", "A/m2"])
    .positive();
static VOLTAGE: Field = quantity("voc", "Voc", Kind::Voltage)
    .symbol("Voc")
    .units(&["V", "mV"])
    .positive();
static FILL_FACTOR: Field = quantity("ff", "Fill factor", Kind::Ratio)
    .symbol("FF")
    .units(&["1", "%"])
    .range(Range::FRACTION);
static EFFICIENCY: Field = quantity("efficiency", "Efficiency", Kind::Ratio)
    .symbol("η_r")
    .units(&["%", "1"])
    .range(Range::FRACTION);
static ROW_IRRADIANCE: Field = quantity("row_irradiance", "Other irradiance", Kind::Irradiance)
    .symbol("G")
    .units(&["mW/cm2", "W/m2"])
    .positive()
    .optional();

static INCONSISTENT: Field = count("inconsistent", "Inconsistent rows");
static CONSISTENT: Field = count("consistent", "Consistent rows");
static CHECKED: Field = table(
    "checked",
    "Each row",
    &[
        &PRODUCT,
        &LOWEST,
        &HIGHEST,
        &BEYOND,
        &NEEDED,
        &NEEDED_LOWEST,
        &NEEDED_HIGHEST,
    ],
);
static PRODUCT: Field = percent("product", "Product").symbol("η");
static LOWEST: Field = percent("lowest", "Lowest product");
static HIGHEST: Field = percent("highest", "Highest product");
static BEYOND: Field = percent("beyond", "Beyond rounding")
    .help("How far the reported efficiency stands off beyond all rounding; 0 in a consistent row.");
static NEEDED: Field = light("needed", "Irradiance needed").symbol("G_n");
static NEEDED_LOWEST: Field = light("needed_lowest", "Lowest needed");
static NEEDED_HIGHEST: Field = light("needed_highest", "Highest needed");

const fn percent(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio).units(&["%"])
}

const fn light(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Irradiance).units(&["mW/cm2", "W/m2"])
}

const ROUNDING: Source =
    derived("definition of the efficiency, with the intervals of rounded numbers");

/// From this factor on a slip is likelier than another irradiance.
const SLIP: f64 = 3.0;

/// Whether reported rows are consistent.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "reported_rows",
    version: 1,
    stage: Stage::Comparing,
    title: "Reported rows",
    purpose: "Whether the numbers of a reported row fit together, and the irradiance at which they would.",
    inputs: &[show(&IRRADIANCE), show(&ROWS)],
    outputs: &[show(&INCONSISTENT), show(&CONSISTENT), show(&CHECKED)],
    working: &[
        method(
            "Each row: η = Jsc·Voc·FF/G, with the irradiance of the row or else the common one. A printed number stands \
             for all within half a step of its last digit; lowest and highest product take every number at its lower or \
             upper end. The row is consistent when the reported efficiency, rounded as it is, and the product have a \
             value in common. The irradiance needed is Jsc·Voc·FF over the reported efficiency.",
        )
        .gives(&[&INCONSISTENT, &CONSISTENT, &CHECKED]),
    ],
    sources: &[ROUNDING],
    hazards: &[hazards::LAMP],
    formula: both::<ReportedRows>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "three reported cells, one of them inconsistent",
        inputs: &[
            ("rows.a.name", "N719"),
            ("rows.a.jsc", "17.73 mA/cm2"),
            ("rows.a.voc", "0.846 V"),
            ("rows.a.ff", "0.75"),
            ("rows.a.efficiency", "11.18 %"),
            ("rows.b.name", "N3"),
            ("rows.b.jsc", "18.2 mA/cm2"),
            ("rows.b.voc", "0.72 V"),
            ("rows.b.ff", "0.73"),
            ("rows.b.efficiency", "10.0 %"),
            ("rows.b.row_irradiance", "96 mW/cm2"),
            ("rows.c.name", "ZnO C"),
            ("rows.c.jsc", "12.6 mA/cm2"),
            ("rows.c.voc", "0.83 V"),
            ("rows.c.ff", "0.65"),
            ("rows.c.efficiency", "5.28 %"),
        ],
        expected: &[
            expect("inconsistent", "1", 0.0),
            expect("consistent", "2", 0.0),
            expect("checked.a.product", "11.2497 %", 5e-5),
            expect("checked.a.lowest", "11.165 %", 5e-4),
            expect("checked.a.highest", "11.335 %", 5e-4),
            expect("checked.a.beyond", "0 %", 0.0),
            expect("checked.b.product", "9.9645 %", 5e-5),
            expect("checked.b.lowest", "9.801 %", 5e-4),
            expect("checked.b.highest", "10.130 %", 5e-4),
            expect("checked.c.product", "6.7977 %", 5e-5),
            expect("checked.c.lowest", "6.678 %", 5e-4),
            expect("checked.c.highest", "6.919 %", 5e-4),
        ],
        source: computed(
            "Jsc·Voc·FF/G and its interval with Python 3.11; the third row read in a paper's table, the others (J. Am. Chem. \
             Soc. 127 (2005) 16835, 115 (1993) 6382) from memory",
        ),
    },
    Case {
        title: "five consistent cells, one under other light",
        inputs: &[
            ("rows.a.name", "YD2-o-C8 and Y123"),
            ("rows.a.jsc", "17.66 mA/cm2"),
            ("rows.a.voc", "0.935 V"),
            ("rows.a.ff", "0.74"),
            ("rows.a.efficiency", "12.3 %"),
            ("rows.a.row_irradiance", "99.5 mW/cm2"),
            ("rows.b.name", "ADEKA-1 and LEG4"),
            ("rows.b.jsc", "18.27 mA/cm2"),
            ("rows.b.voc", "1.014 V"),
            ("rows.b.ff", "0.771"),
            ("rows.b.efficiency", "14.3 %"),
            ("rows.c.name", "dye cell, certified"),
            ("rows.c.jsc", "22.47 mA/cm2"),
            ("rows.c.voc", "0.744 V"),
            ("rows.c.ff", "71.2 %"),
            ("rows.c.efficiency", "11.9 %"),
            ("rows.d.name", "dye minimodule, per cell"),
            ("rows.d.jsc", "20.19 mA/cm2"),
            ("rows.d.voc", "754 mV"),
            ("rows.d.ff", "0.699"),
            ("rows.d.efficiency", "10.7 %"),
            ("rows.e.name", "MAPbI3, solid"),
            ("rows.e.jsc", "17.6 mA/cm2"),
            ("rows.e.voc", "0.888 V"),
            ("rows.e.ff", "0.62"),
            ("rows.e.efficiency", "9.7 %"),
        ],
        expected: &[
            expect("inconsistent", "0", 0.0),
            expect("consistent", "5", 0.0),
            expect("checked.a.product", "12.2804 %", 5e-5),
            expect("checked.a.lowest", "12.187 %", 5e-4),
            expect("checked.a.highest", "12.373 %", 5e-4),
            expect("checked.b.product", "14.2834 %", 5e-5),
            expect("checked.b.lowest", "14.263 %", 5e-4),
            expect("checked.b.highest", "14.304 %", 5e-4),
            expect("checked.c.product", "11.903 %", 5e-5),
            expect("checked.c.lowest", "11.884 %", 5e-4),
            expect("checked.c.highest", "11.922 %", 5e-4),
            expect("checked.d.product", "10.6411 %", 5e-5),
            expect("checked.d.lowest", "10.624 %", 5e-4),
            expect("checked.d.highest", "10.658 %", 5e-4),
            expect("checked.e.product", "9.6899 %", 5e-5),
            expect("checked.e.lowest", "9.579 %", 5e-4),
            expect("checked.e.highest", "9.801 %", 5e-4),
        ],
        source: computed(
            "Jsc·Voc·FF/G and its interval with Python 3.11; rows of papers and of the efficiency tables from memory",
        ),
    },
    Case {
        title: "a row off by a factor of 120",
        inputs: &[
            ("rows.a.jsc", "0.16 mA/cm2"),
            ("rows.a.voc", "0.045 V"),
            ("rows.a.ff", "0.5"),
            ("rows.a.efficiency", "0.43 %"),
        ],
        expected: &[
            expect("inconsistent", "1", 0.0),
            expect("checked.a.product", "0.0036 %", 5e-5),
            expect("checked.a.lowest", "0.003 %", 5e-4),
            expect("checked.a.highest", "0.004 %", 5e-4),
        ],
        source: computed(
            "Jsc·Voc·FF/G and its interval with Python 3.11; row read in the abstract of Mater. Sci. Appl. 6 (2015) 646",
        ),
    },
    Case {
        title: "printed with fewer digits, which settles less",
        inputs: &[
            ("irradiance", "96 mW/cm2"),
            ("rows.a.jsc", "18 mA/cm2"),
            ("rows.a.voc", "0.7 V"),
            ("rows.a.ff", "0.7"),
            ("rows.a.efficiency", "10 %"),
        ],
        expected: &[
            expect("consistent", "1", 0.0),
            // 18·0.7·0.7/96, 17.5·0.65·0.65/96, 18.5·0.75·0.75/96
            expect("checked.a.product", "9.1875 %", 1e-12),
            expect("checked.a.lowest", "7.701822916666667 %", 1e-12),
            expect("checked.a.highest", "10.83984375 %", 1e-12),
            // 18·0.7·0.7/0.1, 17.5·0.65·0.65/0.105, 18.5·0.75·0.75/0.095
            expect("checked.a.needed", "88.2 mW/cm2", 1e-12),
            expect("checked.a.needed_lowest", "70.41666666666667 mW/cm2", 1e-12),
            expect(
                "checked.a.needed_highest",
                "109.53947368421053 mW/cm2",
                1e-12,
            ),
        ],
        source: ROUNDING,
    },
];

struct ReportedRows;

impl Formula for ReportedRows {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        // The verdicts on the numbers as entered, whatever is drawn round them.
        let verdicts = given.once(|| {
            let rows = given.rows(&ROWS);
            Ok(rows
                .map(|(_, row)| Ends::of(&row, given[&IRRADIANCE]).verdict())
                .collect::<Vec<_>>())
        })?;
        let rows: Vec<FoundRow<S>> = given
            .rows(&ROWS)
            .zip(verdicts.iter())
            .map(|((id, row), verdict)| FoundRow {
                id: id.into(),
                cells: Ends::of(&row, given[&IRRADIANCE]).cells(*verdict),
            })
            .collect();
        let consistent = verdicts
            .iter()
            .filter(|verdict| **verdict == Verdict::Fits)
            .count();
        let mut found = Found::new();
        found.set(&INCONSISTENT, S::constant((rows.len() - consistent) as f64));
        found.set(&CONSISTENT, S::constant(consistent as f64));
        found.set_rows(&CHECKED, rows);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let rows = found.rows(&CHECKED).unwrap_or_default();
        let reported = given.rows(&ROWS).enumerate().zip(rows);
        let mut checks: Vec<Check> = reported
            .filter(|(_, row)| is_off(row))
            .map(|((position, (_, reported)), row)| {
                off(
                    &reported.called(&NAME, position),
                    reported[&EFFICIENCY],
                    row,
                )
            })
            .collect();
        if checks.is_empty() {
            checks.push(Check::in_range(
                "rows_consistent",
                "In every row efficiency, current density, voltage and fill factor fit together within their rounding.",
                ROUNDING,
            ));
        }
        checks
    }
}

/// Where the reported efficiency stands against the product, within the rounding of all numbers.
#[derive(Clone, Copy, PartialEq)]
enum Verdict {
    Fits,
    Above,
    Below,
}

/// Lower end, number as printed, and upper end, of one row.
struct Ends<S> {
    /// Jsc·Voc·FF.
    power: [S; 3],
    reported: [S; 3],
    irradiance: S,
}

impl<S: Scalar> Ends<S> {
    fn of(row: &Given<'_, S>, irradiance: S) -> Self {
        let at = |field, end: f64| row[field] + row.rounding(field) * end;
        let power = |end| at(&DENSITY, end) * at(&VOLTAGE, end) * at(&FILL_FACTOR, end);
        Ends {
            power: [-1.0, 0.0, 1.0].map(power),
            reported: [-1.0, 0.0, 1.0].map(|end| at(&EFFICIENCY, end)),
            irradiance: row.get(&ROW_IRRADIANCE).unwrap_or(irradiance),
        }
    }

    fn product(&self) -> [S; 3] {
        self.power.map(|power| power / self.irradiance)
    }

    fn verdict(&self) -> Verdict {
        let [lowest, _, highest] = self.product();
        let [from, _, to] = self.reported;
        if from.value() > highest.value() {
            Verdict::Above
        } else if to.value() < lowest.value() {
            Verdict::Below
        } else {
            Verdict::Fits
        }
    }

    fn cells(&self, verdict: Verdict) -> Vec<(&'static Field, S)> {
        let [lowest, product, highest] = self.product();
        let [from, reported, to] = self.reported;
        let beyond = match verdict {
            Verdict::Fits => S::constant(0.0),
            Verdict::Above => from - highest,
            Verdict::Below => to - lowest,
        };
        vec![
            (&PRODUCT, product),
            (&LOWEST, lowest),
            (&HIGHEST, highest),
            (&BEYOND, beyond),
            (&NEEDED, self.power[1] / reported),
            (&NEEDED_LOWEST, self.power[0] / to),
            (&NEEDED_HIGHEST, self.power[2] / from),
        ]
    }
}

fn is_off<S: Scalar>(row: &FoundRow<S>) -> bool {
    row.get(&BEYOND).is_some_and(|beyond| beyond.value() != 0.0)
}

/// What is said of a row that is not consistent.
fn off(name: &str, reported: f64, row: &FoundRow<f64>) -> Check {
    let number = |field| row.get(field).unwrap_or(f64::NAN);
    let say = |field: &'static Field| field.say(number(field));
    let ratio = reported / number(&PRODUCT);
    let slip = if (SLIP.recip()..SLIP).contains(&ratio) {
        String::new()
    } else {
        format!(
            " The reported value is {} times the product: look for a slip of a unit or a decimal point.",
            value_text(ratio, 3)
        )
    };
    Check::warning(
        "row_inconsistent",
        format!(
            "{name}: {} is reported, and the product is {} to {} within rounding. It would fit at {} ({} to {}), or the \
             numbers are not of one curve.{slip}",
            EFFICIENCY.say(reported),
            say(&LOWEST),
            say(&HIGHEST),
            say(&NEEDED),
            say(&NEEDED_LOWEST),
            say(&NEEDED_HIGHEST),
        ),
        practice("compare the efficiency of a row with the product of its other numbers"),
    )
}
