//! Files out of the page and into it.

use gloo_timers::callback::Timeout;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, HtmlInputElement, Url};

use crate::dom;
use crate::notice::{Notice, Notices};

/// Files beyond this are not read: no shelf or measured curve is as large.
const MOST_BYTES: f64 = 64e6;

/// The address of a text as a file. It lasts until it is revoked.
fn address(text: &str) -> Result<String, JsValue> {
    let kind = BlobPropertyBag::new();
    kind.set_type("application/json");
    let parts = js_sys::Array::of1(&text.into());
    Url::create_object_url_with_blob(&Blob::new_with_str_sequence_and_options(&parts, &kind)?)
}

/// Hands a text to the person as a file.
fn download(name: &str, text: &str) -> Result<(), JsValue> {
    let document = dom::document().ok_or(JsValue::NULL)?;
    let address = address(text)?;
    let link: HtmlAnchorElement = document.create_element("a")?.unchecked_into();
    link.set_href(&address);
    link.set_download(name);
    link.click();
    // Some browsers read the file a moment after the click.
    Timeout::new(60_000, move || drop(Url::revoke_object_url(&address))).forget();
    Ok(())
}

/// Hands a text out as a file; says so where the browser refuses.
pub(crate) fn hand_out(notices: &Notices, name: &str, text: &str) {
    if download(name, text).is_err() {
        notices.set(Some(Notice {
            text: Some(text.to_owned()),
            ..Notice::new("This browser did not take the file. Allow downloads for this page, then export again.")
        }));
    }
}

/// The file a person chose; the box is emptied so that the same file can be chosen again.
pub(crate) fn chosen(event: &web_sys::Event) -> Option<File> {
    let input: HtmlInputElement = event.target()?.dyn_into().ok()?;
    let file = input.files()?.get(0);
    input.set_value("");
    file
}

/// The text of a file, or a sentence that says why it cannot be read.
pub(crate) async fn read(file: File) -> Result<String, String> {
    if file.size() > MOST_BYTES {
        return Err(format!(
            "“{}” is larger than 64 MB. Choose a run sheet or a measured curve.",
            file.name()
        ));
    }
    let text = JsFuture::from(file.text())
        .await
        .ok()
        .and_then(|text| text.as_string());
    text.ok_or_else(|| {
        format!(
            "“{}” cannot be read. Choose it again, or copy it to this device first.",
            file.name()
        )
    })
}

/// A file name from a title: letters, digits and hyphens.
pub(crate) fn name(title: &str, what: &str) -> String {
    let mut name = String::new();
    for character in title.trim().chars().take(60) {
        if character.is_alphanumeric() {
            name.extend(character.to_lowercase());
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_end_matches('-');
    if name.is_empty() {
        format!("glasswick-{what}.json")
    } else {
        format!("{name}-{what}.json")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_come_from_titles() {
        assert_eq!(
            name(" Zinc oxide: tile 3/4 ", "run-sheet"),
            "zinc-oxide-tile-3-4-run-sheet.json"
        );
        assert_eq!(name("", "record"), "glasswick-record.json");
        assert_eq!(name("../", "record"), "glasswick-record.json");
    }
}
