//! The database and local storage as one store.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use js_sys::Date;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::BroadcastChannel;

use super::connection::{self, Connection};
use super::database::{self, Stored};
use super::error::StorageError;
use super::local::{self, Found};
use super::row::{Kept, Local, Record, Saving, Stamp};
use super::tabs::{self, Listener};
use super::{Entry, Keeper, Shelf, Space, js};
use crate::dom::random_id;

/// The storage of this page.
#[derive(Clone)]
pub(crate) struct Store {
    inner: Rc<Inner>,
}

struct Inner {
    tab: Rc<str>,
    count: Cell<u32>,
    keeper: Keeper,
    trouble: Option<StorageError>,
    connection: RefCell<Option<Rc<Connection>>>,
    channel: Option<BroadcastChannel>,
    /// By run sheet, what was written only to the mirror so far, and what the database held when it was.
    mirrored: RefCell<BTreeMap<String, (Stamp, Option<Stamp>)>>,
}

impl PartialEq for Store {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.inner, &other.inner)
    }
}

impl Drop for Inner {
    fn drop(&mut self) {
        if let Some(channel) = &self.channel {
            channel.close();
        }
    }
}

impl Store {
    /// Opens the database; falls back to local storage, then to nothing.
    pub(crate) async fn open() -> Self {
        let (connection, trouble) = match connection::open().await {
            Ok(connection) => (Some(Rc::new(connection)), None),
            Err(error) => (None, Some(error)),
        };
        let keeper = match &connection {
            Some(_) => Keeper::Database,
            None if local::works() => Keeper::LocalStorage,
            None => Keeper::Nothing,
        };
        Store {
            inner: Rc::new(Inner {
                tab: random_id().into(),
                count: Cell::new(0),
                keeper,
                trouble,
                connection: RefCell::new(connection),
                channel: tabs::channel(),
                mirrored: RefCell::default(),
            }),
        }
    }

    /// Where run sheets are kept.
    pub(crate) fn keeper(&self) -> Keeper {
        self.inner.keeper
    }

    /// Why that is not the database.
    pub(crate) fn trouble(&self) -> Option<StorageError> {
        self.inner.trouble.clone()
    }

    /// Lists everything. What cannot be read is set aside on the way, and what only the mirror holds is kept.
    pub(crate) async fn shelf(&self) -> Result<Shelf, StorageError> {
        let mut shelf = match self.keeper() {
            Keeper::Nothing => return Err(StorageError::Unavailable),
            Keeper::LocalStorage => local::shelf()?,
            Keeper::Database => self.database_shelf().await?,
        };
        // Times may have different offsets, so they do not sort as texts. What has none comes last.
        shelf.entries.sort_by_cached_key(|entry| {
            let time = Date::parse(&entry.changed);
            core::cmp::Reverse(if time.is_nan() { i64::MIN } else { time as i64 })
        });
        shelf.aside.sort_by(|one, other| other.when.cmp(&one.when));
        Ok(shelf)
    }

    async fn database_shelf(&self) -> Result<Shelf, StorageError> {
        let list = || self.with_database(async |connection| database::list(&connection).await);
        let mut listing = list().await?;
        let mut again = false;
        for key in &listing.damaged {
            let moved = self
                .with_database(async |connection| database::move_aside(&connection, key).await)
                .await;
            // Where it cannot be moved it stays where it is.
            again |= moved.is_ok();
        }
        for id in local::ids() {
            let in_database = listing.stamps.iter().find(|(other, _)| *other == id);
            if local::stamp(&id).as_ref() != in_database.map(|(_, stamp)| stamp) {
                // Loading settles which of the two is the later one.
                again |= self.load(&id).await.is_ok();
            }
        }
        if again {
            listing = list().await?;
        }
        // Where the database is full, a mirror is all there is.
        for id in local::ids() {
            if !listing.entries.iter().any(|entry| entry.id == id)
                && let Found::Sheet(mirror) = local::find(&id)
            {
                listing.entries.push(Entry::of(id, mirror.record.row));
            }
        }
        listing.aside.extend(local::asides());
        Ok(Shelf {
            entries: listing.entries,
            aside: listing.aside,
        })
    }

    /// Reads a run sheet. Where the mirror continues what the database holds, it is written there and read; where the
    /// database fails, it is read.
    pub(crate) async fn load(&self, id: &str) -> Result<Kept, StorageError> {
        match self.keeper() {
            Keeper::Nothing => return Err(StorageError::Unavailable),
            Keeper::LocalStorage => return local::load(id),
            Keeper::Database => {}
        }
        let stored = self
            .with_database(async |connection| database::read(&connection, id).await)
            .await;
        let stored = match stored {
            Ok(stored) => stored,
            // Better a mirror than nothing: what the next save may replace is for the database to say.
            Err(error) => return local::load(id).map_err(|_| error),
        };
        if let Stored::Damaged = stored {
            let key = JsValue::from(id);
            self.with_database(async |connection| database::move_aside(&connection, &key).await)
                .await?;
        }
        let mirror = match local::find(id) {
            Found::Sheet(mirror) => Some(*mirror),
            Found::Damaged => {
                // Where it cannot be set aside it stays where it is.
                let _ = local::spare(id);
                None
            }
            Found::Newer if matches!(stored, Stored::Nothing) => return Err(StorageError::Newer),
            Found::Nothing | Found::Newer => None,
        };
        match (stored, mirror) {
            (Stored::Newer, _) => Err(StorageError::Newer),
            (Stored::Sheet(sheet), Some(mirror)) if mirror.continues(&sheet.stamp) => {
                Ok(self.keep_mirror(id, mirror, Some(sheet)).await)
            }
            (Stored::Sheet(sheet), Some(mirror)) => {
                if mirror.record.row.stamp != sheet.stamp {
                    // Where that fails it is looked at again the next time.
                    let _ = local::outgrown(id, &sheet.stamp);
                }
                Ok(sheet)
            }
            (Stored::Sheet(sheet), None) => Ok(sheet),
            (Stored::Nothing | Stored::Damaged, Some(mirror)) => {
                Ok(self.keep_mirror(id, mirror, None).await)
            }
            (Stored::Nothing, None) => Err(StorageError::NotThere),
            (Stored::Damaged, None) => Err(StorageError::Damaged),
        }
    }

    /// Writes to the database what only the mirror holds.
    async fn keep_mirror(&self, id: &str, mirror: Local, stored: Option<Kept>) -> Kept {
        let record = mirror.record;
        let base = stored.as_ref().map(|sheet| sheet.stamp.clone());
        let written = self
            .with_database(async |connection| {
                database::write(&connection, id, base.as_ref(), false, &record).await
            })
            .await;
        let mut kept = record.kept();
        if let Some(stored) = stored {
            kept.thrown_away = stored.thrown_away;
            if written.is_err() {
                // The next save then continues what the database holds.
                kept.stamp = stored.stamp;
            }
        }
        kept
    }

    /// Keeps a run sheet: it is kept when this ends well. Without a base it must not be there yet; otherwise what is
    /// there must be the base, or written by this very page.
    pub(crate) fn save(
        &self,
        id: &str,
        base: Option<Stamp>,
        sheet: &Saving,
    ) -> impl Future<Output = Result<Stamp, StorageError>> + use<> {
        let record = Record::new(self.next_stamp(), sheet);
        let (store, id, base) = (self.clone(), id.to_owned(), self.in_database(id, base));
        async move { store.write(&id, base, record, true).await }
    }

    /// Keeps a small run sheet in the same instant, for when the page is left or hidden, and starts to write it to the
    /// database. It is kept when this returns a stamp.
    pub(crate) fn save_at_once(
        &self,
        id: &str,
        base: Option<Stamp>,
        sheet: &Saving,
    ) -> Result<Stamp, StorageError> {
        let stamp = self.next_stamp();
        let record = Record::new(stamp.clone(), sheet);
        match self.keeper() {
            Keeper::Nothing => Err(StorageError::Unavailable),
            Keeper::LocalStorage => {
                local::save(id, base.as_ref(), record)?;
                self.announce(id, &stamp.to_string());
                Ok(stamp)
            }
            Keeper::Database => {
                let base = self.in_database(id, base);
                let mirrored = local::mirror(id, &record, base.as_ref(), false);
                if mirrored.is_ok() {
                    let pair = (stamp.clone(), base.clone());
                    self.inner.mirrored.borrow_mut().insert(id.to_owned(), pair);
                }
                let (store, id, mirror) = (self.clone(), id.to_owned(), mirrored.is_err());
                spawn_local(async move {
                    // The mirror is there, or the caller was told.
                    let _ = store.write(&id, base, record, mirror).await;
                });
                mirrored.map(|()| stamp).map_err(|_| StorageError::Underway)
            }
        }
    }

    /// What the database must hold for a caller who continues `base`.
    fn in_database(&self, id: &str, base: Option<Stamp>) -> Option<Stamp> {
        match (base, self.inner.mirrored.borrow().get(id)) {
            (Some(base), Some((mirrored, in_database))) if base == *mirrored => in_database.clone(),
            (base, _) => base,
        }
    }

    async fn write(
        &self,
        id: &str,
        base: Option<Stamp>,
        record: Record,
        mirror: bool,
    ) -> Result<Stamp, StorageError> {
        let stamp = record.row.stamp.clone();
        match self.keeper() {
            Keeper::Nothing => return Err(StorageError::Unavailable),
            Keeper::LocalStorage => local::save(id, base.as_ref(), record)?,
            Keeper::Database => {
                // Who deletes a run sheet for good removes its stamp too. Where the stamp is there and the row is not,
                // the browser lost it.
                let purged = local::stamp(id).is_none();
                let written = self
                    .with_database(async |connection| {
                        database::write(&connection, id, base.as_ref(), purged, &record).await
                    })
                    .await;
                let refused = matches!(
                    written,
                    Err(StorageError::Conflict | StorageError::NotThere | StorageError::Newer)
                );
                if mirror && !refused {
                    // The database alone decides whether it is kept.
                    let _ = local::mirror(id, &record, base.as_ref(), written.is_ok());
                }
                written?;
                self.inner
                    .mirrored
                    .borrow_mut()
                    .retain(|other, (mirrored, _)| other != id || stamp.precedes(mirrored));
            }
        }
        self.announce(id, &stamp.to_string());
        Ok(stamp)
    }

    /// Puts a run sheet into the trash.
    pub(crate) async fn throw_away(&self, id: &str, when: &str) -> Result<(), StorageError> {
        self.set_thrown_away(id, Some(when)).await
    }

    /// Takes a run sheet out of the trash.
    pub(crate) async fn take_back(&self, id: &str) -> Result<(), StorageError> {
        self.set_thrown_away(id, None).await
    }

    async fn set_thrown_away(&self, id: &str, when: Option<&str>) -> Result<(), StorageError> {
        match self.keeper() {
            Keeper::Nothing => return Err(StorageError::Unavailable),
            Keeper::LocalStorage => local::set_thrown_away(id, when)?,
            Keeper::Database => {
                self.with_database(async |connection| {
                    database::set_thrown_away(&connection, id, when).await
                })
                .await?;
                // The mirror may be missing.
                let _ = local::set_thrown_away(id, when);
            }
        }
        self.announce(id, when.unwrap_or("taken back"));
        Ok(())
    }

    /// Deletes a run sheet for good, and the blobs that no run sheet needs any more.
    pub(crate) async fn purge(&self, id: &str) -> Result<(), StorageError> {
        match self.keeper() {
            Keeper::Nothing => return Err(StorageError::Unavailable),
            Keeper::LocalStorage => local::purge(id)?,
            Keeper::Database => {
                self.with_database(async |connection| database::purge(&connection, id).await)
                    .await?;
                // Otherwise it would come back from the mirror; where there is no local storage there is no mirror.
                let _ = local::purge(id);
            }
        }
        self.announce(id, "");
        Ok(())
    }

    /// Sets a text aside.
    pub(crate) async fn set_aside(
        &self,
        what: &str,
        text: &str,
        when: &str,
    ) -> Result<(), StorageError> {
        if self.keeper() == Keeper::Database {
            let done = self
                .with_database(async |connection| {
                    database::set_aside(&connection, what, text, when).await
                })
                .await;
            if done.is_ok() {
                return done;
            }
        }
        local::set_aside(what, text, when)
    }

    /// A text that was set aside.
    pub(crate) async fn aside(&self, key: &str) -> Result<String, StorageError> {
        if local::holds(key) {
            return local::aside(key);
        }
        self.with_database(async |connection| database::aside(&connection, key).await)
            .await
    }

    /// Deletes a text that was set aside: only when a person wishes it.
    pub(crate) async fn forget_aside(&self, key: &str) -> Result<(), StorageError> {
        if local::holds(key) {
            return local::remove(key);
        }
        self.with_database(async |connection| database::forget_aside(&connection, key).await)
            .await
    }

    /// The run sheet that the first version of this page kept, until [`Store::legacy_done`].
    pub(crate) fn legacy_text(&self) -> Option<String> {
        local::first_sheet()
    }

    /// Forgets it: it is kept as any other now.
    pub(crate) fn legacy_done(&self) {
        local::forget_first_sheet();
    }

    /// How much space there is.
    pub(crate) async fn space(&self) -> Option<Space> {
        let estimate = manager("estimate").await?;
        Some(Space {
            used: js::get(&estimate, "usage").as_f64()?,
            quota: js::get(&estimate, "quota").as_f64()?,
        })
    }

    /// Whether the browser promised never to clear this page's storage by itself.
    pub(crate) async fn persists(&self) -> Option<bool> {
        manager("persisted").await?.as_bool()
    }

    /// Asks the browser never to clear this page's storage by itself; says whether it agreed.
    pub(crate) async fn ask_to_persist(&self) -> Option<bool> {
        if self.persists().await? {
            return Some(true);
        }
        manager("persist").await?.as_bool()
    }

    /// Calls back whenever another tab wrote, threw away, took back or deleted a run sheet.
    pub(crate) fn on_foreign_change(&self, callback: impl Fn(String) + 'static) -> Listener {
        tabs::listen(self.inner.tab.clone(), callback)
    }

    fn announce(&self, id: &str, what: &str) {
        tabs::announce(self.inner.channel.as_ref(), &self.inner.tab, id, what);
    }

    fn next_stamp(&self) -> Stamp {
        let count = self.inner.count.get().saturating_add(1);
        self.inner.count.set(count);
        Stamp {
            tab: self.inner.tab.clone(),
            count,
        }
    }

    /// Does something in the database; opens it once more where the browser closed it.
    async fn with_database<T>(
        &self,
        work: impl AsyncFn(Rc<Connection>) -> Result<T, StorageError>,
    ) -> Result<T, StorageError> {
        match work(self.connection(false).await?).await {
            Err(StorageError::Closed) => work(self.connection(true).await?).await,
            done => done,
        }
    }

    async fn connection(&self, anew: bool) -> Result<Rc<Connection>, StorageError> {
        let open = self.inner.connection.borrow().clone();
        match open {
            Some(open) if !anew && !open.gone() => Ok(open),
            _ => {
                let connection = Rc::new(connection::open().await?);
                self.inner.connection.replace(Some(connection.clone()));
                Ok(connection)
            }
        }
    }
}

/// What the browser's storage manager answers; none where there is none, as on an address that is not secure.
async fn manager(method: &str) -> Option<JsValue> {
    let navigator = js::get(&js_sys::global(), "navigator");
    let promise = js::call(&js::get(&navigator, "storage"), method, &[]).ok()?;
    JsFuture::from(promise.dyn_into::<js_sys::Promise>().ok()?)
        .await
        .ok()
}
