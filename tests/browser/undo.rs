//! What was taken away comes back, and the keyboard never loses its place.

use thirtyfour::Key;

use crate::journey;
use crate::keyboard::Way;
use crate::wait::until;

#[test]
fn a_removed_card_comes_back_by_keyboard() {
    journey("undo", async |page| {
        page.demo().await;
        let before = page.cards().await;

        page.push(Way::Back, "", "Dye bath").await;
        page.push(Way::On, "Dye bath", "Remove: Dye bath").await;
        let at_undo = async || (page.focus().await.id == "undo").then_some(());
        until("the focus on Undo", at_undo).await;
        assert_eq!(page.titles().await.len(), before.len() - 1);

        page.press(Key::Enter).await;
        let back = async || (page.titles().await.len() == before.len()).then_some(());
        until("the card", back).await;
        assert_eq!(page.cards().await, before);
    });
}

#[test]
fn what_was_typed_goes_back_and_forth_by_keyboard() {
    journey("undo-typing", async |page| {
        page.demo().await;
        let before = page.cards().await;
        page.retype("Dye bath", "Volume of the bath", "61 mL").await;
        page.retype("Dye bath", "Molar mass of the dye", "700")
            .await;
        let after = page.cards().await;
        assert_ne!(after, before);

        let mut steps = 0;
        while page.enabled("Undo").await {
            page.push(Way::Back, "", "Undo").await;
            steps += 1;
            assert!(steps < 30, "undo has no end");
        }
        assert_eq!(page.cards().await, before, "after going back");
        for _ in 0..steps {
            page.push(Way::Back, "", "Redo").await;
        }
        assert!(!page.enabled("Redo").await, "there is more to redo");
        assert_eq!(page.cards().await, after, "after going forth again");
        page.kept().await;
    });
}

#[test]
fn what_loses_its_source_says_so_until_it_is_back() {
    journey("source", async |page| {
        page.demo().await;
        let before = page.cards().await;

        page.take("Zinc oxide ink").await;
        page.click("Remove: Zinc oxide ink").await;
        let stopped =
            async || (page.card("Printed film").await.standing == "stopped").then_some(());
        until("the card that took from it to stop", stopped).await;
        let log = "Soaking log";
        let unlinked = before.iter().find(|card| card.title == log);
        assert_eq!(Some(&page.card(log).await), unlinked);

        page.click("Undo").await;
        let back = async || (page.titles().await.len() == before.len()).then_some(());
        until("the card", back).await;
        assert_eq!(page.cards().await, before);
    });
}
