//! # What it computes
//! What the series and the shunt resistance of a cell cost, from the parameters of the single-diode model: in fill
//! factor and in power, each averaged over both orders in which the two may be taken away; and what Green's expressions
//! say beside the exact fill factors.
//!
//! # Formulas
//! J = J_ph − J₀·(exp((V + J·Rs)/a) − 1) − (V + J·Rs)/Rsh with a = n·k·T/q; P = max V·J; FF = P/(Voc·Jsc); η = P/G.
//! FF₁ is that of the same cell with Rs = 0, FF₂ without shunt, FF₀ with neither. Loss to the series resistance
//! ΔFFs = ((FF₁ − FF) + (FF₀ − FF₂))/2, to the shunt ΔFFp = ((FF₂ − FF) + (FF₀ − FF₁))/2, to the bend of the diode
//! 1 − FF₀: with FF they add up to 1. Interaction FF₀ − FF₁ − FF₂ + FF. Losses of power likewise.
//! Green: v = Voc/a, r = Rs·Jsc/Voc, p = Rsh·Jsc/Voc; FFg = (v − ln(v + 0.72))/(v + 1), FFs = FFg·(1 − 1.1·r) + r²/5.4,
//! FFsp = FFs·(1 − (v + 0.7)/v·FFs/p). Exact without resistances: vₘ + ln(vₘ + 1) = v with vₘ the voltage at maximum
//! power over a, FF = vₘ/v·(1 − exp(vₘ − v))/(1 − exp(−v)).
//!
//! # Symbols and units
//! V voltage (V); J current density (A/m²), J_ph photocurrent, J₀ saturation current; n ideality (1); T temperature (K);
//! Rs, Rsh series and shunt resistance times area (Ω·m²); G irradiance (W/m²); P power density (W/m²); FF, η (1); the
//! rest as above (1).
//!
//! # Valid range
//! All above zero; the series resistance may be zero, and without a shunt its box stays empty.
//!
//! # Assumptions
//! The model with one diode and two resistances that do not change with voltage or light. In dye cells recombination,
//! diffusion and charge transfer bend the curve in ways of their own: the parameters describe the curve, and what they
//! cost is what the model says.
//!
//! # Sources
//! The equation of Shockley's diode with two resistances. M. A. Green, Solar Cells 7 (1982) 337, from memory, with the
//! range of its expressions. The average over orders: L. S. Shapley (1953), from memory.
//!
//! # Worked example
//! A dye-cell-like curve (18 mA/cm², n = 1.85, 4 Ω·cm², 2500 Ω·cm²) has a fill factor of 0.6871 and 9.389 % (computed).

use super::*;
use crate::chemistry::constants::{BOLTZMANN, ELEMENTARY_CHARGE};
use crate::numerics::root::RootError;
use crate::numerics::single_diode::{SingleDiode, wright_omega};
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;

static PHOTOCURRENT: Field = photocurrent("photocurrent", "Photocurrent density").symbol("J_ph");
static SATURATION: Field = saturation("saturation", "Saturation current density").symbol("J₀");
static IDEALITY: Field = ideality("ideality", "Ideality factor").symbol("n");
static TEMPERATURE: Field = temperature("temperature", "Temperature of the cell").symbol("T");
static SERIES: Field = series("series", "Series resistance").symbol("Rs");
static SHUNT: Field = shunt("shunt", "Shunt resistance").symbol("Rsh");
static IRRADIANCE: Field = quantity("irradiance", "Irradiance", Kind::Irradiance)
    .symbol("G")
    .units(&["mW/cm2", "W/m2"])
    .positive()
    .initially("100");

static FILL_FACTOR: Field = fraction("fill_factor", "Fill factor").symbol("FF");
static EFFICIENCY: Field = quantity("efficiency", "Efficiency", Kind::Ratio)
    .symbol("η")
    .units(&["%"]);
static POWER: Field = power("power", "Maximum power").symbol("P");
static VOLTAGE_OPEN: Field = quantity(
    "open_circuit_voltage",
    "Open-circuit voltage",
    Kind::Voltage,
)
.symbol("Voc")
.units(&["V", "mV"]);
static DENSITY_SHORT: Field =
    density("short_circuit_density", "Short-circuit current density").symbol("Jsc");
static VOLTAGE_AT_MAXIMUM: Field = quantity(
    "maximum_power_voltage",
    "Voltage at maximum power",
    Kind::Voltage,
)
.symbol("Vmp")
.units(&["V", "mV"]);
static DENSITY_AT_MAXIMUM: Field =
    density("maximum_power_density", "Current density at maximum power").symbol("Jmp");
static WITHOUT_SERIES: Field =
    fraction("without_series", "Fill factor without series").symbol("FF₁");
static WITHOUT_SHUNT: Field = fraction("without_shunt", "Fill factor without shunt").symbol("FF₂");
static WITHOUT_BOTH: Field = fraction("without_both", "Fill factor with neither").symbol("FF₀");
static SERIES_LOSS: Field = fraction("series_loss", "Lost to series resistance")
    .symbol("ΔFFs")
    .help("Of the fill factor.")
    .drawn(Drawn::Bar);
static SHUNT_LOSS: Field = fraction("shunt_loss", "Lost to shunt")
    .symbol("ΔFFp")
    .help("Of the fill factor.")
    .drawn(Drawn::Bar);
static DIODE_LOSS: Field = fraction("diode_loss", "Lost to the bend of the diode")
    .symbol("ΔFFd")
    .help("What no resistance causes; a higher open-circuit voltage or a lower ideality makes it smaller.")
    .drawn(Drawn::Bar);
static INTERACTION: Field = fraction("interaction", "Interaction of both")
    .symbol("I")
    .help("What taking away both gains beyond the sum of each alone; half of it is in each loss.");
static SERIES_POWER: Field = power("series_power", "Power lost to series resistance")
    .symbol("ΔPs")
    .drawn(Drawn::Bar);
static SHUNT_POWER: Field = power("shunt_power", "Power lost to shunt")
    .symbol("ΔPp")
    .drawn(Drawn::Bar);
static SLOPE_VOLTAGE: Field = quantity("slope_voltage", "Voltage for an e-fold", Kind::Voltage)
    .symbol("a")
    .help("The current through the diode grows e-fold over it.")
    .units(&["mV", "V"]);
static NORMAL_VOLTAGE: Field =
    quantity("normal_voltage", "Voc over the e-fold voltage", Kind::Ratio)
        .symbol("v")
        .units(&["1"]);
static NORMAL_SERIES: Field = quantity("normal_series", "Rs over Voc/Jsc", Kind::Ratio)
    .symbol("r")
    .units(&["1"]);
static NORMAL_SHUNT: Field = quantity("normal_shunt", "Rsh over Voc/Jsc", Kind::Ratio)
    .symbol("p")
    .units(&["1"]);
static IDEAL: Field = fraction("ideal", "Ideal fill factor, exact")
    .symbol("FF*")
    .help("Of a cell without resistances that has this open-circuit voltage.");
static GREEN_IDEAL: Field = fraction("green_ideal", "Green: ideal").symbol("FFg");
static GREEN_SERIES: Field = fraction("green_series", "Green: with series").symbol("FFs");
static GREEN: Field = fraction("green", "Green: with both").symbol("FFsp");
static VOLTAGE: Field = quantity("voltage", "Voltage", Kind::Voltage)
    .symbol("V")
    .units(&["V", "mV"]);
static DENSITY: Field = density("density", "Current density").symbol("J");
static CURVE: Field = curve("curve", "Current density over voltage", &VOLTAGE, &DENSITY);
static IDEAL_CURVE: Field = curve(
    "ideal_curve",
    "The same without resistances",
    &VOLTAGE,
    &DENSITY,
)
.drawn(Drawn::LineOver);

/// The parameters of the model as entered on a card.
pub(super) struct Parameters {
    pub(super) photocurrent: &'static Field,
    pub(super) saturation: &'static Field,
    pub(super) ideality: &'static Field,
    pub(super) temperature: &'static Field,
    pub(super) series: &'static Field,
    pub(super) shunt: &'static Field,
}

static PARAMETERS: Parameters = Parameters {
    photocurrent: &PHOTOCURRENT,
    saturation: &SATURATION,
    ideality: &IDEALITY,
    temperature: &TEMPERATURE,
    series: &SERIES,
    shunt: &SHUNT,
};

pub(super) const fn photocurrent(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::CurrentDensity)
        .help("Of the model; a little more than the short-circuit current density.")
        .units(&["mA/cm2", "A/m2"])
        .positive()
        .measured()
}

pub(super) const fn saturation(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::CurrentDensity)
        .units(&["A/cm2", "mA/cm2", "nA/cm2"])
        .positive()
        .measured()
}

pub(super) const fn ideality(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio)
        .units(&["1"])
        .positive()
        .measured()
}

pub(super) const fn temperature(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Temperature)
        .units(&["Cel", "K"])
        .positive()
        .initially("25")
}

pub(super) const fn series(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::AreaResistance)
        .help("Times the area of the cell.")
        .units(&["Ohm.cm2"])
        .not_negative()
        .measured()
}

pub(super) const fn shunt(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::AreaResistance)
        .help("Times the area of the cell; leave it empty where there is no shunt.")
        .units(&["Ohm.cm2"])
        .positive()
        .optional()
        .measured()
}

impl Parameters {
    pub(super) fn cell<S: Scalar>(&self, given: &Given<'_, S>) -> SingleDiode<S> {
        let none = S::constant(f64::INFINITY);
        SingleDiode {
            photo: given[self.photocurrent],
            saturation: given[self.saturation],
            slope_voltage: given[self.ideality] * BOLTZMANN * given[self.temperature]
                / ELEMENTARY_CHARGE,
            series: given[self.series],
            shunt: given.get(self.shunt).unwrap_or(none),
        }
    }

    /// What is said where the model has no maximum of power.
    pub(super) fn unfit(&self, error: RootError) -> Problem {
        Problem::at(
            self.saturation,
            "no_maximum",
            format!("These parameters give no curve with a maximum of power. {error}"),
            "Enter the parameters of a fit, all of the same cell.",
        )
    }
}

const fn fraction(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio).units(&["1", "%"])
}

const fn density(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::CurrentDensity).units(&["mA/cm2", "A/m2"])
}

const fn power(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::PowerDensity).units(&["mW/cm2", "W/m2"])
}

/// Where Green's expressions hold.
const LEAST_VOLTAGE: f64 = 10.0;
const MOST_SERIES: f64 = 0.4;
const LEAST_SHUNT: f64 = 2.5;

/// What a curve is drawn through.
const DRAWN_POINTS: u32 = 121;

const GREEN_1982: Source = memory("M. A. Green, Solar Cells 7 (1982) 337");
const SHOCKLEY: Source = derived("Shockley's diode equation with series and shunt resistance");

/// What the resistances of a cell cost.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "loss_analysis",
    version: 1,
    stage: Stage::Comparing,
    title: "Loss analysis",
    purpose: "What series resistance and shunt cost in fill factor and power, from the single-diode parameters.",
    inputs: &[
        show(&PHOTOCURRENT),
        show(&SATURATION),
        show(&IDEALITY),
        show(&TEMPERATURE),
        show(&SERIES),
        show(&SHUNT),
        show(&IRRADIANCE),
    ],
    outputs: &[
        show(&FILL_FACTOR),
        show(&EFFICIENCY),
        show(&SERIES_LOSS),
        show(&SHUNT_LOSS),
        show(&DIODE_LOSS),
        show(&INTERACTION),
        show(&SERIES_POWER),
        show(&SHUNT_POWER),
        show(&WITHOUT_SERIES),
        show(&WITHOUT_SHUNT),
        show(&WITHOUT_BOTH),
        show(&POWER),
        show(&VOLTAGE_OPEN),
        show(&DENSITY_SHORT),
        show(&VOLTAGE_AT_MAXIMUM),
        show(&DENSITY_AT_MAXIMUM),
        show(&SLOPE_VOLTAGE),
        show(&NORMAL_VOLTAGE),
        show(&NORMAL_SERIES),
        show(&NORMAL_SHUNT),
        show(&IDEAL),
        show(&GREEN_IDEAL),
        show(&GREEN_SERIES),
        show(&GREEN),
        show(&CURVE),
        show(&IDEAL_CURVE),
    ],
    working: &[
        formula("slope_voltage = ideality * k_B * temperature / q_e"),
        method(
            "The current density at a voltage is the root J of \
             J = J_ph − J₀·(exp((V + J·Rs)/a) − 1) − (V + J·Rs)/Rsh, by Wright's omega function. Without current V is the \
             open-circuit voltage, at V = 0 stands the short-circuit current density, and where the slope of V·J is zero \
             the maximum power.",
        )
        .gives(&[&VOLTAGE_OPEN, &DENSITY_SHORT, &VOLTAGE_AT_MAXIMUM, &DENSITY_AT_MAXIMUM]),
        formula("power = maximum_power_voltage * maximum_power_density"),
        formula("fill_factor = power / (open_circuit_voltage * short_circuit_density)"),
        formula("efficiency = power / irradiance"),
        method("The same cell without series resistance, without shunt, and with neither.").gives(&[
            &WITHOUT_SERIES,
            &WITHOUT_SHUNT,
            &WITHOUT_BOTH,
        ]),
        formula("series_loss = (without_series - fill_factor + without_both - without_shunt) / 2"),
        formula("shunt_loss = (without_shunt - fill_factor + without_both - without_series) / 2"),
        formula("diode_loss = 1 - without_both"),
        formula("interaction = without_both - without_series - without_shunt + fill_factor"),
        method("The power lost to each is the same average of the maximum powers of the four cells.")
            .gives(&[&SERIES_POWER, &SHUNT_POWER]),
        formula("normal_voltage = open_circuit_voltage / slope_voltage"),
        formula("normal_series = series * short_circuit_density / open_circuit_voltage"),
        formula("normal_shunt = shunt * short_circuit_density / open_circuit_voltage"),
        method(
            "The ideal fill factor follows from the open-circuit voltage alone: the voltage vₘ at maximum power, over a, \
             solves vₘ + ln(vₘ + 1) = v, and the current there is (1 − exp(vₘ − v))/(1 − exp(−v)) of the short-circuit \
             current.",
        )
        .gives(&[&IDEAL]),
        formula("green_ideal = (normal_voltage - ln(normal_voltage + 0.72)) / (normal_voltage + 1)"),
        formula("green_series = green_ideal * (1 - 1.1 * normal_series) + normal_series^2 / 5.4"),
        formula(
            "green = green_series * (1 - (normal_voltage + 0.7) / normal_voltage * green_series / normal_shunt)",
        ),
        formula("green = green_series").without(&SHUNT),
        method("Both curves are drawn from 0 V to just past the open-circuit voltage.")
            .gives(&[&CURVE, &IDEAL_CURVE]),
    ],
    sources: &[
        SHOCKLEY,
        GREEN_1982,
        memory("L. S. Shapley, A value for n-person games (1953): the average over all orders"),
    ],
    hazards: &[hazards::LAMP, hazards::LEAKING_CELL],
    formula: both::<LossAnalysis>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "dye-cell-like curve",
        inputs: &[
            ("photocurrent", "18 mA/cm2"),
            ("saturation", "2e-9 A/cm2"),
            ("ideality", "1.85"),
            ("temperature", "298.15 K"),
            ("series", "4 Ohm.cm2"),
            ("shunt", "2500 Ohm.cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.76029574 V", 1e-8),
            expect("short_circuit_density", "17.97123894 mA/cm2", 1e-8),
            expect("maximum_power_voltage", "0.57760279 V", 1e-8),
            expect("maximum_power_density", "16.25468907 mA/cm2", 1e-8),
            expect("power", "9.38875381 mW/cm2", 1e-8),
            expect("fill_factor", "0.68714339", 1e-8),
            expect("efficiency", "9.388754 %", 1e-6),
        ],
        source: EXACT,
    },
    Case {
        title: "forward branch of a slow cell",
        inputs: &[
            ("photocurrent", "17.8 mA/cm2"),
            ("saturation", "4e-9 A/cm2"),
            ("ideality", "1.85"),
            ("temperature", "298.15 K"),
            ("series", "9 Ohm.cm2"),
            ("shunt", "1500 Ohm.cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.726318 V", 5e-7),
            expect("short_circuit_density", "17.693728 mA/cm2", 5e-7),
            expect("fill_factor", "0.580937", 5e-7),
            expect("efficiency", "7.465772 %", 5e-7),
        ],
        source: EXACT,
    },
    Case {
        title: "series resistance alone",
        inputs: &[
            ("photocurrent", "18 mA/cm2"),
            ("saturation", "1.2976967e-12 A/cm2"),
            ("ideality", "1"),
            ("temperature", "298.15 K"),
            ("series", "10 Ohm.cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.6 V", 5e-7),
            expect("short_circuit_density", "18 mA/cm2", 5e-4),
            expect("fill_factor", "0.56832", 5e-6),
            expect("normal_voltage", "23.353", 5e-4),
            expect("normal_series", "0.3", 5e-6),
            expect("green_ideal", "0.82831", 5e-6),
            expect("green_series", "0.57164", 5e-6),
            expect("green", "0.57164", 5e-6),
            expect("shunt_loss", "0", 1e-15),
        ],
        source: GREEN_BESIDE_EXACT,
    },
    Case {
        title: "both, ideality 1.5",
        inputs: &[
            ("photocurrent", "18 mA/cm2"),
            ("saturation", "1.385457e-10 A/cm2"),
            ("ideality", "1.5"),
            ("temperature", "298.15 K"),
            ("series", "3.2 Ohm.cm2"),
            ("shunt", "1200 Ohm.cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.718696 V", 5e-7),
            expect("short_circuit_density", "17.95213 mA/cm2", 5e-6),
            expect("fill_factor", "0.71135", 5e-6),
            expect("normal_voltage", "18.6486", 5e-5),
            expect("normal_series", "0.07993", 5e-6),
            expect("normal_shunt", "29.9745", 5e-5),
            expect("green_ideal", "0.79827", 5e-6),
            expect("green_series", "0.72927", 5e-6),
            expect("green", "0.71086", 5e-6),
        ],
        source: GREEN_BESIDE_EXACT,
    },
    Case {
        title: "both, ideality 2",
        inputs: &[
            ("photocurrent", "18 mA/cm2"),
            ("saturation", "8.250127e-9 A/cm2"),
            ("ideality", "2"),
            ("temperature", "298.15 K"),
            // A tenth and twenty times 0.75 V over 18 mA/cm², which the book prints as 4.1667 and 833.333.
            ("series", "4.166666667 Ohm.cm2"),
            ("shunt", "833.3333333 Ohm.cm2"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.747374 V", 5e-7),
            expect("short_circuit_density", "17.91042 mA/cm2", 5e-6),
            expect("fill_factor", "0.6552", 5e-6),
            expect("normal_voltage", "14.5445", 5e-5),
            expect("normal_series", "0.09985", 5e-6),
            expect("normal_shunt", "19.9704", 5e-5),
            expect("green_ideal", "0.76033", 5e-6),
            expect("green_series", "0.67867", 5e-6),
            expect("green", "0.65449", 5e-6),
        ],
        source: GREEN_BESIDE_EXACT,
    },
];

const EXACT: Source =
    computed("single-diode equation solved with mpmath 1.4.1, 30 digits, and scipy 1.17.1");
const GREEN_BESIDE_EXACT: Source = computed(
    "exact by Lambert W with scipy 1.17.1, Green's expressions (from memory) with Python 3.11",
);

struct LossAnalysis;

/// A cell that the analysis compares: power density at the maximum and fill factor.
struct Figures<S> {
    power: S,
    fill_factor: S,
}

impl Formula for LossAnalysis {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let none = S::constant(f64::INFINITY);
        let as_is = PARAMETERS.cell(given);
        let slope_voltage = as_is.slope_voltage;
        let without_series = SingleDiode {
            series: S::constant(0.0),
            ..as_is
        };
        let without_shunt = SingleDiode {
            shunt: none,
            ..as_is
        };
        let ideal = SingleDiode {
            shunt: none,
            ..without_series
        };

        let voltage = as_is.open_circuit().map_err(unfit)?;
        let density = as_is.short_circuit();
        let most = as_is.maximum_power().map_err(unfit)?;
        let power = most.voltage * most.current;
        let now = Figures {
            power,
            fill_factor: power / (voltage * density),
        };
        let [first, second, neither] = [
            figures(&without_series)?,
            figures(&without_shunt)?,
            figures(&ideal)?,
        ];

        let mut found = Found::new();
        found.set(&FILL_FACTOR, now.fill_factor);
        found.set(&EFFICIENCY, power / given[&IRRADIANCE]);
        found.set(&POWER, power);
        found.set(&VOLTAGE_OPEN, voltage);
        found.set(&DENSITY_SHORT, density);
        found.set(&VOLTAGE_AT_MAXIMUM, most.voltage);
        found.set(&DENSITY_AT_MAXIMUM, most.current);
        found.set(&SLOPE_VOLTAGE, slope_voltage);
        found.set(&WITHOUT_SERIES, first.fill_factor);
        found.set(&WITHOUT_SHUNT, second.fill_factor);
        found.set(&WITHOUT_BOTH, neither.fill_factor);
        let [series, shunt] = shares([
            now.fill_factor,
            first.fill_factor,
            second.fill_factor,
            neither.fill_factor,
        ]);
        found.set(&SERIES_LOSS, series);
        found.set(&SHUNT_LOSS, shunt);
        found.set(&DIODE_LOSS, -neither.fill_factor + 1.0);
        found.set(
            &INTERACTION,
            neither.fill_factor - first.fill_factor - second.fill_factor + now.fill_factor,
        );
        let [series, shunt] = shares([now.power, first.power, second.power, neither.power]);
        found.set(&SERIES_POWER, series);
        found.set(&SHUNT_POWER, shunt);

        let v = voltage / slope_voltage;
        let r = given[&SERIES] * density / voltage;
        let p = given.get(&SHUNT).map(|shunt| shunt * density / voltage);
        found.set(&NORMAL_VOLTAGE, v);
        found.set(&NORMAL_SERIES, r);
        found.set_some(&NORMAL_SHUNT, p);
        found.set(&IDEAL, ideal_fill_factor(v));
        let green_ideal = (v - (v + 0.72).ln()) / (v + 1.0);
        let green_series = green_ideal * (-r * 1.1 + 1.0) + r.squared() / 5.4;
        let of_shunt = |p| -(v + 0.7) / v * green_series / p + 1.0;
        found.set(&GREEN_IDEAL, green_ideal);
        found.set(&GREEN_SERIES, green_series);
        found.set(
            &GREEN,
            p.map_or(green_series, |p| green_series * of_shunt(p)),
        );

        if given.wants_curves() {
            let ideal = ideal.values();
            // Just past the larger of the two open-circuit voltages.
            let last = 1.02 * ideal.open_circuit().map_err(unfit)?;
            found.set_curve(&CURVE, drawn(&as_is.values(), last));
            found.set_curve(&IDEAL_CURVE, drawn(&ideal, last));
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let number = |field| found.get(field).unwrap_or(f64::NAN);
        let text = |field| value_text(number(field), 3);
        let (series, shunt) = (number(&SERIES_LOSS), number(&SHUNT_LOSS));
        let resistive = given[&SERIES] > 0.0 || given.get(&SHUNT).is_some();
        let larger = if !resistive {
            "neither series resistance nor shunt costs anything."
        } else if series >= shunt {
            "of the two resistances the series resistance costs more. Shorter paths in the conductive glass, better \
             contacts or a thinner gap lower it."
        } else {
            "of the two resistances the shunt costs more. Look for contact between the electrodes, and for bare \
             conductive glass in the electrolyte."
        };
        let weighs = Check::note(
            "larger_loss",
            format!(
                "{} of fill factor is lost to the series resistance, {} to the shunt and {} to the bend of the diode: \
                 {larger}",
                text(&SERIES_LOSS),
                text(&SHUNT_LOSS),
                text(&DIODE_LOSS)
            ),
            SHOCKLEY,
        );
        let describes = Check::note(
            "parameters_describe",
            "In a dye cell the five parameters describe the curve; they are not one process each.",
            practice("the single-diode model is borrowed from silicon cells"),
        );
        vec![weighs, green(found), describes]
    }
}

/// How far Green's expressions are off, and whether they are used where they hold.
fn green(found: &Found<f64>) -> Check {
    let number = |field| found.get(field).unwrap_or(f64::NAN);
    let off = number(&GREEN) - number(&FILL_FACTOR);
    let v = number(&NORMAL_VOLTAGE);
    let r = number(&NORMAL_SERIES);
    let p = found.get(&NORMAL_SHUNT).unwrap_or(f64::INFINITY);
    let beside = format!(
        "Green's expressions give {}, {} {} than the exact value",
        value_text(number(&GREEN), 4),
        value_text(off.abs(), 2),
        if off < 0.0 { "less" } else { "more" }
    );
    let holds = v > LEAST_VOLTAGE && r < MOST_SERIES && p > LEAST_SHUNT;
    if holds {
        Check::in_range(
            "green_range",
            format!(
                "{beside}; they are meant for v above 10, r below 0.4 and p above 2.5, as here."
            ),
            GREEN_1982,
        )
    } else {
        Check::note(
            "green_range",
            format!(
                "{beside}: they are meant for v above 10, r below 0.4 and p above 2.5, and here v is {}, r {}{}. Use the \
                 exact values.",
                value_text(v, 3),
                value_text(r, 2),
                if p.is_finite() {
                    format!(" and p {}", value_text(p, 3))
                } else {
                    String::new()
                }
            ),
            GREEN_1982,
        )
    }
}

fn figures<S: Scalar>(cell: &SingleDiode<S>) -> Result<Figures<S>, Problem> {
    let most = cell.maximum_power().map_err(unfit)?;
    let power = most.voltage * most.current;
    let product = cell.open_circuit().map_err(unfit)? * cell.short_circuit();
    Ok(Figures {
        power,
        fill_factor: power / product,
    })
}

/// What the first and the second gain, averaged over both orders, from a figure as it is, without the first, without the
/// second and with neither.
fn shares<S: Scalar>([now, first, second, neither]: [S; 4]) -> [S; 2] {
    let both = neither - now;
    let apart = first - second;
    [(both + apart) / 2.0, (both - apart) / 2.0]
}

/// The fill factor of a diode without resistances, from its open-circuit voltage over the e-fold voltage.
fn ideal_fill_factor<S: Scalar>(v: S) -> S {
    let at_maximum = wright_omega(v + 1.0) - 1.0;
    at_maximum / v * (at_maximum - v).exp_m1() / (-v).exp_m1()
}

fn drawn(cell: &SingleDiode<f64>, last: f64) -> Points {
    let step = last / f64::from(DRAWN_POINTS - 1);
    let x: Vec<f64> = (0..DRAWN_POINTS).map(|at| f64::from(at) * step).collect();
    Points {
        y: x.iter().map(|voltage| cell.current(*voltage)).collect(),
        x,
    }
}

fn unfit(error: RootError) -> Problem {
    PARAMETERS.unfit(error)
}
