//! The Glasswick page: one run sheet of linked calculators in the browser.
//!
//! Reading order: [`root`] (what is drawn first), [`workbench`] (what comes after), [`state`] (what the page holds and
//! how it changes), [`view`] (what a card shows), [`page`] (how they meet), then the components. Only [`storage`]
//! touches web storage.

mod autosave;
mod components;
mod dom;
mod entry_text;
mod exchange;
mod files;
mod page;
mod panic_notice;
mod root;
mod start;
mod state;
mod storage;
mod view;
mod workbench;

fn main() {
    // A worker loads the same module and has no window; a native build has no browser at all.
    if !cfg!(target_arch = "wasm32") || web_sys::window().is_none() {
        return;
    }
    let Some(root) = dom::document().and_then(|document| document.get_element_by_id("app")) else {
        return;
    };
    panic_notice::install();
    root.set_inner_html("");
    yew::Renderer::<root::Root>::with_root(root).render();
}
