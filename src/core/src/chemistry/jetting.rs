//! Limits of jetting as they are published: windows of Z, ejection and splash, and their borders on the map of Reynolds
//! and Ohnesorge number. All take the nozzle diameter as their length.

use crate::problem::{Source, memory, read};
use crate::scalar::Scalar;

/// Drops come off a nozzle above this Weber number.
pub const EJECTION: f64 = 4.0;
/// Where [`EJECTION`] comes from.
pub const EJECTION_SOURCE: Source =
    memory("Duineveld et al. 2002, in Derby, Annu. Rev. Mater. Res. 40 (2010) 395: We > 4");
/// Drops splash on a smooth surface above this value of We^(1/2)·Re^(1/4).
pub const SPLASH: f64 = 50.0;
/// Where [`SPLASH`] comes from.
pub const SPLASH_SOURCE: Source = memory(
    "Stow and Hadfield 1981, in Derby, Annu. Rev. Mater. Res. 40 (2010) 395: We^(1/2)·Re^(1/4) > 50",
);

/// Where the window of 1 to 10 comes from.
pub const REIS_DERBY: Source = read(
    "Reis and Derby, MRS Proc. 625 (2000) 117, as the abstract of Derby, J. Eur. Ceram. Soc. 31 (2011) states it",
);
/// Where the window of 4 to 14 comes from.
pub const JANG: Source = read("Jang, Kim and Moon, Langmuir 25 (2009) 2629, abstract");
/// Where the window of 2.5 to 26 comes from.
pub const LEE: Source =
    read("Lee, Sudau, Ahn, Lee and Willenbacher, Ind. Eng. Chem. Res. (2012), abstract");

/// A published window of Z, in which drops come off clean.
#[derive(Debug, PartialEq)]
pub struct Window {
    /// Stable identifier, part of the file format.
    pub id: &'static str,
    /// Who states it, in sentences.
    pub by: &'static str,
    /// Lowest Z.
    pub from: f64,
    /// Highest Z.
    pub to: f64,
    /// Where it comes from.
    pub source: Source,
}

/// The windows, the usual one first.
pub static WINDOWS: &[Window] = &[
    Window {
        id: "reis_derby",
        by: "Reis and Derby",
        from: 1.0,
        to: 10.0,
        source: REIS_DERBY,
    },
    Window {
        id: "jang",
        by: "Jang et al.",
        from: 4.0,
        to: 14.0,
        source: JANG,
    },
    Window {
        id: "lee",
        by: "Lee et al.",
        from: 2.5,
        to: 26.0,
        source: LEE,
    },
];

/// The window with this identifier.
#[must_use]
pub fn window(id: &str) -> Option<&'static Window> {
    WINDOWS.iter().find(|window| window.id == id)
}

/// Ohnesorge number on the border of ejection: below it no drop comes off. √We = Oh·Re.
#[must_use]
pub fn ejection_border(reynolds: f64) -> f64 {
    EJECTION.sqrt() / reynolds
}

/// Ohnesorge number on the border of splashing: above it drops splash.
#[must_use]
pub fn splash_border(reynolds: f64) -> f64 {
    SPLASH / Scalar::powf(reynolds, 1.25)
}
