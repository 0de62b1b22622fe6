//! Drop mass by weighing: repeats, waveforms, corrections, and the way to a thickness.

use glasswick_core::problem::Level;
use glasswick_core::sheet::{Address, Evaluation, Sheet, evaluate};
use glasswick_core::uncertainty::Origin;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, layer_of, near, number, stops};

/// Runs of 9 ng and 11 ng a drop, a million each.
const TWO: [(&str, &str); 9] = [
    ("runs.a.waveform", "slow"),
    ("runs.a.drops", "1000000"),
    ("runs.a.before", "100 mg"),
    ("runs.a.after", "109 mg"),
    ("runs.b.waveform", "slow"),
    ("runs.b.drops", "1000000"),
    ("runs.b.before", "100 mg"),
    ("runs.b.after", "111 mg"),
    ("density", "1.25 g/mL"),
];

fn weighed(changes: &[(&str, &str)]) -> Evaluation {
    alone(card("drop_mass", &[&TWO, changes].concat()))
}

/// JCGM 100:2008, 4.2.3, from memory: the standard uncertainty of a mean is s/√n, with n − 1 degrees of freedom.
#[wasm_bindgen_test(unsupported = test)]
fn runs_scatter() {
    let evaluation = weighed(&[]);
    let budget = evaluation.budget("drop_mass", "drop_mass").unwrap();
    // Of two readings half their difference: 1 ng.
    near(budget.uncertainty, 1e-12, 1e-12, "u(m)");
    let scatter = budget
        .rows
        .iter()
        .find(|row| matches!(row.origin, Origin::Scatter(_)));
    assert_eq!(scatter.map(|row| row.degrees_of_freedom), Some(1.0));
    // The volume goes with the mass, the diameter with its cube root.
    let card = &evaluation.cards[0];
    for (output, share) in [("drop_volume", 0.1), ("drop_diameter", 0.1 / 3.0)] {
        let u = evaluation.budget("drop_mass", output).unwrap().uncertainty;
        near(u, share * number(card, output), 1e-12, output);
    }
    let (level, sentence) = check(&evaluation, "runs_differ").expect("it is said");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("The runs differ by 14 %"),
        "{sentence}"
    );
    let close = weighed(&[("runs.b.after", "109.1 mg")]);
    assert_eq!(
        check(&close, "runs_differ").map(|c| c.0),
        Some(Level::InRange)
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn waveforms_are_kept_apart() {
    let fast = [("runs.b.waveform", "fast")];
    assert!(check(&weighed(&[]), "waveforms_mixed").is_none());
    assert_eq!(
        check(&weighed(&fast), "waveforms_mixed").map(|c| c.0),
        Some(Level::Warning)
    );
    let only = weighed(&[fast[0], ("only", "fast")]);
    assert!(check(&only, "waveforms_mixed").is_none());
    assert!(check(&only, "one_run").is_some());
    near(
        number(&only.cards[0], "drop_mass"),
        11e-12,
        1e-13,
        "of fast",
    );
    near(
        number(&only.cards[0], "each.a.drop_mass"),
        9e-12,
        1e-13,
        "of slow",
    );
    stops(
        &weighed(&[("only", "faster")]),
        "only",
        "no_such_waveform",
        "No run is of the waveform “faster”.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn corrections_count() {
    let corrected = [
        ("blank", "0.1 ± 0.02 mg"),
        ("evaporation", "weighed"),
        ("loss", "1 mg"),
        ("loss_time", "10 min"),
        ("open_time", "6 min"),
    ];
    let evaluation = weighed(&corrected);
    // 0.6 mg evaporated, less 0.1 mg of the blank: 0.5 ng more a drop.
    near(
        number(&evaluation.cards[0], "drop_mass"),
        10.5e-12,
        1e-13,
        "corrected",
    );
    let (level, sentence) = check(&evaluation, "large_correction").expect("it is said");
    assert_eq!(level, Level::Note);
    assert!(
        sentence.starts_with("Blank and evaporation are 7.4 % of the ink in a run"),
        "{sentence}"
    );
    assert!(check(&weighed(&[]), "large_correction").is_none());
    // A blank is common to all runs: its 0.02 mg are not averaged down.
    let budget = evaluation.budget("drop_mass", "drop_mass").unwrap();
    let blank = budget.rows.iter().find(|row| row.uncertainty == Some(2e-8));
    near(
        blank.expect("it contributes").contribution,
        2e-14,
        1e-12,
        "of the blank",
    );
    stops(
        &weighed(&[("blank", "10 mg")]),
        "runs.a.after",
        "no_ink",
        "The pan gained 9 mg, with the corrections −1 mg: no ink came into it.",
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn the_volume_goes_on_to_the_thickness() {
    let layer = layer_of(Address {
        card: "drop_mass".into(),
        output: "drop_volume".into(),
    });
    let evaluation = evaluate(&Sheet {
        cards: vec![card("drop_mass", &TWO), layer],
    });
    // 8 pL on 400 µm² are 20 µm wet, a tenth of it film.
    let thickness = number(&evaluation.cards[1], "thickness");
    near(thickness, 2e-6, 1e-12, "thickness");
    let budget = evaluation.budget("thickness", "thickness").unwrap();
    near(budget.uncertainty, 2e-7, 1e-12, "its uncertainty");
}
