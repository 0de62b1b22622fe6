//! Files out of the page and into it.

use gloo_timers::callback::Timeout;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, File, HtmlAnchorElement, HtmlInputElement, Url};

use crate::dom;
use crate::notice::{Notice, Notices};

/// Files beyond this are not read: no shelf or measured curve is as large.
const MOST_BYTES: f64 = 64e6;

/// A text as the bytes of a file.
pub(crate) fn blob(text: &str, media_type: &str) -> Result<Blob, JsValue> {
    let kind = BlobPropertyBag::new();
    kind.set_type(media_type);
    let parts = js_sys::Array::of1(&text.into());
    Blob::new_with_str_sequence_and_options(&parts, &kind)
}

/// Hands bytes to the person as a file.
pub(crate) fn download(name: &str, bytes: &Blob) -> Result<(), JsValue> {
    let document = dom::document().ok_or(JsValue::NULL)?;
    let address = Url::create_object_url_with_blob(bytes)?;
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
    let bytes = blob(text, "application/json");
    if bytes.and_then(|bytes| download(name, &bytes)).is_err() {
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
    match JsFuture::from(file.array_buffer()).await {
        Ok(bytes) => Ok(decoded(&js_sys::Uint8Array::new(&bytes).to_vec())),
        Err(_) => Err(format!(
            "“{}” cannot be read. Choose it again, or copy it to this device first.",
            file.name()
        )),
    }
}

/// The text of a file: UTF-16 where its mark says so, else UTF-8, or Latin-1 where it is not that.
fn decoded(bytes: &[u8]) -> String {
    let wide = |bytes: &[u8], unit: fn([u8; 2]) -> u16| {
        let units = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]]));
        String::from_utf16_lossy(&units.collect::<Vec<_>>())
    };
    match bytes {
        [0xff, 0xfe, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => wide(rest, u16::from_be_bytes),
        _ => match core::str::from_utf8(bytes) {
            Ok(text) => text.to_owned(),
            Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
        },
    }
}

/// The name of a JSON file from a title.
pub(crate) fn name(title: &str, what: &str) -> String {
    let stem = stem(title, "");
    if stem.is_empty() {
        format!("glasswick-{what}.json")
    } else {
        format!("{stem}-{what}.json")
    }
}

/// A file name without its ending, from a title: letters, digits and hyphens, or a word where the title has none.
pub(crate) fn stem(title: &str, otherwise: &str) -> String {
    let mut name = String::new();
    for character in title.trim().chars().take(60) {
        if character.is_alphanumeric() {
            name.extend(character.to_lowercase());
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_end_matches('-');
    if name.is_empty() { otherwise } else { name }.to_owned()
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
        assert_eq!(
            stem("Tile 4, forward sweep", "figure"),
            "tile-4-forward-sweep"
        );
    }

    #[test]
    fn files_are_read_in_the_encodings_that_people_have() {
        let text = "U / V\tI / µA";
        let wide = |unit: fn(u16) -> [u8; 2], mark: [u8; 2]| -> Vec<u8> {
            mark.into_iter()
                .chain(text.encode_utf16().flat_map(unit))
                .collect()
        };
        assert_eq!(decoded(text.as_bytes()), text);
        assert_eq!(decoded(&wide(u16::to_le_bytes, [0xff, 0xfe])), text);
        assert_eq!(decoded(&wide(u16::to_be_bytes, [0xfe, 0xff])), text);
        assert_eq!(decoded(b"U / V\tI / \xb5A"), text);
        assert_eq!(decoded(&[0xff, 0xfe, 0x41]), "");
    }
}
