//! Dilution series: the search against counting every order of every step, the uncertainty of ware used again, and when it
//! stops.

use std::collections::BTreeMap;

use glasswick_core::sheet::{Card, Input, State, Typed};
use glasswick_core::uncertainty::{Distribution, Meaning};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number, plain, stops};

fn series(inputs: &[(&str, &str)]) -> Card {
    card("dilution_series", inputs)
}

/// The limit of every volume of a table becomes one of this shape.
fn limits(card: &mut Card, table: &str, shape: Distribution, plus_minus: &str) {
    let Some(Input::Rows(rows)) = card.inputs.get_mut(table) else {
        panic!("{table}");
    };
    for row in rows {
        let Some(Input::Typed(typed)) = row.cells.get_mut("volume") else {
            panic!("a volume");
        };
        *typed = Typed {
            plus_minus: plus_minus.into(),
            meaning: Meaning::Limit(shape),
            ..typed.clone()
        };
    }
}

/// Case DIL-serial-u: limits of ISO 648 and ISO 1042, GUM 5.2; computed.
#[wasm_bindgen_test(unsupported = test)]
fn ware_used_again_adds_up_and_other_ware_in_squares() {
    const RECTANGULAR: [f64; 3] = [
        0.001_290_994_448_735_805_6,
        0.002_236_067_977_499_789_4,
        0.003_872_983_346_207_417_3,
    ];
    const TRIANGULAR: [f64; 3] = [
        0.000_912_870_929_175_276_9,
        0.001_581_138_830_084_19,
        0.002_738_612_787_525_831,
    ];
    for (shape, [one, other, same]) in [
        (Distribution::Rectangular, RECTANGULAR),
        (Distribution::Triangular, TRIANGULAR),
    ] {
        for (target, pieces, expected) in [
            ("10 mmol/L", "same", one),
            ("10 mmol/L", "other", one),
            ("0.1 mmol/L", "other", other),
            ("0.1 mmol/L", "same", same),
        ] {
            let mut card = series(&[
                ("stock", "0.1 mol/L"),
                ("target", target),
                ("pieces", pieces),
                ("pipettes.a.volume", "10"),
                ("flasks.a.volume", "100"),
            ]);
            limits(&mut card, "pipettes", shape, "0.020");
            limits(&mut card, "flasks", shape, "0.100");
            let evaluation = alone(card);
            let found = number(&evaluation.cards[0], "relative");
            assert!(
                (found / expected - 1.0).abs() < 1e-9,
                "{found}, not {expected}"
            );
            // The same from the budget of the concentration: the ware as leaves, other pieces as scatter.
            let reached = evaluation.estimate("dilution_series", "reached").unwrap();
            let relative = reached.uncertainty / reached.value;
            assert!(
                (relative / expected - 1.0).abs() < 1e-9,
                "{relative}, not {expected}"
            );
        }
    }
    // 0.1 mol/L over a thousand.
    let plan = alone(series(&[
        ("stock", "0.1 mol/L"),
        ("target", "0.1 mmol/L"),
        ("pipettes.a.volume", "10"),
        ("flasks.a.volume", "100"),
    ]));
    let reached = number(&plan.cards[0], "reached");
    assert!((reached / 0.1 - 1.0).abs() < 1e-9, "{reached}");
}

/// A step of a plan counted one by one: volumes and relative uncertainties of a pipette and a flask, with their names.
#[derive(Clone, Copy)]
struct Step {
    pipette: (usize, f64, f64),
    flask: (usize, f64, f64),
}

/// What counting finds of one selection of steps: its least waste, number of steps and squared uncertainty.
#[derive(Clone, Copy)]
struct Counted {
    waste: f64,
    steps: f64,
    relative: f64,
}

struct Limits {
    factor: (f64, f64),
    total: f64,
    needed: f64,
    same: bool,
}

/// Every order of every step up to four, without any shortcut.
fn count(steps: &[Step], limits: &Limits) -> BTreeMap<Vec<(usize, usize)>, Counted> {
    let mut found = BTreeMap::new();
    let mut open: Vec<Vec<Step>> = vec![Vec::new()];
    while let Some(chosen) = open.pop() {
        if !chosen.is_empty() {
            look(&chosen, limits, &mut found);
        }
        if chosen.len() == 4 {
            continue;
        }
        for step in steps {
            if chosen
                .last()
                .is_none_or(|last| step.pipette.1 <= last.flask.1)
            {
                open.push([&chosen[..], &[*step]].concat());
            }
        }
    }
    found
}

fn look(chosen: &[Step], limits: &Limits, found: &mut BTreeMap<Vec<(usize, usize)>, Counted>) {
    let factor: f64 = chosen.iter().map(|s| s.flask.1 / s.pipette.1).product();
    let total: f64 = chosen.iter().map(|s| s.flask.1).sum();
    let last = chosen[chosen.len() - 1].flask.1;
    let (low, high) = limits.factor;
    let slack = 1e-9;
    if factor < low * (1.0 - slack)
        || factor > high * (1.0 + slack)
        || total > limits.total * (1.0 + slack)
        || last < limits.needed * (1.0 - slack)
    {
        return;
    }
    let used: f64 = chosen[1..].iter().map(|s| s.pipette.1).sum();
    let kept = if limits.needed > 0.0 {
        limits.needed
    } else {
        last
    };
    let waste = total - used - kept;
    let mut uses: BTreeMap<(bool, usize), Vec<f64>> = BTreeMap::new();
    for step in chosen {
        uses.entry((true, step.pipette.0))
            .or_default()
            .push(step.pipette.2);
        uses.entry((false, step.flask.0))
            .or_default()
            .push(step.flask.2);
    }
    let squares = uses.values().map(|of_one| {
        if limits.same {
            let sum: f64 = of_one.iter().sum();
            sum * sum
        } else {
            of_one.iter().map(|u| u * u).sum()
        }
    });
    let relative = squares.sum::<f64>().sqrt();
    let mut selection: Vec<_> = chosen.iter().map(|s| (s.pipette.0, s.flask.0)).collect();
    selection.sort_unstable();
    let counted = Counted {
        waste,
        steps: chosen.len() as f64,
        relative,
    };
    let kept = found.entry(selection).or_insert(counted);
    kept.waste = kept.waste.min(waste);
}

fn least(of: impl Iterator<Item = f64>) -> f64 {
    of.fold(f64::INFINITY, f64::min)
}

#[wasm_bindgen_test(unsupported = test)]
fn the_search_finds_what_counting_finds() {
    let mut numbers = Generator::new(1_000_003);
    let (mut some, mut many) = (0, 0);
    for round in 0..24 {
        // Sizes as ware has them, so that many plans fit: 1, 2, 5 times a power of ten, in millilitres.
        const SIZES: [f64; 9] = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0];
        let mut pick = |from: f64, to: f64| SIZES[numbers.between(from, to) as usize];
        let pipettes: Vec<f64> = (0..3).map(|_| pick(1.0, 6.0)).collect();
        let flasks: Vec<f64> = (0..3).map(|_| pick(3.0, 9.0)).collect();
        let uncertainty = |volume: f64| 0.002 + 0.001 * volume;
        let factor = numbers.between(10.0, 1e5);
        let rank = ["uncertainty", "waste", "steps"][round % 3];
        let same = round % 2 == 0;
        let needed = if round % 4 < 2 { 0.0 } else { 20.0 };
        let total = if round % 8 < 4 { 1e3 } else { 150.0 };

        let mut inputs = vec![
            ("stock".to_owned(), "1 mol/L".to_owned()),
            ("target".into(), format!("{} mol/L", 1.0 / factor)),
            ("tolerance".into(), "20 %".into()),
            ("rank".into(), rank.into()),
            ("pieces".into(), if same { "same" } else { "other" }.into()),
            ("most_total".into(), format!("{total} mL")),
        ];
        if needed > 0.0 {
            inputs.push(("needed".into(), format!("{needed} mL")));
        }
        for (table, volumes) in [("pipettes", &pipettes), ("flasks", &flasks)] {
            for (number, volume) in volumes.iter().enumerate() {
                let path = format!("{table}.r{number}.volume");
                inputs.push((path, format!("{volume} ± {} mL", uncertainty(*volume))));
            }
        }
        let inputs: Vec<_> = inputs
            .iter()
            .map(|(a, b)| (a.as_str(), b.as_str()))
            .collect();
        let evaluation = alone(series(&inputs));
        let card = &evaluation.cards[0];

        let piece =
            |(number, volume): (usize, &f64)| (number, *volume, uncertainty(*volume) / volume);
        let mut steps = Vec::new();
        for pipette in pipettes.iter().enumerate().map(piece) {
            for flask in flasks.iter().enumerate().map(piece) {
                if pipette.1 < flask.1 {
                    steps.push(Step { pipette, flask });
                }
            }
        }
        let limits = Limits {
            factor: (factor / 1.2, factor / 0.8),
            total,
            needed,
            same,
        };
        let counted = count(&steps, &limits);
        let Some(possible) = card.output("possible") else {
            assert!(
                counted.is_empty(),
                "{} counted: {:?}",
                counted.len(),
                card.state
            );
            continue;
        };
        some += 1;
        many += counted.len();
        assert_eq!(possible.value, counted.len() as f64, "round {round}");
        let all = || counted.values();
        match rank {
            "waste" => {
                let (found, expected) = (number(card, "waste"), least(all().map(|c| c.waste)));
                assert!(
                    (found - 1e-6 * expected).abs() < 1e-15,
                    "{found}, not {expected} mL"
                );
            }
            "steps" => {
                let found = number(card, "plans.1.step_count");
                let expected = least(all().map(|c| c.steps));
                assert_eq!(found, expected);
                let of_these = all().filter(|c| c.steps == expected);
                let expected = least(of_these.map(|c| c.relative));
                assert!((number(card, "relative") / expected - 1.0).abs() < 1e-12);
            }
            _ => {
                let expected = least(all().map(|c| c.relative));
                assert!((number(card, "relative") / expected - 1.0).abs() < 1e-12);
            }
        }
        every_listed_plan_holds(
            &inputs,
            card.outputs
                .iter()
                .filter(|o| o.path.ends_with(".step_count"))
                .count(),
        );
    }
    assert!(some >= 12 && many > 100, "{some} with plans, {many} plans");
}

/// Each listed plan, followed: its steps multiply to its factor, and each takes no more than there is.
fn every_listed_plan_holds(inputs: &[(&str, &str)], listed: usize) {
    for plan in 1..=listed {
        let chosen = plan.to_string();
        let evaluation = alone(series(&[inputs, &[("plan", &chosen)]].concat()));
        let card = &evaluation.cards[0];
        let count = number(card, &format!("plans.{plan}.step_count")) as usize;
        let (mut product, mut before) = (1.0, f64::INFINITY);
        for step in 1..=count {
            let pipette = number(card, &format!("steps.{step}.pipette"));
            let flask = number(card, &format!("steps.{step}.flask"));
            assert!(pipette < flask && pipette <= before);
            product *= flask / pipette;
            before = flask;
            let after = number(card, &format!("steps.{step}.after"));
            assert!((after * product / 1000.0 - 1.0).abs() < 1e-14);
        }
        assert!(card.output(&format!("steps.{}.after", count + 1)).is_none());
        for factor in ["factor".into(), format!("plans.{plan}.factor")] {
            assert!((number(card, &factor) / product - 1.0).abs() < 1e-14);
        }
        let reached = number(card, "reached");
        assert!((reached * product / 1000.0 - 1.0).abs() < 1e-14);
    }
}

const HYDROCHLORIC: &[(&str, &str)] = &[
    ("stock", "12 mol/L"),
    ("target", "0.12 mmol/L"),
    ("pipettes.a.volume", "1 mL"),
    ("pipettes.b.volume", "10 mL"),
    ("flasks.a.volume", "10 mL"),
    ("flasks.b.volume", "100 mL"),
];

#[wasm_bindgen_test(unsupported = test)]
fn a_target_a_hundred_thousand_times_weaker() {
    let plan = alone(series(HYDROCHLORIC));
    let card = &plan.cards[0];
    assert!((number(card, "factor") / 1e5 - 1.0).abs() < 1e-12);
    // Three steps of 100, 100 and 10 take one; nothing less does.
    assert_eq!(number(card, "plans.1.step_count"), 3.0);
    assert!(check(&plan, "water_first").is_some());
    let (_, sentence) = check(&plan, "within_tolerance").unwrap();
    assert_eq!(
        sentence,
        "The plan reaches 0.12 mmol/L, 0 % from the target of 0.12 mmol/L."
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn what_cannot_be_reached_stops() {
    let with = |changes: &[(&str, &str)]| alone(series(&[HYDROCHLORIC, changes].concat()));
    stops(
        &with(&[("target", "20 mol/L")]),
        "target",
        "target_above_stock",
        "The target (20 mol/L) is not below the stock (12 mol/L): dilution cannot strengthen a solution.",
    );
    stops(
        &with(&[("step_limit", "2")]),
        "target",
        "no_plan",
        "No series of up to 2 steps with this ware comes within 1 % of 0.12 mmol/L in the volumes allowed.",
    );
    stops(
        &with(&[("least_volume", "20 mL")]),
        "pipettes",
        "no_step",
        "No pipette is smaller than a flask within the least and largest volume.",
    );
    // One into ten and twice one into a hundred; the flasks of any other three steps hold more.
    let least = [("most_total", "210 mL"), ("step_limit", "3")];
    let none = with(&[&least[..], &[("plan", "2")]].concat());
    let listed = with(&least);
    assert_eq!(number(&listed.cards[0], "possible"), 1.0);
    stops(&none, "plan", "no_such_plan", "The list has 1 plan.");
}

#[wasm_bindgen_test(unsupported = test)]
fn more_than_any_flask_holds_is_said() {
    let hint = |changes: &[(&str, &str)]| {
        let found = alone(series(&[HYDROCHLORIC, changes].concat()));
        let State::Stopped(problems) = &found.cards[0].state else {
            panic!("{:?}", found.cards[0].state);
        };
        assert_eq!(problems[0].code, "no_plan");
        plain(&problems[0].hint)
    };
    let said = "No flask holds 300 mL, the volume needed at the end: enter or allow a larger one, or need less.";
    assert_eq!(hint(&[("needed", "300 mL")]), said);
    assert!(!hint(&[("step_limit", "2")]).contains("No flask"));
}
