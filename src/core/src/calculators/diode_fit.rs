//! # What it computes
//! The five parameters of a single-diode model from one measured sweep, illuminated or dark: photocurrent, saturation
//! current, ideality factor, series and shunt resistance, how well the points determine them, and the figures of the
//! fitted curve.
//!
//! # Formulas
//! I = Iph − I0·(exp((V + I·Rs)/a) − 1) − (V + I·Rs)/Rsh with a = N·n·k·T/q. The sum of squares over the points is made
//! least: of I solved at each measured voltage less the measured current; or of what the equation leaves at measured
//! voltage and current. Then currents times kᵢ and, where current densities were read, A₀; voltages and a times kᵥ;
//! resistances times kᵥ/kᵢ. n = a·q/(N·k·T). Per area of one cell: J = I/A, Rs·A/N, Rsh·A/N.
//!
//! # Symbols and units
//! V voltage (V); I current (A) or current density (A/m²), photocurrent positive; Iph photocurrent, I0 saturation current
//! (A); a voltage over which the diode's current grows e-fold (V); n ideality factor (1); Rs, Rsh series and shunt
//! resistance (Ω) or of one cell per area (Ω·m²); T temperature (K); N cells in series (1); A area of one cell, A₀ that
//! current densities were divided by (m²); kᵥ, kᵢ calibration factors (1): true value over reading; κ scaled condition number (1): largest over smallest singular value of the derivatives with columns of length one.
//!
//! # Valid range
//! One sweep, in either direction, with more points at different voltages than there are parameters: five, four in the
//! dark. Illuminated with points on both sides of 0 V or close to it, and past the bend of the curve.
//!
//! # Assumptions
//! One diode, one shunt and one series resistance, all constant, describe the cell at rest at each point. Current readings
//! scatter independently of each other, all alike; voltages do not scatter. For dye cells the parameters describe the
//! curve; they are not the physics of recombination and transport. The covariance is that of the linearised model.
//!
//! # Sources
//! The equation of a diode with resistances, from memory; solved with Lambert's W function. Covariance, condition and
//! degrees of freedom of least squares. Bootstrap of residuals: B. Efron and R. J. Tibshirani, An Introduction to the
//! Bootstrap, 1993 (from memory).
//!
//! # Worked example
//! The silicon cell of Easwarakhanthan et al., Int. J. Solar Energy 4 (1986) 1, at 33 °C: Iph = 0.76079 A, I0 = 0.3107 µA,
//! n = 1.4773, Rs = 36.55 mΩ, Rsh = 52.89 Ω; the points miss the curve by 0.773 mA.

mod cases;
mod words;

use std::sync::Arc;

pub(super) use self::cases::CASES;
use super::efficiency::{
    DENSITY_POINTS, FILL_FACTOR, MAXIMUM_POWER, MAXIMUM_POWER_VOLTAGE, OPEN_CIRCUIT_VOLTAGE,
    POINTS, SHORT_CIRCUIT_CURRENT, SHORT_CIRCUIT_DENSITY, of_areas,
};
use super::merit::{
    CURRENT, CURRENT_FACTOR, DENSITY, DENSITY_AREA, SECOND_COLUMN, VOLTAGE, VOLTAGE_FACTOR,
    of_current,
};
use super::sweep::{
    Columns, Sweep, TURN_VOLTAGE, first, last, photocurrent_is_negative, short_circuit,
};
use super::*;
use crate::chemistry::constants::{BOLTZMANN, ELEMENTARY_CHARGE};
use crate::numerics::diode_fit::{
    DiodeFit, Light, Objective, PARAMETERS, REFITTED_POINTS, fit_diode,
};
use crate::numerics::least_squares::FitError;
use crate::numerics::root::RootError;
use crate::numerics::single_diode::SingleDiode;
use crate::problem::{Check, Problem, Source, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::{Dual, Scalar, sum};

/// A text that holds the curves of both has the one in the dark taken.
static DARK_POINTS: Field = curve(
    "dark_points",
    "Voltage and current, dark",
    &VOLTAGE,
    &CURRENT,
)
.help("One sweep, one point a line: voltage, then current, forward of either sign.")
.dark()
.measured();
static DARK_DENSITY_POINTS: Field = curve(
    "dark_density_points",
    "Voltage and current density, dark",
    &VOLTAGE,
    &DENSITY,
)
.help("One sweep, one point a line: voltage, then current density, forward of either sign.")
.dark()
.measured();
static LIGHT: Field = choice(
    "light",
    "The cell was",
    &[option("on", "illuminated"), option("off", "in the dark")],
);
static TEMPERATURE: Field = quantity("temperature", "Temperature of the cell", Kind::Temperature)
    .symbol("T")
    .help("Of the cell itself: a cell under a lamp is warmer than the air.")
    .units(&["Cel", "K"])
    .within(100.0, 500.0)
    .initially("25")
    .measured();
static CELLS: Field = count("cells", "Cells in series").symbol("N").initially("1");
static AREA: Field = quantity("area", "Area of one cell", Kind::Area)
    .symbol("A")
    .help("Turns currents into current densities.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
static OBJECTIVE: Field = choice(
    "objective",
    "Make least",
    &[
        option("solved", "true current (solved)"),
        option("implicit", "implicit residual"),
    ],
);
static BOOTSTRAP: Field = choice(
    "bootstrap",
    "Bootstrap",
    &[option("none", "none"), option("refits", "200 refits")],
);

static IDEALITY: Field = quantity("ideality", "Ideality factor", Kind::Ratio)
    .symbol("n")
    .units(&["1"]);
static SLOPE_VOLTAGE: Field = quantity("slope_voltage", "Voltage per e-fold", Kind::Voltage)
    .symbol("a")
    .units(&["mV", "V"]);
static SHORT_CIRCUIT: Pair = (&SHORT_CIRCUIT_CURRENT, &SHORT_CIRCUIT_DENSITY);
static PHOTO: Pair = (&PHOTO_CURRENT, &PHOTO_DENSITY);
static PHOTO_CURRENT: Field = current("photo_current", "Photocurrent", "Iph");
static PHOTO_DENSITY: Field = density("photo_density", "Photocurrent density", "Jph");
static SATURATION: Pair = (&SATURATION_CURRENT, &SATURATION_DENSITY);
static SATURATION_CURRENT: Field =
    current("saturation_current", "Saturation current", "I0").units(&["nA", "uA", "mA", "pA", "A"]);
static SATURATION_DENSITY: Field =
    density("saturation_density", "Saturation current density", "J0")
        .units(&["nA/cm2", "uA/cm2", "mA/cm2"]);
static SERIES: Pair = (&SERIES_RESISTANCE, &SERIES_AREA);
static SERIES_RESISTANCE: Field = resistance("series_resistance", "Series resistance", "Rs");
static SERIES_AREA: Field = of_one_cell("series_area", "Series resistance per area", "Rs·A");
static SHUNT: Pair = (&SHUNT_RESISTANCE, &SHUNT_AREA);
static SHUNT_RESISTANCE: Field = resistance("shunt_resistance", "Shunt resistance", "Rsh");
static SHUNT_AREA: Field = of_one_cell("shunt_area", "Shunt resistance per area", "Rsh·A");
static MAXIMUM: Pair = (&MAXIMUM_POWER, &MAXIMUM_DENSITY);
static MAXIMUM_DENSITY: Field = quantity(
    "maximum_power_density",
    "Maximum power per area",
    Kind::PowerDensity,
)
.symbol("Pmax/A")
.units(&["mW/cm2", "W/m2"]);
static SLOPE_AT_ZERO: Pair = (&ZERO_RESISTANCE, &ZERO_AREA);
static ZERO_RESISTANCE: Field = resistance("slope_at_zero", "Slope −dV/dI at 0 V", "R(0)");
static ZERO_AREA: Field = of_one_cell("slope_at_zero_area", "Slope −dV/dJ at 0 V", "R(0)·A");
static SLOPE_AT_OPEN: Pair = (&OPEN_RESISTANCE, &OPEN_AREA);
static OPEN_RESISTANCE: Field = resistance("slope_at_open", "Slope −dV/dI at Voc", "R(Voc)");
static OPEN_AREA: Field = of_one_cell("slope_at_open_area", "Slope −dV/dJ at Voc", "R(Voc)·A");
static RESIDUAL: Pair = (&RESIDUAL_CURRENT, &RESIDUAL_DENSITY);
static RESIDUAL_CURRENT: Field = current("residual", "Root mean square residual", "rms").digits(3);
static RESIDUAL_DENSITY: Field = density("residual_density", "Root mean square residual", "rms");
static CONDITION: Field = quantity("condition", "Scaled condition number", Kind::Ratio)
    .symbol("κ")
    .units(&["1"])
    .digits(3);
/// In the order of [`Parameter`].
static REFITTED: [&Field; PARAMETERS] = [
    &PHOTO_REFITTED,
    &SATURATION_REFITTED,
    &IDEALITY_REFITTED,
    &SERIES_REFITTED,
    &SHUNT_REFITTED,
];
static PHOTO_REFITTED: Field = refitted("photo_bootstrap", "Bootstrap: photocurrent");
static SATURATION_REFITTED: Field = refitted("saturation_bootstrap", "Bootstrap: saturation");
static IDEALITY_REFITTED: Field = refitted("ideality_bootstrap", "Bootstrap: ideality");
static SERIES_REFITTED: Field = refitted("series_bootstrap", "Bootstrap: series");
static SHUNT_REFITTED: Field = refitted("shunt_bootstrap", "Bootstrap: shunt");

static MODEL: Field = curve("model", "Model and points", &VOLTAGE, &CURRENT);
static MEASURED: Field = curve("measured", "Points", &VOLTAGE, &CURRENT).drawn(Drawn::MarksOver);
static LEFT: Field =
    curve("residuals", "Residuals", &VOLTAGE, &RESIDUAL_OF_CURRENT).drawn(Drawn::Marks);
static SIZE_MODEL: Field = curve("model_by_size", "Size of the current", &VOLTAGE, &SIZE);
static SIZE_MEASURED: Field =
    curve("measured_by_size", "Points by size", &VOLTAGE, &SIZE).drawn(Drawn::MarksOver);
static DENSITY_MODEL: Field = curve("density_model", "Model and points", &VOLTAGE, &DENSITY);
static DENSITY_MEASURED: Field =
    curve("density_measured", "Points", &VOLTAGE, &DENSITY).drawn(Drawn::MarksOver);
static DENSITY_LEFT: Field = curve(
    "density_residuals",
    "Residuals",
    &VOLTAGE,
    &RESIDUAL_OF_DENSITY,
)
.drawn(Drawn::Marks);
static DENSITY_SIZE_MODEL: Field = curve(
    "density_model_by_size",
    "Size of the current density",
    &VOLTAGE,
    &DENSITY_SIZE,
);
static DENSITY_SIZE_MEASURED: Field = curve(
    "density_measured_by_size",
    "Points by size",
    &VOLTAGE,
    &DENSITY_SIZE,
)
.drawn(Drawn::MarksOver);
static RESIDUAL_OF_CURRENT: Field =
    current("residual_of_current", "Model less point", "ΔI").units(&["mA", "uA", "nA"]);
static RESIDUAL_OF_DENSITY: Field = density("residual_of_density", "Model less point", "ΔJ");
static SIZE: Field = current("size", "Current by size", "|I|").logarithmic();
static DENSITY_SIZE: Field =
    density("density_size", "Current density by size", "|J|").logarithmic();

const fn current(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Current)
        .symbol(symbol)
        .units(&["mA", "A", "uA", "nA"])
}

const fn density(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::CurrentDensity)
        .symbol(symbol)
        .units(&["mA/cm2", "A/m2", "uA/cm2", "nA/cm2"])
}

const fn resistance(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Resistance)
        .symbol(symbol)
        .units(&["Ohm", "mOhm", "kOhm"])
}

const fn of_one_cell(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::AreaResistance)
        .symbol(symbol)
        .units(&["Ohm.cm2"])
}

const fn refitted(id: &'static str, title: &'static str) -> Field {
    quantity(id, title, Kind::Ratio)
        .symbol("s/x")
        .units(&["%", "1"])
        .digits(2)
}

/// A result of the whole, and per area of one cell.
type Pair = (&'static Field, &'static Field);

const MODELLED: &str = "Sum of squares made least over photocurrent, saturation current, voltage per e-fold, series and \
    shunt resistance; in the dark the photocurrent is zero. The fit starts from the best of a grid of voltages per e-fold \
    and series resistances, for each of which the equation is linear in the rest, and goes on by Levenberg–Marquardt.";
const FITTED: &[&Field] = &[
    &PHOTO_CURRENT,
    &SATURATION_CURRENT,
    &SLOPE_VOLTAGE,
    &SERIES_RESISTANCE,
    &SHUNT_RESISTANCE,
    &RESIDUAL_CURRENT,
];
const READ_OFF: &str = "Of the fitted curve: current at 0 V, voltage without current, maximum of V·I, and −dV/dI = Rs + \
    1/(I0·exp(u/a)/a + 1/Rsh) at 0 V and at the open-circuit voltage, u being the voltage across the diode.";
const READ: &[&Field] = &[
    &SHORT_CIRCUIT_CURRENT,
    &OPEN_CIRCUIT_VOLTAGE,
    &MAXIMUM_POWER,
    &MAXIMUM_POWER_VOLTAGE,
    &ZERO_RESISTANCE,
    &OPEN_RESISTANCE,
];
/// Parameters of a single-diode model from one measured sweep.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "diode_fit",
    version: 1,
    stage: Stage::Measuring,
    title: "Single-diode fit",
    purpose: "Photocurrent, saturation current, ideality factor, series and shunt resistance from one measured sweep, and how well the points determine them.",
    inputs: &[
        show(&SECOND_COLUMN),
        show(&LIGHT),
        show(&POINTS).unless(&SECOND_COLUMN, &["density"]).unless(&LIGHT, &["off"]),
        show(&DENSITY_POINTS).when(&SECOND_COLUMN, &["density"]).unless(&LIGHT, &["off"]),
        show(&DARK_POINTS).unless(&SECOND_COLUMN, &["density"]).when(&LIGHT, &["off"]),
        show(&DARK_DENSITY_POINTS).when(&SECOND_COLUMN, &["density"]).when(&LIGHT, &["off"]),
        show(&DENSITY_AREA).when(&SECOND_COLUMN, &["density"]),
        show(&TEMPERATURE),
        show(&CELLS),
        show(&AREA),
        show(&CURRENT_FACTOR),
        show(&VOLTAGE_FACTOR),
        show(&OBJECTIVE),
        show(&BOOTSTRAP),
    ],
    outputs: &[
        show(&IDEALITY),
        show(&PHOTO_CURRENT).when(&LIGHT, &["on"]),
        show(&PHOTO_DENSITY).when(&LIGHT, &["on"]),
        show(&SATURATION_CURRENT),
        show(&SATURATION_DENSITY),
        show(&SERIES_RESISTANCE),
        show(&SERIES_AREA),
        show(&SHUNT_RESISTANCE),
        show(&SHUNT_AREA),
        show(&SLOPE_VOLTAGE),
        show(&RESIDUAL_CURRENT),
        show(&RESIDUAL_DENSITY),
        show(&CONDITION),
        show(&SHORT_CIRCUIT_CURRENT).when(&LIGHT, &["on"]),
        show(&SHORT_CIRCUIT_DENSITY).when(&LIGHT, &["on"]),
        show(&OPEN_CIRCUIT_VOLTAGE).when(&LIGHT, &["on"]),
        show(&MAXIMUM_POWER).when(&LIGHT, &["on"]),
        show(&MAXIMUM_DENSITY).when(&LIGHT, &["on"]),
        show(&MAXIMUM_POWER_VOLTAGE).when(&LIGHT, &["on"]),
        show(&FILL_FACTOR).when(&LIGHT, &["on"]),
        show(&ZERO_RESISTANCE),
        show(&ZERO_AREA),
        show(&OPEN_RESISTANCE).when(&LIGHT, &["on"]),
        show(&OPEN_AREA).when(&LIGHT, &["on"]),
        show(&PHOTO_REFITTED).when(&BOOTSTRAP, &["refits"]).when(&LIGHT, &["on"]),
        show(&SATURATION_REFITTED).when(&BOOTSTRAP, &["refits"]),
        show(&IDEALITY_REFITTED).when(&BOOTSTRAP, &["refits"]),
        show(&SERIES_REFITTED).when(&BOOTSTRAP, &["refits"]),
        show(&SHUNT_REFITTED).when(&BOOTSTRAP, &["refits"]),
        show(&MODEL).unless(&SECOND_COLUMN, &["density"]),
        show(&MEASURED).unless(&SECOND_COLUMN, &["density"]),
        show(&LEFT).unless(&SECOND_COLUMN, &["density"]),
        show(&SIZE_MODEL).unless(&SECOND_COLUMN, &["density"]).when(&LIGHT, &["off"]),
        show(&SIZE_MEASURED).unless(&SECOND_COLUMN, &["density"]).when(&LIGHT, &["off"]),
        show(&DENSITY_MODEL).when(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_MEASURED).when(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_LEFT).when(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_SIZE_MODEL).when(&SECOND_COLUMN, &["density"]).when(&LIGHT, &["off"]),
        show(&DENSITY_SIZE_MEASURED).when(&SECOND_COLUMN, &["density"]).when(&LIGHT, &["off"]),
    ],
    working: &[
        method("Current: current density times the area it was divided by.").when(&SECOND_COLUMN, &["density"]),
        method("Photocurrent counts as positive: the sign is that of the current near 0 V.").when(&LIGHT, &["on"]),
        method("Forward current counts as negative: the sign is that of the current at the highest voltage.").when(&LIGHT, &["off"]),
        method("What is made least: the squares of the current that solves I = Iph − I0·(exp((V + I·Rs)/a) − 1) − (V + I·Rs)/Rsh at each measured voltage, less the measured current.")
            .when(&OBJECTIVE, &["solved"]),
        method("What is made least: the squares of Iph − I0·(exp((V + I·Rs)/a) − 1) − (V + I·Rs)/Rsh − I at measured voltage and current.")
            .when(&OBJECTIVE, &["implicit"]),
        method(MODELLED).gives(FITTED),
        method("After the fit, voltages and currents are multiplied by their calibration factors; resistances by that of the voltage over that of the current."),
        method("Largest over smallest singular value of the derivatives at the points, each column scaled to length one.").gives(&[&CONDITION]),
        formula("ideality = slope_voltage * q_e / (cells * k_B * temperature)"),
        formula("photo_density = photo_current / area"),
        formula("saturation_density = saturation_current / area"),
        formula("series_area = series_resistance * area / cells"),
        formula("shunt_area = shunt_resistance * area / cells"),
        formula("residual_density = residual / area"),
        method(READ_OFF).gives(READ),
        formula("short_circuit_density = short_circuit_current / area").when(&LIGHT, &["on"]),
        formula("maximum_power_density = maximum_power / (cells * area)").when(&LIGHT, &["on"]),
        formula("slope_at_zero_area = slope_at_zero * area / cells"),
        formula("slope_at_open_area = slope_at_open * area / cells").when(&LIGHT, &["on"]),
        formula("fill_factor = maximum_power / (open_circuit_voltage * short_circuit_current)").when(&LIGHT, &["on"]),
        method("Standard deviation of the logarithm over 200 fits to the fitted current with residuals drawn from those of the fit, the same draws each time; where there are more than 500 points, at 500 of them, and times the root of 500 over their number.")
            .gives(&REFITTED)
            .when(&BOOTSTRAP, &["refits"]),
        method("Drawn: the fitted curve with the measured points, and what is left between them.")
            .gives(&[&MODEL, &MEASURED, &LEFT, &SIZE_MODEL, &SIZE_MEASURED])
            .when(&SECOND_COLUMN, &["current"]),
        method("Drawn: the fitted curve with the measured points, and what is left between them; currents over the area of one cell, or, where it is not entered, over that they were divided by.")
            .gives(&[&DENSITY_MODEL, &DENSITY_MEASURED, &DENSITY_LEFT, &DENSITY_SIZE_MODEL, &DENSITY_SIZE_MEASURED])
            .when(&SECOND_COLUMN, &["density"]),
    ],
    sources: &[
        memory("Current of a diode with series and shunt resistance; solved with Lambert's W function"),
        derived("Least squares: covariance from the derivatives at the optimum and the scatter of the points"),
        memory("B. Efron and R. J. Tibshirani, An Introduction to the Bootstrap, 1993: residuals drawn again"),
    ],
    hazards: &[hazards::LAMP, hazards::LEAKING_CELL],
    formula: both::<SingleDiodeFit>(),
};

/// Place of each parameter in the fit.
#[derive(Clone, Copy)]
enum Parameter {
    Photo,
    Saturation,
    SlopeVoltage,
    Series,
    Shunt,
}

impl Parameter {
    const ALL: [Parameter; PARAMETERS] = [
        Parameter::Photo,
        Parameter::Saturation,
        Parameter::SlopeVoltage,
        Parameter::Series,
        Parameter::Shunt,
    ];
}

struct SingleDiodeFit;

impl Formula for SingleDiodeFit {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let fitted = Fitted::of(given)?;
        let fit = &fitted.fit;
        let diode = fitted.diode(given);
        let (cells, temperature) = (given[&CELLS], given[&TEMPERATURE]);
        let scale = Scale::of(given);
        let mut results = Results {
            found: Found::new(),
            area: given.get(&AREA),
            cells,
        };

        let thermal = temperature * (BOLTZMANN / ELEMENTARY_CHARGE);
        let found = &mut results.found;
        found.set(&IDEALITY, diode.slope_voltage / (cells * thermal));
        found.set(&SLOPE_VOLTAGE, diode.slope_voltage);
        found.set(&CONDITION, S::constant(fit.condition));
        if fitted.lit {
            results.current(&PHOTO, diode.photo);
        }
        results.current(&SATURATION, diode.saturation);
        results.current(&RESIDUAL, scale.current * fit.root_mean_square());
        if fitted.is_fitted(Parameter::Series) {
            results.resistance(&SERIES, diode.series);
        }
        if fitted.is_fitted(Parameter::Shunt) {
            results.resistance(&SHUNT, diode.shunt);
        }

        let figures = fitted.figures.each(|figure| figure.value(given, &fitted));
        let figures = scale.figures(&figures);
        if fitted.is_fitted(Parameter::Shunt) {
            results.resistance(&SLOPE_AT_ZERO, figures.slope_at_zero);
        }
        if fitted.lit {
            results.current(&SHORT_CIRCUIT, figures.short);
            results.power(&MAXIMUM, figures.power);
            results.resistance(&SLOPE_AT_OPEN, figures.slope_at_open);
            let fill_factor = figures.power / (figures.open * figures.short);
            let found = &mut results.found;
            found.set(&OPEN_CIRCUIT_VOLTAGE, figures.open);
            found.set(&MAXIMUM_POWER_VOLTAGE, figures.power_at);
            found.set(&FILL_FACTOR, fill_factor);
        }

        let mut found = results.found;
        for (field, deviation) in REFITTED.into_iter().zip(fit.bootstrap.unwrap_or_default()) {
            if deviation > 0.0 {
                found.set(field, S::constant(deviation));
            }
        }
        if given.wants_curves() {
            fitted.draw(given, &mut found);
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let fitted = Fitted::of(given)?;
        let covariance = fitted.fit.covariance.map(|all| {
            let used = || Parameter::ALL.into_iter().filter(|p| fitted.is_fitted(*p));
            used()
                .map(|a| used().map(|b| all[a as usize][b as usize]).collect())
                .collect()
        });
        Ok(covariance.map(|covariance| Scatter {
            title: "Scatter of the points about the model",
            covariance,
            degrees_of_freedom: fitted.fit.degrees_of_freedom as f64,
            linearised: true,
        }))
    }

    fn checks(given: &Given<'_, f64>, _found: &Found<f64>) -> Vec<Check> {
        match Fitted::of(given) {
            Ok(fitted) => fitted.checks(given),
            Err(_) => Vec::new(),
        }
    }
}

/// Sets each result of the whole with that per area of one cell.
struct Results<S> {
    found: Found<S>,
    area: Option<S>,
    cells: S,
}

impl<S: Scalar> Results<S> {
    fn set(&mut self, (whole, per_area): &Pair, value: S, of_area: impl Fn(S) -> S) {
        self.found.set(whole, value);
        self.found.set_some(per_area, self.area.map(of_area));
    }

    fn current(&mut self, fields: &Pair, current: S) {
        self.set(fields, current, |area| current / area);
    }

    fn resistance(&mut self, fields: &Pair, resistance: S) {
        let cells = self.cells;
        self.set(fields, resistance, |area| resistance * area / cells);
    }

    fn power(&mut self, fields: &Pair, power: S) {
        let cells = self.cells;
        self.set(fields, power, |area| power / (cells * area));
    }
}

/// What turns readings into currents and voltages: of the fit as well, since scaled points have a scaled best curve.
#[derive(Clone, Copy)]
struct Scale<S> {
    current: S,
    voltage: S,
}

impl<S: Scalar> Scale<S> {
    fn of(given: &Given<'_, S>) -> Scale<S> {
        Scale {
            current: of_current(given),
            voltage: given[&VOLTAGE_FACTOR],
        }
    }

    fn resistance(self) -> S {
        self.voltage / self.current
    }

    fn diode(self, diode: &SingleDiode<S>) -> SingleDiode<S> {
        SingleDiode {
            photo: diode.photo * self.current,
            saturation: diode.saturation * self.current,
            slope_voltage: diode.slope_voltage * self.voltage,
            series: diode.series * self.resistance(),
            shunt: diode.shunt * self.resistance(),
        }
    }

    fn figures(self, figures: &Figures<S>) -> Figures<S> {
        Figures {
            short: figures.short * self.current,
            open: figures.open * self.voltage,
            power: figures.power * self.current * self.voltage,
            power_at: figures.power_at * self.voltage,
            slope_at_zero: figures.slope_at_zero * self.resistance(),
            slope_at_open: figures.slope_at_open * self.resistance(),
        }
    }
}

/// What is read off a model's curve.
#[derive(Clone, Copy)]
struct Figures<T> {
    short: T,
    open: T,
    power: T,
    power_at: T,
    slope_at_zero: T,
    slope_at_open: T,
}

impl<T: Copy> Figures<T> {
    fn each<U>(&self, turn: impl Fn(T) -> U) -> Figures<U> {
        Figures {
            short: turn(self.short),
            open: turn(self.open),
            power: turn(self.power),
            power_at: turn(self.power_at),
            slope_at_zero: turn(self.slope_at_zero),
            slope_at_open: turn(self.slope_at_open),
        }
    }
}

impl<S: Scalar> Figures<S> {
    fn of(diode: &SingleDiode<S>) -> Result<Figures<S>, RootError> {
        let open = diode.open_circuit()?;
        let most = diode.maximum_power()?;
        Ok(Figures {
            short: diode.short_circuit(),
            open,
            power: most.voltage * most.current,
            power_at: most.voltage,
            slope_at_zero: diode.slope_resistance(S::constant(0.0)),
            slope_at_open: diode.slope_resistance(open),
        })
    }
}

/// A figure of the fitted curve, and its derivative with respect to the logarithm of each parameter. It is nearly linear in
/// the readings, even where a parameter is not.
#[derive(Clone, Copy, Default)]
struct Figure {
    value: f64,
    slopes: [f64; PARAMETERS],
}

impl Figure {
    fn value<S: Scalar>(self, given: &Given<'_, S>, fitted: &Fitted) -> S {
        let of = |parameter: Parameter| {
            fitted.correction(given, parameter) * self.slopes[parameter as usize]
        };
        sum(Parameter::ALL.map(of)) + self.value
    }
}

/// What follows from the points and choices alone, in the units the points came in and without calibration: currents may be
/// current densities.
struct Fitted {
    fit: DiodeFit,
    figures: Figures<Figure>,
    sweep: Sweep,
    /// Photocurrent positive, forward current negative.
    current: Vec<f64>,
    /// The signs of the currents were turned round.
    turned: bool,
    dense: bool,
    lit: bool,
}

impl Fitted {
    fn of<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Fitted>, Problem> {
        given.once(|| Fitted::read(given))
    }

    fn read<S: Scalar>(given: &Given<'_, S>) -> Result<Fitted, Problem> {
        let dense = given.choice(&SECOND_COLUMN) == "density";
        let lit = given.choice(&LIGHT) != "off";
        let (field, current) = match (lit, dense) {
            (true, true) => (&DENSITY_POINTS, &DENSITY),
            (true, false) => (&POINTS, &CURRENT),
            (false, true) => (&DARK_DENSITY_POINTS, &DENSITY),
            (false, false) => (&DARK_POINTS, &CURRENT),
        };
        let columns = Columns {
            field,
            voltage: &VOLTAGE,
            current,
        };
        let empty = Points::default();
        let sweep = Sweep::new(columns, given.points(field).unwrap_or(&empty))?;
        let turned = if lit {
            let short = short_circuit(&sweep.curve, columns)?;
            photocurrent_is_negative(&sweep.curve, &short, columns)?
        } else {
            forward_is_positive(&sweep, columns)?
        };
        let sign = if turned { -1.0 } else { 1.0 };
        let current: Vec<f64> = sweep.curve.y().iter().map(|i| sign * i).collect();
        if lit {
            not_reversed(&sweep, &current, columns)?;
        }
        let light = if lit { Light::On } else { Light::Off };
        let objective = match given.choice(&OBJECTIVE) {
            "implicit" => Objective::Implicit,
            _ => Objective::Solved,
        };
        let refits = match given.choice(&BOOTSTRAP) {
            "refits" => REFITS,
            _ => 0,
        };
        let voltage = sweep.curve.x();
        needed(voltage.len(), light, field)?;
        let fit = fit_diode(voltage, &current, light, objective, refits)
            .map_err(|error| no_fit(error, field))?;
        sane(&fit, &current, columns)?;
        let figures = figures(&fit).map_err(|_| no_bend(field))?;
        Ok(Fitted {
            fit,
            figures,
            sweep,
            current,
            turned,
            dense,
            lit,
        })
    }

    fn is_fitted(&self, parameter: Parameter) -> bool {
        self.fit.fitted[parameter as usize]
    }

    /// What the scatter of the points adds to the logarithm of a parameter.
    fn correction<S: Scalar>(&self, given: &Given<'_, S>, parameter: Parameter) -> S {
        let place = parameter as usize;
        if self.is_fitted(parameter) {
            let before = self.fit.fitted[..place].iter().filter(|used| **used);
            given.scatter(before.count())
        } else {
            S::constant(0.0)
        }
    }

    fn diode<S: Scalar>(&self, given: &Given<'_, S>) -> SingleDiode<S> {
        let of = |value: f64, parameter| self.correction(given, parameter).exp() * value;
        let diode = &self.fit.diode;
        Scale::of(given).diode(&SingleDiode {
            photo: of(diode.photo, Parameter::Photo),
            saturation: of(diode.saturation, Parameter::Saturation),
            slope_voltage: of(diode.slope_voltage, Parameter::SlopeVoltage),
            series: of(diode.series, Parameter::Series),
            shunt: of(diode.shunt, Parameter::Shunt),
        })
    }

    fn draw<S: Scalar>(&self, given: &Given<'_, S>, found: &mut Found<S>) {
        let (model, measured, left, size, size_measured) = if self.dense {
            (
                &DENSITY_MODEL,
                &DENSITY_MEASURED,
                &DENSITY_LEFT,
                &DENSITY_SIZE_MODEL,
                &DENSITY_SIZE_MEASURED,
            )
        } else {
            (&MODEL, &MEASURED, &LEFT, &SIZE_MODEL, &SIZE_MEASURED)
        };
        let scale = Scale::of(given);
        let of_voltage = scale.voltage.value();
        let of_current = if self.dense {
            let area = given.get(&AREA).unwrap_or(given[&DENSITY_AREA]);
            (scale.current / area).value()
        } else {
            scale.current.value()
        };
        let scaled = |x: &[f64], y: &[f64]| Points {
            x: x.iter().map(|v| v * of_voltage).collect(),
            y: y.iter().map(|i| i * of_current).collect(),
        };
        let x = self.sweep.curve.x();
        let points = scaled(x, &self.current);
        let (from, to) = (first(&self.sweep.curve), last(&self.sweep.curve));
        let steps: Vec<f64> = (0..=DRAWN)
            .map(|k| from + (to - from) * f64::from(k) / f64::from(DRAWN))
            .collect();
        let response = |v: &f64| self.fit.diode.response(*v).current;
        let line = scaled(&steps, &steps.iter().map(response).collect::<Vec<f64>>());
        let residuals = scaled(x, &self.fit.residuals);
        if !self.lit {
            found.set_curve(size, by_size(&line));
            found.set_curve(size_measured, by_size(&points));
        }
        found.set_curve(model, line);
        found.set_curve(measured, points);
        found.set_curve(left, residuals);
    }
}

/// Refits of the bootstrap.
const REFITS: usize = 200;
/// Pieces in which the model is drawn.
const DRAWN: u32 = 150;

/// The points that a logarithmic axis can show.
fn by_size(points: &Points) -> Points {
    let pairs = points.x.iter().zip(&points.y);
    let (x, y) = pairs
        .filter(|(_, y)| **y != 0.0)
        .map(|(x, y)| (*x, y.abs()))
        .unzip();
    Points { x, y }
}

/// Figures of the fitted curve with their derivatives.
fn figures(fit: &DiodeFit) -> Result<Figures<Figure>, RootError> {
    let plain = Figures::of(&fit.diode)?;
    let mut all = plain.each(|value| Figure {
        value,
        slopes: [0.0; PARAMETERS],
    });
    for parameter in Parameter::ALL {
        let place = parameter as usize;
        if !fit.fitted[place] {
            continue;
        }
        let mut values = [
            fit.diode.photo,
            fit.diode.saturation,
            fit.diode.slope_voltage,
            fit.diode.series,
            fit.diode.shunt,
        ]
        .map(Dual::constant);
        // One more of its logarithm is worth itself.
        values[place].slope = values[place].value;
        let [photo, saturation, slope_voltage, series, shunt] = values;
        let seeded = Figures::of(&SingleDiode {
            photo,
            saturation,
            slope_voltage,
            series,
            shunt,
        })?;
        for (figure, dual) in [
            (&mut all.short, seeded.short),
            (&mut all.open, seeded.open),
            (&mut all.power, seeded.power),
            (&mut all.power_at, seeded.power_at),
            (&mut all.slope_at_zero, seeded.slope_at_zero),
            (&mut all.slope_at_open, seeded.slope_at_open),
        ] {
            figure.slopes[place] = dual.slope;
        }
    }
    Ok(all)
}

/// The sign of a dark curve is that of the current at the highest voltage.
fn forward_is_positive(sweep: &Sweep, columns: Columns) -> Result<bool, Problem> {
    let highest = last(&sweep.curve);
    let current = sweep.curve.y().last().copied().unwrap_or_default();
    if highest > 0.0 && current != 0.0 {
        return Ok(current > 0.0);
    }
    Err(Problem::at(
        columns.field,
        "no_forward_points",
        format!(
            "At the highest voltage, {}, there is no forward current.",
            VOLTAGE.say(highest)
        ),
        "Paste a dark curve that goes on to voltages at which the diode conducts; if the leads were swapped, turn the sign of the voltage under “Correct how it is read”.",
    ))
}

/// An illuminated cell does not conduct forward at the lowest voltage.
fn not_reversed(sweep: &Sweep, current: &[f64], columns: Columns) -> Result<(), Problem> {
    let at_lowest = current.first().copied().unwrap_or_default();
    if at_lowest >= 0.0 {
        return Ok(());
    }
    Err(Problem::at(
        columns.field,
        "voltage_reversed",
        format!(
            "At the lowest voltage, {}, the current is opposite to the photocurrent: the voltage has the opposite sign of \
             an illuminated cell's.",
            VOLTAGE.say(first(&sweep.curve))
        ),
        TURN_VOLTAGE,
    ))
}

fn needed(points: usize, light: Light, field: &Field) -> Result<(), Problem> {
    let parameters = match light {
        Light::On => PARAMETERS,
        Light::Off => PARAMETERS - 1,
    };
    if points > parameters {
        return Ok(());
    }
    Err(Problem::at(
        field,
        "too_few_points",
        format!(
            "There are points at {points} different voltages; {parameters} parameters need at least {}.",
            parameters + 1
        ),
        "Paste the whole sweep, from 0 V or below to beyond the open-circuit voltage.",
    ))
}

fn no_fit(error: FitError, field: &Field) -> Problem {
    Problem::at(
        field,
        "no_fit",
        error.to_string(),
        "Look for points that are all zero, or for a very large or very small number among them.",
    )
}

fn no_bend(field: &Field) -> Problem {
    Problem::at(
        field,
        "no_bend",
        "The points show no bend of a diode that a fit could follow: they lie on a straight line, or the whole bend lies \
         between two of them or in their scatter.",
        "Measure closer points round the bend and beyond it, with less scatter; check the signs of voltage and current.",
    )
}

/// Root mean square residual, as a share of the photocurrent or of the largest dark current, above which the model does not
/// describe the points.
const MOST_LEFT: f64 = 0.1;

/// A fit that ended badly is no result.
fn sane(fit: &DiodeFit, current: &[f64], columns: Columns) -> Result<(), Problem> {
    if fit.no_bend {
        return Err(no_bend(columns.field));
    }
    if !fit.converged || fit.covariance.is_none() {
        return Err(Problem::at(
            columns.field,
            "not_converged",
            "No best fit was reached: the points do not tell the parameters apart.".to_owned(),
            "Measure more points round the bend and beyond it, with less scatter.",
        ));
    }
    let largest = current.iter().fold(0.0_f64, |most, i| most.max(i.abs()));
    let scale = if fit.diode.photo > 0.0 {
        fit.diode.photo.min(largest)
    } else {
        largest
    };
    let left = fit.root_mean_square() / scale;
    if left > MOST_LEFT {
        return Err(Problem::at(
            columns.field,
            "poor_fit",
            format!(
                "The best curve of a single diode misses the points by {} %: it does not describe them.",
                value_text(100.0 * left, 2)
            ),
            "Look for wrong points or mixed sweeps; a curve bent inwards is not one of a single diode.",
        ));
    }
    Ok(())
}
