//! A Monte Carlo run beside the page: what the page asks of the worker, and what the worker answers. Both sides are in
//! the same module; `trials.js` is between them. All messages are JSON texts.

use glasswick_core::sheet::{Trials, evaluate};
use glasswick_core::uncertainty::monte_carlo::Draws;
use glasswick_record::{Document, Trial, restore, run_sheet_text};
use serde_json::{Value, json};
use wasm_bindgen::prelude::*;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};
use yew::Callback;

use crate::dom;

/// What the worker says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Report {
    /// So many draws of at most so many are made.
    Progress(u64, u64),
    /// It is done.
    Done(Box<Trial>),
    /// It cannot be done, and why.
    Stopped(String),
}

/// A run that is going on; it ends when this is dropped.
pub(crate) struct Running {
    worker: Worker,
    _listeners: [Closure<dyn FnMut(MessageEvent)>; 2],
}

impl Drop for Running {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

/// The request for a run of `card.output`.
pub(crate) fn request(document: &Document, address: &str, seed: u64, draws: Draws) -> String {
    let draws = match draws {
        Draws::Fixed(draws) => json!({ "draws": draws }),
        Draws::Adaptive { digits, most } => json!({ "digits": digits, "most": most }),
    };
    json!({ "sheet": run_sheet_text(document), "of": address, "seed": seed, "draws": draws })
        .to_string()
}

/// Starts a run; none where the browser has no such workers.
pub(crate) fn start(request: &str, report: Callback<Report>) -> Option<Running> {
    let boot = dom::document()?
        .query_selector("script[data-wasm]")
        .ok()??;
    let address = boot.get_attribute("src")?.replace("boot.js", "trials.js");
    let options = WorkerOptions::new();
    options.set_type(WorkerType::Module);
    let worker = Worker::new_with_options(&address, &options).ok()?;
    let failed = report.clone();
    let heard = Closure::new(move |event: MessageEvent| {
        let text = event.data().as_string().unwrap_or_default();
        report.emit(read(&text));
    });
    let fault = Closure::new(move |_: MessageEvent| {
        failed.emit(Report::Stopped(
            "The run could not be started. Check the connection, then run it again.".into(),
        ));
    });
    worker.set_onmessage(Some(heard.as_ref().unchecked_ref()));
    worker.set_onerror(Some(fault.as_ref().unchecked_ref()));
    worker.post_message(&request.into()).ok()?;
    Some(Running {
        worker,
        _listeners: [heard, fault],
    })
}

fn read(text: &str) -> Report {
    let message: Value = serde_json::from_str(text).unwrap_or_default();
    if let Some(trial) = Trial::read(&message["done"]) {
        return Report::Done(Box::new(trial));
    }
    let number = |place: usize| message["progress"][place].as_u64();
    match (number(0), number(1)) {
        (Some(draws), Some(most)) => Report::Progress(draws, most),
        _ => {
            let why = message["stopped"].as_str();
            Report::Stopped(why.unwrap_or("The run ended without an answer.").into())
        }
    }
}

/// The worker's side: runs what is asked and reports as it goes.
pub(crate) fn answer(request: &str, report: &dyn Fn(&str)) {
    let told = match run(request, report) {
        Ok(trial) => json!({ "done": trial.json() }),
        Err(why) => json!({ "stopped": why }),
    };
    report(&told.to_string());
}

fn run(request: &str, report: &dyn Fn(&str)) -> Result<Trial, String> {
    const GONE: &str = "There is no such uncertain number on the run sheet any more.";
    let request: Value = serde_json::from_str(request).map_err(|error| error.to_string())?;
    let sheet = request["sheet"].as_str().unwrap_or_default();
    let document = restore(sheet).map_err(|error| error.to_string())?.document;
    let evaluation = evaluate(&document.sheet);
    let address = request["of"].as_str().and_then(|of| of.split_once('.'));
    let (card, output) = address.ok_or(GONE)?;
    let (draws, seed) = (&request["draws"], request["seed"].as_u64());
    let draws = match (draws["digits"].as_u64(), draws["most"].as_u64()) {
        (Some(digits), Some(most)) => Draws::Adaptive {
            digits: u8::try_from(digits).unwrap_or(1),
            most,
        },
        _ => draws["draws"].as_u64().map_or(Draws::DEFAULT, Draws::Fixed),
    };
    let seed = seed.unwrap_or_default();
    let mut trials = Trials::new(&evaluation, card, output, seed, draws).ok_or(GONE)?;
    loop {
        let progress = trials.step().map_err(|stopped| stopped.to_string())?;
        if progress.finished {
            break;
        }
        report(&json!({ "progress": [progress.draws, progress.most] }).to_string());
    }
    let outcome = trials.finish().map_err(|stopped| stopped.to_string())?;
    let fingerprint = evaluation.fingerprint(card, output).ok_or(GONE)?;
    Ok(Trial {
        fingerprint,
        outcome,
    })
}

#[cfg(test)]
mod tests {
    use core::cell::RefCell;

    use glasswick_core::calculators::find;
    use glasswick_core::sheet::{Card, Sheet};

    use super::*;

    #[test]
    fn a_request_is_answered_and_the_answer_replays() {
        let dilution = find("dilution").unwrap();
        let mut card = Card::new(dilution, "a");
        for (path, text) in [
            ("find", "target"),
            ("stock", "5.00 ± 0.05 mol/L"),
            ("aliquot", "0.850 L"),
            ("final", "1.80 L"),
        ] {
            card.enter(dilution, path, text);
        }
        let document = Document {
            sheet: Sheet { cards: vec![card] },
            ..Document::default()
        };
        let asked = |of: &str| {
            let said = RefCell::new(Vec::new());
            let request = request(&document, of, 7, Draws::Fixed(50_000));
            answer(&request, &|text| said.borrow_mut().push(read(text)));
            said.into_inner()
        };
        let said = asked("a.target");
        assert_eq!(said[0], Report::Progress(10_000, 50_000));
        let Some(Report::Done(trial)) = said.last() else {
            panic!("{said:?}");
        };
        let evaluation = evaluate(&document.sheet);
        assert!(trial.is_current(&evaluation, "a", "target"));
        let again = trial.replay(&evaluation, "a", "target");
        assert_eq!(again, Some(Ok(trial.outcome.clone())));
        // u of c = 5.00 mol/L · 0.850/1.80: the stock's alone; 50 000 draws give it to 0.3 % (one sigma).
        let u = trial.outcome.uncertainty;
        assert!((u / (50.0 * 0.85 / 1.8) - 1.0).abs() < 0.015, "{u}");
        let gone = asked("b.target");
        assert!(matches!(gone.last(), Some(Report::Stopped(_))), "{gone:?}");
    }
}
