//! Worked cases of the single-diode fit, each with its source.

use crate::calculators::{Case, expect};
use crate::problem::{Source, computed};

/// Worked cases, each with its source.
pub(in crate::calculators) static CASES: &[Case] = &[
    Case {
        title: "silicon cell, true current",
        inputs: &[
            ("points", SILICON),
            ("temperature", "306.15 K"),
            ("area", "25.5176 cm2"),
        ],
        expected: &[
            expect("photo_current", "0.76078797 A", 5e-9),
            expect("saturation_current", "0.31068459 uA", 5e-9),
            expect("ideality", "1.47726934", 5e-9),
            expect("series_resistance", "0.03654695 Ohm", 5e-9),
            expect("shunt_resistance", "52.88979 Ohm", 5e-6),
            expect("residual", "0.773006269 mA", 5e-10),
            expect("open_circuit_voltage", "0.57278 V", 5e-7),
            expect("short_circuit_current", "0.760262 A", 5e-7),
            expect("maximum_power_voltage", "0.450685 V", 5e-7),
            expect("maximum_power", "0.310695 W", 5e-7),
            expect("fill_factor", "0.713481", 5e-7),
            expect("slope_at_open", "0.08846 Ohm", 5e-6),
            expect("slope_at_zero", "52.881 Ohm", 5e-4),
        ],
        source: SCIPY,
    },
    Case {
        title: "silicon cell, implicit residual",
        inputs: &[
            ("points", SILICON),
            ("temperature", "306.15 K"),
            ("objective", "implicit"),
        ],
        expected: &[
            expect("photo_current", "0.76077553 A", 5e-9),
            expect("saturation_current", "0.32302081 uA", 5e-9),
            expect("ideality", "1.48118515", 5e-9),
            expect("series_resistance", "0.03637709 Ohm", 5e-9),
            expect("shunt_resistance", "53.71852 Ohm", 5e-6),
            expect("residual", "0.986021878 mA", 5e-10),
            expect("open_circuit_voltage", "0.572785 V", 5e-7),
            expect("short_circuit_current", "0.76026 A", 5e-7),
            expect("maximum_power_voltage", "0.450645 V", 5e-7),
            expect("maximum_power", "0.310652 W", 5e-7),
            expect("fill_factor", "0.713379", 5e-7),
        ],
        source: SCIPY,
    },
    Case {
        title: "computed curve like a dye cell's, within four standard uncertainties from the rounding of its points",
        inputs: &[
            ("second_column", "density"),
            ("density_points", DYE_LIKE),
            ("density_area", "1 cm2"),
            ("temperature", "25"),
            ("area", "1 cm2"),
            ("bootstrap", "refits"),
        ],
        expected: &[
            expect("photo_density", "18 mA/cm2", 5e-5),
            expect("saturation_density", "2 nA/cm2", 1.2e-3),
            expect("ideality", "1.85", 7e-5),
            expect("series_area", "4 Ohm.cm2", 1.2e-4),
            expect("shunt_area", "2500 Ohm.cm2", 1.0),
            expect("series_resistance", "4 Ohm", 1.2e-4),
            expect("open_circuit_voltage", "0.76029574 V", 3.4e-7),
            expect("short_circuit_density", "17.97123894 mA/cm2", 4e-5),
            expect("maximum_power_voltage", "0.57760279 V", 1e-6),
            expect("maximum_power", "9.38875381 mW", 2.6e-5),
            expect("fill_factor", "0.68714339", 2.5e-6),
        ],
        source: computed(
            "parameters from which the points were computed, with numpy 2.4.6; figures by mpmath 1.4.1",
        ),
    },
    Case {
        title: "computed curve in the dark, within four standard uncertainties from the rounding of its points",
        inputs: &[
            ("light", "off"),
            ("dark_points", DARK),
            ("temperature", "25"),
            ("cells", "1"),
        ],
        expected: &[
            expect("saturation_current", "2 nA", 3e-3),
            expect("ideality", "1.85", 2e-4),
            expect("series_resistance", "4 Ohm", 1e-3),
            expect("shunt_resistance", "2500 Ohm", 2.0),
        ],
        source: computed("parameters from which the points were computed, with scipy 1.17.1"),
    },
];

const SCIPY: Source = computed(
    "scipy 1.17.1, polished with mpmath 1.4.1, on the points of Easwarakhanthan et al., Int. J. Solar Energy 4 (1986) 1",
);
/// Worked-case points, in V and mA.
const SILICON: &str = include_str!("../efficiency/silicon.txt");
/// Worked-case points, in V and mA/cm².
const DYE_LIKE: &str = include_str!("../efficiency/dye_like.txt");
/// Worked-case points, in V and mA: curve of the same cell without light, forward current positive.
const DARK: &str = include_str!("dark.txt");
