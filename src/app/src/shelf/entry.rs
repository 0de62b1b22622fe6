//! One line of the shelf, of the trash, or of what was set aside.

use yew::prelude::*;

use crate::components::badge;
use crate::route::{New, Route};
use crate::standing::Standing;
use crate::storage::{Aside, Entry};

/// What can be asked of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Asked {
    /// Hand out these run sheets as a file.
    Export(Vec<String>),
    /// Into the trash.
    ThrowAway {
        /// The run sheet.
        id: String,
        /// What it is called.
        title: String,
    },
    /// Out of the trash.
    TakeBack(String),
    /// Delete for good.
    Purge(String),
    /// Hand out a text that was set aside.
    ExportAside(String),
    /// Make a run sheet of a text that was set aside.
    ReadAside(String),
    /// Delete a text that was set aside.
    ForgetAside(String),
}

/// A saved run sheet.
pub(super) fn row(entry: &Entry, ask: &Callback<Asked>) -> Html {
    let (id, title) = (&entry.id, title(entry));
    if entry.newer {
        return html! {
            <li key={id.clone()} class="saved">
                <div class="saved-open">
                    <span class="saved-title">{ title }</span>
                    <span class="saved-facts">{ "Kept by a newer version of this page. Load the page again to get that version." }</span>
                </div>
            </li>
        };
    }
    let summary = &entry.summary;
    let link = |label: &'static str, to: New| {
        html! { <a class="button quiet" href={Route::New(to).to_string()} aria-label={format!("{label}: {title}")}>{ label }</a> }
    };
    let open = Route::Sheet {
        id: id.clone(),
        card: None,
    };
    let thrown = Asked::ThrowAway {
        id: id.clone(),
        title: title.clone(),
    };
    html! {
        <li key={id.clone()} class="saved">
            <a class="saved-open" href={open.to_string()}>
                <span class="saved-title">{ &title }</span>
                <span class="saved-facts">{ facts(entry) }</span>
                if !summary.headline.is_empty() {
                    <span class="saved-result">{ &summary.headline }</span>
                }
            </a>
            { Standing::read(&summary.standing).map(badge).unwrap_or_default() }
            <div class="actions">
                { link("Duplicate", New::CopyOf(id.clone())) }
                { link("Next batch", New::NextBatchOf(id.clone())) }
                { button("Export", &title, ask, Asked::Export(vec![id.clone()])) }
                { button("Delete", &title, ask, thrown) }
            </div>
        </li>
    }
}

/// A run sheet in the trash.
pub(super) fn trash_row(entry: &Entry, ask: &Callback<Asked>) -> Html {
    let (id, title) = (&entry.id, title(entry));
    let when = entry.thrown_away.as_deref().map(moment).unwrap_or_default();
    html! {
        <li key={id.clone()} class="saved">
            <div class="saved-open">
                <span class="saved-title">{ &title }</span>
                <span class="saved-facts">{ format!("in the trash since {when}") }</span>
            </div>
            <div class="actions">
                { button("Put back", &title, ask, Asked::TakeBack(id.clone())) }
                { button("Export", &title, ask, Asked::Export(vec![id.clone()])) }
                { button("Delete for good", &title, ask, Asked::Purge(id.clone())) }
            </div>
        </li>
    }
}

/// A text that was set aside.
pub(super) fn aside_row(aside: &Aside, ask: &Callback<Asked>) -> Html {
    let when = moment(&aside.when);
    let title = format!("{}, {when}", aside.what);
    html! {
        <li key={aside.key.clone()} class="saved">
            <div class="saved-open">
                <span class="saved-title">{ &aside.what }</span>
                <span class="saved-facts">{ format!("set aside {when}, {} bytes", aside.bytes) }</span>
            </div>
            <div class="actions">
                { button("Try to read it", &title, ask, Asked::ReadAside(aside.key.clone())) }
                { button("Export", &title, ask, Asked::ExportAside(aside.key.clone())) }
                { button("Delete for good", &title, ask, Asked::ForgetAside(aside.key.clone())) }
            </div>
        </li>
    }
}

fn button(label: &'static str, title: &str, ask: &Callback<Asked>, asked: Asked) -> Html {
    let onclick = ask.reform(move |_: MouseEvent| asked.clone());
    html! { <button type="button" class="quiet" aria-label={format!("{label}: {title}")} {onclick}>{ label }</button> }
}

fn title(entry: &Entry) -> String {
    match entry.summary.title.trim() {
        "" => "Run sheet without a title".into(),
        title => title.into(),
    }
}

/// "2026-03-12 · 6 cards · changed 2026-03-14 09:20".
fn facts(entry: &Entry) -> String {
    let summary = &entry.summary;
    let mut facts = String::new();
    if !summary.date.trim().is_empty() {
        facts.push_str(summary.date.trim());
        facts.push_str(" · ");
    }
    facts.push_str(&match summary.cards {
        1 => "1 card".into(),
        cards => format!("{cards} cards"),
    });
    facts.push_str(" · changed ");
    facts.push_str(&moment(&entry.changed));
    facts
}

/// Day and minute of an RFC 3339 time; any other text as it is.
fn moment(time: &str) -> String {
    match (time.get(..10), time.get(11..16)) {
        (Some(day), Some(minute)) => format!("{day} {minute}"),
        _ => time.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_is_a_day_and_a_minute() {
        assert_eq!(moment("2026-03-14T09:20:31.5+01:00"), "2026-03-14 09:20");
        assert_eq!(moment("yesterday"), "yesterday");
    }
}
