//! A mass read on a balance.
//!
//! Each reading is rounded to the readability d: rectangular with half-width d/2 (JCGM 100:2008, F.2.2.1); it is off by
//! at most the linearity L: rectangular (Eurachem/CITAC CG 4, example A2, takes it so and counts it twice). A mass that
//! is the difference of two readings has both twice, and the difference of two equal rectangles is a triangle of twice
//! the half-width. The scatter of loading is a standard deviation.

use super::{Corrected, Entry, Part, Stated};
use crate::chemistry::buoyancy;
use crate::problem::Problem;
use crate::quantity::{Kind, unit};
use crate::scalar::Dual;
use crate::uncertainty::{Density, Distribution, Weighing};

impl Entry<'_> {
    pub(super) fn weighed(&self, weighing: &Weighing) -> Result<Stated, Problem> {
        if self.kind != Kind::Mass {
            return Err(self.problem(
                "not_a_mass",
                "{} is not read on a balance.",
                "Choose another meaning of the uncertainty.",
            ));
        }
        let (unit, reading) = self.bare()?;
        let readability = self.size("Readability", &weighing.readability, unit)?;
        let linearity = self.size("Linearity", &weighing.linearity, unit)?;
        let scatter = self.size("Repeatability", &weighing.repeatability, unit)?;
        let (mass, factor, mut effects) = self.buoyancy(weighing, reading)?;
        let readings = if weighing.tare { " (two readings)" } else { "" };
        for (name, half_width) in [
            ("rounding of the display", 0.5 * readability),
            ("linearity of the balance", linearity),
        ] {
            if half_width > 0.0 {
                let limit = Part::exact(unit, 0.0).within(half_width, weighing.tare);
                let name = format!("{name}{readings}");
                effects.push((factor, Part { name, ..limit }));
            }
        }
        let number = Part {
            uncertainty: factor * scatter,
            ..Part::exact(unit, mass)
        };
        Ok(Stated {
            unit,
            number,
            effects,
            last_digit: 0.0,
        })
    }

    /// The mass that a reading stands for, ∂mass/∂reading, and the densities that act on it.
    fn buoyancy(&self, weighing: &Weighing, reading: f64) -> Result<Corrected, Problem> {
        let usual = |code| unit(Kind::Density, code).unwrap_or(Kind::Density.coherent());
        let sample = self.about(
            "Density of what was weighed",
            &weighing.density,
            Kind::Density,
            usual("g/cm3"),
        )?;
        let air = self.about(
            "Density of the air",
            &weighing.air,
            Kind::Density,
            usual("kg/m3"),
        )?;
        let Some(sample) = sample else {
            return Ok((reading, 1.0, Vec::new()));
        };
        let air_density = air
            .as_ref()
            .map_or(buoyancy::CONVENTIONAL_AIR, |air| air.value);
        if sample.value <= air_density || air_density < 0.0 {
            return Err(self.problem(
                "density",
                "What was weighed for {} must be denser than the air.",
                "Enter its density with the unit, for example 3.9 g/cm3.",
            ));
        }
        let mass = |sample: Dual, air: Dual| buoyancy::factor(sample, air) * reading;
        let constant = <Dual as crate::scalar::Scalar>::constant;
        let plain = mass(constant(sample.value), constant(air_density)).value;
        let mut effects = Vec::new();
        let by_sample = mass(Dual::seed(sample.value), constant(air_density)).slope;
        let by_air = mass(constant(sample.value), Dual::seed(air_density)).slope;
        let densities = [
            ("density of what was weighed", by_sample, Some(&sample)),
            ("density of the air", by_air, air.as_ref()),
        ];
        for (name, slope, density) in densities {
            if let Some(density) = density
                && density.spread > 0.0
            {
                let part = Part {
                    name: name.into(),
                    uncertainty: density.spread,
                    ..Part::exact(density.unit, density.value)
                };
                effects.push((slope, part));
            }
        }
        Ok((plain, plain / reading, effects))
    }
}

impl Part {
    /// Within a half-width on either side: of one reading a rectangle, of the difference of two a triangle.
    fn within(self, half_width: f64, twice: bool) -> Part {
        let (shape, half_width) = if twice {
            (Distribution::Triangular, 2.0 * half_width)
        } else {
            (Distribution::Rectangular, half_width)
        };
        Part {
            uncertainty: half_width / shape.divisor(),
            density: Density::Limited(shape),
            ..self
        }
    }
}
