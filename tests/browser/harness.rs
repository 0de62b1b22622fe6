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

    /// The browser's profile.
    pub(crate) fn profile(&self) -> PathBuf {
        self.0.join("profile")
    }

    /// Where the browser saves files.
    pub(crate) fn downloads(&self) -> PathBuf {
        self.0.join("downloads")
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

/// How a journey begins, where it is not the usual way.
#[derive(Default)]
pub(crate) struct Setting<'a> {
    /// The folder that is served; the built page where none is named.
    pub(crate) dist: Option<&'a Path>,
    /// Further arguments of the browser.
    pub(crate) arguments: &'a [&'a str],
    /// The name under which the browser finds the server.
    pub(crate) host: Option<&'a str>,
    /// A script that runs in the page before anything of the page does.
    pub(crate) before: Option<&'a str>,
}

/// Opens the page in a fresh browser, lets the steps run, then looks at what every journey must leave behind. The
/// name tells journeys apart that run at the same time.
pub(crate) fn journey<T>(name: &str, steps: impl AsyncFnOnce(&Page) -> T) -> T {
    journey_in(name, &Setting::default(), async |page, _| steps(page).await)
}

/// As [`journey`], for a page that lies in this folder, with the server in the steps' hands.
pub(crate) fn journey_at<T>(
    name: &str,
    dist: &Path,
    steps: impl AsyncFnOnce(&Page, &mut Server) -> T,
) -> T {
    let setting = Setting {
        dist: Some(dist),
        ..Setting::default()
    };
    journey_in(name, &setting, steps)
}

/// As [`journey`], with the browser and the page set up in this way, and the server in the steps' hands.
pub(crate) fn journey_in<T>(
    name: &str,
    setting: &Setting<'_>,
    steps: impl AsyncFnOnce(&Page, &mut Server) -> T,
) -> T {
    let folder = Folder::new(name);
    let dist = setting
        .dist
        .map_or_else(|| given("GLASSWICK_DIST"), Path::to_owned);
    let mut server = Server::start(&dist, 0).unwrap();
    let address = match setting.host {
        Some(host) => server.url().replace("127.0.0.1", host),
        None => server.url(),
    };
    let runtime = runtime();
    let browser = runtime.block_on(Browser::start(&folder, setting.arguments));

    let outcome = catch_unwind(AssertUnwindSafe(|| {
        runtime.block_on(async {
            if let Some(script) = setting.before {
                let name = "Page.addScriptToEvaluateOnNewDocument";
                let cdp = browser.driver.cdp();
                cdp.send_raw(name, json!({ "source": script }))
                    .await
                    .unwrap();
            }
            let page = Page::open(browser.driver.clone(), &address, folder.downloads()).await;
            let given = steps(&page, &mut server).await;
            only_own_requests(&browser.driver, &server, &address).await;
            silent_console(&browser.driver).await;
            given
        })
    }));
    runtime.block_on(async {
        if outcome.is_err() {
            trace(name, &browser.driver, &server, &folder.profile()).await;
        }
        browser.quit().await;
    });
    outcome.unwrap_or_else(|failure| resume_unwind(failure))
}

/// What runs the steps of a journey.
pub(crate) fn runtime() -> tokio::runtime::Runtime {
    tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap()
}

/// A running browser with its driver.
pub(crate) struct Browser {
    pub(crate) driver: WebDriver,
    /// Ends when it is dropped.
    _process: Driver,
}

impl Browser {
    /// Starts a browser with the profile in this folder.
    pub(crate) async fn start(folder: &Folder, arguments: &[&str]) -> Self {
        let profile = folder.profile();
        let process = Driver::start(&profile).unwrap();
        let mut wanted = capabilities(&profile, &folder.downloads());
        for argument in arguments {
            wanted.add_arg(argument).unwrap();
        }
        let driver = WebDriver::new(process.url(), wanted).await.unwrap();
        Self {
            driver,
            _process: process,
        }
    }

    /// Ends the browser.
    pub(crate) async fn quit(self) {
        // The driver ends it in any case; what failed before matters more than this.
        let _ = self.driver.quit().await;
    }
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
async fn only_own_requests(browser: &WebDriver, server: &Server, own: &str) {
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
            let inside = [own, "data:", "blob:"];
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
    // The browser's own first tab loads its parts from inside the browser, in frames of their own.
    let document = message.pointer("/params/documentURL")?.as_str()?;
    let own = ["chrome://", "chrome-untrusted://"];
    let ours = !own.iter().any(|start| document.starts_with(start));
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
