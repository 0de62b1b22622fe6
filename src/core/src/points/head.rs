//! What stands above the numbers: the heads of the columns, and what the block is called.

use super::cells::Form;
use super::rows::{Block, Sort, Table, excerpt};
use super::title::{self, Meaning};
use super::{Column, DecimalMark, Delimiter, Wanted};

/// The head of a block.
#[derive(Clone, Debug, Default)]
pub(super) struct Head {
    /// Positions of its lines, from the top.
    pub(super) lines: Vec<usize>,
    titles: Vec<String>,
    units: Vec<String>,
    /// What stands over several columns.
    over: Vec<String>,
}

/// How many lines of words above the numbers are looked at.
const LOOKED_AT: usize = 6;

impl Head {
    pub(super) fn of(table: &Table<'_>, block: &Block, wanted: &Wanted) -> Head {
        let above = block.above.clone().rev();
        let mut rows: Vec<(usize, Vec<String>)> = Vec::new();
        for place in above
            .filter(|place| table.sorts[*place] == Sort::Words)
            .take(LOOKED_AT)
        {
            match cells(table, place, block.width, wanted) {
                Some(cells) => rows.push((place, cells)),
                None if rows.is_empty() => {}
                None => break,
            }
            if rows.len() == 3 {
                break;
            }
        }
        let units = |position: usize| {
            let Some((_, cells)) = rows.get(position) else {
                return false;
            };
            let filled: Vec<&String> = cells.iter().filter(|cell| !cell.is_empty()).collect();
            let letters = |cell: &&&String| cell.chars().count() > 1 || cell.as_str() == "A";
            filled.iter().all(|cell| title::is_unit(cell, wanted))
                && (filled.iter().any(|cell| letters(&cell)) || rows.len() > position + 1)
        };
        // Nearest first: titles; or units and titles; or remarks, units and titles.
        let (remarks, units, titles) = if units(0) {
            (None, Some(0), 1)
        } else if units(1) {
            (Some(0), Some(1), 2)
        } else {
            (None, None, 0)
        };
        let row = |position: Option<usize>| position.and_then(|position| rows.get(position));
        let texts = |position: Option<usize>| row(position).map(|(_, cells)| cells.clone());
        let mut head = Head {
            titles: texts(Some(titles)).unwrap_or_else(|| vec![String::new(); block.width]),
            units: texts(units).unwrap_or_else(|| vec![String::new(); block.width]),
            over: vec![String::new(); block.width],
            lines: Vec::new(),
        };
        let mut used: Vec<Option<usize>> = vec![remarks, units, Some(titles)];
        if let Some(remarks) = texts(remarks) {
            for (title, remark) in head.titles.iter_mut().zip(remarks) {
                *title = format!("{title} {remark}").trim().to_owned();
            }
        }
        if let Some(over) = texts(Some(titles + 1)).filter(|over| stands_over(over, &head.titles)) {
            let mut last = String::new();
            for (cell, over) in head.over.iter_mut().zip(over) {
                if !over.is_empty() {
                    last = over;
                }
                cell.clone_from(&last);
            }
            used.push(Some(titles + 1));
        }
        let mut lines: Vec<usize> = used
            .into_iter()
            .filter_map(|position| row(position).map(|(place, _)| *place))
            .collect();
        lines.sort_unstable();
        head.lines = lines;
        head
    }

    /// The same heads over a further block, which has none of its own.
    pub(super) fn inherited(&self) -> Head {
        Head {
            lines: Vec::new(),
            ..self.clone()
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// The columns that hold numbers.
    pub(super) fn columns(&self, table: &Table<'_>, block: &Block, wanted: &Wanted) -> Vec<Column> {
        const SAMPLE: usize = 3;
        let heads: Vec<(String, String)> = self
            .titles
            .iter()
            .cloned()
            .zip(self.units.iter().cloned())
            .collect();
        let meanings = title::meanings(&heads, wanted);
        let rows = &table.rows[block.rows.clone()];
        let mut samples = vec![Vec::new(); block.width];
        let mut cells = Vec::new();
        for row in rows.iter().take(SAMPLE) {
            table.form.split(table.lines[row.line], &mut cells);
            let cells = cells.iter().copied().chain(core::iter::repeat(""));
            for (sample, cell) in samples.iter_mut().zip(cells) {
                sample.push(excerpt(cell));
            }
        }
        (1..=block.width)
            .zip(samples)
            .filter_map(|(number, sample)| {
                rows.iter()
                    .find(|row| table.number(**row, number).is_some())?;
                let meaning = meanings.get(number - 1).copied().unwrap_or_default();
                let Meaning { kind, unit } = meaning;
                let parts = [&self.over, &self.titles, &self.units];
                let parts = parts.map(|part| part.get(number - 1).map_or("", String::as_str));
                let title = parts
                    .into_iter()
                    .filter(|part| !part.is_empty())
                    .collect::<Vec<_>>()
                    .join(" ");
                Some(Column {
                    number,
                    title,
                    kind,
                    unit,
                    sample,
                })
            })
            .collect()
    }
}

/// Whether a row names groups of columns: some of its cells are empty, or the titles below repeat.
fn stands_over(over: &[String], titles: &[String]) -> bool {
    let repeat = |title: &String| titles.iter().filter(|other| *other == title).count() > 1;
    titles.len() > 2 && (over.iter().any(String::is_empty) || titles.iter().any(repeat))
}

/// The cells of a line that heads so many columns.
fn cells(table: &Table<'_>, place: usize, width: usize, wanted: &Wanted) -> Option<Vec<String>> {
    let uncommented = table.words(place);
    let line = table.lines[place];
    let own = table.form.delimiter;
    let others = Delimiter::ALL.iter().copied().filter(|one| *one != own);
    let mut found = Vec::new();
    for text in [uncommented, line.trim_matches([' ', '\r', '\n'])] {
        for delimiter in core::iter::once(own).chain(others.clone()) {
            let cells = if delimiter == Delimiter::Space {
                spaced(text)
            } else {
                let form = Form {
                    delimiter,
                    decimal: DecimalMark::Point,
                };
                form.split(text, &mut found);
                found.iter().map(|cell| (*cell).to_owned()).collect()
            };
            let cells = fitted(cells, width);
            let words = |cells: &Vec<String>| {
                cells.iter().any(|cell| has_letter(cell))
                    && cells.iter().all(|cell| table.form.number(cell).is_none())
            };
            let Some(cells) = cells.filter(words) else {
                continue;
            };
            // Two words above two columns are not yet their heads, and a remark may hold a comma.
            let sure =
                delimiter == own && delimiter != Delimiter::Space && uncommented == line.trim();
            if sure || says_something(&cells, wanted) {
                return Some(cells);
            }
        }
    }
    None
}

/// As many cells as columns; empty ones at the end do not count.
fn fitted(mut cells: Vec<String>, width: usize) -> Option<Vec<String>> {
    while cells.len() > width && cells.last().is_some_and(String::is_empty) {
        cells.pop();
    }
    (cells.len() == width).then_some(cells)
}

fn has_letter(cell: &str) -> bool {
    cell.chars().any(char::is_alphabetic)
}

fn says_something(cells: &[String], wanted: &Wanted) -> bool {
    let heads: Vec<(String, String)> = cells
        .iter()
        .map(|cell| (cell.clone(), String::new()))
        .collect();
    title::meanings(&heads, wanted)
        .iter()
        .any(|meaning| meaning.kind.is_some())
}

/// Cells between spaces. Where two spaces or a tab separate some, single ones belong to the words; else what is in
/// brackets or behind a slash stays together with the word before it.
pub(super) fn spaced(text: &str) -> Vec<String> {
    let wide: Vec<String> = text
        .split('\t')
        .flat_map(|part| part.split("  "))
        .map(|part| part.trim().to_owned())
        .filter(|part| !part.is_empty())
        .collect();
    if wide.len() > 1 {
        return wide;
    }
    let mut cells: Vec<String> = Vec::new();
    // Brackets of the last cell that are open.
    let mut open = 0;
    let mut joins = false;
    for token in text.split_whitespace() {
        let power = token.len() > 2
            && token.ends_with(|c: char| c.is_ascii_digit() || matches!(c, '¹' | '²' | '³'))
            && token.contains(['-', '⁻', '^'])
            && token.starts_with(['c', 'm']);
        let follows = open > 0 || joins || token.starts_with(['(', '[', '{', '/']) || power;
        match cells.last_mut() {
            Some(last) if follows => {
                last.push(' ');
                last.push_str(token);
            }
            _ => {
                cells.push(token.to_owned());
                open = 0;
            }
        }
        joins = token == "/" || token.ends_with('/');
        for mark in token.chars() {
            open += match mark {
                '(' | '[' | '{' => 1,
                ')' | ']' | '}' => -1,
                _ => 0,
            };
        }
    }
    cells
}

/// What a block is called: the words above it that do not head its columns.
pub(super) fn caption(table: &Table<'_>, block: &Block, head: &Head) -> String {
    let words = block.above.clone().rev().filter(|place| {
        table.sorts[*place] == Sort::Words
            && !head.lines.contains(place)
            && has_letter(table.lines[*place])
    });
    words
        .map(|place| excerpt(table.words(place)))
        .next()
        .unwrap_or_default()
}
