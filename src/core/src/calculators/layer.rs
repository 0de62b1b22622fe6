//! # What it computes
//! A printed layer from its drops: wet and fired thickness, mass, the films of the pattern, the ink to have ready and
//! the substrates that the ink at hand serves, how many passes go wet on wet, and how long it takes.
//!
//! # Formulas
//! r = 1/p; N_d = k/(pₓ·p_y); w = N_d·V_d; b = w·φ/(1 − P); t = n·b; m_A = n·w·φ·ρ. Films: A = a·b for a rectangle,
//! π·a²/4 for a circle; A_s their sum on one substrate; N = N_d·A_s; on a footprint A_p the thickness is t·A/A_p.
//! Ink: V₁ = n·w·A_s; V = N_s·V₁ + V_p + V_h + V_r. Wet: n_w the largest whole number with n_w·w ≤ w_max, at least one.
//! Time: v = pₓ·f/k; s = N_n·p_y; n_s = L_y/s, rounded up; T₁ = n_s·(Lₓ/v + T_t); T = n·T₁ + n_d·T_d, with
//! n_d = n/n_w rounded up, less one, or n − 1 without w_max.
//!
//! # Symbols and units
//! pₓ, p_y pitch of the dots along and across the print direction (m), r dots per length (1/m); k drops per dot; V_d
//! drop volume (m³); N_d drops per area (1/m²); w wet thickness of one pass (m), w_max the most that stays in shape;
//! φ volume fraction of solid in the ink (1); P porosity of the fired film (1); n passes; b, t thickness of one pass
//! and of all (m); ρ density of the solid (kg/m³); m_A mass per area (kg/m²); N drops on a substrate in each pass; N_s
//! substrates; V₁ ink on one (m³); V_p, V_h, V_r ink purged, held by filters and tubing, left in the reservoir (m³); f
//! drop frequency (Hz); N_n nozzles; v speed of the head (m/s); s swath (m); Lₓ, L_y size of the pattern (m); T_t time to
//! turn, T_d to dry (s).
//!
//! # Valid range
//! Whole passes, drops and films; solids above 0; porosity below 1. A film without its size is left out.
//!
//! # Assumptions
//! Every drop lands in its film, all solid stays, all liquid goes, every pass adds the same. A film that spreads or draws
//! back keeps its volume. Nozzles print at the pitch of the pattern, side by side or interlaced: in both cases the
//! head moves on by their number times the pitch on average. It moves at the speed at which every dot gets its drops.
//!
//! # Sources
//! Conservation of volume; 1 in = 25.4 mm by definition; geometry.
//!
//! # Worked example
//! 10 pL every 20 µm both ways lie 25 µm thick when wet; a square of 5 mm takes 0.625 µL and 62 500 drops.

use super::drops::{
    self, AREAL_MASS, DROP_VOLUME, DROPS_PER_AREA, PITCH_AS, PITCH_X, PITCH_Y, POROSITY,
    RESOLUTION_X, RESOLUTION_Y, SOLIDS, WET_PER_PASS,
};
use super::*;
use crate::problem::{Check, Problem, Source, computed, derived, practice};
use crate::quantity::{Kind, value_text};
use crate::scalar::{Scalar, sum};

static DROPS_PER_DOT: Field = count("drops_per_dot", "Drops for each dot")
    .symbol("k")
    .initially("1");
static PASSES: Field = count("passes", "Passes").symbol("n");
static DENSITY: Field = quantity("density", "Density of the solid", Kind::Density)
    .symbol("ρ")
    .help("For the mass: of the solid itself, without pores.")
    .units(&["g/cm3", "kg/m3"])
    .positive()
    .optional();
static WET_LIMIT: Field = quantity(
    "wet_limit",
    "Wet thickness that stays in shape",
    Kind::Length,
)
.symbol("w_max")
.help("From trials on this substrate: above it the wet film runs, draws back or dries to a rim.")
.units(&["um"])
.positive()
.optional();
static FILMS: Field = table(
    "films",
    "Films on one substrate",
    &[&NAME, &SHAPE, &WIDTH, &LENGTH, &AREA, &COUNT, &FOOTPRINT],
);
static NAME: Field = text("name", "Name").optional();
static SHAPE: Field = choice(
    "shape",
    "Shape",
    &[
        option("rectangle", "rectangle"),
        option("circle", "circle"),
        option("area", "typed area"),
    ],
);
static WIDTH: Field = quantity("width", "Width or diameter", Kind::Length)
    .units(&["mm", "um", "cm"])
    .positive()
    .optional();
static LENGTH: Field = quantity("length", "Length", Kind::Length)
    .help("Of a rectangle.")
    .units(&["mm", "um", "cm"])
    .positive()
    .optional();
static AREA: Field = quantity("area", "Area", Kind::Area)
    .help("Where it is typed instead of the sides.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional();
static COUNT: Field = count("count", "Number").initially("1");
static FOOTPRINT: Field = quantity("footprint", "Printed area, measured", Kind::Area)
    .help("Of one film, where it spread or drew back.")
    .units(&["cm2", "mm2"])
    .positive()
    .optional()
    .measured();
static SUBSTRATES: Field = count("substrates", "Substrates")
    .symbol("N_s")
    .initially("1")
    .measured();
static PURGE: Field =
    not_printed("purge", "Ink for purging", "V_p").help("In all, before and between the prints.");
static HOLD_UP: Field = not_printed("hold_up", "Ink held by filters and tubing", "V_h");
static DEAD: Field = not_printed("dead", "Ink left in the reservoir", "V_r");
static INK_AT_HAND: Field = quantity("ink_at_hand", "Ink at hand", Kind::Volume)
    .symbol("V₀")
    .help("For the number of substrates that it serves.")
    .units(&["mL", "uL"])
    .positive()
    .optional()
    .measured();
static TIMING: Field = choice(
    "timing",
    "Time",
    &[
        option("none", "not asked"),
        option("head", "from frequency, nozzles and swath"),
    ],
);
static FREQUENCY: Field = quantity("frequency", "Drop frequency", Kind::Frequency)
    .symbol("f")
    .units(&["kHz", "Hz"])
    .positive();
static NOZZLES: Field = count("nozzles", "Nozzles in use").symbol("N_n");
static ALONG: Field = quantity("along", "Pattern along the print direction", Kind::Length)
    .symbol("Lₓ")
    .units(&["mm", "cm"])
    .positive();
static ACROSS: Field = quantity("across", "Pattern across the print direction", Kind::Length)
    .symbol("L_y")
    .units(&["mm", "cm"])
    .positive();
static TURN: Field = quantity("turn", "Time to turn after each swath", Kind::Time)
    .symbol("T_t")
    .units(&["s"])
    .not_negative()
    .initially("0");
static DRYING: Field = quantity("drying", "Drying between passes", Kind::Time)
    .symbol("T_d")
    .units(&["s", "min"])
    .not_negative()
    .initially("0");

static THICKNESS: Field = quantity("thickness", "Fired thickness", Kind::Length)
    .symbol("t")
    .help("Where the print covers just its digital area.")
    .units(&["um", "nm"]);
static PER_PASS: Field = quantity("per_pass", "Fired thickness of one pass", Kind::Length)
    .symbol("b")
    .units(&["um", "nm"]);
static PASSES_WET: Field = count("passes_wet", "Passes before drying").symbol("n_w");
static PRINTED: Field = table(
    "printed",
    "Each film",
    &[&FILM_AREA, &FILM_INK, &FILM_MASS, &SPREAD, &FILM_THICKNESS],
);
static FILM_AREA: Field = quantity("film_area", "Digital area", Kind::Area).units(&["cm2", "mm2"]);
static FILM_INK: Field = quantity("film_ink", "Ink", Kind::Volume).units(&["uL", "nL", "mL"]);
static FILM_MASS: Field = quantity("film_mass", "Mass", Kind::Mass).units(&["mg", "ug"]);
static SPREAD: Field =
    quantity("spread", "Measured over digital area", Kind::Ratio).units(&["%", "1"]);
static FILM_THICKNESS: Field =
    quantity("film_thickness", "Thickness on it", Kind::Length).units(&["um", "nm"]);
static PATTERN_AREA: Field = quantity("pattern_area", "Digital area on one substrate", Kind::Area)
    .symbol("A_s")
    .units(&["cm2", "mm2"]);
static DROPS: Field = quantity("drops", "Drops on one substrate, each pass", Kind::Ratio)
    .symbol("N")
    .units(&["1"]);
static INK_PRINTED: Field = quantity("ink_printed", "Ink on one substrate", Kind::Volume)
    .symbol("V₁")
    .units(&["uL", "mL", "nL"]);
static INK_NEEDED: Field = quantity("ink_needed", "Ink to have ready", Kind::Volume)
    .symbol("V")
    .units(&["mL", "uL"]);
static SERVED: Field = count("served", "Substrates from the ink at hand");
static HEAD_SPEED: Field = quantity("head_speed", "Speed of the head", Kind::Velocity)
    .symbol("v")
    .units(&["mm/s", "m/s"]);
static SWATH: Field = quantity("swath", "Swath", Kind::Length)
    .symbol("s")
    .units(&["mm"]);
static SWATHS: Field = count("swaths", "Swaths").symbol("n_s");
static PASS_TIME: Field = quantity("pass_time", "Time for one pass", Kind::Time)
    .symbol("T₁")
    .units(&["s", "min"]);
static DRYINGS: Field = count("dryings", "Times dried between passes").symbol("n_d");
static PRINT_TIME: Field = quantity("print_time", "Time for one substrate", Kind::Time)
    .symbol("T")
    .units(&["min", "s", "h"]);

const fn not_printed(id: &'static str, title: &'static str, symbol: &'static str) -> Field {
    quantity(id, title, Kind::Volume)
        .symbol(symbol)
        .units(&["mL", "uL"])
        .not_negative()
        .initially("0")
}

const VOLUME_BALANCE: Source = derived("Conservation of the volume of the solid");
const GEOMETRY: Source = derived("Geometry of the pattern and of the swaths");
/// A whole number that is met to the last digits counts as met.
const SAME: f64 = 1e-9;
/// A footprint that differs by more than this share is worth a word.
const NOTABLE_SPREAD: f64 = 0.05;

/// A layer as it is printed: thickness, pattern, ink, time.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "layer",
    version: 1,
    stage: Stage::Layers,
    title: "Printed layer",
    purpose: "From drops to a fired layer: thickness, mass, ink to have ready, when to dry, and time.",
    inputs: &[
        show(&DROP_VOLUME),
        show(&PITCH_AS),
        show(&PITCH_X).when(&PITCH_AS, drops::LENGTH),
        show(&PITCH_Y).when(&PITCH_AS, drops::LENGTH),
        show(&RESOLUTION_X).when(&PITCH_AS, drops::RESOLUTION),
        show(&RESOLUTION_Y).when(&PITCH_AS, drops::RESOLUTION),
        show(&DROPS_PER_DOT),
        show(&PASSES),
        show(&SOLIDS),
        show(&POROSITY),
        show(&DENSITY),
        show(&WET_LIMIT),
        show(&FILMS),
        show(&SUBSTRATES),
        show(&PURGE),
        show(&HOLD_UP),
        show(&DEAD),
        show(&INK_AT_HAND),
        show(&TIMING),
        show(&FREQUENCY).when(&TIMING, &["head"]),
        show(&NOZZLES).when(&TIMING, &["head"]),
        show(&ALONG).when(&TIMING, &["head"]),
        show(&ACROSS).when(&TIMING, &["head"]),
        show(&TURN).when(&TIMING, &["head"]),
        show(&DRYING).when(&TIMING, &["head"]),
    ],
    outputs: &[
        show(&THICKNESS),
        show(&INK_NEEDED),
        show(&PER_PASS),
        show(&WET_PER_PASS),
        show(&PASSES_WET),
        show(&AREAL_MASS),
        show(&PITCH_X).when(&PITCH_AS, drops::RESOLUTION),
        show(&PITCH_Y).when(&PITCH_AS, drops::RESOLUTION),
        show(&RESOLUTION_X).when(&PITCH_AS, drops::LENGTH),
        show(&RESOLUTION_Y).when(&PITCH_AS, drops::LENGTH),
        show(&DROPS_PER_AREA),
        show(&PRINTED),
        show(&PATTERN_AREA),
        show(&DROPS),
        show(&INK_PRINTED),
        show(&SERVED),
        show(&DRYINGS).when(&TIMING, &["head"]),
        show(&PRINT_TIME).when(&TIMING, &["head"]),
        show(&PASS_TIME).when(&TIMING, &["head"]),
        show(&HEAD_SPEED).when(&TIMING, &["head"]),
        show(&SWATH).when(&TIMING, &["head"]),
        show(&SWATHS).when(&TIMING, &["head"]),
    ],
    working: &[
        formula("pitch_x = 1 / resolution_x").when(&PITCH_AS, drops::RESOLUTION),
        formula("pitch_y = 1 / resolution_y").when(&PITCH_AS, drops::RESOLUTION),
        formula("resolution_x = 1 / pitch_x").when(&PITCH_AS, drops::LENGTH),
        formula("resolution_y = 1 / pitch_y").when(&PITCH_AS, drops::LENGTH),
        formula("drops_per_area = drops_per_dot / (pitch_x * pitch_y)"),
        formula("wet_per_pass = drops_per_area * drop_volume"),
        formula("per_pass = wet_per_pass * solids / (1 - porosity)"),
        formula("thickness = passes * per_pass"),
        formula("areal_mass = passes * wet_per_pass * solids * density"),
        method("Passes before drying: as many as the wet thickness that stays in shape holds, at least one.")
            .gives(&[&PASSES_WET]),
        method(
            "Each film: its area from its sides; ink and mass are those per area times the area. Where its printed area \
             was measured, the thickness on it is smaller by as much as that area is larger.",
        )
        .gives(&[&PRINTED]),
        method("Digital area on one substrate: the areas of the films times their numbers, added up.")
            .gives(&[&PATTERN_AREA]),
        formula("drops = drops_per_area * pattern_area"),
        formula("ink_printed = passes * wet_per_pass * pattern_area"),
        formula("ink_needed = substrates * ink_printed + purge + hold_up + dead"),
        method(
            "Substrates from the ink at hand: what is left of it after purging, filters, tubing and reservoir, over the \
             ink on one substrate, in whole ones.",
        )
        .gives(&[&SERVED]),
        formula("head_speed = pitch_x * frequency / drops_per_dot").when(&TIMING, &["head"]),
        formula("swath = nozzles * pitch_y").when(&TIMING, &["head"]),
        method("Swaths: the pattern across the print direction over the swath, rounded up.")
            .gives(&[&SWATHS])
            .when(&TIMING, &["head"]),
        formula("pass_time = swaths * (along / head_speed + turn)").when(&TIMING, &["head"]),
        method(
            "Dried between passes: after as many as the wet limit allows, or after every pass where no limit is entered; \
             not after the last.",
        )
        .gives(&[&DRYINGS])
        .when(&TIMING, &["head"]),
        formula("print_time = passes * pass_time + dryings * drying").when(&TIMING, &["head"]),
    ],
    sources: &[
        VOLUME_BALANCE,
        derived("1 in = 25.4 mm by definition"),
        GEOMETRY,
    ],
    hazards: &[
        hazards::MIST_AT_PURGE,
        hazards::HEAD_VAPOUR,
        hazards::HOT_PLATE,
        hazards::DRY_FILMS,
        hazards::GLASS,
    ],
    formula: both::<Layer>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "titanium dioxide on a square of 5 mm",
        inputs: &[
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("passes", "1"),
            ("solids", "2.76891 %"),
            ("porosity", "60 %"),
            ("density", "3.89 g/cm3"),
            ("films.a.name", "cell"),
            ("films.a.shape", "rectangle"),
            ("films.a.width", "5 mm"),
            ("films.a.length", "5 mm"),
            ("films.a.count", "1"),
        ],
        // The solids are printed to six digits: 2e-6 of everything that follows.
        expected: &[
            expect("wet_per_pass", "25 um", 5e-6),
            expect("thickness", "1.730566 um", 4e-6),
            expect("areal_mass", "0.269276 mg/cm2", 1e-6),
            expect("ink_printed", "0.625 uL", 5e-6),
            expect("drops", "62500", 0.5),
        ],
        source: PYTHON,
    },
    Case {
        title: "six passes at 600 dots per inch",
        inputs: &[
            ("drop_volume", "30 pL"),
            ("pitch_as", "resolution"),
            ("resolution_x", "600 dpi"),
            ("resolution_y", "600 dpi"),
            ("passes", "6"),
            ("solids", "4.54677 %"),
            ("porosity", "60 %"),
            ("films.a.shape", "area"),
            ("films.a.area", "1 cm2"),
            ("films.a.count", "1"),
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
        title: "a pitch of 25 µm is 1016 dots per inch",
        inputs: &[
            ("drop_volume", "10 pL"),
            ("pitch_x", "25 um"),
            ("pitch_y", "10 um"),
            ("passes", "1"),
            ("solids", "5 %"),
            ("porosity", "60 %"),
            ("films.a.shape", "area"),
            ("films.a.area", "1 cm2"),
            ("films.a.count", "1"),
        ],
        expected: &[
            expect("resolution_x", "1016 dpi", 1e-9),
            expect("resolution_y", "2540 dpi", 1e-9),
        ],
        source: computed("25.4 mm over the dots per inch, Python 3.11 float64"),
    },
    Case {
        title: "two named films, one spread, with ink and time",
        // 1 drop for 100 µm², twice: w = 20 pL/(400 µm²) = 50 µm; three passes, 150 µm over 0.25 + 2·0.07854 cm².
        inputs: &[
            ("drop_volume", "10 pL"),
            ("pitch_x", "20 um"),
            ("pitch_y", "20 um"),
            ("drops_per_dot", "2"),
            ("passes", "3"),
            ("solids", "2 %"),
            ("porosity", "50 %"),
            ("density", "4 g/cm3"),
            ("wet_limit", "110 um"),
            ("films.a.name", "cell"),
            ("films.a.shape", "area"),
            ("films.a.area", "0.25 cm2"),
            ("films.a.count", "1"),
            ("films.a.footprint", "0.30 cm2"),
            ("films.b.name", "test dot"),
            ("films.b.shape", "circle"),
            ("films.b.width", "2 mm"),
            ("films.b.count", "2"),
            ("substrates", "4"),
            ("purge", "20 uL"),
            ("hold_up", "50 uL"),
            ("dead", "30 uL"),
            ("ink_at_hand", "200.9 uL"),
            ("timing", "head"),
            ("frequency", "1 kHz"),
            ("nozzles", "128"),
            ("along", "20 mm"),
            ("across", "10 mm"),
            ("turn", "1 s"),
            ("drying", "60 s"),
        ],
        expected: &[
            expect("wet_per_pass", "50 um", 1e-12),
            expect("per_pass", "2 um", 1e-12),
            expect("thickness", "6 um", 1e-12),
            expect("areal_mass", "1.2 mg/cm2", 1e-12),
            expect("passes_wet", "2", 0.0),
            expect("printed.a.film_ink", "3.75 uL", 1e-12),
            expect("printed.a.film_mass", "0.3 mg", 1e-12),
            expect("printed.a.spread", "120 %", 1e-12),
            expect("printed.a.film_thickness", "5 um", 1e-12),
            expect("printed.b.film_area", "0.031415926535897934 cm2", 1e-15),
            expect("pattern_area", "0.31283185307179587 cm2", 1e-14),
            expect("ink_printed", "4.692477796076938 uL", 1e-12),
            expect("ink_needed", "118.76991118430775 uL", 1e-10),
            expect("served", "21", 0.0),
            expect("head_speed", "10 mm/s", 1e-12),
            expect("swath", "2.56 mm", 1e-12),
            expect("swaths", "4", 0.0),
            expect("pass_time", "12 s", 1e-12),
            expect("dryings", "1", 0.0),
            expect("print_time", "96 s", 1e-10),
        ],
        source: GEOMETRY,
    },
];

const PYTHON: Source = computed("volume balance, Python 3.11 float64");

/// One film of the pattern.
struct Film<'a, S> {
    id: &'a str,
    name: String,
    area: S,
    count: S,
    /// Its printed area, where it was measured.
    footprint: Option<S>,
}

impl<'a, S: Scalar> Film<'a, S> {
    /// The film, or what it lacks.
    fn read(position: usize, id: &'a str, row: Given<'a, S>) -> Result<Self, String> {
        let name = row.called(&NAME, position);
        let size = |field: &'static Field, what: &str| {
            let missing =
                || format!("{name} is left out: enter its {what}, or choose another shape.");
            row.get(field).ok_or_else(missing)
        };
        let area = match row.choice(&SHAPE) {
            "circle" => size(&WIDTH, "diameter")?.squared() * core::f64::consts::FRAC_PI_4,
            "area" => size(&AREA, "area")?,
            _ => size(&WIDTH, "width")? * size(&LENGTH, "length")?,
        };
        Ok(Film {
            id,
            area,
            count: row[&COUNT],
            footprint: row.get(&FOOTPRINT),
            name,
        })
    }

    fn each(given: &Given<'a, S>) -> impl Iterator<Item = Result<Self, String>> {
        let rows = given.rows(&FILMS).enumerate();
        rows.map(|(position, (id, row))| Film::read(position, id, row))
    }

    /// Measured over digital area.
    fn spread(&self) -> Option<S> {
        self.footprint.map(|footprint| footprint / self.area)
    }

    fn printed(&self, wet: S, thickness: S, areal_mass: Option<S>) -> FoundRow<S> {
        let spread = self.spread();
        let cells: [Option<(&'static Field, S)>; 5] = [
            Some((&FILM_AREA, self.area)),
            Some((&FILM_INK, wet * self.area)),
            areal_mass.map(|mass| (&FILM_MASS, mass * self.area)),
            spread.map(|spread| (&SPREAD, spread)),
            spread.map(|spread| (&FILM_THICKNESS, thickness / spread)),
        ];
        FoundRow {
            id: self.id.into(),
            cells: cells.into_iter().flatten().collect(),
        }
    }
}

struct Layer;

impl Formula for Layer {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let films: Vec<_> = Film::each(given).flatten().collect();
        let mut found = Found::new();
        let [x, y] = drops::pitch(given, &mut found);
        if given.choice(&PITCH_AS) == "length" {
            found.set(&RESOLUTION_X, S::constant(1.0) / x);
            found.set(&RESOLUTION_Y, S::constant(1.0) / y);
        }
        let drops_per_area = given[&DROPS_PER_DOT] / (x * y);
        let wet = drops_per_area * given[&DROP_VOLUME];
        let per_pass = drops::fired(given, wet);
        let passes = given[&PASSES];
        let thickness = passes * per_pass;
        let all_wet = passes * wet;
        let density = given.get(&DENSITY);
        let areal_mass = density.map(|density| all_wet * given[&SOLIDS] * density);
        found.set(&DROPS_PER_AREA, drops_per_area);
        found.set(&WET_PER_PASS, wet);
        found.set(&PER_PASS, per_pass);
        found.set(&THICKNESS, thickness);
        found.set_some(&AREAL_MASS, areal_mass);
        let limit = given.get(&WET_LIMIT);
        found.set_some(
            &PASSES_WET,
            limit.map(|limit| S::constant(whole_below((limit / wet).value()).max(1.0))),
        );

        let printed = films.iter();
        let printed = printed.map(|film| film.printed(all_wet, thickness, areal_mass));
        found.set_rows(&PRINTED, printed.collect());
        if !films.is_empty() {
            let area = sum(films.iter().map(|film| film.count * film.area));
            let ink = all_wet * area;
            let not_printed = given[&PURGE] + given[&HOLD_UP] + given[&DEAD];
            found.set(&PATTERN_AREA, area);
            found.set(&DROPS, drops_per_area * area);
            found.set(&INK_PRINTED, ink);
            found.set(&INK_NEEDED, given[&SUBSTRATES] * ink + not_printed);
            let at_hand = given.get(&INK_AT_HAND);
            found.set_some(
                &SERVED,
                at_hand.map(|at_hand| {
                    S::constant(whole_below(((at_hand - not_printed) / ink).value()).max(0.0))
                }),
            );
        }
        if given.choice(&TIMING) == "head" {
            timed(given, &mut found, [x, y]);
        }
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        let rows = Film::each(given).filter_map(|film| match film {
            Ok(film) => spread(&film),
            Err(missing) => Some(Check::note("size_missing", missing, GEOMETRY)),
        });
        [
            drying(given, found),
            drops::usual_porosity(given.get(&POROSITY)),
            ink_at_hand(given, found),
        ]
        .into_iter()
        .flatten()
        .chain(rows)
        .collect()
    }
}

/// The largest whole number that is not above a number.
fn whole_below(number: f64) -> f64 {
    (number * (1.0 + SAME)).floor()
}

/// How long the head takes.
fn timed<S: Scalar>(given: &Given<'_, S>, found: &mut Found<S>, [x, y]: [S; 2]) {
    let passes = given[&PASSES];
    let speed = x * given[&FREQUENCY] / given[&DROPS_PER_DOT];
    let swath = given[&NOZZLES] * y;
    let swaths = ((given[&ACROSS] / swath).value() * (1.0 - SAME)).ceil();
    let pass = (given[&ALONG] / speed + given[&TURN]) * swaths;
    found.set(&HEAD_SPEED, speed);
    found.set(&SWATH, swath);
    found.set(&SWATHS, S::constant(swaths));
    found.set(&PASS_TIME, pass);
    let dryings = dryings(
        passes.value(),
        found.get(&PASSES_WET).map(|most| most.value()),
    );
    found.set(&DRYINGS, S::constant(dryings));
    found.set(&PRINT_TIME, passes * pass + given[&DRYING] * dryings);
}

/// How often the film is dried between its passes: each time as many were printed as may be at once, or after each.
fn dryings(passes: f64, at_once: Option<f64>) -> f64 {
    let groups = passes * (1.0 - SAME) / at_once.unwrap_or(1.0);
    (groups.ceil() - 1.0).max(0.0)
}

/// When to dry.
fn drying(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (limit, wet) = (given.get(&WET_LIMIT)?, found.get(&WET_PER_PASS)?);
    let (passes, at_once) = (given.get(&PASSES)?, found.get(&PASSES_WET)?);
    let rule = practice("dry before the wet film is thicker than stays in shape on the substrate");
    let said = WET_PER_PASS.say(wet);
    let most = WET_LIMIT.say(limit);
    Some(if wet > limit * (1.0 + SAME) {
        Check::warning(
            "too_wet",
            format!(
                "A single pass is {said} thick when wet, more than the {most} that stay in shape: use a larger pitch or \
                 fewer drops for each dot, and more passes."
            ),
            rule,
        )
    } else if passes <= at_once {
        Check::in_range(
            "drying",
            format!(
                "All passes together are {} thick when wet, within the {most} that stay in shape: no drying between them \
                 is needed for that.",
                WET_PER_PASS.say(passes * wet)
            ),
            rule,
        )
    } else {
        let each = if at_once == 1.0 {
            "every pass".to_owned()
        } else {
            format!("every {at_once} passes")
        };
        Check::note(
            "drying",
            format!(
                "Dry after {each}, {} between passes: one pass is {said} thick when wet, and {most} stay in shape.",
                times(dryings(passes, Some(at_once)))
            ),
            rule,
        )
    })
}

fn times(number: f64) -> String {
    if number == 1.0 {
        "once".into()
    } else {
        format!("{number} times")
    }
}

/// Whether the ink at hand is enough.
fn ink_at_hand(given: &Given<'_, f64>, found: &Found<f64>) -> Option<Check> {
    let (at_hand, needed) = (given.get(&INK_AT_HAND)?, found.get(&INK_NEEDED)?);
    let said = format!(
        "The ink at hand, {}, serves {} of {} substrates",
        INK_AT_HAND.say(at_hand),
        found.get(&SERVED)?,
        given.get(&SUBSTRATES)?
    );
    Some(if needed > at_hand {
        Check::warning(
            "too_little_ink",
            format!("{said}; all take {}.", INK_NEEDED.say(needed)),
            VOLUME_BALANCE,
        )
    } else {
        let left = INK_NEEDED.say(at_hand - needed);
        let sentence = format!(
            "The ink at hand, {}, is enough: {left} are left.",
            INK_AT_HAND.say(at_hand)
        );
        Check::in_range("too_little_ink", sentence, VOLUME_BALANCE)
    })
}

/// A film that did not stay within its digital area.
fn spread(film: &Film<'_, f64>) -> Option<Check> {
    let spread = film.spread()?;
    let off = spread - 1.0;
    let percent = value_text(100.0 * off.abs(), 2);
    let (size, so) = if off > 0.0 {
        ("larger", "spread and is thinner")
    } else {
        ("smaller", "drew back and is thicker")
    };
    (off.abs() > NOTABLE_SPREAD).then(|| {
        Check::note(
            "footprint",
            format!(
                "The printed area of {} is {percent}\u{202F}% {size} than the digital one: it {so}.",
                film.name
            ),
            VOLUME_BALANCE,
        )
    })
}
