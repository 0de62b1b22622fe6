//! Local storage, beside the database and instead of it.

use super::*;

#[wasm_bindgen_test]
async fn what_only_the_mirror_holds_is_found_after_the_page_was_killed() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    let tampered = cut_off().await;
    let middle = store
        .save_at_once("x", Some(base.clone()), &sheet("two"))
        .expect("mirrors");
    let last = store
        .save_at_once("x", Some(middle), &sheet("three"))
        .expect("mirrors");
    let new = store
        .save_at_once("y", None, &with_blobs("y", &[("a1", "points")]))
        .expect("mirrors");
    pause(20).await;
    tampered.restore().await;
    drop(store);
    assert_eq!(stored("x").await, Some(base.to_string()));

    let store = Store::open().await;
    let shelf = listed(&store).await;
    assert_eq!((ids(&shelf), shelf.aside.len()), (vec!["x", "y"], 0));
    assert_eq!(stored("x").await, Some(last.to_string()));
    assert_eq!(stored("y").await, Some(new.to_string()));
    let kept = store.load("x").await.expect("loads");
    assert_eq!((kept.text.as_str(), &kept.stamp), ("three", &last));
    assert_eq!(store.load("y").await.expect("loads").blobs["a1"], "points");
    save(&store, "x", Some(last), &sheet("four")).await;
}

#[wasm_bindgen_test]
async fn the_mirror_is_written_to_the_database_as_well() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    let stamp = store
        .save_at_once("x", Some(base), &sheet("two"))
        .expect("mirrors");
    // A save that goes on from there waits for it.
    let next = save(&store, "x", Some(stamp), &sheet("three")).await;
    assert_eq!(stored("x").await, Some(next.to_string()));
    assert_eq!(text(&store, "x").await, "three");
}

#[wasm_bindgen_test]
async fn a_save_goes_on_from_a_mirror_that_the_database_never_got() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    let tampered = cut_off().await;
    let mirrored = store
        .save_at_once("x", Some(base), &sheet("two"))
        .expect("mirrors");
    pause(20).await;
    tampered.restore().await;
    save(&store, "x", Some(mirrored), &sheet("three")).await;
    assert_eq!(text(&Store::open().await, "x").await, "three");
    assert!(listed(&store).await.aside.is_empty());
}

#[wasm_bindgen_test]
async fn a_mirror_never_replaces_what_another_tab_wrote_since() {
    let ours = fresh().await;
    let theirs = Store::open().await;
    let base = save(&ours, "x", None, &sheet("one")).await;
    let tampered = cut_off().await;
    ours.save_at_once(
        "x",
        Some(base.clone()),
        &with_blobs("ours", &[("a1", "points")]),
    )
    .expect("mirrors");
    pause(20).await;
    tampered.restore().await;
    // They had read the base, and do not look at the mirror.
    let second = save(&theirs, "x", Some(base), &sheet("theirs")).await;
    let kept = Store::open().await.load("x").await.expect("loads");
    assert_eq!((kept.text.as_str(), kept.stamp), ("theirs", second));
    let aside = listed(&theirs).await.aside;
    assert_eq!(aside.len(), 1);
    assert_eq!(
        aside[0].what,
        "“Tile 7”, changed while another tab changed it"
    );
    let found = sheet_in(&theirs.aside(&aside[0].key).await.expect("reads")).expect("a run sheet");
    assert_eq!(
        (found.0.as_str(), found.1["a1"].as_str()),
        ("ours", "points")
    );
}

#[wasm_bindgen_test]
async fn a_foreign_mirror_beside_a_newer_row_is_set_aside_on_loading() {
    let store = fresh().await;
    let stamp = save(&store, "x", None, &sheet("one")).await;
    let foreign = |count| Stamp {
        tab: "elsewhere".into(),
        count,
    };
    let lost = Local {
        record: Record::new(foreign(9), &sheet("lost")),
        base: Some(foreign(3)),
        kept: false,
    };
    local::put(
        "glasswick/sheet/x",
        &lost.record.json(lost.base.as_ref(), false).expect("json"),
    )
    .expect("puts");
    local::put("glasswick/stamp/x", "elsewhere.9").expect("puts");
    let kept = store.load("x").await.expect("loads");
    assert_eq!((kept.text.as_str(), &kept.stamp), ("one", &stamp));
    assert_eq!(listed(&store).await.aside.len(), 1);
    // Had the database held it once, it would be only old.
    local::put(
        "glasswick/sheet/x",
        &lost.record.json(lost.base.as_ref(), true).expect("json"),
    )
    .expect("puts");
    assert_eq!(text(&store, "x").await, "one");
    let shelf = listed(&store).await;
    assert_eq!((ids(&shelf), shelf.aside.len()), (vec!["x"], 1));
}

#[wasm_bindgen_test]
async fn where_the_database_fails_the_mirror_is_read() {
    let store = fresh().await;
    let stamp = save(&store, "x", None, &sheet("one")).await;
    let tampered = cut_off().await;
    let kept = store.load("x").await;
    let missing = store.load("y").await;
    tampered.restore().await;
    let kept = kept.expect("loads");
    assert_eq!((kept.text.as_str(), kept.stamp), ("one", stamp));
    let name = "UnknownError".to_owned();
    assert_eq!(missing, Err(StorageError::Refused { name }));
}

#[wasm_bindgen_test]
async fn a_large_run_sheet_has_no_mirror_and_says_so() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("small")).await;
    let large = "7".repeat(65 * 1024);
    assert_eq!(
        store.save_at_once("x", Some(base.clone()), &sheet(&large)),
        Err(StorageError::Underway)
    );
    // It is on its way all the same, and the caller may go on from what it knows.
    let stamp = save(&store, "x", Some(base), &sheet(&large)).await;
    assert_eq!(local::get("glasswick/sheet/x"), None);
    assert_eq!(local::get("glasswick/stamp/x"), Some(stamp.to_string()));
    assert_eq!(text(&store, "x").await, large);
    assert!(listed(&store).await.aside.is_empty());
}

#[wasm_bindgen_test]
async fn without_a_database_local_storage_keeps_everything() {
    for missing in [
        "return null;",
        "return undefined;",
        "throw new Error('no');",
    ] {
        clean().await;
        let tampered = Tampered::window("indexedDB", missing).await;
        let store = Store::open().await;
        let other = Store::open().await;
        assert_eq!(store.keeper(), Keeper::LocalStorage);
        assert_eq!(store.trouble(), Some(StorageError::Unavailable));
        let large = "7".repeat(100 * 1024);
        let saving = with_blobs(&large, &[("a1", "points")]);
        let base = save(&store, "x", None, &saving).await;
        assert_eq!(other.load("x").await.expect("loads").blobs["a1"], "points");
        let theirs = save(&other, "x", Some(base.clone()), &sheet("theirs")).await;
        for base in [None, Some(base)] {
            assert_eq!(
                store.save("x", base, &sheet("ours")).await,
                Err(StorageError::Conflict)
            );
        }
        store
            .save_at_once("x", Some(theirs), &sheet("both"))
            .expect("saves");
        store.throw_away("x", TUESDAY).await.expect("throws away");
        local::put("glasswick/sheet/bad", "{").expect("puts");
        local::put(
            "glasswick/sheet/later",
            "{\"row_version\": 2, \"summary\": {\"title\": \"From later\"}}",
        )
        .expect("puts");
        let shelf = listed(&store).await;
        assert_eq!(ids(&shelf), ["x", "later"]);
        assert_eq!(shelf.entries[0].thrown_away.as_deref(), Some(TUESDAY));
        assert!(shelf.entries[1].newer);
        assert_eq!(shelf.aside.len(), 1);
        assert_eq!(store.load("later").await, Err(StorageError::Newer));
        assert_eq!(store.load("bad").await, Err(StorageError::NotThere));
        store.take_back("x").await.expect("takes back");
        assert_eq!(text(&store, "x").await, "both");
        store.purge("x").await.expect("purges");
        assert_eq!(store.load("x").await, Err(StorageError::NotThere));
        tampered.restore().await;
    }
}

#[wasm_bindgen_test]
async fn what_was_kept_without_a_database_is_carried_over() {
    let store = fresh().await;
    save(&store, "x", None, &sheet("one")).await;
    drop(store);
    let tampered = Tampered::window("indexedDB", "return null;").await;
    for text in ["two", "three"] {
        let store = Store::open().await;
        let base = store.load("x").await.expect("loads").stamp;
        save(&store, "x", Some(base), &sheet(text)).await;
    }
    tampered.restore().await;
    let store = Store::open().await;
    assert_eq!(text(&store, "x").await, "three");
    assert!(listed(&store).await.aside.is_empty());
}
