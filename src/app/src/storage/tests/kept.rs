//! What is kept, and how.

use super::*;

#[wasm_bindgen_test]
async fn what_was_saved_is_read_back() {
    let store = fresh().await;
    let saving = with_blobs("one", &[("a1", "points"), ("b2", "more points")]);
    let stamp = save(&store, "x", None, &saving).await;
    let again = Store::open().await;
    let kept = again.load("x").await.expect("loads");
    assert_eq!(
        kept,
        Kept {
            text: "one".to_owned(),
            blobs: [("a1", "points"), ("b2", "more points")]
                .map(|(hash, blob)| (hash.to_owned(), blob.to_owned()))
                .into(),
            stamp,
            changed: MONDAY.to_owned(),
            thrown_away: None,
        }
    );
    let shelf = listed(&again).await;
    assert_eq!(ids(&shelf), ["x"]);
    assert_eq!(shelf.entries[0].summary, saving.summary);
    assert_eq!(again.load("y").await, Err(StorageError::NotThere));
}

#[wasm_bindgen_test]
async fn every_write_asks_for_strict_durability() {
    let store = fresh().await;
    script("window.transactions = []").await;
    let tampered = Tampered::method(
        "IDBDatabase",
        "transaction",
        "const made = original.apply(this, given);
         window.transactions.push(made.mode + ' ' + made.durability);
         return made;",
    )
    .await;
    let stamp = save(&store, "x", None, &sheet("one")).await;
    save(&store, "x", Some(stamp), &sheet("two")).await;
    store.throw_away("x", TUESDAY).await.expect("throws away");
    store.purge("x").await.expect("purges");
    store
        .set_aside("A file", "{", TUESDAY)
        .await
        .expect("sets aside");
    tampered.restore().await;
    let seen = script("window.transactions.join(', ')").await;
    let strict = ["readwrite strict"; 5].join(", ");
    assert_eq!(seen.as_string(), Some(strict));
}

#[wasm_bindgen_test]
async fn saved_means_that_the_transaction_is_complete() {
    let store = fresh().await;
    script("window.order = []").await;
    let tampered = Tampered::method(
        "IDBDatabase",
        "transaction",
        "const made = original.apply(this, given);
         made.addEventListener('complete', () => window.order.push('complete'));
         return made;",
    )
    .await;
    save(&store, "x", None, &sheet("one")).await;
    script("window.order.push('saved')").await;
    tampered.restore().await;
    let order = script("window.order.join(', ')").await;
    assert_eq!(order.as_string().as_deref(), Some("complete, saved"));
}

#[wasm_bindgen_test]
async fn blobs_are_kept_once_and_collected_with_the_last_that_needs_them() {
    let store = fresh().await;
    script("window.puts = []").await;
    let tampered = Tampered::method(
        "IDBObjectStore",
        "put",
        "window.puts.push(this.name); return original.apply(this, given);",
    )
    .await;
    let both = [("a1", "points"), ("b2", "more")];
    let stamp = save(&store, "x", None, &with_blobs("one", &both)).await;
    save(&store, "x", Some(stamp), &with_blobs("two", &both)).await;
    save(&store, "y", None, &with_blobs("y", &both[..1])).await;
    tampered.restore().await;
    let puts = script("window.puts.filter(name => name === 'blobs').length").await;
    assert_eq!(puts.as_f64(), Some(2.0));

    store.purge("x").await.expect("purges");
    assert_eq!(keys(BLOBS).await, ["\"a1\""]);
    assert_eq!(store.load("y").await.expect("loads").blobs["a1"], "points");
    store.purge("y").await.expect("purges");
    assert_eq!(keys(BLOBS).await, [""; 0]);
}

#[wasm_bindgen_test]
async fn a_lost_blob_does_not_keep_the_text_from_being_read() {
    let store = fresh().await;
    let both = [("a1", "points"), ("b2", "more")];
    save(&store, "x", None, &with_blobs("one", &both)).await;
    put(BLOBS, &"a1".into(), &JsValue::from(7)).await;
    let kept = store.load("x").await.expect("loads");
    assert_eq!(kept.text, "one");
    assert_eq!(kept.blobs.into_keys().collect::<Vec<_>>(), ["b2"]);
}

#[wasm_bindgen_test]
async fn the_trash_gives_back() {
    let store = fresh().await;
    let stamp = save(&store, "x", None, &sheet("one")).await;
    store.throw_away("x", TUESDAY).await.expect("throws away");
    let shelf = listed(&store).await;
    assert_eq!(shelf.entries[0].thrown_away.as_deref(), Some(TUESDAY));
    // Another tab that still has it open loses nothing, and does not take it out of the trash.
    save(&store, "x", Some(stamp), &sheet("two")).await;
    let kept = store.load("x").await.expect("loads");
    assert_eq!(
        (kept.text.as_str(), kept.thrown_away.as_deref()),
        ("two", Some(TUESDAY))
    );
    store.take_back("x").await.expect("takes back");
    assert_eq!(store.load("x").await.expect("loads").thrown_away, None);
    assert_eq!(
        store.throw_away("y", TUESDAY).await,
        Err(StorageError::NotThere)
    );
}

#[wasm_bindgen_test]
async fn the_shelf_is_sorted_by_time_not_by_text() {
    let store = fresh().await;
    // As texts these would sort the other way round: 09:30 UTC, 10:00 UTC, 10:30 UTC.
    for (id, changed) in [
        ("middle", "2026-11-23T11:00:00+01:00"),
        ("last", "2026-11-23T05:30:00-05:00"),
        ("first", "2026-11-23T23:30:00+14:00"),
        ("unknown", "yesterday"),
    ] {
        let saving = Saving {
            changed: changed.to_owned(),
            ..sheet(id)
        };
        save(&store, id, None, &saving).await;
    }
    let shelf = listed(&store).await;
    assert_eq!(ids(&shelf), ["last", "middle", "first", "unknown"]);
}

#[wasm_bindgen_test]
async fn what_is_set_aside_is_listed_until_a_person_forgets_it() {
    let store = fresh().await;
    store
        .set_aside("A file", "{\"not\": ", MONDAY)
        .await
        .expect("sets aside");
    local::set_aside("A link", "µ", TUESDAY).expect("sets aside");
    local::put("glasswick/set-aside/2026-10-01", "old").expect("puts");
    let aside = listed(&store).await.aside;
    let seen: Vec<_> = aside
        .iter()
        .map(|one| (one.what.as_str(), one.when.as_str(), one.bytes))
        .collect();
    assert_eq!(
        seen,
        [
            ("A link", TUESDAY, 2),
            ("A file", MONDAY, 8),
            ("A run sheet that could not be read", "2026-10-01", 3),
        ]
    );
    for (one, text) in aside.iter().zip(["µ", "{\"not\": ", "old"]) {
        assert_eq!(store.aside(&one.key).await.as_deref(), Ok(text));
        store.forget_aside(&one.key).await.expect("forgets");
        assert_eq!(store.aside(&one.key).await, Err(StorageError::NotThere));
    }
    assert_eq!(listed(&store).await, Shelf::default());
}

#[wasm_bindgen_test]
async fn the_run_sheet_of_the_first_version_is_offered_until_it_is_kept() {
    let store = fresh().await;
    assert_eq!(store.legacy_text(), None);
    local::put("glasswick/open", "first").expect("puts");
    assert_eq!(store.legacy_text().as_deref(), Some("first"));
    assert_eq!(store.legacy_text().as_deref(), Some("first"));
    store.legacy_done();
    assert_eq!(store.legacy_text(), None);
}

#[wasm_bindgen_test]
async fn settings_are_kept() {
    clean().await;
    assert_eq!(settings::get("look"), None);
    settings::set("look", "low light").expect("keeps");
    assert_eq!(settings::get("look").as_deref(), Some("low light"));
    assert_eq!(
        local::get("glasswick/setting/look").as_deref(),
        Some("low light")
    );
}

#[wasm_bindgen_test]
async fn the_browser_says_how_much_space_there_is() {
    let store = fresh().await;
    save(&store, "x", None, &sheet("one")).await;
    let space = store.space().await.expect("an estimate");
    assert!(space.quota > 1e6 && space.used < space.quota, "{space:?}");
    // Whether it agrees is the browser's to say; that it answers is ours.
    assert!(store.ask_to_persist().await.is_some());
}
