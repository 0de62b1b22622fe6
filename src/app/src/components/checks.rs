//! What a careful colleague would say, with the rule's source.

use glasswick_core::problem::Check;
use yew::prelude::*;

use super::Badge;
use crate::view::Standing;

#[derive(PartialEq, Properties)]
pub(crate) struct ChecksProps {
    pub(crate) checks: Vec<Check>,
}

#[component]
pub(crate) fn Checks(props: &ChecksProps) -> Html {
    if props.checks.is_empty() {
        return Html::default();
    }
    // What asks most comes first.
    let mut checks: Vec<&Check> = props.checks.iter().collect();
    checks.sort_by_key(|check| core::cmp::Reverse(check.level));
    let item = |check: &Check| {
        html! {
            <li key={check.code}>
                <Badge standing={Standing::from(check.level)} />
                <p>{ &check.sentence }
                    <span class="source">{ format!("{} ({})", check.source.citation, check.source.evidence.words()) }</span>
                </p>
            </li>
        }
    };
    html! {
        <div class="checks">
            <h4>{ "Checks" }</h4>
            <ul>{ for checks.iter().copied().map(item) }</ul>
        </div>
    }
}
