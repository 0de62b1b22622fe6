//! The whole page: where someone is decides what is shown.

use yew::platform::spawn_local;
use yew::prelude::*;

use crate::components::{masthead, notice_bar, offline_line};
use crate::notice::{Notice, Notices};
use crate::offline::use_offline;
use crate::route::{Route, use_route};
use crate::shelf::ShelfPlace;
use crate::storage::{Store, settings};
use crate::workbench::{self, Workbench, fetch};
use crate::{dom, files};

/// The setting that remembers which run sheet was open.
const OPEN: &str = "open";

#[component]
pub(crate) fn Root() -> Html {
    let route = use_route();
    let offline = use_offline();
    let store = use_state(|| None::<Store>);
    let notice = use_state_eq(|| None::<Notice>);
    let workbench = use_state(|| Workbench::Awaited);
    {
        let (store, notices) = (store.setter(), notice.setter());
        use_effect_with((), move |()| {
            spawn_local(async move {
                let opened = Store::open().await;
                if let Some(text) = opened.legacy_text() {
                    carry_over(&opened, text, &notices).await;
                }
                store.set(Some(opened));
            });
        });
    }
    {
        // The shelf is there first; the rest comes while someone looks at it.
        let workbench = workbench.setter();
        use_effect_with((), move |()| fetch(workbench));
    }
    let open = match &route {
        Route::Sheet { id, .. } | Route::Record { id } => Some(id.clone()),
        _ => None,
    };
    use_effect_with(open.clone(), |open| {
        if let Some(id) = open {
            // Where it cannot be kept, the two places are reached from the shelf.
            let _ = settings::set(OPEN, id);
        }
    });
    let notices = notice.setter();
    let export = {
        let notices = notices.clone();
        Callback::from(move |text: String| {
            files::hand_out(&notices, "glasswick-set-aside.json", &text)
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
        (_, Some(store)) => match &*workbench {
            Workbench::Awaited => html! { <main class="place"><p>{ "Loading…" }</p></main> },
            Workbench::Here(tools) => (tools.place)(&store, &route, &notices),
            Workbench::Missing => no_workbench(workbench.setter()),
        },
    };
    let save_first = match &*workbench {
        Workbench::Here(tools) => Callback::from(tools.settle),
        // Nothing was opened yet, so nothing waits.
        _ => Callback::from(|go_on: Callback<()>| go_on.emit(())),
    };
    html! {
        <>
            { masthead(&route, open.or_else(|| settings::get(OPEN))) }
            if let Some(said) = &*notice {
                { notice_bar(said, export, forget) }
            }
            { place }
            { offline_line(&offline, &save_first) }
        </>
    }
}

fn no_workbench(workbench: UseStateSetter<Workbench>) -> Html {
    let said = workbench::missing();
    let again = Callback::from(move |_: MouseEvent| fetch(workbench.clone()));
    html! {
        <main class="place">
            <div class="notice" role="alert">
                <p><strong>{ said.sentence }</strong></p>
                { for said.lines.into_iter().map(|line| html! { <p>{ line }</p> }) }
                <div class="actions"><button type="button" onclick={again}>{ "Load again" }</button></div>
            </div>
        </main>
    }
}

/// Puts the one run sheet that the first version of this page kept onto the shelf.
async fn carry_over(store: &Store, text: String, notices: &Notices) {
    let Ok(tools) = workbench::load().await else {
        // It stays where it is until the next time.
        return;
    };
    let imported = (tools.import)(store.clone(), vec![text.clone()]).await;
    let unread = imported.ids.is_empty();
    let what = "The run sheet of the first version";
    if !unread || store.set_aside(what, &text, &dom::now()).await.is_ok() {
        store.legacy_done();
    }
    notices.set(imported.notice);
}
