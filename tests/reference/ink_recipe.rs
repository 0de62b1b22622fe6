//! The ink recipe through its public interface: families INK and MIX, scaling, what was weighed, and what it says.

use glasswick_core::calculators;
use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Card, Evaluation, Input, Sheet, State, evaluate};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, one_pass, stops};

type Entries<'a> = Vec<(String, &'a str)>;

/// One component, its row named after its role; all of it is active unless said otherwise.
fn component<'a>(role: &'a str, cells: &[(&str, &'a str)]) -> Entries<'a> {
    let usual = [
        ("role", role),
        ("active_as", "pure"),
        ("rest", "carrier"),
        ("name", role),
    ];
    let cells = usual.iter().chain(cells);
    cells
        .map(|(cell, text)| (format!("components.{role}.{cell}"), *text))
        .collect()
}

fn filled(components: &[Entries<'_>], others: &[(&str, &str)]) -> Card {
    let cells = components
        .iter()
        .flatten()
        .map(|(path, text)| (path.as_str(), *text));
    let entries: Vec<(&str, &str)> = cells.chain(others.iter().copied()).collect();
    card("ink_recipe", &entries)
}

fn evaluated(components: &[Entries<'_>], others: &[(&str, &str)]) -> Evaluation {
    alone(filled(components, others))
}

/// 20 g of powder in 80 g of water.
fn plain<'a>() -> Vec<Entries<'a>> {
    vec![
        component(
            "powder",
            &[("planned_mass", "20 g"), ("density", "4 g/cm3")],
        ),
        component(
            "carrier",
            &[("planned_mass", "80 g"), ("density", "1 g/mL")],
        ),
    ]
}

#[track_caller]
fn near(found: f64, expected: f64, relative: f64) {
    let distance = (found - expected).abs();
    assert!(
        distance <= relative * expected.abs(),
        "{found}, not {expected}"
    );
}

/// INK, mass balance with additive volumes, computed with Python 3.
#[wasm_bindgen_test(unsupported = test)]
fn oxides_in_a_carrier() {
    let inks = [
        (
            ["20 g", "80 g"],
            ["3.9", "0.789"],
            [0.048_142_046_494_600_035, 938.769_906_644_700_6],
        ),
        (
            ["15 g", "85 g"],
            ["6.85", "0.998"],
            [0.025_066_139_780_985_236, 1_144.687_049_998_325_7],
        ),
    ];
    for ([powder, carrier], [solid, liquid], [by_volume, density]) in inks {
        let evaluation = evaluated(
            &[
                component("powder", &[("planned_mass", powder), ("density", solid)]),
                component("carrier", &[("planned_mass", carrier), ("density", liquid)]),
            ],
            &[],
        );
        let ink = &evaluation.cards[0];
        near(number(ink, "powder_volume_fraction"), by_volume, 1e-9);
        near(number(ink, "ink_density"), density, 1e-9);
    }
}

/// MIX, 50 mL and 50 mL: mass, fraction and real volume by the OIML R 22 formula, coefficients from memory, computed.
#[wasm_bindgen_test(unsupported = test)]
fn a_measured_density_overrides_additive_volumes() {
    let mixed = [
        component(
            "carrier",
            &[
                ("planned_volume", "50.0 mL"),
                ("density", "998.20123 kg/m3"),
            ],
        ),
        component(
            "other",
            &[
                ("planned_volume", "50.0 mL"),
                ("density", "789.2391232999144 kg/m3"),
            ],
        ),
    ];
    let additive = evaluated(&mixed, &[]);
    near(number(&additive.cards[0], "total_volume"), 100e-6, 1e-12);
    let measured = evaluated(&mixed, &[("measured_density", "926.4930540821549 kg/m3")]);
    let ink = &measured.cards[0];
    near(number(ink, "total_mass"), 0.089_372_017_664_995_72, 1e-12);
    near(
        number(ink, "made.other.mass_fraction"),
        0.441_547_110_561_114_23,
        1e-12,
    );
    near(number(ink, "total_volume"), 96.462_695_830_497_65e-6, 1e-12);
    let (level, sentence) = check(&measured, "additive_density").expect("it is compared");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.contains("0.8937 g/mL, by 3.7 %. Alcohol and water shrink"),
        "{sentence}"
    );
}

/// 6 g of 4 g/mL is 1.5 mL; 36 g of ink at 1143 g/mL, a slip of the unit, would be 0.031 50 mL.
#[wasm_bindgen_test(unsupported = test)]
fn powder_does_not_fill_more_than_the_ink() {
    let ink = |density| {
        let components = [
            component("powder", &[("planned_mass", "6 g"), ("density", "4 g/mL")]),
            component(
                "carrier",
                &[("planned_mass", "30 g"), ("density", "1 g/mL")],
            ),
        ];
        evaluated(&components, &[("measured_density", density)])
    };
    stops(
        &ink("1143 g/mL"),
        "measured_density",
        "powder_above_ink",
        "The powder alone would fill 1.5 mL, more than the ink (31.5 µL).",
    );
    // By additive volumes 36 g in 31.5 mL: 1.143 g/mL.
    for (density, level, cause) in [
        ("1.15 g/mL", Level::InRange, "agrees"),
        ("1.18 g/mL", Level::Note, "Alcohol and water"),
        ("1.20 g/mL", Level::Warning, "its unit"),
        ("1.11 g/mL", Level::Note, "air in the ink"),
        ("1.05 g/mL", Level::Warning, "air in the ink"),
    ] {
        let (found, sentence) = check(&ink(density), "additive_density").expect("it is compared");
        assert_eq!(found, level, "{sentence}");
        assert!(sentence.contains(cause), "{sentence}");
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn measuring_the_ink_does_not_change_what_is_to_be_weighed() {
    let to_weigh = |others: &[(&str, &str)]| {
        let batch = [("scale", "volume"), ("batch_volume", "17 mL")];
        let evaluation = evaluated(&plain(), &[&batch, others].concat());
        number(&evaluation.cards[0], "weigh_out.powder.mass")
    };
    assert_eq!(to_weigh(&[]), to_weigh(&[("measured_density", "1.1 g/mL")]));
    near(to_weigh(&[]), 4e-3, 1e-12);
}

/// Twice of everything weighs and fills twice as much and is the same ink; and each way of scaling meets its aim.
#[wasm_bindgen_test(unsupported = test)]
fn scaling_is_homogeneous() {
    let mut numbers = Generator::new(5_002);
    for _ in 0..100 {
        let masses: Vec<f64> = (0..4).map(|_| numbers.between(1e-3, 50.0)).collect();
        let densities: Vec<String> = (0..5)
            .map(|_| format!("{} g/mL", numbers.between(0.7, 6.0)))
            .collect();
        let active = format!("{} %", numbers.between(1.0, 60.0));
        let factor = numbers.between(1e-2, 1e2);
        let ink = |factor: f64, others: &[(&str, &str)]| {
            let amounts: Vec<String> = masses.iter().map(|m| format!("{} g", factor * m)).collect();
            let volume = format!("{} mL", factor * 3.0);
            let evaluation = evaluated(
                &[
                    component(
                        "powder",
                        &[("planned_mass", &amounts[0]), ("density", &densities[0])],
                    ),
                    component(
                        "carrier",
                        &[("planned_mass", &amounts[1]), ("density", &densities[1])],
                    ),
                    component(
                        "dispersant",
                        &[
                            ("planned_mass", &amounts[2]),
                            ("density", &densities[2]),
                            ("active_as", "w_w"),
                            ("active", &active),
                        ],
                    ),
                    component(
                        "binder",
                        &[("planned_mass", &amounts[3]), ("density", &densities[3])],
                    ),
                    component(
                        "humectant",
                        &[("planned_volume", &volume), ("density", &densities[4])],
                    ),
                ],
                others,
            );
            evaluation.cards[0].clone()
        };
        let (one, many) = (ink(1.0, &[]), ink(factor, &[]));
        for output in &one.outputs {
            let extensive = ["mass", "volume", "brought"];
            let column = output.path.rsplit('.').next().unwrap();
            let grows = extensive.iter().any(|end| column.ends_with(end));
            let expected = output.value * if grows { factor } else { 1.0 };
            let found = number(&many, &output.path);
            let size = if column == "carrier_brought" {
                number(&many, "total_mass")
            } else {
                expected.abs()
            };
            assert!(
                (found - expected).abs() <= 1e-12 * size,
                "{}: {found}, not {expected}",
                output.path
            );
        }
        let total = format!("{} kg", factor * number(&one, "total_mass"));
        let volume = format!("{} m3", factor * number(&one, "total_volume"));
        let powder = format!("{} g", factor * masses[0]);
        for (scale, field, aim) in [
            ("mass", "batch_mass", total),
            ("volume", "batch_volume", volume),
            ("powder", "powder_at_hand", powder),
        ] {
            let scaled = ink(1.0, &[("scale", scale), (field, &aim)]);
            near(number(&scaled, "scale_factor"), factor, 1e-12);
            near(
                number(&scaled, "total_volume"),
                number(&many, "total_volume"),
                1e-12,
            );
        }
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_is_weighed_is_followed() {
    let evaluation = evaluated(
        &[
            component(
                "powder",
                &[
                    ("planned_mass", "20 g"),
                    ("actual_mass", "20.1 g"),
                    ("density", "4 g/cm3"),
                ],
            ),
            component(
                "carrier",
                &[
                    ("planned_mass", "78 g"),
                    ("weighed", "yes"),
                    ("density", "1 g/mL"),
                ],
            ),
            component(
                "binder",
                &[("planned_mass", "2 g"), ("density", "1.1 g/mL")],
            ),
        ],
        &[],
    );
    let said = |code| check(&evaluation, code).expect(code);
    assert_eq!(
        said("still_to_weigh"),
        (Level::Note, "Still to weigh: binder.".into())
    );
    assert_eq!(
        said("counted_as_planned").1,
        "No actual mass is entered for carrier, binder: the ink counts it as planned."
    );
    assert_eq!(said("actual_against_plan").0, Level::InRange);
    let ink = &evaluation.cards[0];
    near(number(ink, "weigh_out.powder.deviation"), 0.005, 1e-12);
    near(number(ink, "total_mass"), 0.1001, 1e-12);

    let slipped = evaluated(
        &[component(
            "powder",
            &[("planned_mass", "20 g"), ("actual_mass", "2.0 g")],
        )],
        &[],
    );
    let (level, sentence) = check(&slipped, "actual_against_plan").expect("it is compared");
    assert_eq!(level, Level::Warning);
    assert_eq!(
        sentence,
        "powder: 2 g, 90 % below the planned 20 g. Look again at the reading and its unit."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_was_not_planned_counts_too() {
    let mut components = plain();
    components.push(component(
        "acid_base",
        &[("actual_mass", "0.4 g"), ("density", "1.2 g/mL")],
    ));
    let evaluation = evaluated(&components, &[]);
    near(number(&evaluation.cards[0], "total_mass"), 0.1004, 1e-12);
    let (_, sentence) = check(&evaluation, "not_in_recipe").expect("it is said");
    assert_eq!(
        sentence,
        "0.4 g of acid_base went in, which is not in the recipe."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_next_batch_is_not_weighed_yet() {
    let mut card = filled(
        &[component(
            "powder",
            &[
                ("planned_mass", "20 g"),
                ("actual_mass", "21 g"),
                ("weighed", "yes"),
            ],
        )],
        &[],
    );
    card.clear_measured();
    assert_eq!(
        card.at("components.powder.weighed"),
        Some(&Input::Text("no".into()))
    );
    assert_eq!(
        card.at("components.powder.role"),
        Some(&Input::Text("powder".into()))
    );
    let evaluation = alone(card);
    near(number(&evaluation.cards[0], "total_mass"), 0.02, 1e-12);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_lacks_a_density_leaves_out_volumes_and_says_so() {
    let evaluation = evaluated(
        &[
            component("powder", &[("planned_mass", "20 g")]),
            component(
                "carrier",
                &[("planned_mass", "80 g"), ("density", "1 g/mL")],
            ),
        ],
        &[],
    );
    let ink = &evaluation.cards[0];
    assert_eq!(ink.state, State::Ready);
    near(number(ink, "powder_fraction"), 0.2, 1e-12);
    assert!(ink.output("total_volume").is_none());
    assert!(ink.output("powder_volume_fraction").is_none());
    let (_, sentence) = check(&evaluation, "volume_unknown").expect("it is said");
    assert_eq!(
        sentence,
        "The volume of the ink needs the density of powder, or a measured density of the ink."
    );
    assert!(check(&evaluation, "powder_density_unknown").is_some());
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_stops() {
    let one = |cells: &[(&str, &'static str)]| evaluated(&[component("binder", cells)], &[]);
    stops(
        &one(&[("planned_mass", "1 g"), ("planned_volume", "1 mL")]),
        "components.binder.planned_volume",
        "amount_twice",
        "The recipe has both a mass and a volume of binder.",
    );
    stops(
        &one(&[]),
        "components.binder.planned_mass",
        "no_amount",
        "There is no amount of binder yet.",
    );
    stops(
        &one(&[("planned_volume", "1 mL")]),
        "components.binder.density",
        "density_needed",
        "The density of binder is needed: it is in the recipe by volume.",
    );
    stops(
        &one(&[
            ("planned_mass", "1 g"),
            ("active_as", "w_v"),
            ("active", "30 %"),
        ]),
        "components.binder.density",
        "density_needed",
        "The density of binder is needed: its active fraction is stated per volume.",
    );
    stops(
        &one(&[
            ("planned_mass", "1 g"),
            ("active_as", "v_v"),
            ("active", "30 %"),
            ("density", "1 g/mL"),
        ]),
        "components.binder.active_density",
        "density_needed",
        "The density of what is active in binder is needed: its fraction is stated by volume.",
    );
    stops(
        &one(&[("planned_mass", "1 g"), ("active_as", "w_w")]),
        "components.binder.active",
        "no_active",
        "There is no active fraction of binder yet.",
    );
    stops(
        &one(&[
            ("planned_mass", "1 g"),
            ("active_as", "w_w"),
            ("active", "125 %"),
        ]),
        "components.binder.active",
        "more_than_all",
        "125 % of binder would be active.",
    );
    stops(
        &one(&[("planned_mass", "1 g"), ("actual_mass", "0 g")]),
        "components",
        "empty_ink",
        "Nothing went into the ink.",
    );
    let no_powder = component("binder", &[("planned_mass", "1 g")]);
    stops(
        &evaluated(
            &[no_powder],
            &[("scale", "powder"), ("powder_at_hand", "3 g")],
        ),
        "powder_at_hand",
        "nothing_to_scale",
        "The recipe as written holds none of what it is to be scaled by.",
    );
}

/// Residue and recipe feed a thickness: the uncertainty of a weighing arrives there.
#[wasm_bindgen_test(unsupported = test)]
fn the_powder_by_volume_goes_on_to_the_thickness() {
    let output = "powder_volume_fraction".into();
    let address = Address {
        card: "ink_recipe".into(),
        output,
    };
    let thickness = one_pass("0", address);
    let ink = filled(
        &[
            component(
                "powder",
                &[
                    ("planned_mass", "20 g"),
                    ("actual_mass", "20.00 ± 0.02 g"),
                    ("density", "4 g/cm3"),
                ],
            ),
            component(
                "carrier",
                &[("planned_mass", "80 g"), ("density", "1 g/mL")],
            ),
        ],
        &[],
    );
    let evaluation = evaluate(&Sheet {
        cards: vec![ink, thickness],
    });
    near(
        number(&evaluation.cards[1], "thickness"),
        25e-6 * 5.0 / 85.0,
        1e-12,
    );
    let budget = evaluation
        .budget("thickness", "thickness")
        .expect("it is there");
    // φ = v/(v + 80 mL), relative 1e-3 in v: the share of the carrier, 80/85, is left of it.
    near(
        budget.uncertainty,
        25e-6 * 5.0 / 85.0 * 1e-3 * 80.0 / 85.0,
        1e-9,
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_tick_is_known_as_one() {
    let recipe = calculators::find("ink_recipe").unwrap();
    let components = recipe.input("components").unwrap();
    let calculators::FieldKind::Table { columns } = components.kind else {
        panic!("components are a table");
    };
    let ticks: Vec<&str> = columns
        .iter()
        .filter(|c| c.is_tick())
        .map(|c| c.id)
        .collect();
    assert_eq!(ticks, ["weighed"]);
}
