//! Pictures of the demo on a phone, a tablet and a desk, to be looked at; one of them stands in the README.

use std::fs;
use std::path::Path;

use serde_json::json;

use crate::harness::target;
use crate::journey;
use crate::page::Page;

/// Set to take the README's picture anew.
const UPDATE: &str = "GLASSWICK_UPDATE_PICTURE";

#[test]
fn the_demo_fits_a_phone_a_tablet_and_a_desk() {
    journey("pictures", async |page| {
        let folder = target().join("screenshots");
        fs::create_dir_all(&folder).unwrap();
        page.click("Open demo").await;
        page.says("h2", "Printed film").await;
        page.kept().await;
        for (width, height) in [(390, 844), (820, 1180), (1440, 900)] {
            page.fits(width, height).await;
            page.picture(&folder.join(format!("{width}.png"))).await;
            if width == 1440 && std::env::var_os(UPDATE).is_some() {
                let readme = xtask::root().join("demo-data/page.png");
                page.picture(&readme).await;
            }
            let whole = page
                .ask("return document.scrollingElement.scrollHeight;")
                .await;
            page.resize(width, whole).await;
            page.picture(&folder.join(format!("{width}-whole.png")))
                .await;
        }
        // A tablet that is turned, a window that is made smaller.
        for (width, height) in [(1180, 820), (820, 1180), (320, 844)] {
            page.fits(width, height).await;
        }
    });
}

impl Page {
    /// Gives the page a screen of this size, on which nothing reaches over the right edge.
    async fn fits(&self, width: u32, height: u32) {
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
