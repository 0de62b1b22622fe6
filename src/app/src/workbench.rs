//! The workbench: what reads run sheets, computes, draws them and makes records. It is the large part of the program
//! and comes after the first paint, from a file of its own: what is reached only through [`load`] is compiled into
//! that file.

use core::pin::Pin;

use wasm_bindgen::prelude::*;
use wasm_split_helpers::{SplitLoaderError, wasm_split};
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::autosave::settle;
use crate::exchange;
use crate::notice::{Notice, Notices};
use crate::route::Route;
use crate::storage::Store;
use crate::trials;
use crate::workplace::Workplace;

/// How far the workbench is.
#[derive(Clone)]
pub(crate) enum Workbench {
    /// It is on its way.
    Awaited,
    /// It is here.
    Here(Tools),
    /// It could not be loaded.
    Missing,
}

/// Something that takes a while.
type Later<T> = Pin<Box<dyn Future<Output = T>>>;

/// Takes what a run reports.
type Reports<'a> = &'a dyn Fn(&str);

/// What can be done at the workbench.
#[derive(Clone, Copy)]
pub(crate) struct Tools {
    /// Draws the run sheet or the record that an address names.
    pub(crate) place: fn(&Store, &Route, &Notices) -> Html,
    /// Puts the run sheets in these texts onto the shelf.
    pub(crate) import: fn(Store, Vec<String>) -> Later<exchange::Imported>,
    /// Hands out run sheets from the shelf.
    pub(crate) export_kept: fn(Store, Vec<String>, Notices) -> Later<()>,
    /// Writes what waits to be kept, then goes on.
    pub(crate) settle: fn(Callback<()>),
    /// Answers a request for a Monte Carlo run, in a worker.
    pub(crate) trials: fn(&str, Reports<'_>),
}

/// Starts to load the workbench; may be called again where it is missing.
pub(crate) fn fetch(workbench: UseStateSetter<Workbench>) {
    workbench.set(Workbench::Awaited);
    spawn_local(async move {
        workbench.set(load().await.map_or(Workbench::Missing, Workbench::Here));
    });
}

/// What is said where the workbench is needed and missing.
pub(crate) fn missing() -> Notice {
    Notice::with(
        "A part of the page could not be loaded.",
        "Check the connection, or that the program which serves this page still runs, then try again. \
         Where that does not help, load the whole page again.",
    )
}

/// The one way from the first part of the program to the workbench. Natively it is a plain call.
#[wasm_split(workbench, fallible)]
pub(crate) fn load() -> Result<Tools, SplitLoaderError> {
    Ok(Tools {
        place: |store, route, notices| {
            let (store, route, notices) = (store.clone(), route.clone(), notices.clone());
            html! { <Workplace {store} {route} {notices} /> }
        },
        import: |store, texts| Box::pin(async move { exchange::import(&store, texts).await }),
        export_kept: |store, ids, notices| {
            Box::pin(async move { exchange::export_kept(&store, &ids, &notices).await })
        },
        settle,
        trials: trials::answer,
    })
}

/// What the worker of `trials.js` calls: a request, and the function that takes its reports. Not exported from a test
/// build: an export is always there, and `load` leads to a module that only the build of the page makes.
#[cfg_attr(not(test), wasm_bindgen)]
#[cfg_attr(test, expect(dead_code, reason = "JavaScript calls it"))]
#[expect(unreachable_pub, reason = "JavaScript calls it")]
pub async fn run_trials(request: String, report: js_sys::Function) -> Result<(), JsValue> {
    let tools = load()
        .await
        .map_err(|error| JsValue::from(error.to_string()))?;
    (tools.trials)(&request, &|text| {
        // The worker's own function only hands the text on.
        drop(report.call1(&JsValue::NULL, &text.into()));
    });
    Ok(())
}
