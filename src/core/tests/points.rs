//! The reader of points against arbitrary texts: it never panics, says what becomes of every line, and reads what was
//! written, in whatever way that was done.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test may stop where it fails"
)]

use std::sync::LazyLock;

use glasswick_core::calculators::{Field, curve, quantity};
use glasswick_core::points::{
    Corrections, DecimalMark, Delimiter, Direction, Illumination, PointsProblem, Sign, Understood,
    UnitFrom,
};
use glasswick_core::quantity::Kind;
use glasswick_core::sheet::{PointsText, understand};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

static VOLTAGE: Field = quantity("voltage", "Voltage", Kind::Voltage).units(&["V", "mV"]);
static CURRENT: Field = quantity("current", "Current", Kind::Current).units(&["mA", "A", "uA"]);
static WAVELENGTH: Field = quantity("wavelength", "Wavelength", Kind::Length).units(&["nm"]);
static ABSORBANCE: Field = quantity("absorbance", "Absorbance", Kind::Absorbance);
static FIELDS: [Field; 4] = [
    curve("points", "Voltage and current", &VOLTAGE, &CURRENT),
    curve("forward", "Forward sweep", &VOLTAGE, &CURRENT).direction(Direction::Forward),
    curve("dark", "Dark curve", &VOLTAGE, &CURRENT).dark(),
    curve("spectrum", "Spectrum", &WAVELENGTH, &ABSORBANCE),
];

/// The files that `tests/reference/points.rs` reads.
static FILES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let folder = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/reference/data/points"
    );
    let files = std::fs::read_dir(folder).expect("the folder is there");
    let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    paths.sort();
    let texts = paths
        .iter()
        .filter(|path| path.file_name().is_some_and(|name| name != "expected.txt"));
    texts
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
});

fn read(
    field: &'static Field,
    text: &str,
    corrections: Corrections,
) -> Result<Understood, PointsProblem> {
    let entry = PointsText {
        text: text.into(),
        corrections,
        ..PointsText::default()
    };
    understand(field, &entry)
}

/// Line ends counted without the reader.
fn lines_of(text: &str) -> usize {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let plain = text.replace("\r\n", "\n").replace('\r', "\n");
    let plain = plain.strip_suffix('\n').unwrap_or(&plain);
    if text.is_empty() {
        0
    } else {
        plain.split('\n').count()
    }
}

/// Every line is accounted for, listed lines are lines of the text, numbers are numbers, answers can be taken.
fn sound(field: &'static Field, text: &str, corrections: Corrections) {
    match read(field, text, corrections) {
        Ok(read) => {
            assert_eq!(read.lines.all(), lines_of(text), "{:?}", read.lines);
            assert_eq!(read.lines.points, read.points.len());
            assert_eq!(read.lines.skipped, read.skipped.len());
            let numbers: Vec<usize> = read.skipped.iter().map(|skipped| skipped.line).collect();
            assert!(numbers.is_sorted_by(|a, b| a < b), "{numbers:?}");
            assert!(
                numbers
                    .iter()
                    .all(|line| (1..=lines_of(text)).contains(line))
            );
            assert!(
                read.points
                    .iter()
                    .all(|(x, y)| x.is_finite() && y.is_finite())
            );
            let taken = read.taken().expect("one was taken");
            assert_eq!(taken.points, read.points.len());
            let first = read.points[0].0;
            assert!(first == taken.from || (first - taken.from).abs() <= 1e-12 * first.abs());
        }
        Err(problem) => {
            assert!(problem.sentence.ends_with('.'), "{problem}");
            assert!(problem.hint.ends_with('.'), "{problem}");
            for candidate in problem.candidates {
                assert_ne!(candidate.corrections, corrections, "{}", candidate.title);
                // An answer may lead to the next question, not to the same one.
                if let Err(next) = read(field, text, candidate.corrections) {
                    assert!(
                        next.sentence != problem.sentence || next.candidates.is_empty(),
                        "{next} again"
                    );
                }
            }
        }
    }
}

/// Texts of what such files are made of.
fn pieces() -> impl Strategy<Value = String> {
    const PIECES: [&str; 44] = [
        "0",
        "0.1",
        "-0.1",
        "1,5",
        "1,234",
        "1.234,5",
        "7.3e-3",
        "1'000",
        "1\u{202f}000",
        "−2",
        "V",
        "I (mA)",
        "J / mA/cm²",
        "U/V",
        "dark",
        "light",
        "NaN",
        "overload",
        "--",
        "#",
        "//",
        "%",
        ";",
        ",",
        "\t",
        " ",
        "  ",
        "|",
        "\n",
        "\n",
        "\n",
        "\r\n",
        "\r",
        "\n\n",
        "\"",
        "'",
        "Forward",
        "10:23:01",
        "Cell A",
        "\u{feff}",
        "+",
        ".",
        "(",
        "µA",
    ];
    vec(select(&PIECES), 0..60).prop_map(|pieces| pieces.concat())
}

fn corrections() -> impl Strategy<Value = Corrections> {
    let counted = || option::weighted(0.3, 0_usize..6);
    let unit = || option::weighted(0.3, select(UnitFrom::ALL));
    let sign = || option::weighted(0.3, select(Sign::ALL));
    let form = (
        option::weighted(0.3, select(Delimiter::ALL)),
        option::weighted(0.3, select(DecimalMark::ALL)),
        option::weighted(0.3, select(Illumination::ALL)),
    );
    let places = (counted(), counted(), counted(), counted(), counted());
    (form, (unit(), unit()), (sign(), sign()), places).prop_map(
        |((delimiter, decimal, illumination), (x_unit, y_unit), (x_sign, y_sign), places)| {
            let (x_column, y_column, sweep, first_line, last_line) = places;
            Corrections {
                delimiter,
                decimal,
                x_column,
                y_column,
                x_unit,
                y_unit,
                x_sign,
                y_sign,
                sweep,
                illumination,
                first_line,
                last_line,
            }
        },
    )
}

fn field() -> impl Strategy<Value = &'static Field> {
    (0..FIELDS.len()).prop_map(|position| &FIELDS[position])
}

/// One change to a text.
#[derive(Clone, Debug)]
enum Change {
    Replace(usize, char),
    Insert(usize, &'static str),
    Delete(usize, usize),
    DoubleLine(usize),
    DropLine(usize),
}

fn change() -> impl Strategy<Value = Change> {
    const INSERTED: [&str; 14] = [
        ",", ";", "\t", " ", "\n", "\r", "NaN", "\"", "0", ".", "-", "#", "overload", "e5",
    ];
    let place = 0_usize..2000;
    prop_oneof![
        (place.clone(), any::<char>()).prop_map(|(place, with)| Change::Replace(place, with)),
        (place.clone(), select(&INSERTED)).prop_map(|(place, what)| Change::Insert(place, what)),
        (place.clone(), 1_usize..20).prop_map(|(place, count)| Change::Delete(place, count)),
        place.clone().prop_map(Change::DoubleLine),
        place.prop_map(Change::DropLine),
    ]
}

fn changed(text: &str, change: &Change) -> String {
    let mut all: Vec<char> = text.chars().collect();
    let length = all.len().max(1);
    match change {
        Change::Replace(place, with) => {
            if let Some(one) = all.get_mut(place % length) {
                *one = *with;
            }
        }
        Change::Insert(place, what) => {
            let place = place % length;
            all.splice(place..place, what.chars());
        }
        Change::Delete(place, count) => {
            let place = place % length;
            all.drain(place..(place + count).min(all.len()));
        }
        Change::DoubleLine(place) | Change::DropLine(place) => {
            let mut lines: Vec<&str> = text.split('\n').collect();
            let place = place % lines.len();
            if matches!(change, Change::DropLine(_)) {
                lines.remove(place);
            } else {
                lines.insert(place, lines[place]);
            }
            return lines.join("\n");
        }
    }
    all.into_iter().collect()
}

/// A way to write two columns.
#[derive(Clone, Debug)]
struct Style {
    delimiter: Delimiter,
    comma: bool,
    head: bool,
    current_first: bool,
    units: (&'static str, f64, &'static str, f64),
    line_end: &'static str,
    mark: bool,
    trailing: bool,
    quotes: bool,
    preamble: usize,
    blank: bool,
}

fn style() -> impl Strategy<Value = Style> {
    const UNITS: [(&str, f64, &str, f64); 4] = [
        ("V", 1.0, "mA", 1e3),
        ("mV", 1e3, "µA", 1e6),
        ("V", 1.0, "A", 1.0),
        ("mV", 1e3, "nA", 1e9),
    ];
    let flags = (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>());
    let more = (any::<bool>(), any::<bool>(), any::<bool>(), 0_usize..3);
    let ends = select(&["\n", "\r\n", "\r"]);
    (select(Delimiter::ALL), flags, more, select(&UNITS), ends).prop_map(
        |(
            delimiter,
            (comma, head, first, mark),
            (trailing, quotes, blank, preamble),
            units,
            ends,
        )| {
            let separates = delimiter == Delimiter::Comma;
            Style {
                delimiter,
                comma,
                head,
                // Without a head nothing says so.
                current_first: first && head,
                units: if head { units } else { UNITS[0] },
                line_end: ends,
                mark,
                trailing: trailing && delimiter != Delimiter::Space,
                quotes: quotes || (separates && comma),
                preamble,
                blank,
            }
        },
    )
}

impl Style {
    fn write(&self, points: &[(i32, i32)]) -> String {
        let (x_name, x_size, y_name, y_size) = self.units;
        let separator = match self.delimiter {
            Delimiter::Tab => "\t",
            Delimiter::Semicolon => ";",
            Delimiter::Bar => "|",
            Delimiter::Comma => ",",
            Delimiter::Space => "   ",
        };
        let line = |x: String, y: String| {
            let cell = |text: String| {
                if self.quotes {
                    format!("\"{text}\"")
                } else {
                    text
                }
            };
            let (one, other) = if self.current_first { (y, x) } else { (x, y) };
            let end = if self.trailing { separator } else { "" };
            format!("{}{separator}{}{end}", cell(one), cell(other))
        };
        let mut lines: Vec<String> = (0..self.preamble)
            .map(|number| format!("# remark {number}, invented"))
            .collect();
        if self.head {
            lines.push(line(format!("U [{x_name}]"), format!("I [{y_name}]")));
        }
        let number = |si: f64, size: f64| {
            let text = format!("{:.9}", si * size);
            if self.comma {
                text.replace('.', ",")
            } else {
                text
            }
        };
        for (place, (millivolts, nanoamperes)) in points.iter().enumerate() {
            if self.blank && place == 2 {
                lines.push(String::new());
            }
            let x = number(f64::from(*millivolts) / 1e3, x_size);
            let y = number(f64::from(*nanoamperes) / 1e9, y_size);
            lines.push(line(x, y));
        }
        let mark = if self.mark { "\u{feff}" } else { "" };
        format!("{mark}{}{}", lines.join(self.line_end), self.line_end)
    }
}

/// One sweep: voltages in mV, rising, and currents in nA.
fn sweep() -> impl Strategy<Value = Vec<(i32, i32)>> {
    (1_i32..40, vec(-9_000_000_i32..9_000_000, 4..40)).prop_map(|(step, currents)| {
        let voltages = (0..).map(|place: i32| -100 + step * place);
        voltages.zip(currents).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_characters_are_survived(text in any::<String>(), field in field(), corrections in corrections()) {
        sound(field, &text, Corrections::default());
        sound(field, &text, corrections);
    }

    #[test]
    fn any_bytes_are_survived(bytes in vec(any::<u8>(), 0..300), field in field()) {
        sound(field, &String::from_utf8_lossy(&bytes), Corrections::default());
    }

    #[test]
    fn pieces_of_such_files_are_survived(text in pieces(), field in field(), corrections in corrections()) {
        sound(field, &text, Corrections::default());
        sound(field, &text, corrections);
    }

    #[test]
    fn changed_files_are_survived(
        file in any::<prop::sample::Index>(),
        changes in vec(change(), 1..6),
        field in field(),
        corrections in corrections(),
    ) {
        let text = changes.iter().fold(file.get(&FILES).clone(), |text, one| changed(&text, one));
        sound(field, &text, Corrections::default());
        sound(field, &text, corrections);
    }

    #[test]
    fn line_ends_and_the_mark_change_nothing(
        file in any::<prop::sample::Index>(),
        changes in vec(change(), 0..4),
        field in field(),
    ) {
        let text = changes.iter().fold(file.get(&FILES).clone(), |text, one| changed(&text, one));
        let plain = text.replace("\r\n", "\n").replace('\r', "\n").replace('\u{feff}', "");
        let here = read(field, &plain, Corrections::default());
        for other in [plain.replace('\n', "\r\n"), plain.replace('\n', "\r"), format!("\u{feff}{plain}")] {
            prop_assert_eq!(&read(field, &other, Corrections::default()), &here);
        }
    }

    #[test]
    fn what_was_written_is_read(points in sweep(), style in style()) {
        let text = style.write(&points);
        let read = match read(&FIELDS[0], &text, Corrections::default()) {
            Ok(read) => read,
            Err(problem) => return Err(TestCaseError::fail(format!("{problem}\n{text}"))),
        };
        prop_assert_eq!(read.points.len(), points.len(), "{}", text);
        for ((x, y), (millivolts, nanoamperes)) in read.points.iter().zip(&points) {
            prop_assert!((x - f64::from(*millivolts) / 1e3).abs() < 1e-12, "{}", text);
            prop_assert!((y - f64::from(*nanoamperes) / 1e9).abs() < 1e-12, "{}", text);
        }
        prop_assert!(read.skipped.is_empty());
        prop_assert_eq!(read.lines.others, 0);
    }

    #[test]
    fn a_spoiled_line_is_a_point_or_listed(
        points in sweep(),
        style in style(),
        place in any::<prop::sample::Index>(),
        junk in "[a-z?*][a-z?*-]{1,7}",
        both in any::<bool>(),
    ) {
        let text = style.write(&points);
        let mut lines: Vec<String> = text.split(style.line_end).map(str::to_owned).collect();
        let numbers: Vec<usize> = (0..lines.len())
            .filter(|line| lines[*line].contains(|c: char| c.is_ascii_digit()) && !lines[*line].contains('#'))
            .collect();
        let line = *place.get(&numbers);
        let spoiled = &mut lines[line];
        let start = spoiled.find(|c: char| c.is_ascii_digit() || c == '-').unwrap();
        let end = if both { spoiled.len() } else {
            start + spoiled[start..].find(|c: char| !(c.is_ascii_digit() || matches!(c, '-' | '.'))).unwrap_or(spoiled.len() - start)
        };
        spoiled.replace_range(start..end, &junk);
        let text = lines.join(style.line_end);
        if let Ok(read) = read(&FIELDS[0], &text, Corrections::default()) {
            let listed = read.skipped.iter().any(|skipped| skipped.line == line + 1);
            let kept = read.lines.points == points.len();
            // All junk and no number is a line of words between the rows: it is counted as such, not as a point.
            let words = read.lines.words > style.preamble + usize::from(style.head);
            // So is one that nothing tells from the name of a block: above all rows, or behind a blank line.
            let begins = style.blank || (!style.head && numbers.first() == Some(&line));
            prop_assert!(listed || kept || (words && (both || begins)), "{}\n{:?}", text, read);
        }
    }
}

#[test]
fn a_hundred_thousand_points_are_read_and_more_are_refused() {
    let text = |count: u32| -> String {
        let line = |place: u32| format!("{:.5}\t{:.4}\n", f64::from(place) * 1e-5, 7.3);
        (0..count).map(line).collect()
    };
    let most = read(&FIELDS[0], &text(100_000), Corrections::default());
    assert_eq!(most.map(|read| read.points.len()), Ok(100_000));
    let more = read(&FIELDS[0], &text(100_001), Corrections::default());
    assert_eq!(more.unwrap_err().code, "too_many_points");
}

#[test]
fn points_that_turn_back_at_every_line_are_read_in_time() {
    let text: String = (0..40_000)
        .map(|place| format!("{}\t1\n", place % 2))
        .collect();
    let problem = read(&FIELDS[0], &text, Corrections::default()).unwrap_err();
    assert_eq!(problem.code, "more_than_one_sweep");
    assert!(problem.candidates.len() < 100);
}

#[test]
fn a_line_that_holds_a_whole_curve_is_refused_with_a_way_out() {
    let line = |count: usize| "0.125 ".repeat(count);
    // The last is about three megabytes.
    for count in [501, 16_000, 500_000] {
        let problem = read(&FIELDS[0], &line(count), Corrections::default()).unwrap_err();
        assert_eq!(problem.code, "too_many_columns");
        let said = format!("a line holds {count} numbers; at most 500 columns are read.");
        assert!(problem.sentence.contains(&said), "{problem}");
        assert!(problem.hint.contains("one point a line"), "{problem}");
    }
    let problem = read(&FIELDS[0], &line(500), Corrections::default()).unwrap_err();
    assert_eq!(problem.code, "column_count");
    assert_eq!(problem.candidates.len(), 500);
    // Beside a table, one long line is none of its rows.
    let beside = format!("0 1\n1 2\n2 3\n3 4\n4 5\n{}", line(600));
    let read = read(&FIELDS[0], &beside, Corrections::default()).unwrap();
    assert_eq!((read.points.len(), read.lines.skipped), (5, 1));
}
