//! A number as typed: value, unit, ± and what it means. The text is never rewritten while someone types.

use std::collections::BTreeSet;
use std::rc::Rc;

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::quantity::{Kind, Unit};
use glasswick_core::sheet::Typed;
use glasswick_core::uncertainty::Meaning;
use yew::prelude::*;

use super::field::change;
use super::uncertainty_panel::Panel;
use super::{Place, label, unit_change, unit_select};
use crate::known::{Known, Piece};
use crate::picked::{has_table, without_pick};
use crate::state::{Change, Edit};
use crate::stated::{Aside, takes_plus_minus};
use crate::{dom, entry_text, stated_words};

#[derive(PartialEq, Properties)]
pub(crate) struct QuantityInputProps {
    pub(crate) id: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) place: Place,
    pub(crate) typed: Typed,
    /// How it was read; none where it could not be.
    pub(crate) known: Option<Known>,
    /// The pieces of ware on the run sheet that have a name.
    pub(crate) pieces: Rc<BTreeSet<Piece>>,
    pub(crate) needed: bool,
    pub(crate) invalid: bool,
    pub(crate) described: AttrValue,
    pub(crate) linkable: bool,
    pub(crate) edit: Callback<Edit>,
    pub(crate) pick: Callback<Place>,
    pub(crate) pick_from_table: Callback<Place>,
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
    let known = props.known.as_ref();
    let change = &change(&props.edit, &place.path);
    // The unit that stood beside the number before it was changed last, and where the number came from.
    let unit_before = use_state_eq(|| None::<(&'static Unit, String)>);
    let open = use_state_eq(|| false);
    // A number of the panel as it was typed: what is stored of it is the number.
    let number_text = use_state_eq(String::new);
    let aside = use_mut_ref(Aside::default);
    let unit = entry_text::unit_beside(field, typed)
        .or(field.usual_unit())
        .unwrap_or(Kind::Ratio.coherent());
    let counted = matches!(field.kind, FieldKind::Count { .. });
    let many = typed.meaning == Meaning::Repeats || typed.text.contains('\n');
    let swapped = use_mut_ref(|| many);
    use_effect_with((many, id.clone()), move |(many, id)| {
        if swapped.replace(*many) != *many {
            dom::go_on_in(id);
        }
    });
    // Pads for decimals have no minus sign, nor a key for the next line.
    let inputmode = match (counted, many || field.number_range().from < 0.0) {
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
    let paste = {
        let (change, open, aside) = (change.clone(), open.setter(), aside.clone());
        let (field, typed) = (*field, typed.clone());
        Callback::from(move |event: Event| {
            let pasted = dom::pasted(&event);
            let parts = pasted
                .as_ref()
                .map(|parts| parts.each_ref().map(String::as_str));
            if counted {
                return;
            }
            if let Some(text) = parts.and_then(|parts| entry_text::several(field, &typed, parts)) {
                event.prevent_default();
                let turned = aside.borrow_mut().turn(&typed, &Meaning::Repeats);
                change.emit(Change::Typed(Typed {
                    text,
                    ..without_pick(turned)
                }));
                open.set(true);
            }
        })
    };
    let plus_minus = {
        let change = change.clone();
        Callback::from(move |event: InputEvent| change.emit(Change::PlusMinus(dom::value(&event))))
    };
    let set_unit = {
        let (change, unit_before, source, filled) = (
            change.clone(),
            unit_before.clone(),
            typed.source.clone(),
            !typed.text.trim().is_empty(),
        );
        Callback::from(move |to: &'static Unit| {
            unit_before.set(filled.then(|| (unit, source.clone())));
            change.emit(Change::Unit(to.code.into()));
        })
    };
    let pick = {
        let place = place.clone();
        props.pick.reform(move |_: MouseEvent| place.clone())
    };
    let pick_from_table = {
        let place = place.clone();
        let (pick, unit_before) = (&props.pick_from_table, unit_before.clone());
        pick.reform(move |_: MouseEvent| {
            unit_before.set(None);
            place.clone()
        })
    };
    let toggle = {
        let (open, to) = (open.setter(), !*open);
        Callback::from(move |_: MouseEvent| open.set(to))
    };
    let turn = {
        let (change, typed) = (change.clone(), typed.clone());
        Callback::from(move |to: Meaning| {
            change.emit(Change::Typed(aside.borrow_mut().turn(&typed, &to)));
        })
    };
    let panel = format!("{id}-uncertainty");
    let invalid = props.invalid.then_some("true");
    let described = &props.described;
    html! {
        <>
            { label(field, id.to_string(), props.needed) }
            <div class="quantity">
                if many {
                    <textarea key="many" {id} class="number" rows={lines(&typed.text)} {inputmode} autocomplete="off" spellcheck="false"
                        value={typed.text.clone()} oninput={text} aria-invalid={invalid} aria-describedby={described} />
                } else {
                    <input key="one" {id} class="number" type="text" {inputmode} autocomplete="off" spellcheck="false"
                        value={typed.text.clone()} oninput={text} onpaste={paste}
                        aria-invalid={invalid} aria-describedby={described} />
                }
                { unit_select(format!("Unit of {}", field.title), field, unit, set_unit) }
                if !counted {
                    <span class="plus-minus">
                        <button type="button" class="sign" aria-label={format!("Uncertainty of {}", field.title)}
                            aria-expanded={open.to_string()} aria-controls={open.then(|| panel.clone())} onclick={toggle}>{ "±" }</button>
                        if takes_plus_minus(&typed.meaning) || !typed.plus_minus.is_empty() {
                            <input type="text" inputmode="decimal" autocomplete="off" spellcheck="false"
                                placeholder=" " aria-label={format!("± of {}", field.title)}
                                value={typed.plus_minus.clone()} oninput={plus_minus} />
                        }
                    </span>
                }
                if field.number_kind().is_some_and(has_table) {
                    <button type="button" class="quiet" onclick={pick_from_table}
                        aria-label={format!("Pick {} from a table", field.title)}>{ "Pick" }</button>
                }
                if props.linkable {
                    <button type="button" class="quiet" onclick={pick}
                        aria-label={format!("Link {} to another card", field.title)}>{ "Link" }</button>
                }
            </div>
            if let Some(read) = entry_text::read_back(field, typed) {
                <p class="read-back">{ read }</p>
            }
            if let Some((from, source)) = &*unit_before {
                { unit_change(field, &from_before(typed, source), from, unit, change, Callback::from({ let unit_before = unit_before.clone(); move |()| unit_before.set(None) })) }
            }
            if !counted {
                if let Some(summary) = stated_words::summary(field, typed, known) {
                    <p class={classes!("read-back", "stated", open.then_some("on-paper"))}>{ summary }</p>
                }
                if *open {
                    { Panel { id: panel, field, typed, known, pieces: &props.pieces, unit, change, turn, number_text }.html() }
                }
            }
        </>
    }
}

/// The number with the source it had before its unit was changed, unless another was stated since: converted, it is
/// again what that source says.
fn from_before(typed: &Typed, source: &str) -> Typed {
    let mut before = typed.clone();
    if before.source.is_empty() {
        before.source = source.to_owned();
    }
    before
}

/// How many lines a box of readings shows: one more than there are, within reason.
fn lines(text: &str) -> String {
    (text.split('\n').count() + 1).clamp(3, 12).to_string()
}
