//! What a card found: each result with its standard uncertainty and where that mostly comes from.

use glasswick_core::quantity::{Unit, value_text};
use glasswick_core::report::printed;
use glasswick_core::uncertainty::Estimate;
use glasswick_record::Document;
use yew::prelude::*;

use super::blocks::{columns, heads, part, words};
use super::entries::name;
use crate::components::{factor, in_words, percent};
use crate::view::{Quantified, ResultView};

/// Contributions are named until they make up this share of the variance, but not more than so many.
const MOSTLY: f64 = 0.8;
const MOST_NAMED: usize = 2;

pub(super) fn found(card: &str, results: &[ResultView], document: &Document) -> Html {
    let rows = results.iter();
    let rows: Vec<_> = rows
        .filter_map(|result| row(card, result, document))
        .collect();
    if rows.is_empty() {
        return Html::default();
    }
    let heads = heads(["Result", "Value", "Standard uncertainty"]);
    part("Found", columns("results-table", "Results", heads, rows))
}

fn row(card: &str, result: &ResultView, document: &Document) -> Option<Vec<Html>> {
    let found = result.found.as_ref()?;
    let address = format!("{card}.{}", result.path);
    let unit = document.display.unit(&address, result.field);
    let shown = printed(result.field, &found.estimate, unit, document.display.form);
    // A result that stands in a table is called with its row.
    let title = if result.title == result.field.title {
        name(result.field)
    } else {
        words(result.title.clone())
    };
    let mut uncertainty = uncertainty(found, shown.unit);
    if let Some(trial) = document.trials.get(&address)
        && found.trial_is_current
    {
        uncertainty.push_str(". ");
        uncertainty.push_str(&in_words(&trial.outcome, shown.unit));
    }
    let uncertainty = words(uncertainty);
    Some(vec![title, words(shown.text), uncertainty])
}

/// "u = 0.1623 mg, k = 2, mostly from Stock · Concentration (62 %)".
fn uncertainty(found: &Quantified, unit: &Unit) -> String {
    let Estimate {
        uncertainty,
        degrees_of_freedom,
        ..
    } = found.estimate;
    if uncertainty == 0.0 {
        return "none stated".into();
    }
    let mut words = String::from("u = ");
    words.push_str(&value_text(unit.difference_from_si(uncertainty), 4));
    words.push_str(&unit.after_number());
    words.push_str(", ");
    words.push_str(&factor(found));
    if degrees_of_freedom.is_finite() {
        words.push_str(", effective degrees of freedom ");
        words.push_str(&value_text(degrees_of_freedom, 3));
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
