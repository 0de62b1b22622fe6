//! What cannot be read.

use super::*;

#[wasm_bindgen_test]
async fn damaged_rows_are_set_aside_and_the_others_listed() {
    let store = fresh().await;
    save(
        &store,
        "good",
        None,
        &with_blobs("good", &[("a1", "points")]),
    )
    .await;
    let good = js::json(&{
        let connection = connection::open().await.expect("opens");
        let reading = connection.read().expect("begins");
        reading.get(SHEETS, &"good".into()).await.expect("reads")
    })
    .expect("json");
    let nonsense = [
        "null".to_owned(),
        "7".to_owned(),
        "'text'".to_owned(),
        "[]".to_owned(),
        "({})".to_owned(),
        "({row_version: 0})".to_owned(),
        "({row_version: 1.5})".to_owned(),
        "({row_version: '1'})".to_owned(),
        "({row_version: 1})".to_owned(),
        "new Date()".to_owned(),
        "({row_version: 10n})".to_owned(),
        "(() => { const ring = {}; ring.ring = ring; return ring; })()".to_owned(),
        format!("({{...{good}, stamp: 3}})"),
        format!("({{...{good}, stamp: 'no count'}})"),
        format!("({{...{good}, stamp: 'a.-1'}})"),
        format!("({{...{good}, changed: null}})"),
        format!("({{...{good}, thrown_away: 0}})"),
        format!("({{...{good}, thrown_away: undefined}})"),
        format!("({{...{good}, summary: null}})"),
        format!("({{...{good}, summary: {{title: 'only'}}}})"),
        format!("({{...{good}, blobs: 'a1'}})"),
        format!("({{...{good}, blobs: ['a1', 2]}})"),
    ];
    for (position, code) in nonsense.iter().enumerate() {
        let key = JsValue::from(format!("bad {position}"));
        put(SHEETS, &key, &eval(code).expect("a value")).await;
        put(TEXTS, &key, &format!("text {position}").into()).await;
    }
    // A row without its text, one with a text that is none, a text without its row, and keys that are no texts.
    let row = eval(&format!("({good})")).expect("a value");
    put(SHEETS, &"textless".into(), &row).await;
    put(SHEETS, &"wordless".into(), &row).await;
    put(TEXTS, &"wordless".into(), &JsValue::from(5)).await;
    put(TEXTS, &"rowless".into(), &"rowless text".into()).await;
    put(SHEETS, &JsValue::from(12), &row).await;
    put(TEXTS, &eval("['a', 1]").expect("a value"), &"listed".into()).await;
    // This one is found only when it is read: the shelf reads no texts.
    assert_eq!(store.load("wordless").await, Err(StorageError::Damaged));
    assert_eq!(store.load("wordless").await, Err(StorageError::NotThere));

    let shelf = listed(&store).await;
    assert_eq!(ids(&shelf), ["good"]);
    assert_eq!(shelf.aside.len(), nonsense.len() + 5);
    assert_eq!(keys(SHEETS).await, ["\"good\""]);
    assert_eq!(keys(TEXTS).await, ["\"good\""]);
    let mut texts = Vec::new();
    for one in &shelf.aside {
        texts.push(store.aside(&one.key).await.expect("reads"));
    }
    for needle in [
        "text 4",
        "text 20",
        "rowless text",
        "\"a1\":\"points\"",
        "listed",
    ] {
        assert!(
            texts.iter().any(|text| text.contains(needle)),
            "{needle} is lost"
        );
    }
    // Nothing more to do the second time.
    assert_eq!(listed(&store).await, shelf);
    // What is whole enough can be opened from there.
    let found = texts.iter().filter_map(|text| sheet_in(text));
    assert!(found.into_iter().any(|(text, blobs)| {
        text == "text 21" && blobs.get("a1").map(String::as_str) == Some("points")
    }));
}

#[wasm_bindgen_test]
async fn a_save_over_a_damaged_row_sets_the_row_aside() {
    let store = fresh().await;
    let stamp = save(&store, "x", None, &sheet("one")).await;
    put(
        SHEETS,
        &"x".into(),
        &eval("({row_version: 1})").expect("a value"),
    )
    .await;
    save(&store, "x", Some(stamp), &sheet("two")).await;
    assert_eq!(text(&store, "x").await, "two");
    let aside = listed(&store).await.aside;
    assert_eq!(aside.len(), 1);
    let kept = store.aside(&aside[0].key).await.expect("reads");
    assert!(kept.contains("\"text\":\"one\""), "{kept}");
}

#[wasm_bindgen_test]
async fn a_damaged_row_is_healed_from_its_mirror() {
    let store = fresh().await;
    save(&store, "x", None, &sheet("one")).await;
    put(SHEETS, &"x".into(), &JsValue::NULL).await;
    assert_eq!(text(&store, "x").await, "one");
    let shelf = listed(&store).await;
    assert_eq!((ids(&shelf), shelf.aside.len()), (vec!["x"], 1));
}

#[wasm_bindgen_test]
async fn a_damaged_mirror_is_set_aside() {
    let store = fresh().await;
    save(&store, "x", None, &sheet("one")).await;
    local::put("glasswick/sheet/x", "{\"row_version\": 1, \"te").expect("puts");
    assert_eq!(text(&store, "x").await, "one");
    let aside = listed(&store).await.aside;
    assert_eq!(aside.len(), 1);
    assert_eq!(
        store.aside(&aside[0].key).await.as_deref(),
        Ok("{\"row_version\": 1, \"te")
    );
}

#[wasm_bindgen_test]
async fn rows_of_a_newer_version_are_listed_and_not_touched() {
    let store = fresh().await;
    let row = eval(
        "({row_version: 2, changed: '2027-01-01T00:00:00Z', summary: {title: 'From later'}, more: [1]})",
    )
    .expect("a value");
    put(SHEETS, &"x".into(), &row).await;
    put(TEXTS, &"x".into(), &"later".into()).await;
    put(BLOBS, &"c3".into(), &"later points".into()).await;
    let shelf = listed(&store).await;
    assert_eq!(shelf.entries[0].summary.title, "From later");
    assert!(shelf.entries[0].newer && shelf.aside.is_empty());
    let newer = Err(StorageError::Newer);
    assert_eq!(store.load("x").await.map(drop), newer);
    assert_eq!(store.save("x", None, &sheet("one")).await.map(drop), newer);
    assert_eq!(store.throw_away("x", TUESDAY).await, newer);
    assert_eq!(store.purge("x").await, newer);
    // Nobody here knows which blobs it needs.
    save(&store, "y", None, &with_blobs("y", &[("a1", "points")])).await;
    store.purge("y").await.expect("purges");
    assert_eq!(keys(BLOBS).await, ["\"a1\"", "\"c3\""]);
    let connection = connection::open().await.expect("opens");
    let reading = connection.read().expect("begins");
    let now = reading.get(SHEETS, &"x".into()).await.expect("reads");
    assert_eq!(js::json(&now), js::json(&row));
}
