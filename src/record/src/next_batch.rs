//! The run sheet of the next batch: constants stay, measurements clear.

use crate::document::{About, Document, Room};

/// What is added to the title.
const MARK: &str = "next batch";

impl Document {
    /// This run sheet for the next batch. What was measured on the cards is emptied; of what stands about them, date,
    /// run, substrate, cells and room are. The title says that it is the next batch.
    #[must_use]
    pub fn next_batch(&self) -> Document {
        let mut next = self.clone();
        next.about = About {
            title: next_title(&self.about.title),
            date: String::new(),
            run: String::new(),
            substrate: String::new(),
            cells: String::new(),
            room: Room::default(),
            ..next.about
        };
        next.trials.clear();
        for card in &mut next.sheet.cards {
            card.clear_measured();
        }
        next
    }
}

/// `Tiles` becomes `Tiles, next batch`, that becomes `Tiles, next batch 2`, and so on.
fn next_title(title: &str) -> String {
    let title = title.trim_end();
    if title.is_empty() {
        return "Next batch".into();
    }
    let (stem, number) = match title.rsplit_once(' ') {
        Some((stem, last)) => match last.parse::<u32>() {
            Ok(number) => (stem, number),
            Err(_) => (title, 1),
        },
        None => (title, 1),
    };
    let marked = stem
        .get(stem.len().saturating_sub(MARK.len())..)
        .is_some_and(|end| end.eq_ignore_ascii_case(MARK));
    if marked {
        format!("{stem} {}", number.saturating_add(1))
    } else {
        format!("{title}, {MARK}")
    }
}

#[cfg(test)]
mod tests {
    use super::next_title;

    #[test]
    fn titles_count_batches() {
        for (title, expected) in [
            ("", "Next batch"),
            ("Next batch", "Next batch 2"),
            ("Tiles", "Tiles, next batch"),
            ("Tiles, next batch", "Tiles, next batch 2"),
            ("Tiles, next batch 9", "Tiles, next batch 10"),
            ("Tile 4", "Tile 4, next batch"),
            ("é", "é, next batch"),
            ("Tiles, next batch x", "Tiles, next batch x, next batch"),
        ] {
            assert_eq!(next_title(title), expected);
        }
    }
}
