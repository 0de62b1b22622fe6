//! Measured points: pasted, or loaded from a file.

use glasswick_core::calculators::Field;
use glasswick_core::points::Taken;
use glasswick_core::quantity::{Kind, Unit, unit};
use glasswick_core::sheet::{PointsText, understand};
use web_sys::File;
use yew::platform::spawn_local;
use yew::prelude::*;

use super::field::change;
use super::{Place, file_button, label, points_preview, unit_select};
use crate::state::{Change, Edit};
use crate::{dom, files};

#[derive(PartialEq, Properties)]
pub(crate) struct CurveInputProps {
    pub(crate) id: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) x: &'static Field,
    pub(crate) y: &'static Field,
    pub(crate) points: PointsText,
    pub(crate) needed: bool,
    pub(crate) invalid: bool,
    pub(crate) described: AttrValue,
    pub(crate) place: Place,
    pub(crate) edit: Callback<Edit>,
}

#[component]
pub(crate) fn CurveInput(props: &CurveInputProps) -> Html {
    let CurveInputProps {
        id,
        field,
        x,
        y,
        points,
        place,
        ..
    } = props;
    let change = &change(&props.edit, &place.path);
    let failed = use_state_eq(|| None::<String>);
    // A long text is read anew when it changes, not whenever the card does.
    let read = use_memo((*field, points.clone()), |(field, points)| {
        understand(field, points)
    });
    let oninput = {
        let change = change.clone();
        Callback::from(move |event: InputEvent| change.emit(Change::Points(dom::value(&event))))
    };
    let load: Callback<File> = {
        let (change, failed) = (change.clone(), failed.clone());
        Callback::from(move |file: File| {
            let (change, failed) = (change.clone(), failed.clone());
            spawn_local(async move {
                match files::read(file).await {
                    Ok(text) => {
                        failed.set(None);
                        change.emit(Change::File(text));
                    }
                    Err(sentence) => failed.set(Some(sentence)),
                }
            });
        })
    };
    // A file may also be dropped onto the box; the browser would otherwise leave the page for it.
    let ondragover = Callback::from(|event: DragEvent| event.prevent_default());
    let ondrop = {
        let load = load.clone();
        Callback::from(move |event: DragEvent| {
            event.prevent_default();
            let files = event.data_transfer().and_then(|data| data.files());
            if let Some(file) = files.and_then(|files| files.get(0)) {
                load.emit(file);
            }
        })
    };
    let taken = read.as_ref().as_ref().ok();
    let axis =
        |axis: &'static Field, code: &str, taken: Option<&Taken>, set: fn(String) -> Change| {
            let kind = axis.number_kind().unwrap_or(Kind::Ratio);
            let chosen = if code.is_empty() {
                None
            } else {
                unit(kind, code)
            };
            // The unit that the numbers have: the text may say another than the usual one.
            let taken = taken.map(|taken| taken.unit);
            let unit = taken
                .or(chosen)
                .or(axis.usual_unit())
                .unwrap_or(kind.coherent());
            let change = change.reform(move |unit: &'static Unit| set(unit.code.into()));
            html! {
                <span class="axis">{ axis.title }
                    { unit_select(format!("Unit of {}", axis.title), axis, unit, change) }
                </span>
            }
        };
    html! {
        <>
            { label(field, id.to_string(), props.needed) }
            <div class="axes">
                { axis(x, &points.x_unit, taken.map(|read| &read.x), Change::XUnit) }
                { axis(y, &points.y_unit, taken.map(|read| &read.y), Change::YUnit) }
            </div>
            <textarea {id} class="points" rows="8" spellcheck="false" autocomplete="off"
                placeholder="Paste columns of numbers, one point a line, or drop a file here"
                value={points.text.clone()} {oninput} {ondragover} {ondrop}
                aria-invalid={props.invalid.then_some("true")} aria-describedby={&props.described} />
            { file_button("Load a file", ".csv,.txt,.dat,.tsv,.log,text/*", load) }
            if let Some(sentence) = &*failed {
                <p class="problem" role="alert">{ sentence }</p>
            }
            if !points.text.trim().is_empty() {
                { points_preview(field, &read, points.corrections, &change.reform(Change::Corrections)) }
            }
        </>
    }
}
