//! Whose work it is, on what and with what, as the record prints it.

use glasswick_record::{About, Instrument, Lot};
use yew::prelude::*;

use super::expiry::Expiry;

pub(super) fn facts(about: &About) -> Html {
    let single = [
        ("Operator", &about.operator),
        ("Date of the work", &about.date),
        ("Run", &about.run),
        ("Substrate", &about.substrate),
        ("Cells", &about.cells),
        ("Room temperature", &about.room.temperature),
        ("Relative humidity", &about.room.humidity),
        ("Note on the room", &about.room.note),
        ("Note", &about.note),
    ];
    let single: Vec<Html> = single
        .into_iter()
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(title, text)| {
            html! { <tr><th scope="row">{ title }</th><td class="free">{ text }</td></tr> }
        })
        .collect();
    html! {
        <>
            if !single.is_empty() {
                <table class="facts"><tbody>{ for single }</tbody></table>
            }
            { lots(about) }
            { instruments(&about.instruments) }
        </>
    }
}

fn lots(about: &About) -> Html {
    let row = |lot: &Lot| {
        let remark = Expiry::of(&lot.expiry, &about.date).remark();
        html! {
            <tr>
                <th scope="row">{ &lot.name }</th>
                <td>{ &lot.lot }</td>
                <td>{ &lot.expiry }
                    if !remark.is_empty() {
                        <span class="entry-about">{ remark }</span>
                    }
                </td>
            </tr>
        }
    };
    columns(
        ["Material", "Lot number", "Expiry date"],
        about.lots.iter().map(row).collect(),
    )
}

fn instruments(instruments: &[Instrument]) -> Html {
    let row = |instrument: &Instrument| {
        html! {
            <tr>
                <th scope="row">{ &instrument.name }</th>
                <td>{ &instrument.identifier }</td>
                <td>{ &instrument.calibration }</td>
            </tr>
        }
    };
    columns(
        ["Instrument", "Identifier", "Calibration"],
        instruments.iter().map(row).collect(),
    )
}

fn columns(heads: [&'static str; 3], rows: Vec<Html>) -> Html {
    if rows.is_empty() {
        return Html::default();
    }
    html! {
        <table class="columns thirds">
            <thead><tr>{ for heads.map(|head| html! { <th scope="col">{ head }</th> }) }</tr></thead>
            <tbody>{ for rows }</tbody>
        </table>
    }
}
