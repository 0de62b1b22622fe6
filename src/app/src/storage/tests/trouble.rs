//! A browser that refuses, lies and breaks off.

use super::*;

/// Does everything there is; nothing may panic.
async fn everything(store: &Store) -> Vec<StorageError> {
    let base = Stamp {
        tab: "elsewhere".into(),
        count: 1,
    };
    let mut errors = vec![
        store.shelf().await.map(drop),
        store.load("x").await.map(drop),
        store
            .save("x", None, &with_blobs("one", &[("a1", "points")]))
            .await
            .map(drop),
        store
            .save("x", Some(base.clone()), &sheet("one"))
            .await
            .map(drop),
        store.save_at_once("x", None, &sheet("two")).map(drop),
        store.throw_away("x", MONDAY).await,
        store.take_back("x").await,
        store.purge("x").await,
        store.set_aside("A file", "{", MONDAY).await,
        store.aside("some").await.map(drop),
        store.aside("glasswick/aside/some").await.map(drop),
        store.forget_aside("some").await,
        settings::set("look", "low light"),
    ];
    drop(store.on_foreign_change(|_| {}));
    store.space().await;
    store.ask_to_persist().await;
    store.legacy_text();
    store.legacy_done();
    settings::get("look");
    pause(10).await;
    errors.retain(Result::is_err);
    errors.into_iter().filter_map(Result::err).collect()
}

#[wasm_bindgen_test]
async fn a_run_sheet_that_the_browser_lost_is_written_again() {
    let store = fresh().await;
    let stamp = save(&store, "x", None, &sheet("one")).await;
    script("new Promise(done => { indexedDB.deleteDatabase('glasswick').onsuccess = done; })")
        .await;
    save(&store, "x", Some(stamp), &sheet("two")).await;
    assert_eq!(text(&Store::open().await, "x").await, "two");
}

#[wasm_bindgen_test]
async fn a_full_disk_is_reported_and_the_mirror_keeps_the_text() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    let refused = Tampered::method(
        "IDBObjectStore",
        "put",
        "throw new DOMException('no room', 'QuotaExceededError');",
    )
    .await;
    let error = store.save("x", Some(base.clone()), &sheet("two")).await;
    let new = store.save("new", None, &sheet("new")).await;
    // What has no room in the database is on the shelf all the same, and can be opened.
    assert_eq!(ids(&listed(&store).await), ["x", "new"]);
    assert_eq!(text(&store, "new").await, "new");
    refused.restore().await;
    assert_eq!(error, Err(StorageError::Full));
    assert_eq!(new, Err(StorageError::Full));
    assert_eq!(stored("x").await, Some(base.to_string()));
    assert_eq!(text(&Store::open().await, "x").await, "two");
}

#[wasm_bindgen_test]
async fn a_transaction_that_ends_with_full_is_full() {
    let store = fresh().await;
    let tampered = Tampered::method(
        "IDBTransaction",
        "commit",
        "Object.defineProperty(this, 'error',
             { value: new DOMException('no room', 'QuotaExceededError') });
         this.abort();",
    )
    .await;
    let error = store.save("x", None, &sheet("one")).await;
    tampered.restore().await;
    assert_eq!(error, Err(StorageError::Full));
    assert_eq!(stored("x").await, None);
}

#[wasm_bindgen_test]
async fn a_database_that_the_browser_closed_is_opened_once_more() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    script("window.closings = 1").await;
    let tampered = Tampered::method(
        "IDBDatabase",
        "transaction",
        "if (window.closings-- > 0) this.close(); return original.apply(this, given);",
    )
    .await;
    let base = save(&store, "x", Some(base), &sheet("two")).await;
    script("window.closings = 2").await;
    let error = store.save("x", Some(base), &sheet("three")).await;
    tampered.restore().await;
    assert_eq!(error, Err(StorageError::Closed));
}

#[wasm_bindgen_test]
async fn a_newer_page_may_take_the_database() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    // Our connection closes itself, or this would wait for ever.
    script(
        "new Promise(done => { indexedDB.open('glasswick', 2).onsuccess = event => {
             event.target.result.close(); done(); }; })",
    )
    .await;
    assert_eq!(
        store.save("x", Some(base), &sheet("two")).await,
        Err(StorageError::Newer)
    );
    let older = Store::open().await;
    assert_eq!(older.keeper(), Keeper::LocalStorage);
    assert_eq!(older.trouble(), Some(StorageError::Newer));
}

#[wasm_bindgen_test]
async fn a_database_that_does_not_answer_is_not_waited_for() {
    clean().await;
    // A connection that does not close holds up a deletion, and the deletion holds up us.
    script(
        "new Promise(done => { indexedDB.open('glasswick', 1).onsuccess = event => {
             window.held = event.target.result;
             window.deleting = new Promise(done => {
                 indexedDB.deleteDatabase('glasswick').onsuccess = done; });
             done(); }; })",
    )
    .await;
    let store = Store::open().await;
    assert_eq!(store.keeper(), Keeper::LocalStorage);
    assert_eq!(store.trouble(), Some(StorageError::Blocked));
    let stamp = save(&store, "x", None, &sheet("one")).await;
    script("window.held.close(); window.deleting").await;
    pause(50).await;
    // What opened too late is closed and whole, and what was kept meanwhile is carried over.
    let store = Store::open().await;
    assert_eq!(store.keeper(), Keeper::Database);
    assert_eq!(ids(&listed(&store).await), ["x"]);
    assert_eq!(stored("x").await, Some(stamp.to_string()));
    drop(store);
    clean().await;
}

#[wasm_bindgen_test]
async fn nothing_panics_whatever_throws() {
    const THROW: &str = "throw new Error('no');";
    script(
        "window.uncaught = [];
         addEventListener('error', event => window.uncaught.push(event.message));
         addEventListener('unhandledrejection', event => window.uncaught.push(String(event.reason)));",
    )
    .await;
    // Everything gone before the start.
    clean().await;
    let gone = [
        Tampered::window("indexedDB", THROW).await,
        Tampered::window("localStorage", THROW).await,
        Tampered::window("navigator", THROW).await,
        Tampered::window("BroadcastChannel", "return undefined;").await,
    ];
    let store = Store::open().await;
    assert_eq!(store.keeper(), Keeper::Nothing);
    assert_eq!(everything(&store).await.len(), 13);
    assert_eq!(settings::get("look"), None);
    for tampered in gone {
        tampered.restore().await;
    }
    // Each call throwing by itself once the store is open, and those that matter before.
    let calls = [
        ("IDBFactory", "open", false),
        ("IDBDatabase", "createObjectStore", false),
        ("Storage", "setItem", false),
        ("IDBDatabase", "transaction", true),
        ("IDBDatabase", "close", true),
        ("IDBTransaction", "objectStore", true),
        ("IDBTransaction", "commit", true),
        ("IDBTransaction", "abort", true),
        ("IDBObjectStore", "get", true),
        ("IDBObjectStore", "getKey", true),
        ("IDBObjectStore", "getAll", true),
        ("IDBObjectStore", "getAllKeys", true),
        ("IDBObjectStore", "put", true),
        ("IDBObjectStore", "delete", true),
        ("Storage", "getItem", true),
        ("Storage", "setItem", true),
        ("Storage", "removeItem", true),
        ("Storage", "key", true),
        ("BroadcastChannel", "postMessage", true),
        ("StorageManager", "estimate", true),
        ("StorageManager", "persisted", true),
    ];
    for (prototype, method, opened) in calls {
        clean().await;
        let early = if opened {
            Some(Store::open().await)
        } else {
            None
        };
        let tampered = Tampered::method(prototype, method, THROW).await;
        let store = match early {
            Some(store) => store,
            None => Store::open().await,
        };
        everything(&store).await;
        // The connection is closed only now: the next test could not begin before.
        tampered.restore().await;
        drop(store);
    }
    // A database that is none.
    for answer in [
        "({})",
        "({ open() {} })",
        "({ open() { return {}; } })",
        "7",
    ] {
        let tampered = Tampered::window("indexedDB", &format!("return {answer};")).await;
        let store = Store::open().await;
        assert_eq!(store.keeper(), Keeper::LocalStorage);
        everything(&store).await;
        tampered.restore().await;
    }
    let uncaught = script("window.uncaught.join('; ')").await;
    assert_eq!(uncaught.as_string().as_deref(), Some(""));
}
