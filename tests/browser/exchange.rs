//! Files out of the page and into it, and the native command's word on them.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::command::{evaluate, same_records, same_results, verify};
use crate::journey;
use crate::page::{Card, Page};

/// The native command gives the page's numbers for the exported run sheet, and the same record as the exported one.
pub(crate) fn evaluate_to_the_same(cards: &[Card], sheet: &Path, record: &Path) {
    let native = evaluate(sheet);
    same_results(cards, &native);
    let exported: Value = serde_json::from_str(&fs::read_to_string(record).unwrap()).unwrap();
    same_records(&exported, &native);
    verify(record);
}

/// Exports the run sheet and the record, which the native command finds to be the same. Gives the exported run sheet.
async fn exports(page: &Page) -> String {
    let sheet = page.export("Export").await;
    let cards = page.cards().await;
    page.record().await;
    let record = page.export("Export the record").await;
    evaluate_to_the_same(&cards, &sheet, &record);
    let again = page.export("Export the run sheet").await;
    let sheet = fs::read_to_string(sheet).unwrap();
    assert_eq!(fs::read_to_string(again).unwrap(), sheet, "from the record");
    page.sheet().await;
    sheet
}

#[test]
fn what_is_exported_comes_back_the_same_in_another_browser() {
    let (sheet, title, cards) = journey("export", async |page| {
        page.demo().await;
        page.retype("Printed film", "Passes", "6").await;
        page.retype("Dye bath", "Molar mass of the dye", "587,3 ± 0,6")
            .await;
        page.retype("Gap and filling", "Note", "≈ 20 °C, “tile 3” µ ✓")
            .await;
        let sheet = exports(page).await;
        (sheet, page.title().await, page.cards().await)
    });
    journey("import", async |page| {
        page.import_text("sent.json", &sheet).await;
        page.opened().await;
        assert_eq!(page.title().await, title);
        assert_eq!(page.cards().await, cards);
        assert_eq!(exports(page).await, sheet);

        page.kept().await;
        page.reload().await;
        assert_eq!(page.cards().await, cards);
    });
}
