//! What a person states about how well a number is known: the sorts of it to choose from, and the boxes that each
//! needs.

use core::mem::{discriminant, take};

use glasswick_core::chemistry::substances::SUBSTANCES;
use glasswick_core::chemistry::volume;
use glasswick_core::quantity::{Kind, shortest};
use glasswick_core::sheet::Typed;
use glasswick_core::uncertainty::{Distribution, Meaning};

/// What the ± of a number of this kind can be, with the words for it.
pub(crate) fn sorts(kind: Kind) -> Vec<(&'static str, Meaning)> {
    use Distribution::{Arcsine, Rectangular, Trapezoidal, Triangular};
    let mut sorts = vec![
        ("standard uncertainty", Meaning::Standard),
        ("limit, rectangular", Meaning::Limit(Rectangular)),
        ("limit, triangular", Meaning::Limit(Triangular)),
        ("limit, arcsine", Meaning::Limit(Arcsine)),
        (
            "limit, trapezoidal",
            Meaning::Limit(Trapezoidal { top: 0.5 }),
        ),
        (
            "expanded, with k",
            Meaning::Expanded {
                coverage_factor: 2.0,
            },
        ),
        ("repeat readings", Meaning::Repeats),
    ];
    match kind {
        Kind::Volume => sorts.push(("volumetric ware", Meaning::Ware(Box::default()))),
        Kind::Mass => sorts.push(("a balance", Meaning::Weighing(Box::default()))),
        _ => {}
    }
    sorts
}

const GLASSES: [(&str, &str); 2] = [
    ("borosilicate", "borosilicate glass"),
    ("soda-lime", "soda-lime glass"),
];

/// Whether both are of one sort, whatever their numbers and texts.
pub(crate) fn same_sort(one: &Meaning, other: &Meaning) -> bool {
    match (one, other) {
        (Meaning::Limit(one), Meaning::Limit(other)) => discriminant(one) == discriminant(other),
        _ => discriminant(one) == discriminant(other),
    }
}

/// Whether a number after ± counts.
pub(crate) fn takes_plus_minus(meaning: &Meaning) -> bool {
    !matches!(meaning, Meaning::Ware(_) | Meaning::Weighing(_))
}

/// Whether degrees of freedom can be stated with it: a limit has none, those of readings follow from their number.
pub(crate) fn takes_freedom(meaning: &Meaning) -> bool {
    matches!(meaning, Meaning::Standard | Meaning::Expanded { .. })
}

/// What was stated before another sort was chosen, so that choosing the sort again brings it back.
#[derive(Debug, Default)]
pub(crate) struct Aside {
    meanings: Vec<Meaning>,
    plus_minus: String,
    freedom: String,
}

impl Aside {
    /// The number with another sort of uncertainty. Texts that do not count with it are set aside.
    pub(crate) fn turn(&mut self, typed: &Typed, to: &Meaning) -> Typed {
        self.meanings
            .retain(|meaning| !same_sort(meaning, &typed.meaning));
        self.meanings.push(typed.meaning.clone());
        let before = self.meanings.iter().find(|before| same_sort(before, to));
        let meaning = before.unwrap_or(to).clone();
        let mut turned = typed.clone();
        for (text, aside, counts) in [
            (
                &mut turned.plus_minus,
                &mut self.plus_minus,
                takes_plus_minus(&meaning),
            ),
            (
                &mut turned.freedom,
                &mut self.freedom,
                takes_freedom(&meaning),
            ),
        ] {
            if counts && text.is_empty() {
                *text = take(aside);
            } else if !counts && !text.is_empty() {
                *aside = take(text);
            }
        }
        Typed { meaning, ..turned }
    }
}

/// A box about the uncertainty of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Detail {
    /// The coverage factor k.
    Factor,
    /// Width of the trapezoid's top over that of its base.
    Top,
    /// Degrees of freedom.
    Freedom,
    /// Where the number comes from.
    Source,
    /// What the piece of ware is called.
    Piece,
    /// Standard deviation of filling, reading or weighing.
    Repeatability,
    /// Temperature of the liquid.
    Temperature,
    /// The smallest step of the balance's display.
    Readability,
    /// The limit of the balance's linearity.
    Linearity,
    /// Density of what was weighed.
    Density,
    /// Density of the air.
    Air,
}

/// What is stored for a coverage factor and a trapezoid's top that cannot be read; the card says what to enter.
const NO_FACTOR: f64 = 0.0;
const NO_TOP: f64 = -1.0;

impl Detail {
    /// What stands in the box.
    pub(crate) fn text(self, typed: &Typed) -> String {
        let number = |number: f64, none: f64| {
            if number == none {
                String::new()
            } else {
                shortest(number)
            }
        };
        match (self, &typed.meaning) {
            (Detail::Factor, Meaning::Expanded { coverage_factor }) => {
                number(*coverage_factor, NO_FACTOR)
            }
            (Detail::Top, Meaning::Limit(Distribution::Trapezoidal { top })) => {
                number(*top, NO_TOP)
            }
            _ => self.place(&mut typed.clone()).map(take).unwrap_or_default(),
        }
    }

    /// Writes into the box. One that the chosen sort does not have stays as it is.
    pub(crate) fn write(self, typed: &mut Typed, text: String) {
        match (self, &mut typed.meaning) {
            (Detail::Factor, Meaning::Expanded { coverage_factor }) => {
                *coverage_factor = read(&text).unwrap_or(NO_FACTOR);
            }
            (Detail::Top, Meaning::Limit(Distribution::Trapezoidal { top })) => {
                *top = read(&text).unwrap_or(NO_TOP);
            }
            _ => {
                if let Some(place) = self.place(typed) {
                    *place = text;
                }
            }
        }
    }

    /// Where its text is kept; none for a box that the chosen sort does not have.
    fn place(self, typed: &mut Typed) -> Option<&mut String> {
        Some(match (self, &mut typed.meaning) {
            (Detail::Freedom, _) => &mut typed.freedom,
            (Detail::Source, _) => &mut typed.source,
            (Detail::Piece, Meaning::Ware(ware)) => &mut ware.piece,
            (Detail::Repeatability, Meaning::Ware(ware)) => &mut ware.repeatability,
            (Detail::Temperature, Meaning::Ware(ware)) => &mut ware.temperature,
            (Detail::Repeatability, Meaning::Weighing(weighing)) => &mut weighing.repeatability,
            (Detail::Readability, Meaning::Weighing(weighing)) => &mut weighing.readability,
            (Detail::Linearity, Meaning::Weighing(weighing)) => &mut weighing.linearity,
            (Detail::Density, Meaning::Weighing(weighing)) => &mut weighing.density,
            (Detail::Air, Meaning::Weighing(weighing)) => &mut weighing.air,
            _ => return None,
        })
    }
}

/// The liquids whose expansion is known, by identifier, with their names.
pub(crate) fn liquids() -> impl Iterator<Item = (&'static str, &'static str)> {
    let known = |id: &str| volume::liquid_expansion(id, volume::CALIBRATION).is_some();
    SUBSTANCES
        .iter()
        .map(|substance| (substance.id, substance.name))
        .filter(move |(id, _)| known(id))
}

/// The sorts of glass whose expansion is known, by identifier, with their names.
pub(crate) fn glasses() -> impl Iterator<Item = (&'static str, &'static str)> {
    let known = |id: &str| volume::glass_expansion(id).is_some();
    GLASSES.into_iter().filter(move |(id, _)| known(id))
}

/// The name of a liquid or a sort of glass; its identifier where it is not known.
pub(crate) fn material(id: &str) -> &str {
    let mut known = liquids().chain(glasses());
    known
        .find(|(known, _)| *known == id)
        .map_or(id, |(_, name)| name)
}

/// A plain number.
fn read(text: &str) -> Option<f64> {
    let number = text.trim().replace(',', ".").parse();
    number.ok().filter(|number: &f64| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sort(kind: Kind, words: &str) -> Meaning {
        let found = sorts(kind).into_iter().find(|(known, _)| *known == words);
        found.unwrap().1
    }

    #[test]
    fn ware_is_for_volumes_and_a_balance_for_masses() {
        let offers = |kind, words| sorts(kind).iter().any(|(known, _)| *known == words);
        assert!(offers(Kind::Volume, "volumetric ware") && !offers(Kind::Volume, "a balance"));
        assert!(offers(Kind::Mass, "a balance") && !offers(Kind::Mass, "volumetric ware"));
        assert_eq!(sorts(Kind::Length).len(), 7);
    }

    #[test]
    fn water_and_borosilicate_glass_are_taken_where_none_is_named() {
        assert_eq!(liquids().next(), Some(("water", "water")));
        assert_eq!(
            glasses().next(),
            Some(("borosilicate", "borosilicate glass"))
        );
        assert!(liquids().any(|(id, _)| id == "acetonitrile"));
        assert!(!liquids().any(|(id, _)| id == "zinc-oxide"), "a solid");
        assert_eq!(material("dimethylformamide"), "N,N-dimethylformamide");
        assert_eq!(material("mercury"), "mercury");
    }

    #[test]
    fn every_box_shows_what_was_written_into_it() {
        use Detail::*;
        let boxes = [
            (Kind::Volume, "expanded, with k", vec![Factor, Freedom]),
            (Kind::Volume, "limit, trapezoidal", vec![Top]),
            (
                Kind::Volume,
                "volumetric ware",
                vec![Piece, Repeatability, Temperature],
            ),
            (
                Kind::Mass,
                "a balance",
                vec![Readability, Linearity, Repeatability, Density, Air],
            ),
        ];
        for (kind, words, details) in boxes {
            let mut typed = Typed {
                meaning: sort(kind, words),
                ..Typed::default()
            };
            for (number, detail) in details.iter().chain(&[Source]).enumerate() {
                detail.write(&mut typed, format!("0.{}", number + 1));
            }
            for (number, detail) in details.iter().chain(&[Source]).enumerate() {
                assert_eq!(detail.text(&typed), format!("0.{}", number + 1), "{words}");
            }
        }
    }

    #[test]
    fn a_box_that_the_sort_does_not_have_changes_nothing() {
        let before = Typed {
            meaning: Meaning::Repeats,
            ..Typed::default()
        };
        for detail in [Detail::Factor, Detail::Top, Detail::Piece, Detail::Air] {
            let mut typed = before.clone();
            detail.write(&mut typed, "1".into());
            assert_eq!(typed, before);
            assert_eq!(detail.text(&typed), "");
        }
    }

    #[test]
    fn numbers_that_cannot_be_read_are_ones_that_the_card_explains() {
        let mut typed = Typed {
            meaning: sort(Kind::Mass, "expanded, with k"),
            ..Typed::default()
        };
        for (text, shown) in [("two", ""), ("inf", ""), ("", ""), ("2,5", "2.5")] {
            Detail::Factor.write(&mut typed, text.into());
            assert_eq!(Detail::Factor.text(&typed), shown, "{text}");
        }
        let Meaning::Expanded { coverage_factor } = typed.meaning else {
            panic!("it is still expanded");
        };
        assert_eq!(coverage_factor, 2.5);
    }

    #[test]
    fn another_sort_sets_aside_what_does_not_count_and_brings_it_back() {
        let mut aside = Aside::default();
        let standard = Typed {
            text: "100".into(),
            plus_minus: "0.1".into(),
            freedom: "9".into(),
            ..Typed::default()
        };
        let mut ware = aside.turn(&standard, &sort(Kind::Volume, "volumetric ware"));
        assert_eq!((&*ware.plus_minus, &*ware.freedom), ("", ""));
        Detail::Piece.write(&mut ware, "A".into());
        let limit = aside.turn(&ware, &sort(Kind::Volume, "limit, rectangular"));
        assert_eq!((&*limit.plus_minus, &*limit.freedom), ("0.1", ""));
        let again = aside.turn(&limit, &sort(Kind::Volume, "volumetric ware"));
        assert_eq!(again, ware, "the piece is still known");
        let back = aside.turn(&again, &Meaning::Standard);
        assert_eq!(back, standard);
    }
}
