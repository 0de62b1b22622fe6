//! Which columns, which sweep, which units: what the text says, what the field wants, what the person chose; and where that
//! leaves more than one, the question.

use super::head::{self, Head};
use super::problem::{Candidate, PointsProblem};
use super::rows::{Block, Row, Sort, Table, excerpt};
use super::{
    Axis, Column, Corrections, Direction, Illumination, Layout, Lines, MOST_POINTS, Pair, Skipped,
    Sweep, Taken, Understood, UnitFrom, UnitKnown, Wanted, Why, sweeps, title,
};
use crate::quantity::{Kind, Unit, unit};

/// A block with what heads it.
struct Headed<'a> {
    block: &'a Block,
    layout: Layout,
    caption: String,
    pairs: Result<Vec<Pair>, PointsProblem>,
}

/// What a column is for what is wanted.
#[derive(Clone, Copy, PartialEq)]
enum Role {
    X,
    Y,
    /// A current density where a current is wanted, or the other way round.
    Rival,
    Other,
    Unknown,
}

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

fn headed<'a>(table: &'a Table<'_>, wanted: &Wanted, corrections: &Corrections) -> Vec<Headed<'a>> {
    let mut last: Option<(usize, Head)> = None;
    let blocks = table.blocks.iter().filter(|block| !block.rows.is_empty());
    blocks
        .map(|block| {
            let mut head = Head::of(table, block, wanted);
            if let Some((width, above)) = &last
                && head.is_empty()
                && *width == block.width
            {
                head = above.inherited();
            }
            let layout = Layout {
                delimiter: table.form.delimiter,
                decimal: table.form.decimal,
                head: head.lines.iter().map(|place| place + 1).collect(),
                columns: head.columns(table, block, wanted),
            };
            let caption = head::caption(table, block, &head);
            last = Some((block.width, head));
            let pairs = pairs(&layout, wanted, corrections, || {
                evenly_stepped(table, block)
            });
            Headed {
                block,
                layout,
                caption,
                pairs,
            }
        })
        .collect()
}

fn is_current(kind: Kind) -> bool {
    matches!(kind, Kind::Current | Kind::CurrentDensity)
}

fn role(column: &Column, wanted: &Wanted) -> Role {
    let (x, y) = (&wanted.x, &wanted.y);
    if x.kind == y.kind {
        // Position and height: only the name tells.
        return match column.kind {
            _ if title::called(&column.title, x, y) => Role::X,
            _ if title::called(&column.title, y, x) => Role::Y,
            Some(kind) if kind != x.kind => Role::Other,
            _ => Role::Unknown,
        };
    }
    match column.kind {
        Some(kind) if kind == x.kind => Role::X,
        Some(kind) if kind == y.kind => Role::Y,
        Some(kind) if is_current(kind) && is_current(y.kind) => Role::Rival,
        Some(_) => Role::Other,
        None => Role::Unknown,
    }
}

/// The pairs of columns that could be meant, or the question which.
fn pairs(
    layout: &Layout,
    wanted: &Wanted,
    corrections: &Corrections,
    even: impl Fn() -> Vec<usize>,
) -> Result<Vec<Pair>, PointsProblem> {
    let columns = &layout.columns;
    let found = |wanted: Option<usize>| match wanted {
        Some(number) if columns.iter().all(|column| column.number != number) => {
            Err(does_not_fit(corrections, layout, number))
        }
        other => Ok(other),
    };
    let (chosen_x, chosen_y) = (found(corrections.x_column)?, found(corrections.y_column)?);
    if let (Some(x), Some(y)) = (chosen_x, chosen_y) {
        return Ok(vec![Pair { x, y }]);
    }
    let numbers = |wanted_role: Role| -> Vec<usize> {
        let of_role = columns
            .iter()
            .filter(|column| role(column, wanted) == wanted_role);
        of_role.map(|column| column.number).collect()
    };
    if let ([one, other], None, None) = (columns.as_slice(), chosen_x, chosen_y) {
        let straight = Pair {
            x: one.number,
            y: other.number,
        };
        let turned = Pair {
            x: other.number,
            y: one.number,
        };
        let roles = (role(one, wanted), role(other, wanted));
        return match roles {
            (Role::Y | Role::Rival | Role::Unknown, Role::X)
            | (Role::Y, Role::Unknown | Role::Other) => Ok(vec![turned]),
            (Role::Unknown, Role::Unknown) if wanted.sweep => match even().as_slice() {
                // Nothing says which is which, and only the second looks like what an instrument sets.
                [only] if *only == other.number => {
                    Err(which_first([straight, turned], layout, wanted, corrections))
                }
                _ => Ok(vec![straight]),
            },
            _ => Ok(vec![straight]),
        };
    }
    let mut xs = chosen_x.map_or_else(|| numbers(Role::X), |x| vec![x]);
    let mut ys = chosen_y.map_or_else(|| numbers(Role::Y), |y| vec![y]);
    if ys.is_empty() {
        ys = numbers(Role::Rival);
    }
    let unknown: Vec<usize> = numbers(Role::Unknown)
        .into_iter()
        .filter(|number| !xs.contains(number) && !ys.contains(number))
        .collect();
    if ys.is_empty() && !xs.is_empty() {
        // Without heads, one of them may as well be a number or a time.
        let titled = |number: &usize| {
            let column = columns.iter().find(|column| column.number == *number);
            column.is_some_and(|column| !column.title.is_empty())
        };
        if unknown.len() == 1 || unknown.iter().all(titled) {
            ys.clone_from(&unknown);
        }
    }
    if xs.is_empty() && !ys.is_empty() && unknown.len() == 1 {
        xs.clone_from(&unknown);
    }
    xs.retain(|x| chosen_y != Some(*x));
    ys.retain(|y| chosen_x != Some(*y));
    if xs.is_empty() {
        return Err(which_column(true, layout, wanted, corrections));
    }
    if ys.is_empty() {
        return Err(which_column(false, layout, wanted, corrections));
    }
    if let [x] = xs.as_slice() {
        return Ok(ys.into_iter().map(|y| Pair { x: *x, y }).collect());
    }
    if xs.len() == ys.len() {
        let both = xs.iter().zip(&ys);
        let in_turn = both.clone().all(|(x, y)| x < y) || both.clone().all(|(x, y)| x > y);
        if in_turn {
            return Ok(both.map(|(x, y)| Pair { x: *x, y: *y }).collect());
        }
    }
    // One first column before several second ones, more than once.
    let before = |y: usize| xs.iter().copied().filter(|x| *x < y).max();
    let pairs: Vec<Pair> = ys
        .iter()
        .filter_map(|y| {
            Some(Pair {
                x: before(*y)?,
                y: *y,
            })
        })
        .collect();
    let all = pairs.len() == ys.len() && xs.iter().all(|x| pairs.iter().any(|pair| pair.x == *x));
    if all {
        Ok(pairs)
    } else {
        Err(which_column(true, layout, wanted, corrections))
    }
}

/// The columns whose numbers all follow each other by one step, up or down.
fn evenly_stepped(table: &Table<'_>, block: &Block) -> Vec<usize> {
    const TOLERANCE: f64 = 0.01;
    const FEWEST: usize = 4;
    let rows = &table.rows[block.rows.clone()];
    let even = |column: &usize| {
        let numbers: Vec<f64> = rows
            .iter()
            .filter_map(|row| table.number(*row, *column))
            .collect();
        let steps: Vec<f64> = numbers
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).abs())
            .collect();
        let largest = steps.iter().copied().fold(0.0, f64::max);
        numbers.len() >= FEWEST
            && largest > 0.0
            && steps
                .iter()
                .all(|step| largest - step <= TOLERANCE * largest)
    };
    (1..=block.width).filter(even).collect()
}

fn does_not_fit(corrections: &Corrections, layout: &Layout, number: usize) -> PointsProblem {
    PointsProblem {
        layout: Some(layout.clone()),
        ..PointsProblem::new(
            "correction_does_not_fit",
            format!("There is no column {number} with numbers in it."),
            "Choose the columns again.",
        )
    }
    .with([Candidate {
        title: "Find the columns again".into(),
        corrections: Corrections {
            x_column: None,
            y_column: None,
            sweep: None,
            ..*corrections
        },
    }])
}

/// What a column holds, for a button: its head or number, and its first cells.
fn offered(column: &Column) -> String {
    format!(
        "{}: {} …",
        capital(&column.name()),
        column.sample.join(", ")
    )
}

fn capital(text: &str) -> String {
    let mut rest = text.chars();
    let first = rest.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(rest).collect()
}

fn small(text: &str) -> String {
    let mut rest = text.chars();
    let first = rest.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(rest).collect()
}

fn which_first(
    pairs: [Pair; 2],
    layout: &Layout,
    wanted: &Wanted,
    corrections: &Corrections,
) -> PointsProblem {
    let (x, y) = (wanted.x.title, small(wanted.y.title));
    let candidate = |pair: Pair| Candidate {
        title: if pair.x < pair.y {
            format!("{x} first, then {y}")
        } else {
            format!("{} first, then {}", wanted.y.title, small(x))
        },
        corrections: Corrections {
            x_column: Some(pair.x),
            y_column: Some(pair.y),
            ..*corrections
        },
    };
    PointsProblem {
        layout: Some(layout.clone()),
        ..PointsProblem::new(
            "column_order",
            format!(
                "The second column goes in even steps, as a {} that was set would; nothing says which column is which.",
                small(x)
            ),
            "Say which comes first.",
        )
    }
    .with(pairs.map(candidate))
}

fn which_column(
    first: bool,
    layout: &Layout,
    wanted: &Wanted,
    corrections: &Corrections,
) -> PointsProblem {
    let axis = if first { &wanted.x } else { &wanted.y };
    let taken = if first {
        corrections.y_column
    } else {
        corrections.x_column
    };
    // Those that could be it come first.
    let fits = |column: &&Column| {
        let role = role(column, wanted);
        role == Role::Unknown || role == if first { Role::X } else { Role::Y }
    };
    let open = |column: &&Column| Some(column.number) != taken;
    let columns = layout.columns.iter().filter(open);
    let ordered = columns
        .clone()
        .filter(fits)
        .chain(columns.filter(|column| !fits(column)));
    let candidates = ordered.map(|column| Candidate {
        title: offered(column),
        corrections: if first {
            Corrections {
                x_column: Some(column.number),
                ..*corrections
            }
        } else {
            Corrections {
                y_column: Some(column.number),
                ..*corrections
            }
        },
    });
    PointsProblem {
        layout: Some(layout.clone()),
        ..PointsProblem::new(
            "column_count",
            format!(
                "There are {} columns, and their heads do not say which one holds the {}.",
                layout.columns.len(),
                small(axis.title)
            ),
            format!("Choose the column of the {}.", small(axis.title)),
        )
    }
    .with(candidates)
}

/// More sweeps than this are not offered: nobody chooses among them.
const MOST_OFFERED: usize = 24;

struct Chooser<'a> {
    table: &'a Table<'a>,
    wanted: &'a Wanted,
    corrections: &'a Corrections,
    blocks: Vec<Headed<'a>>,
}

/// A sweep with where its points are.
struct Found {
    sweep: Sweep,
    /// Position of its block.
    block: usize,
    rows: Vec<Row>,
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

    fn which_pair(&self, pairs: &[Pair]) -> PointsProblem {
        let layout = self
            .blocks
            .iter()
            .find(|block| {
                block
                    .pairs
                    .as_ref()
                    .is_ok_and(|found| found.contains(&pairs[0]))
            })
            .map(|block| &block.layout);
        let column = |number: usize| {
            let columns = layout.map_or(&[][..], |layout| &layout.columns);
            let found = columns.iter().find(|column| column.number == number);
            found.map_or_else(|| format!("Column {number}"), offered)
        };
        let candidates: Vec<Candidate> = pairs
            .iter()
            .map(|pair| Candidate {
                title: column(pair.y),
                corrections: Corrections {
                    x_column: Some(pair.x),
                    y_column: Some(pair.y),
                    ..*self.corrections
                },
            })
            .collect();
        PointsProblem {
            layout: layout.cloned(),
            ..PointsProblem::new(
                "several_cells",
                format!(
                    "There are {} columns of {}: several cells, or one measured several times.",
                    pairs.len(),
                    small(self.wanted.y.title)
                ),
                "Choose one here; duplicate the card for the others.",
            )
        }
        .with(candidates)
    }

    fn point(&self, row: Row, pair: Pair) -> Option<(f64, f64)> {
        Some((
            self.table.number(row, pair.x)?,
            self.table.number(row, pair.y)?,
        ))
    }

    /// The sweeps of a pair in all blocks that have it.
    fn sweeps(&self, pair: Pair) -> Result<Vec<Found>, PointsProblem> {
        let mut all: Vec<Found> = Vec::new();
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
                .filter_map(|row| self.table.number(*row, pair.x))
                .collect();
            let x = self.likely_unit(pair, &headed.layout);
            let whole = 0..rows.len();
            let stretches = if self.wanted.sweep {
                sweeps::stretches(&numbers)
            } else {
                vec![whole]
            };
            let words = format!("{} {}", headed.caption, self.title(pair));
            for stretch in stretches {
                let rows = &rows[stretch.clone()];
                let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
                    continue;
                };
                let [from, to] = [numbers[stretch.start], numbers[stretch.end - 1]];
                let direction = self.wanted.sweep.then_some(if to < from {
                    Direction::Reverse
                } else {
                    Direction::Forward
                });
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
        if let [only] = positions.as_slice() {
            let way = found[*only].sweep.direction;
            return match self.wanted.direction {
                Some(wanted) if way != Some(wanted) => Err(self.other_direction(found, wanted)),
                _ => Ok((*only, Why::Only)),
            };
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

    fn sweep_candidate(&self, sweep: &Sweep) -> Candidate {
        Candidate {
            title: self.sweep_title(sweep),
            corrections: Corrections {
                sweep: Some(sweep.number),
                ..*self.corrections
            },
        }
    }

    fn all_offered(&self, found: &[Found]) -> Vec<Candidate> {
        found
            .iter()
            .take(MOST_OFFERED)
            .map(|found| self.sweep_candidate(&found.sweep))
            .collect()
    }

    /// "Sweep 2, falling from 0.8 V to −0.1 V, 91 points (lines 95 to 185), “Cell B”".
    fn sweep_title(&self, sweep: &Sweep) -> String {
        let Sweep {
            number,
            title,
            points,
            first_line,
            last_line,
            ..
        } = sweep;
        let unit = self.wanted.x.unit;
        let [from, to] = [sweep.from, sweep.to].map(|si| unit.say(si, 4));
        let what = match sweep.direction {
            Some(direction) => format!("Sweep {number}, {} from", direction.verb()),
            None => format!("Block {number}, from"),
        };
        let called = if title.is_empty() {
            String::new()
        } else {
            format!(", “{title}”")
        };
        format!(
            "{what} {from} to {to}, {points} points (lines {first_line} to {last_line}){called}"
        )
    }

    fn which_sweep(&self, found: &[Found], open: &[usize], pair: Pair) -> PointsProblem {
        let candidates = open
            .iter()
            .take(MOST_OFFERED)
            .map(|position| self.sweep_candidate(&found[*position].sweep));
        let first = &found[open[0]];
        let layout = self.blocks[first.block].layout.clone();
        let problem = if self.wanted.sweep {
            let turn = first
                .rows
                .last()
                .and_then(|row| self.table.number(*row, pair.x));
            let unit = self.likely_unit(pair, &layout);
            let turns = turn.map_or(f64::NAN, |turn| unit.to_si(turn));
            PointsProblem::new(
                "more_than_one_sweep",
                format!(
                    "The {} turns back at {} (point {}): the points hold {} sweeps that could be meant.",
                    small(self.wanted.x.title),
                    self.wanted.x.unit.say(turns, 4),
                    first.rows.len(),
                    open.len(),
                ),
                "Choose one sweep here; duplicate the card for the other.",
            )
        } else {
            PointsProblem::new(
                "several_blocks",
                format!("The text holds {} blocks of points.", open.len()),
                "Choose one here; duplicate the card for the others.",
            )
        };
        PointsProblem {
            layout: Some(layout),
            ..problem
        }
        .with(candidates)
    }

    fn other_direction(&self, found: &[Found], wanted: Direction) -> PointsProblem {
        let other = match wanted {
            Direction::Forward => Direction::Reverse,
            Direction::Reverse => Direction::Forward,
        };
        let layout = found
            .first()
            .map(|found| self.blocks[found.block].layout.clone());
        PointsProblem {
            layout,
            ..PointsProblem::new(
                "other_direction",
                format!(
                    "The {} is {} in these points; a {} sweep is wanted here.",
                    small(self.wanted.x.title),
                    other.verb(),
                    wanted.verb()
                ),
                "Paste the other sweep, or say that this one is meant.",
            )
        }
        .with(self.all_offered(found))
    }

    fn no_such_sweep(&self, found: &[Found], number: usize) -> PointsProblem {
        let (what, count) = if self.wanted.sweep {
            ("sweep", found.len())
        } else {
            ("block", found.len())
        };
        PointsProblem::new(
            "correction_does_not_fit",
            format!("There is no {what} {number} in these points: they hold {count}."),
            format!("Choose the {what} again."),
        )
        .with(self.all_offered(found))
    }

    /// The unit of the first quantity for sentences, before it is asked about.
    fn likely_unit(&self, pair: Pair, layout: &Layout) -> &'static Unit {
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
        let (axis, answer, chosen) = if first {
            (&self.wanted.x, x_unit, x_column)
        } else {
            (&self.wanted.y, y_unit, y_column)
        };
        let boxed = Taken {
            column: number,
            unit: axis.unit,
            known: if axis.chosen {
                UnitKnown::Chosen
            } else {
                UnitKnown::Usual
            },
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

    fn answered(&self, first: bool, from: UnitFrom) -> Corrections {
        if first {
            Corrections {
                x_unit: Some(from),
                ..*self.corrections
            }
        } else {
            Corrections {
                y_unit: Some(from),
                ..*self.corrections
            }
        }
    }

    fn unit_differs(
        &self,
        axis: &Axis,
        first: bool,
        column: &Column,
        unit: &Unit,
        layout: &Layout,
    ) -> PointsProblem {
        let (said, boxed) = (unit.symbol, axis.unit.symbol);
        PointsProblem {
            layout: Some(layout.clone()),
            ..PointsProblem::new(
                "unit_differs",
                format!(
                    "The head of {} says {said}; the box says {boxed}.",
                    column.name()
                ),
                format!(
                    "Say in which unit the numbers of the {} are.",
                    small(axis.title)
                ),
            )
        }
        .with([
            Candidate {
                title: format!("{said}, as the text says"),
                corrections: self.answered(first, UnitFrom::Header),
            },
            Candidate {
                title: format!("{boxed}, as the box says"),
                corrections: self.answered(first, UnitFrom::Box),
            },
        ])
    }

    fn other_kind(
        &self,
        axis: &Axis,
        first: bool,
        column: &Column,
        said: &str,
        layout: &Layout,
    ) -> PointsProblem {
        let kind = column.kind.map_or("another quantity", Kind::name);
        let says = if said.is_empty() {
            format!("names a {kind}")
        } else {
            format!("says {said}, a unit of {kind}")
        };
        PointsProblem {
            layout: Some(layout.clone()),
            ..PointsProblem::new(
                OTHER_KIND,
                format!(
                    "The head of {} {says}; here {} is wanted.",
                    column.name(),
                    axis.kind.name()
                ),
                "Choose another column, or say that the head is wrong.",
            )
        }
        .with([Candidate {
            title: format!("It is {} in {}", axis.kind.name(), axis.unit.symbol),
            corrections: self.answered(first, UnitFrom::Box),
        }])
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

/// The code of [`Chooser::other_kind`]: the card may have a field for what the text holds.
pub(crate) const OTHER_KIND: &str = "other_kind";

fn no_points() -> PointsProblem {
    PointsProblem::new(
        "no_points",
        "No line holds two numbers.",
        "Paste two columns of numbers, one point a line.",
    )
}
