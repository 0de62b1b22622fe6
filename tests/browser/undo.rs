//! What was taken away comes back, and the keyboard never loses its place.

use thirtyfour::Key;

use crate::journey;
use crate::keyboard::Way;
use crate::wait::until;

#[test]
fn a_removed_card_comes_back_by_keyboard() {
    journey("undo", async |page| {
        page.click("Open demo").await;
        page.says("h2", "Printed film").await;
        let before = page.cards().await;

        page.push(Way::On, "Dye bath", "Remove: Dye bath").await;
        let at_undo = async || (page.focus().await.name == "Undo").then_some(());
        until("the focus on Undo", at_undo).await;
        assert_eq!(page.cards().await.len(), before.len() - 1);

        page.press(Key::Enter).await;
        let back = async || (page.cards().await == before).then_some(());
        until("the card", back).await;
    });
}

#[test]
fn what_loses_its_source_says_so_until_it_is_back() {
    journey("source", async |page| {
        page.click("Open demo").await;
        page.says("h2", "Printed film").await;
        let before = page.cards().await;

        page.push(Way::On, "Zinc oxide ink", "Remove: Zinc oxide ink")
            .await;
        let stopped =
            async || (page.card("Printed film").await.standing == "stopped").then_some(());
        until("the card that took from it to stop", stopped).await;
        assert_eq!(
            page.card("Thickness measured on test strips").await,
            before[2]
        );

        page.click("Undo").await;
        let back = async || (page.cards().await == before).then_some(());
        until("everything", back).await;
    });
}
