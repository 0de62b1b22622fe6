//! Every worked case of every calculator holds: documentation that is tested.

use glasswick_core::calculators::{self, Calculator, Case};
use glasswick_core::quantity;
use glasswick_core::sheet::{Card, Sheet, State, evaluate};

#[test]
fn every_worked_case_of_every_calculator_holds() {
    let mut count = 0;
    for calculator in calculators::ALL {
        for case in calculator.cases {
            check(calculator, case);
            count += case.expected.len();
        }
    }
    println!("{count} expected values");
}

fn check(calculator: &Calculator, case: &Case) {
    let name = format!("{}: {}", calculator.id, case.title);
    let evaluation = evaluate(&Sheet {
        cards: vec![Card::example(calculator, case)],
    });
    let card = &evaluation.cards[0];
    assert_eq!(card.state, State::Ready, "{name}");
    for expected in case.expected {
        let output = card.output(expected.output);
        let output = output.unwrap_or_else(|| panic!("{name}: gives no {}", expected.output));
        let kind = output.field.number_kind().expect("outputs are numbers");
        let typed = quantity::parse(expected.value, kind, None);
        let typed = typed.unwrap_or_else(|e| panic!("{name}: {}: {e}", expected.output));
        let unit = typed.unit.unwrap_or(kind.coherent());
        let found = unit.from_si(output.value);
        assert!(
            (found - typed.value).abs() <= expected.within,
            "{name}: {} is {found} {}, expected {} ± {}",
            expected.output,
            unit.symbol,
            typed.value,
            expected.within
        );
    }
}
