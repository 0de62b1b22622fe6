//! Every worked case of every calculator holds: documentation that is tested.

use glasswick_core::calculators::{self, Calculator, Case, Step, StepText};
use glasswick_core::problem::Evidence;
use glasswick_core::quantity;
use glasswick_core::sheet::{Card, CardResult, Evaluation, Sheet, State, evaluate};
use glasswick_core::working::{self, Formula};
use wasm_bindgen_test::wasm_bindgen_test;

#[wasm_bindgen_test(unsupported = test)]
fn every_worked_case_of_every_calculator_holds() {
    let (mut all, mut seen) = (0, 0);
    for (calculator, case) in calculators::cases() {
        check(calculator, case);
        all += case.expected.len();
        if matches!(case.source.evidence, Evidence::Read | Evidence::Computed) {
            seen += case.expected.len();
        }
    }
    assert!(
        all >= 60 && seen >= 40,
        "{all} expected values, {seen} from outside"
    );
}

pub(crate) fn evaluated(calculator: &Calculator, case: &Case) -> Evaluation {
    evaluate(&Sheet {
        cards: vec![Card::example(calculator, case)],
    })
}

fn check(calculator: &Calculator, case: &Case) {
    let name = format!("{}: {}", calculator.id, case.title);
    let evaluation = evaluated(calculator, case);
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

#[wasm_bindgen_test(unsupported = test)]
fn every_formula_of_the_working_gives_what_its_calculator_found() {
    for calculator in calculators::ALL {
        for step in calculator.working {
            if let StepText::Formula(text) = step.text {
                let read = Formula::read(text);
                assert!(read.is_ok(), "{}: {text}: {read:?}", calculator.id);
            }
        }
    }
    for (calculator, case) in calculators::cases() {
        let card = &evaluated(calculator, case).cards[0];
        for step in working::steps(card) {
            check_step(card, case, step);
        }
    }
}

fn check_step(card: &CardResult, case: &Case, step: &Step) {
    let StepText::Formula(text) = step.text else {
        return;
    };
    let formula = Formula::read(text).expect("checked above");
    let number = |name: &str| card.number(name).map(|(_, value)| value);
    // A formula of an optional result has no numbers while its input is empty.
    let (Some(shown), Some(found)) = (formula.expression.value(&number), number(formula.result))
    else {
        return;
    };
    let close = (shown - found).abs() <= 1e-12 * shown.abs().max(found.abs());
    assert!(
        close,
        "{} ({}): {text} gives {shown}, found {found}",
        card.id, case.title
    );
}
