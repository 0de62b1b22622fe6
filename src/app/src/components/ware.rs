//! Which piece of volumetric ware a volume was measured with, and how it was used.

use glasswick_core::chemistry::ware::{WARE, Ware, WareKind, ware};
use glasswick_core::quantity::{Kind, brief_text, unit};
use glasswick_core::uncertainty::{Distribution, Meaning, WareUse};
use yew::prelude::*;

use super::uncertainty_panel::{Panel, help, labelled, option};
use crate::dom;
use crate::state::Change;
use crate::stated::{Detail, glasses, liquids};

impl Panel<'_> {
    pub(super) fn ware(&self, used: &WareUse) -> Html {
        let item = ware(&used.item);
        let list = format!("{}-pieces", self.id);
        let pieces = self.pieces.iter().filter(|(item, _)| *item == used.item);
        let warm = [&used.temperature, &used.liquid, &used.glass]
            .iter()
            .any(|text| !text.trim().is_empty());
        let about_it = |item: &'static Ware| {
            html! {
                <>
                    { self.size(used, item) }
                    { help(&about(item)) }
                    { self.shape(used) }
                    { self.text_box(Detail::Repeatability, "Repeatability", &format!("s, {}, optional", self.unit_of_sizes())) }
                    { self.text_box_with(Detail::Piece, "Name of the piece", "optional", Some(list.clone())) }
                    <datalist id={list.clone()}>{ for pieces.map(|(_, name)| html! { <option key={name.clone()} value={name.clone()} /> }) }</datalist>
                    { help("Same name: the same piece, its limit counts as one. No name: a piece of its own.") }
                    { self.text_box(Detail::Temperature, "Temperature of the liquid", "°C, optional") }
                    if warm {
                        { self.material("Liquid", &used.liquid, liquids().collect(), |used, id| used.liquid = id) }
                        { self.material("Glass", &used.glass, glasses().collect(), |used, id| used.glass = id) }
                        { help("The volume is taken at 20 °C, where the ware is calibrated. A ± of the temperature is a rectangular limit.") }
                    }
                </>
            }
        };
        html! {
            <>
                { self.group(used, item) }
                { for item.map(about_it) }
            </>
        }
    }

    /// Kind, standard and class, one below the other under the kind.
    fn group(&self, used: &WareUse, item: Option<&'static Ware>) -> Html {
        let options = KINDS.into_iter().map(|(kind, title, group)| {
            let mut firsts: Vec<&'static Ware> = Vec::new();
            for ware in WARE.iter().filter(|ware| ware.kind == kind) {
                if !firsts.iter().any(|known| same_group(known, ware)) {
                    firsts.push(ware);
                }
            }
            let option = |first: &&'static Ware| {
                let chosen = item.is_some_and(|item| same_group(item, first));
                let words = format!("{} ({title})", first.source.citation);
                option((first.id, &words, chosen))
            };
            html! { <optgroup label={group}>{ for firsts.iter().map(option) }</optgroup> }
        });
        let reading = self.known.map(|known| known.value);
        let nominal = item.map(|item| item.nominal);
        let onchange = self.choose(used, move |used, chosen| {
            if let Some(first) = ware(&chosen) {
                used.item = fitting(first, nominal, reading).id.into();
            }
        });
        let control = html! {
            <select {onchange}>
                if item.is_none() {
                    { option(("", "choose", true)) }
                }
                { for options }
            </select>
        };
        labelled("Kind, standard and class", "", true, control)
    }

    fn size(&self, used: &WareUse, item: &'static Ware) -> Html {
        let options = WARE
            .iter()
            .filter(|ware| same_group(ware, item))
            .map(|ware| option((ware.id, &size(ware), ware.id == item.id)));
        let onchange = self.choose(used, |used, chosen| used.item = chosen);
        labelled(
            "Size",
            "",
            true,
            html! { <select {onchange}>{ for options }</select> },
        )
    }

    fn shape(&self, used: &WareUse) -> Html {
        let shapes = [Distribution::Rectangular, Distribution::Triangular];
        let options = shapes.map(|shape| option((shape.word(), shape.word(), shape == used.shape)));
        let onchange = self.choose(used, move |used, chosen| {
            let shape = shapes.into_iter().find(|shape| shape.word() == chosen);
            used.shape = shape.unwrap_or(used.shape);
        });
        labelled(
            "Shape of the limit",
            "",
            false,
            html! { <select {onchange}>{ for options }</select> },
        )
    }

    /// A list of liquids or sorts of glass; the first is taken where none is named.
    fn material(
        &self,
        title: &str,
        chosen: &str,
        known: Vec<(&'static str, &'static str)>,
        set: fn(&mut WareUse, String),
    ) -> Html {
        let Some((usual, _)) = known.first() else {
            return Html::default();
        };
        let chosen = if chosen.is_empty() { *usual } else { chosen };
        let other = known.iter().all(|(id, _)| *id != chosen);
        let other = other.then(|| option((chosen, chosen, true)));
        let options = known
            .iter()
            .map(|(id, name)| option((id, name, *id == chosen)));
        let Meaning::Ware(used) = &self.typed.meaning else {
            return Html::default();
        };
        let onchange = self.choose(used, set);
        labelled(
            title,
            "",
            false,
            html! { <select {onchange}>{ for other.into_iter().chain(options) }</select> },
        )
    }

    /// Changes how the ware is used by what is chosen in a list.
    fn choose(
        &self,
        used: &WareUse,
        set: impl Fn(&mut WareUse, String) + 'static,
    ) -> Callback<Event> {
        let (change, used) = (self.change.clone(), used.clone());
        Callback::from(move |event: Event| {
            let mut used = used.clone();
            set(&mut used, dom::value(&event));
            change.emit(Change::Meaning(Meaning::Ware(Box::new(used))));
        })
    }
}

/// Each kind, what one of them is called, and what several are.
const KINDS: [(WareKind, &str, &str); 4] = [
    (WareKind::Flask, "one-mark flask", "One-mark flasks"),
    (WareKind::BulbPipette, "bulb pipette", "Bulb pipettes"),
    (WareKind::Burette, "burette", "Burettes"),
    (WareKind::PistonPipette, "piston pipette", "Piston pipettes"),
];

/// Whether both are of one kind, standard and class.
fn same_group(one: &Ware, other: &Ware) -> bool {
    one.kind == other.kind && one.source.citation == other.source.citation
}

/// The piece of a group to begin with: of the same size as before, else the smallest that holds the volume, else the
/// first.
fn fitting(first: &'static Ware, nominal: Option<f64>, reading: Option<f64>) -> &'static Ware {
    let mut group = WARE.iter().filter(|ware| same_group(ware, first));
    let same = group
        .clone()
        .find(|ware| nominal.is_some_and(|nominal| ware.nominal == nominal));
    let smallest =
        || group.find(|ware| reading.is_some_and(|reading| reading <= ware.nominal * 1.001));
    same.or_else(smallest).unwrap_or(first)
}

/// "100 mL, ± 0.1 mL": the title without what the standard's name says already.
fn size(ware: &Ware) -> String {
    let digits = ware.title.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let size = &ware.title[digits..];
    let size = match size.rsplit_once(", ") {
        Some((size, class)) if class.contains("class") => size,
        _ => size,
    };
    format!("{size}, ± {}", volume(ware, ware.limit))
}

/// A volume in the unit that the title is in.
fn volume(ware: &Ware, si: f64) -> String {
    let code = if ware.title.contains("µL") {
        "uL"
    } else {
        "mL"
    };
    let unit = unit(Kind::Volume, code).unwrap_or(Kind::Volume.coherent());
    format!("{}{}", brief_text(unit.from_si(si), 4), unit.after_number())
}

/// Limit, scatter and source.
fn about(ware: &Ware) -> String {
    let scatter = if ware.random > 0.0 {
        format!(", s = {}", volume(ware, ware.random))
    } else {
        String::new()
    };
    let source = ware.source;
    format!(
        "Limit ± {}{scatter}: {} ({}).",
        volume(ware, ware.limit),
        source.citation,
        source.evidence.words()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(id: &str) -> &'static Ware {
        ware(id).unwrap()
    }

    #[test]
    fn a_size_is_told_by_what_its_group_does_not_say() {
        let flask = group("iso-1042-a-100-ml");
        assert_eq!(size(flask).replace('\u{202F}', " "), "100 mL, ± 0.1 mL");
        assert!(about(flask).contains("from memory, to be verified"));
    }

    #[test]
    fn a_kind_begins_with_the_piece_that_fits() {
        let flask = group("iso-1042-a-100-ml");
        for (nominal, reading) in [(None, Some(9e-5)), (None, Some(1e-4)), (Some(1e-4), None)] {
            assert_eq!(fitting(flask, nominal, reading).id, flask.id);
        }
        // Every row is in one group that its list shows.
        for ware in WARE {
            assert!(KINDS.iter().any(|(kind, ..)| *kind == ware.kind));
            let fits = fitting(ware, Some(ware.nominal), None);
            assert_eq!(fits.nominal, ware.nominal, "{}", ware.id);
        }
    }
}
