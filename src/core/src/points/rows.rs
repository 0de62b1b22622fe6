//! Lines into blocks of a table: which hold numbers, which head them, which cannot be read.

use core::ops::Range;

use super::cells::{self, Form};
use super::problem::PointsProblem;
use super::{Corrections, Delimiter, head, title};

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// Nothing.
    Blank,
    /// Words.
    Words,
    /// A row of a block.
    Row,
    /// It should be a row, but a number is not there or is none.
    Broken,
    /// A row with more or fewer cells than the others.
    Odd,
    /// Numbers apart from the table.
    Apart,
    /// Not among the lines asked for.
    Outside,
}

/// One row of numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    /// Position of its line.
    pub(super) line: usize,
    /// Position of its first cell among all.
    first: usize,
    /// How many cells it has, those at the end that are empty included.
    raw: usize,
    /// How many cells it has without those.
    cells: usize,
}

/// Rows that belong together.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Positions of its rows.
    pub(super) rows: Range<usize>,
    /// How many cells its rows have.
    pub(super) width: usize,
    /// Positions of the lines between the last block and this one.
    pub(super) above: Range<usize>,
}

/// A text, taken apart.
#[derive(Debug)]
pub(super) struct Table<'a> {
    pub(super) lines: Vec<&'a str>,
    pub(super) sorts: Vec<Sort>,
    pub(super) form: Form,
    pub(super) rows: Vec<Row>,
    /// All cells of all rows; what is no number is not a number.
    numbers: Vec<f64>,
    pub(super) blocks: Vec<Block>,
}

/// Wider tables are refused: nobody chooses among so many columns.
const MOST_COLUMNS: usize = 500;
/// How many lines, spread over the text, tell how its cells are written.
const LOOKED_AT: usize = 400;
/// So many rows or fewer, beside a table of [`TABLE`] rows or more, are no table.
const STRAY: usize = 2;
/// See [`STRAY`].
const TABLE: usize = 5;

impl<'a> Table<'a> {
    pub(super) fn of(text: &'a str, corrections: &Corrections) -> Result<Self, PointsProblem> {
        let lines = split_lines(text);
        let within = |line: usize| {
            corrections.first_line.is_none_or(|first| first <= line)
                && corrections.last_line.is_none_or(|last| line <= last)
        };
        let stride = lines.len() / LOOKED_AT + 1;
        let in_question: Vec<(usize, &str)> = lines
            .iter()
            .enumerate()
            .step_by(stride)
            .map(|(place, line)| (place + 1, line.trim_matches(' ')))
            .filter(|(line, text)| {
                within(*line)
                    && text.contains(|c: char| c.is_ascii_digit())
                    && !is_comment(text, Delimiter::Semicolon)
            })
            .collect();
        let form = cells::form(&in_question, corrections)?;
        let mut table = Table {
            sorts: Vec::with_capacity(lines.len()),
            lines,
            form,
            rows: Vec::new(),
            numbers: Vec::new(),
            blocks: Vec::new(),
        };
        table.sort(within);
        table.settle_words();
        table.blocks();
        if table.rows.is_empty() {
            return Err(PointsProblem::new(
                "no_points",
                "No line holds two numbers.",
                "Paste two columns of numbers, one point a line.",
            ));
        }
        let widest = table.blocks.iter().max_by_key(|block| block.width);
        if let Some(widest) = widest.filter(|block| block.width > MOST_COLUMNS) {
            let first_line = table.rows.get(widest.rows.start).map_or(0, |row| row.line) + 1;
            return Err(PointsProblem::new(
                "too_many_columns",
                format!(
                    "From line {first_line} on, a line holds {} numbers; at most {MOST_COLUMNS} columns are read.",
                    widest.width
                ),
                "Paste one point a line: the two columns of one curve.",
            ));
        }
        Ok(table)
    }

    /// What each line is by itself.
    fn sort(&mut self, within: impl Fn(usize) -> bool) {
        let mut cells = Vec::new();
        for place in 0..self.lines.len() {
            let line = self.lines[place];
            let sort = if line.trim().is_empty() {
                Sort::Blank
            } else if is_comment(line, self.form.delimiter) {
                Sort::Words
            } else {
                self.form.split(line, &mut cells);
                self.sort_line(place, &cells)
            };
            // The heads of columns count even where the first rows below them do not.
            let outside = sort != Sort::Blank && sort != Sort::Words && !within(place + 1);
            if outside && sort == Sort::Row {
                self.rows.pop();
            }
            self.sorts.push(if outside { Sort::Outside } else { sort });
        }
    }

    fn sort_line(&mut self, line: usize, cells: &[&str]) -> Sort {
        let first = self.numbers.len();
        let (mut numbers, mut missing, mut words) = (0, 0, 0);
        for cell in cells {
            let number = self.form.number(cell);
            match number {
                Some(_) => numbers += 1,
                None if is_missing(cell) => missing += 1,
                None if cell.is_empty() => {}
                None => words += 1,
            }
            self.numbers.push(number.unwrap_or(f64::NAN));
        }
        let filled = cells.iter().rposition(|cell| !cell.is_empty());
        if numbers >= 2 {
            self.rows.push(Row {
                line,
                first,
                raw: cells.len(),
                cells: filled.map_or(0, |last| last + 1),
            });
            return Sort::Row;
        }
        self.numbers.truncate(first);
        let leads = cells
            .first()
            .is_some_and(|cell| self.form.number(cell).is_some());
        // A line of words with a number in it waits for what stands around it: see `settle_words`.
        if words == 0 && numbers + missing > 0 || leads || (missing > 0 && numbers > 0) {
            Sort::Broken
        } else {
            Sort::Words
        }
    }

    /// Rows into blocks, between lines of words.
    fn blocks(&mut self) {
        let mut blocks: Vec<Block> = Vec::new();
        let mut above = 0;
        let mut start = 0;
        for position in 0..self.rows.len() {
            let ends = match self.rows.get(position + 1) {
                Some(next) => self.parted(self.rows[position], *next),
                None => true,
            };
            if ends {
                let rows = start..position + 1;
                let first_line = self.rows[start].line;
                blocks.push(Block {
                    width: self.usual_width(rows.clone()),
                    rows,
                    above: above..first_line,
                });
                start = position + 1;
                above = self.rows[position].line + 1;
            }
        }
        self.drop_strays(&mut blocks);
        if let Some(first) = blocks.first() {
            self.settle_above(first);
        }
        self.blocks = self.without_odd(blocks);
    }

    /// Whether a line of words stands between two rows, or a blank line and the number of cells changes. A comment all by
    /// itself is a remark, unless it says that what follows is dark or light.
    fn parted(&self, row: Row, next: Row) -> bool {
        let between = &self.sorts[row.line + 1..next.line];
        let lines = &self.lines[row.line + 1..next.line];
        let remark = |line: &str| {
            between.len() == 1
                && is_comment(line, self.form.delimiter)
                && title::illumination(line).is_none()
        };
        let words = between
            .iter()
            .zip(lines)
            .any(|(sort, line)| *sort == Sort::Words && !is_rule(line) && !remark(line));
        words || (between.contains(&Sort::Blank) && row.raw != next.raw)
    }

    /// The number of cells that most rows have.
    fn usual_width(&self, rows: Range<usize>) -> usize {
        let mut counts: Vec<(usize, usize)> = Vec::new();
        for row in &self.rows[rows] {
            match counts.iter_mut().find(|(width, _)| *width == row.raw) {
                Some((_, count)) => *count += 1,
                None => counts.push((row.raw, 1)),
            }
        }
        let most = counts.iter().max_by_key(|(width, count)| (*count, *width));
        most.map_or(0, |(width, _)| *width)
    }

    /// Blocks of one or two rows beside a table: lines of words that hold numbers, or numbers apart.
    fn drop_strays(&mut self, blocks: &mut Vec<Block>) {
        let Some(largest) = blocks.iter().max_by_key(|block| block.rows.len()).cloned() else {
            return;
        };
        if largest.rows.len() < TABLE {
            return;
        }
        let labelled = self.labelled(&largest);
        let mut kept: Vec<Block> = Vec::new();
        let mut above = None;
        for mut block in blocks.drain(..) {
            if block.rows.len() > STRAY {
                // What stood above the stray lines stands above this block as well.
                block.above.start = above.take().unwrap_or(block.above.start);
                kept.push(block);
                continue;
            }
            for row in &self.rows[block.rows] {
                let words = !labelled && self.numbers[row.first].is_nan();
                self.sorts[row.line] = if words { Sort::Words } else { Sort::Apart };
            }
            above = above.or(Some(block.above.start));
        }
        *blocks = kept;
    }

    /// Whether the rows of a block begin with something that is no number, such as a time of day.
    fn labelled(&self, block: &Block) -> bool {
        let rows = &self.rows[block.rows.clone()];
        let labelled = rows.iter().filter(|row| self.numbers[row.first].is_nan());
        2 * labelled.count() > rows.len()
    }

    /// Rows with another number of cells than the others of their block are no points of it.
    fn without_odd(&mut self, blocks: Vec<Block>) -> Vec<Block> {
        let mut kept = Vec::with_capacity(self.rows.len());
        let blocks: Vec<Block> = blocks
            .into_iter()
            .map(|block| {
                let labelled = self.labelled(&block);
                let start = kept.len();
                for row in &self.rows[block.rows.clone()] {
                    let fits = if self.form.delimiter == Delimiter::Space {
                        row.raw == block.width
                    } else {
                        row.cells <= block.width
                    };
                    if fits {
                        kept.push(*row);
                        continue;
                    }
                    let words = !labelled && self.numbers[row.first].is_nan();
                    self.sorts[row.line] = if words { Sort::Words } else { Sort::Odd };
                }
                Block {
                    rows: start..kept.len(),
                    ..block
                }
            })
            .collect();
        self.rows = kept;
        blocks
    }

    /// "lamp off 7.3" and "O.64 -0.39" next to rows are rows that cannot be read, as many as follow each other, where no
    /// other words stand beside them but the heads of the columns.
    fn settle_words(&mut self) {
        let mut start = 0;
        while start < self.lines.len() {
            if !self.is_words(start) {
                start += 1;
                continue;
            }
            let run = (start..self.lines.len()).take_while(|place| self.is_words(*place));
            let end = start + run.count();
            let below = self.sorts.get(end).copied();
            let in_table = |sort: Option<Sort>| matches!(sort, Some(Sort::Row | Sort::Broken));
            let above = start.checked_sub(1).map(|above| self.sorts[above]);
            let ends = matches!(below, None | Some(Sort::Blank));
            let width = match self.rows_at(end) {
                Some(row) => row.raw,
                None => self.width_before(start),
            };
            let broken = (start..end)
                .rev()
                .take_while(|place| self.may_be_row(*place, width));
            let first = end - broken.count();
            let whole = first == start && in_table(above) && (in_table(below) || ends);
            let headed = below == Some(Sort::Row)
                && first.checked_sub(1).is_some_and(|head| {
                    self.sorts[head] == Sort::Words && self.may_head(head, width)
                });
            if whole || headed {
                self.sorts[first..end].fill(Sort::Broken);
            }
            start = end;
        }
    }

    /// Whether a line holds words and is no comment.
    fn is_words(&self, line: usize) -> bool {
        self.sorts[line] == Sort::Words && !is_comment(self.lines[line], self.form.delimiter)
    }

    /// Whether a line of words has as many cells as a row, and a number in one of them.
    fn may_be_row(&self, line: usize, width: usize) -> bool {
        let mut cells = Vec::new();
        self.form.split(self.lines[line], &mut cells);
        cells.len() == width && cells.iter().any(|cell| self.form.number(cell).is_some())
    }

    /// How many cells the last row before a line has.
    fn width_before(&self, line: usize) -> usize {
        let position = self.rows.partition_point(|row| row.line < line);
        let last = position.checked_sub(1).and_then(|last| self.rows.get(last));
        last.map_or(0, |row| row.raw)
    }

    /// Whether the cells of a line may head columns: no more of them than a row has, all of words.
    fn may_head(&self, line: usize, width: usize) -> bool {
        let line = uncommented(self.lines[line]);
        if self.form.delimiter == Delimiter::Space {
            return head::spaced(line).len() == width;
        }
        let mut cells = Vec::new();
        self.form.split(line, &mut cells);
        let filled = cells.iter().rposition(|cell| !cell.is_empty());
        let numbers = cells.iter().any(|cell| self.form.number(cell).is_some());
        filled.is_some_and(|last| last < width) && cells.len() > 1 && !numbers
    }

    /// The row on a line.
    fn rows_at(&self, line: usize) -> Option<Row> {
        let position = self.rows.binary_search_by_key(&line, |row| row.line).ok()?;
        self.rows.get(position).copied()
    }

    /// "101" or "3 cells" above the first row are words, unless they stand right above it and look like a row of it.
    fn settle_above(&mut self, first: &Block) {
        let first_line = self.rows[first.rows.start].line;
        let mut cells = Vec::new();
        for place in (0..first_line).rev() {
            if self.sorts[place] != Sort::Broken {
                continue;
            }
            self.form.split(self.lines[place], &mut cells);
            let joins = matches!(self.sorts[place + 1], Sort::Broken | Sort::Row);
            let missing = cells.iter().any(|cell| is_missing(cell));
            let of_table = joins && cells.len() == first.width;
            if !of_table && !missing {
                self.sorts[place] = Sort::Words;
            }
        }
    }

    /// The number in a column of a row, counted from 1.
    pub(super) fn number(&self, row: Row, column: usize) -> Option<f64> {
        if column == 0 || column > row.cells {
            return None;
        }
        let number = self.numbers.get(row.first + column - 1)?;
        (!number.is_nan()).then_some(*number)
    }

    /// Words of a line: its cells, without a mark of comments before them.
    pub(super) fn words(&self, line: usize) -> &'a str {
        uncommented(self.lines[line])
    }
}

fn split_lines(text: &str) -> Vec<&str> {
    let mut lines = Vec::new();
    for line in text.lines() {
        // A carriage return alone ends a line too.
        match line.split_once('\r') {
            None => lines.push(line),
            Some(_) => lines.extend(line.split('\r')),
        }
    }
    if text.ends_with('\r') && lines.last().is_some_and(|last| last.is_empty()) {
        lines.pop();
    }
    lines
}

/// Marks before a comment.
const COMMENT: [&str; 3] = ["#", "%", "//"];

fn is_comment(line: &str, delimiter: Delimiter) -> bool {
    let line = line.trim_start();
    let first_cell = line.split([' ', '\t', ';', ',', '|']).next();
    if first_cell.is_some_and(|cell| cell.starts_with('#') && is_missing(cell)) {
        return false;
    }
    COMMENT.iter().any(|mark| line.starts_with(mark))
        || (delimiter != Delimiter::Semicolon && line.starts_with(';'))
}

fn uncommented(line: &str) -> &str {
    line.trim()
        .trim_start_matches(['#', '%', '/', ';', ' '])
        .trim()
}

/// A line drawn between parts of a text.
fn is_rule(line: &str) -> bool {
    line.chars().all(|c| {
        matches!(
            c,
            '-' | '=' | '_' | '*' | '+' | '|' | ' ' | '\t' | ':' | ';' | ','
        )
    })
}

/// Whether a cell stands for a number that is not there.
fn is_missing(cell: &str) -> bool {
    const WORDS: [&str; 21] = [
        "nan", "#n/a", "n/a", "na", "null", "none", "nil", "inf", "infinity", "overload",
        "overflow", "ovld", "ovl", "ovrld", "ovr", "over", "ol", "o.l", "error", "err", "#nv",
    ];
    let plain = cell
        .trim_start_matches(['+', '-', '−'])
        .to_ascii_lowercase();
    let drawn = !cell.is_empty()
        && cell
            .chars()
            .all(|c| matches!(c, '-' | '−' | '–' | '—' | '?' | '*'));
    // "#DIV/0!", "#VALUE!", "#NAME?": a spreadsheet's, in any language.
    let failed = cell.strip_prefix('#').is_some_and(|name| {
        name.strip_suffix(['!', '?']).is_some_and(|name| {
            let capital = |c: char| c.is_uppercase() || c.is_ascii_digit() || c == '/';
            !name.is_empty() && name.chars().all(capital)
        })
    });
    drawn || failed || WORDS.contains(&plain.trim_end_matches('.'))
}

/// The beginning of a line, for a sentence.
pub(super) fn excerpt(text: &str) -> String {
    const LONGEST: usize = 60;
    let text = text.trim();
    let shown = |c: char| if c.is_control() { ' ' } else { c };
    let mut excerpt: String = text.chars().take(LONGEST).map(shown).collect();
    if text.chars().count() > LONGEST {
        excerpt.push('…');
    }
    excerpt
}
