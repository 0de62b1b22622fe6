//! Curves as a figure, with the numbers behind them: lines and marks, and what is drawn over them. A place along them is
//! read with a slider, by finger, mouse or keyboard.

use glasswick_core::calculators::{Drawn, Field, FieldKind, Points};
use glasswick_core::figure::{path, thinned};
use glasswick_core::quantity::value_text;
use yew::prelude::*;

use super::axis::{Axis, grid, right_side};
use super::{Frame, text};
use crate::dom;
use crate::view::{Curve, ResultView};

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 320.0;
/// Room for the axes: left, right, top, bottom.
const ROOM: [f64; 4] = [64.0, 12.0, 12.0, 48.0];
/// Room for an axis on the right.
const RIGHT: f64 = 60.0;
/// Points of a curve that are drawn, and rows of a table, at most: more cannot be told apart.
const MOST: usize = 1000;
/// Places that the slider stops at, at most.
const STOPS: usize = 400;
/// Height of a line of the key, below the axis.
const KEY: f64 = 22.0;
/// Dashes in which lines differ; after these, in how strong they are.
const DASHES: usize = 4;
const STRENGTHS: usize = 3;

/// The figures of these curves: each line or set of marks begins one, and what is drawn over a line joins the one over
/// the same fields; what has its own axis on the right, the one over the same first column.
pub(super) fn figures(curves: &[Curve]) -> Vec<Vec<Curve>> {
    let begins = |curve: &&Curve| matches!(curve.drawn, Drawn::Line | Drawn::Marks);
    let figure = |first: &Curve| {
        let joins = |curve: &&Curve| {
            first.drawn == Drawn::Line
                && !begins(curve)
                && axes(curve)
                    .zip(axes(first))
                    .is_some_and(|([x, y], [u, v])| {
                        x.is(u) && (y.is(v) || curve.drawn == Drawn::RightLine)
                    })
        };
        let over = curves.iter().filter(joins);
        core::iter::once(first).chain(over).cloned().collect()
    };
    curves.iter().filter(begins).map(figure).collect()
}

/// What the two columns of a curve hold.
fn axes(curve: &Curve) -> Option<[&'static Field; 2]> {
    match curve.field.kind {
        FieldKind::Curve { x, y } => Some([x, y]),
        _ => None,
    }
}

#[derive(PartialEq, Properties)]
pub(super) struct CurveFigureProps {
    /// The title of the card.
    pub(super) card: AttrValue,
    /// The curves; the first names the figure.
    pub(super) series: Vec<Curve>,
    /// The card's results; the maximum power point among them is marked.
    pub(super) results: Vec<ResultView>,
    /// The curves are those of other cards, on which their numbers stand.
    #[prop_or_default]
    pub(super) overlaid: bool,
}

/// The axes of a figure.
struct Axes {
    x: Axis,
    y: Axis,
    right: Option<Axis>,
}

impl Axes {
    fn of(series: &[Curve]) -> Option<Axes> {
        let [x, y] = axes(series.first()?)?;
        let (over, beside): (Vec<&Curve>, Vec<&Curve>) = series
            .iter()
            .partition(|curve| curve.drawn != Drawn::RightLine);
        let numbers = |curves: &[&Curve], of: fn(&Points) -> &Vec<f64>| -> Vec<f64> {
            let numbers = curves.iter().flat_map(|curve| of(&curve.points));
            numbers.copied().collect()
        };
        let [left, room, top, bottom] = ROOM;
        let edge = if beside.is_empty() { room } else { RIGHT };
        let upright = [HEIGHT - bottom, top];
        let all: Vec<&Curve> = series.iter().collect();
        Some(Axes {
            x: Axis::new(x, &numbers(&all, |points| &points.x), [left, WIDTH - edge])?,
            y: Axis::new(y, &numbers(&over, |points| &points.y), upright)?,
            right: beside
                .first()
                .and_then(|curve| axes(curve))
                .and_then(|[_, y]| Axis::new(y, &numbers(&beside, |points| &points.y), upright)),
        })
    }

    /// The upright axis of a curve.
    fn upright(&self, curve: &Curve) -> &Axis {
        match &self.right {
            Some(right) if curve.drawn == Drawn::RightLine => right,
            _ => &self.y,
        }
    }
}

#[component]
pub(super) fn CurveFigure(props: &CurveFigureProps) -> Html {
    let read = use_state_eq(|| None::<usize>);
    let series = &props.series;
    let (Some(first), Some(axes)) = (series.first(), Axes::of(series)) else {
        return Html::default();
    };
    // Along the curve that leads, from left to right.
    let mut along: Vec<f64> = first
        .points
        .x
        .iter()
        .copied()
        .filter(|x| x.is_finite())
        .collect();
    along.sort_unstable_by(f64::total_cmp);
    along.dedup();
    let along: Vec<f64> = along
        .iter()
        .copied()
        .step_by(along.len().div_ceil(STOPS).max(1))
        .collect();
    let last = along.len().saturating_sub(1);
    let at = read.map(|index| index.min(last));
    let place = at.and_then(|index| along.get(index)).copied();
    let touched = {
        let (read, along) = (read.setter(), along.clone());
        let [from, to] = axes.x.places();
        let ends =
            [along.first(), along.last()].map(|end| end.map_or(0.0, |end| axes.x.place(*end)));
        let places: Vec<f64> = along.iter().map(|x| axes.x.place(*x)).collect();
        Callback::from(move |share: f64| {
            let place = (share * WIDTH).clamp(from.min(ends[0]), to.max(ends[1]));
            let near = places
                .iter()
                .enumerate()
                .min_by(|(_, a), (_, b)| (*a - place).abs().total_cmp(&(*b - place).abs()));
            read.set(near.map(|(index, _)| index));
        })
    };
    let described: Vec<String> = series
        .iter()
        .map(|curve| format!("{}: {} points", curve.name, curve.points.x.len()))
        .collect();
    let described = format!("{}; over {}.", described.join(", "), axes.x.label());
    let title = if props.overlaid {
        format!(
            "{}, {} cards over each other",
            first.field.title,
            series.len()
        )
    } else {
        first.name.clone()
    };
    let lines = if series.len() > 1 { series.len() } else { 0 };
    let height = HEIGHT + KEY * lines as f64;
    let picture = html! {
        <>
            { grid(&axes.x, &axes.y, HEIGHT) }
            if let Some(right) = &axes.right {
                { right_side(right, axes.x.places()[1], WIDTH) }
            }
            { maximum(&props.results, &axes) }
            { for series.iter().enumerate().map(|(number, curve)| drawn(number, curve, &axes)) }
            if series.len() > 1 {
                { for series.iter().enumerate().map(key) }
            }
            if let Some(place) = place {
                { cross(series, &axes, place) }
            }
        </>
    };
    html! {
        <Frame card={&props.card} title={title.clone()} {described} width={WIDTH} {height} {picture} {touched}>
            if last > 0 {
                { slider(&title, at, last, &said(series, &axes, place), read.setter()) }
            }
            if props.overlaid {
                <p class="help">{ "The numbers of each stand on its own card." }</p>
            } else {
                { for series.iter().map(|curve| html! { <Numbers curve={curve.clone()} /> }) }
            }
        </Frame>
    }
}

/// Moves the place that is read; a slider is at hand by touch and keyboard alike.
fn slider(
    title: &str,
    at: Option<usize>,
    last: usize,
    said: &str,
    read: UseStateSetter<Option<usize>>,
) -> Html {
    let oninput = Callback::from(move |event: InputEvent| {
        read.set(dom::value(&event).parse().ok());
    });
    html! {
        <div class="reading">
            <input type="range" min="0" max={last.to_string()} step="1" value={at.unwrap_or(last / 2).to_string()}
                aria-label={format!("Place to read on {title}")} aria-valuetext={said.to_owned()} {oninput} />
            <p class="read-back">{ said }</p>
        </div>
    }
}

/// The numbers at a place, in words.
fn said(series: &[Curve], axes: &Axes, place: Option<f64>) -> String {
    let Some(place) = place else {
        return "Touch the figure or move the slider to read it.".into();
    };
    let read = series.iter().filter_map(|curve| {
        let (_, y) = at(curve, place)?;
        let upright = axes.upright(curve);
        let name = if series.len() > 1 {
            curve.name.clone()
        } else {
            upright.field.title.to_lowercase()
        };
        Some(format!("{name} {}", upright.say(y)))
    });
    let read: Vec<String> = read.collect();
    format!(
        "At {} {}: {}.",
        axes.x.field.title.to_lowercase(),
        axes.x.say(place),
        read.join("; ")
    )
}

/// A curve at a place: on a line between its neighbours, of marks only one that is there.
fn at(curve: &Curve, place: f64) -> Option<(f64, f64)> {
    let Points { x, y } = &curve.points;
    if matches!(curve.drawn, Drawn::Marks | Drawn::MarksOver) {
        let there = x.iter().zip(y).find(|(x, _)| **x == place)?;
        return Some((*there.0, *there.1));
    }
    let between = |(across, upright): (&[f64], &[f64])| {
        let ([x0, x1], [y0, y1]) = (across, upright) else {
            return None;
        };
        let inside = x0.min(*x1) <= place && place <= x0.max(*x1);
        let share = if x1 == x0 {
            0.0
        } else {
            (place - x0) / (x1 - x0)
        };
        inside.then_some((place, y0 + (y1 - y0) * share))
    };
    let found = x.windows(2).zip(y.windows(2)).find_map(between);
    found.filter(|(_, y)| y.is_finite())
}

/// The place that is read: a line, and a dot on each curve.
fn cross(series: &[Curve], axes: &Axes, place: f64) -> Html {
    let x = text(axes.x.place(place));
    let [bottom, top] = axes.y.places();
    let dot = |curve: &Curve| {
        let (_, y) = at(curve, place)?;
        let y = axes.upright(curve).place(y);
        let dot = html! { <circle cx={x.clone()} cy={text(y)} r="4.5" /> };
        y.is_finite().then_some(dot)
    };
    html! {
        <g class="cross">
            <line x1={x.clone()} x2={x.clone()} y1={text(top)} y2={text(bottom)} />
            { for series.iter().filter_map(dot) }
        </g>
    }
}

fn drawn(number: usize, curve: &Curve, axes: &Axes) -> Html {
    let upright = axes.upright(curve);
    let places = curve.points.x.iter().zip(&curve.points.y);
    let places: Vec<(f64, f64)> = places
        .map(|(a, b)| (axes.x.place(*a), upright.place(*b)))
        .collect();
    let places = thinned(&places, MOST);
    match curve.drawn {
        Drawn::Marks | Drawn::MarksOver => {
            let mark = |(a, b): (f64, f64)| {
                html! { <circle class="curve-mark" cx={text(a)} cy={text(b)} r="4" /> }
            };
            let there = places
                .into_iter()
                .filter(|(a, b)| a.is_finite() && b.is_finite());
            html! { <g>{ for there.map(mark) }</g> }
        }
        _ => html! { <path class={line_class(number, curve.drawn)} d={path(places)} /> },
    }
}

/// How a line looks: those of one figure differ in their dashes.
fn line_class(number: usize, drawn: Drawn) -> Classes {
    match drawn {
        Drawn::Limit => classes!("curve-limit"),
        Drawn::OuterLimit => classes!("curve-limit", "outer"),
        Drawn::LineOver | Drawn::RightLine => {
            let number = number.saturating_sub(1);
            let strength = number / DASHES % STRENGTHS;
            let look = vec![
                format!("dash-{}", number % DASHES),
                format!("strength-{strength}"),
            ];
            classes!("curve-line", "over", look)
        }
        _ => classes!("curve-line"),
    }
}

/// What a line or mark is, below the axis, so that it goes with the picture.
fn key((number, curve): (usize, &Curve)) -> Html {
    let y = HEIGHT + KEY * (number as f64 + 0.5);
    let left = ROOM[0];
    let sign = match curve.drawn {
        Drawn::Marks | Drawn::MarksOver => {
            html! { <circle class="curve-mark" cx={text(left + 18.0)} cy={text(y)} r="4" /> }
        }
        _ => {
            html! { <path class={line_class(number, curve.drawn)} d={format!("M{left:.2} {y:.2}h36")} /> }
        }
    };
    let beside = match curve.drawn {
        Drawn::RightLine => ", axis on the right",
        _ => "",
    };
    html! {
        <g class="key">
            { sign }
            <text x={text(left + 46.0)} y={text(y + 4.5)}>{ format!("{}{beside}", curve.name) }</text>
        </g>
    }
}

/// The rectangle under the maximum power point.
fn maximum(results: &[ResultView], axes: &Axes) -> Html {
    let at = |axis: &Axis| {
        let fits = |result: &&ResultView| {
            result.path.starts_with("maximum_power_")
                && result.field.number_kind() == axis.field.number_kind()
        };
        let found = results.iter().find(fits)?.found.as_ref()?;
        Some(found.estimate.value)
    };
    let (x, y) = (&axes.x, &axes.y);
    let Some((voltage, current)) = at(x).zip(at(y)).filter(|_| !y.field.logarithmic) else {
        return Html::default();
    };
    let ([x0, x1], [y0, y1]) = (
        [x.place(0.0), x.place(voltage)],
        [y.place(0.0), y.place(current)],
    );
    html! {
        <g class="maximum">
            <rect x={text(x0.min(x1))} y={text(y0.min(y1))} width={text((x1 - x0).abs())} height={text((y1 - y0).abs())} />
            <circle cx={text(x1)} cy={text(y1)} r="5" />
            <text x={text(x1 - 8.0)} y={text(y1 + 20.0)} text-anchor="end">{ "maximum power" }</text>
        </g>
    }
}

#[derive(PartialEq, Properties)]
struct NumbersProps {
    curve: Curve,
}

/// The numbers of a curve, made when they are asked for.
#[component]
fn Numbers(props: &NumbersProps) -> Html {
    let open = use_state_eq(|| false);
    let curve = &props.curve;
    let title = format!("Numbers of “{}”", curve.name);
    let ontoggle = {
        let open = open.setter();
        Callback::from(move |event: Event| open.set(dom::is_open(&event)))
    };
    html! {
        <details {ontoggle}>
            <summary>{ &title }</summary>
            if *open { { table(curve, &title) } }
        </details>
    }
}

fn table(curve: &Curve, title: &str) -> Html {
    let Points { x, y } = &curve.points;
    let axes = axes(curve)
        .and_then(|[a, b]| Some((Axis::new(a, x, [0.0, 1.0])?, Axis::new(b, y, [0.0, 1.0])?)));
    let Some((across, upright)) = axes else {
        return Html::default();
    };
    let step = x.len().div_ceil(MOST).max(1);
    let row = |(a, b): (&f64, &f64)| {
        let text = |axis: &Axis, si: f64| value_text(axis.unit.from_si(si), 5);
        html! { <tr><td>{ text(&across, *a) }</td><td>{ text(&upright, *b) }</td></tr> }
    };
    html! {
        <>
            if step > 1 {
                <p class="help">{ format!("One in {step} of {} points.", x.len()) }</p>
            }
            <div class="scroll" role="group" tabindex="0" aria-label={title.to_owned()}>
                <table>
                    <thead><tr><th scope="col">{ across.label() }</th><th scope="col">{ upright.label() }</th></tr></thead>
                    <tbody>{ for x.iter().zip(y).step_by(step).map(row) }</tbody>
                </table>
            </div>
        </>
    }
}
