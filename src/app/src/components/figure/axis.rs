//! The axes of a figure.

use glasswick_core::calculators::Field;
use glasswick_core::figure::{LogScale, Scale, Ticks, extent};
use glasswick_core::quantity::{Kind, Unit, value_text};
use glasswick_core::scalar::Scalar;
use yew::prelude::*;

use super::text;

/// Numbers whose least is below this part of their greatest are near zero.
const NEAR: f64 = 0.25;

/// Decades that a logarithmic axis shows at most, below its greatest number: what is smaller is noise.
const DECADES: i32 = 8;

/// One axis: what it measures, in which unit, and where a number stands on it.
pub(super) struct Axis {
    pub(super) field: &'static Field,
    pub(super) unit: &'static Unit,
    marks: Marks,
}

/// How numbers are spread along an axis.
enum Marks {
    Linear(Ticks, Scale),
    /// By size: the sign does not count.
    Logarithmic(LogScale),
}

impl Axis {
    pub(super) fn new(field: &'static Field, numbers: &[f64], places: [f64; 2]) -> Option<Self> {
        if field.logarithmic {
            return Axis::logarithmic(field, numbers, places);
        }
        let [low, high] = extent(numbers.iter().copied())?;
        let reach = low.abs().max(high.abs());
        let unit = unit(field, reach)?;
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
            marks: Marks::Linear(ticks, scale),
        })
    }

    /// Whole decades about the sizes of the numbers.
    fn logarithmic(field: &'static Field, numbers: &[f64], places: [f64; 2]) -> Option<Self> {
        let sizes = numbers.iter().map(|number| number.abs());
        let [low, high] = extent(sizes.filter(|size| *size > 0.0))?;
        let unit = unit(field, high)?;
        let [low, high] = [low, high].map(|si| Scalar::log10(unit.from_si(si)));
        let (from, to) = (low.floor(), high.ceil().max(low.floor() + 1.0));
        let numbers =
            [from.max(to - f64::from(DECADES)), to].map(|power| Scalar::powf(10.0, power));
        Some(Axis {
            field,
            unit,
            marks: Marks::Logarithmic(LogScale { numbers, places }),
        })
    }

    /// The place of a number; what has none is not a number.
    pub(super) fn place(&self, si: f64) -> f64 {
        let number = self.unit.from_si(si);
        match &self.marks {
            Marks::Linear(_, scale) => scale.place(number),
            Marks::Logarithmic(scale) if number.abs() >= scale.numbers[0] => {
                scale.place(number.abs())
            }
            Marks::Logarithmic(_) => f64::NAN,
        }
    }

    /// The places of its two ends.
    pub(super) fn places(&self) -> [f64; 2] {
        match &self.marks {
            Marks::Linear(_, scale) => scale.places,
            Marks::Logarithmic(scale) => scale.places,
        }
    }

    pub(super) fn label(&self) -> String {
        label(self.field, self.unit)
    }

    /// A number on it in words: "17.97 mA/cm²".
    pub(super) fn say(&self, si: f64) -> String {
        self.unit.say(si, 4)
    }

    fn side(&self) -> Side {
        let marks = match &self.marks {
            Marks::Linear(ticks, scale) => {
                let mark =
                    |number: &f64| (scale.place(*number), ticks.text(*number), *number == 0.0);
                ticks.numbers.iter().map(mark).collect()
            }
            Marks::Logarithmic(scale) => decades(scale),
        };
        Side {
            marks,
            places: self.places(),
            label: self.label(),
        }
    }
}

/// What an axis measures, and in which unit.
pub(super) fn label(field: &Field, unit: &Unit) -> String {
    match unit.symbol {
        "1" => field.title.to_owned(),
        symbol => format!("{} / {symbol}", field.title),
    }
}

fn unit(field: &Field, reach: f64) -> Option<&'static Unit> {
    field
        .unit_for(reach)
        .or(field.number_kind().map(Kind::coherent))
}

/// The marks of a logarithmic side.
pub(super) fn decades(scale: &LogScale) -> Vec<(f64, String, bool)> {
    let mark = |number| (scale.place(number), value_text(number, 1), false);
    scale.decades().map(mark).collect()
}

/// One side of a frame: its marks, and what it measures.
pub(super) struct Side {
    /// Place and text of each mark, and whether it is zero.
    pub(super) marks: Vec<(f64, String, bool)>,
    /// The places of its two ends.
    pub(super) places: [f64; 2],
    pub(super) label: String,
}

/// The grid of two axes, inside a figure of this height.
pub(super) fn grid(x: &Axis, y: &Axis, height: f64) -> Html {
    frame(&x.side(), &y.side(), height)
}

/// The grid, its numbers and what they measure, inside a figure of this height.
pub(super) fn frame(x: &Side, y: &Side, height: f64) -> Html {
    let ([left, right], [bottom, top]) = (x.places, y.places);
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
    html! {
        <g class="axes-lines">
            { for upright }
            { for level }
            <text x={text(f64::midpoint(left, right))} y={text(height - 8.0)} text-anchor="middle">{ &x.label }</text>
            { upright_label(14.0, f64::midpoint(top, bottom), &y.label) }
        </g>
    }
}

/// The numbers of a second upright axis, on the right, and what they measure; its marks are short, without a grid.
pub(super) fn right_side(axis: &Axis, left: f64, width: f64) -> Html {
    let side = axis.side();
    let mark = |(place, number, _): &(f64, String, bool)| {
        let at = text(*place);
        html! {
            <>
                <line class="zero" x1={text(left)} x2={text(left + 5.0)} y1={at.clone()} y2={at} />
                <text x={text(left + 9.0)} y={text(place + 4.5)}>{ number }</text>
            </>
        }
    };
    let [bottom, top] = side.places;
    html! {
        <g class="axes-lines">
            { for side.marks.iter().map(mark) }
            { upright_label(width - 6.0, f64::midpoint(top, bottom), &side.label) }
        </g>
    }
}

fn upright_label(x: f64, y: f64, label: &str) -> Html {
    html! {
        <text x={text(x)} y={text(y)} text-anchor="middle" transform={format!("rotate(-90 {x:.2} {y:.2})")}>{ label }</text>
    }
}

fn line_class(zero: bool) -> &'static str {
    if zero { "zero" } else { "grid" }
}
