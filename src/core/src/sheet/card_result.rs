//! One card, evaluated: its values, and its local derivatives with respect to what is on it.

use super::Card;
use super::entry::{Awaited, Reading};
use crate::calculators::{
    Calculator, Field, Found, Given, Layout, Points, RowName, Scatter, Shape, Value,
};
use crate::problem::{Check, Level, Problem};
use crate::scalar::{Dual, Scalar};

/// Whether a card has results.
#[derive(Clone, Debug, PartialEq)]
pub enum State {
    /// Everything needed is there.
    Ready,
    /// Something is still missing; that is no error.
    Waiting(Vec<Awaited>),
    /// Something that was entered cannot be so.
    Stopped(Vec<Problem>),
}

/// One number that a card gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// Its place as `output` or `table.row.column`.
    pub path: String,
    /// Its field.
    pub field: &'static Field,
    /// The value in SI.
    pub value: f64,
}

/// A number on the sheet: the position of its card, and its number among what that card offers.
pub(super) type Place = (usize, usize);

/// One card, evaluated.
#[derive(Clone, Debug)]
pub struct CardResult {
    /// The card's identifier.
    pub id: String,
    /// What the person calls it.
    pub title: String,
    /// Its calculator, where this version knows it.
    pub calculator: Option<&'static Calculator>,
    /// Whether it has results.
    pub state: State,
    /// How each number on it was read.
    pub readings: Vec<Reading>,
    /// The numbers it gives.
    pub outputs: Vec<Output>,
    /// The curves it draws.
    pub curves: Vec<(&'static Field, Points)>,
    /// What rows of its tables are called that stand for no row of the entries.
    pub row_names: Vec<RowName>,
    /// What a careful colleague would say.
    pub checks: Vec<Check>,
    pub(super) shape: Shape,
    /// Where the numbers that the formula finds stand among the outputs.
    pub(super) layout: Layout,
    /// What its points scatter: independent blocks, their corrections numbered through.
    pub(super) scatters: Vec<Scatter>,
    /// ∂output/∂(reading or scatter correction): one row an output.
    pub(super) jacobian: Vec<Vec<f64>>,
    /// Links resolved: for each reading, the source card's position and the number of what is taken from it.
    pub(super) sources: Vec<Option<Place>>,
    /// Whether any of its numbers has an uncertainty.
    pub(super) uncertain: bool,
}

impl CardResult {
    /// The output at this path.
    #[must_use]
    pub fn output(&self, path: &str) -> Option<&Output> {
        self.outputs.iter().find(|output| output.path == path)
    }

    /// What a row of results is called, where the card says so; other rows are called as those of the entries with the
    /// same id.
    #[must_use]
    pub fn row_name(&self, table: &str, row: &str) -> Option<&str> {
        let named = self
            .row_names
            .iter()
            .find(|named| named.table.id == table && named.row == row)?;
        Some(&named.name)
    }

    /// What other cards may take from it, in a fixed order: its outputs, then the numbers entered on it.
    pub(super) fn offered(&self) -> impl Iterator<Item = (&str, &'static Field, f64)> {
        let outputs = self
            .outputs
            .iter()
            .map(|o| (o.path.as_str(), o.field, o.value));
        outputs.chain(
            self.readings
                .iter()
                .map(|r| (r.path.as_str(), r.field, r.value)),
        )
    }

    pub(super) fn offered_count(&self) -> usize {
        self.outputs.len() + self.readings.len()
    }

    /// The most a check asks; none where there are no checks.
    #[must_use]
    pub fn level(&self) -> Option<Level> {
        self.checks.iter().map(|check| check.level).max()
    }

    /// The option chosen in a choice field that applies.
    #[must_use]
    pub fn chosen(&self, field: &Field) -> Option<&'static str> {
        self.shape.chosen(field)
    }

    /// Everything entered and found, by field: what the working puts into its formulas.
    #[must_use]
    pub fn number(&self, field: &str) -> Option<(&'static Field, f64)> {
        let read = self
            .readings
            .iter()
            .find(|r| r.path == field)
            .map(|r| (r.field, r.value));
        read.or_else(|| self.output(field).map(|o| (o.field, o.value)))
    }
}

impl CardResult {
    /// A card before it is computed.
    pub(super) fn unevaluated(card: &Card, calculator: Option<&'static Calculator>) -> CardResult {
        CardResult {
            id: card.id.clone(),
            title: card.title.clone(),
            calculator,
            state: State::Waiting(Vec::new()),
            readings: Vec::new(),
            outputs: Vec::new(),
            curves: Vec::new(),
            row_names: Vec::new(),
            checks: Vec::new(),
            shape: Shape::default(),
            layout: Layout::default(),
            scatters: Vec::new(),
            jacobian: Vec::new(),
            sources: Vec::new(),
            uncertain: false,
        }
    }

    /// The name of its scatter row in budgets.
    #[must_use]
    pub fn scatter_title(&self) -> Option<&'static str> {
        self.scatters.first().map(|scatter| scatter.title)
    }

    /// Values over `f64`, then one run over dual numbers for each uncertain slot and scatter correction.
    pub(super) fn compute(
        &mut self,
        calculator: &'static Calculator,
        uncertain_slots: &[usize],
    ) -> Result<(), Problem> {
        let plain: Vec<f64> = self.readings.iter().map(|reading| reading.value).collect();
        let given = Given::new(&self.shape, &plain, &[]).with_curves();
        let mut found = calculator.run(&given)?;
        let layout = calculator.sort(&mut found);
        let scatters = (calculator.formula.scatters)(&given)?;
        let checks = (calculator.formula.checks)(&given, &found);

        let mut outputs = Vec::new();
        let mut curves = Vec::new();
        list(&found, &mut outputs, &mut curves);
        if let Some(output) = outputs.iter().find(|output| !output.value.is_finite()) {
            return Err(Problem::in_path(
                "",
                "not_finite",
                format!(
                    "{} has no finite value with these inputs.",
                    output.field.title
                ),
                "Look for a zero, or a very large or small number, among the inputs.",
            ));
        }

        let corrections: usize = scatters.iter().map(|s| s.covariance.len()).sum();
        let columns = plain.len() + corrections;
        let mut jacobian = vec![vec![0.0; columns]; outputs.len()];
        let mut duals: Vec<Dual> = plain.iter().map(|value| Dual::constant(*value)).collect();
        let mut deltas = vec![Dual::constant(0.0); corrections];
        let mut numbers = vec![Dual::constant(0.0); outputs.len()];
        let seeds = uncertain_slots.iter().copied().chain(plain.len()..columns);
        for column in seeds {
            let seeded = match column.checked_sub(plain.len()) {
                None => &mut duals[column],
                Some(correction) => &mut deltas[correction],
            };
            let unseeded = core::mem::replace(seeded, Dual::seed(seeded.value));
            let given = Given::new(&self.shape, &duals, &deltas);
            layout.place(&calculator.run(&given)?, &mut numbers);
            for (row, number) in jacobian.iter_mut().zip(&numbers) {
                row[column] = number.slope;
            }
            match column.checked_sub(plain.len()) {
                None => duals[column] = unseeded,
                Some(correction) => deltas[correction] = unseeded,
            }
        }

        self.uncertain |= !scatters.is_empty();
        self.outputs = outputs;
        self.curves = curves;
        self.row_names = found.row_names;
        self.checks = checks;
        self.layout = layout;
        self.scatters = scatters;
        self.jacobian = jacobian;
        Ok(())
    }
}

/// Lists what was found, which is sorted: numbers in the order of [`Layout::place`], and curves.
fn list(found: &Found<f64>, outputs: &mut Vec<Output>, curves: &mut Vec<(&'static Field, Points)>) {
    for (field, value) in found.iter() {
        match value {
            Value::Number(number) => outputs.push(Output {
                path: field.id.into(),
                field,
                value: *number,
            }),
            Value::Rows(rows) => {
                for row in rows {
                    outputs.extend(row.cells.iter().map(|(column, number)| Output {
                        path: format!("{}.{}.{}", field.id, row.id, column.id),
                        field: column,
                        value: *number,
                    }));
                }
            }
            Value::Curve(points) => curves.push((field, points.clone())),
        }
    }
}
