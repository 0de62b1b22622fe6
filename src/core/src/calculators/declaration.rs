//! What a calculator declares. The form, the help, the link targets, the printed record, the schema and the
//! tests are all read from these plain data; only the formula is code.

use super::formula::Functions;
use crate::points::{Direction, Illumination};
use crate::problem::Source;
use crate::quantity::{Kind, Unit, unit, value_text};

/// One box of a form, one column of a table, or one result.
#[derive(Debug)]
pub struct Field {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// A digest of the identifier: formulas look fields up by it millions of times in a Monte Carlo run.
    key: u64,
    /// The label a person reads.
    pub title: &'static str,
    /// The letter used in formulas.
    pub symbol: &'static str,
    /// One sentence of help; empty where the title says it all.
    pub help: &'static str,
    /// What goes into it.
    pub kind: FieldKind,
    /// A card is complete without it.
    pub optional: bool,
    /// What a new card is filled with. It is visible and editable; evaluation knows no hidden default.
    pub initial: &'static str,
    /// The formula uses its standard uncertainty as a weight.
    pub weighs: bool,
    /// Where it is entered, it belongs to one batch and is emptied for the next.
    pub measured: bool,
    /// How a result that a card gives is drawn.
    pub drawn: Drawn,
    /// Its numbers are drawn on a logarithmic axis, by size.
    pub logarithmic: bool,
    /// Digits to which a result is printed while no uncertainty is known, where fewer than usual say all.
    pub digits: Option<u8>,
    /// Which of the sweeps in a text it takes, where it is a curve.
    pub direction: Option<Direction>,
    /// Which of the curves in a text it takes, where it is a curve and the text says which is dark.
    pub illumination: Option<Illumination>,
    /// What leaves a row of a table out, where all of these columns are filled in.
    pub left_out_by: &'static [&'static Field],
}

/// How a result that a card gives is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Drawn {
    /// A line, in a figure of its own.
    #[default]
    Line,
    /// Marks, in a figure of their own.
    Marks,
    /// Marks in the figure of the line over the same fields.
    MarksOver,
    /// A broken line in the figure of the line over the same fields: one limit of a band.
    Limit,
    /// A dotted line in the figure of the line over the same fields: one limit of a wider band.
    OuterLimit,
    /// A second line in the figure of the line over the same fields.
    LineOver,
    /// A line in the figure of the line over the same first column, with an axis of its own on the right.
    RightLine,
    /// A number as a bar, with its uncertainty, beside the other bars of the same kind on the card.
    Bar,
}

/// Fields are statics, told apart by identifier.
impl PartialEq for Field {
    fn eq(&self, other: &Self) -> bool {
        self.is(other)
    }
}

/// What goes into a [`Field`].
#[derive(Debug)]
pub enum FieldKind {
    /// A number with a unit.
    Quantity {
        /// What is measured; links join equal kinds only.
        kind: Kind,
        /// UCUM codes offered first, the usual one leading.
        units: &'static [&'static str],
        /// Valid values, in SI.
        range: Range,
    },
    /// A whole number.
    Count {
        /// Valid values.
        range: Range,
    },
    /// One of several.
    Choice {
        /// The options, the usual one leading.
        options: &'static [Choice],
    },
    /// Free text, for names.
    Text,
    /// Rows of fields; rows have stable ids.
    Table {
        /// The columns.
        columns: &'static [&'static Field],
    },
    /// Measured points: one block, not a leaf a point.
    Curve {
        /// What stands in the first column.
        x: &'static Field,
        /// What stands in the second column.
        y: &'static Field,
    },
}

/// One option of a choice.
#[derive(Debug)]
pub struct Choice {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// The label a person reads.
    pub title: &'static str,
}

/// An option of a choice.
#[must_use]
pub const fn option(id: &'static str, title: &'static str) -> Choice {
    Choice { id, title }
}

/// Valid values, in SI, with or without their ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lower end.
    pub from: f64,
    /// Upper end.
    pub to: f64,
    /// The lower end itself is not valid.
    pub above: bool,
    /// The upper end itself is not valid.
    pub below: bool,
}

impl Range {
    /// Any finite number.
    pub const ANY: Range = Range {
        from: f64::NEG_INFINITY,
        to: f64::INFINITY,
        above: false,
        below: false,
    };

    /// A fraction of something that is there: above zero, at most one.
    pub const FRACTION: Range = Range {
        from: 0.0,
        to: 1.0,
        above: true,
        below: false,
    };

    /// Whether a value is valid.
    #[must_use]
    pub fn contains(&self, value: f64) -> bool {
        let low = if self.above {
            self.from < value
        } else {
            self.from <= value
        };
        let high = if self.below {
            value < self.to
        } else {
            value <= self.to
        };
        value.is_finite() && low && high
    }
}

/// A quantity field: identifier, title, kind.
#[must_use]
pub const fn quantity(id: &'static str, title: &'static str, kind: Kind) -> Field {
    field(
        id,
        title,
        FieldKind::Quantity {
            kind,
            units: &[],
            range: Range::ANY,
        },
    )
}

/// A whole-number field.
#[must_use]
pub const fn count(id: &'static str, title: &'static str) -> Field {
    field(
        id,
        title,
        FieldKind::Count {
            range: Range {
                from: 1.0,
                to: 1e6,
                above: false,
                below: false,
            },
        },
    )
}

/// A choice field.
#[must_use]
pub const fn choice(id: &'static str, title: &'static str, options: &'static [Choice]) -> Field {
    Field {
        // A new card starts with the usual option.
        initial: options[0].id,
        ..field(id, title, FieldKind::Choice { options })
    }
}

/// What a [`tick`] chooses between.
static TICKS: [Choice; 2] = [option("no", "not yet"), option("yes", "done")];

/// A choice between not yet and done, for work to tick off; the page shows it as a check box. An empty one is not done.
#[must_use]
pub const fn tick(id: &'static str, title: &'static str) -> Field {
    choice(id, title, &TICKS).optional()
}

/// A table field.
#[must_use]
pub const fn table(
    id: &'static str,
    title: &'static str,
    columns: &'static [&'static Field],
) -> Field {
    field(id, title, FieldKind::Table { columns })
}

/// A free-text field, for names.
#[must_use]
pub const fn text(id: &'static str, title: &'static str) -> Field {
    field(id, title, FieldKind::Text)
}

/// A field for measured points.
#[must_use]
pub const fn curve(
    id: &'static str,
    title: &'static str,
    x: &'static Field,
    y: &'static Field,
) -> Field {
    field(id, title, FieldKind::Curve { x, y })
}

/// 64-bit FNV-1a.
const fn fnv1a(bytes: &[u8]) -> u64 {
    let mut digest = 0xcbf2_9ce4_8422_2325;
    let mut index = 0;
    while index < bytes.len() {
        digest = (digest ^ bytes[index] as u64).wrapping_mul(0x0100_0000_01b3);
        index += 1;
    }
    digest
}

const fn field(id: &'static str, title: &'static str, kind: FieldKind) -> Field {
    Field {
        id,
        key: fnv1a(id.as_bytes()),
        title,
        symbol: "",
        help: "",
        kind,
        optional: false,
        initial: "",
        weighs: false,
        measured: false,
        drawn: Drawn::Line,
        logarithmic: false,
        digits: None,
        direction: None,
        illumination: None,
        left_out_by: &[],
    }
}

impl Field {
    /// The letter used in formulas.
    #[must_use]
    pub const fn symbol(self, symbol: &'static str) -> Field {
        Field { symbol, ..self }
    }
    /// One sentence of help.
    #[must_use]
    pub const fn help(self, help: &'static str) -> Field {
        Field { help, ..self }
    }
    /// UCUM codes offered first, the usual one leading.
    #[must_use]
    pub const fn units(self, units: &'static [&'static str]) -> Field {
        let FieldKind::Quantity { kind, range, .. } = self.kind else {
            return self;
        };
        Field {
            kind: FieldKind::Quantity { kind, units, range },
            ..self
        }
    }
    /// Only values above zero are valid.
    #[must_use]
    pub const fn positive(self) -> Field {
        self.range(Range {
            from: 0.0,
            above: true,
            ..Range::ANY
        })
    }
    /// Zero and above is valid.
    #[must_use]
    pub const fn not_negative(self) -> Field {
        self.range(Range {
            from: 0.0,
            ..Range::ANY
        })
    }
    /// Values from `from` to `to` in SI are valid, ends included.
    #[must_use]
    pub const fn within(self, from: f64, to: f64) -> Field {
        self.range(Range {
            from,
            to,
            above: false,
            below: false,
        })
    }
    /// Valid values in SI.
    #[must_use]
    pub const fn range(self, range: Range) -> Field {
        let kind = match self.kind {
            FieldKind::Quantity { kind, units, .. } => FieldKind::Quantity { kind, units, range },
            FieldKind::Count { .. } => FieldKind::Count { range },
            FieldKind::Choice { options } => FieldKind::Choice { options },
            FieldKind::Text => FieldKind::Text,
            FieldKind::Table { columns } => FieldKind::Table { columns },
            FieldKind::Curve { x, y } => FieldKind::Curve { x, y },
        };
        Field { kind, ..self }
    }
    /// A card is complete without it.
    #[must_use]
    pub const fn optional(self) -> Field {
        Field {
            optional: true,
            ..self
        }
    }
    /// What a new card is filled with, in the first of the units.
    #[must_use]
    pub const fn initially(self, initial: &'static str) -> Field {
        Field { initial, ..self }
    }
    /// The formula uses its standard uncertainty as a weight.
    #[must_use]
    pub const fn weighing(self) -> Field {
        Field {
            weighs: true,
            ..self
        }
    }
    /// It is weighed, measured or counted on one batch: the next batch starts with it empty. What a recipe or a design
    /// sets, what a handbook or a certificate says, and nominal sizes are not measured.
    #[must_use]
    pub const fn measured(self) -> Field {
        Field {
            measured: true,
            ..self
        }
    }

    /// A row of the table in which all of these are filled in, ticks and texts, does not count: nothing waits for an optional
    /// number of it whose link gives none, which is then not a number.
    #[must_use]
    pub const fn left_out_by(self, columns: &'static [&'static Field]) -> Field {
        Field {
            left_out_by: columns,
            ..self
        }
    }

    /// Whether it was made by [`tick`].
    #[must_use]
    pub fn is_tick(&self) -> bool {
        matches!(self.kind, FieldKind::Choice { options } if core::ptr::eq(options, TICKS.as_slice()))
    }

    /// How the result is drawn, where it is no curve with a line in a figure of its own.
    #[must_use]
    pub const fn drawn(self, drawn: Drawn) -> Field {
        Field { drawn, ..self }
    }

    /// Its numbers span decades: as the second column of a curve that a card gives, they are drawn by size on a
    /// logarithmic axis.
    #[must_use]
    pub const fn logarithmic(self) -> Field {
        Field {
            logarithmic: true,
            ..self
        }
    }

    /// While no uncertainty of it is known, it is printed to so many digits: it only describes (a spread, a probability),
    /// and more would not be read.
    #[must_use]
    pub const fn digits(self, digits: u8) -> Field {
        Field {
            digits: Some(digits),
            ..self
        }
    }

    /// The sweep in this direction is taken, where pasted points hold more than one. Without it, a curve of current over
    /// voltage asks which sweep is meant; other curves are not looked at for sweeps.
    #[must_use]
    pub const fn direction(self, direction: Direction) -> Field {
        Field {
            direction: Some(direction),
            ..self
        }
    }

    /// The curve measured in the dark is taken, where pasted points name one. Without it, a curve of current over voltage
    /// takes the one measured under the lamp.
    #[must_use]
    pub const fn dark(self) -> Field {
        Field {
            illumination: Some(Illumination::Dark),
            ..self
        }
    }

    /// The kind of number it holds; none for choices, text, tables and curves.
    #[must_use]
    pub fn number_kind(&self) -> Option<Kind> {
        match self.kind {
            FieldKind::Quantity { kind, .. } => Some(kind),
            FieldKind::Count { .. } => Some(Kind::Count),
            _ => None,
        }
    }

    /// Valid values of the number it holds.
    #[must_use]
    pub fn number_range(&self) -> Range {
        match self.kind {
            FieldKind::Quantity { range, .. } | FieldKind::Count { range } => range,
            _ => Range::ANY,
        }
    }

    /// The units a person may choose from, the usual ones first.
    #[must_use]
    pub fn offered_units(&self) -> Vec<&'static Unit> {
        let Some(kind) = self.number_kind() else {
            return Vec::new();
        };
        let preferred = self.preferred_units(kind);
        let rest = kind
            .units()
            .filter(|u| preferred.iter().all(|p| p.code != u.code));
        preferred.iter().copied().chain(rest).collect()
    }

    /// The unit an empty box starts with.
    #[must_use]
    pub fn usual_unit(&self) -> Option<&'static Unit> {
        match self.kind {
            FieldKind::Quantity { kind, units, .. } => {
                let first = units.first().and_then(|code| unit(kind, code));
                Some(first.unwrap_or_else(|| kind.coherent()))
            }
            _ => self.number_kind().map(Kind::coherent),
        }
    }

    /// The usual unit in which a value reads well: the first that shows it between 0.1 and 1000.
    #[must_use]
    pub fn unit_for(&self, si: f64) -> Option<&'static Unit> {
        let kind = self.number_kind()?;
        let preferred = self.preferred_units(kind);
        preferred
            .iter()
            .find(|unit| {
                let shown = unit.from_si(si).abs();
                (0.1..1000.0).contains(&shown)
            })
            .or(preferred.first())
            .copied()
            .or(Some(kind.coherent()))
    }

    /// A value with its unit, to four digits, for sentences.
    #[must_use]
    pub fn say(&self, si: f64) -> String {
        match self.unit_for(si) {
            Some(unit) => unit.say(si, 4),
            None => value_text(si, 4),
        }
    }

    /// An end of the valid range with its unit; a bare zero needs none.
    #[must_use]
    pub fn say_bound(&self, si: f64) -> String {
        if si == 0.0 { "0".into() } else { self.say(si) }
    }

    fn preferred_units(&self, kind: Kind) -> Vec<&'static Unit> {
        match self.kind {
            FieldKind::Quantity { units, .. } => {
                units.iter().filter_map(|code| unit(kind, code)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Whether this is the same field: fields are statics, told apart by identifier. No two identifiers have one digest
    /// (a test compares all).
    #[must_use]
    pub fn is(&self, other: &Field) -> bool {
        self.key == other.key
    }
}

/// A field in a calculator's list, with the choices under which it applies.
#[derive(Debug)]
pub struct Entry {
    /// The field.
    pub field: &'static Field,
    /// All must hold.
    pub conditions: Conditions,
}

/// A choice that makes a field apply or not.
#[derive(Clone, Copy, Debug)]
pub struct Condition {
    /// The choice field, of the same card.
    pub choice: &'static Field,
    /// Its options in question.
    pub options: &'static [&'static str],
    /// Whether the field applies when one of these is chosen (or when none is).
    pub chosen: bool,
}

/// Lists a field that always applies.
#[must_use]
pub const fn show(field: &'static Field) -> Entry {
    Entry {
        field,
        conditions: NO_CONDITIONS,
    }
}

impl Entry {
    /// It applies only when one of these options is chosen.
    #[must_use]
    pub const fn when(self, choice: &'static Field, options: &'static [&'static str]) -> Entry {
        self.under(Condition {
            choice,
            options,
            chosen: true,
        })
    }
    /// It applies only when none of these options is chosen.
    #[must_use]
    pub const fn unless(self, choice: &'static Field, options: &'static [&'static str]) -> Entry {
        self.under(Condition {
            choice,
            options,
            chosen: false,
        })
    }
    const fn under(self, condition: Condition) -> Entry {
        Entry {
            field: self.field,
            conditions: with_condition(self.conditions, condition),
        }
    }

    /// Whether the field applies, given what was chosen in each choice field.
    pub fn applies<'a>(&self, chosen: impl Fn(&Field) -> Option<&'a str>) -> bool {
        all_hold(&self.conditions, chosen)
    }
}

fn all_hold<'a>(
    conditions: &[Option<Condition>],
    chosen: impl Fn(&Field) -> Option<&'a str>,
) -> bool {
    conditions.iter().flatten().all(|condition| {
        let listed =
            chosen(condition.choice).is_some_and(|option| condition.options.contains(&option));
        listed == condition.chosen
    })
}

/// The choices under which something applies; all must hold. A fourth is one too many for the reader as well.
pub type Conditions = [Option<Condition>; 3];

const NO_CONDITIONS: Conditions = [None, None, None];

const fn with_condition(conditions: Conditions, condition: Condition) -> Conditions {
    match conditions {
        [None, ..] => [Some(condition), None, None],
        [first, None, _] => [first, Some(condition), None],
        [first, second, _] => [first, second, Some(condition)],
    }
}

/// A part of the work at the bench; calculators are offered by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Stock solutions, dilutions, baths for cleaning and treating.
    Stocks,
    /// The ink, from the powder to what is jetted.
    Ink,
    /// Printing, drying and firing layers.
    Layers,
    /// Dyeing films and finding what they took up.
    Dyeing,
    /// Electrolyte, spacer, filling.
    Cell,
    /// Measured curves, what is read from them and what the light would give.
    Measuring,
    /// Losses, and one process beside another.
    Comparing,
}

impl Stage {
    /// Every stage, in the order of the work.
    pub const ALL: &[Stage] = &[
        Stage::Stocks,
        Stage::Ink,
        Stage::Layers,
        Stage::Dyeing,
        Stage::Cell,
        Stage::Measuring,
        Stage::Comparing,
    ];

    /// The name a person reads.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Stage::Stocks => "Stocks and baths",
            Stage::Ink => "Ink",
            Stage::Layers => "Printing and firing",
            Stage::Dyeing => "Dyeing",
            Stage::Cell => "Electrolyte and cell",
            Stage::Measuring => "Measuring",
            Stage::Comparing => "Losses and comparing",
        }
    }
}

/// A calculator: what it asks, what it gives, how it works, where that comes from.
#[derive(Debug)]
pub struct Calculator {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// Its version: raised whenever the same inputs may give other numbers.
    pub version: u32,
    /// The part of the work that it belongs to.
    pub stage: Stage,
    /// The name a person reads.
    pub title: &'static str,
    /// What it answers, in one sentence.
    pub purpose: &'static str,
    /// What it asks, in the order of the form.
    pub inputs: &'static [Entry],
    /// What it gives; the first that applies is the headline.
    pub outputs: &'static [Entry],
    /// The formulas, in order.
    pub working: &'static [Step],
    /// Where the formulas come from.
    pub sources: &'static [Source],
    /// What can hurt.
    pub hazards: &'static [Hazard],
    /// The formula, over both scalars.
    pub formula: Functions,
}

impl Calculator {
    /// The declared input with this identifier.
    #[must_use]
    pub fn input(&self, id: &str) -> Option<&'static Field> {
        find(self.inputs, id)
    }
    /// The declared output with this identifier.
    #[must_use]
    pub fn output(&self, id: &str) -> Option<&'static Field> {
        find(self.outputs, id)
    }
}

fn find(entries: &'static [Entry], id: &str) -> Option<&'static Field> {
    entries
        .iter()
        .map(|entry| entry.field)
        .find(|field| field.id == id)
}

/// One line of the working.
#[derive(Debug)]
pub struct Step {
    /// A formula over field identifiers, `result = expression`; or, where no formula says it, a sentence.
    pub text: StepText,
    /// What a method gives; a formula says it itself.
    pub gives: &'static [&'static Field],
    /// The choices under which it applies.
    pub conditions: Conditions,
    /// It applies only while this input is empty or does not apply.
    pub without: Option<&'static Field>,
}

/// What a line of the working holds.
#[derive(Debug)]
pub enum StepText {
    /// `result = expression` over field identifiers, as `crate::working` reads it.
    Formula(&'static str),
    /// A sentence about a method that is not one formula.
    Method(&'static str),
}

/// A formula of the working: `mass = concentration * volume * molar_mass / purity`.
#[must_use]
pub const fn formula(text: &'static str) -> Step {
    step(StepText::Formula(text))
}

/// A method that is not one formula.
#[must_use]
pub const fn method(text: &'static str) -> Step {
    step(StepText::Method(text))
}

const fn step(text: StepText) -> Step {
    Step {
        text,
        gives: &[],
        conditions: NO_CONDITIONS,
        without: None,
    }
}

impl Step {
    /// The results of the card that this method gives.
    #[must_use]
    pub const fn gives(self, gives: &'static [&'static Field]) -> Step {
        Step { gives, ..self }
    }

    /// It applies only when one of these options is chosen.
    #[must_use]
    pub const fn when(self, choice: &'static Field, options: &'static [&'static str]) -> Step {
        let condition = Condition {
            choice,
            options,
            chosen: true,
        };
        Step {
            conditions: with_condition(self.conditions, condition),
            ..self
        }
    }

    /// It applies only when none of these options is chosen.
    #[must_use]
    pub const fn unless(self, choice: &'static Field, options: &'static [&'static str]) -> Step {
        let condition = Condition {
            choice,
            options,
            chosen: false,
        };
        Step {
            conditions: with_condition(self.conditions, condition),
            ..self
        }
    }

    /// It applies only while this input, which may be empty or not apply, holds nothing.
    #[must_use]
    pub const fn without(self, field: &'static Field) -> Step {
        Step {
            without: Some(field),
            ..self
        }
    }

    /// Whether the step applies, given what was chosen in each choice field and which fields hold a number.
    pub fn applies<'a>(
        &self,
        chosen: impl Fn(&Field) -> Option<&'a str>,
        entered: impl Fn(&Field) -> bool,
    ) -> bool {
        all_hold(&self.conditions, chosen) && !self.without.is_some_and(entered)
    }

    /// The identifiers of the results that it gives.
    pub fn results(&self) -> impl Iterator<Item = &'static str> {
        let left = match self.text {
            StepText::Formula(text) => text.split('=').next().map(str::trim),
            StepText::Method(_) => None,
        };
        left.into_iter()
            .chain(self.gives.iter().map(|field| field.id))
    }
}

/// What can hurt, in our words.
#[derive(Debug, PartialEq, Eq)]
pub struct Hazard {
    /// What it is: "Dye powder".
    pub what: &'static str,
    /// The usual caution.
    pub caution: &'static str,
}

/// Closes every list of hazard notes.
pub const HAZARDS_DEFER: &str = "Safety data sheets, local rules and trained supervision decide. \
    This page computes amounts; it does not say that a step is without danger.";

/// A worked case, documentation that is tested: inputs as a person types them, expected results, and where they come from.
#[derive(Debug)]
pub struct Case {
    /// What it shows.
    pub title: &'static str,
    /// Path and text of each input: `("target", "0.3 mmol/L")`, `("pairs.a.passes", "3")`.
    pub inputs: &'static [(&'static str, &'static str)],
    /// What is expected of each output.
    pub expected: &'static [Expected],
    /// Where inputs and results come from.
    pub source: Source,
}

/// One expected result.
#[derive(Debug)]
pub struct Expected {
    /// The output's path.
    pub output: &'static str,
    /// Its value with unit, as printed in the source.
    pub value: &'static str,
    /// How far off it may be: absolute, in the unit of `value`.
    pub within: f64,
}

/// An expected result with its absolute tolerance in the same unit.
#[must_use]
pub const fn expect(output: &'static str, value: &'static str, within: f64) -> Expected {
    Expected {
        output,
        value,
        within,
    }
}
