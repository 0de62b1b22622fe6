//! The notice after a fault of the program. The compiled module cannot go on then, so this is plain HTML that needs
//! nothing of it: links, no listeners.

use std::panic::PanicHookInfo;

use wasm_bindgen::JsValue;
use web_sys::{Document, Element};

use crate::dom;

/// Shows the notice whenever the program stops.
pub(crate) fn install() {
    yew::set_custom_panic_hook(Box::new(|panic: &PanicHookInfo<'_>| {
        web_sys::console::error_1(&panic.to_string().into());
        // Nothing more can be done where even this fails.
        let _ = show();
    }));
}

fn show() -> Result<(), JsValue> {
    let document = dom::document().ok_or(JsValue::NULL)?;
    let body = document.body().ok_or(JsValue::NULL)?;
    let notice = document.create_element("section")?;
    notice.set_class_name("fault");
    notice.set_attribute("role", "alert")?;
    let sentence = document.create_element("p")?;
    sentence.set_text_content(Some(
        "Something went wrong; reload. What was saved is safe.",
    ));
    notice.append_child(&sentence)?;
    let reload = link(&document, "Reload", "")?;
    notice.append_child(&reload)?;
    // A page of its own that needs nothing of this program.
    let export = link(&document, "Export what was saved", "./rescue.html")?;
    notice.append_child(&export)?;
    body.insert_before(&notice, body.first_child().as_ref())?;
    Ok(())
}

fn link(document: &Document, text: &str, address: &str) -> Result<Element, JsValue> {
    let link = document.create_element("a")?;
    link.set_class_name("button");
    link.set_text_content(Some(text));
    link.set_attribute("href", address)?;
    Ok(link)
}
