//! The page as a person has it: cards by their titles, entries by their labels, buttons by their words.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use thirtyfour::prelude::*;

use crate::wait::until;

/// The page in one browser.
pub(crate) struct Page {
    pub(crate) browser: WebDriver,
    pub(crate) downloads: PathBuf,
}

/// A card as it is read.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub(crate) struct Card {
    /// Its title.
    pub(crate) title: String,
    /// How it stands, in a word.
    pub(crate) standing: String,
    /// What was entered: names and texts, in order. A linked entry says where its number comes from.
    pub(crate) entries: Vec<(String, String)>,
    /// What was found: names and printed texts, in order.
    pub(crate) results: Vec<(String, String)>,
}

impl Card {
    /// The printed text of a result.
    pub(crate) fn result(&self, name: &str) -> &str {
        let found = self.results.iter().find(|(title, _)| title == name);
        match found {
            Some((_, text)) => text,
            None => panic!("“{}” has no {name}: {:?}", self.title, self.results),
        }
    }

    /// The text of an entry.
    pub(crate) fn entry(&self, name: &str) -> &str {
        let found = self
            .entries
            .iter()
            .find(|(label, _)| label.starts_with(name));
        match found {
            Some((_, text)) => text,
            None => panic!("“{}” has no {name}: {:?}", self.title, self.entries),
        }
    }
}

/// What is said at an entry that cannot be so.
#[derive(Debug, Deserialize)]
pub(crate) struct Said {
    /// Whether the box is marked as invalid.
    pub(crate) invalid: bool,
    /// The text that describes the box.
    pub(crate) description: String,
}

/// Names and values as a person reads them, for the scripts that look at the page.
const WORDS: &str = "
    const tidy = text => text.replace(/[ \\n\\t]+/g, ' ').trim();
    const nameOf = element => {
        const by = element.getAttribute('aria-labelledby');
        return tidy(element.getAttribute('aria-label')
            ?? (by && document.getElementById(by)?.textContent)
            ?? element.labels?.[0]?.textContent
            ?? element.textContent);
    };
    const valueOf = element => element.tagName === 'SELECT'
        ? element.selectedOptions[0]?.textContent ?? ''
        : element.value ?? '';
";

/// Reads the card in hand. How a card stands and its results have no role of their own and are found by class; a
/// result begins with its name (the symbol behind it) and its printed text.
const CARD: &str = "
    const inHand = () => {
        const section = document.querySelector('main.hand > section');
        if (!section) return null;
        const entered = [...section.querySelectorAll('.entries :is(input:not([type=file]), select, textarea, .linked)')]
            .map(entry => [nameOf(entry), entry.matches('.linked')
                ? tidy(entry.querySelector('[tabindex]').textContent) : valueOf(entry)]);
        const found = [...section.querySelectorAll('.result-list > li')].map(result =>
            [tidy(result.children[0].firstChild.textContent), result.children[1].textContent]);
        return {
            title: nameOf(section),
            standing: tidy(section.querySelector('.badge').textContent),
            entries: entered,
            results: found,
        };
    };
";

/// Takes every card in hand, one after the other, reads it, and leaves the page as it was. What was clicked has the
/// focus on the card a moment later.
const CARDS: &str = "
    const done = arguments[arguments.length - 1];
    const frame = () => new Promise(requestAnimationFrame);
    const steps = () => [...document.querySelectorAll('.strip .step')];
    const at = position => steps()[position]?.getAttribute('aria-current') === 'step';
    const take = async position => {
        steps()[position].click();
        const there = () => at(position) && document.activeElement === document.querySelector('main.hand > section');
        for (let looks = 0; looks < 300 && !there(); looks++) await frame();
        if (!there()) throw `card ${position} does not come into hand`;
    };
    (async () => {
        const focus = document.activeElement.id;
        const before = steps().findIndex((_, position) => at(position));
        const cards = [];
        for (let position = 0; position < steps().length; position++) {
            if (!at(position)) await take(position);
            cards.push(inHand());
        }
        if (before >= 0 && !at(before)) await take(before);
        if (focus) document.getElementById(focus)?.focus();
        return cards;
    })().then(cards => done(cards), error => done(String(error)));
";

impl Page {
    /// Opens the page and waits until it is there.
    pub(crate) async fn open(browser: WebDriver, address: &str, downloads: PathBuf) -> Self {
        browser.goto(address).await.unwrap();
        let page = Self { browser, downloads };
        page.there().await;
        page
    }

    async fn there(&self) {
        until("the page", async || self.seen("h1", "Glasswick").await).await;
    }

    /// Loads the page again.
    pub(crate) async fn reload(&self) {
        self.browser.refresh().await.unwrap();
        self.there().await;
        until("what the address names", async || {
            let script = "
                const main = document.querySelector('main');
                return main !== null && !/^(Opening|Loading|Reading)/.test(tidy(main.textContent));
            ";
            self.ask::<bool>(script).await.then_some(())
        })
        .await;
    }

    /// Lets a script look at the page.
    pub(crate) async fn ask<T: DeserializeOwned>(&self, script: &str) -> T {
        self.ask_with(script, Vec::new()).await
    }

    /// Lets a script with arguments look at the page.
    pub(crate) async fn ask_with<T: DeserializeOwned>(
        &self,
        script: &str,
        arguments: Vec<Value>,
    ) -> T {
        let script = format!("{WORDS}{script}");
        let answer = self.browser.execute(script, arguments).await.unwrap();
        answer.convert().unwrap()
    }

    /// Whether an element of this kind says this, and nothing else.
    async fn seen(&self, element: &str, words: &str) -> Option<()> {
        let path = format!("//{element}[normalize-space()='{words}']");
        let found = self.browser.find_all(By::XPath(path)).await.ok()?;
        (!found.is_empty()).then_some(())
    }

    /// Waits until the page says this somewhere.
    pub(crate) async fn says(&self, element: &str, words: &str) {
        let what = format!("“{words}”");
        until(&what, async || self.seen(element, words).await).await;
    }

    /// Waits for the dialog with this title.
    pub(crate) async fn dialog(&self, title: &str) {
        self.says("dialog[@open]//h2", title).await;
    }

    /// Waits until what was entered is kept.
    pub(crate) async fn kept(&self) {
        self.says("p", "Saved on this device").await;
    }

    /// Waits for a run sheet with cards, and gives the title of the one in hand.
    pub(crate) async fn opened(&self) -> String {
        until("a card in hand", async || {
            let card: Option<Card> = self.in_hand().await;
            card.map(|card| card.title)
        })
        .await
    }

    /// Opens the demo from the shelf.
    pub(crate) async fn demo(&self) {
        self.shelf().await;
        self.follow("New run sheet").await;
        self.follow("The demo").await;
        self.says("h2", "Zinc oxide ink").await;
    }

    /// Goes to the shelf.
    pub(crate) async fn shelf(&self) {
        self.follow("Shelf").await;
        self.says("h2", "Shelf").await;
    }

    /// Goes to the record of the run sheet that is open.
    pub(crate) async fn record(&self) {
        self.follow("Record").await;
        self.says("h2", "Print or export").await;
    }

    /// Goes back to the run sheet from the record.
    pub(crate) async fn sheet(&self) {
        self.follow("Run sheet").await;
        self.opened().await;
    }

    /// The titles of the cards, in order, as the strip has them.
    pub(crate) async fn titles(&self) -> Vec<String> {
        self.ask("return [...document.querySelectorAll('.strip .step-title')].map(t => tidy(t.textContent));")
            .await
    }

    /// The card in hand; none where the place has none.
    pub(crate) async fn in_hand(&self) -> Option<Card> {
        self.ask(&format!("{CARD} return inHand();")).await
    }

    /// The cards, from the first to the last.
    pub(crate) async fn cards(&self) -> Vec<Card> {
        let script = format!("{WORDS}{CARD}{CARDS}");
        let answer = self.browser.execute_async(script, Vec::new()).await;
        let answer = answer.unwrap();
        match answer.convert() {
            Ok(cards) => cards,
            Err(_) => panic!("the cards cannot be read: {}", answer.json()),
        }
    }

    /// Takes the card with this title in hand through the strip, unless it is in hand.
    pub(crate) async fn take(&self, title: &str) {
        let in_hand = self.in_hand().await;
        if in_hand.is_some_and(|card| card.title == title) {
            return;
        }
        let path = format!("//nav//button[span/span[normalize-space()='{title}']]");
        let step = self.browser.query(By::XPath(path)).first().await.unwrap();
        step.scroll_into_view().await.unwrap();
        step.click().await.unwrap();
        let taken = async || (self.focus().await.name == title).then_some(());
        until(&format!("“{title}” in hand"), taken).await;
    }

    /// The card with this title, which is in hand then.
    pub(crate) async fn card(&self, title: &str) -> Card {
        self.take(title).await;
        match self.in_hand().await {
            Some(card) => card,
            None => panic!("there is no card “{title}”"),
        }
    }

    /// The title of the run sheet.
    pub(crate) async fn title(&self) -> String {
        self.ask("return document.getElementById('sheet-title').value;")
            .await
    }

    /// Clicks the button with these words or this label.
    pub(crate) async fn click(&self, words: &str) {
        let path = format!(
            "//button[@aria-label='{words}' or not(@aria-label) and normalize-space()='{words}']"
        );
        self.click_at(&path).await;
    }

    /// Whether the button with these words can be pressed.
    pub(crate) async fn enabled(&self, words: &str) -> bool {
        let path = format!("//button[normalize-space()='{words}']");
        let button = self.browser.query(By::XPath(path)).first().await.unwrap();
        button.is_enabled().await.unwrap()
    }

    /// Clicks the link that begins with these words.
    pub(crate) async fn follow(&self, words: &str) {
        let path = format!(
            "//a[@aria-label='{words}' or not(@aria-label) and starts-with(normalize-space(), '{words}')]"
        );
        self.click_at(&path).await;
    }

    /// Clicks what stands at this path first.
    pub(crate) async fn click_at(&self, path: &str) {
        let found = self.browser.query(By::XPath(path)).first().await.unwrap();
        found.scroll_into_view().await.unwrap();
        found.click().await.unwrap();
    }

    /// Clicks a label on a card, which puts the focus into its box.
    pub(crate) async fn click_label(&self, card: &str, label: &str) {
        self.take(card).await;
        let path = format!(
            "//main/section[h2='{card}']//label[starts-with(normalize-space(), '{label}')]"
        );
        let label = self.browser.query(By::XPath(path)).first().await.unwrap();
        // What stands above it may still be drawn.
        let mut before = None;
        until("the label to rest", async || {
            label.scroll_into_view().await.unwrap();
            let now = label.rect().await.unwrap();
            let rests = before == Some((now.x, now.y));
            before = Some((now.x, now.y));
            rests.then_some(())
        })
        .await;
        label.click().await.unwrap();
    }

    /// Replaces what is in a box on a card.
    pub(crate) async fn retype(&self, card: &str, label: &str, text: &str) {
        self.click_label(card, label).await;
        self.chord(Key::Control, 'a').await;
        self.press(text).await;
    }

    /// What is said at a box on a card, once it is said: a person who still types is not interrupted.
    pub(crate) async fn said_at(&self, card: &str, label: &str) -> Said {
        self.take(card).await;
        let script = "
            const [label] = arguments;
            const section = document.querySelector('main.hand > section');
            const box = [...section.querySelectorAll('input, textarea')].find(b => nameOf(b).startsWith(label));
            const about = document.getElementById(box.getAttribute('aria-describedby'));
            return { invalid: box.getAttribute('aria-invalid') === 'true', description: tidy(about.innerText) };
        ";
        until("what is said at the box", async || {
            let said: Said = self.ask_with(script, vec![json!(label)]).await;
            said.invalid
                .then_some(said)
                .filter(|said| !said.description.is_empty())
        })
        .await
    }

    /// The titles of the saved run sheets, as the shelf lists them.
    pub(crate) async fn saved(&self) -> Vec<String> {
        self.says("h2", "Shelf").await;
        until("the shelf", async || {
            let script = "
                const list = document.querySelector('.shelf > .shelf-list');
                if (!list && !document.querySelector('.shelf > .nothing')) return null;
                return [...list?.querySelectorAll('.saved-title') ?? []].map(title => tidy(title.textContent));
            ";
            self.ask::<Option<Vec<String>>>(script).await
        })
        .await
    }

    /// Chooses a file at the shelf's button for it.
    pub(crate) async fn import(&self, file: &Path) {
        self.shelf().await;
        let path = "//label[normalize-space()='Import a file']/input[@type='file']";
        let button = self.browser.find(By::XPath(path)).await.unwrap();
        button.send_keys(file.to_str().unwrap()).await.unwrap();
    }

    /// Writes a text to a file and imports it.
    pub(crate) async fn import_text(&self, name: &str, text: &str) {
        let file = self.downloads.with_file_name(name);
        fs::write(&file, text).unwrap();
        self.import(&file).await;
    }

    /// Clicks an export button and gives the file that the browser saved.
    pub(crate) async fn export(&self, button: &str) -> PathBuf {
        self.saved_file(async || self.click(button).await).await
    }

    /// Goes to a place by its address, in a page that is loaded anew.
    pub(crate) async fn visit(&self, place: &str) {
        let address: String = self
            .ask("return location.origin + location.pathname;")
            .await;
        self.browser.goto("about:blank").await.unwrap();
        self.browser
            .goto(format!("{address}{place}"))
            .await
            .unwrap();
        self.says("h1", "Glasswick").await;
    }

    /// Clicks an export button and gives what is in the file that the browser saved.
    pub(crate) async fn export_text(&self, button: &str) -> String {
        fs::read_to_string(self.export(button).await).unwrap()
    }

    /// Gives the file that the browser saves because of what is done.
    pub(crate) async fn saved_file(&self, done: impl AsyncFnOnce()) -> PathBuf {
        let before = files(&self.downloads);
        done().await;
        until("the exported file", async || {
            let unfinished = |file: &PathBuf| {
                let finished = ["json", "svg", "png"];
                file.extension()
                    .is_none_or(|end| finished.iter().all(|known| end != *known))
            };
            let now = files(&self.downloads);
            if now.iter().any(unfinished) {
                return None;
            }
            now.into_iter().find(|file| !before.contains(file))
        })
        .await
    }

    /// Opens a part of the page that is closed at first.
    pub(crate) async fn open_details(&self, summary: &str) {
        self.click_at(&format!(
            "//details[not(@open)]/summary[starts-with(normalize-space(), '{summary}')]"
        ))
        .await;
    }

    /// Chooses a look on the shelf.
    pub(crate) async fn look(&self, look: &str) {
        self.click_at(&format!(
            "//select[@id='look']/option[normalize-space()='{look}']"
        ))
        .await;
    }

    /// Waits for a notice above the place and gives what it says.
    pub(crate) async fn notice(&self) -> String {
        until("a notice", async || {
            let script =
                "return document.querySelector('section[role=alert] strong')?.textContent ?? null;";
            self.ask::<Option<String>>(script).await
        })
        .await
    }

    /// Puts the notice away.
    pub(crate) async fn close_notice(&self) {
        let path = "//section[@role='alert']//button[normalize-space()='Close']";
        let button = self.browser.query(By::XPath(path)).first().await.unwrap();
        button.click().await.unwrap();
    }

    /// Asks the browser itself, past the page.
    pub(crate) async fn command(&self, name: &str, parameters: Value) -> Value {
        let answer = self.browser.cdp().send_raw(name, parameters).await;
        answer.unwrap()
    }

    /// Puts a text on the clipboard.
    pub(crate) async fn copy(&self, text: &str) {
        let permissions =
            json!({ "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
        self.command("Browser.grantPermissions", permissions).await;
        let script = "
            const [text, done] = arguments;
            navigator.clipboard.writeText(text).then(() => done(''), error => done(String(error)));
        ";
        let answer = self.browser.execute_async(script, vec![json!(text)]).await;
        assert_eq!(answer.unwrap().json(), "", "the clipboard takes no text");
    }
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    entries.map(|entry| entry.unwrap().path()).collect()
}
