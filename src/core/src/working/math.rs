//! Mathematics as a tree, in the elements of presentation MathML: what the page draws and what is copied.

use core::fmt::Write;

/// The namespace of MathML.
pub const NAMESPACE: &str = "http://www.w3.org/1998/Math/MathML";

/// A piece of mathematics.
#[derive(Clone, Debug, PartialEq)]
pub enum Math {
    /// Pieces beside each other.
    Row(Vec<Math>),
    /// A letter that stands for a quantity: italic.
    Letter(String),
    /// A symbol or a function of several letters: upright.
    Name(String),
    /// A number without sign and power of ten.
    Number(String),
    /// A sign between or before pieces; a bracket that grows with what is in it.
    Operator(&'static str),
    /// A bracket round pieces of ordinary height.
    Bracket(&'static str),
    /// Words, a unit with the space before it, and marks such as a prime, which are raised as they are.
    Text(String),
    /// One over the other.
    Fraction(Box<[Math; 2]>),
    /// A base and what is raised.
    Superscript(Box<[Math; 2]>),
    /// A base and what is lowered.
    Subscript(Box<[Math; 2]>),
    /// A square root.
    Root(Box<[Math; 1]>),
}

/// What an element of MathML holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Content<'a> {
    /// Text.
    Text(&'a str),
    /// Other elements.
    Parts(&'a [Math]),
}

/// Unicode's lowered characters and what they lower.
const LOWERED: [(char, &str); 28] = [
    ('₀', "0"),
    ('₁', "1"),
    ('₂', "2"),
    ('₃', "3"),
    ('₄', "4"),
    ('₅', "5"),
    ('₆', "6"),
    ('₇', "7"),
    ('₈', "8"),
    ('₉', "9"),
    ('ₐ', "a"),
    ('ₑ', "e"),
    ('ₕ', "h"),
    ('ᵢ', "i"),
    ('ⱼ', "j"),
    ('ₖ', "k"),
    ('ₗ', "l"),
    ('ₘ', "m"),
    ('ₙ', "n"),
    ('ₒ', "o"),
    ('ₚ', "p"),
    ('ᵣ', "r"),
    ('ₛ', "s"),
    ('ₜ', "t"),
    ('ᵤ', "u"),
    ('ᵥ', "v"),
    ('ₓ', "x"),
    ('ᵦ', "β"),
];

/// Marks that tell symbols of one letter apart: planned, actual.
const MARKS: [char; 2] = ['*', '′'];

/// Raised digits and sign, in the order 0 to 9, −.
const RAISED: &str = "⁰¹²³⁴⁵⁶⁷⁸⁹⁻";

impl Math {
    /// Pieces beside each other, a single one as it is.
    #[must_use]
    pub fn row(parts: impl IntoIterator<Item = Math>) -> Math {
        let mut flat = Vec::new();
        for part in parts {
            match part {
                Math::Row(inner) => flat.extend(inner),
                other => flat.push(other),
            }
        }
        if flat.len() == 1 {
            flat.remove(0)
        } else {
            Math::Row(flat)
        }
    }

    /// The symbol of a quantity as declarations write it: `c₁`, `m_B*`, `Vᵣ′`, `Voc`.
    #[must_use]
    pub fn symbol(text: &str) -> Math {
        let stem = text.trim_end_matches(MARKS);
        let lowered = |c: char| LOWERED.iter().find(|(low, _)| *low == c);
        let start = stem.find(|c| c == '_' || lowered(c).is_some());
        let (base, low) = stem.split_at(start.unwrap_or(stem.len()));
        let mut low_text = String::new();
        for c in low.chars().filter(|c| *c != '_') {
            match lowered(c) {
                Some((_, plain)) => low_text.push_str(plain),
                None => low_text.push(c),
            }
        }
        let mut drawn = letters(base);
        if !low_text.is_empty() {
            drawn = Math::Subscript(Box::new([drawn, letters(&low_text)]));
        }
        let marks = &text[stem.len()..];
        if !marks.is_empty() {
            drawn = Math::row([drawn, Math::Text(marks.into())]);
        }
        drawn
    }

    /// A number as the page prints it, such as −1.25×10⁻⁷, and the unit that follows it with its space.
    #[must_use]
    pub fn quantity(number: &str, unit: &str) -> Math {
        let (mantissa, power) = match number.split_once("×10") {
            Some((mantissa, exponent)) => (mantissa, Some(exponent)),
            None => (number, None),
        };
        let mut parts = signed(mantissa);
        if let Some(exponent) = power {
            let digits: String = exponent.chars().filter_map(lower).collect();
            let ten = Math::Number("10".into());
            parts.push(Math::Operator("×"));
            parts.push(Math::Superscript(Box::new([
                ten,
                Math::row(signed(&digits)),
            ])));
        }
        if !unit.is_empty() {
            parts.push(Math::Text(unit.into()));
        }
        Math::row(parts)
    }

    /// In brackets.
    #[must_use]
    pub fn bracketed(self) -> Math {
        if self.is_tall() {
            Math::row([Math::Operator("("), self, Math::Operator(")")])
        } else {
            Math::row([Math::Bracket("("), self, Math::Bracket(")")])
        }
    }

    fn is_tall(&self) -> bool {
        match self {
            Math::Row(parts) => parts.iter().any(Math::is_tall),
            Math::Superscript(parts) => parts.iter().any(Math::is_tall),
            Math::Root(parts) => parts.iter().any(Math::is_tall),
            other => matches!(other, Math::Fraction(_)),
        }
    }

    /// Whether it begins with a minus sign, so that another sign must not stand before it.
    pub(super) fn begins_negative(&self) -> bool {
        match self {
            Math::Operator(sign) => *sign == "−",
            Math::Row(parts) => parts.first().is_some_and(Math::begins_negative),
            _ => false,
        }
    }

    /// Its element of MathML, with the element's attribute, and what is in it.
    #[must_use]
    pub fn element(
        &self,
    ) -> (
        &'static str,
        Option<(&'static str, &'static str)>,
        Content<'_>,
    ) {
        let upright = Some(("mathvariant", "normal"));
        match self {
            Math::Row(parts) => ("mrow", None, Content::Parts(parts)),
            Math::Letter(text) => ("mi", None, Content::Text(text)),
            Math::Name(text) => ("mi", upright, Content::Text(text)),
            Math::Number(text) => ("mn", None, Content::Text(text)),
            Math::Operator(text) => ("mo", None, Content::Text(text)),
            Math::Bracket(text) => ("mo", Some(("stretchy", "false")), Content::Text(text)),
            Math::Text(text) => ("mtext", None, Content::Text(text)),
            Math::Fraction(parts) => ("mfrac", None, Content::Parts(parts.as_slice())),
            Math::Superscript(parts) => ("msup", None, Content::Parts(parts.as_slice())),
            Math::Subscript(parts) => ("msub", None, Content::Parts(parts.as_slice())),
            Math::Root(parts) => ("msqrt", None, Content::Parts(parts.as_slice())),
        }
    }

    fn write(&self, out: &mut String) {
        let (name, attribute, content) = self.element();
        let _ = match attribute {
            Some((key, value)) => write!(out, "<{name} {key}=\"{value}\">"),
            None => write!(out, "<{name}>"),
        };
        match content {
            Content::Text(text) => escape(text, out),
            Content::Parts(parts) => parts.iter().for_each(|part| part.write(out)),
        }
        let _ = write!(out, "</{name}>");
    }
}

/// An equation or a part of one: drawn, and in one line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Equation {
    /// The drawing.
    pub math: Math,
    /// The text.
    pub text: String,
}

impl Equation {
    pub(super) fn symbol(text: &str) -> Equation {
        Equation {
            math: Math::symbol(text),
            text: text.into(),
        }
    }

    /// Several, one after the other on one line.
    pub(super) fn beside<'a>(parts: impl IntoIterator<Item = &'a Equation>) -> Equation {
        let mut texts = Vec::new();
        let mut drawn = Vec::new();
        for part in parts {
            texts.push(part.text.as_str());
            drawn.push(part.math.clone());
        }
        Equation {
            math: Math::row(drawn),
            text: texts.join(" "),
        }
    }

    /// As a document of MathML, with the text as its alternative.
    #[must_use]
    pub fn mathml(&self) -> String {
        let mut out = format!("<math xmlns=\"{NAMESPACE}\" display=\"block\" alttext=\"");
        escape(&self.text, &mut out);
        out.push_str("\">");
        self.math.write(&mut out);
        out.push_str("</math>");
        out
    }
}

/// Letters that stand for one thing: several plain ones are a name, one is a letter.
fn letters(text: &str) -> Math {
    let mut characters = text.chars();
    let several = characters.next().is_some() && characters.next().is_some();
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        Math::Number(text.into())
    } else if several && text.is_ascii() {
        Math::Name(text.into())
    } else {
        Math::Letter(text.into())
    }
}

/// Digits with their sign.
fn signed(digits: &str) -> Vec<Math> {
    match digits.strip_prefix('−') {
        Some(rest) => vec![Math::Operator("−"), Math::Number(rest.into())],
        None => vec![Math::Number(digits.into())],
    }
}

/// A raised digit or sign as an ordinary one.
fn lower(raised: char) -> Option<char> {
    let position = RAISED.chars().position(|c| c == raised)?;
    "0123456789−".chars().nth(position)
}

fn escape(text: &str, out: &mut String) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
    }
}
