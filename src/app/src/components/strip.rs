//! The process strip: the cards in order, each with its first result, how it stands and what it takes; the way from
//! card to card, and the place to reorder them.

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

use super::badge;
use crate::dom;
use crate::state::Action;
use crate::view::Step;

#[derive(PartialEq, Properties)]
pub(crate) struct StripProps {
    pub(crate) steps: Vec<Step>,
    /// The place of the card in hand.
    pub(crate) in_hand: usize,
    pub(crate) go: Callback<String>,
    pub(crate) act: Callback<Action>,
    /// Asks for a new card.
    pub(crate) add: Callback<()>,
}

/// A card that is dragged, and the place it is held over.
#[derive(Clone, Copy, PartialEq)]
struct Drag {
    from: usize,
    to: usize,
}

#[component]
pub(crate) fn Strip(props: &StripProps) -> Html {
    let drag = use_state_eq(|| None::<Drag>);
    let strip = use_node_ref();
    {
        let strip = strip.clone();
        let card = props.steps.get(props.in_hand).map(|step| step.id.clone());
        use_effect_with((props.in_hand, card), move |(in_hand, _)| {
            show_step(&strip, *in_hand);
        });
    }
    let steps = &props.steps;
    let add = dom::click(&props.add);
    let item = |(position, step): (usize, &Step)| {
        let here = position == props.in_hand;
        let over = drag.is_some_and(|drag| drag.to == position && drag.from != position);
        let onclick = {
            let (go, id) = (props.go.clone(), step.id.clone());
            Callback::from(move |_: MouseEvent| go.emit(id.clone()))
        };
        html! {
            <li key={step.id.clone()} data-position={position.to_string()} class={classes!(over.then_some("over"))}>
                <button type="button" class={classes!("step", step.standing.class())} {onclick}
                    aria-current={here.then_some("step")}>
                    <span class="step-head">
                        <span class="step-title">{ &step.title }</span>
                        { badge(step.standing) }
                    </span>
                    <span class="step-text">{ &step.headline }</span>
                    if let Some(value) = &step.value {
                        <span class="step-value">{ value }</span>
                    }
                    if !step.takes_from.is_empty() {
                        <span class="step-from">{ from(steps, step) }</span>
                    }
                </button>
                { grip(position, &step.id, &drag, &props.act) }
            </li>
        }
    };
    html! {
        <nav class="strip" aria-label="Process" ref={strip}>
            <div class="track">
                { lines(steps, props.in_hand, true) }
                { lines(steps, props.in_hand, false) }
                <ol>{ for steps.iter().enumerate().map(item) }</ol>
            </div>
            <button type="button" class="add" onclick={add}>{ "Add a card" }</button>
        </nav>
    }
}

/// Brings the card in hand into view within the strip, without moving the page.
fn show_step(strip: &NodeRef, in_hand: usize) {
    let step = strip.cast::<HtmlElement>().and_then(|strip| {
        let item = strip.query_selector(&format!("li[data-position='{in_hand}']"));
        Some((strip, item.ok()??.dyn_into::<HtmlElement>().ok()?))
    });
    if let Some((strip, item)) = step {
        // A little of the card before stays in view, so that one sees that there is one.
        strip.set_scroll_left(item.offset_left() - 24);
        strip.set_scroll_top(item.offset_top() - 24);
    }
}

/// The cards that a card takes from, the first of them by name: one step is not to make all others tall.
fn from(steps: &[Step], step: &Step) -> String {
    const NAMED: usize = 2;
    let titles: Vec<&str> = step
        .takes_from
        .iter()
        .filter_map(|position| Some(steps.get(*position)?.title.as_str()))
        .collect();
    let (named, more) = titles.split_at(titles.len().min(NAMED));
    let more = match more.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("from {}{more}", named.join(", "))
}

/// What a card is dragged by. It is for pointers only: the card itself has buttons that do the same.
fn grip(
    position: usize,
    id: &str,
    drag: &UseStateHandle<Option<Drag>>,
    act: &Callback<Action>,
) -> Html {
    let down = {
        let drag = drag.setter();
        Callback::from(move |event: PointerEvent| {
            let grip = event
                .target()
                .and_then(|target| target.dyn_into::<Element>().ok());
            if let Some(grip) = grip {
                // Without it, a pointer that leaves the grip ends the drag early.
                let _ = grip.set_pointer_capture(event.pointer_id());
            }
            event.prevent_default();
            drag.set(Some(Drag {
                from: position,
                to: position,
            }));
        })
    };
    let moved = {
        let drag = drag.clone();
        Callback::from(move |event: PointerEvent| {
            if let (Some(held), Some(to)) = (*drag, place_under(&event)) {
                drag.set(Some(Drag { to, ..held }));
            }
        })
    };
    let up = {
        let (drag, act, card) = (drag.clone(), act.clone(), id.to_owned());
        Callback::from(move |_: PointerEvent| {
            if let Some(held) = *drag
                && held.from != held.to
            {
                act.emit(Action::Move {
                    card: card.clone(),
                    to: held.to,
                });
            }
            drag.set(None);
        })
    };
    let cancel = {
        let drag = drag.setter();
        Callback::from(move |_: PointerEvent| drag.set(None))
    };
    html! {
        <span class="grip" aria-hidden="true" title="Drag to reorder" onpointerdown={down} onpointermove={moved}
            onpointerup={up} onpointercancel={cancel}>
            <svg viewBox="0 0 16 16" width="16" height="16"><path class="line" d="M3 5h10M3 8h10M3 11h10" /></svg>
        </span>
    }
}

/// The place in the list that lies under a pointer.
fn place_under(event: &PointerEvent) -> Option<usize> {
    #[expect(
        clippy::cast_precision_loss,
        reason = "places on a screen are small numbers"
    )]
    let (x, y) = (event.client_x() as f32, event.client_y() as f32);
    let element = dom::document()?.element_from_point(x, y)?;
    let item = element.closest("li[data-position]").ok()??;
    item.get_attribute("data-position")?.parse().ok()
}

/// The links as lines in the margin of the strip, which is divided evenly among the cards: from a square at the card
/// that gives to a dot at the card that takes.
fn lines(steps: &[Step], in_hand: usize, upright: bool) -> Html {
    let count = steps.len();
    let mut drawn: Vec<Html> = Vec::new();
    for (to, step) in steps.iter().enumerate() {
        for from in step.takes_from.iter().copied().filter(|from| *from < count) {
            let class = if from == in_hand || to == in_hand {
                "link near"
            } else {
                "link"
            };
            drawn.push(html! {
                <g {class}>
                    <path class="link-line" d={arc(from, to, upright)} />
                    <path class="link-start" d={dot(leaves(from), upright)} />
                    <path class="link-end" d={dot(enters(to), upright)} />
                </g>
            });
        }
    }
    let (class, view) = if upright {
        ("links upright", format!("0 0 100 {}", count * 100))
    } else {
        ("links level", format!("0 0 {} 100", count * 100))
    };
    html! {
        <svg {class} viewBox={view} preserveAspectRatio="none" aria-hidden="true">{ for drawn }</svg>
    }
}

/// Where lines leave a card, along the strip.
fn leaves(card: usize) -> usize {
    card * 100 + 62
}

/// Where lines enter a card, along the strip.
fn enters(card: usize) -> usize {
    card * 100 + 38
}

/// A bow between two cards: the further they are apart, the further out it goes.
fn arc(from: usize, to: usize, upright: bool) -> String {
    let (a, b) = (leaves(from), enters(to));
    let out = 96 - 22 * from.abs_diff(to).min(4);
    if upright {
        format!("M100 {a}C{out} {a} {out} {b} 100 {b}")
    } else {
        format!("M{a} 100C{a} {out} {b} {out} {b} 100")
    }
}

/// Where a line begins or ends: a stroke without length, of which only the ends are seen.
fn dot(at: usize, upright: bool) -> String {
    if upright {
        format!("M100 {at}h0")
    } else {
        format!("M{at} 100h0")
    }
}
