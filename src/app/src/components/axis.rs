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

/// The grid, its numbers and what they measure, inside a figure of this height.
pub(super) fn grid(x: &Axis, y: &Axis, height: f64) -> Html {
    let ([left, right], [bottom, top]) = (x.scale.places, y.scale.places);
    let text = |number: f64| format!("{number:.2}");
    let upright = x.ticks.numbers.iter().map(|number| {
        let at = text(x.scale.place(*number));
        html! {
            <>
                <line class={line_class(*number)} x1={at.clone()} x2={at.clone()} y1={text(top)} y2={text(bottom)} />
                <text x={at} y={text(bottom + 18.0)} text-anchor="middle">{ x.ticks.text(*number) }</text>
            </>
        }
    });
    let level = y.ticks.numbers.iter().map(|number| {
        let at = y.scale.place(*number);
        html! {
            <>
                <line class={line_class(*number)} x1={text(left)} x2={text(right)} y1={text(at)} y2={text(at)} />
                <text x={text(left - 8.0)} y={text(at + 4.5)} text-anchor="end">{ y.ticks.text(*number) }</text>
            </>
        }
    });
    let middle = f64::midpoint(top, bottom);
    html! {
        <g class="axes-lines">
            { for upright }
            { for level }
            <text x={text(f64::midpoint(left, right))} y={text(height - 8.0)} text-anchor="middle">{ x.label() }</text>
            <text x="14" y={text(middle)} text-anchor="middle" transform={format!("rotate(-90 14 {middle:.2})")}>{ y.label() }</text>
        </g>
    }
}

fn line_class(number: f64) -> &'static str {
    if number == 0.0 { "zero" } else { "grid" }
}
