//! What a new run sheet can begin with.

use glasswick_core::calculators::Calculator;
use yew::prelude::*;

use super::add_card::by_stage;
use crate::route::{New, Route};

pub(crate) fn begin() -> Html {
    let offer = |new: New, title: &'static str, text: &'static str| {
        html! {
            <li>
                <a class="button offer" href={Route::New(new).to_string()}>
                    <span class="offer-title">{ title }</span>
                    <span class="offer-text">{ text }</span>
                </a>
            </li>
        }
    };
    let one = |calculator: &'static Calculator| {
        offer(
            New::Calculator(calculator.id.into()),
            calculator.title,
            calculator.purpose,
        )
    };
    html! {
        <main class="place begin">
            <h2>{ "Begin a run sheet" }</h2>
            <ul class="offers">
                { offer(New::Chain, "The whole chain", "A card for every step from the ink to the measured cell, linked where one step feeds the next.") }
                { offer(New::Demo, "The demo", "An invented run of zinc oxide tiles, filled in, to look at and to try things on.") }
                { offer(New::TwoProcesses, "Two processes compared",
                    "Twelve invented cells of two ways of firing: their curves, which way is better, how sure that is, and why.") }
                { offer(New::Empty, "Empty", "No card yet: add the steps as you come to them.") }
            </ul>
            <h2>{ "Or with one step" }</h2>
            { by_stage(one) }
        </main>
    }
}
