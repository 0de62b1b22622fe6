//! After a change of unit: says that the number was kept, and offers the other reading. Someone who typed 10 and
//! corrects mL to µL would otherwise be off a thousandfold, whichever way was taken silently.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::Unit;
use glasswick_core::sheet::{Typed, split_readings};
use glasswick_core::uncertainty::Meaning;
use yew::prelude::*;

use crate::entry_text::{converted, own_unit};
use crate::state::Change;

pub(crate) fn unit_change(
    field: &'static Field,
    typed: &Typed,
    from: &'static Unit,
    to: &'static Unit,
    change: &Callback<Change>,
    close: Callback<()>,
) -> Html {
    if let Some(own) = own_unit(field, typed) {
        return html! { <p class="read-back">{ format!("The box itself says {}: that unit counts.", own.symbol) }</p> };
    }
    if from.code == to.code {
        return Html::default();
    }
    let (before, after) = (from.after_number(), to.after_number());
    let readings = match typed.meaning {
        Meaning::Repeats => Some(split_readings(&typed.text).count()),
        _ => None,
    };
    let kept = match readings {
        Some(n) => format!("Numbers kept: the {n} readings are now in {}.", to.symbol),
        None => {
            let kept = typed.text.trim();
            format!("Number kept: {kept}{before} is now {kept}{after}.")
        }
    };
    let convert = converted(field, typed, from, to).map(|other| {
        let label = match readings {
            Some(_) => format!("Convert them to {} instead", to.symbol),
            None => format!("Convert to {}{after} instead", other.text),
        };
        let (change, close) = (change.clone(), close.clone());
        let onclick = Callback::from(move |_: MouseEvent| {
            change.emit(Change::Typed(other.clone()));
            close.emit(());
        });
        html! { <button type="button" {onclick}>{ label }</button> }
    });
    html! {
        <div class="unit-change" role="status">
            <p>{ kept }</p>
            { convert }
        </div>
    }
}
