//! The working of a card: its formulas in symbols, then with the numbers put in, then the result.
//!
//! The formulas are declared beside the calculator as text over field identifiers
//! (`aliquot = target * final / stock`). They are read here, so that what is shown can also be computed: a test
//! demands that every formula shown gives the value its calculator found.

use core::fmt;

use crate::calculators::{Step, StepText};
use crate::chemistry::constants::AVOGADRO;
use crate::quantity::brief_text;
use crate::scalar::Scalar;
use crate::sheet::CardResult;

/// Digits of the numbers put in.
const DIGITS: u8 = 6;

/// One line of the working.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The formula in symbols, or the method in words.
    pub symbols: String,
    /// The formula with the numbers put in and its result; none for a method in words.
    pub numbers: Option<String>,
}

/// The working of a card that has results: the steps that apply to what was chosen on it.
#[must_use]
pub fn lines(card: &CardResult) -> Vec<Line> {
    steps(card).filter_map(|step| line(card, step)).collect()
}

/// The steps that apply to what was chosen on a card.
pub fn steps(card: &CardResult) -> impl Iterator<Item = &'static Step> {
    let declared = card
        .calculator
        .map_or(&[] as &[Step], |calculator| calculator.working);
    declared
        .iter()
        .filter(|step| step.applies(|choice| card.chosen(choice)))
}

fn line(card: &CardResult, step: &Step) -> Option<Line> {
    let text = match step.text {
        StepText::Method(text) => {
            return Some(Line {
                symbols: text.into(),
                numbers: None,
            });
        }
        StepText::Formula(text) => text,
    };
    let Formula { result, expression } = Formula::read(text).ok()?;
    let with = |name: &dyn Fn(&str) -> Option<String>| {
        Some(format!(
            "{} = {}",
            symbol(card, result)?,
            expression.print(name)?
        ))
    };
    let symbols = with(&|name| symbol(card, name))?;
    // An optional input that is empty leaves its formula without numbers: the line is not shown.
    let numbers = expression.print(&|name| number(card, name))?;
    let found = number(card, result)?;
    Some(Line {
        symbols,
        numbers: Some(format!("{numbers} = {found}")),
    })
}

fn symbol(card: &CardResult, name: &str) -> Option<String> {
    if let Some(constant) = constant(name) {
        return Some(constant.symbol.into());
    }
    let calculator = card.calculator?;
    let field = calculator.input(name).or_else(|| calculator.output(name))?;
    let symbol = if field.symbol.is_empty() {
        field.title
    } else {
        field.symbol
    };
    Some(symbol.into())
}

fn number(card: &CardResult, name: &str) -> Option<String> {
    if let Some(constant) = constant(name) {
        return Some(constant.symbol.into());
    }
    let typed = card.readings.iter().find(|reading| reading.path == name);
    let (value, unit) = match typed {
        Some(reading) => (reading.value, reading.unit),
        None => {
            let output = card.output(name)?;
            (output.value, output.field.unit_for(output.value)?)
        }
    };
    Some(format!(
        "{}{}",
        brief_text(unit.from_si(value), DIGITS),
        unit.after_number()
    ))
}

/// A constant that formulas may name.
struct Constant {
    name: &'static str,
    symbol: &'static str,
    value: f64,
}

const CONSTANTS: [Constant; 2] = [
    Constant {
        name: "pi",
        symbol: "π",
        value: core::f64::consts::PI,
    },
    Constant {
        name: "N_A",
        symbol: "Nᴬ",
        value: AVOGADRO,
    },
];

fn constant(name: &str) -> Option<&'static Constant> {
    CONSTANTS.iter().find(|constant| constant.name == name)
}

/// A formula of the working, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula<'a> {
    /// The identifier of the field it gives.
    pub result: &'a str,
    /// What is on the right-hand side.
    pub expression: Expression<'a>,
}

/// The right-hand side of a formula.
#[derive(Clone, Debug, PartialEq)]
pub enum Expression<'a> {
    /// A number of the formula itself, such as the 4 in π·d²/4.
    Number(f64),
    /// A field or a constant.
    Name(&'a str),
    /// The negative of something.
    Negative(Box<Expression<'a>>),
    /// Two things joined by `+ - * / ^`.
    Joined(char, Box<[Expression<'a>; 2]>),
    /// A function of something.
    Call(Function, Box<Expression<'a>>),
}

/// A function that formulas may use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// Square root.
    Sqrt,
    /// Exponential.
    Exp,
    /// Natural logarithm.
    Ln,
    /// Decimal logarithm.
    Log10,
}

impl Function {
    const ALL: [(&'static str, Function); 4] = [
        ("sqrt", Function::Sqrt),
        ("exp", Function::Exp),
        ("ln", Function::Ln),
        ("log10", Function::Log10),
    ];

    fn printed(self) -> &'static str {
        match self {
            Function::Sqrt => "√",
            Function::Exp => "exp",
            Function::Ln => "ln",
            Function::Log10 => "log₁₀",
        }
    }

    fn of(self, x: f64) -> f64 {
        match self {
            Function::Sqrt => Scalar::sqrt(x),
            Function::Exp => Scalar::exp(x),
            Function::Ln => Scalar::ln(x),
            Function::Log10 => Scalar::log10(x),
        }
    }
}

/// Why a declared formula cannot be read. It is a mistake in a declaration, found by a test.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotAFormula {
    /// Where reading stopped.
    pub rest: String,
}

impl fmt::Display for NotAFormula {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "This formula cannot be read from “{}” on.", self.rest)
    }
}

impl core::error::Error for NotAFormula {}

impl<'a> Formula<'a> {
    /// Reads `result = expression`.
    ///
    /// # Errors
    /// [`NotAFormula`] with the place where reading stopped.
    pub fn read(text: &'a str) -> Result<Self, NotAFormula> {
        let whole = || NotAFormula { rest: text.into() };
        let (result, right) = text.split_once('=').ok_or_else(whole)?;
        let mut reader = Reader { rest: right };
        let expression = reader.sum()?;
        reader.end()?;
        Ok(Formula {
            result: result.trim(),
            expression,
        })
    }
}

struct Reader<'a> {
    rest: &'a str,
}

impl<'a> Reader<'a> {
    fn sum(&mut self) -> Result<Expression<'a>, NotAFormula> {
        let mut left = self.product()?;
        while let Some(sign) = self.one_of("+-") {
            left = Expression::Joined(sign, Box::new([left, self.product()?]));
        }
        Ok(left)
    }

    fn product(&mut self) -> Result<Expression<'a>, NotAFormula> {
        let mut left = self.power()?;
        while let Some(sign) = self.one_of("*/") {
            left = Expression::Joined(sign, Box::new([left, self.power()?]));
        }
        Ok(left)
    }

    fn power(&mut self) -> Result<Expression<'a>, NotAFormula> {
        if self.one_of("-").is_some() {
            return Ok(Expression::Negative(Box::new(self.power()?)));
        }
        let base = self.atom()?;
        match self.one_of("^") {
            Some(sign) => Ok(Expression::Joined(sign, Box::new([base, self.power()?]))),
            None => Ok(base),
        }
    }

    fn atom(&mut self) -> Result<Expression<'a>, NotAFormula> {
        if self.one_of("(").is_some() {
            let inner = self.sum()?;
            return self
                .one_of(")")
                .map(|_| inner)
                .ok_or_else(|| self.stopped());
        }
        let word = self.word();
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            return word
                .parse()
                .map(Expression::Number)
                .map_err(|_| self.stopped());
        }
        if word.is_empty() {
            return Err(self.stopped());
        }
        match Function::ALL.iter().find(|(name, _)| *name == word) {
            Some((_, function)) => Ok(Expression::Call(*function, Box::new(self.atom()?))),
            None => Ok(Expression::Name(word)),
        }
    }

    fn word(&mut self) -> &'a str {
        let text = self.rest.trim_start();
        let end = text
            .find(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.'))
            .unwrap_or(text.len());
        let (word, rest) = text.split_at(end);
        self.rest = rest;
        word
    }

    fn one_of(&mut self, characters: &str) -> Option<char> {
        let text = self.rest.trim_start();
        let first = text.chars().next().filter(|c| characters.contains(*c))?;
        self.rest = &text[first.len_utf8()..];
        Some(first)
    }

    fn end(&self) -> Result<(), NotAFormula> {
        if self.rest.trim().is_empty() {
            Ok(())
        } else {
            Err(self.stopped())
        }
    }

    fn stopped(&self) -> NotAFormula {
        NotAFormula {
            rest: self.rest.trim().into(),
        }
    }
}

impl Expression<'_> {
    /// Its value, from the values of the fields it names.
    #[must_use]
    pub fn value(&self, field: &dyn Fn(&str) -> Option<f64>) -> Option<f64> {
        Some(match self {
            Expression::Number(number) => *number,
            Expression::Name(name) => match constant(name) {
                Some(constant) => constant.value,
                None => field(name)?,
            },
            Expression::Negative(inner) => -inner.value(field)?,
            Expression::Joined(sign, sides) => {
                let (a, b) = (sides[0].value(field)?, sides[1].value(field)?);
                match sign {
                    '+' => a + b,
                    '-' => a - b,
                    '*' => a * b,
                    '/' => a / b,
                    _ => Scalar::powf(a, b),
                }
            }
            Expression::Call(function, inner) => function.of(inner.value(field)?),
        })
    }

    /// Itself in one line of text, each name printed by `name`; none where a name has nothing to print.
    pub(crate) fn print(&self, name: &dyn Fn(&str) -> Option<String>) -> Option<String> {
        Some(match self {
            Expression::Number(number) => brief_text(*number, DIGITS),
            Expression::Name(named) => name(named)?,
            Expression::Negative(inner) => format!("−{}", self.side(inner, true, name)?),
            Expression::Joined('^', sides) => {
                let base = match &sides[0] {
                    // A number with its unit is raised as a whole.
                    Expression::Name(_) => {
                        let printed = sides[0].print(name)?;
                        if printed.contains(['\u{202F}', ' ']) {
                            format!("({printed})")
                        } else {
                            printed
                        }
                    }
                    _ => self.side(&sides[0], true, name)?,
                };
                match &sides[1] {
                    Expression::Number(2.0) => format!("{base}²"),
                    Expression::Number(3.0) => format!("{base}³"),
                    exponent => format!("{base}^{}", self.side(exponent, true, name)?),
                }
            }
            Expression::Joined(sign, sides) => {
                let sign_text = match sign {
                    '*' => " · ",
                    '/' => " / ",
                    '-' => " − ",
                    _ => " + ",
                };
                let left = self.side(&sides[0], false, name)?;
                let right = self.side(&sides[1], matches!(sign, '-' | '/'), name)?;
                format!("{left}{sign_text}{right}")
            }
            Expression::Call(function, inner) => {
                format!("{}({})", function.printed(), inner.print(name)?)
            }
        })
    }

    /// One side of this expression, in brackets where it binds less tightly (or, `strictly`, no more tightly).
    fn side(
        &self,
        side: &Expression<'_>,
        strictly: bool,
        name: &dyn Fn(&str) -> Option<String>,
    ) -> Option<String> {
        let printed = side.print(name)?;
        let loose =
            side.binding() < self.binding() || (strictly && side.binding() == self.binding());
        Some(if loose {
            format!("({printed})")
        } else {
            printed
        })
    }

    fn binding(&self) -> u8 {
        match self {
            Expression::Joined('+' | '-', _) => 1,
            Expression::Joined('*' | '/', _) | Expression::Negative(_) => 2,
            Expression::Joined(..) => 3,
            Expression::Number(_) | Expression::Name(_) | Expression::Call(..) => 4,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, printed: &str, value: f64) {
        let formula = Formula::read(text).unwrap();
        let name = |n: &str| Some(constant(n).map_or(n, |c| c.symbol).to_owned());
        assert_eq!(formula.expression.print(&name).unwrap(), printed);
        let field = |n: &str| Some(if n == "a" { 2.0 } else { 3.0 });
        let found = formula.expression.value(&field).unwrap();
        assert!(
            (found - value).abs() <= 1e-15 * value.abs(),
            "{found} is not {value}"
        );
    }

    #[test]
    fn formulas_are_read_printed_and_computed() {
        check("x = a * b / 4", "a · b / 4", 1.5);
        check("x = a / (b * 4)", "a / (b · 4)", 2.0 / 12.0);
        check("x = a - (b - 1)", "a − (b − 1)", 0.0);
        check("x = (a + b) * a^2", "(a + b) · a²", 20.0);
        check("x = sqrt(a + b + 4)", "√(a + b + 4)", 3.0);
        check("x = -a^2", "−a²", -4.0);
        check("x = pi * a^2 / 4", "π · a² / 4", core::f64::consts::PI);
        check("x = a * (1 - b)", "a · (1 − b)", -4.0);
    }

    #[test]
    fn what_is_no_formula_is_refused() {
        for text in [
            "a * b",
            "x = ",
            "x = (a",
            "x = a b",
            "x = a + * b",
            "x = 1.2.3",
        ] {
            assert!(Formula::read(text).is_err(), "{text}");
        }
    }
}
