//! Symbols with their subscripts: `m_B` is printed as m with a lowered B; and the titles that they follow.

use glasswick_core::calculators::Field;
use yew::prelude::*;

/// What a number is called, and the symbol of its field where it has one.
pub(crate) fn titled(title: &str, field: &Field) -> Html {
    html! {
        <>
            { title }
            if !field.symbol.is_empty() {
                <span class="symbol">{ symbol(field.symbol) }</span>
            }
        </>
    }
}

fn symbol(text: &str) -> Html {
    let mut parts = text.split('_');
    let first = parts.next().unwrap_or_default().to_owned();
    let lowered = parts.map(|part| {
        let end = part
            .find(|c: char| !c.is_alphanumeric())
            .unwrap_or(part.len());
        let (below, after) = part.split_at(end);
        html! { <><sub>{ below.to_owned() }</sub>{ after.to_owned() }</> }
    });
    html! { <>{ first }{ for lowered }</> }
}
