//! The values of the tables that an entry could take.

use glasswick_core::calculators::Field;
use glasswick_core::quantity::{Kind, Unit, parse};
use glasswick_core::sheet::Typed;
use yew::prelude::*;

use super::Dialog;
use crate::dom;
use crate::picked::{Offer, absorption_coefficients, at_temperature, molar_mass, molar_masses};

#[derive(PartialEq, Properties)]
pub(crate) struct TablePickerProps {
    pub(crate) field: &'static Field,
    /// The unit beside the number, which stays.
    pub(crate) unit: Option<&'static Unit>,
    pub(crate) choose: Callback<Typed>,
    pub(crate) close: Callback<()>,
}

#[component]
pub(crate) fn TablePicker(props: &TablePickerProps) -> Html {
    let kind = props.field.number_kind().unwrap_or(Kind::Ratio);
    let unit = props.unit.unwrap_or(kind.coherent());
    let by_formula = kind == Kind::MolarMass;
    let text = use_state_eq(|| if by_formula { "" } else { "20 °C" }.to_owned());
    let oninput = {
        let text = text.setter();
        Callback::from(move |event: InputEvent| text.set(dom::value(&event)))
    };
    let choose = |offer: &Offer| {
        let typed = offer.typed(unit);
        props.choose.reform(move |_: MouseEvent| typed.clone())
    };
    let (label, problem, said, offers) = if by_formula {
        let (problem, said) = match molar_mass(&text) {
            Ok(offer) => (
                None,
                html! {
                    <>
                        <p class="offer-value">{ format!("M = {}", offer.shown(unit)) }</p>
                        <p class="offer-text">{ &offer.origin }</p>
                        <button type="button" onclick={choose(&offer)}>{ "Use it" }</button>
                    </>
                },
            ),
            Err(_) if text.trim().is_empty() => (None, Html::default()),
            Err(error) => (
                Some((error.to_string(), error.hint().to_owned())),
                Html::default(),
            ),
        };
        (Some("Chemical formula"), problem, said, molar_masses())
    } else if kind == Kind::MolarAbsorption {
        let said = "In solution, at the maximum of a band. Solvent, acid and oxide shift it: measure your own where it \
                    counts.";
        (
            None,
            None,
            html! { <p class="help">{ said }</p> },
            absorption_coefficients(),
        )
    } else {
        let celsius = Kind::Temperature.units().find(|unit| unit.code == "Cel");
        match parse(&text, Kind::Temperature, celsius) {
            Ok(read) => {
                let in_effect = read
                    .unit
                    .or(celsius)
                    .unwrap_or(Kind::Temperature.coherent());
                let offers = at_temperature(kind, in_effect.to_si(read.value));
                let said = if offers.is_empty() {
                    "The table has no value at this temperature. Most are known from 15 °C to 30 °C."
                } else {
                    "The ± is at exactly this temperature: how well it is known is not in it."
                };
                (
                    Some("Temperature"),
                    None,
                    html! { <p class="help">{ said }</p> },
                    offers,
                )
            }
            Err(error) => {
                let problem = (error.sentence(), error.hint());
                (
                    Some("Temperature"),
                    Some(problem),
                    Html::default(),
                    Vec::new(),
                )
            }
        }
    };
    let invalid = problem.is_some().then_some("true");
    let offer = |offer: &Offer| {
        html! {
            <li key={offer.name.clone()}>
                <button type="button" class="offer" onclick={choose(offer)}>
                    <span class="offer-title">{ &offer.name }</span>
                    <span class="offer-value">{ offer.shown(unit) }</span>
                    <span class="offer-text">{ &offer.origin }</span>
                </button>
            </li>
        }
    };
    html! {
        <Dialog title={format!("{} from a table", props.field.title)} on_close={&props.close}>
            if let Some(label) = label {
                <div class={classes!("field", invalid.map(|_| "invalid"))}>
                    <label for="picking">{ label }</label>
                    <input id="picking" type="text" autocomplete="off" autocapitalize="off" spellcheck="false"
                        value={(*text).clone()} {oninput} aria-invalid={invalid} aria-describedby="picking-about" />
                    <div id="picking-about" role="status">
                        if let Some((sentence, hint)) = problem {
                            <p class="problem">{ sentence }<span class="hint">{ hint }</span></p>
                        }
                        { said }
                    </div>
                </div>
            } else {
                { said }
            }
            <ul class="offers">{ for offers.iter().map(offer) }</ul>
        </Dialog>
    }
}
