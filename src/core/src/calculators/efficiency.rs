//! # What it computes
//! Open-circuit voltage, short-circuit current and current density, maximum power point, fill factor and efficiency
//! of an illuminated cell from measured voltage and current points of one sweep, the illuminated area and the
//! irradiance.
//!
//! # Formulas
//! Isc and Voc: by local fits, a line to the points within 0.1 Voc of V = 0 and a fourth-degree polynomial to those with
//! up to 0.3 Isc, seven at least; or by the straight lines between the two points round each axis; or by the monotone cubic. Pmax:
//! maximum of V·I(V) with the least-squares polynomial I(V) of fourth degree within 15 % of the voltage and current of
//! the largest product V·I, seven points at least; or of the parabola through the three points round it; or of the least-squares polynomial
//! of fourth degree on seven products; or of V times the monotone cubic; or that product itself.
//! Jsc = Isc/A; Imp = Pmax/Vmp; FF = Pmax/(Voc·Isc); η = Pmax/(G·A) = Jsc·Voc·FF/G; η₀ = η/(1 + β·(T − T₀)).
//! Scatter where none is stated: s² = Σ r²/ν about the local fits whose stretches share no point. With local fits,
//! u²(x) + max(0, d² − u²(d)) for Isc, Voc and Pmax, where d is what one degree more would change.
//!
//! # Symbols and units
//! V voltage (V); I current (A), photocurrent positive; A illuminated area, A₁ that of the film (m²); G irradiance
//! (W/m²); T, T₀ temperatures (K); β temperature coefficient, relative (1/K); r residual (A), ν degrees of freedom;
//! Voc, Vmp (V);
//! Isc, Imp (A); Jsc, Jmp (A/m²); Pmax (W); FF, η (1); kᵥ, kᵢ calibration factors (1): true value over reading;
//! s standard deviation of one current reading (A).
//!
//! # Valid range
//! One sweep, in either direction, with points at four different voltages or more (seven for the polynomial), on
//! both sides of the maximum power point. A crossing of an axis outside the points is extrapolated by at most the
//! distance between the two points it is read from.
//!
//! # Assumptions
//! The current near 0 V is photocurrent, which gives its sign. The cell is in steady state at each point. Current
//! readings scatter independently of each other, all alike; voltages do not scatter. Nothing is corrected for
//! spectrum or irradiance, and for temperature only by a coefficient that is stated.
//!
//! # Sources
//! Definitions of the quantities: IEC 60904-1 (from memory). Fourth-degree polynomial near the maximum: ASTM E948
//! (from memory). Propagation of the scatter: JCGM 100:2008, 5.1 and 5.2, with the derivatives of the lines and
//! polynomials with respect to each reading.
//!
//! # Worked example
//! The silicon cell of Easwarakhanthan et al., Int. J. Solar Energy 4 (1986) 1: Voc = 0.5727 V, Isc = 0.7605 A,
//! Pmax = 0.3108 W by the parabola; on the full disc of 57 mm (25.52 cm²) at 1000 W/m², η = 12.2 %.

use std::sync::Arc;

use super::merit::{
    AREA, AXES, CURRENT, CURRENT_FACTOR, DELAY, DENSITY, DENSITY_AREA, FILM_AREA, Figures,
    IRRADIANCE, LOCAL_FITS, METHOD, NOISE, PROPAGATION, SECOND_COLUMN, SWEEP_RATE, VOLTAGE,
    VOLTAGE_FACTOR, long_temperature_step, mask, of_current, scatter, scatter_check, slow_response,
};
use super::sweep::Columns;
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, memory, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::Scalar;
use crate::uncertainty::Estimate;

pub(super) static POINTS: Field = curve("points", "Voltage and current", &VOLTAGE, &CURRENT)
    .help("One sweep, one point a line: voltage, then current of either sign.")
    .measured();
pub(super) static DENSITY_POINTS: Field = curve(
    "density_points",
    "Voltage and current density",
    &VOLTAGE,
    &DENSITY,
)
.help("One sweep, one point a line: voltage, then current density of either sign.")
.measured();
/// A sheet written before there was this choice has none: then nothing is translated.
static TRANSLATION: Field = choice(
    "translation",
    "Efficiency at",
    &[
        option("none", "the temperature of the cell"),
        option("temperature", "another temperature as well"),
    ],
)
.optional();
static CELL_TEMPERATURE: Field =
    quantity("temperature", "Temperature of the cell", Kind::Temperature)
        .symbol("T")
        .units(&["Cel", "K"])
        .within(100.0, 500.0)
        .measured()
        .optional();
static COEFFICIENT: Field = quantity(
    "coefficient",
    "Temperature coefficient of the efficiency",
    Kind::PerKelvin,
)
.symbol("β")
.help("Relative change per kelvin at the reference temperature, as measured on such a cell: −0.2 %/K, say.")
.units(&["%/K", "K-1"]);
static REFERENCE_TEMPERATURE: Field = quantity(
    "reference_temperature",
    "Reference temperature",
    Kind::Temperature,
)
.symbol("T₀")
.units(&["Cel", "K"])
.within(100.0, 500.0)
.initially("25");

static EFFICIENCY: Field = quantity("efficiency", "Efficiency", Kind::Ratio)
    .symbol("η")
    .units(&["%"]);
pub(super) static FILL_FACTOR: Field = quantity("fill_factor", "Fill factor", Kind::Ratio)
    .symbol("FF")
    .units(&["1", "%"]);
pub(super) static OPEN_CIRCUIT_VOLTAGE: Field = quantity(
    "open_circuit_voltage",
    "Open-circuit voltage",
    Kind::Voltage,
)
.symbol("Voc")
.units(&["V", "mV"]);
pub(super) static SHORT_CIRCUIT_CURRENT: Field = quantity(
    "short_circuit_current",
    "Short-circuit current",
    Kind::Current,
)
.symbol("Isc")
.units(&["mA", "A", "uA"]);
pub(super) static SHORT_CIRCUIT_DENSITY: Field = quantity(
    "short_circuit_density",
    "Short-circuit current density",
    Kind::CurrentDensity,
)
.symbol("Jsc")
.units(&["mA/cm2", "A/m2", "uA/cm2"]);
pub(super) static MAXIMUM_POWER: Field = quantity("maximum_power", "Maximum power", Kind::Power)
    .symbol("Pmax")
    .units(&["mW", "W", "uW"]);
pub(super) static MAXIMUM_POWER_VOLTAGE: Field = quantity(
    "maximum_power_voltage",
    "Voltage at maximum power",
    Kind::Voltage,
)
.symbol("Vmp")
.units(&["V", "mV"]);
static MAXIMUM_POWER_CURRENT: Field = quantity(
    "maximum_power_current",
    "Current at maximum power",
    Kind::Current,
)
.symbol("Imp")
.units(&["mA", "A", "uA"]);
static MAXIMUM_POWER_CURRENT_DENSITY: Field = quantity(
    "maximum_power_current_density",
    "Current density at maximum power",
    Kind::CurrentDensity,
)
.symbol("Jmp")
.units(&["mA/cm2", "A/m2", "uA/cm2"]);
static LIT_SHARE: Field = quantity("lit_share", "Lit share of the film", Kind::Ratio).units(&["%"]);
static REFERENCE_EFFICIENCY: Field = quantity(
    "reference_efficiency",
    "Efficiency at the reference temperature",
    Kind::Ratio,
)
.symbol("η₀")
.units(&["%"]);
static SHORT_SLOPE: Field =
    quantity("short_slope", "−dV/dI at 0 V", Kind::Resistance).units(&["Ohm", "kOhm"]);
static OPEN_SLOPE: Field =
    quantity("open_slope", "−dV/dI at Voc", Kind::Resistance).units(&["Ohm", "kOhm"]);
static POWER_SPREAD: Field = quantity("power_spread", "Spread of methods, Pmax", Kind::Ratio)
    .units(&["%"])
    .digits(2);
static CURVE: Field = curve(
    "curve",
    "Current density against voltage",
    &VOLTAGE,
    &DENSITY,
);
static POWER_DENSITY: Field = quantity("power_density", "Power density", Kind::Irradiance)
    .symbol("P/A")
    .units(&["mW/cm2", "W/m2"]);
static POWER_CURVE: Field = curve(
    "power_curve",
    "Power density against voltage",
    &VOLTAGE,
    &POWER_DENSITY,
)
.drawn(Drawn::RightLine);
static MEASURED: Field =
    curve("measured_points", "Measured points", &VOLTAGE, &DENSITY).drawn(Drawn::MarksOver);

/// What each way of finding the maximum power gives.
const MAXIMUM: &[&Field] = &[&MAXIMUM_POWER, &MAXIMUM_POWER_VOLTAGE];
/// What each way of reading the axes gives.
const AT_AXES: &[&Field] = &[
    &OPEN_CIRCUIT_VOLTAGE,
    &SHORT_CIRCUIT_CURRENT,
    &SHORT_SLOPE,
    &OPEN_SLOPE,
];

/// Efficiency of a cell and what goes with it, from one measured sweep.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "efficiency",
    version: 2,
    stage: Stage::Measuring,
    title: "Cell efficiency",
    purpose: "Efficiency, fill factor and what goes with them, from measured voltage and current points.",
    inputs: &[
        show(&SECOND_COLUMN),
        show(&POINTS).unless(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_POINTS).when(&SECOND_COLUMN, &["density"]),
        show(&DENSITY_AREA).when(&SECOND_COLUMN, &["density"]),
        show(&AREA),
        show(&FILM_AREA),
        show(&IRRADIANCE),
        show(&AXES),
        show(&METHOD),
        show(&NOISE),
        show(&CURRENT_FACTOR),
        show(&VOLTAGE_FACTOR),
        show(&SWEEP_RATE),
        show(&DELAY),
        show(&CELL_TEMPERATURE),
        show(&TRANSLATION),
        show(&COEFFICIENT).when(&TRANSLATION, &["temperature"]),
        show(&REFERENCE_TEMPERATURE).when(&TRANSLATION, &["temperature"]),
    ],
    outputs: &[
        show(&EFFICIENCY),
        show(&FILL_FACTOR),
        show(&OPEN_CIRCUIT_VOLTAGE),
        show(&SHORT_CIRCUIT_CURRENT),
        show(&SHORT_CIRCUIT_DENSITY),
        show(&MAXIMUM_POWER),
        show(&MAXIMUM_POWER_VOLTAGE),
        show(&MAXIMUM_POWER_CURRENT),
        show(&MAXIMUM_POWER_CURRENT_DENSITY),
        show(&REFERENCE_EFFICIENCY).when(&TRANSLATION, &["temperature"]),
        show(&LIT_SHARE),
        show(&SHORT_SLOPE),
        show(&OPEN_SLOPE),
        show(&POWER_SPREAD),
        show(&CURVE),
        show(&POWER_CURVE),
        show(&MEASURED),
    ],
    working: &[
        method("Current: current density times the area it was divided by.")
            .when(&SECOND_COLUMN, &["density"]),
        method(
            "Photocurrent counts as positive: the sign is that of the current near 0 V. Voltages and currents are \
             multiplied by their calibration factors.",
        ),
        method(
            "Short-circuit current: where the line fitted by least squares to the points within 10 % of the open-circuit \
             voltage of 0 V, three at least, meets 0 V. Open-circuit voltage: where the fourth-degree polynomial fitted \
             to the points with up to 30 % of the short-circuit current, seven at least, crosses zero; the straight line \
             through the last two points where zero lies beyond them.",
        )
        .gives(AT_AXES)
        .when(&AXES, &["fit"]),
        method(
            "Short-circuit current and open-circuit voltage: where the straight line between the two points round 0 V \
             meets 0 V, and where that between the two points round zero current crosses zero.",
        )
        .gives(AT_AXES)
        .unless(&AXES, &["fit", "cubic"]),
        method(
            "Short-circuit current and open-circuit voltage: where the monotone cubic through all points meets 0 V, and \
             where it crosses zero; beyond the points, the straight line through the last two.",
        )
        .gives(AT_AXES)
        .when(&AXES, &["cubic"]),
        method(
            "−dV/dI at both: the slope of the same line or polynomial there, turned round; none where the current does \
             not fall.",
        ),
        formula("short_circuit_density = short_circuit_current / area"),
        method(
            "Maximum power and its voltage: maximum of V·I(V), where I(V) is the fourth-degree polynomial fitted by least \
             squares to the currents within 15 % of the voltage and current of the largest product, or to the \
             seven points round it where fewer lie there; in a sweep of fewer, the vertex of the parabola through that \
             product and its two neighbours.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["fit"]),
        method(
            "Maximum power and its voltage: vertex of the parabola through the largest product of voltage and \
             current and its two neighbours.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["parabola"]),
        method(
            "Maximum power and its voltage: maximum of the fourth-degree polynomial fitted by least squares to the \
             products of voltage and current at the seven points round the largest.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["polynomial"]),
        method(
            "Maximum power and its voltage: maximum of voltage times the monotone cubic through all currents, beside the \
             largest product.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["cubic"]),
        method(
            "Maximum power and its voltage: the largest product of voltage and current among the points. Between \
             points it may be larger, and its voltage is known to about half their distance only.",
        )
        .gives(MAXIMUM)
        .when(&METHOD, &["largest"]),
        formula("maximum_power_current = maximum_power / maximum_power_voltage"),
        formula("maximum_power_current_density = maximum_power_current / area"),
        formula("fill_factor = maximum_power / (open_circuit_voltage * short_circuit_current)"),
        formula("efficiency = maximum_power / (irradiance * area)"),
        formula("reference_efficiency = efficiency / (1 + coefficient * (temperature - reference_temperature))")
            .when(&TRANSLATION, &["temperature"]),
        formula("lit_share = area / film_area"),
        method("Spread of methods: the highest less the lowest maximum power that they give, over the one that is used.")
            .gives(&[&POWER_SPREAD]),
        method(
            "Local fits: what one more degree would change in short-circuit current, open-circuit voltage and maximum power \
             counts as standard uncertainty, as far as it is more than the scatter explains.",
        ),
        method(
            "Scatter: what is entered, or, with local fits and nothing entered, the root of the sum of squares about \
             these fits over their degrees of freedom, as the currents were read.",
        ),
        method(
            "The curves are drawn through the points, currents divided by the illuminated area, and times voltage for \
             the power.",
        )
        .gives(&[&CURVE, &POWER_CURVE, &MEASURED]),
    ],
    sources: &[
        memory("IEC 60904-1: measurement of current–voltage characteristics"),
        LOCAL_FITS,
        PROPAGATION,
    ],
    hazards: &[hazards::LAMP, hazards::LEAKING_CELL],
    formula: both::<Efficiency>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "computed curve like a dye cell's behind a mask: local fits",
        inputs: &[
            ("second_column", "density"),
            ("density_points", DYE_LIKE),
            ("density_area", "0.16 cm2"),
            ("area", "0.16 ± 0.002 cm2"),
            ("film_area", "0.25 cm2"),
            ("irradiance", "100 ± 2 mW/cm2"),
            ("axes", "fit"),
            ("method", "fit"),
            ("noise", "0.2 uA"),
            ("current_factor", "1 ± 0.002"),
            ("voltage_factor", "1"),
            ("sweep_rate", "20 mV/s"),
            ("delay", "500 ms"),
            ("translation", "temperature"),
            ("temperature", "32 ± 1 Cel"),
            ("coefficient", "-0.20 ± 0.05 %/K"),
            ("reference_temperature", "25 Cel"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.7602957434 V", 1e-9),
            expect("short_circuit_density", "17.9712219 mA/cm2", 1e-7),
            expect("maximum_power_voltage", "0.57758735 V", 1e-8),
            expect("maximum_power", "1.502162514 mW", 1e-8),
            expect("fill_factor", "0.68712662", 1e-8),
            expect("efficiency", "9.38851571 %", 1e-8),
            // Over 1 − 0.002 · (32 − 25).
            expect("reference_efficiency", "9.52182121 %", 1e-8),
            expect("lit_share", "64 %", 1e-9),
            expect("short_slope", "15669.77 Ohm", 0.01),
            expect("open_slope", "41.773392 Ohm", 1e-6),
        ],
        source: computed("numpy 2.4.6 on the sampled curve"),
    },
    Case {
        title: "silicon cell, monotone cubic",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("axes", "cubic"),
            ("method", "cubic"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.572718 V", 5e-7),
            expect("short_circuit_current", "0.7605 A", 5e-7),
            expect("maximum_power_voltage", "0.45146 V", 5e-7),
            expect("maximum_power_current", "0.687846 A", 5e-7),
            expect("maximum_power", "0.310535 W", 5e-7),
            expect("fill_factor", "0.712969", 5e-7),
        ],
        source: computed(
            "monotone cubic (scipy 1.17.1) on the points of Easwarakhanthan et al., Int. J. Solar Energy 4 (1986) 1",
        ),
    },
    Case {
        title: "silicon cell, local fits: seven points round the maximum, where four lie near",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("axes", "fit"),
            ("method", "fit"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.572829767 V", 1e-9),
            expect("short_circuit_current", "760.34862 mA", 5e-6),
            expect("maximum_power", "0.3105956071 W", 1e-9),
            expect("maximum_power_voltage", "0.45093376 V", 1e-8),
            expect("short_slope", "250.7627 Ohm", 5e-5),
            expect("open_slope", "0.0885068043 Ohm", 1e-8),
        ],
        source: computed(
            "numpy 2.4.6 on the points of Easwarakhanthan et al., Int. J. Solar Energy 4 (1986) 1",
        ),
    },
    Case {
        title: "computed ideal diode: local fits",
        inputs: &[
            ("second_column", "density"),
            ("density_points", IDEAL_DIODE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "fit"),
            ("method", "fit"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.623510064 V", 1e-9),
            expect("maximum_power_voltage", "0.543781435 V", 1e-8),
            expect("maximum_power", "18.2008892 mW", 1e-7),
            // The exact curve has 18.186716 %; 20 mV steps cost the fit 0.08 % of it.
            expect("efficiency", "18.186716 %", 0.0145),
        ],
        source: computed("numpy 2.4.6 on the sampled curve; exact value by mpmath 1.4.1"),
    },
    Case {
        title: "computed ideal diode: the exact figures, within the error of the method",
        inputs: &[
            ("second_column", "density"),
            ("density_points", IDEAL_DIODE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "cubic"),
            ("method", "cubic"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.62378021 V", 7e-5),
            expect("short_circuit_density", "35 mA/cm2", 1e-9),
            expect("maximum_power_voltage", "0.54415464 V", 2e-4),
            expect("fill_factor", "0.8330185", 1e-5),
            expect("efficiency", "18.186716 %", 2e-3),
        ],
        source: computed("single-diode equation, mpmath 1.4.1, 30 digits"),
    },
    Case {
        title: "computed ideal diode: largest product",
        inputs: &[
            ("second_column", "density"),
            ("density_points", IDEAL_DIODE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "lines"),
            ("method", "largest"),
        ],
        expected: &[
            expect("maximum_power_voltage", "0.54 V", 1e-12),
            expect("maximum_power", "18.175104 mW", 5e-7),
        ],
        source: computed("numpy 2.4.6 on the sampled curve"),
    },
    Case {
        title: "silicon cell, parabola",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("axes", "lines"),
            ("method", "parabola"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.572693 V", 1e-6),
            expect("short_circuit_current", "0.7605 A", 1e-9),
            expect("maximum_power_voltage", "0.450480 V", 1e-6),
            expect("maximum_power_current", "0.690033 A", 1e-6),
            expect("maximum_power", "0.310846 W", 1e-6),
        ],
        source: computed(
            "straight lines (scipy 1.17.1) and parabola (Python 3.11) on the points of Easwarakhanthan et al., \
                 Int. J. Solar Energy 4 (1986) 1",
        ),
    },
    Case {
        title: "silicon cell, polynomial, on the full disc of 57 mm",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("axes", "lines"),
            ("method", "polynomial"),
        ],
        expected: &[
            expect("maximum_power_voltage", "0.451117 V", 1e-6),
            expect("maximum_power", "0.310596 W", 1e-6),
            // With 0.7603 A and 0.3107 W of a fitted single-diode model instead of the points.
            expect("short_circuit_density", "29.795 mA/cm2", 0.01),
            expect("efficiency", "12.176 %", 0.01),
        ],
        source: computed(
            "polynomial by Python 3.11, area by geometry, on the points of Easwarakhanthan et al., Int. J. Solar \
                 Energy 4 (1986) 1",
        ),
    },
    Case {
        title: "silicon cell, largest product",
        inputs: &[
            ("points", SILICON),
            ("area", "25.5176 cm2"),
            ("irradiance", "1000 W/m2"),
            ("axes", "lines"),
            ("method", "largest"),
        ],
        expected: &[
            expect("maximum_power_voltage", "0.459 V", 1e-12),
            expect("maximum_power_current", "0.6755 A", 1e-12),
            expect("maximum_power", "0.3100545 W", 1e-12),
            expect("fill_factor", "0.711897", 1e-6),
        ],
        source: computed(
            "straight lines (scipy 1.17.1) on the points of Easwarakhanthan et al., Int. J. Solar Energy 4 \
                 (1986) 1",
        ),
    },
    Case {
        title: "computed curve like a dye cell's: what this method gives",
        inputs: &[
            ("second_column", "density"),
            ("density_points", DYE_LIKE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "lines"),
            ("method", "parabola"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.760286 V", 1e-6),
            expect("short_circuit_density", "17.9712 mA/cm2", 1e-9),
            expect("maximum_power_voltage", "0.576705 V", 1e-6),
            expect("maximum_power", "9.389637 mW", 1e-6),
        ],
        source: computed("numpy 2.4.6 on the sampled curve"),
    },
    Case {
        title: "computed curve like a dye cell's: the exact figures, within the error of the method",
        inputs: &[
            ("second_column", "density"),
            ("density_points", DYE_LIKE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "lines"),
            ("method", "parabola"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.76029574 V", 2e-5),
            expect("short_circuit_density", "17.97123894 mA/cm2", 1e-4),
            expect("maximum_power_voltage", "0.57760279 V", 1e-3),
            expect("fill_factor", "0.68714339", 1e-4),
            expect("efficiency", "9.388754 %", 1e-3),
        ],
        source: computed("single-diode equation, mpmath 1.4.1, 30 digits"),
    },
    Case {
        title: "computed ideal diode: what this method gives",
        inputs: &[
            ("second_column", "density"),
            ("density_points", IDEAL_DIODE),
            ("density_area", "1 cm2"),
            ("area", "1 cm2"),
            ("axes", "lines"),
            ("method", "parabola"),
        ],
        expected: &[
            expect("open_circuit_voltage", "0.622691 V", 1e-6),
            expect("short_circuit_density", "35 mA/cm2", 1e-9),
            expect("maximum_power_voltage", "0.541635 V", 1e-6),
            expect("maximum_power", "18.176803 mW", 1e-6),
            // The exact curve has 18.186716 %; 20 mV steps cost a parabola 0.06 % of it.
            expect("efficiency", "18.186716 %", 0.011),
        ],
        source: computed("numpy 2.4.6 on the sampled curve; exact value by mpmath 1.4.1"),
    },
];

/// Worked-case points, in V and mA.
const SILICON: &str = include_str!("efficiency/silicon.txt");
/// Worked-case points, in V and mA/cm².
const DYE_LIKE: &str = include_str!("efficiency/dye_like.txt");
/// Worked-case points, in V and mA/cm².
const IDEAL_DIODE: &str = include_str!("efficiency/ideal_diode.txt");

struct Efficiency;

impl Formula for Efficiency {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let figures = figures(given)?;
        let (area, irradiance, of_voltage) =
            (given[&AREA], given[&IRRADIANCE], given[&VOLTAGE_FACTOR]);
        let of_current = of_current(given);
        let merit = figures.merit(given, 0, of_current, of_voltage);
        let efficiency = merit.power / (irradiance * area);
        let [short_slope, open_slope] = merit.slope_resistances();

        let mut found = Found::new();
        found.set(&EFFICIENCY, efficiency);
        found.set(&FILL_FACTOR, merit.fill_factor());
        found.set(&OPEN_CIRCUIT_VOLTAGE, merit.open);
        found.set(&SHORT_CIRCUIT_CURRENT, merit.short);
        found.set(&SHORT_CIRCUIT_DENSITY, merit.short / area);
        found.set(&MAXIMUM_POWER, merit.power);
        found.set(&MAXIMUM_POWER_VOLTAGE, merit.at);
        found.set(&MAXIMUM_POWER_CURRENT, merit.power / merit.at);
        found.set(
            &MAXIMUM_POWER_CURRENT_DENSITY,
            merit.power / merit.at / area,
        );
        let at_reference = given.get(&CELL_TEMPERATURE).map(|temperature| {
            let warmer = temperature - given[&REFERENCE_TEMPERATURE];
            efficiency / (given[&COEFFICIENT] * warmer + 1.0)
        });
        if given.choice(&TRANSLATION) == "temperature" {
            // Negative, or beyond any bound where the divisor is zero.
            if at_reference.is_some_and(|found| !(found.value() > 0.0 && found.value().is_finite()))
            {
                return Err(Problem::at(
                    &COEFFICIENT,
                    "nothing_left",
                    "Over this step of temperature the coefficient leaves no efficiency.",
                    "Check the unit and the sign of the coefficient.",
                ));
            }
            found.set_some(&REFERENCE_EFFICIENCY, at_reference);
        }
        found.set_some(&LIT_SHARE, given.get(&FILM_AREA).map(|film| area / film));
        found.set_some(&SHORT_SLOPE, short_slope);
        found.set_some(&OPEN_SLOPE, open_slope);
        found.set(&POWER_SPREAD, S::constant(figures.power_spread()));
        if given.wants_curves() {
            let drawn = figures.drawn(of_voltage.value(), (of_current / area).value());
            let power = drawn.x.iter().zip(&drawn.y).map(|(v, j)| v * j);
            let power = Points {
                y: power.collect(),
                x: drawn.x.clone(),
            };
            found.set_curve(&MEASURED, drawn.clone());
            found.set_curve(&CURVE, drawn);
            found.set_curve(&POWER_CURVE, power);
        }
        Ok(found)
    }

    fn scatter(given: &Given<'_, f64>) -> Result<Option<Scatter>, Problem> {
        let figures = figures(given)?;
        Ok(scatter(given, figures.residual, |of_reading| {
            figures.covariance(of_reading)
        }))
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let Ok(figures) = figures(given) else {
            return Vec::new();
        };
        let mut checks = figures.checks();
        checks.extend(of_results(given, found));
        checks.extend(scatter_check(
            figures.residual,
            given.get(&NOISE),
            given.or(&DENSITY_AREA, 1.0),
        ));
        checks
    }

    fn judge(given: &Given<'_, f64>, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
        let (Ok(figures), Some(power)) = (figures(given), estimate(&MAXIMUM_POWER)) else {
            return Vec::new();
        };
        let of_power = of_current(given) * given[&VOLTAGE_FACTOR];
        let relative = |found: Estimate| found.uncertainty / found.value;
        let of_axis = |field: &Field| estimate(field).map_or(0.0, relative);
        let uncertainties = [
            relative(power),
            of_axis(&SHORT_CIRCUIT_CURRENT),
            of_axis(&OPEN_CIRCUIT_VOLTAGE),
        ];
        figures.agreement(of_power, uncertainties).into()
    }
}

/// They follow from the points and the methods alone.
fn figures<S: Scalar>(given: &Given<'_, S>) -> Result<Arc<Figures>, Problem> {
    given.once(|| {
        let (field, current) = match given.choice(&SECOND_COLUMN) {
            "density" => (&DENSITY_POINTS, &DENSITY),
            _ => (&POINTS, &CURRENT),
        };
        let columns = Columns {
            field,
            voltage: &VOLTAGE,
            current,
        };
        Figures::read(
            columns,
            given.points(field),
            given.choice(&AXES),
            given.choice(&METHOD),
        )
    })
}

/// Efficiency above which something is wrong.
const MOST_EFFICIENT: f64 = 0.33;
/// Irradiance of standard test conditions, in W/m².
const STANDARD_IRRADIANCE: f64 = 1000.0;

/// What the results give reason to say.
fn of_results(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
    let result = |field: &Field| found.get(field).unwrap_or(f64::NAN);
    let checks = [
        Some(of_fill_factor(result(&FILL_FACTOR))),
        of_efficiency(result(&EFFICIENCY)),
        Some(of_irradiance(given[&IRRADIANCE])),
        of_areas(given, &AREA),
        mask(
            given[&AREA],
            given.get(&FILM_AREA),
            given.get(&CELL_TEMPERATURE),
        ),
        slow_response(given.get(&SWEEP_RATE), given.get(&DELAY)),
        of_translation(given),
        of_temperatures(given),
        of_short_circuit(result(&SHORT_CIRCUIT_DENSITY), given[&IRRADIANCE]),
        Some(of_slopes(found.get(&SHORT_SLOPE), found.get(&OPEN_SLOPE))),
    ];
    checks.into_iter().flatten().collect()
}

fn of_translation(given: &Given<'_, f64>) -> Option<Check> {
    let missing =
        given.choice(&TRANSLATION) == "temperature" && given.get(&CELL_TEMPERATURE).is_none();
    missing.then(|| {
        Check::note(
            "no_temperature",
            "Enter the temperature of the cell: without it the efficiency is not translated.",
            derived("a translation starts from the temperature of the measurement"),
        )
    })
}

fn of_temperatures(given: &Given<'_, f64>) -> Option<Check> {
    let stated = given.choice(&TRANSLATION) == "temperature";
    let temperature = given.get(&CELL_TEMPERATURE).filter(|_| stated)?;
    long_temperature_step(given[&REFERENCE_TEMPERATURE] - temperature)
}

/// In A/m²: less than this at about one sun is hardly a cell's.
const LEAST_DENSITY: f64 = 1.0;
const ABOUT_ONE_SUN: core::ops::RangeInclusive<f64> = 500.0..=2000.0;

fn of_short_circuit(density: f64, irradiance: f64) -> Option<Check> {
    (ABOUT_ONE_SUN.contains(&irradiance) && density < LEAST_DENSITY).then(|| {
        Check::warning(
            "low_current",
            format!(
                "A short-circuit current density of {} at {} is very little: check the unit of the current, the area and \
                 that the lamp was on.",
                SHORT_CIRCUIT_DENSITY.say(density),
                IRRADIANCE.say(irradiance)
            ),
            practice("printed dye cells give 1 mA/cm² to 20 mA/cm² in one sun"),
        )
    })
}

fn of_slopes(short: Option<f64>, open: Option<f64>) -> Check {
    let rule = computed(
        "0.0885 Ω at Voc against a series resistance of 0.0364 Ω, both fitted to the points of Easwarakhanthan et al.",
    );
    let missing = if short.is_none() {
        " At 0 V the current does not fall: no slope is given."
    } else {
        ""
    };
    match open {
        Some(open) => Check::note(
            "slopes",
            format!(
                "The slope at Voc, {}, is not the series resistance: it holds the diode's share too, and is 2.4 times \
                 that resistance for a published silicon cell.{missing}",
                OPEN_SLOPE.say(open)
            ),
            rule,
        ),
        None => Check::warning(
            "slopes",
            format!("At Voc the current does not fall: look for wrong points.{missing}"),
            rule,
        ),
    }
}

fn of_fill_factor(fill_factor: f64) -> Check {
    let rule: Source =
        derived("a straight line between the axes has a fill factor of 1/4, a rectangle 1");
    let shown = value_text(fill_factor, 3);
    if fill_factor < 0.25 {
        let sentence = format!(
            "The fill factor {shown} is below that of a straight line, 0.25: the curve is bent inwards. A barrier at \
             a contact or charging of the cell during a fast sweep may do this."
        );
        Check::warning("fill_factor", sentence, rule)
    } else if fill_factor < 1.0 {
        let sentence =
            format!("The fill factor {shown} lies between that of a straight line, 0.25, and 1.");
        Check::in_range("fill_factor", sentence, rule)
    } else {
        let sentence = format!(
            "The fill factor {shown} is not below 1, as a cell's is: look for wrong points."
        );
        Check::warning("fill_factor", sentence, rule)
    }
}

fn of_efficiency(efficiency: f64) -> Option<Check> {
    (efficiency > MOST_EFFICIENT).then(|| {
        Check::warning(
            "implausible_efficiency",
            format!(
                "An efficiency of {} is above what one absorber can reach in sunlight, about 33 %: check the area, \
                 the irradiance and the units.",
                EFFICIENCY.say(efficiency)
            ),
            memory("W. Shockley and H. J. Queisser, J. Appl. Phys. 32 (1961) 510; about 33 % in AM1.5G light"),
        )
    })
}

fn of_irradiance(irradiance: f64) -> Check {
    let rule = memory("IEC 60904-3: standard irradiance 1000 W/m²");
    if (irradiance / STANDARD_IRRADIANCE - 1.0).abs() > 1e-3 {
        let sentence = format!(
            "The efficiency is that at {}, not at {}. It would be the same there only if the current were \
             proportional to the light and voltage and fill factor did not change.",
            IRRADIANCE.say(irradiance),
            IRRADIANCE.say(STANDARD_IRRADIANCE)
        );
        Check::note("irradiance", sentence, rule)
    } else {
        Check::in_range("irradiance", "The irradiance is the standard one.", rule)
    }
}

/// The area a current density was calculated with is a setting, not a measurement.
pub(super) fn of_areas(given: &Given<'_, f64>, of_cell: &Field) -> Option<Check> {
    let set = given.get(&DENSITY_AREA)?;
    if given.uncertainty(&DENSITY_AREA) > 0.0 {
        return Some(Check::warning(
            "uncertain_setting",
            "The area the current was divided by carries an uncertainty. It is a setting and exact; linked to the \
             same card as the area of the cell, it would cancel that area's uncertainty. Type it without ±.",
            derived("current is current density times the area that was set"),
        ));
    }
    let area = given.get(of_cell)?;
    ((set / area - 1.0).abs() > 1e-3).then(|| {
        Check::note(
            "areas_differ",
            format!(
                "The current was divided by {}, “{}” is {}: current densities were calculated anew.",
                DENSITY_AREA.say(set),
                of_cell.title,
                of_cell.say(area)
            ),
            derived("current is current density times the area that was set"),
        )
    })
}
