//! What an open run sheet holds, and the one function that changes it. No browser here: it is tested natively.

use std::collections::BTreeMap;
use std::rc::Rc;

use glasswick_core::calculators::{Calculator, FieldKind};
use glasswick_core::points::Corrections;
use glasswick_core::sheet::{Address, Card, Input, PointsText, Row, Typed};
use glasswick_core::uncertainty::Meaning;
use glasswick_record::{About, Display, Document, Trial};
use yew::Reducible;

use crate::chain::{gather, started};
use crate::picked::without_pick;
use crate::stated::Detail;

/// How many steps back the history goes.
const MOST_STEPS: usize = 200;

/// What an open run sheet holds.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct State {
    /// The run sheet.
    pub(crate) document: Rc<Document>,
    /// Counts changes of the document; what is derived from it compares this number.
    pub(crate) revision: u32,
    /// What the last change took away, in a sentence.
    pub(crate) removed: Option<String>,
    /// The card that was changed last.
    pub(crate) touched: String,
    /// The run sheet as it was before each change, the latest last.
    past: Vec<Rc<Document>>,
    /// What was undone, the latest last.
    future: Vec<Rc<Document>>,
    /// The box that was typed into last: further typing there is the same step.
    typing: Option<String>,
    /// Highest number given to a table row; a row's identifier is never used again.
    last_row: u32,
}

/// A change of the run sheet.
#[derive(Clone, Debug)]
pub(crate) enum Action {
    /// Replaces the run sheet by what stands elsewhere; a step like any other.
    Replace(Rc<Document>),
    /// Changes whose work it is, on what and with what.
    About(Box<About>),
    /// Adds a card at the end.
    Add(&'static Calculator),
    /// Puts a card like this one behind it, emptied of what was measured.
    Another(String),
    /// Takes a card away.
    Remove(String),
    /// Moves a card to a place in the list.
    Move {
        /// The card's identifier.
        card: String,
        /// Where it stands then, from zero.
        to: usize,
    },
    /// Changes what stands on a card.
    Edit {
        /// The card's identifier.
        card: String,
        /// The change.
        edit: Edit,
    },
    /// Shows results otherwise; no step of the history, since nothing is changed by it.
    Display(Display),
    /// Keeps the outcome of a Monte Carlo run of `card.output`; no step of the history, since no entry is changed.
    Tried(String, Box<Trial>),
    /// Goes a step back.
    Undo,
    /// Takes the last step back again.
    Redo,
    /// Lets go of the sentence about what was taken away.
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
    /// What the ± means, with something chosen in a list.
    Meaning(Meaning),
    /// The text of a box about the uncertainty.
    Detail(Detail, String),
    /// All of a number at once: after a conversion, with another sort of uncertainty, where a link is cut and its
    /// value kept, or picked from a table.
    Typed(Typed),
    /// A chosen option, or free text.
    Words(String),
    /// A link to another card's result.
    Link(Address),
    /// The text of measured points.
    Points(String),
    /// The text of a file of points, which takes the place of all that was said about the one before.
    File(String),
    /// How the text of measured points is to be read.
    Corrections(Corrections),
    /// The unit of their first column.
    XUnit(String),
    /// The unit of their second column.
    YUnit(String),
}

impl State {
    /// A run sheet that was just opened.
    pub(crate) fn new(document: Rc<Document>) -> Self {
        State {
            document,
            revision: 0,
            removed: None,
            touched: String::new(),
            past: Vec::new(),
            future: Vec::new(),
            typing: None,
            last_row: 0,
        }
    }

    /// Whether there is a step to go back.
    pub(crate) fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Whether there is an undone step to take again.
    pub(crate) fn can_redo(&self) -> bool {
        !self.future.is_empty()
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
        match action {
            Action::Undo => {
                let before = self.past.pop()?;
                let now = self.step(before);
                self.future.push(now);
            }
            Action::Redo => {
                let after = self.future.pop()?;
                let now = self.step(after);
                self.past.push(now);
            }
            Action::Forget => drop(self.removed.take()?),
            Action::Display(display) => {
                if self.document.display == display {
                    return None;
                }
                self.document().display = display;
            }
            Action::Tried(address, trial) => {
                self.document().trials.insert(address, *trial);
            }
            change => {
                let (typing, before) = (change.typing(), self.document.clone());
                self.removed = None;
                self.change(change)?;
                let goes_on = typing.is_some() && typing == self.typing;
                if !goes_on {
                    if self.past.len() == MOST_STEPS {
                        self.past.remove(0);
                    }
                    self.past.push(before);
                }
                self.typing = typing;
                self.future.clear();
            }
        }
        Some(())
    }

    /// Shows another state of the run sheet; gives the one shown so far.
    fn show(&mut self, document: Rc<Document>) -> Rc<Document> {
        self.revision = self.revision.wrapping_add(1);
        (self.removed, self.typing) = (None, None);
        core::mem::replace(&mut self.document, document)
    }

    /// Another state of the history, with what is no step of it as it is now.
    fn step(&mut self, document: Rc<Document>) -> Rc<Document> {
        let before = self.show(document);
        if self.document.display != before.display || self.document.trials != before.trials {
            let shown = Rc::make_mut(&mut self.document);
            shown.display = before.display.clone();
            shown.trials = before.trials.clone();
        }
        before
    }

    fn change(&mut self, change: Action) -> Option<()> {
        match change {
            Action::Replace(document) => drop(self.show(document)),
            Action::About(about) => self.document().about = *about,
            Action::Add(calculator) => {
                let id = self.document.sheet.free_id(calculator.id);
                let mut card = started(calculator, id);
                gather(&mut card, &self.document.sheet);
                self.cards().push(card);
            }
            Action::Another(id) => {
                let sheet = &self.document.sheet;
                let position = sheet.position(&id)?;
                let mut card = sheet.cards[position].clone();
                card.clear_measured();
                card.id = sheet.free_id(&card.calculator);
                card.title = next_title(&card.title, &sheet.cards);
                self.cards().insert(position + 1, card);
            }
            Action::Remove(id) => {
                let position = self.document.sheet.position(&id)?;
                let card = self.cards().remove(position);
                self.removed = Some(format!("“{}” was removed.", card.title));
            }
            Action::Move { card, to } => {
                let from = self.document.sheet.position(&card)?;
                if from == to || to >= self.document.sheet.cards.len() {
                    return None;
                }
                let card = self.cards().remove(from);
                self.cards().insert(to, card);
            }
            Action::Edit { card, edit } => {
                self.edit(&card, edit)?;
                self.touched = card;
            }
            Action::Display(_)
            | Action::Tried(..)
            | Action::Undo
            | Action::Redo
            | Action::Forget => {
                return None;
            }
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
                rows.remove(position);
                self.removed = Some(format!("Row {} was removed.", position + 1));
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
        let mut row = Row::new(format!("r{next}"), columns);
        for (column, input) in rows.last().iter().flat_map(|last| &last.cells) {
            if let Input::Typed(typed) = input
                && let Input::Typed(cell) =
                    row.cells.entry(column.clone()).or_insert_with(empty_number)
            {
                cell.unit.clone_from(&typed.unit);
                cell.meaning = typed.meaning.clone();
            }
        }
        rows.push(row);
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

/// A title for another card like one with this title: "Tile 4" after "Tile 3", unless there is one.
fn next_title(title: &str, cards: &[Card]) -> String {
    let digits = title.len() - title.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let (name, number) = title.split_at(title.len() - digits);
    let (name, last) = match number.parse::<u32>() {
        Ok(number) => (name.to_owned(), number),
        Err(_) => (format!("{title} "), 1),
    };
    let free = |title: &String| cards.iter().all(|card| card.title != *title);
    let numbered = (1..).map_while(|step| last.checked_add(step));
    let mut titles = numbered.map(|number| format!("{name}{number}"));
    titles.find(free).unwrap_or_else(|| title.to_owned())
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
            // Another number, or the same digits in another unit, is not what the table says.
            Change::Number(text) => Input::Typed(Typed {
                text,
                ..without_pick(number(inputs))
            }),
            Change::Unit(unit) => Input::Typed(Typed {
                unit,
                ..without_pick(number(inputs))
            }),
            Change::PlusMinus(plus_minus) => Input::Typed(Typed {
                plus_minus,
                ..number(inputs)
            }),
            Change::Meaning(meaning) => Input::Typed(Typed {
                meaning,
                ..number(inputs)
            }),
            Change::Detail(detail, text) => {
                let mut typed = number(inputs);
                detail.write(&mut typed, text);
                Input::Typed(typed)
            }
            Change::Typed(typed) => Input::Typed(typed),
            Change::Words(text) => Input::Text(text),
            Change::Link(address) => Input::Link(address),
            Change::Points(text) => Input::Points(PointsText {
                text,
                ..points(inputs)
            }),
            Change::File(text) => Input::Points(PointsText {
                text,
                corrections: Corrections::default(),
                ..points(inputs)
            }),
            Change::Corrections(corrections) => Input::Points(PointsText {
                corrections,
                ..points(inputs)
            }),
            // Another unit beside the points asks anew where the text says one.
            Change::XUnit(x_unit) => {
                let mut points = points(inputs);
                (points.x_unit, points.corrections.x_unit) = (x_unit, None);
                Input::Points(points)
            }
            Change::YUnit(y_unit) => {
                let mut points = points(inputs);
                (points.y_unit, points.corrections.y_unit) = (y_unit, None);
                Input::Points(points)
            }
        };
        inputs.insert(field.to_owned(), input);
    }
}

impl Action {
    /// The box a change types into; none for a change that is a step of its own.
    fn typing(&self) -> Option<String> {
        match self {
            Action::About(_) => Some("about".into()),
            Action::Edit { card, edit } => {
                let place = match edit {
                    Edit::Title(_) => "title",
                    Edit::Note(_) => "note",
                    Edit::Entry { path, change } => match change {
                        Change::Number(_) | Change::Words(_) | Change::Points(_) => path,
                        Change::PlusMinus(_) => return Some(format!("{card} ± {path}")),
                        Change::Detail(detail, _) => {
                            return Some(format!("{card} {detail:?} {path}"));
                        }
                        _ => return None,
                    },
                    _ => return None,
                };
                Some(format!("{card} {place}"))
            }
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::{ALL, find};
    use glasswick_core::quantity::{self, Kind};

    use crate::picked::molar_mass;

    fn after(actions: impl IntoIterator<Item = Action>) -> Rc<State> {
        let start = Rc::new(State::new(Rc::default()));
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
    fn a_checklist_takes_what_the_run_sheet_holds() {
        let area = Action::Edit {
            card: "efficiency".into(),
            edit: Edit::Entry {
                path: "area".into(),
                change: Change::Number("0.25".into()),
            },
        };
        let state = after([
            Action::Add(find("efficiency").unwrap()),
            area,
            Action::Add(find("irradiance").unwrap()),
            Action::Add(find("reporting_checklist").unwrap()),
        ]);
        let list = &state.document.sheet.cards[2].inputs;
        let link = |entry: &str| match list.get(entry) {
            Some(Input::Link(address)) => address.to_string(),
            _ => String::new(),
        };
        assert_eq!(link("area"), "efficiency.area");
        assert_eq!(link("irradiance"), "irradiance.irradiance");
        assert_eq!(link("film_area"), "", "it is not entered there");
    }

    #[test]
    fn another_card_like_one_keeps_what_is_set_and_empties_what_is_measured() {
        let cell = find("efficiency").unwrap();
        let entry = |path: &str, change| Action::Edit {
            card: "efficiency".into(),
            edit: Edit::Entry {
                path: path.into(),
                change,
            },
        };
        let named = Action::Edit {
            card: "efficiency".into(),
            edit: Edit::Title("Tile 9".into()),
        };
        let state = after([
            Action::Add(cell),
            Action::Add(cell),
            named,
            entry("area", Change::Number("0.25".into())),
            entry("points", Change::Points("0 1".into())),
            Action::Another("efficiency".into()),
        ]);
        let cards = &state.document.sheet.cards;
        let titles: Vec<&str> = cards.iter().map(|card| card.title.as_str()).collect();
        assert_eq!(titles, ["Tile 9", "Tile 10", cell.title]);
        let [first, second] = [&cards[0], &cards[1]];
        assert_ne!(first.id, second.id);
        assert_eq!(first.inputs["area"], second.inputs["area"]);
        assert!(
            matches!(&second.inputs["points"], Input::Points(points) if points.text.is_empty())
        );
        assert_eq!(next_title("Tile 9", cards), "Tile 11");
        assert_eq!(next_title("Cell", cards), "Cell 2");
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
        let back = state.reduce(Action::Undo).reduce(Action::Undo);
        let card = &back.document.sheet.cards[0];
        assert!(
            card.at("pairs.r2.thickness").is_some(),
            "the removed row is back"
        );
        let again = back.reduce(add());
        let card = &again.document.sheet.cards[0];
        assert!(card.at("pairs.r4.thickness").is_some(), "r3 was used");
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
    fn cards_move_to_places_that_there_are() {
        let card = |n: usize| match n {
            1 => ALL[0].id.to_owned(),
            n => format!("{}-{n}", ALL[0].id),
        };
        let moved = |n: usize, to: usize| Action::Move { card: card(n), to };
        let titles = |actions: &[Action]| {
            let state = after(three().into_iter().chain(actions.to_vec()));
            titles(&state).join("")
        };
        assert_eq!(titles(&[moved(3, 1)]), "acb");
        assert_eq!(titles(&[moved(1, 2)]), "bca");
        assert_eq!(titles(&[moved(3, 0), moved(3, 2)]), "abc");
        let state = after(three());
        for to in [0, 3] {
            let same = state.clone().reduce(moved(1, to));
            assert!(Rc::ptr_eq(&state, &same), "no change, no new state");
        }
    }

    #[test]
    fn steps_go_back_and_forth_and_typing_is_one_step() {
        let stock = |text: &str| entry(ALL[0].id, "stock", Change::Number(text.into()));
        let shown = |state: &State| match state.document.sheet.cards[0].at("stock") {
            Some(Input::Typed(typed)) => typed.text.clone(),
            _ => String::new(),
        };
        let state = after([
            Action::Add(ALL[0]),
            stock("1"),
            stock("12"),
            entry(ALL[0].id, "stock", Change::Unit("mmol/L".into())),
            stock("125"),
        ]);
        let back = |state: &Rc<State>| state.clone().reduce(Action::Undo);
        let (one, two) = (back(&state), back(&back(&state)));
        assert_eq!((shown(&one), shown(&two)), ("12".into(), "12".into()));
        let three = back(&two);
        assert_eq!(shown(&three), "");
        let empty = back(&three);
        assert!(empty.document.sheet.cards.is_empty() && !empty.can_undo());

        let again = (0..4).fold(empty, |state, _| state.reduce(Action::Redo));
        assert_eq!(again.document, state.document);
        assert!(!again.can_redo());
        let other = back(&again).reduce(stock("7"));
        assert!(!other.can_redo(), "a new step ends what was undone");
    }

    #[test]
    fn typing_into_one_box_about_the_uncertainty_is_one_step() {
        use Detail::{Linearity, Readability, Source};
        let mass = |change: Change| entry("dye_bath", "mass", change);
        let detail = |detail: Detail, text: &str| mass(Change::Detail(detail, text.into()));
        let state = after([
            Action::Add(find("dye_bath").unwrap()),
            mass(Change::Number("5.2".into())),
            mass(Change::Meaning(Meaning::Weighing(Box::default()))),
            detail(Readability, "0"),
            detail(Readability, "0.1"),
            detail(Linearity, "0.2"),
            detail(Source, "c"),
            detail(Source, "certificate"),
        ]);
        let shown = |state: &State| match state.document.sheet.cards[0].at("mass") {
            Some(Input::Typed(typed)) => {
                [Readability, Linearity, Source].map(|detail| detail.text(typed))
            }
            _ => panic!("a number was typed"),
        };
        assert_eq!(shown(&state), ["0.1", "0.2", "certificate"]);
        let mut steps = Vec::new();
        let mut back = state.clone();
        for _ in 0..3 {
            back = back.reduce(Action::Undo);
            steps.push(shown(&back));
        }
        assert_eq!(steps[0], ["0.1", "0.2", ""]);
        assert_eq!(steps[1], ["0.1", "", ""]);
        assert_eq!(steps[2], ["", "", ""]);
        let Some(Input::Typed(typed)) = back.document.sheet.cards[0].at("mass") else {
            panic!("the number is still there");
        };
        assert_eq!(typed.text, "5.2");
    }

    #[test]
    fn the_source_of_a_pick_goes_with_its_number_and_comes_back_with_it() {
        let mass = |change: Change| entry("solution", "molar_mass", change);
        let unit = quantity::unit(Kind::MolarMass, "g/mol").unwrap();
        let picked = molar_mass("TiO2").unwrap().typed(unit);
        let start = || {
            after([
                Action::Add(find("solution").unwrap()),
                mass(Change::Typed(picked.clone())),
            ])
        };
        let shown = |state: &State| match state.document.sheet.cards[0].at("molar_mass") {
            Some(Input::Typed(typed)) => typed.clone(),
            _ => panic!("a number was picked"),
        };
        assert_eq!(shown(&start()), picked);
        for change in [Change::Number("79.9".into()), Change::Unit("kg/mol".into())] {
            let changed = start().reduce(mass(change));
            assert_eq!(shown(&changed).source, "");
            assert_eq!(shown(&changed).plus_minus, picked.plus_minus);
            assert_eq!(shown(&changed.reduce(Action::Undo)), picked);
        }
        let own = start()
            .reduce(mass(Change::Detail(Detail::Source, "label".into())))
            .reduce(mass(Change::Number("79.9".into())));
        assert_eq!(shown(&own).source, "label");
        let before = start().reduce(Action::Undo);
        assert_eq!(before.document.sheet.cards[0].at("molar_mass"), None);
    }

    #[test]
    fn the_history_is_bounded_and_what_was_removed_is_said_once() {
        let many = (0..MOST_STEPS + 5).map(|_| Action::Add(ALL[0]));
        let state = after(many);
        let back = (0..2 * MOST_STEPS).fold(state, |state, _| state.reduce(Action::Undo));
        assert_eq!(back.document.sheet.cards.len(), 5);

        let state = back.reduce(Action::Remove(ALL[0].id.into()));
        assert!(state.removed.is_some());
        let state = state.reduce(named(&format!("{}-2", ALL[0].id), "x"));
        assert_eq!(state.removed, None);
    }

    #[test]
    fn every_action_on_a_card_that_is_not_there_changes_nothing() {
        let state = after(three());
        for action in [
            Action::Remove("x".into()),
            Action::Move {
                card: "x".into(),
                to: 0,
            },
            named("x", "y"),
            entry("x", "stock", Change::Number("1".into())),
            Action::Redo,
        ] {
            assert!(Rc::ptr_eq(&state, &state.clone().reduce(action)));
        }
    }
}
