//! One open run sheet: what it holds, its results and its keeping meet the components here.

use std::rc::Rc;

use glasswick_core::calculators::{Calculator, Field};
use glasswick_core::sheet::{Card, Doubt, Evaluation, Input, Sheet, evaluate};
use glasswick_record::{About, Document};
use gloo_timers::callback::Timeout;
use yew::platform::spawn_local;
use yew::prelude::*;

use crate::autosave::{Keeping, Kept, Saver, use_autosave};
use crate::components::{
    Announcer, CardSection, Command, Dialog, Place, ShareDialog, Strip, TablePicker, UNDO,
    add_card, button, card_foot, empty, kept_word, link_picker, record_place, sheet_head, undo_bar,
};
use crate::entry_text::unit_beside;
use crate::notice::Notices;
use crate::opening::{Opened, copy_of, stored};
use crate::route::{self, Route};
use crate::state::{Action, Change, Edit, State};
use crate::storage::Store;
use crate::view::{Step, candidates, card_view, field_at, overview, summary, views};
use crate::{dom, exchange};

#[derive(PartialEq, Properties)]
pub(crate) struct BenchProps {
    pub(crate) store: Store,
    pub(crate) opened: Rc<Opened>,
    pub(crate) route: Route,
    pub(crate) notices: Notices,
    /// The run sheet is kept under another identifier from now on.
    pub(crate) moved: Callback<String>,
}

/// Where the first-order picture of the card in hand is weak, by the path of the output.
pub(crate) type Doubts = Rc<[(String, Vec<Doubt>)]>;

/// A pause in typing.
const PAUSE_MS: u32 = 500;

/// What stands over the page.
#[derive(Clone, PartialEq)]
enum Over {
    Nothing,
    Calculators,
    Links(Place),
    Table(Place),
    Share,
}

/// The run sheet's results and the process at a glance.
struct Shown {
    evaluation: Evaluation,
    steps: Vec<Step>,
}

#[component]
pub(crate) fn Bench(props: &BenchProps) -> Html {
    let BenchProps {
        store,
        opened,
        route,
        notices,
        moved,
    } = props;
    let state = use_reducer_eq(|| State::new(opened.document.clone()));
    let over = use_state_eq(|| Over::Nothing);
    let document = state.document.clone();
    let shown = {
        let document = document.clone();
        use_memo(state.revision, move |_| {
            let evaluation = evaluate(&document.sheet);
            let steps = overview(&document, &evaluation);
            Shown { evaluation, steps }
        })
    };
    let act = {
        let dispatcher = state.dispatcher();
        use_callback((), move |action: Action, ()| dispatcher.dispatch(action))
    };
    let pick = {
        let over = over.setter();
        use_callback((), move |place: Place, ()| over.set(Over::Links(place)))
    };
    let pick_from_table = {
        let over = over.setter();
        use_callback((), move |place: Place, ()| over.set(Over::Table(place)))
    };
    let close = {
        let over = over.setter();
        use_callback((), move |(), ()| over.set(Over::Nothing))
    };
    // Links between cards are followed by address, so that the way back leads to the card before.
    let go = use_callback(
        (route.clone(), opened.id.clone()),
        |card: String, (route, id)| {
            route::go(&route.with_card(id, &card));
            after_drawing(format!("card-{card}"));
        },
    );
    let choose = {
        let over = over.setter();
        use_callback((), move |(), ()| over.set(Over::Calculators))
    };
    let add = {
        let (act, over, document, go) = (act.clone(), over.setter(), document.clone(), go.clone());
        Callback::from(move |calculator: &'static Calculator| {
            let id = document.sheet.free_id(calculator.id);
            act.emit(Action::Add(calculator));
            over.set(Over::Nothing);
            go.emit(id);
        })
    };
    let keeping = Keeping {
        document: document.clone(),
        summary: summary(&document, &shown.steps),
    };
    let (kept, saver) = use_autosave(store, opened, keeping.clone(), state.revision);
    let mine = {
        let (act, saver, moved, document) =
            (act.clone(), saver.clone(), moved.clone(), document.clone());
        Callback::from(move |()| {
            let id = dom::random_id();
            saver.borrow_mut().move_to(id.clone());
            act.emit(Action::Replace(Rc::new(copy_of(&document))));
            moved.emit(id);
        })
    };
    let theirs = {
        let (act, saver, store, id, notices) = (
            act.clone(),
            saver.clone(),
            store.clone(),
            opened.id.clone(),
            notices.clone(),
        );
        Callback::from(move |()| {
            let (act, saver, store, notices) =
                (act.clone(), saver.clone(), store.clone(), notices.clone());
            let id = id.clone();
            spawn_local(async move {
                match stored(&store, &id).await {
                    Ok((opened, notice)) => {
                        notices.set(notice);
                        saver.borrow_mut().take_theirs(opened.stamp);
                        act.emit(Action::Replace(opened.document));
                    }
                    Err(notice) => notices.set(Some(notice)),
                }
            });
        })
    };
    let command = {
        let (act, over, notices) = (act.clone(), over.setter(), notices.clone());
        let (document, shown) = (document.clone(), shown.clone());
        let (saver, choose) = (saver.clone(), choose.clone());
        Callback::from(move |command: Command| match command {
            Command::AddCard => choose.emit(()),
            Command::Share => over.set(Over::Share),
            Command::Undo => act.emit(Action::Undo),
            Command::Redo => act.emit(Action::Redo),
            Command::ExportSheet => exchange::export_sheet(&document, &notices),
            Command::ExportRecord => {
                exchange::export_record(&document, &shown.evaluation, &notices)
            }
            Command::Keep => {
                Saver::keep(&saver, keeping.clone());
            }
            Command::TakeTheirs => theirs.emit(()),
            Command::KeepMine => mine.emit(()),
        })
    };
    // A copy that was changed is kept like any other run sheet.
    {
        let (moved, id) = (moved.clone(), opened.id.clone());
        let becomes_ours = opened.copy && kept == Kept::Saved;
        use_effect_with(becomes_ours, move |ours| {
            if *ours {
                moved.emit(id);
            }
        });
    }
    use_effect_with(state.removed.is_some(), |removed| {
        if *removed {
            dom::catch_focus(UNDO);
        }
    });
    let retitle = {
        let (act, about) = (act.clone(), document.about.clone());
        Callback::from(move |title: String| {
            act.emit(Action::About(Box::new(About {
                title,
                ..about.clone()
            })));
        })
    };

    let steps = &shown.steps;
    let in_hand = hand(steps, route.card());
    let view = {
        let (document, shown) = (document.clone(), shown.clone());
        use_memo((state.revision, in_hand), move |(_, in_hand)| {
            card_view(&document, &shown.evaluation, *in_hand).map(Rc::new)
        })
    };
    // What takes several runs of the card waits for a pause in typing.
    let doubts = use_state_eq(Doubts::default);
    {
        let (doubts, shown) = (doubts.setter(), shown.clone());
        use_effect_with((state.revision, in_hand), move |(_, in_hand)| {
            let in_hand = *in_hand;
            let timer = Timeout::new(PAUSE_MS, move || {
                let card = shown.evaluation.cards.get(in_hand);
                let found = card.map(|card| shown.evaluation.doubts(&card.id));
                doubts.set(Doubts::from(found.unwrap_or_default()));
            });
            move || drop(timer)
        });
    }
    let on_record = matches!(route, Route::Record { .. });
    let recorded = {
        let (document, shown) = (document.clone(), shown.clone());
        use_memo((state.revision, on_record), move |(_, on_record)| {
            on_record.then(|| views(&document, &shown.evaluation))
        })
    };
    let place = if let Some(views) = &*recorded {
        let export = html! {
            <>
                { button(&command, "Export the record", Command::ExportRecord, false) }
                { button(&command, "Export the run sheet", Command::ExportSheet, false) }
            </>
        };
        record_place(
            &document,
            views,
            &shown.evaluation,
            &act.reform(|about| Action::About(Box::new(about))),
            export,
        )
    } else {
        html! {
            <div class="sheet">
                if let Some(view) = &*view {
                    // What these are given changes only with what they show: the word about saving draws neither anew.
                    <Strip steps={steps.clone()} {in_hand} go={&go} act={&act} add={&choose} />
                    <main class="hand">
                        <CardSection key={view.card.id.clone()} view={view.clone()} linkable={steps.len() > 1}
                            document={document.clone()} doubts={(*doubts).clone()} act={&act} pick={&pick}
                            pick_from_table={&pick_from_table} go={&go} />
                        { card_foot(steps, in_hand, &go, &command) }
                    </main>
                } else {
                    { empty(&add) }
                }
            </div>
        }
    };
    html! {
        <>
            { sheet_head(&document.about.title, retitle, kept_word(&kept, &command), &state, &command) }
            { place }
            if let Some(removed) = &state.removed {
                { undo_bar(removed.clone(), &act.reform(|()| Action::Undo), &act.reform(|()| Action::Forget)) }
            }
            <Announcer text={spoken(steps, &state.touched)} />
            { over_page(&over, &document, &shown.evaluation, &act, &add, &close, notices) }
        </>
    }
}

/// The place of the card in hand: the one that the address names, or the first.
fn hand(steps: &[Step], card: Option<&str>) -> usize {
    let named = card.and_then(|id| steps.iter().position(|step| step.id == id));
    named.unwrap_or(0)
}

fn over_page(
    over: &Over,
    document: &Rc<Document>,
    evaluation: &Evaluation,
    act: &Callback<Action>,
    add: &Callback<&'static Calculator>,
    close: &Callback<()>,
    notices: &Notices,
) -> Html {
    match over {
        Over::Nothing => Html::default(),
        Over::Calculators => html! {
            <Dialog title="Add a card" on_close={close}>{ add_card(add) }</Dialog>
        },
        Over::Share => html! {
            <Dialog title="Share this run sheet" on_close={close}>
                <ShareDialog document={document.clone()} notices={notices.clone()} />
            </Dialog>
        },
        Over::Table(place) => {
            let Some((card, field)) = entry_of(&document.sheet, place) else {
                return Html::default();
            };
            let beside = match card.at(&place.path) {
                Some(Input::Typed(typed)) => unit_beside(field, typed),
                _ => None,
            };
            let unit = beside.or(field.usual_unit());
            let choose = putting(place, act, close).reform(Change::Typed);
            html! { <TablePicker {field} {unit} {choose} {close} /> }
        }
        Over::Links(place) => {
            let sheet = &document.sheet;
            let field = entry_of(sheet, place).map(|(_, field)| field);
            let kind = field
                .and_then(Field::number_kind)
                .map_or("", |kind| kind.name());
            let choose = putting(place, act, close).reform(Change::Link);
            let candidates = candidates(sheet, evaluation, &place.card, &place.path);
            link_picker(
                field.map_or("", |field| field.title),
                kind,
                &candidates,
                &choose,
                close,
            )
        }
    }
}

/// The card of an entry, and what the entry is declared to be.
fn entry_of<'a>(sheet: &'a Sheet, place: &Place) -> Option<(&'a Card, &'static Field)> {
    let card = &sheet.cards[sheet.position(&place.card)?];
    Some((card, field_at(card, &place.path)?))
}

/// Puts what is chosen in a dialog into an entry, closes the dialog and goes to the entry.
fn putting(place: &Place, act: &Callback<Action>, close: &Callback<()>) -> Callback<Change> {
    let (act, close, place) = (act.clone(), close.clone(), place.clone());
    Callback::from(move |change: Change| {
        let Place { card, path } = place.clone();
        let id = format!("{card}.{path}");
        act.emit(Action::Edit {
            card,
            edit: Edit::Entry { path, change },
        });
        close.emit(());
        after_drawing(id);
    })
}

/// How the card that was changed last stands, as a sentence.
fn spoken(steps: &[Step], touched: &str) -> String {
    let step = steps.iter().find(|step| step.id == touched);
    step.map_or_else(String::new, |step| {
        let value = step.value.as_deref().unwrap_or_default();
        format!(
            "{}, {}: {} {value}",
            step.title,
            step.standing.word(),
            step.headline
        )
    })
}

/// How often an element is looked for, and the focus looked after once it was moved; and how many milliseconds lie
/// between.
const LOOKS: u32 = 10;
const BETWEEN_LOOKS: u32 = 30;

/// Moves to an element that is about to be drawn: the address may change a moment later, and the card that it names is
/// drawn after that. On a busy machine the focus was once lost right after; why is not known, so it is looked after for
/// a moment. Where the person moved on, it is left alone.
fn after_drawing(id: String) {
    arrive(id, 0, LOOKS);
}

fn arrive(id: String, wait: u32, looks: u32) {
    Timeout::new(wait, move || {
        if dom::go_to(&id) {
            look_after(id, LOOKS);
        } else if let Some(left) = looks.checked_sub(1) {
            arrive(id, BETWEEN_LOOKS, left);
        }
    })
    .forget();
}

fn look_after(id: String, looks: u32) {
    let Some(left) = looks.checked_sub(1) else {
        return;
    };
    Timeout::new(BETWEEN_LOOKS, move || {
        dom::catch_focus(&id);
        look_after(id, left);
    })
    .forget();
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::chain::chain;

    #[test]
    fn the_first_card_is_in_hand_where_the_address_names_none() {
        let document = chain();
        let steps = overview(&document, &evaluate(&document.sheet));
        assert_eq!(hand(&steps, None), 0);
        assert_eq!(hand(&steps, Some("gone")), 0);
        assert_eq!(hand(&steps, Some(&document.sheet.cards[2].id)), 2);
        let said = summary(&document, &steps);
        assert_eq!(
            (said.standing.as_str(), said.headline.as_str()),
            ("waiting", "")
        );
        assert_eq!(said.cards as usize, document.sheet.cards.len());
    }
}
