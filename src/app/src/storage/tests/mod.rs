//! Storage in a real browser.
//!
//! Two stores in one page are two tabs: each has its own connection, stamps and channel.

mod damaged;
mod kept;
mod mirror;
mod trouble;
mod two_tabs;

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use js_sys::{Promise, eval};
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use wasm_bindgen_test::wasm_bindgen_test;

use super::connection::{self, BLOBS, SHEETS, TEXTS};
use super::row::{self, Local, Record};
use super::tabs::Listener;
use super::{
    Keeper, Kept, Saving, Shelf, Stamp, StorageError, Store, Summary, js, local, settings,
};

wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);

const MONDAY: &str = "2026-11-23T10:00:00+01:00";
const TUESDAY: &str = "2026-11-24T10:00:00+01:00";

/// Runs JavaScript; a promise is awaited.
async fn script(code: &str) -> JsValue {
    let promise = Promise::resolve(&eval(code).expect("the script runs"));
    JsFuture::from(promise).await.expect("the script ends well")
}

async fn pause(milliseconds: u32) {
    script(&format!(
        "new Promise(done => setTimeout(done, {milliseconds}))"
    ))
    .await;
}

/// Nothing kept, and nothing tampered with, even where the test before failed half-way.
async fn clean() {
    script(
        "for (const undo of Object.values(window.tampered ?? {})) undo();
         window.tampered = {};
         localStorage.clear();
         new Promise((done, failed) => {
             const request = indexedDB.deleteDatabase('glasswick');
             request.onsuccess = done;
             request.onerror = failed;
         })",
    )
    .await;
}

async fn fresh() -> Store {
    clean().await;
    let store = Store::open().await;
    assert_eq!(store.keeper(), Keeper::Database);
    assert_eq!(store.trouble(), None);
    store
}

/// Something of the browser that was replaced, until [`Tampered::restore`].
struct Tampered(String);

impl Tampered {
    /// Replaces a method by one that does `body`, which sees its `original` and what it was `given`.
    async fn method(prototype: &str, method: &str, body: &str) -> Self {
        let name = format!("{prototype}.{method}");
        script(&format!(
            "{{ const original = {prototype}.prototype.{method};
                window.tampered['{name}'] = () => {{ {prototype}.prototype.{method} = original; }};
                {prototype}.prototype.{method} = function (...given) {{ {body} }}; }}"
        ))
        .await;
        Tampered(name)
    }

    /// Replaces a property of the window by one whose reading does `body`.
    async fn window(property: &str, body: &str) -> Self {
        script(&format!(
            "{{ const original = Object.getOwnPropertyDescriptor(window, '{property}');
                window.tampered['{property}'] = () =>
                    Object.defineProperty(window, '{property}', original);
                Object.defineProperty(window, '{property}',
                    {{ configurable: true, get() {{ {body} }} }}); }}"
        ))
        .await;
        Tampered(property.to_owned())
    }

    async fn restore(self) {
        let name = self.0;
        script(&format!(
            "window.tampered['{name}'](); delete window.tampered['{name}'];"
        ))
        .await;
    }
}

fn sheet(text: &str) -> Saving {
    Saving {
        text: text.to_owned(),
        blobs: Vec::new(),
        summary: Summary {
            title: "Tile 7".to_owned(),
            date: "2026-11-23".to_owned(),
            headline: "6.1 µm".to_owned(),
            standing: "in range".to_owned(),
            cards: 3,
        },
        changed: MONDAY.to_owned(),
    }
}

fn with_blobs(text: &str, blobs: &[(&str, &str)]) -> Saving {
    Saving {
        blobs: blobs
            .iter()
            .map(|(hash, blob)| ((*hash).to_owned(), Rc::from(*blob)))
            .collect(),
        ..sheet(text)
    }
}

/// Saves a run sheet, which must succeed.
async fn save(store: &Store, id: &str, base: Option<Stamp>, sheet: &Saving) -> Stamp {
    store.save(id, base, sheet).await.expect("saves")
}

/// Puts anything into the database, past the store.
async fn put(store: &str, key: &JsValue, value: &JsValue) {
    let connection = connection::open().await.expect("opens");
    let writing = connection.write().expect("begins");
    writing.put(store, key, value).expect("puts");
    writing.complete().await.expect("completes");
}

/// All keys of one store of the database.
async fn keys(store: &str) -> Vec<String> {
    let connection = connection::open().await.expect("opens");
    let reading = connection.read().expect("begins");
    let keys = reading.keys(store).await.expect("reads");
    keys.iter()
        .map(|key| js::json(&key).expect("json"))
        .collect()
}

/// The stamp that the database itself holds.
async fn stored(id: &str) -> Option<String> {
    let connection = connection::open().await.expect("opens");
    let reading = connection.read().expect("begins");
    let row = reading.get(SHEETS, &id.into()).await.expect("reads");
    js::text_in(&row, "stamp")
}

async fn text(store: &Store, id: &str) -> String {
    store.load(id).await.expect("loads").text
}

async fn listed(store: &Store) -> Shelf {
    store.shelf().await.expect("lists")
}

fn ids(shelf: &Shelf) -> Vec<&str> {
    shelf
        .entries
        .iter()
        .map(|entry| entry.id.as_str())
        .collect()
}

/// The run sheet's text and blobs in what the store itself set aside.
fn sheet_in(aside: &str) -> Option<(String, BTreeMap<String, String>)> {
    let value = js::parse(aside)?;
    Some((
        js::text_in(&value, "text")?,
        row::blobs(&js::get(&value, "texts")),
    ))
}

/// Makes the database refuse every transaction, so that only the mirror is written.
async fn cut_off() -> Tampered {
    Tampered::method(
        "IDBDatabase",
        "transaction",
        "throw new DOMException('no', 'UnknownError');",
    )
    .await
}
