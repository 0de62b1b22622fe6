//! Says a new result to people who do not see it: once, a moment after the last change.

use gloo_timers::callback::Timeout;
use yew::prelude::*;

const PAUSE_MS: u32 = 1000;

#[derive(PartialEq, Properties)]
pub(crate) struct AnnouncerProps {
    /// What there is to say.
    pub(crate) text: AttrValue,
}

#[component]
pub(crate) fn Announcer(props: &AnnouncerProps) -> Html {
    let said = use_state_eq(|| AttrValue::from(""));
    {
        let said = said.setter();
        use_effect_with(props.text.clone(), move |text| {
            let text = text.clone();
            let timer = Timeout::new(PAUSE_MS, move || said.set(text));
            move || drop(timer)
        });
    }
    html! { <p class="visually-hidden" role="status">{ &*said }</p> }
}
