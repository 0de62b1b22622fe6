//! Figures drawn as SVG: curves over each other, bars, the map of an ink. Each has its numbers in words or in a table, and
//! can be saved as a picture.

mod axis;
mod bars;
mod curves;
mod frame;
mod jet_map;
mod strips;

use yew::prelude::*;

use self::bars::bar_figures;
use self::curves::{CurveFigure, figures};
use self::frame::Frame;
use self::jet_map::jet_map;
use self::strips::strips_figure;
use crate::view::{CardView, Curve};

/// The figures of a card.
pub(crate) fn card_figures(view: &CardView) -> Html {
    let curves = |series: Vec<Curve>| {
        let key = series.first().map_or("", |curve| curve.field.id);
        html! { <CurveFigure {key} card={view.card.title.clone()} {series} results={view.results.clone()} /> }
    };
    html! {
        <>
            { for view.strips.as_ref().map(|strips| strips_figure(strips, &view.card.title)) }
            { for figures(&view.curves).into_iter().map(curves) }
            { for view.overlaid.iter().cloned().map(|series| {
                let key = series.first().map_or_else(String::new, |curve| format!("overlaid-{}", curve.field.id));
                html! { <CurveFigure {key} card={view.card.title.clone()} {series} results={Vec::new()} overlaid=true /> }
            }) }
            { bar_figures(view) }
            { for view.jet_map.as_ref().map(|map| jet_map(map, &view.card.title)) }
        </>
    }
}

/// A number in an SVG attribute.
fn text(number: f64) -> String {
    format!("{number:.2}")
}
