//! What is kept of a run sheet, and how it is written down: the same in the database and in local storage.

use core::fmt;
use std::collections::BTreeMap;
use std::rc::Rc;

use js_sys::Array;
use wasm_bindgen::{JsCast, JsValue};

use super::js;

/// Raised when older pages could no longer read what is written.
const ROW_VERSION: u32 = 1;

/// Says which write of which tab it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Stamp {
    /// Drawn at random whenever a page starts.
    pub(crate) tab: Rc<str>,
    /// Counts the writes of this tab.
    pub(crate) count: u32,
}

impl Stamp {
    pub(super) fn read(text: &str) -> Option<Self> {
        let (tab, count) = text.split_once('.')?;
        Some(Stamp {
            tab: tab.into(),
            count: count.parse().ok()?,
        })
    }

    /// Whether the same tab wrote this one before the other.
    pub(super) fn precedes(&self, other: &Stamp) -> bool {
        self.tab == other.tab && self.count < other.count
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}.{}", self.tab, self.count)
    }
}

/// What the shelf shows of a run sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Summary {
    /// Its title.
    pub(crate) title: String,
    /// The date of the work.
    pub(crate) date: String,
    /// The result to show first.
    pub(crate) headline: String,
    /// How it stands: a word of the caller's.
    pub(crate) standing: String,
    /// How many cards it has.
    pub(crate) cards: u32,
}

/// A run sheet on its way into storage.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Saving {
    /// Its text.
    pub(crate) text: String,
    /// The blobs it refers to: SHA-256 as hexadecimal digits, and text.
    pub(crate) blobs: Vec<(String, Rc<str>)>,
    /// What the shelf shows.
    pub(crate) summary: Summary,
    /// When it was changed (RFC 3339).
    pub(crate) changed: String,
}

/// A run sheet as it was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Kept {
    /// Its text.
    pub(crate) text: String,
    /// The blobs it refers to; one that was lost is missing here.
    pub(crate) blobs: BTreeMap<String, String>,
    /// What the next save continues.
    pub(crate) stamp: Stamp,
    /// When it was changed.
    pub(crate) changed: String,
    /// When it was thrown away, where it was.
    pub(crate) thrown_away: Option<String>,
}

/// A row that cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unreadable {
    /// Parts are missing or of another type.
    Damaged,
    /// Written by a newer version of this page.
    Newer,
}

/// All about a run sheet but its text and blobs.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) stamp: Stamp,
    pub(super) summary: Summary,
    pub(super) changed: String,
    pub(super) thrown_away: Option<String>,
    pub(super) blobs: Vec<String>,
}

impl Row {
    pub(super) fn read(value: &JsValue) -> Result<Self, Unreadable> {
        match js::whole_in(value, "row_version") {
            Some(version) if version > ROW_VERSION => Err(Unreadable::Newer),
            Some(ROW_VERSION) => Self::parts(value).ok_or(Unreadable::Damaged),
            _ => Err(Unreadable::Damaged),
        }
    }

    fn parts(value: &JsValue) -> Option<Self> {
        let thrown_away = js::get(value, "thrown_away");
        let blobs = js::get(value, "blobs");
        Some(Row {
            stamp: Stamp::read(&js::text_in(value, "stamp")?)?,
            summary: summary(&js::get(value, "summary"))?,
            changed: js::text_in(value, "changed")?,
            thrown_away: match thrown_away.is_null() {
                true => None,
                false => Some(thrown_away.as_string()?),
            },
            blobs: blobs
                .dyn_ref::<Array>()?
                .iter()
                .map(|hash| hash.as_string())
                .collect::<Option<_>>()?,
        })
    }

    pub(super) fn value(&self) -> JsValue {
        js::object(&[
            ("row_version", ROW_VERSION.into()),
            ("stamp", self.stamp.to_string().into()),
            ("changed", self.changed.as_str().into()),
            ("thrown_away", js::text_or_null(self.thrown_away.as_deref())),
            (
                "summary",
                js::object(&[
                    ("title", self.summary.title.as_str().into()),
                    ("date", self.summary.date.as_str().into()),
                    ("headline", self.summary.headline.as_str().into()),
                    ("standing", self.summary.standing.as_str().into()),
                    ("cards", self.summary.cards.into()),
                ]),
            ),
            ("blobs", js::list(self.blobs.iter().map(String::as_str))),
        ])
    }
}

fn summary(value: &JsValue) -> Option<Summary> {
    Some(Summary {
        title: js::text_in(value, "title")?,
        date: js::text_in(value, "date")?,
        headline: js::text_in(value, "headline")?,
        standing: js::text_in(value, "standing")?,
        cards: js::whole_in(value, "cards")?,
    })
}

/// The title in a row that may be of any version.
pub(super) fn title(value: &JsValue) -> String {
    js::text_in(&js::get(value, "summary"), "title").unwrap_or_default()
}

/// Blobs by hash, of an object; what is no text is left out.
pub(super) fn blobs(value: &JsValue) -> BTreeMap<String, String> {
    js::entries(value)
        .iter()
        .map(|pair| js::array(&pair))
        .filter_map(|pair| Some((pair.get(0).as_string()?, pair.get(1).as_string()?)))
        .collect()
}

/// A whole run sheet on its way into storage.
#[derive(Clone, Debug)]
pub(super) struct Record {
    pub(super) row: Row,
    pub(super) text: String,
    pub(super) blobs: Vec<(String, Rc<str>)>,
}

impl Record {
    pub(super) fn new(stamp: Stamp, sheet: &Saving) -> Self {
        Record {
            row: Row {
                stamp,
                summary: sheet.summary.clone(),
                changed: sheet.changed.clone(),
                thrown_away: None,
                blobs: sheet.blobs.iter().map(|(hash, _)| hash.clone()).collect(),
            },
            text: sheet.text.clone(),
            blobs: sheet.blobs.clone(),
        }
    }

    /// As JSON text for local storage, with what a [`Local`] says beside it.
    pub(super) fn json(&self, base: Option<&Stamp>, kept: bool) -> Option<String> {
        let value = self.row.value();
        let base = base.map(Stamp::to_string);
        let texts = js::object(&[]);
        for (hash, blob) in &self.blobs {
            js::set(&texts, hash, &(&**blob).into());
        }
        js::set(&value, "text", &self.text.as_str().into());
        js::set(&value, "texts", &texts);
        js::set(&value, "base", &js::text_or_null(base.as_deref()));
        js::set(&value, "kept", &kept.into());
        js::json(&value)
    }

    pub(super) fn bytes(&self) -> usize {
        self.blobs
            .iter()
            .fold(self.text.len(), |sum, (_, blob)| sum + blob.len())
    }

    pub(super) fn kept(self) -> Kept {
        Kept {
            text: self.text,
            blobs: self
                .blobs
                .into_iter()
                .map(|(hash, blob)| (hash, String::from(&*blob)))
                .collect(),
            stamp: self.row.stamp,
            changed: self.row.changed,
            thrown_away: self.row.thrown_away,
        }
    }
}

/// A run sheet in local storage: whole, and with what it means beside the database.
#[derive(Clone, Debug)]
pub(super) struct Local {
    pub(super) record: Record,
    /// What the database held, as far as was known, when this was written.
    pub(super) base: Option<Stamp>,
    /// Whether the database held the very same.
    pub(super) kept: bool,
}

impl Local {
    pub(super) fn read(text: &str) -> Result<Self, Unreadable> {
        let value = js::parse(text).ok_or(Unreadable::Damaged)?;
        let row = Row::read(&value)?;
        Self::parts(&value, row).ok_or(Unreadable::Damaged)
    }

    fn parts(value: &JsValue, row: Row) -> Option<Self> {
        let base = js::get(value, "base");
        let texts = js::get(value, "texts");
        let blobs = blobs(&texts);
        Some(Local {
            record: Record {
                text: js::text_in(value, "text")?,
                blobs: row
                    .blobs
                    .iter()
                    .filter_map(|hash| Some((hash.clone(), blobs.get(hash)?.as_str().into())))
                    .collect(),
                row,
            },
            base: match base.is_null() {
                true => None,
                false => Some(Stamp::read(&base.as_string()?)?),
            },
            kept: js::get(value, "kept").as_bool()?,
        })
    }

    /// Whether this is the later one, made from what the database holds.
    pub(super) fn continues(&self, stored: &Stamp) -> bool {
        stored.precedes(&self.record.row.stamp)
            || (self.base.as_ref() == Some(stored) && self.record.row.stamp != *stored)
    }
}
