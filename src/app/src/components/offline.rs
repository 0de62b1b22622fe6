//! The foot of the page: whether it works offline, a newer version, and how to repair the offline copy.
//!
//! A component of its own, so that none of this draws the page anew.

use yew::prelude::*;

use crate::offline::{Ask, Copy, Offline, ask};

/// `save_first` keeps what is on the page and then goes on with what it is given: the page is loaded anew after it.
pub(crate) fn offline_line(known: &Offline, save_first: &Callback<Callback<()>>) -> Html {
    let button = |label: &'static str, what: Ask| {
        let save_first = save_first.clone();
        let onclick = Callback::from(move |_: MouseEvent| {
            save_first.emit(Callback::from(move |()| ask(what)));
        });
        html! { <button type="button" {onclick}>{ label }</button> }
    };
    html! {
        <footer class="offline">
            <p>{ sentence(known.copy) }</p>
            <div role="status">
                if known.update {
                    <p>{ "A new version is ready." }</p>
                    { button("Use it now", Ask::Update) }
                }
            </div>
            if !known.build.is_empty() {
                <details>
                    <summary>{ "Version and offline copy" }</summary>
                    <p>{ "This page is build " }<code>{ &known.build }</code>{ "." }</p>
                    if !matches!(known.copy, Copy::Refused | Copy::Unsupported) {
                        <p>{ "Repairing fetches the page anew from where it is published. What you saved stays." }</p>
                        { button("Repair the offline copy", Ask::Repair) }
                    }
                </details>
            }
        </footer>
    }
}

fn sentence(copy: Copy) -> &'static str {
    match copy {
        Copy::Unknown => "",
        Copy::Complete => "Works offline",
        Copy::Making => "Needs the network for now: the offline copy is being made.",
        Copy::Incomplete => {
            "Needs the network for now: a part of the offline copy is missing. Repair it below."
        }
        Copy::Failed => {
            "Needs the network for now: the offline copy could not be completed. It is tried again by itself."
        }
        Copy::Unreachable => {
            "The offline copy was left as it is: repairing needs the network. Try again when it is there."
        }
        Copy::Refused => {
            "Needs the network: this browser's settings allow no offline copy. Saving works all the same."
        }
        Copy::Unsupported => {
            "Needs the network: at this address, or in this browser, no offline copy can be kept. \
             An address that begins with https:// and a current browser can."
        }
    }
}
