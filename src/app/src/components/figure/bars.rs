//! Results that are parts of a whole, as bars with their uncertainty. The numbers stand among the results.

use glasswick_core::calculators::Drawn;
use glasswick_core::figure::{Scale, extent};
use glasswick_core::quantity::Kind;
use yew::prelude::*;

use super::{Frame, text};
use crate::view::{CardView, Quantified, ResultView};

const WIDTH: f64 = 480.0;
/// Room at the two sides.
const SIDE: f64 = 12.0;
/// Height of a name with its bar, and of the bar alone.
const ROW: f64 = 44.0;
const BAR: f64 = 16.0;

/// One bar: its result and its numbers.
type Bar<'a> = (&'a ResultView, &'a Quantified);

/// The bars of a card: those of one kind in one figure.
pub(super) fn bar_figures(view: &CardView) -> Html {
    let bars: Vec<Bar<'_>> = view
        .results
        .iter()
        .filter(|result| result.field.drawn == Drawn::Bar)
        .filter_map(|result| Some((result, result.found.as_ref()?)))
        .filter(|(_, found)| found.estimate.value.is_finite())
        .collect();
    let mut kinds: Vec<Kind> = Vec::new();
    for kind in bars
        .iter()
        .filter_map(|(result, _)| result.field.number_kind())
    {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let figure = |kind: Kind| {
        let same = |(result, _): &&Bar<'_>| result.field.number_kind() == Some(kind);
        bar_figure(view, &bars.iter().filter(same).copied().collect::<Vec<_>>())
    };
    html! { { for kinds.into_iter().map(figure) } }
}

fn bar_figure(view: &CardView, bars: &[Bar<'_>]) -> Html {
    let reach = |(_, found): &Bar<'_>| {
        let half = half_width(found);
        [found.estimate.value - half, found.estimate.value + half]
    };
    let ends = bars.iter().flat_map(reach).chain([0.0]);
    let (Some([from, to]), Some((first, _))) = (extent(ends), bars.first()) else {
        return Html::default();
    };
    let largest = from.abs().max(to.abs());
    let Some(unit) = first.field.unit_for(largest).filter(|_| to > from) else {
        return Html::default();
    };
    let scale = Scale {
        numbers: [from, to],
        places: [SIDE, WIDTH - SIDE],
    };
    let bar = |(number, (result, found)): (usize, &Bar<'_>)| {
        let (value, half) = (found.estimate.value, half_width(found));
        let top = ROW * number as f64;
        let (zero, end) = (scale.place(0.0), scale.place(value));
        let [low, high] = [value - half, value + half].map(|end| scale.place(end));
        let middle = text(top + 24.0 + BAR / 2.0);
        html! {
            <g>
                <text x={text(SIDE)} y={text(top + 18.0)}>
                    { format!("{}: {}", result.title, unit.say(value, 3)) }
                </text>
                <line class="zero" x1={text(zero)} x2={text(zero)} y1={text(top + 22.0)} y2={text(top + ROW - 2.0)} />
                <rect class="draws-bars" x={text(zero.min(end))} y={text(top + 24.0)} width={text((end - zero).abs())}
                    height={text(BAR)} />
                if half > 0.0 {
                    <path class="whisker" d={format!("M{low:.2} {middle}H{high:.2}")} />
                }
            </g>
        }
    };
    let height = ROW * bars.len() as f64 + 8.0;
    let title = format!("{} and {} more", first.field.title, bars.len() - 1);
    let described: Vec<String> = bars
        .iter()
        .map(|(result, found)| format!("{} {}", result.title, unit.say(found.estimate.value, 3)))
        .collect();
    let picture = html! { { for bars.iter().enumerate().map(bar) } };
    html! {
        <Frame card={view.card.title.clone()} {title} described={described.join("; ") + "."} width={WIDTH} {height} {picture}>
            <p class="help">{ "Lines across the ends of bars: expanded uncertainty." }</p>
        </Frame>
    }
}

/// The expanded uncertainty, where there is one.
fn half_width(found: &Quantified) -> f64 {
    let half = found.estimate.expanded();
    if half.is_finite() { half } else { 0.0 }
}
