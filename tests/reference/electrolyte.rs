//! The electrolyte card: recipes with molar masses from formulas, what follows the actual, and the chain from the
//! spacer gap to triiodide.

use glasswick_core::calculators;
use glasswick_core::chemistry::formula::Formula;
use glasswick_core::problem::Level;
use glasswick_core::quantity::{self, Kind};
use glasswick_core::sheet::{Card, Evaluation, Input, Sheet, State, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{self, alone, card, check, near, number, stops};

fn found(evaluation: &Evaluation, output: &str) -> f64 {
    number(&evaluation.cards[0], output)
}

/// Molar mass of a formula in g/mol.
fn molar_mass(formula: &str) -> f64 {
    Formula::parse(formula).expect(formula).molar_mass().value * 1e3
}

/// Cases MWE: IUPAC abridged weights, Python 3.11, three decimals printed. EL-mass has the last two beside its masses.
#[wasm_bindgen_test(unsupported = test)]
fn molar_masses_of_salts() {
    for (formula, expected) in [
        ("C8H15IN2", 266.126),
        ("C5H9IN2", 224.045),
        ("C7H13IN2", 252.099),
        ("LiI", 133.844),
        ("I2", 253.809),
        ("C9H13N", 135.210),
    ] {
        let found = molar_mass(formula);
        assert!((found - expected).abs() <= 5e-4, "{formula}: {found}");
    }
}

/// The molar masses typed in the worked recipes are those of these formulas.
#[wasm_bindgen_test(unsupported = test)]
fn recipes_have_the_molar_masses_of_their_formulas() {
    const FORMULAS: &[(&str, &str)] = &[
        ("1,2-dimethyl-3-propylimidazolium iodide", "C8H15IN2"),
        ("1-butyl-3-methylimidazolium iodide", "C8H15IN2"),
        ("1,3-dimethylimidazolium iodide", "C5H9IN2"),
        ("lithium iodide", "LiI"),
        ("sodium iodide", "NaI"),
        ("potassium iodide", "KI"),
        ("tetramethylammonium iodide", "(CH3)4NI"),
        ("tetraethylammonium iodide", "(C2H5)4NI"),
        ("tetrapropylammonium iodide", "(C3H7)4NI"),
        ("tetrabutylammonium iodide", "(C4H9)4NI"),
        ("iodine", "I2"),
        ("4-tert-butylpyridine", "C9H13N"),
        ("guanidinium thiocyanate", "(CH6N3)SCN"),
        ("Co(bpy)₃(PF₆)₂", "Co(C10H8N2)3(PF6)2"),
        ("Co(bpy)₃(PF₆)₃", "Co(C10H8N2)3(PF6)3"),
        ("lithium perchlorate", "LiClO4"),
        ("Cu(tmby)₂TFSI", "Cu(C14H16N2)2(N(SO2CF3)2)"),
        ("Cu(tmby)₂(TFSI)₂", "Cu(C14H16N2)2(N(SO2CF3)2)2"),
        ("lithium bis(trifluoromethylsulfonyl)imide", "LiN(SO2CF3)2"),
    ];
    let mut seen = 0;
    for (calculator, case) in calculators::cases() {
        if calculator.id != "electrolyte" {
            continue;
        }
        for (path, name) in case.inputs {
            let Some(row) = path
                .strip_prefix("components.")
                .and_then(|rest| rest.strip_suffix(".name"))
            else {
                continue;
            };
            let (_, formula) = FORMULAS
                .iter()
                .find(|(known, _)| known == name)
                .unwrap_or_else(|| panic!("no formula for {name}"));
            let typed = case
                .inputs
                .iter()
                .find(|(path, _)| *path == format!("components.{row}.molar_mass"));
            let typed = quantity::parse(typed.unwrap().1, Kind::MolarMass, None).unwrap();
            // Typed with six to nine digits.
            near(molar_mass(formula), typed.value, 5e-6, name);
            seen += 1;
        }
    }
    assert!(seen >= 30, "{seen}");
}

/// Two salts, iodine and an additive in acetonitrile, with a volume in mL; changed as said. Invented.
fn recipe(volume: f64, changes: &[(&str, &str)]) -> Evaluation {
    let volume = format!("{volume} mL");
    let usual = [
        ("volume", volume.as_str()),
        ("components.salt.name", "lithium iodide"),
        ("components.salt.role", "iodide"),
        ("components.salt.target", "0.5 mol/L"),
        ("components.salt.molar_mass", "133.844 g/mol"),
        ("components.salt.purity", "98 %"),
        ("components.salt.water", "3 %"),
        ("components.iodine.name", "iodine"),
        ("components.iodine.role", "iodine"),
        ("components.iodine.target", "50 mmol/L"),
        ("components.iodine.molar_mass", "253.809 g/mol"),
        ("components.tbp.name", "4-tert-butylpyridine"),
        ("components.tbp.form", "liquid"),
        ("components.tbp.target", "0.5 mol/L"),
        ("components.tbp.molar_mass", "135.21 g/mol"),
        ("components.tbp.density", "0.915 g/mL"),
        ("solvents.an.parts", "85"),
        ("solvents.an.density", "0.776 g/mL"),
        ("solvents.vn.parts", "15"),
        ("solvents.vn.density", "0.796 g/mL"),
        ("couple", "equilibrium"),
        ("constant", "1e7 L/mol"),
    ];
    alone(card("electrolyte", &[&usual, changes].concat()))
}

#[wasm_bindgen_test(unsupported = test)]
fn a_recipe_is_homogeneous_in_its_volume() {
    const GROW: &[&str] = &[
        "made_volume",
        "recipe.salt.mass",
        "recipe.iodine.mass",
        "recipe.tbp.mass",
        "recipe.tbp.volume",
        "solvent_volume",
        "solvent_recipe.an.volume",
        "solvent_recipe.vn.mass",
        "total_mass",
    ];
    const STAY: &[&str] = &[
        "recipe.salt.made",
        "recipe.tbp.made",
        "iodide_total",
        "iodine_total",
        "triiodide",
        "iodine_free",
        "water_share",
        "solvent_recipe.an.share",
    ];
    let one = recipe(10.0, &[]);
    let mut numbers = Generator::new(60);
    for _ in 0..50 {
        let factor = numbers.between(1e-6, 1e6);
        let other = recipe(10.0 * factor, &[]);
        for output in GROW {
            near(
                found(&other, output),
                factor * found(&one, output),
                1e-13,
                output,
            );
        }
        for output in STAY {
            near(found(&other, output), found(&one, output), 1e-13, output);
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_follows_uses_what_was_weighed() {
    let evaluation = recipe(
        10.0,
        &[
            ("components.iodine.actual_mass", "140 mg"),
            ("actual_final_volume", "9.8 mL"),
        ],
    );
    near(
        found(&evaluation, "recipe.iodine.mass"),
        126.9045e-6,
        1e-12,
        "the plan stays",
    );
    let made = 140e-6 / 0.253_809 / 9.8e-6;
    near(
        found(&evaluation, "iodine_total"),
        made,
        1e-12,
        "iodine made",
    );
    near(
        found(&evaluation, "iodide_total"),
        500.0 * 10.0 / 9.8,
        1e-12,
        "in the volume reached",
    );
    // Nearly all iodine is bound.
    near(found(&evaluation, "triiodide"), made, 1e-6, "triiodide");
    let sentences: Vec<String> = evaluation.cards[0]
        .checks
        .iter()
        .filter(|check| check.code == "actual_against_plan")
        .map(|check| support::plain(&check.sentence))
        .collect();
    assert_eq!(
        sentences,
        [
            "iodine: 140 mg, 10 % above the planned 126.9 mg. Look again at the reading and its unit.",
            "Volume actually reached: 9.8 mL, 2.0 % below the planned 10 mL.",
        ]
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_component_too_light_to_weigh_is_named_with_a_way_out() {
    let balance = [("balance", "readability"), ("readability", "0.1 mg")];
    let small = recipe(0.1, &balance);
    let warned: Vec<String> = small.cards[0]
        .checks
        .iter()
        .filter(|check| check.code == "below_least_mass")
        .map(|check| support::plain(&check.sentence))
        .collect();
    assert_eq!(warned.len(), 2, "{warned:?}");
    assert_eq!(
        warned[1],
        "iodine: 1.269 mg is less than this balance weighs with the wanted uncertainty (8.165 mg). Weigh more into a \
         stock and take an aliquot, with the card “Stock and aliquot”, or prepare 0.6434 mL of electrolyte."
    );
    // At the smallest volume, the lightest solid just reaches the least mass; the liquid is not weighed.
    let least = found(&small, "least_volume") * 1e6;
    let enough = recipe(least * (1.0 + 1e-12), &balance);
    assert_eq!(check(&enough, "below_least_mass"), None);
    near(
        found(&enough, "recipe.iodine.mass"),
        found(&enough, "least_mass"),
        1e-11,
        "the lightest",
    );
    let (level, _) = check(&enough, "above_least_mass").unwrap();
    assert_eq!(level, Level::InRange);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_a_careful_colleague_says() {
    let usual = recipe(10.0, &[]);
    let (level, sentence) = check(&usual, "solvent_upper_limit").unwrap();
    assert_eq!(level, Level::Note);
    assert!(
        sentence.contains("9.261 mL of solvent is enough"),
        "{sentence}"
    );
    // 3 % of 704.0 mg in 8.721 g.
    let (_, sentence) = check(&usual, "water_from_components").unwrap();
    assert!(sentence.contains("bring 0.24 % of water"), "{sentence}");
    assert_eq!(check(&usual, "iodine_above_iodide"), None);
    let poor = recipe(10.0, &[("components.salt.target", "20 mmol/L")]);
    assert!(check(&poor, "iodine_above_iodide").is_some());
    let none = recipe(10.0, &[("components.iodine.role", "other")]);
    assert!(check(&none, "no_couple").is_some());
    assert!(none.cards[0].output("iodine_total").is_none());
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_stops() {
    stops(
        &recipe(10.0, &[("components.salt.actual_volume", "0.2 mL")]),
        "components.salt.density",
        "density_missing",
        "A volume was used, and its mass is not known without the density.",
    );
    stops(
        &recipe(
            10.0,
            &[
                ("components.tbp.actual_volume", "0.7 mL"),
                ("components.tbp.actual_mass", "0.7 g"),
            ],
        ),
        "components.tbp.actual_volume",
        "mass_and_volume",
        "Both a mass and a volume are entered as actually used.",
    );
    stops(
        &recipe(10.0, &[("components.tbp.target", "7 mol/L")]),
        "components",
        "components_above_volume",
        "The components alone take up 10.34 mL, more than the volume of electrolyte (10 mL).",
    );
}

fn link(card: &mut Card, field: &str, address: &str) {
    let address = address.parse().expect("an address");
    card.inputs.insert(field.into(), Input::Link(address));
}

/// The demo chain: the volume of the gap is prepared, and its totals give the species.
fn chain() -> Evaluation {
    let gap = card(
        "spacer_gap",
        &[
            ("width", "6.00 ± 0.05 mm"),
            ("length", "6.00 ± 0.05 mm"),
            ("spacer", "60 ± 3 um"),
            ("film_area", "25 mm2"),
            ("film_thickness", "10.0 ± 0.4 um"),
            ("porosity", "(60 ± 3) %"),
            ("cells", "10"),
        ],
    );
    let mut electrolyte = card(
        "electrolyte",
        &[
            ("components.a.role", "iodide"),
            ("components.a.target", "0.3 mol/L"),
            ("components.a.molar_mass", "266.126 ± 0.01 g/mol"),
            ("components.a.water", "(2.0 ± 0.5) %"),
            ("components.a.actual_mass", "2.03 ± 0.02 mg"),
            ("components.b.role", "iodine"),
            ("components.b.target", "0.1 mol/L"),
            ("components.b.molar_mass", "253.809 g/mol"),
            ("components.b.actual_mass", "0.64 ± 0.02 mg"),
        ],
    );
    link(&mut electrolyte, "volume", "spacer_gap.prepare");
    let mut triiodide = card(
        "triiodide",
        &[("solvent", "other"), ("constant", "50 ± 10 L/mol")],
    );
    link(&mut triiodide, "iodide_total", "electrolyte.iodide_total");
    link(&mut triiodide, "iodine_total", "electrolyte.iodine_total");
    evaluate(&Sheet {
        cards: vec![gap, electrolyte, triiodide],
    })
}

#[wasm_bindgen_test(unsupported = test)]
fn derivatives_reach_through_the_chain_from_gap_to_triiodide() {
    let evaluation = chain();
    let values: Vec<f64> = evaluation.leaves.iter().map(|leaf| leaf.value).collect();
    for output in ["triiodide", "iodine_free", "iodide_free", "bound"] {
        let card = &evaluation.cards[2];
        assert_eq!(card.state, State::Ready);
        let place = card.outputs.iter().position(|o| o.path == output).unwrap();
        let at = |values: &[f64]| evaluation.replay(values, &|_, _| 0.0).unwrap()[2][place];
        near(at(&values), number(card, output), 0.0, output);
        let mut variance = 0.0;
        for (index, leaf) in evaluation.leaves.iter().enumerate() {
            if leaf.uncertainty == 0.0 {
                continue;
            }
            let step = 1e-5 * leaf.value;
            let shifted = |by: f64| {
                let mut values = values.clone();
                values[index] += by;
                at(&values)
            };
            let slope = (shifted(step) - shifted(-step)) / (2.0 * step);
            let share = slope * leaf.uncertainty;
            variance += share * share;
        }
        let budget = evaluation.budget("triiodide", output).unwrap();
        assert!(budget.rows.len() >= 7, "{output}: {}", budget.rows.len());
        near(budget.uncertainty, variance.sqrt(), 1e-6, output);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn solvents_as_used_are_compared_with_the_recipe() {
    let poured = |volume| {
        let entries = [
            ("volume", "10 mL"),
            ("components.a.name", "lithium iodide"),
            ("components.a.target", "0.1 mol/L"),
            ("components.a.molar_mass", "133.844 g/mol"),
            ("solvents.s.name", "acetonitrile"),
            ("solvents.s.parts", "1"),
            ("solvents.s.actual_volume", volume),
        ];
        alone(card("electrolyte", &entries))
    };
    let (level, sentence) = check(&poured("9.95 mL"), "actual_against_plan").unwrap();
    assert_eq!(level, Level::InRange);
    assert!(sentence.starts_with("acetonitrile: 9.95 mL"), "{sentence}");
    assert_eq!(check(&poured("9.95 mL"), "solvents_above_volume"), None);
    let (level, sentence) = check(&poured("12 mL"), "solvents_above_volume").unwrap();
    assert_eq!(level, Level::Warning);
    assert!(
        sentence.starts_with("The solvents as used (12 mL) are more than the volume made (10 mL)"),
        "{sentence}"
    );
}

/// 10 mmol of 100 g/mol at 0.1 g/mL are 10 mL.
#[wasm_bindgen_test(unsupported = test)]
fn solvent_that_is_not_planned_is_not_compared() {
    let full = alone(card(
        "electrolyte",
        &[
            ("volume", "10 mL"),
            ("components.a.target", "1 mol/L"),
            ("components.a.molar_mass", "100 g/mol"),
            ("components.a.density", "0.1 g/mL"),
            ("solvents.s.parts", "1"),
            ("solvents.s.actual_volume", "1 mL"),
        ],
    ));
    assert_eq!(check(&full, "actual_against_plan"), None);
}
