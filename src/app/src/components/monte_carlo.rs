//! The Monte Carlo run of one result: asked for, watched, and what it gave beside the first-order picture.

use std::rc::Rc;

use glasswick_core::calculators::Field;
use glasswick_core::quantity::{Rounding, Unit, value_text, with_uncertainty};
use glasswick_core::uncertainty::monte_carlo::{Draws, Interval, Outcome};
use glasswick_record::{Document, Trial};
use yew::prelude::*;

use crate::dom;
use crate::state::Action;
use crate::trials::{Report, Running, request, start};

#[derive(PartialEq, Properties)]
pub(crate) struct MonteCarloProps {
    /// `card.output`.
    pub(crate) address: AttrValue,
    pub(crate) title: AttrValue,
    pub(crate) field: &'static Field,
    pub(crate) unit: &'static Unit,
    pub(crate) document: Rc<Document>,
    /// Whether the kept outcome belongs to the entries as they stand.
    pub(crate) current: bool,
    pub(crate) act: Callback<Action>,
}

/// How a run stands.
#[derive(Clone, PartialEq)]
enum Standing {
    Quiet,
    Running(u64, u64),
    Stopped(String),
}

const CHOICES: [(&str, Draws); 5] = [
    ("1 000 000 draws", Draws::DEFAULT),
    ("100 000 draws", Draws::Fixed(100_000)),
    ("10 000 000 draws", Draws::Fixed(10_000_000)),
    (
        "as many as two digits of u need",
        Draws::Adaptive {
            digits: 2,
            most: 10_000_000,
        },
    ),
    (
        "as many as one digit of u needs",
        Draws::Adaptive {
            digits: 1,
            most: 10_000_000,
        },
    ),
];

#[component]
pub(crate) fn MonteCarlo(props: &MonteCarloProps) -> Html {
    let standing = use_state_eq(|| Standing::Quiet);
    let chosen = use_state_eq(|| 0_usize);
    let seed = use_state_eq(String::new);
    let running = use_mut_ref(|| None::<Running>);
    let kept = props.document.trials.get(props.address.as_str());
    let begin = {
        let (running, standing, act) = (running.clone(), standing.setter(), props.act.clone());
        let (document, address) = (props.document.clone(), props.address.clone());
        let (draws, seed) = (CHOICES[*chosen].1, seed.clone());
        Callback::from(move |_: MouseEvent| {
            let Some(seed) = read_seed(&seed) else {
                standing.set(Standing::Stopped(
                    "The seed is a whole number from 0 to 4294967295. Empty it for a new one."
                        .into(),
                ));
                return;
            };
            let report = {
                let (running, standing) = (running.clone(), standing.clone());
                let (act, address) = (act.clone(), address.clone());
                Callback::from(move |report| match report {
                    Report::Progress(draws, most) => standing.set(Standing::Running(draws, most)),
                    Report::Done(trial) => {
                        running.replace(None);
                        standing.set(Standing::Quiet);
                        act.emit(Action::Tried(address.to_string(), trial));
                    }
                    Report::Stopped(why) => {
                        running.replace(None);
                        standing.set(Standing::Stopped(why));
                    }
                })
            };
            let started = start(&request(&document, &address, seed, draws), report);
            standing.set(match started {
                Some(_) => Standing::Running(0, 0),
                None => Standing::Stopped(
                    "This browser cannot run it beside the page. Bring the browser up to date."
                        .into(),
                ),
            });
            running.replace(started);
        })
    };
    let cancel = {
        let (running, standing) = (running.clone(), standing.setter());
        Callback::from(move |_: MouseEvent| {
            running.replace(None);
            standing.set(Standing::Quiet);
        })
    };
    let choose = {
        let chosen = chosen.setter();
        Callback::from(move |event: Event| {
            let words = dom::value(&event);
            chosen.set(
                CHOICES
                    .iter()
                    .position(|(known, _)| *known == words)
                    .unwrap_or(0),
            );
        })
    };
    let type_seed = {
        let seed = seed.setter();
        Callback::from(move |event: InputEvent| seed.set(dom::value(&event)))
    };
    let options = CHOICES.iter().enumerate().map(|(place, (words, _))| {
        html! { <option key={*words} value={*words} selected={place == *chosen}>{ *words }</option> }
    });
    let going_on = matches!(*standing, Standing::Running(..));
    let title = &props.title;
    let words = match (going_on, kept) {
        (true, _) => "Cancel the run",
        (false, Some(_)) => "Run it again",
        (false, None) => "Run the Monte Carlo",
    };
    let label = format!("{words}: {title}");
    html! {
        <section class="monte-carlo" aria-label={format!("Monte Carlo of {title}")}>
            <h4>{ "Monte Carlo (JCGM 101)" }</h4>
            if let Some(trial) = kept {
                { outcome(trial, props) }
            } else {
                <p>{ "A second opinion: the entries are drawn again and again from their distributions, and the whole run sheet is computed for each draw." }</p>
            }
            <div class="actions">
                // One button all the while, so that the focus stays on it.
                <button type="button" aria-label={label} onclick={if going_on { cancel } else { begin }}>{ words }</button>
                <label class="form">{ "Draws" }<select disabled={going_on} onchange={choose}>{ for options }</select></label>
                <label class="form">{ "Seed" }
                    <input type="text" inputmode="numeric" autocomplete="off" placeholder="new" disabled={going_on}
                        value={(*seed).clone()} oninput={type_seed} />
                </label>
            </div>
            <div role="status">{ said(&standing) }</div>
        </section>
    }
}

/// A seed as typed; a new one where the box is empty.
fn read_seed(text: &str) -> Option<u64> {
    match text.trim() {
        "" => u64::from_str_radix(&dom::random_id()[..8], 16).ok(),
        typed => typed.parse::<u32>().ok().map(u64::from),
    }
}

fn said(standing: &Standing) -> Html {
    match standing {
        Standing::Quiet => Html::default(),
        Standing::Running(_, 0) => html! { <p>{ "Starting…" }</p> },
        Standing::Running(draws, most) => html! {
            <p>
                <progress max={most.to_string()} value={draws.to_string()} aria-label="Draws made"></progress>
                { format!(" {} of {} draws", grouped(*draws), grouped(*most)) }
            </p>
        },
        Standing::Stopped(why) => html! { <p class="problem">{ why }</p> },
    }
}

/// A whole number with its digits in groups.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (position, digit) in digits.chars().enumerate() {
        if position > 0 && (digits.len() - position).is_multiple_of(3) {
            text.push('\u{202F}');
        }
        text.push(digit);
    }
    text
}

/// Numbers to a place that the standard uncertainty justifies.
fn to_place(si: f64, outcome: &Outcome, unit: &Unit) -> String {
    let u = unit.difference_from_si(0.1 * outcome.uncertainty);
    let number = with_uncertainty(unit.from_si(si), u, Rounding::TwoDigits);
    number.map_or_else(
        || value_text(unit.from_si(si), 4),
        |mut rounded| {
            rounded.uncertainty.clear();
            rounded.plus_minus()
        },
    )
}

fn interval(interval: Interval, outcome: &Outcome, unit: &Unit) -> String {
    format!(
        "{} to {}{}",
        to_place(interval.low, outcome, unit),
        to_place(interval.high, outcome, unit),
        unit.after_number()
    )
}

/// What a run gave, in a sentence for the record.
pub(crate) fn in_words(outcome: &Outcome, unit: &Unit) -> String {
    format!(
        "Monte Carlo, {} draws, seed {}: mean {}{after}, u = {}{after}, 95\u{202F}% interval {}. {}",
        grouped(outcome.draws),
        outcome.seed,
        to_place(outcome.mean, outcome, unit),
        value_text(unit.difference_from_si(outcome.uncertainty), 3),
        interval(outcome.symmetric, outcome, unit),
        outcome.verdict.words(),
        after = unit.after_number(),
    )
}

fn outcome(trial: &Trial, props: &MonteCarloProps) -> Html {
    let (given, unit) = (&trial.outcome, props.unit);
    let after = unit.after_number();
    let first = given.first_order;
    let number = |si: f64| to_place(si, given, unit) + &after;
    let spread = |si: f64| value_text(unit.difference_from_si(si), 3) + &after;
    let rows = [
        ("Value", number(given.mean), number(first.value)),
        (
            "Standard uncertainty",
            spread(given.uncertainty),
            spread(first.uncertainty),
        ),
        (
            "95\u{202F}% interval, symmetric in probability",
            interval(given.symmetric, given, unit),
            interval(first.interval(), given, unit),
        ),
        (
            "95\u{202F}% interval, shortest",
            interval(given.shortest, given, unit),
            String::new(),
        ),
    ];
    let row = |(name, drawn, first): (&'static str, String, String)| {
        html! { <tr><th scope="row">{ name }</th><td>{ drawn }</td><td>{ first }</td></tr> }
    };
    let notes = [
        given.left_out.words(),
        given.fit_words().map(str::to_owned),
        given.few_readings_words().map(str::to_owned),
    ];
    let tolerance = given.errors.tolerance();
    let reached = if tolerance.is_finite() {
        format!(
            "; numerical tolerance reached: {}",
            value_text(unit.difference_from_si(tolerance), 1) + &after
        )
    } else {
        String::new()
    };
    html! {
        <>
            if !props.current {
                <p class="problem">{ "The entries were changed after this run. Run it again." }</p>
            }
            <p><strong>{ given.verdict.words() }</strong></p>
            <div class="scroll" role="group" tabindex="0" aria-label={format!("Monte Carlo and first order of {}", props.title)}>
                <table>
                    <thead><tr><th scope="col">{ "" }</th><th scope="col">{ "Monte Carlo" }</th><th scope="col">{ "First order" }</th></tr></thead>
                    <tbody>{ for rows.map(row) }</tbody>
                </table>
            </div>
            { histogram(given, props) }
            { for notes.into_iter().flatten().map(|note| html! { <p>{ note }</p> }) }
            <p>{ format!("{} draws, seed {}{reached}. With this seed the run gives the same numbers again.", grouped(given.draws), given.seed) }</p>
        </>
    }
}

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 180.0;
/// Room below the bars for their numbers.
const FOOT: f64 = 28.0;

/// The draws as bars, the first-order picture as a line over them.
fn histogram(given: &Outcome, props: &MonteCarloProps) -> Html {
    let (bins, first) = (&given.histogram, given.first_order);
    let total = bins.total() as f64;
    let width = bins.bin_width();
    let middle = |bin: usize| bins.from + (bin as f64 + 0.5) * width;
    let expected: Vec<f64> = (0..bins.counts.len())
        .map(|bin| first.density(middle(bin)) * total * width)
        .map(|count| if count.is_finite() { count } else { 0.0 })
        .collect();
    let counts = bins.counts.iter().map(|count| *count as f64);
    let most = counts
        .clone()
        .chain(expected.iter().copied())
        .fold(1.0, f64::max);
    let height = HEIGHT - FOOT;
    let step = WIDTH / bins.counts.len() as f64;
    let top = |count: f64| height * (1.0 - count / (1.05 * most));
    let mut bars = String::new();
    for (bin, count) in counts.enumerate() {
        let (left, top) = (bin as f64 * step, top(count));
        bars.push_str(&format!(
            "M{left:.1} {height:.1}V{top:.1}h{step:.1}V{height:.1}"
        ));
    }
    let mut line = String::new();
    for (bin, count) in expected.iter().enumerate() {
        let letter = if bin == 0 { 'M' } else { 'L' };
        let at = (bin as f64 + 0.5) * step;
        line.push_str(&format!("{letter}{at:.1} {:.1}", top(*count)));
    }
    let end = |si: f64| to_place(si, given, props.unit) + &props.unit.after_number();
    let described = format!(
        "Bars: {} draws of {} from {} to {}, {} below and {} above. Line: the first-order picture.",
        grouped(given.draws),
        props.title,
        end(bins.from),
        end(bins.to),
        grouped(bins.below),
        grouped(bins.above)
    );
    html! {
        <figure class="curve draws">
            <svg viewBox={format!("0 0 {WIDTH} {HEIGHT}")} role="img">
                <title>{ format!("Draws of {}", props.title) }</title>
                <desc>{ described.clone() }</desc>
                <path class="draws-bars" d={bars} />
                <path class="curve-line" d={line} />
                <text x="0" y={(HEIGHT - 8.0).to_string()}>{ end(bins.from) }</text>
                <text x={WIDTH.to_string()} y={(HEIGHT - 8.0).to_string()} text-anchor="end">{ end(bins.to) }</text>
            </svg>
            <figcaption class="help">{ described }</figcaption>
        </figure>
    }
}

#[cfg(test)]
mod tests {
    use super::grouped;

    #[test]
    fn whole_numbers_stand_in_groups_of_three() {
        for (number, text) in [
            (0, "0"),
            (999, "999"),
            (10_000, "10 000"),
            (1_234_567, "1 234 567"),
        ] {
            assert_eq!(grouped(number).replace('\u{202F}', " "), text);
        }
    }
}
