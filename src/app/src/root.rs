//! The root of the page: what is shown before the workbench is here, and where it goes.

use yew::prelude::*;

use crate::workbench::{Workbench, fetch};

#[component]
pub(crate) fn Root() -> Html {
    let workbench = use_state(|| Workbench::Awaited);
    {
        let workbench = workbench.setter();
        use_effect_with((), move |()| fetch(workbench));
    }
    match &*workbench {
        Workbench::Awaited => html! { <p>{ "Loading…" }</p> },
        Workbench::Here(places) => (places.run_sheet)(),
        Workbench::Missing => missing(workbench.setter()),
    }
}

fn missing(workbench: UseStateSetter<Workbench>) -> Html {
    let again = Callback::from(move |_: MouseEvent| fetch(workbench.clone()));
    html! {
        <div class="notice" role="alert">
            <p><strong>{ "A part of the page could not be loaded." }</strong></p>
            <p>{ "Check the connection, or that the program which serves this page still runs. \
                  Where that does not help, load the whole page again." }</p>
            <button type="button" onclick={again}>{ "Load again" }</button>
        </div>
    }
}
