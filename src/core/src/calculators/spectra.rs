//! What calculators of spectra share: curves over the wavelength, as pasted, and what is said about their ends.

use super::{Field, Given, Points, quantity};
use crate::light::am15g;
use crate::numerics::curve::Curve;
use crate::numerics::integral::{Running, grid};
use crate::problem::{Check, Problem, derived};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

/// The first column of every spectrum.
pub(super) static WAVELENGTH: Field = quantity("wavelength", "Wavelength", Kind::Length)
    .symbol("λ")
    .units(&["nm"])
    .positive();

/// A factor that is one but for what is not known of it.
pub(super) const fn near_one(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio)
        .units(&["1"])
        .within(0.5, 2.0)
        .initially("1")
}

/// A pasted curve in ascending order of wavelength, of two points at least, with something above zero.
pub(super) fn pasted<S: Scalar>(given: &Given<'_, S>, field: &Field) -> Result<Curve, Problem> {
    let none = Points::default();
    let points = given.points(field).unwrap_or(&none);
    let unfit = |sentence: String| {
        Problem::at(
            field,
            "no_spectrum",
            sentence,
            "Enter two columns with wavelengths first, at two or more different wavelengths.",
        )
    };
    let curve = Curve::new(&points.x, &points.y).map_err(|error| unfit(error.to_string()))?;
    let (first, last) = ends(&curve);
    if first == last {
        return Err(unfit(format!("{} needs two points or more.", field.title)));
    }
    if first <= 0.0 {
        return Err(unfit(format!(
            "{} has a wavelength of {}.",
            field.title,
            WAVELENGTH.say(first)
        )));
    }
    if largest(&curve) <= 0.0 {
        return Err(unfit(format!("{} has no value above zero.", field.title)));
    }
    Ok(curve)
}

/// The running integral of a product of curves and a weight, as fine as all their points, those of further curves and
/// those of AM1.5G; none where the product is nowhere known.
pub(super) fn running(
    product: &[&Curve],
    further: &[&Curve],
    weight: impl Fn(f64) -> f64,
) -> Option<Running> {
    let all: Vec<&Curve> = [product, further, &[am15g()]].concat();
    Running::of(product, &grid(&all), weight)
}

/// The first and the last wavelength.
pub(super) fn ends(curve: &Curve) -> (f64, f64) {
    let end = |x: Option<&f64>| x.copied().unwrap_or(f64::NAN);
    (end(curve.x().first()), end(curve.x().last()))
}

/// The largest value.
pub(super) fn largest(curve: &Curve) -> f64 {
    let (_, _, largest) = curve.largest();
    largest
}

/// Noise takes a curve below zero by less than this share of its largest value.
const NOISE: f64 = 0.01;

/// The least value, where it is below zero by more than noise.
pub(super) fn below_zero(curve: &Curve) -> Option<f64> {
    let least = curve.y().iter().copied().fold(f64::INFINITY, f64::min);
    (least < -NOISE * largest(curve)).then_some(least)
}

/// Says that values are below zero by more than noise.
pub(super) fn negative(curve: &Curve, what: &str) -> Option<Check> {
    let share = 100.0 * below_zero(curve)? / largest(curve);
    Some(Check::warning(
        "below_zero",
        format!(
            "The {what} falls to {}\u{202F}% of its largest value: a background was taken off that is too large. What lies below \
             zero is taken off the integrals.",
            value_text(share, 2)
        ),
        derived("there is no light below none, and no absorption or response below none"),
    ))
}

/// From this share of its largest value on, a curve is cut off rather than at its end.
const CUT_OFF: f64 = 0.02;

/// Says what counts as zero, and whether the curve was still well above zero there.
pub(super) fn zero_outside(curve: &Curve, what: &str) -> Check {
    let (first, last) = ends(curve);
    let high = |y: Option<&f64>| y.is_some_and(|y| y.abs() > CUT_OFF * largest(curve));
    let (starts, stops) = (high(curve.y().first()), high(curve.y().last()));
    let sentence = format!(
        "Below {} and above {} the {what} counts as zero",
        WAVELENGTH.say(first),
        WAVELENGTH.say(last)
    );
    let rule = derived("what was not measured adds nothing to an integral");
    let place = match (starts, stops) {
        (false, false) => {
            return Check::note("zero_outside", format!("{sentence}."), rule);
        }
        (true, false) => "first",
        (false, true) => "last",
        (true, true) => "first and last",
    };
    Check::warning(
        "cut_off",
        format!(
            "{sentence}, but at its {place} point it is not near zero: enter points as far as it reaches."
        ),
        rule,
    )
}

/// The widest step between the points of a curve inside a range.
pub(super) fn widest_step(curve: &Curve, (from, to): (f64, f64)) -> f64 {
    let pairs = curve.x().windows(2);
    pairs
        .filter(|pair| from < pair[1] && pair[0] < to)
        .map(|pair| pair[1] - pair[0])
        .fold(0.0, f64::max)
}
