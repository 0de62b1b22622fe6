//! Formulas are read, computed, printed and drawn.

use super::expression::constant;
use super::*;
use proptest::prelude::*;

#[track_caller]
fn check(text: &str, printed: &str, value: f64) {
    let formula = Formula::read(text).unwrap();
    let name = |n: &str| Some(constant(n).map_or(n, |c| c.symbol).to_owned());
    assert_eq!(formula.expression.print(&name).unwrap(), printed);
    let field = |n: &str| Some(if n == "a" { 2.0 } else { 3.0 });
    let found = formula.expression.value(&field).unwrap();
    assert!(
        (found - value).abs() <= 1e-15 * value.abs(),
        "{found} is not {value}"
    );
}

#[test]
fn formulas_are_read_printed_and_computed() {
    check("x = a * b / 4", "a · b / 4", 1.5);
    check("x = a / (b * 4)", "a / (b · 4)", 2.0 / 12.0);
    check("x = a - (b - 1)", "a − (b − 1)", 0.0);
    check("x = (a + b) * a^2", "(a + b) · a²", 20.0);
    check("x = sqrt(a + b + 4)", "√(a + b + 4)", 3.0);
    check("x = sqrt(a + 2)^2", "√(a + 2)²", 4.0);
    check("x = -a^2", "−a²", -4.0);
    check("x = a + -b", "a + (−b)", -1.0);
    check("x = a^-b", "a^(−b)", 0.125);
    check("x = a / b / 4", "a / b / 4", 2.0 / 12.0);
    check("x = min(a, b) * 5", "min(a, b) · 5", 10.0);
    check("x = max(1, round(b / a))", "max(1, round(b / a))", 2.0);
    check("x = log10(a * 50)", "log₁₀(a · 50)", 2.0);
    check("x = pi * a^2 / 4", "π · a² / 4", core::f64::consts::PI);
    check("x = a * (1 - b)", "a · (1 − b)", -4.0);
}

#[test]
fn what_is_no_formula_is_refused() {
    for text in [
        "a * b",
        "x = ",
        "x = (a",
        "x = a b",
        "x = a + * b",
        "x = 1.2.3",
        "x = sqrt a",
        "x = min(a)",
        "x = ln(a, b)",
    ] {
        assert!(Formula::read(text).is_err(), "{text}");
    }
}

#[track_caller]
fn drawn(text: &str, mathml: &str) {
    let formula = Formula::read(text).unwrap();
    let name = |n: &str| {
        Some(match n {
            "length" => Equation {
                math: Math::quantity("9.5", "\u{202F}mm"),
                text: "9.5\u{202F}mm".into(),
            },
            "shift" => Equation {
                math: Math::quantity("−1.5×10⁻⁷", "\u{202F}m"),
                text: "−1.5×10⁻⁷\u{202F}m".into(),
            },
            other => Equation::symbol(constant(other).map_or(other, |c| c.symbol)),
        })
    };
    let written = formula.expression.written(&name).unwrap();
    let alternative = written.text.clone();
    let document = format!(
        "<math xmlns=\"http://www.w3.org/1998/Math/MathML\" display=\"block\" alttext=\"{alternative}\">{mathml}</math>"
    );
    assert_eq!(written.mathml(), document);
}

#[test]
fn formulas_are_drawn_in_the_elements_of_mathml() {
    drawn(
        "x = a / (b * 4)",
        "<mfrac><mi>a</mi><mrow><mi>b</mi><mo>·</mo><mn>4</mn></mrow></mfrac>",
    );
    drawn(
        "x = (a + b) * length^2",
        "<mrow><mo stretchy=\"false\">(</mo><mi>a</mi><mo>+</mo><mi>b</mi><mo stretchy=\"false\">)</mo><mo>·</mo>\
         <msup><mrow><mo stretchy=\"false\">(</mo><mn>9.5</mn><mtext>\u{202F}mm</mtext><mo stretchy=\"false\">)</mo></mrow><mn>2</mn></msup></mrow>",
    );
    drawn(
        "x = pi * a^2 / 4 * b",
        "<mrow><mfrac><mrow><mi>π</mi><mo>·</mo><msup><mi>a</mi><mn>2</mn></msup></mrow><mn>4</mn></mfrac>\
         <mo>·</mo><mi>b</mi></mrow>",
    );
    drawn(
        "x = sqrt(a) / N_A",
        "<mfrac><msqrt><mi>a</mi></msqrt><msub><mi>N</mi><mi>A</mi></msub></mfrac>",
    );
    drawn(
        "x = a - shift",
        "<mrow><mi>a</mi><mo>−</mo><mo stretchy=\"false\">(</mo><mo>−</mo><mn>1.5</mn><mo>×</mo>\
         <msup><mn>10</mn><mrow><mo>−</mo><mn>7</mn></mrow></msup><mtext>\u{202F}m</mtext><mo stretchy=\"false\">)</mo></mrow>",
    );
    drawn(
        "x = (a / b)^2",
        "<msup><mrow><mo>(</mo><mfrac><mi>a</mi><mi>b</mi></mfrac><mo>)</mo></mrow><mn>2</mn></msup>",
    );
    drawn(
        "x = min(a, log10(b))",
        "<mrow><mi mathvariant=\"normal\">min</mi><mo>\u{2061}</mo><mo stretchy=\"false\">(</mo><mi>a</mi><mo>,</mo>\
         <msub><mi mathvariant=\"normal\">log</mi><mn>10</mn></msub><mo>\u{2061}</mo><mo stretchy=\"false\">(</mo><mi>b</mi><mo stretchy=\"false\">)</mo>\
         <mo stretchy=\"false\">)</mo></mrow>",
    );
}

#[test]
fn symbols_have_their_indices_lowered() {
    for (symbol, mathml) in [
        ("c₁", "<msub><mi>c</mi><mn>1</mn></msub>"),
        (
            "m_B*",
            "<mrow><msub><mi>m</mi><mi>B</mi></msub><mtext>*</mtext></mrow>",
        ),
        (
            "Vᵣ′",
            "<mrow><msub><mi>V</mi><mi>r</mi></msub><mtext>′</mtext></mrow>",
        ),
        (
            "m_min",
            "<msub><mi>m</mi><mi mathvariant=\"normal\">min</mi></msub>",
        ),
        ("Voc", "<mi mathvariant=\"normal\">Voc</mi>"),
        ("m_Γ", "<msub><mi>m</mi><mi>Γ</mi></msub>"),
        ("Δt", "<mi>Δt</mi>"),
    ] {
        let document = Equation::symbol(symbol).mathml();
        assert!(
            document.ends_with(&format!("\">{mathml}</math>")),
            "{document}"
        );
    }
}

#[test]
fn what_is_no_markup_does_not_become_markup() {
    let title = r#"Salt & <b>"water"</b>"#;
    let equation = Equation {
        math: Math::Text(title.into()),
        text: title.into(),
    };
    let escaped = "Salt &amp; &lt;b&gt;&quot;water&quot;&lt;/b&gt;";
    let document = equation.mathml();
    assert!(
        document.contains(&format!("alttext=\"{escaped}\"")),
        "{document}"
    );
    assert!(
        document.contains(&format!("<mtext>{escaped}</mtext>")),
        "{document}"
    );
}

/// What is in a drawing, in the order in which it is read; layout tells fractions, roots and powers.
fn read(math: &Math) -> String {
    match math.element().2 {
        Content::Text(text) => text.into(),
        Content::Parts(parts) => parts.iter().map(read).collect(),
    }
}

/// Letters, digits and signs, without those that a drawing shows by its layout.
fn tokens(text: &str) -> String {
    const LAYOUT: [char; 9] = ['(', ')', '/', '^', '√', '_', ' ', '\u{202F}', '\u{2061}'];
    let plain = |c| match c {
        '²' => '2',
        '³' => '3',
        '₁' => '1',
        '₀' => '0',
        other => other,
    };
    let kept = text.chars().filter(|c| !LAYOUT.contains(c));
    kept.map(plain).collect()
}

/// Text of any formula, as it may stand in a declaration.
fn any_formula() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        Just("a".to_owned()),
        Just("pi".to_owned()),
        (1_u32..2000).prop_map(|n| n.to_string()),
    ];
    leaf.prop_recursive(5, 40, 2, |inner| {
        let joined = (inner.clone(), "[-+*/^]", inner.clone());
        prop_oneof![
            joined.prop_map(|(a, sign, b)| format!("({a}) {sign} ({b})")),
            inner.clone().prop_map(|a| format!("-({a})")),
            (inner.clone(), "sqrt|exp|ln|log10|round").prop_map(|(a, f)| format!("{f}({a})")),
            (inner.clone(), "min|max", inner).prop_map(|(a, f, b)| format!("{f}({a}, {b})")),
        ]
    })
}

proptest! {
    #[test]
    fn a_drawing_says_what_the_text_says(text in any_formula()) {
        let declared = format!("x = {text}");
        let expression = Formula::read(&declared).unwrap().expression;
        let written = expression.written(&|name| symbol_of(name)).unwrap();
        prop_assert_eq!(tokens(&read(&written.math)), tokens(&written.text));
    }

    /// With as few brackets as it takes, printed and drawn, a formula still means the same.
    #[test]
    fn brackets_left_out_change_nothing(text in any_formula()) {
        let value = |text: &str| {
            let declared = format!("x = {}", typed(text));
            let expression = Formula::read(&declared).unwrap().expression;
            expression.value(&|_| Some(0.75)).unwrap()
        };
        let declared = format!("x = {text}");
        let expression = Formula::read(&declared).unwrap().expression;
        let written = expression.written(&|name| symbol_of(name)).unwrap();
        let expected = value(&text);
        for shown in [written.text, in_line(&written.math)] {
            let found = value(&shown);
            let same = found == expected || (found - expected).abs() <= 1e-9 * expected.abs();
            prop_assert!(same || !expected.is_finite(), "{text}: {expected}, {shown}: {found}");
        }
    }
}

/// A drawing as a formula: what its layout holds together, in brackets. Layout does not hold the base of a power.
fn in_line(math: &Math) -> String {
    match math {
        Math::Fraction(parts) => format!("(({}) / ({}))", in_line(&parts[0]), in_line(&parts[1])),
        Math::Superscript(parts) => format!("{}^({})", in_line(&parts[0]), in_line(&parts[1])),
        Math::Root(parts) => format!("√({})", in_line(&parts[0])),
        _ => match math.element().2 {
            Content::Text(text) => text.into(),
            Content::Parts(parts) => parts.iter().map(in_line).collect(),
        },
    }
}

fn symbol_of(name: &str) -> Option<Equation> {
    Some(Equation::symbol(constant(name).map_or(name, |c| c.symbol)))
}

/// A printed formula with the signs of a declaration.
fn typed(printed: &str) -> String {
    let signs = [
        ("·", "*"),
        ("−", "-"),
        ("√", "sqrt"),
        ("log₁₀", "log10"),
        ("π", "pi"),
        ("\u{2061}", ""),
        ("²", "^2"),
        ("³", "^3"),
        ("\u{202F}", ""),
    ];
    signs.iter().fold(printed.to_owned(), |text, (from, to)| {
        text.replace(from, to)
    })
}
