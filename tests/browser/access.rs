//! axe-core looks at every place of the page for what keeps people out, in the light and in the low-light look.

use std::fs;

use serde_json::Value;

use crate::harness::{Setting, given, journey_in};
use crate::journey;
use crate::page::Page;
use crate::storage::THROWS;

#[test]
fn no_place_keeps_anyone_out() {
    journey("access", async |page| {
        page.bring_axe().await;
        for look in ["light", "low light"] {
            page.shelf().await;
            page.look(look).await;
            if page.saved().await.is_empty() {
                page.keeps_nobody_out("empty shelf").await;
            }
            page.follow("New run sheet").await;
            page.says("h2", "Begin a run sheet").await;
            page.keeps_nobody_out(&format!("begin, {look}")).await;
            page.follow("Empty").await;
            page.says("h2", "An empty run sheet").await;
            page.keeps_nobody_out(&format!("empty run sheet, {look}"))
                .await;

            page.demo().await;
            page.retype("Dye bath", "Volume of the bath", "much").await;
            for title in page.titles().await {
                page.take(&title).await;
                page.keeps_nobody_out(&format!("{title}, {look}")).await;
            }
            for (button, title) in [
                ("Add a card", "Add a card"),
                ("Share", "Share this run sheet"),
            ] {
                page.click(button).await;
                page.dialog(title).await;
                page.keeps_nobody_out(&format!("{title}, {look}")).await;
                page.click("Close").await;
            }
            page.record().await;
            page.keeps_nobody_out(&format!("record, {look}")).await;

            // A run sheet in the trash, a text set aside, a notice above it all.
            page.kept().await;
            page.shelf().await;
            let title = page.saved().await.remove(0);
            page.click(&format!("Delete: {title}")).await;
            page.says("button", "Undo").await;
            page.import_text("no.json", "nothing").await;
            page.notice().await;
            page.open_details("Trash").await;
            page.keeps_nobody_out(&format!("shelf, {look}")).await;
            page.close_notice().await;
        }
    });
}

#[test]
fn the_alarm_that_nothing_is_kept_keeps_nobody_out() {
    let setting = Setting {
        before: Some(THROWS),
        ..Setting::default()
    };
    journey_in("access-unkept", &setting, async |page, _| {
        page.bring_axe().await;
        page.keeps_nobody_out("a shelf that keeps nothing").await;
        page.demo().await;
        page.says("strong", "Not saved.").await;
        page.keeps_nobody_out("a run sheet that is not saved").await;
    });
}

impl Page {
    pub(crate) async fn bring_axe(&self) {
        let axe = fs::read_to_string(given("GLASSWICK_AXE")).unwrap();
        self.browser.execute(axe, Vec::new()).await.unwrap();
    }

    pub(crate) async fn keeps_nobody_out(&self, state: &str) {
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
