//! Steps and roughness of profiles: synthetic ones of known height, seeded.

use core::f64::consts::{E, TAU};

use glasswick_core::numerics::profile::{Parts, Profile, ProfileError, Step};
use glasswick_core::scalar::Scalar;
use wasm_bindgen_test::wasm_bindgen_test;

use super::{close, within};
use crate::properties::Generator;

const HEIGHT: f64 = 300.0;
const LEFT: f64 = 1.405;
const RIGHT: f64 = 2.605;

struct Noise {
    numbers: Generator,
    film: f64,
    substrate: f64,
    correlation: f64,
    last: f64,
}

impl Noise {
    fn new(seed: u64, correlation: f64) -> Noise {
        Noise {
            numbers: Generator::new(seed),
            film: 8.0,
            substrate: 3.0,
            correlation,
            last: 0.0,
        }
    }

    /// Evenly between 0 and 1.
    fn even(&mut self) -> f64 {
        Scalar::ln(self.numbers.between(1.0, E))
    }

    /// Box and Muller.
    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * Scalar::ln(self.even().max(1e-12))).sqrt();
        radius * Scalar::cos(TAU * self.even())
    }

    /// A first-order autoregression of unit variance.
    fn next(&mut self) -> f64 {
        let fresh = self.normal() * (1.0 - self.correlation.squared()).sqrt();
        self.last = self.correlation * self.last + fresh;
        self.last
    }

    /// Positions from 0 to 4 and heights of a ridge on a tilt, bowed and with spikes where asked for.
    fn ridge(&mut self, count: usize, bow: f64, spikes: usize) -> Profile {
        let (offset, tilt) = (1000.0 * self.normal(), 200.0 * self.normal());
        let x: Vec<f64> = (0..count)
            .map(|i| 4.0 * (i as f64 + 0.5) / count as f64)
            .collect();
        let mut z: Vec<f64> = x
            .iter()
            .map(|&x| {
                let film = (LEFT..RIGHT).contains(&x);
                let scatter = if film { self.film } else { self.substrate };
                let step = if film { HEIGHT } else { 0.0 };
                offset + tilt * x + bow * x * x + step + scatter * self.next()
            })
            .collect();
        for _ in 0..spikes {
            let at = (self.even() * count as f64) as usize;
            z[at.min(count - 1)] += 400.0 * (1.0 + self.even());
        }
        Profile::new(&x, &z).unwrap()
    }
}

/// Share of 1000 profiles whose interval of two standard uncertainties holds the true height.
#[track_caller]
fn covers(what: &str, mut height: impl FnMut() -> Step) {
    let inside = (0..1000).filter(|_| {
        let step = height();
        (step.height - HEIGHT).abs() <= 2.0 * step.variance.sqrt()
    });
    let share = inside.count() as f64 / 1000.0;
    assert!((0.93..=0.97).contains(&share), "{what}: {share}");
}

fn between_edges() -> Parts {
    Parts::of_feature(LEFT, RIGHT)
}

#[wasm_bindgen_test(unsupported = test)]
fn the_interval_covers_the_step_under_tilt_and_noise() {
    let mut noise = Noise::new(1, 0.0);
    covers("white noise", || {
        noise
            .ridge(800, 0.0, 0)
            .step(&between_edges(), false, false)
            .unwrap()
    });
    let mut noise = Noise::new(2, 0.0);
    let one_sided = Parts {
        base: vec![[0.1, 1.3]],
        upper: vec![[1.5, 2.5]],
    };
    covers("one edge", || {
        noise
            .ridge(600, 0.0, 0)
            .step(&one_sided, false, false)
            .unwrap()
    });
}

#[wasm_bindgen_test(unsupported = test)]
fn the_interval_covers_the_step_where_neighbours_go_together() {
    let mut noise = Noise::new(3, 0.6);
    covers("autoregression", || {
        noise
            .ridge(1600, 0.0, 0)
            .step(&between_edges(), false, false)
            .unwrap()
    });
}

#[wasm_bindgen_test(unsupported = test)]
fn the_interval_covers_the_step_of_a_bowed_profile() {
    let mut noise = Noise::new(4, 0.0);
    covers("parabola", || {
        noise
            .ridge(800, 50.0, 0)
            .step(&between_edges(), true, false)
            .unwrap()
    });
}

#[wasm_bindgen_test(unsupported = test)]
fn the_interval_covers_the_step_beside_spikes_and_found_edges() {
    let mut noise = Noise::new(5, 0.0);
    covers("spikes left out", || {
        noise
            .ridge(800, 0.0, 6)
            .step(&between_edges(), false, true)
            .unwrap()
    });
    let mut noise = Noise::new(6, 0.0);
    covers("edges found", || {
        let profile = noise.ridge(800, 0.0, 6);
        let [left, right] = profile.edges(false).unwrap();
        within("left edge", left, LEFT, 0.03);
        within("right edge", right, RIGHT, 0.03);
        profile
            .step(&Parts::of_feature(left, right), false, true)
            .unwrap()
    });
}

/// Spikes that are kept pull at the height, and the interval grows with them.
#[wasm_bindgen_test(unsupported = test)]
fn spikes_are_seen_whether_they_are_kept_or_not() {
    let x: Vec<f64> = (0..400).map(|i| 0.01 * f64::from(i)).collect();
    let mut z: Vec<f64> = x
        .iter()
        .enumerate()
        .map(|(i, x)| {
            let step = if (LEFT..RIGHT).contains(x) {
                HEIGHT
            } else {
                0.0
            };
            step + if i % 2 == 0 { 1.0 } else { -1.0 }
        })
        .collect();
    z[50] += 500.0;
    z[200] -= 700.0;
    let profile = Profile::new(&x, &z).unwrap();
    let kept = profile.step(&between_edges(), false, false).unwrap();
    let left_out = profile.step(&between_edges(), false, true).unwrap();
    for step in [&kept, &left_out] {
        assert_eq!(step.spikes, [x[50], x[200]]);
    }
    assert_eq!(kept.fitted, left_out.fitted + 2);
    within("left out", left_out.height, HEIGHT, 0.1);
    assert!((kept.height - HEIGHT).abs() > 5.0, "{}", kept.height);
    assert!(kept.variance > 100.0 * left_out.variance);
}

#[wasm_bindgen_test(unsupported = test)]
fn tilt_and_offset_do_not_change_the_height() {
    let mut noise = Noise::new(7, 0.0);
    for bent in [false, true] {
        let profile = noise.ridge(300, 0.0, 0);
        let tilted: Vec<f64> = profile
            .x()
            .iter()
            .zip(profile.z())
            .map(|(x, z)| z + 5000.0 - 3000.0 * x)
            .collect();
        let tilted = Profile::new(profile.x(), &tilted).unwrap();
        let [one, other] =
            [&profile, &tilted].map(|p| p.step(&between_edges(), bent, false).unwrap());
        close("height", other.height, one.height, 1e-11);
        close("variance", other.variance, one.variance, 1e-9);
        assert_eq!(profile.edges(bent), tilted.edges(bent));
    }
}

/// A parabola instead of a line takes a bow away, and the F says that it is there.
#[wasm_bindgen_test(unsupported = test)]
fn a_bow_is_noticed() {
    let mut noise = Noise::new(8, 0.0);
    let gain = |profile: &Profile| {
        let [line, bent] =
            [false, true].map(|bent| profile.step(&between_edges(), bent, false).unwrap());
        line.gain(&bent)
    };
    let (straight, bowed) = (noise.ridge(400, 0.0, 0), noise.ridge(400, 20.0, 0));
    assert!(gain(&straight) < 10.0, "{}", gain(&straight));
    assert!(gain(&bowed) > 100.0, "{}", gain(&bowed));
}

/// Smooth glass read in steps of 10: a digit up is no spike, and rounding stays in the uncertainty, 10/√12 for each part.
#[wasm_bindgen_test(unsupported = test)]
fn steps_of_the_instrument_are_no_spikes_and_no_certainty() {
    let x: Vec<f64> = (0..400).map(|i| 0.01 * f64::from(i)).collect();
    let film = |x: &f64| (LEFT..RIGHT).contains(x);
    let z: Vec<f64> = x
        .iter()
        .enumerate()
        .map(|(i, x)| {
            let digit = if i % 10 == 0 { 10.0 } else { 0.0 };
            if film(x) { HEIGHT + digit } else { digit }
        })
        .collect();
    let profile = Profile::new(&x, &z).unwrap();
    let step = profile.step(&between_edges(), false, true).unwrap();
    assert!(step.spikes.is_empty(), "{:?}", step.spikes);
    close("resolution", step.resolution, 10.0, 1e-9);
    assert!(step.base.rounded && step.upper.rounded);
    let rounding = 2.0 * 100.0 / 12.0;
    assert!(
        (rounding..1.1 * rounding).contains(&step.variance),
        "{}",
        step.variance
    );
    within("height", step.height, HEIGHT, 0.5);
    // Readings that scatter over many steps average it out.
    let rough: Vec<f64> = z
        .iter()
        .enumerate()
        .map(|(i, z)| z + 10.0 * (i * i % 7) as f64)
        .collect();
    let rough = Profile::new(&x, &rough).unwrap();
    let step = rough.step(&between_edges(), false, true).unwrap();
    assert!(!step.base.rounded && !step.upper.rounded);
    assert!(step.variance < rounding, "{}", step.variance);
}

/// Transmission of the Gaussian filter: 2 to the power of minus the square of cut-off over wavelength.
#[wasm_bindgen_test(unsupported = test)]
fn the_gaussian_filter_passes_half_of_a_wave_of_its_cut_off() {
    let x: Vec<f64> = (0..6000).map(|i| 0.01 * f64::from(i)).collect();
    let parts = Parts {
        base: vec![[0.0, 9.99]],
        upper: vec![[10.0, 60.0]],
    };
    let rough = |wavelength: f64, cut_off: Option<f64>| {
        let wave = |x: &f64| {
            let film = *x >= 10.0;
            let z = HEIGHT + 10.0 * Scalar::sin(TAU * x / wavelength);
            if film { z } else { 0.0 }
        };
        let z: Vec<f64> = x.iter().map(wave).collect();
        let step = Profile::new(&x, &z)
            .unwrap()
            .step(&parts, false, false)
            .unwrap();
        step.roughness(true, &parts, cut_off).unwrap()
    };
    let whole = 10.0 / 2.0_f64.sqrt();
    let [rq, ra] = rough(0.5, None);
    close("Rq of all", rq, whole, 2e-3);
    close("Ra of all", ra, 20.0 / core::f64::consts::PI, 2e-3);
    close("short waves", rough(0.5, Some(2.5))[0], whole, 2e-3);
    close(
        "at the cut-off",
        rough(2.5, Some(2.5))[0],
        0.5 * whole,
        1e-2,
    );
    let left = 1.0 - Scalar::exp(-core::f64::consts::LN_2 / 4.0);
    close("long waves", rough(5.0, Some(2.5))[0], left * whole, 2e-2);
}

#[wasm_bindgen_test(unsupported = test)]
fn missing_readings_are_counted() {
    let x = [0.0, 1.0, 2.0, 5.0, 6.1, 7.0, 9.0, 10.0, 11.0];
    let profile = Profile::new(&x, &[0.0; 9]).unwrap();
    assert_eq!(profile.gaps(), [(2.0, 2.0), (7.0, 1.0)]);
}

#[wasm_bindgen_test(unsupported = test)]
fn what_gives_no_step_is_said() {
    assert_eq!(
        Profile::new(&[0.0, 1.0], &[0.0]),
        Err(ProfileError::NotFinite)
    );
    let x: Vec<f64> = (0..30).map(f64::from).collect();
    let flat = Profile::new(&x, &[7.0; 30]).unwrap();
    assert_eq!(flat.edges(false), Err(ProfileError::Undetermined));
    let short = Profile::new(&x[..14], &x[..14]).unwrap();
    assert_eq!(
        short.edges(false),
        Err(ProfileError::TooFewPoints { needed: 15 })
    );
    let parts = |base: [f64; 2], upper: [f64; 2]| Parts {
        base: vec![base],
        upper: vec![upper],
    };
    assert_eq!(
        flat.step(&parts([0.0, 5.0], [40.0, 50.0]), false, false),
        Err(ProfileError::EmptyPart { upper: true })
    );
    // Three parameters, four readings: enough; four parameters: not.
    let few = parts([0.0, 1.0], [8.0, 9.0]);
    assert!(flat.step(&few, false, false).is_ok());
    assert_eq!(
        flat.step(&few, true, false),
        Err(ProfileError::Undetermined)
    );
}
