//! Which columns could be meant: what their heads say, what the person chose, and where that is not enough, the question.

use super::head::{self, Head};
use super::problem::{Candidate, PointsProblem};
use super::rows::{Block, Table};
use super::{Column, Corrections, Layout, Pair, Wanted, title};
use crate::quantity::Kind;

/// A block with what heads it.
pub(super) struct Headed<'a> {
    pub(super) block: &'a Block,
    pub(super) layout: Layout,
    pub(super) caption: String,
    pub(super) pairs: Result<Vec<Pair>, PointsProblem>,
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

pub(super) fn headed<'a>(
    table: &'a Table<'_>,
    wanted: &Wanted,
    corrections: &Corrections,
) -> Vec<Headed<'a>> {
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
    PointsProblem::new(
        "correction_does_not_fit",
        format!("There is no column {number} with numbers in it."),
        "Choose the columns again.",
    )
    .seen(Some(layout))
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
pub(super) fn offered(column: &Column) -> String {
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

pub(super) fn small(text: &str) -> String {
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
    PointsProblem::new(
            "column_order",
            format!(
                "The second column goes in even steps, as a {} that was set would; nothing says which column is which.",
                small(x)
            ),
            "Say which comes first.",
        ).seen(Some(layout))
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
    PointsProblem::new(
        "column_count",
        format!(
            "There are {} columns, and their heads do not say which one holds the {}.",
            layout.columns.len(),
            small(axis.title)
        ),
        format!("Choose the column of the {}.", small(axis.title)),
    )
    .seen(Some(layout))
    .with(candidates)
}
