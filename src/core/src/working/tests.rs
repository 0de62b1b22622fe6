//! Formulas are read, computed, printed and drawn.

use super::expression::constant;
use super::*;


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
    check("x = -a^2", "−a²", -4.0);
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
    ] {
        assert!(Formula::read(text).is_err(), "{text}");
    }
}
