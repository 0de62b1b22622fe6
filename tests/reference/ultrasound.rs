//! The ultrasound calculator through its public interface: both ways, and what it says.

use glasswick_core::problem::Level;
use glasswick_core::sheet::Evaluation;
use wasm_bindgen_test::wasm_bindgen_test;

use crate::properties::Generator;
use crate::support::{alone, card, check, number};

fn evaluated(inputs: &[(&str, &str)]) -> Evaluation {
    alone(card("ultrasound", inputs))
}

#[wasm_bindgen_test(unsupported = test)]
fn the_time_found_gives_the_energy() {
    let mut numbers = Generator::new(5_006);
    for _ in 0..200 {
        let device = [
            ("power", format!("{} W", numbers.between(1.0, 1000.0))),
            ("duty", format!("{} %", numbers.between(1.0, 100.0))),
            ("mass", format!("{} g", numbers.between(1.0, 5000.0))),
        ];
        let wanted = numbers.between(1.0, 1e4);
        let with = |others: &[(&'static str, &str)]| {
            let device = device.iter().map(|(field, text)| (*field, text.as_str()));
            evaluated(&device.chain(others.iter().copied()).collect::<Vec<_>>())
        };
        let found = with(&[("find", "time"), ("target", &format!("{wanted} J/g"))]);
        let time = format!("{} s", number(&found.cards[0], "time"));
        let energy = number(&with(&[("time", &time)]).cards[0], "energy_per_mass") / 1e3;
        assert!(
            (energy - wanted).abs() <= 1e-12 * wanted,
            "{energy}, not {wanted}"
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn what_the_power_means_and_how_warm_it_gets_is_said() {
    let treated = |power_by, time| {
        evaluated(&[
            ("power_by", power_by),
            ("power", "50 W"),
            ("mass", "100 g"),
            ("time", time),
        ])
    };
    let displayed = treated("displayed", "10 min");
    assert_eq!(
        check(&displayed, "displayed_power").map(|c| c.0),
        Some(Level::Note)
    );
    // 300 J/g over 4.18 J/(g·K).
    let (level, sentence) = check(&displayed, "warming").expect("it is said");
    assert_eq!(level, Level::Note);
    assert!(sentence.contains("warm water by 71.77 K"), "{sentence}");
    let (_, sentence) = check(&treated("displayed", "20 min"), "warming").expect("it is said");
    assert!(
        sentence.starts_with("Without cooling this would boil it"),
        "{sentence}"
    );
    let short = treated("calorimetry", "1 min");
    assert_eq!(check(&short, "displayed_power"), None);
    assert_eq!(check(&short, "warming").map(|c| c.0), Some(Level::InRange));
}
