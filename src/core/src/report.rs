//! Results as the page and the record print them: one function, so that both always show the same text.

use crate::calculators::Field;
use crate::quantity::{Kind, Rounding, Unit, value_text, with_uncertainty};

/// What the number after ± means in every text of [`printed`].
pub const STATEMENT: &str = "The number after ± is the standard uncertainty (k = 1).";

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

/// A value and its standard uncertainty, both given in SI, with its unit: the uncertainty to two significant
/// digits, the value to the same place (JCGM 100:2008, 7.2.6). Without a chosen unit, the usual one in which the
/// value reads well.
#[must_use]
pub fn printed(field: &Field, si: f64, u_si: f64, unit: Option<&'static Unit>) -> Printed {
    let unit = unit
        .or_else(|| field.unit_for(si))
        .unwrap_or(Kind::Ratio.coherent());
    let value = unit.from_si(si);
    let uncertainty = unit.difference_from_si(u_si);
    let number = match with_uncertainty(value, uncertainty, Rounding::TwoDigits) {
        // A unit after "±" alone would seem to belong to the uncertainty only.
        Some(rounded)
            if !rounded.uncertainty.is_empty() && rounded.exponent == 0 && unit.symbol != "1" =>
        {
            format!("({})", rounded.plus_minus())
        }
        Some(rounded) => rounded.plus_minus(),
        None => value_text(value, 4),
    };
    Printed {
        text: number + &unit.after_number(),
        unit,
        value,
        uncertainty,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calculators::quantity;
    use crate::quantity::unit;

    #[track_caller]
    fn check(field: &Field, si: f64, u_si: f64, expected: &str) {
        let text = printed(field, si, u_si, None).text;
        assert_eq!(text.replace('\u{202F}', " "), expected);
    }

    #[test]
    fn value_and_uncertainty_share_place_and_unit() {
        let mass = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
        check(&mass, 12.4567e-6, 0.1623e-6, "(12.46 ± 0.16) mg");
        check(&mass, 12.5e-6, 0.0, "12.5 mg");
        check(&mass, 12.5e-12, 1e-12, "(1.25 ± 0.10)×10⁻⁵ mg");
        let factor = quantity("f", "Factor", Kind::Ratio);
        check(&factor, 20.0, 0.5, "20.00 ± 0.50");
        let angle = quantity("a", "Contact angle", Kind::Angle).units(&["deg"]);
        check(&angle, core::f64::consts::FRAC_PI_6, 0.0, "30°");
    }

    #[test]
    fn a_temperature_keeps_its_zero_and_its_uncertainty_has_none() {
        let temperature = quantity("t", "Temperature", Kind::Temperature).units(&["Cel"]);
        check(&temperature, 293.15, 0.5, "(20.00 ± 0.50) °C");
    }

    #[test]
    fn a_chosen_unit_is_used() {
        let mass = quantity("m", "Mass", Kind::Mass).units(&["mg", "g"]);
        let shown = printed(&mass, 12.5e-6, 0.1e-6, unit(Kind::Mass, "ug"));
        assert_eq!(shown.unit.code, "ug");
        assert!((shown.value - 12_500.0).abs() < 1e-9 && (shown.uncertainty - 100.0).abs() < 1e-9);
        assert_eq!(shown.text.replace('\u{202F}', " "), "(12 500 ± 100) µg");
    }

    #[test]
    fn what_is_no_number_is_said_so() {
        let mass = quantity("m", "Mass", Kind::Mass);
        check(&mass, f64::NAN, 0.0, "undefined kg");
        check(&mass, 2.0, f64::NAN, "2.000 kg");
    }
}
