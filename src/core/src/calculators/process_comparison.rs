//! # What it computes
//! Whether one process gives better cells than another: mean, spread and interval of each process from cells on several
//! substrates, the difference of two processes with its interval, and several processes with corrected comparisons of
//! pairs.
//!
//! # Formulas
//! x̄ = Σ wᵢ·x̄ᵢ/Σ wᵢ over the means x̄ᵢ of the substrates; u² = Σ wᵢ·(x̄ᵢ − x̄)²/[(N − 1)·Σ wᵢ]; interval x̄ ± t·u with N − 1
//! degrees of freedom. wᵢ = 1, so that u = s/√N; or, nested, wᵢ = 1/(σ_b² + σ_w²/nᵢ) with σ_b², σ_w² from an analysis of
//! variance. Two processes: Δ = x̄₂ − x̄₁, u² = u₁² + u₂², t = Δ/u, ν = u⁴/Σ(uᵢ⁴/νᵢ) (Welch). More: Welch's analysis of
//! variance, and Welch's t for each pair with p corrected after Holm. Relative difference: x̄₂/x̄₁ − 1. Substrates needed:
//! the least N for which t·√(Σ s²/N) is no more than wanted.
//!
//! # Symbols and units
//! x efficiency or fill factor (1), open-circuit voltage (V) or short-circuit current density (A/m²); n cells, N
//! substrates; s standard deviation of cells; u standard error; σ_w, σ_b standard deviation within and between
//! substrates; t, F ratios, ν degrees of freedom, p probability (1).
//!
//! # Valid range
//! Any number of cells, up to ten processes. An interval takes two substrates of a process, a comparison two of each.
//!
//! # Assumptions
//! Substrates are independent of each other and are what was repeated; cells of one substrate are not independent and
//! count through their substrate. Substrate means scatter normally; processes need not scatter alike. Intervals, t, F and
//! p come from the scatter of substrates alone, in which whatever differs from substrate to substrate is contained, also
//! of measuring. In the ± of means and differences the stated uncertainties of the single values come on top: what all
//! cells share, such as the irradiance, is one input and cancels in a difference as far as it is common; what each cell
//! has of its own is then counted partly twice, which errs on the side of too much. That ± is for 95.45 % and takes whole
//! degrees of freedom, the next lower, so with few substrates it is wider than the interval. Where one of two processes has
//! one substrate, their difference has no ± for scatter. An excluded cell is left out only with a written reason.
//!
//! # Sources
//! Welch, Biometrika 34 (1947) 28 and 38 (1951) 330; Holm, Scand. J. Stat. 6 (1979) 65; weighted means after Hartung and
//! Knapp, Stat. Med. 20 (2001) 3875 (all from memory).
//!
//! # Worked example
//! Two ways of assembly, nine pieces each: means 35.2 and 31.6, the difference is −3.7, its interval −8.4 to 1.0, p =
//! 0.12: neither is shown to be better (data of the NIST/SEMATECH e-Handbook 7.3.1.1, from memory).

mod cases;
mod study;
mod words;

pub(super) use self::cases::CASES;
use self::study::{Pair, Process, Study};
use super::*;
use crate::problem::{Check, Problem, Source, memory};
use crate::quantity::Kind;
use crate::scalar::Scalar;

static COMPARE: Field = choice(
    "compare",
    "Compare",
    &[
        option("efficiency", "efficiency"),
        option("fill_factor", "fill factor"),
        option("voltage", "open-circuit voltage"),
        option("density", "short-circuit current density"),
    ],
);
static CELLS_COUNT_AS: Field = choice(
    "cells_count_as",
    "Cells of one substrate",
    &[
        option("means", "count as their mean"),
        option("nested", "count by nested analysis"),
    ],
)
.help("They share glass, layers and firing, so they are not independent. With equal numbers of cells both give the same.");
static CELLS: Field = table(
    "cells",
    "Cells",
    &[
        &PROCESS,
        &SUBSTRATE,
        &CELL,
        &EFFICIENCY.value,
        &FILL_FACTOR.value,
        &VOLTAGE.value,
        &DENSITY.value,
        &EXCLUDE,
        &REASON,
    ],
)
.left_out_by(&[&EXCLUDE, &REASON]);
static PROCESS: Field = text("process", "Process")
    .help("In the order of the table, each process is compared with those before it.")
    .measured();
static SUBSTRATE: Field = text("substrate", "Substrate")
    .help("Cells on one piece of glass have the same name here.")
    .measured();
static CELL: Field = text("cell", "Cell").optional().measured();
static EXCLUDE: Field = tick("exclude", "Exclude").measured();
static REASON: Field = text("reason", "Reason to exclude")
    .help("Without a reason the cell is counted.")
    .optional()
    .measured();

/// The fields of one quantity that is compared.
struct Measure {
    /// Of a cell, as entered or linked.
    value: Field,
    mean: Field,
    deviation: Field,
    error: Field,
    low: Field,
    high: Field,
    median: Field,
    best: Field,
    within: Field,
    between: Field,
    /// Half of the interval wanted.
    wanted: Field,
    difference: Field,
    difference_low: Field,
    difference_high: Field,
    processes: &'static Field,
    pairs: &'static Field,
}

const INTERVAL: &str = "95 % interval by the scatter of substrates.";

/// The fields of a quantity of cells; the columns of its tables have the same names whatever it is.
const fn measure(
    value: Field,
    kind: Kind,
    units: &'static [&'static str],
    [difference, low, high, wanted]: [&'static str; 4],
    [processes, pairs]: [&'static Field; 2],
) -> Measure {
    Measure {
        value: value.units(units).optional().measured(),
        mean: quantity("mean", "Mean", kind)
            .units(units)
            .symbol("x̄")
            .help("Of substrates."),
        deviation: quantity("deviation", "Standard deviation", kind)
            .units(units)
            .digits(3)
            .symbol("s")
            .help("Of the cells."),
        error: quantity("error", "Standard error", kind)
            .units(units)
            .digits(3)
            .symbol("u"),
        low: quantity("low", "Interval from", kind)
            .units(units)
            .digits(4)
            .help(INTERVAL),
        high: quantity("high", "Interval to", kind)
            .units(units)
            .digits(4)
            .help(INTERVAL),
        median: quantity("median", "Median of cells", kind)
            .units(units)
            .digits(4),
        best: quantity("best", "Best cell", kind).units(units),
        within: quantity("within", "Within substrates", kind)
            .units(units)
            .digits(3)
            .symbol("σ_w")
            .help("Standard deviation."),
        between: quantity("between", "Between substrates", kind)
            .units(units)
            .digits(3)
            .symbol("σ_b")
            .help("Standard deviation of the true means of substrates."),
        wanted: quantity(wanted, "Interval wanted, ±", kind)
            .units(units)
            .help("Of the difference of two processes, or of the mean of one.")
            .positive()
            .optional(),
        difference: quantity(difference, "Difference of means", kind)
            .units(units)
            .symbol("Δ")
            .help("The second process less the first."),
        difference_low: quantity(low, "Difference from", kind)
            .units(units)
            .digits(4)
            .help(INTERVAL),
        difference_high: quantity(high, "Difference to", kind)
            .units(units)
            .digits(4)
            .help(INTERVAL),
        processes,
        pairs,
    }
}

static EFFICIENCY: Measure = measure(
    quantity("efficiency", "Efficiency", Kind::Ratio)
        .symbol("η")
        .within(-1.0, 1.0),
    Kind::Ratio,
    &["%"],
    [
        "efficiency_difference",
        "efficiency_difference_low",
        "efficiency_difference_high",
        "efficiency_wanted",
    ],
    [&EFFICIENCY_PROCESSES, &EFFICIENCY_PAIRS],
);
static FILL_FACTOR: Measure = measure(
    quantity("fill_factor", "Fill factor", Kind::Ratio)
        .symbol("FF")
        .within(-1.0, 1.0),
    Kind::Ratio,
    &["1", "%"],
    [
        "fill_factor_difference",
        "fill_factor_difference_low",
        "fill_factor_difference_high",
        "fill_factor_wanted",
    ],
    [&FILL_FACTOR_PROCESSES, &FILL_FACTOR_PAIRS],
);
static VOLTAGE: Measure = measure(
    quantity(
        "open_circuit_voltage",
        "Open-circuit voltage",
        Kind::Voltage,
    )
    .symbol("Voc"),
    Kind::Voltage,
    &["V", "mV"],
    [
        "voltage_difference",
        "voltage_difference_low",
        "voltage_difference_high",
        "voltage_wanted",
    ],
    [&VOLTAGE_PROCESSES, &VOLTAGE_PAIRS],
);
static DENSITY: Measure = measure(
    quantity(
        "short_circuit_density",
        "Short-circuit current density",
        Kind::CurrentDensity,
    )
    .symbol("Jsc"),
    Kind::CurrentDensity,
    &["mA/cm2", "A/m2"],
    [
        "density_difference",
        "density_difference_low",
        "density_difference_high",
        "density_wanted",
    ],
    [&DENSITY_PROCESSES, &DENSITY_PAIRS],
);

static EFFICIENCY_PROCESSES: Field = processes("efficiency_by_process", &EFFICIENCY_COLUMNS);
static FILL_FACTOR_PROCESSES: Field = processes("fill_factor_by_process", &FILL_FACTOR_COLUMNS);
static VOLTAGE_PROCESSES: Field = processes("open_circuit_voltage_by_process", &VOLTAGE_COLUMNS);
static DENSITY_PROCESSES: Field = processes("short_circuit_density_by_process", &DENSITY_COLUMNS);
static EFFICIENCY_PAIRS: Field = pairs("efficiency_pairs", &EFFICIENCY_PAIR);
static FILL_FACTOR_PAIRS: Field = pairs("fill_factor_pairs", &FILL_FACTOR_PAIR);
static VOLTAGE_PAIRS: Field = pairs("voltage_pairs", &VOLTAGE_PAIR);
static DENSITY_PAIRS: Field = pairs("density_pairs", &DENSITY_PAIR);

const fn processes(id: &'static str, columns: &'static [&'static Field]) -> Field {
    table(id, "Processes", columns)
}

const fn pairs(id: &'static str, columns: &'static [&'static Field]) -> Field {
    table(id, "Pairs of processes", columns)
}

static EFFICIENCY_COLUMNS: [&Field; 12] = EFFICIENCY.columns();
static FILL_FACTOR_COLUMNS: [&Field; 12] = FILL_FACTOR.columns();
static VOLTAGE_COLUMNS: [&Field; 12] = VOLTAGE.columns();
static DENSITY_COLUMNS: [&Field; 12] = DENSITY.columns();
static EFFICIENCY_PAIR: [&Field; 7] = EFFICIENCY.pair_columns();
static FILL_FACTOR_PAIR: [&Field; 7] = FILL_FACTOR.pair_columns();
static VOLTAGE_PAIR: [&Field; 7] = VOLTAGE.pair_columns();
static DENSITY_PAIR: [&Field; 7] = DENSITY.pair_columns();

impl Measure {
    const fn columns(&'static self) -> [&'static Field; 12] {
        [
            &self.mean,
            &CELL_COUNT,
            &SUBSTRATE_COUNT,
            &EXCLUDED,
            &self.deviation,
            &self.error,
            &self.low,
            &self.high,
            &self.median,
            &self.best,
            &self.within,
            &self.between,
        ]
    }

    const fn pair_columns(&'static self) -> [&'static Field; 7] {
        [
            &self.difference,
            &RELATIVE,
            &self.difference_low,
            &self.difference_high,
            &FREEDOM,
            &PROBABILITY,
            &CORRECTED,
        ]
    }
}

static CELL_COUNT: Field = count("cell_count", "Cells").symbol("n");
static SUBSTRATE_COUNT: Field = count("substrate_count", "Substrates").symbol("N");
static EXCLUDED: Field = count("excluded", "Cells excluded");
static RELATIVE: Field = quantity("relative", "Relative difference", Kind::Ratio)
    .help("The difference over the mean of the first process.")
    .units(&["%"]);
static PROBABILITY: Field = quantity("p", "Probability by chance", Kind::Ratio)
    .symbol("p")
    .help("Of differences at least as large, where the processes are alike.")
    .digits(2);
static CORRECTED: Field = quantity("p_corrected", "p after Holm", Kind::Ratio)
    .help("Corrected for the number of pairs.")
    .digits(2);
static NEEDED: Field = count("needed", "Substrates needed of each")
    .help("For an interval as narrow as wanted, with the scatter seen.");
static CELLS_MEASURED: Field = count("cells_measured", "Cells measured")
    .help("Of all processes, excluded cells too: link the reporting checklist to it.");
static SUBSTRATES_MEASURED: Field = count("substrates_measured", "Substrates in all")
    .help("That these cells are on: link the reporting checklist to it.");
static T: Field = quantity("t", "Difference over its standard error", Kind::Ratio)
    .symbol("t")
    .digits(3);
static FREEDOM: Field = quantity("freedom", "Degrees of freedom", Kind::Ratio)
    .symbol("ν")
    .digits(3);
static F: Field = quantity("f", "Ratio of variances", Kind::Ratio)
    .symbol("F")
    .digits(4);
static FREEDOM_BETWEEN: Field =
    quantity("freedom_between", "Freedom of the numerator", Kind::Ratio)
        .symbol("ν₁")
        .digits(3);
static FREEDOM_WITHIN: Field =
    quantity("freedom_within", "Freedom of the denominator", Kind::Ratio)
        .symbol("ν₂")
        .digits(3);

const BY_EFFICIENCY: &[&str] = &["efficiency"];
const BY_FILL_FACTOR: &[&str] = &["fill_factor"];
const BY_VOLTAGE: &[&str] = &["voltage"];
const BY_DENSITY: &[&str] = &["density"];

const WELCH: Source = memory("B. L. Welch, Biometrika 34 (1947) 28 and 38 (1951) 330");
const HOLM: Source = memory("S. Holm, Scand. J. Stat. 6 (1979) 65");
const WEIGHTED: Source = memory(
    "J. Hartung and G. Knapp, Stat. Med. 20 (2001) 3875: interval of a weighted mean; components of variance by an \
     analysis of variance of unequal groups",
);

/// Which process gives the better cells.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "process_comparison",
    version: 1,
    stage: Stage::Comparing,
    title: "Processes compared",
    purpose: "Which process gives better cells, by how much and how sure, from cells on several substrates of each.",
    inputs: &[
        show(&COMPARE),
        show(&CELLS_COUNT_AS),
        show(&CELLS),
        show(&EFFICIENCY.wanted).when(&COMPARE, BY_EFFICIENCY),
        show(&FILL_FACTOR.wanted).when(&COMPARE, BY_FILL_FACTOR),
        show(&VOLTAGE.wanted).when(&COMPARE, BY_VOLTAGE),
        show(&DENSITY.wanted).when(&COMPARE, BY_DENSITY),
    ],
    outputs: &[
        show(&EFFICIENCY.difference).when(&COMPARE, BY_EFFICIENCY),
        show(&FILL_FACTOR.difference).when(&COMPARE, BY_FILL_FACTOR),
        show(&VOLTAGE.difference).when(&COMPARE, BY_VOLTAGE),
        show(&DENSITY.difference).when(&COMPARE, BY_DENSITY),
        show(&EFFICIENCY.difference_low).when(&COMPARE, BY_EFFICIENCY),
        show(&EFFICIENCY.difference_high).when(&COMPARE, BY_EFFICIENCY),
        show(&FILL_FACTOR.difference_low).when(&COMPARE, BY_FILL_FACTOR),
        show(&FILL_FACTOR.difference_high).when(&COMPARE, BY_FILL_FACTOR),
        show(&VOLTAGE.difference_low).when(&COMPARE, BY_VOLTAGE),
        show(&VOLTAGE.difference_high).when(&COMPARE, BY_VOLTAGE),
        show(&DENSITY.difference_low).when(&COMPARE, BY_DENSITY),
        show(&DENSITY.difference_high).when(&COMPARE, BY_DENSITY),
        show(&RELATIVE),
        show(&PROBABILITY),
        show(&T),
        show(&FREEDOM),
        show(&F),
        show(&FREEDOM_BETWEEN),
        show(&FREEDOM_WITHIN),
        show(&NEEDED),
        show(&CELLS_MEASURED),
        show(&SUBSTRATES_MEASURED),
        show(&EFFICIENCY_PROCESSES).when(&COMPARE, BY_EFFICIENCY),
        show(&FILL_FACTOR_PROCESSES).when(&COMPARE, BY_FILL_FACTOR),
        show(&VOLTAGE_PROCESSES).when(&COMPARE, BY_VOLTAGE),
        show(&DENSITY_PROCESSES).when(&COMPARE, BY_DENSITY),
        show(&EFFICIENCY_PAIRS).when(&COMPARE, BY_EFFICIENCY),
        show(&FILL_FACTOR_PAIRS).when(&COMPARE, BY_FILL_FACTOR),
        show(&VOLTAGE_PAIRS).when(&COMPARE, BY_VOLTAGE),
        show(&DENSITY_PAIRS).when(&COMPARE, BY_DENSITY),
    ],
    working: &[
        method("Cells excluded with a written reason are left out. Each substrate has the mean of its cells."),
        method("Mean of a process: of its substrates, all alike; standard error s/√N with s of their means.")
            .when(&CELLS_COUNT_AS, &["means"]),
        method(
            "Mean of a process: of its substrates, weighted by 1/(σ_b² + σ_w²/n) with the variances between and within \
             substrates from an analysis of variance; standard error from the weighted squares about it.",
        )
        .when(&CELLS_COUNT_AS, &["nested"]),
        method(
            "Interval: mean ± t of 95 % with one degree of freedom less than substrates. Standard deviation, median and \
             best are of the cells.",
        )
        .gives(&[
            &EFFICIENCY_PROCESSES,
            &FILL_FACTOR_PROCESSES,
            &VOLTAGE_PROCESSES,
            &DENSITY_PROCESSES,
        ]),
        method(
            "Two processes: difference of means, the second less the first, with the root of the sum of squared \
             standard errors, and degrees of freedom after Welch and Satterthwaite; interval ± t of 95 %; p from t to \
             either side.",
        )
        .gives(&[
            &EFFICIENCY.difference,
            &FILL_FACTOR.difference,
            &VOLTAGE.difference,
            &DENSITY.difference,
            &EFFICIENCY.difference_low,
            &FILL_FACTOR.difference_low,
            &VOLTAGE.difference_low,
            &DENSITY.difference_low,
            &EFFICIENCY.difference_high,
            &FILL_FACTOR.difference_high,
            &VOLTAGE.difference_high,
            &DENSITY.difference_high,
            &RELATIVE,
            &T,
            &FREEDOM,
        ]),
        method(
            "More than two: Welch's analysis of variance, with F and its two degrees of freedom; p is then that of all \
             means being equal.",
        )
        .gives(&[&PROBABILITY, &F, &FREEDOM_BETWEEN, &FREEDOM_WITHIN]),
        method(
            "Substrates needed: the least number N of each process for which t·√(Σ s²/N) is no more than wanted, with s² of \
             the substrates seen and Welch's degrees of freedom for N.",
        )
        .gives(&[&NEEDED]),
        method(
            "Cells measured: those that count and those excluded. Substrates in all: those they are on, each process with its \
             own.",
        )
        .gives(&[&CELLS_MEASURED, &SUBSTRATES_MEASURED]),
        method("Pairs, where there are more than two: each as two processes, and p corrected for their number after Holm.")
            .gives(&[
                &EFFICIENCY_PAIRS,
                &FILL_FACTOR_PAIRS,
                &VOLTAGE_PAIRS,
                &DENSITY_PAIRS,
            ]),
    ],
    sources: &[WELCH, HOLM, WEIGHTED],
    hazards: &[hazards::LEAKING_CELL],
    formula: both::<ProcessComparison>(),
};

struct ProcessComparison;

impl Formula for ProcessComparison {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let study = given.once(|| Study::of(given))?;
        let measure = study.measure;
        let values: Vec<S> = given
            .rows(&CELLS)
            .map(|(_, row)| row[&measure.value])
            .collect();
        let mean = |process: &Process| process.mean(&values);
        let corrected = |process: &Process| Some(mean(process)? + process.correction(given));
        let mut found = Found::new();
        let rows = study
            .processes
            .iter()
            .map(|process| process_row(measure, process, corrected(process), &values));
        found.set_rows(measure.processes, rows.collect());
        let between = |pair: &Pair| {
            let of = |number: usize| {
                let process = study.processes.get(number)?;
                match pair.compared {
                    Some(_) => corrected(process),
                    // The scatter of one of them alone would pass for that of the difference.
                    None => mean(process),
                }
            };
            Some((of(pair.first)?, of(pair.second)?))
        };
        match study.pairs.as_slice() {
            [] => {}
            [only] => {
                for (field, number) in between(only)
                    .map(|ends| pair_cells(measure, only, ends))
                    .into_iter()
                    .flatten()
                {
                    found.set(field, number);
                }
                let compared = only.compared.as_ref();
                found.set_some(&T, compared.map(|compared| S::constant(compared.t)));
            }
            all => {
                let row = |pair: &Pair| {
                    Some(FoundRow {
                        id: pair.id.clone(),
                        cells: pair_cells(measure, pair, between(pair)?),
                    })
                };
                found.set_rows(measure.pairs, all.iter().filter_map(row).collect());
                if let Some(analysis) = study.analysis {
                    found.set(&PROBABILITY, S::constant(analysis.p));
                    found.set(&F, S::constant(analysis.f));
                    found.set(&FREEDOM_BETWEEN, S::constant(analysis.numerator));
                    found.set(&FREEDOM_WITHIN, S::constant(analysis.denominator));
                }
            }
        }
        found.set_some(
            &NEEDED,
            study.needed.map(|count| S::constant(f64::from(count))),
        );
        found.set(&CELLS_MEASURED, S::constant(study.cells as f64));
        found.set(&SUBSTRATES_MEASURED, S::constant(study.substrates as f64));
        if given.wants_curves() {
            study.name_rows(&mut found);
        }
        Ok(found)
    }

    fn scatters(given: &Given<'_, f64>) -> Result<Vec<Scatter>, Problem> {
        let study = given.once(|| Study::of(given))?;
        let block = |process: &Process| {
            let sample = process.sample?;
            Some(Scatter {
                title: "Scatter of substrates",
                covariance: vec![vec![sample.standard_error.squared()]],
                degrees_of_freedom: sample.degrees_of_freedom,
                linearised: false,
            })
        };
        Ok(study.processes.iter().filter_map(block).collect())
    }

    fn checks(given: &Given<'_, f64>, _found: &Found<f64>) -> Vec<Check> {
        let study = given.once(|| Study::of(given));
        study.map_or_else(|_| Vec::new(), |study| words::checks(&study))
    }

    fn judge(
        given: &Given<'_, f64>,
        estimate: &dyn Fn(&Field) -> Option<crate::uncertainty::Estimate>,
    ) -> Vec<Check> {
        let study = given.once(|| Study::of(given));
        study.map_or_else(|_| Vec::new(), |study| words::verdict(&study, estimate))
    }
}

/// A process as a row of results. What only describes the scatter has no uncertainty of its own.
fn process_row<S: Scalar>(
    measure: &'static Measure,
    process: &Process,
    mean: Option<S>,
    values: &[S],
) -> FoundRow<S> {
    let number = |field: &'static Field, number: usize| Some((field, S::constant(number as f64)));
    let constant = |field: &'static Field, number: Option<f64>| {
        number.map(|number| (field, S::constant(number)))
    };
    let cells: Vec<S> = process
        .cells()
        .filter_map(|place| values.get(place).copied())
        .collect();
    let best = cells.iter().copied().reduce(S::max);
    let half = process
        .sample
        .map(|sample| (sample.mean, sample.half_width(LEVEL)));
    let row = [
        mean.map(|mean| (&measure.mean, mean)),
        number(&CELL_COUNT, cells.len()),
        number(&SUBSTRATE_COUNT, process.substrates.len()),
        number(&EXCLUDED, process.excluded),
        constant(&measure.deviation, process.deviation),
        constant(
            &measure.error,
            process.sample.map(|sample| sample.standard_error),
        ),
        constant(&measure.low, half.map(|(mean, half)| mean - half)),
        constant(&measure.high, half.map(|(mean, half)| mean + half)),
        constant(&measure.median, process.median),
        best.map(|best| (&measure.best, best)),
        constant(&measure.within, process.within.map(f64::sqrt)),
        constant(&measure.between, process.between.map(f64::sqrt)),
    ];
    FoundRow {
        id: process.id.clone(),
        cells: row.into_iter().flatten().collect(),
    }
}

/// A comparison of two processes as numbers of the card or cells of a row.
fn pair_cells<S: Scalar>(
    measure: &'static Measure,
    pair: &Pair,
    (first, second): (S, S),
) -> Vec<(&'static Field, S)> {
    let relative = (first.value() > 0.0).then(|| (&RELATIVE, second / first - 1.0));
    let mut cells = vec![(&measure.difference, second - first)];
    cells.extend(relative);
    if let Some(compared) = &pair.compared {
        let difference = compared.difference;
        let half = difference.half_width(LEVEL);
        let of_scatter = [
            (&measure.difference_low, difference.mean - half),
            (&measure.difference_high, difference.mean + half),
            (&FREEDOM, difference.degrees_of_freedom),
            (&PROBABILITY, compared.p),
        ];
        cells.extend(of_scatter.map(|(field, number)| (field, S::constant(number))));
        cells.extend(pair.corrected.map(|p| (&CORRECTED, S::constant(p))));
    }
    cells
}

/// Of all intervals.
const LEVEL: f64 = 0.95;
