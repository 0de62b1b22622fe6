//! The list of calculators to choose from.

use glasswick_core::calculators::{ALL, Calculator, Stage};
use yew::prelude::*;

pub(crate) fn add_card(add: &Callback<&'static Calculator>) -> Html {
    let entry = |calculator: &'static Calculator| {
        let onclick = add.reform(move |_: MouseEvent| calculator);
        html! {
            <li key={calculator.id}>
                <button type="button" class="offer" {onclick}>
                    <span class="offer-title">{ calculator.title }</span>
                    <span class="offer-text">{ calculator.purpose }</span>
                </button>
            </li>
        }
    };
    by_stage(entry)
}

/// The calculators, those of each part of the work under its name.
pub(super) fn by_stage(entry: impl Fn(&'static Calculator) -> Html) -> Html {
    let stage = |stage: &Stage| {
        let of_it = ALL.iter().copied().filter(|c| c.stage == *stage);
        html! {
            <section key={stage.title()}>
                <h3>{ stage.title() }</h3>
                <ul class="offers">{ for of_it.map(&entry) }</ul>
            </section>
        }
    };
    Stage::ALL.iter().map(stage).collect()
}
