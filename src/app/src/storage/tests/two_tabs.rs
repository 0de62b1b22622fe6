//! Two tabs on one run sheet.

use super::*;

/// Where the identifiers of foreign changes are noted.
fn noted(store: &Store) -> (Rc<RefCell<Vec<String>>>, Listener) {
    let seen = Rc::new(RefCell::new(Vec::new()));
    let listener = store.on_foreign_change({
        let seen = seen.clone();
        move |id| seen.borrow_mut().push(id)
    });
    (seen, listener)
}

#[wasm_bindgen_test]
async fn two_tabs_never_overwrite_each_other() {
    let ours = fresh().await;
    let theirs = Store::open().await;
    let first = save(&ours, "x", None, &sheet("one")).await;
    assert_eq!(
        theirs.save("x", None, &sheet("new")).await,
        Err(StorageError::Conflict)
    );
    let read = theirs.load("x").await.expect("loads").stamp;
    assert_eq!(read, first);
    let second = save(&theirs, "x", Some(read), &sheet("theirs")).await;
    assert_eq!(
        ours.save("x", Some(first), &sheet("ours")).await,
        Err(StorageError::Conflict)
    );
    assert_eq!(text(&ours, "x").await, "theirs");
    // Taking theirs, we may go on from there; so may a copy of ours.
    save(&ours, "x", Some(second), &sheet("both")).await;
    save(&ours, "copy", None, &sheet("ours")).await;
    assert_eq!(text(&theirs, "x").await, "both");
    assert_eq!(text(&theirs, "copy").await, "ours");
}

#[wasm_bindgen_test]
async fn saves_of_one_tab_overtake_each_other_in_order() {
    let store = fresh().await;
    let base = save(&store, "x", None, &sheet("one")).await;
    // Begun one after the other, from the same base, before any has ended.
    let second = store.save("x", Some(base.clone()), &sheet("two"));
    let third = store.save("x", Some(base), &sheet("three"));
    let third = third.await.expect("saves");
    second.await.expect("was overtaken, which loses nothing");
    assert_eq!(text(&store, "x").await, "three");
    assert_eq!(stored("x").await, Some(third.to_string()));
}

#[wasm_bindgen_test]
async fn a_purged_run_sheet_does_not_come_back_by_a_save() {
    let ours = fresh().await;
    let theirs = Store::open().await;
    let stamp = save(&ours, "x", None, &sheet("one")).await;
    theirs.purge("x").await.expect("purges");
    theirs.purge("x").await.expect("purging twice is no error");
    assert_eq!(
        ours.save("x", Some(stamp), &sheet("two")).await,
        Err(StorageError::NotThere)
    );
    assert_eq!(ours.load("x").await, Err(StorageError::NotThere));
    assert_eq!(listed(&ours).await, Shelf::default());
}

#[wasm_bindgen_test]
async fn other_tabs_hear_of_every_change_and_not_of_their_own() {
    let ours = fresh().await;
    let theirs = Store::open().await;
    let (seen, listener) = noted(&ours);
    save(&ours, "own", None, &sheet("own")).await;
    let base = save(&theirs, "x", None, &sheet("one")).await;
    theirs
        .save_at_once("x", Some(base), &sheet("two"))
        .expect("mirrors");
    pause(50).await;
    theirs.throw_away("x", MONDAY).await.expect("throws away");
    theirs.take_back("x").await.expect("takes back");
    theirs.purge("x").await.expect("purges");
    pause(50).await;
    assert_eq!(*seen.borrow(), ["x"; 5]);
    drop(listener);
    save(&theirs, "y", None, &sheet("y")).await;
    pause(50).await;
    assert_eq!(seen.borrow().len(), 5);
}

#[wasm_bindgen_test]
async fn without_a_channel_local_storage_tells() {
    let ours = fresh().await;
    let (seen, _listener) = noted(&ours);
    save(&ours, "own", None, &sheet("own")).await;
    // A frame is another page of the same origin, so that its writes raise the event here.
    script(
        "const frame = document.createElement('iframe');
         document.body.append(frame);
         const other = frame.contentWindow.localStorage;
         other.setItem('glasswick/stamp/x', 'elsewhere.1');
         other.setItem('glasswick/setting/look', 'low light');
         other.removeItem('glasswick/stamp/x');
         new Promise(done => setTimeout(() => { frame.remove(); done(); }, 100))",
    )
    .await;
    assert_eq!(*seen.borrow(), ["x", "x"]);
}
