//! The workbench: what computes, draws run sheets and makes records. It is the large part of the program and comes
//! after the first paint, from a file of its own: what is reached only through [`load`] is compiled into that file.

use std::rc::Rc;

use wasm_split_helpers::{SplitLoaderError, wasm_split};
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::page::Page;
use crate::start::start;

/// How far the workbench is.
#[derive(Clone)]
pub(crate) enum Workbench {
    /// It is on its way.
    Awaited,
    /// It is here.
    Here(Places),
    /// It could not be loaded.
    Missing,
}

/// What draws the places of the workbench.
#[derive(Clone)]
pub(crate) struct Places {
    /// Draws the run sheet that is open.
    pub(crate) run_sheet: Rc<dyn Fn() -> Html>,
}

/// Starts to load the workbench; may be called again where it is missing.
pub(crate) fn fetch(workbench: UseStateSetter<Workbench>) {
    workbench.set(Workbench::Awaited);
    spawn_local(async move {
        workbench.set(load().await.map_or(Workbench::Missing, Workbench::Here));
    });
}

/// The one way from the first part of the program to the workbench. Natively it is a plain call.
#[wasm_split(workbench, fallible)]
fn load() -> Result<Places, SplitLoaderError> {
    let start = Rc::new(start());
    Ok(Places {
        run_sheet: Rc::new(move || html! { <Page start={&start} /> }),
    })
}
