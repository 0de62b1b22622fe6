//! Tells other tabs what was written, and listens to them.
//!
//! Two ways, since either may be missing: a channel between tabs, and the event that a changed key of local storage
//! raises in all other tabs. What comes both ways is reported once.

use std::cell::RefCell;
use std::rc::Rc;

use gloo_events::EventListener;
use wasm_bindgen::JsCast;
use web_sys::{BroadcastChannel, Event, MessageEvent, StorageEvent};

use super::{js, local};

const CHANNEL: &str = "glasswick";

/// Tells the other tabs. Sent when the write is complete: they find it when they look.
pub(super) fn announce(channel: Option<&BroadcastChannel>, tab: &str, id: &str, what: &str) {
    if let Some(channel) = channel {
        // Local storage tells them as well.
        let _ = channel.post_message(&js::list([tab, id, what].into_iter()));
    }
}

/// The channel between tabs, where there is one.
pub(super) fn channel() -> Option<BroadcastChannel> {
    BroadcastChannel::new(CHANNEL).ok()
}

/// Listens until it is dropped.
pub(crate) struct Listener {
    _listeners: Vec<EventListener>,
    channel: Option<BroadcastChannel>,
}

impl Drop for Listener {
    fn drop(&mut self) {
        if let Some(channel) = &self.channel {
            channel.close();
        }
    }
}

/// Calls back with the identifier of each run sheet that another tab wrote, threw away, took back or deleted.
pub(super) fn listen(tab: Rc<str>, callback: impl Fn(String) + 'static) -> Listener {
    let last = RefCell::new((String::new(), String::new()));
    let tell = Rc::new(move |id: String, what: String| {
        let news = (id, what);
        if *last.borrow() != news {
            last.replace(news.clone());
            callback(news.0);
        }
    });
    let mut listeners = Vec::new();
    let channel = channel();
    if let Some(channel) = &channel {
        let (tell, tab) = (tell.clone(), tab.clone());
        listeners.push(EventListener::new(channel, "message", move |event| {
            if let Some((from, id, what)) = message(event)
                && *from != *tab
            {
                tell(id, what);
            }
        }));
    }
    if let Some(window) = web_sys::window() {
        listeners.push(EventListener::new(&window, "storage", move |event| {
            if let Some((id, stamp)) = stamped(event)
                && !stamp.starts_with(&*tab)
            {
                tell(id, stamp);
            }
        }));
    }
    Listener {
        _listeners: listeners,
        channel,
    }
}

fn message(event: &Event) -> Option<(String, String, String)> {
    let data = event.dyn_ref::<MessageEvent>()?.data();
    let part = |position| js::text_in(&data, position);
    Some((part("0")?, part("1")?, part("2")?))
}

fn stamped(event: &Event) -> Option<(String, String)> {
    let event = event.dyn_ref::<StorageEvent>()?;
    let id = event.key()?.strip_prefix(local::STAMP)?.to_owned();
    // The key is gone when the run sheet was deleted.
    Some((id, event.new_value().unwrap_or_default()))
}
