//! Recomputing a record: the run sheet in it is evaluated again, and what it states is compared.
//!
//! Numbers agree when they agree within the printed digits: a number with an uncertainty u to half a unit of the
//! place of u's second digit, an exact one to 1e-9 of its size. Each printed text must be what the recorded number
//! prints as, so that a change of the text alone is found as well. States, and the codes of checks and problems,
//! must be the same. Sentences and the working may be worded otherwise by another version and are left to the digest.

use std::collections::HashMap;

use glasswick_core::calculators;
use glasswick_core::quantity::{self, shortest};
use glasswick_core::report::{Form, printed_with};
use glasswick_core::sheet::{Evaluation, Sheet, evaluate};
use glasswick_core::uncertainty::Estimate;
use serde_json::Value;

use crate::read::{parse, sheet_of_record};
use crate::{Document, FORMAT, Origin, RECORD_FORMAT, RestoreError, digest, record_json};

/// What recomputing a record found.
#[derive(Clone, Debug, PartialEq)]
pub struct Verification {
    /// Whether the digest is that of the record as it stands; none where it states no digest.
    pub digest_matches: Option<bool>,
    /// What the record states otherwise than it was recomputed.
    pub differences: Vec<Difference>,
    /// Version of the page or command that wrote it, as stated.
    pub app_version: String,
    /// When it was exported, as stated.
    pub exported: String,
    /// What was repaired in its run sheet, and calculators that have another version now, in sentences.
    pub notes: Vec<String>,
    /// Its run sheet.
    pub document: Document,
}

impl Verification {
    /// Whether nothing differs and the digest, where stated, matches.
    #[must_use]
    pub fn agrees(&self) -> bool {
        self.differences.is_empty() && self.digest_matches != Some(false)
    }
}

/// One thing that a record states otherwise than it was recomputed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Where: `cards/dilution/results/aliquot/value`.
    pub path: String,
    /// What the record states; empty where it states nothing.
    pub recorded: String,
    /// What was recomputed; empty where there is nothing.
    pub recomputed: String,
}

/// Recomputes a record and compares.
///
/// # Errors
/// A [`RestoreError`] when the text is no record, too new, or beyond a bound.
pub fn verify(text: &str) -> Result<Verification, RestoreError> {
    let recorded = parse(text)?;
    match recorded.get("format").and_then(Value::as_str) {
        Some(RECORD_FORMAT) => {}
        Some(FORMAT) => return Err(RestoreError::NotARecord),
        _ => return Err(RestoreError::NotOurs),
    }
    let restored = sheet_of_record(recorded.clone())?;
    let recorded = Value::Object(recorded);
    let stated = |pointer: &str| text_at(recorded.pointer(pointer));
    let (app_version, exported) = (stated("/app/version"), stated("/exported"));
    let digest_matches = recorded
        .get("digest")
        .map(|stated| *stated == digest(&recorded));
    let origin = Origin {
        app_version: &app_version,
        exported: &exported,
    };
    let evaluation = evaluate(&restored.document.sheet);
    let recomputed = record_json(&restored.document, &evaluation, &origin);

    let mut comparison = Comparison {
        differences: Vec::new(),
        notes: restored.notes,
    };
    comparison.cards(&recorded, &recomputed, &restored.document.sheet);
    comparison.trials(&restored.document, &evaluation);
    Ok(Verification {
        digest_matches,
        differences: comparison.differences,
        app_version,
        exported,
        notes: comparison.notes,
        document: restored.document,
    })
}

struct Comparison {
    differences: Vec<Difference>,
    notes: Vec<String>,
}

impl Comparison {
    fn cards(&mut self, recorded: &Value, recomputed: &Value, sheet: &Sheet) {
        for (path, pair) in pairs(recorded, recomputed, "cards", "id", "cards") {
            let Some((was, is)) = self.both(&path, pair) else {
                continue;
            };
            self.version(&path, was, is);
            self.same(
                &format!("{path}/calculator"),
                &was["calculator"]["id"],
                &is["calculator"]["id"],
            );
            self.same(&format!("{path}/state"), &was["state"], &is["state"]);
            self.codes(&path, "checks", was, is);
            self.codes(&path, "problems", was, is);
            let calculator = is["id"]
                .as_str()
                .and_then(|id| sheet.position(id))
                .and_then(|position| calculators::find(&sheet.cards[position].calculator));
            for list in ["inputs", "results"] {
                let inside = format!("{path}/{list}");
                for (path, pair) in pairs(was, is, list, "path", &inside) {
                    let Some((was, is)) = self.both(&path, pair) else {
                        continue;
                    };
                    self.number(&path, was, is);
                    self.coverage(&path, was, is);
                    if list == "results" {
                        let field = text_at(is.get("path"));
                        let field = calculator.and_then(|c| find_output(c, &field));
                        self.printed(&path, field, was, is);
                    }
                }
            }
        }
    }

    /// Runs the Monte Carlo runs of the record again; the same seed must give the same numbers.
    fn trials(&mut self, document: &Document, evaluation: &Evaluation) {
        for (address, trial) in &document.trials {
            let path = format!("monte_carlo/{address}");
            let Some((card, output)) = address.split_once('.') else {
                self.add(&path, "stated".into(), String::new());
                continue;
            };
            if !trial.is_current(evaluation, card, output) {
                self.notes.push(format!(
                    "{path}: it was run before the entries were changed last, and was not run again."
                ));
                continue;
            }
            let was = &trial.outcome;
            let Some(Ok(is)) = trial.replay(evaluation, card, output) else {
                self.add(&path, "stated".into(), String::new());
                continue;
            };
            for (name, was, is) in [
                ("mean", was.mean, is.mean),
                ("standard_uncertainty", was.uncertainty, is.uncertainty),
                ("symmetric/low", was.symmetric.low, is.symmetric.low),
                ("symmetric/high", was.symmetric.high, is.symmetric.high),
                ("shortest/low", was.shortest.low, is.shortest.low),
                ("shortest/high", was.shortest.high, is.shortest.high),
            ] {
                if was != is {
                    self.add(&format!("{path}/{name}"), shortest(was), shortest(is));
                }
            }
            if was.draws != is.draws {
                self.add(
                    &format!("{path}/draws"),
                    was.draws.to_string(),
                    is.draws.to_string(),
                );
            }
        }
    }

    fn add(&mut self, path: &str, recorded: String, recomputed: String) {
        self.differences.push(Difference {
            path: path.into(),
            recorded,
            recomputed,
        });
    }

    /// Both of a pair; a missing one is a difference.
    fn both<'a>(&mut self, path: &str, pair: Pair<'a>) -> Option<(&'a Value, &'a Value)> {
        match pair {
            (Some(was), Some(is)) => return Some((was, is)),
            (Some(_), None) => self.add(path, "stated".into(), String::new()),
            (None, _) => self.add(path, String::new(), "found".into()),
        }
        None
    }

    fn version(&mut self, path: &str, was: &Value, is: &Value) {
        let version = |card: &Value| card["calculator"]["version"].as_u64();
        if let (Some(was), Some(is)) = (version(was), version(is))
            && was != is
        {
            self.notes.push(format!(
                "{path}: recorded with version {was} of its calculator, recomputed with version {is}."
            ));
        }
    }

    fn same(&mut self, path: &str, was: &Value, is: &Value) {
        if was != is {
            self.add(path, words(was), words(is));
        }
    }

    fn codes(&mut self, path: &str, list: &str, was: &Value, is: &Value) {
        let codes = |card: &Value| -> Vec<String> {
            let items = card
                .get(list)
                .and_then(Value::as_array)
                .into_iter()
                .flatten();
            items.map(|item| text_at(item.get("code"))).collect()
        };
        let (was, is) = (codes(was), codes(is));
        if was != is {
            self.add(&format!("{path}/{list}"), was.join(", "), is.join(", "));
        }
    }

    /// Compares a number in its unit and in SI, value and uncertainty each.
    fn number(&mut self, path: &str, was: &Value, is: &Value) {
        for key in ["unit", "si_unit", "from"] {
            // Another version may print a result in another unit; its SI value and unit still tell.
            let reprinted = key == "unit" && was["si_unit"] == is["si_unit"];
            if !reprinted {
                self.same(&format!("{path}/{key}"), &was[key], &is[key]);
            }
        }
        self.value_and_uncertainty(path, "si_value", "si_standard_uncertainty", was, is);
        if was["unit"] == is["unit"] {
            self.value_and_uncertainty(path, "value", "standard_uncertainty", was, is);
        }
    }

    fn value_and_uncertainty(
        &mut self,
        path: &str,
        value: &str,
        uncertainty: &str,
        was: &Value,
        is: &Value,
    ) {
        let u = is[uncertainty].as_f64().unwrap_or(0.0);
        for key in [value, uncertainty] {
            let agree = match (was[key].as_f64(), is[key].as_f64()) {
                (Some(was), Some(is)) => (was - is).abs() <= tolerance(is, u),
                _ => was[key] == is[key],
            };
            if !agree {
                self.add(&format!("{path}/{key}"), words(&was[key]), words(&is[key]));
            }
        }
    }

    /// The coverage factor, where the record states one.
    fn coverage(&mut self, path: &str, was: &Value, is: &Value) {
        let (recorded, recomputed) = (&was["coverage_factor"], &is["coverage_factor"]);
        let agree = match (recorded.as_f64(), recomputed.as_f64()) {
            (Some(was), Some(is)) => (was - is).abs() <= 1e-9 * is,
            (stated, _) => stated.is_none() && recorded.is_null(),
        };
        if !agree {
            let path = format!("{path}/coverage_factor");
            self.add(&path, words(recorded), words(recomputed));
        }
    }

    /// The printed text against the recorded number.
    fn printed(
        &mut self,
        path: &str,
        field: Option<&'static calculators::Field>,
        was: &Value,
        is: &Value,
    ) {
        let Some(field) = field else {
            return self.same(&format!("{path}/printed"), &was["printed"], &is["printed"]);
        };
        let unit = was["unit"].as_str();
        let unit = unit.and_then(|code| quantity::unit(field.number_kind()?, code));
        let number = |key: &str| was[key].as_f64().unwrap_or(f64::NAN);
        let estimate = Estimate {
            uncertainty: number("si_standard_uncertainty"),
            ..Estimate::exact(number("si_value"))
        };
        // Records of the first version printed the standard uncertainty.
        let factor = was["coverage_factor"].as_f64().unwrap_or(1.0);
        let text = printed_with(field, &estimate, factor, unit, Form::Expanded).text;
        self.same(
            &format!("{path}/printed"),
            &was["printed"],
            &Value::from(text),
        );
    }
}

/// The output at `output` or `table.row.column`.
fn find_output(
    calculator: &'static calculators::Calculator,
    path: &str,
) -> Option<&'static calculators::Field> {
    let mut parts = path.split('.');
    let field = calculator.output(parts.next()?)?;
    match (&field.kind, parts.next_back()) {
        (calculators::FieldKind::Table { columns }, Some(column)) => {
            columns.iter().copied().find(|c| c.id == column)
        }
        _ => Some(field),
    }
}

/// What is at one place of the record, and of the recomputed one.
type Pair<'a> = (Option<&'a Value>, Option<&'a Value>);

/// Items of a list, paired by the text under `key`: first those recomputed, then those only recorded.
fn pairs<'a>(
    recorded: &'a Value,
    recomputed: &'a Value,
    list: &str,
    key: &str,
    place: &str,
) -> Vec<(String, Pair<'a>)> {
    let items = |of: &'a Value| of.get(list).and_then(Value::as_array).into_iter().flatten();
    let mut was: HashMap<String, &Value> = HashMap::new();
    let mut order = Vec::new();
    for item in items(recorded) {
        let name = text_at(item.get(key));
        if was.insert(name.clone(), item).is_none() {
            order.push(name);
        }
    }
    let path = |name: &str| format!("{place}/{name}");
    let mut found: Vec<(String, Pair<'a>)> = items(recomputed)
        .map(|item| {
            let name = text_at(item.get(key));
            (path(&name), (was.remove(&name), Some(item)))
        })
        .collect();
    let rest = order
        .into_iter()
        .filter_map(|name| Some((path(&name), (Some(was.remove(&name)?), None))));
    found.extend(rest);
    found
}

/// How far a number may be off: half a unit of the place of the second digit of u, or 1e-9 of an exact number.
fn tolerance(value: f64, u: f64) -> f64 {
    if u > 0.0 {
        let scientific = format!("{u:e}");
        let exponent = scientific
            .split_once('e')
            .and_then(|(_, e)| e.parse::<i32>().ok());
        exponent
            .and_then(|e| format!("5e{}", e - 2).parse().ok())
            .unwrap_or(0.0)
    } else {
        value.abs() * 1e-9
    }
}

fn text_at(value: Option<&Value>) -> String {
    value.and_then(Value::as_str).unwrap_or_default().to_owned()
}

fn words(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Null => String::new(),
        Value::Number(number) => number.as_f64().map_or_else(|| number.to_string(), shortest),
        other => other.to_string(),
    }
}
