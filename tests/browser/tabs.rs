//! Two tabs on one run sheet: the second change is noticed, nothing is overwritten, and either way nothing that was
//! typed is lost.

use thirtyfour::WindowHandle;

use crate::harness::{Setting, journey_in};
use crate::page::{Card, Page};
use crate::wait::until;

const BATH: &str = "Dye bath";
const VOLUME: &str = "Volume of the bath";

/// The demo in two tabs, both with the dye bath in hand; the second is looked at.
struct Two {
    first: WindowHandle,
    second: WindowHandle,
}

impl Two {
    async fn open(page: &Page) -> Self {
        page.demo().await;
        page.take(BATH).await;
        page.kept().await;
        let address: String = page.ask("return location.href;").await;
        let first = page.browser.window().await.unwrap();
        let second = page.browser.new_tab().await.unwrap();
        page.browser.switch_to_window(second.clone()).await.unwrap();
        page.browser.goto(address).await.unwrap();
        page.opened().await;
        Self { first, second }
    }

    async fn first(&self, page: &Page) {
        page.browser
            .switch_to_window(self.first.clone())
            .await
            .unwrap();
    }

    async fn second(&self, page: &Page) {
        page.browser
            .switch_to_window(self.second.clone())
            .await
            .unwrap();
    }
}

fn volume(card: &Card) -> &str {
    card.entry(VOLUME)
}

const CHANGED: &str = "Changed in another tab or window.";

#[test]
fn theirs_is_taken_and_mine_is_one_step_back() {
    journey_in("tabs-theirs", &Setting::default(), async |page, _| {
        let tabs = Two::open(page).await;
        page.retype(BATH, VOLUME, "71 mL").await;
        page.kept().await;

        tabs.first(page).await;
        page.says("strong", CHANGED).await;
        assert!(page.in_sight("[role=alert] button").await);
        page.retype(BATH, VOLUME, "72 mL").await;
        page.says("strong", CHANGED).await;
        tabs.second(page).await;
        page.reload().await;
        assert_eq!(volume(&page.card(BATH).await), "71 mL", "overwritten");

        tabs.first(page).await;
        page.click("Take theirs").await;
        page.kept().await;
        assert_eq!(volume(&page.card(BATH).await), "71 mL");
        page.click("Undo").await;
        let mine = async || (volume(&page.card(BATH).await) == "72 mL").then_some(());
        until("mine, a step back", mine).await;
        page.kept().await;
        page.shelf().await;
        assert_eq!(page.saved().await.len(), 1);
    });
}

#[test]
fn mine_is_kept_as_a_copy_beside_theirs() {
    journey_in("tabs-mine", &Setting::default(), async |page, _| {
        let tabs = Two::open(page).await;
        let title = page.title().await;
        page.retype(BATH, VOLUME, "73 mL").await;
        page.kept().await;

        tabs.first(page).await;
        page.says("strong", CHANGED).await;
        page.retype(BATH, VOLUME, "74 mL").await;
        page.click("Keep mine as a copy").await;
        page.kept().await;
        assert_eq!(volume(&page.card(BATH).await), "74 mL");
        page.reload().await;
        page.opened().await;
        assert_eq!(volume(&page.card(BATH).await), "74 mL");
        assert_eq!(page.title().await, format!("{title}, copy"));

        page.shelf().await;
        let mut saved = page.saved().await;
        saved.sort();
        assert_eq!(saved, [title.clone(), format!("{title}, copy")]);
        tabs.second(page).await;
        page.kept().await;
        assert_eq!(volume(&page.card(BATH).await), "73 mL");
        // Both go on, each on its own.
        page.retype(BATH, VOLUME, "75 mL").await;
        page.kept().await;
    });
}

/// Tabs that do not hear of each other, as when one slept while the other wrote.
#[test]
fn a_change_that_was_not_announced_is_noticed_by_the_next_write() {
    let setting = Setting {
        before: Some(
            "delete window.BroadcastChannel; addEventListener('storage', event => event.stopImmediatePropagation());",
        ),
        ..Setting::default()
    };
    journey_in("tabs-deaf", &setting, async |page, _| {
        let tabs = Two::open(page).await;
        page.retype(BATH, VOLUME, "76 mL").await;
        page.kept().await;

        tabs.first(page).await;
        page.kept().await;
        page.retype(BATH, VOLUME, "77 mL").await;
        page.says("strong", CHANGED).await;
        page.click("Keep mine as a copy").await;
        page.kept().await;
        page.shelf().await;
        assert_eq!(page.saved().await.len(), 2);

        tabs.second(page).await;
        page.reload().await;
        page.opened().await;
        assert_eq!(volume(&page.card(BATH).await), "76 mL", "overwritten");
    });
}
