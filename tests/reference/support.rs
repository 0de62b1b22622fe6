//! What tests of one card share: filling it in, and reading what it says.

use glasswick_core::calculators;
use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Card, CardResult, Evaluation, Input, Sheet, State, evaluate};

/// A card of this calculator, named after it, with texts entered as a person would.
pub(crate) fn card(calculator: &str, entries: &[(&str, &str)]) -> Card {
    let calculator = calculators::find(calculator).expect("it is in the list");
    let mut card = Card::new(calculator, calculator.id);
    for (path, text) in entries {
        card.enter(calculator, path, text);
    }
    card
}

/// The thickness of one pass of drops that lie 25 µm thick when wet, with the solids taken from another card.
pub(crate) fn one_pass(porosity: &str, solids: Address) -> Card {
    let entries = [
        ("passes", "1"),
        ("drop_volume", "10 pL"),
        ("pitch_x", "20 um"),
        ("pitch_y", "20 um"),
        ("porosity", porosity),
    ];
    let mut card = card("thickness", &entries);
    card.inputs.insert("solids".into(), Input::Link(solids));
    card
}

/// A layer of drops on a pitch of 20 µm, of which a tenth of the wet thickness stays, with the drop volume taken from
/// another card.
pub(crate) fn layer_of(drop: Address) -> Card {
    let entries = [
        ("passes", "1"),
        ("pitch_x", "20 um"),
        ("pitch_y", "20 um"),
        ("solids", "5 %"),
        ("porosity", "50 %"),
    ];
    let mut card = card("thickness", &entries);
    card.inputs.insert("drop_volume".into(), Input::Link(drop));
    card
}

/// A run sheet of this one card, evaluated.
pub(crate) fn alone(card: Card) -> Evaluation {
    evaluate(&Sheet { cards: vec![card] })
}

/// The number that a card gives, in SI.
#[track_caller]
pub(crate) fn number(card: &CardResult, output: &str) -> f64 {
    match card.output(output) {
        Some(output) => output.value,
        None => panic!("no {output}: {:?}", card.state),
    }
}

/// Level and sentence of a check on the first card, with ordinary spaces; none where it is not made.
#[track_caller]
pub(crate) fn check(evaluation: &Evaluation, code: &str) -> Option<(Level, String)> {
    let card = &evaluation.cards[0];
    assert_eq!(card.state, State::Ready);
    let check = card.checks.iter().find(|check| check.code == code)?;
    Some((check.level, plain(&check.sentence)))
}

/// Code and level of every check on the first card.
#[track_caller]
pub(crate) fn checks(evaluation: &Evaluation) -> Vec<(&'static str, Level)> {
    let card = &evaluation.cards[0];
    assert_eq!(card.state, State::Ready);
    card.checks
        .iter()
        .map(|check| (check.code, check.level))
        .collect()
}

/// The first card stops for one reason, with this sentence and a way out.
#[track_caller]
pub(crate) fn stops(evaluation: &Evaluation, path: &str, code: &str, sentence: &str) {
    let State::Stopped(problems) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    let [problem] = problems.as_slice() else {
        panic!("{problems:?}");
    };
    assert_eq!((problem.path.as_str(), problem.code), (path, code));
    assert_eq!(plain(&problem.sentence), sentence);
    assert!(problem.hint.ends_with('.'), "{}", problem.hint);
}

/// A sentence with ordinary spaces between numbers and units.
pub(crate) fn plain(sentence: &str) -> String {
    sentence.replace('\u{202F}', " ")
}

/// A number is as expected, to a part of it.
#[track_caller]
pub(crate) fn near(found: f64, expected: f64, relative: f64, what: &str) {
    let distance = (found - expected).abs();
    assert!(
        distance <= relative * expected.abs(),
        "{what}: {found}, not {expected}"
    );
}
