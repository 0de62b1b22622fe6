//! axe-core looks at the page for what keeps people out, in the light and in the dark scheme.

use std::fs;

use serde_json::{Value, json};

use crate::harness::given;
use crate::journey;
use crate::page::Page;

#[test]
fn the_demo_and_the_dialogs_keep_nobody_out() {
    journey("access", async |page| {
        let axe = fs::read_to_string(given("GLASSWICK_AXE")).unwrap();
        page.browser.execute(axe, Vec::new()).await.unwrap();
        for scheme in ["light", "dark"] {
            let media =
                json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
            page.command("Emulation.setEmulatedMedia", media).await;
            page.click("New run sheet").await;
            page.says("h2", "An empty run sheet").await;
            page.keeps_nobody_out(&format!("empty, {scheme}")).await;

            page.click("Open demo").await;
            page.says("h2", "Printed film").await;
            page.retype("Dye bath", "Volume of the bath", "much").await;
            page.keeps_nobody_out(&format!("demo, {scheme}")).await;

            page.click("Add a card").await;
            page.dialog("Add a card").await;
            page.keeps_nobody_out(&format!("dialog, {scheme}")).await;
            page.click("Close").await;
        }
    });
}

impl Page {
    async fn keeps_nobody_out(&self, state: &str) {
        let script = "
            const done = arguments[arguments.length - 1];
            const runOnly = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
            axe.run({ runOnly, resultTypes: ['violations'] }).then(
                found => done(found.violations.map(violation => ({
                    rule: violation.id,
                    help: violation.help,
                    at: violation.nodes.map(node => `${node.target}: ${node.failureSummary}`),
                }))),
                error => done(String(error)));
        ";
        let found = self.browser.execute_async(script, Vec::new()).await;
        let found = found.unwrap().json().clone();
        assert_eq!(found, Value::Array(Vec::new()), "{state}: {found:#}");
    }
}
