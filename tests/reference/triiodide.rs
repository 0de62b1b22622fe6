//! Iodide, iodine and triiodide: the equilibrium against computed values over twelve decades, and the card both ways.

use glasswick_core::chemistry::triiodide::{Species, carried, in_water, species};
use glasswick_core::problem::Level;
use glasswick_core::scalar::{Dual, Scalar};
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, checks, near, number, stops};

/// In mol/L, with K in L/mol: the equations do not know the unit.
#[track_caller]
fn all_near(found: Species<f64>, [triiodide, iodine, iodide]: [f64; 3], what: &str) {
    near(found.triiodide, triiodide, 2e-15, what);
    near(found.iodine, iodine, 2e-15, what);
    near(found.iodide, iodide, 2e-15, what);
}

/// The head of the data file says where the values come from: iodine from 1e-9 mol/L to 1e3 mol/L, iodide from a
/// thousandth to a thousand times that, two solvents.
#[wasm_bindgen_test(unsupported = test)]
fn the_equilibrium_keeps_all_digits_over_twelve_decades() {
    let data = include_str!("data/triiodide.csv");
    let mut count = 0;
    for line in data.lines().filter(|line| !line.starts_with('#')) {
        let row: Vec<f64> = line.split(';').map(|cell| cell.parse().unwrap()).collect();
        let &[constant, iodide, iodine, x, y, z] = row.as_slice() else {
            panic!("{line}");
        };
        all_near(species(iodide, iodine, constant), [x, y, z], line);
        count += 1;
    }
    assert_eq!(count, 156);
}

/// Cases I3 (mpmath, 40 digits): the ratios of the species depend on K·c only, so each case holds at any scale.
#[wasm_bindgen_test(unsupported = test)]
fn each_case_of_the_book_holds_at_any_scale() {
    for (constant, iodide, iodine, expected) in [
        (
            776.0,
            1e-3,
            1e-3,
            [
                0.000_339_025_024_525_711_45,
                0.000_660_974_975_474_288_5,
                0.000_660_974_975_474_288_5,
            ],
        ),
        (
            698.0,
            1e-3,
            1e-3,
            [
                0.000_321_414_161_072_998_86,
                0.000_678_585_838_927_001_1,
                0.000_678_585_838_927_001_1,
            ],
        ),
        (
            698.0,
            0.1,
            1e-3,
            [
                0.000_985_737_097_292_727_2,
                1.426_290_270_727_284_9e-5,
                0.099_014_262_902_707_28,
            ],
        ),
        (
            698.0,
            0.5,
            0.05,
            [
                0.049_841_375_952_994_68,
                0.000_158_624_047_005_314_93,
                0.450_158_624_047_005_3,
            ],
        ),
        (
            1e7,
            0.6,
            0.05,
            [
                0.049_999_990_909_092_71,
                9.090_907_287_753_957e-9,
                0.550_000_009_090_907_3,
            ],
        ),
        (
            1e12,
            0.6,
            0.05,
            [
                0.049_999_999_999_909_09,
                9.090_909_090_891_059e-14,
                0.550_000_000_000_090_9,
            ],
        ),
    ] {
        for step in -20..=20 {
            // Powers of two scale without rounding.
            let scale = Scalar::powi(2.0, step);
            let found = species(iodide * scale, iodine * scale, constant / scale);
            let expected = expected.map(|value| value * scale);
            all_near(found, expected, &format!("K {constant}, scale {scale}"));
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn masses_balance_over_twelve_decades() {
    let mut numbers = Generator::new(1991);
    for _ in 0..20_000 {
        let iodide = numbers.between(1e-9, 1e3);
        let iodine = numbers.between(1e-9, 1e3);
        let constant = numbers.between(1e-3, 1e9);
        let found = species(iodide, iodine, constant);
        let what = format!("{iodide} {iodine} {constant}");
        near(found.triiodide + found.iodide, iodide, 1e-14, &what);
        near(found.triiodide + found.iodine, iodine, 1e-14, &what);
        let quotient = found.triiodide / (found.iodide * found.iodine);
        near(quotient, constant, 1e-14, &what);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn no_number_is_too_large_or_too_small() {
    for (iodide, iodine, constant) in [
        (1e200, 1.0, 1.0),
        (1.0, 1e200, 1e-150),
        (1.0, 2.0, 1e-250),
        (1.0, 2.0, 1e250),
        (1e-150, 1e-200, 1e120),
    ] {
        let found = species(iodide, iodine, constant);
        near(found.triiodide + found.iodide, iodide, 1e-14, "iodide");
        near(found.triiodide + found.iodine, iodine, 1e-14, "iodine");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn nothing_comes_of_nothing() {
    for (iodide, iodine) in [(0.0, 0.0), (0.5, 0.0), (0.0, 0.5)] {
        let found = species(iodide, iodine, 1e7);
        assert_eq!(found.triiodide, 0.0);
        near(found.iodide, iodide, 2e-16, "iodide");
        near(found.iodine, iodine, 2e-16, "iodine");
    }
}

/// Mass balances and the law of mass action, differentiated, leave one solution for the derivatives.
#[wasm_bindgen_test(unsupported = test)]
fn derivatives_fulfil_the_equations_over_twelve_decades() {
    let mut numbers = Generator::new(376_369);
    for _ in 0..5_000 {
        let inputs = [
            numbers.between(1e-9, 1e3),
            numbers.between(1e-9, 1e3),
            numbers.between(1e-3, 1e9),
        ];
        for seed in 0..3 {
            let mut duals = inputs.map(Dual::constant);
            duals[seed] = Dual::seed(inputs[seed]);
            let found = species(duals[0], duals[1], duals[2]);
            let [x, y, z] = [found.triiodide, found.iodine, found.iodide];
            let sums_to = |terms: &[f64], expected: f64| {
                let size = terms
                    .iter()
                    .fold(expected.abs(), |size, t| size.max(t.abs()));
                let off = (terms.iter().sum::<f64>() - expected).abs();
                assert!(
                    off <= 1e-14 * size,
                    "{inputs:?}, {seed}: {terms:?}, {expected}"
                );
            };
            let seeded = |which| if seed == which { 1.0 } else { 0.0 };
            sums_to(&[x.slope, z.slope], seeded(0));
            sums_to(&[x.slope, y.slope], seeded(1));
            let relative = [x.slope / x.value, -y.slope / y.value, -z.slope / z.value];
            sums_to(&relative, seeded(2) / inputs[2]);
        }
    }
}

/// Cases I3-T: van 't Hoff from the values of Palmer et al. 1984 (inputs read, results computed there), in L/mol.
#[wasm_bindgen_test(unsupported = test)]
fn the_constant_of_water_follows_temperature() {
    for (celsius, plain, curved) in [
        (5.0, 1_142.888_824_369_940_5, 1_135.788_333_076_208_8),
        (15.0, 885.551_417_771_010_4, 884.235_879_930_403_3),
        (20.0, 784.608_767_246_340_4, 784.323_805_806_675_8),
        (35.0, 558.734_357_071_933_9, 557.975_314_247_230_1),
        (50.0, 410.625_656_579_198_4, 407.365_044_886_879_3),
    ] {
        let kelvin = celsius + 273.15;
        near(
            carried(698.0, -17.0e3, 0.0, kelvin),
            plain,
            1e-12,
            "no heat capacity",
        );
        near(in_water(kelvin) * 1e3, curved, 1e-12, "with heat capacity");
    }
    near(in_water(298.15), 0.698, 1e-15, "25 °C");
}

fn found(evaluation: &Evaluation, output: &str) -> f64 {
    number(&evaluation.cards[0], output)
}

#[wasm_bindgen_test(unsupported = test)]
fn totals_to_species_to_totals() {
    let mut numbers = Generator::new(7);
    for _ in 0..200 {
        let iodine = numbers.between(1e-6, 1.0);
        let iodide = iodine * numbers.between(0.1, 100.0);
        let constant = format!("{} L/mol", numbers.between(1.0, 1e8));
        let there = alone(card(
            "triiodide",
            &[
                ("iodide_total", &format!("{iodide} mol/L")),
                ("iodine_total", &format!("{iodine} mol/L")),
                ("constant", &constant),
            ],
        ));
        let triiodide = format!("{} mol/m3", found(&there, "triiodide"));
        let free = format!("{} mol/m3", found(&there, "iodide_free"));
        let back = alone(card(
            "triiodide",
            &[
                ("find", "totals"),
                ("triiodide", &triiodide),
                ("iodide_free", &free),
                ("constant", &constant),
            ],
        ));
        near(found(&back, "iodide_total"), iodide * 1e3, 1e-12, "iodide");
        near(found(&back, "iodine_total"), iodine * 1e3, 1e-12, "iodine");
    }
}

/// 0.6 mol/L of iodide and 0.05 mol/L of iodine in acetonitrile, changed as said.
fn usual(changes: &[(&str, &str)]) -> Evaluation {
    let usual = [
        ("iodide_total", "0.6 mol/L"),
        ("iodine_total", "0.05 mol/L"),
        ("constant", "1e7 L/mol"),
    ];
    alone(card("triiodide", &[&usual, changes].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn the_constant_stands_beside_the_table() {
    let code = |changes: &[(&str, &str)]| checks(&usual(changes))[0];
    assert_eq!(code(&[]), ("constant_as_in_table", Level::InRange));
    assert_eq!(
        code(&[("constant", "698 L/mol")]),
        ("constant_off_table", Level::Warning)
    );
    assert_eq!(
        code(&[("solvent", "water")]),
        ("constant_off_table", Level::Warning)
    );
    // The textbook's constant is one of the published ones.
    assert_eq!(
        code(&[("solvent", "water"), ("constant", "776 L/mol")]),
        ("constant_as_in_table", Level::InRange)
    );
    assert_eq!(
        code(&[
            ("solvent", "water"),
            ("temperature", "50 °C"),
            ("constant", "698 L/mol")
        ]),
        ("constant_off_table", Level::Warning)
    );
    assert_eq!(
        code(&[("solvent", "other")]),
        ("constant_not_in_table", Level::Note)
    );
    let water = usual(&[("solvent", "water"), ("constant", "700 L/mol")]);
    let (_, sentence) = support::check(&water, "constant_as_in_table").unwrap();
    assert_eq!(
        sentence,
        "The table has 698 L/mol for water at 25 °C; 700 L/mol is used."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn iodine_in_excess_is_said() {
    assert_eq!(support::check(&usual(&[]), "iodine_above_iodide"), None);
    let evaluation = usual(&[("iodide_total", "0.04 mol/L")]);
    let (level, _) = support::check(&evaluation, "iodine_above_iodide").unwrap();
    assert_eq!(level, Level::Warning);
}

#[wasm_bindgen_test(unsupported = test)]
fn triiodide_needs_more_iodide_than_itself() {
    let evaluation = alone(card(
        "triiodide",
        &[
            ("find", "totals"),
            ("beside", "total"),
            ("triiodide", "0.1 mol/L"),
            ("iodide_total", "0.1 mol/L"),
            ("constant", "1e7 L/mol"),
        ],
    ));
    stops(
        &evaluation,
        "triiodide",
        "triiodide_above_iodide",
        "Triiodide (0.1 mol/L) would take up all the iodide (0.1 mol/L): no amount of iodine is enough.",
    );
}

/// The formulas know nothing of solubility.
#[wasm_bindgen_test(unsupported = test)]
fn more_free_iodine_than_water_dissolves_is_warned_of() {
    let solution = |solvent, iodine| {
        let entries = [
            ("solvent", solvent),
            ("constant", "698 L/mol"),
            ("iodide_total", "10 mmol/L"),
            ("iodine_total", iodine),
        ];
        alone(card("triiodide", &entries))
    };
    let strong = solution("water", "9 mmol/L");
    let (level, sentence) = support::check(&strong, "iodine_undissolved").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(sentence.contains("about 1.3 mmol/L at 25 °C"), "{sentence}");
    assert!(number(&strong.cards[0], "iodine_free") > 1.3);
    let weak = solution("water", "4 mmol/L");
    assert!(number(&weak.cards[0], "iodine_free") < 1.3);
    assert_eq!(support::check(&weak, "iodine_undissolved"), None);
    let other = solution("other", "9 mmol/L");
    assert_eq!(support::check(&other, "iodine_undissolved"), None);
}
