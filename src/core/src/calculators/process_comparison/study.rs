//! Cells sorted into substrates and processes, and what their scatter says: worked out once, at the values as entered.

use std::collections::BTreeSet;

use super::{
    BY_DENSITY, BY_FILL_FACTOR, BY_VOLTAGE, CELL, CELLS, CELLS_COUNT_AS, COMPARE, DENSITY,
    EFFICIENCY, EXCLUDE, FILL_FACTOR, Found, Given, LEVEL, Measure, PROCESS, REASON, SUBSTRATE,
    VOLTAGE,
};
use crate::numerics::comparison::{
    Analysis, Comparison, Components, SampleMean, analyse, compare, components, holm,
    readings_needed,
};
use crate::numerics::sample::{mean, median, standard_deviation, weighted_mean};
use crate::problem::Problem;
use crate::scalar::Scalar;

/// Every pair is compared: more would be a list that nobody reads.
const MOST_PROCESSES: usize = 10;

/// What is compared.
pub(super) struct Study {
    pub(super) measure: &'static Measure,
    /// In the order in which they come in the table.
    pub(super) processes: Vec<Process>,
    /// Of processes with cells that count: each with each after it.
    pub(super) pairs: Vec<Pair>,
    /// Where there are more than two.
    pub(super) analysis: Option<Analysis>,
    /// Substrates of each process for the interval wanted, where there are one or two.
    pub(super) needed: Option<u32>,
    /// Cells without the quantity compared.
    pub(super) without_value: Vec<String>,
    /// Excluded cells, with their reasons.
    pub(super) excluded: Vec<(String, String)>,
    /// Cells to be excluded without a reason.
    pub(super) without_reason: Vec<String>,
    /// How many cells that count have a number below zero.
    pub(super) negative: usize,
    /// How many cells were measured: those that count and those excluded.
    pub(super) cells: usize,
    /// How many substrates these are on.
    pub(super) substrates: usize,
}

/// The cells of one process.
pub(super) struct Process {
    /// That of its first row.
    pub(super) id: String,
    pub(super) name: String,
    pub(super) substrates: Vec<Substrate>,
    pub(super) excluded: usize,
    /// The substrates of these and of the cells that count.
    glass: BTreeSet<String>,
    /// Its mean by the scatter of substrates; none for fewer than two.
    pub(super) sample: Option<SampleMean>,
    /// Which scatter correction its mean has.
    correction: usize,
    /// Variance within substrates.
    pub(super) within: Option<f64>,
    /// Variance between substrates.
    pub(super) between: Option<f64>,
    /// The mean of its substrates, and its best cell; not numbers where no cell counts.
    pub(super) centre: f64,
    pub(super) best: f64,
    /// Standard deviation and median of the cells.
    pub(super) deviation: Option<f64>,
    pub(super) median: Option<f64>,
}

/// The cells of one substrate that count.
pub(super) struct Substrate {
    pub(super) name: String,
    /// Their places in the table.
    cells: Vec<usize>,
    weight: f64,
}

/// Two processes.
pub(super) struct Pair {
    pub(super) id: String,
    pub(super) first: usize,
    pub(super) second: usize,
    /// None where one of them has too few substrates, or nothing scatters.
    pub(super) compared: Option<Comparison>,
    /// p after Holm.
    pub(super) corrected: Option<f64>,
}

fn measure<S: Scalar>(given: &Given<'_, S>) -> &'static Measure {
    let chosen = given.choice(&COMPARE);
    let is = |options: &[&str]| options.contains(&chosen);
    if is(BY_FILL_FACTOR) {
        &FILL_FACTOR
    } else if is(BY_VOLTAGE) {
        &VOLTAGE
    } else if is(BY_DENSITY) {
        &DENSITY
    } else {
        &EFFICIENCY
    }
}

impl Study {
    pub(super) fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Study, Problem> {
        let measure = measure(given);
        let mut study = Study {
            measure,
            processes: Vec::new(),
            pairs: Vec::new(),
            analysis: None,
            needed: None,
            without_value: Vec::new(),
            excluded: Vec::new(),
            without_reason: Vec::new(),
            negative: 0,
            cells: 0,
            substrates: 0,
        };
        let values: Vec<f64> = given
            .rows(&CELLS)
            .map(|(_, row)| row[&measure.value].value())
            .collect();
        for (place, (id, row)) in given.rows(&CELLS).enumerate() {
            study.sort_in(place, id, &row);
        }
        study.check_sizes(&values)?;
        study.count(&values);
        let mut corrections = 0;
        for process in &mut study.processes {
            process.correction = corrections;
            process.judge(&values, given.choice(&CELLS_COUNT_AS) == "nested");
            corrections += usize::from(process.sample.is_some());
        }
        study.pairs = pairs(&study.processes);
        let wanted = given.get(&measure.wanted).map(S::value);
        study.needed = wanted.and_then(|wanted| study.needed_for(wanted));
        if study.pairs.len() > 1 {
            let samples = study.processes.iter().filter_map(|process| process.sample);
            study.analysis = analyse(&samples.collect::<Vec<_>>());
        }
        Ok(study)
    }

    fn sort_in<S: Scalar>(&mut self, place: usize, id: &str, row: &Given<'_, S>) {
        let name = row.text(&PROCESS).trim();
        let known = self.processes.iter().position(|known| known.name == name);
        let number = known.unwrap_or_else(|| {
            self.processes.push(Process::new(id, name));
            self.processes.len() - 1
        });
        let Some(process) = self.processes.get_mut(number) else {
            return;
        };
        let substrate = row.text(&SUBSTRATE).trim();
        let cell = [name, substrate, row.text(&CELL).trim()].map(str::to_owned);
        let cell = cell.into_iter().filter(|part| !part.is_empty());
        let cell = format!(
            "“{}” (row {})",
            cell.collect::<Vec<_>>().join(" · "),
            place + 1
        );
        if row.choice(&EXCLUDE) == "yes" {
            match row.text(&REASON).trim() {
                "" => self.without_reason.push(cell.clone()),
                reason => {
                    process.excluded += 1;
                    process.glass.insert(substrate.to_owned());
                    self.excluded.push((cell, reason.to_owned()));
                    return;
                }
            }
        }
        if row.get(&self.measure.value).is_none() {
            self.without_value.push(cell);
            return;
        }
        process.glass.insert(substrate.to_owned());
        let known = process
            .substrates
            .iter_mut()
            .find(|known| known.name == substrate);
        match known {
            Some(known) => known.cells.push(place),
            None => process.substrates.push(Substrate {
                name: substrate.to_owned(),
                cells: vec![place],
                weight: 1.0,
            }),
        }
    }

    fn count(&mut self, values: &[f64]) {
        let counting = || self.processes.iter().flat_map(Process::cells);
        let value = |place| values.get(place).copied();
        let negative = counting().filter_map(value).filter(|value| *value < 0.0);
        let glass = self.processes.iter().map(|process| process.glass.len());
        (self.negative, self.cells, self.substrates) = (
            negative.count(),
            counting().count() + self.excluded.len(),
            glass.sum(),
        );
    }

    fn check_sizes(&self, values: &[f64]) -> Result<(), Problem> {
        if !self.processes.iter().any(Process::counts) {
            return Err(Problem::at(
                &CELLS,
                "nothing_to_compare",
                format!(
                    "No cell that counts has a number under “{}”.",
                    self.measure.value.title
                ),
                "Enter it, or choose what to compare.",
            ));
        }
        if self.processes.len() > MOST_PROCESSES {
            return Err(Problem::at(
                &CELLS,
                "too_many_processes",
                format!(
                    "{} processes are in the table of {} cells; at most {MOST_PROCESSES} are compared.",
                    self.processes.len(),
                    values.len()
                ),
                "Give cells of one process the same name, or compare fewer.",
            ));
        }
        Ok(())
    }

    /// Says what rows of results are called.
    pub(super) fn name_rows<S: Scalar>(&self, found: &mut Found<S>) {
        for process in &self.processes {
            found.call_row(self.measure.processes, &process.id, process.name.clone());
        }
        if self.pairs.len() > 1 {
            for pair in &self.pairs {
                let (first, second) = self.names(pair);
                let name = format!("{second} less {first}");
                found.call_row(self.measure.pairs, &pair.id, name);
            }
        }
    }

    /// How many substrates of each process make the interval as narrow as this to each side.
    pub(super) fn needed_for(&self, half_width: f64) -> Option<u32> {
        if self.pairs.len() > 1 {
            return None;
        }
        let counting = self.processes.iter().filter(|process| process.counts());
        let variances: Option<Vec<f64>> = counting.map(Process::variance_of_substrates).collect();
        readings_needed(&variances?, LEVEL, half_width)
    }

    /// The names of two processes.
    pub(super) fn names(&self, pair: &Pair) -> (&str, &str) {
        let name = |number: usize| {
            self.processes
                .get(number)
                .map_or("", |process| &process.name)
        };
        (name(pair.first), name(pair.second))
    }

    /// The only two processes there are.
    pub(super) fn only_pair(&self) -> Option<&Pair> {
        match self.pairs.as_slice() {
            [only] => Some(only),
            _ => None,
        }
    }
}

fn pairs(processes: &[Process]) -> Vec<Pair> {
    let counting = || {
        processes
            .iter()
            .enumerate()
            .filter(|(_, process)| process.counts())
    };
    let mut pairs = Vec::new();
    for (first, one) in counting() {
        for (second, other) in counting().filter(|(second, _)| *second > first) {
            let samples = one.sample.zip(other.sample);
            pairs.push(Pair {
                id: format!("{}-{}", one.id, other.id),
                first,
                second,
                compared: samples.and_then(|(one, other)| compare(&one, &other)),
                corrected: None,
            });
        }
    }
    if pairs.len() > 1 {
        let compared = |pair: &Pair| pair.compared.map(|compared| compared.p);
        let corrected = holm(&pairs.iter().filter_map(compared).collect::<Vec<_>>());
        let judged = pairs.iter_mut().filter(|pair| pair.compared.is_some());
        for (pair, p) in judged.zip(corrected) {
            pair.corrected = Some(p);
        }
    }
    pairs
}

impl Process {
    fn new(id: &str, name: &str) -> Process {
        Process {
            id: id.into(),
            name: name.into(),
            substrates: Vec::new(),
            excluded: 0,
            glass: BTreeSet::new(),
            sample: None,
            correction: 0,
            within: None,
            between: None,
            centre: f64::NAN,
            best: f64::NAN,
            deviation: None,
            median: None,
        }
    }

    /// Whether it has cells that count.
    pub(super) fn counts(&self) -> bool {
        !self.substrates.is_empty()
    }

    /// The places of the cells that count.
    pub(super) fn cells(&self) -> impl Iterator<Item = usize> {
        self.substrates
            .iter()
            .flat_map(|substrate| substrate.cells.iter().copied())
    }

    /// Finds weights, variances and the sample mean.
    fn judge(&mut self, values: &[f64], nested: bool) {
        let groups: Vec<Vec<f64>> = self
            .substrates
            .iter()
            .map(|substrate| substrate.values(values))
            .collect();
        let parts = components(&groups);
        self.within = parts.map(|parts| parts.within);
        self.between = parts.and_then(|parts| parts.between);
        if let Some(Components {
            within,
            between: Some(between),
        }) = parts.filter(|_| nested)
        {
            for substrate in &mut self.substrates {
                let variance = between + within / substrate.cells.len() as f64;
                // Where nothing scatters, all count alike.
                if variance > 0.0 {
                    substrate.weight = (between + within) / variance;
                }
            }
        }
        let means: Vec<f64> = groups.iter().map(|group| mean(group)).collect();
        self.centre = weighted_mean(&means, &self.weights());
        let cells = groups.concat();
        self.best = cells.iter().copied().fold(f64::NAN, f64::max);
        self.deviation = (cells.len() > 1).then(|| standard_deviation(&cells));
        self.median = (!cells.is_empty()).then(|| median(&cells));
        self.sample = SampleMean::of(&means, &self.weights());
    }

    /// Variance of the means of its substrates.
    fn variance_of_substrates(&self) -> Option<f64> {
        let count = self.substrates.len() as f64;
        let sample = self.sample?;
        Some(sample.standard_error.squared() * count)
    }

    fn weights(&self) -> Vec<f64> {
        self.substrates
            .iter()
            .map(|substrate| substrate.weight)
            .collect()
    }

    /// The mean of its substrates; none where no cell counts.
    pub(super) fn mean<S: Scalar>(&self, values: &[S]) -> Option<S> {
        let means: Vec<S> = self
            .substrates
            .iter()
            .map(|substrate| mean(&substrate.values(values)))
            .collect();
        self.counts()
            .then(|| weighted_mean(&means, &self.weights()))
    }

    /// The correction of its mean for the scatter of substrates; zero where that is not known.
    pub(super) fn correction<S: Scalar>(&self, given: &Given<'_, S>) -> S {
        match self.sample {
            Some(_) => given.scatter(self.correction),
            None => S::constant(0.0),
        }
    }
}

impl Substrate {
    fn values<S: Scalar>(&self, values: &[S]) -> Vec<S> {
        let value = |place: &usize| values.get(*place).copied();
        self.cells.iter().filter_map(value).collect()
    }
}
