//! Where the uncertainty of a result comes from, with the numbers before rounding.

use glasswick_core::quantity::{Unit, plain, shortest, value_text};
use glasswick_core::report::{Form, Printed};
use yew::prelude::*;

use super::{MonteCarlo, Reader};
use crate::dom;
use crate::view::{Contribution, Quantified, ResultView};

pub(crate) fn budget(
    result: &ResultView,
    found: &Quantified,
    shown: &Printed,
    reader: &Reader,
    copy: &Callback<String>,
    said: &'static str,
    address: &str,
) -> Html {
    html! {
        <details class="budget">
            <summary><span>{ summary(found) }</span></summary>
            { before_rounding(found, shown) }
            <div class="actions">
                { copy_button("Copy", &format!("Copy: {}", result.title), plain(&shown.text), copy) }
                { copy_button("Copy unrounded", &format!("Copy unrounded: {}", result.title), unrounded(shown), copy) }
                { form_select(&result.title, reader) }
            </div>
            <p class="said" role="status">{ said }</p>
            if !found.budget.is_empty() {
                { table(result, found, shown.unit) }
                <MonteCarlo address={address.to_owned()} title={result.title.clone()} field={result.field} unit={shown.unit}
                    document={reader.document.clone()} current={found.trial_is_current} act={&reader.act} />
            }
        </details>
    }
}

/// "k = 2, mostly from Stock · Concentration (62 %)".
fn summary(found: &Quantified) -> String {
    match found.budget.first() {
        Some(first) => format!(
            "{}, mostly from {} ({}\u{202F}%)",
            factor(found),
            first.words(),
            percent(first.row.share)
        ),
        None => "no uncertainty stated".into(),
    }
}

/// "k = 2", or "k = 2.28" of Student's t.
pub(crate) fn factor(found: &Quantified) -> String {
    let factor = found.estimate.coverage_factor();
    if factor == 2.0 {
        "k = 2".into()
    } else {
        format!("k = {}", value_text(factor, 3))
    }
}

fn before_rounding(found: &Quantified, shown: &Printed) -> Html {
    let after = shown.unit.after_number();
    let mut sentence = format!("Before rounding: {}{after}", shortest(shown.value));
    if shown.uncertainty > 0.0 {
        let expanded = shown.uncertainty * found.estimate.coverage_factor();
        sentence.push_str(&format!(
            "; standard uncertainty u = {}{after}; expanded U = k\u{202F}·\u{202F}u = {}{after}, {}",
            shortest(shown.uncertainty),
            value_text(expanded, 3),
            factor(found),
        ));
        let freedom = found.estimate.degrees_of_freedom;
        if freedom.is_finite() {
            sentence.push_str(&format!(
                " from Student’s t with {} effective degrees of freedom (Welch–Satterthwaite; the rows are independent of \
                 each other)",
                value_text(freedom, 3)
            ));
        }
    }
    sentence.push('.');
    html! { <p>{ sentence }</p> }
}

fn unrounded(shown: &Printed) -> String {
    let number = shortest(shown.value) + &shown.unit.after_number();
    plain(&number)
}

fn copy_button(words: &str, label: &str, text: String, copy: &Callback<String>) -> Html {
    let onclick = copy.reform(move |_: MouseEvent| text.clone());
    html! { <button type="button" class="quiet" aria-label={label.to_owned()} {onclick}>{ words }</button> }
}

const FORMS: [(&str, Form); 3] = [
    ("± expanded", Form::Expanded),
    ("(standard)", Form::Parentheses),
    ("± percent", Form::Relative),
];

fn form_select(title: &str, reader: &Reader) -> Html {
    let option = |(words, form): &(&'static str, Form)| {
        html! { <option key={*words} value={*words} selected={*form == reader.document.display.form}>{ *words }</option> }
    };
    let options = FORMS.iter().map(option);
    let onchange = {
        let reader = reader.clone();
        Callback::from(move |event: Event| {
            let chosen = dom::value(&event);
            if let Some((_, form)) = FORMS.iter().find(|(words, _)| *words == chosen) {
                reader.changed(|display| display.form = *form);
            }
        })
    };
    html! {
        <label class="form">{ "Shown as" }
            <select aria-label={format!("How the uncertainty of {title} and of all results is shown")} {onchange}>{ for options }</select>
        </label>
    }
}

fn table(result: &ResultView, found: &Quantified, unit: &'static Unit) -> Html {
    let columns = [
        "Input",
        "Share",
        "Contribution",
        "Sensitivity",
        "Standard uncertainty",
        "Degrees of freedom",
        "Type",
    ];
    html! {
        <div class="scroll" role="group" tabindex="0" aria-label={format!("Budget of {}", result.title)}>
            <table>
                <thead><tr>{ for columns.map(|title| html! { <th scope="col">{ title }</th> }) }</tr></thead>
                <tbody>{ for found.budget.iter().map(|contribution| row(contribution, unit)) }</tbody>
            </table>
        </div>
    }
}

fn row(contribution: &Contribution, unit: &Unit) -> Html {
    let row = &contribution.row;
    let of = contribution.unit;
    let sensitivity = row.sensitivity.zip(of).map(|(si, of)| {
        let value = unit.difference_from_si(si * of.difference_to_si(1.0));
        match of.symbol {
            "1" => value_text(value, 3) + &unit.after_number(),
            symbol => format!(
                "{}{} per {symbol}",
                value_text(value, 3),
                unit.after_number()
            ),
        }
    });
    let uncertainty = row
        .uncertainty
        .zip(of)
        .map(|(si, of)| value_text(of.difference_from_si(si), 2) + &of.after_number());
    let contributed = unit.difference_from_si(row.contribution);
    let freedom = if row.degrees_of_freedom.is_finite() {
        value_text(row.degrees_of_freedom, 3)
    } else {
        "∞".into()
    };
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
            <td>{ uncertainty.unwrap_or_else(|| "correlated block".into()) }</td>
            <td>{ freedom }</td>
            <td>{ row.evaluation.letter() }</td>
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
