//! Whatever is typed, linked or chosen: no panic, and every card says how it stands.

use glasswick_core::calculators::{self, Calculator, Field, FieldKind};
use glasswick_core::sheet::{Address, Card, Input, Sheet, State, evaluate};
use glasswick_core::working;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;

/// What people and accidents put into boxes.
const NUMBERS: &[&str] = &[
    "",
    " ",
    "0",
    "-0",
    "1",
    "7",
    "2.5",
    "-3",
    "1e-300",
    "1e300",
    "1e999",
    "NaN",
    "inf",
    "5 ± 0",
    "5 ± 1e300",
    "5 ± 30 %",
    "45 ± 1 %",
    "(60 ± 70) %",
    "1,234",
    "0,5(1)",
    "2 mg",
    "3 ± 1 mL",
    "1 µm ± 100 µm",
    "10 nm2",
    "🦊",
    "± 2",
    "99999999999999999999999999",
];

const POINTS: &[&str] = &[
    "",
    "x",
    "0 1",
    "0 1\n1 0",
    "0 1\n0 1\n0 1\n0 1\n0 1",
    "0 1e308\n1 1e308\n2 -1e308\n3 -1e308\n4 0",
    "0 1\n0.1 1\n0.2 0.9\n0.3 0.5\n0.4 0\n0.5 -1",
    "0 -1\n0.1 -1\n0.2 -0.9\n0.3 -0.5\n0.4 0\n0.5 1",
    "1e-320 1\n2e-320 0\n3e-320 -1\n4e-320 -2",
];

impl Generator {
    fn pick<'a>(&mut self, among: &[&'a str]) -> &'a str {
        let place = self.between(1.0, among.len() as f64 + 0.999);
        among[(place as usize - 1).min(among.len() - 1)]
    }

    fn text(&mut self, field: &Field) -> String {
        match field.kind {
            FieldKind::Choice { options } => {
                let ids: Vec<&str> = options.iter().map(|option| option.id).collect();
                self.pick(&ids).into()
            }
            FieldKind::Curve { .. } => self.pick(POINTS).into(),
            _ => self.pick(NUMBERS).into(),
        }
    }

    fn card(&mut self, calculator: &'static Calculator, id: &str) -> Card {
        let mut card = Card::new(calculator, id);
        for entry in calculator.inputs {
            let field = entry.field;
            if let FieldKind::Table { columns } = field.kind {
                for row in ["a", "b", "c"] {
                    for column in columns {
                        let path = format!("{}.{row}.{}", field.id, column.id);
                        card.enter(calculator, &path, &self.text(column));
                    }
                }
            } else {
                card.enter(calculator, field.id, &self.text(field));
            }
        }
        card
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn no_entry_makes_a_card_fail_otherwise_than_in_words() {
    let mut numbers = Generator::new(271_828);
    let (mut ready, mut stopped) = (0, 0);
    for round in 0..400 {
        let mut cards: Vec<Card> = calculators::ALL
            .iter()
            .map(|calculator| numbers.card(calculator, calculator.id))
            .collect();
        // A link from somewhere to somewhere, fitting or not.
        let (taker, source) = (round % cards.len(), (round / 7) % cards.len());
        let inputs = calculators::ALL[taker].inputs;
        let field = inputs[round % inputs.len()].field;
        let output = &calculators::ALL[source].outputs[0];
        let address = Address {
            card: calculators::ALL[source].id.into(),
            output: output.field.id.into(),
        };
        cards[taker]
            .inputs
            .insert(field.id.into(), Input::Link(address));

        let evaluation = evaluate(&Sheet { cards });
        for card in &evaluation.cards {
            match &card.state {
                State::Ready => {
                    ready += 1;
                    assert!(card.outputs.iter().all(|output| output.value.is_finite()));
                }
                State::Waiting(awaited) => assert!(!awaited.is_empty(), "{}", card.id),
                State::Stopped(problems) => {
                    stopped += 1;
                    for problem in problems {
                        let whole = problem.sentence.ends_with('.') && problem.hint.ends_with('.');
                        assert!(whole, "{}: {problem}", card.id);
                    }
                }
            }
            for output in &card.outputs {
                let _ = evaluation.budget(&card.id, &output.path);
            }
            let _ = working::lines(card);
        }
    }
    assert!(ready > 0 && stopped > 0, "{ready} ready, {stopped} stopped");
}
