//! Drops on a grid: what cards that reckon with printed drops ask, and what they say about it.

use super::{Field, Found, Given, Range, choice, option, quantity};
use crate::problem::{Check, memory};
use crate::quantity::Kind;
use crate::scalar::Scalar;

pub(super) static PITCH_AS: Field = choice(
    "pitch_as",
    "Pitch",
    &[
        option("length", "as a length"),
        option("resolution", "as dots per inch"),
    ],
);
/// Of [`PITCH_AS`].
pub(super) const LENGTH: &[&str] = &["length"];
/// Of [`PITCH_AS`].
pub(super) const RESOLUTION: &[&str] = &["resolution"];
pub(super) static DROP_VOLUME: Field = drop_volume();
pub(super) static PITCH_X: Field = pitch_x();
pub(super) static PITCH_Y: Field = pitch_y();
pub(super) static RESOLUTION_X: Field = resolution_x();
pub(super) static RESOLUTION_Y: Field = resolution_y();
pub(super) static SOLIDS: Field = solids();
pub(super) static POROSITY: Field = porosity();
pub(super) static WET_PER_PASS: Field =
    quantity("wet_per_pass", "Wet thickness of one pass", Kind::Length)
        .symbol("w")
        .units(&["um", "nm"]);
pub(super) static DROPS_PER_AREA: Field =
    quantity("drops_per_area", "Drops per area", Kind::PerArea)
        .symbol("N_d")
        .units(&["cm-2"]);
pub(super) static AREAL_MASS: Field = quantity("areal_mass", "Solid per area", Kind::ArealMass)
    .symbol("m_A")
    .units(&["mg/cm2", "ug/cm2"]);

pub(super) const fn drop_volume() -> Field {
    quantity("drop_volume", "Drop volume", Kind::Volume)
        .symbol("V_d")
        .units(&["pL", "nL"])
        .positive()
}

pub(super) const fn pitch_x() -> Field {
    pitch_field("pitch_x", "Pitch along the print direction", "pₓ")
}

pub(super) const fn pitch_y() -> Field {
    pitch_field("pitch_y", "Pitch across the print direction", "p_y")
}

const fn pitch_field(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Length)
        .symbol(symbol)
        .units(&["um", "mm"])
        .positive()
}

pub(super) const fn resolution_x() -> Field {
    resolution("resolution_x", "Resolution along the print direction", "rₓ")
}

pub(super) const fn resolution_y() -> Field {
    resolution(
        "resolution_y",
        "Resolution across the print direction",
        "r_y",
    )
}

const fn resolution(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::PrintResolution)
        .symbol(symbol)
        .units(&["/[in_i]", "mm-1"])
        .positive()
}

pub(super) const fn solids() -> Field {
    quantity(
        "solids",
        "Solid in the ink, by volume",
        Kind::VolumeFraction,
    )
    .symbol("φ")
    .help("Volume of solid per volume of ink.")
    .units(&["%", "1"])
    .range(Range::FRACTION)
}

pub(super) const fn porosity() -> Field {
    quantity("porosity", "Porosity of the fired film", Kind::Ratio)
        .symbol("P")
        .help("Share of the film that is pores.")
        .units(&["%", "1"])
        .range(Range {
            from: 0.0,
            to: 1.0,
            above: false,
            below: true,
        })
}

/// The pitch along and across; results where dots per inch are entered.
pub(super) fn pitch<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> [S; 2] {
    let along = pitch_along(given, found);
    [along, one_pitch(given, found, &PITCH_Y, &RESOLUTION_Y)]
}

/// The pitch along the print direction alone.
pub(super) fn pitch_along<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>) -> S {
    one_pitch(given, found, &PITCH_X, &RESOLUTION_X)
}

fn one_pitch<S: Scalar>(
    given: &Given<'_, S>,
    found: &mut Found<S>,
    pitch: &'static Field,
    resolution: &Field,
) -> S {
    if given.choice(&PITCH_AS) == "length" {
        return given[pitch];
    }
    let length = S::constant(1.0) / given[resolution];
    found.set(pitch, length);
    length
}

/// The film that a wet thickness leaves when it is fired.
pub(super) fn fired<S: Scalar>(given: &Given<'_, S>, wet: S) -> S {
    wet * given[&SOLIDS] / (-given[&POROSITY] + 1.0)
}

/// Whether the porosity is one that films of dye cells usually have.
pub(super) fn usual_porosity(porosity: Option<f64>) -> Option<Check> {
    let porosity = porosity.filter(|porosity| !(0.50..=0.65).contains(porosity))?;
    Some(Check::note(
        "unusual_porosity",
        format!(
            "A porosity of {} is outside the 50 % to 65 % of most dye-cell films; dense layers have less.",
            POROSITY.say(porosity)
        ),
        memory("reviews of dye-sensitised cells: porosity 0.50 to 0.65"),
    ))
}
