//! The page: state, evaluation and storage meet the components here.

use std::rc::Rc;

use glasswick_core::calculators::{ALL, Field};
use glasswick_core::sheet::{Address, Evaluation, evaluate};
use glasswick_record::Document;
use gloo_timers::callback::Timeout;
use yew::prelude::*;

use crate::components::{
    Announcer, CardSection, Command, Dialog, KeptWord, Place, UNDO, add_card, empty, header,
    link_picker, notice_bar, offline_line, strip, undo_bar,
};
use crate::start::Start;
use crate::state::{Action, Change, Edit, State};
use crate::view::{CardView, candidates, field_at, views};
use crate::{dom, exchange};

#[derive(PartialEq, Properties)]
pub(crate) struct PageProps {
    pub(crate) start: Rc<Start>,
}

/// What stands over the page.
#[derive(Clone, PartialEq)]
enum Over {
    Nothing,
    Calculators,
    Links(Place),
}

/// The run sheet's results and what its cards show.
struct Shown {
    evaluation: Evaluation,
    views: Vec<Rc<CardView>>,
}

#[component]
pub(crate) fn Page(props: &PageProps) -> Html {
    let state = use_reducer_eq(|| State::new(props.start.document.clone()));
    let notice = use_state_eq(|| props.start.notice.clone());
    let over = use_state_eq(|| Over::Nothing);
    let document = state.document.clone();
    let shown = {
        let document = document.clone();
        use_memo(state.revision, move |_| {
            let evaluation = evaluate(&document.sheet);
            let views = views(&document.sheet, &evaluation);
            Shown { evaluation, views }
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
    let close = {
        let over = over.setter();
        use_callback((), move |(), ()| over.set(Over::Nothing))
    };
    let open = exchange::opener(&act, &notice.setter());
    let add = {
        let (act, over, document) = (act.clone(), over.setter(), document.clone());
        Callback::from(move |position: usize| {
            if let Some(calculator) = ALL.get(position) {
                let id = document.sheet.free_id(calculator.id);
                act.emit(Action::Add(calculator));
                over.set(Over::Nothing);
                after_drawing(format!("card-{id}"));
            }
        })
    };
    let command = {
        let (act, over, notice) = (act.clone(), over.setter(), notice.setter());
        let (document, shown, open) = (document.clone(), shown.clone(), open.clone());
        Callback::from(move |command: Command| match command {
            Command::AddCard => over.set(Over::Calculators),
            Command::OpenDemo => open.emit(exchange::DEMO.to_owned()),
            Command::New => act.emit(Action::Open(Rc::new(Document::default()))),
            Command::ExportSheet => exchange::export_sheet(&document, &notice),
            Command::ExportRecord => exchange::export_record(&document, &shown.evaluation, &notice),
        })
    };
    let import = exchange::importer(&open, &notice.setter());
    let offline = crate::offline::use_offline();
    let kept = html! {
        <KeptWord document={document.clone()} revision={state.revision} start={&props.start} />
    };

    use_effect_with(state.removed.is_some(), |removed| {
        if *removed {
            dom::catch_focus(UNDO);
        }
    });

    let export_aside = {
        let notice = notice.setter();
        Callback::from(move |text: String| {
            exchange::export(&notice, "glasswick-set-aside.json", &text)
        })
    };
    let forget_notice = {
        let notice = notice.setter();
        Callback::from(move |()| notice.set(None))
    };

    let linkable = shown.views.len() > 1;
    let card = |view: &Rc<CardView>| {
        html! { <CardSection key={view.card.id.clone()} {view} {linkable} act={&act} pick={&pick} /> }
    };
    html! {
        <>
            { header(document.about.title.clone(), kept, act.reform(Action::Title), &command, import) }
            <div class="sheet">
                if let Some(said) = &*notice {
                    { notice_bar(said, export_aside.clone(), forget_notice.clone()) }
                }
                if shown.views.is_empty() {
                    { empty(&add, &command) }
                } else {
                    { strip(&shown.views) }
                    <main class="cards">{ for shown.views.iter().map(card) }</main>
                }
            </div>
            { offline_line(&offline, &Callback::from(|go_on: Callback<()>| go_on.emit(()))) }
            if let Some(removed) = &state.removed {
                { undo_bar(removed.sentence(), &act.reform(|()| Action::Undo), &act.reform(|()| Action::Forget)) }
            }
            <Announcer text={spoken(&shown.views, &state.touched)} />
            { over_page(&over, &document, &shown.evaluation, &act, &add, &close) }
        </>
    }
}

fn over_page(
    over: &Over,
    document: &Document,
    evaluation: &Evaluation,
    act: &Callback<Action>,
    add: &Callback<usize>,
    close: &Callback<()>,
) -> Html {
    match over {
        Over::Nothing => Html::default(),
        Over::Calculators => html! {
            <Dialog title="Add a card" on_close={close}>{ add_card(add) }</Dialog>
        },
        Over::Links(place) => {
            let sheet = &document.sheet;
            let position = sheet.position(&place.card);
            let field = position.and_then(|position| field_at(&sheet.cards[position], &place.path));
            let kind = field
                .and_then(Field::number_kind)
                .map_or("", |kind| kind.name());
            let choose = {
                let (act, close, place) = (act.clone(), close.clone(), place.clone());
                Callback::from(move |address: Address| {
                    let Place { card, path } = place.clone();
                    let id = format!("{card}.{path}");
                    act.emit(Action::Edit {
                        card,
                        edit: Edit::Entry {
                            path,
                            change: Change::Link(address),
                        },
                    });
                    close.emit(());
                    after_drawing(id);
                })
            };
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

/// How the card that was changed last stands, as a sentence.
fn spoken(views: &[Rc<CardView>], touched: &str) -> String {
    let view = views.iter().find(|view| view.card.id == touched);
    view.map_or_else(String::new, |view| {
        let value = view.headline_value.as_deref().unwrap_or_default();
        format!(
            "{}, {}: {} {value}",
            view.card.title,
            view.standing.word(),
            view.headline
        )
    })
}

/// How often the focus is looked after once it was moved, and how many milliseconds lie between.
const LOOKS: u32 = 10;
const BETWEEN_LOOKS: u32 = 30;

/// Moves to an element that is about to be drawn. On a busy machine the focus was once lost right after; why is not
/// known, so it is looked after for a moment. Where the person moved on, it is left alone.
fn after_drawing(id: String) {
    Timeout::new(0, move || {
        dom::go_to(&id);
        look_after(id, LOOKS);
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
