//! Light or low light: as the device says, or as the person chose here.

use crate::dom;
use crate::storage::settings;

const SETTING: &str = "look";

/// How bright the page is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Look {
    /// As the device says.
    Device,
    /// Dark on light.
    Light,
    /// Light on dark.
    Low,
}

impl Look {
    /// All looks, in the order of the list.
    pub(crate) const ALL: [Look; 3] = [Look::Device, Look::Light, Look::Low];

    /// The word for storage and for style sheets.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Look::Device => "device",
            Look::Light => "light",
            Look::Low => "low",
        }
    }

    /// What it is called.
    pub(crate) fn title(self) -> &'static str {
        match self {
            Look::Device => "as the device",
            Look::Light => "light",
            Look::Low => "low light",
        }
    }

    /// The look that was chosen last.
    pub(crate) fn chosen() -> Self {
        let kept = settings::get(SETTING).unwrap_or_default();
        Look::named(&kept)
    }

    /// The look with this word.
    pub(crate) fn named(id: &str) -> Self {
        let found = Look::ALL.into_iter().find(|look| look.id() == id);
        found.unwrap_or(Look::Device)
    }

    /// Gives the page this look and keeps it for the next time.
    pub(crate) fn choose(self) {
        self.show();
        // Where it cannot be kept, the look lasts as long as the page.
        let _ = settings::set(SETTING, self.id());
    }

    /// Gives the page this look.
    pub(crate) fn show(self) {
        let root = dom::document().and_then(|document| document.document_element());
        if let Some(root) = root {
            // A page that refuses an attribute keeps the look of the device.
            let _ = root.set_attribute("data-look", self.id());
        }
    }
}
