//! Reading measured points as people paste them: two columns, any usual delimiter, point or comma decimals,
//! header lines first. Nothing is dropped silently: a line that cannot be read is named.

use core::fmt;

use crate::quantity::{self, Kind};

/// Points beyond this are refused before reading on: no instrument of the trade gives more in one curve.
const MOST_POINTS: usize = 100_000;

/// Why pasted points cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PointsProblem {
    /// No line holds two numbers.
    NoPoints,
    /// A line after the first point cannot be read; lines are counted from 1.
    Unreadable {
        /// The line's number.
        line: usize,
        /// The line.
        text: String,
    },
    /// A line has another number of columns than two.
    Columns {
        /// The line's number.
        line: usize,
        /// How many columns it has.
        columns: usize,
    },
    /// Commas could separate columns or mark decimals.
    AmbiguousComma {
        /// The line's number.
        line: usize,
    },
    /// More points than one curve can have.
    TooMany,
}

impl PointsProblem {
    /// A stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            PointsProblem::NoPoints => "no_points",
            PointsProblem::Unreadable { .. } => "unreadable_line",
            PointsProblem::Columns { .. } => "column_count",
            PointsProblem::AmbiguousComma { .. } => "ambiguous_comma",
            PointsProblem::TooMany => "too_many_points",
        }
    }
    /// The way out.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            PointsProblem::NoPoints => "Paste two columns of numbers, one point a line.",
            PointsProblem::Unreadable { .. } => {
                "Correct the line, or take it out and say so in the note."
            }
            PointsProblem::Columns { .. } => "Keep the two columns that belong together.",
            PointsProblem::AmbiguousComma { .. } => {
                "Separate the columns by tabs or semicolons, or use decimal points."
            }
            PointsProblem::TooMany => "Keep every second or tenth point.",
        }
    }
}

impl fmt::Display for PointsProblem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PointsProblem::NoPoints => write!(out, "No line holds two numbers."),
            PointsProblem::Unreadable { line, text } => {
                write!(out, "Line {line} cannot be read as two numbers: “{text}”.")
            }
            PointsProblem::Columns { line, columns } => {
                write!(out, "Line {line} has {columns} columns; two are needed.")
            }
            PointsProblem::AmbiguousComma { line } => {
                write!(
                    out,
                    "The commas in line {line} could separate columns or mark decimals."
                )
            }
            PointsProblem::TooMany => write!(out, "There are more than {MOST_POINTS} points."),
        }
    }
}

impl core::error::Error for PointsProblem {}

/// What separates the columns.
#[derive(Clone, Copy, PartialEq)]
enum Delimiter {
    Tab,
    Semicolon,
    Comma,
    Space,
}

/// Reads points as pasted. Empty lines and lines that start with `#` are passed over; so are header lines, those
/// before the first line of numbers.
///
/// # Errors
/// A [`PointsProblem`] that names the line.
pub fn read_points(text: &str) -> Result<Vec<(f64, f64)>, PointsProblem> {
    let text = text.trim_start_matches('\u{feff}');
    let lines = text
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let mut points = Vec::new();
    let mut delimiter = None;
    for (line, text) in lines {
        let separated = delimiter.unwrap_or_else(|| guess(text));
        let cells = split(text, separated);
        let numbers: Option<Vec<f64>> = cells.iter().map(|cell| number(cell, separated)).collect();
        match numbers.as_deref() {
            Some([x, y]) => points.push((*x, *y)),
            Some(_) if separated == Delimiter::Comma && cells.len() == 4 => {
                return Err(PointsProblem::AmbiguousComma { line });
            }
            Some(more) => {
                return Err(PointsProblem::Columns {
                    line,
                    columns: more.len(),
                });
            }
            None if points.is_empty() => continue,
            None => {
                return Err(PointsProblem::Unreadable {
                    line,
                    text: text.chars().take(60).collect(),
                });
            }
        }
        delimiter = Some(separated);
        if points.len() > MOST_POINTS {
            return Err(PointsProblem::TooMany);
        }
    }
    if points.is_empty() {
        Err(PointsProblem::NoPoints)
    } else {
        Ok(points)
    }
}

fn guess(line: &str) -> Delimiter {
    if line.contains('\t') {
        Delimiter::Tab
    } else if line.contains(';') {
        Delimiter::Semicolon
    } else if line.contains(',') && !spaces_separate(line) {
        Delimiter::Comma
    } else {
        Delimiter::Space
    }
}

/// `0,1 7,3`: two cells by spaces, each a number with a decimal comma; but `0.1, 7.3` is separated by its comma.
fn spaces_separate(line: &str) -> bool {
    let cells = split(line, Delimiter::Space);
    cells.len() == 2
        && cells
            .iter()
            .all(|cell| number(cell, Delimiter::Space).is_some())
}

fn split(line: &str, delimiter: Delimiter) -> Vec<&str> {
    match delimiter {
        Delimiter::Tab => line.split('\t').map(str::trim).collect(),
        Delimiter::Semicolon => line.split(';').map(str::trim).collect(),
        Delimiter::Comma => line.split(',').map(str::trim).collect(),
        Delimiter::Space => line.split_whitespace().collect(),
    }
}

fn number(cell: &str, delimiter: Delimiter) -> Option<f64> {
    // Where commas do not separate columns and no point is there, a comma can only mark decimals.
    let cell = if delimiter != Delimiter::Comma && cell.matches(',').count() == 1 {
        cell.replace(',', ".")
    } else {
        cell.to_owned()
    };
    if let Ok(plain) = cell.parse::<f64>() {
        return plain.is_finite().then_some(plain);
    }
    let typed = quantity::parse(&cell, Kind::Ratio, None).ok()?;
    (typed.unit.is_none() && typed.uncertainty.is_none()).then_some(typed.value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: Result<&[(f64, f64)], &str>) {
        match read_points(text) {
            Ok(points) => assert_eq!(Ok(points.as_slice()), expected),
            Err(problem) => assert_eq!(Err(problem.code()), expected),
        }
    }

    #[test]
    fn usual_layouts() {
        let points: &[(f64, f64)] = &[(0.0, 1.5), (0.1, -1.25)];
        check("0 1.5\n0.1 -1.25", Ok(points));
        check("V/V\tI/mA\r\n0\t1.5\r\n0.1\t-1.25\r\n", Ok(points));
        check("\u{feff}U;I\n0;1,5\n0,1;-1,25", Ok(points));
        check("0,1.5\n0.1,-1.25", Ok(points));
        check("0.0, 1.5\n0.1, -1.25", Ok(points));
        check("0,0 1,5\n0,1 \u{2212}1,25", Ok(points));
        check("# cell 3\n0 15e-1\n\n0.1 -1.25", Ok(points));
    }

    #[test]
    fn what_cannot_be_read_is_named() {
        check("", Err("no_points"));
        check("volts amps", Err("no_points"));
        check("0 1\n0.1 overload\n0.2 1", Err("unreadable_line"));
        check("0 1 2\n0.1 1 2", Err("column_count"));
        check("0,1,1,2", Err("ambiguous_comma"));
        check("0 1\n0.1 NaN", Err("unreadable_line"));
        assert_eq!(
            read_points("0 1\n0.1 overload").unwrap_err().to_string(),
            "Line 2 cannot be read as two numbers: “0.1 overload”."
        );
    }
}
