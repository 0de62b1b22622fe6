//! Links: the whole run sheet in the address, behind the `#`, where no server sees it. The record crate makes and
//! reads the text; packing is the browser's work.

use glasswick_record::{
    Document, LinkError, MOST_UNPACKED, Restored, State, packed, read_state, readable,
    restore_unpacked, to_pack,
};
use js_sys::{Array, Function, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, ReadableStream, ReadableStreamDefaultReader, ReadableWritablePair};

use crate::notice::Notice;
use crate::route::Route;

/// Where the page is published, where the build was told so.
const PUBLIC_ADDRESS: Option<&str> = option_env!("GLASSWICK_PUBLIC_ADDRESS");

/// Why there is no link.
pub(crate) enum NoLink {
    /// The page is served on this device only.
    OnlyHere,
    /// The run sheet does not fit.
    Refused(LinkError),
    /// The browser cannot pack it.
    Unpackable,
}

/// The link to a run sheet.
pub(crate) async fn link_to(document: &Document) -> Result<String, NoLink> {
    let address = address().ok_or(NoLink::OnlyHere)?;
    let state = match readable(document) {
        Some(state) => state,
        None => {
            let bytes = deflate(&to_pack(document)).await;
            let bytes = bytes.map_err(|_| NoLink::Unpackable)?;
            packed(&bytes).map_err(NoLink::Refused)?
        }
    };
    Ok(format!("{address}{}", Route::Link { state, card: None }))
}

/// Where others find the page: as the build says, or where it is now, unless only this device finds it there.
fn address() -> Option<String> {
    if let Some(address) = PUBLIC_ADDRESS {
        return Some(address.to_owned());
    }
    let location = web_sys::window()?.location();
    let host = location.hostname().ok()?;
    let here = ["", "localhost", "127.0.0.1", "[::1]"].contains(&host.as_str());
    (!here).then_some(format!(
        "{}{}",
        location.origin().ok()?,
        location.pathname().ok()?
    ))
}

/// The run sheet in a link.
pub(crate) async fn open(state: &str) -> Result<Restored, Notice> {
    let refused = |error: LinkError| Notice::with(error.to_string(), error.hint());
    match read_state(state).map_err(refused)? {
        State::Ready(restored) => Ok(*restored),
        State::Deflated(bytes) => {
            let bytes = inflate(&bytes).await.map_err(|_| {
                Notice::with(
                    "The link is damaged, or this browser cannot unpack it.",
                    "Ask for it once more, or for the run sheet as a file.",
                )
            })?;
            restore_unpacked(&bytes).map_err(refused)
        }
    }
}

async fn deflate(bytes: &[u8]) -> Result<Vec<u8>, JsValue> {
    through(bytes, &stream("CompressionStream")?).await
}

async fn inflate(bytes: &[u8]) -> Result<Vec<u8>, JsValue> {
    through(bytes, &stream("DecompressionStream")?).await
}

/// A stream of the browser over raw deflate (RFC 1951). Older browsers lack it.
fn stream(class: &str) -> Result<ReadableWritablePair, JsValue> {
    let class: Function = Reflect::get(&js_sys::global(), &class.into())?.dyn_into()?;
    let stream = Reflect::construct(&class, &Array::of1(&"deflate-raw".into()))?;
    Ok(stream.unchecked_into())
}

/// Sends bytes through a stream of the browser; ends where more comes out than a run sheet may hold.
async fn through(bytes: &[u8], pair: &ReadableWritablePair) -> Result<Vec<u8>, JsValue> {
    let parts = Array::of1(&Uint8Array::from(bytes));
    let stream: ReadableStream = Blob::new_with_u8_array_sequence(&parts)?
        .stream()
        .pipe_through(pair);
    let reader: ReadableStreamDefaultReader = stream.get_reader().dyn_into()?;
    let mut whole = Vec::new();
    loop {
        let chunk = JsFuture::from(reader.read()).await?;
        if Reflect::get(&chunk, &"done".into())?.is_truthy() {
            return Ok(whole);
        }
        let value = Reflect::get(&chunk, &"value".into())?;
        let value: Uint8Array = value.dyn_into()?;
        if whole.len() + value.length() as usize > MOST_UNPACKED {
            // Nobody waits for the rest.
            drop(reader.cancel());
            return Err(JsValue::NULL);
        }
        whole.extend(value.to_vec());
    }
}
