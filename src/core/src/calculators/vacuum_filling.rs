//! # What it computes
//! How much gas stays in a cell that is evacuated and filled by letting in air, how large a bubble it is in the gap, how
//! many times to repeat it for a wanted share, and how large the gas is at another pressure.
//!
//! # Formulas
//! Electrolyte on the hole while pumping: p₁ = max(p, p_s), x = (p₁ − p_s)/(p₂ − p_s); put on under vacuum: p₁ = p,
//! x = p₁/(p₂ − p_s). V_g = x·V; D = √(4·V_g/(π·h)); V_g′ = V_g·(p₂ − p_s)/(p₃ − p_s); j = ⌈ln w/ln x⌉, x_j = x^j.
//!
//! # Symbols and units
//! V volume to fill (m³), h gap (m); p pressure that the pump reaches, the actual one as soon as it is there, p₁ pressure in
//! the cell before air is let in, p₂ after, p₃ another pressure, p_s vapour pressure of the solvent (Pa); x share of the
//! volume that stays gas (1), V_g its volume at p₂ and V_g′ at p₃ (m³), D diameter of the bubble (m); w wanted share (1), j
//! cycles, x_j share after them (1).
//!
//! # Valid range
//! Pressures above zero, p₂ and p₃ above the vapour pressure, p₂ not below p₁. Where the electrolyte is on the hole while
//! pumping and boils, its vapour carries air out with it; how much is not known, and no gas is given.
//!
//! # Assumptions
//! Temperature the same throughout; gas ideal; none dissolves and none leaks. A bubble holds air and saturated vapour: what
//! was vapour becomes liquid again. Where the electrolyte is on the hole while pumping, the gas in the cell is saturated too,
//! and where it boils its vapour keeps the pressure up. The bubble is a flat cylinder from plate to plate. In each further
//! cycle the gas leaves before the electrolyte does, which is the best case.
//!
//! # Sources
//! Gas law at constant temperature, partial pressures. Vapour pressure: for the user to state.
//!
//! # Worked example
//! 2.06 µL pumped to 2 kPa without vapour and filled at 101.325 kPa keep 2 % of gas: 41 nL, in a gap of 60 µm a bubble of
//! 0.93 mm.

use super::cell_filling::gap;
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice, read};
use crate::quantity::{Kind, brief_text};
use crate::scalar::Scalar;
use crate::uncertainty::Estimate;

static ORDER: Field = choice(
    "order",
    "Electrolyte on the hole",
    &[
        option("wet", "while pumping"),
        option("dry", "after pumping, under vacuum"),
    ],
);
static VOLUME: Field = quantity("volume", "Volume to fill", Kind::Volume)
    .symbol("V")
    .help("The free volume of one window.")
    .units(&["uL", "nL", "mL"])
    .positive();
static GAP: Field = gap()
    .help("For the size of the bubble; may stay empty.")
    .optional();
static PUMPED: Field = pressure("pumped", "Pressure to pump to", "p")
    .help("Absolute, not below ambient.")
    .positive();
static ACTUAL_PUMPED: Field = pressure("actual_pumped", "Pressure actually reached", "p_a")
    .help("Absolute, not below ambient.")
    .positive()
    .optional()
    .measured();
static VENTED: Field = pressure("vented", "Pressure after letting air in", "p₂")
    .positive()
    .initially("101.3");
static VAPOUR: Field = pressure("vapour", "Vapour pressure of the solvent", "p_s")
    .help("At the temperature of filling, from a data sheet. 0 where it hardly evaporates.")
    .not_negative()
    .weighing();
static WANTED: Field = quantity("wanted", "Gas that may stay", Kind::Ratio)
    .symbol("w")
    .help("Share of the volume.")
    .units(&["%", "1"])
    .range(Range::FRACTION)
    .optional();
static ANOTHER: Field = pressure("another", "Another pressure", "p₃")
    .help("For example of a journey by air, or of a second pumping.")
    .positive()
    .optional();

static GAS_SHARE: Field = quantity("gas_share", "Gas that stays", Kind::Ratio)
    .symbol("x")
    .help("Share of the volume.")
    .units(&["%"]);
static GAS_VOLUME: Field = quantity("gas_volume", "Volume of the gas", Kind::Volume)
    .symbol("V_g")
    .units(&["nL", "uL", "pL"]);
static DRAWN_IN: Field = quantity("drawn_in", "Electrolyte drawn in", Kind::Volume)
    .symbol("V_d")
    .units(&["uL", "nL", "mL"]);
static BUBBLE: Field = quantity("bubble", "Diameter of one bubble", Kind::Length)
    .symbol("D")
    .units(&["mm", "um"]);
static CYCLES: Field = count("cycles", "Times to pump and fill").symbol("j");
static GAS_AFTER: Field = quantity("gas_after", "Gas after so many times", Kind::Ratio)
    .symbol("x_j")
    .help("Share of the volume, at best.")
    .units(&["%"]);
static GAS_THERE: Field = quantity("gas_there", "Gas at the other pressure", Kind::Volume)
    .symbol("V_g′")
    .units(&["nL", "uL", "pL"]);
static REACHED: Field = pressure("reached", "Pressure of the pump", "p_p");
static BEFORE: Field = pressure("before", "Pressure in the cell before", "p₁");

const fn pressure(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Pressure)
        .symbol(symbol)
        .units(&["kPa", "mbar", "Pa", "bar"])
}

const GAS_LAW: Source = derived("gas law at constant temperature, partial pressures");

/// Filling a cell by pumping and letting air in.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "vacuum_filling",
    version: 1,
    stage: Stage::Cell,
    title: "Vacuum filling",
    purpose: "How much gas stays when a cell is evacuated and filled by letting air in.",
    inputs: &[
        show(&ORDER),
        show(&VOLUME),
        show(&GAP),
        show(&PUMPED),
        show(&ACTUAL_PUMPED),
        show(&VENTED),
        show(&VAPOUR),
        show(&WANTED),
        show(&ANOTHER),
    ],
    outputs: &[
        show(&GAS_SHARE),
        show(&GAS_VOLUME),
        show(&DRAWN_IN),
        show(&BUBBLE),
        show(&CYCLES),
        show(&GAS_AFTER),
        show(&GAS_THERE),
        show(&REACHED),
        show(&BEFORE),
    ],
    working: &[
        method("The pressure of the pump is the one actually reached where it is entered, otherwise the planned one."),
        formula("reached = actual_pumped"),
        formula("reached = pumped").without(&ACTUAL_PUMPED),
        formula("before = max(reached, vapour)").when(&ORDER, &["wet"]),
        formula("before = reached").when(&ORDER, &["dry"]),
        formula("gas_share = (before - vapour) / (vented - vapour)").when(&ORDER, &["wet"]),
        formula("gas_share = before / (vented - vapour)").when(&ORDER, &["dry"]),
        formula("gas_volume = gas_share * volume"),
        formula("drawn_in = volume - gas_volume"),
        formula("bubble = sqrt(4 * gas_volume / (pi * gap))"),
        method("Times to pump and fill: the least whole number after which no more than the wanted share stays gas.")
            .gives(&[&CYCLES]),
        formula("gas_after = gas_share ^ cycles"),
        formula("gas_there = gas_volume * (vented - vapour) / (another - vapour)"),
    ],
    sources: &[GAS_LAW, VAPOUR_OF_ACETONITRILE, hazards::FLASH_POINT],
    hazards: &[
        hazards::VACUUM_ON_GLASS,
        hazards::ACETONITRILE_AT_PLATE,
        hazards::IODINE_VAPOUR,
    ],
    formula: both::<VacuumFilling>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "acetonitrile on the hole, pumped to 12 kPa at 20 °C",
        inputs: &[
            ("order", "wet"),
            ("volume", "2.06 uL"),
            ("gap", "60 um"),
            ("pumped", "12 kPa"),
            ("vented", "101.325 kPa"),
            ("vapour", "96 hPa"),
            ("wanted", "0.1 %"),
            ("another", "75 kPa"),
        ],
        // (12 − 9.6)/(101.325 − 9.6), and so on.
        expected: &[
            expect("gas_share", "2.6165167620605065 %", 1e-12),
            expect("gas_volume", "53.900245298446435 nL", 1e-10),
            expect("drawn_in", "2.0060997547015535 uL", 1e-12),
            expect("bubble", "1.0694852639230048 mm", 1e-12),
            expect("cycles", "2", 0.0),
            expect("gas_after", "0.068461599661436 %", 1e-13),
            expect("gas_there", "75.59633027522935 nL", 1e-10),
        ],
        source: computed(
            "gas law, Python 3.11 float64; vapour pressure of 96 hPa at 20 °C read in the ECHA registration dossier of acetonitrile",
        ),
    },
    Case {
        title: "a solvent that hardly evaporates: the ratio of the pressures",
        inputs: &[
            ("order", "wet"),
            ("volume", "2.06 uL"),
            ("pumped", "1 kPa"),
            ("vented", "100 kPa"),
            ("vapour", "0"),
        ],
        expected: &[
            expect("gas_share", "1 %", 1e-12),
            expect("gas_volume", "20.6 nL", 1e-10),
        ],
        source: GAS_LAW,
    },
    Case {
        title: "put on under vacuum, as the pump really did",
        inputs: &[
            ("order", "dry"),
            ("volume", "1 uL"),
            ("pumped", "1 kPa"),
            ("actual_pumped", "4.5 kPa"),
            ("vented", "100 kPa"),
            ("vapour", "10 kPa"),
        ],
        // 4.5/90
        expected: &[
            expect("gas_share", "5 %", 1e-12),
            expect("before", "4.5 kPa", 1e-12),
        ],
        source: GAS_LAW,
    },
    Case {
        title: "boiling: the vapour pressure is the floor, and how much air stays is not known",
        inputs: &[
            ("order", "wet"),
            ("volume", "1 uL"),
            ("pumped", "1 kPa"),
            ("vented", "100 kPa"),
            ("vapour", "96 hPa"),
            ("wanted", "1 %"),
        ],
        expected: &[
            expect("reached", "1 kPa", 1e-12),
            expect("before", "9.6 kPa", 1e-12),
        ],
        source: GAS_LAW,
    },
];

const VAPOUR_OF_ACETONITRILE: Source = read(
    "ECHA registration dossier of acetonitrile: vapour pressure 96 hPa at 20 °C and 120 hPa at 25 °C",
);

struct VacuumFilling;

impl Formula for VacuumFilling {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (vented, vapour, volume) = (given[&VENTED], given[&VAPOUR], given[&VOLUME]);
        above_vapour(&VENTED, vented.value(), vapour.value())?;
        let wet = given.choice(&ORDER) != "dry";
        let reached = given.get(&ACTUAL_PUMPED).unwrap_or(given[&PUMPED]);
        let before = if wet { reached.max(vapour) } else { reached };
        let air = if wet { before - vapour } else { before };
        let share = air / (vented - vapour);
        if share.value() >= 1.0 {
            let field = match given.get(&ACTUAL_PUMPED) {
                Some(_) => &ACTUAL_PUMPED,
                None => &PUMPED,
            };
            return Err(Problem::at(
                field,
                "no_vacuum",
                format!(
                    "Pumped to {} and let in to {} with a vapour pressure of {}, nothing is drawn in.",
                    REACHED.say(reached.value()),
                    VENTED.say(vented.value()),
                    VAPOUR.say_bound(vapour.value())
                ),
                "Enter absolute pressures: a lower one to pump to, or a higher one after letting air in.",
            ));
        }
        let gas = share * volume;
        let mut found = Found::new();
        found.set(&REACHED, reached);
        found.set(&BEFORE, before);
        if let Some(another) = given.get(&ANOTHER) {
            above_vapour(&ANOTHER, another.value(), vapour.value())?;
        }
        let decided = given.once(|| {
            let boils = wet && reached.value() <= vapour.value();
            let wanted = given.get(&WANTED).filter(|_| !boils);
            let cycles = wanted.map(|wanted| cycles(share.value(), wanted.value()));
            Ok(Decided {
                boils,
                cycles: cycles.transpose()?,
            })
        })?;
        if decided.boils {
            return Ok(found);
        }
        found.set(&GAS_SHARE, share);
        found.set(&GAS_VOLUME, gas);
        found.set(&DRAWN_IN, volume - gas);
        let flat = |gap: S| (gas * 4.0 / (gap * core::f64::consts::PI)).sqrt();
        found.set_some(&BUBBLE, given.get(&GAP).map(flat));
        if let Some(cycles) = decided.cycles {
            found.set(&CYCLES, S::constant(f64::from(cycles)));
            found.set(&GAS_AFTER, share.powi(cycles));
        }
        if let Some(another) = given.get(&ANOTHER) {
            found.set(&GAS_THERE, gas * (vented - vapour) / (another - vapour));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [enough(given, found), many(found)]
            .into_iter()
            .flatten()
            .collect()
    }

    fn judge(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
        boils(given, estimate).into_iter().collect()
    }
}

/// What is decided at the numbers as entered, and for derivatives and trials not again.
struct Decided {
    /// The electrolyte boils on the hole: what its vapour takes along is not known.
    boils: bool,
    cycles: Option<i32>,
}

/// A bubble in a solvent whose vapour alone holds this pressure grows without end.
fn above_vapour(field: &'static Field, pressure: f64, vapour: f64) -> Result<(), Problem> {
    if pressure > vapour {
        return Ok(());
    }
    Err(Problem::at(
        field,
        "below_vapour_pressure",
        format!(
            "At {} the solvent boils, since its vapour pressure is {}: the gap does not fill.",
            field.say(pressure),
            VAPOUR.say(vapour)
        ),
        "Enter a pressure above the vapour pressure, or look at its unit again.",
    ))
}

/// More cycles than this are no plan.
const MOST: f64 = 1000.0;

/// The least number of cycles that leave no more than the wanted share.
fn cycles(share: f64, wanted: f64) -> Result<i32, Problem> {
    if share <= wanted {
        return Ok(1);
    }
    // Rounding must not ask for one cycle more.
    let exact = Scalar::ln(wanted) / Scalar::ln(share) * (1.0 - 1e-12);
    if (0.0..MOST).contains(&exact) {
        #[expect(clippy::cast_possible_truncation, reason = "a whole number up to MOST")]
        return Ok(exact.ceil() as i32);
    }
    Err(Problem::at(
        &WANTED,
        "too_many_cycles",
        format!(
            "Each time {} of the volume stays gas: {} is not reached in {} times.",
            GAS_SHARE.say(share),
            WANTED.say(wanted),
            brief_text(MOST, 4)
        ),
        "Enter a lower pressure to pump to, or more gas that may stay.",
    ))
}

/// Whether the solvent boils under the vacuum.
fn boils(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Option<Check> {
    let (pump, vapour) = (estimate(&REACHED)?, given[&VAPOUR]);
    if vapour == 0.0 {
        return None;
    }
    let reached = pump.value;
    let (said, limit) = (REACHED.say(reached), VAPOUR.say(vapour));
    let uncertainty = libm::hypot(pump.uncertainty, given.uncertainty(&VAPOUR));
    Some(if reached <= vapour {
        let unknown = if given.choice(&ORDER) == "dry" {
            ""
        } else {
            " Its vapour becomes liquid again; how much air is left with it is not known, so no gas is given."
        };
        Check::warning(
            "boils",
            format!(
                "At {said} the solvent boils, since its vapour pressure is {limit}: it spatters, the electrolyte grows stronger, \
                 and vapour goes into the pump.{unknown} Pump to a little above {limit}, chill the electrolyte, or use a solvent that \
                 evaporates less."
            ),
            GAS_LAW,
        )
    } else if reached - vapour < 2.0 * uncertainty {
        Check::warning(
            "may_boil",
            format!(
                "At {said} the solvent may boil: its vapour pressure is {limit}, and the difference of {} is within its expanded \
                 uncertainty of {} (k = 2). Pump to a higher pressure, or chill the electrolyte.",
                VAPOUR.say(reached - vapour),
                VAPOUR.say(2.0 * uncertainty)
            ),
            GAS_LAW,
        )
    } else {
        Check::in_range(
            "does_not_boil",
            format!("At {said} the solvent does not boil: its vapour pressure is {limit}."),
            GAS_LAW,
        )
    })
}

/// Whether so little gas stays as is wanted.
fn enough(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (share, wanted) = (found.get(&GAS_SHARE)?, given.get(&WANTED)?);
    let (said, limit) = (GAS_SHARE.say(share), WANTED.say(wanted));
    Some(if share > wanted {
        Check::note(
            "gas_above_wanted",
            format!(
                "Filled once, {said} of the volume stays gas, more than {limit}. Pump and fill {} times, hole upwards so that \
                 the gas leaves first, or pump lower.",
                CYCLES.say(found.get(&CYCLES)?)
            ),
            GAS_LAW,
        )
    } else {
        Check::in_range(
            "gas_as_wanted",
            format!("Filled once, {said} of the volume stays gas, not more than {limit}."),
            GAS_LAW,
        )
    })
}

/// Cycles that cost more solvent than they save gas.
fn many(found: &Found<f64>) -> Option<Check> {
    let cycles = found.get(&CYCLES)?;
    (cycles > 3.0).then(|| {
        Check::note(
            "many_cycles",
            format!(
                "{} cycles take solvent out of the electrolyte each time. A better vacuum helps more.",
                CYCLES.say(cycles)
            ),
            practice("a cell is pumped and filled once to three times"),
        )
    })
}
