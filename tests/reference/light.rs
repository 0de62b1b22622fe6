//! The standard spectrum: row by row, and what it adds up to.

use glasswick_core::light::{am15g, full_response, photon_energy};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::close;

/// The table as it was read, apart from the packed one.
pub(crate) const TABLE: &str = include_str!("data/am15g.csv");

/// Wavelength in nm and spectral irradiance in W/(m²·nm), as text.
pub(crate) fn rows() -> impl Iterator<Item = (&'static str, &'static str)> {
    let numbers = |line: &&str| line.starts_with(|c: char| c.is_ascii_digit());
    TABLE
        .lines()
        .filter(numbers)
        .map(|line| line.split_once(',').unwrap())
}

#[wasm_bindgen_test(unsupported = test)]
fn the_packed_table_is_the_table_that_was_read() {
    let spectrum = am15g();
    assert_eq!(spectrum.x().len(), 2002);
    assert_eq!(rows().count(), 2002);
    for (index, (wavelength, irradiance)) in rows().enumerate() {
        let wavelength = wavelength.parse::<f64>().unwrap() / 1e9;
        let irradiance = irradiance.parse::<f64>().unwrap() * 1e9;
        let found = (spectrum.x()[index], spectrum.y()[index]);
        assert_eq!(found, (wavelength, irradiance), "row {index}");
    }
}

/// 1000.37 W/m² as published; the digits beyond computed with numpy 2.4.6.
#[wasm_bindgen_test(unsupported = test)]
fn the_sun_gives_one_thousand_watts_and_a_third() {
    let (x, y) = (am15g().x(), am15g().y());
    let parts = x.windows(2).zip(y.windows(2));
    let sum: f64 = parts
        .map(|(x, y)| (x[1] - x[0]) * (y[0] + y[1]) / 2.0)
        .sum();
    close("∫E dλ", sum, 1_000.370_655_573_442_3, 1e-12);
}

/// The wavelength of 1 eV and a response of 1 A/W: h·c/e, from the constants of the SI.
#[wasm_bindgen_test(unsupported = test)]
fn photons_carry_their_energy() {
    let wavelength = 1.239_841_984_332_002_6e-6;
    close("1 eV", photon_energy(wavelength), 1.602_176_634e-19, 1e-15);
    close("1 A/W", full_response(wavelength), 1.0, 1e-15);
}
