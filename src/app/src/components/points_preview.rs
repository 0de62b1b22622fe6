//! What was understood of pasted points, and the ways to correct it; or the question that their text leaves, with the
//! answers as buttons.

use glasswick_core::calculators::{Field, FieldKind};
use glasswick_core::points::{
    Candidate, Corrections, DecimalMark, Delimiter, Illumination, Layout, PointsProblem, Sign,
    Skipped, Sweep, Understood,
};
use glasswick_core::quantity::Kind;
use yew::prelude::*;

use crate::dom;
use crate::points_words::{described, in_words, part};

/// Lines that are listed by name at most.
const LISTED: usize = 50;

/// The two quantities of a curve field.
type Axes = [&'static Field; 2];

pub(super) fn points_preview(
    field: &'static Field,
    read: &Result<Understood, PointsProblem>,
    corrections: Corrections,
    correct: &Callback<Corrections>,
) -> Html {
    let FieldKind::Curve { x, y } = field.kind else {
        return Html::default();
    };
    let axes = [x, y];
    match read {
        Ok(understood) => html! {
            <div class="understood">
                <p class="read-back">{ in_words(field, understood).join(" ") }</p>
                { left_out(&understood.skipped) }
                { ways(axes, &understood.layout, &understood.sweeps, corrections, correct) }
            </div>
        },
        Err(problem) => html! {
            <div class="understood">
                { answers(field, problem, correct) }
                if let Some(layout) = &problem.layout {
                    { ways(axes, layout, &[], corrections, correct) }
                }
            </div>
        },
    }
}

/// Lines that hold no point although they should.
fn left_out(skipped: &[Skipped]) -> Html {
    if skipped.is_empty() {
        return Html::default();
    }
    let line = |skipped: &Skipped| {
        html! { <li>{ format!("Line {}, “{}”: {}", skipped.line, skipped.text, skipped.reason) }</li> }
    };
    let many = match skipped.len() {
        1 => "1 line is left out".to_owned(),
        many => format!("{many} lines are left out"),
    };
    html! {
        <details>
            <summary>{ many }</summary>
            <ul class="left-out">
                { for skipped.iter().take(LISTED).map(line) }
                if skipped.len() > LISTED {
                    <li>{ format!("and {} more", skipped.len() - LISTED) }</li>
                }
            </ul>
        </details>
    }
}

/// The answers to what the text leaves open.
fn answers(
    field: &'static Field,
    problem: &PointsProblem,
    correct: &Callback<Corrections>,
) -> Html {
    if problem.candidates.is_empty() {
        return Html::default();
    }
    let answer = |candidate: &Candidate| {
        let corrections = candidate.corrections;
        let onclick = correct.reform(move |_: MouseEvent| corrections);
        html! { <button type="button" {onclick}>{ &candidate.title }</button> }
    };
    html! {
        <div class="actions answers" role="group" aria-label={format!("What is meant in {}?", field.title)}>
            { for problem.candidates.iter().map(answer) }
        </div>
    }
}

/// What the person may say about the reading; each is found out where they say nothing.
fn ways(
    [x, y]: Axes,
    layout: &Layout,
    sweeps: &[Sweep],
    now: Corrections,
    correct: &Callback<Corrections>,
) -> Html {
    let columns: Vec<(String, usize)> = layout
        .columns
        .iter()
        .map(|column| (described(column), column.number))
        .collect();
    let delimiters: Vec<(String, Delimiter)> = Delimiter::ALL
        .iter()
        .map(|delimiter| (delimiter.title().to_owned(), *delimiter))
        .collect();
    let marks: Vec<(String, DecimalMark)> = DecimalMark::ALL
        .iter()
        .map(|mark| (mark.title().to_owned(), *mark))
        .collect();
    let parts: Vec<(String, usize)> = sweeps
        .iter()
        .map(|sweep| (part(x, sweep), sweep.number))
        .collect();
    let signs: Vec<(String, Sign)> = Sign::ALL
        .iter()
        .map(|sign| (sign.title().to_owned(), *sign))
        .collect();
    // Light and dark are asked of curves of current only.
    let current = matches!(y.number_kind(), Some(Kind::Current | Kind::CurrentDensity));
    let lights: Vec<(String, Illumination)> = Illumination::ALL
        .iter()
        .map(|light| (light.title().to_owned(), *light))
        .collect();
    let again = correct.reform(|_: MouseEvent| Corrections::default());
    html! {
        <details>
            <summary>{ "Correct how it is read" }</summary>
            <div class="ways">
                { way("Separated by", &delimiters, now.delimiter, correct, move |delimiter| Corrections { delimiter, ..now }) }
                { way("Decimal mark", &marks, now.decimal, correct, move |decimal| Corrections { decimal, ..now }) }
                { way(&format!("Column of {}", x.title), &columns, now.x_column, correct,
                    move |x_column| Corrections { x_column, ..now }) }
                { way(&format!("Column of {}", y.title), &columns, now.y_column, correct,
                    move |y_column| Corrections { y_column, ..now }) }
                { way(&format!("Sign of {}", x.title), &signs, now.x_sign, correct, move |x_sign| Corrections { x_sign, ..now }) }
                { way(&format!("Sign of {}", y.title), &signs, now.y_sign, correct, move |y_sign| Corrections { y_sign, ..now }) }
                if current {
                    { way("The cell was in", &lights, now.illumination, correct,
                        move |illumination| Corrections { illumination, ..now }) }
                }
                { line("First line that is read", now.first_line, correct, move |first_line| Corrections { first_line, ..now }) }
                { line("Last line that is read", now.last_line, correct, move |last_line| Corrections { last_line, ..now }) }
                if parts.len() > 1 {
                    { way("Part that is used", &parts, now.sweep, correct, move |sweep| Corrections { sweep, ..now }) }
                }
                if !now.is_empty() {
                    <button type="button" class="quiet" onclick={again}>{ "Find everything out again" }</button>
                }
            </div>
        </details>
    }
}

/// The number of a line; an empty box leaves it open.
fn line(
    label: &str,
    now: Option<usize>,
    correct: &Callback<Corrections>,
    corrected: impl Fn(Option<usize>) -> Corrections + 'static,
) -> Html {
    let onchange = correct.reform(move |event: Event| {
        let line = dom::value(&event).trim().parse().ok();
        corrected(line.filter(|line| *line > 0))
    });
    let value = now.map_or_else(String::new, |line| line.to_string());
    html! {
        <label class="detail">{ label }
            <input type="text" inputmode="numeric" autocomplete="off" placeholder="found out" {value} {onchange} />
        </label>
    }
}

/// One choice: found out, or said.
fn way<T: Copy + PartialEq + 'static>(
    label: &str,
    options: &[(String, T)],
    now: Option<T>,
    correct: &Callback<Corrections>,
    corrected: impl Fn(Option<T>) -> Corrections + 'static,
) -> Html {
    let values: Vec<T> = options.iter().map(|(_, value)| *value).collect();
    let onchange = correct.reform(move |event: Event| {
        let chosen: Option<usize> = dom::value(&event).parse().ok();
        corrected(chosen.and_then(|place| values.get(place)).copied())
    });
    let option = |(place, (title, value)): (usize, &(String, T))| {
        html! { <option value={place.to_string()} selected={now == Some(*value)}>{ title }</option> }
    };
    html! {
        <label class="detail">{ label }
            <select {onchange}>
                <option value="" selected={now.is_none()}>{ "found out" }</option>
                { for options.iter().enumerate().map(option) }
            </select>
        </label>
    }
}
