//! Light: the standard spectrum of the sun, and what its photons can give.

use std::sync::LazyLock;

use crate::chemistry::constants::{ELEMENTARY_CHARGE, PLANCK, SPEED_OF_LIGHT};
use crate::numerics::curve::Curve;
use crate::problem::{Source, read};

/// Where [`am15g`] comes from.
pub const AM15G_SOURCE: Source = read(
    "ASTM G173-03, global tilt, 2002 rows in PyPI colour-science 0.4.7; as tabulated they add up to 1000.37 W/m²",
);

/// The standard spectrum of sunlight on the ground, AM1.5G: spectral irradiance in W/m³ over the wavelength in m.
#[must_use]
pub fn am15g() -> &'static Curve {
    static AM15G: LazyLock<Curve> = LazyLock::new(|| unpack(include_str!("light/am15g.txt")));
    &AM15G
}

/// `from A by B` starts a stretch of values, A and B in nm.
fn unpack(table: &str) -> Curve {
    let (mut x, mut y) = (Vec::new(), Vec::new());
    let mut stretch = (0.0, 0.0);
    let mut done = 0;
    let number = |text: &str| text.parse().unwrap_or(f64::NAN);
    for line in table.lines().filter(|line| !line.starts_with('#')) {
        if let Some((start, step)) = line
            .strip_prefix("from ")
            .and_then(|stretch| stretch.split_once(" by "))
        {
            (stretch, done) = ((number(start), number(step)), 0);
            continue;
        }
        for value in line.split_whitespace() {
            // As typed nanometres become metres, so that a pasted point falls on the same place.
            x.push((stretch.0 + f64::from(done) * stretch.1) / 1e9);
            y.push(number(value) * 1e9);
            done += 1;
        }
    }
    #[expect(
        clippy::expect_used,
        reason = "the table does not change, and a test reads all of it"
    )]
    Curve::new(&x, &y).expect("2002 numbers, ascending")
}

/// Energy of one photon of this wavelength, J.
#[must_use]
pub fn photon_energy(wavelength: f64) -> f64 {
    PLANCK * SPEED_OF_LIGHT / wavelength
}

/// Spectral response of a device that gives one electron for every photon, A/W.
#[must_use]
pub fn full_response(wavelength: f64) -> f64 {
    ELEMENTARY_CHARGE / photon_energy(wavelength)
}
