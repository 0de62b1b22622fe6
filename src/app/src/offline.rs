//! Whether the page works offline, as `offline.js` finds it out, and what a person can ask of the offline copy.
//!
//! The script writes what is so onto the page's root element and says by an event that it changed.

use gloo_events::EventListener;
use web_sys::Event;
use yew::prelude::*;

use crate::dom;

/// How the offline copy stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Copy {
    /// Nothing is known yet.
    #[default]
    Unknown,
    /// It is being made.
    Making,
    /// Every file of it is there.
    Complete,
    /// It was made, and a part of it is gone.
    Incomplete,
    /// A file did not arrive, or not as it was built.
    Failed,
    /// It was to be made anew, and the server could not be reached.
    Unreachable,
    /// A setting of the browser forbids it.
    Refused,
    /// This browser, or this address, knows no offline copies.
    Unsupported,
}

/// What the page knows about its offline copy.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Offline {
    /// How it stands.
    pub(crate) copy: Copy,
    /// The name of the build that this page is of.
    pub(crate) build: String,
    /// Whether a newer build is ready to be used.
    pub(crate) update: bool,
}

/// What can be asked of the script.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ask {
    /// Load the newer build.
    Update,
    /// Make the copy anew.
    Repair,
}

/// What is known, anew whenever it changes.
#[hook]
pub(crate) fn use_offline() -> Offline {
    let known = use_state_eq(read);
    {
        let known = known.setter();
        use_effect_with((), move |()| {
            let listener = dom::document().map(|document| {
                EventListener::new(&document, "glasswick-offline", move |_| known.set(read()))
            });
            move || drop(listener)
        });
    }
    (*known).clone()
}

fn read() -> Offline {
    let Some(root) = dom::document().and_then(|document| document.document_element()) else {
        return Offline::default();
    };
    let text = |name| root.get_attribute(name).unwrap_or_default();
    Offline {
        copy: match text("data-offline").as_str() {
            "making" => Copy::Making,
            "works" => Copy::Complete,
            "incomplete" => Copy::Incomplete,
            "failed" => Copy::Failed,
            "unreachable" => Copy::Unreachable,
            "refused" => Copy::Refused,
            "unsupported" => Copy::Unsupported,
            _ => Copy::Unknown,
        },
        build: text("data-build"),
        update: text("data-update") == "ready",
    }
}

/// Asks the script. The page may be loaded anew then: it saves first.
pub(crate) fn ask(what: Ask) {
    let name = match what {
        Ask::Update => "glasswick-update",
        Ask::Repair => "glasswick-repair",
    };
    if let (Some(document), Ok(event)) = (dom::document(), Event::new(name)) {
        // It only says whether somebody prevented something.
        let _ = document.dispatch_event(&event);
    }
}
