//! The table of dyes.

use glasswick_core::chemistry::dyes::{DYES, dye_of};
use glasswick_core::chemistry::formula::Formula;
use glasswick_core::problem::Evidence;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::agreement::{close, within};

/// Cases MW and the dyes of MM: molar masses in g/mol with the weights of CIAAW 2021, computed with Python 3.11 and
/// periodictable 2.1.0; formulas of N3 and N749 from memory, the others from structures in the dye table of
/// edbeard/dsc_db. Sellers print 1364.97 g/mol for N749: one hydrogen less, which is the second entry.
#[wasm_bindgen_test(unsupported = test)]
fn molar_masses_of_dyes() {
    for (id, formula, expected) in [
        ("n3", "C26H16N6O8RuS2", 705.638),
        ("n719", "C58H86N8O8RuS2", 1188.564),
        ("n749-h117", "C69H117N9O6RuS3", 1366.002),
        ("n749-h116", "C69H116N9O6RuS3", 1364.994),
        ("d149", "C42H35N3O4S3", 741.939),
        ("xy1b", "C87H98N4O6S3", 1391.943),
        ("l0", "C22H16N2O2", 340.382),
        ("eosin-y", "C20H6Br4Na2O5", 691.858_538_56),
    ] {
        let dye = dye_of(id).unwrap();
        assert_eq!(dye.formula.unwrap().0, formula);
        within(id, dye.molar_mass().unwrap().value * 1e3, expected, 5e-4);
    }
}

/// Cases MWE: computed with Python 3.11 from IUPAC abridged weights.
#[wasm_bindgen_test(unsupported = test)]
fn molar_masses_of_iodides() {
    for (formula, expected) in [
        ("C8H15IN2", 266.126),
        ("C5H9IN2", 224.045),
        ("C7H13IN2", 252.099),
        ("LiI", 133.844),
    ] {
        let mass = Formula::parse(formula).unwrap().molar_mass();
        within(formula, mass.value * 1e3, expected, 0.005);
    }
}

/// Cases EPS, all from memory: wavelengths in nm, coefficients in L/(mol·cm). N719 and N749 have ranges of which the
/// middle is taken.
#[wasm_bindgen_test(unsupported = test)]
fn absorption_coefficients_of_dyes() {
    let ruthenium = 0.05;
    let organic = 0.1;
    for (id, from, to, expected, limit) in [
        ("n719", 535.0, 535.0, (1.36e4 + 1.47e4) / 2.0, ruthenium),
        ("n719", 515.0, 515.0, 14100.0, ruthenium),
        ("n3", 534.0, 534.0, 14200.0, ruthenium),
        ("n3", 396.0, 396.0, 14300.0, ruthenium),
        ("z907", 526.0, 526.0, 12200.0, ruthenium),
        ("n749-h117", 605.0, 610.0, (7.0e3 + 7.5e3) / 2.0, ruthenium),
        ("n749-h116", 605.0, 610.0, (7.0e3 + 7.5e3) / 2.0, ruthenium),
        ("c101", 547.0, 547.0, 17500.0, ruthenium),
        ("c106", 550.0, 550.0, 18700.0, ruthenium),
        ("k19", 543.0, 543.0, 18200.0, ruthenium),
        ("d149", 526.0, 531.0, 68700.0, organic),
        ("d205", 532.0, 532.0, 53000.0, organic),
        ("d131", 425.0, 425.0, 48600.0, organic),
        ("y123", 532.0, 532.0, 48000.0, organic),
        ("d35", 445.0, 463.0, 31000.0, organic),
        ("mk-2", 480.0, 480.0, 38700.0, organic),
        ("yd2-o-c8", 448.0, 448.0, 2.12e5, organic),
        ("yd2-o-c8", 645.0, 645.0, 3.1e4, organic),
        ("sm315", 440.0, 440.0, 1.17e5, organic),
        ("sm315", 668.0, 668.0, 5.3e4, organic),
    ] {
        let coefficients = dye_of(id).unwrap().coefficients;
        let near = |a: f64, b: f64| (a * 1e9 - b).abs() < 1e-6;
        let found = coefficients
            .iter()
            .find(|c| near(c.wavelength.0, from) && near(c.wavelength.1, to));
        let datum = found.unwrap_or_else(|| panic!("{id} at {from}")).datum;
        // 1 m²/mol is 10 L/(mol·cm).
        close(id, datum.value * 10.0, expected, 1e-12);
        let relative = datum.uncertainty / datum.value;
        close(id, relative * 3f64.sqrt(), limit, 1e-12);
        assert_eq!(datum.source.evidence, Evidence::Memory, "{id}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_name_with_two_formulas_says_which() {
    for (position, dye) in DYES.iter().enumerate() {
        if let Some((formula, _)) = dye.formula {
            assert!(Formula::parse(formula).is_ok(), "{}", dye.name);
        }
        let all = dye.formula.is_some() || !dye.coefficients.is_empty();
        assert!(all, "{} offers nothing", dye.name);
        for other in &DYES[position + 1..] {
            assert!(dye.id != other.id && dye.name != other.name, "{}", dye.name);
            let shared = dye
                .other_names
                .iter()
                .any(|name| other.other_names.contains(name) || *name == other.name);
            if shared {
                for one in [dye, other] {
                    let (formula, _) = one.formula.unwrap();
                    assert!(one.name.contains(formula), "{}", one.name);
                }
            }
        }
    }
}

/// From N3 to N712 four protons give way to tetrabutylammonium, two on the way at N719.
#[wasm_bindgen_test(unsupported = test)]
fn salts_of_one_complex_differ_by_their_counter_ions() {
    let mass = |id| dye_of(id).unwrap().molar_mass().unwrap().value;
    let ion = |formula| Formula::parse(formula).unwrap().molar_mass().value;
    let step = 2.0 * (ion("C16H36N") - ion("H"));
    close("N719", mass("n719") - mass("n3"), step, 1e-12);
    close("N712", mass("n712") - mass("n719"), step, 1e-12);
}
