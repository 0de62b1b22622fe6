//! Addresses: the way back through cards and places, and what an address says that leads nowhere.

use crate::journey;
use crate::page::Page;
use crate::wait::until;

#[test]
fn the_way_back_leads_through_cards_and_places() {
    journey("way-back", async |page| {
        page.demo().await;
        page.kept().await;
        page.take("Dye bath").await;
        page.take("Printed film").await;
        page.record().await;
        page.shelf().await;

        page.browser.back().await.unwrap();
        page.says("h2", "Print or export").await;
        for title in ["Printed film", "Dye bath", "Zinc oxide ink"] {
            page.browser.back().await.unwrap();
            page.comes_into_hand(title).await;
        }
        page.browser.back().await.unwrap();
        page.says("h2", "Begin a run sheet").await;
        page.browser.back().await.unwrap();
        page.says("h2", "Shelf").await;
        assert_eq!(
            page.saved().await.len(),
            1,
            "going back begins nothing anew"
        );

        page.browser.forward().await.unwrap();
        page.browser.forward().await.unwrap();
        page.comes_into_hand("Zinc oxide ink").await;
        page.browser.forward().await.unwrap();
        page.comes_into_hand("Dye bath").await;

        // The address alone says which card is in hand.
        page.reload().await;
        page.comes_into_hand("Dye bath").await;
        page.kept().await;
    });
}

#[test]
fn an_address_that_leads_nowhere_offers_the_shelf() {
    journey("nowhere", async |page| {
        for place in ["#/nowhere", "#/sheet/", "#/record/a/b/c", "#there"] {
            page.visit(place).await;
            page.says("h2", "There is nothing at this address").await;
            page.follow("Go to the shelf").await;
            assert_eq!(page.saved().await, [""; 0], "{place}");
        }
        page.visit("#/new/card/no_such_calculator").await;
        let said = page.notice().await;
        assert!(said.contains("does not know the calculator"), "{said}");
        page.close_notice().await;
        page.follow("Go to the shelf").await;
        assert_eq!(page.saved().await, [""; 0]);
    });
}

#[test]
fn a_deleted_run_sheet_says_so_at_its_address() {
    journey("deleted", async |page| {
        page.demo().await;
        page.kept().await;
        let place: String = page.ask("return location.hash;").await;
        page.shelf().await;
        let title = page.saved().await.remove(0);
        page.click(&format!("Delete: {title}")).await;
        page.open_details("Trash").await;
        page.click(&format!("Delete for good: {title}")).await;
        until("the trash to be empty", async || {
            let trash: bool = page.ask("return !!document.querySelector('.trash');").await;
            (!trash).then_some(())
        })
        .await;

        for place in [place.clone(), place.replace("sheet", "record")] {
            page.visit(&place).await;
            page.says("h2", "This run sheet cannot be opened").await;
            assert_eq!(
                page.notice().await,
                "This run sheet is no longer kept here."
            );
            page.follow("Go to the shelf").await;
            assert_eq!(page.saved().await, [""; 0]);
        }
    });
}

impl Page {
    /// Waits for the card with this title to be in hand.
    async fn comes_into_hand(&self, title: &str) {
        until(&format!("“{title}” in hand"), async || {
            let card = self.in_hand().await;
            card.is_some_and(|card| card.title == title).then_some(())
        })
        .await;
    }
}
