//! Where the uncertainty of a result comes from, with the numbers before rounding.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::{Unit, shortest, value_text};
use yew::prelude::*;

use crate::view::{Contribution, Quantified};

pub(crate) fn budget(field: &'static Field, found: &Quantified, unit: &'static Unit) -> Html {
    let after = unit.after_number();
    let summary = match found.budget.first() {
        Some(first) => format!(
            "± mostly from {} ({}\u{202F}%)",
            first.words(),
            percent(first.row.share)
        ),
        None => "no uncertainty stated".into(),
    };
    let value = shortest(unit.from_si(found.value));
    let u = shortest(unit.difference_from_si(found.uncertainty));
    let row = |contribution: &Contribution| row(contribution, unit);
    html! {
        <details class="budget">
            <summary>{ summary }</summary>
            <p>{ format!("Before rounding: {value}{after}") }
                if found.uncertainty > 0.0 {
                    { format!("; standard uncertainty {u}{after}") }
                }
                if found.degrees_of_freedom.is_finite() {
                    { format!("; effective degrees of freedom {}", value_text(found.degrees_of_freedom, 3)) }
                }
                { "." }
            </p>
            if !found.budget.is_empty() {
                <div class="scroll" role="group" tabindex="0" aria-label={format!("Budget of {}", field.title)}>
                    <table>
                        <thead><tr>
                            <th scope="col">{ "Input" }</th>
                            <th scope="col">{ "Share" }</th>
                            <th scope="col">{ "Contribution" }</th>
                            <th scope="col">{ "Sensitivity" }</th>
                        </tr></thead>
                        <tbody>{ for found.budget.iter().map(row) }</tbody>
                    </table>
                </div>
            }
        </details>
    }
}

fn row(contribution: &Contribution, unit: &Unit) -> Html {
    let row = &contribution.row;
    let sensitivity = row.sensitivity.zip(contribution.unit).map(|(si, of)| {
        let value = unit.difference_from_si(si * of.difference_to_si(1.0));
        format!(
            "{}{} per {}",
            value_text(value, 3),
            unit.after_number(),
            of.symbol
        )
    });
    let contributed = unit.difference_from_si(row.contribution);
    html! {
        <tr>
            <th scope="row">{ contribution.words() }</th>
            <td class="share">
                <svg class="bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
                    <rect class="bar-full" x="0" y="0" width="100" height="10" />
                    <rect class="bar-part" x="0" y="0" width={format!("{:.2}", row.share * 100.0)} height="10" />
                </svg>
                { format!("{}\u{202F}%", percent(row.share)) }
            </td>
            <td>{ format!("{}{}", value_text(contributed, 2), unit.after_number()) }</td>
            <td>{ sensitivity.unwrap_or_else(|| "correlated block".into()) }</td>
        </tr>
    }
}

/// A share to a tenth of a percent below ten percent, to a percent above.
pub(crate) fn percent(share: f64) -> String {
    let percent = share * 100.0;
    if percent < 9.95 {
        format!("{percent:.1}")
    } else {
        format!("{percent:.0}")
    }
}
