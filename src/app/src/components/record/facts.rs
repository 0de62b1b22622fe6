//! Whose work it is, on what and with what, as the record prints it.

use glasswick_record::{About, Lot};
use yew::prelude::*;

use super::blocks::{aside, columns, facts, free, heads, words};
use super::expiry::Expiry;

pub(super) fn about_facts(about: &About) -> Html {
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
    let single = single
        .into_iter()
        .filter(|(_, text)| !text.trim().is_empty())
        .map(|(title, text)| [words(title), free(text)]);
    let lot = |lot: &Lot| {
        let remark = Expiry::of(&lot.expiry, &about.date).remark();
        let expiry = html! { <>{ &lot.expiry }{ " " }{ aside(remark.into()) }</> };
        vec![free(&lot.name), free(&lot.lot), expiry]
    };
    let instrument = |instrument: &glasswick_record::Instrument| {
        [
            &instrument.name,
            &instrument.identifier,
            &instrument.calibration,
        ]
        .map(|text| free(text))
        .to_vec()
    };
    html! {
        <>
            { facts(single.collect()) }
            { columns("thirds", "Lots", heads(["Material", "Lot number", "Expiry date"]),
                about.lots.iter().map(lot).collect()) }
            { columns("thirds", "Instruments", heads(["Name", "Identifier", "Calibration"]),
                about.instruments.iter().map(instrument).collect()) }
        </>
    }
}
