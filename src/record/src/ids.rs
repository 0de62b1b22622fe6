//! Identifiers of cards and rows: which are good, how others are repaired, and how links follow.

use std::collections::{HashMap, HashSet};

use serde_json::Value;

/// Characters of a card's or row's identifier.
pub(crate) const LONGEST_ID: usize = 64;

/// Longer links are not looked at when identifiers are repaired.
const LONGEST_LINK: usize = 1024;

/// Identifiers that changed, and how links to them change.
#[derive(Default)]
pub(crate) struct Renamed {
    /// New identifiers of cards, by their old ones.
    pub(crate) cards: HashMap<String, String>,
    /// New identifiers of rows by their old ones, by the new identifier of their card.
    pub(crate) rows: HashMap<String, HashMap<String, String>>,
}

impl Renamed {
    pub(crate) fn is_empty(&self) -> bool {
        self.cards.is_empty() && self.rows.is_empty()
    }

    pub(crate) fn rewrite_links(&self, value: &mut Value) {
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    match value {
                        Value::String(link) if key == "from" => {
                            if let Some(new) = self.link(link) {
                                *link = new;
                            }
                        }
                        other => self.rewrite_links(other),
                    }
                }
            }
            Value::Array(items) => items.iter_mut().for_each(|item| self.rewrite_links(item)),
            _ => {}
        }
    }

    /// The link with its new names.
    fn link(&self, link: &str) -> Option<String> {
        if link.len() > LONGEST_LINK {
            return None;
        }
        // An old identifier may hold points: the longest that fits is meant.
        let renamed = link.rmatch_indices('.').find_map(|(point, _)| {
            let new = self.cards.get(&link[..point])?;
            Some((new.as_str(), &link[point + 1..]))
        });
        let (card, output) = renamed.or_else(|| link.split_once('.'))?;
        let cell = || {
            let (table, rest) = output.split_once('.')?;
            let (row, column) = rest.rsplit_once('.')?;
            let new = self.rows.get(card)?.get(row)?;
            Some(format!("{table}.{new}.{column}"))
        };
        Some(format!(
            "{card}.{}",
            cell().unwrap_or_else(|| output.to_owned())
        ))
    }
}

/// Identifiers given so far.
#[derive(Default)]
pub(crate) struct Ids {
    pub(crate) taken: HashSet<String>,
    /// The last number tried after a stem.
    numbers: HashMap<String, u32>,
}

impl Ids {
    /// The wanted identifier, with a number where it is taken.
    pub(crate) fn free(&mut self, wanted: &str) -> String {
        if self.taken.insert(wanted.to_owned()) {
            return wanted.to_owned();
        }
        // Room for the number.
        let stem = &wanted[..wanted.len().min(LONGEST_ID - 8)];
        let number = self.numbers.entry(stem.to_owned()).or_insert(1);
        loop {
            *number += 1;
            let id = format!("{stem}-{number}");
            if self.taken.insert(id.clone()) {
                return id;
            }
        }
    }
}

fn is_id_character(character: char) -> bool {
    character.is_ascii_alphanumeric() || character == '-' || character == '_'
}

pub(crate) fn is_id(text: &str) -> bool {
    (1..=LONGEST_ID).contains(&text.len()) && text.chars().all(is_id_character)
}

/// A text as an identifier; every run of other characters becomes one `-`.
pub(crate) fn cleaned(text: &str) -> String {
    let mut id = String::new();
    for character in text.chars().take(LONGEST_ID) {
        if is_id_character(character) {
            id.push(character);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    let id = id.trim_end_matches('-');
    if id.is_empty() {
        "unnamed".into()
    } else {
        id.into()
    }
}
