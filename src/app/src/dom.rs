//! Small dealings with the page that Yew has no words for.

use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Clipboard, ClipboardEvent, Document, Event, File, FilePropertyBag, HtmlElement,
    HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement, ShareData,
};
use yew::{Callback, MouseEvent};

/// The page.
pub(crate) fn document() -> Option<Document> {
    web_sys::window()?.document()
}

/// Brings an element into view and puts the focus on it; says whether it is there.
pub(crate) fn go_to(id: &str) -> bool {
    let element = document().and_then(|document| document.get_element_by_id(id));
    let element = element.and_then(|element| element.dyn_into::<HtmlElement>().ok());
    if let Some(element) = &element {
        // Focus is a courtesy: where the element does not take it, the view moves all the same.
        let _ = element.focus();
        element.scroll_into_view();
    }
    element.is_some()
}

/// Puts the focus on an element where nothing has it, since what had it is gone.
pub(crate) fn catch_focus(id: &str) {
    let active = document().and_then(|document| document.active_element());
    if active.is_none_or(|element| element.tag_name() == "BODY") {
        go_to(id);
    }
}

/// As [`catch_focus`], for a box that takes the place of another: one goes on typing at its end.
pub(crate) fn go_on_in(id: &str) {
    catch_focus(id);
    let element = document().and_then(|document| document.get_element_by_id(id));
    let Some(element) = element else {
        return;
    };
    // A box that has no caret is none to go on in.
    if let Some(area) = element.dyn_ref::<HtmlTextAreaElement>() {
        let end = u32::try_from(area.value().encode_utf16().count()).unwrap_or(u32::MAX);
        let _ = area.set_selection_range(end, end);
    } else if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        let end = u32::try_from(input.value().encode_utf16().count()).unwrap_or(u32::MAX);
        let _ = input.set_selection_range(end, end);
    }
}

/// The text on the clipboard that is about to be pasted into a box of one line, and what stands before and after it.
pub(crate) fn pasted(event: &Event) -> Option<[String; 3]> {
    let clipboard = event.dyn_ref::<ClipboardEvent>()?.clipboard_data()?;
    let pasted = clipboard.get_data("text/plain").ok()?;
    let input: HtmlInputElement = event.target()?.dyn_into().ok()?;
    let text: Vec<u16> = input.value().encode_utf16().collect();
    let place = |end: Option<u32>| end.map_or(text.len(), |end| (end as usize).min(text.len()));
    let from = place(input.selection_start().ok()?);
    let to = place(input.selection_end().ok()?).max(from);
    let words = String::from_utf16_lossy;
    Some([words(&text[..from]), pasted, words(&text[to..])])
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

/// Whether the box that an event comes from is ticked.
pub(crate) fn checked(event: &Event) -> bool {
    let target = event.target();
    let input = target.as_ref().and_then(|target| target.dyn_ref());
    input.is_some_and(HtmlInputElement::checked)
}

/// Whether the part of the page that an event comes from is open.
pub(crate) fn is_open(event: &Event) -> bool {
    let target = event.target();
    let part: Option<&web_sys::Element> = target.as_ref().and_then(|target| target.dyn_ref());
    part.is_some_and(|part| part.has_attribute("open"))
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

/// An identifier that no other run sheet, tab or text has: 64 random bits.
pub(crate) fn random_id() -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a number from 0 up to 2^32"
    )]
    let half = || (js_sys::Math::random() * 4_294_967_296.0) as u32;
    format!("{:08x}{:08x}", half(), half())
}

/// A property of the browser's `navigator` that may be missing.
fn navigator(name: &str) -> Option<JsValue> {
    let navigator = web_sys::window()?.navigator();
    let value = js_sys::Reflect::get(&navigator, &name.into()).ok()?;
    (!value.is_undefined() && !value.is_null()).then_some(value)
}

/// Puts a text on the clipboard; whether the browser took it.
pub(crate) async fn copy(text: &str) -> bool {
    let Some(clipboard) = navigator("clipboard") else {
        return false;
    };
    let clipboard: Clipboard = clipboard.unchecked_into();
    JsFuture::from(clipboard.write_text(text)).await.is_ok()
}

/// Whether the device can send files to other programs and people.
pub(crate) fn can_share() -> bool {
    navigator("canShare").is_some() && navigator("share").is_some()
}

/// Lets the person send a text as a file with what the device offers. Browsers share files of a few types only, and
/// JSON is none of them: it goes as plain text.
pub(crate) fn share(title: &str, name: &str, text: &str) {
    let parts = js_sys::Array::of1(&text.into());
    let kind = FilePropertyBag::new();
    kind.set_type("text/plain");
    let name = format!("{}.txt", name.trim_end_matches(".json"));
    if let (Some(window), Ok(file)) = (
        web_sys::window(),
        File::new_with_str_sequence_and_options(&parts, &name, &kind),
    ) {
        let data = ShareData::new();
        data.set_title(title);
        data.set_files(&js_sys::Array::of1(&file));
        let sent = window.navigator().share_with_data(&data);
        // Someone who changes their mind ends it as an error; there is nothing to say then.
        spawn_local(async move { drop(JsFuture::from(sent).await) });
    }
}
