//! Formulas as they are written: in one line of text, and drawn.

use super::DIGITS;
use super::expression::{Expression, Function};
use super::math::{Equation, Math};
use crate::quantity::brief_text;

/// Between the name of a function and what it is of; it cannot be seen, and is read aloud as “of”.
const APPLIED: &str = "\u{2061}";

impl Function {
    fn printed(self) -> &'static str {
        match self {
            Function::Sqrt => "√",
            Function::Exp => "exp",
            Function::Ln => "ln",
            Function::Log10 => "log₁₀",
            Function::Cos => "cos",
            Function::Min => "min",
            Function::Max => "max",
            Function::Round => "round",
        }
    }
}

impl Expression<'_> {
    /// Itself written in both ways, each name by `name`; none where a name has nothing to write.
    pub(super) fn written(&self, name: &dyn Fn(&str) -> Option<Equation>) -> Option<Equation> {
        Some(Equation {
            math: self.draw(&|named| Some(name(named)?.math))?,
            text: self.print(&|named| Some(name(named)?.text))?,
        })
    }

    /// Itself in one line of text, each name printed by `name`; none where a name has nothing to print.
    pub(super) fn print(&self, name: &dyn Fn(&str) -> Option<String>) -> Option<String> {
        let side = |side: &Expression<'_>, place: Place| {
            let printed = side.print(name)?;
            let bracketed = self.brackets(side, place, printed.starts_with('−'))
                // A number with its unit or its power of ten is raised as a whole.
                || (place == Place::Base && printed.contains(['\u{202F}', ' ', '×']));
            let open = !bracketed || enclosed(side);
            Some(if open {
                printed
            } else {
                format!("({printed})")
            })
        };
        Some(match self {
            Expression::Number(number) => brief_text(*number, DIGITS),
            Expression::Name(named) => name(named)?,
            Expression::Negative(inner) => format!("−{}", side(inner, Place::Right)?),
            Expression::Joined('^', sides) => {
                let base = side(&sides[0], Place::Base)?;
                match &sides[1] {
                    Expression::Number(2.0) => format!("{base}²"),
                    Expression::Number(3.0) => format!("{base}³"),
                    exponent => format!("{base}^{}", side(exponent, Place::Right)?),
                }
            }
            Expression::Joined(sign, sides) => {
                let left = side(&sides[0], Place::Left)?;
                let right = side(&sides[1], Place::Right)?;
                format!("{left} {} {right}", sign_text(*sign))
            }
            Expression::Call(function, given) => {
                let given: Option<Vec<String>> = given.iter().map(|one| one.print(name)).collect();
                format!("{}({})", function.printed(), given?.join(", "))
            }
        })
    }

    /// Itself drawn, each name drawn by `name`; none where a name has nothing to draw.
    pub(super) fn draw(&self, name: &dyn Fn(&str) -> Option<Math>) -> Option<Math> {
        let side = |side: &Expression<'_>, place: Place| {
            let drawn = side.draw(name)?;
            let bracketed = self.brackets(side, place, drawn.begins_negative())
                // Neither a number with its unit nor a fraction is raised without brackets.
                || (place == Place::Base && matches!(drawn, Math::Row(_) | Math::Fraction(_)));
            // The bar of a fraction already holds its parts together.
            let open = !bracketed || enclosed(side) || (place != Place::Base && is_fraction(side));
            Some(if open { drawn } else { drawn.bracketed() })
        };
        Some(match self {
            Expression::Number(number) => Math::quantity(&brief_text(*number, DIGITS), ""),
            Expression::Name(named) => name(named)?,
            Expression::Negative(inner) => {
                Math::row([Math::Operator("−"), side(inner, Place::Right)?])
            }
            Expression::Joined('/', sides) => {
                Math::Fraction(Box::new([sides[0].draw(name)?, sides[1].draw(name)?]))
            }
            Expression::Joined('^', sides) => Math::Superscript(Box::new([
                side(&sides[0], Place::Base)?,
                sides[1].draw(name)?,
            ])),
            Expression::Joined(sign, sides) => Math::row([
                side(&sides[0], Place::Left)?,
                Math::Operator(sign_text(*sign)),
                side(&sides[1], Place::Right)?,
            ]),
            Expression::Call(Function::Sqrt, given) => {
                Math::Root(Box::new([given.first()?.draw(name)?]))
            }
            Expression::Call(function, given) => {
                let mut inner = Vec::new();
                for one in given {
                    if !inner.is_empty() {
                        inner.push(Math::Operator(","));
                    }
                    inner.push(one.draw(name)?);
                }
                Math::row([
                    Math::symbol(function.printed()),
                    Math::Operator(APPLIED),
                    Math::row(inner).bracketed(),
                ])
            }
        })
    }

    /// Whether one side of this expression needs brackets: it binds less tightly, no more tightly where the order
    /// counts, or begins with a sign that would stand beside another.
    fn brackets(&self, side: &Expression<'_>, place: Place, negative: bool) -> bool {
        let ordered = match self {
            Expression::Joined('+' | '*', _) => false,
            _ => place != Place::Left,
        };
        side.binding() < self.binding()
            || (ordered && side.binding() == self.binding())
            || (negative && place != Place::Left)
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

/// Where a side of an expression stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    Left,
    Right,
    Base,
}

/// Whether brackets or a root hold it together as it is.
fn enclosed(side: &Expression<'_>) -> bool {
    matches!(side, Expression::Call(..))
}

fn is_fraction(side: &Expression<'_>) -> bool {
    matches!(side, Expression::Joined('/', _))
}

fn sign_text(sign: char) -> &'static str {
    match sign {
        '*' => "·",
        '/' => "/",
        '-' => "−",
        _ => "+",
    }
}
