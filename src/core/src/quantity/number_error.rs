//! What is said where a typed number cannot be read.

use core::fmt;

use super::kind::Kind;

/// Why a text is not a quantity.
#[derive(Clone, Debug, PartialEq)]
pub enum NumberError {
    /// Nothing but spaces.
    Empty,
    /// It does not start with a number.
    NotANumber {
        /// The text.
        text: String,
    },
    /// One comma before three digits: decimal marker or thousands.
    Ambiguous {
        /// The number as typed.
        text: String,
        /// With the comma as decimal marker.
        as_decimal: String,
        /// With the comma between thousands.
        as_thousands: String,
    },
    /// Points and commas together, or several of one.
    Marks {
        /// The number as typed.
        text: String,
        /// The most likely meaning, without group marks.
        likely: String,
    },
    /// Spaces or apostrophes that do not stand between groups of three digits.
    Groups {
        /// The text from where it goes wrong.
        text: String,
    },
    /// Too large or too small for the page to compute with.
    OutOfRange {
        /// The number as typed.
        text: String,
    },
    /// A percentage as uncertainty where the value may be a percentage itself.
    PercentMeaning {
        /// The value as typed; `None` in the separate ± box.
        value: Option<String>,
        /// The number before the percent sign.
        percent: String,
    },
    /// Percentage points asked for where the value is no percentage.
    NoPercentagePoints {
        /// What the box takes.
        kind: Kind,
    },
    /// A percentage of zero, or of a temperature whose zero is a convention.
    RelativeToNothing {
        /// Symbol of a unit with an arbitrary zero; `None` when the value is zero.
        unit: Option<&'static str>,
    },
    /// What follows ± is not a number with an optional unit.
    BadUncertainty {
        /// The text after ±.
        text: String,
    },
    /// The uncertainty is negative.
    NegativeUncertainty,
    /// Two units for one number.
    TwoUnits {
        /// The first.
        first: String,
        /// The second.
        second: String,
    },
    /// What follows the number is no known unit.
    UnknownUnit {
        /// The text.
        text: String,
        /// What the box takes.
        kind: Kind,
    },
    /// The unit measures something else.
    WrongKind {
        /// The unit as typed.
        text: String,
        /// What the box takes.
        kind: Kind,
        /// What the unit measures.
        found: Vec<Kind>,
    },
}

impl NumberError {
    /// Stable identifier of the problem.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            NumberError::Empty => "empty",
            NumberError::NotANumber { .. } => "not_a_number",
            NumberError::Ambiguous { .. } => "ambiguous_comma",
            NumberError::Marks { .. } => "mixed_marks",
            NumberError::Groups { .. } => "digit_groups",
            NumberError::OutOfRange { .. } => "number_out_of_range",
            NumberError::PercentMeaning { .. } => "percent_meaning",
            NumberError::NoPercentagePoints { .. } => "no_percentage_points",
            NumberError::RelativeToNothing { .. } => "relative_to_nothing",
            NumberError::BadUncertainty { .. } => "bad_uncertainty",
            NumberError::NegativeUncertainty => "negative_uncertainty",
            NumberError::TwoUnits { .. } => "two_units",
            NumberError::UnknownUnit { .. } => "unknown_unit",
            NumberError::WrongKind { .. } => "unit_of_other_kind",
        }
    }

    /// What is the matter, as a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            NumberError::Empty => "Nothing is entered yet.".to_owned(),
            NumberError::NotANumber { text } => format!("{} is not a number.", quoted(text)),
            NumberError::Ambiguous {
                text,
                as_decimal,
                as_thousands,
            } => {
                format!(
                    "{} can be read as {as_decimal} or as {as_thousands}.",
                    quoted(text)
                )
            }
            NumberError::Marks { text, .. } => {
                format!(
                    "It is not clear which mark in {} starts the decimals.",
                    quoted(text)
                )
            }
            NumberError::Groups { text } => {
                format!(
                    "The digits in {} do not stand in groups of three.",
                    quoted(text)
                )
            }
            NumberError::OutOfRange { text } => {
                format!(
                    "{} is too large or too small to compute with.",
                    quoted(text)
                )
            }
            NumberError::PercentMeaning { value, percent } => {
                let whole = match value {
                    Some(value) => format!("{value} ± {percent} %"),
                    None => format!("± {percent} %"),
                };
                format!(
                    "{} can mean percentage points or a percentage of the value.",
                    quoted(&whole)
                )
            }
            NumberError::NoPercentagePoints { kind } => format!(
                "This is {}, which has no percentage points.",
                with_article(*kind)
            ),
            NumberError::RelativeToNothing { unit: Some(symbol) } => {
                format!(
                    "A percentage of a value in {symbol} has no meaning: its zero is arbitrary."
                )
            }
            NumberError::RelativeToNothing { unit: None } => {
                "A percentage of zero is zero.".to_owned()
            }
            NumberError::BadUncertainty { text } if text.is_empty() => {
                "The uncertainty after ± is missing.".to_owned()
            }
            NumberError::BadUncertainty { text } => {
                format!("{} is not an uncertainty.", quoted(text))
            }
            NumberError::NegativeUncertainty => "The uncertainty is negative.".to_owned(),
            NumberError::TwoUnits { first, second } => {
                format!(
                    "There are two units, {} and {}.",
                    quoted(first),
                    quoted(second)
                )
            }
            NumberError::UnknownUnit { text, .. } => {
                format!("{} is not a unit known here.", quoted(text))
            }
            NumberError::WrongKind { text, kind, found } => format!(
                "{} is a unit of {}; this is {}.",
                quoted(text),
                any_of(found),
                with_article(*kind)
            ),
        }
    }

    /// What to enter instead.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            NumberError::Empty | NumberError::NotANumber { .. } => {
                "Enter a number such as 12.5, 12,5 or 1.25e1; ± and a unit may follow.".to_owned()
            }
            NumberError::Ambiguous { as_decimal, as_thousands, .. } => {
                format!("Enter {as_decimal} with a point, or {as_thousands} without a mark.")
            }
            NumberError::Marks { likely, .. } => format!(
                "Use one mark for the decimals and a space or nothing between thousands, as in {likely}."
            ),
            NumberError::Groups { .. } => {
                "Enter the digits without spaces, or in groups of three: 12 500.".to_owned()
            }
            NumberError::OutOfRange { .. } => "Check the power of ten.".to_owned(),
            NumberError::PercentMeaning { value: Some(value), percent } => format!(
                "Enter ({value} ± {percent}) % for percentage points, or {value} ± {percent} % rel for {percent} % of the value."
            ),
            NumberError::PercentMeaning { value: None, percent } => format!(
                "Enter {percent} % abs for percentage points, or {percent} % rel for {percent} % of the value."
            ),
            NumberError::NoPercentagePoints { .. } => {
                "Enter % rel for a percentage of the value, or the uncertainty in the unit of the value.".to_owned()
            }
            NumberError::RelativeToNothing { .. } => {
                "Enter the uncertainty in the unit of the value.".to_owned()
            }
            NumberError::BadUncertainty { .. } => {
                "Enter a number, 0.1, or a percentage of the value, 1 %; a unit may follow.".to_owned()
            }
            NumberError::NegativeUncertainty => {
                "Enter how far the value may be off, without a sign.".to_owned()
            }
            NumberError::TwoUnits { .. } => "Enter the unit once, after the number.".to_owned(),
            NumberError::UnknownUnit { kind, .. } | NumberError::WrongKind { kind, .. } => {
                let units: Vec<_> = kind.units().map(|unit| unit.symbol).collect();
                match units.as_slice() {
                    ["1"] => "Enter the number without a unit.".to_owned(),
                    units => format!("Units that fit: {}.", units.join(", ")),
                }
            }
        }
    }
}

impl fmt::Display for NumberError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {}", self.sentence(), self.hint())
    }
}

impl core::error::Error for NumberError {}

/// The text in quotation marks, cut where it is long.
fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    match text.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("“{}…”", &text[..end]),
        None => format!("“{text}”"),
    }
}

fn with_article(kind: Kind) -> String {
    let name = kind.name();
    let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {name}")
}

fn any_of(kinds: &[Kind]) -> String {
    let names: Vec<_> = kinds.iter().map(|kind| kind.name()).collect();
    names.join(" or ")
}
