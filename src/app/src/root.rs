//! The whole page: where someone is decides what is shown.

use yew::platform::spawn_local;
use yew::prelude::*;

use crate::autosave::settle;
use crate::components::{OfflineLine, masthead, notice_bar};
use crate::notice::Notice;
use crate::route::{Route, use_route};
use crate::shelf::ShelfPlace;
use crate::storage::{Store, settings};
use crate::workplace::Workplace;
use crate::{dom, exchange};

/// The setting that remembers which run sheet was open.
const OPEN: &str = "open";

#[component]
pub(crate) fn Root() -> Html {
    let route = use_route();
    let store = use_state(|| None::<Store>);
    let notice = use_state_eq(|| None::<Notice>);
    {
        let (store, notices) = (store.setter(), notice.setter());
        use_effect_with((), move |()| {
            spawn_local(async move {
                let opened = Store::open().await;
                notices.set(carry_over(&opened).await);
                store.set(Some(opened));
            });
        });
    }
    let open = match &route {
        Route::Sheet { id, .. } | Route::Record { id } => {
            // Where it cannot be kept, the two places are reached from the shelf.
            let _ = settings::set(OPEN, id);
            Some(id.clone())
        }
        _ => settings::get(OPEN),
    };
    let notices = notice.setter();
    let export = {
        let notices = notices.clone();
        Callback::from(move |text: String| {
            exchange::export(&notices, "glasswick-set-aside.json", &text)
        })
    };
    let forget = {
        let notices = notices.clone();
        Callback::from(move |()| notices.set(None))
    };
    let place = match (&route, (*store).clone()) {
        (_, None) => html! { <main class="place"><p>{ "Opening the store…" }</p></main> },
        (Route::Unknown, _) => html! {
            <main class="place">
                <h2>{ "There is nothing at this address" }</h2>
                <p>{ "The address was cut or mistyped. " }<a href={Route::Shelf.to_string()}>{ "Go to the shelf" }</a></p>
            </main>
        },
        (Route::Shelf, Some(store)) => html! { <ShelfPlace {store} {notices} /> },
        (_, Some(store)) => html! { <Workplace {store} route={route.clone()} {notices} /> },
    };
    html! {
        <>
            { masthead(&route, open) }
            if let Some(said) = &*notice {
                { notice_bar(said, export, forget) }
            }
            { place }
            <OfflineLine save_first={Callback::from(settle)} />
        </>
    }
}

/// Puts the one run sheet that the first version of this page kept onto the shelf.
async fn carry_over(store: &Store) -> Option<Notice> {
    let text = store.legacy_text()?;
    let imported = exchange::import(store, vec![text.clone()]).await;
    let safe = if imported.ids.is_empty() {
        store
            .set_aside("The run sheet of the first version", &text, &dom::now())
            .await
            .is_ok()
    } else {
        true
    };
    if safe {
        store.legacy_done();
    }
    imported.notice
}
