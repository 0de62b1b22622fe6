//! How a run sheet gets to someone else: as a link, as text, as a file.

use std::rc::Rc;

use glasswick_record::{Document, run_sheet_text};
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::link::{NoLink, link_to};
use crate::notice::Notices;
use crate::{dom, exchange, files, qr};

#[derive(PartialEq, Properties)]
pub(crate) struct ShareDialogProps {
    pub(crate) document: Rc<Document>,
    pub(crate) notices: Notices,
}

/// The link, as far as it is known.
#[derive(Clone, PartialEq)]
enum Link {
    Awaited,
    Made(String),
    None(String),
}

#[component]
pub(crate) fn ShareDialog(props: &ShareDialogProps) -> Html {
    let link = use_state_eq(|| Link::Awaited);
    let said = use_state_eq(|| "");
    {
        let link = link.setter();
        use_effect_with(props.document.clone(), move |document| {
            let document = document.clone();
            spawn_local(async move {
                link.set(match link_to(&document).await {
                    Ok(link) => Link::Made(link),
                    Err(reason) => Link::None(why_not(&reason)),
                });
            });
        });
    }
    let copy = {
        let said = said.setter();
        Callback::from(move |(text, done): (String, &'static str)| {
            let said = said.clone();
            spawn_local(async move {
                said.set(if dom::copy(&text).await {
                    done
                } else {
                    "This browser did not take it. Mark the text and copy it by hand, or send the file."
                });
            });
        })
    };
    let copy_sheet = {
        let document = props.document.clone();
        copy.reform(move |_: MouseEvent| {
            (
                run_sheet_text(&document),
                "The run sheet is on the clipboard.",
            )
        })
    };
    let name = files::name(&props.document.about.title, "run-sheet");
    let export = {
        let (document, notices) = (props.document.clone(), props.notices.clone());
        Callback::from(move |_: MouseEvent| exchange::export_sheet(&document, &notices))
    };
    let send = dom::can_share().then(|| {
        let (document, name) = (props.document.clone(), name.clone());
        let onclick = Callback::from(move |_: MouseEvent| {
            dom::share(&document.about.title, &name, &run_sheet_text(&document));
        });
        html! { <button type="button" {onclick}>{ "Send with the device" }</button> }
    });
    html! {
        <div class="share">
            <section>
                <h3>{ "As a link" }</h3>
                { link_part(&link, &copy) }
            </section>
            <section>
                <h3>{ "As text or as a file" }</h3>
                <p>{ "Whoever gets it imports the file on the shelf, or pastes the text there." }</p>
                <div class="actions">
                    <button type="button" onclick={copy_sheet}>{ "Copy as text" }</button>
                    <button type="button" onclick={export}>{ "Export as a file" }</button>
                    { send }
                </div>
            </section>
            <p class="said" role="status">{ *said }</p>
        </div>
    }
}

fn link_part(link: &Link, copy: &Callback<(String, &'static str)>) -> Html {
    match link {
        Link::Awaited => html! { <p>{ "Making the link…" }</p> },
        Link::None(reason) => html! { <p>{ reason }</p> },
        Link::Made(address) => {
            let copy_link = {
                let address = address.clone();
                copy.reform(move |_: MouseEvent| (address.clone(), "The link is on the clipboard."))
            };
            let code = match qr::draw(address) {
                Some(drawing) => html! {
                    <svg class="qr" viewBox={format!("0 0 {0} {0}", drawing.size)} role="img" aria-label="QR code of the link">
                        <rect class="qr-light" width="100%" height="100%" />
                        <path class="qr-dark" d={drawing.path} />
                    </svg>
                },
                None => html! {
                    <p>{ format!("No QR code: the link has {} characters, and its squares would be too small for a camera. Send the link, or the file.", address.chars().count()) }</p>
                },
            };
            html! {
                <>
                    <p>{ "The link holds the whole run sheet; whoever opens it gets a copy of their own. It is not sent \
                          to any server, but whoever has the link can read it." }</p>
                    <label for="share-link">{ "Link" }</label>
                    <input id="share-link" type="text" readonly=true value={address.clone()} />
                    <div class="actions">
                        <button type="button" onclick={copy_link}>{ "Copy the link" }</button>
                    </div>
                    { code }
                </>
            }
        }
    }
}

fn why_not(reason: &NoLink) -> String {
    match reason {
        NoLink::OnlyHere => "This page is served on this device only, so a link to it would open nowhere else. Send the text or the file.".into(),
        NoLink::Refused(error) => format!("{error} {}", error.hint()),
        NoLink::Unpackable => "This browser cannot pack a run sheet of this size into a link. Send the text or the file.".into(),
    }
}
