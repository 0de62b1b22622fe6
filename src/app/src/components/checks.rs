//! What a careful colleague would say, with the rule's source.

use glasswick_core::problem::{Check, Level};
use yew::prelude::*;

use super::badge;
use crate::standing::Standing;

pub(crate) fn checks(checks: &[Check]) -> Html {
    if checks.is_empty() {
        return Html::default();
    }
    // What asks most comes first.
    let levels = [Level::Warning, Level::Note, Level::InRange];
    let ordered = levels
        .iter()
        .flat_map(|level| checks.iter().filter(|check| check.level == *level));
    let item = |check: &Check| {
        html! {
            <li key={check.code}>
                { badge(Standing::from(check.level)) }
                <p>{ &check.sentence }
                    <span class="source">{ format!("{} ({})", check.source.citation, check.source.evidence.words()) }</span>
                </p>
            </li>
        }
    };
    html! {
        <div class="checks">
            <h4>{ "Checks" }</h4>
            <ul>{ for ordered.map(item) }</ul>
        </div>
    }
}
