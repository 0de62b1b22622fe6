//! The working of a card: its formulas in symbols, then with the numbers put in, then the result.
//!
//! The formulas are declared beside the calculator as text over field identifiers
//! (`aliquot = target * final / stock`). They are read here, so that what is shown can also be computed: a test
//! demands that every formula shown gives the value its calculator found. Each is written in two ways, as one line of
//! text and as mathematics to be drawn ([`Math`]).

mod expression;
mod math;
mod notation;
#[cfg(test)]
mod tests;

pub use expression::{Expression, Formula, Function, NotAFormula};
pub use math::{Content, Equation, Math, NAMESPACE};

use self::expression::constant;
use crate::calculators::{Field, Step, StepText};
use crate::quantity::{Unit, brief_text};
use crate::sheet::CardResult;

/// Digits of the numbers put in.
const DIGITS: u8 = 6;

/// One line of the working.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// A formula.
    Formula(Worked),
    /// A method that is not one formula.
    Method {
        /// What is done, in words.
        words: &'static str,
        /// The numbers it gives.
        results: Vec<Equation>,
    },
}

/// A formula that was worked through.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// What it gives.
    pub field: &'static Field,
    /// "c = n / V".
    pub symbols: Equation,
    /// "= 15 µmol / 50 mL"; none where it would repeat the result.
    pub numbers: Option<Equation>,
    /// "= 0.3 mmol/L".
    pub result: Equation,
}

impl Line {
    /// The formula in symbols, or the method in words.
    #[must_use]
    pub fn symbols(&self) -> &str {
        match self {
            Line::Formula(worked) => &worked.symbols.text,
            Line::Method { words, .. } => words,
        }
    }

    /// The formula with the numbers put in and its result, or what the method gives.
    #[must_use]
    pub fn numbers(&self) -> Option<String> {
        match self {
            Line::Formula(worked) => {
                let (left, _) = worked.symbols.text.split_once(" = ")?;
                let steps = worked.numbers.iter().chain([&worked.result]);
                Some(format!("{left} {}", Equation::beside(steps).text))
            }
            Line::Method { results, .. } if results.is_empty() => None,
            Line::Method { results, .. } => {
                let texts: Vec<&str> = results.iter().map(|result| result.text.as_str()).collect();
                Some(texts.join("; "))
            }
        }
    }

    /// Its equations, to be drawn one below the other.
    pub fn equations(&self) -> impl Iterator<Item = &Equation> {
        let (worked, results) = match self {
            Line::Formula(worked) => (Some(worked), &[] as &[Equation]),
            Line::Method { results, .. } => (None, results.as_slice()),
        };
        worked
            .into_iter()
            .flat_map(Worked::equations)
            .chain(results)
    }
}

impl Worked {
    fn equations(&self) -> impl Iterator<Item = &Equation> {
        [&self.symbols]
            .into_iter()
            .chain(&self.numbers)
            .chain([&self.result])
    }

    /// All of it beside each other: "c = n / V = 15 µmol / 50 mL = 0.3 mmol/L".
    #[must_use]
    pub fn whole(&self) -> Equation {
        Equation::beside(self.equations())
    }
}

/// The working of a card that has results: the steps that apply to what is on it.
#[must_use]
pub fn lines(card: &CardResult) -> Vec<Line> {
    steps(card).filter_map(|step| line(card, step)).collect()
}

/// The steps that apply to what is on a card.
pub fn steps(card: &CardResult) -> impl Iterator<Item = &'static Step> {
    let declared = card
        .calculator
        .map_or(&[] as &[Step], |calculator| calculator.working);
    let entered = |field: &Field| card.readings.iter().any(|reading| reading.path == field.id);
    declared
        .iter()
        .filter(move |step| step.applies(|choice| card.chosen(choice), entered))
}

fn line(card: &CardResult, step: &Step) -> Option<Line> {
    match step.text {
        StepText::Method(words) => {
            let results = step.gives.iter().filter_map(|field| given(card, field));
            Some(Line::Method {
                words,
                results: results.collect(),
            })
        }
        StepText::Formula(text) => worked(card, text).map(Line::Formula),
    }
}

fn worked(card: &CardResult, text: &str) -> Option<Worked> {
    let Formula { result, expression } = Formula::read(text).ok()?;
    let field = field(card, result)?;
    let symbols = expression.written(&|name| symbol(card, name))?;
    // An optional input that is empty leaves its formula without numbers: the line is not shown.
    let numbers = expression.written(&|name| operand(card, name))?;
    let repeats = numbers == number(card, result)?;
    Some(Worked {
        field,
        symbols: equal(Some(called(field)), symbols),
        numbers: (!repeats).then(|| equal(None, numbers)),
        result: equal(None, number(card, result)?),
    })
}

/// What a method gave for one of its results; none for curves and tables, which are shown elsewhere.
fn given(card: &CardResult, field: &'static Field) -> Option<Equation> {
    Some(equal(Some(called(field)), number(card, field.id)?))
}

/// "left = right".
fn equal(left: Option<Equation>, right: Equation) -> Equation {
    let sign = Equation {
        math: Math::Operator("="),
        text: "=".into(),
    };
    let parts: Vec<Equation> = left.into_iter().chain([sign, right]).collect();
    Equation::beside(&parts)
}

fn field(card: &CardResult, name: &str) -> Option<&'static Field> {
    let calculator = card.calculator?;
    calculator.input(name).or_else(|| calculator.output(name))
}

/// A field by its symbol, or by its title where it has none.
fn called(field: &Field) -> Equation {
    if field.symbol.is_empty() {
        Equation {
            math: Math::Text(field.title.into()),
            text: field.title.into(),
        }
    } else {
        Equation::symbol(field.symbol)
    }
}

fn symbol(card: &CardResult, name: &str) -> Option<Equation> {
    match constant(name) {
        Some(constant) => Some(Equation::symbol(constant.symbol)),
        None => field(card, name).map(called),
    }
}

/// A number put into a formula.
fn operand(card: &CardResult, name: &str) -> Option<Equation> {
    if let Some(constant) = constant(name) {
        return Some(match constant.unit {
            Some(unit) => quantity(constant.value, &format!("\u{202F}{unit}")),
            None => Equation::symbol(constant.symbol),
        });
    }
    let (value, unit) = shown(card, name)?;
    // What has a zero of its own, such as 25 °C, cannot be multiplied as it stands.
    let unit = if unit.offset == 0.0 {
        unit
    } else {
        unit.kind.coherent()
    };
    Some(quantity(unit.from_si(value), &unit.after_number()))
}

/// A number as the card shows it.
fn number(card: &CardResult, name: &str) -> Option<Equation> {
    let (value, unit) = shown(card, name)?;
    Some(quantity(unit.from_si(value), &unit.after_number()))
}

fn shown(card: &CardResult, name: &str) -> Option<(f64, &'static Unit)> {
    let typed = card.readings.iter().find(|reading| reading.path == name);
    Some(match typed {
        Some(reading) => (reading.value, reading.unit),
        None => {
            let output = card.output(name)?;
            (output.value, output.field.unit_for(output.value)?)
        }
    })
}

/// A number and the unit that follows it with its space.
fn quantity(value: f64, after: &str) -> Equation {
    let digits = brief_text(value, DIGITS);
    Equation {
        math: Math::quantity(&digits, after),
        text: digits + after,
    }
}
