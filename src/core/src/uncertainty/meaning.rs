//! What a person states about how well a number is known, and the distribution that this gives it.

/// What the number after `±` means, or what stands in its place.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Meaning {
    /// A standard uncertainty.
    #[default]
    Standard,
    /// A limit that the value certainly lies within, with the shape of the distribution between its ends.
    Limit(Distribution),
    /// An expanded uncertainty with its coverage factor k.
    Expanded {
        /// The coverage factor k.
        coverage_factor: f64,
    },
    /// The value box holds repeated readings; their mean counts. A number after `±` is a standard uncertainty that
    /// all readings share, such as that of the instrument's calibration.
    Repeats,
    /// The value is a volume measured with a piece of ware, whose limits count.
    Ware(Box<WareUse>),
    /// The value is a mass read on a balance, whose limits count.
    Weighing(Box<Weighing>),
}

/// A volume measured with a piece of ware: which one, and how it was used. Texts are as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct WareUse {
    /// Its row in [`crate::chemistry::ware::WARE`].
    pub item: String,
    /// What the person calls this piece. One name for one item is one piece on the whole run sheet, and its limit one
    /// leaf; without a name it is a piece of its own.
    pub piece: String,
    /// The shape of the distribution within its limit.
    pub shape: Distribution,
    /// Standard deviation of filling or reading, besides what its row states; may be empty.
    pub repeatability: String,
    /// Temperature of the liquid, `±` as a rectangular limit; empty for the calibration temperature.
    pub temperature: String,
    /// Identifier of the liquid, for its thermal expansion; empty for water.
    pub liquid: String,
    /// Identifier of the glass, for its thermal expansion; empty for borosilicate glass.
    pub glass: String,
}

impl Default for WareUse {
    fn default() -> Self {
        WareUse {
            item: String::new(),
            piece: String::new(),
            shape: Distribution::Rectangular,
            repeatability: String::new(),
            temperature: String::new(),
            liquid: String::new(),
            glass: String::new(),
        }
    }
}

/// A mass read on a balance. Texts are as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// The smallest step of the display; may be empty.
    pub readability: String,
    /// The limit of its linearity; may be empty.
    pub linearity: String,
    /// Standard deviation of repeated weighings; may be empty.
    pub repeatability: String,
    /// The mass is the difference of two readings, with and without the load.
    pub tare: bool,
    /// Density of what was weighed, for the buoyancy of air; empty for no such correction.
    pub density: String,
    /// Density of the air; empty for 1.2 kg/m³.
    pub air: String,
}

impl Default for Weighing {
    fn default() -> Self {
        Weighing {
            readability: String::new(),
            linearity: String::new(),
            repeatability: String::new(),
            tare: true,
            density: String::new(),
            air: String::new(),
        }
    }
}

/// The shape of a distribution between two limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Distribution {
    /// Anywhere between the limits alike.
    Rectangular,
    /// The middle is likelier than the ends.
    Triangular,
    /// The ends are likelier than the middle, as with cycling temperature.
    Arcsine,
    /// Alike in the middle, falling to the ends: a limit that is itself not known exactly.
    Trapezoidal {
        /// Width of the top over width of the base, 0 (triangular) to 1 (rectangular).
        top: f64,
    },
}

impl Distribution {
    /// Half-width over standard deviation: √3, √6 (JCGM 100:2008 4.3.7, 4.3.9), √2 (arcsine, JCGM 101:2008 6.4.6),
    /// √(6/(1 + β²)) (trapezoidal, JCGM 100:2008 4.3.9).
    #[must_use]
    pub fn divisor(self) -> f64 {
        match self {
            Distribution::Rectangular => 3.0,
            Distribution::Triangular => 6.0,
            Distribution::Arcsine => 2.0,
            Distribution::Trapezoidal { top } => 6.0 / (1.0 + top * top),
        }
        .sqrt()
    }

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Distribution::Rectangular => "rectangular",
            Distribution::Triangular => "triangular",
            Distribution::Arcsine => "arcsine",
            Distribution::Trapezoidal { .. } => "trapezoidal",
        }
    }
}

impl Meaning {
    /// The words for it.
    #[must_use]
    pub fn words(&self) -> String {
        let shortest = crate::quantity::shortest;
        match self {
            Meaning::Standard => "standard uncertainty".into(),
            Meaning::Limit(Distribution::Trapezoidal { top }) => {
                format!("limit, trapezoidal, top {} of its base", shortest(*top))
            }
            Meaning::Limit(shape) => format!("limit, {}", shape.word()),
            Meaning::Expanded { coverage_factor } => {
                format!("expanded, k = {}", shortest(*coverage_factor))
            }
            Meaning::Repeats => "mean of readings".into(),
            Meaning::Ware(_) => "limits of the ware".into(),
            Meaning::Weighing(_) => "limits of the balance".into(),
        }
    }

    /// The standard uncertainty, from the number after `±`: a limit over its divisor, an expanded uncertainty over k
    /// (JCGM 100:2008 4.3.3), and otherwise itself.
    #[must_use]
    pub fn standard(&self, magnitude: f64) -> f64 {
        match self {
            Meaning::Standard | Meaning::Repeats | Meaning::Ware(_) | Meaning::Weighing(_) => {
                magnitude
            }
            Meaning::Limit(shape) => magnitude / shape.divisor(),
            Meaning::Expanded { coverage_factor } => magnitude / coverage_factor,
        }
    }
}

/// The distribution that a leaf is drawn from, given its estimate and standard uncertainty (JCGM 101:2008, 6.4).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Density {
    /// Normal, from an estimate and its standard uncertainty (6.4.7).
    #[default]
    Normal,
    /// Between limits (6.4.2 to 6.4.6).
    Limited(Distribution),
    /// Scaled and shifted t with the leaf's degrees of freedom (6.4.9); its scale is the standard uncertainty.
    StudentT,
}

/// How an uncertainty was evaluated (JCGM 100:2008, 4.2 and 4.3).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum EvaluationType {
    /// From the spread of repeated observations.
    A,
    /// From anything else: certificates, limits, experience.
    #[default]
    B,
}

impl EvaluationType {
    /// The letter for it.
    #[must_use]
    pub fn letter(self) -> &'static str {
        match self {
            EvaluationType::A => "A",
            EvaluationType::B => "B",
        }
    }
}
