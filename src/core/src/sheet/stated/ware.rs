//! A volume measured with a piece of ware.
//!
//! The limit of the class is a property of the piece: used again it is off by the same amount, so it is one leaf
//! wherever the same piece is named. The limit of a piston pipette is that of its nominal volume at every setting (ISO
//! 8655-2). What varies from filling to filling is a standard deviation of its own each time.

use super::{Corrected, Entry, Part, Stated};
use crate::chemistry::{volume, ware};
use crate::problem::Problem;
use crate::quantity::{Kind, unit};
use crate::uncertainty::{Density, Distribution, WareUse};

/// A reading may be above the nominal volume by no more than this part: more is another piece of ware.
const OVER_NOMINAL: f64 = 1.001;

impl Entry<'_> {
    pub(super) fn measured_with(&self, used: &WareUse) -> Result<Stated, Problem> {
        if self.kind != Kind::Volume {
            return Err(self.problem(
                "not_a_volume",
                "{} is not measured with volumetric ware.",
                "Choose another meaning of the uncertainty.",
            ));
        }
        let Some(item) = ware::ware(&used.item) else {
            return Err(self.problem(
                "unknown_ware",
                "The ware of {} is not in the table.",
                "Choose a piece from the list, or state its limit after ±.",
            ));
        };
        let (unit, reading) = self.bare()?;
        if reading > item.nominal * OVER_NOMINAL {
            let sentence = format!(
                "“{}” is {}, more than the {} holds.",
                self.field.title,
                self.field.say(reading),
                item.title
            );
            let hint = "Choose a larger piece, or correct the volume.";
            return Err(Problem::at(self.field, "ware_too_small", sentence, hint));
        }
        let scatter = self.size("Repeatability", &used.repeatability, unit)?;
        let (corrected, factor, mut effects) = self.temperature(used, reading)?;
        let piece = used.piece.trim();
        let (name, key) = if piece.is_empty() {
            (format!("limit of the {}", item.title), None)
        } else {
            let name = format!("limit of “{piece}”, {}", item.title);
            (name, Some(format!("{}\n{piece}", item.id)))
        };
        effects.push((
            factor,
            Part {
                name,
                piece: key,
                uncertainty: item.limit / used.shape.divisor(),
                density: Density::Limited(used.shape),
                ..Part::exact(unit, 0.0)
            },
        ));
        let random = (item.random * item.random + scatter * scatter).sqrt();
        let number = Part {
            uncertainty: factor * random,
            ..Part::exact(unit, corrected)
        };
        Ok(Stated {
            unit,
            number,
            effects,
            last_digit: 0.0,
        })
    }

    /// The volume at the calibration temperature of what was measured, ∂volume/∂reading, and the temperature that acts
    /// on it.
    fn temperature(&self, used: &WareUse, reading: f64) -> Result<Corrected, Problem> {
        let celsius = unit(Kind::Temperature, "Cel").unwrap_or(Kind::Temperature.coherent());
        let temperature = self.about(
            "Temperature of the liquid",
            &used.temperature,
            Kind::Temperature,
            celsius,
        )?;
        let Some(temperature) = temperature else {
            return Ok((reading, 1.0, Vec::new()));
        };
        let expansion = volume::liquid_expansion(&used.liquid, temperature.value);
        let (Some(liquid), Some(glass)) = (expansion, volume::glass_expansion(&used.glass)) else {
            return Err(self.problem(
                "no_expansion",
                "How the liquid or the ware of {} expands at this temperature is not in the tables.",
                "Choose another liquid, or leave its temperature empty.",
            ));
        };
        let factor = volume::at_calibration(1.0, liquid, glass, temperature.value);
        let mut effects = Vec::new();
        if temperature.spread > 0.0 {
            let part = Part {
                name: "temperature of the liquid".into(),
                uncertainty: temperature.spread / Distribution::Rectangular.divisor(),
                density: Density::Limited(Distribution::Rectangular),
                ..Part::exact(celsius, temperature.value)
            };
            effects.push((-reading * (liquid - glass), part));
        }
        Ok((reading * factor, factor, effects))
    }
}
