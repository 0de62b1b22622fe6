//! Keeps the run sheet: soon after every change, and at once when the page is left or hidden.

use std::cell::RefCell;
use std::rc::{Rc, Weak};

use glasswick_record::Document;
use gloo_events::EventListener;
use gloo_timers::callback::Timeout;
use web_sys::VisibilityState;
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::dom;
use crate::exchange::saving;
use crate::opening::Opened;
use crate::storage::{Stamp, StorageError, Store, Summary};

/// A change is written this long after it was made, so that the write has completed within 300 ms.
const DELAY_MS: u32 = 150;

/// Whether what is on the page is kept.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kept {
    /// A copy from a link that nobody has kept or changed yet.
    NotYet,
    /// The write has completed.
    Saved,
    /// A change waits to be written.
    Pending,
    /// Another tab or window wrote this run sheet; nothing is written over it.
    Elsewhere,
    /// It is not kept, and why.
    Failed(StorageError),
}

/// What is to be kept.
#[derive(Clone, PartialEq)]
pub(crate) struct Keeping {
    /// The run sheet.
    pub(crate) document: Rc<Document>,
    /// What the shelf says of it.
    pub(crate) summary: Summary,
}

/// Writes the open run sheet, one write after the other.
pub(crate) struct Saver {
    store: Store,
    id: String,
    stamp: Option<Stamp>,
    waiting: Option<Keeping>,
    timer: Option<Timeout>,
    writing: bool,
    kept: UseStateSetter<Kept>,
}

impl Saver {
    /// Lets a change wait for the next write.
    pub(crate) fn keep(this: &SharedSaver, keeping: Keeping) {
        let mut saver = this.borrow_mut();
        saver.waiting = Some(keeping);
        saver.kept.set(Kept::Pending);
        if saver.timer.is_none() {
            let later = this.clone();
            saver.timer = Some(Timeout::new(DELAY_MS, move || Saver::write(&later)));
        }
    }

    /// Writes what waits, until nothing does.
    fn write(this: &SharedSaver) {
        this.borrow_mut().timer = None;
        if core::mem::replace(&mut this.borrow_mut().writing, true) {
            return;
        }
        let saver = this.clone();
        spawn_local(async move {
            loop {
                let Some(keeping) = saver.borrow_mut().waiting.take() else {
                    break;
                };
                let (store, id, stamp) = {
                    let saver = saver.borrow();
                    (saver.store.clone(), saver.id.clone(), saver.stamp.clone())
                };
                let outcome = store
                    .save(
                        &id,
                        stamp,
                        &saving(&keeping.document, keeping.summary.clone()),
                    )
                    .await;
                let mut now = saver.borrow_mut();
                match outcome {
                    Ok(stamp) => {
                        let first = now.stamp.is_none();
                        now.stamp = Some(stamp);
                        if now.waiting.is_none() {
                            now.kept.set(Kept::Saved);
                        }
                        if first {
                            spawn_local(async move {
                                // What the browser answers is said on the shelf.
                                let _ = store.ask_to_persist().await;
                            });
                        }
                    }
                    Err(error) => {
                        // It waits for the next try, unless something newer does.
                        now.waiting.get_or_insert(keeping);
                        now.kept.set(match error {
                            StorageError::Conflict | StorageError::NotThere => Kept::Elsewhere,
                            other => Kept::Failed(other),
                        });
                        break;
                    }
                }
            }
            saver.borrow_mut().writing = false;
        });
    }

    /// Writes what waits before the page goes: it may never come back.
    fn write_at_once(this: &SharedSaver) {
        {
            let saver = this.borrow();
            if let Some(keeping) = &saver.waiting {
                let saving = saving(&keeping.document, keeping.summary.clone());
                // Where this fails nobody is left to tell, and the usual write follows.
                let _ = saver
                    .store
                    .save_at_once(&saver.id, saver.stamp.clone(), &saving);
            }
        }
        Saver::write(this);
    }

    /// Goes on with what another tab wrote.
    pub(crate) fn take_theirs(&mut self, stamp: Option<Stamp>) {
        self.stamp = stamp;
        self.waiting = None;
        self.kept.set(Kept::Saved);
    }

    /// Goes on under another identifier, where nothing is yet.
    pub(crate) fn move_to(&mut self, id: String) {
        self.id = id;
        self.stamp = None;
        self.waiting = None;
        self.kept.set(Kept::Pending);
    }
}

/// The saver as the page holds it.
pub(crate) type SharedSaver = Rc<RefCell<Saver>>;

thread_local! {
    /// The saver of the run sheet that is open, for whoever is about to load the page anew.
    static OPEN: RefCell<Weak<RefCell<Saver>>> = RefCell::default();
}

/// How often it is looked whether everything is kept, and how long that is waited for.
const LOOK_MS: u32 = 30;
const LOOKS: u32 = 200;

/// Writes what waits, then goes on; not where it cannot be written, which the head of the run sheet says.
pub(crate) fn settle(go_on: Callback<()>) {
    fn look(saver: SharedSaver, go_on: Callback<()>, looks: u32) {
        let busy = saver.borrow().waiting.is_some() || saver.borrow().writing;
        if !busy {
            go_on.emit(());
        } else if looks > 0 {
            Timeout::new(LOOK_MS, move || look(saver, go_on, looks - 1)).forget();
        }
    }
    match OPEN.with_borrow(Weak::upgrade) {
        Some(saver) => {
            Saver::write(&saver);
            look(saver, go_on, LOOKS);
        }
        None => go_on.emit(()),
    }
}

/// Keeps what is on the page; says whether it is kept.
#[hook]
pub(crate) fn use_autosave(
    store: &Store,
    opened: &Opened,
    keeping: Keeping,
    revision: u32,
) -> (Kept, SharedSaver) {
    let kept = use_state_eq(|| match (opened.copy, &opened.stamp) {
        (true, _) => Kept::NotYet,
        (false, Some(_)) => Kept::Saved,
        (false, None) => Kept::Pending,
    });
    let saver = {
        let (store, kept) = (store.clone(), kept.setter());
        use_memo((), |()| {
            RefCell::new(Saver {
                store,
                id: opened.id.clone(),
                stamp: opened.stamp.clone(),
                waiting: None,
                timer: None,
                writing: false,
                kept,
            })
        })
    };
    {
        let saver = saver.clone();
        let new = !opened.copy && opened.stamp.is_none();
        let stopped = *kept == Kept::Elsewhere;
        use_effect_with(revision, move |revision| {
            if (*revision > 0 || new) && !stopped {
                Saver::keep(&saver, keeping);
            }
        });
    }
    {
        let (saver, kept, store) = (saver.clone(), kept.setter(), store.clone());
        use_effect_with((), move |()| {
            OPEN.set(Rc::downgrade(&saver));
            let watched = saver.clone();
            let elsewhere = store.on_foreign_change(move |id| {
                if id == watched.borrow().id {
                    kept.set(Kept::Elsewhere);
                }
            });
            let listeners = listeners(&saver);
            move || {
                // The place is left for another: what waits is written now.
                Saver::write(&saver);
                drop((elsewhere, listeners));
            }
        });
    }
    ((*kept).clone(), saver)
}

fn listeners(saver: &SharedSaver) -> Vec<EventListener> {
    let (Some(window), Some(document)) = (web_sys::window(), dom::document()) else {
        return Vec::new();
    };
    let left = {
        let saver = saver.clone();
        EventListener::new(&window, "pagehide", move |_| Saver::write_at_once(&saver))
    };
    let hidden = {
        let (saver, page) = (saver.clone(), document.clone());
        EventListener::new(&document, "visibilitychange", move |_| {
            if page.visibility_state() == VisibilityState::Hidden {
                Saver::write_at_once(&saver);
            }
        })
    };
    vec![left, hidden]
}
