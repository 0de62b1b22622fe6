//! Keeps the run sheet: soon after every change, and at once when the page is left or hidden.

use std::cell::RefCell;
use std::rc::Rc;

use glasswick_record::{Document, run_sheet_text};
use gloo_events::EventListener;
use gloo_timers::callback::Timeout;
use web_sys::VisibilityState;
use yew::prelude::*;

use crate::start::Start;
use crate::{dom, storage};

/// A change is written at the latest this long after it was made.
const DELAY_MS: u32 = 250;

/// Whether what is on the page is kept.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kept {
    /// Nothing was entered yet.
    Nothing,
    /// The write has returned.
    Saved,
    /// A change waits to be written.
    Pending,
    /// It is not kept, and why.
    Failed(String),
}

#[derive(Default)]
struct Saver {
    waiting: Option<Rc<Document>>,
    timer: Option<Timeout>,
}

/// Keeps the document; says whether it is kept.
#[hook]
pub(crate) fn use_autosave(document: &Rc<Document>, revision: u32, start: &Start) -> Kept {
    let kept = use_state_eq(|| match &start.unkept {
        Some(reason) => Kept::Failed(reason.clone()),
        None if start.restored => Kept::Saved,
        None => Kept::Nothing,
    });
    let saver = use_mut_ref(Saver::default);
    let may_save = start.unkept.is_none();

    let write = {
        let (saver, kept) = (saver.clone(), kept.setter());
        use_callback((), move |(), ()| write(&saver, &kept))
    };

    {
        let (document, kept, write) = (document.clone(), kept.setter(), write.clone());
        use_effect_with(revision, move |revision| {
            if *revision > 0 && may_save {
                let mut saver_now = saver.borrow_mut();
                saver_now.waiting = Some(document);
                kept.set(Kept::Pending);
                saver_now
                    .timer
                    .get_or_insert_with(|| Timeout::new(DELAY_MS, move || write.emit(())));
            }
        });
    }

    use_effect_with((), move |()| {
        let listeners = listeners(&write);
        move || drop(listeners)
    });
    (*kept).clone()
}

fn write(saver: &RefCell<Saver>, kept: &UseStateSetter<Kept>) {
    let mut saver = saver.borrow_mut();
    saver.timer = None;
    if let Some(document) = saver.waiting.take() {
        match storage::save(&run_sheet_text(&document)) {
            Ok(()) => kept.set(Kept::Saved),
            Err(error) => kept.set(Kept::Failed(error.to_string())),
        }
    }
}

/// Writes at once when the page is left or hidden: it may never come back.
fn listeners(write: &Callback<()>) -> Vec<EventListener> {
    let (Some(window), Some(document)) = (web_sys::window(), dom::document()) else {
        return Vec::new();
    };
    let left = {
        let write = write.clone();
        EventListener::new(&window, "pagehide", move |_| write.emit(()))
    };
    let hidden = {
        let (write, page) = (write.clone(), document.clone());
        EventListener::new(&document, "visibilitychange", move |_| {
            if page.visibility_state() == VisibilityState::Hidden {
                write.emit(());
            }
        })
    };
    vec![left, hidden]
}
