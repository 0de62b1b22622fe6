//! Cells of a line, and numbers in them.

use super::problem::{Candidate, PointsProblem};
use super::{Corrections, DecimalMark, Delimiter};
use crate::quantity::{self, Kind};

/// How the cells of a text are told apart and read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Form {
    pub(super) delimiter: Delimiter,
    pub(super) decimal: DecimalMark,
}

impl Form {
    /// The cells of a line, trimmed, without quotes round them.
    pub(super) fn split<'a>(self, line: &'a str, into: &mut Vec<&'a str>) {
        into.clear();
        let separator = match self.delimiter {
            Delimiter::Tab => '\t',
            Delimiter::Semicolon => ';',
            Delimiter::Bar => '|',
            Delimiter::Comma => ',',
            Delimiter::Space => {
                into.extend(spaced(line).map(unquoted));
                return;
            }
        };
        if line.contains('"') {
            split_quoted(line, separator, into);
        } else if self.delimiter == Delimiter::Comma && self.decimal == DecimalMark::Comma {
            split_joined(line, into);
        } else {
            into.extend(line.split(separator).map(|cell| unquoted(cell.trim())));
        }
    }

    /// The number in a cell.
    pub(super) fn number(self, cell: &str) -> Option<f64> {
        let quick = |byte: u8| matches!(byte, b'0'..=b'9' | b'+' | b'-' | b'.' | b'e' | b'E');
        let plain = self.decimal != DecimalMark::Comma && cell.bytes().all(quick);
        let number = if plain {
            parse(cell)
        } else if let Some(number) = self.with_comma(cell) {
            Some(number)
        } else {
            parse(&self.plain(cell)?)
        };
        number.or_else(|| powered(cell))
    }

    /// The short way for most numbers with a decimal comma, without a new text for each.
    fn with_comma(self, cell: &str) -> Option<f64> {
        const LONGEST: usize = 24;
        if self.decimal == DecimalMark::Point || cell.len() > LONGEST {
            return None;
        }
        let mut plain = [0; LONGEST];
        let plain = plain.get_mut(..cell.len())?;
        let mut commas = 0;
        for (into, byte) in plain.iter_mut().zip(cell.bytes()) {
            *into = match byte {
                b',' => {
                    commas += 1;
                    b'.'
                }
                b'0'..=b'9' | b'+' | b'-' | b'e' | b'E' => byte,
                _ => return None,
            };
        }
        let plain = core::str::from_utf8(plain).ok()?;
        (commas <= 1).then(|| parse(plain))?
    }

    /// The cell with a decimal point, an ordinary minus sign and no marks between thousands.
    fn plain(self, cell: &str) -> Option<String> {
        let first = cell.chars().next()?;
        if !(first.is_ascii_digit() || matches!(first, '+' | '.' | ',') || is_minus(first)) {
            return None;
        }
        let (negative, unsigned) = match first {
            '+' => (false, &cell[1..]),
            sign if is_minus(sign) => (true, cell[sign.len_utf8()..].trim_start()),
            _ => (false, cell),
        };
        let end = unsigned
            .find(['e', 'E', 'd', 'D', '×', 'x', '*', '·'])
            .unwrap_or(unsigned.len());
        let (mantissa, exponent) = unsigned.split_at(end);
        let (decimal, thousands) = match self.decimal {
            DecimalMark::Point => ('.', Some(',')),
            DecimalMark::Comma => (',', Some('.')),
            DecimalMark::Either => match (mantissa.find('.'), mantissa.find(',')) {
                (Some(_), Some(_)) => return None,
                (_, None) => ('.', None),
                (None, _) => (',', None),
            },
        };
        let (whole, decimals) = match mantissa.split_once(decimal) {
            Some((whole, decimals)) => (whole, Some(decimals)),
            None => (mantissa, None),
        };
        let mut plain = String::with_capacity(cell.len() + 1);
        if negative {
            plain.push('-');
        }
        self.push_whole(whole, thousands, &mut plain)?;
        if let Some(decimals) = decimals {
            if !decimals.bytes().all(|byte| byte.is_ascii_digit()) {
                return None;
            }
            plain.push('.');
            plain.push_str(decimals);
        }
        for character in exponent.chars() {
            plain.push(match character {
                'd' | 'D' => 'e',
                sign if is_minus(sign) => '-',
                other => other,
            });
        }
        Some(plain)
    }

    /// Digits, perhaps with a mark between groups of three.
    fn push_whole(self, whole: &str, thousands: Option<char>, into: &mut String) -> Option<()> {
        let is_mark = |c: char| {
            matches!(c, '\'' | '’' | '\u{a0}' | '\u{2009}' | '\u{202f}')
                || Some(c) == thousands
                // Elsewhere an ordinary space separates columns.
                || (c == ' ' && !matches!(self.delimiter, Delimiter::Space | Delimiter::Comma))
        };
        let Some(mark) = whole.chars().find(|c| !c.is_ascii_digit()) else {
            into.push_str(whole);
            return Some(());
        };
        if !is_mark(mark) {
            return None;
        }
        for (position, group) in whole.split(mark).enumerate() {
            let fits = if position == 0 {
                (1..=3).contains(&group.len())
            } else {
                group.len() == 3
            };
            if !fits || !group.bytes().all(|byte| byte.is_ascii_digit()) {
                return None;
            }
            into.push_str(group);
        }
        Some(())
    }
}

fn is_minus(character: char) -> bool {
    matches!(character, '-' | '−' | '–' | '‑' | '﹣' | '－')
}

/// Larger numbers are nobody's measurement, and a unit would make them infinite.
const LARGEST: f64 = 1e100;

fn parse(text: &str) -> Option<f64> {
    // Words that Rust takes for numbers are none: "inf", "nan".
    let digit = text.bytes().any(|byte| byte.is_ascii_digit());
    let number: f64 = text.parse().ok().filter(|_| digit)?;
    (number.abs() < LARGEST).then_some(number)
}

/// `7.3×10⁻³` and the like: rare, and read as in the box of a number.
fn powered(cell: &str) -> Option<f64> {
    if !cell.contains(['×', '·', 'x', '*', '⁻']) {
        return None;
    }
    let typed = quantity::parse(cell, Kind::Ratio, None).ok()?;
    (typed.unit.is_none() && typed.uncertainty.is_none()).then_some(typed.value)
}

/// Cells between spaces and tabs. A no-break or thin space inside a number groups its digits; elsewhere it separates.
fn spaced(line: &str) -> impl Iterator<Item = &str> {
    line.split([' ', '\t'])
        .filter(|piece| !piece.is_empty())
        .flat_map(|piece| {
            let grouped = piece.is_ascii() || is_grouped(piece);
            let mut whole = grouped.then_some(piece).into_iter();
            let mut parts = (!grouped).then(|| piece.split_whitespace()).into_iter();
            core::iter::from_fn(move || whole.next())
                .chain(core::iter::from_fn(move || parts.next()).flatten())
        })
}

/// Whether each no-break or thin space stands between digits, three of which follow it.
fn is_grouped(piece: &str) -> bool {
    let mut groups = piece.split(['\u{a0}', '\u{2009}', '\u{202f}']);
    let first = groups.next().unwrap_or_default();
    let digits = first.trim_start_matches(|c| is_minus(c) || c == '+');
    (1..=3).contains(&digits.len())
        && digits.bytes().all(|byte| byte.is_ascii_digit())
        && groups.all(|group| {
            let digits = group.bytes().take_while(u8::is_ascii_digit).count();
            digits == 3
        })
}

fn unquoted(cell: &str) -> &str {
    let inner = |quote: char| {
        let inner = cell.strip_prefix(quote)?.strip_suffix(quote)?;
        Some(inner.trim())
    };
    inner('"').or_else(|| inner('\'')).unwrap_or(cell)
}

/// Splits where the separator is not inside double quotes.
fn split_quoted<'a>(line: &'a str, separator: char, into: &mut Vec<&'a str>) {
    let (mut start, mut quoted) = (0, false);
    for (place, character) in line.char_indices() {
        if character == '"' {
            quoted = !quoted;
        } else if character == separator && !quoted {
            into.push(unquoted(line[start..place].trim()));
            start = place + character.len_utf8();
        }
    }
    into.push(unquoted(line[start..].trim()));
}

/// Commas separate columns and mark decimals as well: each number has two pieces.
fn split_joined<'a>(line: &'a str, into: &mut Vec<&'a str>) {
    let mut start = 0;
    let mut half = false;
    for (place, _) in line.match_indices(',') {
        if half {
            into.push(line[start..place].trim());
            start = place + 1;
        }
        half = !half;
    }
    into.push(line[start..].trim());
}

/// How many lines are looked at to find out the delimiter.
const LOOKED_AT: usize = 50;

/// Finds out how cells are told apart and read, from lines spread over the text, or asks.
pub(super) fn form(
    sample: &[(usize, &str)],
    corrections: &Corrections,
) -> Result<Form, PointsProblem> {
    let stride = sample.len() / LOOKED_AT + 1;
    let some: Vec<(usize, &str)> = sample.iter().copied().step_by(stride).collect();
    let delimiter = corrections
        .delimiter
        .unwrap_or_else(|| likely_delimiter(&some));
    let form = |decimal| Form { delimiter, decimal };
    if let Some(decimal) = corrections.decimal {
        return Ok(form(decimal));
    }
    if delimiter == Delimiter::Comma {
        // "0,1,7,3": four columns, or two with decimal commas.
        return match joinable(sample) {
            Some(line) => Err(joined_or_not(line, corrections)),
            None if quoted_commas(sample) => decimal_mark(sample, delimiter, corrections).map(form),
            None => Ok(form(DecimalMark::Point)),
        };
    }
    decimal_mark(sample, delimiter, corrections).map(form)
}

/// The delimiter with which most cells of most lines are numbers, two or more a line.
fn likely_delimiter(sample: &[(usize, &str)]) -> Delimiter {
    const IN_QUESTION: [Delimiter; 5] = [
        Delimiter::Tab,
        Delimiter::Semicolon,
        Delimiter::Bar,
        Delimiter::Comma,
        Delimiter::Space,
    ];
    let mut best = (0.0, Delimiter::Tab);
    let mut cells = Vec::new();
    for delimiter in IN_QUESTION {
        let marks = [DecimalMark::Point, DecimalMark::Comma, DecimalMark::Either];
        let mut score = 0.0;
        for (_, line) in sample {
            // Joined pieces are no evidence of a comma that separates.
            let first = Form {
                delimiter,
                decimal: DecimalMark::Point,
            };
            first.split(line, &mut cells);
            if cells.len() < 2 {
                continue;
            }
            let filled = cells.iter().filter(|cell| !cell.is_empty()).count();
            let numbers = cells
                .iter()
                .filter(|cell| {
                    marks.iter().any(|&decimal| {
                        let form = Form { delimiter, decimal };
                        form.number(cell).is_some()
                    })
                })
                .count();
            if numbers >= 2 {
                score += numbers as f64 / filled as f64;
            }
        }
        if score > best.0 {
            best = (score, delimiter);
        }
    }
    best.1
}

/// The first line, where all lines of numbers have an even number of whole numbers, four or more, of which every second is
/// without sign.
fn joinable<'a>(sample: &[(usize, &'a str)]) -> Option<(usize, &'a str)> {
    let mut first = None;
    for &(line, text) in sample {
        let text = text.trim_end_matches([',', ' ']);
        let mut pieces = 0;
        let mut whole = true;
        let digits =
            |piece: &str| !piece.is_empty() && piece.bytes().all(|byte| byte.is_ascii_digit());
        for (position, piece) in text.split(',').enumerate() {
            let piece = piece.trim();
            let number = if position % 2 == 0 {
                piece.trim_start_matches(|c| is_minus(c) || c == '+')
            } else {
                piece
            };
            whole &= digits(number);
            pieces += 1;
        }
        if whole && pieces >= 4 && pieces % 2 == 0 {
            first = first.or(Some((line, text)));
        } else if text.split(',').filter(|piece| is_number(piece)).count() >= 2 {
            return None;
        }
    }
    first
}

fn is_number(piece: &str) -> bool {
    let form = Form {
        delimiter: Delimiter::Comma,
        decimal: DecimalMark::Point,
    };
    form.number(piece.trim()).is_some()
}

fn joined_or_not((line, text): (usize, &str), corrections: &Corrections) -> PointsProblem {
    let columns = text.split(',').count();
    let candidate = |decimal, title: String| Candidate {
        title,
        corrections: Corrections {
            delimiter: Some(Delimiter::Comma),
            decimal: Some(decimal),
            ..*corrections
        },
    };
    PointsProblem::new(
        "ambiguous_comma",
        format!(
            "The commas in line {line} (“{}”) could separate columns or mark decimals.",
            super::rows::excerpt(text)
        ),
        "Say what the commas do, or separate the columns by tabs or semicolons.",
    )
    .with([
        candidate(
            DecimalMark::Comma,
            format!("Commas mark decimals too: {} columns", columns / 2),
        ),
        candidate(
            DecimalMark::Point,
            format!("Commas separate: {columns} columns"),
        ),
    ])
}

/// Whether there are commas inside quotes.
fn quoted_commas(sample: &[(usize, &str)]) -> bool {
    let mut cells = Vec::new();
    sample.iter().any(|(_, line)| {
        if !line.contains('"') {
            return false;
        }
        split_quoted(line, ',', &mut cells);
        let found = cells.iter().any(|cell| cell.contains(','));
        cells.clear();
        found
    })
}

/// What the marks in numbers can mean.
#[derive(Default)]
struct Marks<'a> {
    /// A number in which the comma can only mark decimals.
    decimal_comma: bool,
    /// A number in which the point can only mark decimals.
    decimal_point: bool,
    /// A number in which commas can only group thousands.
    grouping_comma: bool,
    /// A number in which points can only group thousands.
    grouping_point: bool,
    /// A number in which one comma can do both.
    either_comma: Option<(usize, &'a str)>,
    /// A number in which one point can do both.
    either_point: Option<(usize, &'a str)>,
}

impl<'a> Marks<'a> {
    fn see(&mut self, line: usize, cell: &'a str) {
        let unsigned = cell.trim_start_matches(|c| is_minus(c) || c == '+');
        let end = unsigned.find(['e', 'E']).unwrap_or(unsigned.len());
        let mantissa = &unsigned[..end];
        let count = |mark| mantissa.matches(mark).count();
        let groups = |mark| {
            let mut groups = mantissa.split(mark);
            let first = groups.next().unwrap_or_default();
            let digits = |group: &str| group.bytes().all(|byte| byte.is_ascii_digit());
            (1..=3).contains(&first.len())
                && !first.starts_with('0')
                && digits(first)
                && groups.all(|group| group.len() == 3 && digits(group))
        };
        match (count(','), count('.')) {
            (0, 0) => {}
            (1, 0) if groups(',') && end == unsigned.len() => {
                self.either_comma = self.either_comma.or(Some((line, cell)));
            }
            (1, 0) => self.decimal_comma = true,
            (0, 1) if groups('.') && end == unsigned.len() => {
                self.either_point = self.either_point.or(Some((line, cell)));
            }
            (0, 1) => self.decimal_point = true,
            (_, 0) => self.grouping_comma = true,
            (0, _) => self.grouping_point = true,
            _ if mantissa.find(',') < mantissa.find('.') => self.grouping_comma = true,
            _ => self.grouping_point = true,
        }
    }
}

fn decimal_mark(
    sample: &[(usize, &str)],
    delimiter: Delimiter,
    corrections: &Corrections,
) -> Result<DecimalMark, PointsProblem> {
    let mut marks = Marks::default();
    let mut cells = Vec::new();
    let form = |decimal| Form { delimiter, decimal };
    for &(line, text) in sample {
        form(DecimalMark::Point).split(text, &mut cells);
        let readable = |cell: &&str| {
            DecimalMark::ALL
                .iter()
                .any(|decimal| form(*decimal).number(cell).is_some())
        };
        cells.retain(readable);
        if cells.len() >= 2 {
            cells.iter().for_each(|cell| marks.see(line, cell));
        }
    }
    let comma = marks.decimal_comma || marks.grouping_point;
    let point = marks.decimal_point || marks.grouping_comma;
    let ask = |(line, cell): (usize, &str), decimals: [DecimalMark; 2]| {
        Err(one_mark(delimiter, line, cell, decimals, corrections))
    };
    match (comma, point, marks.either_comma, marks.either_point) {
        (true, true, _, _) if !marks.grouping_point && !marks.grouping_comma => {
            Ok(DecimalMark::Either)
        }
        (true, _, _, Some(seen)) if !marks.grouping_point => {
            ask(seen, [DecimalMark::Comma, DecimalMark::Either])
        }
        (_, true, Some(seen), _) if !marks.grouping_comma => {
            ask(seen, [DecimalMark::Point, DecimalMark::Either])
        }
        (true, false, _, _) => Ok(DecimalMark::Comma),
        (_, true, _, _) => Ok(DecimalMark::Point),
        (false, false, Some(seen), None) => ask(seen, [DecimalMark::Comma, DecimalMark::Point]),
        (false, false, Some(seen), Some(_)) => ask(seen, [DecimalMark::Either, DecimalMark::Point]),
        // As everywhere on the page, one point marks decimals.
        (false, false, None, _) => Ok(DecimalMark::Point),
    }
}

/// Asks what one mark in a number means.
fn one_mark(
    delimiter: Delimiter,
    line: usize,
    cell: &str,
    decimals: [DecimalMark; 2],
    corrections: &Corrections,
) -> PointsProblem {
    let read = |decimal| {
        let form = Form { delimiter, decimal };
        let number = form.number(cell);
        number.map_or_else(|| "no number".to_owned(), quantity::shortest)
    };
    let mark = if cell.contains(',') { "comma" } else { "point" };
    let candidate = |decimal| Candidate {
        title: format!("“{cell}” is {}", read(decimal)),
        corrections: Corrections {
            decimal: Some(decimal),
            ..*corrections
        },
    };
    PointsProblem::new(
        "ambiguous_comma",
        format!("The {mark} in “{cell}” (line {line}) could mark decimals or group thousands."),
        "Say what the number is, or paste the numbers without marks between thousands.",
    )
    .with(decimals.map(candidate))
}
