//! The map of Reynolds and Ohnesorge number: where drops come off clean by a published window, where none comes off and
//! where they splash; this ink with its uncertainty, and others beside it. Its numbers stand among the results.

use glasswick_core::chemistry::jetting::{Window, ejection_border, splash_border};
use glasswick_core::figure::{LogScale, path};
use glasswick_core::quantity::value_text;
use glasswick_core::scalar::Scalar;
use yew::prelude::*;

use super::axis::{Side, decades as marks, frame};
use super::{Frame, text};
use crate::view::JetMap;

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 360.0;
/// Room for the axes: left, right, top, bottom.
const ROOM: [f64; 4] = [64.0, 16.0, 12.0, 48.0];
/// What the map shows at least.
const REYNOLDS: [f64; 2] = [1.0, 1000.0];
const OHNESORGE: [f64; 2] = [0.01, 10.0];
/// What it shows at most; an ink beyond is not on it.
const UTMOST: [f64; 2] = [1e-6, 1e6];
/// Steps of a border.
const STEPS: u32 = 60;

pub(super) fn jet_map(map: &JetMap, card: &str) -> Html {
    let [left, right, top, bottom] = ROOM;
    let reynolds = LogScale {
        numbers: decades(REYNOLDS, map.inks.iter().map(|ink| ink.1[0])),
        places: [left, WIDTH - right],
    };
    let ohnesorge = LogScale {
        numbers: decades(OHNESORGE, map.inks.iter().map(|ink| ink.1[1])),
        places: [HEIGHT - bottom, top],
    };
    let at = |re: f64, oh: f64| (reynolds.place(re), ohnesorge.place(oh));
    let [from, to] = reynolds.numbers;
    let along = |step: u32| from * Scalar::powf(to / from, f64::from(step) / f64::from(STEPS));
    // A border is drawn inside the map only: what has no place breaks the line.
    let [lowest, highest] = ohnesorge.numbers;
    let inside = |oh: f64| {
        if (lowest..=highest).contains(&oh) {
            oh
        } else {
            f64::NAN
        }
    };
    let border = |of: fn(f64) -> f64| path((0..=STEPS).map(along).map(|re| at(re, inside(of(re)))));
    let level = |z: f64| {
        let oh = 1.0 / z;
        html! {
            <>
                <path class="map-window" d={path([at(from, oh), at(to, oh)])} />
                <text x={text(WIDTH - right - 6.0)} y={text(ohnesorge.place(oh) - 5.0)} text-anchor="end">
                    { format!("Z = {}", value_text(z, 2)) }
                </text>
            </>
        }
    };
    let [(first, _), ..] = map.inks.as_slice() else {
        return Html::default();
    };
    let title = format!("{first} on the map of Reynolds and Ohnesorge number");
    let ink = |(number, (name, [re, oh])): (usize, &(String, [f64; 2]))| {
        let (x, y) = at(*re, *oh);
        let class = if number == 0 {
            "curve-mark"
        } else {
            "map-other"
        };
        html! {
            <>
                <circle {class} cx={text(x)} cy={text(y)} r="5" />
                <text x={text(x + 9.0)} y={text(y + 4.5)}>{ name }</text>
            </>
        }
    };
    let ellipse = map.ellipse.iter();
    let ellipse = ellipse.map(|(re, oh)| (reynolds.place_of_log(*re), ohnesorge.place_of_log(*oh)));
    let picture = html! {
        <>
            <path class="map-clean" d={clean(map.window, &(0..=STEPS).map(along).collect::<Vec<_>>(), at)} />
            { frame(&side(&reynolds, "Reynolds number"), &side(&ohnesorge, "Ohnesorge number"), HEIGHT) }
            { level(map.window.from) }
            { level(map.window.to) }
            <path class="curve-limit" d={border(ejection_border)} />
            <path class="curve-limit" d={border(splash_border)} />
            <path class="map-ellipse" d={path(ellipse)} />
            { for map.inks.iter().enumerate().filter(|(_, (_, numbers))| numbers.iter().all(on_map)).map(ink) }
        </>
    };
    html! {
        <Frame card={card.to_owned()} {title} described={described(map)} width={WIDTH} height={HEIGHT} {picture}>
            <p class="help">{ described(map) }</p>
        </Frame>
    }
}

/// Whether a number has a place on the map.
fn on_map(number: &f64) -> bool {
    (UTMOST[0]..=UTMOST[1]).contains(number)
}

fn described(map: &JetMap) -> String {
    let ellipse = if map.ellipse.is_empty() {
        ""
    } else {
        " The ellipse is k = 2 about this ink."
    };
    format!(
        "Shaded: clean drops, Z from {} to {} ({}), between the broken lines. Below the left one no drop comes off \
         (We < 4), above the right one drops splash.{ellipse}",
        value_text(map.window.from, 2),
        value_text(map.window.to, 2),
        map.window.by
    )
}

/// Whole decades about a usual range and these numbers.
fn decades(usual: [f64; 2], numbers: impl Iterator<Item = f64>) -> [f64; 2] {
    let known = numbers.filter(on_map);
    let [low, high] = known.fold(usual, |[low, high], number| {
        [low.min(number), high.max(number)]
    });
    [Scalar::log10(low).floor(), Scalar::log10(high).ceil()].map(|power| Scalar::powf(10.0, power))
}

/// Where the window, ejection and splash leave room.
fn clean(window: &Window, along: &[f64], at: impl Fn(f64, f64) -> (f64, f64)) -> String {
    let low = |re: f64| (1.0 / window.to).max(ejection_border(re));
    let high = |re: f64| (1.0 / window.from).min(splash_border(re));
    let room = || along.iter().copied().filter(|re| low(*re) <= high(*re));
    let lower = room().map(|re| at(re, low(re)));
    let upper: Vec<_> = room().map(|re| at(re, high(re))).collect();
    path(lower.chain(upper.into_iter().rev()))
}

fn side(scale: &LogScale, label: &str) -> Side {
    Side {
        marks: marks(scale),
        places: scale.places,
        label: label.to_owned(),
    }
}
