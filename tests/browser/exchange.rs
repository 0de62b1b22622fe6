//! Files out of the page and into it, and the native command's word on them.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;

use crate::command::{evaluate, same_records, same_results, verify};
use crate::journey;
use crate::page::Page;

/// Exports the run sheet and the record; the native command gives the page's numbers for the one, and the same
/// record as the other. Gives the exported run sheet.
pub(crate) async fn exports_evaluate_to_the_same(page: &Page) -> PathBuf {
    let sheet = page.export("Export run sheet").await;
    let native = evaluate(&sheet);
    same_results(&page.cards().await, &native);

    let record = page.export("Export record").await;
    let exported: Value = serde_json::from_str(&fs::read_to_string(&record).unwrap()).unwrap();
    same_records(&exported, &native);
    verify(&record);
    sheet
}

#[test]
fn what_is_exported_comes_back_the_same_in_another_browser() {
    let (sheet, title, cards) = journey("export", async |page| {
        page.click("Open demo").await;
        page.says("h2", "Printed film").await;
        page.retype("Printed film", "Passes", "6").await;
        page.retype("Dye bath", "Molar mass of the dye", "587,3 ± 0,6")
            .await;
        page.retype("Gap and filling", "Note", "≈ 20 °C, “tile 3” µ ✓")
            .await;
        let sheet = exports_evaluate_to_the_same(page).await;
        let sheet = fs::read_to_string(sheet).unwrap();
        (sheet, page.title().await, page.cards().await)
    });
    journey("import", async |page| {
        page.import_text("sent.json", &sheet).await;
        page.says("h2", "Printed film").await;
        assert_eq!(page.title().await, title);
        assert_eq!(page.cards().await, cards);
        let again = exports_evaluate_to_the_same(page).await;
        assert_eq!(fs::read_to_string(again).unwrap(), sheet);

        page.kept().await;
        page.reload().await;
        assert_eq!(page.cards().await, cards);
    });
}
