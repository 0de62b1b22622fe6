//! After a change of unit: says that the number was kept, and offers the other reading. Someone who typed 10 and
//! corrects mL to µL would otherwise be off a thousandfold, whichever way was taken silently.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::Unit;
use glasswick_core::sheet::Typed;
use yew::prelude::*;

use crate::entry_text::{converted, own_unit};
use crate::state::Change;

#[derive(PartialEq, Properties)]
pub(crate) struct UnitChangeProps {
    pub(crate) field: &'static Field,
    pub(crate) typed: Typed,
    pub(crate) from: &'static Unit,
    pub(crate) to: &'static Unit,
    pub(crate) change: Callback<Change>,
    pub(crate) close: Callback<()>,
}

#[component]
pub(crate) fn UnitChange(props: &UnitChangeProps) -> Html {
    let UnitChangeProps {
        field,
        typed,
        from,
        to,
        ..
    } = props;
    if let Some(own) = own_unit(field, typed) {
        return html! { <p class="read-back">{ format!("The box itself says {}: that unit counts.", own.symbol) }</p> };
    }
    if from.code == to.code {
        return Html::default();
    }
    let kept = typed.text.trim();
    let (before, after) = (from.after_number(), to.after_number());
    let convert = converted(field, typed, from, to).map(|other| {
        let label = format!("Convert to {}{after} instead", other.text);
        let (change, close) = (props.change.clone(), props.close.clone());
        let onclick = Callback::from(move |_: MouseEvent| {
            change.emit(Change::Typed(other.clone()));
            close.emit(());
        });
        html! { <button type="button" {onclick}>{ label }</button> }
    });
    html! {
        <div class="unit-change" role="status">
            <p>{ format!("Number kept: {kept}{before} is now {kept}{after}.") }</p>
            { convert }
        </div>
    }
}
