//! What a person states about one number: its value, its unit, and how well it is known.

mod ware;
mod weighing;

use super::Typed;
use crate::calculators::{Field, FieldKind};
use crate::numerics::sample;
use crate::problem::Problem;
use crate::quantity::{self, Kind, NumberError, Unit};
use crate::scalar::Scalar;
use crate::uncertainty::{Density, EvaluationType, Meaning};

/// A number as stated.
pub(super) struct Stated {
    /// The unit it was typed in.
    pub(super) unit: &'static Unit,
    /// The number itself.
    pub(super) number: Part,
    /// What else acts on it: ∂number/∂effect, and the effect.
    pub(super) effects: Vec<(f64, Part)>,
    /// One step of the last digit typed, in SI; zero where the number is put together from others.
    pub(super) last_digit: f64,
}

/// What becomes a leaf.
pub(super) struct Part {
    /// Which effect it is; empty for the number itself.
    pub(super) name: String,
    /// What tells the leaf of a named piece of ware apart; none for a leaf of its own.
    pub(super) piece: Option<String>,
    pub(super) unit: &'static Unit,
    /// In SI.
    pub(super) value: f64,
    /// Standard uncertainty in SI.
    pub(super) uncertainty: f64,
    pub(super) density: Density,
    pub(super) evaluation: EvaluationType,
    pub(super) degrees_of_freedom: f64,
}

impl Part {
    /// A number that is known exactly.
    fn exact(unit: &'static Unit, value: f64) -> Part {
        Part {
            name: String::new(),
            piece: None,
            unit,
            value,
            uncertainty: 0.0,
            density: Density::Normal,
            evaluation: EvaluationType::B,
            degrees_of_freedom: f64::INFINITY,
        }
    }
}

/// Reads the boxes of one number.
pub(super) fn read(field: &Field, typed: &Typed) -> Result<Stated, Problem> {
    let entry = Entry::new(field, typed)?;
    match &typed.meaning {
        Meaning::Repeats => entry.readings(),
        Meaning::Ware(ware) => entry.measured_with(ware),
        Meaning::Weighing(weighing) => entry.weighed(weighing),
        Meaning::Standard | Meaning::Limit(_) | Meaning::Expanded { .. } => entry.single(),
    }
}

/// A corrected number, ∂number/∂reading, and what acts on the correction.
type Corrected = (f64, f64, Vec<(f64, Part)>);

/// A number about the ware or the balance, in SI.
struct About {
    unit: &'static Unit,
    value: f64,
    /// What stands after its `±`.
    spread: f64,
}

/// The boxes of one number, and the field they stand in.
struct Entry<'a> {
    field: &'a Field,
    typed: &'a Typed,
    kind: Kind,
    /// The unit beside the value box.
    beside: &'static Unit,
}

impl<'a> Entry<'a> {
    fn new(field: &'a Field, typed: &'a Typed) -> Result<Self, Problem> {
        let kind = field.number_kind().unwrap_or(Kind::Ratio);
        let usual = field.usual_unit().unwrap_or(kind.coherent());
        let beside = match typed.unit.as_str() {
            "" => usual,
            code => quantity::unit(kind, code).ok_or_else(|| unknown_unit(field, code))?,
        };
        Ok(Entry {
            field,
            typed,
            kind,
            beside,
        })
    }

    fn wrong(&self, error: &NumberError) -> Problem {
        Problem::at(self.field, error.code(), error.sentence(), error.hint())
    }

    fn problem(&self, code: &'static str, sentence: &str, hint: &str) -> Problem {
        let sentence = sentence.replace("{}", &format!("“{}”", self.field.title));
        Problem::at(self.field, code, sentence, hint)
    }

    /// A value with what stands after its `±`.
    fn single(&self) -> Result<Stated, Problem> {
        let typed = self.typed;
        let number = quantity::parse(&typed.text, self.kind, Some(self.beside))
            .map_err(|error| self.wrong(&error))?;
        let unit = number.unit.unwrap_or(self.beside);
        let magnitude = match number.uncertainty {
            Some(_) if !typed.plus_minus.trim().is_empty() => {
                return Err(self.problem(
                    "uncertainty_twice",
                    "{} has an uncertainty in both boxes.",
                    "Keep one: in the value box or in the ± box.",
                ));
            }
            Some(inside) => Some(inside.magnitude),
            None => self.plus_minus(number.value, unit)?,
        };
        self.check_meaning()?;
        let value = unit.to_si(number.value);
        if let FieldKind::Count { .. } = self.field.kind {
            self.check_count(value, magnitude)?;
        }
        let standard = magnitude.map_or(0.0, |m| typed.meaning.standard(unit.difference_to_si(m)));
        let degrees_of_freedom = self.freedom()?;
        let density = match typed.meaning {
            Meaning::Limit(shape) => Density::Limited(shape),
            _ if degrees_of_freedom.is_finite() => Density::StudentT,
            _ => Density::Normal,
        };
        Ok(Stated {
            unit,
            number: Part {
                uncertainty: standard,
                density,
                degrees_of_freedom,
                ..Part::exact(unit, value)
            },
            effects: Vec::new(),
            last_digit: unit.difference_to_si(Scalar::powi(10.0, number.last_place)),
        })
    }

    /// The mean of repeated readings with s/√n (JCGM 100:2008, 4.2), and what they share.
    fn readings(&self) -> Result<Stated, Problem> {
        if let FieldKind::Count { .. } = self.field.kind {
            let hint = "Enter a whole number, without ±.";
            return Err(self.problem("not_whole", "{} counts whole things.", hint));
        }
        let unit = self.beside;
        let mut readings = Vec::new();
        for text in split_readings(&self.typed.text) {
            let number =
                quantity::parse(text, self.kind, Some(unit)).map_err(|error| self.wrong(&error))?;
            if number.uncertainty.is_some() {
                return Err(self.problem(
                    "reading_uncertainty",
                    "A reading of {} has an uncertainty of its own.",
                    "Enter the readings alone; what they share goes into the ± box.",
                ));
            }
            readings.push(number.unit.unwrap_or(unit).to_si(number.value));
        }
        let n = readings.len() as f64;
        if readings.len() < 2 {
            return Err(self.problem(
                "few_readings",
                "{} needs two readings or more to show their spread.",
                "Enter one reading per line, or choose another meaning of the uncertainty.",
            ));
        }
        let mean = sample::mean(&readings);
        let mut effects = Vec::new();
        if let Some(shared) = self.plus_minus(unit.from_si(mean), unit)? {
            effects.push((
                1.0,
                Part {
                    name: "shared by all readings".into(),
                    uncertainty: unit.difference_to_si(shared),
                    ..Part::exact(unit, 0.0)
                },
            ));
        }
        Ok(Stated {
            unit,
            number: Part {
                uncertainty: sample::standard_deviation(&readings) / n.sqrt(),
                density: Density::StudentT,
                evaluation: EvaluationType::A,
                degrees_of_freedom: n - 1.0,
                ..Part::exact(unit, mean)
            },
            effects,
            last_digit: 0.0,
        })
    }

    /// A value whose uncertainty does not stand after a `±`: the unit, and the value in SI.
    fn bare(&self) -> Result<(&'static Unit, f64), Problem> {
        let number = quantity::parse(&self.typed.text, self.kind, Some(self.beside))
            .map_err(|error| self.wrong(&error))?;
        if number.uncertainty.is_some() || !self.typed.plus_minus.trim().is_empty() {
            return Err(self.problem(
                "uncertainty_twice",
                "{} has an uncertainty after ± besides the limits of its ware or balance.",
                "Take it out, or choose another meaning of the uncertainty.",
            ));
        }
        let unit = number.unit.unwrap_or(self.beside);
        Ok((unit, unit.to_si(number.value)))
    }

    /// A number about the ware or the balance, in SI, with what stands after its `±`; none where the box is empty.
    fn about(
        &self,
        what: &str,
        text: &str,
        kind: Kind,
        usual: &'static Unit,
    ) -> Result<Option<About>, Problem> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let number = quantity::parse(text, kind, Some(usual)).map_err(|error| {
            let sentence = format!("{what} of “{}”: {}", self.field.title, error.sentence());
            Problem::at(self.field, error.code(), sentence, error.hint())
        })?;
        let unit = number.unit.unwrap_or(usual);
        let spread = number.uncertainty.map_or(0.0, |u| u.magnitude);
        Ok(Some(About {
            unit,
            value: unit.to_si(number.value),
            spread: unit.difference_to_si(spread),
        }))
    }

    /// A size without sign or uncertainty of its own, such as a readability; zero where the box is empty.
    fn size(&self, what: &str, text: &str, unit: &'static Unit) -> Result<f64, Problem> {
        let Some(size) = self.about(what, text, self.kind, unit)? else {
            return Ok(0.0);
        };
        if size.value < 0.0 || size.spread > 0.0 {
            let sentence = format!(
                "{what} of “{}” must be a number of zero or more, without ±.",
                self.field.title
            );
            let hint = "Enter it as it stands in the data sheet, or leave the box empty.";
            return Err(Problem::at(self.field, "size", sentence, hint));
        }
        Ok(size.value)
    }

    /// The number in the ± box, in `unit`; none where the box is empty.
    fn plus_minus(&self, value: f64, unit: &'static Unit) -> Result<Option<f64>, Problem> {
        let text = self.typed.plus_minus.trim();
        if text.is_empty() {
            return Ok(None);
        }
        let read = quantity::parse_uncertainty(text, value, self.kind, Some(unit));
        let read = read.map_err(|error| self.wrong(&error))?;
        Ok(Some(read.magnitude))
    }

    fn check_meaning(&self) -> Result<(), Problem> {
        use crate::uncertainty::Distribution::Trapezoidal;
        match self.typed.meaning {
            Meaning::Expanded { coverage_factor }
                if !(coverage_factor.is_finite() && coverage_factor > 0.0) =>
            {
                Err(self.problem(
                    "coverage_factor",
                    "The coverage factor k of {} must be above zero.",
                    "Enter k as stated on the certificate; 2 is usual.",
                ))
            }
            Meaning::Limit(Trapezoidal { top }) if !(0.0..=1.0).contains(&top) => Err(self
                .problem(
                    "trapezoid_top",
                    "The top of the trapezoid of {} must be between 0 and 1 of its base.",
                    "Enter 0 for a triangle, 1 for a rectangle, or the share between.",
                )),
            _ => Ok(()),
        }
    }

    /// Degrees of freedom as typed; infinite where none are.
    fn freedom(&self) -> Result<f64, Problem> {
        let text = self.typed.freedom.trim();
        if text.is_empty() {
            return Ok(f64::INFINITY);
        }
        let read = quantity::parse(text, Kind::Ratio, None);
        match read {
            Ok(number) if number.uncertainty.is_none() && number.value >= 1.0 => Ok(number.value),
            _ => Err(self.problem(
                "degrees_of_freedom",
                "The degrees of freedom of {} must be a number of 1 or more.",
                "Enter them as stated on the certificate, or leave the box empty.",
            )),
        }
    }

    fn check_count(&self, value: f64, magnitude: Option<f64>) -> Result<(), Problem> {
        let hint = "Enter a whole number, without ±.";
        if value.fract() != 0.0 {
            return Err(self.problem("not_whole", "{} counts whole things.", hint));
        }
        if magnitude.is_some_and(|m| m > 0.0) {
            let sentence = "{} is counted and has no uncertainty.";
            return Err(self.problem("count_uncertainty", sentence, hint));
        }
        Ok(())
    }
}

/// Readings as pasted: one a line or between semicolons; or, where there is neither, between spaces.
pub fn split_readings(text: &str) -> impl Iterator<Item = &str> {
    let by_line = text.trim().contains(['\n', '\r', ';', '\t']);
    let between = move |c: char| {
        if by_line {
            matches!(c, '\n' | '\r' | ';' | '\t')
        } else {
            c.is_whitespace()
        }
    };
    text.split(between)
        // In a list "12.4, 12.5" the comma is not part of a number.
        .map(|reading| reading.trim().trim_end_matches(',').trim())
        .filter(|reading| !reading.is_empty())
}

pub(super) fn unknown_unit(field: &Field, code: &str) -> Problem {
    let known: Vec<_> = field
        .offered_units()
        .iter()
        .map(|unit| unit.symbol)
        .collect();
    Problem::at(
        field,
        "unknown_unit",
        format!("“{code}” is not a unit that “{}” takes.", field.title),
        format!("Choose one of: {}.", known.join(", ")),
    )
}
