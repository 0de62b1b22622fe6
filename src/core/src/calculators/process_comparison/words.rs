//! What a careful colleague says about a comparison.

use super::study::{Pair, Process, Study};
use super::{Field, HOLM, LEVEL, RELATIVE, WEIGHTED, WELCH};
use crate::calculators::soaking_log::listed;
use crate::numerics::comparison::Comparison;
use crate::numerics::student::t_quantile;
use crate::problem::{Check, Level, Source, practice};
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
    checks.extend(negative(study));
    checks.extend(like_names(study));
    checks.extend(shared_substrates(study));
    checks.extend(best_cell(study));
    checks
}

/// The names of the processes that are such; none where none is.
fn named(study: &Study, such: impl Fn(&Process) -> bool) -> Option<String> {
    let such = study.processes.iter().filter(|process| such(process));
    listed(such.map(|process| format!("“{}”", process.name)).collect())
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
    let lacking = named(study, |process| process.substrates.len() == 1)?;
    Some(Check::warning(
        "one_substrate",
        format!(
            "Cells on one substrate only: {lacking}. How much substrates differ is not known there, so this cannot be \
             judged. Make a second substrate, better three or more; more cells on the same one do not help."
        ),
        INDEPENDENT,
    ))
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
    let still = |process: &Process| {
        process
            .sample
            .is_some_and(|sample| sample.standard_error <= 0.0)
    };
    let names = named(study, still)?;
    Some(Check::warning(
        "no_scatter",
        format!(
            "The means of the substrates coincide: {names}. Enter the values with more digits."
        ),
        WELCH,
    ))
}

fn few_substrates(study: &Study) -> Option<Check> {
    let names = named(study, |process| process.substrates.len() == 2)?;
    Some(Check::note(
        "few_substrates",
        format!(
            "Two substrates only: {names}. The interval is then 12.7 standard errors to each side; with five it is 2.8."
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
    let excluded = study.excluded.iter();
    let names = listed(
        excluded
            .map(|(cell, reason)| format!("{cell}: {reason}"))
            .collect(),
    )?;
    let count = study.excluded.len();
    Some(Check::note(
        "excluded",
        format!("{count} of {all} cells excluded: {names}."),
        REASONS,
    ))
}

/// Where currents are counted the other way round, the worst cell has the highest number.
fn negative(study: &Study) -> Option<Check> {
    let counting: usize = study.processes.iter().map(|p| p.cells().count()).sum();
    (study.negative > 0).then(|| {
        Check::warning(
            "negative_values",
            format!(
                "{} of {counting} cells that count have a negative number under “{}”: enter what a cell delivers under light as \
                 positive, or “higher” and “best” are turned round.",
                study.negative, study.measure.value.title
            ),
            practice("what a cell delivers counts as positive"),
        )
    })
}

fn without_value(study: &Study) -> Option<Check> {
    let names = listed(study.without_value.clone())?;
    let count = if study.without_value.len() == 1 {
        "does not count"
    } else {
        "do not count"
    };
    let title = study.measure.value.title;
    Some(Check::warning(
        "no_value",
        format!("{names} {count}: enter “{title}” there."),
        REASONS,
    ))
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
    let apart = study.pairs.iter().filter_map(|pair| apart(study, pair));
    let pairs = match listed(apart.collect()) {
        None => "No pair differs clearly after correction for their number.".to_owned(),
        Some(apart) => format!("After correction for the number of pairs: {apart}."),
    };
    let unjudged = named(study, |process| {
        process.counts() && process.sample.is_none()
    });
    let without = unjudged.map_or(String::new(), |names| {
        format!(" Left out of F, with one substrate: {names}.")
    });
    let sentence = if analysis.p < CHANCE {
        format!(
            "The means of {count} processes differ by more than chance ({statistic}).{without} {pairs}"
        )
    } else {
        format!(
            "The means of {count} processes differ by no more than chance may bring ({statistic}).{without} {pairs}"
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
    let beyond = total.and_then(|total| beyond_scatter(study, &compared, &total));
    let unsure = matches!(&beyond, Some(check) if check.level == Level::Warning);
    checks.extend(beyond);
    if !unsure {
        checks.extend(total.and_then(|total| wider_headline(&compared, &total)));
    }
    checks
}

/// Why the ± of the difference may hold 0 where its interval does not.
fn wider_headline(compared: &Comparison, total: &Estimate) -> Option<Check> {
    let difference = &compared.difference;
    (compared.p < CHANCE && difference.mean.abs() < total.expanded()).then(|| {
        Check::note(
            "wider_plus_minus",
            format!(
                "The ± of the difference holds 0 although its interval does not: ± is for 95.45\u{202F}% and takes whole degrees of \
                 freedom, the next lower, which makes it {} standard uncertainties, where the interval takes {}. \
                 p and the interval take them as they are; more substrates bring both together.",
                value_text(total.coverage_factor(), 3),
                value_text(t_quantile(LEVEL, difference.degrees_of_freedom), 3),
            ),
            WELCH,
        )
    })
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
