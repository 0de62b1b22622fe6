//! Formulas of the working: read from the text beside the calculator, and computed.

use core::fmt;

use crate::chemistry::constants::{AVOGADRO, BOLTZMANN, ELEMENTARY_CHARGE, GRAVITY};
use crate::scalar::Scalar;

/// A constant that formulas may name.
pub(super) struct Constant {
    name: &'static str,
    pub(super) symbol: &'static str,
    pub(super) value: f64,
    /// The unit of its value, which is then put in; none where the symbol says the number better.
    pub(super) unit: Option<&'static str>,
}

const CONSTANTS: [Constant; 5] = [
    Constant {
        name: "pi",
        symbol: "π",
        value: core::f64::consts::PI,
        unit: None,
    },
    Constant {
        name: "N_A",
        symbol: "N_A",
        value: AVOGADRO,
        unit: Some("mol⁻¹"),
    },
    Constant {
        name: "k_B",
        symbol: "k_B",
        value: BOLTZMANN,
        unit: Some("J/K"),
    },
    Constant {
        name: "q_e",
        symbol: "q",
        value: ELEMENTARY_CHARGE,
        unit: Some("C"),
    },
    Constant {
        name: "g_n",
        symbol: "g_n",
        value: GRAVITY,
        unit: Some("m/s²"),
    },
];

pub(super) fn constant(name: &str) -> Option<&'static Constant> {
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
    /// A function of something; of two things where it compares them.
    Call(Function, Vec<Expression<'a>>),
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
    /// Cosine of an angle.
    Cos,
    /// The smaller of two.
    Min,
    /// The larger of two.
    Max,
    /// The nearest whole number, halves away from zero.
    Round,
}

impl Function {
    const ALL: [(&'static str, Function); 8] = [
        ("sqrt", Function::Sqrt),
        ("exp", Function::Exp),
        ("ln", Function::Ln),
        ("log10", Function::Log10),
        ("cos", Function::Cos),
        ("min", Function::Min),
        ("max", Function::Max),
        ("round", Function::Round),
    ];

    fn arguments(self) -> usize {
        match self {
            Function::Min | Function::Max => 2,
            _ => 1,
        }
    }

    fn of(self, given: &[f64]) -> Option<f64> {
        Some(match (self, given) {
            (Function::Sqrt, &[x]) => Scalar::sqrt(x),
            (Function::Exp, &[x]) => Scalar::exp(x),
            (Function::Ln, &[x]) => Scalar::ln(x),
            (Function::Log10, &[x]) => Scalar::log10(x),
            (Function::Cos, &[x]) => Scalar::cos(x),
            (Function::Round, &[x]) => x.round(),
            (Function::Min, &[a, b]) => Scalar::min(a, b),
            (Function::Max, &[a, b]) => Scalar::max(a, b),
            _ => return None,
        })
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
            self.expect(")")?;
            return Ok(inner);
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
            Some((_, function)) => Ok(Expression::Call(*function, self.given(*function)?)),
            None => Ok(Expression::Name(word)),
        }
    }

    /// What a function is of: `(x)`, `(a, b)`.
    fn given(&mut self, function: Function) -> Result<Vec<Expression<'a>>, NotAFormula> {
        let mut given = Vec::new();
        let ends = (1..function.arguments()).map(|_| ",").chain([")"]);
        self.expect("(")?;
        for end in ends {
            given.push(self.sum()?);
            self.expect(end)?;
        }
        Ok(given)
    }

    fn expect(&mut self, character: &str) -> Result<(), NotAFormula> {
        let found = self.one_of(character);
        found.map(|_| ()).ok_or_else(|| self.stopped())
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
            Expression::Call(function, given) => {
                let given: Option<Vec<f64>> = given.iter().map(|one| one.value(field)).collect();
                function.of(&given?)?
            }
        })
    }
}
