//! The form for whose work it is, on what and with what. All of it is free text, kept as typed.

use std::rc::Rc;

use glasswick_record::{About, Instrument, Lot};
use gloo_timers::callback::Timeout;
use yew::prelude::*;

use super::expiry::{Expiry, is_date};
use crate::components::badge;
use crate::dom;
use crate::standing::Standing;

/// The text that a box holds; the number is that of its row, where it stands in one.
type Text = fn(&mut About, usize) -> Option<&mut String>;

const ADD_LOT: &str = "about-add-lot";
const ADD_INSTRUMENT: &str = "about-add-instrument";

/// What the form was given, and where changes go.
struct Form {
    about: Rc<About>,
    /// A copy to read through [`Text`], which gives texts to write to.
    read: About,
    change: Callback<About>,
}

pub(super) fn about_form(about: &About, change: &Callback<About>) -> Html {
    let mut form = Form {
        about: Rc::new(about.clone()),
        read: about.clone(),
        change: change.clone(),
    };
    let form = &mut form;
    let lots = (0..about.lots.len()).map(|n| lot(form, n)).collect();
    let add_lot = form.add(ADD_LOT, "Add a lot", |about| {
        about.lots.push(Lot::default())
    });
    let instruments = (0..about.instruments.len())
        .map(|n| instrument(form, n))
        .collect();
    let add_instrument = form.add(ADD_INSTRUMENT, "Add an instrument", |about| {
        about.instruments.push(Instrument::default());
    });
    let room = form.boxes(
        0,
        &[
            ("temperature", "Temperature", |about, _| {
                Some(&mut about.room.temperature)
            }),
            ("humidity", "Relative humidity", |about, _| {
                Some(&mut about.room.humidity)
            }),
            ("room-note", "Note on the room", |about, _| {
                Some(&mut about.room.note)
            }),
        ],
    );
    html! {
        <section class="about-form" aria-labelledby="about-title">
            <h2 id="about-title">{ "About this work" }</h2>
            { date(form) }
            { form.boxes(0, &[
                ("operator", "Operator", |about, _| Some(&mut about.operator)),
                ("run", "Run", |about, _| Some(&mut about.run)),
                ("substrate", "Substrate", |about, _| Some(&mut about.substrate)),
                ("cells", "Cells", |about, _| Some(&mut about.cells)),
            ]) }
            { group("Lots", rows(lots, add_lot)) }
            { group("Instruments", rows(instruments, add_instrument)) }
            { group("Room", room) }
            { note(form) }
        </section>
    }
}

fn group(title: &'static str, content: Html) -> Html {
    html! { <fieldset class="table"><legend>{ title }</legend>{ content }</fieldset> }
}

fn rows(rows: Vec<Html>, add: Html) -> Html {
    let item = |(n, row): (usize, Html)| html! { <li key={n}>{ row }</li> };
    html! { <><ol class="rows">{ for rows.into_iter().enumerate().map(item) }</ol>{ add }</> }
}

fn lot(form: &mut Form, n: usize) -> Html {
    let boxes = form.boxes(
        n,
        &[
            ("lot-name", "Material", |about, n| {
                Some(&mut about.lots.get_mut(n)?.name)
            }),
            ("lot-number", "Lot number", |about, n| {
                Some(&mut about.lots.get_mut(n)?.lot)
            }),
            ("lot-expiry", "Expiry date", |about, n| {
                Some(&mut about.lots.get_mut(n)?.expiry)
            }),
        ],
    );
    let expiry = Expiry::of(&form.about.lots[n].expiry, &form.about.date);
    let said = html! {
        <div role="status">
            if expiry == Expiry::Expired {
                { badge(Standing::Warning) }
            }
            <p class="help">{ expiry.advice() }</p>
        </div>
    };
    let remove = |about: &mut About, n: usize| drop(about.lots.remove(n));
    form.row("Lot", n, ADD_LOT, remove, html! { <>{ boxes }{ said }</> })
}

fn instrument(form: &mut Form, n: usize) -> Html {
    let boxes = form.boxes(
        n,
        &[
            ("instrument-name", "Name", |about, n| {
                Some(&mut about.instruments.get_mut(n)?.name)
            }),
            ("instrument-id", "Identifier", |about, n| {
                Some(&mut about.instruments.get_mut(n)?.identifier)
            }),
            ("instrument-calibration", "Calibration", |about, n| {
                Some(&mut about.instruments.get_mut(n)?.calibration)
            }),
        ],
    );
    let remove = |about: &mut About, n: usize| drop(about.instruments.remove(n));
    form.row("Instrument", n, ADD_INSTRUMENT, remove, boxes)
}

fn date(form: &mut Form) -> Html {
    let today = dom::now().split('T').next().unwrap_or_default().to_owned();
    let label = format!("Today, {today}");
    let unread = !form.about.date.trim().is_empty() && !is_date(&form.about.date);
    let offered = form.about.date != today;
    let set = form.changed(move |about| about.date.clone_from(&today));
    html! {
        <div class="field">
            { form.bare("date", "Date of the work", 0, |about, _| Some(&mut about.date)) }
            if unread {
                <p class="help">{ "Written as 2026-03-12, it is compared with expiry dates." }</p>
            }
            if offered {
                <button type="button" class="quiet" onclick={set}>{ label }</button>
            }
        </div>
    }
}

fn note(form: &Form) -> Html {
    let oninput = form.typed(0, |about, _| Some(&mut about.note));
    html! {
        <div class="field">
            <label for="about-note">{ "Note" }</label>
            <textarea id="about-note" rows="3" value={form.about.note.clone()} {oninput} />
        </div>
    }
}

impl Form {
    /// What a button does that changes something.
    fn changed(&self, set: impl Fn(&mut About) + 'static) -> Callback<MouseEvent> {
        let (about, change) = (self.about.clone(), self.change.clone());
        Callback::from(move |_: MouseEvent| {
            let mut about = (*about).clone();
            set(&mut about);
            change.emit(about);
        })
    }

    /// What a box does with what is typed into it.
    fn typed(&self, n: usize, text: Text) -> Callback<InputEvent> {
        let (about, change) = (self.about.clone(), self.change.clone());
        Callback::from(move |event: InputEvent| {
            let mut about = (*about).clone();
            if let Some(text) = text(&mut about, n) {
                *text = dom::value(&event);
                change.emit(about);
            }
        })
    }

    /// Boxes for one line of text each, with their labels.
    fn boxes(&mut self, n: usize, boxes: &[(&'static str, &'static str, Text)]) -> Html {
        let one = |(id, label, text): &(&'static str, &'static str, Text)| {
            html! { <div class="field">{ self.bare(id, label, n, *text) }</div> }
        };
        html! { <div class="cells">{ for boxes.iter().map(one) }</div> }
    }

    fn bare(&mut self, id: &str, label: &'static str, n: usize, text: Text) -> Html {
        let oninput = self.typed(n, text);
        let value = text(&mut self.read, n).cloned().unwrap_or_default();
        let id = format!("about-{id}-{n}");
        html! {
            <>
                <label for={id.clone()}>{ label }</label>
                <input {id} type="text" autocomplete="off" {value} {oninput} />
            </>
        }
    }

    fn add(&self, id: &'static str, label: &'static str, add: fn(&mut About)) -> Html {
        html! { <button type="button" {id} onclick={self.changed(add)}>{ label }</button> }
    }

    /// A row: its name, the button that takes it away and hands the focus to the one that adds, and its boxes.
    fn row(
        &self,
        what: &str,
        n: usize,
        add: &'static str,
        remove: fn(&mut About, usize),
        boxes: Html,
    ) -> Html {
        let name = AttrValue::from(format!("{what} {}", n + 1));
        let onclick = self.changed(move |about| {
            remove(about, n);
            Timeout::new(0, move || dom::catch_focus(add)).forget();
        });
        html! {
            <div class="row" role="group" aria-label={&name}>
                <div class="row-head">
                    <span class="row-name">{ &name }</span>
                    <button type="button" class="quiet" aria-label={format!("Remove {name}")} {onclick}>{ "Remove" }</button>
                </div>
                { boxes }
            </div>
        }
    }
}
