//! Pictures of the three places on a phone, a tablet both ways and a desk, in both looks, to be looked at; one of them
//! stands in the README. Nothing on them reaches over the right edge.

use std::fs;
use std::path::Path;

use serde_json::json;

use crate::harness::target;
use crate::journey;
use crate::page::Page;

/// Set to take the README's picture anew.
const UPDATE: &str = "GLASSWICK_UPDATE_PICTURE";

const SCREENS: [(u32, u32); 4] = [(390, 844), (820, 1180), (1180, 820), (1440, 900)];

#[test]
fn the_three_places_fit_a_phone_a_tablet_and_a_desk() {
    journey("pictures", async |page| {
        let folder = target().join("screenshots");
        fs::create_dir_all(&folder).unwrap();
        // A second one, so that the shelf is one.
        page.follow("New run sheet").await;
        page.follow("The whole chain").await;
        page.opened().await;
        page.kept().await;
        page.demo().await;
        page.kept().await;
        for look in ["low light", "light"] {
            for (place, heading) in [("Shelf", "Shelf"), ("Record", "Print or export")] {
                page.follow(place).await;
                page.says("h2", heading).await;
                if place == "Shelf" {
                    page.look(look).await;
                }
                page.pictures(&folder, place, look).await;
            }
            page.sheet().await;
            page.take("Printed film").await;
            page.pictures(&folder, "Run sheet", look).await;
        }
        if std::env::var_os(UPDATE).is_some() {
            page.fits(1440, 900).await;
            let readme = xtask::root().join("demo-data/page.png");
            page.picture(&readme).await;
        }
        for title in page.titles().await {
            page.take(&title).await;
            for (width, height) in [(390, 844), (320, 844)] {
                page.fits(width, height).await;
            }
        }
    });
}

impl Page {
    /// Takes pictures of a place on every screen: of what is in view, and of all of it.
    async fn pictures(&self, folder: &Path, place: &str, look: &str) {
        for (width, height) in SCREENS {
            self.fits(width, height).await;
            let name = format!("{place}-{look}-{width}")
                .replace(' ', "-")
                .to_lowercase();
            self.picture(&folder.join(format!("{name}.png"))).await;
            let whole = self
                .ask("return document.scrollingElement.scrollHeight;")
                .await;
            self.resize(width, whole).await;
            self.picture(&folder.join(format!("{name}-whole.png")))
                .await;
        }
    }

    /// Gives the page a screen of this size, on which nothing reaches over the right edge.
    pub(crate) async fn fits(&self, width: u32, height: u32) {
        self.resize(width, height).await;
        let [shown, needed]: [u32; 2] = self
            .ask("return [innerWidth, document.scrollingElement.scrollWidth];")
            .await;
        assert_eq!(shown, width, "the width asked for");
        assert!(needed <= width, "{needed} px wide on {width} px");
    }

    /// Gives the page a screen of this size.
    async fn resize(&self, width: u32, height: u32) {
        let screen = json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false,
        });
        self.command("Emulation.setDeviceMetricsOverride", screen)
            .await;
    }

    /// Takes a picture of what is in view.
    async fn picture(&self, file: &Path) {
        self.browser.screenshot(file).await.unwrap();
    }
}
