//! Storage that throws, is missing, is full or holds something damaged: the page works, says so, and loses nothing.

use std::fs;

use serde_json::{Value, json};

use crate::harness::{Setting, journey_in};
use crate::journey;
use crate::page::Page;
use crate::wait::until;

/// Reading either storage throws, as where a browser's settings forbid them.
pub(crate) const THROWS: &str = "
    for (const name of ['indexedDB', 'localStorage']) {
        Object.defineProperty(window, name, { get() { throw new DOMException('no', 'SecurityError'); } });
    }
";

/// Storage refuses to take more, as a full one does, until `full` is false again. (Chromium's own override of the quota,
/// `Storage.overrideQuotaForOrigin`, has no effect on its database: writes of megabytes into a quota of one byte ended
/// well.)
const FULL: &str = "
    window.full = true;
    for (const [kind, method] of [[IDBObjectStore, 'put'], [Storage, 'setItem']]) {
        const before = kind.prototype[method];
        kind.prototype[method] = function (...given) {
            if (window.full) throw new DOMException('full', 'QuotaExceededError');
            return before.apply(this, given);
        };
    }
    return null;
";

const BATH: &str = "Dye bath";
const VOLUME: &str = "Volume of the bath";

#[test]
fn where_nothing_can_be_kept_the_page_works_and_the_export_holds_what_was_typed() {
    let setting = Setting {
        before: Some(THROWS),
        ..Setting::default()
    };
    journey_in("storage-throws", &setting, async |page, _| {
        let alarm = page.alarm().await;
        assert!(
            alarm.starts_with("Nothing is kept here. Export every run sheet before you leave it."),
            "{alarm}"
        );
        page.demo().await;
        page.retype(BATH, VOLUME, "61 mL").await;
        let alarm = page.alarm().await;
        assert!(
            alarm.starts_with("Not saved. This browser does not let this page use its storage."),
            "{alarm}"
        );
        let seen = page.in_sight("[role=alert] button").await;
        assert!(seen, "the way out is not in sight");
        let exported = page.export("Export the run sheet").await;
        assert_eq!(
            typed_volume(&fs::read_to_string(exported).unwrap()),
            "61 mL"
        );
        assert_ne!(page.card(BATH).await.standing, "stopped");

        // The record of what is open is there as well.
        page.record().await;
        page.sheet().await;
        assert_eq!(page.card(BATH).await.entry(VOLUME), "61 mL");
    });
}

#[test]
fn without_the_database_a_smaller_store_stands_in() {
    let setting = Setting {
        before: Some("Object.defineProperty(window, 'indexedDB', { value: undefined });"),
        ..Setting::default()
    };
    journey_in("storage-smaller", &setting, async |page, _| {
        let alarm = page.alarm().await;
        assert!(
            alarm.starts_with("Run sheets are kept in a smaller store meanwhile."),
            "{alarm}"
        );
        page.demo().await;
        page.retype(BATH, VOLUME, "62 mL").await;
        page.kept().await;
        let before = page.cards().await;
        page.reload().await;
        page.opened().await;
        assert_eq!(page.cards().await, before, "after loading the page again");
        page.shelf().await;
        assert_eq!(page.saved().await.len(), 1);
    });
}

#[test]
fn a_full_store_says_so_and_goes_on_when_there_is_space_again() {
    journey("storage-full", async |page| {
        page.demo().await;
        page.kept().await;
        page.ask::<Value>(FULL).await;
        page.retype(BATH, VOLUME, "63 mL").await;
        let alarm = page.alarm().await;
        assert!(
            alarm.starts_with("Not saved. The browser's storage for this page is full."),
            "{alarm}"
        );
        let exported = page.export("Export the run sheet").await;
        assert_eq!(
            typed_volume(&fs::read_to_string(exported).unwrap()),
            "63 mL"
        );

        page.ask::<Value>("window.full = false; return null;").await;
        page.retype(BATH, VOLUME, "64 mL").await;
        page.kept().await;
        page.reload().await;
        page.opened().await;
        assert_eq!(page.card(BATH).await.entry(VOLUME), "64 mL");
    });
}

#[test]
fn what_is_damaged_is_set_aside_and_listed_until_someone_deletes_it() {
    journey("storage-damaged", async |page| {
        page.demo().await;
        page.kept().await;
        let id: String = page.ask("return location.hash.split('/')[2];").await;
        page.shelf().await;
        let titles = page.saved().await;

        // A row that is none, and a text that is none, with no mirror to mend it from.
        page.put("sheets", "stray", &json!({ "row_version": 1, "title": 7 }))
            .await;
        page.put("texts", &id, &json!("{ \"format\": \"glasswick-run"))
            .await;
        page.ask::<Value>("localStorage.clear(); return null;")
            .await;
        page.reload().await;
        let aside = page.aside().await;
        assert!(!aside.is_empty(), "nothing was set aside");
        assert_eq!(page.saved().await, titles, "the shelf");

        page.follow(&titles[0]).await;
        page.says("h2", "This run sheet cannot be opened").await;
        let said = page.notice().await;
        assert!(said.contains("cannot be read"), "{said}");
        page.close_notice().await;
        page.follow("Go to the shelf").await;
        assert_eq!(page.saved().await, [""; 0], "it left the shelf");
        let aside = page.aside().await;
        assert_eq!(aside.len(), 2, "{aside:?}");

        // Each can be taken away as it was found, and stays over a reload.
        let mut texts = String::new();
        for position in 1..=2 {
            let path = format!("(//details[@class='aside']//button[.='Export'])[{position}]");
            let file = page.saved_file(async || page.click_at(&path).await).await;
            texts += &fs::read_to_string(file).unwrap();
        }
        assert!(texts.contains("glasswick-run"), "{texts}");
        page.reload().await;
        assert_eq!(page.aside().await, aside);

        page.click_at("//details[@class='aside']//button[.='Delete for good']")
            .await;
        until("one less", async || {
            (page.aside().await.len() == 1).then_some(())
        })
        .await;
    });
}

/// The volume of the dye bath in an exported run sheet, as it was typed.
fn typed_volume(sheet: &str) -> String {
    let sheet: Value = serde_json::from_str(sheet).unwrap();
    let cards = sheet["cards"].as_array().unwrap();
    let bath = cards.iter().find(|card| card["title"] == BATH).unwrap();
    let text = &bath["inputs"]["volume"]["text"];
    text.as_str().unwrap().to_owned()
}

impl Page {
    /// Waits for an alarm about keeping, and gives what it says.
    pub(crate) async fn alarm(&self) -> String {
        until("an alarm", async || {
            let script =
                "return document.querySelector('.kept[role=alert]')?.innerText.replace(/\\s+/g, ' ') ?? null;";
            self.ask::<Option<String>>(script).await
        })
        .await
    }

    /// Whether the first such element lies within the window and nothing covers it.
    pub(crate) async fn in_sight(&self, selector: &str) -> bool {
        let script = "
            const element = document.querySelector(arguments[0]);
            const { left, top, width, height } = element.getBoundingClientRect();
            return element.contains(document.elementFromPoint(left + width / 2, top + height / 2));
        ";
        self.ask_with(script, vec![json!(selector)]).await
    }

    /// Puts a value into the database, past the page.
    async fn put(&self, store: &str, key: &str, value: &Value) {
        let script = "
            const [store, key, value, done] = arguments;
            const opening = indexedDB.open('glasswick');
            opening.onsuccess = () => {
                const writing = opening.result.transaction(store, 'readwrite');
                writing.objectStore(store).put(value, key);
                writing.oncomplete = () => { opening.result.close(); done(''); };
                writing.onabort = () => done(String(writing.error));
            };
        ";
        let arguments = vec![json!(store), json!(key), value.clone()];
        let answer = self.browser.execute_async(script, arguments).await;
        assert_eq!(answer.unwrap().json(), "", "the database takes no value");
    }

    /// What was set aside, as the shelf lists it.
    async fn aside(&self) -> Vec<String> {
        self.saved().await;
        let script = "
            return [...document.querySelectorAll('.aside .saved-title')].map(title => tidy(title.textContent));
        ";
        self.ask(script).await
    }
}
