//! The browser process is killed at random moments while someone types. What the page had called saved is there again,
//! every time.

use std::fs;
use std::process::Command;
use std::time::Duration;

use thirtyfour::Key;
use tokio::time::{Instant, sleep, timeout};
use xtask::server::Server;

use crate::harness::{Browser, Folder, given, runtime};
use crate::page::Page;
use crate::wait::until;

const ROUNDS: u32 = 20;
/// Fixed, so that a failure can be looked at again.
const SEED: u64 = 0x5eed_0f61_a55f_1ce5;
/// A driver whose browser is gone may take a moment to notice.
const PATIENCE: Duration = Duration::from_secs(10);

/// The note of the card in hand, and whether the page calls it saved.
const NOTE: &str = "
    const note = document.querySelector('main.hand textarea[id^=note-]');
    return [note.value, document.querySelector('.sheet-head .kept').innerText === 'Saved on this device'];
";

#[test]
fn nothing_that_was_called_saved_is_missing_after_a_kill() {
    let folder = Folder::new("kill");
    let server = Server::start(&given("GLASSWICK_DIST"), 0).unwrap();
    let mut chance = Chance(SEED);
    runtime().block_on(async {
        let (mut place, mut typed, mut saved) = (String::new(), String::new(), String::new());
        for round in 0..=ROUNDS {
            let browser = Browser::start(&folder, &[]).await;
            let address = format!("{}{place}", server.url());
            let page = Page::open(browser.driver.clone(), &address, folder.downloads()).await;
            if place.is_empty() {
                page.demo().await;
                page.take("Dye bath").await;
                page.kept().await;
                place = page.ask("return location.hash;").await;
            }
            page.opened().await;
            let (found, _) = page.ask::<(String, bool)>(NOTE).await;
            if round == 0 {
                typed.clone_from(&found);
            }
            assert!(
                found.starts_with(&saved) && typed.starts_with(&found),
                "round {round}: saved {saved:?}, typed {typed:?}, found {found:?}"
            );
            typed.clone_from(&found);
            saved = found;
            if round == ROUNDS {
                browser.quit().await;
                break;
            }

            page.click_label("Dye bath", "Note").await;
            page.chord(Key::Control, Key::End.value()).await;
            let process = process(&folder).await;
            let after = Duration::from_millis(chance.up_to(2500));
            let killer = tokio::task::spawn_blocking(move || {
                std::thread::sleep(after);
                let killed = Command::new("kill").args(["-KILL", &process]).status();
                assert!(killed.unwrap().success(), "{process} cannot be killed");
                Instant::now()
            });
            let mut last_saved = None;
            loop {
                let letter = char::from(b'a' + u8::try_from(chance.up_to(26)).unwrap());
                typed.push(letter);
                let actions = page.browser.action_chain().send_keys(letter.to_string());
                if !matches!(timeout(PATIENCE, actions.perform()).await, Ok(Ok(()))) {
                    break;
                }
                sleep(Duration::from_millis(chance.up_to(120))).await;
                let looked = page.browser.execute(NOTE, Vec::new());
                let Ok(Ok(looked)) = timeout(PATIENCE, looked).await else {
                    break;
                };
                let (note, kept): (String, bool) = looked.convert().unwrap();
                if kept {
                    saved = note;
                    last_saved = Some(Instant::now());
                }
            }
            let killed = killer.await.unwrap();
            // Its browser is gone: there is no session to end.
            page.browser.clone().leak().unwrap();
            let since = last_saved.map(|moment| killed.saturating_duration_since(moment));
            println!(
                "round {round}: killed {} ms after typing began, {} characters typed, {} called saved{}",
                after.as_millis(),
                typed.len(),
                saved.len(),
                since.map_or_else(String::new, |since| format!(
                    ", last seen {} ms before",
                    since.as_millis()
                ))
            );
        }
        assert!(saved.len() > 20, "hardly anything was saved: {saved:?}");
    });
}

/// The browser's process: its lock on the profile is named after it.
async fn process(folder: &Folder) -> String {
    until("the lock on the profile", async || {
        let lock = fs::read_link(folder.profile().join("SingletonLock")).ok()?;
        let (_, process) = lock.to_str()?.rsplit_once('-')?;
        Some(process.to_owned())
    })
    .await
}

/// Numbers that look random: xorshift64* (Vigna, ACM Trans. Math. Softw. 42 (2016) 30; from memory).
struct Chance(u64);

impl Chance {
    /// A number from zero up to this one, itself not included.
    fn up_to(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) % end
    }
}
