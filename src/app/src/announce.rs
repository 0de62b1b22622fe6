//! Says a new result to people who do not see it: once, a moment after the last change.

use gloo_timers::callback::Timeout;
use yew::prelude::*;

const PAUSE_MS: u32 = 1000;

/// What there is to say: the text of this revision, once it has stood for a moment.
#[hook]
pub(crate) fn use_announcement(revision: u32, text: String) -> String {
    let said = use_state_eq(String::new);
    {
        let said = said.setter();
        use_effect_with(revision, move |_| {
            let timer = Timeout::new(PAUSE_MS, move || said.set(text));
            move || drop(timer)
        });
    }
    (*said).clone()
}
