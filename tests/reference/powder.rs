//! The powder calculator through its public interface: families RHO, SSA, WV (printing and photovoltaics) and INK (metrology
//! and chemistry) of the books, round trips, and what it says.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, stops};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("powder", inputs))
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    let distance = (found - expected).abs();
    assert!(distance <= tolerance, "{found}, not {expected}");
}

/// Z·M/(N_A·V), computed with Python 3.11; lattice constants of mineral tables, from memory.
#[wasm_bindgen_test(unsupported = test)]
fn densities_from_lattices() {
    let oxides = [
        (
            "79.866",
            "4",
            "tetragonal",
            ["3.7845", "", "9.5143"],
            3.8929,
        ),
        (
            "79.866",
            "2",
            "tetragonal",
            ["4.5937", "", "2.9587"],
            4.2483,
        ),
        (
            "79.866",
            "8",
            "orthorhombic",
            ["9.184", "5.447", "5.145"],
            4.1222,
        ),
        ("81.38", "2", "hexagonal", ["3.2498", "", "5.2066"], 5.6754),
        ("150.709", "2", "tetragonal", ["4.737", "", "3.186"], 7.0011),
    ];
    for (mass, units, lattice, [a, b, c], density) in oxides {
        let evaluation = evaluated(&[
            ("density_from", "lattice"),
            ("molar_mass", mass),
            ("formula_units", units),
            ("lattice", lattice),
            ("edge_a", a),
            ("edge_b", b),
            ("edge_c", c),
            ("surface", "none"),
        ]);
        near(number(&evaluation.cards[0], "density") / 1e3, density, 5e-5);
    }
}

/// 6/(ρ·d), computed with Python 3.11; both ways.
#[wasm_bindgen_test(unsupported = test)]
fn surfaces_and_diameters_of_spheres() {
    let spheres = [
        (15.0, "3.893", 102.7485),
        (20.0, "3.893", 77.0614),
        (25.0, "3.893", 61.6491),
        (30.0, "3.893", 51.3743),
        (20.0, "4.249", 70.6048),
        (20.0, "5.675", 52.8634),
    ];
    for (diameter, density, surface) in spheres {
        let forth = evaluated(&[
            ("density", density),
            ("surface", "surface"),
            ("diameter", &format!("{diameter} nm")),
        ]);
        near(
            number(&forth.cards[0], "specific_surface") / 1e3,
            surface,
            5e-5,
        );
        let back = evaluated(&[
            ("density", density),
            ("specific_surface", &format!("{surface} m2/g")),
        ]);
        // The printed surface is rounded: so much of the diameter.
        let rounding = diameter * 5e-5 / surface;
        near(number(&back.cards[0], "diameter") * 1e9, diameter, rounding);
    }
}

/// A powder in a carrier, found from one share.
fn suspension(powder: &str, carrier: &str, find: &str, given: (&str, f64)) -> Evaluation {
    let (field, share) = given;
    evaluated(&[
        ("density", powder),
        ("carrier_density", carrier),
        ("surface", "none"),
        ("suspension", find),
        (field, &format!("{} %", 100.0 * share)),
    ])
}

/// Family WV: additive volumes, computed with Python 3.11 float64; to half of the last digit printed, and back.
#[wasm_bindgen_test(unsupported = test)]
fn oxides_by_volume_and_the_density_with_them() {
    for (by_mass, powder, carrier, by_volume, density) in [
        (0.05, "3.89", "0.997", 0.013_309_8, 1.035_505),
        (0.1, "3.89", "0.997", 0.027_689_1, 1.077_104),
        (0.2, "3.89", "0.997", 0.060_216_2, 1.171_206),
        (0.3, "3.89", "0.997", 0.098_970_9, 1.283_323),
        (0.2, "4.25", "0.785", 0.044_138_3, 0.937_939),
        (0.2, "5.675", "0.785", 0.033_425_6, 0.948_451),
    ] {
        let forth = suspension(powder, carrier, "volume", ("mass_fraction", by_mass));
        let card = &forth.cards[0];
        near(number(card, "volume_fraction"), by_volume, 5e-8);
        near(number(card, "suspension_density") / 1e3, density, 5e-7);
        let exact = number(card, "volume_fraction");
        let back = suspension(powder, carrier, "mass", ("volume_fraction", exact));
        near(number(&back.cards[0], "mass_fraction"), by_mass, 5e-8);
    }
}

/// Family WV: shares of solid and solvent by mass and by volume of four alumina inks, read in Graf et al., Micromachines 12
/// (2021) 1136; the ratio of the densities that they imply, computed with Python 3.11, leads from one to the other.
#[wasm_bindgen_test(unsupported = test)]
fn published_shares_follow_from_their_densities() {
    for ([solid, solvent], [solid_by_volume, solvent_by_volume], ratio) in [
        ([51.0, 36.4], [20.3, 62.4], "4.3068"),
        ([51.0, 36.4], [21.7, 59.8], "3.8611"),
        ([51.6, 36.9], [21.9, 61.5], "3.9269"),
        ([51.6, 36.9], [22.4, 60.5], "3.7769"),
    ] {
        let by_mass = solid / (solid + solvent);
        let by_volume = solid_by_volume / (solid_by_volume + solvent_by_volume);
        let found = suspension(ratio, "1", "volume", ("mass_fraction", by_mass));
        // Half of the last digit of the ratio moves the share by this much.
        let rounding = by_volume * (1.0 - by_volume) * 5e-5 / 3.7;
        near(
            number(&found.cards[0], "volume_fraction"),
            by_volume,
            rounding,
        );
    }
}

/// Mass balance with additive volumes, computed with Python 3: TiO₂ in ethanol, SnO₂ in water; both ways.
#[wasm_bindgen_test(unsupported = test)]
fn suspensions_by_mass_and_by_volume() {
    let inks = [
        (
            ["3.9", "0.789"],
            0.2,
            [
                0.048_142_046_494_600_035,
                938.769_906_644_700_6,
                187.753_981_328_940_1,
            ],
        ),
        (
            ["6.85", "0.998"],
            0.15,
            [
                0.025_066_139_780_985_236,
                1_144.687_049_998_325_7,
                171.703_057_499_748_84,
            ],
        ),
    ];
    for ([powder, carrier], by_mass, [by_volume, density, concentration]) in inks {
        let forth = suspension(powder, carrier, "volume", ("mass_fraction", by_mass));
        let back = suspension(powder, carrier, "mass", ("volume_fraction", by_volume));
        near(
            number(&forth.cards[0], "volume_fraction"),
            by_volume,
            1e-9 * by_volume,
        );
        near(
            number(&back.cards[0], "mass_fraction"),
            by_mass,
            1e-9 * by_mass,
        );
        for evaluation in [forth, back] {
            let card = &evaluation.cards[0];
            near(number(card, "suspension_density"), density, 1e-9 * density);
            near(
                number(card, "concentration"),
                concentration,
                1e-9 * concentration,
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_fraction_comes_back_from_the_other() {
    let mut numbers = Generator::new(5_001);
    for _ in 0..200 {
        let by_mass = numbers.between(1e-6, 0.99);
        let powder = format!("{} g/cm3", numbers.between(1.0, 8.0));
        let carrier = format!("{} g/mL", numbers.between(0.6, 1.5));
        let there_or_back = |suspension, field, value: f64| {
            evaluated(&[
                ("density", &powder),
                ("carrier_density", &carrier),
                ("surface", "none"),
                ("suspension", suspension),
                (field, &format!("{} %", 100.0 * value)),
            ])
        };
        let there = there_or_back("volume", "mass_fraction", by_mass);
        let by_volume = number(&there.cards[0], "volume_fraction");
        let back = there_or_back("mass", "volume_fraction", by_volume);
        near(
            number(&back.cards[0], "mass_fraction"),
            by_mass,
            1e-13 * by_mass,
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn angles_that_close_no_cell_stop() {
    let inputs = [
        ("density_from", "lattice"),
        ("molar_mass", "80 g/mol"),
        ("formula_units", "2"),
        ("lattice", "any"),
        ("edge_a", "4 Å"),
        ("edge_b", "4 Å"),
        ("edge_c", "4 Å"),
        ("alpha", "30°"),
        ("beta", "40°"),
        ("gamma", "90°"),
        ("surface", "none"),
    ];
    stops(
        &evaluated(&inputs),
        "gamma",
        "no_cell",
        "Three edges cannot meet at 30°, 40° and 90°: no cell has these angles.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn unusual_grains_are_doubted() {
    let level = |surface| {
        let evaluation = evaluated(&[("density", "4 g/cm3"), ("specific_surface", surface)]);
        check(&evaluation, "grain_size").map(|(level, _)| level)
    };
    assert_eq!(level("50 m2/g"), Some(Level::InRange));
    assert_eq!(level("0.05 m2/g"), Some(Level::Warning));
}
