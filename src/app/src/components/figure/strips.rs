//! Every cell of every process on one axis, with the mean of each process and its interval. The numbers stand among the
//! results and in the table of cells.

use glasswick_core::calculators::Field;
use glasswick_core::figure::{Scale, Ticks, extent};
use yew::prelude::*;

use super::axis::label;
use super::{Frame, text};
use crate::view::{Cell, Process, Strips};

const WIDTH: f64 = 480.0;
/// Room at the two sides, and below for the axis.
const SIDE: f64 = 24.0;
const FOOT: f64 = 48.0;
/// Height of a process: its name, then its cells.
const NAME: f64 = 24.0;
const BAND: f64 = 44.0;

pub(super) fn strips_figure(strips: &Strips, card: &str) -> Html {
    let field: &Field = strips.field;
    let numbers = strips.processes.iter().flat_map(|process| {
        let cells = process.cells.iter().map(|cell| cell.value);
        cells.chain(process.interval.into_iter().flatten())
    });
    let Some([low, high]) = extent(numbers) else {
        return Html::default();
    };
    let Some(unit) = field.unit_for(low.abs().max(high.abs())) else {
        return Html::default();
    };
    let ticks = Ticks::around(unit.from_si(low), unit.from_si(high), 5);
    let scale = Scale {
        numbers: ticks.ends(),
        places: [SIDE, WIDTH - SIDE],
    };
    let at = |si: f64| scale.place(unit.from_si(si));
    let foot = (NAME + BAND) * strips.processes.len() as f64;
    let tick = |number: &f64| {
        let place = text(scale.place(*number));
        html! {
            <>
                <line class="grid" x1={place.clone()} x2={place.clone()} y1="0" y2={text(foot)} />
                <text x={place} y={text(foot + 18.0)} text-anchor="middle">{ ticks.text(*number) }</text>
            </>
        }
    };
    let band = |(number, process): (usize, &Process)| {
        let top = (NAME + BAND) * number as f64 + NAME;
        // Cells of one substrate stand on one height.
        let height = |substrate: usize| {
            let share = (substrate as f64 + 0.5) / process.substrates.len().max(1) as f64;
            top + BAND * share
        };
        let cell = |cell: &Cell| {
            let class = if cell.excluded {
                "cell left-out"
            } else {
                "cell"
            };
            html! {
                <circle {class} cx={text(at(cell.value))} cy={text(height(cell.substrate))} r="5" />
            }
        };
        let middle = top + BAND / 2.0;
        html! {
            <g>
                <text class="strip-name" x={text(SIDE)} y={text(top - 7.0)}>{ &process.name }</text>
                if let Some([from, to]) = process.interval {
                    <path class="whisker" d={format!("M{:.2} {middle:.2}H{:.2}", at(from), at(to))} />
                }
                if let Some(mean) = process.mean {
                    <path class="whisker" d={format!("M{:.2} {:.2}V{:.2}", at(mean), top + 4.0, top + BAND - 4.0)} />
                }
                { for process.cells.iter().map(cell) }
            </g>
        }
    };
    let picture = html! {
        <>
            <g class="axes-lines">
                { for ticks.numbers.iter().map(tick) }
                <text x={text(WIDTH / 2.0)} y={text(foot + 40.0)} text-anchor="middle">{ label(field, unit) }</text>
            </g>
            { for strips.processes.iter().enumerate().map(band) }
        </>
    };
    let said = |process: &Process| {
        let excluded = process.cells.iter().filter(|cell| cell.excluded).count();
        let counted = process.cells.len() - excluded;
        let mut words = format!("{}: {counted} cells", process.name);
        if excluded > 0 {
            words.push_str(&format!(", {excluded} excluded"));
        }
        if let Some(mean) = process.mean {
            words.push_str(&format!(", mean {}", unit.say(mean, 3)));
        }
        words
    };
    let described: Vec<String> = strips.processes.iter().map(said).collect();
    let title = format!("{} of every cell", field.title);
    html! {
        <Frame card={card.to_owned()} {title} described={described.join("; ") + "."} width={WIDTH}
            height={foot + FOOT} {picture}>
            <p class="help">
                { "A dot is a cell, hollow where it is excluded; cells of one substrate stand on one height. Upright line: \
                   mean; level line: its 95\u{202F}% interval." }
            </p>
        </Frame>
    }
}
