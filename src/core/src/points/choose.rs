//! Which pair of columns, which sweep and which units are taken: what the text says, what the field wants, what the person
//! chose. Where that leaves more than one, `questions` asks.

use super::columns::{Headed, headed, small};
use super::problem::PointsProblem;
use super::rows::{Row, Sort, Table, excerpt};
use super::{
    Column, Corrections, Direction, Illumination, Layout, Lines, MOST_POINTS, Pair, Sign, Skipped,
    Sweep, Taken, Understood, UnitFrom, UnitKnown, Wanted, Why, sweeps, title,
};
use crate::quantity::{Unit, unit};

pub(super) fn choose(
    table: &Table<'_>,
    wanted: &Wanted,
    corrections: &Corrections,
) -> Result<Understood, PointsProblem> {
    let blocks = headed(table, wanted, corrections);
    let chooser = Chooser {
        table,
        wanted,
        corrections,
        blocks,
    };
    chooser.choose()
}

pub(super) struct Chooser<'a> {
    pub(super) table: &'a Table<'a>,
    pub(super) wanted: &'a Wanted,
    pub(super) corrections: &'a Corrections,
    pub(super) blocks: Vec<Headed<'a>>,
}

/// A sweep with where its points are.
pub(super) struct Found {
    pub(super) sweep: Sweep,
    /// Position of its block.
    pub(super) block: usize,
    pub(super) rows: Vec<Row>,
}

impl Chooser<'_> {
    fn choose(self) -> Result<Understood, PointsProblem> {
        let all_pairs = self.all_pairs()?;
        let pair = self.pair(&all_pairs)?;
        let found = self.sweeps(pair)?;
        let (taken, why) = self.sweep(&found, pair)?;
        let Some(Found { block, rows, .. }) = found.get(taken) else {
            return Err(no_points());
        };
        let layout = &self.blocks[*block].layout;
        let x = self.unit(true, pair.x, layout)?;
        let y = self.unit(false, pair.y, layout)?;
        if rows.len() > MOST_POINTS {
            return Err(PointsProblem::new(
                "too_many_points",
                format!("There are more than {MOST_POINTS} points."),
                "Keep every second or tenth point.",
            ));
        }
        let points: Vec<(f64, f64)> = rows
            .iter()
            .filter_map(|row| self.point(*row, pair))
            .map(|(a, b)| (x.unit.to_si(a), y.unit.to_si(b)))
            .collect();
        let near_zero = points.iter().copied().min_by(|a, b| {
            let distance = |point: &(f64, f64)| point.0.abs();
            distance(a).total_cmp(&distance(b))
        });
        let skipped = self.skipped(pair, &found);
        Ok(Understood {
            layout: layout.clone(),
            x,
            y,
            pairs: all_pairs,
            lines: self.lines(points.len(), skipped.len()),
            sweeps: found.into_iter().map(|found| found.sweep).collect(),
            sweep: taken,
            why,
            near_zero,
            skipped,
            points,
        })
    }

    /// The pairs of all blocks; where no block has any, the question of the largest one.
    fn all_pairs(&self) -> Result<Vec<Pair>, PointsProblem> {
        let mut all: Vec<Pair> = Vec::new();
        for pair in self
            .blocks
            .iter()
            .flat_map(|block| block.pairs.iter().flatten())
        {
            if !all.contains(pair) {
                all.push(*pair);
            }
        }
        if !all.is_empty() {
            return Ok(all);
        }
        let largest = self
            .blocks
            .iter()
            .max_by_key(|block| block.block.rows.len());
        Err(match largest.map(|block| &block.pairs) {
            Some(Err(problem)) => problem.clone(),
            _ => no_points(),
        })
    }

    fn title(&self, pair: Pair) -> String {
        let of = |number: usize| {
            let mut columns = self.blocks.iter().flat_map(|block| &block.layout.columns);
            let titled = |column: &&Column| column.number == number && !column.title.is_empty();
            columns
                .find(titled)
                .map_or(String::new(), |column| column.title.clone())
        };
        format!("{} {}", of(pair.x), of(pair.y))
    }

    fn illumination(&self) -> Option<Illumination> {
        self.corrections.illumination.or(self.wanted.illumination)
    }

    /// The pair that is meant.
    fn pair(&self, all: &[Pair]) -> Result<Pair, PointsProblem> {
        let mut open = all.to_vec();
        if open.len() > 1 {
            open = self.fitting(&open, |pair| title::illumination(&self.title(*pair)));
        }
        if let (Some(direction), true) = (self.wanted.direction, open.len() > 1) {
            let runs = |pair: &Pair| {
                self.sweeps(*pair).is_ok_and(|found| {
                    found
                        .iter()
                        .any(|found| found.sweep.direction == Some(direction))
                })
            };
            let fitting: Vec<Pair> = open.iter().copied().filter(runs).collect();
            if !fitting.is_empty() {
                open = fitting;
            }
        }
        match open.as_slice() {
            [pair] => Ok(*pair),
            _ => Err(self.which_pair(&open)),
        }
    }

    /// Those that are dark or light as wanted, where any say that they are; else those that do not say the contrary.
    fn fitting<T: Clone>(
        &self,
        all: &[T],
        illumination: impl Fn(&T) -> Option<Illumination>,
    ) -> Vec<T> {
        let Some(wanted) = self.illumination() else {
            return all.to_vec();
        };
        let those = |fits: &dyn Fn(Option<Illumination>) -> bool| -> Vec<T> {
            let fitting = all.iter().filter(|one| fits(illumination(one)));
            fitting.cloned().collect()
        };
        let said = those(&|found| found == Some(wanted));
        if !said.is_empty() {
            return said;
        }
        let silent = those(&|found| found.is_none());
        if silent.is_empty() {
            all.to_vec()
        } else {
            silent
        }
    }

    fn point(&self, row: Row, pair: Pair) -> Option<(f64, f64)> {
        Some((
            self.first(row, pair)?,
            self.y_sign().of(self.table.number(row, pair.y)?),
        ))
    }

    /// The first number of a point.
    pub(super) fn first(&self, row: Row, pair: Pair) -> Option<f64> {
        Some(self.x_sign().of(self.table.number(row, pair.x)?))
    }

    fn x_sign(&self) -> Sign {
        self.corrections.x_sign.unwrap_or_default()
    }

    fn y_sign(&self) -> Sign {
        self.corrections.y_sign.unwrap_or_default()
    }

    /// The sweeps of a pair in all blocks that have it.
    fn sweeps(&self, pair: Pair) -> Result<Vec<Found>, PointsProblem> {
        let mut all: Vec<Found> = Vec::new();
        let heads = self.title(pair);
        for (position, headed) in self.blocks.iter().enumerate() {
            if !headed
                .pairs
                .as_ref()
                .is_ok_and(|pairs| pairs.contains(&pair))
            {
                continue;
            }
            let rows: Vec<Row> = self.table.rows[headed.block.rows.clone()]
                .iter()
                .copied()
                .filter(|row| self.point(*row, pair).is_some())
                .collect();
            let numbers: Vec<f64> = rows
                .iter()
                .filter_map(|row| self.first(*row, pair))
                .collect();
            let x = self.likely_unit(pair, &headed.layout);
            let whole = 0..rows.len();
            let stretches = if self.wanted.sweep {
                sweeps::stretches(&numbers)
            } else {
                vec![whole]
            };
            let words = format!("{} {heads}", headed.caption);
            for stretch in stretches {
                let rows = &rows[stretch.clone()];
                let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
                    continue;
                };
                let [from, to] = [numbers[stretch.start], numbers[stretch.end - 1]];
                let direction = self.wanted.sweep.then(|| Direction::between(from, to));
                all.push(Found {
                    sweep: Sweep {
                        number: 0,
                        title: headed.caption.clone(),
                        direction,
                        illumination: title::illumination(&words),
                        from: x.to_si(from),
                        to: x.to_si(to),
                        points: rows.len(),
                        first_line: first.line + 1,
                        last_line: last.line + 1,
                    },
                    block: position,
                    rows: rows.to_vec(),
                });
            }
        }
        // One reading after the sweep turned back is none.
        if self.wanted.sweep && all.iter().any(|found| found.rows.len() > 2) {
            all.retain(|found| found.rows.len() > 1);
        }
        for (position, found) in all.iter_mut().enumerate() {
            found.sweep.number = position + 1;
        }
        if all.is_empty() {
            return Err(no_points());
        }
        Ok(all)
    }

    /// The sweep that is meant.
    fn sweep(&self, found: &[Found], pair: Pair) -> Result<(usize, Why), PointsProblem> {
        if let Some(number) = self.corrections.sweep {
            let position = found.iter().position(|found| found.sweep.number == number);
            return position
                .map(|position| (position, Why::Chosen))
                .ok_or_else(|| self.no_such_sweep(found, number));
        }
        let positions: Vec<usize> = (0..found.len()).collect();
        // A single sweep is taken whichever way it runs: the card says where that looks wrong.
        if let [only] = positions.as_slice() {
            return Ok((*only, Why::Only));
        }
        let fitting = self.fitting(&positions, |position| found[*position].sweep.illumination);
        let narrowed = fitting.len() < positions.len();
        let Some(wanted) = self.wanted.direction else {
            return match fitting.as_slice() {
                [one] if narrowed => Ok((*one, Why::Illumination)),
                _ => Err(self.which_sweep(found, &fitting, pair)),
            };
        };
        let running: Vec<usize> = fitting
            .iter()
            .copied()
            .filter(|position| found[*position].sweep.direction == Some(wanted))
            .collect();
        match running.as_slice() {
            [one] => Ok((*one, Why::Direction)),
            [] => Err(self.other_direction(found, wanted)),
            _ => Err(self.which_sweep(found, &running, pair)),
        }
    }

    /// The unit of the first quantity for sentences, before it is asked about.
    pub(super) fn likely_unit(&self, pair: Pair, layout: &Layout) -> &'static Unit {
        let axis = &self.wanted.x;
        let column = layout.columns.iter().find(|column| column.number == pair.x);
        let said = column
            .and_then(|column| column.unit)
            .filter(|_| self.corrections.x_unit != Some(UnitFrom::Box));
        said.and_then(|said| unit(axis.kind, said.code))
            .unwrap_or(axis.unit)
    }

    /// The unit of a column, and how it is known.
    fn unit(&self, first: bool, number: usize, layout: &Layout) -> Result<Taken, PointsProblem> {
        let Corrections {
            x_unit,
            y_unit,
            x_column,
            y_column,
            ..
        } = *self.corrections;
        let (axis, answer, chosen, sign) = if first {
            (&self.wanted.x, x_unit, x_column, self.x_sign())
        } else {
            (&self.wanted.y, y_unit, y_column, self.y_sign())
        };
        let boxed = Taken {
            column: number,
            unit: axis.unit,
            known: if axis.chosen {
                UnitKnown::Chosen
            } else {
                UnitKnown::Usual
            },
            sign,
        };
        let column = layout.columns.iter().find(|column| column.number == number);
        let (Some(column), None | Some(UnitFrom::Header)) = (column, answer) else {
            return Ok(boxed);
        };
        let said = column.unit.map(|said| (said, unit(axis.kind, said.code)));
        match said {
            Some((_, Some(unit))) => {
                let differs = axis.chosen && unit.code != axis.unit.code;
                if differs && answer.is_none() {
                    return Err(self.unit_differs(axis, first, column, unit, layout));
                }
                Ok(Taken {
                    unit,
                    known: UnitKnown::Header,
                    ..boxed
                })
            }
            Some((said, None)) => Err(self.other_kind(axis, first, column, said.symbol, layout)),
            None => match column.kind {
                // The name alone, unless the person chose the column.
                Some(kind) if kind != axis.kind && self.wanted.sweep && chosen != Some(number) => {
                    Err(self.other_kind(axis, first, column, "", layout))
                }
                _ => Ok(boxed),
            },
        }
    }

    /// Lines that should hold a point and do not, in order.
    fn skipped(&self, pair: Pair, found: &[Found]) -> Vec<Skipped> {
        let table = self.table;
        let mut skipped = Vec::new();
        let mut list = |line: usize, reason: String| {
            skipped.push(Skipped {
                line: line + 1,
                text: excerpt(table.lines[line]),
                reason,
            });
        };
        for (line, sort) in table.sorts.iter().enumerate() {
            match sort {
                Sort::Broken => list(line, self.reason(line, pair)),
                Sort::Apart => list(line, "it stands apart from the table".into()),
                Sort::Odd => list(line, self.odd(line)),
                _ => {}
            }
        }
        let mut in_sweep = vec![false; table.lines.len()];
        for row in found.iter().flat_map(|found| &found.rows) {
            in_sweep[row.line] = true;
        }
        for headed in &self.blocks {
            if !headed
                .pairs
                .as_ref()
                .is_ok_and(|pairs| pairs.contains(&pair))
            {
                continue;
            }
            for row in &table.rows[headed.block.rows.clone()] {
                if self.point(*row, pair).is_some() {
                    if !in_sweep[row.line] {
                        list(
                            row.line,
                            "one reading, after which the sweep turns back".into(),
                        );
                    }
                    continue;
                }
                // Another pair of columns may go on where this one has ended.
                if !self.empty(*row, pair) {
                    list(row.line, self.reason(row.line, pair));
                }
            }
        }
        skipped.sort_by_key(|skipped| skipped.line);
        skipped
    }

    /// Whether both cells of a pair are empty.
    fn empty(&self, row: Row, pair: Pair) -> bool {
        let mut cells = Vec::new();
        self.table
            .form
            .split(self.table.lines[row.line], &mut cells);
        let empty = |number: usize| cells.get(number - 1).is_none_or(|cell| cell.is_empty());
        pair.x > 0 && pair.y > 0 && empty(pair.x) && empty(pair.y)
    }

    /// Why a line holds no point.
    fn reason(&self, line: usize, pair: Pair) -> String {
        let mut cells = Vec::new();
        self.table.form.split(self.table.lines[line], &mut cells);
        let columns = [(&self.wanted.x, pair.x), (&self.wanted.y, pair.y)];
        for (axis, number) in columns {
            let title = small(axis.title);
            match cells.get(number.saturating_sub(1)).copied() {
                None | Some("") => return format!("the {title} is missing"),
                Some(cell) if self.table.form.number(cell).is_none() => {
                    return format!("the {title} is no number: “{}”", excerpt(cell));
                }
                Some(_) => {}
            }
        }
        "it does not fit the other lines".into()
    }

    fn odd(&self, line: usize) -> String {
        let mut cells = Vec::new();
        self.table.form.split(self.table.lines[line], &mut cells);
        format!("it has {} cells, unlike the others", cells.len())
    }

    fn lines(&self, points: usize, skipped: usize) -> Lines {
        let count = |sort: Sort| self.table.sorts.iter().filter(|one| **one == sort).count();
        let (blank, words) = (count(Sort::Blank), count(Sort::Words));
        let all = self.table.lines.len();
        Lines {
            blank,
            words,
            points,
            skipped,
            others: all.saturating_sub(blank + words + points + skipped),
        }
    }
}

fn no_points() -> PointsProblem {
    PointsProblem::new(
        "no_points",
        "No line holds two numbers.",
        "Paste two columns of numbers, one point a line.",
    )
}
