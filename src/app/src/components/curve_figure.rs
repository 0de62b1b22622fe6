//! A curve as a figure, with the numbers behind it.

use glasswick_core::calculators::{Field, FieldKind, Points};
use glasswick_core::figure::path;
use glasswick_core::quantity::value_text;
use yew::prelude::*;

use super::axis::{Axis, grid};
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
                { grid(&x, &y, HEIGHT) }
                { maximum(&props.results, &x, &y) }
                <path class="curve-line" d={line} />
            </svg>
            { table(points, &x, &y) }
        </figure>
    }
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
            .map(|found| found.estimate.value)
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
            <div class="scroll" role="group" tabindex="0" aria-label="Numbers of this curve">
                <table>
                    <thead><tr><th scope="col">{ x.label() }</th><th scope="col">{ y.label() }</th></tr></thead>
                    <tbody>{ for points.x.iter().zip(&points.y).map(row) }</tbody>
                </table>
            </div>
        </details>
    }
}
