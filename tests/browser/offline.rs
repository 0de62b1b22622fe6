//! The page without its server, with a newer version of itself, and with a damaged download.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use xtask::offline::{WORKER, finish};

use crate::harness::{Folder, given, journey, journey_at};
use crate::page::Page;
use crate::wait::until;

const INK: &str = "Zinc oxide ink";
const DENSITY: &str = "Measured density of the ink";

#[test]
fn with_the_server_gone_the_page_comes_up_and_keeps_an_edit() {
    journey_at("offline", &given("GLASSWICK_DIST"), async |page, server| {
        page.works_offline().await;
        page.demo().await;
        page.kept().await;

        server.stop();
        page.look_for_updates().await;
        page.reload().await;
        page.retype(INK, DENSITY, "1.025").await;
        page.kept().await;
        let before = page.cards().await;
        assert_eq!(page.card(INK).await.entry(DENSITY), "1.025");
        page.reload().await;
        assert_eq!(page.cards().await, before, "after loading the page again");
        page.works_offline().await;

        // An address with a query is the same page.
        let script = "return `${location.origin}${location.pathname}?from=link${location.hash}`;";
        let address: String = page.ask(script).await;
        page.browser.goto("about:blank").await.unwrap();
        page.browser.goto(address).await.unwrap();
        page.says("h1", "Glasswick").await;
        assert_eq!(page.cards().await, before, "by another address");
    });
}

#[test]
fn what_the_worker_serves_carries_the_policy_and_the_type() {
    journey("offline-headers", async |page| {
        page.works_offline().await;
        let index = fs::read_to_string(given("GLASSWICK_DIST").join("index.html")).unwrap();
        let policy = xtask::offline::policy(&index).unwrap();
        let build = page.build().await;
        for (file, kind) in [
            (
                format!("{build}/offline.js"),
                "text/javascript; charset=utf-8",
            ),
            (String::new(), "text/html; charset=utf-8"),
            (
                "manifest.webmanifest".to_owned(),
                "application/manifest+json",
            ),
        ] {
            // The worker's answers have no Cache-Control, those of our server have.
            let headers = page.headers(&file).await;
            assert_eq!(headers, json!([policy, kind, "nosniff", null]), "{file:?}");
        }
        assert!(policy.starts_with("default-src 'none';"), "{policy}");
        assert!(policy.ends_with("frame-ancestors 'none'"), "{policy}");
    });
}

#[test]
fn two_pages_of_one_origin_keep_their_copies_apart() {
    let folder = Folder::new("folders-dist");
    let served = folder.0.join("served");
    copy(&given("GLASSWICK_DIST"), &served);
    copy(&given("GLASSWICK_DIST"), &served.join("lab/cells"));
    rebuild(&served.join("lab/cells"));
    journey_at("folders", &served.clone(), async |page, server| {
        page.works_offline().await;
        let above = page.build().await;
        let address: String = page.ask("return location.href;").await;
        let deep = format!("{address}lab/cells/index.html");
        page.browser.goto(&deep).await.unwrap();
        page.works_offline().await;
        let below = page.build().await;
        assert_ne!(above, below);
        assert_eq!(
            page.copies().await,
            [
                format!("glasswick {address} {above}"),
                format!("glasswick {address}lab/cells/ {below}"),
            ]
        );

        server.stop();
        for (address, build) in [(&address, &above), (&deep, &below)] {
            page.browser.goto(address).await.unwrap();
            page.works_offline().await;
            assert_eq!(page.build().await, *build, "{address}");
        }
    });
}

#[test]
fn a_newer_version_waits_for_the_button_and_old_pages_go_on() {
    let folder = Folder::new("update-dist");
    let served = folder.0.join("served");
    copy(&given("GLASSWICK_DIST"), &served);
    journey_at("update", &served.clone(), async |page, server| {
        page.works_offline().await;
        let old = page.build().await;
        page.demo().await;
        let address: String = page.ask("return location.href;").await;
        let first = page.browser.window().await.unwrap();
        let second = page.browser.new_tab().await.unwrap();
        page.browser.switch_to_window(second.clone()).await.unwrap();
        page.browser.goto(&address).await.unwrap();
        page.works_offline().await;
        page.mark().await;
        page.browser.switch_to_window(first).await.unwrap();
        page.mark().await;
        // A browser that has just started puts looking for updates off until its pages rest: this one is left in
        // peace until the second page has looked once.
        until("a second look for the worker", async || {
            let log = server.log();
            let looks = log.iter().filter(|line| *line == "GET /sw.js 200");
            (looks.count() >= 2).then_some(())
        })
        .await;

        let new = rebuild(&served);
        assert_ne!(new, old);
        page.retype(INK, DENSITY, "1.026").await;
        page.look_for_updates().await;
        page.says("footer//p", "A new version is ready.").await;
        page.press("5").await;
        assert!(page.marked().await, "it was loaded anew before the click");
        assert_eq!(page.build().await, old);

        page.click("Use it now").await;
        page.says("footer//code", &new).await;
        assert!(!page.marked().await, "it was not loaded anew");
        assert_eq!(page.card(INK).await.entry(DENSITY), "1.0265");
        page.works_offline().await;
        let [offered]: [usize; 1] = page.ask(OFFERS).await;
        assert_eq!(offered, 0, "offers of a newer version");

        // The other tab was not touched, still gets the files of its own build, which the server has no more, and
        // can go over by its own button.
        page.browser.switch_to_window(second).await.unwrap();
        assert!(page.marked().await, "the other tab was loaded anew");
        page.says("footer//p", "A new version is ready.").await;
        assert_eq!(page.build().await, old);
        assert!(!served.join(&old).exists());
        let headers = page.headers(&format!("{old}/offline.js")).await;
        assert_eq!(headers[1], "text/javascript; charset=utf-8");
        page.click("Use it now").await;
        page.says("footer//code", &new).await;

        // Nobody uses the old build any more.
        until("the old copy to be gone", async || {
            let copies = page.copies().await;
            let [copy] = copies.as_slice() else {
                return None;
            };
            assert!(copy.ends_with(&new), "{copy} is not of {new}");
            Some(())
        })
        .await;
    });
}

#[test]
fn a_copy_with_a_hole_says_so_and_repair_mends_it_and_keeps_the_data() {
    journey("repair", async |page| {
        page.works_offline().await;
        page.demo().await;
        page.retype(INK, DENSITY, "1.027").await;
        page.kept().await;
        let before = page.cards().await;

        let script = "
            const done = arguments[arguments.length - 1];
            (async () => {
                const [name] = await caches.keys();
                return (await caches.open(name)).delete('./manifest.webmanifest');
            })().then(done);
        ";
        let deleted = page.browser.execute_async(script, Vec::new()).await;
        assert_eq!(deleted.unwrap().json(), &json!(true));
        page.reload().await;
        page.says(
            "footer//p",
            "Needs the network for now: a part of the offline copy is missing. Repair it below.",
        )
        .await;

        page.mark().await;
        page.open_details("Version and offline copy").await;
        page.click("Repair the offline copy").await;
        until("the page anew", async || {
            (!page.marked().await).then_some(())
        })
        .await;
        page.works_offline().await;
        assert_eq!(page.cards().await, before, "after the repair");
    });
}

#[test]
fn a_damaged_download_never_becomes_an_offline_copy() {
    let folder = Folder::new("damaged-dist");
    let served = folder.0.join("served");
    copy(&given("GLASSWICK_DIST"), &served);
    // One byte, in the white space of a file that still reads the same.
    let manifest = served.join("manifest.webmanifest");
    let sound = fs::read_to_string(&manifest).unwrap();
    fs::write(&manifest, sound.replacen('\n', " ", 1)).unwrap();

    journey_at("damaged", &served.clone(), async |page, _| {
        let needs = "Needs the network for now: the offline copy could not be completed. \
            It is tried again by itself.";
        page.says("footer//p", needs).await;
        assert_eq!(page.copies().await, Vec::<String>::new());
        page.reload().await;
        page.says("footer//p", needs).await;

        fs::write(&manifest, sound).unwrap();
        page.look_for_updates().await;
        page.works_offline().await;
    });
}

#[test]
fn the_manifest_holds_and_its_icons_are_as_large_as_it_says() {
    let dist = given("GLASSWICK_DIST");
    let text = fs::read_to_string(dist.join("manifest.webmanifest")).unwrap();
    let manifest: Value = serde_json::from_str(&text).unwrap();
    for (member, value) in [
        ("id", "glasswick"),
        ("name", "Glasswick"),
        ("short_name", "Glasswick"),
        ("start_url", "./"),
        ("scope", "./"),
        ("display", "standalone"),
        ("lang", "en-GB"),
    ] {
        assert_eq!(manifest[member], value, "{member}");
    }
    let mut found: Vec<String> = Vec::new();
    for icon in manifest["icons"].as_array().unwrap() {
        let file = dist.join(icon["src"].as_str().unwrap());
        let [width, height] = png_size(&file);
        assert_eq!(icon["sizes"], format!("{width}x{height}"), "{icon}");
        assert_eq!(icon["type"], "image/png", "{icon}");
        found.push(format!("{} {width}", icon["purpose"].as_str().unwrap()));
    }
    assert_eq!(found, ["any 192", "any 512", "maskable 512"]);
    assert_eq!(png_size(&dist.join("icons/touch-180.png")), [180, 180]);

    // What the browser itself makes of it.
    journey("manifest", async |page| {
        let read = page.command("Page.getAppManifest", json!({})).await;
        assert_eq!(read["errors"], json!([]), "{read:#}");
        let address = read["url"].as_str().unwrap();
        assert!(address.ends_with("/manifest.webmanifest"), "{address}");
    });
}

/// Width and height from a PNG's header (PNG specification, third edition, 11.2.1: IHDR is the first chunk).
fn png_size(file: &Path) -> [u32; 2] {
    let bytes = fs::read(file).unwrap();
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n", "{}", file.display());
    assert_eq!(&bytes[12..16], b"IHDR", "{}", file.display());
    [16, 20].map(|at| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap()))
}

/// Copies a folder with everything in it.
fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path: PathBuf = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

/// Publishes another build in place of this one: the same files but for one byte. Gives its name.
fn rebuild(served: &Path) -> String {
    let worker = fs::read_to_string(served.join(WORKER)).unwrap();
    let build = worker
        .strip_prefix("const BUILD = \"")
        .and_then(|rest| rest.split('"').next())
        .unwrap();
    // As the bundler had left it.
    let program = served.join(build);
    copy(&program, served);
    fs::remove_dir_all(program).unwrap();
    fs::remove_file(served.join(WORKER)).unwrap();
    for entry in fs::read_dir(served).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "html") {
            let page = fs::read_to_string(&path).unwrap();
            fs::write(&path, page.replace(&format!("./{build}/"), "./")).unwrap();
        }
    }

    let boot = served.join("boot.js");
    let text = fs::read_to_string(&boot).unwrap();
    fs::write(&boot, text + "\n").unwrap();
    finish(served).unwrap()
}

/// How many newer versions are offered.
const OFFERS: &str = "return [document.querySelectorAll('footer [role=status] button').length];";

impl Page {
    /// Waits until the page says that it works without the network.
    pub(crate) async fn works_offline(&self) {
        self.says("footer//p", "Works offline").await;
    }

    /// The name of the build that the page is of.
    async fn build(&self) -> String {
        self.ask("return document.querySelector('footer code').textContent;")
            .await
    }

    /// Leaves a mark that goes when the page is loaded anew.
    async fn mark(&self) {
        self.ask("window.marked = true; return null;").await
    }

    /// Whether the mark is still there.
    async fn marked(&self) -> bool {
        self.ask("return window.marked === true;").await
    }

    /// Lets the page believe that the network has just come back.
    pub(crate) async fn look_for_updates(&self) {
        self.ask("dispatchEvent(new Event('online')); return null;")
            .await
    }

    /// The names of the offline copies that there are.
    async fn copies(&self) -> Vec<String> {
        let script = "caches.keys().then(arguments[arguments.length - 1]);";
        let answer = self.browser.execute_async(script, Vec::new()).await;
        answer.unwrap().convert().unwrap()
    }

    /// Policy, type, sniffing and caching, as the headers of a file of the page say.
    async fn headers(&self, file: &str) -> Value {
        let script = "
            const [file, done] = arguments;
            fetch(`./${file}`).then(
                ({ headers }) => done(['content-security-policy', 'content-type',
                    'x-content-type-options', 'cache-control'].map(name => headers.get(name))),
                error => done(String(error)));
        ";
        let answer = self.browser.execute_async(script, vec![json!(file)]).await;
        answer.unwrap().json().clone()
    }
}
