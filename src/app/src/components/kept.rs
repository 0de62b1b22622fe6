//! Whether the run sheet is kept, in a word; where it is not, in a sentence that cannot be overlooked.

use yew::prelude::*;

use crate::autosave::Kept;

pub(crate) fn kept_word(kept: &Kept) -> Html {
    match kept {
        Kept::Failed(reason) => html! {
            <p class="kept failed" role="alert">
                <strong>{ "Not saved: export." }</strong>
                { format!(" {reason} You can go on working; export the run sheet before you leave.") }
            </p>
        },
        Kept::Nothing => html! { <p class="kept"></p> },
        Kept::Saved => html! { <p class="kept">{ "Saved in this browser" }</p> },
        Kept::Pending => html! { <p class="kept">{ "Saving…" }</p> },
    }
}
