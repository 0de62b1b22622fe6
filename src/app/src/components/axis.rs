//! The axes of a figure.

use glasswick_core::calculators::Field;
use glasswick_core::figure::{Scale, Ticks, extent};
use glasswick_core::quantity::{Kind, Unit};
use yew::prelude::*;

/// Numbers whose least is below this part of their greatest are near zero.
const NEAR: f64 = 0.25;

/// One axis: what it measures, in which unit, and where a number stands on it.
pub(super) struct Axis {
    pub(super) field: &'static Field,
    pub(super) unit: &'static Unit,
    ticks: Ticks,
    pub(super) scale: Scale,
}

impl Axis {
    pub(super) fn new(field: &'static Field, numbers: &[f64], places: [f64; 2]) -> Option<Self> {
        let [low, high] = extent(numbers.iter().copied())?;
        let reach = low.abs().max(high.abs());
        let unit = field
            .unit_for(reach)
            .or(field.number_kind().map(Kind::coherent))?;
        // Zero is on the axis unless all numbers lie far to one side of it, as wavelengths do.
        let [from, to] = [low, high].map(|si| unit.from_si(si));
        let near = from.abs().min(to.abs()) < NEAR * from.abs().max(to.abs());
        let ends = if near {
            [from.min(0.0), to.max(0.0)]
        } else {
            [from, to]
        };
        let ticks = Ticks::around(ends[0], ends[1], 5);
        let scale = Scale {
            numbers: ticks.ends(),
            places,
        };
        Some(Axis {
            field,
            unit,
            ticks,
            scale,
        })
    }

    pub(super) fn place(&self, si: f64) -> f64 {
        self.scale.place(self.unit.from_si(si))
    }

    pub(super) fn label(&self) -> String {
        match self.unit.symbol {
            "1" => self.field.title.to_owned(),
            symbol => format!("{} / {symbol}", self.field.title),
        }
    }
}

/// One side of a frame: its marks, and what it measures.
pub(super) struct Side {
    /// Place and text of each mark, and whether it is zero.
    pub(super) marks: Vec<(f64, String, bool)>,
    /// The places of its two ends.
    pub(super) places: [f64; 2],
    pub(super) label: String,
}

impl Axis {
    fn side(&self) -> Side {
        let mark = |number: &f64| {
            let place = self.scale.place(*number);
            (place, self.ticks.text(*number), *number == 0.0)
        };
        Side {
            marks: self.ticks.numbers.iter().map(mark).collect(),
            places: self.scale.places,
            label: self.label(),
        }
    }
}

/// The grid of two axes, inside a figure of this height.
pub(super) fn grid(x: &Axis, y: &Axis, height: f64) -> Html {
    frame(&x.side(), &y.side(), height)
}

/// The grid, its numbers and what they measure, inside a figure of this height.
pub(super) fn frame(x: &Side, y: &Side, height: f64) -> Html {
    let ([left, right], [bottom, top]) = (x.places, y.places);
    let text = |number: f64| format!("{number:.2}");
    let upright = x.marks.iter().map(|(place, number, zero)| {
        let at = text(*place);
        html! {
            <>
                <line class={line_class(*zero)} x1={at.clone()} x2={at.clone()} y1={text(top)} y2={text(bottom)} />
                <text x={at} y={text(bottom + 18.0)} text-anchor="middle">{ number }</text>
            </>
        }
    });
    let level = y.marks.iter().map(|(place, number, zero)| {
        let at = text(*place);
        html! {
            <>
                <line class={line_class(*zero)} x1={text(left)} x2={text(right)} y1={at.clone()} y2={at} />
                <text x={text(left - 8.0)} y={text(place + 4.5)} text-anchor="end">{ number }</text>
            </>
        }
    });
    let middle = f64::midpoint(top, bottom);
    html! {
        <g class="axes-lines">
            { for upright }
            { for level }
            <text x={text(f64::midpoint(left, right))} y={text(height - 8.0)} text-anchor="middle">{ &x.label }</text>
            <text x="14" y={text(middle)} text-anchor="middle" transform={format!("rotate(-90 14 {middle:.2})")}>{ &y.label }</text>
        </g>
    }
}

fn line_class(zero: bool) -> &'static str {
    if zero { "zero" } else { "grid" }
}
