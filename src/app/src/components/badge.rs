//! How a card or check stands: a shape and a word; the shapes differ without colour.

use yew::prelude::*;

use crate::standing::Standing;

pub(crate) fn badge(standing: Standing) -> Html {
    html! {
        <span class={classes!("badge", standing.class())}>
            <svg class="shape" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
                { shape(standing) }
            </svg>
            { standing.word() }
        </span>
    }
}

fn shape(standing: Standing) -> Html {
    match standing {
        Standing::Waiting => html! {
            <circle class="line" cx="8" cy="8" r="6" stroke-dasharray="2.5 2.2" />
        },
        Standing::Computed => html! { <circle class="line" cx="8" cy="8" r="6" /> },
        Standing::InRange => html! {
            <><circle class="line" cx="8" cy="8" r="6" /><circle class="solid" cx="8" cy="8" r="3" /></>
        },
        Standing::Note => html! {
            <><rect class="line" x="2" y="2" width="12" height="12" rx="2" />
            <path class="line" d="M5 6.2h6M5 9.8h4" /></>
        },
        Standing::Warning => html! {
            <><path class="line" d="M8 2 14.5 13.5h-13Z" /><path class="line" d="M8 6.5v3M8 11.2v.6" /></>
        },
        Standing::Stopped => html! {
            <><rect class="solid" x="1.5" y="1.5" width="13" height="13" rx="1" />
            <path class="cut" d="M4.5 8h7" /></>
        },
    }
}
