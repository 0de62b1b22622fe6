//! Addresses inside the page: what stands behind the `#`. Every text is some address; one that means nothing is
//! [`Route::Unknown`].

use core::fmt;

use gloo_events::EventListener;
use yew::prelude::*;

/// Where on the page someone is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Route {
    /// The saved run sheets.
    Shelf,
    /// What a new run sheet can begin with.
    Begin,
    /// A new run sheet; the address changes as soon as it is there.
    New(New),
    /// A run sheet.
    Sheet {
        /// Its identifier.
        id: String,
        /// The card in hand.
        card: Option<String>,
    },
    /// The record of a run sheet.
    Record {
        /// The run sheet's identifier.
        id: String,
    },
    /// An unsaved copy from a link.
    Link {
        /// The run sheet, as the link holds it.
        state: String,
        /// The card in hand.
        card: Option<String>,
    },
    /// Not an address of this page.
    Unknown,
}

/// What a new run sheet begins with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum New {
    /// No card.
    Empty,
    /// A card for every step, linked.
    Chain,
    /// The invented example.
    Demo,
    /// The invented cells of two processes.
    TwoProcesses,
    /// One card.
    Calculator(String),
    /// All of another run sheet.
    CopyOf(String),
    /// The constants of another run sheet.
    NextBatchOf(String),
}

impl Route {
    /// Reads what stands behind the `#`.
    pub(crate) fn read(hash: &str) -> Self {
        let path = hash.trim_start_matches('#').trim_start_matches('/');
        let (place, rest) = path.split_once('/').unwrap_or((path, ""));
        let parts: Vec<&str> = rest.split('/').collect();
        match (place, parts.as_slice()) {
            ("", [""]) => Route::Shelf,
            ("begin", [""]) => Route::Begin,
            ("new", ["empty"]) => Route::New(New::Empty),
            ("new", ["chain"]) => Route::New(New::Chain),
            ("new", ["demo"]) => Route::New(New::Demo),
            ("new", ["two-processes"]) => Route::New(New::TwoProcesses),
            ("new", ["card", id]) if is_id(id) => Route::New(New::Calculator((*id).into())),
            ("new", ["copy", id]) if is_id(id) => Route::New(New::CopyOf((*id).into())),
            ("new", ["next-batch", id]) if is_id(id) => Route::New(New::NextBatchOf((*id).into())),
            ("sheet", [id]) if is_id(id) => Route::Sheet {
                id: (*id).into(),
                card: None,
            },
            ("sheet", [id, card]) if is_id(id) && is_id(card) => Route::Sheet {
                id: (*id).into(),
                card: Some((*card).into()),
            },
            ("record", [id]) if is_id(id) => Route::Record { id: (*id).into() },
            ("link", _) => Route::Link {
                state: rest.into(),
                card: None,
            },
            ("link-card", [card, _, ..]) if is_id(card) => Route::Link {
                state: rest[card.len() + 1..].into(),
                card: Some((*card).into()),
            },
            _ => Route::Unknown,
        }
    }

    /// The same run sheet with another card in hand.
    pub(crate) fn with_card(&self, id: &str, card: &str) -> Self {
        let card = Some(card.to_owned());
        match self {
            Route::Link { state, .. } => Route::Link {
                state: state.clone(),
                card,
            },
            _ => Route::Sheet {
                id: id.into(),
                card,
            },
        }
    }

    /// The card in hand, where the address names one.
    pub(crate) fn card(&self) -> Option<&str> {
        match self {
            Route::Sheet { card, .. } | Route::Link { card, .. } => card.as_deref(),
            _ => None,
        }
    }
}

impl fmt::Display for Route {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Route::Shelf | Route::Unknown => write!(out, "#/"),
            Route::Begin => write!(out, "#/begin"),
            Route::New(New::Empty) => write!(out, "#/new/empty"),
            Route::New(New::Chain) => write!(out, "#/new/chain"),
            Route::New(New::Demo) => write!(out, "#/new/demo"),
            Route::New(New::TwoProcesses) => write!(out, "#/new/two-processes"),
            Route::New(New::Calculator(id)) => write!(out, "#/new/card/{id}"),
            Route::New(New::CopyOf(id)) => write!(out, "#/new/copy/{id}"),
            Route::New(New::NextBatchOf(id)) => write!(out, "#/new/next-batch/{id}"),
            Route::Sheet { id, card: None } => write!(out, "#/sheet/{id}"),
            Route::Sheet {
                id,
                card: Some(card),
            } => write!(out, "#/sheet/{id}/{card}"),
            Route::Record { id } => write!(out, "#/record/{id}"),
            Route::Link { state, card: None } => write!(out, "#/link/{state}"),
            Route::Link {
                state,
                card: Some(card),
            } => write!(out, "#/link-card/{card}/{state}"),
        }
    }
}

fn is_id(text: &str) -> bool {
    let good = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_';
    !text.is_empty() && text.len() <= 64 && text.bytes().all(good)
}

/// Goes to another place; the way back leads here.
pub(crate) fn go(route: &Route) {
    if let Some(window) = web_sys::window() {
        // A browser that refuses leaves the person where they are: nothing is lost.
        let _ = window.location().set_hash(&route.to_string());
    }
}

/// Goes to another place instead of this one.
pub(crate) fn replace(route: &Route) {
    if let Some(window) = web_sys::window() {
        let _ = window.location().replace(&route.to_string());
    }
}

fn now() -> Route {
    let hash = web_sys::window().and_then(|window| window.location().hash().ok());
    Route::read(&hash.unwrap_or_default())
}

/// Where on the page someone is, now and whenever it changes.
#[hook]
pub(crate) fn use_route() -> Route {
    let route = use_state_eq(now);
    {
        let route = route.setter();
        use_effect_with((), move |()| {
            let listener = web_sys::window()
                .map(|window| EventListener::new(&window, "hashchange", move |_| route.set(now())));
            move || drop(listener)
        });
    }
    (*route).clone()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_address_is_read_as_it_is_written() {
        let id = || String::from("3f2a-01");
        let card = || Some(String::from("dye_bath-2"));
        for route in [
            Route::Shelf,
            Route::Begin,
            Route::New(New::Empty),
            Route::New(New::Chain),
            Route::New(New::Demo),
            Route::New(New::TwoProcesses),
            Route::New(New::Calculator("dilution".into())),
            Route::New(New::CopyOf(id())),
            Route::New(New::NextBatchOf(id())),
            Route::Sheet {
                id: id(),
                card: None,
            },
            Route::Sheet {
                id: id(),
                card: card(),
            },
            Route::Record { id: id() },
            Route::Link {
                state: "1z/AbC_-=&%2F/#?".into(),
                card: None,
            },
            Route::Link {
                state: "1r?a=b/c".into(),
                card: card(),
            },
        ] {
            assert_eq!(Route::read(&route.to_string()), route);
        }
    }

    #[test]
    fn what_means_nothing_is_unknown_or_the_shelf() {
        for hash in ["", "#", "#/", "/"] {
            assert_eq!(Route::read(hash), Route::Shelf, "{hash}");
        }
        for hash in [
            "#abc",
            "#/sheet",
            "#/sheet/",
            "#/sheet/a b",
            "#/sheet/a/b/c",
            "#/record/../x",
            "#/new/x",
            "#/new/card/",
            "#/begin/x",
            "#/%00",
            "#/link-card/x",
            "#/ä/ö",
        ] {
            assert_eq!(Route::read(hash), Route::Unknown, "{hash}");
        }
    }

    #[cfg(not(target_arch = "wasm32"))]
    proptest::proptest! {
        #[test]
        fn no_address_stops_the_page(hash in ".*") {
            let route = Route::read(&hash);
            proptest::prop_assert!(
                route == Route::Unknown || Route::read(&route.to_string()) == route
            );
        }
    }
}
