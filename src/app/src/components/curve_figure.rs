//! A curve as a figure, with the numbers behind it.

use glasswick_core::calculators::{Field, FieldKind, Points};
use glasswick_core::figure::{Scale, Ticks, extent, path};
use glasswick_core::quantity::{Kind, Unit, value_text};
use yew::prelude::*;

use crate::view::ResultView;

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 320.0;
/// Room for the axes: left, right, top, bottom.
const ROOM: [f64; 4] = [64.0, 12.0, 12.0, 48.0];

#[derive(PartialEq, Properties)]
pub(crate) struct CurveFigureProps {
    pub(crate) title: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) points: Points,
    /// The card's results; the maximum power point among them is marked.
    pub(crate) results: Vec<ResultView>,
}

/// One axis: what it measures, in which unit, and where a number stands on it.
struct Axis {
    field: &'static Field,
    unit: &'static Unit,
    ticks: Ticks,
    scale: Scale,
}

impl Axis {
    fn new(field: &'static Field, numbers: &[f64], places: [f64; 2]) -> Option<Self> {
        let [low, high] = extent(numbers.iter().copied())?;
        let reach = low.abs().max(high.abs());
        let unit = field
            .unit_for(reach)
            .or(field.number_kind().map(Kind::coherent))?;
        let ends = [low.min(0.0), high.max(0.0)].map(|si| unit.from_si(si));
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

    fn place(&self, si: f64) -> f64 {
        self.scale.place(self.unit.from_si(si))
    }

    fn label(&self) -> String {
        match self.unit.symbol {
            "1" => self.field.title.to_owned(),
            symbol => format!("{} / {symbol}", self.field.title),
        }
    }
}

#[component]
pub(crate) fn CurveFigure(props: &CurveFigureProps) -> Html {
    let FieldKind::Curve { x, y } = props.field.kind else {
        return Html::default();
    };
    let points = &props.points;
    let [left, right, top, bottom] = ROOM;
    let axes = Axis::new(x, &points.x, [left, WIDTH - right]).zip(Axis::new(
        y,
        &points.y,
        [HEIGHT - bottom, top],
    ));
    let Some((x, y)) = axes else {
        return Html::default();
    };
    let line = path(
        points
            .x
            .iter()
            .zip(&points.y)
            .map(|(a, b)| (x.place(*a), y.place(*b))),
    );
    let described = format!(
        "{} points; {} over {}.",
        points.x.len(),
        y.label(),
        x.label()
    );
    html! {
        <figure class="curve">
            <figcaption>{ &props.title }</figcaption>
            <svg viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img">
                <title>{ &props.title }</title>
                <desc>{ described }</desc>
                { grid(&x, &y) }
                { maximum(&props.results, &x, &y) }
                <path class="curve-line" d={line} />
            </svg>
            { table(points, &x, &y) }
        </figure>
    }
}

fn grid(x: &Axis, y: &Axis) -> Html {
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
            <text x={text(f64::midpoint(left, right))} y={text(HEIGHT - 8.0)} text-anchor="middle">{ x.label() }</text>
            <text x="14" y={text(middle)} text-anchor="middle" transform={format!("rotate(-90 14 {middle:.2})")}>{ y.label() }</text>
        </g>
    }
}

fn line_class(number: f64) -> &'static str {
    if number == 0.0 { "zero" } else { "grid" }
}

/// The rectangle under the maximum power point.
fn maximum(results: &[ResultView], x: &Axis, y: &Axis) -> Html {
    let at = |axis: &Axis| {
        let fits = |result: &&ResultView| {
            result.path.starts_with("maximum_power_")
                && result.field.number_kind() == axis.field.number_kind()
        };
        results
            .iter()
            .find(fits)?
            .found
            .as_ref()
            .map(|found| found.value)
    };
    let Some((voltage, current)) = at(x).zip(at(y)) else {
        return Html::default();
    };
    let ([x0, x1], [y0, y1]) = (
        [x.place(0.0), x.place(voltage)],
        [y.place(0.0), y.place(current)],
    );
    let text = |number: f64| format!("{number:.2}");
    html! {
        <g class="maximum">
            <rect x={text(x0.min(x1))} y={text(y0.min(y1))} width={text((x1 - x0).abs())} height={text((y1 - y0).abs())} />
            <circle cx={text(x1)} cy={text(y1)} r="5" />
            <text x={text(x1 - 8.0)} y={text(y1 + 20.0)} text-anchor="end">{ "maximum power" }</text>
        </g>
    }
}

fn table(points: &Points, x: &Axis, y: &Axis) -> Html {
    let row = |(a, b): (&f64, &f64)| {
        let text = |axis: &Axis, si: f64| value_text(axis.unit.from_si(si), 5);
        html! { <tr><td>{ text(x, *a) }</td><td>{ text(y, *b) }</td></tr> }
    };
    html! {
        <details>
            <summary>{ "Numbers of this curve" }</summary>
            <div class="scroll" role="region" tabindex="0" aria-label="Numbers of this curve">
                <table>
                    <thead><tr><th scope="col">{ x.label() }</th><th scope="col">{ y.label() }</th></tr></thead>
                    <tbody>{ for points.x.iter().zip(&points.y).map(row) }</tbody>
                </table>
            </div>
        </details>
    }
}
