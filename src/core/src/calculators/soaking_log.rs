//! # What it computes
//! How long each film soaked in the dye bath, from the times at which it went in and came out; how much hotter it was
//! than the bath; the shortest and the longest soaking time. How films were rinsed and dried is kept with it.
//!
//! # Formulas
//! t = t_out − t_in; ΔT = T_f − T_b.
//!
//! # Symbols and units
//! t_in, t_out times on the clock; t soaking time (s); T_f, T_b temperatures of film and bath when the film goes in (K);
//! ΔT their difference (K).
//!
//! # Valid range
//! Times as 09:15 or 2026-11-27 09:15, both of a film with dates or both without; with dates, a film comes out after it
//! went in.
//!
//! # Assumptions
//! Both times are read on one clock that was not put forward or back in between. Without dates, a film soaks for less
//! than a day: one that went in at 17:00 and came out at 09:00 came out the next morning. The times carry no
//! uncertainty.
//!
//! # Sources
//! Calendar and clock. Temperatures: common practice.
//!
//! # Worked example
//! From 17:00 to 09:00 a film soaks for 16 h.

use super::*;
use crate::problem::{Check, Problem, Source, derived, practice};
use crate::quantity::{Kind, Moment, seconds_between};
use crate::scalar::Scalar;

static FILMS: Field = table(
    "films",
    "Films",
    &[
        &FILM,
        &PUT_IN,
        &TAKEN_OUT,
        &FILM_TEMPERATURE,
        &BATH_TEMPERATURE,
        &RINSED_WITH,
        &RINSE_TIME,
        &HOW_DRIED,
    ],
);
static FILM: Field = text("film", "Film").measured();
static PUT_IN: Field = text("put_in", "Put in at")
    .help("As 09:15 or, over more than a day, as 2026-11-27 09:15.")
    .measured();
static TAKEN_OUT: Field = text("taken_out", "Taken out at")
    .help("As 09:15 or, over more than a day, as 2026-11-28 09:15.")
    .measured();
static FILM_TEMPERATURE: Field = quantity(
    "film_temperature",
    "Temperature of the film",
    Kind::Temperature,
)
.symbol("T_f")
.help("When it went in.")
.units(&["Cel"])
.within(173.15, 573.15)
.optional()
.measured();
static BATH_TEMPERATURE: Field = quantity(
    "bath_temperature",
    "Temperature of the bath",
    Kind::Temperature,
)
.symbol("T_b")
.units(&["Cel"])
.within(173.15, 573.15)
.optional()
.measured();
static RINSED_WITH: Field = text("rinsed_with", "Rinsed with").optional().measured();
static RINSE_TIME: Field = quantity("rinse_time", "Rinsed for", Kind::Time)
    .units(&["s", "min"])
    .positive()
    .optional()
    .measured();
static HOW_DRIED: Field = text("how_dried", "How dried").optional().measured();

static SHORTEST: Field =
    quantity("shortest", "Shortest soaking time", Kind::Time).units(&["h", "min", "d"]);
static LONGEST: Field =
    quantity("longest", "Longest soaking time", Kind::Time).units(&["h", "min", "d"]);
static SOAKED: Field = table("soaked", "Each film", &[&SOAKING_TIME, &HOTTER_BY]);
static SOAKING_TIME: Field = quantity("soaking_time", "Soaking time", Kind::Time)
    .symbol("t")
    .units(&["h", "min", "d"]);
static HOTTER_BY: Field = quantity(
    "hotter_by",
    "Hotter than the bath by",
    Kind::TemperatureDifference,
)
.symbol("ΔT")
.units(&["K"]);

const CALENDAR: Source = derived("calendar and clock");
/// Films usually go into the bath this warm, K.
const WARM: (f64, f64) = (313.15, 343.15);
/// From this difference on, thick glass may crack, K.
const SHOCK: f64 = 60.0;
/// Films whose times differ by more than this are not dyed alike.
const ALIKE: f64 = 1.1;

/// Times and temperatures of films in the dye bath.
pub(super) static CALCULATOR: Calculator = Calculator {
    id: "soaking_log",
    version: 1,
    stage: Stage::Dyeing,
    title: "Soaking log",
    purpose: "How long each film soaked, how warm it went in, and how it was rinsed and dried.",
    inputs: &[show(&FILMS)],
    outputs: &[show(&SHORTEST), show(&LONGEST), show(&SOAKED)],
    working: &[
        method(
            "The soaking time is the time taken out less the time put in. Without dates it is less than a day: a film that came out earlier in the day than it went in came out the next day.",
        )
        .gives(&[&SOAKED]),
        method("Shortest and longest are those of all films.").gives(&[&SHORTEST, &LONGEST]),
    ],
    sources: &[CALENDAR, WARM_FILM],
    hazards: &[
        hazards::SOLVENTS,
        hazards::ACETONITRILE,
        hazards::RUTHENIUM_DYES,
        Hazard {
            what: "Hot films",
            caution: "A film hotter than its solvent boils makes the bath spatter and may set it alight; ethanol and \
                      acetonitrile boil near 80 °C. Let it cool off the hot plate first, tongs, goggles.",
        },
    ],
    formula: both::<SoakingLog>(),
};

/// Worked cases, each with its source.
pub(super) static CASES: &[Case] = &[
    Case {
        title: "overnight",
        inputs: &[
            ("films.a.film", "A1"),
            ("films.a.put_in", "17:00"),
            ("films.a.taken_out", "09:00"),
        ],
        expected: &[
            expect("soaked.a.soaking_time", "16 h", 1e-12),
            expect("shortest", "16 h", 1e-12),
        ],
        source: CALENDAR,
    },
    Case {
        title: "two films of one day",
        inputs: &[
            ("films.a.film", "A1"),
            ("films.a.put_in", "09:15"),
            ("films.a.taken_out", "17:45"),
            ("films.b.film", "A2"),
            ("films.b.put_in", "9:20"),
            ("films.b.taken_out", "17:40:30"),
        ],
        expected: &[
            expect("soaked.a.soaking_time", "510 min", 1e-9),
            expect("soaked.b.soaking_time", "500.5 min", 1e-9),
            expect("shortest", "500.5 min", 1e-9),
            expect("longest", "510 min", 1e-9),
        ],
        source: CALENDAR,
    },
    Case {
        title: "over a month's end",
        inputs: &[
            ("films.a.film", "A1"),
            ("films.a.put_in", "2026-11-30 16:00"),
            ("films.a.taken_out", "2026-12-02 10:30"),
        ],
        expected: &[expect("longest", "42.5 h", 1e-12)],
        source: CALENDAR,
    },
    Case {
        title: "a warm film",
        inputs: &[
            ("films.a.film", "A1"),
            ("films.a.put_in", "16:00"),
            ("films.a.taken_out", "18:00"),
            ("films.a.film_temperature", "65 °C"),
            ("films.a.bath_temperature", "22 °C"),
            ("films.a.rinsed_with", "ethanol"),
            ("films.a.rinse_time", "30 s"),
            ("films.a.how_dried", "nitrogen"),
        ],
        expected: &[
            expect("soaked.a.hotter_by", "43 K", 1e-9),
            expect("soaked.a.soaking_time", "2 h", 1e-12),
        ],
        source: CALENDAR,
    },
];

const WARM_FILM: Source =
    practice("films go into the bath at 40 °C to 70 °C, before pores take up water from the air");

struct SoakingLog;

impl Formula for SoakingLog {
    fn compute<S: Scalar>(given: &Given<'_, S>) -> Result<Found<S>, Problem> {
        let mut rows = Vec::new();
        let mut times = Vec::new();
        for (id, film) in given.rows(&FILMS) {
            let time = soaking_time(id, &film)?;
            times.push(time);
            let mut cells = vec![(&SOAKING_TIME, S::constant(time))];
            cells.extend(hotter_by(&film).map(|difference| (&HOTTER_BY, difference)));
            rows.push(FoundRow {
                id: id.into(),
                cells,
            });
        }
        let mut found = Found::new();
        let shortest = times.iter().copied().reduce(f64::min);
        let longest = times.into_iter().reduce(f64::max);
        found.set_some(&SHORTEST, shortest.map(S::constant));
        found.set_some(&LONGEST, longest.map(S::constant));
        found.set_rows(&SOAKED, rows);
        Ok(found)
    }

    fn checks(given: &Given<'_, f64>, found: &Found<f64>) -> Vec<Check> {
        [next_day(given), alike(found), warm(given), shock(given)]
            .into_iter()
            .flatten()
            .collect()
    }
}

fn soaking_time<S: Scalar>(id: &str, film: &Given<'_, S>) -> Result<f64, Problem> {
    let read = |column: &Field| moment(cell(id, column), film.text(column));
    let (start, end) = (read(&PUT_IN)?, read(&TAKEN_OUT)?);
    let undated = match (start.has_date(), end.has_date()) {
        (true, false) => Some(&TAKEN_OUT),
        (false, true) => Some(&PUT_IN),
        _ => None,
    };
    if let Some(undated) = undated {
        return Err(Problem::in_path(
            cell(id, undated),
            "date_on_one_time",
            format!(
                "{} has a date at one time only: nothing tells how many days it soaked.",
                film.text(&FILM).trim()
            ),
            "Write the date at both times, as 2026-11-27 09:15, or at neither.",
        ));
    }
    let seconds = seconds_between(start, end);
    if seconds > 0.0 {
        return Ok(seconds);
    }
    let (from, to) = (film.text(&PUT_IN).trim(), film.text(&TAKEN_OUT).trim());
    let name = film.text(&FILM).trim();
    let dated = start.has_date();
    let sentence = if dated {
        format!("{name} came out ({to}) no later than it went in ({from}).")
    } else {
        format!(
            "{name} went in and came out at the same time of day ({to}): without dates that is no time or a day."
        )
    };
    let hint = if dated {
        "Look at both times again."
    } else {
        "Write both times with their dates, as 2026-11-27 09:15."
    };
    Err(Problem::in_path(
        cell(id, &TAKEN_OUT),
        "no_soaking_time",
        sentence,
        hint,
    ))
}

/// A typed time on the clock, with or without its date.
pub(super) fn moment(path: String, text: &str) -> Result<Moment, Problem> {
    Moment::parse(text).ok_or_else(|| {
        Problem::in_path(
            path,
            "not_a_time",
            format!("“{text}” cannot be read as a time."),
            "Write it as 09:15 or as 2026-11-27 09:15.",
        )
    })
}

fn cell(row: &str, column: &Field) -> String {
    format!("{}.{row}.{}", FILMS.id, column.id)
}

fn hotter_by<S: Scalar>(film: &Given<'_, S>) -> Option<S> {
    Some(film.get(&FILM_TEMPERATURE)? - film.get(&BATH_TEMPERATURE)?)
}

/// Films taken as soaked into the next day, because the clock says so and no date does.
fn next_day(given: &Given<'_, f64>) -> Option<Check> {
    let overnight = named(given, |film| {
        let start = Moment::parse(film.text(&PUT_IN))?;
        let end = Moment::parse(film.text(&TAKEN_OUT))?;
        (!start.has_date() && end.is_earlier_in_the_day(start)).then(String::new)
    })?;
    Some(Check::note(
        "next_day",
        format!(
            "Taken out the next day, as no dates are written: {overnight}. For a longer time write the dates."
        ),
        CALENDAR,
    ))
}

/// Whether all films soaked equally long.
fn alike(found: &Found<f64>) -> Option<Check> {
    let (shortest, longest) = (found.get(&SHORTEST)?, found.get(&LONGEST)?);
    (longest > ALIKE * shortest).then(|| {
        Check::note(
            "times_differ",
            format!(
                "The films soaked for {} to {}: they are not dyed alike.",
                SHORTEST.say(shortest),
                LONGEST.say(longest)
            ),
            practice("films to be compared soak for the same time within a tenth"),
        )
    })
}

/// Whether the films went in warm, but not hot.
fn warm(given: &Given<'_, f64>) -> Option<Check> {
    let that = |is: fn(f64, (f64, f64)) -> bool| {
        named(given, |film| {
            let temperature = film.get(&FILM_TEMPERATURE)?;
            is(temperature, WARM).then(|| FILM_TEMPERATURE.say(temperature))
        })
    };
    let (low, high) = (FILM_TEMPERATURE.say(WARM.0), FILM_TEMPERATURE.say(WARM.1));
    if let Some(hot) = that(|t, (_, high)| t > high) {
        let sentence = format!(
            "Put in above {high}: {hot}. The solvent may boil at the film. Let films cool to {low} to {high} first."
        );
        return Some(Check::warning("film_hot", sentence, WARM_FILM));
    }
    if let Some(cold) = that(|t, (low, _)| t < low) {
        let sentence = format!(
            "Put in below {low}: {cold}. A film that has cooled takes up water from the air. Put films in at {low} to {high}."
        );
        return Some(Check::note("film_cold", sentence, WARM_FILM));
    }
    that(|_, _| true)?;
    let sentence = format!(
        "The films whose temperature is noted went in at {low} to {high}: below the boiling point of the bath's solvent, \
         if that is ethanol or acetonitrile (near 80\u{202F}°C)."
    );
    Some(Check::in_range("film_warm", sentence, WARM_FILM))
}

/// Films so much hotter than the bath that glass may crack.
fn shock(given: &Given<'_, f64>) -> Option<Check> {
    let hot = named(given, |film| {
        let difference = hotter_by(film)?;
        (difference > SHOCK).then(|| HOTTER_BY.say(difference))
    })?;
    Some(Check::warning(
        "much_hotter_than_bath",
        format!(
            "Hotter than the bath by more than {}: {hot}. Glass may crack. Let the film cool, or warm the bath.",
            HOTTER_BY.say(SHOCK)
        ),
        practice("glass is not put into a liquid that is more than 60 K colder"),
    ))
}

/// More films than this are counted instead of named.
const NAMED: usize = 6;

/// The films of which something is said, by name with what is said: "A1 (25 °C), A2 (30 °C)"; none where there are none.
fn named(
    given: &Given<'_, f64>,
    say: impl Fn(&Given<'_, f64>) -> Option<String>,
) -> Option<String> {
    let said = given.rows(&FILMS).filter_map(|(_, film)| {
        let name = film.text(&FILM).trim();
        Some(match say(&film)?.as_str() {
            "" => name.to_owned(),
            what => format!("{name} ({what})"),
        })
    });
    listed(said.collect())
}

/// Names in a row, the first of them where there are many; none where there are none.
pub(super) fn listed(mut names: Vec<String>) -> Option<String> {
    if names.len() > NAMED {
        let more = names.len() - NAMED;
        names.truncate(NAMED);
        names.push(format!("{more} more"));
    }
    (!names.is_empty()).then(|| names.join(", "))
}
