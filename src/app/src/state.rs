//! What the page holds, and the one function that changes it. No browser here: it is tested natively.

use std::collections::BTreeMap;
use std::rc::Rc;

use glasswick_core::calculators::{Calculator, FieldKind};
use glasswick_core::sheet::{Address, Card, Input, PointsText, Row, Typed, initial};
use glasswick_core::uncertainty::Meaning;
use glasswick_record::Document;
use yew::Reducible;

/// What the page holds.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct State {
    /// The run sheet that is open.
    pub(crate) document: Rc<Document>,
    /// Counts changes of the document; what is derived from it compares this number.
    pub(crate) revision: u32,
    /// What was taken away last, until something else is.
    pub(crate) removed: Option<Removed>,
    /// The card that was changed last.
    pub(crate) touched: String,
    /// Highest number given to a table row; a row's identifier is never used again.
    last_row: u32,
}

/// Something taken away that can be put back.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Removed {
    /// A card.
    Card {
        /// Where it stood.
        position: usize,
        /// The card.
        card: Card,
    },
    /// A row of a table.
    Row {
        /// The card it stood on.
        card: String,
        /// The table.
        table: String,
        /// Where it stood.
        position: usize,
        /// The row.
        row: Row,
    },
    /// The whole run sheet, replaced by another.
    Sheet(Rc<Document>),
}

/// A change of the page's state.
#[derive(Clone, Debug)]
pub(crate) enum Action {
    /// Replaces the run sheet; the one before can be put back.
    Open(Rc<Document>),
    /// Names the run sheet.
    Title(String),
    /// Adds a card at the end.
    Add(&'static Calculator),
    /// Takes a card away.
    Remove(String),
    /// Moves a card before its neighbour.
    MoveUp(String),
    /// Moves a card behind its neighbour.
    MoveDown(String),
    /// Changes what stands on a card.
    Edit {
        /// The card's identifier.
        card: String,
        /// The change.
        edit: Edit,
    },
    /// Puts back what was taken away last.
    Undo,
    /// Lets go of what was taken away last.
    Forget,
}

/// A change on one card.
#[derive(Clone, Debug)]
pub(crate) enum Edit {
    /// Names the card.
    Title(String),
    /// Writes its note.
    Note(String),
    /// Changes the entry at `field` or `table.row.column`.
    Entry {
        /// The place.
        path: String,
        /// The change.
        change: Change,
    },
    /// Adds an empty row to a table.
    AddRow {
        /// The table's field identifier.
        table: String,
    },
    /// Takes a row away.
    RemoveRow {
        /// The table's field identifier.
        table: String,
        /// The row's identifier.
        row: String,
    },
}

/// A change of one entry.
#[derive(Clone, Debug)]
pub(crate) enum Change {
    /// The text of the value box.
    Number(String),
    /// The unit beside it, as unit code.
    Unit(String),
    /// The text of the ± box.
    PlusMinus(String),
    /// What the ± means.
    Meaning(Meaning),
    /// All of a number at once: after a conversion, or where a link is cut and its value kept.
    Typed(Typed),
    /// A chosen option, or free text.
    Words(String),
    /// A link to another card's result.
    Link(Address),
    /// The text of measured points.
    Points(String),
    /// The unit of their first column.
    XUnit(String),
    /// The unit of their second column.
    YUnit(String),
}

impl State {
    /// A page that holds this run sheet.
    pub(crate) fn new(document: Document) -> Self {
        State {
            document: Rc::new(document),
            revision: 0,
            removed: None,
            touched: String::new(),
            last_row: 0,
        }
    }

    fn document(&mut self) -> &mut Document {
        self.revision = self.revision.wrapping_add(1);
        Rc::make_mut(&mut self.document)
    }

    fn cards(&mut self) -> &mut Vec<Card> {
        &mut self.document().sheet.cards
    }

    /// Applies an action; nothing when it changes nothing.
    fn apply(&mut self, action: Action) -> Option<()> {
        let position = |state: &State, card: &str| state.document.sheet.position(card);
        match action {
            Action::Open(document) => {
                let before = core::mem::replace(&mut self.document, document);
                self.revision = self.revision.wrapping_add(1);
                let empty = before.sheet.cards.is_empty();
                self.removed = (!empty).then_some(Removed::Sheet(before));
            }
            Action::Title(title) => self.document().about.title = title,
            Action::Add(calculator) => {
                let id = self.document.sheet.free_id(calculator.id);
                let card = Card::new(calculator, id.clone());
                self.cards().push(card);
                let tables = calculator.inputs.iter().map(|entry| entry.field);
                for table in tables.filter(|f| matches!(f.kind, FieldKind::Table { .. })) {
                    self.add_row(&id, table.id)?;
                }
            }
            Action::Remove(id) => {
                let position = position(self, &id)?;
                let card = self.cards().remove(position);
                self.removed = Some(Removed::Card { position, card });
            }
            Action::MoveUp(id) => {
                let position = position(self, &id)?;
                let above = position.checked_sub(1)?;
                self.cards().swap(above, position);
            }
            Action::MoveDown(id) => {
                let position = position(self, &id)?;
                let below =
                    (position + 1 < self.document.sheet.cards.len()).then_some(position + 1)?;
                self.cards().swap(position, below);
            }
            Action::Edit { card, edit } => {
                self.edit(&card, edit)?;
                self.touched = card;
            }
            Action::Undo => match self.removed.take()? {
                Removed::Card { position, card } => {
                    let cards = self.cards();
                    cards.insert(position.min(cards.len()), card);
                }
                Removed::Row {
                    card,
                    table,
                    position,
                    row,
                } => {
                    let rows = self.rows(&card, &table)?;
                    rows.insert(position.min(rows.len()), row);
                }
                // The one that is replaced now can be put back in turn: nothing is lost.
                Removed::Sheet(document) => self.apply(Action::Open(document))?,
            },
            Action::Forget => drop(self.removed.take()?),
        }
        Some(())
    }

    fn card(&mut self, id: &str) -> Option<&mut Card> {
        let position = self.document.sheet.position(id)?;
        self.cards().get_mut(position)
    }

    fn rows(&mut self, card: &str, table: &str) -> Option<&mut Vec<Row>> {
        let inputs = &mut self.card(card)?.inputs;
        match inputs
            .entry(table.to_owned())
            .or_insert_with(|| Input::Rows(Vec::new()))
        {
            Input::Rows(rows) => Some(rows),
            _ => None,
        }
    }

    fn edit(&mut self, id: &str, edit: Edit) -> Option<()> {
        match edit {
            Edit::Title(title) => self.card(id)?.title = title,
            Edit::Note(note) => self.card(id)?.note = note,
            Edit::Entry { path, change } => {
                let mut parts = path.splitn(3, '.');
                let field = parts.next()?;
                match (parts.next(), parts.next()) {
                    (Some(row), Some(column)) => {
                        let rows = self.rows(id, field)?;
                        let row = rows.iter_mut().find(|r| r.id == row)?;
                        change.apply(&mut row.cells, column);
                    }
                    _ => change.apply(&mut self.card(id)?.inputs, field),
                }
            }
            Edit::AddRow { table } => self.add_row(id, &table)?,
            Edit::RemoveRow { table, row } => {
                let rows = self.rows(id, &table)?;
                let position = rows.iter().position(|r| r.id == row)?;
                let row = rows.remove(position);
                self.removed = Some(Removed::Row {
                    card: id.into(),
                    table,
                    position,
                    row,
                });
            }
        }
        Some(())
    }

    /// Adds a row that starts with what its columns declare, and with the units of the row before.
    fn add_row(&mut self, card: &str, table: &str) -> Option<()> {
        let declared = self.card(card)?.declaration()?.input(table)?;
        let FieldKind::Table { columns } = declared.kind else {
            return None;
        };
        let number = |row: &Row| row.id.strip_prefix('r').and_then(|n| n.parse::<u32>().ok());
        let last_row = self.last_row;
        let rows = self.rows(card, table)?;
        let highest = rows
            .iter()
            .filter_map(number)
            .max()
            .unwrap_or(0)
            .max(last_row);
        let next = highest.checked_add(1)?;
        let mut cells: BTreeMap<String, Input> = columns
            .iter()
            .filter_map(|column| Some((column.id.to_owned(), initial(column)?)))
            .collect();
        for (column, input) in rows.last().iter().flat_map(|row| &row.cells) {
            if let Input::Typed(typed) = input
                && let Input::Typed(cell) = cells.entry(column.clone()).or_insert_with(empty_number)
            {
                cell.unit.clone_from(&typed.unit);
                cell.meaning = typed.meaning;
            }
        }
        rows.push(Row {
            id: format!("r{next}"),
            cells,
        });
        self.last_row = next;
        Some(())
    }
}

impl Reducible for State {
    type Action = Action;

    fn reduce(self: Rc<Self>, action: Action) -> Rc<Self> {
        let mut next = (*self).clone();
        match next.apply(action) {
            Some(()) => Rc::new(next),
            None => self,
        }
    }
}

fn empty_number() -> Input {
    Input::Typed(Typed::default())
}

impl Change {
    /// Applies the change to the entry of a field. An entry of another sort is replaced.
    fn apply(self, inputs: &mut BTreeMap<String, Input>, field: &str) {
        let number = |inputs: &BTreeMap<String, Input>| match inputs.get(field) {
            Some(Input::Typed(typed)) => typed.clone(),
            _ => Typed::default(),
        };
        let points = |inputs: &BTreeMap<String, Input>| match inputs.get(field) {
            Some(Input::Points(points)) => points.clone(),
            _ => PointsText::default(),
        };
        let input = match self {
            Change::Number(text) => Input::Typed(Typed {
                text,
                ..number(inputs)
            }),
            Change::Unit(unit) => Input::Typed(Typed {
                unit,
                ..number(inputs)
            }),
            Change::PlusMinus(plus_minus) => Input::Typed(Typed {
                plus_minus,
                ..number(inputs)
            }),
            Change::Meaning(meaning) => Input::Typed(Typed {
                meaning,
                ..number(inputs)
            }),
            Change::Typed(typed) => Input::Typed(typed),
            Change::Words(text) => Input::Text(text),
            Change::Link(address) => Input::Link(address),
            Change::Points(text) => Input::Points(PointsText {
                text,
                ..points(inputs)
            }),
            Change::XUnit(x_unit) => Input::Points(PointsText {
                x_unit,
                ..points(inputs)
            }),
            Change::YUnit(y_unit) => Input::Points(PointsText {
                y_unit,
                ..points(inputs)
            }),
        };
        inputs.insert(field.to_owned(), input);
    }
}

impl Removed {
    /// What can be put back, in words.
    pub(crate) fn sentence(&self) -> String {
        match self {
            Removed::Card { card, .. } => format!("“{}” was removed.", card.title),
            Removed::Row { position, .. } => format!("Row {} was removed.", position + 1),
            Removed::Sheet(document) => match document.about.title.as_str() {
                "" => "The run sheet before was put aside.".into(),
                title => format!("“{title}” was put aside."),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::{ALL, find};

    fn after(actions: impl IntoIterator<Item = Action>) -> Rc<State> {
        let start = Rc::new(State::new(Document::default()));
        actions.into_iter().fold(start, Reducible::reduce)
    }

    fn entry(card: &str, path: &str, change: Change) -> Action {
        Action::Edit {
            card: card.into(),
            edit: Edit::Entry {
                path: path.into(),
                change,
            },
        }
    }

    fn titles(state: &State) -> Vec<&str> {
        state
            .document
            .sheet
            .cards
            .iter()
            .map(|card| card.title.as_str())
            .collect()
    }

    fn named(card: &str, title: &str) -> Action {
        Action::Edit {
            card: card.into(),
            edit: Edit::Title(title.into()),
        }
    }

    /// Three cards of the first calculator, called a, b and c.
    fn three() -> Vec<Action> {
        let id = ALL[0].id;
        vec![
            Action::Add(ALL[0]),
            Action::Add(ALL[0]),
            Action::Add(ALL[0]),
            named(id, "a"),
            named(&format!("{id}-2"), "b"),
            named(&format!("{id}-3"), "c"),
        ]
    }

    #[test]
    fn text_stays_as_typed_and_keeps_its_companions() {
        let state = after([
            Action::Add(ALL[0]),
            entry(ALL[0].id, "stock", Change::Unit("mmol/L".into())),
            entry(ALL[0].id, "stock", Change::PlusMinus("1".into())),
            entry(ALL[0].id, "stock", Change::Number(" 1,50 ".into())),
        ]);
        let Some(Input::Typed(typed)) = state.document.sheet.cards[0].inputs.get("stock") else {
            panic!("a number was typed");
        };
        assert_eq!(
            (typed.text.as_str(), typed.unit.as_str()),
            (" 1,50 ", "mmol/L")
        );
        assert_eq!(typed.plus_minus, "1");
    }

    #[test]
    fn an_identifier_of_a_row_is_never_used_again() {
        let thickness = find("thickness").unwrap();
        let edit = |edit: Edit| Action::Edit {
            card: "thickness".into(),
            edit,
        };
        let table = || String::from("pairs");
        let remove = |row: &str| {
            edit(Edit::RemoveRow {
                table: table(),
                row: row.into(),
            })
        };
        let add = || edit(Edit::AddRow { table: table() });
        let unit = entry("thickness", "pairs.r1.thickness", Change::Unit("nm".into()));
        let state = after([Action::Add(thickness), unit, add(), remove("r2"), add()]);
        let Some(Input::Rows(rows)) = state.document.sheet.cards[0].inputs.get("pairs") else {
            panic!("a table was added");
        };
        let ids: Vec<_> = rows.iter().map(|row| row.id.as_str()).collect();
        assert_eq!(ids, ["r1", "r3"]);
        let Some(Input::Typed(cell)) = rows[1].cells.get("thickness") else {
            panic!("the row starts with the unit of the row before");
        };
        assert_eq!((cell.text.as_str(), cell.unit.as_str()), ("", "nm"));
        let state = state.reduce(Action::Undo);
        let card = &state.document.sheet.cards[0];
        assert!(
            card.at("pairs.r2.thickness").is_some(),
            "the removed row is back"
        );
    }

    #[test]
    fn a_removed_card_comes_back_where_it_stood() {
        let mut actions = three();
        actions.push(Action::Remove(format!("{}-2", ALL[0].id)));
        assert_eq!(titles(&after(actions.clone())), ["a", "c"]);
        actions.push(Action::Undo);
        assert_eq!(titles(&after(actions)), ["a", "b", "c"]);
    }

    #[test]
    fn cards_move_among_their_neighbours_only() {
        let mut actions = three();
        actions.push(Action::MoveUp(format!("{}-3", ALL[0].id)));
        assert_eq!(titles(&after(actions.clone())), ["a", "c", "b"]);
        let state = after(actions);
        let same = state.clone().reduce(Action::MoveUp(ALL[0].id.into()));
        assert!(Rc::ptr_eq(&state, &same), "no change, no new state");
    }

    #[test]
    fn putting_a_sheet_aside_loses_nothing() {
        let mut actions = three();
        actions.push(Action::Open(Rc::new(Document::default())));
        assert_eq!(titles(&after(actions.clone())), [""; 0]);
        actions.push(Action::Title("new".into()));
        actions.push(Action::Undo);
        assert_eq!(titles(&after(actions)), ["a", "b", "c"]);
    }

    #[test]
    fn every_action_on_a_card_that_is_not_there_changes_nothing() {
        let state = after(three());
        for action in [
            Action::Remove("x".into()),
            Action::MoveDown("x".into()),
            named("x", "y"),
            entry("x", "stock", Change::Number("1".into())),
            Action::Undo,
        ] {
            assert!(Rc::ptr_eq(&state, &state.clone().reduce(action)));
        }
    }
}
