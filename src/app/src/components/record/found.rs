//! What a card found: each result with its standard uncertainty and where that mostly comes from.

use glasswick_core::quantity::{Unit, value_text};
use glasswick_core::report::printed;
use yew::prelude::*;

use super::blocks::{columns, heads, part, words};
use super::entries::name;
use crate::components::percent;
use crate::view::{Quantified, ResultView};

/// Contributions are named until they make up this share of the variance, but not more than so many.
const MOSTLY: f64 = 0.8;
const MOST_NAMED: usize = 2;

pub(super) fn found(results: &[ResultView]) -> Html {
    let rows: Vec<_> = results.iter().filter_map(row).collect();
    if rows.is_empty() {
        return Html::default();
    }
    let heads = heads(["Result", "Value", "Standard uncertainty"]);
    part("Found", columns("results-table", "Results", heads, rows))
}

fn row(result: &ResultView) -> Option<Vec<Html>> {
    let found = result.found.as_ref()?;
    let shown = printed(result.field, found.value, found.uncertainty, None);
    // A result that stands in a table is called with its row.
    let title = if result.title == result.field.title {
        name(result.field)
    } else {
        words(result.title.clone())
    };
    let uncertainty = words(uncertainty(found, shown.unit));
    Some(vec![title, words(shown.text), uncertainty])
}

/// "u = 0.1623 mg, mostly from Stock · Concentration (62 %)".
fn uncertainty(found: &Quantified, unit: &Unit) -> String {
    if found.uncertainty == 0.0 {
        return "none stated".into();
    }
    let mut words = String::from("u = ");
    words.push_str(&value_text(unit.difference_from_si(found.uncertainty), 4));
    words.push_str(&unit.after_number());
    if found.degrees_of_freedom.is_finite() {
        words.push_str(", effective degrees of freedom ");
        words.push_str(&value_text(found.degrees_of_freedom, 3));
    }
    let mut named = 0.0;
    for (position, contribution) in found.budget.iter().take(MOST_NAMED).enumerate() {
        if named >= MOSTLY {
            break;
        }
        words.push_str(if position == 0 {
            ", mostly from "
        } else {
            ", "
        });
        words.push_str(&contribution.words());
        words.push_str(" (");
        words.push_str(&percent(contribution.row.share));
        words.push_str("\u{202F}%)");
        named += contribution.row.share;
    }
    words
}
