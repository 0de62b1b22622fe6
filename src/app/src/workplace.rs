//! Opens the run sheet that the address names, and shows it.

use std::rc::Rc;

use yew::platform::spawn_local;
use yew::prelude::*;

use crate::bench::Bench;
use crate::components::begin;
use crate::notice::Notices;
use crate::opening::{Opened, open};
use crate::route::{self, Route};
use crate::storage::Store;

#[derive(PartialEq, Properties)]
pub(crate) struct WorkplaceProps {
    pub(crate) store: Store,
    pub(crate) route: Route,
    pub(crate) notices: Notices,
}

/// What is open.
#[derive(Clone, PartialEq)]
enum Desk {
    Opening,
    Refused,
    /// The number tells one opening from the next, also of the same run sheet.
    Open(Rc<Opened>, u32),
}

#[component]
pub(crate) fn Workplace(props: &WorkplaceProps) -> Html {
    let desk = use_state_eq(|| Desk::Opening);
    let wanted = wanted(&props.route);
    let openings = use_mut_ref(|| 0_u32);
    {
        let (store, route, notices) = (
            props.store.clone(),
            props.route.clone(),
            props.notices.clone(),
        );
        let (desk, here) = (desk.clone(), wanted.clone());
        use_effect_with(wanted, move |_| {
            let is_open = match (&*desk, &here) {
                (Desk::Open(opened, _), Wanted::Stored(id)) => opened.id == *id,
                (_, Wanted::Nothing) => true,
                _ => false,
            };
            if !is_open {
                *openings.borrow_mut() += 1;
                let opening = *openings.borrow();
                desk.set(Desk::Opening);
                spawn_local(async move {
                    let opened = open(&store, &route).await;
                    // Someone may have gone on meanwhile.
                    if *openings.borrow() != opening {
                        return;
                    }
                    desk.set(match opened {
                        Ok((opened, notice)) => {
                            notices.set(notice);
                            if let Route::New(_) = route {
                                route::replace(&Route::Sheet {
                                    id: opened.id.clone(),
                                    card: None,
                                });
                            }
                            Desk::Open(Rc::new(opened), opening)
                        }
                        Err(notice) => {
                            notices.set(Some(notice));
                            Desk::Refused
                        }
                    });
                });
            }
        });
    }
    let moved = {
        let (desk, route) = (desk.clone(), props.route.clone());
        Callback::from(move |id: String| {
            if let Desk::Open(opened, opening) = &*desk {
                let opened = Opened {
                    id: id.clone(),
                    copy: false,
                    ..(**opened).clone()
                };
                desk.set(Desk::Open(Rc::new(opened), *opening));
                route::replace(&match &route {
                    Route::Record { .. } => Route::Record { id },
                    other => Route::Sheet {
                        id,
                        card: other.card().map(str::to_owned),
                    },
                });
            }
        })
    };
    match (&props.route, &*desk) {
        (Route::Begin, _) => begin(),
        (_, Desk::Opening) => html! { <main class="place"><p>{ "Opening…" }</p></main> },
        (_, Desk::Refused) => html! {
            <main class="place">
                <h2>{ "This run sheet cannot be opened" }</h2>
                <p><a class="button" href={Route::Shelf.to_string()}>{ "Go to the shelf" }</a></p>
            </main>
        },
        (route, Desk::Open(opened, opening)) => html! {
            <Bench key={*opening} store={props.store.clone()} opened={opened.clone()}
                route={route.clone()} notices={props.notices.clone()} {moved} />
        },
    }
}

/// What is to be open: moving between places and cards of one run sheet opens nothing anew.
#[derive(Clone, PartialEq)]
enum Wanted {
    Nothing,
    Stored(String),
    Link(String),
    New(Route),
}

fn wanted(route: &Route) -> Wanted {
    match route {
        Route::Sheet { id, .. } | Route::Record { id } => Wanted::Stored(id.clone()),
        Route::Link { state, .. } => Wanted::Link(state.clone()),
        Route::New(_) => Wanted::New(route.clone()),
        Route::Shelf | Route::Begin | Route::Unknown => Wanted::Nothing,
    }
}
