//! What a careful colleague says about a comparison.

use super::study::{Pair, Process, Study};
use super::{Field, HOLM, LEVEL, RELATIVE, WEIGHTED, WELCH};
use crate::numerics::comparison::Comparison;
use crate::numerics::student::t_quantile;
use crate::problem::{Check, Source, practice};
use crate::quantity::{brief_text, value_text};
use crate::scalar::Scalar;
use crate::uncertainty::Estimate;

/// From this p on, a difference is put down to chance.
const CHANCE: f64 = 0.05;
const INDEPENDENT: Source = practice(
    "cells of one substrate share glass, layers and firing: substrates are what is repeated",
);
const REASONS: Source =
    practice("a result is left out only for a reason that is written down and not for its size");

pub(super) fn checks(study: &Study) -> Vec<Check> {
    let mut checks = Vec::new();
    checks.extend(analysis(study));
    checks.extend(missing_substrates(study));
    checks.extend(one_process(study));
    checks.extend(without_scatter(study));
    checks.extend(few_substrates(study));
    checks.extend(study.without_reason.iter().map(|cell| {
        Check::warning(
            "excluded_without_reason",
            format!(
                "{cell} is to be excluded but has no reason, so it is counted: write the reason, or take the tick away."
            ),
            REASONS,
        )
    }));
    checks.extend(excluded(study));
    checks.extend(without_value(study));
    checks.extend(like_names(study));
    checks.extend(shared_substrates(study));
    checks.extend(best_cell(study));
    checks
}

/// Names in a sentence; of many, the first.
fn listed(names: &[String]) -> String {
    const MOST: usize = 5;
    let (shown, rest) = names.split_at(names.len().min(MOST));
    let shown = shown.join(", ");
    match rest.len() {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

fn quoted(name: &str) -> String {
    format!("“{name}”")
}

fn probability(p: f64) -> String {
    if p < 0.001 {
        "p < 0.001".into()
    } else {
        format!("p = {}", value_text(p, 2))
    }
}

fn freedom(degrees: f64) -> String {
    match brief_text(degrees, 3).as_str() {
        "1" => "1 degree of freedom".into(),
        text => format!("{text} degrees of freedom"),
    }
}

fn missing_substrates(study: &Study) -> Option<Check> {
    let single = |process: &&Process| process.substrates.len() == 1;
    let lacking: Vec<String> = study
        .processes
        .iter()
        .filter(single)
        .map(|process| quoted(&process.name))
        .collect();
    (!lacking.is_empty()).then(|| {
        let has = if lacking.len() == 1 { "has" } else { "have" };
        Check::warning(
            "one_substrate",
            format!(
                "{} {has} cells on one substrate only: how much substrates differ is not known, so this cannot be judged. \
                 Make a second substrate, better three or more; more cells on the same one do not help.",
                listed(&lacking)
            ),
            INDEPENDENT,
        )
    })
}

fn one_process(study: &Study) -> Option<Check> {
    let counting = study.processes.iter().filter(|process| process.counts());
    (counting.count() == 1).then(|| {
        Check::note(
            "one_process",
            "Cells of one process count: enter cells of another to compare.",
            WELCH,
        )
    })
}

fn without_scatter(study: &Study) -> Option<Check> {
    let still = |process: &&Process| {
        process
            .sample
            .is_some_and(|sample| sample.standard_error <= 0.0)
    };
    let names: Vec<String> = study
        .processes
        .iter()
        .filter(still)
        .map(|process| quoted(&process.name))
        .collect();
    (!names.is_empty()).then(|| {
        Check::warning(
            "no_scatter",
            format!(
                "The substrates of {} all have the same value: enter the values with more digits.",
                listed(&names)
            ),
            WELCH,
        )
    })
}

fn few_substrates(study: &Study) -> Option<Check> {
    let two = |process: &&Process| process.substrates.len() == 2;
    let process = study.processes.iter().find(two)?;
    Some(Check::note(
        "few_substrates",
        format!(
            "“{}” has two substrates: its interval is 12.7 standard errors to each side. With five it is 2.8.",
            process.name
        ),
        WELCH,
    ))
}

fn excluded(study: &Study) -> Option<Check> {
    let all: usize = study
        .processes
        .iter()
        .map(|process| process.excluded + process.cells().count())
        .sum();
    let names: Vec<String> = study
        .excluded
        .iter()
        .map(|(cell, reason)| format!("{cell}: {reason}"))
        .collect();
    (!names.is_empty()).then(|| {
        Check::note(
            "excluded",
            format!(
                "{} of {all} cells excluded: {}.",
                names.len(),
                listed(&names)
            ),
            REASONS,
        )
    })
}

fn without_value(study: &Study) -> Option<Check> {
    let names = &study.without_value;
    (!names.is_empty()).then(|| {
        let count = if names.len() == 1 {
            "does not count"
        } else {
            "do not count"
        };
        Check::warning(
            "no_value",
            format!(
                "{} {count}: enter “{}” there.",
                listed(names),
                study.measure.value.title
            ),
            REASONS,
        )
    })
}

/// A name as it is read at a glance.
fn glance(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    words.concat().to_lowercase()
}

fn like_names(study: &Study) -> Option<Check> {
    let names = || study.processes.iter().map(|process| process.name.as_str());
    let alike = |(place, name): (usize, &str)| {
        let other = names()
            .take(place)
            .find(|other| glance(other) == glance(name));
        other.map(|other| format!("“{other}” and “{name}”"))
    };
    let pair = names().enumerate().find_map(alike)?;
    Some(Check::warning(
        "names_alike",
        format!("{pair} count as two processes: write the same name where one is meant."),
        practice("names that differ in letter case or spaces only are usually one name"),
    ))
}

fn shared_substrates(study: &Study) -> Option<Check> {
    let shared = |(place, process): (usize, &Process)| {
        let rest = study.processes.iter().skip(place + 1);
        let others: Vec<&str> = rest
            .flat_map(|other| &other.substrates)
            .map(|substrate| substrate.name.as_str())
            .collect();
        let own = process.substrates.iter().map(|substrate| &substrate.name);
        own.into_iter()
            .find(|name| others.contains(&name.as_str()))
            .cloned()
    };
    let name = study.processes.iter().enumerate().find_map(shared)?;
    Some(Check::note(
        "shared_substrate",
        format!(
            "Substrate “{name}” is in more than one process and counts as another piece of glass in each. If it is the \
             same piece, the processes share its faults, and the interval of their difference is wider than it need be."
        ),
        INDEPENDENT,
    ))
}

/// The best cell says little about a process.
fn best_cell(study: &Study) -> Option<Check> {
    let counting = || study.processes.iter().filter(|process| process.counts());
    let by = |value: fn(&Process) -> f64| counting().max_by(|a, b| value(a).total_cmp(&value(b)));
    let (highest, best) = (by(|process| process.centre)?, by(|process| process.best)?);
    (best.centre < highest.centre).then(|| {
        Check::note(
            "best_cell",
            format!(
                "The best cell is of “{}”, the highest mean that of “{}”: one cell does not speak for its process.",
                best.name, highest.name
            ),
            INDEPENDENT,
        )
    })
}

fn analysis(study: &Study) -> Option<Check> {
    let analysis = study.analysis?;
    let count = analysis.numerator + 1.0;
    let statistic = format!(
        "F = {} with {} and {}, {}",
        value_text(analysis.f, 3),
        analysis.numerator,
        freedom(analysis.denominator),
        probability(analysis.p)
    );
    let apart: Vec<String> = study
        .pairs
        .iter()
        .filter_map(|pair| apart(study, pair))
        .collect();
    let pairs = if apart.is_empty() {
        "No pair differs clearly after correction for their number.".to_owned()
    } else {
        format!(
            "After correction for the number of pairs: {}.",
            listed(&apart)
        )
    };
    let sentence = if analysis.p < CHANCE {
        format!("The means of {count} processes differ by more than chance ({statistic}). {pairs}")
    } else {
        format!(
            "The means of {count} processes differ by no more than chance may bring ({statistic}). {pairs}"
        )
    };
    Some(Check::note("processes_differ", sentence, HOLM))
}

/// A pair that differs by more than chance, in words.
fn apart(study: &Study, pair: &Pair) -> Option<String> {
    let p = pair.corrected.filter(|p| *p < CHANCE)?;
    let difference = pair.compared?.difference;
    let (first, second) = study.names(pair);
    let (higher, lower) = if difference.mean > 0.0 {
        (second, first)
    } else {
        (first, second)
    };
    let by = study.measure.difference.say(difference.mean.abs());
    Some(format!(
        "“{higher}” over “{lower}” by {by} ({})",
        probability(p)
    ))
}

/// Which of two processes is better, by how much and how sure.
pub(super) fn verdict(study: &Study, estimate: &dyn Fn(&Field) -> Option<Estimate>) -> Vec<Check> {
    let Some(pair) = study.only_pair() else {
        return Vec::new();
    };
    let Some(compared) = pair.compared else {
        return Vec::new();
    };
    let total = estimate(&study.measure.difference);
    let relative = estimate(&RELATIVE);
    let mut checks = vec![of_scatter(study, pair, &compared, relative)];
    checks.extend(total.and_then(|total| beyond_scatter(study, &compared, &total)));
    checks
}

/// An interval, in the unit that suits its larger end.
fn interval(field: &Field, middle: f64, half_width: f64) -> String {
    let (low, high) = (middle - half_width, middle + half_width);
    match field.unit_for(low.abs().max(high.abs())) {
        Some(unit) => format!("{} to {}", unit.say(low, 3), unit.say(high, 3)),
        None => format!("{} to {}", value_text(low, 3), value_text(high, 3)),
    }
}

fn of_scatter(
    study: &Study,
    pair: &Pair,
    compared: &Comparison,
    relative: Option<Estimate>,
) -> Check {
    let (first, second) = study.names(pair);
    let (field, what) = (&study.measure.difference, study.measure.value.title);
    let difference = compared.difference;
    let (higher, lower) = if difference.mean > 0.0 {
        (second, first)
    } else {
        (first, second)
    };
    let of_first = relative.map_or(String::new(), |relative| {
        let percent = value_text(100.0 * relative.value.abs(), 2);
        format!(", which is {percent}\u{202F}% of that of “{first}”")
    });
    let by = match field.unit_for(difference.mean) {
        Some(unit) => unit.say(difference.mean.abs(), 3),
        None => value_text(difference.mean.abs(), 3),
    };
    let statistic = format!(
        "95\u{202F}% interval of “{second}” less “{first}” {}; {}, {}",
        interval(field, difference.mean, difference.half_width(LEVEL)),
        probability(compared.p),
        freedom(difference.degrees_of_freedom)
    );
    let needed = study.needed_for(difference.mean.abs());
    let more = needed.map_or(String::new(), |needed| {
        format!(" About {needed} substrates of each would make the interval as narrow as ± {by}.")
    });
    let sentence = if compared.p < CHANCE {
        format!(
            "{what} is higher with “{higher}” than with “{lower}”, by {by}{of_first} ({statistic})."
        )
    } else {
        format!(
            "These cells do not show which process is better: “{higher}” has {by} more{of_first}, but chance may bring as much \
             ({statistic}).{more}"
        )
    };
    let code = if compared.p < CHANCE {
        "one_is_better"
    } else {
        "not_shown"
    };
    Check::note(code, sentence, WELCH)
}

/// What the uncertainties of single values add to that of the difference.
fn beyond_scatter(study: &Study, compared: &Comparison, total: &Estimate) -> Option<Check> {
    /// Below this part, nobody would see it in the interval.
    const SEEN: f64 = 1.05;
    if total.uncertainty <= SEEN * compared.difference.standard_error {
        return None;
    }
    // The interval by scatter may rest on few degrees of freedom, the rest does not: each keeps its own factor.
    let difference = &compared.difference;
    let of_scatter = difference.half_width(LEVEL);
    let rest = total.uncertainty.squared() - difference.standard_error.squared();
    let of_rest = t_quantile(LEVEL, f64::INFINITY).squared() * rest;
    let half_width = (of_scatter.squared() + of_rest).sqrt();
    let sentence = format!(
        "The uncertainties stated for the cells do not cancel in the difference: with them the 95\u{202F}% interval is {}",
        interval(&study.measure.difference, difference.mean, half_width)
    );
    let holds_zero = difference.mean.abs() < half_width;
    Some(if holds_zero && compared.p < CHANCE {
        Check::warning(
            "not_sure_with_uncertainties",
            format!(
                "{sentence}, which holds 0. Look in the budget for what the processes do not share, such as a calibration \
                 on another day, and measure both alike."
            ),
            WEIGHTED,
        )
    } else {
        Check::note("wider_with_uncertainties", format!("{sentence}."), WEIGHTED)
    })
}
