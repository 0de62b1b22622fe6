//! Measured points from text: files of many layouts, each with what it must be read as or what must be asked
//! (`data/points/expected.txt`, stated beside the files by what made them), and what must not change a reading.

use glasswick_core::calculators::{Field, curve, quantity};
use glasswick_core::points::{
    Corrections, Direction, Illumination, PointsProblem, Sign, Understood, UnitKnown, Why,
};
use glasswick_core::problem::Level;
use glasswick_core::quantity::Kind;
use glasswick_core::scalar::Scalar;
use glasswick_core::sheet::{Card, Input, PointsText, State, understand};
use wasm_bindgen_test::wasm_bindgen_test;

use crate::support::{alone, card, check, number, plain};

static VOLTAGE: Field = quantity("voltage", "Voltage", Kind::Voltage).units(&["V", "mV"]);
static CURRENT: Field = quantity("current", "Current", Kind::Current).units(&["mA", "A", "uA"]);
static DENSITY: Field =
    quantity("density", "Current density", Kind::CurrentDensity).units(&["mA/cm2", "A/m2"]);
static POSITION: Field = quantity("position", "Position", Kind::Length).units(&["um", "mm"]);
static HEIGHT: Field = quantity("height", "Height", Kind::Length).units(&["nm", "um"]);
static LENGTH: Field = quantity("length", "Length", Kind::Length).units(&["um"]);
static WIDTH: Field = quantity("width", "Width", Kind::Length).units(&["um"]);
static WAVELENGTH: Field = quantity("wavelength", "Wavelength", Kind::Length).units(&["nm"]);
static ABSORBANCE: Field = quantity("absorbance", "Absorbance", Kind::Absorbance);

static FIELDS: [Field; 8] = [
    curve("current", "Voltage and current", &VOLTAGE, &CURRENT),
    curve("density", "Voltage and current density", &VOLTAGE, &DENSITY),
    curve("forward", "Forward sweep", &VOLTAGE, &CURRENT).direction(Direction::Forward),
    curve("reverse", "Reverse sweep", &VOLTAGE, &CURRENT).direction(Direction::Reverse),
    curve("dark", "Dark curve", &VOLTAGE, &CURRENT).dark(),
    curve("profile", "Profile", &POSITION, &HEIGHT),
    curve("line", "Width over length", &LENGTH, &WIDTH),
    curve("spectrum", "Spectrum", &WAVELENGTH, &ABSORBANCE),
];

macro_rules! file {
    ($name:literal) => {
        ($name, include_str!(concat!("data/points/", $name)))
    };
}

const FILES: &[(&str, &str)] = &[
    file!("apostrophes.txt"),
    file!("bars.md"),
    file!("blank_between.txt"),
    file!("block_without_table.txt"),
    file!("blocks_by_direction.txt"),
    file!("both_directions.txt"),
    file!("carriage_returns.txt"),
    file!("cells_by_block.txt"),
    file!("comma_ampere.csv"),
    file!("comma_space.txt"),
    file!("commas_for_everything.txt"),
    file!("comment_head.dat"),
    file!("comment_percent.dat"),
    file!("comment_semicolon.txt"),
    file!("comment_slashes.txt"),
    file!("current_and_density.csv"),
    file!("current_first.txt"),
    file!("cyclic.txt"),
    file!("dark_and_light_blocks.txt"),
    file!("dark_beside.csv"),
    file!("date_and_time.log"),
    file!("density_brackets.txt"),
    file!("density_for_current.txt"),
    file!("density_per_square_metre.csv"),
    file!("density_raised_minus.txt"),
    file!("density_words.txt"),
    file!("either_mark.txt"),
    file!("exponents.txt"),
    file!("exponents_d.txt"),
    file!("falling.txt"),
    file!("german_words.csv"),
    file!("greek_mu.txt"),
    file!("index_time_power.txt"),
    file!("infinite_and_odd.txt"),
    file!("letters_of_cells.txt"),
    file!("mark_and_crlf.csv"),
    file!("measured_voltages.txt"),
    file!("millivolt_microampere.txt"),
    file!("nanoampere.txt"),
    file!("negative_photocurrent.txt"),
    file!("no_head.txt"),
    file!("one_voltage_many_cells.csv"),
    file!("order_unsaid.txt"),
    file!("pairs_current_first.csv"),
    file!("pairs_in_any_order.txt"),
    file!("pairs_of_two_lengths.csv"),
    file!("pairs_under_names.csv"),
    file!("points_between_thousands.csv"),
    file!("preamble.txt"),
    file!("preamble_in_cells.csv"),
    file!("profile.txt"),
    file!("profile_swapped.txt"),
    file!("quoted_decimal_comma.csv"),
    file!("quoted_points.txt"),
    file!("repeated.txt"),
    file!("results_below.txt"),
    file!("results_first.csv"),
    file!("semicolon_decimal_comma.txt"),
    file!("set_and_measured.csv"),
    file!("spaces_aligned.txt"),
    file!("spectrum.csv"),
    file!("tab.txt"),
    file!("thin_spaces.csv"),
    file!("thousands_or_decimals.txt"),
    file!("three_without_head.txt"),
    file!("time_of_day.csv"),
    file!("trailing_delimiters.csv"),
    file!("turning_point_once.txt"),
    file!("unit_row.txt"),
    file!("unit_row_and_remarks.csv"),
    file!("units_by_underscore.csv"),
    file!("unreadable_lines.txt"),
];

/// One line of the table.
struct Expected {
    file: &'static str,
    field: &'static Field,
    entry: PointsText,
    asks: Vec<(&'static str, usize)>,
    /// Delimiter, decimal mark, columns, units, sweep, direction: as printed by [`found`].
    layout: String,
    points: usize,
    first: [f64; 2],
    last: [f64; 2],
    skipped: Vec<usize>,
}

fn text_of(file: &str) -> &'static str {
    let found = FILES.iter().find(|(name, _)| *name == file);
    found.unwrap_or_else(|| panic!("{file} is not there")).1
}

fn expected() -> Vec<Expected> {
    let rows = include_str!("data/points/expected.txt")
        .lines()
        .filter(|line| !line.starts_with('#'));
    rows.map(|row| {
        let cells: Vec<&str> = row.split(" | ").collect();
        let [
            file,
            field,
            entry,
            asks,
            delimiter,
            decimal,
            columns,
            units,
            sweep,
            way,
            points,
            first,
            last,
            skipped,
        ] = cells.as_slice()
        else {
            panic!("{row}");
        };
        let none = |cell: &&str| *cell == "-";
        let words = |cell: &'static str| cell.split(' ').filter(move |word| !none(word));
        let mut text = PointsText {
            text: text_of(file).into(),
            ..PointsText::default()
        };
        for stated in words(entry) {
            match stated.split_once('=') {
                Some(("x_unit", code)) => text.x_unit = code.into(),
                Some(("y_unit", code)) => text.y_unit = code.into(),
                _ => panic!("{row}"),
            }
        }
        let point = |cell: &'static str| {
            let numbers: Vec<f64> = words(cell).map(|word| word.parse().unwrap()).collect();
            [numbers[0], numbers[1]]
        };
        Expected {
            file,
            field: FIELDS.iter().find(|one| one.id == *field).unwrap(),
            entry: text,
            asks: words(asks)
                .map(|asked| {
                    let (code, answer) = asked.split_once(':').unwrap();
                    (code, answer.parse().unwrap())
                })
                .collect(),
            layout: format!("{delimiter} | {decimal} | {columns} | {units} | {sweep} | {way}"),
            points: points.parse().unwrap(),
            first: point(first),
            last: point(last),
            skipped: words(skipped).map(|line| line.parse().unwrap()).collect(),
        }
    })
    .collect()
}

fn found(read: &Understood) -> String {
    let sweep = read.taken().expect("one was taken");
    format!(
        "{} | {} | {} {} | {} {} | {}/{} | {}",
        read.layout.delimiter.word(),
        read.layout.decimal.word(),
        read.x.column,
        read.y.column,
        read.x.unit.code,
        read.y.unit.code,
        sweep.number,
        read.sweeps.len(),
        sweep.direction.map_or("-", Direction::word),
    )
}

/// The answers of the table, taken one after the other.
fn answered(expected: &Expected) -> Result<Understood, String> {
    let mut entry = expected.entry.clone();
    for (code, answer) in &expected.asks {
        let problem = match understand(expected.field, &entry) {
            Err(problem) => problem,
            Ok(read) => return Err(format!("asks nothing: {}", found(&read))),
        };
        complete(&problem);
        let candidate = problem.candidates.get(answer - 1);
        let (Some(candidate), true) = (candidate, problem.code == *code) else {
            return Err(format!("{} {problem}", problem.code));
        };
        entry.corrections = candidate.corrections;
    }
    understand(expected.field, &entry).map_err(|problem| {
        let titles: Vec<&String> = problem.candidates.iter().map(|one| &one.title).collect();
        format!("{} {problem} {titles:#?}", problem.code)
    })
}

/// A question has a sentence, a way out and answers that differ.
fn complete(problem: &PointsProblem) {
    assert!(problem.sentence.ends_with('.'), "{problem}");
    assert!(problem.hint.ends_with('.'), "{problem}");
    for (place, one) in problem.candidates.iter().enumerate() {
        assert!(!one.title.is_empty(), "{problem}");
        for other in &problem.candidates[..place] {
            assert_ne!(one.title, other.title, "{problem}");
            assert_ne!(one.corrections, other.corrections, "{problem}");
        }
    }
}

/// Both come from the same decimal digits, with a rounding or two of a unit between them.
fn same(found: Option<&(f64, f64)>, expected: [f64; 2]) -> bool {
    let close =
        |found: f64, expected: f64| (found - expected).abs() <= 4.0 * f64::EPSILON * expected.abs();
    found.is_some_and(|(x, y)| close(*x, expected[0]) && close(*y, expected[1]))
}

/// What differs from the table.
fn difference(expected: &Expected) -> Result<(), String> {
    let read = answered(expected)?;
    let skipped: Vec<usize> = read.skipped.iter().map(|skipped| skipped.line).collect();
    let ends = [read.points.first(), read.points.last()];
    let as_stated = found(&read) == expected.layout
        && skipped == expected.skipped
        && read.points.len() == expected.points
        && same(ends[0], expected.first)
        && same(ends[1], expected.last)
        && read.lines.points == expected.points
        && read.lines.skipped == skipped.len();
    if as_stated {
        return Ok(());
    }
    Err(format!(
        "{}, not {}; {} points {ends:?}; {:?} {:#?}",
        found(&read),
        expected.layout,
        read.points.len(),
        read.lines,
        read.skipped
    ))
}

#[wasm_bindgen_test(unsupported = test)]
fn every_file_is_read_as_stated() {
    let differences: Vec<String> = expected()
        .iter()
        .filter_map(|expected| Some((expected, difference(expected).err()?)))
        .map(|(expected, why)| format!("{} ({}): {why}", expected.file, expected.field.id))
        .collect();
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}

#[wasm_bindgen_test(unsupported = test)]
fn every_file_is_in_the_table() {
    for (file, _) in FILES {
        assert!(expected().iter().any(|row| row.file == *file), "{file}");
    }
    assert!(FILES.len() >= 60);
}

#[wasm_bindgen_test(unsupported = test)]
fn line_ends_and_the_byte_order_mark_change_nothing() {
    for mut expected in expected() {
        let plain = text_of(expected.file)
            .trim_start_matches('\u{feff}')
            .replace("\r\n", "\n")
            .replace('\r', "\n");
        let variants = [
            plain.replace('\n', "\r\n"),
            plain.replace('\n', "\r"),
            format!("\u{feff}{plain}"),
            plain.trim_end().to_owned(),
            format!("\u{feff}{}", plain.replace('\n', "\r\n")),
        ];
        for variant in variants {
            expected.entry.text = variant;
            assert_eq!(difference(&expected), Ok(()), "{}", expected.file);
        }
    }
}

fn field(id: &str) -> &'static Field {
    FIELDS.iter().find(|field| field.id == id).unwrap()
}

fn entry(file: &str, corrections: Corrections) -> PointsText {
    PointsText {
        text: text_of(file).into(),
        corrections,
        ..PointsText::default()
    }
}

fn question(id: &str, entry: &PointsText) -> PointsProblem {
    let problem = understand(field(id), entry).expect_err("it asks");
    complete(&problem);
    problem
}

#[wasm_bindgen_test(unsupported = test)]
fn questions_say_what_was_seen_and_offer_what_could_be_meant() {
    let none = Corrections::default();
    let asked = |id: &str, file: &str| {
        let problem = question(id, &entry(file, none));
        let titles = problem.candidates.iter().map(|one| plain(&one.title));
        (plain(&problem.sentence), titles.collect::<Vec<_>>())
    };
    let (sentence, answers) = asked("current", "both_directions.txt");
    assert_eq!(
        sentence,
        "The voltage turns back at 0.8 V (point 19): the points hold 2 sweeps that could be meant."
    );
    assert_eq!(
        answers,
        [
            "Sweep 1, rising from −0.1 V to 0.8 V, 19 points (lines 2 to 20)",
            "Sweep 2, falling from 0.8 V to −0.1 V, 19 points (lines 21 to 39)",
        ]
    );
    let (sentence, answers) = asked("current", "density_for_current.txt");
    assert_eq!(
        sentence,
        "The head of column 2, “J / mA/cm²” says mA/cm², a unit of current density; here electric current is wanted."
    );
    assert_eq!(answers, ["It is electric current in mA"]);
    let (sentence, answers) = asked("line", "thousands_or_decimals.txt");
    assert_eq!(
        sentence,
        "The comma in “1,137” (line 1) could mark decimals or group thousands."
    );
    assert_eq!(answers, ["“1,137” is 1.137", "“1,137” is 1137"]);
    let (sentence, answers) = asked("current", "three_without_head.txt");
    assert_eq!(
        sentence,
        "There are 3 columns, and their heads do not say which one holds the voltage."
    );
    assert_eq!(answers[1], "Column 2: -0.100, -0.050, 0.000 …");
    let (sentence, answers) = asked("reverse", "repeated.txt");
    assert_eq!(
        sentence,
        "The voltage is rising in these points; a falling sweep is wanted here."
    );
    assert_eq!(answers.len(), 3);
}

#[wasm_bindgen_test(unsupported = test)]
fn the_unit_in_the_text_counts_unless_another_was_chosen() {
    let mut ampere = entry("comma_ampere.csv", Corrections::default());
    let read = understand(field("current"), &ampere).expect("it is read");
    assert_eq!((read.y.unit.code, read.y.known), ("A", UnitKnown::Header));
    ampere.y_unit = "uA".into();
    let problem = question("current", &ampere);
    assert_eq!(
        problem.sentence,
        "The head of column 2, “Current (A)” says A; the box says µA."
    );
    ampere.y_unit = "A".into();
    assert!(understand(field("current"), &ampere).is_ok());
    let bare = entry("no_head.txt", Corrections::default());
    let read = understand(field("current"), &bare).expect("it is read");
    assert_eq!((read.y.unit.code, read.y.known), ("mA", UnitKnown::Usual));
}

#[wasm_bindgen_test(unsupported = test)]
fn lines_asked_for_are_the_only_ones_and_keep_their_heads() {
    let some = Corrections {
        first_line: Some(5),
        last_line: Some(12),
        ..Corrections::default()
    };
    let read = understand(field("current"), &entry("comma_ampere.csv", some)).unwrap();
    assert_eq!((read.points.len(), read.lines.others), (8, 11));
    assert_eq!(read.y.known, UnitKnown::Header);
}

/// Points and the numbers of the lines that are listed as left out.
#[track_caller]
fn listed(text: &str, points: usize, lines: &[usize]) {
    let entry = PointsText {
        text: text.into(),
        ..PointsText::default()
    };
    let read =
        understand(field("current"), &entry).unwrap_or_else(|problem| panic!("{problem}\n{text}"));
    let skipped: Vec<usize> = read.skipped.iter().map(|skipped| skipped.line).collect();
    assert_eq!(
        (read.points.len(), skipped.as_slice()),
        (points, lines),
        "{text}\n{read:?}"
    );
}

#[wasm_bindgen_test(unsupported = test)]
fn a_first_cell_in_which_a_spreadsheet_failed_is_no_comment() {
    for failed in [
        "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#REF!", "#WERT!", "#NV",
    ] {
        for head in ["", "U/V\tI/mA\n"] {
            let first = head.lines().count() + 1;
            let rows = format!(
                "{failed}\t1.8\n0.1\t1.7\n{failed}\t1.6\n0.3\t1.5\n{failed}\t{failed}\n0.5\t1.3\n"
            );
            listed(&format!("{head}{rows}"), 3, &[first, first + 2, first + 4]);
            listed(
                &format!("{head}{}", rows.replace('\t', ";")),
                3,
                &[first, first + 2, first + 4],
            );
        }
    }
    // These are comments.
    for comment in ["# 0.2 1.6", "#0.2\t1.6", "#", "#!", "#Cell 4"] {
        listed(
            &format!("0.0\t1.8\n0.1\t1.7\n{comment}\n0.3\t1.5\n"),
            3,
            &[],
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn neighbouring_lines_with_a_broken_first_cell_are_listed() {
    let rows = |from: u32, to: u32| -> String {
        let row = |place| format!("0.{place}0\t{}.5\n", 9 - place);
        (from..to).map(row).collect()
    };
    let (two, three) = (
        "O.64\t-0.39\nO.66\t-0.41\n",
        "lamp off\t1\nO.66\t-0.41\noff\t2\n",
    );
    for (broken, count) in [(two, 2), (three, 3)] {
        let lines = |first: usize| (first..first + count).collect::<Vec<_>>();
        for head in ["", "U/V\tI/mA\n"] {
            let first = head.lines().count() + 1;
            // Between rows, between a row and the end, between a row and a blank line.
            listed(
                &format!("{head}{}{broken}{}", rows(0, 4), rows(4, 8)),
                8,
                &lines(first + 4),
            );
            listed(
                &format!("{head}{}{broken}", rows(0, 8)),
                8,
                &lines(first + 8),
            );
            listed(
                &format!("{head}{}{broken}\n{}", rows(0, 4), rows(4, 8)),
                8,
                &lines(first + 4),
            );
        }
        // Below the heads of the columns.
        listed(&format!("U/V\tI/mA\n{broken}{}", rows(0, 8)), 8, &lines(2));
    }
    // Words among them may head another block.
    let block = format!(
        "U/V\tI/mA\n{}cell\t2\nU/V\tI/mA\n{}",
        rows(0, 4),
        rows(0, 4)
    );
    let entry = PointsText {
        text: block,
        ..PointsText::default()
    };
    assert_eq!(question("current", &entry).code, "more_than_one_sweep");
}

#[wasm_bindgen_test(unsupported = test)]
fn nobody_measures_such_a_number() {
    listed(
        "0.0\t1.8\n0.1\t1e120\n0.2\t1.6\n0.3\t-1e101\n0.4\t1e99\n",
        3,
        &[2, 4],
    );
}

/// An efficiency card with invented points of a lit cell, and its words above them.
fn lit(words: &str, corrections: Corrections) -> Card {
    let line = |place: i32| {
        let volts = f64::from(place) * 0.02 - 0.1;
        format!("{volts}\t{}\n", 7.0 - Scalar::exp(volts * 10.0 - 5.0))
    };
    let rows: String = (0..46).map(line).collect();
    let mut card = card("efficiency", &[("area", "1 cm2")]);
    let points = PointsText {
        text: format!("{words}{rows}"),
        corrections,
        ..PointsText::default()
    };
    card.inputs.insert("points".into(), Input::Points(points));
    card
}

#[wasm_bindgen_test(unsupported = test)]
fn a_single_sweep_that_is_called_the_contrary_is_asked_about() {
    let said = |words: &str, illumination| {
        let corrections = Corrections {
            illumination,
            ..Corrections::default()
        };
        check(&alone(lit(words, corrections)), "other_illumination")
    };
    let sentence = "The text calls the points of “Voltage and current” dark; here those under the lamp are wanted. Paste \
        those, or say which these are under “Correct how it is read”.";
    let dark = "Dark curve\nU/V\tI/mA\n";
    assert_eq!(said(dark, None), Some((Level::Warning, sentence.into())));
    assert_eq!(
        said("U/V\tI dark/mA\n", None),
        Some((Level::Warning, sentence.into()))
    );
    assert_eq!(said(dark, Some(Illumination::Dark)), None);
    assert_eq!(said("Light curve\nU/V\tI/mA\n", None), None);
    assert_eq!(said("U/V\tI/mA\n", None), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_unit_that_nothing_says_is_named_for_the_curve_of_a_cell() {
    let said = |words: &str| {
        let said = check(&alone(lit(words, Corrections::default())), "unit_unsaid");
        said.map(|(level, sentence)| {
            assert_eq!(level, Level::Note);
            sentence
        })
    };
    assert_eq!(
        said("").as_deref(),
        Some("Nothing says the units of the voltage and the current: V and mA were taken.")
    );
    assert_eq!(
        said("U/V\tI\n").as_deref(),
        Some("Nothing says the unit of the current: mA was taken.")
    );
    assert_eq!(said("U/V\tI/mA\n"), None);
}

#[wasm_bindgen_test(unsupported = test)]
fn a_sign_is_turned_where_it_is_said() {
    let signs = |x_sign, y_sign| {
        let corrections = Corrections {
            x_sign,
            y_sign,
            ..Corrections::default()
        };
        understand(field("current"), &entry("tab.txt", corrections)).expect("it is read")
    };
    let plain = signs(None, None);
    assert_eq!(signs(Some(Sign::AsIs), Some(Sign::AsIs)), plain);
    let turned = signs(Some(Sign::Turned), None);
    let expected = plain.points.iter().map(|(x, y)| (0.0 - x, *y));
    assert_eq!(turned.points, expected.collect::<Vec<_>>());
    // What rose falls, and zero has no sign.
    let sweep = turned.taken().expect("one was taken");
    assert_eq!(
        (sweep.direction, sweep.from, sweep.to),
        (Some(Direction::Reverse), 0.1, -0.8)
    );
    assert!(
        turned
            .points
            .iter()
            .all(|(x, _)| x.to_bits() != (-0.0_f64).to_bits())
    );
    let turned = signs(None, Some(Sign::Turned));
    let expected = plain.points.iter().map(|(x, y)| (*x, 0.0 - y));
    assert_eq!(turned.points, expected.collect::<Vec<_>>());
}

#[wasm_bindgen_test(unsupported = test)]
fn reversed_voltages_need_no_edit_of_the_text() {
    let line = |place: i32, sign: f64| {
        let volts = f64::from(place) * 0.02 - 0.1;
        let current = 7.0 - Scalar::exp(volts * 10.0 - 5.0);
        format!("{}\t{current}\n", sign * volts)
    };
    let cell = |sign, x_sign| {
        let mut card = card("efficiency", &[("area", "1 cm2")]);
        let points = PointsText {
            text: (0..46).map(|place| line(place, sign)).collect(),
            corrections: Corrections {
                x_sign,
                ..Corrections::default()
            },
            ..PointsText::default()
        };
        card.inputs.insert("points".into(), Input::Points(points));
        card
    };
    let open = |card: &Card| number(&alone(card.clone()).cards[0], "open_circuit_voltage");
    let reversed = alone(cell(-1.0, None));
    let State::Stopped(problems) = &reversed.cards[0].state else {
        panic!("{:?}", reversed.cards[0].state);
    };
    assert_eq!(problems[0].code, "voltage_reversed");
    assert!(problems[0].hint.contains("“Correct how it is read”"));
    let mut turned = cell(-1.0, Some(Sign::Turned));
    assert_eq!(open(&turned), open(&cell(1.0, None)));
    let said = check(&alone(turned.clone()), "sign_turned");
    let sentence = "Of “Voltage and current”, the sign of the voltage is turned.";
    assert_eq!(said, Some((Level::Note, sentence.into())));
    // The next cell may be clipped on the right way.
    turned.clear_measured();
    let Some(Input::Points(points)) = turned.inputs.get("points") else {
        panic!("{:?}", turned.inputs);
    };
    assert_eq!(points.corrections, Corrections::default());
}

#[wasm_bindgen_test(unsupported = test)]
fn an_answer_that_no_longer_fits_is_asked_again() {
    for stale in [
        Corrections {
            sweep: Some(7),
            ..Corrections::default()
        },
        Corrections {
            y_column: Some(9),
            ..Corrections::default()
        },
    ] {
        let problem = question("current", &entry("tab.txt", stale));
        assert_eq!(problem.code, "correction_does_not_fit");
        let mut again = entry("tab.txt", problem.candidates[0].corrections);
        assert!(understand(field("current"), &again).is_ok());
        again.corrections.sweep = None;
        assert_eq!(
            understand(field("current"), &again).map(|read| read.why),
            Ok(Why::Only)
        );
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_card_says_what_it_left_out() {
    let mut card = card("step_height", &[]);
    // A ridge of 200 nm with a saw of 1 nm, and an overload behind it.
    let line = |place: u32| {
        let step = if (100..200).contains(&place) { 200 } else { 0 };
        format!("{place}.5\t{}\n", step + [0, 1, 0, -1][place as usize % 4])
    };
    let mut text: String = (0..300).map(line).collect();
    text.push_str("300.5\toverload\n301.5\t0\n");
    let points = PointsText {
        text,
        ..PointsText::default()
    };
    card.inputs.insert("trace".into(), Input::Points(points));
    let evaluation = alone(card);
    if let State::Ready = evaluation.cards[0].state {
        let said = check(&evaluation, "lines_left_out");
        let sentence = "1 line is left out of “Profile”: line 301, “300.5 overload”, as the height is no number: “overload”.";
        assert_eq!(said, Some((Level::Warning, sentence.into())));
    } else {
        panic!("{:?}", evaluation.cards[0].state);
    }
}

#[wasm_bindgen_test(unsupported = test)]
fn a_card_that_has_a_place_for_the_points_says_where() {
    let text = text_of("density_for_current.txt");
    let evaluation = alone(card("efficiency", &[("points", text), ("area", "1 cm2")]));
    let State::Stopped(problems) = &evaluation.cards[0].state else {
        panic!("{:?}", evaluation.cards[0].state);
    };
    assert_eq!(
        (problems[0].path.as_str(), problems[0].code),
        ("points", "other_kind")
    );
    assert!(
        problems[0].hint.starts_with("Set “"),
        "{}",
        problems[0].hint
    );
}
