//! What the process strip and the card in hand show, as plain data: made once per change from the run sheet and its
//! evaluation.

mod strips;

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use glasswick_core::calculators::{Drawn, Field, FieldKind, Points};
use glasswick_core::chemistry::jetting::{Window, window};
use glasswick_core::figure::ellipse;
use glasswick_core::problem::{Check, Problem};
use glasswick_core::quantity::Unit;
use glasswick_core::report::{Form, printed};
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{
    Address, Awaited, Card, CardResult, Evaluation, Input, Offer, Row, Sheet, State,
};
use glasswick_core::uncertainty::{BudgetRow, Estimate, Leaf, Origin};
use glasswick_core::working::{self, Line};
use glasswick_record::{Display, Document};

pub(crate) use self::strips::{Cell, Process, Strips};
use crate::known::{Known, Piece, known, pieces};
use crate::standing::Standing;
use crate::storage::Summary;

/// What a card shows.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CardView {
    /// The card as entered.
    pub(crate) card: Card,
    /// Its place in the list, from zero.
    pub(crate) position: usize,
    /// Whether it is the last one.
    pub(crate) last: bool,
    /// How it stands.
    pub(crate) standing: Standing,
    /// What it still waits for.
    pub(crate) awaited: Vec<Awaited>,
    /// What cannot be so.
    pub(crate) problems: Vec<Problem>,
    /// Where its linked numbers come from, by path.
    pub(crate) links: BTreeMap<String, LinkView>,
    /// How its typed numbers were read, by path.
    pub(crate) known: BTreeMap<String, Known>,
    /// The pieces of ware on the run sheet that have a name.
    pub(crate) pieces: Rc<BTreeSet<Piece>>,
    /// Which other cards take its numbers.
    pub(crate) takers: Vec<Taker>,
    /// Its results, those that are not there yet included.
    pub(crate) results: Vec<ResultView>,
    /// What a careful colleague would say.
    pub(crate) checks: Vec<Check>,
    /// The curves it draws.
    pub(crate) curves: Vec<Curve>,
    /// The curves of the cards that it takes numbers from, to be seen over each other: each list of one field.
    pub(crate) overlaid: Vec<Vec<Curve>>,
    /// The map of a card that finds where an ink jets.
    pub(crate) jet_map: Option<JetMap>,
    /// The cells of a card that compares processes.
    pub(crate) strips: Option<Strips>,
    /// The working.
    pub(crate) working: Vec<Line>,
}

/// A curve in a figure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Curve {
    /// What it is called there.
    pub(crate) name: String,
    /// Its field.
    pub(crate) field: &'static Field,
    /// Its points, in SI.
    pub(crate) points: Points,
    /// How it is drawn there.
    pub(crate) drawn: Drawn,
}

/// Inks on the map of Reynolds and Ohnesorge number.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct JetMap {
    /// Names, with Reynolds and Ohnesorge number; the card's own ink leads.
    pub(crate) inks: Vec<(String, [f64; 2])>,
    /// The ellipse of k = 2 about the card's own ink, in natural logarithms; empty where nothing is uncertain.
    pub(crate) ellipse: Vec<(f64, f64)>,
    /// The window chosen.
    pub(crate) window: &'static Window,
}

/// A card in the process strip.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Step {
    /// Its identifier.
    pub(crate) id: String,
    /// Its title.
    pub(crate) title: String,
    /// How it stands.
    pub(crate) standing: Standing,
    /// What the first result is called, or what stands in the way.
    pub(crate) headline: String,
    /// The first result; none where something stands in the way.
    pub(crate) value: Option<String>,
    /// Positions of the cards it takes from, each once.
    pub(crate) takes_from: Vec<usize>,
}

/// A number of a card that another card takes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Taker {
    /// What the number is called on its own card.
    pub(crate) title: String,
    /// The card that takes it.
    pub(crate) card: String,
    /// That card's title.
    pub(crate) card_title: String,
    /// What it is called there.
    pub(crate) entry: String,
}

/// Where a linked number comes from.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LinkView {
    /// The card it comes from.
    pub(crate) card: String,
    /// That card's title.
    pub(crate) card_title: String,
    /// The output's title.
    pub(crate) output: String,
    /// The number; none while it is not there.
    pub(crate) estimate: Option<Estimate>,
    /// The value with its uncertainty as shown, or that it is not there yet.
    pub(crate) shown: String,
}

/// One result.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ResultView {
    /// Its path.
    pub(crate) path: String,
    /// Its field.
    pub(crate) field: &'static Field,
    /// What it is called, with its row where it stands in a table.
    pub(crate) title: String,
    /// The table and the row in which it stands: "Weigh out · Glycerol".
    pub(crate) row: Option<String>,
    /// The numbers; none while the card has no results.
    pub(crate) found: Option<Quantified>,
}

/// A value with its uncertainty and where that comes from, in SI.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Quantified {
    /// The number.
    pub(crate) estimate: Estimate,
    /// Whether there is a Monte Carlo outcome that belongs to the entries as they stand.
    pub(crate) trial_is_current: bool,
    /// The contributions, largest first.
    pub(crate) budget: Vec<Contribution>,
}

/// One row of a budget.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Contribution {
    /// Its card's title; none where it stands on the card of the result itself.
    pub(crate) card: Option<String>,
    /// What it is called there.
    pub(crate) name: String,
    /// Its unit as typed; none for scatter.
    pub(crate) unit: Option<&'static Unit>,
    /// The numbers, in SI.
    pub(crate) row: BudgetRow,
}

/// The process at a glance: every card with its first result.
pub(crate) fn overview(document: &Document, evaluation: &Evaluation) -> Vec<Step> {
    let (sheet, display) = (&document.sheet, &document.display);
    let cards = sheet.cards.iter().zip(&evaluation.cards);
    cards
        .map(|(card, result)| {
            let (headline, value) = headline(evaluation, result, display);
            Step {
                id: card.id.clone(),
                title: card.title.clone(),
                standing: Standing::of(result),
                headline,
                value,
                takes_from: sources(sheet, card),
            }
        })
        .collect()
}

/// What the shelf says of a run sheet: its last result, and the standing that asks for the most.
pub(crate) fn summary(document: &Document, steps: &[Step]) -> Summary {
    let last = steps.iter().rev().find_map(|step| {
        let value = step.value.as_ref()?;
        Some(format!("{}: {} {value}", step.title, step.headline))
    });
    Summary {
        title: document.about.title.clone(),
        date: document.about.date.clone(),
        headline: last.unwrap_or_default(),
        standing: steps
            .iter()
            .map(|step| step.standing)
            .max()
            .map_or("", |standing| standing.word())
            .to_owned(),
        cards: u32::try_from(steps.len()).unwrap_or(u32::MAX),
    }
}

fn headline(
    evaluation: &Evaluation,
    result: &CardResult,
    display: &Display,
) -> (String, Option<String>) {
    match &result.state {
        State::Stopped(problems) => {
            let sentence = problems.first().map(|problem| problem.sentence.clone());
            (sentence.unwrap_or_default(), None)
        }
        State::Waiting(awaited) => {
            let first = awaited.first().map_or("", |awaited| &awaited.what);
            let more = match awaited.len() {
                0 | 1 => String::new(),
                all => format!(" and {} more", all - 1),
            };
            (format!("waits for {first}{more}"), None)
        }
        State::Ready => {
            let shown = result.outputs.first().map(|output| {
                let address = format!("{}.{}", result.id, output.path);
                let unit = display.unit(&address, output.field);
                let estimate = evaluation.estimate(&result.id, &output.path);
                let text = estimate
                    .map(|estimate| printed(output.field, &estimate, unit, display.form).text);
                (output.field.title.to_owned(), text)
            });
            shown.unwrap_or_default()
        }
    }
}

/// What every card shows.
pub(crate) fn views(document: &Document, evaluation: &Evaluation) -> Vec<Rc<CardView>> {
    let pieces = Rc::new(pieces(&document.sheet));
    (0..document.sheet.cards.len())
        .filter_map(|position| view(document, evaluation, position, &pieces))
        .map(Rc::new)
        .collect()
}

/// What the card at a position shows.
pub(crate) fn card_view(
    document: &Document,
    evaluation: &Evaluation,
    position: usize,
) -> Option<CardView> {
    let pieces = Rc::new(pieces(&document.sheet));
    view(document, evaluation, position, &pieces)
}

fn view(
    document: &Document,
    evaluation: &Evaluation,
    position: usize,
    pieces: &Rc<BTreeSet<Piece>>,
) -> Option<CardView> {
    let sheet = &document.sheet;
    let card = sheet.cards.get(position)?;
    let result = evaluation.cards.get(position)?;
    let (awaited, problems) = match &result.state {
        State::Ready => (Vec::new(), Vec::new()),
        State::Waiting(awaited) => (awaited.clone(), Vec::new()),
        State::Stopped(problems) => (Vec::new(), problems.clone()),
    };
    Some(CardView {
        position,
        last: position + 1 == sheet.cards.len(),
        standing: Standing::of(result),
        awaited,
        problems,
        links: links(sheet, evaluation, card),
        known: known(evaluation, result),
        pieces: pieces.clone(),
        takers: takers(sheet, evaluation, card),
        results: results(document, evaluation, card, result),
        checks: result.checks.clone(),
        curves: curves(result),
        overlaid: overlaid(sheet, evaluation, card),
        jet_map: jet_map(evaluation, card, result),
        strips: strips::strips(card, result),
        working: working::lines(result),
        card: card.clone(),
    })
}

/// The curves that a card draws.
fn curves(result: &CardResult) -> Vec<Curve> {
    let curve = |(field, points): &(&'static Field, Points)| Curve {
        name: field.title.to_owned(),
        field,
        points: points.clone(),
        drawn: field.drawn,
    };
    result.curves.iter().map(curve).collect()
}

/// The leading curves of the cards that a card takes numbers from, where two or more of them draw the same.
fn overlaid(sheet: &Sheet, evaluation: &Evaluation, card: &Card) -> Vec<Vec<Curve>> {
    let mut figures: Vec<Vec<Curve>> = Vec::new();
    for source in sources(sheet, card) {
        let drawn = evaluation.cards[source].curves.iter();
        for (field, points) in drawn.filter(|(field, _)| field.drawn == Drawn::Line) {
            let curve = |drawn| Curve {
                name: sheet.cards[source].title.clone(),
                field,
                points: points.clone(),
                drawn,
            };
            match figures.iter_mut().find(|figure| figure[0].field.is(field)) {
                Some(figure) => figure.push(curve(Drawn::LineOver)),
                None => figures.push(vec![curve(Drawn::Line)]),
            }
        }
    }
    figures.retain(|figure| figure.len() > 1);
    figures
}

/// The map of a card that gives Reynolds and Ohnesorge numbers under a window.
fn jet_map(evaluation: &Evaluation, card: &Card, result: &CardResult) -> Option<JetMap> {
    const RE: &str = "reynolds";
    const OH: &str = "ohnesorge";
    let window = window(result.chosen(card.declaration()?.input("window")?)?)?;
    let number = |path: &str| Some(result.output(path)?.value);
    let own = [number(RE)?, number(OH)?];
    let beside = result.outputs.iter().filter_map(|output| {
        let row = output.path.strip_suffix(RE)?.strip_suffix('.')?;
        let numbers = [output.value, number(&format!("{row}.{OH}"))?];
        Some((row_of(card, Some(result), &output.path)?, numbers))
    });
    let inks = core::iter::once((card.title.clone(), own)).chain(beside);
    // On logarithmic axes, what counts is the relative covariance.
    let relative = |one: (&str, f64), other: (&str, f64)| {
        let covariance = evaluation.covariance(&card.id, one.0, other.0)?;
        Some(covariance / (one.1 * other.1))
    };
    let (re, oh) = ((RE, own[0]), (OH, own[1]));
    let both = relative(re, oh)?;
    let covariance = [[relative(re, re)?, both], [both, relative(oh, oh)?]];
    let uncertain = covariance[0][0] > 0.0 || covariance[1][1] > 0.0;
    let ellipse = if uncertain {
        ellipse(own.map(Scalar::ln), covariance, 2.0)
    } else {
        Vec::new()
    };
    Some(JetMap {
        inks: inks.collect(),
        ellipse,
        window,
    })
}

/// The links on a card, with the paths of the entries that they fill.
fn taken(card: &Card) -> impl Iterator<Item = (String, &Address)> {
    entries(card).filter_map(|(path, input)| match input {
        Input::Link(address) => Some((path, address)),
        _ => None,
    })
}

/// Positions of the cards that a card takes from, each once.
fn sources(sheet: &Sheet, card: &Card) -> Vec<usize> {
    let mut sources: Vec<usize> = taken(card)
        .filter_map(|(_, address)| sheet.position(&address.card))
        .collect();
    sources.sort_unstable();
    sources.dedup();
    sources
}

fn takers(sheet: &Sheet, evaluation: &Evaluation, source: &Card) -> Vec<Taker> {
    let named = |card: &Card, path: &str| {
        let field = field_at(card, path);
        let result = evaluation.find(&card.id);
        field.map_or_else(
            || path.to_owned(),
            |field| title_at(card, result, path, field),
        )
    };
    let of = |taker: &Card| -> Vec<Taker> {
        taken(taker)
            .filter(|(_, address)| address.card == source.id)
            .map(|(path, address)| Taker {
                title: named(source, &address.output),
                card: taker.id.clone(),
                card_title: taker.title.clone(),
                entry: named(taker, &path),
            })
            .collect()
    };
    sheet.cards.iter().flat_map(of).collect()
}

/// Every entry on a card with its path, cells included.
pub(crate) fn entries(card: &Card) -> impl Iterator<Item = (String, &Input)> {
    card.inputs.iter().flat_map(|(id, input)| {
        let rows: &[Row] = match input {
            Input::Rows(rows) => rows,
            _ => &[],
        };
        let cells = rows.iter().flat_map(move |row| {
            row.cells
                .iter()
                .map(move |(column, input)| (format!("{id}.{}.{column}", row.id), input))
        });
        core::iter::once((id.clone(), input)).chain(cells)
    })
}

fn links(sheet: &Sheet, evaluation: &Evaluation, card: &Card) -> BTreeMap<String, LinkView> {
    taken(card)
        .map(|(path, address)| (path, link(sheet, evaluation, address)))
        .collect()
}

fn link(sheet: &Sheet, evaluation: &Evaluation, address: &Address) -> LinkView {
    let source = sheet
        .position(&address.card)
        .map(|position| &sheet.cards[position]);
    let declared = source.and_then(|card| field_at(card, &address.output));
    let output = match (source, declared) {
        (Some(card), Some(field)) => {
            title_at(card, evaluation.find(&card.id), &address.output, field)
        }
        _ => address.output.clone(),
    };
    let estimate = evaluation.estimate(&address.card, &address.output);
    let estimate = estimate.filter(|estimate| estimate.value.is_finite());
    let shown = declared
        .zip(estimate)
        .map(|(field, estimate)| printed(field, &estimate, None, Form::Expanded).text);
    LinkView {
        card: address.card.clone(),
        card_title: source
            .map_or(address.card.as_str(), |card| &card.title)
            .to_owned(),
        output,
        estimate,
        shown: shown.unwrap_or_else(|| "not there yet".into()),
    }
}

/// A number as printed where the reader has no choice.
fn shown(evaluation: &Evaluation, address: &Address, field: &Field) -> Option<String> {
    let estimate = evaluation.estimate(&address.card, &address.output)?;
    Some(printed(field, &estimate, None, Form::Expanded).text)
}

/// The declared output or input at `field` or `table.row.column`.
pub(crate) fn field_at(card: &Card, path: &str) -> Option<&'static Field> {
    let mut parts = path.splitn(3, '.');
    let (id, calculator) = (parts.next()?, card.declaration()?);
    let field = calculator.output(id).or_else(|| calculator.input(id))?;
    match (&field.kind, parts.nth(1)) {
        (FieldKind::Table { columns }, Some(column)) => {
            columns.iter().copied().find(|c| c.id == column)
        }
        _ => Some(field),
    }
}

/// What a number is called: its title, and its row where it stands in a table.
fn title_at(card: &Card, result: Option<&CardResult>, path: &str, field: &Field) -> String {
    match row_of(card, result, path) {
        Some(row) => format!("{}, {row}", field.title),
        None => field.title.to_owned(),
    }
}

/// What the row is called in which a number stands: as the card says, or the first text in the row, or its number. Results
/// stand in rows of the entries that they come from.
fn row_of(card: &Card, result: Option<&CardResult>, path: &str) -> Option<String> {
    let mut parts = path.split('.');
    let (table, row) = (parts.next()?, parts.next()?);
    if let Some(name) = result.and_then(|result| result.row_name(table, row)) {
        return Some(name.to_owned());
    }
    let inputs = card.declaration().map_or(&[][..], |known| known.inputs);
    let mut tables: Vec<&Field> = inputs.iter().map(|entry| entry.field).collect();
    tables.sort_by_key(|field| field.id != table);
    let named = tables.into_iter().find_map(|field| {
        let (FieldKind::Table { columns }, Some(Input::Rows(rows))) =
            (&field.kind, card.inputs.get(field.id))
        else {
            return None;
        };
        let position = rows.iter().position(|known| known.id == row)?;
        let name = row_name(columns, &rows[position]);
        Some(name.unwrap_or_else(|| format!("row {}", position + 1)))
    });
    Some(named.unwrap_or_else(|| row.to_owned()))
}

/// What a row is called in a list: "Row 2: Water", or "Row 2" where no text is in it.
pub(crate) fn numbered(what: &str, columns: &[&Field], row: &Row, position: usize) -> String {
    let number = format!("{what} {}", position + 1);
    match row_name(columns, row) {
        Some(name) => format!("{number}: {name}"),
        None => number,
    }
}

/// What a row is called: the first text in it.
pub(crate) fn row_name(columns: &[&Field], row: &Row) -> Option<String> {
    columns
        .iter()
        .find_map(|column| match (&column.kind, row.cells.get(column.id)?) {
            (FieldKind::Text, Input::Text(text)) if !text.trim().is_empty() => Some(text.clone()),
            _ => None,
        })
}

/// The table of results and the row in which a number stands.
fn row_title(card: &Card, result: &CardResult, path: &str) -> Option<String> {
    let table = card.declaration()?.output(path.split('.').next()?)?;
    Some(format!(
        "{} · {}",
        table.title,
        row_of(card, Some(result), path)?
    ))
}

/// The results of a card: those found, or, while there are none, those that are declared.
fn results(
    document: &Document,
    evaluation: &Evaluation,
    card: &Card,
    result: &CardResult,
) -> Vec<ResultView> {
    if result.state == State::Ready {
        let found = result.outputs.iter().map(|output| ResultView {
            path: output.path.clone(),
            field: output.field,
            title: title_at(card, Some(result), &output.path, output.field),
            row: row_title(card, result, &output.path),
            found: Some(quantified(
                document,
                evaluation,
                card,
                &output.path,
                output.value,
            )),
        });
        return found.collect();
    }
    let declared = card
        .declaration()
        .map_or(&[] as &[_], |calculator| calculator.outputs);
    declared
        .iter()
        .filter(|entry| entry.applies(|choice| card.chosen(choice)))
        .filter(|entry| entry.field.number_kind().is_some())
        .map(|entry| ResultView {
            path: entry.field.id.into(),
            field: entry.field,
            title: entry.field.title.into(),
            row: None,
            found: None,
        })
        .collect()
}

fn quantified(
    document: &Document,
    evaluation: &Evaluation,
    card: &Card,
    path: &str,
    value: f64,
) -> Quantified {
    let budget = evaluation.budget(&card.id, path);
    let estimate = budget
        .as_ref()
        .map_or_else(|| Estimate::exact(value), |budget| budget.estimate(value));
    let rows = budget.map_or_else(Vec::new, |budget| budget.rows);
    let trial = document.trials.get(&format!("{}.{path}", card.id));
    Quantified {
        trial_is_current: trial.is_some_and(|trial| trial.is_current(evaluation, &card.id, path)),
        estimate,
        budget: rows
            .into_iter()
            .map(|row| contribution(&document.sheet, evaluation, card, row))
            .collect(),
    }
}

fn contribution(sheet: &Sheet, evaluation: &Evaluation, to: &Card, row: BudgetRow) -> Contribution {
    let (position, name, unit) = match row.origin {
        Origin::Leaf(number) => {
            let leaf = &evaluation.leaves[number];
            (
                leaf.card,
                leaf_name(&sheet.cards[leaf.card], leaf),
                Some(leaf.unit),
            )
        }
        Origin::Scatter(position) => {
            let title = evaluation.cards[position]
                .scatter_title()
                .unwrap_or("Scatter");
            (position, title.to_owned(), None)
        }
    };
    // A named piece of ware belongs to no one card.
    let shared = matches!(row.origin, Origin::Leaf(number) if evaluation.leaves[number].shared);
    let card = &sheet.cards[position];
    Contribution {
        card: (!shared && card.id != to.id).then(|| card.title.clone()),
        name,
        unit,
        row,
    }
}

/// What a leaf is called on its card: its entry, and which effect on it; what is shared by name has no entry.
fn leaf_name(card: &Card, leaf: &Leaf) -> String {
    if leaf.shared {
        return leaf.part.clone();
    }
    let field = field_at(card, &leaf.path);
    let mut name = field.map_or_else(
        || leaf.path.clone(),
        |field| title_at(card, None, &leaf.path, field),
    );
    if !leaf.part.is_empty() {
        name.push_str(": ");
        name.push_str(&leaf.part);
    }
    name
}

impl Contribution {
    /// "card · field", or the field alone where it stands on the same card.
    pub(crate) fn words(&self) -> String {
        match &self.card {
            Some(card) => format!("{card} · {}", self.name),
            None => self.name.clone(),
        }
    }
}

/// A number that an entry could take.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Candidate {
    /// Where it is.
    pub(crate) address: Address,
    /// Its card's title.
    pub(crate) card: String,
    /// Its title.
    pub(crate) title: String,
    /// Whether it was entered there rather than found.
    pub(crate) entered: bool,
    /// Its value as shown.
    pub(crate) shown: String,
}

/// The numbers of other cards that fit an entry: of its kind, and not making a ring.
pub(crate) fn candidates(
    sheet: &Sheet,
    evaluation: &Evaluation,
    card: &str,
    path: &str,
) -> Vec<Candidate> {
    let taker = sheet.position(card).map(|position| &sheet.cards[position]);
    let Some(field) = taker.and_then(|card| field_at(card, path)) else {
        return Vec::new();
    };
    let candidate = |offer: Offer| {
        let source = &sheet.cards[sheet.position(&offer.address.card)?];
        let found = evaluation.find(&source.id)?.output(&offer.address.output);
        Some(Candidate {
            card: offer.card_title,
            title: title_at(
                source,
                evaluation.find(&source.id),
                &offer.address.output,
                offer.field,
            ),
            entered: found.is_none(),
            shown: shown(evaluation, &offer.address, offer.field)?,
            address: offer.address,
        })
    };
    evaluation
        .offers(card, field)
        .into_iter()
        .filter_map(candidate)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::find;
    use glasswick_core::sheet::evaluate;

    /// Two dilutions, the second fed by the target of the first.
    fn chain() -> Document {
        let dilution = find("dilution").unwrap();
        let mut first = Card::new(dilution, "a");
        first.title = "Stock".into();
        for (path, text) in [
            ("find", "target"),
            ("stock", "5.00 ± 0.05 mol/L"),
            ("aliquot", "0.850 L"),
            ("final", "1.80 L"),
        ] {
            first.enter(dilution, path, text);
        }
        let mut second = Card::new(dilution, "b");
        second.title = "Bath".into();
        second.enter(dilution, "find", "target");
        second.enter(dilution, "aliquot", "10 mL");
        second.enter(dilution, "final", "100 mL");
        let address = Address {
            card: "a".into(),
            output: "target".into(),
        };
        second.inputs.insert("stock".into(), Input::Link(address));
        Document {
            sheet: Sheet {
                cards: vec![first, second],
            },
            ..Document::default()
        }
    }

    #[test]
    fn a_chain_is_shown_with_its_source_and_budget() {
        let document = chain();
        let evaluation = evaluate(&document.sheet);
        let (views, steps) = (
            views(&document, &evaluation),
            overview(&document, &evaluation),
        );
        let (stock, bath) = (&views[0], &views[1]);
        assert_eq!(steps[1].takes_from, [0]);
        let taker = &stock.takers[0];
        assert_eq!(
            [&taker.title, &taker.card_title, &taker.entry],
            ["Target concentration", "Bath", "Stock concentration"]
        );
        // 5.00 mol/L · 0.850/1.80 (OpenStax Chemistry 2e, Example 3.19, read), then a tenth of it.
        let found = bath.results[0].found.as_ref().unwrap();
        assert!(
            (found.estimate.value - 236.1).abs() < 0.05,
            "{:?}",
            found.estimate
        );
        let names: Vec<_> = found.budget.iter().map(Contribution::words).collect();
        assert_eq!(names, ["Stock · Stock concentration"]);
        assert_eq!(found.budget[0].row.share, 1.0);
        assert_eq!(steps[1].headline, "Target concentration");
        assert_eq!(
            steps[1].value.as_deref(),
            Some("(236.1 ± 4.7)\u{202F}mmol/L")
        );
    }

    #[test]
    fn only_what_fits_and_makes_no_ring_is_offered() {
        let sheet = chain().sheet;
        let evaluation = evaluate(&sheet);
        let outputs = |card: &str, path: &str| -> Vec<String> {
            let found = candidates(&sheet, &evaluation, card, path);
            found
                .iter()
                .map(|candidate| candidate.address.to_string())
                .collect()
        };
        assert_eq!(outputs("b", "stock"), ["a.target", "a.stock"]);
        assert_eq!(
            outputs("b", "aliquot"),
            ["a.solvent", "a.aliquot", "a.final"]
        );
        assert_eq!(
            outputs("a", "stock"),
            [""; 0],
            "the bath takes from the stock"
        );
        assert_eq!(outputs("b", "find"), [""; 0]);
    }

    #[test]
    fn results_that_are_not_there_keep_their_place() {
        let mut document = chain();
        document.sheet.cards[0].inputs.remove("stock");
        let evaluation = evaluate(&document.sheet);
        let steps = overview(&document, &evaluation);
        let views = views(&document, &evaluation);
        assert_eq!(views[0].standing, Standing::Waiting);
        assert_eq!(steps[0].headline, "waits for Stock concentration");
        assert!(views[0].results.iter().all(|result| result.found.is_none()));
        assert_eq!(views[1].links["stock"].shown, "not there yet");
    }
}
