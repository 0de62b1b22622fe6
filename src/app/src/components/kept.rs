//! Keeps the run sheet, and says so in a word; where it is not kept, in a sentence that cannot be overlooked.
//!
//! A component of its own, so that the word can change without drawing the page anew.

use std::rc::Rc;

use glasswick_record::Document;
use yew::prelude::*;

use crate::autosave::{Kept, use_autosave};
use crate::start::Start;

#[derive(Properties)]
pub(crate) struct KeptWordProps {
    pub(crate) document: Rc<Document>,
    pub(crate) revision: u32,
    pub(crate) start: Rc<Start>,
}

/// The revision tells documents apart; how the page started never changes.
impl PartialEq for KeptWordProps {
    fn eq(&self, other: &Self) -> bool {
        self.revision == other.revision
    }
}

#[component]
pub(crate) fn KeptWord(props: &KeptWordProps) -> Html {
    match use_autosave(&props.document, props.revision, &props.start) {
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
