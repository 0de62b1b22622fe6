//! The shelf: every saved run sheet, the trash, what was set aside, and what this device does for the page.

mod device;
mod entry;
mod import;

use web_sys::{DragEvent, File};
use yew::platform::spawn_local;
use yew::prelude::*;

use self::device::device;
use self::entry::{Asked, aside_row, row, trash_row};
use self::import::PasteDialog;
use crate::components::{UNDO, file_button, undo_bar};
use crate::notice::{Notice, Notices};
use crate::route::{self, Route};
use crate::storage::{Entry, Keeper, Shelf, Space, StorageError, Store};
use crate::{dom, files, workbench};

#[derive(PartialEq, Properties)]
pub(crate) struct ShelfPlaceProps {
    pub(crate) store: Store,
    pub(crate) notices: Notices,
}

/// What the store says, once it was asked.
#[derive(Clone, PartialEq)]
struct Listed {
    shelf: Result<Shelf, StorageError>,
    space: Option<Space>,
    persists: Option<bool>,
}

#[component]
pub(crate) fn ShelfPlace(props: &ShelfPlaceProps) -> Html {
    let ShelfPlaceProps { store, notices } = props;
    let listed = use_state_eq(|| None::<Listed>);
    let asked = use_state_eq(|| 0_u32);
    let search = use_state_eq(String::new);
    let pasting = use_state_eq(|| false);
    let thrown = use_state_eq(|| None::<(String, String)>);
    let dragged = use_state_eq(|| false);
    {
        let (store, listed) = (store.clone(), listed.setter());
        use_effect_with(*asked, move |_| {
            spawn_local(async move {
                listed.set(Some(Listed {
                    shelf: store.shelf().await,
                    space: store.space().await,
                    persists: store.persists().await,
                }));
            });
        });
    }
    {
        // What another tab writes is listed here as well.
        let (store, asked) = (store.clone(), asked.clone());
        use_effect_with(*asked, move |_| {
            let listener = store.on_foreign_change(move |_| asked.set(*asked + 1));
            move || drop(listener)
        });
    }
    let again = {
        let asked = asked.clone();
        Callback::from(move |()| asked.set(*asked + 1))
    };
    let take = importer(store, notices, &again);
    let ask = asker(store, notices, &again, &take, &thrown);

    let choose = {
        let take = take.clone();
        Callback::from(move |file: File| take_files(vec![file], take.clone()))
    };
    let paste = {
        let pasting = pasting.setter();
        Callback::from(move |_: MouseEvent| pasting.set(true))
    };
    let pasted = {
        let (pasting, take) = (pasting.setter(), take.clone());
        Callback::from(move |text: Option<String>| {
            pasting.set(false);
            if let Some(text) = text {
                take.emit(vec![Ok(text)]);
            }
        })
    };
    let over = {
        let dragged = dragged.setter();
        Callback::from(move |event: DragEvent| {
            event.prevent_default();
            dragged.set(true);
        })
    };
    let left = {
        let dragged = dragged.setter();
        Callback::from(move |_: DragEvent| dragged.set(false))
    };
    let dropped = {
        let (dragged, take) = (dragged.setter(), take.clone());
        Callback::from(move |event: DragEvent| {
            event.prevent_default();
            dragged.set(false);
            take_dropped(&event, &take);
        })
    };
    let look_for = {
        let search = search.setter();
        Callback::from(move |event: InputEvent| search.set(dom::value(&event)))
    };
    let take_back = {
        let (ask, thrown) = (ask.clone(), thrown.clone());
        Callback::from(move |()| {
            if let Some((id, _)) = &*thrown {
                ask.emit(Asked::TakeBack(id.clone()));
            }
        })
    };
    let forget = {
        let thrown = thrown.setter();
        Callback::from(move |()| thrown.set(None))
    };
    html! {
        <main class={classes!("place", "shelf", dragged.then_some("dragged"))} ondragover={over}
            ondragleave={left} ondrop={dropped}>
            <div class="shelf-head">
                <h2>{ "Shelf" }</h2>
                <div class="actions">
                    <a class="button primary" href={Route::Begin.to_string()}>{ "New run sheet" }</a>
                    { file_button("Import a file", ".json,.txt,application/json,text/plain", choose) }
                    <button type="button" onclick={paste}>{ "Paste" }</button>
                    { export_all(&listed, &ask) }
                </div>
            </div>
            { trouble(store) }
            { list(listed.as_ref(), &search, look_for, &ask) }
            if let Some(listed) = &*listed {
                { device(listed.space.as_ref(), listed.persists) }
            }
            if *pasting {
                <PasteDialog {pasted} />
            }
            if let Some((_, sentence)) = &*thrown {
                { undo_bar(sentence.clone(), &take_back, &forget) }
            }
        </main>
    }
}

/// Why run sheets are not kept as they should be; nothing where they are.
fn trouble(store: &Store) -> Html {
    let Some(error) = store.trouble() else {
        return Html::default();
    };
    let sentence = match store.keeper() {
        Keeper::Nothing => "Nothing is kept here. Export every run sheet before you leave it.",
        _ => "Run sheets are kept in a smaller store meanwhile. Export what matters.",
    };
    html! {
        <div class="kept failed" role="alert">
            <p><strong>{ sentence }</strong>{ format!(" {error} {}", error.hint()) }</p>
        </div>
    }
}

fn export_all(listed: &UseStateHandle<Option<Listed>>, ask: &Callback<Asked>) -> Html {
    let ids: Vec<String> = match &**listed {
        Some(Listed {
            shelf: Ok(shelf), ..
        }) => live(shelf).map(|entry| entry.id.clone()).collect(),
        _ => Vec::new(),
    };
    let disabled = ids.is_empty();
    let onclick = ask.reform(move |_: MouseEvent| Asked::Export(ids.clone()));
    html! { <button type="button" {disabled} {onclick}>{ "Export all" }</button> }
}

fn live(shelf: &Shelf) -> impl Iterator<Item = &Entry> {
    shelf
        .entries
        .iter()
        .filter(|entry| entry.thrown_away.is_none())
}

fn list(
    listed: Option<&Listed>,
    search: &str,
    look_for: Callback<InputEvent>,
    ask: &Callback<Asked>,
) -> Html {
    let shelf = match listed {
        None => return html! { <p>{ "Reading the shelf…" }</p> },
        Some(Listed {
            shelf: Err(error), ..
        }) => {
            return html! {
                <p class="kept failed" role="alert">{ format!("The shelf cannot be read. {error} {}", error.hint()) }</p>
            };
        }
        Some(Listed {
            shelf: Ok(shelf), ..
        }) => shelf,
    };
    let (all, wanted) = (live(shelf).count(), search.trim().to_lowercase());
    let found: Vec<&Entry> = live(shelf).filter(|entry| fits(entry, &wanted)).collect();
    let trash: Vec<&Entry> = shelf
        .entries
        .iter()
        .filter(|entry| entry.thrown_away.is_some())
        .collect();
    html! {
        <>
            if all == 0 {
                <p class="nothing">{ "No run sheet is saved on this device yet. Begin one, look at the demo, or drop a file here." }</p>
            } else {
                <div class="search">
                    <label for="search">{ "Search" }</label>
                    <input id="search" type="search" autocomplete="off" value={search.to_owned()} oninput={look_for} />
                </div>
                <p class="visually-hidden" role="status">{ format!("{} of {all} run sheets", found.len()) }</p>
                if found.is_empty() {
                    <p class="nothing">{ "No run sheet says this. Search for a part of its title, its date or a result." }</p>
                }
                <ul class="shelf-list">{ for found.iter().map(|entry| row(entry, ask)) }</ul>
            }
            if !trash.is_empty() {
                <details class="trash">
                    <summary>{ format!("Trash ({})", trash.len()) }</summary>
                    <ul class="shelf-list">{ for trash.iter().map(|entry| trash_row(entry, ask)) }</ul>
                </details>
            }
            if !shelf.aside.is_empty() {
                <details class="aside" open=true>
                    <summary>{ format!("Set aside ({})", shelf.aside.len()) }</summary>
                    <p>{ "What could not be read is kept here as it was found. Export it before you delete it." }</p>
                    <ul class="shelf-list">{ for shelf.aside.iter().map(|aside| aside_row(aside, ask)) }</ul>
                </details>
            }
        </>
    }
}

/// Whether an entry says every word that is looked for.
fn fits(entry: &Entry, wanted: &str) -> bool {
    let summary = &entry.summary;
    let text = [
        &summary.title,
        &summary.date,
        &summary.headline,
        &summary.standing,
    ]
    .map(|text| text.to_lowercase())
    .join(" ");
    wanted.split_whitespace().all(|word| text.contains(word))
}

/// Texts on their way in: read, or the sentence that says why not.
type Texts = Vec<Result<String, String>>;

/// Takes texts in: a link is opened, everything else goes onto the shelf, and a single run sheet is opened.
fn importer(store: &Store, notices: &Notices, again: &Callback<()>) -> Callback<Texts> {
    let (store, notices, again) = (store.clone(), notices.clone(), again.clone());
    Callback::from(move |texts: Texts| {
        let (store, notices, again) = (store.clone(), notices.clone(), again.clone());
        let unread: Vec<String> = texts.iter().filter_map(|text| text.clone().err()).collect();
        let texts: Vec<String> = texts.into_iter().filter_map(Result::ok).collect();
        if let [text] = texts.as_slice()
            && let Some(link) = link_in(text)
        {
            return route::go(&link);
        }
        spawn_local(async move {
            let Ok(tools) = workbench::load().await else {
                return notices.set(Some(workbench::missing()));
            };
            let mut imported = (tools.import)(store, texts).await;
            if !unread.is_empty() {
                let notice = imported
                    .notice
                    .get_or_insert_with(|| Notice::new("Not everything was imported."));
                notice.lines.extend(unread);
            }
            notices.set(imported.notice);
            match imported.ids.as_slice() {
                [id] => route::go(&Route::Sheet {
                    id: id.clone(),
                    card: None,
                }),
                _ => again.emit(()),
            }
        });
    })
}

/// The link that a text is, from whatever address it was copied.
fn link_in(text: &str) -> Option<Route> {
    let text = text.trim();
    if text.contains(char::is_whitespace) {
        return None;
    }
    let route = Route::read(&text[text.find("#/link")?..]);
    matches!(route, Route::Link { .. }).then_some(route)
}

fn take_files(files: Vec<File>, take: Callback<Texts>) {
    spawn_local(async move {
        let mut texts = Vec::with_capacity(files.len());
        for file in files {
            texts.push(files::read(file).await);
        }
        take.emit(texts);
    });
}

/// Takes what was dropped: files, or a text.
fn take_dropped(event: &DragEvent, take: &Callback<Texts>) {
    let Some(transfer) = event.data_transfer() else {
        return;
    };
    let files: Vec<File> = transfer
        .files()
        .map(|list| (0..list.length()).filter_map(|n| list.get(n)).collect())
        .unwrap_or_default();
    if !files.is_empty() {
        take_files(files, take.clone());
    } else if let Ok(text) = transfer.get_data("text/plain")
        && !text.trim().is_empty()
    {
        take.emit(vec![Ok(text)]);
    }
}

/// Does what is asked of an entry, then lists the shelf again.
fn asker(
    store: &Store,
    notices: &Notices,
    again: &Callback<()>,
    take: &Callback<Texts>,
    thrown: &UseStateHandle<Option<(String, String)>>,
) -> Callback<Asked> {
    let (store, notices, again, take, thrown) = (
        store.clone(),
        notices.clone(),
        again.clone(),
        take.clone(),
        thrown.setter(),
    );
    Callback::from(move |asked: Asked| {
        let (store, notices, again, take, thrown) = (
            store.clone(),
            notices.clone(),
            again.clone(),
            take.clone(),
            thrown.clone(),
        );
        spawn_local(async move {
            let outcome = match asked {
                Asked::Export(ids) => {
                    match workbench::load().await {
                        Ok(tools) => (tools.export_kept)(store, ids, notices).await,
                        Err(_) => notices.set(Some(workbench::missing())),
                    }
                    return;
                }
                Asked::ExportAside(key) => match store.aside(&key).await {
                    Ok(text) => {
                        files::hand_out(&notices, "glasswick-set-aside.json", &text);
                        return;
                    }
                    Err(error) => Err(error),
                },
                Asked::ReadAside(key) => match store.aside(&key).await {
                    Ok(text) => return take.emit(vec![Ok(text)]),
                    Err(error) => Err(error),
                },
                Asked::ThrowAway { id, title } => {
                    let outcome = store.throw_away(&id, &dom::now()).await;
                    if outcome.is_ok() {
                        thrown.set(Some((id, format!("“{title}” is in the trash."))));
                        dom::catch_focus(UNDO);
                    }
                    outcome
                }
                Asked::TakeBack(id) => {
                    thrown.set(None);
                    store.take_back(&id).await
                }
                Asked::Purge(id) => {
                    thrown.set(None);
                    store.purge(&id).await
                }
                Asked::ForgetAside(key) => store.forget_aside(&key).await,
            };
            if let Err(error) = outcome {
                notices.set(Some(Notice::with(error.to_string(), error.hint())));
            }
            again.emit(());
        });
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::storage::Summary;

    #[test]
    fn every_word_is_looked_for_in_all_that_an_entry_says() {
        let entry = Entry {
            id: "a".into(),
            summary: Summary {
                title: "Zinc oxide tiles".into(),
                date: "2026-03-12".into(),
                headline: "Cell 4: Efficiency 3.1 %".into(),
                standing: "in range".into(),
                cards: 6,
            },
            changed: String::new(),
            thrown_away: None,
            newer: false,
        };
        for wanted in ["", "zinc", "tiles zinc", "2026-03", "3.1", "in range cell"] {
            assert!(fits(&entry, wanted), "{wanted}");
        }
        for wanted in ["nickel", "zinc nickel", "2027"] {
            assert!(!fits(&entry, wanted), "{wanted}");
        }
    }

    #[test]
    fn a_pasted_link_is_known_from_any_address() {
        let link = Route::Link {
            state: "1z.abc".into(),
            card: None,
        };
        assert_eq!(
            link_in(" https://example.org/x/#/link/1z.abc\n"),
            Some(link.clone())
        );
        assert_eq!(link_in("#/link/1z.abc"), Some(link));
        assert_eq!(link_in("{ \"title\": \"#/link/1z.abc\" }"), None);
        assert_eq!(link_in("https://example.org/#/sheet/a"), None);
    }
}
