//! What a formula receives ([`Given`]), what it returns ([`Found`]), and the trait that makes one generic
//! function into two function pointers ([`Formula`], [`both`]).

use core::any::Any;
use core::ops::Index;
use std::sync::{Arc, OnceLock};

use super::declaration::{Calculator, Field};
use crate::problem::{Check, Problem};
use crate::scalar::{Dual, Scalar};
use crate::uncertainty::Estimate;

/// A calculator's formula, written once over any [`Scalar`], in coherent SI.
pub trait Formula {
    /// The results from the inputs.
    ///
    /// # Errors
    /// A [`Problem`] that names the field when the inputs cannot be true together.
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem>;

    /// The scatter that measured points add to what is fitted to them: corrections of estimate zero, correlated
    /// among themselves, that [`Formula::compute`] adds by [`Given::scatter`]. None for most calculators.
    ///
    /// # Errors
    /// As for [`Formula::compute`].
    fn scatter(_given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        Ok(None)
    }

    /// The same where several sets of points scatter independently of each other, each with degrees of freedom of its
    /// own: their corrections are numbered through. They stand in one row of a budget, under the title of the first.
    ///
    /// # Errors
    /// As for [`Formula::compute`].
    fn scatters(given: &Given<'_, f64>) -> Result<Vec<Scatter>, Problem> {
        Ok(Self::scatter(given)?.into_iter().collect())
    }

    /// What a careful colleague would say about these inputs and results.
    fn checks(_given: &Given<'_, f64>, _found: &Found<f64>) -> Vec<Check> {
        Vec::new()
    }

    /// What is said about results and their uncertainties, once these are propagated from all cards. `estimate` gives a
    /// result of the card; each one asked for costs a budget.
    fn judge(
        _given: &Given<'_, f64>,
        _estimate: &dyn Fn(&Field) -> Option<Estimate>,
    ) -> Vec<Check> {
        Vec::new()
    }
}

/// The signature of a formula over one scalar.
pub type Compute<S> = fn(&Given<'_, S>) -> Result<Found<S>, Problem>;

/// A formula's functions, as plain data.
#[derive(Debug)]
pub struct Functions {
    /// Over `f64`.
    pub plain: Compute<f64>,
    /// Over dual numbers.
    pub dual: Compute<Dual>,
    /// [`Formula::scatters`].
    pub scatters: fn(&Given<'_, f64>) -> Result<Vec<Scatter>, Problem>,
    /// [`Formula::checks`].
    pub checks: fn(&Given<'_, f64>, &Found<f64>) -> Vec<Check>,
    /// [`Formula::judge`].
    pub judge: Judge,
}

/// The signature of [`Formula::judge`].
pub type Judge = fn(&Given<'_, f64>, &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check>;

/// The functions of a formula.
#[must_use]
pub const fn both<F: Formula>() -> Functions {
    Functions {
        plain: F::compute::<f64>,
        dual: F::compute::<Dual>,
        scatters: F::scatters,
        checks: F::checks,
        judge: F::judge,
    }
}

/// A scalar that a calculator's functions exist for.
pub trait Evaluable: Scalar {
    /// The formula over this scalar.
    fn of(functions: &Functions) -> Compute<Self>;
}

/// Where the numbers that a formula finds stand among those of its card: in the order of the declaration, whatever the
/// order of the formula. Recorded from one run, so that no other run need sort.
#[derive(Clone, Debug, Default)]
pub(crate) struct Layout {
    /// In the order of the formula: the field, and the place of its first number.
    fields: Vec<(&'static Field, usize)>,
    /// How many numbers there are.
    size: usize,
}

impl Layout {
    /// How many numbers there are.
    pub(crate) fn size(&self) -> usize {
        self.size
    }

    /// Puts what was found into its places. A number that was not found this time is not a number.
    pub(crate) fn place<S: Scalar>(&self, found: &Found<S>, into: &mut [S]) {
        into.fill(S::constant(f64::NAN));
        for (position, (field, value)) in found.numbers().enumerate() {
            // A formula sets the same fields in the same order, unless it decides by a value.
            let usual = self.fields.get(position).filter(|(f, _)| f.is(field));
            let first = usual.or_else(|| self.fields.iter().find(|(f, _)| f.is(field)));
            let Some(places) = first.and_then(|(_, first)| into.get_mut(*first..)) else {
                continue;
            };
            match value {
                Value::Number(number) => {
                    if let Some(place) = places.first_mut() {
                        *place = *number;
                    }
                }
                Value::Rows(rows) => {
                    let cells = rows.iter().flat_map(|row| &row.cells);
                    for (place, (_, number)) in places.iter_mut().zip(cells) {
                        *place = *number;
                    }
                }
                Value::Curve(_) => {}
            }
        }
    }
}

impl Calculator {
    /// Runs the formula.
    ///
    /// # Errors
    /// The formula's [`Problem`].
    pub(crate) fn run<S: Evaluable>(&self, given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        S::of(&self.formula)(given)
    }

    /// Brings what was found into the order of the declaration, and tells where each number came to stand.
    pub(crate) fn sort<S: Scalar>(&self, found: &mut Found<S>) -> Layout {
        let place = |field: &Field| self.outputs.iter().position(|entry| entry.field.is(field));
        let unsorted: Vec<&'static Field> = found.numbers().map(|(field, _)| *field).collect();
        found.values.sort_unstable_by_key(|(field, _)| place(field));
        let mut size = 0;
        let mut sorted = Vec::with_capacity(unsorted.len());
        for (field, value) in &found.values {
            sorted.push((*field, size));
            size += value.count();
        }
        let place = |field| sorted.iter().find(|(f, _)| f.is(field)).copied();
        Layout {
            fields: unsorted.into_iter().filter_map(place).collect(),
            size,
        }
    }
}

impl Evaluable for f64 {
    fn of(functions: &Functions) -> Compute<Self> {
        functions.plain
    }
}

impl Evaluable for Dual {
    fn of(functions: &Functions) -> Compute<Self> {
        functions.dual
    }
}

/// What measured points add to the uncertainty of what is fitted to them: one row of the budget.
#[derive(Clone, Debug, PartialEq)]
pub struct Scatter {
    /// The row's name: "Scatter of the points about the line".
    pub title: &'static str,
    /// Covariance of the corrections, one row each.
    pub covariance: Vec<Vec<f64>>,
    /// Degrees of freedom; infinite where the noise was stated rather than estimated.
    pub degrees_of_freedom: f64,
    /// Whether the corrections hold only to first order in the readings. Those of a straight line or polynomial are
    /// linear in them and hold whatever the readings; what is read from a fit or a curve in another way is not.
    pub linearised: bool,
}

/// Measured points: x ascending or not, as typed, in SI.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Points {
    /// First column.
    pub x: Vec<f64>,
    /// Second column.
    pub y: Vec<f64>,
}

/// What a person entered, without the numbers themselves, which stand in slots so that they can be swapped for
/// dual numbers or draws.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shape {
    pub(crate) fields: Vec<(&'static Field, Entered)>,
    worked_out: WorkedOut,
}

/// What a formula has worked out from a [`Shape`], and the numbers of its first run. It follows from what is entered, so it
/// has no part in comparisons.
#[derive(Clone, Debug, Default)]
struct WorkedOut(OnceLock<Arc<dyn Any + Send + Sync>>);

impl PartialEq for WorkedOut {
    fn eq(&self, _other: &Self) -> bool {
        true
    }
}

/// How well an entered number is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// Standard uncertainty, in SI; zero where none was stated.
    pub uncertainty: f64,
    /// The degrees of freedom behind it.
    pub degrees_of_freedom: f64,
    /// One step of the last digit typed, in SI; zero where it was not typed, or put together from several numbers.
    pub last_digit: f64,
}

impl Known {
    /// Without an uncertainty.
    pub(crate) const EXACTLY: Known = Known {
        uncertainty: 0.0,
        degrees_of_freedom: f64::INFINITY,
        last_digit: 0.0,
    };
}

/// One entered field of a [`Shape`].
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Entered {
    Number { slot: usize, known: Known },
    Choice(&'static str),
    Text(String),
    Rows(Vec<(String, Shape)>),
    Curve(Points),
}

impl Shape {
    /// The option chosen in a choice field.
    pub(crate) fn chosen(&self, field: &Field) -> Option<&'static str> {
        match self.find(field)? {
            Entered::Choice(option) => Some(option),
            _ => None,
        }
    }

    /// Whether it is a row of this table that does not count.
    pub(crate) fn is_left_out_of(&self, table: &Field) -> bool {
        let filled_in = |field: &&Field| match self.find(field) {
            Some(Entered::Choice(option)) => *option == "yes",
            Some(Entered::Text(_)) => true,
            _ => false,
        };
        !table.left_out_by.is_empty() && table.left_out_by.iter().all(filled_in)
    }

    fn find(&self, field: &Field) -> Option<&Entered> {
        self.fields
            .iter()
            .find(|(f, _)| f.is(field))
            .map(|(_, entered)| entered)
    }
}

/// What a formula receives: `given[&FIELD]` is the number in coherent SI.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a, S> {
    shape: &'a Shape,
    numbers: &'a [S],
    scatter: &'a [S],
    /// Whether curves are drawn from what is found.
    curves: bool,
    /// What a field that is not there reads as: not a number, so that a formula that reads a field it did not
    /// declare is caught by the finiteness check instead of panicking.
    absent: S,
}

impl<'a, S: Scalar> Given<'a, S> {
    pub(crate) fn new(shape: &'a Shape, numbers: &'a [S], scatter: &'a [S]) -> Self {
        Given {
            shape,
            numbers,
            scatter,
            curves: false,
            absent: S::constant(f64::NAN),
        }
    }

    /// The same, where curves are drawn from what is found.
    pub(crate) fn with_curves(self) -> Self {
        Given {
            curves: true,
            ..self
        }
    }

    /// Whether curves are drawn from what is found: once an evaluation, not for each derivative or trial.
    #[must_use]
    pub fn wants_curves(&self) -> bool {
        self.curves
    }

    /// What is worked out once, and then the same for every derivative and trial: what follows from choices, texts and
    /// points alone, or a decision (which of many plans), which is taken at the numbers as they were entered, since that
    /// is the first run, and is not taken again for others. It must be of one type for each calculator.
    ///
    /// # Errors
    /// Those of `work_out`.
    pub fn once<T: Any + Send + Sync>(
        &self,
        work_out: impl FnOnce() -> Result<T, Problem>,
    ) -> Result<Arc<T>, Problem> {
        let kept = self.shape.worked_out.0.get().cloned();
        if let Some(Ok(known)) = kept.map(Arc::downcast) {
            return Ok(known);
        }
        let new = Arc::new(work_out()?);
        // Where something of another type is kept already, this is worked out each time.
        let _ = self.shape.worked_out.0.set(new.clone());
        Ok(new)
    }

    fn slot(&self, field: &Field) -> Option<&'a S> {
        match self.shape.find(field)? {
            Entered::Number { slot, .. } => self.numbers.get(*slot),
            _ => None,
        }
    }

    /// The number in a field that may be empty.
    #[must_use]
    pub fn get(&self, field: &Field) -> Option<S> {
        self.slot(field).copied()
    }

    /// The number in a field that may be empty, or a constant.
    #[must_use]
    pub fn or(&self, field: &Field, otherwise: f64) -> S {
        self.get(field).unwrap_or(S::constant(otherwise))
    }

    /// The standard uncertainty of a field declared with [`Field::weighing`]; zero where none was stated.
    #[must_use]
    pub fn uncertainty(&self, field: &Field) -> f64 {
        self.known(field).uncertainty
    }

    /// How well the number is known; for a link only in a field declared with [`Field::weighing`].
    #[must_use]
    pub fn known(&self, field: &Field) -> Known {
        match self.shape.find(field) {
            Some(Entered::Number { known, .. }) => *known,
            _ => Known::EXACTLY,
        }
    }

    /// Half a step of the last digit typed: how far rounding may have moved a number that was copied from print. Zero for
    /// a link.
    #[must_use]
    pub fn rounding(&self, field: &Field) -> f64 {
        self.known(field).last_digit / 2.0
    }

    /// The chosen option's identifier.
    #[must_use]
    pub fn choice(&self, field: &Field) -> &'static str {
        self.shape.chosen(field).unwrap_or_default()
    }

    /// The text in a field.
    #[must_use]
    pub fn text(&self, field: &Field) -> &'a str {
        match self.shape.find(field) {
            Some(Entered::Text(text)) => text,
            _ => "",
        }
    }

    /// What sentences call a row of a table: the text in its field for a name, or, where that is empty, its position.
    #[must_use]
    pub fn called(&self, field: &Field, position: usize) -> String {
        match self.text(field).trim() {
            "" => format!("row {}", position + 1),
            name => name.to_owned(),
        }
    }

    /// The complete rows of a table, each with its stable id.
    pub fn rows(
        &self,
        field: &Field,
    ) -> impl Iterator<Item = (&'a str, Given<'a, S>)> + use<'a, S> {
        let rows: &[(String, Shape)] = match self.shape.find(field) {
            Some(Entered::Rows(rows)) => rows,
            _ => &[],
        };
        let given = *self;
        rows.iter()
            .map(move |(id, shape)| (id.as_str(), Given { shape, ..given }))
    }

    /// The points of a curve field.
    #[must_use]
    pub fn points(&self, field: &Field) -> Option<&'a Points> {
        match self.shape.find(field) {
            Some(Entered::Curve(points)) => Some(points),
            _ => None,
        }
    }

    /// The correction with this number from [`Formula::scatter`]: its estimate is zero, its slope one.
    #[must_use]
    pub fn scatter(&self, number: usize) -> S {
        self.scatter
            .get(number)
            .copied()
            .unwrap_or(S::constant(0.0))
    }
}

impl<S: Scalar> Index<&Field> for Given<'_, S> {
    type Output = S;
    fn index(&self, field: &Field) -> &S {
        self.slot(field).unwrap_or(&self.absent)
    }
}

/// What a formula returns.
#[derive(Clone, Debug, PartialEq)]
pub struct Found<S> {
    pub(crate) values: Vec<(&'static Field, Value<S>)>,
    /// What rows are called that stand for no row of the entries.
    pub(crate) row_names: Vec<RowName>,
}

/// What a row of results is called.
#[derive(Clone, Debug, PartialEq)]
pub struct RowName {
    /// The table of results.
    pub table: &'static Field,
    /// The row's id.
    pub row: String,
    /// The name a person reads.
    pub name: String,
}

/// One result.
#[derive(Clone, Debug, PartialEq)]
pub enum Value<S> {
    /// A number in coherent SI.
    Number(S),
    /// Rows of numbers, each with its stable id.
    Rows(Vec<FoundRow<S>>),
    /// A curve to be drawn, in coherent SI.
    Curve(Points),
}

impl<S> Value<S> {
    /// How many numbers it holds; a curve is drawn, not propagated.
    fn count(&self) -> usize {
        match self {
            Value::Number(_) => 1,
            Value::Rows(rows) => rows.iter().map(|row| row.cells.len()).sum(),
            Value::Curve(_) => 0,
        }
    }
}

/// One row of a result that is a table.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundRow<S> {
    /// The row's stable id.
    pub id: String,
    /// The cells.
    pub cells: Vec<(&'static Field, S)>,
}

impl<S: Scalar> FoundRow<S> {
    /// The number in a column, if there is one.
    #[must_use]
    pub fn get(&self, column: &Field) -> Option<S> {
        let cell = self.cells.iter().find(|(field, _)| field.is(column));
        cell.map(|(_, number)| *number)
    }
}

/// Room for the results of most calculators, so that a formula that runs a million times allocates once a run.
const USUAL: usize = 12;

impl<S> Default for Found<S> {
    fn default() -> Self {
        Found {
            values: Vec::with_capacity(USUAL),
            row_names: Vec::new(),
        }
    }
}

impl<S: Scalar> Found<S> {
    /// Nothing found yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }
    /// Adds a number.
    pub fn set(&mut self, field: &'static Field, number: S) {
        self.values.push((field, Value::Number(number)));
    }
    /// Adds a number where there is one.
    pub fn set_some(&mut self, field: &'static Field, number: Option<S>) {
        if let Some(number) = number {
            self.set(field, number);
        }
    }
    /// Adds a table.
    pub fn set_rows(&mut self, field: &'static Field, rows: Vec<FoundRow<S>>) {
        self.values.push((field, Value::Rows(rows)));
    }
    /// Says what a row of a table is called, where it is not that of the entries with the same id. Needed where
    /// [`Given::wants_curves`] only: once an evaluation.
    pub fn call_row(&mut self, table: &'static Field, row: &str, name: String) {
        let row = row.into();
        self.row_names.push(RowName { table, row, name });
    }
    /// Adds a curve. One that takes work is drawn only where [`Given::wants_curves`].
    pub fn set_curve(&mut self, field: &'static Field, points: Points) {
        self.values.push((field, Value::Curve(points)));
    }
    /// The number found for a field, if there is one.
    #[must_use]
    pub fn get(&self, field: &Field) -> Option<S> {
        self.values.iter().find_map(|(f, value)| match value {
            Value::Number(number) if f.is(field) => Some(*number),
            _ => None,
        })
    }
    /// The rows found for a table, if there are some.
    #[must_use]
    pub fn rows(&self, field: &Field) -> Option<&[FoundRow<S>]> {
        self.values.iter().find_map(|(f, value)| match value {
            Value::Rows(rows) if f.is(field) => Some(rows.as_slice()),
            _ => None,
        })
    }
    /// What is no curve, in the order of the formula.
    fn numbers(&self) -> impl Iterator<Item = &(&'static Field, Value<S>)> {
        let is_curve = |value: &Value<S>| matches!(value, Value::Curve(_));
        self.values
            .iter()
            .filter(move |(_, value)| !is_curve(value))
    }
    /// Everything found, in the order of the formula.
    pub fn iter(&self) -> impl Iterator<Item = (&'static Field, &Value<S>)> {
        self.values.iter().map(|(field, value)| (*field, value))
    }
}
