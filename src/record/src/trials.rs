//! Outcomes of Monte Carlo runs as the run-sheet file keeps them. They replay: seed and draws give the same bits again.

use std::collections::BTreeMap;

use glasswick_core::sheet::{Evaluation, Trials};
use glasswick_core::uncertainty::monte_carlo::{
    Agreement, Comparison, Draws, FirstOrder, Histogram, Interval, LeftOut, Outcome,
    StandardErrors, Stopped, Verdict,
};
use serde_json::{Value, json};

use crate::document::Fields;

/// The outcome of a Monte Carlo run of one number.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What the entries were when it ran ([`Evaluation::fingerprint`]).
    pub fingerprint: u64,
    /// What it gave.
    pub outcome: Outcome,
}

impl Trial {
    /// Whether it belongs to the entries as they stand.
    #[must_use]
    pub fn is_current(&self, evaluation: &Evaluation, card: &str, output: &str) -> bool {
        evaluation.fingerprint(card, output) == Some(self.fingerprint)
    }

    /// Runs it again from its seed. None where the number is not there, or is exact.
    ///
    /// # Errors
    /// As [`Trials::complete`].
    #[must_use]
    pub fn replay(
        &self,
        evaluation: &Evaluation,
        card: &str,
        output: &str,
    ) -> Option<Result<Outcome, Stopped>> {
        let Outcome { seed, wanted, .. } = self.outcome;
        Trials::new(evaluation, card, output, seed, wanted).map(Trials::complete)
    }

    /// Its JSON object.
    #[must_use]
    pub fn json(&self) -> Value {
        let Outcome {
            seed,
            wanted,
            draws,
            complete,
            mean,
            uncertainty,
            symmetric,
            shortest,
            errors,
            histogram,
            first_order,
            verdict,
            left_out,
            fit_linearised,
            unbounded_variance,
        } = &self.outcome;
        let wanted = match wanted {
            Draws::Fixed(draws) => json!({ "draws": draws }),
            Draws::Adaptive { digits, most } => json!({ "digits": digits, "most": most }),
        };
        let interval = |interval: &Interval| json!([interval.low, interval.high]);
        let comparison = |comparison: &Comparison| json!({ "tolerance": comparison.tolerance, "agreement": word(comparison.agreement) });
        json!({
            "fingerprint": format!("{:016x}", self.fingerprint),
            "seed": seed,
            "wanted": wanted,
            "draws": draws,
            "complete": complete,
            "mean": mean,
            "standard_uncertainty": uncertainty,
            "symmetric": interval(symmetric),
            "shortest": interval(shortest),
            "errors": [errors.mean, errors.uncertainty, errors.low, errors.high],
            "histogram": {
                "from": histogram.from,
                "to": histogram.to,
                "counts": histogram.counts,
                "below": histogram.below,
                "above": histogram.above,
            },
            "first_order": {
                "value": first_order.value,
                "standard_uncertainty": first_order.uncertainty,
                "degrees_of_freedom": first_order.degrees_of_freedom,
            },
            "verdict": {
                "low": verdict.low,
                "high": verdict.high,
                "relative": verdict.relative,
                "two_digits": comparison(&verdict.two_digits),
                "one_digit": comparison(&verdict.one_digit),
            },
            "left_out": {
                "attempts": left_out.attempts,
                "count": left_out.count,
                "first": left_out.first,
            },
            "fit_linearised": fit_linearised,
            "unbounded_variance": unbounded_variance,
        })
    }

    /// Reads what [`Trial::json`] wrote. None where a part is missing or wrong: it is then run again.
    #[must_use]
    pub fn read(value: &Value) -> Option<Trial> {
        let whole = |value: &Value| value.as_u64();
        let wanted = &value["wanted"];
        let wanted = match whole(&wanted["digits"]) {
            Some(digits) => Draws::Adaptive {
                digits: u8::try_from(digits).ok()?,
                most: whole(&wanted["most"])?,
            },
            None => Draws::Fixed(whole(&wanted["draws"])?),
        };
        let interval = |value: &Value| {
            Some(Interval {
                low: value[0].as_f64()?,
                high: value[1].as_f64()?,
            })
        };
        let comparison = |value: &Value| {
            Some(Comparison {
                tolerance: value["tolerance"].as_f64()?,
                agreement: agreement(value["agreement"].as_str()?)?,
            })
        };
        let (errors, histogram) = (&value["errors"], &value["histogram"]);
        let (first, verdict, left_out) =
            (&value["first_order"], &value["verdict"], &value["left_out"]);
        let counts = histogram["counts"].as_array()?;
        if counts.is_empty() || counts.len() > MOST_BINS {
            return None;
        }
        Some(Trial {
            fingerprint: u64::from_str_radix(value["fingerprint"].as_str()?, 16).ok()?,
            outcome: Outcome {
                seed: whole(&value["seed"])?,
                wanted,
                draws: whole(&value["draws"])?,
                complete: value["complete"].as_bool()?,
                mean: value["mean"].as_f64()?,
                uncertainty: value["standard_uncertainty"].as_f64()?,
                symmetric: interval(&value["symmetric"])?,
                shortest: interval(&value["shortest"])?,
                errors: StandardErrors {
                    mean: or_infinite(&errors[0])?,
                    uncertainty: or_infinite(&errors[1])?,
                    low: or_infinite(&errors[2])?,
                    high: or_infinite(&errors[3])?,
                },
                histogram: Histogram {
                    from: histogram["from"].as_f64()?,
                    to: histogram["to"].as_f64()?,
                    counts: counts.iter().map(whole).collect::<Option<_>>()?,
                    below: whole(&histogram["below"])?,
                    above: whole(&histogram["above"])?,
                },
                first_order: FirstOrder {
                    value: first["value"].as_f64()?,
                    uncertainty: or_infinite(&first["standard_uncertainty"])?,
                    degrees_of_freedom: or_infinite(&first["degrees_of_freedom"])?,
                },
                verdict: Verdict {
                    low: or_infinite(&verdict["low"])?,
                    high: or_infinite(&verdict["high"])?,
                    relative: or_infinite(&verdict["relative"])?,
                    two_digits: comparison(&verdict["two_digits"])?,
                    one_digit: comparison(&verdict["one_digit"])?,
                },
                left_out: LeftOut {
                    attempts: whole(&left_out["attempts"])?,
                    count: whole(&left_out["count"])?,
                    first: left_out["first"].as_str().map(str::to_owned),
                },
                fit_linearised: value["fit_linearised"].as_bool()?,
                unbounded_variance: value["unbounded_variance"].as_bool()?,
            },
        })
    }
}

/// More bins than any histogram of ours has.
const MOST_BINS: usize = 1000;

/// JSON has no infinity: it is written as null.
fn or_infinite(value: &Value) -> Option<f64> {
    if value.is_null() {
        Some(f64::INFINITY)
    } else {
        value.as_f64()
    }
}

const AGREEMENTS: [(&str, Agreement); 3] = [
    ("valid", Agreement::Valid),
    ("not valid", Agreement::NotValid),
    ("undecided", Agreement::Undecided),
];

fn word(agreement: Agreement) -> &'static str {
    let found = AGREEMENTS.iter().find(|(_, known)| *known == agreement);
    found.map_or("", |(word, _)| word)
}

fn agreement(word: &str) -> Option<Agreement> {
    let found = AGREEMENTS.iter().find(|(known, _)| *known == word)?;
    Some(found.1)
}

/// All outcomes of a run sheet as a JSON object by `card.output`.
pub(crate) fn all_json(trials: &BTreeMap<String, Trial>) -> Fields {
    let trials = trials.iter();
    trials
        .map(|(address, trial)| (address.clone(), trial.json()))
        .collect()
}

/// Takes the outcomes out of a JSON object; what cannot be read stays in it.
pub(crate) fn take_all(fields: &mut Fields) -> BTreeMap<String, Trial> {
    let mut trials = BTreeMap::new();
    fields.retain(|address, value| match Trial::read(value) {
        Some(trial) => {
            trials.insert(address.clone(), trial);
            false
        }
        None => true,
    });
    trials
}
