//! What is asked where more than one pair of columns, sweep or unit could be meant, with the answers.

use super::choose::{Chooser, Found};
use super::columns::{offered, small};
use super::problem::{Candidate, PointsProblem};
use super::{Axis, Column, Corrections, Direction, Layout, Pair, Sweep, UnitFrom};
use crate::quantity::{Kind, Unit};

/// More sweeps than this are not offered: nobody chooses among them.
const MOST_OFFERED: usize = 24;

/// The code of [`Chooser::other_kind`]: the card may have a field for what the text holds.
pub(crate) const OTHER_KIND: &str = "other_kind";

/// The code of [`Chooser::which_sweep`]: a card that is given two sweeps says the same.
pub(crate) const MORE_THAN_ONE_SWEEP: &str = "more_than_one_sweep";

impl Chooser<'_> {
    pub(super) fn which_pair(&self, pairs: &[Pair]) -> PointsProblem {
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
        PointsProblem::new(
            "several_cells",
            format!(
                "There are {} columns of {}: several cells, or one measured several times.",
                pairs.len(),
                small(self.wanted.y.title)
            ),
            "Choose one here; duplicate the card for the others.",
        )
        .seen(layout)
        .with(candidates)
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

    pub(super) fn which_sweep(&self, found: &[Found], open: &[usize], pair: Pair) -> PointsProblem {
        let candidates = open
            .iter()
            .take(MOST_OFFERED)
            .map(|position| self.sweep_candidate(&found[*position].sweep));
        let first = &found[open[0]];
        let layout = &self.blocks[first.block].layout;
        let problem = if self.wanted.sweep {
            let turn = first.rows.last().and_then(|row| self.first(*row, pair));
            let unit = self.likely_unit(pair, layout);
            let turns = turn.map_or(f64::NAN, |turn| unit.to_si(turn));
            PointsProblem::new(
                MORE_THAN_ONE_SWEEP,
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
        problem.seen(Some(layout)).with(candidates)
    }

    pub(super) fn other_direction(&self, found: &[Found], wanted: Direction) -> PointsProblem {
        let other = match wanted {
            Direction::Forward => Direction::Reverse,
            Direction::Reverse => Direction::Forward,
        };
        let layout = found.first().map(|found| &self.blocks[found.block].layout);
        PointsProblem::new(
            "other_direction",
            format!(
                "The {} is {} in these points; a {} sweep is wanted here.",
                small(self.wanted.x.title),
                other.verb(),
                wanted.verb()
            ),
            "Paste the other sweep, or say that this one is meant.",
        )
        .seen(layout)
        .with(self.all_offered(found))
    }

    pub(super) fn no_such_sweep(&self, found: &[Found], number: usize) -> PointsProblem {
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

    pub(super) fn unit_differs(
        &self,
        axis: &Axis,
        first: bool,
        column: &Column,
        unit: &Unit,
        layout: &Layout,
    ) -> PointsProblem {
        let (said, boxed) = (unit.symbol, axis.unit.symbol);
        PointsProblem::new(
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
        .seen(Some(layout))
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

    pub(super) fn other_kind(
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
        PointsProblem::new(
            OTHER_KIND,
            format!(
                "The head of {} {says}; here {} is wanted.",
                column.name(),
                axis.kind.name()
            ),
            "Choose another column, or say that the head is wrong.",
        )
        .seen(Some(layout))
        .with([Candidate {
            title: format!("It is {} in {}", axis.kind.name(), axis.unit.symbol),
            corrections: self.answered(first, UnitFrom::Box),
        }])
    }
}
