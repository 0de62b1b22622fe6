//! Measured points as people have them: delimited text of any usual layout, read into one curve.
//!
//! [`read`] is a pure function of a text, what is wanted ([`Wanted`]) and what the person corrected ([`Corrections`]). It
//! says what it understood ([`Understood`]), line for line, or asks: what could be meant in two ways is a
//! [`PointsProblem`] with the answers to choose from. Lines that cannot be read are listed, and reading goes on.
//!
//! In reading order: `cells` (delimiter, decimal mark, numbers), `rows` (lines into blocks of a table), `head` and `title`
//! (the heads of the columns, and quantity and unit from one of them), `columns` (which could be meant), `sweeps`, `choose`
//! (what is taken) and `questions`.

mod cells;
mod choose;
mod columns;
mod head;
mod problem;
mod questions;
mod rows;
mod sweeps;
mod title;

pub use problem::{Candidate, PointsProblem};

pub(crate) use questions::{MORE_THAN_ONE_SWEEP, OTHER_KIND};
pub(crate) use sweeps::stretches;

use crate::quantity::{Kind, Unit};

/// Points beyond this are refused: no instrument of the trade gives more in one curve.
pub const MOST_POINTS: usize = 100_000;

/// The way in which the first column runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Rising voltage.
    Forward,
    /// Falling voltage.
    Reverse,
}

impl Direction {
    /// The word for files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Direction::Forward => "forward",
            Direction::Reverse => "reverse",
        }
    }
    /// Between the first and the last number of a sweep.
    pub(crate) fn between(from: f64, to: f64) -> Self {
        if to < from {
            Direction::Reverse
        } else {
            Direction::Forward
        }
    }
    /// What the first column does.
    #[must_use]
    pub fn verb(self) -> &'static str {
        match self {
            Direction::Forward => "rising",
            Direction::Reverse => "falling",
        }
    }
}

/// Whether the cell was lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Illumination {
    /// Under the lamp.
    Light,
    /// In the dark.
    Dark,
}

/// What separates the columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Delimiter {
    /// A tab.
    Tab,
    /// A semicolon.
    Semicolon,
    /// A vertical bar.
    Bar,
    /// A comma.
    Comma,
    /// Spaces or tabs, any number of them.
    Space,
}

/// What marks decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// A point; commas group thousands.
    Point,
    /// A comma; points group thousands.
    Comma,
    /// A point or a comma; neither groups thousands.
    Either,
}

/// Which unit counts where the head of a column says another one than the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitFrom {
    /// The one in the head of the column.
    Header,
    /// The one chosen in the box.
    Box,
}

/// Which sign the numbers of a column have.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sign {
    /// The one in the text.
    #[default]
    AsIs,
    /// The other one: swapped leads, or an instrument that counts the other way.
    Turned,
}

impl Sign {
    /// A number of the text with this sign; zero has none.
    pub(crate) fn of(self, number: f64) -> f64 {
        match self {
            Sign::AsIs => number,
            Sign::Turned => 0.0 - number,
        }
    }
}

/// Values of a correction with the words for files and for the page.
macro_rules! words {
    ($type:ty: $($variant:path = $word:literal, $title:literal;)+) => {
        impl $type {
            /// Every one, in the order in which they are offered.
            pub const ALL: &[$type] = &[$($variant),+];
            /// The word for files; stable.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self {
                    $($variant => $word,)+
                }
            }
            /// What the page calls it.
            #[must_use]
            pub fn title(self) -> &'static str {
                match self {
                    $($variant => $title,)+
                }
            }
            /// The one with this word.
            #[must_use]
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.word() == word)
            }
        }
    };
}

words! { Delimiter:
    Delimiter::Tab = "tab", "tabs";
    Delimiter::Semicolon = "semicolon", "semicolons";
    Delimiter::Comma = "comma", "commas";
    Delimiter::Bar = "bar", "vertical bars";
    Delimiter::Space = "space", "spaces";
}
words! { DecimalMark:
    DecimalMark::Point = "point", "point";
    DecimalMark::Comma = "comma", "comma";
    DecimalMark::Either = "either", "point or comma";
}
words! { UnitFrom:
    UnitFrom::Header = "header", "the one in the head of the column";
    UnitFrom::Box = "box", "the one chosen beside the points";
}
words! { Sign:
    Sign::AsIs = "as_is", "as it stands";
    Sign::Turned = "turned", "turned";
}
words! { Illumination:
    Illumination::Light = "light", "light";
    Illumination::Dark = "dark", "dark";
}

/// One of the two columns wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// What the field calls it.
    pub title: &'static str,
    /// What it measures.
    pub kind: Kind,
    /// The unit beside the points: the one chosen, or the usual one.
    pub unit: &'static Unit,
    /// Whether the person chose that unit.
    pub chosen: bool,
}

/// What is wanted of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// The first column.
    pub x: Axis,
    /// The second column.
    pub y: Axis,
    /// Whether the points are one sweep of the first column; elsewhere turning back means nothing.
    pub sweep: bool,
    /// The direction of the sweep, where it matters.
    pub direction: Option<Direction>,
    /// Dark or light, where the text says which is which.
    pub illumination: Option<Illumination>,
}

/// What the person said about reading a text; whatever is absent is found out. Columns, sweeps and lines are counted
/// from 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Corrections {
    /// What separates the columns.
    pub delimiter: Option<Delimiter>,
    /// What marks decimals.
    pub decimal: Option<DecimalMark>,
    /// The column of the first quantity.
    pub x_column: Option<usize>,
    /// The column of the second quantity.
    pub y_column: Option<usize>,
    /// Which unit of the first quantity counts, where two are stated.
    pub x_unit: Option<UnitFrom>,
    /// Which unit of the second quantity counts, where two are stated.
    pub y_unit: Option<UnitFrom>,
    /// The sign of the first quantity.
    pub x_sign: Option<Sign>,
    /// The sign of the second quantity.
    pub y_sign: Option<Sign>,
    /// The sweep, or the block of lines where sweeps are not looked for.
    pub sweep: Option<usize>,
    /// Dark or light.
    pub illumination: Option<Illumination>,
    /// The first line that is read.
    pub first_line: Option<usize>,
    /// The last line that is read.
    pub last_line: Option<usize>,
}

impl Corrections {
    /// Whether nothing was corrected.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Corrections::default()
    }
}

/// How a text is laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// What separates the columns.
    pub delimiter: Delimiter,
    /// What marks decimals.
    pub decimal: DecimalMark,
    /// The lines that head the columns, from the top; empty where none do.
    pub head: Vec<usize>,
    /// The columns of the block that was looked at, those without any number left out.
    pub columns: Vec<Column>,
}

/// One column of a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its number, from 1.
    pub number: usize,
    /// Its head as in the text; empty where it has none.
    pub title: String,
    /// What its head says that it measures.
    pub kind: Option<Kind>,
    /// The unit in its head.
    pub unit: Option<&'static Unit>,
    /// Its first cells, as in the text.
    pub sample: Vec<String>,
}

impl Column {
    /// What a sentence or a button calls it: its head, or its number.
    #[must_use]
    pub fn name(&self) -> String {
        if self.title.is_empty() {
            format!("column {}", self.number)
        } else {
            format!("column {}, “{}”", self.number, self.title)
        }
    }
}

/// How the unit of a column is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitKnown {
    /// Its head says it.
    Header,
    /// The person chose it.
    Chosen,
    /// It is the usual one; nothing says another.
    Usual,
}

/// What was taken for one of the two quantities.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taken {
    /// The column, from 1.
    pub column: usize,
    /// The unit of its numbers.
    pub unit: &'static Unit,
    /// How that is known.
    pub known: UnitKnown,
    /// Their sign.
    pub sign: Sign,
}

/// Two columns that could be meant: one cell of several in a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    /// The column of the first quantity, from 1.
    pub x: usize,
    /// The column of the second quantity, from 1.
    pub y: usize,
}

/// One sweep in a text; where sweeps are not looked for, one block of lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Sweep {
    /// Its number, from 1.
    pub number: usize,
    /// What stands above its block; empty where nothing does.
    pub title: String,
    /// The way in which it runs; none for a block.
    pub direction: Option<Direction>,
    /// Dark or light, where the text says so.
    pub illumination: Option<Illumination>,
    /// The first quantity at its first point, in SI.
    pub from: f64,
    /// The first quantity at its last point, in SI.
    pub to: f64,
    /// How many points it has.
    pub points: usize,
    /// Its first line.
    pub first_line: usize,
    /// Its last line.
    pub last_line: usize,
}

/// A line that holds no point although it should.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Skipped {
    /// The line's number, from 1.
    pub line: usize,
    /// The line, cut where it is long.
    pub text: String,
    /// Why.
    pub reason: String,
}

/// What became of the lines. Every line is in exactly one of these.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    /// Nothing in them.
    pub blank: usize,
    /// Words: heads of columns, comments, what stands before or after the numbers.
    pub words: usize,
    /// One point each.
    pub points: usize,
    /// Points of another sweep or block, or outside the lines asked for.
    pub others: usize,
    /// Listed as [`Skipped`].
    pub skipped: usize,
}

impl Lines {
    /// All lines.
    #[must_use]
    pub fn all(&self) -> usize {
        self.blank + self.words + self.points + self.others + self.skipped
    }
}

/// Why this sweep was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// There is only this one.
    Only,
    /// It runs in the direction wanted.
    Direction,
    /// It is the dark or the light one, as wanted.
    Illumination,
    /// The person chose it.
    Chosen,
}

/// What was understood of a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Understood {
    /// Delimiter, decimal mark, head, columns.
    pub layout: Layout,
    /// The first quantity.
    pub x: Taken,
    /// The second quantity.
    pub y: Taken,
    /// The pairs of columns that could have been taken.
    pub pairs: Vec<Pair>,
    /// The sweeps of the pair that was taken.
    pub sweeps: Vec<Sweep>,
    /// The position of the one that was taken.
    pub sweep: usize,
    /// Why that one.
    pub why: Why,
    /// The point nearest to zero of the first quantity, in SI: its second number shows the sign of the photocurrent.
    pub near_zero: Option<(f64, f64)>,
    /// Lines that could not be read.
    pub skipped: Vec<Skipped>,
    /// What became of all lines.
    pub lines: Lines,
    /// The points, in SI, in the order of the lines.
    pub points: Vec<(f64, f64)>,
}

impl Understood {
    /// The sweep that was taken.
    #[must_use]
    pub fn taken(&self) -> Option<&Sweep> {
        self.sweeps.get(self.sweep)
    }
}

/// Reads points. The text is as pasted, with or without a byte order mark; whoever loads a file turns its bytes into text
/// first, also from UTF-16.
///
/// # Errors
/// A [`PointsProblem`]: there are no points, or what is there could be meant in more than one way.
pub fn read(
    text: &str,
    wanted: &Wanted,
    corrections: &Corrections,
) -> Result<Understood, PointsProblem> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let table = rows::Table::of(text, corrections)?;
    choose::choose(&table, wanted, corrections)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wanted(sweep: bool, y: Kind, y_unit: &str) -> Wanted {
        let axis = |title, kind, code| Axis {
            title,
            kind,
            unit: crate::quantity::unit(kind, code).unwrap(),
            chosen: false,
        };
        Wanted {
            x: axis("Voltage", Kind::Voltage, "V"),
            y: axis("Current", y, y_unit),
            sweep,
            direction: None,
            illumination: None,
        }
    }

    #[track_caller]
    fn check(text: &str, expected: Result<&[(f64, f64)], &str>) {
        let wanted = wanted(false, Kind::Current, "A");
        match read(text, &wanted, &Corrections::default()) {
            Ok(read) => assert_eq!(Ok(read.points.as_slice()), expected, "{read:?}"),
            Err(problem) => assert_eq!(Err(problem.code), expected, "{problem:?}"),
        }
    }

    #[test]
    fn usual_layouts() {
        let points: &[(f64, f64)] = &[(0.0, 1.5), (0.1, -1.25)];
        check("0 1.5\n0.1 -1.25", Ok(points));
        check("U;I\r\n0;1.5\r\n0.1;-1.25\r\n", Ok(points));
        check("\u{feff}U;I\n0;1,5\n0,1;-1,25", Ok(points));
        check("0,1.5\n0.1,-1.25", Ok(points));
        check("0.0, 1.5\n0.1, -1.25", Ok(points));
        check("0,0 1,5\n0,1 \u{2212}1,25", Ok(points));
        check("# cell 3\n0 15e-1\n\n0.1 -1.25", Ok(points));
        check("0\t1.5\r0.1\t-1.25\r", Ok(points));
        check("\"0\",\"1,5\"\n\"0,1\",\"-1,25\"", Ok(points));
        check("| 0.0 | 1.5 |\n| 0.1 | -1.25 |", Ok(points));
        check("I\tU\n1.5\t0\n-1.25\t0.1", Ok(points));
        check("t/s;U/V;I/A\n1;0;1,5\n2;0,1;-1,25", Ok(points));
    }

    #[test]
    fn units_come_from_the_head() {
        let points: &[(f64, f64)] = &[(0.0, 1.5e-3), (0.1, -1.25e-3)];
        for head in [
            "V/V\tI/mA",
            "Voltage (V)\tCurrent (mA)",
            "U [V]\tI [mA]",
            "V_V\tI_mA",
            "Voltage, V\tCurrent, mA",
            "bias in V\tcurrent in mA",
            "Voltage\tCurrent\nV\tmA",
            "U\tI\n(V)\t(mA)",
            "V\tmA",
            "Volts\tmilliamps",
        ] {
            check(&format!("{head}\n0\t1.5\n0.1\t-1.25"), Ok(points));
        }
        check("0\t1.5\n0.1\t-1.25", Ok(&[(0.0, 1.5), (0.1, -1.25)]));
    }

    #[test]
    fn units_of_current_densities() {
        let wanted = wanted(true, Kind::CurrentDensity, "A/m2");
        for (head, factor) in [
            ("J (mA/cm²)", 10.0),
            ("J / mA cm-2", 10.0),
            ("J / mA/cm^2", 10.0),
            ("J [mA·cm⁻²]", 10.0),
            ("J_mA/cm2", 10.0),
            ("Current density [A m^-2]", 1.0),
            ("Current density (mA cm**-2)", 10.0),
            ("current density in uA/cm2", 0.01),
            ("j (μA cm⁻²)", 0.01),
            ("j (mAcm-2)", 10.0),
        ] {
            let text = format!("V / V;{head}\n0;1\n0.1;2\n0.2;4");
            let read = read(&text, &wanted, &Corrections::default());
            let read = read.unwrap_or_else(|problem| panic!("{head}: {problem:?}"));
            assert_eq!(read.points[1], (0.1, 2.0 * factor), "{head}");
            assert_eq!(read.y.known, UnitKnown::Header);
        }
    }

    #[test]
    fn what_could_be_meant_in_two_ways_asks() {
        check("", Err("no_points"));
        check("volts amps", Err("no_points"));
        check("0 1 2\n0.1 1 2", Err("column_count"));
        check("0,1,1,2", Err("ambiguous_comma"));
        check("0\t1,234\n1\t2,345", Err("ambiguous_comma"));
        check("U/V\tJ/mA/cm2\n0\t1\n1\t2", Err("other_kind"));
        check("t/s\tI/mA\n0\t1\n1\t2", Err("other_kind"));
        check("V;I;I\n0;1;1\n1;2;2", Err("several_cells"));
    }

    #[test]
    fn what_cannot_be_read_is_listed() {
        let wanted = wanted(false, Kind::Current, "A");
        let text = "0 1\n0.1 overload\n0.2 1\n0.3 NaN\n0.4\n0.5 1 7\n0.6 1";
        let read = read(text, &wanted, &Corrections::default()).unwrap();
        assert_eq!(read.points, [(0.0, 1.0), (0.2, 1.0), (0.6, 1.0)]);
        let lines: Vec<usize> = read.skipped.iter().map(|skipped| skipped.line).collect();
        assert_eq!(lines, [2, 4, 5, 6]);
        assert_eq!(read.lines.all(), 7);
        assert_eq!(
            read.skipped[0].reason,
            "the current is no number: “overload”"
        );
    }
}
