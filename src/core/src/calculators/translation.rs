//! # What it computes
//! What a cell would give in other light and at another temperature, from what was measured and from coefficients that
//! were measured on such a cell: one point of its curve, or its short-circuit current, open-circuit voltage and maximum
//! power.
//!
//! # Formulas
//! ΔI = Isc·(G₂/G₁ − 1) + α·(T₂ − T₁); I₂ = I₁ + ΔI; V₂ = V₁ − Rs·(I₂ − I₁) − κ·I₂·(T₂ − T₁) + β·(T₂ − T₁), for any point and
//! so for the maximum power point, Pmax,₂ = V₂·I₂. At the axes: Isc,₂ = Isc + ΔI; Voc,₂ = Voc + (r − Rs)·ΔI + β·(T₂ − T₁), since
//! the point that comes to lie at zero current is that with −ΔI, r·ΔI beyond Voc.
//!
//! # Symbols and units
//! Index 1 as measured, 2 as wanted. V voltage (V); I current (A); Isc short-circuit current as measured (A); G irradiance
//! (W/m²); T temperature of the cell (K); α (A/K), β (V/K), κ (Ω/K) temperature coefficients of current, voltage and series
//! resistance; Rs series resistance (Ω); r = −dV/dI at Voc (Ω).
//!
//! # Valid range
//! Irradiance within 20 % of the one measured at, temperatures near those that the coefficients were measured between.
//!
//! # Assumptions
//! Current is proportional to light; the coefficients hold over the whole step. The short-circuit current stays that of the
//! level part of the curve. At Voc the curve is taken as straight over ΔI. The maximum power is that of the translated
//! point; the new maximum lies beside it and is higher by the second order of the shift.
//!
//! # Sources
//! IEC 60891, procedure 1 (formulas from memory); the figures at the axes follow from it.
//!
//! # Worked example
//! 15 mA at 0.6 V in 950 W/m² and at 30 °C, Isc 17 mA: with α = 10 µA/K, β = −2 mV/K, Rs = 5 Ω, κ = 1 mΩ/K it is 15.845 mA
//! at 0.60586 V in 1000 W/m² and at 25 °C.

use super::merit::long_temperature_step;
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static FROM: Field = choice(
    "from",
    "Translate",
    &[
        option("figures", "Isc, Voc and maximum power"),
        option("point", "one point of the curve"),
    ],
);
static SHORT: Field = current("short_circuit_current", "Short-circuit current")
    .symbol("Isc")
    .positive()
    .measured();
static VOLTAGE: Field = voltage("voltage", "Voltage of the point")
    .symbol("V₁")
    .measured();
static CURRENT: Field = current("current", "Current of the point")
    .symbol("I₁")
    .measured();
static OPEN: Field = voltage("open_circuit_voltage", "Open-circuit voltage")
    .symbol("Voc")
    .positive()
    .measured();
static OPEN_SLOPE: Field = quantity("open_slope", "−dV/dI at Voc", Kind::Resistance)
    .symbol("r")
    .help("From the card of the sweep.")
    .units(&["Ohm", "mOhm"])
    .not_negative()
    .measured();
static PEAK_VOLTAGE: Field = voltage("maximum_power_voltage", "Voltage at maximum power")
    .symbol("Vmp")
    .positive()
    .measured();
static PEAK_CURRENT: Field = current("maximum_power_current", "Current at maximum power")
    .symbol("Imp")
    .positive()
    .measured();
static IRRADIANCE: Field = irradiance("irradiance", "Irradiance, measured").symbol("G₁");
static TARGET_IRRADIANCE: Field = irradiance("target_irradiance", "Irradiance, wanted")
    .symbol("G₂")
    .initially("100");
static TEMPERATURE: Field = temperature("temperature", "Cell temperature, measured")
    .symbol("T₁")
    .measured();
static TARGET_TEMPERATURE: Field = temperature("target_temperature", "Cell temperature, wanted")
    .symbol("T₂")
    .initially("25");
static ALPHA: Field = quantity(
    "alpha",
    "Temperature coefficient of the current",
    Kind::CurrentPerKelvin,
)
.symbol("α")
.help("As measured on such a cell: nothing is assumed. 0 where it does not matter.")
.units(&["mA/K", "uA/K", "A/K"]);
static BETA: Field = quantity(
    "beta",
    "Temperature coefficient of the voltage",
    Kind::VoltagePerKelvin,
)
.symbol("β")
.help("As measured on such a cell; negative where the voltage falls as it warms.")
.units(&["mV/K", "V/K"]);
static SERIES: Field = quantity("series", "Series resistance", Kind::Resistance)
    .symbol("Rs")
    .help("From a fit or from curves in different light, not the slope at Voc.")
    .units(&["Ohm", "mOhm"])
    .not_negative();
static KAPPA: Field = quantity(
    "kappa",
    "Temperature coefficient of the series resistance",
    Kind::ResistancePerKelvin,
)
.symbol("κ")
.units(&["mOhm/K", "Ohm/K"]);

static NEW_CURRENT: Field = current("translated_current", "Current, translated").symbol("I₂");
static NEW_VOLTAGE: Field = voltage("translated_voltage", "Voltage, translated").symbol("V₂");
static NEW_POWER: Field = quantity(
    "translated_maximum_power",
    "Maximum power, translated",
    Kind::Power,
)
.symbol("Pmax,₂")
.units(&["mW", "W", "uW"]);
static NEW_SHORT: Field =
    current("translated_short_circuit_current", "Isc, translated").symbol("Isc,₂");
static NEW_OPEN: Field =
    voltage("translated_open_circuit_voltage", "Voc, translated").symbol("Voc,₂");
static NEW_PEAK_VOLTAGE: Field =
    voltage("translated_maximum_power_voltage", "Vmp, translated").symbol("Vmp,₂");
static NEW_PEAK_CURRENT: Field =
    current("translated_maximum_power_current", "Imp, translated").symbol("Imp,₂");
static NEW_FILL_FACTOR: Field = quantity(
    "translated_fill_factor",
    "Fill factor, translated",
    Kind::Ratio,
)
.symbol("FF₂")
.units(&["1", "%"]);
static SHIFT: Field = current("current_change", "Change of the current").symbol("ΔI");

const fn current(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Current).units(&["mA", "A", "uA"])
}
const fn voltage(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Voltage).units(&["V", "mV"])
}
const fn irradiance(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Irradiance)
        .units(&["mW/cm2", "W/m2"])
        .positive()
}
const fn temperature(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Temperature)
        .units(&["Cel", "K"])
        .within(100.0, 500.0)
}

const PROCEDURE: Source = memory("IEC 60891, procedure 1");

/// A measured point or its figures, translated to other light and temperature.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "translation",
    version: 1,
    stage: Stage::Measuring,
    title: "Other light and temperature",
    purpose: "What a measured cell would give at another irradiance and temperature, by coefficients that you state.",
    inputs: &[
        show(&FROM),
        show(&SHORT),
        show(&VOLTAGE).when(&FROM, &["point"]),
        show(&CURRENT).when(&FROM, &["point"]),
        show(&OPEN).unless(&FROM, &["point"]),
        show(&OPEN_SLOPE).unless(&FROM, &["point"]),
        show(&PEAK_VOLTAGE).unless(&FROM, &["point"]),
        show(&PEAK_CURRENT).unless(&FROM, &["point"]),
        show(&IRRADIANCE),
        show(&TARGET_IRRADIANCE),
        show(&TEMPERATURE),
        show(&TARGET_TEMPERATURE),
        show(&ALPHA),
        show(&BETA),
        show(&SERIES),
        show(&KAPPA),
    ],
    outputs: &[
        show(&NEW_VOLTAGE).when(&FROM, &["point"]),
        show(&NEW_CURRENT).when(&FROM, &["point"]),
        show(&NEW_POWER).unless(&FROM, &["point"]),
        show(&NEW_SHORT).unless(&FROM, &["point"]),
        show(&NEW_OPEN).unless(&FROM, &["point"]),
        show(&NEW_PEAK_VOLTAGE).unless(&FROM, &["point"]),
        show(&NEW_PEAK_CURRENT).unless(&FROM, &["point"]),
        show(&NEW_FILL_FACTOR).unless(&FROM, &["point"]),
        show(&SHIFT),
    ],
    working: &[
        formula(
            "current_change = short_circuit_current * (target_irradiance / irradiance - 1) + alpha * (target_temperature - temperature)",
        ),
        formula("translated_current = current + current_change").when(&FROM, &["point"]),
        formula(
            "translated_voltage = voltage - series * current_change - kappa * translated_current * (target_temperature - temperature) + beta * (target_temperature - temperature)",
        )
        .when(&FROM, &["point"]),
        formula("translated_short_circuit_current = short_circuit_current + current_change")
            .unless(&FROM, &["point"]),
        formula(
            "translated_open_circuit_voltage = open_circuit_voltage + (open_slope - series) * current_change + beta * (target_temperature - temperature)",
        )
        .unless(&FROM, &["point"]),
        formula("translated_maximum_power_current = maximum_power_current + current_change")
            .unless(&FROM, &["point"]),
        formula(
            "translated_maximum_power_voltage = maximum_power_voltage - series * current_change - kappa * translated_maximum_power_current * (target_temperature - temperature) + beta * (target_temperature - temperature)",
        )
        .unless(&FROM, &["point"]),
        formula(
            "translated_maximum_power = translated_maximum_power_voltage * translated_maximum_power_current",
        )
        .unless(&FROM, &["point"]),
        formula(
            "translated_fill_factor = translated_maximum_power / (translated_open_circuit_voltage * translated_short_circuit_current)",
        )
        .unless(&FROM, &["point"]),
    ],
    sources: &[PROCEDURE],
    hazards: &[hazards::LAMP],
    formula: both::<Translation>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "figures of a small cell, to standard conditions",
        inputs: &[
            ("from", "figures"),
            ("short_circuit_current", "17 ± 0.05 mA"),
            ("open_circuit_voltage", "0.72 ± 0.001 V"),
            ("open_slope", "8 Ohm"),
            ("maximum_power_voltage", "0.6 V"),
            ("maximum_power_current", "15 mA"),
            ("irradiance", "95 ± 1 mW/cm2"),
            ("target_irradiance", "100 mW/cm2"),
            ("temperature", "30 ± 0.5 Cel"),
            ("target_temperature", "25 Cel"),
            ("alpha", "0.01 ± 0.003 mA/K"),
            ("beta", "-2.0 ± 0.2 mV/K"),
            ("series", "5 ± 0.5 Ohm"),
            ("kappa", "1 mOhm/K"),
        ],
        expected: &[
            expect("translated_short_circuit_current", "17.84473684 mA", 5e-9),
            expect("translated_open_circuit_voltage", "0.732534211 V", 5e-10),
            expect("translated_maximum_power_voltage", "0.60585554 V", 5e-9),
            expect("translated_maximum_power_current", "15.84473684 mA", 5e-9),
            expect("translated_maximum_power", "9.59962159 mW", 2e-7),
        ],
        source: computed("Python 3.11; the maximum power point is that of the next case"),
    },
    Case {
        title: "one point, to standard conditions",
        inputs: &[
            ("from", "point"),
            ("short_circuit_current", "17 mA"),
            ("voltage", "0.6 V"),
            ("current", "15 mA"),
            ("irradiance", "950 W/m2"),
            ("target_irradiance", "1000 W/m2"),
            ("temperature", "30 Cel"),
            ("target_temperature", "25 Cel"),
            ("alpha", "1e-5 A/K"),
            ("beta", "-0.002 V/K"),
            ("series", "5 Ohm"),
            ("kappa", "0.001 Ohm/K"),
        ],
        expected: &[
            expect("translated_current", "0.01584474 A", 5e-9),
            expect("translated_voltage", "0.60585554 V", 5e-9),
        ],
        source: computed("Python 3.11; IEC 60891:2009, procedure 1, formulas from memory"),
    },
    Case {
        title: "nothing changes where nothing is translated",
        inputs: &[
            ("from", "point"),
            ("short_circuit_current", "17 mA"),
            ("voltage", "0.6 V"),
            ("current", "15 mA"),
            ("irradiance", "1000 W/m2"),
            ("target_irradiance", "1000 W/m2"),
            ("temperature", "25 Cel"),
            ("target_temperature", "25 Cel"),
            ("alpha", "1e-5 A/K"),
            ("beta", "-0.002 V/K"),
            ("series", "5 Ohm"),
            ("kappa", "0.001 Ohm/K"),
        ],
        expected: &[
            expect("translated_current", "15 mA", 1e-12),
            expect("translated_voltage", "0.6 V", 1e-12),
            expect("current_change", "0 mA", 1e-12),
        ],
        source: derived("the formulas, with no step"),
    },
    Case {
        title: "half as much again of light, without series resistance: current alone",
        inputs: &[
            ("from", "figures"),
            ("short_circuit_current", "10 mA"),
            ("open_circuit_voltage", "0.7 V"),
            ("open_slope", "0 Ohm"),
            ("maximum_power_voltage", "0.55 V"),
            ("maximum_power_current", "9 mA"),
            ("irradiance", "100 mW/cm2"),
            ("target_irradiance", "150 mW/cm2"),
            ("temperature", "25 Cel"),
            ("target_temperature", "25 Cel"),
            ("alpha", "0 mA/K"),
            ("beta", "0 mV/K"),
            ("series", "0 Ohm"),
            ("kappa", "0 Ohm/K"),
        ],
        expected: &[
            expect("translated_short_circuit_current", "15 mA", 1e-12),
            expect("translated_open_circuit_voltage", "0.7 V", 1e-12),
            expect("translated_maximum_power", "7.7 mW", 1e-12),
        ],
        source: derived("0.55 V · 14 mA"),
    },
];

struct Translation;

impl Formula for Translation {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let (short, series, kappa) = (given[&SHORT], given[&SERIES], given[&KAPPA]);
        let brighter = given[&TARGET_IRRADIANCE] / given[&IRRADIANCE] - 1.0;
        let warmer = given[&TARGET_TEMPERATURE] - given[&TEMPERATURE];
        let shift = short * brighter + given[&ALPHA] * warmer;
        let by_temperature = given[&BETA] * warmer;
        let voltage_of = |voltage: S, new_current: S| {
            voltage - series * shift - kappa * new_current * warmer + by_temperature
        };

        let mut found = Found::new();
        found.set(&SHIFT, shift);
        if given.choice(&FROM) == "point" {
            let current = given[&CURRENT] + shift;
            found.set(&NEW_VOLTAGE, voltage_of(given[&VOLTAGE], current));
            found.set(&NEW_CURRENT, current);
            return Ok(found);
        }
        for (inner, outer) in [(&PEAK_VOLTAGE, &OPEN), (&PEAK_CURRENT, &SHORT)] {
            let (here, axis) = (given[inner].value(), given[outer].value());
            if here >= axis {
                return Err(Problem::at(
                    inner,
                    "beyond_axis",
                    format!(
                        "“{}” is {}, not below the {} of “{}”.",
                        inner.title,
                        inner.say(here),
                        outer.say(axis),
                        outer.title
                    ),
                    "The maximum power lies between the axes: check both entries.",
                ));
            }
        }
        let short = short + shift;
        let open = given[&OPEN] + (given[&OPEN_SLOPE] - series) * shift + by_temperature;
        let current = given[&PEAK_CURRENT] + shift;
        let voltage = voltage_of(given[&PEAK_VOLTAGE], current);
        let falls = [
            (short, &SHORT),
            (current, &PEAK_CURRENT),
            (open, &OPEN),
            (voltage, &PEAK_VOLTAGE),
        ]
        .into_iter()
        .find(|(new, _)| new.value() <= 0.0);
        if let Some((new, field)) = falls {
            return Err(Problem::at(
                field,
                "nothing_left",
                format!(
                    "“{}” would be {}: the step is too long for these coefficients.",
                    field.title,
                    field.say(new.value())
                ),
                "Check units and signs of the coefficients, or measure nearer to what is wanted.",
            ));
        }
        found.set(&NEW_SHORT, short);
        found.set(&NEW_OPEN, open);
        found.set(&NEW_PEAK_VOLTAGE, voltage);
        found.set(&NEW_PEAK_CURRENT, current);
        found.set(&NEW_POWER, voltage * current);
        found.set(&NEW_FILL_FACTOR, voltage * current / (open * short));
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, _found: &Found<f64>) -> Vec<Check> {
        let mut checks = vec![of_light(given)];
        checks.extend(long_temperature_step(
            given[&TARGET_TEMPERATURE] - given[&TEMPERATURE],
        ));
        if given[&BETA] > 0.0 {
            checks.push(Check::warning(
                "voltage_rises",
                "The voltage coefficient is positive: nearly every cell loses voltage as it warms. Check its sign.",
                practice("open-circuit voltages fall by about 1 mV to 3 mV per kelvin"),
            ));
        }
        checks
    }
}

/// Procedure 1 holds for steps of the irradiance up to this share.
const LONGEST_STEP: f64 = 0.2;

fn of_light(given: &Given<'_, f64>) -> Check {
    let step = given[&TARGET_IRRADIANCE] / given[&IRRADIANCE] - 1.0;
    let share = format!("{} %", value_text(100.0 * step, 3));
    if step.abs() > LONGEST_STEP {
        Check::warning(
            "long_step",
            format!(
                "The irradiance changes by {share}, more than the 20 % that the procedure is meant for: the voltage does \
                 not follow the light by these coefficients."
            ),
            PROCEDURE,
        )
    } else {
        Check::in_range(
            "long_step",
            format!("The irradiance changes by {share}, within 20 %."),
            PROCEDURE,
        )
    }
}
