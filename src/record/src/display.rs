//! The reader's choices of how results are shown. They are kept with the run sheet and are no part of a digest.

use std::collections::BTreeMap;

use glasswick_core::calculators::Field;
use glasswick_core::quantity::{self, Unit};
use glasswick_core::report::Form;
use serde_json::Value;

use crate::document::Fields;

/// How results are shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Display {
    /// How uncertainties are printed.
    pub form: Form,
    /// Chosen units of results: unit codes by `card.output`.
    pub units: BTreeMap<String, String>,
}

const FORMS: [(&str, Form); 3] = [
    ("expanded", Form::Expanded),
    ("parentheses", Form::Parentheses),
    ("relative", Form::Relative),
];

impl Display {
    /// The unit chosen for a result, where one was and the field still has it.
    #[must_use]
    pub fn unit(&self, address: &str, field: &Field) -> Option<&'static Unit> {
        quantity::unit(field.number_kind()?, self.units.get(address)?)
    }

    /// The words of the file for the forms.
    pub(crate) fn forms() -> [&'static str; 3] {
        FORMS.map(|(word, _)| word)
    }

    /// The choices as a JSON object; empty where all are the usual ones.
    pub(crate) fn json(&self) -> Fields {
        let mut fields = Fields::new();
        if self.form != Form::default() {
            let word = FORMS.iter().find(|(_, form)| *form == self.form);
            fields.extend(word.map(|(word, _)| ("form".into(), (*word).into())));
        }
        if !self.units.is_empty() {
            let units = self.units.iter();
            let units = units.map(|(address, code)| (address.clone(), code.as_str().into()));
            fields.insert("units".into(), Value::Object(units.collect()));
        }
        fields
    }

    /// Takes the choices out of a JSON object; what is no choice stays in it.
    pub(crate) fn take(fields: &mut Fields) -> Display {
        let mut display = Display::default();
        let word = fields.get("form").and_then(Value::as_str);
        if let Some((_, form)) = FORMS.iter().find(|(known, _)| Some(*known) == word) {
            display.form = *form;
            fields.shift_remove("form");
        }
        if let Some(Value::Object(units)) = fields.get_mut("units") {
            units.retain(|address, code| match code.as_str() {
                Some(code) => {
                    display.units.insert(address.clone(), code.into());
                    false
                }
                None => true,
            });
            if units.is_empty() {
                fields.shift_remove("units");
            }
        }
        display
    }
}
