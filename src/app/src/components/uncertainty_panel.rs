//! What is stated about how well a number is known: drawn below its row while it is open, with the boxes that the
//! chosen sort of uncertainty needs, and what comes of them.

use std::collections::BTreeSet;

use glasswick_core::calculators::Field;
use glasswick_core::quantity::{Kind, Unit, value_text};
use glasswick_core::sheet::Typed;
use glasswick_core::uncertainty::{Distribution, Meaning};
use yew::prelude::*;

use crate::known::{Known, Piece};
use crate::state::Change;
use crate::stated::{Detail, same_sort, sorts, takes_freedom};
use crate::stated_words::{amount, corrected, standard_uncertainty, to_its_place};
use crate::{dom, entry_text};

/// What the panel of a number shows and changes.
pub(super) struct Panel<'a> {
    pub(super) id: String,
    pub(super) field: &'static Field,
    pub(super) typed: &'a Typed,
    /// How the number was read; none where it could not be.
    pub(super) known: Option<&'a Known>,
    /// The pieces of ware on the run sheet that have a name.
    pub(super) pieces: &'a BTreeSet<Piece>,
    /// The unit beside the number.
    pub(super) unit: &'static Unit,
    pub(super) change: &'a Callback<Change>,
    /// Chooses another sort of uncertainty.
    pub(super) turn: Callback<Meaning>,
    /// The text of the one box whose number alone is stored.
    pub(super) number_text: UseStateHandle<String>,
}

impl Panel<'_> {
    pub(super) fn html(&self) -> Html {
        html! {
            <div class="uncertainty" id={self.id.clone()} role="group" aria-label={format!("Uncertainty of {}", self.field.title)}>
                { self.sort() }
                { self.boxes() }
                { self.outcome() }
                { self.text_box(Detail::Source, "Source of the number", "optional") }
            </div>
        }
    }

    fn sort(&self) -> Html {
        let sorts = sorts(self.field.number_kind().unwrap_or(Kind::Ratio));
        let meaning = &self.typed.meaning;
        let known = sorts.iter().any(|(_, sort)| same_sort(sort, meaning));
        let options = sorts
            .iter()
            .map(|(words, sort)| (*words, *words, same_sort(sort, meaning)));
        // One that a file states although it does not go with this kind of quantity.
        let other = (!known).then(|| meaning.words());
        let other = other.as_deref().map(|words| (words, words, true));
        let options: Vec<_> = options.chain(other).map(option).collect();
        let turn = self.turn.clone();
        let onchange = Callback::from(move |event: Event| {
            let chosen = dom::value(&event);
            if let Some((_, sort)) = sorts.iter().find(|(words, _)| *words == chosen) {
                turn.emit(sort.clone());
            }
        });
        labelled(
            "The ± is",
            "",
            true,
            html! { <select {onchange}>{ options }</select> },
        )
    }

    /// The boxes that the chosen sort needs.
    fn boxes(&self) -> Html {
        let freedom = || {
            let has = takes_freedom(&self.typed.meaning) || !self.typed.freedom.is_empty();
            if has {
                self.text_box(Detail::Freedom, "Degrees of freedom", "optional")
            } else {
                Html::default()
            }
        };
        match &self.typed.meaning {
            Meaning::Standard | Meaning::Limit(_) | Meaning::Expanded { .. } => {
                let own = match &self.typed.meaning {
                    Meaning::Limit(Distribution::Trapezoidal { .. }) => {
                        self.text_box(Detail::Top, "Top of the trapezoid", "share of its base")
                    }
                    Meaning::Expanded { .. } => {
                        self.text_box(Detail::Factor, "Coverage factor", "k")
                    }
                    _ => Html::default(),
                };
                html! { <>{ own }{ freedom() }</> }
            }
            Meaning::Repeats => help(
                "One reading a line; a column from a spreadsheet can be pasted. The ± box holds what all readings \
                 share, as a standard uncertainty.",
            ),
            Meaning::Ware(used) => self.ware(used),
            Meaning::Weighing(weighing) => self.weighing(weighing),
        }
    }

    /// What comes of what is stated.
    fn outcome(&self) -> Html {
        let Some(known) = self.known else {
            return Html::default();
        };
        let unit = known.unit;
        let mut lines = Vec::new();
        if self.typed.meaning == Meaning::Repeats {
            let n = known.degrees_of_freedom + 1.0;
            let mean = to_its_place(unit, known.value, known.own);
            lines.push(format!("n = {n} · mean {mean}"));
            lines.push(format!(
                "s = {} · s/√n = {} · ν = {}",
                amount(unit, known.own * n.sqrt()),
                amount(unit, known.own),
                known.degrees_of_freedom,
            ));
        }
        lines.extend(corrected(self.field, self.typed, self.known).map(|text| capital(&text)));
        let plain = standard_uncertainty(self.typed, self.known).is_none();
        let alone = self.typed.meaning == Meaning::Repeats && known.effects.is_empty();
        if !plain && !alone {
            let how = match &self.typed.meaning {
                Meaning::Limit(shape) => match shape {
                    Distribution::Rectangular => " (limit ÷ √3)".into(),
                    Distribution::Triangular => " (limit ÷ √6)".into(),
                    Distribution::Arcsine => " (limit ÷ √2)".into(),
                    Distribution::Trapezoidal { .. } => {
                        format!(" (limit ÷ {})", value_text(shape.divisor(), 3))
                    }
                },
                Meaning::Expanded { .. } => " (expanded ÷ k)".into(),
                _ => self.parts(known),
            };
            lines.push(format!("u = {}{how}", amount(unit, known.uncertainty)));
        }
        let line = |line: String| html! { <p>{ line }</p> };
        html! { <div class="outcome">{ for lines.into_iter().map(line) }</div> }
    }

    /// What the uncertainty is made of, where it is of several parts.
    fn parts(&self, known: &Known) -> String {
        let own = match &self.typed.meaning {
            Meaning::Repeats => "s/√n",
            _ => "repeatability",
        };
        let own = (known.own > 0.0).then_some((own, known.own));
        let effects = known.effects.iter().map(|(name, u)| (name.as_str(), *u));
        let parts: Vec<_> = own
            .into_iter()
            .chain(effects)
            .map(|(name, u)| format!("{name} {}", amount(known.unit, u)))
            .collect();
        if known.effects.is_empty() {
            String::new()
        } else {
            format!(": {}", parts.join("; "))
        }
    }

    /// A box for a text, with a word about it behind its label.
    pub(super) fn text_box(&self, detail: Detail, title: &str, about: &str) -> Html {
        self.text_box_with(detail, title, about, None)
    }

    /// As [`Panel::text_box`], with a list of texts to choose from.
    pub(super) fn text_box_with(
        &self,
        detail: Detail,
        title: &str,
        about: &str,
        list: Option<String>,
    ) -> Html {
        let stored = detail.text(self.typed);
        let number = matches!(detail, Detail::Factor | Detail::Top);
        let value = if number && read_again(detail, &self.number_text, self.typed) == stored {
            (*self.number_text).clone()
        } else {
            stored
        };
        let inputmode = match detail {
            Detail::Source
            | Detail::Piece
            | Detail::Temperature
            | Detail::Density
            | Detail::Air => "text",
            _ => "decimal",
        };
        let (change, number_text) = (self.change.clone(), self.number_text.clone());
        let oninput = Callback::from(move |event: InputEvent| {
            let text = dom::value(&event);
            if number {
                number_text.set(text.clone());
            }
            change.emit(Change::Detail(detail, text));
        });
        labelled(
            title,
            about,
            matches!(detail, Detail::Source),
            html! {
                <input type="text" {inputmode} autocomplete="off" spellcheck="false" {value} {oninput} {list} />
            },
        )
    }

    /// Says in which unit the sizes in the boxes are.
    pub(super) fn unit_of_sizes(&self) -> &'static str {
        entry_text::unit_in_effect(self.field, self.typed)
            .unwrap_or(self.unit)
            .symbol
    }
}

/// What the box would show had this text been typed into it.
fn read_again(detail: Detail, text: &str, typed: &Typed) -> String {
    let mut again = typed.clone();
    detail.write(&mut again, text.to_owned());
    detail.text(&again)
}

/// A box or list under its label, with a word about it behind; a wide one has a line of its own.
pub(super) fn labelled(title: &str, about: &str, wide: bool, control: Html) -> Html {
    html! {
        <label class={classes!("detail", wide.then_some("wide"))} key={title.to_owned()}>
            <span>{ title.to_owned() }
                if !about.is_empty() {
                    <span class="marker">{ about.to_owned() }</span>
                }
            </span>
            { control }
        </label>
    }
}

/// An option of a list: its value, its words, and whether it is chosen.
pub(super) fn option((value, words, selected): (&str, &str, bool)) -> Html {
    html! { <option key={value.to_owned()} value={value.to_owned()} {selected}>{ words.to_owned() }</option> }
}

/// A sentence that helps.
pub(super) fn help(text: &str) -> Html {
    html! { <p class="help">{ text.to_owned() }</p> }
}

fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}
