//! What a card found: each result with its standard uncertainty and where that mostly comes from.

use glasswick_core::quantity::{Unit, value_text};
use glasswick_core::report::printed;
use yew::prelude::*;

use super::entries::name;
use crate::components::percent;
use crate::view::{CardView, Contribution, Quantified, ResultView};

/// Contributions are named until they make up this share of the variance, but not more than so many.
const MOSTLY: f64 = 0.8;
const MOST_NAMED: usize = 3;

pub(super) fn found(view: &CardView) -> Html {
    let rows = view.results.iter().filter_map(row).collect::<Vec<_>>();
    if rows.is_empty() {
        return Html::default();
    }
    html! {
        <div class="part">
            <h4>{ "Found" }</h4>
            <table class="columns">
                <thead><tr>
                    <th scope="col">{ "Result" }</th>
                    <th scope="col">{ "Value" }</th>
                    <th scope="col">{ "Standard uncertainty" }</th>
                </tr></thead>
                <tbody>{ for rows }</tbody>
            </table>
        </div>
    }
}

fn row(result: &ResultView) -> Option<Html> {
    let found = result.found.as_ref()?;
    let shown = printed(result.field, found.value, found.uncertainty, None);
    // A result that stands in a table is called with its row.
    let title = if result.title == result.field.title {
        name(result.field)
    } else {
        html! { { &result.title } }
    };
    Some(html! {
        <tr>
            <th scope="row">{ title }</th>
            <td class="value">{ shown.text }</td>
            <td>{ uncertainty(found, shown.unit) }</td>
        </tr>
    })
}

/// "u = 0.1623 mg, mostly from Stock · Concentration (62 %)".
fn uncertainty(found: &Quantified, unit: &Unit) -> String {
    if found.uncertainty == 0.0 {
        return "none stated".into();
    }
    let mut words = format!(
        "u = {}{}",
        value_text(unit.difference_from_si(found.uncertainty), 4),
        unit.after_number()
    );
    if found.degrees_of_freedom.is_finite() {
        words.push_str(", effective degrees of freedom ");
        words.push_str(&value_text(found.degrees_of_freedom, 3));
    }
    let mut before = 0.0;
    let named = found.budget.iter().take(MOST_NAMED).take_while(|row| {
        let wanted = before < MOSTLY;
        before += row.row.share;
        wanted
    });
    for (position, contribution) in named.enumerate() {
        words.push_str(if position == 0 {
            ", mostly from "
        } else {
            ", "
        });
        words.push_str(&source(contribution));
    }
    words
}

fn source(contribution: &Contribution) -> String {
    let share = percent(contribution.row.share);
    format!("{} ({share}\u{202F}%)", contribution.words())
}
