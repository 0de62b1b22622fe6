//! The demo, as a newcomer meets it.

use crate::command::{evaluate, same_results};
use crate::journey;

#[test]
fn the_demo_is_ready_and_shows_what_the_native_command_finds() {
    journey("demo", async |page| {
        let nothing = "No run sheet is saved on this device yet. \
            Begin one, look at the demo, or drop a file here.";
        page.says("p", nothing).await;
        page.demo().await;
        let cards = page.cards().await;
        for card in &cards {
            assert!(
                !["waiting", "stopped"].contains(&card.standing.as_str()),
                "“{}” is {}",
                card.title,
                card.standing
            );
        }
        let file = xtask::root().join("demo-data/zinc-oxide-tiles.json");
        same_results(&cards, &evaluate(&file));
    });
}
