//! Random run sheets as a page makes them.

use std::collections::BTreeMap;

use glasswick_core::calculators::{self, Field, FieldKind};
use glasswick_core::points::{Corrections, DecimalMark, Delimiter, Illumination, Sign, UnitFrom};
use glasswick_core::report::Form;
use glasswick_core::sheet::{Address, Card, Input, PointsText, Row, Sheet, Typed};
use glasswick_core::uncertainty::{Distribution, Meaning, WareUse, Weighing};
use glasswick_record::{About, Display, Document, Instrument, Lot, Room};
use proptest::collection::{btree_map, vec};
use proptest::option;
use proptest::prelude::*;

/// Any text, control characters included; half of the time one that may be a number.
pub(crate) fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        vec(any::<char>(), 0..12).prop_map(String::from_iter),
        (any::<f32>(), 0_usize..6).prop_map(|(number, places)| format!("{number:.places$}")),
        Just("0,5 ± 0,1".to_owned()),
        Just("2.50".to_owned()),
    ]
}

fn meaning() -> impl Strategy<Value = Meaning> {
    prop_oneof![
        Just(Meaning::Standard),
        Just(Meaning::Limit(Distribution::Rectangular)),
        Just(Meaning::Limit(Distribution::Triangular)),
        Just(Meaning::Limit(Distribution::Arcsine)),
        (-1e3..1e3).prop_map(|top| Meaning::Limit(Distribution::Trapezoidal { top })),
        Just(Meaning::Repeats),
        ware().prop_map(|ware| Meaning::Ware(Box::new(ware))),
        weighing().prop_map(|weighing| Meaning::Weighing(Box::new(weighing))),
        (-1e3..1e3).prop_map(|coverage_factor| Meaning::Expanded { coverage_factor }),
    ]
}

fn ware() -> impl Strategy<Value = WareUse> {
    let shape = prop_oneof![
        Just(Distribution::Rectangular),
        Just(Distribution::Triangular)
    ];
    (vec(any_text(), 6), shape).prop_map(|(texts, shape)| {
        let text = |position: usize| texts[position].clone();
        WareUse {
            item: text(0),
            piece: text(1),
            shape,
            repeatability: text(2),
            temperature: text(3),
            liquid: text(4),
            glass: text(5),
        }
    })
}

fn weighing() -> impl Strategy<Value = Weighing> {
    (vec(any_text(), 5), any::<bool>()).prop_map(|(texts, tare)| {
        let text = |position: usize| texts[position].clone();
        Weighing {
            readability: text(0),
            linearity: text(1),
            repeatability: text(2),
            tare,
            density: text(3),
            air: text(4),
        }
    })
}

fn typed() -> impl Strategy<Value = Input> {
    let texts = (any_text(), any_text(), any_text(), any_text(), any_text());
    (texts, meaning()).prop_map(|((text, unit, plus_minus, freedom, source), meaning)| {
        Input::Typed(Typed {
            text,
            unit,
            plus_minus,
            meaning,
            freedom,
            source,
        })
    })
}

fn link() -> impl Strategy<Value = Input> {
    let output = prop_oneof![Just("target"), Just("table.row-1.column")];
    (0_usize..6, output).prop_map(|(card, output)| {
        Input::Link(Address {
            card: format!("card-{card}"),
            output: output.into(),
        })
    })
}

/// What a page may have put into a field.
fn entry(field: &'static Field) -> BoxedStrategy<Input> {
    match &field.kind {
        FieldKind::Quantity { .. } | FieldKind::Count { .. } => {
            prop_oneof![4 => typed(), 1 => link()].boxed()
        }
        FieldKind::Choice { options } => {
            let known: Vec<String> = options.iter().map(|option| option.id.into()).collect();
            prop_oneof![9 => proptest::sample::select(known), 1 => any_text()]
                .prop_map(Input::Text)
                .boxed()
        }
        FieldKind::Text => any_text().prop_map(Input::Text).boxed(),
        FieldKind::Table { columns } => {
            let cells = entries(columns.iter().copied());
            btree_map("[A-Za-z0-9_-]{1,64}", cells, 0..4)
                .prop_map(|rows| {
                    Input::Rows(
                        rows.into_iter()
                            .map(|(id, cells)| Row { id, cells })
                            .collect(),
                    )
                })
                .boxed()
        }
        FieldKind::Curve { .. } => (any_text(), any_text(), any_text(), corrections())
            .prop_map(|(text, x_unit, y_unit, corrections)| {
                Input::Points(PointsText {
                    text,
                    x_unit,
                    y_unit,
                    corrections,
                })
            })
            .boxed(),
    }
}

/// Mostly none, as most texts need none.
fn corrections() -> impl Strategy<Value = Corrections> {
    let one = |all| option::of(proptest::sample::select::<UnitFrom>(all));
    let counted = || option::of(1_usize..1000);
    let sign = || option::of(proptest::sample::select(Sign::ALL));
    let units = (one(UnitFrom::ALL), one(UnitFrom::ALL), sign(), sign());
    let form = (
        option::of(proptest::sample::select(Delimiter::ALL)),
        option::of(proptest::sample::select(DecimalMark::ALL)),
        option::of(proptest::sample::select(Illumination::ALL)),
    );
    let places = (counted(), counted(), counted(), counted(), counted());
    let some = (form, units, places).prop_map(
        |((delimiter, decimal, illumination), (x_unit, y_unit, x_sign, y_sign), places)| {
            let (x_column, y_column, sweep, first_line, last_line) = places;
            Corrections {
                delimiter,
                decimal,
                x_column,
                y_column,
                x_unit,
                y_unit,
                x_sign,
                y_sign,
                sweep,
                illumination,
                first_line,
                last_line,
            }
        },
    );
    prop_oneof![3 => Just(Corrections::default()), 1 => some]
}

fn entries(fields: impl Iterator<Item = &'static Field>) -> BoxedStrategy<BTreeMap<String, Input>> {
    let fields: Vec<_> = fields
        .map(|field| option::of(entry(field)).prop_map(|input| Some((field.id.to_owned(), input?))))
        .collect();
    fields
        .prop_map(|fields| fields.into_iter().flatten().collect())
        .boxed()
}

fn any_card() -> impl Strategy<Value = Card> {
    let known: Vec<_> = calculators::ALL
        .iter()
        .map(|calculator| {
            let inputs = entries(calculator.inputs.iter().map(|entry| entry.field));
            inputs.prop_map(|inputs| (calculator.id.to_owned(), inputs))
        })
        .collect();
    let unknown = any_text().prop_map(|id| (format!("unknown {id}"), BTreeMap::new()));
    let filled = prop_oneof![9 => proptest::strategy::Union::new(known), 1 => unknown];
    (filled, any_text(), any_text()).prop_map(|((calculator, inputs), title, note)| Card {
        calculator,
        inputs,
        title,
        note,
        ..Card::default()
    })
}

fn about() -> impl Strategy<Value = About> {
    let three = || (any_text(), any_text(), any_text());
    let lot = three().prop_map(|(name, lot, expiry)| Lot {
        name,
        lot,
        expiry,
        ..Lot::default()
    });
    let instrument = three().prop_map(|(name, identifier, calibration)| Instrument {
        name,
        identifier,
        calibration,
        ..Instrument::default()
    });
    let room = three().prop_map(|(temperature, humidity, note)| Room {
        temperature,
        humidity,
        note,
        ..Room::default()
    });
    let parts = (
        three(),
        three(),
        any_text(),
        vec(lot, 0..3),
        vec(instrument, 0..3),
        room,
    );
    parts.prop_map(|(first, second, note, lots, instruments, room)| About {
        title: first.0,
        operator: first.1,
        date: first.2,
        run: second.0,
        substrate: second.1,
        cells: second.2,
        lots,
        instruments,
        room,
        note,
        ..About::default()
    })
}

/// Mostly the usual one: a readable link carries no other.
fn display() -> impl Strategy<Value = Display> {
    let form = prop_oneof![
        Just(Form::Expanded),
        Just(Form::Parentheses),
        Just(Form::Relative)
    ];
    let chosen = (form, any_text(), any_text()).prop_map(|(form, address, code)| Display {
        form,
        units: [(address, code)].into(),
    });
    prop_oneof![3 => Just(Display::default()), 1 => chosen]
}

/// A run sheet of up to so many cards.
pub(crate) fn document(most: usize) -> impl Strategy<Value = Document> {
    (about(), vec(any_card(), 0..=most), display()).prop_map(|(about, mut cards, display)| {
        for (position, card) in cards.iter_mut().enumerate() {
            card.id = format!("card-{position}");
        }
        Document {
            about,
            sheet: Sheet { cards },
            display,
            ..Document::default()
        }
    })
}
