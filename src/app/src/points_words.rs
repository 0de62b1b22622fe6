//! How pasted points were read, in words: beside the points, and in the record.

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::points::{Column, Sign, Sweep, Taken, Understood, UnitKnown};

/// What was understood: "41 points from 44 lines …", the columns with their units, the sweep, the sign.
pub(crate) fn in_words(field: &Field, understood: &Understood) -> Vec<String> {
    let FieldKind::Curve { x, y } = field.kind else {
        return Vec::new();
    };
    let lines = understood.lines.all();
    let layout = &understood.layout;
    let taken = |field: &Field, taken: &Taken| {
        let column = layout
            .columns
            .iter()
            .find(|column| column.number == taken.column);
        let column = column.map_or_else(|| format!("column {}", taken.column), Column::name);
        let known = match taken.known {
            UnitKnown::Header => "as its head says",
            UnitKnown::Chosen => "as chosen",
            UnitKnown::Usual => "as nothing says another unit",
        };
        let unit = match taken.unit.symbol {
            "1" => "plain numbers",
            symbol => symbol,
        };
        let sign = match taken.sign {
            Sign::AsIs => "",
            Sign::Turned => " The sign is turned.",
        };
        format!("{}: {column}, in {unit} {known}.{sign}", field.title)
    };
    let mut words = vec![
        format!(
            "{} points from {lines} lines, separated by {}; decimal mark: {}.",
            understood.points.len(),
            layout.delimiter.title(),
            layout.decimal.title()
        ),
        taken(x, &understood.x),
        taken(y, &understood.y),
    ];
    if let Some(sweep) = understood.taken() {
        let way = match sweep.direction {
            Some(direction) => format!("{}, ", capital(direction.verb())),
            None => String::new(),
        };
        words.push(format!(
            "{way}{} {} to {}.",
            if way.is_empty() { "From" } else { "from" },
            x.say(sweep.from),
            x.say(sweep.to)
        ));
        if sweep.direction.is_some()
            && let Some((at, value)) = understood.near_zero
        {
            words.push(format!(
                "At {} the {} is {}.",
                x.say(at),
                y.title.to_lowercase(),
                y.say(value)
            ));
        }
    }
    words
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// A column with its first cells: "column 2, “I / mA”: 7.9, 7.8".
pub(crate) fn described(column: &Column) -> String {
    let sample: Vec<&str> = column.sample.iter().take(2).map(String::as_str).collect();
    format!("{}: {}", column.name(), sample.join(", "))
}

/// A sweep, or a block of lines.
pub(crate) fn part(x: &Field, sweep: &Sweep) -> String {
    let way = sweep.direction.map_or("", |direction| direction.verb());
    let title = if sweep.title.is_empty() {
        String::new()
    } else {
        format!(" “{}”", sweep.title)
    };
    format!(
        "{}{title} {way} from {} to {}, {} points, lines {} to {}",
        sweep.number,
        x.say(sweep.from),
        x.say(sweep.to),
        sweep.points,
        sweep.first_line,
        sweep.last_line
    )
}
