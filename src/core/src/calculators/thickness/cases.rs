//! Worked cases of the thickness from passes, each with its source.

use crate::calculators::{Case, expect};
use crate::problem::{Source, computed, memory, read};

/// Worked cases, each with its source.
pub(in crate::calculators) static CASES: &[Case] = &[
    Case {
        title: "one pass of a dense film",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("solids", "1 %"),
            ("porosity", "0"),
        ],
        expected: &[
            expect("wet_per_pass", "25 um", 5e-6),
            expect("thickness", "0.25 um", 5e-7),
        ],
        source: PYTHON,
    },
    Case {
        title: "10 % of titanium dioxide in water, by mass, with the mass of the film and the ink for it",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("solids", "2.76891 %"),
            ("porosity", "60 %"),
            ("density", "3.89 g/cm3"),
            ("area", "0.25 cm2"),
        ],
        // The solids are printed to six digits: 2e-6 of everything that follows.
        expected: &[
            expect("wet_per_pass", "25 um", 5e-6),
            expect("thickness", "1.730566 um", 4e-6),
            expect("areal_mass", "0.269276 mg/cm2", 1e-6),
            expect("film_mass", "0.067319 mg", 5e-7),
            expect("ink_volume", "0.625 uL", 5e-6),
        ],
        source: PYTHON,
    },
    Case {
        title: "six passes at 600 dots per inch",
        inputs: &[
            ("passes", "6"),
            ("drop_volume", "30 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "600 dpi"),
            ("resolution_y", "600 dpi"),
            ("solids", "4.54677 %"),
            ("porosity", "60 %"),
        ],
        // The thicknesses were computed from the rounded pitch and solids: 3e-6 of their value.
        expected: &[
            expect("pitch_x", "42.3333 um", 5e-5),
            expect("drops_per_area", "55800.1 cm-2", 0.05),
            expect("wet_per_pass", "16.74006 um", 5e-5),
            expect("thickness", "11.416972 um", 4e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "three passes at 360 dots per inch",
        inputs: &[
            ("passes", "3"),
            ("drop_volume", "80 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "360 dpi"),
            ("resolution_y", "360 dpi"),
            ("solids", "2.19304 %"),
            ("porosity", "50 %"),
        ],
        // As above, 4e-6 of their value.
        expected: &[
            expect("pitch_y", "70.5556 um", 5e-5),
            expect("drops_per_area", "20088.0 cm-2", 0.5),
            expect("wet_per_pass", "16.07041 um", 5e-5),
            expect("thickness", "2.114587 um", 1e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "copper oxide ink, 16 % by mass",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("solids", "3.06984 %"),
            ("porosity", "0"),
        ],
        expected: &[expect("thickness", "0.76746 um", 2e-6)],
        source: computed(
            "volume balance, Python 3.11 float64; solids and drop of a published copper oxide ink, density of the \
                 liquid assumed",
        ),
    },
    Case {
        title: "unequal dots per inch along and across",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "1270 dpi"),
            ("resolution_y", "720 dpi"),
            ("solids", "5 %"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("pitch_x", "20.0 um", 5e-5),
            expect("pitch_y", "35.2778 um", 5e-5),
        ],
        source: INCH,
    },
    Case {
        title: "2540 and 300 dots per inch",
        inputs: &[
            ("passes", "1"),
            ("drop_volume", "10 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "2540 dpi"),
            ("resolution_y", "300 dpi"),
            ("solids", "5 %"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("pitch_x", "10.0 um", 5e-5),
            expect("pitch_y", "84.6667 um", 5e-5),
        ],
        source: INCH,
    },
    Case {
        title: "passes for a target thickness, the six passes turned round",
        inputs: &[
            ("find", "passes"),
            ("target", "11.416972 um"),
            ("tolerance", "1 um"),
            ("drop_volume", "30 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "600 dpi"),
            ("resolution_y", "600 dpi"),
            ("solids", "4.54677 %"),
            ("porosity", "60 %"),
        ],
        expected: &[
            expect("passes_exact", "6", 1e-5),
            expect("passes_to_print", "6", 0.0),
            expect("thickness", "11.416972 um", 4e-5),
        ],
        source: PYTHON,
    },
    Case {
        title: "porosity from weighing, turned round: the mass of a film of known porosity",
        inputs: &[
            ("from", "pairs"),
            ("passes", "1"),
            ("pairs.a.passes", "1"),
            ("pairs.a.thickness", "10 um"),
            ("porosity", "59.928 %"),
            ("density", "3.893 g/cm3"),
            ("area", "0.25 cm2"),
        ],
        expected: &[expect("film_mass", "0.39 mg", 5e-6)],
        source: computed("geometry, Python 3.11 float64"),
    },
    Case {
        title: "weighted line with an intercept; the published readings taken as micrometres",
        inputs: CALIBRATION_WEIGHTED,
        expected: &[
            expect("per_pass", "0.0738 um", 5e-5),
            expect("intercept", "0.0091 um", 5e-5),
        ],
        source: memory(
            "Miller and Miller, Statistics and Chemometrics for Analytical Chemistry, ch. 5, weighted regression; \
                 reproduced with numpy and scipy",
        ),
    },
    Case {
        title: "the same weighted line, to all digits",
        inputs: CALIBRATION_WEIGHTED,
        expected: &[
            expect("per_pass", "0.0737599662370502 um", 1e-10),
            expect("intercept", "0.009083907773170434 um", 1e-11),
        ],
        source: SCIPY,
    },
    Case {
        title: "passes for a target on the same weighted line",
        inputs: &[
            ("from", "pairs"),
            ("find", "passes"),
            ("target", "0.600 um"),
            ("line", "intercept"),
            ("pairs.a.passes", "0"),
            ("pairs.a.thickness", "0.009 ± 0.001 um"),
            ("pairs.b.passes", "2"),
            ("pairs.b.thickness", "0.158 ± 0.004 um"),
            ("pairs.c.passes", "4"),
            ("pairs.c.thickness", "0.301 ± 0.010 um"),
            ("pairs.d.passes", "6"),
            ("pairs.d.thickness", "0.472 ± 0.013 um"),
            ("pairs.e.passes", "8"),
            ("pairs.e.thickness", "0.577 ± 0.017 um"),
            ("pairs.f.passes", "10"),
            ("pairs.f.thickness", "0.739 ± 0.022 um"),
        ],
        expected: &[
            expect("passes_exact", "8.011338973878324", 1e-8),
            expect("passes_to_print", "8", 0.0),
        ],
        source: SCIPY,
    },
    Case {
        title: "the same readings without uncertainties: unweighted",
        inputs: &[
            ("from", "pairs"),
            ("passes", "10"),
            ("line", "intercept"),
            ("pairs.a.passes", "0"),
            ("pairs.a.thickness", "0.009 um"),
            ("pairs.b.passes", "2"),
            ("pairs.b.thickness", "0.158 um"),
            ("pairs.c.passes", "4"),
            ("pairs.c.thickness", "0.301 um"),
            ("pairs.d.passes", "6"),
            ("pairs.d.thickness", "0.472 um"),
            ("pairs.e.passes", "8"),
            ("pairs.e.thickness", "0.577 um"),
            ("pairs.f.passes", "10"),
            ("pairs.f.thickness", "0.739 um"),
        ],
        expected: &[
            expect("per_pass", "0.07254285714285713 um", 1e-10),
            expect("intercept", "0.01328571428571429 um", 1e-11),
        ],
        source: SCIPY,
    },
    Case {
        title: "line with an intercept through eleven points; exam scores taken as micrometres",
        inputs: &[
            ("from", "pairs"),
            ("passes", "66"),
            ("line", "intercept"),
            ("pairs.a.passes", "65"),
            ("pairs.a.thickness", "175 um"),
            ("pairs.b.passes", "67"),
            ("pairs.b.thickness", "133 um"),
            ("pairs.c.passes", "71"),
            ("pairs.c.thickness", "185 um"),
            ("pairs.d.passes", "71"),
            ("pairs.d.thickness", "163 um"),
            ("pairs.e.passes", "66"),
            ("pairs.e.thickness", "126 um"),
            ("pairs.f.passes", "75"),
            ("pairs.f.thickness", "198 um"),
            ("pairs.g.passes", "67"),
            ("pairs.g.thickness", "153 um"),
            ("pairs.h.passes", "70"),
            ("pairs.h.thickness", "163 um"),
            ("pairs.i.passes", "71"),
            ("pairs.i.thickness", "159 um"),
            ("pairs.j.passes", "69"),
            ("pairs.j.thickness", "151 um"),
            ("pairs.k.passes", "69"),
            ("pairs.k.thickness", "159 um"),
        ],
        expected: &[
            expect("per_pass", "4.83 um", 0.005),
            expect("intercept", "-173.51 um", 0.005),
            // With unrounded coefficients; the book rounds them first and prints 145.27.
            expect("thickness", "145.0946547884187 um", 1e-7),
        ],
        source: read(
            "OpenStax Introductory Statistics 2e, Examples 12.6 and 12.11; thickness computed with numpy",
        ),
    },
    Case {
        title: "line through the origin; certified data set NoInt2 taken as micrometres",
        inputs: &[
            ("from", "pairs"),
            ("passes", "5"),
            ("line", "origin"),
            ("pairs.a.passes", "4"),
            ("pairs.a.thickness", "3 um"),
            ("pairs.b.passes", "5"),
            ("pairs.b.thickness", "4 um"),
            ("pairs.c.passes", "6"),
            ("pairs.c.thickness", "4 um"),
        ],
        expected: &[
            expect("per_pass", "0.727272727272727 um", 1e-9),
            expect("intercept", "0 um", 0.0),
        ],
        source: read("NIST Statistical Reference Datasets, linear least squares, NoInt2"),
    },
];

const PYTHON: Source = computed("volume balance, Python 3.11 float64");
const INCH: Source = computed("25.4 mm over the dots per inch, Python 3.11 float64");
const SCIPY: Source = computed(
    "numpy and scipy, on the weighted regression example of Miller and Miller, ch. 5 (readings from memory)",
);

const CALIBRATION_WEIGHTED: &[(&str, &str)] = &[
    ("from", "pairs"),
    ("passes", "10"),
    ("line", "intercept"),
    ("pairs.a.passes", "0"),
    ("pairs.a.thickness", "0.009 ± 0.001 um"),
    ("pairs.b.passes", "2"),
    ("pairs.b.thickness", "0.158 ± 0.004 um"),
    ("pairs.c.passes", "4"),
    ("pairs.c.thickness", "0.301 ± 0.010 um"),
    ("pairs.d.passes", "6"),
    ("pairs.d.thickness", "0.472 ± 0.013 um"),
    ("pairs.e.passes", "8"),
    ("pairs.e.thickness", "0.577 ± 0.017 um"),
    ("pairs.f.passes", "10"),
    ("pairs.f.thickness", "0.739 ± 0.022 um"),
];
