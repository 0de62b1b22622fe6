//! The Glasswick page: run sheets of linked calculators in the browser.
//!
//! Reading order: [`route`] (where on the page someone is), [`root`] (what is shown there), [`shelf`] (the saved run
//! sheets), [`workplace`] and [`bench`] (the one that is open), [`state`] (what it holds and how it changes),
//! [`view`] (what is shown of it), then the components. Only [`storage`] touches web storage.

mod autosave;
mod bench;
mod chain;
mod components;
mod dom;
mod entry_text;
mod exchange;
mod files;
mod known;
mod link;
mod look;
mod notice;
mod offline;
mod opening;
mod panic_notice;
mod picked;
mod picture;
mod points_words;
mod qr;
mod root;
mod route;
mod shelf;
mod standing;
mod state;
mod stated;
mod stated_words;
mod storage;
mod trials;
mod view;
mod workbench;
mod workplace;

fn main() {
    // A worker loads the same module and has no window; a native build has no browser at all.
    if !cfg!(target_arch = "wasm32") || web_sys::window().is_none() {
        return;
    }
    let Some(root) = dom::document().and_then(|document| document.get_element_by_id("app")) else {
        return;
    };
    panic_notice::install();
    look::Look::chosen().show();
    root.set_inner_html("");
    yew::Renderer::<root::Root>::with_root(root).render();
}
