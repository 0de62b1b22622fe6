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
    downloads: PathBuf,
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

/// Reads the cards. How a card stands and its results have no role of their own and are found by class; a result
/// begins with its name (the symbol behind it) and its printed text.
const CARDS: &str = "
    return [...document.querySelectorAll('main > section')].map(section => {
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
    });
";

impl Page {
    /// Opens the page and waits until it is there.
    pub(crate) async fn open(browser: WebDriver, address: String, downloads: PathBuf) -> Self {
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
        self.says("header//p", "Saved in this browser").await;
    }

    /// The cards, from the first to the last.
    pub(crate) async fn cards(&self) -> Vec<Card> {
        self.ask(CARDS).await
    }

    /// The card with this title.
    pub(crate) async fn card(&self, title: &str) -> Card {
        let cards = self.cards().await;
        match cards.iter().find(|card| card.title == title) {
            Some(card) => card.clone(),
            None => panic!("there is no card “{title}”"),
        }
    }

    /// The title of the run sheet.
    pub(crate) async fn title(&self) -> String {
        self.ask("return document.getElementById('sheet-title').value;")
            .await
    }

    /// Clicks the button with these words in the head of the page.
    pub(crate) async fn click(&self, words: &str) {
        let path = format!("//button[normalize-space()='{words}']");
        let button = self.browser.query(By::XPath(path)).first().await.unwrap();
        button.click().await.unwrap();
    }

    /// Clicks a label on a card, which puts the focus into its box.
    pub(crate) async fn click_label(&self, card: &str, label: &str) {
        let path = format!(
            "//main/section[h2='{card}']//label[starts-with(normalize-space(), '{label}')]"
        );
        let label = self.browser.query(By::XPath(path)).first().await.unwrap();
        // Cards that come into view are laid out only then, and move what stands below them.
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
        let script = "
            const [card, label] = arguments;
            const section = [...document.querySelectorAll('main > section')].find(s => nameOf(s) === card);
            const box = [...section.querySelectorAll('input, textarea')].find(b => nameOf(b).startsWith(label));
            const about = document.getElementById(box.getAttribute('aria-describedby'));
            return { invalid: box.getAttribute('aria-invalid') === 'true', description: tidy(about.innerText) };
        ";
        until("what is said at the box", async || {
            let said: Said = self.ask_with(script, vec![json!(card), json!(label)]).await;
            said.invalid
                .then_some(said)
                .filter(|said| !said.description.is_empty())
        })
        .await
    }

    /// Chooses a file at the button “Import”.
    pub(crate) async fn import(&self, file: &Path) {
        let path = "//label[normalize-space()='Import']/input[@type='file']";
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
        let before = files(&self.downloads);
        self.click(button).await;
        until("the exported file", async || {
            let unfinished = |file: &PathBuf| file.extension().is_none_or(|end| end != "json");
            let now = files(&self.downloads);
            if now.iter().any(unfinished) {
                return None;
            }
            now.into_iter().find(|file| !before.contains(file))
        })
        .await
    }

    /// Waits for a notice above the cards and gives what it says.
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
