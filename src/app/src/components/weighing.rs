//! How a mass was read on a balance.

use glasswick_core::chemistry::buoyancy;
use glasswick_core::uncertainty::{Meaning, Weighing};
use yew::prelude::*;

use super::uncertainty_panel::{Panel, help};
use crate::dom;
use crate::state::Change;
use crate::stated::Detail;

impl Panel<'_> {
    pub(super) fn weighing(&self, weighing: &Weighing) -> Html {
        let unit = self.unit_of_sizes();
        let size = |detail, title, about: &str| {
            self.text_box(detail, title, &format!("{about}{unit}, optional"))
        };
        let buoyant = [&weighing.density, &weighing.air]
            .iter()
            .any(|text| !text.trim().is_empty());
        let tare = {
            let (change, weighing) = (self.change.clone(), weighing.clone());
            Callback::from(move |event: Event| {
                let weighing = Weighing {
                    tare: dom::checked(&event),
                    ..weighing.clone()
                };
                change.emit(Change::Meaning(Meaning::Weighing(Box::new(weighing))));
            })
        };
        html! {
            <>
                { size(Detail::Readability, "Readability", "") }
                { size(Detail::Linearity, "Linearity", "limit, ") }
                { size(Detail::Repeatability, "Repeatability", "s, ") }
                { help(&format!("In {unit} where no unit is typed with the number.")) }
                <label class="tick wide">
                    <input type="checkbox" checked={weighing.tare} onchange={tare} />
                    { "Difference of two readings (tare)" }
                </label>
                { self.text_box(Detail::Density, "Density of what was weighed", "g/cm³, optional") }
                if buoyant {
                    { self.text_box(Detail::Air, "Density of the air", "kg/m³, optional") }
                    { help(&format!(
                        "The buoyancy of the air is taken into account. Without its density, {}\u{202F}kg/m³ counts.",
                        buoyancy::CONVENTIONAL_AIR
                    )) }
                } else {
                    { help("With its density, the buoyancy of the air is taken into account.") }
                }
            </>
        }
    }
}
