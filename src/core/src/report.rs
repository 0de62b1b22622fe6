//! Results as the page and the record print them: one function, so that both always show the same text.

use crate::calculators::Field;
use crate::quantity::{Kind, Rounded, Rounding, Unit, value_text, with_uncertainty};
use crate::uncertainty::Estimate;

/// What the uncertainties mean in every text of [`printed`].
pub const STATEMENT: &str = "The number after ± is the expanded uncertainty for about 95 %: the standard uncertainty \
    times k = 2, or times k from Student’s t where few degrees of freedom stand behind it (JCGM 100:2008, G.6.4). \
    Digits in parentheses are the standard uncertainty of the last digits.";

/// How a result and its uncertainty are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Form {
    /// "(12.46 ± 0.16) mg": the expanded uncertainty.
    #[default]
    Expanded,
    /// "12.460(80) mg": the standard uncertainty of the last digits (JCGM 100:2008, 7.2.2).
    Parentheses,
    /// "12.46 mg ± 1.3 %": the expanded uncertainty as a part of the value.
    Relative,
}

/// A result as printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Printed {
    /// "(12.46 ± 0.16) mg", or "12.46 mg" where no uncertainty is known.
    pub text: String,
    /// The unit it is printed in.
    pub unit: &'static Unit,
    /// The value in that unit, not rounded.
    pub value: f64,
    /// The standard uncertainty in that unit, not rounded; zero where none is known.
    pub uncertainty: f64,
}

/// A result with its unit: the uncertainty to two significant digits, the value to the same place (JCGM 100:2008,
/// 7.2.6). Without a chosen unit, the usual one in which the value reads well.
#[must_use]
pub fn printed(
    field: &Field,
    estimate: &Estimate,
    unit: Option<&'static Unit>,
    form: Form,
) -> Printed {
    printed_with(field, estimate, estimate.coverage_factor(), unit, form)
}

/// [`printed`] with a coverage factor of its own, for what another version printed.
#[must_use]
pub fn printed_with(
    field: &Field,
    estimate: &Estimate,
    coverage_factor: f64,
    unit: Option<&'static Unit>,
    form: Form,
) -> Printed {
    let unit = unit
        .or_else(|| field.unit_for(estimate.value))
        .unwrap_or(Kind::Ratio.coherent());
    let value = unit.from_si(estimate.value);
    let uncertainty = unit.difference_from_si(estimate.uncertainty);
    let expanded = coverage_factor * uncertainty;
    let text = match form {
        _ if uncertainty == 0.0 && field.digits.is_some() => None,
        Form::Parentheses => in_parentheses(value, uncertainty, unit),
        Form::Relative if value != 0.0 => relative(value, expanded, unit),
        Form::Expanded | Form::Relative => plus_minus(value, expanded, unit),
    };
    Printed {
        // Where something is no number, or the digits are set, the value alone.
        text: text
            .unwrap_or_else(|| value_text(value, field.digits.unwrap_or(4)) + &unit.after_number()),
        unit,
        value,
        uncertainty,
    }
}

fn plus_minus(value: f64, expanded: f64, unit: &Unit) -> Option<String> {
    let rounded = with_uncertainty(value, expanded, Rounding::TwoDigits)?;
    // A unit after "±" alone would seem to belong to the uncertainty only.
    let enclosed = !rounded.uncertainty.is_empty() && rounded.exponent == 0 && unit.symbol != "1";
    let number = if enclosed {
        format!("({})", rounded.plus_minus())
    } else {
        rounded.plus_minus()
    };
    Some(number + &unit.after_number())
}

fn in_parentheses(value: f64, standard: f64, unit: &Unit) -> Option<String> {
    let rounded = with_uncertainty(value, standard, Rounding::TwoDigits)?;
    let number = rounded.parentheses();
    // Where the digits of the uncertainty reach beyond the point, ± is written after all.
    let enclosed = number.contains('±') && !number.contains('×') && unit.symbol != "1";
    let number = if enclosed {
        format!("({number})")
    } else {
        number
    };
    Some(number + &unit.after_number())
}

fn relative(value: f64, expanded: f64, unit: &Unit) -> Option<String> {
    let rounded = with_uncertainty(value, expanded, Rounding::TwoDigits)?;
    let alone = Rounded {
        uncertainty: String::new(),
        ..rounded.clone()
    };
    let number = alone.plus_minus() + &unit.after_number();
    if rounded.uncertainty.is_empty() {
        return Some(number);
    }
    let percent = with_uncertainty(0.0, (100.0 * expanded / value).abs(), Rounding::TwoDigits)?;
    let exponent = Rounded {
        value: percent.uncertainty,
        uncertainty: String::new(),
        exponent: percent.exponent,
    };
    Some(format!("{number} ± {}\u{202F}%", exponent.plus_minus()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::quantity;
    use crate::quantity::unit;

    fn estimate(value: f64, uncertainty: f64) -> Estimate {
        Estimate {
            uncertainty,
            ..Estimate::exact(value)
        }
    }

    #[track_caller]
    fn check_form(field: &Field, si: f64, u_si: f64, form: Form, expected: &str) {
        let text = printed(field, &estimate(si, u_si), None, form).text;
        assert_eq!(text.replace('\u{202F}', " "), expected);
    }

    #[track_caller]
    fn check(field: &Field, si: f64, u_si: f64, expected: &str) {
        check_form(field, si, u_si, Form::Expanded, expected);
    }

    #[test]
    fn value_and_expanded_uncertainty_share_place_and_unit() {
        let mass = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
        check(&mass, 12.4567e-6, 0.0812e-6, "(12.46 ± 0.16) mg");
        check(&mass, 12.5e-6, 0.0, "12.5 mg");
        let spread = quantity("s", "Spread", Kind::Ratio).units(&["%"]).digits(3);
        check(&spread, 0.000_135_578_3, 0.0, "0.0136 %");
        check(&spread, 0.0123, 0.0004, "(1.230 ± 0.080) %");
        check(&mass, 12.5e-12, 0.5e-12, "(1.25 ± 0.10)×10⁻⁵ mg");
        let factor = quantity("f", "Factor", Kind::Ratio);
        check(&factor, 20.0, 0.25, "20.00 ± 0.50");
        let angle = quantity("a", "Contact angle", Kind::Angle).units(&["deg"]);
        check(&angle, core::f64::consts::FRAC_PI_6, 0.0, "30°");
    }

    #[test]
    fn the_other_forms() {
        let mass = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
        let parentheses = Form::Parentheses;
        // JCGM 100:2008, 7.2.2: a mass of 100.021 47 g with u = 0.35 mg.
        check_form(
            &mass,
            0.100_021_47,
            0.35e-6,
            parentheses,
            "100.021 47(35) g",
        );
        check_form(&mass, 12.4567e-6, 0.08e-6, parentheses, "12.457(80) mg");
        check_form(&mass, 124.567e-6, 12.1e-6, parentheses, "125(12) mg");
        check_form(&mass, 12.4567e-6, 1.21e-6, parentheses, "(12.5 ± 1.2) mg");
        check_form(&mass, 12.5e-12, 1e-12, parentheses, "1.25(10)×10⁻⁵ mg");
        check_form(&mass, 12.5e-6, 0.0, parentheses, "12.5 mg");
        check_form(
            &mass,
            12.4567e-6,
            0.0812e-6,
            Form::Relative,
            "12.46 mg ± 1.3 %",
        );
        check_form(
            &mass,
            -12.4567e-6,
            0.0812e-6,
            Form::Relative,
            "−12.46 mg ± 1.3 %",
        );
        check_form(&mass, 0.0, 0.05e-6, Form::Relative, "(0.00 ± 0.10) mg");
        check_form(&mass, 12.5e-6, 0.0, Form::Relative, "12.5 mg");
    }

    #[test]
    fn few_degrees_of_freedom_widen_the_interval() {
        let mass = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
        let few = Estimate {
            degrees_of_freedom: 4.7,
            ..estimate(12.4567e-6, 0.1e-6)
        };
        // t of 95.45 % and 4 degrees of freedom is 2.87 (JCGM 100:2008, table G.2).
        assert!((few.coverage_factor() - 2.87).abs() < 0.005);
        let text = printed(&mass, &few, None, Form::Expanded).text;
        assert_eq!(text, "(12.46 ± 0.29)\u{202F}mg");
    }

    #[test]
    fn a_temperature_keeps_its_zero_and_its_uncertainty_has_none() {
        let temperature = quantity("t", "Temperature", Kind::Temperature).units(&["Cel"]);
        check(&temperature, 293.15, 0.25, "(20.00 ± 0.50) °C");
    }

    #[test]
    fn a_chosen_unit_is_used() {
        let mass = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
        let unit = unit(Kind::Mass, "ug");
        let shown = printed(&mass, &estimate(12.5e-6, 0.05e-6), unit, Form::Expanded);
        assert_eq!(shown.unit.code, "ug");
        assert!((shown.value - 12_500.0).abs() < 1e-9 && (shown.uncertainty - 50.0).abs() < 1e-9);
        assert_eq!(shown.text.replace('\u{202F}', " "), "(12 500 ± 100) µg");
    }

    #[test]
    fn what_is_no_number_is_said_so() {
        let mass = quantity("m", "Mass", Kind::Mass);
        check(&mass, f64::NAN, 0.0, "undefined kg");
        check(&mass, 2.0, f64::NAN, "2.000 kg");
    }
}
