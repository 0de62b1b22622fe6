//! A journey's own server, browser and folder, and what is looked at when it ends.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use thirtyfour::{
    BrowserLogEntry, ChromeCapabilities, ChromiumLikeCapabilities, LoggingPrefsLogLevel, WebDriver,
};
use xtask::chromium::{self, Driver};
use xtask::server::Server;

use crate::page::Page;

/// A folder for one journey, gone when the journey is over.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Self {
        let name = format!("glasswick-{name}-{}", std::process::id());
        let path = std::env::temp_dir().join(name);
        fs::create_dir_all(path.join("downloads")).unwrap();
        Self(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // Chromium may write its last files a moment after it ended; the system cleans up what is left.
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// What `cargo xtask test` says in the environment.
pub(crate) fn given(name: &str) -> PathBuf {
    match std::env::var_os(name) {
        Some(path) => path.into(),
        None => panic!("{name} is not set: run `cargo xtask test --only browser`"),
    }
}

/// Where pictures and traces of a failed journey go.
pub(crate) fn target() -> PathBuf {
    let own = std::env::current_exe().unwrap();
    // The test stands in <target>/debug/deps.
    own.ancestors().nth(3).unwrap().to_owned()
}

/// Opens the page in a fresh browser, lets the steps run, then looks at what every journey must leave behind. The
/// name tells journeys apart that run at the same time.
pub(crate) fn journey<T>(name: &str, steps: impl AsyncFnOnce(&Page) -> T) -> T {
    let dist = given("GLASSWICK_DIST");
    journey_at(name, &dist, async |page, _| steps(page).await)
}

/// As [`journey`], for a page that lies in this folder, with the server in the steps' hands.
pub(crate) fn journey_at<T>(
    name: &str,
    dist: &Path,
    steps: impl AsyncFnOnce(&Page, &mut Server) -> T,
) -> T {
    let folder = Folder::new(name);
    let downloads = folder.0.join("downloads");
    let mut server = Server::start(dist, 0).unwrap();
    let profile = folder.0.join("profile");
    let driver = Driver::start(&profile).unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    let browser = runtime
        .block_on(WebDriver::new(
            driver.url(),
            capabilities(&profile, &downloads),
        ))
        .unwrap();

    let outcome = catch_unwind(AssertUnwindSafe(|| {
        runtime.block_on(async {
            let page = Page::open(browser.clone(), server.url(), downloads).await;
            let given = steps(&page, &mut server).await;
            only_own_requests(&browser, &server).await;
            silent_console(&browser).await;
            given
        })
    }));
    runtime.block_on(async {
        if outcome.is_err() {
            trace(name, &browser, &server, &profile).await;
        }
        // The driver ends the browser in any case; what failed before matters more than this.
        let _ = browser.quit().await;
    });
    outcome.unwrap_or_else(|failure| resume_unwind(failure))
}

fn capabilities(profile: &Path, downloads: &Path) -> ChromeCapabilities {
    let mut wanted = ChromeCapabilities::new();
    wanted.set_binary(chromium::CHROMIUM).unwrap();
    for argument in chromium::arguments(profile) {
        wanted.add_arg(&argument).unwrap();
    }
    let preferences = json!({
        "download.default_directory": downloads,
        "download.prompt_for_download": false,
    });
    wanted
        .add_experimental_option("prefs", preferences)
        .unwrap();
    // The page scrolls smoothly where that is welcome; the driver clicks where things stood before.
    wanted.add_arg("--force-prefers-reduced-motion").unwrap();
    for log in ["browser", "performance"] {
        wanted
            .set_logging_prefs(log, LoggingPrefsLogLevel::All)
            .unwrap();
    }
    wanted
}

/// Nothing was written to the console: no error, no warning, and nothing forgotten there either.
async fn silent_console(browser: &WebDriver) {
    let said = messages(browser.browser_log().await.unwrap());
    assert!(said.is_empty(), "the console says {said:#?}");
}

fn messages(entries: Vec<BrowserLogEntry>) -> Vec<String> {
    entries
        .into_iter()
        .map(|entry| format!("{} {}", entry.level, entry.message))
        .collect()
}

/// The browser sent no request to another origin, and our server got requests for files of the page only.
async fn only_own_requests(browser: &WebDriver, server: &Server) {
    let own = server.url();
    let sent: Vec<String> = browser
        .get_log("performance")
        .await
        .unwrap()
        .iter()
        .filter_map(|entry| request_address(&entry.message))
        .collect();
    let loaded = |file: &str| {
        sent.iter()
            .any(|address| *address == format!("{own}{file}"))
    };
    assert!(loaded(""), "the browser's log misses the page: {sent:?}");
    let foreign: Vec<_> = sent
        .iter()
        .filter(|address| {
            let inside = [own.as_str(), "data:", "blob:"];
            !inside.iter().any(|start| address.starts_with(start))
        })
        .collect();
    assert!(foreign.is_empty(), "requests to elsewhere: {foreign:?}");

    let odd: Vec<_> = server
        .log()
        .into_iter()
        .filter(|line| !(line.starts_with("GET /") && line.ends_with(" 200")))
        .collect();
    assert!(odd.is_empty(), "requests for what is not there: {odd:?}");
}

/// The address of a request, where an entry of the browser's log is about sending one.
fn request_address(entry: &str) -> Option<String> {
    let entry: Value = serde_json::from_str(entry).ok()?;
    let message = entry.get("message")?;
    let sends = message.get("method")? == "Network.requestWillBeSent";
    // The browser's own first tab loads its parts from inside the browser.
    let ours = !message
        .pointer("/params/documentURL")?
        .as_str()?
        .starts_with("chrome://");
    let address = message.pointer("/params/request/url")?.as_str()?;
    (sends && ours).then(|| address.to_owned())
}

/// Keeps what helps to understand a failure.
async fn trace(name: &str, browser: &WebDriver, server: &Server, profile: &Path) {
    let folder = target().join("journeys");
    let picture = folder.join(format!("{name}.png"));
    let kept = fs::create_dir_all(&folder).is_ok() && browser.screenshot(&picture).await.is_ok();
    if kept {
        println!("How the page looked: {}", picture.display());
    }
    let log = folder.join(format!("{name}.log"));
    if fs::copy(profile.join("chromedriver.log"), &log).is_ok() {
        println!("What the driver did: {}", log.display());
    }
    if let Ok(entries) = browser.browser_log().await {
        println!("The console: {:#?}", messages(entries));
    }
    println!("The server: {:#?}", server.log());
}
