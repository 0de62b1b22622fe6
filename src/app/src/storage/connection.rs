//! The browser's database: opening it, and transactions that end in certainty.
//!
//! A request is awaited by a promise that its event fulfils. What awaits it goes on within the same event, and so the
//! transaction is still open for the next request.

use std::cell::Cell;
use std::rc::Rc;
use std::slice;

use gloo_events::EventListener;
use js_sys::{Array, Promise};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, future_to_promise, spawn_local};
use web_sys::EventTarget;

use super::error::StorageError;
use super::js;

const NAME: &str = "glasswick";
/// Raised when stores are added; an older page then closes its connection and reports that it is older.
const VERSION: u32 = 1;

/// Run sheets by identifier: all but the text, so that the shelf and each save read little.
pub(super) const SHEETS: &str = "sheets";
/// Texts of run sheets by identifier.
pub(super) const TEXTS: &str = "texts";
/// Blobs by hash. They never change and are kept once.
pub(super) const BLOBS: &str = "blobs";
/// What was set aside.
pub(super) const ASIDE: &str = "aside";
const STORES: [&str; 4] = [SHEETS, TEXTS, BLOBS, ASIDE];

/// Opening a database may hang for ever; then the page goes on without it.
const PATIENCE_MS: u32 = if cfg!(test) { 1_500 } else { 8_000 };

/// An open database. It is closed when dropped.
pub(super) struct Connection {
    database: JsValue,
    gone: Rc<Cell<bool>>,
    _listeners: [EventListener; 2],
}

impl Drop for Connection {
    fn drop(&mut self) {
        // It may be closed already.
        let _ = js::call(&self.database, "close", &[]);
    }
}

/// Opens the database; makes it where there is none.
pub(super) async fn open() -> Result<Connection, StorageError> {
    let factory = js::get(&js_sys::global(), "indexedDB");
    if factory.is_null() || factory.is_undefined() {
        return Err(StorageError::Unavailable);
    }
    let request = js::call(&factory, "open", &[NAME.into(), VERSION.into()])
        .map_err(|thrown| StorageError::of(&thrown))?;
    let opened = future_to_promise(opened(request.clone()));
    let impatience = Promise::new(&mut |resolve, _| {
        js::set(&request, "onblocked", &resolve);
        let wait = [resolve.into(), PATIENCE_MS.into()];
        // Without a timer there is only the event.
        let _ = js::call(&js_sys::global(), "setTimeout", &wait);
    });
    let first = JsFuture::from(Promise::race(&Array::of2(&opened, &impatience)))
        .await
        .map_err(|thrown| StorageError::of(&thrown))?;
    match first.dyn_into::<EventTarget>() {
        Ok(database) => Ok(Connection::new(database)),
        Err(_) => {
            // Should it open later, it would stand in the way of other tabs.
            spawn_local(async move {
                if let Ok(database) = JsFuture::from(opened).await {
                    let _ = js::call(&database, "close", &[]);
                }
            });
            Err(StorageError::Blocked)
        }
    }
}

/// Waits until a request to open has given the database or failed.
async fn opened(request: JsValue) -> Result<JsValue, JsValue> {
    loop {
        let event = js::event(&request, &["onsuccess", "onerror", "onupgradeneeded"]).await?;
        match js::text_in(&event, "type").as_deref() {
            Some("success") => return Ok(js::get(&request, "result")),
            Some("upgradeneeded") => {
                let made = STORES.iter().try_for_each(|store| {
                    js::call(
                        &js::get(&request, "result"),
                        "createObjectStore",
                        &[(*store).into()],
                    )
                    .map(drop)
                });
                if let Err(thrown) = made {
                    // Half a database would be worse than none.
                    let _ = js::call(&js::get(&request, "transaction"), "abort", &[]);
                    return Err(thrown);
                }
            }
            _ => return Err(js::get(&request, "error")),
        }
    }
}

impl Connection {
    fn new(database: EventTarget) -> Self {
        let gone = Rc::new(Cell::new(false));
        // A newer page in another tab waits for all older ones to close.
        let asked = EventListener::new(&database, "versionchange", {
            let (database, gone) = (database.clone(), gone.clone());
            move |_| {
                gone.set(true);
                let _ = js::call(&database, "close", &[]);
            }
        });
        let closed = EventListener::new(&database, "close", {
            let gone = gone.clone();
            move |_| gone.set(true)
        });
        Connection {
            database: database.into(),
            gone,
            _listeners: [asked, closed],
        }
    }

    /// Whether the browser, or a newer page, closed it.
    pub(super) fn gone(&self) -> bool {
        self.gone.get()
    }

    /// Begins a transaction that only reads.
    pub(super) fn read(&self) -> Result<Transaction, StorageError> {
        self.begin("readonly", "default")
    }

    /// Begins a transaction that completes only when what it wrote is on the disk.
    pub(super) fn write(&self) -> Result<Transaction, StorageError> {
        self.begin("readwrite", "strict")
    }

    /// All stores at once: transactions that write then come one after the other, in the order in which they began.
    fn begin(&self, mode: &str, durability: &str) -> Result<Transaction, StorageError> {
        let options = js::object(&[("durability", durability.into())]);
        let arguments = [js::list(STORES.into_iter()), mode.into(), options];
        let transaction = js::call(&self.database, "transaction", &arguments)
            .map_err(|thrown| StorageError::of(&thrown))?;
        let ended = js::event(&transaction, &["oncomplete", "onabort"]);
        Ok(Transaction { transaction, ended })
    }
}

/// A transaction over all stores. Dropped without [`Transaction::complete`], it ends by itself.
pub(super) struct Transaction {
    transaction: JsValue,
    ended: JsFuture,
}

impl Transaction {
    /// The value under a key; undefined where there is none.
    pub(super) async fn get(&self, store: &str, key: &JsValue) -> Result<JsValue, StorageError> {
        self.ask(store, "get", slice::from_ref(key)).await
    }

    /// Whether there is a value under a key.
    pub(super) async fn has(&self, store: &str, key: &JsValue) -> Result<bool, StorageError> {
        let found = self.ask(store, "getKey", slice::from_ref(key)).await?;
        Ok(!found.is_undefined())
    }

    /// All values of a store, in the order of its keys.
    pub(super) async fn values(&self, store: &str) -> Result<Array, StorageError> {
        Ok(js::array(&self.ask(store, "getAll", &[]).await?))
    }

    /// All keys of a store.
    pub(super) async fn keys(&self, store: &str) -> Result<Array, StorageError> {
        Ok(js::array(&self.ask(store, "getAllKeys", &[]).await?))
    }

    /// Puts a value under a key. Whether that succeeded is known when the transaction is complete.
    pub(super) fn put(
        &self,
        store: &str,
        key: &JsValue,
        value: &JsValue,
    ) -> Result<(), StorageError> {
        self.request(store, "put", &[value.clone(), key.clone()])
            .map(drop)
    }

    /// Removes the value under a key. Whether that succeeded is known when the transaction is complete.
    pub(super) fn delete(&self, store: &str, key: &JsValue) -> Result<(), StorageError> {
        self.request(store, "delete", slice::from_ref(key))
            .map(drop)
    }

    /// Waits until everything was written, or nothing.
    pub(super) async fn complete(self) -> Result<(), StorageError> {
        // Only hastens the end; older browsers have no such call.
        let _ = js::call(&self.transaction, "commit", &[]);
        let event = self
            .ended
            .await
            .map_err(|thrown| StorageError::of(&thrown))?;
        match js::text_in(&event, "type").as_deref() {
            Some("complete") => Ok(()),
            _ => match js::get(&self.transaction, "error") {
                // So it ends when the browser closes the database.
                none if none.is_null() || none.is_undefined() => Err(StorageError::Closed),
                error => Err(StorageError::of(&error)),
            },
        }
    }

    /// Ends it without writing anything.
    pub(super) fn abort(self) {
        // It may have ended already.
        let _ = js::call(&self.transaction, "abort", &[]);
    }

    fn request(
        &self,
        store: &str,
        method: &str,
        arguments: &[JsValue],
    ) -> Result<JsValue, StorageError> {
        js::call(&self.transaction, "objectStore", &[store.into()])
            .and_then(|store| js::call(&store, method, arguments))
            .map_err(|thrown| StorageError::of(&thrown))
    }

    async fn ask(
        &self,
        store: &str,
        method: &str,
        arguments: &[JsValue],
    ) -> Result<JsValue, StorageError> {
        let request = self.request(store, method, arguments)?;
        let event = js::event(&request, &["onsuccess", "onerror"]).await;
        let event = event.map_err(|thrown| StorageError::of(&thrown))?;
        match js::text_in(&event, "type").as_deref() {
            Some("success") => Ok(js::get(&request, "result")),
            _ => Err(StorageError::of(&js::get(&request, "error"))),
        }
    }
}
