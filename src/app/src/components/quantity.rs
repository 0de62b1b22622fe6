//! A number as typed: value, unit, ± and what it means. The text is never rewritten while someone types.

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::quantity::{Kind, Unit};
use glasswick_core::sheet::Typed;
use yew::prelude::*;

use super::field::change;
use super::{MeaningInput, Place, label, unit_change, unit_select};
use crate::state::{Change, Edit};
use crate::{dom, entry_text};

#[derive(PartialEq, Properties)]
pub(crate) struct QuantityInputProps {
    pub(crate) id: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) place: Place,
    pub(crate) typed: Typed,
    pub(crate) needed: bool,
    pub(crate) invalid: bool,
    pub(crate) described: AttrValue,
    pub(crate) linkable: bool,
    pub(crate) edit: Callback<Edit>,
    pub(crate) pick: Callback<Place>,
}

#[component]
pub(crate) fn QuantityInput(props: &QuantityInputProps) -> Html {
    let QuantityInputProps {
        id,
        field,
        typed,
        place,
        ..
    } = props;
    let change = &change(&props.edit, &place.path);
    // The unit that stood beside the number before it was changed last.
    let unit_before = use_state_eq(|| None::<&'static Unit>);
    let unit = entry_text::unit_beside(field, typed)
        .or(field.usual_unit())
        .unwrap_or(Kind::Ratio.coherent());
    let counted = matches!(field.kind, FieldKind::Count { .. });
    // Pads for decimals have no minus sign.
    let inputmode = match (counted, field.number_range().from < 0.0) {
        (true, _) => "numeric",
        (false, true) => "text",
        (false, false) => "decimal",
    };
    let text = {
        let (change, unit_before) = (change.clone(), unit_before.clone());
        Callback::from(move |event: InputEvent| {
            unit_before.set(None);
            change.emit(Change::Number(dom::value(&event)));
        })
    };
    let plus_minus = {
        let change = change.clone();
        Callback::from(move |event: InputEvent| change.emit(Change::PlusMinus(dom::value(&event))))
    };
    let set_unit = {
        let (change, unit_before, filled) = (
            change.clone(),
            unit_before.clone(),
            !typed.text.trim().is_empty(),
        );
        Callback::from(move |to: &'static Unit| {
            unit_before.set(filled.then_some(unit));
            change.emit(Change::Unit(to.code.into()));
        })
    };
    let pick = {
        let place = place.clone();
        props.pick.reform(move |_: MouseEvent| place.clone())
    };
    let uncertain =
        !typed.plus_minus.trim().is_empty() || entry_text::own_uncertainty(field, typed);
    html! {
        <>
            { label(field, id.to_string(), props.needed) }
            <div class="quantity">
                <input {id} class="number" type="text" {inputmode} autocomplete="off" spellcheck="false"
                    value={typed.text.clone()} oninput={text}
                    aria-invalid={props.invalid.then_some("true")} aria-describedby={&props.described} />
                { unit_select(format!("Unit of {}", field.title), field, unit, set_unit) }
                if !counted {
                    <span class="plus-minus">
                        <span aria-hidden="true">{ "±" }</span>
                        <input type="text" inputmode="decimal" autocomplete="off" spellcheck="false"
                            placeholder=" " aria-label={format!("± of {}", field.title)}
                            value={typed.plus_minus.clone()} oninput={plus_minus} />
                    </span>
                }
                if props.linkable {
                    <button type="button" class="quiet" onclick={pick}
                        aria-label={format!("Link {} to another card", field.title)}>{ "Link" }</button>
                }
                if uncertain && !counted {
                    <MeaningInput title={field.title} meaning={typed.meaning.clone()} {change} />
                }
            </div>
            if let Some(read) = entry_text::read_back(field, typed) {
                <p class="read-back">{ read }</p>
            }
            if let Some(from) = *unit_before {
                { unit_change(field, typed, from, unit, change, Callback::from({ let unit_before = unit_before.clone(); move |()| unit_before.set(None) })) }
            }
        </>
    }
}
