//! Small dealings with the page that Yew has no words for.

use wasm_bindgen::JsCast;
use web_sys::{
    Document, Event, HtmlElement, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement,
};
use yew::{Callback, MouseEvent};

/// The page.
pub(crate) fn document() -> Option<Document> {
    web_sys::window()?.document()
}

/// Brings an element into view and puts the focus on it.
pub(crate) fn go_to(id: &str) {
    let element = document().and_then(|document| document.get_element_by_id(id));
    if let Some(element) = element.and_then(|element| element.dyn_into::<HtmlElement>().ok()) {
        // Focus is a courtesy: where the element does not take it, the view moves all the same.
        let _ = element.focus();
        element.scroll_into_view();
    }
}

/// Puts the focus on an element where nothing has it, since what had it is gone.
pub(crate) fn catch_focus(id: &str) {
    let active = document().and_then(|document| document.active_element());
    if active.is_none_or(|element| element.tag_name() == "BODY") {
        go_to(id);
    }
}

/// What a button does with a click on it.
pub(crate) fn click(callback: &Callback<()>) -> Callback<MouseEvent> {
    callback.reform(|_| ())
}

/// The text in the box, or the option chosen in the list, that an event comes from.
pub(crate) fn value(event: &Event) -> String {
    let Some(target) = event.target() else {
        return String::new();
    };
    if let Some(input) = target.dyn_ref::<HtmlInputElement>() {
        input.value()
    } else if let Some(select) = target.dyn_ref::<HtmlSelectElement>() {
        select.value()
    } else if let Some(area) = target.dyn_ref::<HtmlTextAreaElement>() {
        area.value()
    } else {
        String::new()
    }
}

/// Asks the browser to print. Where it cannot, nothing happens; the page says so beside the button.
pub(crate) fn print() {
    if let Some(window) = web_sys::window() {
        let _ = window.print();
    }
}

/// Now, as RFC 3339 text with the offset of the place.
pub(crate) fn now() -> String {
    let date = js_sys::Date::new_0();
    // `getTimezoneOffset` counts minutes from local time to UTC: ahead of UTC is negative.
    let behind = date.get_timezone_offset();
    let local = js_sys::Date::new(&(date.get_time() - behind * 60e3).into());
    let text = String::from(local.to_iso_string());
    let sign = if behind > 0.0 { '-' } else { '+' };
    let (hours, minutes) = ((behind.abs() / 60.0).floor(), behind.abs() % 60.0);
    format!(
        "{}{sign}{hours:02}:{minutes:02}",
        text.trim_end_matches('Z')
    )
}
