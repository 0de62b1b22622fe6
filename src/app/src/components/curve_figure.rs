//! Curves as a figure, with the numbers behind them: a line or marks, and what is drawn over it.

use glasswick_core::calculators::{Drawn, Field, FieldKind, Points};
use glasswick_core::figure::path;
use glasswick_core::quantity::value_text;
use yew::prelude::*;

use super::axis::{Axis, grid};
use super::jet_map::jet_map;
use crate::view::{CardView, ResultView};

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 320.0;
/// Room for the axes: left, right, top, bottom.
const ROOM: [f64; 4] = [64.0, 12.0, 12.0, 48.0];

/// A curve with its field.
type Series = (&'static Field, Points);

/// The figures of these curves: each line or set of marks begins one, and what is drawn over a line joins the one over
/// the same fields.
fn figures(curves: &[Series]) -> Vec<Vec<Series>> {
    let alone = |(field, _): &&Series| matches!(field.drawn, Drawn::Line | Drawn::Marks);
    let axes = |field: &Field| match field.kind {
        FieldKind::Curve { x, y } => (x.id, y.id),
        _ => ("", ""),
    };
    let figure = |first: &Series| {
        let over = |(field, _): &&Series| {
            first.0.drawn == Drawn::Line
                && !matches!(field.drawn, Drawn::Line | Drawn::Marks)
                && axes(field) == axes(first.0)
        };
        let over = curves.iter().filter(over);
        core::iter::once(first).chain(over).cloned().collect()
    };
    curves.iter().filter(alone).map(figure).collect()
}

/// The figures of a card.
pub(crate) fn card_figures(view: &CardView) -> Html {
    let figure = |series: Vec<Series>| {
        let key = series.first().map_or("", |(field, _)| field.id);
        html! { <CurveFigure {key} {series} results={view.results.clone()} /> }
    };
    html! {
        <>
            { for figures(&view.curves).into_iter().map(figure) }
            { for view.jet_map.as_ref().map(jet_map) }
        </>
    }
}

#[derive(PartialEq, Properties)]
pub(crate) struct CurveFigureProps {
    /// The curves; the first names the figure.
    pub(crate) series: Vec<Series>,
    /// The card's results; the maximum power point among them is marked.
    pub(crate) results: Vec<ResultView>,
}

#[component]
pub(crate) fn CurveFigure(props: &CurveFigureProps) -> Html {
    let Some((first, _)) = props.series.first() else {
        return Html::default();
    };
    let FieldKind::Curve { x, y } = first.kind else {
        return Html::default();
    };
    let all = |of: fn(&Points) -> &Vec<f64>| -> Vec<f64> {
        let numbers = props.series.iter().flat_map(|(_, points)| of(points));
        numbers.copied().collect()
    };
    let [left, right, top, bottom] = ROOM;
    let axes = Axis::new(x, &all(|points| &points.x), [left, WIDTH - right]).zip(Axis::new(
        y,
        &all(|points| &points.y),
        [HEIGHT - bottom, top],
    ));
    let Some((x, y)) = axes else {
        return Html::default();
    };
    let described: Vec<String> = props
        .series
        .iter()
        .map(|(field, points)| format!("{}: {} points", field.title, points.x.len()))
        .collect();
    let described = format!(
        "{}; {} over {}.",
        described.join(", "),
        y.label(),
        x.label()
    );
    let many = props.series.len() > 1;
    html! {
        <figure class="curve">
            <figcaption>{ first.title }</figcaption>
            <svg viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img">
                <title>{ first.title }</title>
                <desc>{ described }</desc>
                { grid(&x, &y, HEIGHT) }
                { maximum(&props.results, &x, &y) }
                { for props.series.iter().map(|(field, points)| drawn(field, points, &x, &y)) }
            </svg>
            if many {
                <p class="help">{ key(&props.series) }</p>
            }
            { for props.series.iter().map(|(field, points)| table(field, points, &x, &y)) }
        </figure>
    }
}

fn drawn(field: &Field, points: &Points, x: &Axis, y: &Axis) -> Html {
    let places = points.x.iter().zip(&points.y);
    let places = places.map(|(a, b)| (x.place(*a), y.place(*b)));
    match field.drawn {
        Drawn::Line => html! { <path class="curve-line" d={path(places)} /> },
        Drawn::LineOver | Drawn::RightLine | Drawn::Bar => {
            html! { <path class="curve-line over" d={path(places)} /> }
        }
        Drawn::Limit => html! { <path class="curve-limit" d={path(places)} /> },
        Drawn::OuterLimit => html! { <path class="curve-limit outer" d={path(places)} /> },
        Drawn::Marks | Drawn::MarksOver => {
            let mark = |(a, b): (f64, f64)| {
                html! { <circle class="curve-mark" cx={format!("{a:.2}")} cy={format!("{b:.2}")} r="4" /> }
            };
            html! { <g>{ for places.filter(|(a, b)| a.is_finite() && b.is_finite()).map(mark) }</g> }
        }
    }
}

/// What the marks and broken lines of a figure are.
fn key(series: &[Series]) -> String {
    let said = series.iter().map(|(field, _)| {
        let how = match field.drawn {
            Drawn::Line => "line",
            Drawn::LineOver | Drawn::RightLine | Drawn::Bar => "second line",
            Drawn::Limit => "broken line",
            Drawn::OuterLimit => "dotted line",
            Drawn::Marks | Drawn::MarksOver => "marks",
        };
        format!("{how}: {}", field.title)
    });
    said.collect::<Vec<_>>().join("; ") + "."
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

fn table(field: &Field, points: &Points, x: &Axis, y: &Axis) -> Html {
    let row = |(a, b): (&f64, &f64)| {
        let text = |axis: &Axis, si: f64| value_text(axis.unit.from_si(si), 5);
        html! { <tr><td>{ text(x, *a) }</td><td>{ text(y, *b) }</td></tr> }
    };
    let title = format!("Numbers of “{}”", field.title);
    html! {
        <details>
            <summary>{ &title }</summary>
            <div class="scroll" role="group" tabindex="0" aria-label={title.clone()}>
                <table>
                    <thead><tr><th scope="col">{ x.label() }</th><th scope="col">{ y.label() }</th></tr></thead>
                    <tbody>{ for points.x.iter().zip(&points.y).map(row) }</tbody>
                </table>
            </div>
        </details>
    }
}
