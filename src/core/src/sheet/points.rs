//! Measured points as entered: what a curve field wants of them, and what the card says about them.

use super::PointsText;
use super::stated::unknown_unit;
use crate::calculators::{Calculator, Field, FieldKind, Points};
use crate::points::{
    self, Axis, Illumination, PointsProblem, Sign, Skipped, Understood, UnitKnown, Wanted, Why,
};
use crate::problem::{Check, Problem, Source, practice};
use crate::quantity::{self, Kind};

/// Reads what was entered into a curve field.
///
/// # Errors
/// A [`PointsProblem`], also where a unit is unknown.
pub fn understand(field: &Field, entry: &PointsText) -> Result<Understood, PointsProblem> {
    points::read(&entry.text, &wanted(field, entry)?, &entry.corrections)
}

fn wanted(field: &Field, entry: &PointsText) -> Result<Wanted, PointsProblem> {
    let FieldKind::Curve { x, y } = field.kind else {
        let sentence = format!("“{}” takes no points.", field.title);
        return Err(PointsProblem::new(
            "wrong_entry",
            sentence,
            "Clear it and enter it again.",
        ));
    };
    let (x, y) = (axis(x, &entry.x_unit)?, axis(y, &entry.y_unit)?);
    Ok(Wanted {
        x,
        y,
        sweep: of_a_cell(field) || field.direction.is_some(),
        direction: field.direction,
        illumination: illumination(field),
    })
}

/// Whether the points are the current of a cell over its voltage.
fn of_a_cell(field: &Field) -> bool {
    let FieldKind::Curve { x, y } = field.kind else {
        return false;
    };
    let current = matches!(y.number_kind(), Some(Kind::Current | Kind::CurrentDensity));
    x.number_kind() == Some(Kind::Voltage) && current
}

/// Dark or light: a cell is lit where nothing else is said.
fn illumination(field: &Field) -> Option<Illumination> {
    let lit = of_a_cell(field).then_some(Illumination::Light);
    field.illumination.or(lit)
}

fn axis(field: &'static Field, code: &str) -> Result<Axis, PointsProblem> {
    let unknown = || {
        let Problem {
            code,
            sentence,
            hint,
            ..
        } = unknown_unit(field, code);
        PointsProblem::new(code, sentence, hint)
    };
    let kind = field.number_kind().ok_or_else(unknown)?;
    let unit = if code.is_empty() {
        field.usual_unit()
    } else {
        quantity::unit(kind, code)
    };
    Ok(Axis {
        title: field.title,
        kind,
        unit: unit.ok_or_else(unknown)?,
        chosen: !code.is_empty(),
    })
}

/// The points of a curve field, with what the card says about them.
pub(super) fn entered(
    field: &Field,
    entry: &PointsText,
    path: &str,
    calculator: &Calculator,
) -> Result<(Points, Vec<Check>), Problem> {
    let understood = understand(field, entry).map_err(|problem| {
        let hint = match elsewhere(field, &problem, calculator) {
            Some(hint) => hint,
            None => problem.hint,
        };
        Problem::in_path(path, problem.code, problem.sentence, hint)
    })?;
    let checks = checks(field, entry, &understood);
    let (x, y) = understood.points.into_iter().unzip();
    Ok((Points { x, y }, checks))
}

/// Where a card has a field for what the text holds: the choice to change.
fn elsewhere(field: &Field, problem: &PointsProblem, calculator: &Calculator) -> Option<String> {
    if problem.code != points::OTHER_KIND {
        return None;
    }
    let columns = &problem.layout.as_ref()?.columns;
    let held = |y: &Field| columns.iter().any(|column| column.kind == y.number_kind());
    let fitting = calculator
        .inputs
        .iter()
        .find(|entry| match entry.field.kind {
            FieldKind::Curve { y, .. } => !entry.field.is(field) && held(y),
            _ => false,
        })?;
    let condition = fitting.conditions.iter().flatten().find(|one| one.chosen)?;
    let FieldKind::Choice { options } = condition.choice.kind else {
        return None;
    };
    let option = options
        .iter()
        .find(|option| condition.options.contains(&option.id))?;
    Some(format!(
        "Set “{}” to “{}” and paste the text there, choose another column, or say that the head is wrong.",
        condition.choice.title, option.title
    ))
}

static NOTHING_DROPPED: Source = practice("Nothing that was measured is left out unsaid");

static UNIT_BY_CARE: Source = practice("A number without a unit may be a thousand times another");

/// For the curve of a cell, the units that were taken because nothing says another: mA and µA look alike.
fn unit_unsaid(field: &Field, understood: &Understood) -> Option<String> {
    let FieldKind::Curve { x, y } = field.kind else {
        return None;
    };
    let columns = [(x, understood.x), (y, understood.y)];
    let unsaid: Vec<(String, &str)> = columns
        .into_iter()
        .filter(|(_, taken)| of_a_cell(field) && taken.known == UnitKnown::Usual)
        .map(|(axis, taken)| (axis.title.to_lowercase(), taken.unit.symbol))
        .collect();
    match unsaid.as_slice() {
        [] => None,
        [(title, unit)] => Some(format!(
            "Nothing says the unit of the {title}: {unit} was taken."
        )),
        [(title, unit), (other, other_unit), ..] => Some(format!(
            "Nothing says the units of the {title} and the {other}: {unit} and {other_unit} were taken."
        )),
    }
}

static LABELS: Source = practice("Points belong where their label says");

/// What the text calls dark where a lit cell is wanted, or the other way round.
fn contrary(field: &Field, entry: &PointsText, understood: &Understood) -> Option<String> {
    let wanted = entry.corrections.illumination.or(illumination(field))?;
    let labelled = understood.taken()?.illumination?;
    if labelled == wanted {
        return None;
    }
    let (said, meant) = match wanted {
        Illumination::Light => ("dark", "under the lamp"),
        Illumination::Dark => ("lit", "in the dark"),
    };
    Some(format!(
        "The text calls the points of “{}” {said}; here those {meant} are wanted. Paste those, or say which these are \
         under “Correct how it is read”.",
        field.title
    ))
}

static NOTHING_CHANGED: Source = practice("What was measured is not changed unsaid");

/// The columns of which the sign is turned.
fn turned(field: &Field, understood: &Understood) -> Option<String> {
    let FieldKind::Curve { x, y } = field.kind else {
        return None;
    };
    let columns = [(x, understood.x), (y, understood.y)];
    let turned = columns
        .into_iter()
        .filter(|(_, taken)| taken.sign == Sign::Turned);
    let titles: Vec<String> = turned.map(|(axis, _)| axis.title.to_lowercase()).collect();
    (!titles.is_empty()).then(|| titles.join(" and the "))
}

fn checks(field: &Field, entry: &PointsText, understood: &Understood) -> Vec<Check> {
    let mut checks = Vec::new();
    if let Some(sentence) = unit_unsaid(field, understood) {
        checks.push(Check::note("unit_unsaid", sentence, UNIT_BY_CARE));
    }
    if let Some(sentence) = contrary(field, entry, understood) {
        checks.push(Check::warning("other_illumination", sentence, LABELS));
    }
    if let Some(titles) = turned(field, understood) {
        checks.push(Check::note(
            "sign_turned",
            format!("Of “{}”, the sign of the {titles} is turned.", field.title),
            NOTHING_CHANGED,
        ));
    }
    if !understood.skipped.is_empty() {
        checks.push(Check::warning(
            "lines_left_out",
            left_out(field, &understood.skipped),
            NOTHING_DROPPED,
        ));
    }
    if let (Some(sweep), false) = (understood.taken(), understood.why == Why::Only) {
        let what = match sweep.direction {
            Some(direction) => format!("{} {} sweep", sweep.number, direction.verb()),
            None => format!("{}", sweep.number),
        };
        checks.push(Check::note(
            "part_of_points",
            format!(
                "Of “{}”, part {what} of {} is used: lines {} to {}.",
                field.title,
                understood.sweeps.len(),
                sweep.first_line,
                sweep.last_line
            ),
            NOTHING_DROPPED,
        ));
    }
    checks
}

/// The lines that were left out, by reason.
fn left_out(field: &Field, skipped: &[Skipped]) -> String {
    const NAMED: usize = 8;
    let named = skipped.iter().take(NAMED).map(|skipped| {
        format!(
            "line {}, “{}”, as {}",
            skipped.line, skipped.text, skipped.reason
        )
    });
    let mut all: Vec<String> = named.collect();
    if skipped.len() > NAMED {
        let lines: Vec<usize> = skipped[NAMED..]
            .iter()
            .map(|skipped| skipped.line)
            .collect();
        all.push(format!("lines {}", ranges(&lines)));
    }
    let many = if skipped.len() == 1 {
        "1 line is".to_owned()
    } else {
        format!("{} lines are", skipped.len())
    };
    format!("{many} left out of “{}”: {}.", field.title, all.join("; "))
}

/// "3, 7–9, 12".
fn ranges(lines: &[usize]) -> String {
    const NAMED: usize = 40;
    let runs: Vec<&[usize]> = lines.chunk_by(|a, b| a + 1 == *b).collect();
    let mut named: Vec<String> = runs
        .iter()
        .take(NAMED)
        .map(|run| match run {
            [only] => only.to_string(),
            [first, .., last] => format!("{first}–{last}"),
            [] => String::new(),
        })
        .collect();
    if runs.len() > NAMED {
        named.push("and more".into());
    }
    named.join(", ")
}
