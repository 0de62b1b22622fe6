//! The working of every worked case: nothing a card gives is without it, and what is drawn says what is printed.

use core::iter::Peekable;
use core::str::Chars;

use glasswick_core::calculators;
use glasswick_core::working::{self, Equation, Line};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::cases::evaluated;
use crate::support::{alone, card, plain};

#[wasm_bindgen_test(unsupported = test)]
fn every_output_of_every_case_has_working() {
    for (calculator, case) in calculators::cases() {
        let card = &evaluated(calculator, case).cards[0];
        let name = format!("{}: {}", calculator.id, case.title);
        let formulas: Vec<&str> = working::lines(card)
            .iter()
            .filter_map(|line| match line {
                Line::Formula(worked) => Some(worked.field.id),
                Line::Method { .. } => None,
            })
            .collect();
        let methods: Vec<&str> = working::steps(card)
            .flat_map(|step| step.gives)
            .map(|field| field.id)
            .collect();
        let numbers = card.outputs.iter().map(|output| output.path.as_str());
        for path in numbers.chain(card.curves.iter().map(|(field, _)| field.id)) {
            let id = path.split('.').next().unwrap();
            let ways = formulas
                .iter()
                .chain(&methods)
                .filter(|found| **found == id);
            assert_eq!(ways.count(), 1, "{name}: ways to {path}");
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_formula_ends_with_the_number_that_the_card_gives() {
    for (calculator, case) in calculators::cases() {
        let card = &evaluated(calculator, case).cards[0];
        for line in working::lines(card) {
            let Line::Formula(worked) = line else {
                continue;
            };
            let value = card.output(worked.field.id).unwrap().value;
            let unit = worked.field.unit_for(value).unwrap();
            assert_eq!(worked.result.text, format!("= {}", unit.say(value, 6)));
            assert!(worked.whole().text.ends_with(&worked.result.text));
        }
    }
}

/// 25 °C is not 25 times anything: a formula takes it in kelvin, and says its own result as the card does.
#[wasm_bindgen_test(unsupported = test)]
fn temperatures_stand_in_formulas_in_kelvin() {
    let points = [
        ("find", "temperature"),
        ("points.a.temperature", "20 °C"),
        ("points.a.viscosity", "20 mPa.s"),
        ("points.b.temperature", "45 °C"),
        ("points.b.viscosity", "10 mPa.s"),
        ("viscosity", "10 mPa.s"),
    ];
    let evaluation = alone(card("viscosity", &points));
    let lines = working::lines(&evaluation.cards[0]);
    let text = |id: &str| {
        let line = lines.iter().find_map(|line| match line {
            Line::Formula(worked) if worked.field.id == id => line.numbers(),
            _ => None,
        });
        plain(&line.expect("it is worked"))
    };
    assert!(
        text("temperature").ends_with("= 45 °C"),
        "{}",
        text("temperature")
    );
    assert!(
        text("per_kelvin").contains("/ (318.15 K)²"),
        "{}",
        text("per_kelvin")
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn every_drawing_is_well_formed_and_says_what_the_text_says() {
    let mut drawn = 0;
    for (calculator, case) in calculators::cases() {
        let card = &evaluated(calculator, case).cards[0];
        for line in working::lines(card) {
            for equation in line.equations() {
                check(equation);
                drawn += 1;
            }
        }
    }
    assert!(drawn > 500, "{drawn}");
}

#[track_caller]
fn check(equation: &Equation) {
    let document = equation.mathml();
    let read = Element::read(&document).unwrap_or_else(|at| panic!("{document}: from “{at}” on"));
    assert_eq!(read.name, "math");
    let attributes = [
        ("xmlns", working::NAMESPACE),
        ("display", "block"),
        ("alttext", &equation.text),
    ];
    assert_eq!(
        read.attributes,
        attributes.map(|(a, b)| (a.into(), b.into()))
    );
    assert_eq!(tokens(&read.text), tokens(&equation.text), "{document}");
}

/// Letters, digits and signs, raised and lowered ones as plain ones, without what a drawing shows by its layout.
fn tokens(text: &str) -> String {
    const PLAIN: [(&str, &str); 3] = [
        ("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789−"),
        ("₀₁₂₃₄₅₆₇₈₉", "0123456789"),
        ("ᵢₚᵣₛᵥₓ", "iprsvx"),
    ];
    let plain = |c: char| {
        let found = PLAIN.iter().find_map(|(from, to)| {
            let position = from.chars().position(|one| one == c)?;
            to.chars().nth(position)
        });
        found.unwrap_or(c)
    };
    let kept = |c: &char| !"()/^√_ \u{202F}\u{2061}".contains(*c);
    text.chars().filter(kept).map(plain).collect()
}

/// An element of XML: enough of the language to tell what is well formed among what we write.
#[derive(Debug, Default)]
struct Element {
    name: String,
    attributes: Vec<(String, String)>,
    /// All text in it, in the order of the document.
    text: String,
}

impl Element {
    /// Reads one document; the error is the rest from which on it is not well formed.
    fn read(document: &str) -> Result<Element, String> {
        let mut rest = document.chars().peekable();
        let element = Element::next(&mut rest);
        match (element, rest.peek()) {
            (Some(element), None) => Ok(element),
            _ => Err(rest.collect()),
        }
    }

    fn next(rest: &mut Peekable<Chars<'_>>) -> Option<Element> {
        let mut element = Element::default();
        rest.next_if_eq(&'<')?;
        element.name = word(rest);
        while rest.next_if_eq(&' ').is_some() {
            let name = word(rest);
            rest.next_if_eq(&'=')?;
            rest.next_if_eq(&'"')?;
            let value = text(rest, '"')?;
            rest.next_if_eq(&'"')?;
            element.attributes.push((name, value));
        }
        rest.next_if_eq(&'>')?;
        loop {
            element.text += &text(rest, '<')?;
            let mut ahead = rest.clone();
            ahead.next();
            if ahead.next_if_eq(&'/').is_some() {
                *rest = ahead;
                let same = word(rest) == element.name;
                rest.next_if_eq(&'>')?;
                return same.then_some(element);
            }
            element.text += &Element::next(rest)?.text;
        }
    }
}

fn word(rest: &mut Peekable<Chars<'_>>) -> String {
    core::iter::from_fn(|| rest.next_if(char::is_ascii_alphabetic)).collect()
}

/// Text up to a character, its references resolved; none where a sign stands in it that must be a reference.
fn text(rest: &mut Peekable<Chars<'_>>, end: char) -> Option<String> {
    let mut text = String::new();
    while let Some(c) = rest.next_if(|c| *c != end) {
        text.push(match c {
            '&' => {
                let name = word(rest);
                rest.next_if_eq(&';')?;
                match name.as_str() {
                    "amp" => '&',
                    "lt" => '<',
                    "gt" => '>',
                    "quot" => '"',
                    _ => return None,
                }
            }
            '<' | '>' => return None,
            other => other,
        });
    }
    Some(text)
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_not_well_formed_is_seen() {
    for document in [
        "<a>",
        "<a></b>",
        "<a><b></a></b>",
        "<a>&</a>",
        "<a>1 > 0</a>",
        "<a x=\"<\"></a>",
        "<a></a><b></b>",
        "<a x=1></a>",
    ] {
        assert!(Element::read(document).is_err(), "{document}");
    }
    let read = Element::read("<a x=\"1\">2<b>&lt;</b></a>").unwrap();
    assert_eq!(read.text, "2<");
}
